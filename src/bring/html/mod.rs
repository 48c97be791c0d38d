//! HTML, as browsers read it, in bounded time and memory: bytes to text
//! ([`decode`]), text to a tree ([`tree`], [`parse`]), a tree to lines ([`words`]).

pub mod decode;
mod guard;
mod parse;
mod tree;
mod words;

pub use parse::{Cut, Page, parse};
pub use tree::{NodeId, ROOT, Tree};
pub use words::{Line, block_text, inline_text, lines};

//! Ways out and what-ifs: what clashes when not every demand can be met, what
//! would help, and what any change would do to the plan.
//!
//! A [`Change`] is pure data; [`apply`] gives the evening as it would be. Ways out
//! ([`find`]) are changes that make every demand fit, found, solved, checked and
//! priced ([`price`]); tries ([`tries`]) are changes that somebody wonders about,
//! laid beside the plan as it is ([`figures`]). [`demand`] says what clashes.
//!
//! All of it is solved by the ordinary planner, so every plan shown here has
//! passed the same checks as any other; the same seed and rounds give the same
//! answers.

pub mod candidates;
pub mod change;
pub mod demand;
pub mod figures;
pub mod find;
pub mod parse;
pub mod price;
pub mod progress;
pub mod text;
pub mod tries;
pub mod wire;
pub mod words;
pub mod works;

#[cfg(test)]
mod change_tests;
#[cfg(test)]
mod figures_tests;
#[cfg(test)]
mod offer_tests;
#[cfg(test)]
mod price_tests;
#[cfg(test)]
mod said_tests;
#[cfg(test)]
mod tests;

pub use change::{Change, Changed, Idle, Settle, apply};
pub use demand::{Clash, Demand};
pub use figures::Figures;
pub use find::{Ask, Found, News, WayOut, ranked, ways_out};
pub use progress::{TriesSeen, WaysSeen};
pub use tries::{Outcome, Tried, Try};

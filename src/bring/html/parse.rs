//! Text of a page to its tree.

use html5ever::TokenizerResult;
use html5ever::buffer_queue::BufferQueue;
use html5ever::tendril::StrTendril;
use html5ever::tokenizer::{Tokenizer, TokenizerOpts};
use html5ever::tree_builder::{TreeBuilder, TreeBuilderOpts};

use super::guard::Guard;
use super::tree::{Builder, Tree};

/// Bytes that the parser gets at once.
const CHUNK: usize = 16 * 1024;
/// Most signs that could divide attributes, in one tag. The parser compares each
/// attribute of a tag with all before it.
const DIVIDERS_MOST: usize = 40_000;

/// A page, read.
#[derive(Debug)]
pub struct Page {
    /// Its tree.
    pub tree: Tree,
    /// What was not read, if something was not.
    pub cut: Option<Cut>,
}

/// Why a page was not read to its end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cut {
    /// Tags nested too deep, or too many of them: some were left out.
    TooMuch,
    /// A tag with tens of thousands of attributes, at this line: the rest was left out.
    Tag(u64),
}

/// Reads a page. Pictures inside it are left out. Time and memory grow with its
/// length alone.
#[must_use]
pub fn parse(text: &str) -> Page {
    let text = without_pictures(text);
    let options = TreeBuilderOpts { scripting_enabled: false, ..TreeBuilderOpts::default() };
    let guard = Guard::new(TreeBuilder::new(Builder::new(), options));
    let tokenizer = Tokenizer::new(guard, TokenizerOpts::default());
    let input = BufferQueue::default();
    let mut dividers = 0;
    let mut tokens = 0;
    let mut lines = 1;
    for chunk in chunks(&text) {
        input.push_back(StrTendril::from_slice(chunk));
        // A script asks to be run; it is not.
        while let TokenizerResult::Script(_) | TokenizerResult::EncodingIndicator(_) =
            tokenizer.feed(&input)
        {}
        lines += chunk.bytes().filter(|&b| b == b'\n').count() as u64;
        if tokenizer.sink.tokens.get() != tokens {
            tokens = tokenizer.sink.tokens.get();
            dividers = 0;
        }
        let divides = |b: &u8| b.is_ascii_whitespace() || matches!(b, b'/' | b'"' | b'\'');
        dividers += chunk.bytes().filter(divides).count();
        if dividers > DIVIDERS_MOST {
            // The tokenizer is dropped where it stands; its end is not asked for.
            return Page { tree: tokenizer.sink.tree.sink.take(), cut: Some(Cut::Tag(lines)) };
        }
    }
    tokenizer.end();
    let cut = tokenizer.sink.left_out.get().then_some(Cut::TooMuch);
    Page { tree: tokenizer.sink.tree.sink.take(), cut }
}

/// Pieces of the text, none much longer than [`CHUNK`].
fn chunks(text: &str) -> impl Iterator<Item = &str> {
    let mut rest = text;
    std::iter::from_fn(move || {
        if rest.is_empty() {
            return None;
        }
        let mut end = CHUNK.min(rest.len());
        while !rest.is_char_boundary(end) {
            end += 1;
        }
        let (piece, more) = rest.split_at(end);
        rest = more;
        Some(piece)
    })
}

/// Without the pictures that saved pages carry inside (`data:…;base64,…`).
fn without_pictures(text: &str) -> String {
    const MARK: &str = ";base64,";
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(at) = rest.find(MARK) {
        let (before, data) = rest.split_at(at + MARK.len());
        out.push_str(before);
        let picture = |b: &u8| b.is_ascii_alphanumeric() || matches!(b, b'+' | b'/' | b'=');
        let length = data.bytes().take_while(picture).count();
        rest = data.get(length..).unwrap_or_default();
    }
    out.push_str(rest);
    out
}

#[cfg(test)]
mod tests {
    use super::super::block_text;
    use super::super::tree::ROOT;
    use super::*;

    fn text(page: &str) -> String {
        let page = parse(page);
        block_text(&page.tree, ROOT)
    }

    #[test]
    fn pages_are_read_as_browsers_do() {
        assert_eq!(text("<p>leeks<p>and <b>pe<i>a</b>rs</i><br>baked"), "leeks\nand pears\nbaked");
        assert_eq!(text("<ul><li>2 eggs<li>&frac12; cup oats</ul>"), "2 eggs\n½ cup oats");
        assert_eq!(text("<style>p{}</style><script>var x='<p>no'</script>yes"), "yes");
        assert_eq!(text("<img src='data:image/png;base64,AAAA/BBBB=='>soup"), "soup");
        assert_eq!(text(""), "");
    }

    #[test]
    fn bombs_are_cut_short() {
        let deep = parse(&"<div>".repeat(100_000));
        assert_eq!(deep.cut, Some(Cut::TooMuch));
        let bold: String = (0..20_000).map(|i| format!("<p><b x={i}>")).collect();
        assert_eq!(parse(&bold).cut, Some(Cut::TooMuch));
        let tag: String = (0..200_000).map(|i| format!(" a{i}")).collect();
        assert_eq!(parse(&format!("<p>x</p><p{tag}>")).cut, Some(Cut::Tag(1)));
        let entities = "<!DOCTYPE l [<!ENTITY a \"ha\"><!ENTITY b \"&a;&a;\">]><p>&b;</p>";
        assert!(text(entities).len() < 60);
        let open = format!("<!--{}", "x".repeat(100_000));
        assert_eq!(text(&open), "");
    }
}

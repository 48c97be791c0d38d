//! The words of a part of a page.

use super::tree::{NodeId, Tree};

/// Elements that begin a line of their own.
const BLOCKS: [&str; 34] = [
    "address",
    "article",
    "aside",
    "blockquote",
    "br",
    "dd",
    "details",
    "div",
    "dl",
    "dt",
    "figcaption",
    "figure",
    "footer",
    "form",
    "h1",
    "h2",
    "h3",
    "h4",
    "h5",
    "h6",
    "header",
    "hr",
    "li",
    "main",
    "nav",
    "ol",
    "p",
    "pre",
    "section",
    "summary",
    "table",
    "td",
    "tr",
    "ul",
];

/// Elements whose text is not shown.
const UNSEEN: [&str; 8] =
    ["script", "style", "head", "noscript", "template", "svg", "select", "button"];

/// Is it an element that begins a line?
#[must_use]
pub fn is_block(name: &str) -> bool {
    BLOCKS.contains(&name)
}

/// Is it an element whose text is not shown?
#[must_use]
pub fn is_unseen(name: &str) -> bool {
    UNSEEN.contains(&name)
}

/// The text under a node on one line.
#[must_use]
pub fn inline_text(tree: &Tree, top: NodeId) -> String {
    crate::bring::clean::one_line(&block_text(tree, top))
}

/// The text under a node, each block on lines of its own, blanks as one.
#[must_use]
pub fn block_text(tree: &Tree, top: NodeId) -> String {
    let lines: Vec<String> = lines(tree, top).into_iter().map(|l| l.text).collect();
    lines.join("\n")
}

/// A line of a page.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// The innermost element that begins lines, around it.
    pub block: NodeId,
    /// Its words.
    pub text: String,
}

/// The lines of text under a node.
#[must_use]
pub fn lines(tree: &Tree, top: NodeId) -> Vec<Line> {
    let mut found = Lines { list: Vec::new(), current: String::new() };
    let mut at = Some(top);
    // The blocks that are open: where one ends, its line ends too.
    let mut open: Vec<NodeId> = vec![top];
    while let Some(id) = at {
        while let Some(&last) = open.last().filter(|&&last| !is_under(tree, id, last)) {
            found.end(last);
            open.pop();
        }
        let name = tree.name(id);
        if is_block(name) && id != top {
            found.end(open.last().copied().unwrap_or(top));
            open.push(id);
        }
        let broken = open.last().is_some_and(|&b| tree.name(b) == "pre");
        for (index, line) in tree.text(id).split(|c| broken && c == '\n').enumerate() {
            if index > 0 {
                found.end(open.last().copied().unwrap_or(top));
            }
            found.add(line);
        }
        at = tree.after(id, top, !is_unseen(name) || id == top);
    }
    found.end(open.last().copied().unwrap_or(top));
    found.list
}

struct Lines {
    list: Vec<Line>,
    current: String,
}

impl Lines {
    fn add(&mut self, text: &str) {
        for c in text.chars() {
            if !c.is_whitespace() {
                self.current.push(c);
            } else if !self.current.is_empty() && !self.current.ends_with(' ') {
                self.current.push(' ');
            }
        }
    }

    fn end(&mut self, block: NodeId) {
        let text = self.current.trim();
        if !text.is_empty() {
            self.list.push(Line { block, text: text.to_owned() });
        }
        self.current.clear();
    }
}

/// Is `id` under `top`, or itself? Trees are at most a few hundred deep.
fn is_under(tree: &Tree, id: NodeId, top: NodeId) -> bool {
    std::iter::successors(Some(id), |&at| tree.parent(at)).any(|at| at == top)
}

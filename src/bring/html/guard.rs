//! Stands between the tokenizer and the tree builder and lets no page grow the
//! tree beyond bounds: neither its depth (each tag is looked up among the open
//! ones) nor its size.

use std::cell::Cell;

use html5ever::tokenizer::{TagKind, Token, TokenSink, TokenSinkResult};
use html5ever::tree_builder::TreeBuilder;

use super::tree::{Builder, NodeId};

/// Deepest nesting; real pages stay below a hundred.
pub(super) const DEPTH_MOST: usize = 256;
/// Most nodes of a tree.
pub(super) const NODES_MOST: usize = 400_000;
/// Elements whose content is text: they nest nothing, and without them a page's
/// scripts would be read as tags.
const TEXT_ONLY: [&str; 7] = ["script", "style", "textarea", "title", "xmp", "noframes", "noembed"];
/// Elements whose text nobody reads.
const SILENT: [&str; 3] = ["style", "noframes", "noembed"];

pub(super) struct Guard {
    pub tree: TreeBuilder<NodeId, Builder>,
    /// Tokens so far.
    pub tokens: Cell<u64>,
    /// Something was left out.
    pub left_out: Cell<bool>,
    /// In an element whose text is not wanted.
    silent: Cell<bool>,
}

impl Guard {
    pub fn new(tree: TreeBuilder<NodeId, Builder>) -> Self {
        let (tokens, left_out) = (Cell::new(0), Cell::new(false));
        Self { tree, tokens, left_out, silent: Cell::new(false) }
    }

    fn wanted(&self, token: &Token) -> bool {
        // End tags make nodes too, where nothing was open.
        if self.tree.sink.count() >= NODES_MOST && !matches!(token, Token::EOFToken) {
            self.left_out.set(true);
            return false;
        }
        match token {
            Token::TagToken(tag) => {
                let name: &str = &tag.name;
                let begins = tag.kind == TagKind::StartTag;
                self.silent.set(begins && SILENT.contains(&name));
                let deep = self.tree.sink.depth.get() >= DEPTH_MOST;
                let fits = !begins || !deep || TEXT_ONLY.contains(&name);
                self.left_out.set(self.left_out.get() || !fits);
                fits
            }
            Token::CharacterTokens(_) => !self.silent.get(),
            Token::CommentToken(_) | Token::DoctypeToken(_) => false,
            _ => true,
        }
    }
}

impl TokenSink for Guard {
    type Handle = NodeId;

    fn process_token(&self, token: Token, line: u64) -> TokenSinkResult<NodeId> {
        self.tokens.set(self.tokens.get() + 1);
        if self.wanted(&token) {
            self.tree.process_token(token, line)
        } else {
            TokenSinkResult::Continue
        }
    }

    fn end(&self) {
        self.tree.end();
    }

    fn adjusted_current_node_present_but_not_in_html_namespace(&self) -> bool {
        self.tree.adjusted_current_node_present_but_not_in_html_namespace()
    }
}

//! The tree of a page: nodes in one list, linked by their numbers, so that
//! nothing is as deep as the page is.

use std::borrow::Cow;
use std::cell::{Cell, RefCell};

use html5ever::interface::{ElemName, ElementFlags, NodeOrText, QuirksMode, TreeSink};
use html5ever::tendril::StrTendril;
use html5ever::{Attribute, LocalName, Namespace, QualName};

/// A node of a [`Tree`].
pub type NodeId = usize;

/// The document itself.
pub const ROOT: NodeId = 0;

#[derive(Debug, Default)]
struct Node {
    name: Option<QualName>,
    attributes: Vec<(String, String)>,
    text: String,
    parent: Option<NodeId>,
    first: Option<NodeId>,
    last: Option<NodeId>,
    before: Option<NodeId>,
    next: Option<NodeId>,
}

/// A page as a tree.
#[derive(Debug)]
pub struct Tree {
    nodes: Vec<Node>,
}

impl Tree {
    /// The name of an element in lower case; empty for text.
    #[must_use]
    pub fn name(&self, id: NodeId) -> &str {
        self.nodes.get(id).and_then(|n| n.name.as_ref()).map_or("", |n| &n.local)
    }

    /// The text of a text node; empty for an element.
    #[must_use]
    pub fn text(&self, id: NodeId) -> &str {
        self.nodes.get(id).map_or("", |n| &n.text)
    }

    /// An attribute of an element.
    #[must_use]
    pub fn attribute(&self, id: NodeId, name: &str) -> Option<&str> {
        let found = self.nodes.get(id)?.attributes.iter().find(|a| a.0 == name);
        found.map(|a| a.1.as_str())
    }

    /// What a node is right under.
    #[must_use]
    pub fn parent(&self, id: NodeId) -> Option<NodeId> {
        self.nodes.get(id).and_then(|n| n.parent)
    }

    /// The nodes right under a node, in order.
    pub fn children(&self, id: NodeId) -> impl Iterator<Item = NodeId> + '_ {
        let first = self.nodes.get(id).and_then(|n| n.first);
        std::iter::successors(first, |&at| self.nodes.get(at).and_then(|n| n.next))
    }

    /// The node that comes next when the tree under `top` is walked from its start
    /// to its end; `into` says whether what is under `id` is walked.
    #[must_use]
    pub fn after(&self, id: NodeId, top: NodeId, into: bool) -> Option<NodeId> {
        let node = self.nodes.get(id)?;
        if into && node.first.is_some() {
            return node.first;
        }
        let mut at = id;
        while at != top {
            let node = self.nodes.get(at)?;
            if node.next.is_some() {
                return node.next;
            }
            at = node.parent?;
        }
        None
    }

    /// Every node under `top` and itself, in the order of the page.
    pub fn walk(&self, top: NodeId) -> impl Iterator<Item = NodeId> + '_ {
        std::iter::successors(Some(top), move |&at| self.after(at, top, true))
    }
}

/// What the parser builds a [`Tree`] with.
#[derive(Debug)]
pub(super) struct Builder {
    nodes: RefCell<Vec<Node>>,
    /// How deep the parser is in the page.
    pub depth: Cell<usize>,
}

impl Builder {
    pub fn new() -> Self {
        Self { nodes: RefCell::new(vec![Node::default()]), depth: Cell::new(0) }
    }

    pub fn count(&self) -> usize {
        self.nodes.borrow().len()
    }

    pub fn take(&self) -> Tree {
        Tree { nodes: self.nodes.take() }
    }

    fn add(&self, node: Node) -> NodeId {
        let mut nodes = self.nodes.borrow_mut();
        nodes.push(node);
        nodes.len() - 1
    }

    fn with<T>(&self, id: NodeId, change: impl FnOnce(&mut Node) -> T) -> Option<T> {
        self.nodes.borrow_mut().get_mut(id).map(change)
    }

    fn get<T>(&self, id: NodeId, look: impl FnOnce(&Node) -> Option<T>) -> Option<T> {
        self.nodes.borrow().get(id).and_then(look)
    }

    fn unlink(&self, id: NodeId) {
        let Some((parent, before, next)) =
            self.with(id, |n| (n.parent.take(), n.before.take(), n.next.take()))
        else {
            return;
        };
        if let Some(before) = before {
            self.with(before, |n| n.next = next);
        } else if let Some(parent) = parent {
            self.with(parent, |n| n.first = next);
        }
        if let Some(next) = next {
            self.with(next, |n| n.before = before);
        } else if let Some(parent) = parent {
            self.with(parent, |n| n.last = before);
        }
    }

    /// Puts a node last under `parent`, or before `sibling` if one is named.
    fn link(&self, id: NodeId, parent: NodeId, sibling: Option<NodeId>) {
        self.unlink(id);
        let before = match sibling {
            Some(sibling) => self.get(sibling, |n| n.before),
            None => self.get(parent, |n| n.last),
        };
        self.with(id, |n| {
            n.parent = Some(parent);
            n.before = before;
            n.next = sibling;
        });
        match before {
            Some(before) => self.with(before, |n| n.next = Some(id)),
            None => self.with(parent, |n| n.first = Some(id)),
        };
        match sibling {
            Some(sibling) => self.with(sibling, |n| n.before = Some(id)),
            None => self.with(parent, |n| n.last = Some(id)),
        };
    }

    fn put(&self, parent: NodeId, sibling: Option<NodeId>, child: NodeOrText<NodeId>) {
        match child {
            NodeOrText::AppendNode(id) => self.link(id, parent, sibling),
            NodeOrText::AppendText(text) => {
                let beside = match sibling {
                    Some(sibling) => self.get(sibling, |n| n.before),
                    None => self.get(parent, |n| n.last),
                };
                let beside = beside.filter(|&b| self.get(b, |n| n.name.clone()).is_none());
                match beside {
                    Some(beside) => {
                        self.with(beside, |n| n.text.push_str(&text));
                    }
                    None => {
                        let id = self.add(Node { text: text.to_string(), ..Node::default() });
                        self.link(id, parent, sibling);
                    }
                }
            }
        }
    }
}

/// An element's name, as the parser asks for it.
#[derive(Debug)]
pub(super) struct Name(QualName);

impl ElemName for Name {
    fn ns(&self) -> &Namespace {
        &self.0.ns
    }

    fn local_name(&self) -> &LocalName {
        &self.0.local
    }
}

fn attributes(list: Vec<Attribute>) -> Vec<(String, String)> {
    list.into_iter().map(|a| (a.name.local.to_string(), a.value.to_string())).collect()
}

impl TreeSink for Builder {
    type Handle = NodeId;
    type Output = Tree;
    type ElemName<'a> = Name;

    fn finish(self) -> Tree {
        self.take()
    }

    fn parse_error(&self, _: Cow<'static, str>) {}

    fn get_document(&self) -> NodeId {
        ROOT
    }

    fn elem_name(&self, target: &NodeId) -> Name {
        let name = self.get(*target, |n| n.name.clone());
        Name(name.unwrap_or_else(|| QualName::new(None, html5ever::ns!(html), "html".into())))
    }

    fn create_element(&self, name: QualName, attrs: Vec<Attribute>, _: ElementFlags) -> NodeId {
        self.depth.set(self.depth.get() + 1);
        self.add(Node { name: Some(name), attributes: attributes(attrs), ..Node::default() })
    }

    fn create_comment(&self, _: StrTendril) -> NodeId {
        self.add(Node::default())
    }

    fn create_pi(&self, _: StrTendril, _: StrTendril) -> NodeId {
        self.add(Node::default())
    }

    fn append(&self, parent: &NodeId, child: NodeOrText<NodeId>) {
        self.put(*parent, None, child);
    }

    fn append_based_on_parent_node(
        &self,
        element: &NodeId,
        before: &NodeId,
        child: NodeOrText<NodeId>,
    ) {
        match self.get(*element, |n| n.parent) {
            Some(parent) => self.put(parent, Some(*element), child),
            None => self.put(*before, None, child),
        }
    }

    fn append_doctype_to_document(&self, _: StrTendril, _: StrTendril, _: StrTendril) {}

    fn pop(&self, _: &NodeId) {
        self.depth.set(self.depth.get().saturating_sub(1));
    }

    /// What is in a template is under the template itself: pages hide recipes there.
    fn get_template_contents(&self, target: &NodeId) -> NodeId {
        *target
    }

    fn same_node(&self, x: &NodeId, y: &NodeId) -> bool {
        x == y
    }

    fn set_quirks_mode(&self, _: QuirksMode) {}

    fn append_before_sibling(&self, sibling: &NodeId, new: NodeOrText<NodeId>) {
        if let Some(parent) = self.get(*sibling, |n| n.parent) {
            self.put(parent, Some(*sibling), new);
        }
    }

    fn add_attrs_if_missing(&self, target: &NodeId, attrs: Vec<Attribute>) {
        self.with(*target, |n| {
            for (name, value) in attributes(attrs) {
                if n.attributes.iter().all(|a| a.0 != name) {
                    n.attributes.push((name, value));
                }
            }
        });
    }

    fn remove_from_parent(&self, target: &NodeId) {
        self.unlink(*target);
    }

    fn reparent_children(&self, node: &NodeId, new_parent: &NodeId) {
        while let Some(child) = self.get(*node, |n| n.first) {
            self.link(child, *new_parent, None);
        }
    }
}

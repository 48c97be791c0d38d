//! A page without markup: its headings and lists, read as text is.

use crate::bring::clean::plain_signs;
use crate::bring::found::{Found, Origin};
use crate::bring::html::{self, NodeId, ROOT, Tree};
use crate::bring::text;

/// Parts of a page that are not what it is about.
const ASIDE: [&str; 6] = ["nav", "header", "footer", "aside", "form", "dialog"];

/// The recipe of a page, if its headings name one.
pub fn recipe(tree: &Tree) -> Option<Found> {
    let lines = html::lines(tree, ROOT);
    let about = |id: NodeId| {
        std::iter::successors(Some(id), |&at| tree.parent(at))
            .any(|at| ASIDE.contains(&tree.name(at)))
    };
    let mut marked = String::new();
    for line in lines.iter().filter(|l| !about(l.block)) {
        match tree.name(line.block) {
            "h1" => marked.push_str("# "),
            "h2" | "h3" | "h4" | "h5" | "h6" | "dt" | "summary" => marked.push_str("## "),
            "li" | "td" | "dd" => marked.push_str("- "),
            _ => {}
        }
        marked.push_str(&line.text);
        marked.push('\n');
    }
    let mut found = text::read_marked(&plain_signs(&marked)).ok()?;
    // Without both, or a heading for one of them, any page with a list would be a recipe.
    if found.lines.len() < 2 || found.method.is_empty() {
        return None;
    }
    found.origin = Origin::PlainPage;
    if found.title.is_empty() {
        let title = tree.walk(ROOT).find(|&id| tree.name(id) == "title");
        found.title = title.map(|id| html::inline_text(tree, id)).unwrap_or_default();
    }
    let aside = found.unplaced.len();
    if aside > 0 {
        found.said.push(format!("{aside} other lines of the page were left aside"));
        found.unplaced.clear();
    }
    found.said.push("the page has no recipe markup; look whether all was found".to_owned());
    Some(found)
}

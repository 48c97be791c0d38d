//! What each kind of file holds, as tables of fields.

mod borrowed;
mod choices;
mod kitchen;
mod party;
mod recipe;
mod settings;
mod step;

use serde_json::{Value, json};

use super::kind::plain;
use super::{Item, Kind, Known, ListSpec, Paper, Sort, Spec, tree};

/// The parts of a kind of file.
const fn root(sort: Sort) -> &'static [Item] {
    match sort {
        Sort::Party => party::ITEMS,
        Sort::Recipe => recipe::ITEMS,
        Sort::Kitchen => kitchen::ITEMS,
        Sort::Settings => settings::ITEMS,
    }
}

/// The list whose entry a path begins with, and what follows the entry.
fn list_of<'a>(items: &'static [Item], path: &'a str) -> Option<(&'static ListSpec, &'a str)> {
    items.iter().find_map(|item| {
        let Item::List(list) = item else { return None };
        let rest = path.strip_prefix(list.key)?.strip_prefix('[')?;
        let (index, rest) = rest.split_once(']')?;
        let index: usize = index.parse().ok()?;
        (index >= list.from).then_some((list, rest.trim_start_matches('.')))
    })
}

/// The parts of the entry at a place; the whole file at an empty one.
pub(super) fn items_at(sort: Sort, place: &str) -> Option<&'static [Item]> {
    let (mut items, mut rest) = (root(sort), place);
    while !rest.is_empty() {
        let (list, after) = list_of(items, rest)?;
        (items, rest) = (list.items, after);
    }
    Some(items)
}

/// The field at a path, wherever it is.
pub(super) fn spec_at(sort: Sort, path: &str) -> Option<&'static Spec> {
    let (mut items, mut rest) = (root(sort), path);
    loop {
        let field = items.iter().find_map(|item| match item {
            Item::Field(spec) if spec.key == rest => Some(spec),
            _ => None,
        });
        if field.is_some() {
            return field;
        }
        let (list, after) = list_of(items, rest)?;
        (items, rest) = (list.items, after);
    }
}

/// The list that an entry belongs to, by the entry's path.
pub(super) fn list_at(sort: Sort, path: &str) -> Option<&'static ListSpec> {
    let (mut items, mut rest) = (root(sort), path);
    loop {
        let (list, after) = list_of(items, rest)?;
        if after.is_empty() {
            return Some(list);
        }
        (items, rest) = (list.items, after);
    }
}

/// A value as its field shows it.
pub(super) fn shown(paper: &Paper, known: &Known, spec: &Spec, value: &Value) -> String {
    match spec.kind {
        Kind::Recipe => party::recipe_title(value, known),
        Kind::Kitchen => party::kitchen_title(value, known),
        Kind::KitchenOf => borrowed::like_title(&paper.value, &plain(value), known),
        Kind::StepBefore => recipe::step_label(&paper.value, &plain(value)),
        Kind::ServiceOf => party::service_title(&paper.value, &plain(value)),
        kind => kind.show(value, known.reader),
    }
}

/// What a field may be chosen from: values, and the words for them.
pub(super) fn options(
    paper: &Paper,
    known: &Known,
    path: &str,
    kind: Kind,
) -> Vec<(String, String)> {
    match kind {
        Kind::Recipe => party::recipes(known),
        Kind::KitchenOf => borrowed::like_what(&paper.value, path, known),
        Kind::ItemOf => party::items_of(&paper.value, path, known),
        Kind::Kitchen => party::kitchens(known),
        Kind::StepBefore => recipe::steps_before(&paper.value, path),
        Kind::ServiceOf => tree::list(&paper.value, "services")
            .iter()
            .map(|s| {
                let at = Kind::Clock.show(s.get("at").unwrap_or(&Value::Null), known.reader);
                (tree::text(s, "id").to_owned(), format!("{}, {at}", tree::text(s, "title")))
            })
            .collect(),
        _ => choices(kind),
    }
}

/// What a field of a kind may be chosen from, whatever stands in the file: values, and the words
/// for them.
#[must_use]
pub fn choices(kind: Kind) -> Vec<(String, String)> {
    match kind {
        Kind::Choice(choices) => {
            choices.iter().map(|(id, words)| ((*id).to_owned(), (*words).to_owned())).collect()
        }
        Kind::Guidance => {
            let profiles = crate::safety::Profile::all().iter();
            profiles.map(|p| (p.id.clone(), p.title.clone())).collect()
        }
        _ => Vec::new(),
    }
}

/// The fields of the settings, in their order.
pub fn settings_fields() -> impl Iterator<Item = &'static Spec> {
    settings::ITEMS.iter().filter_map(|item| match item {
        Item::Field(spec) => Some(spec),
        Item::Head(_) | Item::List(_) => None,
    })
}

/// Puts right what a change of a tree leaves behind: ids that nothing has any more.
pub(super) fn tidy(sort: Sort, value: &mut Value) {
    if sort == Sort::Recipe {
        recipe::tidy(value);
    }
}

/// Gives an entry what follows from the field at `path`: a station that has
/// become an oven has a dial, an ingredient what its line says.
pub(super) fn settle(sort: Sort, value: &mut Value, path: &str) {
    match sort {
        Sort::Kitchen => kitchen::settle(value, path),
        Sort::Recipe => recipe::settle(value, path),
        Sort::Party | Sort::Settings => {}
    }
}

/// A new thing of a kind, with the usual in its fields.
#[must_use]
pub fn fresh(sort: Sort, known: &Known) -> Value {
    match sort {
        Sort::Party => party::fresh(known),
        Sort::Recipe => recipe::fresh(),
        Sort::Kitchen => kitchen::fresh(known),
        Sort::Settings => serde_json::to_value(&known.settings).unwrap_or_else(|_| json!({})),
    }
}

/// An id that no entry of a list has yet: `stem`, or with a number.
fn free_id(list: &[Value], stem: &str) -> String {
    crate::kitchen::id::free(stem, |id| list.iter().any(|e| tree::text(e, "id") == id))
}

/// A needed field of words.
const fn line(key: &'static str, label: &'static str, help: &'static str, kind: Kind) -> Item {
    Item::Field(Spec { key, label, help, kind, blank: None, when: None })
}

/// A field that may be left empty.
const fn maybe(
    key: &'static str,
    label: &'static str,
    blank: &'static str,
    help: &'static str,
    kind: Kind,
) -> Item {
    Item::Field(Spec { key, label, help, kind, blank: Some(blank), when: None })
}

/// A field that only some entries have.
const fn where_so(
    key: &'static str,
    label: &'static str,
    blank: Option<&'static str>,
    help: &'static str,
    kind: Kind,
    when: fn(&Value) -> bool,
) -> Item {
    Item::Field(Spec { key, label, help, kind, blank, when: Some(when) })
}

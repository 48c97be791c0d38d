//! Writes what an evening taught into the cook's own files: one value, whole or
//! not at all, and only where the value still stands that the evening was cooked by.

use std::path::{Path, PathBuf};

use serde_json::Value;

use crate::kitchen::{Kitchen, Recipe};
use crate::run::look_back::{About, Edit};
use crate::screen::form::Sort;
use crate::store::load::{Sources, is_path, kitchen_problems, load_document, recipe_problems};
use crate::store::own::OwnShelf;
use crate::store::place;
use crate::store::read::schema::FileKind;
use crate::store::read::{Document, Problems, text_of};
use crate::store::{IfThere, RealDisk, save, shelf, zone};

/// Where the cook's files are.
#[derive(Debug, Clone, Copy)]
pub struct Files<'a> {
    /// The party's file, if it was cooked from one.
    pub party: Option<&'a Path>,
    /// The cook's own shelf.
    pub own: &'a OwnShelf,
}

/// The same, kept while an evening is open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CooksFiles {
    /// The party's file.
    pub party: PathBuf,
    /// The cook's own shelf.
    pub own: OwnShelf,
}

impl CooksFiles {
    /// Makes a change in them: see [`apply`].
    ///
    /// # Errors
    /// As [`apply`].
    pub fn apply(&self, edit: &Edit) -> Result<String, String> {
        apply(edit, Files { party: Some(&self.party), own: &self.own })
    }
}

/// Where a value is to be changed.
struct Target {
    file: PathBuf,
    text: String,
    /// What comes before the edit's own place: the recipe may stand in the party.
    within: String,
    kind: FileKind,
    /// The file is not there yet: the thing is built in.
    new: bool,
}

/// Makes the change, and says what was done.
///
/// # Errors
/// One sentence: what cannot be found, what stands there instead, what the change
/// would make wrong, or trouble with the disk. Nothing was written then.
pub fn apply(edit: &Edit, files: Files) -> Result<String, String> {
    let target = find(edit, files)?;
    let file = target.file.display();
    let mut value: Value =
        serde_json::from_str(&target.text).map_err(|e| format!("{file}: {e}"))?;
    let at = format!("{}{}", target.within, edit.at);
    put(&mut value, &at, edit).map_err(|why| format!("{file}: {why}"))?;
    let sort = match target.kind {
        FileKind::Party => Sort::Party,
        FileKind::Recipe => Sort::Recipe,
        FileKind::Kitchen => Sort::Kitchen,
    };
    let text = sort.file_text(&value)?;
    checked(&target, &text, files)?;
    if let (true, Some(folder)) = (target.new, target.file.parent()) {
        place::make(&RealDisk, folder).map_err(|trouble| trouble.to_string())?;
    }
    let there = IfThere::with(!target.new);
    save(&RealDisk, &target.file, text.as_bytes(), there).map_err(|trouble| trouble.to_string())?;
    let copy = if target.new { " (your own copy of a built-in one)" } else { "" };
    Ok(format!("Written: {file}{copy}"))
}

fn find(edit: &Edit, files: Files) -> Result<Target, String> {
    let Some(party) = files.party else {
        return match edit.about {
            About::Party => Err("The party's own file is not known here.".to_owned()),
            About::Recipe => by_id(FileKind::Recipe, &edit.id, files.own),
            About::Kitchen => by_id(FileKind::Kitchen, &edit.id, files.own),
        };
    };
    let text = text_of(party).map_err(first)?;
    let value: Value =
        serde_json::from_str(&text).map_err(|e| format!("{}: {e}", party.display()))?;
    let inside = |within: String| Target {
        file: party.to_path_buf(),
        text: text.clone(),
        within,
        kind: FileKind::Party,
        new: false,
    };
    let kind = match edit.about {
        About::Party => return Ok(inside(String::new())),
        About::Recipe => FileKind::Recipe,
        About::Kitchen => FileKind::Kitchen,
    };
    let list = value.get("dishes").and_then(Value::as_array);
    let dishes = list.map(Vec::as_slice).unwrap_or_default().iter().enumerate();
    let mut named: Vec<(String, &Value)> = match edit.about {
        About::Recipe => dishes
            .filter_map(|(i, dish)| Some((format!("/dishes/{i}/recipe"), dish.get("recipe")?)))
            .collect(),
        _ => value.get("kitchen").map(|k| ("/kitchen".to_owned(), k)).into_iter().collect(),
    };
    if let Some(at) = named.iter().position(|(_, v)| has_id(v, &edit.id)) {
        return Ok(inside(named.swap_remove(at).0));
    }
    let folder = party.parent().unwrap_or(Path::new(""));
    for path in named.iter().filter_map(|(_, v)| v.as_str()).filter(|n| is_path(n)) {
        let file = folder.join(path);
        let text = text_of(&file).map_err(first)?;
        let of_it = serde_json::from_str::<Value>(&text).is_ok_and(|v| has_id(&v, &edit.id));
        if of_it {
            return Ok(Target { file, text, within: String::new(), kind, new: false });
        }
    }
    by_id(kind, &edit.id, files.own)
}

fn has_id(value: &Value, id: &str) -> bool {
    value.get("id").and_then(Value::as_str) == Some(id)
}

fn by_id(kind: FileKind, id: &str, own: &OwnShelf) -> Result<Target, String> {
    let within = String::new();
    if let Some(file) = own.find(kind, id) {
        let text = text_of(&file).map_err(first)?;
        return Ok(Target { file, text, within, kind, new: false });
    }
    match shelf::text(kind, id) {
        Some(text) => {
            Ok(Target { file: own.path(kind, id), text: text.to_owned(), within, kind, new: true })
        }
        None => Err(format!("There is no {} \"{id}\" on your shelf any more.", kind.word())),
    }
}

/// Puts the new value where the old one stands.
fn put(value: &mut Value, at: &str, edit: &Edit) -> Result<(), String> {
    let (parent, last) = at.rsplit_once('/').ok_or("no place is named")?;
    let gone = || format!("{at} is not there any more");
    let parent = value.pointer_mut(parent).ok_or_else(gone)?;
    let other =
        |now: &Value| format!("{at} is {now} by now, not {}; nothing was changed", edit.was);
    if let Some(list) = parent.as_array_mut() {
        let index: usize = last.parse().map_err(|_| gone())?;
        let now = list.get_mut(index).ok_or_else(gone)?;
        if !same(now, &edit.was) {
            return Err(other(now));
        }
        match edit.becomes.is_null() {
            true => drop(list.remove(index)),
            false => *now = edit.becomes.clone(),
        }
        return Ok(());
    }
    let map = parent.as_object_mut().ok_or_else(gone)?;
    // What a file leaves out has the value that is usual.
    if let Some(now) = map.get(last).filter(|now| !same(now, &edit.was)) {
        return Err(other(now));
    }
    match edit.becomes.is_null() {
        true => drop(map.remove(last)),
        false => drop(map.insert(last.to_owned(), edit.becomes.clone())),
    }
    Ok(())
}

/// Does a value in a file mean this? A station may be written with what is usual left out.
fn same(now: &Value, was: &Value) -> bool {
    match (now.as_object(), was.as_object()) {
        (Some(now), Some(was)) => now.iter().all(|(k, v)| was.get(k).is_some_and(|w| same(v, w))),
        _ => now == was || now.as_f64().zip(was.as_f64()).is_some_and(|(a, b)| a == b),
    }
}

/// The change must leave a thing that can be read and makes sense.
fn checked(target: &Target, text: &str, files: Files) -> Result<(), String> {
    let document = Document::parse(&target.file.display().to_string(), text).map_err(first)?;
    let problems = match target.kind {
        FileKind::Party => {
            let folder = target.file.parent().unwrap_or(Path::new(""));
            let sources = Sources { folder, own: Some(files.own) };
            return load_document(document, sources, None, zone::clockface)
                .map(|_| ())
                .map_err(first);
        }
        FileKind::Recipe => {
            let recipe = document.value::<Recipe>().map_err(first)?;
            recipe_problems(&document, &recipe)
        }
        FileKind::Kitchen => {
            let kitchen = document.value::<Kitchen>().map_err(first)?;
            kitchen_problems(&document, &kitchen)
        }
    };
    if problems.any_wrong() { Err(first(problems)) } else { Ok(()) }
}

fn first(problems: Problems) -> String {
    problems.to_string().lines().next().unwrap_or_default().to_owned()
}

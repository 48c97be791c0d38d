//! The desk on the full screen: keys come in, each change of a form is on the
//! disk before it is shown, and the shelf is written whole or not at all.

mod keeping;
#[cfg(test)]
mod together_tests;

use std::cell::RefCell;
use std::collections::BTreeSet;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, channel};

use chrono::NaiveDate;
use ratatui::crossterm::event::{Event as Input, KeyEventKind};
use serde::Serialize;
use serde_json::{Value, json};

use self::keeping::{Bench, Right, ends};
use super::entrance::enter;
use super::signals::{self, Suspended};
use super::surroundings;
use super::terminal::{Stage, Terminal};
use crate::bring::{self, Found};
use crate::kitchen::check::self_contained;
use crate::kitchen::{Customs, Kitchen, Locale, Party, Recipe, Settings};
use crate::order::InOrder;
use crate::safety::hold_limits;
use crate::screen::Look;
use crate::screen::canvas::Hits;
use crate::screen::desk::{Desk, Wish, draw};
use crate::screen::form::{Known, Paper, Reader, Sort};
use crate::store::disk::is_gone;
use crate::store::drafts::Drafts;
use crate::store::load::load_own;
use crate::store::own::OwnShelf;
use crate::store::read::schema::FileKind;
use crate::store::read::{CookFile, Document, at_most};
use crate::store::{IfThere, Places, RealDisk, save, settings, shelf, zone};

const MOUSE_ON: &str =
    "The mouse chooses rows, the wheel scrolls; Ctrl-T gives it back to the terminal.";
const MOUSE_OFF: &str = "The mouse is the terminal's again: text can be selected.";

/// How the desk was left.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Left {
    /// The cook left.
    Closed,
    /// For the evening of a party of their shelf.
    Evening(String),
}

/// The cook's own things on the disk.
struct Store {
    places: Places,
    shelf: OwnShelf,
    drafts: Drafts,
    /// Which draft this desk writes.
    right: RefCell<Option<Right>>,
    locale: Locale,
    today: NaiveDate,
}

/// What comes in.
enum Coming {
    Input(Input),
    Resumed,
    Deaf(io::Error),
}

/// Opens the desk until the cook leaves.
///
/// # Errors
/// If the terminal cannot be used, or a thread cannot be started.
pub fn run(places: Places, locale: Locale, look: Look, today: NaiveDate) -> anyhow::Result<Left> {
    let store = Store {
        shelf: OwnShelf::at(&places.data),
        drafts: Drafts::at(&places.drafts()),
        right: RefCell::default(),
        places,
        locale,
        today,
    };
    let mut desk = Desk::new(store.known(), look);
    desk.say = settings::load(&store.places.settings()).1;
    let (sender, receiver) = channel();
    let resumed = sender.clone();
    let (stage, mut terminal) = enter(
        Some(&store.places.crash_notes()),
        move || drop(resumed.send(Coming::Resumed)),
        move |heard| sender.send(heard.map_or_else(Coming::Deaf, Coming::Input)).is_ok(),
    )?;
    attend(&mut desk, &store, &receiver, &stage, &mut terminal)
}

fn attend(
    desk: &mut Desk,
    store: &Store,
    receiver: &Receiver<Coming>,
    stage: &Stage,
    terminal: &mut Terminal,
) -> anyhow::Result<Left> {
    let mut bench = Bench::default();
    loop {
        let mut hits = Hits::default();
        terminal.draw(|frame| hits = draw(frame.area(), frame.buffer_mut(), desk))?;
        let Ok(first) = receiver.recv() else { return Ok(Left::Closed) };
        for coming in std::iter::once(first).chain(receiver.try_iter().collect::<Vec<_>>()) {
            let wishes = match coming {
                Coming::Input(Input::Key(key)) if key.kind != KeyEventKind::Release => {
                    desk.press(&key)
                }
                Coming::Input(Input::Mouse(event)) => desk.mouse(&event, &hits),
                Coming::Input(Input::Paste(text)) => {
                    desk.paste(&text);
                    Vec::new()
                }
                Coming::Input(_) | Coming::Resumed => Vec::new(),
                Coming::Deaf(e) => {
                    return Err(anyhow::Error::new(e).context("the terminal gives no keys"));
                }
            };
            for wish in wishes {
                match wish {
                    Wish::Leave if bench.may_leave(desk) => return Ok(Left::Closed),
                    Wish::Leave => {}
                    Wish::Cook(id) => return Ok(Left::Evening(id)),
                    Wish::Redraw => stage.ask_redraw(),
                    Wish::Mouse(on) => match stage.set_mouse(on) {
                        Ok(()) if on => desk.say = Some(MOUSE_ON.to_owned()),
                        Ok(()) => desk.say = Some(MOUSE_OFF.to_owned()),
                        Err(trouble) => desk.say = Some(format!("No mouse: {trouble}")),
                    },
                    Wish::Suspend => {
                        if signals::suspend(stage) == Suspended::NoShell {
                            desk.say = Some("No shell could bring the program back.".to_owned());
                        }
                    }
                    other => {
                        let ends = ends(&other);
                        store.fulfil(desk, other);
                        bench.after(ends, desk);
                    }
                }
            }
            store.keep(desk, &mut bench);
        }
    }
}

const fn kind_of(sort: Sort) -> Option<FileKind> {
    match sort {
        Sort::Party => Some(FileKind::Party),
        Sort::Recipe => Some(FileKind::Recipe),
        Sort::Kitchen => Some(FileKind::Kitchen),
        Sort::Settings => None,
    }
}

impl Store {
    /// What is on the shelves now.
    fn known(&self) -> Known {
        let set = settings::load(&self.places.settings()).0;
        let customs: Customs = set.customs(&self.locale);
        let mut known = Known::nothing(customs, self.today);
        known.settings = set;
        known.limits = hold_limits().to_vec();
        known.reader = Reader { customs, today: self.today };
        known.recipes = self.own::<Recipe>(Sort::Recipe, |r| &r.id, &mut known);
        known.recipes.extend(shelf::recipes());
        known.kitchens = self.own::<Kitchen>(Sort::Kitchen, |k| &k.id, &mut known);
        known.kitchens.extend(shelf::kitchens());
        known.parties = self.own::<Party>(Sort::Party, |p| &p.id, &mut known);
        known.parties.order_by_key(|p| p.day);
        known.drafts = self.draft_ids();
        known
    }

    fn draft_ids(&self) -> BTreeSet<(Sort, Option<String>)> {
        let of = |sort: Sort| self.drafts.ids(sort.word()).into_iter().map(move |id| (sort, id));
        Sort::ALL.into_iter().flat_map(of).collect()
    }

    /// The cook's own things of a kind; a file whose id is not its name goes by its name.
    fn own<T: CookFile>(&self, sort: Sort, id_of: fn(&T) -> &String, known: &mut Known) -> Vec<T> {
        let mut things = Vec::new();
        for (id, read) in self.shelf.all::<T>() {
            match read {
                Ok(thing) if *id_of(&thing) == id => {
                    known.own.insert((sort, id));
                    things.push(thing);
                }
                Ok(_) => {
                    let why = format!("its \"id\" must be \"{id}\", as its file is named");
                    known.broken.push((sort, id, why));
                }
                Err(problems) => {
                    let first = problems.list.first();
                    let why = first.map_or_else(String::new, |p| p.what.clone());
                    known.broken.push((sort, id, why));
                }
            }
        }
        things
    }

    fn fulfil(&self, desk: &mut Desk, wish: Wish) {
        match wish {
            Wish::Open(sort, id) => self.open(desk, sort, id.as_deref()),
            Wish::Copy(sort, id) => desk.open_copy(sort, &id),
            Wish::Save(paper) => self.save(desk, &paper),
            Wish::Discard(sort, id) => {
                let trouble = self.forget(sort, id.as_deref());
                desk.restock(self.known());
                desk.say = trouble.or(desk.say.take());
            }
            Wish::TakeOff(sort, id) => {
                let Some(kind) = kind_of(sort) else { return };
                desk.say = Some(match self.shelf.take_off(&RealDisk, kind, &id) {
                    Ok(to) => format!("Taken off; the file is kept as {}", to.display()),
                    Err(trouble) => trouble.to_string(),
                });
                desk.restock(self.known());
            }
            Wish::Export(id, path) => {
                desk.say = Some(self.export(&id, Path::new(&path)).unwrap_or_else(|why| why));
            }
            Wish::Bring(path) => {
                let read = read_recipes(&path);
                desk.brought(read, &path);
            }
            Wish::Share(id, path) => {
                desk.say = Some(share(desk, &id, Path::new(&path)).unwrap_or_else(|why| why));
            }
            Wish::Leave | Wish::Suspend | Wish::Redraw | Wish::Mouse(_) | Wish::Cook(_) => {}
        }
    }

    /// A thing of the cook's own as its file has it now, if there is one.
    fn stands(&self, kind: FileKind, id: &str) -> Result<Option<Value>, String> {
        fn read<T: CookFile + Serialize>(path: &Path) -> Result<Value, String> {
            let read = Document::read(path).and_then(|document| document.value::<T>());
            let thing = read.map_err(|problems| first_of(&problems.to_string()))?;
            serde_json::to_value(thing).map_err(|e| e.to_string())
        }
        let path = self.shelf.path(kind, id);
        if is_gone(&path) {
            return Ok(None);
        }
        let value = match kind {
            FileKind::Party => read::<Party>(&path),
            FileKind::Recipe => read::<Recipe>(&path),
            FileKind::Kitchen => read::<Kitchen>(&path),
        };
        value.map(Some)
    }

    /// Writes a party with all that it names into a new file.
    fn export(&self, id: &str, path: &Path) -> Result<String, String> {
        let file = self.shelf.path(FileKind::Party, id);
        let loaded = load_own(&file, Some(&self.shelf), zone::clockface);
        let loaded = loaded.map_err(|p| first_of(&p.to_string()))?;
        written(&self_contained(&loaded.evening), path)
    }

    /// Saves a form, and says how that went.
    fn save(&self, desk: &mut Desk, paper: &Paper) {
        let (id, done) = match kind_of(paper.sort) {
            None => ("settings".to_owned(), self.save_settings(desk, paper)),
            Some(kind) => {
                let new = || self.shelf.free_id(kind, &Desk::wanted_id(paper));
                let id = paper.id.clone().unwrap_or_else(new);
                let done = self.save_file(desk, paper, kind, &id);
                (id, done)
            }
        };
        match done {
            Ok(words) => {
                // Saved is saved: a draft that stays is shown again, and no harm.
                let _ = self.forget(paper.sort, paper.id.as_deref());
                desk.saved(self.known(), paper.sort, &id, words);
            }
            Err(why) => {
                if let Some(form) = desk.form.as_mut() {
                    form.say = Some(format!("NOT SAVED: {why}"));
                }
            }
        }
    }

    fn save_settings(&self, desk: &mut Desk, paper: &Paper) -> Result<String, String> {
        let set: Settings =
            serde_json::from_value(paper.value.clone()).map_err(|e| e.to_string())?;
        let path = self.places.settings();
        settings::check(&set)?;
        // A file that cannot be understood is not written over.
        let now = serde_json::to_value(settings::load(&path).0).map_err(|e| e.to_string())?;
        unchanged(desk, paper, Some(now))?;
        settings::keep(&RealDisk, &path, &set).map_err(|trouble| trouble.to_string())?;
        desk.look = surroundings::look(&set);
        Ok(format!("Saved: {}", path.display()))
    }

    fn save_file(
        &self,
        desk: &mut Desk,
        paper: &Paper,
        kind: FileKind,
        id: &str,
    ) -> Result<String, String> {
        let now = self.stands(kind, id).map_err(|why| {
            format!("another program changed it, and now it cannot be read: {why} Mend it, or move it away")
        })?;
        unchanged(desk, paper, now)?;
        let mut named = paper.clone();
        if let Some(map) = named.value.as_object_mut() {
            map.insert("id".to_owned(), json!(id));
        }
        let text = named.text()?;
        let if_there = IfThere::with(paper.id.is_some());
        let saved = self.shelf.save(&RealDisk, kind, id, &text, if_there);
        let path = saved.map_err(|trouble| trouble.to_string())?;
        Ok(format!("Saved: {}", path.display()))
    }
}

/// What the cook saw the changes against must still stand there. What was taken away meanwhile is written again.
fn unchanged(desk: &mut Desk, paper: &Paper, now: Option<Value>) -> Result<(), String> {
    let Some(now) = now.filter(|now| paper.before.as_ref().is_some_and(|before| before != now))
    else {
        return Ok(());
    };
    if let Some(form) = desk.form.as_mut() {
        form.paper.before = Some(now);
    }
    Err("another program changed it; Ctrl-S shows what differs now".to_owned())
}

/// The recipes of a file that the cook named, as they would in a shell.
fn read_recipes(path: &str) -> Result<Vec<Found>, String> {
    let bare = path.trim().trim_matches(['"', '\'']).replace("\\ ", " ");
    let bare = bare.strip_prefix("file://").unwrap_or(&bare);
    let home = std::env::var_os("HOME").map(PathBuf::from);
    let path = match (bare.strip_prefix("~/"), home) {
        (Some(rest), Some(home)) => home.join(rest),
        _ => PathBuf::from(bare),
    };
    let bytes = at_most(&path, bring::LARGEST).map_err(|why| {
        format!(
            "{} cannot be read: {why}. Name a saved page, a .json or a .txt file.",
            path.display()
        )
    })?;
    bring::read(&bytes).map_err(|t| format!("{} {}. {}.", path.display(), t.what(), t.remedy()))
}

/// Writes a recipe of the shelf as schema.org JSON-LD into a new file.
fn share(desk: &Desk, id: &str, path: &Path) -> Result<String, String> {
    let recipe = desk.known.recipe(id).ok_or("It is not on the shelf any more.")?;
    written(&bring::share(recipe), path)
}

/// Writes a thing as JSON into a new file, and says where it is.
fn written<T: Serialize>(thing: &T, path: &Path) -> Result<String, String> {
    let text = serde_json::to_string_pretty(thing).map_err(|e| e.to_string())? + "\n";
    save(&RealDisk, path, text.as_bytes(), IfThere::Refuse).map_err(|t| t.to_string())?;
    let whole = std::path::absolute(path).unwrap_or_else(|_| path.to_path_buf());
    Ok(format!("Written: {}", whole.display()))
}

fn first_of(text: &str) -> String {
    text.lines().next().unwrap_or_default().to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    pub(super) fn store(dir: &Path) -> Store {
        let places = Places::under(dir).unwrap();
        Store {
            shelf: OwnShelf::at(&places.data),
            drafts: Drafts::at(&places.drafts()),
            right: RefCell::default(),
            places,
            locale: Locale::of(|_: &str| None),
            today: NaiveDate::from_ymd_opt(2026, 11, 25).unwrap(),
        }
    }

    #[test]
    fn what_is_saved_stands_on_the_shelf_and_another_hand_is_not_overwritten() {
        let dir = tempfile::tempdir().unwrap();
        let store = store(dir.path());
        let look = Look::choose(true, "", "", None, true);
        let mut desk = Desk::new(store.known(), look);
        desk.open_copy(Sort::Recipe, "bean-dip");
        let paper = desk.form.as_ref().unwrap().paper.clone();
        store.fulfil(&mut desk, Wish::Save(Box::new(paper)));
        assert!(desk.say.as_ref().unwrap().starts_with("Saved"), "{:?}", desk.say);
        let id = desk.chosen().unwrap().id.unwrap();
        desk.open(Sort::Recipe, Some(&id), None);
        let mut mine = desk.form.as_ref().unwrap().paper.clone();
        mine.value["servings"] = json!(40);
        // Another program writes it meanwhile.
        let mut theirs = mine.clone();
        theirs.value["servings"] = json!(50);
        let text = theirs.text().unwrap();
        store.shelf.save(&RealDisk, FileKind::Recipe, &id, &text, IfThere::Replace).unwrap();
        store.fulfil(&mut desk, Wish::Save(Box::new(mine)));
        let form = desk.form.as_ref().unwrap();
        assert!(form.say.as_ref().unwrap().contains("another program"), "{:?}", form.say);
        assert_eq!(form.paper.before.as_ref().map(|b| &b["servings"]), Some(&json!(50)));
    }
}

//! Several programs at the desk's files, and a disk that does not keep what is typed: nothing of anybody's is lost, and
//! what is said is so.

use std::path::Path;

use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use serde_json::json;

use super::keeping::{Bench, ends};
use super::tests::store;
use super::{Desk, Look, Paper, Sort, Store, Wish};
use crate::kitchen::Settings;
use crate::store::own::OwnShelf;
use crate::store::read::schema::FileKind;
use crate::store::{IfThere, RealDisk, settings, shelf};

/// A desk with the loop around it.
struct Seat {
    store: Store,
    desk: Desk,
    bench: Bench,
}

impl Seat {
    fn at(home: &Path) -> Self {
        let store = store(home);
        let desk = Desk::new(store.known(), Look::choose(true, "", "", None, true));
        Self { store, desk, bench: Bench::default() }
    }

    fn wish(&mut self, wish: Wish) {
        let ends = ends(&wish);
        self.store.fulfil(&mut self.desk, wish);
        self.bench.after(ends, &self.desk);
        self.store.keep(&mut self.desk, &mut self.bench);
    }

    fn press(&mut self, code: KeyCode) {
        for wish in self.desk.press(&KeyEvent::new(code, KeyModifiers::NONE)) {
            self.wish(wish);
        }
        self.store.keep(&mut self.desk, &mut self.bench);
    }

    fn open(&mut self, sort: Sort, id: Option<&str>) {
        self.wish(Wish::Open(sort, id.map(str::to_owned)));
    }

    /// Changes what is in the form, as if it were typed.
    fn puts(&mut self, field: &str, value: impl Into<serde_json::Value>) {
        let form = self.desk.form.as_mut().expect("a form");
        form.paper.value[field] = value.into();
        self.store.keep(&mut self.desk, &mut self.bench);
    }

    fn paper(&self) -> Paper {
        self.desk.form.as_ref().expect("a form").paper.clone()
    }

    fn save(&mut self) {
        let paper = self.paper();
        self.wish(Wish::Save(Box::new(paper)));
    }

    /// What stands in the line of the form, or of the desk.
    fn said(&self) -> String {
        let form = self.desk.form.as_ref().and_then(|f| f.say.clone());
        form.or(self.desk.say.clone()).unwrap_or_default()
    }

    fn draft(&self, id: Option<&str>) -> Option<Paper> {
        self.store.drafts.find("recipe", id).expect("it can be read")
    }
}

/// A recipe of the cook's own under an id; one that a built-in recipe has too.
fn with_recipe(home: &Path, id: &str) -> OwnShelf {
    let seat = Seat::at(home);
    let text = shelf::text(FileKind::Recipe, "bean-dip").unwrap();
    let text = text.replacen("\"bean-dip\"", &format!("\"{id}\""), 1);
    seat.store.shelf.save(&RealDisk, FileKind::Recipe, id, &text, IfThere::Refuse).unwrap();
    seat.store.shelf.clone()
}

/// Somebody has the file open in an editor and has saved half of a change.
#[test]
fn a_file_that_cannot_be_read_by_now_is_not_saved_over() {
    for id in ["my-dip", "bean-dip"] {
        let dir = tempfile::tempdir().unwrap();
        let file = with_recipe(dir.path(), id).path(FileKind::Recipe, id);
        let mut seat = Seat::at(dir.path());
        seat.open(Sort::Recipe, Some(id));
        seat.puts("servings", 40);
        std::fs::write(&file, "{ half of a change").unwrap();
        for _ in 0..2 {
            seat.save();
            assert!(
                seat.said().starts_with("NOT SAVED: another program changed it"),
                "{}",
                seat.said()
            );
            assert_eq!(std::fs::read_to_string(&file).unwrap(), "{ half of a change");
        }
        assert_eq!(seat.draft(Some(id)).unwrap().value["servings"], json!(40));
        // What was taken away is written again: the cook has it in front and wants it kept.
        std::fs::remove_file(&file).unwrap();
        seat.save();
        assert!(seat.said().starts_with("Saved"), "{}", seat.said());
    }
}

/// What `potwatch settings` set while the form was open is not taken back by saving another thing there.
#[test]
fn settings_that_another_program_set_are_not_saved_over() {
    let dir = tempfile::tempdir().unwrap();
    let mut seat = Seat::at(dir.path());
    seat.open(Sort::Settings, Some("settings"));
    seat.puts("comma", true);
    let path = seat.store.places.settings();
    let theirs = Settings { distance_m: Some(3), ..Settings::default() };
    settings::keep(&RealDisk, &path, &theirs).unwrap();
    seat.save();
    assert!(seat.said().starts_with("NOT SAVED: another program"), "{}", seat.said());
    assert_eq!(settings::load(&path), (theirs, None));
    // The cook sees what differs now, and saves that.
    assert_eq!(seat.paper().before.unwrap()["distance_m"], json!(3));
    seat.save();
    assert!(seat.said().starts_with("Saved"), "{}", seat.said());
}

#[test]
fn a_draft_that_cannot_be_read_is_told_of_and_kept() {
    let dir = tempfile::tempdir().unwrap();
    let mut seat = Seat::at(dir.path());
    seat.open(Sort::Recipe, None);
    seat.puts("title", "Typed for half an hour");
    drop(seat);
    let folder = store(dir.path()).places.drafts();
    let file = folder.join("recipe.+new.json");
    let whole = std::fs::read(&file).unwrap();
    let torn = &whole[..whole.len() / 2];
    std::fs::write(&file, torn).unwrap();
    let mut seat = Seat::at(dir.path());
    seat.open(Sort::Recipe, None);
    assert!(
        seat.said().contains("cannot be read") && seat.said().contains("kept as"),
        "{}",
        seat.said()
    );
    seat.puts("title", "Another");
    assert_eq!(std::fs::read(folder.join("recipe.+new.json.unreadable-1")).unwrap(), torn);
    assert_eq!(seat.draft(None).unwrap().value["title"], json!("Another"));
}

#[test]
fn two_desks_do_not_write_one_draft() {
    let dir = tempfile::tempdir().unwrap();
    let (mut one, mut other) = (Seat::at(dir.path()), Seat::at(dir.path()));
    one.open(Sort::Recipe, None);
    one.puts("title", "Typed for half an hour");
    other.open(Sort::Recipe, None);
    assert!(other.desk.form.is_none() && other.said().contains("another desk"), "{}", other.said());
    // A copy is a new recipe too.
    other.wish(Wish::Copy(Sort::Recipe, "bean-dip".to_owned()));
    assert!(other.desk.form.is_none(), "{}", other.said());
    assert_eq!(one.draft(None).unwrap().value["title"], json!("Typed for half an hour"));
    // The first goes; what it left is gone on with, not written over.
    drop(one);
    other.wish(Wish::Copy(Sort::Recipe, "bean-dip".to_owned()));
    assert!(
        other.desk.form.is_none() && other.said().contains("go on with that one"),
        "{}",
        other.said()
    );
    other.open(Sort::Recipe, None);
    assert_eq!(other.paper().value["title"], json!("Typed for half an hour"));
    other.puts("title", "And more");
    assert_eq!(other.draft(None).unwrap().value["title"], json!("And more"));
}

/// Both look at a new recipe, one types; the other, which saves what it has, does not throw that away.
#[test]
fn saving_does_not_forget_the_draft_of_another_desk() {
    let dir = tempfile::tempdir().unwrap();
    let (mut one, mut other) = (Seat::at(dir.path()), Seat::at(dir.path()));
    one.open(Sort::Recipe, None);
    let text = shelf::text(FileKind::Recipe, "bean-dip").unwrap();
    let value = serde_json::from_str(text).unwrap();
    let paper = Paper::brought(Sort::Recipe, value);
    other.desk.form = Some(crate::screen::form::Form::open(paper, &other.desk.known));
    other.store.keep(&mut other.desk, &mut other.bench);
    assert!(
        other.said().contains("NOT KEPT") && other.said().contains("another desk"),
        "{}",
        other.said()
    );
    one.puts("title", "Typed for half an hour");
    other.save();
    assert!(other.said().starts_with("Saved"), "{}", other.said());
    assert_eq!(one.draft(None).unwrap().value["title"], json!("Typed for half an hour"));
}

/// Who closes a form that the disk did not take is not told that it is kept, and does not lose it.
#[test]
fn what_could_not_be_kept_stays_in_front_until_it_can() {
    let dir = tempfile::tempdir().unwrap();
    let mut seat = Seat::at(dir.path());
    let folder = seat.store.places.drafts();
    std::fs::create_dir_all(folder.parent().unwrap()).unwrap();
    seat.open(Sort::Recipe, None);
    // A file where the folder must be: refused to every user.
    std::fs::write(&folder, "").unwrap();
    seat.puts("title", "Typed for half an hour");
    assert!(seat.said().contains("NOT KEPT"), "{}", seat.said());
    for _ in 0..2 {
        seat.press(KeyCode::Esc);
        assert!(seat.said().contains("NOT KEPT"), "{}", seat.said());
        assert_eq!(seat.paper().value["title"], json!("Typed for half an hour"));
    }
    assert!(!seat.bench.may_leave(&mut seat.desk) && seat.said().contains("Press again"));
    assert!(seat.bench.may_leave(&mut seat.desk), "the second time it is meant");
    std::fs::remove_file(&folder).unwrap();
    seat.press(KeyCode::Esc);
    assert!(seat.desk.form.is_none(), "{}", seat.said());
    assert_eq!(seat.draft(None).unwrap().value["title"], json!("Typed for half an hour"));
    assert!(seat.bench.may_leave(&mut seat.desk));
    // Thrown away is thrown away.
    seat.open(Sort::Recipe, None);
    std::fs::remove_dir_all(&folder).unwrap();
    std::fs::write(&folder, "").unwrap();
    seat.puts("title", "No more");
    seat.wish(Wish::Discard(Sort::Recipe, None));
    seat.desk.form = None;
    seat.bench.after(true, &seat.desk);
    seat.store.keep(&mut seat.desk, &mut seat.bench);
    assert!(seat.desk.form.is_none());
}

//! `potwatch party keep`: changes of an evening written into its file, the
//! difference shown before, nothing lost and nothing overwritten by surprise.

use std::ffi::OsStr;
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

use potwatch::kitchen::{Borrowed, Evening, Lendable, Party, PartyChange};
use potwatch::live::opening::journal_of;
use potwatch::run::{Event, StepId};
use potwatch::store::load::load_party;
use potwatch::store::{BootId, Journal, Places, RealDisk, Stamp, place};

struct Home {
    folder: tempfile::TempDir,
}

impl Home {
    /// The demo as a file of the cook's own, and what was marked of it.
    fn with(events: &[Event]) -> Self {
        let home = Self { folder: tempfile::tempdir().expect("a folder") };
        let text =
            fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/assets/demo/party.json"));
        fs::write(home.party(), text.expect("the demo")).expect("written");
        let evening = load_party(&home.party()).expect("sound");
        let places = Places::find(Some(OsStr::new(home.folder.path()))).expect("places");
        place::make(&RealDisk, &places.evenings()).expect("a folder");
        let (path, who) = journal_of(&evening, &places);
        let (mut journal, _) =
            Journal::<Event, _>::open(RealDisk, &path, &who, 0).expect("a journal");
        for (n, event) in events.iter().enumerate() {
            let at = Stamp { wall_ms: 0, mono_ms: n as u64, boot: BootId::new("b") };
            journal.append(&at, event).expect("appended");
        }
        home
    }

    fn party(&self) -> std::path::PathBuf {
        self.folder.path().join("supper.json")
    }

    fn read(&self, file: &Path) -> Party {
        serde_json::from_str(&fs::read_to_string(file).expect("there")).expect("a party")
    }

    /// Exit code, stdout, stderr.
    fn keep(&self, args: &[&str]) -> (i32, String, String) {
        let output = Command::new(env!("CARGO_BIN_EXE_potwatch"))
            .args(["party", "keep", "supper.json"])
            .args(args)
            .current_dir(self.folder.path())
            .env("POTWATCH_HOME", self.folder.path())
            .stdin(Stdio::null())
            .output()
            .expect("it runs");
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("UTF-8");
        (output.status.code().expect("a code"), text(output.stdout), text(output.stderr))
    }
}

fn servings(dish: &str, servings: u32) -> Event {
    Event::ServingsChanged { dish: dish.into(), servings }
}

fn begun() -> Event {
    let id = StepId { dish: "rolls".into(), step: "mix".into(), load: 0 };
    Event::Started { id, way: 0, station: "counter".into(), cook: None, ago_minutes: 0 }
}

#[test]
fn the_difference_is_shown_and_nothing_written_unless_asked_for() {
    let home = Home::with(&[servings("soup", 20)]);
    let before = fs::read(home.party()).expect("there");
    let (code, out, err) = home.keep(&[]);
    assert_eq!((code, err.as_str()), (0, ""));
    assert_eq!(out, "~ dishes, squash-soup, servings: 16 -> 20\n");
    assert_eq!(fs::read(home.party()).expect("there"), before);

    let (code, _, err) = home.keep(&["--replace"]);
    assert_eq!((code, err.as_str()), (0, "Wrote supper.json.\n"));
    assert_eq!(home.read(&home.party()).dishes[0].servings, 20);
    // The same evening goes on, and there is nothing left to keep.
    assert_eq!(home.keep(&[]).1, "Nothing was changed that a party file holds.\n");
    let files = fs::read_dir(home.folder.path()).expect("a folder").count();
    assert_eq!(files, 2, "the party and the evenings: no scrap of writing");
}

#[test]
fn another_file_is_new_and_stands_alone_in_another_folder() {
    let home = Home::with(&[servings("soup", 20), begun()]);
    let (code, _, err) = home.keep(&["--out", "next.json"]);
    assert_eq!(code, 0, "{err}");
    assert_eq!(home.read(&home.folder.path().join("next.json")).dishes[0].servings, 20);
    let (code, _, err) = home.keep(&["--out", "next.json"]);
    assert_eq!(code, 1, "{err}");
    assert!(err.contains("next.json"), "{err}");
}

#[test]
fn marks_of_what_was_done_are_never_lost_to_another_set_of_dishes() {
    let dropped = Event::DishDropped { dish: "dip".into() };
    let home = Home::with(&[dropped.clone(), begun()]);
    let before = fs::read(home.party()).expect("there");
    let (code, out, err) = home.keep(&["--replace"]);
    assert_eq!(code, 2, "{err}");
    assert!(err.contains("1 mark of this evening") || err.contains("--out"), "{err}");
    assert!(out.contains("- dishes, bean-dip"), "{out}");
    assert_eq!(fs::read(home.party()).expect("there"), before);
    // Nothing was cooked yet: then the file may be another party's.
    let fresh = Home::with(&[dropped]);
    assert_eq!(fresh.keep(&["--replace"]).0, 0);
    assert!(fresh.read(&fresh.party()).dishes.iter().all(|d| d.id != "dip"));
}

#[test]
fn what_no_file_holds_is_said() {
    let pie = Event::WaySettled { dish: "pie".into(), step: "bake".into(), way: 0 };
    let guests = serde_json::from_str(r#"[{"name": "the choir", "count": 22}]"#).expect("guests");
    let change = PartyChange::GuestsChanged { guests };
    let home = Home::with(&[pie, Event::PartyChanged { change }]);
    let (code, out, err) = home.keep(&[]);
    assert_eq!((code, err.as_str()), (0, ""));
    assert!(out.contains("stays in the journal"), "{out}");
    assert!(out.contains("guests") && out.contains("the choir"), "{out}");
}

/// Kept, what is borrowed stands in the file and in the journal: it is there once.
#[test]
fn what_is_borrowed_is_kept_and_not_borrowed_twice() {
    let dish = Borrowed { what: Lendable::Cookware, like: "baking-dish".into(), count: 2 };
    let burner = Borrowed { what: Lendable::Station, like: "hob".into(), count: 1 };
    let change = PartyChange::Borrowed { all: vec![dish.clone(), burner.clone()] };
    let home = Home::with(&[Event::PartyChanged { change }]);
    let own = load_party(&home.party()).expect("sound");
    let (code, _, err) = home.keep(&["--replace"]);
    assert_eq!((code, err.as_str()), (0, "Wrote supper.json.\n"));
    assert_eq!(home.read(&home.party()).borrowed, [dish, burner]);
    assert_eq!(home.keep(&[]).1, "Nothing was changed that a party file holds.\n");
    let with = load_party(&home.party()).expect("sound");
    let dishes = |evening: &Evening| {
        evening.kitchen.cookware.iter().find(|c| c.id == "baking-dish").map_or(0, |c| c.count)
    };
    assert_eq!(dishes(&with), dishes(&own) + 2);
    assert_eq!(with.kitchen.stations.len(), own.kitchen.stations.len() + 1);
    assert_eq!(with.own_kitchen(), own.kitchen);
    assert_eq!(
        with.station("hob-2").map(|s| (s.slots, s.title.as_str())),
        Some((1, "Another burner"))
    );
}

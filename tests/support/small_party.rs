//! A small party that lies around the present minute: three dishes, one cook, one service. It is
//! cooked in a time zone in which it is now between 15:00 and 16:00, so that no evening crosses
//! midnight whenever the tests run.

#![allow(dead_code, reason = "each test target uses its part")]

use std::path::{Path, PathBuf};
use std::time::{SystemTime, UNIX_EPOCH};

use potwatch::kitchen::{Clockface, Evening, Minute};
use potwatch::live::clock::Ticks;
use potwatch::live::opening;
use potwatch::plan::planner::{Budget, plan_ahead, reshuffle};
use potwatch::plan::{Plan, Situation};
use potwatch::run::event::StepId;
use potwatch::run::{Event, Mark};
use potwatch::screen::Look;
use potwatch::store::{Places, RealDisk, journal, load::load_party_by};
use serde_json::{Value, json};
use tempfile::TempDir;

/// Rounds of search: enough for three dishes.
const ROUNDS: u64 = 50;
const MINUTE_MS: i64 = 60_000;

/// A party on the disk, with a home for the program beside it.
pub struct SmallParty {
    folder: TempDir,
    face: Clockface,
    /// The file.
    pub file: PathBuf,
    /// The evening that is in it.
    pub evening: Evening,
}

/// Unix milliseconds.
pub fn now_ms() -> i64 {
    let since = SystemTime::now().duration_since(UNIX_EPOCH).unwrap();
    since.as_millis().try_into().unwrap()
}

/// A step of the party, first load.
pub fn step(dish: &str, step: &str) -> StepId {
    StepId { dish: dish.to_owned(), step: step.to_owned(), load: 0 }
}

/// A step that was started by the cook at a station, in its first way.
pub fn started(dish: &str, name: &str, station: &str) -> Event {
    let (id, station) = (step(dish, name), station.to_owned());
    Event::Started { id, way: 0, station, cook: Some("ada".to_owned()), ago_minutes: 0 }
}

/// A step that was done.
pub fn done(dish: &str, name: &str) -> Event {
    Event::Done { id: step(dish, name), ago_minutes: 0 }
}

impl SmallParty {
    /// A party whose first step is due in so many minutes (ago, if negative).
    pub fn first_due_in(minutes: Minute) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let (face, now) = here_and_now();
        let file = folder.path().join("small.json");
        let load = |service: Minute| {
            let text = format!("{:#}", party(&face, now, service));
            std::fs::write(&file, text).unwrap();
            load_party_by(&file, |_| face.clone()).unwrap_or_else(|p| panic!("{p}")).evening
        };
        // Where the first step of the plan lies against the service; moving all moves both alike.
        let service = now + 120;
        let first = first_start(&plan_from(&load(service), None));
        let evening = load(service + now + minutes - first);
        Self { folder, face, file, evening }
    }

    /// The folder that the program keeps its files in.
    pub fn home(&self) -> PathBuf {
        self.folder.path().join("home")
    }

    /// What the program finds in its environment.
    pub fn env(&self) -> Vec<(&'static str, String)> {
        vec![
            ("POTWATCH_HOME", self.home().display().to_string()),
            // East of Greenwich is negative here (POSIX, Base Definitions 8.3).
            ("TZ", format!("KIT{:+}", -offset_h(&self.face))),
            ("PATH", "/usr/bin:/bin".to_owned()),
            ("LANG", "C.UTF-8".to_owned()),
        ]
    }

    /// Begins the evening as if so many minutes ago: a plan of that minute stands in the journal,
    /// and these marks after it, each so many minutes before now.
    pub fn begin(&self, minutes_ago: i64, marks: &[(i64, Event)]) {
        let look = Look::choose(true, "", "dumb", None, true);
        let mut opened = opening::open(self.evening.clone(), &self.places(), look).unwrap();
        let now = now_ms();
        let at = |ago: i64| now - ago * MINUTE_MS;
        let from = self.evening.face.minute_at(at(minutes_ago));
        let plan = plan_from(&self.evening, Some(from));
        let adopted =
            Event::PlanAdopted { plan: Box::new(plan), moved: String::new(), why: String::new() };
        let all = [(minutes_ago, adopted)].into_iter().chain(marks.iter().cloned());
        for (ago, event) in all {
            let ticks = Ticks { wall_ms: at(ago), mono_ms: 0 };
            opened.book.begin().unwrap();
            opened.book.append(at(ago), ticks, event).unwrap();
            opened.book.end();
        }
    }

    /// The evening's journal.
    pub fn journal(&self) -> PathBuf {
        let folder = std::fs::read_dir(self.places().evenings()).unwrap();
        let paths = folder.map(|entry| entry.unwrap().path());
        let mut journals = paths.filter(|p| p.extension().is_some_and(|e| e == "journal"));
        let found = journals.next().expect("a journal");
        assert_eq!(journals.next(), None, "one evening, one journal");
        found
    }

    /// Every mark that is on the disk now.
    pub fn marks(&self) -> Vec<Mark> {
        let read = journal::read::<Event, _>(&RealDisk, &self.journal()).unwrap();
        let mark = |e: potwatch::store::Entry<Event>| Mark {
            seq: e.seq,
            at_ms: e.at.wall_ms,
            event: e.event,
        };
        read.entries.into_iter().map(mark).collect()
    }

    /// What the cook marked, plans left out.
    pub fn by_the_cook(&self) -> Vec<Event> {
        let marks = self.marks().into_iter().map(|m| m.event);
        marks.filter(|e| !matches!(e, Event::PlanAdopted { .. })).collect()
    }

    /// The folders in it.
    pub fn places(&self) -> Places {
        Places::under(&self.home()).unwrap()
    }
}

/// A time zone in which it is three in the afternoon, and the present minute there.
fn here_and_now() -> (Clockface, Minute) {
    let now_s = now_ms() / 1000;
    let hour = now_s.div_euclid(3600).rem_euclid(24);
    let offset_h = (15 - hour + 11).rem_euclid(24) - 11;
    let here = chrono::DateTime::from_timestamp(now_s + offset_h * 3600, 0).unwrap();
    let face = Clockface::fixed(here.date_naive(), i32::try_from(offset_h * 3600).unwrap());
    let now = face.minute_at(now_s * 1000);
    assert_eq!(now / 60, 15);
    (face, now)
}

fn offset_h(face: &Clockface) -> i64 {
    i64::from(face.offsets[0].1) / 3600
}

/// The plan of a party that lies ahead, or begins at a minute.
fn plan_from(evening: &Evening, from: Option<Minute>) -> Plan {
    let budget = Budget { seed: 1, rounds: ROUNDS, stop: &|| false };
    let found = match from {
        None => plan_ahead(evening, &budget, &mut |_| ()),
        Some(now) => {
            let situation = Situation { now: Some(now), ..Situation::default() };
            reshuffle(evening, &situation, &budget, &mut |_| ())
        }
    };
    found.unwrap_or_else(|e| panic!("no plan: {e:?}"))
}

fn first_start(plan: &Plan) -> Minute {
    plan.blocks.iter().map(|b| b.start).min().expect("a block")
}

fn party(face: &Clockface, now: Minute, service: Minute) -> Value {
    let time = |minute: Minute| format!("{:02}:{:02}", minute / 60, minute % 60);
    json!({
        "id": "small-supper",
        "title": "Small supper",
        "day": face.day.to_string(),
        "services": [{ "id": "mains", "title": "Mains", "at": time(service) }],
        "cooks": [{
            "id": "ada", "name": "Ada",
            "free": [{ "from": time(now - 180), "to": time(service + 240) }]
        }],
        "kitchen": kitchen(),
        "dishes": [
            { "id": "soup", "letter": "S", "servings": 6, "service": "mains", "recipe": soup() },
            { "id": "pie", "letter": "P", "servings": 6, "service": "mains", "recipe": pie() },
            { "id": "salad", "letter": "G", "servings": 6, "service": "mains", "recipe": salad() }
        ]
    })
}

fn kitchen() -> Value {
    json!({
        "id": "small-kitchen",
        "title": "Small kitchen",
        "stations": [
            { "id": "counter", "title": "Counter", "kind": "counter", "slots": 1 },
            { "id": "hob", "title": "Hob", "kind": "stovetop", "slots": 2 },
            { "id": "oven", "title": "Oven", "kind": "oven", "slots": 1,
              "thermostat": { "least_c": 50, "most_c": 250, "up_c_per_min": 20, "down_c_per_min": 10 } },
            { "id": "grill", "title": "Camp grill", "kind": "grill", "slots": 1 }
        ],
        "cookware": [
            { "id": "pot", "title": "Pot", "kind": "pot", "count": 2, "volume_ml": 5000 },
            { "id": "dish", "title": "Pie dish", "kind": "pan", "count": 1, "volume_ml": 3000, "ovenproof": true }
        ]
    })
}

/// The longest: it is what begins.
fn soup() -> Value {
    json!({
        "id": "test-soup", "title": "Bean soup", "short": "soup", "course": "main", "servings": 6,
        "ingredients": [{ "item": "white beans", "amount": 500, "unit": "g" }],
        "steps": [
            { "id": "chop", "label": "chop", "text": "Chop the roots.",
              "ways": [{ "station": "counter", "minutes": 10 }], "hands": { "between_percent": 100 } },
            { "id": "simmer", "label": "simmer", "text": "Simmer until soft.",
              "ways": [{ "station": "stovetop", "minutes": 30 }],
              "hands": { "start_minutes": 1, "end_minutes": 1 },
              "after": [{ "step": "chop", "most_minutes": 30 }],
              "cookware": [{ "kind": "pot", "least_ml": 2000 }],
              "overdone_after": 10 }
        ],
        "holds": [{ "place": "stovetop", "class": "hot", "free_minutes": 20, "points": 2, "most_minutes": 60 }],
        "safety": { "class": "cooked_plant" }
    })
}

fn pie() -> Value {
    json!({
        "id": "test-pie", "title": "Leek pie", "short": "pie", "course": "main", "servings": 6,
        "ingredients": [{ "item": "leek", "amount": 6 }],
        "steps": [
            { "id": "bake", "label": "bake", "text": "Bake until brown.",
              "ways": [
                  { "station": "oven", "minutes": 20, "at_c": 180, "give_c": 5 },
                  { "station": "grill", "minutes": 25, "points": 3 }
              ],
              "hands": { "start_minutes": 1, "end_minutes": 1 },
              "cookware": [{ "kind": "pan", "least_ml": 2000 }],
              "overdone_after": 6 }
        ],
        "holds": [{ "place": "oven", "class": "hot", "at_c": 80, "give_c": 10, "free_minutes": 10, "points": 2, "most_minutes": 40 }],
        "safety": { "class": "casserole" }
    })
}

fn salad() -> Value {
    json!({
        "id": "test-salad", "title": "Green salad", "short": "salad", "course": "side", "servings": 6,
        "ingredients": [{ "item": "lettuce", "amount": 2 }],
        "steps": [
            { "id": "toss", "label": "toss", "text": "Wash and toss.",
              "ways": [{ "station": "counter", "minutes": 8 }], "hands": { "between_percent": 100 } }
        ],
        "holds": [{ "place": "counter", "class": "room", "free_minutes": 30, "points": 1, "most_minutes": 90 }],
        "safety": { "class": "cooked_plant" }
    })
}

/// Whether a folder holds nothing (or is not there).
pub fn is_empty(folder: &Path) -> bool {
    std::fs::read_dir(folder).map_or(true, |mut entries| entries.next().is_none())
}

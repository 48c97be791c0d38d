//! Evenings of the demo party that lie in the past, cooked and written to the disk as the program writes them.

#![allow(dead_code, reason = "each test target uses its part")]

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use potwatch::command::{Exit, Streams, run_with};
use potwatch::kitchen::{Evening, Minute, StationKind};
use potwatch::live::opening::journal_of;
use potwatch::plan::planner::{Budget, plan_ahead};
use potwatch::plan::{Plan, StepKey};
use potwatch::run::event::StepId;
use potwatch::run::{Clearing, Event};
use potwatch::store::load::load_party_by;
use potwatch::store::{BootId, Journal, Places, RealDisk, Stamp, cooked, place};
use serde_json::Value;
use tempfile::TempDir;

/// A home for the program.
pub struct Past {
    /// Where parties lie.
    folder: PathBuf,
    home: PathBuf,
    /// Goes with it, if it is to go.
    _kept: Option<TempDir>,
}

impl Past {
    pub fn new() -> Self {
        let kept = tempfile::tempdir().unwrap();
        let folder = kept.path().to_path_buf();
        Self { home: folder.join("home"), folder, _kept: Some(kept) }
    }

    /// A home that stays.
    pub fn in_folder(folder: &Path) -> Self {
        std::fs::create_dir_all(folder).unwrap();
        let folder = folder.to_path_buf();
        Self { home: folder.clone(), folder, _kept: None }
    }

    pub fn home(&self) -> PathBuf {
        self.home.clone()
    }

    pub fn places(&self) -> Places {
        Places::under(&self.home()).unwrap()
    }

    /// The demo party on a day, changed, as a file.
    pub fn party(&self, day: &str, change: impl FnOnce(&mut Value)) -> String {
        let mut party: Value = serde_json::from_str(potwatch::store::shelf::DEMO).unwrap();
        party["day"] = day.into();
        change(&mut party);
        let path = self.folder.join(format!("party-{day}.json"));
        std::fs::write(&path, format!("{party:#}")).unwrap();
        path.to_str().unwrap().to_owned()
    }

    /// Runs the program with this home.
    pub fn run(&self, args: &[&str]) -> (Exit, String, String) {
        let home = self.home();
        let var = |name: &str| match name {
            "POTWATCH_HOME" => home.to_str().map(str::to_owned),
            _ => None,
        };
        let (mut out, mut err, mut input) = (Vec::new(), Vec::new(), std::io::empty());
        let mut streams =
            Streams { out: &mut out, err: &mut err, input: &mut input, asks: false, var: &var };
        let args = std::iter::once("potwatch").chain(args.iter().copied()).map(Into::into);
        let exit = run_with(args, &mut streams);
        let text = |bytes| String::from_utf8(bytes).unwrap();
        (exit, text(out), text(err))
    }

    pub fn evening(&self, party: &str) -> Evening {
        load_party_by(Path::new(party), potwatch::store::zone::clockface).unwrap().evening
    }

    /// Dish and step with the longest likely minutes at the oven, cooked to no temperature.
    pub fn longest_in_the_oven(&self, party: &str) -> (String, String) {
        let evening = self.evening(party);
        let steps = evening.sheets.iter().flat_map(|sheet| {
            let of = sheet.recipe.steps.iter().filter(|s| s.ways[0].station == StationKind::Oven);
            of.map(move |s| (s.ways[0].minutes.likely, sheet.id.clone(), s.id.clone()))
        });
        let longest = steps.max().unwrap();
        (longest.1, longest.2)
    }

    /// Cooks the demo party on a day: each step takes its planned minutes times what `pace` says of its station,
    /// and waits for what it follows. Everything is marked as it happens.
    pub fn cook(&self, day: &str, pace: impl Fn(StationKind) -> f64) -> (PathBuf, Evening) {
        let evening = self.evening(&self.party(day, |_| {}));
        let budget = Budget { seed: 1, rounds: 20, stop: &|| false };
        let plan = plan_ahead(&evening, &budget, &mut |_| ()).unwrap();
        let places = self.places();
        place::make(&RealDisk, &places.evenings()).unwrap();
        let (path, who) = journal_of(&evening, &places);
        let events = events(&evening, plan, pace);
        let first = events[0].0;
        let (mut journal, _) =
            Journal::<Event, RealDisk>::open(RealDisk, &path, &who, first).unwrap();
        cooked::keep(&RealDisk, &path, &evening).unwrap();
        for (at_ms, event) in events {
            let stamp = Stamp { wall_ms: at_ms, mono_ms: 0, boot: BootId::new("a past evening") };
            journal.append(&stamp, &event).unwrap();
        }
        (path, evening)
    }
}

/// What was marked, by time (unix ms).
pub fn events(
    evening: &Evening,
    plan: Plan,
    pace: impl Fn(StationKind) -> f64,
) -> Vec<(i64, Event)> {
    let mut blocks = plan.blocks.clone();
    blocks.sort_by_key(|b| (b.start, b.end, b.key));
    let mut ends: BTreeMap<StepKey, i64> = BTreeMap::new();
    let ms = |minute: Minute| evening.face.ms_of(minute);
    let mut events = Vec::new();
    for (n, block) in blocks.iter().enumerate() {
        let sheet = &evening.sheets[block.key.dish];
        let step = &sheet.recipe.steps[block.key.step];
        let follows = |key: &StepKey| {
            key.dish == block.key.dish
                && (step.after.iter().any(|a| a.step == sheet.recipe.steps[key.step].id)
                    || key.step == block.key.step && key.load < block.key.load)
        };
        let ready = ends.iter().filter(|(key, _)| follows(key)).map(|(_, end)| *end).max();
        // No two marks within the same half minute, as one hand makes them.
        let start = ms(block.start).max(ready.unwrap_or(i64::MIN)) + n as i64 * 100;
        let kind = step.ways[block.way].station;
        let long = f64::from(block.end - block.start) * 60_000.0 * pace(kind);
        let end = start + long as i64;
        ends.insert(block.key, end);
        let id = StepId { dish: sheet.id.clone(), step: step.id.clone(), load: block.key.load };
        let (station, cook) = (block.station.clone(), block.cook.clone());
        let way = block.way;
        events.push((start, Event::Started { id: id.clone(), way, station, cook, ago_minutes: 0 }));
        events.push((end, Event::Done { id, ago_minutes: 0 }));
    }
    for (dish, sheet) in evening.sheets.iter().enumerate() {
        let done = ends.iter().filter(|(k, _)| k.dish == dish).map(|(_, e)| *e).max().unwrap();
        let served = done.max(ms(evening.service_minute(sheet.service)));
        let dish = sheet.id.clone();
        events.push((served + 1, Event::Served { dish: dish.clone() }));
        events.push((served + 45 * 60_000, Event::Cleared { dish, how: Clearing::Eaten }));
    }
    events.sort_by_key(|e| e.0);
    let begins = events[0].0 - 3_600_000;
    let plan = Box::new(plan);
    let adopted = Event::PlanAdopted { plan, moved: String::new(), why: String::new() };
    events.insert(0, (begins, adopted));
    events.push((events.last().unwrap().0 + 60_000, Event::Finished));
    events
}

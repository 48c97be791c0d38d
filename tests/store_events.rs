//! The journal with the program's own events, and a journal of format 1 that every later program must open.

use std::path::Path;

use potwatch::kitchen::party::Appetite;
use potwatch::kitchen::{HoldClass, PartyChange, StationKind, WaitPlace};
use potwatch::plan::contact::{Clean, Thing, Trace};
use potwatch::plan::{
    Block, Cost, HoldBlock, PanBlock, Plan, Proof, ServiceLine, SettingBlock, SettingKind, StepKey,
    WaitBlock,
};
use potwatch::run::{Answer, Clearing, Event, PortionDid, StepId};
use potwatch::store::journal::read;
use potwatch::store::{BootId, Identity, Journal, JournalError, RealDisk, Recovered, Stamp};

/// Made by another program, with the CRC-32 of Python's zlib module.
const FORMAT_1: &str = r#"{"format":"potwatch journal","version":1,"party":"autumn-supper","fingerprint":"85944171f73967e8","created_ms":1795885200000,"crc":"24aebc13"}
{"seq":1,"wall_ms":1795885260000,"mono_ms":1000,"boot":"e2e56ed0-03d8-45bf-a293-e7291c515da5","event":{"what":"started","dish":"squash soup"},"prev":"24aebc13","crc":"1d55317d"}
{"seq":2,"wall_ms":1795885200123,"mono_ms":2000,"boot":"e2e56ed0-03d8-45bf-a293-e7291c515da5","event":"Grüße \n \"x\"","prev":"1d55317d","crc":"0c97a39a"}
{"seq":3,"wall_ms":1795888800000,"mono_ms":3000,"boot":"e2e56ed0-03d8-45bf-a293-e7291c515da5","event":[71.5,null,-3],"prev":"0c97a39a","crc":"8cda029c"}
"#;

fn who() -> Identity {
    Identity { party: "autumn-supper".into(), fingerprint: "85944171f73967e8".into() }
}

#[test]
fn format_1_is_read_and_written_for_ever() {
    use serde_json::{Value, json};
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("old.journal");
    std::fs::write(&path, FORMAT_1).unwrap();
    let got: Recovered<Value> = read(&RealDisk, &path).unwrap();
    let events: Vec<&Value> = got.entries.iter().map(|e| &e.event).collect();
    let expected = [
        json!({"what": "started", "dish": "squash soup"}),
        json!("Grüße \n \"x\""),
        json!([71.5, null, -3]),
    ];
    assert_eq!(events, expected.iter().collect::<Vec<_>>());
    assert_eq!(got.entries[1].at.wall_ms, 1_795_885_200_123);

    // What we write has the same first line, byte for byte, and the same layout around an event.
    let again = dir.path().join("new.journal");
    let (mut journal, _) =
        Journal::<Value, _>::open(RealDisk, &again, &who(), got.header.created_ms).unwrap();
    let boot = BootId::new("e2e56ed0-03d8-45bf-a293-e7291c515da5");
    let at = Stamp { wall_ms: 1_795_885_260_000, mono_ms: 1000, boot };
    journal.append(&at, &json!("soup")).unwrap();
    let text = std::fs::read_to_string(&again).unwrap();
    assert_eq!(text.lines().next(), FORMAT_1.lines().next());
    let (layout, _) = text.lines().last().unwrap().split_once("\"soup\"").unwrap();
    assert!(FORMAT_1.lines().nth(1).unwrap().starts_with(layout), "{layout}");
}

#[test]
fn every_event_comes_back_as_it_went() {
    let events = one_of_each();
    let mut kinds: Vec<usize> = events.iter().map(kind).collect();
    kinds.sort_unstable();
    kinds.dedup();
    assert_eq!(kinds, (0..KINDS).collect::<Vec<_>>(), "one of each kind");

    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("supper.journal");
    let (mut journal, _) = Journal::open(RealDisk, &path, &who(), 0).unwrap();
    for (n, event) in events.iter().enumerate() {
        let at = Stamp { wall_ms: 0, mono_ms: n as u64, boot: BootId::new("b") };
        let seq = journal.append(&at, event).unwrap_or_else(|e| panic!("{event:?}: {e}"));
        assert_eq!(seq, n as u64 + 1);
    }
    let got: Recovered<Event> = read(&RealDisk, &path).unwrap();
    assert_eq!(got.entries.into_iter().map(|e| e.event).collect::<Vec<_>>(), events);
}

#[test]
fn a_temperature_that_is_no_number_is_refused_and_harms_nothing() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("supper.journal");
    let (mut journal, _) = Journal::open(RealDisk, &path, &who(), 0).unwrap();
    let at = Stamp { wall_ms: 0, mono_ms: 0, boot: BootId::new("b") };
    let taken = |celsius| Event::Temperature { dish: "pork".into(), celsius };
    assert!(matches!(journal.append(&at, &taken(f64::NAN)), Err(JournalError::Unwritable { .. })));
    assert_eq!(journal.append(&at, &taken(62.800_000_000_000_004)).unwrap(), 1);
    let got: Recovered<Event> = read(&RealDisk, Path::new(&path)).unwrap();
    assert_eq!(got.entries[0].event, taken(62.800_000_000_000_004));
}

const KINDS: usize = 36;

/// A number for each kind; a new kind must be added here, and so to [`one_of_each`].
fn kind(event: &Event) -> usize {
    match event {
        Event::Started { .. } => 0,
        Event::Done { .. } => 1,
        Event::Skipped { .. } => 2,
        Event::NeedsMore { .. } => 3,
        Event::Temperature { .. } => 4,
        Event::HeldAt { .. } => 5,
        Event::Served { .. } => 6,
        Event::Cleared { .. } => 7,
        Event::StationDown { .. } => 8,
        Event::StationUp { .. } => 9,
        Event::OvenSet { .. } => 10,
        Event::ServiceMoved { .. } => 11,
        Event::ServingsChanged { .. } => 12,
        Event::DishDropped { .. } => 13,
        Event::DishBack { .. } => 14,
        Event::Pinned { .. } => 15,
        Event::Unpinned { .. } => 16,
        Event::AlarmAcknowledged { .. } => 17,
        Event::AlarmPutOff { .. } => 18,
        Event::AlarmAnswered { .. } => 19,
        Event::PlanAdopted { .. } => 20,
        Event::Undone { .. } => 21,
        Event::Finished => 22,
        Event::GuidanceChanged { .. } => 23,
        Event::AirMeasured { .. } => 24,
        Event::IngredientsOut { .. } => 25,
        Event::IngredientsBack { .. } => 26,
        Event::Portion { .. } => 27,
        Event::ClockSetBack { .. } => 28,
        Event::WaySettled { .. } => 29,
        Event::PlaceSettled { .. } => 30,
        Event::CookThere { .. } => 31,
        Event::WayTaken { .. } => 32,
        Event::RuleChosen { .. } => 33,
        Event::Ticked { .. } => 34,
        Event::PartyChanged { .. } => 35,
    }
}

/// Each kind of change; a recipe in one is any of the shelf, with fractions in it.
fn one_of_each_change() -> Vec<PartyChange> {
    let dish = || "orchard pork".to_string();
    let recipes = potwatch::store::shelf::recipes();
    let dishes = recipes.iter().map(|recipe| {
        let json = serde_json::json!({
            "id": recipe.id, "recipe": recipe, "servings": 7, "service": "mains", "letter": "X",
            "day_before": true, "swaps": [{"item": "ö", "by": "\n"}]
        });
        PartyChange::DishAdded { dish: serde_json::from_value(json).unwrap() }
    });
    let guests = serde_json::from_str(
        r#"[{"name": "the choir", "count": 8, "diets": ["vegan"], "avoids": ["sesame"], "heat": 1}]"#,
    );
    let borrowed = serde_json::from_str(r#"{"what": "station", "like": "hob", "count": 1}"#);
    let recipe = Box::new(recipes[0].clone());
    let mut all: Vec<PartyChange> = dishes.collect();
    all.extend([
        PartyChange::DishMoved { dish: dish(), service: "starters".into() },
        PartyChange::Swapped { dish: dish(), item: "butter".into(), by: Some("oil".into()) },
        PartyChange::Swapped { dish: dish(), item: "butter".into(), by: None },
        PartyChange::Halved { dish: dish(), item: "butter".into(), by: Some("oil".into()) },
        PartyChange::DayBefore { dish: dish(), on: true },
        PartyChange::RecipeChanged { dish: dish(), recipe },
        PartyChange::Borrowed { all: vec![borrowed.unwrap()] },
        PartyChange::GuestsChanged { guests: guests.unwrap() },
        PartyChange::LeastChanged { starters: 1, mains: 3 },
        PartyChange::AppetiteChanged { appetite: Appetite::Hearty },
    ]);
    all
}

/// As it was first written: an old journal is read for ever.
#[test]
fn changes_of_the_party_are_read_as_they_were_first_written() {
    let lines = [
        r#"{"what":"party_changed","change":{"to":"dish_moved","dish":"pie","service":"mains"}}"#,
        r#"{"what":"party_changed","change":{"to":"swapped","dish":"pie","item":"milk","by":"oat drink"}}"#,
        r#"{"what":"party_changed","change":{"to":"halved","dish":"pie","item":"milk","by":null}}"#,
        r#"{"what":"party_changed","change":{"to":"day_before","dish":"pie","on":true}}"#,
        r#"{"what":"party_changed","change":{"to":"guests_changed","guests":[{"name":"choir","count":8}]}}"#,
        r#"{"what":"party_changed","change":{"to":"borrowed","all":[{"what":"cookware","like":"dish","count":2}]}}"#,
        r#"{"what":"party_changed","change":{"to":"least_changed","starters":2,"mains":1}}"#,
    ];
    for line in lines {
        let event: Event = serde_json::from_str(line).unwrap_or_else(|e| panic!("{line}: {e}"));
        assert_eq!(serde_json::to_string(&event).unwrap(), line);
    }
}

fn one_of_each() -> Vec<Event> {
    let id = || StepId { dish: "orchard pork".into(), step: "sear".into(), load: 2 };
    let dish = || "pear \"crumble\"".to_string();
    let station = || "oven".to_string();
    let alarm = || "pull/pie/bake".to_string();
    let mut all = vec![
        Event::Started {
            id: id(),
            way: 1,
            station: station(),
            cook: Some("ö".into()),
            ago_minutes: 3,
        },
        Event::Started { id: id(), way: 0, station: station(), cook: None, ago_minutes: 0 },
        Event::Done { id: id(), ago_minutes: 1 },
        Event::Skipped { id: id() },
        Event::NeedsMore { id: id(), minutes: 7 },
        Event::Temperature { dish: dish(), celsius: 71.1 },
        Event::HeldAt {
            dish: dish(),
            hold: None,
            place: StationKind::SlowCooker,
            station: Some(station()),
        },
        Event::Served { dish: dish() },
        Event::Cleared { dish: dish(), how: Clearing::PutAway },
        Event::StationDown { station: station() },
        Event::StationUp { station: station() },
        Event::OvenSet { station: station(), celsius: 190 },
        Event::ServiceMoved { service: "mains".into(), to: 1140 },
        Event::ServingsChanged { dish: dish(), servings: 20 },
        Event::DishDropped { dish: dish() },
        Event::DishBack { dish: dish() },
        Event::Pinned { id: id(), at: 1000 },
        Event::Unpinned { id: id() },
        Event::AlarmAcknowledged { alarm: alarm() },
        Event::AlarmPutOff { alarm: alarm(), until_ms: 1_795_885_200_000 },
        Event::AlarmAnswered { alarm: alarm(), how: Answer::KeptKnowingly },
        Event::PlanAdopted {
            plan: Box::new(plan()),
            moved: "Pie later".into(),
            why: "Oven".into(),
        },
        Event::Undone { seq: u64::MAX },
        Event::Finished,
        Event::Ticked { line: "buy/onion".into(), on: true },
        Event::Ticked { line: "mise/onion, diced".into(), on: false },
        Event::GuidanceChanged { to: "uk".into() },
        Event::AirMeasured { celsius: 31.5 },
        Event::RuleChosen { dish: dish(), rule: Some("six_hours_cold".into()) },
        Event::RuleChosen { dish: dish(), rule: None },
        Event::IngredientsOut { id: id() },
        Event::IngredientsBack { id: id() },
        Event::Portion { dish: dish(), part: 1, did: PortionDid::TakenOff },
        Event::Portion {
            dish: dish(),
            part: 2,
            did: PortionDid::HeldAt {
                hold: Some(1),
                place: StationKind::Fridge,
                station: Some(station()),
            },
        },
        Event::Portion { dish: dish(), part: 2, did: PortionDid::Served },
        Event::Portion {
            dish: dish(),
            part: 2,
            did: PortionDid::Cleared { how: Clearing::ThrownOut },
        },
        Event::Portion { dish: dish(), part: 2, did: PortionDid::Temperature { celsius: 4.5 } },
        Event::Portion {
            dish: dish(),
            part: 9,
            did: PortionDid::JoinedTo { dish: dish(), part: Some(1) },
        },
        Event::ClockSetBack { by_ms: 3_600_000 },
        Event::WaySettled { dish: dish(), step: "bake".into(), way: 1 },
        Event::PlaceSettled { dish: dish(), hold: 1 },
        Event::CookThere { cook: "helper".into(), name: "Zoë".into(), from: 1020, to: 1140 },
        Event::WayTaken {
            words: "Mains 20 min later (19:20); Leave out Dip".into(),
            events: vec![
                Event::ServiceMoved { service: "mains".into(), to: 1160 },
                Event::DishDropped { dish: dish() },
            ],
        },
    ];
    all.extend(one_of_each_change().into_iter().map(|change| Event::PartyChanged { change }));
    all
}

fn plan() -> Plan {
    let station = || "oven".to_string();
    let key = StepKey { dish: 1, step: 2, load: 0 };
    Plan {
        made_for: -5,
        blocks: vec![Block {
            key,
            loads: 3,
            way: 0,
            station: station(),
            slots: vec![0, 1],
            cook: None,
            start: 10,
            end: 40,
            hands_start: 2,
            hands_end: 1,
            hands_between: 10,
            setting_c: Some(190),
            begun: true,
        }],
        holds: vec![HoldBlock {
            dish: 1,
            hold: 0,
            class: HoldClass::Hot,
            station: String::new(),
            slots: vec![],
            from: 40,
            to: 60,
            setting_c: None,
        }],
        waits: vec![WaitBlock {
            dish: 1,
            after_step: 0,
            before_step: 2,
            place: WaitPlace::Cold,
            station: Some("fridge".into()),
            slots: vec![4],
            from: 0,
            to: 10,
        }],
        settings: vec![SettingBlock {
            station: station(),
            kind: SettingKind::Heating,
            from: 0,
            to: 10,
            from_c: 20,
            to_c: 190,
        }],
        pans: vec![PanBlock {
            cookware: "tray".into(),
            numbers: vec![1],
            dish: 1,
            from: 10,
            to: 60,
        }],
        services: vec![ServiceLine { service: 0, due: 60, dishes: vec![(1, 40, 60)] }],
        cost: Cost { late: 0, quality: 4, risk: 5, effort: 6, change: 7, finish: 0 },
        bound: 12,
        proof: Proof::WithinPermille(18),
        room: potwatch::plan::risk::Room::default(),
        cleans: vec![Clean {
            key,
            thing: Thing::Board(station(), 1),
            traces: vec![Trace { dish: 0, ingredient: 3, guest: 2 }],
        }],
    }
}

//! A small evening with a plan, for the tests of the run: four dishes that
//! between them have loads, an oven, an overdone limit, a step that ends by
//! itself, a hold that stays where it is and one that is put away.
//!
//! Invented data; nothing here is a figure of anybody's.

use std::sync::Arc;

use serde_json::json;

use super::event::{Event, Mark, PortionDid, StepId};
use super::state::State;
use super::view::View;
use crate::kitchen::check;
use crate::kitchen::{Clockface, Evening, Kitchen, Minute, Party, Recipe, TimeOfDay};
use crate::order::InOrder;
use crate::plan::{Block, HoldBlock, Plan, ServiceLine, SettingBlock, SettingKind, StepKey};

/// The evening: starters 18:00 (soup, dip, fries), mains 19:00 (pie).
pub fn evening() -> Arc<Evening> {
    let party: Party = read(json!({
        "id": "small", "title": "A small evening", "day": "2026-10-24",
        "services": [
            {"id": "starters", "title": "Starters", "at": "18:00"},
            {"id": "mains", "title": "Mains", "at": "19:00"}],
        "dishes": [
            {"id": "soup", "recipe": "soup", "servings": 8, "service": "starters"},
            {"id": "dip", "recipe": "dip", "servings": 8, "service": "starters"},
            {"id": "fries", "recipe": "fries", "servings": 8, "service": "starters"},
            {"id": "pie", "recipe": "pie", "servings": 8, "service": "mains"}],
        "cooks": [{"id": "ana", "name": "Ana", "free": [{"from": "14:00", "to": "23:00"}]}],
        "kitchen": "home"}));
    let kitchen: Kitchen = read(json!({
        "id": "home", "title": "Home",
        "stations": [
            {"id": "oven", "title": "Oven", "kind": "oven", "slots": 2, "thermostat":
                {"least_c": 50, "most_c": 250, "up_c_per_min": 10, "down_c_per_min": 5}},
            {"id": "hob", "title": "Hob", "kind": "stovetop", "slots": 4},
            {"id": "fryer", "title": "Air fryer", "kind": "air_fryer", "slots": 1},
            {"id": "cooker", "title": "Slow cooker", "kind": "slow_cooker", "slots": 1},
            {"id": "board", "title": "Counter", "kind": "counter", "slots": 2},
            {"id": "fridge", "title": "Fridge", "kind": "fridge", "slots": 6}],
        "cookware": [{"id": "dish", "title": "Pie dish", "kind": "pie_dish", "count": 1}]}));
    let recipes = vec![soup(), dip(), fries(), pie()];
    let face = Clockface::fixed(party.day, 0);
    Arc::new(check::evening(party, kitchen, recipes, face))
}

/// The same evening by another guidance profile.
pub fn evening_by(guidance: &str) -> Arc<Evening> {
    let mut evening = Evening::clone(&evening());
    evening.party.guidance = guidance.to_owned();
    Arc::new(evening)
}

fn soup() -> Recipe {
    read(json!({
        "id": "soup", "title": "Soup", "course": "starter", "servings": 8,
        "ingredients": [{"item": "leek", "steps": ["chop"]},
            {"item": "stock", "kept": "fridge", "steps": ["simmer"]}],
        "steps": [
            {"id": "chop", "text": "Chop the leeks.", "label": "chop",
             "ways": [{"station": "counter", "minutes": 10}],
             "hands": {"between_percent": 100}},
            {"id": "simmer", "text": "Simmer the soup.", "label": "simmer",
             "ways": [{"station": "stovetop", "minutes": {"low": 25, "likely": 30, "high": 40},
                       "setting": "medium"}],
             "hands": {"start_minutes": 2, "between_percent": 10},
             "after": [{"step": "chop"}]}],
        "holds": [{"place": "stovetop", "class": "hot", "free_minutes": 60, "points": 10,
                   "most_minutes": 120}],
        "safety": {"class": "cooked_plant"}}))
}

fn dip() -> Recipe {
    read(json!({
        "id": "dip", "title": "Dip", "course": "starter", "servings": 8,
        "ingredients": [{"item": "yoghurt", "kept": "fridge"}],
        "steps": [
            {"id": "mix", "text": "Mix the dip.", "label": "mix",
             "ways": [{"station": "counter", "minutes": 10}],
             "hands": {"between_percent": 100}},
            {"id": "chill", "text": "Let it chill.", "label": "chill",
             "ways": [{"station": "fridge", "minutes": 60}],
             "after": [{"step": "mix"}]}],
        "holds": [{"place": "fridge", "class": "cold", "free_minutes": 600, "points": 1,
                   "most_minutes": 1440}],
        "safety": {"class": "dairy"}}))
}

fn fries() -> Recipe {
    read(json!({
        "id": "fries", "title": "Fries", "course": "starter", "servings": 8,
        "ingredients": [{"item": "potatoes", "kept": "freezer"}],
        "steps": [
            {"id": "fry", "text": "Fry until golden.", "label": "fry",
             "ways": [{"station": "air_fryer", "minutes": 8, "load_servings": 4}],
             "hands": {"start_minutes": 1, "end_minutes": 1}, "overdone_after": 4}],
        "holds": [],
        "safety": {"class": "cooked_plant"}}))
}

fn pie() -> Recipe {
    read(json!({
        "id": "pie", "title": "Pie", "course": "main", "servings": 8,
        "ingredients": [{"item": "flour"}, {"item": "cream", "kept": "fridge", "steps": ["fill"]}],
        "steps": [
            {"id": "fill", "text": "Fill the pie.", "label": "fill",
             "ways": [{"station": "counter", "minutes": 15}],
             "hands": {"between_percent": 100}},
            {"id": "bake", "text": "Bake the pie.", "label": "bake",
             "ways": [{"station": "oven", "minutes": {"low": 35, "likely": 40, "high": 50},
                       "at_c": 200, "give_c": 10}],
             "hands": {"start_minutes": 1, "end_minutes": 1},
             "cookware": [{"kind": "pie_dish"}],
             "after": [{"step": "fill"}], "overdone_after": 10},
            {"id": "rest", "text": "Let it rest.", "label": "rest",
             "ways": [{"station": "counter", "minutes": 10}],
             "after": [{"step": "bake"}]}],
        "holds": [
            {"place": "counter", "class": "room", "free_minutes": 15, "points": 20,
             "most_minutes": 40},
            {"place": "oven", "class": "hot", "at_c": 80, "free_minutes": 30, "points": 10,
             "most_minutes": 90}],
        "safety": {"class": "casserole"}}))
}

fn read<T: serde::de::DeserializeOwned>(json: serde_json::Value) -> T {
    serde_json::from_value(json).expect("test data reads")
}

/// A plan that serves everything on time.
pub fn plan(evening: &Evening) -> Plan {
    let rows = [
        ("soup", "chop", 0, "16:40", "board"),
        ("dip", "mix", 0, "16:20", "board"),
        ("dip", "chill", 0, "16:30", "fridge"),
        ("soup", "simmer", 0, "16:50", "hob"),
        ("fries", "fry", 0, "17:42", "fryer"),
        ("fries", "fry", 1, "17:50", "fryer"),
        ("pie", "fill", 0, "17:05", "board"),
        ("pie", "bake", 0, "18:00", "oven"),
        ("pie", "rest", 0, "18:40", "board"),
    ];
    let mut blocks: Vec<Block> = rows.iter().map(|r| block(evening, *r)).collect();
    blocks.order_by_key(|b| b.start);
    let line = |service, due, dishes: &[(usize, &str)]| ServiceLine {
        service,
        due: minute(due),
        dishes: dishes.iter().map(|(d, ready)| (*d, minute(ready), minute(due))).collect(),
    };
    let hold = |dish, hold, from: &str, to: &str, station: &str| HoldBlock {
        dish,
        hold,
        class: evening.sheets[dish].recipe.holds[hold].class,
        station: station.to_owned(),
        slots: vec![0],
        from: minute(from),
        to: minute(to),
        setting_c: evening.sheets[dish].recipe.holds[hold].at_c,
    };
    Plan {
        made_for: minute("16:00"),
        blocks,
        holds: vec![
            hold(0, 0, "17:20", "18:00", "hob"),
            hold(1, 0, "17:30", "18:00", "fridge"),
            hold(3, 0, "18:50", "19:00", "board"),
        ],
        settings: vec![SettingBlock {
            station: "oven".to_owned(),
            kind: SettingKind::Heating,
            from: minute("17:42"),
            to: minute("18:00"),
            from_c: 21,
            to_c: 200,
        }],
        services: vec![
            line(0, "18:00", &[(0, "17:20"), (1, "17:30"), (2, "17:58")]),
            line(1, "19:00", &[(3, "18:50")]),
        ],
        ..Plan::default()
    }
}

fn block(evening: &Evening, row: (&str, &str, u32, &str, &str)) -> Block {
    let (dish, step, load, start, station) = row;
    let key = key(evening, dish, step, load);
    let sheet = &evening.sheets[key.dish];
    let hands = sheet.recipe.steps[key.step].hands;
    let start = minute(start);
    Block {
        key,
        loads: sheet.loads(key.step, 0),
        way: 0,
        station: station.to_owned(),
        slots: vec![0],
        cook: (hands != crate::kitchen::Hands::default()).then(|| "ana".to_owned()),
        start,
        end: start + sheet.minutes(key.step, 0),
        hands_start: hands.start_minutes as Minute,
        hands_end: hands.end_minutes as Minute,
        hands_between: hands.between_percent as i32,
        setting_c: sheet.recipe.steps[key.step].ways[0].at_c,
        begun: false,
    }
}

pub fn key(evening: &Evening, dish: &str, step: &str, load: u32) -> StepKey {
    let dish = evening.dish_index(dish).expect("known dish");
    let step = evening.sheets[dish].step_index(step).expect("known step");
    StepKey { dish, step, load }
}

pub fn minute(time: &str) -> Minute {
    TimeOfDay::parse(time).expect("a time").0
}

/// Unix ms of `18:00` or `18:00:30` on the party's day.
pub fn ms(time: &str) -> i64 {
    let (time, seconds) = match time.matches(':').count() {
        2 => time.rsplit_once(':').expect("seconds"),
        _ => (time, "0"),
    };
    let seconds: i64 = seconds.parse().expect("seconds");
    Clockface::fixed(evening().party.day, 0).ms_of(minute(time)) + seconds * 1000
}

pub fn id(dish: &str, step: &str, load: u32) -> StepId {
    StepId { dish: dish.to_owned(), step: step.to_owned(), load }
}

/// An event from its short form: `start pie bake`, `done fries fry 1`,
/// `more pie bake 5`, `skip pie rest`, `serve soup`, `clear soup eaten`, `hold
/// pie 1 oven`, `temp soup 55`, `oven 200`, `down oven`, `up oven`, `move mains
/// 19:10`, `drop dip`, `back dip`, `servings fries 12`, `pin pie fill 17:30`,
/// `unpin pie fill`, `seen KEY`, `later KEY 18:10`, `answer KEY discarded`,
/// `undo 3`, `plan` (the one above), `finished`, `guidance uk`, `air 35`, `early
/// pie fill`, `putback pie fill`, `setback 60`, `part soup 1 off` (or `serve`,
/// `fridge`, `clear eaten`, `temp 50`, `join dip`, `join soup 2`).
pub fn event(text: &str) -> Event {
    let words: Vec<&str> = text.split(' ').collect();
    let word = |i: usize| (*words.get(i).unwrap_or(&"")).to_owned();
    let number = |i: usize| words.get(i).and_then(|w| w.parse::<u32>().ok()).unwrap_or(0);
    let step = |load| id(&word(1), &word(2), load);
    match word(0).as_str() {
        "start" => started(&word(1), &word(2), number(3)),
        "done" => Event::Done { id: step(number(3)), ago_minutes: 0 },
        "more" => Event::NeedsMore { id: step(0), minutes: number(3) },
        "skip" => Event::Skipped { id: step(number(3)) },
        "serve" => Event::Served { dish: word(1) },
        "clear" => Event::Cleared { dish: word(1), how: read(json!(word(2))) },
        "hold" => hold(&word(1), number(2) as usize, &word(3)),
        "temp" => Event::Temperature { dish: word(1), celsius: word(2).parse().unwrap_or(0.0) },
        "oven" => Event::OvenSet { station: word(0), celsius: number(1) as i32 },
        "down" => Event::StationDown { station: word(1) },
        "up" => Event::StationUp { station: word(1) },
        "move" => Event::ServiceMoved { service: word(1), to: minute(&word(2)) },
        "drop" => Event::DishDropped { dish: word(1) },
        "back" => Event::DishBack { dish: word(1) },
        "servings" => Event::ServingsChanged { dish: word(1), servings: number(2) },
        "pin" => Event::Pinned { id: step(0), at: minute(&word(3)) },
        "unpin" => Event::Unpinned { id: step(0) },
        "seen" => Event::AlarmAcknowledged { alarm: word(1) },
        "later" => Event::AlarmPutOff { alarm: word(1), until_ms: ms(&word(2)) },
        "answer" => Event::AlarmAnswered { alarm: word(1), how: read(json!(word(2))) },
        "undo" => Event::Undone { seq: u64::from(number(1)) },
        "plan" => adopted(plan(&evening())),
        "tick" => Event::Ticked { line: word(1), on: true },
        "untick" => Event::Ticked { line: word(1), on: false },
        "finished" => Event::Finished,
        "rule" => {
            let rule = Some(word(2)).filter(|r| !r.is_empty());
            Event::RuleChosen { dish: word(1), rule }
        }
        "guidance" => Event::GuidanceChanged { to: word(1) },
        "air" => Event::AirMeasured { celsius: word(1).parse().unwrap_or(0.0) },
        "early" => Event::IngredientsOut { id: step(0) },
        "putback" => Event::IngredientsBack { id: step(0) },
        "setback" => Event::ClockSetBack { by_ms: i64::from(number(1)) * 60_000 },
        "part" => Event::Portion { dish: word(1), part: number(2), did: portion(&words[3..]) },
        other => panic!("no such short form: {other}"),
    }
}

fn portion(words: &[&str]) -> PortionDid {
    let word = |i: usize| (*words.get(i).unwrap_or(&"")).to_owned();
    match word(0).as_str() {
        "off" => PortionDid::TakenOff,
        "serve" => PortionDid::Served,
        "clear" => PortionDid::Cleared { how: read(json!(word(1))) },
        "temp" => PortionDid::Temperature { celsius: word(1).parse().unwrap_or(0.0) },
        "join" => PortionDid::JoinedTo { dish: word(1), part: word(2).parse().ok() },
        station => PortionDid::HeldAt {
            // The pie's own hold in the oven; elsewhere the place alone.
            hold: (station == "oven").then_some(1),
            place: evening().station(station).expect("station").kind,
            station: Some(station.to_owned()),
        },
    }
}

fn started(dish: &str, step: &str, load: u32) -> Event {
    let (evening, key_of) = (evening(), key);
    let found = key_of(&evening, dish, step, load);
    let block = plan(&evening).blocks.into_iter().find(|b| b.key == StepKey { load: 0, ..found });
    let block = block.expect("planned");
    let id = id(dish, step, load);
    Event::Started { id, way: 0, station: block.station, cook: block.cook, ago_minutes: 0 }
}

fn hold(dish: &str, hold: usize, station: &str) -> Event {
    let place = evening().station(station).expect("station").kind;
    let station = Some(station.to_owned());
    Event::HeldAt { dish: dish.to_owned(), hold: Some(hold), place, station }
}

/// The event of adopting a plan.
pub fn adopted(plan: Plan) -> Event {
    Event::PlanAdopted { plan: Box::new(plan), moved: String::new(), why: String::new() }
}

/// Marks from times and short forms, the plan first.
pub fn marks(rows: &[(&str, &str)]) -> Vec<Mark> {
    let first = Mark { seq: 1, at_ms: ms("16:00"), event: event("plan") };
    let rest = rows.iter().enumerate().map(|(i, (at, text))| Mark {
        seq: i as u64 + 2,
        at_ms: ms(at),
        event: event(text),
    });
    std::iter::once(first).chain(rest).collect()
}

/// The state after these.
pub fn state(rows: &[(&str, &str)]) -> State {
    super::fold(evening(), &marks(rows))
}

/// The rows of an evening on which everything goes to plan, up to a time.
pub fn on_time(until: &str) -> Vec<(&'static str, &'static str)> {
    let rows = [
        ("16:20", "start dip mix"),
        ("16:30", "done dip mix"),
        ("16:30", "start dip chill"),
        ("16:40", "start soup chop"),
        ("16:50", "done soup chop"),
        ("16:50", "start soup simmer"),
        ("17:05", "start pie fill"),
        ("17:20", "done pie fill"),
        ("17:20", "done soup simmer"),
        ("17:42", "start fries fry 0"),
        ("17:42", "oven 200"),
        ("17:50", "done fries fry 0"),
        ("17:50", "start fries fry 1"),
        ("17:58", "done fries fry 1"),
        ("18:00", "serve soup"),
        ("18:00", "serve dip"),
        ("18:00", "serve fries"),
        ("18:00", "start pie bake"),
        ("18:40", "done pie bake"),
        ("18:40", "start pie rest"),
        ("19:00", "serve pie"),
    ];
    rows.into_iter().filter(|r| ms(r.0) <= ms(until)).collect()
}

/// The shorts of what there is to do, one group a line.
pub fn summary(view: &View) -> String {
    let clock = |ms: i64| {
        let minute = evening().face.minute_at(ms);
        format!("{:02}:{:02}", minute / 60, minute % 60)
    };
    let shorts = |prompts: &[super::view::Prompt]| {
        let each: Vec<String> =
            prompts.iter().map(|p| format!("{} {}", clock(p.due_ms), p.short)).collect();
        each.join(" | ")
    };
    let key = view.expected.as_ref().map(|e| e.label.clone()).unwrap_or_default();
    format!(
        "now: {}\nnext: {}\nruns: {}\nkey: {key}",
        shorts(&view.do_now),
        shorts(&view.next[..view.next.len().min(4)]),
        shorts(&view.running)
    )
}

//! The demo supper can be done: a schedule made by hand, with pencil and
//! paper, passes the same check as every plan. It says nothing about how good
//! the planner is, only that it never has an excuse.

use std::collections::BTreeMap;
use std::path::Path;

use potwatch::kitchen::check;
use potwatch::kitchen::{Clockface, Evening, Kitchen, Minute, Party, Recipe, Sourced, WaitPlace};
use potwatch::plan::build::{build, schedule_of};
use potwatch::plan::compose::{Solved, compose};
use potwatch::plan::judge;
use potwatch::plan::text::text;
use potwatch::plan::verify::verify;
use potwatch::plan::{
    Block, HoldBlock, PanBlock, Plan, Proof, ServiceLine, SettingBlock, SettingKind, Situation,
    StepKey, WaitBlock,
};
use potwatch::safety::Profile;
use serde::de::DeserializeOwned;

/// Dish, step, load: the minute it starts. Always the first way, the first hold.
const STARTS: &[(&str, &str, u32, &str)] = &[
    ("pork", "rub", 0, "13:14"),
    ("pork", "brown", 0, "13:22"),
    ("pork", "cook", 0, "13:37"),
    ("dip", "rinse", 0, "14:50"),
    ("dip", "garlic", 0, "14:55"),
    ("dip", "blend", 0, "15:03"),
    ("rolls", "mix", 0, "15:18"),
    ("crumble", "topping", 0, "15:28"),
    ("crumble", "freeze", 0, "15:35"),
    ("pie", "dough", 0, "15:36"),
    ("soup", "tray", 0, "15:43"),
    ("soup", "roast", 0, "15:49"),
    ("soup", "sweat", 0, "15:55"),
    ("fritters", "batter", 0, "16:08"),
    ("sprouts", "dressing", 0, "16:20"),
    ("soup", "simmer", 0, "16:29"),
    ("rolls", "shape", 0, "16:31"),
    ("rolls", "proof", 0, "16:44"),
    ("sprouts", "oil", 0, "16:44"),
    ("fritters", "leeks", 0, "16:50"),
    ("rice", "rinse", 0, "16:54"),
    ("fritters", "fold", 0, "17:00"),
    ("pie", "brown", 0, "17:05"),
    ("crumble", "fruit", 0, "17:08"),
    ("rolls", "bake", 0, "17:14"),
    ("pie", "sauce", 0, "17:19"),
    ("rolls", "cool", 0, "17:30"),
    ("soup", "blend", 0, "17:31"),
    ("dip", "dress", 0, "17:36"),
    ("fritters", "fry", 0, "17:43"),
    ("fritters", "fry", 1, "17:50"),
    ("crumble", "bake", 0, "17:58"),
    ("pie", "top", 0, "18:00"),
    ("rice", "toast", 0, "18:07"),
    ("sprouts", "fry", 0, "18:09"),
    ("pie", "bake", 0, "18:13"),
    ("rice", "simmer", 0, "18:17"),
    ("sprouts", "fry", 1, "18:21"),
    ("pork", "reduce", 0, "18:22"),
    ("pork", "pull", 0, "18:24"),
    ("sprouts", "fry", 2, "18:34"),
    ("rice", "stand", 0, "18:35"),
    ("pork", "toss", 0, "18:38"),
    ("pie", "rest", 0, "18:46"),
    ("sprouts", "dress", 0, "18:50"),
    ("rice", "fluff", 0, "18:53"),
];

/// From, to, °C kept: the oven over the evening.
const OVEN: &[(&str, &str, i32)] =
    &[("15:49", "16:29", 205), ("17:14", "17:30", 215), ("17:58", "18:45", 185)];

fn read<T: DeserializeOwned>(path: &str) -> T {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("assets").join(path);
    let text = std::fs::read_to_string(&path).expect("a readable file");
    serde_json::from_str(&text).unwrap_or_else(|wrong| panic!("{}: {wrong}", path.display()))
}

fn demo() -> Evening {
    let party: Party = read("demo/party.json");
    let kitchen: Kitchen = read("kitchens/home.json");
    let recipe = |source: &Sourced<Recipe>| match source {
        Sourced::Named(id) => read(&format!("recipes/{id}.json")),
        Sourced::Inline(recipe) => (**recipe).clone(),
    };
    let recipes = party.dishes.iter().map(|d| recipe(&d.recipe)).collect();
    let face = Clockface::fixed(party.day, 0);
    check::evening(party, kitchen, recipes, face)
}

fn at(time: &str) -> Minute {
    let (hours, minutes) = time.split_once(':').expect("a time");
    hours.parse::<Minute>().expect("hours") * 60 + minutes.parse::<Minute>().expect("minutes")
}

/// Numbers that are handed out and come back: slots of a station, pans of a kind.
#[derive(Default)]
struct Numbers(BTreeMap<String, BTreeMap<u32, Minute>>);

impl Numbers {
    /// The lowest `count` numbers of `id` that are free at `from`, taken to `to`.
    /// Ask in order of `from`.
    fn take(&mut self, id: &str, count: u32, from: Minute, to: Minute) -> Vec<u32> {
        let until = self.0.entry(id.to_owned()).or_default();
        let free = (0..).filter(|n| until.get(n).is_none_or(|&t| t <= from));
        let taken: Vec<u32> = free.take(count as usize).collect();
        until.extend(taken.iter().map(|&n| (n, to)));
        taken
    }
}

#[test]
fn the_demo_supper_can_be_done() {
    let evening = demo();
    let plan = by_hand(&evening);
    let profile = Profile::by_id(&evening.party.guidance).expect("built in");
    let found = verify(&evening, &Situation::default(), profile, &plan);
    let faults: Vec<String> =
        found.err().unwrap_or_default().iter().map(|f| f.what.clone()).collect();
    assert_eq!(faults, [""; 0]);
}

/// The check sees it when two pans go into one place: it does not pass everything.
#[test]
fn a_slip_in_the_schedule_is_seen() {
    let evening = demo();
    let profile = Profile::by_id(&evening.party.guidance).expect("built in");
    let mut plan = by_hand(&evening);
    let pie = plan.blocks.iter().position(|b| b.setting_c == Some(185)).expect("in the oven");
    plan.blocks[pie].setting_c = Some(215);
    assert!(verify(&evening, &Situation::default(), profile, &plan).is_err());
}

/// The integer problem that the planner solves is the same evening: the
/// schedule made by hand keeps its rules too, and what is composed from it is
/// the same plan, which passes the check.
#[test]
fn the_planners_own_problem_lets_it_pass() {
    let (evening, situation) = (demo(), Situation::default());
    let (problem, map) = build(&evening, &situation).expect("a problem");
    let schedule = schedule_of(&problem, &map, &evening, &by_hand(&evening));
    let cost = judge::judge(&problem, &schedule).expect("a schedule that keeps the rules");
    assert_eq!((cost.late, cost.change, cost.finish), (0, 0, 0));
    let solved = Solved { schedule: &schedule, cost, bound: 0, proof: Proof::Stopped };
    let plan = compose(&evening, &situation, &problem, &map, solved);
    let profile = Profile::by_id(&evening.party.guidance).expect("built in");
    assert_eq!(verify(&evening, &situation, profile, &plan), Ok(()));
    let key = |b: &Block| (b.key, b.start, b.end, b.way, b.cook.clone(), b.setting_c);
    let mut ours: Vec<_> = plan.blocks.iter().map(key).collect();
    let mut theirs: Vec<_> = by_hand(&evening).blocks.iter().map(key).collect();
    ours.sort();
    theirs.sort();
    assert_eq!(ours, theirs);
    assert_eq!(plan.settings, by_hand(&evening).settings);
    assert_eq!(schedule_of(&problem, &map, &evening, &plan), schedule);
}

/// The demo as it is read, by clock and by station.
#[test]
fn the_demo_reads_like_this() {
    let evening = demo();
    insta::assert_snapshot!(text(&evening, &by_hand(&evening)));
}

/// Writes the schedule out as a plan: places, pans, waits, holds, settings.
fn by_hand(evening: &Evening) -> Plan {
    let mut blocks: Vec<Block> = STARTS.iter().map(|start| block(evening, start)).collect();
    blocks.sort_by_key(|b| (b.start, b.key));
    let mut plan = Plan { made_for: at("13:00"), blocks, ..Plan::default() };
    for service in 0..evening.party.services.len() {
        let due = evening.service_minute(service);
        plan.services.push(ServiceLine { service, due, dishes: Vec::new() });
    }
    for dish in 0..evening.sheets.len() {
        serve(evening, &mut plan, dish);
        wait_in_the_cold(evening, &mut plan, dish);
        take_pans(evening, &mut plan, dish);
    }
    hand_out_places(&mut plan);
    plan.settings = oven(evening);
    plan
}

fn block(evening: &Evening, start: &(&str, &str, u32, &str)) -> Block {
    let &(dish, step, load, time) = start;
    let dish = evening.dish_index(dish).expect("a dish");
    let sheet = &evening.sheets[dish];
    let step = sheet.step_index(step).unwrap_or_else(|| panic!("no step {step}"));
    let rule = &sheet.recipe.steps[step];
    let way = &rule.ways[0];
    let station =
        evening.kitchen.stations.iter().find(|s| s.kind == way.station).expect("a station");
    let kept = OVEN.iter().find(|o| at(o.0) <= at(time) && at(time) < at(o.1)).map(|o| o.2);
    let hands = rule.hands;
    let idle = hands.start_minutes + hands.end_minutes + hands.between_percent == 0;
    Block {
        key: StepKey { dish, step, load },
        loads: sheet.loads(step, 0),
        way: 0,
        station: station.id.clone(),
        slots: vec![0; way.slots as usize],
        cook: (!idle).then(|| evening.party.cooks[0].id.clone()),
        start: at(time),
        end: at(time) + sheet.minutes(step, 0),
        hands_start: hands.start_minutes as Minute,
        hands_end: hands.end_minutes as Minute,
        hands_between: hands.between_percent as i32,
        setting_c: station.thermostat.and(kept),
        begun: false,
    }
}

/// First and last minute of a step, over its loads.
fn span(plan: &Plan, dish: usize, step: usize) -> (Minute, Minute) {
    let loads = || plan.blocks.iter().filter(|b| b.key.dish == dish && b.key.step == step);
    let from = loads().map(|b| b.start).min().expect("a load");
    (from, loads().map(|b| b.end).max().expect("a load"))
}

/// End of the first load of a step.
fn out(plan: &Plan, dish: usize, step: usize) -> Minute {
    let mut loads = plan.blocks.iter().filter(|b| b.key.dish == dish && b.key.step == step);
    loads.find(|b| b.key.load == 0).expect("a first load").end
}

fn serve(evening: &Evening, plan: &mut Plan, dish: usize) {
    let sheet = &evening.sheets[dish];
    let last = sheet.last_step();
    let ready = span(plan, dish, last).1;
    let line = &mut plan.services[sheet.service];
    let served = ready.max(line.due);
    line.dishes.push((dish, ready, served));
    let (rule, from) = (&sheet.recipe.holds[0], out(plan, dish, last));
    let station = evening.kitchen.stations.iter().find(|s| s.kind == rule.place).expect("a place");
    plan.holds.push(HoldBlock {
        dish,
        hold: 0,
        class: rule.class,
        station: station.id.clone(),
        slots: vec![0],
        from,
        to: served,
        setting_c: None,
    });
}

fn wait_in_the_cold(evening: &Evening, plan: &mut Plan, dish: usize) {
    let sheet = &evening.sheets[dish];
    for (before_step, step) in sheet.recipe.steps.iter().enumerate() {
        for after in step.after.iter().filter(|a| a.place == WaitPlace::Cold) {
            let after_step = sheet.step_index(&after.step).expect("an earlier step");
            plan.waits.push(WaitBlock {
                dish,
                after_step,
                before_step,
                place: WaitPlace::Cold,
                station: Some("fridge".to_owned()),
                slots: vec![0],
                from: out(plan, dish, after_step),
                to: plan
                    .blocks
                    .iter()
                    .filter(|b| b.key.dish == dish && b.key.step == before_step)
                    .map(|b| b.start)
                    .max()
                    .expect("a load"),
            });
        }
    }
}

/// From the first step that uses a kind of pan to the end of the last, and the hold in it.
fn take_pans(evening: &Evening, plan: &mut Plan, dish: usize) {
    let steps = &evening.sheets[dish].recipe.steps;
    let mut spans: BTreeMap<&str, (Minute, Minute, u32)> = BTreeMap::new();
    for (s, step) in steps.iter().enumerate() {
        let (from, to) = span(plan, dish, s);
        for need in &step.cookware {
            let entry = spans.entry(&need.kind).or_insert((from, to, 0));
            *entry = (entry.0.min(from), entry.1.max(to), entry.2.max(need.count));
        }
    }
    let hold = &evening.sheets[dish].recipe.holds[0];
    if let Some(span) = hold.cookware.as_deref().and_then(|kind| spans.get_mut(kind)) {
        span.1 = plan.holds.last().expect("just pushed").to;
    }
    for (kind, (from, to, count)) in spans {
        let ware = evening.kitchen.cookware.iter().find(|c| c.kind == kind).expect("its kind");
        plan.pans.push(PanBlock {
            cookware: ware.id.clone(),
            numbers: vec![0; count as usize],
            dish,
            from,
            to,
        });
    }
}

/// Gives everything its numbers, in order of time.
fn hand_out_places(plan: &mut Plan) {
    let mut slots = Numbers::default();
    type Asking<'a> = (Minute, Minute, &'a str, &'a mut Vec<u32>);
    let blocks = plan.blocks.iter_mut().map(|b| (b.start, b.end, &*b.station, &mut b.slots));
    let holds = plan.holds.iter_mut().map(|h| (h.from, h.to, &*h.station, &mut h.slots));
    let waits = plan
        .waits
        .iter_mut()
        .filter_map(|w| Some((w.from, w.to, w.station.as_deref()?, &mut w.slots)));
    let mut all: Vec<Asking> = blocks.chain(holds).chain(waits).collect();
    all.sort_by_key(|a| (a.0, a.1));
    for (from, to, station, places) in all {
        *places = slots.take(station, places.len() as u32, from, to);
    }
    let mut pans = Numbers::default();
    plan.pans.sort_by_key(|p| (p.from, p.to));
    for p in &mut plan.pans {
        p.numbers = pans.take(&p.cookware, p.numbers.len() as u32, p.from, p.to);
    }
}

fn oven(evening: &Evening) -> Vec<SettingBlock> {
    let station = evening.station("oven").expect("an oven");
    let thermostat = station.thermostat.expect("a thermostat");
    let mut at_c = evening.party.room_c;
    let mut settings = Vec::new();
    for &(from, to, c) in OVEN {
        let (from, to) = (at(from), at(to));
        let change = if c > at_c { SettingKind::Heating } else { SettingKind::Cooling };
        let mut push = |kind, from, to, from_c| {
            let station = station.id.clone();
            settings.push(SettingBlock { station, kind, from, to, from_c, to_c: c });
        };
        push(change, from - thermostat.minutes(at_c, c), from, at_c);
        push(SettingKind::Keeping, from, to, c);
        at_c = c;
    }
    settings
}

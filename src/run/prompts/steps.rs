//! Starts and ends of steps.

use super::{Item, Press};
use crate::kitchen::{StationKind, Step};
use crate::plan::{Block, StepKey, contact};
use crate::run::event::Event;
use crate::run::state::{MINUTE_MS, Progress, Run, State};
use crate::run::view::{Prompt, PromptKind};
use crate::run::words;

/// The ends of steps that run and do not end by themselves.
pub(super) fn ends(state: &State, now_ms: i64) -> Vec<Item> {
    let running = state.facts().progress.iter().filter_map(|(key, progress)| match progress {
        Progress::Running(run) if state.still_runs(*key, now_ms) => Some((*key, run)),
        _ => None,
    });
    running
        .filter(|(key, run)| !state.ends_by_itself(*key, run.way))
        .filter_map(|(key, run)| end_item(state, key, run))
        .collect()
}

/// The end of a step that runs.
#[must_use]
pub fn end_item(state: &State, key: StepKey, run: &Run) -> Option<Item> {
    let id = state.id(key)?;
    let step = state.step(key)?;
    let nominal_ms = state.nominal_end_ms(key, run);
    let at_end = i64::from(step.hands.end_minutes) * MINUTE_MS;
    let due_ms = nominal_ms.saturating_sub(at_end).max(run.start_ms);
    let name = words::dish(state, key.dish);
    let load = words::load_of(state, key, " ");
    let (kind, short) = end_words(state, key, run, &name, &load);
    let spoils = step.overdone_after.map(|m| nominal_ms.saturating_add(i64::from(m) * MINUTE_MS));
    let hands_on = step.hands.between_percent >= 50;
    let text = format!(
        "{}: {}{load}, by {}.",
        words::capital(&name),
        step.marked(),
        words::clock(state, nominal_ms)
    );
    Some(Item {
        label: words::to_mark(state, key, kind),
        prompt: Prompt { kind, key: Some(key), dish: Some(key.dish), short, text, due_ms },
        event: Event::Done { id, ago_minutes: 0 },
        press: spoils.map_or(Press::Ends, Press::Spoils),
        free: true,
        hands_on,
    })
}

fn end_words(
    state: &State,
    key: StepKey,
    run: &Run,
    name: &str,
    load: &str,
) -> (PromptKind, String) {
    let done = (PromptKind::Finish, format!("{name}: {} done{load}", label(state, key)));
    if goes_on_there(state, key, run) {
        return done;
    }
    let evening = state.evening();
    let Some(station) = evening.station(&run.station) else { return done };
    let place = words::the_station(evening, &run.station);
    match station.kind {
        StationKind::Counter => done,
        StationKind::Oven | StationKind::AirFryer => {
            (PromptKind::TakeOut, format!("pull the {name}{load}"))
        }
        StationKind::Stovetop | StationKind::Grill => {
            (PromptKind::TakeOut, format!("{name} off {place}{load}"))
        }
        _ => (PromptKind::TakeOut, format!("{name} out of {place}{load}")),
    }
}

/// Does the food stay at the same station for its next step or its hold?
fn goes_on_there(state: &State, key: StepKey, run: &Run) -> bool {
    let Some(sheet) = state.sheet(key.dish) else { return false };
    if key.step == sheet.last_step() {
        return state.hold_block(key.dish).is_some_and(|h| h.station == run.station);
    }
    let follows = |b: &&Block| {
        b.key.dish == key.dish && state.earlier_steps(key.dish, b.key.step).contains(&key.step)
    };
    let mut blocks = state.plan().into_iter().flat_map(|p| &p.blocks);
    blocks.find(follows).is_some_and(|b| b.station == run.station)
}

fn label(state: &State, key: StepKey) -> String {
    state.step(key).map(Step::marked).unwrap_or_default()
}

/// The starts of steps that have not begun, as the plan on the screen has them.
pub(super) fn starts(state: &State, now_ms: i64) -> Vec<Item> {
    let Some(plan) = state.plan() else { return Vec::new() };
    let open = plan.blocks.iter().filter(|b| {
        !state.facts().progress.contains_key(&b.key)
            && !state.is_dropped(b.key.dish)
            && !state.is_out_of_hand(b.key.dish)
    });
    open.filter_map(|block| start_item(state, block, now_ms)).collect()
}

/// The start of a planned step.
#[must_use]
pub fn start_item(state: &State, block: &Block, now_ms: i64) -> Option<Item> {
    let key = block.key;
    let id = state.id(key)?;
    let step = state.step(key)?;
    let free = state.is_free(key, now_ms);
    let planned_ms = state.due_since(key, now_ms).unwrap_or_else(|| state.ms(block.start));
    let due_ms = if free { planned_ms } else { planned_ms.max(free_ms(state, key, now_ms)) };
    let (kind, short) = start_words(state, key, &block.station);
    let event = Event::Started {
        id,
        way: block.way,
        station: block.station.clone(),
        cook: block.cook.clone(),
        ago_minutes: 0,
    };
    let label = words::to_mark(state, key, kind);
    let mut text = format!("{} {}", step.sentence(), details(state, key, block));
    for clean in cleans(state, key) {
        text = format!("{} {text}", clean.sentence(state.evening()));
    }
    let short = with_cleans(state, key, short);
    let prompt = Prompt { kind, key: Some(key), dish: Some(key.dish), short, text, due_ms };
    Some(Item { prompt, label, event, press: Press::Begins, free, hands_on: false })
}

/// The start of a planned step in few words: "pie into the oven".
#[must_use]
pub fn start_short(state: &State, block: &Block) -> String {
    let (_, short) = start_words(state, block.key, &block.station);
    with_cleans(state, block.key, short)
}

/// What a guest does not eat stays off that guest's dish.
fn cleans(state: &State, key: StepKey) -> impl Iterator<Item = &contact::Clean> {
    state.plan().into_iter().flat_map(move |p| contact::before(p, key))
}

fn with_cleans(state: &State, key: StepKey, short: String) -> String {
    let tags = cleans(state, key).map(|clean| clean.tag(state.evening()));
    tags.fold(short, |short, tag| format!("{short}, {tag}"))
}

/// When what comes before a step is expected to be over: at least a minute from now.
fn free_ms(state: &State, key: StepKey, now_ms: i64) -> i64 {
    let soonest = now_ms.saturating_add(MINUTE_MS);
    let loads_before = (0..key.load).map(|load| StepKey { load, ..key });
    let steps_before = state.earlier_steps(key.dish, key.step).into_iter().flat_map(|step| {
        (0..state.loads(key.dish, step)).map(move |load| StepKey { dish: key.dish, step, load })
    });
    let over =
        loads_before.chain(steps_before).filter_map(|key| match state.facts().progress.get(&key) {
            Some(Progress::Running(run)) => Some(state.expected_end_ms(key, run, now_ms)),
            Some(_) => None,
            None => state.block(key).map(|b| state.ms(b.end)),
        });
    over.max().unwrap_or(soonest).max(soonest)
}

fn start_words(state: &State, key: StepKey, station: &str) -> (PromptKind, String) {
    let (evening, name) = (state.evening(), words::dish(state, key.dish));
    let load = words::load_of(state, key, " ");
    let inside = evening.station(station).is_some_and(|s| is_inside(s.kind));
    let there_already = state.earlier_steps(key.dish, key.step).into_iter().any(|step| {
        let before = StepKey { dish: key.dish, step, load: 0 };
        let run = state.facts().progress.get(&before).and_then(Progress::run);
        let there = run.map(|r| &r.station).or_else(|| Some(&state.block(before)?.station));
        there.is_some_and(|s| s == station)
    });
    if inside && !there_already {
        let onto = words::onto(evening, station);
        return (PromptKind::PutIn, format!("{name} {onto}{load}"));
    }
    (PromptKind::Start, format!("{name}: {}{load}", label(state, key)))
}

/// Is the start of a step at a station food put in, or work begun?
#[must_use]
pub fn start_kind(state: &State, key: StepKey, station: &str) -> PromptKind {
    start_words(state, key, station).0
}

/// Is the end of a step food taken out, or work done?
#[must_use]
pub fn end_kind(state: &State, key: StepKey) -> PromptKind {
    match state.facts().progress.get(&key).and_then(Progress::run) {
        Some(run) => end_words(state, key, run, "", "").0,
        None => PromptKind::Finish,
    }
}

/// "Oven at 200 °C, 35 min, on a sheet tray."
fn details(state: &State, key: StepKey, block: &Block) -> String {
    let evening = state.evening();
    let way = state.step(key).and_then(|s| s.ways.get(block.way));
    let station = words::capital(&words::station(evening, &block.station));
    let celsius = block.setting_c.or_else(|| way?.at_c);
    let mut parts = vec![match (celsius, way.and_then(|w| w.setting)) {
        (Some(celsius), _) => format!("{station} at {}", words::degrees(state, celsius)),
        (None, Some(setting)) => format!("{station} on {}", words::setting(setting)),
        (None, None) => station,
    }];
    parts.push(words::minutes(i64::from(block.end.saturating_sub(block.start))));
    let pans = state.step(key).map(|s| s.cookware.as_slice()).unwrap_or_default();
    let plan = state.plan();
    let words = |need| plan.map(|plan| words::cookware(evening, plan, block, need));
    parts.extend(pans.iter().filter_map(words));
    if let Some(cook) = helper(state, block) {
        parts.push(cook);
    }
    format!("{}.", parts.join(", "))
}

/// The cook's name, where several cook.
fn helper(state: &State, block: &Block) -> Option<String> {
    let cooks = &state.evening().party.cooks;
    let id = block.cook.as_ref().filter(|_| cooks.len() > 1)?;
    cooks.iter().find(|c| c.id == *id).map(|c| c.name.clone())
}

/// Is this kind of place one into which food is put (rather than on which it is made)?
fn is_inside(kind: StationKind) -> bool {
    !matches!(kind, StationKind::Counter | StationKind::Stovetop)
}

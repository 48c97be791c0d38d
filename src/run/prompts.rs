//! What there is to do: one item for each thing that the cook will have to
//! mark, with its words, its time and the event that answers it.

use super::apply::is_inside;
use super::event::Event;
use super::state::{MINUTE_MS, Progress, Run, State, Whereabouts};
use super::view::{Prompt, PromptKind};
use super::words;
use crate::kitchen::{HoldClass, StationKind};
use crate::plan::{Block, HoldBlock, SettingBlock, SettingKind, StepKey};

/// Something to do.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// Its words and its time.
    pub prompt: Prompt,
    /// The words beside the one key.
    pub label: String,
    /// The event that marks it.
    pub event: Event,
    /// Where it stands among things that are due.
    pub press: Press,
    /// It can be done as soon as it is due: nothing else must come first.
    pub free: bool,
    /// The cook is at it with both hands already.
    pub hands_on: bool,
}

/// How much a due thing presses, most pressing first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Press {
    /// It is or gets overdone, at this time (unix ms).
    Spoils(i64),
    /// A step ends.
    Ends,
    /// Food stands where it should not.
    PutAway,
    /// An oven waits for its dial.
    Dial,
    /// A step begins.
    Begins,
    /// The table waits.
    Serves,
}

/// Everything that is to be done, in order of time.
#[must_use]
pub fn items(state: &State, now_ms: i64) -> Vec<Item> {
    let mut items = ends(state, now_ms);
    items.extend(starts(state, now_ms));
    items.extend(dials(state, now_ms));
    items.extend(holds(state, now_ms));
    items.extend(serves(state, now_ms));
    items.sort_by(|a, b| {
        (a.prompt.due_ms, a.press, a.prompt.key, a.prompt.dish).cmp(&(
            b.prompt.due_ms,
            b.press,
            b.prompt.key,
            b.prompt.dish,
        ))
    });
    items
}

/// The ends of steps that run and do not end by themselves.
fn ends(state: &State, now_ms: i64) -> Vec<Item> {
    let running = state.facts().progress.iter().filter_map(|(key, progress)| match progress {
        Progress::Running(run) if !state.is_dropped(key.dish) => Some((*key, run)),
        _ => None,
    });
    running
        .filter(|(key, run)| {
            state.over_ms(*key, now_ms).is_none() && !state.ends_by_itself(*key, run.way)
        })
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
        step.label,
        words::clock(state, nominal_ms)
    );
    Some(Item {
        label: match kind {
            PromptKind::TakeOut => format!("out: {short}"),
            _ => format!("done: {} ({name}{load})", step.label),
        },
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

fn label(state: &State, key: StepKey) -> &str {
    state.step(key).map(|s| s.label.as_str()).unwrap_or_default()
}

/// The starts of steps that have not begun, as the plan on the screen has them.
fn starts(state: &State, now_ms: i64) -> Vec<Item> {
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
    let (kind, short) = start_words(state, key, block);
    let event = Event::Started {
        id,
        way: block.way,
        station: block.station.clone(),
        cook: block.cook.clone(),
        ago_minutes: 0,
    };
    let label = match kind {
        PromptKind::PutIn => format!("in: {short}"),
        _ => format!("start: {short}"),
    };
    let text = format!("{} {}", step.text.trim(), details(state, key, block));
    let prompt = Prompt { kind, key: Some(key), dish: Some(key.dish), short, text, due_ms };
    Some(Item { prompt, label, event, press: Press::Begins, free, hands_on: false })
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

fn start_words(state: &State, key: StepKey, block: &Block) -> (PromptKind, String) {
    let (evening, name) = (state.evening(), words::dish(state, key.dish));
    let load = words::load_of(state, key, " ");
    let inside = evening.station(&block.station).is_some_and(|s| is_inside(s.kind));
    let there_already = state.earlier_steps(key.dish, key.step).into_iter().any(|step| {
        let before = StepKey { dish: key.dish, step, load: 0 };
        let run = state.facts().progress.get(&before).and_then(Progress::run);
        let station = run.map(|r| &r.station).or_else(|| Some(&state.block(before)?.station));
        station == Some(&block.station)
    });
    if inside && !there_already {
        let onto = words::onto(evening, &block.station);
        return (PromptKind::PutIn, format!("{name} {onto}{load}"));
    }
    (PromptKind::Start, format!("{name}: {}{load}", label(state, key)))
}

/// "Oven at 200 °C, 35 min, on a sheet tray."
fn details(state: &State, key: StepKey, block: &Block) -> String {
    let evening = state.evening();
    let mut parts = vec![words::capital(&words::station(evening, &block.station))];
    let way = state.step(key).and_then(|s| s.ways.get(block.way));
    if let Some(celsius) = block.setting_c.or_else(|| way?.at_c) {
        parts[0] = format!("{} at {}", parts[0], words::degrees(state, celsius));
    } else if let Some(setting) = way.and_then(|w| w.setting) {
        parts[0] = format!("{} on {}", parts[0], words::setting(setting));
    }
    parts.push(words::minutes(i64::from(block.end.saturating_sub(block.start))));
    let pans = state.step(key).map(|s| s.cookware.as_slice()).unwrap_or_default();
    parts.extend(pans.iter().map(|need| words::cookware(evening, need)));
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

/// Dials that the plan wants turned and that are not yet set so.
fn dials(state: &State, now_ms: i64) -> Vec<Item> {
    let Some(plan) = state.plan() else { return Vec::new() };
    let mut stations: Vec<&str> = plan.settings.iter().map(|s| s.station.as_str()).collect();
    stations.sort_unstable();
    stations.dedup();
    let open = stations.into_iter().flat_map(|id| open_dials(state, &plan.settings, id, now_ms));
    open.map(|block| dial_item(state, block)).collect()
}

/// The turns of one dial that lie ahead; of those that are due only the last.
#[must_use]
pub fn open_dials<'a>(
    state: &State,
    settings: &'a [SettingBlock],
    station: &str,
    now_ms: i64,
) -> Vec<&'a SettingBlock> {
    if state.facts().down.contains_key(station) {
        return Vec::new();
    }
    let mut turns: Vec<&SettingBlock> = settings
        .iter()
        .filter(|s| s.station == station && s.kind != SettingKind::Keeping)
        .collect();
    turns.sort_by_key(|s| s.from);
    let dial = state.facts().dials.get(station);
    let answered = |i: usize, turn: &SettingBlock| {
        // Set so already, and since the turn before this one was due: an older
        // setting that happens to be the same does not answer a later turn.
        let before = i.checked_sub(1).and_then(|b| turns.get(b));
        dial.is_some_and(|d| {
            d.to_c == turn.to_c && before.is_none_or(|b| d.at_ms >= state.ms(b.from))
        })
    };
    let done = turns.iter().enumerate().rev().find(|(i, t)| answered(*i, t)).map(|(i, _)| i + 1);
    let mut open = turns.split_off(done.unwrap_or(0));
    let due = open.iter().filter(|t| state.ms(t.from) <= now_ms).count();
    open.drain(..due.saturating_sub(1));
    open
}

fn dial_item(state: &State, turn: &SettingBlock) -> Item {
    let setting = words::degrees(state, turn.to_c);
    let name = words::station(state.evening(), &turn.station);
    let short = format!("{name} to {setting}");
    let due_ms = state.ms(turn.from);
    let ready = words::clock(state, state.ms(turn.to));
    let verb = if turn.kind == SettingKind::Cooling { "cooled" } else { "hot" };
    let text = format!("Turn the {name} to {setting}: it is {verb} by {ready}.");
    Item {
        label: format!("dial: {short}"),
        prompt: Prompt { kind: PromptKind::Dial, key: None, dish: None, short, text, due_ms },
        event: Event::OvenSet { station: turn.station.clone(), celsius: turn.to_c },
        press: Press::Dial,
        free: true,
        hands_on: false,
    }
}

/// Finished dishes that are to wait hot or cold somewhere else than where they
/// were finished: until that is marked, their clock runs.
fn holds(state: &State, now_ms: i64) -> Vec<Item> {
    let Some(plan) = state.plan() else { return Vec::new() };
    plan.holds.iter().filter_map(|block| hold_item(state, block, now_ms)).collect()
}

fn hold_item(state: &State, block: &HoldBlock, now_ms: i64) -> Option<Item> {
    let dish = block.dish;
    let out_ms = state.out_ms(dish, now_ms)?;
    let left_cold = matches!(
        super::food::phases(state, dish, now_ms).last(),
        Some((_, super::food::Keeping::In(_)))
    );
    let moves = block.class != HoldClass::Room && !(left_cold && state.stays_put(dish).is_some());
    let waits = !state.is_dropped(dish) && !state.is_out_of_hand(dish);
    let marked = matches!(state.last_stay(dish).map(|s| &s.at), Some(Whereabouts::Held { .. }));
    if !moves || !waits || marked {
        return None;
    }
    let place = state.evening().station(&block.station)?.kind;
    let name = words::dish(state, dish);
    let onto = words::onto(state.evening(), &block.station);
    let warm = match (block.setting_c, place) {
        (Some(celsius), _) => format!(", {}", words::degrees(state, celsius)),
        (None, StationKind::SlowCooker) => ", warm".to_owned(),
        (None, StationKind::Stovetop) => ", lid on, low".to_owned(),
        _ => String::new(),
    };
    let short = format!("{name} {onto}{warm}");
    let until = words::clock(state, state.ms(block.to));
    let text = format!("{} waits {onto}{warm} until {until}.", words::capital(&name));
    let id = state.sheet(dish)?.id.clone();
    let station = Some(block.station.clone());
    Some(Item {
        label: format!("waits: {short}"),
        event: Event::HeldAt { dish: id, hold: Some(block.hold), place, station },
        prompt: Prompt {
            kind: PromptKind::PutIn,
            key: None,
            dish: Some(dish),
            short,
            text,
            due_ms: out_ms,
        },
        press: Press::PutAway,
        free: true,
        hands_on: false,
    })
}

/// Dishes to take to the table: at their service, once they are ready.
fn serves(state: &State, now_ms: i64) -> Vec<Item> {
    let dishes = 0..state.evening().sheets.len();
    dishes.filter_map(|dish| serve_item(state, dish, now_ms)).collect()
}

/// The serving of a dish.
#[must_use]
pub fn serve_item(state: &State, dish: usize, now_ms: i64) -> Option<Item> {
    if state.is_dropped(dish) || state.is_out_of_hand(dish) {
        return None;
    }
    let sheet = state.sheet(dish)?;
    let ready_ms = state.ready_ms(dish, now_ms);
    let planned = state.plan().and_then(|plan| {
        let mut lines = plan.services.iter().flat_map(|l| &l.dishes);
        lines.find(|d| d.0 == dish).map(|d| state.ms(d.1))
    });
    let free = ready_ms.is_some();
    let ready_ms = ready_ms.or(planned).unwrap_or(i64::MIN);
    let floor = if free { i64::MIN } else { now_ms.saturating_add(MINUTE_MS) };
    let due_ms = state.due_ms(dish).max(ready_ms).max(floor);
    let short = format!("serve the {}", words::dish(state, dish));
    let title = words::service_title(state.evening(), sheet.service);
    let text = format!("{} to the table: {title}.", words::dish_first(state, dish));
    Some(Item {
        label: format!("on the table: {}", words::dish(state, dish)),
        event: Event::Served { dish: sheet.id.clone() },
        prompt: Prompt {
            kind: PromptKind::Serve,
            key: None,
            dish: Some(dish),
            short,
            text,
            due_ms,
        },
        press: Press::Serves,
        free,
        hands_on: false,
    })
}

//! The hand that plays the demo: marks the steps as a cook would who is mostly
//! on time and now and then is not. A pure function of the state, the time and
//! a seed, so that the same seed plays the same evening.

use super::alarms;
use super::event::{Answer, Clearing, Event, PortionDid};
use super::food::Food;
use super::holding;
use super::measure;
use super::prompts::{self, Item};
use super::state::{MINUTE_MS, Progress, State};
use super::view::{AlarmState, PromptKind};
use crate::order::InOrder;
use crate::plan::StepKey;
use crate::safety::least_inner_c;

/// Seconds after an alarm at which the hand has seen it.
const NOTICES_MS: i64 = 40_000;

/// Seconds that a reading takes it.
const TAKES_MS: i64 = 30_000;

/// How an evening goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Day {
    /// The demo's: a few slips that show what the program does about them.
    #[default]
    Demo,
    /// As most evenings go: some steps take longer than is likely, a start slips now and then.
    Ordinary,
    /// Much takes as long as it ever does, and starts slip often.
    Bad,
}

impl Day {
    /// One start in so many slips, by so many minutes at the least and so many more at the most.
    const fn slips(self) -> (u64, i64, u64) {
        match self {
            Self::Demo => (18, 3, 4),
            Self::Ordinary => (15, 2, 5),
            Self::Bad => (5, 4, 9),
        }
    }

    /// One step in so many takes longer than is likely.
    const fn prolongs(self) -> u64 {
        match self {
            Self::Demo => 14,
            Self::Ordinary => 4,
            Self::Bad => 2,
        }
    }

    /// What it is called.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Demo => "demo",
            Self::Ordinary => "ordinary day",
            Self::Bad => "bad day",
        }
    }
}

/// A cook who plays an evening.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Habits {
    /// What their slips come from.
    pub seed: u64,
    /// How the evening goes.
    pub day: Day,
}

/// What the demo's cook marks at `now_ms`, if anything. Ask again after each
/// mark and at each tick.
#[must_use]
pub fn next_mark(state: &State, now_ms: i64, seed: u64) -> Option<Event> {
    next_mark_of(state, now_ms, Habits { seed, day: Day::Demo })
}

/// What a cook of such habits marks at `now_ms`, if anything. Ask again after each mark and at each tick.
#[must_use]
pub fn next_mark_of(state: &State, now_ms: i64, habits: Habits) -> Option<Event> {
    let seed = habits.seed;
    if state.facts().finished_ms.is_some() {
        return None;
    }
    prolong(state, now_ms, habits)
        .or_else(|| due_mark(state, now_ms, habits))
        .or_else(|| reading(state, now_ms, seed))
        .or_else(|| alarm_mark(state, now_ms))
        .or_else(|| clear(state, now_ms, seed))
}

/// The most pressing thing that is due and that the hand has got round to.
fn due_mark(state: &State, now_ms: i64, habits: Habits) -> Option<Event> {
    let items = prompts::items(state, now_ms);
    let mut due: Vec<&Item> =
        items.iter().filter(|i| i.free && done_ms(state, i, habits) <= now_ms).collect();
    due.order_by_key(|i| (i.press, i.prompt.due_ms, i.prompt.key, i.prompt.dish));
    due.first().map(|i| i.event.clone())
}

/// When the hand marks a thing: up to twenty seconds after it is due, or later
/// where it slips. What ends is marked at its end, not when the hands are first
/// needed for it.
fn done_ms(state: &State, item: &Item, habits: Habits) -> i64 {
    let Some(key) = item.prompt.key else { return item.prompt.due_ms.saturating_add(5_000) };
    let draw = draw(habits.seed, key, item.prompt.kind as u64);
    let usual_ms = (draw % 20) as i64 * 1000;
    let begun = matches!(item.prompt.kind, PromptKind::Finish | PromptKind::TakeOut);
    if begun && let Some(Progress::Running(run)) = state.facts().progress.get(&key) {
        return state.nominal_end_ms(key, run).saturating_add(usual_ms);
    }
    let slipped_ms = slip_ms(state, item, (key, draw), habits.day).unwrap_or(i64::MIN);
    item.prompt.due_ms.max(slipped_ms).saturating_add(usual_ms)
}

/// One start in some slips by some minutes: once, after the time that it
/// had in the evening's first plan, however often it is planned anew.
fn slip_ms(state: &State, item: &Item, (key, draw): (StepKey, u64), day: Day) -> Option<i64> {
    let (one_in, least, more) = day.slips();
    let slips = item.prompt.kind == PromptKind::Start && (draw >> 8).is_multiple_of(one_in);
    let first = state.facts().first_plan.as_ref().filter(|_| slips)?;
    let block = first.blocks.iter().find(|b| b.key == key)?;
    let slip = (least + ((draw >> 16) % more) as i64) * MINUTE_MS;
    let late_ms = state.ms(block.start).saturating_add(slip);
    Some(late_ms.min(item.prompt.due_ms.saturating_add(slip)))
}

/// One step in some of those that forgive takes some minutes more, and the
/// hand says so when it ends.
fn prolong(state: &State, now_ms: i64, habits: Habits) -> Option<Event> {
    for (key, progress) in &state.facts().progress {
        let Progress::Running(run) = progress else { continue };
        let forgives = state.step(*key).is_some_and(|s| s.overdone_after.is_none());
        let by_itself = state.ends_by_itself(*key, run.way);
        let ends = state.nominal_end_ms(*key, run) <= now_ms && run.more_until_ms.is_none();
        let draw = draw(habits.seed, *key, 99);
        if ends && forgives && !by_itself && draw.is_multiple_of(habits.day.prolongs()) {
            let minutes = match habits.day {
                Day::Demo => 3 + (draw >> 8) as u32 % 5,
                day => longer_by(state, *key, run.way, day, draw >> 8),
            };
            return Some(Event::NeedsMore { id: state.id(*key)?, minutes });
        }
    }
    None
}

/// How much longer a step takes than is likely: on an ordinary day up to the time that nine evenings in ten keep, on a
/// bad one half of what is beyond the likely at the least, and at the most half as much again as those keep.
fn longer_by(state: &State, key: StepKey, way: usize, day: Day, draw: u64) -> u32 {
    let minutes = state.step(key).and_then(|s| s.ways.get(way)).map(|w| w.minutes);
    let beyond = minutes.map_or(0, |m| u64::from(m.high.saturating_sub(m.likely)));
    let (least, most) = match day {
        Day::Bad => (beyond / 2, beyond + beyond / 2),
        _ => (0, beyond),
    };
    // Within the bounds of a minute and an hour.
    (least + draw % (most - least + 1)).clamp(1, 60) as u32
}

/// Sees alarms, and answers those of passed safety limits.
fn alarm_mark(state: &State, now_ms: i64) -> Option<Event> {
    let noticed = |raised_ms: i64| raised_ms.saturating_add(NOTICES_MS) <= now_ms;
    for alarm in alarms::alarms(state, now_ms) {
        if !noticed(alarm.raised_ms) {
            continue;
        }
        if alarms::asks_what_was_done(alarm.kind) {
            return Some(Event::AlarmAnswered { alarm: alarm.key, how: Answer::Discarded });
        }
        if matches!(alarm.state, AlarmState::New | AlarmState::Returned) {
            return Some(Event::AlarmAcknowledged { alarm: alarm.key });
        }
    }
    None
}

/// Takes the readings that are wanted, half a minute later: hot enough, and in
/// the fridge as cold as an hour's half allows.
fn reading(state: &State, now_ms: i64, seed: u64) -> Option<Event> {
    let profile = super::food::profile(state)?;
    let wanted = measure::wanted(state, now_ms);
    let due = wanted.iter().find(|m| m.due_ms.saturating_add(TAKES_MS) <= now_ms)?;
    let food = Food { dish: due.dish, part: due.part };
    let key = StepKey { dish: due.dish, step: 0, load: due.part.unwrap_or(0) };
    let extra = (draw(seed, key, 11) % 60) as f64 / 10.0;
    let sheet = state.sheet(due.dish)?;
    let chills = super::food::phases_of(state, food, now_ms)
        .last()
        .is_some_and(|p| p.1 == super::food::Keeping::In(crate::safety::Control::Chilling));
    let celsius = if chills {
        let taken = super::portions::taken(state, food);
        let last = taken.last().map_or(60.0, |r| r.celsius);
        (last / 2.0).max(3.0)
    } else {
        let inner = least_inner_c(profile, sheet.recipe.safety.class, None).unwrap_or(0.0);
        inner.max(profile.hot_hold_least.c()) + 2.0 + extra
    };
    let celsius = (celsius * 10.0).round() / 10.0;
    let dish = sheet.id.clone();
    Some(match due.part {
        Some(part) => Event::Portion { dish, part, did: PortionDid::Temperature { celsius } },
        None => Event::Temperature { dish, celsius },
    })
}

/// Clears the table when a dish has stood there as long as was planned, or its
/// clock warns; closes the evening when everything is cleared.
fn clear(state: &State, now_ms: i64, seed: u64) -> Option<Event> {
    let board = holding::board(state, now_ms);
    for entry in board.iter().filter(|h| h.served) {
        let key = StepKey { dish: entry.dish, step: 0, load: 0 };
        let stays = i64::from(state.evening().table_minutes(entry.dish));
        let lingers = (draw(seed, key, 7) % 4) as i64;
        let eaten = entry.since_ms.saturating_add((stays + lingers) * MINUTE_MS) <= now_ms;
        let near = entry.safe.state > super::view::Countdown::Fine;
        if eaten || near {
            let dish = state.sheet(entry.dish)?.id.clone();
            let how = if draw(seed, key, 8).is_multiple_of(3) {
                Clearing::PutAway
            } else {
                Clearing::Eaten
            };
            return Some(Event::Cleared { dish, how });
        }
    }
    let over = super::ending::is_over(state) && board.is_empty();
    over.then_some(Event::Finished)
}

/// A number that looks random: the finalizer of the splitmix64 generator
/// (S. Vigna, public domain; constants from memory).
fn draw(seed: u64, key: StepKey, salt: u64) -> u64 {
    let mut mixed = seed ^ (salt << 48);
    for part in [key.dish as u64, key.step as u64, u64::from(key.load)] {
        mixed = mixed.wrapping_add(part).wrapping_add(0x9E37_79B9_7F4A_7C15);
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^= mixed >> 31;
    }
    mixed
}

//! Alarms about steps: overdone soon, not started, an oven not turned on.

use std::collections::BTreeMap;

use super::{banner, key, left};
use crate::kitchen::Minute;
use crate::plan::StepKey;
use crate::run::state::{MINUTE_MS, Progress, State};
use crate::run::view::{Alarm, AlarmKind, AlarmState, Rank};
use crate::run::{prompts, words};

/// A start so many minutes late is an alarm; before that it is a prompt. Our choice.
const START_LATE: i64 = 3;

/// A start so many minutes late is an alarm when a service hangs on it.
const START_LATE_TIGHT: i64 = 1;

/// A service hangs on a start when its dish has at most so many minutes to spare.
const TIGHT: Minute = 3;

/// A dial so many minutes late is an alarm.
const DIAL_LATE: i64 = 2;

/// A pull that is marked within so many milliseconds of its end needs no alarm:
/// the prompt was enough. At most a quarter of what the step forgives. The
/// on-delay of seconds to a minute is common practice for alarm systems.
const PULL_DELAY_MS: i64 = 30_000;

/// What is done and forgives at least so much is a notice, since a warning
/// follows before it is overdone; what forgives less is one itself. Our choice.
const FORGIVES_MS: i64 = 5 * MINUTE_MS;

/// With no more than this left before a dish is overdone, act at once; with
/// more it is a warning. A textbook's matrix for ISA-18.2 ranks by harm and
/// time left; the minutes are our choice.
const AT_ONCE_MS: i64 = 2 * MINUTE_MS;

/// The rank of what leaves `left_ms` before harm: `near` below or at the bound, else `far`.
const fn by_time_left(left_ms: i64, bound_ms: i64, near: Rank, far: Rank) -> Rank {
    if left_ms <= bound_ms { near } else { far }
}

/// Ends of steps that spoil when they are left. Those that forgive have a
/// prompt, not an alarm.
pub(super) fn ends(state: &State, now_ms: i64) -> Vec<Alarm> {
    let mut alarms = Vec::new();
    for (key, progress) in &state.facts().progress {
        let Progress::Running(run) = progress else { continue };
        let Some(step) = state.step(*key).filter(|_| state.still_runs(*key, now_ms)) else {
            continue;
        };
        let Some(overdone) = step.overdone_after else { continue };
        let end_ms = state.nominal_end_ms(*key, run);
        let harm_ms = end_ms.saturating_add(i64::from(overdone) * MINUTE_MS);
        let lead_ms = pull_lead_ms(overdone, step.hands.end_minutes);
        let delay_ms = PULL_DELAY_MS.min(i64::from(overdone) * MINUTE_MS / 4);
        let (pull_ms, near_ms) = (end_ms + delay_ms, harm_ms - lead_ms);
        let at = End { key: *key, end_ms, pull_ms, near_ms, harm_ms };
        alarms.extend(at.alarms(state, now_ms));
    }
    alarms
}

/// Before overdone: the minutes of hands that pulling takes and two to get
/// there, at most half of what it forgives. Our choice.
fn pull_lead_ms(overdone_after: u32, hands_end: u32) -> i64 {
    let act = i64::from(hands_end.saturating_add(2)) * MINUTE_MS;
    act.min(i64::from(overdone_after) * MINUTE_MS / 2)
}

struct End {
    key: StepKey,
    end_ms: i64,
    pull_ms: i64,
    near_ms: i64,
    harm_ms: i64,
}

impl End {
    fn alarms(&self, state: &State, now_ms: i64) -> Vec<Alarm> {
        let of = |kind, rank, raised_ms, harm_ms, title: String| {
            self.alarm(state, (kind, rank), (raised_ms, harm_ms), title)
        };
        let name = banner(state, self.key.dish);
        let over = left(self.harm_ms, now_ms);
        vec![
            of(
                AlarmKind::PullNow,
                by_time_left(self.harm_ms - self.pull_ms, FORGIVES_MS, Rank::Warning, Rank::Notice),
                self.pull_ms,
                Some(self.harm_ms),
                format!("{name} is done"),
            ),
            of(
                AlarmKind::NearlyOverdone,
                by_time_left(self.harm_ms - self.near_ms, AT_ONCE_MS, Rank::Urgent, Rank::Warning),
                self.near_ms,
                Some(self.harm_ms),
                format!("{name} overdone {over}"),
            ),
            of(AlarmKind::Overdone, Rank::Urgent, self.harm_ms, None, format!("{name} overdone")),
        ]
        .into_iter()
        .flatten()
        .collect()
    }

    fn alarm(
        &self,
        state: &State,
        (kind, rank): (AlarmKind, Rank),
        (raised_ms, harm_ms): (i64, Option<i64>),
        title: String,
    ) -> Option<Alarm> {
        let id = state.id(self.key)?;
        let Progress::Running(run) = state.facts().progress.get(&self.key)? else { return None };
        let short = prompts::end_item(state, self.key, run)?.prompt.short;
        let end = words::clock(state, self.end_ms);
        Some(Alarm {
            key: key(kind, &id.dish, &id.step, id.load),
            kind,
            rank,
            title,
            cause: format!("{} should have ended at {end}.", words::step_of(state, self.key)),
            consequence: match harm_ms {
                Some(at) => format!("It is overdone at {}.", words::clock(state, at)),
                None => "It gets worse every minute.".to_owned(),
            },
            remedy: format!("{}, or ask for more minutes.", words::capital(&short)),
            raised_ms,
            harm_ms,
            state: AlarmState::New,
            dish: Some(self.key.dish),
            safety: false,
            root: None,
        })
    }
}

/// Steps that should have started: those that become alarms in one minute make
/// one alarm.
pub(super) fn starts(state: &State, now_ms: i64) -> Vec<Alarm> {
    let mut bundles: BTreeMap<Minute, Vec<(i64, StepKey)>> = BTreeMap::new();
    for block in state.plan().into_iter().flat_map(|p| &p.blocks) {
        if let Some(at_ms) = start_alarm_ms(state, block.key, now_ms) {
            bundles.entry(state.minute(at_ms)).or_default().push((at_ms, block.key));
        }
    }
    let mut alarms = Vec::new();
    for (minute, mut bundle) in bundles {
        bundle.sort_unstable();
        alarms.extend(bundle_alarm(state, minute, &bundle, now_ms));
    }
    alarms
}

/// When a start becomes an alarm; None if it has begun or something before it has not ended.
fn start_alarm_ms(state: &State, key: StepKey, now_ms: i64) -> Option<i64> {
    let begun = state.facts().progress.contains_key(&key);
    if begun || state.is_dropped(key.dish) || state.is_out_of_hand(key.dish) {
        return None;
    }
    let since_ms = since_ms(state, key)?;
    let free_ms = freed_ms(state, key, now_ms)?;
    let late = if spare(state, key.dish) <= TIGHT { START_LATE_TIGHT } else { START_LATE };
    Some(since_ms.max(free_ms).saturating_add(late * MINUTE_MS))
}

/// Since when a load is or will be due.
fn since_ms(state: &State, key: StepKey) -> Option<i64> {
    let drifted = state.facts().due_since.get(&key).copied();
    drifted.or_else(|| Some(state.ms(state.block(key)?.start)))
}

/// When everything before a step was over; None if it is not.
fn freed_ms(state: &State, key: StepKey, now_ms: i64) -> Option<i64> {
    let mut freed = i64::MIN;
    for load in 0..key.load {
        freed = freed.max(state.over_ms(StepKey { load, ..key }, now_ms)?);
    }
    for step in state.earlier_steps(key.dish, key.step) {
        freed = freed.max(state.step_over_ms(key.dish, step, now_ms)?);
    }
    Some(freed)
}

/// Minutes between the planned end of a dish and its service.
fn spare(state: &State, dish: usize) -> Minute {
    let Some(plan) = state.plan() else { return Minute::MAX };
    let mut lines = plan.services.iter().flat_map(|l| &l.dishes);
    let ready = lines.find(|d| d.0 == dish).map(|d| d.1);
    let due = state.sheet(dish).map(|s| state.service_minute(s.service));
    ready.zip(due).map_or(Minute::MAX, |(ready, due)| due.saturating_sub(ready))
}

fn bundle_alarm(
    state: &State,
    minute: Minute,
    bundle: &[(i64, StepKey)],
    now_ms: i64,
) -> Option<Alarm> {
    let (raised_ms, first) = *bundle.first()?;
    let tight = bundle.iter().any(|(_, k)| spare(state, k.dish) <= TIGHT);
    let blocks = bundle.iter().filter_map(|(_, k)| state.block(*k));
    let shorts: Vec<String> = blocks.map(|b| prompts::start_short(state, b)).collect();
    let title = match bundle {
        [_] => {
            let label = state.step(first).map(|s| s.label.as_str()).unwrap_or_default();
            format!("{} is late: {label}", banner(state, first.dish))
        }
        _ => format!("{} steps are late to start", bundle.len()),
    };
    let since_ms = bundle.iter().filter_map(|(_, k)| since_ms(state, *k)).min();
    let since = words::clock(state, since_ms.unwrap_or(raised_ms));
    let due = bundle.iter().map(|(_, k)| state.due_ms(k.dish)).min();
    Some(Alarm {
        key: key(AlarmKind::StepDue, "", "", minute),
        kind: AlarmKind::StepDue,
        rank: if tight { Rank::Warning } else { Rank::Notice },
        title,
        cause: format!("Due since {since}: {}.", words::list(&shorts)),
        consequence: "Everything after it moves back.".to_owned(),
        remedy: "Start it, skip it, or let the plan move on.".to_owned(),
        raised_ms,
        harm_ms: due.filter(|due| *due > now_ms),
        state: AlarmState::New,
        dish: (bundle.len() == 1).then_some(first.dish),
        safety: false,
        root: None,
    })
}

/// Does a service hang on what goes into the oven first from this minute on?
fn waited_for(state: &State, oven: &str, from: Minute) -> bool {
    let blocks = state.plan().into_iter().flat_map(|p| &p.blocks);
    let next = blocks.filter(|b| b.station == oven && b.start >= from).min_by_key(|b| b.start);
    next.is_some_and(|b| spare(state, b.key.dish) <= TIGHT)
}

/// Ovens whose dial should have been turned.
pub(super) fn dials(state: &State, now_ms: i64) -> Vec<Alarm> {
    let settings = state.plan().map(|p| p.settings.as_slice()).unwrap_or_default();
    let ovens = state.evening().kitchen.stations.iter().filter(|s| s.thermostat.is_some());
    let mut alarms = Vec::new();
    for oven in ovens.filter(|s| !state.facts().down.contains_key(&s.id)) {
        let open = prompts::open_dials(state, settings, &oven.id, now_ms);
        let Some(turn) = open.first() else { continue };
        let due = state.facts().dials_due.get(&oven.id).filter(|(c, _)| *c == turn.to_c);
        let since_ms = due.map_or_else(|| state.ms(turn.from), |(_, since)| *since);
        let name = words::station(state.evening(), &oven.id);
        let setting = words::degrees(state, turn.to_c);
        let ready_ms = state.ms(turn.to);
        alarms.push(Alarm {
            key: key(AlarmKind::PreheatDue, &oven.id, &turn.to_c.to_string(), 0),
            kind: AlarmKind::PreheatDue,
            rank: if waited_for(state, &oven.id, turn.from) { Rank::Warning } else { Rank::Notice },
            title: format!("{} to {setting} now", name.to_uppercase()),
            cause: format!("The {name} should have been set at {}.", words::clock(state, since_ms)),
            consequence: format!("What goes in at {} has to wait.", words::clock(state, ready_ms)),
            remedy: format!("Turn the {name} to {setting}."),
            raised_ms: since_ms.saturating_add(DIAL_LATE * MINUTE_MS),
            harm_ms: Some(ready_ms).filter(|at| *at > now_ms),
            state: AlarmState::New,
            dish: None,
            safety: false,
            root: None,
        });
    }
    alarms
}

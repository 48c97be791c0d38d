//! The picture of the present moment, for the screens.

use super::ending::{ending, is_over};
use super::prompts::{self, Item};
use super::state::{MINUTE_MS, Progress, State};
use super::view::{Changed, Expected, Phase, Prompt, PromptKind, Span, View};
use super::{alarms, holding, marks, measure, words};
use crate::order::InOrder;
use crate::plan::StepKey;

/// What a reshuffle moved is shown for so long: 15 minutes, our choice. Later
/// it only explains what is history.
pub const CHANGE_IS_NEWS_MS: i64 = 15 * MINUTE_MS;

/// What the screens show at `now_ms`.
#[must_use]
pub fn view(state: &State, now_ms: i64) -> View {
    state.memo.during(|| seen(state, now_ms))
}

fn seen(state: &State, now_ms: i64) -> View {
    let now_ms = state.sane_ms(now_ms);
    let items = prompts::items(state, now_ms);
    let (mut due, ahead): (Vec<&Item>, Vec<&Item>) =
        items.iter().partition(|i| i.free && i.prompt.due_ms <= now_ms);
    due.order_by_key(|i| (i.press, i.prompt.due_ms, i.prompt.key, i.prompt.dish));
    let holding = holding::board(state, now_ms);
    let portions = holding::portions(state, now_ms);
    let alarms = alarms::at(state, now_ms);
    let mut view = View {
        now_ms,
        now: state.minute(now_ms),
        outdated: state.facts().stale.is_some(),
        do_now: due.iter().map(|i| i.prompt.clone()).collect(),
        next: upcoming(state, &ahead),
        running: running(state, now_ms),
        alarms: alarms.all,
        held_back: alarms.held_back,
        expected: expected(&due, &ahead),
        phases: phases(state, now_ms),
        spans: spans(state),
        heats: state.heats(now_ms),
        pinned: state.open_pins(state.minute(now_ms)).into_keys().collect(),
        down: state.facts().down.keys().cloned().collect(),
        dropped: state.facts().dropped.keys().copied().collect(),
        ticked: state.facts().ticked.clone(),
        last_change: last_change(state, now_ms),
        ending: ending(state, &holding, &portions, now_ms),
        holding,
        portions,
        away: away(state),
        next_part: dishes(state).map(|dish| state.next_portion(dish)).collect(),
        early: early(state),
        ruled: state.facts().rules.keys().copied().collect(),
        measure: measure::wanted(state, now_ms),
        expect: dishes(state).map(|dish| marks::expect(state, dish, now_ms)).collect(),
        next_change_ms: 0,
    };
    view.next_change_ms = next_change_ms(state, &view, alarms.next_ms);
    view
}

fn dishes(state: &State) -> std::ops::Range<usize> {
    0..state.evening().sheets.len()
}

/// Parts that were put away.
fn away(state: &State) -> Vec<(usize, u32)> {
    let parts = state.facts().portions.keys().copied();
    parts.filter(|id| state.portion_is_away(*id)).collect()
}

/// Steps that have not begun and whose ingredients stand out of the fridge.
fn early(state: &State) -> Vec<StepKey> {
    let out = state.facts().early.iter().filter(|(_, s)| matches!(s.last(), Some((_, None))));
    let keys = out.map(|(key, _)| *key);
    keys.filter(|key| !state.facts().progress.contains_key(key)).collect()
}

/// What the last reshuffle moved, for some minutes and until all is served.
fn last_change(state: &State, now_ms: i64) -> Option<Changed> {
    let told = state.facts().change.as_ref().filter(|_| !is_over(state))?;
    let stale = told.at_ms.saturating_add(CHANGE_IS_NEWS_MS) <= now_ms;
    (!stale).then(|| told.clone())
}

/// What lies ahead; the dishes of a service as one line.
fn upcoming(state: &State, ahead: &[&Item]) -> Vec<Prompt> {
    let mut next: Vec<Prompt> = Vec::new();
    let mut named = Vec::new();
    for item in ahead {
        let service = (item.prompt.kind == PromptKind::Serve)
            .then(|| state.sheet(item.prompt.dish?).map(|s| s.service))
            .flatten();
        match service {
            None => next.push(item.prompt.clone()),
            Some(service) if named.contains(&service) => {}
            Some(service) => {
                named.push(service);
                next.push(serve_line(state, service, &item.prompt));
            }
        }
    }
    next.order_by_key(|p| (p.due_ms, p.key, p.dish));
    next
}

/// "serve starters"; a single dish that comes after the others by its name.
fn serve_line(state: &State, service: usize, first: &Prompt) -> Prompt {
    let of_service: Vec<usize> = (0..state.evening().sheets.len())
        .filter(|d| state.sheet(*d).is_some_and(|s| s.service == service))
        .filter(|d| !state.is_dropped(*d) && !state.is_out_of_hand(*d))
        .collect();
    if of_service.len() < 2 {
        return first.clone();
    }
    let title = words::service_title(state.evening(), service);
    let names: Vec<String> = of_service.iter().map(|d| words::dish(state, *d)).collect();
    Prompt {
        dish: None,
        short: format!("serve {title}"),
        text: format!("{} to the table: {}.", words::capital(&title), words::list(&names)),
        ..first.clone()
    }
}

/// What runs, by end.
fn running(state: &State, now_ms: i64) -> Vec<Prompt> {
    let mut running: Vec<Prompt> = Vec::new();
    for (key, progress) in &state.facts().progress {
        let Progress::Running(run) = progress else { continue };
        if !state.still_runs(*key, now_ms) {
            continue;
        }
        if let Some(item) = prompts::end_item(state, *key, run) {
            running.push(item.prompt);
        }
    }
    running.order_by_key(|p| (p.due_ms, p.key));
    running
}

/// What the one key marks: the most pressing of what is due; else what the
/// cook has both hands on; else what comes first.
fn expected(due: &[&Item], ahead: &[&Item]) -> Option<Expected> {
    let hands_on = || ahead.iter().find(|i| i.hands_on);
    let soonest = || ahead.iter().filter(|i| i.free).min_by_key(|i| (i.prompt.due_ms, i.press));
    let item = due.first().or_else(hands_on).or_else(soonest)?;
    Some(Expected {
        prompt: item.prompt.clone(),
        label: item.label.clone(),
        event: item.event.clone(),
    })
}

fn phases(state: &State, now_ms: i64) -> Vec<(StepKey, Phase)> {
    let mut phases: Vec<(StepKey, Phase)> =
        state.all_loads().map(|key| (key, phase(state, key, now_ms))).collect();
    phases.order_by_key(|p| p.0);
    phases
}

/// How far a load has come.
#[must_use]
pub fn phase(state: &State, key: StepKey, now_ms: i64) -> Phase {
    let run = match state.facts().progress.get(&key) {
        None => {
            let late = state
                .due_since(key, now_ms)
                .is_some_and(|since| since.saturating_add(MINUTE_MS) <= now_ms);
            return if late { Phase::LateStart } else { Phase::Ahead };
        }
        Some(Progress::Done(..)) => return Phase::Done,
        Some(Progress::Skipped(..)) => return Phase::Skipped,
        Some(Progress::Running(run)) => run,
    };
    if state.over_ms(key, now_ms).is_some() {
        return Phase::Done;
    }
    if !state.still_runs(key, now_ms) {
        return Phase::Skipped;
    }
    let end_ms = state.nominal_end_ms(key, run);
    let overdone = state.step(key).and_then(|s| s.overdone_after);
    match overdone {
        Some(m) if end_ms.saturating_add(i64::from(m) * MINUTE_MS) <= now_ms => Phase::Overdone,
        _ if end_ms <= now_ms => Phase::Over,
        _ => Phase::Running,
    }
}

fn spans(state: &State) -> Vec<Span> {
    let spans = state.facts().progress.iter().filter_map(|(key, progress)| {
        let run = progress.run()?;
        let to_ms = progress.end_ms().unwrap_or_else(|| state.nominal_end_ms(*key, run));
        Some(Span { key: *key, from_ms: run.start_ms, to_ms })
    });
    spans.collect()
}

/// When the picture changes next by itself: the next minute, or sooner a time
/// that something is due or a limit is near or reached.
fn next_change_ms(state: &State, view: &View, next_alarm_ms: Option<i64>) -> i64 {
    let now_ms = view.now_ms;
    let next_minute = state.ms(view.now.saturating_add(1));
    let limits = view
        .holding
        .iter()
        .chain(&view.portions)
        .flat_map(|h| [h.best.at_ms, h.safe.at_ms])
        .flatten();
    let prompts = view.next.iter().chain(&view.running).map(|p| p.due_ms);
    let readings = view.measure.iter().map(|m| m.due_ms);
    let old_news = view.last_change.iter().map(|c| c.at_ms.saturating_add(CHANGE_IS_NEWS_MS));
    let times = prompts.chain(limits).chain(old_news).chain(readings).chain(next_alarm_ms);
    times.filter(|t| *t > now_ms).fold(next_minute, i64::min)
}

//! Steps of a recipe out of the proposals of its method.

use super::{TEXT_MOST, fit, pieces};
use crate::bring::method::{Method, Proposal, Span};
use crate::kitchen::ahead::{self, plain, way};
use crate::kitchen::check::{MOST_MUST_WAIT_MINUTES, MOST_STEP_MINUTES};
use crate::kitchen::id::{self, spelled};
use crate::kitchen::{
    After, CookwareNeed, Growth, Hands, Minutes, StationKind, Step, WaitPlace, Way,
};

/// How far an oven may be off what the text says, so that dishes can share it:
/// common practice, no source.
const GIVE_C: i32 = 10;
/// From this on, minutes of a step are looked after at both its ends.
const LOOKED_AFTER_FROM: u32 = 4;
/// Longest word on a block, in letters.
const LABEL_MOST: usize = 24;

/// Gives the time to cook that the source says for the whole to the one step that
/// heats and has none of its own.
pub(super) fn give_time(method: &mut Method, cook: Option<u32>) {
    let Some(minutes) = cook.filter(|m| (1..=MOST_STEP_MINUTES).contains(m)) else { return };
    let mut heats = method.steps.iter_mut().filter(|s| s.station.heats());
    if let (Some(only), None) = (heats.next(), heats.next())
        && only.guessed
    {
        only.span = Span { low: minutes, likely: minutes, high: minutes };
        only.guessed = false;
    }
}

/// The steps; words that a step has no room for go into the notes.
pub(super) fn steps(
    method: &Method,
    servings: u32,
    notes: &mut Vec<String>,
    said: &mut Vec<String>,
) -> Vec<Step> {
    let mut steps: Vec<Step> = Vec::new();
    for proposal in &method.steps {
        let id = free_id(&steps, &proposal.label);
        let after = proposal.after.iter().filter_map(|&at| {
            let before = steps.get(at)?;
            Some(follows(&before.id, method.steps.get(at)?))
        });
        let after = after.collect();
        steps.push(step(proposal, id, after, servings, notes));
    }
    match (method.steps.last(), steps.last()) {
        (Some(last), Some(step)) if last.rest.is_some() => {
            let after = vec![follows(&step.id, last)];
            steps.push(finish(free_id(&steps, "serve"), after, Some(step.text.clone())));
        }
        (None, _) => {
            said.push("it tells no method: one step stands for it".to_owned());
            steps.push(finish("make".to_owned(), Vec::new(), None));
        }
        _ => {}
    }
    told(method, notes, said);
    steps
}

/// Says what was guessed, in the recipe itself too: its minutes look like any others.
fn told(method: &Method, notes: &mut Vec<String>, said: &mut Vec<String>) {
    let list = |of: fn(&&Proposal) -> bool| -> Vec<String> {
        let steps = method.steps.iter().enumerate().filter(|(_, s)| of(s));
        steps.map(|(n, s)| format!("{} {}", n + 1, s.label)).collect()
    };
    let minutes = list(|s| s.guessed || s.rest.is_some_and(|r| r.guessed));
    if !minutes.is_empty() {
        notes.push(format!("Minutes guessed, the text has none: {}", minutes.join(", ")));
    }
    let heat = list(|s| s.guessed_heat);
    if !heat.is_empty() {
        notes.push(format!("Setting guessed, the text has none: {}", heat.join(", ")));
        said.push(format!("the text gives no setting for {} of its steps in the oven", heat.len()));
    }
    said.extend(method.said.iter().cloned());
}

fn step(
    proposal: &Proposal,
    id: String,
    after: Vec<After>,
    servings: u32,
    notes: &mut Vec<String>,
) -> Step {
    let mut words = pieces(&proposal.words, TEXT_MOST).into_iter();
    let text = words.next().unwrap_or_else(|| proposal.label.clone());
    notes.extend(words.map(|more| format!("Step {id} goes on: {more}")));
    let span = proposal.span.within(MOST_STEP_MINUTES);
    let minutes = Minutes { low: span.low, likely: span.likely, high: span.high };
    let load_servings = proposal.loads.map(|n| servings.div_ceil(n.max(1)).max(1));
    let oven = proposal.station == StationKind::Oven;
    let by_hand = !proposal.station.heats() && proposal.hands >= 100;
    Step {
        id,
        label: fit(&proposal.label, LABEL_MOST),
        ways: vec![Way {
            at_c: proposal.at_c,
            give_c: if oven { GIVE_C } else { 0 },
            setting: proposal.setting,
            load_servings,
            ..way(proposal.station, minutes)
        }],
        hands: hands(proposal.hands, span.likely),
        after,
        cookware: proposal
            .cookware
            .iter()
            .map(|kind| CookwareNeed { kind: (*kind).to_owned(), count: 1, least_ml: None })
            .collect(),
        overdone_after: None,
        grows: if by_hand && load_servings.is_none() { Growth::Proportion } else { Growth::Fixed },
        probe: proposal.inside_c.is_some(),
        care: None,
        day_before: false,
        words: Some(text.clone()),
        unconfirmed: true,
        text,
    }
}

fn hands(between: u32, likely: u32) -> Hands {
    let ends = u32::from(between < 100 && likely >= LOOKED_AFTER_FROM);
    Hands { start_minutes: ends, end_minutes: ends, between_percent: between.min(100) }
}

/// That a step follows another, with the wait that the text puts between.
fn follows(id: &str, before: &Proposal) -> After {
    let rest = before.rest;
    let least = rest.map_or(0, |r| r.span.low.min(MOST_MUST_WAIT_MINUTES));
    let cold = rest.is_some_and(|r| r.place.chills());
    let place = if cold { WaitPlace::Cold } else { WaitPlace::Room };
    After { least_minutes: least, ..ahead::follows(id, place) }
}

/// What comes behind the last wait, or stands for a method that is not told.
fn finish(id: String, after: Vec<After>, words: Option<String>) -> Step {
    let (text, minutes) = match &words {
        Some(_) => ("Bring it to the table.", Minutes { low: 1, likely: 2, high: 4 }),
        None => ("Make it.", Minutes { low: 20, likely: 30, high: 50 }),
    };
    Step {
        hands: Hands { between_percent: 100, ..Hands::default() },
        words,
        unconfirmed: true,
        ..plain(&id, &id, text, way(StationKind::Counter, minutes), after)
    }
}

/// An id that no step has yet.
fn free_id(steps: &[Step], label: &str) -> String {
    let stem: String = spelled(label).chars().take(LABEL_MOST).collect();
    let stem = if stem.is_empty() { "step".to_owned() } else { stem };
    id::free(&stem, |id| steps.iter().any(|s| s.id == id))
}

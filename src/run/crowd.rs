//! The moments at which more things want hands than there are: what a rehearsal is watched for.

use super::state::{MINUTE_MS, State};
use super::view::{Prompt, View};

/// Two things that were due wait at once for so long before it counts (ms).
const WAITED_MS: i64 = MINUTE_MS;
/// The same things again within so long are the same moment (ms).
const SAME_MS: i64 = 10 * MINUTE_MS;

/// A moment at which hands were wanted twice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Crowd {
    /// When it began (unix ms).
    pub at_ms: i64,
    /// What wanted them, in a few words each.
    pub wanted: Vec<String>,
}

/// Adds the present moment if more things have waited for a minute than there are cooks in the kitchen.
pub fn notice(crowds: &mut Vec<Crowd>, state: &State, view: &View) {
    let late = |p: &&Prompt| p.due_ms.saturating_add(WAITED_MS) <= view.now_ms;
    let wanted: Vec<&Prompt> = view.do_now.iter().filter(late).collect();
    if wanted.len() <= cooks_at(state, view.now_ms).max(1) {
        return;
    }
    let shorts: Vec<String> = wanted.iter().map(|p| p.short.clone()).collect();
    match crowds.last_mut() {
        Some(last) if last.at_ms.saturating_add(SAME_MS) > view.now_ms => {
            let new: Vec<String> =
                shorts.into_iter().filter(|s| !last.wanted.contains(s)).collect();
            last.wanted.extend(new);
        }
        _ => crowds.push(Crowd { at_ms: view.now_ms, wanted: shorts }),
    }
}

/// The moments in words, a line each.
#[must_use]
pub fn lines(crowds: &[Crowd], state: &State) -> Vec<String> {
    let face = &state.evening().face;
    let line = |c: &Crowd| format!("  {}  {}", face.read(c.at_ms), c.wanted.join("; "));
    match crowds {
        [] => vec!["Hands were never wanted twice for a minute.".to_owned()],
        some => std::iter::once("Hands were wanted twice".to_owned())
            .chain(some.iter().map(line))
            .collect(),
    }
}

fn cooks_at(state: &State, now_ms: i64) -> usize {
    let face = &state.evening().face;
    let now = face.minute_at(now_ms);
    let is_free = |f: &crate::kitchen::party::Stretch| {
        (face.minute_of(f.from)..face.minute_of(f.to)).contains(&now)
    };
    state.evening().party.cooks.iter().filter(|c| c.free.iter().any(is_free)).count()
}

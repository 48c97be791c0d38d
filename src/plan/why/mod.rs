//! Why a block stands where it stands: what keeps it from being earlier or
//! later, as a chain of plain sentences that ends in a fact; how far it can
//! be moved; and what moves if it runs late.
//!
//! Nothing is asserted that was not tried: a sentence stands for a rule that
//! the judge finds broken when that block alone is moved a minute (the first
//! that is not free), or for a dearer schedule by the judge's count. [`tight`]
//! finds who is in the way, [`chain`] goes from one to the next, [`room`] and
//! [`push`] count minutes, [`late`] asks the planner, [`words`] says it.

pub mod chain;
pub mod late;
pub mod push;
pub mod room;
pub mod stand;
#[cfg(test)]
mod tests;
pub mod text;
pub mod tight;
pub mod wire;
mod words;

use super::blocks::{Block, Plan};
use super::planner::Planning;
use super::situation::{Begun, StepKey};
use crate::kitchen::{Evening, Minute};
use crate::order::InOrder;
use push::Slip;
use room::Room;
use stand::{Side, Stand};
use words::Words;

/// What is known so far of a question about a block.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    /// The block.
    pub key: StepKey,
    /// Why it stands where it stands; None while that is not known, or if the
    /// plan does not hold as things are now.
    pub why: Option<Box<Why>>,
    /// What moves if it is late, as far as that is worked out.
    pub late: Vec<late::Late>,
    /// Nothing more follows.
    pub done: bool,
}

impl Answer {
    /// Nothing known yet.
    #[must_use]
    pub const fn new(key: StepKey) -> Self {
        Self { key, why: None, late: Vec::new(), done: false }
    }
}

/// Why a block stands where it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Why {
    /// Which load of which step.
    pub key: StepKey,
    /// First minute.
    pub start: Minute,
    /// Minute after the last.
    pub end: Minute,
    /// "Pan pie (bake)".
    pub name: String,
    /// Where it stands: "oven, 185 °C".
    pub place: String,
    /// What has happened already: "It began at 17:14."
    pub fact: Option<String>,
    /// What keeps it from being earlier.
    pub earlier: Reasons,
    /// What keeps it from being later.
    pub later: Reasons,
    /// How far it can slip with the rest pushed along.
    pub slip: Slip,
    /// What then gives out: "then too late for mains at 19:00".
    pub slip_until: String,
}

/// What keeps a block from being moved to one side.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Reasons {
    /// How far it can be moved with nothing else moved.
    pub room: Room,
    /// One sentence after the other, from the block to a fact.
    pub chain: Vec<Sentence>,
    /// What else is in the block's own way.
    pub also: Vec<String>,
}

/// A sentence of a chain.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sentence {
    /// The block it is about.
    pub key: StepKey,
    /// The words.
    pub text: String,
}

/// Explains a block of a plan. None if the plan has no such block, or is not
/// valid as things stand (a new one is on its way then), or if `stop` says so.
#[must_use]
pub fn why(
    planning: &Planning<'_>,
    plan: &Plan,
    key: StepKey,
    stop: &dyn Fn() -> bool,
) -> Option<Why> {
    let block = plan.blocks.iter().find(|b| b.key == key)?;
    let (problem, map) = (planning.problem(), planning.map());
    let schedule = planning.schedule_of(plan);
    let stand = Stand { problem, schedule: &schedule };
    let words = Words { evening: planning.evening(), situation: planning.situation(), map, stand };
    let task = map.tasks.iter().position(|t| t.key == key && !t.shadow);
    let Some(task) = task else { return served(&words, block) };
    let side = |side: Side| -> Option<Reasons> {
        let room = room::room(&stand, task, side, stop)?;
        let chain = chain::chain(&stand, task, side, room)?;
        Some(words.reasons(task, side, room, &chain))
    };
    let begun = stand.begun(task);
    let (earlier, later) = if begun {
        crate::plan::judge::judge(problem, &schedule).ok()?;
        (Reasons::default(), Reasons::default())
    } else {
        (side(Side::Earlier)?, side(Side::Later)?)
    };
    let slip = push::slip(&stand, task, stop)?;
    Some(Why {
        key,
        start: block.start,
        end: block.end,
        name: crate::paper::capital(&words.block(task)),
        place: words.place(block),
        fact: words.fact(task),
        earlier,
        later,
        slip,
        slip_until: words.slip_until(slip),
    })
}

/// A block of a dish that is served: the problem has it no more, and it stands as it happened.
fn served(words: &Words<'_>, block: &Block) -> Option<Why> {
    let Begun::Done { start, end, .. } = *words.situation.begun.get(&block.key)? else {
        return None;
    };
    Some(Why {
        key: block.key,
        start,
        end,
        name: crate::paper::capital(&words.step(block.key.dish, block.key.step)),
        place: words.place(block),
        fact: Some(words.done(start, end)),
        earlier: Reasons::default(),
        later: Reasons::default(),
        slip: Slip::default(),
        slip_until: words.slip_until(Slip::default()),
    })
}

/// The block that a name means: `step`, `dish/step` or `dish/step/load` (from
/// 1), by the ids of the party file.
///
/// # Errors
/// What is wrong with the name, with the nearest one or all there are.
pub fn find(evening: &Evening, plan: &Plan, name: &str) -> Result<StepKey, String> {
    let mut known: Vec<(String, StepKey)> = Vec::new();
    for block in &plan.blocks {
        let Some(sheet) = evening.sheets.get(block.key.dish) else { continue };
        let Some(step) = sheet.recipe.steps.get(block.key.step) else { continue };
        let load = if block.loads > 1 { format!("/{}", block.key.load + 1) } else { String::new() };
        known.push((format!("{}/{}{load}", sheet.id, step.id), block.key));
    }
    known.order();
    let parts: Vec<&str> = name.split('/').collect();
    let fits = |full: &str| {
        let of: Vec<&str> = full.split('/').collect();
        match parts.as_slice() {
            [step] => of.get(1) == Some(step),
            [first, last] => of.starts_with(&parts) || of.get(1..) == Some(&[*first, *last]),
            _ => of == parts,
        }
    };
    let found: Vec<&(String, StepKey)> = known.iter().filter(|(full, _)| fits(full)).collect();
    let same = |a: &StepKey, b: &StepKey| (a.dish, a.step) == (b.dish, b.step);
    match found.as_slice() {
        [] => Err(unknown(name, &known)),
        [first, rest @ ..] if rest.iter().all(|r| same(&r.1, &first.1)) => Ok(first.1),
        several => {
            let names: Vec<&str> = several.iter().map(|s| s.0.as_str()).collect();
            Err(format!("\"{name}\" is the name of several: {}. Say which.", names.join(", ")))
        }
    }
}

fn unknown(name: &str, known: &[(String, StepKey)]) -> String {
    let full = known.iter().map(|k| k.0.as_str());
    // Without the loads, the dish in front or not: whatever the cook may have meant.
    let short = |k: &str| k.splitn(3, '/').take(2).collect::<Vec<_>>().join("/");
    let shorts: Vec<String> = full.clone().map(short).collect();
    let nearest = |word: &str, of: &[&str]| {
        crate::kitchen::check::words::nearest(word, of.iter().copied()).map(str::to_owned)
    };
    let with_dish: Vec<&str> = shorts.iter().map(String::as_str).collect();
    let steps: Vec<&str> = shorts.iter().filter_map(|k| k.split('/').nth(1)).collect();
    let near = nearest(name, &with_dish).or_else(|| {
        let near = nearest(name, &steps)?;
        shorts.iter().find(|k| k.split('/').nth(1) == Some(&near)).cloned()
    });
    let mean = near.map_or_else(String::new, |n| format!(" Did you mean \"{n}\"?"));
    let all: Vec<&str> = full.collect();
    format!("The plan has no step \"{name}\".{mean} It has: {}.", all.join(", "))
}

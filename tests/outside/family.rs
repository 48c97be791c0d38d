//! `cargo run --release --example family -- DIR [--seeds N] [--steps N] [--plans ROUNDS] [--shown ROUNDS] [--one-late [--ready ROUNDS]]`
//!
//! Writes the family of parties (see `tests/family/mod.rs`) for other
//! programs. For each member:
//!
//! - `NAME.json`: the party file;
//! - `NAME.problem.json`: its problem in integers;
//! - `NAME.mid.problem.json`: the same some way into the evening, steps late,
//!   a plan on the screen; `NAME.mid.shown.json`: the schedule of that plan,
//!   to begin from. Not for members that have no plan;
//! - with `--plans`: `NAME.plan.json`, the plan made ahead in so many rounds,
//!   `NAME.mid.json`, the one made in so many rounds some way into the evening,
//!   and `NAME.mid.shown.json`, then the plan on the screen.
//!
//! `--shown`: rounds behind the plan on the screen of those midway; the program itself goes on looking for a better one
//! while nothing is marked. `--one-late`: all went by that plan but for one block that runs over (problems alone, not
//! with `--plans`). `--ready`: with the plans that were made ready for it before it was late, the first in so many rounds:
//! `NAME.mid.ready.json`.

#[path = "../family/mod.rs"]
mod family;

use std::path::{Path, PathBuf};

use anyhow::Context;
use family::midway::Trouble;
use family::{Member, Tightness, members, midway};
use potwatch::plan::planner::{Budget, NoPlan, Planning, plan_ahead, reshuffle};
use potwatch::plan::ready::{HELPINGS, Late, fitting, likely};
use potwatch::plan::{Plan, Schedule, Situation, wire};
use serde::Serialize;

fn main() -> anyhow::Result<()> {
    let mut folder: Option<PathBuf> = None;
    let (mut seeds, mut steps, mut rounds, mut shown) = (2, None, None, midway::ROUNDS);
    let (mut trouble, mut ready) = (Trouble::Much, None);
    let mut words = std::env::args().skip(1);
    while let Some(word) = words.next() {
        let mut number = || {
            let text = words.next().with_context(|| format!("{word} wants a number"))?;
            text.parse().with_context(|| format!("{word} wants a number, not \"{text}\""))
        };
        match word.as_str() {
            "--seeds" => seeds = number()?,
            "--steps" => steps = Some(number()?),
            "--plans" => rounds = Some(number()?),
            "--shown" => shown = number()?,
            "--one-late" => trouble = Trouble::OneLate,
            "--ready" => ready = Some(number()?),
            _ if word.starts_with("--") => anyhow::bail!("there is no {word}"),
            _ => folder = Some(word.into()),
        }
    }
    let usage = "usage: family DIR [--seeds N] [--steps N] [--plans ROUNDS] [--shown ROUNDS] \
                 [--one-late [--ready ROUNDS]]";
    let folder = folder.context(usage)?;
    std::fs::create_dir_all(&folder).with_context(|| folder.display().to_string())?;
    let wanted = |m: &Member| steps.is_none_or(|s| m.steps as u64 == s);
    for member in members(1..=seeds).into_iter().filter(wanted) {
        match rounds {
            None => problems(&folder, &member, shown, trouble, ready)?,
            Some(rounds) => plans(&folder, &member, rounds, shown)?,
        }
        println!("{}", member.name());
    }
    Ok(())
}

fn plans(folder: &Path, member: &Member, rounds: u64, shown: u64) -> anyhow::Result<()> {
    let write = |ending: &str, situation: &Situation, plan: &Plan| {
        let file = wire::plan_file(&member.evening(), situation, plan);
        let file = file.map_err(|e| anyhow::anyhow!("{}: {e:?}", member.name()))?;
        json(&folder.join(format!("{}.{ending}", member.name())), &file)
    };
    let (evening, ahead) = (member.evening(), Situation::default());
    let budget = Budget { seed: 1, rounds, stop: &|| false };
    let none = |e| anyhow::anyhow!("{}: {e:?}", member.name());
    let plan = match plan_ahead(&evening, &budget, &mut |_| ()) {
        Err(NoPlan::Clash { words, .. }) if member.tightness == Tightness::OverTight => {
            println!("{}: no plan: {}", member.name(), words.join(" "));
            return Ok(());
        }
        found => found.map_err(none)?,
    };
    write("plan.json", &ahead, &plan)?;
    let plan = midway::shown(&evening, shown).map_err(none)?;
    write("mid.shown.json", &ahead, &plan)?;
    let situation = midway::situation(member, &evening, plan);
    let plan = patiently(rounds, &mut |rounds| {
        reshuffle(&evening, &situation, &Budget { rounds, ..budget }, &mut |_| ())
    });
    write("mid.json", &situation, &plan.map_err(none)?)
}

/// Asks again with ten and a hundred times the rounds, as the program does as long as it has no
/// plan, unless it is proved that there is none.
fn patiently(
    rounds: u64,
    ask: &mut dyn FnMut(u64) -> Result<Plan, NoPlan>,
) -> Result<Plan, NoPlan> {
    let mut found = ask(rounds);
    for times in [10, 100] {
        if found.as_ref().err().is_none_or(NoPlan::is_sure) {
            break;
        }
        found = ask(rounds.saturating_mul(times));
    }
    found
}

fn problems(
    folder: &Path,
    member: &Member,
    shown: u64,
    trouble: Trouble,
    ready: Option<u64>,
) -> anyhow::Result<()> {
    let path = |ending: &str| folder.join(format!("{}.{ending}", member.name()));
    std::fs::write(path("json"), member.file())?;
    let evening = member.evening();
    problem(&path("problem.json"), &evening, &Situation::default())?;
    let Ok(plan) = midway::shown(&evening, shown) else { return Ok(()) };
    let situation = midway::troubled(member, &evening, plan.clone(), trouble);
    problem(&path("mid.problem.json"), &evening, &situation)?;
    let planning = Planning::new(&evening, &situation)
        .map_err(|e| anyhow::anyhow!("{}: {e:?}", member.name()))?;
    json(&path("mid.shown.json"), &planning.shown())?;
    let Some(rounds) = ready else { return Ok(()) };
    let before = midway::troubled(member, &evening, plan.clone(), Trouble::NothingYet);
    let mut ready: Vec<(Late, Plan)> = Vec::new();
    for (seed, (whence, share)) in (2..).zip(HELPINGS) {
        for late in likely(&before, &plan) {
            let then = late.then(&evening, &before, &plan);
            let Ok(first) = Planning::new(&evening, &then) else { continue };
            let first = first.with_ready(whence.of(&ready, &late, &then));
            let rounds = rounds.saturating_mul(share.into());
            let budget = Budget { seed, rounds, stop: &|| false };
            if let Ok((found, _)) = first.search(Some(&first.schedule_of(&plan)), &budget) {
                whence.keep(&mut ready, late, found);
            }
        }
    }
    let ready = fitting(&ready, &situation);
    let ready: Vec<Schedule> = ready.map(|plan| planning.schedule_of(plan)).collect();
    json(&path("mid.ready.json"), &ready)
}

fn problem(
    path: &Path,
    evening: &potwatch::kitchen::Evening,
    situation: &Situation,
) -> anyhow::Result<()> {
    let file = wire::problem_file(evening, situation)
        .map_err(|e| anyhow::anyhow!("{}: {e:?}", path.display()))?;
    json(path, &file)
}

fn json(path: &Path, thing: &impl Serialize) -> anyhow::Result<()> {
    std::fs::write(path, serde_json::to_string(thing)? + "\n")
        .with_context(|| path.display().to_string())
}

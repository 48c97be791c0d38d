//! `cargo run --release --example family -- DIR [--seeds N] [--steps N]`
//!
//! Writes the family of parties (see `tests/family/mod.rs`) for other
//! programs. For each member:
//!
//! - `NAME.json`: the party file;
//! - `NAME.problem.json`: its problem in integers;
//! - `NAME.mid.problem.json`: the same some way into the evening, steps late,
//!   a plan on the screen; `NAME.mid.shown.json`: the schedule of that plan,
//!   to begin from. Not for members that have no plan.

#[path = "../family/mod.rs"]
mod family;

use std::path::{Path, PathBuf};

use anyhow::Context;
use family::{Member, members, midway};
use potwatch::plan::planner::Planning;
use potwatch::plan::{Situation, wire};
use serde::Serialize;

fn main() -> anyhow::Result<()> {
    let mut folder: Option<PathBuf> = None;
    let (mut seeds, mut steps) = (2, None);
    let mut words = std::env::args().skip(1);
    while let Some(word) = words.next() {
        let mut number = || {
            let text = words.next().with_context(|| format!("{word} wants a number"))?;
            text.parse().with_context(|| format!("{word} wants a number, not \"{text}\""))
        };
        match word.as_str() {
            "--seeds" => seeds = number()?,
            "--steps" => steps = Some(number()?),
            _ if word.starts_with("--") => anyhow::bail!("there is no {word}"),
            _ => folder = Some(word.into()),
        }
    }
    let folder = folder.context("usage: family DIR [--seeds N] [--steps N]")?;
    std::fs::create_dir_all(&folder).with_context(|| folder.display().to_string())?;
    let wanted = |m: &Member| steps.is_none_or(|s| m.steps as u64 == s);
    for member in members(1..=seeds).into_iter().filter(wanted) {
        write(&folder, &member)?;
        println!("{}", member.name());
    }
    Ok(())
}

fn write(folder: &Path, member: &Member) -> anyhow::Result<()> {
    let path = |ending: &str| folder.join(format!("{}.{ending}", member.name()));
    std::fs::write(path("json"), member.file())?;
    let evening = member.evening();
    problem(&path("problem.json"), &evening, &Situation::default())?;
    let Ok(plan) = midway::shown(&evening) else { return Ok(()) };
    let situation = midway::situation(member, &evening, plan);
    problem(&path("mid.problem.json"), &evening, &situation)?;
    let planning = Planning::new(&evening, &situation)
        .map_err(|e| anyhow::anyhow!("{}: {e:?}", member.name()))?;
    json(&path("mid.shown.json"), &planning.shown())
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

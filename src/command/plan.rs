//! `potwatch plan PARTY.json`: the plan, for reading or for programs.

use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

use anyhow::Context;

use super::exit::WrongUse;
use super::{Exit, Streams};
use crate::kitchen::Evening;
use crate::mise::knife;
use crate::paper::wrapped;
use crate::plan::planner::{Budget, NoPlan, Planning};
use crate::plan::risk::cushion;
use crate::plan::why::late;
use crate::plan::{Plan, Situation, clash, risk, text, why, wire};

/// The part of the time in which the best plan is looked for; in the rest it is given room.
const PLAN_SHARE: f64 = 0.5;

/// What is asked about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum About {
    /// The plan.
    Plan,
    /// What clashes, and the ways out.
    Ways,
    /// What would come of changes, each as the cook types it.
    WhatIf(Vec<String>),
}

/// What is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Print {
    /// The plan for reading.
    Text,
    /// The plan whole, as JSON.
    Json,
    /// The planner's own problem, as JSON.
    Problem,
}

/// How hard to search.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Effort {
    /// Seconds, if no rounds are given. 0 to 86 400.
    pub seconds: f64,
    /// Rounds, whatever time they take.
    pub rounds: Option<u64>,
    /// Where the search begins.
    pub seed: u64,
}

/// Prints the plan of a party.
///
/// # Errors
/// What is wrong with the party's files or the call; trouble with writing.
pub fn run(
    path: &Path,
    about: &About,
    print: Print,
    effort: &Effort,
    streams: &mut Streams,
) -> anyhow::Result<Exit> {
    let evening = &open(path, effort, streams)?;
    match about {
        About::Plan => {}
        About::Ways => return super::ways::ways(path, evening, print, effort, streams),
        About::WhatIf(texts) => {
            return super::ways::what_if(evening, texts, print, effort, streams);
        }
    }
    match document(evening, print, effort) {
        Ok((text, late)) => {
            streams.out.write_all(text?.as_bytes())?;
            if late && print == Print::Text {
                super::ways::help(evening, effort, streams)?;
            }
            Ok(Exit::Done)
        }
        Err(no_plan) => {
            let exit = say_no_plan(path, evening, &no_plan, streams)?;
            if print == Print::Text {
                super::ways::help(evening, effort, streams)?;
            }
            Ok(exit)
        }
    }
}

/// The party of a file, with what is to be said of it said.
pub(super) fn open(path: &Path, effort: &Effort, streams: &mut Streams) -> anyhow::Result<Evening> {
    check_effort(effort)?;
    Ok(super::own::party(path, streams)?.evening)
}

fn check_effort(effort: &Effort) -> anyhow::Result<()> {
    if !(0.0..=86_400.0).contains(&effort.seconds) {
        let text = format!("--seconds {}: write 0 to 86400", effort.seconds);
        return Err(WrongUse(text).into());
    }
    Ok(())
}

pub(super) fn say_no_plan(
    path: &Path,
    evening: &Evening,
    no_plan: &NoPlan,
    streams: &mut Streams,
) -> anyhow::Result<Exit> {
    writeln!(streams.err, "{}: there is no plan.", path.display())?;
    for line in clash::lines(evening, no_plan) {
        writeln!(streams.err, "  {line}")?;
    }
    Ok(Exit::NoPlan)
}

/// Prints why a step stands where the plan has it, and what moves if it runs late.
///
/// # Errors
/// As [`run`]; a step that the plan does not have.
pub fn why(
    path: &Path,
    step: &str,
    print: Print,
    effort: &Effort,
    streams: &mut Streams,
) -> anyhow::Result<Exit> {
    let evening = &open(path, effort, streams)?;
    let plan = match search(evening, effort) {
        Ok(plan) => Arc::new(plan),
        Err(no_plan) => return say_no_plan(path, evening, &no_plan, streams),
    };
    let key = why::find(evening, &plan, step).map_err(WrongUse)?;
    let ahead = Situation::default();
    let planning = match Planning::new(evening, &ahead) {
        Ok(planning) => planning,
        Err(no_plan) => return say_no_plan(path, evening, &no_plan, streams),
    };
    let go_on = || false;
    let why = why::why(&planning, &plan, key, &go_on).context("the plan cannot be explained")?;
    let late = late::all(evening, &ahead, &plan, key, &go_on).unwrap_or_default();
    let text = if print == Print::Json {
        super::page::json(&why::wire::why_file(evening, &why, &late))?
    } else {
        why::text::text(evening, &why, &late)
    };
    streams.out.write_all(text.as_bytes())?;
    Ok(Exit::Done)
}

/// The text to print and whether its plan misses a demand; or why there is no plan.
fn document(
    evening: &Evening,
    print: Print,
    effort: &Effort,
) -> Result<(serde_json::Result<String>, bool), NoPlan> {
    let ahead = Situation::default();
    if print == Print::Problem {
        let file = wire::problem_file(evening, &ahead).map_err(NoPlan::NoWay)?;
        return Ok((serde_json::to_string(&file).map(line), false));
    }
    let plan = search(evening, effort)?;
    let late = plan.cost.late > 0;
    if print == Print::Text {
        let odds = risk::forecast(evening, &ahead, &plan, risk::SEED, risk::EVENINGS);
        let mut text = text::text_with(evening, &plan, &odds);
        if evening.party.pool_knife_work {
            let pooled = knife::print::summary(&knife::pool(evening));
            text.push_str(&wrapped("\nKnife work of all dishes: ", &pooled, 78));
        }
        return Ok((Ok(text), late));
    }
    let file = wire::plan_file(evening, &ahead, &plan).map_err(NoPlan::NoWay)?;
    Ok((serde_json::to_string_pretty(&file).map(line), late))
}

fn line(mut text: String) -> String {
    text.push('\n');
    text
}

pub(super) fn search(evening: &Evening, effort: &Effort) -> Result<Plan, NoPlan> {
    let began = Instant::now();
    let time = Duration::from_secs_f64(effort.seconds);
    let over = |part: f64| effort.rounds.is_none() && began.elapsed() >= time.mul_f64(part);
    let (seed, rounds) = (effort.seed, effort.rounds.unwrap_or(u64::MAX));
    let ahead = Situation::default();
    let planning = Planning::new(evening, &ahead)?;
    let first = planning.search(None, &Budget { seed, rounds, stop: &|| over(PLAN_SHARE) })?;
    let rounds = rounds.min(cushion::ROOM_ROUNDS);
    let budget = Budget { seed, rounds, stop: &|| over(1.0) };
    Ok(cushion::with_room(evening, &ahead, &planning, first, &budget).plan)
}

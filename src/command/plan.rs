//! `potwatch plan PARTY.json`: the plan, for reading or for programs.

use std::path::Path;
use std::time::{Duration, Instant};

use super::exit::WrongUse;
use super::{Exit, Streams};
use crate::kitchen::Evening;
use crate::plan::planner::{Budget, NoPlan, plan_ahead};
use crate::plan::{Plan, Situation, clash, risk, text, wire};
use crate::store::load::load_party_by;
use crate::store::zone;

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
    print: Print,
    effort: &Effort,
    streams: &mut Streams,
) -> anyhow::Result<Exit> {
    if !(0.0..=86_400.0).contains(&effort.seconds) {
        let text = format!("--seconds {}: write 0 to 86400", effort.seconds);
        return Err(WrongUse(text).into());
    }
    let loaded = load_party_by(path, zone::clockface)?;
    super::check::print_notes(&loaded.notes, streams)?;
    let evening = &loaded.evening;
    match document(evening, print, effort) {
        Ok(text) => {
            streams.out.write_all(text?.as_bytes())?;
            Ok(Exit::Done)
        }
        Err(no_plan) => {
            writeln!(streams.err, "{}: there is no plan.", path.display())?;
            for line in clash::lines(evening, &no_plan) {
                writeln!(streams.err, "  {line}")?;
            }
            Ok(Exit::NoPlan)
        }
    }
}

/// The text to print; or why there is no plan.
fn document(
    evening: &Evening,
    print: Print,
    effort: &Effort,
) -> Result<serde_json::Result<String>, NoPlan> {
    let ahead = Situation::default();
    if print == Print::Problem {
        let file = wire::problem_file(evening, &ahead).map_err(NoPlan::NoWay)?;
        return Ok(serde_json::to_string(&file).map(line));
    }
    let plan = search(evening, effort)?;
    if print == Print::Text {
        let odds = risk::forecast(evening, &ahead, &plan, risk::SEED, risk::EVENINGS);
        return Ok(Ok(text::text_with(evening, &plan, &odds)));
    }
    let file = wire::plan_file(evening, &ahead, &plan).map_err(NoPlan::NoWay)?;
    Ok(serde_json::to_string_pretty(&file).map(line))
}

fn line(mut text: String) -> String {
    text.push('\n');
    text
}

fn search(evening: &Evening, effort: &Effort) -> Result<Plan, NoPlan> {
    let began = Instant::now();
    let time = Duration::from_secs_f64(effort.seconds);
    let stop = || effort.rounds.is_none() && began.elapsed() >= time;
    let rounds = effort.rounds.unwrap_or(u64::MAX);
    plan_ahead(evening, &Budget { seed: effort.seed, rounds, stop: &stop }, &mut |_| ())
}

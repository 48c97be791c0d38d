//! `cargo run --release --example solve -- FILE… [--ms N] [--seed N] [--shown] [--ready] [--two]`
//!
//! Solves published benchmark files (.sm, .sch, .jss), exported problems and
//! our own party files with the planner's core, one JSON line each: name,
//! status, cost, bound, milliseconds to the first answer, to the best one, and
//! to the proof. Every answer is judged by the written rules before it counts.
//!
//! `--shown` begins from the plan on the screen: the schedule in the file whose
//! name says "shown" where the problem's says "problem", as `family` writes them.
//! `--ready`: from those in the file whose name says "ready" as well.
//! `--two`: with two searches side by side, as the program has where there is a second core.
//! The costs after 5, 50, 300 and 1000 ms are told as well.
//!
//! `--judge PROBLEM.json SCHEDULE.json` judges somebody else's answer.

mod classic;

use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::{Duration, Instant};

use potwatch::plan::judge::judge;
use potwatch::plan::prove::{Hope, solve_both};
use potwatch::plan::search::{Answer, Ask, Both, Standing};
use potwatch::plan::{Problem, Schedule};
use serde::de::DeserializeOwned;
use serde_json::json;

/// Rounds that no budget of milliseconds uses up.
const ROUNDS_WITHOUT_END: u64 = u64::MAX;

struct Options {
    files: Vec<PathBuf>,
    ms: u64,
    seed: u64,
    shown: bool,
    ready: bool,
    two: bool,
    judge: Option<(PathBuf, PathBuf)>,
}

fn main() -> ExitCode {
    let options = match options(std::env::args().skip(1)) {
        Ok(options) => options,
        Err(what) => {
            eprintln!("solve: {what}");
            eprintln!(
                "usage: solve FILE… [--ms N] [--seed N] [--shown] [--ready] [--two] | solve --judge PROBLEM SCHEDULE"
            );
            return ExitCode::from(2);
        }
    };
    if let Some((problem, schedule)) = &options.judge {
        return report(judged(problem, schedule));
    }
    let mut all_read = true;
    for file in &options.files {
        match read(file) {
            Ok(problem) => match beginnings(file, &options) {
                Ok(begin) => println!("{}", line(file, &problem, &begin, &options)),
                Err(what) => {
                    eprintln!("solve: {what}");
                    all_read = false;
                }
            },
            Err(what) => {
                eprintln!("solve: {what}");
                all_read = false;
            }
        }
    }
    if all_read { ExitCode::SUCCESS } else { ExitCode::from(3) }
}

fn report(judged: Result<String, String>) -> ExitCode {
    match judged {
        Ok(line) => {
            println!("{line}");
            ExitCode::SUCCESS
        }
        Err(what) => {
            eprintln!("solve: {what}");
            ExitCode::from(3)
        }
    }
}

fn options(mut words: impl Iterator<Item = String>) -> Result<Options, String> {
    let mut options = Options {
        files: Vec::new(),
        ms: 1000,
        seed: 1,
        shown: false,
        ready: false,
        two: false,
        judge: None,
    };
    while let Some(word) = words.next() {
        let mut number = |what: &str| {
            let text = words.next().ok_or(format!("{word} wants {what}"))?;
            text.parse::<u64>().map_err(|_| format!("{word} wants {what}, not \"{text}\""))
        };
        match word.as_str() {
            "--ms" => options.ms = number("milliseconds")?,
            "--seed" => options.seed = number("a number")?,
            "--shown" => options.shown = true,
            "--ready" => options.ready = true,
            "--two" => options.two = true,
            "--judge" => {
                let (Some(a), Some(b)) = (words.next(), words.next()) else {
                    return Err("--judge wants a problem and a schedule".to_owned());
                };
                options.judge = Some((a.into(), b.into()));
            }
            _ if word.starts_with("--") => return Err(format!("there is no {word}")),
            _ => options.files.push(word.into()),
        }
    }
    if options.files.is_empty() && options.judge.is_none() {
        return Err("no files".to_owned());
    }
    Ok(options)
}

fn read(path: &Path) -> Result<Problem, String> {
    if path.extension().and_then(|e| e.to_str()) != Some("json") {
        return classic::read(path);
    }
    let text = std::fs::read_to_string(path).map_err(|e| format!("{}: {e}", path.display()))?;
    if let Ok(problem) = serde_json::from_str::<Problem>(&text) {
        return Ok(problem);
    }
    let evening = potwatch::store::load::load_party(path).map_err(|e| e.to_string())?;
    potwatch::plan::build::build(&evening, &potwatch::plan::Situation::default())
        .map(|(problem, _)| problem)
        .map_err(|e| format!("{}: {e:?}", path.display()))
}

/// Milliseconds after which the best cost so far is told.
const TOLD_AT_MS: [u64; 4] = [5, 50, 300, 1000];

fn cost_at(found: &[Found], ms: u64) -> Option<i64> {
    let limit = Duration::from_millis(ms);
    found.iter().filter(|f| f.at <= limit).map(|f| f.cost).min()
}

/// The plan on the screen that belongs to a problem, and what was made ready, as far as they are asked for.
fn beginnings(file: &Path, options: &Options) -> Result<(Option<Schedule>, Vec<Schedule>), String> {
    let shown = options.shown.then(|| beside(file, ".shown.")).transpose()?;
    let ready = options.ready.then(|| beside(file, ".ready.")).transpose()?;
    Ok((shown, ready.unwrap_or_default()))
}

/// What lies in the file beside a problem's.
fn beside<T: DeserializeOwned>(file: &Path, kind: &str) -> Result<T, String> {
    let name = file.file_name().map_or_else(String::new, |n| n.to_string_lossy().into_owned());
    let path = file.with_file_name(name.replace(".problem.", kind));
    let text = std::fs::read_to_string(&path).map_err(|e| format!("{}: {e}", path.display()))?;
    serde_json::from_str(&text).map_err(|e| format!("{}: {e}", path.display()))
}

/// When an answer came and what it costs.
struct Found {
    at: Duration,
    cost: i64,
}

fn line(
    file: &Path,
    problem: &Problem,
    (warm, ready): &(Option<Schedule>, Vec<Schedule>),
    options: &Options,
) -> serde_json::Value {
    let began = Instant::now();
    let budget = Duration::from_millis(options.ms);
    let stop = || began.elapsed() >= budget;
    let ask = Ask {
        problem,
        warm: warm.as_ref(),
        ready,
        seed: options.seed,
        rounds: ROUNDS_WITHOUT_END,
        stop: &stop,
    };
    let mut found: Vec<Found> = Vec::new();
    let threads = |one: &mut dyn FnMut(), other: &mut (dyn FnMut() + Send)| {
        std::thread::scope(|scope| {
            scope.spawn(other);
            one();
        });
    };
    let both: Option<Both<'_>> = if options.two { Some(&threads) } else { None };
    let answer = solve_both(&ask, Hope::AnyWay, both, &mut |_, cost| {
        found.push(Found { at: began.elapsed(), cost: cost.total() });
    });
    let took = began.elapsed();
    let ms = |at: Duration| (at.as_secs_f64() * 1e5).round() / 100.0;
    let best = found.iter().min_by_key(|f| (f.cost, f.at)).map(|f| ms(f.at));
    let proved = match &answer.standing {
        Standing::Best => true,
        Standing::Impossible(clash) => clash.proven,
        _ => false,
    };
    json!({
        "name": file.file_name().map(|n| n.to_string_lossy()),
        "status": status(problem, &answer),
        "cost": answer.schedule.as_ref().map(|_| answer.cost.total()),
        "bound": answer.bound,
        "cost_at": TOLD_AT_MS.map(|limit| cost_at(&found, limit)),
        "ms_first": found.first().map(|f| ms(f.at)),
        "ms_best": best,
        "ms_proof": proved.then(|| ms(took)),
    })
}

/// In one word; an answer that breaks a rule is "wrong", whatever the search says of it.
fn status(problem: &Problem, answer: &Answer) -> &'static str {
    match (&answer.schedule, &answer.standing) {
        (Some(schedule), standing) => match judge(problem, schedule) {
            Ok(cost) if cost.total() == answer.cost.total() => match standing {
                Standing::Best => "best",
                Standing::Within => "within",
                Standing::Stopped | Standing::Impossible(_) => "stopped",
            },
            _ => "wrong",
        },
        (None, Standing::Impossible(clash)) if clash.proven => "impossible",
        (None, _) => "none",
    }
}

fn judged(problem: &Path, schedule: &Path) -> Result<String, String> {
    let text =
        |path: &Path| std::fs::read_to_string(path).map_err(|e| format!("{}: {e}", path.display()));
    let parsed: Problem =
        serde_json::from_str(&text(problem)?).map_err(|e| format!("{}: {e}", problem.display()))?;
    let answer: Schedule = serde_json::from_str(&text(schedule)?)
        .map_err(|e| format!("{}: {e}", schedule.display()))?;
    Ok(match judge(&parsed, &answer) {
        Ok(cost) => json!({ "valid": true, "cost": cost.total(), "terms": cost }).to_string(),
        Err(faults) => {
            let faults: Vec<String> = faults.iter().map(|f| format!("{f:?}")).collect();
            json!({ "valid": false, "faults": faults }).to_string()
        }
    })
}

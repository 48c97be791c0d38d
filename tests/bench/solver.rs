//! How soon the search has a valid schedule, and how good it gets.
//! `cargo test --release --test bench solver -- --ignored --nocapture`

use std::path::Path;
use std::time::{Duration, Instant};

use potwatch::kitchen::{Clockface, Evening, Kitchen, Party, Recipe, Sourced};
use potwatch::plan::Situation;
use potwatch::plan::build::build;

use potwatch::plan::judge::judge;
use potwatch::plan::problem::{Problem, Schedule};
use potwatch::plan::search::{Answer, Ask, first, solve};

use super::kitchens::{Wish, party, running};
use serde::de::DeserializeOwned;

fn asset<T: DeserializeOwned>(path: &str) -> T {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("assets").join(path);
    let text = std::fs::read_to_string(&path).expect("a readable file");
    serde_json::from_str(&text).unwrap_or_else(|wrong| panic!("{}: {wrong}", path.display()))
}

/// The demo party as a problem.
pub fn demo() -> Problem {
    let party: Party = asset("demo/party.json");
    let kitchen: Kitchen = asset("kitchens/home.json");
    let recipe = |source: &Sourced<Recipe>| match source {
        Sourced::Named(id) => asset(&format!("recipes/{id}.json")),
        Sourced::Inline(recipe) => (**recipe).clone(),
    };
    let recipes = party.dishes.iter().map(|d| recipe(&d.recipe)).collect();
    let face = Clockface::fixed(party.day, 0);
    let evening: Evening = potwatch::kitchen::check::evening(party, kitchen, recipes, face);
    build(&evening, &Situation::default()).expect("a problem").0
}

/// Runs the search for a while; gives its answer and the cost at the given times (ms).
fn run(p: &Problem, warm: Option<&Schedule>, ms: u64, at: &[u64]) -> (Answer, Vec<i64>, u64) {
    let start = Instant::now();
    let mut costs = vec![i64::MAX; at.len()];
    let stop = || start.elapsed() >= Duration::from_millis(ms);
    let ask = Ask { problem: p, warm, ready: &[], seed: 1, rounds: u64::MAX, stop: &stop };
    let mut to_best = 0;
    let answer = solve(&ask, &mut |_, cost| {
        let now = start.elapsed();
        to_best = now.as_millis() as u64;
        for (limit, best) in at.iter().zip(&mut costs) {
            if now <= Duration::from_millis(*limit) {
                *best = cost.total();
            }
        }
    });
    (answer, costs, to_best)
}

fn micros_first(p: &Problem, warm: Option<&Schedule>) -> (u128, Option<Schedule>) {
    let mut times = Vec::new();
    let mut schedule = None;
    for _ in 0..5 {
        let start = Instant::now();
        schedule = first(p, warm);
        times.push(start.elapsed().as_micros());
    }
    times.sort_unstable();
    (times[2], schedule)
}

fn line(name: &str, p: &Problem, warm: Option<&Schedule>, ms: u64) -> Option<Schedule> {
    let (micros, schedule) = micros_first(p, warm);
    let judged = schedule.as_ref().map(|s| judge(p, s));
    let begun = match &judged {
        Some(Ok(cost)) => cost.total().to_string(),
        Some(Err(faults)) => format!("INVALID {:?}", faults.first()),
        None => "none".to_owned(),
    };
    let (answer, costs, to_best) = run(p, warm, ms, &[10, 50, 1000]);
    let end = answer.schedule.as_ref().map_or("none".to_owned(), |s| match judge(p, s) {
        Ok(cost) if cost == answer.cost => cost.total().to_string(),
        Ok(cost) => format!("WRONG {cost:?} {:?}", answer.cost),
        Err(faults) => format!("INVALID {:?}", faults.first()),
    });
    println!(
        "{name:<16} {:>4} {:>8} {begun:>12} {:>12} {:>12} {:>12} {end:>12} {:>8} {to_best:>6}",
        p.tasks.len(),
        micros,
        show(costs[0]),
        show(costs[1]),
        show(costs[2]),
        answer.bound
    );
    answer.schedule
}

fn show(cost: i64) -> String {
    if cost == i64::MAX { "-".to_owned() } else { cost.to_string() }
}

#[test]
#[ignore = "a measurement"]
fn solver() {
    let ms = std::env::var("BENCH_MS").ok().and_then(|v| v.parse().ok()).unwrap_or(3000);
    let seeds = std::env::var("BENCH_SEEDS").ok().and_then(|v| v.parse().ok()).unwrap_or(4);
    println!(
        "{:<16} {:>4} {:>8} {:>12} {:>12} {:>12} {:>12} {:>12} {:>8} {:>6}",
        "problem", "n", "first us", "first", "10 ms", "50 ms", "1 s", "end", "bound", "best at"
    );
    let p = demo();
    if let Some(schedule) = line("demo", &p, None, ms) {
        for now in [15 * 60, 17 * 60, 18 * 60] {
            let p = running(&p, &schedule, now, 1);
            line(&format!("  demo {}:00", now / 60), &p, Some(&schedule), ms);
        }
    }
    for (steps, cooks, ovens) in [(40, 1, 1), (60, 1, 1), (120, 2, 2)] {
        for seed in 1..=seeds {
            let wish = Wish { steps, cooks, ovens, seed };
            let p = party(wish);
            let name = format!("{steps}/{cooks}/{ovens} #{seed}");
            let schedule = line(&name, &p, None, ms);
            if let Some(schedule) = schedule {
                let p = running(&p, &schedule, 16 * 60, seed);
                line(&format!("  at 16:00 #{seed}"), &p, Some(&schedule), ms);
            }
        }
    }
}

//! What was measured, as tables for the page.

use super::{Row, Run};
use crate::family::SIZES;

/// Processes that wanted to run in the last minute, on average.
pub fn load() -> String {
    let text = std::fs::read_to_string("/proc/loadavg").unwrap_or_default();
    text.split_whitespace().next().unwrap_or("unknown").to_owned()
}

/// How far a cost is above the best known.
fn gap(cost: Option<i64>, best: Option<i64>) -> Option<f64> {
    let (cost, best) = cost.zip(best)?;
    Some((cost - best) as f64 / best.max(1) as f64)
}

fn percent(gap: Option<f64>) -> String {
    match gap {
        None => "-".to_owned(),
        Some(g) if g < 0.0995 => format!("{:.1} %", g * 100.0),
        Some(g) if g < 9.995 => format!("{:.0} %", g * 100.0),
        Some(g) => format!("x{:.0}", g + 1.0),
    }
}

fn time(ms: Option<f64>) -> String {
    match ms {
        None => "-".to_owned(),
        Some(ms) if ms < 9.95 => format!("{ms:.1}"),
        Some(ms) => format!("{ms:.0}"),
    }
}

pub fn head() {
    println!(
        "| party | loads | first ms | 10 ms | 50 ms | 100 ms | 1 s | end | proof ms \
         | CP-SAT 1: first | 1 s | end | proof | CP-SAT 2: first | 1 s | end | proof | best known |"
    );
    println!("{}|", "| --- ".repeat(18));
}

/// One case.
pub fn line(row: &Row) {
    let best = row.best();
    let at = |run: &Run, ms: f64| percent(gap(run.at(ms), best));
    let proof = |run: &Run| time(run.proof_ms) + if run.impossible { " none" } else { "" };
    let ours = &row.ours;
    let mut cells = vec![
        row.name.clone(),
        row.tasks.to_string(),
        time(ours.first_ms),
        at(ours, 10.0),
        at(ours, 50.0),
        at(ours, 100.0),
        at(ours, 1000.0),
        percent(gap(ours.cost, best)),
        proof(ours),
    ];
    for run in &row.theirs {
        let end = percent(gap(run.cost, best));
        cells.extend([time(run.first_ms), at(run, 1000.0), end, proof(run)]);
    }
    cells.push(best.map_or("-".to_owned(), |b| b.to_string()));
    println!("| {} |", cells.join(" | "));
}

fn median(mut values: Vec<f64>) -> Option<f64> {
    values.sort_unstable_by(f64::total_cmp);
    values.get(values.len().saturating_sub(1) / 2).copied()
}

/// Medians of each size, ahead and midway; where one of the two has no answer
/// at a time, that counts as worse than any.
pub fn summary(rows: &[Row]) {
    println!(
        "\n| parties | first ms | 10 ms | 50 ms | 100 ms | 1 s | end | proofs | CP-SAT | first ms | 1 s | end | proofs |"
    );
    println!("{}|", "| --- ".repeat(13));
    for steps in SIZES {
        for midway in [false, true] {
            let of = |r: &&Row| r.steps == steps && r.midway == midway && !r.impossible;
            let group: Vec<&Row> = rows.iter().filter(of).collect();
            if !group.is_empty() {
                group_line(steps, midway, &group);
            }
        }
    }
    compare(rows);
}

fn group_line(steps: usize, midway: bool, group: &[&Row]) {
    let middle = |value: &dyn Fn(&Row) -> Option<f64>| {
        median(group.iter().map(|r| value(r).unwrap_or(f64::INFINITY)).collect())
            .filter(|m| m.is_finite())
    };
    let gap_at = |ms: f64| percent(middle(&|r| gap(r.ours.at(ms), r.best())));
    let proofs = |runs: Vec<&Run>| {
        let times: Vec<f64> = runs.iter().filter_map(|r| r.proof_ms).collect();
        let count = format!("{} of {}", times.len(), runs.len());
        median(times).map_or(count.clone(), |ms| format!("{count}, {} ms", time(Some(ms))))
    };
    let mut cells = vec![
        format!("{} × {steps} steps, {}", group.len(), if midway { "midway" } else { "ahead" }),
        time(middle(&|r| r.ours.first_ms)),
        gap_at(10.0),
        gap_at(50.0),
        gap_at(100.0),
        gap_at(1000.0),
        percent(middle(&|r| gap(r.ours.cost, r.best()))),
        proofs(group.iter().map(|r| &r.ours).collect()),
    ];
    for workers in 0..group.first().map_or(0, |r| r.theirs.len()) {
        cells.extend([
            format!("{} worker{}", workers + 1, if workers == 0 { "" } else { "s" }),
            time(middle(&|r| r.theirs[workers].first_ms)),
            percent(middle(&|r| gap(r.theirs[workers].at(1000.0), r.best()))),
            percent(middle(&|r| gap(r.theirs[workers].cost, r.best()))),
            proofs(group.iter().map(|r| &r.theirs[workers]).collect()),
        ]);
        println!("| {} |", cells.join(" | "));
        cells = vec![String::new(); 8];
    }
    if group.first().is_none_or(|r| r.theirs.is_empty()) {
        println!("| {} | | | | | |", cells.join(" | "));
    }
}

/// Who is ahead, counted.
fn compare(rows: &[Row]) {
    for (n, workers) in ["1 worker", "2 workers"].iter().enumerate() {
        let both: Vec<(&Run, &Run)> =
            rows.iter().filter_map(|r| r.theirs.get(n).map(|t| (&r.ours, t))).collect();
        let firsts = |(a, b): &(&Run, &Run)| Some(b.first_ms? / a.first_ms?);
        let ratio = median(both.iter().filter_map(firsts).collect());
        let solvable = both.iter().filter(|(a, b)| a.cost.or(b.cost).is_some());
        let (mut soon, mut end, mut all) = (0, 0, 0);
        for (ours, theirs) in solvable {
            let no_worse =
                |mine: Option<i64>| mine.is_some_and(|m| theirs.cost.is_none_or(|t| m <= t));
            all += 1;
            soon += i32::from(no_worse(ours.at(1000.0)));
            end += i32::from(no_worse(ours.cost));
        }
        println!(
            "\nCP-SAT with {workers}: its first answer takes {} times as long (median); ours after \
             1 s is no dearer than its last in {soon} of {all}, our last in {end} of {all}.",
            ratio.map_or("-".to_owned(), |r| format!("{r:.0}"))
        );
    }
}

//! Readers of published benchmark files into the planner's own [`Problem`],
//! with the last end of all as the cost:
//! - `.sm`: resource-constrained project scheduling (Kolisch & Sprecher,
//!   "PSPLIB - a project scheduling problem library", EJOR 96, 1997);
//! - `.sch`: the same with least and most time lags, start to start
//!   (Franck, Neumann & Schwindt, OR Spektrum 23, 2001);
//! - `.jss`: job shop, a line a job, `machine minutes` pairs (Fisher & Thompson 1963).
//!
//! Every reader says in which line a file stops making sense.

use std::path::Path;

use potwatch::plan::problem::{Lag, Mode, Point, Problem, Resource, Step, Task, Use};

/// Reads a benchmark file by its ending.
pub fn read(path: &Path) -> Result<Problem, String> {
    let text = std::fs::read_to_string(path).map_err(|e| format!("{}: {e}", path.display()))?;
    let ending = path.extension().and_then(|e| e.to_str()).unwrap_or("").to_lowercase();
    match ending.as_str() {
        "sm" => project(&text),
        "sch" => project_with_lags(&text),
        "jss" | "jsp" => job_shop(&text),
        _ => Err("not a benchmark file: .sm, .sch or .jss".to_owned()),
    }
    .map_err(|e| format!("{}: {e}", path.display()))
}

/// One activity: minutes and what it takes of each resource.
struct Activity {
    minutes: i32,
    uses: Vec<i32>,
}

/// `(from, to, least minutes from start to start)`.
type StartLag = (usize, usize, i32);

fn problem(activities: &[Activity], lags: &[StartLag], capacities: &[i32]) -> Problem {
    // A horizon that some best answer keeps: all minutes and all lags one after another.
    let minutes: i32 = activities.iter().map(|a| a.minutes).sum();
    let longest = |i: usize| lags.iter().filter(|l| l.0 == i).map(|l| l.2).max().unwrap_or(0);
    let horizon: i32 =
        (0..activities.len()).map(|i| activities[i].minutes.max(longest(i))).sum::<i32>();
    let steps = activities.iter().enumerate().map(|(i, a)| Step {
        modes: vec![Mode {
            minutes: a.minutes,
            loads: 1,
            uses: a
                .uses
                .iter()
                .enumerate()
                .filter(|&(_, &amount)| amount > 0)
                .map(|(resource, &amount)| Use { resource, amount })
                .collect(),
            ..Mode::default()
        }],
        first_task: i,
        task_count: 1,
        ..Step::default()
    });
    let tasks =
        (0..activities.len()).map(|step| Task { step, latest: i32::MAX, ..Task::default() });
    Problem {
        end: horizon.max(minutes),
        resources: capacities
            .iter()
            .map(|&capacity| Resource { capacity, closed: Vec::new() })
            .collect(),
        steps: steps.collect(),
        tasks: tasks.collect(),
        lags: lags
            .iter()
            .map(|&(from, to, least)| Lag {
                from: Point { task: from, end: false },
                to: Point { task: to, end: false },
                least,
                most: i32::MAX,
                soft_most: None,
                best: None,
            })
            .collect(),
        finish_price: 1,
        ..Problem::default()
    }
}

fn numbers(line: &str, at: usize) -> Result<Vec<i32>, String> {
    line.split_whitespace()
        .map(|word| {
            let word = word.trim_matches(|c| c == '[' || c == ']');
            word.parse().map_err(|_| format!("line {}: \"{word}\" is not a number", at + 1))
        })
        .collect()
}

fn job_shop(text: &str) -> Result<Problem, String> {
    let mut rows = Vec::new();
    for (at, line) in text.lines().enumerate() {
        let line = line.trim();
        if !line.is_empty() && !line.starts_with('#') {
            rows.push((at, numbers(line, at)?));
        }
    }
    let (at, size) = rows.first().ok_or("it is empty")?;
    let [jobs, machines] = size[..] else {
        return Err(format!("line {}: expected two numbers, jobs and machines", at + 1));
    };
    let machines = usize::try_from(machines).map_err(|_| "a negative number of machines")?;
    let (mut activities, mut lags) = (Vec::new(), Vec::new());
    for (at, row) in rows.iter().skip(1).take(usize::try_from(jobs).unwrap_or(0)) {
        if row.len() != 2 * machines {
            return Err(format!("line {}: expected {} numbers", at + 1, 2 * machines));
        }
        for (k, pair) in row.chunks(2).enumerate() {
            let mut uses = vec![0; machines];
            let machine = usize::try_from(pair[0]).ok().filter(|&m| m < machines);
            uses[machine.ok_or_else(|| format!("line {}: no machine {}", at + 1, pair[0]))?] = 1;
            if k > 0 {
                let minutes = row[2 * k - 1];
                lags.push((activities.len() - 1, activities.len(), minutes));
            }
            activities.push(Activity { minutes: pair[1], uses });
        }
    }
    Ok(problem(&activities, &lags, &vec![1; machines]))
}

fn project_with_lags(text: &str) -> Result<Problem, String> {
    let rows: Vec<(usize, Vec<i32>)> = text
        .lines()
        .enumerate()
        .filter(|(_, line)| !line.trim().is_empty())
        .map(|(at, line)| numbers(line, at).map(|n| (at, n)))
        .collect::<Result<_, _>>()?;
    let real = rows.first().and_then(|r| r.1.first()).ok_or("it is empty")?;
    let count = usize::try_from(*real).map_err(|_| "a negative number of activities")? + 2;
    if rows.len() < 2 * count + 2 {
        return Err(format!("expected {} lines, found {}", 2 * count + 2, rows.len()));
    }
    let mut lags = Vec::new();
    for (at, row) in &rows[1..=count] {
        let wrong = || format!("line {}: not `node 1 count successors [lags]`", at + 1);
        let from = row.first().and_then(|&n| usize::try_from(n).ok()).ok_or_else(wrong)?;
        let n = row.get(2).and_then(|&n| usize::try_from(n).ok()).ok_or_else(wrong)?;
        if row.len() != 3 + 2 * n {
            return Err(wrong());
        }
        for k in 0..n {
            let to = usize::try_from(row[3 + k]).ok().filter(|&to| to < count);
            lags.push((from, to.ok_or_else(wrong)?, row[3 + n + k]));
        }
    }
    let capacities = rows[2 * count + 1].1.clone();
    let mut activities = Vec::new();
    for (at, row) in &rows[count + 1..=2 * count] {
        if row.len() != 3 + capacities.len() {
            return Err(format!("line {}: expected {} numbers", at + 1, 3 + capacities.len()));
        }
        activities.push(Activity { minutes: row[2], uses: row[3..].to_vec() });
    }
    Ok(problem(&activities, &lags, &capacities))
}

fn project(text: &str) -> Result<Problem, String> {
    let lines: Vec<&str> = text.lines().collect();
    let find = |title: &str| {
        lines
            .iter()
            .position(|l| l.starts_with(title))
            .ok_or_else(|| format!("there is no line that starts with {title}"))
    };
    let jobs = lines
        .iter()
        .find_map(|l| l.strip_prefix("jobs (incl. supersource/sink ):"))
        .and_then(|n| n.trim().parse::<usize>().ok())
        .ok_or("there is no number of jobs")?;
    let (arcs, requests) = (find("PRECEDENCE RELATIONS")? + 2, find("REQUESTS/DURATIONS")? + 3);
    let amounts = lines
        .get(find("RESOURCEAVAILABILITIES")? + 2)
        .ok_or("the resources' capacities are missing")?;
    let capacities = numbers(amounts, 0)?;
    let mut activities = Vec::new();
    for at in requests..requests + jobs {
        let row = numbers(lines.get(at).ok_or("requests are missing")?, at)?;
        if row.len() != 3 + capacities.len() {
            return Err(format!("line {}: expected {} numbers", at + 1, 3 + capacities.len()));
        }
        activities.push(Activity { minutes: row[2], uses: row[3..].to_vec() });
    }
    let mut lags = Vec::new();
    for (from, at) in (arcs..arcs + jobs).enumerate() {
        let row = numbers(lines.get(at).ok_or("successors are missing")?, at)?;
        for &to in row.get(3..).unwrap_or_default() {
            let to = usize::try_from(to - 1).ok().filter(|&to| to < jobs);
            let to = to.ok_or_else(|| format!("line {}: no such job", at + 1))?;
            lags.push((from, to, activities[from].minutes));
        }
    }
    Ok(problem(&activities, &lags, &capacities))
}

//! Do the steps of a recipe follow one another to one end?

use std::collections::{BTreeMap, BTreeSet};

use super::report::Report;
use super::words::mean;
use crate::kitchen::Step;

/// Checks that every `after` names a step, that no chain runs in a circle, and
/// that exactly one step comes last.
pub(super) fn check(steps: &[Step], report: &mut Report) {
    if !names_are_sound(steps, report) {
        return;
    }
    let index: BTreeMap<&str, usize> =
        steps.iter().enumerate().map(|(i, s)| (s.id.as_str(), i)).collect();
    let before: Vec<Vec<usize>> = steps
        .iter()
        .map(|s| s.after.iter().filter_map(|a| index.get(a.step.as_str()).copied()).collect())
        .collect();
    if let Some(circle) = circle(&before) {
        let names: Vec<&str> = circle.iter().map(|&i| steps[i].id.as_str()).collect();
        report.wrong(
            format!("steps[{}].after", circle[0]),
            format!("the steps wait for one another in a circle: {}", names.join(" after ")),
            "Take one of these out",
        );
        return;
    }
    let followed: BTreeSet<usize> = before.iter().flatten().copied().collect();
    let last: Vec<&str> =
        (0..steps.len()).filter(|i| !followed.contains(i)).map(|i| steps[i].id.as_str()).collect();
    if last.len() > 1 {
        report.wrong(
            "steps",
            format!("{} steps come last: {}", last.len(), last.join(", ")),
            "Let all others lead to one last step, the plating for example, by its \"after\"",
        );
    }
}

fn names_are_sound(steps: &[Step], report: &mut Report) -> bool {
    let known: Vec<&str> = steps.iter().map(|s| s.id.as_str()).collect();
    let mut sound = known.iter().collect::<BTreeSet<_>>().len() == known.len();
    for (s, step) in steps.iter().enumerate() {
        let mut seen = BTreeSet::new();
        for (a, after) in step.after.iter().enumerate() {
            let path = format!("steps[{s}].after[{a}].step");
            let id = after.step.as_str();
            if id == step.id {
                report.wrong(path, format!("\"{id}\" follows itself"), "Name an earlier step");
            } else if !known.contains(&id) {
                let others = known.iter().copied().filter(|&k| k != step.id);
                report.wrong(path, format!("there is no step \"{id}\""), mean(id, others));
            } else if !seen.insert(id) {
                report.wrong(path, format!("\"{id}\" is named twice"), "Take one of them out");
                continue;
            } else {
                continue;
            }
            sound = false;
        }
    }
    sound
}

/// A circle among the steps, each followed by one that it waits for; the first
/// comes again at the end.
fn circle(before: &[Vec<usize>]) -> Option<Vec<usize>> {
    // 0 not seen, 1 on the way that is being walked, 2 known to be free of circles.
    let mut mark = vec![0u8; before.len()];
    for start in 0..before.len() {
        if mark[start] != 0 {
            continue;
        }
        let mut way = vec![(start, 0usize)];
        mark[start] = 1;
        while let Some(top) = way.last_mut() {
            let (at, next) = *top;
            top.1 += 1;
            match before[at].get(next) {
                None => {
                    mark[at] = 2;
                    way.pop();
                }
                Some(&to) if mark[to] == 1 => {
                    let from = way.iter().position(|&(i, _)| i == to).unwrap_or(0);
                    let mut found: Vec<usize> = way[from..].iter().map(|&(i, _)| i).collect();
                    found.push(to);
                    return Some(found);
                }
                Some(&to) => {
                    if mark[to] == 0 {
                        mark[to] = 1;
                        way.push((to, 0));
                    }
                }
            }
        }
    }
    None
}

//! What an evening says of how long steps take. Only what was seen to happen
//! counts: a start and an end that the cook marked when they came. Told
//! afterwards, taken for granted, marked in a heap with others or broken off, a
//! step says nothing.

use std::collections::BTreeMap;

use super::event::Event;
use super::state::{MINUTE_MS, Progress, Run, State, StationMark};
use crate::kitchen::Sheet;
use crate::learn::{Group, Guard, Seen, by_hand};
use crate::order::InOrder;
use crate::plan::StepKey;

/// Ends of other steps marked within so long of an end (ms) …
const HEAP_MS: i64 = 20_000;
/// … make it one of a heap that was forgotten, if it is one of more than so many.
const HEAP: usize = 2;
/// Shorter than this share of what was expected, or so many times longer, and a
/// key slipped or a mark was forgotten.
const SLIP: f64 = 4.0;

/// Every load whose minutes are evidence, by its end. `evening` names the evening.
/// The state's party must go by its recipes' minutes, not by the cook's own.
#[must_use]
pub fn evidence(state: &State, evening: &str) -> Vec<Seen> {
    let marked = Marked::of(state);
    let mut seen: Vec<(i64, Seen)> = Vec::new();
    for (key, progress) in &state.facts().progress {
        let Progress::Done(run, end_ms) = progress else { continue };
        if marked.are(*key, run.start_ms, *end_ms) && !was_down(state, run, *end_ms) {
            seen.extend(of_load(state, evening, *key, run, *end_ms).map(|s| (*end_ms, s)));
        }
    }
    seen.order_by_key(|s| s.0);
    seen.into_iter().map(|s| s.1).collect()
}

fn of_load(state: &State, evening: &str, key: StepKey, run: &Run, end_ms: i64) -> Option<Seen> {
    let sheet: &Sheet = state.sheet(key.dish)?;
    let step = sheet.recipe.steps.get(key.step)?;
    let way = step.ways.get(run.way)?;
    if Guard::of(&sheet.recipe, step, run.way) == Guard::Stays {
        return None;
    }
    let expected = f64::from(sheet.minutes(key.step, run.way));
    let took = (end_ms - run.start_ms) as f64 / MINUTE_MS as f64;
    if !(expected / SLIP..=expected * SLIP).contains(&took) {
        return None;
    }
    let cooks = &state.evening().party.cooks;
    let shares = if by_hand(step, run.way) {
        let cook = run.cook.clone().or_else(|| cooks.first().map(|c| c.id.clone()))?;
        Some(Group::Cook { cook })
    } else if way.station.heats() {
        let kitchen = state.evening().kitchen.id.clone();
        Some(Group::Station { kitchen, station: run.station.clone() })
    } else {
        None
    };
    Some(Seen {
        day: state.evening().party.day,
        evening: evening.to_owned(),
        recipe: sheet.recipe.id.clone(),
        title: sheet.recipe.title.clone(),
        step: step.id.clone(),
        label: step.label.clone(),
        station: way.station,
        written: way.minutes,
        shares,
        expected,
        took,
        at_ms: end_ms,
    })
}

/// Which starts and ends were marked as they happened.
struct Marked {
    starts: BTreeMap<StepKey, i64>,
    ends: BTreeMap<StepKey, i64>,
}

impl Marked {
    fn of(state: &State) -> Self {
        let mut marked = Self { starts: BTreeMap::new(), ends: BTreeMap::new() };
        for (mark, counts) in state.marks() {
            if !counts {
                continue;
            }
            let (id, ago, into) = match &mark.event {
                Event::Started { id, ago_minutes, .. } => (id, ago_minutes, &mut marked.starts),
                Event::Done { id, ago_minutes } => (id, ago_minutes, &mut marked.ends),
                _ => continue,
            };
            if let (Some(key), 0) = (state.key(id), *ago) {
                into.entry(key).or_insert(mark.at_ms);
            }
        }
        marked
    }

    /// Was this start and this end of a load marked when it came? What was made of
    /// another mark, or moved with a clock that was set back, is not.
    fn are(&self, key: StepKey, start_ms: i64, end_ms: i64) -> bool {
        let near = |other: &&i64| (**other - end_ms).abs() <= HEAP_MS;
        self.starts.get(&key) == Some(&start_ms)
            && self.ends.get(&key) == Some(&end_ms)
            && self.ends.values().filter(near).count() <= HEAP
    }
}

/// Was its station out of use while it ran?
fn was_down(state: &State, run: &Run, end_ms: i64) -> bool {
    let log = state.facts().station_log.get(&run.station);
    let broke = |(ms, what): &(i64, StationMark)| {
        *what == StationMark::Down && (run.start_ms..=end_ms).contains(ms)
    };
    log.is_some_and(|log| log.iter().any(broke))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::run::testbed::{ms, state};

    fn seen(rows: &[(&str, &str)]) -> Vec<String> {
        let line = |s: &Seen| format!("{} {} {} of {}", s.recipe, s.step, s.took, s.expected);
        evidence(&state(rows), "x").iter().map(line).collect()
    }

    #[test]
    fn what_was_marked_as_it_happened_is_evidence() {
        let told = [
            ("16:40", "start soup chop"),
            ("16:53", "done soup chop"),
            ("16:53", "start soup simmer"),
            ("17:30", "done soup simmer"),
        ];
        assert_eq!(seen(&told), ["soup chop 13 of 10", "soup simmer 37 of 30"]);
        let state = state(&told);
        let shares: Vec<Option<Group>> =
            evidence(&state, "x").into_iter().map(|s| s.shares).collect();
        assert!(matches!(&shares[0], Some(Group::Cook { .. })), "{shares:?}");
        assert!(matches!(&shares[1], Some(Group::Station { .. })), "{shares:?}");
    }

    #[test]
    fn what_was_told_late_or_made_up_is_none() {
        // Never marked done, so only taken to be; the next one was marked whole.
        let forgotten = [
            ("16:40", "start soup chop"),
            ("16:53", "start soup simmer"),
            ("17:20", "done soup simmer"),
        ];
        assert_eq!(seen(&forgotten), ["soup simmer 27 of 30"]);
        // A start alone, an end alone, and an end that was taken back.
        assert_eq!(seen(&[("16:40", "start soup chop")]), [""; 0]);
        assert_eq!(seen(&[("16:53", "done soup simmer")]), [""; 0]);
        let undone =
            [("16:40", "start soup chop"), ("16:50", "done soup chop"), ("16:51", "undo 3")];
        assert_eq!(seen(&undone), [""; 0]);
        // Hours later somebody found the key.
        assert_eq!(seen(&[("16:40", "start soup chop"), ("19:00", "done soup chop")]), [""; 0]);
    }

    #[test]
    fn ends_marked_in_a_heap_are_none() {
        let rows = [
            ("16:20", "start dip mix"),
            ("16:40", "start soup chop"),
            ("17:45", "start pie fill"),
            ("17:58:00", "done dip mix"),
            ("17:58:05", "done soup chop"),
            ("17:58:10", "done pie fill"),
        ];
        assert_eq!(seen(&rows), [""; 0]);
    }

    #[test]
    fn what_a_broken_station_interrupted_is_none() {
        let rows = [
            ("16:40", "start soup chop"),
            ("16:50", "done soup chop"),
            ("16:53", "start soup simmer"),
            ("17:00", "down hob"),
            ("17:10", "up hob"),
            ("17:40", "done soup simmer"),
        ];
        assert_eq!(seen(&rows), ["soup chop 10 of 10"]);
    }

    /// The hob is out of use from 17:00 on; before and after a step that harms nothing.
    #[test]
    fn a_station_that_broke_at_another_time_interrupts_nothing() {
        let simmer = [("16:53", "start soup simmer"), ("17:23", "done soup simmer")];
        let with = |more: &[(&'static str, &'static str)]| {
            let mut rows = [&simmer[..], more].concat();
            rows.sort_by_key(|r| ms(r.0));
            seen(&rows)
        };
        assert_eq!(with(&[("16:30", "down hob"), ("16:52", "up hob")]), ["soup simmer 30 of 30"]);
        assert_eq!(with(&[("17:24", "down hob")]), ["soup simmer 30 of 30"]);
        assert_eq!(with(&[("17:00", "down hob")]), [""; 0]);
    }

    #[test]
    fn two_ends_at_once_are_no_heap_and_three_within_twenty_seconds_are() {
        let begun =
            [("16:20", "start dip mix"), ("16:40", "start soup chop"), ("16:45", "start pie fill")];
        let ends = |dip: &'static str, soup: &'static str, pie: &'static str| {
            let ends = [(dip, "done dip mix"), (soup, "done soup chop"), (pie, "done pie fill")];
            let mut rows = [&begun[..], &ends].concat();
            rows.sort_by_key(|r| ms(r.0));
            seen(&rows)
        };
        // By the order of their ends.
        let all = ends("16:30", "16:50", "17:00");
        assert_eq!(all, ["dip mix 10 of 10", "soup chop 10 of 10", "pie fill 15 of 15"]);
        assert_eq!(ends("16:30", "17:00", "17:00").len(), 3);
        assert_eq!(ends("16:50", "16:50:20", "16:50:20"), [""; 0]);
        assert_eq!(ends("16:50", "16:50:21", "16:50:21").len(), 3);
    }
}

//! The moments at which more things want hands than there are: what a rehearsal is watched for.

use super::state::{MINUTE_MS, State};
use super::view::{Prompt, View};

/// Two things that were due wait at once for so long before it counts (ms).
const WAITED_MS: i64 = MINUTE_MS;
/// The same things again within so long are the same moment (ms).
const SAME_MS: i64 = 10 * MINUTE_MS;

/// A moment at which hands were wanted twice.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Crowd {
    /// When it began (unix ms).
    pub at_ms: i64,
    /// What wanted them, in a few words each.
    pub wanted: Vec<String>,
}

/// Adds the present moment if more things have waited for a minute than there are cooks in the kitchen.
pub fn notice(crowds: &mut Vec<Crowd>, state: &State, view: &View) {
    let late = |p: &&Prompt| p.due_ms.saturating_add(WAITED_MS) <= view.now_ms;
    let wanted: Vec<&Prompt> = view.do_now.iter().filter(late).collect();
    if wanted.len() <= cooks_at(state, view.now_ms).max(1) {
        return;
    }
    let shorts: Vec<String> = wanted.iter().map(|p| p.short.clone()).collect();
    match crowds.last_mut() {
        Some(last) if last.at_ms.saturating_add(SAME_MS) > view.now_ms => {
            let new: Vec<String> =
                shorts.into_iter().filter(|s| !last.wanted.contains(s)).collect();
            last.wanted.extend(new);
        }
        _ => crowds.push(Crowd { at_ms: view.now_ms, wanted: shorts }),
    }
}

/// The moments in words, a line each.
#[must_use]
pub fn lines(crowds: &[Crowd], state: &State) -> Vec<String> {
    let face = &state.evening().face;
    let line = |c: &Crowd| format!("  {}  {}", face.read(c.at_ms), c.wanted.join("; "));
    match crowds {
        [] => vec!["Hands were never wanted twice for a minute.".to_owned()],
        some => std::iter::once("Hands were wanted twice".to_owned())
            .chain(some.iter().map(line))
            .collect(),
    }
}

fn cooks_at(state: &State, now_ms: i64) -> usize {
    let face = &state.evening().face;
    let now = face.minute_at(now_ms);
    let is_free = |f: &crate::kitchen::party::Stretch| {
        (face.minute_of(f.from)..face.minute_of(f.to)).contains(&now)
    };
    state.evening().party.cooks.iter().filter(|c| c.free.iter().any(is_free)).count()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::run::testbed::{ms, state};
    use crate::run::{Event, Mark, fold, testbed, view};

    /// Nothing is marked: the dip is due at 16:20, the leeks at 16:40; Ana is alone, as the party has it.
    #[test]
    fn two_that_wait_a_minute_for_one_cook_are_a_crowd_once_in_ten_minutes() {
        let alone = state(&[]);
        let mut crowds = Vec::new();
        let mut at = |time: &str| {
            notice(&mut crowds, &alone, &view(&alone, ms(time)));
            crowds.iter().map(|c: &Crowd| (c.at_ms, c.wanted.len())).collect::<Vec<_>>()
        };
        assert_eq!(at("16:30"), [], "one alone is no crowd");
        assert_eq!(at("16:40:59"), []);
        assert_eq!(at("16:41"), [(ms("16:41"), 2)]);
        assert_eq!(at("16:50:59"), [(ms("16:41"), 2)], "the same moment, and the same things");
        assert_eq!(at("16:51"), [(ms("16:41"), 2), (ms("16:51"), 2)]);
        // What joins them within ten minutes belongs to that moment.
        let mut later = view(&alone, ms("16:55"));
        let mut more = later.do_now[0].clone();
        more.short = "fill the pie".into();
        later.do_now.push(more);
        notice(&mut crowds, &alone, &later);
        assert_eq!(crowds[1].wanted.len(), 3, "{crowds:?}");
        let said = lines(&crowds, &alone);
        assert_eq!(said.len(), 3);
        assert!(said[0] == "Hands were wanted twice" && said[1].contains("16:41"), "{said:?}");
        assert_eq!(lines(&[], &alone), ["Hands were never wanted twice for a minute."]);
    }

    #[test]
    fn a_second_cook_is_counted_in_the_hours_of_being_there() {
        let there = |from: &str, to: &str| {
            let (from, to) = (testbed::minute(from), testbed::minute(to));
            let event = Event::CookThere { cook: "bo".into(), name: "Bo".into(), from, to };
            let two = fold(
                testbed::evening(),
                &[testbed::marks(&[]).remove(0), Mark { seq: 9, at_ms: ms("16:01"), event }],
            );
            let mut crowds = Vec::new();
            notice(&mut crowds, &two, &view(&two, ms("16:45")));
            crowds.len()
        };
        assert_eq!(there("16:45", "17:00"), 0);
        assert_eq!((there("16:00", "16:45"), there("16:46", "17:00")), (1, 1));
    }
}

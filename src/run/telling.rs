//! An evening as lines that are only ever added to: for screen readers, for a log, for another program's input.
//! Nothing is said twice; a line is said when what it says is new.

use std::collections::BTreeMap;

use super::event::Event;
use super::state::State;
use super::view::{Alarm, AlarmState, Prompt, Rank, View};
use super::{PromptKind, echo};
use crate::kitchen::Evening;

/// What has been told so far.
#[derive(Debug, Clone, Default)]
pub struct Teller {
    begun: bool,
    /// The number of the last mark that was told.
    last_seq: u64,
    /// Things that wanted hands, by kind and words: when they were due.
    due: BTreeMap<(String, bool), i64>,
    /// Alarms by key, and how they stood.
    alarms: BTreeMap<String, Told>,
    ended: bool,
}

/// How an alarm stood, and what it is called.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Told {
    state: AlarmState,
    rank: Rank,
    title: String,
}

impl Teller {
    /// What is new at this moment, a line each, in the order in which it matters: alarms first. The first time:
    /// how things stand.
    pub fn lines(&mut self, state: &State, view: &View) -> Vec<String> {
        let clock = |ms: i64| {
            let (hour, minute, _) = state.evening().face.wall(ms);
            format!("{hour:02}:{minute:02}")
        };
        let now = clock(view.now_ms);
        let mut lines = Vec::new();
        if !std::mem::replace(&mut self.begun, true) {
            lines.push(format!("{now} {}", state.evening().party.title));
            lines.extend(services(state, &now));
            self.last_seq = state.marks().map(|(m, _)| m.seq).max().unwrap_or(0);
        }
        self.tell_alarms(state.evening(), view, &now, &mut lines);
        self.tell_marks(state, &clock, &mut lines);
        self.tell_due(view, &now, &clock, &mut lines);
        if let Some(ending) = view.ending.as_ref().filter(|_| !self.ended) {
            self.ended = true;
            lines.push(format!("{now} {}", ending.title));
        }
        lines
    }

    fn tell_alarms(&mut self, evening: &Evening, view: &View, now: &str, lines: &mut Vec<String>) {
        let mut stand = BTreeMap::new();
        for bundle in super::alarms::bundles(evening, &view.alarms, view.now_ms) {
            // Said when two of it or more are new at once; what joins it later is told by itself.
            let is_new = |key: &&String| {
                self.alarms.get(*key).is_none_or(|told| told.state != AlarmState::New)
            };
            if bundle.keys.iter().filter(is_new).count() > 1 {
                lines.push(format!("{now} together: {}. {}", bundle.title, bundle.cause));
            }
        }
        for alarm in &view.alarms {
            let (state, rank) = (alarm.state, alarm.rank);
            let is_new =
                self.alarms.get(&alarm.key).is_none_or(|b| (b.state, b.rank) != (state, rank));
            if is_new {
                lines.push(format!("{now} {}", alarm_words(alarm)));
            }
            // The title counts minutes: what is told at the end is what it was called last.
            stand.insert(alarm.key.clone(), Told { state, rank, title: alarm.title.clone() });
        }
        let over = self.alarms.iter().filter(|(key, _)| !stand.contains_key(*key));
        lines.extend(over.map(|(_, told)| format!("{now} over: {}", told.title)));
        self.alarms = stand;
    }

    fn tell_marks(
        &mut self,
        state: &State,
        clock: &dyn Fn(i64) -> String,
        lines: &mut Vec<String>,
    ) {
        for (mark, _) in state.marks().filter(|(m, _)| m.seq > self.last_seq) {
            let at = clock(mark.at_ms);
            match &mark.event {
                Event::PlanAdopted { moved, why, .. } if !moved.is_empty() => {
                    lines.push(format!("{at} {moved} {why}").trim_end().to_owned());
                }
                _ => lines.extend(echo(state, mark).map(|words| format!("{at} {words}"))),
            }
        }
        self.last_seq = state.marks().map(|(m, _)| m.seq).max().unwrap_or(0).max(self.last_seq);
    }

    /// What wants hands now, and what comes next: each once, and again if its time has moved. Then what is to be
    /// measured now.
    fn tell_due(
        &mut self,
        view: &View,
        now: &str,
        clock: &dyn Fn(i64) -> String,
        lines: &mut Vec<String>,
    ) {
        let mut due = BTreeMap::new();
        let wants = view.do_now.iter().map(|p| (p, true));
        for (prompt, is_now) in wants.chain(view.next.iter().take(1).map(|p| (p, false))) {
            let key = (name(prompt), is_now);
            let at = due.entry(key.clone()).or_insert(prompt.due_ms);
            let known = self.due.get(&key).is_some_and(|before| is_now || before == at);
            if !known && is_now {
                lines.push(format!("{now} now: {}", prompt.text));
            } else if !known {
                lines.push(format!("{now} next, at {}: {}", clock(prompt.due_ms), prompt.text));
            }
        }
        for wanted in view.measure.iter().filter(|m| m.due_ms <= view.now_ms) {
            let key = (wanted.short.clone(), true);
            if !self.due.contains_key(&key) {
                lines.push(format!("{now} now: {} ({}).", wanted.short, wanted.why));
            }
            due.insert(key, wanted.due_ms);
        }
        self.due = due;
    }
}

fn name(prompt: &Prompt) -> String {
    let kind = match prompt.kind {
        PromptKind::Start => "start",
        PromptKind::PutIn => "in",
        PromptKind::Finish => "finish",
        PromptKind::TakeOut => "out",
        PromptKind::Dial => "dial",
        PromptKind::Serve => "serve",
    };
    format!("{kind} {}", prompt.short)
}

fn services(state: &State, now: &str) -> Vec<String> {
    let services = state.evening().party.services.iter().enumerate();
    let line = |(i, service): (usize, &crate::kitchen::Service)| {
        let at = state.evening().face.label(state.service_minute(i));
        format!("{now} {} at {at}", service.title)
    };
    services.map(line).collect()
}

fn alarm_words(alarm: &Alarm) -> String {
    let rank = match alarm.rank {
        Rank::Notice => "notice",
        Rank::Warning => "warning",
        Rank::Urgent => "URGENT",
    };
    let Alarm { title, cause, consequence, remedy, .. } = alarm;
    match alarm.state {
        AlarmState::New => format!("{rank}: {title}. {cause} {consequence} To do: {remedy}"),
        AlarmState::Acknowledged => format!("seen: {title}"),
        AlarmState::PutOff(_) => format!("put off: {title}"),
        AlarmState::Returned => format!("no longer so: {title}"),
    }
}

#[cfg(test)]
mod tests {
    use super::super::testbed::{marks, ms, on_time};
    use super::super::{fold, view};
    use super::*;

    /// What is told of an evening, looked at at these times.
    fn told(rows: &[(&str, &str)], looks: &[&str]) -> Vec<Vec<String>> {
        let mut teller = Teller::default();
        let look = |at: &&str| {
            let until: Vec<_> = marks(rows).into_iter().filter(|m| m.at_ms <= ms(at)).collect();
            let state = fold(super::super::testbed::evening(), &until);
            teller.lines(&state, &view(&state, ms(at)))
        };
        looks.iter().map(look).collect()
    }

    #[test]
    fn at_first_it_says_how_things_stand_and_then_only_what_is_new() {
        let rows = on_time("16:30");
        let said = told(&rows, &["16:19", "16:19:30", "16:20", "16:25"]);
        assert_eq!(
            said[0][..3],
            ["16:19 A small evening", "16:19 Starters at 18:00", "16:19 Mains at 19:00"]
        );
        assert!(said[0].iter().any(|l| l.starts_with("16:19 next, at 16:20: ")), "{said:?}");
        assert_eq!(said[1], Vec::<String>::new(), "nothing twice");
        assert_eq!(said[2][0], "16:20 started: dip (mix)", "{said:?}");
        assert_eq!(said[3], Vec::<String>::new());
    }

    #[test]
    fn an_alarm_is_told_once_when_it_is_seen_and_when_it_is_over() {
        let mut rows = on_time("18:00");
        rows.extend([("18:45", "done pie bake"), ("18:46", "start pie rest")]);
        let looks = ["18:39", "18:42", "18:43", "18:47"];
        let said = told(&rows, &looks).concat();
        let pulls: Vec<&String> = said
            .iter()
            .filter(|l| l.contains("To do: ") && l.to_lowercase().contains("pie"))
            .collect();
        assert!(!pulls.is_empty(), "{said:#?}");
        let all: std::collections::BTreeSet<&String> = said.iter().collect();
        assert_eq!(all.len(), said.len(), "nothing twice: {said:#?}");
        assert!(said.iter().any(|l| l.contains(" over: ")), "{said:#?}");
    }

    /// What was marked before is how things stand, and no news; what is due is told when it is, once.
    #[test]
    fn what_wants_hands_is_told_when_it_does() {
        let before = told(&on_time("16:30"), &["16:31"]).concat();
        assert!(before.iter().all(|l| !l.contains("started: dip")), "{before:?}");
        let said = told(&[], &["16:19", "16:20:05", "16:20:30"]);
        let now =
            |lines: &[String]| lines.iter().filter(|l| l.contains(" now: Mix the dip.")).count();
        assert_eq!((now(&said[0]), now(&said[1]), now(&said[2])), (0, 1, 0), "{said:?}");
    }

    #[test]
    fn an_alarm_that_stands_is_told_no_more_until_it_is_over() {
        let mut rows = on_time("18:00");
        rows.push(("18:43", "done pie bake"));
        let said = told(&rows, &["18:39", "18:41", "18:42", "18:44"]);
        let of = |lines: &[String], words: &str| lines.iter().any(|l| l.contains(words));
        assert!(of(&said[1], "notice: PIE is done.") && !of(&said[1], " over: "), "{said:?}");
        assert!(!of(&said[2], "PIE is done"), "{said:?}");
        assert!(of(&said[3], "18:44 over: PIE is done"), "{said:?}");
    }

    #[test]
    fn a_new_plan_is_told_with_what_it_moves_and_the_end_once() {
        let mut teller = Teller::default();
        let mut all = marks(&on_time("19:00"));
        let mut at = |all: &[super::super::Mark], at: &str| {
            let state = fold(super::super::testbed::evening(), all);
            teller.lines(&state, &view(&state, ms(at)))
        };
        let count =
            |lines: &[String], words: &str| lines.iter().filter(|l| l.contains(words)).count();
        let ends = at(&all, "19:01");
        assert_eq!(count(&ends, "19:01 All is served"), 1, "{ends:?}");
        let plan = super::super::testbed::plan(&super::super::testbed::evening());
        let (moved, why) = ("Soup waits.".to_owned(), "because it does".to_owned());
        let event = Event::PlanAdopted { plan: Box::new(plan), moved, why };
        all.push(super::super::Mark { seq: 900, at_ms: ms("19:02"), event });
        let new = at(&all, "19:03");
        assert_eq!(count(&new, "19:02 Soup waits. because it does"), 1, "{new:?}");
        assert_eq!(count(&new, "All is served"), 0, "{new:?}");
    }
}

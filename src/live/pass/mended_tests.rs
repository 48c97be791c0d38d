//! What the journal turns out to hold that this screen had not taken for marked: a line whose sync failed and which
//! could not be cut off again comes back when the journal is mended, and what was about to be marked counts once.

use std::cell::{Cell, RefCell};
use std::rc::Rc;
use std::sync::Arc;

use ratatui::Terminal;
use ratatui::backend::TestBackend;

use super::Pass;
use super::set_back_tests::sit;
use crate::live::book::Shared;
use crate::live::clock::Ticks;
use crate::plan::planner::{Budget, reshuffle};
use crate::run::testbed::{evening, event, marks, ms, on_time};
use crate::run::{Event, Mark, fold};
use crate::store::JournalError;

/// A journal in memory. While its disk fails each append leaves its line all the same.
#[derive(Clone, Default)]
struct Paper {
    fails: Rc<Cell<bool>>,
    broken: bool,
    follows: bool,
    log: Rc<RefCell<Vec<Mark>>>,
    others: Rc<RefCell<Vec<Mark>>>,
}

impl Shared for Paper {
    fn take_turn(&mut self) -> Result<Vec<Mark>, JournalError> {
        let others = self.others.take();
        self.log.borrow_mut().extend(others.iter().cloned());
        Ok(others)
    }

    fn append(&mut self, (at_ms, _): (i64, Ticks), event: &Event) -> Result<u64, JournalError> {
        let not = || JournalError::NotDurable { why: "the disk failed".into() };
        if self.broken {
            return Err(not());
        }
        let seq = self.log.borrow().len() as u64 + 1;
        self.log.borrow_mut().push(Mark { seq, at_ms, event: event.clone() });
        self.broken = self.fails.get();
        if self.broken { Err(not()) } else { Ok(seq) }
    }

    fn end_turn(&mut self) {}

    fn look(&mut self) -> Result<Option<Vec<Mark>>, JournalError> {
        self.take_turn().map(Some)
    }

    fn mend(&mut self) -> Option<Vec<Mark>> {
        if !self.broken || self.fails.get() {
            return None;
        }
        self.broken = false;
        Some(self.log.borrow().clone())
    }

    fn broken(&self) -> Option<&str> {
        self.broken.then_some("the disk failed")
    }

    fn leads(&self) -> bool {
        !self.follows
    }

    fn try_lead(&mut self) -> bool {
        !self.follows
    }
}

/// The pie is in the oven since 18:00; it is 18:10.
fn baking() -> (Pass, Paper, Rc<Cell<Ticks>>) {
    sitting(true)
}

fn sitting(leads: bool) -> (Pass, Paper, Rc<Cell<Ticks>>) {
    seated(leads, "18:00", "18:10")
}

fn seated(leads: bool, until: &str, now: &str) -> (Pass, Paper, Rc<Cell<Ticks>>) {
    let paper = Paper { follows: !leads, ..Paper::default() };
    let held = marks(&on_time(until));
    paper.log.borrow_mut().extend(held.iter().cloned());
    let clocks = Ticks { wall_ms: ms(now), mono_ms: 500_000 };
    let (pass, ticks) = sit(fold(evening(), &held), paper.clone(), clocks);
    (pass, paper, ticks)
}

fn count(paper: &Paper, wanted: &Event) -> usize {
    paper.log.borrow().iter().filter(|m| m.event == *wanted).count()
}

/// "Five minutes more" that the disk had after all is not given a second time when the cook presses again, as told.
#[test]
fn what_is_pressed_again_after_a_failure_counts_once() {
    for pressed in ["more pie bake 5", "temp pie 60", "undo 17"] {
        let (mut pass, paper, ticks) = baking();
        paper.fails.set(true);
        let now = ticks.get();
        assert_eq!(pass.mark(event(pressed), now), None, "{pressed}");
        paper.fails.set(false);
        pass.mark_by_cook(event(pressed), now);
        assert_eq!(count(&paper, &event(pressed)), 1, "{pressed}");
        assert_eq!(pass.state().marks().count(), paper.log.borrow().len(), "{pressed}");
        assert!(pass.ui.say.is_some(), "it is said that it stands: {pressed}");
        // Another mark is another one.
        pass.mark_by_cook(event("temp pie 61"), now);
        assert_eq!(count(&paper, &event("temp pie 61")), 1, "{pressed}");
    }
}

/// A clock that was set back by an hour moves what was marked before by one hour, not by two.
#[test]
fn a_clock_set_back_that_the_disk_had_after_all_is_told_once() {
    let (mut pass, paper, ticks) = baking();
    paper.fails.set(true);
    ticks.set(Ticks { wall_ms: ms("17:10:01"), mono_ms: 501_000 });
    pass.tick();
    paper.fails.set(false);
    for mono_ms in [520_000, 540_000] {
        ticks.set(Ticks { wall_ms: ms("17:10:01") + mono_ms as i64 - 501_000, mono_ms });
        pass.tick();
    }
    let hour = Event::ClockSetBack { by_ms: 3_600_000 };
    assert_eq!(count(&paper, &hour), 1);
    let pie = pass.view().running.iter().find(|p| p.dish == Some(3)).expect("it is in");
    assert_eq!((pie.due_ms - ms("17:00")) / 60_000, 39, "in since 17:00");
    assert!(pass.mark(event("temp pie 60"), ticks.get()).is_some(), "and nothing is owed");
    assert_eq!(count(&paper, &hour), 1);
}

/// What another screen marked just before this one told of the clock leaves nothing of the same mark here.
#[test]
fn a_mark_of_another_screen_taken_in_with_the_clock_set_back_counts_once() {
    let (mut pass, paper, ticks) = baking();
    pass.set_back_ms = 3_600_000;
    let seq = paper.log.borrow().len() as u64 + 1;
    let mark = Mark { seq, at_ms: ms("18:10"), event: event("done pie bake") };
    paper.others.borrow_mut().push(mark);
    pass.mark(event("done pie bake"), ticks.get());
    assert_eq!(count(&paper, &event("done pie bake")), 1);
    assert_eq!(count(&paper, &Event::ClockSetBack { by_ms: 3_600_000 }), 1);
}

/// A plan that the cook chose and the disk did not take is not said to be taken.
#[test]
fn a_plan_that_is_not_marked_is_not_said_to_be_taken() {
    for fails in [true, false] {
        let (mut pass, paper, ticks) = seated(true, "16:00", "16:01");
        // There is no room for it in this kitchen.
        pass.mark(event("drop pie"), ticks.get());
        paper.fails.set(fails);
        let situation = pass.state().situation(ms("16:01"));
        let budget = Budget { seed: 1, rounds: 2, stop: &|| false };
        let plan = reshuffle(&evening(), &situation, &budget, &mut |_| ()).expect("a plan");
        let plan = Arc::new(plan);
        pass.take_changes(&[], "what is there", &plan, ticks.get());
        let said = pass.status().echo.as_deref() == Some("taken: what is there");
        assert_eq!(said, !fails);
    }
}

/// A screen that follows marks by a clock that was set back: by how much stands before the mark, and once, whoever of
/// the two screens says it.
#[test]
fn who_follows_marks_nothing_before_a_clock_set_back_is_told() {
    let hour = Event::ClockSetBack { by_ms: 3_600_000 };
    for told_by_the_other in [false, true] {
        let (mut pass, mut paper, ticks) = sitting(false);
        ticks.set(Ticks { wall_ms: ms("17:10:01"), mono_ms: 501_000 });
        pass.tick();
        assert_eq!(count(&paper, &hour), 0, "the screen that plans says it");
        if told_by_the_other {
            let seq = paper.log.borrow().len() as u64 + 1;
            let mark = Mark { seq, at_ms: ms("17:10:01"), event: hour.clone() };
            paper.others.borrow_mut().push(mark);
        }
        pass.mark(event("temp pie 60"), ticks.get());
        assert_eq!(count(&paper, &hour), 1);
        assert!(matches!(paper.log.borrow().last().unwrap().event, Event::Temperature { .. }));
        // Looked at once more, nothing is owed.
        pass.mark(event("temp pie 61"), ticks.get());
        assert_eq!(count(&paper, &hour), 1);
        assert!(paper.take_turn().unwrap().is_empty());
    }
}

/// The other screen was quicker to say it than this one to notice.
#[test]
fn a_clock_set_back_that_is_heard_before_it_is_noticed_is_not_owed() {
    let (mut pass, paper, ticks) = sitting(false);
    ticks.set(Ticks { wall_ms: ms("17:10:01"), mono_ms: 501_000 });
    let hour = Event::ClockSetBack { by_ms: 3_600_000 };
    let seq = paper.log.borrow().len() as u64 + 1;
    paper.others.borrow_mut().push(Mark { seq, at_ms: ms("17:10:01"), event: hour.clone() });
    assert!(pass.look_at_others());
    pass.mark(event("temp pie 60"), ticks.get());
    assert_eq!(count(&paper, &hour), 1);
}

/// A screen that is opened while the one that plans has not noticed yet.
#[test]
fn who_is_opened_after_the_clock_was_set_back_says_so_before_its_first_mark() {
    for leads in [false, true] {
        let (mut pass, paper, ticks) = seated(leads, "18:00", "17:10");
        let back = || {
            let log = paper.log.borrow();
            let back = |m: &Mark| matches!(m.event, Event::ClockSetBack { .. });
            log.iter().filter(|m| back(m)).count()
        };
        pass.mark(event("temp pie 60"), ticks.get());
        // Who leads has said it while opening (`opening::begin`), which is not played here.
        assert_eq!(back(), usize::from(!leads));
    }
}

/// What is wrong is read to its end, where the remedy stands, on a narrow screen and beside what a press led to.
#[test]
fn trouble_and_notices_are_read_whole() {
    let words = "MARKS ARE NOT SAVED: could not write /home/ana/.local/state/potwatch/evenings/\
                 autumn-supper-2026-11-28-01234567.journal: the disk is full; free some space on it, then \
                 try again. Leave, make room, start again.";
    for (width, height) in [(80, 24), (100, 30), (160, 45)] {
        for beside in [false, true] {
            let (mut pass, _, _) = baking();
            pass.say_once(words);
            let mut terminal = Terminal::new(TestBackend::new(width, height)).unwrap();
            let mut shown = |pass: &mut Pass| {
                terminal.draw(|frame| pass.draw(frame)).unwrap();
                let cells = terminal.backend().buffer().content.iter();
                let text: String = cells.map(|cell| cell.symbol()).collect();
                text.split_whitespace().collect::<Vec<_>>().join(" ")
            };
            for words in ["the disk is full", "start again."] {
                assert!(shown(&mut pass).contains(words), "a notice, {width}: {words}");
            }
            pass.trouble(words);
            pass.ui.say = beside.then(|| "It is marked already.".to_owned());
            for words in ["the disk is full", "start again."] {
                let shown = shown(&mut pass);
                assert!(shown.contains(words), "{width}, {beside}: {words}");
                assert_eq!(shown.contains("It is marked already."), beside);
            }
        }
    }
}

//! A clock that was set back while the disk took no mark: that must be told of before anything else counts.

use std::cell::{Cell, RefCell};
use std::rc::Rc;

use super::{Opening, Pass};
use crate::live::board::Board;
use crate::live::book::{Book, Shared};
use crate::live::clock::{Clocks, PartyTime, Ticks};
use crate::live::planner::{OddsQuestion, Plans, Question};
use crate::live::reasons::{self, Explains};
use crate::live::tryer::{self, Tries};
use crate::run::testbed::{evening, event, marks, ms, on_time};
use crate::run::{Event, Mark, State, fold};
use crate::screen::Look;
use crate::store::JournalError;

/// Plans, explains and tries nothing.
struct Nobody;

impl Plans for Nobody {
    fn ask(&self, _: Question) {}
    fn ask_odds(&self, _: OddsQuestion) {}
}

impl Explains for Nobody {
    fn ask(&self, _: reasons::Query) {}
    fn hush(&self, _: u64) {}
}

impl Tries for Nobody {
    fn ask(&self, _: tryer::Query) {}
    fn rest(&self, _: u64) {}
}

/// A journal in memory whose disk can be full, and what another screen wrote meanwhile.
#[derive(Clone, Default)]
pub(super) struct Paper {
    full: Rc<Cell<bool>>,
    pub(super) written: Rc<RefCell<Vec<Event>>>,
    pub(super) others: Rc<RefCell<Vec<Mark>>>,
}

impl Shared for Paper {
    fn take_turn(&mut self) -> Result<Vec<Mark>, JournalError> {
        Ok(self.others.take())
    }

    fn append(&mut self, _: (i64, Ticks), event: &Event) -> Result<u64, JournalError> {
        if self.full.get() {
            return Err(JournalError::NotDurable { why: "full".into() });
        }
        self.written.borrow_mut().push(event.clone());
        Ok(1_000 + self.written.borrow().len() as u64)
    }

    fn end_turn(&mut self) {}

    fn look(&mut self) -> Result<Option<Vec<Mark>>, JournalError> {
        Ok(Some(self.others.take()))
    }

    fn mend(&mut self) -> Option<Vec<Mark>> {
        None
    }

    fn broken(&self) -> Option<&str> {
        None
    }

    fn leads(&self) -> bool {
        true
    }

    fn try_lead(&mut self) -> bool {
        true
    }
}

/// The pie went into the oven at 18:00 by a clock that is an hour fast. It is set right at 18:10, with a full disk.
fn set_back() -> (Pass, Paper, Rc<Cell<Ticks>>) {
    let (mut pass, paper, ticks) = open(fold(evening(), &marks(&on_time("18:00"))), "18:10");
    paper.full.set(true);
    ticks.set(Ticks { wall_ms: ms("17:10:01"), mono_ms: 6_000 });
    pass.tick();
    (pass, paper, ticks)
}

/// An evening on such a paper, opened at a time.
pub(super) fn open(state: State, at: &str) -> (Pass, Paper, Rc<Cell<Ticks>>) {
    let paper = Paper::default();
    let (pass, ticks) = sit(state, paper.clone(), Ticks { wall_ms: ms(at), mono_ms: 5_000 });
    (pass, paper, ticks)
}

/// An evening on a paper, opened when clocks show this, which can be moved.
pub(super) fn sit(
    state: State,
    paper: impl Shared + 'static,
    ticks: Ticks,
) -> (Pass, Rc<Cell<Ticks>>) {
    let ticks = Rc::new(Cell::new(ticks));
    let clock = Rc::clone(&ticks);
    let opening = Opening {
        state,
        book: Book::Disk(Box::new(paper)),
        journal: None,
        time: PartyTime::Wall,
        clocks: Clocks::by(move || clock.get()),
        look: Look::choose(false, "truecolor", "xterm-256color", None, false),
        notice: None,
        hand: None,
        rehearses: None,
        files: None,
    };
    (Pass::open(opening, Nobody, Nobody, Board::new(Nobody)), ticks)
}

pub(super) fn goes_on(pass: &mut Pass, ticks: &Rc<Cell<Ticks>>, ms: u64) {
    let Ticks { wall_ms, mono_ms } = ticks.get();
    ticks.set(Ticks { wall_ms: wall_ms + ms as i64, mono_ms: mono_ms + ms });
    pass.tick();
}

/// When the pie is done by what is shown, in minutes after 17:00.
fn done(pass: &Pass) -> i64 {
    let pie = pass.view().running.iter().find(|p| p.dish == Some(3)).expect("it is in");
    (pie.due_ms - ms("17:00")) / 60_000
}

#[test]
fn a_clock_set_back_while_the_disk_was_full_is_told_once_it_takes_marks_again() {
    let (mut pass, paper, ticks) = set_back();
    assert!(paper.written.borrow().is_empty());
    assert!(pass.status().trouble.as_deref().is_some_and(|t| t.starts_with("NOT MARKED")));
    paper.full.set(false);
    goes_on(&mut pass, &ticks, 30_000);
    let hour = Event::ClockSetBack { by_ms: 3_600_000 };
    assert_eq!(*paper.written.borrow(), [hour]);
    assert_eq!(done(&pass), 39, "in since 17:00, a minute of hands at its end");
    assert_eq!(pass.status().trouble, None);
    goes_on(&mut pass, &ticks, 30_000);
    assert_eq!(paper.written.borrow().len(), 1, "once");
}

/// A mark by the clock as it is now comes after that, or not at all: before it, it would move with the others.
#[test]
fn nothing_is_marked_before_a_clock_set_back() {
    let (mut pass, paper, ticks) = set_back();
    let now = pass.ticks();
    assert_eq!(pass.mark(event("temp pie 60"), now), None);
    paper.full.set(false);
    assert!(pass.mark(event("temp pie 60"), now).is_some());
    let told: Vec<bool> =
        paper.written.borrow().iter().map(|e| matches!(e, Event::ClockSetBack { .. })).collect();
    assert_eq!(told, [true, false]);
    goes_on(&mut pass, &ticks, 30_000);
    assert_eq!(done(&pass), 39);
}

/// Another screen has told of it: then it is not told twice.
#[test]
fn what_another_screen_has_told_of_the_clock_is_not_owed_any_more() {
    let (mut pass, paper, ticks) = set_back();
    paper.full.set(false);
    let event = Event::ClockSetBack { by_ms: 3_600_000 };
    paper.others.borrow_mut().push(Mark { seq: 900, at_ms: ms("17:10"), event });
    goes_on(&mut pass, &ticks, 30_000);
    goes_on(&mut pass, &ticks, 30_000);
    assert!(paper.written.borrow().is_empty(), "{:?}", paper.written.borrow());
    assert_eq!(done(&pass), 39);
}

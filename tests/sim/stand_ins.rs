//! What stands in for the edges: clocks that are set by hand, locks without a system, a planner that may be slow,
//! late with its answer, or silent.

use std::cell::{Cell, RefCell};
use std::path::Path;
use std::rc::Rc;
use std::sync::Arc;

use potwatch::live::book::Locks;
use potwatch::live::clock::{Clocks, Ticks};
use potwatch::live::planner::{OddsQuestion, Offer, Plans, Question, Told};
use potwatch::live::reasons::{self, Explains};
use potwatch::live::tryer::{self, Tries};
use potwatch::plan::Plan;
use potwatch::plan::planner::{Budget, Planning};
use potwatch::plan::ready::{Late, fitting, likely};
use potwatch::plan::{clash, risk};
use potwatch::store::LockError;

/// Rounds of search for a plan: enough for other orders to be tried.
const ROUNDS: u64 = 2;
/// Rounds of search while nothing is asked, after one in so many looks at the chances.
const IDLE_ROUNDS: u64 = 8;
const IDLE_EVERY: u64 = 4;
/// Plans made ready for what may soon be late, after one in so many looks; kept until the next are made.
const READY: usize = 2;
const READY_EVERY: u64 = 3;
/// The longest that such a search takes to tell what it found (ms).
const IDLE_MS: u64 = 120_000;
/// Evenings that a plan is played forward.
const EVENINGS: u32 = 8;

/// The clocks of the computer: the wall's may jump, the other stands still while the computer sleeps.
#[derive(Debug, Clone)]
pub struct HandClock(Rc<Cell<Ticks>>);

impl HandClock {
    pub fn new(wall_ms: i64) -> Self {
        Self(Rc::new(Cell::new(Ticks { wall_ms, mono_ms: 5_000 })))
    }

    pub fn clocks(&self) -> Clocks {
        let ticks = Rc::clone(&self.0);
        Clocks::by(move || ticks.get())
    }

    pub fn now(&self) -> Ticks {
        self.0.get()
    }

    /// Both go on; the wall's by so many parts in ten thousand more or less.
    pub fn go(&self, ms: u64, drift: i64) {
        let Ticks { wall_ms, mono_ms } = self.0.get();
        let wall = i64::try_from(ms).expect("a short time");
        let wall_ms = wall_ms + wall + wall * drift / 10_000;
        self.0.set(Ticks { wall_ms, mono_ms: mono_ms + ms });
    }

    /// The wall's alone jumps: it was set, or the computer slept.
    pub fn jump(&self, ms: i64) {
        let Ticks { wall_ms, mono_ms } = self.0.get();
        self.0.set(Ticks { wall_ms: wall_ms + ms, mono_ms });
    }

    /// The computer was started anew.
    pub fn restart(&self) {
        self.0.set(Ticks { mono_ms: 1_000, ..self.0.get() });
    }
}

/// Which screen leads, if one does.
#[derive(Debug, Clone, Default)]
pub struct HandLocks {
    led: Rc<Cell<bool>>,
}

/// The lead, given back when it is dropped.
pub struct HandLead(Rc<Cell<bool>>);

impl Drop for HandLead {
    fn drop(&mut self) {
        self.0.set(false);
    }
}

impl Locks for HandLocks {
    type Turn = ();
    type Lead = HandLead;

    fn turn(&self, _: &Path) -> Result<Option<()>, LockError> {
        Ok(Some(()))
    }

    fn turn_now(&self, _: &Path) -> Result<Option<()>, LockError> {
        Ok(Some(()))
    }

    fn lead(&self, _: &Path) -> Result<Option<HandLead>, LockError> {
        Ok((!self.led.replace(true)).then(|| HandLead(Rc::clone(&self.led))))
    }
}

/// How the planner is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mood {
    /// It answers at once.
    Prompt,
    /// It answers after so much real time.
    Slow(u64),
    /// It answers the question before the last one, and then the last one.
    Stale,
    /// It does not answer.
    Silent,
}

#[derive(Default)]
struct Desk {
    plan: Option<(Question, u64)>,
    before: Option<Question>,
    odds: Option<OddsQuestion>,
    /// A better plan that was found while nothing was asked, and when that is told.
    better: Option<(Told, u64)>,
    ready: Vec<(Late, Plan)>,
    /// The longest that any question for a plan has waited for its answer (ms).
    slowest_ms: u64,
}

/// A planner that works when it is told to.
#[derive(Clone)]
pub struct HandPlanner {
    desk: Rc<RefCell<Desk>>,
    clock: HandClock,
}

impl HandPlanner {
    pub fn new(clock: &HandClock) -> Self {
        Self { desk: Rc::default(), clock: clock.clone() }
    }

    /// The longest that any question for a plan has waited for its answer so far (ms): for as long as the planner was
    /// slow, or silent before it spoke again.
    pub fn slowest_ms(&self) -> i64 {
        i64::try_from(self.desk.borrow().slowest_ms).expect("an evening")
    }

    /// The answers that are due by now.
    pub fn answers(&self, mood: Mood) -> Vec<Told> {
        let mut desk = self.desk.borrow_mut();
        let mut told = Vec::new();
        let now_ms = self.clock.now().mono_ms;
        if mood == Mood::Silent {
            return told;
        }
        if let Some(odds) = desk.odds.take() {
            let OddsQuestion { turn, evening, situation, plan } = &odds;
            let chances = risk::forecast(evening, situation, plan, risk::SEED, EVENINGS);
            told.push(Told::Odds(*turn, chances));
            if turn.is_multiple_of(IDLE_EVERY) {
                // Often too late by then: something was marked, or the minutes have gone.
                let at = now_ms + turn.wrapping_mul(7_919_000) % IDLE_MS;
                desk.better = better(&odds).map(|told| (told, at));
            }
            if turn.is_multiple_of(READY_EVERY) {
                desk.ready = made_ready(&odds);
            }
        }
        if desk.better.as_ref().is_some_and(|(_, at)| *at <= now_ms) {
            told.extend(desk.better.take().map(|(told, _)| told));
        }
        let wait_ms = if let Mood::Slow(ms) = mood { ms } else { 0 };
        if desk.plan.as_ref().is_some_and(|(_, at)| at + wait_ms <= now_ms) {
            let (question, asked_ms) = desk.plan.take().expect("there");
            desk.slowest_ms = desk.slowest_ms.max(now_ms - asked_ms);
            let before = desk.before.replace(question.clone());
            if mood == Mood::Stale {
                told.extend(before.map(|q| Told::Offer(answer(&q, &desk.ready))));
            }
            told.push(Told::Offer(answer(&question, &desk.ready)));
        }
        told
    }
}

fn answer(question: &Question, ready: &[(Late, Plan)]) -> Offer {
    let plan = planned(question, ready).map(Box::new);
    Offer { turn: question.turn, why: question.why.clone(), plan, last: true }
}

fn planned(question: &Question, ready: &[(Late, Plan)]) -> Result<Plan, String> {
    let no_plan = |e| clash::words(&question.evening, &e);
    let planning = Planning::new(&question.evening, &question.situation).map_err(no_plan)?;
    // Of whatever evening: one that was changed since has to pass them over.
    let planning = planning.with_ready(fitting(ready, &question.situation));
    let budget = Budget { seed: question.turn, rounds: ROUNDS, stop: &|| false };
    let found = planning.search(planning.shown().as_ref(), &budget);
    found.map(|(plan, _)| plan).map_err(no_plan)
}

fn made_ready(question: &OddsQuestion) -> Vec<(Late, Plan)> {
    let OddsQuestion { turn, evening, situation, plan } = question;
    let made = likely(situation, plan).into_iter().filter_map(|late| {
        let then = late.then(evening, situation, plan);
        let planning = Planning::new(evening, &then).ok()?;
        let budget = Budget { seed: *turn, rounds: ROUNDS, stop: &|| false };
        Some((late, planning.search(Some(&planning.schedule_of(plan)), &budget).ok()?.0))
    });
    made.take(READY).collect()
}

fn better(question: &OddsQuestion) -> Option<Told> {
    let OddsQuestion { turn, evening, situation, plan } = question;
    let planning = Planning::new(evening, situation).ok()?;
    let budget = Budget { seed: *turn, rounds: IDLE_ROUNDS, stop: &|| false };
    let (found, _) = planning.search(Some(&planning.schedule_of(plan)), &budget).ok()?;
    let saves = found.cost.total() < plan.cost.total();
    saves.then(|| Told::Better(Arc::clone(plan), Box::new(found)))
}

impl Plans for HandPlanner {
    fn ask(&self, question: Question) {
        self.desk.borrow_mut().plan = Some((question, self.clock.now().mono_ms));
    }

    fn ask_odds(&self, question: OddsQuestion) {
        self.desk.borrow_mut().odds = Some(question);
    }
}

/// Nobody explains a block or works out ways: what they show is asserted elsewhere.
pub struct Nobody;

impl Explains for Nobody {
    fn ask(&self, _: reasons::Query) {}
    fn hush(&self, _: u64) {}
}

impl Tries for Nobody {
    fn ask(&self, _: tryer::Query) {}
    fn rest(&self, _: u64) {}
}

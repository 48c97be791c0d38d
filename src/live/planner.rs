//! The planner's own thread: the screen asks, goes on, and is told. A newer
//! question cancels the one in work; a plan comes back with the number of the
//! question that it answers.

mod idle;

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use crate::kitchen::Evening;
use crate::plan::planner::{Budget, Planning};
use crate::plan::ready::{Late, fitting};
use crate::plan::risk::{self, Forecast, cushion};
use crate::plan::{Plan, Proof, Schedule, Situation, clash};

/// The first answer is given out after so long at the latest, if there is one.
pub const FIRST_AFTER: Duration = Duration::from_millis(40);

/// So long, after the search, a plan may be given room.
const ROOM_BUDGET: Duration = Duration::from_secs(4);

/// Search rounds that no budget of time uses up.
const ROUNDS_WITHOUT_END: u64 = u64::MAX;

/// A question.
#[derive(Debug, Clone)]
pub struct Question {
    /// Its number; a higher one cancels it.
    pub turn: u64,
    /// The evening as it now is.
    pub evening: Arc<Evening>,
    /// What has happened.
    pub situation: Situation,
    /// Why a plan is wanted, in words for the cook.
    pub why: String,
    /// How long the search may go on.
    pub budget: Duration,
}

/// An answer.
#[derive(Debug)]
pub struct Offer {
    /// The number of its question.
    pub turn: u64,
    /// Why it was wanted.
    pub why: String,
    /// The plan, checked; or in words why there is none.
    pub plan: Result<Box<Plan>, String>,
    /// No better one follows.
    pub last: bool,
}

/// A plan to be played forward as the evening stands.
#[derive(Debug, Clone)]
pub struct OddsQuestion {
    /// Its number.
    pub turn: u64,
    /// The evening as it now is.
    pub evening: Arc<Evening>,
    /// What has happened.
    pub situation: Situation,
    /// The plan on the screen.
    pub plan: Arc<Plan>,
}

/// What the planner's thread tells.
#[derive(Debug)]
pub enum Told {
    /// A plan, or why there is none.
    Offer(Offer),
    /// How the services fare: the number of the question, and the answer.
    Odds(u64, Forecast),
    /// How good this plan is known to be by now.
    Proof(Arc<Plan>, Proof),
    /// A better plan than this one, found while nothing was asked; checked for the moment at which it was begun.
    Better(Arc<Plan>, Box<Plan>),
}

/// Who plans when asked: a thread, or in a simulation what stands in for it. Answers come back as [`Told`].
pub trait Plans {
    /// Asks; whatever was asked before is dropped.
    fn ask(&self, question: Question);
    /// Asks how the services fare; whatever was asked of that before is dropped.
    fn ask_odds(&self, question: OddsQuestion);
}

/// The way to the planner's thread. Dropping it ends the thread.
pub struct Planner {
    shared: Arc<Shared>,
}

struct Shared {
    /// The latest question, if nobody works on it yet.
    desk: Mutex<Desk>,
    rung: Condvar,
    /// The number of the latest question; `u64::MAX` ends the thread.
    latest: AtomicU64,
}

/// What is to be done: a plan first, as the cook waits for it.
#[derive(Default)]
struct Desk {
    plan: Option<Question>,
    odds: Option<OddsQuestion>,
}

enum Work {
    Plan(Question),
    Odds(OddsQuestion),
}

impl Shared {
    fn desk(&self) -> MutexGuard<'_, Desk> {
        // A question is replaced whole, so a panic elsewhere cannot have left half of one.
        self.desk.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Planner {
    /// Starts the thread; `tell` is called on it with each answer.
    ///
    /// # Errors
    /// If the system gives no thread.
    pub fn start(tell: impl Fn(Told) + Send + Sync + 'static) -> std::io::Result<Self> {
        let shared = Arc::new(Shared {
            desk: Mutex::default(),
            rung: Condvar::new(),
            latest: AtomicU64::new(0),
        });
        let of_thread = Arc::clone(&shared);
        std::thread::Builder::new().name("planner".to_owned()).spawn(move || {
            let mut spare = idle::Idle::default();
            while let Some(work) = next(&of_thread) {
                match work {
                    Work::Plan(question) => {
                        spare.begin_anew();
                        answer(&of_thread, &question, spare.ready(&question.evening), &tell);
                    }
                    Work::Odds(question) => {
                        weigh(&question, &tell);
                        // The plan on the screen; nobody waits for anything now.
                        spare.use_it(&of_thread, &question, &tell);
                    }
                }
            }
        })?;
        Ok(Self { shared })
    }
}

impl Plans for Planner {
    fn ask(&self, question: Question) {
        self.shared.latest.store(question.turn, Ordering::SeqCst);
        self.shared.desk().plan = Some(question);
        self.shared.rung.notify_one();
    }

    fn ask_odds(&self, question: OddsQuestion) {
        self.shared.desk().odds = Some(question);
        self.shared.rung.notify_one();
    }
}

impl Drop for Planner {
    fn drop(&mut self) {
        self.shared.latest.store(u64::MAX, Ordering::SeqCst);
        // Taken and let go, so that the thread is either before its look at `latest` or waiting.
        drop(self.shared.desk());
        self.shared.rung.notify_one();
    }
}

fn next(shared: &Shared) -> Option<Work> {
    let mut desk = shared.desk();
    loop {
        if shared.latest.load(Ordering::SeqCst) == u64::MAX {
            return None;
        }
        if let Some(question) = desk.plan.take() {
            return Some(Work::Plan(question));
        }
        if let Some(question) = desk.odds.take() {
            return Some(Work::Odds(question));
        }
        desk = shared.rung.wait(desk).unwrap_or_else(PoisonError::into_inner);
    }
}

/// Plays a plan forward. A fault of the program leaves the cook without figures, no more.
fn weigh(question: &OddsQuestion, tell: &dyn Fn(Told)) {
    let OddsQuestion { turn, evening, situation, plan } = question;
    let played = || risk::forecast(evening, situation, plan, risk::SEED, risk::EVENINGS);
    if let Ok(odds) = catch_unwind(AssertUnwindSafe(played)) {
        tell(Told::Odds(*turn, odds));
    }
}

fn answer(shared: &Shared, question: &Question, ready: &[(Late, Plan)], tell: &dyn Fn(Told)) {
    let began = Instant::now();
    let is_latest = || shared.latest.load(Ordering::SeqCst) == question.turn;
    let send = |plan: Result<Plan, String>, last: bool| {
        if is_latest() {
            let (turn, why) = (question.turn, question.why.clone());
            tell(Told::Offer(Offer { turn, why, plan: plan.map(Box::new), last }));
        }
    };
    // A fault of the program must not take the plan on the screen away.
    let done = catch_unwind(AssertUnwindSafe(|| {
        plan(question, ready, &|limit| began.elapsed() >= limit || !is_latest(), &send);
    }));
    if done.is_err() {
        send(Err("planning failed by a fault of the program; the plan shown stays".into()), true);
    }
}

/// Plans twice: as well as can be in moments, then as well as can be in the
/// budget. Where no plan is on the screen the first one found is given out
/// before: an empty chart helps nobody.
fn plan(
    question: &Question,
    ready: &[(Late, Plan)],
    is_over: &(dyn Fn(Duration) -> bool + Sync),
    send: &dyn Fn(Result<Plan, String>, bool),
) {
    let planning = match Planning::new(&question.evening, &question.situation) {
        Ok(planning) => planning
            .by_two(may_do_both().then_some(&do_both))
            .with_ready(fitting(ready, &question.situation)),
        Err(no_plan) => return send(Err(clash::words(&question.evening, &no_plan)), true),
    };
    let mut warm = planning.shown();
    if warm.is_none()
        && let Ok((plan, schedule)) = planning.first()
    {
        warm = Some(schedule);
        send(Ok(plan), false);
    }
    for (limit, last) in [(FIRST_AFTER, false), (question.budget, true)] {
        let stop = || is_over(limit);
        let budget = Budget { seed: question.turn, rounds: ROUNDS_WITHOUT_END, stop: &stop };
        match planning.search(warm.as_ref(), &budget) {
            Ok((plan, schedule)) => {
                let enough = last || plan.proof == Proof::Best;
                let roomier =
                    enough && cushion::is_wanted(&question.evening, &question.situation, &plan);
                send(Ok(plan.clone()), enough && !roomier);
                if enough {
                    if roomier {
                        let found = (plan, schedule);
                        send(Ok(with_room(question, &planning, found, is_over)), true);
                    }
                    return;
                }
                warm = Some(schedule);
            }
            // Moments may not do for a beginning; nor may the plan from before a change be one at all.
            Err(no_plan) if !last && !no_plan.is_sure() => warm = None,
            Err(no_plan) => return send(Err(clash::words(&question.evening, &no_plan)), true),
        }
    }
}

/// Is there a second core for a second search?
fn may_do_both() -> bool {
    std::thread::available_parallelism().is_ok_and(|cores| cores.get() > 1)
}

/// Does two pieces of work side by side; one after the other if the system gives no thread.
fn do_both(one: &mut dyn FnMut(), other: &mut (dyn FnMut() + Send)) {
    let other = Mutex::new(other);
    let work = || (other.lock().unwrap_or_else(PoisonError::into_inner))();
    std::thread::scope(|scope| {
        let beside = std::thread::Builder::new().name("planner 2".to_owned());
        let begun = beside.spawn_scoped(scope, work);
        one();
        if begun.is_err() {
            work();
        }
    });
}

/// Gives a plan room (see [`cushion::is_wanted`]). Room once made is kept by every later plan.
fn with_room(
    question: &Question,
    planning: &Planning<'_>,
    found: (Plan, Schedule),
    is_over: &(dyn Fn(Duration) -> bool + Sync),
) -> Plan {
    let limit = question.budget + ROOM_BUDGET;
    let stop = || is_over(limit);
    let budget = Budget { seed: question.turn, rounds: cushion::ROOM_ROUNDS, stop: &stop };
    cushion::with_room(&question.evening, &question.situation, planning, found, &budget).plan
}

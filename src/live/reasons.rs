//! A thread that works out why a block stands where it does and what moves if
//! it runs late: slower than a key may be, and never in the way of a new plan.
//! A newer question cancels the one in work; answers come in pieces, the
//! reasons first.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::mpsc::{Receiver, Sender, channel};

use crate::kitchen::Evening;
use crate::plan::planner::Planning;
use crate::plan::why::{self, Answer, late};
use crate::plan::{Plan, Situation, StepKey};

/// A question about a block.
#[derive(Debug, Clone)]
pub struct Query {
    /// Its number; a higher one cancels it.
    pub turn: u64,
    /// The evening as it now is.
    pub evening: Arc<Evening>,
    /// What has happened.
    pub situation: Situation,
    /// The plan on the screen.
    pub plan: Arc<Plan>,
    /// The block.
    pub key: StepKey,
}

/// What is known so far.
#[derive(Debug)]
pub struct Reasoned {
    /// The number of the question.
    pub turn: u64,
    /// The answer as far as it goes.
    pub answer: Arc<Answer>,
}

/// Who explains blocks when asked: a thread, or in a simulation what stands in for it.
pub trait Explains {
    /// Asks; whatever was asked before is dropped.
    fn ask(&self, query: Query);
    /// Drops what was asked.
    fn hush(&self, turn: u64);
}

/// The way to the thread. Dropping it ends the thread.
pub struct Reasoner {
    sender: Sender<Query>,
    latest: Arc<AtomicU64>,
}

impl Reasoner {
    /// Starts the thread; `tell` is called on it with each piece of an answer.
    ///
    /// # Errors
    /// If the system gives no thread.
    pub fn start(tell: impl Fn(Reasoned) + Send + 'static) -> std::io::Result<Self> {
        let (sender, receiver) = channel();
        let latest = Arc::new(AtomicU64::new(0));
        let of_thread = Arc::clone(&latest);
        let run = move || work(&receiver, &of_thread, &tell);
        std::thread::Builder::new().name("reasons".to_owned()).spawn(run)?;
        Ok(Self { sender, latest })
    }
}

impl Explains for Reasoner {
    fn ask(&self, query: Query) {
        self.latest.store(query.turn, Ordering::SeqCst);
        // A thread that is gone has nothing to say: the page goes on without it.
        let _ = self.sender.send(query);
    }

    fn hush(&self, turn: u64) {
        self.latest.store(turn, Ordering::SeqCst);
    }
}

impl Drop for Reasoner {
    fn drop(&mut self) {
        self.latest.store(u64::MAX, Ordering::SeqCst);
    }
}

fn work(queries: &Receiver<Query>, latest: &AtomicU64, tell: &dyn Fn(Reasoned)) {
    while let Ok(query) = queries.recv() {
        let stale = || latest.load(Ordering::SeqCst) != query.turn;
        if stale() {
            continue;
        }
        // A fault of the program here must not take the evening with it.
        let done = catch_unwind(AssertUnwindSafe(|| answer(&query, &stale, tell)));
        if done.is_err() && !stale() {
            let answer = Answer { done: true, ..Answer::new(query.key) };
            tell(Reasoned { turn: query.turn, answer: Arc::new(answer) });
        }
    }
}

fn answer(query: &Query, stale: &(dyn Fn() -> bool + Sync), tell: &dyn Fn(Reasoned)) {
    let (evening, situation) = (&query.evening, &query.situation);
    let mut known = Answer::new(query.key);
    let send = |known: &Answer| {
        if !stale() {
            tell(Reasoned { turn: query.turn, answer: Arc::new(known.clone()) });
        }
    };
    let mut plan = Arc::clone(&query.plan);
    if let Ok(planning) = Planning::new(evening, situation) {
        // A slip too small for a new plan leaves one that does not quite fit: what
        // is explained then is the same plan, pushed along.
        if planning.check(&plan).is_err()
            && let Ok((pushed, _)) = planning.first()
        {
            plan = Arc::new(pushed);
        }
        known.why = why::why(&planning, &plan, query.key, &stale).map(Box::new);
    }
    known.done = known.why.is_none();
    send(&known);
    if known.done {
        return;
    }
    known.late = late::all(evening, situation, &plan, query.key, stale).unwrap_or_default();
    known.done = true;
    send(&known);
}

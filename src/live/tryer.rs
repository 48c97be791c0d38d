//! The thread that works out ways out and tries, beside the planner's: the screen
//! asks, goes on, and is told piece by piece. A newer question cancels the one in
//! work; each piece carries the number of its question.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Condvar, Mutex, MutexGuard, PoisonError};

use crate::kitchen::Evening;
use crate::mise::knife::board;
use crate::plan::Situation;
use crate::plan::ways::{self, Ask, Change, News, Tried};

/// Rounds of improvement for each plan: some tens of milliseconds, so that a page
/// full of them is there in seconds, and the same every time.
const ROUNDS: u64 = 400;

/// The seed of all of them.
const SEED: u64 = 1;

/// What is wanted.
#[derive(Debug, Clone)]
pub enum Wish {
    /// What clashes, and the ways out.
    Ways,
    /// What would come of changes: place in the list, and the changes.
    Tries(Vec<(usize, Vec<Change>)>),
}

/// A question.
#[derive(Debug, Clone)]
pub struct Query {
    /// Its number; a higher one cancels it.
    pub turn: u64,
    /// The evening as it now is.
    pub evening: Arc<Evening>,
    /// What has happened.
    pub situation: Situation,
    /// What is wanted of it.
    pub wish: Wish,
}

/// A piece of an answer, with the number of its question.
#[derive(Debug)]
pub struct Piece {
    /// The number of the question.
    pub turn: u64,
    /// What came to light.
    pub what: Found,
}

/// What came to light.
#[derive(Debug)]
pub enum Found {
    /// About ways out.
    News(News),
    /// What came of the try at a place in the list.
    Tried(usize, Tried),
    /// Nothing more comes. True: by a fault of the program.
    Done(bool),
}

/// Who works out ways out and tries when asked: a thread, or in a simulation what stands in for it.
pub trait Tries {
    /// Asks; whatever was asked before is dropped.
    fn ask(&self, query: Query);
    /// Ends what is being worked out: nobody looks at it any more.
    fn rest(&self, turn: u64);
}

/// The way to the thread. Dropping it ends the thread.
pub struct Tryer {
    shared: Arc<Shared>,
}

struct Shared {
    /// The latest question, if nobody works on it yet.
    desk: Mutex<Option<Query>>,
    rung: Condvar,
    /// The number of the latest question; `u64::MAX` ends the thread.
    latest: AtomicU64,
}

impl Shared {
    fn desk(&self) -> MutexGuard<'_, Option<Query>> {
        // A question is replaced whole, so a panic elsewhere cannot have left half of one.
        self.desk.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Tryer {
    /// Starts the thread; `tell` is called on it with each piece.
    ///
    /// # Errors
    /// If the system gives no thread.
    pub fn start(tell: impl Fn(Piece) + Send + 'static) -> std::io::Result<Self> {
        let shared = Arc::new(Shared {
            desk: Mutex::new(None),
            rung: Condvar::new(),
            latest: AtomicU64::new(0),
        });
        let of_thread = Arc::clone(&shared);
        std::thread::Builder::new().name("tryer".to_owned()).spawn(move || {
            while let Some(query) = next(&of_thread) {
                answer(&of_thread, &query, &tell);
            }
        })?;
        Ok(Self { shared })
    }
}

impl Tries for Tryer {
    fn ask(&self, query: Query) {
        self.shared.latest.store(query.turn, Ordering::SeqCst);
        *self.shared.desk() = Some(query);
        self.shared.rung.notify_one();
    }

    fn rest(&self, turn: u64) {
        self.shared.latest.store(turn, Ordering::SeqCst);
        *self.shared.desk() = None;
    }
}

impl Drop for Tryer {
    fn drop(&mut self) {
        self.shared.latest.store(u64::MAX, Ordering::SeqCst);
        // Taken and let go, so that the thread is either before its look at `latest` or waiting.
        drop(self.shared.desk());
        self.shared.rung.notify_one();
    }
}

fn next(shared: &Shared) -> Option<Query> {
    let mut desk = shared.desk();
    loop {
        if shared.latest.load(Ordering::SeqCst) == u64::MAX {
            return None;
        }
        if let Some(query) = desk.take() {
            return Some(query);
        }
        desk = shared.rung.wait(desk).unwrap_or_else(PoisonError::into_inner);
    }
}

fn answer(shared: &Shared, query: &Query, tell: &dyn Fn(Piece)) {
    let is_latest = || shared.latest.load(Ordering::SeqCst) == query.turn;
    let send = |what: Found| {
        if is_latest() {
            tell(Piece { turn: query.turn, what });
        }
    };
    // A fault of the program must not take the evening away.
    let done = catch_unwind(AssertUnwindSafe(|| work(query, &|| !is_latest(), &send)));
    send(Found::Done(done.is_err()));
}

fn work(query: &Query, stop: &(dyn Fn() -> bool + Sync), send: &dyn Fn(Found)) {
    let Query { evening, situation, wish, .. } = query;
    let ask = Ask { evening, situation, seed: SEED, rounds: ROUNDS, stop, settle: board::settle };
    match wish {
        Wish::Ways => {
            let _ = ways::ways_out(&ask, &mut |news| send(Found::News(news)));
        }
        Wish::Tries(tries) => {
            for (place, changes) in tries {
                if stop() {
                    return;
                }
                send(Found::Tried(*place, ways::tries::attempt(&ask, changes)));
            }
        }
    }
}

//! While nothing is asked the planner goes on, on its own thread: first it looks for a better plan than the one on
//! the screen, then makes plans ready for what may soon be late (`plan/ready.rs`), then looks for the proof that none
//! is better, then makes what is ready better; in small pieces with rests between, and it gives way at once.
//!
//! A first plan is wanted within seconds and a reshuffle within one, but between two marks there are minutes, and
//! before the evening days. What is found then is what the next reshuffle starts from.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::atomic::Ordering;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use super::{Desk, OddsQuestion, Shared, Told, weigh};
use crate::kitchen::Evening;
use crate::plan::judge::judge;
use crate::plan::planner::{Budget, NoPlan, Planning};
use crate::plan::pursuit::Pursuit;
use crate::plan::ready::{HELPINGS, Late, likely};
use crate::plan::risk::cushion;
use crate::plan::{Plan, Proof, Schedule};

/// Work of one piece of a proof: some tens of milliseconds.
const PIECE: u64 = 150_000;
/// A search works so long before it rests.
const SLICE: Duration = Duration::from_millis(25);
/// It rests so many times as long as it worked, so that it takes a third of a core.
const RESTS: u32 = 2;
/// It looks for better plans for so long after a question while the evening lies ahead, and no longer.
const MOST_SEARCH: Duration = Duration::from_secs(40);
/// And so long once it has begun: the next mark asks anew, and there is less left to be planned.
const MOST_SEARCH_BEGUN: Duration = Duration::from_secs(15);
/// It works so long on the first helping of one plan made ready.
const FIRST_HELPING: Duration = Duration::from_millis(700);
/// For so many things that may be late plans are made ready.
const READY: usize = 14;
/// So many plans are kept, those from before as far as there is room.
const KEPT: usize = 2 * READY;
/// It works so long on one proof and no longer: what is not proved by then hardly ever is later, and
/// a laptop on its battery has an evening to last.
const MOST_PROOF: Duration = Duration::from_secs(60);
/// What has not been proved after so long of it waits until what is ready has been made better.
const SOON_PROVED: Duration = Duration::from_secs(10);
/// It begins when nothing was asked for so long: laying out a large evening takes some
/// milliseconds in which it cannot give way.
const QUIET: Duration = Duration::from_millis(400);
/// The shortest rest.
const SHORTEST_REST: Duration = Duration::from_millis(5);
/// A better plan is told if it saves more than one part in so many: less is not worth a move on the screen.
const WORTH_TELLING: i64 = 100;

/// What was done while nothing was asked.
#[derive(Default)]
pub(super) struct Idle {
    /// Of this plan no more will be known.
    done: Option<Arc<Plan>>,
    /// How long better plans were looked for since the last question.
    searched: Duration,
    ready: Ready,
}

/// Plans for what may soon be late, the latest first.
#[derive(Default)]
struct Ready {
    plans: Vec<(Late, Plan)>,
    /// The evening that they are for.
    evening: Option<Arc<Evening>>,
    /// The plan on the screen that they were made from, and what was tried for it in which helping.
    made_from: Option<Arc<Plan>>,
    tried: Vec<(Late, usize)>,
}

/// A proof as far as it has come.
struct Proving<'a> {
    /// None: nothing can be proved.
    pursuit: Option<Pursuit<'a>>,
    told: Proof,
    worked: Duration,
}

impl Idle {
    /// Something else is planned: there may be more to find.
    pub fn begin_anew(&mut self) {
        self.searched = Duration::ZERO;
    }

    /// Plans to begin from, made ready for an evening; none if it was changed since.
    pub fn ready(&self, evening: &Arc<Evening>) -> &[(Late, Plan)] {
        let same = self.ready.evening.as_ref().is_some_and(|e| Arc::ptr_eq(e, evening));
        if same { &self.ready.plans } else { &[] }
    }

    /// Works on the plan that was asked about, until something else is asked.
    pub fn use_it(
        &mut self,
        shared: &Shared,
        question: &OddsQuestion,
        tell: &(dyn Fn(Told) + Sync),
    ) {
        let plan = &question.plan;
        let known = self.done.as_ref().is_some_and(|done| Arc::ptr_eq(done, plan));
        let work = Work { shared, question, tell, open: !known && plan.proof != Proof::Best };
        // A fault of the program leaves the cook without a figure, no more.
        let all =
            catch_unwind(AssertUnwindSafe(|| work.go_on(&mut self.searched, &mut self.ready)));
        if all.unwrap_or(true) {
            self.done = Some(Arc::clone(plan));
        }
    }
}

/// What is worked on.
struct Work<'a> {
    shared: &'a Shared,
    question: &'a OddsQuestion,
    tell: &'a (dyn Fn(Told) + Sync),
    /// A better plan may be found, or a proof.
    open: bool,
}

/// A stretch of work without a rest.
struct Stretch {
    began: Instant,
    /// All before it.
    worked: Duration,
}

impl Work<'_> {
    /// True: all was done that will be.
    fn go_on(&self, searched: &mut Duration, ready: &mut Ready) -> bool {
        let OddsQuestion { evening, situation, .. } = self.question;
        self.rest(QUIET);
        if !self.gives_way() {
            return false;
        }
        let open = self.open.then(|| Planning::new(evening, situation).ok()).flatten();
        let mut proving = None;
        let mut prove = |most| {
            let planning = open.as_ref();
            planning.is_none_or(|planning| self.prove(planning, &mut proving, most))
        };
        open.as_ref().is_none_or(|planning| self.search(planning, searched))
            && self.make_ready(ready, 0)
            && prove(SOON_PROVED)
            && (1..HELPINGS.len()).all(|helping| self.make_ready(ready, helping))
            && prove(MOST_PROOF)
    }

    /// Works out plans for what may soon be late, one helping of each. False: something else is asked.
    fn make_ready(&self, ready: &mut Ready, helping: usize) -> bool {
        let Some(&(whence, share)) = HELPINGS.get(helping) else { return true };
        let OddsQuestion { evening, situation, plan, .. } = self.question;
        if ready.evening.as_ref().is_none_or(|e| !Arc::ptr_eq(e, evening)) {
            *ready = Ready { evening: Some(Arc::clone(evening)), ..Ready::default() };
        }
        if ready.made_from.as_ref().is_none_or(|from| !Arc::ptr_eq(from, plan)) {
            ready.made_from = Some(Arc::clone(plan));
            ready.tried.clear();
        }
        for late in likely(situation, plan).into_iter().take(READY) {
            if ready
                .tried
                .iter()
                .any(|(tried, in_this)| *in_this == helping && tried.is_like(&late))
            {
                continue;
            }
            let mut best = false;
            let then = late.then(evening, situation, plan);
            if let Ok(planning) = Planning::new(evening, &then) {
                let planning = planning.with_ready(whence.of(&ready.plans, &late, &then));
                let warm = planning.schedule_of(plan);
                let (lasts, seed) = (FIRST_HELPING * share, helping as u64);
                if let (Ok((found, _)), _) = self.search_at_rest(&planning, &warm, lasts, seed) {
                    best = found.proof == Proof::Best;
                    whence.keep(&mut ready.plans, late, found);
                    ready.plans.truncate(KEPT);
                }
                if !self.gives_way() {
                    return false;
                }
            }
            // What nothing is better than needs no more of them.
            let done = if best { helping..HELPINGS.len() } else { helping..helping + 1 };
            ready.tried.extend(done.map(|of| (late, of)));
        }
        true
    }

    /// Searches from a schedule on, with rests, for so long or until something is asked; and says how long it worked.
    fn search_at_rest(
        &self,
        planning: &Planning<'_>,
        from: &Schedule,
        limit: Duration,
        seed: u64,
    ) -> (Result<(Plan, Schedule), NoPlan>, Duration) {
        let stretch = Mutex::new(Stretch { began: Instant::now(), worked: Duration::ZERO });
        let stop = || self.takes_a_rest(&stretch, limit);
        let seed = self.question.plan.cost.total().unsigned_abs().wrapping_add(seed);
        let budget = Budget { seed, rounds: u64::MAX, stop: &stop };
        let found = planning.search(Some(from), &budget);
        let stretch = stretch.into_inner().unwrap_or_else(PoisonError::into_inner);
        (found, stretch.worked + stretch.began.elapsed())
    }

    /// Looks for a better plan. False: one was told, or something else is asked.
    fn search(&self, planning: &Planning<'_>, searched: &mut Duration) -> bool {
        let plan = &self.question.plan;
        let shown = planning.schedule_of(plan);
        // What breaks a rule by now is not looked at: a new plan will be asked for.
        let Ok(cost) = judge(planning.problem(), &shown) else { return true };
        let begun = !self.question.situation.begun.is_empty();
        let most = if begun { MOST_SEARCH_BEGUN } else { MOST_SEARCH };
        let limit = most.saturating_sub(*searched);
        if limit.is_zero() {
            return true;
        }
        let (found, worked) = self.search_at_rest(planning, &shown, limit, 0);
        *searched += worked;
        if !self.gives_way() {
            return false;
        }
        let Ok((better, _)) = found else { return true };
        let saved = cost.total().saturating_sub(better.cost.total());
        let OddsQuestion { evening, situation, .. } = self.question;
        // What saves a wait and makes a service less sure is no gain.
        let surer =
            || cushion::is_better(evening, situation, (&better, &better.cost), (plan, &cost));
        if saved <= cost.total() / WORTH_TELLING || !surer() {
            return true;
        }
        (self.tell)(Told::Better(Arc::clone(plan), Box::new(better)));
        false
    }

    /// Rests where it has worked long enough. True: the search is to end.
    fn takes_a_rest(&self, stretch: &Mutex<Stretch>, limit: Duration) -> bool {
        let mut stretch = stretch.lock().unwrap_or_else(PoisonError::into_inner);
        let took = stretch.began.elapsed();
        if took >= SLICE {
            stretch.worked += took;
            self.rest(took * RESTS);
            stretch.began = Instant::now();
        }
        stretch.worked >= limit || !self.gives_way()
    }

    /// Works on the proof, for so long in all. True: all was done that will be.
    fn prove<'p>(
        &self,
        planning: &'p Planning<'_>,
        proving: &mut Option<Proving<'p>>,
        most: Duration,
    ) -> bool {
        let plan = &self.question.plan;
        let Proving { pursuit, told, worked } = proving.get_or_insert_with(|| Proving {
            pursuit: Pursuit::of(planning, plan),
            told: plan.proof,
            worked: Duration::ZERO,
        });
        let Some(pursuit) = pursuit else { return true };
        let is_asked = || self.shared.desk().is_asked() || has_ended(self.shared);
        while !pursuit.is_over() && *worked < most {
            let began = Instant::now();
            pursuit.go_on(PIECE, &is_asked);
            let took = began.elapsed();
            *worked += took;
            let known = pursuit.known();
            if is_news(*told, known) {
                *told = known;
                (self.tell)(Told::Proof(Arc::clone(plan), known));
            }
            if pursuit.is_over() {
                break;
            }
            self.rest((took * RESTS).max(SHORTEST_REST));
            if !self.gives_way() {
                return false;
            }
        }
        true
    }

    /// Waits for so long, or until something is asked.
    fn rest(&self, time: Duration) {
        let desk = self.shared.desk();
        if !desk.is_asked() && !has_ended(self.shared) {
            let rung = &self.shared.rung;
            drop(rung.wait_timeout(desk, time).unwrap_or_else(PoisonError::into_inner));
        }
    }

    /// Answers how the same plan fares, if that is asked. False: something else is asked.
    fn gives_way(&self) -> bool {
        if has_ended(self.shared) {
            return false;
        }
        let mut desk = self.shared.desk();
        let other = |o: &OddsQuestion| !Arc::ptr_eq(&o.plan, &self.question.plan);
        if desk.plan.is_some() || desk.odds.as_ref().is_some_and(other) {
            return false;
        }
        let odds = desk.odds.take();
        drop(desk);
        if let Some(odds) = odds {
            weigh(&odds, self.tell);
        }
        true
    }
}

/// Is it more than was said, by a hundredth at least?
fn is_news(told: Proof, known: Proof) -> bool {
    match (told, known) {
        (Proof::Best, _) | (_, Proof::Stopped) => false,
        (_, Proof::Best) | (Proof::Stopped, _) => true,
        (Proof::WithinPermille(told), Proof::WithinPermille(known)) => {
            known.div_ceil(10) < told.div_ceil(10)
        }
    }
}

fn has_ended(shared: &Shared) -> bool {
    shared.latest.load(Ordering::SeqCst) == u64::MAX
}

impl Desk {
    fn is_asked(&self) -> bool {
        self.plan.is_some() || self.odds.is_some()
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Condvar;
    use std::sync::atomic::AtomicU64;

    use super::super::Question;
    use super::*;
    use crate::kitchen::Clockface;
    use crate::plan::planner::plan_ahead;
    use crate::plan::{Situation, sample};
    use crate::store::load::load_builtin;

    fn shared() -> Shared {
        Shared { desk: Mutex::default(), rung: Condvar::new(), latest: AtomicU64::new(1) }
    }

    /// A plan of the demo's without any search, asked about.
    fn question() -> OddsQuestion {
        let day = chrono::NaiveDate::from_ymd_opt(2026, 10, 24).unwrap();
        let evening = load_builtin(Clockface::fixed(day, 7_200)).unwrap();
        let (evening, situation) = (Arc::new(evening), Situation::default());
        let planning = Planning::new(&evening, &situation).expect("a problem");
        let plan = Arc::new(planning.first().expect("a plan").0);
        drop(planning);
        OddsQuestion { turn: 1, evening, situation, plan }
    }

    /// What is told while nothing else is asked.
    fn told(shared: &Shared, question: &OddsQuestion) -> Vec<Told> {
        let told = Mutex::new(Vec::new());
        Idle::default().use_it(shared, question, &|one| told.lock().unwrap().push(one));
        told.into_inner().unwrap()
    }

    #[test]
    fn a_better_plan_is_found_while_nothing_is_asked() {
        let question = question();
        let told = told(&shared(), &question);
        let [Told::Better(than, better)] = told.as_slice() else { panic!("{told:?}") };
        assert!(Arc::ptr_eq(than, &question.plan));
        assert!(better.cost.total() < question.plan.cost.total());
        let planning = Planning::new(&question.evening, &question.situation).expect("a problem");
        assert!(planning.check(better).is_ok());
    }

    #[test]
    fn plans_are_made_ready_for_what_may_be_late() {
        let evening = Arc::new(sample::evening());
        let budget = Budget { seed: 1, rounds: 400, stop: &|| false };
        let plan = plan_ahead(&evening, &budget, &mut |_| ()).expect("a plan");
        let first = plan.blocks.iter().map(|b| b.start).min().expect("blocks");
        let plan = Arc::new(plan);
        let situation = Situation {
            now: Some(first),
            previous: Some(Arc::clone(&plan)),
            ..Situation::default()
        };
        let question = OddsQuestion { turn: 1, evening: Arc::clone(&evening), situation, plan };
        let (mut idle, shared) = (Idle::default(), shared());
        assert!(idle.ready(&evening).is_empty());
        idle.use_it(&shared, &question, &|_| ());
        let wanted = likely(&question.situation, &question.plan).len().min(READY);
        assert!(wanted > 0);
        assert_eq!(idle.ready(&evening).len(), wanted);
        for helping in 0..HELPINGS.len() {
            let given = idle.ready.tried.iter().filter(|(_, of)| *of == helping).count();
            assert_eq!(given, wanted, "in helping {helping}");
        }
        let made = idle.ready(&evening).to_vec();
        idle.use_it(&shared, &question, &|_| ());
        assert_eq!(idle.ready(&evening), made, "for the same once only");
        assert!(idle.ready(&Arc::new(sample::evening())).is_empty(), "not for another evening");
    }

    #[test]
    fn a_question_ends_it_at_once() {
        let (shared, question) = (shared(), question());
        shared.desk().plan = Some(Question {
            turn: 2,
            evening: Arc::clone(&question.evening),
            situation: Situation::default(),
            why: "the soup is late".to_owned(),
            budget: Duration::ZERO,
        });
        assert!(told(&shared, &question).is_empty());
        assert!(shared.desk().plan.is_some(), "it is left for the planner");
    }

    #[test]
    fn what_is_told_gets_better_only() {
        let within = Proof::WithinPermille;
        assert!(is_news(Proof::Stopped, within(900)) && is_news(within(1), Proof::Best));
        assert!(is_news(within(41), within(31)) && !is_news(within(40), within(31)));
        assert!(!is_news(within(30), within(41)) && !is_news(within(30), Proof::Stopped));
        assert!(!is_news(Proof::Best, within(0)));
    }
}

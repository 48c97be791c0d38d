//! What is asked of the planner and the other threads, when, and what is made of
//! their answers.

use std::sync::Arc;
use std::time::Duration;

use super::{Pass, real_ms};
use crate::live::clock::Ticks;
use crate::live::planner::{OddsQuestion, Offer, Question, Told};
use crate::live::reasons::{Query, Reasoned};
use crate::plan::planner::Planning;
use crate::plan::{Plan, StepKey, change, why};
use crate::run::{self, Event};

/// How long the search may go on after a key was pressed or something drifted.
const RESHUFFLE_BUDGET: Duration = Duration::from_millis(1200);
/// How long it may go on in quick time, whose clock is held meanwhile. The demo's plan is as
/// good as it gets after half of it (DEVELOPERS.md).
const QUICK_BUDGET: Duration = Duration::from_millis(500);
/// A quick clock is held for no longer than this while a plan is made (real ms).
const HELD_AT_MOST_MS: i64 = 3_000;
/// How long it may go on for the first plan of an evening.
const FIRST_BUDGET: Duration = Duration::from_secs(4);
/// Without a mark in between, the same wish for a plan is asked again no sooner (real ms).
const ASK_AGAIN_MS: i64 = 900;
/// Without a mark or another plan, the chances are asked again no sooner (real ms).
const ODDS_AGAIN_MS: i64 = 5_000;
/// While time goes on, the same block is explained anew no sooner (real ms).
const REASON_AGAIN_MS: i64 = 10_000;
/// A later plan of the same question is taken if it saves at least one part in so many.
const WORTH_A_MOVE: i64 = 200;

/// Why the plan changes though nothing happened.
pub const FOUND: &str = "a better plan was found";

/// Begins what is said while no plan meets every demand.
pub(super) const NO_PLAN: &str = "No plan meets all of it";

/// The question that the planner works on, or worked on last.
#[derive(Debug, Clone, Default)]
pub(super) struct Asked {
    pub turn: u64,
    pub open: bool,
    pub at_real_ms: i64,
    /// How many marks there were.
    pub marks: u64,
    /// The plan on the screen when it was asked.
    pub before: Option<Arc<Plan>>,
    pub adopted: bool,
}

impl Asked {
    /// Whatever is still answered to it comes too late.
    pub fn drop_it(&mut self) {
        self.turn += 1;
        self.open = false;
    }
}

/// The question about a block that was put last.
#[derive(Debug, Clone, Default)]
pub(super) struct Inquiry {
    pub turn: u64,
    pub key: Option<StepKey>,
    /// The plan on the screen when it was put.
    pub plan: Option<Arc<Plan>>,
    /// How many marks there were.
    pub marks: u64,
    pub at_real_ms: i64,
}

/// What was last asked about the chances of the services.
#[derive(Debug, Clone, Default)]
pub(super) struct AskedOdds {
    pub turn: u64,
    pub at_real_ms: i64,
    /// How many marks there were.
    pub marks: u64,
    /// The party's minute.
    pub minute: crate::kitchen::Minute,
    /// The plan that was played forward.
    pub plan: Option<Arc<Plan>>,
}

impl Pass {
    /// Takes what the planner's thread tells.
    pub fn told(&mut self, told: Told) {
        match told {
            Told::Offer(offer) => self.offer(offer),
            // An answer to an older question is not shown: another is on its way.
            Told::Odds(turn, odds) if turn == self.odds.turn => self.status.odds = Some(odds),
            Told::Odds(..) => {}
            Told::Proof(plan, proof) => {
                let in_force = self.state.facts().plan.as_ref();
                if in_force.is_some_and(|p| Arc::ptr_eq(&p.plan, &plan)) {
                    self.status.proof = proof;
                }
            }
            Told::Better(than, plan) => self.take_better(&than, *plan),
        }
    }

    /// Takes a plan that was found while nothing was asked, if the one it is better than still is the plan, and if it
    /// keeps every rule and is the better one as the evening stands by now: something may have been marked meanwhile.
    fn take_better(&mut self, than: &Arc<Plan>, plan: Plan) {
        let ticks = self.clocks.now();
        self.notice_sleep(ticks);
        let in_force = self.state.plan().is_some_and(|shown| Arc::ptr_eq(shown, than));
        let quick = self.time.speed() > 1;
        if !in_force || quick || self.question.open || !self.book.leads() {
            return;
        }
        let situation = self.state.situation(self.time.now_ms(ticks));
        let planning = Planning::new(self.state.evening(), &situation);
        let is_better = |planning: &Planning<'_>| {
            let cost = |plan: &Plan| planning.cost_of(plan).ok().map(|cost| cost.total());
            cost(&plan).zip(cost(than)).is_some_and(|(new, shown)| new < shown)
        };
        if planning.is_ok_and(|planning| is_better(&planning) && planning.check(&plan).is_ok()) {
            self.question.before = Some(Arc::clone(than));
            self.question.adopted = false;
            self.adopt(plan, FOUND, ticks);
            self.settle(ticks);
        }
    }

    /// Asks how the services fare: after each mark and each plan, and as time
    /// goes by. What is shown is of the plan in force and not older than that.
    pub(super) fn ask_odds(&mut self, now_ms: i64, ticks: Ticks) {
        let Some(in_force) = &self.state.facts().plan else {
            self.status.odds = None;
            return;
        };
        let (real, marks, minute) =
            (real_ms(ticks), self.state.next_seq(), self.state.minute(now_ms));
        let plan = Arc::clone(&in_force.plan);
        let same = |asked: &Arc<Plan>| Arc::ptr_eq(asked, &plan);
        let other_plan = !self.odds.plan.as_ref().is_some_and(same);
        if other_plan {
            self.status.odds = None;
            self.status.proof = plan.proof;
        }
        let later = minute != self.odds.minute && real >= self.odds.at_real_ms + ODDS_AGAIN_MS;
        if !(other_plan || marks != self.odds.marks || later) {
            return;
        }
        let turn = self.odds.turn + 1;
        let asked = Some(Arc::clone(&plan));
        self.odds = AskedOdds { turn, at_real_ms: real, marks, minute, plan: asked };
        self.planner.ask_odds(OddsQuestion {
            turn,
            evening: Arc::clone(self.state.evening()),
            situation: self.state.situation(now_ms),
            plan,
        });
    }

    /// Takes a plan that the planner offers, if it still answers the question.
    pub fn offer(&mut self, offer: Offer) {
        let ticks = self.clocks.now();
        self.notice_sleep(ticks);
        if offer.turn != self.question.turn {
            return;
        }
        self.question.open = !offer.last;
        match offer.plan {
            Ok(plan) if self.state.next_seq() == self.question.marks => {
                if offer.last || !self.is_a_setback(&plan) {
                    self.adopt(*plan, &offer.why, ticks);
                }
            }
            // Marked in the meantime: `settle` asks anew if that is wanted.
            Ok(_) => self.question.open = false,
            // Nor is what is said of the evening as it was of the one that it is now.
            Err(_) if self.state.next_seq() != self.question.marks => self.question.open = false,
            Err(words) => {
                self.without_plan = true;
                let words = format!("{NO_PLAN}: {words}");
                if self.status.trouble.as_deref().is_none_or(|t| !t.starts_with("NOT")) {
                    self.status.trouble = Some(words);
                }
            }
        }
        self.settle(ticks);
    }

    /// Does a plan made in moments make a service late that the one on the screen does not? Then
    /// the better one that follows within a second or so is worth waiting for: an alarm
    /// that comes and goes by itself helps nobody.
    fn is_a_setback(&self, plan: &Plan) -> bool {
        let late = |plan: &Plan| -> i64 {
            let of = |line: &crate::plan::ServiceLine| {
                let served = line.dishes.iter().map(|d| d.2).max().unwrap_or(line.due);
                i64::from(served.saturating_sub(line.due).max(0))
            };
            plan.services.iter().map(of).sum()
        };
        self.state.plan().is_some_and(|shown| late(plan) > late(shown))
    }

    /// Takes what was worked out about a block, if it is still what is asked.
    /// What was known stays while the plan is being put right.
    pub fn reasoned(&mut self, told: Reasoned) {
        let same = |a: &Arc<why::Answer>| a.key == told.answer.key;
        let known = self.status.why.as_ref().filter(|a| same(a)).is_some_and(|a| a.done);
        let news = told.answer.done || !known;
        if told.turn == self.inquiry.turn && news && (told.answer.why.is_some() || !known) {
            self.status.why = Some(told.answer);
        }
    }

    /// Asks for what the opened explanation shows, and again when the plan or the marks change.
    pub(super) fn inquire(&mut self, now_ms: i64, ticks: Ticks) {
        let key = self.ui.why_key(&self.scene());
        let (Some(key), Some(plan)) = (key, self.state.plan().cloned()) else {
            if self.inquiry.key.take().is_some() {
                self.inquiry.turn += 1;
                self.reasoner.hush(self.inquiry.turn);
                self.status.why = None;
            }
            return;
        };
        let (asked, marks, real) = (&self.inquiry, self.state.next_seq(), real_ms(ticks));
        let other = asked.key != Some(key);
        let changed =
            asked.marks != marks || asked.plan.as_ref().is_none_or(|p| !Arc::ptr_eq(p, &plan));
        let old = real >= asked.at_real_ms.saturating_add(REASON_AGAIN_MS);
        if !(other || changed || old) {
            return;
        }
        if other {
            self.status.why = None;
        }
        let turn = asked.turn + 1;
        let of_plan = Some(Arc::clone(&plan));
        self.inquiry = Inquiry { turn, key: Some(key), plan: of_plan, marks, at_real_ms: real };
        self.reasoner.ask(Query {
            turn,
            evening: Arc::clone(self.state.evening()),
            situation: self.state.situation(now_ms),
            plan,
            key,
        });
    }

    pub(super) fn adopt(&mut self, plan: Plan, why: &str, ticks: Ticks) {
        if self.question.adopted
            && let Some(now) = self.state.plan()
        {
            let saved = now.cost.total().saturating_sub(plan.cost.total());
            let known_better = plan.bound > now.bound || plan.proof != now.proof;
            let same = now.blocks == plan.blocks && now.holds == plan.holds;
            let same_room = now.room == plan.room;
            let little = saved <= now.cost.total().abs() / WORTH_A_MOVE;
            if same_room && little && !(same && known_better) {
                return;
            }
        }
        let change = match &self.question.before {
            Some(before) => change::describe(self.state.evening(), before, &plan, why),
            None => crate::plan::Change::default(),
        };
        let event =
            Event::PlanAdopted { plan: Box::new(plan), moved: change.moved, why: change.why };
        if self.mark(event, ticks).is_some() {
            self.without_plan = false;
            self.question.adopted = true;
            self.question.marks = self.state.next_seq();
            self.is_over(NO_PLAN);
        }
    }

    /// Holds a quick clock while a plan is made.
    pub(super) fn wait_for_the_plan(&mut self, ticks: Ticks) {
        let until = self.held_until_ms();
        self.time.hold(until.is_some_and(|until| real_ms(ticks) < until), ticks);
    }

    /// Until when (real ms) a quick clock is held, if a plan is being made.
    pub(super) fn held_until_ms(&self) -> Option<i64> {
        let asked = &self.question;
        asked.open.then(|| asked.at_real_ms.saturating_add(HELD_AT_MOST_MS))
    }

    pub(super) fn ask(&mut self, now_ms: i64, ticks: Ticks) {
        self.wait_for_the_leader(now_ms, ticks);
        if !self.book.leads() {
            self.question.open = false;
            return;
        }
        let marks = self.state.next_seq();
        let real = real_ms(ticks);
        let marked_since = marks != self.question.marks;
        let waits = !marked_since && real < self.question.at_real_ms.saturating_add(ASK_AGAIN_MS);
        if waits || (self.question.open && !marked_since) {
            return;
        }
        let Some(why) = run::needs_reshuffle(&self.state, now_ms) else {
            self.question.open &= !marked_since;
            // The plan on the screen does after all: what was missing was marked.
            self.without_plan = false;
            self.is_over(NO_PLAN);
            return;
        };
        let before = self.state.plan().cloned();
        let budget = match &before {
            Some(_) if self.time.speed() > 1 => QUICK_BUDGET,
            Some(_) => RESHUFFLE_BUDGET,
            None => FIRST_BUDGET,
        };
        self.question = Asked {
            turn: self.question.turn + 1,
            open: true,
            at_real_ms: real,
            marks,
            before,
            adopted: false,
        };
        self.planner.ask(Question {
            turn: self.question.turn,
            evening: Arc::clone(self.state.evening()),
            situation: self.state.situation(now_ms),
            why: why.text,
            budget,
        });
    }
}

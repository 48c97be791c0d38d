//! Ways out and tries: worked out while their pages are in front, taken with a key.

use std::sync::Arc;

use super::Pass;
use super::asking::NO_PLAN;
use crate::live::clock::Ticks;
use crate::live::tryer::Piece;
use crate::plan::verify::verify;
use crate::plan::ways::{Change, Tried, parse};
use crate::plan::{Plan, change};
use crate::run::{self, AlarmKind, AlarmState, Event};
use crate::safety::Profile;

impl Pass {
    /// Takes a piece of what the pages of ways out and tries show.
    pub fn piece(&mut self, piece: Piece) {
        self.board.take(piece);
        self.show_board();
    }

    /// Has worked out what the page in front shows, and says whether ways out are wanted.
    pub(super) fn look_at_board(&mut self, now_ms: i64) {
        self.board.look(self.ui.page, &self.state, now_ms);
        let late =
            |a: &run::Alarm| a.kind == AlarmKind::ServiceAtRisk && a.state != AlarmState::Returned;
        self.status.clashes = self.without_plan || self.view.alarms.iter().any(late);
        self.show_board();
    }

    fn show_board(&mut self) {
        // Only while somebody looks: the rest of the time there is nothing to copy.
        match self.ui.page {
            crate::screen::Page::Ways => self.status.ways.clone_from(self.board.ways()),
            crate::screen::Page::WhatIf => self.status.tries.clone_from(self.board.tries()),
            _ => {}
        }
    }

    pub(super) fn take_way(&mut self, at: usize, ticks: Ticks) {
        let Some(out) = self.status.ways.outs.get(at).cloned() else {
            self.ui.say = Some("There is no such way out.".to_owned());
            return;
        };
        self.take_changes(&out.changes, &out.words, &out.plan, ticks);
    }

    pub(super) fn take_try(&mut self, at: usize, ticks: Ticks) {
        let Some((of, Some(Tried::Plan(outcome)))) = self.status.tries.rows.get(at).cloned() else {
            self.ui.say = Some("There is no plan for it.".to_owned());
            return;
        };
        self.take_changes(&of.changes, &of.words, &outcome.plan, ticks);
    }

    /// Marks the changes as one, and puts their plan on the screen if it still
    /// fits the evening as it now stands; else the planner makes another.
    pub(super) fn take_changes(
        &mut self,
        changes: &[Change],
        words: &str,
        plan: &Arc<Plan>,
        ticks: Ticks,
    ) {
        let now_ms = self.time.now_ms(ticks);
        // Nothing but another plan is nothing to mark.
        if !changes.is_empty() && !self.mark_changes(changes, words, ticks) {
            return;
        }
        self.ui.go_home();
        let situation = self.state.situation(now_ms);
        let evening = Arc::clone(self.state.evening());
        let profile = Profile::by_id(&evening.party.guidance);
        if profile.is_none_or(|p| verify(&evening, &situation, p, plan).is_err()) {
            return;
        }
        let why = self.state.facts().stale.as_ref().map(|w| w.text.clone());
        let why = why.unwrap_or_else(|| "because you chose it".to_owned());
        let moved = match self.state.plan() {
            Some(before) => change::describe(&evening, before, plan, &why),
            None => crate::plan::Change::default(),
        };
        let event = Event::PlanAdopted {
            plan: Box::new(Plan::clone(plan)),
            moved: moved.moved,
            why: moved.why,
        };
        let taken = self.mark(event, ticks).is_some();
        if taken {
            // Whatever the planner was asked before is answered by this.
            self.question.drop_it();
            self.question.marks = self.state.next_seq();
            self.without_plan = false;
            self.is_over(NO_PLAN);
        }
        // The changes are marked; without any the plan was all there is to take.
        if taken || !changes.is_empty() {
            self.status.echo = Some(format!("taken: {words}"));
        }
    }

    /// Marks the changes as one. False if that could not be.
    pub(super) fn mark_changes(&mut self, changes: &[Change], words: &str, ticks: Ticks) -> bool {
        match run::decide(&self.state, changes, words) {
            Ok(event) => {
                let stands = self.stands(&event, ticks);
                if stands {
                    self.release_hand(&event);
                }
                stands && self.mark(event, ticks).is_some()
            }
            Err(refusal) => {
                self.ui.say = Some(refusal.text);
                false
            }
        }
    }

    pub(super) fn type_try(&mut self, typed: &str) {
        let now_ms = self.time.now_ms(self.clocks.now());
        let situation = self.state.situation(now_ms);
        match parse::changes(self.state.evening(), &situation, typed) {
            Ok(changes) => {
                self.board.add(changes);
                self.ui.card = None;
                self.ui.go_to_row(1);
            }
            Err(why) => self.ui.say = Some(why),
        }
    }
}

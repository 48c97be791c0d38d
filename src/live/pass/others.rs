//! The other screens of the same evening: what they mark is taken in, and one of all screens plans.

use super::{Pass, SET_BACK_MS, ahead_ms, real_ms};
use crate::live::clock::Ticks;
use crate::run::{self, Event, Mark};

/// Begins what is said while the marks of other screens cannot be read; it goes when they can be again.
pub const BEHIND: &str = "What other screens mark cannot be read";
/// Begins what is said while the screen that plans has no plan that fits what happened; there it says why.
pub const OWED: &str = "The other screen has no plan yet";
/// It has so long before that is said (real ms): a search takes a second or so.
const OWED_MS: i64 = 10_000;
/// What is said when the screen that planned is gone.
const LEADS_NOW: &str = "The screen that planned has gone: this one plans from now on.";

impl Pass {
    /// Takes in what other screens have marked since the last look. True if there was anything.
    pub fn look_at_others(&mut self) -> bool {
        let ticks = self.clocks.now();
        // Before what they say of a clock that was set back, so that it is not owed here as well.
        self.notice_sleep(ticks);
        if self.book.broken().is_some() {
            // Another screen wrote: the disk takes marks again, and this screen must not stay behind till its own next.
            self.mend_book();
            self.settle(ticks);
            return self.book.broken().is_none();
        }
        let looked = self.book.look();
        if looked.is_ok() {
            self.is_over(BEHIND);
        }
        self.behind = matches!(looked, Ok(None));
        match looked.map(Option::unwrap_or_default) {
            Ok(others) if others.is_empty() => false,
            Ok(others) => {
                self.take_in(&others, ticks);
                self.settle(ticks);
                true
            }
            Err(e) => {
                self.trouble(&format!("{BEHIND}: {e}"));
                true
            }
        }
    }

    /// Did another screen write at the last look, so that what it wrote is still to be taken in?
    #[must_use]
    pub const fn is_behind(&self) -> bool {
        self.behind
    }

    /// Takes the lead if the screen that had it is gone. True if this screen leads from now on.
    pub fn try_lead(&mut self) -> bool {
        if self.book.leads() || !self.book.try_lead() {
            return false;
        }
        self.look_at_others();
        let ticks = self.clocks.now();
        let now_ms = self.time.now_ms(ticks);
        // The clock may have been set back while nobody led.
        let ahead = ahead_ms(&self.state, now_ms);
        if ahead > 0 {
            self.set_back_ms = ahead;
            self.tell_set_back(ticks);
        }
        self.say_once(LEADS_NOW);
        self.settle(ticks);
        true
    }

    /// If another screen plans: that it finds no plan is no mark and is told there alone; but what is shown here
    /// fits no more either.
    pub(super) fn wait_for_the_leader(&mut self, now_ms: i64, ticks: Ticks) {
        let real = real_ms(ticks);
        let follows = !self.book.leads();
        let wanted = follows.then(|| run::needs_reshuffle(&self.state, now_ms)).flatten();
        let Some(why) = wanted else {
            self.owed_since_ms = None;
            self.is_over(OWED);
            return;
        };
        let since = *self.owed_since_ms.get_or_insert(real);
        let other = self.status.trouble.as_deref().is_some_and(|t| !t.starts_with(OWED));
        if real >= since.saturating_add(OWED_MS) && !other {
            self.trouble(&format!("{OWED}, {}.", why.text));
        }
    }

    /// Does what is marked by now leave nothing of what this screen was about to mark? It was decided on while the
    /// marks before number `known` were; `stands`: it is among them after all, from a write that seemed to fail.
    pub(super) fn is_overtaken(
        &mut self,
        event: &Event,
        known: u64,
        stands: bool,
        ticks: Ticks,
    ) -> bool {
        if self.state.next_seq() == known {
            return false;
        }
        match event {
            // It was made for the evening as it was before.
            Event::PlanAdopted { .. } => true,
            Event::ClockSetBack { by_ms } => *by_ms != self.set_back_ms,
            _ if stands => {
                self.ui.say = Some("It is marked already: the disk had taken it.".to_owned());
                true
            }
            event => match run::marks::check(&self.state, event, self.time.now_ms(ticks)) {
                Err(refusal) if !refusal.may_insist => {
                    self.ui.say = Some(format!("Marked on another screen: {}", refusal.text));
                    true
                }
                _ => false,
            },
        }
    }

    /// What marks say of the clock is not owed any more.
    pub(super) fn hear_of_the_clock(&mut self, marks: &[Mark]) {
        let by_ms = marks.iter().map(|mark| match mark.event {
            Event::ClockSetBack { by_ms } => by_ms,
            _ => 0,
        });
        let told = by_ms.fold(0, i64::saturating_add);
        if self.set_back_ms == 0 || told == 0 {
            return;
        }
        // Two screens do not measure it to the millisecond alike.
        let owed = self.set_back_ms.saturating_sub(told);
        self.set_back_ms = if owed > SET_BACK_MS { owed } else { 0 };
        if self.set_back_ms == 0 {
            self.is_over(super::NOT_MARKED);
        }
    }

    pub(super) fn take_in(&mut self, others: &[Mark], ticks: Ticks) {
        if others.is_empty() {
            return;
        }
        self.hear_of_the_clock(others);
        let is_plan = |mark: &Mark| matches!(mark.event, Event::PlanAdopted { .. });
        if !others.iter().all(is_plan) {
            self.ui.startle(real_ms(ticks), super::OTHERS_MS);
        }
        for mark in others {
            self.state.apply(mark);
            if let Some(words) = run::echo(&self.state, mark) {
                self.status.echo = Some(format!("on another screen: {words}"));
                self.echo_until_ms = real_ms(ticks).saturating_add(super::ECHO_MS);
            }
        }
        if self.book.leads() || self.state.plan().is_none() {
            return;
        }
        // The screen that plans has found a plan.
        self.without_plan = false;
    }
}

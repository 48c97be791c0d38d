//! What the cook changes about the party itself, and what is ticked off.

use std::collections::BTreeSet;
use std::sync::Arc;

use crate::kitchen::PartyChange;
use crate::mise::knife::board;
use crate::run::event::{Event, Mark};
use crate::run::reshuffle::Why;
use crate::run::state::State;
use crate::run::words;
use crate::safety::hold_limits;

impl State {
    /// Has the knife work follow a change of the party, which `change` makes:
    /// what has begun at the board stays as it is.
    pub(super) fn with_board(&mut self, change: impl FnOnce(&mut Self)) {
        if !self.evening.party.pool_knife_work {
            return change(self);
        }
        // By name: a change may make the steps anew.
        let begun: BTreeSet<(usize, String)> = self
            .facts
            .progress
            .keys()
            .filter_map(|key| Some((key.dish, self.step(*key)?.id.clone())))
            .collect();
        change(self);
        let dropped: Vec<usize> = self.facts.dropped.keys().copied().collect();
        let has_begun = |dish: usize, step: &str| begun.contains(&(dish, step.to_owned()));
        board::settle(Arc::make_mut(&mut self.evening), &dropped, &has_begun);
    }

    pub(super) fn change_party(&mut self, mark: &Mark, change: &PartyChange) {
        let dish = change.dish().and_then(|id| self.evening.dish_index(id));
        if let (Some(dish), true) = (dish, change.changes_steps())
            && self.is_begun(dish)
        {
            self.note(mark, "it was begun by the steps as they were; the change does not count");
            return;
        }
        match change.apply(&self.evening, hold_limits()) {
            Ok(evening) => self.evening = Arc::new(evening),
            Err(why) => {
                self.note(mark, &format!("the change does not count: {why}"));
                return;
            }
        }
        if let (Some(dish), true) = (dish, change.changes_steps()) {
            let assumed = self.facts.assumed.iter().filter(|key| key.dish == dish).copied();
            for key in assumed.collect::<Vec<_>>() {
                self.assume_no_more(key);
            }
        }
        if change.wants_plan() {
            self.facts.stale = Some(self.why_changed(change));
        }
    }

    /// Has the cook begun anything of a dish?
    #[must_use]
    pub(in crate::run) fn is_begun(&self, dish: usize) -> bool {
        let mut begun = self.facts.progress.keys().filter(|key| key.dish == dish);
        begun.any(|key| !self.facts.assumed.contains(key))
    }

    fn why_changed(&self, change: &PartyChange) -> Why {
        if let PartyChange::Borrowed { .. } = change {
            return Why::plain("because of what is borrowed");
        }
        let dish = change.dish().and_then(|id| self.evening.dish_index(id));
        let Some(dish) = dish else { return Why::plain("because the party is another") };
        let name = words::dish(self, dish);
        let text = match change {
            PartyChange::DishAdded { .. } => format!("because you added the {name}"),
            PartyChange::DishMoved { .. } => {
                let service = self.sheet(dish).map_or(0, |s| s.service);
                let title = words::service_title(&self.evening, service);
                format!("because the {name} goes with {title}")
            }
            PartyChange::DayBefore { on: true, .. } => {
                format!("because the {name} is made the day before")
            }
            PartyChange::DayBefore { on: false, .. } => {
                format!("because the {name} is made on the day")
            }
            _ => format!("because the {name} is made another way"),
        };
        Why::dish(text, dish)
    }

    /// A dish whose adding was taken back keeps its place among the others and is
    /// not made: plans in the journal count on the places of all.
    pub(in crate::run) fn keep_seat(&mut self, mark: &Mark) {
        let Event::PartyChanged { change: change @ PartyChange::DishAdded { dish } } = &mark.event
        else {
            return;
        };
        if let Ok(evening) = change.apply(&self.evening, hold_limits()) {
            self.evening = Arc::new(evening);
            if let Some(dish) = self.evening.dish_index(&dish.id) {
                self.facts.dropped.insert(dish, self.sane_ms(mark.at_ms));
            }
        }
    }
}

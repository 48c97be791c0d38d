//! What the cook changes about the party itself, and what is ticked off.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::kitchen::{Evening, PartyChange};
use crate::mise::knife::board;
use crate::mise::ticks;
use crate::plan::StepKey;
use crate::run::event::{Event, Mark};
use crate::run::reshuffle::Why;
use crate::run::state::State;
use crate::run::words;
use crate::safety::hold_limits;

/// A load by dish, id of the step, and number: what stays when a recipe is made anew.
type Name = (usize, String, u32);

fn by_name<V>(evening: &Evening, of: BTreeMap<StepKey, V>) -> Vec<(Name, V)> {
    let name = |key: StepKey| {
        let step = evening.sheets.get(key.dish)?.recipe.steps.get(key.step)?;
        Some((key.dish, step.id.clone(), key.load))
    };
    of.into_iter().filter_map(|(key, v)| Some((name(key)?, v))).collect()
}

impl State {
    /// Has the knife work follow a change of the party, which `change` makes:
    /// what has begun at the board stays as it is. What was marked of steps that
    /// have not begun stays with them, wherever they stand in the recipe now.
    pub(super) fn with_board(&mut self, change: impl FnOnce(&mut Self)) {
        let Self { evening: before, facts, .. } = &mut *self;
        let pins = by_name(before, std::mem::take(&mut facts.pins));
        let due_since = by_name(before, std::mem::take(&mut facts.due_since));
        let early = by_name(before, std::mem::take(&mut facts.early));
        let ways = std::mem::take(&mut facts.ways).into_iter();
        let key = |(dish, step): (usize, usize)| StepKey { dish, step, load: 0 };
        let ways = by_name(before, ways.map(|(of, way)| (key(of), way)).collect());
        self.settle_board(change);
        self.facts.pins = self.by_place(pins).collect();
        self.facts.due_since = self.by_place(due_since).collect();
        let ways = self.by_place(ways).map(|(key, way)| ((key.dish, key.step), way)).collect();
        self.facts.ways = ways;
        for (name, stretches) in early {
            // A step less puts nothing back into the fridge.
            let key =
                self.place_of(&name).unwrap_or(StepKey { dish: name.0, step: 0, load: name.2 });
            let all = self.facts.early.entry(key).or_default();
            all.extend(stretches);
            all.sort_by_key(|s| (s.1.is_none(), s.0));
        }
    }

    fn by_place<V>(&self, of: Vec<(Name, V)>) -> impl Iterator<Item = (StepKey, V)> {
        of.into_iter().filter_map(|(name, v)| Some((self.place_of(&name)?, v)))
    }

    fn place_of(&self, (dish, id, load): &Name) -> Option<StepKey> {
        let step = self.sheet(*dish)?.step_index(id)?;
        Some(StepKey { dish: *dish, step, load: *load })
    }

    fn settle_board(&mut self, change: impl FnOnce(&mut Self)) {
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
        let dropped = self.not_made();
        let has_begun = |dish: usize, step: &str| begun.contains(&(dish, step.to_owned()));
        board::settle(Arc::make_mut(&mut self.evening), &dropped, &has_begun);
    }

    /// Ticks off a line of a list, or takes the tick away.
    pub(super) fn tick(&mut self, line: &str, on: bool) {
        if !on {
            self.facts.ticked.remove(line);
            self.facts.ticked_for.remove(line);
            return;
        }
        self.facts.ticked.insert(line.to_owned());
        let list = ticks::LISTS.into_iter().find(|list| line.starts_with(list));
        let asked = list.map(|list| self.asked.list(&self.evening, self.not_made(), list));
        if let Some(asked) = asked.and_then(|lines| lines.get(line).cloned()) {
            self.facts.ticked_for.insert(line.to_owned(), asked);
        }
    }

    /// After a change: what was ticked off stays so as long as it is enough, and is so again when it is.
    pub(super) fn settle_ticks(&mut self) {
        let ticked = |list: &str| self.facts.ticked_for.keys().any(|line| line.starts_with(list));
        let lists = ticks::LISTS.into_iter().filter(|list| ticked(list));
        let lists = lists.map(|list| self.asked.list(&self.evening, self.not_made(), list));
        let lists: Vec<_> = lists.collect();
        for (line, had) in &self.facts.ticked_for {
            if lists.iter().find_map(|lines| lines.get(line)).is_none_or(|now| had.covers(now)) {
                self.facts.ticked.insert(line.clone());
            } else {
                self.facts.ticked.remove(line);
            }
        }
    }

    fn not_made(&self) -> Vec<usize> {
        self.facts.dropped.keys().copied().collect()
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

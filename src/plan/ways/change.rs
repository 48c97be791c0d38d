//! A change to the evening, as pure data, and the evening as it would be with it.

mod ahead;

pub use ahead::{Ahead, day_before};

use std::collections::BTreeSet;

use crate::kitchen::clock::DAY;
use crate::kitchen::party::{Cook, Stretch};
use crate::kitchen::{
    Borrowed, Clockface, Evening, Lendable, Minute, Sheet, TimeOfDay, borrowed, id,
};
use crate::order::InOrder;
use crate::plan::{Situation, StepKey};

/// Something that the cook could do differently. Indexes are those of the
/// evening's lists; minutes are [`Minute`]s of the party's day.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Change {
    /// A service stands on the table at another time.
    ServiceAt {
        /// Index of the service.
        service: usize,
        /// When.
        to: Minute,
    },
    /// A cook of the party is there in these minutes too.
    CookThere {
        /// Index of the cook.
        cook: usize,
        /// First minute.
        from: Minute,
        /// Minute after the last.
        to: Minute,
    },
    /// A second pair of hands.
    Helper {
        /// First minute.
        from: Minute,
        /// Minute after the last.
        to: Minute,
    },
    /// A step is done in a certain way.
    Way {
        /// Index of the dish.
        dish: usize,
        /// Index of the step in its recipe.
        step: usize,
        /// Index of the way.
        way: usize,
    },
    /// The finished dish waits in a certain place.
    Place {
        /// Index of the dish.
        dish: usize,
        /// Index of the hold in its recipe.
        hold: usize,
    },
    /// A dish is not made.
    Drop {
        /// Index of the dish.
        dish: usize,
    },
    /// A dish is made for another number.
    Servings {
        /// Index of the dish.
        dish: usize,
        /// How many, 1 to 500.
        servings: u32,
    },
    /// A pin is given up.
    Unpin {
        /// Which.
        key: StepKey,
    },
    /// A dish is made the day before, as far as it may wait in the fridge.
    DayBefore {
        /// Index of the dish.
        dish: usize,
    },
    /// One more station like one that is there, borrowed.
    Another {
        /// Index of the station.
        station: usize,
        /// How many places it has: racks, burners, boards.
        places: u32,
    },
    /// More of some pan, tray or bowl, borrowed.
    MoreOf {
        /// Index of the cookware.
        ware: usize,
        /// How many more.
        count: u32,
    },
    /// Everything takes longer at stations of a kind.
    Slower {
        /// Index of a station of the kind.
        station: usize,
        /// Per cent more, 1 to 200.
        percent: u32,
    },
    /// A station cannot be used.
    Without {
        /// Index of the station.
        station: usize,
    },
}

/// Has shared knife work follow a change of the evening: takes the dishes that
/// are not made, and whether a step of a dish, by its id, has begun. Handed in,
/// since what is cut for whom is the mise's to know.
pub type Settle = fn(&mut Evening, &[usize], &dyn Fn(usize, &str) -> bool);

/// The evening with changes.
#[derive(Debug, Clone, PartialEq)]
pub struct Changed {
    /// The evening as it would be.
    pub evening: Evening,
    /// What would have happened.
    pub situation: Situation,
}

/// Why a change means nothing here, as a sentence.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct Idle(pub String);

fn idle<T>(text: impl Into<String>) -> Result<T, Idle> {
    Err(Idle(text.into()))
}

/// The evening with all of the changes, one after the other, and its knife work
/// as they leave it.
///
/// # Errors
/// A sentence if one of them names nothing or can do nothing.
pub fn apply(
    evening: &Evening,
    situation: &Situation,
    changes: &[Change],
    settle: Settle,
) -> Result<Changed, Idle> {
    let mut changed = Changed { evening: evening.clone(), situation: situation.clone() };
    // What is slower is so at the board too, whose jobs the others make anew.
    let (last, first): (Vec<_>, Vec<_>) =
        changes.iter().partition(|c| matches!(c, Change::Slower { .. }));
    for change in &first {
        changed.take(change)?;
    }
    if first.iter().any(|c| c.moves_knife_work()) {
        changed.settle(settle);
    }
    for change in last {
        changed.take(change)?;
    }
    Ok(changed)
}

impl Change {
    /// What it borrows; None if it borrows nothing, or is like nothing of the kitchen.
    #[must_use]
    pub fn borrowed(&self, evening: &Evening) -> Option<Borrowed> {
        let (stations, wares) = (&evening.kitchen.stations, &evening.kitchen.cookware);
        let (what, like, count) = match *self {
            Self::Another { station, places } => {
                (Lendable::Station, &stations.get(station)?.id, places)
            }
            Self::MoreOf { ware, count } => (Lendable::Cookware, &wares.get(ware)?.id, count),
            _ => return None,
        };
        Some(Borrowed { what, like: like.clone(), count })
    }

    /// Does it change what is cut, or for whom?
    const fn moves_knife_work(&self) -> bool {
        matches!(self, Self::Drop { .. } | Self::Servings { .. } | Self::DayBefore { .. })
    }
}

impl Changed {
    fn take(&mut self, change: &Change) -> Result<(), Idle> {
        match *change {
            Change::ServiceAt { service, to } => self.move_service(service, to),
            Change::CookThere { cook, from, to } => self.lengthen(cook, from, to),
            Change::Helper { from, to } => self.help(from, to),
            Change::Way { dish, step, way } => self.settle_way(dish, step, way),
            Change::Place { dish, hold } => self.settle_place(dish, hold),
            Change::Drop { dish } => {
                self.open_dish(dish)?;
                self.situation.dropped.insert(dish);
                Ok(())
            }
            Change::Servings { dish, servings } => self.make_for(dish, servings),
            Change::Unpin { key } => match self.situation.pins.remove(&key) {
                Some(_) => Ok(()),
                None => idle("It is not pinned."),
            },
            Change::DayBefore { dish } => self.make_ahead(dish),
            Change::Another { .. } | Change::MoreOf { .. } => self.borrow(change),
            Change::Slower { station, percent } => self.slow_down(station, percent),
            Change::Without { station } => self.do_without(station),
        }
    }

    /// Makes the jobs at the board anew. What was settled about a job that is no
    /// more, or that stands elsewhere now, is given up.
    fn settle(&mut self, settle: Settle) {
        let names = |evening: &Evening| -> Vec<Vec<String>> {
            let of = |s: &Sheet| s.recipe.steps.iter().map(|s| s.id.clone()).collect();
            evening.sheets.iter().map(of).collect()
        };
        let before = names(&self.evening);
        let name = |dish: usize, step: usize| before.get(dish).and_then(|d| d.get(step));
        let begun: BTreeSet<(usize, &str)> = self
            .situation
            .begun
            .keys()
            .filter_map(|k| Some((k.dish, name(k.dish, k.step)?.as_str())))
            .collect();
        let dropped: Vec<usize> = self.situation.dropped.iter().copied().collect();
        settle(&mut self.evening, &dropped, &|dish, step| begun.contains(&(dish, step)));
        let after = names(&self.evening);
        let same = |dish: usize, step: usize| {
            name(dish, step) == after.get(dish).and_then(|d| d.get(step))
        };
        self.situation.pins.retain(|k, _| same(k.dish, k.step));
        self.situation.ways.retain(|&(dish, step), _| same(dish, step));
    }

    /// Is the dish still to be made and served?
    fn open_dish(&self, dish: usize) -> Result<(), Idle> {
        let Some(sheet) = self.evening.sheets.get(dish) else {
            return idle("The party has no such dish.");
        };
        let name = &sheet.recipe.title;
        if self.situation.dropped.contains(&dish) {
            return idle(format!("{name} is not made in any case."));
        }
        if self.situation.served.contains(&dish) {
            return idle(format!("{name} is served already."));
        }
        Ok(())
    }

    fn move_service(&mut self, service: usize, to: Minute) -> Result<(), Idle> {
        if service >= self.evening.party.services.len() {
            return idle("The party has no such service.");
        }
        if self.situation.now.is_some_and(|now| to < now) {
            return idle("That time has passed.");
        }
        if !(0..2 * DAY).contains(&to) {
            return idle("That is not on the party's day.");
        }
        self.situation.service_at.insert(service, to);
        Ok(())
    }

    fn lengthen(&mut self, cook: usize, from: Minute, to: Minute) -> Result<(), Idle> {
        let stretch = stretch(&self.evening.face, from, to)?;
        let face = self.evening.face.clone();
        let Some(cook) = self.evening.party.cooks.get_mut(cook) else {
            return idle("The party has no such cook.");
        };
        let covered = |f: &Stretch| face.minute_of(f.from) <= from && to <= face.minute_of(f.to);
        if cook.free.iter().any(covered) {
            return idle(format!("{} is there already.", cook.name));
        }
        cook.free = joined(&face, &cook.free, stretch);
        Ok(())
    }

    fn help(&mut self, from: Minute, to: Minute) -> Result<(), Idle> {
        let stretch = stretch(&self.evening.face, from, to)?;
        let cooks = &mut self.evening.party.cooks;
        let id = id::free("helper", |id| cooks.iter().any(|c| c.id == id));
        let (name, free) = ("Second pair of hands".into(), vec![stretch]);
        cooks.push(Cook { id, name, free, free_day_before: Vec::new() });
        Ok(())
    }

    fn settle_way(&mut self, dish: usize, step: usize, way: usize) -> Result<(), Idle> {
        self.open_dish(dish)?;
        let sheet = &self.evening.sheets[dish];
        if sheet.recipe.steps.get(step).is_none_or(|s| way >= s.ways.len()) {
            return idle("The recipe has no such way.");
        }
        let key = |load| StepKey { dish, step, load };
        if self.situation.begun.range(key(0)..=key(u32::MAX)).next().is_some() {
            return idle("It has begun already.");
        }
        self.situation.ways.insert((dish, step), way);
        Ok(())
    }

    fn settle_place(&mut self, dish: usize, hold: usize) -> Result<(), Idle> {
        self.open_dish(dish)?;
        if hold >= self.evening.sheets[dish].recipe.holds.len() {
            return idle("The recipe has no such place.");
        }
        if self.situation.held.contains_key(&dish) {
            return idle("It waits already.");
        }
        self.situation.places.insert(dish, hold);
        Ok(())
    }

    fn make_for(&mut self, dish: usize, servings: u32) -> Result<(), Idle> {
        self.open_dish(dish)?;
        if !(1..=500).contains(&servings) {
            return idle("Servings are 1 to 500.");
        }
        let sheet = &mut self.evening.sheets[dish];
        if sheet.servings == servings {
            return idle("It is made for so many already.");
        }
        sheet.servings = servings;
        if let Some(entry) = self.evening.party.dishes.iter_mut().find(|d| d.id == sheet.id) {
            entry.servings = servings;
        }
        Ok(())
    }

    fn make_ahead(&mut self, dish: usize) -> Result<(), Idle> {
        self.open_dish(dish)?;
        let Some(ahead) = day_before(&self.evening, &self.situation, dish) else {
            return idle("Nothing of it keeps that long, or it is too late for that.");
        };
        if let Some(sheet) = self.evening.sheets.get_mut(dish) {
            sheet.recipe = ahead.recipe;
        }
        if let Some(entry) = self.evening.party.dishes.get_mut(dish) {
            entry.day_before = true;
        }
        Ok(())
    }

    fn borrow(&mut self, change: &Change) -> Result<(), Idle> {
        let Some(more) = change.borrowed(&self.evening) else {
            return idle("The kitchen has no such thing.");
        };
        if !(1..=borrowed::MOST_OF_EACH).contains(&more.count) {
            return idle(format!("Borrow 1 to {}.", borrowed::MOST_OF_EACH));
        }
        borrowed::lend(&mut self.evening.kitchen, &more);
        borrowed::add(&mut self.evening.party.borrowed, more);
        Ok(())
    }

    /// Ways belong to kinds of station, so all stations of the kind are slower.
    fn slow_down(&mut self, station: usize, percent: u32) -> Result<(), Idle> {
        let Some(kind) = self.evening.kitchen.stations.get(station).map(|s| s.kind) else {
            return idle("The kitchen has no such station.");
        };
        if !(1..=200).contains(&percent) {
            return idle("Slower by 1 to 200 per cent.");
        }
        let longer = |m: u32| m.saturating_mul(100 + percent).div_ceil(100);
        let steps = self.evening.sheets.iter_mut().flat_map(|s| &mut s.recipe.steps);
        for way in steps.flat_map(|s| &mut s.ways).filter(|w| w.station == kind) {
            let m = &mut way.minutes;
            (m.low, m.likely, m.high) = (longer(m.low), longer(m.likely), longer(m.high));
        }
        Ok(())
    }

    fn do_without(&mut self, station: usize) -> Result<(), Idle> {
        let Some(id) = self.evening.kitchen.stations.get(station).map(|s| s.id.clone()) else {
            return idle("The kitchen has no such station.");
        };
        match self.situation.down.insert(id) {
            true => Ok(()),
            false => idle("It is out of use already."),
        }
    }
}

/// Minutes of the day as a stretch of a cook's hours.
fn stretch(face: &Clockface, from: Minute, to: Minute) -> Result<Stretch, Idle> {
    match (time_of(face, from), time_of(face, to)) {
        (Some(from), Some(to)) if from < to => Ok(Stretch { from, to }),
        _ => idle("Those are not hours of the party's day."),
    }
}

/// The time that the wall clock shows at a minute of the party's day, as it
/// stands in a party file; None before the day begins or after the next one ends.
#[must_use]
pub fn time_of(face: &Clockface, minute: Minute) -> Option<TimeOfDay> {
    // On a day when the clocks change the minute and the face are an hour apart.
    let near = [0, 60, -60, 30, -30, 120, -120];
    let times = near.into_iter().map(|by| TimeOfDay(minute.saturating_add(by)));
    times.filter(|t| (0..2 * DAY).contains(&t.0)).find(|t| face.minute_of(*t) == minute)
}

/// A cook's hours with some more, in order, those that touch made one.
#[must_use]
pub fn joined(face: &Clockface, free: &[Stretch], more: Stretch) -> Vec<Stretch> {
    let mut all: Vec<Stretch> = free.iter().copied().chain([more]).collect();
    all.order_by_key(|s| (face.minute_of(s.from), face.minute_of(s.to)));
    let mut out: Vec<Stretch> = Vec::new();
    for next in all {
        match out.last_mut() {
            Some(last) if next.from <= last.to => last.to = last.to.max(next.to),
            _ => out.push(next),
        }
    }
    out
}

//! Changes and clashes as the cook says them.

use super::candidates::due;
use super::change::{Change, day_before};
use super::demand::{Clash, Demand};
use crate::kitchen::{DAY, Evening, Minute, Sheet, borrowed};
use crate::paper::list;
use crate::plan::{Begun, Situation, StepKey};

/// Changes in one line: "Mains 23 min later (18:23)".
#[must_use]
pub fn of_changes(evening: &Evening, situation: &Situation, changes: &[Change]) -> String {
    if changes.is_empty() {
        return "Another order of the work: nothing else changes".to_owned();
    }
    let words = Words { evening, situation };
    let dropped = |change: &Change| match *change {
        Change::Drop { dish } => Some(words.dish(dish)),
        _ => None,
    };
    let pieces = changes.chunk_by(|a, b| dropped(a).is_some() && dropped(b).is_some());
    let piece = |changes: &[Change]| match changes {
        [one] => words.change(one),
        several => {
            let dishes = several.iter().filter_map(dropped).map(str::to_owned);
            format!("Leave out {}", list(&dishes.collect::<Vec<_>>()))
        }
    };
    pieces.map(piece).collect::<Vec<_>>().join("; ")
}

/// A clash, one demand to a line, what is asked for first.
#[must_use]
pub fn of_clash(evening: &Evening, situation: &Situation, clash: &Clash) -> Vec<String> {
    let words = Words { evening, situation };
    let mut lines: Vec<String> = clash.demands.iter().rev().map(|d| words.demand(*d)).collect();
    if let Some(now) = situation.now {
        lines.push(format!("It is {} now", evening.face.label(now)));
    }
    lines
}

/// "1 h 20 min", "45 min".
#[must_use]
pub fn minutes(minutes: Minute) -> String {
    match (minutes / 60, minutes % 60) {
        (0, m) => format!("{m} min"),
        (h, 0) => format!("{h} h"),
        (h, m) => format!("{h} h {m} min"),
    }
}

/// What a step of a dish still takes.
enum Own {
    /// It ended at this minute, counted from the present: waits after it have begun.
    Over(Minute),
    /// So many minutes more, in its quickest way.
    Open(Minute),
}

struct Words<'a> {
    evening: &'a Evening,
    situation: &'a Situation,
}

impl Words<'_> {
    fn at(&self, minute: Minute) -> String {
        self.evening.face.label(minute)
    }

    fn sheet(&self, dish: usize) -> Option<&Sheet> {
        self.evening.sheets.get(dish)
    }

    fn dish(&self, dish: usize) -> &str {
        self.sheet(dish).map_or("a dish", |s| &s.recipe.title)
    }

    fn step(&self, dish: usize, step: usize) -> String {
        let label = self.sheet(dish).and_then(|s| s.recipe.steps.get(step));
        format!("{}, {}", self.dish(dish), label.map_or("a step", |s| &s.label))
    }

    fn service(&self, service: usize) -> &str {
        self.evening.party.services.get(service).map_or("the service", |s| &s.title)
    }

    fn station(&self, station: usize) -> &str {
        self.evening.kitchen.stations.get(station).map_or("a station", |s| &s.title)
    }

    fn cook(&self, cook: usize) -> &str {
        self.evening.party.cooks.get(cook).map_or("the cook", |c| &c.name)
    }

    fn due(&self, service: usize) -> Minute {
        due(self.evening, self.situation, service)
    }

    fn change(&self, change: &Change) -> String {
        match *change {
            Change::ServiceAt { service, to } => {
                let by = to - self.due(service);
                let way = if by < 0 { "earlier" } else { "later" };
                format!("{} {} {way} ({})", self.service(service), minutes(by.abs()), self.at(to))
            }
            Change::CookThere { cook, from, to } => self.there(cook, from, to),
            Change::Helper { from, to } => {
                format!("A second pair of hands, {} to {}", self.at(from), self.at(to))
            }
            Change::Way { dish, step, way } => {
                let way = self.sheet(dish).and_then(|s| s.recipe.steps.get(step)?.ways.get(way));
                let place = way.map_or("another place", |w| w.station.word());
                let at = way
                    .and_then(|w| w.at_c)
                    .map_or_else(String::new, |c| format!(", {}", self.evening.customs.oven(c)));
                format!("{}: {place}{at}", self.step(dish, step))
            }
            Change::Place { dish, hold } => {
                let hold = self.sheet(dish).and_then(|s| s.recipe.holds.get(hold));
                let place = hold.map_or("another place", |h| h.place.word());
                format!("{} waits for its service: {place}", self.dish(dish))
            }
            Change::Drop { dish } => format!("Leave out {}", self.dish(dish)),
            Change::Servings { dish, servings } => {
                let now = self.sheet(dish).map_or(0, |s| s.servings);
                format!("{} for {servings} instead of {now}", self.dish(dish))
            }
            Change::Unpin { key } => {
                format!("Give up the pin of {}", self.step(key.dish, key.step))
            }
            Change::DayBefore { dish } => self.before(dish),
            Change::Another { station, places } => self.another(station, places),
            Change::MoreOf { ware, count } => {
                let ware = self.evening.kitchen.cookware.get(ware);
                let title = ware.map_or("pan", |w| &w.title);
                match count {
                    1 => format!("Borrow one more \"{title}\""),
                    n => format!("Borrow {n} more of \"{title}\""),
                }
            }
            Change::Slower { station, percent } => {
                let kind = self.evening.kitchen.stations.get(station).map(|s| s.kind);
                let kind = kind.map_or("station", crate::kitchen::StationKind::word);
                format!("Everything in the {kind} takes {percent} % longer")
            }
            Change::Without { station } => format!("Without \"{}\"", self.station(station)),
        }
    }

    fn another(&self, station: usize, places: u32) -> String {
        let own = self.evening.kitchen.stations.get(station);
        let title = self.station(station).to_lowercase();
        match own {
            Some(own) if borrowed::is_hot_plate(own, places) => {
                "Borrow a hot plate: one more burner".to_owned()
            }
            Some(own) if places < own.slots => {
                format!("Borrow another {title}, with {places} of its places")
            }
            _ => format!("Another {title}"),
        }
    }

    fn there(&self, cook: usize, from: Minute, to: Minute) -> String {
        let name = self.cook(cook);
        let cook = self.evening.party.cooks.get(cook);
        let first = cook.and_then(|c| self.evening.comes(c));
        match (first, cook.and_then(|c| self.evening.leaves(c))) {
            (Some(first), _) if to == first => {
                format!("{name} starts {} earlier ({})", minutes(first - from), self.at(from))
            }
            (_, Some(last)) if from == last => {
                format!("{name} stays {} longer ({})", minutes(to - last), self.at(to))
            }
            _ => format!("{name} is there {} to {} too", self.at(from), self.at(to)),
        }
    }

    fn before(&self, dish: usize) -> String {
        let name = self.dish(dish);
        let Some(ahead) = day_before(self.evening, self.situation, dish) else {
            return format!("{name} the day before");
        };
        let Some(sheet) = self.sheet(dish) else { return String::new() };
        let hands = minutes(ahead.hands);
        let again = if ahead.is_reheated() { ", cooled and heated again" } else { "" };
        if ahead.is_whole(&sheet.recipe) {
            return format!("{name} the day before{again} ({hands} of hands)");
        }
        let labels: Vec<&str> = ahead.labels().collect();
        format!("{name}: {} the day before{again} ({hands} of hands)", labels.join(", "))
    }

    fn demand(&self, demand: Demand) -> String {
        let kitchen = &self.evening.kitchen;
        match demand {
            Demand::Pans(pans) => {
                let ware = kitchen.cookware.get(pans);
                let (title, count) = ware.map_or(("pan", 0), |w| (w.title.as_str(), w.count));
                match count {
                    1 => format!("There is only one \"{title}\""),
                    _ => format!("There are only {count} of \"{title}\""),
                }
            }
            Demand::Station(station) => {
                let found = kitchen.stations.get(station);
                let slots = found.map_or(0, |s| s.slots);
                let places = if slots == 1 { "1 place".into() } else { format!("{slots} places") };
                let heat = found.is_some_and(|s| s.thermostat.is_some());
                let heat = if heat { " and one setting at a time" } else { "" };
                format!("\"{}\" has {places}{heat}", self.station(station))
            }
            Demand::Hands(cook) => format!("{} has two hands", self.cook(cook)),
            Demand::Pin(key) => {
                let at = self.situation.pins.get(&key).map_or(0, |at| *at);
                format!("{} is pinned to {}", self.step(key.dish, key.step), self.at(at))
            }
            Demand::Dish(dish) => {
                let least = minutes(self.least(dish));
                match self.situation.now {
                    Some(_) => format!("{} needs {least} more at the least", self.dish(dish)),
                    None => format!("{} takes {least} at the least", self.dish(dish)),
                }
            }
            Demand::Hours(cook) => {
                let face = &self.evening.face;
                let free = self.evening.party.cooks.get(cook).map(|c| c.free.as_slice());
                let hours = free.unwrap_or_default().iter().map(|f| {
                    let (from, to) = (face.minute_of(f.from), face.minute_of(f.to));
                    format!("{} to {}", self.at(from), self.at(to))
                });
                let hours: Vec<String> = hours.collect();
                format!("{} is there {}", self.cook(cook), hours.join(" and "))
            }
            Demand::Service(service) => {
                format!("{} at {}", self.service(service), self.at(self.due(service)))
            }
        }
    }

    /// Minutes from the present (or the first step) to the end of a dish, if nothing
    /// stands in its way: its longest chain of steps, each in its quickest way.
    fn least(&self, dish: usize) -> Minute {
        let Some(sheet) = self.sheet(dish) else { return 0 };
        let steps = &sheet.recipe.steps;
        let mut end = vec![0; steps.len()];
        // Each pass settles at least one more step; a ring of steps stops at the count.
        for _ in 0..steps.len() {
            for (s, step) in steps.iter().enumerate() {
                let after = step.after.iter().filter_map(|a| {
                    let before = sheet.step_index(&a.step)?;
                    let least = Minute::try_from(a.least_minutes).unwrap_or(0);
                    Some(end.get(before)? + least)
                });
                let from = after.max().unwrap_or(0);
                let own = self.own(sheet, dish, s);
                if let Some(end) = end.get_mut(s) {
                    *end = match own {
                        Own::Over(at) => at,
                        Own::Open(minutes) => from.max(0) + minutes,
                    };
                }
            }
        }
        end.get(sheet.last_step()).copied().unwrap_or(0).max(0)
    }

    /// What a step still takes, its loads that are not over one after the other.
    fn own(&self, sheet: &Sheet, dish: usize, s: usize) -> Own {
        let Some(step) = sheet.recipe.steps.get(s) else { return Own::Open(0) };
        let now = self.situation.now;
        if step.day_before && now.is_none_or(|now| now < 0) {
            return Own::Over(-DAY);
        }
        let of = |load: u32| self.situation.begun.get(&StepKey { dish, step: s, load });
        let loads = |w: usize| Minute::try_from(sheet.loads(s, w)).unwrap_or(1);
        let long = |w: usize| sheet.minutes(s, w).saturating_mul(loads(w));
        let Some(Begun::Done { way, .. } | Begun::Running { way, .. }) = of(0) else {
            return Own::Open((0..step.ways.len()).map(long).min().unwrap_or(0));
        };
        let mut left = 0;
        let mut last = None;
        for load in 0..sheet.loads(s, *way) {
            match of(load) {
                Some(Begun::Done { end, .. }) => {
                    last = last.max(Some(end - now.unwrap_or(*end)));
                }
                Some(Begun::Running { end, .. }) => left += (end - now.unwrap_or(*end)).max(0),
                None => left += sheet.minutes(s, *way),
            }
        }
        match last {
            Some(at) if left == 0 => Own::Over(at.min(0)),
            _ => Own::Open(left),
        }
    }
}

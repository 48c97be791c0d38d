//! One party, whole: every name resolved, every recipe in place. What the
//! planner, the run and the screens read.

use super::borrowed;
use super::clock::{Clockface, Minute};
use super::customs::Customs;
use super::equipment::{Kitchen, Station};
use super::own_times::OwnTimes;
use super::party::{Cook, Party};
use super::recipe::{Recipe, Step, WaitPlace};

/// A party with its kitchen and recipes in place, checked.
#[derive(Debug, Clone, PartialEq)]
pub struct Evening {
    /// The party as the cook wrote it.
    pub party: Party,
    /// Its kitchen, with what is borrowed for the party.
    pub kitchen: Kitchen,
    /// One sheet a dish, in the party's order.
    pub sheets: Vec<Sheet>,
    /// What the wall clock shows.
    pub face: Clockface,
    /// How temperatures, dials and numbers are read.
    pub customs: Customs,
    /// The cook's own minutes, which stand in the recipes as they are made.
    pub own_times: OwnTimes,
}

/// A dish with its recipe.
#[derive(Debug, Clone, PartialEq)]
pub struct Sheet {
    /// Id of the dish.
    pub id: String,
    /// Its letter on the chart, unique among the dishes.
    pub letter: char,
    /// The recipe as the dish is made: with other items, half and half, the day before.
    pub recipe: Recipe,
    /// The recipe as it is written.
    pub written: Recipe,
    /// Servings to make.
    pub servings: u32,
    /// Index of its service in the party's services.
    pub service: usize,
    /// Knife work among its steps, if the party pools it; in the order of those steps.
    pub jobs: Vec<BoardJob>,
    /// Its steps that want what is cut among the steps of another dish.
    pub waits_for: Vec<WaitsFor>,
}

/// Knife work that is a step of a dish, done for it and perhaps for others.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BoardJob {
    /// Id of the step, the last ones of the recipe as it is made.
    pub step: String,
    /// Which job of the mise it is.
    pub job: String,
    /// Ids of the dishes that get of it.
    pub dishes: Vec<String>,
}

/// That a step of a dish waits for knife work among the steps of another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WaitsFor {
    /// Id of the step that waits.
    pub step: String,
    /// Id of the other dish.
    pub dish: String,
    /// Id of the step in which it is cut.
    pub job: String,
}

/// A step of one dish that follows a step of another, both by their indexes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AcrossDishes {
    /// The dish whose step comes first.
    pub from_dish: usize,
    /// That step.
    pub from_step: usize,
    /// The step that waits for its end.
    pub step: usize,
}

impl Sheet {
    /// The name for narrow places: the recipe's short name, or its title cut to 12 letters.
    #[must_use]
    pub fn short(&self) -> String {
        match &self.recipe.short {
            Some(short) => short.clone(),
            None => self.recipe.title.chars().take(12).collect(),
        }
    }

    /// Index of a step by its id.
    #[must_use]
    pub fn step_index(&self, id: &str) -> Option<usize> {
        self.recipe.steps.iter().position(|s| s.id == id)
    }

    /// Is this step knife work whose pieces wait in the cold? Then what is cut is out of the cold from its start on.
    #[must_use]
    pub fn cuts_cold(&self, step: &str) -> bool {
        let follows =
            |s: &Step| s.after.iter().any(|a| a.step == step && a.place == WaitPlace::Cold);
        self.jobs.iter().any(|j| j.step == step) && self.recipe.steps.iter().any(follows)
    }

    /// Index of the one step that all others lead to.
    #[must_use]
    pub fn last_step(&self) -> usize {
        let steps = &self.recipe.steps;
        let followed = |id: &str| steps.iter().any(|s| s.after.iter().any(|a| a.step == id));
        steps.iter().rposition(|s| !followed(&s.id)).unwrap_or(0)
    }

    /// Loads that a step takes in one of its ways: 1 unless it is done in loads.
    #[must_use]
    pub fn loads(&self, step: usize, way: usize) -> u32 {
        let per_load = self.recipe.steps.get(step).and_then(|s| s.ways.get(way)?.load_servings);
        match per_load {
            Some(n) if n > 0 => self.servings.div_ceil(n).max(1),
            _ => 1,
        }
    }

    /// Likely minutes of one load of a step in one of its ways, for these servings. At least 1.
    #[must_use]
    pub fn minutes(&self, step: usize, way: usize) -> Minute {
        self.scaled(step, way, |m| m.likely)
    }

    /// Minutes that a step is unlikely to stay below, for these servings. At least 1.
    #[must_use]
    pub fn low_minutes(&self, step: usize, way: usize) -> Minute {
        self.scaled(step, way, |m| m.low)
    }

    /// Minutes that a step is unlikely to exceed, for these servings. At least 1.
    #[must_use]
    pub fn high_minutes(&self, step: usize, way: usize) -> Minute {
        self.scaled(step, way, |m| m.high)
    }

    fn scaled(&self, step: usize, way: usize, pick: fn(&super::recipe::Minutes) -> u32) -> Minute {
        let Some(step) = self.recipe.steps.get(step) else { return 1 };
        let Some(way) = step.ways.get(way) else { return 1 };
        self.grown(step.grows, pick(&way.minutes))
    }

    /// Minutes that the recipe has for its own servings, for those that are made.
    fn grown(&self, grows: super::recipe::Growth, minutes: u32) -> Minute {
        let minutes = u64::from(minutes);
        let scaled = match grows {
            super::recipe::Growth::Fixed => minutes,
            super::recipe::Growth::Proportion => {
                let made = u64::from(self.recipe.servings.max(1));
                (minutes * u64::from(self.servings)).div_ceil(made)
            }
        };
        Minute::try_from(scaled.clamp(1, 20_000)).unwrap_or(1)
    }
}

impl Evening {
    /// The same evening by other own times of the cook; by the recipes' alone if there are none.
    #[must_use]
    pub fn by_own_times(mut self, times: OwnTimes) -> Self {
        self.own_times = times;
        for (dish, sheet) in self.party.dishes.iter().zip(&mut self.sheets) {
            sheet.recipe = super::check::as_made(dish, sheet.written.clone());
            self.own_times.onto(&mut sheet.recipe);
        }
        self
    }

    /// Likely minutes of a step by the recipe as it is written, for the servings
    /// that are made. At least 1.
    #[must_use]
    pub fn written_minutes(&self, dish: usize, step: usize, way: usize) -> Minute {
        let Some(sheet) = self.sheets.get(dish) else { return 1 };
        let found = sheet.recipe.steps.get(step).and_then(|s| Some((s, s.ways.get(way)?)));
        let Some((of, through)) = found else { return 1 };
        let (recipe, now) = (&sheet.recipe.id, through.minutes);
        match self.own_times.written(recipe, &of.id, through.station, now) {
            Some(time) => sheet.grown(of.grows, time.written.likely),
            None => sheet.minutes(step, way),
        }
    }

    /// The same evening, read by the customs of the cook's kitchen; the party's
    /// own degrees go before them.
    #[must_use]
    pub fn read_by(mut self, customs: Customs) -> Self {
        let degrees = self.party.degrees.unwrap_or(customs.degrees);
        self.customs = Customs { degrees, ..customs };
        self.face.hours = customs.hours;
        self
    }

    /// The first minute at which a cook is there; none without hours.
    #[must_use]
    pub fn comes(&self, cook: &Cook) -> Option<Minute> {
        cook.free.iter().map(|f| self.face.minute_of(f.from)).min()
    }

    /// The minute after the last at which a cook is there.
    #[must_use]
    pub fn leaves(&self, cook: &Cook) -> Option<Minute> {
        cook.free.iter().map(|f| self.face.minute_of(f.to)).max()
    }

    /// The minute at which a service stands on the table by the party file.
    #[must_use]
    pub fn service_minute(&self, service: usize) -> Minute {
        self.party.services.get(service).map_or(0, |s| self.face.minute_of(s.at))
    }

    /// The minute at which the last of them does; none if there is no service.
    #[must_use]
    pub fn last_service(&self) -> Option<Minute> {
        (0..self.party.services.len()).map(|service| self.service_minute(service)).max()
    }

    /// What the steps of a dish wait for among the steps of others.
    pub fn waits_across(&self, dish: usize) -> impl Iterator<Item = AcrossDishes> + '_ {
        let sheet = self.sheets.get(dish);
        sheet.into_iter().flat_map(|s| s.waits_for.iter().map(move |w| (s, w))).filter_map(
            |(sheet, wait)| {
                let from_dish = self.dish_index(&wait.dish)?;
                let from_step = self.sheets.get(from_dish)?.step_index(&wait.job)?;
                Some(AcrossDishes { from_dish, from_step, step: sheet.step_index(&wait.step)? })
            },
        )
    }

    /// Index of a dish by its id.
    #[must_use]
    pub fn dish_index(&self, id: &str) -> Option<usize> {
        self.sheets.iter().position(|s| s.id == id)
    }

    /// The kitchen without what is borrowed for the party: as its file has it.
    #[must_use]
    pub fn own_kitchen(&self) -> Kitchen {
        borrowed::without(self.kitchen.clone(), &self.party.borrowed)
    }

    /// A station by its id.
    #[must_use]
    pub fn station(&self, id: &str) -> Option<&Station> {
        self.kitchen.stations.iter().find(|s| s.id == id)
    }

    /// Is a step made the day before?
    #[must_use]
    pub fn is_of_the_day_before(&self, dish: usize, step: usize) -> bool {
        let sheet = self.sheets.get(dish);
        sheet.and_then(|s| s.recipe.steps.get(step)).is_some_and(|s| s.day_before)
    }

    /// Minutes that a dish will stand on the table.
    #[must_use]
    pub fn table_minutes(&self, dish: usize) -> u32 {
        self.sheets
            .get(dish)
            .and_then(|s| s.recipe.safety.table_minutes)
            .unwrap_or(self.party.table_minutes)
    }
}

#[cfg(test)]
#[path = "evening_tests.rs"]
mod tests;

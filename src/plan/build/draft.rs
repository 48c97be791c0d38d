//! The problem while it is being built.

use super::map::{Map, NoWay, Reason};
use crate::kitchen::{Evening, Minute, Sheet};
use crate::plan::problem::{Point, Problem};
use crate::plan::{Begun, Situation, StepKey};
use crate::safety::{self, Profile};

/// Everything that the parts of the builder read and add to.
pub(super) struct Draft<'a> {
    pub evening: &'a Evening,
    pub situation: &'a Situation,
    pub problem: Problem,
    pub map: Map,
    pub reasons: Vec<Reason>,
    /// For each dish and step, its tasks by load. Empty for what is not in the problem.
    pub tasks: Vec<Vec<Vec<usize>>>,
    /// For each dish and step, its steps in the problem: one, but for steps
    /// whose loads are done in different ways.
    pub steps: Vec<Vec<Vec<usize>>>,
}

impl<'a> Draft<'a> {
    pub fn new(evening: &'a Evening, situation: &'a Situation) -> Self {
        let empty: Vec<Vec<Vec<usize>>> =
            evening.sheets.iter().map(|s| vec![Vec::new(); s.recipe.steps.len()]).collect();
        Self {
            evening,
            situation,
            problem: Problem::default(),
            map: Map::default(),
            reasons: Vec::new(),
            tasks: empty.clone(),
            steps: empty,
        }
    }

    pub fn finish(self) -> Result<(Problem, Map), NoWay> {
        if self.reasons.is_empty() {
            Ok((self.problem, self.map))
        } else {
            Err(NoWay { reasons: self.reasons })
        }
    }

    /// Dishes that are still to be made or served, with their sheets.
    pub fn dishes(&self) -> impl Iterator<Item = (usize, &'a Sheet)> + use<'a> {
        let situation = self.situation;
        self.evening
            .sheets
            .iter()
            .enumerate()
            .filter(move |(d, _)| !situation.served.contains(d) && !situation.dropped.contains(d))
    }

    /// Is a dish still made (its steps take up their places)?
    pub fn is_made(&self, dish: usize) -> bool {
        !self.situation.dropped.contains(&dish) && dish < self.evening.sheets.len()
    }

    /// Has the evening begun?
    pub fn running(&self) -> bool {
        self.situation.now.is_some()
    }

    pub fn begun(&self, dish: usize, step: usize, load: u32) -> Option<&'a Begun> {
        self.situation.begun.get(&StepKey { dish, step, load })
    }

    /// When a service is due.
    pub fn due(&self, service: usize) -> Minute {
        self.situation
            .service_at
            .get(&service)
            .copied()
            .unwrap_or_else(|| self.evening.service_minute(service))
    }

    /// Index of a station by its id.
    pub fn station(&self, id: &str) -> Option<usize> {
        self.evening.kitchen.stations.iter().position(|s| s.id == id)
    }

    pub fn is_up(&self, station: usize) -> bool {
        self.evening
            .kitchen
            .stations
            .get(station)
            .is_some_and(|s| !self.situation.down.contains(&s.id))
    }

    /// Index of the oven at a station, if it has a thermostat.
    pub fn oven_at(&self, station: usize) -> Option<usize> {
        self.map.ovens.iter().position(|&s| s == station)
    }

    /// The start of a step: of its first load.
    pub fn start(&self, dish: usize, step: usize) -> Option<Point> {
        self.tasks[dish][step].first().map(|&task| Point { task, end: false })
    }

    /// The end of the first load of a step.
    pub fn first_end(&self, dish: usize, step: usize) -> Option<Point> {
        self.tasks[dish][step].first().map(|&task| Point { task, end: true })
    }

    pub fn starts(&self, dish: usize, step: usize) -> impl Iterator<Item = Point> + '_ {
        self.tasks[dish][step].iter().map(|&task| Point { task, end: false })
    }

    pub fn ends(&self, dish: usize, step: usize) -> impl Iterator<Item = Point> + '_ {
        self.tasks[dish][step].iter().map(|&task| Point { task, end: true })
    }

    /// When a point is or was, if its task has begun.
    pub fn known(&self, point: Point) -> Option<Minute> {
        let fixed = self.problem.tasks[point.task].fixed?;
        Some(if point.end { fixed.end } else { fixed.start })
    }

    /// The same, if it has happened and is not merely planned for the day before: what follows
    /// something that is planned can be had in time.
    pub fn happened(&self, point: Point) -> Option<Minute> {
        let key = self.map.tasks[point.task].key;
        self.known(point).filter(|_| !self.situation.planned.contains(&key))
    }

    pub fn profile(&self) -> Option<&'static Profile> {
        Profile::by_id(&self.evening.party.guidance).or_else(|| Profile::by_id(Profile::DEFAULT_ID))
    }

    /// Minutes that a dish may be out of temperature control in all, its time
    /// on the table included; None for food that may stand.
    pub fn limit(&self, dish: usize) -> Option<i32> {
        let recipe = &self.evening.sheets[dish].recipe;
        let perishable = safety::is_perishable(recipe.safety.class, recipe.safety.exempt);
        let air_c = f64::from(self.evening.party.room_c);
        let minutes = safety::limit_minutes(self.profile()?, perishable, air_c)?;
        i32::try_from(minutes).ok()
    }

    /// Minutes that a dish stands on the table.
    pub fn table(&self, dish: usize) -> i32 {
        i32::try_from(self.evening.table_minutes(dish)).unwrap_or(i32::MAX / 4)
    }
}

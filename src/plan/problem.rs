//! The planning problem in integers: no dish names, no files, no clock.
//!
//! **Time** is whole minutes. A task that starts at `s` with `m` minutes covers
//! the minutes `s..s+m`.
//!
//! **Choices**: a mode for each step (all its loads share it), a start for each
//! active task, a cook for each active task whose mode has hands, an oven
//! setting for each active task or chosen hold at a thermostat, and a hold (or
//! none) for each dish.
//!
//! **Rules**, at every minute from [`Problem::start`] on:
//! 1. A task is *active* if its load is below the loads of its step's mode.
//!    Inactive tasks, and all lags, stays and links that name one, are void;
//!    a stay or span over several points is taken over the active ones.
//! 2. A fixed task stands exactly where it is. Other tasks start at or after
//!    `earliest` and at or before `latest`, and end by [`Problem::end`].
//! 3. Lags: `least <= to - from <= most`. A lag with a `soft_most` price may
//!    exceed `most`, at that price a minute. A lag may lead from a step of one
//!    dish to a step of another, and a step need not belong to a dish: so a job
//!    that several dishes share (dice the onions for all of them) is a step of
//!    its own with lags to the steps that use it, and lags from job to job say
//!    in which order the board is used. Nothing is paid for a job done early but
//!    what the cooks' hours cost; of plans of equal cost the search takes the
//!    later starts, and a `most`, hard or at a price, says how long what was
//!    cut keeps.
//! 4. Resources: the amounts used never exceed the capacity, and nothing is
//!    used in closed minutes. Where fixed tasks alone exceed it (what happened,
//!    happened), their use is the capacity of that minute: nothing is added.
//! 5. Cooks are resources of capacity 100. A task's hands fall on one cook.
//! 6. Ovens: uses of one oven that overlap have the same setting; a use with
//!    another setting than an earlier one starts at least the oven's own
//!    heating or cooling minutes after that one's end; and every use starts at
//!    least those minutes from the oven's temperature at [`Problem::start`].
//!    Fixed tasks are excused among themselves.
//! 7. A dish is *out* when the first load of its last step ends, *ready* when
//!    the last load does, and *served* at `max(due, ready)`. If it is served
//!    later than out, it needs a hold, which takes its resources from out to
//!    served, for at most its `most` minutes (or at its soft price beyond).
//!    Limits of the hold chosen (or of serving straight) hold.
//!
//! **Cost** is the sum of the prices named at the fields; see [`super::Cost`].

use serde::{Deserialize, Serialize};

/// A planning problem. Prices are in cost units; see `plan::weights` for what they weigh.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Problem {
    /// Nothing new starts before this minute (now, while running).
    pub start: i32,
    /// Everything ends by this minute.
    pub end: i32,
    /// Slots of stations, cooks, pans, fridge places.
    pub resources: Vec<Resource>,
    /// Stations whose slots need the right temperature.
    pub ovens: Vec<Oven>,
    /// What is to be done; each in one of several modes.
    pub steps: Vec<Step>,
    /// The loads of the steps, grouped by step and in order of load.
    pub tasks: Vec<Task>,
    /// Least and most minutes between points of tasks.
    pub lags: Vec<Lag>,
    /// Resources taken over several tasks and the waits between (pans, fridge places).
    pub stays: Vec<Stay>,
    /// What is served, and how it may wait.
    pub dishes: Vec<Dish>,
    /// Pairs of steps that the cook would rather do in one go.
    pub links: Vec<Link>,
    /// Where things stood on the screen before (running only).
    pub anchors: Vec<Anchor>,
    /// Price of each minute from the first hands-on minute of a task that is
    /// not fixed to `effort_until`.
    pub span_price: i64,
    /// The minute to which that span runs (the last service).
    pub effort_until: i32,
    /// Price of a hundredth of a cook's idle minute: for each cook, 100 x (last
    /// less first hands-on minute) less the sum of percent x minutes, over
    /// tasks that are not fixed.
    pub idle_price: i64,
    /// Price of a minute of the last end of all (benchmark problems; 0 for parties).
    pub finish_price: i64,
}

/// Something of which only so much is there.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Resource {
    /// How much there is at once.
    pub capacity: i32,
    /// `from..to` stretches in which none of it may be used, rising, apart.
    pub closed: Vec<(i32, i32)>,
}

/// A station with a thermostat.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Oven {
    /// Its temperature at [`Problem::start`], °C.
    pub start_c: i32,
    /// Heats so many °C a minute.
    pub up_c_per_min: i32,
    /// Cools so many °C a minute.
    pub down_c_per_min: i32,
}

impl Oven {
    /// Whole minutes from one temperature to another, rounded up.
    #[must_use]
    pub fn minutes(&self, from_c: i32, to_c: i32) -> i32 {
        let (change, rate) = if to_c >= from_c {
            (to_c - from_c, self.up_c_per_min)
        } else {
            (from_c - to_c, self.down_c_per_min)
        };
        let rate = rate.max(1);
        change / rate + i32::from(change % rate != 0)
    }
}

/// A step with its modes.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Step {
    /// Ways to do it; at least one.
    pub modes: Vec<Mode>,
    /// Resources (of capacity 100) that can lend it hands; one is chosen for
    /// each task. Not empty if any mode has hands.
    pub cooks: Vec<usize>,
    /// Index of its first task; the loads follow each other.
    pub first_task: usize,
    /// Tasks it has: the most loads of any mode.
    pub task_count: usize,
}

impl Step {
    /// Its tasks: one for each load of the mode that has the most.
    #[must_use]
    pub const fn tasks(&self) -> std::ops::Range<usize> {
        self.first_task..self.first_task + self.task_count
    }
}

/// A way to do a step at a certain station.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Mode {
    /// Minutes of one load. 0 only in benchmark problems.
    pub minutes: i32,
    /// Loads, one after another (the lags say so).
    pub loads: usize,
    /// What each load takes from its start to its end.
    pub uses: Vec<Use>,
    /// The oven it is in and the settings it accepts.
    pub oven: Option<OvenUse>,
    /// What each load asks of its cook; stretches apart and rising.
    pub hands: Vec<HandsPart>,
    /// Price of doing it this way.
    pub price: i64,
}

/// So much of a resource.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Use {
    /// Index of the resource.
    pub resource: usize,
    /// How much, more than 0.
    pub amount: i32,
}

/// An oven and the settings accepted, both ends included.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct OvenUse {
    /// Index of the oven.
    pub oven: usize,
    /// Lowest setting, °C.
    pub least_c: i32,
    /// Highest setting, °C.
    pub most_c: i32,
}

/// A stretch of a cook's attention, in minutes from the task's start.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct HandsPart {
    /// First minute, from the task's start.
    pub from: i32,
    /// Minute after the last, from the task's start.
    pub to: i32,
    /// 1 to 100.
    pub percent: i32,
}

/// One load of a step.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Task {
    /// Index of its step.
    pub step: usize,
    /// Which load, from 0.
    pub load: usize,
    /// Where it stands, if it has begun.
    pub fixed: Option<Fixed>,
    /// It starts no earlier (at least [`Problem::start`] unless fixed).
    pub earliest: i32,
    /// It starts no later (a pin has both the same).
    pub latest: i32,
}

/// A task that is running or done: it uses its resources at the minutes from
/// [`Problem::start`] to its end, its hands as its mode says from its start.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub struct Fixed {
    /// When it started.
    pub start: i32,
    /// When it ended or is expected to end.
    pub end: i32,
    /// Its cook, an index into [`Problem::resources`].
    pub cook: Option<usize>,
    /// The setting it has, if it is in an oven.
    pub setting_c: Option<i32>,
}

/// An end of a task.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Point {
    /// Index of the task.
    pub task: usize,
    /// Its end, or else its start.
    pub end: bool,
}

/// Least and most minutes from one point to another.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Lag {
    /// From here.
    pub from: Point,
    /// To here.
    pub to: Point,
    /// At least so many minutes (may be negative); `i32::MIN` for none.
    pub least: i32,
    /// At most so many minutes; `i32::MAX` for none.
    pub most: i32,
    /// Price of a minute beyond `most`; without one `most` is never exceeded.
    pub soft_most: Option<i64>,
    /// The wait that is best, and the price of a minute short of it.
    pub best: Option<(i32, i64)>,
}

/// A resource taken from the earliest of some points to the latest of others.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Stay {
    /// What is taken.
    pub uses: Use,
    /// From the earliest of these.
    pub from: Vec<Point>,
    /// To the latest of these.
    pub to: Vec<Point>,
    /// And on until the dish is served, if it waits in this hold: (dish, hold).
    pub through_hold: Vec<(usize, usize)>,
}

/// Something served.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Dish {
    /// The step whose end makes it ready.
    pub last_step: usize,
    /// When it should be served.
    pub due: i32,
    /// Price of a minute late.
    pub late_price: i64,
    /// Minutes before `due` at which it would best be ready.
    pub cushion: i32,
    /// Price of a minute short of that cushion (late minutes do not count again).
    pub cushion_price: i64,
    /// Ways to wait.
    pub holds: Vec<Hold>,
    /// Limits if it is served the minute it is out, without a hold.
    pub straight: Vec<Limit>,
    /// Price of serving it without a hold (a dip that would have gained by resting).
    pub straight_price: i64,
    /// It waits in this hold already (index), whatever the search would like.
    pub held: Option<usize>,
}

/// A way for a dish to wait.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Hold {
    /// What it takes from out to served.
    pub uses: Vec<Use>,
    /// The oven it is in and the settings it accepts.
    pub oven: Option<OvenUse>,
    /// Setting it has, if it waits there already.
    pub setting_c: Option<i32>,
    /// Minutes that cost nothing.
    pub free: i32,
    /// Price of each minute after that.
    pub price: i64,
    /// The most minutes.
    pub most: i32,
    /// Price of a minute beyond `most`; without one it is never exceeded.
    pub soft_most: Option<i64>,
    /// The wait that is best, and the price of a minute short of it.
    pub best: Option<(i32, i64)>,
    /// Safety limits that go with it.
    pub limits: Vec<Limit>,
}

/// At most so many minutes from a point to the serving of the dish.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Limit {
    /// From here.
    pub from: Point,
    /// At most so many minutes.
    pub most: i32,
    /// Price of a minute beyond; without one it is never exceeded.
    pub soft_most: Option<i64>,
}

/// The second step would best start just `least` minutes after the first
/// step's last load ends; the price is due when it starts later.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Link {
    /// The step before.
    pub from_step: usize,
    /// The step after; not fixed.
    pub to_step: usize,
    /// Minutes that must lie between.
    pub least: i32,
    /// Price of any more.
    pub price: i64,
}

/// Where a task stood in the plan on the screen.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Anchor {
    /// Index of the task; not fixed.
    pub task: usize,
    /// Its start there.
    pub start: i32,
    /// Price of each minute it moves either way.
    pub price: i64,
    /// The mode of its step there, and the price of another.
    pub mode: Option<(usize, i64)>,
}

/// An answer: every choice made.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize, Deserialize)]
pub struct Schedule {
    /// For each step, its mode.
    pub mode: Vec<usize>,
    /// For each task, its start (meaningless for inactive ones).
    pub start: Vec<i32>,
    /// For each task, its cook: an index into [`Problem::resources`].
    pub cook: Vec<Option<usize>>,
    /// For each task, its oven setting in °C.
    pub setting_c: Vec<Option<i32>>,
    /// For each dish, its hold: an index into [`Dish::holds`].
    pub hold: Vec<Option<usize>>,
    /// For each dish, the oven setting of its hold in °C.
    pub hold_setting_c: Vec<Option<i32>>,
}

impl Problem {
    /// Is the task's load done at all in the mode that the schedule gives its step?
    #[must_use]
    pub fn active(&self, schedule: &Schedule, task: usize) -> bool {
        let t = &self.tasks[task];
        t.load < self.steps[t.step].modes[schedule.mode[t.step]].loads
    }

    /// When a task ends in the schedule.
    #[must_use]
    pub fn end_of(&self, schedule: &Schedule, task: usize) -> i32 {
        let t = &self.tasks[task];
        match t.fixed {
            Some(fixed) => fixed.end,
            None => schedule.start[task] + self.steps[t.step].modes[schedule.mode[t.step]].minutes,
        }
    }

    /// Takes away every price but those of what is late and of the last end of all.
    pub fn take_prices_away(&mut self) {
        self.anchors.clear();
        self.links.clear();
        (self.span_price, self.idle_price) = (0, 0);
        for mode in self.steps.iter_mut().flat_map(|s| &mut s.modes) {
            mode.price = 0;
        }
        for lag in &mut self.lags {
            lag.best = None;
        }
        for dish in &mut self.dishes {
            (dish.cushion, dish.cushion_price, dish.straight_price) = (0, 0, 0);
            for hold in &mut dish.holds {
                (hold.price, hold.best) = (0, None);
            }
        }
    }
}

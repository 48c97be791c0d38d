//! Kitchen-like planning problems from a seed: invented, for measuring and
//! for tests that hold for any party.

use potwatch::plan::problem::{
    Anchor, Dish, Fixed, HandsPart, Hold, Lag, Limit, Link, Mode, Oven, OvenUse, Point, Problem,
    Resource, Schedule, Stay, Step, Task, Use,
};
use potwatch::plan::weights;

/// Numbers that depend on the seed alone (a linear congruence, as in Knuth's MMIX).
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }
    pub fn below(&mut self, n: i32) -> i32 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) % n.max(1) as u64) as i32
    }
    pub fn from(&mut self, least: i32, most: i32) -> i32 {
        least + self.below(most - least + 1)
    }
    pub fn chance(&mut self, percent: i32) -> bool {
        self.below(100) < percent
    }
}

/// What a kitchen problem should be like.
#[derive(Debug, Clone, Copy)]
pub struct Wish {
    pub steps: usize,
    pub cooks: usize,
    pub ovens: usize,
    pub seed: u64,
}

const COUNTER: usize = 0;
const HOB: usize = 1;
const FRIDGE: usize = 2;
const SLOW: usize = 3;
const FRYER: usize = 4;
const POT: usize = 5;
const PAN: usize = 6;
const TRAY: usize = 7;
const RACKS: usize = 8;
const OPEN: i32 = 12 * 60;

struct Maker {
    p: Problem,
    dice: Dice,
    wish: Wish,
    last_hands: Option<usize>,
}

/// A party of about so many steps.
pub fn party(wish: Wish) -> Problem {
    let big = if wish.steps > 80 { 2 } else { 1 };
    let mut resources: Vec<Resource> = [2 * big, 4 * big, 8, 1, 1, 3 * big, 3 * big, 4 * big]
        .iter()
        .map(|&capacity| Resource { capacity, closed: Vec::new() })
        .collect();
    let mut p = Problem {
        start: OPEN,
        end: 22 * 60,
        span_price: weights::SPAN,
        effort_until: 19 * 60,
        idle_price: weights::IDLE,
        ..Problem::default()
    };
    for _ in 0..wish.ovens {
        resources.push(Resource { capacity: 2, closed: Vec::new() });
        p.ovens.push(Oven { start_c: 20, up_c_per_min: 12, down_c_per_min: 6 });
    }
    for _ in 0..wish.cooks {
        resources.push(Resource { capacity: 100, closed: Vec::new() });
    }
    p.resources = resources;
    let mut maker = Maker { p, dice: Dice::new(wish.seed), wish, last_hands: None };
    while maker.p.steps.len() + 3 < wish.steps {
        maker.dish();
    }
    maker.p
}

impl Maker {
    fn cooks(&self) -> Vec<usize> {
        let first = RACKS + self.wish.ovens;
        (first..first + self.wish.cooks).collect()
    }

    fn step(&mut self, modes: Vec<Mode>) -> usize {
        let step = self.p.steps.len();
        let first_task = self.p.tasks.len();
        let task_count = modes.iter().map(|m| m.loads).max().unwrap_or(1);
        for load in 0..task_count {
            self.p.tasks.push(Task { step, load, fixed: None, earliest: OPEN, latest: i32::MAX });
            if load > 0 {
                let (from, to) =
                    (point(first_task + load - 1, true), point(first_task + load, false));
                self.lag(from, to, 0, i32::MAX, None);
            }
        }
        let cooks = self.cooks();
        self.p.steps.push(Step { modes, cooks, first_task, task_count });
        step
    }

    fn lag(&mut self, from: Point, to: Point, least: i32, most: i32, best: Option<(i32, i64)>) {
        self.p.lags.push(Lag { from, to, least, most, soft_most: None, best });
    }

    /// The second step follows all loads of the first.
    fn follow(&mut self, a: usize, b: usize, least: i32, most: i32, best: Option<(i32, i64)>) {
        let to = point(self.p.steps[b].first_task, false);
        let (first, count) = (self.p.steps[a].first_task, self.p.steps[a].task_count);
        for load in 0..count {
            let most = if load + 1 == count { most } else { i32::MAX };
            self.lag(
                point(first + load, true),
                to,
                least,
                most,
                best.filter(|_| load + 1 == count),
            );
        }
        if self.dice.chance(40) {
            let link = Link { from_step: a, to_step: b, least, price: weights::HOP };
            self.p.links.push(link);
        }
    }

    fn chop(&mut self, minutes: i32) -> usize {
        let hands = vec![HandsPart { from: 0, to: minutes, percent: 100 }];
        let uses = vec![Use { resource: COUNTER, amount: 1 }];
        self.step(vec![Mode { minutes, loads: 1, uses, oven: None, hands, price: 0 }])
    }

    fn simmer(&mut self, minutes: i32) -> usize {
        let percent = [0, 10, 10, 20, 50][self.dice.below(5) as usize];
        let hands = around(minutes, self.dice.from(1, 3), percent, self.dice.from(0, 2));
        let uses = vec![Use { resource: HOB, amount: 1 }];
        let mut modes = vec![Mode { minutes, loads: 1, uses, oven: None, hands, price: 0 }];
        if self.dice.chance(20) {
            let long = minutes * 3;
            modes.push(Mode {
                minutes: long,
                loads: 1,
                uses: vec![Use { resource: SLOW, amount: 1 }],
                oven: None,
                hands: around(long, 3, 0, 0),
                price: weights::POINT * 2,
            });
        }
        self.step(modes)
    }

    fn bake(&mut self, minutes: i32) -> usize {
        let at = [150, 165, 180, 190, 200, 220][self.dice.below(6) as usize];
        let give = [5, 10, 15, 20][self.dice.below(4) as usize];
        let racks = if self.dice.chance(20) { 2 } else { 1 };
        let hands = around(minutes, 2, 0, 2);
        let mut modes: Vec<Mode> = (0..self.wish.ovens)
            .map(|o| Mode {
                minutes,
                loads: 1,
                uses: vec![Use { resource: RACKS + o, amount: racks }],
                oven: Some(OvenUse { oven: o, least_c: at - give, most_c: at + give }),
                hands: hands.clone(),
                price: 0,
            })
            .collect();
        if minutes < 30 && self.dice.chance(50) {
            let quick = minutes * 2 / 3 + 1;
            modes.push(Mode {
                minutes: quick,
                loads: self.dice.from(2, 3) as usize,
                uses: vec![Use { resource: FRYER, amount: 1 }],
                oven: None,
                hands: around(quick, 1, 0, 1),
                price: weights::POINT * i64::from(self.dice.below(2)),
            });
        }
        self.step(modes)
    }

    fn middle(&mut self) -> usize {
        let minutes = self.dice.from(10, 45);
        if self.dice.chance(50) { self.bake(minutes) } else { self.simmer(minutes) }
    }

    fn wait(&mut self) -> (i32, i32, Option<(i32, i64)>) {
        match self.dice.below(5) {
            0 => (0, 10, None),
            1 => (5, 30, Some((10, weights::POINT_PER_TEN_MINUTES))),
            2 => (0, 45, None),
            3 => (10, 120, Some((30, weights::POINT_PER_TEN_MINUTES / 2))),
            _ => (0, i32::MAX, None),
        }
    }

    fn dish(&mut self) {
        let first_step = self.p.steps.len();
        let minutes = self.dice.from(4, 12);
        let prep = self.chop(minutes);
        let mut chain = vec![prep];
        for _ in 0..self.dice.from(1, 3) {
            let next = if self.dice.chance(25) {
                let minutes = self.dice.from(2, 6);
                self.chop(minutes)
            } else {
                self.middle()
            };
            chain.push(next);
        }
        let minutes = self.dice.from(1, 4);
        let plate = self.chop(minutes);
        chain.push(plate);
        for pair in chain.windows(2) {
            let (least, most, best) = self.wait();
            self.follow(pair[0], pair[1], least, most, best);
        }
        if self.dice.chance(50) {
            let minutes = self.dice.from(3, 8);
            let side = self.chop(minutes);
            if self.dice.chance(50) {
                let more = self.middle();
                self.follow(side, more, 0, 60, None);
                self.follow(more, plate, 0, 40, None);
            } else {
                self.follow(side, plate, 0, i32::MAX, None);
            }
        }
        let ware = [POT, PAN, TRAY][self.dice.below(3) as usize];
        let steps = &self.p.steps[chain[1]..=chain[chain.len() - 2]];
        let tasks: Vec<usize> =
            steps.iter().flat_map(|s| s.first_task..s.first_task + s.task_count).collect();
        self.p.stays.push(Stay {
            uses: Use { resource: ware, amount: 1 },
            from: tasks.iter().map(|&t| point(t, false)).collect(),
            to: tasks.iter().map(|&t| point(t, true)).collect(),
            through_hold: Vec::new(),
        });
        self.serve(plate, first_step);
    }

    fn serve(&mut self, last_step: usize, first_step: usize) {
        let due = if self.dice.chance(40) { 18 * 60 } else { 19 * 60 };
        let ready = point(self.p.steps[last_step].first_task, true);
        let warm = Hold {
            free: self.dice.from(5, 20),
            price: weights::POINT_PER_TEN_MINUTES * i64::from(self.dice.from(1, 5)),
            most: self.dice.from(20, 90),
            ..Hold::default()
        };
        let mut holds =
            vec![Hold { uses: vec![Use { resource: COUNTER, amount: 1 }], ..warm.clone() }];
        if self.dice.chance(50) {
            let oven = self.dice.below(self.wish.ovens as i32) as usize;
            holds.push(Hold {
                uses: vec![Use { resource: RACKS + oven, amount: 1 }],
                oven: Some(OvenUse { oven, least_c: 70, most_c: 90 }),
                most: warm.most * 2,
                free: warm.free * 2,
                ..warm.clone()
            });
        }
        if self.dice.chance(40) {
            holds.push(Hold {
                uses: vec![Use { resource: FRIDGE, amount: 1 }],
                most: 24 * 60,
                free: 120,
                best: Some((30, weights::POINT_PER_TEN_MINUTES)),
                limits: vec![Limit { from: ready, most: 600, soft_most: None }],
                ..warm
            });
        }
        self.p.dishes.push(Dish {
            last_step,
            due,
            late_price: weights::LATE,
            cushion: self.dice.from(0, 10),
            cushion_price: weights::CUSHION,
            holds,
            ..Dish::default()
        });
        self.last_hands = Some(first_step);
    }
}

const fn point(task: usize, end: bool) -> Point {
    Point { task, end }
}

/// Full attention at both ends, so much in between.
fn around(minutes: i32, start: i32, percent: i32, end: i32) -> Vec<HandsPart> {
    let start = start.min(minutes);
    let end = end.min(minutes - start);
    let part = |from, to, percent| HandsPart { from, to, percent };
    let parts = [
        part(0, start, 100),
        part(start, minutes - end, percent),
        part(minutes - end, minutes, 100),
    ];
    parts.into_iter().filter(|p| p.to > p.from && p.percent > 0).collect()
}

/// The same party at `now` on its way through a schedule, with some steps late.
pub fn running(problem: &Problem, schedule: &Schedule, now: i32, seed: u64) -> Problem {
    let mut dice = Dice::new(seed);
    let mut p = problem.clone();
    p.start = now;
    for t in 0..p.tasks.len() {
        if !problem.active(schedule, t) || schedule.start[t] >= now {
            continue;
        }
        let step = p.tasks[t].step;
        let end = problem.end_of(schedule, t);
        let over = if end > now && dice.chance(50) { dice.from(0, 8) } else { 0 };
        p.tasks[t].fixed = Some(Fixed {
            start: schedule.start[t],
            end: end + over,
            cook: schedule.cook[t],
            setting_c: schedule.setting_c[t],
        });
        p.steps[step].modes = vec![problem.steps[step].modes[schedule.mode[step]].clone()];
    }
    for lag in &mut p.lags {
        if p.tasks[lag.from.task].fixed.is_some() && lag.most != i32::MAX {
            lag.soft_most = Some(weights::PAST_TASTE);
        }
    }
    for (d, dish) in p.dishes.iter_mut().enumerate() {
        let last = p.steps[dish.last_step].first_task;
        if p.tasks[last].fixed.is_some_and(|f| f.end <= now) {
            dish.held = schedule.hold[d];
            if let Some(hold) = dish.held.map(|h| &mut dish.holds[h]) {
                hold.setting_c = schedule.hold_setting_c[d];
                hold.soft_most = Some(weights::PAST_TASTE);
            }
        }
    }
    set_ovens(&mut p, problem, schedule, now);
    p.links.retain(|l| p.tasks[p.steps[l.to_step].first_task].fixed.is_none());
    for t in 0..p.tasks.len() {
        if p.tasks[t].fixed.is_none() && problem.active(schedule, t) {
            let soon = schedule.start[t] - now;
            let price = match soon {
                s if s < weights::NEAR_MINUTES => weights::MOVE_NEAR,
                s if s < weights::MIDDLE_MINUTES => weights::MOVE_MIDDLE,
                _ => weights::MOVE_FAR,
            };
            let step = p.tasks[t].step;
            let mode = (p.steps[step].modes.len() > 1)
                .then_some((schedule.mode[step], weights::MOVE_PLACE));
            p.anchors.push(Anchor { task: t, start: schedule.start[t], price, mode });
        }
    }
    p
}

/// Each oven is as hot as what is in it, or as hot as it gets on its way to the next use.
fn set_ovens(p: &mut Problem, problem: &Problem, schedule: &Schedule, now: i32) {
    for (o, oven) in p.ovens.iter_mut().enumerate() {
        let mut uses: Vec<(i32, i32, i32)> = Vec::new();
        for (t, task) in problem.tasks.iter().enumerate() {
            let mode = &problem.steps[task.step].modes[schedule.mode[task.step]];
            if problem.active(schedule, t) && mode.oven.is_some_and(|u| u.oven == o) {
                let c = schedule.setting_c[t].unwrap_or(20);
                uses.push((schedule.start[t], problem.end_of(schedule, t), c));
            }
        }
        for (d, dish) in problem.dishes.iter().enumerate() {
            let hold = schedule.hold[d].map(|h| &dish.holds[h]);
            if hold.and_then(|h| h.oven).is_some_and(|u| u.oven == o) {
                let out = problem.end_of(schedule, problem.steps[dish.last_step].first_task);
                uses.push((out, dish.due.max(out), schedule.hold_setting_c[d].unwrap_or(20)));
            }
        }
        uses.sort_unstable();
        let inside = uses.iter().filter(|u| u.0 < now).map(|u| (u.1, u.2)).max();
        let next = uses.iter().find(|u| u.0 >= now);
        let (since, was) = inside.map_or((OPEN, oven.start_c), |(end, c)| (end.min(now), c));
        oven.start_c = match next {
            Some(n) if n.2 >= was => (was + (now - since) * oven.up_c_per_min).min(n.2),
            Some(n) => (was - (now - since) * oven.down_c_per_min).max(n.2),
            None => was,
        };
    }
}

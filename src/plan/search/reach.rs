//! What the lags between a step and the one it leads to say together: how many
//! minutes may lie between their starts, and what those cost.

use super::model::{MOST_MINUTES, Model};
use super::slide::{Piece, pieces};
use crate::plan::problem::Lag;

/// The minutes that may lie between two starts, and their price.
#[derive(Debug, Clone)]
pub struct Reach {
    least: i32,
    most: i32,
    /// `(minutes, price over, price under)`
    bends: Vec<(i32, i64, i64)>,
}

impl Reach {
    /// Joins the lags between a child's last load and a parent's first. Loads
    /// in between are taken to follow each other at once.
    pub fn of<'a>(
        m: &Model,
        lags: impl Iterator<Item = &'a Lag>,
        child: (usize, usize),
        parent: (usize, usize),
    ) -> Self {
        let far = i32::MAX / 4;
        let mut reach = Self { least: -far, most: far, bends: Vec::new() };
        // Start of any load of one of the two, from the start that stands for its step.
        let offset = |point: crate::plan::problem::Point| -> Option<i32> {
            let own = &m.p.tasks[point.task];
            let (at, mode) =
                if own.step == m.p.tasks[child.0].step && own.load <= m.p.tasks[child.0].load {
                    child
                } else {
                    parent
                };
            if own.step != m.p.tasks[at].step || own.load >= m.p.steps[own.step].modes[mode].loads {
                return None;
            }
            let minutes = m.p.steps[own.step].modes[mode].minutes;
            let loads = own.load as i32 - m.p.tasks[at].load as i32;
            Some(loads * minutes + if point.end { minutes } else { 0 })
        };
        for lag in lags {
            let (Some(a), Some(b)) = (offset(lag.from), offset(lag.to)) else { continue };
            let forward = m.p.tasks[lag.from.task].step == m.p.tasks[child.0].step
                && (m.p.tasks[lag.to.task].step != m.p.tasks[child.0].step
                    || lag.to.task > lag.from.task);
            // gap = (parent + b) - (child + a), or the other way round
            let shift = if forward { b - a } else { a - b };
            let least = if lag.least == i32::MIN { -far } else { lag.least };
            let hard = if lag.soft_most.is_some() { i32::MAX } else { lag.most };
            let most = if hard == i32::MAX { far } else { hard };
            let (lo, hi) = if forward {
                (least - shift, most - shift)
            } else {
                (-most - shift, -least - shift)
            };
            reach.least = reach.least.max(lo);
            reach.most = reach.most.min(hi);
            let mut bend = |minutes: i32, over: i64, under: i64| {
                if forward {
                    reach.bends.push((minutes - shift, over, under));
                } else {
                    reach.bends.push((-minutes - shift, under, over));
                }
            };
            if let Some(price) = lag.soft_most.filter(|_| lag.most != i32::MAX) {
                bend(lag.most, price, 0);
            }
            if let Some((best, price)) = lag.best {
                bend(best, 0, price);
            }
        }
        reach
    }

    /// The least and the most minutes that may lie between.
    pub const fn ends(&self) -> (i32, i32) {
        (self.least, self.most)
    }

    /// The price of so many minutes between.
    pub fn price(&self, minutes: i32) -> i64 {
        let price = |&(at, over, under): &(i32, i64, i64)| {
            let past = i64::from(minutes) - i64::from(at);
            over * past.max(0) + under * (-past).max(0)
        };
        self.bends.iter().map(price).sum()
    }

    /// The minutes that may lie between, in pieces with their price times `scale`.
    pub fn cut(&self, scale: i64, bends: &mut Vec<i32>, out: &mut Vec<Piece>) {
        bends.clear();
        bends.extend(self.bends.iter().map(|b| b.0));
        let price = |minutes: i32| self.price(minutes) * scale;
        let far = i32::MAX / 4;
        let (least, most) = (self.least.max(-far), self.most.min(far));
        if self.bends.is_empty() {
            out.clear();
            if least <= most {
                out.push(Piece { least, most, price: 0, slope: 0 });
            }
            return;
        }
        // Beyond the search no minutes need a price; keeps sums small.
        let near = 2 * MOST_MINUTES;
        pieces(least.max(-near), most.min(near), bends, price, out);
    }
}

#[cfg(test)]
mod tests {
    use super::super::rng::Rng;
    use super::*;
    use crate::plan::problem::{Mode, Point, Problem, Step, Task};

    /// Two steps of one or two loads each that follow each other at once.
    fn problem(rng: &mut Rng) -> Problem {
        let mut p = Problem { end: 300, ..Problem::default() };
        for step in 0..2 {
            let loads = 1 + rng.below(2);
            let mode = Mode { minutes: 1 + rng.below(6) as i32, loads, ..Mode::default() };
            let first_task = p.tasks.len();
            p.steps.push(Step {
                modes: vec![mode],
                first_task,
                task_count: loads,
                ..Step::default()
            });
            p.tasks.extend((0..loads).map(|load| Task {
                step,
                load,
                latest: 300,
                ..Task::default()
            }));
        }
        let (child, parent) = (p.steps[0].tasks(), p.steps[1].tasks());
        for _ in 0..1 + rng.below(3) {
            let point = |task: usize, rng: &mut Rng| Point { task, end: rng.chance(50) };
            let one = point(child.start + rng.below(child.len()), rng);
            let other = point(parent.start + rng.below(parent.len()), rng);
            let (from, to) = if rng.chance(70) { (one, other) } else { (other, one) };
            let least = rng.below(30) as i32 - 20;
            p.lags.push(Lag {
                from,
                to,
                least: if rng.chance(30) { i32::MIN } else { least },
                most: if rng.chance(30) { i32::MAX } else { least + rng.below(20) as i32 },
                soft_most: rng.chance(40).then_some(3),
                best: rng.chance(40).then_some((least + 9, 7)),
            });
        }
        p
    }

    #[test]
    fn it_is_what_each_lag_says() {
        let mut rng = Rng::new(12);
        let (mut allowed, mut priced) = (0, 0);
        for round in 0..1500 {
            let m = Model::new(&problem(&mut rng));
            let p = &m.p;
            // The child's last load, and the parent's first.
            let (child, parent) = (p.steps[1].first_task - 1, p.steps[1].first_task);
            let reach = Reach::of(&m, p.lags.iter(), (child, 0), (parent, 0));
            let (mut pieces, mut bends) = (Vec::new(), Vec::new());
            reach.cut(2, &mut bends, &mut pieces);
            for between in -60..60 {
                let start = |t: usize| {
                    let step = &p.steps[p.tasks[t].step];
                    let (at, one) = if t <= child { (100, child) } else { (100 + between, parent) };
                    at + (t as i32 - one as i32) * step.modes[0].minutes
                };
                let at = |q: Point| start(q.task) + if q.end { m.minutes(q.task, 0) } else { 0 };
                let gap = |l: &Lag| at(l.to) - at(l.from);
                let good = p
                    .lags
                    .iter()
                    .all(|l| gap(l) >= l.least && (gap(l) <= l.most || l.soft_most.is_some()));
                let (least, most) = reach.ends();
                assert_eq!(least <= between && between <= most, good, "round {round}: {between}");
                let price = |l: &Lag| {
                    let over = i64::from(gap(l)) - i64::from(l.most);
                    let short = l.best.map_or(0, |b| b.1 * i64::from((b.0 - gap(l)).max(0)));
                    l.soft_most.map_or(0, |fee| fee * over.max(0)) + short
                };
                let price: i64 = p.lags.iter().map(price).sum();
                assert_eq!(reach.price(between), price, "round {round}: {between}");
                let mut here = pieces.iter().filter(|x| x.least <= between && between <= x.most);
                let piece = here.next();
                assert!(here.next().is_none() && piece.is_some() == good, "round {round}");
                if let Some(x) = piece {
                    let said = x.price + x.slope * i64::from(between - x.least);
                    assert_eq!(said, 2 * price, "round {round}: {between}");
                    allowed += 1;
                    priced += i32::from(price > 0);
                }
            }
        }
        assert!(allowed > 5000 && priced > 1000, "{allowed} and {priced}");
    }
}

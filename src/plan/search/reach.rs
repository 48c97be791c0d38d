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

//! Dishes: when they are out, ready and served, how they wait, and what that costs.

use super::{Demand, Expr, Lit, Model, Serving};
use crate::plan::problem::{Dish, Hold, Limit};

impl Model<'_> {
    pub(super) fn dishes(&mut self) {
        for d in 0..self.p.dishes.len() {
            let dish = &self.p.dishes[d];
            let serving = self.serve(dish);
            self.serving.push(serving);
            let mut lits = self.choice(dish.holds.len() + 1);
            let straight = lits.pop().unwrap_or(self.yes());
            if let Some(held) = dish.held {
                // Said of each: nothing is drawn from anything while the model is built.
                for (h, &lit) in lits.iter().enumerate() {
                    self.engine.fact(if h == held { lit } else { lit.not() });
                }
                self.engine.fact(straight.not());
            }
            self.hold.push(lits.clone());
            self.straight.push(straight);
            if let Some(kept) = self.demand(Demand::Due { dish: d }) {
                self.engine.clause(&[kept.not(), serving.ready.at_most(dish.due)]);
            }
            self.prices(dish, serving, straight);
            self.waits_at_most(&[straight], serving, 0);
            self.limits(d, None, straight, &dish.straight);
            for (h, hold) in dish.holds.iter().enumerate() {
                self.hold(d, h, lits[h], hold);
            }
        }
    }

    fn serve(&mut self, dish: &Dish) -> Serving {
        let step = &self.p.steps[dish.last_step];
        if step.task_count == 0 {
            let due = self.number(dish.due);
            return Serving { out: due, ready: due, due: dish.due, served: None };
        }
        let out = self.end[step.first_task];
        let ready = self.ended(dish.last_step);
        let simple = step.modes.iter().all(|m| m.loads <= 1);
        let served = (!simple).then(|| {
            let due = self.number(dish.due);
            self.largest(&[(due, self.yes()), (ready, self.yes())])
        });
        Serving { out, ready, due: dish.due, served }
    }

    /// End of the last load of a step that is done at all.
    pub(super) fn ended(&mut self, s: usize) -> Expr {
        let step = &self.p.steps[s];
        let loads: Vec<(Expr, Lit)> = step.tasks().map(|t| (self.end[t], self.active[t])).collect();
        self.largest(&loads)
    }

    /// The largest of expressions that count if their statement holds; the first always does.
    fn largest(&mut self, of: &[(Expr, Lit)]) -> Expr {
        let of: Vec<(Expr, Lit)> =
            of.iter().copied().filter(|o| !self.engine.is_false(o.1)).collect();
        if let [one] = of[..] {
            return one.0;
        }
        let low = of.iter().filter(|o| self.always(o.1)).map(|o| self.engine.lowest(o.0)).max();
        let high = of.iter().map(|o| self.engine.highest(o.0)).max();
        let all = Expr::from(
            self.engine.variable(low.unwrap_or(self.first), high.unwrap_or(self.horizon)),
        );
        let which = self.choice(of.len());
        for (&(e, counts), is_it) in of.iter().zip(which) {
            self.less(&[counts], e, all);
            self.less(&[is_it], all, e);
            self.engine.clause(&[is_it.not(), counts]);
        }
        all
    }

    fn prices(&mut self, dish: &Dish, serving: Serving, straight: Lit) {
        let due = self.number(dish.due);
        self.pay_over(dish.late_price, &[], &[(serving.ready, due)]);
        // Short of the cushion: cushion less the minutes that it is ready before due.
        if dish.cushion > 0 && dish.cushion_price > 0 && self.demands.is_none() {
            // At most the whole cushion, however late.
            let high = self.engine.highest(serving.ready) - dish.due + dish.cushion;
            if high > 0 {
                let short = self.engine.variable(0, dish.cushion.min(high));
                // Beyond due it stays at the cushion: two statements say so.
                self.engine.clause(&[
                    serving.ready.at_most(dish.due),
                    short.at_least(dish.cushion.min(high)),
                ]);
                let when = [serving.ready.at_most(dish.due)];
                self.engine.difference(&when, serving.ready, dish.cushion - dish.due, short.into());
                self.pay(dish.cushion_price, short.into());
            }
        }
        self.pay_if(dish.straight_price, straight);
    }

    /// It waits at most so long.
    fn waits_at_most(&mut self, when: &[Lit], serving: Serving, most: i32) {
        let due = self.number(serving.due);
        match serving.served {
            Some(served) => self.engine.difference(when, served, -most, serving.out),
            None if most < 0 => {
                let none: Vec<Lit> = when.iter().map(|l| l.not()).collect();
                self.engine.clause(&none);
            }
            None => self.engine.difference(when, due, -most, serving.out),
        }
    }

    /// What is served no later than the last of these is.
    pub(super) fn tops(&self, serving: Serving) -> Vec<Expr> {
        serving.served.map_or_else(|| vec![serving.ready, self.number(serving.due)], |s| vec![s])
    }

    fn hold(&mut self, d: usize, h: usize, lit: Lit, hold: &Hold) {
        let serving = self.serving[d];
        let when = [lit];
        match hold.soft_most {
            None => {
                let mut when = vec![lit];
                when.extend(self.demand(Demand::HoldMost { dish: d, hold: h }));
                self.waits_at_most(&when, serving, hold.most.clamp(-1, super::FAR));
            }
            Some(price) => {
                self.pay_waits(price, &when, serving, hold.most.clamp(-super::FAR, super::FAR))
            }
        }
        self.pay_waits(hold.price, &when, serving, hold.free);
        if let Some((best, price)) =
            hold.best.filter(|b| b.0 > 0 && b.1 > 0 && self.demands.is_none())
        {
            self.pay_short(price, lit, serving, best.min(super::FAR));
        }
        self.limits(d, Some(h), lit, &hold.limits);
    }

    /// `price` for each minute of waiting past `free`.
    fn pay_waits(&mut self, price: i64, when: &[Lit], serving: Serving, free: i32) {
        let out = serving.out.plus(free);
        let tops = match serving.served {
            Some(served) => vec![(served, out)],
            // Out is ready here: it waits from out to due, or not at all.
            None => vec![(self.number(serving.due), out), (self.number(0), self.number(free))],
        };
        self.pay_over(price, when, &tops);
    }

    /// `price` for each minute of waiting short of `best`.
    fn pay_short(&mut self, price: i64, lit: Lit, serving: Serving, best: i32) {
        let short = Expr::from(self.engine.variable(0, best));
        match serving.served {
            Some(served) => self.exceeds(&[lit], short, serving.out.plus(best), served),
            None => {
                let (zero, due) = (self.number(0), self.number(serving.due));
                let late = serving.out.at_least(serving.due);
                self.engine.difference(&[lit, late], zero, best, short);
                self.exceeds(&[lit, late.not()], short, serving.out.plus(best), due);
            }
        }
        self.pay(price, short);
    }

    fn limits(&mut self, d: usize, h: Option<usize>, lit: Lit, limits: &[Limit]) {
        let serving = self.serving[d];
        for (i, limit) in limits.iter().enumerate() {
            let from = self.at(limit.from);
            let most = limit.most.clamp(-super::FAR, super::FAR);
            let mut when = vec![lit, self.active[limit.from.task]];
            let tops = self.tops(serving);
            match limit.soft_most {
                None => {
                    when.extend(self.demand(Demand::Limit { dish: d, hold: h, limit: i }));
                    for top in tops {
                        self.engine.difference(&when, top, -most, from);
                    }
                }
                Some(price) => {
                    let gaps: Vec<(Expr, Expr)> =
                        tops.iter().map(|&t| (t, from.plus(most))).collect();
                    self.pay_over(price, &when, &gaps);
                }
            }
        }
    }
}

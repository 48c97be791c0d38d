//! A whole dish put back beside what stands, against trying every place of it.

use super::super::insert::{Inserter, take_out};
use super::super::model::{Model, NONE};
use super::super::price;
use super::super::state::State;
use super::{judged, some, whole};
use crate::plan::problem::Problem;

/// Every way to put some steps in.
struct Places<'a> {
    problem: &'a Problem,
    steps: &'a [usize],
    best: Option<i64>,
}

impl Places<'_> {
    fn modes(&mut self, state: &mut State, at: usize) {
        let m = state.m;
        let Some(&step) = self.steps.get(at) else {
            let open = |&t: &usize| m.p.tasks[t].fixed.is_none();
            let tasks = self.steps.iter().flat_map(|&s| m.loads(s, state.mode[s])).filter(open);
            let tasks: Vec<usize> = tasks.collect();
            return self.tasks(state, &tasks);
        };
        for &mode in &m.modes[step] {
            state.mode[step] = mode;
            self.modes(state, at + 1);
        }
    }

    fn tasks(&mut self, state: &mut State, tasks: &[usize]) {
        let m = state.m;
        let Some((&t, rest)) = tasks.split_first() else {
            let dishes = self.steps.iter().flat_map(|&s| m.dishes_of[s].clone());
            let open: Vec<usize> = dishes.filter(|&d| !state.settled[d]).collect();
            return self.dishes(state, &open);
        };
        let step = m.p.tasks[t].step;
        let mode = &m.p.steps[step].modes[state.mode[step]];
        let cooks = if mode.hands.is_empty() { vec![NONE] } else { m.p.steps[step].cooks.clone() };
        for s in m.p.tasks[t].earliest.max(0)..=m.p.tasks[t].latest.min(m.h - mode.minutes) {
            for &cook in &cooks {
                state.place(t, s, cook);
                if !lag_broken(state, t) {
                    self.tasks(state, rest);
                }
                state.unplace(t);
            }
        }
    }

    fn dishes(&mut self, state: &mut State, dishes: &[usize]) {
        let Some((&d, rest)) = dishes.split_first() else {
            if let Some(cost) = judged(self.problem, state) {
                self.best = Some(self.best.map_or(cost, |b| b.min(cost)));
            }
            return;
        };
        let dish = &state.m.p.dishes[d];
        let ways = std::iter::once(NONE).chain(0..dish.holds.len());
        for hold in ways.filter(|&h| dish.held.is_none_or(|held| held == h)) {
            state.settle(d, hold);
            self.dishes(state, rest);
            state.unsettle(d);
        }
    }
}

fn lag_broken(state: &State, t: usize) -> bool {
    let of = |l: &&crate::plan::problem::Lag| l.from.task == t || l.to.task == t;
    state.m.p.lags.iter().filter(of).any(|l| {
        let gap = state.at(l.to) - state.at(l.from);
        let stand = state.stands(l.from.task) && state.stands(l.to.task);
        stand && (gap < l.least || gap > l.most && l.soft_most.is_none())
    })
}

#[test]
fn a_dish_is_put_in_where_it_costs_least() {
    let (mut fits, mut found, mut cheapest) = (0, 0, 0);
    for seed in 1..=120 {
        let problem = some(seed);
        let m = Model::new(&problem);
        let Some(state) = whole(&m, seed) else { continue };
        for unit in &m.units {
            let open = |&s: &usize| m.p.steps[s].tasks().any(|t| m.p.tasks[t].fixed.is_none());
            let tasks: usize = unit.iter().map(|&s| m.p.steps[s].task_count).sum();
            if tasks > 2 || !unit.iter().any(open) {
                continue;
            }
            let mut without = state.clone();
            unit.iter().for_each(|&s| take_out(&mut without, s));
            let mut places = Places { problem: &problem, steps: unit, best: None };
            places.modes(&mut without.clone(), 0);
            let least = places.best.expect("where it stood");
            fits += 1;
            let mut inserter = Inserter::default();
            inserter.late_room = [60, 0][seed as usize % 2];
            if !inserter.insert(&mut without, unit) {
                continue;
            }
            found += 1;
            let cost = judged(&problem, &without);
            assert_eq!(cost, Some(price::cost(&without).total()), "seed {seed}");
            assert!(cost >= Some(least), "seed {seed}: cheaper than the cheapest");
            cheapest += i32::from(cost == Some(least));
        }
    }
    println!("{found} of {fits} put in, {cheapest} where they cost least");
    assert!(found * 100 >= fits * 95, "{found} of {fits}");
    assert!(cheapest * 100 >= fits * 80, "{cheapest} of {fits}");
}

/// What is put in and taken out again leaves all as it was: what is found to fit is the same.
#[test]
fn taken_out_is_as_never_put_in() {
    for seed in 1..=200 {
        let problem = some(seed);
        let m = Model::new(&problem);
        let Some(mut state) = whole(&m, seed) else { continue };
        (0..m.p.steps.len()).for_each(|s| take_out(&mut state, s));
        let bare = State::new(&m);
        for (r, (now, then)) in state.profiles.iter().zip(&bare.profiles).enumerate() {
            for minute in 0..m.room {
                assert_eq!(now.left(minute), then.left(minute), "seed {seed}: {r} at {minute}");
            }
            for u in m.p.steps.iter().flat_map(|s| &s.modes).flat_map(|w| &w.uses) {
                assert!(u.resource != r || now.free(u.amount) == then.free(u.amount));
            }
        }
        for (now, then) in state.ovens.iter().zip(&bare.ovens) {
            assert_eq!(now.settings(), then.settings(), "seed {seed}");
            for (from, c) in (0..m.h).flat_map(|s| [(s, 30), (s, 40), (s, 47)]) {
                assert_eq!(now.fits(from, from + 2, c, c), then.fits(from, from + 2, c, c));
            }
        }
        for stay in 0..m.p.stays.len() {
            assert_eq!(state.span(stay), bare.span(stay), "seed {seed}");
        }
        assert_eq!((&state.placed, &state.settled), (&bare.placed, &bare.settled), "seed {seed}");
        assert_eq!(state.hold, bare.hold, "seed {seed}");
    }
}

//! A search that can be left and gone on with: what it knows is kept between.

use super::improve::Improver;
use super::insert::Inserter;
use super::model::Model;
use super::project::{self, Project};
use super::rail::Orders;
use super::rng::Rng;
use super::state::State;
use super::{
    Answer, Begin, Clash, ClashKind, Standing, begin, beyond, blame, bound, price, shown, tame,
    workload,
};
use crate::plan::Cost;
use crate::plan::problem::{Problem, Schedule};
use bound::{Prover, Simple};

/// Orders of tickets tried in one round.
const ORDERS_A_ROUND: usize = 3;
/// Rounds of the first turn of orders; each later one is twice as long.
const FIRST_TURN: u64 = 150;
/// Rounds of the longest turn.
const LONGEST_TURN: u64 = 2_400;

/// A problem made ready for a search.
pub struct Ground {
    m: Model,
    project: Option<Project>,
}

impl Ground {
    /// Makes a problem ready.
    ///
    /// # Errors
    /// If it is not a sound one, or one look shows that there is no schedule.
    pub fn of(problem: &Problem) -> Result<Self, Clash> {
        tame::sound(problem)?;
        let m = Model::new(problem);
        if let Some(clash) = blame::windows(&m) {
            return Err(clash);
        }
        let project = Project::of(&m);
        if project.as_ref().is_some_and(|p| p.circle() && !m.cut) {
            return Err(blame::circle(&m.p));
        }
        Ok(Self { m, project })
    }
}

/// A search in work.
pub struct Search<'g> {
    m: &'g Model,
    kind: Kind<'g>,
    best: Option<(Schedule, Cost)>,
    bound: i64,
    rounds: u64,
}

enum Kind<'g> {
    Party(Box<Party<'g>>),
    Project(Box<project::Searcher<'g>>),
}

struct Party<'g> {
    inserter: Inserter,
    improver: Improver<'g>,
    orders: Option<Orders<'g>>,
    turns: Turns,
    rng: Rng,
    /// It began from a plan on the screen, which gives way to a cheaper one only.
    shown: bool,
}

impl<'g> Search<'g> {
    /// Begins with a first schedule, from `warm` if there is one.
    ///
    /// # Errors
    /// If it finds none: why there probably is none.
    pub fn begin(
        problem: &Problem,
        ground: &'g Ground,
        begin: Begin<'_>,
        stop: &(dyn Fn() -> bool + Sync),
        found: &mut dyn FnMut(&Schedule, &Cost),
    ) -> Result<Self, Clash> {
        let m = &ground.m;
        if let Some(clash) = workload::overworked(m) {
            return Err(blame::alone(problem, m).unwrap_or(clash));
        }
        let step = match Self::begin_within(ground, begin, stop, found) {
            Ok(search) => return Ok(search),
            Err(step) => step,
        };
        if let Some(clash) = blame::alone(problem, m) {
            return Err(clash);
        }
        let state = beyond::first(problem, m, begin, stop);
        let state = state.ok_or_else(|| blame::stuck(problem, m, step))?;
        let best = told(m, &state, found);
        let (shown, rng) = (begin.warm.is_some(), Rng::new(begin.seed));
        let party = Party::new(Inserter::default(), state, shown, rng);
        let kind = Kind::Party(Box::new(party));
        Ok(Self { m, kind, best: Some(best), bound: Simple.bound(m), rounds: 0 })
    }

    /// The same, if a first schedule is found in the day as it is; else the step
    /// at which that was stuck.
    pub(super) fn begin_within(
        ground: &'g Ground,
        begin: Begin<'_>,
        stop: &(dyn Fn() -> bool + Sync),
        found: &mut dyn FnMut(&Schedule, &Cost),
    ) -> Result<Self, Option<usize>> {
        let m = &ground.m;
        let Begin { warm, ready, seed } = begin;
        let mut rng = Rng::new(seed);
        if let Some(project) = &ground.project {
            let kind = Kind::Project(Box::new(project::Searcher::new(project, rng)));
            let bound = finish_price(m, project.bound());
            return Ok(Self { m, kind, best: None, bound, rounds: 0 });
        }
        let warm = warm.map(|w| m.inward(w));
        let mut inserter = Inserter::default();
        let mut best = (Schedule::default(), Cost::default());
        let tell = &mut |state: &State<'g>| best = told(m, state, found);
        let mut start = begin::first(m, &mut inserter, warm.as_ref(), &mut rng, 20, stop, tell)?;
        let bound = Simple.bound(m);
        for other in ready {
            if best.1.total() <= bound || stop() {
                break;
            }
            let other = shown::again(m, &mut inserter, &m.inward(other));
            if let Some(other) = other.filter(|o| price::cost(o).total() < best.1.total()) {
                start = other;
                best = told(m, &start, found);
            }
        }
        if warm.is_none() {
            for number in 1..begin::ATTEMPTS {
                if best.1.total() <= bound || stop() {
                    break;
                }
                let other = begin::attempt(m, &mut inserter, number, &mut rng);
                if let Some(other) = other.ok().filter(|o| price::rank(o) < price::rank(&start)) {
                    start = other;
                    best = told(m, &start, found);
                }
            }
        }
        let party = Party::new(inserter, start, warm.is_some(), rng);
        let kind = Kind::Party(Box::new(party));
        Ok(Self { m, kind, best: Some(best), bound, rounds: 0 })
    }

    /// Another search that begins where this one is and goes its own way. None for a
    /// benchmark problem, which is soon solved.
    pub(super) fn twin(&self, seed: u64) -> Option<Self> {
        let Kind::Party(party) = &self.kind else { return None };
        let (state, mut rng) = (party.improver.state.clone(), Rng::new(seed));
        let party = Party::new(party.inserter.clone(), state, party.shown, rng.split().split());
        let kind = Kind::Party(Box::new(party));
        Some(Self { m: self.m, kind, best: self.best.clone(), bound: self.bound, rounds: 0 })
    }

    /// The best schedule so far, and its cost.
    pub const fn best(&self) -> Option<&(Schedule, Cost)> {
        self.best.as_ref()
    }

    /// Goes on for so many rounds, or until `stop`. Better schedules are given to `found`.
    pub fn advance(
        &mut self,
        rounds: u64,
        stop: &(dyn Fn() -> bool + Sync),
        found: &mut dyn FnMut(&Schedule, &Cost),
    ) {
        for _ in 0..rounds {
            let done = self.best.as_ref().is_some_and(|b| b.1.total() <= self.bound);
            if done || self.rounds.is_multiple_of(4) && stop() {
                return;
            }
            self.rounds += 1;
            match &mut self.kind {
                Kind::Party(party) => {
                    if party.round(self.m) {
                        let state = &party.improver.state;
                        let cost = price::cost(state);
                        let best = self.best.as_ref().map_or(i64::MAX, |b| b.1.total());
                        if !party.shown || cost.total() < best {
                            self.best = Some(told(self.m, state, found));
                        }
                    }
                }
                Kind::Project(searcher) => {
                    if let Some(starts) = searcher.round() {
                        let finish = finish_price(self.m, searcher.end(&starts));
                        let cost = Cost { finish, ..Cost::default() };
                        if self.best.as_ref().is_none_or(|b| cost.total() < b.1.total()) {
                            let schedule = self.m.outward(&plain_schedule(self.m, &starts));
                            found(&schedule, &cost);
                            self.best = Some((schedule, cost));
                        }
                    }
                }
            }
        }
    }

    /// Goes on from a better schedule found elsewhere.
    pub fn adopt(&mut self, schedule: &Schedule, cost: Cost) {
        if self.best.as_ref().is_some_and(|b| b.1.total() <= cost.total()) {
            return;
        }
        self.best = Some((schedule.clone(), cost));
        if let Kind::Party(party) = &mut self.kind {
            party.adopt(self.m, &self.m.inward(schedule));
        }
    }

    /// What is known at the end.
    pub fn answer(&self) -> Answer {
        let Some((schedule, cost)) = self.best.clone() else {
            let kind = ClashKind::Crowded { dish: None, step: 0, resources: Vec::new() };
            return super::impossible(Clash::likely(kind));
        };
        let standing = match cost.total() {
            total if total <= self.bound => Standing::Best,
            _ if self.bound > 0 || matches!(self.kind, Kind::Project(_)) => Standing::Within,
            _ => Standing::Stopped,
        };
        Answer { schedule: Some(schedule), cost, bound: self.bound, standing }
    }
}

fn told(m: &Model, state: &State<'_>, found: &mut dyn FnMut(&Schedule, &Cost)) -> (Schedule, Cost) {
    let best = (m.outward(&state.schedule()), price::cost(state));
    found(&best.0, &best.1);
    best
}

impl<'g> Party<'g> {
    fn new(inserter: Inserter, start: State<'g>, shown: bool, mut rng: Rng) -> Self {
        let improver = Improver::new(start, rng.split());
        let (orders, turns) = (None, Turns::default());
        Self { inserter, improver, orders, turns, rng, shown }
    }

    /// One round; true if what stands then is the best so far.
    fn round(&mut self, m: &'g Model) -> bool {
        if self.turns.next() && self.try_orders() {
            return self.adopt_order(m);
        }
        if self.turns.orders {
            return false;
        }
        let better = self.improver.round(&mut self.inserter);
        if better && let Some(timed) = shown::polish(m, &mut self.inserter, &self.improver.state) {
            self.improver.adopt(timed);
        }
        better
    }

    /// Tries a few orders of tickets; true if one of them is the best of them so far.
    fn try_orders(&mut self) -> bool {
        if self.turns.fresh || self.orders.is_none() {
            self.turns.fresh = false;
            let now = self.improver.best_schedule();
            match &mut self.orders {
                Some(orders) => {
                    orders.adopt(&now);
                }
                None => {
                    let m = self.improver.state.m;
                    self.orders = Orders::new(&State::new(m), &now).filter(|o| !o.is_over());
                }
            }
        }
        let Some(orders) = &mut self.orders else {
            self.turns.never();
            return false;
        };
        let mut some = false;
        for _ in 0..ORDERS_A_ROUND {
            some |= orders.round(&mut self.rng);
        }
        some
    }

    /// Goes on from the best order, if it is better than what the improver has.
    fn adopt_order(&mut self, m: &'g Model) -> bool {
        let rank = self.improver.best_rank();
        let Some(orders) = self.orders.as_mut().filter(|o| o.best_rank() < rank) else {
            return false;
        };
        let rough = orders.schedule();
        match shown::of_rough(m, &mut self.inserter, &rough) {
            Some(state) if price::rank(&state) < rank => {
                self.improver.adopt(state);
                true
            }
            _ => false,
        }
    }

    fn adopt(&mut self, m: &'g Model, schedule: &Schedule) {
        if let Some(state) = shown::of_rough(m, &mut self.inserter, schedule)
            && price::rank(&state) < self.improver.best_rank()
        {
            self.improver.adopt(state);
            self.turns.fresh = true;
        }
    }
}

/// Whose turn it is: orders of tickets, or dishes taken out and put back. The dishes begin: a search of
/// few rounds gets further by them.
#[derive(Debug)]
struct Turns {
    left: u64,
    length: u64,
    orders: bool,
    /// The orders have not seen what the others found.
    fresh: bool,
    /// There are no orders to try.
    without: bool,
}

impl Default for Turns {
    fn default() -> Self {
        Self { left: FIRST_TURN / 2, length: 0, orders: false, fresh: false, without: false }
    }
}

impl Turns {
    /// True if orders are to be tried in this round.
    fn next(&mut self) -> bool {
        if self.without {
            return false;
        }
        if self.left == 0 {
            self.orders = !self.orders;
            self.fresh |= self.orders;
            if self.orders {
                self.length = (self.length * 2).clamp(FIRST_TURN, LONGEST_TURN);
            }
            // A round of dishes takes about twice as long.
            self.left = if self.orders { self.length } else { self.length / 2 };
        }
        self.left = self.left.saturating_sub(1);
        self.orders
    }

    const fn never(&mut self) {
        self.without = true;
        self.orders = false;
    }
}

fn finish_price(m: &Model, end: i32) -> i64 {
    m.p.finish_price.saturating_mul(i64::from(end) + i64::from(m.shift))
}

/// A schedule of starts alone: each step in its first mode, without cooks, ovens and holds.
pub fn plain_schedule(m: &Model, starts: &[i32]) -> Schedule {
    Schedule {
        mode: vec![0; m.p.steps.len()],
        start: starts.to_vec(),
        cook: vec![None; starts.len()],
        setting_c: vec![None; starts.len()],
        ..Schedule::default()
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::{NEVER, ask, least, some};
    use super::*;
    use crate::plan::judge::judge;

    /// The dishes begin; each turn of orders is twice as long as the last, up to the longest, and the dishes get half of
    /// what the last turn of orders had.
    #[test]
    fn whose_turn_it_is() {
        let mut turns = Turns::default();
        let mut runs: Vec<(bool, u64)> = Vec::new();
        for _ in 0..20_000 {
            let orders = turns.next();
            match runs.last_mut() {
                Some(run) if run.0 == orders => run.1 += 1,
                _ => runs.push((orders, 1)),
            }
        }
        runs.pop();
        assert_eq!(runs[0], (false, FIRST_TURN / 2));
        assert_eq!(runs[1], (true, FIRST_TURN));
        for pair in runs[1..].windows(2) {
            let ((orders, long), (_, next)) = (pair[0], pair[1]);
            assert_eq!(next, if orders { long / 2 } else { (long * 4).min(LONGEST_TURN) });
        }
        assert_eq!(runs.iter().map(|r| r.1).max(), Some(LONGEST_TURN));
        turns.never();
        assert!((0..5000).all(|_| !turns.next()), "there are none to try");
    }

    /// What is found elsewhere is taken over if it is better, and only then; and the search goes on from it.
    #[test]
    fn a_better_one_is_adopted() {
        let (mut adopted, mut refused) = (0, 0);
        for seed in 1..=300 {
            let problem = some(seed);
            let Ok(ground) = Ground::of(&problem) else { continue };
            let begin = |seed: u64| {
                let at = Begin { warm: None, ready: &[], seed };
                Search::begin(&problem, &ground, at, NEVER, &mut |_, _| ()).ok()
            };
            let (Some(mut one), Some(mut other)) = (begin(1), begin(2)) else { continue };
            other.advance(200, NEVER, &mut |_, _| ());
            let (best, cost) = other.best().cloned().expect("a schedule");
            let own = one.best().cloned().expect("a schedule");
            one.adopt(&best, cost);
            if cost.total() < own.1.total() {
                assert_eq!(one.best(), Some(&(best, cost)), "seed {seed}");
                adopted += 1;
            } else {
                assert_eq!(one.best(), Some(&own), "seed {seed}");
                refused += 1;
            }
            let before = one.best().map(|b| b.1.total());
            let twin = one.twin(7).expect("a party");
            assert_eq!(twin.best(), one.best());
            one.advance(100, NEVER, &mut |s, c| assert_eq!(judge(&problem, s), Ok(*c)));
            assert!(one.best().map(|b| b.1.total()) <= before, "seed {seed}");
        }
        assert!(adopted > 5 && refused > 5, "{adopted} and {refused}");
    }

    /// It says of an answer what its bound allows, and stops where the bound is met.
    #[test]
    fn an_answer_says_how_good_it_is() {
        let mut seen = [0; 3];
        for seed in 1..=250 {
            let mut problem = some(seed);
            if seed % 2 == 0 {
                // Only what is late or short has a price, and links: now and then there is nothing to pay.
                (problem.span_price, problem.idle_price) = (0, 0);
                problem.anchors.clear();
                problem.steps.iter_mut().flat_map(|s| &mut s.modes).for_each(|m| m.price = 0);
                problem
                    .dishes
                    .iter_mut()
                    .for_each(|d| (d.straight_price, d.cushion_price) = (0, 0));
            }
            let answer = super::super::solve(&ask(&problem, 200), &mut |_, _| ());
            let (cost, bound) = (answer.cost.total(), answer.bound);
            match answer.standing {
                Standing::Best => {
                    assert_eq!(Some(cost), least(&problem), "seed {seed}");
                    seen[0] += 1;
                }
                Standing::Within => {
                    assert!(bound > 0 && bound < cost);
                    seen[1] += 1;
                }
                Standing::Stopped => {
                    assert!(bound <= 0 && bound < cost);
                    seen[2] += 1;
                }
                Standing::Impossible(_) => {}
            }
            if cost <= bound && answer.schedule.is_some() {
                assert!(matches!(answer.standing, Standing::Best), "seed {seed}");
            }
        }
        assert!(seen.iter().all(|&n| n > 0), "{seen:?}");
    }

    /// A plan on the screen and others made ready: it begins from the cheapest, and asks for no more than there are.
    #[test]
    fn it_begins_from_the_cheapest() {
        let (mut by_ready, mut by_warm) = (0, 0);
        for seed in 1..=300 {
            let problem = some(seed);
            let Ok(ground) = Ground::of(&problem) else { continue };
            let found = |seed: u64, rounds: u64| {
                let ask = super::super::Ask { seed, ..ask(&problem, rounds) };
                let answer = super::super::solve(&ask, &mut |_, _| ());
                answer.schedule.map(|s| (s, answer.cost.total()))
            };
            let (Some(warm), Some(ready)) = (found(1, 0), found(2, 100)) else { continue };
            let from = |warm: &Schedule, ready: &[Schedule]| {
                let at = Begin { warm: Some(warm), ready, seed: 1 };
                let search = Search::begin(&problem, &ground, at, NEVER, &mut |_, _| ());
                search.ok().and_then(|s| s.best().map(|b| b.1.total())).expect("a schedule")
            };
            let alone = from(&warm.0, &[]);
            assert!(alone <= warm.1, "seed {seed}");
            let both = from(&warm.0, &[warm.0.clone(), ready.0.clone()]);
            assert!(both <= alone && both <= ready.1, "seed {seed}");
            assert!(
                from(&ready.0, std::slice::from_ref(&warm.0)) <= from(&ready.0, &[]),
                "seed {seed}"
            );
            by_ready += i32::from(both < alone);
            by_warm += i32::from(alone < warm.1);
        }
        assert!(by_ready > 5, "{by_ready} by what was ready, {by_warm} by better minutes");
    }
}

//! The search and the prover on one problem, by turns on one thread: the search
//! is soon at a good schedule, the prover says how good it is and goes on from
//! there. Turns are counted in rounds and in work, never in time, so that a
//! budget of rounds gives the same answer on every machine.

use super::any_way::{LATER_MINUTES, any_way};
use super::clash::{Patience, clash};
use super::optimum::{Proved, Prover};
use crate::plan::Cost;
use crate::plan::problem::Schedule;
use crate::plan::search::{
    self, Answer, Ask, Begin, Both, Clash, ClashKind, Ground, Pair, Standing,
};

/// Rounds of the search before the prover begins, at the least.
const FIRST_ROUNDS: u64 = 200;
/// And for each task that has not begun: what is far from the best is no use to the prover.
const ROUNDS_A_TASK: u64 = 25;
/// Of many tasks the prover ends with none in any time worth waiting for, and the search gets on:
/// while it does, the prover begins only after as many rounds as the cube of their number over this.
const CUBE: u64 = 16;
/// The search gets on as long as it found something in the last so manieth of its rounds.
const STAGNANT: u64 = 4;
/// Of more tasks than this the prover has never ended: it waits, whether the search gets on or not.
const MOST_TASKS: u64 = 50;
/// Of a running evening with more tasks than this and something late the prover has never ended either, and the
/// proof goes on when nobody waits any more: the search gets twice as long before.
const MOST_TASKS_LATE: u64 = 30;
/// [`CUBE`] then.
const CUBE_LATE: u64 = 8;
/// [`SHARE`] then, and where a benchmark problem has more than [`MOST_TASKS`].
const SHARE_OF_MANY: (u64, u64) = (1, 2);
/// Turns of the search in a row at the most while each finds something.
const IN_A_ROW: usize = 4;
/// Rounds of its later turns; each is longer than the one before by half.
const ROUNDS: u64 = 100;
/// Work of the prover that counts as one round.
const WORK_OF_ROUND: u64 = 800;
/// The prover's turns are so many times as long as the search's.
const SHARE: (u64, u64) = (2, 1);
/// Work for the smallest set of demands that clash.
const CLASH_WORK: u64 = 4_000_000;
/// Work of the prover, in rounds, to find any schedule where the search found none, after each attempt in another way.
const SOME_SCHEDULE: u64 = 1_000;

/// What is looked for where the search finds no beginning.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hope {
    /// Any schedule at all: however far from what is asked for, it is better than none.
    AnyWay,
    /// One that is worth having: there is another, and a wish beyond it was tried. The prover looks on, no more.
    GoodOrNone,
}

/// Solves a problem: search and proof. As [`search::solve`], whose rounds it shares.
pub fn solve(ask: &Ask<'_>, found: &mut dyn FnMut(&Schedule, &Cost)) -> Answer {
    solve_both(ask, Hope::AnyWay, None, found)
}

/// The same with two searches at a time, if there is something that does both.
pub fn solve_both(
    ask: &Ask<'_>,
    hope: Hope,
    both: Option<Both<'_>>,
    found: &mut dyn FnMut(&Schedule, &Cost),
) -> Answer {
    let ground = match Ground::of(ask.problem) {
        Ok(ground) => ground,
        Err(clash) => return search::impossible(clash),
    };
    let open = ask.problem.tasks.iter().filter(|t| t.fixed.is_none()).count() as u64;
    let least = ask.rounds.min((open * ROUNDS_A_TASK).max(FIRST_ROUNDS));
    // A benchmark problem without dishes is soon proved or not at all.
    let most = if ask.problem.dishes.is_empty() { 0 } else { open.saturating_pow(3) / CUBE };
    let most = ask.rounds.min(most.max(least));
    let least = if open > MOST_TASKS { most } else { least };
    let runs = ask.problem.tasks.iter().any(|t| t.fixed.is_some()) && open > MOST_TASKS_LATE;
    let many = ask.problem.dishes.is_empty() && open > MOST_TASKS;
    let mut share = if many { SHARE_OF_MANY } else { SHARE };
    let begun = Pair::begin(ask.problem, &ground, ask.begin(), both, ask.stop, found);
    let (search, answer, first) = match begun {
        Ok(mut search) => {
            let mut done = alone(&mut search, (least, most), ask, found);
            if runs && search.best().is_some_and(|b| b.1.late > 0) {
                let more = ask.rounds.min(open.saturating_pow(3) / CUBE_LATE).saturating_sub(done);
                done += alone(&mut search, (more, more), ask, found);
                share = SHARE_OF_MANY;
            }
            let answer = search.answer();
            (Some(search), answer, done)
        }
        Err(clash) => (None, search::impossible(clash), least),
    };
    let settled = match &answer.standing {
        Standing::Best => true,
        Standing::Impossible(clash) => clash.proven,
        Standing::Within | Standing::Stopped => false,
    };
    if settled || ask.rounds == 0 && answer.schedule.is_some() {
        return answer;
    }
    let prover = match Prover::new(ask.problem) {
        Ok(prover) => prover.with_seed(ask.seed),
        // Where nothing can be proved: the search alone.
        Err(_) => {
            return search.map_or(answer, |mut search| {
                search.advance(ask.rounds - first, ask.stop, found);
                search.answer()
            });
        }
    };
    Team { ask, hope, both, ground: &ground, search, prover, answer, share }.play(first, found)
}

/// The search by itself: so many rounds at the least, and on to the most while it gets on. Gives
/// the rounds done.
fn alone(
    search: &mut Pair<'_, '_>,
    (least, most): (u64, u64),
    ask: &Ask<'_>,
    found: &mut dyn FnMut(&Schedule, &Cost),
) -> u64 {
    let (mut done, mut since, mut best) = (0, 0, i64::MAX);
    while done < most && !(done >= least && (done - since) * STAGNANT >= done) && !(ask.stop)() {
        let rounds = (least / 8).max(1).min(most - done);
        search.advance(rounds, ask.stop, found);
        done += rounds;
        let now = search.best().map_or(i64::MAX, |b| b.1.total());
        if now < best {
            (best, since) = (now, done);
        }
    }
    done
}

struct Team<'a, 'b> {
    ask: &'b Ask<'a>,
    hope: Hope,
    both: Option<Both<'b>>,
    ground: &'b Ground,
    /// None if it found no beginning so far.
    search: Option<Pair<'b, 'b>>,
    prover: Prover<'a>,
    answer: Answer,
    /// The prover's turns are so many times as long as the search's: a fraction.
    share: (u64, u64),
}

impl Team<'_, '_> {
    fn play(mut self, done: u64, found: &mut dyn FnMut(&Schedule, &Cost)) -> Answer {
        let mut left = self.ask.rounds - done;
        match &self.answer.schedule {
            Some(schedule) => self.prover.suggest(schedule),
            None if self.hope == Hope::AnyWay => {
                left = left.saturating_sub(self.find_some(found));
            }
            None => {}
        }
        let mut turn = ROUNDS;
        while left > 0 && !(self.ask.stop)() {
            let rounds = (turn * self.share.0 / self.share.1).min(left);
            left -= rounds;
            self.prove(rounds, found);
            if !self.ask.problem.dishes.is_empty() {
                self.while_it_gets_on(turn, &mut left, &mut |team, rounds| {
                    team.near(rounds, found)
                });
            }
            if self.prover.proved() != Proved::Open {
                break;
            }
            self.while_it_gets_on(turn, &mut left, &mut |team, rounds| team.search(rounds, found));
            turn += turn / 2;
        }
        self.end()
    }

    /// Any schedule, where the search found no beginning: however far from what is asked for, and by turns with that by
    /// the prover, which may also see that there is none. Gives the rounds done.
    fn find_some(&mut self, found: &mut dyn FnMut(&Schedule, &Cost)) -> u64 {
        let ask = self.ask;
        // A benchmark problem has nothing that could be left out.
        let attempts = if ask.problem.dishes.is_empty() { &[][..] } else { &LATER_MINUTES };
        let mut done = 0;
        for (later, n) in attempts.iter().zip(1..) {
            if !self.is_open_without() || (ask.stop)() {
                break;
            }
            let seed = ask.seed.wrapping_add(n);
            match any_way(ask, *later, seed) {
                Some((schedule, cost)) => {
                    found(&schedule, &cost);
                    self.prover.suggest(&schedule);
                    (self.answer.schedule, self.answer.cost) = (Some(schedule), cost);
                    self.search(0, found);
                }
                None => done += self.prove_without(found),
            }
        }
        done + self.prove_without(found)
    }

    /// Some turns of the prover, until there is a schedule. Gives the rounds done.
    fn prove_without(&mut self, found: &mut dyn FnMut(&Schedule, &Cost)) -> u64 {
        let mut done = 0;
        while done < SOME_SCHEDULE && self.is_open_without() && !(self.ask.stop)() {
            self.prove(ROUNDS, found);
            done += ROUNDS;
        }
        done
    }

    /// Is no schedule known, and not known that there is none?
    fn is_open_without(&self) -> bool {
        self.answer.schedule.is_none() && self.prover.proved() == Proved::Open
    }

    /// A turn, and some more as long as each finds something.
    fn while_it_gets_on(&mut self, turn: u64, left: &mut u64, go: &mut dyn FnMut(&mut Self, u64)) {
        for _ in 0..IN_A_ROW {
            let (rounds, best) = (turn.min(*left), self.best());
            *left -= rounds;
            go(self, rounds);
            if self.best() >= best || *left == 0 {
                break;
            }
        }
    }

    fn prove(&mut self, rounds: u64, found: &mut dyn FnMut(&Schedule, &Cost)) {
        let stop = self.ask.stop;
        self.by_prover(found, |prover, better| {
            prover.advance(rounds.saturating_mul(WORK_OF_ROUND), stop, better);
        });
    }

    /// The prover near the best schedule, if there is one.
    fn near(&mut self, rounds: u64, found: &mut dyn FnMut(&Schedule, &Cost)) {
        if self.answer.schedule.is_none() || self.prover.proved() != Proved::Open {
            return;
        }
        let stop = self.ask.stop;
        self.by_prover(found, |prover, better| {
            prover.look_near(rounds.saturating_mul(WORK_OF_ROUND), stop, better);
        });
    }

    fn by_prover(
        &mut self,
        found: &mut dyn FnMut(&Schedule, &Cost),
        go: impl FnOnce(&mut Prover<'_>, &mut dyn FnMut(&Schedule, &Cost)),
    ) {
        let best = self.best();
        go(&mut self.prover, &mut |s, c| {
            if c.total() < best {
                found(s, c);
            }
        });
        if let Some((schedule, cost)) = self.prover.best()
            && cost.total() < best
        {
            self.answer.schedule = Some(schedule.clone());
            self.answer.cost = *cost;
        }
        self.answer.bound = self.answer.bound.max(self.prover.bound());
    }

    fn best(&self) -> i64 {
        self.answer.schedule.as_ref().map_or(i64::MAX, |_| self.answer.cost.total())
    }

    fn search(&mut self, rounds: u64, found: &mut dyn FnMut(&Schedule, &Cost)) {
        let (Some(schedule), best) = (&self.answer.schedule, self.best()) else { return };
        if (self.ask.stop)() {
            return;
        }
        let mut better = |s: &Schedule, c: &Cost| {
            if c.total() < best {
                found(s, c);
            }
        };
        match &mut self.search {
            Some(search) => search.adopt(schedule, self.answer.cost),
            None => {
                let begin = Begin { warm: Some(schedule), ready: &[], seed: self.ask.seed };
                let ask = self.ask;
                let (both, stop) = (self.both, ask.stop);
                let begun = Pair::begin(ask.problem, self.ground, begin, both, stop, &mut better);
                self.search = begun.ok();
            }
        }
        let Some(search) = &mut self.search else { return };
        search.advance(rounds, self.ask.stop, &mut better);
        if let Some((schedule, cost)) = search.best().filter(|b| b.1.total() < best) {
            self.prover.suggest(schedule);
            self.answer.schedule = Some(schedule.clone());
            self.answer.cost = *cost;
        }
    }

    fn end(mut self) -> Answer {
        let cost = self.answer.cost.total();
        let old = std::mem::replace(&mut self.answer.standing, Standing::Stopped);
        self.answer.standing = match (self.prover.proved(), old) {
            (Proved::Best, _) if self.answer.schedule.is_some() => {
                self.answer.bound = cost;
                Standing::Best
            }
            (Proved::Impossible, old) => {
                self.answer.schedule = None;
                Standing::Impossible(self.clash(old))
            }
            (_, old) if self.answer.schedule.is_none() => old,
            _ if self.answer.bound >= cost => Standing::Best,
            _ if self.answer.bound > 0 => Standing::Within,
            _ => Standing::Stopped,
        };
        self.answer
    }

    /// What clashes, if it is soon seen; else that something does.
    fn clash(&self, old: Standing) -> Clash {
        let patience = Patience { work: CLASH_WORK, stop: self.ask.stop };
        let benchmark = self.ask.problem.dishes.is_empty();
        let seen = if benchmark { None } else { clash(self.ask.problem, &patience) };
        match (seen, old) {
            (Some(clashing), _) => Clash::new(ClashKind::Demands { demands: clashing.demands }),
            (None, Standing::Impossible(clash)) => Clash::new(clash.kind),
            (None, _) => Clash::new(ClashKind::Demands { demands: Vec::new() }),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::judge;
    use crate::plan::planner::Planning;
    use crate::plan::sample::evening;
    use crate::plan::situation::Situation;

    /// Where the search found no beginning and no rounds are left, any way at all is looked for only if it is wanted.
    #[test]
    fn any_way_at_all_is_looked_for_where_it_is_wanted() {
        let (evening, situation) = (evening(), Situation::default());
        let planning = Planning::new(&evening, &situation).expect("a problem");
        let problem = planning.problem();
        let ground = Ground::of(problem).expect("it can be done");
        let ask = Ask { problem, warm: None, ready: &[], seed: 1, rounds: 0, stop: &|| false };
        let played = |hope| {
            let answer = search::impossible(Clash::new(ClashKind::Demands { demands: Vec::new() }));
            let (ground, prover) = (&ground, Prover::new(problem).expect("a model"));
            let (both, search, share) = (None, None, SHARE);
            let team = Team { ask: &ask, hope, both, ground, search, prover, answer, share };
            team.play(0, &mut |_, _| ())
        };
        let found = played(Hope::AnyWay);
        let schedule = found.schedule.expect("a schedule");
        assert_eq!(judge::judge(problem, &schedule), Ok(found.cost));
        assert_eq!(played(Hope::GoodOrNone).schedule, None);
    }
}

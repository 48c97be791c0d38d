//! Gives a plan room until each service is on time as often as the party wishes.
//!
//! Round by round the plan is played forward; the dishes that make a service
//! late too often wish to be ready sooner by what they are short of, the steps
//! that endanger it most are followed by some free minutes; and the evening is
//! planned anew with that room, over the same evenings. Where all of it at once
//! does not help (the day is not long enough, a thing cannot wait so long), half
//! of it is tried, then each wish by itself. Once the wish is met, room is taken
//! back as far as the chance holds. Of the plans that meet it the cheapest is
//! kept (by the party's own prices: room itself costs nothing but what it does
//! to the food and the hours), else the one that comes closest. No room is worth
//! a dish that is planned late; and while the evening runs each block that moves
//! must be worth a better chance.
//!
//! Bounded by [`ROUNDS`]; the same seed, rounds and evenings give the same plan
//! if nothing stops it.

use std::cmp::Reverse;
use std::collections::BTreeMap;

use super::room::Room;
use super::{Forecast, forecast};
use crate::kitchen::{Evening, Minute};
use crate::order::InOrder;
use crate::plan::planner::{Budget, Planning};
use crate::plan::weights::NEAR_MINUTES;
use crate::plan::{Block, Cost, Plan, Schedule, Situation, StepKey};

/// How often the evening is planned anew, at the most.
pub const ROUNDS: u64 = 24;

/// Rounds of the search that do for one of these plans, which begins from the one before.
pub const ROOM_ROUNDS: u64 = 400;

/// The evenings that room is made for: others, and fewer, than those that are shown.
const SEED: u64 = 2;
const EVENINGS: u32 = 1_000;

/// Per cent beyond the wish that are aimed at, so that other evenings than
/// these meet it too: a standard error of these evenings at 90 %, rounded up.
const MARGIN: u32 = 1;

/// Below this chance of a service room is made even while the evening runs.
/// A choice of ours.
const RUNNING_PERCENT: u32 = 50;

/// While the evening runs a block that moves must be worth so many per cent of
/// a service's chance, and one that is about to begin so many. A choice of ours.
const MOVED_PERCENT: u64 = 1;
const MOVED_SOON_PERCENT: u64 = 5;

/// A block that moves by fewer minutes counts as standing.
const MOVED_MINUTES: Minute = 3;

/// The most room for a dish or after a step, minutes.
const MOST_ROOM: Minute = 60;

/// What came of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The plan, with its room in it.
    pub plan: Plan,
    /// Its schedule.
    pub schedule: Schedule,
    /// Does it meet the wish, over the evenings that room was made for?
    pub met: bool,
}

/// A plan with what it is worth.
#[derive(Debug, Clone)]
struct Tried {
    plan: Plan,
    schedule: Schedule,
    odds: Forecast,
    /// What its moves must be worth, in the measure of [`Tried::missing`].
    unrest: u64,
}

impl Tried {
    fn missing(&self, percent: u32) -> u64 {
        missing(&self.odds, percent)
    }

    fn rank(&self, percent: u32) -> (i64, u64, i64) {
        rank(&self.plan.cost, self.missing(percent).saturating_add(self.unrest))
    }
}

/// The least is the best: planned late, short of the wish, dear.
fn rank(cost: &Cost, short: u64) -> (i64, u64, i64) {
    (cost.late, short, cost.total())
}

/// What a plan lacks of the wish, over all services, in evenings x per cent.
fn missing(odds: &Forecast, percent: u32) -> u64 {
    let missing = |s: &super::Odds| {
        (u64::from(s.evenings) * u64::from(percent)).saturating_sub(u64::from(s.on_time) * 100)
    };
    odds.services.iter().map(missing).sum()
}

/// Is a plan worth more than another of the same evening by the measure that room is made by? Each comes with what
/// it costs as the evening stands.
#[must_use]
pub fn is_better(
    evening: &Evening,
    situation: &Situation,
    (plan, cost): (&Plan, &Cost),
    (than, of_than): (&Plan, &Cost),
) -> bool {
    let short = |plan: &Plan| {
        let odds = forecast(evening, situation, plan, SEED, EVENINGS);
        missing(&odds, evening.party.on_time_percent).saturating_add(unrest(situation, plan))
    };
    rank(cost, short(plan)) < rank(of_than, short(than))
}

/// What the moves against the plan on the screen must be worth while the
/// evening runs, in evenings x per cent; nothing ahead of it.
fn unrest(situation: &Situation, plan: &Plan) -> u64 {
    let (Some(shown), Some(now)) = (&situation.previous, situation.now) else { return 0 };
    if !situation.has_begun() {
        return 0;
    }
    let was: BTreeMap<StepKey, &Block> = shown.blocks.iter().map(|b| (b.key, b)).collect();
    let worth = |block: &Block| {
        let Some(was) = was.get(&block.key) else { return 0 };
        let moved =
            (block.start - was.start).abs() >= MOVED_MINUTES || block.station != was.station;
        if !moved {
            0
        } else if was.start - now < NEAR_MINUTES {
            MOVED_SOON_PERCENT
        } else {
            MOVED_PERCENT
        }
    };
    let percent: u64 = plan.blocks.iter().filter(|b| !b.begun).map(worth).sum();
    percent * u64::from(EVENINGS)
}

/// Is room to be made for this plan? Ahead of the evening always; once
/// something has begun only where a service is likelier late than not: a plan
/// that stands still is worth more then than some more minutes of room.
#[must_use]
pub fn is_wanted(evening: &Evening, situation: &Situation, plan: &Plan) -> bool {
    !situation.has_begun()
        || !forecast(evening, situation, plan, SEED, EVENINGS).meets(RUNNING_PERCENT)
}

/// As [`with_room`] where room [is wanted](is_wanted); else the plan as it is.
#[must_use]
pub fn where_wanted(
    evening: &Evening,
    situation: &Situation,
    planning: &Planning<'_>,
    first: (Plan, Schedule),
    budget: &Budget<'_>,
) -> Plan {
    if is_wanted(evening, situation, &first.0) {
        with_room(evening, situation, planning, first, budget).plan
    } else {
        first.0
    }
}

/// Gives a plan room. `evening` and `situation` are those of the planning;
/// `first` is a plan of it with its schedule.
#[must_use]
pub fn with_room(
    evening: &Evening,
    situation: &Situation,
    planning: &Planning<'_>,
    first: (Plan, Schedule),
    budget: &Budget<'_>,
) -> Outcome {
    let mut search = Search { evening, situation, planning, budget, rounds: 0 };
    let best = search.weigh(first);
    let best = search.widen(best);
    let best = search.or_as_shown(best);
    let best = search.narrow(best);
    let met = best.odds.meets(evening.party.on_time_percent);
    Outcome { plan: best.plan, schedule: best.schedule, met }
}

struct Search<'a> {
    evening: &'a Evening,
    situation: &'a Situation,
    planning: &'a Planning<'a>,
    budget: &'a Budget<'a>,
    rounds: u64,
}

/// One wish for room.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Wish {
    /// A dish is to be ready sooner.
    Dish(usize),
    /// A step is to be followed by free minutes.
    Step(usize, usize),
}

impl Search<'_> {
    fn aim(&self) -> u32 {
        (self.evening.party.on_time_percent + MARGIN).min(99)
    }

    fn weigh(&self, (plan, schedule): (Plan, Schedule)) -> Tried {
        let odds = forecast(self.evening, self.situation, &plan, SEED, EVENINGS);
        let unrest = unrest(self.situation, &plan);
        Tried { plan, schedule, odds, unrest }
    }

    /// A plan with so much room, if it is better than `best`. None too when the rounds are used up.
    fn better(&mut self, room: &Room, best: &Tried) -> Option<Tried> {
        if *room == best.plan.room || !self.goes_on() {
            return None;
        }
        let seed = self.budget.seed.wrapping_add(self.rounds);
        self.rounds += 1;
        let budget = Budget { seed, ..*self.budget };
        let found = self.planning.search_with(room, Some(&best.schedule), &budget)?;
        let tried = self.weigh(found);
        (tried.rank(self.aim()) < best.rank(self.aim())).then_some(tried)
    }

    fn goes_on(&self) -> bool {
        self.rounds < ROUNDS && !(self.budget.stop)()
    }

    /// Makes room until the wish is met or nothing more helps.
    fn widen(&mut self, mut best: Tried) -> Tried {
        let mut refused: Vec<Wish> = Vec::new();
        while best.missing(self.aim()) > 0 && self.goes_on() {
            let wishes = wishes(&best.odds, self.aim());
            let open: Vec<_> = wishes.iter().filter(|w| !refused.contains(&w.0)).copied().collect();
            let all = |part: Minute| with(&best.plan.room, &open, part);
            let together = [1, 2].map(all);
            let found = together.iter().find_map(|room| self.better(room, &best));
            let found = found.or_else(|| {
                open.iter().find_map(|wish| {
                    let found = self.better(&with(&best.plan.room, &[*wish], 1), &best);
                    if found.is_none() {
                        refused.push(wish.0);
                    }
                    found
                })
            });
            match found {
                Some(found) => best = found,
                None => break,
            }
        }
        best
    }

    /// The plan on the screen as it stands, where that is worth more: it was mostly given longer than there is now,
    /// and a cheaper one may have used up minutes that it leaves free.
    fn or_as_shown(&mut self, best: Tried) -> Tried {
        let shown = self.planning.as_it_stands().map(|found| self.weigh(found));
        match shown.filter(|s| s.rank(self.aim()) < best.rank(self.aim())) {
            Some(shown) => self.widen(shown),
            None => best,
        }
    }

    /// Takes room back that the wish does not need, where that is cheaper.
    fn narrow(&mut self, mut best: Tried) -> Tried {
        while best.missing(self.aim()) == 0 && !best.plan.room.is_empty() {
            match self.better(&less(&best.plan.room), &best) {
                Some(found) => best = found,
                None => break,
            }
        }
        best
    }
}

/// What is wished for, and how many minutes more; what helps most first.
fn wishes(odds: &Forecast, aim: u32) -> Vec<(Wish, Minute)> {
    let mut wishes: Vec<(Wish, Minute)> = Vec::new();
    for service in odds.services.iter().filter(|s| !s.meets(aim)) {
        for t in &service.threats {
            // Half of what it runs over by when it does harm: more is asked for in the next round.
            wishes.push((Wish::Step(t.dish, t.step), (t.over_minutes + 1) / 2));
        }
        let worst = service.dishes.iter().map(|d| d.on_time).min();
        for dish in &service.dishes {
            // All dishes must be on time at once: the worst is asked for a
            // little more than its own share.
            let little = i32::from(Some(dish.on_time) == worst);
            wishes.push((Wish::Dish(dish.dish), dish.short.max(little)));
        }
    }
    wishes.retain(|w| w.1 > 0);
    // Of two services' wishes for one step the greater.
    wishes.order_by_key(|w| (w.0, Reverse(w.1)));
    wishes.dedup_by_key(|w| w.0);
    wishes.order_by_key(|w| (Reverse(w.1), w.0));
    wishes
}

/// A room with more of it: a `part` of what is wished for.
fn with(room: &Room, wishes: &[(Wish, Minute)], part: Minute) -> Room {
    let mut more = room.clone();
    for &(wish, minutes) in wishes {
        let add = (minutes + part - 1) / part;
        match wish {
            Wish::Dish(d) => more.set_dish(d, (more.of_dish(d) + add).min(MOST_ROOM)),
            Wish::Step(d, s) => more.set_step(d, s, (more.of_step(d, s) + add).min(MOST_ROOM)),
        }
    }
    more
}

/// A third less room everywhere.
fn less(room: &Room) -> Room {
    let mut less = Room::default();
    room.dishes.iter().for_each(|&(d, m)| less.set_dish(d, m * 2 / 3));
    room.steps.iter().for_each(|&(d, s, m)| less.set_step(d, s, m * 2 / 3));
    less
}

#[cfg(test)]
mod wish_tests;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::sample::evening_with;

    /// Soup for the supper, which waits well; from `low` to `high` minutes on the hob.
    pub(super) fn soup(most_wait: u32, wish: u32) -> Evening {
        let mut evening = evening_with(|party, _, recipes| {
            party["on_time_percent"] = serde_json::json!(wish);
            party["dishes"] = serde_json::json!([
                {"id": "soup", "recipe": "dip", "servings": 8, "service": "supper"}
            ]);
            recipes[2]["steps"] = serde_json::json!([
                {"id": "cut", "text": "Cut it.", "label": "cut", "hands": {"between_percent": 100},
                    "ways": [{"station": "counter", "minutes": {"low": 20, "likely": 25, "high": 35}}]},
                {"id": "cook", "text": "Cook it.", "label": "cook", "hands": {"start_minutes": 1},
                    "after": [{"step": "cut", "most_minutes": 60}],
                    "ways": [{"station": "stovetop", "minutes": {"low": 30, "likely": 40, "high": 60}}]}
            ]);
            recipes[2]["holds"] = serde_json::json!([
                {"place": "stovetop", "class": "hot", "free_minutes": 2, "points": 4,
                    "most_minutes": most_wait}
            ]);
            recipes.swap(0, 2);
        });
        evening.sheets.truncate(1);
        evening
    }

    fn planned(evening: &Evening) -> (Plan, Outcome) {
        let ahead = Situation::default();
        let planning = Planning::new(evening, &ahead).unwrap_or_else(|_| panic!("a problem"));
        let budget = Budget { seed: 1, rounds: 50, stop: &|| false };
        let first = planning.search(None, &budget).expect("a plan");
        let outcome = with_room(evening, &ahead, &planning, first.clone(), &budget);
        assert_eq!(outcome, with_room(evening, &ahead, &planning, first.clone(), &budget));
        (first.0, outcome)
    }

    fn share(evening: &Evening, plan: &Plan) -> f64 {
        forecast(evening, &Situation::default(), plan, 77, 4_000).services[0].share()
    }

    #[test]
    fn room_is_made_until_the_wish_is_met_and_no_more() {
        let mut before = (0.0, 0);
        for wish in [70, 90, 97] {
            let evening = soup(90, wish);
            let (first, outcome) = planned(&evening);
            assert!(share(&evening, &first) < 0.7, "{}", share(&evening, &first));
            let (met, cost) = (share(&evening, &outcome.plan), outcome.plan.cost.total());
            assert!(outcome.met && met >= f64::from(wish) / 100.0 - 0.01, "{wish}: {met}");
            // More is dearer, and nothing is bought that was not wished for.
            assert!(met > before.0 && cost > before.1 && met < f64::from(wish) / 100.0 + 0.08);
            before = (met, cost);
        }
    }

    #[test]
    fn while_the_evening_runs_a_move_must_be_worth_a_chance() {
        let evening = soup(90, 90);
        let (first, outcome) = planned(&evening);
        let mut situation = Situation {
            now: Some(first.blocks[0].start - 5),
            previous: Some(std::sync::Arc::new(first.clone())),
            ..Situation::default()
        };
        // Ahead of it moves are free.
        assert_eq!(unrest(&situation, &outcome.plan), 0);
        let (key, b) = (first.blocks[1].key, &first.blocks[1]);
        let (start, end, way, station) = (b.start, b.end, b.way, b.station.clone());
        let done = crate::plan::Begun::Done { start, end, way, station, left_out: false };
        situation.begun.insert(StepKey { dish: 9, ..key }, done);
        assert_eq!(unrest(&situation, &first), 0);
        let moved = |b: &&Block| {
            let was = first.blocks.iter().find(|w| w.key == b.key).expect("the same blocks");
            (b.start - was.start).abs() >= MOVED_MINUTES
        };
        let moved = outcome.plan.blocks.iter().filter(moved).count() as u64;
        assert!(moved >= 1);
        let worth = unrest(&situation, &outcome.plan);
        let points = worth / u64::from(EVENINGS);
        assert!((moved..=moved * MOVED_SOON_PERCENT).contains(&points), "{points} for {moved}");
    }

    #[test]
    fn it_says_so_where_the_wish_cannot_be_met() {
        // The soup must not wait for more than five minutes, and varies by thirty.
        let evening = soup(5, 90);
        let (first, outcome) = planned(&evening);
        assert!(!outcome.met);
        assert!(share(&evening, &outcome.plan) >= share(&evening, &first));
        assert_eq!(outcome.plan.cost.late, 0);
    }

    #[test]
    fn what_is_on_the_screen_is_kept_where_no_more_comes_of_what_was_found() {
        let evening = soup(90, 90);
        let (first, outcome) = planned(&evening);
        // Its free minutes are there by themselves; no room is asked for.
        let shown = Plan { room: Room::default(), ..outcome.plan };
        let standing = Situation {
            previous: Some(std::sync::Arc::new(shown.clone())),
            ..Situation::default()
        };
        let planning = Planning::new(&evening, &standing).unwrap_or_else(|_| panic!("a problem"));
        let no_time = Budget { seed: 1, rounds: 50, stop: &|| true };
        let found = (first.clone(), planning.schedule_of(&first));
        let kept = with_room(&evening, &standing, &planning, found, &no_time);
        let starts = |plan: &Plan| plan.blocks.iter().map(|b| b.start).collect::<Vec<_>>();
        assert!(starts(&first) != starts(&shown));
        assert_eq!(starts(&kept.plan), starts(&shown));
        assert!(kept.met);
        // Of what is worth as much what was found stays.
        let found = (shown.clone(), planning.schedule_of(&shown));
        let kept = with_room(&evening, &standing, &planning, found, &no_time);
        assert_eq!(kept.plan, shown);
    }

    #[test]
    fn a_plan_that_is_sure_enough_is_left_alone() {
        let (evening, plan) = crate::plan::compose::tests::supper();
        let mut evening = evening;
        evening.party.on_time_percent = 50;
        let ahead = Situation::default();
        let planning = Planning::new(&evening, &ahead).unwrap_or_else(|_| panic!("a problem"));
        let first = (plan.clone(), planning.schedule_of(&plan));
        let budget = Budget { seed: 1, rounds: 5, stop: &|| false };
        let odds = forecast(&evening, &ahead, &plan, 1, 500);
        assert!(odds.meets(52), "{odds:?}");
        assert_eq!(with_room(&evening, &ahead, &planning, first, &budget).plan, plan);
    }
}

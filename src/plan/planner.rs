//! From an evening to a plan: builds the problem, searches, composes, and lets
//! nothing out that the checks refuse.

use std::borrow::Cow;
use std::sync::OnceLock;

use super::blocks::{Cost, Plan, Proof};
use super::build::{Map, NoWay, Pins, build_with, schedule_of};
use super::clash;
use super::compose::{Solved, compose};
use super::contact;
use super::dial;
use super::eve;
use super::judge;
use super::problem::{Problem, Schedule};
use super::prove::{self, Hope};
use super::risk::Room;
use super::search::{self, Answer, Ask, Both, Clash, Standing};
use super::situation::Situation;
use super::verify;
use crate::kitchen::Evening;
use crate::safety::Profile;

/// How long to search.
#[derive(Clone, Copy)]
pub struct Budget<'a> {
    /// The same seed and rounds give the same plan, if nothing stops it.
    pub seed: u64,
    /// Rounds of improvement, some 20 to 200 µs each; 0 for the first plan there is.
    pub rounds: u64,
    /// Asked now and then; true ends the search.
    pub stop: &'a (dyn Fn() -> bool + Sync),
}

/// Why there is no plan.
#[derive(Debug, Clone, PartialEq)]
pub enum NoPlan {
    /// Seen at once: something is missing altogether.
    NoWay(NoWay),
    /// The search found that demands clash, or found no way through them.
    Clash {
        /// What it found, by the problem's indexes.
        clash: Clash,
        /// The same in words.
        words: Vec<String>,
    },
    /// The plan found breaks a rule as the checks read it: a fault of the
    /// program, not of the party. Nothing of it is shown.
    Refused(Vec<String>),
    /// The party names a guidance that is not known.
    Guidance(String),
}

impl NoPlan {
    /// Is it sure that there is none, however long one is looked for?
    #[must_use]
    pub const fn is_sure(&self) -> bool {
        match self {
            Self::Clash { clash, .. } => clash.proven,
            Self::NoWay(_) | Self::Refused(_) | Self::Guidance(_) => true,
        }
    }
}

/// An evening at a certain moment, ready to be planned.
pub struct Planning<'a> {
    evening: &'a Evening,
    /// What has happened.
    asked: &'a Situation,
    /// With what is made the day before done as planned.
    situation: Cow<'a, Situation>,
    /// The plan of the day before.
    eve: Option<Plan>,
    profile: &'static Profile,
    problem: Problem,
    map: Map,
    /// What speaks against each dish for each guest, once it is asked for.
    known: OnceLock<contact::Known>,
    /// Does two searches at a time, if there is something that does.
    both: Option<Both<'a>>,
    /// Schedules that a search may begin from as well.
    ready: Vec<Schedule>,
}

/// Plans a party that lies ahead. Each plan better than the last by a
/// hundredth is given to `found`, checked; the best is returned.
///
/// # Errors
/// Why there is none.
pub fn plan_ahead(
    evening: &Evening,
    budget: &Budget<'_>,
    found: &mut dyn FnMut(&Plan),
) -> Result<Plan, NoPlan> {
    reshuffle(evening, &Situation::default(), budget, found)
}

/// Plans an evening as it stands, from the plan on the screen if there is one.
/// Else as [`plan_ahead`].
///
/// # Errors
/// Why there is none.
pub fn reshuffle(
    evening: &Evening,
    situation: &Situation,
    budget: &Budget<'_>,
    found: &mut dyn FnMut(&Plan),
) -> Result<Plan, NoPlan> {
    let planning = Planning::new(evening, situation)?;
    let shown = planning.shown();
    planning.search_telling(shown.as_ref(), budget, found).map(|(plan, _)| plan)
}

impl<'a> Planning<'a> {
    /// Builds the problem.
    ///
    /// # Errors
    /// If something is missing altogether.
    pub fn new(evening: &'a Evening, situation: &'a Situation) -> Result<Self, NoPlan> {
        Self::with(evening, situation, Pins::Hold)
    }

    fn with(evening: &'a Evening, asked: &'a Situation, pins: Pins) -> Result<Self, NoPlan> {
        let profile = Profile::by_id(&evening.party.guidance)
            .ok_or_else(|| NoPlan::Guidance(evening.party.guidance.clone()))?;
        let (situation, eve) = match eve::settle(evening, asked)? {
            Some(eve) => (Cow::Owned(eve.situation), Some(eve.plan)),
            None => (Cow::Borrowed(asked), None),
        };
        let (problem, map) = build_with(evening, &situation, pins).map_err(NoPlan::NoWay)?;
        let known = OnceLock::new();
        Ok(Self {
            evening,
            asked,
            situation,
            eve,
            profile,
            problem,
            map,
            known,
            both: None,
            ready: Vec::new(),
        })
    }

    /// Searches go on two at a time from here on: more is found in the time of one.
    #[must_use]
    pub fn by_two(mut self, both: Option<Both<'a>>) -> Self {
        self.both = both;
        self
    }

    /// Searches begin from one of these plans for the same evening from here on, where that is cheaper
    /// than the plan that they are given: from what was made ready (see [`super::ready`]).
    #[must_use]
    pub fn with_ready<'p>(mut self, plans: impl IntoIterator<Item = &'p Plan>) -> Self {
        self.ready = plans.into_iter().map(|plan| self.schedule_of(plan)).collect();
        self
    }

    /// The evening that is planned.
    #[must_use]
    pub fn evening(&self) -> &Evening {
        self.evening
    }

    /// What has happened, with what is made the day before done as planned.
    #[must_use]
    pub fn situation(&self) -> &Situation {
        &self.situation
    }

    /// The problem, for other solvers.
    #[must_use]
    pub fn problem(&self) -> &Problem {
        &self.problem
    }

    /// What its integers stand for.
    #[must_use]
    pub fn map(&self) -> &Map {
        &self.map
    }

    /// The schedule of the plan on the screen, to begin with.
    #[must_use]
    pub fn shown(&self) -> Option<Schedule> {
        self.situation.previous.as_ref().map(|plan| self.schedule_of(plan))
    }

    /// The schedule that a plan for the same evening stands for.
    #[must_use]
    pub fn schedule_of(&self, plan: &Plan) -> Schedule {
        schedule_of(&self.problem, &self.map, self.evening, plan)
    }

    /// A first plan as fast as can be, checked.
    ///
    /// # Errors
    /// [`NoPlan::Clash`] or [`NoPlan::Refused`].
    pub fn first(&self) -> Result<(Plan, Schedule), NoPlan> {
        self.search(self.shown().as_ref(), &Budget { seed: 0, rounds: 0, stop: &|| false })
    }

    /// Searches from `warm` on and returns the best plan found, checked, with its schedule.
    ///
    /// # Errors
    /// Why there is none.
    pub fn search(
        &self,
        warm: Option<&Schedule>,
        budget: &Budget<'_>,
    ) -> Result<(Plan, Schedule), NoPlan> {
        self.search_keeping_room(warm, budget, &mut |_, _| ())
    }

    /// As [`Self::search`]; each plan better than the last by a hundredth is given to `found`.
    ///
    /// # Errors
    /// Why there is none.
    pub fn search_telling(
        &self,
        warm: Option<&Schedule>,
        budget: &Budget<'_>,
        found: &mut dyn FnMut(&Plan),
    ) -> Result<(Plan, Schedule), NoPlan> {
        let mut told: Option<i64> = None;
        let mut tell = |schedule: &Schedule, cost: &Cost| {
            let total = cost.total();
            if told.is_none_or(|t| t.saturating_sub(total) > t / 100)
                && let Ok(plan) = self.checked(schedule, 0, Proof::Stopped)
            {
                told = Some(total);
                found(&plan);
            }
        };
        self.search_keeping_room(warm, budget, &mut tell)
    }

    /// As [`Self::search`]; each better schedule is given to `tell` as the search found it.
    fn search_keeping_room(
        &self,
        warm: Option<&Schedule>,
        budget: &Budget<'_>,
        tell: &mut dyn FnMut(&Schedule, &Cost),
    ) -> Result<(Plan, Schedule), NoPlan> {
        let room = self.situation.previous.as_ref().map(|p| &p.room).filter(|r| !r.is_empty());
        match room {
            Some(room) => self.search_roomy(room, warm, budget, tell),
            None => self.search_plainly(warm, budget, tell),
        }
    }

    /// A plan that keeps the room of the one on the screen as far as that pays:
    /// it never costs more than the plan on the screen put off as far as it must
    /// be, and while that one stands nothing moves but into a plan with all the
    /// room: room is not there to be used up for food that waits a little less.
    /// What is put off uses it up, which is what it is there for; and no room is
    /// worth a dish that is late or past its best.
    fn search_roomy(
        &self,
        room: &Room,
        warm: Option<&Schedule>,
        budget: &Budget<'_>,
        tell: &mut dyn FnMut(&Schedule, &Cost),
    ) -> Result<(Plan, Schedule), NoPlan> {
        let off = warm.and_then(|warm| search::put_off(&self.problem, warm));
        let kept = off.as_ref().and_then(|off| self.as_shown(room, &off.cheapest));
        let other = off.as_ref().filter(|off| off.least != off.cheapest);
        let most = other.and_then(|off| self.as_shown(room, &off.least));
        let begin = kept.as_ref().map(|k| &k.1).or(warm);
        let roomy = self.search_with(room, begin, budget);
        let total = |found: &(Plan, Schedule)| found.0.cost.total();
        let most = most.as_ref().or(kept.as_ref()).map_or(i64::MAX, total);
        // Of equal ones what stands on the screen stays.
        let Some(best) = roomy.filter(|r| total(r) < most).or(kept) else {
            return self.search_plainly(warm, budget, tell);
        };
        if best.0.cost.late == 0 {
            return Ok(best);
        }
        let plain = self.search_plainly(Some(&best.1), budget, tell);
        Ok(plain.ok().filter(|p| p.0.cost.late < best.0.cost.late).unwrap_or(best))
    }

    /// The plan on the screen as it stands, with its room: what must be is later and nothing else moves.
    /// None if there is none or its order cannot be kept.
    #[must_use]
    pub fn as_it_stands(&self) -> Option<(Plan, Schedule)> {
        let shown = self.situation.previous.as_ref()?;
        let off = search::put_off(&self.problem, &self.schedule_of(shown))?;
        self.as_shown(&shown.room, &off.least)
    }

    /// The plan on the screen with these minutes, checked, with its room.
    fn as_shown(&self, room: &Room, schedule: &Schedule) -> Option<(Plan, Schedule)> {
        let mut plan = self.checked(schedule, 0, Proof::Stopped).ok()?;
        plan.room = room.clone();
        Some((plan, schedule.clone()))
    }

    /// As [`Self::search`], whatever room the plan on the screen has.
    fn search_plainly(
        &self,
        warm: Option<&Schedule>,
        budget: &Budget<'_>,
        tell: &mut dyn FnMut(&Schedule, &Cost),
    ) -> Result<(Plan, Schedule), NoPlan> {
        let answer = self.solve(&self.problem, warm, Hope::AnyWay, budget, tell);
        match (&answer.schedule, &answer.standing) {
            (Some(schedule), _) => {
                let plan = self.checked(schedule, answer.bound, proof(&answer))?;
                Ok((plan, schedule.clone()))
            }
            (None, Standing::Impossible(clash)) => self.loosened(budget).unwrap_or_else(|| {
                let words = clash::of_clash(self.evening, &self.problem, &self.map, clash);
                Err(NoPlan::Clash { clash: clash.clone(), words })
            }),
            (None, _) => Err(NoPlan::Refused(vec!["the search gave no answer".to_owned()])),
        }
    }

    /// What a plan costs as the evening stands.
    ///
    /// # Errors
    /// Every rule that it breaks.
    pub fn cost_of(&self, plan: &Plan) -> Result<Cost, Vec<judge::Fault>> {
        judge::judge(&self.problem, &self.schedule_of(plan))
    }

    /// Checks a plan made elsewhere as those of a search are checked before they are let out.
    ///
    /// # Errors
    /// [`NoPlan::Refused`], with every rule that it breaks.
    pub fn check(&self, plan: &Plan) -> Result<(), NoPlan> {
        let faults = |faults: Vec<String>| NoPlan::Refused(faults);
        self.cost_of(plan)
            .map_err(|found| faults(found.iter().map(|f| format!("{f:?}")).collect()))?;
        verify::verify(self.evening, self.asked, self.profile, plan)
            .map_err(|found| faults(found.into_iter().map(|f| f.what).collect()))
    }

    /// Searches for a plan that leaves room for steps that run over. Its cost is
    /// that of the evening's own problem, of which nothing is proved.
    /// None: no plan was found that leaves so much.
    #[must_use]
    pub fn search_with(
        &self,
        room: &Room,
        warm: Option<&Schedule>,
        budget: &Budget<'_>,
    ) -> Option<(Plan, Schedule)> {
        let wide = room.widen(&self.problem, &self.map);
        // Of a wish beyond the plan there is, what is far from the best is no use.
        let found = self.solve(&wide, warm, Hope::GoodOrNone, budget, &mut |_, _| ());
        let schedule = found.schedule?;
        let mut plan = self.checked(&schedule, 0, Proof::Stopped).ok()?;
        plan.room = room.clone();
        Some((plan, schedule))
    }

    fn solve(
        &self,
        problem: &Problem,
        warm: Option<&Schedule>,
        hope: Hope,
        budget: &Budget<'_>,
        tell: &mut dyn FnMut(&Schedule, &Cost),
    ) -> Answer {
        let (seed, rounds, stop) = (budget.seed, budget.rounds, budget.stop);
        prove::solve_both(
            &Ask { problem, warm, ready: &self.ready, seed, rounds, stop },
            hope,
            self.both,
            tell,
        )
    }

    /// Pins that cannot all be kept together only say "not earlier": better
    /// that than no plan. None if there are no pins.
    fn loosened(&self, budget: &Budget<'_>) -> Option<Result<(Plan, Schedule), NoPlan>> {
        let pinned = self.problem.tasks.iter().any(|t| t.fixed.is_none() && t.earliest == t.latest);
        if self.situation.pins.is_empty() || !pinned {
            return None;
        }
        let loose = Planning::with(self.evening, self.asked, Pins::NotEarlier).ok()?;
        let loose = loose.by_two(self.both);
        loose.search(loose.shown().as_ref(), budget).ok().map(Ok)
    }

    /// The plan of a schedule, if it passes the judge of the problem's rules
    /// and the check against the evening, which share no code with the search.
    fn checked(&self, schedule: &Schedule, bound: i64, proof: Proof) -> Result<Plan, NoPlan> {
        let refused = |faults: Vec<String>| NoPlan::Refused(faults);
        let schedule = &dial::on_marks(&self.problem, schedule);
        let cost: Cost = judge::judge(&self.problem, schedule)
            .map_err(|faults| refused(faults.iter().map(|f| format!("{f:?}")).collect()))?;
        let solved = Solved { schedule, cost, bound, proof };
        let mut plan = compose(self.evening, &self.situation, &self.problem, &self.map, solved);
        if let Some(eve) = &self.eve {
            eve::merge(&mut plan, eve);
        }
        let known = self.known.get_or_init(|| contact::Known::of(self.evening));
        plan.cleans = contact::cleans(self.evening, known, &plan);
        verify::verify(self.evening, self.asked, self.profile, &plan)
            .map_err(|faults| refused(faults.into_iter().map(|f| f.what).collect()))?;
        Ok(plan)
    }
}

fn proof(answer: &Answer) -> Proof {
    let (cost, bound) = (answer.cost.total(), answer.bound);
    match answer.standing {
        Standing::Best => Proof::Best,
        Standing::Within => within(cost, bound),
        _ => Proof::Stopped,
    }
}

/// What a bound says of a cost above it.
pub(super) fn within(cost: i64, bound: i64) -> Proof {
    if bound <= 0 {
        return Proof::Stopped;
    }
    let over = i128::from(cost.saturating_sub(bound).max(0)) * 1000;
    let permille = (over + i128::from(bound) - 1) / i128::from(bound);
    Proof::WithinPermille(u32::try_from(permille).unwrap_or(u32::MAX))
}

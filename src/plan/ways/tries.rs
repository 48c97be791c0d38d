//! What if: any change, laid beside the evening as it is.

use std::sync::Arc;

use super::candidates::{self, due};
use super::change::{Change, apply, day_before};
use super::figures::Figures;
use super::find::{Ask, obeyed};
use super::words;
use crate::kitchen::{Evening, Minute};
use crate::plan::planner::{Budget, NoPlan, Planning};
use crate::plan::risk::{self, Forecast, cushion};
use crate::plan::{Cost, Plan, Situation, StepKey, clash};

/// By how much a service is moved in the tries that are made without asking, in minutes.
const MOVES: [Minute; 3] = [-15, 15, 30];

/// By how much slower ovens are in the try that is made without asking, per cent.
const SLOWER_PERCENT: u32 = 10;

/// By how much earlier a cook begins in the try that is made without asking, in minutes.
const EARLIER: Minute = 30;

/// Changes that somebody wonders about; none at all is the evening as it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Try {
    /// The changes.
    pub changes: Vec<Change>,
    /// The same in words.
    pub words: String,
}

/// What would come of them.
#[derive(Debug, Clone, PartialEq)]
pub enum Tried {
    /// A plan.
    Plan(Outcome),
    /// There would be none: why, a sentence or two to a line.
    NoPlan(Vec<String>),
}

/// The plan of a try.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// The plan, checked.
    pub plan: Arc<Plan>,
    /// What it is like.
    pub figures: Figures,
    /// What it costs, term by term.
    pub cost: Cost,
    /// The chances of the services.
    pub odds: Forecast,
}

impl Try {
    /// A try with its words.
    #[must_use]
    pub fn new(evening: &Evening, situation: &Situation, changes: Vec<Change>) -> Self {
        let words = match changes.as_slice() {
            [] => "As it is".to_owned(),
            changes => words::of_changes(evening, situation, changes),
        };
        Self { changes, words }
    }
}

/// Plans the evening with the changes, from the plan on the screen, with room
/// made wherever the program would make it, so that like stands beside like.
#[must_use]
pub fn attempt(ask: &Ask<'_>, changes: &[Change]) -> Tried {
    let changed = match apply(ask.evening, ask.situation, changes, ask.settle) {
        Ok(changed) => changed,
        Err(idle) => return Tried::NoPlan(vec![idle.0]),
    };
    let (evening, situation) = (&changed.evening, &changed.situation);
    if changes.is_empty()
        && let Some(shown) = &situation.previous
        && let Ok(outcome) = in_force(evening, situation, shown)
    {
        return Tried::Plan(outcome);
    }
    match planned(ask, evening, situation) {
        Ok(plan) if obeyed(&plan, changes) => Tried::Plan(Outcome {
            figures: Figures::of(evening, &plan),
            cost: plan.cost,
            odds: risk::forecast(evening, situation, &plan, risk::SEED, risk::EVENINGS),
            plan: Arc::new(plan),
        }),
        Ok(_) => Tried::NoPlan(vec!["This kitchen cannot do it so now.".to_owned()]),
        Err(no_plan) => Tried::NoPlan(clash::lines(evening, &no_plan)),
    }
}

/// The plan on the screen as it stands; what it still misses is told by the same
/// plan, pushed along to what has happened since it was made.
fn in_force(
    evening: &Evening,
    situation: &Situation,
    shown: &Arc<Plan>,
) -> Result<Outcome, NoPlan> {
    let (pushed, _) = Planning::new(evening, situation)?.first()?;
    let Figures { late, past_limit, .. } = Figures::of(evening, &pushed);
    Ok(Outcome {
        figures: Figures { late, past_limit, ..Figures::of(evening, shown) },
        cost: shown.cost,
        odds: risk::forecast(evening, situation, shown, risk::SEED, risk::EVENINGS),
        plan: Arc::clone(shown),
    })
}

fn planned(ask: &Ask<'_>, evening: &Evening, situation: &Situation) -> Result<Plan, NoPlan> {
    let planning = Planning::new(evening, situation)?;
    let budget = Budget { seed: ask.seed, rounds: ask.rounds, stop: ask.stop };
    let found = planning.search(planning.shown().as_ref(), &budget)?;
    let budget = Budget { rounds: ask.rounds.min(cushion::ROOM_ROUNDS), ..budget };
    Ok(cushion::where_wanted(evening, situation, &planning, found, &budget))
}

/// The tries that most cooks wonder about: as it is, help, services moved,
/// an earlier start, dishes left out, made another way or the day before,
/// another oven, slow ovens.
#[must_use]
pub fn usual(evening: &Evening, situation: &Situation) -> Vec<Try> {
    let mut all = vec![Vec::new()];
    all.extend(helper(evening, situation).map(|c| vec![c]));
    all.extend(moved(evening, situation).into_iter().map(|c| vec![c]));
    all.extend(earlier(evening, situation).map(|c| vec![c]));
    all.extend(stations(evening).into_iter().map(|c| vec![c]));
    let open = |d: &usize| !situation.dropped.contains(d) && !situation.served.contains(d);
    let dishes: Vec<usize> = (0..evening.sheets.len()).filter(open).collect();
    let ahead = dishes.iter().filter(|&&d| day_before(evening, situation, d).is_some());
    all.extend(ahead.map(|&dish| vec![Change::DayBefore { dish }]));
    all.extend(dishes.iter().flat_map(|&d| other_ways(evening, situation, d)).map(|c| vec![c]));
    all.extend(dishes.iter().map(|&dish| vec![Change::Drop { dish }]));
    all.into_iter().map(|changes| Try::new(evening, situation, changes)).collect()
}

/// A second pair of hands for the rest of the evening.
fn helper(evening: &Evening, situation: &Situation) -> Option<Change> {
    let first = candidates::first_hour(evening)?;
    let from = situation.now.map_or(first, |now| now.max(first));
    let services = candidates::open_services(evening, situation);
    let to = services.iter().map(|&s| due(evening, situation, s)).max()?;
    (from < to).then_some(Change::Helper { from, to })
}

fn moved(evening: &Evening, situation: &Situation) -> Vec<Change> {
    let services = candidates::open_services(evening, situation);
    let to = |service| MOVES.map(|by| (service, due(evening, situation, service) + by));
    let all = services.into_iter().flat_map(to);
    let ahead = all.filter(|(_, to)| situation.now.is_none_or(|now| *to > now));
    ahead.map(|(service, to)| Change::ServiceAt { service, to }).collect()
}

/// The cook who is there first begins earlier.
fn earlier(evening: &Evening, situation: &Situation) -> Option<Change> {
    let first = candidates::first_hour(evening)?;
    let mut cooks = evening.party.cooks.iter();
    let cook = cooks.position(|c| evening.comes(c) == Some(first))?;
    let by = first - EARLIER;
    (by >= situation.now.unwrap_or(0)).then_some(Change::CookThere { cook, from: by, to: first })
}

/// One more of each station with a thermostat; and all of its kind slower.
fn stations(evening: &Evening) -> Vec<Change> {
    let mut seen = Vec::new();
    let mut all = Vec::new();
    for (station, s) in evening.kitchen.stations.iter().enumerate() {
        if s.thermostat.is_some() && !seen.contains(&s.kind) {
            seen.push(s.kind);
            all.push(Change::Another { station, places: s.slots });
            all.push(Change::Slower { station, percent: SLOWER_PERCENT });
        }
    }
    all
}

/// Ways of steps that have not begun, other than the plan on the screen has
/// them; without one, other than the first.
fn other_ways(evening: &Evening, situation: &Situation, dish: usize) -> Vec<Change> {
    let steps = evening.sheets.get(dish).map(|s| s.recipe.steps.as_slice()).unwrap_or_default();
    let mut all = Vec::new();
    for (step, s) in steps.iter().enumerate() {
        let key = StepKey { dish, step, load: 0 };
        if situation.begun.contains_key(&key) {
            continue;
        }
        let shown = situation.previous.as_ref();
        let shown = shown.and_then(|p| p.blocks.iter().find(|b| b.key == key)).map(|b| b.way);
        let now = shown.or(situation.ways.get(&(dish, step)).copied()).unwrap_or(0);
        let other = (0..s.ways.len()).filter(|w| *w != now);
        all.extend(other.map(|way| Change::Way { dish, step, way }));
    }
    all
}

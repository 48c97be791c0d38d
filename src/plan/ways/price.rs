//! What a way out costs the cook, so that ways out can be ranked.
//!
//! The price of a way out is in the units of [`weights`] and has two parts:
//! - what its plan costs: lost quality, too little cushion, long hours (and
//!   moves away from the plan on the screen, while the evening runs);
//! - what the change itself asks of the cook and the guests, by [`Prices`].
//!
//! The figures are the planner's own. They settle what a cook would rather do: start
//! an hour earlier before letting the guests wait for five minutes more; let them wait
//! some twenty minutes before asking somebody for help; and leave a dish out last, as if
//! the guests waited an hour for it.

use super::change::{Change, day_before};
use crate::kitchen::{Evening, Minute};
use crate::plan::{Plan, Situation, StepKey, weights};

/// What changes cost, in cost units.
pub struct Prices;

impl Prices {
    /// A minute by which a service is moved, either way.
    pub const SERVICE_MINUTE: i64 = 2 * weights::POINT;
    /// A minute that a cook comes earlier or stays longer (its hours are priced by the plan).
    pub const EARLIER_MINUTE: i64 = weights::POINT / 10;
    /// Another way to cook a dish than the plan would choose (its points are priced by the plan).
    pub const OTHER_WAY: i64 = 2 * weights::POINT;
    /// Another place to wait; likewise.
    pub const OTHER_PLACE: i64 = weights::POINT;
    /// Cooking on the day before at all, and a minute of hands there.
    pub const DAY_BEFORE: i64 = 8 * weights::POINT;
    /// A minute of hands on the day before.
    pub const DAY_BEFORE_MINUTE: i64 = weights::POINT / 10;
    /// Asking somebody to help.
    pub const HELPER: i64 = 30 * weights::POINT;
    /// A minute that the helper is there.
    pub const HELPER_MINUTE: i64 = weights::POINT / 10;
    /// A pin given up.
    pub const PIN: i64 = 5 * weights::POINT;
    /// All servings of a dish not made; of some, their share of it.
    pub const DISH: i64 = 100 * weights::POINT;
    /// A dish not made, or not whole, on top of its servings.
    pub const LESS: i64 = 20 * weights::POINT;
    /// A dish dropped of which something is begun: food and work for nothing.
    pub const WASTE: i64 = 30 * weights::POINT;
    /// An oven or grill borrowed: somebody's kitchen beside one's own.
    pub const OVEN: i64 = 60 * weights::POINT;
    /// Another station borrowed: what one person carries.
    pub const STATION: i64 = 25 * weights::POINT;
    /// A pan borrowed, and each further one.
    pub const PAN: i64 = 10 * weights::POINT;
}

/// What the cook and the guests lose by a way out, piece by piece; the less the better.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Loss {
    /// Minutes by which services are moved, added up.
    pub moved: Minute,
    /// Minutes that cooks come earlier or stay longer.
    pub earlier: Minute,
    /// Minutes of hands on the day before.
    pub before: Minute,
    /// Minutes of a second pair of hands.
    pub help: Minute,
    /// Servings not made.
    pub servings: i64,
    /// Pans and stations borrowed.
    pub borrowed: i64,
    /// Pins given up, ways and places settled.
    pub settled: i64,
}

impl Loss {
    /// Is this at least as good in every piece?
    #[must_use]
    pub const fn within(&self, other: &Self) -> bool {
        self.moved <= other.moved
            && self.earlier <= other.earlier
            && self.before <= other.before
            && self.help <= other.help
            && self.servings <= other.servings
            && self.borrowed <= other.borrowed
            && self.settled <= other.settled
    }
}

/// What changes cost by themselves, and what is lost by them.
#[must_use]
pub fn of_changes(evening: &Evening, situation: &Situation, changes: &[Change]) -> (i64, Loss) {
    let mut price = 0_i64;
    let mut loss = Loss::default();
    for change in changes {
        price = price.saturating_add(of_change(evening, situation, change, &mut loss));
    }
    (price, loss)
}

fn of_change(evening: &Evening, situation: &Situation, change: &Change, loss: &mut Loss) -> i64 {
    match *change {
        Change::ServiceAt { service, to } => {
            let at = situation.service_at.get(&service).copied();
            let at = at.unwrap_or_else(|| evening.service_minute(service));
            loss.moved += (to - at).abs();
            Prices::SERVICE_MINUTE * i64::from((to - at).abs())
        }
        Change::CookThere { from, to, .. } => {
            loss.earlier += to - from;
            Prices::EARLIER_MINUTE * i64::from(to - from)
        }
        Change::Helper { from, to } => {
            loss.help += to - from;
            Prices::HELPER + Prices::HELPER_MINUTE * i64::from(to - from)
        }
        Change::Way { .. } => {
            loss.settled += 1;
            Prices::OTHER_WAY
        }
        Change::Place { .. } => {
            loss.settled += 1;
            Prices::OTHER_PLACE
        }
        Change::Unpin { .. } => {
            loss.settled += 1;
            Prices::PIN
        }
        Change::DayBefore { dish } => {
            let hands = day_before(evening, situation, dish).map_or(0, |a| a.hands);
            loss.before += hands;
            Prices::DAY_BEFORE + Prices::DAY_BEFORE_MINUTE * i64::from(hands)
        }
        Change::Drop { dish } => {
            let made = evening.sheets.get(dish).map_or(0, |s| i64::from(s.servings));
            loss.servings += made;
            let key = |dish| StepKey { dish, step: 0, load: 0 };
            let begun = situation.begun.range(key(dish)..key(dish + 1)).next().is_some();
            Prices::LESS + Prices::DISH + if begun { Prices::WASTE } else { 0 }
        }
        Change::Servings { dish, servings } => {
            let made = evening.sheets.get(dish).map_or(1, |s| i64::from(s.servings)).max(1);
            let less = (made - i64::from(servings)).max(0);
            loss.servings += less;
            Prices::LESS + Prices::DISH * less / made
        }
        Change::Another { station, .. } => {
            loss.borrowed += 1;
            let heats =
                evening.kitchen.stations.get(station).is_some_and(|s| s.thermostat.is_some());
            if heats { Prices::OVEN } else { Prices::STATION }
        }
        Change::MoreOf { count, .. } => {
            loss.borrowed += i64::from(count);
            Prices::PAN * i64::from(count)
        }
        Change::Slower { .. } | Change::Without { .. } => 0,
    }
}

/// What a plan costs the cook besides its lateness.
#[must_use]
pub const fn of_plan(plan: &Plan) -> i64 {
    plan.cost.quality + plan.cost.risk + plan.cost.effort + plan.cost.change
}

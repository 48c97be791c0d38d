//! Plays a plan forward and says how each service fares.

use super::net::Net;
use super::play::Play;
use super::tally::Tally;
use super::{GRACE_MINUTES, wilson};
use crate::kitchen::{Evening, Minute};
use crate::plan::{Plan, Situation};

/// How each service fares that is still to come.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Forecast {
    /// Evenings played.
    pub evenings: u32,
    /// In the order of the plan's services.
    pub services: Vec<Odds>,
}

/// How a service fares.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Odds {
    /// Index of the service.
    pub service: usize,
    /// When it is due.
    pub due: Minute,
    /// Evenings in which it was on time.
    pub on_time: u32,
    /// Evenings played.
    pub evenings: u32,
    /// The steps that endanger it most, the worst first; at most [`super::THREATS`].
    pub threats: Vec<Threat>,
    /// Its dishes.
    pub dishes: Vec<DishOdds>,
}

/// How a dish fares.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DishOdds {
    /// Index of the dish.
    pub dish: usize,
    /// Evenings in which it was on time.
    pub on_time: u32,
    /// Minutes by which it would have to be ready sooner to be on time as often
    /// as the party wishes for the whole service; 0 or less: it is.
    pub short: Minute,
}

/// A step that makes a service late.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Threat {
    /// Index of the dish.
    pub dish: usize,
    /// Index of the step in its recipe.
    pub step: usize,
    /// Late evenings in which it ran over and that made the service late.
    pub evenings: u32,
    /// Minutes by which it then ran over, on average.
    pub over_minutes: Minute,
}

impl Odds {
    /// The share of evenings on time, 0 to 1.
    #[must_use]
    pub fn share(&self) -> f64 {
        f64::from(self.on_time) / f64::from(self.evenings.max(1))
    }

    /// Between which shares the true one lies, 19 times in 20, as far as counting goes.
    #[must_use]
    pub fn interval(&self) -> (f64, f64) {
        wilson::interval(self.on_time, self.evenings)
    }

    /// Is it on time in at least so many of a hundred evenings?
    #[must_use]
    pub fn meets(&self, percent: u32) -> bool {
        u64::from(self.on_time) * 100 >= u64::from(self.evenings) * u64::from(percent)
    }
}

impl Odds {
    /// Is it on time less often than in so many of a hundred evenings, beyond what counting may be off?
    #[must_use]
    pub fn falls_short_of(&self, percent: u32) -> bool {
        self.interval().1 * 100.0 < f64::from(percent)
    }
}

impl Forecast {
    /// Does every service meet the chance?
    #[must_use]
    pub fn meets(&self, percent: u32) -> bool {
        self.services.iter().all(|s| s.meets(percent))
    }

    /// How a service fares.
    #[must_use]
    pub fn of(&self, service: usize) -> Option<&Odds> {
        self.services.iter().find(|s| s.service == service)
    }
}

/// Plays a plan of an evening as it stands `evenings` times. The same seed
/// plays the same evenings for every plan.
#[must_use]
pub fn forecast(
    evening: &Evening,
    situation: &Situation,
    plan: &Plan,
    seed: u64,
    evenings: u32,
) -> Forecast {
    let net = Net::new(evening, situation, plan);
    let mut tallies: Vec<Tally> = net.services.iter().map(Tally::new).collect();
    let mut play = Play::new(&net);
    for n in 0..evenings {
        play.evening(seed, n);
        for (line, tally) in net.services.iter().zip(&mut tallies) {
            tally.count(&net, &play, line);
        }
    }
    let wish = evening.party.on_time_percent;
    let lines = net.services.iter().zip(&mut tallies);
    let services = lines.map(|(line, tally)| Odds {
        service: line.service,
        due: line.due,
        on_time: tally.on_time,
        evenings,
        threats: tally.threats(),
        dishes: line
            .dishes
            .iter()
            .zip(&mut tally.late)
            .map(|(d, late)| odds(d.dish, late, wish))
            .collect(),
    });
    Forecast { evenings, services: services.collect() }
}

/// `late`: seconds from due to ready, which is put in order.
fn odds(dish: usize, late: &mut [i32], wish: u32) -> DishOdds {
    let grace = 60 * GRACE_MINUTES;
    let on_time = late.iter().filter(|&&l| l < grace).count();
    // The last of the best `wish` per cent must be within the grace.
    let at = (late.len() * wish.min(100) as usize).div_ceil(100).saturating_sub(1);
    let worst = if late.is_empty() { 0 } else { *late.select_nth_unstable(at).1 };
    let short = (worst - grace).div_euclid(60) + 1;
    DishOdds { dish, on_time: u32::try_from(on_time).unwrap_or(u32::MAX), short }
}

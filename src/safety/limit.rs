//! What a profile allows, as plain arithmetic: minutes out of control, whether
//! a hold temperature is control, least inner temperatures, cooling times.

use super::figure::Source;
use super::profile::{ClockMeaning, CoolingStage, CoolsFrom, Inner, Profile};
use crate::kitchen::{FoodClass, HoldClass};

/// How long a food may be out of temperature control, and why.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomLimit<'a> {
    /// Minutes, of the kind that `meaning` says.
    pub minutes: i64,
    /// What the minutes count.
    pub meaning: ClockMeaning,
    /// One line without full stop: "1 hour, because the air is above 90 °F (32 °C)".
    pub why: String,
    /// The text of the figure that decides.
    pub source: &'a Source,
}

/// The minutes for which a plan may leave a food out of control, its time on the
/// table included; `None` for food that is not perishable.
///
/// Where food may be kept again only within a first, shorter sum, that is the
/// limit here: a plan must not use up what saves the rest. `air_c` is the air
/// around it in °C; not a number counts as a hot day.
#[must_use]
pub fn limit_minutes(profile: &Profile, perishable: bool, air_c: f64) -> Option<i64> {
    let first = profile.room_rule.rechill_within.as_ref().map(|m| m.value_minutes);
    let limit = room_limit(profile, perishable, air_c)?.minutes;
    Some(first.map_or(limit, |first| first.min(limit)))
}

/// As [`limit_minutes`], with the reason.
#[must_use]
pub fn room_limit(profile: &Profile, perishable: bool, air_c: f64) -> Option<RoomLimit<'_>> {
    if !perishable {
        return None;
    }
    let rule = &profile.room_rule;
    Some(match profile.hot_day.as_ref().filter(|hot| !hot.above.at_most(air_c)) {
        Some(hot) => RoomLimit {
            minutes: hot.most.value_minutes.min(rule.most.value_minutes),
            meaning: rule.meaning,
            why: format!("{}, because the air is above {}", hot.most.printed, hot.above.printed),
            source: &hot.most.source,
        },
        None => RoomLimit {
            minutes: rule.most.value_minutes,
            meaning: rule.meaning,
            why: rule.title.clone(),
            source: &rule.most.source,
        },
    })
}

/// Whether food at this inner temperature in °C is under control when it is
/// held so. At room temperature nothing is.
#[must_use]
pub fn is_controlled(profile: &Profile, held: HoldClass, food_c: f64) -> bool {
    match held {
        HoldClass::Hot => profile.hot_hold_least.at_least(food_c),
        HoldClass::Cold => profile.cold_hold_most.at_most(food_c),
        HoldClass::Room => false,
    }
}

/// Whether a hold whose setting is `at_c` can keep food under control at all:
/// an oven set below the limit cannot hold hot. A hold without a thermostat is
/// taken at its word until a reading says otherwise.
#[must_use]
pub fn setting_holds(profile: &Profile, held: HoldClass, at_c: Option<f64>) -> bool {
    match (held, at_c) {
        (HoldClass::Room, _) => false,
        (_, None) => true,
        (_, Some(at_c)) => is_controlled(profile, held, at_c),
    }
}

/// The least inner temperature of a class at the end of cooking; `None` if the
/// guidance has no figure for it.
#[must_use]
pub fn least_inner(profile: &Profile, class: FoodClass) -> Option<&Inner> {
    profile.least_inner.get(&class)
}

/// The least inner temperature in °C that a dish is cooked to: the guidance's,
/// or the recipe's own if that is higher. A recipe never lowers it.
#[must_use]
pub fn least_inner_c(profile: &Profile, class: FoodClass, recipe_c: Option<f64>) -> Option<f64> {
    let ours = least_inner(profile, class).map(|inner| inner.counts().c());
    let theirs = recipe_c.filter(|c| c.is_finite());
    match (ours, theirs) {
        (Some(a), Some(b)) => Some(a.max(b)),
        (a, b) => a.or(b),
    }
}

/// A point that cooling food must pass.
#[derive(Debug, Clone, PartialEq)]
pub struct CoolBy<'a> {
    /// The stage.
    pub stage: &'a CoolingStage,
    /// At most this warm in °C, or in the fridge if none.
    pub to_c: Option<f64>,
    /// By this millisecond, of the same clock as the start.
    pub by_ms: i64,
}

/// The points that food must pass when its cooling starts at `start_ms`: for
/// cooked food, when it passes the stage's start temperature or leaves the
/// heat. All count from that start, but a leg of its own counts from the end of
/// the one before; without readings, from its latest end.
#[must_use]
pub fn cool_by(profile: &Profile, from: CoolsFrom, start_ms: i64) -> Vec<CoolBy<'_>> {
    cool_by_readings(profile, from, start_ms, &[])
}

/// As [`cool_by`], with readings of the food (unix ms, °C) since the start, in
/// any order. A leg of its own counts from the last reading that was still above
/// the end of the leg before, as soon as one at or below it was taken: the leg
/// began between the two, and the strict choice is the first.
#[must_use]
pub fn cool_by_readings<'p>(
    profile: &'p Profile,
    from: CoolsFrom,
    start_ms: i64,
    readings: &[(i64, f64)],
) -> Vec<CoolBy<'p>> {
    let mut points: Vec<CoolBy<'p>> = Vec::new();
    for stage in profile.cooling.iter().filter(|stage| stage.from == from) {
        let since = match points.last().filter(|_| stage.own_leg) {
            Some(before) => {
                let to = before.stage.to.as_ref();
                let warm = |c: f64| to.is_some_and(|to| !to.at_most(c));
                let seen = readings.iter().filter(|r| r.0 >= start_ms);
                let first_cool = seen.clone().filter(|r| !warm(r.1)).map(|r| r.0).min();
                let passed = first_cool.map(|cool| {
                    let above = seen.filter(|r| r.0 < cool).map(|r| r.0).max();
                    above.unwrap_or(start_ms)
                });
                passed.map_or(before.by_ms, |passed| passed.min(before.by_ms))
            }
            None => start_ms,
        };
        points.push(CoolBy {
            stage,
            to_c: stage.to.as_ref().map(super::figure::Heat::c),
            by_ms: since.saturating_add(stage.within.value_minutes.saturating_mul(60_000)),
        });
    }
    points
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::safety::figure::f_to_c;

    fn consumer() -> &'static Profile {
        Profile::by_id("us_consumer").expect("built in")
    }

    fn food_code() -> &'static Profile {
        Profile::by_id("us_food_code_2022").expect("built in")
    }

    /// USDA statement, June 2016: 2 h, 1 h above 90 °F (32 °C). Food Code 2022,
    /// 3-501.19(B): 4 h, whatever the air.
    #[test]
    fn minutes_follow_the_profile_and_the_air() {
        assert_eq!(limit_minutes(consumer(), true, 21.0), Some(120));
        assert_eq!(limit_minutes(consumer(), true, 32.0), Some(120));
        assert_eq!(limit_minutes(consumer(), true, f_to_c(95.0)), Some(60));
        assert_eq!(limit_minutes(consumer(), true, f64::NAN), Some(60));
        assert_eq!(limit_minutes(consumer(), false, 40.0), None);
        assert_eq!(limit_minutes(food_code(), true, 40.0), Some(240));
        let hot = room_limit(consumer(), true, 33.0).expect("perishable");
        assert_eq!(hot.why, "1 hour, because the air is above 90 °F (32 °C)");
    }

    /// Hot 140 °F / 135 °F, cold 40 °F / 41 °F (Cooking for Groups; 3-501.16).
    #[test]
    fn control_is_at_or_beyond_the_hold_limit() {
        for (profile, hot, cold) in [(consumer(), 140.0, 40.0), (food_code(), 135.0, 41.0)] {
            assert!(is_controlled(profile, HoldClass::Hot, f_to_c(hot)));
            assert!(!is_controlled(profile, HoldClass::Hot, f_to_c(hot - 0.1)));
            assert!(is_controlled(profile, HoldClass::Cold, f_to_c(cold)));
            assert!(!is_controlled(profile, HoldClass::Cold, f_to_c(cold + 0.1)));
            assert!(!is_controlled(profile, HoldClass::Room, f_to_c(hot + 50.0)));
            assert!(!is_controlled(profile, HoldClass::Hot, f64::NAN));
        }
        assert!(setting_holds(consumer(), HoldClass::Hot, Some(80.0)));
        assert!(!setting_holds(consumer(), HoldClass::Hot, Some(50.0)));
        assert!(setting_holds(consumer(), HoldClass::Cold, None));
        assert!(!setting_holds(consumer(), HoldClass::Room, None));
    }

    #[test]
    fn a_recipe_raises_a_least_inner_temperature_but_never_lowers_it() {
        let ours = f_to_c(165.0);
        let at = |recipe| least_inner_c(consumer(), FoodClass::Poultry, recipe);
        assert_eq!(at(None), Some(ours));
        assert_eq!(at(Some(60.0)), Some(ours));
        assert_eq!(at(Some(f64::NAN)), Some(ours));
        assert_eq!(at(Some(82.0)), Some(82.0));
        assert_eq!(least_inner_c(consumer(), FoodClass::CookedPlant, Some(90.0)), Some(90.0));
        assert_eq!(least_inner_c(consumer(), FoodClass::BakedDry, None), None);
    }

    /// FDA Food Code 2022, 3-501.14(A): from 135 °F at 20:00, 70 °F by 22:00 and
    /// 41 °F by 02:00. Reaching 70 °F at 21:10 leaves 02:00 as it is.
    #[test]
    fn cooling_counts_from_one_start_across_midnight() {
        let hour = 3_600_000;
        let by: Vec<_> = cool_by(food_code(), CoolsFrom::Cooked, 20 * hour)
            .into_iter()
            .map(|c| (c.to_c.map(|t| (crate::safety::c_to_f(t)).round()), c.by_ms / hour))
            .collect();
        assert_eq!(by, [(Some(70.0), 22), (Some(41.0), 26)]);
        let by = cool_by(food_code(), CoolsFrom::Room, 0);
        assert_eq!(by.iter().map(|c| c.by_ms / hour).collect::<Vec<_>>(), [4]);
        let by = cool_by(consumer(), CoolsFrom::Cooked, i64::MAX);
        assert_eq!((by.len(), by[0].to_c, by[0].by_ms), (1, None, i64::MAX));
    }
}

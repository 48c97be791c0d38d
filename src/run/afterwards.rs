//! After the meal: what stands where and until when, what must go, how what is
//! left is cooled, and the label for each container.

use chrono::NaiveDate;

use super::event::Clearing;
use super::food::{self, Food, Keeping};
use super::state::{MINUTE_MS, State, Whereabouts};
use super::{alarms, measure, portions, words};
use crate::safety::cooling::{Curve, FRIDGE_AIR_C, ONLY_AN_ESTIMATE, outlook};
use crate::safety::{
    ClockState, Control, CoolsFrom, Profile, caution, cool_by_readings, is_perishable,
};

/// What is to be done when the guests have eaten.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Afterwards {
    /// Foods that are past their limit and still there.
    pub must_go: Vec<String>,
    /// Cooked food that is put away warm: by when it must be how cold.
    pub cooling: Vec<String>,
    /// A label for each container in the fridge.
    pub labels: Vec<Label>,
    /// How food cools fast enough, with the source.
    pub methods: Vec<String>,
}

/// What goes on a container.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Label {
    /// The food.
    pub food: String,
    /// The day on which it was made.
    pub made: NaiveDate,
    /// The last day on which it may be used; none: it is not perishable.
    pub use_by: Option<NaiveDate>,
    /// How hot it is heated again.
    pub reheat: String,
}

impl Label {
    /// On one line: `Soup | made Tue 24 Nov | use by Fri 27 Nov | if heated again: …`.
    #[must_use]
    pub fn line(&self) -> String {
        let day = |d: NaiveDate| d.format("%a %-d %b").to_string();
        match self.use_by {
            Some(last) => format!(
                "{} | made {} | use by {} | if heated again: {}",
                self.food,
                day(self.made),
                day(last),
                self.reheat
            ),
            None => format!("{} | made {} | keeps without the fridge", self.food, day(self.made)),
        }
    }
}

/// What is to be done, as known at `now_ms`.
#[must_use]
pub fn afterwards(state: &State, now_ms: i64) -> Afterwards {
    let Some(profile) = food::profile(state) else { return Afterwards::default() };
    let mut after = Afterwards::default();
    for dish in 0..state.evening().sheets.len() {
        for food in portions::foods(state, dish) {
            look_after(state, profile, food, now_ms, &mut after);
        }
    }
    if !after.cooling.is_empty() {
        after.methods = methods();
    }
    after
}

fn look_after(state: &State, profile: &Profile, food: Food, now_ms: i64, after: &mut Afterwards) {
    let finished_ms = state.out_ms(food.dish, now_ms);
    // What was begun and never finished is there as well.
    let left_ms = || state.facts().dropped.get(&food.dish).copied();
    let there = |_: &i64| food::is_there(state, food.dish, now_ms);
    let Some(out_ms) = finished_ms.or_else(|| left_ms().filter(there)) else {
        if let Some((start_ms, _)) = measure::cools_between(state, food, now_ms) {
            after.cooling.extend(cooling(state, profile, food, start_ms));
            after.labels.extend(made_day(state, food.dish, start_ms).map(|made| Label {
                food: name(state, food),
                made,
                use_by: Some(state.evening().party.day),
                reheat: caution::reheat_words(profile, state.evening().customs.degrees),
            }));
        }
        return;
    };
    let last = portions::stays(state, food).pop().map(|s| s.at);
    if matches!(last, Some(Whereabouts::Gone(Clearing::Eaten | Clearing::ThrownOut))) {
        return;
    }
    let name = name(state, food);
    if let Some(unfit) = unfit(state, food, now_ms) {
        after.must_go.push(format!("{name}: {}", unfit.must_go()));
        return;
    }
    let kept = food::phases_of(state, food, now_ms).last().map(|p| p.1);
    if kept == Some(Keeping::In(Control::Chilling)) {
        let start_ms = measure::cools_from_ms(state, food, out_ms, now_ms);
        after.cooling.extend(cooling(state, profile, food, start_ms));
    }
    if last == Some(Whereabouts::Gone(Clearing::PutAway)) {
        let Dates { made, use_by } = dates(state, profile, food, (out_ms, now_ms));
        after.labels.extend(made.map(|made| Label {
            food: name,
            made,
            use_by,
            reheat: caution::reheat_words(profile, state.evening().customs.degrees),
        }));
    }
}

/// When a food was made, and until when it may be used.
struct Dates {
    made: Option<NaiveDate>,
    /// None: nothing in it is perishable.
    use_by: Option<NaiveDate>,
}

/// The dates of a food that was out of the making at `out_ms`; of all that was put together in it the earliest.
fn dates(state: &State, profile: &Profile, food: Food, (out_ms, now_ms): (i64, i64)) -> Dates {
    let mut dates = Dates { made: None, use_by: None };
    let earlier = |a: Option<NaiveDate>, b: Option<NaiveDate>| [a, b].into_iter().flatten().min();
    for of in portions::together(state, food) {
        let Some(safety) = state.sheet(of.dish).map(|s| &s.recipe.safety) else { continue };
        let own_ms = state.out_ms(of.dish, now_ms).filter(|_| of.dish != food.dish);
        let made = made_day(state, of.dish, own_ms.unwrap_or(out_ms));
        let perishable = is_perishable(safety.class, safety.exempt);
        let use_by = made.filter(|_| perishable).and_then(|m| profile.use_by(safety.class, m));
        dates = Dates { made: earlier(dates.made, made), use_by: earlier(dates.use_by, use_by) };
    }
    dates
}

/// How long a food keeps that was put away at `at_ms`, in words: from when it was made, not from then.
#[must_use]
pub fn keeps(state: &State, food: Food, (at_ms, now_ms): (i64, i64)) -> String {
    let Some(profile) = food::profile(state) else { return "eat it soon".to_owned() };
    let left_ms = || state.facts().dropped.get(&food.dish).copied();
    let out_ms = state.out_ms(food.dish, now_ms).or_else(left_ms).unwrap_or(at_ms);
    let last = dates(state, profile, food, (out_ms, now_ms)).use_by;
    let Some(last) = last else { return "keeps without the fridge".to_owned() };
    let days = day_of(state, at_ms).map_or(0, |day| (last - day).num_days());
    match days {
        ..0 => "its last day is over: throw it out".to_owned(),
        0 => "eat it today at the latest".to_owned(),
        1 => "eat it tomorrow at the latest".to_owned(),
        days => format!("eat it within {days} days"),
    }
}

/// Why a food is not for keeping.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unfit {
    /// Its time out of control was over.
    PastItsLimit,
    /// A reading showed that it was too warm for too long as it cooled.
    CooledTooSlowly,
    /// A reading showed that it was taken off the heat too soon, and nothing was said of that.
    NotCookedThrough,
}

impl Unfit {
    const fn must_go(self) -> &'static str {
        match self {
            Self::PastItsLimit => "past its limit. Throw it out.",
            Self::CooledTooSlowly => "cooled too slowly. Throw it out.",
            Self::NotCookedThrough => {
                "was not cooked through. Heat it through and measure, or throw it out."
            }
        }
    }

    /// What stands where it would be said how long it keeps.
    #[must_use]
    pub const fn keeps(self) -> &'static str {
        match self {
            Self::PastItsLimit => "it stood out past its limit: throw it out",
            Self::CooledTooSlowly => "it cooled too slowly: throw it out",
            Self::NotCookedThrough => "it was not cooked through",
        }
    }
}

/// Is a food not for keeping, and why? That the cook keeps it knowingly makes no limit later.
#[must_use]
pub fn unfit(state: &State, food: Food, now_ms: i64) -> Option<Unfit> {
    let over = food::standing_of(state, food, now_ms).is_some_and(|s| s.state == ClockState::Over);
    if over || food::passed(state, food, now_ms).is_some() {
        return Some(Unfit::PastItsLimit);
    }
    if alarms::cooled_too_slowly(state, food, now_ms) {
        return Some(Unfit::CooledTooSlowly);
    }
    alarms::is_undercooked(state, food, now_ms).then_some(Unfit::NotCookedThrough)
}

/// A food's name: "Soup", "Soup, part 2".
#[must_use]
pub fn name(state: &State, food: Food) -> String {
    let name = words::dish_first(state, food.dish);
    match food.part {
        Some(part) => format!("{name}, part {part}"),
        None => name,
    }
}

/// The day on which a dish was made: the first of it that was done counts, a day
/// before the party too.
fn made_day(state: &State, dish: usize, out_ms: i64) -> Option<NaiveDate> {
    let of_dish = state.facts().progress.iter().filter(|(key, _)| key.dish == dish);
    let before = of_dish.filter(|(key, _)| state.step(**key).is_some_and(|s| s.day_before));
    let first_ms = before.filter_map(|(_, p)| p.end_ms()).min();
    day_of(state, first_ms.map_or(out_ms, |ms| ms.min(out_ms)))
}

/// The day of the party's calendar in which a moment lies.
#[must_use]
pub fn day_of(state: &State, ms: i64) -> Option<NaiveDate> {
    let days = state.minute(ms).div_euclid(crate::kitchen::clock::DAY);
    state.evening().party.day.checked_add_signed(chrono::TimeDelta::days(i64::from(days)))
}

/// By when a cooked food must be how cold, a line for each point. The clock
/// starts when it left the heat, or when it was last measured hot enough.
fn cooling(state: &State, profile: &Profile, food: Food, start_ms: i64) -> Vec<String> {
    let taken: Vec<(i64, f64)> =
        portions::taken(state, food).iter().map(|r| (r.at_ms, r.celsius)).collect();
    let degrees = state.evening().customs.degrees;
    let name = name(state, food);
    let points = cool_by_readings(profile, CoolsFrom::Cooked, start_ms, &taken);
    let line = |point: &crate::safety::CoolBy<'_>| {
        let by = words::clock(state, point.by_ms);
        let how = point.stage.how.trim_end_matches('.');
        match &point.stage.to {
            Some(to) => format!("{name}: {} or colder by {by} ({how})", to.most_text(degrees)),
            None => format!("{name}: by {by} {how}"),
        }
    };
    let mut lines: Vec<String> = points.iter().map(line).collect();
    let shown = |celsius: f64| state.evening().customs.reading(celsius);
    let mut latest = taken.iter().rev().filter(|r| r.0 >= start_ms);
    let Some(&last) = latest.next() else { return lines };
    let clock = |ms| words::clock(state, ms);
    lines.push(format!("{name}: last measured {} at {}", shown(last.1), clock(last.0)));
    let open = points.iter().find(|p| p.to_c.is_some_and(|to| last.1 > to));
    let curve = latest.next().and_then(|r| Curve::through(*r, last, FRIDGE_AIR_C));
    if let (Some(curve), Some((to_c, by_ms))) = (curve, open.and_then(|p| Some((p.to_c?, p.by_ms))))
    {
        let outlook = outlook(&curve, to_c, by_ms);
        let at = outlook.reaches_ms.map_or_else(
            || "will not get so cold".to_owned(),
            |ms| format!("about {} at {}", shown(to_c), clock(ms)),
        );
        let slow = if outlook.too_slow { " TOO SLOW: divide it, ice water, stir." } else { "" };
        let again = clock(outlook.measure_ms);
        lines.push(format!("{name}: {at}; measure again at {again}.{slow} ({ONLY_AN_ESTIMATE})"));
    }
    lines
}

/// FDA Food Code 2022, 3-501.15, read in the document; the depth from a page of
/// an extension service.
fn methods() -> Vec<String> {
    vec![
        "Cool it fast: shallow containers, about 5 cm (2 in) deep, loosely covered or open until \
         cold; divide large pots; stand the pot in ice water and stir (FDA Food Code 2022, \
         3-501.15; the depth from a page of an extension service)."
            .to_owned(),
        "Measure it while it cools; a pot that misses a time is heated through again at once or \
         thrown out."
            .to_owned(),
    ]
}

impl Afterwards {
    /// As lines under headings; empty if there is nothing to say.
    #[must_use]
    pub fn lines(&self) -> Vec<String> {
        let mut lines = Vec::new();
        let mut list = |title: &str, rows: Vec<String>| {
            if !rows.is_empty() {
                lines.push(String::new());
                lines.push(title.to_owned());
                lines.extend(rows.into_iter().map(|row| format!("  {row}")));
            }
        };
        list("Must go", self.must_go.clone());
        list("Cooling", self.cooling.iter().chain(&self.methods).cloned().collect());
        list("Labels", self.labels.iter().map(Label::line).collect());
        lines
    }
}

/// The longest after the last mark for which a log that was never closed goes on.
pub const LOG_GOES_ON_MS: i64 = 6 * 60 * MINUTE_MS;

//! Every figure of a profile as a flat list, for printing and for checking.

use super::figure::{Heat, Seen, Source};
use super::profile::{CoolsFrom, Profile};

/// Which way a figure is stricter.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stricter {
    /// A smaller figure is stricter: most minutes, greatest temperatures.
    Lower,
    /// A larger figure is stricter: least temperatures, rests.
    Higher,
}

/// One figure of a profile.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure<'a> {
    /// Its place in the profile: `least_inner.poultry`.
    pub name: String,
    /// In °C, minutes, seconds or days, by its kind.
    pub value: f64,
    /// The words of the document.
    pub printed: &'a str,
    /// Where it was read.
    pub source: &'a Source,
    /// Which way it is stricter.
    pub stricter: Stricter,
    /// The values that are not a slip of the pen, in the unit of `value`.
    pub bounds: (f64, f64),
}

/// What guidance may reasonably say, so that a mistyped figure is refused.
const HEAT_C: (f64, f64) = (-30.0, 100.0);
const MINUTES: (f64, f64) = (1.0, 1440.0);
const SECONDS: (f64, f64) = (1.0, 3600.0);
const DAYS: (f64, f64) = (1.0, 30.0);

impl Profile {
    /// Every figure, in the order of the file.
    #[must_use]
    pub fn figures(&self) -> Vec<Figure<'_>> {
        let mut list = List::default();
        list.heat("hot_hold_least", &self.hot_hold_least, Stricter::Higher);
        list.heat("cold_hold_most", &self.cold_hold_most, Stricter::Lower);
        self.list_time_out(&mut list);
        self.list_cooling(&mut list);
        list.heat("reheat.least", &self.reheat.least, Stricter::Higher);
        list.hold("reheat.hold", self.reheat.hold.as_ref());
        list.most("reheat.within", self.reheat.within.as_ref());
        list.least("reheat.microwave_stand", self.reheat.microwave_stand.as_ref());
        if let Some(elsewhere) = &self.reheat.elsewhere {
            list.heat("reheat.elsewhere", &elsewhere.least, Stricter::Higher);
        }
        for (class, inner) in &self.least_inner {
            let name = format!("least_inner.{}", class.id());
            list.heat(&name, &inner.least, Stricter::Higher);
            if let Some(whole) = &inner.whole {
                list.heat(&format!("{name}.whole"), whole, Stricter::Higher);
            }
            list.hold(&format!("{name}.hold"), inner.hold.as_ref());
            list.least(&format!("{name}.rest"), inner.rest.as_ref());
        }
        list.days("leftovers.most", &self.leftovers.most);
        for shorter in &self.leftovers.shorter {
            let classes: Vec<&str> = shorter.classes.iter().map(|c| c.id()).collect();
            list.days(&format!("leftovers.{}", classes.join("+")), &shorter.most);
        }
        self.list_thawing(&mut list);
        list.0
    }

    fn list_thawing<'a>(&'a self, list: &mut List<'a>) {
        for thaw in &self.thawing {
            let name = format!("thawing.{}", thaw.way.id());
            for (what, heat) in [("food_most", &thaw.food_most), ("water_most", &thaw.water_most)] {
                if let Some(heat) = heat {
                    list.heat(&format!("{name}.{what}"), heat, Stricter::Lower);
                }
            }
            list.most(&format!("{name}.change_every"), thaw.change_every.as_ref());
            list.most(&format!("{name}.most"), thaw.most.as_ref());
            list.least(&format!("{name}.minutes_per_kg"), thaw.minutes_per_kg.as_ref());
            list.most(&format!("{name}.use_within"), thaw.use_within.as_ref());
        }
    }

    /// The rule for every food, then the others.
    pub(super) fn rules(&self) -> impl Iterator<Item = &super::TimeRule> {
        std::iter::once(&self.room_rule).chain(&self.cold_start_rule).chain(&self.chosen_rules)
    }

    fn list_time_out<'a>(&'a self, list: &mut List<'a>) {
        for rule in self.rules() {
            let name = format!("rule.{}", rule.id);
            list.most(&format!("{name}.most"), Some(&rule.most));
            list.most(&format!("{name}.rechill_within"), rule.rechill_within.as_ref());
            let heats = [
                ("start_cold_most", &rule.start_cold_most, Stricter::Lower),
                ("start_hot_least", &rule.start_hot_least, Stricter::Higher),
                ("stay_most", &rule.stay_most, Stricter::Lower),
            ];
            for (what, heat, stricter) in heats {
                if let Some(heat) = heat {
                    list.heat(&format!("{name}.{what}"), heat, stricter);
                }
            }
        }
        if let Some(hot) = &self.hot_day {
            list.heat("hot_day.above", &hot.above, Stricter::Lower);
            list.most("hot_day.most", Some(&hot.most));
        }
    }

    fn list_cooling<'a>(&'a self, list: &mut List<'a>) {
        for (i, stage) in self.cooling.iter().enumerate() {
            if let Some(start) = &stage.start {
                // A clock that starts at a higher temperature starts sooner.
                list.heat(&format!("cooling[{i}].start"), start, Stricter::Higher);
            }
            if let Some(to) = &stage.to {
                list.heat(&format!("cooling[{i}].to"), to, Stricter::Lower);
            }
            list.most(&format!("cooling[{i}].within"), Some(&stage.within));
        }
    }

    /// What is wrong with the profile's figures; empty if nothing is.
    #[must_use]
    pub fn problems(&self) -> Vec<String> {
        let mut problems = Vec::new();
        for figure in self.figures() {
            let (least, most) = figure.bounds;
            if !(least..=most).contains(&figure.value) {
                problems.push(format!(
                    "{} is {}, which is not between {least} and {most}",
                    figure.name, figure.value
                ));
            }
            let source = figure.source;
            if [figure.printed, &source.document, &source.clause, &source.edition]
                .iter()
                .any(|text| text.trim().is_empty())
            {
                problems.push(format!("{} does not say where it is from", figure.name));
            }
        }
        if self.hot_hold_least.c() <= self.cold_hold_most.c() {
            problems.push("hot_hold_least is not above cold_hold_most".to_owned());
        }
        self.rule_problems(&mut problems);
        problems
    }

    fn rule_problems(&self, problems: &mut Vec<String>) {
        for (i, rule) in self.rules().enumerate() {
            if self.rules().take(i).any(|r| r.id == rule.id) {
                problems.push(format!("two rules are called {}", rule.id));
            }
            let first = rule.rechill_within.as_ref().map(|m| m.value_minutes);
            if first.is_some_and(|m| m > rule.most.value_minutes) {
                problems.push(format!("rule.{}: rechill_within is longer than most", rule.id));
            }
        }
        if self.cold_start_rule.as_ref().is_some_and(|r| r.start_cold_most.is_none()) {
            problems.push("cold_start_rule has no start_cold_most".to_owned());
        }
        if self.thawing.iter().any(|t| t.how.trim().is_empty()) {
            problems.push("thawing: a way without words".to_owned());
        }
        if self.room_rule.stay_most.is_some() {
            // This rule holds for every food, with or without readings.
            problems.push("room_rule has stay_most, which needs readings".to_owned());
        }
        let most = self.room_rule.most.value_minutes;
        if self.hot_day.as_ref().is_some_and(|h| h.most.value_minutes > most) {
            problems.push("hot_day.most is longer than room_rule.most".to_owned());
        }
        let cooked = self.cooling.iter().filter(|s| s.from == CoolsFrom::Cooked);
        if self.cooling.first().is_some_and(|s| s.own_leg) {
            problems.push("cooling[0] is a leg of its own, but there is none before".to_owned());
        }
        if cooked.count() == 0 {
            problems.push("cooling has no stage for cooked food".to_owned());
        }
    }
}

/// The figures of `all` that are from memory and laxer than a verified figure
/// of the same name in any of the profiles. A fact that was not seen in a text
/// must never loosen a limit.
#[must_use]
pub fn lax_from_memory(all: &[Profile]) -> Vec<String> {
    let figures: Vec<(&Profile, Figure<'_>)> =
        all.iter().flat_map(|p| p.figures().into_iter().map(move |f| (p, f))).collect();
    let laxer = |a: &Figure<'_>, b: &Figure<'_>| match a.stricter {
        Stricter::Lower => a.value > b.value,
        Stricter::Higher => a.value < b.value,
    };
    figures
        .iter()
        .filter(|(_, f)| f.source.seen == Seen::FromMemory)
        .filter(|(_, f)| {
            figures.iter().any(|(_, other)| {
                other.source.seen != Seen::FromMemory && other.name == f.name && laxer(f, other)
            })
        })
        .map(|(p, f)| format!("{}: {}", p.id, f.name))
        .collect()
}

impl super::ThawWay {
    /// As files write it: `cold_water`.
    #[must_use]
    pub fn id(self) -> &'static str {
        match self {
            Self::Fridge => "fridge",
            Self::ColdWater => "cold_water",
            Self::Microwave => "microwave",
            Self::Cooking => "cooking",
        }
    }
}

#[derive(Default)]
struct List<'a>(Vec<Figure<'a>>);

impl<'a> List<'a> {
    fn add(
        &mut self,
        name: &str,
        value: f64,
        (printed, source): (&'a str, &'a Source),
        stricter: Stricter,
        bounds: (f64, f64),
    ) {
        self.0.push(Figure { name: name.to_owned(), value, printed, source, stricter, bounds });
    }

    fn heat(&mut self, name: &str, heat: &'a Heat, stricter: Stricter) {
        self.add(name, heat.c(), (&heat.printed, &heat.source), stricter, HEAT_C);
    }

    fn most(&mut self, name: &str, minutes: Option<&'a super::figure::Minutes>) {
        if let Some(m) = minutes {
            let said = (m.printed.as_str(), &m.source);
            self.add(name, m.value_minutes as f64, said, Stricter::Lower, MINUTES);
        }
    }

    fn least(&mut self, name: &str, minutes: Option<&'a super::figure::Minutes>) {
        if let Some(m) = minutes {
            let said = (m.printed.as_str(), &m.source);
            self.add(name, m.value_minutes as f64, said, Stricter::Higher, MINUTES);
        }
    }

    fn days(&mut self, name: &str, days: &'a super::figure::Days) {
        let said = (days.printed.as_str(), &days.source);
        self.add(name, days.value_days as f64, said, Stricter::Lower, DAYS);
    }

    fn hold(&mut self, name: &str, seconds: Option<&'a super::figure::Seconds>) {
        if let Some(s) = seconds {
            let said = (s.printed.as_str(), &s.source);
            self.add(name, s.value_seconds as f64, said, Stricter::Higher, SECONDS);
        }
    }
}

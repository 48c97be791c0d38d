//! Why there is no plan, in plain words, and what would help.

use super::build::{LagWhy, Map, NoWay, Reason, Thing, WayWhy};
use super::planner::NoPlan;
use super::problem::Problem;
use super::prove::Demand;
use super::search::{Clash, ClashKind};
use crate::kitchen::check::suits;
use crate::kitchen::{Evening, HoldClass, StationKind};
use crate::paper::list;
use crate::safety::Profile;

/// Why there is no plan, in sentences on one line.
#[must_use]
pub fn words(evening: &Evening, no_plan: &NoPlan) -> String {
    lines(evening, no_plan).join(" ")
}

/// Why there is no plan, one sentence or two to a line; never empty.
#[must_use]
pub fn lines(evening: &Evening, no_plan: &NoPlan) -> Vec<String> {
    match no_plan {
        NoPlan::NoWay(no_way) => of_no_way(evening, no_way),
        NoPlan::Clash { words, .. } => words.clone(),
        NoPlan::Refused(faults) => {
            let first = faults.first().map_or("no more is known", String::as_str);
            vec![format!(
                "The plan that was found did not pass its check, so it is not shown: {first}. \
                 This is a fault of the program; please report it with the party file."
            )]
        }
        NoPlan::Guidance(id) => {
            let known: Vec<&str> = Profile::ids().collect();
            vec![format!("There is no guidance \"{id}\"; known are {}.", known.join(", "))]
        }
    }
}

/// What cannot be, each with a remedy.
#[must_use]
pub fn of_no_way(evening: &Evening, no_way: &NoWay) -> Vec<String> {
    let words = Words { evening };
    no_way.reasons.iter().map(|r| words.reason(r)).collect()
}

/// What goes not together, from the search's findings.
#[must_use]
pub fn of_clash(evening: &Evening, problem: &Problem, map: &Map, clash: &Clash) -> Vec<String> {
    let words = Words { evening };
    let mut lines = words.clash(problem, map, &clash.kind);
    if !clash.proven {
        lines
            .push("That is as far as the search came; it is not proved that there is none.".into());
    }
    lines
}

/// A dish comes to the table in so many turns at the most. Our choice.
const MOST_TURNS: i32 = 4;

/// Minutes on the table of each of so many turns, rounded up.
const fn lot(table: i32, turns: i32) -> i32 {
    (table + turns - 1) / turns
}

struct Words<'a> {
    evening: &'a Evening,
}

impl Words<'_> {
    fn dish(&self, dish: usize) -> &str {
        self.evening.sheets.get(dish).map_or("A dish", |s| &s.recipe.title)
    }

    fn step(&self, dish: usize, step: usize) -> String {
        let sheet = self.evening.sheets.get(dish);
        let step = sheet.and_then(|s| s.recipe.steps.get(step));
        format!("{}, {}", self.dish(dish), step.map_or("a step", |s| &s.label))
    }

    fn station(&self, station: usize) -> &str {
        self.evening.kitchen.stations.get(station).map_or("the station", |s| &s.title)
    }

    fn degrees(&self, c: i32) -> String {
        self.evening.customs.oven(c)
    }

    fn reason(&self, reason: &Reason) -> String {
        match reason {
            Reason::Step { dish, step, whys } => {
                let whys: Vec<String> = whys.iter().map(|w| self.why(w)).collect();
                format!(
                    "{}: this kitchen cannot do it now: {}. Give the recipe another way, \
                     or leave the dish out.",
                    self.step(*dish, *step),
                    whys.join("; ")
                )
            }
            Reason::Pan { dish, kind, asked, ovenproof } => {
                let why = suits::enough(&self.evening.kitchen, kind, *asked, *ovenproof).err();
                format!(
                    "{}: {}. Borrow what is missing, or make fewer servings.",
                    self.dish(*dish),
                    why.unwrap_or_else(|| "its pans are not there".to_owned())
                )
            }
            Reason::Fridge { dish, step } => format!(
                "{}: it waits in a fridge before this, and there is none to be used.",
                self.step(*dish, *step)
            ),
            Reason::Clock { dish, needs, table, limit } => {
                let table = if *table > 0 {
                    format!(", {table} of them on the table")
                } else {
                    String::new()
                };
                format!(
                    "{} is neither hot nor cold for at least {needs} minutes{table}; \
                     {limit} are allowed by the party's guidance. {}",
                    self.dish(*dish),
                    self.shorter(*dish, *needs, *limit)
                )
            }
            Reason::Loads { dish, between, most } => format!(
                "{}: its first load waits {between} minutes for its last, and keeps for {most} at \
                 most. Make fewer servings or larger loads, or name a place where it keeps longer.",
                self.dish(*dish)
            ),
            Reason::NoHours => "No cook has any hours. Give one of them some.".into(),
        }
    }

    /// How a dish comes to be out for less: part of it at a time, another place
    /// to wait, or less time on the table.
    fn shorter(&self, dish: usize, needs: i32, limit: i32) -> String {
        let table = i32::try_from(self.evening.table_minutes(dish)).unwrap_or(i32::MAX / 4);
        let Some(sheet) = self.evening.sheets.get(dish) else { return String::new() };
        let fits = |turns: &i32| needs - table + lot(table, *turns) <= limit;
        let Some(turns) = (2..=MOST_TURNS).find(fits).filter(|_| needs > table) else {
            return "Let it wait hot or cold between its steps, or let it stand on the table \
                    for less."
                .to_owned();
        };
        let each = lot(table, turns);
        let from = self.evening.service_minute(sheet.service);
        let at = |turn: i32| self.evening.face.label(from + turn * each);
        let part = match turns {
            2 => "half",
            3 => "a third",
            _ => "a quarter",
        };
        let others: Vec<String> =
            (1..turns).map(|turn| format!("{part} at {}", at(turn))).collect();
        let out = format!("{part} out at {} and {}", at(0), others.join(", "));
        let kept = sheet.recipe.holds.iter().find(|h| h.class != HoldClass::Room);
        match kept {
            Some(hold) => format!(
                "Put {out}, each for {each} minutes, and keep the rest in the {} until its turn: \
                 give its recipe {each} table_minutes. Or let it stand for less.",
                hold.place.word()
            ),
            None => format!(
                "Name a hold for it in which it waits hot or cold; then put {out}. Or let it \
                 stand for less."
            ),
        }
    }

    fn why(&self, why: &WayWhy) -> String {
        match why {
            WayWhy::NoStation(kind) => format!("there is no {}", kind_words(*kind)),
            WayWhy::Down(station) => format!("\"{}\" is out of use", self.station(*station)),
            WayWhy::Slots { station, needs, has } => {
                format!("\"{}\" has {has} of the {needs} places", self.station(*station))
            }
            WayWhy::Setting { station, at_c, range } => format!(
                "\"{}\" goes from {} to {}, not to {}",
                self.station(*station),
                self.degrees(range.0),
                self.degrees(range.1),
                self.degrees(*at_c)
            ),
            WayWhy::Pan { station, kind } => format!(
                "no {} of the kitchen may go into \"{}\"",
                kind.replace('_', " "),
                self.station(*station)
            ),
            WayWhy::Volume { station, needs_ml, has_ml } => {
                format!("\"{}\" holds {has_ml} of the {needs_ml} ml", self.station(*station))
            }
        }
    }

    fn clash(&self, problem: &Problem, map: &Map, kind: &ClashKind) -> Vec<String> {
        let of_task = |task: usize| {
            map.tasks.get(task).map_or_else(String::new, |t| self.step(t.key.dish, t.key.step))
        };
        let of_step = |step: usize| {
            map.steps.get(step).map_or_else(String::new, |s| self.step(s.dish, s.step))
        };
        match kind {
            ClashKind::Broken(what) => vec![broken(what)],
            ClashKind::NoMode { step } => {
                vec![format!("{}: there is no way to do it.", of_step(*step))]
            }
            ClashKind::Circle { lags } => {
                let first = "Some steps wait for each other, so that none can begin.".to_owned();
                let lags = lags.iter().filter_map(|&l| self.lag(problem, map, l));
                std::iter::once(first).chain(lags).collect()
            }
            ClashKind::Window { task, lags, tasks } => {
                let mut lines =
                    vec![format!("{}: no minute is left at which it can start.", of_task(*task))];
                lines.extend(lags.iter().filter_map(|&l| self.lag(problem, map, l)));
                let others = tasks.iter().filter(|t| *t != task);
                lines.extend(others.map(|&t| format!("It hangs on {}.", of_task(t))));
                lines.push(self.hours(problem));
                lines
            }
            ClashKind::NoRoom { task, resources, ovens } => {
                let mut lines =
                    vec![format!("{}: there is never room for it, long enough.", of_task(*task))];
                lines.extend(resources.iter().map(|&r| self.short(map, r)));
                let stations = ovens.iter().filter_map(|&o| map.ovens.get(o));
                lines.extend(
                    stations.map(|&s| format!("\"{}\" is not hot in time.", self.station(s))),
                );
                lines
            }
            ClashKind::Dish { dish, resources, lags } => {
                let dish = map.dishes.get(*dish).copied().unwrap_or(usize::MAX);
                let mut lines = vec![format!(
                    "{} cannot be made in time, even if nothing else is.",
                    self.dish(dish)
                )];
                lines.extend(resources.iter().map(|&r| self.short(map, r)));
                lines.extend(lags.iter().filter_map(|&l| self.lag(problem, map, l)));
                lines.push(self.hours(problem));
                lines
            }
            ClashKind::Hands { cooks, asked, there, dishes } => {
                let mut lines = vec![self.too_much(problem, map, cooks, (*asked, *there))];
                let title = |d: &usize| map.dishes.get(*d).map(|&dish| self.dish(dish).to_owned());
                let titles: Vec<String> = dishes.iter().filter_map(title).collect();
                if !titles.is_empty() {
                    lines.push(format!("Most of it is asked for by {}.", list(&titles)));
                }
                lines
            }
            ClashKind::Demands { demands } => self.demands(problem, map, demands),
            ClashKind::Crowded { step, resources, .. } => {
                let mut lines =
                    vec![format!("{}: no place was found beside the rest.", of_step(*step))];
                lines.extend(resources.iter().map(|&r| self.short(map, r)));
                lines.push(
                    "A later service, an earlier start, more hands or one dish less would help."
                        .into(),
                );
                lines
            }
        }
    }

    /// More work than the cooks have hands.
    fn too_much(
        &self,
        problem: &Problem,
        map: &Map,
        cooks: &[usize],
        (asked, there): (i32, i32),
    ) -> String {
        let name = |&resource: &usize| match map.thing(resource) {
            Thing::Cook(c) => self.evening.party.cooks.get(c).map(|c| c.name.clone()),
            Thing::Station(_) | Thing::Cookware(_) => None,
        };
        let names: Vec<String> = cooks.iter().filter_map(name).collect();
        let (who, has) = match names.as_slice() {
            [] => ("the cooks have".to_owned(), ""),
            [one] => (format!("{one} has"), ""),
            all => (format!("{} have", list(all)), " together"),
        };
        format!(
            "There are {asked} minutes of work by hand at the least, and {who} {there}{has} from \
             {} on. Longer hours, another pair of hands, a dish less or one bought ready would \
             help.",
            self.evening.face.label(problem.start)
        )
    }

    /// Demands that cannot all be met.
    fn demands(&self, problem: &Problem, map: &Map, demands: &[Demand]) -> Vec<String> {
        let mut lines = vec!["It was tried in every way: this does not go together.".to_owned()];
        for &demand in demands {
            let line = self.demand(problem, map, demand);
            lines.extend(line.filter(|l| !lines.contains(l)));
        }
        lines.push(self.hours(problem));
        lines
    }

    fn demand(&self, problem: &Problem, map: &Map, demand: Demand) -> Option<String> {
        let face = &self.evening.face;
        let of_task = |task: usize| {
            map.tasks.get(task).map_or_else(String::new, |t| self.step(t.key.dish, t.key.step))
        };
        let of_dish = |d: usize| self.dish(map.dishes.get(d).copied().unwrap_or(usize::MAX));
        Some(match demand {
            Demand::Earliest { task } => {
                let at = problem.tasks.get(task)?.earliest;
                format!("{} starts no earlier than {}.", of_task(task), face.label(at))
            }
            Demand::Latest { task } => {
                let at = problem.tasks.get(task)?.latest;
                format!("{} starts no later than {}.", of_task(task), face.label(at))
            }
            Demand::End { task } => {
                format!("{} is done by {}.", of_task(task), face.label(problem.end))
            }
            Demand::Most { lag } => return self.lag(problem, map, lag),
            Demand::HoldMost { dish, hold } => {
                let most = problem.dishes.get(dish)?.holds.get(hold)?.most;
                format!("{} keeps for {most} minutes at most where it waits.", of_dish(dish))
            }
            Demand::Limit { dish, .. } => {
                format!("{} must be eaten in time, by the guidance.", of_dish(dish))
            }
            Demand::Due { dish } => {
                let due = problem.dishes.get(dish)?.due;
                format!("{} is served at {}.", of_dish(dish), face.label(due))
            }
            Demand::Capacity { resource } => self.short(map, resource),
            Demand::Open { resource } => match map.thing(resource) {
                Thing::Cook(c) => {
                    let name = self.evening.party.cooks.get(c).map_or("The cook", |c| &c.name);
                    format!("{name} is not there all the time.")
                }
                Thing::Station(_) | Thing::Cookware(_) => self.short(map, resource),
            },
        })
    }

    /// What a resource is short of.
    fn short(&self, map: &Map, resource: usize) -> String {
        let (kitchen, party) = (&self.evening.kitchen, &self.evening.party);
        match map.thing(resource) {
            Thing::Station(s) => format!("\"{}\" is full.", self.station(s)),
            Thing::Cook(c) => {
                let name = party.cooks.get(c).map_or("The cook", |c| &c.name);
                format!("{name} has no hands free, or is away.")
            }
            Thing::Cookware(w) => {
                let title = kitchen.cookware.get(w).map_or("the pan", |w| &w.title);
                format!("\"{title}\" is in use.")
            }
        }
    }

    fn label(&self, dish: usize, step: usize) -> &str {
        let sheet = self.evening.sheets.get(dish);
        let step = sheet.and_then(|s| s.recipe.steps.get(step));
        step.map_or("a step", |s| s.label.as_str())
    }

    /// What a lag asks.
    fn lag(&self, problem: &Problem, map: &Map, lag: usize) -> Option<String> {
        let (lag, why) = (problem.lags.get(lag)?, map.lags.get(lag)?);
        Some(match *why {
            LagWhy::Loads { dish, step } => {
                format!("The loads of {} come one after the other.", self.step(dish, step))
            }
            LagWhy::After { dish, before, step } => {
                let sheet = self.evening.sheets.get(dish)?;
                let label = |s: usize| sheet.recipe.steps.get(s).map_or("a step", |s| &s.label);
                let after =
                    format!("{}: {} comes after {}", self.dish(dish), label(step), label(before));
                match (lag.least > 0, lag.most < i32::MAX) {
                    (true, true) => format!("{after}, {} to {} minutes.", lag.least, lag.most),
                    (true, false) => format!("{after}, {} minutes at least.", lag.least),
                    (false, true) => format!("{after}, {} minutes at most.", lag.most),
                    (false, false) => format!("{after}."),
                }
            }
            LagWhy::Board { dish, step, from_dish, from_step } => format!(
                "{}: {} waits for what is cut with {}: {}.",
                self.dish(dish),
                self.label(dish, step),
                self.dish(from_dish),
                self.label(from_dish, from_step)
            ),
            LagWhy::Clock { dish } => format!(
                "{} may be neither hot nor cold for {} minutes at most here, by the guidance.",
                self.dish(dish),
                lag.most
            ),
        })
    }

    /// From when to when there is time at all.
    fn hours(&self, problem: &Problem) -> String {
        let face = &self.evening.face;
        format!(
            "There is time from {} on. An earlier start or a later service would help.",
            face.label(problem.start)
        )
    }
}

fn broken(what: &str) -> String {
    format!(
        "The evening could not be put into numbers: {what}. This is a fault of the program; \
         please report it with the party file."
    )
}

/// The kind of a station as the cook says it.
pub(super) const fn kind_words(kind: StationKind) -> &'static str {
    kind.word()
}

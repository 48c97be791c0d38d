//! Makes the documents.

use super::chance;
use super::terms::terms;
use super::{
    CleanEntry, Clock, DishEntry, HandsEntry, HoldEntry, KnifeWait, LinkEntry, Names, PLAN_FORMAT,
    PROBLEM_FORMAT, PanEntry, PlanFile, ProblemFile, ServiceEntry, SettingEntry, StepEntry,
    TraceEntry, WaitEntry,
};
use crate::kitchen::{Evening, Minute, Party, Sourced};
use crate::plan::build::{Map, NoWay, Thing, build, schedule_of};
use crate::plan::contact::{self, Clean, Trace};
use crate::plan::risk::{self, Forecast};
use crate::plan::{Block, Plan, Problem, ServiceLine, Situation, judge};
use crate::safety::{self, Profile};

/// The document of a plan that was made for an evening as it stands.
///
/// # Errors
/// [`NoWay`] if the evening has no problem, which no plan was made for.
pub fn plan_file(evening: &Evening, situation: &Situation, plan: &Plan) -> Result<PlanFile, NoWay> {
    let (problem, map) = build(evening, situation)?;
    let schedule = schedule_of(&problem, &map, evening, plan);
    let names = Namer { evening };
    let links = problem.links.iter().map(|link| {
        let (from, to) = (&map.steps[link.from_step], &map.steps[link.to_step]);
        LinkEntry {
            dish: names.dish(from.dish),
            from_step: names.step(from.dish, from.step),
            to_step: names.step(to.dish, to.step),
        }
    });
    let face = &evening.face;
    let odds = risk::forecast(evening, situation, plan, risk::SEED, risk::EVENINGS);
    let service = |line| names.service(line, &problem, &map, &schedule, &odds);
    Ok(PlanFile {
        format: PLAN_FORMAT.to_owned(),
        party: whole_party(evening),
        clock: Clock { origin_unix_s: face.origin_s, offsets: face.offsets.clone() },
        made_for_minute: plan.made_for,
        now_minute: situation.now,
        services: plan.services.iter().map(service).collect(),
        steps: plan.blocks.iter().map(|b| names.block(b)).collect(),
        knife_waits: knife_waits(evening, situation),
        cleans: plan.cleans.iter().map(|c| names.clean(c)).collect(),
        holds: names.holds(plan),
        waits: names.waits(plan),
        settings: names.settings(plan),
        pans: names.pans(plan),
        links: links.collect(),
        cost: plan.cost.into(),
        terms: terms(evening, &problem, &map, &schedule),
        bound: plan.bound,
        proof: plan.proof.into(),
    })
}

/// The planner's problem of an evening as it stands.
///
/// # Errors
/// [`NoWay`] if it has none.
pub fn problem_file(evening: &Evening, situation: &Situation) -> Result<ProblemFile, NoWay> {
    let (problem, map) = build(evening, situation)?;
    let names = Namer { evening };
    let step = |d, s| format!("{}/{}", names.dish(d), names.step(d, s));
    let names = Names {
        resources: (0..problem.resources.len()).map(|r| names.thing(map.thing(r))).collect(),
        ovens: map.ovens.iter().map(|&s| names.thing(Thing::Station(s))).collect(),
        steps: map.steps.iter().map(|at| step(at.dish, at.step)).collect(),
        tasks: map
            .tasks
            .iter()
            .map(|t| format!("{}/{}", step(t.key.dish, t.key.step), t.key.load))
            .collect(),
        dishes: map.dishes.iter().map(|&d| names.dish(d)).collect(),
    };
    Ok(ProblemFile { format: PROBLEM_FORMAT.to_owned(), names, problem })
}

/// The party as one self-contained file, with the servings that are made now.
#[must_use]
pub fn whole_party(evening: &Evening) -> Party {
    let mut party = evening.party.clone();
    // The jobs are steps of its recipes already.
    party.pool_knife_work = false;
    // And what is borrowed stands in its kitchen.
    party.borrowed.clear();
    party.kitchen = Sourced::Inline(Box::new(evening.kitchen.clone()));
    for (dish, sheet) in party.dishes.iter_mut().zip(&evening.sheets) {
        dish.recipe = Sourced::Inline(Box::new(sheet.recipe.clone()));
        dish.servings = sheet.servings;
        dish.letter = Some(sheet.letter);
    }
    party
}

/// What waits for knife work of another dish, unless that is not made any more.
fn knife_waits(evening: &Evening, situation: &Situation) -> Vec<KnifeWait> {
    let made = |id: &str| {
        let index = evening.dish_index(id);
        index.is_some_and(|d| !situation.dropped.contains(&d) && !situation.served.contains(&d))
    };
    let sheets = evening.sheets.iter().filter(|s| made(&s.id));
    let waits = sheets.flat_map(|s| s.waits_for.iter().map(|w| (s.id.clone(), w.clone())));
    waits
        .filter(|(_, w)| made(&w.dish))
        .map(|(dish, w)| KnifeWait { dish, step: w.step, cut_with: w.dish, cut: w.job })
        .collect()
}

struct Namer<'a> {
    evening: &'a Evening,
}

impl Namer<'_> {
    fn clean(&self, clean: &Clean) -> CleanEntry {
        let key = clean.key;
        let (thing, number) = match &clean.thing {
            contact::Thing::Board(id, slot) => (id, Some(*slot)),
            contact::Thing::Pan(id, number) => (id, Some(*number)),
            contact::Thing::Station(id) => (id, None),
        };
        let trace = |trace: &Trace| {
            let sheet = self.evening.sheets.get(trace.dish);
            let item = sheet.and_then(|s| s.recipe.ingredients.get(trace.ingredient));
            let guest = self.evening.party.guests.get(trace.guest);
            TraceEntry {
                dish: self.dish(trace.dish),
                item: item.map_or_else(String::new, |i| i.item.clone()),
                guest: guest.map_or_else(String::new, |g| g.name.clone()),
            }
        };
        CleanEntry {
            dish: self.dish(key.dish),
            step: self.step(key.dish, key.step),
            load: key.load,
            what: clean.remedy(self.evening),
            thing: thing.clone(),
            number,
            traces: clean.traces.iter().map(trace).collect(),
        }
    }

    fn dish(&self, dish: usize) -> String {
        self.evening.sheets.get(dish).map_or_else(String::new, |s| s.id.clone())
    }

    fn step(&self, dish: usize, step: usize) -> String {
        let sheet = self.evening.sheets.get(dish);
        let step = sheet.and_then(|s| s.recipe.steps.get(step));
        step.map_or_else(String::new, |s| s.id.clone())
    }

    fn thing(&self, thing: Thing) -> String {
        let (kitchen, party) = (&self.evening.kitchen, &self.evening.party);
        let id = match thing {
            Thing::Station(i) => kitchen.stations.get(i).map(|s| &s.id),
            Thing::Cook(i) => party.cooks.get(i).map(|c| &c.id),
            Thing::Cookware(i) => kitchen.cookware.get(i).map(|c| &c.id),
        };
        id.cloned().unwrap_or_default()
    }

    fn service(
        &self,
        line: &ServiceLine,
        problem: &Problem,
        map: &Map,
        schedule: &crate::plan::Schedule,
        odds: &Forecast,
    ) -> ServiceEntry {
        let dish = |&(dish, ready, served): &(usize, Minute, Minute)| {
            let planned = map.dishes.iter().position(|&d| d == dish);
            let (limit_minutes, servings) = self.limit(dish);
            DishEntry {
                dish: self.dish(dish),
                servings,
                out_minute: planned.map(|d| judge::serving(problem, schedule, d).out),
                ready_minute: ready,
                served_minute: served,
                cushion_minutes: planned.map_or(0, |d| problem.dishes[d].cushion),
                table_minutes: self.evening.table_minutes(dish),
                limit_minutes,
            }
        };
        let service = self.evening.party.services.get(line.service);
        ServiceEntry {
            service: service.map_or_else(String::new, |s| s.id.clone()),
            due_minute: line.due,
            dishes: line.dishes.iter().map(dish).collect(),
            chance: odds.of(line.service).map(|odds| chance::entry(self.evening, odds)),
        }
    }

    fn limit(&self, dish: usize) -> (Option<i64>, u32) {
        let party = &self.evening.party;
        let Some(sheet) = self.evening.sheets.get(dish) else { return (None, 0) };
        let food = &sheet.recipe.safety;
        let perishable = safety::is_perishable(food.class, food.exempt);
        let profile = Profile::by_id(&party.guidance).or(Profile::by_id(Profile::DEFAULT_ID));
        let air_c = f64::from(party.room_c);
        let limit = profile.and_then(|p| safety::limit_minutes(p, perishable, air_c));
        (limit, sheet.servings)
    }

    fn block(&self, b: &Block) -> StepEntry {
        let sheet = self.evening.sheets.get(b.key.dish);
        let (head, tail) = (b.start + b.hands_start, b.end - b.hands_end);
        let parts =
            [(b.start, head, 100), (head, tail, b.hands_between), (tail, b.end, 100)].into_iter();
        let hands = parts.filter(|&(from, to, percent)| from < to && percent > 0);
        StepEntry {
            dish: self.dish(b.key.dish),
            step: self.step(b.key.dish, b.key.step),
            load: b.key.load,
            loads: b.loads,
            way: b.way,
            station: b.station.clone(),
            slots: b.slots.clone(),
            cook: b.cook.clone(),
            start_minute: b.start,
            end_minute: b.end,
            hands: hands
                .map(|(from_minute, to_minute, percent)| HandsEntry {
                    from_minute,
                    to_minute,
                    percent,
                })
                .collect(),
            setting_c: b.setting_c,
            begun: b.begun,
            unconfirmed: sheet
                .and_then(|s| s.recipe.steps.get(b.key.step))
                .is_some_and(|s| s.unconfirmed),
        }
    }

    fn holds(&self, plan: &Plan) -> Vec<HoldEntry> {
        let named = |dish: usize| self.evening.sheets.get(dish).map_or(0, |s| s.recipe.holds.len());
        let entries = plan.holds.iter().map(|h| HoldEntry {
            dish: self.dish(h.dish),
            hold: Some(h.hold).filter(|&hold| hold < named(h.dish)),
            class: h.class,
            station: Some(h.station.clone()).filter(|s| !s.is_empty()),
            slots: h.slots.clone(),
            from_minute: h.from,
            to_minute: h.to,
            setting_c: h.setting_c,
        });
        entries.collect()
    }

    fn waits(&self, plan: &Plan) -> Vec<WaitEntry> {
        let entries = plan.waits.iter().map(|w| WaitEntry {
            dish: self.dish(w.dish),
            after_step: self.step(w.dish, w.after_step),
            before_step: self.step(w.dish, w.before_step),
            place: w.place,
            station: w.station.clone(),
            slots: w.slots.clone(),
            from_minute: w.from,
            to_minute: w.to,
        });
        entries.collect()
    }

    fn settings(&self, plan: &Plan) -> Vec<SettingEntry> {
        let entries = plan.settings.iter().map(|s| SettingEntry {
            station: s.station.clone(),
            kind: s.kind,
            from_minute: s.from,
            to_minute: s.to,
            from_c: s.from_c,
            to_c: s.to_c,
        });
        entries.collect()
    }

    fn pans(&self, plan: &Plan) -> Vec<PanEntry> {
        let entries = plan.pans.iter().map(|p| PanEntry {
            cookware: p.cookware.clone(),
            numbers: p.numbers.clone(),
            dish: self.dish(p.dish),
            from_minute: p.from,
            to_minute: p.to,
        });
        entries.collect()
    }
}

#[cfg(test)]
mod tests;

//! Evenings played by plans of whole parties, held against what the recipes and the kitchen ask for. Who waits for whom
//! is read here from the plan alone: what had a slot, an oven's setting or a pan before keeps it until it is over, also
//! where that is later than planned.

use std::collections::BTreeMap;

use super::jobs::{Seconds, seconds};
use super::net::Net;
use super::play::Play;
use crate::kitchen::{Clockface, Evening, Minute};
use crate::plan::planner::Planning;
use crate::plan::{Begun, Plan, Situation, StepKey, sample};
use crate::store::load::load_builtin;

/// Evenings played of each.
const EVENINGS: u32 = 40;

/// That `then` begins so long after `first` is over.
struct Rule {
    what: &'static str,
    first: StepKey,
    then: StepKey,
    lag: Seconds,
}

fn loads(plan: &Plan, dish: usize, step: usize) -> impl Iterator<Item = StepKey> + '_ {
    plan.blocks.iter().map(|b| b.key).filter(move |k| (k.dish, k.step) == (dish, step))
}

/// Each of the first before each of the others.
fn each(
    what: &'static str,
    first: impl Iterator<Item = StepKey>,
    then: &[StepKey],
    lag: Seconds,
) -> Vec<Rule> {
    first.flat_map(|first| then.iter().map(move |&then| Rule { what, first, then, lag })).collect()
}

fn recipes(evening: &Evening, plan: &Plan) -> Vec<Rule> {
    let mut all = Vec::new();
    for (d, sheet) in evening.sheets.iter().enumerate() {
        for (s, step) in sheet.recipe.steps.iter().enumerate() {
            let then: Vec<StepKey> = loads(plan, d, s).collect();
            for after in &step.after {
                let before = sheet.step_index(&after.step).expect("a step");
                let lag = seconds(i32::try_from(after.least_minutes).expect("minutes"));
                let what = if lag > 0 { "rests" } else { "comes after" };
                all.extend(each(what, loads(plan, d, before), &then, lag));
            }
            let mut ordered = then;
            ordered.sort_unstable();
            all.extend(ordered.windows(2).map(|two| Rule {
                what: "load by load",
                first: two[0],
                then: two[1],
                lag: 0,
            }));
        }
    }
    all
}

fn last_loads<'p>(
    evening: &Evening,
    plan: &'p Plan,
    dish: usize,
) -> impl Iterator<Item = StepKey> + 'p {
    loads(plan, dish, evening.sheets[dish].last_step())
}

fn places(evening: &Evening, plan: &Plan) -> Vec<Rule> {
    let mut all = Vec::new();
    for then in &plan.blocks {
        let here = |station: &str, slots: &[u32], to: Minute| {
            then.station == station
                && to <= then.start
                && slots.iter().any(|s| then.slots.contains(s))
        };
        let one = [then.key];
        for b in plan.blocks.iter().filter(|b| here(&b.station, &b.slots, b.end)) {
            all.extend(each("slot", std::iter::once(b.key), &one, 0));
        }
        for h in plan.holds.iter().filter(|h| here(&h.station, &h.slots, h.to)) {
            all.extend(each("slot of what waited", last_loads(evening, plan, h.dish), &one, 0));
        }
        for w in plan
            .waits
            .iter()
            .filter(|w| w.station.as_ref().is_some_and(|station| here(station, &w.slots, w.to)))
        {
            all.extend(each("slot between steps", loads(plan, w.dish, w.after_step), &one, 0));
        }
        let thermostat = evening.kitchen.stations.iter().find(|s| s.id == then.station);
        let Some(thermostat) = thermostat.and_then(|s| s.thermostat) else { continue };
        let Some(to_c) = then.setting_c else { continue };
        let before =
            plan.blocks.iter().filter(|b| b.station == then.station && b.end <= then.start);
        // The setting just before: what was there earlier was over before that.
        let last = before.clone().map(|b| b.end).max();
        for b in before.filter(|b| Some(b.end) == last) {
            if let Some(from_c) = b.setting_c.filter(|c| *c != to_c) {
                let lag = seconds(thermostat.minutes(from_c, to_c));
                all.extend(each("oven", std::iter::once(b.key), &one, lag));
            }
        }
    }
    all
}

fn pans(evening: &Evening, plan: &Plan) -> Vec<Rule> {
    let users = |dish: usize, cookware: &str| -> Vec<StepKey> {
        let kind = &evening.kitchen.cookware.iter().find(|c| c.id == cookware).expect("a pan").kind;
        let steps = evening.sheets[dish].recipe.steps.iter().enumerate();
        let using = steps.filter(|(_, s)| s.cookware.iter().any(|c| c.kind == *kind));
        using.flat_map(|(s, _)| loads(plan, dish, s)).collect()
    };
    let mut all = Vec::new();
    for (x, y) in plan.pans.iter().flat_map(|x| plan.pans.iter().map(move |y| (x, y))) {
        let one_pan = x.cookware == y.cookware && x.numbers.iter().any(|n| y.numbers.contains(n));
        if one_pan && x.dish != y.dish && x.to <= y.from {
            let then = users(y.dish, &y.cookware);
            all.extend(each("pan", users(x.dish, &x.cookware).into_iter(), &then, 0));
            let stays = plan.holds.iter().any(|h| h.dish == x.dish && h.to == x.to);
            let kept = last_loads(evening, plan, x.dish).filter(|_| stays);
            all.extend(each("pan of what waited", kept, &then, 0));
        }
    }
    all
}

/// All as planned until then, but that what ended of late ended only now.
fn midway(plan: &Plan, now: Minute) -> Situation {
    let mut situation = Situation { now: Some(now), ..Situation::default() };
    for b in plan.blocks.iter().filter(|b| b.start < now) {
        let (start, way, station) = (b.start, b.way, b.station.clone());
        let begun = if b.end <= now {
            let end = if b.end + 15 > now { now } else { b.end };
            Begun::Done { start, end, way, station, left_out: false }
        } else {
            let (end, cook, setting_c) = (b.end, b.cook.clone(), b.setting_c);
            Begun::Running { start, end, way, station, cook, setting_c }
        };
        situation.begun.insert(b.key, begun);
    }
    situation
}

/// Plays a plan and looks at every rule; how often each kind was looked at.
fn keeps(
    evening: &Evening,
    plan: &Plan,
    situation: &Situation,
    seen: &mut BTreeMap<&'static str, u32>,
) {
    let net = Net::new(evening, situation, plan);
    let at: BTreeMap<StepKey, usize> =
        net.jobs.iter().enumerate().map(|(j, job)| (job.key, j)).collect();
    let rules: Vec<Rule> = [recipes(evening, plan), places(evening, plan), pans(evening, plan)]
        .into_iter()
        .flatten()
        .collect();
    let mut play = Play::new(&net);
    for n in 0..EVENINGS {
        play.evening(7, n);
        // What is interrupted, or waits to be taken out, began no later than this.
        let begins = |j: usize| play.end[j] - play.took[j];
        for rule in &rules {
            let (first, then) = (at[&rule.first], at[&rule.then]);
            if situation.begun.contains_key(&rule.then) || first >= then {
                continue;
            }
            let over = play.end[first] + rule.lag;
            assert!(
                over <= begins(then),
                "{}: {:?} is over at {over}, {:?} begins at {}",
                rule.what,
                rule.first,
                rule.then,
                begins(then)
            );
            *seen.entry(rule.what).or_default() += 1;
        }
        for (j, job) in net.jobs.iter().enumerate() {
            let planned = plan.blocks.iter().find(|b| b.key == job.key).expect("a block").start;
            let soonest = planned.max(situation.now.unwrap_or(planned));
            let free = situation.begun.contains_key(&job.key) || begins(j) >= seconds(soonest);
            assert!(free, "{:?} begins before its minute", job.key);
        }
    }
}

#[test]
fn evenings_played_keep_what_recipes_and_kitchen_ask_for() {
    let day = chrono::NaiveDate::from_ymd_opt(2026, 10, 24).expect("a day");
    let demo = load_builtin(Clockface::fixed(day, 7_200)).expect("the demo");
    let mut seen = BTreeMap::new();
    for evening in [demo, sample::evening()] {
        let situation = Situation::default();
        let planning = Planning::new(&evening, &situation).expect("a problem");
        let plan = planning.first().expect("a plan").0;
        keeps(&evening, &plan, &situation, &mut seen);
        let mut starts: Vec<Minute> = plan.blocks.iter().map(|b| b.start).collect();
        starts.sort_unstable();
        for part in [3, 2] {
            keeps(&evening, &plan, &midway(&plan, starts[starts.len() / part] + 1), &mut seen);
        }
    }
    println!("{seen:?}");
    for what in
        ["comes after", "rests", "load by load", "slot", "slot of what waited", "oven", "pan"]
    {
        assert!(seen.contains_key(what), "none of {what}: {seen:?}");
    }
}

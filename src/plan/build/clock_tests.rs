//! The clock of food out of temperature control, by examples worked out by hand and against a count of its own.
//! Two hours are allowed (US consumer guidance), the time on the table among them.

use serde_json::{Value, json};

use super::{Reason, build};
use crate::kitchen::{Evening, Sheet, Step, WaitPlace};
use crate::plan::problem::{Limit, Point, Problem};
use crate::plan::sample::{block, evening_with};
use crate::plan::verify::verify;
use crate::plan::{Begun, Held, Plan, Situation, StepKey, weights};
use crate::safety::Profile;

const LIMIT: i32 = 120;
const TABLE: i32 = 40;

/// An evening of one dish. What is named last is what its steps use out of the fridge.
fn dish(steps: &Value, cold: &[&str]) -> Evening {
    evening_with(|party, _, recipes| {
        // Recipes are named in the order of the dishes.
        party["dishes"] = json!([party["dishes"][2].clone()]);
        recipes.swap(0, 2);
        let steps = steps.as_array().expect("steps").iter().map(|s| {
            json!({"id": s[0], "text": "Do it.", "label": s[0], "after": s[3],
                "ways": [{"station": s[1], "minutes": s[2]}]})
        });
        recipes[0]["steps"] = steps.collect();
        recipes[0]["holds"] = json!([]);
        recipes[0]["ingredients"] = json!([
            {"item": "cream", "amount": 1, "unit": "l", "kept": "fridge", "steps": cold}
        ]);
    })
}

/// After another step, in a place and so many minutes at the least.
fn after(step: &str, place: &str, least: u32) -> Value {
    json!({"step": step, "place": place, "least_minutes": least})
}

/// What the problem lets be out of control, and for how long: "mix start - fold end: 43".
fn clocks(evening: &Evening, situation: &Situation) -> Vec<String> {
    let (problem, map) = build(evening, situation).expect("a problem");
    let name = |p: Point| {
        let step = &evening.sheets[0].recipe.steps[map.tasks[p.task].key.step].id;
        format!("{step} {}", if p.end { "end" } else { "start" })
    };
    let clock = problem.lags.iter().zip(&map.lags);
    let clock = clock.filter(|(_, why)| matches!(why, super::LagWhy::Clock { .. }));
    let soft = |price: Option<i64>| if price.is_some() { " (past)" } else { "" };
    let mut all: Vec<String> = clock
        .map(|(l, _)| format!("{} - {}: {}{}", name(l.from), name(l.to), l.most, soft(l.soft_most)))
        .collect();
    let of = |l: &Limit| format!("{} - served: {}{}", name(l.from), l.most, soft(l.soft_most));
    let dish = &problem.dishes[0];
    all.extend(dish.holds.iter().flat_map(|h| &h.limits).chain(&dish.straight).map(of));
    all.sort_unstable();
    all.dedup();
    all
}

fn ahead(evening: &Evening) -> Vec<String> {
    clocks(evening, &Situation::default())
}

#[test]
fn a_stretch_takes_as_long_as_its_longest_way() {
    // Mixed, y after at least 7 minutes: 6 + 7 + 20 + 3 are 36, not 6 + 5 + 3. Dressing and table are 44; of the
    // 40 minutes that are left each stretch has 20.
    let steps = json!([
        ["mix", "counter", 6, []],
        ["x", "counter", 5, [after("mix", "room", 0)]],
        ["y", "counter", 20, [after("mix", "room", 7)]],
        ["z", "counter", 3, [after("y", "room", 0), after("x", "room", 0)]],
        ["dress", "counter", 4, [after("z", "cold", 0)]]
    ]);
    let found = ahead(&dish(&steps, &["mix"]));
    assert_eq!(found, ["dress start - served: 24", "mix start - z end: 56"]);
}

#[test]
fn heating_starts_the_clock_anew_and_chilling_stops_it() {
    // Up to the pan two hours. From there: 5 + 15 + 3 on the way to the fridge, 5 to plate, 40 on the table leave 52.
    let steps = json!([
        ["prep", "counter", 10, []],
        ["boil", "stovetop", 20, [after("prep", "room", 0)]],
        ["cool", "counter", 15, [after("boil", "room", 5)]],
        ["chill", "fridge", 30, [after("cool", "room", 3)]],
        ["plate", "counter", 5, [after("chill", "room", 0)]]
    ]);
    let found = ahead(&dish(&steps, &["prep"]));
    assert_eq!(
        found,
        [
            "boil end - chill start: 49",
            "chill end - plate end: 31",
            "chill end - served: 31",
            "prep start - boil start: 120",
        ]
    );
    // Straight from the pan into the fridge: only the way there counts.
    let steps =
        json!([["boil", "stovetop", 20, []], ["chill", "fridge", 30, [after("boil", "room", 8)]]]);
    let found = ahead(&dish(&steps, &["boil"]));
    assert_eq!(found, ["boil end - chill start: 44", "chill end - served: 36"]);
}

#[test]
fn what_comes_before_and_after_the_fridge_counts_together() {
    let steps = |more: Value| {
        json!([
            ["mix", "counter", 6, []],
            ["fold", "counter", 5, [after("mix", "room", 0)]],
            ["chill", "fridge", 30, [after("fold", "cold", 0)]],
            ["dress", "counter", 4, more]
        ])
    };
    // 11 minutes before, 4 and the table after: 65 are left for two stretches.
    let found = ahead(&dish(&steps(json!([after("chill", "cold", 0)])), &["mix"]));
    assert_eq!(found, ["dress start - served: 36", "mix start - fold end: 43"]);
    // Of two ways to one stretch the longer counts, whichever is named first, and what is taken out anew as well.
    for both in [
        json!([after("chill", "cold", 0), after("mix", "cold", 0)]),
        json!([after("mix", "cold", 0), after("chill", "cold", 0)]),
    ] {
        let found = ahead(&dish(&steps(both), &["mix", "dress"]));
        assert_eq!(found, ["dress start - served: 36", "mix start - fold end: 43"]);
    }
    // Kept hot after the fold, and then heated: nothing after that counts for what was before.
    let steps = json!([
        ["mix", "counter", 6, []],
        ["fold", "counter", 5, [after("mix", "room", 0)]],
        ["bake", "stovetop", 30, [after("fold", "hot", 0)]]
    ]);
    let found = ahead(&dish(&steps, &["mix"]));
    assert_eq!(found, ["bake end - served: 80", "mix start - fold end: 120"]);
}

#[test]
fn dry_goods_may_lie_about_until_they_are_heated() {
    let steps = json!([
        ["soak", "counter", 10, []],
        ["boil", "stovetop", 20, [after("soak", "room", 0)]],
        ["toss", "counter", 4, [after("boil", "room", 0)]]
    ]);
    let found = ahead(&dish(&steps, &["toss"]));
    assert_eq!(
        found,
        ["boil end - served: 80", "boil end - toss end: 80", "toss start - served: 80"]
    );
    // What comes out of a can counts as what comes out of the fridge does; what is dry does not.
    let soaked = |unit: &str| {
        let mut evening = dish(&steps, &["toss"]);
        let item = json!({"item": "beans", "amount": 1, "unit": unit, "steps": ["soak"]});
        let item = serde_json::from_value(item).expect("an ingredient");
        evening.sheets[0].recipe.ingredients.push(item);
        ahead(&evening)
    };
    assert_eq!(soaked("kg"), found);
    assert!(soaked("can").contains(&"soak start - boil start: 120".to_owned()));
    // Where nothing of the dish is kept cold, its first step counts as if it were.
    let none = |steps: &Value| {
        let mut evening = dish(steps, &[]);
        evening.sheets[0].recipe.ingredients.clear();
        ahead(&evening)
    };
    assert!(none(&steps).contains(&"soak start - boil start: 120".to_owned()));
    // What is served without any heating counts from the first step on.
    let steps =
        json!([["soak", "counter", 10, []], ["toss", "counter", 4, [after("soak", "room", 0)]]]);
    let found = ahead(&dish(&steps, &["toss"]));
    assert_eq!(
        found,
        ["soak start - served: 80", "soak start - toss end: 80", "toss start - served: 80"]
    );
}

#[test]
fn exactly_what_is_allowed_can_be_planned_and_a_minute_more_cannot() {
    let steps = |minutes: i32| {
        let steps = json!([
            ["prep", "counter", minutes, []],
            ["boil", "stovetop", 20, [after("prep", "room", 0)]]
        ]);
        dish(&steps, &["prep"])
    };
    assert!(build(&steps(120), &Situation::default()).is_ok());
    let no = build(&steps(121), &Situation::default()).expect_err("too long");
    assert_eq!(no.reasons, [Reason::Clock { dish: 0, needs: 121, table: 0, limit: 120 }]);
    let prepared = |minutes: i32| dish(&json!([["prep", "counter", minutes, []]]), &["prep"]);
    assert!(build(&prepared(80), &Situation::default()).is_ok());
    let no = build(&prepared(81), &Situation::default()).expect_err("too long");
    assert_eq!(no.reasons, [Reason::Clock { dish: 0, needs: 121, table: 40, limit: 120 }]);
    // While the evening runs it may be exceeded at a price, and only then.
    let now = Situation { now: Some(960), ..Situation::default() };
    assert_eq!(clocks(&prepared(80), &now), ["prep start - served: 80"]);
    assert_eq!(clocks(&prepared(81), &now), ["prep start - served: 81 (past)"]);
    let (problem, _) = build(&prepared(81), &now).expect("a problem");
    assert_eq!(problem.dishes[0].straight[0].soft_most, Some(weights::PAST_SAFETY));
}

/// Mixed and folded, chilled, dressed; as of a minute, with steps that were done from and to.
fn midway(now: i32, done: &[(usize, i32, i32)]) -> (Evening, Situation) {
    let steps = json!([
        ["mix", "counter", 6, []],
        ["fold", "counter", 5, [after("mix", "room", 0)]],
        ["dress", "counter", 4, [after("fold", "cold", 0)]]
    ]);
    let one = |&(step, start, end): &(usize, i32, i32)| {
        let key = StepKey { dish: 0, step, load: 0 };
        (key, Begun::Done { start, end, way: 0, station: "board".to_owned(), left_out: false })
    };
    let begun = done.iter().map(one).collect();
    (dish(&steps, &["mix"]), Situation { now: Some(now), begun, ..Situation::default() })
}

#[test]
fn what_has_gone_by_is_taken_off_what_is_left() {
    // As the recipe has it 11, 4 and 40: see above.
    let (evening, situation) = midway(960, &[]);
    assert_eq!(
        clocks(&evening, &situation),
        ["dress start - served: 36", "mix start - fold end: 43"]
    );
    // It took 40 minutes in the room: 120 less 40, 4 and 40 leave 36 for what is still to come.
    let (evening, situation) = midway(1000, &[(0, 960, 980), (1, 980, 1000)]);
    assert_eq!(clocks(&evening, &situation), ["dress start - served: 40"]);
    // Forty minutes have gone by since it was mixed, and it is not folded yet: 36 are left for two.
    let (evening, situation) = midway(1000, &[(0, 960, 970)]);
    let found = clocks(&evening, &situation);
    assert_eq!(found, ["dress start - served: 22", "mix start - fold end: 58 (past)"]);
    // All done, and on the counter since: out of the fridge at 1050.
    let all = [(0, 960, 966), (1, 966, 971), (2, 1050, 1054)];
    let (evening, mut situation) = midway(1060, &all);
    // 11 before the fridge, 10 since, 40 on the table: 59 are left.
    assert_eq!(clocks(&evening, &situation), ["dress start - served: 69 (past)"]);
    // Back in the fridge at 1056 its clock stands.
    let station = Some("fridge".to_owned());
    situation.held.insert(0, Held { hold: None, since: 1056, station });
    assert_eq!(clocks(&evening, &situation), [""; 0]);
    situation.down.insert("fridge".to_owned());
    assert_eq!(clocks(&evening, &situation).len(), 1, "a fridge out of use keeps nothing cold");
}

/// A step that was left out heats nothing: the clock goes on from before it.
#[test]
fn heating_that_was_left_out_does_not_start_the_clock_anew() {
    let steps = json!([
        ["prep", "counter", 10, []],
        ["boil", "stovetop", 20, [after("prep", "room", 0)]],
        ["plate", "counter", 5, [after("boil", "room", 0)]]
    ]);
    let evening = dish(&steps, &["prep"]);
    let boiled = |until: i32| {
        let done = |step, start, end, station: &str| {
            let key = StepKey { dish: 0, step, load: 0 };
            (key, Begun::Done { start, end, way: 0, station: station.to_owned(), left_out: false })
        };
        let begun = [done(0, 960, 970, "board"), done(1, 980, until, "hob")].into();
        clocks(&evening, &Situation { now: Some(1_000), begun, ..Situation::default() })
    };
    let since = |found: &[String], point: &str| found.iter().all(|f| f.starts_with(point));
    let (done, left_out) = (boiled(1_000), boiled(980));
    assert!(!done.is_empty() && since(&done, "boil end"), "{done:?}");
    assert!(!left_out.is_empty() && since(&left_out, "prep start"), "{left_out:?}");
}

/// Small dice of its own.
pub(super) struct Dice(pub(super) u64);

impl Dice {
    pub(super) fn below(&mut self, n: u32) -> u32 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as u32 % n
    }
}

/// When a step can begin at the soonest after those that it follows, which begin then.
fn soonest(sheet: &Sheet, step: &Step, starts: &[i32]) -> i32 {
    let ends = step.after.iter().map(|a| {
        let before = sheet.step_index(&a.step).expect("a step");
        starts[before] + sheet.minutes(before, 0) + a.least_minutes as i32
    });
    ends.max().unwrap_or(960)
}

/// Steps at random, all leading to the last one.
fn any_steps(dice: &mut Dice) -> (Value, Vec<String>) {
    let n = 2 + dice.below(4) as usize;
    let name = |s: usize| format!("s{s}");
    let mut after_of: Vec<Vec<(usize, &str, u32)>> = vec![Vec::new(); n];
    for from in 0..n - 1 {
        for to in from + 1..n {
            let last_way = to == n - 1 && !after_of.iter().any(|a| a.iter().any(|e| e.0 == from));
            if last_way || dice.below(3) == 0 {
                let place = ["room", "room", "room", "cold", "hot"][dice.below(5) as usize];
                after_of[to].push((from, place, dice.below(8)));
            }
        }
    }
    let steps = (0..n).map(|s| {
        let station = ["counter", "counter", "stovetop", "fridge"][dice.below(4) as usize];
        let afters = after_of[s].iter().map(|(f, place, least)| after(&name(*f), place, *least));
        json!([name(s), station, 1 + dice.below(12), afters.collect::<Value>()])
    });
    let steps: Value = steps.collect();
    let cold = (0..n).filter(|_| dice.below(2) == 0).map(name).collect();
    (steps, cold)
}

/// The most minutes that any part of the food is out of control between two heatings, or from the last one to the
/// end of its time on the table, counted along every way through the recipe. Dry goods do not count up to a heating.
fn most_out(evening: &Evening, starts: &[i32]) -> i32 {
    let sheet = &evening.sheets[0];
    let steps = &sheet.recipe.steps;
    let end = |s: usize| starts[s] + sheet.minutes(s, 0);
    // What was summed up at the end of each step, along each way there, and whether it is dry so far.
    let mut ways: Vec<Vec<(i32, bool)>> = vec![Vec::new(); steps.len()];
    let mut most = 0;
    let cold = |id: &String| {
        sheet.recipe.ingredients.iter().any(|i| i.steps.is_empty() || i.steps.contains(id))
    };
    for (s, step) in steps.iter().enumerate() {
        let mut arriving: Vec<(i32, bool)> = Vec::new();
        for a in &step.after {
            let before = sheet.step_index(&a.step).expect("a step");
            let waits = if a.place == WaitPlace::Room { starts[s] - end(before) } else { 0 };
            arriving.extend(ways[before].iter().map(|(sum, dry)| (sum + waits, *dry)));
        }
        if cold(&step.id) || step.after.is_empty() {
            arriving.push((0, !cold(&step.id)));
        }
        let kind = step.ways[0].station;
        for (sum, dry) in arriving {
            ways[s].push(if kind.heats() {
                most = if dry { most } else { most.max(sum) };
                (0, false)
            } else if kind.chills() {
                (sum, dry)
            } else {
                (sum + sheet.minutes(s, 0), dry)
            });
        }
    }
    let last = sheet.last_step();
    ways[last].iter().map(|(sum, _)| sum + TABLE).fold(most, i32::max)
}

/// Do these starts keep all that the problem says of them, with the dish served as it comes out, but for what may be
/// exceeded at a price?
fn keeps(problem: &Problem, starts: &[i32]) -> bool {
    let at = |p: Point| {
        let task = &problem.tasks[p.task];
        let long = problem.steps[task.step].modes[0].minutes;
        starts[p.task] + if p.end { long } else { 0 }
    };
    let lags = problem.lags.iter().all(|l| {
        let gap = at(l.to) - at(l.from);
        let fixed = [l.from, l.to].iter().all(|p| problem.tasks[p.task].fixed.is_some());
        fixed || (l.least <= gap && (gap <= l.most || l.soft_most.is_some()))
    });
    let served =
        at(Point { task: problem.steps[problem.dishes[0].last_step].first_task, end: true });
    let straight = &problem.dishes[0].straight;
    lags && straight.iter().all(|l| l.soft_most.is_some() || served - at(l.from) <= l.most)
}

fn laid_out(evening: &Evening, starts: &[i32]) -> Plan {
    let sheet = &evening.sheets[0];
    let blocks = starts.iter().enumerate().map(|(step, &start)| {
        let kind = sheet.recipe.steps[step].ways[0].station;
        let station = evening.kitchen.stations.iter().find(|s| s.kind == kind).expect("a station");
        let key = StepKey { dish: 0, step, load: 0 };
        block(key, &station.id, (start, start + sheet.minutes(step, 0)))
    });
    Plan { blocks: blocks.collect(), ..Plan::default() }
}

/// Ahead, or as of a minute, when what starts before it has begun. The dish is served as it comes out.
fn as_of(plan: &Plan, now: Option<i32>) -> Situation {
    let begun = plan.blocks.iter().filter(|b| now.is_some_and(|now| b.start < now)).map(|b| {
        let (start, end, way, station) = (b.start, b.end, b.way, b.station.clone());
        let runs = now.is_some_and(|now| now < end);
        let (cook, setting_c, left_out) = (None, None, false);
        let begun = if runs {
            Begun::Running { start, end, way, station, cook, setting_c }
        } else {
            Begun::Done { start, end, way, station, left_out }
        };
        (b.key, begun)
    });
    let served = plan.blocks.last().map_or(0, |b| b.end);
    let service_at = [(0, served)].into();
    Situation { now, begun: begun.collect(), service_at, ..Situation::default() }
}

/// What the last check says of the time out of control.
fn refused(evening: &Evening, starts: &[i32], now: Option<i32>) -> Option<String> {
    let plan = laid_out(evening, starts);
    let profile = Profile::by_id(&evening.party.guidance).expect("built in");
    let faults = verify(evening, &as_of(&plan, now), profile, &plan).err().unwrap_or_default();
    faults.into_iter().map(|f| f.what).find(|what| what.contains("without heat or cold"))
}

/// Whatever the recipe: a schedule that the problem takes never leaves food out for longer than the guidance says, and
/// the last check takes it, but none that does.
#[test]
fn no_schedule_of_any_recipe_leaves_food_out_too_long() {
    let mut dice = Dice(7);
    let (mut kept, mut tight, mut past) = (0, 0, 0);
    for _ in 0..600 {
        let (steps, cold) = any_steps(&mut dice);
        let cold: Vec<&str> = cold.iter().map(String::as_str).collect();
        if cold.is_empty() {
            continue;
        }
        let evening = dish(&steps, &cold);
        let Ok((problem, map)) = build(&evening, &Situation::default()) else { continue };
        let sheet = &evening.sheets[0];
        for _ in 0..60 {
            let mut starts: Vec<i32> = Vec::new();
            for (s, step) in sheet.recipe.steps.iter().enumerate() {
                let wait = dice.below(2) * dice.below(60);
                starts.push(soonest(sheet, step, &starts) + wait as i32);
                assert_eq!(map.tasks[s].key.step, s);
            }
            let out = most_out(&evening, &starts);
            let said = refused(&evening, &starts, None);
            let all = format!("{out} minutes: {said:?} {starts:?} {steps} {cold:?}");
            past += i32::from(out > LIMIT);
            assert!(out <= LIMIT || said.is_some(), "{all}");
            if keeps(&problem, &starts) {
                assert!(said.is_none(), "{all}");
                assert!(out <= LIMIT, "{all}");
                kept += 1;
                tight += i32::from(out > LIMIT - 6);
            }
        }
    }
    assert!(kept > 3_000 && tight > 10, "{kept} kept, {tight} of them nearly at the limit");
    assert!(past > 1_000, "{past} past the limit");
}

/// While it runs too: what the problem takes is not refused, whatever has begun by then.
#[test]
fn no_schedule_that_can_be_had_midway_is_refused() {
    let mut dice = Dice(11);
    let (mut kept, mut past, mut said) = (0, 0, 0);
    for _ in 0..600 {
        let (steps, cold) = any_steps(&mut dice);
        let cold: Vec<&str> = cold.iter().map(String::as_str).collect();
        let evening = dish(&steps, &cold);
        let sheet = &evening.sheets[0];
        for _ in 0..40 {
            let mut starts: Vec<i32> = Vec::new();
            for (s, step) in sheet.recipe.steps.iter().enumerate() {
                let soonest = soonest(sheet, step, &starts);
                starts.push(soonest + (dice.below(2) * dice.below(90)) as i32 + i32::from(s == 0));
            }
            let last = starts.last().copied().expect("a step");
            let now = 960 + dice.below((last - 960) as u32 + 1) as i32;
            let situation = as_of(&laid_out(&evening, &starts), Some(now));
            let Ok((problem, map)) = build(&evening, &situation) else { continue };
            assert!(map.tasks.iter().enumerate().all(|(t, at)| at.key.step == t));
            let refused = refused(&evening, &starts, Some(now));
            said += i32::from(refused.is_some());
            if keeps(&problem, &starts) {
                assert_eq!(refused, None, "as of {now}: {starts:?} {steps} {cold:?}");
                kept += 1;
                past += i32::from(most_out(&evening, &starts) > LIMIT);
            }
        }
    }
    assert!(kept > 3_000 && past > 100 && said > 100, "{kept} kept, {past} past, {said} refused");
}

/// Dry goods begin their time where something cold is put to them, or where they are put into the cold themselves.
#[test]
fn dry_goods_count_from_where_they_meet_the_cold() {
    let steps = json!([
        ["soak", "counter", 10, []],
        ["toss", "counter", 4, [after("soak", "room", 0)]],
        ["boil", "stovetop", 20, [after("toss", "room", 0)]]
    ]);
    let tossed = dish(&steps, &["toss"]);
    assert_eq!(refused(&tossed, &[600, 960, 1080], None), None);
    let said = refused(&tossed, &[600, 960, 1081], None).expect("too long");
    assert!(said.contains("121 minutes, up to boil"), "{said}");
    let soaked = |minutes: i32, place: &str| {
        let steps = json!([
            ["soak", "counter", minutes, []],
            ["boil", "stovetop", 20, [after("soak", place, 0)]]
        ]);
        refused(&dish(&steps, &["boil"]), &[960, 960 + minutes], None).is_some()
    };
    assert!(!soaked(121, "room") && !soaked(120, "cold"));
    assert!(soaked(121, "cold") && soaked(121, "hot"));
    let steps = json!([
        ["soak", "counter", 10, []],
        ["chill", "fridge", 30, [after("soak", "room", 0)]],
        ["boil", "stovetop", 20, [after("chill", "room", 0)]]
    ]);
    let chilled = |at: i32| refused(&dish(&steps, &["boil"]), &[960, at, at + 30], None).is_some();
    assert!(!chilled(1080) && chilled(1081));
}

/// What stands in the fridge since a stretch that is over is held to what is left: 40 minutes up to the fridge, two times
/// five and the table leave 30.
#[test]
fn a_stretch_that_is_over_excuses_none_that_is_ahead() {
    let steps = json!([
        ["mix", "counter", 10, []],
        ["chill", "fridge", 30, [after("mix", "room", 0)]],
        ["plate", "counter", 5, [after("chill", "cold", 0)]],
        ["dress", "counter", 5, [after("plate", "room", 0)]]
    ]);
    let evening = dish(&steps, &["mix"]);
    let waits =
        |minutes: i32| refused(&evening, &[960, 1000, 1060, 1065 + minutes], Some(1010)).is_some();
    assert!(!waits(30) && waits(31));
}

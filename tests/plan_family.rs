//! What must hold of any party, on the family of generated ones.

mod family;

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use family::jobs::{pooled, running, shared};
use family::{Member, Tightness, members, midway};
use potwatch::kitchen::{Evening, Minute};
use potwatch::plan::judge::judge;
use potwatch::plan::planner::{Budget, NoPlan, Planning, plan_ahead, reshuffle};
use potwatch::plan::prove::{Proved, Prover};
use potwatch::plan::risk::Room;
use potwatch::plan::search::{self, Ask};
use potwatch::plan::{Plan, Situation, clash, wire};
use potwatch::store::load::{load_builtin, load_party_by};

fn budget(rounds: u64) -> Budget<'static> {
    Budget { seed: 1, rounds, stop: &|| false }
}

fn planned(evening: &Evening, rounds: u64) -> Result<Plan, NoPlan> {
    plan_ahead(evening, &budget(rounds), &mut |_| ())
}

/// Dishes and minutes late.
fn late(plan: &Plan) -> Vec<(usize, Minute)> {
    let served = plan.services.iter().flat_map(|l| l.dishes.iter().map(|d| (d.0, d.2 - l.due)));
    served.filter(|(_, minutes)| *minutes > 0).collect()
}

#[test]
fn members_are_parties_of_just_so_many_steps_that_pass_the_check() {
    let folder = tempfile::tempdir().expect("a folder");
    for member in members(1..=3) {
        let file = folder.path().join("party.json");
        std::fs::write(&file, member.file()).expect("written");
        let evening = member.evening();
        let face = evening.face.clone();
        let loaded = load_party_by(&file, |_| face.clone());
        let loaded = loaded.unwrap_or_else(|wrong| panic!("{}: {wrong}", member.name()));
        assert_eq!(loaded.evening, evening, "{}", member.name());
        let steps: usize = evening.sheets.iter().map(|s| s.recipe.steps.len()).sum();
        assert_eq!(steps, member.steps);
        assert_eq!(member.file(), member.file(), "the same bytes");
        assert!(loaded.notes.list.is_empty(), "{}: {}", member.name(), loaded.notes);
    }
}

/// The whole model is in the family: a rule that no member uses is not measured.
#[test]
fn the_family_uses_every_rule() {
    let problem = |m: Member| {
        let (evening, ahead) = (m.evening(), Situation::default());
        Planning::new(&evening, &ahead).map(|p| p.problem().clone()).expect("a problem")
    };
    let all: Vec<_> = members(1..=2).into_iter().map(problem).collect();
    let lags = || all.iter().flat_map(|p| &p.lags);
    let holds = || all.iter().flat_map(|p| &p.dishes).flat_map(|d| &d.holds);
    let modes = || all.iter().flat_map(|p| &p.steps).flat_map(|s| &s.modes);
    assert!(lags().any(|l| l.least > 0) && lags().any(|l| l.most < i32::MAX));
    assert!(lags().any(|l| l.best.is_some()));
    assert!(holds().any(|h| h.oven.is_some()) && holds().any(|h| h.best.is_some()));
    assert!(holds().any(|h| !h.limits.is_empty()));
    assert!(holds().any(|h| h.uses.is_empty()), "the pass");
    assert!(modes().any(|m| m.loads > 1) && modes().any(|m| m.price > 0));
    assert!(modes().any(|m| m.hands.iter().any(|h| h.percent < 100)));
    assert!(all.iter().all(|p| p.steps.iter().any(|s| s.modes.len() > 1)));
    assert!(all.iter().flat_map(|p| &p.stays).any(|s| !s.through_hold.is_empty()));
    assert!(all.iter().flat_map(|p| &p.resources).any(|r| !r.closed.is_empty()), "a break");
    assert!(all.iter().any(|p| p.ovens.len() > 1) && all.iter().all(|p| !p.links.is_empty()));
}

/// A member, its evening, and what has happened: nothing, or an evening half over.
fn cases(wanted: impl Fn(&Member) -> bool) -> Vec<(Member, Evening, Situation)> {
    let mut cases = Vec::new();
    for member in members(1..=1).into_iter().filter(wanted) {
        let evening = member.evening();
        if let Ok(plan) = planned(&evening, 5) {
            let midway = midway::situation(&member, &evening, plan);
            cases.push((member, evening.clone(), midway));
        }
        cases.push((member, evening, Situation::default()));
    }
    cases
}

#[test]
fn the_same_seed_and_rounds_give_the_same_bytes() {
    for (member, evening, situation) in cases(|m| m.steps <= 60) {
        let bytes = || {
            let plan = reshuffle(&evening, &situation, &budget(15), &mut |_| ());
            let plan = plan.unwrap_or_else(|e| panic!("{}: {e:?}", member.name()));
            let file = wire::plan_file(&evening, &situation, &plan).expect("a document");
            serde_json::to_string(&file).expect("JSON")
        };
        assert_eq!(bytes(), bytes(), "{}", member.name());
    }
}

/// A schedule that keeps every rule, whoever found it, is held against the
/// prover: its model admits it at its cost, and no proof says that there is none
/// or that all cost more.
#[test]
fn no_proof_is_contradicted_by_a_schedule_that_is_known() {
    let mut tried = 0;
    for (member, evening, situation) in cases(|m| m.steps != 90) {
        let name = member.name();
        let planning = Planning::new(&evening, &situation).expect("a problem");
        let Ok((_, schedule)) = planning.search(planning.shown().as_ref(), &budget(5)) else {
            continue;
        };
        let cost = judge(planning.problem(), &schedule).expect("every rule is kept").total();
        let mut only = Prover::only(planning.problem(), &schedule).expect("all is modelled");
        let (bound, proved) = (only.bound(), only.advance(5_000_000, &|| false, &mut |_, _| ()));
        assert!(bound <= cost, "{name}: {bound} for what costs {cost}");
        assert_ne!(proved, Proved::Impossible, "{name}: the model refuses it");
        let mut prover = Prover::new(planning.problem()).expect("all is modelled");
        let proved = prover.advance(500_000, &|| false, &mut |_, _| ());
        assert_ne!(proved, Proved::Impossible, "{name}: said to be impossible");
        assert!(prover.bound() <= cost, "{name}: said to cost more than {cost}");
        tried += 1;
    }
    assert!(tried >= 16, "only {tried} were tried");
}

/// A reshuffle for which there was no reason: either it is cheaper than what
/// is on the screen, or it is what is on the screen.
#[test]
fn plans_of_equal_cost_never_flicker() {
    let mut kept_as_shown = 0;
    for (member, evening, mut situation) in cases(|m| m.steps <= 60) {
        // The program is open: there is a present minute.
        let hours = evening.party.cooks.iter().flat_map(|c| c.free.iter().map(|f| f.from));
        let first = hours.min().map_or(0, |time| evening.face.minute_of(time));
        situation.now = situation.now.or(Some(first - 60));
        for seed in 1..=3 {
            let budget = Budget { seed, rounds: 15, stop: &|| false };
            let plan = reshuffle(&evening, &situation, &budget, &mut |_| ());
            let plan = plan.unwrap_or_else(|e| panic!("{}: {e:?}", member.name()));
            if let Some(shown) = &situation.previous {
                let planning = Planning::new(&evening, &situation).expect("a problem");
                let kept = judge(planning.problem(), &planning.schedule_of(shown));
                // What is on the screen may be out of date: then anything goes.
                if kept.is_ok_and(|cost| cost.total() <= plan.cost.total()) {
                    assert_eq!(plan.blocks, shown.blocks, "{}", member.name());
                    assert_eq!(plan.holds, shown.holds, "{}", member.name());
                    kept_as_shown += 1;
                }
            }
            situation.previous = Some(Arc::new(plan));
        }
    }
    assert!(kept_as_shown > 0, "never the case: nothing was shown");
}

/// What was made ready and is cheaper than the plan on the screen put off is begun from as it is; what is dearer is not.
#[test]
fn a_search_begins_from_what_costs_least() {
    let (mut ready, mut shown) = (0, 0);
    for (member, evening, situation) in cases(|m| m.steps == 40) {
        let planning = Planning::new(&evening, &situation).expect("a problem");
        let from = planning.shown();
        let Ok((first, _)) = planning.search(from.as_ref(), &budget(0)) else { continue };
        let found = planning.search(from.as_ref(), &budget(150)).expect("a plan").0;
        let planning = planning.with_ready([&first, &found]);
        let begun = planning.search(from.as_ref(), &budget(0)).expect("a plan").0;
        let name = member.name();
        assert!(begun.cost.total() <= found.cost.total(), "{name}");
        if found.cost.total() < first.cost.total() {
            ready += 1;
        } else {
            assert_eq!(begun.blocks, first.blocks, "{name}: of equal ones the shown one stays");
            shown += 1;
        }
    }
    assert!(ready > 0, "{ready} from what was ready, {shown} from what was shown");
}

/// Two searches at a time meet after counted rounds: what comes of it hangs on no thread.
#[test]
fn two_searches_side_by_side_find_what_they_find_one_after_the_other() {
    let threads = |one: &mut dyn FnMut(), other: &mut (dyn FnMut() + Send)| {
        std::thread::scope(|scope| {
            scope.spawn(other);
            one();
        });
    };
    let by_turns = |one: &mut dyn FnMut(), other: &mut (dyn FnMut() + Send)| {
        one();
        other();
    };
    let mut better = 0;
    for (member, evening, situation) in cases(|m| m.steps == 40).into_iter().take(4) {
        let plan = |both: Option<search::Both<'_>>| {
            let planning = Planning::new(&evening, &situation).expect("a problem").by_two(both);
            let plan = planning.search(planning.shown().as_ref(), &budget(250));
            plan.unwrap_or_else(|e| panic!("{}: {e:?}", member.name())).0
        };
        let (alone, side_by_side) = (plan(None), plan(Some(&threads)));
        assert_eq!(side_by_side, plan(Some(&by_turns)), "{}", member.name());
        better += usize::from(side_by_side.cost.total() < alone.cost.total());
    }
    assert!(better > 0, "the other found nothing");
}

/// A plan with room in it: some for each dish, some after each step.
fn roomy(evening: &Evening, minutes: Minute) -> Option<Plan> {
    let ahead = Situation::default();
    let planning = Planning::new(evening, &ahead).expect("a problem");
    let mut room = Room::default();
    for (d, sheet) in evening.sheets.iter().enumerate() {
        room.set_dish(d, minutes);
        (0..sheet.recipe.steps.len()).for_each(|s| room.set_step(d, s, minutes / 3));
    }
    planning.search_with(&room, None, &budget(15)).map(|found| found.0)
}

/// What it costs to keep the plan on the screen and put it off, as one would by
/// hand: all that has not begun, or all of it from some minute on, so many
/// minutes later. None where that breaks a rule however many they are. What has room is put off
/// by no more than must be: the room is not there to be used up for food that waits a little less.
fn put_off_by_hand(planning: &Planning<'_>, shown: &Plan, now: Minute) -> Option<i64> {
    let (problem, kept) = (planning.problem(), planning.schedule_of(shown));
    let open: Vec<usize> = (0..problem.tasks.len())
        .filter(|&t| problem.tasks[t].fixed.is_none() && problem.active(&kept, t))
        .collect();
    let mut from: Vec<Minute> = open.iter().map(|&t| kept.start[t]).collect();
    from.sort_unstable();
    from.dedup();
    let mut best: Option<i64> = None;
    for from in from {
        for by in 0..=60 {
            let mut late = kept.clone();
            for &t in open.iter().filter(|&&t| kept.start[t] >= from) {
                late.start[t] += by;
            }
            for &t in &open {
                late.start[t] = late.start[t].max(now);
            }
            if let Ok(cost) = judge(problem, &late) {
                best = Some(best.map_or(cost.total(), |b| b.min(cost.total())));
                if !shown.room.is_empty() {
                    break;
                }
            }
        }
    }
    best
}

/// Says where a reshuffle with few rounds or none costs more than the plan on
/// the screen put off; false where that cannot be put off at all.
fn is_no_dearer(
    name: &str,
    evening: &Evening,
    situation: &Situation,
    dearer: &mut Vec<String>,
) -> bool {
    let (shown, now) = (situation.previous.as_ref().expect("a plan"), situation.now.unwrap_or(0));
    let planning = Planning::new(evening, situation).expect("a problem");
    let Some(kept) = put_off_by_hand(&planning, shown, now) else { return false };
    for rounds in [0, 3] {
        let plan = reshuffle(evening, situation, &budget(rounds), &mut |_| ());
        let cost = plan.unwrap_or_else(|e| panic!("{name}: {e:?}")).cost.total();
        if cost > kept {
            dearer.push(format!("{name}, {rounds} rounds: {cost}, put off {kept}"));
        }
    }
    true
}

/// Some way into the evening, with room in the plan on the screen and without.
#[test]
fn a_reshuffle_never_costs_more_than_to_keep_the_plan_and_put_it_off() {
    let (mut said, mut with_room, mut dearer) = (0, 0, Vec::new());
    for member in members(1..=3).into_iter().filter(|m| m.steps <= 60) {
        let evening = member.evening();
        let plain = planned(&evening, 5).ok();
        for shown in plain.into_iter().chain(roomy(&evening, 12)) {
            let has_room = !shown.room.is_empty();
            let situation = midway::situation(&member, &evening, shown);
            let name = format!("{}, room {has_room}", member.name());
            if is_no_dearer(&name, &evening, &situation, &mut dearer) {
                said += 1;
                with_room += i32::from(has_room);
            }
        }
    }
    assert!(dearer.is_empty(), "{}", dearer.join("\n"));
    assert!(said >= 12 && with_room >= 4, "{said} of which {with_room} have room");
}

/// The demo's evening with trouble in it, with room in its plan.
#[test]
fn nor_does_a_reshuffle_of_the_demo_in_trouble() {
    let day = chrono::NaiveDate::from_ymd_opt(2026, 10, 24).expect("a day");
    let evening = load_builtin(potwatch::kitchen::Clockface::fixed(day, 0)).expect("the demo");
    let (mut said, mut dearer) = (0, Vec::new());
    for shown in planned(&evening, 40).into_iter().chain(roomy(&evening, 9)) {
        for seed in 1..=10 {
            let dice = Member { steps: 40, tightness: Tightness::Tight, seed };
            let situation = midway::situation(&dice, &evening, shown.clone());
            let name = format!("demo, trouble {seed}, room {}", !shown.room.is_empty());
            said += i32::from(is_no_dearer(&name, &evening, &situation, &mut dearer));
        }
    }
    assert!(dearer.is_empty(), "{}", dearer.join("\n"));
    assert!(said >= 12, "{said}");
}

/// Knife work that dishes share is done before the first of them needs it; the
/// search finds its way with such jobs as it does without.
#[test]
fn shared_jobs_come_before_the_dishes_that_use_them() {
    let mut planned = 0;
    for member in members(1..=2).into_iter().filter(|m| m.tightness != Tightness::OverTight) {
        let (name, evening, ahead) = (member.name(), member.evening(), Situation::default());
        let planning = Planning::new(&evening, &ahead).expect("a problem");
        let problem = pooled(planning.problem(), member.seed);
        assert!(shared(&problem) > 0, "{name}: nothing is shared");
        let ask =
            Ask { problem: &problem, warm: None, ready: &[], seed: 1, rounds: 5, stop: &|| false };
        let answer = search::solve(&ask, &mut |_, _| ());
        let Some(schedule) = answer.schedule else { continue };
        assert_eq!(judge(&problem, &schedule), Ok(answer.cost), "{name}");
        planned += 1;
        let (begun, shown) = running(&problem, &schedule, problem.start + 60);
        let kept = search::first(&begun, Some(&shown)).expect("what was just planned");
        assert!(judge(&begun, &kept).is_ok(), "{name}: an hour later");
    }
    assert!(planned >= 18, "only {planned}");
}

/// Where no order of dishes fits into the day at first, one is found by way of a longer day.
#[test]
fn a_day_too_full_for_a_first_look_is_planned_all_the_same() {
    let full = |m: &Member| m.tightness == Tightness::OverTight && m.steps == 60;
    let member = members(1..=1).into_iter().find(full).expect("a member");
    let (evening, ahead) = (member.evening(), Situation::default());
    let planning = Planning::new(&evening, &ahead).expect("a problem");
    let schedule = search::first(planning.problem(), None).expect("a schedule");
    assert!(judge(planning.problem(), &schedule).is_ok());
}

/// More asked than there are hands for: the plan is late, or there is none
/// and the clash is told in plain words. It is never refused.
#[test]
fn an_over_tight_party_is_late_or_its_clash_is_told() {
    let over = |m: &Member| m.tightness == Tightness::OverTight && m.steps <= 60;
    for member in members(1..=4).into_iter().filter(over) {
        let (name, evening) = (member.name(), member.evening());
        match planned(&evening, 5) {
            Ok(plan) => {
                assert!(!member.impossible(), "{name}: a plan where there is none");
                assert!(!late(&plan).is_empty(), "{name}: on time with too few hands");
            }
            Err(none @ NoPlan::Clash { .. }) => {
                assert!(member.impossible(), "{name}: {none:?}");
                let words = clash::words(&evening, &none);
                let named = evening.sheets.iter().any(|s| words.contains(&s.recipe.title));
                assert!(named, "{name}: says of no dish what is wrong: {words}");
                for jargon in ["infeasible", "makespan", "constraint", "solver"] {
                    assert!(!words.to_lowercase().contains(jargon), "{name}: {words}");
                }
            }
            Err(none) => panic!("{name}: {none:?}"),
        }
    }
}

/// A day so full that the search finds no beginning has a plan all the same, however long may be searched: it is not
/// left to the prover until nobody waits any more.
#[test]
fn a_day_too_full_for_the_search_is_planned_in_good_time() {
    let is_full = |m: &Member| m.steps == 120 && m.tightness == Tightness::OverTight;
    let member = members(1..=1).into_iter().find(is_full).expect("one");
    let (told, began) = (AtomicBool::new(false), Instant::now());
    let stop = || told.load(Ordering::Relaxed) || began.elapsed() > Duration::from_secs(120);
    let budget = Budget { seed: 1, rounds: u64::MAX, stop: &stop };
    let plan = plan_ahead(&member.evening(), &budget, &mut |_| told.store(true, Ordering::Relaxed));
    assert!(plan.is_ok(), "{:?}", plan.err());
}

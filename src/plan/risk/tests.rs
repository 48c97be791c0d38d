//! Evenings played by hand-made plans, and chances that can be computed another way.

use super::jobs::{Job, Seconds, Stage};
use super::net::{Arc as Edge, Net};
use super::play::{By, Play};
use super::shared::Factor;
use super::*;
use crate::plan::compose::tests::supper;
use crate::plan::planner::{Budget, plan_ahead};
use crate::plan::sample::evening_with;
use crate::plan::{Begun, Block, Plan, ServiceLine, Situation, StepKey};

pub(super) const M: Seconds = 60;

/// A job of so many minutes that never vary, planned at a minute.
pub(super) fn job(n: usize, at: i32, minutes: f64) -> Job {
    Job {
        key: StepKey { dish: n, step: 0, load: 0 },
        salt: n as u64,
        floor: at * M,
        stage: Stage::Ahead,
        spread: Spread::new(minutes, minutes, minutes),
        factor: None,
        cook: None,
        by_hand: None,
        look_in: 0,
        head: 0,
        tail: 0,
    }
}

pub(super) fn by_hand(n: usize, at: i32, minutes: f64, percent: i32) -> Job {
    Job { cook: Some(0), by_hand: Some(percent), ..job(n, at, minutes) }
}

pub(super) fn by_itself(n: usize, at: i32, minutes: f64, head: i32, tail: i32) -> Job {
    Job { cook: Some(0), head: head * M, tail: tail * M, ..job(n, at, minutes) }
}

/// Plays one evening; when each job ended, in minutes, and what each waited for.
pub(super) fn play(
    jobs: Vec<Job>,
    edges: &[(usize, Edge)],
    hours: &[(i32, i32)],
) -> (Vec<i32>, Vec<By>) {
    let n = jobs.len();
    let (mut arcs, mut waits_for) = (vec![Vec::new(); n], vec![0; n]);
    for &(from, edge) in edges {
        arcs[from].push(edge);
        waits_for[edge.to] += 1;
    }
    let hours = vec![hours.iter().map(|&(a, b)| (a * M, b.saturating_mul(M))).collect()];
    let factors = vec![Factor::default()];
    let net = Net { jobs, arcs, waits_for, factors, hours, services: Vec::new() };
    let mut play = Play::new(&net);
    play.evening(1, 0);
    (play.end.iter().map(|e| e / M).collect(), play.by)
}

pub(super) const ALL_DAY: [(i32, i32); 1] = [(0, 10_000)];

pub(super) fn after(to: usize, lag: i32) -> Edge {
    Edge { to, lag: lag * M, from_end: true }
}

#[test]
fn a_step_waits_for_its_minute_and_for_what_it_follows() {
    let jobs = vec![job(0, 0, 30.0), job(1, 20, 10.0), job(2, 90, 5.0)];
    let (ends, by) = play(jobs, &[(0, after(1, 5)), (1, after(2, 0))], &ALL_DAY);
    assert_eq!(ends, [30, 45, 95]);
    assert_eq!(by, [By::Plan, By::End(0), By::Plan]);
}

#[test]
fn the_alarm_calls_from_the_chopping_and_the_chopping_takes_longer() {
    // Out of the oven at 68 to 70, while the onions are cut from 60 on.
    let jobs = vec![by_itself(0, 0, 70.0, 2, 2), by_hand(1, 60, 20.0, 100)];
    assert_eq!(play(jobs, &[], &ALL_DAY).0, [70, 82]);
    // Two at once: one after the other, and the second is late.
    let jobs = vec![by_itself(0, 0, 30.0, 2, 2), by_itself(1, 2, 28.0, 2, 3)];
    assert_eq!(play(jobs, &[], &ALL_DAY).0, [32, 30]);
}

#[test]
fn the_cook_takes_what_can_be_begun_in_the_plans_order() {
    // The first by plan waits for something; the others do not wait for it.
    let jobs = vec![
        job(0, 0, 25.0),
        by_hand(1, 10, 10.0, 100),
        by_hand(2, 12, 10.0, 100),
        by_hand(3, 14, 10.0, 100),
    ];
    let (ends, by) = play(jobs, &[(0, after(1, 0))], &ALL_DAY);
    assert_eq!(ends, [25, 42, 22, 32]);
    assert_eq!(by, [By::Plan, By::End(3), By::Plan, By::End(2)]);
}

#[test]
fn what_goes_in_first_by_the_plan_interrupts_what_comes_later() {
    // The bread should have gone in at 10, before the chopping of 12; it can at 15.
    let jobs = vec![job(0, 0, 15.0), by_itself(1, 10, 30.0, 2, 0), by_hand(2, 12, 20.0, 100)];
    assert_eq!(play(jobs, &[(0, after(1, 0))], &ALL_DAY).0, [15, 45, 34]);
    // What comes later by the plan waits until the hands are free.
    let jobs = vec![by_hand(0, 0, 20.0, 100), by_itself(1, 10, 30.0, 2, 0)];
    assert_eq!(play(jobs, &[], &ALL_DAY).0, [20, 50]);
}

#[test]
fn two_halves_of_a_cook_go_together_and_a_third_waits() {
    let jobs = vec![by_hand(0, 0, 20.0, 50), by_hand(1, 5, 20.0, 50), by_hand(2, 6, 10.0, 50)];
    assert_eq!(play(jobs, &[], &ALL_DAY).0, [20, 25, 30]);
    // Who looks in elsewhere for a tenth of the time chops for longer.
    let mut simmer = by_itself(0, 0, 60.0, 0, 0);
    simmer.look_in = 10;
    assert_eq!(play(vec![simmer, by_hand(1, 5, 18.0, 100)], &[], &ALL_DAY).0, [60, 25]);
}

#[test]
fn a_cook_who_is_away_begins_when_they_are_back() {
    let jobs = vec![by_hand(0, 0, 10.0, 100), by_hand(1, 30, 10.0, 100)];
    assert_eq!(play(jobs, &[], &[(5, 20), (60, 100)]).0, [15, 70]);
}

/// A party of one dish, made in one step on the counter, by itself.
pub(super) fn one_step(minutes: serde_json::Value) -> crate::kitchen::Evening {
    evening_with(|party, _, recipes| {
        party["dishes"] = serde_json::json!([
            {"id": "dip", "recipe": "dip", "servings": 8, "service": "supper"}
        ]);
        recipes[2]["steps"] = serde_json::json!([
            {"id": "set", "text": "Let it set.", "label": "set",
                "ways": [{"station": "counter", "minutes": minutes}]}
        ]);
        recipes.swap(0, 2);
    })
}

/// Its plan: ready so many minutes before the service.
pub(super) fn plan_of(evening: &crate::kitchen::Evening, cushion: i32) -> Plan {
    let due = evening.service_minute(0);
    let minutes = evening.sheets[0].minutes(0, 0);
    let block = Block {
        key: StepKey::default(),
        loads: 1,
        way: 0,
        station: "board".into(),
        slots: vec![0],
        cook: None,
        start: due - cushion - minutes,
        end: due - cushion,
        hands_start: 0,
        hands_end: 0,
        hands_between: 0,
        setting_c: None,
        begun: false,
    };
    let line = ServiceLine { service: 0, due, dishes: vec![(0, due - cushion, due)] };
    Plan { blocks: vec![block], services: vec![line], ..Plan::default() }
}

pub(super) fn one_sheet(mut evening: crate::kitchen::Evening) -> crate::kitchen::Evening {
    evening.sheets.truncate(1);
    evening
}

#[test]
fn the_chance_of_one_step_is_what_its_figures_say() {
    let evening = one_sheet(one_step(serde_json::json!({"low": 30, "likely": 40, "high": 55})));
    let spread = Spread::new(30.0, 40.0, 55.0);
    for cushion in [0, 5, 12, 20] {
        let plan = plan_of(&evening, cushion);
        let odds = forecast(&evening, &Situation::default(), &plan, 5, 20_000);
        let said = odds.of(0).expect("the service");
        let true_share = spread.share_below(40.0 + f64::from(cushion + GRACE_MINUTES));
        let (low, high) = said.interval();
        assert!(low - 0.002 <= true_share && true_share <= high + 0.002, "{cushion}: {said:?}");
        // Only one step can be to blame, and it is so whenever the service is late.
        assert_eq!(said.threats.len(), 1);
        assert_eq!(said.threats[0].evenings, said.evenings - said.on_time);
        // Ready so much sooner, it would be on time as often as the party wishes.
        let sooner = plan_of(&evening, cushion + said.dishes[0].short);
        assert!(forecast(&evening, &Situation::default(), &sooner, 5, 20_000).meets(90));
        let not_quite = plan_of(&evening, cushion + said.dishes[0].short - 1);
        assert!(!forecast(&evening, &Situation::default(), &not_quite, 5, 20_000).meets(90));
    }
}

#[test]
fn a_running_step_has_the_rest_of_its_own_distribution() {
    let evening = one_sheet(one_step(serde_json::json!({"low": 30, "likely": 40, "high": 55})));
    let spread = Spread::new(30.0, 40.0, 55.0);
    let plan = plan_of(&evening, 0);
    let start = plan.blocks[0].start;
    let share = |elapsed: i32, end: i32| {
        let now = start + elapsed;
        let run = Begun::Running {
            start,
            end,
            way: 0,
            station: "board".into(),
            cook: None,
            setting_c: None,
        };
        let begun = [(StepKey::default(), run)].into_iter().collect();
        let situation = Situation { now: Some(now), begun, ..Situation::default() };
        forecast(&evening, &situation, &plan, 5, 20_000).of(0).expect("the service").share()
    };
    for elapsed in [0, 20, 38, 41] {
        let end = start + 40.max(elapsed + 1);
        let passed = spread.share_below(f64::from(elapsed));
        let on_time = spread.share_below(40.0 + f64::from(GRACE_MINUTES));
        let expected = (on_time - passed) / (1.0 - passed);
        assert!((share(elapsed, end) - expected).abs() < 0.012, "{elapsed}");
    }
    assert_eq!(share(60, start + 62), 0.0, "it is late already");
    // The cook has said that it takes ten more minutes: that is past all grace.
    assert!(share(39, start + 49) < 0.1);
}

#[test]
fn a_step_that_is_done_is_done() {
    let evening = one_sheet(one_step(serde_json::json!({"low": 30, "likely": 40, "high": 55})));
    let plan = plan_of(&evening, 0);
    let due = evening.service_minute(0);
    let done = |end| {
        let station = "board".to_owned();
        let done = Begun::Done { start: due - 50, end, way: 0, station, left_out: false };
        let begun = [(StepKey::default(), done)].into_iter().collect();
        Situation { now: Some(due + 5), begun, ..Situation::default() }
    };
    for (end, on_time) in [(due + 2, 50), (due + 3, 0)] {
        let odds = forecast(&evening, &done(end), &plan, 1, 50);
        assert_eq!(odds.of(0).map(|o| o.on_time), Some(on_time), "{end}");
    }
    let mut served = done(due);
    served.served.insert(0);
    assert_eq!(forecast(&evening, &served, &plan, 1, 50).services, []);
}

#[test]
fn the_same_evenings_give_the_same_answer_and_others_nearly_the_same() {
    let (evening, plan) = supper();
    let ahead = Situation::default();
    let one = forecast(&evening, &ahead, &plan, 3, 2_000);
    assert_eq!(forecast(&evening, &ahead, &plan, 3, 2_000), one);
    let other = forecast(&evening, &ahead, &plan, 4, 2_000);
    assert!(one != other);
    let (a, b) = (one.services[0].share(), other.services[0].share());
    assert!((a - b).abs() < 0.04, "{a} {b}");
}

/// In the supper the chips are fried in three loads to the last minute, and
/// only they can be late: the roast is ready at half past five.
#[test]
fn the_worst_threat_is_the_step_without_any_room() {
    let (evening, plan) = supper();
    let odds = forecast(&evening, &Situation::default(), &plan, 3, 2_000);
    let service = &odds.services[0];
    let worst = service.threats.first().expect("a threat");
    assert_eq!((worst.dish, worst.step), (1, 1));
    assert!(service.dishes[0].on_time == 2_000 && service.dishes[1].on_time == service.on_time);
}

/// The roast is made the day before and heated again: the chance of the day does not hang on when
/// that is done, nor on the day's own hours for it.
#[test]
fn what_is_made_the_day_before_is_not_played_on_the_day() {
    let evening = evening_with(|party, _, recipes| {
        party["dishes"][0]["day_before"] = serde_json::json!(true);
        recipes[0]["reheat"] = serde_json::json!({
            "ways": [{"station": "oven", "minutes": 30, "at_c": 160}],
            "hands": {"start_minutes": 2, "end_minutes": 2}, "cookware": [{"kind": "tin"}]});
    });
    let budget = Budget { seed: 1, rounds: 60, stop: &|| false };
    let plan = plan_ahead(&evening, &budget, &mut |_| ()).expect("a plan");
    let of_eve = |dish: usize, step: usize| evening.sheets[dish].recipe.steps[step].day_before;
    let net = Net::new(&evening, &Situation::default(), &plan);
    let mut seen = 0;
    for job in net.jobs.iter().filter(|j| of_eve(j.key.dish, j.key.step)) {
        let block = plan.blocks.iter().find(|b| b.key == job.key).expect("a block");
        assert_eq!(job.stage, Stage::Done(block.end * M), "{:?}", job.key);
        seen += 1;
    }
    assert_eq!(seen, 4, "season, roast, rest, cool");
    let odds = forecast(&evening, &Situation::default(), &plan, 1, 2_000);
    let threats = &odds.services[0].threats;
    assert!(threats.iter().all(|t| !of_eve(t.dish, t.step)), "{threats:?}");
}

/// Three dishes, one planned late: dropped it is in nobody's way; served it was ready, whatever
/// the plan says; and what was marked of it counts for more than what was planned.
#[test]
fn a_dish_that_is_off_or_served_counts_as_it_was() {
    let (evening, mut plan) = supper();
    let due = evening.service_minute(0);
    for dish in &mut plan.services[0].dishes {
        if dish.0 == 2 {
            (dish.1, dish.2) = (due + 30, due + 30);
        }
    }
    let sure = |situation: &Situation| {
        let odds = forecast(&evening, situation, &plan, 3, 500);
        odds.services[0].dishes.iter().map(|d| (d.dish, d.on_time)).collect::<Vec<_>>()
    };
    let dropped = Situation { dropped: [2].into(), ..Situation::default() };
    assert_eq!(sure(&dropped).iter().map(|d| d.0).collect::<Vec<_>>(), [0, 1]);
    let now = Some(due - 5);
    let served = Situation { now, served: [2].into(), ..Situation::default() };
    assert!(sure(&served).contains(&(2, 500)));
    let mut late = Situation { now: Some(due + 9), ..served };
    let done = |end| {
        let station = "board".to_owned();
        Begun::Done { start: end - 4, end, way: 0, station, left_out: false }
    };
    late.begun.insert(StepKey { dish: 2, step: 1, load: 0 }, done(due + 8));
    assert!(sure(&late).contains(&(2, 0)));
}

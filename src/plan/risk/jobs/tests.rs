//! Blocks of a plan read as jobs: whose hands, what they are slow with, what is left of what runs.

use super::*;
use crate::plan::sample::{self, evening, two_cooks};

/// A block of a dish's step at a station.
fn block(dish: usize, step: usize, station: &str, start: Minute, end: Minute) -> Block {
    let plain = sample::block(StepKey { dish, step, load: 0 }, station, (start, end));
    let cook = Some("kim".into());
    Block { cook, hands_start: 2, hands_end: 1, hands_between: 20, ..plain }
}

// Of the sample supper with two cooks: stations are 0 to 4 (the oven first, the board fourth), cooks come after them.

#[test]
fn a_block_asks_for_the_hands_of_its_cook_and_is_slow_with_its_oven_or_its_cook() {
    let evening = two_cooks();
    let roast = ahead(&evening, &block(0, 1, "oven", 100, 160));
    assert_eq!((roast.floor, roast.stage), (6_000, Stage::Ahead));
    assert_eq!(roast.spread, Spread::new(50.0, 60.0, 72.0));
    assert_eq!((roast.factor, roast.cook, roast.by_hand), (Some(0), Some(0), None));
    assert_eq!((roast.head, roast.tail, roast.look_in), (120, 60, 20));
    // Without a cook nobody is asked for.
    let alone = ahead(&evening, &Block { cook: None, ..block(0, 1, "oven", 100, 160) });
    assert_eq!((alone.factor, alone.cook, alone.by_hand), (Some(0), None, None));
    assert_eq!((alone.head, alone.tail, alone.look_in), (0, 0, 0));
    // By hand: all of the cook, or most; at the board only the cook is slow.
    let cut = Block { hands_between: 100, cook: Some("lou".into()), ..block(1, 0, "board", 0, 12) };
    let cut = ahead(&evening, &cut);
    assert_eq!((cut.factor, cut.cook, cut.by_hand, cut.look_in), (Some(6), Some(1), Some(100), 0));
    let half = ahead(&evening, &Block { hands_between: 60, ..block(1, 0, "board", 0, 12) });
    assert_eq!((half.factor, half.by_hand, half.look_in), (Some(5), Some(60), 0));
    let short = ahead(&evening, &block(1, 0, "board", 0, 3));
    assert_eq!(short.by_hand, Some(100), "its start and its end are all of it");
    // At the board by itself nothing else is slow with it.
    let rest = ahead(&evening, &Block { cook: None, ..block(0, 2, "board", 0, 10) });
    assert_eq!((rest.factor, rest.by_hand), (None, None));
    assert!(roast.salt != cut.salt && cut.salt == short.salt);
}

/// 50 to 72 minutes, most likely 60, at the most 60 + 12 x 1.809 = 81.7; begun at 10. Expected to take: 60 until
/// they have passed; then a third of what is left of the slope more, rounded up (after 60: 7.2, 8; after 75: 2.2, 3); and at
/// least a minute. A minute and a half beyond that is the cook's own word.
#[test]
fn what_runs_goes_by_its_own_figures_until_the_cook_says_otherwise() {
    let evening = evening();
    let job = ahead(&evening, &block(0, 1, "oven", 10, 70));
    for (elapsed, expected) in [(0, 60), (30, 60), (59, 60), (60, 68), (75, 78), (90, 91)] {
        let now = 10 + elapsed;
        let ran = |minutes: Minute| {
            let mut job = job.clone();
            runs(&mut job, (10, 10 + minutes, now), &mut []);
            (job.floor, job.stage, job.spread)
        };
        let as_it_is = (600, Stage::Runs(f64::from(elapsed)), job.spread);
        assert_eq!(ran(expected), as_it_is, "{elapsed}");
        assert_eq!(ran(expected + 1), as_it_is, "{elapsed}");
        let left = f64::from(expected + 2 - elapsed);
        let said = (seconds(now), Stage::Runs(0.0), job.spread.scaled_to(left));
        assert_eq!(ran(expected + 2), said, "{elapsed}");
    }
}

#[test]
fn minutes_that_the_cook_has_said_vary_as_the_recipes_do() {
    // Half of the likely minutes: half of either side.
    let spread = Spread::new(50.0, 60.0, 72.0).scaled_to(30.0);
    for (u, minutes) in [(0.1, 25.0), (0.5, 30.0), (0.9, 36.0)] {
        assert!((spread.quantile(u) - minutes).abs() < 1e-9, "{u}");
    }
    // A side that never varies stays so; the other one varies.
    assert!(Spread::new(7.0, 7.0, 9.0).varies() && Spread::new(5.0, 7.0, 7.0).varies());
}

#[test]
fn what_is_done_and_what_runs_tell_how_slow_an_oven_is_and_what_was_left_out_does_not() {
    let mut evening = evening();
    // Of what takes two minutes an end after none would tell.
    let minutes = &mut evening.sheets[2].recipe.steps[0].ways[0].minutes;
    (minutes.low, minutes.likely, minutes.high) = (1, 2, 4);
    // Out of order: chips at 100, the roast from 10, the dip (left out) at 20.
    let plan = Plan {
        blocks: vec![
            block(1, 1, "fryer", 100, 109),
            block(2, 0, "fryer", 20, 26),
            block(0, 1, "oven", 10, 70),
            block(0, 2, "oven", 70, 80),
        ],
        ..Plan::default()
    };
    let done = |start, end, left_out| {
        let station = "oven".into();
        Begun::Done { start, end, way: 0, station, left_out }
    };
    let (cook, setting_c) = (None, None);
    let runs =
        Begun::Running { start: 82, end: 92, way: 0, station: "oven".into(), cook, setting_c };
    let key = |dish, step| StepKey { dish, step, load: 0 };
    let situation = Situation {
        now: Some(93),
        begun: [
            (key(0, 1), done(12, 82, false)),
            (key(0, 2), runs),
            (key(2, 0), done(30, 30, true)),
        ]
        .into(),
        ..Situation::default()
    };
    let (jobs, factors) = jobs(&evening, &situation, &plan);
    let order: Vec<StepKey> = jobs.iter().map(|j| j.key).collect();
    assert_eq!(order, [key(0, 1), key(2, 0), key(0, 2), key(1, 1)]);
    assert_eq!((jobs[0].floor, jobs[0].stage), (12 * 60, Stage::Done(82 * 60)));
    assert_eq!((jobs[2].floor, jobs[2].stage), (82 * 60, Stage::Runs(11.0)));
    // What is ahead begins by its plan, or now.
    assert_eq!((jobs[3].floor, jobs[3].stage), (100 * 60, Stage::Ahead));
    let later = Situation { now: Some(104), ..situation.clone() };
    assert_eq!(super::jobs(&evening, &later, &plan).0[3].floor, 104 * 60);
    let mut oven = Factor::default();
    oven.took(&Spread::new(50.0, 60.0, 72.0), 70.0);
    oven.lasts(&Spread::new(10.0, 10.0, 15.0), 11.0);
    oven.settle();
    assert!(oven != Factor::default());
    assert_eq!(factors[0], oven);
    assert!(factors[1..].iter().all(|f| *f == Factor::default()), "{factors:?}");
}

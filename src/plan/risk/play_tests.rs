//! More evenings by hand-made plans: edges of hands and hours, and who is said to have held up what.

use super::jobs::{Job, Stage};
use super::net::Arc as Edge;
use super::play::By;
use super::spread::Spread;
use super::tests::{ALL_DAY, M, after, by_hand, by_itself, job, play};

#[test]
fn what_waits_for_one_pair_of_hands_goes_in_the_plans_order() {
    let jobs = vec![
        by_hand(0, 0, 30.0, 100),
        by_hand(1, 5, 10.0, 100),
        by_hand(2, 6, 20.0, 100),
        by_hand(3, 7, 30.0, 100),
    ];
    let (ends, by) = play(jobs, &[], &ALL_DAY);
    assert_eq!(ends, [30, 40, 60, 90]);
    assert_eq!(by, [By::Plan, By::End(0), By::End(1), By::End(2)]);
}

#[test]
fn what_asks_for_no_hands_at_its_start_waits_for_none() {
    // Out of the oven by the alarm; into the fridge while the chopping goes on.
    let jobs = vec![by_hand(0, 0, 30.0, 100), by_itself(1, 5, 10.0, 0, 0)];
    assert_eq!(play(jobs, &[], &ALL_DAY).0, [30, 15]);
    // Two minutes at the roast; what begins beside it without hands does not set them free.
    let jobs =
        vec![by_itself(0, 0, 30.0, 2, 0), by_itself(1, 1, 30.0, 0, 0), by_hand(2, 1, 10.0, 100)];
    let (ends, by) = play(jobs, &[], &ALL_DAY);
    assert_eq!(ends, [30, 31, 12]);
    assert_eq!(by[2], By::Start(0));
}

#[test]
fn nothing_takes_less_than_its_start_and_its_end() {
    let jobs = vec![by_itself(0, 0, 1.0, 2, 3)];
    assert_eq!(play(jobs, &[], &ALL_DAY).0, [5]);
    // What ran before the first moment has its start behind it: the chopping is not held up.
    let mut ran = by_itself(0, 0, 30.0, 4, 0);
    ran.stage = Stage::Runs(10.0);
    let jobs = vec![ran, by_hand(1, 0, 10.0, 100)];
    assert_eq!(play(jobs, &[], &ALL_DAY).0, [30, 10]);
}

#[test]
fn who_looks_in_no_longer_is_as_fast_as_before() {
    let mut simmer = by_itself(0, 0, 60.0, 0, 0);
    simmer.look_in = 10;
    let jobs = vec![simmer, by_hand(1, 5, 18.0, 100), by_hand(2, 70, 18.0, 100)];
    assert_eq!(play(jobs, &[], &ALL_DAY).0, [60, 25, 88]);
}

#[test]
fn what_is_done_by_hand_goes_on_by_what_looking_in_leaves_of_the_cook() {
    let simmer = |n, at, minutes, look_in| {
        let mut simmer = by_itself(n, at, minutes, 0, 0);
        simmer.look_in = look_in;
        simmer
    };
    // From its ninth minute on for a tenth of the time: nine minutes of work take ten.
    let jobs = vec![by_hand(0, 0, 18.0, 100), simmer(1, 9, 60.0, 10)];
    assert_eq!(play(jobs, &[], &ALL_DAY).0, [19, 69]);
    // A fifth of the time until 10; then eight are left of sixteen. What waits for the hands begins sooner too.
    let jobs = vec![simmer(0, 0, 10.0, 20), by_hand(1, 0, 16.0, 100), by_hand(2, 1, 10.0, 100)];
    let (ends, by) = play(jobs, &[], &ALL_DAY);
    assert_eq!(ends, [10, 18, 28]);
    assert_eq!(by[2], By::End(1));
    // Two halves of a cook who has a fifth less, until one is done.
    let jobs = vec![simmer(0, 0, 60.0, 20), by_hand(1, 0, 16.0, 50), by_hand(2, 0, 32.0, 50)];
    assert_eq!(play(jobs, &[], &ALL_DAY).0, [60, 20, 36]);
    // Both hands at the roast for two minutes, and looking in for a tenth from then on.
    let mut roast = by_itself(1, 9, 60.0, 2, 0);
    roast.look_in = 10;
    assert_eq!(play(vec![by_hand(0, 10, 18.0, 100), roast], &[], &ALL_DAY).0, [31, 69]);
    let mut roast = by_itself(0, 9, 60.0, 2, 0);
    roast.look_in = 10;
    assert_eq!(play(vec![roast, by_hand(1, 0, 18.0, 100)], &[], &ALL_DAY).0, [69, 21]);
    // More than four fifths are never taken.
    let jobs = vec![simmer(0, 0, 90.0, 50), simmer(1, 0, 90.0, 50), by_hand(2, 0, 10.0, 100)];
    assert_eq!(play(jobs, &[], &ALL_DAY).0, [90, 90, 50]);
}

/// What could begin sooner waits behind what comes first by the plan and can begin from that moment on: the second
/// job waits for the first one, which has the hands; the third could have been begun by hand since 5.
#[test]
fn hands_that_become_free_go_to_what_the_plan_has_first() {
    let jobs = vec![by_hand(0, 0, 10.0, 100), by_hand(1, 3, 20.0, 100), by_hand(2, 5, 30.0, 50)];
    let (ends, by) = play(jobs, &[(0, after(1, 0))], &ALL_DAY);
    assert_eq!(ends, [10, 30, 60]);
    assert_eq!(by, [By::Plan, By::End(0), By::End(1)]);
}

#[test]
fn a_cook_is_there_from_the_first_minute_of_the_hours() {
    let jobs = vec![by_hand(0, 60, 10.0, 100), by_hand(1, 100, 10.0, 100)];
    // Gone at 100 until 200: the last minute is the one before.
    assert_eq!(play(jobs, &[], &[(5, 20), (60, 100), (200, 300)]).0, [70, 210]);
}

#[test]
fn what_waits_for_a_start_follows_it_and_a_tie_goes_to_the_plan() {
    let start = |to| Edge { to, lag: 3 * M, from_end: false };
    let jobs = vec![job(0, 0, 30.0), job(1, 0, 10.0), job(2, 30, 10.0)];
    let (ends, by) = play(jobs, &[(0, start(1)), (0, after(2, 0))], &ALL_DAY);
    assert_eq!(ends, [30, 13, 40]);
    assert_eq!(by, [By::Plan, By::Start(0), By::Plan]);
}

/// 30 to 55 minutes, most likely 40: at the most 40 + 15 x 1.809 = 67.1.
#[test]
fn what_has_run_longer_than_ever_ends_within_two_minutes() {
    let ran = |elapsed: f64, spread: Spread| {
        let job = Job { stage: Stage::Runs(elapsed), spread, ..job(0, 0, 0.0) };
        play(vec![job], &[], &ALL_DAY).0[0]
    };
    let spread = Spread::new(30.0, 40.0, 55.0);
    assert!((70..=72).contains(&ran(70.0, spread)), "{}", ran(70.0, spread));
    assert!((60..=67).contains(&ran(60.0, spread)), "{}", ran(60.0, spread));
    // What has just begun takes what it takes, and what never varies too.
    assert!((21..=67).contains(&ran(0.0, spread)));
    assert_eq!(ran(0.0, Spread::new(5.0, 5.0, 5.0)), 5);
}

//! All starts of one task beside what stands: the judge allows just those that are offered, and their prices differ by
//! what he says they cost.

use super::super::insert::take_out;
use super::super::model::{Model, NONE};
use super::super::offer::{Counting, Day, NEVER, Offer};
use super::super::state::State;
use super::{judged, later, some, whole};
use crate::plan::problem::Problem;

/// What the schedule costs with a task at a start, whoever does it and however its dish then waits.
fn least_with(problem: &Problem, state: &State, t: usize, s: i32) -> Option<i64> {
    let m = state.m;
    let step = m.p.tasks[t].step;
    let hands = !m.p.steps[step].modes[state.mode[step]].hands.is_empty();
    let cooks = if hands { m.p.steps[step].cooks.clone() } else { vec![NONE] };
    let mut all = Vec::new();
    for cook in cooks {
        let mut with = state.clone();
        with.place(t, s, cook);
        let Some(&d) = m.dishes_of[step].first() else {
            all.extend(judged(problem, &with));
            continue;
        };
        let dish = &m.p.dishes[d];
        let ways = std::iter::once(NONE).chain(0..dish.holds.len());
        for hold in ways.filter(|&h| dish.held.is_none_or(|held| held == h)) {
            let mut with = with.clone();
            with.settle(d, hold);
            all.extend(judged(problem, &with));
        }
    }
    all.into_iter().min()
}

/// A task that is taken out for it: done in one load, no limit from it to the service of its own dish: what the task itself
/// is in the way of is seen only when it stands.
fn may_be_asked(state: &State, t: usize) -> bool {
    let m = state.m;
    let step = m.p.tasks[t].step;
    let own = |l: &crate::plan::problem::Limit| l.from.task == t;
    let free = m.dishes_of[step].iter().all(|&d| {
        let dish = &m.p.dishes[d];
        !dish.straight.iter().chain(dish.holds.iter().flat_map(|h| &h.limits)).any(own)
    });
    m.p.tasks[t].fixed.is_none()
        && m.loads(step, state.mode[step]).len() == 1
        && free
        && state.active(t)
}

/// Is its dish made and kept in one oven? Then too much is offered: the wait is looked at without the load that comes before
/// it, and between the two the dial is not turned in no time. What does not stand after all is put elsewhere.
fn in_one_oven(state: &State, t: usize) -> bool {
    let m = state.m;
    let step = m.p.tasks[t].step;
    let made_in = m.p.steps[step].modes[state.mode[step]].oven.map(|o| o.oven);
    let mut holds = m.dishes_of[step].iter().flat_map(|&d| &m.p.dishes[d].holds);
    made_in.is_some() && holds.any(|h| h.oven.map(|o| o.oven) == made_in)
}

#[test]
fn what_is_offered_is_what_the_judge_allows_at_his_prices() {
    let (mut yes, mut no, mut priced, mut strict, mut turned) = (0, 0, 0, 0, 0);
    for seed in 1..=400 {
        let problem = later(&some(seed), [0, 700][seed as usize % 2]);
        let m = Model::new(&problem);
        let Some(state) = whole(&m, seed) else { continue };
        for t in (0..m.p.tasks.len()).filter(|&t| may_be_asked(&state, t)) {
            let mut state = state.clone();
            let step = m.p.tasks[t].step;
            take_out(&mut state, step);
            let (key, mut offer, mut day) =
                ((t, state.mode[step]), Offer::default(), Day::default());
            day.read(&state);
            let mut offered = vec![None; m.h as usize];
            if offer.find(&state, key, (-9, 99), true) {
                offer.price(&state, &day, key, Counting { day: true, dish: true });
                for s in offer.runs.iter().flat_map(|r| r.0..r.1) {
                    let cost = offer.cost[(s - offer.lo) as usize];
                    offered[s as usize] = (cost < NEVER).then_some(cost);
                }
            }
            let hands = !m.p.steps[step].modes[state.mode[step]].hands.is_empty();
            let one_cook = !hands || m.p.steps[step].cooks.len() == 1;
            let mut apart = None;
            for s in 0..m.h {
                let cost = least_with(&problem, &state, t, s);
                let Some(price) = offered[s as usize] else {
                    no += 1;
                    strict += i32::from(cost.is_some());
                    continue;
                };
                let one_oven = in_one_oven(&state, t);
                let Some(cost) = cost else {
                    assert!(one_oven, "seed {seed}: task {t} at {s} is offered and breaks a rule");
                    turned += 1;
                    continue;
                };
                yes += 1;
                if one_cook && !one_oven {
                    // Of equals the later start is to be had.
                    let whole = cost * m.scale + i64::from(m.h - s);
                    let apart = *apart.get_or_insert(whole - price);
                    assert_eq!(apart, whole - price, "seed {seed}: task {t} at {s}");
                    priced += 1;
                }
            }
        }
    }
    println!(
        "{yes} offered, {priced} priced, {turned} that do not stand, {no} not, {strict} of them allowed"
    );
    assert!(
        turned > 0,
        "no start is offered any more that does not stand: then `in_one_oven` can go"
    );
    assert!(yes > 500 && priced > 300 && no > 1000);
    assert_eq!(strict, 0, "not offered, and yet allowed");
}

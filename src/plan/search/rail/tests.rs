//! Rough schedules: what is put in and taken out again leaves all as it was, and what they say stands as it is.

use super::{Rail, Standing};
use crate::plan::problem::Problem;
use crate::plan::search::insert::Inserter;
use crate::plan::search::model::{Model, NONE};
use crate::plan::search::rng::Rng;
use crate::plan::search::state::State;
use crate::plan::search::tests::kitchens::{Wish, party};
use crate::plan::search::tests::{NEVER, judged, some, waits_too_long};
use crate::plan::search::{begin, price};

/// All that stands, in words; in which order uses of an oven were put in says nothing.
fn told(now: &Standing) -> String {
    let mut heats: Vec<String> = now.heats.iter().flatten().map(|h| format!("{h:?}")).collect();
    heats.sort();
    format!("{:?} {heats:?} {:?} {:?}", now.board, now.stays, now.settled)
}

fn cool(p: &mut Problem) {
    for mode in p.steps.iter_mut().flat_map(|s| &mut s.modes) {
        mode.oven = None;
    }
    for hold in p.dishes.iter_mut().flat_map(|d| &mut d.holds) {
        (hold.oven, hold.setting_c) = (None, None);
    }
    p.tasks.iter_mut().filter_map(|t| t.fixed.as_mut()).for_each(|f| f.setting_c = None);
}

#[test]
fn put_in_and_taken_out_is_as_before() {
    let mut rng = Rng::new(6);
    let (mut puts, mut vain, mut wholes, mut broken) = (0, 0, 0, 0);
    for seed in 1..=300 {
        let mut problem = some(seed);
        if seed % 2 == 0 {
            cool(&mut problem);
        }
        let m = Model::new(&problem);
        if begin::windows_clash(&m).is_some() {
            continue;
        }
        let Some(mut rail) = Rail::new(&m, &State::new(&m)) else { continue };
        let bare = rail.now.clone();
        let open = rail.open.clone();
        // Where a wait may be too long something may have been pulled in vain.
        let waits = rail.before.iter().flatten().any(|tie| tie.most < i32::MAX);
        for _ in 0..12 {
            for _ in 0..8 {
                let t = open[rng.below(open.len())];
                let step = m.p.tasks[t].step;
                if rng.chance(15) && m.modes[step].len() > 1 {
                    rail.set_mode(step, m.modes[step][rng.below(m.modes[step].len())]);
                } else if rail.now.laid.stands(t) {
                    if rng.chance(40) {
                        rail.lift(t);
                    }
                } else if rail.now.laid.active(t)
                    && !rail.after[t].iter().any(|tie| rail.now.laid.stands(tie.other))
                {
                    rail.wanted[t] = rng.below(8) as i32;
                    let before = told(&rail.now);
                    if rail.put(t) {
                        puts += 1;
                    } else if !rail.broken && m.p.stays.is_empty() && !waits {
                        assert_eq!(told(&rail.now), before, "seed {seed}: put in vain");
                        vain += 1;
                    }
                }
                if rail.broken {
                    broken += 1;
                    rail.now.clone_from(&bare);
                    rail.broken = false;
                }
            }
            let whole = open.iter().all(|&t| rail.now.laid.placed[t] || !rail.now.laid.active(t))
                && rail.now.settled.iter().all(|&s| s);
            if whole && seed % 2 == 0 {
                let rough = rail.schedule();
                let mut state = State::new(&m);
                state.mode.clone_from(&rough.mode);
                let left = Inserter::default().keep_what_fits(&mut state, &rough);
                assert!(left.is_empty(), "seed {seed}: {left:?} stand where they do not fit");
                assert_eq!(state.start, rough.start, "seed {seed}");
                assert_eq!(price::rank(&state), price::rank(&rail.now.laid), "seed {seed}");
                assert!(judged(&problem, &state).is_some(), "seed {seed}");
                wholes += 1;
            }
        }
        for t in open {
            if rail.now.laid.stands(t) {
                rail.lift(t);
            }
        }
        assert_eq!(told(&rail.now), told(&bare), "seed {seed}");
        assert!(rail.now.laid.hold.iter().zip(&bare.laid.hold).all(|(a, b)| a == b || *a == NONE));
    }
    assert!(
        puts > 2000 && vain > 20 && wholes > 20,
        "{puts} put in, {wholes} whole, {broken} broken"
    );
}

/// One after the other, each as soon as it fits: nothing could stand a minute sooner with all else where it is.
#[test]
fn each_stands_as_soon_as_it_fits() {
    let (mut stand, mut sooner) = (0, 0);
    for seed in 1..=300 {
        let mut problem = some(seed);
        cool(&mut problem);
        // Nothing is pulled and nobody waits: what is put in stays where it was put.
        problem.lags.iter_mut().for_each(|l| l.most = i32::MAX);
        for d in &mut problem.dishes {
            (d.late_price, d.due) = (1, problem.start);
            d.straight.clear();
            d.holds.clear();
            d.held = None;
        }
        problem.stays.clear();
        let m = Model::new(&problem);
        if begin::windows_clash(&m).is_some() {
            continue;
        }
        let Some(mut rail) = Rail::new(&m, &State::new(&m)) else { continue };
        for t in rail.open.clone() {
            if !rail.now.laid.active(t) {
                continue;
            }
            let last = rail.before[t].iter().map(|tie| tie.other).all(|o| rail.now.laid.stands(o));
            rail.wanted[t] = (seed % 3) as i32;
            let before = rail.clone();
            if !rail.put(t) || !last {
                break;
            }
            let at = rail.now.laid.start[t];
            if at > m.late[t] {
                // What comes after it has no room any more: that is seen when it is put in.
                break;
            }
            stand += 1;
            // The same by the other code: the bits of a state.
            let mut state = State::new(&m);
            state.mode.clone_from(&before.now.laid.mode);
            for o in before.open.iter().copied().filter(|&o| before.now.laid.stands(o)) {
                state.place(o, before.now.laid.start[o], before.now.laid.cook[o]);
            }
            let mut offer = crate::plan::search::offer::Offer::default();
            let mode = state.mode[m.p.tasks[t].step];
            let fits = offer.find(&state, (t, mode), (rail.wanted[t], 99), false);
            assert!(fits, "seed {seed}: task {t} at {at}");
            assert!(
                offer.runs.iter().any(|r| r.0 <= at && at < r.1),
                "seed {seed}: task {t} at {at}"
            );
            sooner += i32::from(offer.runs[0].0 < at);
        }
    }
    println!("{stand} put in, {sooner} later than need be");
    assert!(stand > 300 && sooner * 20 <= stand, "{stand} put in, {sooner} later than need be");
}

/// Every better order that is found is a schedule that stands as it is, at the cost that was said, where no oven is asked.
#[test]
fn what_orders_say_stands_as_it_is() {
    let mut better = 0;
    let kitchen =
        |seed: u64| party(Wish { steps: 20, cooks: 1 + seed as usize % 2, ovens: 1, seed });
    let all = (1..=160).map(some).chain((1..=3).map(kitchen));
    for (n, mut problem) in all.enumerate() {
        cool(&mut problem);
        let m = Model::new(&problem);
        let mut inserter = Inserter::default();
        if begin::windows_clash(&m).is_some() || waits_too_long(&m.p) {
            continue;
        }
        let begun = begin::first(&m, &mut inserter, None, &mut Rng::new(1), 6, NEVER, &mut |_| ());
        let Ok(begun) = begun else { continue };
        let orders = super::Orders::new(&State::new(&m), &begun.schedule());
        let Some(mut orders) = orders.filter(|o| !o.is_over()) else { continue };
        let mut rng = Rng::new(n as u64);
        for _ in 0..if n < 160 { 40 } else { 600 } {
            if !orders.round(&mut rng) {
                continue;
            }
            let rough = orders.schedule();
            let mut state = State::new(&m);
            state.mode.clone_from(&rough.mode);
            let left = inserter.keep_what_fits(&mut state, &rough);
            assert!(left.is_empty(), "{n}: {left:?} stand where they do not fit");
            assert_eq!(price::rank(&state), orders.best_rank(), "{n}");
            better += 1;
        }
    }
    assert!(better > 15, "{better}");
}

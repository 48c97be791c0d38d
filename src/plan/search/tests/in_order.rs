//! The best minutes of an order against trying every set of tasks a minute earlier and later in that order.

use std::iter::once;

use super::super::model::Model;
use super::super::rng::Rng;
use super::super::timing;
use super::{a_minute_away, later, some, starts, whole};
use crate::plan::judge::{judge, serving};
use crate::plan::problem::{Point, Problem, Schedule};

/// From when to when something is taken: the number of its resource, or past those its oven.
type Stretch = (usize, i32, i32);

/// All that is taken of resources and ovens, and what is closed, be it for no minute.
fn stretches(p: &Problem, s: &Schedule) -> Vec<Stretch> {
    let mut all = Vec::new();
    let ovens = p.resources.len();
    for (t, at) in starts(p, s) {
        let mode = &p.steps[p.tasks[t].step].modes[s.mode[p.tasks[t].step]];
        let (end, cook) = (p.end_of(s, t), s.cook[t]);
        all.extend(mode.uses.iter().map(|u| (u.resource, at, end)));
        all.extend(mode.oven.iter().map(|u| (ovens + u.oven, at, end)));
        all.extend(mode.hands.iter().filter_map(|h| Some((cook?, at + h.from, at + h.to))));
    }
    for (d, dish) in p.dishes.iter().enumerate() {
        let Some(hold) = s.hold[d].map(|h| &dish.holds[h]) else { continue };
        let wait = serving(p, s, d);
        all.extend(hold.uses.iter().map(|u| (u.resource, wait.out, wait.served)));
        all.extend(hold.oven.iter().map(|u| (ovens + u.oven, wait.out, wait.served)));
    }
    let at = |q: &Point| if q.end { p.end_of(s, q.task) } else { s.start[q.task] };
    for stay in &p.stays {
        let done = |q: &&Point| p.active(s, q.task);
        let from = stay.from.iter().filter(done).map(at).min();
        let to = stay.to.iter().filter(done).map(at).max();
        let (Some(from), Some(to)) = (from, to) else { continue };
        let through = stay.through_hold.iter().filter(|&&(d, h)| s.hold[d] == Some(h));
        let to = through.map(|&(d, _)| serving(p, s, d).served).fold(to, i32::max);
        all.push((stay.uses.resource, from, to));
    }
    for (r, resource) in p.resources.iter().enumerate() {
        all.extend(resource.closed.iter().map(|&(from, to)| (r, from, to)));
    }
    all
}

/// Does what came after something else still come after it, and does what takes no time still take none?
fn in_order(before: &[Stretch], now: &[Stretch]) -> bool {
    let follows = |(a, b): (&Stretch, &Stretch)| a.0 == b.0 && a.2 <= b.1;
    let all = || before.iter().zip(now);
    all().all(|(b, n)| b.1 < b.2 || n.1 >= n.2)
        && all().all(|(a, x)| all().all(|(b, y)| !follows((a, b)) || follows((x, y))))
}

/// The least that it costs with some open tasks a minute earlier or later together, in the same order.
fn beside(p: &Problem, s: &Schedule) -> Option<i64> {
    let order = stretches(p, s);
    let kept = a_minute_away(p, s).filter(|moved| in_order(&order, &stretches(p, moved)));
    kept.filter_map(|moved| judge(p, &moved).ok()).map(|cost| cost.total()).min()
}

/// What the search found for a problem, if the judge lets it stand, and the same at other minutes.
fn found(p: &Problem, m: &Model, seed: u64) -> Vec<Schedule> {
    let Some(state) = whole(m, seed) else { return Vec::new() };
    let (plan, mut rng) = (m.outward(&state.schedule()), Rng::new(seed));
    let poor = (0..60).map(|_| {
        let mut poor = plan.clone();
        let open = (0..p.tasks.len()).filter(|&t| p.tasks[t].fixed.is_none());
        open.for_each(|t| poor.start[t] += rng.below(9) as i32 - 3);
        poor
    });
    once(plan.clone()).chain(poor).filter(|s| judge(p, s).is_ok()).take(2).collect()
}

/// Whatever its minutes are, a schedule that keeps every rule gets others that keep every rule, cost no more and, asked
/// once more (a wait may have come to nothing, and is in nobody's way then), are the best of their order.
#[test]
fn in_its_order_nothing_is_cheaper_a_minute_earlier_or_later() {
    let (mut timed, mut better) = (0, 0);
    for seed in 1..=4000 {
        let mut problem = later(&some(seed), [0, 700][seed as usize % 2]);
        // A link that breaks costs once: by the minute it is only near that.
        problem.links.clear();
        let m = Model::new(&problem);
        for was in found(&problem, &m, seed) {
            let cost = |s: &Schedule| match judge(&problem, s) {
                Ok(cost) => cost.total(),
                Err(faults) => panic!("seed {seed}: {faults:?}"),
            };
            let timely = |s: &Schedule| {
                let mut timely = s.clone();
                let best = timing::best(&m, &m.inward(s)).expect("its order can be kept");
                timely.start = best.iter().map(|at| at + m.shift).collect();
                timely
            };
            let once = timely(&was);
            assert!(cost(&once) <= cost(&was), "seed {seed}");
            let now = timely(&once);
            let least = cost(&now);
            assert!(beside(&problem, &now).is_none_or(|c| c >= least), "seed {seed}: {now:?}");
            timed += 1;
            better += i32::from(least < cost(&was));
        }
    }
    println!("{timed} timed, {better} of them better for it");
    assert!(timed > 1500 && better > 300, "{timed} {better}");
}

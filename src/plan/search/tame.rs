//! Makes any problem safe to search: checks its indices and cuts its numbers.

use super::clash::{Clash, ClashKind};
use super::model::MOST_MINUTES;
use crate::plan::problem::{Lag, Limit, Mode, Point, Problem};

/// Minutes are cut to this either way (8 years), so that sums of a few stay in
/// 32 bits and prices of them in 64.
const FAR: i32 = 1 << 22;
/// Prices are cut to this.
const DEAR: i64 = 1 << 30;

/// Are all indices within their lists, and is every step's list of tasks its own?
///
/// # Errors
/// A clash that names the first thing that is out of place.
pub fn sound(p: &Problem) -> Result<(), Clash> {
    let bad = |what: &str| Err(Clash::new(ClashKind::Broken(what.to_owned())));
    for (i, s) in p.steps.iter().enumerate() {
        if s.modes.is_empty() {
            return Err(Clash::new(ClashKind::NoMode { step: i }));
        }
        let last = s.first_task.checked_add(s.task_count);
        if last.is_none_or(|l| l > p.tasks.len()) {
            return bad("a step's tasks");
        }
        if s.cooks.iter().any(|&c| c >= p.resources.len()) {
            return bad("a step's cook");
        }
        if s.modes.iter().any(|m| !sound_mode(p, m, s.task_count, s.cooks.is_empty())) {
            return bad("a step's mode");
        }
        let own = p.tasks[s.tasks()].iter().enumerate();
        if own.into_iter().any(|(load, t)| t.step != i || t.load != load) {
            return bad("a step's tasks");
        }
    }
    let in_steps: usize = p.steps.iter().map(|s| s.task_count).sum();
    if in_steps != p.tasks.len() {
        return bad("tasks without a step");
    }
    for t in &p.tasks {
        if t.fixed.and_then(|f| f.cook).is_some_and(|c| c >= p.resources.len()) {
            return bad("a fixed task's cook");
        }
    }
    if sound_rest(p) { Ok(()) } else { bad("a lag, stay, dish, link or anchor") }
}

fn sound_mode(p: &Problem, m: &Mode, tasks: usize, no_cook: bool) -> bool {
    m.loads <= tasks
        && m.uses.iter().all(|u| u.resource < p.resources.len())
        && m.oven.is_none_or(|o| o.oven < p.ovens.len())
        && (m.hands.is_empty() || !no_cook)
        && m.hands.iter().all(|h| h.from >= 0 && h.to >= h.from)
        && m.hands.windows(2).all(|w| w[0].to <= w[1].from)
}

fn sound_rest(p: &Problem) -> bool {
    let (tasks, steps) = (p.tasks.len(), p.steps.len());
    let point = |q: &Point| q.task < tasks;
    let limits = |l: &[Limit]| l.iter().all(|l| point(&l.from));
    p.lags.iter().all(|l| point(&l.from) && point(&l.to))
        && p.stays.iter().all(|s| {
            s.uses.resource < p.resources.len()
                && s.from.iter().chain(&s.to).all(point)
                && s.through_hold
                    .iter()
                    .all(|&(d, h)| p.dishes.get(d).is_some_and(|dish| h < dish.holds.len()))
        })
        && p.dishes.iter().all(|d| {
            d.last_step < steps
                && limits(&d.straight)
                && d.held.is_none_or(|h| h < d.holds.len())
                && d.holds.iter().all(|h| {
                    limits(&h.limits)
                        && h.uses.iter().all(|u| u.resource < p.resources.len())
                        && h.oven.is_none_or(|o| o.oven < p.ovens.len())
                })
        })
        && p.links.iter().all(|l| l.from_step < steps && l.to_step < steps)
        && p.anchors.iter().all(|a| {
            a.task < tasks
                && a.mode.is_none_or(|(m, _)| m < p.steps[p.tasks[a.task].step].modes.len())
        })
}

fn near(minute: i32) -> i32 {
    minute.clamp(-FAR, FAR)
}

fn price(price: &mut i64) {
    *price = (*price).clamp(-DEAR, DEAR);
}

/// The problem moved to begin at minute 0, with its numbers cut; and whether
/// its horizon had to be cut.
pub fn tame(problem: &Problem) -> (Problem, bool) {
    let mut p = problem.clone();
    let shift = p.start;
    let back = |minute: i32| near(minute.saturating_sub(shift));
    p.start = 0;
    p.end = back(p.end).max(0);
    let cut = p.end > MOST_MINUTES;
    p.end = p.end.min(MOST_MINUTES);
    p.effort_until = back(p.effort_until);
    for r in &mut p.resources {
        for c in &mut r.closed {
            *c = (back(c.0), back(c.1));
        }
    }
    for o in &mut p.ovens {
        o.up_c_per_min = o.up_c_per_min.clamp(1, 10_000);
        o.down_c_per_min = o.down_c_per_min.clamp(1, 10_000);
        o.start_c = near(o.start_c);
    }
    for m in p.steps.iter_mut().flat_map(|s| &mut s.modes) {
        m.minutes = m.minutes.clamp(0, FAR);
        price(&mut m.price);
        for h in &mut m.hands {
            (h.from, h.to) = (near(h.from), near(h.to));
        }
        if let Some(o) = &mut m.oven {
            (o.least_c, o.most_c) = (near(o.least_c), near(o.most_c));
        }
    }
    for t in &mut p.tasks {
        t.earliest = back(t.earliest);
        t.latest = back(t.latest);
        if let Some(f) = &mut t.fixed {
            f.start = back(f.start);
            f.end = back(f.end).max(f.start);
        }
    }
    p.lags.iter_mut().for_each(tame_lag);
    for d in &mut p.dishes {
        tame_dish(d, &back);
    }
    for l in &mut p.links {
        l.least = near(l.least);
        price(&mut l.price);
    }
    for a in &mut p.anchors {
        a.start = back(a.start);
        price(&mut a.price);
        if let Some((_, fee)) = &mut a.mode {
            price(fee);
        }
    }
    for fee in [&mut p.span_price, &mut p.idle_price, &mut p.finish_price] {
        price(fee);
    }
    (p, cut)
}

fn tame_lag(l: &mut Lag) {
    if l.least != i32::MIN {
        l.least = near(l.least);
    }
    if l.most != i32::MAX {
        l.most = near(l.most);
    }
    if let Some(fee) = &mut l.soft_most {
        price(fee);
    }
    if let Some((minutes, fee)) = &mut l.best {
        *minutes = near(*minutes);
        price(fee);
    }
}

fn tame_limit(l: &mut Limit) {
    l.most = near(l.most);
    if let Some(fee) = &mut l.soft_most {
        price(fee);
    }
}

fn tame_dish(d: &mut crate::plan::problem::Dish, back: &impl Fn(i32) -> i32) {
    d.due = back(d.due);
    d.cushion = d.cushion.clamp(0, FAR);
    price(&mut d.late_price);
    price(&mut d.cushion_price);
    d.straight.iter_mut().for_each(tame_limit);
    for h in &mut d.holds {
        h.limits.iter_mut().for_each(tame_limit);
        (h.free, h.most) = (near(h.free), near(h.most));
        price(&mut h.price);
        if let Some(fee) = &mut h.soft_most {
            price(fee);
        }
        if let Some((minutes, fee)) = &mut h.best {
            *minutes = near(*minutes);
            price(fee);
        }
        if let Some(o) = &mut h.oven {
            (o.least_c, o.most_c) = (near(o.least_c), near(o.most_c));
        }
    }
}

/// How much a price may be scaled without overflow in any sum of prices.
pub fn scale(p: &Problem) -> i64 {
    let dish = |d: &crate::plan::problem::Dish| -> i128 {
        let holds: i128 = d
            .holds
            .iter()
            .map(|h| {
                i128::from(h.price)
                    + i128::from(h.soft_most.unwrap_or(0))
                    + i128::from(h.best.map_or(0, |b| b.1))
                    + h.limits.iter().map(|l| i128::from(l.soft_most.unwrap_or(0))).sum::<i128>()
            })
            .sum();
        let straight: i128 = d.straight.iter().map(|l| i128::from(l.soft_most.unwrap_or(0))).sum();
        i128::from(d.late_price) + i128::from(d.cushion_price) + holds + straight
    };
    let lags: i128 = p
        .lags
        .iter()
        .map(|l| i128::from(l.soft_most.unwrap_or(0)) + i128::from(l.best.map_or(0, |b| b.1)))
        .sum();
    let anchors: i128 =
        p.anchors.iter().map(|a| i128::from(a.price) + i128::from(a.mode.map_or(0, |m| m.1))).sum();
    let modes: i128 = p.steps.iter().flat_map(|s| &s.modes).map(|m| i128::from(m.price)).sum();
    let links: i128 = p.links.iter().map(|l| i128::from(l.price)).sum();
    let minute = p.dishes.iter().map(dish).sum::<i128>()
        + lags
        + anchors
        + i128::from(p.span_price)
        + i128::from(p.finish_price)
        + i128::from(p.idle_price) * 200 * (p.resources.len() as i128 + 1);
    let most = (minute * i128::from(spread(p)) + modes + links).max(1);
    ((1i128 << 60) / most).clamp(1, 1 << 20) as i64
}

/// More minutes than lie between any two things that have a price.
fn spread(p: &Problem) -> i64 {
    let mut far = i64::from(p.end);
    let mut see = |minute: i32| far = far.max(i64::from(minute).abs());
    see(p.effort_until);
    for d in &p.dishes {
        see(d.due);
        see(d.cushion);
        let limits = d.holds.iter().flat_map(|h| &h.limits).chain(&d.straight);
        limits.for_each(|l| see(l.most));
        for h in &d.holds {
            see(h.free);
            see(h.most);
            see(h.best.map_or(0, |b| b.0));
        }
    }
    for l in p.lags.iter().filter(|l| l.soft_most.is_some() || l.best.is_some()) {
        see(if l.most == i32::MAX { 0 } else { l.most });
        see(l.best.map_or(0, |b| b.0));
    }
    p.anchors.iter().for_each(|a| see(a.start));
    for f in p.tasks.iter().filter_map(|t| t.fixed) {
        see(f.start);
        see(f.end);
    }
    far * 3 + 1
}

#[cfg(test)]
mod tests {
    use super::super::tests::{later, some};
    use super::*;
    use crate::plan::problem::{Limit, Task};

    /// What has no odd number in it is only moved to begin at minute 0.
    #[test]
    fn sound_numbers_stay() {
        for seed in 1..=60 {
            let mut problem = some(seed);
            problem.tasks.iter_mut().for_each(|t| t.latest = t.latest.min(1000));
            assert!(sound(&problem).is_ok(), "seed {seed}");
            assert_eq!(tame(&later(&problem, 500)), (problem.clone(), false), "seed {seed}");
            let long = Problem { end: 500 + MOST_MINUTES, ..later(&problem, 500) };
            assert_eq!(tame(&long), (Problem { end: MOST_MINUTES, ..problem.clone() }, false));
            let longer = Problem { end: 501 + MOST_MINUTES, ..later(&problem, 500) };
            assert_eq!(tame(&longer), (Problem { end: MOST_MINUTES, ..problem }, true));
        }
    }

    /// Every price may be multiplied by the scale, and all of them added up, for as many minutes as the day has.
    #[test]
    fn scaled_prices_can_be_added_up() {
        for seed in 1..=60 {
            let mut problem = some(seed);
            for factor in [1i64, 1 << 10, 1 << 20] {
                problem.dishes.iter_mut().for_each(|d| d.late_price *= factor);
                problem.idle_price *= factor;
                let (p, _) = tame(&problem);
                let dish = |d: &crate::plan::problem::Dish| {
                    let hold = |h: &crate::plan::problem::Hold| {
                        let limits = h.limits.iter().map(|l| l.soft_most.unwrap_or(0));
                        h.price
                            + h.soft_most.unwrap_or(0)
                            + h.best.map_or(0, |b| b.1)
                            + limits.sum::<i64>()
                    };
                    let straight = d.straight.iter().map(|l| l.soft_most.unwrap_or(0));
                    let holds = d.holds.iter().map(hold);
                    d.late_price + d.cushion_price + holds.sum::<i64>() + straight.sum::<i64>()
                };
                let lag = |l: &Lag| l.soft_most.unwrap_or(0) + l.best.map_or(0, |b| b.1);
                let anchor = |a: &crate::plan::problem::Anchor| a.price + a.mode.map_or(0, |m| m.1);
                let minute = p.dishes.iter().map(dish).sum::<i64>()
                    + p.lags.iter().map(lag).sum::<i64>()
                    + p.anchors.iter().map(anchor).sum::<i64>()
                    + p.span_price
                    + p.finish_price
                    + p.idle_price * 100 * p.resources.len() as i64;
                let once = p.steps.iter().flat_map(|s| &s.modes).map(|m| m.price).sum::<i64>()
                    + p.links.iter().map(|l| l.price).sum::<i64>();
                let most = i128::from(minute) * i128::from(p.end) + i128::from(once);
                let scaled = most * i128::from(scale(&p));
                assert!(scaled <= 1 << 60, "seed {seed}: {scaled}");
                assert!(scale(&p) == 1 << 20 || scaled >= 1 << 48, "seed {seed}: finer than that");
            }
        }
    }

    const DEAREST: Option<i64> = Some(DEAR);

    /// Each kind of price by itself, as dear as can be, may be scaled for as many minutes as the longest day has.
    #[test]
    #[allow(clippy::unit_arg, reason = "an edit that finds nothing to change says so")]
    fn each_price_alone_can_be_scaled() {
        let edits: [&Edit; 13] = [
            &|p| p.dishes.last_mut().map(|d| d.late_price = DEAR),
            &|p| p.dishes.last_mut().map(|d| d.cushion_price = DEAR),
            &|p| hold(p).map(|h| h.price = DEAR),
            &|p| hold(p).map(|h| h.soft_most = DEAREST),
            &|p| hold(p).map(|h| h.best = Some((3, DEAR))),
            &|p| hold(p)?.limits.last_mut().map(|l| l.soft_most = DEAREST),
            &|p| straight(p).map(|l| l.soft_most = DEAREST),
            &|p| p.lags.last_mut().map(|l| l.soft_most = DEAREST),
            &|p| p.lags.last_mut().map(|l| l.best = Some((3, DEAR))),
            &|p| p.anchors.last_mut().map(|a| a.price = DEAR),
            &|p| Some(p.span_price = DEAR),
            &|p| Some(p.finish_price = DEAR),
            &|p| Some(p.idle_price = DEAR),
        ];
        can_be_scaled(&edits, MOST_MINUTES);
    }

    /// And for more minutes, where what it is counted from lies far away.
    #[test]
    #[allow(clippy::unit_arg, reason = "an edit that finds nothing to change says so")]
    fn each_price_from_far_away_can_be_scaled() {
        let edits: [&Edit; 12] = [
            &|p| {
                hold(p)?.price = DEAR;
                p.dishes.iter_mut().find(|d| !d.holds.is_empty())?.due = FAR;
                Some(())
            },
            &|p| {
                let dish = p.dishes.last_mut()?;
                (dish.cushion, dish.cushion_price) = (FAR, DEAR);
                Some(())
            },
            &|p| {
                let limit = hold(p)?.limits.last_mut()?;
                (limit.most, limit.soft_most) = (-FAR, DEAREST);
                Some(())
            },
            &|p| straight(p).map(|l| (l.most, l.soft_most) = (-FAR, DEAREST)),
            &|p| hold(p).map(|h| (h.free, h.price) = (-FAR, DEAR)),
            &|p| hold(p).map(|h| (h.most, h.soft_most) = (-FAR, DEAREST)),
            &|p| hold(p).map(|h| h.best = Some((FAR, DEAR))),
            &|p| {
                let lag = p.lags.last_mut()?;
                (lag.most, lag.soft_most, lag.best) = (-FAR, DEAREST, None);
                Some(())
            },
            &|p| {
                let lag = p.lags.last_mut()?;
                (lag.soft_most, lag.best) = (None, Some((FAR, DEAR)));
                Some(())
            },
            &|p| p.anchors.last_mut().map(|a| (a.start, a.price) = (FAR, DEAR)),
            &|p| Some((p.effort_until, p.span_price) = (FAR, DEAR)),
            &|p| {
                let fixed = p.tasks.iter_mut().find_map(|t| t.fixed.as_mut())?;
                (fixed.start, p.lags.last_mut()?.soft_most) = (-FAR, DEAREST);
                Some(())
            },
        ];
        can_be_scaled(&edits, FAR);
    }

    fn can_be_scaled(edits: &[&Edit], minutes: i32) {
        tried(edits, |kind, problem| {
            problem.end = MOST_MINUTES;
            let scale = scale(&tame(problem).0);
            let scaled = i128::from(scale) * i128::from(DEAR) * i128::from(minutes);
            assert!(scaled <= 1 << 60, "kind {kind}: {scaled}");
        });
    }

    /// A change of a problem; None if it has nothing of the kind.
    type Edit = dyn Fn(&mut Problem) -> Option<()>;

    /// Looks at tiny problems with each of the changes, and that each found what it changes in one of them.
    fn tried(edits: &[&Edit], mut look: impl FnMut(usize, &mut Problem)) {
        let mut seen = 0u32;
        for seed in 1..=60 {
            for (kind, edit) in edits.iter().enumerate() {
                let mut problem = some(seed);
                assert!(sound(&problem).is_ok());
                if edit(&mut problem).is_some() {
                    look(kind, &mut problem);
                    seen |= 1 << kind;
                }
            }
        }
        assert_eq!(seen, (1 << edits.len()) - 1, "each of them was tried");
    }

    fn hold(p: &mut Problem) -> Option<&mut crate::plan::problem::Hold> {
        p.dishes.iter_mut().find_map(|d| d.holds.last_mut())
    }

    fn straight(p: &mut Problem) -> Option<&mut Limit> {
        p.dishes.iter_mut().find_map(|d| d.straight.last_mut())
    }

    /// An index that names nothing is seen wherever it stands, and what names a thing is not called broken.
    #[test]
    #[allow(
        clippy::unit_arg,
        clippy::type_complexity,
        reason = "an edit that finds nothing to change says so"
    )]
    fn what_names_nothing_is_seen() {
        const NO: usize = 99;
        let edits: [&Edit; 13] = [
            &|p| Some(p.steps.last_mut()?.first_task = NO),
            &|p| Some(p.steps.last_mut()?.first_task = usize::MAX),
            &|p| Some(p.steps.last_mut()?.task_count += 1),
            &|p| Some(p.steps.last_mut()?.cooks.push(p.resources.len())),
            &|p| Some(p.steps.last_mut()?.modes.last_mut()?.loads += 1),
            &|p| {
                Some(
                    p.steps.last_mut()?.modes.last_mut()?.uses.last_mut()?.resource =
                        p.resources.len(),
                )
            },
            &|p| Some(p.steps.last_mut()?.modes.last_mut()?.oven.as_mut()?.oven = p.ovens.len()),
            &|p| Some(p.steps.last_mut()?.modes.last_mut()?.hands.first_mut()?.from = -1),
            &|p| {
                Some(p.steps.last_mut()?.modes.last_mut()?.hands.last_mut()?.to = 0).filter(|()| {
                    p.steps
                        .last()
                        .and_then(|s| s.modes.last()?.hands.last())
                        .is_some_and(|h| h.from > 0)
                })
            },
            &|p| Some(p.tasks.last_mut()?.step = 0),
            &|p| Some(p.tasks.last_mut()?.load += 1),
            &|p| Some(p.tasks.push(Task::default())),
            &|p| {
                Some(
                    p.tasks.iter_mut().find_map(|t| t.fixed.as_mut())?.cook =
                        Some(p.resources.len()),
                )
            },
        ];
        is_seen(&edits);
    }

    /// The same of what lies between steps, of dishes and of what is priced.
    #[test]
    #[allow(
        clippy::unit_arg,
        clippy::type_complexity,
        reason = "an edit that finds nothing to change says so"
    )]
    fn what_names_nothing_between_steps_is_seen() {
        let edits: [&Edit; 17] = [
            &|p| Some(p.lags.last_mut()?.from.task = p.tasks.len()),
            &|p| Some(p.lags.last_mut()?.to.task = p.tasks.len()),
            &|p| Some(p.stays.last_mut()?.uses.resource = p.resources.len()),
            &|p| Some(p.stays.last_mut()?.to.last_mut()?.task = p.tasks.len()),
            &|p| Some(p.stays.last_mut()?.through_hold.push((p.dishes.len(), 0))),
            &|p| Some(p.stays.last_mut()?.through_hold.push((0, p.dishes[0].holds.len()))),
            &|p| Some(p.dishes.last_mut()?.last_step = p.steps.len()),
            &|p| {
                let from = Point { task: p.tasks.len(), end: true };
                Some(p.dishes.last_mut()?.straight.push(Limit { from, most: 1, soft_most: None }))
            },
            &|p| {
                let dish = p.dishes.last_mut()?;
                Some(dish.held = Some(dish.holds.len()))
            },
            &|p| Some(p.links.last_mut()?.to_step = p.steps.len()),
            &|p| Some(p.links.last_mut()?.from_step = p.steps.len()),
            &|p| Some(p.anchors.last_mut()?.task = p.tasks.len()),
            &|p| {
                let modes = p.steps[p.tasks[p.anchors.last()?.task].step].modes.len();
                Some(p.anchors.last_mut()?.mode = Some((modes, 1)))
            },
            &|p| {
                let tasks = p.tasks.len();
                Some(hold(p)?.limits.last_mut()?.from.task = tasks)
            },
            &|p| {
                let resources = p.resources.len();
                Some(hold(p)?.uses.last_mut()?.resource = resources)
            },
            &|p| {
                let ovens = p.ovens.len();
                Some(hold(p)?.oven.as_mut()?.oven = ovens)
            },
            &|p| Some(p.anchors.last_mut()?.mode.as_mut()?.0 = 9),
        ];
        is_seen(&edits);
    }

    fn is_seen(edits: &[&Edit]) {
        tried(edits, |kind, problem| {
            let clash = sound(problem).expect_err("broken");
            assert!(clash.proven && matches!(clash.kind, ClashKind::Broken(_)), "kind {kind}");
        });
    }
}

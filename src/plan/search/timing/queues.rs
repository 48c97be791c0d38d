//! Who follows whom: at each resource those that stand in each other's way
//! follow each other as the schedule has them; ovens change between settings
//! as fast as they can.

use super::{At, Timing};
use crate::plan::problem::Use;

/// A stretch in which so much is taken.
#[derive(Debug, Clone, Copy)]
struct Stretch {
    from: At,
    to: At,
    amount: i32,
    /// It stands as it happened.
    begun: bool,
}

/// Adds what follows from stations, cooks, pans and ovens. None where what
/// happened leaves no room for the rest.
pub(super) fn add(t: &mut Timing<'_>) -> Option<()> {
    let mut of: Vec<Vec<Stretch>> = vec![Vec::new(); t.m.p.resources.len()];
    add_tasks(t, &mut of);
    add_holds(t, &mut of);
    add_stays(t, &mut of);
    for (r, stretches) in of.iter_mut().enumerate() {
        for &s in stretches.iter().filter(|s| !s.begun) {
            keep_open(t, r, s);
        }
        queue(t, t.m.p.resources[r].capacity, stretches)?;
    }
    ovens(t);
    Some(())
}

fn add_tasks(t: &Timing<'_>, of: &mut [Vec<Stretch>]) {
    for (i, task) in t.m.p.tasks.iter().enumerate().filter(|(i, _)| t.active(*i)) {
        let mode = &t.m.p.steps[task.step].modes[t.s.mode[task.step]];
        let begun = task.fixed.is_some();
        for u in &mode.uses {
            let (from, to) = (t.after(i, 0), t.after(i, t.minutes(i)));
            of[u.resource].push(Stretch { from, to, amount: u.amount, begun });
        }
        let Some(cook) = t.s.cook[i].filter(|&c| c < of.len()) else { continue };
        for part in &mode.hands {
            let (from, to) = (t.after(i, part.from), t.after(i, part.to));
            of[cook].push(Stretch { from, to, amount: part.percent, begun });
        }
    }
}

fn add_holds(t: &Timing<'_>, of: &mut [Vec<Stretch>]) {
    for (d, dish) in t.m.p.dishes.iter().enumerate() {
        let Some(hold) = t.s.hold[d].and_then(|h| dish.holds.get(h)) else { continue };
        let Some(out) = out(t, d) else { continue };
        for &Use { resource, amount } in &hold.uses {
            let begun = dish.held.is_some();
            of[resource].push(Stretch { from: out, to: (t.served[d], 0), amount, begun });
        }
    }
}

fn out(t: &Timing<'_>, dish: usize) -> Option<At> {
    let first = t.loads(t.m.p.dishes[dish].last_step).next()?;
    Some(t.after(first, t.minutes(first)))
}

fn add_stays(t: &mut Timing<'_>, of: &mut [Vec<Stretch>]) {
    let m = t.m;
    for stay in &m.p.stays {
        let points = |list: &[crate::plan::problem::Point]| -> Vec<At> {
            list.iter().filter(|q| t.active(q.task)).map(|&q| t.at(q)).collect()
        };
        let (from, mut to) = (points(&stay.from), points(&stay.to));
        if from.is_empty() || to.is_empty() {
            continue;
        }
        let mut begun = from.iter().chain(&to).all(|q| q.0 == 0);
        for &(d, h) in &stay.through_hold {
            if t.s.hold[d] == Some(h) {
                to.push((t.served[d], 0));
                begun &= m.p.dishes[d].held.is_some();
            }
        }
        let begin = from.iter().map(|&q| t.now(q)).min().unwrap_or(0);
        let end = to.iter().map(|&q| t.now(q)).max().unwrap_or(0);
        let was = from.iter().map(|&q| t.was(q)).min().unwrap_or(0);
        let until = to.iter().map(|&q| t.was(q)).max().unwrap_or(0);
        let (a, b) = (t.point(begin, was), t.point(end, until));
        from.iter().for_each(|&q| t.follow((a, 0), q, 0));
        to.iter().for_each(|&q| t.follow(q, (b, 0), 0));
        let amount = stay.uses.amount;
        of[stay.uses.resource].push(Stretch { from: (a, 0), to: (b, 0), amount, begun });
    }
}

/// A stretch stays between the closed minutes where it is, or after them.
fn keep_open(t: &mut Timing<'_>, resource: usize, s: Stretch) {
    let m = t.m;
    for &(from, to) in &m.p.resources[resource].closed {
        let (from, to) = (from.max(0), to);
        if to <= from {
            continue;
        }
        if t.was(s.to) <= from {
            t.ties.over((0, 0), s.to, from, super::HARD);
        } else {
            t.follow((0, 0), s.from, to);
        }
    }
}

/// What a stretch gives back.
#[derive(Debug, Clone, Copy)]
struct Left {
    /// The minute in which the schedule has it.
    from: i32,
    /// The end of the stretch; None for what nobody had.
    by: Option<At>,
    amount: i32,
    /// The stretch stands as it happened.
    begun: bool,
}

/// Each stretch takes what those before it leave: of what they are done with,
/// the last given back first.
fn queue(t: &mut Timing<'_>, capacity: i32, stretches: &mut [Stretch]) -> Option<()> {
    stretches.sort_by_key(|s| (t.was(s.from), !s.begun, t.was(s.to)));
    let mut left = vec![Left { from: i32::MIN, by: None, amount: capacity, begun: false }];
    for &s in stretches.iter() {
        let (from, to) = (t.was(s.from), t.was(s.to));
        let over = to <= 0 && t.now(s.to) <= 0;
        // A wait or a stay of no minute.
        let idle = to <= from && !s.begun;
        if to <= from.max(0) && s.begun {
            continue;
        }
        let (mut wants, mut gives) = (s.amount, s.amount);
        while wants > 0 {
            let some = || (0..left.len()).filter(|&i| left[i].amount > 0);
            let fits = some().filter(|&i| left[i].from <= from).max_by_key(|&i| (left[i].from, i));
            if idle && (fits.is_none() || to < from) {
                // It is in nobody's way as long as it stays so.
                t.ties.over(s.from, s.to, 0, super::HARD);
                break;
            }
            if fits.is_none() && over {
                // What is over by now is in nobody's way as long as it stays so.
                t.ties.over((0, 0), s.to, 0, super::HARD);
                break;
            }
            let pick = fits.or_else(|| some().min_by_key(|&i| (left[i].from, i)));
            let Some(before) = pick.map(|i| &mut left[i]) else { break };
            let take = wants.min(before.amount);
            wants -= take;
            if s.begun && before.begun && before.from > to {
                // Too much as it happened: the other one, which is there longer, gives it back.
                gives -= take;
                continue;
            }
            before.amount -= take;
            follow(t, *before, s);
        }
        if wants > 0 && !s.begun && !over && !idle {
            return None;
        }
        left.retain(|l| l.amount > 0);
        left.push(Left { from: to, by: Some(s.to), amount: gives - wants, begun: s.begun });
    }
    Some(())
}

/// A stretch begins when another is done; what happened stays as it was, too much or not.
fn follow(t: &mut Timing<'_>, before: Left, s: Stretch) {
    let Some(end) = before.by.filter(|_| !(before.begun && s.begun)) else { return };
    if t.now(s.from) < 0 && before.from > t.was(s.from) {
        // Both were there until now. From now on they must not be.
        t.ties.over((0, 0), end, 0, super::HARD);
    } else {
        t.follow(end, s.from, 0);
    }
}

/// A use of an oven.
struct Heat {
    from: At,
    to: At,
    c: i32,
    begun: bool,
}

fn ovens(t: &mut Timing<'_>) {
    let m = t.m;
    for (o, oven) in m.p.ovens.iter().enumerate() {
        let mut uses: Vec<Heat> = Vec::new();
        for (i, task) in m.p.tasks.iter().enumerate().filter(|(i, _)| t.active(*i)) {
            let mode = &m.p.steps[task.step].modes[t.s.mode[task.step]];
            if let (Some(_), Some(c)) = (mode.oven.filter(|u| u.oven == o), t.s.setting_c[i]) {
                let (from, to) = (t.after(i, 0), t.after(i, t.minutes(i)));
                uses.push(Heat { from, to, c, begun: task.fixed.is_some() });
            }
        }
        for (d, dish) in m.p.dishes.iter().enumerate() {
            let hold = t.s.hold[d].and_then(|h| dish.holds.get(h));
            let here = hold.and_then(|h| h.oven).is_some_and(|u| u.oven == o);
            if let (true, Some(c), Some(out)) = (here, t.s.hold_setting_c[d], out(t, d)) {
                let begun = dish.held.is_some();
                uses.push(Heat { from: out, to: (t.served[d], 0), c, begun });
            }
        }
        keep_idle(t, &uses);
        uses.retain(|u| t.was(u.to) > t.was(u.from) && t.now(u.to) > 0);
        uses.sort_by_key(|u| (!u.begun, t.was(u.from), t.was(u.to)));
        for (i, a) in uses.iter().enumerate() {
            if !a.begun {
                t.follow((0, 0), a.from, oven.minutes(oven.start_c, a.c));
            }
            for b in &uses[i + 1..] {
                if a.c != b.c && !(a.begun && b.begun) {
                    t.follow(a.to, b.from, oven.minutes(a.c, b.c));
                }
            }
        }
    }
}

/// A dish that would wait in the oven and does not wait at all goes on not to.
fn keep_idle(t: &mut Timing<'_>, uses: &[Heat]) {
    for u in uses.iter().filter(|u| !u.begun) {
        if t.was(u.to) <= t.was(u.from) {
            t.ties.over(u.from, u.to, 0, super::HARD);
        }
    }
}

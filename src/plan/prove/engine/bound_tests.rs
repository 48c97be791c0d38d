//! How much follows without any choice: no less than the slow way to reckon it says.

use super::*;
use crate::plan::search::rng::Rng;

/// Lowest and highest of each variable.
fn bounds(engine: &Engine, vars: &[Var]) -> Vec<(i32, i32)> {
    vars.iter().map(|&v| (engine.low(v), engine.high(v))).collect()
}

/// The hull of all values that keep one rule, by trying them all; None if none do.
fn hull(ranges: &[(i32, i32)], is_kept: impl Fn(&[i32]) -> bool) -> Option<Vec<(i32, i32)>> {
    let mut hull: Option<Vec<(i32, i32)>> = None;
    let mut values: Vec<i32> = ranges.iter().map(|r| r.0).collect();
    loop {
        if is_kept(&values) {
            let own = values.iter().map(|&v| (v, v));
            hull = Some(match hull {
                None => own.collect(),
                Some(h) => h.iter().zip(own).map(|(h, v)| (h.0.min(v.0), h.1.max(v.1))).collect(),
            });
        }
        let Some(next) = (0..values.len()).find(|&i| values[i] < ranges[i].1) else { return hull };
        values[next] += 1;
        (0..next).for_each(|i| values[i] = ranges[i].0);
    }
}

/// Of differences, and of one inequality, all follows that there is.
#[test]
fn differences_and_sums_are_closed_in_on_as_far_as_can_be() {
    let mut empty = 0;
    for seed in 0..1200 {
        let r = &mut Rng::new(seed);
        let ranges: Vec<(i32, i32)> = (0..4)
            .map(|_| (r.below(5) as i32 - 2, r.below(6) as i32))
            .map(|(low, wide)| (low, low + wide))
            .collect();
        let mut engine = Engine::default();
        let vars: Vec<Var> = ranges.iter().map(|r| engine.variable(r.0, r.1)).collect();
        let when: Vec<Lit> = (0..r.below(3)).map(|_| engine.yes_or_no()).collect();
        let mut ranges = ranges.clone();
        ranges.extend(when.iter().map(|_| (0, 1)));
        let all: Vec<Var> = vars.iter().copied().chain(when.iter().map(|l| l.var)).collect();
        let sure = |v: &[i32]| v[4..].iter().all(|&yes| yes == 1);
        let expected = if r.chance(50) {
            // A few that hold always, or one on conditions.
            let count = if when.is_empty() { 1 + r.below(4) } else { 1 };
            let gaps: Vec<(usize, i32, usize)> = (0..count)
                .map(|_| (r.below(4), r.below(7) as i32 - 2, r.below(3)))
                .map(|(from, gap, to)| (from, gap, (from + 1 + to) % 4))
                .collect();
            for &(from, gap, to) in &gaps {
                engine.difference(&when, vars[from].into(), gap, vars[to].into());
            }
            hull(&ranges, |v| !sure(v) || gaps.iter().all(|g| v[g.2] >= v[g.0] + g.1))
        } else {
            let times: Vec<i64> = (0..4).map(|_| r.below(9) as i64 - 4).collect();
            let least = r.below(25) as i64 - 5;
            let terms: Vec<(i64, Var)> = times.iter().copied().zip(vars.iter().copied()).collect();
            engine.linear(Linear::at_least(&when, &terms, least));
            let sum = |v: &[i32]| times.iter().zip(v).map(|(t, &v)| t * i64::from(v)).sum::<i64>();
            hull(&ranges, |v| !sure(v) || sum(v) >= least)
        };
        let said = engine.settle().then(|| bounds(&engine, &all));
        empty += usize::from(expected.is_none());
        assert_eq!(said, expected, "seed {seed}");
    }
    assert!(empty >= 50, "{empty}");
}

/// Where a use may stand, minute by minute: what others surely cover leaves it the rest. Until nothing changes.
fn slowly(
    capacity: i32,
    standing: &[(i32, i32, i32)],
    items: &[(i32, i32)],
    ranges: &mut [(i32, i32)],
) -> bool {
    let sure = |m: i32, but: usize, ranges: &[(i32, i32)]| {
        let stand: i32 = standing.iter().filter(|s| s.0 <= m && m < s.1).map(|s| s.2).sum();
        let covers = |i: usize| ranges[i].1 <= m && m < ranges[i].0 + items[i].0;
        let others = (0..items.len()).filter(|&i| i != but && covers(i));
        stand + others.map(|i| items[i].1).sum::<i32>()
    };
    loop {
        let old = ranges.to_vec();
        for (i, &(length, amount)) in items.iter().enumerate() {
            let now = ranges.to_vec();
            let fits = |s: i32| (s..s + length).all(|m| sure(m, i, &now) + amount <= capacity);
            while ranges[i].0 <= ranges[i].1 && !fits(ranges[i].0) {
                ranges[i].0 += 1;
            }
            while ranges[i].0 <= ranges[i].1 && !fits(ranges[i].1) {
                ranges[i].1 -= 1;
            }
            if ranges[i].0 > ranges[i].1 {
                return false;
            }
        }
        if old == ranges {
            return true;
        }
    }
}

#[test]
fn uses_are_moved_out_of_what_others_surely_cover() {
    let (mut full, mut moved) = (0, 0);
    for seed in 0..2000 {
        let r = &mut Rng::new(seed);
        let capacity = 1 + r.below(3) as i32;
        let standing: Vec<(i32, i32, i32)> = (0..r.below(2))
            .map(|_| (r.below(6) as i32, 1 + r.below(3) as i32, r.below(capacity as usize) as i32))
            .map(|(from, length, amount)| (from, from + length, 1 + amount))
            .collect();
        let items: Vec<(i32, i32)> = (0..2 + r.below(3))
            .map(|_| (1 + r.below(5) as i32, 1 + r.below(capacity as usize) as i32))
            .collect();
        let mut ranges: Vec<(i32, i32)> = items
            .iter()
            .map(|_| (r.below(4) as i32, r.below(5) as i32))
            .map(|(low, wide)| (low, low + wide))
            .collect();
        let mut engine = Engine::default();
        let vars: Vec<Var> = ranges.iter().map(|r| engine.variable(r.0, r.1)).collect();
        let of = |(&var, &(length, amount)): (&Var, &(i32, i32))| Item {
            start: var.into(),
            end: Expr::from(var).plus(length),
            present: None,
            amount,
        };
        let uses: Vec<Item> = vars.iter().zip(&items).map(of).collect();
        engine.table(Table::new(capacity, standing.clone(), uses));
        let before = ranges.clone();
        let fits = slowly(capacity, &standing, &items, &mut ranges);
        assert_eq!(engine.settle(), fits, "seed {seed}");
        if fits {
            assert_eq!(bounds(&engine, &vars), ranges, "seed {seed}");
        }
        full += usize::from(!fits);
        moved += usize::from(fits && before != ranges);
    }
    assert!(full >= 100 && moved >= 100, "{full} do not fit, {moved} moved");
}

/// Uses of so many minutes and so much, each within so many minutes.
fn work(capacity: i32, standing: &[(i32, i32, i32)], of: &[[i32; 4]]) -> (Engine, Vec<Var>) {
    let mut engine = Engine::default();
    let (mut vars, mut items) = (Vec::new(), Vec::new());
    for &[from, to, length, amount] in of {
        let var = engine.variable(from, to - length);
        vars.push(var);
        let end = Expr::from(var).plus(length);
        items.push(Item { start: var.into(), end, present: None, amount });
    }
    engine.energy(Energy::new(capacity, standing.to_vec(), items));
    (engine, vars)
}

/// Worked by hand: minutes that are full of others, whichever way these stand there.
#[test]
fn work_that_fills_minutes_keeps_the_rest_out() {
    // Capacity, what stands, the uses, and from when to when the last of them may start (None: too much work).
    type Row = (i32, &'static [(i32, i32, i32)], &'static [[i32; 4]], Option<(i32, i32)>);
    let rows: &[Row] = &[
        // Three of two minutes: five minutes are too few, six are enough.
        (1, &[], &[[0, 5, 2, 1], [0, 5, 2, 1], [0, 5, 2, 1]], None),
        (1, &[], &[[0, 6, 2, 1], [0, 6, 2, 1], [0, 6, 2, 1]], Some((0, 4))),
        // Two fill four minutes; the third comes after, or before.
        (1, &[], &[[0, 4, 2, 1], [0, 4, 2, 1], [0, 10, 2, 1]], Some((4, 8))),
        (1, &[], &[[6, 10, 2, 1], [6, 10, 2, 1], [0, 10, 2, 1]], Some((0, 4))),
        // They leave one minute of five: three minutes can begin in the last of them only.
        (1, &[], &[[0, 5, 2, 1], [0, 5, 2, 1], [0, 12, 3, 1]], Some((4, 9))),
        (1, &[], &[[7, 12, 2, 1], [7, 12, 2, 1], [0, 12, 3, 1]], Some((0, 5))),
        // What stands counts with them.
        (1, &[(2, 3, 1)], &[[0, 5, 2, 1], [0, 5, 2, 1], [0, 10, 1, 1]], Some((5, 9))),
        (1, &[(7, 8, 1)], &[[5, 10, 2, 1], [5, 10, 2, 1], [0, 10, 1, 1]], Some((0, 4))),
        (1, &[(2, 3, 1)], &[[0, 4, 2, 1], [0, 4, 2, 1]], None),
        // Of two hands, one uses both: eight units in four minutes, or seven.
        (2, &[], &[[0, 4, 2, 2], [0, 4, 2, 1], [0, 4, 2, 1], [0, 9, 2, 1]], Some((4, 7))),
        (2, &[], &[[0, 4, 2, 2], [0, 4, 3, 1], [0, 9, 2, 2]], Some((4, 7))),
        (2, &[], &[[0, 4, 2, 2], [0, 4, 3, 1], [0, 9, 2, 1]], Some((3, 7))),
        (2, &[], &[[0, 4, 3, 2], [0, 4, 2, 1], [0, 4, 1, 1]], None),
        // What surely covers a part of the minutes counts with that part: the second covers 3 and 4.
        (1, &[], &[[0, 4, 3, 1], [2, 7, 4, 1], [0, 12, 2, 1]], Some((7, 10))),
        // What may lie elsewhere counts for nothing.
        (1, &[], &[[0, 4, 2, 1], [0, 9, 2, 1], [0, 10, 2, 1]], Some((0, 8))),
    ];
    for (n, &(capacity, standing, uses, last)) in rows.iter().enumerate() {
        let (mut engine, vars) = work(capacity, standing, uses);
        let said = engine.settle().then(|| bounds(&engine, &vars).pop());
        assert_eq!(said.flatten(), last, "row {n}: {uses:?}");
    }
}

//! Numbers for places: as many of a station's slots, or of a kind of pan, as
//! each thing takes, such that no two things have one at the same time.

use crate::kitchen::Minute;
use crate::order::InOrder;

/// Something that takes places for a while.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Taking {
    /// First minute.
    pub from: Minute,
    /// Minute after the last.
    pub to: Minute,
    /// How many places.
    pub amount: usize,
    /// The numbers that it would best have, best first.
    pub prefer: Vec<u32>,
    /// Or else those of this one (an index into the same list), which came before it.
    pub like: Option<usize>,
    /// It stands already: where more stand than there is room for, these share.
    pub begun: bool,
}

/// A number below `count` for each place that each taking takes, in their order.
///
/// Where at no minute more than `count` are taken, no number is given twice
/// at a time. Where more are (what happened, happened), what stands already
/// shares the numbers that are free soonest. Amounts above `count` are cut to it.
#[must_use]
pub fn number(takings: &[Taking], count: u32) -> Vec<Vec<u32>> {
    let mut order: Vec<usize> = (0..takings.len()).collect();
    order.order_by_key(|&i| (takings[i].from, !takings[i].begun, takings[i].prefer.is_empty(), i));
    let mut given: Vec<Vec<u32>> = vec![Vec::new(); takings.len()];
    let mut placed: Vec<usize> = Vec::with_capacity(takings.len());
    for i in order {
        given[i] = choose(takings, &given, &placed, i, count);
        placed.push(i);
    }
    given
}

fn choose(
    takings: &[Taking],
    given: &[Vec<u32>],
    placed: &[usize],
    i: usize,
    count: u32,
) -> Vec<u32> {
    let taking = &takings[i];
    let until = |slot: u32| {
        let there = placed.iter().filter(|&&p| given[p].contains(&slot));
        there.filter(|&&p| meet(&takings[p], taking)).map(|&p| takings[p].to).max()
    };
    let like = taking.like.map_or(&[][..], |l| &given[l]);
    let wish = |slot: u32| {
        let place = |list: &[u32]| list.iter().position(|&s| s == slot);
        place(&taking.prefer).or_else(|| place(like).map(|p| p + taking.prefer.len()))
    };
    let wished_by_others = |slot: u32| {
        let others = takings.iter().enumerate().filter(|&(o, _)| o != i && !placed.contains(&o));
        others.filter(|(_, t)| t.prefer.contains(&slot) && meet(t, taking)).count()
    };
    let mut slots: Vec<u32> = (0..count).collect();
    slots.sort_by_cached_key(|&slot| {
        // Free ones first, then those free soonest.
        let wish = wish(slot).map_or((1, wished_by_others(slot)), |p| (0, p));
        (until(slot).map(|to| (1, to)), wish, slot)
    });
    slots.truncate(taking.amount);
    slots.sort_unstable();
    slots
}

fn meet(a: &Taking, b: &Taking) -> bool {
    a.from.max(b.from) < a.to.min(b.to)
}

//! The work that must fit between two minutes: where all that lies inside
//! takes more than there is, something is wrong; where one more would, it must
//! stand elsewhere (time-table edge finding; Vilím, CPAIOR 2011; explained as
//! by Schutt, Feydy & Stuckey, CPAIOR 2013).

use super::lit::{Lit, Var};
use super::table::{Item, watched};
use super::{Conflict, Engine};

/// A resource seen so.
#[derive(Debug, Clone, Default)]
pub struct Energy {
    capacity: i64,
    standing: Vec<(i32, i32, i32)>,
    items: Vec<Item>,
    /// The same, run backward.
    mirror: Vec<Item>,
    mirror_standing: Vec<(i32, i32, i32)>,
}

/// What is known of an item at the moment.
#[derive(Debug, Clone, Copy)]
struct Known {
    item: usize,
    amount: i64,
    length: i64,
    /// Is its length the same whenever it starts?
    rigid: bool,
    /// Earliest start, latest end.
    early: i32,
    late: i32,
    /// What it surely covers.
    sure: (i32, i32),
}

impl Known {
    fn sure_in(&self, from: i32, to: i32) -> i64 {
        i64::from((self.sure.1.min(to) - self.sure.0.max(from)).max(0)) * self.amount
    }

    /// Work not surely placed.
    fn free(&self) -> i64 {
        self.amount * (self.length - i64::from((self.sure.1 - self.sure.0).max(0)))
    }
}

fn mirrored(item: &Item) -> Item {
    Item { start: item.end.neg(), end: item.start.neg(), ..item.clone() }
}

impl Energy {
    /// A resource with these uses.
    #[must_use]
    pub fn new(capacity: i32, standing: Vec<(i32, i32, i32)>, items: Vec<Item>) -> Self {
        Self {
            capacity: i64::from(capacity),
            mirror: items.iter().map(mirrored).collect(),
            mirror_standing: standing.iter().map(|&(a, b, n)| (-b, -a, n)).collect(),
            standing,
            items,
        }
    }

    /// Variables whose bounds matter.
    pub fn watched(&self) -> impl Iterator<Item = Var> + '_ {
        watched(&self.items)
    }

    pub(super) fn propagate(&mut self, e: &mut Engine) -> Result<(), Conflict> {
        Side { capacity: self.capacity, standing: &self.standing, items: &self.items }.run(e)?;
        Side { capacity: self.capacity, standing: &self.mirror_standing, items: &self.mirror }
            .run(e)
    }
}

/// One direction of time.
struct Side<'a> {
    capacity: i64,
    standing: &'a [(i32, i32, i32)],
    items: &'a [Item],
}

/// A start that must be later.
struct Push {
    known: Known,
    from: i32,
    to: i32,
    start: i32,
}

impl Side<'_> {
    fn known(&self, e: &Engine) -> Vec<Known> {
        let mut all = Vec::with_capacity(self.items.len());
        for (i, item) in self.items.iter().enumerate() {
            if !item.is_there(e) {
                continue;
            }
            let sure = item.sure(e);
            let rigid = item.length().is_some();
            let length = item.length().unwrap_or((sure.1 - sure.0).max(0));
            if length > 0 {
                all.push(Known {
                    item: i,
                    amount: i64::from(item.amount),
                    length: i64::from(length),
                    rigid,
                    early: e.lowest(item.start),
                    late: e.highest(item.end),
                    sure,
                });
            }
        }
        all
    }

    /// Work surely done before each of the minutes (rising).
    fn sure_before(&self, known: &[Known], minutes: &[i32]) -> Vec<i64> {
        let mut events: Vec<(i32, i64)> = Vec::with_capacity(2 * known.len());
        for k in known.iter().filter(|k| k.sure.0 < k.sure.1) {
            events.push((k.sure.0, k.amount));
            events.push((k.sure.1, -k.amount));
        }
        for &(from, to, amount) in self.standing {
            events.push((from, i64::from(amount)));
            events.push((to, -i64::from(amount)));
        }
        events.sort_unstable();
        let (mut next, mut at, mut height, mut sum) = (0, i32::MIN, 0i64, 0i64);
        let mut all = Vec::with_capacity(minutes.len());
        for &m in minutes {
            while let Some(&(when, change)) = events.get(next).filter(|e| e.0 <= m) {
                sum += height * i64::from(when.saturating_sub(at));
                (at, height, next) = (when, height + change, next + 1);
            }
            sum += height * i64::from(m.saturating_sub(at));
            at = m;
            all.push(sum);
        }
        all
    }

    fn run(&self, e: &mut Engine) -> Result<(), Conflict> {
        let mut known = self.known(e);
        if known.len() < 2 {
            return Ok(());
        }
        e.work += (known.len() * known.len()) as u64 / 16;
        known.sort_unstable_by_key(|k| (std::cmp::Reverse(k.early), k.item));
        let mut ends: Vec<i32> = known.iter().map(|k| k.late).collect();
        ends.sort_unstable();
        ends.dedup();
        let mut minutes: Vec<i32> =
            ends.iter().copied().chain(known.iter().map(|k| k.early)).collect();
        minutes.sort_unstable();
        minutes.dedup();
        let sure = self.sure_before(&known, &minutes);
        let before = |m: i32| minutes.binary_search(&m).map_or(0, |i| sure[i]);
        let begins: Vec<i64> = known.iter().map(|k| before(k.early)).collect();
        let mut pushes: Vec<Push> = Vec::new();
        for &to in &ends {
            let until = before(to);
            let mut inside = 0i64;
            let mut worst: Option<(i64, Known)> = None;
            // Those that begin later stand first.
            let first = known.partition_point(|k| k.early >= to);
            for (k, &begin) in known[first..].iter().zip(&begins[first..]) {
                let from = k.early;
                if k.late <= to && k.rigid {
                    inside += k.free();
                } else if k.rigid {
                    let wants =
                        k.amount * k.length.min(i64::from(to - k.early)) - k.sure_in(k.early, to);
                    if worst.is_none_or(|w| wants > w.0) && wants > 0 {
                        worst = Some((wants, *k));
                    }
                }
                let left = self.capacity * i64::from(to - from) - inside - (until - begin);
                if left < 0 {
                    let mut why = Vec::new();
                    self.why(&known, (from, to), None, -1 - left, &mut why);
                    return e.fail(&why);
                }
                if let Some((_, w)) = worst.filter(|w| w.0 > left && inside > 0) {
                    let rest = left + w.sure_in(from, to);
                    let start = to - (rest / w.amount) as i32;
                    if start > w.early {
                        pushes.push(Push { known: w, from, to, start });
                    }
                }
            }
        }
        self.push(e, &known, &pushes)
    }

    fn push(&self, e: &mut Engine, known: &[Known], pushes: &[Push]) -> Result<(), Conflict> {
        for p in pushes {
            let item = &self.items[p.known.item];
            let lit = item.start.at_least(p.start);
            if e.is_true(lit) {
                continue;
            }
            // Started earlier (but not before `from` as it stands), it would use more
            // between the two minutes than the others leave.
            let own = p.known;
            let others = self.used(known, p.from, p.to, Some(own.item));
            let left = self.capacity * i64::from(p.to - p.from) - others;
            let least = own.length.min(i64::from(p.to - (p.start - 1)));
            let takes = own.amount * least;
            if takes <= left {
                continue;
            }
            let mut why = vec![item.start.at_least(p.from)];
            why.extend(item.present);
            self.why(known, (p.from, p.to), Some(own.item), takes - left - 1, &mut why);
            e.enqueue_for(lit, &why)?;
        }
        Ok(())
    }

    /// Work of all (but one) that must be done between the two minutes.
    fn used(&self, known: &[Known], from: i32, to: i32, but: Option<usize>) -> i64 {
        let stands = self
            .standing
            .iter()
            .map(|&(a, b, n)| i64::from((b.min(to) - a.max(from)).max(0)) * i64::from(n));
        let items = known.iter().filter(|k| Some(k.item) != but).map(|k| part(k, from, to));
        stands.sum::<i64>() + items.sum::<i64>()
    }

    /// Why so much must be done between the two minutes, `spare` of it not needed.
    fn why(
        &self,
        known: &[Known],
        (from, to): (i32, i32),
        but: Option<usize>,
        mut spare: i64,
        out: &mut Vec<Lit>,
    ) {
        let mut parts: Vec<(i64, &Known)> = known
            .iter()
            .filter(|k| Some(k.item) != but)
            .map(|k| (part(k, from, to), k))
            .filter(|p| p.0 > 0)
            .collect();
        parts.sort_by_key(|p| (p.0, p.1.item));
        for (work, k) in parts {
            if work <= spare {
                spare -= work;
                continue;
            }
            let item = &self.items[k.item];
            if inside(k, from, to) {
                // A little outside would do as well, if there is work to spare.
                let more = (spare / k.amount).min(k.length) as i32;
                let (out_from, out_to) = (from - more, to + more);
                if more > 0 {
                    spare -= i64::from(more) * k.amount;
                }
                out.push(item.start.at_least(out_from));
                out.push(item.end.at_most(out_to));
                out.extend(item.present);
            } else {
                item.cover(k.sure.0.max(from), k.sure.1.min(to), out);
            }
        }
    }
}

fn inside(k: &Known, from: i32, to: i32) -> bool {
    k.rigid && k.early >= from && k.late <= to
}

/// The work of one that must be done between two minutes.
fn part(k: &Known, from: i32, to: i32) -> i64 {
    if inside(k, from, to) { k.amount * k.length } else { k.sure_in(from, to) }
}

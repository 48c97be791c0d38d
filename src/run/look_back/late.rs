//! What was late, and the chain of what made it so.

use std::collections::BTreeSet;

use super::{Late, named};
use crate::kitchen::Minute;
use crate::order::InOrder;
use crate::plan::{Block, StepKey};
use crate::run::report::Report;
use crate::run::state::{MINUTE_MS, State, StationMark};
use crate::run::words;

/// Fewer minutes are no lateness: marks are made by a hand that was busy.
const GIVE: Minute = 2;
/// A step that ran over or began late by so many minutes is told of even if every service was on time.
const TOLD: Minute = 5;
/// Longest chain.
const LINKS: usize = 10;

/// Services that were late, then steps whose lateness began with them.
pub(super) fn late(state: &State, report: &Report, now_ms: i64) -> Vec<Late> {
    let seen = Seen::of(state, now_ms);
    let mut found = Vec::new();
    let mut told: BTreeSet<StepKey> = BTreeSet::new();
    for (index, service) in report.services.iter().enumerate() {
        let due = service.moved.unwrap_or(service.asked);
        let late = service.served.map_or(0, |s| s - due);
        let Some(dish) = seen.last_served(index).filter(|_| late >= GIVE) else { continue };
        let mut chain = seen.of_dish(dish, due);
        let root = chain.1;
        told.extend(root);
        if chain.0.is_empty() {
            chain.0.push(format!("the {} stood on the table last", words::dish(state, dish)));
        }
        let title = words::capital(&words::in_sentence(&service.title));
        found.push(Late { what: title, minutes: late, chain: chain.0 });
    }
    found.order_by_key(|l| -l.minutes);
    let mut roots: Vec<Late> = Vec::new();
    for load in &seen.loads {
        let lost = load.over().max(0) + load.begun_late().max(0);
        let own = load.over() >= TOLD || load.begun_late() >= TOLD && seen.blocker(load).is_none();
        if own && told.insert(load.key) {
            let what = words::capital(&named(state, load.key));
            roots.push(Late { what, minutes: lost, chain: vec![seen.root(load)] });
        }
    }
    roots.order_by_key(|l| -l.minutes);
    found.extend(roots);
    found
}

/// A load that was planned and done.
struct Load<'a> {
    key: StepKey,
    block: &'a Block,
    from: Minute,
    to: Minute,
}

impl Load<'_> {
    fn over(&self) -> Minute {
        (self.to - self.from) - (self.block.end - self.block.start)
    }

    fn begun_late(&self) -> Minute {
        self.from - self.block.start
    }
}

/// Why a load could not begin.
enum By {
    Follows,
    Station,
    Cook(String),
}

struct Seen<'a> {
    state: &'a State,
    loads: Vec<Load<'a>>,
}

impl<'a> Seen<'a> {
    fn of(state: &'a State, now_ms: i64) -> Self {
        let first = state.facts().first_plan.as_deref();
        let blocks = first.map(|p| p.blocks.as_slice()).unwrap_or_default();
        let load = |block: &'a Block| {
            let progress = state.facts().progress.get(&block.key)?;
            let from = state.minute(progress.run()?.start_ms);
            let to = state.minute(state.over_ms(block.key, now_ms)?).max(from);
            (!state.is_dropped(block.key.dish)).then_some(Load { key: block.key, block, from, to })
        };
        Self { state, loads: blocks.iter().filter_map(load).collect() }
    }

    fn last_served(&self, service: usize) -> Option<usize> {
        let sheets = self.state.evening().sheets.iter().enumerate();
        let of = sheets.filter(|(_, s)| s.service == service).map(|(dish, _)| dish);
        of.max_by_key(|dish| self.state.served_ms(*dish))
    }

    /// The chain of a dish that was served late, and the load with which it begins.
    fn of_dish(&self, dish: usize, due: Minute) -> (Vec<String>, Option<StepKey>) {
        let last = self.loads.iter().filter(|l| l.key.dish == dish).max_by_key(|l| l.to);
        let name = words::dish(self.state, dish);
        let Some(last) = last else { return (Vec::new(), None) };
        let face = &self.state.evening().face;
        if last.to <= due {
            let ready =
                format!("the {name} was ready at {}, and served later", face.label(last.to));
            return (vec![ready], None);
        }
        let mut chain = vec![format!("the {name} was ready at {}", face.label(last.to))];
        if last.block.end > due + GIVE {
            let at = face.label(last.block.end);
            chain.push(format!("by the plan it would not have been ready before {at}"));
        }
        let mut at = last;
        let mut gone: BTreeSet<StepKey> = BTreeSet::new();
        while chain.len() < LINKS && gone.insert(at.key) {
            match self.blocker(at).filter(|_| at.over() < at.begun_late()) {
                Some((before, by)) => {
                    chain.push(self.link(at, before, &by));
                    at = before;
                }
                None => {
                    chain.push(self.root(at));
                    return (chain, Some(at.key));
                }
            }
        }
        (chain, None)
    }

    /// What kept a load from beginning when it was planned: the last thing to end
    /// of those that it had to wait for.
    fn blocker(&self, load: &Load) -> Option<(&Load<'a>, By)> {
        if load.begun_late() < GIVE {
            return None;
        }
        let mut best: Option<(&Load<'a>, By)> = None;
        for other in self.loads.iter().filter(|o| o.key != load.key) {
            let Some(by) = self.stands_before(other, load) else { continue };
            let held = other.to > load.block.start && other.to <= load.from + GIVE;
            // Of two that ended together the recipe's own order is the plainer reason.
            let better = |(b, was): &(&Load, By)| {
                other.to > b.to
                    || other.to == b.to
                        && matches!((&by, was), (By::Follows, w) if !matches!(w, By::Follows))
            };
            if held && best.as_ref().is_none_or(better) {
                best = Some((other, by));
            }
        }
        best
    }

    /// Does a load come before another by the plan, and by what?
    fn stands_before(&self, other: &Load, load: &Load) -> Option<By> {
        if other.block.end > load.block.start {
            return None;
        }
        let (same, a, b) = (other.key.dish == load.key.dish, other.block, load.block);
        let follows = || {
            let ids = |k: StepKey| self.state.step(k).map(|s| s.id.clone()).unwrap_or_default();
            let id = ids(other.key);
            let of = self.state.step(load.key);
            of.is_some_and(|s| s.after.iter().any(|x| x.step == id))
        };
        let earlier_load = other.key.step == load.key.step && other.key.load < load.key.load;
        if same && (earlier_load || follows()) {
            return Some(By::Follows);
        }
        if a.station == b.station && a.slots.iter().any(|s| b.slots.contains(s)) {
            return Some(By::Station);
        }
        // What goes on by itself keeps nobody from beginning something else.
        let cook = a.cook.as_ref().filter(|c| a.by_hand() && b.cook.as_ref() == Some(c))?;
        Some(By::Cook(cook.clone()))
    }

    fn link(&self, load: &Load, before: &Load, by: &By) -> String {
        let (late, what) = (load.begun_late(), named(self.state, load.key));
        let earlier = named(self.state, before.key);
        match by {
            By::Follows => format!("{what} began {late} min late: {earlier} was not done"),
            By::Station => {
                let station = words::the_station(self.state.evening(), &load.block.station);
                format!("{what} began {late} min late: {station} was taken by {earlier}")
            }
            By::Cook(cook) => {
                let cooks = &self.state.evening().party.cooks;
                let name = cooks.iter().find(|c| c.id == *cook).map_or(cook, |c| &c.name);
                format!("{what} began {late} min late: {name} was busy with {earlier}")
            }
        }
    }

    /// Why a load was late that nothing before it made late.
    fn root(&self, load: &Load) -> String {
        let what = named(self.state, load.key);
        let (late, over) = (load.begun_late(), load.over());
        let broke = self.broke(load).map(|station| format!("{station} was out of use"));
        let took = (over >= GIVE).then(|| format!("{what} took {over} min longer than planned"));
        let begun = (late >= GIVE).then(|| match &broke {
            Some(broke) => format!("{what} began {late} min late: {broke}"),
            None => format!("{what} began {late} min late, and nothing held it up"),
        });
        match (begun, took) {
            (Some(begun), Some(_)) => {
                format!("{begun}; and it took {over} min longer than planned")
            }
            (Some(one), None) | (None, Some(one)) => one,
            (None, None) => format!("{what} was on time, and what followed was not begun"),
        }
    }

    /// The station that was out of use between when a load was planned and when it began.
    fn broke(&self, load: &Load) -> Option<String> {
        let log = self.state.facts().station_log.get(&load.block.station)?;
        let (from, to) =
            (self.state.ms(load.block.start - 60), self.state.ms(load.from) + MINUTE_MS);
        let down = |(ms, what): &(i64, StationMark)| {
            *what == StationMark::Down && (from..=to).contains(ms)
        };
        let broke = log.iter().any(down);
        broke.then(|| words::the_station(self.state.evening(), &load.block.station))
    }
}

//! The ways of one dish's food through its steps, as stretches in and out of
//! temperature control. What the limits are made of is said in [`super::clock`].

use super::draft::Draft;
use super::pans::fridge;
use crate::kitchen::units::Unit;
use crate::kitchen::{Kept, Sheet, WaitPlace};
use crate::plan::problem::Point;

/// What a step does to the temperature of the food.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Care {
    /// Heats it: the clock starts anew.
    Heats,
    /// Chills it: the clock stands still.
    Chills,
    /// Neither.
    Open,
}

/// Whether a step brings food out of its store.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Raw {
    /// It only goes on with what earlier steps made.
    No,
    /// Dry goods, which may lie about until they are heated.
    Dry,
    /// Something from the fridge, the freezer or a can.
    Yes,
}

/// Where a stretch ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Exit {
    /// At the start of the last load of a step that heats or chills.
    Start(usize),
    /// At the end of the last load of a step, after which the food waits hot or cold.
    End(usize),
    /// At the serving.
    Serve,
}

/// Minutes out of control, in how many stretches still ahead.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Sum {
    pub need: i32,
    pub count: u32,
    /// The time on the table is among them.
    pub served: bool,
}

impl Sum {
    pub fn then(self, next: Self) -> Self {
        Self {
            need: self.need.saturating_add(next.need),
            count: self.count + next.count,
            served: self.served || next.served,
        }
    }

    /// Both the greater need and the greater count: never laxer than either.
    fn or(self, other: Self) -> Self {
        let served = if other.need > self.need { other.served } else { self.served };
        Self { need: self.need.max(other.need), count: self.count.max(other.count), served }
    }
}

/// A beginning of stretches: where food leaves control.
#[derive(Debug, Clone)]
pub(super) struct Entry {
    pub from: Point,
    /// The step whose control it leaves, if any.
    after: Option<usize>,
    /// The open step at which it leaves a controlled wait or a cold store.
    at: Option<usize>,
    /// What came before since the last heating.
    pub before: Sum,
    pub exits: Vec<Out>,
}

/// An end of a stretch.
#[derive(Debug, Clone, Copy)]
pub(super) struct Out {
    pub exit: Exit,
    /// The stretch's own least minutes; its count is 0 if it lies behind us.
    pub own: Sum,
    /// What comes after until the next heating or the end of the table.
    pub tail: Sum,
}

/// One dish's food.
#[derive(Debug, Clone)]
pub(super) struct Food {
    pub dish: usize,
    pub last: usize,
    care: Vec<Care>,
    /// Least minutes of each step, all loads.
    minutes: Vec<i32>,
    /// `(before, after, least minutes between, under control meanwhile)`.
    edges: Vec<(usize, usize, i32, bool)>,
    /// Steps that bring food out of its store.
    raw: Vec<Raw>,
    /// Steps in an order in which each comes after those that it follows.
    order: Vec<usize>,
    table: i32,
}

impl Food {
    pub fn of(draft: &Draft<'_>, dish: usize, sheet: &Sheet) -> Self {
        let steps = &sheet.recipe.steps;
        let mut edges = Vec::new();
        for (s, step) in steps.iter().enumerate() {
            for after in &step.after {
                let kept = match after.place {
                    WaitPlace::Room => false,
                    WaitPlace::Hot => true,
                    WaitPlace::Cold => fridge(draft).is_some(),
                };
                if let Some(before) = sheet.step_index(&after.step) {
                    let least = i32::try_from(after.least_minutes).unwrap_or(i32::MAX / 4);
                    edges.push((before, s, least, kept));
                }
            }
        }
        let order = in_order(steps.len(), &edges);
        let care: Vec<Care> = (0..steps.len()).map(|s| care(draft, dish, s)).collect();
        let minutes = (0..steps.len()).map(|s| least_minutes(draft, dish, s)).collect();
        let raw = raw(sheet, &edges);
        let table = draft.table(dish);
        Self { dish, last: sheet.last_step(), care, minutes, edges, raw, order, table }
    }

    /// All beginnings of stretches with their ends, what comes before and after.
    pub fn entries(&self, draft: &Draft<'_>) -> Vec<Entry> {
        let mut entries = self.beginnings(draft);
        for entry in &mut entries {
            entry.exits = self.exits(draft, entry);
        }
        self.add_before(&mut entries);
        self.add_tails(&mut entries);
        entries
    }

    fn beginnings(&self, draft: &Draft<'_>) -> Vec<Entry> {
        let entry = |from: Option<Point>, after, at| {
            from.map(|from| Entry { from, after, at, before: Sum::default(), exits: Vec::new() })
        };
        let mut entries = Vec::new();
        for &(u, v, _, kept) in &self.edges {
            if kept && self.care[v] == Care::Open {
                entries.extend(entry(draft.start(self.dish, v), Some(u), Some(v)));
            }
        }
        for s in 0..self.care.len() {
            let left_in_room = self.edges.iter().any(|e| e.0 == s && !e.3) || s == self.last;
            if self.care[s] != Care::Open && left_in_room {
                entries.extend(entry(draft.first_end(self.dish, s), Some(s), None));
            }
            if self.care[s] == Care::Open && self.raw[s] != Raw::No {
                entries.extend(entry(draft.start(self.dish, s), None, Some(s)));
            }
        }
        entries
    }

    /// Where the stretches that begin here end, with their least minutes.
    fn exits(&self, draft: &Draft<'_>, entry: &Entry) -> Vec<Out> {
        let mut exits = Vec::new();
        let dry = entry.after.is_none() && entry.at.is_some_and(|s| self.raw[s] == Raw::Dry);
        let mut add = |exit, need| {
            if dry && matches!(exit, Exit::Start(z) if self.care[z] == Care::Heats) {
                return;
            }
            let own = self.settled(draft, entry.from, exit, need);
            exits.push(Out { exit, own, tail: Sum::default() });
        };
        // Longest ways to the end of each open step.
        let mut reach: Vec<Option<i32>> = vec![None; self.care.len()];
        let longer = |a: Option<i32>, b: i32| Some(a.map_or(b, |a| a.max(b)));
        if let Some(at) = entry.at {
            reach[at] = Some(self.minutes[at]);
        } else if let Some(u) = entry.after {
            for &(_, v, least, _) in self.edges.iter().filter(|e| e.0 == u && !e.3) {
                match self.care[v] {
                    Care::Open => reach[v] = longer(reach[v], least + self.minutes[v]),
                    _ => add(Exit::Start(v), least),
                }
            }
            if u == self.last {
                add(Exit::Serve, 0);
            }
        }
        for &s in &self.order {
            let Some(so_far) = reach[s] else { continue };
            if self.edges.iter().any(|e| e.0 == s && e.3) {
                add(Exit::End(s), so_far);
            }
            if s == self.last {
                add(Exit::Serve, so_far);
            }
            for &(_, v, least, _) in self.edges.iter().filter(|e| e.0 == s && !e.3) {
                match self.care[v] {
                    Care::Open => reach[v] = longer(reach[v], so_far + least + self.minutes[v]),
                    _ => add(Exit::Start(v), so_far + least),
                }
            }
        }
        exits
    }

    /// The least minutes of a stretch as things stand: what it took, if it is
    /// over; at least what has gone by, if it has begun.
    fn settled(&self, draft: &Draft<'_>, from: Point, exit: Exit, need: i32) -> Sum {
        let ahead = |need| Sum { need, count: 1, served: false };
        let Some(since) = draft.known(from) else { return ahead(need) };
        if let (Exit::Serve, Some(cold)) = (exit, kept_cold_since(draft, self.dish)) {
            return Sum { need: (cold - since).max(0), count: 0, served: false };
        }
        let to: Option<Vec<i32>> = match exit {
            Exit::Start(s) => draft.starts(self.dish, s).map(|p| draft.known(p)).collect(),
            Exit::End(s) => draft.ends(self.dish, s).map(|p| draft.known(p)).collect(),
            Exit::Serve => None,
        };
        match to.and_then(|to| to.into_iter().max()) {
            Some(to) => Sum { need: (to - since).max(0), count: 0, served: false },
            None => ahead(need.max(draft.problem.start - since)),
        }
    }

    /// Forward: what each stretch has behind it since the last heating.
    fn add_before(&self, entries: &mut [Entry]) {
        let none = || vec![Sum::default(); self.care.len()];
        // At the end of open steps; on arrival at steps that heat or chill.
        let (mut ended, mut arrived) = (none(), none());
        for &s in &self.order {
            for &(u, _, _, _) in self.edges.iter().filter(|e| e.1 == s && e.3) {
                let before = self.under_control(u, &ended, &arrived);
                arrived[s] = arrived[s].or(before);
            }
            for entry in entries.iter_mut().filter(|e| e.at.or(e.after) == Some(s)) {
                entry.before = match (entry.at, entry.after) {
                    (_, Some(u)) => self.under_control(u, &ended, &arrived),
                    _ => Sum::default(),
                };
                for out in &entry.exits {
                    let sum = entry.before.then(out.own);
                    match out.exit {
                        Exit::Start(z) => arrived[z] = arrived[z].or(sum),
                        Exit::End(w) => ended[w] = ended[w].or(sum),
                        Exit::Serve => {}
                    }
                }
            }
        }
    }

    fn under_control(&self, s: usize, ended: &[Sum], arrived: &[Sum]) -> Sum {
        match self.care[s] {
            Care::Heats => Sum::default(),
            Care::Chills => arrived[s],
            Care::Open => ended[s],
        }
    }

    /// Backward: what each stretch has before it until the next heating or the
    /// end of the time on the table.
    fn add_tails(&self, entries: &mut [Entry]) {
        let served = Sum { need: self.table, count: 0, served: true };
        // After the control that follows each step.
        let mut after = vec![Sum::default(); self.care.len()];
        for &s in self.order.iter().rev() {
            let mut tail = Sum::default();
            for &(_, v, _, _) in self.edges.iter().filter(|e| e.0 == s && e.3) {
                tail = match self.care[v] {
                    Care::Heats => tail,
                    Care::Chills => tail.or(after[v]),
                    Care::Open => {
                        let at = entries.iter().filter(|e| e.at == Some(v) && e.after == Some(s));
                        at.fold(tail, |tail, e| tail.or(rest(e)))
                    }
                };
            }
            after[s] = tail;
            let mine = |e: &&mut Entry| e.at.or(e.after) == Some(s);
            for entry in entries.iter_mut().filter(mine) {
                for out in &mut entry.exits {
                    out.tail = match out.exit {
                        Exit::Start(z) if self.care[z] == Care::Heats => Sum::default(),
                        Exit::Start(z) | Exit::End(z) => after[z],
                        Exit::Serve => served,
                    };
                }
            }
            for entry in entries.iter().filter(|e| e.at.is_none() && e.after == Some(s)) {
                after[s] = after[s].or(rest(entry));
            }
        }
    }
}

/// Since when a finished dish waits in the cold, if it does: until it is
/// served its clock stands still.
fn kept_cold_since(draft: &Draft<'_>, dish: usize) -> Option<i32> {
    let held = draft.situation.held.get(&dish)?;
    let station = draft.station(held.station.as_ref()?)?;
    let chills = draft.evening.kitchen.stations.get(station).is_some_and(|s| s.kind.chills());
    (chills && draft.is_up(station)).then_some(held.since)
}

/// The most that can still come from an entry on.
fn rest(entry: &Entry) -> Sum {
    entry.exits.iter().fold(Sum::default(), |most, out| most.or(out.own.then(out.tail)))
}

/// What a step does, by the stations at which it may be done. A step that was
/// left out does nothing.
fn care(draft: &Draft<'_>, dish: usize, step: usize) -> Care {
    let done = |t: &usize| draft.problem.tasks[*t].fixed.is_none_or(|f| f.start < f.end);
    if !draft.tasks[dish][step].iter().any(done) {
        return Care::Open;
    }
    let stations = &draft.evening.kitchen.stations;
    let modes = draft.steps[dish][step].iter().flat_map(|&s| &draft.map.steps[s].modes);
    let kinds: Vec<_> =
        modes.map(|m| m.station.and_then(|i| stations.get(i)).map(|s| s.kind)).collect();
    if kinds.iter().all(|k| k.is_some_and(|k| k.heats())) {
        Care::Heats
    } else if kinds.iter().all(|k| k.is_some_and(|k| k.heats() || k.chills())) {
        Care::Chills
    } else {
        Care::Open
    }
}

fn least_minutes(draft: &Draft<'_>, dish: usize, step: usize) -> i32 {
    let steps = draft.steps[dish][step].iter().map(|&s| &draft.problem.steps[s]);
    let least = steps.map(|s| {
        let loads = |m: &crate::plan::problem::Mode| {
            m.minutes.saturating_mul(i32::try_from(m.loads).unwrap_or(1))
        };
        s.modes.iter().map(loads).min().unwrap_or(0)
    });
    least.fold(0, i32::saturating_add)
}

/// Which steps bring food out of its store, and what.
fn raw(sheet: &Sheet, edges: &[(usize, usize, i32, bool)]) -> Vec<Raw> {
    let out_of_store = sheet
        .recipe
        .ingredients
        .iter()
        .filter(|i| i.kept != Kept::Cupboard || i.unit == Some(Unit::Can));
    let users: Vec<&Vec<String>> = out_of_store.map(|i| &i.steps).collect();
    let steps = sheet.recipe.steps.iter().enumerate();
    steps
        .map(|(s, step)| {
            let first = edges.iter().all(|e| e.1 != s);
            let uses = users.iter().any(|u| u.is_empty() || u.contains(&step.id))
                || sheet.cuts_cold(&step.id);
            match (uses, first) {
                (true, _) => Raw::Yes,
                (false, true) if users.is_empty() => Raw::Yes,
                (false, true) => Raw::Dry,
                (false, false) => Raw::No,
            }
        })
        .collect()
}

/// The steps, each after those that it follows; what goes round in a ring is left out.
fn in_order(steps: usize, edges: &[(usize, usize, i32, bool)]) -> Vec<usize> {
    let mut order: Vec<usize> = Vec::with_capacity(steps);
    loop {
        let ready = |s: &usize| {
            !order.contains(s) && edges.iter().all(|e| e.1 != *s || order.contains(&e.0))
        };
        match (0..steps).find(ready) {
            Some(next) => order.push(next),
            None => return order,
        }
    }
}

//! The sentences. Short, the fact first, words from the kitchen.

use super::chain::{Chain, End, Link};
use super::push::Slip;
use super::room::Room;
use super::stand::{Claim, Side, Stand, Who};
use super::tight::Tight;
use super::{Reasons, Sentence};
use crate::kitchen::{Evening, Minute, StationKind};
use crate::order::InOrder;
use crate::paper::capital;
use crate::plan::build::{LagWhy, Map, StayAt, Thing};
use crate::plan::problem::Lag;
use crate::plan::wire::{Term, TermKind, terms};
use crate::plan::{Block, Situation};

/// What sentences are made from.
pub(super) struct Words<'a> {
    pub evening: &'a Evening,
    pub situation: &'a Situation,
    pub map: &'a Map,
    pub stand: Stand<'a>,
}

/// A title in the middle of a sentence: "oven", but "BBQ".
fn small(title: &str) -> String {
    let first = title.split(' ').next().unwrap_or_default();
    if first.chars().skip(1).any(char::is_uppercase) {
        return title.to_owned();
    }
    let mut letters = title.chars();
    letters.next().map_or_else(String::new, |c| c.to_lowercase().chain(letters).collect())
}

/// "4 min", "1 h 05".
pub(super) fn span(minutes: i64) -> String {
    match (minutes / 60, minutes % 60) {
        (0, m) => format!("{m} min"),
        (h, 0) => format!("{h} h"),
        (h, m) => format!("{h} h {m:02}"),
    }
}

const fn word(side: Side) -> &'static str {
    match side {
        Side::Earlier => "earlier",
        Side::Later => "later",
    }
}

impl Words<'_> {
    fn clock(&self, minute: Minute) -> String {
        self.evening.face.label(minute)
    }

    fn dish(&self, dish: usize) -> String {
        self.evening.sheets.get(dish).map_or_else(|| "a dish".into(), |s| small(&s.short()))
    }

    /// What was marked done or left out.
    pub fn done(&self, start: Minute, end: Minute) -> String {
        match start == end {
            true => "It was left out.".to_owned(),
            false => format!("It is done: {} to {}.", self.clock(start), self.clock(end)),
        }
    }

    pub fn step(&self, dish: usize, step: usize) -> String {
        let sheet = self.evening.sheets.get(dish);
        let label = sheet.and_then(|s| s.recipe.steps.get(step)).map_or("", |s| &s.label);
        format!("{} ({label})", self.dish(dish))
    }

    /// "fritters (fry, load 2)".
    pub fn block(&self, task: usize) -> String {
        let key = self.map.tasks[task].key;
        let step = self.stand.problem.tasks[task].step;
        let loads = self.stand.problem.steps[step].modes[self.stand.schedule.mode[step]].loads;
        let name = self.step(key.dish, key.step);
        match name.strip_suffix(')') {
            Some(open) if loads > 1 => format!("{open}, load {})", key.load + 1),
            _ => name,
        }
    }

    /// "oven, 185 °C".
    pub fn place(&self, block: &Block) -> String {
        let station = self.evening.kitchen.stations.iter().position(|s| s.id == block.station);
        let name = station.map_or_else(|| block.station.clone(), |s| self.station(s));
        match block.setting_c {
            Some(c) => format!("{name}, {}", self.degrees(c)),
            None => name,
        }
    }

    fn degrees(&self, c: i32) -> String {
        self.evening.customs.oven(c)
    }

    fn station(&self, station: usize) -> String {
        let stations = &self.evening.kitchen.stations;
        let Some(place) = stations.get(station) else { return "place".into() };
        let alike = stations.iter().filter(|s| s.kind == place.kind).count();
        if alike > 1 { small(&place.title) } else { place.kind.word().to_owned() }
    }

    fn oven(&self, oven: usize) -> String {
        self.map.ovens.get(oven).map_or_else(|| "oven".into(), |&s| self.station(s))
    }

    /// "mains at 19:00", by the dish of the problem.
    fn service(&self, dish: usize) -> String {
        let at = self.map.dishes.get(dish).and_then(|&d| self.evening.sheets.get(d));
        let service = at.and_then(|s| self.evening.party.services.get(s.service));
        let title = service.map_or_else(|| "the service".into(), |s| small(&s.title));
        let due = self.stand.problem.dishes.get(dish).map_or(0, |d| d.due);
        format!("{title} at {}", self.clock(due))
    }

    /// What has happened to a block, or was asked of it.
    pub fn fact(&self, task: usize) -> Option<String> {
        let (t, stand) = (&self.stand.problem.tasks[task], &self.stand);
        if let Some(fixed) = t.fixed {
            let (from, to) = (self.clock(fixed.start), self.clock(fixed.end));
            if self.situation.planned.contains(&self.map.tasks[task].key) {
                return Some(format!("It is to be made the day before: {from} to {to}."));
            }
            let ends = fixed.end > stand.problem.start;
            return Some(match ends && fixed.start != fixed.end {
                true => format!("It runs since {from}; the end is expected at {to}."),
                false => self.done(fixed.start, fixed.end),
            });
        }
        let pinned = self.situation.pins.get(&self.map.tasks[task].key);
        pinned.map(|at| format!("You pinned it to {}.", self.clock(*at)))
    }

    /// What gives out when a block slips further.
    pub fn slip_until(&self, slip: Slip) -> String {
        match (slip.late, slip.more) {
            (_, true) => "and more".to_owned(),
            (Some(dish), _) => format!("then too late for {}", self.service(dish)),
            (None, _) => "then others must change places".to_owned(),
        }
    }

    /// All the sentences about one side.
    pub fn reasons(&self, task: usize, side: Side, room: Room, chain: &Chain) -> Reasons {
        let mut sentences: Vec<Sentence> = Vec::new();
        let mut say = |of: usize, text: String| {
            sentences.push(Sentence { key: self.map.tasks[of].key, text });
        };
        let mut links: Vec<Link> = chain.links.clone();
        let ending = match &chain.end {
            End::Fact => None,
            End::Late { moves, dish } => {
                // The load of the late dish itself is where it shows.
                let own = |t: &&(usize, i32)| {
                    self.map.dishes.get(*dish) == Some(&self.map.tasks[t.0].key.dish)
                };
                let last = moves.iter().filter(own).max_by_key(|t| (self.stand.end(t.0), t.0));
                let of = last.or(moves.first()).map_or(task, |m| m.0);
                Some((of, moves, self.late(*dish)))
            }
            End::Blocked { moves, tight } => {
                let all = capital(&self.all(task, moves, side));
                let words = self.tight(task, *tight, side);
                Some((task, moves, format!("{all} go {} only together: {words}", word(side))))
            }
            End::Nothing { moves } => Some((task, moves, self.nothing(task, moves, side, room))),
            End::Price { moves } => {
                let (of, words) = self.price(task, moves, side);
                Some((of, moves, words))
            }
        };
        if let Some((of, moves, _)) = &ending
            && links.is_empty()
        {
            // Why the others move along: the way to where it matters, or to the furthest.
            let to = Some(*of).filter(|of| *of != task).or_else(|| self.far(task, moves, side));
            links = to.map_or_else(Vec::new, |to| chain.path(to));
        }
        for link in &links {
            let words = self.tight(link.task, link.tight, side);
            if link.task == task {
                say(task, capital(&words));
            } else {
                let name = capital(&self.block(link.task));
                say(link.task, format!("{name} no {}: {words}", word(side)));
            }
        }
        if let Some((of, _, words)) = ending {
            say(of, words);
        }
        let also = chain.also.iter().map(|t| capital(&self.tight(task, *t, side))).collect();
        Reasons { room, chain: sentences, also }
    }

    fn late(&self, dish: usize) -> String {
        let serving = self.stand.serving(dish);
        let late = serving.served > self.stand.problem.dishes[dish].due;
        let still = if late { "later still" } else { "too late" };
        format!("Any later is {still} for {}.", self.service(dish))
    }

    /// The load that moves with `task` and stands furthest to that side.
    fn far(&self, task: usize, moves: &[(usize, i32)], side: Side) -> Option<usize> {
        let others = moves.iter().map(|m| m.0).filter(|t| *t != task);
        let at = |t: &usize| (self.stand.start(*t), *t);
        match side {
            Side::Earlier => others.min_by_key(at),
            Side::Later => others.max_by_key(at),
        }
    }

    /// "it", "it and pan pie (dough)", "it and 4 more, as far as pan pie (dough),".
    fn all(&self, task: usize, moves: &[(usize, i32)], side: Side) -> String {
        match (moves.len().saturating_sub(1), self.far(task, moves, side)) {
            (1, Some(other)) => format!("it and {}", self.block(other)),
            (n, Some(far)) => format!("it and {n} more, as far as {},", self.block(far)),
            (_, None) => "it".to_owned(),
        }
    }

    fn nothing(&self, task: usize, moves: &[(usize, i32)], side: Side, room: Room) -> String {
        if moves.len() > 1 {
            let all = capital(&self.all(task, moves, side));
            return format!("{all} could be {} together: nothing is lost by that.", word(side));
        }
        let minutes = span(i64::from(room.free.max(1)));
        format!("Nothing holds it here: {minutes} {} costs nothing.", word(side))
    }

    /// What a move costs, and the load at which it arises.
    fn price(&self, task: usize, moves: &[(usize, i32)], side: Side) -> (usize, String) {
        let minutes = moves.iter().filter(|m| m.0 != task).map(|m| m.1.abs()).max();
        let own = moves.iter().find(|m| m.0 == task).map_or(1, |m| m.1.abs());
        let minutes = span(i64::from(minutes.unwrap_or(own)));
        let dearest = self.dearer(moves).into_iter().next();
        let of = dearest.as_ref().and_then(|t| self.member(t, moves)).unwrap_or(task);
        let what =
            dearest.map_or_else(|| "it costs more in all".to_owned(), |t| self.term(&t, side));
        let all = capital(&self.all(task, moves, side));
        let together = if moves.len() > 1 { " together" } else { "" };
        let who = format!("{all} could be {minutes} {}{together}", word(side));
        (of, format!("{who}, but {what}."))
    }

    /// The terms that a move makes dearer, the dearest first; `amount` is how many more.
    fn dearer(&self, moves: &[(usize, i32)]) -> Vec<Term> {
        let moved = self.stand.moved(moves);
        let count = |schedule| terms(self.evening, self.stand.problem, self.map, schedule);
        let (before, after) = (count(self.stand.schedule), count(&moved));
        let same = |a: &Term, b: &Term| {
            a.kind == b.kind && a.dish == b.dish && a.step == b.step && a.weight == b.weight
        };
        let mut dearer: Vec<Term> = Vec::new();
        for term in after {
            if matches!(term.kind, TermKind::Moved | TermKind::OtherPlace) {
                continue;
            }
            let was: i64 = before.iter().filter(|b| same(b, &term)).map(|b| b.amount).sum();
            let amount = term.amount - was;
            if amount > 0 {
                dearer.push(Term { amount, cost: amount * term.weight, ..term });
            }
        }
        dearer.order_by_key(|t| (std::cmp::Reverse(t.cost), t.kind, t.dish.clone()));
        dearer
    }

    /// The moved load at which a term arises: of its step, or the last of its dish.
    fn member(&self, term: &Term, moves: &[(usize, i32)]) -> Option<usize> {
        let dish = term.dish.as_ref().and_then(|id| self.evening.dish_index(id));
        let of_dish = |t: &&(usize, i32)| dish.is_none_or(|d| self.map.tasks[t.0].key.dish == d);
        let step = |t: &&(usize, i32)| {
            let key = self.map.tasks[t.0].key;
            let steps = self.evening.sheets.get(key.dish).map(|s| &s.recipe.steps);
            let id = steps.and_then(|s| s.get(key.step)).map(|s| &s.id);
            id == term.step.as_ref()
        };
        let own = moves.iter().filter(of_dish);
        let exact = own.clone().find(step);
        let first = own.clone().min_by_key(|t| (self.stand.start(t.0), t.0));
        let last = own.max_by_key(|t| (self.stand.end(t.0), t.0));
        let of = if dish.is_some() { exact.or(last) } else { first };
        of.map(|t| t.0)
    }

    fn term(&self, term: &Term, side: Side) -> String {
        let d = term.dish.as_ref().and_then(|id| self.evening.dish_index(id));
        let dish = d.map_or_else(|| "it".into(), |d| self.dish(d));
        let of_problem = d.and_then(|d| self.map.dishes.iter().position(|&p| p == d));
        let service = of_problem.map_or_else(|| "its service".into(), |p| self.service(p));
        let step = d.zip(term.step.as_ref()).and_then(|(d, id)| {
            self.evening.sheets.get(d)?.step_index(id).map(|s| self.step(d, s))
        });
        let step = step.unwrap_or_else(|| dish.clone());
        let minutes = span(term.amount);
        match term.kind {
            TermKind::MinutesLate => format!("it is {minutes} late for {service}"),
            TermKind::PastMostWait => {
                format!("it makes {dish} wait {minutes} past the most allowed")
            }
            TermKind::PastSafetyLimit => format!("it takes {dish} {minutes} past a safety limit"),
            TermKind::HoldPastFree => {
                format!("it makes {dish} wait {minutes} longer past the best, for {service}")
            }
            TermKind::HoldShortOfBest => {
                format!("it takes {minutes} from a wait that does {dish} good")
            }
            TermKind::WaitShortOfBest => {
                format!("it takes {minutes} from the wait before {step}, which does it good")
            }
            TermKind::SecondBestWay => format!("it is not the best way for {step}"),
            TermKind::CushionMissing => {
                format!("it leaves {minutes} less to spare before {service}")
            }
            TermKind::Hours if side == Side::Earlier => {
                format!("it starts your hours {minutes} sooner")
            }
            TermKind::Hours => format!("it makes your hours {minutes} longer"),
            TermKind::Idle => {
                format!("it leaves your hands idle for {} more", span((term.amount + 99) / 100))
            }
            TermKind::Hop => format!("it breaks up what is best done in one go: {step}"),
            TermKind::Moved | TermKind::OtherPlace => "more is moved about".to_owned(),
        }
    }

    /// What stands in the way, without a capital.
    pub fn tight(&self, task: usize, tight: Tight, side: Side) -> String {
        match tight {
            Tight::Begun => "it has begun already.".to_owned(),
            Tight::Now => match self.situation.now {
                Some(now) => format!("it is {} now.", self.clock(now)),
                None => {
                    format!("the first cook is there at {}.", self.clock(self.stand.problem.start))
                }
            },
            Tight::Pin => "you pinned it to this minute.".to_owned(),
            Tight::Horizon => {
                format!("the evening ends at {}.", self.clock(self.stand.problem.end))
            }
            Tight::Wait { lag, other } => self.wait(lag, other, side),
            Tight::Taken { resource, by, from, to } => {
                let when = if self.is_tail(task, from, to, side) { "at its end " } else { "" };
                format!("{when}{}", self.taken(resource, by, from, to, side))
            }
            Tight::Away { resource, hours } => self.away(resource, hours, side),
            Tight::Oven { oven, by, c, from, to, change } => {
                let (name, c) = (self.oven(oven), self.degrees(c));
                let turn = format!("{} to change", span(i64::from(change)));
                match side {
                    Side::Earlier => format!(
                        "the {name} is at {c} for {} until {}, and needs {turn}.",
                        self.who(by),
                        self.clock(to)
                    ),
                    Side::Later => format!(
                        "the {name} must be at {c} for {} at {}, and needs {turn}.",
                        self.who(by),
                        self.clock(from)
                    ),
                }
            }
            Tight::Heating { oven, minutes } => format!(
                "the {} needs {} to get there, from {} on.",
                self.oven(oven),
                span(i64::from(minutes)),
                self.clock(self.stand.problem.start)
            ),
            Tight::Hold { dish, most } => format!(
                "it may wait {} at most before {}.",
                span(i64::from(most)),
                self.service(dish)
            ),
            Tight::Straight { dish } => {
                format!("it goes straight to the table, {}.", self.service(dish))
            }
            Tight::Limit { dish, most, since } => format!(
                "food safety: out of the heat or cold since {}, {} at most until {}.",
                self.clock(since),
                span(i64::from(most)),
                self.service(dish)
            ),
        }
    }

    fn wait(&self, lag: usize, other: usize, side: Side) -> String {
        let l: &Lag = &self.stand.problem.lags[lag];
        let name = self.block(other);
        let at = self.clock(self.stand.at(if l.from.task == other { l.from } else { l.to }));
        let before = l.from.task == other;
        // Towards the other end it is the least wait that binds, away from it the most, however
        // far it could go before.
        let least = before == (side == Side::Earlier);
        if matches!(self.map.lags.get(lag), Some(LagWhy::Clock { .. })) {
            let most = span(i64::from(l.most));
            let verb = if before { "from" } else { "until" };
            return format!(
                "food safety: {most} at most out of the heat or cold, {verb} {name} at {at}."
            );
        }
        let between = |least: bool, minutes: i32| {
            let (bound, minutes) = (if least { "least" } else { "most" }, span(i64::from(minutes)));
            let done = if before { "done " } else { "" };
            format!("at {bound} {minutes} lie between it and {name}, {done}at {at}.")
        };
        match (before, least) {
            (_, true) if l.least > 0 => between(true, l.least),
            (_, false) => between(false, l.most),
            (true, _) => format!("{name} must be done first, at {at}."),
            (false, _) => format!("next is {name}, at {at}."),
        }
    }

    fn who(&self, who: Who) -> String {
        match who {
            Who::Task(t) | Who::Hands(t) => self.block(t),
            Who::Hold(d) => {
                self.map.dishes.get(d).map_or_else(|| "a dish".into(), |&d| self.dish(d))
            }
            Who::Stay(s) => match self.map.stays.get(s) {
                Some(
                    StayAt::Pan { dish, .. } | StayAt::Wait { dish, .. } | StayAt::Copy { dish },
                ) => self.dish(*dish),
                None => "a dish".into(),
            },
        }
    }

    /// Is it the hands at the end of a load that meet others?
    fn is_tail(&self, task: usize, from: Minute, to: Minute, side: Side) -> bool {
        let claims = self.stand.claims();
        let own = |c: &&Claim| c.who == Who::Hands(task) && c.from > self.stand.start(task);
        claims.iter().filter(own).any(|c| match side {
            Side::Earlier => c.from == to,
            Side::Later => c.to == from,
        })
    }

    fn taken(&self, resource: usize, by: Who, from: Minute, to: Minute, side: Side) -> String {
        let when = match side {
            Side::Earlier => format!("until {}", self.clock(to)),
            Side::Later => format!("from {}", self.clock(from)),
        };
        let who = self.who(by);
        match self.map.thing(resource) {
            Thing::Cook(c) => {
                let cooks = &self.evening.party.cooks;
                let hands = match cooks.get(c) {
                    Some(cook) if cooks.len() > 1 => format!("{} has hands full", cook.name),
                    _ => "your hands are full".to_owned(),
                };
                format!("{hands} {when}: {who}.")
            }
            Thing::Cookware(c) => {
                let ware = self.evening.kitchen.cookware.get(c);
                let name = ware.map_or_else(|| "pan".into(), |w| small(&w.title));
                format!("the {name} is in use {when}: {who}.")
            }
            Thing::Station(s) => {
                let waits = match by {
                    Who::Hold(d) => format!(" waits there for {}", self.service(d)),
                    Who::Stay(_) => " waits there".to_owned(),
                    _ => String::new(),
                };
                let station = self.evening.kitchen.stations.get(s);
                let one = station.is_some_and(|s| s.slots == 1 && s.kind != StationKind::Fridge);
                let full = if one { "taken" } else { "full" };
                format!("the {} is {full} {when}: {who}{waits}.", self.station(s))
            }
        }
    }

    fn away(&self, resource: usize, hours: (Minute, Minute), side: Side) -> String {
        let cooks = &self.evening.party.cooks;
        let name = match self.map.thing(resource) {
            Thing::Cook(c) => cooks.get(c).map_or_else(|| "the cook".into(), |c| c.name.clone()),
            Thing::Station(s) => format!("the {}", self.station(s)),
            Thing::Cookware(_) => "the pan".into(),
        };
        match side {
            Side::Earlier => format!("{name} is there from {} on.", self.clock(hours.1)),
            Side::Later => format!("{name} is there until {}.", self.clock(hours.0)),
        }
    }
}

#[cfg(test)]
mod tests;

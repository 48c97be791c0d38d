//! What there is to say of the menu: what is wrong with it, then what is so.

use crate::kitchen::choice::{Choice, Enough, choices, for_nobody};
use crate::kitchen::menu::Balance;
use crate::kitchen::{Course, Minute};
use crate::plan::loads::{StationLoad, loads};
use crate::plan::risk::words::percent;
use crate::plan::ways::words::minutes;
use crate::screen::Scene;

/// A sentence about the menu.
pub(super) struct Remark {
    /// Something to see to.
    pub wrong: bool,
    /// The sentence.
    pub words: String,
}

impl Remark {
    fn wrong(words: impl Into<String>) -> Self {
        Self { wrong: true, words: words.into() }
    }

    fn plain(words: impl Into<String>) -> Self {
        Self { wrong: false, words: words.into() }
    }
}

/// Everything worth saying, what is wrong first.
pub(super) fn remarks(scene: &Scene) -> Vec<Remark> {
    let mut all = Vec::new();
    let balance = Balance::of(scene.evening, &scene.view.dropped);
    all.extend(time(scene));
    all.extend(missing(&balance));
    let choices = choices(scene.evening, &scene.view.dropped);
    all.extend(guests(scene, &choices));
    all.extend(nobody(scene, &choices));
    if balance != Balance::default() {
        all.push(Remark::plain(format!(
            "{}; {}.",
            balance.courses_words(),
            balance.warmth_words()
        )));
    }
    all.extend(stations(scene));
    all.sort_by_key(|r| !r.wrong);
    all
}

/// Does the kitchen carry it, by the plan on the screen?
fn time(scene: &Scene) -> Vec<Remark> {
    if scene.plan.blocks.is_empty() {
        return vec![Remark::plain("There is no plan yet: the planner is at work.")];
    }
    let mut all = Vec::new();
    let mut on_time = Vec::new();
    for line in &scene.plan.services {
        let title = scene.evening.party.services.get(line.service).map_or("", |s| &s.title);
        let late = line.dishes.iter().map(|d| d.2 - line.due).max().unwrap_or(0);
        let odds = scene.status.odds.as_ref().and_then(|o| o.of(line.service));
        let sure = odds.map_or(String::new(), |o| format!(", on time on {}", percent(o)));
        if late > 0 {
            let dishes = line.dishes.iter().filter(|d| d.2 > line.due);
            let names: Vec<String> = dishes.filter_map(|d| short(scene, d.0)).collect();
            let late = minutes(late);
            all.push(Remark::wrong(format!("{title} {late} late: {}.", names.join(", "))));
        } else {
            on_time.push(format!("{title} {}{sure}", scene.evening.face.label(line.due)));
        }
    }
    if !on_time.is_empty() {
        let words = format!("The kitchen carries it: {}.", on_time.join("; "));
        all.push(Remark::plain(words));
    }
    all
}

fn short(scene: &Scene, dish: usize) -> Option<String> {
    scene.evening.sheets.get(dish).map(crate::kitchen::Sheet::short)
}

/// Courses that a supper should not be without. Common practice, no source.
fn missing(balance: &Balance) -> Vec<Remark> {
    let mut all = Vec::new();
    if balance.course(Course::Main) == 0 {
        all.push(Remark::wrong("There is no main."));
    }
    let [hot, cold, room] = balance.warmth;
    if hot >= 4 && cold + room == 0 {
        all.push(Remark::wrong("Every dish is hot: nothing can stand ready early."));
    }
    all
}

fn guests(scene: &Scene, choices: &[Choice]) -> Option<Remark> {
    let guests = &scene.evening.party.guests;
    if guests.is_empty() {
        return Some(Remark::plain("No guests are named (page 2)."));
    }
    let few = guests.iter().zip(choices).filter(|(_, c)| c.enough == Enough::No);
    let names: Vec<&str> = few.map(|(g, _)| g.name.as_str()).collect();
    match names.as_slice() {
        [] => None,
        [one] => Some(Remark::wrong(format!("Too little to choose from for {one} (page 2)."))),
        many => {
            let words = format!("Too little to choose from for {} (page 2).", many.join("; "));
            Some(Remark::wrong(words))
        }
    }
}

/// Dishes that no guest can eat.
fn nobody(scene: &Scene, choices: &[Choice]) -> Vec<Remark> {
    let nobody = for_nobody(scene.evening, choices, &scene.view.dropped);
    let names = nobody.into_iter().filter_map(|d| short(scene, d));
    names
        .map(|name| Remark::wrong(format!("{name}: not for any of the guests (page 2).")))
        .collect()
}

/// What the stations that heat carry, the fullest first.
fn stations(scene: &Scene) -> Vec<Remark> {
    let of = |l: &StationLoad| scene.evening.kitchen.stations.get(l.station);
    let mut loads = loads(scene.evening, scene.plan);
    loads.retain(|l| of(l).is_some_and(|s| s.kind.heats()));
    loads.sort_by_key(|l| std::cmp::Reverse(l.slot_minutes));
    let label = |m: Minute| scene.evening.face.label(m);
    let words = |l: &StationLoad| {
        let title = of(l).map_or("", |s| &s.title);
        let n = l.dishes.len();
        let dishes = if n == 1 { "1 dish".to_owned() } else { format!("{n} dishes") };
        let full = match l.full {
            Some((from, to)) => format!(", full from {} to {}", label(from), label(to)),
            None => String::new(),
        };
        Remark::plain(format!("{title}: {dishes}, {}{full}.", minutes(l.slot_minutes)))
    };
    loads.iter().map(words).collect()
}

//! Jobs put together over the dishes.

use std::collections::{BTreeMap, BTreeSet};

use super::order::{Board, waits};
use super::{Job, Mise, rates, setup};
use crate::kitchen::choice::{Finding, Reason, finding};
use crate::kitchen::items::{Answer, cut_form};
use crate::kitchen::units::{Dimension, Exact, Unit};
use crate::kitchen::{Evening, Kept};
use crate::mise::amounts::{self, Portion};
use crate::mise::shopping::{self, Quantity};
use crate::order::InOrder;
use crate::paper::list;

/// The mise of an evening.
#[must_use]
pub fn pool(evening: &Evening) -> Mise {
    pool_without(evening, &[])
}

/// The mise of an evening without the dishes that are not made after all.
#[must_use]
pub fn pool_without(evening: &Evening, dropped: &[usize]) -> Mise {
    let portions = amounts::of_made(evening, dropped);
    let mut notes = Vec::new();
    let mut apart_minutes = 0_u32;
    let mut jobs: Vec<(Job, Eaters)> = Vec::new();
    let eaters = Findings::of(evening);
    for (id, group) in groups(&portions) {
        let mut alone: BTreeMap<usize, Exact> = BTreeMap::new();
        for (portion, cut) in &group {
            let (work, note) = rates::seconds(portion, cut);
            let sum = alone.entry(portion.dish).or_insert(Exact::ZERO);
            *sum = *sum + work;
            notes.extend(note);
        }
        let each: u32 = alone.values().map(|work| rates::minutes(*work)).sum();
        apart_minutes = apart_minutes.saturating_add(each);
        let work: Exact = alone.values().copied().sum();
        let of = eaters.of_job(group.iter().map(|(p, _)| (p.dish, p.index)));
        jobs.extend(job(id, &group, rates::minutes(work)).map(|job| (job, of)));
    }
    let keeps_off = |(job, of): &(Job, Eaters)| !job.board.is_raw() && !of.not_for.is_empty();
    // What a guest does not eat comes after all that is ready, raw food after both. Zest comes off before
    // the juice: within a kind by item, and by what comes last in the words.
    jobs.order_by(|a, b| {
        let key = |at: &(Job, Eaters)| (at.0.board.is_raw(), keeps_off(at), at.0.board);
        let (x, y) = (&a.0, &b.0);
        key(a).cmp(&key(b)).then_with(|| {
            (&x.item, x.cut == "juiced", &x.cut).cmp(&(&y.item, y.cut == "juiced", &y.cut))
        })
    });
    let washing_minutes = wash(&mut jobs, evening);
    let jobs: Vec<Job> = jobs.into_iter().map(|(job, _)| job).collect();
    notes.order();
    notes.dedup();
    Mise {
        title: evening.party.title.clone(),
        day: evening.party.day.to_string(),
        dishes: amounts::made(evening, dropped).map(shopping::for_dish).collect(),
        pooled_minutes: jobs.iter().map(|j| j.minutes).sum(),
        jobs,
        setups: setup::setups(evening, &portions),
        apart_minutes,
        washing_minutes,
        notes,
    }
}

pub(super) type Group<'a, 'b> = Vec<(&'b Portion<'a>, &'a str)>;

/// Portions that are cut, by item and way of cutting, in an order that does not
/// depend on the order of the dishes.
pub(super) fn groups<'a, 'b>(portions: &'b [Portion<'a>]) -> BTreeMap<String, Group<'a, 'b>> {
    let mut groups: BTreeMap<String, Group<'a, 'b>> = BTreeMap::new();
    for portion in portions {
        let Some(cut) = portion.ingredient.cut.as_deref() else { continue };
        let id = format!("{}, {}", name(portion).to_lowercase(), cut_form(cut));
        groups.entry(id).or_default().push((portion, cut));
    }
    for group in groups.values_mut() {
        group.order_by_key(|(p, _)| (&p.sheet.id, p.index));
    }
    groups
}

fn name<'a>(portion: &Portion<'a>) -> &'a str {
    portion.item().map_or_else(|| portion.ingredient.item.trim(), |i| i.name.as_str())
}

/// One job of a group; nothing of an empty one.
pub(super) fn job(id: String, group: &[(&Portion<'_>, &str)], minutes: u32) -> Option<Job> {
    let (first, cut) = group.first()?;
    let item = first.item();
    let form = cut_form(cut);
    let kept = group.iter().map(|(p, _)| p.ingredient.kept).find(|k| *k != Kept::Cupboard);
    let share = |p: &Portion<'_>| shopping::share(p, name(first));
    Some(Job {
        id,
        verb: rates::verb(cut),
        item: name(first).to_owned(),
        total: total(group),
        shares: group.iter().map(|(p, _)| share(p)).collect(),
        board: item.map_or_else(|| Board::of_words(name(first)), |item| Board::of(item, &form)),
        cut: form,
        wash: None,
        not_for: Vec::new(),
        minutes,
        waits: waits(name(first), item, kept.unwrap_or_default()),
        how: rates::said(cut),
    })
}

/// All of it: in the unit of the dishes if they have one, in grams if each has a weight.
fn total(group: &[(&Portion<'_>, &str)]) -> Option<Quantity> {
    let (first, _) = group.first()?;
    // Which cup is meant matters to cups alone.
    let cup = |p: &Portion<'_>| match p.unit.dimension() {
        Dimension::Volume => Some(p.measures()),
        _ => None,
    };
    let of = |p: &Portion<'_>| (p.unit, cup(p), p.ingredient.size.clone());
    let alike = |p: &Portion<'_>| of(p) == of(first);
    if group.iter().all(|(p, _)| alike(p)) {
        let amount = group.iter().map(|(p, _)| p.most()).sum::<Option<Exact>>()?;
        return Some(Quantity { amount, unit: first.unit });
    }
    let grams = |p: &Portion<'_>| Some(p.item()?.grams(&p.measured()?).ok()?.g);
    let amount = group.iter().map(|(p, _)| grams(p)).sum::<Option<Exact>>()?;
    Some(Quantity { amount, unit: Unit::G })
}

/// Says before which jobs the board is washed and for whom some come last; minutes of it all.
fn wash(jobs: &mut [(Job, Eaters)], evening: &Evening) -> u32 {
    let names = |guests: &BTreeSet<usize>| -> Vec<String> {
        let named = guests.iter().filter_map(|&g| evening.party.guests.get(g));
        named.map(|g| g.name.clone()).collect()
    };
    let mut minutes = 0;
    let mut before: Option<Board> = None;
    // For whom what is on the board is not, and what it is.
    let mut left: BTreeMap<usize, BTreeSet<String>> = BTreeMap::new();
    for (job, eaters) in jobs.iter_mut() {
        let changes = before.filter(|b| *b != job.board);
        let meets: BTreeSet<usize> =
            left.keys().copied().filter(|guest| eaters.eat.contains(guest)).collect();
        let kinds = changes.and_then(|b| b.wash_before(job.board)).map(str::to_owned);
        job.wash = if meets.is_empty() {
            kinds
        } else {
            let on_it: BTreeSet<&String> =
                meets.iter().filter_map(|guest| left.get(guest)).flatten().collect();
            let on_it: Vec<String> = on_it.into_iter().cloned().collect();
            Some(format!(
                "Change the board, wash knife and hands: {} was on it, and of what comes next {} may eat",
                list(&on_it),
                list(&names(&meets))
            ))
        };
        if job.wash.is_some() {
            left.clear();
            minutes += rates::WASHING;
        }
        for guest in &eaters.not_for {
            left.entry(*guest).or_default().insert(job.item.clone());
        }
        job.not_for = names(&eaters.not_for);
        before = Some(job.board);
    }
    // After raw food the board is washed in any case.
    minutes + before.filter(|b| b.is_raw()).map_or(0, |_| rates::WASHING)
}

/// Guests of a job, by index.
#[derive(Debug, Default)]
struct Eaters {
    /// What is cut speaks against it for them.
    not_for: BTreeSet<usize>,
    /// They may eat of one of its dishes, as far as is known.
    eat: BTreeSet<usize>,
}

/// What speaks against each dish for each guest, by dish and guest.
struct Findings(Vec<Vec<Finding>>);

impl Findings {
    fn of(evening: &Evening) -> Self {
        let guests = &evening.party.guests;
        if guests.iter().all(|g| g.diets.is_empty() && g.avoids.is_empty()) {
            return Self(Vec::new());
        }
        let of_dish = |sheet| guests.iter().map(|guest| finding(sheet, guest)).collect();
        Self(evening.sheets.iter().map(of_dish).collect())
    }

    /// Of the ingredients that a job cuts: dish and index each.
    fn of_job(&self, cuts: impl Iterator<Item = (usize, usize)>) -> Eaters {
        let mut eaters = Eaters::default();
        for (dish, ingredient) in cuts {
            for (guest, found) in self.0.get(dish).into_iter().flatten().enumerate() {
                if found.answer != Answer::Contains {
                    eaters.eat.insert(guest);
                }
                let speaks =
                    |r: &Reason| r.answer == Answer::Contains && r.ingredient == ingredient;
                if found.all.iter().any(speaks) {
                    eaters.not_for.insert(guest);
                }
            }
        }
        eaters
    }
}

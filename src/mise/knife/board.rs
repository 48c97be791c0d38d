//! Pooled knife work as steps of the plan, for parties that wish it.
//!
//! A job that several dishes share stands among the steps of one of them; its own
//! steps follow it as they follow any other, and those of the other dishes wait
//! for it ([`WaitsFor`]). No clock of a food's time out may be lost over that: what
//! is cold before or after it is cut is cut dish by dish, so that its clock runs
//! with its own dish; and a perishable dish that is not heated afterwards, whose
//! clock runs from the cut on, has the job among its own steps. If there are two
//! such, the one that is served later is cut for by itself. Where none asks for
//! it, the job stands with the dish that is served first. After raw food and after what holds an allergen
//! the washing is part of the job, so that the board is clean in any order.
//!
//! A recipe whose own step says "chop the onions" holds that knife work itself:
//! no job is made of it, and nothing counted twice. A dish that is made the day
//! before keeps to its recipe: nothing of it is cut ahead on the day.
//!
//! While nothing at the board has begun, the jobs are made anew with every change
//! of the party. From then on a job stays where it is, since marks name it: a
//! dish that is dropped hands what others still want on to the next of them, and
//! what nobody has cut yet becomes a job of its own.

use std::collections::{BTreeMap, BTreeSet};

use super::order::Board;
use super::pool::{groups, job};
use super::{Job, rates};
use crate::kitchen::ahead::{follows, plain, way};
use crate::kitchen::id;
use crate::kitchen::units::Exact;
use crate::kitchen::{
    BoardJob, Evening, Hands, Kept, Minutes, Sheet, StationKind, Step, WaitPlace, WaitsFor,
};
use crate::mise::amounts::{self, Portion};
use crate::order::InOrder;
use crate::paper::capital;
use crate::safety::is_perishable;

/// How much faster or slower than its rate a job may go, in tenths. Common
/// practice, no source.
const TENTHS: (u32, u32) = (8, 14);

/// Has a step, named by dish and id, begun?
pub type Begun<'a> = &'a dyn Fn(usize, &str) -> bool;

/// What a job is about: its id in the mise and, where it is cut for one dish
/// alone, that dish.
type Key = (String, Option<usize>);

/// The evening with its jobs at the board as its dishes ask for them now;
/// unchanged if the party does not pool its knife work. Takes an evening that
/// has them already, too.
pub fn settle(evening: &mut Evening, dropped: &[usize], begun: Begun<'_>) {
    if !evening.party.pool_knife_work {
        return;
    }
    let jobs = evening.sheets.iter().enumerate();
    let mut jobs = jobs.flat_map(|(d, s)| s.jobs.iter().map(move |j| (d, j)));
    if jobs.any(|(d, job)| begun(d, &job.step)) {
        keep(evening, dropped, begun);
    } else {
        evening.sheets.iter_mut().for_each(strip);
    }
    cut_the_rest(evening, dropped);
}

/// Takes all jobs out of a dish.
fn strip(sheet: &mut Sheet) {
    let jobs = std::mem::take(&mut sheet.jobs);
    let is_job = |id: &str| jobs.iter().any(|j| j.step == id);
    sheet.recipe.steps.retain(|s| !is_job(&s.id));
    for step in &mut sheet.recipe.steps {
        step.after.retain(|a| !is_job(&a.step));
    }
    sheet.waits_for.clear();
}

/// Keeps the jobs that are there: puts their steps back where a recipe was made
/// anew, hands on what a dropped dish leaves, and reckons the minutes again.
fn keep(evening: &mut Evening, dropped: &[usize], begun: Begun<'_>) {
    for owner in 0..evening.sheets.len() {
        for at in 0..evening.sheets.get(owner).map_or(0, |s| s.jobs.len()) {
            let Some(job) = evening.sheets.get(owner).and_then(|s| s.jobs.get(at)).cloned() else {
                continue;
            };
            let has_begun = begun(owner, &job.step);
            let index = |id: &String| evening.dish_index(id);
            let users: Vec<usize> = job.dishes.iter().filter_map(index).collect();
            let (mut left, gone): (Vec<usize>, Vec<usize>) =
                users.into_iter().partition(|d| !dropped.contains(d));
            if dropped.contains(&owner) && !has_begun && !left.is_empty() {
                // What others want of it is theirs from now on: see `cut_the_rest`.
                left.clear();
            }
            if has_begun {
                left.extend(gone);
            } else if left.is_empty() {
                left.push(owner);
            }
            let ids = left.iter().filter_map(|&d| Some(evening.sheets.get(d)?.id.clone()));
            let job = BoardJob { dishes: ids.collect(), ..job };
            let fresh = !has_begun || !has_step(evening, owner, &job.step);
            unlink(evening, owner, &job.step, &left);
            put(evening, owner, (Some(at), job), fresh, &left);
        }
    }
}

fn has_step(evening: &Evening, dish: usize, id: &str) -> bool {
    evening.sheets.get(dish).is_some_and(|s| s.step_index(id).is_some())
}

/// Lets the dishes go that a job does not serve any more.
fn unlink(evening: &mut Evening, owner: usize, step: &str, users: &[usize]) {
    let Some(id) = evening.sheets.get(owner).map(|s| s.id.clone()) else { return };
    for (dish, sheet) in evening.sheets.iter_mut().enumerate() {
        if !users.contains(&dish) {
            sheet.waits_for.retain(|w| !(w.dish == id && w.job == step));
        }
    }
}

/// A job for everything that is cut and that no job cuts yet.
fn cut_the_rest(evening: &mut Evening, dropped: &[usize]) {
    // Dishes by job; of each whether its clock runs from the cut on.
    let mut wanted: BTreeMap<Key, Vec<(usize, bool)>> = BTreeMap::new();
    {
        let portions = portions(evening, dropped);
        let due = |d: usize| evening.sheets.get(d).map_or(0, |s| evening.service_minute(s.service));
        for (id, mut group) in groups(&portions) {
            let cold = job(id.clone(), &group, 1).is_some_and(|j| j.waits != Kept::Cupboard);
            group.retain(|(portion, _)| !is_cut(evening, portion.dish, &id));
            let runs: Vec<bool> = group.iter().map(|(p, _)| runs_from_the_cut(p)).collect();
            let clocks: BTreeSet<usize> = group
                .iter()
                .zip(&runs)
                .filter(|(_, runs)| **runs)
                .map(|((p, _), _)| p.dish)
                .collect();
            let first = clocks.iter().copied().min_by_key(|&d| (due(d), d));
            for ((portion, _), runs) in group.iter().zip(runs) {
                let own = first != Some(portion.dish) && runs;
                let alone = (cold || own).then_some(portion.dish);
                let user = (portion.dish, clocks.contains(&portion.dish));
                let users = wanted.entry((id.clone(), alone)).or_default();
                if !users.contains(&user) {
                    users.push(user);
                }
            }
        }
    }
    for ((id, _), mut users) in wanted {
        let due = |d: usize| evening.sheets.get(d).map_or(0, |s| evening.service_minute(s.service));
        users.order_by_key(|&(d, clock)| (!clock, due(d), d));
        let users: Vec<usize> = users.into_iter().map(|(d, _)| d).collect();
        let Some(&owner) = users.first() else { continue };
        let ids = users.iter().filter_map(|&d| Some(evening.sheets.get(d)?.id.clone())).collect();
        let step = free_id(evening, owner, &id);
        let job = BoardJob { step, job: id, dishes: ids };
        put(evening, owner, (None, job), true, &users);
    }
}

/// What is cut on the day, but for what a recipe's own step cuts.
fn portions<'a>(evening: &'a Evening, dropped: &[usize]) -> Vec<Portion<'a>> {
    let mut portions = amounts::of_made(evening, dropped);
    portions.retain(|p| {
        let today = !p.sheet.recipe.steps.iter().any(|s| s.day_before);
        p.ingredient.cut.as_deref().is_some_and(|cut| today && !in_a_step(p, cut))
    });
    portions
}

/// Does a step that uses it say that it is cut there: "Chop the leeks."?
fn in_a_step(portion: &Portion<'_>, cut: &str) -> bool {
    let verb = rates::verb(cut);
    // As an order, at the start of a sentence: "with lemon zest" is none.
    let says = |text: &str| {
        let text = text.to_lowercase().replace(" then ", ". ");
        let orders = text.split(['.', ';', ':']).map(str::trim_start);
        orders
            .filter_map(|o| o.strip_prefix(verb.as_str()))
            .any(|o| !o.starts_with(char::is_alphabetic))
    };
    let users = &portion.ingredient.steps;
    let used_in = |step: &&Step| users.is_empty() || users.contains(&step.id);
    let own = |step: &&Step| !portion.sheet.jobs.iter().any(|j| j.step == step.id);
    portion.sheet.recipe.steps.iter().filter(used_in).filter(own).any(|s| says(&s.text))
}

/// Does the clock of its dish run from the cut on: is the dish perishable, and not heated once this is in it?
fn runs_from_the_cut(portion: &Portion<'_>) -> bool {
    let sheet = portion.sheet;
    let safety = &sheet.recipe.safety;
    if !is_perishable(safety.class, safety.exempt) {
        return false;
    }
    let heats = |s: &Step| !s.ways.is_empty() && s.ways.iter().all(|w| w.station.heats());
    let cold_to_the_end = |user: &String| {
        let (mut with, mut at) = (vec![user.as_str()], 0);
        // The steps that it goes through, each once.
        while let Some(&id) = with.get(at) {
            at += 1;
            for step in &sheet.recipe.steps {
                if step.after.iter().any(|a| a.step == id) && !with.contains(&step.id.as_str()) {
                    with.push(&step.id);
                }
            }
        }
        let steps = sheet.recipe.steps.iter();
        !steps.filter(|s| with.contains(&s.id.as_str())).any(heats)
    };
    users_of(portion).iter().any(cold_to_the_end)
}

/// Is there a job that cuts it for this dish?
fn is_cut(evening: &Evening, dish: usize, id: &str) -> bool {
    let Some(name) = evening.sheets.get(dish).map(|s| &s.id) else { return false };
    let jobs = evening.sheets.iter().flat_map(|s| &s.jobs);
    jobs.into_iter().any(|j| j.job == id && j.dishes.contains(name))
}

fn free_id(evening: &Evening, owner: usize, job: &str) -> String {
    id::free(&format!("cut-{}", id::spelled(job)), |id| has_step(evening, owner, id))
}

/// What a job comes to for the dishes that it serves.
struct Work {
    /// The step in which it is done.
    step: Step,
    /// Where what is cut waits.
    place: WaitPlace,
    /// The steps that want it, by dish.
    wanted_by: Vec<(usize, String)>,
}

fn work(evening: &Evening, board: &BoardJob, users: &[usize]) -> Work {
    let mut mine = portions(evening, &[]);
    mine.retain(|p| users.contains(&p.dish));
    let groups = groups(&mine);
    let group = groups.get(&board.job).map(Vec::as_slice).unwrap_or_default();
    let seconds: Exact = group.iter().map(|(p, cut)| rates::seconds(p, cut).0).sum();
    let Some(job) = job(board.job.clone(), group, rates::minutes(seconds)) else {
        let text = "Nothing of it is wanted any more: leave it out.".to_owned();
        let step = step(board, "cut".to_owned(), text, 1);
        return Work { step, place: WaitPlace::Room, wanted_by: Vec::new() };
    };
    let washing = job.board.is_raw() || matches!(job.board, Board::Allergen);
    let likely = job.minutes + if washing { rates::WASHING } else { 0 };
    let cold = job.waits != Kept::Cupboard;
    let text = words(&job, users.len() > 1, cold, washing);
    let steps = group.iter().flat_map(|(p, _)| users_of(p).into_iter().map(|s| (p.dish, s)));
    Work {
        step: step(board, label(&job), text, likely),
        place: if cold { WaitPlace::Cold } else { WaitPlace::Room },
        wanted_by: steps.collect(),
    }
}

fn step(board: &BoardJob, label: String, text: String, likely: u32) -> Step {
    let tenth = |n: u32| (likely * n).div_ceil(10).max(1);
    let minutes = Minutes { low: tenth(TENTHS.0).min(likely), likely, high: tenth(TENTHS.1) };
    let way = way(StationKind::Counter, minutes);
    let hands = Hands { between_percent: 100, ..Hands::default() };
    Step { hands, ..plain(&board.step, &label, &text, way, Vec::new()) }
}

/// "dice onion", "cut apple": enough for a block, the rest stands in the sentence.
fn label(job: &Job) -> String {
    let verb = job.verb.split(' ').next().unwrap_or("cut");
    format!("{verb} {}", job.item)
}

/// "Dice 7 onions: S 4, P 3. Then wash board, knife and hands, hot and with soap."
fn words(job: &Job, is_shared: bool, cold: bool, washing: bool) -> String {
    let what = capital(&job.words());
    let shared = if is_shared { format!(": {}", job.shared()) } else { String::new() };
    let cold = if cold { " Cover it, back into the cold." } else { "" };
    let wash = if washing { " Then wash board, knife and hands, hot and with soap." } else { "" };
    format!("{what}{shared}.{cold}{wash}")
}

/// Puts a job among the steps of its owner, or what it is now (`fresh`) in the
/// place of what it was, and has every step that wants it follow.
fn put(
    evening: &mut Evening,
    owner: usize,
    (at, board): (Option<usize>, BoardJob),
    fresh: bool,
    users: &[usize],
) {
    let Work { step, place, wanted_by } = work(evening, &board, users);
    let Some(id) = evening.sheets.get(owner).map(|s| s.id.clone()) else { return };
    for (dish, user) in wanted_by {
        let Some(sheet) = evening.sheets.get_mut(dish) else { continue };
        if dish != owner {
            let wait = WaitsFor { step: user, dish: id.clone(), job: board.step.clone() };
            if !sheet.waits_for.contains(&wait) {
                sheet.waits_for.push(wait);
            }
            continue;
        }
        let found = sheet.recipe.steps.iter_mut().find(|s| s.id == user);
        if let Some(found) = found.filter(|s| s.after.iter().all(|a| a.step != board.step)) {
            found.after.push(follows(&board.step, place));
        }
    }
    let Some(sheet) = evening.sheets.get_mut(owner) else { return };
    match sheet.recipe.steps.iter_mut().find(|s| s.id == step.id) {
        Some(there) if fresh => *there = step,
        Some(_) => {}
        None => sheet.recipe.steps.push(step),
    }
    match at.and_then(|at| sheet.jobs.get_mut(at)) {
        Some(there) => *there = board,
        None => sheet.jobs.push(board),
    }
}

/// The steps that a portion goes into; the first ones of its dish, if the recipe does not say.
fn users_of(portion: &Portion<'_>) -> Vec<String> {
    let sheet = portion.sheet;
    let is_job = |id: &str| sheet.jobs.iter().any(|j| j.step == id);
    let named = &portion.ingredient.steps;
    let steps = sheet.recipe.steps.iter().filter(|s| !is_job(&s.id));
    let wanted = steps.filter(|s| match named.is_empty() {
        true => s.after.iter().all(|a| is_job(&a.step)),
        false => named.contains(&s.id),
    });
    wanted.map(|s| s.id.clone()).collect()
}

#[cfg(test)]
#[path = "board_tests.rs"]
mod tests;

//! Cards: one to lay into each serving dish, and a label for what is kept.
//!
//! What they say of a food's time is by the plan and the party's guidance; the
//! screen counts by what was marked, and counts better.

mod contains;
#[cfg(test)]
mod tests;
mod until;

pub use contains::{Contains, contains};
pub use until::{Until, until};

use super::servingware::{Laying, Row, rows};
use super::{day_of, day_words};
use crate::kitchen::items::Answer;
use crate::kitchen::{Evening, Guest, HoldClass, Minute, Sheet, choice};
use crate::paper::Card;
use crate::plan::Plan;
use crate::safety::{Profile, caution, is_perishable};

/// Stands below the cards.
pub const FROM_THE_WORDS: &str = "What a card says a dish contains is read from the words of its recipe: \
     read every label, and ask the guest.";

/// The cards to lay into the serving dishes, in the order in which they are filled.
#[must_use]
pub fn to_lay_in(evening: &Evening, plan: Option<&Plan>, laying: &Laying) -> Vec<Card> {
    rows(evening, laying).iter().filter_map(|row| lay_in(evening, plan, row)).collect()
}

fn lay_in(evening: &Evening, plan: Option<&Plan>, row: &Row) -> Option<Card> {
    let sheet = evening.sheets.get(row.dish)?;
    let service = evening.party.services.get(sheet.service)?;
    let mut lines = vec![("from", format!("{}, {}", at(evening, row.served_at), service.title))];
    lines.extend(for_whom(evening, sheet));
    lines.extend(said(sheet));
    lines.push(("best before", at(evening, row.to)));
    if let Some(until) = plan.and_then(|plan| until(evening, plan, row.dish)) {
        lines.push(("off the table", until.words(evening)));
    }
    lines
        .push(("in", row.into.clone().unwrap_or_else(|| "nothing found: see the list".to_owned())));
    Some(Card { letter: sheet.letter, title: sheet.recipe.title.clone(), lines })
}

fn at(evening: &Evening, minute: Minute) -> String {
    format!("{}{}", day_words(evening, minute), evening.face.label(minute))
}

/// "contains", and whose label decides.
fn said(sheet: &Sheet) -> Vec<(&'static str, String)> {
    let found = contains(&sheet.recipe);
    let mut lines = vec![("contains", found.words())];
    if !found.read.is_empty() {
        lines.push(("read the label of", found.read.join(", ")));
    }
    lines
}

/// The guests with wishes, by what is known: nothing against it, the label decides, not for them.
fn for_whom(evening: &Evening, sheet: &Sheet) -> Vec<(&'static str, String)> {
    let (mut open, mut label, mut not) = (Vec::new(), Vec::new(), Vec::new());
    let wishes = |g: &&Guest| !(g.diets.is_empty() && g.avoids.is_empty());
    for guest in evening.party.guests.iter().filter(wishes) {
        let found = choice::finding(sheet, guest);
        let mut items: Vec<&str> = Vec::new();
        for reason in found.reasons.iter().filter(|r| r.answer == found.answer) {
            let item = sheet.recipe.ingredients.get(reason.ingredient);
            let item = item.map_or("", |i| i.item.as_str());
            if !items.contains(&item) {
                items.push(item);
            }
        }
        // Of a dish that is made half and half, the half that it is true of.
        let half = found.half.map(choice::words::half_word);
        let why: Vec<String> = half
            .map(str::to_owned)
            .into_iter()
            .chain((!items.is_empty()).then(|| items.join(", ")))
            .collect();
        let why = match why.is_empty() {
            true => guest.name.clone(),
            false => format!("{} ({})", guest.name, why.join(": ")),
        };
        match found.answer {
            Answer::NothingKnown => open.push(why),
            Answer::MayContain => label.push(why),
            Answer::Contains => not.push(why),
        }
    }
    let all = [
        ("nothing known against it for", open),
        ("the label decides for", label),
        ("not for", not),
    ];
    let said = all.into_iter().filter(|(_, guests)| !guests.is_empty());
    said.map(|(name, guests)| (name, guests.join("; "))).collect()
}

/// The labels for what is kept of each dish that is made: what is made ahead, and what is left.
#[must_use]
pub fn labels(evening: &Evening, plan: &Plan, dropped: &[usize]) -> Vec<Card> {
    let made = (0..evening.sheets.len()).filter(|dish| !dropped.contains(dish));
    made.filter_map(|dish| label(evening, plan, dish)).collect()
}

fn label(evening: &Evening, plan: &Plan, dish: usize) -> Option<Card> {
    let sheet = evening.sheets.get(dish)?;
    let profile = Profile::by_id(&evening.party.guidance)?;
    let (made, clock) = made(evening, plan, dish)?;
    let day = |d: chrono::NaiveDate| d.format("%a %-d %b").to_string();
    let unit = evening.customs.degrees;
    let clock = clock.map_or_else(String::new, |at| format!(" {}", evening.face.label(at)));
    let mut lines = vec![("made", format!("{}{clock}", day(made)))];
    lines.extend(said(sheet));
    let safety = &sheet.recipe.safety;
    if is_perishable(safety.class, safety.exempt) {
        let hold = plan.holds.iter().find(|h| h.dish == dish).map(|h| h.class);
        let keep = hold.filter(|class| *class != HoldClass::Room);
        let until = keep.map(|class| {
            let words = caution::hold_words(profile, class, unit);
            words.strip_prefix("keep ").unwrap_or(&words).to_owned()
        });
        lines.extend(until.map(|words| ("until it is served, keep", words)));
        let cold = caution::hold_words(profile, HoldClass::Cold, unit);
        lines.push(("what is left, keep", cold.strip_prefix("keep ").unwrap_or(&cold).to_owned()));
        lines.extend(profile.use_by(safety.class, made).map(|last| ("use by", day(last))));
        lines.push(("if heated again", caution::reheat_words(profile, unit)));
    } else {
        lines.push(("keep", "dry and covered; no fridge".to_owned()));
    }
    Some(Card { letter: sheet.letter, title: sheet.recipe.title.clone(), lines })
}

/// The day on which a dish is made by the plan, and when if the plan still has it: the first of it that is done
/// the day before counts, though it is heated or dished up on the day.
fn made(
    evening: &Evening,
    plan: &Plan,
    dish: usize,
) -> Option<(chrono::NaiveDate, Option<Minute>)> {
    let sheet = evening.sheets.get(dish)?;
    let ends = |wanted: &dyn Fn(usize) -> bool| -> Vec<Minute> {
        let own = plan.blocks.iter().filter(|b| b.key.dish == dish && wanted(b.key.step));
        own.map(|b| b.end).collect()
    };
    let last = sheet.last_step();
    let ready_at = ends(&|step| step == last).into_iter().max()?;
    let before = |step: usize| sheet.recipe.steps.get(step).is_some_and(|s| s.day_before);
    if !(0..sheet.recipe.steps.len()).any(before) {
        return Some((day_of(evening, ready_at), Some(ready_at)));
    }
    let first = ends(&before).into_iter().min();
    Some((day_of(evening, first.unwrap_or(-1)), first))
}

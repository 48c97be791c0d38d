//! Is a recipe sound in itself?

use super::report::Report;
use super::words::{self, mean};
use super::{
    HoldLimits, MOST_POINTS, MOST_SERVINGS, MOST_STEP_MINUTES, MOST_WAIT_MINUTES, TEMPERATURES_C,
};
use crate::kitchen::units::Exact;
use crate::kitchen::{Hold, HoldClass, Ingredient, Recipe, Safety, StationKind};

const MOST_INGREDIENTS: usize = 100;
const MOST_STEPS_OF_ONE: usize = 60;
const MOST_HOLDS: usize = 12;
pub(super) const MOST_WORDS: usize = 40;
/// Highest amount of an ingredient, in its unit.
const MOST_AMOUNT: Exact = Exact::whole(1_000_000);
/// Longest short name, as narrow blocks have room for.
const LONGEST_SHORT: usize = 12;

pub(super) fn check(recipe: &Recipe, limit: Option<&HoldLimits>, report: &mut Report) {
    words::id(report, "id".into(), &recipe.id);
    words::title(report, "title".into(), &recipe.title);
    if let Some(short) = &recipe.short {
        words::line(report, "short".into(), short, LONGEST_SHORT);
    }
    if let Some(portion) = &recipe.portion {
        words::title(report, "portion".into(), portion);
    }
    report.within("servings", recipe.servings, 1, MOST_SERVINGS);
    if let Some(ml) = recipe.portion_ml {
        report.within("portion_ml", ml, 1, 10_000);
    }
    if let Some(area) = recipe.portion_cm2 {
        report.within("portion_cm2", area, 1, 10_000);
    }
    if let Some(heat) = recipe.heat {
        report.within("heat", heat, 0, 4);
    }
    let notes = words::at_most(report, "notes", &recipe.notes, MOST_WORDS);
    for (index, note) in notes.iter().enumerate() {
        words::line(report, format!("notes[{index}]"), note, words::LONGEST_TEXT);
    }
    let ingredients = words::at_most(report, "ingredients", &recipe.ingredients, MOST_INGREDIENTS);
    for (index, ingredient) in ingredients.iter().enumerate() {
        self::ingredient(ingredient, recipe, &format!("ingredients[{index}]"), report);
    }
    if recipe.steps.is_empty() {
        report.wrong("steps", "is empty", "Add what is done, the plating at the least");
    }
    let steps = words::at_most(report, "steps", &recipe.steps, MOST_STEPS_OF_ONE);
    super::steps::check(steps, report);
    if steps.len() == recipe.steps.len() {
        super::order::check(steps, report);
        super::steps::day_before(steps, &recipe.holds, report);
    }
    if let Some(reheat) = &recipe.reheat {
        super::steps::reheating(reheat, steps, "reheat", report);
    }
    let holds = words::at_most(report, "holds", &recipe.holds, MOST_HOLDS);
    for (index, hold) in holds.iter().enumerate() {
        self::hold(hold, recipe, limit, &format!("holds[{index}]"), report);
    }
    safety(&recipe.safety, report);
    unconfirmed(recipe, report);
}

fn ingredient(ingredient: &Ingredient, recipe: &Recipe, path: &str, report: &mut Report) {
    words::title(report, format!("{path}.item"), &ingredient.item);
    if let Some(amount) = ingredient.amount {
        self::amount(amount, format!("{path}.amount"), "to taste", report);
    }
    if let Some(cut) = &ingredient.cut {
        words::title(report, format!("{path}.cut"), cut);
    }
    brought(ingredient, path, report);
    let used = words::at_most(report, &format!("{path}.steps"), &ingredient.steps, MOST_WORDS);
    for (index, id) in used.iter().enumerate() {
        if !recipe.steps.iter().any(|s| s.id == *id) {
            let known = recipe.steps.iter().map(|s| s.id.as_str());
            report.wrong(
                format!("{path}.steps[{index}]"),
                format!("there is no step \"{id}\""),
                mean(id, known),
            );
        }
    }
    let allergens = ingredient.allergens.as_deref().unwrap_or_default();
    listed(allergens, &format!("{path}.allergens"), report);
    let swaps = words::at_most(report, &format!("{path}.swaps"), &ingredient.swaps, MOST_WORDS);
    for (index, swap) in swaps.iter().enumerate() {
        words::title(report, format!("{path}.swaps[{index}].item"), &swap.item);
        listed(&swap.opens, &format!("{path}.swaps[{index}].opens"), report);
    }
}

/// More than nothing, and no more than a kitchen has; `without` is what no amount means.
pub(super) fn amount(amount: Exact, path: String, without: &str, report: &mut Report) {
    if !(amount.is_positive() && amount <= MOST_AMOUNT) {
        report.wrong(
            path,
            format!("is {amount}"),
            format!(
                "Write more than 0 and at most {MOST_AMOUNT}, or leave it out for \"{without}\""
            ),
        );
    }
}

/// What is kept of the line that an ingredient was read from.
fn brought(ingredient: &Ingredient, path: &str, report: &mut Report) {
    if let Some(to) = ingredient.amount_to {
        let field = format!("{path}.amount_to");
        match ingredient.amount {
            None => report.wrong(field, "has no amount to go up from", "Add \"amount\""),
            Some(amount) if !(to > amount && to <= MOST_AMOUNT) => report.wrong(
                field,
                format!("is {to}, with an amount of {amount}"),
                format!("Write more than the amount and at most {MOST_AMOUNT}, or leave it out"),
            ),
            Some(_) => {}
        }
    }
    if let Some(size) = &ingredient.size {
        words::title(report, format!("{path}.size"), size);
    }
    if let Some(pack) = ingredient.pack
        && !(pack.amount.is_positive() && pack.amount <= MOST_AMOUNT)
    {
        report.wrong(
            format!("{path}.pack.amount"),
            format!("is {}", pack.amount),
            format!("Write more than 0 and at most {MOST_AMOUNT}, or leave the pack out"),
        );
    }
    for (field, text) in [("note", &ingredient.note), ("line", &ingredient.line)] {
        if let Some(text) = text {
            words::line(report, format!("{path}.{field}"), text, words::LONGEST_TEXT);
        }
    }
}

/// Proposals that nobody has confirmed yet: the plan marks them.
fn unconfirmed(recipe: &Recipe, report: &mut Report) {
    let steps = recipe.steps.iter().filter(|s| s.unconfirmed).count();
    if steps > 0 {
        report.note(
            "steps",
            format!("{steps} of {} were read from text and are not confirmed", recipe.steps.len()),
            "Hold each against its \"words\": Ctrl-O in the form if it is right, or take out \"unconfirmed\"",
        );
    }
    if recipe.safety.unconfirmed {
        report.note(
            "safety",
            "the kind of food was read from text and is not confirmed",
            "Look whether \"class\" is right: Ctrl-O in the form if so, or take out \"unconfirmed\"",
        );
    }
    for (index, _) in recipe.holds.iter().enumerate().filter(|(_, h)| h.unconfirmed) {
        report.note(
            format!("holds[{index}]"),
            "this wait was proposed and is not confirmed",
            "Look whether it suits the dish: Ctrl-O in the form if so, or take out \"unconfirmed\"",
        );
    }
}

/// A list of short words, none of them empty.
pub(super) fn listed(list: &[String], path: &str, report: &mut Report) {
    for (index, word) in words::at_most(report, path, list, MOST_WORDS).iter().enumerate() {
        words::title(report, format!("{path}[{index}]"), word);
    }
}

fn hold(hold: &Hold, recipe: &Recipe, limit: Option<&HoldLimits>, path: &str, report: &mut Report) {
    hold_minutes(hold, path, report);
    if let Some(words) = &hold.words {
        words::line(report, format!("{path}.words"), words, words::LONGEST_TEXT);
    }
    report.within(format!("{path}.points"), hold.points, 0, MOST_POINTS);
    report.within(format!("{path}.short_points"), hold.short_points, 0, MOST_POINTS);
    let (least, most) = TEMPERATURES_C;
    if let Some(at_c) = hold.at_c {
        report.within(format!("{path}.at_c"), at_c, least, most);
    }
    report.within(format!("{path}.give_c"), hold.give_c, 0, 100);
    hold_place(hold, path, report);
    hot_enough(hold, limit, path, report);
    if let Some(kind) = &hold.cookware {
        let used: Vec<&str> =
            recipe.steps.iter().flat_map(|s| &s.cookware).map(|c| c.kind.as_str()).collect();
        if !used.contains(&kind.as_str()) {
            report.wrong(
                format!("{path}.cookware"),
                format!("no step of this recipe uses a \"{kind}\" to wait in"),
                if used.is_empty() { "Leave it out".to_owned() } else { mean(kind, used) },
            );
        }
    }
}

fn hold_minutes(hold: &Hold, path: &str, report: &mut Report) {
    let sound =
        report.within(format!("{path}.most_minutes"), hold.most_minutes, 1, MOST_WAIT_MINUTES);
    if !sound {
        return;
    }
    for (field, minutes) in
        [("free_minutes", Some(hold.free_minutes)), ("best_minutes", hold.best_minutes)]
    {
        let Some(minutes) = minutes else { continue };
        if minutes > hold.most_minutes {
            report.wrong(
                format!("{path}.{field}"),
                format!("{minutes} is more than most_minutes, {}", hold.most_minutes),
                format!("Write at most {}", hold.most_minutes),
            );
        }
    }
    if hold.short_points > 0 && hold.best_minutes.is_none() {
        report.note(
            format!("{path}.short_points"),
            "counts for nothing without a best wait",
            "Add \"best_minutes\"",
        );
    }
}

fn hold_place(hold: &Hold, path: &str, report: &mut Report) {
    use StationKind as K;
    let place = words::a_kind(hold.place);
    if matches!(hold.place, K::AirFryer | K::Microwave | K::Grill) {
        report.wrong(
            format!("{path}.place"),
            format!("a finished dish does not wait in or on {place}"),
            "Write oven, slow_cooker, stovetop, counter, fridge or freezer",
        );
        return;
    }
    let (fits, right) = match hold.class {
        HoldClass::Hot => (hold.place.heats(), "oven, slow_cooker or stovetop"),
        HoldClass::Cold => (hold.place.chills(), "fridge or freezer"),
        HoldClass::Room => (!hold.place.chills(), "counter"),
    };
    if !fits {
        let class = match hold.class {
            HoldClass::Hot => "hot",
            HoldClass::Cold => "cold",
            HoldClass::Room => "at room temperature",
        };
        report.wrong(
            format!("{path}.class"),
            format!("{place} keeps nothing {class}"),
            format!("Change the class, or the place to {right}"),
        );
    }
    if hold.place == K::Oven && hold.class == HoldClass::Hot && hold.at_c.is_none() {
        report.wrong(path, "a hot wait in an oven needs its setting", "Add \"at_c\"");
    }
}

/// A hot hold whose setting, off by as much as it may be, falls below the
/// guidance's limit. A recipe never makes a limit laxer.
fn hot_enough(hold: &Hold, limit: Option<&HoldLimits>, path: &str, report: &mut Report) {
    let (HoldClass::Hot, Some(at_c), Some(limit)) = (hold.class, hold.at_c, limit) else { return };
    let coolest = at_c.saturating_sub(hold.give_c);
    if f64::from(coolest) < limit.hot_c {
        let (asked, least) = ((limit.hot_c * 10.0).round() / 10.0, limit.hot_c.ceil());
        report.wrong(
            format!("{path}.at_c"),
            format!(
                "kept as cool as {coolest} °C, but {} asks for {asked} °C at the least",
                limit.guidance
            ),
            format!("Set it so that at_c less give_c is {least} or more"),
        );
    }
}

fn safety(safety: &Safety, report: &mut Report) {
    if let Some(minutes) = safety.table_minutes {
        report.within("safety.table_minutes", minutes, 0, MOST_STEP_MINUTES);
    }
    if let Some(words) = &safety.words {
        words::line(report, "safety.words".into(), words, words::LONGEST_TEXT);
    }
}

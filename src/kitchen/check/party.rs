//! Is a party sound in itself?

use chrono::Datelike;
use unicode_width::UnicodeWidthChar;

use super::report::Report;
use super::words::{self, mean};
use super::{HoldLimits, MOST_DISHES, MOST_SERVINGS, MOST_STEP_MINUTES, MOST_STEPS};
use crate::kitchen::borrowed::MOST_OF_EACH;
use crate::kitchen::items;
use crate::kitchen::party::{Stock, Stretch};
use crate::kitchen::{Cook, DAY, Dish, Guest, Kitchen, Lendable, Party, Recipe, TimeOfDay};

const MOST_SERVICES: usize = 12;
const MOST_COOKS: usize = 12;
const MOST_STRETCHES: usize = 12;
/// Things in the house that a file may list.
const MOST_STOCK: usize = 300;
const MOST_GUESTS: usize = 500;
const MOST_OF_A_GUEST: u32 = 5000;
const MOST_SWAPS: usize = 40;
/// Things borrowed that a party may list.
const MOST_BORROWED: usize = 50;
/// Most starters or mains that a guest may be wished to find.
const MOST_TO_CHOOSE: u32 = 20;
/// The fiercest of chilli.
const FIERCEST: u32 = 4;
/// Coldest and hottest room or tent that a party is planned in, °C.
const ROOM_C: (i32, i32) = (-20, 50);
/// Chances that can be wished for: below, the wish is none; above, no plan is that sure.
const ON_TIME_PERCENT: (u32, u32) = (50, 99);

pub(super) fn check(
    party: &Party,
    recipes: &[Option<&Recipe>],
    limits: &[HoldLimits],
    report: &mut Report,
) {
    words::id(report, "id".into(), &party.id);
    words::title(report, "title".into(), &party.title);
    if !(2000..=2199).contains(&party.day.year()) {
        report.wrong("day", format!("is in the year {}", party.day.year()), "Write 2000 to 2199");
    }
    let known: Vec<&str> = limits.iter().map(|l| l.guidance.as_str()).collect();
    if !known.contains(&party.guidance.as_str()) {
        report.wrong(
            "guidance",
            format!("there is no guidance \"{}\"", party.guidance.escape_debug()),
            mean(&party.guidance, known),
        );
    }
    report.within("room_c", party.room_c, ROOM_C.0, ROOM_C.1);
    report.within("table_minutes", party.table_minutes, 0, MOST_STEP_MINUTES);
    report.within("on_time_percent", party.on_time_percent, ON_TIME_PERCENT.0, ON_TIME_PERCENT.1);
    report.within("least.starters", party.least.starters, 0, MOST_TO_CHOOSE);
    report.within("least.mains", party.least.mains, 0, MOST_TO_CHOOSE);
    services(party, report);
    dishes(party, recipes, report);
    let steps: usize = recipes.iter().flatten().map(|r| r.steps.len()).sum();
    if steps > MOST_STEPS {
        report.wrong(
            "dishes",
            format!("have {steps} steps together"),
            format!("Use at most {MOST_STEPS}: leave out a dish, or join steps"),
        );
    }
    cooks(party, report);
    let in_house = words::at_most(report, "in_house", &party.in_house, MOST_STOCK);
    for (index, stock) in in_house.iter().enumerate() {
        self::stock(stock, &format!("in_house[{index}]"), report);
    }
    let guests = words::at_most(report, "guests", &party.guests, MOST_GUESTS);
    for (index, guest) in guests.iter().enumerate() {
        self::guest(guest, &format!("guests[{index}]"), report);
    }
}

/// What is borrowed is like something that the kitchen has, which must be sound in itself.
pub(super) fn borrowed(party: &Party, kitchen: &Kitchen, report: &mut Report) {
    let mut kitchen = kitchen.clone();
    let all = words::at_most(report, "borrowed", &party.borrowed, MOST_BORROWED);
    for (index, one) in all.iter().enumerate() {
        let path = format!("borrowed[{index}]");
        report.within(format!("{path}.count"), one.count, 1, MOST_OF_EACH);
        let known: Vec<String> = match one.what {
            Lendable::Cookware => kitchen.cookware.iter().map(|c| c.id.clone()).collect(),
            Lendable::Station => kitchen.stations.iter().map(|s| s.id.clone()).collect(),
        };
        if !crate::kitchen::borrowed::lend(&mut kitchen, one) {
            report.wrong(
                format!("{path}.like"),
                format!(
                    "the kitchen has no {} \"{}\" that it could be like",
                    one.what.word(),
                    one.like.escape_debug()
                ),
                mean(&one.like, known.iter().map(String::as_str)),
            );
        }
    }
}

fn services(party: &Party, report: &mut Report) {
    if party.services.is_empty() {
        report.wrong(
            "services",
            "is empty",
            "Add one: {\"id\": \"mains\", \"title\": \"Mains\", \"at\": \"19:00\"}",
        );
    }
    let services = words::at_most(report, "services", &party.services, MOST_SERVICES);
    words::twice(report, "services", "id", services.iter().map(|s| s.id.as_str()));
    let free = party.cooks.iter().flat_map(|c| &c.free).filter(|f| f.from < f.to);
    let begin: Option<TimeOfDay> = free.clone().map(|f| f.from).min();
    let end: Option<TimeOfDay> = free.map(|f| f.to).max();
    for (index, service) in services.iter().enumerate() {
        let path = format!("services[{index}]");
        words::id(report, format!("{path}.id"), &service.id);
        words::title(report, format!("{path}.title"), &service.title);
        match (begin, end) {
            (Some(begin), _) if service.at <= begin => report.wrong(
                format!("{path}.at"),
                format!("{} is not after {begin}, when the first cook comes", service.at),
                "Move the service, or let a cook begin earlier",
            ),
            (_, Some(end)) if service.at > end => report.note(
                format!("{path}.at"),
                format!("{} is after {end}, when the last cook leaves", service.at),
                "Let a cook stay until then",
            ),
            _ => {}
        }
        if !party.dishes.iter().any(|d| d.service == service.id) {
            report.note(path, "no dish belongs to it", "Give it a dish, or take it out");
        }
    }
}

fn dishes(party: &Party, recipes: &[Option<&Recipe>], report: &mut Report) {
    if party.dishes.is_empty() {
        report.wrong("dishes", "is empty", "Add at least one dish");
    }
    let dishes = words::at_most(report, "dishes", &party.dishes, MOST_DISHES);
    words::twice(report, "dishes", "id", dishes.iter().map(|d| d.id.as_str()));
    for (index, dish) in dishes.iter().enumerate() {
        let path = format!("dishes[{index}]");
        words::id(report, format!("{path}.id"), &dish.id);
        report.within(format!("{path}.servings"), dish.servings, 1, MOST_SERVINGS);
        if !party.services.iter().any(|s| s.id == dish.service) {
            let known = party.services.iter().map(|s| s.id.as_str());
            report.wrong(
                format!("{path}.service"),
                format!("there is no service \"{}\"", dish.service.escape_debug()),
                mean(&dish.service, known),
            );
        }
        letter(dishes, index, dish, report);
        swaps(dish, recipes.get(index).copied().flatten(), &path, report);
    }
}

/// Each item that another stands in for is in the recipe, once.
fn swaps(dish: &Dish, recipe: Option<&Recipe>, path: &str, report: &mut Report) {
    let lists = [("swaps", &dish.swaps), ("half", &dish.half)];
    for (list, (name, swaps)) in lists.iter().enumerate() {
        let swaps = words::at_most(report, &format!("{path}.{name}"), swaps, MOST_SWAPS);
        for (index, swap) in swaps.iter().enumerate() {
            let place = format!("{path}.{name}[{index}]");
            words::title(report, format!("{place}.by"), &swap.by);
            let before = swaps.iter().take(index).chain(lists.iter().take(list).flat_map(|l| l.1));
            if before.into_iter().any(|s| s.item == swap.item) {
                let what = format!("swaps \"{}\" a second time", swap.item.escape_debug());
                report.wrong(place, what, "Keep one of the two");
                continue;
            }
            let Some(recipe) = recipe else { continue };
            if !recipe.ingredients.iter().any(|i| i.item == swap.item) {
                let known = recipe.ingredients.iter().map(|i| i.item.as_str());
                report.wrong(
                    format!("{place}.item"),
                    format!("there is no \"{}\" in the recipe", swap.item.escape_debug()),
                    mean(&swap.item, known),
                );
            }
        }
    }
}

fn letter(dishes: &[Dish], index: usize, dish: &Dish, report: &mut Report) {
    let Some(letter) = dish.letter else { return };
    let path = format!("dishes[{index}].letter");
    if !letter.is_alphanumeric() || letter.width() != Some(1) {
        report.wrong(
            path,
            format!("\"{}\" does not stand out on the chart", letter.escape_debug()),
            "Use a letter or a digit",
        );
        return;
    }
    if let Some(first) = dishes.iter().take(index).position(|d| d.letter == Some(letter)) {
        report.wrong(
            path,
            format!("\"{letter}\" is already the letter of dishes[{first}]"),
            "Take another, or leave it out",
        );
    }
}

fn cooks(party: &Party, report: &mut Report) {
    if party.cooks.is_empty() {
        report.wrong("cooks", "is empty", "Add at least one cook, with the hours that they cook");
    }
    let cooks = words::at_most(report, "cooks", &party.cooks, MOST_COOKS);
    words::twice(report, "cooks", "id", cooks.iter().map(|c| c.id.as_str()));
    for (index, cook) in cooks.iter().enumerate() {
        self::cook(cook, &format!("cooks[{index}]"), report);
    }
}

fn cook(cook: &Cook, path: &str, report: &mut Report) {
    words::id(report, format!("{path}.id"), &cook.id);
    words::title(report, format!("{path}.name"), &cook.name);
    let list = format!("{path}.free");
    if cook.free.is_empty() {
        report.wrong(&list, "is empty", "Add hours: {\"from\": \"14:00\", \"to\": \"21:00\"}");
    }
    hours(&cook.free, &list, report);
    let list = format!("{path}.free_day_before");
    hours(&cook.free_day_before, &list, report);
    for (index, stretch) in cook.free_day_before.iter().enumerate() {
        if stretch.to > TimeOfDay(DAY) {
            report.wrong(
                format!("{list}[{index}].to"),
                format!("{} is on the party's own day", stretch.to),
                "Write 24:00 at the latest",
            );
        }
    }
}

fn hours(free: &[Stretch], list: &str, report: &mut Report) {
    let free = words::at_most(report, list, free, MOST_STRETCHES);
    for (index, stretch) in free.iter().enumerate() {
        if stretch.from >= stretch.to {
            report.wrong(
                format!("{list}[{index}]"),
                format!("ends at {}, but begins at {}", stretch.to, stretch.from),
                "Write the earlier time first; half past one at night is 25:30",
            );
            continue;
        }
        let earlier = free.iter().take(index);
        let clash = earlier
            .enumerate()
            .find(|(_, e)| e.from < e.to && e.from < stretch.to && stretch.from < e.to);
        if let Some((first, e)) = clash {
            report.wrong(
                format!("{list}[{index}]"),
                format!(
                    "{} to {} overlaps [{first}], {} to {}",
                    stretch.from, stretch.to, e.from, e.to
                ),
                "Join them into one",
            );
        }
    }
}

fn stock(stock: &Stock, path: &str, report: &mut Report) {
    words::title(report, format!("{path}.item"), &stock.item);
    match stock.amount {
        Some(amount) => {
            super::recipe::amount(amount, format!("{path}.amount"), "as much as is wanted", report);
        }
        None if stock.unit.is_some() => report.wrong(
            format!("{path}.unit"),
            "has no amount to go with",
            "Add \"amount\", or leave the unit out for \"as much as is wanted\"",
        ),
        None => {}
    }
}

fn guest(guest: &Guest, path: &str, report: &mut Report) {
    words::title(report, format!("{path}.name"), &guest.name);
    report.within(format!("{path}.count"), guest.count, 1, MOST_OF_A_GUEST);
    if let Some(heat) = guest.heat {
        report.within(format!("{path}.heat"), heat, 0, FIERCEST);
    }
    super::recipe::listed(&guest.diets, &format!("{path}.diets"), report);
    super::recipe::listed(&guest.avoids, &format!("{path}.avoids"), report);
    let looked_at = guest.avoids.iter().enumerate().take(super::recipe::MOST_WORDS);
    for (index, avoid) in looked_at.filter(|(_, a)| !a.trim().is_empty() && !items::knows(a)) {
        let near = items::suggest(avoid);
        let remedy = match near.first() {
            Some(near) => format!("Did you mean \"{near}\"? Else name the things themselves"),
            None => "Name the things themselves, and ask the guest".to_owned(),
        };
        report.note(
            format!("{path}.avoids[{index}]"),
            format!("nobody here knows what \"{}\" is in", avoid.escape_debug()),
            remedy,
        );
    }
}

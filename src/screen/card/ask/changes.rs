//! The rows of questions that change the party: a dish more, another service,
//! other items, what opens a dish to a guest.

use super::dish_words;
use super::rows::{Choice, digit, mark};
use crate::kitchen::choice::{self, Opening};
use crate::kitchen::items::Answer;
use crate::kitchen::menu::Warmth;
use crate::kitchen::swap::stand_ins;
use crate::kitchen::{Course, Dish, Guest, PartyChange, Recipe, Sourced, StandIn};
use crate::order::InOrder;
use crate::run::Event;
use crate::screen::{Scene, text};

/// Most dishes that are offered to be opened to a guest.
const MOST_OPENINGS: usize = 9;
/// Most dishes of the shelf that are offered to them, of each course.
const MOST_MORE: usize = 3;

fn changed(change: PartyChange) -> Event {
    Event::PartyChanged { change }
}

/// Recipes of the shelf that are not on the menu already.
fn on_the_shelf<'s>(scene: &'s Scene) -> impl Iterator<Item = &'s Recipe> {
    let on_menu = |r: &Recipe| {
        let mut made = scene.evening.sheets.iter().enumerate();
        made.any(|(d, s)| s.written.id == r.id && !scene.view.dropped.contains(&d))
    };
    scene.status.shelf.iter().filter(move |r| !on_menu(r))
}

/// The recipes of the shelf by course.
pub(super) fn shelf(scene: &Scene) -> Vec<Choice> {
    let mut recipes: Vec<&Recipe> = on_the_shelf(scene).collect();
    recipes.order_by_key(|r| r.course);
    recipes.into_iter().filter_map(|recipe| added(scene, recipe)).collect()
}

fn added(scene: &Scene, recipe: &Recipe) -> Option<Choice> {
    let dish = dish_of(scene, recipe)?;
    let words = format!(
        "{:8} {:34} {:5} for {}",
        recipe.course.word(),
        text::tame(&recipe.title),
        Warmth::of(recipe).word(),
        dish.servings
    );
    let change = PartyChange::DishAdded { dish: Box::new(dish) };
    Some(mark(None, words, changed(change), false))
}

/// A dish of a recipe: with the service of its course, for as many as the others.
fn dish_of(scene: &Scene, recipe: &Recipe) -> Option<Dish> {
    let sheets = &scene.evening.sheets;
    let alike = sheets.iter().find(|s| s.recipe.course == recipe.course);
    let like = alike.or_else(|| sheets.first());
    let service = like.map_or(0, |s| s.service);
    let guests: u32 =
        scene.evening.party.guests.iter().map(|g| g.count).fold(0, u32::saturating_add);
    let servings = like.map_or(guests, |s| s.servings).clamp(1, 500);
    let taken = |id: &str| sheets.iter().any(|s| s.id == id);
    Some(Dish {
        id: crate::kitchen::id::free(&recipe.id, taken),
        recipe: Sourced::Inline(Box::new(recipe.clone())),
        servings,
        service: scene.evening.party.services.get(service)?.id.clone(),
        letter: None,
        day_before: false,
        swaps: Vec::new(),
        half: Vec::new(),
    })
}

/// The other services that a dish could go with.
pub(super) fn services(scene: &Scene, dish: usize) -> Vec<Choice> {
    let Some(sheet) = scene.evening.sheets.get(dish) else { return Vec::new() };
    let services = scene.evening.party.services.iter().enumerate();
    services
        .filter(|(at, _)| *at != sheet.service)
        .enumerate()
        .map(|(i, (at, service))| {
            let due = scene.evening.face.label(super::rows::due(scene, at));
            let words = format!("with {}, {due}", text::tame(&service.title));
            let change =
                PartyChange::DishMoved { dish: sheet.id.clone(), service: service.id.clone() };
            mark(digit(i), words, changed(change), false)
        })
        .collect()
}

/// What may stand in for the items of a dish, in all or half of it; what does
/// already is taken back.
pub(super) fn items(scene: &Scene, dish: usize) -> Vec<Choice> {
    let of = scene.evening.sheets.get(dish).zip(scene.evening.party.dishes.get(dish));
    let Some((sheet, entry)) = of else { return Vec::new() };
    let mut rows = Vec::new();
    let row = |words: String, change: PartyChange| (words, changed(change));
    for swap in entry.swaps.iter().chain(&entry.half) {
        let words = format!("{} after all, not {}", swap.item, swap.by);
        let (dish, item) = (sheet.id.clone(), swap.item.clone());
        rows.push(row(words, PartyChange::Swapped { dish, item, by: None }));
    }
    let swapped = |item: &str| entry.swaps.iter().chain(&entry.half).any(|s| s.item == item);
    for ingredient in sheet.written.ingredients.iter().filter(|i| !swapped(&i.item)) {
        for by in stand_ins(ingredient) {
            let (dish, item) = (sheet.id.clone(), ingredient.item.clone());
            let whole = format!("{by} for {item}");
            let half = format!("{by} for {item} in half of it");
            let (of, what, other) = (dish.clone(), item.clone(), by.clone());
            rows.push(row(whole, PartyChange::Swapped { dish, item, by: Some(by) }));
            rows.push(row(half, PartyChange::Halved { dish: of, item: what, by: Some(other) }));
        }
    }
    let choice = |(i, (words, event)): (usize, (String, Event))| {
        mark(digit(i), text::tame(&words), event, false)
    };
    rows.into_iter().enumerate().map(choice).collect()
}

/// What opens dishes to a guest: in half of the dish where that will do, and in all of it.
pub(super) fn openings(scene: &Scene, guest: usize) -> Vec<Choice> {
    let Some(guest) = scene.evening.party.guests.get(guest) else { return Vec::new() };
    let all = choice::openings(scene.evening, guest, &scene.view.dropped);
    let mut rows = Vec::new();
    for opening in all.iter().take(MOST_OPENINGS) {
        if opening.half_will_do {
            rows.push(opened(scene, opening, true));
        }
        rows.push(opened(scene, opening, false));
    }
    rows.extend(more_for(scene, guest).into_iter().map(Some));
    let rows = rows.into_iter().flatten().enumerate();
    rows.map(|(i, (words, event))| mark(digit(i), words, event, false)).collect()
}

/// Dishes of the shelf against which nothing is known for a guest, of the courses of which they
/// find too little; those that leave it to the label where there is none.
fn more_for(scene: &Scene, guest: &Guest) -> Vec<(String, Event)> {
    let (evening, dropped) = (scene.evening, &scene.view.dropped);
    let choice = choice::choice(evening, guest, dropped);
    let least = evening.party.least;
    let mut rows = Vec::new();
    for (course, found, wanted) in [
        (Course::Main, choice.mains, least.mains),
        (Course::Starter, choice.starters, least.starters),
    ] {
        if u32::try_from(found.open).is_ok_and(|open| open >= wanted) {
            continue;
        }
        let of_course = on_the_shelf(scene).filter(|r| r.course == course);
        let mut open: Vec<(Answer, &Recipe)> = of_course
            .map(|r| (choice::finding_of(r, guest), r))
            .filter(|(found, _)| !found.too_hot && found.answer < Answer::Contains)
            .map(|(found, r)| (found.answer, r))
            .collect();
        open.order_by_key(|(answer, _)| *answer);
        for (answer, recipe) in open.into_iter().take(MOST_MORE) {
            let Some(dish) = dish_of(scene, recipe) else { continue };
            let label = if answer == Answer::MayContain { " (read the label)" } else { "" };
            let title = text::tame(&recipe.title);
            let words = format!("one {} more: {title}{label}", course.word());
            rows.push((words, changed(PartyChange::DishAdded { dish: Box::new(dish) })));
        }
    }
    rows
}

fn opened(scene: &Scene, opening: &Opening, half: bool) -> Option<(String, Event)> {
    let id = &scene.evening.sheets.get(opening.dish)?.id;
    let swaps = opening.swaps.iter().map(|s| format!("{} for {}", s.by, s.item));
    let label = if opening.answer == Answer::MayContain { " (read the label)" } else { "" };
    let how = if half { "half with " } else { "" };
    let words = format!(
        "{}: {how}{}{label}",
        dish_words(scene, opening.dish),
        swaps.collect::<Vec<_>>().join(", ")
    );
    let words = text::tame(&words);
    let event = |swap: &StandIn| {
        let (dish, item, by) = (id.clone(), swap.item.clone(), Some(swap.by.clone()));
        changed(match half {
            true => PartyChange::Halved { dish, item, by },
            false => PartyChange::Swapped { dish, item, by },
        })
    };
    let mut events: Vec<Event> = opening.swaps.iter().map(event).collect();
    let event = match events.len() {
        1 => events.pop()?,
        _ => Event::WayTaken { words: words.clone(), events },
    };
    Some((words, event))
}

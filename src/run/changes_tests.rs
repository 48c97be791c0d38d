use std::sync::Arc;

use super::event::{Event, Mark};
use super::testbed::{evening, minute, ms, state};
use super::{echo, fold, marks, needs_reshuffle};
use crate::kitchen::{Dish, PartyChange, Recipe};

fn mark(seq: u64, at: &str, event: Event) -> Mark {
    Mark { seq, at_ms: ms(at), event }
}

fn added(id: &str) -> Event {
    let recipe =
        Recipe { title: "Bean dip".into(), short: None, ..evening().sheets[1].written.clone() };
    let json = serde_json::json!({"id": id, "recipe": recipe, "servings": 8, "service": "mains"});
    let dish: Dish = serde_json::from_value(json).expect("a dish");
    Event::PartyChanged { change: PartyChange::DishAdded { dish: Box::new(dish) } }
}

fn moved(dish: &str, service: &str) -> Event {
    let (dish, service) = (dish.to_owned(), service.to_owned());
    Event::PartyChanged { change: PartyChange::DishMoved { dish, service } }
}

#[test]
fn a_dish_more_is_in_the_evening_and_wants_a_plan() {
    let mut state = state(&[]);
    assert_eq!(marks::check(&state, &added("beans"), ms("16:10")), Ok(()));
    let one = mark(2, "16:10", added("beans"));
    state.apply(&one);
    assert_eq!(state.evening().sheets.len(), 5);
    assert_eq!(state.party().sheets.len(), 4, "the file is as it was");
    assert_eq!(echo(&state, &one).as_deref(), Some("added: bean dip"));
    assert!(super::view(&state, ms("16:10")).outdated, "the plan does not know of it");
    let why = needs_reshuffle(&state, ms("16:10")).expect("another plan").text;
    assert_eq!(why, "because you added the bean dip");
    let twice = marks::check(&state, &added("beans"), ms("16:11")).expect_err("twice");
    assert!(twice.text.contains("already"), "{}", twice.text);
    // It is marked like any other dish.
    let served = Event::ServingsChanged { dish: "beans".into(), servings: 12 };
    state.apply(&mark(3, "16:12", served));
    assert_eq!(state.evening().sheets[4].servings, 12);
}

/// Plans in the journal name dishes by their places: no undo moves them.
#[test]
fn a_dish_whose_adding_is_undone_keeps_its_place() {
    let mut state = state(&[]);
    state.apply(&mark(2, "16:10", added("one")));
    state.apply(&mark(3, "16:11", added("two")));
    let two = state.evening().dish_index("two");
    state.apply(&mark(4, "16:12", Event::Undone { seq: 2 }));
    assert_eq!(state.evening().dish_index("two"), two);
    let one = state.evening().dish_index("one").expect("its place");
    assert!(state.is_dropped(one));
    state.apply(&mark(5, "16:13", Event::Undone { seq: 4 }));
    assert!(!state.is_dropped(one));
}

#[test]
fn one_by_one_or_all_at_once_is_the_same() {
    let mut state = state(&[]);
    let begun: Vec<Mark> = state.marks().map(|(m, _)| m.clone()).collect();
    let more = [
        mark(2, "16:10", added("beans")),
        mark(3, "16:11", moved("beans", "starters")),
        mark(4, "16:12", Event::DishDropped { dish: "dip".into() }),
        mark(5, "16:13", Event::Undone { seq: 3 }),
        mark(6, "16:14", moved("cake", "starters")),
    ];
    for mark in &more {
        state.apply(mark);
    }
    let all: Vec<Mark> = begun.into_iter().chain(more).collect();
    assert_eq!(fold(Arc::clone(state.party()), &all), state);
    assert_eq!(state.evening().sheets[4].service, 1);
    let noted = state.notes().last().map(|n| n.text.clone()).unwrap_or_default();
    assert!(noted.contains("no dish \"cake\""), "{noted}");
}

#[test]
fn what_is_in_is_not_swapped_by_a_slip() {
    let mut state = state(&[]);
    let swap = Event::PartyChanged {
        change: PartyChange::Swapped {
            dish: "pie".into(),
            item: "cream".into(),
            by: Some("oat cream".into()),
        },
    };
    assert_eq!(marks::check(&state, &swap, ms("16:10")), Ok(()));
    let id = super::StepId { dish: "pie".into(), step: "fill".into(), load: 0 };
    let started =
        Event::Started { id, way: 0, station: "board".into(), cook: None, ago_minutes: 0 };
    state.apply(&mark(2, "16:10", started));
    let refused = marks::check(&state, &swap, ms("16:11")).expect_err("it is in");
    assert!(refused.may_insist && refused.text.contains("cream"), "{}", refused.text);
    state.apply(&mark(3, "16:12", swap));
    assert_eq!(state.evening().sheets[3].recipe.ingredients[1].item, "oat cream");
    // Nothing that is cooked moves by it.
    assert_eq!(state.service_minute(1), minute("19:00"));
}

/// The dip waits to be mixed and nobody does it: each new plan puts it where the clock is.
#[test]
fn what_drifts_does_not_ask_for_a_plan_each_minute() {
    let mut state = state(&[]);
    let (due, dip) = (minute("16:20"), state.evening().dish_index("dip"));
    let mut asked = Vec::new();
    for late in 0..20 {
        let now = due + late;
        let now_ms = state.ms(now);
        let Some(why) = needs_reshuffle(&state, now_ms) else { continue };
        assert_eq!(why.text, format!("because the dip (mix) should have started {late} min ago"));
        asked.push(late);
        let mut plan = crate::plan::Plan::clone(state.plan().expect("a plan"));
        let by = late - asked.iter().rev().nth(1).copied().unwrap_or(0);
        for block in plan.blocks.iter_mut().filter(|b| Some(b.key.dish) == dip) {
            (block.start, block.end) = (block.start + by, block.end + by);
        }
        let (plan, moved, why) = (Box::new(plan), String::new(), why.text);
        let event = Event::PlanAdopted { plan, moved, why };
        state.apply(&Mark { seq: state.next_seq(), at_ms: now_ms, event });
    }
    assert_eq!(asked, [1, 2, 4, 8, 13, 18]);
}

/// Bought, cut and laid out for eight, it is not for twelve; and is again when they are eight after all. Whoever
/// swaps an item of a tray, has another tray.
#[test]
fn a_tick_stands_for_no_more_than_it_was_given_for() {
    let mut evening = crate::kitchen::Evening::clone(&evening());
    let leeks = serde_json::json!([{"item": "leek", "amount": 4, "cut": "sliced"},
        {"item": "almonds", "amount": 50, "unit": "g"}, {"item": "salt"}]);
    let leeks: Vec<crate::kitchen::Ingredient> = serde_json::from_value(leeks).expect("reads");
    evening.sheets[0].recipe.ingredients.clone_from(&leeks);
    evening.sheets[0].written.ingredients = leeks;
    let ticks = ["buy/leek", "buy/salt", "mise/leek, sliced", "tray/soup", "tray/dip"];
    let ticked = |more: &[(&'static str, Event)]| {
        let on = ticks.iter().map(|line| Event::Ticked { line: (*line).into(), on: true });
        let all = on.map(|e| ("16:10", e)).chain(more.iter().cloned());
        let all: Vec<Mark> =
            (1..).zip(all).map(|(seq, (at, event))| mark(seq, at, event)).collect();
        let state = fold(Arc::new(evening.clone()), &all);
        state.facts().ticked.iter().cloned().collect::<Vec<_>>()
    };
    let servings = |n| Event::ServingsChanged { dish: "soup".into(), servings: n };
    assert_eq!(ticked(&[]).len(), 5);
    assert_eq!(ticked(&[("16:20", servings(6))]).len(), 5, "there is more than enough");
    assert_eq!(ticked(&[("16:20", servings(12))]), ["buy/salt", "tray/dip"]);
    assert_eq!(ticked(&[("16:20", servings(12)), ("16:21", servings(8))]).len(), 5);
    // A dish that is not made asks for nothing, and for no more than before when it is made after all.
    let drop = || Event::DishDropped { dish: "soup".into() };
    let back = || Event::DishBack { dish: "soup".into() };
    assert_eq!(ticked(&[("16:20", drop())]).len(), 5);
    assert_eq!(ticked(&[("16:20", drop()), ("16:21", back())]).len(), 5);
    // Ticked anew it is for the twelve; and a tick that is taken away stays away.
    let again = |on| Event::Ticked { line: "buy/leek".into(), on };
    let more = ticked(&[("16:20", servings(12)), ("16:21", again(true)), ("16:22", servings(12))]);
    assert_eq!(more, ["buy/leek", "buy/salt", "tray/dip"]);
    let less = ticked(&[("16:20", again(false)), ("16:22", servings(6))]);
    assert!(!less.contains(&"buy/leek".to_owned()), "{less:?}");
    let seeds = Event::PartyChanged {
        change: PartyChange::Swapped {
            dish: "soup".into(),
            item: "almonds".into(),
            by: Some("pumpkin seeds".into()),
        },
    };
    let swapped = ticked(&[("16:20", seeds)]);
    assert_eq!(swapped, ["buy/leek", "buy/salt", "mise/leek, sliced", "tray/dip"]);
}

/// The cream stands out since 16:10 for the filling, whose place in the recipe is another one afterwards; or which is
/// no step any more.
#[test]
fn what_was_marked_of_a_step_stays_with_it_when_the_recipe_is_another() {
    let changed = |change: &dyn Fn(&mut Recipe)| {
        let mut recipe = evening().sheets[3].written.clone();
        change(&mut recipe);
        let change = PartyChange::RecipeChanged { dish: "pie".into(), recipe: Box::new(recipe) };
        let mut state = state(&[]);
        let rest = super::testbed::event("pin pie rest 18:45");
        let way = Event::WaySettled { dish: "pie".into(), step: "bake".into(), way: 0 };
        for (n, event) in
            [super::testbed::event("early pie fill"), rest, way].into_iter().enumerate()
        {
            state.apply(&mark(n as u64 + 2, "16:10", event));
        }
        state.apply(&mark(5, "16:20", Event::PartyChanged { change }));
        assert!(state.notes().is_empty(), "{:?}", state.notes());
        state
    };
    let first = |recipe: &mut Recipe| {
        let mut butter = recipe.steps[0].clone();
        butter.id = "butter".into();
        recipe.steps[0]
            .after
            .push(serde_json::from_value(serde_json::json!({"step": "butter"})).expect("after"));
        recipe.steps.insert(0, butter);
    };
    let moved = changed(&first);
    let key = |step: &str| super::testbed::key(moved.evening(), "pie", step, 0);
    assert_eq!(key("fill").step, 1);
    assert_eq!(super::view(&moved, ms("16:30")).early, [key("fill")]);
    assert_eq!(moved.facts().pins.keys().copied().collect::<Vec<_>>(), [key("rest")]);
    assert_eq!(moved.facts().ways.keys().copied().collect::<Vec<_>>(), [(3, key("bake").step)]);
    let gone = changed(&|recipe| {
        recipe.steps.retain(|s| s.id != "rest");
        recipe.steps[0].id = "stuff".into();
        recipe.steps[1].after[0].step = "stuff".into();
        recipe.ingredients[1].steps = vec!["stuff".into()];
    });
    assert!(gone.facts().pins.is_empty());
    let used = super::food::standing(&gone, 3, ms("17:10")).map(|s| s.minutes_used());
    assert_eq!(used, Some(60), "it stands out all the same");
}

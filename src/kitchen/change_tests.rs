use super::*;
use crate::kitchen::Half;
use crate::kitchen::check::HoldLimits;
use crate::run::testbed::evening;
use crate::safety::hold_limits;

fn limits() -> &'static [HoldLimits] {
    hold_limits()
}

fn dish(id: &str, service: &str, servings: u32) -> Dish {
    let recipe = Recipe { title: "Bean dip".into(), ..evening().sheets[1].written.clone() };
    let json = serde_json::json!({
        "id": id, "recipe": recipe, "servings": servings, "service": service
    });
    serde_json::from_value(json).expect("a dish")
}

fn added(id: &str, service: &str, servings: u32) -> PartyChange {
    PartyChange::DishAdded { dish: Box::new(dish(id, service, servings)) }
}

#[test]
fn a_dish_is_added_behind_all_others() {
    let before = evening();
    let after = added("beans", "mains", 9).apply(&before, limits()).expect("fits");
    assert_eq!(after.sheets.len(), before.sheets.len() + 1);
    assert_eq!(after.sheets[..before.sheets.len()], before.sheets[..]);
    let sheet = after.sheets.last().expect("it");
    assert_eq!((sheet.id.as_str(), sheet.servings, sheet.service), ("beans", 9, 1));
    assert!(!before.sheets.iter().any(|s| s.letter == sheet.letter));
    assert_eq!(after.party.dishes.len(), after.sheets.len());
}

#[test]
fn a_change_names_the_dish_that_it_is_about() {
    let dish = || "dip".to_owned();
    let (item, by) = ("leek".to_owned(), None);
    let swapped = PartyChange::Swapped { dish: dish(), item: item.clone(), by: by.clone() };
    let recipe = Box::new(evening().sheets[0].written.clone());
    for change in [
        added("dip", "mains", 8),
        PartyChange::DishMoved { dish: dish(), service: "mains".into() },
        swapped,
        PartyChange::Halved { dish: dish(), item, by },
        PartyChange::DayBefore { dish: dish(), on: true },
        PartyChange::RecipeChanged { dish: dish(), recipe },
    ] {
        assert_eq!(change.dish(), Some("dip"), "{change:?}");
    }
    let of_all = PartyChange::LeastChanged { starters: 1, mains: 1 };
    assert_eq!(of_all.dish(), None);
}

/// Each change that cannot be says what is wrong and where.
#[test]
fn what_makes_no_sense_is_said_plainly() {
    let of = evening();
    let said = |change: PartyChange| change.apply(&of, limits()).expect_err("makes no sense");
    assert!(said(added("soup", "mains", 8)).contains("a dish \"soup\" already"));
    assert!(said(added("beans", "lunch", 8)).contains("no service \"lunch\""));
    let zero = said(added("beans", "mains", 0));
    assert!(zero.contains("dishes[4].servings is 0. Write 1 to 500."), "{zero}");
    let moved = PartyChange::DishMoved { dish: "cake".into(), service: "mains".into() };
    assert!(said(moved).contains("no dish \"cake\""));
    let swap = PartyChange::Swapped { dish: "dip".into(), item: "ham".into(), by: None };
    assert!(said(swap).contains("no \"ham\" in it"));
    let guest = Guest {
        name: "the choir".into(),
        count: 0,
        diets: Vec::new(),
        avoids: Vec::new(),
        heat: None,
    };
    let guests = PartyChange::GuestsChanged { guests: vec![guest] };
    assert!(said(guests).contains("guests[0].count is 0"));
}

#[test]
fn swaps_and_halves_are_made_and_taken_back() {
    let of = evening();
    let by = |by: Option<&str>| by.map(str::to_owned);
    let swap = |to: Option<&str>| PartyChange::Swapped {
        dish: "pie".into(),
        item: "cream".into(),
        by: by(to),
    };
    let half =
        PartyChange::Halved { dish: "pie".into(), item: "cream".into(), by: by(Some("oat cream")) };
    let swapped = swap(Some("oat cream")).apply(&of, limits()).expect("fits");
    let items = |e: &Evening| -> Vec<String> {
        e.sheets[3].recipe.ingredients.iter().map(|i| i.item.clone()).collect()
    };
    assert_eq!(items(&swapped), ["flour", "oat cream"]);
    let halved = half.apply(&swapped, limits()).expect("fits");
    assert_eq!(items(&halved), ["flour", "cream", "oat cream"]);
    assert_eq!(halved.sheets[3].recipe.ingredients[2].half, Some(Half::Other));
    assert!(halved.party.dishes[3].swaps.is_empty(), "one or the other");
    let back = swap(None).apply(&halved, limits()).expect("fits");
    assert_eq!(back, *of);
}

#[test]
fn a_dish_goes_with_another_service() {
    let change = PartyChange::DishMoved { dish: "soup".into(), service: "mains".into() };
    let after = change.apply(&evening(), limits()).expect("fits");
    assert_eq!((after.sheets[0].service, after.party.dishes[0].service.as_str()), (1, "mains"));
}

#[test]
fn how_much_each_guest_should_find_is_changed() {
    let change = PartyChange::LeastChanged { starters: 1, mains: 3 };
    let after = change.apply(&evening(), limits()).expect("fits");
    assert_eq!(after.party.least, Least { starters: 1, mains: 3 });
}

/// What was wrong before is no reason to refuse a change; what is wrong anew is, though it be at the same place. Of
/// what is borrowed more is never worse.
#[test]
fn only_what_is_wrong_anew_is_refused() {
    let wrong = |servings: u32| {
        let mut of = Evening::clone(&evening());
        of.sheets[3].written.servings = servings;
        of
    };
    let again = |servings: u32| PartyChange::RecipeChanged {
        dish: "pie".into(),
        recipe: Box::new(wrong(servings).sheets[3].written.clone()),
    };
    assert!(again(600).apply(&wrong(600), limits()).is_ok());
    let said = again(700).apply(&wrong(600), limits()).expect_err("wrong anew");
    assert!(said.contains("servings is 700"), "{said}");
    let mut few = Evening::clone(&evening());
    few.sheets[3].written.steps[1].cookware[0].count = 3;
    let borrow = PartyChange::Borrowed {
        all: vec![Borrowed { what: borrowed::Lendable::Cookware, like: "dish".into(), count: 1 }],
    };
    assert_eq!(
        borrow.apply(&few, limits()).expect("more than before").kitchen.cookware[0].count,
        2
    );
    // That a service has no dish is worth knowing and no more.
    let moved = PartyChange::DishMoved { dish: "pie".into(), service: "starters".into() };
    assert_eq!(moved.apply(&evening(), limits()).expect("fits").sheets[3].service, 0);
}

/// Twelve minutes for the mixing that the recipe says ten of, in a dish that is changed and in one that is added.
#[test]
fn the_cooks_own_times_stay_when_a_dish_is_changed_or_added() {
    let minutes = |n: u32| crate::kitchen::Minutes { low: n, likely: n, high: n };
    let time = crate::kitchen::OwnTime {
        recipe: "dip".into(),
        step: "mix".into(),
        station: crate::kitchen::StationKind::Counter,
        written: minutes(10),
        own: minutes(12),
    };
    let of = Evening::clone(&evening()).by_own_times(vec![time].into());
    let moved = PartyChange::DishMoved { dish: "dip".into(), service: "mains".into() };
    assert_eq!(moved.apply(&of, limits()).expect("fits").sheets[1].minutes(0, 0), 12);
    let more = added("beans", "mains", 8).apply(&of, limits()).expect("fits");
    assert_eq!(more.sheets[4].minutes(0, 0), 12);
}

#[test]
fn a_dish_that_is_added_has_its_letter_if_no_other_has() {
    let of = evening();
    let taken = of.sheets[0].letter;
    let with = |letter: Option<char>| {
        let mut dish = dish("beans", "mains", 8);
        dish.letter = letter;
        let after = PartyChange::DishAdded { dish: Box::new(dish) }.apply(&of, limits());
        let after = after.expect("fits");
        (after.sheets[4].letter, after.party.dishes[4].letter)
    };
    assert_eq!(with(Some('7')), ('7', Some('7')));
    let (letter, written) = with(Some(taken));
    assert!(letter != taken && written == Some(letter), "{letter}");
    assert!(!of.sheets.iter().any(|s| s.letter == with(None).0) && with(None).1.is_none());
}

/// One file that needs no other: recipes as they are written, letters as they are shown, the kitchen without what is
/// borrowed.
#[test]
fn a_party_by_itself_has_all_in_it() {
    let borrow = PartyChange::Borrowed {
        all: vec![Borrowed { what: borrowed::Lendable::Cookware, like: "dish".into(), count: 1 }],
    };
    let of = borrow.apply(&evening(), limits()).expect("fits");
    let party = check::self_contained(&of);
    for (dish, sheet) in party.dishes.iter().zip(&of.sheets) {
        assert_eq!(dish.letter, Some(sheet.letter));
        assert_eq!(dish.recipe, Sourced::Inline(Box::new(sheet.written.clone())));
    }
    assert_eq!(party.kitchen, Sourced::Inline(Box::new(evening().kitchen.clone())));
}

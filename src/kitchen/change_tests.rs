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

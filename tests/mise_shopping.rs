//! The shopping list: nothing lost, nothing counted twice, the same whatever the
//! order, and every figure that of its table.
//!
//! `UPDATE_SCHEMA=1 cargo test --test mise_shopping` writes its schema anew.

#[path = "support/dishes.rs"]
mod dishes;
#[path = "support/program.rs"]
mod program;

use std::collections::BTreeMap;

use dishes::{demo, dish, evening, recipes};
use potwatch::command::Exit;
use potwatch::kitchen::items::{self, Aisle, Market};
use potwatch::kitchen::party::Stock;
use potwatch::kitchen::units::{Exact, Unit};
use potwatch::kitchen::{Evening, Recipe};
use potwatch::mise::amounts;
use potwatch::mise::scale;
use potwatch::mise::shopping::{Line, ShoppingList, list, print};
use potwatch::pages::lists::Named;
use program::{check_schema, here, potwatch};
use proptest::prelude::*;

fn exact(text: &str) -> Exact {
    text.parse().expect("amount")
}

fn lines<'a>(list: &'a ShoppingList, item: &str) -> Vec<&'a Line> {
    list.lines.iter().filter(|l| l.item == item).collect()
}

fn only<'a>(list: &'a ShoppingList, item: &str) -> &'a Line {
    let found = lines(list, item);
    assert_eq!(found.len(), 1, "{item}: {found:#?}");
    found[0]
}

/// USDA SR28: a medium onion is 110 g (11282), a cup of chopped onion 160 g; a
/// pound is 453.59237 g.
#[test]
fn pieces_pounds_and_cups_of_onions_are_one_line() {
    let party = evening(vec![
        dish("soup", serde_json::json!([{"item": "onions", "amount": 3, "cut": "diced"}])),
        dish("pie", serde_json::json!([{"item": "yellow onion", "amount": 1, "unit": "lb"}])),
        dish(
            "salsa",
            serde_json::json!([{"item": "Onion", "amount": 2, "unit": "cup", "cut": "finely chopped"}]),
        ),
    ]);
    let list = list(&party);
    let line = only(&list, "onion");
    let grams = exact("330") + exact("453.59237") + exact("320");
    assert_eq!(line.need.expect("amounts").amount, grams);
    let buy = line.buy.as_ref().expect("to buy");
    assert_eq!((buy.unit, buy.amount), (Unit::Piece, Exact::whole(11)));
    assert_eq!(buy.exact, grams.over(Exact::whole(110)).expect("not nought"));
    assert_eq!(line.shares.len(), 3);
    assert!(line.how.iter().any(|h| h.contains("160 g") && h.contains("SR28")), "{:?}", line.how);
}

#[test]
fn what_no_row_brings_together_stays_apart_and_is_said() {
    let party = evening(vec![
        dish("a", serde_json::json!([{"item": "cashews", "amount": 200, "unit": "g"}])),
        dish("b", serde_json::json!([{"item": "cashew", "amount": 1, "unit": "cup"}])),
        dish("c", serde_json::json!([{"item": "dragon scales", "amount": 2}])),
    ]);
    let list = list(&party);
    assert_eq!(lines(&list, "cashews").len(), 2);
    let said =
        |what: &str| assert!(list.notes.iter().any(|n| n.contains(what)), "{:?}", list.notes);
    said("cashews has 2 lines");
    said("dragon scales is not in the item table");
    assert_eq!(only(&list, "dragon scales").aisle, Aisle::Other);
    assert_eq!(only(&list, "dragon scales").buy.as_ref().expect("to buy").amount, exact("2"));
}

/// SR28: 25 % of potatoes (11353) is peel, 16 % of butternut squash (11485).
/// TM 10-412 (2003), card A-5: a No. 300 can is 14 oz; the tins of our metric
/// table are 400 g, 240 g drained (from memory).
#[test]
fn yields_and_packs_are_those_of_the_tables() {
    let party = evening(vec![dish(
        "a",
        serde_json::json!([
            {"item": "floury potato", "amount": 3, "unit": "kg"},
            {"item": "canned chickpeas", "amount": 480, "unit": "g"},
            {"item": "canned kidney beans", "amount": "2 1/2", "unit": "can"},
            {"item": "flour", "amount": 1460, "unit": "g"},
            {"item": "egg", "amount": 7},
            {"item": "egg yolk", "amount": 3},
            {"item": "egg white", "amount": 5},
            {"item": "lemon", "amount": 2, "cut": "juiced"},
            {"item": "lemon zest", "amount": 18, "unit": "g"},
            {"item": "garlic", "amount": 13, "unit": "clove"},
            {"item": "water", "amount": 2, "unit": "l"}
        ]),
    )]);
    let list = list(&party);
    let buy = |item: &str| only(&list, item).buy.clone().expect("to buy");
    assert_eq!(buy("floury potato").amount, Exact::whole(4000));
    assert_eq!(buy("canned chickpeas").packs[0].count, 2);
    assert_eq!(buy("canned kidney beans").words(), "3 cans of 400 g");
    assert_eq!(buy("flour").words(), "1 bag of 1.5 kg");
    // Seven whole ones, and five whose yolks and whites are used: two boxes of six.
    assert_eq!(buy("egg").exact, Exact::whole(12));
    assert_eq!(buy("egg").words(), "2 boxes of 6");
    // The zest of three comes off lemons of which two are juiced.
    assert_eq!(buy("lemon").amount, Exact::whole(3));
    assert_eq!(buy("garlic").words(), "2 heads");
    assert_eq!(only(&list, "water").buy, None);

    let mut us = party.clone();
    us.party.shops = Some(Market::Us);
    let us = potwatch::mise::shopping::list(&us);
    let pounds = only(&us, "floury potato").buy.clone().expect("to buy");
    assert_eq!(pounds.amount.over(exact("113.3980925")), Some(Exact::whole(36)));
    let tomatoes = items::find("canned tomatoes").expect("item");
    let can = tomatoes.packs_of(Market::Us).next().expect("a can");
    let ounces = can.g.expect("grams").over(Unit::Oz.base(Default::default()).expect("grams"));
    assert!((ounces.expect("not nought").to_f64() - 14.0).abs() < 0.01);
}

#[test]
fn what_is_in_the_house_is_taken_off_before_rounding() {
    let mut party = evening(vec![dish(
        "a",
        serde_json::json!([
            {"item": "flour", "amount": 1460, "unit": "g"},
            {"item": "onion", "amount": 5},
            {"item": "floury potato", "amount": 3, "unit": "kg"},
            {"item": "canned chickpeas", "amount": 480, "unit": "g"},
            {"item": "salt", "amount": 20, "unit": "g"},
            {"item": "cashews", "amount": 50, "unit": "g"}
        ]),
    )]);
    let stock = |item: &str, amount: Option<&str>, unit| Stock {
        item: item.to_owned(),
        amount: amount.map(exact),
        unit,
    };
    party.party.in_house = vec![
        stock("plain flour", Some("1/2"), Some(Unit::Kg)),
        stock("onions", Some("7"), None),
        stock("floury potatoes", Some("1"), Some(Unit::Kg)),
        stock("canned chickpeas", Some("1"), Some(Unit::Can)),
        stock("salt", None, None),
        stock("cashews", Some("1"), Some(Unit::Cup)),
        stock("saffron", Some("1"), Some(Unit::G)),
    ];
    let list = list(&party);
    let buy = |item: &str| only(&list, item).buy.clone();
    assert_eq!(buy("flour").expect("to buy").words(), "1 bag of 1 kg");
    assert_eq!(buy("onion"), None);
    assert_eq!(only(&list, "onion").in_house.expect("some").amount, Exact::whole(5));
    assert_eq!(buy("floury potato").expect("to buy").amount, Exact::whole(3000));
    assert_eq!(buy("canned chickpeas").expect("to buy").packs[0].count, 1);
    assert_eq!(buy("salt"), None);
    assert!(only(&list, "cashews").how.iter().any(|h| h.contains("cannot be set against it")));
    assert!(list.notes.contains(&"saffron is in the house, but no dish wants any".to_owned()));
}

/// A bottle of oil lies in the kitchen: it is set against spoons and millilitres by what the table says that it
/// holds (500 ml, roughly).
#[test]
fn a_bottle_in_the_house_is_set_against_spoons() {
    let oil = |amount: i32| {
        let one = serde_json::json!([{"item": "olive oil", "amount": amount, "unit": "ml"}]);
        let mut party = evening(vec![dish("salad", one)]);
        party.party.in_house = vec![Stock {
            item: "olive oil".to_owned(),
            amount: Some(Exact::ONE),
            unit: Some(Unit::Bottle),
        }];
        only(&list(&party), "olive oil").clone()
    };
    assert_eq!(oil(60).buy, None);
    let more = oil(600);
    assert_eq!(more.in_house.map(|h| (h.amount, h.unit)), Some((Exact::whole(500), Unit::Ml)));
    assert_eq!(more.buy.expect("more than a bottle").exact, Exact::whole(100));
}

/// Every ingredient of every dish once: what the shares of an item sum up to.
fn wanted(evening: &Evening) -> BTreeMap<(String, usize), Option<Exact>> {
    let portions = amounts::of_evening(evening).into_iter();
    portions.map(|p| ((p.sheet.id.clone(), p.index), p.most())).collect()
}

fn check(evening: &Evening) {
    let list = list(evening);
    let mut left = wanted(evening);
    for line in &list.lines {
        for share in &line.shares {
            let amount = share.quantity.map(|q| q.amount);
            let sheet = evening.sheets.iter().find(|s| s.id == share.dish).expect("a dish");
            let found = left.iter().find(|((dish, index), wanted)| {
                let word = share.words.as_ref().unwrap_or(&line.item);
                *dish == share.dish
                    && **wanted == amount
                    && sheet.recipe.ingredients[*index].item.trim() == word
            });
            let key = found.map(|(key, _)| key.clone());
            left.remove(&key.unwrap_or_else(|| panic!("twice or never: {share:?}")));
        }
        let house = line.in_house.map_or(Exact::ZERO, |h| h.amount);
        assert!(house >= Exact::ZERO, "{line:?}");
        if let Some(buy) = &line.buy {
            assert!(buy.exact.is_positive() && buy.amount.is_positive(), "{line:?}");
            let drained = line.how.iter().any(|h| h.contains("without its liquid"));
            assert!(drained || buy.amount >= buy.exact, "{line:?}");
        }
    }
    assert!(left.is_empty(), "lost: {left:?}");
}

#[test]
fn nothing_of_the_shelf_is_lost_or_counted_twice() {
    let all: Vec<(Recipe, u32)> = recipes().into_iter().map(|r| (r, 17)).collect();
    let party = evening(all);
    check(&party);
    let list = list(&party);
    assert_eq!(list.notes, Vec::<String>::new(), "the shelf needs no excuses");
    check(&demo());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn lists_of_any_dishes_are_whole_and_know_no_order(
        picks in proptest::collection::btree_map(0_usize..44, 1_u32..300, 1..9),
        turn in 0_usize..9,
        house in proptest::collection::vec((0_usize..400, 1_i64..2000, 0_usize..6), 0..8),
    ) {
        let recipes = recipes();
        let picked: Vec<(Recipe, u32)> =
            picks.iter().map(|(&r, &n)| (recipes[r % recipes.len()].clone(), n)).collect();
        let mut party = evening(picked);
        let units = [Unit::G, Unit::Ml, Unit::Piece, Unit::Cup, Unit::Can, Unit::Bunch];
        party.party.in_house = house.iter().map(|&(i, n, u)| Stock {
            item: items::all()[i].name.clone(),
            amount: Some(Exact::whole(n)),
            unit: Some(units[u]),
        }).collect();
        check(&party);
        let mut turned = party.clone();
        let by = turn % turned.sheets.len();
        turned.sheets.rotate_left(by);
        turned.sheets.reverse();
        let (mut a, mut b) = (list(&party), list(&turned));
        (a.dishes, b.dishes) = (Vec::new(), Vec::new());
        prop_assert_eq!(a, b);
    }

    /// Exactly while nothing is rounded; rounded amounts are within one step of
    /// each other.
    #[test]
    fn scaling_by_a_and_then_by_b_is_scaling_by_both(
        which in 0_usize..44, a in 1_u32..200, b in 1_u32..200,
    ) {
        let recipes = recipes();
        let recipe = &recipes[which % recipes.len()];
        let sheet = |recipe: &Recipe, servings| evening(vec![(recipe.clone(), servings)]);
        // To a servings, written down as a recipe of its own, and from there to b.
        let first = sheet(recipe, a);
        let mut written = recipe.clone();
        written.servings = a;
        for portion in amounts::of_evening(&first) {
            written.ingredients[portion.index].amount = portion.amount;
        }
        let (twice, once) = (sheet(&written, b), sheet(recipe, b));
        let (twice, once) = (amounts::of_evening(&twice), amounts::of_evening(&once));
        for (x, y) in twice.iter().zip(&once) {
            prop_assert_eq!(x.amount, y.amount);
            let (Some(x), Some(y)) = (x.amount, y.amount) else { continue };
            let (unit, item) = (once[0].unit, once[0].item());
            prop_assert_eq!(scale::rounded(x, unit, item), scale::rounded(y, unit, item));
        }
    }
}

#[test]
fn every_format_says_the_same() {
    let mut party = demo();
    party.sheets[0].recipe.ingredients[0].item = "a \"b\", <c> & *d*".to_owned();
    let list = list(&party);
    let none = print::Ticked::new();
    let ticked: print::Ticked = ["onion".to_owned()].into();
    let text = print::text(&list, &ticked, true);
    assert!(text.lines().all(|l| l.chars().count() <= 78), "{text}");
    assert!(text.contains("[x] onions") && text.contains("[ ] apples"));
    let html = print::html(&list, &none);
    assert!(html.contains("a &quot;b&quot;, &lt;c&gt; &amp; *d*") && !html.contains("<script"));
    let markdown = print::markdown(&list, &ticked);
    assert!(markdown.contains(r#"**a "b", \<c\> & \*d\***"#), "{markdown}");
    assert!(markdown.contains("- [x] **onions** 10"));
    let csv = print::csv(&list, &none);
    assert!(csv.contains("\"a \"\"b\"\", <c> & *d*\""), "{csv}");
    assert_eq!(csv.lines().count(), list.lines.len() + 1);
    let json = serde_json::to_string(&list).expect("JSON");
    assert_eq!(serde_json::from_str::<ShoppingList>(&json).expect("a list"), list);
}

#[test]
fn the_command_prints_what_the_file_needs() {
    check_schema::<Named<ShoppingList>>("shopping", "mise_shopping");
    let party = here("assets/demo/party.json").display().to_string();
    let (exit, out, err) = potwatch(&["shopping", &party]);
    assert_eq!((exit, err.as_str()), (Exit::Done, ""));
    assert!(out.contains("[ ] onions"), "{out}");
    let (_, json, _) = potwatch(&["shopping", &party, "--format", "json"]);
    let list: ShoppingList = serde_json::from_str(&json).expect("a list");
    assert_eq!(list, potwatch::mise::shopping::list(&demo()));
    let (exit, _, err) = potwatch(&["shopping", "nowhere.json"]);
    assert_eq!(exit, Exit::WrongFile, "{err}");
}

//! A made-up list, looked over by us: what each dish wants, what is in the house, and every way to print it.

use serde_json::{Value, json};

use crate::kitchen::Evening;
use crate::kitchen::items::Market;
use crate::kitchen::units::{Exact, Unit};
use crate::mise::shopping::{Line, ShoppingList, list, list_without, print};
use crate::paper;
use crate::plan::sample::evening_with;

/// The small supper with these ingredients of its three dishes, for as many as their recipes are written for.
fn evening(ingredients: [Value; 3], change: impl FnOnce(&mut Value)) -> Evening {
    evening_with(|party, _, recipes| {
        for (recipe, ingredients) in recipes.iter_mut().zip(ingredients) {
            recipe["ingredients"] = ingredients;
            recipe["measures"] = json!("us_customary");
        }
        change(party);
    })
}

/// One dish of these, with this in the house.
fn one(ingredients: Value, in_house: Value) -> ShoppingList {
    list(&evening([ingredients, json!([]), json!([])], |party| party["in_house"] = in_house))
}

fn supper() -> Evening {
    let roast = json!([
        {"item": "onion", "amount": 3, "cut": "diced"},
        {"item": "cashews", "amount": 200, "unit": "g"},
        {"item": "flour", "amount": 1460, "unit": "g"},
        {"item": "dragon scales", "amount": 3},
        {"item": "salt"},
        {"item": "canned chickpeas", "amount": 500, "unit": "g"},
        {"item": "egg yolk", "amount": 2},
        {"item": "chestnuts", "amount": 100, "unit": "g"},
        {"item": "walnuts", "amount": 1, "unit": "cup", "cut": "sliced"}
    ]);
    let chips = json!([
        {"item": "yellow onion", "amount": 2, "unit": "cup", "cut": "finely chopped"},
        {"item": "onion", "amount": 330, "unit": "g", "cut": "sliced"},
        {"item": "cashew", "amount": 1, "unit": "cup"},
        {"item": "cashews"},
        {"item": "Dragon scales", "amount": 2, "size": "large"},
        {"item": "egg", "amount": 5},
        {"item": "floury potato", "amount": 3, "unit": "kg"},
        {"item": "parsley", "amount": 2, "unit": "bunch", "optional": true}
    ]);
    let dip = json!([
        {"item": "egg white", "amount": 3},
        {"item": "olive oil", "amount": 100, "unit": "g"},
        {"item": "lemon", "amount": 2, "cut": "juiced"},
        {"item": "lemon zest", "amount": 18, "unit": "g"},
        {"item": "water", "amount": 2, "unit": "l"},
        {"item": "garlic", "amount": 13, "unit": "clove"},
        {"item": "canned tomatoes", "amount": 1, "unit": "can", "pack": {"amount": 800, "unit": "g"}}
    ]);
    evening([roast, chips, dip], |party| {
        party["dishes"][2]["servings"] = json!(8);
        party["borrowed"] = json!([{"what": "cookware", "like": "tin-small"}]);
        party["in_house"] = json!([
            {"item": "flour", "amount": "1/2", "unit": "kg"},
            {"item": "Dragon Scales", "amount": 4},
            {"item": "saffron", "amount": 1, "unit": "g"},
            {"item": "salt"},
            {"item": "egg", "amount": 2},
            {"item": "olive oil", "amount": 1, "unit": "l"}
        ]);
    })
}

#[test]
fn a_list_reads_like_this() {
    let list = list(&supper());
    let ticked: print::Ticked = ["onion".to_owned()].into();
    insta::assert_snapshot!("list_text", print::text(&list, &ticked, true));
    insta::assert_snapshot!("list_markdown", print::markdown(&list, &ticked));
    insta::assert_snapshot!("list_paper", paper::text(&print::paper(&list, &ticked)));
    insta::assert_snapshot!("list_csv", print::csv(&list, &ticked));
    let text = print::text(&list, &ticked, false);
    assert!(!text.contains('~') && text.contains("onions"), "{text}");
}

/// Nothing borrowed, nothing to say, nothing to buy.
#[test]
fn what_there_is_nothing_of_has_no_heading() {
    let list = one(json!([{"item": "salt"}]), json!([]));
    let none = print::Ticked::new();
    let text = print::text(&list, &none, true);
    let paper = paper::text(&print::paper(&list, &none));
    for text in [text, print::markdown(&list, &none), paper] {
        assert!(!text.contains("Notes") && !text.contains("To borrow"), "{text}");
        assert!(text.contains("Nothing to buy") && text.contains("For"), "{text}");
    }
}

fn lines<'a>(list: &'a ShoppingList, item: &str) -> Vec<&'a Line> {
    list.lines.iter().filter(|l| l.item == item).collect()
}

fn buys(line: &Line) -> Option<Exact> {
    line.buy.as_ref().map(|b| b.exact)
}

/// Three pieces and two large ones, four in the house: what the first line took the second one lacks.
#[test]
fn what_is_in_the_house_is_taken_once() {
    let scales = json!([
        {"item": "dragon scales", "amount": 3}, {"item": "dragon scales", "amount": 2, "size": "large"}
    ]);
    let list = one(scales, json!([{"item": " Dragon Scales", "amount": 4}]));
    let found: Vec<_> = lines(&list, "dragon scales");
    let house = |line: &Line| line.in_house.map(|h| h.amount);
    assert_eq!(
        found.iter().map(|l| house(l)).collect::<Vec<_>>(),
        [Some(Exact::whole(3)), Some(Exact::whole(1))]
    );
    assert_eq!(found.iter().map(|l| buys(l)).collect::<Vec<_>>(), [None, Some(Exact::ONE)]);
    // It was wanted, so that no slip of the pen is feared.
    assert!(list.notes.iter().all(|n| !n.contains("no dish wants any")), "{:?}", list.notes);
    let other = one(
        json!([{"item": "dragon scales", "amount": 3}]),
        json!([{"item": "dragon eggs", "amount": 4}]),
    );
    assert_eq!(buys(lines(&other, "dragon scales")[0]), Some(Exact::whole(3)));
    assert!(other.notes.contains(&"dragon eggs is in the house, but no dish wants any".to_owned()));
}

/// Salt to taste is wanted as well.
#[test]
fn what_is_wanted_to_taste_is_no_slip_of_the_pen() {
    let list = one(json!([{"item": "salt"}]), json!([{"item": "salt"}, {"item": "saffron"}]));
    assert_eq!(list.notes, ["saffron is in the house, but no dish wants any"]);
}

#[test]
fn a_share_says_its_own_word_for_so_many() {
    let shared = |amount: i32, unit: &str| {
        let onions = json!([{"item": "spanish onion", "amount": amount, "unit": unit}]);
        one(onions, json!([])).lines[0].shared()
    };
    assert_eq!(shared(1, "piece"), "R 1 spanish onion");
    assert_eq!(shared(2, "piece"), "R 2 spanish onions");
    assert_eq!(shared(200, "g"), "R 200 g spanish onion");
}

/// A bag is enough: that nobody knows what the cup beside it weighs is no matter.
#[test]
fn what_is_not_needed_of_the_house_is_not_weighed() {
    let cup = json!({"item": "cashews", "amount": 1, "unit": "cup"});
    let bag = |amount: i32| json!({"item": "cashews", "amount": amount, "unit": "g"});
    let nuts = || json!([{"item": "cashews", "amount": 150, "unit": "g"}]);
    let said = |house: Value| {
        let list = one(nuts(), house);
        let line = lines(&list, "cashews")[0].clone();
        (buys(&line), line.how.iter().any(|h| h.contains("cannot be set against it")))
    };
    assert_eq!(said(json!([bag(150), cup])), (None, false));
    assert_eq!(said(json!([bag(100), cup])), (Some(Exact::whole(50)), true));
    assert_eq!(said(json!([bag(100), bag(30)])), (Some(Exact::whole(20)), false));
    assert_eq!(said(json!([])), (Some(Exact::whole(150)), false));
}

/// What no row brings to what is sold is bought as the recipes have it, and said so; grams of what comes in no packs are
/// no riddle, nor is what comes from the tap.
#[test]
fn what_cannot_be_brought_to_what_is_sold_is_said() {
    let stuck = |item: &str, amount: i32, unit: &str| {
        let list = one(json!([{"item": item, "amount": amount, "unit": unit}]), json!([]));
        list.lines[0].how.iter().any(|h| h.contains("no row of the item table says"))
    };
    // Bags of 150 g.
    assert!(stuck("cashews", 1, "cup") && !stuck("cashews", 100, "g"));
    assert!(stuck("venison", 1, "cup") && !stuck("venison", 900, "g"));
    assert!(!stuck("water", 2, "l") && !stuck("water", 900, "g"));
    assert!(!stuck("dragon scales", 1, "cup"));
    // Nobody knows how much of a litre a gram of it is.
    assert!(stuck("red wine", 100, "g") && !stuck("red wine", 100, "ml"));
}

#[test]
fn what_is_cut_away_is_said_where_there_is_any() {
    let said = |item: &str| {
        let list = one(json!([{"item": item, "amount": 900, "unit": "g"}]), json!([]));
        list.lines[0].how.iter().any(|h| h.contains("% of it is edible"))
    };
    assert!(said("floury potato") && !said("cherry tomato"));
}

/// SR28: a cup of olive oil is 216 g (04053), 236.588 ml; 108 g are half a cup.
#[test]
fn grams_of_what_is_sold_by_volume_become_millilitres() {
    let list = one(json!([{"item": "olive oil", "amount": 108, "unit": "g"}]), json!([]));
    let buy = lines(&list, "olive oil")[0].buy.clone().expect("to buy");
    assert_eq!((buy.unit, buy.words()), (Unit::Ml, "1 bottle of 500 ml".to_owned()));
    let cup = Unit::Cup.base(crate::kitchen::units::Measures::UsCustomary).expect("ml");
    assert_eq!(Some(buy.exact), cup.over(Exact::whole(2)));
    // Of chopped walnuts there is a row, of whole ones there is none: grams stay grams.
    let list =
        one(json!([{"item": "walnuts", "amount": 1, "unit": "cup", "cut": "chopped"}]), json!([]));
    assert_eq!(buys(lines(&list, "walnuts")[0]), Some(Exact::whole(117)));
}

/// 500 g of chickpeas without their liquid are more than the 480 g of two cans of 400 g (drained weight from memory).
#[test]
fn cans_count_without_their_liquid() {
    let list = one(json!([{"item": "canned chickpeas", "amount": 500, "unit": "g"}]), json!([]));
    let line = lines(&list, "canned chickpeas")[0];
    assert_eq!(line.to_buy(), "3 cans of 400 g");
    assert!(
        line.how.iter().any(|h| h.starts_with("a can of 400 g holds 240 g without its liquid"))
    );
    let list = one(json!([{"item": "flour", "amount": 1500, "unit": "g"}]), json!([]));
    assert!(list.lines[0].how.iter().all(|h| !h.contains("liquid")), "{:?}", list.lines[0].how);
}

/// A dish that is not made after all is not bought for.
#[test]
fn without_a_dish_nothing_of_it_is_bought() {
    let supper = supper();
    let fewer = list_without(&supper, &[0]);
    assert!(lines(&fewer, "flour").is_empty() && fewer.dishes.len() == 2);
    assert_eq!(fewer.shops, Market::Metric);
    let shares = fewer.lines.iter().flat_map(|l| &l.shares);
    assert!(shares.clone().count() > 10 && shares.clone().all(|s| s.dish != "roast"));
}

/// Aisle by aisle, by name; two lines of one item by what tells them apart.
#[test]
fn lines_come_in_the_order_of_a_walk_and_keep_their_names() {
    let list = list(&supper());
    assert!(list.lines.is_sorted_by_key(|l| (l.aisle, l.id.clone())));
    let ids: Vec<&str> = list.lines.iter().map(|l| l.id.as_str()).collect();
    for id in ["cashews", "cashews by volume", "dragon scales", "dragon scales, large pieces"] {
        assert!(ids.contains(&id), "{id}: {ids:?}");
    }
    let cut = one(
        json!([{"item": "moon dust", "amount": 1, "unit": "cup", "cut": "crushed"}]),
        json!([]),
    );
    assert_eq!(cut.lines[0].id, "moon dust by volume, crushed");
    // Whoever only wants some to taste stands by the first line.
    let to_taste = |l: &&Line| l.shares.iter().any(|s| s.quantity.is_none());
    let by = lines(&list, "cashews").into_iter().find(to_taste).map(|l| l.id.as_str());
    assert_eq!(by, Some("cashews"));
}

//! Where things belong on the board and wait after it, what is washed for whom, and the mise in words.

use serde_json::{Value, json};

use super::*;
use crate::kitchen::items;
use crate::kitchen::{Evening, Kept};
use crate::plan::sample::evening_with;

/// The small supper with these ingredients of roast, chips and dip, and these guests.
fn evening(ingredients: [Value; 3], guests: Value) -> Evening {
    evening_with(|party, _, recipes| {
        for (recipe, ingredients) in recipes.iter_mut().zip(ingredients) {
            recipe["ingredients"] = ingredients;
        }
        party["guests"] = guests;
    })
}

fn cut(item: &str, cut: &str) -> Value {
    json!({"item": item, "amount": 4, "cut": cut})
}

#[test]
fn things_have_their_place_in_the_order_of_the_board() {
    let rows = [
        (Board::Herbs, "parsley", "chopped"),
        (Board::Herbs, "lemon", "zested"),
        (Board::Herbs, "lemon", "juiced"),
        (Board::Plants, "lemon", "sliced"),
        (Board::Plants, "apple", "diced"),
        // An allergen, but a plant like others.
        (Board::Plants, "celery", "diced"),
        (Board::Plants, "celeriac", "diced"),
        (Board::Plants, "moon rock", "diced"),
        // Nor has the table these, but they sound raw.
        (Board::Meat, "wild boar shoulder", "diced"),
        (Board::Fish, "dragon prawns", "halved"),
        (Board::Poultry, "marsh duck", "sliced"),
        (Board::Strong, "onion", "diced"),
        (Board::Strong, "garlic", "chopped"),
        (Board::Strong, "chives", "snipped"),
        (Board::Strong, "spring onion", "sliced"),
        (Board::Strong, "red chilli", "sliced"),
        (Board::Strong, "poblano", "sliced"),
        (Board::Allergen, "walnuts", "chopped"),
        (Board::Allergen, "cheddar", "grated"),
        (Board::Allergen, "bread", "cubed"),
        (Board::Fish, "salmon side", "sliced"),
        (Board::Fish, "prawn", "halved"),
        (Board::Fish, "squid", "sliced"),
        (Board::Meat, "stewing beef", "cubed"),
        (Board::Meat, "bacon", "diced"),
        (Board::Poultry, "chicken breast", "sliced"),
        (Board::Poultry, "turkey", "sliced"),
        (Board::Poultry, "egg", "separated"),
    ];
    for (board, item, cut) in rows {
        let of = items::find(item).map_or_else(|| Board::of_words(item), |i| Board::of(i, cut));
        assert_eq!(of, board, "{item}, {cut}");
        assert_eq!(board.is_raw(), board >= Board::Fish);
    }
}

/// FDA Food Code 2022, 1-201.10: cut melons, cut tomatoes and cut leafy greens (lettuces, endive, spinach, cabbage, kale,
/// rocket, chard) are kept cold; from memory.
#[test]
fn what_must_be_cold_once_it_is_cut_waits_in_the_fridge() {
    let cold = [
        "tomato",
        "cherry tomato",
        "plum tomato",
        "melon",
        "watermelon",
        "lettuce",
        "romaine lettuce",
        "salad leaves",
        "chicory",
        "spinach",
        "kale",
        "rocket",
        "swiss chard",
        "white cabbage",
        "red cabbage",
        "savoy cabbage",
        "chinese cabbage",
        "carrot",
        "stewing beef",
    ];
    for item in cold {
        let found = items::find(item);
        assert!(found.is_some(), "{item}");
        assert_eq!(order::waits(item, found, Kept::Cupboard), Kept::Fridge, "{item}");
    }
    for item in ["apple", "onion", "potato", "walnuts", "moon rock"] {
        assert_eq!(order::waits(item, items::find(item), Kept::Cupboard), Kept::Cupboard, "{item}");
        assert_eq!(order::waits(item, items::find(item), Kept::Fridge), Kept::Fridge, "{item}");
        assert_eq!(order::waits(item, items::find(item), Kept::Freezer), Kept::Fridge, "{item}");
    }
    assert_eq!(order::waits("wild boar shoulder", None, Kept::Cupboard), Kept::Fridge);
    // Whatever the table has of these by another name.
    for item in items::all() {
        let is = |words: &[&str]| words.iter().any(|w| item.name.ends_with(w));
        let fresh = item.aisle == items::Aisle::Produce;
        if fresh && is(&["tomato", "melon", "lettuce", "cabbage", "spinach", "kale", "chard"]) {
            assert_eq!(
                order::waits(&item.name, Some(item), Kept::Cupboard),
                Kept::Fridge,
                "{}",
                item.name
            );
        }
    }
}

/// A dish that keeps its apples cold keeps the whole job cold.
#[test]
fn a_job_waits_where_one_of_its_dishes_keeps_it() {
    let apples = |kept: &str| json!([{"item": "apple", "amount": 2, "cut": "diced", "kept": kept}]);
    let waits = |a, b| {
        let evening = evening([apples(a), apples(b), json!([])], json!([]));
        pool(&evening).jobs[0].waits
    };
    assert_eq!(waits("cupboard", "fridge"), Kept::Fridge);
    assert_eq!(waits("fridge", "cupboard"), Kept::Fridge);
    assert_eq!(waits("cupboard", "cupboard"), Kept::Cupboard);
}

/// 4/3 of an onion are one and a half as they are cut: two such parts are three, not the two and a half of 8/3.
#[test]
fn a_job_says_the_sum_of_the_parts_as_they_are_cut() {
    let onions = |amount: &str, unit: &str| json!([{"item": "onion", "amount": amount, "unit": unit, "cut": "diced"}]);
    let words = |a: Value, b: Value| pool(&evening([a, b, json!([])], json!([]))).jobs[0].words();
    assert_eq!(words(onions("4/3", "piece"), onions("4/3", "piece")), "dice 3 onions");
    // Pieces and grams come to grams: 1.5 x 110 g and 300 g.
    assert_eq!(words(onions("3/2", "piece"), onions("300", "g")), "dice 465 g onions");
}

#[test]
fn a_guest_with_a_diet_alone_is_minded_too() {
    let of = |guest: Value| {
        let salad = json!([cut("cheddar", "grated"), cut("carrot", "grated")]);
        let mise = pool(&evening([salad, json!([]), json!([])], json!([guest])));
        let job = mise.jobs.iter().find(|j| j.item == "cheddar").expect("a job").clone();
        job.not_for
    };
    assert_eq!(of(json!({"name": "Ada", "diets": ["vegan"]})), ["Ada"]);
    assert_eq!(of(json!({"name": "Bo", "avoids": ["milk"]})), ["Bo"]);
    assert!(of(json!({"name": "Cy"})).is_empty());
}

/// The half that a guest does not eat is on the board as well.
#[test]
fn of_a_dish_made_half_and_half_both_halves_are_on_the_board() {
    let mut halves = json!([cut("pear", "diced"), cut("apple", "diced")]);
    halves[0]["half"] = json!("one");
    halves[1]["half"] = json!("other");
    let guest = json!([{"name": "Otto", "avoids": ["pear"]}]);
    let mise = pool(&evening([halves, json!([cut("turnip", "diced")]), json!([])], guest));
    let not_for: Vec<_> = mise.jobs.iter().map(|j| (j.item.as_str(), j.not_for.len())).collect();
    assert_eq!(not_for, [("apple", 0), ("turnip", 0), ("pear", 1)]);
}

/// Each of three guests avoids one thing and may eat of the other two dishes: what was washed off is not named again.
#[test]
fn after_a_change_of_board_only_what_came_since_is_on_it() {
    let dish = |item: &str| json!([cut(item, "diced")]);
    let guest = |name: &str, item: &str| json!({"name": name, "avoids": [item]});
    let guests = json!([guest("Ilse", "celery"), guest("Otto", "pear"), guest("Una", "turnip")]);
    let mise = pool(&evening([dish("celery"), dish("pear"), dish("turnip")], guests));
    let washes: Vec<_> = mise.jobs.iter().map(|j| (j.item.as_str(), j.wash.as_deref())).collect();
    let change = "Change the board, wash knife and hands:";
    let wash = |item: &str, guest: &str| {
        format!("{change} {item} was on it, and of what comes next {guest} may eat")
    };
    assert_eq!(
        washes,
        [
            ("celery", None),
            ("pear", Some(wash("celery", "Ilse").as_str())),
            ("turnip", Some(wash("pear", "Otto").as_str()))
        ]
    );
    assert_eq!(mise.washing_minutes, 2 * 3);
}

#[test]
fn what_cannot_be_answered_for_is_said_once() {
    let odd =
        || json!([cut("Zest stick", "turned"), cut("apple rock", "turned"), cut("apple", "diced")]);
    let mise = pool(&evening([odd(), odd(), json!([])], json!([])));
    let said = |item: &str| format!("{item}, turned: no rate for that, reckoned as chopping");
    assert_eq!(mise.notes, [said("Zest stick"), said("apple rock")]);
}

#[test]
fn cans_and_spoons_are_set_out_by_dish() {
    let cans = json!([{"item": "canned tomatoes", "amount": 2, "unit": "tbsp"},
        {"item": "ginger root", "amount": 2, "unit": "tbsp", "cut": "grated"}, {"item": "flour", "amount": 1, "unit": "kg"}]);
    let spoons = json!([{"item": "flour", "amount": 2, "unit": "tbsp"}, {"item": "salt"}]);
    let none = json!([{"item": "flour", "amount": 1, "unit": "kg"}]);
    let of = |ingredients| {
        let mise = pool(&evening(ingredients, json!([])));
        mise.setups.into_iter().map(|s| (s.letter, s.open, s.measure)).collect::<Vec<_>>()
    };
    let words = |all: &[&str]| all.iter().map(|w| (*w).to_owned()).collect::<Vec<_>>();
    assert_eq!(
        of([cans, spoons, none]),
        [
            ('R', words(&["2 tbsp canned tomatoes"]), words(&[])),
            ('C', words(&[]), words(&["2 tbsp flour", "salt to taste"]))
        ]
    );
}

/// Looked over by us.
#[test]
fn a_mise_reads_like_this() {
    let roast = json!([cut("onion", "diced"), cut("chicken breast", "sliced"), {"item": "salt"},
        {"item": "canned tomatoes", "amount": 2, "unit": "can"}, {"item": "walnuts", "amount": 80, "unit": "g",
        "cut": "chopped"}]);
    let chips = json!([cut("tomato", "diced"), cut("onion", "diced"), cut("moon rock", "turned"),
        {"item": "lemon", "amount": 1, "cut": "zested"}, {"item": "lemon", "amount": 1, "cut": "juiced"}]);
    let dip = json!([cut("pear", "diced"), {"item": "ground cumin", "amount": 2, "unit": "tsp"}]);
    let guests = json!([{"name": "Otto", "avoids": ["pear"]}, {"name": "Ilse"}]);
    let mut all = print::text(&pool(&evening([roast.clone(), chips, dip], guests)));
    // Raw food and nothing else, and nothing at all.
    let raw = json!([cut("chicken breast", "sliced")]);
    all += "\n";
    all += &print::text(&pool(&evening([raw, json!([]), json!([])], json!([]))));
    all += "\n";
    all += &print::text(&pool(&evening([json!([]), json!([]), json!([])], json!([]))));
    insta::assert_snapshot!(all);
    // What is not made is not cut.
    let all = evening([roast, json!([cut("onion", "diced")]), json!([])], json!([]));
    let fewer = pool_without(&all, &[0]);
    assert_eq!(fewer.jobs.iter().map(Job::words).collect::<Vec<_>>(), ["dice 4 onions"]);
}

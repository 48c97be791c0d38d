//! Dishes for other servings: amounts by the working factor, rounded once, and
//! never to nothing; loads and pans that hold it; appetite that counts.
//!
//! `UPDATE_SCHEMA=1 cargo test --test mise_scale` writes its schema anew.

#[path = "support/dishes.rs"]
mod dishes;
#[path = "support/program.rs"]
#[allow(dead_code, reason = "shared with tests that play the demo")]
mod program;

use dishes::{demo, dish, evening, recipes};
use potwatch::command::Exit;
use potwatch::kitchen::units::{Dimension, Exact};
use potwatch::kitchen::{Course, Evening, items};
use potwatch::mise::amounts;
use potwatch::mise::scale::{self, Appetite, Scaled, Scaling, counted, rounded, servings, step_of};
use potwatch::pages::lists::Named;
use proptest::prelude::*;
use serde_json::json;

use program::{check_schema, here, potwatch};

fn exact(text: &str) -> Exact {
    text.parse().expect("a number")
}

fn only(evening: &Evening) -> Scaled {
    scale::evening(evening).dishes.swap_remove(0)
}

/// How far rounding may go: half a step, a whole one where it goes up or where
/// half a step would be nothing.
fn within_stated_rounding(scaled: &Scaled) {
    for amount in &scaled.amounts {
        let (Some(exact), Some(round)) = (amount.exact, amount.rounded) else { continue };
        let item = items::find(&amount.item);
        let step = step_of(exact, amount.unit, item);
        let off = if round > exact { round - exact } else { exact - round };
        let half = step.over(Exact::whole(2)).expect("no nought");
        let up = amount.unit.dimension() == Dimension::Container || round == step;
        assert!(if up { off < step } else { off <= half }, "{amount:?}");
        assert!(!exact.is_positive() || round.is_positive(), "{amount:?}");
        assert!(exact >= Exact::ZERO && round >= Exact::ZERO, "{amount:?}");
        assert_eq!(amount.counted, counted(amount.unit));
        if amount.unit.dimension() == Dimension::Container {
            assert!(round.is_whole() && round >= exact, "cans and packets are opened whole");
        }
    }
}

/// The rule of the Armed Forces Recipe Service (TM 10-412, A-1 "Recipe
/// conversion"; the worked example is written from memory): servings wanted over
/// servings written is the working factor, and each amount is multiplied by it.
#[test]
fn amounts_go_by_the_working_factor() {
    let (mut card, _) = dish(
        "card",
        json!([
            {"item": "egg", "amount": 9},
            {"item": "plain flour", "amount": "3 1/2", "unit": "lb"},
            {"item": "ground cumin", "amount": 1, "unit": "tsp"},
            {"item": "white beans", "amount": 3, "unit": "can"},
            {"item": "salt"},
        ]),
    );
    card.servings = 100;
    let scaled = only(&evening(vec![(card, 348)]));
    assert_eq!(scaled.factor, exact("3.48"));
    assert_eq!(scaled.factor_words(), "3.48");
    let take: Vec<String> = scaled.amounts.iter().map(|a| a.take()).collect();
    // 3.5 lb x 3.48 = 12.18 lb = 12 lb 2.88 oz, to the nearest quarter of an ounce 3.
    assert_eq!(take, ["31", "12 lb 3 oz", "3 1/2 tsp", "11 cans", "to taste"]);
    let said: Vec<String> = scaled.amounts.iter().map(|a| a.exactly()).collect();
    assert_eq!(said[0], "(by factor 31.32, -1 %)");
    assert_eq!(said[3], "(by factor 10.44 cans, +5 %)");
    within_stated_rounding(&scaled);
}

/// The 17 public-domain cards for a hundred (TM 10-412, 2003), each weight in
/// ounces by the factor of any number: rounded to the quarter ounce it is never
/// more than an eighth off.
#[test]
fn the_cards_scale_by_their_own_rounding() {
    let Some(folder) = std::env::var("POTWATCH_CARDS").ok() else {
        println!("skipped: POTWATCH_CARDS does not name the folder of the cards");
        return;
    };
    let text = std::fs::read_to_string(format!("{folder}/EXPECTED_pool.json")).expect("totals");
    let expected: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    let (mut held, eighth) = (0, exact("0.125"));
    for (name, total) in expected["pooled"].as_object().expect("totals") {
        for card in total["cards"].as_array().expect("cards") {
            let ounces = card["oz"].as_str().expect("ounces");
            let (mut recipe, _) =
                dish("card", json!([{"item": name, "amount": ounces, "unit": "oz"}]));
            recipe.servings = 100;
            for made in [1, 12, 25, 99, 100, 101, 348, 500] {
                let scaled = only(&evening(vec![(recipe.clone(), made)]));
                let amount = &scaled.amounts[0];
                let factor = Exact::fraction(i128::from(made), 100).expect("a factor");
                let right = exact(ounces) * factor;
                assert_eq!(amount.exact, Some(right), "{name}");
                let round = amount.rounded.expect("an amount");
                let off = if round > right { round - right } else { right - round };
                assert!(off <= eighth || round == exact("0.25"), "{name}: {right} {round}");
                assert!((round * Exact::whole(4)).is_whole());
                held += 1;
            }
        }
    }
    println!("{held} amounts of the cards hold");
}

#[test]
fn what_does_not_grow_is_said() {
    let party = demo();
    let mut doubled = party.clone();
    for sheet in &mut doubled.sheets {
        sheet.servings = sheet.recipe.servings;
    }
    assert!(scale::evening(&doubled).dishes.iter().all(|d| d.beware.is_empty()), "as written");
    for sheet in &mut doubled.sheets {
        sheet.servings = sheet.recipe.servings * 3;
    }
    let all: Vec<String> =
        scale::evening(&doubled).dishes.iter().flat_map(|d| d.beware.clone()).collect();
    for said in
        ["Salt and spice", "Oven time stays", "more pans, not a deeper one", "slower to the boil"]
    {
        assert!(all.iter().any(|s| s.contains(said)), "{said}: {all:?}");
    }
    let (mut loaf, _) =
        dish("loaf", json!([{"item": "baking powder", "amount": 2, "unit": "tsp"}]));
    loaf.servings = 10;
    let said = |made| only(&evening(vec![(loaf.clone(), made)])).beware.concat();
    assert!(said(30).contains("Leavening (baking powder)"));
    assert!(!said(20).contains("Leavening") && said(4).contains("Leavening"));
}

#[test]
fn appetite_and_company_count() {
    let mut party = demo();
    let asked = |party: &Evening| -> Vec<u32> {
        scale::evening(party).dishes.iter().map(|d| d.suggested).collect()
    };
    let usual = asked(&party);
    party.party.appetite = Appetite::Hearty;
    let hearty = asked(&party);
    party.party.appetite = Appetite::Light;
    let light = asked(&party);
    assert!(light.iter().zip(&usual).all(|(l, u)| l < u), "{light:?} {usual:?}");
    assert!(usual.iter().zip(&hearty).all(|(u, h)| u < h), "{usual:?} {hearty:?}");
    assert!(scale::evening(&party).dishes[0].suggested_for.contains("light eaters"));
    // A dish that is dropped leaves more to be eaten of the others of its course.
    let mains: Vec<usize> = (0..party.sheets.len())
        .filter(|&d| party.sheets[d].recipe.course == Course::Main)
        .collect();
    let before = scale::of_dish(&party, mains[0], &[]).expect("a dish").suggested;
    let after = scale::of_dish(&party, mains[0], &mains[1..]).expect("a dish").suggested;
    assert!(mains.len() < 2 || after > before);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, failure_persistence: None, ..ProptestConfig::default() })]
    #[test]
    fn any_dish_for_any_number_keeps_to_what_is_stated(which in 0_usize..60, made in 1_u32..500) {
        let recipes = recipes();
        let recipe = recipes[which % recipes.len()].clone();
        let sheet = evening(vec![(recipe, made)]);
        let scaled = only(&sheet);
        within_stated_rounding(&scaled);
        prop_assert_eq!(scaled.amounts.len(), sheet.sheets[0].recipe.ingredients.len());
        for step in &scaled.steps {
            prop_assert!(step.loads >= 1 && step.minutes >= 1);
            if let Some(each) = step.load_servings {
                prop_assert!(step.loads * each >= made && (step.loads - 1) * each < made);
            }
        }
        for vessel in &scaled.vessels {
            prop_assert!(vessel.count >= 1);
        }
    }

    /// Exactly while nothing is rounded; and if the middle is rounded (a card
    /// written down for a and cooked for b), by no more than its rounding grows.
    #[test]
    fn a_then_b_is_ab_within_the_stated_rounding(
        which in 0_usize..60, a in 1_u32..200, b in 1_u32..200,
    ) {
        let recipes = recipes();
        let recipe = &recipes[which % recipes.len()];
        let first = only(&evening(vec![(recipe.clone(), a)]));
        let mut card = recipe.clone();
        card.servings = a;
        for (ingredient, amount) in card.ingredients.iter_mut().zip(&first.amounts) {
            ingredient.amount = amount.rounded;
        }
        let sheets = evening(vec![(card, b)]);
        let once = evening(vec![(recipe.clone(), b)]);
        let twice = amounts::of_evening(&sheets);
        for (i, (x, y)) in twice.iter().zip(&amounts::of_evening(&once)).enumerate() {
            let (Some(x), Some(y)) = (x.amount, y.amount) else { continue };
            let amount = &first.amounts[i];
            let step = step_of(amount.exact.expect("an amount"), amount.unit, items::find(&amount.item));
            let growth = Exact::fraction(b.into(), a.into()).expect("a factor");
            let off = if x > y { x - y } else { y - x };
            prop_assert!(off <= step * growth, "{} {x} {y}", amount.item);
        }
    }

    #[test]
    fn more_guests_never_ask_for_less(
        guests in 1_u32..400, more in 0_u32..100, dishes in 1_usize..8, course in 0_usize..7,
    ) {
        let course = Course::ALL[course];
        for appetite in [Appetite::Light, Appetite::Usual, Appetite::Hearty] {
            let ask = |guests| servings(course, guests, dishes, appetite);
            prop_assert!(ask(guests + more) >= ask(guests) && ask(guests) >= 1);
        }
    }
}

#[test]
fn rounding_twice_is_rounding_once() {
    for unit in ["g", "kg", "ml", "tsp", "tbsp", "cup", "oz", "lb", "can", "bunch", "clove"] {
        let unit = serde_json::from_value(json!(unit)).expect(unit);
        for n in 1..400 {
            let amount = Exact::fraction(n, 7).expect("a number");
            let once = rounded(amount, unit, None);
            assert_eq!(rounded(once, unit, None), once, "{amount} {unit:?}");
        }
    }
}

#[test]
fn the_command_prints_what_the_file_needs() {
    let party = here("assets/demo/party.json").display().to_string();
    let run = |args: &[&str]| {
        let (exit, out, err) = potwatch(&[&["scale", &party], args].concat());
        assert_eq!((exit, err.as_str()), (Exit::Done, ""));
        out
    };
    let text = run(&[]);
    assert!(text.lines().all(|l| l.chars().count() <= 78), "{text}");
    for said in ["factor", "16 guests", "rounded once"] {
        assert!(text.contains(said), "{said}: {text}");
    }
    let named: Named<Scaling> = serde_json::from_str(&run(&["--json"])).expect("its own shape");
    assert_eq!(named.format, "potwatch scale 1");
    let scaling = named.list;
    assert_eq!(scaling, scale::evening(&demo()));
    check_schema::<Named<Scaling>>("scale", "mise_scale");
}

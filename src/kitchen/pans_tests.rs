use proptest::prelude::*;
use serde_json::json;

use super::{Asked, fewest, in_kitchen, places_in};
use crate::kitchen::check::suits;
use crate::kitchen::{CookwareNeed, Kitchen, Recipe};

/// A bake in dishes and a roast on trays, for twelve. Invented.
fn bake(need: serde_json::Value, slots: u32) -> Recipe {
    serde_json::from_value(json!({
        "id": "bake", "title": "Bake", "course": "main", "servings": 12,
        "ingredients": [{"item": "beans"}],
        "steps": [{"id": "bake", "text": "Bake.", "label": "bake", "cookware": need,
             "ways": [{"station": "oven", "minutes": 40, "at_c": 180, "slots": slots}]}],
        "holds": [], "safety": {"class": "cooked_plant"}}))
    .expect("reads")
}

/// An oven of two racks and these pans: kind, how many, ml, ovenproof.
fn kitchen(pans: &[(&str, u32, Option<u32>, bool)]) -> Kitchen {
    let pans = pans.iter().enumerate().map(|(i, (kind, count, ml, proof))| {
        json!({"id": format!("pan-{i}"), "title": format!("The {kind} {i}"), "kind": kind,
               "count": count, "volume_ml": ml, "ovenproof": proof})
    });
    serde_json::from_value(json!({"id": "k", "title": "K",
        "stations": [{"id": "oven", "title": "Oven", "kind": "oven", "slots": 2,
            "thermostat": {"least_c": 50, "most_c": 250, "up_c_per_min": 10, "down_c_per_min": 5}}],
        "cookware": pans.collect::<Vec<_>>()}))
    .expect("reads")
}

/// Pieces for so many servings, and the places that they take in the oven.
fn taken(kitchen: &Kitchen, recipe: &Recipe, servings: u32) -> Option<(u32, u32)> {
    let step = &recipe.steps[0];
    let need = &step.cookware[0];
    let asked = Asked::of(recipe, need, servings, step.ways[0].load_servings);
    let take = in_kitchen(kitchen, &need.kind, asked, true)?;
    Some((take.pieces, places_in(kitchen, recipe, servings, step, &step.ways[0], 2)))
}

#[test]
fn dishes_follow_the_servings_down_and_up() {
    let two = bake(json!([{"kind": "dish", "count": 2, "least_ml": 3000}]), 1);
    let home = kitchen(&[("dish", 4, Some(3300), true)]);
    // 6 l for twelve: 3 l for six, 12 l for 24; two dishes stand on one rack.
    assert_eq!(taken(&home, &two, 12), Some((2, 1)));
    assert_eq!(taken(&home, &two, 6), Some((1, 1)));
    assert_eq!(taken(&home, &two, 7), Some((2, 1)));
    assert_eq!(taken(&home, &two, 24), Some((4, 2)));
    assert_eq!(taken(&home, &two, 27), None);
    // One large dish for two smaller ones; three small ones for the two.
    assert_eq!(taken(&kitchen(&[("dish", 1, Some(6500), true)]), &two, 12), Some((1, 1)));
    assert_eq!(taken(&kitchen(&[("dish", 3, Some(2000), true)]), &two, 12), Some((3, 2)));
    // In equal parts: the small one would take a third at most.
    let mixed = kitchen(&[("dish", 1, Some(4000), true), ("dish", 2, Some(2000), true)]);
    assert_eq!(taken(&mixed, &two, 12), Some((3, 2)));
    assert_eq!(taken(&mixed, &two, 13), None);
}

#[test]
fn one_pan_becomes_two_for_more() {
    let pie = bake(json!([{"kind": "pan", "least_ml": 3500}]), 1);
    let one = kitchen(&[("pan", 1, Some(4000), true)]);
    assert_eq!((taken(&one, &pie, 13), taken(&one, &pie, 14)), (Some((1, 1)), None));
    let two = kitchen(&[("pan", 2, Some(4000), true)]);
    assert_eq!(taken(&two, &pie, 15), Some((2, 2)));
    // What there is, is said, and what would do.
    let step = &pie.steps[0];
    let why = suits::stations_for(&one, &pie, 15, step, &step.ways[0]).expect_err("too large");
    assert_eq!(
        why,
        "it needs a pan for 4375 ml and the largest, \"The pan 0\", holds 4000 ml: 2 of those \
         would do and there is only 1"
    );
}

#[test]
fn trays_of_no_volume_go_in_proportion_up_to_what_there_is() {
    let trays = bake(json!([{"kind": "tray", "count": 2}]), 2);
    let three = kitchen(&[("tray", 3, None, true)]);
    assert_eq!(taken(&three, &trays, 6), Some((1, 1)));
    assert_eq!(taken(&three, &trays, 7), Some((2, 2)));
    assert_eq!(taken(&three, &trays, 1), Some((1, 1)));
    // Three for 13 to 18; the oven has two racks, and there is no fourth tray.
    assert_eq!(taken(&three, &trays, 13), Some((3, 2)));
    assert_eq!(taken(&three, &trays, 40), Some((3, 2)));
    // One tray is too few for the recipe's own twelve, and enough for six.
    let one = kitchen(&[("tray", 1, None, true)]);
    assert_eq!((taken(&one, &trays, 12), taken(&one, &trays, 6)), (None, Some((1, 1))));
    // A bowl is a bowl.
    let bowl = bake(json!([{"kind": "tray"}]), 1);
    assert_eq!((taken(&one, &bowl, 1), taken(&one, &bowl, 60)), (Some((1, 1)), Some((1, 1))));
}

#[test]
fn a_load_is_what_is_held_at_once() {
    let mut frying = bake(json!([{"kind": "pan", "count": 2}]), 2);
    frying.steps[0].ways[0].load_servings = Some(6);
    let pans = kitchen(&[("pan", 3, None, true)]);
    // Two pans fry six at once; of 24 there are four loads.
    assert_eq!(taken(&pans, &frying, 24), Some((2, 2)));
    assert_eq!(taken(&pans, &frying, 3), Some((1, 1)));
    let mut boiling = bake(json!([{"kind": "pan", "least_ml": 4000}]), 1);
    boiling.steps[0].ways[0].load_servings = Some(6);
    let pots = kitchen(&[("pan", 1, Some(2000), true)]);
    assert_eq!(taken(&pots, &boiling, 60), Some((1, 1)));
    boiling.steps[0].ways[0].load_servings = None;
    assert_eq!(taken(&pots, &boiling, 60), None);
}

#[test]
fn pieces_of_no_stated_volume_are_taken_at_the_recipes_word_or_the_cooks() {
    let two = bake(json!([{"kind": "dish", "count": 2, "least_ml": 3000}]), 1);
    let unsaid = kitchen(&[("dish", 4, None, true)]);
    assert_eq!(taken(&unsaid, &two, 6), Some((1, 1)));
    assert_eq!(taken(&unsaid, &two, 12), Some((2, 1)));
    assert_eq!(taken(&unsaid, &two, 18), Some((3, 2)));
    // There are but four: the cook knows them.
    assert_eq!(taken(&unsaid, &two, 60), Some((4, 2)));
    assert_eq!(taken(&kitchen(&[("dish", 1, None, true)]), &two, 12), None);
}

#[test]
fn a_bowl_beside_the_dish_stays_outside_and_takes_no_rack() {
    let both = json!([{"kind": "bowl", "least_ml": 1000}, {"kind": "dish", "least_ml": 3000}]);
    let crumble = bake(both, 1);
    let home = kitchen(&[("bowl", 9, Some(500), false), ("dish", 2, Some(3000), true)]);
    let step = &crumble.steps[0];
    let places = |n| places_in(&home, &crumble, n, step, &step.ways[0], 2);
    assert_eq!((places(12), places(24)), (1, 2));
    // Dishes that may not go in are none.
    let cold = kitchen(&[("bowl", 9, Some(500), false), ("dish", 2, Some(3000), false)]);
    let why = suits::stations_for(&cold, &crumble, 12, step, &step.ways[0]).expect_err("melts");
    assert!(why.contains("none of the"), "{why}");
}

/// Usable quarts of steam-table pans, 2 1/2 and 4 inches deep: full, half, third and
/// quarter. Armed Forces Recipe Service, TM 10-412 (2003), card A-25. Its full pan,
/// 2 1/2 inches deep, is given 56 half-cup portions, which is the 7 quarts.
#[test]
fn smaller_pans_hold_what_the_table_says() {
    let millilitres = |quarts: f64| (quarts * 946.353_f64).floor() as u32;
    for (full, parts) in
        [(7.0, [(3.5, 2), (2.5, 3), (1.667, 5)]), (13.0, [(6.5, 2), (4.0, 4), (2.667, 5)])]
    {
        let recipe = bake(json!([{"kind": "pan", "least_ml": millilitres(full)}]), 1);
        for (quarts, pans) in parts {
            let there = kitchen(&[("pan", 9, Some(millilitres(quarts)), true)]);
            let taken = taken(&there, &recipe, recipe.servings).expect("held");
            assert_eq!(taken.0, pans, "{quarts} qt for {full}");
        }
    }
    assert_eq!((56.0 / 2.0 * 236.588_f64).floor() as u32, millilitres(7.0));
}

fn pieces() -> impl Strategy<Value = Vec<(Option<u32>, u32)>> {
    let volume = prop_oneof![4 => (200_u32..9000).prop_map(Some), 1 => Just(None)];
    prop::collection::vec((volume, 1_u32..5), 0..4)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]
    /// What is taken holds it in equal parts, and no smaller number would; more
    /// servings never take less; what the recipe's own count held is never refused.
    #[test]
    fn as_few_as_hold_it(
        count in 1_u32..5, each in 100_u32..5000, servings in 1_u32..60,
        load in prop::option::of(1_u32..20), pieces in pieces(),
    ) {
        let recipe = bake(json!([]), 1);
        let need = CookwareNeed { kind: "dish".to_owned(), count, least_ml: Some(each) };
        let asked = |n| Asked::of(&recipe, &need, n, load);
        let total = asked(servings).total_ml();
        prop_assert!(asked(servings + 1).total_ml() >= total);
        let at_once = u64::from(load.unwrap_or(servings).min(servings));
        prop_assert!(total * 12 >= u64::from(count * each) * at_once);
        let known: Vec<_> = pieces.iter().copied().filter(|p| p.0.is_some()).collect();
        let there = |ml: u64| {
            let large = known.iter().filter(|p| u64::from(p.0.unwrap_or(0)) >= ml);
            large.map(|p| p.1).sum::<u32>()
        };
        let taken = fewest(asked(servings), &known).map(|take| take.pieces);
        // By trying every number.
        let all: u32 = known.iter().map(|p| p.1).sum();
        let by_hand = (1..=all).find(|&n| there(total.div_ceil(n.into())) >= n);
        prop_assert_eq!(taken, by_hand);
        if let (Some(few), Some(more)) = (taken, fewest(asked(servings + 1), &known)) {
            prop_assert!(more.pieces >= few);
        }
        // The recipe's own count of pieces, each large enough, or of no stated volume.
        let enough = pieces.iter().filter(|p| p.0.is_none_or(|ml| u64::from(ml * count) >= total));
        if enough.map(|p| p.1).sum::<u32>() >= count {
            prop_assert!(fewest(asked(servings), &pieces).is_some());
        }
    }
}

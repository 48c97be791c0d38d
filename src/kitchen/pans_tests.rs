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

/// What cooks are told of them: so many pieces, each for so much.
#[test]
fn what_is_asked_is_told_as_pieces_and_what_each_holds() {
    let of = |need: serde_json::Value, servings: u32| {
        let recipe = bake(json!([need]), 1);
        Asked::of(&recipe, &recipe.steps[0].cookware[0], servings, None)
    };
    // Two trays for twelve are three for eighteen, and one for six.
    let trays = |n| of(json!({"kind": "tray", "count": 2}), n);
    assert_eq!(
        [6, 12, 18].map(|n| (trays(n).stated(), trays(n).wanted())),
        [(2, 1), (2, 2), (2, 3)]
    );
    assert_eq!((trays(12).total_ml(), trays(12).each_of(2)), (0, 0));
    // Two dishes of 3 l: 9 l for eighteen, in three of 3 l, in two of 4.5 l.
    let dishes = of(json!({"kind": "dish", "count": 2, "least_ml": 3000}), 18);
    assert_eq!([0, 1, 2, 3, 4].map(|n| dishes.each_of(n)), [9000, 9000, 4500, 3000, 2250]);
    assert_eq!((dishes.stated(), dishes.wanted()), (2, 1));
    assert_eq!((Asked::default().stated(), Asked::default().wanted()), (1, 1));
    // A load or a volume of nothing is none that is stated; the check of files refuses both.
    let recipe =
        bake(json!([{"kind": "tray", "count": 2}, {"kind": "tray", "count": 2, "least_ml": 0}]), 1);
    let [plain, none] =
        [0, 1].map(|n| Asked::of(&recipe, &recipe.steps[0].cookware[n], 18, Some(0)));
    assert_eq!((plain, none), (trays(18), trays(18)));
}

/// A pan that goes through several steps is the most that any of them asks, in each respect.
#[test]
fn one_pan_for_several_steps_does_for_each() {
    let recipe = bake(
        json!([{"kind": "pan", "count": 3}, {"kind": "pan", "least_ml": 2000}, {"kind": "pan", "count": 2, "least_ml": 1500}]),
        1,
    );
    let each = [0, 1, 2].map(|n| Asked::of(&recipe, &recipe.steps[0].cookware[n], 12, None));
    for order in [[0, 1, 2], [2, 1, 0], [1, 0, 2]] {
        let all = order.map(|n| each[n]).into_iter().fold(Asked::default(), Asked::and);
        // 2 x 1.5 l are more than 2 l; three pieces are more than two.
        assert_eq!((all.stated(), all.wanted(), all.total_ml()), (3, 3, 3000), "{order:?}");
        // Three of 1 l; of nine of no stated volume, 2 l each by the recipe's word, three as well.
        for (count, ml) in [(3, Some(1000)), (9, None)] {
            let pans = kitchen(&[("pan", count, ml, true)]);
            assert_eq!(in_kitchen(&pans, "pan", all, true).map(|t| t.pieces), Some(3));
        }
    }
}

/// Which pieces do as one of so many: those of a stated volume by it, the others by what the recipe says of each, or
/// at the cook's word where there is no other way.
#[test]
fn a_piece_does_if_it_holds_its_part() {
    let recipe = bake(json!([{"kind": "dish", "count": 2, "least_ml": 3000}]), 1);
    let asked = |n| Asked::of(&recipe, &recipe.steps[0].cookware[0], n, None);
    let by_volume = fewest(asked(12), &[(Some(3000), 2)]).expect("two");
    assert_eq!(by_volume.pieces, 2);
    assert_eq!([2999, 3000, 9000].map(|ml| by_volume.suits(Some(ml))), [false, true, true]);
    assert!(by_volume.suits(None), "3 l each by the recipe's word");
    assert!(!by_volume.of(1).suits(None) && by_volume.of(1).suits(Some(6000)));
    // Sixty servings want 30 l; of four dishes of no stated volume the cook knows what they hold.
    let at_word = fewest(asked(60), &[(None, 4)]).expect("all of them");
    assert_eq!((at_word.pieces, at_word.suits(None), at_word.suits(Some(7000))), (4, true, false));
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

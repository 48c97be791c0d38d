//! Which dish a job stands with, which steps wait for it, and what becomes of it once the board is in use.

use serde_json::{Value, json};

use super::super::pool;
use super::*;
use crate::plan::sample::evening_with;

/// The supper that pools its knife work, with these ingredients of roast, chips and dip; nothing settled yet.
fn unsettled(ingredients: [Value; 3], change: impl FnOnce(&mut Value, &mut [Value; 3])) -> Evening {
    evening_with(|party, _, recipes| {
        party["pool_knife_work"] = json!(true);
        for (recipe, ingredients) in recipes.iter_mut().zip(ingredients) {
            recipe["ingredients"] = ingredients;
        }
        change(party, recipes);
    })
}

fn settled(ingredients: [Value; 3], change: impl FnOnce(&mut Value, &mut [Value; 3])) -> Evening {
    let mut evening = unsettled(ingredients, change);
    settle(&mut evening, &[], &|_, _| false);
    evening
}

/// Settled anew, with a step begun and dishes dropped.
fn again(evening: &Evening, dropped: &[usize], begun: &str) -> Evening {
    let mut again = evening.clone();
    settle(&mut again, dropped, &|_, step| step == begun);
    again
}

fn cut(item: &str, cut: &str, steps: &[&str]) -> Value {
    json!({"item": item, "amount": 4, "cut": cut, "steps": steps})
}

/// All that has to do with the board: jobs with their dishes, and what follows them.
fn board(evening: &Evening) -> Vec<String> {
    let is_job = |id: &str| evening.sheets.iter().any(|s| s.jobs.iter().any(|j| j.step == id));
    let mut all = Vec::new();
    for sheet in &evening.sheets {
        for job in &sheet.jobs {
            assert!(sheet.step_index(&job.step).is_some(), "{} is no step", job.step);
            all.push(format!("{}: {} for {}", sheet.id, job.step, job.dishes.join(", ")));
        }
        for step in &sheet.recipe.steps {
            let after = step.after.iter().filter(|a| is_job(&a.step));
            all.extend(after.map(|a| format!("{}/{} after {}", sheet.id, step.id, a.step)));
        }
        let waits = sheet.waits_for.iter();
        all.extend(waits.map(|w| format!("{}/{} after {}'s {}", sheet.id, w.step, w.dish, w.job)));
    }
    all
}

fn step<'e>(evening: &'e Evening, dish: usize, id: &str) -> &'e Step {
    evening.sheets[dish].recipe.steps.iter().find(|s| s.id == id).expect("a step")
}

fn text(evening: &Evening, dish: usize, id: &str) -> String {
    step(evening, dish, id).text.clone()
}

/// Onions for all three, potatoes for what is heated.
fn onions_and_potatoes() -> [Value; 3] {
    [
        json!([cut("onion", "diced", &["season"]), cut("potato", "diced", &["season"])]),
        json!([cut("onion", "diced", &["cut"]), cut("potato", "diced", &["cut"])]),
        json!([cut("onion", "diced", &["mix"])]),
    ]
}

const SHARED: [&str; 7] = [
    "roast: cut-potato-diced for roast, chips",
    "roast/season after cut-potato-diced",
    "roast/season after dip's cut-onion-diced",
    "chips/cut after dip's cut-onion-diced",
    "chips/cut after roast's cut-potato-diced",
    "dip: cut-onion-diced for dip, roast, chips",
    "dip/mix after cut-onion-diced",
];

/// Roast and chips are heated two steps on; the dip never is, and its clock runs from the cut on.
#[test]
fn a_job_stands_with_the_dish_whose_clock_it_starts() {
    let evening = settled(onions_and_potatoes(), |_, _| ());
    assert_eq!(board(&evening), SHARED);
}

/// Onions into a roast that rests are not heated any more: of the two the earlier dish shares.
#[test]
fn of_two_clocks_the_later_dish_is_cut_for_by_itself() {
    let evening = settled(
        [
            json!([cut("onion", "diced", &["rest"])]),
            json!([cut("onion", "diced", &["cut"])]),
            json!([cut("onion", "diced", &["mix"])]),
        ],
        |party, _| {
            party["services"].as_array_mut().expect("a list").push(json!(
                {"id": "first", "title": "First", "at": "18:00"}));
            party["dishes"][2]["service"] = json!("first");
        },
    );
    assert_eq!(
        board(&evening),
        [
            "roast: cut-onion-diced for roast",
            "roast/rest after cut-onion-diced",
            "chips/cut after dip's cut-onion-diced",
            "dip: cut-onion-diced for dip, chips",
            "dip/mix after cut-onion-diced",
        ]
    );
}

/// What is made anew is as if it had never been otherwise, whatever is dropped.
#[test]
fn before_the_board_is_in_use_all_is_made_anew() {
    let plain = unsettled(onions_and_potatoes(), |_, _| ());
    let first = settled(onions_and_potatoes(), |_, _| ());
    for dropped in [&[][..], &[0], &[1], &[2], &[0, 1], &[0, 2], &[1, 2], &[0, 1, 2]] {
        assert_eq!(again(&first, dropped, "none"), again(&plain, dropped, "none"), "{dropped:?}");
    }
}

#[test]
fn a_dish_that_goes_hands_on_what_nobody_has_cut_yet() {
    let evening = settled(onions_and_potatoes(), |_, _| ());
    // Its own potatoes are under the knife and go on for both; of the onions there are fewer.
    let without_roast = again(&evening, &[0], "cut-potato-diced");
    assert_eq!(
        board(&without_roast),
        [
            "roast: cut-potato-diced for chips, roast",
            "roast/season after cut-potato-diced",
            "chips/cut after dip's cut-onion-diced",
            "chips/cut after roast's cut-potato-diced",
            "dip: cut-onion-diced for dip, chips",
            "dip/mix after cut-onion-diced",
        ]
    );
    let potatoes = text(&evening, 0, "cut-potato-diced");
    assert_eq!(text(&without_roast, 0, "cut-potato-diced"), potatoes);
    assert_eq!(text(&evening, 2, "cut-onion-diced"), "Dice 12 onions: C 4, D 4, R 4.");
    assert_eq!(text(&without_roast, 2, "cut-onion-diced"), "Dice 8 onions: C 4, D 4.");
    // The dip takes its onions along, the other two have theirs in a job of their own.
    let without_dip = again(&evening, &[2], "cut-potato-diced");
    assert_eq!(
        board(&without_dip),
        [
            "roast: cut-potato-diced for roast, chips",
            "roast: cut-onion-diced for roast, chips",
            "roast/season after cut-potato-diced",
            "roast/season after cut-onion-diced",
            "chips/cut after roast's cut-potato-diced",
            "chips/cut after roast's cut-onion-diced",
            "dip: cut-onion-diced for dip",
            "dip/mix after cut-onion-diced",
        ]
    );
    assert_eq!(text(&without_dip, 2, "cut-onion-diced"), "Dice 4 onions.");
    assert_eq!(text(&without_dip, 0, "cut-onion-diced"), "Dice 8 onions: C 4, R 4.");
    // What has begun stays as it was begun, for whom it was begun.
    let without_chips = again(&evening, &[1], "cut-onion-diced");
    assert_eq!(
        board(&without_chips),
        [
            "roast: cut-potato-diced for roast",
            "roast/season after cut-potato-diced",
            "roast/season after dip's cut-onion-diced",
            "chips/cut after dip's cut-onion-diced",
            "dip: cut-onion-diced for dip, roast, chips",
            "dip/mix after cut-onion-diced",
        ]
    );
    let onions = |e: &Evening| text(e, 2, "cut-onion-diced");
    assert_eq!(onions(&without_chips), onions(&evening));
    assert_eq!(text(&without_chips, 0, "cut-potato-diced"), "Dice 4 potatoes.");
}

/// For more servings the recipe is made anew, without its jobs: what has begun comes back, and what is under the knife
/// is not told otherwise.
#[test]
fn a_job_that_has_begun_keeps_its_words_and_its_step() {
    let evening = settled(onions_and_potatoes(), |_, _| ());
    let mut more = evening.clone();
    for ingredient in &mut more.sheets[2].recipe.ingredients {
        ingredient.amount = None;
    }
    let kept = again(&more, &[], "cut-onion-diced");
    assert_eq!(step(&kept, 2, "cut-onion-diced"), step(&evening, 2, "cut-onion-diced"));
    let fresh = again(&more, &[], "cut-potato-diced");
    assert_ne!(text(&fresh, 2, "cut-onion-diced"), text(&evening, 2, "cut-onion-diced"));
    let mut bare = evening.clone();
    bare.sheets[2].recipe.steps.retain(|s| s.id != "cut-onion-diced");
    for step in &mut bare.sheets[2].recipe.steps {
        step.after.retain(|a| a.step != "cut-onion-diced");
    }
    assert_eq!(again(&bare, &[], "cut-onion-diced"), evening);
}

/// A recipe's own sentence counts where the food goes into that step, or goes nowhere by name.
#[test]
fn what_a_recipe_cuts_itself_is_no_job() {
    let of = |onions: Value, season: &str, rest: &str| {
        let potatoes = cut("potato", "sliced", &["roast"]);
        let (season, rest) = (json!(season), json!(rest));
        settled([json!([onions, potatoes]), json!([]), json!([])], |_, recipes| {
            recipes[0]["steps"][0]["text"] = season;
            recipes[0]["steps"][2]["text"] = rest;
        })
    };
    let named = || cut("onion", "diced", &["season"]);
    let unnamed = || json!({"item": "onion", "amount": 4, "cut": "diced"});
    let dice = "Salt it, then dice the onions.";
    let both = ["roast: cut-onion-diced for roast", "roast: cut-potato-sliced for roast"];
    for (onions, season, rest, jobs) in [
        (named(), "Season it.", "Let it rest.", 2),
        (named(), dice, "Let it rest.", 1),
        (named(), "Season it.", dice, 2),
        (named(), "Salt the diced onions.", "Let it rest.", 2),
        (unnamed(), "Season it.", "Let it rest.", 2),
        (unnamed(), dice, "Let it rest.", 1),
        (unnamed(), "Season it.", dice, 1),
    ] {
        let evening = of(onions, season, rest);
        assert_eq!(board(&evening)[..jobs], both[2 - jobs..], "{season} {rest}");
        assert_eq!(evening.sheets[0].jobs.len(), jobs, "{season} {rest}");
        // With potatoes on the board it is no job either.
        assert_eq!(again(&evening, &[], "cut-potato-sliced"), evening, "{season} {rest}");
    }
}

/// What goes into no step by name is wanted by the first ones.
#[test]
fn what_no_step_is_named_for_is_wanted_by_the_first_steps() {
    let plain = |item: &str| json!({"item": item, "amount": 4, "cut": "diced"});
    let all = [json!([plain("onion"), plain("potato")]), json!([]), json!([])];
    assert_eq!(
        board(&settled(all, |_, _| ())),
        [
            "roast: cut-onion-diced for roast",
            "roast: cut-potato-diced for roast",
            "roast/season after cut-onion-diced",
            "roast/season after cut-potato-diced",
        ]
    );
}

/// 12 onions of 110 g: 12 × (3 + 12) s and 13.2 × 30 s and 90 s are 666 s, 12 minutes begun; four fifths and seven
/// fifths of them are 10 and 17, begun minutes too.
#[test]
fn a_job_is_a_step_with_its_words_and_minutes() {
    let evening = settled(onions_and_potatoes(), |_, _| ());
    let onions = step(&evening, 2, "cut-onion-diced");
    assert_eq!(onions.label, "dice onion");
    assert_eq!(onions.ways[0].minutes, Minutes { low: 10, likely: 12, high: 17 });
    assert_eq!(onions.hands.between_percent, 100);
    // Raw food and allergens are washed off at once; what is kept cold goes back there.
    let all = json!([
        json!({"item": "chicken breast", "amount": 500, "unit": "g", "cut": "sliced", "kept": "fridge", "steps": ["season"]}),
        json!({"item": "walnuts", "amount": 80, "unit": "g", "cut": "chopped", "steps": ["season"]}),
        json!({"item": "apple", "amount": 2, "cut": "cut in wedges", "kept": "fridge", "steps": ["season"]}),
    ]);
    let evening = settled([all, json!([]), json!([])], |_, _| ());
    let wash = "Then wash board, knife and hands, hot and with soap.";
    let cold = "Cover it, back into the cold.";
    let jobs = pool(&evening).jobs;
    for (item, id, label, words, washing, place) in [
        (
            "chicken breast",
            "cut-chicken-breast-sliced",
            "slice chicken breast",
            format!("Slice 500 g chicken breasts. {cold} {wash}"),
            3,
            WaitPlace::Cold,
        ),
        (
            "walnuts",
            "cut-walnuts-chopped",
            "chop walnuts",
            format!("Chop 80 g walnuts. {wash}"),
            3,
            WaitPlace::Room,
        ),
        (
            "apple",
            "cut-apple-cut-in-wedges",
            "cut apple",
            format!("Cut 2 apples in wedges. {cold}"),
            0,
            WaitPlace::Cold,
        ),
    ] {
        let job = jobs.iter().find(|j| j.item == item).expect("a job");
        let step = step(&evening, 0, id);
        assert_eq!((step.label.as_str(), &step.text), (label, &words));
        assert_eq!(step.ways[0].minutes.likely, job.minutes + washing, "{item}");
        let season = &self::step(&evening, 0, "season").after;
        let after = season.iter().find(|a| a.step == id).expect("it follows");
        assert_eq!(after.place, place, "{item}");
    }
}

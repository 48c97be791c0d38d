//! Parts of a plan's text that a common supper does not have: the day before, a second cook, question marks, what is late.

use super::*;
use crate::kitchen::{Evening, StepCare};
use crate::plan::blocks::Block;
use crate::plan::compose::tests::supper;
use crate::plan::risk::Odds;
use crate::plan::{StepKey, eve};

fn key(dish: usize, step: usize) -> StepKey {
    StepKey { dish, step, load: 0 }
}

/// The supper with only its seasoning, at 22:00 of the day before, and the cutting, at some minute of the day.
fn two_days(cut: Minute) -> (Evening, Plan) {
    let (evening, mut plan) = supper();
    plan.blocks.retain(|b| [key(0, 0), key(1, 0)].contains(&b.key));
    for block in &mut plan.blocks {
        let (start, long) = if block.key.dish == 0 { (-120, 10) } else { (cut, 12) };
        (block.start, block.end) = (start, start + long);
    }
    (plan.holds, plan.waits, plan.settings) = Default::default();
    plan.services[0].dishes.clear();
    (evening, plan)
}

#[test]
fn what_is_done_the_day_before_stands_under_its_day() {
    let (evening, plan) = two_days(22 * 60);
    let page = text(&evening, &plan);
    let clock = "The day before, Thursday 19 November:\n\
                 22:00  R Roast: season, 10 min, Counter, board 1\n\
                 Friday 20 November:\n\
                 22:00  C Chips: cut, 12 min, Counter, board 1\n";
    assert!(page.contains(clock), "{page}");
    assert!(page.contains("The first hands are needed at 22:00.\n"), "{page}");
    assert!(page.contains("What is made the day before begins at 22:00 of that day.\n"), "{page}");
    assert!(page.contains("  Thu 22:00-22:10  R Roast: season\n"), "{page}");
    assert!(page.contains("  22:00-22:12  C Chips: cut\n"), "{page}");
    // The first minute of the day is of the day.
    let (evening, plan) = two_days(0);
    let page = text(&evening, &plan);
    assert!(page.contains("Friday 20 November:\n00:00  C Chips: cut"), "{page}");
    assert!(page.contains("The first hands are needed at 00:00.\n"), "{page}");
    assert!(page.contains("  00:00-00:12  C Chips: cut\n"), "{page}");
    // A plan of one day names none.
    let (evening, mut plan) = two_days(0);
    plan.blocks.remove(0);
    let page = text(&evening, &plan);
    assert!(!page.contains("Friday 20 November:") && !page.contains("the day before"), "{page}");
}

#[test]
fn what_nobody_confirmed_and_what_was_wished_for_is_said() {
    let (mut evening, mut plan) = supper();
    assert!(!text(&evening, &plan).contains('?'));
    evening.sheets[0].recipe.holds[0].unconfirmed = true;
    let page = text(&evening, &plan);
    assert!(page.contains("Roast: waits to 19:00, Oven, rack 1, 80 °C (?)\n"), "{page}");
    assert!(page.contains("nobody has confirmed it yet."), "{page}");
    evening.party.on_time_percent = 90;
    let with = |on_time| {
        let odds = Odds { on_time, evenings: 2_000, ..Odds::default() };
        text_with(&evening, &plan, &Forecast { evenings: 2_000, services: vec![odds] })
    };
    assert!(with(1_700).contains("90 % was wished for."));
    assert!(!with(1_790).contains("was wished for."));
    // Not a minute is shown of what takes none.
    let cut = plan.blocks.iter_mut().find(|b| b.key == key(1, 0)).expect("a block");
    cut.end = cut.start;
    assert!(!text(&evening, &plan).contains("17:40-17:40"));
}

#[test]
fn only_what_cooks_by_itself_and_wants_a_hand_is_taken_out() {
    let (evening, plan) = supper();
    let out = |change: &dyn Fn(&mut Block)| {
        let mut plan = plan.clone();
        change(plan.blocks.iter_mut().find(|b| b.key == key(0, 1)).expect("the roast"));
        let all = moments(&evening, &plan);
        let of = all.into_iter().find(|m| m.what == What::TakeOut(key(0, 1)));
        of.map(|m| (m.at, m.words))
    };
    let roast = |words: &str| Some((17 * 60 + 20, words.to_owned()));
    assert_eq!(out(&|_| ()), roast("Roast: roast out"));
    assert_eq!(out(&|b| b.station = "hob".into()), roast("Roast: roast off"));
    assert_eq!(out(&|b| b.hands_between = 99), roast("Roast: roast out"));
    assert_eq!(out(&|b| b.hands_between = 100), None);
    assert_eq!(out(&|b| b.hands_end = 0), None);
    assert_eq!(out(&|b| b.station = "board".into()), None);
}

#[test]
fn among_several_cooks_each_step_names_its_own() {
    let (mut evening, plan) = supper();
    let mut lou = evening.party.cooks[0].clone();
    (lou.id, lou.name) = ("lou".into(), "Lou".into());
    evening.party.cooks.push(lou);
    let mut plan = plan;
    plan.blocks.iter_mut().filter(|b| b.key.dish == 1).for_each(|b| b.cook = Some("lou".into()));
    let page = text(&evening, &plan);
    assert!(page.contains("Roast: season, 10 min, Counter, board 1 (Kim)\n"), "{page}");
    assert!(page.contains("Chips: cut, 12 min, Counter, board 1 (Lou)\n"), "{page}");
}

#[test]
fn food_that_is_heated_again_says_how_hot_and_what_is_cooled_by_when() {
    let (mut evening, plan) = supper();
    let begin = |evening: &Evening| {
        let all = moments(evening, &plan);
        all.into_iter().find(|m| m.what == What::Begin(key(0, 1))).expect("the roast").words
    };
    let plain = begin(&evening);
    evening.sheets[0].recipe.steps[1].care = Some(StepCare::Reheats);
    // 165 °F, by the guidance of the party.
    let said = begin(&evening);
    assert!(said.starts_with(&format!("{plain}; to ")) && said.contains("73.9 °C"), "{said}");
    evening.sheets[0].recipe.steps[1].care = Some(StepCare::Cools);
    let points = eve::cooling(&evening, &plan, 0);
    let told = if points.is_empty() { plain } else { format!("{plain}; {}", points.join(", ")) };
    assert_eq!(begin(&evening), told);
}

#[test]
fn dishes_of_one_minute_go_to_the_table_in_one_line() {
    let (evening, mut plan) = supper();
    plan.services[0].dishes[1].2 += 12;
    let all = moments(&evening, &plan);
    let serve = all.iter().filter(|m| matches!(m.what, What::Serve(_)));
    let told: Vec<_> = serve.map(|m| (m.at, m.words.as_str())).collect();
    assert_eq!(
        told,
        [
            (1140, "SUPPER to the table: Roast and Yoghurt dip"),
            (1152, "SUPPER to the table: Chips"),
        ]
    );
}

#[test]
fn a_bound_a_quarter_off_is_the_last_that_is_told() {
    assert_eq!(quality(Proof::WithinPermille(250)), "Within 25 % of the best that is possible.");
    assert_eq!(quality(Proof::WithinPermille(251)), quality(Proof::Stopped));
    let known =
        [Proof::Best, Proof::WithinPermille(250), Proof::WithinPermille(251), Proof::Stopped];
    let told = known.map(known_quality);
    assert_eq!(told, [Some(quality(known[0])), Some(quality(known[1])), None, None]);
}

#[test]
fn what_is_to_be_washed_for_a_guest_stands_at_its_step_and_what_nobody_knows_below() {
    let (evening, mut plan) = supper();
    let only = "Only what the recipes name is known of boards and pans.";
    assert!(!text(&evening, &plan).contains(only));
    let thing = contact::Thing::Board("board".into(), 0);
    let traces = vec![contact::Trace { dish: 2, ingredient: 0, guest: 0 }];
    plan.cleans.push(contact::Clean { key: key(1, 0), thing, traces });
    assert!(text(&evening, &plan).contains(only));
    let all = moments(&evening, &plan);
    let words = |of| {
        let begin = all.iter().find(|m| m.what == What::Begin(of)).expect("a step");
        begin.words.as_str()
    };
    assert_eq!(
        words(key(1, 0)),
        "Chips: cut, 12 min, Counter, board 1; first change board and knife, wash hands \
         (Yoghurt dip: yoghurt)"
    );
    assert_eq!(words(key(0, 0)), "Roast: season, 10 min, Counter, board 1");
}

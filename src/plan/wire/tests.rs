//! The documents of a small supper.

use std::sync::Arc;

use super::*;
use crate::kitchen::{Clockface, Recipe, Sourced, check};
use crate::plan::compose::tests::{composed, supper};
use crate::plan::{Begun, Situation, StepKey};

fn sums(file: &PlanFile) -> CostEntry {
    use TermKind as K;
    let sum = |kinds: &[K]| {
        file.terms.iter().filter(|t| kinds.contains(&t.kind)).map(|t| t.cost).sum::<i64>()
    };
    CostEntry {
        total: file.terms.iter().map(|t| t.amount * t.weight).sum(),
        late: sum(&[K::MinutesLate, K::PastMostWait, K::PastSafetyLimit]),
        quality: sum(&[K::HoldPastFree, K::HoldShortOfBest, K::WaitShortOfBest, K::SecondBestWay]),
        risk: sum(&[K::CushionMissing]),
        effort: sum(&[K::Hours, K::Idle, K::Hop]),
        change: sum(&[K::Moved, K::OtherPlace]),
    }
}

fn term(file: &PlanFile, kind: TermKind, dish: &str) -> Option<(i64, i64)> {
    let of = |t: &&Term| t.kind == kind && t.dish.as_deref() == Some(dish);
    file.terms.iter().find(of).map(|t| (t.amount, t.weight))
}

#[test]
fn the_terms_add_up_to_the_cost_and_say_what_they_count() {
    let (evening, plan) = supper();
    let file = plan_file(&evening, &Situation::default(), &plan).expect("a document");
    assert_eq!(sums(&file), file.cost);
    assert_eq!(file.cost.total, plan.cost.total());
    // The roast waits 90 minutes of which 15 are free, at 2 points for each ten.
    assert_eq!(term(&file, TermKind::HoldPastFree, "roast"), Some((75, 2_000)));
    // The chips are ready a minute early and wait 21, 5 of them for nothing.
    assert_eq!(term(&file, TermKind::HoldPastFree, "chips"), Some((16, 3_000)));
    // Three minutes of frying may run over by three each: the root of 27, up, but 5 are free.
    assert_eq!(term(&file, TermKind::CushionMissing, "chips"), Some((4, 2_000)));
    // Hands from 16:00 to 18:59.
    let hours = file.terms.iter().find(|t| t.kind == TermKind::Hours).expect("hours");
    assert_eq!((hours.amount, hours.weight), (180, 400));
    // 10 + 6 + 12 + 4 minutes of full attention, 3 for the roast, 2 for each load of chips.
    let idle = file.terms.iter().find(|t| t.kind == TermKind::Idle).expect("idle");
    assert_eq!((idle.amount, idle.weight), (100 * (179 - 32 - 3 - 6), 2));
}

#[test]
fn the_terms_of_a_running_evening_add_up_too() {
    let (evening, mut shown) = supper();
    let late = Begun::Running {
        start: 17 * 60,
        end: 19 * 60 + 20,
        way: 1,
        station: "fryer".into(),
        cook: None,
        setting_c: None,
    };
    let season = Begun::Done {
        start: 16 * 60,
        end: 16 * 60 + 10,
        way: 0,
        station: "board".into(),
        left_out: false,
    };
    let mix = Begun::Done {
        start: 16 * 60 + 25,
        end: 16 * 60 + 31,
        way: 0,
        station: "board".into(),
        left_out: false,
    };
    let key = |dish, step| StepKey { dish, step, load: 0 };
    let situation = Situation {
        now: Some(18 * 60),
        begun: [(key(0, 0), season), (key(0, 1), late), (key(2, 0), mix)].into(),
        previous: Some(Arc::new(shown.clone())),
        dropped: [1].into(),
        ..Situation::default()
    };
    let rest = shown.blocks.iter_mut().find(|b| b.key == key(0, 2)).expect("the rest");
    rest.start = 19 * 60 + 27;
    shown.holds.retain(|h| h.dish != 0);
    let plan = composed(&evening, &situation, &shown);
    let file = plan_file(&evening, &situation, &plan).expect("a document");
    assert_eq!(sums(&file), file.cost);
    assert_eq!(term(&file, TermKind::MinutesLate, "roast"), Some((37, 1_000_000)));
    assert_eq!(term(&file, TermKind::PastMostWait, "roast"), Some((2, 2_000_000)));
    assert_eq!(term(&file, TermKind::SecondBestWay, "roast"), Some((4, 10_000)));
    assert_eq!(term(&file, TermKind::Moved, "roast"), Some((127, 300)));
    assert_eq!(file.now_minute, Some(18 * 60));
    assert!(file.cost.effort == 0);
}

#[test]
fn the_document_is_whole_and_reads_back() {
    let (evening, plan) = supper();
    let file = plan_file(&evening, &Situation::default(), &plan).expect("a document");
    let text = serde_json::to_string_pretty(&file).expect("json");
    let back: PlanFile = serde_json::from_str(&text).expect("a document");
    assert_eq!(back, file);
    assert_eq!(back.format, "potwatch plan 1");
    // The party in it is the same evening again.
    let party = back.party;
    let Sourced::Inline(kitchen) = party.kitchen.clone() else { panic!("a kitchen in place") };
    let recipes: Vec<Recipe> = party
        .dishes
        .iter()
        .map(|d| match &d.recipe {
            Sourced::Inline(recipe) => (**recipe).clone(),
            Sourced::Named(name) => panic!("{name} is not in place"),
        })
        .collect();
    let face = Clockface::fixed(party.day, 0);
    let again = check::evening(party, *kitchen, recipes, face);
    assert_eq!((again.sheets, again.kitchen), (evening.sheets, evening.kitchen));
    assert_eq!(file.steps.len(), 9);
    assert_eq!(
        file.holds.iter().map(|h| h.dish.as_str()).collect::<Vec<_>>(),
        ["roast", "dip", "chips"]
    );
    let dip = file.services[0].dishes.iter().find(|d| d.dish == "dip").expect("the dip");
    assert_eq!((dip.limit_minutes, dip.table_minutes, dip.out_minute), (Some(120), 40, Some(1104)));
}

#[test]
fn the_problem_is_exported_with_names() {
    let (evening, _) = supper();
    let file = problem_file(&evening, &Situation::default()).expect("a document");
    let text = serde_json::to_string(&file).expect("json");
    let problem: Problem = serde_json::from_str(&text).expect("the problem's own fields");
    assert_eq!(problem, file.problem);
    assert_eq!(file.names.tasks[4..6], ["chips/fry/0", "chips/fry/1"]);
    assert_eq!(file.names.resources[5..7], ["kim", "tin-small"]);
    assert_eq!((&file.names.ovens[0][..], &file.names.dishes[2][..]), ("oven", "dip"));
}

//! Entries of the document, one by one.

use super::*;
use crate::kitchen::evening::WaitsFor;
use crate::plan::HoldBlock;
use crate::plan::compose::tests::supper;

fn file() -> (Evening, Plan, PlanFile) {
    let (evening, plan) = supper();
    let file = plan_file(&evening, &Situation::default(), &plan).expect("a document");
    (evening, plan, file)
}

/// The chips are fried in three loads of nine minutes, a minute of hands at either end; they are cut in twelve.
#[test]
fn hands_are_told_minute_by_minute_and_only_where_they_are_wanted() {
    let (_, _, file) = file();
    let hands = |dish: &str, step: &str, load: u32| {
        let is = |s: &&StepEntry| (s.dish.as_str(), s.step.as_str(), s.load) == (dish, step, load);
        let entry = file.steps.iter().find(is).expect("a step");
        let from = entry.start_minute;
        let parts = entry.hands.iter();
        parts.map(|h| (h.from_minute - from, h.to_minute - from, h.percent)).collect::<Vec<_>>()
    };
    assert_eq!(hands("chips", "fry", 1), [(0, 1, 100), (8, 9, 100)]);
    assert_eq!(hands("chips", "cut", 0), [(0, 12, 100)]);
    assert_eq!(hands("roast", "roast", 0), [(0, 2, 100), (59, 60, 100)]);
    assert_eq!(hands("roast", "rest", 0), []);
}

#[test]
fn waits_settings_and_pans_are_the_plans() {
    let (evening, mut plan, file) = file();
    let wait = &plan.waits[0];
    let entry = &file.waits[0];
    assert_eq!((file.waits.len(), &entry.dish[..]), (plan.waits.len(), "dip"));
    assert_eq!((&entry.after_step[..], &entry.before_step[..]), ("mix", "dress"));
    assert_eq!((entry.from_minute, entry.to_minute), (wait.from, wait.to));
    let settings = file.settings.iter();
    let told: Vec<_> = settings
        .map(|s| (&s.station, s.kind, s.from_minute, s.to_minute, s.from_c, s.to_c))
        .collect();
    let settings = plan.settings.iter();
    let known: Vec<_> =
        settings.map(|s| (&s.station, s.kind, s.from, s.to, s.from_c, s.to_c)).collect();
    assert!(known.len() == 4 && told == known);
    let pans = file.pans.iter();
    let told: Vec<_> =
        pans.map(|p| (&p.cookware, &p.numbers, p.from_minute, p.to_minute)).collect();
    let known: Vec<_> = plan.pans.iter().map(|p| (&p.cookware, &p.numbers, p.from, p.to)).collect();
    assert!(known.len() > 2 && told == known);
    // The pass is no station, and a place that the recipe does not name is none of its holds: the roast has two.
    let hold =
        |hold, station: &str| HoldBlock { hold, station: station.into(), ..plan.holds[0].clone() };
    plan.holds = vec![hold(1, "board"), hold(2, "")];
    let told = Namer { evening: &evening }.holds(&plan);
    let told: Vec<_> = told.into_iter().map(|h| (h.hold, h.station)).collect();
    assert_eq!(told, [(Some(1), Some("board".to_owned())), (None, None)]);
}

#[test]
fn what_a_step_has_that_nobody_confirmed_is_told() {
    let (mut evening, plan, file) = file();
    assert!(file.steps.iter().all(|s| !s.unconfirmed));
    evening.sheets[1].recipe.steps[0].unconfirmed = true;
    let file = plan_file(&evening, &Situation::default(), &plan).expect("a document");
    let told: Vec<_> = file.steps.iter().filter(|s| s.unconfirmed).map(|s| &s.step[..]).collect();
    assert_eq!(told, ["cut"]);
}

#[test]
fn the_party_in_it_stands_by_itself() {
    let (mut evening, _, _) = file();
    evening.party.pool_knife_work = true;
    evening.sheets[1].servings = 4;
    let letter = evening.sheets[1].letter;
    evening.party.dishes[1].letter = None;
    let party = whole_party(&evening);
    assert!(!party.pool_knife_work);
    assert_eq!((party.dishes[1].servings, party.dishes[1].letter), (4, Some(letter)));
    let oven = crate::plan::ways::Change::Another { station: 0, places: 1 };
    evening.party.borrowed.extend(oven.borrowed(&evening));
    assert!(evening.party.borrowed.len() == 1 && whole_party(&evening).borrowed.is_empty());
}

#[test]
fn what_waits_for_knife_work_is_told_while_both_are_made() {
    let mut evening = supper().0;
    let of = |dish: &str| WaitsFor { step: "cut".into(), dish: dish.into(), job: "mix".into() };
    evening.sheets[1].waits_for = vec![of("dip"), of("nowhere")];
    let told = |situation: &Situation| {
        let waits = knife_waits(&evening, situation).into_iter();
        waits.map(|w| (w.dish, w.step, w.cut_with, w.cut)).collect::<Vec<_>>()
    };
    let one = ["chips", "cut", "dip", "mix"].map(str::to_owned);
    let [dish, step, with, cut] = one;
    let one = vec![(dish, step, with, cut)];
    assert_eq!(told(&Situation::default()), one);
    let gone = |dropped: &[usize], served: &[usize]| Situation {
        dropped: dropped.iter().copied().collect(),
        served: served.iter().copied().collect(),
        ..Situation::default()
    };
    for (dropped, served) in [(&[1][..], &[][..]), (&[2], &[]), (&[], &[1]), (&[], &[2])] {
        assert_eq!(told(&gone(dropped, served)), [], "{dropped:?} {served:?}");
    }
    assert_eq!(told(&gone(&[0], &[])), one);
}

/// 1 880 of 2 000: Wilson's interval is 0.9288 to 0.9495.
#[test]
fn the_interval_of_a_chance_is_told_in_thousandths_and_never_narrower() {
    let evening = supper().0;
    let odds = risk::Odds { on_time: 1_880, evenings: 2_000, ..risk::Odds::default() };
    let entry = chance::entry(&evening, &odds);
    assert_eq!((entry.low_permille, entry.high_permille), (928, 950));
}

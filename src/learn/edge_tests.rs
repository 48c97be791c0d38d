//! What stands just on an edge, as `safety/edge_tests.rs`: first what could harm a guest (minutes of what is cooked to
//! a temperature), then bounds, counts and words. The minutes are invented.

use chrono::NaiveDate;
use serde_json::{Value, json};

use super::own::{Estimate, Known};
use super::text::{minutes, percent};
use super::wire::times_file;
use super::{Group, Guard, Seen, by_hand};
use crate::kitchen::{Minutes, Recipe, StationKind, Step};
use crate::plan::sample::evening_with;

const OVEN: Minutes = Minutes { low: 50, likely: 60, high: 72 };

/// A recipe of the shelf, changed.
fn recipe(text: &str, change: impl Fn(&mut Value)) -> Recipe {
    let mut value = serde_json::from_str(text).expect("a recipe of the shelf");
    change(&mut value);
    serde_json::from_value(value).expect("still a recipe")
}

fn chicken(change: impl Fn(&mut Value)) -> Recipe {
    recipe(include_str!("../../assets/recipes/chicken-thighs.json"), change)
}

fn step<'a>(recipe: &'a Recipe, id: &str) -> &'a Step {
    recipe.steps.iter().find(|s| s.id == id).expect("it is there")
}

fn oven() -> Group {
    Group::Station { kitchen: "home".to_owned(), station: "oven".to_owned() }
}

/// The roast of one evening, which by its recipe takes an hour.
fn roast(evening: u32, took: f64) -> Seen {
    Seen {
        day: NaiveDate::from_ymd_opt(2026, 9, 1).expect("a day")
            + chrono::Days::new(evening.into()),
        evening: format!("evening-{evening}"),
        recipe: "roast".to_owned(),
        title: "A roast".to_owned(),
        step: "cook".to_owned(),
        label: "roast".to_owned(),
        station: StationKind::Oven,
        written: OVEN,
        shares: Some(oven()),
        expected: 60.0,
        took,
        at_ms: i64::from(evening),
    }
}

fn only(known: &Known) -> Estimate {
    let all = known.all();
    assert_eq!(all.len(), 1, "{all:?}");
    all.into_iter().next().expect("one")
}

/// The cautious order: what cools is left alone even where a probe is asked for; a probe, reheating, or raw meat at a
/// fire, each alone, keeps the recipe's minutes as the least.
#[test]
fn each_reason_for_a_guard_is_enough_by_itself() {
    let plain = |change: &dyn Fn(&mut Value)| {
        let bread = recipe(include_str!("../../assets/recipes/oat-rolls.json"), |r| {
            change(&mut r["steps"][0])
        });
        Guard::of(&bread, &bread.steps[0], 0)
    };
    assert_eq!(plain(&|_| ()), Guard::Free);
    assert_eq!(plain(&|s| s["probe"] = true.into()), Guard::NeverShorter);
    assert_eq!(plain(&|s| s["care"] = "reheats".into()), Guard::NeverShorter);
    assert_eq!(plain(&|s| s["care"] = "cools".into()), Guard::Stays);
    let both = |s: &mut Value| (s["care"], s["probe"]) = ("cools".into(), true.into());
    assert_eq!(plain(&both), Guard::Stays);
    // Beets that cool on their tray end by the clock alone: nobody marks that.
    let beets = recipe(include_str!("../../assets/recipes/beet-salad.json"), |_| ());
    assert_eq!(Guard::of(&beets, step(&beets, "cool"), 0), Guard::Stays);
    // Raw poultry: by hand at the counter it may go faster, in the oven without a probe it may not.
    let chicken = chicken(|r| r["steps"][2]["probe"] = false.into());
    assert_eq!(Guard::of(&chicken, step(&chicken, "rub"), 0), Guard::Free);
    assert_eq!(Guard::of(&chicken, step(&chicken, "roast"), 0), Guard::NeverShorter);
    // A way that is not there counts as one that heats.
    assert_eq!(Guard::of(&chicken, step(&chicken, "rub"), 9), Guard::NeverShorter);
}

/// Half of a cook's attention is by hand; so is a step that is all beginning and end.
#[test]
fn what_is_by_hand_is_told_from_what_goes_on_by_itself() {
    let hands = |start: u32, between: u32, end: u32| {
        let hands = json!({"start_minutes": start, "between_percent": between, "end_minutes": end});
        let chicken = chicken(|r| r["steps"][2]["hands"] = hands.clone());
        by_hand(step(&chicken, "roast"), 0)
    };
    assert_eq!((hands(0, 49, 0), hands(0, 50, 0)), (false, true));
    // 44 minutes by the recipe.
    assert_eq!((hands(22, 0, 21), hands(22, 0, 22)), (false, true));
    // A step of no minutes that asks for no hands is not by hand.
    let none = chicken(|r| {
        r["steps"][2]["hands"] = json!({});
        r["steps"][2]["ways"][0]["minutes"] = json!(0);
    });
    assert!(!by_hand(step(&none, "roast"), 0));
}

#[test]
fn however_wild_the_marks_minutes_stay_between_a_half_and_three_times_the_recipe_s() {
    for took in [0.01, 5_000.0] {
        let known = Known::from((1..=40).map(|e| roast(e, took)).collect());
        let own = only(&known).own;
        let bound = if took < 1.0 { 30 } else { 180 };
        assert_eq!(own.likely, bound, "{own:?}");
        assert!(
            30 <= own.low && own.low <= own.likely && own.likely <= own.high && own.high <= 180
        );
    }
    // A step of a minute stays one.
    let short = Minutes { low: 0, likely: 1, high: 1 };
    let quick = |e| Seen { written: short, expected: 1.0, ..roast(e, 0.1) };
    let own = only(&Known::from((1..=9).map(quick).collect())).own;
    assert!(own.low >= 1 && own.likely >= 1, "{own:?}");
}

/// The more evenings, the nearer to what they say; at first nearer to the recipe.
#[test]
fn the_recipe_is_believed_until_evenings_speak_against_it() {
    let after = |evenings: u32| {
        only(&Known::from((1..=evenings).map(|e| roast(e, 78.0)).collect())).own.likely
    };
    let (one, four, many) = (after(1), after(4), after(30));
    assert!(60 < one && one < four && four <= many && many <= 78, "{one} {four} {many}");
    assert!(one < 75, "one evening is hardly doubted: {one}");
}

/// Of a step of two minutes half a minute may be the mark's; of an hour it is nothing.
#[test]
fn marks_of_short_steps_count_for_less() {
    let brief = Minutes { low: 2, likely: 2, high: 2 };
    let long = Minutes { low: 60, likely: 60, high: 60 };
    let by_step = |written: Minutes| {
        let expected = f64::from(written.likely);
        let seen = |e| Seen { written, expected, shares: None, ..roast(e, expected * 1.2) };
        only(&Known::from((1..=3).map(seen).collect())).by_step
    };
    let (short, hour) = (by_step(brief), by_step(long));
    assert!(1.0 < short && short < hour && hour < 1.2, "{short} {hour}");
}

/// Two cooks with the same mean: who scatters more is given the wider minutes.
#[test]
fn a_cook_who_scatters_is_given_wider_minutes() {
    let wide = |apart: f64| {
        let took = |e: u32| if e.is_multiple_of(2) { 60.0 * apart } else { 60.0 / apart };
        let known = Known::from((1..=12).map(|e| roast(e, took(e))).collect());
        let own = only(&known).own;
        (own.high - own.low, known.scatter().chance)
    };
    let ((calm, narrow), (wild, wider)) = (wide(1.02), wide(1.5));
    assert!(narrow < 1.0 && 1.0 < wider, "{narrow} {wider}");
    assert!(calm + 5 < wild, "{calm} {wild}");
}

/// Where the cook has written other minutes into the recipe, the step begins anew; its oven goes on speaking.
#[test]
fn other_minutes_in_the_recipe_begin_a_step_anew() {
    let hour = (1..=6).map(|e| roast(e, 72.0));
    let other = Minutes { low: 65, likely: 75, high: 90 };
    let anew = Seen { written: other, expected: 75.0, ..roast(7, 75.0) };
    let all = Known::from(hour.chain([anew]).collect()).all();
    let times = |written: Minutes| {
        all.iter().find(|e| e.written == written).map(|e| (e.times.len(), e.by_share > 1.0))
    };
    assert_eq!((times(OVEN), times(other)), (Some((6, true)), Some((1, true))));
}

#[test]
fn steps_and_evenings_are_counted_each_once() {
    let twice = Seen { step: "rest".to_owned(), ..roast(1, 61.0) };
    let again = Seen { at_ms: 50, ..roast(1, 62.0) };
    let known = Known::from(vec![roast(2, 66.0), twice, again, roast(1, 63.0)]);
    let [share] = &known.shares()[..] else { panic!("{:?}", known.shares()) };
    assert_eq!((share.steps, share.evenings), (4, 2));
    assert!(share.low < share.ratio && share.ratio < share.high);
    // Two evenings of one day, one begun while the other went on.
    let of = |evening: &str, at_ms| Seen { evening: evening.to_owned(), at_ms, ..roast(1, 60.0) };
    let day = Known::from(vec![of("noon", 1), of("night", 2), of("noon", 3)]);
    assert_eq!((day.shares()[0].steps, day.shares()[0].evenings), (3, 2));
    let cooked = known.all().into_iter().find(|e| e.step == "cook").expect("seen");
    assert_eq!((cooked.times.len(), cooked.evenings()), (3, 2));
    // As the recipe's servings would have taken.
    let double = Seen { expected: 120.0, ..roast(1, 120.0) };
    assert!((only(&Known::from(vec![double])).times[0].1 - 60.0).abs() < 1e-9);
}

#[test]
fn words_say_which_way_and_how_far() {
    let of = |ratio: f64| percent(ratio).unwrap_or_default();
    assert_eq!((of(1.12).as_str(), of(0.9).as_str()), ("12 % longer", "10 % shorter"));
    assert_eq!((of(1.004).as_str(), of(0.996).as_str()), ("", ""));
    assert_eq!((of(1.01).as_str(), of(0.99).as_str()), ("1 % longer", "1 % shorter"));
    assert_eq!(
        (minutes(OVEN).as_str(), minutes(Minutes::exactly(5)).as_str()),
        ("60 (50 to 72)", "5")
    );
    let of = |low, likely, high| minutes(Minutes { low, likely, high });
    assert_eq!((of(5, 5, 9), of(3, 5, 5)), ("5 (5 to 9)".to_owned(), "5 (3 to 5)".to_owned()));
    let why =
        |evenings: u32| only(&Known::from((1..=evenings).map(|e| roast(e, 70.0)).collect())).why();
    assert!(why(6).starts_with("took 70, 70, 70, 70, 70, 70;"), "{}", why(6));
    assert!(why(7).starts_with("took last 70, 70, 70, 70, 70, 70;"), "{}", why(7));
    assert!(why(7).contains("oven of the kitchen home") && why(7).contains("the step itself"));
    let line = |evenings: u32| {
        Known::from((1..=evenings).map(|e| roast(e, 60.0)).collect()).shares()[0].line()
    };
    assert!(
        line(1).contains("as recipes say") && line(1).ends_with("1 step of 1 evening"),
        "{}",
        line(1)
    );
    assert!(line(2).ends_with("2 steps of 2 evenings"), "{}", line(2));
}

/// The roast of the small supper, in a party that makes it twice: raw meat in an oven, told once.
#[test]
fn the_recipe_s_minutes_hold_what_is_cooked_to_a_temperature_and_it_is_said() {
    let evening = evening_with(|party, _, _| {
        let another = json!({"id": "more", "recipe": "roast", "servings": 4, "service": "supper"});
        party["dishes"].as_array_mut().expect("a list").push(another);
    });
    let of = |took: f64| {
        let seen = |e| Seen { step: "roast".to_owned(), shares: None, ..roast(e, took) };
        let found = Known::from((1..=20).map(seen).collect()).of(&evening);
        let [one] = found.as_slice() else { panic!("{found:?}") };
        (one.held, one.own.likely, one.why())
    };
    let said = "; never planned shorter than the recipe: it is cooked to a temperature";
    let (held, likely, why) = of(45.0);
    assert!(held && likely == 60 && why.ends_with(said), "{likely} {why}");
    let (held, likely, why) = of(80.0);
    assert!(!held && likely > 70 && !why.contains("never"), "{likely} {why}");
}

#[test]
fn a_dish_is_named_once_above_its_steps() {
    let rest = Seen { step: "rest".to_owned(), label: "let rest".to_owned(), ..roast(2, 61.0) };
    let known = Known::from(vec![roast(1, 61.0), rest]);
    let text = known.text(&known.all());
    assert_eq!(text.matches("\nA roast\n").count(), 1, "{text}");
    assert!(text.contains("  roast (oven)") && text.contains("  let rest (oven)"), "{text}");
}

/// In the document as standard deviations, as widths are spoken of.
#[test]
fn the_document_says_what_the_text_says() {
    let known = Known::from((1..=4).map(|e| roast(e, 66.0)).collect());
    let file = times_file(&known, &known.all(), Vec::new());
    assert_eq!((file.seen.len(), file.steps.len(), file.shares.len()), (4, 1, 1));
    assert!((file.scatter.chance.powi(2) - known.scatter().chance).abs() < 1e-12);
    let text = known.text(&known.all());
    assert!(
        text.starts_with("What all dishes have in common\n  oven of the kitchen home: "),
        "{text}"
    );
    assert!(text.contains("\nFrom one time to the next\n  your minutes lie "), "{text}");
    assert!(text.contains("\nA roast\n  roast (oven): recipe 60 (50 to 72), you "), "{text}");
    assert_eq!(Known::from(Vec::new()).text(&[]), "");
}

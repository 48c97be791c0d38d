//! Every figure of every built-in profile, written out a second time from the
//! sources named beside them.
//!
//! - FC22: FDA Food Code 2022, chapter 3.
//! - CfG: USDA FSIS, Cooking for Groups, 2011 revision.
//! - SMIT: USDA FSIS, Safe Minimum Internal Temperature Chart, June 2012.
//! - June 2016: a USDA Deputy Under Secretary's statement, read in a copy.
//! - Illinois: FSIS advice relayed by University of Illinois Extension.

use super::figure::{Seen, f_to_c};
use super::ledger::lax_from_memory;
use super::profile::{ClockMeaning, Profile};

enum Is {
    F(f64),
    C(f64),
    Plain(f64),
}
use Is::{C, F, Plain};

type Row = (&'static str, Is, &'static str, &'static str);

const CONSUMER: &[Row] = &[
    ("hot_hold_least", F(140.0), "Cooking for Groups", "pages 22-25"),
    ("cold_hold_most", F(40.0), "Cooking for Groups", "pages 23-25"),
    // June 2016: two hours in all, one hour when it is above 90 °F (32 °C).
    ("rule.two_hours.most", Plain(120.0), "Deputy Under Secretary", "room temperature limit"),
    ("hot_day.above", C(32.0), "Deputy Under Secretary", "hot day"),
    ("hot_day.most", Plain(60.0), "Deputy Under Secretary", "hot day"),
    // Illinois: refrigerate within two hours of serving; use within 3-4 days.
    ("cooling[0].within", Plain(120.0), "Illinois Extension", "refrigerating leftovers"),
    ("reheat.least", F(165.0), "Minimum Internal", "leftovers"),
    // SMIT: the chart's rows.
    ("least_inner.poultry", F(165.0), "Minimum Internal", "all poultry"),
    ("least_inner.ground_meat", F(160.0), "Minimum Internal", "ground meats"),
    ("least_inner.whole_meat", F(145.0), "Minimum Internal", "beef, pork, veal, lamb"),
    ("least_inner.whole_meat.rest", Plain(3.0), "Minimum Internal", "beef, pork, veal, lamb"),
    ("least_inner.fish", F(145.0), "Minimum Internal", "fish and shellfish"),
    ("least_inner.egg_dish", F(160.0), "Minimum Internal", "eggs"),
    ("least_inner.casserole", F(165.0), "Minimum Internal", "leftovers and casseroles"),
    ("least_inner.leftovers", F(165.0), "Minimum Internal", "leftovers and casseroles"),
    ("leftovers.most", Plain(3.0), "Illinois Extension", "keeping leftovers"),
];

const FC: &str = "FDA Food Code 2022";
const FOOD_CODE: &[Row] = &[
    // FC22 3-501.16: hot 135 °F (57 °C) or above, cold 41 °F (5 °C) or less.
    ("hot_hold_least", F(135.0), FC, "3-501.16(A)(1)"),
    ("cold_hold_most", F(41.0), FC, "3-501.16(A)(2)"),
    // FC22 3-501.19(B): 4 hours from 41 °F or less, or from 135 °F or more.
    ("rule.four_hours.most", Plain(240.0), FC, "3-501.19(B)"),
    ("rule.four_hours.start_cold_most", F(41.0), FC, "3-501.19(B)"),
    ("rule.four_hours.start_hot_least", F(135.0), FC, "3-501.19(B)"),
    // FC22 3-501.19(C): 6 hours from 41 °F or less, never above 70 °F (21 °C).
    ("rule.six_hours_cold.most", Plain(360.0), FC, "3-501.19(C)"),
    ("rule.six_hours_cold.start_cold_most", F(41.0), FC, "3-501.19(C)"),
    ("rule.six_hours_cold.stay_most", F(70.0), FC, "3-501.19(C)"),
    // FC22 3-501.14: 135 -> 70 °F in 2 h, 135 -> 41 °F in 6 h in all; (B) 4 h.
    ("cooling[0].start", F(135.0), FC, "3-501.14(A)"),
    ("cooling[0].to", F(70.0), FC, "3-501.14(A)(1)"),
    ("cooling[0].within", Plain(120.0), FC, "3-501.14(A)(1)"),
    ("cooling[1].start", F(135.0), FC, "3-501.14(A)"),
    ("cooling[1].to", F(41.0), FC, "3-501.14(A)(2)"),
    ("cooling[1].within", Plain(360.0), FC, "3-501.14(A)(2)"),
    ("cooling[2].to", F(41.0), FC, "3-501.14(B)"),
    ("cooling[2].within", Plain(240.0), FC, "3-501.14(B)"),
    // FC22 3-403.11: 165 °F (74 °C) for 15 s, within 2 hours.
    ("reheat.least", F(165.0), FC, "3-403.11(A)"),
    ("reheat.hold", Plain(15.0), FC, "3-403.11(A)"),
    ("reheat.within", Plain(120.0), FC, "3-403.11(D)"),
    // FC22 3-401.11(A)(1): 145 °F (63 °C) 15 s; (2): 155 °F (68 °C) 17 s;
    // (3): 165 °F (74 °C) at once; 3-401.13: plant food 135 °F (57 °C).
    ("least_inner.poultry", F(165.0), FC, "3-401.11(A)(3)"),
    ("least_inner.ground_meat", F(155.0), FC, "3-401.11(A)(2)"),
    ("least_inner.ground_meat.hold", Plain(17.0), FC, "3-401.11(A)(2)"),
    ("least_inner.whole_meat", F(145.0), FC, "3-401.11(A)(1)"),
    ("least_inner.whole_meat.hold", Plain(15.0), FC, "3-401.11(A)(1)"),
    ("least_inner.fish", F(145.0), FC, "3-401.11(A)(1)"),
    ("least_inner.fish.hold", Plain(15.0), FC, "3-401.11(A)(1)"),
    ("least_inner.egg_dish", F(155.0), FC, "3-401.11(A)(2)"),
    ("least_inner.egg_dish.hold", Plain(17.0), FC, "3-401.11(A)(2)"),
    ("least_inner.casserole", F(165.0), FC, "3-401.11(A)(3)"),
    ("least_inner.cooked_plant", F(135.0), FC, "3-401.13"),
    ("least_inner.leftovers", F(165.0), FC, "3-403.11(A)"),
    ("least_inner.leftovers.hold", Plain(15.0), FC, "3-403.11(A)"),
    // FC22 3-501.17(A): 7 days at 41 °F, the day it is made is day 1.
    ("leftovers.most", Plain(7.0), FC, "3-501.17(A)"),
];

fn compare(id: &str, rows: &[Row]) {
    let profile = Profile::by_id(id).expect("built in");
    let figures = profile.figures();
    assert_eq!(figures.len(), rows.len(), "{id}: every figure is in the table");
    for (name, value, document, clause) in rows {
        let figure = figures.iter().find(|f| f.name == *name);
        let figure = figure.unwrap_or_else(|| panic!("{id} has no {name}"));
        let (expected, shown) = match *value {
            F(f) => (f_to_c(f), format!("{f:.0} °F")),
            C(c) => (c, format!("{c:.0} °C")),
            Plain(n) => (n, String::new()),
        };
        assert!((figure.value - expected).abs() < 1e-9, "{id} {name}: {}", figure.value);
        assert!(figure.printed.contains(&shown), "{id} {name}: {}", figure.printed);
        assert!(figure.source.document.contains(document), "{id} {name}: {}", figure.source);
        assert_eq!(figure.source.clause, *clause, "{id} {name}");
    }
}

#[test]
fn us_consumer_says_what_its_sources_say() {
    compare("us_consumer", CONSUMER);
    let profile = Profile::by_id("us_consumer").expect("built in");
    assert_eq!(profile.room_rule.meaning, ClockMeaning::Total);
    assert!(profile.chosen_rules.is_empty());
    // "3-4 days": the short end, so Sunday's food goes by Wednesday.
    assert_eq!(profile.leftover_days_after(), 3);
}

#[test]
fn us_food_code_says_what_its_text_says() {
    compare("us_food_code_2022", FOOD_CODE);
    let profile = Profile::by_id("us_food_code_2022").expect("built in");
    assert_eq!(profile.room_rule.meaning, ClockMeaning::OneEpisodeThenDiscard);
    assert!(profile.hot_day.is_none());
    // FC22 3-501.17(A): made on Sunday, the last day is Saturday.
    assert_eq!(profile.leftover_days_after(), 6);
    assert!(profile.figures().iter().all(|f| f.source.seen == Seen::IssuingDocument));
}

#[test]
fn built_in_profiles_all_read_and_name_themselves() {
    assert_eq!(Profile::ids().collect::<Vec<_>>(), ["us_consumer", "us_food_code_2022"]);
    assert!(Profile::by_id(Profile::DEFAULT_ID).is_some());
    assert!(Profile::by_id("US_CONSUMER").is_none());
    assert_eq!(lax_from_memory(Profile::all()), Vec::<String>::new());
}

fn consumer() -> serde_json::Value {
    serde_json::to_value(Profile::by_id("us_consumer").expect("built in")).expect("writes")
}

fn read(value: &serde_json::Value) -> Result<Profile, String> {
    Profile::read(&value.to_string())
}

#[test]
fn a_profile_is_written_as_it_is_read() {
    for profile in Profile::all() {
        let text = serde_json::to_string(profile).expect("writes");
        assert_eq!(Profile::read(&text).as_ref(), Ok(profile));
    }
}

#[test]
fn a_wrong_profile_is_refused_with_its_place() {
    let edit = |pointer: &str, to: serde_json::Value| {
        let mut value = consumer();
        *value.pointer_mut(pointer).expect("there") = to;
        read(&value).expect_err(pointer)
    };
    assert!(edit("/hot_hold_least/value_f", 1400.into()).contains("hot_hold_least"));
    assert!(edit("/hot_hold_least/value_f", 35.into()).contains("not above cold_hold_most"));
    assert!(edit("/room_rule/most/value_minutes", 0.into()).contains("rule.two_hours.most"));
    assert!(edit("/hot_day/most/value_minutes", 600.into()).contains("hot_day.most is longer"));
    assert!(edit("/hot_day/above/source/clause", " ".into()).contains("where it is from"));
    assert!(edit("/cooling", serde_json::json!([])).contains("cooling"));
    assert!(edit("/room_rule/meaning", "sometimes".into()).contains("sometimes"));
    let mut value = consumer();
    value["colour"] = 1.into();
    assert!(read(&value).expect_err("unknown field").contains("colour"));
}

#[test]
fn a_figure_from_memory_may_not_be_laxer_than_a_verified_one() {
    let with = |pointer: &str, field: &str, value: f64| {
        let mut json = consumer();
        let figure = json.pointer_mut(pointer).expect("there");
        figure[field] = if field == "value_minutes" { (value as i64).into() } else { value.into() };
        figure["source"]["seen"] = "from memory".into();
        let profile = read(&json).expect("reads");
        lax_from_memory(&[profile, Profile::all()[0].clone()])
    };
    assert_eq!(with("/hot_day/most", "value_minutes", 61.0), ["us_consumer: hot_day.most"]);
    assert!(with("/hot_day/most", "value_minutes", 60.0).is_empty());
    assert_eq!(
        with("/least_inner/poultry/least", "value_f", 164.0),
        ["us_consumer: least_inner.poultry"]
    );
    assert!(with("/least_inner/poultry/least", "value_f", 170.0).is_empty());
}

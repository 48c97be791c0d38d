//! Every figure of every built-in profile against the tables beside this file,
//! and what a profile may not say.

use super::figure::f_to_c;
use super::ledger::lax_from_memory;
use super::ledger_tables::{ALL, Is, Row};
use super::profile::{ClockMeaning, Profile};
use crate::kitchen::FoodClass;

fn compare(id: &str, rows: &[Row]) {
    let profile = Profile::by_id(id).expect("built in");
    let figures = profile.figures();
    assert_eq!(figures.len(), rows.len(), "{id}: every figure is in the table");
    for (name, value, document, clause, seen) in rows {
        let figure = figures.iter().find(|f| f.name == *name);
        let figure = figure.unwrap_or_else(|| panic!("{id} has no {name}"));
        let (expected, shown) = match *value {
            Is::F(f) => (f_to_c(f), format!("{f:.0} °F")),
            Is::C(c) => (c, format!("{c:.0} °C")),
            Is::Plain(n) => (n, String::new()),
        };
        assert!((figure.value - expected).abs() < 1e-9, "{id} {name}: {}", figure.value);
        assert!(figure.printed.contains(&shown), "{id} {name}: {}", figure.printed);
        assert!(figure.source.document.contains(document), "{id} {name}: {}", figure.source);
        assert_eq!(figure.source.clause, *clause, "{id} {name}");
        assert_eq!(figure.source.seen, *seen, "{id} {name}");
    }
}

#[test]
fn every_figure_of_every_profile_is_what_its_source_says() {
    assert_eq!(Profile::ids().collect::<Vec<_>>(), ALL.map(|(id, _)| id));
    for (id, rows) in ALL {
        compare(id, rows);
    }
}

fn by_id(id: &str) -> &'static Profile {
    Profile::by_id(id).expect("built in")
}

#[test]
fn the_clocks_mean_what_each_guidance_says() {
    use ClockMeaning::{OneEpisodeThenDiscard, OneOccasion, RunningSum, Total};
    let meanings = ALL.map(|(id, _)| by_id(id).room_rule.meaning);
    assert_eq!(
        meanings,
        [Total, OneEpisodeThenDiscard, OneOccasion, RunningSum, RunningSum, Total]
    );
    for (id, _) in ALL {
        let profile = by_id(id);
        assert_eq!(profile.cold_start_rule.is_some(), id == "uk", "{id}");
        assert_eq!(profile.chosen_rules.is_empty(), id != "us_food_code_2022", "{id}");
        assert_eq!(profile.hot_day.is_some(), ["us_consumer", "canada"].contains(&id), "{id}");
        // Only Australia's second leg does not profit from a quick first one.
        assert_eq!(profile.cooling.iter().any(|s| s.own_leg), id == "australia", "{id}");
        assert!(!profile.thawing.is_empty(), "{id}");
        assert!(!profile.thawing.iter().any(|t| t.how.contains("counter")), "{id}");
    }
}

/// "3-4 days": the short end, so Sunday's food goes by Wednesday. FC22
/// 3-501.17(A): made on Sunday, the last day is Saturday. UK: rice 1 day.
#[test]
fn leftovers_go_by_the_day_that_each_guidance_says() {
    let sunday = chrono::NaiveDate::from_ymd_opt(2026, 11, 22).expect("a day");
    let use_by = |id, class| {
        let day = by_id(id).use_by(class, sunday).expect("near");
        day.format("%a %-d").to_string()
    };
    let meat = FoodClass::WholeMeat;
    assert_eq!(use_by("us_consumer", meat), "Wed 25");
    assert_eq!(use_by("us_food_code_2022", meat), "Sat 28");
    assert_eq!(use_by("uk", meat), "Tue 24");
    assert_eq!(use_by("uk", FoodClass::CookedPlant), "Mon 23");
    for id in ["australia", "new_zealand", "canada"] {
        assert_eq!(use_by(id, meat), "Tue 24");
    }
    assert_eq!(by_id("us_consumer").use_by(meat, chrono::NaiveDate::MAX), None);
}

#[test]
fn built_in_profiles_all_read_and_name_themselves() {
    assert!(Profile::by_id(Profile::DEFAULT_ID).is_some());
    assert!(Profile::by_id("US_CONSUMER").is_none());
    assert_eq!(lax_from_memory(Profile::all()), Vec::<String>::new());
    for profile in Profile::all() {
        assert!(!profile.edition.is_empty() && !profile.for_whom.is_empty(), "{}", profile.id);
    }
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

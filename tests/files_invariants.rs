//! What later code relies on: of any party that a check passes, however it was
//! come by, every promise of an evening holds. Written apart from the check.

mod support;

use std::collections::BTreeSet;
use std::path::Path;

use potwatch::kitchen::check::suits::{enough, stations_for, stations_to_hold};
use potwatch::kitchen::check::{evening, self_contained};
use potwatch::kitchen::pans::Asked;
use potwatch::kitchen::{Clockface, Evening, Growth, Party, Recipe, Sourced, StationKind};
use potwatch::store::load::load_document;
use potwatch::store::read::Document;
use proptest::prelude::*;
use serde_json::{Value, json};
use support::{base, places};

fn load(text: &str) -> Result<Evening, String> {
    let document = Document::parse("party.json", text).map_err(|e| e.to_string())?;
    load_document(document, Path::new(""), None, |day| Clockface::fixed(day, 3600))
        .map(|loaded| loaded.evening)
        .map_err(|e| e.to_string())
}

/// The promises, each read off the types' own documentation.
fn promises(evening: &Evening) {
    let party = &evening.party;
    assert!(!party.services.is_empty() && !party.cooks.is_empty());
    assert!((1..=40).contains(&evening.sheets.len()));
    assert_eq!(evening.sheets.len(), party.dishes.len());
    unique(party.services.iter().map(|s| &s.id));
    unique(party.cooks.iter().map(|c| &c.id));
    unique(evening.sheets.iter().map(|s| &s.id));
    unique(evening.sheets.iter().map(|s| s.letter));
    unique(evening.kitchen.stations.iter().map(|s| &s.id));
    unique(evening.kitchen.cookware.iter().map(|c| &c.id));
    for station in &evening.kitchen.stations {
        assert!((1..=50).contains(&station.slots));
        assert!(station.kind != StationKind::Oven || station.thermostat.is_some());
        if let Some(t) = station.thermostat {
            assert!(t.least_c <= t.most_c && t.up_c_per_min > 0 && t.down_c_per_min > 0);
            assert!(t.minutes(-40, 600) < 1000);
        }
    }
    for cook in &party.cooks {
        let mut hours: Vec<_> = cook.free.iter().map(|f| (f.from, f.to)).collect();
        hours.sort();
        assert!(!hours.is_empty() && hours.iter().all(|h| h.0 < h.1));
        assert!(hours.windows(2).all(|w| w[0].1 <= w[1].0));
    }
    let begin = party.cooks.iter().flat_map(|c| &c.free).map(|f| f.from).min();
    assert!(party.services.iter().all(|s| Some(s.at) > begin));
    assert!(evening.sheets.iter().map(|s| s.recipe.steps.len()).sum::<usize>() <= 400);
    for (index, sheet) in evening.sheets.iter().enumerate() {
        assert_eq!(party.services[sheet.service].id, party.dishes[index].service);
        assert!((1..=500).contains(&sheet.servings) && (1..=500).contains(&sheet.recipe.servings));
        assert!(evening.table_minutes(index) <= 1440);
        steps(evening, index);
        ends_in_one(&sheet.recipe);
    }
}

fn unique<T: Ord>(all: impl Iterator<Item = T>) {
    let mut seen = BTreeSet::new();
    for one in all {
        assert!(seen.insert(one));
    }
}

fn steps(evening: &Evening, index: usize) {
    let (sheet, kitchen) = (&evening.sheets[index], &evening.kitchen);
    unique(sheet.recipe.steps.iter().map(|s| &s.id));
    for (s, step) in sheet.recipe.steps.iter().enumerate() {
        let mut possible = 0;
        for (w, way) in step.ways.iter().enumerate() {
            assert!(way.minutes.low >= 1 && way.minutes.low <= way.minutes.likely);
            assert!(way.minutes.likely <= way.minutes.high && way.points <= 1000);
            assert!(way.station != StationKind::Oven || way.at_c.is_some());
            assert!(
                way.give_c >= 0 && (way.load_servings.is_none() || step.grows == Growth::Fixed)
            );
            let Ok(stations) = stations_for(kitchen, &sheet.recipe, sheet.servings, step, way)
            else {
                continue;
            };
            possible += 1;
            for station in stations {
                let station = &kitchen.stations[station];
                assert!(station.kind == way.station && station.slots >= way.slots);
                if let (Some(t), Some(at)) = (station.thermostat, way.at_c) {
                    assert!((t.least_c..=t.most_c).contains(&at));
                }
            }
            let minutes = i64::from(sheet.minutes(s, w));
            assert!((1..=1440).contains(&(minutes * i64::from(sheet.loads(s, w)))));
            let full = i64::from(step.hands.start_minutes) + i64::from(step.hands.end_minutes);
            assert!(full <= minutes && step.hands.between_percent <= 100);
        }
        assert!(possible > 0);
        for need in &step.cookware {
            let asked = Asked::of(&sheet.recipe, need, sheet.servings, Some(1));
            assert!(need.count > 0 && enough(kitchen, &need.kind, asked, false).is_ok());
        }
        for after in &step.after {
            assert!(sheet.step_index(&after.step).is_some_and(|earlier| earlier != s));
            let most = after.most_minutes.unwrap_or(20_160);
            assert!(after.least_minutes <= most && most <= 20_160);
            assert!(after.best_minutes.is_none_or(|b| (after.least_minutes..=most).contains(&b)));
        }
    }
    for hold in &sheet.recipe.holds {
        assert!(hold.most_minutes >= 1 && hold.free_minutes <= hold.most_minutes);
        assert!(hold.best_minutes.is_none_or(|b| b <= hold.most_minutes));
        for station in stations_to_hold(kitchen, hold).unwrap_or_default() {
            assert_eq!(kitchen.stations[station].kind, hold.place);
        }
    }
}

/// Taking away steps that nothing waits for, the last one is the one that
/// `last_step` names, and all are taken in the end.
fn ends_in_one(recipe: &Recipe) {
    let sheet = potwatch::kitchen::Sheet {
        id: String::new(),
        letter: 'A',
        recipe: recipe.clone(),
        written: recipe.clone(),
        servings: 1,
        service: 0,
        jobs: Vec::new(),
        waits_for: Vec::new(),
    };
    let mut left: Vec<&str> = recipe.steps.iter().map(|s| s.id.as_str()).collect();
    let mut first = true;
    while !left.is_empty() {
        let waited: BTreeSet<&str> = recipe
            .steps
            .iter()
            .filter(|s| left.contains(&s.id.as_str()))
            .flat_map(|s| s.after.iter().map(|a| a.step.as_str()))
            .collect();
        let free: Vec<&str> = left.iter().copied().filter(|id| !waited.contains(id)).collect();
        assert!(!free.is_empty(), "a circle");
        if first {
            assert_eq!(free, [recipe.steps[sheet.last_step()].id.as_str()]);
            first = false;
        }
        left.retain(|id| !free.contains(id));
    }
}

#[test]
fn the_base_party_keeps_every_promise() {
    let made = load(support::BASE).expect("sound");
    promises(&made);
    let letters: String = made.sheets.iter().map(|s| s.letter).collect();
    assert_eq!(letters, "PB");
}

#[test]
fn a_self_contained_party_makes_the_same_evening() {
    let face = Clockface::fixed("2026-11-25".parse().expect("a day"), 0);
    let demo = potwatch::store::load::load_builtin(face.clone()).expect("sound");
    promises(&demo);
    let party = self_contained(&demo);
    assert!(matches!(party.kitchen, Sourced::Inline(_)));
    let text = serde_json::to_string(&party).expect("written");
    let again = load(&text).expect("sound");
    assert_eq!(again.sheets, demo.sheets);
    assert_eq!(again.kitchen, demo.kitchen);
    assert_eq!(self_contained(&again), party);
}

#[test]
fn letters_are_the_first_free_ones_of_the_titles() {
    let mut party: Party = serde_json::from_value(base()).expect("a party");
    let Sourced::Inline(recipe) = party.dishes[1].recipe.clone() else { panic!("inline") };
    let Sourced::Inline(kitchen) = party.kitchen.clone() else { panic!("inline") };
    let dish = party.dishes[1].clone();
    party.dishes = vec![dish; 40];
    party.dishes[7].letter = Some('B');
    let titles = ["Bean stew", "bean dip", "12 éclairs", "晩ご飯"];
    let recipes: Vec<Recipe> =
        (0..40).map(|i| Recipe { title: titles[i % 4].to_owned(), ..(*recipe).clone() }).collect();
    let made = evening(party, *kitchen, recipes, Clockface::fixed(Default::default(), 0));
    let letters: String = made.sheets.iter().map(|s| s.letter).collect();
    assert_eq!(letters, "EACDNILBSPRFTGHJWKMOQUVXYZabcdefghijklmn");
}

/// Another number for a number of the base party, another word for a word,
/// nothing for a list.
fn changes() -> impl Strategy<Value = Vec<(String, Value)>> {
    let number = prop_oneof![
        6 => 0i64..30,
        3 => -2i64..300,
        1 => any::<u32>().prop_map(i64::from),
    ];
    let word = prop::sample::select(vec![
        "oven",
        "fridge",
        "counter",
        "grill",
        "slow_cooker",
        "air_fryer",
        "hot",
        "cold",
        "room",
        "fill",
        "bake",
        "cook",
        "pan",
        "mains",
        "starters",
        "proportion",
        "fixed",
        "18:00",
        "2:00",
        "47:59",
        "A",
        "warm",
    ]);
    let change = (any::<prop::sample::Index>(), number, word);
    prop::collection::vec(change, 1..4).prop_map(|list| {
        let base = base();
        let leaf = |at: &&String| base.pointer(at).is_some_and(|v| !v.is_object());
        let leaves: Vec<&String> = places().iter().filter(leaf).collect();
        list.into_iter()
            .map(|(index, number, word)| {
                let at = leaves[index.index(leaves.len())];
                let value = match base.pointer(at) {
                    Some(Value::Number(_)) => json!(number),
                    Some(Value::Array(_)) => json!([]),
                    _ => json!(word),
                };
                (at.clone(), value)
            })
            .collect()
    })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_party_that_passes_keeps_every_promise(changes in changes()) {
        let mut party = base();
        for (place, value) in changes {
            if let Some(there) = party.pointer_mut(&place) {
                *there = value;
            }
        }
        if let Ok(evening) = load(&party.to_string()) {
            promises(&evening);
        }
    }
}

//! The merged list and the pooled jobs against totals worked out elsewhere: 17
//! public-domain recipe cards for a hundred (Armed Forces Recipe Service, TM
//! 10-412, 2003), their shared ingredients summed as exact ounces by a program
//! of another language. The files are not ours to keep: name their folder in
//! `POTWATCH_CARDS` (with `afrs_2003_sample.json` and `EXPECTED_pool.json`).

#[path = "support/dishes.rs"]
mod dishes;

use std::collections::BTreeMap;

use potwatch::kitchen::Evening;
use potwatch::kitchen::units::{Exact, Unit};
use potwatch::mise::{knife, shopping};
use serde_json::{Value, json};

/// "6-1/4 lbs", "12 oz", "1 lbs 2 oz" as ounces.
fn ounces(text: &str) -> Option<Exact> {
    let mut sum = Exact::ZERO;
    let words: Vec<&str> = text.split_whitespace().collect();
    for pair in words.chunks(2) {
        let [amount, unit] = pair else { return None };
        let amount: Exact = amount.replace('-', " ").parse().ok()?;
        sum = sum
            + match *unit {
                "oz" => amount,
                "lb" | "lbs" => amount * Exact::whole(16),
                _ => return None,
            };
    }
    Some(sum)
}

fn cards(folder: &str) -> (Evening, Value) {
    let read = |name: &str| -> Value {
        let text = std::fs::read_to_string(format!("{folder}/{name}")).expect(name);
        serde_json::from_str(&text).expect("JSON")
    };
    let sample = read("afrs_2003_sample.json");
    let dishes = sample["recipes"].as_array().expect("recipes").iter().map(|card| {
        let ingredients = card["ingredients"].as_array().expect("ingredients").iter();
        let weighed = ingredients.filter_map(|i| {
            let amount = ounces(i["ep_weight"].as_str()?)?;
            let cut = i["name"].as_str()?.contains("CHOPPED").then_some("chopped");
            Some(json!({"item": i["name"], "amount": amount, "unit": "oz", "cut": cut}))
        });
        let id = card["card"].as_str().expect("a number").to_owned();
        dishes::dish(&id, weighed.collect())
    });
    (dishes::evening(dishes.collect()), read("EXPECTED_pool.json"))
}

#[test]
fn pooled_totals_are_those_of_the_cards() {
    let Some(folder) = std::env::var("POTWATCH_CARDS").ok() else {
        println!("skipped: POTWATCH_CARDS does not name the folder of the cards");
        return;
    };
    let (evening, expected) = cards(&folder);
    let list = shopping::list(&evening);
    let ounce = Unit::Oz.base(Default::default()).expect("grams");
    let mut found: BTreeMap<String, (Exact, usize)> = BTreeMap::new();
    for line in &list.lines {
        let mut sum = Exact::ZERO;
        for share in &line.shares {
            let Some(quantity) = share.quantity else { continue };
            assert_eq!(quantity.unit, Unit::Oz);
            let name = share.words.clone().unwrap_or_else(|| line.item.clone());
            let total = found.entry(name.to_uppercase()).or_insert((Exact::ZERO, 0));
            *total = (total.0 + quantity.amount, total.1 + 1);
            sum = sum + quantity.amount;
        }
        // What a line asks for is exactly the sum of its shares, in grams.
        // Rind is bought as lemons, boiled eggs as eggs: such a line counts pieces.
        let part = |w: &String| ["RIND", "HARD COOKED"].iter().any(|p| w.contains(p));
        if line.shares.iter().any(|s| s.words.as_ref().is_some_and(part)) {
            continue;
        }
        let need = line.need.expect("all are weighed");
        assert_eq!((need.amount, need.unit), (sum * ounce, Unit::G), "{}", line.id);
    }
    let mut held = 0;
    for (name, total) in expected["pooled"].as_object().expect("totals") {
        let ounces: Exact =
            total["total_oz_exact"].as_str().expect("ounces").parse().expect("exact");
        assert_eq!(found.get(name).map(|f| f.0), Some(ounces), "{name}");
        held += 1;
    }
    assert!(held >= 30, "{held} totals");
    // Chopped onions of nine cards are one job of all their weight.
    let chopped = |name: &str| -> Exact {
        let jobs = knife::pool(&evening).jobs;
        let shares = jobs.iter().flat_map(|j| &j.shares);
        let mine = shares.filter(|s| s.words.as_deref() == Some(name));
        mine.filter_map(|s| s.quantity).map(|q| q.amount).sum()
    };
    assert_eq!(chopped("ONIONS,FRESH,CHOPPED"), Exact::whole(362));
    assert_eq!(chopped("CELERY,FRESH,CHOPPED"), Exact::whole(84));
    println!("{held} totals of the cards hold");
}

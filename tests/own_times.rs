//! The cook's own times: said as often as they come true, on made-up cooks; and from whole evenings on the disk
//! to other plans.
//!
//! `UPDATE_SCHEMA=1 cargo test --test own_times` writes the schema anew. `COOKS=400 cargo test --release --test
//! own_times low_and -- --nocapture` plays more cooks of four kinds; DEVELOPERS.md has the table of such a run.

#[path = "support/cooks.rs"]
mod cooks;
#[path = "support/past.rs"]
mod past;
#[allow(dead_code, reason = "programs are run with a home of their own here")]
#[path = "support/program.rs"]
mod program;

use std::collections::BTreeMap;

use cooks::{Cook, Habits, whole_shelf};
use past::Past;
use potwatch::command::Exit;
use potwatch::kitchen::{Customs, Minutes, StationKind};
use potwatch::learn::wire::TimesFile;
use potwatch::learn::{Guard, Known};
use program::{check_schema, here};

/// Of the minutes of an evening: below low, above high, all, and how far off the likely ones were.
#[derive(Default)]
struct Tally {
    below: f64,
    above: f64,
    all: f64,
    off: f64,
}

impl Tally {
    fn count(&mut self, said: Minutes, took: f64) {
        self.below += f64::from(u8::from(took < f64::from(said.low)));
        self.above += f64::from(u8::from(took > f64::from(said.high)));
        self.off += (took / f64::from(said.likely.max(1))).ln().abs();
        self.all += 1.0;
    }

    fn within(&self) -> f64 {
        100.0 * (1.0 - (self.below + self.above) / self.all)
    }
}

/// Whole minutes say little of the odds of shorter steps.
const LONG: u32 = 12;

/// The next evening of some cooks after so many, for steps that were seen before: by what was known before it and by
/// the recipes alone.
fn next_evening(cooks: u64, after: u32, habits: impl Fn(u64) -> Habits) -> (Tally, Tally) {
    let (mut by_own, mut by_recipe) = (Tally::default(), Tally::default());
    for seed in 0..cooks {
        let cook = Cook::new(seed, habits(seed));
        let known = Known::from((1..=after).flat_map(|e| cook.cooks(e, 5)).collect());
        let long = known.all().into_iter().filter(|e| e.written.likely >= LONG);
        let said: BTreeMap<_, _> = long.map(|e| ((e.recipe, e.step, e.station), e.own)).collect();
        for one in cook.cooks(after + 1, 7) {
            let key = (one.recipe.clone(), one.step.clone(), one.station);
            let Some(own) = said.get(&key) else { continue };
            by_own.count(*own, one.took);
            by_recipe.count(one.written, one.took);
        }
    }
    (by_own, by_recipe)
}

fn how_many() -> u64 {
    std::env::var("COOKS").ok().and_then(|n| n.parse().ok()).unwrap_or(16)
}

/// Cooks as they are held to be: eight of ten minutes lie between low and high, whatever is known; and the likely
/// minutes come nearer with every evening. Cooks with narrower and with wider habits than that are told by nearly
/// the same odds.
#[test]
fn low_and_high_are_passed_as_often_as_they_say() {
    let usual = |seed: u64| {
        let wide = |salt: u64| ((seed * 7 + salt * 13) % 21) as f64 / 10.0 - 1.0;
        Habits {
            station: 0.16 * wide(1),
            hands: 0.25 * wide(2),
            evening: 0.06,
            usual: 0.7,
            chance: 0.6,
            slips: 0,
        }
    };
    let kinds: [(&str, &dyn Fn(u64) -> Habits); 4] = [
        ("as held to be", &usual),
        ("steady", &|s| Habits { usual: 0.3, chance: 0.4, evening: 0.03, ..usual(s) }),
        ("wild", &|s| Habits { usual: 1.0, chance: 0.9, evening: 0.1, ..usual(s) }),
        ("forgets marks", &|s| Habits { slips: 12, ..usual(s) }),
    ];
    // A few cooks play the first kind alone.
    let kinds = if how_many() < 50 { &kinds[..1] } else { &kinds[..] };
    for (name, habits) in kinds {
        for after in [5, 10] {
            let (own, recipe) = next_evening(how_many(), after, habits);
            println!(
                "{name}, after {after}: {:.1} within (recipe {:.1}), {:.1} below, {:.1} above of {}, off {:.1} % (recipe {:.1} %)",
                own.within(),
                recipe.within(),
                100.0 * own.below / own.all,
                100.0 * own.above / own.all,
                own.all,
                100.0 * own.off / own.all,
                100.0 * recipe.off / recipe.all
            );
            // Three standard deviations of a count about eight in ten, and what the widths are off.
            let give = 300.0 * (0.16 / own.all).sqrt() + 7.0;
            let wild = if *name == "as held to be" { 0.0 } else { 5.0 };
            assert!((own.within() - 80.0).abs() < give + wild, "{name} {after}: {}", own.within());
            assert!(own.off < 1.05 * recipe.off, "{name} {after}: {} {}", own.off, recipe.off);
        }
    }
}

/// An oven that runs 12 % slow is noticed after a few evenings, and for a dish that was never made.
#[test]
fn a_slow_oven_is_noticed_across_dishes() {
    let habits = Habits {
        station: 1.12_f64.ln(),
        hands: 0.0,
        evening: 0.04,
        usual: 0.4,
        chance: 0.5,
        slips: 30,
    };
    let mut ratios = Vec::new();
    for seed in 100..108 {
        let cook = Cook::new(seed, habits);
        let known = Known::from((1..=6).flat_map(|e| cook.cooks(e, 6)).collect());
        let oven = known.shares().into_iter().find(|s| s.group.words().starts_with("oven"));
        let oven = oven.expect("the oven was used");
        assert!(oven.low < oven.ratio && oven.ratio < oven.high, "{oven:?}");
        ratios.push(oven.ratio);
        let unseen = known.of(&whole_shelf()).into_iter().find(|e| {
            e.station == StationKind::Oven && e.times.is_empty() && e.written.likely >= 30
        });
        if let Some(dish) = unseen {
            let same = (f64::from(dish.written.likely) * dish.by_share).round();
            assert_eq!(f64::from(dish.own.likely), same, "{dish:?}");
            assert!(dish.why().contains("oven of the kitchen home"), "{}", dish.why());
        }
    }
    let mean = ratios.iter().sum::<f64>() / ratios.len() as f64;
    assert!((1.06..=1.15).contains(&mean), "{mean}: {ratios:?}");
}

#[test]
fn the_order_of_what_was_seen_does_not_matter_and_nothing_seen_changes_nothing() {
    let habits =
        Habits { station: 0.1, hands: 0.1, evening: 0.05, usual: 0.7, chance: 0.6, slips: 0 };
    let mut seen: Vec<_> = (1..=3).flat_map(|e| Cook::new(5, habits).cooks(e, 5)).collect();
    let one = Known::from(seen.clone()).of(&whole_shelf());
    seen.reverse();
    assert_eq!(one, Known::from(seen).of(&whole_shelf()));
    assert!(Known::from(Vec::new()).of(&whole_shelf()).is_empty());
}

/// What is cooked to a temperature or heated again is never planned shorter than its recipe, however fast the cook
/// marks; what cools food is left alone.
#[test]
fn no_estimate_shortens_what_is_cooked_to_a_temperature() {
    let habits =
        Habits { station: -0.5, hands: -0.5, evening: 0.02, usual: 0.2, chance: 0.3, slips: 0 };
    let cook = Cook::new(1, habits);
    let known = Known::from((1..=8).flat_map(|e| cook.cooks(e, 9)).collect());
    let evening = whole_shelf();
    let estimates = known.of(&evening);
    let guarded: Vec<_> = estimates.iter().filter(|e| e.guard == Guard::NeverShorter).collect();
    assert!(guarded.len() > 5, "{}", guarded.len());
    for one in guarded {
        let (own, recipe) = (one.own, one.written);
        assert!(own.low >= recipe.low && own.likely >= recipe.likely && own.high >= recipe.high);
    }
    assert!(estimates.iter().any(|e| e.guard == Guard::Free && e.own.likely < e.written.likely));
    assert!(estimates.iter().all(|e| e.guard != Guard::Stays));
}

#[test]
fn past_evenings_on_the_disk_make_other_plans_until_they_are_forgotten() {
    let past = Past::new();
    let party = past.party("2026-12-24", |_| {});
    let plain = past.run(&["times", &party]);
    assert_eq!((plain.0, plain.1.contains("Nothing is known yet")), (Exit::Done, true));
    let length = |party: &str, dish: &str, step: &str| {
        let (exit, out, err) = past.run(&["plan", party, "--json", "--rounds", "1"]);
        assert_eq!(exit, Exit::Done, "{err}");
        let plan: serde_json::Value = serde_json::from_str(&out).unwrap();
        let steps = plan["steps"].as_array().unwrap();
        let block = steps.iter().find(|b| b["dish"] == dish && b["step"] == step).unwrap();
        block["end_minute"].as_i64().unwrap() - block["start_minute"].as_i64().unwrap()
    };
    let (dish, step) = past.longest_in_the_oven(&party);
    let by_recipe = length(&party, &dish, &step);
    for day in ["2026-10-03", "2026-10-17", "2026-10-31"] {
        past.cook(day, |kind| if kind == StationKind::Oven { 1.2 } else { 1.0 });
    }
    let (exit, out, err) = past.run(&["times", &party]);
    assert_eq!((exit, err.as_str()), (Exit::Done, ""), "{out}");
    assert!(
        out.contains("oven of the kitchen") && out.contains("% longer than recipes say"),
        "{out}"
    );
    assert!(out.lines().all(|l| l.chars().count() <= 120), "{out}");
    let by_own = length(&party, &dish, &step);
    let ratio = by_own as f64 / by_recipe as f64;
    assert!((1.1..=1.2).contains(&ratio), "{by_recipe} {by_own}");
    // Read again from what was kept, it is the same.
    assert_eq!(past.run(&["times", &party]), (exit, out, err));
    let (_, json, _) = past.run(&["times", "--json"]);
    let file: TimesFile = serde_json::from_str(&json).unwrap();
    assert!(file.steps.len() > 10 && file.forgotten.is_empty());
    // A party or the settings may say otherwise.
    let without = past.party("2026-12-25", |p| p["own_times"] = false.into());
    assert_eq!(length(&without, &dish, &step), by_recipe);
    // Everything forgotten, the recipes count again; recalled, it is as it was.
    let mut names: Vec<String> =
        file.steps.iter().map(|s| format!("{}/{}", s.recipe, s.step)).collect();
    names.sort();
    names.dedup();
    let all = |flag: &'static str| {
        let flags = names.iter().flat_map(move |n| [flag, n.as_str()]);
        let args: Vec<&str> = ["times"].into_iter().chain(flags).collect();
        assert_eq!(past.run(&args).0, Exit::Done);
    };
    all("--forget");
    assert_eq!(length(&party, &dish, &step), by_recipe);
    all("--recall");
    assert_eq!(length(&party, &dish, &step), by_own);
    let (exit, _, err) = past.run(&["times", "--forget", "no/such"]);
    assert_eq!(exit, Exit::Usage);
    assert!(err.contains("no such step was seen"), "{err}");
    // One wrong name, and nothing is forgotten, nor said to be.
    let (exit, _, err) = past.run(&["times", "--forget", &names[0], "--forget", "no/such"]);
    assert_eq!(exit, Exit::Usage);
    assert!(!err.contains("Forgotten:"), "{err}");
    let (_, json, _) = past.run(&["times", "--json"]);
    let file: TimesFile = serde_json::from_str(&json).unwrap();
    assert!(file.forgotten.is_empty());
}

#[test]
fn an_evening_goes_on_by_the_times_that_it_began_with() {
    use potwatch::live::times::{ByTimes, state_of};
    let past = Past::new();
    past.cook("2026-10-03", |_| 1.25);
    let (journal, begun) = past.cook("2026-10-17", |_| 1.0);
    assert!(begun.own_times.list().is_empty(), "the first was cooked by its recipes");
    // The journal alone, with the party beside it, is enough to look back.
    let state = state_of(&journal, ByTimes::Own, Customs::default()).unwrap().unwrap();
    assert!(state.facts().progress.len() > 20);
    assert!(state.facts().finished_ms.is_some());
}

#[test]
fn the_schema_is_that_of_the_types() {
    check_schema::<TimesFile>("times", "own_times");
    assert!(here("shared/schema/times.schema.json").exists());
}

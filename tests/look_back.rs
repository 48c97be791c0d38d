//! Looking back at past evenings, by command: what was late and why, every format, and changes that are written.
//!
//! `UPDATE_SCHEMA=1 cargo test --test look_back` writes the schema anew.

#[path = "support/past.rs"]
mod past;
#[allow(dead_code, reason = "programs are run with a home of their own here")]
#[path = "support/program.rs"]
mod program;

use past::Past;
use potwatch::command::Exit;
use potwatch::kitchen::StationKind;
use potwatch::run::look_back::{About, LookBack};
use program::check_schema;

/// An evening whose oven ran a third slow.
fn slow() -> (Past, String) {
    let past = Past::new();
    past.cook("2026-10-03", |kind| if kind == StationKind::Oven { 1.35 } else { 1.0 });
    let party = past.party("2026-10-03", |_| {});
    (past, party)
}

fn back(past: &Past, of: &str) -> LookBack {
    let (exit, out, err) = past.run(&["look-back", of, "--json"]);
    assert_eq!(exit, Exit::Done, "{err}");
    serde_json::from_str(&out).unwrap()
}

#[test]
fn a_late_service_is_traced_to_what_first_took_too_long() {
    let (past, party) = slow();
    let back = back(&past, &party);
    let services: Vec<_> = back.late.iter().filter(|l| l.chain.len() > 1).collect();
    assert!(!services.is_empty(), "{:?}", back.late);
    for late in services {
        let last = late.chain.last().unwrap();
        assert!(last.contains("longer than planned") || last.contains("served later"), "{late:?}");
    }
    assert!(back.dishes.iter().all(|d| d.served_minute.is_some() && !d.steps.is_empty()));
    assert!(back.dishes.iter().any(|d| !d.waits.is_empty()));
    // Every planned step was marked, so each has both stretches.
    let steps = back.dishes.iter().flat_map(|d| &d.steps);
    assert!(steps.clone().count() > 30);
    assert!(steps.clone().all(|s| s.actual.is_some() && s.planned.is_some()));
    // On an evening as planned nothing is late by a step that took longer.
    past.cook("2026-10-17", |_| 1.0);
    let plain = self::back(&past, &past.party("2026-10-17", |_| {}));
    assert!(
        plain.late.iter().all(|l| !l.chain.iter().any(|c| c.contains("longer"))),
        "{:?}",
        plain.late
    );
}

#[test]
fn it_is_printed_in_every_format_and_from_the_journal_alone() {
    let (past, party) = slow();
    let (exit, text, err) = past.run(&["look-back", &party]);
    assert_eq!((exit, err.as_str()), (Exit::Done, ""));
    for heading in
        ["What was late, and why", "Next time", "Steps", "What waited", "Temperatures", "Alarms"]
    {
        assert!(text.contains(heading), "{heading}:\n{text}");
    }
    assert!(text.lines().all(|l| l.chars().count() <= 80), "{text}");
    let (exit, svg, _) = past.run(&["look-back", &party, "--format", "svg"]);
    assert!(exit == Exit::Done && svg.starts_with("<svg") && svg.ends_with("</svg>\n"));
    assert!(svg.contains(" as planned</text>") && svg.contains("stroke-dasharray=\"3 3\""));
    let (exit, html, _) = past.run(&["look-back", &party, "--format", "html"]);
    assert!(exit == Exit::Done && html.starts_with("<!DOCTYPE html>") && html.contains("<svg"));
    // The party's file is gone: the journal has it beside it.
    std::fs::remove_file(&party).unwrap();
    let journals = std::fs::read_dir(past.places().evenings()).unwrap();
    let mut paths = journals.map(|e| e.unwrap().path().to_str().unwrap().to_owned());
    let journal = paths.find(|p| p.ends_with(".journal")).unwrap();
    let (exit, again, _) = past.run(&["look-back", &journal]);
    assert_eq!((exit, again), (Exit::Done, text));
    let (exit, _, err) = past.run(&["look-back", &journal, "--apply", "99"]);
    assert!(exit == Exit::Usage && err.contains("--apply 99"), "{err}");
    let none = past.party("2026-11-01", |_| {});
    let (exit, _, err) = past.run(&["look-back", &none]);
    assert!(exit == Exit::WrongFile && err.contains("nothing was marked"), "{err}");
}

#[test]
fn a_change_is_written_once_into_the_file_that_it_is_about() {
    let (past, party) = slow();
    let before = back(&past, &party);
    let number = |back: &LookBack, about: About| {
        back.next_time.iter().position(|e| e.about == about).map(|n| (n + 1).to_string())
    };
    let recipe = number(&before, About::Recipe).expect("a step that took longer than high");
    let room = number(&before, About::Party).expect("more room");
    let apply = |number: &str| past.run(&["look-back", &party, "--apply", number]);
    for change in [&recipe, &room] {
        let (exit, _, err) = apply(change);
        assert_eq!(exit, Exit::Done, "{err}");
        assert!(err.contains("Written: "), "{err}");
        // A second time another value stands there.
        let (exit, _, err) = apply(change);
        assert!(exit == Exit::Failed && err.contains("nothing was changed"), "{err}");
    }
    let edit = &before.next_time[recipe.parse::<usize>().unwrap() - 1];
    let own = past.places().data.join("recipes").join(format!("{}.json", edit.id));
    let in_party: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(&party).unwrap()).unwrap();
    assert_eq!(in_party["on_time_percent"], 95);
    let now: serde_json::Value = if own.exists() {
        serde_json::from_str(&std::fs::read_to_string(&own).unwrap()).unwrap()
    } else {
        let dishes = in_party["dishes"].as_array().unwrap();
        dishes.iter().find(|d| d["recipe"]["id"] == edit.id).unwrap()["recipe"].clone()
    };
    assert_eq!(now.pointer(&edit.at), Some(&edit.becomes));
    assert_eq!(past.run(&["check", &party]).0, Exit::Done);
}

#[test]
fn the_schema_is_that_of_the_types() {
    check_schema::<LookBack>("look-back", "look_back");
}

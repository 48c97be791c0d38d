//! `potwatch plan --ways` and `--what-if`: for reading and for programs, and what is
//! said to slips.
//!
//! `UPDATE_SCHEMA=1 cargo test --test ways_command` writes their schemas anew.

#[path = "support/program.rs"]
mod program;
#[path = "support/salads.rs"]
mod salads;

use potwatch::command::Exit;
use potwatch::plan::ways::wire::{ChangeEntry, WaysFile, WhatIfFile};
use program::{check_schema, potwatch};
use salads::salads;

/// What clashes and why these are the least figures: beside the same party in
/// `plan/ways/tests.rs`.
#[test]
fn a_party_that_does_not_fit_is_told_what_would_help() {
    let (_folder, party) = salads("18:50");
    let (exit, out, err) = potwatch(&["plan", &party, "--ways", "--rounds", "40"]);
    assert_eq!((exit, err.as_str()), (Exit::NoPlan, ""));
    assert!(out.lines().all(|l| l.chars().count() <= 80), "{out}");
    for line in [
        "  - Supper at 18:50",
        "  - Kim is there 18:00 to 21:00",
        "  - Salad a takes 30 min at the least",
        "  1. Kim starts 10 min earlier (17:50)",
        "  2. Supper 10 min later (19:00)",
    ] {
        assert!(out.lines().any(|l| l == line), "{line}:\n{out}");
    }
    // A plan that is late is still a plan; what would help stands beside it.
    let (exit, out, err) = potwatch(&["plan", &party, "--rounds", "40"]);
    assert_eq!(exit, Exit::Done);
    assert!(out.starts_with("Two salads, ") && err.contains("Ways out, the least trouble first:"));
    let (_folder, fits) = salads("19:00");
    let (exit, out, _) = potwatch(&["plan", &fits, "--ways", "--rounds", "40"]);
    assert_eq!(exit, Exit::Done);
    assert!(out.ends_with("everything fits.\n"), "{out}");
    let (exit, _, err) = potwatch(&["plan", &fits, "--rounds", "40"]);
    assert_eq!((exit, err.as_str()), (Exit::Done, ""));
}

#[test]
fn ways_out_are_printed_whole_for_programs() {
    let (_folder, party) = salads("18:50");
    let (exit, out, _) = potwatch(&["plan", &party, "--ways", "--json", "--rounds", "40"]);
    assert_eq!(exit, Exit::NoPlan);
    let file: WaysFile = serde_json::from_str(&out).expect("ways out");
    assert_eq!((file.format.as_str(), file.fits), ("potwatch ways 1", false));
    assert_eq!(file.clash.len(), 5);
    assert_eq!(file.best.expect("a plan").late_minutes, 10);
    let first = &file.ways[0];
    let earlier = ChangeEntry::CookThere { cook: "kim".into(), from_minute: 1070, to_minute: 1080 };
    assert_eq!(first.changes, [earlier]);
    for way in &file.ways {
        assert_eq!(way.figures.late_minutes, 0);
        // The plan is of the party as it would be: every dish is served when it is due.
        for service in &way.plan.services {
            let due = service.due_minute;
            assert!(service.dishes.iter().all(|d| d.served_minute == due), "{}", way.words);
        }
    }
    let (_folder, fits) = salads("19:00");
    let (exit, out, _) = potwatch(&["plan", &fits, "--ways", "--json", "--rounds", "40"]);
    let file: WaysFile = serde_json::from_str(&out).expect("ways out");
    assert_eq!((exit, file.fits, file.ways.len()), (Exit::Done, true, 0));
}

#[test]
fn what_ifs_stand_beside_the_evening_as_it_is() {
    let (_folder, party) = salads("18:50");
    let tries = ["--what-if", "service supper +5", "--what-if", "drop a", "--rounds", "40"];
    let (exit, out, err) = potwatch(&[&["plan", party.as_str()], &tries[..]].concat());
    assert_eq!((exit, err.as_str()), (Exit::Done, ""));
    let late: Vec<&str> =
        out.lines().skip(1).map(|l| l[28..].split_whitespace().next().expect("a figure")).collect();
    // 10 minutes are missing; five minutes later 5; one salad alone is in time.
    assert_eq!(late, ["10", "5", "0"], "{out}");
    let (_, out, _) = potwatch(&[&["plan", party.as_str(), "--json"], &tries[..]].concat());
    let file: WhatIfFile = serde_json::from_str(&out).expect("tries");
    let late = |n: usize| file.tries[n].figures.expect("a plan").late_minutes;
    assert_eq!((file.tries.len(), late(0), late(1), late(2)), (3, 10, 5, 0));
    let none = ["plan", party.as_str(), "--what-if", "without board", "--rounds", "40"];
    let (exit, out, _) = potwatch(&none);
    assert_eq!(exit, Exit::NoPlan);
    assert!(out.contains("no plan") && out.contains("\"Counter\" is out of use"), "{out}");
}

#[test]
fn slips_are_told_with_what_was_meant() {
    let (_folder, party) = salads("18:50");
    for (change, said) in [
        ("drop salad c", "There is no dish \"salad c\". Did you mean \"Salad a\"?"),
        ("servce supper 19:00", "Did you mean \"service\"?"),
        ("service supper", "write it as: service NAME 18:30"),
    ] {
        let (exit, out, err) = potwatch(&["plan", &party, "--what-if", change]);
        assert_eq!((exit, out.as_str()), (Exit::Usage, ""));
        assert!(err.contains(said) && err.contains(change), "{err}");
    }
    let (exit, _, err) = potwatch(&["plan", &party, "--ways", "--what-if", "drop a"]);
    assert_eq!(exit, Exit::Usage, "{err}");
}

#[test]
fn the_checked_in_schemas_are_those_of_the_types() {
    check_schema::<WaysFile>("ways", "ways_command");
    check_schema::<WhatIfFile>("what-if", "ways_command");
}

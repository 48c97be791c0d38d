//! `potwatch plan PARTY.json --why STEP`: why a step stands where it does, for
//! reading and for programs.
//!
//! `UPDATE_SCHEMA=1 cargo test --test plan_why` writes the schema anew.

#[path = "support/program.rs"]
mod program;

use potwatch::command::Exit;
use potwatch::plan::why::wire::WhyFile;
use program::{check_schema, here, potwatch};

fn why(step: &str, more: &[&str]) -> (Exit, String, String) {
    let demo = here("assets/demo/party.json").display().to_string();
    let args = ["plan", &demo, "--rounds", "40", "--why", step];
    potwatch(&args.into_iter().chain(more.iter().copied()).collect::<Vec<_>>())
}

#[test]
fn a_step_of_the_demo_is_explained_for_reading() {
    let (exit, out, err) = why("pie/bake", &[]);
    assert_eq!((exit, err.as_str()), (Exit::Done, ""));
    assert!(out.starts_with("Pan pie (bake), 1"), "{out}");
    for part in [
        "\nEarlier by ",
        "\nLater by ",
        "\nWith the rest pushed along: ",
        "\nIf it ends 20 min late\n",
    ] {
        assert!(out.contains(part), "{out}");
    }
    assert!(out.lines().all(|l| l.chars().count() <= 80), "{out}");
    // The same rounds give the same words.
    assert_eq!(why("pie/bake", &[]).1, out);
}

#[test]
fn a_step_of_the_demo_is_explained_for_programs() {
    let (exit, out, _) = why("bake", &["--json"]);
    assert_eq!((exit, out.as_str()), (Exit::Usage, ""), "several dishes are baked");
    let (exit, out, _) = why("dip/blend", &["--json"]);
    assert_eq!(exit, Exit::Done);
    let file: WhyFile = serde_json::from_str(&out).expect("an explanation");
    assert_eq!((file.format.as_str(), file.block.dish.as_str()), ("potwatch why 1", "dip"));
    assert!(file.earlier.free_minutes <= file.earlier.room_minutes);
    assert!(!file.earlier.reasons.is_empty() && !file.later.reasons.is_empty());
    assert!(file.later.room_minutes <= file.slip.minutes);
    assert_eq!(file.late.iter().map(|l| l.minutes).collect::<Vec<_>>(), [5, 10, 20]);
    assert!(file.late.iter().all(|l| l.plan && !l.lines.is_empty()));
}

#[test]
fn a_wrong_step_is_answered_with_the_right_ones() {
    let (exit, out, err) = why("pie/bakke", &[]);
    assert_eq!((exit, out.as_str()), (Exit::Usage, ""));
    assert!(err.contains("Did you mean \"pie/bake\"?") && err.contains("soup/sweat"), "{err}");
    let (exit, _, err) = why("fry", &[]);
    assert_eq!(exit, Exit::Usage);
    assert!(err.contains("fritters/fry/1") && err.contains("Say which."), "{err}");
    let (exit, _, err) = why("pie/bake", &["--problem"]);
    assert_eq!(exit, Exit::Usage, "{err}");
}

#[test]
fn the_checked_in_schema_is_that_of_the_types() {
    check_schema::<WhyFile>("why", "plan_why");
}

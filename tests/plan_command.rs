//! `potwatch plan`: the demo for reading and for programs, and no plan at all.
//!
//! `UPDATE_SCHEMA=1 cargo test --test plan_command` writes the plan's schema anew.

#[path = "support/program.rs"]
mod program;

use potwatch::command::Exit;
use potwatch::plan::Problem;
use potwatch::plan::wire::{PlanFile, TermKind};
use program::{check_schema, here, potwatch};

fn demo() -> String {
    here("assets/demo/party.json").display().to_string()
}

#[test]
fn the_demo_is_printed_for_reading() {
    let (exit, out, err) = potwatch(&["plan", &demo(), "--rounds", "20"]);
    assert_eq!((exit, err.as_str()), (Exit::Done, ""));
    assert!(out.starts_with("Autumn neighbourhood supper, Saturday 24 October 2026\n"), "{out}");
    assert!(out.contains("\nBy clock\n") && out.contains("\nBy station\n"));
    assert!(out.lines().all(|l| l.chars().count() <= 80));
    assert!(out.contains("MAINS to the table"));
    // The same rounds give the same plan.
    assert_eq!(potwatch(&["plan", &demo(), "--rounds", "20"]).1, out);
}

#[test]
fn the_demo_is_printed_whole_for_programs() {
    let (exit, out, _) = potwatch(&["plan", "--json", &demo(), "--rounds", "20"]);
    assert_eq!(exit, Exit::Done);
    let file: PlanFile = serde_json::from_str(&out).expect("a plan");
    assert_eq!(file.format, "potwatch plan 1");
    assert_eq!(file.terms.iter().map(|t| t.amount * t.weight).sum::<i64>(), file.cost.total);
    assert!(file.bound <= file.cost.total);
    assert!(file.terms.iter().any(|t| t.kind == TermKind::Hours));
    // A reader that knows nothing of the program: no slot is had by two at a time.
    for (i, a) in file.steps.iter().enumerate() {
        for b in &file.steps[i + 1..] {
            let meet = a.start_minute.max(b.start_minute) < a.end_minute.min(b.end_minute);
            let same = a.station == b.station && a.slots.iter().any(|s| b.slots.contains(s));
            assert!(!(meet && same), "{}/{} and {}/{}", a.dish, a.step, b.dish, b.step);
        }
    }
}

#[test]
fn the_problem_is_printed_for_other_solvers() {
    let (exit, out, _) = potwatch(&["plan", "--problem", &demo()]);
    assert_eq!(exit, Exit::Done);
    let problem: Problem = serde_json::from_str(&out).expect("a problem");
    let value: serde_json::Value = serde_json::from_str(&out).expect("json");
    let names = |of: &str| value["names"][of].as_array().expect("a list").len();
    assert_eq!(value["format"], "potwatch problem 1");
    assert_eq!(names("tasks"), problem.tasks.len());
    assert_eq!(names("resources"), problem.resources.len());
    assert_eq!((names("steps"), names("dishes")), (problem.steps.len(), problem.dishes.len()));
}

#[test]
fn no_plan_has_its_exit_code_and_its_words() {
    let text = std::fs::read_to_string(demo()).expect("the demo");
    let mut party: serde_json::Value = serde_json::from_str(&text).expect("json");
    party["cooks"][0]["free"] = serde_json::json!([{"from": "17:00", "to": "17:30"}]);
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("short.json");
    std::fs::write(&path, party.to_string()).expect("written");
    let (exit, out, err) = potwatch(&["plan", &path.display().to_string(), "--rounds", "5"]);
    assert_eq!((exit, out.as_str()), (Exit::NoPlan, ""), "{err}");
    assert!(err.contains("short.json: there is no plan."), "{err}");
    let (exit, _, err) = potwatch(&["plan", &demo(), "--seconds", "-1"]);
    assert_eq!(exit, Exit::Usage, "{err}");
}

#[test]
fn the_checked_in_schema_is_that_of_the_types() {
    check_schema::<PlanFile>("plan", "plan_command");
}

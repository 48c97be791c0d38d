//! `potwatch sheets`: every format, the same bytes every time, files written whole,
//! and what is said to slips.

#[path = "support/program.rs"]
#[allow(dead_code, reason = "each target uses its part")]
mod program;
#[path = "support/salads.rs"]
mod salads;

use potwatch::command::Exit;
use program::{here, potwatch};
use salads::salads;

/// Of the demo.
fn sheets(more: &[&str]) -> (Exit, String, String) {
    let party = here("assets/demo/party.json").display().to_string();
    of(&party, more)
}

fn of(party: &str, more: &[&str]) -> (Exit, String, String) {
    let mut args = vec!["sheets", party, "--rounds", "1"];
    args.extend(more);
    potwatch(&args)
}

#[test]
fn every_format_is_printed_and_the_same_every_time() {
    let begins = [
        ("text", "Autumn "),
        ("html", "<!DOCTYPE html>\n<html lang=\"en\">"),
        ("svg", "<svg xmlns=\"http://www.w3.org/2000/svg\""),
        ("ics", "BEGIN:VCALENDAR\r\nVERSION:2.0\r\n"),
    ];
    for (format, begin) in begins {
        let (exit, out, err) = sheets(&["--format", format]);
        assert_eq!(exit, Exit::Done, "{err}");
        assert!(out.starts_with(begin), "{format}: {}", &out[..200]);
        // Each takes a plan of the demo: one is made twice.
        if format == "html" {
            assert_eq!(out, sheets(&["--format", format]).1, "{format}");
        }
    }
}

#[test]
fn some_of_the_sheets_and_names_that_are_none() {
    let (_folder, party) = salads("19:00");
    let (exit, out, _) = of(&party, &["--sheet", "labels", "--sheet", "serving-dishes"]);
    assert_eq!(exit, Exit::Done);
    assert!(out.contains("\nServing dishes\n====") && out.contains("\nLabels\n===="));
    assert!(!out.contains("\nRun sheet\n===="));
    let (exit, lists, _) =
        of(&party, &["--sheet", "shopping", "--sheet", "mise", "--sheet", "trays"]);
    assert_eq!(exit, Exit::Done);
    for title in ["Shopping list", "Knife work and measuring", "Trays"] {
        assert!(lists.contains(&format!("\n{title}\n====")), "{title}: {lists}");
    }
    let (exit, out, err) = of(&party, &["--sheet", "lables"]);
    assert_eq!((exit, out.as_str()), (Exit::Usage, ""));
    assert!(
        err.contains("--sheet lables: there are shopping, mise, trays, chart, run-sheet,"),
        "{err}"
    );
    let (exit, _, err) = of(&party, &["--sheet", "labels", "--format", "ics"]);
    assert_eq!(exit, Exit::Usage);
    assert!(err.contains("--sheet goes with text and html"), "{err}");
}

#[test]
fn a_file_that_is_there_stays_until_it_may_be_replaced() {
    let (folder, party) = salads("19:00");
    let path = folder.path().join("all.html");
    let out = path.display().to_string();
    std::fs::write(&path, "mine").expect("written");
    let (exit, _, err) = of(&party, &["--format", "html", "--out", &out]);
    assert_eq!(exit, Exit::Failed);
    assert!(err.contains("--replace"), "{err}");
    assert_eq!(std::fs::read_to_string(&path).expect("read"), "mine");
    let (exit, printed, err) = of(&party, &["--format", "html", "--out", &out, "--replace"]);
    assert_eq!((exit, printed.as_str()), (Exit::Done, ""), "{err}");
    assert!(std::fs::read_to_string(&path).expect("read").ends_with("</html>\n"));
    let (exit, _, err) =
        of(&party, &["--out", &folder.path().join("no/where.txt").display().to_string()]);
    assert_eq!(exit, Exit::Failed);
    assert!(err.contains("where.txt"), "{err}");
}

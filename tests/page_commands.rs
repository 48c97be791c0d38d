//! Each page by command: golden texts, and JSON that its schema takes.
//!
//! `UPDATE_SCHEMA=1 cargo test --test page_commands` writes the schemas anew,
//! `INSTA_UPDATE=always` the golden texts.

#[path = "support/past.rs"]
mod past;
#[allow(dead_code, reason = "each target uses its part")]
#[path = "support/program.rs"]
mod program;

use past::Past;
use potwatch::command::Exit;
use potwatch::pages::{ahead, alarms, guests, holding, menu, now, serving, settings, shelf};
use program::{check_schema, here, potwatch};
use serde::de::DeserializeOwned;

fn demo() -> String {
    here("assets/demo/party.json").display().to_string()
}

/// What a command prints of the demo, which lies ahead.
fn ahead_of(command: &str, more: &[&str]) -> String {
    let party = demo();
    let args: Vec<&str> = [command, &party].iter().chain(more).copied().collect();
    let (exit, out, err) = potwatch(&args);
    assert_eq!((exit, err.as_str()), (Exit::Done, ""), "{command}");
    out
}

/// An evening of the demo party that was cooked, with a slow oven.
fn cooked() -> (Past, String) {
    let past = Past::new();
    past.cook(
        "2026-10-03",
        |kind| {
            if kind == potwatch::kitchen::StationKind::Oven { 1.35 } else { 1.0 }
        },
    );
    let party = past.party("2026-10-03", |_| {});
    (past, party)
}

fn of_evening(past: &Past, args: &[&str]) -> String {
    let (exit, out, err) = past.run(args);
    assert_eq!((exit, err.as_str()), (Exit::Done, ""), "{args:?}");
    out
}

fn narrow(text: &str) {
    let wide = text.lines().find(|l| l.chars().count() > 80);
    assert_eq!(wide, None);
}

fn read<T: DeserializeOwned>(text: &str) -> T {
    serde_json::from_str(text).expect("what the schema's type takes")
}

#[test]
fn pages_before_the_evening_read_like_this() {
    for (command, more) in [
        ("menu", &["--rounds", "1"][..]),
        ("guests", &[]),
        ("serving", &["--rounds", "1"]),
        ("ahead", &["--rounds", "1"]),
    ] {
        let text = ahead_of(command, more);
        narrow(&text);
        insta::assert_snapshot!(format!("command_{command}"), text);
    }
}

#[test]
fn pages_of_an_evening_read_like_this() {
    let (past, party) = cooked();
    for command in ["now", "holding", "alarms"] {
        for at in ["17:00", "19:10"] {
            let text = of_evening(&past, &[command, &party, "--at", at]);
            narrow(&text);
            let name = format!("command_{command}_{}", at.replace(':', ""));
            insta::assert_snapshot!(name, text);
        }
    }
}

/// What was cooked is no more at risk: the forecast looks ahead from how the evening stands.
#[test]
fn the_menu_of_an_evening_that_was_cooked_fears_for_nothing() {
    let (past, party) = cooked();
    let (exit, out, err) = past.run(&["menu", &party, "--json"]);
    assert_eq!(exit, Exit::Done, "{err}");
    let menu: menu::MenuPage = read(&out);
    let ahead: menu::MenuPage = read(&ahead_of("menu", &["--rounds", "1", "--json"]));
    let risks = |menu: &menu::MenuPage| {
        menu.remarks.iter().filter(|r| r.words.contains("on time on")).cloned().collect::<Vec<_>>()
    };
    assert!(!risks(&ahead).is_empty(), "{:?}", ahead.remarks);
    assert!(risks(&menu).is_empty(), "{:?}", menu.remarks);
    // By its plan a service was on time: looked at from before, it would have odds.
    assert!(menu.remarks.iter().any(|r| r.words.starts_with("The kitchen carries it")));
}

#[test]
fn the_shelf_reads_like_this() {
    let (exit, text, err) = potwatch(&["shelf"]);
    assert_eq!((exit, err.as_str()), (Exit::Done, ""));
    narrow(&text);
    insta::assert_snapshot!("command_shelf", text);
}

#[test]
fn settings_are_shown_set_and_taken_back() {
    let (exit, text, err) = potwatch(&["settings"]);
    assert_eq!((exit, err.as_str()), (Exit::Done, ""));
    narrow(&text);
    let temp = std::env::temp_dir().display().to_string();
    insta::assert_snapshot!("command_settings", text.replace(temp.trim_end_matches('/'), "TEMP"));
    let past = Past::new();
    let home = past.home().display().to_string();
    let set = |args: &[&str]| of_evening(&past, &[&["settings"], args].concat());
    set(&["degrees", "fahrenheit"]);
    set(&["sound_notices", "no"]);
    set(&["distance_m", "3"]);
    set(&["guidance", "uk"]);
    set(&["colours", "no colours"]);
    let one = set(&["on_alarm", "/usr/bin/lamp", "--words", "it's \"red\""]);
    narrow(&one);
    insta::assert_snapshot!("command_settings_one", one.replace(&home, "HOME"));
    set(&["keep_awake", "no"]);
    set(&["keep_awake", "usual"]);
    let page: settings::SettingsPage = read(&set(&["--json"]));
    assert_eq!(page.format, settings::SETTINGS_FORMAT);
    assert_eq!(page.silent, ["notice"]);
    let value = |name: &str| {
        let found = page.settings.iter().find(|s| s.name == name);
        found.expect("a setting").value.clone().unwrap_or_default()
    };
    assert_eq!(value("degrees"), "fahrenheit");
    assert_eq!(value("distance_m"), 3);
    assert_eq!(value("colours"), "none");
    assert_eq!(value("guidance"), "uk");
    assert!(value("keep_awake").is_null());
    assert_eq!(value("on_alarm")[2], "it's \"red\"");
    for (args, says) in [
        (["distance_m", "10"], "Write a whole number from 1 to 9"),
        (["guidance", "mars"], "It can be us_consumer, "),
        (["guidence", "uk"], "did you mean guidance?"),
        (["sound_urgent", "loud"], "It can be yes, no, or usual"),
    ] {
        let (exit, _, err) = past.run(&[&["settings"], &args[..]].concat());
        assert!(exit == Exit::Usage && err.contains(says), "{err}");
    }
    let shelf: shelf::ShelfPage = read(&of_evening(&past, &["shelf", "--json"]));
    assert_eq!(shelf.settings.all, page.settings);
}

#[test]
fn a_new_party_begins_with_the_guidance_that_is_set() {
    let past = Past::new();
    of_evening(&past, &["settings", "guidance", "uk"]);
    let guidance_of = |more: &[&str]| {
        let file = format!("{}/../new.json", past.home().display());
        let args = [
            "party",
            "new",
            "--dish",
            "bean-dip",
            "--day",
            "2099-10-03",
            "--service",
            "mains=18:00",
            "--guests",
            "8",
            "--cook",
            "Ada=12:00-20:00",
            "--out",
            &file,
        ];
        let (exit, _, err) = past.run(&[&args[..], more].concat());
        assert_eq!(exit, Exit::Done, "{err}");
        let text = std::fs::read_to_string(&file).expect("written");
        std::fs::remove_file(&file).expect("taken away");
        read::<serde_json::Value>(&text)["guidance"].clone()
    };
    assert_eq!(guidance_of(&[]), "uk");
    assert_eq!(guidance_of(&["--guidance", "canada"]), "canada");
}

#[test]
fn a_settings_file_that_cannot_be_understood_is_told_of_and_kept() {
    let past = Past::new();
    of_evening(&past, &["settings", "comma", "yes"]);
    let file = format!("{}/config/settings.json", past.home().display());
    std::fs::write(&file, "{\"guidance\": \"mars\"}").expect("written");
    let text = of_evening(&past, &["settings"]);
    assert!(text.contains("there is no guidance \"mars\""), "{text}");
    let (exit, _, err) = past.run(&["settings", "comma", "no"]);
    assert!(exit == Exit::Failed && err.contains("nothing was written"), "{err}");
    assert_eq!(std::fs::read_to_string(&file).expect("there"), "{\"guidance\": \"mars\"}");
}

#[test]
fn what_is_printed_for_programs_is_whole_and_says_its_format() {
    let (past, party) = cooked();
    let json = |command: &str| of_evening(&past, &[command, &party, "--json", "--at", "19:10"]);
    let now: now::NowPage = read(&json("now"));
    assert!(now.format == now::NOW_FORMAT && now.planned && !now.services.is_empty());
    let holding: holding::HoldingPage = read(&json("holding"));
    assert_eq!(
        (holding.format.as_str(), holding.now.clock.as_str()),
        ("potwatch holding 1", "19:10")
    );
    assert!(!holding.holding.is_empty(), "nothing waits in the middle of a supper");
    let alarms: alarms::AlarmsPage = read(&json("alarms"));
    assert_eq!(alarms.format, alarms::ALARMS_FORMAT);
    let menu: menu::MenuPage = read(&ahead_of("menu", &["--rounds", "1", "--json"]));
    assert_eq!((menu.format.as_str(), menu.dishes.len()), (menu::MENU_FORMAT, 9));
    let guests: guests::GuestsPage = read(&ahead_of("guests", &["--json"]));
    assert!(guests.format == guests::GUESTS_FORMAT && guests.guests[0].dishes.len() == 9);
    let serving: serving::ServingPage = read(&ahead_of("serving", &["--rounds", "1", "--json"]));
    assert_eq!((serving.format.as_str(), serving.dishes.len()), (serving::SERVING_FORMAT, 9));
    let made: ahead::AheadPage = read(&ahead_of("ahead", &["--rounds", "1", "--json"]));
    assert_eq!((made.format.as_str(), made.dishes.len()), (ahead::AHEAD_FORMAT, 9));
    let shelf: shelf::ShelfPage = read(&potwatch(&["shelf", "--json"]).1);
    assert!(shelf.format == shelf::SHELF_FORMAT && shelf.recipes.len() > 40);
    let sheets: potwatch::paper::wire::SheetsFile =
        read(&ahead_of("sheets", &["--rounds", "1", "--json"]));
    assert!(sheets.format == "potwatch sheets 1" && sheets.sheets.len() > 4);
    let log: potwatch::run::food_log::wire::LogFile =
        read(&of_evening(&past, &["log", &party, "--json"]));
    assert!(log.format == "potwatch log 1" && !log.rows.is_empty() && !log.sources.is_empty());
}

#[test]
fn an_evening_that_nobody_began_has_empty_pages_and_says_so() {
    let past = Past::new();
    let party = past.party("2099-10-03", |_| {});
    for (command, says) in [
        ("now", "It was not opened yet"),
        ("holding", "No finished dish waits"),
        ("alarms", "No alarms."),
    ] {
        let (exit, out, err) = past.run(&[command, &party]);
        assert_eq!(exit, Exit::Done);
        assert!(out.contains(says), "{out}");
        assert!(err.contains("nothing was marked yet"), "{err}");
    }
    // One whose day is past is no evening at all.
    let over = past.party("2020-10-03", |_| {});
    let (exit, out, err) = past.run(&["alarms", &over]);
    assert_eq!((exit, out.as_str()), (Exit::WrongFile, ""));
    assert!(err.contains("is past and nothing of it was cooked here"), "{err}");
    let (exit, _, err) = past.run(&["now", &party, "--at", "noon"]);
    assert!(exit == Exit::Usage && err.contains("--at: \"noon\" is not a time"), "{err}");
    let (exit, _, err) = past.run(&["holding", "no-such-party.json"]);
    assert!(exit == Exit::WrongFile && err.contains("no-such-party.json"), "{err}");
}

#[test]
fn schemas_are_those_of_the_types() {
    check_schema::<now::NowPage>("now", "page_commands");
    check_schema::<holding::HoldingPage>("holding", "page_commands");
    check_schema::<alarms::AlarmsPage>("alarms", "page_commands");
    check_schema::<menu::MenuPage>("menu", "page_commands");
    check_schema::<guests::GuestsPage>("guests", "page_commands");
    check_schema::<serving::ServingPage>("serving", "page_commands");
    check_schema::<ahead::AheadPage>("ahead", "page_commands");
    check_schema::<shelf::ShelfPage>("shelf", "page_commands");
    check_schema::<settings::SettingsPage>("settings", "page_commands");
    check_schema::<potwatch::paper::wire::SheetsFile>("sheets", "page_commands");
    check_schema::<potwatch::run::food_log::wire::LogFile>("log", "page_commands");
    check_schema::<potwatch::bring::wire_found::FoundEntry>("found", "page_commands");
}

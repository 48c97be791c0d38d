//! The command line: what it prints where, and how it ends.

mod support;

use std::fs;
use std::path::Path;
use std::process::{Command, Output, Stdio};

use potwatch::command::{Exit, Streams, run_with};
use potwatch::store::load::load_party;
use potwatch::store::shelf;
use support::{BASE, changed};

fn potwatch(folder: &Path, args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_potwatch"))
        .args(args)
        .current_dir(folder)
        .env("POTWATCH_HOME", std::env::temp_dir().join("potwatch-nobody"))
        .stdin(Stdio::null())
        .output()
        .expect("it runs")
}

/// Exit code, stdout, stderr.
fn ran(folder: &Path, args: &[&str]) -> (i32, String, String) {
    let output = potwatch(folder, args);
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("UTF-8");
    (output.status.code().expect("a code"), text(output.stdout), text(output.stderr))
}

fn folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().expect("a folder");
    fs::write(folder.path().join("party.json"), BASE).expect("written");
    folder
}

const NEW: [&str; 11] = [
    "party",
    "new",
    "--title",
    "Ada's supper",
    "--day",
    "2026-11-28",
    "--service",
    "starters=18:00",
    "--service",
    "mains=19:30",
    "--guests",
];

#[test]
fn help_names_every_exit_code() {
    let folder = folder();
    let (code, out, err) = ran(folder.path(), &["--help"]);
    assert_eq!((code, err.as_str()), (0, ""));
    for exit in [
        Exit::Done,
        Exit::Failed,
        Exit::Usage,
        Exit::WrongFile,
        Exit::NoPlan,
        Exit::Damaged,
        Exit::AlreadyOpen,
    ] {
        assert!(out.contains(&format!("{} ", exit.code())), "{exit:?}");
    }
    assert!(out.contains("128+n"));
    assert_eq!(Exit::Signal(15).code(), 143);
    assert_eq!(Exit::Signal(255).code(), 255);
    let (code, out, _) = ran(folder.path(), &["--version"]);
    assert_eq!((code, out), (0, format!("potwatch {}\n", env!("CARGO_PKG_VERSION"))));
}

#[test]
fn wrong_use_ends_with_2() {
    let folder = folder();
    for args in [
        &["--nonsense"][..],
        &["check"],
        &["plan"],
        &["party"],
        &["party", "new"],
        &["schema", "menu"],
        &["plan", "a.json", "b.json"],
        &["party.json", "--json"],
        &["party", "new", "--day", "someday"],
        &["party", "new", "--dish", "pie:0"],
        &["party", "new", "--guests", "0"],
    ] {
        let (code, out, err) = ran(folder.path(), args);
        assert_eq!((code, out.as_str()), (2, ""), "{args:?}");
        assert!(!err.is_empty(), "{args:?}");
    }
    let (_, _, err) = ran(folder.path(), &["party", "new", "--day", "today"]);
    assert_eq!(
        err,
        "potwatch: a new party needs --service, --dish; see `potwatch party new --help`\n"
    );
}

#[test]
fn a_wrong_file_ends_with_3() {
    let folder = folder();
    let text = changed(|p| p["dishes"][0]["servings"] = 0.into());
    fs::write(folder.path().join("wrong.json"), &text).expect("written");
    let line = 1 + text.lines().position(|l| l.contains("\"servings\": 0")).expect("there");
    let expected = format!("wrong.json:{line}: dishes[0].servings: is 0. Write 1 to 500.\n");
    for args in [&["wrong.json"][..], &["plan", "wrong.json"], &["check", "wrong.json"]] {
        assert_eq!(ran(folder.path(), args), (3, String::new(), expected.clone()), "{args:?}");
    }
    let (code, _, err) = ran(folder.path(), &["partyy.json"]);
    assert_eq!(
        (code, err.as_str()),
        (3, "partyy.json: there is no such file. Did you mean \"party.json\"?\n")
    );
    let (code, _, err) = ran(folder.path(), &["chekc"]);
    assert_eq!(code, 3);
    assert!(err.starts_with("potwatch: did you mean `potwatch check`?\n"), "{err}");
}

#[test]
fn check_tells_all_files_and_sums_up_the_sound_ones() {
    let folder = folder();
    let base = support::base();
    fs::write(folder.path().join("pie.json"), base["dishes"][0]["recipe"].to_string())
        .expect("written");
    fs::write(folder.path().join("kitchen.json"), base["kitchen"].to_string()).expect("written");
    fs::write(folder.path().join("odd.json"), "{\"menu\": []}").expect("written");
    fs::write(folder.path().join("cut.json"), "{\"id\": ").expect("written");
    let (code, out, err) = ran(folder.path(), &["check", "party.json", "pie.json", "kitchen.json"]);
    assert_eq!((code, err.as_str()), (0, ""));
    assert_eq!(
        out,
        "party.json: fine. Test supper: 2 dishes, 4 steps, 8 guests; Starters at 18:00, Mains at 19:00.\n\
         pie.json: fine. Leek pie: 8 servings, 2 steps.\n\
         kitchen.json: fine. Test kitchen: 5 stations with 12 slots, 1 piece of cookware.\n"
    );
    let all = ["check", "odd.json", "cut.json", "pie.json", "none.json"];
    let (code, out, err) = ran(folder.path(), &all);
    assert_eq!((code, out.as_str()), (3, "pie.json: fine. Leek pie: 8 servings, 2 steps.\n"));
    assert_eq!(
        err,
        "odd.json:1: has no field of a party, a recipe or a kitchen. `potwatch schema party` prints what a party holds.\n\
         cut.json:1:8: the file ends inside what begins on line 1. Add the missing }, or get the rest of the file.\n\
         none.json: there is no such file. Check the name and the folder.\n"
    );
}

#[test]
fn a_party_named_like_a_command_is_given_by_its_path() {
    let folder = folder();
    fs::write(folder.path().join("plan"), "{}").expect("written");
    let (code, _, err) = ran(folder.path(), &["./plan"]);
    assert_eq!(code, 3);
    assert!(err.contains("./plan:1: \"id\" is missing."), "{err}");
}

#[test]
fn schemas_are_printed_by_name() {
    let folder = folder();
    assert_eq!(ran(folder.path(), &["schema"]).1, "party\nrecipe\nkitchen\n");
    let printed = ran(folder.path(), &["schema", "kitchen"]).1;
    let kept = Path::new(env!("CARGO_MANIFEST_DIR")).join("shared/schema/kitchen.schema.json");
    assert_eq!(printed, fs::read_to_string(kept).expect("the schema"));
}

#[cfg(unix)]
#[test]
fn a_reader_that_stops_listening_is_no_failure() {
    let mut child = Command::new(env!("CARGO_BIN_EXE_potwatch"))
        .args(["schema", "party"])
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("it runs");
    drop(child.stdout.take());
    let output = child.wait_with_output().expect("it ends");
    assert_eq!(output.status.code(), Some(0));
    assert_eq!(String::from_utf8_lossy(&output.stderr), "");
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_behind_stdout_ends_with_1() {
    let full = fs::OpenOptions::new().write(true).open("/dev/full").expect("the device");
    let output = Command::new(env!("CARGO_BIN_EXE_potwatch"))
        .args(["schema", "party"])
        .stdout(full)
        .output()
        .expect("it runs");
    assert_eq!(output.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&output.stderr).starts_with("potwatch: "));
}

#[test]
fn the_shelf_is_listed() {
    let folder = folder();
    let (code, out, _) = ran(folder.path(), &["party", "new", "--list"]);
    assert_eq!(code, 0);
    for (id, _) in shelf::RECIPES.iter().chain(shelf::KITCHENS) {
        assert!(out.lines().any(|l| l.split_whitespace().next() == Some(id)), "{id}");
    }
}

#[test]
fn a_party_is_made_by_flags() {
    let folder = folder();
    let mut args = NEW.to_vec();
    args.extend([
        "6",
        "--cook",
        "Ada=10:00-20:00",
        "--dish",
        "bean-dip",
        "--dish",
        "herb-rice:8",
        "--dish",
        "bean-dip:4:mains",
        "--out",
        "new.json",
    ]);
    let (code, out, err) = ran(folder.path(), &args);
    assert_eq!((code, out.as_str()), (0, ""), "{err}");
    assert_eq!(err, "Wrote new.json. Cook it with `potwatch new.json`.\n");
    let (code, out, _) = ran(folder.path(), &["check", "new.json"]);
    assert_eq!(code, 0);
    assert!(out.starts_with("new.json: fine. Ada's supper: 3 dishes, "), "{out}");
    let evening = load_party(&folder.path().join("new.json")).expect("sound");
    let dishes: Vec<(&str, u32, &str)> = evening
        .party
        .dishes
        .iter()
        .map(|d| (d.id.as_str(), d.servings, d.service.as_str()))
        .collect();
    assert_eq!(
        dishes,
        [("bean-dip", 6, "starters"), ("herb-rice", 8, "mains"), ("bean-dip-2", 4, "mains")]
    );
    assert_eq!(evening.party.id, "ada-s-supper");
    // A file that is there is kept unless --force says otherwise.
    let before = fs::read(folder.path().join("new.json")).expect("there");
    let (code, _, err) = ran(folder.path(), &args);
    assert_eq!(code, 2);
    assert_eq!(
        err,
        "potwatch: new.json is already there; name another file, or replace it with --force\n"
    );
    assert_eq!(fs::read(folder.path().join("new.json")).expect("there"), before);
    args.push("--force");
    assert_eq!(ran(folder.path(), &args).0, 0);
    // Without a file the party goes to stdout.
    args.truncate(args.len() - 3);
    let (code, out, err) = ran(folder.path(), &args);
    assert_eq!((code, err.as_str()), (0, ""));
    assert_eq!(out.as_bytes(), before);
}

#[test]
fn a_party_that_would_not_be_sound_is_not_written() {
    let folder = folder();
    let mut args = NEW.to_vec();
    args.extend(["6", "--dish", "bean-dop", "--kitchen", "home", "--out", "new.json"]);
    let (code, out, err) = ran(folder.path(), &args);
    assert_eq!((code, out.as_str()), (2, ""));
    assert!(
        err.contains(
            "dishes[0].recipe: there is no recipe \"bean-dop\". Did you mean \"bean-dip\"?\n"
        ),
        "{err}"
    );
    assert!(
        err.ends_with("potwatch: this would be no sound party; nothing was written\n"),
        "{err}"
    );
    assert_eq!(fs::read_dir(folder.path()).expect("the folder").count(), 1);
}

#[test]
fn a_recipe_of_ones_own_is_found_from_another_folder() {
    let folder = folder();
    fs::create_dir(folder.path().join("parties")).expect("made");
    let recipe = support::base()["dishes"][1]["recipe"].to_string();
    fs::write(folder.path().join("stew.json"), recipe).expect("written");
    let mut args = NEW.to_vec();
    args.extend(["6", "--dish", "stew.json", "--out", "parties/new.json"]);
    let (code, _, err) = ran(folder.path(), &args);
    assert_eq!(code, 0, "{err}");
    let evening = load_party(&folder.path().join("parties/new.json")).expect("sound");
    assert_eq!(evening.sheets[0].recipe.id, "bean-stew");
}

/// The questions, with answers as from a terminal: exit code and what was said.
fn asked(answers: &str, args: &[&str]) -> (Exit, String, String) {
    let (mut out, mut err) = (Vec::new(), Vec::new());
    let mut input = answers.as_bytes();
    let mut streams =
        Streams { out: &mut out, err: &mut err, input: &mut input, asks: true, var: &|_| None };
    let args = ["potwatch"].iter().chain(args).map(Into::into);
    let exit = run_with(args, &mut streams);
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("UTF-8");
    (exit, text(out), text(err))
}

#[test]
fn a_party_is_made_by_questions() {
    let folder = folder();
    let out = folder.path().join("asked.json");
    let first = shelf::RECIPES.iter().position(|r| r.0 == "bean-dip").expect("listed");
    assert_eq!(first, 2);
    // Wrong answers are asked again: a day, a number of guests, dishes.
    let answers = format!(
        "\nsomeday\n2026-12-05\nmany\n10\n\n99\nbean-dop\n1:8 herb-rice\n\n\n\nuke\nuk\n{}\n",
        out.display()
    );
    let (exit, said, err) = asked(&answers, &["party", "new"]);
    assert_eq!((exit, said.as_str()), (Exit::Done, ""), "{err}");
    for line in [
        "What is it called? [Supper]",
        "  write a day as 2026-11-25, today or tomorrow",
        "Whose food safety guidance counts? us_consumer, us_food_code_2022, uk, australia, \
         new_zealand, canada [us_consumer]",
        "  there is no guidance \"uke\". Did you mean \"uk\"?",
        "  write a number from 1 to 500",
        "When does food go to the table? [starters 18:00, mains 19:00]",
        "  there is no dish \"bean-dop\". Did you mean \"bean-dip\"?",
        "When are they free? [12:00-20:00]",
    ] {
        assert!(err.contains(line), "{line} in {err}");
    }
    assert!(err.contains("  there is no dish 99; write 1 to "), "{err}");
    let evening = load_party(&out).expect("sound");
    assert_eq!(evening.party.title, "Supper");
    assert_eq!(evening.party.dishes[0].servings, 8);
    assert_eq!(evening.party.dishes[1].servings, 10);
    assert_eq!(evening.party.services.len(), 2);
}

#[test]
fn answers_that_end_early_leave_nothing() {
    let folder = folder();
    let out = folder.path().join("asked.json").display().to_string();
    let answers = "Supper\n2026-12-05\n10\n\n1\nAda\n\nhome";
    for cut in 0..answers.len() {
        let (exit, _, err) = asked(&answers[..cut], &["party", "new", "--out", &out]);
        assert_eq!(exit, Exit::Failed, "{cut}");
        assert!(err.ends_with("potwatch: the answers ended; nothing was written\n"), "{err}");
    }
    assert_eq!(fs::read_dir(folder.path()).expect("the folder").count(), 1);
}

#[test]
fn guidance_is_chosen_by_its_id_and_a_slip_is_named() {
    let folder = folder();
    let out = folder.path().join("supper.json");
    let path = out.display().to_string();
    let flags = ["party", "new", "--day", "2026-12-05", "--service", "mains=19:00"];
    let rest = |guidance| ["--dish", "herb-rice:8", "--guidance", guidance, "--out", &path];
    let (exit, _, err) = asked("", &[&flags[..], &rest("candada")].concat());
    assert_eq!(exit, Exit::Usage);
    assert!(err.contains("Did you mean \"canada\"?"), "{err}");
    let (exit, _, err) = asked("", &[&flags[..], &rest("canada")].concat());
    assert_eq!(exit, Exit::Done, "{err}");
    let text = std::fs::read_to_string(&out).expect("written");
    assert!(text.contains("\"guidance\": \"canada\""), "{text}");
    // Of an evening that was not cooked there is no log.
    let (exit, said, err) = asked("", &["log", &path]);
    assert_eq!((exit, said.as_str()), (Exit::WrongFile, ""));
    assert!(err.contains("nothing was marked of"), "{err}");
}

#[test]
fn answers_that_lead_nowhere_are_given_back() {
    let folder = folder();
    let out = folder.path().join("asked.json").display().to_string();
    let answers = "\n2026-12-05\n400\n\norchard-pork\n\n\n\n\n";
    let (exit, _, err) = asked(answers, &["party", "new", "--out", &out]);
    assert_eq!(exit, Exit::Usage);
    assert!(err.contains("cannot be done in this kitchen"), "{err}");
    assert!(
        err.contains("Your answers again: potwatch party new --title Supper --day 2026-12-05 --service starters=18:00 --service mains=19:00 --dish orchard-pork:400 --guests 400 --cook Cook=12:00-20:00 --kitchen home --out "),
        "{err}"
    );
}

/// Names in other letters make no id: each gets one of its own, and a dish finds its service by name.
#[test]
fn services_and_cooks_may_be_named_in_any_letters() {
    let folder = folder();
    let new = ["party", "new", "--day", "2026-11-28", "--dish", "beef-joint:8:ужин"];
    let of = |services: [&str; 2], cooks: [&str; 2]| {
        let mut args = new.to_vec();
        services.iter().for_each(|s| args.extend(["--service", s]));
        cooks.iter().for_each(|c| args.extend(["--cook", c]));
        ran(folder.path(), &args)
    };
    let (code, out, err) = of(["обед=13:00", "Ужин=19:00"], ["Ия=08:00-20:00", "Юля=08:00-20:00"]);
    assert_eq!(code, 0, "{err}");
    let party: serde_json::Value = serde_json::from_str(&out).expect("JSON");
    assert_eq!(party["services"][1]["id"], party["dishes"][0]["service"]);
    // The same name twice is a slip.
    let (code, out, _) = of(["ужин=13:00", "ужин=19:00"], ["A=08:00-20:00", "B=08:00-20:00"]);
    assert_eq!((code, out.as_str()), (2, ""));
}

#[test]
fn what_an_option_asks_for_is_printed_or_refused() {
    let folder = folder();
    for format in ["csv", "html", "markdown"] {
        let args = ["shopping", "party.json", "--figures", "--format", format];
        let (code, out, why) = ran(folder.path(), &args);
        assert_eq!((code, out.as_str()), (2, ""), "{format}");
        assert!(why.contains("--figures goes with text"), "{why}");
    }
    for more in [&["--figures"][..], &["--figures", "--json"]] {
        let args = [&["shopping", "party.json"], more].concat();
        assert_eq!(ran(folder.path(), &args).0, 0, "{more:?}");
    }
}

#[test]
fn the_manual_page_and_completions_know_every_command() {
    let folder = folder();
    let (code, page, _) = ran(folder.path(), &["manual"]);
    assert_eq!(code, 0);
    assert!(page.contains(".TH potwatch 1"), "{page:.200}");
    let (code, of_plan, _) = ran(folder.path(), &["manual", "plan"]);
    assert_eq!(code, 0);
    assert!(of_plan.contains("what\\-if"), "{of_plan:.2000}");
    let (code, _, why) = ran(folder.path(), &["manual", "lunch"]);
    assert_eq!(code, 2);
    assert!(why.contains("no command is named `lunch`; there are: plan, check"), "{why}");
    for shell in ["bash", "zsh", "fish", "elvish", "powershell"] {
        let (code, text, _) = ran(folder.path(), &["completions", shell]);
        assert_eq!(code, 0);
        for command in ["plan", "check", "rehearse", "tell", "completions"] {
            assert!(text.contains(command), "{command} in {shell}");
            assert!(page.contains(command), "{command} in the manual");
        }
    }
}

/// What bash is given is sound to bash itself.
#[test]
fn bash_reads_what_it_is_given() {
    let folder = folder();
    let script = folder.path().join("complete.bash");
    fs::write(&script, ran(folder.path(), &["completions", "bash"]).1).expect("written");
    let Ok(read) = Command::new("bash").arg("-n").arg(&script).output() else {
        println!("skipped: bash is not on this computer");
        return;
    };
    assert!(read.status.success(), "{}", String::from_utf8_lossy(&read.stderr));
}

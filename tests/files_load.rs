//! Loading a party: every name resolved, every file of it checked at once.

mod support;

use std::fs;
use std::path::Path;

use potwatch::kitchen::{Clockface, Party, Sourced};
use potwatch::store::load::{Loaded, load_builtin, load_party, load_party_by};
use potwatch::store::read::{LARGEST, Problems, text_of};
use serde_json::{Value, json};
use support::base;

fn face() -> Clockface {
    Clockface::fixed("2026-11-25".parse().expect("a day"), 0)
}

fn load(path: &Path) -> Result<Loaded, Problems> {
    load_party_by(path, |day| Clockface::fixed(day, 0))
}

/// The problems of a party file in `folder`, without the folder in their words.
fn told(folder: &Path, name: &str) -> String {
    let problems = load(&folder.join(name)).expect_err("wrong");
    problems.to_string().replace(&format!("{}/", folder.display()), "")
}

/// The number of the first line of a file that holds `text`.
fn line(folder: &Path, name: &str, text: &str) -> usize {
    let file = fs::read_to_string(folder.join(name)).expect("readable");
    1 + file.lines().position(|l| l.contains(text)).unwrap_or_else(|| panic!("{text} in {file}"))
}

/// A folder with the base party in three files.
fn three_files() -> (tempfile::TempDir, Value) {
    let folder = tempfile::tempdir().expect("a folder");
    let mut party = base();
    let write = |name: &str, value: &Value| {
        fs::write(folder.path().join(name), format!("{value:#}")).expect("written");
    };
    fs::create_dir(folder.path().join("mine")).expect("made");
    write("mine/pie.json", &party["dishes"][0]["recipe"]);
    write("kitchen.json", &party["kitchen"]);
    party["dishes"][0]["recipe"] = json!("mine/pie.json");
    party["kitchen"] = json!("kitchen.json");
    write("party.json", &party);
    (folder, party)
}

#[test]
fn the_demo_party_is_sound() {
    let evening = load_builtin(face()).unwrap_or_else(|wrong| panic!("{wrong}"));
    assert_eq!(evening.party.day, face().day);
    assert_eq!(evening.sheets.len(), evening.party.dishes.len());
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("assets/demo/party.json");
    let loaded = load(&path).expect("sound");
    assert_eq!(loaded.notes.to_string(), "");
}

#[test]
fn names_stand_for_files_beside_the_party_or_for_the_shelf() {
    let (folder, mut party) = three_files();
    let evening = load_party(&folder.path().join("party.json")).expect("sound");
    let inline: Party = serde_json::from_value(base()).expect("a party");
    let Sourced::Inline(pie) = &inline.dishes[0].recipe else { panic!("inline") };
    assert_eq!(evening.sheets[0].recipe, **pie);
    party["kitchen"] = json!("home");
    party["dishes"][1]["recipe"] = json!("bean-dip");
    party["dishes"].as_array_mut().expect("dishes").remove(0);
    fs::write(folder.path().join("shelf.json"), party.to_string()).expect("written");
    let loaded = load(&folder.path().join("shelf.json")).expect("sound");
    assert_eq!(loaded.evening.kitchen.id, "home");
    assert_eq!(loaded.evening.sheets[0].recipe.id, "bean-dip");
    assert!(loaded.notes.to_string().contains("no dish belongs to it"), "{}", loaded.notes);
    assert!(!loaded.notes.any_wrong());
}

#[test]
fn a_name_that_stands_for_nothing_is_told_where_it_is_named() {
    let (folder, mut party) = three_files();
    party["dishes"][0]["recipe"] = json!("mine/pi.json");
    party["dishes"][1]["recipe"] = json!("bean-dipp");
    party["kitchen"] = json!("castle");
    fs::write(folder.path().join("a.json"), format!("{party:#}")).expect("written");
    let at = |text| line(folder.path(), "a.json", text);
    let (pie, dip, castle) = (at("mine/pi.json"), at("bean-dipp"), at("castle"));
    assert_eq!(
        told(folder.path(), "a.json"),
        format!(
            "a.json:{pie}: dishes[0].recipe: mine/pi.json: there is no such file. Did you mean \"mine/pie.json\"?\n\
         a.json:{dip}: dishes[1].recipe: there is no built-in recipe \"bean-dipp\". Did you mean \"bean-dip\"?\n\
         a.json:{castle}: kitchen: there is no built-in kitchen \"castle\". Known are flat, garden-kitchen, home, parish-hall. A file of your own is named by its path: \"mine/castle.json\"."
        )
    );
    party["dishes"][0]["recipe"] = json!("mine");
    party["dishes"][1]["recipe"] = json!("mine/");
    party["kitchen"] = json!("kitchen");
    fs::write(folder.path().join("a.json"), format!("{party:#}")).expect("written");
    let told = told(folder.path(), "a.json");
    assert!(told.contains("there is no built-in recipe \"mine\"."), "{told}");
    assert!(
        told.contains("dishes[1].recipe: mine/: is a folder, not a file. Name a file in it."),
        "{told}"
    );
    assert!(told.contains("there is no built-in kitchen \"kitchen\". For the file beside the party write \"kitchen.json\"."), "{told}");
}

/// What is wrong in a file is told in that file, once, even if two dishes name it.
#[test]
fn every_file_is_told_at_once() {
    let (folder, mut party) = three_files();
    let mut pie = base()["dishes"][0]["recipe"].clone();
    pie["serving"] = json!(8);
    fs::write(folder.path().join("mine/pie.json"), format!("{pie:#}")).expect("written");
    fs::write(folder.path().join("kitchen.json"), "{\n\"id\": oven\n}").expect("written");
    // The party's own structure is wrong as well.
    party["dishes"][1]["recipe"] = json!("mine/pie.json");
    party["titel"] = json!("x");
    fs::write(folder.path().join("a.json"), format!("{party:#}")).expect("written");
    let titel = line(folder.path(), "a.json", "titel");
    let serving = line(folder.path(), "mine/pie.json", "\"serving\"");
    assert_eq!(
        told(folder.path(), "a.json"),
        format!(
            "a.json:{titel}: titel: is not a known field. Did you mean \"title\"?\n\
         kitchen.json:2:7: the word oven stands without quotation marks. Write \"oven\".\n\
         mine/pie.json:{serving}: serving: is not a known field. Did you mean \"servings\"?"
        )
    );
    // What a sound structure means is told in the same way, and of what could be read.
    pie = base()["dishes"][0]["recipe"].clone();
    pie["servings"] = json!(0);
    fs::write(folder.path().join("mine/pie.json"), format!("{pie:#}")).expect("written");
    party.as_object_mut().expect("a party").remove("titel");
    party["room_c"] = json!(99);
    fs::write(folder.path().join("a.json"), format!("{party:#}")).expect("written");
    let room = line(folder.path(), "a.json", "room_c");
    let servings = line(folder.path(), "mine/pie.json", "\"servings\"");
    assert_eq!(
        told(folder.path(), "a.json"),
        format!(
            "a.json:{room}: room_c: is 99. Write -20 to 50.\n\
         kitchen.json:2:7: the word oven stands without quotation marks. Write \"oven\".\n\
         mine/pie.json:{servings}: servings: is 0. Write 1 to 500."
        )
    );
}

#[test]
fn files_that_cannot_be_read_are_told_in_plain_words() {
    let folder = tempfile::tempdir().expect("a folder");
    let at = |name: &str| folder.path().join(name);
    let told = |name: &str| {
        let problems = text_of(&at(name)).expect_err("unreadable");
        problems.to_string().replace(&format!("{}/", folder.path().display()), "")
    };
    assert_eq!(
        told("party.json"),
        "party.json: there is no such file. Check the name and the folder."
    );
    fs::write(at("partys.json"), "{}").expect("written");
    assert_eq!(
        told("party.json"),
        "party.json: there is no such file. Did you mean \"partys.json\"?"
    );
    fs::create_dir(at("supper")).expect("made");
    assert_eq!(told("supper"), "supper: is a folder, not a file. Name a file in it.");
    fs::write(at("latin.json"), b"{\n\"title\": \"caf\xe9\"}").expect("written");
    assert_eq!(
        told("latin.json"),
        "latin.json:2: is not text in UTF-8. Save it as UTF-8 in your editor."
    );
    let large = fs::File::create(at("large.json")).expect("made");
    large.set_len(LARGEST + 1).expect("grown");
    assert_eq!(
        told("large.json"),
        "large.json: is larger than 5 MB. A party is a few hundred lines; is this the right file?"
    );
    large.set_len(LARGEST).expect("cut");
    assert!(text_of(&at("large.json")).is_ok());
    fs::write(at("mark.json"), "\u{feff}{}").expect("written");
    assert!(text_of(&at("mark.json")).is_ok());
}

#[cfg(unix)]
#[test]
fn what_is_no_plain_file_or_may_not_be_read_is_told() {
    use std::os::unix::fs::PermissionsExt;
    let told = |path: &Path| text_of(path).expect_err("unreadable").to_string();
    assert_eq!(
        told(Path::new("/dev/null")),
        "/dev/null: is not a plain file. Name a JSON file on the disk."
    );
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("a.json");
    fs::write(&path, "{}").expect("written");
    fs::set_permissions(&path, fs::Permissions::from_mode(0o000)).expect("set");
    // Whoever runs the tests may be allowed to read everything.
    if fs::read(&path).is_err() {
        assert!(told(&path).ends_with("may not be read. Give yourself the right to read it."));
    }
}

/// Megabytes in the wrong shape take a fraction of a second; a step that
/// looks at every entry for every entry would take minutes.
#[test]
fn long_files_are_told_quickly() {
    let many = |text: &str, n: usize| vec![text; n].join(",");
    let dish = r#"{"id":"a","servings":1,"service":"mains","recipe":"bean-dip"}"#;
    let service = r#"{"id":"a","title":"A","at":"18:00"}"#;
    let mut wide = base();
    wide["services"] = json!("SERVICES");
    wide["dishes"] = json!("DISHES");
    let wide = wide
        .to_string()
        .replace("\"SERVICES\"", &format!("[{}]", many(service, 20_000)))
        .replace("\"DISHES\"", &format!("[{}]", many(dish, 20_000)));
    let fields: Vec<String> = (0..60_000).map(|i| format!("\"x{i}\":1")).collect();
    let folder = tempfile::tempdir().expect("a folder");
    for text in [wide, format!("{{{}}}", fields.join(","))] {
        let path = folder.path().join("long.json");
        fs::write(&path, text).expect("written");
        let begin = std::time::Instant::now();
        let problems = load(&path).expect_err("wrong");
        assert!(problems.to_string().lines().count() <= Problems::MOST_SHOWN + 1);
        assert!(begin.elapsed().as_secs() < 20, "{:?}", begin.elapsed());
    }
}

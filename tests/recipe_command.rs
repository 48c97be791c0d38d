//! `potwatch recipe`: a text that somebody has becomes a recipe file of proposals,
//! and nothing of it is planned without a mark until it is confirmed.

#[path = "support/program.rs"]
#[allow(dead_code, reason = "each target uses its part")]
mod program;

use potwatch::command::Exit;
use program::potwatch;
use serde_json::{Value, json};

const TEXT: &str = "Leek and barley pot\nServes 8\n\nIngredients\n\
    2 kg leeks, sliced\n250 g barley\n1 l vegetable stock\n\n\
    Method\nSweat the leeks 10 minutes, stirring often.\n\
    Add barley and stock; simmer 40 minutes or until soft.\nServe hot.\n";

/// A folder with the text in it, and the paths of the text and of the recipe to be written.
fn folder() -> (tempfile::TempDir, String, String) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = |name: &str| folder.path().join(name).display().to_string();
    let (text, recipe) = (path("pot.txt"), path("pot.json"));
    std::fs::write(&text, TEXT).expect("written");
    (folder, text, recipe)
}

fn json_of(path: &str) -> Value {
    serde_json::from_str(&std::fs::read_to_string(path).expect("there")).expect("JSON")
}

#[test]
fn a_text_is_written_as_a_recipe_file_and_overwrites_nothing() {
    let (_folder, text, recipe) = folder();
    let (exit, out, err) = potwatch(&["recipe", "read", &text, "--out", &recipe]);
    assert_eq!((exit, out.as_str()), (Exit::Done, ""), "{err}");
    assert!(err.contains("(3 ingredients, 3 steps)") && err.contains("Nothing in it is confirmed"));
    let file = json_of(&recipe);
    assert_eq!(file["title"], "Leek and barley pot");
    assert_eq!(file["ingredients"][0]["line"], "2 kg leeks, sliced");
    let steps = file["steps"].as_array().expect("steps");
    assert!(steps.iter().all(|s| s["unconfirmed"] == true && s["words"].is_string()));
    // A second time it stays as it is, unless that is asked for.
    std::fs::write(&recipe, "mine").expect("written");
    let (exit, _, err) = potwatch(&["recipe", "read", &text, "--out", &recipe]);
    assert_ne!(exit, Exit::Done);
    assert!(err.contains("--replace puts it in its place"), "{err}");
    assert_eq!(std::fs::read_to_string(&recipe).expect("there"), "mine");
    let (exit, _, err) = potwatch(&["recipe", "read", &text, "--out", &recipe, "--replace"]);
    assert_eq!(exit, Exit::Done, "{err}");
    assert_eq!(json_of(&recipe), file);
}

#[test]
fn what_is_not_confirmed_is_marked_wherever_it_is_planned() {
    let (folder, text, recipe) = folder();
    potwatch(&["recipe", "read", &text, "--out", &recipe]);
    let mut file = json_of(&recipe);
    let party = folder.path().join("party.json").display().to_string();
    let plan = |recipe: &Value, more: &[&str]| {
        let whole = json!({
            "id": "supper", "title": "Barley supper", "day": "2099-11-25",
            "services": [{"id": "mains", "title": "Mains", "at": "19:00"}],
            "guests": [],
            "kitchen": "home",
            "dishes": [{"id": "pot", "recipe": recipe, "servings": 8, "service": "mains"}],
            "cooks": [{"id": "ann", "name": "Ann", "free": [{"from": "15:00", "to": "22:00"}]}],
            "guidance": "us_consumer",
        });
        std::fs::write(&party, whole.to_string()).expect("written");
        let mut args = vec!["plan", &party, "--rounds", "1"];
        args.extend(more);
        potwatch(&args)
    };
    let (exit, out, err) = plan(&file, &[]);
    assert_eq!(exit, Exit::Done, "{err}");
    assert!(out.contains("?sweat") && out.contains("?simmer"), "{out}");
    assert!(out.contains("nobody has confirmed it yet"), "{out}");
    let (_, out, _) = plan(&file, &["--json"]);
    let steps: Value = serde_json::from_str(&out).expect("JSON");
    let steps = steps["steps"].as_array().expect("steps");
    assert!(steps.iter().all(|s| s["unconfirmed"] == true), "{out}");
    for list in ["steps", "holds"] {
        for thing in file[list].as_array_mut().expect("a list") {
            thing.as_object_mut().expect("an object").remove("unconfirmed");
        }
    }
    file["safety"].as_object_mut().expect("an object").remove("unconfirmed");
    let (_, out, _) = plan(&file, &[]);
    assert!(!out.contains('?') && !out.contains("confirmed"), "{out}");
}

//! What cannot be right in a party is said plainly where it stands: by the commands
//! and at the field of the form, what it is and what to do.

#[allow(dead_code, reason = "each target uses its part")]
#[path = "support/program.rs"]
mod program;

use chrono::NaiveDate;
use potwatch::command::Exit;
use potwatch::kitchen::Customs;
use potwatch::screen::form::{Known, Paper, Sort, faults};
use potwatch::store::shelf;
use program::{here, potwatch};
use serde_json::{Value, json};

/// The demo's party with something changed.
fn changed(change: impl FnOnce(&mut Value)) -> Value {
    let text = std::fs::read_to_string(here("assets/demo/party.json")).expect("the demo");
    let mut party = serde_json::from_str(&text).expect("JSON");
    change(&mut party);
    party
}

/// The demo's dip, held by the party itself.
fn own_dip(party: &mut Value) -> &mut Value {
    let text = std::fs::read_to_string(here("assets/recipes/bean-dip.json")).expect("the dip");
    let dish = &mut party["dishes"][1];
    dish["recipe"] = serde_json::from_str(&text).expect("JSON");
    &mut dish["recipe"]
}

/// What a command says of a party, its lines joined.
fn said(party: &Value, args: &[&str]) -> (Exit, String) {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("party.json");
    std::fs::write(&path, party.to_string()).expect("written");
    let path = path.display().to_string();
    let args: Vec<&str> = [args[0], &path].into_iter().chain(args[1..].iter().copied()).collect();
    let (exit, out, err) = potwatch(&args);
    let all = format!("{out} {err}");
    (exit, all.split_whitespace().collect::<Vec<_>>().join(" "))
}

#[track_caller]
fn says(party: &Value, args: &[&str], exit: Exit, words: &[&str]) {
    let (was, text) = said(party, args);
    assert_eq!(was, exit, "{text}");
    for word in words {
        assert!(text.contains(word), "{word}:\n{text}");
    }
}

/// What the form says, at which field.
fn at_the_field(party: Value) -> Vec<(String, String)> {
    let today = NaiveDate::from_ymd_opt(2026, 10, 1).expect("a day");
    let mut known = Known::nothing(Customs::default(), today);
    known.recipes = shelf::recipes();
    known.kitchens = shelf::kitchens();
    known.limits = potwatch::safety::hold_limits().to_vec();
    let paper = Paper::new(Sort::Party, None, None, party);
    let faults = faults(&paper, &known).into_iter().filter(|f| f.wrong);
    faults.map(|f| (f.path, format!("{}. {}", f.what, f.remedy))).collect()
}

#[test]
fn a_unit_that_nobody_knows() {
    let party = changed(|p| own_dip(p)["ingredients"][0]["unit"] = json!("fathoms"));
    let place = "dishes[1].recipe.ingredients[0].unit: \"fathoms\" is not a known word here. Known are g, kg";
    says(&party, &["check"], Exit::WrongFile, &[place]);
}

#[test]
fn no_servings_and_too_many_for_the_pan() {
    let party = changed(|p| p["dishes"][0]["servings"] = json!(0));
    let place = "dishes[0].servings: is 0. Write 1 to 500.";
    says(&party, &["check"], Exit::WrongFile, &[place]);
    let told = at_the_field(party);
    assert!(told.iter().any(|(path, _)| path == "dishes[0].servings"), "{told:?}");
    // The home kitchen's oven pan holds 4 l; the pie wants 3.5 l for eight.
    let party = changed(|p| p["dishes"][5]["servings"] = json!(10));
    let words = "it needs an oven pan for 4375 ml and the largest, \"Deep iron pan, 30 cm, ovenproof\", holds 4000 ml: 2 of those would do and there is only 1. Make it for 9 at the most";
    says(&party, &["check"], Exit::WrongFile, &["dishes[5].recipe", words]);
    let told = at_the_field(party);
    assert!(
        told.iter()
            .any(|(path, text)| path.starts_with("dishes[5]") && text.contains("9 at the most")),
        "{told:?}"
    );
}

#[test]
fn an_item_of_which_nobody_knows_the_weight_of_a_cup() {
    let party = changed(|p| {
        let dip = own_dip(p);
        let list = dip["ingredients"].as_array_mut().expect("a list");
        list.push(json!({"item": "moonberry paste", "amount": 2, "unit": "cup"}));
        list.push(json!({"item": "moonberry paste", "amount": 200, "unit": "g"}));
    });
    let words = [
        "[ ] moonberry paste 200 g",
        "[ ] moonberry paste 500 ml",
        "moonberry paste is not in the item table.",
        "moonberry paste has 2 lines: no row of the item table brings",
    ];
    says(&party, &["shopping"], Exit::Done, &words);
}

#[test]
fn a_dish_that_nobody_can_eat() {
    let vegans = json!([{"name": "the vegans", "count": 16, "diets": ["vegan"]}]);
    let party = changed(|p| p["guests"] = vegans);
    let menu =
        ["Too little to choose from for the vegans.", "oat rolls: not for any of the guests."];
    says(&party, &["menu", "--rounds", "1"], Exit::Done, &menu);
    says(&party, &["guests"], Exit::Done, &["0 mains: too little."]);
}

#[test]
fn more_than_the_fridge_holds() {
    let text = std::fs::read_to_string(here("assets/kitchens/home.json")).expect("a kitchen");
    let mut kitchen: Value = serde_json::from_str(&text).expect("JSON");
    for station in kitchen["stations"].as_array_mut().expect("stations") {
        if station["kind"] == "fridge" {
            station["slots"] = json!(1);
        }
    }
    let party = changed(|p| p["kitchen"] = kitchen);
    let words = [
        "Fridge: fullest before anything is taken out, 2 of 1 places, more than it has",
        "More than the fridge holds: 2 places of 1. Borrow room, or a cool box with ice and a thermometer in it.",
    ];
    says(&party, &["trays", "--rounds", "1"], Exit::Done, &words);
}

#[test]
fn what_is_borrowed_like_nothing_that_there_is() {
    let wok = json!([{"what": "cookware", "like": "baking-dsh"}, {"what": "station", "like": "hob", "count": 0}]);
    let party = changed(|p| p["borrowed"] = wok);
    let what = ["the kitchen has no cookware \"baking-dsh\"", "Did you mean \"baking-dish\"?"];
    says(&party, &["check"], Exit::WrongFile, &[what[0], what[1], "borrowed[1].count"]);
    let at = at_the_field(party);
    assert!(at.iter().any(|(path, words)| path == "borrowed[0].like" && words.contains(what[0])));
}

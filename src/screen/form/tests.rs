use chrono::NaiveDate;
use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use serde_json::json;

use super::*;
use crate::kitchen::Customs;
use crate::store::shelf;

fn known() -> Known {
    let today = NaiveDate::from_ymd_opt(2026, 11, 25).unwrap();
    let mut known = Known::nothing(Customs::default(), today);
    known.recipes = shelf::recipes();
    known.kitchens = shelf::kitchens();
    known.limits = crate::safety::hold_limits().to_vec();
    known
}

fn party(known: &Known) -> Form {
    Form::open(Paper::new(Sort::Party, None, None, fresh(Sort::Party, known)), known)
}

/// Keys by their names, letters as they are; `^s` is Ctrl-S.
fn keys(form: &mut Form, known: &Known, keys: &str) -> Asks {
    let mut last = Asks::Nothing;
    for word in keys.split(' ') {
        let (code, ctrl) = match word {
            "enter" => (KeyCode::Enter, false),
            "esc" => (KeyCode::Esc, false),
            "up" => (KeyCode::Up, false),
            "down" => (KeyCode::Down, false),
            "back" => (KeyCode::Backspace, false),
            "right" => (KeyCode::Right, false),
            "left" => (KeyCode::Left, false),
            "^up" => (KeyCode::Up, true),
            word if word.starts_with('^') => {
                (KeyCode::Char(word[1..].chars().next().unwrap()), true)
            }
            word => {
                for c in word.chars() {
                    let c = if c == '_' { ' ' } else { c };
                    last = press(form, &KeyEvent::from(KeyCode::Char(c)), known);
                }
                continue;
            }
        };
        let modifiers = if ctrl { KeyModifiers::CONTROL } else { KeyModifiers::NONE };
        last = press(form, &KeyEvent::new(code, modifiers), known);
    }
    last
}

fn to(form: &mut Form, known: &Known, label: &str) {
    let rows = form.rows(known);
    let at = rows.iter().position(|r| r.label == label || r.text == label);
    form.go(at.unwrap_or_else(|| panic!("no row {label}")), known);
}

#[test]
fn letters_are_text_and_the_file_follows_what_can_be_read() {
    let known = known();
    let mut form = party(&known);
    keys(&mut form, &known, "quiet_night down sat");
    assert_eq!(form.paper.value["title"], "quiet night");
    assert_eq!(form.paper.value["day"], "2026-11-28");
    keys(&mut form, &known, "x");
    assert_eq!(form.paper.value["day"], "2026-11-28", "a day that cannot be read changes nothing");
    assert!(faults(&form.paper, &known).iter().any(|f| f.path == "day" && f.wrong));
    // It cannot be saved so, wherever the focus is.
    assert_eq!(keys(&mut form, &known, "up ^s"), Asks::Nothing);
    assert_eq!(form.paper.typed.get("day").map(String::as_str), Some("satx"));
    keys(&mut form, &known, "down right back");
    assert!(!faults(&form.paper, &known).iter().any(|f| f.path == "day"));
    assert_eq!(keys(&mut form, &known, "up ^s"), Asks::Save);
}

#[test]
fn undo_takes_back_field_by_field_and_redo_brings_it_again() {
    let known = known();
    let mut form = party(&known);
    let first = form.paper.value.clone();
    keys(&mut form, &known, "Harvest down 2026-12-05");
    to(&mut form, &known, "add a dish");
    keys(&mut form, &known, "enter squash enter");
    let last = form.paper.value.clone();
    assert_eq!(last["dishes"].as_array().map(Vec::len), Some(1));
    keys(&mut form, &known, "^u");
    assert_eq!(form.paper.value["dishes"], json!([]));
    assert_eq!(form.paper.value["day"], "2026-12-05");
    keys(&mut form, &known, "^u ^u");
    assert_eq!(form.paper.value, first);
    keys(&mut form, &known, "^y ^y ^y");
    assert_eq!(form.paper.value, last);
}

#[test]
fn a_dish_is_found_as_it_is_typed_and_made_for_everybody() {
    let known = known();
    let mut form = party(&known);
    to(&mut form, &known, "add a dish");
    // A letter opens the list and is the first of what is looked for.
    keys(&mut form, &known, "pear_cr enter enter apple_and_squash enter");
    let dishes = &form.paper.value["dishes"];
    assert_eq!(dishes[0]["recipe"], "pear-crumble");
    assert_eq!(dishes[0]["servings"], 8);
    assert_eq!(dishes[0]["service"], "mains", "a dessert goes to the last service there is");
    assert_eq!(dishes[1]["recipe"], "squash-soup");
    assert_eq!(dishes[1]["service"], "starters");
    keys(&mut form, &known, "up ^up");
    assert_eq!(form.paper.value["dishes"][0]["recipe"], "squash-soup");
    keys(&mut form, &known, "^d");
    assert_eq!(form.paper.value["dishes"].as_array().map(Vec::len), Some(1));
}

#[test]
fn a_step_that_is_taken_out_leaves_no_loose_ends() {
    let known = known();
    let soup = serde_json::to_value(known.recipe("squash-soup").unwrap()).unwrap();
    let paper = Paper::new(Sort::Recipe, Some("soup".into()), Some(soup.clone()), soup);
    let mut form = Form::open(paper, &known);
    let rows = form.rows(&known);
    let roast = rows.iter().position(|r| r.text.starts_with("roast:")).unwrap();
    form.go(roast, &known);
    keys(&mut form, &known, "enter");
    to(&mut form, &known, "Minutes");
    keys(&mut form, &known, "50-70 esc");
    assert_eq!(form.paper.value["steps"][1]["ways"][0]["minutes"]["likely"], 60);
    keys(&mut form, &known, "^d");
    let text = form.paper.value.to_string();
    assert!(!text.contains("\"roast\""), "{text}");
    assert_eq!(keys(&mut form, &known, "^s"), Asks::Nothing);
    let changes = diff::changes(&form.paper);
    assert!(form.diff.is_some());
    assert!(changes.iter().any(|c| c.place.starts_with("steps, roast") && c.new.is_none()));
    assert_eq!(keys(&mut form, &known, "enter"), Asks::Save);
}

#[test]
fn a_station_that_becomes_an_oven_has_a_dial() {
    let known = known();
    let paper = Paper::new(Sort::Kitchen, None, None, fresh(Sort::Kitchen, &known));
    let mut form = Form::open(paper, &known);
    to(&mut form, &known, "add a station");
    keys(&mut form, &known, "enter");
    to(&mut form, &known, "Kind");
    keys(&mut form, &known, "enter ov enter");
    to(&mut form, &known, "Minutes to heat");
    keys(&mut form, &known, "20");
    let stations = form.paper.value["stations"].as_array().unwrap();
    assert_eq!(stations.last().unwrap()["thermostat"]["up_c_per_min"], 8);
    assert!(form.paper.text().is_ok());
    assert!(
        faults(&form.paper, &known).iter().all(|f| !f.wrong),
        "{:?}",
        faults(&form.paper, &known)
    );
}

/// Every field of every built-in file can be looked at, and whatever stands in
/// it reads back as it is: nothing is lost by going through a form.
#[test]
fn every_field_of_the_shelf_reads_back() {
    let known = known();
    let values =
        known.recipes.iter().map(|r| (Sort::Recipe, serde_json::to_value(r).unwrap())).chain(
            known.kitchens.iter().map(|k| (Sort::Kitchen, serde_json::to_value(k).unwrap())),
        );
    let mut fields = 0;
    for (sort, value) in values {
        let paper = Paper::new(sort, None, None, value.clone());
        let form = Form::open(paper, &known);
        assert!(form.paper.text().is_ok());
        let mut places = vec![String::new()];
        while let Some(place) = places.pop() {
            let mut at = form.clone();
            at.paper.opened = vec![Opened { path: place, row: 0 }];
            for row in at.rows(&known) {
                match row.what {
                    What::Entry(..) => places.push(row.path),
                    What::Field(spec) if !spec.kind.is_chosen() && !row.text.is_empty() => {
                        let (Kind::HeatUp | Kind::CoolDown) = spec.kind else {
                            let read = readable(spec, &row.text, known.reader).unwrap();
                            assert_eq!(read.as_ref(), tree::get(&value, &row.path), "{}", row.path);
                            fields += 1;
                            continue;
                        };
                    }
                    _ => {}
                }
            }
        }
    }
    assert!(fields > 2_000, "{fields}");
}

/// Whatever is pressed, nothing panics, and the draft reads back as it is.
#[test]
fn any_keys_leave_a_paper_that_reads_back() {
    let known = known();
    for sort in Sort::ALL {
        let mut form = Form::open(Paper::new(sort, None, None, fresh(sort, &known)), &known);
        let mut seed = 7_u64;
        for _ in 0..400 {
            seed = seed
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            let codes = [
                KeyCode::Enter,
                KeyCode::Esc,
                KeyCode::Up,
                KeyCode::Down,
                KeyCode::Down,
                KeyCode::Enter,
                KeyCode::Left,
                KeyCode::Right,
                KeyCode::Backspace,
                KeyCode::Delete,
                KeyCode::Tab,
                KeyCode::Char('a'),
                KeyCode::Char('7'),
                KeyCode::Char('é'),
                KeyCode::PageDown,
                KeyCode::Home,
            ];
            let code = codes[(seed >> 33) as usize % codes.len()];
            let key = KeyEvent::from(code);
            press(&mut form, &key, &known);
            if (seed >> 40).is_multiple_of(11) {
                let c = ['u', 'y', 'd', 's', 'k'][(seed >> 45) as usize % 5];
                press(&mut form, &KeyEvent::new(KeyCode::Char(c), KeyModifiers::CONTROL), &known);
            }
            let text = serde_json::to_string(&form.paper).unwrap();
            assert_eq!(serde_json::from_str::<Paper>(&text).unwrap(), form.paper);
        }
    }
}

#[test]
fn proposals_are_confirmed_one_by_one_beside_their_words() {
    let known = known();
    let text = "Leek pot\nServes 8\n\nIngredients\n2 kg leeks\n\nMethod\n\
        Sweat the leeks 10 minutes.\nBake at 180 \u{b0}C for 40 minutes.\nServe hot.\n";
    let found = crate::bring::read(text.as_bytes()).unwrap().remove(0);
    let value = serde_json::to_value(crate::bring::draft(&found).recipe).unwrap();
    let mut form = Form::open(Paper::new(Sort::Recipe, None, None, value), &known);
    let row = form.rows(&known).into_iter().find(|r| r.path == "steps[1]").unwrap();
    assert!(row.text.starts_with("? bake"), "{}", row.text);
    let source = super::confirm::source(&form.paper, &row).unwrap();
    assert_eq!(source.words.as_deref(), Some("Bake at 180 \u{b0}C for 40 minutes."));
    // Where nothing is proposed, the key says so.
    to(&mut form, &known, "Name");
    keys(&mut form, &known, "^o");
    assert!(form.say.as_ref().unwrap().contains("that are not confirmed"), "{:?}", form.say);
    to(&mut form, &known, "Kind of food");
    keys(&mut form, &known, "^o");
    assert!(form.paper.value["safety"].get("unconfirmed").is_none());
    // The key goes on to the next one by itself, down to the last.
    let mut presses = 1;
    while form.say.as_ref().unwrap().contains("left") {
        keys(&mut form, &known, "^o");
        presses += 1;
    }
    assert!(form.say.as_ref().unwrap().contains("the last"), "{:?}", form.say);
    assert_eq!(presses, 1 + form.paper.value["steps"].as_array().unwrap().len() + 1);
    assert!(!form.paper.value.to_string().contains("unconfirmed"));
    keys(&mut form, &known, "^u");
    assert!(form.paper.value.to_string().contains("unconfirmed"));
    assert_eq!(form.paper.value["steps"][1]["words"], "Bake at 180 \u{b0}C for 40 minutes.");
}

#[test]
fn what_is_borrowed_is_chosen_by_its_name_in_the_kitchen() {
    let known = known();
    let mut form = party(&known);
    to(&mut form, &known, "add a thing borrowed");
    keys(&mut form, &known, "enter");
    to(&mut form, &known, "Like");
    keys(&mut form, &known, "baking enter down 2");
    assert_eq!(
        form.paper.value["borrowed"],
        json!([{"what": "cookware", "like": "baking-dish", "count": 2}])
    );
    keys(&mut form, &known, "esc");
    let rows = form.rows(&known);
    assert!(rows.iter().any(|r| r.text.contains("2 more: Baking dish, 3.5 l")), "{rows:?}");
}

/// The key that shows what would be thrown away does not throw it away when it is held.
#[test]
fn a_key_held_down_throws_nothing_away() {
    let known = known();
    let mut form = party(&known);
    keys(&mut form, &known, "Harvest");
    // Twice and no more: a third time would open it anew.
    assert_eq!(keys(&mut form, &known, "^x ^x"), Asks::Nothing);
    assert!(form.diff.is_some());
    assert_eq!(keys(&mut form, &known, "x"), Asks::Discard);
}

#[test]
fn what_cannot_be_read_goes_with_its_entry() {
    let known = known();
    let mut form = party(&known);
    let typed = |form: &Form| form.paper.typed.clone().into_iter().collect::<Vec<_>>();
    to(&mut form, &known, "19:00  Mains");
    keys(&mut form, &known, "enter down half_eight esc");
    assert_eq!(typed(&form), [("services[1].at".into(), "half eight".into())]);
    to(&mut form, &known, "19:00  Mains");
    keys(&mut form, &known, "^up");
    assert_eq!(typed(&form), [("services[0].at".into(), "half eight".into())]);
    to(&mut form, &known, "18:00  Starters");
    keys(&mut form, &known, "^d");
    assert_eq!(typed(&form), [("services[0].at".into(), "half eight".into())]);
    keys(&mut form, &known, "^u");
    to(&mut form, &known, "19:00  Mains");
    keys(&mut form, &known, "^d");
    assert_eq!(typed(&form), []);
}

/// The upper end of a range has no field: it goes when the cook writes another amount, or none.
#[test]
fn an_amount_that_is_typed_is_no_range() {
    let known = known();
    for (typed, amount) in [("5", json!(5)), ("^k", json!(null))] {
        let mut value = fresh(Sort::Recipe, &known);
        value["ingredients"] =
            json!([{"item": "carrots", "amount": 2, "amount_to": 3, "kept": "fridge"}]);
        let mut form = Form::open(Paper::new(Sort::Recipe, None, None, value), &known);
        to(&mut form, &known, "2 carrots");
        keys(&mut form, &known, "enter");
        to(&mut form, &known, "How much");
        keys(&mut form, &known, typed);
        let carrots = &form.paper.value["ingredients"][0];
        assert_eq!((&carrots["amount"], carrots.get("amount_to")), (&amount, None));
        assert!(!faults(&form.paper, &known).iter().any(|f| f.wrong), "{carrots}");
    }
}

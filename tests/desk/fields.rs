//! What a form has fields for, ingredients typed as a line, and the mouse.

use chrono::NaiveDate;
use potwatch::kitchen::Customs;
use potwatch::screen::canvas::Hit;
use potwatch::screen::desk::{Desk, draw};
use potwatch::screen::form::{Form, Known, Paper, Sort, click, paste, press, wheel};
use potwatch::screen::{Ground, Look};
use potwatch::store::shelf;
use ratatui::buffer::Buffer;
use ratatui::crossterm::event::{
    KeyCode, KeyEvent, KeyModifiers, MouseButton, MouseEvent, MouseEventKind,
};
use ratatui::layout::Rect;
use serde_json::{Value, json};

pub(super) fn known() -> Known {
    let today = NaiveDate::from_ymd_opt(2026, 11, 25).expect("a day");
    let mut known = Known::nothing(Customs::default(), today);
    known.recipes = shelf::recipes();
    known.kitchens = shelf::kitchens();
    known.limits = potwatch::safety::hold_limits().to_vec();
    known
}

fn form(sort: Sort, value: Value, known: &Known) -> Form {
    Form::open(Paper::new(sort, None, None, value), known)
}

/// Goes to the row of a path; all rows are gone through.
pub(super) fn to(form: &mut Form, known: &Known, path: &str) {
    for _ in 0..form.rows(known).len() {
        press(form, &KeyEvent::from(KeyCode::Up), known);
    }
    for _ in 0..form.rows(known).len() {
        if form.row(known).is_some_and(|r| r.path == path) {
            return;
        }
        press(form, &KeyEvent::from(KeyCode::Down), known);
    }
    panic!("no row {path}");
}

/// Every field of a party's file, written out.
pub(super) fn whole() -> Value {
    json!({
        "id": "all", "title": "All of it", "day": "2026-12-05",
        "services": [{"id": "mains", "title": "Mains", "at": "19:00"}],
        "dishes": [{
            "id": "soup", "recipe": "squash-soup", "servings": 8, "service": "mains", "letter": "Q",
            "day_before": true,
            "swaps": [{"item": "onion", "by": "leek"}], "half": [{"item": "apple", "by": "pear"}]
        }],
        "cooks": [{"id": "ann", "name": "Ann", "free": [{"from": "12:00", "to": "20:00"}],
            "free_day_before": [{"from": "18:00", "to": "21:00"}]}],
        "kitchen": "home",
        "guests": [{"name": "all", "count": 8, "diets": ["vegan"], "avoids": ["nuts"], "heat": 1}],
        "appetite": "hearty", "least": {"starters": 1, "mains": 1}, "guidance": "uk", "room_c": 20,
        "table_minutes": 30, "degrees": "celsius",
        "in_house": [{"item": "rice", "amount": 2, "unit": "kg"}],
        "shops": "metric", "pool_knife_work": true, "on_time_percent": 80, "own_times": true
    })
}

#[test]
fn everything_that_a_party_file_can_say_can_be_typed() {
    let known = known();
    let value = whole();
    serde_json::from_value::<potwatch::kitchen::Party>(value.clone()).expect("a party");
    let form = form(Sort::Party, value.clone(), &known);
    let entries = [
        "dishes[0]",
        "dishes[0].swaps[0]",
        "dishes[0].half[0]",
        "cooks[0]",
        "guests[0]",
        "in_house[0]",
    ];
    let mut paths: Vec<String> = form.rows(&known).into_iter().map(|r| r.path).collect();
    for entry in entries {
        let mut open = form.clone();
        for place in entry.match_indices(']').map(|(at, _)| &entry[..=at]) {
            to(&mut open, &known, place);
            press(&mut open, &KeyEvent::from(KeyCode::Enter), &known);
        }
        paths.extend(open.rows(&known).into_iter().map(|r| r.path));
    }
    let has = |path: &str| paths.iter().any(|p| p == path || p.starts_with(&format!("{path}.")));
    let check = |place: &str, value: &Value| {
        for key in value.as_object().expect("an object").keys().filter(|k| *k != "id") {
            let path = if place.is_empty() { key.clone() } else { format!("{place}.{key}") };
            assert!(has(&path), "no field for {path}");
        }
    };
    check("", &value);
    for entry in entries {
        check(
            entry,
            value
                .pointer(&format!(
                    "/{}",
                    entry.replace('[', "/").replace("].", "/").replace(']', "")
                ))
                .expect("there"),
        );
    }
}

#[test]
fn an_ingredient_is_typed_as_a_line_and_its_fields_follow() {
    let known = known();
    let soup = json!({"id": "r", "title": "R", "course": "main", "servings": 8, "safety": {"class": "other"},
        "ingredients": [{"item": "", "kept": "cupboard"}], "steps": [], "holds": []});
    let mut form = form(Sort::Recipe, soup, &known);
    to(&mut form, &known, "ingredients[0]");
    press(&mut form, &KeyEvent::from(KeyCode::Enter), &known);
    assert_eq!(form.row(&known).map(|r| r.path).as_deref(), Some("ingredients[0].line"));
    paste(&mut form, "2 large onions, finely diced", &known);
    let read = form.paper.value["ingredients"][0].clone();
    assert_eq!(read["item"], "onions");
    assert_eq!((&read["amount"], &read["size"]), (&json!(2), &json!("large")));
    assert!(read["cut"].as_str().is_some_and(|c| c.contains("diced")), "{read}");
    // What cannot be one is said at the field, and nothing is changed by it.
    press(&mut form, &KeyEvent::new(KeyCode::Char('k'), KeyModifiers::CONTROL), &known);
    paste(&mut form, "--", &known);
    assert_eq!(form.paper.value["ingredients"][0]["item"], "onions");
    let faults = potwatch::screen::form::faults(&form.paper, &known);
    assert!(faults.iter().any(|f| f.path == "ingredients[0].line" && f.wrong), "{faults:?}");
}

#[test]
fn an_ingredient_is_put_into_steps_and_taken_out_again() {
    let known = known();
    let soup = potwatch::store::shelf::recipes().into_iter().next().expect("a recipe");
    let mut form = form(Sort::Recipe, serde_json::to_value(&soup).expect("JSON"), &known);
    let first = soup.steps[0].id.clone();
    let used =
        |form: &potwatch::screen::form::Form| form.paper.value["ingredients"][0]["steps"].clone();
    form.paper.value["ingredients"][0]["steps"] = json!([]);
    to(&mut form, &known, "ingredients[0]");
    let press = |form: &mut _, code| press(form, &KeyEvent::from(code), &known);
    press(&mut form, KeyCode::Enter);
    to(&mut form, &known, "ingredients[0].steps");
    press(&mut form, KeyCode::Enter);
    press(&mut form, KeyCode::Enter);
    assert_eq!(used(&form), json!([first]));
    // Once is enough.
    press(&mut form, KeyCode::Enter);
    press(&mut form, KeyCode::Enter);
    assert_eq!(used(&form), json!([first]));
    press(&mut form, KeyCode::Up);
    assert_eq!(form.row(&known).map(|r| r.path).as_deref(), Some("ingredients[0].steps[0]"));
    press(&mut form, KeyCode::Enter);
    assert_eq!(form.paper.opened.len(), 1, "there is nothing in it to open");
    press(&mut form, KeyCode::Delete);
    assert_eq!(used(&form), json!([]));
}

#[test]
fn a_click_chooses_a_second_one_opens_and_the_wheel_scrolls() {
    let known = known();
    let mut desk = Desk::new(known, Look { ground: Ground::Mono, ascii: false });
    desk.sort = Sort::Recipe;
    let field = Rect::new(0, 0, 100, 30);
    let at = |desk: &Desk, row: usize| {
        let hits = draw(field, &mut Buffer::empty(field), desk);
        let cells = (0..field.height).flat_map(|y| (0..field.width).map(move |x| (x, y)));
        let found = cells.into_iter().find(|(x, y)| hits.at(*x, *y) == Some(Hit::Row(row)));
        (found.unwrap_or_else(|| panic!("no row {row}")), hits)
    };
    let event =
        |kind, (column, row)| MouseEvent { kind, column, row, modifiers: KeyModifiers::NONE };
    let left = MouseEventKind::Down(MouseButton::Left);
    let (place, hits) = at(&desk, 4);
    desk.mouse(&event(left, place), &hits);
    assert_eq!((desk.row, desk.menu), (4, None));
    desk.mouse(&event(left, place), &hits);
    assert_eq!(desk.menu, Some(0), "the second click opens what can be done");
    // The list of deeds covers the shelf.
    let (place, hits) = at(&desk, 1);
    desk.mouse(&event(left, place), &hits);
    assert_eq!((desk.row, desk.menu), (4, Some(1)));
    desk.press(&KeyEvent::from(KeyCode::Esc));
    // The tabs take a click too.
    for (at, sort) in Sort::ALL.into_iter().enumerate().rev() {
        let hits = draw(field, &mut Buffer::empty(field), &desk);
        let x = (0..field.width).find(|x| hits.at(*x, 1) == Some(Hit::Shelf(at)));
        let y = if x.is_some() { 1 } else { 2 };
        let x = x.or_else(|| (0..field.width).find(|x| hits.at(*x, y) == Some(Hit::Shelf(at))));
        desk.mouse(&event(left, (x.expect("a tab"), y)), &hits);
        assert_eq!(desk.sort, sort);
    }
    (desk.sort, desk.row) = (Sort::Recipe, 4);
    desk.mouse(&event(MouseEventKind::ScrollDown, (5, 5)), &hits);
    assert_eq!(desk.row, 5);

    let id = desk.chosen().and_then(|t| t.id).expect("a recipe");
    desk.open_copy(Sort::Recipe, &id);
    let (place, hits) = at(&desk, 3);
    desk.mouse(&event(left, place), &hits);
    let form = desk.form.as_mut().expect("a form");
    assert_eq!(form.paper.row, 3);
    let before = form.paper.row;
    wheel(form, true, &desk.known);
    assert!(form.paper.row > before);
    wheel(form, false, &desk.known);
    assert_eq!(form.paper.row, before);
    // A list to choose from: a click moves there, a second one takes it.
    to(form, &desk.known, "course");
    click(form, form.paper.row, &desk.known);
    assert!(form.pick.is_some());
    click(form, 5, &desk.known);
    click(form, 5, &desk.known);
    assert_eq!(form.paper.value["course"], "dessert");
}

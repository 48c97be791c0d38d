//! Every page of the desk at three sizes, and without colours.

use super::fields;
use chrono::NaiveDate;
use potwatch::kitchen::Customs;
use potwatch::screen::desk::{Desk, Wish, draw};
use potwatch::screen::form::{Form, Known, Paper, Sort, What};
use potwatch::screen::{Ground, Look};
use potwatch::store::shelf;
use ratatui::buffer::Buffer;
use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use ratatui::layout::Rect;

const SIZES: [(u16, u16); 3] = [(80, 24), (120, 36), (200, 60)];

fn desk() -> Desk {
    let today = NaiveDate::from_ymd_opt(2026, 11, 25).unwrap();
    let mut known = Known::nothing(Customs::default(), today);
    known.recipes = shelf::recipes();
    known.kitchens = shelf::kitchens();
    known.limits = potwatch::safety::hold_limits().to_vec();
    Desk::new(known, Look { ground: Ground::Mono, ascii: false })
}

/// Presses keys by their names; what opens a thing is done as the edge does it.
fn keys(desk: &mut Desk, keys: &str) {
    for word in keys.split(' ').filter(|w| !w.is_empty()) {
        let key = |code| KeyEvent::from(code);
        let keys: Vec<KeyEvent> = match word {
            "enter" => vec![key(KeyCode::Enter)],
            "esc" => vec![key(KeyCode::Esc)],
            "tab" => vec![key(KeyCode::Tab)],
            "down" => vec![key(KeyCode::Down)],
            "up" => vec![key(KeyCode::Up)],
            "^b" => vec![KeyEvent::new(KeyCode::Char('b'), KeyModifiers::CONTROL)],
            "^o" => vec![KeyEvent::new(KeyCode::Char('o'), KeyModifiers::CONTROL)],
            "^s" => vec![KeyEvent::new(KeyCode::Char('s'), KeyModifiers::CONTROL)],
            typed => typed.replace('_', " ").chars().map(|c| key(KeyCode::Char(c))).collect(),
        };
        for key in keys {
            for wish in desk.press(&key) {
                match wish {
                    Wish::Open(sort, id) => desk.open(sort, id.as_deref(), None),
                    Wish::Copy(sort, id) => desk.open_copy(sort, &id),
                    other => panic!("{other:?}"),
                }
            }
        }
    }
}

fn golden(name: &str, desk: &Desk) {
    for (width, height) in SIZES {
        let field = Rect::new(0, 0, width, height);
        let mut buf = Buffer::empty(field);
        draw(field, &mut buf, desk);
        let rows = buf.content().chunks(usize::from(width));
        let row = |cells: &[ratatui::buffer::Cell]| {
            cells
                .iter()
                .map(ratatui::buffer::Cell::symbol)
                .collect::<String>()
                .trim_end()
                .to_owned()
        };
        let text = rows.map(row).collect::<Vec<_>>().join("\n");
        let mut settings = insta::Settings::clone_current();
        settings.set_snapshot_path("../snapshots");
        settings.set_prepend_module_to_snapshot(false);
        settings.set_omit_expression(true);
        let name = format!("desk_{name}_{width}x{height}");
        settings.bind(|| insta::assert_snapshot!(name, text));
    }
}

#[test]
fn the_shelf() {
    let mut desk = desk();
    golden("empty", &desk);
    keys(&mut desk, "tab squash enter");
    golden("found", &desk);
}

#[test]
fn the_party_editor() {
    let mut desk = desk();
    keys(&mut desk, "enter Orchard_supper down down down down down enter");
    golden("party_dish_pick", &desk);
    keys(&mut desk, "squash_and enter enter pasta_bake enter");
    golden("party", &desk);
    keys(&mut desk, "up enter");
    golden("party_dish", &desk);
}

#[test]
fn the_recipe_editor() {
    let mut desk = desk();
    keys(&mut desk, "tab roast_squash enter enter");
    golden("recipe", &desk);
    for _ in 0..11 {
        keys(&mut desk, "down");
    }
    keys(&mut desk, "enter down down down 4x");
    golden("recipe_step", &desk);
}

#[test]
fn a_recipe_that_is_brought_in() {
    let text = "Leek and barley pot\nServes 8\n\nIngredients\n2 kg leeks, sliced\n\
        250 g barley\n4 (400 g) cans chopped tomatoes, drained\na little something\n\n\
        Method\nPreheat the oven to 180 \u{b0}C. Sweat the leeks over low heat for 10 minutes, stirring often.\n\
        Meanwhile simmer the barley 25 to 30 minutes. Drain.\n\
        Mix and bake for 35 minutes or until golden; the middle must reach 72 \u{b0}C. Let stand 10 minutes.\n\
        Serve hot.\n";
    let mut desk = desk();
    keys(&mut desk, "tab ^b ~/recipes/leek_pot.txt");
    golden("bring_ask", &desk);
    let found = potwatch::bring::read(text.as_bytes()).map_err(|t| t.to_string());
    desk.brought(found, "~/recipes/leek pot.txt");
    golden("bring_shown", &desk);
    keys(&mut desk, "enter");
    golden("bring_form", &desk);
    keys(&mut desk, "down down down down down down down down down down enter");
    golden("bring_step", &desk);
}

#[test]
fn the_kitchen_editor_and_the_settings() {
    let mut desk = desk();
    keys(&mut desk, "tab tab enter");
    golden("kitchen", &desk);
    keys(&mut desk, "down enter down down down down down");
    golden("kitchen_oven", &desk);
    let mut desk = self::desk();
    keys(&mut desk, "tab tab tab enter down enter");
    golden("settings", &desk);
}

/// The first entry of every list, and of every list within it, opened.
#[test]
fn every_entry_of_every_form() {
    let known = fields::known();
    let recipe = known.recipes.iter().find(|r| r.id == "squash-soup").expect("a recipe");
    let kitchen = known.kitchens.iter().find(|k| k.id == "home").expect("a kitchen");
    let files = [
        (Sort::Party, fields::whole()),
        (Sort::Recipe, serde_json::to_value(recipe).expect("JSON")),
        (Sort::Kitchen, serde_json::to_value(kitchen).expect("JSON")),
    ];
    let mut seen = 0;
    for (sort, value) in files {
        let mut desk = desk();
        desk.open(sort, None, None);
        desk.form = Some(Form::open(Paper::new(sort, None, None, value), &known));
        seen += entries(&mut desk, &known, sort);
    }
    assert!(seen >= 15, "{seen} entries");
}

/// Opens the first entry of each list that stands open, and those within; how many.
fn entries(desk: &mut Desk, known: &Known, sort: Sort) -> usize {
    let rows = desk.form.as_ref().expect("a form").rows(known);
    let mut seen = 0;
    for row in rows {
        let What::Entry(list, n) = row.what else { continue };
        let steps_after_the_first = row.path == "steps[1]";
        if list.items.is_empty() || n != list.from && !steps_after_the_first {
            continue;
        }
        fields::to(desk.form.as_mut().expect("a form"), known, &row.path);
        keys(desk, "enter");
        let place = row.path.replace(['[', ']', '.'], "_").replace("__", "_");
        golden(&format!("entry_{}_{}", sort.word(), place.trim_end_matches('_')), desk);
        seen += 1 + entries(desk, known, sort);
        keys(desk, "esc");
    }
    seen
}

#[test]
fn what_changes_on_the_shelf() {
    let mut desk = desk();
    desk.known.own.insert((Sort::Recipe, "squash-soup".to_owned()));
    keys(&mut desk, "tab roast_squash enter enter down down down 24 ^s");
    golden("diff", &desk);
}

#[test]
fn nothing_panics_at_any_size() {
    let mut desk = desk();
    keys(&mut desk, "tab roast_squash enter enter");
    let mut open = desk.clone();
    keys(&mut open, "down down enter");
    for (width, height) in (0..30).flat_map(|w| (0..16).map(move |h| (w * 5, h * 3))) {
        let mut buf = Buffer::empty(Rect::new(0, 0, width, height));
        for desk in [&desk, &open] {
            draw(Rect::new(0, 0, width, height), &mut buf, desk);
        }
    }
}

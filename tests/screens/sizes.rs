//! Every page and card at every size: no panic, nothing outside the field,
//! and every place for the pointer inside it.

use potwatch::screen::{Ui, draw};
use ratatui::buffer::{Buffer, Cell};
use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use ratatui::layout::Rect;

use crate::fixture::{LOOKS, Show};

/// A field in the middle of a buffer of other signs, which must stay.
fn check(show: &Show, ui: &Ui, look: usize, width: u16, height: u16) {
    let field = Rect::new(1, 1, width, height);
    let whole = Rect::new(0, 0, width + 2, height + 2);
    let mut buf = Buffer::filled(whole, Cell::new("@"));
    let hits = draw(field, &mut buf, &show.scene(LOOKS[look].1), ui);
    for y in 0..whole.height {
        for x in 0..whole.width {
            if !field.contains((x, y).into()) {
                assert_eq!(buf[(x, y)].symbol(), "@", "{width}x{height} at {x},{y}");
            }
        }
    }
    for (place, hit) in hits.places() {
        assert_eq!(place.intersection(field), *place, "{width}x{height} {hit:?}");
    }
}

fn pressed(show: &Show, keys: &[KeyCode]) -> Ui {
    let mut ui = Ui::default();
    for (i, &code) in keys.iter().enumerate() {
        let scene = show.scene(LOOKS[0].1);
        let _ = ui.key(KeyEvent::new(code, KeyModifiers::NONE), &scene, 10_000 * i as i64);
    }
    ui
}

/// What is in front: pages and cards, by the keys that open them.
pub const FRONTS: [&[KeyCode]; 39] = [
    &[],
    &[KeyCode::Char('7')],
    &[KeyCode::Char('8')],
    &[KeyCode::Char('8'), KeyCode::Down],
    &[KeyCode::Char('8'), KeyCode::Char('y')],
    &[KeyCode::Char('w')],
    &[KeyCode::Char('w'), KeyCode::Char('w')],
    &[KeyCode::Char('l')],
    &[KeyCode::Down],
    &[KeyCode::Down, KeyCode::Enter],
    &[KeyCode::Down, KeyCode::Char('y')],
    &[KeyCode::Char('2')],
    &[KeyCode::Char('3')],
    &[KeyCode::Char('4')],
    &[KeyCode::Char('4'), KeyCode::Enter],
    &[KeyCode::Char('5')],
    &[KeyCode::Char('?')],
    &[KeyCode::Char('a')],
    &[KeyCode::Char('m')],
    &[KeyCode::Char('s')],
    &[KeyCode::Char('t')],
    &[KeyCode::Char('h')],
    &[KeyCode::Char('o')],
    &[KeyCode::Char('c')],
    &[KeyCode::Char('v')],
    &[KeyCode::Char('b')],
    &[KeyCode::Char('x')],
    &[KeyCode::Char('d')],
    &[KeyCode::Char('e')],
    &[KeyCode::Char('9')],
    &[KeyCode::Char('9'), KeyCode::Down],
    &[KeyCode::Char('9'), KeyCode::Char('s')],
    &[KeyCode::Char('9'), KeyCode::Char('2')],
    &[KeyCode::Char('9'), KeyCode::Char('3')],
    &[KeyCode::Char('9'), KeyCode::Char('4')],
    &[KeyCode::Char('9'), KeyCode::Char('5')],
    &[KeyCode::Char('9'), KeyCode::Char('6')],
    &[KeyCode::Char('9'), KeyCode::Char('7')],
    &[KeyCode::Char('9'), KeyCode::Char('8')],
];

#[test]
fn every_front_at_every_size() {
    let shows = [Show::busy(), Show::at((13, 0, 0))];
    for (n, show) in shows.iter().enumerate() {
        for (f, keys) in FRONTS.iter().enumerate() {
            let ui = pressed(show, keys);
            let mut sizes = Vec::new();
            for height in (0..50).step_by(if f == 0 { 1 } else { 5 }) {
                for width in (0..200).step_by(if f == 0 { 3 } else { 13 }) {
                    sizes.push((width + (f as u16 + height) % 13, height));
                }
            }
            sizes.extend([
                (0, 0),
                (1, 1),
                (1, 100),
                (300, 1),
                (60, 18),
                (59, 18),
                (24, 6),
                (23, 6),
            ]);
            for (width, height) in sizes {
                check(show, &ui, (f + n) % LOOKS.len(), width, height);
            }
        }
    }
}

#[test]
fn an_explanation_at_every_size() {
    let show = Show::explained();
    let key = show.supper.key("pie", "bake", 0);
    for late in 0..3 {
        for scroll in [0, 2, 100] {
            let why = Some(potwatch::screen::ui::WhyView { late, scroll });
            let selected = Some(potwatch::screen::Sel::Step(key));
            let ui = Ui { selected, why, ..Ui::default() };
            for height in (0..64).step_by(3) {
                for width in (0..210).step_by(19) {
                    check(&show, &ui, (late + scroll) % LOOKS.len(), width + height % 7, height);
                }
            }
        }
    }
}

#[test]
fn a_party_of_nothing_can_be_drawn() {
    let mut show = Show::at((17, 0, 0));
    show.supper.plan = potwatch::plan::Plan::default();
    show.supper.evening.sheets.clear();
    show.supper.evening.kitchen.stations.clear();
    show.supper.evening.party.services.clear();
    show.view = potwatch::run::View { now_ms: show.view.now_ms, ..Default::default() };
    for keys in FRONTS {
        let ui = pressed(&show, keys);
        for (width, height) in [(0, 0), (30, 8), (80, 24), (200, 60)] {
            check(&show, &ui, 0, width, height);
        }
    }
}

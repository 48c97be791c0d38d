//! The table of keys: nothing shadowed, nothing dead, every hint true.

use std::collections::BTreeSet;

use potwatch::run::{AlarmState, Ending};
use potwatch::screen::keys::{self, ACTIONS, Act, Press};
use potwatch::screen::{Face, Hit, Hits, Page, Scene, Sel, Ui, draw};
use ratatui::buffer::Buffer;
use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use ratatui::layout::Rect;

use crate::fixture::{LOOKS, Show, forty};
use crate::sizes::FRONTS;

/// The states of the evening and of the screen that keys meet.
fn contexts() -> Vec<(Show, Ui)> {
    let mut out = Vec::new();
    let makers: [fn() -> Show; 5] =
        [Show::busy, || Show::at((17, 33, 20)).stocked(), past_limit, by_the_food_code, calm];
    for make in makers {
        for page in Page::ALL {
            for chosen in [false, true] {
                for row in [0, 1] {
                    let show = make();
                    let sel = Sel::Step(show.supper.key("pie", "bake", 0));
                    let selected = chosen.then_some(sel);
                    let ui = Ui { page, selected, row, moved: true, ..Ui::default() };
                    out.push((show, ui));
                }
            }
        }
    }
    for face in Face::ALL {
        let show = crate::golden::looked_back();
        out.push((show, Ui { page: Page::Report, face, ..Ui::default() }));
    }
    out
}

/// By guidance that has another rule to choose.
fn by_the_food_code() -> Show {
    let mut show = Show::busy();
    show.supper.evening.party.guidance = "us_food_code_2022".to_owned();
    show
}

/// A real evening, and every alarm seen.
fn calm() -> Show {
    let mut show = Show::busy();
    show.status.demo = None;
    show.supper.evening.party.guests = forty();
    show.view.alarms.iter_mut().for_each(|a| a.state = AlarmState::Acknowledged);
    show
}

/// The evening is over, and the first alarm is about food past its limit.
fn past_limit() -> Show {
    let mut show = Show::busy();
    show.view.alarms.rotate_left(1);
    show.view.ending =
        Some(Ending { title: "The evening is over.".to_owned(), closed: true, lines: Vec::new() });
    show
}

#[test]
fn ids_are_stable_names() {
    let ids: BTreeSet<&str> = ACTIONS.iter().map(|a| a.id).collect();
    assert_eq!(ids.len(), ACTIONS.len());
    for action in ACTIONS {
        let kebab = |c: char| c.is_ascii_lowercase() || c == '-';
        assert!(action.id.chars().all(kebab), "{}", action.id);
        assert!(action.about.ends_with('.') && !action.label.is_empty(), "{}", action.id);
        assert!(action.label.chars().count() <= 16, "{} is long for a footer", action.label);
    }
}

/// Words of planning theory have no place in front of a cook.
#[test]
fn the_words_are_those_of_a_kitchen() {
    let theory = [
        "makespan",
        "infeasible",
        "feasible",
        "constraint",
        "optimal",
        "schedul",
        "slack",
        "resource",
    ];
    let screens = [Show::busy(), past_limit()].into_iter().flat_map(|show| {
        FRONTS.map(|front| {
            let scene = show.scene(LOOKS[0].1);
            let mut ui = Ui::default();
            for &code in front {
                let _ = ui.key(KeyEvent::new(code, KeyModifiers::NONE), &scene, 0);
            }
            let area = Rect::new(0, 0, 120, 60);
            let mut buf = Buffer::empty(area);
            let _ = draw(area, &mut buf, &scene, &ui);
            buf.content().iter().map(|c| c.symbol()).collect::<String>().to_lowercase()
        })
    });
    for screen in screens {
        for word in theory {
            assert!(!screen.contains(word), "{word}");
        }
    }
}

#[test]
fn letters_are_bound_without_shift() {
    for action in ACTIONS {
        for press in action.keys {
            if let KeyCode::Char(c) = press.code {
                assert!(!c.is_uppercase(), "{}", action.id);
            }
        }
    }
    let show = Show::busy();
    let scene = show.scene(LOOKS[0].1);
    let shifted = KeyEvent::new(KeyCode::Char('M'), KeyModifiers::SHIFT);
    let (mut a, mut b) = (Ui::default(), Ui::default());
    let _ = a.key(shifted, &scene, 0);
    let _ = b.key(KeyEvent::new(KeyCode::Char('m'), KeyModifiers::NONE), &scene, 0);
    assert!(a.card.is_some() && a == b);
}

#[test]
fn every_key_of_every_action_is_reached() {
    let contexts = contexts();
    for action in ACTIONS {
        for &press in action.keys {
            let reached = contexts.iter().any(|(show, ui)| {
                let found = keys::find(press, &show.scene(LOOKS[0].1), ui);
                found.is_some_and(|f| f.act == action.act)
            });
            assert!(reached, "{} on {}", press.name(), action.id);
        }
    }
}

#[test]
fn every_hint_in_the_footer_is_true() {
    for (show, ui) in contexts() {
        let scene = show.scene(LOOKS[0].1);
        let hints = keys::footer(&scene, &ui);
        assert!(hints.len() >= 3);
        for (press, words) in hints {
            let found = keys::find(press, &scene, &ui).expect("a key that does something");
            let expected = scene.view.expected.as_ref().map(|e| e.label.as_str());
            assert!(
                found.label == words
                    || (found.act == Act::MarkExpected && Some(&*words) == expected),
                "{} says {words}, does {}",
                press.name(),
                found.id
            );
        }
    }
}

fn hits_of(scene: &Scene, ui: &Ui, size: (u16, u16)) -> Hits {
    let area = Rect::new(0, 0, size.0, size.1);
    draw(area, &mut Buffer::empty(area), scene, ui)
}

/// Whatever the screen shows as a key to press does something when pressed.
#[test]
fn every_key_on_the_screen_does_something() {
    for show in [Show::busy(), past_limit(), Show::at((17, 33, 20))] {
        let scene = show.scene(LOOKS[0].1);
        for front in FRONTS {
            let mut ui = Ui::default();
            for &code in front {
                let _ = ui.key(KeyEvent::new(code, KeyModifiers::NONE), &scene, 0);
            }
            for size in [(40, 12), (80, 24), (160, 50)] {
                for (place, hit) in hits_of(&scene, &ui, size).places() {
                    let Hit::Key(code) = *hit else { continue };
                    // A key under a card is covered by it.
                    if hits_of(&scene, &ui, size).at(place.x, place.y) != Some(*hit) {
                        continue;
                    }
                    let mut after = ui.clone();
                    let press = KeyEvent::new(code, KeyModifiers::NONE);
                    let intents = after.key(press, &scene, 60_000);
                    // A card answers a press in words too: "type a number first".
                    let said = ui.card.is_some() && after.say.is_some();
                    after.say = None;
                    let mut before = ui.clone();
                    before.refresh(&scene, 60_000);
                    before.say = None;
                    let name = Press { code, ctrl: false }.name();
                    let moves = matches!(code, KeyCode::Down | KeyCode::Up);
                    assert!(
                        moves || said || !intents.is_empty() || after != before,
                        "{name} on {front:?} at {size:?} does nothing"
                    );
                }
            }
        }
    }
}

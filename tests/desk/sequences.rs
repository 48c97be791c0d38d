//! Any keys in any order: the desk draws, keeps what is typed, and lets itself be left.
//!
//! `PROPTEST_CASES=20000 cargo test --release --test desk sequences` for a long run; a sequence that fails is made
//! shorter and printed.

use chrono::NaiveDate;
use potwatch::kitchen::Customs;
use potwatch::screen::desk::{Desk, Wish, draw};
use potwatch::screen::form::{Known, Paper};
use potwatch::screen::{Ground, Look};
use potwatch::store::shelf;
use proptest::collection::vec;
use proptest::prelude::*;
use ratatui::buffer::Buffer;
use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use ratatui::layout::Rect;

use crate::cases::cases;

/// So many Escapes lead out of anything.
const OUT: usize = 8;

#[derive(Debug, Clone)]
enum Press {
    Key(KeyCode, bool),
    Paste(String),
    Size(u16, u16),
}

fn press() -> impl Strategy<Value = Press> {
    use KeyCode::{
        BackTab, Backspace, Delete, Down, End, Enter, Esc, Home, Left, PageDown, PageUp, Right,
        Tab, Up,
    };
    let named = [
        Enter, Enter, Enter, Esc, Tab, BackTab, Up, Down, Down, Down, Left, Right, Backspace,
        Delete, Home, End, PageUp, PageDown,
    ];
    let letters = "abcdefgiknoprstuwxyz 0123456789:.,-+/?äß漢\u{301}\u{200d}";
    prop_oneof![
        5 => prop::sample::select(named.to_vec()).prop_map(|code| Press::Key(code, false)),
        4 => prop::sample::select(letters.chars().collect::<Vec<_>>())
            .prop_map(|c| Press::Key(KeyCode::Char(c), false)),
        1 => prop::sample::select("abdhlnorsuwxy".chars().collect::<Vec<_>>())
            .prop_map(|c| Press::Key(KeyCode::Char(c), true)),
        1 => "[ -~\n]{0,40}".prop_map(Press::Paste),
        1 => (1u16..220, 1u16..70).prop_map(|(w, h)| Press::Size(w, h)),
    ]
}

fn desk() -> Desk {
    let today = NaiveDate::from_ymd_opt(2026, 11, 25).expect("a day");
    let mut known = Known::nothing(Customs::default(), today);
    known.recipes = shelf::recipes();
    known.kitchens = shelf::kitchens();
    known.limits = potwatch::safety::hold_limits().to_vec();
    Desk::new(known, Look { ground: Ground::Mono, ascii: false })
}

/// Does what the edge does, as far as it needs no disk; true if the desk was left.
fn fulfil(desk: &mut Desk, wish: Wish) -> bool {
    match wish {
        Wish::Open(sort, id) => desk.open(sort, id.as_deref(), None),
        Wish::Copy(sort, id) => desk.open_copy(sort, &id),
        Wish::Save(paper) => {
            let known = desk.known.clone();
            let id = paper.id.clone().unwrap_or_else(|| Desk::wanted_id(&paper));
            desk.saved(known, paper.sort, &id, "Saved.".to_owned());
        }
        Wish::Discard(..) | Wish::TakeOff(..) => desk.restock(desk.known.clone()),
        Wish::Bring(path) => {
            let text = "Leek pot\nServes 8\n\nIngredients\n2 kg leeks, sliced\n\nMethod\nSimmer 20 minutes.\n";
            desk.brought(potwatch::bring::read(text.as_bytes()).map_err(|t| t.to_string()), &path);
        }
        Wish::Leave | Wish::Cook(_) => return true,
        Wish::Suspend | Wish::Redraw | Wish::Share(..) | Wish::Export(..) | Wish::Mouse(_) => {}
    }
    false
}

fn shown(desk: &Desk, (width, height): (u16, u16)) {
    let field = Rect::new(0, 0, width, height);
    draw(field, &mut Buffer::empty(field), desk);
}

proptest! {
    #![proptest_config(cases(60))]

    #[test]
    fn of_any_keys_nothing_typed_is_lost_and_the_way_out_stays_open(
        presses in vec(press(), 1..120)
    ) {
        let mut desk = desk();
        let mut size = (80, 24);
        for press in presses {
            let wishes = match press {
                Press::Key(code, ctrl) => {
                    let held = if ctrl { KeyModifiers::CONTROL } else { KeyModifiers::NONE };
                    desk.press(&KeyEvent::new(code, held))
                }
                Press::Paste(text) => {
                    desk.paste(&text);
                    Vec::new()
                }
                Press::Size(width, height) => {
                    size = (width, height);
                    Vec::new()
                }
            };
            if wishes.into_iter().any(|wish| fulfil(&mut desk, wish)) {
                desk = self::desk();
            }
            shown(&desk, size);
            // What a kill would leave on the disk is what is in the form.
            if let Some(form) = &desk.form {
                let kept = serde_json::to_string(&form.paper).expect("kept");
                let again: Paper = serde_json::from_str(&kept).expect("read again");
                prop_assert_eq!(&again, &form.paper);
            }
        }
        for _ in 0..OUT {
            for wish in desk.press(&KeyEvent::from(KeyCode::Esc)) {
                fulfil(&mut desk, wish);
            }
        }
        prop_assert!(desk.form.is_none() && desk.bring.is_none() && desk.menu.is_none());
    }
}

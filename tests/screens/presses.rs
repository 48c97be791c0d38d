//! Keys and the pointer, from press to intent.

use potwatch::kitchen::StationKind;
use potwatch::kitchen::units::Degrees;
use potwatch::run::event::{Answer, Clearing};
use potwatch::run::hand::Day;
use potwatch::run::{AlarmState, Event, Phase};
use potwatch::safety::Expect;
use potwatch::screen::card::Card;
use potwatch::screen::{Hit, Intent, Page, Sel, Ui, draw};
use ratatui::buffer::Buffer;
use ratatui::crossterm::event::{
    KeyCode, KeyEvent, KeyEventKind, KeyModifiers, MouseButton, MouseEvent, MouseEventKind,
};
use ratatui::layout::Rect;

use crate::fixture::{LOOKS, Show};

fn key(code: KeyCode) -> KeyEvent {
    KeyEvent::new(code, KeyModifiers::NONE)
}

/// Presses keys a second apart: `space`, `enter`, `esc`, arrows by name, else
/// each letter by itself.
fn press(ui: &mut Ui, show: &Show, keys: &str) -> Vec<Intent> {
    let scene = show.scene(LOOKS[0].1);
    let mut out = Vec::new();
    let mut at = 1_000_000;
    for word in keys.split(' ') {
        let code = match word {
            "space" => vec![KeyCode::Char(' ')],
            "enter" => vec![KeyCode::Enter],
            "esc" => vec![KeyCode::Esc],
            "up" => vec![KeyCode::Up],
            "down" => vec![KeyCode::Down],
            "left" => vec![KeyCode::Left],
            "right" => vec![KeyCode::Right],
            "tab" => vec![KeyCode::Tab],
            letters => letters.chars().map(KeyCode::Char).collect(),
        };
        for code in code {
            at += 1000;
            out.extend(ui.key(key(code), &scene, at));
        }
    }
    out
}

fn marks(show: &Show, keys: &str) -> Vec<Event> {
    let intents = press(&mut Ui::default(), show, keys);
    intents
        .into_iter()
        .map(|i| match i {
            Intent::Mark(event) => event,
            other => panic!("{keys}: {other:?}"),
        })
        .collect()
}

#[test]
fn one_key_marks_what_is_expected() {
    let show = Show::at((17, 33, 20));
    let expected = [show.view.expected.clone().expect("something").event];
    for keys in ["space", "enter", "2 space", "3 enter"] {
        assert_eq!(marks(&show, keys), expected, "{keys}");
    }
}

#[test]
fn everything_else_takes_two_keys() {
    let show = Show::busy();
    let s = &show.supper;
    let fry = s.id(s.key("fritters", "fry", 1));
    let pork = "pork".to_owned();
    let cases = [
        ("m7", Event::NeedsMore { id: fry.clone(), minutes: 7 }),
        ("m0", Event::NeedsMore { id: fry.clone(), minutes: 10 }),
        ("sy", Event::Skipped { id: fry.clone() }),
        ("e4", Event::Done { id: fry, ago_minutes: 4 }),
        ("xp", Event::DishDropped { dish: pork.clone() }),
        ("op", Event::Served { dish: pork }),
        ("b1", Event::StationDown { station: "oven".into() }),
        ("b6", Event::StationUp { station: "fridge".into() }),
        ("v2", Event::ServiceMoved { service: "starters".into(), to: 18 * 60 + 10 }),
        ("v7", Event::ServiceMoved { service: "starters".into(), to: 17 * 60 + 55 }),
        ("c2", Event::Cleared { dish: "fritters".into(), how: Clearing::PutAway }),
        (
            "h1",
            Event::HeldAt {
                dish: "fritters".into(),
                hold: Some(0),
                place: StationKind::Counter,
                station: Some("counter".into()),
            },
        ),
        ("k", Event::AlarmAcknowledged { alarm: "overdone/fritters/fry/1".into() }),
        (
            "z",
            Event::AlarmPutOff {
                alarm: "overdone/fritters/fry/1".into(),
                until_ms: show.view.now_ms + 300_000,
            },
        ),
    ];
    for (keys, event) in cases {
        assert_eq!(marks(&show, keys), [event], "{keys}");
    }
    assert_eq!(press(&mut Ui::default(), &show, "u"), [Intent::Undo]);
    assert_eq!(press(&mut Ui::default(), &show, "q"), [Intent::Leave]);
}

#[test]
fn numbers_are_typed_in_the_cooks_units() {
    let mut show = Show::busy();
    let taken = |show: &Show, keys: &str| match marks(show, keys).as_slice() {
        [Event::Temperature { dish, celsius }] => (dish.clone(), *celsius),
        other => panic!("{other:?}"),
    };
    assert_eq!(taken(&show, "t74 enter"), ("fritters".into(), 74.0));
    assert_eq!(taken(&show, "ts63,5 enter"), ("soup".into(), 63.5));
    assert_eq!(marks(&show, "t900 enter"), []);
    assert_eq!(marks(&show, "t enter"), []);
    show.supper.evening.customs.degrees = Degrees::Fahrenheit;
    // 165 °F is 73.9 °C: (165 - 32) / 1.8.
    let (_, celsius) = taken(&show, "t165 enter");
    assert!((celsius - 73.888_888).abs() < 1e-4);
    let set = marks(&show, "d350 enter");
    assert_eq!(set, [Event::OvenSet { station: "oven".into(), celsius: 177 }]);
    assert_eq!(marks(&show, "d20 enter"), []);
    // Without a key of its own: by the list of actions.
    let many = marks(&show, "a servings enter 24 enter");
    let event = Event::ServingsChanged { dish: "fritters".into(), servings: 24 };
    assert_eq!(many, [event]);
}

#[test]
fn a_doubtful_temperature_is_asked_back_and_never_taken_silently() {
    let mut show = Show::busy();
    let typed = |show: &Show, keys: &str| press(&mut Ui::default(), show, keys);
    let sure = |intents: Vec<Intent>| match intents.as_slice() {
        [Intent::Confirmed(Event::Temperature { celsius, .. })] => *celsius,
        other => panic!("{other:?}"),
    };
    // 165 °F typed where degrees are °C.
    assert_eq!(typed(&show, "t165 enter"), []);
    assert!((sure(typed(&show, "t165 enter f enter")) - 73.888_888).abs() < 1e-4);
    assert!((sure(typed(&show, "t165f enter")) - 73.888_888).abs() < 1e-4);
    assert!((sure(typed(&show, "t165 enter enter")) - 165.0).abs() < 1e-9);
    // Another number is doubted anew; the impossible cannot be insisted on.
    assert_eq!(typed(&show, "t165 enter 0 enter"), []);
    assert_eq!(typed(&show, "t900 enter enter enter"), []);
    // 74 °C typed where degrees are °F, of food that is hot.
    show.supper.evening.customs.degrees = Degrees::Fahrenheit;
    show.view.expect = vec![Expect::HotFood; show.supper.evening.sheets.len()];
    assert_eq!(typed(&show, "t74 enter"), []);
    assert!((sure(typed(&show, "t74 enter c enter")) - 74.0).abs() < 1e-9);
}

#[test]
fn a_chosen_block_is_what_keys_are_about() {
    let show = Show::at((17, 33, 20));
    let key = show.supper.key("crumble", "bake", 0);
    let id = show.supper.id(key);
    let ui = || Ui { selected: Some(Sel::Step(key)), ..Ui::default() };
    let start = Event::Started {
        id: id.clone(),
        way: 0,
        station: "oven".into(),
        cook: Some("marit".into()),
        ago_minutes: 0,
    };
    assert_eq!(press(&mut ui(), &show, "g"), [Intent::Mark(start)]);
    let pinned = Event::Pinned { id: id.clone(), at: 17 * 60 + 58 };
    assert_eq!(press(&mut ui(), &show, "p"), [Intent::Mark(pinned)]);
    assert_eq!(press(&mut ui(), &show, "sy"), [Intent::Mark(Event::Skipped { id })]);
    let mut open = ui();
    assert_eq!(press(&mut open, &show, "enter"), []);
    assert_eq!(open.card, Some(Card::Detail(Sel::Step(key))));
    assert_eq!(press(&mut open, &show, "esc esc"), []);
    assert_eq!((open.card, open.selected), (None, None));
}

#[test]
fn enter_takes_nothing_grave() {
    let mut show = Show::busy();
    show.view.alarms.rotate_left(1);
    for keys in
        ["s down enter", "x enter", "b enter", "c down down enter", "r enter", "r down enter"]
    {
        let mut ui = Ui::default();
        assert_eq!(press(&mut ui, &show, keys), [], "{keys}");
        assert!(ui.card.is_some() && ui.say.is_some(), "{keys}");
    }
    let answer = Event::AlarmAnswered { alarm: "unsafe_past/dip".into(), how: Answer::Discarded };
    show.view.alarms[0].state = AlarmState::New;
    assert_eq!(marks(&show, "r1"), [answer]);
    assert_eq!(marks(&show, "z"), [], "past a safety limit it is not put off");
}

#[test]
fn what_came_up_in_this_instant_is_not_answered() {
    let mut show = Show::busy();
    let alarms = std::mem::take(&mut show.view.alarms);
    let mut ui = Ui::default();
    ui.refresh(&show.scene(LOOKS[0].1), 0);
    show.view.alarms = alarms;
    let scene = show.scene(LOOKS[0].1);
    ui.refresh(&scene, 5_000);
    let mut too_soon = ui.clone();
    assert_eq!(too_soon.key(key(KeyCode::Char('k')), &scene, 5_299), []);
    assert!(too_soon.say.is_some());
    assert_eq!(ui.key(key(KeyCode::Char('k')), &scene, 5_300).len(), 1);
}

/// An alarm that went by itself is seen too, but never before a new one.
#[test]
fn what_went_by_itself_is_seen_last() {
    let mut show = Show::busy();
    show.view.alarms[2].state = AlarmState::Returned;
    let seen = |show: &Show, keys: &str| match marks(show, keys).as_slice() {
        [Event::AlarmAcknowledged { alarm }] => alarm.clone(),
        other => panic!("{other:?}"),
    };
    assert_eq!(seen(&show, "k"), "overdone/fritters/fry/1");
    show.view.alarms[0].state = AlarmState::Acknowledged;
    assert_eq!(seen(&show, "k"), "best_soon/soup");
    assert_eq!(seen(&show, "5 down down k"), "best_soon/soup");
    show.view.alarms[2].state = AlarmState::Acknowledged;
    assert_eq!(marks(&show, "k"), []);
}

/// What came up together is seen, put off and answered together, or in the list one by one.
#[test]
fn a_bundle_is_answered_together_or_one_by_one() {
    let show = Show::flood();
    let seen = |key: &str| Event::AlarmAcknowledged { alarm: key.into() };
    let foods =
        ["unsafe_past:dip::", "unsafe_past:soup::", "unsafe_soon:pie::", "unsafe_soon:pork::"];
    assert_eq!(marks(&show, "k"), foods.map(seen));
    assert_eq!(marks(&show, "5 down k"), [seen(foods[1])]);
    assert_eq!(marks(&show, "5 y"), foods.map(seen));
    let answered = |key: &str| Event::AlarmAnswered { alarm: key.into(), how: Answer::Discarded };
    assert_eq!(marks(&show, "r1"), [answered(foods[0]), answered(foods[1])]);
    assert_eq!(marks(&show, "r right right 1"), [answered(foods[1])]);
    assert_eq!(marks(&show, "5 down r1"), [answered(foods[1])]);
    assert_eq!(marks(&show, "r enter"), [], "nothing is thrown away by Enter");
    assert_eq!(marks(&show, "z"), [], "what is past its limit is not put off");
}

#[test]
fn a_key_that_bounces_marks_once() {
    let mut show = Show::at((17, 33, 20));
    let mut ui = Ui::default();
    let space = key(KeyCode::Char(' '));
    assert_eq!(ui.key(space, &show.scene(LOOKS[0].1), 10_000).len(), 1);
    // The next thing comes up at once; the finger is still on the key.
    let next = show.view.next.get(1).cloned().expect("something");
    if let Some(expected) = &mut show.view.expected {
        expected.prompt = next;
        expected.event = Event::Finished;
    }
    let scene = show.scene(LOOKS[0].1);
    for later in [40, 80, 290, 500] {
        assert_eq!(ui.key(space, &scene, 10_000 + later), [], "{later} ms later");
    }
    assert_eq!(ui.key(space, &scene, 11_000).len(), 1);
    let up = KeyEvent { kind: KeyEventKind::Release, ..space };
    assert_eq!(ui.key(up, &scene, 20_000), []);
}

#[test]
fn pages_are_one_key_away_and_esc_comes_back() {
    let show = Show::busy();
    let mut ui = Ui::default();
    for (keys, page) in [
        ("2", Page::Big),
        ("3", Page::Holding),
        ("4", Page::Plan),
        ("5", Page::Alarms),
        ("1", Page::Chart),
        ("tab tab", Page::Holding),
        ("esc", Page::Chart),
        ("6", Page::Chart),
        ("9", Page::Menu),
        ("2", Page::Guests),
        ("tab", Page::Shopping),
        ("8 tab", Page::Scaling),
        ("tab", Page::Menu),
        ("0", Page::Scaling),
        ("6 9", Page::Chart),
        ("9", Page::Serving),
        ("9 3 9 9", Page::Holding),
        ("0", Page::Holding),
        ("9 esc", Page::Chart),
    ] {
        assert_eq!(press(&mut ui, &show, keys), []);
        assert_eq!(ui.page, page, "{keys}");
    }
}

/// Space marks what is expected on the evening's pages; before it nothing is
/// marked by a press that was meant for a list, but that its line is ticked off.
#[test]
fn nothing_is_marked_from_the_book_before_the_evening() {
    let show = Show::at((17, 33, 20)).stocked();
    for page in 1..=8 {
        let mut ui = Ui::default();
        let marked = press(&mut ui, &show, &format!("9 {page} space"));
        match page {
            3..=5 => assert!(
                matches!(marked.as_slice(), [Intent::Mark(Event::Ticked { on: true, .. })]),
                "page {page}: {marked:?} {:?}",
                ui.say
            ),
            _ => assert_eq!(marked, [], "page {page}"),
        }
    }
}

#[test]
fn the_plan_follows_the_clock_until_it_is_moved() {
    let show = Show::at((17, 33, 20));
    let mut ui = Ui::default();
    let _ = press(&mut ui, &show, "4");
    let key = ui.focus_step(&show.scene(LOOKS[0].1)).expect("a step");
    let phase = show.view.phases.iter().find(|p| p.0 == key).expect("its phase").1;
    assert_eq!(phase, Phase::Ahead);
    let row = ui.row;
    let _ = press(&mut ui, &show, "down down");
    assert_eq!((ui.row, ui.moved), (row + 2, true));
}

#[test]
fn arrows_reach_every_block() {
    let show = Show::at((17, 33, 20));
    let scene = show.scene(LOOKS[0].1);
    let lanes = potwatch::screen::chart::choices(&scene);
    let mut ui = Ui::default();
    let _ = press(&mut ui, &show, "down");
    assert!(ui.selected.is_some());
    for _ in 0..lanes.len() {
        let _ = press(&mut ui, &show, "up");
    }
    for lane in &lanes {
        for _ in 0..60 {
            let _ = press(&mut ui, &show, "left");
        }
        for (sel, _) in lane {
            assert_eq!(ui.selected, Some(*sel));
            let _ = press(&mut ui, &show, "right");
        }
        let _ = press(&mut ui, &show, "down");
    }
}

#[test]
fn the_pointer_does_what_keys_do() {
    let show = Show::busy();
    let scene = show.scene(LOOKS[0].1);
    let area = Rect::new(0, 0, 120, 36);
    let mut ui = Ui::default();
    let click = |ui: &mut Ui, want: &dyn Fn(&Hit) -> bool| {
        let hits = draw(area, &mut Buffer::empty(area), &scene, ui);
        let (place, _) = hits.places().iter().rfind(|(_, h)| want(h)).expect("a place");
        let event = MouseEvent {
            kind: MouseEventKind::Down(MouseButton::Left),
            column: place.x,
            row: place.y,
            modifiers: KeyModifiers::NONE,
        };
        ui.mouse(event, &hits, &scene, 50_000)
    };
    let pie = Sel::Step(show.supper.key("pie", "bake", 0));
    assert_eq!(click(&mut ui, &|h| *h == Hit::Block(pie)), []);
    assert_eq!(ui.selected, Some(pie));
    assert_eq!(click(&mut ui, &|h| *h == Hit::Block(pie)), []);
    assert_eq!(ui.card, Some(Card::Detail(pie)));
    assert_eq!(click(&mut ui, &|h| *h == Hit::Key(KeyCode::Esc)), []);
    assert_eq!(ui.card, None);
    assert_eq!(click(&mut ui, &|h| *h == Hit::Key(KeyCode::Char('u'))), [Intent::Undo]);
    // Grave rows are chosen by the first press and taken by the second.
    let _ = press(&mut ui, &show, "x");
    assert_eq!(click(&mut ui, &|h| *h == Hit::Row(4)), []);
    let dropped = Event::DishDropped { dish: "pork".into() };
    assert_eq!(click(&mut ui, &|h| *h == Hit::Row(4)), [Intent::Mark(dropped)]);
    let wheel = MouseEvent {
        kind: MouseEventKind::ScrollDown,
        column: 5,
        row: 20,
        modifiers: KeyModifiers::NONE,
    };
    let _ = ui.mouse(wheel, &potwatch::screen::Hits::default(), &scene, 60_000);
    assert_eq!((ui.lane_scroll, ui.all_lanes), (1, true));
}

#[test]
fn demo_keys_work_in_the_demo_only() {
    let mut show = Show::busy();
    let demo = [Intent::Faster, Intent::Slower, Intent::Pause, Intent::OwnParty];
    assert_eq!(press(&mut Ui::default(), &show, ".,fn"), demo);
    show.status.demo = None;
    assert_eq!(press(&mut Ui::default(), &show, ".,fn"), []);
}

#[test]
fn an_evening_is_rehearsed_from_its_plan_once_its_alarms_are_seen() {
    let mut show = Show::busy();
    show.status.demo = None;
    assert_eq!(press(&mut Ui::default(), &show, "4n"), []);
    show.view.alarms.iter_mut().for_each(|a| a.state = AlarmState::Acknowledged);
    assert_eq!(press(&mut Ui::default(), &show, "4n"), [Intent::Rehearse(Day::Ordinary)]);
    assert_eq!(press(&mut Ui::default(), &show, "n"), [], "on the plan page only");
}

#[test]
fn a_way_out_is_taken_by_its_number_and_a_try_by_enter() {
    let show = Show::busy();
    assert_eq!(press(&mut Ui::default(), &show, "7 3"), [Intent::TakeWay(2)]);
    // Elsewhere the number is a page, as ever.
    let mut ui = Ui::default();
    assert_eq!(press(&mut ui, &show, "3"), []);
    assert_eq!(ui.page, Page::Holding);
    // Without so many ways out the number does nothing here that takes one.
    let calm = Show::at((17, 33, 20));
    assert_eq!(press(&mut Ui::default(), &calm, "7 3"), []);
    assert_eq!(press(&mut Ui::default(), &show, "8 down enter"), [Intent::TakeTry(1)]);
    // As it is there is nothing to take; without a plan neither.
    let mut ui = Ui { page: Page::WhatIf, row: 3, moved: true, ..Ui::default() };
    assert!(press(&mut ui, &show, "enter").iter().all(|i| !matches!(i, Intent::TakeTry(_))));
}

#[test]
fn a_change_is_typed_and_the_card_stays_until_it_is_understood() {
    let show = Show::busy();
    let mut ui = Ui::default();
    let typed = press(&mut ui, &show, "8 y drop space dip enter");
    assert_eq!(typed, [Intent::Try("drop dip".into())]);
    assert!(matches!(&ui.card, Some(Card::Try { typed }) if typed == "drop dip"));
    assert_eq!(press(&mut ui, &show, "esc"), []);
    assert!(ui.card.is_none());
}

#[test]
fn the_digit_of_the_page_in_front_says_nothing_of_another() {
    let show = Show::at((17, 33, 20));
    let mut ui = Ui::default();
    for digits in ["1", "11", "33", "911"] {
        assert!(press(&mut ui, &show, digits).is_empty());
        assert_eq!(ui.say, None, "{digits}");
    }
}

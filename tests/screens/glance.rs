//! A key acts on what the cook saw when they pressed it, or on nothing: lists that change around a row, keys held
//! down, rows that are not drawn.

use potwatch::run::{AlarmKind, AlarmState, Event, Phase, Rank};
use potwatch::screen::card::Card;
use potwatch::screen::{Intent, Page, Sel, Ui, draw};
use ratatui::buffer::Buffer;
use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use ratatui::layout::Rect;

use crate::fixture::{LOOKS, Show};
use crate::sizes::FRONTS;

fn press(ui: &mut Ui, show: &Show, code: KeyCode, at: i64) -> Vec<Intent> {
    ui.key(KeyEvent::new(code, KeyModifiers::NONE), &show.scene(LOOKS[0].1), at)
}

fn letter(ui: &mut Ui, show: &Show, letter: char, at: i64) -> Vec<Intent> {
    press(ui, show, KeyCode::Char(letter), at)
}

/// The screen as one text.
fn screen(show: &Show, ui: &Ui, width: u16, height: u16) -> String {
    let area = Rect::new(0, 0, width, height);
    let mut buf = Buffer::empty(area);
    let _ = draw(area, &mut buf, &show.scene(LOOKS[0].1), ui);
    buf.content().iter().map(|c| c.symbol()).collect()
}

/// The moments at which a key comes that is held down for two seconds: again after half a second, then 30 a second.
fn held_down() -> impl Iterator<Item = i64> {
    std::iter::once(10_000).chain((10_500..12_000).step_by(33))
}

#[test]
fn a_key_that_is_held_down_marks_once() {
    for (key, chosen) in [(' ', false), ('g', true), ('u', false)] {
        let mut show = Show::at((17, 33, 20));
        show.status.undo = Some("done: blend the soup".into());
        let of = show.supper.key("crumble", "bake", 0);
        let selected = chosen.then_some(Sel::Step(of));
        let mut ui = Ui { selected, ..Ui::default() };
        let mut marked = 0;
        for at in held_down() {
            marked += letter(&mut ui, &show, key, at).len();
            // The mark counts and is drawn: the next thing is expected, the load runs.
            if marked > 0 {
                show.view.expected.as_mut().expect("something").event = Event::Finished;
                show.view.phases.iter_mut().find(|p| p.0 == of).expect("it").1 = Phase::Running;
            }
        }
        assert_eq!(marked, 1, "{key}");
        assert_eq!(letter(&mut ui, &show, key, 20_000).len(), 1, "{key}, pressed again");
    }
}

/// The key that opens a question may be a dish's letter too.
#[test]
fn a_key_that_bounces_answers_no_question() {
    let mut show = Show::busy();
    show.supper.evening.sheets[4].letter = 'O';
    let mut ui = Ui::default();
    for at in held_down() {
        assert_eq!(letter(&mut ui, &show, 'o', at), [], "{at}");
    }
    assert!(ui.card.is_some());
    assert_eq!(letter(&mut ui, &show, 'o', 20_000).len(), 1);
    // What is typed is no mark and may have the same digit twice, as quick as can be.
    for (at, key) in ["t", "6", "6", "6"].into_iter().zip(0..) {
        let _ = letter(&mut ui, &show, at.chars().next().expect("one"), 30_000 + key);
    }
    assert!(matches!(&ui.card, Some(Card::Ask(ask)) if ask.typed == "666"), "{:?}", ui.card);
}

#[test]
fn an_alarm_that_comes_up_above_does_not_take_the_place_of_the_chosen_one() {
    let mut show = Show::flood();
    let mut ui = Ui::default();
    let _ = (letter(&mut ui, &show, '5', 0), press(&mut ui, &show, KeyCode::Down, 1_000));
    let _ = press(&mut ui, &show, KeyCode::Down, 2_000);
    let mut new = show.view.alarms[0].clone();
    new.key = "unsafe_past:rice::".into();
    show.view.alarms.insert(0, new);
    ui.refresh(&show.scene(LOOKS[0].1), 3_000);
    let pie = Event::AlarmAcknowledged { alarm: "unsafe_soon:pie::".into() };
    assert_eq!(letter(&mut ui, &show, 'k', 4_000), [Intent::Mark(pie)]);
    // The chosen one goes: what comes under its place is not seen by a key on its way.
    show.view.alarms.retain(|a| a.key != "unsafe_soon:pie::");
    assert_eq!(letter(&mut ui, &show, 'k', 5_000), []);
    assert_eq!(letter(&mut ui, &show, 'k', 6_000).len(), 1);
}

#[test]
fn an_alarm_far_down_that_came_up_just_now_is_not_seen_with_the_others() {
    let mut show = Show::flood();
    let mut ui = Ui::default();
    let _ = letter(&mut ui, &show, '5', 0);
    // By itself, below all foods: no bundle of theirs.
    let mut new = show.view.alarms[5].clone();
    (new.key, new.state) = ("pull_now:rolls:bake:0".into(), AlarmState::New);
    show.view.alarms.push(new);
    assert_eq!(letter(&mut ui, &show, 'y', 5_000), []);
    assert_eq!(letter(&mut ui, &show, 'y', 6_000).len(), 5);
}

#[test]
fn a_new_plan_does_not_put_another_step_under_the_key() {
    let mut show = Show::at((17, 33, 20));
    let mut ui = Ui::default();
    let _ = letter(&mut ui, &show, '4', 0);
    let mut at = 0;
    while at < 3_000 || ui.focus_step(&show.scene(LOOKS[0].1)).is_none() {
        at += 1_000;
        let _ = press(&mut ui, &show, KeyCode::Down, at);
    }
    let chosen = ui.focus_step(&show.scene(LOOKS[0].1)).expect("a step");
    // Something that lay behind it comes before it.
    let last = show.supper.plan.blocks.iter_mut().max_by_key(|b| b.start).expect("a block");
    assert_ne!(last.key, chosen);
    (last.start, last.end) = (17 * 60 + 30, 17 * 60 + 40);
    ui.refresh(&show.scene(LOOKS[0].1), 60_000);
    assert_eq!(ui.focus_step(&show.scene(LOOKS[0].1)), Some(chosen));
    // Until it is moved the list follows the clock: what comes under the key just now is not marked by it.
    let mut show = Show::at((17, 33, 20));
    let mut ui = Ui::default();
    let _ = letter(&mut ui, &show, '4', 0);
    let now = ui.focus_step(&show.scene(LOOKS[0].1)).expect("a step");
    show.view.phases.iter_mut().find(|p| p.0 == now).expect("it").1 = Phase::Running;
    assert_eq!(letter(&mut ui, &show, 'g', 5_000), []);
    let next = ui.focus_step(&show.scene(LOOKS[0].1));
    assert_eq!(letter(&mut ui, &show, 'g', 6_000).len(), usize::from(next.is_some()));
}

#[test]
fn ways_out_that_get_other_numbers_are_not_taken_by_a_key_on_its_way() {
    let mut show = Show::busy();
    let mut ui = Ui::default();
    let _ = letter(&mut ui, &show, '7', 0);
    show.status.ways.outs.rotate_left(1);
    ui.refresh(&show.scene(LOOKS[0].1), 5_000);
    assert_eq!(letter(&mut ui, &show, '2', 5_600), []);
    assert_eq!(letter(&mut ui, &show, '2', 7_000), [Intent::TakeWay(1)]);
}

/// On a list Enter is about the row. Where the row has nothing for it, it must not mark what is expected.
#[test]
fn enter_on_a_row_marks_nothing_else() {
    let show = Show::busy();
    assert!(show.view.expected.is_some());
    for (page, rows) in [('8', 3), ('5', 1), ('3', 1), ('8', 0)] {
        let mut ui = Ui::default();
        let _ = letter(&mut ui, &show, page, 0);
        for row in 0..rows {
            let _ = press(&mut ui, &show, KeyCode::Down, 1_000 * (row + 1));
        }
        assert_eq!(press(&mut ui, &show, KeyCode::Enter, 30_000), [], "{page}");
        assert!(ui.say.is_some());
        assert_eq!(letter(&mut ui, &show, ' ', 40_000).len(), 1, "the space bar does: {page}");
    }
    let mut ui = Ui { page: Page::Plan, moved: true, ..Ui::default() };
    let scene = show.scene(LOOKS[0].1);
    let is_no_step = |row: &usize| Ui { row: *row, ..ui.clone() }.focus_step(&scene).is_none();
    ui.row = (0..80).find(is_no_step).expect("a dial or a service");
    assert_eq!(press(&mut ui, &show, KeyCode::Enter, 0), [], "a service, or a dial");
}

#[test]
fn what_was_earlier_is_called_what_it_was() {
    let mut show = Show::at((17, 33, 20));
    let mut ui = Ui::default();
    let _ = letter(&mut ui, &show, 'e', 0);
    let (was, event) = {
        let expected = show.view.expected.as_mut().expect("something");
        let was = std::mem::replace(&mut expected.label, "on the table: pork".into());
        (was, std::mem::replace(&mut expected.event, Event::Finished))
    };
    let shown = screen(&show, &ui, 120, 36);
    assert!(shown.contains(&format!("minutes ago: {was}")), "{was}");
    let marked = letter(&mut ui, &show, '0', 5_000);
    let of = |e: &Event| match e {
        Event::Started { id, .. } | Event::Done { id, .. } => id.clone(),
        other => panic!("{other:?}"),
    };
    assert!(matches!(marked.as_slice(), [Intent::Mark(m)] if of(m) == of(&event)), "{marked:?}");
}

/// In a window too small for pages no list is drawn, and in a smaller one no question.
#[test]
fn what_is_not_drawn_is_not_acted_on() {
    let show = Show::busy();
    let scene = show.scene(LOOKS[0].1);
    for page in [Page::Plan, Page::Alarms, Page::WhatIf, Page::Ways, Page::Shopping] {
        let mut ui = Ui { page, row: 2, moved: true, window: (59, 17), ..Ui::default() };
        ui.refresh(&scene, 0);
        assert_eq!(ui.page, Page::Chart, "{page:?}");
    }
    let key = show.supper.key("crumble", "bake", 0);
    let mut ui = Ui { selected: Some(Sel::Step(key)), window: (59, 17), ..Ui::default() };
    assert_eq!(letter(&mut ui, &show, 'g', 0), []);
    let mut ui = Ui { window: (29, 20), ..Ui::default() };
    assert_eq!(letter(&mut ui, &show, 'b', 0), []);
    assert_eq!((ui.card.is_some(), letter(&mut ui, &show, '1', 1_000)), (false, vec![]));
    let mut ui = Ui { window: (30, 8), ..Ui::default() };
    assert_eq!(letter(&mut ui, &show, 'o', 0), []);
    assert!(ui.card.is_some());
}

/// Whatever is open, and however small the window: the most pressing alarm is there.
#[test]
fn no_card_and_no_page_covers_an_alarm() {
    let show = Show::busy();
    let sizes = [(24, 6), (30, 8), (40, 12), (59, 40), (60, 18), (80, 24), (120, 36), (200, 60)];
    for front in FRONTS {
        for (width, height) in sizes {
            let mut ui = Ui::default();
            for (at, &code) in front.iter().enumerate() {
                let _ = press(&mut ui, &show, code, 10_000 * at as i64);
            }
            ui.window = (width, height);
            ui.refresh(&show.scene(LOOKS[0].1), 90_000);
            let shown = screen(&show, &ui, width, height);
            // Big type writes it in blocks.
            let large = ui.page == Page::Big && ui.card.is_none() && shown.contains("NOW!");
            assert!(large || shown.contains("FRITTERS"), "{front:?} at {width}x{height}: {shown}");
        }
    }
}

#[test]
fn a_long_list_of_alarms_shows_the_new_one_wherever_it_stands() {
    let mut show = Show::flood();
    show.view.alarms.iter_mut().for_each(|a| a.state = AlarmState::Acknowledged);
    let mut new = show.view.alarms[0].clone();
    (new.key, new.state, new.rank) = ("pull_now:x".into(), AlarmState::New, Rank::Notice);
    (new.title, new.safety) = ("ROLLS ARE DONE".into(), false);
    show.view.alarms.push(new);
    let ui = Ui { page: Page::Alarms, ..Ui::default() };
    for (width, height) in [(60, 18), (80, 24), (120, 36)] {
        assert!(screen(&show, &ui, width, height).contains("ROLLS ARE DONE"), "{width}x{height}");
    }
    show.view.alarms.rotate_right(1);
    let ui = Ui { page: Page::Alarms, row: 6, moved: true, ..Ui::default() };
    assert!(screen(&show, &ui, 80, 24).contains("ROLLS ARE DONE"), "scrolled away");
}

/// Less than five minutes before a safety limit it cannot be put off by five: then the key is not offered either.
#[test]
fn nothing_is_put_off_past_its_limit() {
    let mut show = Show::flood();
    show.view.alarms.retain(|a| a.kind == AlarmKind::UnsafeSoon && a.key.contains("pie"));
    let off = |show: &Show| letter(&mut Ui::default(), show, 'z', 0).len();
    let offered = |show: &Show| screen(show, &Ui::default(), 120, 36).contains("in 5 min again");
    assert_eq!((off(&show), offered(&show)), (1, true), "eight minutes");
    show.view.alarms[0].harm_ms = Some(show.view.now_ms + 300_000);
    assert_eq!((off(&show), offered(&show)), (1, true), "five");
    show.view.alarms[0].harm_ms = Some(show.view.now_ms + 299_999);
    assert_eq!((off(&show), offered(&show)), (0, false));
}

/// "Press again to mark it all the same" stands at the end of the sentence: it must be there to be read.
#[test]
fn a_question_is_asked_whole() {
    let mut show = Show::busy();
    let said = "Squash soup: not all of it is done. What has not begun counts as done if you serve it: \
                serve a part. Press again to mark it all the same.";
    let shown = |show: &Show, page, width, height| {
        let ui = Ui { page, say: Some(said.into()), ..Ui::default() };
        screen(show, &ui, width, height).contains("same.")
    };
    for (page, width, height) in
        [(Page::Chart, 60, 18), (Page::Chart, 80, 24), (Page::Big, 80, 24), (Page::Chart, 50, 14)]
    {
        assert!(shown(&show, page, width, height), "{page:?} {width}x{height}");
        show.status.trouble = Some("MARKS ARE NOT SAVED: the disk is full.".into());
        assert!(shown(&show, page, width, height), "{page:?} {width}x{height} with trouble");
        show.status.trouble = None;
    }
}

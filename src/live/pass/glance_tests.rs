//! What a key acts on when something else has come to the front in that instant, and what the cook has answered.

use std::cell::Cell;
use std::rc::Rc;

use ratatui::crossterm::event::{Event as Input, KeyCode, KeyEvent, KeyModifiers};

use super::set_back_tests::{Paper, goes_on, open};
use super::{Pass, Todo};
use crate::live::clock::Ticks;
use crate::run::testbed::{event, ms, on_time, state};
use crate::run::{Event, Mark};

fn press(pass: &mut Pass, key: char) -> Vec<Todo> {
    pass.input(&Input::Key(KeyEvent::new(KeyCode::Char(key), KeyModifiers::NONE)))
}

/// Until 17:05 all went to plan; it is 17:06 and nothing was pressed yet.
fn evening() -> (Pass, Paper, Rc<Cell<Ticks>>) {
    let (mut pass, paper, ticks) = open(state(&on_time("17:05")), "17:06");
    goes_on(&mut pass, &ticks, 5_000);
    (pass, paper, ticks)
}

#[test]
fn a_key_for_the_rehearsal_is_not_for_the_evening_behind_it() {
    let (mut pass, paper, ticks) = evening();
    pass.come_to_the_front();
    goes_on(&mut pass, &ticks, 500);
    assert_eq!(press(&mut pass, 'q'), []);
    assert_eq!(press(&mut pass, ' '), []);
    assert_eq!(*paper.written.borrow(), []);
    goes_on(&mut pass, &ticks, 1_000);
    let _ = press(&mut pass, ' ');
    assert_eq!(*paper.written.borrow(), [event("done pie fill")]);
    assert_eq!(press(&mut pass, 'q'), [Todo::Leave]);
}

/// What another screen marked in this instant is not taken back by a key that was meant for the mark before.
#[test]
fn the_mark_of_another_screen_is_not_undone_unseen() {
    let (mut pass, paper, ticks) = evening();
    let mark = Mark { seq: 900, at_ms: ms("17:06"), event: event("temp soup 80") };
    paper.others.borrow_mut().push(mark);
    assert!(pass.look_at_others());
    goes_on(&mut pass, &ticks, 100);
    let _ = press(&mut pass, 'u');
    assert_eq!(*paper.written.borrow(), []);
    goes_on(&mut pass, &ticks, 1_000);
    let _ = press(&mut pass, 'u');
    assert_eq!(*paper.written.borrow(), [Event::Undone { seq: 900 }]);
}

#[test]
fn the_key_that_wakes_the_computer_marks_nothing() {
    let (mut pass, paper, ticks) = evening();
    let Ticks { wall_ms, mono_ms } = ticks.get();
    ticks.set(Ticks { wall_ms: wall_ms + 600_000, mono_ms: mono_ms + 10 });
    pass.tick();
    let _ = press(&mut pass, ' ');
    assert_eq!(*paper.written.borrow(), []);
    goes_on(&mut pass, &ticks, 1_000);
    let _ = press(&mut pass, ' ');
    assert_eq!(*paper.written.borrow(), [event("done pie fill")]);
}

/// "Press again to mark it all the same" holds while it can be read.
#[test]
fn an_answer_is_to_what_was_asked_not_long_ago() {
    let (mut pass, paper, ticks) = evening();
    let early = event("start pie rest");
    let again = |pass: &mut Pass| {
        let now = pass.ticks();
        pass.mark_by_cook(event("start pie rest"), now);
    };
    again(&mut pass);
    let asked = pass.ui.say.clone().expect("it is asked");
    assert!(asked.ends_with("Press again to mark it all the same."), "{asked}");
    goes_on(&mut pass, &ticks, 61_000);
    again(&mut pass);
    assert_eq!(*paper.written.borrow(), [], "a minute ago");
    goes_on(&mut pass, &ticks, 2_000);
    again(&mut pass);
    assert_eq!(*paper.written.borrow(), [early]);
}

//! What the mouse does in a form: a click chooses a row, a click on the chosen one is Enter, the wheel scrolls.

use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};

use super::press::{Asks, press, step};
use super::{Form, Known, What};

/// Rows that a turn of the wheel moves by.
const WHEEL: isize = 3;

/// A press of the left button on a row: of the list to choose from while one is open, else of the form.
pub fn click(form: &mut Form, row: usize, known: &Known) -> Asks {
    form.say = None;
    if form.diff.is_some() {
        return Asks::Nothing;
    }
    let enter = KeyEvent::new(KeyCode::Enter, KeyModifiers::NONE);
    if let Some(pick) = form.pick.as_mut() {
        if pick.row == row {
            return press(form, &enter, known);
        }
        pick.row = row.min(pick.fitting().len().saturating_sub(1));
        return Asks::Nothing;
    }
    // In a field for text a second click changes nothing: Enter would go on to the next.
    let opens = form.row(known).is_some_and(|r| match r.what {
        What::Field(spec) => spec.kind.is_chosen(),
        What::Entry(list, _) => !list.is_bare(),
        What::Add(_) => true,
        What::Head => false,
    });
    match form.paper.row == row {
        true if opens => press(form, &enter, known),
        true => Asks::Nothing,
        false => {
            form.go(row, known);
            Asks::Nothing
        }
    }
}

/// A turn of the wheel.
pub fn wheel(form: &mut Form, down: bool, known: &Known) {
    let by = if down { WHEEL } else { -WHEEL };
    if let Some(at) = form.diff.as_mut() {
        *at = at.saturating_add_signed(by);
    } else if let Some(pick) = form.pick.as_mut() {
        pick.step(by);
    } else {
        step(form, by, known);
    }
}

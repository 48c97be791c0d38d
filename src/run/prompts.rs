//! What there is to do: one item for each thing that the cook will have to
//! mark, with its words, its time and the event that answers it.

mod places;
mod steps;

pub use places::{open_dials, serve_item};
pub use steps::{end_item, end_kind, start_item, start_kind, start_short};

use super::event::Event;
use super::state::State;
use super::view::Prompt;
use crate::order::InOrder;

/// Something to do.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// Its words and its time.
    pub prompt: Prompt,
    /// The words beside the one key.
    pub label: String,
    /// The event that marks it.
    pub event: Event,
    /// Where it stands among things that are due.
    pub press: Press,
    /// It can be done as soon as it is due: nothing else must come first.
    pub free: bool,
    /// The cook is at it with both hands already.
    pub hands_on: bool,
}

/// How much a due thing presses, most pressing first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Press {
    /// It is or gets overdone, at this time (unix ms).
    Spoils(i64),
    /// A step ends.
    Ends,
    /// Food stands where it should not.
    PutAway,
    /// An oven waits for its dial.
    Dial,
    /// A step begins.
    Begins,
    /// The table waits.
    Serves,
}

/// Everything that is to be done, in order of time.
#[must_use]
pub fn items(state: &State, now_ms: i64) -> Vec<Item> {
    let mut items = steps::ends(state, now_ms);
    items.extend(steps::starts(state, now_ms));
    items.extend(places::dials(state, now_ms));
    items.extend(places::holds(state, now_ms));
    items.extend(places::serves(state, now_ms));
    items.order_by(|a, b| {
        (a.prompt.due_ms, a.press, a.prompt.key, a.prompt.dish).cmp(&(
            b.prompt.due_ms,
            b.press,
            b.prompt.key,
            b.prompt.dish,
        ))
    });
    items
}

#[cfg(test)]
mod tests;

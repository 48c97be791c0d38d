//! From a method's text to steps: for each sentence a proposal of where it is done,
//! how long it takes, how hot, what it asks of the hands, what it follows. Each keeps
//! the words that it was read from; the cook confirms or changes it.
//!
//! Consecutive sentences of one piece that are done at one place are one step.

mod about;
mod act;
mod build;
mod clock;
mod heat;
mod lasts;
mod order;
mod reader;
mod sentence;
#[cfg(test)]
mod tests;
mod verbs;
mod work;

use crate::kitchen::{Setting, StationKind};

pub use clock::{Placed, Span, TimeOf};
pub use heat::{Heat, Of};

use super::found::Words;

/// A step as the text gives it.
#[derive(Debug, Clone, PartialEq)]
pub struct Proposal {
    /// The words that it was read from.
    pub words: String,
    /// A word for the block: "roast".
    pub label: String,
    /// Where it is done.
    pub station: StationKind,
    /// How long (one load).
    pub span: Span,
    /// The text gives no time; the minutes are the usual ones for the verb.
    pub guessed: bool,
    /// The setting of an oven or grill, in °C.
    pub at_c: Option<i32>,
    /// The text gives no setting though one is needed.
    pub guessed_heat: bool,
    /// The setting of a burner or a slow cooker.
    pub setting: Option<Setting>,
    /// Per cent of a cook's hands in between.
    pub hands: u32,
    /// It is done in so many loads.
    pub loads: Option<u32>,
    /// What it waits for afterwards, before the next step.
    pub rest: Option<Rest>,
    /// What the inside must reach, in °C, by the words of the text.
    pub inside_c: Option<i32>,
    /// Pans that the words name.
    pub cookware: Vec<&'static str>,
    /// The step's indices that it follows.
    pub after: Vec<usize>,
    /// The piece of the method that it is of.
    pub piece: usize,
}

/// A wait after a step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rest {
    /// Minutes.
    pub span: Span,
    /// On the counter, in the fridge or the freezer.
    pub place: StationKind,
    /// The text gives no time for it.
    pub guessed: bool,
}

/// How the finished dish waits, by the words of the text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wait {
    /// Hot, cold, or neither (it is to be eaten at once).
    pub kept: Kept,
    /// The words.
    pub words: String,
}

/// How a finished dish is kept.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kept {
    /// Hot.
    Hot,
    /// Cold.
    Cold,
    /// At room temperature.
    Room,
    /// Not at all: it goes straight to the table.
    AtOnce,
}

/// A method, read.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Method {
    /// Its steps in order; each follows only earlier ones.
    pub steps: Vec<Proposal>,
    /// How the finished dish waits.
    pub waits: Vec<Wait>,
    /// What the cook should know.
    pub said: Vec<String>,
}

/// Reads a method.
#[must_use]
pub fn read(method: &[Words]) -> Method {
    let mut reader = reader::Reader::default();
    for (index, words) in method.iter().enumerate() {
        reader.piece(index, words);
    }
    reader.finish()
}

/// The times of a text, each with what it is of.
#[must_use]
pub fn times(text: &str) -> Vec<Placed> {
    let sentences = sentence::sentences(text);
    sentences.iter().flat_map(|s| clock::times(s, &verbs::verbs(s))).collect()
}

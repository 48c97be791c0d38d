//! What has come to light so far: pieces arrive one by one.

use super::demand::Clash;
use super::figures::Figures;
use super::find::{News, WayOut, ranked};
use super::tries::{Tried, Try};
use crate::kitchen::Minute;

/// The ways out, as far as they are known.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct WaysSeen {
    /// The minute for which they are looked for; None: nobody asked yet.
    pub made_for: Option<Minute>,
    /// What the best plan is like without any change; or in words why there is none.
    pub best: Option<Result<Figures, Vec<String>>>,
    /// What clashes, in words, one demand to a line; and whether it is certain.
    pub clash: Option<(Clash, Vec<String>)>,
    /// The ways out found so far, the least trouble first.
    pub outs: Vec<WayOut>,
    /// So many of so many changes were tried.
    pub tried: (usize, usize),
    /// Nothing more comes.
    pub done: bool,
}

impl WaysSeen {
    /// Nothing known yet of an evening at this minute.
    #[must_use]
    pub fn begun(made_for: Minute) -> Self {
        Self { made_for: Some(made_for), ..Self::default() }
    }

    /// Takes a piece.
    pub fn take(&mut self, news: News) {
        match news {
            News::Best(best) => self.best = Some(best),
            News::Clash(clash, words) => self.clash = Some((clash, words)),
            News::Out(out) => {
                self.outs.push(out);
                self.outs = ranked(&self.outs);
            }
            News::Tried(done, of) => self.tried = (done, of),
        }
    }

    /// Every demand is met without any change.
    #[must_use]
    pub fn fits(&self) -> bool {
        self.done
            && self.clash.is_none()
            && self.outs.is_empty()
            && matches!(&self.best, Some(Ok(f)) if f.works())
    }
}

/// The tries, as far as they are known.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct TriesSeen {
    /// The minute for which they are made; None: nobody asked yet.
    pub made_for: Option<Minute>,
    /// Each try, the evening as it is first, and what came of it so far.
    pub rows: Vec<(Try, Option<Tried>)>,
}

impl TriesSeen {
    /// The plan of the evening as it is, if it is known.
    #[must_use]
    pub fn as_it_is(&self) -> Option<&super::tries::Outcome> {
        match self.rows.first() {
            Some((_, Some(Tried::Plan(outcome)))) => Some(outcome),
            _ => None,
        }
    }
}

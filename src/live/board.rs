//! The pages of ways out and tries while the program runs: when they are worked
//! out, what is known of them, what the cook typed.

use super::tryer::{Found, Piece, Query, Tries, Wish};
use crate::kitchen::Minute;
use crate::order::InOrder;
use crate::plan::ways::{Change, TriesSeen, Try, WaysSeen, tries};
use crate::run::{Event, State};
use crate::screen::Page;

/// What is known is worked out anew after so many minutes of the party's clock.
const STALE_AFTER: Minute = 3;

/// The most tries that the cook types.
const MOST_TYPED: usize = 12;

/// What the two pages show, and what is being worked out for them.
pub struct Board {
    tryer: Box<dyn Tries>,
    turn: u64,
    open: bool,
    /// Which page it is being worked out for.
    page: Option<Page>,
    /// How many marks of the cook there were then.
    marks: usize,
    ways: WaysSeen,
    /// Ways out that are being worked out anew, while the old ones are shown.
    ways_anew: Option<WaysSeen>,
    tries: TriesSeen,
    typed: Vec<Vec<Change>>,
}

impl Board {
    /// Nothing known yet.
    #[must_use]
    pub fn new(tryer: impl Tries + 'static) -> Self {
        Self {
            tryer: Box::new(tryer),
            turn: 0,
            open: false,
            page: None,
            marks: 0,
            ways: WaysSeen::default(),
            ways_anew: None,
            tries: TriesSeen::default(),
            typed: Vec::new(),
        }
    }

    /// The ways out, as far as they are known.
    #[must_use]
    pub const fn ways(&self) -> &WaysSeen {
        &self.ways
    }

    /// The tries, as far as they are known.
    #[must_use]
    pub const fn tries(&self) -> &TriesSeen {
        &self.tries
    }

    /// A change that the cook typed: the first row after the evening as it is.
    pub fn add(&mut self, changes: Vec<Change>) {
        self.typed.retain(|t| *t != changes);
        self.typed.insert(0, changes);
        self.typed.truncate(MOST_TYPED);
        // The page is asked for again, with the new row.
        (self.tries.made_for, self.page) = (None, None);
    }

    /// Asks for what the page in front shows, if it is not known or out of date.
    pub fn look(&mut self, page: Page, state: &State, now_ms: i64) {
        if !matches!(page, Page::Ways | Page::WhatIf) {
            if self.open {
                self.turn += 1;
                self.tryer.rest(self.turn);
                self.open = false;
            }
            self.page = None;
            return;
        }
        let marks = marks_of_cook(state);
        let now = state.minute(now_ms);
        let changed = marks != self.marks;
        let working = self.open && self.page == Some(page);
        if !changed && (working || self.knows(page, now)) {
            self.page = Some(page);
            return;
        }
        if changed {
            (self.ways, self.tries) = (WaysSeen::default(), TriesSeen::default());
            self.ways_anew = None;
        }
        (self.marks, self.page, self.open) = (marks, Some(page), true);
        self.turn += 1;
        let situation = state.situation(now_ms);
        let wish = match page {
            Page::Ways => {
                let begun = WaysSeen::begun(now);
                if self.ways.done {
                    self.ways_anew = Some(begun);
                } else {
                    self.ways = begun;
                }
                Wish::Ways
            }
            _ => {
                let usual = tries::usual(state.evening(), &situation);
                let own = self.typed.iter();
                let own = own.map(|c| Try::new(state.evening(), &situation, c.clone()));
                let mut all: Vec<Try> = usual;
                all.splice(1..1, own);
                let before = std::mem::take(&mut self.tries.rows);
                let known = |t: &Try| before.iter().find(|b| b.0.changes == t.changes)?.1.clone();
                let rows = all.into_iter().map(|t| {
                    let known = known(&t);
                    (t, known)
                });
                self.tries = TriesSeen { made_for: Some(now), rows: rows.collect() };
                let mut rows: Vec<_> = self.tries.rows.iter().enumerate().collect();
                // What is not known at all comes first, after the evening as it is.
                rows.order_by_key(|(at, row)| (*at > 0 && row.1.is_some(), *at));
                let rows = rows.into_iter();
                Wish::Tries(rows.map(|(at, row)| (at, row.0.changes.clone())).collect())
            }
        };
        let evening = std::sync::Arc::clone(state.evening());
        self.tryer.ask(Query { turn: self.turn, evening, situation, wish });
    }

    /// Is all of a page known, and not too long ago?
    fn knows(&self, page: Page, now: Minute) -> bool {
        let (made_for, whole) = match page {
            Page::Ways => (self.ways.made_for, self.ways.done),
            _ => (self.tries.made_for, self.tries.rows.iter().all(|r| r.1.is_some())),
        };
        whole && made_for.is_some_and(|then| (now - then).abs() < STALE_AFTER)
    }

    /// Takes a piece, if it still answers the question.
    pub fn take(&mut self, piece: Piece) {
        if piece.turn != self.turn {
            return;
        }
        match piece.what {
            Found::News(news) => self.ways_anew.as_mut().unwrap_or(&mut self.ways).take(news),
            Found::Tried(place, tried) => {
                if let Some(row) = self.tries.rows.get_mut(place) {
                    row.1 = Some(tried);
                }
            }
            Found::Done(_) => {
                self.open = false;
                if self.page == Some(Page::Ways) {
                    self.ways_anew.as_mut().unwrap_or(&mut self.ways).done = true;
                }
                if let Some(anew) = self.ways_anew.take() {
                    self.ways = anew;
                }
            }
        }
    }
}

/// Marks that count and say more than which plan is shown or what was seen.
fn marks_of_cook(state: &State) -> usize {
    let says = |e: &Event| {
        !matches!(
            e,
            Event::PlanAdopted { .. }
                | Event::AlarmAcknowledged { .. }
                | Event::AlarmPutOff { .. }
                | Event::AlarmAnswered { .. }
                | Event::Temperature { .. }
                | Event::Ticked { .. }
        )
    };
    state.marks().filter(|(mark, _)| says(&mark.event)).count()
}

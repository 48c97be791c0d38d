//! What is typed into a form is on the disk before it is shown, and the cook is told if it is not. Of several desks one
//! writes the draft of a thing: who has its form open.

use std::fs::File;

use super::Store;
use crate::screen::desk::{Desk, Wish};
use crate::screen::form::{Form, Paper, Sort};
use crate::store::RealDisk;

/// What is said of a form that is open at another desk.
const ELSEWHERE: &str = "it is open at another desk: go on there, or close it there first";

/// The right to write the draft of a thing, as long as this lives.
pub(super) struct Right {
    of: (Sort, Option<String>),
    /// Nothing where the system has no locks.
    _lock: Option<File>,
}

/// What the desk's loop remembers of the form that is open.
#[derive(Default)]
pub(super) struct Bench {
    /// The paper in it, as it was looked at last.
    paper: Option<Paper>,
    /// Why it is not on the disk as it is, if it is not.
    unkept: Option<String>,
    /// The cook was told that it is lost if they leave.
    warned: bool,
}

impl Bench {
    /// Does what the cook wants end the form's business, so that nothing is to be kept of it?
    pub fn after(&mut self, ends: bool, desk: &Desk) {
        if ends && desk.form.is_none() {
            self.unkept = None;
        }
    }

    /// May the program be left? What is not kept is told first, once.
    pub fn may_leave(&mut self, desk: &mut Desk) -> bool {
        let (Some(why), Some(form)) = (&self.unkept, desk.form.as_mut()) else { return true };
        form.say = Some(format!("NOT KEPT: {why}. Press again to leave without it."));
        std::mem::replace(&mut self.warned, true)
    }
}

/// Is the form done with, if this is fulfilled?
pub(super) const fn ends(wish: &Wish) -> bool {
    matches!(wish, Wish::Save(_) | Wish::Discard(..))
}

impl Store {
    /// Keeps what is in the form, before it is shown.
    pub(super) fn keep(&self, desk: &mut Desk, bench: &mut Bench) {
        let Some(paper) = desk.form.as_ref().map(|f| f.paper.clone()) else {
            self.close(desk, bench);
            return;
        };
        if bench.paper.as_ref() == Some(&paper) && bench.unkept.is_none() {
            return;
        }
        if bench.paper.is_none() && self.waits_there(&paper) {
            // Another desk left it since this one looked.
            desk.form = None;
            desk.known.drafts = self.draft_ids();
            let word = paper.sort.word();
            desk.say = Some(format!("A {word} is not saved yet: go on with that one first."));
            return;
        }
        let done = self.keep_paper(&paper, bench.paper.is_some());
        bench.warned &= done.is_err();
        bench.unkept = done.err();
        bench.paper = Some(paper);
        if let (Some(why), Some(form)) = (&bench.unkept, desk.form.as_mut()) {
            form.say = Some(format!("What you type is NOT KEPT: {why}"));
        }
    }

    /// The form was closed: what could not be kept of it must be, or it is opened again.
    fn close(&self, desk: &mut Desk, bench: &mut Bench) {
        let Some(paper) = bench.paper.take() else { return };
        if bench.unkept.is_some()
            && let Err(why) = self.keep_paper(&paper, true)
        {
            let mut form = Form::open(paper.clone(), &desk.known);
            let more = "Ctrl-X throws it away, Ctrl-S saves it";
            form.say = Some(format!("What you typed is NOT KEPT: {why}. {more}."));
            (desk.form, desk.say) = (Some(form), None);
            (bench.paper, bench.unkept) = (Some(paper), Some(why));
            return;
        }
        *bench = Bench::default();
        *self.right.borrow_mut() = None;
        desk.known.drafts = self.draft_ids();
    }

    /// `seen`: it is not the first look at it.
    fn keep_paper(&self, paper: &Paper, seen: bool) -> Result<(), String> {
        if !self.claim(paper) {
            return Err(ELSEWHERE.to_owned());
        }
        let (kind, id) = (paper.sort.word(), paper.id.as_deref());
        // A new thing that nobody has touched is no draft.
        let begun = paper.before.is_some() || seen || paper.brought;
        let done = match paper.is_changed() && begun {
            true => self.drafts.keep(&RealDisk, kind, id, paper),
            false if seen => self.drafts.forget(&RealDisk, kind, id),
            false => Ok(()),
        };
        done.map_err(|trouble| trouble.to_string())
    }

    /// Is there a draft of the thing that is not the one in the form?
    fn waits_there(&self, paper: &Paper) -> bool {
        let there = self.drafts.find::<Paper>(paper.sort.word(), paper.id.as_deref());
        there.is_ok_and(|there| there.is_some_and(|there| there.value != paper.value))
    }

    /// Takes the right to write the draft of a paper, if no other desk has it.
    fn claim(&self, paper: &Paper) -> bool {
        let mut right = self.right.borrow_mut();
        let of = (paper.sort, paper.id.clone());
        if right.as_ref().is_some_and(|right| right.of == of) {
            return true;
        }
        *right = None;
        match self.drafts.claim(&RealDisk, paper.sort.word(), paper.id.as_deref()) {
            Ok(None) => false,
            Ok(Some(lock)) => {
                *right = Some(Right { of, _lock: Some(lock) });
                true
            }
            // If that is the disk's doing, keeping the draft will say so.
            Err(_) => {
                *right = Some(Right { of, _lock: None });
                true
            }
        }
    }

    /// Forgets the draft of a thing, if it is this desk that writes it.
    pub(super) fn forget(&self, sort: Sort, id: Option<&str>) -> Option<String> {
        let of = (sort, id.map(str::to_owned));
        if self.right.borrow().as_ref().is_none_or(|right| right.of != of) {
            return None;
        }
        self.drafts.forget(&RealDisk, sort.word(), id).err().map(|trouble| trouble.to_string())
    }

    /// Opens a form, with the draft of it if there is one.
    pub(super) fn open(&self, desk: &mut Desk, sort: Sort, id: Option<&str>) {
        let word = sort.word();
        if matches!(self.drafts.claim(&RealDisk, word, id), Ok(None)) {
            desk.say = Some(format!("Not opened: {ELSEWHERE}."));
            return;
        }
        let (draft, aside) = match self.drafts.find::<Paper>(word, id) {
            Ok(draft) => (draft, None),
            Err(why) => match self.drafts.put_aside(&RealDisk, word, id) {
                Ok(to) => (None, Some(format!("{why}; it is kept as {}", to.display()))),
                Err(trouble) => {
                    desk.say = Some(format!("{why}; and it cannot be put aside: {trouble}"));
                    return;
                }
            },
        };
        desk.open(sort, id, draft);
        if let (Some(words), Some(form)) = (aside, desk.form.as_mut()) {
            form.say = Some(words);
        }
    }
}

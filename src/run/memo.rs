//! What was worked out about one moment of an evening, kept while its picture is made.
//!
//! A picture asks dozens of times how the same few clocks stand: for the board, for the alarms, for
//! the next of them. Nothing of it outlives [`Memo::during`], within which the evening cannot change.

use std::cell::RefCell;
use std::collections::BTreeMap;

use super::food::Food;
use crate::safety::Standing;

/// A food, a moment, and up to when what happened is known (unix ms).
pub(super) type Asked = (Food, i64, i64);

/// See the head of this module. Two are always equal, and a copy is empty: it says nothing of the evening.
#[derive(Debug, Default)]
pub(super) struct Memo(RefCell<Kept>);

type Kept = Option<BTreeMap<Asked, Option<Standing>>>;

struct Forgets<'a>(&'a RefCell<Kept>);

impl Drop for Forgets<'_> {
    fn drop(&mut self) {
        *self.0.borrow_mut() = None;
    }
}

impl Memo {
    /// Keeps what is worked out during `work`.
    pub fn during<T>(&self, work: impl FnOnce() -> T) -> T {
        let outermost = self.0.borrow().is_none();
        if !outermost {
            return work();
        }
        *self.0.borrow_mut() = Some(BTreeMap::new());
        // Forgotten too if the work breaks off: what was known of one moment must not stand for another.
        let _forgets = Forgets(&self.0);
        work()
    }

    /// How a clock stands, worked out once if a picture is being made.
    pub fn standing(
        &self,
        asked: Asked,
        work: impl FnOnce() -> Option<Standing>,
    ) -> Option<Standing> {
        if let Some(known) = self.0.borrow().as_ref().and_then(|kept| kept.get(&asked)) {
            return known.clone();
        }
        let worked_out = work();
        if let Some(kept) = self.0.borrow_mut().as_mut() {
            kept.insert(asked, worked_out.clone());
        }
        worked_out
    }
}

impl Clone for Memo {
    fn clone(&self) -> Self {
        Self::default()
    }
}

impl PartialEq for Memo {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

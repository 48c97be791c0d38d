//! What the lines of a list ask, kept for as long as neither the party nor its dishes change.
//!
//! Ticks come by the dozen, and an undo goes through all of them again; to work a list out for each of them
//! would take a whole evening's undo a noticeable while.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::sync::Arc;

use crate::kitchen::Evening;
use crate::mise::ticks::{self, Asked};

/// See the head of this module. Two are always equal: it says nothing that the evening does not.
#[derive(Debug, Default, Clone)]
pub(super) struct AskedFor(RefCell<Option<Kept>>);

#[derive(Debug, Clone)]
struct Kept {
    /// Held, so that a change makes another one and never changes this.
    evening: Arc<Evening>,
    dropped: Vec<usize>,
    lists: BTreeMap<&'static str, Arc<BTreeMap<String, Asked>>>,
}

impl AskedFor {
    /// What the lines of a list (see [`ticks::LISTS`]) ask by the party as it is now.
    pub fn list(
        &self,
        evening: &Arc<Evening>,
        dropped: Vec<usize>,
        list: &'static str,
    ) -> Arc<BTreeMap<String, Asked>> {
        let mut kept = self.0.borrow_mut();
        if kept.as_ref().is_none_or(|k| !Arc::ptr_eq(&k.evening, evening) || k.dropped != dropped) {
            *kept = None;
        }
        let kept = kept.get_or_insert_with(|| Kept {
            evening: Arc::clone(evening),
            dropped,
            lists: BTreeMap::new(),
        });
        let lines = kept
            .lists
            .entry(list)
            .or_insert_with(|| Arc::new(ticks::asked(evening, &kept.dropped, list)));
        Arc::clone(lines)
    }
}

impl PartialEq for AskedFor {
    fn eq(&self, _: &Self) -> bool {
        true
    }
}

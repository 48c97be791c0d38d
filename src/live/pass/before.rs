//! What the pages before the evening show that is too much for a frame, or comes from files: made when such a page
//! is looked at and what it depends on has changed.

use std::sync::Arc;

use super::Pass;
use crate::kitchen::Recipe;
use crate::mise::servingware::{lay_out, wanted};
use crate::screen::Page;
use crate::store::shelf;

impl Pass {
    /// Brings what the page in front shows up to date.
    pub(super) fn look_at_lists(&mut self) {
        match self.ui.page {
            Page::Menu if self.status.shelf.is_empty() => {
                self.status.shelf = Arc::new(self.recipes());
            }
            Page::Serving => self.lay_table(),
            _ => {}
        }
    }

    /// The cook's own recipes, then those inside the program; a file that cannot be read is the desk's business.
    fn recipes(&self) -> Vec<Recipe> {
        let own = self.files.iter().flat_map(|files| files.own.all::<Recipe>());
        let mut all: Vec<Recipe> = own.filter_map(|(_, read)| read.ok()).collect();
        all.extend(shelf::recipes());
        all
    }

    /// Lays the serving dishes anew if any dish wants another one, or at another time.
    fn lay_table(&mut self) {
        let evening = self.state.evening();
        let needs = wanted(evening, self.state.plan().map(AsRef::as_ref), &self.view.dropped);
        let is_laid = self.status.laying.as_ref().is_some_and(|l| l.is_for(&needs));
        if !is_laid {
            let laid = lay_out(&evening.kitchen.servingware, &needs);
            self.status.laying = Some(Arc::new(laid));
        }
    }
}

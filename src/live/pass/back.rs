//! Looking back while the report is in front, and changes for next time.

use std::sync::Arc;

use super::Pass;
use crate::kitchen::Minute;
use crate::run::look_back::look_back;
use crate::screen::Page;

impl Pass {
    /// Looks back anew when something was marked or a minute has passed.
    pub(super) fn look_back(&mut self, now_ms: i64) {
        let begun = !self.state.facts().progress.is_empty();
        if self.ui.page != Page::Report || !begun {
            self.status.back = None;
            self.looked_back = None;
            return;
        }
        let of: (u64, Minute) = (self.state.next_seq(), self.state.minute(now_ms));
        if self.looked_back == Some(of) {
            return;
        }
        self.looked_back = Some(of);
        self.status.back = Some(Arc::new(look_back(&self.state, now_ms)));
    }

    /// Writes a change for next time into the cook's file.
    pub(super) fn write_change(&mut self, at: usize) {
        let edit = self.status.back.as_ref().and_then(|b| b.next_time.get(at)).cloned();
        let Some(edit) = edit else { return };
        self.ui.say = Some(match &self.files {
            None => "The demo and rehearsals change no file of yours.".to_owned(),
            Some(files) => files.apply(&edit).unwrap_or_else(|why| format!("NOT WRITTEN: {why}")),
        });
    }
}

//! Steps whose times the cook wanted forgotten: a file of their own, since no
//! evening's journal is about it.

use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::disk::{Disk, is_gone};
use super::place;
use super::save::{IfThere, save};
use super::trouble::FileTrouble;
use crate::learn::wire::ForgottenEntry;

const FORMAT: &str = "potwatch forgotten 1";

/// The steps, in the order in which they were forgotten.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Forgotten {
    format: String,
    /// What was seen of each up to a time does not count.
    pub steps: Vec<ForgottenEntry>,
}

impl Default for Forgotten {
    fn default() -> Self {
        Self { format: FORMAT.to_owned(), steps: Vec::new() }
    }
}

impl Forgotten {
    fn path(data: &Path) -> PathBuf {
        data.join("forgotten-times.json")
    }

    /// What is kept in the folder of the cook's own things, and a sentence if it
    /// cannot be understood: then nothing that was seen counts, since what was to
    /// be forgotten is not known.
    #[must_use]
    pub fn load(data: &Path) -> (Self, Option<String>) {
        let path = Self::path(data);
        if is_gone(&path) {
            return (Self::default(), None);
        }
        let read = super::read::text_of(&path).map_err(|p| p.to_string());
        let read = read.and_then(|text| {
            serde_json::from_str(&text).map_err(|e| format!("{}: {e}", path.display()))
        });
        match read {
            Ok(forgotten) => (forgotten, None),
            Err(why) => (Self::default(), Some(format!("{why}; your own times do not count"))),
        }
    }

    /// Was a step that ended at `at_ms` to be forgotten?
    #[must_use]
    pub fn covers(&self, recipe: &str, step: &str, at_ms: i64) -> bool {
        let of = |f: &ForgottenEntry| f.recipe == recipe && f.step == step && at_ms <= f.until_ms;
        self.steps.iter().any(of)
    }

    /// Forgets what was seen of a step so far.
    pub fn forget(&mut self, recipe: &str, step: &str, now_ms: i64) {
        self.remember(recipe, step);
        let (recipe, step) = (recipe.to_owned(), step.to_owned());
        self.steps.push(ForgottenEntry { recipe, step, until_ms: now_ms });
    }

    /// Lets it count again. Was it forgotten?
    pub fn remember(&mut self, recipe: &str, step: &str) -> bool {
        let before = self.steps.len();
        self.steps.retain(|f| f.recipe != recipe || f.step != step);
        self.steps.len() != before
    }

    /// Keeps it, whole or not at all.
    ///
    /// # Errors
    /// Trouble with the disk.
    pub fn keep<D: Disk>(&self, disk: &D, data: &Path) -> Result<(), FileTrouble> {
        place::make(disk, data)?;
        let text = serde_json::to_string_pretty(self).unwrap_or_default();
        save(disk, &Self::path(data), format!("{text}\n").as_bytes(), IfThere::Replace)
    }
}

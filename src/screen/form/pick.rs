//! A list to choose from, found as it is typed.

use crate::order::InOrder;

/// An open list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pick {
    /// What was typed to find it.
    pub typed: String,
    /// The chosen row of those that fit.
    pub row: usize,
    /// All there is: values, and the words for them.
    options: Vec<(String, String)>,
    /// An entry is added for what is picked; else it goes into the field in focus.
    pub(super) adds: bool,
}

impl Pick {
    /// Opens a list.
    #[must_use]
    pub fn new(options: Vec<(String, String)>, chosen: &str, adds: bool) -> Self {
        let row = options.iter().position(|(value, _)| value == chosen).unwrap_or(0);
        Self { typed: String::new(), row, options, adds }
    }

    /// What fits what was typed: every word of it somewhere. Those whose words
    /// begin with it come first.
    #[must_use]
    pub fn fitting(&self) -> Vec<&(String, String)> {
        let wanted = self.typed.to_lowercase();
        let words: Vec<&str> = wanted.split_whitespace().collect();
        let fits = |o: &&(String, String)| {
            let (id, text) = (o.0.to_lowercase(), o.1.to_lowercase());
            words.iter().all(|w| id.contains(w) || text.contains(w))
        };
        let mut found: Vec<&(String, String)> = self.options.iter().filter(fits).collect();
        if let Some(first) = words.first() {
            found.order_by_key(|o| {
                !o.1.to_lowercase().split_whitespace().any(|w| w.starts_with(first))
            });
        }
        found
    }

    /// The value of the chosen row.
    #[must_use]
    pub fn chosen(&self) -> Option<String> {
        self.fitting().get(self.row).map(|o| o.0.clone())
    }

    /// Types a letter.
    pub(super) fn letter(&mut self, c: char) {
        self.typed.push(c);
        self.row = 0;
    }

    /// Takes the last letter back.
    pub(super) fn back(&mut self) {
        self.typed.pop();
        self.row = 0;
    }

    /// Moves the chosen row by so many.
    pub(super) fn step(&mut self, by: isize) {
        let last = self.fitting().len().saturating_sub(1);
        self.row = self.row.saturating_add_signed(by).min(last);
    }
}

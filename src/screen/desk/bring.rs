//! Bringing in a recipe that somebody already has: its file is named or its text
//! pasted, the reading stands beside the source, and what is proposed becomes a form.

use ratatui::crossterm::event::KeyCode;

use super::{Desk, Wish};
use crate::bring::{self, Found};
use crate::screen::form::{Form, Paper, Sort};

/// Longest path of a file, in letters.
const PATH_MOST: usize = 400;
/// Lines that a page key scrolls.
const PAGE: usize = 10;

/// How far the bringing in has come.
#[derive(Debug, Clone, PartialEq)]
pub enum Bring {
    /// The file is asked for, or its text.
    Ask {
        /// What was typed.
        path: String,
        /// Why the last one gave no recipe.
        why: Option<String>,
    },
    /// The reading is shown.
    Shown {
        /// The recipes that were found, the fullest first.
        found: Vec<Found>,
        /// The one that is shown.
        which: usize,
        /// Lines scrolled past.
        scroll: usize,
        /// The file that it is from; empty for a text that was pasted.
        path: String,
    },
}

impl Desk {
    /// Asks for a recipe to bring in, if there is room for a new one.
    pub(super) fn ask_bring(&mut self) {
        if self.known.drafts.contains(&(Sort::Recipe, None)) {
            self.say = Some("A new recipe is not saved yet: go on with that one first.".to_owned());
            return;
        }
        self.bring = Some(Bring::Ask { path: String::new(), why: None });
    }

    /// What came of reading a file or a text.
    pub fn brought(&mut self, read: Result<Vec<Found>, String>, path: &str) {
        let path = path.to_owned();
        self.bring = Some(match read {
            Ok(found) if !found.is_empty() => Bring::Shown { found, which: 0, scroll: 0, path },
            Ok(_) => Bring::Ask { path, why: Some("It holds no recipe.".to_owned()) },
            Err(why) => Bring::Ask { path, why: Some(why) },
        });
    }

    pub(super) fn press_bring(&mut self, code: KeyCode) -> Vec<Wish> {
        match self.bring.as_mut() {
            Some(Bring::Ask { path, why }) => match code {
                KeyCode::Esc => self.bring = None,
                KeyCode::Enter if !path.trim().is_empty() => {
                    return vec![Wish::Bring(path.trim().to_owned())];
                }
                KeyCode::Backspace => (_, *why) = (path.pop(), None),
                KeyCode::Char(c) if path.chars().count() < PATH_MOST => path.push(c),
                _ => {}
            },
            Some(Bring::Shown { .. }) => self.press_shown(code),
            None => {}
        }
        Vec::new()
    }

    fn press_shown(&mut self, code: KeyCode) {
        let Some(Bring::Shown { found, which, scroll, path }) = self.bring.as_mut() else { return };
        let last = found.len().saturating_sub(1);
        match code {
            KeyCode::Esc => {
                self.bring = Some(Bring::Ask { path: std::mem::take(path), why: None });
            }
            KeyCode::Up => *scroll = scroll.saturating_sub(1),
            KeyCode::Down => *scroll = scroll.saturating_add(1),
            KeyCode::PageUp => *scroll = scroll.saturating_sub(PAGE),
            KeyCode::PageDown => *scroll = scroll.saturating_add(PAGE),
            KeyCode::Home => *scroll = 0,
            KeyCode::Left => (*which, *scroll) = (which.saturating_sub(1), 0),
            KeyCode::Right => (*which, *scroll) = ((*which + 1).min(last), 0),
            KeyCode::Enter => {
                let one = found.get(*which).map(bring::draft);
                if let Some(value) = one.and_then(|d| serde_json::to_value(d.recipe).ok()) {
                    self.bring = None;
                    self.sort = Sort::Recipe;
                    let mut form = Form::open(Paper::brought(Sort::Recipe, value), &self.known);
                    form.say = Some(
                        "Proposed: choose each step that is marked, Ctrl-O if it is right."
                            .to_owned(),
                    );
                    self.form = Some(form);
                }
            }
            _ => {}
        }
    }

    /// A text that was pasted: a path goes into the field, a recipe is read at once.
    pub(super) fn paste_bring(&mut self, text: &str) {
        let Some(Bring::Ask { path, why }) = self.bring.as_mut() else { return };
        let text = text.trim();
        let recipe = text.contains(['\n', '\r']) || text.starts_with(['{', '[', '<']);
        if !recipe {
            *why = None;
            let room = PATH_MOST.saturating_sub(path.chars().count());
            path.extend(text.chars().filter(|c| !c.is_control()).take(room));
            return;
        }
        // Terminals paste line breaks as carriage returns.
        let text = text.replace("\r\n", "\n").replace('\r', "\n");
        let read = bring::read(text.as_bytes());
        self.brought(
            read.map_err(|t| format!("What was pasted {}. {}.", t.what(), t.remedy())),
            "",
        );
    }
}

//! What keys do at the desk.

use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};

use super::{Deed, Desk, Wish};
use crate::screen::form::{self, Asks, Sort};

/// Longest word that is looked for, in letters.
const FIND_MOST: usize = 60;
/// Longest path of a file, in letters.
const PATH_MOST: usize = 400;

impl Desk {
    /// A key.
    pub fn press(&mut self, key: &KeyEvent) -> Vec<Wish> {
        let ctrl = key.modifiers.contains(KeyModifiers::CONTROL);
        self.say = None;
        match key.code {
            KeyCode::Char('z') if ctrl => return vec![Wish::Suspend],
            KeyCode::Char('l') if ctrl => return vec![Wish::Redraw],
            KeyCode::Char('t') if ctrl => {
                self.mouse = !self.mouse;
                return vec![Wish::Mouse(self.mouse)];
            }
            KeyCode::Char('c' | 'q') if ctrl => return vec![Wish::Leave],
            _ => {}
        }
        if self.form.is_some() {
            return self.press_form(key);
        }
        if self.bring.is_some() {
            return self.press_bring(key.code);
        }
        if self.export.is_some() {
            return self.press_export(key.code);
        }
        if self.menu.is_some() {
            return self.press_menu(key.code);
        }
        self.press_list(key.code, ctrl)
    }

    /// A text that was pasted.
    pub fn paste(&mut self, text: &str) {
        let tame = text.chars().filter(|c| !c.is_control());
        if let Some(form) = self.form.as_mut() {
            form::paste(form, text, &self.known);
        } else if self.bring.is_some() {
            self.paste_bring(text);
        } else if let Some((_, path)) = self.export.as_mut() {
            path.extend(tame.take(PATH_MOST));
        } else if self.menu.is_none() {
            self.typed.extend(tame.take(FIND_MOST));
            self.row = 0;
        }
    }

    fn press_form(&mut self, key: &KeyEvent) -> Vec<Wish> {
        let Some(form) = self.form.as_mut() else { return Vec::new() };
        let asks = form::press(form, key, &self.known);
        self.asked(asks)
    }

    /// What the form asked for is done.
    pub(super) fn asked(&mut self, asks: Asks) -> Vec<Wish> {
        let Some(form) = self.form.as_ref() else { return Vec::new() };
        match asks {
            Asks::Nothing => Vec::new(),
            Asks::Save => vec![Wish::Save(Box::new(form.paper.clone()))],
            Asks::Close => {
                let kept = form.paper.is_changed() && (form.is_touched() || form.paper.brought);
                self.form = None;
                if kept {
                    self.say = Some("Not saved; what you typed is kept here.".to_owned());
                }
                Vec::new()
            }
            Asks::Discard => {
                let wish = Wish::Discard(form.paper.sort, form.paper.id.clone());
                self.form = None;
                self.say = Some("Thrown away: the shelf is as it was.".to_owned());
                vec![wish]
            }
        }
    }

    fn press_list(&mut self, code: KeyCode, ctrl: bool) -> Vec<Wish> {
        let last = self.things().len().saturating_sub(1);
        match code {
            KeyCode::Char('b') if ctrl => self.ask_bring(),
            KeyCode::Esc if !self.typed.is_empty() => (self.typed, self.row) = (String::new(), 0),
            KeyCode::Esc => return vec![Wish::Leave],
            KeyCode::Tab | KeyCode::Right => self.turn(1),
            KeyCode::BackTab | KeyCode::Left => self.turn(-1),
            KeyCode::Up => self.row = self.row.saturating_sub(1),
            KeyCode::Down => self.row = (self.row + 1).min(last),
            KeyCode::PageUp => self.row = self.row.saturating_sub(10),
            KeyCode::PageDown => self.row = (self.row + 10).min(last),
            KeyCode::Home => self.row = 0,
            KeyCode::End => self.row = last,
            KeyCode::Backspace => {
                self.typed.pop();
                self.row = 0;
            }
            KeyCode::Char(c) if !ctrl && self.typed.chars().count() < FIND_MOST => {
                self.typed.push(c);
                self.row = 0;
            }
            KeyCode::Enter => {
                return match self.chosen() {
                    Some(thing) if thing.id.is_some() => {
                        self.menu = Some(0);
                        Vec::new()
                    }
                    Some(thing) if thing.brings => {
                        self.ask_bring();
                        Vec::new()
                    }
                    Some(_) if self.sort == Sort::Settings => {
                        vec![Wish::Open(Sort::Settings, Some("settings".to_owned()))]
                    }
                    Some(_) => vec![Wish::Open(self.sort, None)],
                    None => Vec::new(),
                };
            }
            _ => {}
        }
        Vec::new()
    }

    fn turn(&mut self, by: isize) {
        let at = Sort::ALL.iter().position(|s| *s == self.sort).unwrap_or(0);
        let many = Sort::ALL.len();
        self.go(if by < 0 { at + many - 1 } else { at + 1 } % many);
    }

    /// To a shelf, by its place among the tabs.
    pub(super) fn go(&mut self, to: usize) {
        self.sort = Sort::ALL.get(to).copied().unwrap_or(Sort::Party);
        (self.row, self.typed) = (0, String::new());
    }

    fn press_menu(&mut self, code: KeyCode) -> Vec<Wish> {
        let deeds = self.deeds();
        let at = self.menu.unwrap_or(0).min(deeds.len().saturating_sub(1));
        match code {
            KeyCode::Up => self.menu = Some(at.saturating_sub(1)),
            KeyCode::Down => self.menu = Some((at + 1).min(deeds.len().saturating_sub(1))),
            KeyCode::Enter => {
                self.menu = None;
                return deeds.get(at).map_or_else(Vec::new, |deed| self.do_it(*deed));
            }
            KeyCode::Esc => self.menu = None,
            _ => {}
        }
        Vec::new()
    }

    fn do_it(&mut self, deed: Deed) -> Vec<Wish> {
        let Some(id) = self.chosen().and_then(|t| t.id) else { return Vec::new() };
        match deed {
            Deed::Cook => vec![Wish::Cook(id)],
            Deed::Change => vec![Wish::Open(self.sort, Some(id))],
            Deed::Copy if self.known.drafts.contains(&(self.sort, None)) => {
                let word = self.sort.word();
                self.say =
                    Some(format!("A new {word} is not saved yet: go on with that one first."));
                Vec::new()
            }
            Deed::Copy => vec![Wish::Copy(self.sort, id)],
            Deed::TakeOff => vec![Wish::TakeOff(self.sort, id)],
            Deed::Export => {
                let path = format!("{id}-whole.json");
                self.export = Some((id, path));
                Vec::new()
            }
            Deed::Share => {
                let path = format!("{id}-recipe.json");
                self.export = Some((id, path));
                Vec::new()
            }
        }
    }

    fn press_export(&mut self, code: KeyCode) -> Vec<Wish> {
        let Some((id, path)) = self.export.as_mut() else { return Vec::new() };
        match code {
            KeyCode::Esc => self.export = None,
            KeyCode::Enter if !path.trim().is_empty() => {
                let (id, path) = (id.clone(), path.trim().to_owned());
                let recipe = self.sort == Sort::Recipe;
                let wish = if recipe { Wish::Share(id, path) } else { Wish::Export(id, path) };
                self.export = None;
                return vec![wish];
            }
            KeyCode::Backspace => _ = path.pop(),
            KeyCode::Char(c) if path.chars().count() < PATH_MOST => path.push(c),
            _ => {}
        }
        Vec::new()
    }
}

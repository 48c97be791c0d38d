//! Cards over a page: the help, the list of actions, all about one block, and
//! the short questions that some actions ask.

mod actions;
mod ask;
mod detail;
mod help;
mod trial;

pub use ask::{Ask, Choice, Kind, Then, divisible, early_rows};

use ratatui::crossterm::event::KeyCode;
use ratatui::layout::Rect;
use ratatui::style::Style;

use super::canvas::{Canvas, Hit, bottom};
use super::look::Ink;
use super::ui::{Sel, Ui};
use super::{Intent, Scene, keys, text};

/// A card.
#[derive(Debug, Clone, PartialEq)]
pub enum Card {
    /// Help for the page in front.
    Help {
        /// Lines scrolled past.
        scroll: usize,
    },
    /// Everything that can be done.
    Actions {
        /// What was typed to find it.
        typed: String,
        /// The chosen row.
        row: usize,
    },
    /// A change to try, as it is typed.
    Try {
        /// What was typed.
        typed: String,
    },
    /// All about a block.
    Detail(Sel),
    /// A question.
    Ask(Ask),
}

impl Card {
    /// A question, with nothing answered yet.
    #[must_use]
    pub const fn ask(kind: Kind) -> Self {
        Self::Ask(Ask::new(kind))
    }
}

/// Draws the card that is open, if one is.
pub fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    match &ui.card {
        None => {}
        Some(Card::Help { scroll }) => help::draw(canvas, field, scene, ui, *scroll),
        Some(Card::Actions { typed, row }) => {
            actions::draw(canvas, field, scene, ui, typed, *row);
        }
        Some(Card::Try { typed }) => trial::draw(canvas, field, typed),
        Some(Card::Detail(sel)) => detail::draw(canvas, field, scene, *sel),
        Some(Card::Ask(asked)) => ask::draw(canvas, field, scene, ui, asked),
    }
}

/// A key while a card is open.
pub fn press(ui: &mut Ui, code: KeyCode, scene: &Scene, real_ms: i64) -> Vec<Intent> {
    let Some(card) = ui.card.take() else { return Vec::new() };
    if code == KeyCode::Esc {
        return Vec::new();
    }
    match card {
        Card::Help { scroll } => {
            let scroll = match code {
                KeyCode::Down => scroll.saturating_add(1),
                KeyCode::Up => scroll.saturating_sub(1),
                KeyCode::PageDown => scroll.saturating_add(10),
                KeyCode::PageUp => scroll.saturating_sub(10),
                _ => return Vec::new(),
            };
            ui.card = Some(Card::Help { scroll: scroll.min(help::most_scroll(scene, ui)) });
            Vec::new()
        }
        Card::Actions { typed, row } => actions::press(ui, code, typed, row, scene, real_ms),
        Card::Try { typed } => trial::press(ui, code, typed),
        Card::Detail(_) if matches!(code, KeyCode::Enter | KeyCode::Char('i' | ' ')) => Vec::new(),
        Card::Detail(_) => {
            // Whatever else is pressed is about the block that was looked at.
            match keys::find(keys::Press { code, ctrl: false }, scene, ui) {
                Some(action) => ui.act(action.act, scene, real_ms),
                None => Vec::new(),
            }
        }
        Card::Ask(asked) => ask::press(ui, code, asked, scene),
    }
}

/// A press of the pointer on a row of a card.
pub fn press_row(ui: &mut Ui, row: usize, scene: &Scene, real_ms: i64) -> Vec<Intent> {
    match ui.card.take() {
        Some(Card::Actions { typed, .. }) => {
            actions::press(ui, KeyCode::Enter, typed, row, scene, real_ms)
        }
        Some(Card::Ask(asked)) => ask::choose(ui, &asked, row, scene),
        other => {
            ui.card = other;
            Vec::new()
        }
    }
}

/// What is being typed into a card, behind a word that says so.
fn entry(canvas: &mut Canvas, row: Rect, word: &str, typed: &str) {
    if !row.is_empty() {
        let shown = format!("{typed}_");
        let strong = canvas.look.ink(Ink::Strong);
        let pieces = [(word, Style::new()), (shown.as_str(), strong)];
        canvas.pieces(row.x + 1, row.y, row.width.saturating_sub(1), &pieces);
    }
}

/// The keys at the foot of a card.
fn foot(canvas: &mut Canvas, inside: Rect, hints: &[(&str, &str, KeyCode)]) -> Rect {
    let (rest, row) = bottom(inside, 1);
    if row.is_empty() {
        return rest;
    }
    let mut x = row.x;
    for (name, words, code) in hints {
        let wide = text::width(name) + text::width(words) + 4;
        let wide = u16::try_from(wide).unwrap_or(u16::MAX);
        if x.saturating_add(wide) > row.right() + 2 {
            break;
        }
        let used = canvas.pieces(
            x,
            row.y,
            row.right() - x,
            &[
                (&format!(" {name} "), canvas.look.ink(Ink::Key)),
                (&format!(" {words}"), Style::new()),
            ],
        );
        canvas.hit(Rect { x, width: used, ..row }, Hit::Key(*code));
        x += used + 2;
    }
    rest
}

/// The rows of a list to show, so that the chosen one is among them: `(first, count)`.
#[must_use]
pub fn visible(rows: usize, chosen: usize, room: usize) -> (usize, usize) {
    let first = chosen.saturating_sub(room / 2).min(rows.saturating_sub(room));
    (first, room.min(rows.saturating_sub(first)))
}

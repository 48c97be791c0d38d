//! The short questions: a number, one of a few rows, yes or no.

mod answer;
mod changes;
mod food;
mod rows;

pub use answer::{choose, press};
pub use food::{divisible, early_rows};
pub use rows::{Choice, Then};

use ratatui::crossterm::event::KeyCode;
use ratatui::layout::Rect;
use ratatui::style::Style;

use super::{foot, visible};
use crate::kitchen::units::Degrees;
use crate::plan::StepKey;
use crate::run::{Event, Rank};
use crate::safety::Probe;
use crate::screen::canvas::{Canvas, Hit, bottom, middle, top};
use crate::screen::look::Ink;
use crate::screen::ui::Ui;
use crate::screen::{Scene, text};

/// What is asked.
#[derive(Debug, Clone, PartialEq)]
pub enum Kind {
    /// How many more minutes a running load needs.
    More(StepKey),
    /// How many minutes ago the expected thing was done, and what it is called.
    Earlier(Event, String),
    /// Whether a load is to be left out.
    Skip(StepKey),
    /// What temperature was taken in a dish.
    Temperature(usize),
    /// What temperature was taken in a part of a dish.
    PartTemperature(usize, u32),
    /// Where a finished dish waits.
    Place(usize),
    /// Which dish stands on the table.
    OnTable,
    /// What became of a dish.
    Clearing(usize),
    /// By how much a service moves.
    Service(usize),
    /// Which station is broken, or back.
    Stations,
    /// Which dish is dropped, or comes back.
    Dishes,
    /// For how many a dish is made.
    Servings(usize),
    /// Which recipe of the shelf is made too.
    Shelf,
    /// With which service a dish goes.
    OtherService(usize),
    /// What stands in for the items of a dish.
    Items(usize),
    /// What opens dishes to a guest.
    Openings(usize),
    /// To what the dial of a station was set.
    Dial(usize),
    /// Where a part of a dish went.
    Portion(usize),
    /// What was taken out of the fridge before its step.
    OutEarly,
    /// How warm the air is.
    Air,
    /// By which guidance the evening goes.
    Guidance,
    /// What was done about foods past their safety limit.
    Answer {
        /// The keys of their alarms, most pressing first.
        all: Vec<String>,
        /// Which of them is asked about; None: all of them.
        at: Option<usize>,
    },
    /// Whether the evening is over.
    Finish,
}

/// A question and what was answered so far.
#[derive(Debug, Clone, PartialEq)]
pub struct Ask {
    /// What is asked.
    pub kind: Kind,
    /// The chosen row.
    pub row: usize,
    /// The number as typed.
    pub typed: String,
    /// Minutes, for questions about minutes.
    pub minutes: u32,
    /// The unit of a temperature, if it was said; else the party's.
    pub unit: Option<Degrees>,
    /// What was asked back: Enter takes it as it is.
    pub doubted: Option<Probe>,
}

impl Ask {
    /// A question, with nothing answered yet.
    #[must_use]
    pub const fn new(kind: Kind) -> Self {
        Self { kind, row: 0, typed: String::new(), minutes: 5, unit: None, doubted: None }
    }

    /// Is a temperature typed in?
    #[must_use]
    pub const fn heat(&self) -> bool {
        matches!(self.kind, Kind::Temperature(_) | Kind::PartTemperature(..) | Kind::Air)
    }

    /// Is a number typed in?
    #[must_use]
    pub const fn number(&self) -> bool {
        self.heat() || matches!(self.kind, Kind::Servings(_) | Kind::Dial(_))
    }

    /// Are minutes asked for?
    #[must_use]
    pub const fn asks_minutes(&self) -> bool {
        matches!(self.kind, Kind::More(_) | Kind::Earlier(..))
    }

    /// Can another dish, service or station be asked about with Left and Right?
    #[must_use]
    pub fn turns(&self) -> bool {
        if let Kind::Answer { all, .. } = &self.kind {
            return all.len() > 1;
        }
        matches!(
            self.kind,
            Kind::Temperature(_)
                | Kind::Place(_)
                | Kind::Clearing(_)
                | Kind::Portion(_)
                | Kind::Servings(_)
                | Kind::OtherService(_)
                | Kind::Items(_)
                | Kind::Openings(_)
                | Kind::Service(_)
                | Kind::Dial(_)
        )
    }
}

/// Draws the question.
pub fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui, ask: &Ask) {
    let rows = ask.choices(scene);
    let lines = u16::try_from(rows.len()).unwrap_or(u16::MAX);
    let wide = if matches!(ask.kind, Kind::Openings(_)) { 100 } else { 72 };
    let room = usize::from(field.width.min(wide).saturating_sub(4));
    let caution = ask.caution().map_or(Vec::new(), |words| text::wrap(words, room));
    let none = if rows.is_empty() { ask.none() } else { None };
    let caution = none.map_or(caution, |words| text::wrap(words, room));
    let say = ui.say.as_ref().map_or(Vec::new(), |words| text::wrap(words, room));
    let more = 2
        + u16::from(ask.turns())
        + 2 * u16::from(ask.number() || ask.asks_minutes())
        + height(&caution)
        + height(&say).saturating_sub(1);
    let card = middle(field, wide, lines.saturating_add(more).saturating_add(2));
    let inside = canvas.card(card, &ask.title(scene), Style::new());
    let mut rest = foot(canvas, inside, &hints(ask, scene));
    if ask.turns() {
        let (row, below) = top(rest, 1);
        let words = ask.subject(scene);
        if !row.is_empty() {
            canvas.pieces(
                row.x + 1,
                row.y,
                row.width.saturating_sub(2),
                &[
                    ("< ", Style::new()),
                    (&words, canvas.look.ink(Ink::Strong)),
                    (" >", Style::new()),
                ],
            );
        }
        rest = below;
    }
    if ask.number() || ask.asks_minutes() {
        let (entry, below) = top(rest, 2);
        draw_number(canvas, entry, scene, ask);
        rest = below;
    }
    rest = write(canvas, rest, &caution, canvas.look.ink(Ink::Faint));
    let room = usize::from(rest.height.saturating_sub(height(&say).max(1)));
    let (first, count) = visible(rows.len(), ask.row, room);
    for (line, (index, choice)) in rows.iter().enumerate().skip(first).take(count).enumerate() {
        let y = rest.y + u16::try_from(line).unwrap_or(0);
        let style = if index == ask.row { canvas.look.ink(Ink::Strong) } else { Style::new() };
        let mark = if index == ask.row { ">" } else { " " };
        // Past the ninth row there is no key to press: no cap for it either.
        let (key, cap) = match choice.key {
            Some(k) => (format!(" {k} "), canvas.look.ink(Ink::Key)),
            None => ("   ".to_owned(), Style::new()),
        };
        canvas.pieces(
            rest.x,
            y,
            rest.width,
            &[(mark, style), (&key, cap), (" ", style), (&choice.words, style)],
        );
        canvas.hit(Rect { y, height: 1, ..rest }, Hit::Row(index));
    }
    write(canvas, rest, &say, canvas.look.rank(Rank::Warning));
}

fn height(lines: &[String]) -> u16 {
    u16::try_from(lines.len()).unwrap_or(u16::MAX)
}

/// Writes lines at the foot of a field, and says what is left above.
fn write(canvas: &mut Canvas, field: Rect, lines: &[String], style: Style) -> Rect {
    let (above, foot) = bottom(field, height(lines));
    for (words, y) in lines.iter().zip(foot.y..foot.bottom()) {
        canvas.text(foot.x + 1, y, foot.width.saturating_sub(1), words, style);
    }
    above
}

fn draw_number(canvas: &mut Canvas, field: Rect, scene: &Scene, ask: &Ask) {
    if field.is_empty() {
        return;
    }
    let shown =
        if ask.asks_minutes() { ask.minutes.to_string() } else { format!("{}_", ask.typed) };
    let strong = canvas.look.ink(Ink::Chosen);
    canvas.pieces(
        field.x + 1,
        field.y,
        field.width.saturating_sub(1),
        &[(&format!(" {shown} "), strong), (&format!(" {}", ask.unit(scene)), Style::new())],
    );
}

fn hints(ask: &Ask, scene: &Scene) -> Vec<(&'static str, &'static str, KeyCode)> {
    let mut hints = Vec::new();
    if ask.asks_minutes() {
        hints.push(("1-9", "minutes", KeyCode::Char('5')));
        hints.push(("0", "ten", KeyCode::Char('0')));
        hints.push(("Up/Down", "other", KeyCode::Up));
    }
    let to_take = !ask.grave_only() && !ask.choices(scene).is_empty();
    if ask.number() || ask.asks_minutes() || to_take {
        hints.push(("Enter", "take it", KeyCode::Enter));
    }
    if ask.subjects(scene) > 1 {
        hints.push(("Right", "another", KeyCode::Right));
    }
    if ask.heat() && !ask.typed.is_empty() {
        hints.push(("c f", "its unit", KeyCode::Char('c')));
    }
    hints.push(("Esc", "back", KeyCode::Esc));
    hints
}

/// A dish as a line: its letter and title.
fn dish_words(scene: &Scene, dish: usize) -> String {
    match scene.evening.sheets.get(dish) {
        Some(sheet) => format!("{}  {}", sheet.letter, text::tame(&sheet.recipe.title)),
        None => String::new(),
    }
}

//! Everything that can be done, in a list that typing narrows.

use ratatui::crossterm::event::KeyCode;
use ratatui::layout::Rect;
use ratatui::style::Style;

use super::{Card, entry, foot, visible};
use crate::order::InOrder;
use crate::screen::canvas::{Canvas, Hit, middle, top};
use crate::screen::keys::{self, Action};
use crate::screen::look::Ink;
use crate::screen::ui::Ui;
use crate::screen::{Intent, Scene, text};

/// The actions that fit what was typed: those that have something to do first.
fn found(scene: &Scene, ui: &Ui, typed: &str) -> Vec<&'static Action> {
    let typed = typed.to_lowercase();
    let fits = |a: &&Action| {
        typed.split_whitespace().all(|word| {
            a.label.contains(word) || a.id.contains(word) || a.about.to_lowercase().contains(word)
        })
    };
    let can = |a: &Action| keys::on_page(a, ui.page) && keys::available(a.act, scene, ui);
    let mut rows: Vec<&Action> = keys::ACTIONS.iter().filter(fits).collect();
    rows.order_by_key(|a| (!can(a), a.group));
    rows
}

/// Draws the list.
pub fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui, typed: &str, row: usize) {
    let rows = found(scene, ui, typed);
    let lines = u16::try_from(rows.len()).unwrap_or(u16::MAX).max(8);
    let card = middle(field, 96, lines.saturating_add(5).min(field.height.saturating_sub(2)));
    let inside = canvas.card(card, "Everything you can do", Style::new());
    let hints = [
        ("Enter", "do it", KeyCode::Enter),
        ("Up/Down", "choose", KeyCode::Down),
        ("Esc", "back", KeyCode::Esc),
    ];
    let rest = foot(canvas, inside, &hints);
    let (typing, list) = top(rest, 2);
    entry(canvas, typing, "type to find: ", typed);
    let (first, count) = visible(rows.len(), row, usize::from(list.height));
    for (line, index) in (first..first + count).enumerate() {
        let Some(action) = rows.get(index) else { continue };
        let y = list.y + u16::try_from(line).unwrap_or(0);
        let can = keys::from_list(action, ui.page) && keys::available(action.act, scene, ui);
        let style = match (index == row, can) {
            (true, _) => canvas.look.ink(Ink::Chosen),
            (false, true) => Style::new(),
            (false, false) => canvas.look.ink(Ink::Faint),
        };
        let key = action.keys.first().map_or(String::new(), |k| k.name());
        let wide = if list.width > 70 { 18 } else { 16 };
        let words = format!(
            " {} {} {}",
            text::fit(&key, 7, canvas.cut()),
            text::fit(action.label, wide, canvas.cut()),
            if can { action.about.to_owned() } else { format!("(not now) {}", action.about) }
        );
        let words = text::fit(&words, usize::from(list.width), canvas.cut());
        canvas.text(list.x, y, list.width, &words, style);
        canvas.hit(Rect { y, height: 1, ..list }, Hit::Row(index));
    }
}

/// A key while the list is open.
pub fn press(
    ui: &mut Ui,
    code: KeyCode,
    mut typed: String,
    mut row: usize,
    scene: &Scene,
    real_ms: i64,
) -> Vec<Intent> {
    let rows = found(scene, ui, &typed);
    let last = rows.len().saturating_sub(1);
    match code {
        KeyCode::Enter => {
            return match rows.get(row) {
                Some(action) if keys::from_list(action, ui.page) => {
                    ui.act(action.act, scene, real_ms)
                }
                Some(_) => {
                    ui.say = Some("That works on another page.".to_owned());
                    Vec::new()
                }
                None => Vec::new(),
            };
        }
        KeyCode::Up => row = row.saturating_sub(1),
        KeyCode::Down => row = (row + 1).min(last),
        KeyCode::PageUp => row = row.saturating_sub(8),
        KeyCode::PageDown => row = (row + 8).min(last),
        KeyCode::Backspace => {
            typed.pop();
            row = 0;
        }
        KeyCode::Char(c) if typed.chars().count() < 24 => {
            typed.push(c);
            row = 0;
        }
        _ => {}
    }
    ui.card = Some(Card::Actions { typed, row });
    Vec::new()
}

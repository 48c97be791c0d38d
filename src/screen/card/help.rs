//! Help for the page in front: its keys first, then those that work
//! everywhere, then what the signs mean.

use ratatui::crossterm::event::KeyCode;
use ratatui::layout::Rect;
use ratatui::style::Style;

use super::foot;
use crate::screen::Scene;
use crate::screen::canvas::{Canvas, middle};
use crate::screen::keys::{self, Group};
use crate::screen::look::Ink;
use crate::screen::text;
use crate::screen::ui::{Page, Ui};

/// A line of the help.
enum Line {
    Head(String),
    Key(String, String),
    Words(String),
}

const ROOM: usize = 92;
/// Columns for the names of keys.
const KEYS: usize = 16;

/// Draws the help.
pub fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui, scroll: usize) {
    let wide = u16::try_from(ROOM + 4).unwrap_or(96).min(field.width);
    let card = middle(field, wide, field.height.saturating_sub(2).max(4));
    let title = format!("Help: {}", ui.page.title());
    let inside = canvas.card(card, &title, Style::new());
    let hints = [("Up/Down", "move", KeyCode::Down), ("Esc", "back", KeyCode::Esc)];
    let rest = foot(canvas, inside, &hints);
    let lines = lines(scene, ui, usize::from(rest.width.saturating_sub(1)));
    let room = usize::from(rest.height);
    let scroll = scroll.min(lines.len().saturating_sub(room));
    for (row, line) in lines.iter().skip(scroll).take(room).enumerate() {
        let y = rest.y + u16::try_from(row).unwrap_or(0);
        let x = rest.x + 1;
        let width = rest.width.saturating_sub(1);
        match line {
            Line::Head(words) => _ = canvas.text(x, y, width, words, canvas.look.ink(Ink::Strong)),
            Line::Key(key, words) => {
                let key = text::fit(&format!(" {key}"), KEYS, canvas.cut());
                let bold = canvas.look.ink(Ink::Strong);
                canvas.pieces(x, y, width, &[(&key, bold), (words, Style::new())]);
            }
            Line::Words(words) => _ = canvas.text(x, y, width, words, Style::new()),
        }
    }
    if scroll + room < lines.len() && !rest.is_empty() {
        let sign = canvas.look.glyphs().down;
        canvas.put(rest.right() - 1, rest.bottom() - 1, sign, canvas.look.ink(Ink::Strong));
    }
}

/// The furthest that the help can be scrolled, for the smallest of cards.
#[must_use]
pub fn most_scroll(scene: &Scene, ui: &Ui) -> usize {
    lines(scene, ui, 40).len()
}

fn about(page: Page) -> &'static str {
    match page {
        Page::Chart => {
            "A lane for each rack, burner and other place, and for each cook's hands. Time runs to \
             the right; the line across all lanes is now. A block is a step: the letter is its \
             dish. Arrow keys choose a block, Enter shows all about it."
        }
        Page::Big => {
            "What wants your hands next, and how long until then, to be read from across the \
             room. Alarms fill the screen until you have seen them."
        }
        Page::Holding => {
            "Every dish that waits or stands on the table: where, since when, until when it is at \
             its best, and until when it may be eaten. The nearest limit is on top. Local food \
             safety rules and the directions on packages win over the figures here."
        }
        Page::Plan => {
            "The whole plan by the clock. The list follows the evening until you move in it. \
             Enter shows all about a row."
        }
        Page::Alarms => {
            "Every alarm with its cause, what follows if nothing is done, and what to do. Seen \
             ones are silent; put off ones come back. A passed safety limit stays until you say \
             what was done. Local food safety rules and package directions win."
        }
        Page::Report => {
            "How the evening went, and what is still out. Right turns to planned against actual as a \
             chart, to what was late and what first made it so, and to changes for next time: Enter \
             writes the chosen one into its recipe, kitchen or party. Left turns back."
        }
        Page::Ways => {
            "What the party asks for that does not go together, and what would help. Each way out \
             is planned already, with every service on time and every limit kept. Its number takes \
             it; u takes it back. Other ways to cook a dish and other places to wait are in every \
             plan's choice, so they stand here only where nothing else was tried."
        }
        Page::WhatIf => {
            "What would come of a change, beside the evening as it is: minutes late, minutes that \
             finished food waits, points of quality lost, when your hands begin, how long it is \
             to the last service, minutes with nothing to do. Arrow keys choose, Enter takes it, u \
             takes it back. What only a file can change says so."
        }
        Page::Menu => {
            "The dishes by course: for how many each is made, how it comes to the table and on what \
             it is cooked; beside them what there is to see to, and what each station carries by \
             the plan on the screen. All of it is counted anew with every change."
        }
        Page::Guests => {
            "Who comes, and how many starters and mains each can choose from. Three answers are \
             given: it contains what they do not eat; the label decides (?); nothing is known \
             against it in the ingredients given. None is a promise: read labels, ask the guest, \
             and keep boards and spoons apart."
        }
        Page::Shopping => {
            "What to buy, all dishes put together, by aisle: weighed as bought, less what is in the \
             house, rounded up once. Letters say how much of it each dish takes. Below or beside: \
             what the chosen line was reckoned from, and by whose figures. Space ticks it off. On \
             paper: potwatch shopping PARTY --format text, markdown, html or csv."
        }
        Page::Mise => {
            "Everything that is cut, all dishes together, in an order that keeps the board clean: \
             mild before strong, what holds an allergen after what does not, raw meat and fish \
             last, with washing between. Minutes are common practice. Then, dish by dish, what is \
             opened and measured out. Space ticks a job off."
        }
        Page::Trays => {
            "For each dish what stands ready on the counter, and what stays in fridge or freezer \
             until when by the plan on the screen. Raw food lies lowest, covered, apart. Room in \
             the fridge is counted at its fullest minute. Space says that a tray is laid."
        }
        Page::Scaling => {
            "What each dish takes for the servings that are made: the factor by which the recipe's \
             amounts are multiplied, what is taken of each, rounded once to what can be measured or \
             counted, loads, pans, minutes, and what does not grow in step. Beside it how many \
             servings would do for guests and appetite, by common practice."
        }
        Page::Serving => "What each dish goes to the table in.",
        Page::Ahead => "What can be made the evening or the days before.",
        Page::Sheets => "What can be printed.",
    }
}

fn signs(scene: &Scene) -> Vec<(String, &'static str)> {
    let g = scene.look.glyphs();
    let three = |sign: &str| sign.repeat(4);
    vec![
        ("P roast".into(), "lies ahead, with its minutes in all"),
        (format!("{}P roast", g.running), "runs, with the minutes left"),
        (format!("{}P{}", g.done, three(g.past)), "done"),
        (format!("{}P{}", g.late, three(g.late_fill)), "should have begun"),
        (format!("{}P +3m{}", g.over, three(g.over_fill)), "runs over its end"),
        (format!("{}P{}", g.overdone, three(g.overdone_fill)), "runs over and spoils"),
        (format!("{}P{}", g.skipped, three(g.skipped_fill)), "left out"),
        (format!("{}P{}", g.hold, three(g.hold)), "finished, held for its service"),
        (format!("P{}", three(g.wait)), "waits between two steps"),
        (three(g.heat), "heating up: turn the dial where it begins"),
        (three(g.cool), "cooling down"),
        (three(g.keep), "at its setting"),
        (format!("P{}", three(g.eye)), "look in now and then"),
        (format!("{}P", g.pinned), "pinned at its time"),
        ("?P ?roast".into(), "read from a text, not confirmed by you"),
        ("(P toss 18:44)".into(), "where it would stand if the explained block ran late"),
        (g.now.into(), "now"),
        (g.service.into(), "a service"),
    ]
}

fn lines(scene: &Scene, ui: &Ui, room: usize) -> Vec<Line> {
    let mut out = Vec::new();
    let words = |out: &mut Vec<Line>, sentence: &str| {
        out.extend(text::wrap(sentence, room).into_iter().map(Line::Words));
    };
    words(&mut out, about(ui.page));
    let here = |a: &&keys::Action| keys::on_page(a, ui.page);
    let groups =
        [Group::Marks, Group::Alarms, Group::Looking, Group::Changes, Group::Demo, Group::Program];
    for group in groups {
        if group == Group::Demo && scene.status.demo.is_none() {
            continue;
        }
        out.push(Line::Words(String::new()));
        out.push(Line::Head(group.title().to_owned()));
        for action in keys::ACTIONS.iter().filter(here).filter(|a| a.group == group) {
            let names: Vec<String> = action.keys.iter().map(|k| k.name()).collect();
            let key = if names.is_empty() { "a, list".to_owned() } else { names.join(" / ") };
            for (i, part) in
                text::wrap(action.about, room.saturating_sub(KEYS)).into_iter().enumerate()
            {
                out.push(Line::Key(if i == 0 { key.clone() } else { String::new() }, part));
            }
        }
    }
    out.push(Line::Words(String::new()));
    out.push(Line::Head("What the signs mean".to_owned()));
    for (sign, meaning) in signs(scene) {
        out.push(Line::Key(sign, meaning.to_owned()));
    }
    out
}

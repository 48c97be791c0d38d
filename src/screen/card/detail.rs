//! All about one block: what to do, where, how hot, whose hands, what it waits
//! for and how its dish holds.

use ratatui::crossterm::event::KeyCode;
use ratatui::layout::Rect;
use ratatui::style::Style;

use super::foot;
use crate::kitchen::{HoldClass, Sheet, Step};
use crate::plan::{Block, StepKey, contact};
use crate::run::Phase;
use crate::screen::canvas::{Canvas, middle, top};
use crate::screen::chart::{kind_word, slot_name};
use crate::screen::look::Ink;
use crate::screen::ui::Sel;
use crate::screen::{Scene, marks, text};

/// Draws the card of a block.
pub fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, sel: Sel) {
    let (dish, rows, sentence) = match sel {
        Sel::Step(key) => (key.dish, step_rows(scene, key), sentence(scene, key)),
        Sel::Hold(dish) => (dish, hold_rows(scene, dish), String::new()),
    };
    let Some(sheet) = scene.evening.sheets.get(dish) else { return };
    let title = format!("{}  {}", sheet.letter, text::tame(&sheet.recipe.title));
    let card_width = field.width.saturating_sub(4).min(78);
    let room = usize::from(card_width.saturating_sub(16));
    let lines: usize = rows.iter().map(|r| text::wrap(&r.1, room).len().max(1)).sum();
    let said = text::wrap(&sentence, usize::from(card_width.saturating_sub(4))).len();
    let height = u16::try_from(lines + said + 5).unwrap_or(u16::MAX);
    let card = middle(field, card_width, height);
    let inside = canvas.card(card, &title, Style::new());
    let hints = match sel {
        Sel::Step(_) => vec![
            ("g", "go: this one", KeyCode::Char('g')),
            ("m", "more minutes", KeyCode::Char('m')),
            ("y", "why here", KeyCode::Char('y')),
            ("p", "pin", KeyCode::Char('p')),
            ("s", "skip", KeyCode::Char('s')),
            ("Esc", "back", KeyCode::Esc),
        ],
        Sel::Hold(_) => vec![
            ("h", "hold here", KeyCode::Char('h')),
            ("t", "temperature", KeyCode::Char('t')),
            ("Esc", "back", KeyCode::Esc),
        ],
    };
    let rest = foot(canvas, inside, &hints);
    let rest = Rect { x: rest.x + 1, width: rest.width.saturating_sub(2), ..rest };
    let used = canvas.lines(rest, &sentence, canvas.look.ink(Ink::Strong));
    let (_, mut rest) = top(rest, used + u16::from(used > 0));
    for (name, words) in rows {
        if rest.is_empty() {
            break;
        }
        canvas.text(rest.x, rest.y, 12, name, canvas.look.ink(Ink::Faint));
        let value = Rect { x: rest.x + 12, width: rest.width.saturating_sub(12), ..rest };
        let used = canvas.lines(value, &words, Style::new()).max(1);
        rest = top(rest, used).1;
    }
}

type Row = (&'static str, String);

fn sentence(scene: &Scene, key: StepKey) -> String {
    let sheet = scene.evening.sheets.get(key.dish);
    sheet.and_then(|s| s.recipe.steps.get(key.step)).map_or(String::new(), |s| text::tame(&s.text))
}

fn step_rows(scene: &Scene, key: StepKey) -> Vec<Row> {
    let Some(sheet) = scene.evening.sheets.get(key.dish) else { return Vec::new() };
    let Some(step) = sheet.recipe.steps.get(key.step) else { return Vec::new() };
    let mut rows = Vec::new();
    if let Some(block) = marks::block(scene, key) {
        planned_rows(scene, sheet, step, block, &mut rows);
    }
    for clean in contact::before(scene.plan, key) {
        rows.push(("first", text::tame(&clean.sentence(scene.evening))));
    }
    rows.push(("state", state(marks::phase(scene, key)).to_owned()));
    if scene.view.pinned.contains(&key) {
        rows.push(("pinned", "stays at its time".to_owned()));
    }
    for after in &step.after {
        let earlier = sheet.recipe.steps.iter().find(|s| s.id == after.step);
        let mut words = earlier.map_or(after.step.as_str(), |s| s.label.as_str()).to_owned();
        if after.least_minutes > 0 {
            words.push_str(&format!(", at least {} between", span(after.least_minutes)));
        }
        if let Some(most) = after.most_minutes {
            words.push_str(&format!(", at most {} between", span(most)));
        }
        rows.push(("after", words));
    }
    if let Some(over) = step.overdone_after {
        rows.push(("overdone", format!("{over} min past its end")));
    }
    if step.unconfirmed {
        let words = step.words.as_deref().map_or(String::new(), |w| format!(", from \"{w}\""));
        rows.push(("?", text::tame(&format!("proposed, nobody has confirmed it{words}"))));
    }
    if step.probe {
        rows.push(("measure", "the inner temperature at the end".to_owned()));
    }
    if sheet.last_step() == key.step {
        let then = match sheet.recipe.holds.first() {
            Some(h) => {
                let mark = if h.unconfirmed { " (not confirmed yet)" } else { "" };
                format!("holds: {}, {} min at its best{mark}", kind_word(h.place), h.free_minutes)
            }
            None => "straight to the table: it does not hold".to_owned(),
        };
        rows.push(("then", then));
    }
    rows
}

/// What the plan says about a load.
fn planned_rows(scene: &Scene, sheet: &Sheet, step: &Step, block: &Block, rows: &mut Vec<Row>) {
    rows.push(("when", when(scene, block)));
    rows.push(("where", place(scene, block)));
    let hands = hands(scene, block);
    if !hands.is_empty() {
        rows.push(("hands", hands));
    }
    let minutes = sheet.minutes(block.key.step, block.way);
    let high = sheet.high_minutes(block.key.step, block.way);
    if high > minutes {
        rows.push(("takes", format!("{minutes} min, seldom more than {high}")));
    }
    if block.loads > 1 {
        rows.push(("load", format!("{} of {}", block.key.load + 1, block.loads)));
    }
    let ways = step.ways.iter().enumerate().filter(|(i, _)| *i != block.way);
    let others: Vec<String> =
        ways.map(|(_, w)| format!("{}, {} min", kind_word(w.station), w.minutes.likely)).collect();
    if !others.is_empty() {
        rows.push(("or", others.join("; ")));
    }
}

fn span(minutes: u32) -> String {
    text::span(i64::from(minutes) * 60_000)
}

fn hold_rows(scene: &Scene, dish: usize) -> Vec<Row> {
    let mut rows = Vec::new();
    let Some(sheet) = scene.evening.sheets.get(dish) else { return rows };
    let label = |m| scene.evening.face.label(m);
    if let Some(h) = scene.plan.holds.iter().find(|h| h.dish == dish) {
        rows.push(("when", format!("{} to {}, {} min", label(h.from), label(h.to), h.to - h.from)));
        let station = scene.evening.kitchen.stations.iter().position(|s| s.id == h.station);
        let mut place =
            station.map_or(h.station.clone(), |s| slot_name(scene.evening, s, &h.slots));
        if let Some(c) = h.setting_c {
            place = format!("{place}, {}", scene.evening.customs.oven(c));
        }
        rows.push(("where", place));
        let class = match h.class {
            HoldClass::Hot => "hot",
            HoldClass::Cold => "cold",
            HoldClass::Room => "at room temperature",
        };
        rows.push(("kept", class.to_owned()));
        if let Some(hold) = sheet.recipe.holds.get(h.hold) {
            rows.push(("best for", format!("{} min", hold.free_minutes)));
            rows.push(("at most", format!("{} min", hold.most_minutes)));
        }
    }
    if let Some(waiting) = scene.view.holding.iter().find(|h| h.dish == dish) {
        rows.push(("safety", text::tame(&waiting.safe.why)));
        rows.push(("to do", text::tame(&waiting.advice)));
    }
    rows
}

fn when(scene: &Scene, block: &Block) -> String {
    let face = &scene.evening.face;
    let minutes = block.end - block.start;
    format!("{} to {}, {minutes} min", face.label(block.start), face.label(block.end))
}

fn place(scene: &Scene, block: &Block) -> String {
    let at = scene.evening.kitchen.stations.iter().position(|s| s.id == block.station);
    let name = at.map_or(block.station.clone(), |s| slot_name(scene.evening, s, &block.slots));
    match block.setting_c {
        Some(c) => format!("{name}, {}", scene.evening.customs.oven(c)),
        None => name,
    }
}

fn hands(scene: &Scene, block: &Block) -> String {
    let mut parts = Vec::new();
    if block.hands_between >= 100 || block.hands_start + block.hands_end >= block.end - block.start
    {
        parts.push("all the time".to_owned());
    } else {
        if block.hands_start > 0 {
            parts.push(format!("{} min at the start", block.hands_start));
        }
        if block.hands_end > 0 {
            parts.push(format!("{} min at the end", block.hands_end));
        }
        match block.hands_between {
            0 => {}
            1..=24 => parts.push("look in now and then".to_owned()),
            25..=59 => parts.push("stir often".to_owned()),
            _ => parts.push("stay with it".to_owned()),
        }
    }
    let cooks = &scene.evening.party.cooks;
    match block.cook.as_ref().and_then(|id| cooks.iter().find(|c| c.id == *id)) {
        Some(cook) if cooks.len() > 1 && !parts.is_empty() => {
            format!("{}: {}", text::tame(&cook.name), parts.join(", "))
        }
        Some(_) => parts.join(", "),
        None => String::new(),
    }
}

/// How far a load has come, in words.
#[must_use]
pub const fn state(phase: Phase) -> &'static str {
    match phase {
        Phase::Ahead => "ahead",
        Phase::LateStart => "should have begun",
        Phase::Running => "running",
        Phase::Over => "running over",
        Phase::Overdone => "overdone",
        Phase::Done => "done",
        Phase::Skipped => "left out",
    }
}

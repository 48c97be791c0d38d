//! What is told of the alarms: the most pressing one, or the bundle that it came
//! up in; as a band over a page, and the words and keys for it.

use ratatui::crossterm::event::KeyCode;
use ratatui::layout::Rect;
use ratatui::style::Style;

use super::frame::{WAYS_KEY, band_keys};
use crate::run::alarms::Bundle;
use crate::run::{Alarm, AlarmKind, AlarmState, Rank};
use crate::screen::canvas::{Canvas, Hit, top};
use crate::screen::ui::{Book, Page, Ui, top_alarm, top_bundle};
use crate::screen::{Scene, marks, text};

/// A key, its words, its code.
type Key = (&'static str, &'static str, KeyCode);

/// The most pressing alarm, and the bundle that it came up in.
pub(super) struct Told<'a> {
    /// The most pressing.
    pub alarm: &'a Alarm,
    /// Those that came up with it, itself among them.
    pub bundle: Option<Bundle>,
}

impl<'a> Told<'a> {
    /// What is told now; None: there is no alarm that is not put off.
    pub fn of(scene: &Scene<'a>) -> Option<Self> {
        let alarm = top_alarm(scene)?;
        Some(Self { alarm, bundle: top_bundle(scene) })
    }

    /// Rows of its band.
    pub fn rows(&self) -> u16 {
        if self.alarm.state == AlarmState::New { 2 } else { 1 }
    }

    /// The rank that it is shown by.
    pub fn rank(&self) -> Rank {
        self.bundle.as_ref().map_or(self.alarm.rank, |b| b.rank)
    }

    /// How many alarms it stands for.
    pub fn count(&self) -> usize {
        self.bundle.as_ref().map_or(1, |b| b.keys.len())
    }

    /// The style: by rank while it is new, quiet once it was seen.
    pub fn style(&self, canvas: &Canvas) -> Style {
        style_of(canvas, self.alarm.state, self.rank())
    }

    /// The rank as a sign and a word, and what it is.
    pub fn words(&self, canvas: &Canvas, scene: &Scene) -> String {
        match &self.bundle {
            Some(bundle) => format!("{}  {}", sign(canvas, bundle.rank), bundle.title),
            None => alarm_words(canvas, scene, self.alarm),
        }
    }

    /// Why, and what to do.
    pub fn remedy(&self) -> String {
        match &self.bundle {
            Some(bundle) => bundle.words(),
            None => self.alarm.remedy.clone(),
        }
    }

    /// The keys that answer it.
    pub fn keys(&self, scene: &Scene) -> Vec<Key> {
        let alarm = self.alarm;
        let mut keys = Vec::new();
        match (alarm.state, &self.bundle) {
            (AlarmState::New, Some(_)) => keys.push(("k", "all seen", KeyCode::Char('k'))),
            (AlarmState::New | AlarmState::Returned, _) => {
                keys.push(("k", "seen", KeyCode::Char('k')));
            }
            _ => {}
        }
        if marks::may_put_off(alarm, scene.view.now_ms) && alarm.state != AlarmState::Returned {
            keys.push(("z", "in 5 min again", KeyCode::Char('z')));
        }
        let late = alarm.kind == AlarmKind::ServiceAtRisk && alarm.state != AlarmState::Returned;
        if late && scene.status.clashes {
            keys.push(WAYS_KEY);
        }
        if marks::wants_answer(alarm) {
            keys.push(("r", "what was done", KeyCode::Char('r')));
        }
        keys
    }
}

/// What is told of the alarms, in rows that no card covers; gives the field below them for the card. `is_page`: there
/// is room for a page.
pub(super) fn over_card(
    canvas: &mut Canvas,
    field: Rect,
    scene: &Scene,
    ui: &Ui,
    is_page: bool,
) -> Rect {
    let Some(told) = Told::of(scene) else { return field };
    // Where the page has it, below its head.
    let head = if is_page && ui.page.book() == Book::Before { 2 } else { 1 };
    let (rows, below) = top(top(field, head).1, if is_page { told.rows() } else { 1 });
    band(canvas, rows, scene, ui, &told);
    below
}

/// The band: what, what to do, and the keys for it; in one row for what was seen
/// or went by itself.
pub(super) fn band(canvas: &mut Canvas, band: Rect, scene: &Scene, ui: &Ui, told: &Told) {
    let style = told.style(canvas);
    canvas.fill(band, " ", style);
    let others = scene.view.alarms.len().saturating_sub(told.count());
    // The digits are those of the evening's pages only in the evening's book.
    let of_evening = ui.page.book() == Book::Evening;
    let more = match (others, of_evening) {
        (0, true) if told.count() > 1 => " one by one: 5 ".to_owned(),
        (0, true) => " all: 5 ".to_owned(),
        (0, false) => String::new(),
        (_, true) => format!(" +{others} more: 5 "),
        (_, false) => format!(" +{others} more "),
    };
    let used = canvas.text_right(band.x, band.y, band.width, &more, style);
    let button = Rect { x: band.right() - used, width: used, height: 1, ..band };
    if ui.card.is_none() && ui.page != Page::Alarms {
        canvas.hit(button, Hit::Page(Page::Alarms));
    }
    let last = Rect { y: band.bottom() - 1, height: 1, ..band };
    let right = if band.height > 1 { band.right() } else { button.x };
    let mut keys = if ui.card.is_none() { told.keys(scene) } else { Vec::new() };
    keys.retain(|key| of_evening || key.2 != KeyCode::Char('7'));
    let right = band_keys(canvas, last, right, &keys, style);
    let end = if band.height > 1 { button.x } else { right };
    let words = told.words(canvas, scene);
    canvas.text(band.x + 1, band.y, end.saturating_sub(band.x + 2), &words, style);
    if band.height > 1 {
        let room = right.saturating_sub(band.x + 3);
        canvas.text(band.x + 3, last.y, room, &told.remedy(), style);
    }
}

/// The style of an alarm: by rank while it is new, quiet once it was seen.
pub(super) fn alarm_style(canvas: &Canvas, alarm: &Alarm) -> Style {
    style_of(canvas, alarm.state, alarm.rank)
}

fn style_of(canvas: &Canvas, state: AlarmState, rank: Rank) -> Style {
    match state {
        AlarmState::New => canvas.look.rank(rank),
        _ => canvas.look.rank(Rank::Notice),
    }
}

/// A rank as a sign and a word.
fn sign(canvas: &Canvas, rank: Rank) -> String {
    let g = canvas.look.glyphs();
    let (sign, word) = match rank {
        Rank::Notice => (g.ranks[0], "NOTE"),
        Rank::Warning => (g.ranks[1], "SOON"),
        Rank::Urgent => (g.ranks[2], "NOW"),
    };
    format!("{sign} {word}")
}

/// The rank of an alarm as a sign and a word, and its title.
pub(super) fn alarm_words(canvas: &Canvas, scene: &Scene, alarm: &Alarm) -> String {
    let state = match alarm.state {
        AlarmState::New => String::new(),
        AlarmState::Acknowledged => " (seen)".to_owned(),
        AlarmState::PutOff(at) => format!(" (again {})", text::clock(scene.evening, at)),
        AlarmState::Returned => " (over by itself)".to_owned(),
    };
    format!("{}  {}{state}", sign(canvas, alarm.rank), alarm.title)
}

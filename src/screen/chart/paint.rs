//! Painting the items of a lane into their cells.

use ratatui::layout::Rect;
use ratatui::style::{Modifier, Style};

use super::lanes::{Item, Lane, LaneKind, What};
use super::place::{Placed, place};
use super::window::Window;
use crate::run::{Phase, Rank};
use crate::screen::Scene;
use crate::screen::canvas::{Canvas, Hit};
use crate::screen::look::Ink;
use crate::screen::text;
use crate::screen::ui::Ui;

/// Paints all items of a lane.
pub(super) fn lane(
    canvas: &mut Canvas,
    strip: Rect,
    lane: &Lane,
    scene: &Scene,
    ui: &Ui,
    window: &Window,
) {
    let eighths = !scene.look.glyphs().eighths.is_empty();
    let least = |item: &Item| {
        let words = if item.others.is_empty() { letter(scene, item.dish) } else { count(item) };
        u16::try_from(text::width(&words)).unwrap_or(1).max(1)
    };
    let squeeze = matches!(lane.kind, LaneKind::Cook(_));
    // Three rows: two to draw on, one between the lanes.
    let tall = if strip.height >= 3 { strip.height - 1 } else { strip.height };
    for placed in place(&lane.items, window, eighths, squeeze, least) {
        let Some(item) = lane.items.get(placed.item) else { continue };
        let field = Rect {
            x: strip.x + placed.from,
            y: strip.y,
            width: placed.to - placed.from,
            height: tall,
        };
        let now = window.column(scene.view.now_ms).map(|c| strip.x + c);
        let shown = !matches!(item.what, What::Eye | What::Then);
        let chosen = item.sel.is_some() && item.sel == ui.selected && shown;
        Brush { scene, item, placed, field, now, chosen }.paint(canvas);
        if let Some(sel) = item.sel {
            canvas.hit(field, Hit::Block(sel));
        }
    }
}

/// How many dishes an item stands for.
fn count(item: &Item) -> String {
    (item.others.len() + 1).to_string()
}

/// The letter of a dish; nothing on a thermostat's lane.
fn letter(scene: &Scene, dish: Option<usize>) -> String {
    match dish.and_then(|d| scene.evening.sheets.get(d)) {
        Some(sheet) => sheet.letter.to_string(),
        None => String::new(),
    }
}

/// One item on its way into its cells.
struct Brush<'a> {
    scene: &'a Scene<'a>,
    item: &'a Item,
    placed: Placed,
    field: Rect,
    now: Option<u16>,
    chosen: bool,
}

impl Brush<'_> {
    fn paint(&self, canvas: &mut Canvas) {
        let (texture, style) = self.texture();
        let field = self.field;
        canvas.fill(field, texture, style);
        self.rest(canvas);
        for y in field.y..field.bottom() {
            self.ends(canvas, y);
            if let Some(x) = self.now.filter(|&x| x >= field.x && x < field.right()) {
                let ink = style.add_modifier(Modifier::BOLD);
                canvas.put(x, y, self.scene.look.glyphs().now, ink);
            }
        }
        self.words(canvas, style);
        if self.chosen {
            self.choose(canvas);
        }
    }

    fn dish(&self) -> usize {
        self.item.dish.unwrap_or(0)
    }

    fn texture(&self) -> (&'static str, Style) {
        let (look, g) = (self.scene.look, self.scene.look.glyphs());
        let several = !self.item.others.is_empty();
        let line = if several { look.ink(Ink::Faint) } else { look.line(self.dish()) };
        match self.item.what {
            What::Step(phase) => {
                let fill = match phase {
                    // Without a colour to fill it a tray shows by its bottom.
                    Phase::Ahead if look.tint(0).bg.is_none() => "_",
                    Phase::Ahead | Phase::Running | Phase::Over | Phase::Overdone => " ",
                    Phase::LateStart => g.late_fill,
                    Phase::Done => g.past,
                    Phase::Skipped => g.skipped_fill,
                };
                (fill, look.body(phase, self.dish()))
            }
            What::Hold => (g.hold, line),
            What::Wait => (g.wait, line),
            What::Heat(_) => (g.heat, look.ink(Ink::Heat)),
            What::Cool(_) => (g.cool, look.ink(Ink::Heat)),
            What::Keep(_) => (g.keep, look.ink(Ink::Heat)),
            What::Eye => (g.eye, line),
            What::Then => (" ", line),
        }
    }

    /// What lies past the planned end.
    fn rest(&self, canvas: &mut Canvas) {
        let g = self.scene.look.glyphs();
        let (fill, style) = match self.item.what {
            What::Step(Phase::Over) => (g.over_fill, self.scene.look.rank(Rank::Warning)),
            What::Step(Phase::Overdone) => (g.overdone_fill, self.scene.look.rank(Rank::Urgent)),
            _ => return,
        };
        let from = self.field.x + (self.placed.body_to - self.placed.from);
        let rest = Rect { x: from, width: self.field.right().saturating_sub(from), ..self.field };
        canvas.fill(rest, fill, style);
    }

    /// Is the body a painted field, so that its edges can fall inside a cell?
    fn painted(&self) -> bool {
        matches!(self.item.what, What::Step(Phase::Ahead | Phase::Running))
    }

    fn ends(&self, canvas: &mut Canvas, y: u16) {
        let eighths = self.scene.look.glyphs().eighths;
        let style = match self.item.what {
            What::Step(phase) => self.scene.look.body(phase, self.dish()),
            What::Then if self.field.width >= 3 => {
                let line = self.scene.look.line(self.dish());
                canvas.put(self.field.x, y, "(", line);
                canvas.put(self.field.right() - 1, y, ")", line);
                return;
            }
            _ => return,
        };
        // A tray without colour has no field to cut.
        if !self.painted()
            || (style.bg.is_none() && !style.add_modifier.contains(Modifier::REVERSED))
        {
            return;
        }
        let field_colour = |reverse: bool| {
            let plain = match style.bg {
                Some(bg) => Style::new().fg(bg),
                None => Style::new(),
            };
            if reverse { plain.add_modifier(Modifier::REVERSED) } else { plain }
        };
        if self.placed.left8 > 0 {
            let sign = eighths.get(usize::from(self.placed.left8) - 1).copied().unwrap_or(" ");
            canvas.put(self.field.x, y, sign, field_colour(true));
        }
        if self.placed.right8 < 8 {
            let sign = eighths.get(usize::from(self.placed.right8) - 1).copied().unwrap_or(" ");
            canvas.put(self.field.right() - 1, y, sign, field_colour(false));
        }
    }

    /// Writes the label by rule: letter, step and minutes; letter and step;
    /// letter and the step's first letters; the letter alone.
    fn words(&self, canvas: &mut Canvas, body: Style) {
        let (x, room) = self.free();
        let letter = letter(self.scene, self.item.dish);
        if self.item.dish.is_none() {
            if usize::from(room) >= text::width(&self.item.label) {
                canvas.text(
                    x,
                    self.field.y,
                    room,
                    &self.item.label,
                    body.add_modifier(Modifier::BOLD),
                );
            }
            return;
        }
        if !self.item.others.is_empty() {
            return self.crowd(canvas, x, room);
        }
        let mut sign = self.sign();
        let letter_wide = u16::try_from(text::width(&letter)).unwrap_or(1);
        let tag = self.tag(body);
        if room <= letter_wide || self.item.what == What::Eye {
            let x = if room < letter_wide { self.field.x } else { x };
            canvas.text(x, self.field.y, letter_wide, &letter, tag);
            return;
        }
        let mut at = x;
        let end = x + room;
        // Where the word of what nobody has confirmed has no room, its mark has.
        let unsaid = || !self.label(usize::from(room - letter_wide)).contains('?');
        if sign.is_empty() && self.item.label.starts_with('?') && unsaid() {
            sign = "?";
        }
        if !sign.is_empty() && room > letter_wide {
            at += canvas.text(at, self.field.y, 1, sign, body.add_modifier(Modifier::BOLD));
        }
        at += canvas.text(at, self.field.y, letter_wide, &letter, tag);
        let words = self.label(usize::from(end - at));
        let bold = match self.item.what {
            What::Step(Phase::Running | Phase::Over | Phase::Overdone | Phase::LateStart) => {
                body.add_modifier(Modifier::BOLD)
            }
            _ => body,
        };
        canvas.text(at, self.field.y, end - at, &words, bold);
        if self.field.height > 1 {
            let words = self.second_row(usize::from(room));
            canvas.text(x, self.field.y + 1, room, &words, body);
        }
    }

    /// How many dishes wait here, and their letters as far as there is room for all.
    fn crowd(&self, canvas: &mut Canvas, x: u16, room: u16) {
        let strong = self.scene.look.ink(Ink::Strong);
        let dishes = self.item.dish.iter().chain(&self.item.others);
        let tags: Vec<(String, Style)> =
            dishes.map(|d| (letter(self.scene, Some(*d)), self.scene.look.tag(*d))).collect();
        let wide: usize = tags.iter().map(|t| text::width(&t.0)).sum();
        let count = count(self.item);
        let mut pieces = vec![(count.as_str(), strong)];
        if text::width(&count) + 1 + wide <= usize::from(room) {
            pieces.push((" ", Style::new()));
            pieces.extend(tags.iter().map(|(letter, style)| (letter.as_str(), *style)));
        }
        canvas.pieces(x, self.field.y, room, &pieces);
    }

    /// The longest stretch of whole cells that the line of now leaves free.
    fn free(&self) -> (u16, u16) {
        let ends = self.item.what == What::Then && self.field.width >= 3;
        let from = self.field.x + u16::from(self.placed.left8 > 0 || ends);
        let to = self.field.right() - u16::from(self.placed.right8 < 8 && self.painted() || ends);
        match self.now.filter(|&x| x >= from && x < to) {
            Some(x) if to - x > x - from => (x + 1, to - x - 1),
            Some(x) => (from, x - from),
            None => (from, to.saturating_sub(from)),
        }
    }

    fn sign(&self) -> &'static str {
        let g = self.scene.look.glyphs();
        match self.item.what {
            What::Step(Phase::Ahead) if self.item.pinned => g.pinned,
            What::Step(Phase::Ahead) | What::Wait => "",
            What::Step(Phase::Running) => g.running,
            What::Step(Phase::LateStart) => g.late,
            What::Step(Phase::Over) => g.over,
            What::Step(Phase::Overdone) => g.overdone,
            What::Step(Phase::Done) => g.done,
            What::Step(Phase::Skipped) => g.skipped,
            What::Hold => g.hold,
            _ => "",
        }
    }

    /// The style of the letter: a tag in the dish's full colour where the body is not.
    fn tag(&self, body: Style) -> Style {
        match self.item.what {
            What::Step(Phase::Ahead) | What::Hold | What::Wait => self.scene.look.tag(self.dish()),
            _ => body.add_modifier(Modifier::BOLD),
        }
    }

    fn label(&self, room: usize) -> String {
        let label = text::tame(&self.item.label);
        let minutes = self.minutes();
        let name = self.scene.evening.sheets.get(self.dish()).map_or(String::new(), |s| s.short());
        if label.is_empty() {
            return Some(format!(" {name} "))
                .filter(|n| text::width(n) <= room)
                .unwrap_or_default();
        }
        let candidates = [
            format!(" {name}: {label} {minutes} "),
            format!(" {label} {minutes} "),
            format!(" {label} {minutes}"),
            format!(" {label} "),
            format!(" {label}"),
        ];
        if let Some(fits) = candidates.iter().find(|c| text::width(c) <= room) {
            return fits.clone();
        }
        // Fewer than two letters of the step say nothing: the dish's letter stands alone.
        if room >= 4 {
            format!(" {}", text::clip(&label, room - 1, self.scene.look.glyphs().cut))
        } else {
            String::new()
        }
    }

    /// Minutes in all for what lies ahead, left for what runs, over for what runs over.
    fn minutes(&self) -> String {
        let now = self.scene.view.now_ms;
        let whole = self.item.body_ms.saturating_sub(self.item.from_ms);
        match self.item.what {
            What::Step(Phase::Running) => text::brief(self.item.body_ms.saturating_sub(now)),
            What::Step(Phase::Over | Phase::Overdone) => {
                format!("+{}", text::brief(now.saturating_sub(self.item.body_ms)))
            }
            What::Step(Phase::Done | Phase::Skipped) => String::new(),
            What::Then => text::clock(self.scene.evening, self.item.from_ms),
            _ => text::brief(whole),
        }
    }

    /// What a second row of a block says: from when to when.
    fn second_row(&self, room: usize) -> String {
        let clock = |ms| text::clock(self.scene.evening, ms);
        let both = format!(" {}-{}", clock(self.item.from_ms), clock(self.item.body_ms));
        let one = format!(" {}", clock(self.item.from_ms));
        [both, one].into_iter().find(|w| text::width(w) <= room).unwrap_or_default()
    }

    /// Brackets and a turned style around the chosen block.
    fn choose(&self, canvas: &mut Canvas) {
        let style = self.scene.look.ink(Ink::Chosen);
        let field = self.field;
        if field.width >= 4 {
            for y in field.y..field.bottom() {
                canvas.put(field.x, y, "[", style);
                canvas.put(field.right() - 1, y, "]", style);
            }
            let (x, room) = (field.x + 1, field.width - 2);
            let letter = letter(self.scene, self.item.dish);
            let words = format!("{}{letter}", self.sign());
            let label = self.label(usize::from(room).saturating_sub(text::width(&words)));
            let words = text::fit(&format!("{words}{label}"), usize::from(room), canvas.cut());
            canvas.text(x, field.y, room, &words, style);
        } else {
            for y in field.y..field.bottom() {
                for x in field.x..field.right() {
                    canvas.restyle(
                        x,
                        y,
                        Style::new().add_modifier(Modifier::REVERSED | Modifier::UNDERLINED),
                    );
                }
            }
        }
    }
}

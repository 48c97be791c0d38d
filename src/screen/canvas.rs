//! Drawing on cells without ever leaving them, and the map of what a pointer hits.

use ratatui::buffer::Buffer;
use ratatui::crossterm::event::KeyCode;
use ratatui::layout::Rect;
use ratatui::style::Style;
use unicode_segmentation::UnicodeSegmentation;

use super::look::Look;
use super::text;
use super::ui::{Face, Page, Sel};

/// What a press of the pointer means at some place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hit {
    /// As if this key had been pressed.
    Key(KeyCode),
    /// Choose a block.
    Block(Sel),
    /// Choose a row of the list on this page or card.
    Row(usize),
    /// Go to a page.
    Page(Page),
    /// Turn the report to a face.
    Face(Face),
    /// Go to a shelf of the desk, by its place among the tabs.
    Shelf(usize),
    /// Nothing: a card covers what is below.
    Nothing,
}

/// Where on the screen which press means what. Later entries lie on top.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Hits {
    places: Vec<(Rect, Hit)>,
}

impl Hits {
    /// What lies at a column and row.
    #[must_use]
    pub fn at(&self, column: u16, row: u16) -> Option<Hit> {
        let inside = |r: &Rect| r.contains((column, row).into());
        self.places.iter().rev().find(|(r, _)| inside(r)).map(|&(_, hit)| hit)
    }

    /// All places, lowest first.
    #[must_use]
    pub fn places(&self) -> &[(Rect, Hit)] {
        &self.places
    }

    pub(super) fn add(&mut self, place: Rect, hit: Hit) {
        if !place.is_empty() {
            self.places.push((place, hit));
        }
    }
}

/// A field of a buffer to draw on. Whatever lies outside the field is left out.
pub struct Canvas<'a> {
    buf: &'a mut Buffer,
    field: Rect,
    hits: &'a mut Hits,
    /// How things look.
    pub look: Look,
}

impl<'a> Canvas<'a> {
    /// A canvas on the part of a field that lies in a buffer.
    pub fn new(buf: &'a mut Buffer, field: Rect, hits: &'a mut Hits, look: Look) -> Self {
        let field = field.intersection(buf.area);
        Self { buf, field, hits, look }
    }

    /// The sign for what was cut off.
    #[must_use]
    pub const fn cut(&self) -> &'static str {
        self.look.glyphs().cut
    }

    /// Puts one sign of one column (or two) into a cell.
    pub fn put(&mut self, x: u16, y: u16, sign: &str, style: Style) {
        let w = u16::try_from(text::width(sign)).unwrap_or(1).max(1);
        let end = x.saturating_add(w);
        if !self.field.contains((x, y).into()) || end > self.field.right() {
            return;
        }
        self.mend(x, y);
        if let Some(cell) = self.buf.cell_mut((x, y)) {
            cell.reset();
            cell.set_symbol(sign).set_style(style);
        }
        for more in x + 1..end {
            if let Some(cell) = self.buf.cell_mut((more, y)) {
                cell.reset();
                cell.set_style(style);
            }
        }
    }

    /// Changes the style of a cell and keeps its sign.
    pub fn restyle(&mut self, x: u16, y: u16, style: Style) {
        if !self.field.contains((x, y).into()) {
            return;
        }
        if let Some(cell) = self.buf.cell_mut((x, y)) {
            cell.set_style(style);
        }
    }

    /// Makes a place of the field answer the pointer.
    pub fn hit(&mut self, place: Rect, hit: Hit) {
        self.hits.add(place.intersection(self.field), hit);
    }

    /// Writes a text into at most `room` columns of a row and gives the columns used.
    pub fn text(&mut self, x: u16, y: u16, room: u16, words: &str, style: Style) -> u16 {
        let right = self.field.right().min(x.saturating_add(room));
        let room = right.saturating_sub(x);
        let tame = text::tame(words);
        let words = text::clip(&tame, usize::from(room), self.cut());
        let mut at = x;
        for g in words.graphemes(true) {
            let w = u16::try_from(text::width(g)).unwrap_or(0);
            if w == 0 {
                continue;
            }
            if at.saturating_add(w) > right {
                break;
            }
            self.put(at, y, g, style);
            at = at.saturating_add(w);
        }
        at.saturating_sub(x)
    }

    /// Writes a text at the right end of a stretch of a row.
    pub fn text_right(&mut self, x: u16, y: u16, room: u16, words: &str, style: Style) -> u16 {
        let tame = text::tame(words);
        let words = text::clip(&tame, usize::from(room), self.cut());
        let w = u16::try_from(text::width(&words)).unwrap_or(room).min(room);
        self.text(x.saturating_add(room - w), y, w, &words, style);
        w
    }

    /// Writes several pieces one after the other and gives the columns used.
    pub fn pieces(&mut self, x: u16, y: u16, room: u16, pieces: &[(&str, Style)]) -> u16 {
        let mut used = 0;
        for (words, style) in pieces {
            if used >= room {
                break;
            }
            used += self.text(x.saturating_add(used), y, room - used, words, *style);
        }
        used
    }

    /// Writes a text in lines of a field and gives the lines used.
    pub fn lines(&mut self, field: Rect, words: &str, style: Style) -> u16 {
        let tame = text::tame(words);
        let lines = text::wrap(&tame, usize::from(field.width));
        let mut y = field.y;
        let count = lines.len();
        for (i, line) in lines.iter().enumerate() {
            if y >= field.bottom() {
                break;
            }
            let last = y + 1 == field.bottom() && i + 1 < count;
            let shown = if last { format!("{line} {}", self.cut()) } else { line.clone() };
            self.text(field.x, y, field.width, &shown, style);
            y += 1;
        }
        y - field.y
    }

    /// Fills a field with a sign.
    pub fn fill(&mut self, field: Rect, sign: &str, style: Style) {
        let field = field.intersection(self.field);
        for y in field.y..field.bottom() {
            for x in field.x..field.right() {
                self.put(x, y, sign, style);
            }
        }
    }

    /// Clears a field, draws a frame around it and gives the inside. The title
    /// stands in the frame.
    pub fn card(&mut self, field: Rect, title: &str, style: Style) -> Rect {
        let field = field.intersection(self.field);
        self.fill(field, " ", Style::new());
        self.hit(field, Hit::Nothing);
        if field.width < 2 || field.height < 2 {
            return Rect { width: 0, height: 0, ..field };
        }
        let [tl, side, tr, wall, bl, br] = self.look.glyphs().card;
        let (right, bottom) = (field.right() - 1, field.bottom() - 1);
        for x in field.x..=right {
            self.put(x, field.y, side, style);
            self.put(x, bottom, side, style);
        }
        for y in field.y..=bottom {
            self.put(field.x, y, wall, style);
            self.put(right, y, wall, style);
        }
        for (x, y, sign) in [
            (field.x, field.y, tl),
            (right, field.y, tr),
            (field.x, bottom, bl),
            (right, bottom, br),
        ] {
            self.put(x, y, sign, style);
        }
        let name = format!(" {title} ");
        let bold = style.add_modifier(ratatui::style::Modifier::BOLD);
        self.text(field.x + 2, field.y, field.width.saturating_sub(4), &name, bold);
        Rect::new(field.x + 1, field.y + 1, field.width - 2, field.height - 2)
    }

    // A cell that is overwritten may be the second half of a wide sign: then
    // the first half must go, or the terminal shows it over the new cell.
    fn mend(&mut self, x: u16, y: u16) {
        if x == 0 {
            return;
        }
        if let Some(before) = self.buf.cell_mut((x - 1, y))
            && before.symbol().len() > 1
            && text::width(before.symbol()) > 1
        {
            before.set_symbol(" ");
        }
    }
}

/// A field of the given size in the middle of another, or as much of it as fits.
#[must_use]
pub fn middle(outer: Rect, width: u16, height: u16) -> Rect {
    let (width, height) = (width.min(outer.width), height.min(outer.height));
    let x = outer.x + (outer.width - width) / 2;
    let y = outer.y + (outer.height - height) / 2;
    Rect { x, y, width, height }
}

/// Cuts rows off the top of a field: `(top, rest)`.
#[must_use]
pub fn top(field: Rect, rows: u16) -> (Rect, Rect) {
    let rows = rows.min(field.height);
    (
        Rect { height: rows, ..field },
        Rect { y: field.y + rows, height: field.height - rows, ..field },
    )
}

/// Cuts rows off the bottom of a field: `(rest, bottom)`.
#[must_use]
pub fn bottom(field: Rect, rows: u16) -> (Rect, Rect) {
    let rows = rows.min(field.height);
    top(field, field.height - rows)
}

/// Cuts columns off the left of a field: `(left, rest)`.
#[must_use]
pub fn left(field: Rect, columns: u16) -> (Rect, Rect) {
    let columns = columns.min(field.width);
    (
        Rect { width: columns, ..field },
        Rect { x: field.x + columns, width: field.width - columns, ..field },
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::screen::look::Ground;

    fn on(width: u16, draw: impl FnOnce(&mut Canvas)) -> String {
        let mut buf = Buffer::empty(Rect::new(0, 0, width, 1));
        let mut hits = Hits::default();
        let look = Look { ground: Ground::Mono, ascii: false };
        let field = buf.area;
        draw(&mut Canvas::new(&mut buf, field, &mut hits, look));
        buf.content().iter().map(ratatui::buffer::Cell::symbol).collect()
    }

    #[test]
    fn a_wide_sign_cut_in_half_goes_whole() {
        let row = on(6, |c| {
            c.text(0, 0, 6, "南瓜", Style::new());
            c.put(1, 0, "|", Style::new());
        });
        assert_eq!(row, " |瓜   ");
    }

    #[test]
    fn control_characters_never_reach_a_cell() {
        assert_eq!(on(8, |c| _ = c.text(0, 0, 8, "a\u{1b}[2Jb\n", Style::new())), "a [2Jb  ");
    }

    #[test]
    fn what_lies_on_top_is_hit() {
        let mut hits = Hits::default();
        hits.add(Rect::new(0, 0, 5, 5), Hit::Row(1));
        hits.add(Rect::new(1, 1, 2, 2), Hit::Nothing);
        assert_eq!(hits.at(0, 0), Some(Hit::Row(1)));
        assert_eq!(hits.at(1, 1), Some(Hit::Nothing));
        assert_eq!(hits.at(9, 9), None);
    }
}

//! Rows of columns, for lists.

use ratatui::layout::Rect;
use ratatui::style::Style;

use crate::kitchen::Sheet;
use crate::paper;
use crate::screen::canvas::Canvas;
use crate::screen::text;

/// A column of a list.
#[derive(Debug, Clone, Copy)]
pub(super) struct Column {
    /// Its width, the gap after it included.
    pub wide: u16,
    /// Numbers stand at its right.
    pub right: bool,
}

/// A column of words.
pub(super) const fn words(wide: u16) -> Column {
    Column { wide, right: false }
}

/// A column of numbers.
pub(super) const fn number(wide: u16) -> Column {
    Column { wide, right: true }
}

/// Writes one cell to each column of a line.
pub(super) fn write<S: AsRef<str>>(
    canvas: &mut Canvas,
    line: Rect,
    columns: &[Column],
    cells: &[S],
    style: Style,
) {
    let mut x = line.x.saturating_add(1);
    for (cell, column) in cells.iter().zip(columns) {
        let room = column.wide.saturating_sub(1);
        let draw = if column.right { Canvas::text_right } else { Canvas::text };
        draw(canvas, x, line.y, room, cell.as_ref(), style);
        x = x.saturating_add(column.wide);
    }
}

/// What is left of a width when the fixed columns have theirs.
pub(super) fn rest(width: u16, fixed: &[u16]) -> u16 {
    fixed.iter().fold(width.saturating_sub(1), |left, wide| left.saturating_sub(*wide))
}

/// A dish's title; its short name where the title does not fit the column.
pub(super) fn name(sheet: &Sheet, column: Column) -> String {
    let room = usize::from(column.wide.saturating_sub(1));
    match text::width(&sheet.recipe.title) > room {
        true => paper::capital(&sheet.short()),
        false => sheet.recipe.title.clone(),
    }
}

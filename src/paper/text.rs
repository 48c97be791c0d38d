//! A sheet as plain text of at most 80 columns.

use unicode_width::UnicodeWidthStr;

use super::{Lines, Paper, Part, Row, TICKED, Table};

/// A box to tick.
const BOX: &str = "[ ]";
/// Columns that are no wider stay beside each other.
const SHORT: usize = 26;
/// One that is ticked.
const TICKED_BOX: &str = "[x]";

/// The sheet as text; every line ends with a line break.
#[must_use]
pub fn text(paper: &Paper) -> String {
    let mut lines = Lines::default();
    lines.put(0, paper.title);
    lines.put(0, &"=".repeat(paper.title.width()));
    for part in &paper.parts {
        match part {
            Part::Heading(words) => {
                lines.gap();
                lines.put(0, words);
                lines.put(0, &"-".repeat(words.width().min(80)));
            }
            Part::Words(words) => lines.put(0, words),
            Part::Caution(words) => lines.hang("! ", words),
            Part::List(items) => items.iter().for_each(|item| lines.hang("- ", item)),
            Part::Table(table) => rows(&mut lines, table),
            Part::Cards(cards) => {
                for card in cards {
                    lines.gap();
                    lines.hang(&format!("{} ", card.letter), &card.title);
                    for (name, words) in &card.lines {
                        lines.hang(&format!("  {name}: "), words);
                    }
                }
            }
            Part::Pictures(_) => lines.put(0, "(The chart is in the page and in chart.svg.)"),
        }
    }
    lines.text
}

/// All of them below each other, as [`super::page`] has them.
#[must_use]
pub fn all(title: &str, lead: &[String], papers: &[Paper], foot: &[String]) -> String {
    let mut lines = Lines::default();
    lines.put(0, title);
    lead.iter().for_each(|line| lines.put(0, line));
    for paper in papers {
        lines.gap();
        lines.text.push_str(&text(paper));
    }
    lines.gap();
    foot.iter().for_each(|line| lines.put(0, line));
    lines.text
}

/// A row a line: short columns first, as wide as their widest cell, from the first long one on after each other; the
/// last is long.
fn rows(lines: &mut Lines, table: &Table) {
    let cell = |row: &[String], at: usize| row.get(at).cloned().unwrap_or_default();
    let wide = |row: &Row, at: usize| match row {
        Row::Cells(cells) => cell(cells, at).width(),
        Row::Heading(_) | Row::Caution(_) => 0,
    };
    let widths: Vec<usize> = (0..table.heads.len())
        .map(|at| table.rows.iter().map(|r| wide(r, at)).max().unwrap_or(0))
        .collect();
    for row in &table.rows {
        let row = match row {
            Row::Cells(cells) => cells,
            Row::Heading(words) => {
                lines.gap();
                lines.put(2, words);
                continue;
            }
            Row::Caution(words) => {
                lines.gap();
                lines.hang("! ", words);
                continue;
            }
        };
        let (mut lead, mut rest) = (String::new(), Vec::new());
        for (at, (head, wide)) in table.heads.iter().zip(&widths).enumerate() {
            let words = cell(row, at);
            if head.words.is_empty() {
                lead.push_str(if words == TICKED { TICKED_BOX } else { BOX });
                lead.push(' ');
            } else if (head.tight || *wide <= SHORT)
                && rest.is_empty()
                && at + 1 < table.heads.len()
            {
                lead.push_str(&words);
                lead.push_str(&" ".repeat(wide.saturating_sub(words.width()) + 2));
            } else if !words.is_empty() {
                rest.push(words);
            }
        }
        lines.hang(&lead, &rest.join(" | "));
    }
}

//! The log as text, as a page without scripts, and as a table for other programs.

use std::fmt::Write as _;

use super::{FoodLog, Row};
use crate::paper::{Head, Paper, Part, Table, csv_row, page};

/// How the log is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Format {
    /// For reading in a terminal.
    Text,
    /// A page of its own, for a browser and its printer.
    Html,
    /// Comma-separated values, as RFC 4180 has them.
    Csv,
}

const NOTHING: &str = "Nothing was marked or measured.";

const HEADS: [&str; 6] = ["time", "food", "what", "reading", "limit", "met"];

impl Row {
    fn cells(&self) -> [&str; 6] {
        [&self.when, &self.food, &self.what, &self.reading, &self.limit, self.verdict]
    }
}

impl FoodLog {
    /// The log in a format.
    #[must_use]
    pub fn print(&self, format: Format) -> String {
        match format {
            Format::Text => self.text(),
            Format::Html => self.html(),
            Format::Csv => self.csv(),
        }
    }

    fn text(&self) -> String {
        let mut text = format!("Temperature log: {}, {}\n", self.title, self.day);
        // Writing into a string cannot fail.
        let _ = writeln!(text, "Kept by: {}\n", self.guidance);
        if self.rows.is_empty() {
            let _ = writeln!(text, "{NOTHING}");
        }
        let mut widths = [0; 6];
        let rows: Vec<[&str; 6]> =
            std::iter::once(HEADS).chain(self.rows.iter().map(Row::cells)).collect();
        for cells in &rows {
            for (width, cell) in widths.iter_mut().zip(cells) {
                *width = (*width).max(cell.chars().count());
            }
        }
        for cells in rows.iter().filter(|_| !self.rows.is_empty()) {
            let padded: Vec<String> =
                cells.iter().zip(widths).map(|(cell, width)| format!("{cell:<width$}")).collect();
            let _ = writeln!(text, "{}", padded.join("  ").trim_end());
        }
        for line in self.after.lines() {
            let _ = writeln!(text, "{line}");
        }
        text.push('\n');
        for line in self.cautions.iter().chain(&self.sources) {
            let _ = writeln!(text, "{line}");
        }
        text
    }

    fn csv(&self) -> String {
        let mut text = String::new();
        let heads = ["time", "food", "what", "reading", "limit", "met", "guidance"];
        text.push_str(&csv_row(&heads));
        for row in &self.rows {
            let mut cells = row.cells().to_vec();
            cells.push(&row.guidance);
            text.push_str(&csv_row(&cells));
        }
        text
    }

    fn html(&self) -> String {
        let title = format!("Temperature log: {}, {}", self.title, self.day);
        let lead = [format!("Kept by: {}", self.guidance)];
        page(&title, &lead, &[self.paper()], &[])
    }

    fn paper(&self) -> Paper {
        let mut parts = match self.rows.is_empty() {
            true => vec![Part::Words(NOTHING.to_owned())],
            false => {
                let heads = HEADS.map(|head| match head {
                    "food" | "what" => Head::wide(head),
                    _ => Head::tight(head),
                });
                let rows = self.rows.iter().map(|row| row.cells().map(str::to_owned).to_vec());
                vec![Part::Table(Table::of("What was marked and measured", heads.to_vec(), rows))]
            }
        };
        let mut items: Vec<String> = Vec::new();
        for line in self.after.lines() {
            match line.strip_prefix("  ") {
                Some(item) => items.push(item.to_owned()),
                None => {
                    parts.extend(listed(&mut items));
                    if !line.is_empty() {
                        parts.push(Part::Heading(line));
                    }
                }
            }
        }
        parts.extend(listed(&mut items));
        parts.extend(self.cautions.iter().cloned().map(Part::Caution));
        parts.push(Part::Heading("Figures and their sources".to_owned()));
        parts.push(Part::List(self.sources.clone()));
        Paper { id: "log", title: "Temperature log", parts }
    }
}

/// The items gathered so far as a list; they are gone afterwards.
fn listed(items: &mut Vec<String>) -> Option<Part> {
    (!items.is_empty()).then(|| Part::List(std::mem::take(items)))
}

//! The log as text, as a page without scripts, and as a table for other programs.

use std::fmt::Write as _;

use super::{FoodLog, Row};
use crate::paper::{csv_row, escape};

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
            text.push_str("Nothing was marked or measured.\n");
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
        let mut page = String::from(
            "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<title>",
        );
        let title = escape(&format!("Temperature log: {}, {}", self.title, self.day));
        let _ = write!(page, "{title}</title>\n<style>\n{STYLE}</style>\n</head>\n<body>\n");
        let _ = writeln!(page, "<h1>{title}</h1>\n<p>Kept by: {}</p>", escape(&self.guidance));
        page.push_str("<table>\n<thead><tr>");
        for head in HEADS {
            let _ = write!(page, "<th scope=\"col\">{head}</th>");
        }
        page.push_str("</tr></thead>\n<tbody>\n");
        for row in &self.rows {
            page.push_str("<tr>");
            for cell in row.cells() {
                let _ = write!(page, "<td>{}</td>", escape(cell));
            }
            page.push_str("</tr>\n");
        }
        page.push_str("</tbody>\n</table>\n");
        for line in self.after.lines() {
            match line.strip_prefix("  ") {
                Some(item) => _ = writeln!(page, "<p class=\"item\">{}</p>", escape(item)),
                None if line.is_empty() => {}
                None => _ = writeln!(page, "<h2>{}</h2>", escape(&line)),
            }
        }
        for line in &self.cautions {
            let _ = writeln!(page, "<p><strong>{}</strong></p>", escape(line));
        }
        page.push_str("<h2>Figures and their sources</h2>\n<ul>\n");
        for line in &self.sources {
            let _ = writeln!(page, "<li>{}</li>", escape(line));
        }
        page.push_str("</ul>\n</body>\n</html>\n");
        page
    }
}

const STYLE: &str = "body{font:14px/1.4 sans-serif;margin:2em;color:#000;background:#fff}
table{border-collapse:collapse;width:100%}
th,td{border:1px solid #666;padding:.2em .5em;text-align:left;vertical-align:top}
tr{break-inside:avoid}
.item{margin:.2em 0 .2em 1em}
ul{font-size:12px}
";

//! The list on paper and for the phone: text, Markdown, HTML, CSV.

use std::collections::BTreeSet;

use super::{Line, ShoppingList};
use crate::mise::wording::some;
use crate::paper::{Head, Paper, Part, Row, TICKED, Table, csv_row, notes, page, wrapped};

/// Ids of the lines that are ticked off.
pub type Ticked = BTreeSet<String>;

/// Heads what is not bought.
const TO_BORROW: &str = "To borrow";

/// Columns of the text.
const WIDTH: usize = 78;

fn dishes(list: &ShoppingList) -> Vec<String> {
    let words =
        |d: &super::ForDish| format!("{} {}, {}", d.letter, d.title, some(d.servings, "serving"));
    list.dishes.iter().map(words).collect()
}

/// Plain text, a box before each line; with what is behind each amount if asked.
#[must_use]
pub fn text(list: &ShoppingList, ticked: &Ticked, behind: bool) -> String {
    let mut out = format!("{}, {}: shopping list\n", list.title, list.day);
    let widest = |of: fn(&Line) -> String, most: usize| {
        let widths = list.lines.iter().map(|l| of(l).chars().count());
        widths.filter(|&w| w <= most).max().unwrap_or(0)
    };
    let (names, amounts) = (widest(Line::called, 24), widest(Line::to_buy, 20));
    for (head, lines) in list.headed() {
        out.push_str(&format!("\n{head}\n"));
        for line in lines {
            let mark = if ticked.contains(&line.id) { 'x' } else { ' ' };
            let start =
                format!("  [{mark}] {:names$}  {:amounts$}  ", line.called(), line.to_buy());
            out.push_str(&wrapped(&start, &unbroken(&line.shared()), WIDTH));
            if behind {
                for what in line.behind() {
                    out.push_str(&wrapped("        ~ ", &what, WIDTH));
                }
            }
        }
    }
    if !list.borrow.is_empty() {
        out.push_str(&format!("\n{TO_BORROW}\n"));
        list.borrow.iter().for_each(|what| out.push_str(&wrapped("  [ ] ", what, WIDTH)));
    }
    out.push_str("\nFor\n");
    for dish in dishes(list) {
        out.push_str(&format!("  {dish}\n"));
    }
    out.push_str(&notes(&list.notes, WIDTH));
    out.replace('\u{a0}', " ")
}

/// Shares are broken between them, not inside.
fn unbroken(shares: &str) -> String {
    shares.replace(' ', "\u{a0}").replace(",\u{a0}", ", ")
}

/// Markdown with task boxes.
#[must_use]
pub fn markdown(list: &ShoppingList, ticked: &Ticked) -> String {
    let mut out = format!("# Shopping list: {}, {}\n", plain(&list.title), list.day);
    for (head, lines) in list.headed() {
        out.push_str(&format!("\n## {head}\n\n"));
        for line in lines {
            let mark = if ticked.contains(&line.id) { 'x' } else { ' ' };
            let (name, buy, shares) = (plain(&line.called()), line.to_buy(), plain(&line.shared()));
            out.push_str(&format!("- [{mark}] **{name}** {buy} ({shares})\n"));
        }
    }
    if !list.borrow.is_empty() {
        out.push_str(&format!("\n## {TO_BORROW}\n\n"));
        list.borrow.iter().for_each(|what| out.push_str(&format!("- [ ] {}\n", plain(what))));
    }
    out.push_str("\n## For\n\n");
    dishes(list).iter().for_each(|dish| out.push_str(&format!("- {}\n", plain(dish))));
    if !list.notes.is_empty() {
        out.push_str("\n## Notes\n\n");
        list.notes.iter().for_each(|note| out.push_str(&format!("- {}.\n", plain(note))));
    }
    out
}

/// Text that Markdown takes for nothing but text.
fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        if matches!(c, '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '#' | '|') {
            out.push('\\');
        }
        out.push(c);
    }
    out
}

/// The list as a sheet of paper.
#[must_use]
pub fn paper(list: &ShoppingList, ticked: &Ticked) -> Paper {
    let mut rows = Vec::new();
    for (head, lines) in list.headed() {
        rows.push(Row::Heading(head.to_owned()));
        for line in lines {
            let tick = if ticked.contains(&line.id) { TICKED } else { "" };
            rows.push(Row::Cells(vec![
                tick.to_owned(),
                line.called(),
                line.to_buy(),
                line.shared(),
            ]));
        }
    }
    if !list.borrow.is_empty() {
        rows.push(Row::Heading(TO_BORROW.to_owned()));
        let cells = |what: &String| vec![String::new(), what.clone(), String::new(), String::new()];
        rows.extend(list.borrow.iter().map(|what| Row::Cells(cells(what))));
    }
    let heads = vec![Head::TICK, Head::wide("item"), Head::wide("buy"), Head::wide("for")];
    let caption = "What to buy, by aisle".to_owned();
    let mut parts = vec![
        Part::Table(Table { caption, heads, rows }),
        Part::Heading("For".to_owned()),
        Part::List(dishes(list)),
    ];
    if !list.notes.is_empty() {
        parts.push(Part::Heading("Notes".to_owned()));
        parts.push(Part::List(list.notes.iter().map(|n| format!("{n}.")).collect()));
    }
    Paper { id: "shopping", title: "Shopping list", parts }
}

/// One page of HTML, without script and without anything from elsewhere.
#[must_use]
pub fn html(list: &ShoppingList, ticked: &Ticked) -> String {
    let title = format!("Shopping list: {}, {}", list.title, list.day);
    page(&title, &[], &[paper(list, ticked)], &[])
}

/// Rows with commas between (RFC 4180), a head row first.
#[must_use]
pub fn csv(list: &ShoppingList, ticked: &Ticked) -> String {
    let mut out =
        csv_row(&["aisle", "item", "buy", "exactly", "need", "in_house", "for", "ticked", "how"]);
    for (head, lines) in list.headed() {
        for line in lines {
            let need = line.need.as_ref().map(super::Quantity::words).unwrap_or_default();
            let house = line.in_house.as_ref().map(super::Quantity::words).unwrap_or_default();
            let buy = line.buy.as_ref().map(super::Purchase::words).unwrap_or_default();
            let exact = line.buy.as_ref().map(|b| crate::kitchen::units::say(b.exact, b.unit));
            let tick = if ticked.contains(&line.id) { "yes" } else { "" };
            let (exact, how) = (exact.unwrap_or_default(), line.how.join("; "));
            let cells = [head, &line.item, &buy, &exact, &need, &house, &line.shared(), tick, &how];
            out.push_str(&csv_row(&cells));
        }
    }
    for what in &list.borrow {
        out.push_str(&csv_row(&[TO_BORROW, what, "", "", "", "", "", "", ""]));
    }
    out
}

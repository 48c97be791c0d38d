//! The list on paper and for the phone: text, Markdown, HTML, CSV.

use std::collections::BTreeSet;

use super::{Line, ShoppingList};
use crate::paper::{csv_row, escape, notes, wrapped};

/// Ids of the lines that are ticked off.
pub type Ticked = BTreeSet<String>;

/// Columns of the text.
const WIDTH: usize = 78;

fn dishes(list: &ShoppingList) -> Vec<String> {
    let words = |d: &super::ForDish| format!("{} {}, {} servings", d.letter, d.title, d.servings);
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

const STYLE: &str = "body{font:11pt/1.35 system-ui,sans-serif;max-width:46em;margin:1.5em auto;padding:0 1em;color:#111}\
h1{font-size:1.3em}h2{font-size:1em;margin:1.2em 0 .3em;border-bottom:1px solid #888}\
table{border-collapse:collapse;width:100%}td{padding:.15em .5em .15em 0;vertical-align:top}\
td.box{width:1.4em}td.box span{display:inline-block;width:.9em;height:.9em;border:1.5px solid #333;text-align:center;line-height:.8em}\
td.name{width:30%;font-weight:600}td.buy{width:26%}td.for{color:#444}tr{break-inside:avoid}\
@page{margin:14mm}@media print{body{margin:0;max-width:none;padding:0}}";

/// One page of HTML, without script and without anything from elsewhere.
#[must_use]
pub fn html(list: &ShoppingList, ticked: &Ticked) -> String {
    let title = escape(&format!("Shopping list: {}, {}", list.title, list.day));
    let mut out = format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width\">\n<title>{title}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n<h1>{title}</h1>\n"
    );
    for (head, lines) in list.headed() {
        out.push_str(&format!("<h2>{}</h2>\n<table>\n", escape(head)));
        for line in lines {
            let mark = if ticked.contains(&line.id) { "✓" } else { "" };
            out.push_str(&format!(
                "<tr><td class=\"box\"><span>{mark}</span></td><td class=\"name\">{}</td><td class=\"buy\">{}</td><td class=\"for\">{}</td></tr>\n",
                escape(&line.called()),
                escape(&line.to_buy()),
                escape(&line.shared()),
            ));
        }
        out.push_str("</table>\n");
    }
    let mut section = |head: &str, lines: Vec<String>| {
        if !lines.is_empty() {
            let lines = lines.iter().map(|l| format!("<li>{}</li>\n", escape(l)));
            out.push_str(&format!("<h2>{head}</h2>\n<ul>\n{}</ul>\n", lines.collect::<String>()));
        }
    };
    section("For", dishes(list));
    section("Notes", list.notes.iter().map(|n| format!("{n}.")).collect());
    out.push_str("</body>\n</html>\n");
    out
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
    out
}

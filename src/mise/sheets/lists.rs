//! What is done before the first flame, on paper: what to buy, what to cut and
//! measure, what stands ready and what stays cold.

use super::Make;
use crate::kitchen::Kept;
use crate::mise::knife;
use crate::mise::shopping::{self, print::paper};
use crate::mise::trays::{self, print::by_time};
use crate::paper::{Head, Paper, Part, Row, Table};

pub(super) fn shopping_sheet(make: Make) -> Paper {
    let list = shopping::list_without(make.evening, make.dropped);
    let own = make.ticked.iter().filter_map(|t| t.strip_prefix(shopping::TICKS));
    paper(&list, &own.map(str::to_owned).collect())
}

/// Jobs at the board in their order, then what is opened and measured for each dish.
pub(super) fn mise_sheet(make: Make) -> Paper {
    let mise = knife::pool_without(make.evening, make.dropped);
    let mut rows = Vec::new();
    let mut heading = None;
    for job in &mise.jobs {
        rows.extend(job.wash.iter().map(|wash| Row::Caution(format!("{wash}."))));
        if heading != Some(job.heading()) {
            rows.push(Row::Heading(job.heading().to_owned()));
            heading = Some(job.heading());
        }
        let waits = match job.waits {
            Kept::Cupboard => String::new(),
            kept => format!("covered, {}", trays::print::store(kept)),
        };
        let tick = make.tick(&format!("{}{}", knife::TICKS, job.id));
        rows.push(Row::Cells(vec![
            tick,
            job.words(),
            format!("{} min", job.minutes),
            format!("{}{}", job.shared(), job.keep_off()),
            waits,
        ]));
    }
    let last = mise.jobs.last().and_then(|job| knife::print::last_wash(job.board));
    rows.extend(last.map(|wash| Row::Caution(format!("{wash}."))));
    let heads = vec![
        Head::TICK,
        Head::wide("cut"),
        Head::tight("time"),
        Head::wide("for"),
        Head::wide("then"),
    ];
    let table = Table { caption: "Knife work, in order".to_owned(), heads, rows };
    let mut parts = vec![Part::Words(knife::print::summary(&mise)), Part::Table(table)];
    let mut rows = Vec::new();
    for setup in &mise.setups {
        rows.push(Row::Heading(format!("{} {}", setup.letter, setup.title)));
        for (word, things) in [("open", &setup.open), ("measure", &setup.measure)] {
            if !things.is_empty() {
                rows.push(Row::Cells(vec![String::new(), word.to_owned(), things.join(", ")]));
            }
        }
    }
    if !rows.is_empty() {
        parts.push(Part::Heading("Open and measure, dish by dish".to_owned()));
        let heads = vec![Head::TICK, Head::tight("do"), Head::wide("what")];
        let caption = "What is opened and measured for each dish".to_owned();
        parts.push(Part::Table(Table { caption, heads, rows }));
    }
    parts.extend(notes(&mise.notes));
    Paper { id: "mise", title: "Knife work and measuring", parts }
}

/// Dish by dish: what stands on its tray, and what stays cold until when.
pub(super) fn trays_sheet(make: Make) -> Paper {
    let trays = trays::lay(make.evening, Some(make.plan), make.dropped);
    let mut rows = Vec::new();
    for tray in &trays.trays {
        rows.push(Row::Heading(format!("{} {}", tray.letter, tray.title)));
        rows.push(Row::Cells(vec![
            String::new(),
            "counter".to_owned(),
            trays::print::ready(tray),
            String::new(),
        ]));
        for cold in by_time(tray) {
            let until = trays::print::until(make.evening, cold);
            rows.push(Row::Cells(vec![
                String::new(),
                trays::print::store(cold.kept).to_owned(),
                cold.thing.words(),
                until.trim_start_matches(" until ").to_owned(),
            ]));
        }
    }
    let heads = vec![Head::TICK, Head::tight("where"), Head::wide("what"), Head::wide("until")];
    let caption = "What stands ready for each dish".to_owned();
    let mut parts = vec![Part::Table(Table { caption, heads, rows })];
    parts.push(Part::Heading("Room".to_owned()));
    parts.push(Part::List(trays::print::room(make.evening, &trays)));
    parts.extend(notes(&trays.notes));
    Paper { id: "trays", title: "Trays", parts }
}

/// What a list cannot answer for.
fn notes(notes: &[String]) -> Vec<Part> {
    if notes.is_empty() {
        return Vec::new();
    }
    let lines = notes.iter().map(|note| format!("{note}."));
    vec![Part::Heading("Notes".to_owned()), Part::List(lines.collect())]
}

//! `potwatch picture`: the chart of the demo as an SVG file, the picture in the README.

use std::path::Path;

use anyhow::Context;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::exit::WrongUse;
use super::{Exit, Streams};
use crate::live::demo;
use crate::plan::risk;
use crate::run;
use crate::screen::{Demo, Look, Scene, Status, Ui, draw, picture};
use crate::store::load::load_builtin;
use crate::store::{IfThere, RealDisk, save, zone};

/// Cells that a picture may have each way.
const MOST: u16 = 400;

/// Draws the demo at its opening.
///
/// # Errors
/// A size that is none; trouble with writing.
pub fn run(size: &str, out: Option<&Path>, streams: &mut Streams) -> anyhow::Result<Exit> {
    let (columns, rows) = cells(size)
        .ok_or_else(|| WrongUse(format!("--size {size}: write it as 120x36, at most 400x400")))?;
    let today = chrono::Local::now().date_naive();
    let look = Look::choose(false, "truecolor", "xterm-256color", Some(false), false);
    let opening = demo::open(load_builtin(zone::clockface(today))?, look)?;
    let now_ms = opening.time.now_ms(opening.clocks.now());
    let view = run::view(&opening.state, now_ms);
    let plan = opening.state.plan().context("the demo has no plan")?;
    let situation = opening.state.situation(now_ms);
    let evening = opening.state.evening();
    let odds = risk::forecast(evening, &situation, plan, risk::SEED, risk::EVENINGS);
    let demo = Some(Demo { speed: 1, paused: false, rehearses: None });
    let status = Status { demo, odds: Some(odds), ..Status::default() };
    let scene = Scene { evening, plan, view: &view, status: &status, look };
    let mut buffer = Buffer::empty(Rect::new(0, 0, columns, rows));
    let mut ui = Ui::default();
    ui.refresh(&scene, 0);
    draw(buffer.area, &mut buffer, &scene, &ui);
    let svg = picture::svg(&buffer);
    match out {
        Some(path) => save(&RealDisk, path, svg.as_bytes(), IfThere::Replace)?,
        None => streams.out.write_all(svg.as_bytes())?,
    }
    Ok(Exit::Done)
}

fn cells(size: &str) -> Option<(u16, u16)> {
    let (columns, rows) = size.split_once('x')?;
    let (columns, rows) = (columns.parse().ok()?, rows.parse().ok()?);
    ((1..=MOST).contains(&columns) && (1..=MOST).contains(&rows)).then_some((columns, rows))
}

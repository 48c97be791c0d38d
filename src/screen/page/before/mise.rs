//! Knife work of all dishes together, and what is opened and measured out.

use ratatui::layout::Rect;
use ratatui::style::Style;

use super::flow::Flow;
use super::sections::{self, Line, tickable};
use super::table::{Column, number, rest, words, write};
use crate::kitchen::Kept;
use crate::mise::knife::{self, Job, Mise, print};
use crate::screen::Scene;
use crate::screen::canvas::{Canvas, bottom, left, top};
use crate::screen::look::Ink;
use crate::screen::ui::Ui;

/// From this width on the dishes' cans and spices stand beside the jobs, not below.
const SIDE_BY_SIDE: u16 = 116;

fn mise(scene: &Scene) -> Mise {
    knife::pool_without(scene.evening, &scene.view.dropped)
}

/// How many jobs can be chosen.
pub(super) fn rows(scene: &Scene) -> usize {
    mise(scene).jobs.len()
}

/// What a tick on a row is about.
pub(super) fn tick(scene: &Scene, row: usize) -> Option<String> {
    mise(scene).jobs.get(row).map(tick_of)
}

fn tick_of(job: &Job) -> String {
    format!("{}{}", knife::TICKS, job.id)
}

/// Box, job, minutes, whose, then cold.
fn columns(width: u16) -> [Column; 4] {
    let left = rest(width, &[4, 8]);
    let job = (left * 45 / 100).clamp(20, 44);
    [words(4), words(job), number(8), words(left.saturating_sub(job))]
}

/// Draws the page.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    let mise = mise(scene);
    let (head, field) = top(field, 2);
    Flow::inset(head).say(canvas, &print::summary(&mise), scene.look.ink(Ink::Strong));
    let (field, beside) = if field.width >= SIDE_BY_SIDE {
        left(field, (field.width * 60 / 100).max(72))
    } else {
        bottom(field, (field.height * 3 / 10).max(4))
    };
    let lines = lines(&mise);
    let columns = columns(field.width);
    sections::draw(canvas, field, scene, (&lines, ui.row), &mut |canvas, place, number, chosen| {
        if let Some(job) = mise.jobs.get(number) {
            row(canvas, place, scene, &columns, (job, chosen));
        }
    });
    setups(canvas, beside, scene, &mise, mise.jobs.get(ui.row));
}

fn lines(mise: &Mise) -> Vec<Line> {
    let mut lines = Vec::new();
    let mut heading = None;
    for (number, job) in mise.jobs.iter().enumerate() {
        lines.extend(job.wash.as_ref().map(|wash| Line::Note(wash.clone())));
        if heading != Some(job.heading()) {
            lines.push(Line::Head(job.heading().to_owned()));
            heading = Some(job.heading());
        }
        lines.push(Line::Row(number));
    }
    let last = mise.jobs.last().and_then(|job| print::last_wash(job.board));
    lines.extend(last.map(|wash| Line::Note(wash.to_owned())));
    lines
}

fn row(
    canvas: &mut Canvas,
    place: Rect,
    scene: &Scene,
    columns: &[Column],
    (job, chosen): (&Job, bool),
) {
    let (tick, style) = tickable(canvas, place, scene, &tick_of(job), chosen);
    let cold = if job.waits == Kept::Cupboard { "" } else { "; then cold" };
    let minutes = format!("{} min", job.minutes);
    let shares = format!("{}{cold}{}", job.shared(), job.keep_off());
    let cells = [tick.to_owned(), job.words(), minutes, shares];
    write(canvas, place, columns, &cells, style);
}

/// What the chosen job was reckoned from; then cans and spices dish by dish.
fn setups(canvas: &mut Canvas, field: Rect, scene: &Scene, mise: &Mise, job: Option<&Job>) {
    let mut flow = Flow::inset(field);
    if let Some(job) = job {
        flow.say(
            canvas,
            &format!("{}, {} min: {}.", job.words(), job.minutes, job.how),
            Style::new(),
        );
    }
    flow.notes(canvas, scene, &mise.notes);
    for setup in &mise.setups {
        let head = format!("{} {}", setup.letter, setup.title);
        flow.say(canvas, &head, scene.look.ink(Ink::Service));
        for (word, things) in [("open", &setup.open), ("measure", &setup.measure)] {
            if !things.is_empty() {
                flow.say(canvas, &format!("{word}: {}", things.join(", ")), Style::new());
            }
        }
    }
}

//! The lane chart: stations and cooks from top to bottom, time to the right,
//! the present time as a line across all of it.

mod axis;
mod fold;
mod hands;
mod lanes;
mod paint;
mod place;
mod shelf;
mod then;
mod window;

pub use fold::{Folded, fold};
pub use lanes::{Item, Lane, LaneKind, What, kind_word, lanes, slot_name, slot_word};
pub use place::{Placed, place};
pub use then::wanted;
pub use window::{Window, Zoom, extent};

use ratatui::layout::Rect;

use super::Scene;
use super::canvas::{Canvas, Hit, left, top};
use super::look::Ink;
use super::text;
use super::ui::{Sel, Ui};

/// Draws the chart into a field: the time scale, then the lanes. Gives the
/// rows that the lanes leave free.
pub fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) -> Rect {
    let all = lanes(scene.evening, scene.plan, scene.view);
    let (head, body) = top(field, if field.height >= 22 { 2 } else { 1 });
    let gutter = gutter(field.width, &all);
    let (names, cells) = left(body, gutter);
    let window = window_for(scene, ui, &all, cells.width);
    let folded = if ui.why.is_some() {
        let lanes = then::with_then(scene, ui, all);
        let lanes = then::of_interest(scene, ui, lanes, body.height);
        fold(scene.evening, lanes, body.height, scene.view.now_ms, true, 0)
    } else {
        folded(scene, ui, all, body.height)
    };
    let (_, scale) = left(head, gutter);
    for (row, lane) in folded.lanes.iter().enumerate() {
        let y = cells.y + u16::try_from(row).unwrap_or(0).saturating_mul(folded.tall);
        let strip = Rect { y, height: folded.tall, ..cells }.intersection(cells);
        name(canvas, Rect { x: names.x, width: gutter, ..strip }, lane, scene);
        axis::lines(canvas, strip, scene, &window);
        paint::lane(canvas, strip, lane, scene, ui, &window);
    }
    let used = u16::try_from(folded.lanes.len()).unwrap_or(0).saturating_mul(folded.tall);
    let (_, rest) = top(body, used);
    if let Some((first, _)) = split_row(rest) {
        below(canvas, first, &folded, scene);
    }
    axis::scale(canvas, scale, scene, &window);
    edges(canvas, Rect { width: gutter, ..head }, &folded, zoom_of(scene, ui));
    top(rest, u16::from(!folded.quiet.is_empty())).1
}

/// Time before the first block from which on the whole party is shown without the wait for it.
const FAR_MS: i64 = 2 * 3_600_000;

/// The window of the chart for a number of columns, moved to the chosen block if need be.
#[must_use]
pub fn window_for(scene: &Scene, ui: &Ui, lanes: &[Lane], columns: u16) -> Window {
    let now = scene.view.now_ms;
    let items = lanes.iter().flat_map(|l| &l.items);
    let chosen = ui.selected.and_then(|sel| {
        let own = |i: &&Item| i.sel == Some(sel) && i.what != What::Eye;
        items.clone().find(own).map(|i| (i.from_ms, i.to_ms))
    });
    // The evening is over: what there is to see lies behind.
    let last = scene.plan.services.iter().map(|s| scene.evening.face.ms_of(s.due)).max();
    let at = last.filter(|_| is_closed(scene)).map_or(now, |last| now.min(last));
    let zoom = zoom_of(scene, ui);
    // The evening lies so far ahead that nothing of it would be seen: its beginning is shown.
    let (now, at) = far_ahead(scene, zoom).map_or((now, at), |begins| (begins, begins));
    Window::new(zoom, columns, now, extent(scene.evening, scene.plan, at), chosen)
}

/// When the plan begins (unix ms), if nothing of it would be in a window that begins now.
fn far_ahead(scene: &Scene, zoom: Zoom) -> Option<i64> {
    let plan = scene.plan;
    let blocks = plan.blocks.iter().map(|b| b.start);
    let first = blocks.chain(plan.settings.iter().map(|s| s.from)).min()?;
    let first = scene.evening.face.ms_of(first);
    let seen = zoom.least_ms().unwrap_or(FAR_MS) / 5 * 4;
    (first.saturating_sub(scene.view.now_ms) > seen).then_some(first)
}

fn is_closed(scene: &Scene) -> bool {
    scene.view.ending.as_ref().is_some_and(|e| e.closed)
}

/// The zoom: after the end the whole party.
fn zoom_of(scene: &Scene, ui: &Ui) -> Zoom {
    if is_closed(scene) { Zoom::Whole } else { ui.zoom }
}

fn folded(scene: &Scene, ui: &Ui, lanes: Vec<Lane>, rows: u16) -> Folded {
    let now = scene.view.now_ms;
    let first = fold(scene.evening, lanes.clone(), rows, now, ui.all_lanes, ui.lane_scroll);
    let Some(sel) = ui.selected else { return first };
    let has = |l: &Lane| l.items.iter().any(|i| i.sel == Some(sel));
    if first.lanes.iter().any(has) {
        return first;
    }
    // The chosen block is on a lane that is left out: show every lane, moved to it.
    let at = lanes.iter().position(has).unwrap_or(0);
    let scroll = at.saturating_sub(usize::from(rows) / 2);
    fold(scene.evening, lanes, rows, now, true, scroll)
}

fn gutter(width: u16, lanes: &[Lane]) -> u16 {
    let longest = lanes.iter().map(|l| text::width(&l.name)).max().unwrap_or(0);
    let most = match width {
        0..=69 => 9,
        70..=109 => 12,
        110..=179 => 15,
        _ => 20,
    };
    u16::try_from(longest + 1).unwrap_or(most).clamp(4, most).min(width / 2)
}

fn name(canvas: &mut Canvas, field: Rect, lane: &Lane, scene: &Scene) {
    let g = scene.look.glyphs();
    let room = field.width.saturating_sub(1);
    let style = match (&lane.kind, lane.down) {
        (_, true) => scene.look.rank(crate::run::Rank::Warning),
        (LaneKind::Cook(_), _) => scene.look.ink(Ink::Strong),
        (LaneKind::Dial(_), _) => scene.look.ink(Ink::Heat),
        (LaneKind::Then(_), _) => scene.look.ink(Ink::Faint),
        _ => scene.look.ink(Ink::Plain),
    };
    if lane.down {
        let words = format!("{}{}", g.broken, lane.name);
        canvas.text(field.x, field.y, room, &words, style);
        if field.height > 1 {
            canvas.text(field.x, field.y + 1, room, "out of order", style);
        }
    } else {
        canvas.text(field.x, field.y, room, &lane.name, style);
    }
}

/// The line under the lanes: which are left out, and when they are needed.
fn below(canvas: &mut Canvas, row: Rect, folded: &Folded, scene: &Scene) {
    if folded.quiet.is_empty() {
        return;
    }
    let words: Vec<String> = folded
        .quiet
        .iter()
        .map(|(name, at)| {
            if *at == i64::MAX {
                name.clone()
            } else {
                format!("{name} {}", text::clock(scene.evening, *at))
            }
        })
        .collect();
    let line = format!("not shown: {}", words.join(", "));
    canvas.text(row.x, row.y, row.width, &line, scene.look.ink(Ink::Faint));
    canvas.hit(row, Hit::Key(ratatui::crossterm::event::KeyCode::Char('l')));
}

/// At the left of the time scale: the zoom, or how many lanes lie above and below.
fn edges(canvas: &mut Canvas, field: Rect, folded: &Folded, zoom: Zoom) {
    let g = canvas.look.glyphs();
    let words = match (folded.above, folded.below) {
        (0, 0) => match zoom {
            Zoom::Close => "1 hour",
            Zoom::Wide => "2 hours",
            Zoom::Whole => "all of it",
        }
        .to_owned(),
        (0, b) => format!("{}{b} more", g.down),
        (a, 0) => format!("{}{a} more", g.up),
        (a, b) => format!("{}{a} {}{b}", g.up, g.down),
    };
    let style = canvas.look.ink(Ink::Faint);
    let y = field.bottom().saturating_sub(1);
    canvas.text(field.x, y, field.width.saturating_sub(1), &words, style);
}

fn split_row(field: Rect) -> Option<(Rect, Rect)> {
    (field.height > 0).then(|| top(field, 1))
}

/// All that can be chosen, lane by lane, in the order of the lanes and of time.
#[must_use]
pub fn choices(scene: &Scene) -> Vec<Vec<(Sel, i64)>> {
    // A step on two burners lies on two lanes and is chosen on the first.
    let mut seen: Vec<Sel> = Vec::new();
    let mut out = Vec::new();
    for lane in lanes(scene.evening, scene.plan, scene.view) {
        if matches!(lane.kind, LaneKind::Cook(_)) {
            continue;
        }
        let mut row = Vec::new();
        for item in &lane.items {
            if let Some(sel) = item.sel.filter(|s| !seen.contains(s)) {
                seen.push(sel);
                row.push((sel, item.from_ms));
            }
        }
        if !row.is_empty() {
            out.push(row);
        }
    }
    out
}

//! The time scale, the line of the present time and the lines of the services.

use ratatui::layout::Rect;

use super::window::Window;
use crate::kitchen::Minute;
use crate::plan::risk::words;
use crate::screen::Scene;
use crate::screen::canvas::Canvas;
use crate::screen::look::Ink;
use crate::screen::text;

/// Minutes between the times on the scale.
const TICKS: [i64; 9] = [5, 10, 15, 20, 30, 60, 120, 240, 480];

/// The scale: times, and above them (or instead, in a single row) the services.
pub(super) fn scale(canvas: &mut Canvas, field: Rect, scene: &Scene, window: &Window) {
    if field.is_empty() {
        return;
    }
    let last = field.bottom() - 1;
    let mut taken = Taken(vec![false; usize::from(field.width)]);
    if let Some(column) = window.column(scene.view.now_ms) {
        taken.take(column, 1);
    }
    if field.height == 1 {
        services(canvas, field, scene, window, &mut taken);
        ticks(canvas, Rect { y: last, height: 1, ..field }, scene, window, &mut taken);
    } else {
        let mut own = Taken(vec![false; usize::from(field.width)]);
        services(canvas, field, scene, window, &mut own);
        ticks(canvas, Rect { y: last, height: 1, ..field }, scene, window, &mut taken);
    }
}

/// The lines of services and of now, through a lane.
pub(super) fn lines(canvas: &mut Canvas, strip: Rect, scene: &Scene, window: &Window) {
    let g = scene.look.glyphs();
    for service in &scene.plan.services {
        let at = scene.evening.face.ms_of(service.due);
        if let Some(column) = window.column(at) {
            for y in strip.y..strip.bottom() {
                canvas.put(strip.x + column, y, g.service, scene.look.ink(Ink::Service));
            }
        }
    }
    if let Some(column) = window.column(scene.view.now_ms) {
        for y in strip.y..strip.bottom() {
            canvas.put(strip.x + column, y, g.now, scene.look.ink(Ink::Now));
        }
    }
}

/// Which columns of a row are written on.
struct Taken(Vec<bool>);

impl Taken {
    /// Takes some columns, with a free one on either side; false if they are not free.
    fn take(&mut self, from: u16, wide: usize) -> bool {
        let from = usize::from(from);
        let around = from.saturating_sub(1)..(from + wide + 1).min(self.0.len());
        if from + wide > self.0.len() || self.0.get(around).is_none_or(|s| s.contains(&true)) {
            return false;
        }
        if let Some(own) = self.0.get_mut(from..from + wide) {
            own.fill(true);
        }
        true
    }
}

fn services(canvas: &mut Canvas, field: Rect, scene: &Scene, window: &Window, taken: &mut Taken) {
    let g = scene.look.glyphs();
    for line in &scene.plan.services {
        let at = scene.evening.face.ms_of(line.due);
        let Some(column) = window.column(at) else { continue };
        let title = scene.evening.party.services.get(line.service).map_or("", |s| &s.title);
        let full = format!("{}{} {}", g.service_head, title, text::clock(scene.evening, at));
        let odds = scene.status.odds.as_ref().and_then(|o| o.of(line.service));
        let sure = odds.map(|odds| format!("{full}, {}", words::percent(odds)));
        let short = format!("{}{}", g.service_head, title);
        let shorter = [full, short, g.service_head.to_owned()];
        for words in sure.into_iter().chain(shorter) {
            let wide = text::width(&words);
            if taken.take(column, wide) {
                let room = field.width.saturating_sub(column);
                let style = scene.look.ink(Ink::Service);
                canvas.text(field.x + column, field.y, room, &words, style);
                break;
            }
            // At the right edge the words stand to the left of their line.
            let wide = u16::try_from(wide).unwrap_or(u16::MAX);
            let before = column.checked_sub(wide.saturating_sub(1));
            if let Some(from) = before
                && field.width.saturating_sub(column) < wide
                && taken.take(from, usize::from(wide))
            {
                let turned = words.trim_start_matches(g.service_head);
                let turned = format!("{turned}{}", g.service_head);
                canvas.text(field.x + from, field.y, wide, &turned, scene.look.ink(Ink::Service));
                break;
            }
        }
    }
}

fn ticks(canvas: &mut Canvas, row: Rect, scene: &Scene, window: &Window, taken: &mut Taken) {
    let g = scene.look.glyphs();
    if let Some(column) = window.column(scene.view.now_ms) {
        canvas.put(row.x + column, row.y, g.now_head, scene.look.ink(Ink::Now));
    }
    let apart = |minutes: &&i64| **minutes * 60_000 >= window.step_ms * 8;
    let tick = TICKS.iter().find(apart).copied().unwrap_or(480);
    let face = &scene.evening.face;
    let first = i64::from(face.minute_at(window.from_ms)).div_euclid(tick) * tick;
    for n in 0.. {
        let Ok(minute) = Minute::try_from(first + n * tick) else { break };
        let at = face.ms_of(minute);
        if at >= window.to_ms() {
            break;
        }
        let Some(column) = window.column(at) else { continue };
        let words = face.label(minute);
        if taken.take(column, text::width(&words)) {
            let style = scene.look.ink(Ink::Faint);
            canvas.text(row.x + column, row.y, row.width.saturating_sub(column), &words, style);
        }
    }
}

//! The plan station by station, place by place.

use super::Page;
use crate::kitchen::{Minute, Station};
use crate::order::InOrder;
use crate::paper::Lines;
use crate::plan::blocks::SettingKind;

/// A line of a place: from, to, what.
type Row = (Minute, Minute, String);

impl Page<'_> {
    pub(super) fn by_station(&self, lines: &mut Lines) {
        let mut first = true;
        for station in &self.evening.kitchen.stations {
            let dial = self.dial_rows(station);
            let places: Vec<(u32, Vec<Row>)> = (0..station.slots)
                .map(|slot| (slot, self.rows(station, slot)))
                .filter(|(_, rows)| !rows.is_empty())
                .collect();
            if places.is_empty() {
                continue;
            }
            if !std::mem::take(&mut first) {
                lines.gap();
            }
            self.put(lines, &station.title, dial);
            for (slot, rows) in places {
                self.put(lines, &self.place(&station.id, &[slot]), rows);
            }
        }
    }

    fn put(&self, lines: &mut Lines, title: &str, mut rows: Vec<Row>) {
        if rows.is_empty() {
            return;
        }
        rows.order();
        lines.put(2, title);
        for (from, to, words) in rows {
            lines.hang(&format!("  {}-{}  ", self.at_day(from), self.at(to)), &words);
        }
    }

    fn rows(&self, station: &Station, slot: u32) -> Vec<Row> {
        let mut rows: Vec<Row> = Vec::new();
        let named = |dish: usize, words: &str| {
            format!("{} {}: {words}", self.letter(dish), self.short(dish))
        };
        for b in &self.plan.blocks {
            if b.station == station.id && b.slots.contains(&slot) && b.start < b.end {
                let load = if b.loads > 1 {
                    format!(" {}/{}", b.key.load + 1, b.loads)
                } else {
                    String::new()
                };
                let words = format!("{}{load}", self.label(b.key.dish, b.key.step));
                rows.push((b.start, b.end, named(b.key.dish, &words)));
            }
        }
        for h in &self.plan.holds {
            if h.station == station.id && h.slots.contains(&slot) {
                rows.push((h.from, h.to, named(h.dish, "waits for its service")));
            }
        }
        for w in &self.plan.waits {
            if w.station.as_deref() == Some(&station.id) && w.slots.contains(&slot) {
                let words = format!("waits for \"{}\"", self.label(w.dish, w.before_step));
                rows.push((w.from, w.to, named(w.dish, &words)));
            }
        }
        rows
    }

    fn dial_rows(&self, station: &Station) -> Vec<Row> {
        let mine = self.plan.settings.iter().filter(|s| s.station == station.id);
        let words = |kind, c| match kind {
            SettingKind::Heating => format!("heats to {c}"),
            SettingKind::Cooling => format!("cools to {c}"),
            SettingKind::Keeping => c,
        };
        mine.map(|s| (s.from, s.to, words(s.kind, self.degrees(s.to_c)))).collect()
    }
}

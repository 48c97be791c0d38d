//! The plan in order of time: what to start, take out, turn, serve.

use super::Page;
use super::lines::{Lines, list};
use crate::kitchen::{Minute, StationKind, StepCare};
use crate::plan::blocks::{Block, HoldBlock, SettingBlock, SettingKind};
use crate::plan::{contact, eve};
use crate::safety::{Profile, caution};

/// A line: when, in which order at that minute, of which dish, what.
struct Entry {
    at: Minute,
    rank: u8,
    letter: char,
    words: String,
}

impl Page<'_> {
    pub(super) fn by_clock(&self, lines: &mut Lines) {
        let mut entries: Vec<Entry> = Vec::new();
        entries.extend(self.plan.settings.iter().filter_map(|s| self.dial(s)));
        entries.extend(self.plan.blocks.iter().map(|b| self.begin(b)));
        entries.extend(self.plan.blocks.iter().filter_map(|b| self.take_out(b)));
        entries.extend(self.plan.holds.iter().map(|h| self.hold(h)));
        entries.extend(self.services());
        entries.sort_by_key(|e| (e.at, e.rank, e.letter));
        let mut shown = None;
        let before = entries.iter().any(|e| e.at < 0);
        let mut day = None;
        for entry in entries {
            if before && day.replace(entry.at < 0) != Some(entry.at < 0) {
                lines.put(0, &self.day_line(entry.at < 0));
                shown = None;
            }
            let at = self.at(entry.at);
            let time = if shown.as_ref() == Some(&at) { "     " } else { at.as_str() };
            lines.hang(&format!("{time}  {} ", entry.letter), &entry.words);
            shown = Some(at);
        }
    }

    /// "The day before, Tuesday 24 November:".
    fn day_line(&self, before: bool) -> String {
        let day = self.evening.party.day;
        let shown = |d: chrono::NaiveDate| d.format("%A %-d %B").to_string();
        match before {
            true => format!("The day before, {}:", day.pred_opt().map(shown).unwrap_or_default()),
            false => format!("{}:", shown(day)),
        }
    }

    fn dial(&self, s: &SettingBlock) -> Option<Entry> {
        let station = self.station(&s.station);
        let to = self.degrees(s.to_c);
        let by = self.at(s.to);
        let words = match s.kind {
            SettingKind::Heating => format!("{station} to {to}; hot at {by}"),
            SettingKind::Cooling => format!("{station} down to {to}; there at {by}"),
            SettingKind::Keeping => return None,
        };
        Some(Entry { at: s.from, rank: 2, letter: '*', words })
    }

    /// "soup: roast, 40 min, Oven, rack 1 at 205 °C".
    fn begin(&self, b: &Block) -> Entry {
        let mut words = format!(
            "{}: {}{}, {} min, {}",
            self.short(b.key.dish),
            self.label(b.key.dish, b.key.step),
            self.load(b),
            b.end - b.start,
            self.place(&b.station, &b.slots)
        );
        if let Some(c) = b.setting_c {
            words = format!("{words}, {}", self.degrees(c));
        }
        if let Some(cook) = b.cook.as_deref().filter(|_| self.evening.party.cooks.len() > 1) {
            let cook = self.evening.party.cooks.iter().find(|c| c.id == cook);
            words = format!("{words} ({})", cook.map_or("", |c| &c.name));
        }
        if let Some(care) = self.care(b) {
            words = format!("{words}; {care}");
        }
        for clean in contact::before(self.plan, b.key) {
            let (remedy, was) = (clean.remedy(self.evening), clean.traces_words(self.evening));
            words = format!("{words}; first {remedy} ({was})");
        }
        Entry { at: b.start, rank: 3, letter: self.letter(b.key.dish), words }
    }

    /// How cold by when food that is cooled must be, how hot food that is heated again.
    fn care(&self, b: &Block) -> Option<String> {
        match self.sheet(b.key.dish)?.recipe.steps.get(b.key.step)?.care? {
            StepCare::Cools => {
                let points = eve::cooling(self.evening, self.plan, b.key.dish);
                (!points.is_empty()).then(|| points.join(", "))
            }
            StepCare::Reheats => {
                let profile = Profile::by_id(&self.evening.party.guidance)?;
                Some(format!("to {}", caution::reheat_words(profile, self.evening.customs.degrees)))
            }
        }
    }

    fn load(&self, b: &Block) -> String {
        if b.loads > 1 { format!(" load {} of {}", b.key.load + 1, b.loads) } else { String::new() }
    }

    /// The end of what cooks by itself and wants a hand at its end.
    fn take_out(&self, b: &Block) -> Option<Entry> {
        let kind = self.evening.station(&b.station)?.kind;
        if b.hands_end == 0 || b.hands_between >= 100 || !kind.heats() {
            return None;
        }
        let off = if kind == StationKind::Stovetop { "off" } else { "out" };
        let (dish, label) = (self.short(b.key.dish), self.label(b.key.dish, b.key.step));
        let words = format!("{dish}: {label}{} {off}", self.load(b));
        Some(Entry { at: b.end, rank: 0, letter: self.letter(b.key.dish), words })
    }

    fn hold(&self, h: &HoldBlock) -> Entry {
        let place = self.place(&h.station, &h.slots);
        let mut words = format!("{}: waits to {}, {place}", self.short(h.dish), self.at(h.to));
        if let Some(c) = h.setting_c {
            words = format!("{words}, {}", self.degrees(c));
        }
        Entry { at: h.from, rank: 1, letter: self.letter(h.dish), words }
    }

    /// A line for each minute at which dishes of a service are served.
    fn services(&self) -> Vec<Entry> {
        let mut entries = Vec::new();
        for line in &self.plan.services {
            let mut minutes: Vec<Minute> = line.dishes.iter().map(|d| d.2).collect();
            minutes.sort_unstable();
            minutes.dedup();
            let service = self.evening.party.services.get(line.service);
            let title = service.map_or("", |s| s.title.as_str());
            for at in minutes {
                let dishes = line.dishes.iter().filter(|d| d.2 == at);
                let names: Vec<String> = dishes.map(|d| self.short(d.0)).collect();
                let words = format!("{} to the table: {}", title.to_uppercase(), list(&names));
                entries.push(Entry { at, rank: 4, letter: '>', words });
            }
        }
        entries
    }
}

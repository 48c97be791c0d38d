//! The plan in order of time: what to start, take out, turn, serve.

use super::Page;
use crate::kitchen::{Evening, Minute, StationKind, StepCare};
use crate::order::InOrder;
use crate::paper::{Lines, list};
use crate::plan::blocks::{Block, HoldBlock, Plan, SettingBlock, SettingKind};
use crate::plan::risk::Forecast;
use crate::plan::{StepKey, contact, eve};
use crate::safety::{Profile, caution};

/// What is to be done, or happens, at a minute of the plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Moment {
    /// When.
    pub at: Minute,
    /// What kind of thing; at one minute they come in this order.
    pub what: What,
    /// The letter of the dish; `*` for a dial, `>` for a service.
    pub letter: char,
    /// In words.
    pub words: String,
}

/// The kinds of moments.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum What {
    /// A load comes off the heat.
    TakeOut(StepKey),
    /// A dish begins to wait for its service.
    Wait(usize),
    /// A dial is turned: index of the setting.
    Dial(usize),
    /// A load begins.
    Begin(StepKey),
    /// Dishes go to the table: index of the service.
    Serve(usize),
}

impl What {
    const fn rank(self) -> u8 {
        match self {
            Self::TakeOut(_) => 0,
            Self::Wait(_) => 1,
            Self::Dial(_) => 2,
            Self::Begin(_) => 3,
            Self::Serve(_) => 4,
        }
    }
}

/// The plan in order of time.
#[must_use]
pub fn moments(evening: &Evening, plan: &Plan) -> Vec<Moment> {
    Page { evening, plan, odds: &Forecast::default() }.moments()
}

impl Page<'_> {
    fn moments(&self) -> Vec<Moment> {
        let mut moments: Vec<Moment> = Vec::new();
        let settings = self.plan.settings.iter().enumerate();
        moments.extend(settings.filter_map(|(at, s)| self.dial(at, s)));
        moments.extend(self.plan.blocks.iter().map(|b| self.begin(b)));
        moments.extend(self.plan.blocks.iter().filter_map(|b| self.take_out(b)));
        moments.extend(self.plan.holds.iter().map(|h| self.hold(h)));
        moments.extend(self.services());
        moments.order_by_key(|m| (m.at, m.what.rank(), m.letter));
        moments
    }

    pub(super) fn by_clock(&self, lines: &mut Lines) {
        let mut shown = None;
        let entries = self.moments();
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

    fn dial(&self, index: usize, s: &SettingBlock) -> Option<Moment> {
        let station = self.station(&s.station);
        let to = self.degrees(s.to_c);
        let by = self.at(s.to);
        let words = match s.kind {
            SettingKind::Heating => format!("{station} to {to}; hot at {by}"),
            SettingKind::Cooling => format!("{station} down to {to}; there at {by}"),
            SettingKind::Keeping => return None,
        };
        Some(Moment { at: s.from, what: What::Dial(index), letter: '*', words })
    }

    /// "soup: roast, 40 min, Oven, rack 1 at 205 °C".
    fn begin(&self, b: &Block) -> Moment {
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
        let letter = self.letter(b.key.dish);
        Moment { at: b.start, what: What::Begin(b.key), letter, words }
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
    fn take_out(&self, b: &Block) -> Option<Moment> {
        let kind = self.evening.station(&b.station)?.kind;
        if b.hands_end == 0 || b.hands_between >= 100 || !kind.heats() {
            return None;
        }
        let off = if kind == StationKind::Stovetop { "off" } else { "out" };
        let (dish, label) = (self.short(b.key.dish), self.label(b.key.dish, b.key.step));
        let words = format!("{dish}: {label}{} {off}", self.load(b));
        let letter = self.letter(b.key.dish);
        Some(Moment { at: b.end, what: What::TakeOut(b.key), letter, words })
    }

    fn hold(&self, h: &HoldBlock) -> Moment {
        let place = self.place(&h.station, &h.slots);
        let mut words = format!("{}: waits to {}, {place}", self.short(h.dish), self.at(h.to));
        if let Some(c) = h.setting_c {
            words = format!("{words}, {}", self.degrees(c));
        }
        if self
            .sheet(h.dish)
            .and_then(|s| s.recipe.holds.get(h.hold))
            .is_some_and(|h| h.unconfirmed)
        {
            words.push_str(" (?)");
        }
        Moment { at: h.from, what: What::Wait(h.dish), letter: self.letter(h.dish), words }
    }

    /// A line for each minute at which dishes of a service are served.
    fn services(&self) -> Vec<Moment> {
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
                entries.push(Moment { at, what: What::Serve(line.service), letter: '>', words });
            }
        }
        entries
    }
}

//! What stands in the calendar of an evening.

use super::ics::{Alarm, Calendar, Event};
use crate::kitchen::{Evening, Kept, Minute, Sheet, Step};
use crate::mise::trays;
use crate::order::InOrder;
use crate::paper::list;
use crate::plan::text::{What, moments};
use crate::plan::{Block, Plan};

/// Something to be done before the cooking: the shopping, taking out of the freezer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Errand {
    /// Unique among the errands: `shopping`.
    pub id: String,
    /// When it begins.
    pub at: Minute,
    /// How long it takes; at least 1.
    pub minutes: Minute,
    /// What it is.
    pub title: String,
    /// More about it.
    pub words: String,
}

/// What is to be taken in hand is called out so many minutes before.
const ERRAND_BEFORE: u32 = 15;
/// From the freezer into the fridge.
const FREEZER_MINUTES: Minute = 5;
/// What is made on a day before is called out so many minutes before.
const AHEAD_BEFORE: u32 = 15;
/// A service is called out so many minutes before, for dishing up, and at its time.
const SERVICE_BEFORE: u32 = 10;
/// The cooking as a whole is called out so many minutes before.
const COOKING_BEFORE: u32 = 30;

/// The calendar of an evening by its plan. Whatever puts something on the heat,
/// takes it off or turns a dial has an alarm at its minute; other steps of the
/// day stand in it without; those of days before have one a little before.
#[must_use]
pub fn calendar(evening: &Evening, plan: &Plan, errands: &[Errand]) -> Calendar {
    let party = &evening.party;
    let make = Make { evening, plan };
    let mut events: Vec<Event> = errands.iter().map(|e| make.errand(e)).collect();
    events.extend(make.cooking());
    for (n, moment) in moments(evening, plan).into_iter().enumerate() {
        let event = match moment.what {
            What::Begin(key) => plan.blocks.iter().find(|b| b.key == key).map(|b| make.step(b)),
            What::TakeOut(key) => {
                plan.blocks.iter().find(|b| b.key == key).map(|b| make.take_out(b, moment.words))
            }
            What::Dial(at) => plan.settings.get(at).map(|s| {
                let id = format!("dial.{}.{}", s.station, n);
                make.event(id, (s.from, s.to), moment.words, String::new(), Some(0))
            }),
            What::Serve(_) | What::Wait(_) => None,
        };
        events.extend(event);
    }
    events.extend(plan.services.iter().enumerate().map(|(at, line)| make.service(at, line)));
    events.order_by(|a, b| (a.from_s, a.to_s, &a.id).cmp(&(b.from_s, b.to_s, &b.id)));
    Calendar {
        uid: format!("{}.{}@potwatch.invalid", party.id, party.day.format("%Y%m%d")),
        name: party.title.clone(),
        stamp_s: evening.face.ms_of(0) / 1000,
        events,
    }
}

/// What comes out of the freezer to thaw, on which day and when; also the day for a large piece, if it may be one.
#[must_use]
pub fn thawing(evening: &Evening, plan: &Plan, dropped: &[usize]) -> Vec<Errand> {
    let mut errands = Vec::new();
    for tray in trays::lay(evening, Some(plan), dropped).trays {
        for cold in tray.cold.iter().filter(|c| c.kept == Kept::Freezer && c.out_at < c.used_at) {
            let errand = |id: &str, at: Option<Minute>, more: &str| {
                Some(Errand {
                    id: format!("{id}.{}.{}", tray.dish, cold.thing.ingredient),
                    at: at?,
                    minutes: FREEZER_MINUTES,
                    title: format!("Out of the freezer{more}: {}", cold.thing.words()),
                    words: cold.why.clone().unwrap_or_default(),
                })
            };
            errands.extend(errand("thaw", cold.out_at, ""));
            errands.extend(errand("thaw-large", cold.one_piece_at, ", if it is one piece"));
        }
    }
    errands
}

struct Make<'a> {
    evening: &'a Evening,
    plan: &'a Plan,
}

impl Make<'_> {
    fn seconds(&self, minute: Minute) -> i64 {
        self.evening.face.ms_of(minute) / 1000
    }

    /// An event of these minutes, with an alarm so many minutes before it.
    fn event(
        &self,
        id: String,
        (from, to): (Minute, Minute),
        summary: String,
        description: String,
        alarm: Option<u32>,
    ) -> Event {
        let words = summary.clone();
        let alarms = alarm.map(|minutes_before| Alarm { minutes_before, words });
        Event {
            id,
            from_s: self.seconds(from),
            to_s: self.seconds(to.max(from.saturating_add(1))),
            summary,
            description,
            busy: false,
            alarms: alarms.into_iter().collect(),
        }
    }

    fn errand(&self, errand: &Errand) -> Event {
        let span = (errand.at, errand.at.saturating_add(errand.minutes));
        let words = errand.words.clone();
        self.event(errand.id.clone(), span, errand.title.clone(), words, Some(ERRAND_BEFORE))
    }

    /// Each day on which hands are needed, as one event that takes the cook's time.
    fn cooking(&self) -> Vec<Event> {
        let mut days: Vec<(i32, Minute, Minute)> = Vec::new();
        for block in self.plan.blocks.iter().filter(|b| b.cook.is_some()) {
            let day = block.start.div_euclid(crate::kitchen::DAY);
            match days.iter_mut().find(|d| d.0 == day) {
                Some(known) => {
                    known.1 = known.1.min(block.start);
                    known.2 = known.2.max(block.end);
                }
                None => days.push((day, block.start, block.end)),
            }
        }
        days.sort_unstable();
        let title = &self.evening.party.title;
        let last = days.len();
        days.into_iter()
            .enumerate()
            .map(|(n, (day, from, to))| {
                let what = if n + 1 == last { "Cook" } else { "Make ahead" };
                let words = format!("{what}: {title}");
                let note = "Made by the plan; the program knows what has happened since.";
                let id = format!("cooking.{day}");
                let event =
                    self.event(id, (from, to), words, note.to_owned(), Some(COOKING_BEFORE));
                Event { busy: true, ..event }
            })
            .collect()
    }

    fn step(&self, b: &Block) -> Event {
        let sheet = self.evening.sheets.get(b.key.dish);
        let step = sheet.and_then(|s| s.recipe.steps.get(b.key.step));
        let name = sheet.map_or_else(String::new, Sheet::short);
        let label = step.map_or_else(String::new, Step::marked);
        let load = match b.loads {
            0 | 1 => String::new(),
            loads => format!(" {}/{loads}", b.key.load + 1),
        };
        let place = crate::plan::text::place(self.evening, &b.station, &b.slots);
        let heat = b.setting_c.map(|c| self.evening.customs.oven(c));
        let heat = heat.map_or_else(String::new, |h| format!(", {h}"));
        let summary = format!("{name}: {label}{load}, {place}{heat}");
        let words = step.map_or_else(String::new, Step::sentence);
        let heated = self.evening.station(&b.station).is_some_and(|s| s.kind.heats());
        let alarm = match (b.start < 0, heated && b.cook.is_some()) {
            (true, _) => Some(AHEAD_BEFORE),
            (false, true) => Some(0),
            (false, false) => None,
        };
        self.event(self.id("step", b), (b.start, b.end), summary, words, alarm)
    }

    fn take_out(&self, b: &Block, words: String) -> Event {
        let from = b.end - b.hands_end.max(1);
        self.event(self.id("off", b), (from, b.end), words, String::new(), Some(0))
    }

    /// `step.soup.roast.1`: the same as long as the dish and its recipe have these ids.
    fn id(&self, what: &str, b: &Block) -> String {
        let sheet = self.evening.sheets.get(b.key.dish);
        let dish = sheet.map_or("", |s| s.id.as_str());
        let step = sheet.and_then(|s| s.recipe.steps.get(b.key.step)).map_or("", |s| s.id.as_str());
        format!("{what}.{dish}.{step}.{}", b.key.load + 1)
    }

    fn service(&self, at: usize, line: &crate::plan::ServiceLine) -> Event {
        let service = self.evening.party.services.get(line.service);
        let names = line.dishes.iter().filter_map(|d| self.evening.sheets.get(d.0));
        let names: Vec<String> = names.map(Sheet::short).collect();
        let title = service.map_or("", |s| s.title.as_str());
        let id = format!("service.{}", service.map_or_else(|| at.to_string(), |s| s.id.clone()));
        let table = Minute::try_from(self.evening.party.table_minutes).unwrap_or(0);
        let summary = format!("{title} to the table");
        let span = (line.due, line.due.saturating_add(table));
        let event = self.event(id, span, summary, list(&names), Some(SERVICE_BEFORE));
        let now = Alarm { minutes_before: 0, words: event.summary.clone() };
        let alarms = event.alarms.iter().cloned().chain([now]).collect();
        Event { alarms, ..event }
    }
}

//! The lanes of the chart: one for each slot of a station that the party uses,
//! one for each thermostat, one for each cook's hands.

use std::collections::BTreeMap;

use super::hands;
use crate::kitchen::{Evening, Minute, StationKind, Step};
use crate::order::InOrder;
use crate::plan::{Block, Plan, SettingKind, StepKey};
use crate::run::{Phase, View};
use crate::screen::ui::Sel;

/// A lane, with what lies on it by time.
#[derive(Debug, Clone, PartialEq)]
pub struct Lane {
    /// Its name at the left edge.
    pub name: String,
    /// What it stands for.
    pub kind: LaneKind,
    /// What lies on it, by start.
    pub items: Vec<Item>,
    /// Its station is broken.
    pub down: bool,
    /// Its station is a fridge or freezer: things lie there for hours.
    pub cold: bool,
}

/// What a lane stands for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LaneKind {
    /// Slots of a station, by its index in the kitchen; more than one when lanes are folded together.
    Slots {
        /// Index of the station.
        station: usize,
        /// Slots from 0, in order.
        slots: Vec<u32>,
    },
    /// The thermostat of a station, by its index.
    Dial(usize),
    /// A cook, by index in the party.
    Cook(usize),
    /// What would stand at a station, by its index, if the explained block ran late.
    Then(usize),
}

/// Something on a lane, for a while.
#[derive(Debug, Clone, PartialEq)]
pub struct Item {
    /// First instant (unix ms).
    pub from_ms: i64,
    /// The end as planned or expected (unix ms).
    pub body_ms: i64,
    /// The end as shown (unix ms): later than `body_ms` for what runs over.
    pub to_ms: i64,
    /// What it is.
    pub what: What,
    /// The dish it is about.
    pub dish: Option<usize>,
    /// Further dishes that wait at the same place.
    pub others: Vec<usize>,
    /// What a press on it chooses.
    pub sel: Option<Sel>,
    /// What is done, in a word or two.
    pub label: String,
    /// The cook wants it to stand here.
    pub pinned: bool,
}

/// What an item is; each is drawn in a way of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// A step (or the part of it that needs hands).
    Step(Phase),
    /// A finished dish that waits for its service.
    Hold,
    /// Food between two steps.
    Wait,
    /// Heating up to a setting, °C.
    Heat(i32),
    /// Cooling down to a setting, °C.
    Cool(i32),
    /// Staying at a setting, °C.
    Keep(i32),
    /// A cook looks in now and then.
    Eye,
    /// A step where it would stand if the explained block ran late.
    Then,
}

impl Lane {
    /// How soon the lane matters (unix ms): `now_ms` if something runs or
    /// waits on it, the next start, or the far future.
    #[must_use]
    pub fn next_use_ms(&self, now_ms: i64) -> i64 {
        let open =
            |i: &&Item| !matches!(i.what, What::Step(Phase::Done | Phase::Skipped) | What::Eye);
        self.items
            .iter()
            .filter(open)
            .filter(|i| {
                i.to_ms > now_ms
                    || matches!(i.what, What::Step(p) if p != Phase::Ahead && p != Phase::Done)
            })
            .map(|i| match i.what {
                // What only waits matters when it is taken out again.
                What::Wait | What::Hold if self.cold => i.to_ms,
                _ => i.from_ms.max(now_ms),
            })
            .min()
            .unwrap_or(i64::MAX)
    }
}

/// All lanes of a party, in the order in which they are shown: stations by
/// kind, each thermostat above its racks, and the cooks first of all.
#[must_use]
pub fn lanes(evening: &Evening, plan: &Plan, view: &View) -> Vec<Lane> {
    let context = Context { evening, plan, view, times: times(view) };
    let mut lanes = hands::lanes(&context);
    let mut order: Vec<usize> = (0..evening.kitchen.stations.len()).collect();
    order.order_by_key(|&s| evening.kitchen.stations.get(s).map(|s| s.kind));
    for station in order {
        lanes.extend(context.dial(station));
        lanes.extend(context.slots(station));
    }
    lanes
}

/// What the making of lanes reads.
pub(super) struct Context<'a> {
    pub evening: &'a Evening,
    pub plan: &'a Plan,
    pub view: &'a View,
    times: BTreeMap<StepKey, (i64, i64)>,
}

fn times(view: &View) -> BTreeMap<StepKey, (i64, i64)> {
    view.spans.iter().map(|s| (s.key, (s.from_ms, s.to_ms))).collect()
}

impl Context<'_> {
    pub fn ms(&self, minute: Minute) -> i64 {
        self.evening.face.ms_of(minute)
    }

    pub fn phase(&self, key: StepKey) -> Phase {
        let found = self.view.phases.binary_search_by_key(&key, |p| p.0);
        found.ok().and_then(|i| self.view.phases.get(i)).map_or(Phase::Ahead, |p| p.1)
    }

    /// When a block starts and ends: as it happened if it has begun, else as planned.
    pub fn span(&self, block: &Block) -> (i64, i64) {
        let planned = (self.ms(block.start), self.ms(block.end));
        self.times.get(&block.key).copied().unwrap_or(planned)
    }

    pub fn label(&self, block: &Block) -> String {
        let step = self.evening.sheets.get(block.key.dish);
        let step = step.and_then(|s| s.recipe.steps.get(block.key.step));
        let label = step.map_or_else(String::new, Step::marked);
        if block.loads > 1 {
            format!("{label} {}/{}", block.key.load + 1, block.loads)
        } else {
            label
        }
    }

    /// The item of a block on its station.
    fn step_item(&self, block: &Block) -> Item {
        let phase = self.phase(block.key);
        let (from_ms, body_ms) = self.span(block);
        let to_ms = match phase {
            Phase::Over | Phase::Overdone => body_ms.max(self.view.now_ms),
            _ => body_ms,
        };
        Item {
            from_ms,
            body_ms,
            to_ms,
            what: What::Step(phase),
            dish: Some(block.key.dish),
            others: Vec::new(),
            sel: Some(Sel::Step(block.key)),
            label: self.label(block),
            pinned: self.view.pinned.contains(&block.key),
        }
    }

    fn slots(&self, station: usize) -> Vec<Lane> {
        let Some(place) = self.evening.kitchen.stations.get(station) else { return Vec::new() };
        let mut by_slot: BTreeMap<u32, Vec<Item>> = BTreeMap::new();
        let mut put = |slots: &[u32], item: Item| {
            for &slot in slots {
                by_slot.entry(slot).or_default().push(item.clone());
            }
        };
        for block in self.plan.blocks.iter().filter(|b| b.station == place.id) {
            put(&block.slots, self.step_item(block));
        }
        for hold in self.plan.holds.iter().filter(|h| h.station == place.id) {
            let label = if hold.to - hold.from > 1 { "hold" } else { "" };
            let item = self.quiet(What::Hold, hold.dish, hold.from, hold.to, label);
            put(&hold.slots, Item { sel: Some(Sel::Hold(hold.dish)), ..item });
        }
        for wait in self.plan.waits.iter().filter(|w| w.station.as_ref() == Some(&place.id)) {
            put(&wait.slots, self.quiet(What::Wait, wait.dish, wait.from, wait.to, "wait"));
        }
        let down = self.view.down.contains(&place.id);
        if by_slot.is_empty() && down {
            by_slot.insert(0, Vec::new());
        }
        by_slot
            .into_iter()
            .map(|(slot, mut items)| {
                items.order_by_key(|i| (i.from_ms, i.to_ms));
                Lane {
                    name: slot_name(self.evening, station, &[slot]),
                    kind: LaneKind::Slots { station, slots: vec![slot] },
                    items,
                    down,
                    cold: place.kind.chills(),
                }
            })
            .collect()
    }

    fn quiet(&self, what: What, dish: usize, from: Minute, to: Minute, label: &str) -> Item {
        let (from_ms, to_ms) = (self.ms(from), self.ms(to));
        Item {
            from_ms,
            body_ms: to_ms,
            to_ms,
            what,
            dish: Some(dish),
            others: Vec::new(),
            sel: None,
            label: label.to_owned(),
            pinned: false,
        }
    }

    fn dial(&self, station: usize) -> Option<Lane> {
        let place = self.evening.kitchen.stations.get(station)?;
        let items = self.heats(&place.id);
        if items.is_empty() {
            return None;
        }
        let name = if self.alone(place.kind) {
            format!("{} heat", kind_word(place.kind))
        } else {
            format!("{} heat", place.title)
        };
        let down = self.view.down.contains(&place.id);
        Some(Lane { name, kind: LaneKind::Dial(station), items, down, cold: false })
    }

    /// What an oven did so far, by its dial, and what it is to do from now on, by the plan.
    fn heats(&self, station: &str) -> Vec<Item> {
        let now_ms = self.view.now_ms;
        let ahead = self.plan.settings.iter().filter(|s| s.station == station);
        let ahead = ahead.map(|s| (self.ms(s.from).max(now_ms), self.ms(s.to), s.kind, s.to_c));
        let ahead: Vec<_> = ahead.filter(|s| s.0 < s.1).collect();
        // What is hot stays so up to the next turn of the dial.
        let next_ms = ahead.iter().map(|s| s.0).min().unwrap_or(now_ms);
        let past = self.view.heats.iter().filter(|h| h.station == station);
        let lasts_ms = |kind| if kind == SettingKind::Keeping { next_ms } else { now_ms };
        let past =
            past.map(|h| (h.from_ms, h.to_ms.unwrap_or_else(|| lasts_ms(h.kind)), h.kind, h.to_c));
        let mut all: Vec<_> = past.chain(ahead).collect();
        all.order_by_key(|s| (s.0, s.1));
        // What goes on across the present is one.
        all.dedup_by(|next, last| {
            let goes_on = (last.1, last.2, last.3) == (next.0, next.2, next.3);
            if goes_on {
                last.1 = next.1;
            }
            goes_on
        });
        all.into_iter()
            .map(|(from_ms, to_ms, kind, to_c)| self.heat(kind, to_c, from_ms, to_ms))
            .collect()
    }

    fn heat(&self, kind: SettingKind, to_c: i32, from_ms: i64, to_ms: i64) -> Item {
        let what = match kind {
            SettingKind::Heating => What::Heat(to_c),
            SettingKind::Cooling => What::Cool(to_c),
            SettingKind::Keeping => What::Keep(to_c),
        };
        Item {
            from_ms,
            body_ms: to_ms,
            to_ms,
            what,
            dish: None,
            others: Vec::new(),
            sel: None,
            label: self.evening.customs.oven(to_c),
            pinned: false,
        }
    }

    fn alone(&self, kind: StationKind) -> bool {
        alone(self.evening, kind)
    }
}

/// Is there one station of the kind?
pub(super) fn alone(evening: &Evening, kind: StationKind) -> bool {
    evening.kitchen.stations.iter().filter(|s| s.kind == kind).count() == 1
}

/// The name of some slots of a station: "rack 1", "burner 3-4", "air fryer";
/// with the station's own name where there are several of its kind.
#[must_use]
pub fn slot_name(evening: &Evening, station: usize, slots: &[u32]) -> String {
    let Some(place) = evening.kitchen.stations.get(station) else { return String::new() };
    let number = match (slots.first(), slots.last()) {
        // 3-6 for a run of them, 1+3 for those apart.
        (Some(a), Some(b)) if slots.len() > 2 && (b - a) as usize + 1 == slots.len() => {
            format!(" {}-{}", a + 1, b + 1)
        }
        (Some(_), _) => {
            let each: Vec<String> = slots.iter().map(|s| (s + 1).to_string()).collect();
            format!(" {}", each.join("+"))
        }
        _ => String::new(),
    };
    if !alone(evening, place.kind) {
        return format!("{}{}", place.title, if place.slots > 1 { number } else { String::new() });
    }
    if place.slots > 1 {
        format!("{}{number}", slot_word(place.kind))
    } else {
        kind_word(place.kind).to_owned()
    }
}

/// What the cook calls a station of a kind.
#[must_use]
pub const fn kind_word(kind: StationKind) -> &'static str {
    kind.word()
}

/// What the cook calls a slot of a station of a kind.
#[must_use]
pub const fn slot_word(kind: StationKind) -> &'static str {
    match kind {
        StationKind::Oven => "rack",
        StationKind::Stovetop => "burner",
        StationKind::Counter => "board",
        StationKind::Fridge => "fridge",
        StationKind::Freezer => "freezer",
        StationKind::SlowCooker => "slow cooker",
        StationKind::AirFryer => "air fryer",
        StationKind::Microwave => "microwave",
        StationKind::Grill => "grill",
    }
}

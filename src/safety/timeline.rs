//! When a food was out of temperature control, worked out from what was marked
//! and measured, in whatever order that was entered.

use super::profile::Profile;
use crate::order::InOrder;

/// Something that happened to one food, or to the air around it. Instants are
/// milliseconds of one clock that only runs forward (unix time of the party).
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FoodEvent {
    /// It left control: off the heat, out of the fridge, onto the table.
    Out {
        /// When.
        at_ms: i64,
    },
    /// It came back under control, or was under control at this time.
    Back {
        /// When.
        at_ms: i64,
        /// Where to.
        to: Control,
    },
    /// Its inner temperature was taken.
    Food {
        /// When.
        at_ms: i64,
        /// °C.
        celsius: f64,
    },
    /// The air around it was measured. Holds until the next such event.
    Air {
        /// When.
        at_ms: i64,
        /// °C.
        celsius: f64,
    },
}

/// How a food is kept under control.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Control {
    /// Held hot. A reading below the limit means that the hold has failed.
    Hot,
    /// Held cold, and cold already. A reading above the limit means that it failed.
    Cold,
    /// Warm food that was put in the fridge: it is not expected to be cold yet
    /// until it has once been measured so. Its cooling times are those of
    /// [`super::cool_by`].
    Chilling,
}

impl FoodEvent {
    /// When it happened.
    #[must_use]
    pub fn at_ms(self) -> i64 {
        match self {
            Self::Out { at_ms }
            | Self::Back { at_ms, .. }
            | Self::Food { at_ms, .. }
            | Self::Air { at_ms, .. } => at_ms,
        }
    }

    /// Order of events of one instant. Leaving control comes last, so that a
    /// food that is marked back and out at once is out. Hotter air comes later.
    fn turn(self) -> (u8, u64) {
        let key = |c: f64| (if c.is_nan() { f64::INFINITY } else { c } + 1000.0).to_bits();
        match self {
            Self::Air { celsius, .. } => (0, key(celsius)),
            Self::Food { celsius, .. } => (1, key(celsius)),
            Self::Back { to, .. } => (2, to as u64),
            Self::Out { .. } => (3, 0),
        }
    }
}

/// A stretch of time out of control.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Span {
    pub from_ms: i64,
    pub to_ms: i64,
    /// It was not seen to leave: a reading showed that its hold had failed.
    pub found: bool,
}

/// How the food was known to be when it first left control.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Start {
    /// Never held and never measured before: taken as the cook's word.
    Unknown,
    /// Held hot or measured hot enough.
    Hot,
    /// Held cold or measured cold enough.
    Cold,
    /// It was still cooling, since then, and not measured cold.
    Cooling(i64),
    /// It was measured neither hot nor cold enough.
    Between,
}

/// A food's history up to a moment.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Timeline {
    /// Rising and apart from each other.
    pub spans: Vec<Span>,
    /// The last span is still going on.
    pub is_out: bool,
    /// How it was when the first span began.
    pub start: Start,
    /// Readings of the food, rising.
    pub readings: Vec<(i64, f64)>,
    /// The air from each instant on, rising; the first from the beginning of time.
    pub air: Vec<(i64, f64)>,
    /// The moment: the one asked for, or that of the latest event if that is
    /// later (a clock was set back: time that was noted has passed).
    pub now_ms: i64,
}

impl Timeline {
    pub(super) fn read(profile: &Profile, air_c: f64, events: &[FoodEvent], now_ms: i64) -> Self {
        let mut sorted = events.to_vec();
        sorted.order_by_key(|e| (e.at_ms(), e.turn()));
        let now_ms = sorted.last().map_or(now_ms, |e| e.at_ms().max(now_ms));
        let mut fold = Fold {
            profile,
            line: Self {
                spans: Vec::new(),
                is_out: false,
                start: Start::Unknown,
                readings: Vec::new(),
                air: vec![(i64::MIN, air_c)],
                now_ms,
            },
            place: Place::Unknown,
            good_ms: None,
            open: None,
        };
        for moment in sorted.chunk_by(|a, b| a.at_ms() == b.at_ms()) {
            fold.take(moment);
        }
        fold.finish()
    }

    /// The stretches of a span by the air around them, in order, never none;
    /// each with the air in °C.
    pub(super) fn pieces(&self, from_ms: i64, to_ms: i64) -> Vec<(i64, i64, f64)> {
        let mut pieces = Vec::new();
        for (i, &(since, celsius)) in self.air.iter().enumerate() {
            let until = self.air.get(i + 1).map_or(i64::MAX, |next| next.0);
            // Closed at the end: the moment itself belongs to the span.
            if since <= to_ms && until > from_ms {
                pieces.push((since.max(from_ms), until.min(to_ms), celsius));
            }
        }
        pieces
    }
}

#[derive(Clone, Copy, PartialEq)]
enum Place {
    Unknown,
    Out,
    In(Control),
}

/// Walks the events in order of time.
struct Fold<'a> {
    profile: &'a Profile,
    line: Timeline,
    place: Place,
    /// The last instant at which it was known to be under control.
    good_ms: Option<i64>,
    /// Start of the span that is going on, and whether it was found by a reading.
    open: Option<(i64, bool)>,
}

impl Fold<'_> {
    /// Takes the events of one instant, in the order of [`FoodEvent::turn`].
    fn take(&mut self, moment: &[FoodEvent]) {
        let mut taken = Vec::new();
        for &event in moment {
            if let FoodEvent::Food { celsius, .. } = event {
                taken.push(celsius);
            }
        }
        let mut measured = false;
        for &event in moment {
            match event {
                FoodEvent::Air { at_ms, celsius } => self.line.air.push((at_ms, celsius)),
                FoodEvent::Food { at_ms, .. } if !measured => {
                    measured = true;
                    self.measure(at_ms, &taken);
                }
                FoodEvent::Food { .. } => {}
                FoodEvent::Back { at_ms, to } => {
                    self.close(at_ms);
                    self.place = Place::In(to);
                    self.good_ms = Some(at_ms);
                }
                FoodEvent::Out { at_ms } => self.leave(at_ms),
            }
        }
    }

    fn leave(&mut self, at_ms: i64) {
        let start = match self.place {
            Place::Unknown | Place::Out => Start::Unknown,
            Place::In(Control::Hot) => Start::Hot,
            Place::In(Control::Cold) => Start::Cold,
            Place::In(Control::Chilling) => Start::Cooling(self.good_ms.unwrap_or(at_ms)),
        };
        self.open(at_ms, start, false);
        self.place = Place::Out;
    }

    /// Readings of one instant: the food is under control if all of them say so.
    fn measure(&mut self, at_ms: i64, taken: &[f64]) {
        self.line.readings.extend(taken.iter().map(|&celsius| (at_ms, celsius)));
        let hot = taken.iter().all(|&c| self.profile.hot_hold_least.at_least(c));
        let cold = taken.iter().all(|&c| self.profile.cold_hold_most.at_most(c));
        let (good, start) = match self.place {
            // While it stands out a good reading proves nothing about later.
            Place::Out => return,
            Place::Unknown => (hot || cold, Start::Between),
            Place::In(Control::Hot) => (hot, Start::Hot),
            Place::In(Control::Cold) => (cold, Start::Cold),
            Place::In(Control::Chilling) if cold => (true, Start::Cold),
            Place::In(Control::Chilling) => return,
        };
        if good {
            self.close(at_ms);
            self.good_ms = Some(at_ms);
            self.place = Place::In(if hot { Control::Hot } else { Control::Cold });
        } else {
            self.open(self.good_ms.unwrap_or(at_ms), start, true);
        }
    }

    /// Begins a span. One that is going on already keeps its earlier start.
    fn open(&mut self, at_ms: i64, start: Start, found: bool) {
        if self.open.is_none() {
            if self.line.spans.is_empty() {
                self.line.start = start;
            }
            self.open = Some((at_ms, found));
        }
    }

    fn close(&mut self, at_ms: i64) {
        if let Some((from_ms, found)) = self.open.take() {
            self.line.spans.push(Span { from_ms, to_ms: at_ms, found });
        }
    }

    fn finish(mut self) -> Timeline {
        self.line.is_out = self.open.is_some();
        self.close(self.line.now_ms);
        self.line
    }
}

//! What the screens show: computed from the state and the present time, and
//! nothing else. Times are unix milliseconds of the party's (wall or demo) clock.

use crate::kitchen::{HoldClass, Minute};
use crate::paper::span;
use crate::plan::{SettingKind, StepKey};
use crate::safety::Expect;

/// Everything a screen needs besides the evening and the plan.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct View {
    /// The present time.
    pub now_ms: i64,
    /// The present minute of the party's day.
    pub now: Minute,
    /// The plan on the screen does not hold for the evening as it now stands: another is wanted.
    pub outdated: bool,
    /// What wants the cook's hands now, most pressing first.
    pub do_now: Vec<Prompt>,
    /// What comes next, soonest first.
    pub next: Vec<Prompt>,
    /// What runs by itself, by end.
    pub running: Vec<Prompt>,
    /// Dishes that wait, nearest limit first.
    pub holding: Vec<Holding>,
    /// Parts of dishes that went their own way and are still there, in order.
    pub portions: Vec<Holding>,
    /// Parts that were put away, dish and number: they can come out again.
    pub away: Vec<(usize, u32)>,
    /// The number that the next part of each dish gets; none if it has nine.
    pub next_part: Vec<Option<u32>>,
    /// Steps whose ingredients stand out of the fridge early, in order of key.
    pub early: Vec<StepKey>,
    /// Dishes that go by another rule of the guidance, chosen by the cook.
    pub ruled: Vec<usize>,
    /// Readings that are wanted, soonest first; those with a time up to now, now.
    pub measure: Vec<Measure>,
    /// What a reading in each dish is likely to be.
    pub expect: Vec<Expect>,
    /// Alarms, most pressing first; put-off ones last.
    pub alarms: Vec<Alarm>,
    /// Alarms held back by design: a worse one of the same thing stands.
    pub held_back: Vec<Alarm>,
    /// What the one key marks.
    pub expected: Option<Expected>,
    /// How far each load has come, by key, in order of key.
    pub phases: Vec<(StepKey, Phase)>,
    /// When each load that has begun started and ended or is expected to end, in order of key.
    pub spans: Vec<Span>,
    /// What the ovens have done so far, by station and time.
    pub heats: Vec<Heat>,
    /// Loads that are pinned, in order of key.
    pub pinned: Vec<StepKey>,
    /// Ids of stations that cannot be used.
    pub down: Vec<String>,
    /// Dishes that are not made after all, in order.
    pub dropped: Vec<usize>,
    /// What is ticked off the lists: `buy/onion`.
    pub ticked: std::collections::BTreeSet<String>,
    /// When the picture changes next without any event (unix ms), at the latest in a minute.
    pub next_change_ms: i64,
    /// What the last reshuffle moved and why, while that is fresh.
    pub last_change: Option<Changed>,
    /// What the end means, once all is served.
    pub ending: Option<Ending>,
}

/// A reading that is wanted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Measure {
    /// The dish.
    pub dish: usize,
    /// Which part of it; none: what was not taken off.
    pub part: Option<u32>,
    /// From when on (unix ms).
    pub due_ms: i64,
    /// A few words: "measure the soup".
    pub short: String,
    /// Why, and what it should be: "in the hot hold: at least 140 °F".
    pub why: String,
}

/// What a reshuffle moved.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Changed {
    /// When (unix ms).
    pub at_ms: i64,
    /// What moved: "Crumble bakes 6 min later (18:04)."; empty if nothing did.
    pub moved: String,
    /// Why: "because the fritters run over".
    pub why: String,
}

/// The end of an evening.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ending {
    /// What it means: "All is served; 3 dishes are still out."
    pub title: String,
    /// Nothing is left to be done.
    pub closed: bool,
    /// Each service planned and actual, and what was put away, a line each.
    pub lines: Vec<String>,
}

/// A load as it happens.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Span {
    /// Which load.
    pub key: StepKey,
    /// When it started (unix ms).
    pub from_ms: i64,
    /// When it ended, or is expected to end (unix ms); not moved on by the clock while it runs over.
    pub to_ms: i64,
}

/// What an oven did for a while, by its dial.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Heat {
    /// Id of the station.
    pub station: String,
    /// On its way up or down, or at its setting.
    pub kind: SettingKind,
    /// From when (unix ms).
    pub from_ms: i64,
    /// Until when (unix ms); None if it is still so.
    pub to_ms: Option<i64>,
    /// What its dial was set to, °C.
    pub to_c: i32,
}

/// A line of what to do.
#[derive(Debug, Clone, PartialEq)]
pub struct Prompt {
    /// What kind of thing.
    pub kind: PromptKind,
    /// The step it is about, if it is about one.
    pub key: Option<StepKey>,
    /// The dish it is about, if it is about one.
    pub dish: Option<usize>,
    /// A few words: "pull the pie".
    pub short: String,
    /// A sentence: what to do, where, with what.
    pub text: String,
    /// When it is due (unix ms).
    pub due_ms: i64,
}

/// Kinds of prompt.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PromptKind {
    /// Start a step.
    Start,
    /// Put in (oven, fryer, slow cooker).
    PutIn,
    /// End a step.
    Finish,
    /// Take out.
    TakeOut,
    /// Turn the dial for a pre-heat or a new setting.
    Dial,
    /// Take to the table.
    Serve,
}

/// What the one key would mark.
#[derive(Debug, Clone, PartialEq)]
pub struct Expected {
    /// The prompt that it answers.
    pub prompt: Prompt,
    /// The words beside the key: "done: pull the pie".
    pub label: String,
    /// The event it appends.
    pub event: super::Event,
}

/// How far a load has come, as the chart shows it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Phase {
    /// Not begun, its time has not come.
    Ahead,
    /// Not begun though its time has passed.
    LateStart,
    /// Running on time.
    Running,
    /// Running past its end.
    Over,
    /// Running past its end, and spoiling.
    Overdone,
    /// Done.
    Done,
    /// Left out.
    Skipped,
}

/// A dish that waits: finished, or on the table.
#[derive(Debug, Clone, PartialEq)]
pub struct Holding {
    /// Index of the dish.
    pub dish: usize,
    /// Which part of it; none: what was not taken off.
    pub part: Option<u32>,
    /// Where, in words: "oven, 80 °C".
    pub place: String,
    /// How it is kept.
    pub class: HoldClass,
    /// It is on the table.
    pub served: bool,
    /// Since when.
    pub since_ms: i64,
    /// Until when it is at its best.
    pub best: Limit,
    /// Until when it may be eaten, by the guidance.
    pub safe: Limit,
    /// Last temperature taken: °C and when.
    pub taken: Option<(f64, i64)>,
    /// What to do with it, in words.
    pub advice: String,
}

/// A limit on waiting.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// When it is reached; None: it does not run while the food is kept like this.
    pub at_ms: Option<i64>,
    /// How it stands.
    pub state: Countdown,
    /// Where the figure comes from, in words.
    pub why: String,
}

impl Limit {
    /// In words: `best 12 min more`, `past its best 3 min`; without a good word `12 min more`.
    #[must_use]
    pub fn words(&self, now_ms: i64, good: &str, gone: &str) -> String {
        match self.at_ms {
            None if good.is_empty() => "no limit here".to_owned(),
            None => format!("{good}: no limit here"),
            Some(at) if at > now_ms => {
                format!("{good} {} more", span(at - now_ms)).trim().to_owned()
            }
            Some(at) => format!("{gone} {}", span(now_ms - at)),
        }
    }
}

/// How a limit stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Countdown {
    /// Far off, or not running.
    Fine,
    /// Near: time to act.
    Soon,
    /// Passed.
    Past,
}

/// Something that goes wrong or is about to.
#[derive(Debug, Clone, PartialEq)]
pub struct Alarm {
    /// Stable name: kind, dish and step ids.
    pub key: String,
    /// What kind.
    pub kind: AlarmKind,
    /// How much it matters.
    pub rank: Rank,
    /// A few words for a banner: "PIE overdone in 3 min".
    pub title: String,
    /// What is wrong.
    pub cause: String,
    /// What happens if nothing is done.
    pub consequence: String,
    /// What to do.
    pub remedy: String,
    /// When it became due.
    pub raised_ms: i64,
    /// When the harm is done; None: already.
    pub harm_ms: Option<i64>,
    /// Seen, put off, or new.
    pub state: AlarmState,
    /// The dish it is about.
    pub dish: Option<usize>,
    /// It is about a safety limit: cannot be put off once passed.
    pub safety: bool,
    /// What brought it about that may have brought about others, as a sentence:
    /// "The oven is out of order since 18:10."; None: nothing is known of it.
    pub root: Option<String>,
}

/// Kinds of alarm.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum AlarmKind {
    /// A step should have started.
    StepDue,
    /// Turn the dial now, or a step waits for the oven.
    PreheatDue,
    /// Take it out now.
    PullNow,
    /// Overdone soon.
    NearlyOverdone,
    /// Overdone.
    Overdone,
    /// Past its best soon.
    BestSoon,
    /// Past its best.
    BestPast,
    /// Not safe to hold like this much longer.
    UnsafeSoon,
    /// Past the safe limit.
    UnsafePast,
    /// Taken off the heat before it was hot enough inside.
    Undercooked,
    /// Not cold enough by the time the guidance gives.
    CoolingMissed,
    /// A service will be late.
    ServiceAtRisk,
}

/// How much an alarm matters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Rank {
    /// Good to know.
    Notice,
    /// Act soon.
    Warning,
    /// Act at once.
    Urgent,
}

impl Rank {
    /// Its word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Notice => "notice",
            Self::Warning => "warning",
            Self::Urgent => "urgent",
        }
    }
}

/// Where an alarm stands with the cook.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AlarmState {
    /// Not yet seen: it sounds.
    New,
    /// Seen, still true.
    Acknowledged,
    /// Comes back at this time (unix ms).
    PutOff(i64),
    /// No longer true, not yet seen.
    Returned,
}

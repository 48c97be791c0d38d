//! What one clause asks for: by the verb that its time belongs to, else by the
//! strongest one.

use super::clock::{self, Span, TimeOf};
use super::heat::{self, Heat, Of};
use super::lasts::{self, Lasts};
use super::verbs::{self, Doing, Met, Verb};
use super::work;
use crate::kitchen::StationKind;

/// A fan oven is set that much lower than one without: common practice, no source.
const FAN_C: i32 = 20;

/// Minutes at an open flame for which one stays by it: common practice, no source.
const MINUTES_BY_IT: u32 = 4;

/// What a clause asks for.
#[derive(Debug, Clone)]
pub(super) struct Act {
    pub verb: Verb,
    pub doing: Doing,
    /// How long, if the words say.
    pub span: Option<Span>,
    /// It changes the heat of what is on it, and takes no time.
    pub turns: bool,
    /// It changes the heat, and says how long it goes on so.
    pub turning: bool,
    /// How long it takes hangs on a weight that nobody has said.
    pub by_weight: bool,
    /// The words.
    pub said: String,
}

impl Act {
    /// Reads a clause; nothing if it orders nothing.
    pub fn of(clause: &str) -> Option<Self> {
        let lower = clause.to_lowercase();
        let met = verbs::verbs(clause);
        let times = clock::times(clause, &met);
        let timed: Vec<_> = times.iter().filter(|t| t.of.takes_time()).collect();
        let verb = governing(&met, timed.first().map(|t| t.time.from))?;
        let set = heat::heats(clause).iter().any(|h| h.of == Of::Setting);
        let lasts = lasts::of(clause, &times);
        let turning = work::turns_heat(&lower, set);
        let turns = timed.is_empty() && turning && !until(&lower);
        let doing = match turns {
            true => Doing::Along,
            false => doing_of(verb, &lower, set, !timed.is_empty() || ends_by_food(clause)),
        };
        let minutes = if turns { 1 } else { verb.minutes };
        let verb = Verb { minutes, ..verb };
        // What turns the heat is no cooking of its own, whatever its verb is.
        let turning = turning && TURNING.contains(&verb.word);
        Some(Self { turns, turning, ..Self::lasting(verb, doing, lasts, clause) })
    }

    /// An act by how long its words say that it takes.
    fn lasting(verb: Verb, doing: Doing, lasts: Lasts, said: &str) -> Self {
        let span = if let Lasts::Said(span) = lasts { Some(span) } else { None };
        let beside = if let Lasts::ByWeight(span) = lasts { span.likely } else { 0 };
        Self {
            verb: Verb { minutes: verb.minutes.saturating_add(beside), ..verb },
            doing,
            span,
            turns: false,
            turning: false,
            by_weight: matches!(lasts, Lasts::ByWeight(_)),
            said: said.to_owned(),
        }
    }

    /// An act of hands that the words do not name.
    pub fn plain(said: &str, minutes: u32) -> Self {
        let verb = Verb { word: "prepare", doing: Doing::Work, minutes };
        Self::lasting(verb, Doing::Work, Lasts::Unsaid, said)
    }

    /// More time for what is on the heat already: "then at 160 °C for an hour".
    pub fn goes_on(clause: &str, label: &str, station: StationKind) -> Option<Self> {
        let times = clock::times(clause, &[]);
        let lasts = lasts::of(clause, &times);
        let lower = clause.to_lowercase();
        let set = heat::heats(clause).iter().any(|h| h.of == Of::Setting);
        let cooks = times.iter().find(|t| t.of.takes_time()).is_some_and(|t| t.of == TimeOf::Cook)
            || matches!(lasts, Lasts::ByWeight(_))
            || set && until(&lower)
            || work::turns_heat(&lower, set)
            || lower.contains("continue");
        let verb = verbs::named(label).filter(|_| cooks && station.heats())?;
        Some(Self::lasting(verb, Doing::Heat(station), lasts, clause))
    }

    /// Does it go on with what is on the heat: "continue cooking for 20 minutes"?
    pub fn continues(&self) -> bool {
        self.verb.word == "continue" && !matches!(self.doing, Doing::Heat(_))
    }

    /// Put aside, and no time said: words, but no wait.
    pub fn is_nothing(&self) -> bool {
        matches!(self.doing, Doing::Rest(_)) && self.span.is_none() && self.verb.minutes == 0
    }

    /// How long it takes: by its words, else as long as such a thing usually does.
    pub fn minutes(&self) -> Span {
        self.span.unwrap_or_else(|| Span::guessed(self.verb.minutes))
    }

    /// Per cent of the hands in between: by its words, else as is usual. Over an
    /// open pan or a grill that is done in a few minutes nobody goes away.
    pub fn hands(&self, covered: bool) -> u32 {
        let said = work::hands(&self.said.to_lowercase());
        let flame = matches!(self.doing, Doing::Heat(StationKind::Stovetop | StationKind::Grill));
        if flame && !covered && self.span.is_some_and(|s| s.likely <= MINUTES_BY_IT) {
            return 100;
        }
        said.unwrap_or_else(|| self.usual_hands(covered))
    }

    /// What the hands usually do: common practice, no source. What swims in its
    /// liquid, or is under a lid, is left alone.
    fn usual_hands(&self, covered: bool) -> u32 {
        match self.doing {
            Doing::Heat(StationKind::Stovetop) if covered => 0,
            Doing::Heat(StationKind::Stovetop) => match self.verb.word {
                "fry" | "sear" | "brown" | "saute" | "sauté" | "stir-fry" | "stir-cook"
                | "pan-fry" | "deep-fry" | "caramelize" | "caramelise" | "scramble" | "flip"
                | "deglaze" => 100,
                "sweat" | "reduce" | "melt" | "thicken" | "soften" => 50,
                "simmer" | "boil" | "parboil" | "poach" | "steam" | "blanch" | "braise"
                | "stew" => 0,
                _ => 10,
            },
            Doing::Heat(StationKind::Grill) if self.verb.word == "smoke" => 10,
            Doing::Heat(StationKind::Grill) => 50,
            Doing::Heat(_) | Doing::Rest(_) => 0,
            Doing::Work | Doing::Along => 100,
        }
    }
}

/// The setting that words give an oven: of one without a fan, if they give that.
pub(super) fn setting_of(heats: &[Heat]) -> Option<i32> {
    let settings = || heats.iter().filter(|h| h.of == Of::Setting);
    let plain = settings().find(|h| !h.fan).map(|h| h.c);
    plain.or_else(|| settings().next().map(|h| h.c + FAN_C))
}

/// The verb that a clause is about: the one before its time, else the first that
/// heats or waits, else the first that works.
fn governing(met: &[Met], time: Option<usize>) -> Option<Verb> {
    let strong = |m: &&Met| m.verb.doing != Doing::Along;
    if let Some(at) = time {
        let before = met.iter().rev().filter(|m| m.at < at).find(strong);
        if let Some(found) = before.or_else(|| met.iter().find(strong)) {
            return Some(found.verb);
        }
    }
    let heat = |m: &&Met| matches!(m.verb.doing, Doing::Heat(_) | Doing::Rest(_));
    let first = met.iter().find(heat).or_else(|| met.iter().find(strong)).or_else(|| met.first());
    first.map(|m| m.verb)
}

/// "Leave for ten minutes" is a wait, "leave in the oven for ten minutes" is none while it is on.
fn left(lower: &str) -> Doing {
    let off = lower.contains(" off");
    match work::named_station(lower) {
        Some(StationKind::Oven) if !off => Doing::Heat(StationKind::Oven),
        _ if !off && lower.contains(" heat") => Doing::Along,
        _ => Doing::Rest(work::named_rest(lower).unwrap_or(StationKind::Counter)),
    }
}

/// Verbs of one hand's turn that begin cooking where the words name a hot place. What is let,
/// kept or taken out there is not put on the heat by it.
pub(super) const PUTS: [&str; 11] = [
    "place", "put", "return", "slide", "finish", "tip", "lay", "continue", "pour", "add",
    "transfer",
];
/// Verbs of the heat itself.
const TURNING: [&str; 5] = ["reduce", "lower", "turn", "increase", "raise"];

/// Do the words say that something ends when the food is ready?
pub(super) fn until(lower: &str) -> bool {
    lower.contains(" until ") || lower.contains(" till ")
}

/// Is something over when the food is ready, by the words: "until golden", "to 75 °C"?
fn ends_by_food(clause: &str) -> bool {
    until(&clause.to_lowercase()) || heat::heats(clause).iter().any(|h| h.of == Of::Inside)
}

/// What a verb asks for, by the place that the words name.
/// `ends` if the words say when it is over: by a time, or by what the food is then.
fn doing_of(verb: Verb, lower: &str, setting: bool, ends: bool) -> Doing {
    if verb.word == "bring" && !lower.contains("boil") && !lower.contains("simmer") {
        let room = lower.contains("room temperature");
        return if room { Doing::Rest(StationKind::Counter) } else { Doing::Along };
    }
    match verb.doing {
        Doing::Heat(usual) => {
            let named = work::named_station(lower);
            // "Cook at 160 °C": no hob has degrees.
            let oven = Some(StationKind::Oven).filter(|_| setting && verb.word == "cook");
            Doing::Heat(named.or(oven).unwrap_or(usual))
        }
        Doing::Rest(usual) if verb.word == "freeze" => Doing::Rest(usual),
        Doing::Rest(usual) => Doing::Rest(work::named_rest(lower).unwrap_or(usual)),
        // "Place in a 200 °C oven", "return to the oven for 15 minutes".
        Doing::Along if setting && lower.contains("oven") => Doing::Heat(StationKind::Oven),
        Doing::Along if ends && verb.word == "leave" => left(lower),
        Doing::Along | Doing::Work if ends && PUTS.contains(&verb.word) => {
            work::named_station(lower).map_or(verb.doing, Doing::Heat)
        }
        other => other,
    }
}

impl TimeOf {
    /// Does it take time of the schedule?
    pub(super) const fn takes_time(self) -> bool {
        matches!(self, Self::Cook | Self::Rest | Self::Prep)
    }
}

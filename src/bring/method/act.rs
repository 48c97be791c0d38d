//! What one clause asks for: by the verb that its time belongs to, else by the
//! strongest one.

use super::clock::{self, Span, TimeOf};
use super::heat::{self, Heat, Of};
use super::verbs::{self, Doing, Met, Verb};
use super::work;
use crate::kitchen::StationKind;

/// A fan oven is set that much lower than one without: common practice, no source.
const FAN_C: i32 = 20;

/// Minutes at an open flame for which one stays by it: common practice, no source.
const MINUTES_BY_IT: u32 = 4;

/// What a clause asks for.
pub(super) struct Act {
    pub verb: Verb,
    pub doing: Doing,
    /// How long, if the words say.
    pub span: Option<Span>,
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
        let doing = doing_of(verb, &lower, set);
        // "or in a convection oven for 6 minutes" is another way, not more time.
        let other = lower.find(" or in ").or_else(|| lower.find(" or at "));
        let mut span: Option<Span> = None;
        for placed in timed.iter().filter(|t| other.is_none_or(|at| t.time.from < at)) {
            let one = Span::of(&placed.time);
            let one = if work::per_side(&lower) { one.plus(one) } else { one };
            span = Some(span.map_or(one, |s| s.plus(one)));
        }
        Some(Self { verb, doing, span, said: clause.to_owned() })
    }

    /// An act of hands that the words do not name.
    pub fn plain(said: &str, minutes: u32) -> Self {
        let verb = Verb { word: "prepare", doing: Doing::Work, minutes };
        Self { verb, doing: Doing::Work, span: None, said: said.to_owned() }
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

/// What a verb asks for, by the place that the words name.
fn doing_of(verb: Verb, lower: &str, setting: bool) -> Doing {
    if verb.word == "bring" && !lower.contains("boil") && !lower.contains("simmer") {
        let room = lower.contains("room temperature");
        return if room { Doing::Rest(StationKind::Counter) } else { Doing::Along };
    }
    match verb.doing {
        Doing::Heat(usual) => Doing::Heat(work::named_station(lower).unwrap_or(usual)),
        Doing::Rest(usual) if verb.word == "freeze" => Doing::Rest(usual),
        Doing::Rest(usual) => Doing::Rest(work::named_rest(lower).unwrap_or(usual)),
        // "Place in a 200 °C oven".
        Doing::Along if setting && lower.contains("oven") => Doing::Heat(StationKind::Oven),
        other => other,
    }
}

impl TimeOf {
    /// Does it take time of the schedule?
    pub(super) const fn takes_time(self) -> bool {
        matches!(self, Self::Cook | Self::Rest | Self::Prep)
    }
}

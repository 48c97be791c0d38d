//! The clock of one food's time out of temperature control: how much is used,
//! how much is left, when the limit is, and the sentence that says why.
//!
//! It is computed anew from all events each time, so changing the profile, or
//! learning of an event late, gives the same answer as if it had been known.
//! Where the facts leave a choice it takes the stricter one.

use std::borrow::Cow;

use super::figure::Source;
use super::lead::{Remedy, remedy_for};
use super::profile::{ClockMeaning, Profile, TimeRule};
use super::room_count::Count;
use super::timeline::{FoodEvent, Start, Timeline};

const MINUTE_MS: i64 = 60_000;

/// The clock of one perishable food. (Food that is not perishable has none:
/// see [`super::is_perishable`].)
#[derive(Debug, Clone, PartialEq)]
pub struct RoomClock<'p> {
    profile: &'p Profile,
    rule: Cow<'p, TimeRule>,
    air_c: f64,
    events: Vec<FoodEvent>,
}

/// How near a limit is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ClockState {
    /// Far off, or not running.
    Ok,
    /// As near as the remedy takes: warn.
    Soon,
    /// Reached or passed. Nothing brings it back.
    Over,
}

/// What a [`RoomClock`] says at a moment.
#[derive(Debug, Clone, PartialEq)]
pub struct Standing {
    /// How near the limit is.
    pub state: ClockState,
    /// The food is out of control now.
    pub is_out: bool,
    /// Time used in ms, as the rule counts it.
    pub used_ms: i64,
    /// Time allowed in ms.
    pub allowed_ms: i64,
    /// When the limit is reached if nothing changes, or when it was; `None`
    /// while the clock does not run.
    pub limit_ms: Option<i64>,
    /// When the warning is due (or was); `None` while the clock does not run.
    pub warn_ms: Option<i64>,
    /// It may still be put back to be kept, hot or cold.
    pub may_go_back: bool,
    /// What the warning leaves time for.
    pub remedy: Remedy,
    /// One or more sentences: what was counted, and what was taken strictly.
    pub why: String,
    /// What to do, in a sentence.
    pub advice: String,
    /// The text that the limit is from.
    pub source: Source,
}

impl Standing {
    /// Minutes used; a begun minute counts.
    #[must_use]
    pub fn minutes_used(&self) -> i64 {
        -(-self.used_ms).div_euclid(MINUTE_MS)
    }

    /// Whole minutes left, negative when over.
    #[must_use]
    pub fn minutes_left(&self) -> i64 {
        self.allowed_ms.saturating_sub(self.used_ms).div_euclid(MINUTE_MS)
    }
}

impl<'p> RoomClock<'p> {
    /// A clock that has not started, by the profile's rule for every food.
    /// `air_c`: the air in °C until an event says otherwise.
    #[must_use]
    pub fn new(profile: &'p Profile, air_c: f64) -> Self {
        Self { profile, rule: Cow::Borrowed(&profile.room_rule), air_c, events: Vec::new() }
    }

    /// The same by one of the profile's rules that the cook chose for this food;
    /// `None` if the profile has no rule of that id.
    #[must_use]
    pub fn by_rule(profile: &'p Profile, rule: &str, air_c: f64) -> Option<Self> {
        let rule = profile.rules().find(|r| r.id == rule)?;
        Some(Self { rule: Cow::Borrowed(rule), ..Self::new(profile, air_c) })
    }

    /// The same for the minutes of preparation, under a rule whose clock counts
    /// one occasion or one episode: those are summed, and may be as many as the
    /// rule allows, though going back under control does not end the episode.
    #[must_use]
    pub fn of_preparation(profile: &'p Profile, air_c: f64) -> Self {
        let mut rule = profile.room_rule.clone();
        rule.meaning = ClockMeaning::Total;
        rule.title = format!("{}, preparation together", rule.title);
        Self { rule: Cow::Owned(rule), ..Self::new(profile, air_c) }
    }

    /// Notes an event. They may come in any order, and twice.
    pub fn add(&mut self, event: FoodEvent) {
        self.events.push(event);
    }

    /// How it stands at `now_ms`, or at the latest event if that is later.
    #[must_use]
    pub fn at(&self, now_ms: i64) -> Standing {
        let line = Timeline::read(self.profile, self.air_c, &self.events, now_ms);
        let (rule, fell_back) = self.rule_that_holds(&line);
        let count = Count::of(self.profile, rule, &self.rule, &line);
        self.standing(rule, &line, count, fell_back)
    }

    /// A rule that asks for readings holds only while they bear it out; else
    /// the profile's rule for every food does.
    ///
    /// Food that was known to be cold when it was taken out has a rule of its
    /// own in some guidance; not food that warmed up where it was kept.
    fn rule_that_holds(&self, line: &Timeline) -> (&TimeRule, bool) {
        let own = self.rule.as_ref();
        let cold = self.profile.cold_start_rule.as_ref().filter(|_| {
            own.id == self.profile.room_rule.id
                && own.meaning == self.profile.room_rule.meaning
                && line.start == Start::Cold
                && !line.spans.iter().any(|s| s.found)
        });
        let own = cold.unwrap_or(own);
        let Some(stay) = &own.stay_most else { return (own, false) };
        let Some(first) = line.spans.first() else { return (own, false) };
        let air_keeps = line
            .pieces(first.from_ms, line.now_ms)
            .iter()
            .all(|&(_, _, celsius)| stay.at_most(celsius));
        if air_keeps && line.start == Start::Cold {
            (own, false)
        } else {
            (&self.profile.room_rule, true)
        }
    }

    fn standing(
        &self,
        rule: &TimeRule,
        line: &Timeline,
        mut count: Count,
        fell_back: bool,
    ) -> Standing {
        let limit_ms = count.passed_ms.or(count.limit_ms);
        let found = line.spans.last().is_some_and(|s| s.found) && line.is_out;
        let remedy = remedy_for(rule, found);
        let lead = remedy.lead_within(count.allowed_ms / MINUTE_MS).saturating_mul(MINUTE_MS);
        let warn_ms = limit_ms.map(|limit| limit.saturating_sub(lead));
        let state = if count.passed_ms.is_some() {
            ClockState::Over
        } else if warn_ms.is_some_and(|warn| warn <= line.now_ms) {
            ClockState::Soon
        } else {
            ClockState::Ok
        };
        if found {
            count.notes.push(
                "a reading showed that its hold had failed, so the time counts from when it \
                 was last known to be kept right"
                    .to_owned(),
            );
        }
        if fell_back {
            count.notes.push(format!(
                "\"{}\" needs a cold start and cool air, which is not shown; so the ordinary \
                 rule holds",
                self.rule.title
            ));
        }
        let may_go_back = state != ClockState::Over && may_go_back(rule, line, &count);
        Standing {
            state,
            is_out: line.is_out,
            used_ms: count.used_ms,
            allowed_ms: count.allowed_ms,
            limit_ms,
            warn_ms,
            may_go_back,
            remedy,
            why: self.why(rule, &count),
            advice: advice(rule, state, line, may_go_back),
            source: match self.profile.hot_day.as_ref().filter(|_| count.hot) {
                Some(hot) => hot.most.source.clone(),
                None => rule.most.source.clone(),
            },
        }
    }

    fn why(&self, rule: &TimeRule, count: &Count) -> String {
        let used = -(-count.used_ms).div_euclid(MINUTE_MS);
        let counted = match rule.meaning {
            ClockMeaning::Total | ClockMeaning::RunningSum => "in all, every time out together",
            ClockMeaning::OneEpisodeThenDiscard => "since it first left control",
            ClockMeaning::OneOccasion => "on this one occasion",
        };
        let allowed = count.allowed_ms / MINUTE_MS;
        let hot = self.profile.hot_day.as_ref().filter(|_| count.hot);
        let limit = match hot {
            Some(hot) => {
                format!("{}, because the air was above {}", hot.most.printed, hot.above.printed)
            }
            None => rule.title.clone(),
        };
        let mut why = format!("{used} of {allowed} min {counted} ({limit}).");
        if count.hot && count.cool {
            why.push_str(
                " The air was cooler for part of that; the guidance does not say how to count \
                 both, so the shorter limit holds for all of it.",
            );
        }
        for note in &count.notes {
            let mut letters = note.chars();
            if let Some(first) = letters.next() {
                why.push(' ');
                why.extend(first.to_uppercase());
                why.push_str(letters.as_str());
                why.push('.');
            }
        }
        why
    }
}

fn may_go_back(rule: &TimeRule, line: &Timeline, count: &Count) -> bool {
    let begun = !line.spans.is_empty();
    match rule.meaning {
        ClockMeaning::Total => true,
        ClockMeaning::OneEpisodeThenDiscard => !begun,
        ClockMeaning::OneOccasion => line.spans.len() <= 1,
        ClockMeaning::RunningSum => rule
            .rechill_within
            .as_ref()
            .is_none_or(|m| count.used_ms < m.value_minutes.saturating_mul(MINUTE_MS)),
    }
}

fn advice(rule: &TimeRule, state: ClockState, line: &Timeline, may_go_back: bool) -> String {
    let words = match (state, rule.meaning) {
        (ClockState::Over, _) => "Throw it out.",
        (_, ClockMeaning::OneEpisodeThenDiscard) if !line.spans.is_empty() => {
            "Serve it, or heat it through and serve it, by then; throw out what is left. It may \
             not go back to be kept."
        }
        _ if !line.is_out => "Leave it where it is kept hot or cold.",
        _ if may_go_back => {
            "Serve it, or put it in the fridge in shallow containers, or heat it through."
        }
        _ => "Serve it by then; it may not go back to be kept.",
    };
    words.to_owned()
}

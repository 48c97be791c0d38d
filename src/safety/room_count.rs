//! Counting a food's time out of control by the meaning of the rule's clock.

use super::figure::Heat;
use super::profile::{ClockMeaning, Profile, TimeRule};
use super::timeline::{Start, Timeline};

const MINUTE_MS: i64 = 60_000;

/// Time counted under a rule.
pub(super) struct Count {
    pub used_ms: i64,
    pub allowed_ms: i64,
    pub limit_ms: Option<i64>,
    pub passed_ms: Option<i64>,
    /// Some of it was in hot air, some in cooler air.
    pub hot: bool,
    pub cool: bool,
    pub notes: Vec<String>,
}

impl Count {
    /// Counts a history by `rule`. `chosen` is the rule that the cook chose,
    /// which may have had to give way to it.
    pub(super) fn of(
        profile: &Profile,
        rule: &TimeRule,
        chosen: &TimeRule,
        line: &Timeline,
    ) -> Self {
        match rule.meaning {
            ClockMeaning::Total | ClockMeaning::RunningSum => Self::sum(profile, rule, line),
            ClockMeaning::OneOccasion | ClockMeaning::OneEpisodeThenDiscard => {
                Self::one(profile, rule, chosen, line)
            }
        }
    }

    /// All times out, together.
    fn sum(profile: &Profile, rule: &TimeRule, line: &Timeline) -> Self {
        let mut count = Self::new(rule);
        for span in &line.spans {
            for (from, to, air_c) in line.pieces(span.from_ms, span.to_ms) {
                count.air(profile, from, air_c, to > from);
                let room = count.allowed_ms.saturating_sub(count.used_ms);
                let length = to.saturating_sub(from);
                if length >= room {
                    count.pass(from.saturating_add(room.max(0)));
                }
                count.used_ms = count.used_ms.saturating_add(length);
            }
        }
        if line.is_out {
            let left = count.allowed_ms.saturating_sub(count.used_ms);
            count.limit_ms = Some(line.now_ms.saturating_add(left));
        }
        count
    }

    /// One stretch from the first time out. Coming back does not stop a
    /// one-episode clock; an occasion ends with it, and there is no second.
    fn one(profile: &Profile, rule: &TimeRule, chosen: &TimeRule, line: &Timeline) -> Self {
        let mut count = Self::new(rule);
        let Some(first) = line.spans.first() else { return count };
        let occasion = rule.meaning == ClockMeaning::OneOccasion;
        let start_ms = match line.start {
            Start::Cooling(since_ms) => since_ms.min(first.from_ms),
            _ => first.from_ms,
        };
        let ended = occasion && (line.spans.len() > 1 || !line.is_out);
        let end_ms = if ended { first.to_ms } else { line.now_ms };
        for (from, to, air_c) in line.pieces(start_ms, end_ms) {
            count.air(profile, from, air_c, to > from);
            let limit = start_ms.saturating_add(count.allowed_ms);
            if limit <= to {
                count.pass(limit.max(from));
            }
        }
        count.used_ms = end_ms.saturating_sub(start_ms);
        count.limit_ms = (!ended).then(|| start_ms.saturating_add(count.allowed_ms));
        if let Some(second) = line.spans.get(1).filter(|_| occasion) {
            count.pass(second.from_ms);
            count.notes.push("it was out once before, and there is no second time".to_owned());
        }
        if starts_wrong(rule, line.start) {
            count.pass(start_ms);
            count.notes.push(format!(
                "it was neither cold nor hot enough to start with ({})",
                [&rule.start_cold_most, &rule.start_hot_least]
                    .into_iter()
                    .flatten()
                    .map(|heat: &Heat| heat.printed.as_str())
                    .collect::<Vec<_>>()
                    .join(" or ")
            ));
        }
        if let Start::Cooling(_) = line.start {
            count.notes.push(
                "it was taken out before it was measured cold, so the time it was cooling counts"
                    .to_owned(),
            );
        }
        count.check_warmest(chosen, line, start_ms);
        count
    }

    /// A rule that asks for cool food is broken by one warm reading, for good:
    /// the ordinary rule cannot take over afterwards.
    fn check_warmest(&mut self, chosen: &TimeRule, line: &Timeline, start_ms: i64) {
        let Some(stay) = chosen.stay_most.as_ref().filter(|_| line.start == Start::Cold) else {
            return;
        };
        let warm = line.readings.iter().find(|r| r.0 >= start_ms && !stay.at_most(r.1));
        if let Some(&(at_ms, _)) = warm {
            self.pass(at_ms);
            self.notes.push(format!("it was measured above {}", stay.printed));
        }
    }

    fn new(rule: &TimeRule) -> Self {
        Self {
            used_ms: 0,
            allowed_ms: rule.most.value_minutes.saturating_mul(MINUTE_MS),
            limit_ms: None,
            passed_ms: None,
            hot: false,
            cool: false,
            notes: Vec::new(),
        }
    }

    /// Takes note of the air from `from_ms` on. Once hot, the shorter limit
    /// stays; if more than that is used already, it is passed at this moment.
    fn air(&mut self, profile: &Profile, from_ms: i64, air_c: f64, lasts: bool) {
        let Some(day) = &profile.hot_day else { return };
        if day.above.at_most(air_c) {
            self.cool |= lasts;
            return;
        }
        self.hot = true;
        let most_ms = day.most.value_minutes.saturating_mul(MINUTE_MS);
        self.allowed_ms = self.allowed_ms.min(most_ms);
        if self.used_ms >= self.allowed_ms {
            self.pass(from_ms);
        }
    }

    /// The limit was passed at `at_ms`, unless that was earlier.
    fn pass(&mut self, at_ms: i64) {
        self.passed_ms = Some(self.passed_ms.map_or(at_ms, |passed| passed.min(at_ms)));
    }
}

/// Whether a food that began so may use the rule at all. A food that was never
/// held nor measured is taken at the cook's word.
fn starts_wrong(rule: &TimeRule, start: Start) -> bool {
    let (cold, hot) = (rule.start_cold_most.is_some(), rule.start_hot_least.is_some());
    match start {
        Start::Between => cold || hot,
        Start::Hot => cold && !hot,
        Start::Cold => hot && !cold,
        Start::Unknown | Start::Cooling(_) => false,
    }
}

//! How long before a limit the warning comes: the time that the remedy takes.
//!
//! Our choice, by the practice for alarm systems that the time left must exceed
//! the time to notice plus the time to act by about half again (a textbook
//! example turns 10 + 2 min into 18). No published guidance sets these minutes.
//! A lead time only moves a warning; it never moves the limit.

use super::profile::{ClockMeaning, TimeRule};

/// What the cook can still do before a limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Remedy {
    /// Put food that is still hot enough or cold enough back where it is kept so.
    PutBack,
    /// Serve it, or divide it into shallow containers and put it in the fridge.
    ServeOrChill,
    /// Heat it through again, or serve it.
    Reheat,
}

/// Minutes until a cook with full hands notices a warning and can turn to it.
/// Our choice: the longest stretch of full attention in an ordinary recipe step.
pub const NOTICE_MINUTES: i64 = 5;

impl Remedy {
    /// Every remedy, quickest first.
    pub const ALL: [Self; 3] = [Self::PutBack, Self::ServeOrChill, Self::Reheat];

    /// Minutes that doing it takes. Common practice, no source; for reheating
    /// the Food Code allows up to two hours (2022, 3-403.11(D)), which a full
    /// pan of a home kitchen should stay well below.
    #[must_use]
    pub fn act_minutes(self) -> i64 {
        match self {
            Self::PutBack => 5,
            Self::ServeOrChill => 15,
            Self::Reheat => 35,
        }
    }

    /// Minutes before the limit at which the warning is due: one and a half
    /// times notice and act. 15, 30 and 60.
    #[must_use]
    pub fn lead_minutes(self) -> i64 {
        (NOTICE_MINUTES + self.act_minutes()) * 3 / 2
    }

    /// As [`Self::lead_minutes`], but at most half of the whole time allowed, so
    /// that a warning is never there from the start.
    #[must_use]
    pub fn lead_within(self, allowed_minutes: i64) -> i64 {
        self.lead_minutes().min(allowed_minutes.max(0) / 2)
    }

    /// Why the warning comes so early, for the cook.
    #[must_use]
    pub fn why(self) -> &'static str {
        match self {
            Self::PutBack => "5 min to notice, 5 to put it back, and half as much again",
            Self::ServeOrChill => {
                "5 min to notice, 15 to serve it or pack it for the fridge, and half as much again"
            }
            Self::Reheat => "5 min to notice, 35 to heat it through, and half as much again",
        }
    }
}

/// The remedy that the warning of a time limit has to leave time for.
///
/// Under a one-episode rule what is left goes, so the last good use is to heat
/// and serve it: the 4-hour clock warns at 3 hours. Food whose hot hold failed
/// has to be heated through. Otherwise serving or chilling saves it.
#[must_use]
pub fn remedy_for(rule: &TimeRule, hot_hold_failed: bool) -> Remedy {
    if hot_hold_failed || rule.meaning == ClockMeaning::OneEpisodeThenDiscard {
        Remedy::Reheat
    } else {
        Remedy::ServeOrChill
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::safety::Profile;

    #[test]
    fn a_lead_leaves_the_remedy_half_again_its_time() {
        assert_eq!(Remedy::ALL.map(Remedy::lead_minutes), [15, 30, 60]);
        for remedy in Remedy::ALL {
            let needed = NOTICE_MINUTES + remedy.act_minutes();
            assert!(remedy.lead_minutes() * 2 >= needed * 3 - 1);
            assert!(remedy.why().contains(&format!("{} to", remedy.act_minutes())));
            for allowed in -10..500 {
                let lead = remedy.lead_within(allowed);
                assert!((0..=remedy.lead_minutes()).contains(&lead));
                assert!(lead * 2 <= allowed.max(0));
            }
        }
    }

    /// The Food Code's reheating time is the most that acting may take (3-403.11(D)).
    #[test]
    fn reheating_is_planned_within_the_time_the_food_code_allows() {
        let code = Profile::by_id("us_food_code_2022").expect("built in");
        let most = code.reheat.within.as_ref().expect("has one").value_minutes;
        assert!(Remedy::Reheat.act_minutes() <= most);
        assert_eq!(remedy_for(&code.room_rule, false), Remedy::Reheat);
        let home = Profile::by_id("us_consumer").expect("built in");
        assert_eq!(remedy_for(&home.room_rule, false), Remedy::ServeOrChill);
        assert_eq!(remedy_for(&home.room_rule, true), Remedy::Reheat);
    }
}

//! Until when a dish may stand on the table, by the plan.

use super::at;
use crate::kitchen::{Evening, Minute};
use crate::mise::servingware::served_at;
use crate::plan::{Plan, verify};
use crate::safety::{ClockMeaning, Profile, is_perishable, limit, room_limit};

/// The end of a dish's time on the table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Until {
    /// The minute.
    pub minute: Minute,
    /// Why, without full stop.
    pub why: String,
}

impl Until {
    /// "by 20:00 (2 hours ...)".
    #[must_use]
    pub fn words(&self, evening: &Evening) -> String {
        format!("by {} ({})", at(evening, self.minute), self.why)
    }
}

/// The minute by which a perishable dish is off the table again if all goes as planned: the guidance's time, less what the
/// plan spends without heat or cold before the service, before it was last cold too. Some guidance counts one episode alone;
/// the planner counts all together whatever it says (`plan/build/clock.rs`), and the paper is no laxer. A clock that cannot be
/// stopped runs from its first minute.
#[must_use]
pub fn until(evening: &Evening, plan: &Plan, dish: usize) -> Option<Until> {
    let sheet = evening.sheets.get(dish)?;
    let profile = Profile::by_id(&evening.party.guidance)?;
    let safety = &sheet.recipe.safety;
    let air_c = f64::from(evening.party.room_c);
    let most = room_limit(profile, is_perishable(safety.class, safety.exempt), air_c)?;
    let served = served_at(evening, Some(plan), dish, sheet);
    let verify::Uncontrolled { since, before } =
        verify::uncontrolled(evening, profile, plan, dish)?;
    let kept = plan
        .holds
        .iter()
        .find(|h| h.dish == dish)
        .filter(|h| limit::setting_holds(profile, h.class, h.setting_c.map(f64::from)));
    let out_before = kept.map_or(served, |h| h.from) - since;
    let starts = match (kept, most.meaning) {
        (None, _) => since,
        (Some(_), ClockMeaning::Total | ClockMeaning::RunningSum) => served - out_before,
        (Some(_), _) if out_before > 0 => since,
        (Some(_), _) => served,
    } - before;
    let minutes = Minute::try_from(most.minutes).unwrap_or(Minute::MAX / 4);
    Some(Until { minute: starts.saturating_add(minutes), why: most.why })
}

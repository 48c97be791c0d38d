//! Alarms that came up together for the same reason are looked at together, so
//! that a fridge that fails is one thing to see and not eight.

use crate::run::state::MINUTE_MS;
use crate::run::view::{Alarm, AlarmState};

/// Alarms of one kind raised within so many minutes are one bundle. Our choice.
const TOGETHER_MS: i64 = 2 * MINUTE_MS;

/// The unseen alarms that came up together with the one of this key, itself
/// first. Each is still answered by itself.
#[must_use]
pub fn bundle<'a>(alarms: &'a [Alarm], key: &str) -> Vec<&'a Alarm> {
    let Some(first) = alarms.iter().find(|a| a.key == key) else { return Vec::new() };
    let together = |a: &&Alarm| {
        let near = a.raised_ms.saturating_sub(first.raised_ms).abs() <= TOGETHER_MS;
        a.key != key && a.kind == first.kind && a.state == AlarmState::New && near
    };
    let others = alarms.iter().filter(together).filter(|_| first.state == AlarmState::New);
    std::iter::once(first).chain(others).collect()
}

//! stub
use super::state::State;
use super::view::Alarm;
/// a
#[must_use]
pub fn alarms(_state: &State, _now_ms: i64) -> Vec<Alarm> {
    Vec::new()
}
/// b
#[must_use]
pub fn next_alarm_ms(_state: &State, _now_ms: i64) -> Option<i64> {
    None
}

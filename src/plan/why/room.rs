//! How far a block can be moved alone, and how far before it costs something.

use super::stand::{Side, Stand};
use crate::plan::Cost;
use crate::plan::judge::judge;
use crate::plan::problem::Schedule;

/// Minutes beyond which nobody asks.
pub const MOST_MINUTES: i32 = 180;

/// How far a block can be moved to one side with nothing else moved, every
/// rule kept and no dish served later than it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Room {
    /// Minutes, each of them allowed.
    pub minutes: i32,
    /// The first of these that cost nothing.
    pub free: i32,
    /// It could go further; [`MOST_MINUTES`] were looked at.
    pub more: bool,
    /// Among the free minutes are some that would even save something.
    pub saves: bool,
}

/// What a schedule costs, but for straying from what was on the screen:
/// nothing is gained by standing still in itself.
#[must_use]
pub fn price(cost: &Cost) -> i64 {
    cost.total() - cost.change
}

/// The first dish (of the problem) that another schedule serves later.
#[must_use]
pub fn late(stand: &Stand, moved: &Schedule) -> Option<usize> {
    let then = Stand { problem: stand.problem, schedule: moved };
    (0..stand.problem.dishes.len()).find(|&d| then.serving(d).served > stand.serving(d).served)
}

/// The room of a load. Minute by minute, each by the judge. None if the
/// schedule is not valid as it stands, or if `stop` says so.
#[must_use]
pub fn room(stand: &Stand, task: usize, side: Side, stop: &dyn Fn() -> bool) -> Option<Room> {
    let now = price(&judge(stand.problem, stand.schedule).ok()?);
    let mut room = Room { more: true, ..Room::default() };
    if stand.begun(task) {
        return Some(Room::default());
    }
    for minutes in 1..=MOST_MINUTES {
        if stop() {
            return None;
        }
        let moved = stand.moved(&[(task, side.by(minutes))]);
        let cost = judge(stand.problem, &moved).ok().filter(|_| late(stand, &moved).is_none());
        let Some(cost) = cost else {
            room.more = false;
            break;
        };
        if room.free == room.minutes && price(&cost) <= now {
            room.free = minutes;
            room.saves |= price(&cost) < now;
        }
        room.minutes = minutes;
    }
    Some(room)
}

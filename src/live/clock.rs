//! The time of the party: the wall clock, or for the demo one that runs faster,
//! slower or not at all. The only place where the program reads a clock.
//!
//! # The clocks, and what each is for
//!
//! - The **wall clock** ([`Ticks::wall_ms`], unix ms) says when things happened: marks carry it, food counts by it,
//!   services are due by it. It can be set, jumps when a computer wakes, and knows nothing of summer time, which
//!   is the clockface's business (`kitchen/clock.rs`: minutes of the party's day, hours that are skipped or come twice).
//! - The **monotonic clock** ([`Ticks::mono_ms`]) never goes back. How long an echo stands, when a sound comes again,
//!   and how far the demo has run go by it. It counts from the start of the computer that its mark names
//!   (`boot`), so that two marks of one start can be compared even if the wall clock was set between them.
//! - **Party time** ([`PartyTime`]) is what the evening lives in: the wall clock, or in the demo and in rehearsals one
//!   that is sped up, slowed and stopped. All that is pure gets party time as an argument.
//! - **Which came first** is neither's to say: marks have numbers (`store/record.rs`), and only they are the order.
//!
//! If the wall clock was set *back*, an event says by how much and the marks before it move with it
//! (`run/fold.rs`); set *forward*, it counts as time that passed, since nobody can tell it from a sleep, and food
//! that stood out is then held to have stood out longer, never shorter. `live/pass.rs` notices a setting
//! back by the two clocks' disagreement; `tests/sim/` plays both.

use std::rc::Rc;
use std::time::{Instant, SystemTime, UNIX_EPOCH};

/// How fast a demo or a rehearsal can run, in its seconds a second.
pub const SPEEDS: [u32; 9] = [1, 2, 5, 10, 30, 60, 120, 300, 600];

/// The wall clock and the monotonic clock, in milliseconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ticks {
    /// Unix milliseconds by the wall clock.
    pub wall_ms: i64,
    /// Milliseconds since the program started; never goes back, and on some
    /// systems stands still while a laptop sleeps.
    pub mono_ms: u64,
}

/// Reads both clocks: the computer's, or in a simulation others.
#[derive(Clone)]
pub struct Clocks {
    read: Rc<dyn Fn() -> Ticks>,
}

impl Default for Clocks {
    fn default() -> Self {
        let started = Instant::now();
        Self::by(move || {
            let wall = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
            Ticks {
                wall_ms: i64::try_from(wall.as_millis()).unwrap_or(i64::MAX),
                mono_ms: u64::try_from(started.elapsed().as_millis()).unwrap_or(u64::MAX),
            }
        })
    }
}

impl Clocks {
    /// Clocks that are read in this way.
    #[must_use]
    pub fn by(read: impl Fn() -> Ticks + 'static) -> Self {
        Self { read: Rc::new(read) }
    }

    /// The present time by both clocks.
    #[must_use]
    pub fn now(&self) -> Ticks {
        (self.read)()
    }
}

/// The time that the party lives in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PartyTime {
    /// The wall clock.
    Wall,
    /// The demo's own.
    Demo(DemoTime),
}

/// A clock that can be sped up, slowed and paused.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DemoTime {
    /// Party time at `since_mono_ms`, unix ms.
    at_ms: i64,
    since_mono_ms: u64,
    speed: usize,
    paused: bool,
    /// It runs no faster than the wall clock for now, whatever its speed.
    held: bool,
}

impl PartyTime {
    /// A demo that starts at `at_ms` (unix) and runs as fast as the wall clock.
    #[must_use]
    pub fn demo(at_ms: i64, ticks: Ticks) -> Self {
        Self::quick(at_ms, ticks, 1)
    }

    /// One that starts at `at_ms` (unix) and runs at the fastest of the speeds that is not above `speed`.
    #[must_use]
    pub fn quick(at_ms: i64, ticks: Ticks, speed: u32) -> Self {
        let speed = SPEEDS.iter().rposition(|s| *s <= speed).unwrap_or(0);
        Self::Demo(DemoTime {
            at_ms,
            since_mono_ms: ticks.mono_ms,
            speed,
            paused: false,
            held: false,
        })
    }

    /// The party's present time, unix ms.
    #[must_use]
    pub fn now_ms(&self, ticks: Ticks) -> i64 {
        match self {
            Self::Wall => ticks.wall_ms,
            Self::Demo(demo) => demo.now_ms(ticks),
        }
    }

    /// Real milliseconds until the party's time is `at_ms`; `None` if it never
    /// comes at this speed.
    #[must_use]
    pub fn real_ms_until(&self, at_ms: i64, ticks: Ticks) -> Option<u64> {
        let ahead = u64::try_from(at_ms.saturating_sub(self.now_ms(ticks)).max(0)).unwrap_or(0);
        match self {
            Self::Wall => Some(ahead),
            Self::Demo(demo) if demo.paused => None,
            Self::Demo(demo) => Some(ahead.div_ceil(u64::from(demo.pace()))),
        }
    }

    /// How fast it runs where nothing holds it; 0 while paused. The wall clock runs at 1.
    #[must_use]
    pub fn speed(&self) -> u32 {
        match self {
            Self::Wall => 1,
            Self::Demo(demo) if demo.paused => 0,
            Self::Demo(demo) => demo.factor(),
        }
    }

    /// Runs a demo one notch faster (or slower); also ends a pause.
    pub fn shift(&mut self, faster: bool, ticks: Ticks) {
        if let Self::Demo(demo) = self {
            demo.settle(ticks);
            demo.paused = false;
            demo.speed = if faster {
                (demo.speed + 1).min(SPEEDS.len() - 1)
            } else {
                demo.speed.saturating_sub(1)
            };
        }
    }

    /// Lets a quick clock run no faster than the wall clock for as long as it is
    /// held. A plan takes its second to make; at 120 seconds a second it
    /// would come two minutes late, for an evening that has gone on.
    pub fn hold(&mut self, held: bool, ticks: Ticks) {
        if let Self::Demo(demo) = self
            && demo.held != held
        {
            demo.settle(ticks);
            demo.held = held;
        }
    }

    /// Stops a demo, or lets it go on.
    pub fn pause(&mut self, ticks: Ticks) {
        if let Self::Demo(demo) = self {
            demo.settle(ticks);
            demo.paused = !demo.paused;
        }
    }
}

impl DemoTime {
    fn factor(&self) -> u32 {
        SPEEDS.get(self.speed).copied().unwrap_or(1)
    }

    fn pace(&self) -> u32 {
        if self.held { 1 } else { self.factor() }
    }

    fn now_ms(&self, ticks: Ticks) -> i64 {
        if self.paused {
            return self.at_ms;
        }
        let real = i64::try_from(ticks.mono_ms.saturating_sub(self.since_mono_ms));
        let real = real.unwrap_or(i64::MAX);
        self.at_ms.saturating_add(real.saturating_mul(i64::from(self.pace())))
    }

    /// Makes the present moment the new starting point.
    fn settle(&mut self, ticks: Ticks) {
        self.at_ms = self.now_ms(ticks);
        self.since_mono_ms = ticks.mono_ms;
    }
}

/// Milliseconds by which the wall clock jumped against the monotonic one
/// between two readings: a sleep or a clock set forward (positive), or set
/// back (negative). Below two seconds it is called nothing.
#[must_use]
pub fn jump_ms(before: Ticks, now: Ticks) -> i64 {
    let wall = now.wall_ms.saturating_sub(before.wall_ms);
    let mono = i64::try_from(now.mono_ms.saturating_sub(before.mono_ms)).unwrap_or(i64::MAX);
    let jump = wall.saturating_sub(mono);
    if jump.abs() < 2000 { 0 } else { jump }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ticks(mono_ms: u64) -> Ticks {
        Ticks { wall_ms: 1_000_000 + mono_ms as i64, mono_ms }
    }

    #[test]
    fn a_demo_runs_at_its_speed_and_keeps_its_time_when_that_changes() {
        let mut time = PartyTime::demo(500_000, ticks(0));
        assert_eq!(time.now_ms(ticks(1000)), 501_000);
        time.shift(true, ticks(1000));
        assert_eq!((time.speed(), time.now_ms(ticks(1000))), (2, 501_000));
        assert_eq!(time.now_ms(ticks(2000)), 503_000);
        time.pause(ticks(2000));
        assert_eq!((time.speed(), time.now_ms(ticks(90_000))), (0, 503_000));
        assert_eq!(time.real_ms_until(600_000, ticks(90_000)), None);
        time.pause(ticks(90_000));
        assert_eq!(time.real_ms_until(504_000, ticks(90_000)), Some(500));
    }

    #[test]
    fn a_held_clock_goes_on_as_the_wall_clock_does_and_keeps_its_speed() {
        let mut time = PartyTime::quick(0, ticks(0), 60);
        time.hold(true, ticks(1000));
        assert_eq!((time.speed(), time.now_ms(ticks(3000))), (60, 62_000));
        assert_eq!(time.real_ms_until(63_000, ticks(3000)), Some(1000));
        time.hold(false, ticks(3000));
        assert_eq!(time.now_ms(ticks(4000)), 122_000);
    }

    #[test]
    fn speeds_stay_within_their_notches() {
        let mut time = PartyTime::demo(0, ticks(0));
        for _ in 0..20 {
            time.shift(true, ticks(0));
        }
        assert_eq!(time.speed(), 600);
        for _ in 0..20 {
            time.shift(false, ticks(0));
        }
        assert_eq!(time.speed(), 1);
    }

    #[test]
    fn a_sleep_and_a_clock_set_back_are_jumps() {
        let before = Ticks { wall_ms: 1000, mono_ms: 10 };
        assert_eq!(jump_ms(before, Ticks { wall_ms: 61_000, mono_ms: 70 }), 59_940);
        assert_eq!(jump_ms(before, Ticks { wall_ms: -9000, mono_ms: 20 }), -10_010);
        assert_eq!(jump_ms(before, Ticks { wall_ms: 2010, mono_ms: 20 }), 0);
    }
}

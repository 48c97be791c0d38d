//! What was on the screen since when, so that a press meant for one thing is
//! not taken for another that came up in that instant, and a key that is held
//! down or bounces counts once.

use super::{Page, top_alarm};
use crate::run::{AlarmState, Event, alarms};
use crate::screen::keys::Press;
use crate::screen::{Intent, Scene};

/// Presses within this time of something new coming up are not its answer (ms).
pub const TOO_SOON_MS: i64 = 300;
/// So many ways out have a key.
const WAYS: usize = 5;
/// The numbers of the ways out may not have been read anew within this time (ms). Our choice.
const WAYS_TOO_SOON_MS: i64 = 1_000;
/// The same key again within this time of its first press is held down, or hit twice (ms): systems let a held key come
/// again after a quarter to two thirds of a second (common practice, no source).
const HELD_MS: i64 = 700;
/// From then on it comes again at least so often (ms).
const REPEATS_MS: i64 = 200;

/// What was on the screen since when.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Watch {
    /// The keys of the alarms that are told together.
    alarm: Since<Vec<String>>,
    /// The keys of all alarms that were not seen.
    unseen: Since<Vec<String>>,
    expected: Since<Event>,
    /// The ways out in words, by their keys.
    ways: [Since<String>; WAYS],
    /// What the chosen row of a page is about.
    pub(super) row: Option<(Page, String)>,
    /// Until when no press marks anything (real ms).
    startled_until_ms: Option<i64>,
    /// Until when no press leaves either (real ms).
    stays_until_ms: Option<i64>,
    /// A key that was pressed, when for the first time of a row and when last (real ms).
    pressed: Option<(Press, i64, i64)>,
}

/// Something, and when it last changed by a clock that runs in real time.
#[derive(Debug, Clone, PartialEq)]
struct Since<T> {
    what: Option<T>,
    since_ms: Option<i64>,
    begun: bool,
}

impl<T> Default for Since<T> {
    fn default() -> Self {
        Self { what: None, since_ms: None, begun: false }
    }
}

impl<T: PartialEq> Since<T> {
    /// What is there at the first look counts as having been there for long.
    fn note(&mut self, what: Option<T>, real_ms: i64) {
        if self.begun && self.what != what {
            self.since_ms = Some(real_ms);
        }
        self.begun = true;
        self.what = what;
    }

    fn is_younger(&self, than_ms: i64, real_ms: i64) -> bool {
        self.since_ms.is_some_and(|at| (0..than_ms).contains(&real_ms.saturating_sub(at)))
    }
}

impl Watch {
    /// Takes note of what is on the screen.
    pub(super) fn note(&mut self, scene: &Scene, real_ms: i64) {
        let told = top_alarm(scene)
            .map(|a| alarms::bundle(&scene.view.alarms, &a.key))
            .map(|told| told.iter().map(|a| a.key.clone()).collect());
        self.alarm.note(told, real_ms);
        let unseen = scene.view.alarms.iter().filter(|a| a.state == AlarmState::New);
        self.unseen.note(Some(unseen.map(|a| a.key.clone()).collect()), real_ms);
        let expected = scene.view.expected.as_ref().map(|e| e.event.clone());
        self.expected.note(expected, real_ms);
        for (place, way) in self.ways.iter_mut().enumerate() {
            way.note(scene.status.ways.outs.get(place).map(|out| out.words.clone()), real_ms);
        }
    }

    /// Has the alarm that is told come up just now?
    pub(super) fn is_alarm_new(&self, real_ms: i64) -> bool {
        self.alarm.is_younger(TOO_SOON_MS, real_ms)
    }

    /// Has any alarm come up just now, told or in the list?
    pub(super) fn is_any_alarm_new(&self, real_ms: i64) -> bool {
        self.unseen.is_younger(TOO_SOON_MS, real_ms)
    }

    /// Has what the one key marks come up just now?
    pub(super) fn is_expected_new(&self, real_ms: i64) -> bool {
        self.expected.is_younger(TOO_SOON_MS, real_ms)
    }

    /// Is another way out under this key than just now?
    pub(super) fn is_way_new(&self, place: usize, real_ms: i64) -> bool {
        self.ways.get(place).is_some_and(|way| way.is_younger(WAYS_TOO_SOON_MS, real_ms))
    }

    /// From now on no press marks anything for so long.
    pub(super) fn startle(&mut self, real_ms: i64, for_ms: i64) {
        let until = real_ms.saturating_add(for_ms);
        self.startled_until_ms = self.startled_until_ms.max(Some(until));
    }

    /// Another evening has come to the front: for so long no press leaves it either.
    pub(super) fn stay(&mut self, real_ms: i64, for_ms: i64) {
        self.startle(real_ms, for_ms);
        self.stays_until_ms = Some(real_ms.saturating_add(for_ms));
    }

    /// Is the press that wants this perhaps not for what is in front?
    pub(super) fn is_in_haste(&self, intent: &Intent, real_ms: i64) -> bool {
        let stays = self.stays_until_ms.is_some_and(|until| real_ms < until);
        self.is_startled(real_ms) && weighs(intent) || stays && *intent == Intent::Leave
    }

    /// What is in front has changed by itself just now.
    fn is_startled(&self, real_ms: i64) -> bool {
        self.startled_until_ms.is_some_and(|until| real_ms < until)
    }

    /// Takes note of a press. True if its key is held down or was hit twice.
    pub(super) fn is_held(&mut self, press: Press, real_ms: i64) -> bool {
        let before = self.pressed.filter(|(key, ..)| *key == press);
        let held = before.filter(|(_, first, last)| {
            let soon = (0..HELD_MS).contains(&real_ms.saturating_sub(*first));
            soon || (0..REPEATS_MS).contains(&real_ms.saturating_sub(*last))
        });
        let first = held.map_or(real_ms, |(_, first, _)| first);
        self.pressed = Some((press, first, real_ms));
        held.is_some()
    }
}

/// Does the cook want what a press on its way to something else must not do?
pub(super) fn weighs(intent: &Intent) -> bool {
    matches!(
        intent,
        Intent::Mark(_)
            | Intent::Confirmed(_)
            | Intent::Undo
            | Intent::TakeWay(_)
            | Intent::TakeTry(_)
            | Intent::WriteChange(_)
    )
}

//! Which alarm sounds now, and when one sounds again. Real time is an argument.

use std::collections::BTreeMap;

use crate::run::{Alarm, AlarmState, Rank};

/// A sound to make, and what to say with it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ring {
    /// The highest rank among the alarms that sound.
    pub rank: Rank,
    /// The most pressing alarm that sounds for the first time: key, title, what to do.
    pub fresh: Option<(String, String, String)>,
}

/// Remembers what has sounded.
#[derive(Debug, Clone, Default)]
pub struct Ringer {
    /// Alarms that nobody has seen yet: when each last sounded (real ms).
    sounded: BTreeMap<String, i64>,
    /// Alarms whose sound was stopped: until when (real ms).
    silent: BTreeMap<String, i64>,
}

/// How long the sound of an alarm that nobody has seen can be stopped (ms). Our choice.
const SILENT_MS: i64 = 5 * 60_000;

impl Ringer {
    /// What to sound now. `again_after_ms` says how long after its last sound an
    /// unseen alarm of a rank sounds again, if it does.
    pub fn ring(
        &mut self,
        alarms: &[Alarm],
        real_ms: i64,
        again_after_ms: impl Fn(Rank) -> Option<u64>,
    ) -> Option<Ring> {
        let unseen: Vec<&Alarm> = alarms.iter().filter(|a| a.state == AlarmState::New).collect();
        // Seen, put off or over: if it comes back it is new again.
        self.sounded.retain(|key, _| unseen.iter().any(|a| a.key == *key));
        self.silent.retain(|key, until| *until > real_ms && unseen.iter().any(|a| a.key == *key));
        let mut ring: Option<Ring> = None;
        for alarm in unseen.into_iter().filter(|a| !self.silent.contains_key(&a.key)) {
            let fresh = match self.sounded.get(&alarm.key) {
                None => true,
                Some(&at) if is_due(at, real_ms, again_after_ms(alarm.rank)) => false,
                Some(_) => continue,
            };
            self.sounded.insert(alarm.key.clone(), real_ms);
            let ring = ring.get_or_insert(Ring { rank: alarm.rank, fresh: None });
            ring.rank = ring.rank.max(alarm.rank);
            if fresh && ring.fresh.is_none() {
                ring.fresh = Some((alarm.key.clone(), alarm.title.clone(), alarm.remedy.clone()));
            }
        }
        ring
    }

    /// Stops the sound of every alarm that there is, for five minutes. They stay
    /// unseen; one that comes up new sounds.
    pub fn silence(&mut self, alarms: &[Alarm], real_ms: i64) {
        let unseen = alarms.iter().filter(|a| a.state == AlarmState::New);
        let until_ms = real_ms.saturating_add(SILENT_MS);
        self.silent.extend(unseen.map(|a| (a.key.clone(), until_ms)));
    }

    /// When something sounds next if nothing changes (real ms).
    #[must_use]
    pub fn next_ms(
        &self,
        alarms: &[Alarm],
        again_after_ms: impl Fn(Rank) -> Option<u64>,
    ) -> Option<i64> {
        let unseen = alarms.iter().filter(|a| a.state == AlarmState::New);
        let again = unseen.filter_map(|a| {
            let at = self.sounded.get(&a.key)?;
            let silent = self.silent.get(&a.key).copied().unwrap_or(i64::MIN);
            let again = |ms: i64| ms.max(silent);
            Some(again(at.saturating_add(i64::try_from(again_after_ms(a.rank)?).ok()?)))
        });
        again.min()
    }
}

fn is_due(last_ms: i64, real_ms: i64, after_ms: Option<u64>) -> bool {
    let after = after_ms.and_then(|ms| i64::try_from(ms).ok());
    after.is_some_and(|after| real_ms.saturating_sub(last_ms) >= after)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::run::AlarmKind;

    fn alarm(key: &str, rank: Rank, state: AlarmState) -> Alarm {
        Alarm {
            key: key.to_owned(),
            kind: AlarmKind::PullNow,
            rank,
            title: format!("title of {key}"),
            cause: String::new(),
            consequence: String::new(),
            remedy: String::new(),
            raised_ms: 0,
            harm_ms: None,
            state,
            dish: None,
            safety: false,
        }
    }

    fn again(rank: Rank) -> Option<u64> {
        (rank != Rank::Notice).then_some(10_000)
    }

    #[test]
    fn an_unseen_alarm_sounds_at_once_and_again_until_it_is_seen() {
        let mut ringer = Ringer::default();
        let new = [alarm("a", Rank::Urgent, AlarmState::New)];
        let first = ringer.ring(&new, 0, again).expect("it sounds at once");
        assert_eq!(first.rank, Rank::Urgent);
        assert_eq!(first.fresh.map(|f| f.0), Some("a".to_owned()));
        assert_eq!(ringer.ring(&new, 9_999, again), None);
        assert_eq!(ringer.next_ms(&new, again), Some(10_000));
        let second = ringer.ring(&new, 10_000, again).expect("it sounds again");
        assert_eq!(second.fresh, None);
        let seen = [alarm("a", Rank::Urgent, AlarmState::Acknowledged)];
        assert_eq!(ringer.ring(&seen, 30_000, again), None);
        assert_eq!(ringer.next_ms(&seen, again), None);
        assert!(ringer.ring(&new, 30_001, again).is_some(), "back again, it is new again");
    }

    #[test]
    fn several_at_once_sound_as_the_highest() {
        let mut ringer = Ringer::default();
        let both =
            [alarm("a", Rank::Notice, AlarmState::New), alarm("b", Rank::Urgent, AlarmState::New)];
        let ring = ringer.ring(&both, 0, again).expect("they sound");
        assert_eq!(ring.rank, Rank::Urgent);
    }

    #[test]
    fn silence_stops_the_sound_and_nothing_else() {
        let mut ringer = Ringer::default();
        let new = [alarm("a", Rank::Urgent, AlarmState::New)];
        assert!(ringer.ring(&new, 0, again).is_some());
        ringer.silence(&new, 1_000);
        assert_eq!(ringer.ring(&new, 20_000, again), None);
        assert_eq!(ringer.next_ms(&new, again), Some(1_000 + SILENT_MS));
        let two = [new[0].clone(), alarm("b", Rank::Warning, AlarmState::New)];
        let ring = ringer.ring(&two, 30_000, again).expect("a new one sounds");
        assert_eq!((ring.rank, ring.fresh.map(|f| f.0)), (Rank::Warning, Some("b".to_owned())));
        let seen = [alarm("b", Rank::Warning, AlarmState::Acknowledged)];
        assert_eq!(ringer.ring(&seen, 40_000, again), None);
        assert!(ringer.ring(&new, 41_000, again).is_some(), "gone and back, it is new");
        ringer.silence(&new, 50_000);
        assert!(ringer.ring(&new, 50_000 + SILENT_MS, again).is_some(), "it ends by itself");
    }

    #[test]
    fn a_notice_sounds_once() {
        let mut ringer = Ringer::default();
        let one = [alarm("a", Rank::Notice, AlarmState::New)];
        assert!(ringer.ring(&one, 0, again).is_some());
        assert_eq!(ringer.ring(&one, 1_000_000, again), None);
        assert_eq!(ringer.next_ms(&one, again), None);
    }
}

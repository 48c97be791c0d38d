//! Which alarm sounds now, and when one sounds again. Real time is an argument.

use std::collections::BTreeMap;

use crate::run::alarms::gathers_ms;
use crate::run::{Alarm, AlarmState, Rank};

/// A sound to make, and what to say with it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ring {
    /// The highest rank among the alarms that sound.
    pub rank: Rank,
    /// The key of the most pressing alarm that sounds for the first time; None: nothing new.
    pub fresh: Option<String>,
    /// The ranks of all alarms that sound.
    pub ranks: Vec<Rank>,
    /// The keys of all that sound for the first time.
    pub came: Vec<String>,
}

/// Remembers what has sounded.
#[derive(Debug, Clone, Default)]
pub struct Ringer {
    /// Alarms that nobody has seen yet: when each last sounded (real ms).
    sounded: BTreeMap<String, i64>,
    /// Alarms whose sound was stopped: until when (real ms), and of which rank they were.
    silent: BTreeMap<String, (i64, Rank)>,
    /// When alarms of a rank last sounded for the first time (real ms).
    announced: BTreeMap<Rank, i64>,
}

/// How long the sound of an alarm that nobody has seen can be stopped (ms). Our choice.
const SILENT_MS: i64 = 5 * 60_000;

impl Ringer {
    /// What to sound now. `again_after_ms` says how long after its last sound an
    /// unseen alarm of a rank sounds again, if it does.
    ///
    /// What comes up soon after one of its rank or a higher one has sounded
    /// sounds together with the next ([`gathers_ms`]), or with one that sounds
    /// again anyway: a flood is heard as a few sounds.
    pub fn ring(
        &mut self,
        alarms: &[Alarm],
        real_ms: i64,
        again_after_ms: impl Fn(Rank) -> Option<u64>,
    ) -> Option<Ring> {
        let unseen: Vec<&Alarm> = alarms.iter().filter(|a| a.state == AlarmState::New).collect();
        // Seen, put off or over: if it comes back it is new again.
        self.sounded.retain(|key, _| unseen.iter().any(|a| a.key == *key));
        self.silent.retain(|key, (until, rank)| {
            // What has become worse since sounds.
            *until > real_ms && unseen.iter().any(|a| a.key == *key && a.rank <= *rank)
        });
        let heard: Vec<&Alarm> =
            unseen.into_iter().filter(|a| !self.silent.contains_key(&a.key)).collect();
        let due = |a: &&&Alarm| {
            let last = self.sounded.get(&a.key);
            last.is_some_and(|&at| is_due(at, real_ms, again_after_ms(a.rank)))
        };
        let again = heard.iter().filter(due).map(|a| a.rank).max();
        let fresh = self.waiting(&heard).filter(|(rank, _)| self.next_fresh_ms(*rank) <= real_ms);
        let rank = again.max(fresh.as_ref().map(|f| f.0))?;
        if let Some((fresh, _)) = fresh {
            self.announced.insert(fresh, real_ms);
        }
        let joins = |a: &&&Alarm| match self.sounded.get(&a.key) {
            Some(_) => due(a),
            None => fresh.is_some() || a.rank <= rank,
        };
        let joined: Vec<&Alarm> = heard.iter().filter(joins).copied().collect();
        let ranks = joined.iter().map(|a| a.rank).collect();
        let keys: Vec<String> = joined.into_iter().map(|a| a.key.clone()).collect();
        let came = keys.iter().filter(|key| !self.has_sounded(key)).cloned().collect();
        self.sounded.extend(keys.into_iter().map(|key| (key, real_ms)));
        Some(Ring { rank, fresh: fresh.map(|f| f.1), ranks, came })
    }

    /// Among the alarms that have not sounded yet the highest rank, and the key
    /// of the most pressing one.
    fn waiting(&self, heard: &[&Alarm]) -> Option<(Rank, String)> {
        let mut waiting = heard.iter().filter(|a| !self.sounded.contains_key(&a.key));
        let first = waiting.next()?;
        let rank = waiting.map(|a| a.rank).fold(first.rank, Rank::max);
        Some((rank, first.key.clone()))
    }

    /// From when on a new alarm of a rank may sound.
    fn next_fresh_ms(&self, rank: Rank) -> i64 {
        let last = self.announced.range(rank..).map(|(_, at)| *at).max();
        last.map_or(i64::MIN, |at| at.saturating_add(gathers_ms(rank)))
    }

    /// Has the alarm of this key sounded since it came up?
    #[must_use]
    pub fn has_sounded(&self, key: &str) -> bool {
        self.sounded.contains_key(key)
    }

    /// Stops the sound of every alarm that there is, for five minutes. They stay
    /// unseen; one that comes up new sounds.
    pub fn silence(&mut self, alarms: &[Alarm], real_ms: i64) {
        let unseen = alarms.iter().filter(|a| a.state == AlarmState::New);
        let until_ms = real_ms.saturating_add(SILENT_MS);
        self.silent.extend(unseen.map(|a| (a.key.clone(), (until_ms, a.rank))));
    }

    /// When something sounds next if nothing changes (real ms).
    #[must_use]
    pub fn next_ms(
        &self,
        alarms: &[Alarm],
        again_after_ms: impl Fn(Rank) -> Option<u64>,
    ) -> Option<i64> {
        let unseen: Vec<&Alarm> = alarms.iter().filter(|a| a.state == AlarmState::New).collect();
        let again = unseen.iter().filter_map(|a| {
            let at = self.sounded.get(&a.key)?;
            let again_ms = at.saturating_add(i64::try_from(again_after_ms(a.rank)?).ok()?);
            Some(again_ms.max(self.silent_ms(a).unwrap_or(i64::MIN)))
        });
        // Stopped before it had sounded, it sounds when that is over.
        let stopped = unseen.iter().filter(|a| !self.has_sounded(&a.key)).filter_map(|a| {
            self.silent_ms(a).map(|until_ms| until_ms.max(self.next_fresh_ms(a.rank)))
        });
        let heard: Vec<&Alarm> =
            unseen.iter().filter(|a| self.silent_ms(a).is_none()).copied().collect();
        let fresh = self.waiting(&heard).map(|(rank, _)| self.next_fresh_ms(rank));
        again.chain(stopped).chain(fresh).min()
    }

    /// Until when the sound of an alarm is stopped, if it is and it has not become worse since.
    fn silent_ms(&self, alarm: &Alarm) -> Option<i64> {
        self.silent.get(&alarm.key).filter(|(_, rank)| alarm.rank <= *rank).map(|s| s.0)
    }
}

fn is_due(last_ms: i64, real_ms: i64, after_ms: Option<u64>) -> bool {
    let after = after_ms.and_then(|ms| i64::try_from(ms).ok());
    after.is_some_and(|after| real_ms.saturating_sub(last_ms) >= after)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::run::AlarmKind;
    use crate::run::alarms::MOST_IN_TEN_MINUTES;

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
            root: None,
        }
    }

    fn again(rank: Rank) -> Option<u64> {
        (rank != Rank::Notice).then_some(10_000)
    }

    /// The sound is stopped of what there is. What gets worse after that is heard, under whatever key.
    #[test]
    fn what_gets_worse_while_it_is_silent_sounds() {
        let mut ringer = Ringer::default();
        let warned = [alarm("a", Rank::Warning, AlarmState::New)];
        assert!(ringer.ring(&warned, 0, again).is_some());
        ringer.silence(&warned, 1_000);
        assert_eq!(ringer.ring(&warned, 20_000, again), None);
        let worse = [alarm("a", Rank::Urgent, AlarmState::New)];
        assert_eq!(ringer.next_ms(&worse, again), Some(10_000), "at once: that is past");
        assert_eq!(ringer.ring(&worse, 20_000, again).map(|r| r.rank), Some(Rank::Urgent));
        // Stopped again, it stays so when it gets less bad.
        ringer.silence(&worse, 21_000);
        assert_eq!(ringer.ring(&warned, 40_000, again), None);
    }

    /// Stopped before it was heard, it sounds when that is over, and somebody looks just then.
    #[test]
    fn what_was_stopped_before_it_sounded_sounds_after_that() {
        let mut ringer = Ringer::default();
        let first = alarm("a", Rank::Notice, AlarmState::New);
        assert!(ringer.ring(std::slice::from_ref(&first), 0, again).is_some());
        let both = [first, alarm("b", Rank::Notice, AlarmState::New)];
        ringer.silence(&both, 400_000);
        assert_eq!(ringer.next_ms(&both, again), Some(400_000 + SILENT_MS));
        assert_eq!(ringer.ring(&both, 400_000 + SILENT_MS - 1, again), None);
        let sounds = ringer.ring(&both, 400_000 + SILENT_MS, again).expect("it was never heard");
        assert_eq!(sounds.came, ["b"]);
    }

    #[test]
    fn an_unseen_alarm_sounds_at_once_and_again_until_it_is_seen() {
        let mut ringer = Ringer::default();
        let new = [alarm("a", Rank::Urgent, AlarmState::New)];
        let first = ringer.ring(&new, 0, again).expect("it sounds at once");
        assert_eq!(first.rank, Rank::Urgent);
        assert_eq!(first.fresh.as_deref(), Some("a"));
        assert_eq!(ringer.ring(&new, 9_999, again), None);
        assert_eq!(ringer.next_ms(&new, again), Some(10_000));
        let second = ringer.ring(&new, 10_000, again).expect("it sounds again");
        assert_eq!(second.fresh, None);
        let seen = [alarm("a", Rank::Urgent, AlarmState::Acknowledged)];
        assert_eq!(ringer.ring(&seen, 30_000, again), None);
        assert_eq!(ringer.next_ms(&seen, again), None);
        let last_ms = gathers_ms(Rank::Urgent);
        assert_eq!(ringer.ring(&new, 30_001, again), None, "so soon after the last it waits");
        assert_eq!(ringer.next_ms(&new, again), Some(last_ms));
        let back = ringer.ring(&new, last_ms, again).expect("back again, it is new again");
        assert!(back.fresh.is_some());
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
    fn what_came_is_told_once_and_by_rank() {
        let mut ringer = Ringer::default();
        let mut all = vec![
            alarm("a", Rank::Urgent, AlarmState::New),
            alarm("b", Rank::Notice, AlarmState::New),
        ];
        let ring = ringer.ring(&all, 0, again).expect("they sound");
        assert_eq!(ring.came, ["a", "b"]);
        assert_eq!(ring.ranks, [Rank::Urgent, Rank::Notice]);
        let ring = ringer.ring(&all, 10_000, again).expect("one sounds again");
        assert_eq!((ring.came.as_slice(), ring.ranks.as_slice()), (&[][..], &[Rank::Urgent][..]));
        all.push(alarm("c", Rank::Warning, AlarmState::New));
        let ring = ringer.ring(&all, 20_000, again).expect("with it one that is new");
        assert_eq!((ring.came, ring.fresh), (vec!["c".to_owned()], None));
    }

    #[test]
    fn silence_stops_the_sound_and_nothing_else() {
        let mut ringer = Ringer::default();
        let new = [alarm("a", Rank::Urgent, AlarmState::New)];
        assert!(ringer.ring(&new, 0, again).is_some());
        ringer.silence(&new, 1_000);
        assert_eq!(ringer.ring(&new, 20_000, again), None);
        assert_eq!(ringer.next_ms(&new, again), Some(1_000 + SILENT_MS));
        let two = [new[0].clone(), alarm("b", Rank::Urgent, AlarmState::New)];
        let gathered_ms = gathers_ms(Rank::Urgent);
        assert_eq!(ringer.next_ms(&two, again), Some(gathered_ms));
        let ring = ringer.ring(&two, gathered_ms, again).expect("a new one sounds");
        assert_eq!((ring.rank, ring.fresh.as_deref()), (Rank::Urgent, Some("b")));
        let seen = [alarm("b", Rank::Urgent, AlarmState::Acknowledged)];
        assert_eq!(ringer.ring(&seen, 200_000, again), None);
        assert!(ringer.ring(&new, 2 * gathered_ms, again).is_some(), "gone and back, it is new");
        ringer.silence(&new, 250_000);
        assert!(ringer.ring(&new, 250_000 + SILENT_MS, again).is_some(), "it ends by itself");
    }

    #[test]
    fn what_comes_up_meanwhile_sounds_with_what_sounds_anyway() {
        let mut ringer = Ringer::default();
        let mut all = vec![alarm("a", Rank::Urgent, AlarmState::New)];
        assert!(ringer.ring(&all, 0, again).is_some_and(|r| r.fresh.is_some()));
        all.push(alarm("b", Rank::Warning, AlarmState::New));
        assert_eq!(ringer.ring(&all, 1_000, again), None);
        let again_ = ringer.ring(&all, 10_000, again).expect("it sounds again");
        assert_eq!((again_.rank, again_.fresh), (Rank::Urgent, None));
        assert!(ringer.has_sounded("b"), "with the other");
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(48))]

        /// Alarms of any rank that come at any time, and a cook who sees some: never more than eight sounds of new
        /// ones in ten minutes, and none stays without its sound longer than it may be gathered.
        #[test]
        fn a_flood_is_heard_as_a_few_sounds(
            comes in prop::collection::vec((0_i64..1_800, 0_usize..3, 0_i64..600), 1..80),
        ) {
            let ranks = [Rank::Notice, Rank::Warning, Rank::Urgent];
            let mut ringer = Ringer::default();
            let mut fresh: Vec<i64> = Vec::new();
            for second in 0..2_600 {
                let there = |(_, (at, _, lasts)): &(usize, &(i64, usize, i64))| {
                    (*at..at + lasts).contains(&second)
                };
                let alarms: Vec<Alarm> = comes.iter().enumerate().filter(there)
                    .map(|(i, (_, rank, _))| alarm(&i.to_string(), ranks[*rank], AlarmState::New))
                    .collect();
                let now_ms = second * 1_000;
                let ring = ringer.ring(&alarms, now_ms, again);
                fresh.extend(ring.filter(|r| r.fresh.is_some()).map(|_| now_ms));
                for (i, (at, rank, _)) in comes.iter().enumerate().filter(there) {
                    let waited_ms = now_ms - at * 1_000;
                    let gathered = waited_ms < gathers_ms(ranks[*rank]);
                    prop_assert!(gathered || ringer.has_sounded(&i.to_string()));
                }
            }
            for window in fresh.windows(MOST_IN_TEN_MINUTES + 1) {
                prop_assert!(window[MOST_IN_TEN_MINUTES] - window[0] >= 600_000, "{:?}", fresh);
            }
        }
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

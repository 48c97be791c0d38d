//! Thousands of random evenings: a cook who forgets, slips, misreads and ignores,
//! by every guidance, with power cuts after which the program reads its journal
//! anew. Looked at from outside, minute by minute: no food passes a limit without
//! its warning before and its alarm at the limit, and a passed limit stays until
//! it is said what was done. However much goes wrong, no ten minutes have more
//! than a handful of sounds.
//!
//! The time out of finished food is added up here by another hand, from the marks
//! alone; of the program only what it shows is used.
//!
//!     cargo test --release --test alarm_evenings -- --ignored --nocapture

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use chrono::NaiveDate;
use potwatch::kitchen::{Clockface, Evening, StationKind, TimeOfDay};
use potwatch::live::ringer::Ringer;
use potwatch::live::sound::again_after_ms;
use potwatch::plan::Plan;
use potwatch::plan::planner::{Budget, reshuffle};
use potwatch::run::alarms::{MOST_IN_TEN_MINUTES, alarms, asks_what_was_done, gathers_ms};
use potwatch::run::event::{Answer, Clearing, PortionDid};
use potwatch::run::{
    Alarm, AlarmKind, AlarmState, Event, Mark, Rank, State, fold, holding, marks, measure,
    needs_reshuffle, prompts,
};
use potwatch::safety::{Profile, is_perishable};
use potwatch::store::load::load_builtin;

const MINUTE_MS: i64 = 60_000;

fn day() -> NaiveDate {
    NaiveDate::from_ymd_opt(2026, 10, 24).expect("a day")
}

fn at(time: &str) -> i64 {
    Clockface::fixed(day(), 0).ms_of(TimeOfDay::parse(time).expect("a time").0)
}

/// A linear congruential generator (Knuth's MMIX constants, from memory).
struct Dice(u64);

impl Dice {
    fn roll(&mut self, sides: u64) -> u64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % sides.max(1)
    }

    fn one_in(&mut self, sides: u64) -> bool {
        self.roll(sides) == 0
    }
}

/// How the cook is tonight: one in so many.
#[derive(Clone, Copy)]
struct Manner {
    /// Marks are forgotten for some minutes.
    late: u64,
    /// Marks about where food went are never made.
    never: u64,
    /// Something odd is marked in a minute.
    odd: u64,
    /// An alarm that could be seen or answered is left alone in a minute.
    ignores: u64,
    /// The power fails in a minute.
    cuts: u64,
    /// So many dishes.
    dishes: usize,
    /// At some time every station goes out at once, and all food is put on the counter.
    blackout: bool,
}

const ORDERLY: Manner =
    Manner { late: 40, never: 0, odd: 0, ignores: 0, cuts: 0, dishes: 5, blackout: false };
const FORGETFUL: Manner =
    Manner { late: 5, never: 8, odd: 40, ignores: 3, cuts: 150, dishes: 5, blackout: false };
/// Much is forgotten for good, stations fail, the whole menu is made, and whatever comes up is
/// seen within minutes, so that the next is new again: as many alarms as can be.
const DREADFUL: Manner =
    Manner { late: 2, never: 2, odd: 8, ignores: 1, cuts: 60, dishes: 99, blackout: true };

struct Party {
    state: State,
    marks: Vec<Mark>,
    dice: Dice,
    manner: Manner,
    /// Until when a thing that is due is not thought of, by its label.
    forgotten: BTreeMap<String, i64>,
    replanned_ms: i64,
    blackout_ms: Option<i64>,
    faults: Vec<String>,
}

/// What is looked at from outside.
#[derive(Default)]
struct Watcher {
    /// Keys of the alarms in the last look, and whether they were new.
    last: BTreeMap<String, AlarmState>,
    /// Since when each alarm is new.
    new_since: BTreeMap<String, i64>,
    /// What stood on the screen then.
    shown: Vec<Alarm>,
    /// Warnings of safety limits seen so far, by what they are about.
    warned: BTreeSet<String>,
    /// When an alarm came up: time and rank.
    rung: Vec<(i64, Rank, AlarmKind)>,
    /// What sounds, by the party's clock.
    ringer: Ringer,
    /// When new alarms sounded since the program began, and before.
    heard: Vec<i64>,
    heard_before: Vec<Vec<i64>>,
    /// Limits that were passed at the moment that a mark told of them.
    told_late: usize,
    passed: usize,
    missed_in_a_cut: usize,
}

impl Party {
    fn new(base: &Evening, seed: u64, manner: Manner) -> Self {
        let mut dice = Dice(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) + 1);
        (0..4).for_each(|_| _ = dice.roll(2));
        let ids: Vec<&str> = Profile::ids().collect();
        let mut evening = base.clone();
        evening.party.guidance = ids[dice.roll(ids.len() as u64) as usize].to_owned();
        let count = evening.sheets.len();
        let evening = Arc::new(evening);
        let mut party = Self {
            state: State::new(Arc::clone(&evening)),
            marks: Vec::new(),
            dice,
            manner,
            forgotten: BTreeMap::new(),
            replanned_ms: 0,
            blackout_ms: None,
            faults: Vec::new(),
        };
        if manner.blackout {
            let minutes = party.dice.roll(90) as i64;
            party.blackout_ms = Some(at("18:00") + minutes * MINUTE_MS);
        }
        let mut left: Vec<usize> = (0..count).collect();
        while left.len() > manner.dishes {
            let out = party.dice.roll(left.len() as u64) as usize;
            let dish = evening.sheets[left.remove(out)].id.clone();
            party.mark(at("13:00"), Event::DishDropped { dish });
        }
        party
    }

    fn mark(&mut self, at_ms: i64, event: Event) {
        let mark = Mark { seq: self.marks.len() as u64 + 1, at_ms, event };
        self.state.apply(&mark);
        self.marks.push(mark);
    }

    /// As the cook's key would: what the program refuses is not marked.
    fn try_mark(&mut self, at_ms: i64, event: Event) {
        let taken = match marks::check(&self.state, &event, at_ms) {
            Ok(()) => true,
            Err(refusal) => refusal.may_insist && self.dice.one_in(2),
        };
        if taken {
            self.mark(at_ms, event);
        }
    }

    fn replan(&mut self, now_ms: i64) {
        let soon = self.replanned_ms + 8 * MINUTE_MS > now_ms;
        if soon || needs_reshuffle(&self.state, now_ms).is_none() {
            return;
        }
        self.replanned_ms = now_ms;
        let budget = Budget { seed: 1, rounds: 1, stop: &|| false };
        let situation = self.state.situation(now_ms);
        let found = reshuffle(self.state.evening(), &situation, &budget, &mut |_: &Plan| ());
        if let Ok(plan) = found {
            let (moved, why) = (String::new(), String::new());
            self.mark(now_ms, Event::PlanAdopted { plan: Box::new(plan), moved, why });
        }
    }

    /// A minute of the cook's evening.
    fn minute(&mut self, now_ms: i64, shown: &[Alarm]) {
        self.replan(now_ms);
        if self.blackout_ms.is_some_and(|at| at <= now_ms) {
            self.blackout_ms = None;
            self.black_out(now_ms);
        }
        for _ in 0..4 {
            let Some(event) = self.due(now_ms) else { break };
            self.mark(now_ms, event);
        }
        if now_ms / MINUTE_MS % 2 == 0 {
            self.readings(now_ms);
        }
        self.see_to(now_ms, shown);
        if now_ms / MINUTE_MS % 3 == 0 {
            self.clear(now_ms);
        }
        if self.manner.odd > 0 && self.dice.one_in(self.manner.odd) {
            self.oddity(now_ms);
        }
        if self.manner.cuts > 0 && self.dice.one_in(self.manner.cuts) {
            self.cut(now_ms);
        }
    }

    fn thinks_of(&mut self, what: &str, now_ms: i64, may_forget: bool) -> bool {
        if let Some(until) = self.forgotten.get(what) {
            return *until <= now_ms;
        }
        let for_ever = may_forget && self.manner.never > 0 && self.dice.one_in(self.manner.never);
        let late = self.dice.one_in(self.manner.late);
        let minutes = match (for_ever, late) {
            (true, _) => 24 * 60,
            (_, true) => 1 + self.dice.roll(20) as i64,
            _ => 0,
        };
        self.forgotten.insert(what.to_owned(), now_ms + minutes * MINUTE_MS);
        minutes == 0
    }

    fn due(&mut self, now_ms: i64) -> Option<Event> {
        let mut items = prompts::items(&self.state, now_ms);
        items.retain(|i| i.free && i.prompt.due_ms <= now_ms);
        for item in items {
            let goes = matches!(item.event, Event::HeldAt { .. });
            let what = format!("{:?} {}", item.event, item.prompt.due_ms / (30 * MINUTE_MS));
            if self.thinks_of(&what, now_ms, goes) {
                return Some(item.event);
            }
        }
        None
    }

    fn readings(&mut self, now_ms: i64) {
        let wanted = measure::wanted(&self.state, now_ms);
        let Some(due) = wanted.into_iter().find(|m| m.due_ms <= now_ms) else { return };
        let what = format!("reading {} {:?} {}", due.dish, due.part, due.due_ms);
        if !self.thinks_of(&what, now_ms, true) {
            return;
        }
        // Mostly hot enough; now and then not, and now and then a slip of the unit.
        let celsius = match self.dice.roll(12) {
            0 if self.manner.odd > 0 => 40.0 + self.dice.roll(20) as f64,
            1 if self.manner.odd > 0 => 165.0,
            _ if due.why.starts_with("cooling") => 5.0 + self.dice.roll(50) as f64,
            _ => 76.0 + self.dice.roll(12) as f64,
        };
        let dish = self.state.evening().sheets[due.dish].id.clone();
        let event = match due.part {
            Some(part) => Event::Portion { dish, part, did: PortionDid::Temperature { celsius } },
            None => Event::Temperature { dish, celsius },
        };
        self.try_mark(now_ms, event);
    }

    /// The alarms of the last look; an orderly cook does what they say.
    fn see_to(&mut self, now_ms: i64, shown: &[Alarm]) {
        for alarm in shown {
            let ignores = self.manner.ignores > 0 && !self.dice.one_in(self.manner.ignores * 4);
            if ignores || alarm.raised_ms + MINUTE_MS > now_ms {
                continue;
            }
            let key = alarm.key.clone();
            let event = match (self.dice.roll(4), alarm.state) {
                (_, AlarmState::Acknowledged) if self.manner.ignores == 0 => {
                    let Some(event) = self.remedy(alarm) else { continue };
                    event
                }
                (0, _) if asks_what_was_done(alarm.kind) => {
                    let all = [Answer::Discarded, Answer::KeptKnowingly, Answer::WasNeverOut];
                    let how = all[self.dice.roll(3) as usize];
                    Event::AlarmAnswered { alarm: key, how }
                }
                (1, AlarmState::New) if self.manner.ignores > 0 => {
                    let until_ms = now_ms + (1 + self.dice.roll(15) as i64) * MINUTE_MS;
                    Event::AlarmPutOff { alarm: key, until_ms }
                }
                (_, AlarmState::New | AlarmState::Returned) => {
                    Event::AlarmAcknowledged { alarm: key }
                }
                _ => continue,
            };
            self.try_mark(now_ms, event);
        }
    }

    /// What is near its limit is put away or, past it, thrown out.
    fn remedy(&mut self, alarm: &Alarm) -> Option<Event> {
        let sheet = &self.state.evening().sheets[alarm.dish?];
        let dish = sheet.id.clone();
        match alarm.kind {
            AlarmKind::UnsafeSoon => Some(Event::Cleared { dish, how: Clearing::PutAway }),
            kind if asks_what_was_done(kind) => {
                Some(Event::AlarmAnswered { alarm: alarm.key.clone(), how: Answer::Discarded })
            }
            _ => None,
        }
    }

    /// What stands on the table is cleared after half an hour, or left there.
    fn clear(&mut self, now_ms: i64) {
        for entry in holding::board(&self.state, now_ms) {
            let away = entry.served && entry.since_ms + 30 * MINUTE_MS <= now_ms;
            let dropped = self.state.is_dropped(entry.dish);
            if !away && !dropped {
                continue;
            }
            let what = format!("clear {} {}", entry.dish, entry.since_ms);
            if !self.thinks_of(&what, now_ms, true) {
                continue;
            }
            let how = match self.dice.roll(3) {
                0 => Clearing::Eaten,
                1 => Clearing::PutAway,
                _ => Clearing::ThrownOut,
            };
            let dish = self.state.evening().sheets[entry.dish].id.clone();
            self.try_mark(now_ms, Event::Cleared { dish, how });
        }
    }

    /// A slip, a change of mind, or a fault.
    fn oddity(&mut self, now_ms: i64) {
        let evening = Arc::clone(self.state.evening());
        let sheet = &evening.sheets[self.dice.roll(evening.sheets.len() as u64) as usize];
        let stations = &evening.kitchen.stations;
        let station = stations[self.dice.roll(stations.len() as u64) as usize].clone();
        let dish = sheet.id.clone();
        let held = |place: StationKind, id: &str| Event::HeldAt {
            dish: dish.clone(),
            hold: None,
            place,
            station: Some(id.to_owned()),
        };
        let event = match self.dice.roll(12) {
            0 => Event::DishDropped { dish },
            1 => Event::DishBack { dish },
            2 => Event::StationDown { station: station.id },
            3 => Event::StationUp { station: station.id },
            4 => held(station.kind, &station.id),
            5 => Event::Served { dish },
            6 => Event::Temperature { dish, celsius: self.dice.roll(100) as f64 },
            7 => Event::AirMeasured { celsius: 20.0 + self.dice.roll(16) as f64 },
            8 => Event::Portion { dish, part: 1, did: PortionDid::Served },
            9 => Event::Portion {
                dish: dish.clone(),
                part: 1,
                did: PortionDid::JoinedTo { dish, part: None },
            },
            10 => Event::Undone { seq: self.marks.len() as u64 },
            _ => Event::OvenSet { station: station.id, celsius: 40 },
        };
        self.try_mark(now_ms, event);
    }

    /// Nothing has power any more, and what waits is put where it can be seen.
    fn black_out(&mut self, now_ms: i64) {
        let evening = Arc::clone(self.state.evening());
        let counter = evening.kitchen.stations.iter().find(|s| s.kind == StationKind::Counter);
        let powered = |kind| kind != StationKind::Counter;
        for station in evening.kitchen.stations.iter().filter(|s| powered(s.kind)) {
            self.try_mark(now_ms, Event::StationDown { station: station.id.clone() });
        }
        for dish in evening.sheets.iter().map(|s| s.id.clone()) {
            let station = counter.map(|c| c.id.clone());
            let place = StationKind::Counter;
            self.try_mark(now_ms, Event::HeldAt { dish, hold: None, place, station });
        }
    }

    /// The program is gone and reads its journal again, torn last line and all.
    fn cut(&mut self, now_ms: i64) {
        let lines: Vec<String> =
            self.marks.iter().map(|m| serde_json::to_string(m).expect("writes")).collect();
        let marks: Vec<Mark> =
            lines.iter().map(|l| serde_json::from_str(l).expect("reads")).collect();
        let again = fold(Arc::clone(self.state.party()), &marks);
        if alarms(&again, now_ms) != alarms(&self.state, now_ms) {
            self.faults.push(format!("{}: other alarms after a restart", clock(now_ms)));
        }
        self.state = again;
    }
}

fn clock(ms: i64) -> String {
    let minute = Clockface::fixed(day(), 0).minute_at(ms);
    format!("{:02}:{:02}", minute / 60, minute % 60)
}

fn about(key: &str) -> String {
    key.split(':').skip(1).take(2).collect::<Vec<_>>().join(":")
}

impl Watcher {
    /// One look; `quiet`: nothing was marked since the last one. `was_off`: since
    /// when the program had not been looking, if there was a gap.
    fn look(&mut self, party: &mut Party, now_ms: i64, new_marks: &[Mark], off_ms: i64) {
        let found = alarms(&party.state, now_ms);
        let clock = clock(now_ms);
        for alarm in &found {
            let fresh = alarm.state == AlarmState::New
                && self.last.get(&alarm.key) != Some(&AlarmState::New);
            if fresh {
                self.rung.push((now_ms, alarm.rank, alarm.kind));
            }
            if alarm.kind == AlarmKind::UnsafeSoon {
                self.warned.insert(about(&alarm.key));
            }
            if alarm.kind == AlarmKind::UnsafePast && !self.last.contains_key(&alarm.key) {
                self.passed += 1;
                let warned = self.warned.contains(&about(&alarm.key));
                match (warned, new_marks.is_empty(), off_ms > 1) {
                    (true, ..) => {}
                    (false, _, true) => self.missed_in_a_cut += 1,
                    (false, false, _) => self.told_late += 1,
                    _ => party.faults.push(format!("{clock}: {} without a warning", alarm.key)),
                }
            }
        }
        self.listen(party, &found, now_ms, off_ms > 1);
        self.check_stays(party, &found, new_marks, &clock);
        self.last = found.iter().map(|a| (a.key.clone(), a.state)).collect();
        self.shown = found;
    }

    /// What sounds: no alarm that is new stays without its sound for longer than it may be
    /// gathered with others.
    fn listen(&mut self, party: &mut Party, found: &[Alarm], now_ms: i64, was_off: bool) {
        if was_off {
            self.ringer = Ringer::default();
            self.heard_before.push(std::mem::take(&mut self.heard));
        }
        let ring = self.ringer.ring(found, now_ms, again_after_ms);
        self.heard.extend(ring.filter(|r| r.fresh.is_some()).map(|_| now_ms));
        for alarm in found.iter().filter(|a| a.state == AlarmState::New) {
            let was_new = self.last.get(&alarm.key) == Some(&AlarmState::New);
            let since = self.new_since.entry(alarm.key.clone()).or_insert(now_ms);
            if !was_new {
                *since = now_ms;
            }
            let sounded = self.ringer.has_sounded(&alarm.key);
            if !sounded && *since + gathers_ms(alarm.rank) <= now_ms {
                party.faults.push(format!("{}: {} makes no sound", clock(now_ms), alarm.key));
            }
        }
    }

    /// The most sounds of new alarms in any ten minutes of one run of the program.
    fn most_heard(&self) -> usize {
        let runs = self.heard_before.iter().chain([&self.heard]);
        let near = |run: &[i64], at: i64| {
            run.iter().filter(|ms| (at..at + 10 * MINUTE_MS).contains(*ms)).count()
        };
        runs.flat_map(|run| run.iter().map(|&at| near(run, at))).max().unwrap_or(0)
    }

    /// A passed limit is there until it is said what was done about it.
    fn check_stays(&self, party: &mut Party, found: &[Alarm], new_marks: &[Mark], clock: &str) {
        for key in self.last.keys().filter(|k| k.starts_with("unsafe_past:")) {
            let there = found.iter().any(|a| a.key == *key);
            if !there && !new_marks.iter().any(|m| explains(&m.event, key)) {
                let marked: Vec<&Event> = new_marks.iter().map(|m| &m.event).collect();
                party.faults.push(format!("{clock}: {key} went away: {marked:?}"));
            }
        }
    }
}

/// May a passed limit be gone after this?
fn explains(event: &Event, key: &str) -> bool {
    let id = key.split(':').nth(1).unwrap_or_default();
    match event {
        // Thrown out for one reason, it needs no answer to another.
        Event::AlarmAnswered { alarm, how } => {
            alarm == key || (*how == Answer::Discarded && about(alarm) == about(key))
        }
        Event::Cleared { dish, how } => dish == id && *how == Clearing::ThrownOut,
        Event::Portion { dish, did, .. } => {
            let joined = matches!(did, PortionDid::JoinedTo { .. });
            dish == id && (joined || *did == PortionDid::Cleared { how: Clearing::ThrownOut })
        }
        Event::Undone { .. } => true,
        _ => false,
    }
}

/// Minutes for which a finished dish was known to stand out, added up from the
/// marks alone: on the table, on the counter, or nobody said where.
#[derive(Default)]
struct Out {
    used_ms: i64,
    since_ms: Option<i64>,
}

/// Every dish, served and never kept hot or cold since: the least that is known
/// of its time out. Undone marks and parts make it nobody's guess: None.
fn on_the_table(marks: &[Mark], dish: &str, now_ms: i64) -> Option<i64> {
    let mut out = Out::default();
    for mark in marks {
        let place = match &mark.event {
            Event::Served { dish: d } if d == dish => Some(true),
            Event::HeldAt { dish: d, .. } if d == dish => Some(false),
            Event::Cleared { dish: d, .. } if d == dish => return None,
            Event::AlarmAnswered { alarm, .. } if about(alarm).starts_with(dish) => return None,
            Event::Undone { .. } => return None,
            _ => None,
        };
        match (place, out.since_ms) {
            (Some(true), None) => out.since_ms = Some(mark.at_ms),
            (Some(false), Some(since)) => {
                out.used_ms += mark.at_ms - since;
                out.since_ms = None;
            }
            _ => {}
        }
    }
    Some(out.used_ms + out.since_ms.map_or(0, |since| now_ms - since))
}

/// By every guidance, as long as its longest limit from cold allows (the UK's
/// and the Food Code's four hours included), a dish on the table is past it.
fn check_oracle(party: &mut Party, found: &[Alarm], now_ms: i64) {
    let evening = Arc::clone(party.state.evening());
    let profile = Profile::by_id(&evening.party.guidance).expect("known");
    let cold = profile.cold_start_rule.as_ref().map_or(0, |r| r.most.value_minutes);
    let most_ms = profile.room_rule.most.value_minutes.max(cold) * MINUTE_MS;
    for sheet in evening.sheets.iter() {
        let safety = &sheet.recipe.safety;
        if !is_perishable(safety.class, safety.exempt) {
            continue;
        }
        let out_ms = on_the_table(&party.marks, &sheet.id, now_ms).unwrap_or(0);
        let key = format!("unsafe_past:{}::", sheet.id);
        if out_ms >= most_ms && !found.iter().any(|a| a.key == key) {
            party.faults.push(format!("{}: {key} is not there", clock(now_ms)));
        }
    }
}

#[derive(Default)]
struct Figures {
    per_ten: Vec<usize>,
    heard: Vec<usize>,
    ranks: BTreeMap<Rank, usize>,
    kinds: BTreeMap<(Rank, AlarmKind), usize>,
    passed: usize,
    told_late: usize,
    missed_in_a_cut: usize,
}

/// Plays an evening; what was wrong comes back with the figures.
fn play(base: &Evening, seed: u64, manner: Manner, figures: &mut Figures) -> Vec<String> {
    let mut party = Party::new(base, seed, manner);
    let mut watcher = Watcher::default();
    let (mut seen, mut looked_ms) = (0, at("14:00"));
    let mut now_ms = at("14:00");
    while now_ms <= at("23:59") {
        // The marks of this minute are made on what the last look showed.
        party.minute(now_ms, &watcher.shown);
        let new_marks = seen_since(&party, &mut seen);
        watcher.look(&mut party, now_ms, &new_marks, (now_ms - looked_ms) / MINUTE_MS);
        if now_ms / MINUTE_MS % 5 == 0 {
            check_oracle(&mut party, &watcher.shown, now_ms);
        }
        looked_ms = now_ms;
        // A power cut may take its time.
        let off = manner.cuts > 0 && party.dice.one_in(manner.cuts);
        now_ms += if off { 1 + party.dice.roll(40) as i64 } else { 1 } * MINUTE_MS;
    }
    let buckets = 10 * 60 / 10;
    let count = |times: &mut dyn Iterator<Item = i64>| {
        let mut counts = vec![0; buckets];
        for ms in times {
            let bucket = ((ms - at("14:00")) / (10 * MINUTE_MS)) as usize;
            counts[bucket.min(buckets - 1)] += 1;
        }
        counts
    };
    figures.per_ten.extend(count(&mut watcher.rung.iter().map(|r| r.0)));
    let heard = watcher.heard_before.iter().chain([&watcher.heard]).flatten();
    figures.heard.extend(count(&mut heard.copied()));
    if watcher.most_heard() > MOST_IN_TEN_MINUTES {
        party.faults.push(format!("{} sounds in ten minutes", watcher.most_heard()));
    }
    for (_, rank, kind) in &watcher.rung {
        *figures.ranks.entry(*rank).or_default() += 1;
        *figures.kinds.entry((*rank, *kind)).or_default() += 1;
    }
    figures.passed += watcher.passed;
    figures.told_late += watcher.told_late;
    figures.missed_in_a_cut += watcher.missed_in_a_cut;
    if std::env::var("SHOW").is_ok() {
        for mark in party.marks.iter().filter(|m| !matches!(m.event, Event::PlanAdopted { .. })) {
            println!("{} {} {:?}", mark.seq, clock(mark.at_ms), mark.event);
        }
    }
    let guidance = party.state.evening().party.guidance.clone();
    party.faults.into_iter().map(|f| format!("seed {seed} ({guidance}) {f}")).collect()
}

fn seen_since(party: &Party, seen: &mut usize) -> Vec<Mark> {
    let new = party.marks[*seen..].to_vec();
    *seen = party.marks.len();
    let of_cook = |m: &Mark| !matches!(m.event, Event::PlanAdopted { .. });
    new.into_iter().filter(of_cook).collect()
}

impl Figures {
    fn print(&mut self, what: &str, evenings: u64) {
        let line = |counts: &mut Vec<usize>| {
            counts.sort_unstable();
            let at = |share: usize| counts[(counts.len() - 1) * share / 100];
            let mean = counts.iter().sum::<usize>() as f64 / counts.len() as f64;
            format!("mean {mean:.2}, median {}, 95th {}, worst {}", at(50), at(95), at(100))
        };
        println!("{what}, {evenings} evenings, in ten minutes: {}", line(&mut self.per_ten));
        println!("  as they are heard: {}", line(&mut self.heard));
        let all = self.ranks.values().sum::<usize>().max(1) as f64;
        for (rank, count) in &self.ranks {
            println!("  {rank:?}: {count} ({:.0} %)", *count as f64 * 100.0 / all);
            for ((_, kind), count) in self.kinds.iter().filter(|(at, _)| at.0 == *rank) {
                println!("    {kind:?}: {count}");
            }
        }
        println!(
            "  limits passed: {}, of them told of by a mark when it was too late: {}, warned of \
             while the program was off: {}",
            self.passed, self.told_late, self.missed_in_a_cut
        );
    }
}

fn run(evenings: u64, manner: Manner, what: &str) -> Figures {
    let base = load_builtin(Clockface::fixed(day(), 0)).expect("the demo loads");
    let mut figures = Figures::default();
    let mut faults = Vec::new();
    let first = std::env::var("FIRST").ok().and_then(|n| n.parse().ok()).unwrap_or(0);
    for seed in first..first + evenings {
        faults.extend(play(&base, seed, manner, &mut figures));
        if faults.len() > 20 {
            break;
        }
    }
    assert!(faults.is_empty(), "{what}: {faults:#?}");
    figures.print(what, evenings);
    figures
}

/// How many, unless the environment says another number. `FIRST` says which is the first;
/// with `SHOW` the marks are printed.
fn evenings(usual: u64) -> u64 {
    std::env::var("EVENINGS").ok().and_then(|n| n.parse().ok()).unwrap_or(usual)
}

#[test]
fn no_limit_passes_unannounced_in_random_evenings() {
    let figures = run(evenings(12), FORGETFUL, "forgetful");
    assert!(figures.passed > 0, "nobody forgot anything");
}

/// The power fails, stations die, half is forgotten: many alarms come at once and reach the cook as
/// a few, and still no limit lacks its warning and its alarm.
#[test]
fn a_dreadful_evening_is_no_flood() {
    let figures = run(evenings(4), DREADFUL, "dreadful");
    assert!(figures.per_ten.iter().max() > figures.heard.iter().max(), "nothing was told together");
}

/// Evenings that went wrong once: a limit without a warning, a passed one that
/// went away, a bundle that hid one.
#[test]
fn what_went_wrong_once_goes_right() {
    let base = load_builtin(Clockface::fixed(day(), 0)).expect("the demo loads");
    for seed in [1214, 5149, 9036] {
        let faults = play(&base, seed, FORGETFUL, &mut Figures::default());
        assert!(faults.is_empty(), "{faults:#?}");
    }
}

/// The published figure: about one alarm in ten minutes is very likely
/// acceptable (a textbook's account of ISA-18.2 and IEC 62682; not seen).
#[test]
fn an_orderly_cook_is_disturbed_less_than_once_in_ten_minutes() {
    let figures = run(evenings(6), ORDERLY, "orderly");
    let mean = figures.per_ten.iter().sum::<usize>() as f64 / figures.per_ten.len() as f64;
    assert!(mean < 1.0, "{mean}");
}

#[test]
#[ignore = "ten thousand evenings: some minutes of a release build"]
fn ten_thousand_evenings() {
    let evenings = evenings(10_000);
    run(evenings, FORGETFUL, "forgetful");
    run(evenings / 10, ORDERLY, "orderly");
    run(evenings / 10, DREADFUL, "dreadful");
}

//! How long each dish has been neither hot nor cold, from the marks.
//!
//! A dish is followed from its first perishable thing on the counter, through
//! its steps and the waits between them, to wherever it was put when finished.
//! Where the marks leave a choice, the stricter reading counts: a finished dish
//! whose place was not marked stands at room temperature, and a dish whose
//! parts are made apart is out whenever one of them is. A step on the heat ends
//! what went before it; the clock of what is cooked starts when it comes off.

mod left;
mod making;

pub use left::{is_there, is_thrown_out_unfinished};
use making::{made_stretches, merged};

use super::event::{Answer, Clearing};
use super::portions;
use super::state::{MINUTE_MS, Run, State, StationMark, Whereabouts};
use crate::kitchen::{HoldClass, StationKind};
use crate::order::InOrder;
use crate::plan::StepKey;
use crate::safety::{
    ClockMeaning, ClockState, Control, FoodEvent, Profile, RoomClock, Standing, is_perishable,
    setting_holds,
};

/// A food that is looked after by itself: the rest of a dish, or a part of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Food {
    /// Index of the dish.
    pub dish: usize,
    /// Which part; none: what was not taken off.
    pub part: Option<u32>,
}

impl Food {
    /// A dish, or the rest of it.
    #[must_use]
    pub fn whole(dish: usize) -> Self {
        Self { dish, part: None }
    }
}

/// How a dish is kept from some moment on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Keeping {
    /// Under control.
    In(Control),
    /// At room temperature.
    Out,
    /// Eaten or thrown out.
    Gone(Clearing),
}

/// What the guidance's clock must know of a dish.
#[derive(Debug, Clone, PartialEq)]
pub struct Story {
    /// In order of time, the readings last.
    pub events: Vec<FoodEvent>,
    /// When it was eaten or thrown out.
    pub ended: Option<(i64, Clearing)>,
}

/// Food that goes from its last step straight into its hold is under
/// way for at most so long (unix ms). Common practice, no source.
const CARRIED_MS: i64 = 5 * MINUTE_MS;

/// The guidance of the party; the strictest built-in one if its name is unknown.
#[must_use]
pub fn profile(state: &State) -> Option<&'static Profile> {
    let named = Profile::by_id(&state.evening().party.guidance);
    let shortest = || Profile::all().iter().min_by_key(|p| p.room_rule.most.value_minutes);
    named.or_else(shortest)
}

/// The guidance that the evening went by at a time.
#[must_use]
pub fn profile_at(state: &State, at_ms: i64) -> Option<&'static Profile> {
    let changed = state.facts().guidance.iter().filter(|(ms, _)| *ms <= at_ms);
    let id = changed.max_by_key(|(ms, _)| *ms).map(|(_, id)| id.as_str());
    let first = state.party().party.guidance.as_str();
    Profile::by_id(id.unwrap_or(first)).or_else(|| profile(state))
}

/// How the clock of a dish (what was not taken off, and what was put together
/// with it) stands at `now_ms`, or stood when it was eaten or thrown out; None
/// if it is not perishable or not begun. That a dish is not made after all
/// takes nothing off the counter: its clock goes on.
#[must_use]
pub fn standing(state: &State, dish: usize, now_ms: i64) -> Option<Standing> {
    standing_of(state, Food::whole(dish), now_ms)
}

/// As [`standing`], for any food: of all that was put together in it, the most
/// pressing.
#[must_use]
pub fn standing_of(state: &State, food: Food, now_ms: i64) -> Option<Standing> {
    let foods = portions::together(state, food).into_iter();
    foods.filter_map(|f| standing_alone(state, f, now_ms)).reduce(more_pressing)
}

/// Of two clocks of the same food: what counts is the first limit that was
/// passed, else the first that will be, and the first warning. So no clock that
/// joins, and none that moves on, makes a limit or a warning later.
fn more_pressing(a: Standing, b: Standing) -> Standing {
    let is_over = |s: &Standing| s.state == ClockState::Over;
    let rank = |s: &Standing| {
        let limit = s.limit_ms.unwrap_or(i64::MAX);
        (is_over(s), std::cmp::Reverse(limit), s.is_out, s.used_ms)
    };
    let used_ms = a.used_ms.max(b.used_ms);
    let warn_ms = [a.warn_ms, b.warn_ms].into_iter().flatten().min();
    let (state, is_out) = (a.state.max(b.state), a.is_out || b.is_out);
    let may_go_back = a.may_go_back && b.may_go_back;
    let worse = if rank(&b) > rank(&a) { b } else { a };
    Standing { used_ms, warn_ms, state, is_out, may_go_back, ..worse }
}

fn standing_alone(state: &State, food: Food, now_ms: i64) -> Option<Standing> {
    // What was marked for later than now has happened: a clock ran backwards.
    standing_known(state, food, now_ms, i64::MAX)
}

/// As [`standing_alone`], from what happened up to `until_ms` alone.
fn standing_known(state: &State, food: Food, now_ms: i64, until_ms: i64) -> Option<Standing> {
    let asked = (food, now_ms, until_ms);
    state.memo.standing(asked, || standing_worked_out(state, asked))
}

fn standing_worked_out(
    state: &State,
    (food, now_ms, until_ms): (Food, i64, i64),
) -> Option<Standing> {
    let safety = &state.sheet(food.dish)?.recipe.safety;
    if !is_perishable(safety.class, safety.exempt) {
        return None;
    }
    let profile = profile(state)?;
    let air_c = f64::from(state.party().party.room_c);
    let of_story = story_of(state, food, now_ms).map(|story| {
        let at_ms = story.ended.map_or(now_ms, |(at_ms, _)| at_ms.min(now_ms));
        let mut clock = clock_of(state, profile, food.dish, air_c);
        let known = story.events.into_iter().filter(|e| e.at_ms() <= until_ms);
        known.chain(air(state, at_ms)).for_each(|e| clock.add(e));
        clock.at(at_ms)
    });
    match (of_story, of_making(state, food, now_ms)) {
        (Some(a), Some(b)) => Some(more_pressing(a, b)),
        (a, b) => a.or(b),
    }
}

/// A clock by the rule that was chosen for the dish, if the guidance has it.
fn clock_of(
    state: &State,
    profile: &'static Profile,
    dish: usize,
    air_c: f64,
) -> RoomClock<'static> {
    let chosen = state.facts().rules.get(&dish);
    let by_rule = chosen.and_then(|(_, rule)| RoomClock::by_rule(profile, rule, air_c));
    by_rule.unwrap_or_else(|| RoomClock::new(profile, air_c))
}

/// Is it one of the rules that can be chosen for a food?
#[must_use]
pub fn rule_known(state: &State, rule: &str) -> bool {
    profile(state).is_some_and(|p| p.chosen_rules.iter().any(|r| r.id == rule))
}

/// Does the clock of a dish run, or has it run? Preparation apart, where the
/// guidance counts it apart.
#[must_use]
pub fn has_left_control(state: &State, dish: usize, now_ms: i64) -> bool {
    let Some(profile) = profile(state) else { return false };
    let Some(story) = story(state, dish, now_ms) else { return false };
    let mut clock = RoomClock::new(profile, f64::from(state.party().party.room_c));
    story.events.into_iter().for_each(|e| clock.add(e));
    let standing = clock.at(now_ms);
    standing.used_ms > 0 || standing.limit_ms.is_some()
}

/// The air as it was measured up to `now_ms`.
fn air(state: &State, now_ms: i64) -> impl Iterator<Item = FoodEvent> {
    let known = state.facts().air.iter().filter(move |r| r.at_ms <= now_ms);
    known.map(|r| FoodEvent::Air { at_ms: r.at_ms, celsius: r.celsius })
}

/// Under a rule whose clock counts one occasion, the minutes of preparation
/// have a clock of their own, up to when the dish was finished: they are no
/// such occasion, but neither may they be without end.
fn of_making(state: &State, food: Food, now_ms: i64) -> Option<Standing> {
    let profile = profile(state)?;
    if !counts_once(profile.room_rule.meaning) {
        return None;
    }
    let over_ms = made_by_ms(state, food, now_ms);
    let at_ms = over_ms.map_or(now_ms, |over| over.min(now_ms));
    // When the dish is finished, so is its preparation.
    let is_over = over_ms.is_some_and(|over| over <= now_ms);
    let from_ms = never_out_ms(state, food).unwrap_or(i64::MIN);
    let mut clock = RoomClock::of_preparation(profile, f64::from(state.party().party.room_c));
    let begun = |from: i64| from < at_ms || (from == at_ms && !is_over);
    let made = merged(made_stretches(state, food, now_ms)).into_iter();
    let mut out = false;
    for (from, to) in made.filter(|s| s.1 > from_ms && begun(s.0)) {
        out = true;
        clock.add(FoodEvent::Out { at_ms: from.max(from_ms) });
        if to < at_ms || is_over {
            let to = to.min(at_ms);
            clock.add(FoodEvent::Back { at_ms: to, to: Control::Cold });
        }
    }
    air(state, at_ms).for_each(|e| clock.add(e));
    out.then(|| clock.at(at_ms))
}

/// By when nothing of a food was being made any more: its last load was over, or
/// it was thrown out. A part was taken off what was finished by then.
fn made_by_ms(state: &State, food: Food, now_ms: i64) -> Option<i64> {
    if food.part.is_some() {
        return state.out_ms(food.dish, now_ms);
    }
    let thrown = || match phases_of(state, food, now_ms).last() {
        Some((at_ms, Keeping::Gone(_))) => Some(*at_ms),
        _ => None,
    };
    let gone = || left::gone_ms(state, food, now_ms).map(|g| g.0);
    state.ready_ms(food.dish, now_ms).or_else(gone).or_else(thrown)
}

/// The safety limit that a food has passed by `now_ms`, if it has and nothing
/// was done about it since: the clock as it stands, or as it stood when heat
/// ended it. Heating again does not make good what stood too long.
#[must_use]
pub fn passed(state: &State, food: Food, now_ms: i64) -> Option<Standing> {
    let is_open = |s: &Standing| {
        let limit_ms = s.limit_ms.unwrap_or(i64::MIN);
        s.state == ClockState::Over && !is_answered(state, food, limit_ms)
    };
    // The first limit that was passed stands until something is said of it; one passed later does
    // not take its place.
    making::heatings(state, food.dish, now_ms)
        .into_iter()
        .find_map(|at_ms| standing_known(state, food, at_ms, at_ms).filter(is_open))
        .or_else(|| standing_of(state, food, now_ms).filter(is_open))
}

/// Has the cook said what was done about a limit? What was said before a part
/// was taken off is said of the part too.
pub fn is_answered(state: &State, food: Food, limit_ms: i64) -> bool {
    let portion = food.part.and_then(|part| state.facts().portions.get(&(food.dish, part)));
    let of_whole = portion
        .into_iter()
        .flat_map(|p| answers(state, Food::whole(food.dish)).filter(|a| a.0 <= p.from_ms));
    let mut all = answers(state, food).chain(of_whole);
    all.any(|(at_ms, how)| how != Answer::WasNeverOut && at_ms >= limit_ms)
}

/// The food that an alarm about a safety limit is about.
#[must_use]
pub fn of_alarm(state: &State, key: &str) -> Option<Food> {
    let mut parts = key.split(':');
    if !matches!(parts.next(), Some("unsafe_past" | "undercooked" | "cooling_missed")) {
        return None;
    }
    let dish = state.evening().dish_index(parts.next()?)?;
    let part = parts.next().and_then(|p| p.strip_prefix("part")?.parse().ok());
    Some(Food { dish, part })
}

/// What happened to a dish, for the guidance's clock; None if nothing of it is
/// there yet.
#[must_use]
pub fn story(state: &State, dish: usize, now_ms: i64) -> Option<Story> {
    story_of(state, Food::whole(dish), now_ms)
}

/// As [`story`], for any food, by itself.
#[must_use]
pub fn story_of(state: &State, food: Food, now_ms: i64) -> Option<Story> {
    let dish = food.dish;
    let mut made = made_stretches(state, food, now_ms);
    let mut phases = phases_of(state, food, now_ms);
    let first_ms = phases.first().map_or(i64::MAX, |p| p.0);
    if profile(state).is_some_and(|p| counts_once(p.room_rule.meaning)) {
        carry(state, dish, &mut phases);
        // What went from the counter into its place to wait was being prepared.
        let kept = matches!(phases.first(), Some((_, Keeping::In(_))));
        made.retain(|s| s.1 >= first_ms.min(now_ms) && !kept);
    }
    if made.is_empty() && phases.is_empty() {
        return None;
    }
    let gone = left::gone_ms(state, food, now_ms);
    // What the cook says was never out counts from that word on.
    let from_ms = never_out_ms(state, food).unwrap_or(i64::MIN);
    let mut events = Vec::new();
    let made: Vec<_> = merged(made).into_iter().filter(|s| s.1 > from_ms).collect();
    for &(from, to) in &made {
        events.push(FoodEvent::Out { at_ms: from.max(from_ms) });
        if to < now_ms.min(gone.map_or(i64::MAX, |g| g.0)) && to < first_ms {
            events.push(FoodEvent::Back { at_ms: to, to: Control::Cold });
        }
    }
    let ended = follow(&phases, from_ms, &mut events).or(gone);
    if food.part.is_none() {
        not_back_before_it_is_made(&made, &phases, now_ms, &mut events);
    }
    let taken = portions::taken(state, food);
    let since_ms = first_ms.max(from_ms);
    let until_ms = ended.map_or(now_ms, |e| e.0.min(now_ms));
    let finished = taken.iter().filter(|r| r.at_ms >= since_ms && r.at_ms <= until_ms);
    // A reading of the moment in which it was put somewhere is of that place.
    let moved = |at_ms: i64| phases.iter().any(|p| p.0 == at_ms);
    events.extend(finished.map(|r| FoodEvent::Food {
        at_ms: r.at_ms + i64::from(moved(r.at_ms)),
        celsius: r.celsius,
    }));
    Some(Story { events, ended })
}

/// Does one moment out of control settle the limit for good? Then what was on
/// the counter while it was prepared and went on to the heat or the fridge is
/// not such a moment: the hold limits do not bind during preparation, cooking
/// and cooling (FDA Food Code 2022, 3-501.16(A)).
fn counts_once(meaning: ClockMeaning) -> bool {
    matches!(meaning, ClockMeaning::OneEpisodeThenDiscard | ClockMeaning::OneOccasion)
}

/// Nor is the way from the heat, the fridge or the board straight into the hold.
fn carry(state: &State, dish: usize, phases: &mut Vec<(i64, Keeping)>) {
    let [(out_ms, Keeping::Out), (held_ms, Keeping::In(_)), ..] = phases.as_slice() else {
        return;
    };
    let (out_ms, held_ms) = (*out_ms, *held_ms);
    let step = state.sheet(dish).map_or(0, crate::kitchen::Sheet::last_step);
    let begun = state.facts().progress.contains_key(&StepKey { dish, step, load: 0 });
    if begun && held_ms - out_ms <= CARRIED_MS {
        phases.remove(0);
        if let Some(first) = phases.first_mut() {
            first.0 = out_ms;
        }
    }
}

/// Adds what happened to a finished dish from `from_ms` on; tells when and how
/// it ended, if it did.
fn follow(
    phases: &[(i64, Keeping)],
    from_ms: i64,
    events: &mut Vec<FoodEvent>,
) -> Option<(i64, Clearing)> {
    let mut ended = None;
    for (i, (at_ms, kept)) in phases.iter().enumerate() {
        if phases.get(i + 1).is_some_and(|next| next.0 <= from_ms) {
            continue;
        }
        let at_ms = (*at_ms).max(from_ms);
        // Brought back after it was gone: nobody knows where it was meanwhile.
        ended = None;
        match kept {
            Keeping::Gone(how) => ended = Some((at_ms, *how)),
            Keeping::Out => events.push(FoodEvent::Out { at_ms }),
            Keeping::In(to) => events.push(FoodEvent::Back { at_ms, to: *to }),
        }
    }
    ended
}

/// While a load of it waits on the counter to be made, a dish is out, wherever
/// its first loads went; then it is where those are.
fn not_back_before_it_is_made(
    made: &[making::Stretch],
    phases: &[(i64, Keeping)],
    now_ms: i64,
    events: &mut Vec<FoodEvent>,
) {
    let on_the_counter = |at_ms: i64| made.iter().any(|s| (s.0..s.1).contains(&at_ms));
    events.retain(|e| !matches!(e, FoodEvent::Back { at_ms, .. } if on_the_counter(*at_ms)));
    for &(_, at_ms) in made.iter().filter(|s| s.1 < now_ms) {
        if let Some((_, Keeping::In(to))) = phases.iter().rev().find(|p| p.0 <= at_ms) {
            events.push(FoodEvent::Back { at_ms, to: *to });
        }
    }
}

/// How a finished dish is kept, from when on. The first is when it was out.
#[must_use]
pub fn phases(state: &State, dish: usize, now_ms: i64) -> Vec<(i64, Keeping)> {
    phases_of(state, Food::whole(dish), now_ms)
}

/// As [`phases`], for any food. What was marked after `now_ms` is not known yet.
#[must_use]
pub fn phases_of(state: &State, food: Food, now_ms: i64) -> Vec<(i64, Keeping)> {
    let dish = food.dish;
    let Some(out_ms) = state.out_ms(dish, now_ms) else { return Vec::new() };
    let warm = is_warm(state, dish);
    let mut phases = Vec::new();
    at_its_station(state, dish, warm).enter(state, out_ms, now_ms, &mut phases);
    for (of, stay) in &portions::stays_by(state, food) {
        let place = match &stay.at {
            Whereabouts::Held { hold, place, station } => {
                held_as(state, *of, *hold, *place, station.as_deref(), warm)
            }
            Whereabouts::Table => Place::without_station(Keeping::Out),
            Whereabouts::Gone(Clearing::PutAway) => Place {
                class: HoldClass::Cold,
                ..Place::without_station(Keeping::In(chilled(warm)))
            },
            Whereabouts::Gone(how) => Place::without_station(Keeping::Gone(*how)),
        };
        let at_ms = stay.at_ms.max(out_ms);
        // Of several marks for one instant the last one counts.
        phases.retain(|p| p.0 < at_ms);
        place.enter(state, at_ms, now_ms, &mut phases);
    }
    phases
}

/// A place that keeps food as `keeping` says, as long as its station does.
struct Place<'a> {
    keeping: Keeping,
    station: Option<&'a str>,
    class: HoldClass,
    /// The setting that was meant, if the dial was never marked, °C.
    planned_c: Option<i32>,
}

impl Place<'_> {
    fn without_station(keeping: Keeping) -> Self {
        Self { keeping, station: None, class: HoldClass::Room, planned_c: None }
    }

    /// Notes that food came here: kept as the place keeps it, and out from the
    /// moment at which its station failed. Only a new mark brings it back.
    fn enter(&self, state: &State, at_ms: i64, now_ms: i64, phases: &mut Vec<(i64, Keeping)>) {
        let failed_ms = match self.keeping {
            Keeping::In(_) => self.fails_ms(state, at_ms).filter(|ms| *ms <= now_ms.max(at_ms)),
            _ => None,
        };
        match failed_ms {
            Some(failed_ms) if failed_ms <= at_ms => phases.push((at_ms, Keeping::Out)),
            Some(failed_ms) => {
                phases.push((at_ms, self.keeping));
                phases.push((failed_ms, Keeping::Out));
            }
            None => phases.push((at_ms, self.keeping)),
        }
    }

    /// The first moment from `from_ms` on at which the station was out of use or
    /// set to what does not hold.
    fn fails_ms(&self, state: &State, from_ms: i64) -> Option<i64> {
        let profile = profile(state)?;
        let holds = |c: Option<i32>| setting_holds(profile, self.class, c.map(f64::from));
        let log = self.station.and_then(|id| state.facts().station_log.get(id));
        let mut log: Vec<(i64, StationMark)> = log.cloned().unwrap_or_default();
        log.order_by_key(|m| m.0);
        let (mut down, mut set_c) = (false, self.planned_c);
        for (_, mark) in log.iter().filter(|m| m.0 <= from_ms) {
            match mark {
                StationMark::Down => down = true,
                StationMark::Up => down = false,
                StationMark::Set(celsius) => set_c = Some(*celsius),
            }
        }
        if down || !holds(set_c) {
            return Some(from_ms);
        }
        let fails = |mark: &StationMark| match mark {
            StationMark::Down => true,
            StationMark::Up => false,
            StationMark::Set(celsius) => !holds(Some(*celsius)),
        };
        log.iter().find(|(at_ms, mark)| *at_ms > from_ms && fails(mark)).map(|m| m.0)
    }
}

/// How a dish is kept that is finished and has not been moved.
fn at_its_station(state: &State, dish: usize, warm: bool) -> Place<'_> {
    let out = Place::without_station(Keeping::Out);
    let Some(step) = state.sheet(dish).map(crate::kitchen::Sheet::last_step) else { return out };
    let key = StepKey { dish, step, load: 0 };
    let Some(progress) = state.facts().progress.get(&key) else { return out };
    let Some(run) = progress.run() else { return out };
    let chills = state.evening().station(&run.station).is_some_and(|s| s.kind.chills());
    // Marked done, it was taken out; when it ends by itself it stays there.
    let nominal_ms = state.nominal_end_ms(key, run);
    let left_there =
        state.ends_by_itself(key, run.way) && progress.end_ms().is_none_or(|end| nominal_ms == end);
    if !chills || !left_there {
        return out;
    }
    let station = Some(run.station.as_str());
    let keeping = Keeping::In(chilled(warm));
    Place { keeping, station, class: HoldClass::Cold, planned_c: None }
}

fn held_as<'a>(
    state: &State,
    dish: usize,
    hold: Option<usize>,
    kind: StationKind,
    station: Option<&'a str>,
    warm: bool,
) -> Place<'a> {
    let class = state.class_of(dish, hold, kind);
    let planned_c = hold.and_then(|h| state.sheet(dish)?.recipe.holds.get(h)?.at_c);
    let keeping = match class {
        HoldClass::Hot => Keeping::In(Control::Hot),
        HoldClass::Cold => Keeping::In(chilled(warm)),
        HoldClass::Room => Keeping::Out,
    };
    Place { keeping, station, class, planned_c: planned_c.filter(|_| kind.heats()) }
}

fn chilled(warm: bool) -> Control {
    if warm { Control::Chilling } else { Control::Cold }
}

/// Was any of it on the heat?
fn is_warm(state: &State, dish: usize) -> bool {
    let loads = state.facts().progress.iter().filter(|(key, _)| key.dish == dish);
    loads.filter_map(|(_, p)| p.run()).any(|run| heats(state, run))
}

/// Is a run on the heat?
#[must_use]
pub fn heats(state: &State, run: &Run) -> bool {
    state.evening().station(&run.station).is_some_and(|s| s.kind.heats())
}

/// When the cook said that a food had never been out.
fn never_out_ms(state: &State, food: Food) -> Option<i64> {
    answers(state, food).filter(|a| a.1 == Answer::WasNeverOut).map(|a| a.0).max()
}

/// What the cook answered to the passed limits of a food, and when.
pub fn answers(state: &State, food: Food) -> impl Iterator<Item = (i64, Answer)> {
    let handled = state.facts().handled.iter();
    handled
        .filter(|(key, _)| key.starts_with("unsafe_past:"))
        .filter(move |(key, _)| of_alarm(state, key) == Some(food))
        .filter_map(|(_, h)| h.answered)
}

#[cfg(test)]
mod tests;

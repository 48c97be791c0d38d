//! The holding board: every finished dish that waits or stands on the table,
//! how long it is at its best, and how long it may be eaten.

use super::food::{self, Food, Keeping};
use super::portions;
use super::state::{MINUTE_MS, State, Whereabouts};
use super::view::{Countdown, Holding, Limit};
use super::words;
use crate::kitchen::{Hold, HoldClass};
use crate::order::InOrder;
use crate::safety::{ClockState, Control, Standing, judge};

/// A limit of taste this near is shown as near, minutes. Our choice.
const BEST_SOON: i64 = 5;

/// Dishes that wait, nearest limit first.
#[must_use]
pub fn board(state: &State, now_ms: i64) -> Vec<Holding> {
    let dishes = 0..state.evening().sheets.len();
    let mut board: Vec<Holding> = dishes.filter_map(|d| entry(state, d, now_ms)).collect();
    let nearest = |h: &Holding| {
        let limits = [h.best.at_ms, h.safe.at_ms];
        limits.into_iter().flatten().min().unwrap_or(i64::MAX)
    };
    board.order_by_key(|h| (nearest(h), h.dish));
    board
}

/// Parts of dishes that went their own way and are still there.
#[must_use]
pub fn portions(state: &State, now_ms: i64) -> Vec<Holding> {
    let parts = state.facts().portions.keys().map(|&(dish, part)| (dish, part));
    parts.filter_map(|(dish, part)| portion(state, dish, part, now_ms)).collect()
}

fn portion(state: &State, dish: usize, part: u32, now_ms: i64) -> Option<Holding> {
    if state.portion_is_gone((dish, part)) {
        return None;
    }
    let food = Food { dish, part: Some(part) };
    let (since_ms, keeping) = food::phases_of(state, food, now_ms).last().copied()?;
    let last = portions::stays(state, food).pop().map(|s| s.at);
    let served = matches!(last, Some(Whereabouts::Table));
    let place = match &last {
        Some(Whereabouts::Held { station: Some(id), .. }) => words::station(state.evening(), id),
        Some(Whereabouts::Held { place, .. }) => words::kind(*place).to_owned(),
        _ if served => "table".to_owned(),
        _ => place(state, dish, false),
    };
    let standing = food::standing_of(state, food, now_ms);
    let safe = safe_by(state, dish, standing.as_ref());
    let taken = portions::taken(state, food);
    let best = Limit { at_ms: None, state: Countdown::Fine, why: "a part of the dish".to_owned() };
    Some(Holding {
        dish,
        part: Some(part),
        place,
        class: class_of(keeping),
        served,
        since_ms,
        best,
        safe,
        taken: taken.iter().rev().find(|r| r.at_ms <= now_ms).map(|r| (r.celsius, r.at_ms)),
        advice: standing.map_or_else(String::new, |s| s.advice),
    })
}

fn class_of(keeping: Keeping) -> HoldClass {
    match keeping {
        Keeping::In(Control::Hot) => HoldClass::Hot,
        Keeping::In(Control::Cold | Control::Chilling) => HoldClass::Cold,
        Keeping::Out | Keeping::Gone(_) => HoldClass::Room,
    }
}

/// A dish on the board; None if it is gone, or not finished. What was begun of a
/// dish that was dropped is there too.
#[must_use]
pub fn entry(state: &State, dish: usize, now_ms: i64) -> Option<Holding> {
    if state.is_gone(dish) {
        return None;
    }
    let phases = food::phases(state, dish, now_ms);
    let Some((since_ms, keeping)) = phases.last().copied() else {
        return left_over(state, dish, now_ms);
    };
    let served = matches!(state.last_stay(dish).map(|s| &s.at), Some(Whereabouts::Table));
    let (best, safe) = (best(state, dish, now_ms), safe(state, dish, now_ms));
    let class = class_of(keeping);
    let readings = state.facts().taken.get(&dish).map(Vec::as_slice).unwrap_or_default();
    let taken = readings.iter().rev().find(|r| r.at_ms <= now_ms).map(|r| (r.celsius, r.at_ms));
    let advice = advice(state, dish, now_ms, served, &best, &safe);
    let place = place(state, dish, served);
    Some(Holding { dish, part: None, place, class, served, since_ms, best, safe, taken, advice })
}

/// What was begun of a dish before it was dropped.
fn left_over(state: &State, dish: usize, now_ms: i64) -> Option<Holding> {
    let dropped_ms = *state.facts().dropped.get(&dish)?;
    if !food::is_there(state, dish, now_ms) {
        return None;
    }
    let stay = state.last_stay(dish).filter(|s| s.at_ms >= dropped_ms);
    let standing = food::standing(state, dish, now_ms);
    let is_out = standing.as_ref().is_none_or(|s| s.is_out);
    let class = if is_out { HoldClass::Room } else { HoldClass::Cold };
    let place = match stay {
        Some(_) => place(state, dish, false),
        None => "where it was left".to_owned(),
    };
    let best = Limit { at_ms: None, state: Countdown::Fine, why: "it is dropped".to_owned() };
    let safe = safe_by(state, dish, standing.as_ref());
    let readings = state.facts().taken.get(&dish).map(Vec::as_slice).unwrap_or_default();
    let taken = readings.iter().rev().find(|r| r.at_ms <= now_ms).map(|r| (r.celsius, r.at_ms));
    let advice = dropped_advice(safe.state);
    let since_ms = stay.map_or(dropped_ms, |s| s.at_ms);
    Some(Holding {
        dish,
        part: None,
        place,
        class,
        served: false,
        since_ms,
        best,
        safe,
        taken,
        advice,
    })
}

fn dropped_advice(state: Countdown) -> String {
    let words = match state {
        Countdown::Past => "Throw it out, and say so.",
        _ => "Dropped, but still there: put it in the fridge or throw it out, and say which.",
    };
    words.to_owned()
}

/// Where a dish waits, in words: "oven, 80 °C".
fn place(state: &State, dish: usize, served: bool) -> String {
    let evening = state.evening();
    match state.last_stay(dish).map(|s| &s.at) {
        _ if served => "table".to_owned(),
        Some(Whereabouts::Held { hold, place, station }) => {
            let name = station
                .as_ref()
                .map_or_else(|| words::kind(*place).to_owned(), |id| words::station(evening, id));
            let planned = hold.and_then(|h| state.sheet(dish)?.recipe.holds.get(h)?.at_c);
            let dialled = station.as_ref().and_then(|id| state.setting(id));
            match dialled.or(planned).filter(|_| place.heats()) {
                Some(celsius) => format!("{name}, {}", words::degrees(state, celsius)),
                None => name,
            }
        }
        _ => match state.stays_put(dish) {
            Some(block) => words::station(evening, &block.station),
            None => "on the pass".to_owned(),
        },
    }
}

/// The recipe's hold in which a dish waits, and since when.
#[must_use]
pub fn hold_of(state: &State, dish: usize, now_ms: i64) -> Option<(&Hold, i64)> {
    let out_ms = state.out_ms(dish, now_ms)?;
    let holds = &state.sheet(dish)?.recipe.holds;
    match state.last_stay(dish).map(|s| (&s.at, s.at_ms)) {
        Some((Whereabouts::Held { hold, .. }, at_ms)) => {
            hold.and_then(|h| holds.get(h)).map(|h| (h, at_ms.max(out_ms)))
        }
        Some(_) => None,
        None => state.stays_put(dish).and_then(|b| holds.get(b.hold)).map(|h| (h, out_ms)),
    }
}

/// Until when it is at its best. A recipe without holds wants to be served at once.
#[must_use]
pub fn best(state: &State, dish: usize, now_ms: i64) -> Limit {
    let none = |why: &str| Limit { at_ms: None, state: Countdown::Fine, why: why.to_owned() };
    if state.is_dropped(dish) {
        return none("it is dropped");
    }
    if state.is_out_of_hand(dish) {
        return none("it is served");
    }
    let limit = |at_ms: i64, why: String| Limit {
        at_ms: Some(at_ms),
        state: countdown(at_ms, BEST_SOON * MINUTE_MS, now_ms),
        why,
    };
    if let Some((hold, since_ms)) = hold_of(state, dish, now_ms) {
        let free = i64::from(hold.free_minutes);
        let why = format!("the recipe: {} here without loss", words::minutes(free));
        return limit(since_ms.saturating_add(free * MINUTE_MS), why);
    }
    let no_holds = state.sheet(dish).is_some_and(|s| s.recipe.holds.is_empty());
    match state.out_ms(dish, now_ms) {
        Some(out_ms) if no_holds => limit(out_ms, "the recipe: straight to the table".to_owned()),
        _ => none("the recipe does not say how it keeps here"),
    }
}

/// Until when it may be eaten, by the guidance.
#[must_use]
pub fn safe(state: &State, dish: usize, now_ms: i64) -> Limit {
    safe_by(state, dish, food::standing(state, dish, now_ms).as_ref())
}

fn safe_by(state: &State, dish: usize, standing: Option<&Standing>) -> Limit {
    if let Some(standing) = standing {
        let state = match standing.state {
            ClockState::Ok => Countdown::Fine,
            ClockState::Soon => Countdown::Soon,
            ClockState::Over => Countdown::Past,
        };
        let why = format!("{} {}", standing.why, standing.source);
        return Limit { at_ms: standing.limit_ms, state, why };
    }
    let safety = state.sheet(dish).map(|s| &s.recipe.safety);
    let why = safety.map(|s| judge(s.class, s.exempt).because).unwrap_or_default();
    Limit { at_ms: None, state: Countdown::Fine, why }
}

/// How a limit stands if it is near from `lead_ms` before it.
#[must_use]
pub fn countdown(at_ms: i64, lead_ms: i64, now_ms: i64) -> Countdown {
    if at_ms <= now_ms {
        Countdown::Past
    } else if at_ms.saturating_sub(lead_ms) <= now_ms {
        Countdown::Soon
    } else {
        Countdown::Fine
    }
}

fn advice(
    state: &State,
    dish: usize,
    now_ms: i64,
    served: bool,
    best: &Limit,
    safe: &Limit,
) -> String {
    if safe.state > Countdown::Fine
        && let Some(standing) = food::standing(state, dish, now_ms)
    {
        return standing.advice;
    }
    if state.is_dropped(dish) && !served {
        return dropped_advice(safe.state);
    }
    if served {
        return match safe.at_ms {
            Some(at_ms) => format!("Clear it by {}.", words::clock(state, at_ms)),
            None => "Clear it when they have eaten.".to_owned(),
        };
    }
    let due = words::clock(state, state.due_ms(dish).max(now_ms));
    match (best.state, safe.at_ms) {
        (Countdown::Past, _) => "Past its best: serve it as soon as you can.".to_owned(),
        (_, Some(at_ms)) => {
            let by = words::clock(state, at_ms);
            format!("Its clock runs: serve it or keep it hot or cold by {by}.")
        }
        _ => format!("Serve at {due}."),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::run::testbed::{ms, on_time, state};

    #[test]
    fn a_limit_is_near_from_its_lead_on_and_past_at_its_moment() {
        let at = |now| countdown(100, 10, now);
        assert_eq!((at(89), at(90), at(99)), (Countdown::Fine, Countdown::Soon, Countdown::Soon));
        assert_eq!((at(100), at(101)), (Countdown::Past, Countdown::Past));
    }

    /// On the hob from 17:20 for an hour without loss.
    #[test]
    fn the_best_ends_with_the_free_minutes_of_the_place() {
        let soup = state(&on_time("17:20"));
        let at = |at: &str| best(&soup, 0, ms(at));
        assert_eq!(at("17:30").at_ms, Some(ms("18:20")));
        assert_eq!((at("18:14:59").state, at("18:15").state), (Countdown::Fine, Countdown::Soon));
        // Put there before it was finished it waits from when it was.
        let mut rows = on_time("17:20");
        rows.push(("17:00", "hold soup 0 hob"));
        rows.sort_by_key(|r| ms(r.0));
        assert_eq!(best(&state(&rows), 0, ms("17:30")).at_ms, Some(ms("18:20")));
        // Straight to the table, or nothing known.
        let fries = best(&state(&on_time("17:58")), 2, ms("17:58"));
        assert_eq!(fries.at_ms, Some(ms("17:50")));
        let mut pie = on_time("18:40");
        pie.push(("18:51", "hold pie 9 fridge"));
        assert_eq!(best(&state(&pie), 3, ms("18:52")).at_ms, None);
        let advice = |at: &str| entry(&soup, 0, ms(at)).map(|h| h.advice).unwrap_or_default();
        assert_eq!(
            (advice("17:30").as_str(), advice("18:10").as_str()),
            ("Serve at 18:00.", "Serve at 18:10.")
        );
        assert_eq!(advice("18:21"), "Past its best: serve it as soon as you can.");
    }

    #[test]
    fn parts_are_on_the_board_until_they_are_gone() {
        let with = |more: &[(&'static str, &'static str)]| {
            state(&[&on_time("18:00")[..], &[("18:10", "part soup 1 fridge")], more].concat())
        };
        let warm = [("18:20", "part soup 1 temp 50"), ("18:40", "part soup 1 temp 30")];
        let board = portions(&with(&warm), ms("18:45"));
        let [part] = &board[..] else { panic!("{board:?}") };
        assert_eq!((part.dish, part.part, part.since_ms), (0, Some(1), ms("18:10")));
        assert!(part.place.to_lowercase().contains("fridge") && !part.served, "{part:?}");
        let taken = |at: &str| portions(&with(&warm), ms(at))[0].taken.map(|t| t.0);
        assert_eq!((taken("18:39:59"), taken("18:40")), (Some(50.0), Some(30.0)));
        assert!(portions(&with(&[("18:50", "part soup 1 clear eaten")]), ms("18:51")).is_empty());
    }

    #[test]
    fn the_last_reading_by_then_is_shown() {
        let mut rows = on_time("17:20");
        rows.extend([("17:25", "temp soup 80"), ("17:35", "temp soup 75")]);
        let soup = state(&rows);
        let taken = |at: &str| entry(&soup, 0, ms(at)).and_then(|h| h.taken).map(|t| t.0);
        assert_eq!((taken("17:34:59"), taken("17:35")), (Some(80.0), Some(75.0)));
    }

    /// What was begun of a dish that is not made: where it went since then, or where it was left.
    #[test]
    fn what_is_left_of_a_dropped_dish_is_where_it_was_put_since() {
        let left = |more: &[(&'static str, &'static str)]| {
            let rows = [&[("16:20", "start dip mix"), ("16:25", "drop dip")][..], more].concat();
            entry(&state(&rows), 1, ms("16:40")).expect("it is there")
        };
        let out = left(&[]);
        assert_eq!((out.place.as_str(), out.class), ("where it was left", HoldClass::Room));
        assert_eq!(out.since_ms, ms("16:25"));
        let cold = left(&[("16:25", "hold dip 0 fridge"), ("16:30", "temp dip 5")]);
        assert!(cold.place.to_lowercase().contains("fridge"), "{cold:?}");
        assert_eq!((cold.class, cold.taken.map(|t| t.0)), (HoldClass::Cold, Some(5.0)));
        assert!(cold.advice.starts_with("Dropped, but still there"), "{}", cold.advice);
    }
}

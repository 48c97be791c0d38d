//! What the cook hears and reads when things happen in another order than they should: food that goes on though its
//! alarm was seen, parts that go their own way, stations that work again, marks that come late. The minutes are
//! invented; the limits are those of the guidance that each test names.

use std::sync::Arc;

use super::afterwards::afterwards;
use super::alarms::{alarms, raised};
use super::event::{Event, Mark};
use super::food::{Food, Keeping, phases};
use super::report::report;
use super::testbed::{adopted, evening, evening_by, event, marks, ms, on_time, plan};
use super::{Alarm, AlarmKind, AlarmState, Rank, State, fold, food, view};
use crate::kitchen::{Evening, FoodClass};
use crate::run::marks::check;

type Row = (&'static str, &'static str);

fn by(guidance: &str, until: &str, more: &[Row]) -> State {
    let mut rows = on_time(until);
    rows.extend(more);
    rows.sort_by_key(|r| ms(r.0));
    fold(evening_by(guidance), &marks(&rows))
}

fn after(until: &str, more: &[Row]) -> State {
    by("us_consumer", until, more)
}

/// The alarm of this key as it stands at a time.
fn of(state: &State, key: &str, at: &str) -> Option<Alarm> {
    alarms(state, ms(at)).into_iter().find(|a| a.key == key)
}

fn stands(state: &State, key: &str, at: &str) -> Option<AlarmState> {
    of(state, key, at).map(|a| a.state)
}

const UNDER: &str = "undercooked:pie::";
const UNDER_1: &str = "undercooked:pie:part1:";

/// Two baskets of what must reach 165 °F. That the second one is in does not make the first one hot.
#[test]
fn a_first_load_that_was_not_hot_enough_is_told() {
    let fried = |more: &[Row], at: &str| {
        let mut evening = Evening::clone(&evening_by("us_consumer"));
        evening.sheets[2].recipe.safety.class = FoodClass::Poultry;
        let mut rows = on_time("17:58");
        rows.extend(more);
        rows.sort_by_key(|r| ms(r.0));
        rows.retain(|r| ms(r.0) <= ms(at));
        let state = fold(Arc::new(evening), &marks(&rows));
        of(&state, "undercooked:fries::", at).map(|a| a.raised_ms)
    };
    let low = ("17:49", "temp fries 60");
    assert_eq!(fried(&[low], "17:49"), None, "it is on the heat");
    assert_eq!(fried(&[low], "17:50"), Some(ms("17:50")));
    assert_eq!(fried(&[low], "17:57"), Some(ms("17:50")), "the next one is in");
    // Measured on the board just after the next one went in; later than that it is of the next one.
    assert_eq!(fried(&[("17:53:59", "temp fries 60")], "17:55"), Some(ms("17:53:59")));
    assert_eq!(fried(&[("17:54:01", "temp fries 60")], "17:55"), None);
    assert_eq!(fried(&[("17:54:01", "temp fries 60")], "17:58"), Some(ms("17:58")));
    assert_eq!(fried(&[low, ("17:57", "temp fries 76")], "17:59"), None, "a better reading");
}

use super::*;
use crate::kitchen::PartyChange;
use crate::kitchen::party::Appetite;
use crate::run::event::{Mark, StepId};
use crate::run::testbed::{minute, ms, state};

fn with(events: Vec<Event>) -> State {
    let mut state = state(&[]);
    for (n, event) in events.into_iter().enumerate() {
        state.apply(&Mark { seq: n as u64 + 2, at_ms: ms("16:10"), event });
    }
    state
}

#[test]
fn every_change_that_a_file_holds_is_in_it() {
    let state = with(vec![
        Event::ServingsChanged { dish: "soup".into(), servings: 12 },
        Event::ServiceMoved { service: "mains".into(), to: minute("19:20") },
        Event::DishDropped { dish: "fries".into() },
        Event::PartyChanged { change: PartyChange::AppetiteChanged { appetite: Appetite::Hearty } },
        Event::PartyChanged {
            change: PartyChange::DishMoved { dish: "dip".into(), service: "mains".into() },
        },
        Event::CookThere {
            cook: "bo".into(),
            name: "Bo".into(),
            from: minute("17:00"),
            to: minute("18:00"),
        },
    ]);
    let kept = kept(&state).expect("a party");
    let party = &kept.party;
    let ids: Vec<&str> = party.dishes.iter().map(|d| d.id.as_str()).collect();
    assert_eq!(ids, ["soup", "dip", "pie"]);
    assert_eq!((party.dishes[0].servings, party.dishes[1].service.as_str()), (12, "mains"));
    assert_eq!(party.services[1].at.to_string(), "19:20");
    assert_eq!(party.appetite, Appetite::Hearty);
    assert_eq!(party.cooks[1].name, "Bo");
    assert_eq!((kept.done, kept.stays.len()), (0, 0));
}

#[test]
fn what_was_taken_back_is_not_kept_and_what_was_done_is_counted() {
    let chop = StepId { dish: "soup".into(), step: "chop".into(), load: 0 };
    let state = with(vec![
        Event::ServingsChanged { dish: "soup".into(), servings: 12 },
        Event::Undone { seq: 2 },
        Event::WaySettled { dish: "pie".into(), step: "bake".into(), way: 0 },
        Event::Started { id: chop, way: 0, station: "board".into(), cook: None, ago_minutes: 0 },
    ]);
    let kept = kept(&state).expect("a party");
    assert_eq!(kept.party, state.party().party);
    assert_eq!((kept.done, kept.stays.len()), (1, 1));
}

#[test]
fn a_party_without_dishes_is_none() {
    let drop = |dish: &str| Event::DishDropped { dish: dish.into() };
    let why = kept(&with(vec![drop("soup"), drop("dip"), drop("fries"), drop("pie")]));
    assert!(why.expect_err("nothing left").contains("Every dish was dropped"));
}

/// 33 °C by the file, and 22 on this evening: on another one nobody has measured anything.
#[test]
fn the_air_of_one_evening_is_not_kept() {
    let mut hot = crate::kitchen::Evening::clone(&crate::run::testbed::evening());
    hot.party.room_c = 33;
    let measured = Mark { seq: 2, at_ms: ms("16:10"), event: Event::AirMeasured { celsius: 22.0 } };
    let state = crate::run::fold(std::sync::Arc::new(hot), &[measured]);
    assert_eq!(state.evening().party.room_c, 22);
    assert_eq!(kept(&state).map(|k| k.party.room_c), Ok(33));
}

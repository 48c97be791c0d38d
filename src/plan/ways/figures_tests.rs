//! A plan made by hand, and its figures added up by hand.

use super::figures::Figures;
use crate::kitchen::{HoldClass, Minute};
use crate::plan::sample::{self, evening, two_cooks};
use crate::plan::{Block, Cost, HoldBlock, Plan, ServiceLine, StepKey, weights};

fn block(cook: Option<&str>, at: (Minute, Minute), hands: (Minute, Minute, i32)) -> Block {
    let (hands_start, hands_end, hands_between) = hands;
    let cook = cook.map(str::to_owned);
    Block {
        cook,
        hands_start,
        hands_end,
        hands_between,
        ..sample::block(StepKey::default(), "board", at)
    }
}

#[test]
fn minutes_late_waited_worked_and_idle_are_added_up() {
    let (kim, lou) = (Some("kim"), Some("lou"));
    let hold = |from, to| HoldBlock {
        dish: 0,
        hold: 0,
        class: HoldClass::Hot,
        station: String::new(),
        slots: Vec::new(),
        from,
        to,
        setting_c: None,
    };
    let mut plan = Plan {
        blocks: vec![
            // Five minutes from 100 and three to 120; half of 130 to 150.
            block(kim, (100, 120), (5, 3, 0)),
            block(kim, (130, 150), (0, 0, 50)),
            // Nobody; the day before; only the two minutes from 88 on; ten from 90 on.
            block(None, (50, 60), (5, 0, 0)),
            block(kim, (-300, -280), (5, 0, 0)),
            block(lou, (60, 90), (0, 2, 0)),
            block(lou, (90, 100), (0, 0, 100)),
        ],
        holds: vec![hold(190, 205), hold(180, 203)],
        services: vec![
            ServiceLine { service: 0, due: 200, dishes: vec![(0, 190, 205), (1, 180, 203)] },
            ServiceLine { service: 1, due: 210, dishes: vec![(2, 150, 207), (3, 150, 210)] },
        ],
        cost: Cost { quality: 15_900, late: 8 * weights::LATE, ..Cost::default() },
        ..Plan::default()
    };
    let expected = Figures {
        // The latest of each service: 5 and 0.
        late: 5,
        // What is paid is what the dishes are late by, 5 and 3, and no more.
        past_limit: false,
        waits: 15 + 23,
        quality: 15,
        begins: Some(88),
        span: 210 - 88,
        // 50 minutes from 100 to 150, of which 5 + 3 + 10 are worked; the other one has none.
        idle: 32,
    };
    assert_eq!(Figures::of(&two_cooks(), &plan), expected);
    plan.cost.late += 1;
    let past = Figures { past_limit: true, ..expected };
    assert_eq!(Figures::of(&two_cooks(), &plan), past);
    assert!(!past.works() && !expected.works());
    assert!(Figures { late: 0, ..expected }.works() && !Figures { late: 0, ..past }.works());
}

#[test]
fn the_first_minute_of_the_day_is_of_the_day() {
    let blocks =
        vec![block(Some("kim"), (0, 10), (0, 0, 100)), block(Some("kim"), (20, 30), (0, 0, 100))];
    let figures = Figures::of(&evening(), &Plan { blocks, ..Plan::default() });
    assert_eq!((figures.begins, figures.idle, figures.span), (Some(0), 10, 0));
    assert_eq!(Figures::of(&evening(), &Plan::default()).begins, None);
}

//! What each change costs and loses, by the prices that are written down: a quality point is 10 000.

use serde_json::json;

use super::change::Change;
use super::price::{Loss, of_changes};
use super::tests::salads;
use crate::plan::sample::evening;
use crate::plan::{Begun, Situation, StepKey};

/// The supper stands at 19:00, minute 1140; roast for 4, chips for 6, dip for 8.
#[test]
fn each_change_has_its_price_and_its_loss() {
    let (evening, ahead) = (evening(), Situation::default());
    let key = StepKey { dish: 0, step: 0, load: 0 };
    let none = Loss::default();
    let settled = Loss { settled: 1, ..none };
    let table = [
        (Change::ServiceAt { service: 0, to: 1155 }, 300_000, Loss { moved: 15, ..none }),
        (Change::ServiceAt { service: 0, to: 1130 }, 200_000, Loss { moved: 10, ..none }),
        (Change::CookThere { cook: 0, from: 900, to: 960 }, 60_000, Loss { earlier: 60, ..none }),
        (Change::Helper { from: 1000, to: 1140 }, 440_000, Loss { help: 140, ..none }),
        (Change::Way { dish: 0, step: 1, way: 1 }, 20_000, settled),
        (Change::Place { dish: 0, hold: 1 }, 10_000, settled),
        (Change::Unpin { key }, 50_000, settled),
        (Change::Drop { dish: 1 }, 1_200_000, Loss { servings: 6, ..none }),
        // Two of six: a third of a million.
        (Change::Servings { dish: 1, servings: 4 }, 533_333, Loss { servings: 2, ..none }),
        (Change::Servings { dish: 1, servings: 9 }, 200_000, none),
        (Change::Another { station: 0, places: 1 }, 600_000, Loss { borrowed: 1, ..none }),
        (Change::Another { station: 1, places: 1 }, 250_000, Loss { borrowed: 1, ..none }),
        (Change::MoreOf { ware: 0, count: 3 }, 300_000, Loss { borrowed: 3, ..none }),
        (Change::Slower { station: 0, percent: 10 }, 0, none),
        (Change::Without { station: 0 }, 0, none),
    ];
    for (change, price, loss) in &table {
        let found = of_changes(&evening, &ahead, std::slice::from_ref(change));
        assert_eq!(found, (*price, *loss), "{change:?}");
    }
    let all: Vec<Change> = table.iter().map(|t| t.0.clone()).collect();
    let sum =
        Loss { moved: 25, earlier: 60, before: 0, help: 140, servings: 8, borrowed: 5, settled: 3 };
    assert_eq!(of_changes(&evening, &ahead, &all), (table.iter().map(|t| t.1).sum(), sum));
}

#[test]
fn what_was_moved_already_counts_from_there_and_what_has_begun_is_wasted() {
    let evening = evening();
    let moved = Situation { service_at: [(0, 1150)].into(), ..Situation::default() };
    let later = [Change::ServiceAt { service: 0, to: 1155 }];
    assert_eq!(of_changes(&evening, &moved, &later).0, 100_000);
    let begun = |key| {
        let station = "board".into();
        let done = Begun::Done { start: 0, end: 5, way: 0, station, left_out: false };
        let situation = Situation { begun: [(key, done)].into(), ..Situation::default() };
        of_changes(&evening, &situation, &[Change::Drop { dish: 1 }]).0
    };
    let key = |dish, step, load| StepKey { dish, step, load };
    assert_eq!(begun(key(1, 1, 2)), 1_500_000);
    assert_eq!([key(0, 2, 0), key(2, 0, 0)].map(begun), [1_200_000; 2]);
}

/// A salad takes half an hour of hands, which are wanted the day before.
#[test]
fn hands_on_the_day_before_are_paid_by_the_minute() {
    let evening = salads(|_, r| r[1]["holds"][0]["most_minutes"] = json!(1370));
    let found = of_changes(&evening, &Situation::default(), &[Change::DayBefore { dish: 1 }]);
    assert_eq!(found, (110_000, Loss { before: 30, ..Loss::default() }));
}

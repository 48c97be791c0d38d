//! What dishes ask: amounts worked by hand, hot or cold, when, and the pans that stand on the table themselves.

use serde_json::{Value, json};

use super::*;
use crate::kitchen::StationKind;
use crate::plan::sample::evening_with;
use crate::plan::{Block, HoldBlock, PanBlock, ServiceLine, StepKey};

/// The small supper: roast for four, chips for six, dip for eight, at 19:00, on the table for 40 minutes.
fn evening(change: impl FnOnce(&mut [Value; 3])) -> Evening {
    evening_with(|_, _, recipes| change(recipes))
}

fn put(recipe: &mut Value, fields: &Value) {
    let fields = fields.as_object().unwrap().clone();
    recipe.as_object_mut().unwrap().extend(fields);
}

const SEVEN: Minute = 19 * 60;

/// Four portions and a twentieth of room, rounded up; where the recipe says nothing, by its course (common practice).
#[test]
fn amounts_are_all_portions_and_room_for_a_spoon() {
    let rows = [
        (json!({}), Served::Spooned, Some(1260), None, true),
        (json!({"portion_ml": 200}), Served::Spooned, Some(840), None, false),
        (json!({"portion_ml": 33}), Served::Spooned, Some(139), None, false),
        (json!({"portion_cm2": 50}), Served::Laid, None, Some(210), false),
        (json!({"portion_ml": 200, "portion_cm2": 50}), Served::Spooned, Some(840), None, false),
        (json!({"course": "starter"}), Served::Spooned, Some(630), None, true),
        (json!({"course": "bread"}), Served::Dry, Some(1050), Some(252), true),
        (json!({"course": "bread", "portion_ml": 100}), Served::Dry, Some(420), None, false),
        (json!({"course": "bread", "portion_cm2": 100}), Served::Dry, None, Some(420), false),
        (json!({"course": "drink"}), Served::Poured, Some(924), None, true),
        (json!({"served": "sliced"}), Served::Sliced, None, Some(378), true),
        (json!({"served": "laid", "portion_cm2": 50}), Served::Laid, None, Some(210), false),
        (json!({"served": "ladled", "portion_ml": 300}), Served::Ladled, Some(1260), None, false),
    ];
    for (fields, served, ml, cm2, guessed) in rows {
        let evening = evening(|r| put(&mut r[0], &fields));
        let need = needs(&evening, None).remove(0);
        assert_eq!(
            (need.served, need.ml, need.cm2, need.guessed),
            (served, ml, cm2, guessed),
            "{fields}"
        );
        assert!(need.wants_one() && need.pans.is_empty() && need.pan_wanted.is_none());
    }
}

/// As it waits; what stands on the counter is what it would be elsewhere, else what its last step makes it.
#[test]
fn hot_and_cold_dishes_are_told_apart() {
    let hold = |place: &str, class: &str| json!([{"place": place, "class": class, "free_minutes": 5, "points": 1, "most_minutes": 60}]);
    let of = |dish: usize, holds: &Value, planned: Option<HoldClass>| {
        let evening = evening(|r| r[dish]["holds"] = holds.clone());
        let plan = planned.map(|class| Plan {
            holds: vec![hold_of(dish, 0, class, (SEVEN - 30, SEVEN))],
            ..Plan::default()
        });
        needs(&evening, plan.as_ref())[dish].class
    };
    let (none, room) = (json!([]), hold("counter", "room"));
    let (hot, cold) = (hold("oven", "hot"), hold("fridge", "cold"));
    // Rested on the counter, fried, stirred.
    assert_eq!(of(0, &none, None), HoldClass::Room);
    assert_eq!(of(1, &none, None), HoldClass::Hot);
    assert_eq!(of(2, &none, None), HoldClass::Room);
    for (holds, class) in
        [(&hot, HoldClass::Hot), (&cold, HoldClass::Cold), (&room, HoldClass::Room)]
    {
        assert_eq!(of(0, holds, None), class, "{holds}");
        // The plan says better.
        assert_eq!(of(0, holds, Some(HoldClass::Hot)), HoldClass::Hot, "{holds}");
        assert_eq!(of(0, holds, Some(HoldClass::Cold)), HoldClass::Cold, "{holds}");
        assert_eq!(of(0, holds, Some(HoldClass::Room)), class, "{holds}");
    }
    assert_eq!(of(1, &room, None), HoldClass::Hot);
}

fn hold_of(dish: usize, hold: usize, class: HoldClass, (from, to): (Minute, Minute)) -> HoldBlock {
    let (station, slots) = ("oven".to_owned(), vec![0]);
    HoldBlock { dish, hold, class, station, slots, from, to, setting_c: None }
}

fn served(dishes: &[(usize, Minute, Minute)]) -> Vec<ServiceLine> {
    vec![ServiceLine { service: 0, due: SEVEN, dishes: dishes.to_vec() }]
}

#[test]
fn a_serving_dish_is_taken_when_its_food_goes_in() {
    let oven = |dished: bool| {
        json!([{"place": "oven", "class": "hot", "at_c": 70, "free_minutes": 5, "points": 1,
            "most_minutes": 90, "dished": dished}])
    };
    let evening = evening(|r| {
        r[0]["holds"] = oven(false);
        r[1]["holds"] = oven(true);
        r[2]["holds"] = json!([{"place": "counter", "class": "room", "free_minutes": 5, "points": 1,
            "most_minutes": 90, "dished": true}]);
    });
    let times = |needs: &[Need]| -> Vec<(Minute, Minute, Minute, bool)> {
        needs.iter().map(|n| (n.from, n.served_at, n.to, n.oven)).collect()
    };
    // By the party: ten minutes before it is served; what waits in the oven in its serving dish says so.
    let plain = |oven| (SEVEN - 10, SEVEN, SEVEN + 40, oven);
    assert_eq!(times(&needs(&evening, None)), [plain(false), plain(true), plain(false)]);
    // By the plan: from the oven on; the roast is late.
    let holds = |from: Minute| {
        vec![
            hold_of(0, 0, HoldClass::Hot, (SEVEN - 80, SEVEN + 10)),
            hold_of(1, 0, HoldClass::Hot, (from, SEVEN)),
        ]
    };
    let services = served(&[(0, SEVEN, SEVEN + 10), (1, SEVEN - 60, SEVEN), (2, SEVEN, SEVEN)]);
    let mut plan = Plan { holds: holds(SEVEN - 60), services, ..Plan::default() };
    assert_eq!(
        times(&needs(&evening, Some(&plan))),
        [
            (SEVEN, SEVEN + 10, SEVEN + 50, false),
            (SEVEN - 60, SEVEN, SEVEN + 40, true),
            plain(false)
        ]
    );
    // Never after it is served.
    plan.holds = holds(SEVEN + 5);
    assert_eq!(needs(&evening, Some(&plan))[1].from, SEVEN);
    // A place that the recipe does not name.
    plan.holds[1].hold = 1;
    let chips = needs(&evening, Some(&plan)).remove(1);
    assert_eq!((chips.from, chips.oven), (SEVEN - 10, false));
}

/// The roast, brought to the table in the tin that it rests in; beside it chips in a tin.
fn in_its_tin(servings: u32) -> Evening {
    evening_with(|party, _, r| {
        party["dishes"][0]["servings"] = json!(servings);
        put(&mut r[0], &json!({"served": "as_cooked", "portion_ml": 200}));
        r[0]["steps"][2]["cookware"] = json!([{"kind": "tin", "least_ml": 1500}]);
    })
}

fn pan(cookware: &str, numbers: &[u32], dish: usize, (from, to): (Minute, Minute)) -> PanBlock {
    PanBlock { cookware: cookware.to_owned(), numbers: numbers.to_vec(), dish, from, to }
}

fn pans(need: &Need) -> Vec<(&str, u32)> {
    need.pans.iter().map(|(title, n)| (title.as_str(), *n)).collect()
}

#[test]
fn a_dish_that_comes_in_its_pan_wants_no_serving_dish() {
    // 1.5 l for four: the smallest that holds it; 6 l for sixteen: two, of 3 l and more.
    let need = |servings, plan: Option<&Plan>| needs(&in_its_tin(servings), plan).remove(0);
    let own = need(4, None);
    assert_eq!(
        (own.served, own.ml, pans(&own)),
        (Served::AsCooked, Some(840), vec![("Small tin", 1)])
    );
    assert!(!own.wants_one());
    assert_eq!(pans(&need(16, None)), [("Cake tin", 2)]);
    // By the plan: the tins that it has, and no bowl, nor the tin of another dish.
    let mut plan = Plan {
        pans: vec![
            pan("tin-small", &[0], 1, (SEVEN - 90, SEVEN - 60)),
            pan("bowl-a", &[0, 1], 0, (SEVEN - 90, SEVEN)),
            pan("tin-large", &[0], 0, (SEVEN - 90, SEVEN)),
        ],
        ..Plan::default()
    };
    assert_eq!(pans(&need(4, Some(&plan))), [("Large tin", 1)]);
    // What was done in another tin the day before is not what it comes in.
    let last = Block {
        key: StepKey { dish: 0, step: 2, load: 0 },
        loads: 1,
        way: 0,
        station: "board".to_owned(),
        slots: vec![0],
        cook: None,
        start: SEVEN - 20,
        end: SEVEN - 10,
        hands_start: 0,
        hands_end: 0,
        hands_between: 0,
        setting_c: None,
        begun: false,
    };
    plan.blocks = vec![last];
    plan.pans.push(pan("tin-small", &[0], 0, (SEVEN - 1500, SEVEN - 1400)));
    assert_eq!(pans(&need(4, Some(&plan))), [("Large tin", 1)]);
    // Nothing that it ends in: a dish like any other.
    let bare = evening(|r| put(&mut r[0], &json!({"served": "as_cooked"})));
    let need = needs(&bare, None).remove(0);
    assert!(need.served == Served::Spooned && need.wants_one());
}

/// On the table in its tin from 19:00 to 19:40.
#[test]
fn a_pan_that_is_wanted_again_is_left_in_the_kitchen() {
    let evening = in_its_tin(4);
    let wanted = |others: &[PanBlock]| {
        let own = pan("tin-large", &[0], 0, (SEVEN - 90, SEVEN));
        let earlier = pan("bowl-a", &[0], 0, (SEVEN - 90, SEVEN - 50));
        let pans = [&[own, earlier], others].concat();
        let plan = Plan { pans, ..Plan::default() };
        let need = needs(&evening, Some(&plan)).remove(0);
        assert_eq!(need.wants_one(), need.pan_wanted.is_some());
        assert_eq!(need.served == Served::Spooned, need.pan_wanted.is_some());
        need.pan_wanted
    };
    let tin = |from, to| pan("tin-large", &[0], 1, (SEVEN + from, SEVEN + to));
    assert_eq!(wanted(&[tin(15, 60)]), Some(SEVEN + 15));
    assert_eq!(wanted(&[tin(39, 60)]), Some(SEVEN + 39));
    assert_eq!(wanted(&[tin(30, 60), tin(5, 10)]), Some(SEVEN + 5));
    // After it was cleared, before it was served, by itself; another tin, another of several, a bowl of before.
    assert_eq!(wanted(&[tin(40, 60), tin(-30, 0)]), None);
    assert_eq!(wanted(&[tin(-30, 1)]), Some(SEVEN - 30));
    assert_eq!(wanted(&[PanBlock { dish: 0, to: SEVEN, ..tin(-100, 0) }]), None);
    assert_eq!(wanted(&[pan("tin-small", &[0], 1, (SEVEN + 5, SEVEN + 60))]), None);
    assert_eq!(wanted(&[pan("tin-large", &[1], 1, (SEVEN + 5, SEVEN + 60))]), None);
    assert_eq!(wanted(&[pan("tin-large", &[1, 0], 1, (SEVEN + 5, SEVEN + 60))]), Some(SEVEN + 5));
    assert_eq!(wanted(&[pan("bowl-a", &[0], 1, (SEVEN + 5, SEVEN + 60))]), None);
    assert_eq!(wanted(&[]), None);
}

/// Kinds to borrow: what is best for each way to the table.
#[test]
fn what_stands_in_the_oven_is_a_deep_dish() {
    let spooned = need(0, Served::Spooned, 100);
    assert_eq!(spooned.best_kind(), WareKind::Bowl);
    assert_eq!(Need { oven: true, ..spooned }.best_kind(), WareKind::Dish);
    let grill = evening(|r| {
        r[0]["holds"] = json!([{"place": "grill", "class": "hot", "free_minutes": 5, "points": 1,
            "most_minutes": 90, "dished": true}]);
    });
    assert_eq!(grill.sheets[0].recipe.holds[0].place, StationKind::Grill);
    assert!(needs(&grill, None)[0].oven);
}

//! What is said when there is no plan.

use serde_json::json;

use super::build::{self, LagWhy, Map, NoWay, Reason, StepAt, TaskAt};
use super::clash::{lines, of_clash, words};
use super::planner::{Budget, NoPlan, plan_ahead};
use super::problem::{Lag, Point, Problem};
use super::prove::Demand;
use super::sample::{evening, evening_with};
use super::search::{Clash, ClashKind};
use super::{Situation, StepKey};
use crate::kitchen::Evening;

fn said(evening: &Evening) -> Vec<String> {
    let no_way = build::build(evening, &Situation::default()).expect_err("no way");
    lines(evening, &NoPlan::NoWay(no_way))
}

#[test]
fn what_is_missing_is_named_with_a_remedy() {
    let poor = evening_with(|_, k, _| {
        k["stations"][0]["thermostat"]["most_c"] = json!(160);
        k["stations"][2]["kind"] = json!("microwave");
        k["stations"][4]["kind"] = json!("freezer");
        k["cookware"][3]["count"] = json!(0);
        k["cookware"][4]["volume_ml"] = json!(2000);
    });
    assert_eq!(
        said(&poor),
        [
            "Roast, roast: this kitchen cannot do it now: \"Oven\" goes from 50 °C to 160 °C, not \
             to 180 °C; there is no air fryer. Give the recipe another way, or leave the dish out.",
            "Chips, fry: this kitchen cannot do it now: there is no air fryer. \
             Give the recipe another way, or leave the dish out.",
            "Yoghurt dip: it needs a bowl for 2500 ml and the largest, \"Bowl\", holds 2000 ml: 2 of \
             those would do and there is only 1. Borrow what is missing, or make fewer servings.",
            "Yoghurt dip, dress: it waits in a fridge before this, and there is none to be used.",
        ]
    );
}

#[test]
fn loads_that_cannot_wait_for_each_other_are_named() {
    let many = evening_with(|p, _, r| {
        p["dishes"][1]["servings"] = json!(10);
        r[1]["holds"] = json!([{"place": "counter", "class": "room", "free_minutes": 5,
            "points": 3, "most_minutes": 30}]);
    });
    assert_eq!(
        said(&many),
        ["Chips: its first load waits 36 minutes for its last, and keeps for 30 at most. Make \
          fewer servings or larger loads, or name a place where it keeps longer."]
    );
}

#[test]
fn an_unsafe_table_is_named_with_its_minutes() {
    let long = evening_with(|p, _, _| p["table_minutes"] = json!(115));
    let lines = said(&long);
    assert!(
        lines.contains(
            &"Yoghurt dip is neither hot nor cold for at least 125 minutes, 115 of them on the \
              table; 120 are allowed by the party's guidance. Put half out at 19:00 and half at \
              19:58, each for 58 minutes, and keep the rest in the fridge until its turn: give its \
              recipe 58 table_minutes. Or let it stand for less."
                .to_owned()
        ),
        "{lines:?}"
    );
}

/// Of 40 minutes on the table two turns have 20 each, three 14, four 10: as few as keep the limit.
#[test]
fn a_dish_comes_in_as_few_turns_as_keep_the_limit() {
    let evening = evening();
    let say = |needs, table, limit| {
        let reasons = vec![Reason::Clock { dish: 2, needs, table, limit }];
        lines(&evening, &NoPlan::NoWay(NoWay { reasons })).join(" ")
    };
    let rest = "and keep the rest in the fridge until its turn";
    for (needs, out) in [
        (120, "half out at 19:00 and half at 19:20, each for 20 minutes"),
        (121, "a third out at 19:00 and a third at 19:14, a third at 19:28, each for 14 minutes"),
        (126, "a third out at 19:00 and a third at 19:14, a third at 19:28, each for 14 minutes"),
        (
            127,
            "a quarter out at 19:00 and a quarter at 19:10, a quarter at 19:20, a quarter at 19:30, each for 10 minutes",
        ),
        (
            130,
            "a quarter out at 19:00 and a quarter at 19:10, a quarter at 19:20, a quarter at 19:30, each for 10 minutes",
        ),
    ] {
        let said = say(needs, 40, 100);
        assert!(said.contains(&format!("Put {out}, {rest}")), "{needs}: {said}");
        assert!(
            said.contains(&format!("for at least {needs} minutes, 40 of them on the table")),
            "{said}"
        );
    }
    // Five turns are too many; and where all of it is on the table, less of that is what helps.
    let less = "Let it wait hot or cold between its steps, or let it stand on the table for less.";
    assert!(say(131, 40, 100).ends_with(less), "{}", say(131, 40, 100));
    assert!(say(40, 40, 30).ends_with(less), "{}", say(40, 40, 30));
    assert!(say(41, 40, 30).contains("Put half out"), "{}", say(41, 40, 30));
    // Nothing is said of a table on which it does not stand.
    assert!(say(120, 0, 100).contains("for at least 120 minutes; 100 are"), "{}", say(120, 0, 100));
}

#[test]
fn the_wait_between_two_steps_is_said_as_it_is_asked_for() {
    let evening = evening();
    let (mut problem, map) = small();
    let mut say = |least, most| {
        (problem.lags[0].least, problem.lags[0].most) = (least, most);
        let kind = ClashKind::Circle { lags: vec![0] };
        of_clash(&evening, &problem, &map, &Clash::new(kind))[1].clone()
    };
    assert_eq!(say(5, 30), "Roast: roast comes after season, 5 to 30 minutes.");
    assert_eq!(say(5, i32::MAX), "Roast: roast comes after season, 5 minutes at least.");
    assert_eq!(say(0, 30), "Roast: roast comes after season, 30 minutes at most.");
    assert_eq!(say(0, i32::MAX), "Roast: roast comes after season.");
}

/// A map of two steps, roast/season and roast/roast, and the lag between them.
fn small() -> (Problem, Map) {
    let task = |step| TaskAt { key: StepKey { dish: 0, step, load: 0 }, shadow: false };
    let step = |step| StepAt { dish: 0, step, modes: Vec::new() };
    let map = Map {
        stations: 5,
        cooks: 1,
        cookware: 5,
        ovens: vec![0],
        steps: vec![step(0), step(1)],
        tasks: vec![task(0), task(1)],
        dishes: vec![0],
        holds: Vec::new(),
        lags: vec![LagWhy::After { dish: 0, before: 0, step: 1 }],
        stays: Vec::new(),
        copies: Vec::new(),
    };
    let lag = Lag {
        from: Point { task: 0, end: true },
        to: Point { task: 1, end: false },
        least: 0,
        most: 30,
        soft_most: None,
        best: None,
    };
    (Problem { start: 16 * 60, lags: vec![lag], ..Problem::default() }, map)
}

#[test]
fn each_kind_of_clash_has_its_words() {
    let evening = evening();
    let (problem, map) = small();
    let say = |kind| of_clash(&evening, &problem, &map, &Clash::new(kind)).join(" ");
    assert_eq!(
        say(ClashKind::Window { task: 1, lags: vec![0], tasks: vec![1, 0] }),
        "Roast, roast: no minute is left at which it can start. Roast: roast comes after season, \
         30 minutes at most. It hangs on Roast, season. There is time from 16:00 on. \
         An earlier start or a later service would help."
    );
    assert_eq!(
        say(ClashKind::NoRoom { task: 1, resources: vec![0, 5, 6], ovens: vec![0] }),
        "Roast, roast: there is never room for it, long enough. \"Oven\" is full. Kim has no hands \
         free, or is away. \"Small tin\" is in use. \"Oven\" is not hot in time."
    );
    assert_eq!(
        say(ClashKind::Dish { dish: 0, resources: vec![1, 5], lags: vec![0] }),
        "Roast cannot be made in time, even if nothing else is. \"Hob\" is full. Kim has no hands \
         free, or is away. Roast: roast comes after season, 30 minutes at most. There is time from \
         16:00 on. An earlier start or a later service would help."
    );
    assert_eq!(
        say(ClashKind::Crowded { dish: Some(0), step: 0, resources: vec![1, 6] }),
        "Roast, season: no place was found beside the rest. \"Hob\" is full. \"Small tin\" is in \
         use. A later service, an earlier start, more hands or one dish less would help."
    );
    assert!(say(ClashKind::Circle { lags: vec![0] }).starts_with("Some steps wait for each other"));
    let demands = vec![Demand::Most { lag: 0 }, Demand::Capacity { resource: 0 }];
    assert_eq!(
        say(ClashKind::Demands { demands }),
        "It was tried in every way: this does not go together. Roast: roast comes after season, \
         30 minutes at most. \"Oven\" is full. There is time from 16:00 on. An earlier start or a \
         later service would help."
    );
    assert_eq!(
        say(ClashKind::Hands { cooks: vec![5], asked: 480, there: 412, dishes: vec![0] }),
        "There are 480 minutes of work by hand at the least, and Kim has 412 from 16:00 on. Longer \
         hours, another pair of hands, a dish less or one bought ready would help. Most of it is asked for by \
         Roast."
    );
    assert!(say(ClashKind::NoMode { step: 1 }).contains("no way to do it"));
    assert!(say(ClashKind::Broken("x".into())).contains("fault of the program"));
    let crowded = ClashKind::Crowded { dish: Some(0), step: 0, resources: vec![] };
    let likely = of_clash(&evening, &problem, &map, &Clash::likely(crowded));
    assert!(likely[0].contains("no place was found beside the rest"));
    assert!(likely.last().is_some_and(|l| l.contains("not proved")));
}

/// Whatever indexes the search names, there are words and no panic.
#[test]
fn indexes_that_name_nothing_do_no_harm() {
    let (problem, map) = (Problem::default(), Map::default());
    let nowhere = [
        Demand::Earliest { task: 9 },
        Demand::Latest { task: 9 },
        Demand::End { task: 9 },
        Demand::Most { lag: 9 },
        Demand::HoldMost { dish: 9, hold: 9 },
        Demand::Limit { dish: 9, hold: None, limit: 9 },
        Demand::Due { dish: 9 },
        Demand::Capacity { resource: 9 },
        Demand::Open { resource: 9 },
    ];
    for kind in [
        ClashKind::NoMode { step: 9 },
        ClashKind::Circle { lags: vec![9] },
        ClashKind::Window { task: 9, lags: vec![9], tasks: vec![9] },
        ClashKind::NoRoom { task: 9, resources: vec![9], ovens: vec![9] },
        ClashKind::Dish { dish: 9, resources: vec![9], lags: vec![9] },
        ClashKind::Crowded { dish: None, step: 9, resources: vec![9] },
        ClashKind::Hands { cooks: vec![9], asked: 1, there: 0, dishes: vec![9] },
        ClashKind::Demands { demands: nowhere.to_vec() },
    ] {
        assert!(!of_clash(&evening(), &problem, &map, &Clash::new(kind)).is_empty());
    }
}

#[test]
fn a_party_without_time_is_told_so() {
    let short = evening_with(|p, _, _| {
        p["cooks"][0]["free"] = json!([{"from": "16:00", "to": "16:30"}]);
    });
    let budget = Budget { seed: 1, rounds: 50, stop: &|| false };
    let no_plan = plan_ahead(&short, &budget, &mut |_| ()).expect_err("no time");
    assert!(matches!(no_plan, NoPlan::Clash { .. }), "{no_plan:?}");
    assert!(words(&short, &no_plan).ends_with('.'));
    let odd = evening_with(|p, _, _| p["guidance"] = json!("nobody"));
    let no_plan = plan_ahead(&odd, &budget, &mut |_| ()).expect_err("no guidance");
    assert!(words(&odd, &no_plan).starts_with("There is no guidance \"nobody\"; known are us_"));
}

//! What is said of changes, clashes, figures and tries, and how typed changes are read at their edges.

use std::sync::Arc;

use serde_json::json;

use super::change::Change;
use super::demand::{Clash, Demand};
use super::figures::Figures;
use super::find::{Found, News, WayOut};
use super::price::Loss;
use super::progress::{TriesSeen, WaysSeen};
use super::text::{chances, figure_words, least_chance, of_tries, of_ways, points};
use super::tries::{Outcome, Tried, Try};
use super::{parse, words};
use crate::kitchen::Minute;
use crate::plan::risk::{Forecast, Odds};
use crate::plan::sample::{evening, evening_with};
use crate::plan::{Begun, Cost, Plan, Situation, StepKey};

fn key(dish: usize, step: usize) -> StepKey {
    StepKey { dish, step, load: 0 }
}

#[test]
fn every_change_is_said_in_one_line() {
    let evening = evening();
    let ahead = Situation::default();
    let drop = |dish| Change::Drop { dish };
    let there = |from, to| Change::CookThere { cook: 0, from, to };
    let another = |station, places| Change::Another { station, places };
    let table: Vec<(Vec<Change>, &str)> = vec![
        (vec![Change::ServiceAt { service: 0, to: 1141 }], "Supper 1 min later (19:01)"),
        (vec![Change::ServiceAt { service: 0, to: 1075 }], "Supper 1 h 5 min earlier (17:55)"),
        (vec![there(930, 960)], "Kim starts 30 min earlier (15:30)"),
        (vec![there(1200, 1260)], "Kim stays 1 h longer (21:00)"),
        (vec![there(1020, 1030)], "Kim is there 17:00 to 17:10 too"),
        (vec![Change::Way { dish: 0, step: 1, way: 1 }], "Roast, roast: air fryer"),
        (vec![Change::Unpin { key: key(1, 1) }], "Give up the pin of Chips, fry"),
        (vec![another(0, 2)], "Another oven"),
        (vec![another(0, 1)], "Borrow another oven, with 1 of its places"),
        (vec![drop(0), drop(1)], "Leave out Roast and Chips"),
        (vec![drop(0), there(930, 960)], "Leave out Roast; Kim starts 30 min earlier (15:30)"),
        (vec![there(930, 960), drop(1)], "Kim starts 30 min earlier (15:30); Leave out Chips"),
        (vec![], "Another order of the work: nothing else changes"),
    ];
    for (changes, said) in table {
        assert_eq!(words::of_changes(&evening, &ahead, &changes), said, "{changes:?}");
    }
}

/// Roast: seasoned 10, roasted 45 in the air fryer, rested 10; begun, what it still takes.
#[test]
fn every_demand_is_said_in_one_line() {
    let evening = evening_with(|_, kitchen, _| {
        kitchen["stations"][3]["slots"] = json!(1);
        kitchen["cookware"][3]["count"] = json!(2);
    });
    let said = |situation: &Situation, demands: &[Demand]| {
        let clash = Clash { demands: demands.to_vec(), proven: true };
        words::of_clash(&evening, situation, &clash)
    };
    let pins = [(key(1, 1), 1100)].into();
    let ahead = Situation { pins, service_at: [(0, 1150)].into(), ..Situation::default() };
    let demands = [
        Demand::Pans(0),
        Demand::Pans(3),
        Demand::Station(0),
        Demand::Station(3),
        Demand::Hands(0),
        Demand::Pin(key(1, 1)),
        Demand::Dish(0),
        Demand::Hours(0),
        Demand::Service(0),
    ];
    assert_eq!(
        said(&ahead, &demands),
        [
            "Supper at 19:10",
            "Kim is there 16:00 to 17:00 and 17:10 to 20:00",
            "Roast takes 1 h 5 min at the least",
            "Chips, fry is pinned to 18:20",
            "Kim has two hands",
            "\"Counter\" has 1 place",
            "\"Oven\" has 2 places and one setting at a time",
            "There are only 2 of \"Bowl\"",
            "There is only one \"Small tin\"",
        ]
    );
    let station = || "board".to_owned();
    let done = Begun::Done { start: 990, end: 1000, way: 0, station: station(), left_out: false };
    let run = |end| Begun::Running {
        start: 1000,
        end,
        way: 0,
        station: station(),
        cook: None,
        setting_c: None,
    };
    for (end, said_of) in [
        (1030, "Roast needs 35 min more at the least"),
        (1000, "Roast needs 10 min more at the least"),
    ] {
        let begun = [(key(0, 0), done.clone()), (key(0, 1), run(end))].into();
        let situation = Situation { now: Some(1005), begun, ..Situation::default() };
        assert_eq!(said(&situation, &[Demand::Dish(0)]), [said_of, "It is 16:45 now"]);
    }
    // Of three loads of nine minutes the first is out. The dip, mixed at 16:40, wants half an
    // hour from then, and four minutes of dressing.
    let fried = StepKey { dish: 1, step: 1, load: 0 };
    let begun = [(key(1, 0), done.clone()), (fried, done.clone()), (key(2, 0), done)].into();
    let situation = Situation { now: Some(1025), begun, ..Situation::default() };
    assert_eq!(
        said(&situation, &[Demand::Dish(1), Demand::Dish(2)]),
        [
            "Yoghurt dip needs 9 min more at the least",
            "Chips needs 18 min more at the least",
            "It is 17:05 now"
        ]
    );
}

#[test]
fn figures_are_said_with_what_is_not_nothing() {
    let evening = evening();
    let figures = Figures {
        late: 12,
        past_limit: true,
        waits: 35,
        quality: 15,
        begins: Some(905),
        span: 90,
        idle: 80,
    };
    assert_eq!(
        figure_words(&evening, &figures),
        "12 min late, a limit on waiting is passed, food waits 35 min, 1.5 points lost, \
         hands from 15:05, 1 h 20 min idle"
    );
    let little = Figures { quality: 10, ..Figures::default() };
    assert_eq!(figure_words(&evening, &little), "food waits 0 min, 1 point lost, 0 min idle");
    assert!(figure_words(&evening, &Figures::default()).contains("no points lost"));
    assert_eq!([0, 7, 10, 15, 20].map(points), ["0", "0.7", "1", "1.5", "2"]);
}

fn odds(service: usize, on_time: u32) -> Odds {
    Odds { service, on_time, evenings: 2_000, ..Odds::default() }
}

#[test]
fn the_least_chance_stands_for_all_and_each_is_told_by_its_service() {
    let evening = evening_with(|party, _, _| {
        let late = json!({"id": "late", "title": "Late Bite", "at": "20:00"});
        party["services"].as_array_mut().expect("a list").push(late);
    });
    let all = Forecast { evenings: 2_000, services: vec![odds(0, 1_880), odds(1, 1_660)] };
    assert_eq!(least_chance(&all), "83 %");
    assert_eq!(chances(&evening, &all), "supper 94 %, late bite 83 %");
    assert_eq!(least_chance(&Forecast::default()), "");
}

fn way_out(price: i64, change: Change) -> WayOut {
    let (plan, loss) = (Arc::new(Plan::default()), Loss::default());
    let words = format!("At {price}");
    WayOut { changes: vec![change], words, plan, figures: Figures::default(), loss, price }
}

/// All that is said of ways out, whole; what is too long for a line goes on below its beginning.
#[test]
fn ways_out_are_told_with_what_clashes() {
    let (evening, ahead) = (evening(), Situation::default());
    let demands = vec![Demand::Hands(0), Demand::Service(0)];
    let best = Ok(Figures { late: 8, ..Figures::default() });
    let clash = |proven| Some(Clash { demands: demands.clone(), proven });
    let none = Found { clash: clash(true), best: best.clone(), outs: Vec::new() };
    let head = "These do not go together; any one of them less, and the rest does:\n  \
                - Supper at 19:00\n  - Kim has two hands\n";
    let as_it_is = "As it is: 8 min late, food waits 0 min, no points lost, 0 min idle.\n";
    assert_eq!(
        of_ways(&evening, &ahead, &none),
        format!("{head}{as_it_is}No way out was found.\n")
    );
    let mut out = way_out(5, Change::Drop { dish: 0 });
    out.words = "word ".repeat(20);
    let some = Found { clash: clash(false), best, outs: vec![out] };
    let first = format!("  1. {}\n     {}\n", ["word"; 15].join(" "), ["word"; 5].join(" "));
    assert_eq!(
        of_ways(&evening, &ahead, &some),
        format!(
            "{head}(No way was found through them; it is not proved that there is none.)\n\
             {as_it_is}Ways out, the least trouble first:\n{first}     \
             food waits 0 min, no points lost, 0 min idle\n"
        )
    );
    // 16 such words would be 79 letters, and fit where nothing stands before them.
    let said = Found { clash: None, best: Err(vec!["word ".repeat(17)]), outs: Vec::new() };
    let expected = format!("{}\nword\nNo way out was found.\n", ["word"; 16].join(" "));
    assert_eq!(of_ways(&evening, &ahead, &said), expected);
}

#[test]
fn tries_stand_in_rows_and_long_words_go_on_below() {
    let evening = evening();
    let figures =
        Figures { late: 5, waits: 9, quality: 15, begins: Some(905), ..Figures::default() };
    let plan = |figures| {
        let odds = Forecast { evenings: 2_000, services: vec![odds(0, 1_880)] };
        let plan = Arc::new(Plan::default());
        Tried::Plan(Outcome { plan, figures, cost: Cost::default(), odds })
    };
    let of = |words: &str| Try { changes: Vec::new(), words: words.into() };
    let long = "seven words that are too long for one";
    let rows = [
        (of(long), plan(figures)),
        (of("Short"), plan(Figures { past_limit: true, ..figures })),
        (of(long), Tried::NoPlan(vec!["There is none.".into()])),
    ];
    let said = of_tries(&evening, &rows);
    let lines: Vec<&str> = said.lines().collect();
    let cells: Vec<Vec<&str>> = lines
        .iter()
        .map(|l| l.split("  ").map(str::trim).filter(|c| !c.is_empty()).collect())
        .collect();
    assert_eq!(
        lines[0].split_whitespace().collect::<Vec<_>>().join(" "),
        "late chance waits points begins idle"
    );
    assert_eq!(
        cells[1],
        ["seven words that are too", "5 min", "94 %", "9 min", "1.5", "15:05", "0 min"]
    );
    assert_eq!(lines[2], "  long for one");
    assert_eq!(cells[3][..2], ["Short", "limit!"]);
    assert_eq!(
        lines[4].split_whitespace().collect::<Vec<_>>().join(" "),
        "seven words that are too no plan"
    );
    assert_eq!(lines[5..], ["  long for one", "    There is none."]);
}

#[test]
fn typed_changes_are_read_up_to_their_edges() {
    let evening = evening();
    let ahead = Situation::default();
    let read = |text: &str| parse::changes(&evening, &ahead, text);
    let to = |to: Minute| Ok(vec![Change::ServiceAt { service: 0, to }]);
    assert_eq!(read("service supper +1440"), to(2580));
    assert_eq!(read("service supper -10"), to(1130));
    for by in ["+1441", "--5", "+-5", "--2147483648", "+x"] {
        let said = read(&format!("service supper {by}")).expect_err(by);
        assert_eq!(said, format!("\"{by}\" is not a number of minutes"));
    }
    let servings = |n: &str| read(&format!("servings chips {n}"));
    assert_eq!(servings("1"), Ok(vec![Change::Servings { dish: 1, servings: 1 }]));
    assert_eq!(servings("500"), Ok(vec![Change::Servings { dish: 1, servings: 500 }]));
    assert!(servings("0").is_err() && servings("501").is_err());
    // There from 16:00 to 20:00; helped for some minutes.
    assert!(read("start 16:00").is_err() && read("start 15:59").is_ok());
    assert!(read("stay 20:00").is_err() && read("stay 20:01").is_ok());
    assert!(read("helper 18:00-18:00").is_err() && read("helper 18:00-18:01").is_ok());
    assert_eq!(read("another burner"), Ok(vec![Change::Another { station: 1, places: 1 }]));
    let way = |n: &str| read(&format!("way roast/roast {n}"));
    assert_eq!(way("1"), Ok(vec![Change::Way { dish: 0, step: 1, way: 0 }]));
    assert_eq!(way("2"), Ok(vec![Change::Way { dish: 0, step: 1, way: 1 }]));
    assert!(way("0").is_err() && way("3").is_err());
    let nothing = read("").expect_err("nothing");
    assert!(nothing.contains("service NAME 18:30; start COOK 15:30"), "{nothing}");
}

#[test]
fn what_comes_to_light_is_kept_in_order() {
    let mut seen = WaysSeen::begun(900);
    assert!(!seen.fits());
    seen.take(News::Tried(1, 9));
    seen.take(News::Best(Ok(Figures::default())));
    assert_eq!((seen.made_for, seen.tried, seen.fits()), (Some(900), (1, 9), false));
    seen.done = true;
    assert!(seen.fits());
    let with = |change: &dyn Fn(&mut WaysSeen)| {
        let mut seen = seen.clone();
        change(&mut seen);
        seen
    };
    let out = |price| News::Out(way_out(price, Change::ServiceAt { service: 0, to: 1 }));
    let clash = || News::Clash(Clash::default(), vec!["Supper".into()]);
    assert!(!with(&|s| s.take(clash())).fits());
    assert!(!with(&|s| s.take(out(5))).fits());
    assert!(!with(&|s| s.best = None).fits());
    let late = Figures { late: 1, ..Figures::default() };
    assert!(!with(&|s| s.take(News::Best(Ok(late)))).fits());
    assert!(!with(&|s| s.take(News::Best(Err(Vec::new())))).fits());
    let outs = with(&|s| {
        s.take(out(9));
        s.take(News::Out(way_out(5, Change::Drop { dish: 0 })));
    });
    assert_eq!(outs.outs.iter().map(|o| o.price).collect::<Vec<_>>(), [5, 9]);
}

#[test]
fn the_evening_as_it_is_is_the_first_row_once_it_is_known() {
    let of = Try { changes: Vec::new(), words: "As it is".into() };
    let seen =
        |tried: Option<Tried>| TriesSeen { made_for: Some(9), rows: vec![(of.clone(), tried)] };
    let plan = Arc::new(Plan::default());
    let (figures, cost) = (Figures::default(), Cost::default());
    let outcome = Outcome { plan, figures, cost, odds: Forecast::default() };
    assert_eq!(seen(Some(Tried::Plan(outcome.clone()))).as_it_is(), Some(&outcome));
    assert_eq!(seen(None).as_it_is(), None);
    assert_eq!(seen(Some(Tried::NoPlan(Vec::new()))).as_it_is(), None);
}

/// The documents say what the page says: whether a clash is certain, points in wholes, the plan of a try.
#[test]
fn the_documents_have_what_the_page_has() {
    let (evening, plan) = crate::plan::compose::tests::supper();
    let ahead = Situation::default();
    let figures = Figures { quality: 15, ..Figures::default() };
    let file = |proven| {
        let clash = Some(Clash { demands: vec![Demand::Hands(0)], proven });
        let found = Found { clash, best: Ok(figures), outs: Vec::new() };
        super::wire::ways_file(&evening, &ahead, Some(&found), |_, _, _| ()).expect("a document")
    };
    assert!(file(true).clash_proven && !file(false).clash_proven);
    assert_eq!(file(true).best.map(|b| b.quality_points), Some(1.5));
    let steps = plan.blocks.len();
    let (odds, cost) = (Forecast::default(), plan.cost);
    let tried = Tried::Plan(Outcome { plan: Arc::new(plan), figures, cost, odds });
    let tries = [(Try::new(&evening, &ahead, Vec::new()), tried)];
    let file = super::wire::what_if_file(&evening, &ahead, &tries, |_, _, _| ());
    let file = file.expect("a document");
    assert_eq!(file.tries[0].plan.as_ref().map(|p| p.steps.len()), Some(steps));
}

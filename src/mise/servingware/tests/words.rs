//! Who goes into what, and what clashes, in words: looked over by us.

use super::*;
use crate::kitchen::units::Degrees;
use crate::mise::servingware::words::{area, volume};
use crate::plan::sample;

/// An evening of dishes of these names, in a kitchen of these serving dishes.
fn evening(names: &[&str], wares: Vec<Servingware>) -> Evening {
    let mut evening = sample::evening();
    let one = evening.sheets[0].clone();
    let sheets = names.iter().map(|name| {
        let mut sheet = one.clone();
        sheet.recipe.short = Some((*name).to_owned());
        sheet
    });
    evening.sheets = sheets.collect();
    evening.kitchen.servingware = wares;
    evening
}

fn titled(title: &str, ware: Servingware) -> Servingware {
    Servingware { title: title.to_owned(), ..ware }
}

fn piece(ware: usize, number: u32, holds: Holds) -> Piece {
    Piece { ware, number, holds }
}

/// From seven, for three quarters of an hour.
fn at_seven(need: Need) -> Need {
    Need { from: 1130, served_at: 1140, to: 1185, ..need }
}

#[test]
fn the_list_says_what_goes_into_what_and_what_is_to_be_done_to_it() {
    let wares = vec![
        Servingware {
            keeps: Keeps::Hot,
            lid: true,
            ..titled("Tureen", ware(WareKind::Pot, 1, 4500))
        },
        Servingware { keeps: Keeps::Cold, ..titled("Ice bowl", ware(WareKind::Bowl, 2, 1500)) },
        titled("Kettle", ware(WareKind::Pot, 1, 3000)),
        titled("Basket", ware(WareKind::Basket, 1, 2000)),
        titled("Board", ware(WareKind::Board, 2, 900)),
    ];
    let names = ["soup", "dip", "broth", "rolls", "pie", "salad", "crumble", "mousse", "cheese"];
    let evening = evening(&names, wares);
    let place =
        |need: Need, pieces: &[Piece]| Place { need, pieces: pieces.to_vec(), could: vec![] };
    let spooned = |dish, ml| at_seven(need(dish, Served::Spooned, ml));
    let ladled = |dish, ml| at_seven(need(dish, Served::Ladled, ml));
    let pans = vec![("Deep pan".to_owned(), 1), ("Tray".to_owned(), 3)];
    let ice = piece(1, 1, Holds::Ml(1500));
    let late =
        |dish, from| Need { from, served_at: from + 10, to: from + 55, ..spooned(dish, 950) };
    let places = vec![
        place(ladled(0, 3150), &[piece(0, 0, Holds::Ml(4500))]),
        place(Need { from: 1120, ..spooned(1, 1050) }, &[ice]),
        place(ladled(2, 1260), &[piece(2, 0, Holds::Ml(1500))]),
        place(
            Need { cm2: Some(1260), ..at_seven(need(3, Served::Dry, 3150)) },
            &[piece(3, 0, Holds::Ml(2000)), piece(4, 0, Holds::Cm2(900))],
        ),
        place(Need { pans, ..spooned(4, 2520) }, &[]),
        place(Need { oven: true, guessed: true, pan_wanted: Some(1160), ..spooned(5, 840) }, &[]),
        // Both after the dip in the same bowl, the later one named first.
        place(late(6, 1300), &[ice]),
        place(late(7, 1200), &[ice]),
        place(
            at_seven(need(8, Served::Sliced, 945)),
            &[piece(4, 0, Holds::Cm2(900)), piece(4, 1, Holds::Cm2(900))],
        ),
    ];
    let laying = Laying { places, ..Laying::default() };
    let label = |minute| evening.face.label(minute);
    let lines = rows(&evening, &laying).into_iter().map(|row| {
        let into = row.into.unwrap_or_else(|| "nothing".to_owned());
        let (from, at, to) = (label(row.from), label(row.served_at), label(row.to));
        format!(
            "{from} {at}-{to} {}: {into}; {}; {}",
            names[row.dish],
            row.fill,
            row.notes.join(", ")
        )
    });
    insta::assert_snapshot!(lines.collect::<Vec<_>>().join("\n"));
}

/// Washed for a quarter of an hour after the table is cleared; what comes before that is another piece's.
#[test]
fn a_piece_that_is_used_again_is_washed_between() {
    let evening = evening(&["dip", "mousse"], vec![ware(WareKind::Bowl, 2, 1000)]);
    let noted = |from, number| {
        let second = Need { from, ..at_seven(need(1, Served::Spooned, 900)) };
        let place = |need, number| Place {
            need,
            pieces: vec![piece(0, number, Holds::Ml(1000))],
            could: vec![],
        };
        let first = place(at_seven(need(0, Served::Spooned, 900)), 0);
        let laying = Laying { places: vec![first, place(second, number)], ..Laying::default() };
        rows(&evening, &laying)[0].notes.clone()
    };
    assert_eq!(noted(1200, 0), ["then wash bowl 1000 1: the mousse goes in at 20:00"]);
    assert_eq!(noted(1199, 0), Vec::<String>::new());
    assert_eq!(noted(1200, 1), Vec::<String>::new());
}

/// What is said of a laying: each clash, and the sentence for one line.
fn said(names: &[&str], wares: Vec<Servingware>, needs: &[Need]) -> String {
    let evening = evening(names, wares);
    let laying = lay_out(&evening.kitchen.servingware, needs);
    let all = clash_lines(&evening, &laying).join("\n");
    let summary = summary(&evening, &laying).unwrap_or_else(|| "all is well".to_owned());
    for clash in &laying.clashes {
        for &dish in &clash.dishes {
            // What is said of one dish is said of all.
            let own = clash_of(&evening, &laying, dish);
            assert!(!own.is_empty() && own.iter().all(|line| all.contains(line)), "{own:?}");
        }
    }
    assert_eq!(clash_of(&evening, &laying, 99), Vec::<String>::new());
    format!("{all}\n= {summary}\n")
}

#[test]
fn too_few_serving_dishes_are_told_with_what_would_help() {
    let bowl = |count| titled("Blue bowl", ware(WareKind::Bowl, count, 1000));
    let one = |dish, from| {
        let need = need(dish, Served::Spooned, 945);
        Need { from, served_at: from + 10, to: from + 50, ..need }
    };
    let three = ["rice", "beans", "salad"];
    let mut all = said(&three, vec![bowl(1)], &[one(0, 1130), one(1, 1140)]);
    // One after the other, but not washed in time; the table cleared at that very minute.
    all += &said(&three, vec![bowl(1)], &[one(0, 1130), one(1, 1190)]);
    all += &said(&three, vec![bowl(1)], &[one(0, 1130), one(1, 1180)]);
    // Two of it for three, and one for three: two of the same size are asked for together.
    all += &said(&three, vec![bowl(2)], &[one(0, 1130), one(1, 1130), one(2, 1130)]);
    all += &said(&three, vec![bowl(1)], &[one(0, 1130), one(1, 1130), one(2, 1130)]);
    all += &said(&three, vec![bowl(2)], &[one(0, 1130), one(1, 1130)]);
    all += &said(&three, vec![], &[one(0, 1130)]);
    insta::assert_snapshot!(all);
}

#[test]
fn a_dish_that_nothing_holds_is_told_with_what_is_wrong_with_each() {
    let pot = |title, size| Servingware {
        ovenproof: true,
        lid: true,
        ..titled(title, ware(WareKind::Pot, 1, size))
    };
    let wares = vec![
        titled("Glass bowl", ware(WareKind::Bowl, 1, 9000)),
        Servingware { lid: false, ..pot("Pie dish", 9000) },
        Servingware { keeps: Keeps::Cold, ..pot("Ice pot", 9000) },
        Servingware { volume_ml: None, ..pot("Odd pot", 1) },
        Servingware { count: 3, ..pot("Cocotte", 300) },
        pot("Mug", 200),
        titled("Board", ware(WareKind::Board, 1, 9000)),
    ];
    let gratin =
        Need { oven: true, lid: true, class: HoldClass::Hot, ..need(0, Served::Spooned, 2100) };
    let names = ["gratin"];
    let mut all = said(&names, wares, std::slice::from_ref(&gratin));
    let warmer =
        Servingware { keeps: Keeps::Hot, ..titled("Warmer", ware(WareKind::Bowl, 1, 9000)) };
    let ice = Need { class: HoldClass::Cold, ..need(0, Served::Spooned, 2100) };
    all += &said(&names, vec![warmer], &[ice]);
    // Liquids are carried half full.
    let open = |count| titled("Basin", ware(WareKind::Bowl, count, 1000));
    all += &said(&names, vec![open(1)], &[need(0, Served::Ladled, 2100)]);
    all += &said(&names, vec![open(2)], &[need(0, Served::Ladled, 2100)]);
    // Nothing of the right shape, for each way to the table.
    let flat = |served, size| need(0, served, size);
    let board = || vec![titled("Board", ware(WareKind::Board, 1, 100))];
    let basket = || vec![titled("Basket", ware(WareKind::Basket, 1, 100))];
    for served in [Served::Ladled, Served::Spooned, Served::Poured] {
        all += &said(&names, board(), &[flat(served, 525)]);
    }
    for served in [Served::Laid, Served::Sliced] {
        all += &said(&names, basket(), &[flat(served, 525)]);
    }
    all +=
        &said(&names, vec![titled("Jug", ware(WareKind::Jug, 1, 100))], &[flat(Served::Dry, 525)]);
    all += &said(&names, board(), &[flat(Served::Sliced, 525)]);
    // More than anybody lends in one piece.
    all += &said(&names, board(), &[flat(Served::Poured, 31_500)]);
    let large = Need { oven: true, ..need(0, Served::Spooned, 31_500) };
    all += &said(&names, board(), &[large]);
    let one = Need { lid: false, ..gratin };
    all += &said(&names, board(), &[one]);
    insta::assert_snapshot!(all);
}

/// A deep pan that the dish ends in may come instead, if it is free.
#[test]
fn what_it_was_made_in_is_offered() {
    let offer = |served, pan_wanted| {
        let mut evening = evening(&["rice"], vec![ware(WareKind::Basket, 1, 100)]);
        let last = evening.sheets[0].last_step();
        let tin = serde_json::json!([{"kind": "cauldron"}, {"kind": "tin"}]);
        evening.sheets[0].recipe.steps[last].cookware = serde_json::from_value(tin).unwrap();
        let needs = [Need { pan_wanted, ..need(0, served, 525) }];
        let laying = lay_out(&evening.kitchen.servingware, &needs);
        let lines = clash_lines(&evening, &laying);
        lines.into_iter().find(|l| l.starts_with("Or bring"))
    };
    let said = "Or bring the rice to the table in what it is made in: Small tin.".to_owned();
    assert_eq!(offer(Served::Spooned, None), Some(said.clone()));
    assert_eq!(offer(Served::Ladled, None), Some(said));
    assert_eq!(offer(Served::Spooned, Some(1160)), None);
    assert_eq!(offer(Served::Sliced, None), None);
}

/// A US quart is 946.352946 ml, a cup a quarter of it, an inch 25.4 mm (NIST Handbook 44, appendix C).
#[test]
fn sizes_are_said_in_the_measures_of_the_kitchen() {
    let (c, f) = (Degrees::Celsius, Degrees::Fahrenheit);
    assert_eq!([volume(c, 999), volume(c, 1000)], ["999 ml", "1.0 l"]);
    assert_eq!([volume(f, 946), volume(f, 947)], ["4.0 cups", "1.0 qt"]);
    assert_eq!([volume(f, 237), volume(f, 3785)], ["1.0 cups", "4.0 qt"]);
    assert_eq!([area(c, 645), area(f, 645)], ["645 cm²", "100 sq in"]);
}

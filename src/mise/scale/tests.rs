//! What does not grow with the guests, pans that hold it, and all of it in words.

use serde_json::{Value, json};

use super::*;
use crate::plan::sample::evening_with;

fn exact(text: &str) -> Exact {
    text.parse().unwrap()
}

/// The roast of the small supper, written for four, for so many; its recipe and the kitchen changed.
fn roast_for(made: u32, change: impl FnOnce(&mut Value, &mut Value)) -> Scaled {
    let evening = evening_with(|party, kitchen, recipes| {
        party["dishes"][0]["servings"] = json!(made);
        change(&mut recipes[0], kitchen);
    });
    of_dish(&evening, 0, &[]).unwrap()
}

fn beware_of(made: u32, change: impl FnOnce(&mut Value, &mut Value)) -> String {
    roast_for(made, change).beware.join("\n")
}

#[test]
fn salt_and_what_is_hot_is_named_and_nothing_else() {
    let said = beware_of(8, |recipe, _| {
        recipe["ingredients"] = json!([{"item": "pork loin"}, {"item": "chorizo"}, {"item": "salt"},
            {"item": "red chilli"}, {"item": "carrot"}]);
    });
    assert!(said.contains("do not grow in step (chorizo, salt, red chilli):"), "{said}");
    let mild = beware_of(8, |recipe, _| recipe["ingredients"] = json!([{"item": "pork loin"}]));
    assert!(!mild.contains("do not grow in step"), "{mild}");
}

/// Up to twice, and down to half, leavening goes in proportion.
#[test]
fn leavening_scales_a_little() {
    let told = |made| {
        let said = beware_of(made, |recipe, _| {
            recipe["ingredients"] = json!([{"item": "baking powder"}, {"item": "carrot"}]);
        });
        said.contains("Leavening (baking powder)")
    };
    assert_eq!([1, 2, 3, 4, 8, 9].map(told), [true, false, false, false, false, true]);
}

#[test]
fn oven_and_hob_are_told_by_their_steps_whose_minutes_stay() {
    let said = |made, station: &str, grows: &str| {
        beware_of(made, |recipe, _| {
            recipe["steps"][1]["ways"] = json!([{"station": station, "minutes": 30}]);
            recipe["steps"][1]["grows"] = json!(grows);
        })
    };
    assert_eq!(
        said(8, "oven", "fixed"),
        "Oven time stays as written (roast) as long as the food lies as deep: take more pans, not a deeper one."
    );
    let fewer = said(2, "oven", "fixed");
    assert!(fewer.contains("a smaller pan, not a thinner layer"), "{fewer}");
    assert_eq!(
        said(8, "stovetop", "fixed"),
        "A fuller pan is slower to the boil and to reduce (roast): go by the look, the minutes are the recipe's."
    );
    assert!(
        said(2, "stovetop", "fixed")
            .starts_with("A pan with less in it boils and dries out sooner")
    );
    assert_eq!(said(8, "air_fryer", "fixed"), "");
    assert_eq!(said(8, "oven", "proportion"), "");
    assert_eq!(said(4, "oven", "fixed"), "");
}

/// Two bowls for four are six for twelve: the kitchen has three. Said once, though two steps want them.
#[test]
fn too_few_pans_are_said() {
    let said = |made, count| {
        beware_of(made, |recipe, _| {
            for step in [0, 2] {
                recipe["steps"][step]["cookware"] = json!([{"kind": "bowl", "count": count}]);
            }
            recipe["steps"][1]["ways"] = json!([{"station": "air_fryer", "minutes": 45}]);
            recipe["steps"][1]["cookware"] = json!([]);
        })
    };
    assert_eq!(
        said(12, 2),
        "6 x bowl would be in step and the kitchen has 3: the rest lies closer, or goes after."
    );
    assert_eq!(said(6, 2), "");
    assert_eq!(said(12, 1), "");
}

/// Two tins on two racks for four are six for twelve: the oven has two racks, the fridge three places.
#[test]
fn too_few_racks_are_said() {
    let tins = |recipe: &mut Value, kitchen: &mut Value| {
        recipe["steps"][1]["ways"][0]["slots"] = json!(2);
        recipe["steps"][1]["cookware"] = json!([{"kind": "tin", "count": 2}]);
        recipe["steps"][0]["cookware"] = json!([]);
        kitchen["cookware"][0]["count"] = json!(6);
    };
    let said = beware_of(12, tins);
    let wants = "Its pans want 6 places for roast and the oven has 2: put in the rest as there is room, and allow for \
        it; the plan does not.";
    assert_eq!(said.matches(wants).count(), 1, "{said}");
    assert!(
        !beware_of(4, tins).contains("Its pans want")
            && !beware_of(3, tins).contains("Its pans want")
    );
    let cramped = |made: u32| {
        let evening = evening_with(|party, kitchen, recipes| {
            party["dishes"][0]["servings"] = json!(made);
            tins(&mut recipes[0], kitchen);
        });
        let steps = cramped_steps(&evening.kitchen, &evening.sheets[0]);
        steps.map(|s| (s.label.to_owned(), s.wanted, s.place, s.has)).collect::<Vec<_>>()
    };
    assert_eq!(cramped(12), [("roast".to_owned(), 6, "oven", 2)]);
    assert!(cramped(4).is_empty());
}

fn vessel(kind: &str, count: u32, least_ml: Option<u32>) -> Vessel {
    Vessel { kind: kind.to_owned(), count, least_ml, takes: None, of_largest: None }
}

fn takes(title: &str, vessel: Vessel) -> Vessel {
    Vessel { takes: Some(title.to_owned()), ..vessel }
}

/// The kitchen has tins of 2 and 4 l that bear the oven, one of 3 l that does not, and three bowls.
#[test]
fn the_smallest_pans_that_will_do_are_named() {
    let of = |least: u32| {
        roast_for(4, |recipe, _| {
            for step in [0, 1] {
                recipe["steps"][step]["cookware"] = json!([{"kind": "tin", "least_ml": least}]);
            }
            recipe["steps"][2]["cookware"] = json!([{"kind": "bowl"}]);
        })
        .vessels
    };
    // The bowl as it is, whatever it holds; a tin that is seasoned in on the counter goes into the oven.
    let bowl = || takes("Bowl", vessel("bowl", 1, None));
    assert_eq!(of(1500), [takes("Small tin", vessel("tin", 1, Some(1500))), bowl()]);
    assert_eq!(of(2500), [takes("Large tin", vessel("tin", 1, Some(2500))), bowl()]);
    // What none holds, three of the largest would.
    let none = Vessel { of_largest: Some(3), ..vessel("tin", 1, Some(9500)) };
    assert_eq!(of(9500), [none, bowl()]);
    // Of what holds nothing no number would do.
    let empty = roast_for(4, |recipe, kitchen| {
        kitchen["cookware"] =
            json!([{"id": "tin", "title": "Tin", "kind": "tin", "count": 1, "volume_ml": 0}]);
        recipe["steps"][0]["cookware"] = json!([]);
    });
    assert_eq!(empty.vessels, [vessel("tin", 1, Some(1500))]);
}

#[test]
fn vessels_are_said_in_a_few_words() {
    let said = [
        (takes("Bowl", vessel("bowl", 1, None)), "bowl"),
        (takes("Small tin", vessel("tin", 2, Some(1500))), "2 x tin of at least 1.5 l: Small tin"),
        (vessel("baking_tray", 1, None), "baking tray: the kitchen has none that will do"),
        (
            Vessel { of_largest: Some(2), ..vessel("pot", 1, Some(3200)) },
            "pot of at least 3.2 l: none will do, 2 of the largest would hold it",
        ),
    ];
    for (vessel, words) in said {
        assert_eq!(vessel.words(), words);
    }
}

#[test]
fn a_step_says_what_is_other_than_in_the_recipe() {
    let step = |loads, each, minutes, (written_loads, written_minutes)| {
        let load_servings = Some(each).filter(|&n| n > 0);
        let (label, station) = ("fry".to_owned(), StationKind::AirFryer);
        let step = ScaledStep {
            label,
            station,
            loads,
            load_servings,
            minutes,
            written_minutes,
            written_loads,
        };
        step.words()
    };
    assert_eq!(step(1, 0, 35, (1, 35)), "fry 35 min");
    assert_eq!(step(1, 8, 35, (1, 35)), "fry 35 min");
    assert_eq!(step(3, 5, 12, (3, 12)), "fry 3 loads of 5 servings, 12 min each");
    assert_eq!(step(3, 5, 12, (1, 12)), "fry 3 loads of 5 servings, 12 min each (recipe: 1 load)");
    assert_eq!(step(1, 5, 20, (2, 12)), "fry 20 min (recipe: 2 loads, 12 min)");
    assert_eq!(step(1, 0, 20, (1, 12)), "fry 20 min (recipe: 12 min)");
}

fn amount(item: &str, unit: Unit, (exact, to): (&str, &str)) -> ScaledAmount {
    let round = |n: Exact| rounded(n, unit, crate::kitchen::items::find(item));
    let (exact, exact_to) = (exact.parse().ok(), to.parse::<Exact>().ok());
    let most = exact_to.or(exact);
    ScaledAmount {
        item: item.to_owned(),
        exact,
        exact_to,
        rounded: exact.map(round),
        rounded_to: exact_to.map(round),
        unit,
        counted: counted(unit),
        off_percent: most.map_or(0, |n| rounding::off_percent(n, round(n))),
    }
}

#[test]
fn an_amount_says_what_is_taken_and_where_rounding_shows() {
    let rows = [
        ("egg", Unit::Piece, ("4.5", ""), "5", "eggs", "(by factor 4 1/2, +11 %)"),
        ("egg", Unit::Piece, ("4.2", ""), "4", "eggs", "(by factor 4.20, -5 %)"),
        ("egg", Unit::Piece, ("4", ""), "4", "eggs", ""),
        // A range of which both ends come to the same.
        ("egg", Unit::Piece, ("1.8", "2.2"), "2", "eggs", "(by factor 2.20, -9 %)"),
        ("egg", Unit::Piece, ("2", "3"), "2 to 3", "eggs", ""),
        ("egg", Unit::Piece, ("1", ""), "1", "egg", ""),
        // Counted out, though less than half of a hundred off.
        ("onion", Unit::Piece, ("50.1", ""), "50", "onions", "(by factor 50.10)"),
        // Weighed out: so little is not told, more is.
        ("carrot", Unit::G, ("120.3", ""), "120 g", "carrots", ""),
        (
            "ground cumin",
            Unit::Tsp,
            ("4/3", ""),
            "1 1/4 tsp",
            "ground cumin",
            "(by factor 1 1/3 tsp, -6 %)",
        ),
        ("salt", Unit::Piece, ("", ""), "to taste", "salt", ""),
    ];
    for (item, unit, exact, take, thing, exactly) in rows {
        let amount = amount(item, unit, exact);
        assert_eq!(
            (amount.take().as_str(), amount.thing().as_str(), amount.exactly().as_str()),
            (take, thing, exactly),
            "{item} {exact:?}"
        );
    }
}

/// Grams below 50 to the gram, below a kilogram to 5, above to 10.
#[test]
fn the_steps_of_rounding_begin_where_they_are_said_to() {
    let step = |n: &str, unit| step_of(exact(n), unit, None);
    assert_eq!(
        ["49.9", "50", "999", "1000"].map(|n| step(n, Unit::G)),
        ["1", "5", "5", "10"].map(exact)
    );
    assert_eq!(["0.9", "1"].map(|n| step(n, Unit::L)), ["0.005", "0.01"].map(exact));
}

#[test]
fn a_party_says_for_how_many_it_is_made() {
    let said = |guests: u32, made: &[(u32, u32)]| {
        let one = roast_for(4, |_, _| ());
        let dishes =
            made.iter().map(|&(made, suggested)| Scaled { made, suggested, ..one.clone() });
        let (title, day, appetite) =
            ("Supper".to_owned(), "2026-11-20".to_owned(), Appetite::Usual);
        let scaling = Scaling { title, day, guests, appetite, dishes: dishes.collect() };
        (print::summary(&scaling), print::text(&scaling).contains("by common practice"))
    };
    let row = |words: &str, told| (words.to_owned(), told);
    assert_eq!(said(0, &[(4, 1)]), row("No guests are named, so nothing is asked for.", false));
    assert_eq!(
        said(1, &[(4, 4), (8, 8)]),
        row("1 guest, usual appetite: every dish is made for as many as they ask for.", true)
    );
    assert_eq!(
        said(16, &[(4, 4), (4, 12)]),
        row(
            "16 guests, usual appetite: 1 of 2 dishes are made for another number than they ask for.",
            true
        )
    );
    let dish = |made| Scaled { made, suggested: 1, ..roast_for(4, |_, _| ()) };
    assert_eq!(print::head(&dish(1)), "Roast: 1 serving of a recipe for 4, factor 1");
    assert!(print::would_do(&dish(1)).starts_with("1 serving as asked for by common practice ("));
    assert!(print::would_do(&dish(2)).starts_with("1 serving would do by common practice ("));
}

/// Looked over by us: the small supper for nine and more.
#[test]
fn scaled_dishes_read_like_this() {
    let evening = evening_with(|party, _, recipes| {
        party["guests"] = json!([{"name": "Ada"}, {"name": "Bo", "count": 8}]);
        for (dish, made) in [(0, 9), (1, 7), (2, 1)] {
            party["dishes"][dish]["servings"] = json!(made);
        }
        recipes[0]["ingredients"] = json!([
            {"item": "pork loin", "amount": 1, "unit": "kg"}, {"item": "salt"},
            {"item": "egg", "amount": 2, "amount_to": 3},
            {"item": "a very long name of a thing that nobody knows at all", "amount": "1 1/3", "unit": "cup"}
        ]);
    });
    insta::assert_snapshot!(print::text(&super::evening(&evening)));
    // Without the chips.
    let fewer = without(&evening, &[1]);
    assert_eq!(fewer.dishes.iter().map(|d| d.letter).collect::<String>(), "RD");
}

/// Twelve vegetarians eat of the one main that has no meat, and others besides.
#[test]
fn a_dish_is_asked_for_by_those_who_find_no_other() {
    let asked = |meat: &str, dropped: &[usize]| {
        let evening = evening_with(|party, _, recipes| {
            party["guests"] = json!([{"name": "the choir", "count": 12, "diets": ["vegetarian"]},
                {"name": "the rest", "count": 4}]);
            for (recipe, item) in recipes.iter_mut().zip(["carrot", meat, meat]) {
                recipe["course"] = json!("main");
                recipe["ingredients"] = json!([{"item": item}]);
            }
        });
        let dish = of_dish(&evening, 0, dropped).unwrap();
        let all = without(&evening, dropped).dishes;
        assert_eq!(all[0], dish);
        (dish.suggested, dish.suggested_for)
    };
    // Three fifths each of three; a whole one for twelve of them, and three fifths for the four others.
    assert_eq!(asked("leek", &[]), (10, "16 guests, one of 3 mains: 3/5 of a serving each".into()));
    let words = "16 guests, one of 3 mains: 3/5 of a serving each; 12 find no other main and take a whole one";
    assert_eq!(asked("bacon", &[]), (15, words.to_owned()));
    assert_eq!(asked("leek", &[1, 2]).0, 16);
}

//! Methods of our own making; other people's are judged by `tests/outside/times.py`.

use super::{Kept, Method, TimeOf, read, times};
use crate::bring::found::Words;
use crate::kitchen::{Setting, StationKind};

fn method(pieces: &[&str]) -> Method {
    let words: Vec<Words> = pieces.iter().map(|p| Words::new(None, *p)).collect();
    read(&words)
}

/// Label, station, minutes and what each follows.
fn shown(method: &Method) -> Vec<String> {
    let one = |s: &super::Proposal| {
        let after: Vec<String> = s.after.iter().map(usize::to_string).collect();
        let rest = s.rest.map_or(String::new(), |r| format!(" +{} {}", r.span.low, r.place.word()));
        let span = s.span;
        format!(
            "{} {} {}-{}-{} <{}>{rest}",
            s.label,
            s.station.word(),
            span.low,
            span.likely,
            span.high,
            after.join(",")
        )
    };
    method.steps.iter().map(one).collect()
}

#[test]
fn cooking_is_told_from_waits_and_from_what_makes_food_safe() {
    for (text, expected) in [
        ("Bake at 180 °C for 20 to 25 minutes.", "cook 1200-1500"),
        ("Heat until it reaches 74 °C for 15 seconds.", "safety 15-15"),
        ("Hold at 60 °C for 10 minutes before serving.", "safety 600-600"),
        ("Chill for at least 2 hours.", "rest 7200-?"),
        ("Let it stand 10 minutes.", "rest 600-600"),
        ("Knead for 8 minutes.", "prep 480-480"),
        ("Roast 18 minutes per pound.", "rate 1080-1080"),
        ("Simmer 5 minutes, stirring, then rest for 10 minutes.", "cook 300-300, rest 600-600"),
    ] {
        let end = |e: Option<i64>| e.map_or("?".to_owned(), |s| s.to_string());
        let shown: Vec<String> = times(text)
            .iter()
            .map(|t| format!("{} {}-{}", t.of.word(), end(t.time.low), end(t.time.high)))
            .collect();
        assert_eq!(shown.join(", "), expected, "{text}");
    }
    assert!(times("Serve.").is_empty());
    assert_eq!(TimeOf::Safety.word(), "safety");
}

#[test]
fn what_goes_on_meanwhile_stands_beside_and_what_is_set_aside_waits_for_its_piece() {
    let beside =
        method(&["Boil the pasta 10 minutes.", "Meanwhile fry the onions 8 minutes.", "Mix."]);
    assert_eq!(
        shown(&beside),
        ["boil hob 10-10-10 <>", "fry hob 8-8-8 <>", "mix counter 2-3-5 <0,1>"]
    );
    let aside = method(&[
        "Whisk the dressing. Set aside for use in Step 3.",
        "Boil the beans 40 minutes.",
        "Toss the beans with the dressing.",
    ]);
    assert_eq!(
        shown(&aside),
        ["whisk counter 2-3-5 <>", "boil hob 40-40-40 <>", "toss counter 1-2-3 <0,1>"]
    );
}

#[test]
fn hands_flames_loads_and_pans_are_read() {
    let one = |text: &str| method(&[text]).steps.remove(0);
    let stirred = one("Cook over medium heat for 20 minutes, stirring constantly.");
    assert_eq!((stirred.hands, stirred.setting), (100, Some(Setting::Medium)));
    assert_eq!(one("Simmer 20 minutes, stirring often.").hands, 50);
    assert_eq!(one("Simmer 20 minutes, stirring now and then.").hands, 10);
    assert_eq!(one("Roast at 200 °C for 40 minutes.").hands, 0);
    // Common practice, no source: a lid, or liquid, can be left; a pan of few minutes cannot.
    assert_eq!(one("Cook 20 minutes.").hands, 10);
    assert_eq!(one("Cover; cook 20 minutes.").hands, 0);
    assert_eq!(one("Add the stock. Bring to a boil; simmer 20 minutes.").hands, 0);
    assert_eq!(one("Bring to a boil. Cover; simmer 20 minutes; stir occasionally.").hands, 10);
    assert_eq!(one("Add the prawns and simmer 3 minutes.").hands, 100);
    assert_eq!(one("Boil 40 minutes, then simmer 3 minutes.").hands, 0);
    assert_eq!(one("Fry 10 minutes, then simmer 15 minutes.").hands, 100);
    let fried = one("Fry in three batches in a large frying pan, 4 minutes a side.");
    assert_eq!((fried.loads, fried.span.likely), (Some(3), 8));
    assert_eq!(fried.cookware, ["frying_pan"]);
    let slow = one("Cook in the slow cooker on high for 4 hours.");
    assert_eq!((slow.station, slow.setting), (StationKind::SlowCooker, Some(Setting::High)));
    let other = one(
        "Brown in a 165 °C oven, 20 to 25 minutes or in a 190 °C convection oven for 6 minutes.",
    );
    assert_eq!((other.span.low, other.span.high, other.at_c), (20, 25, Some(165)));
}

#[test]
fn what_the_inside_must_reach_and_how_it_waits_are_no_steps() {
    let read = method(&[
        "Preheat the oven to 220 °C.",
        "Roast the joint 50 minutes; the core must reach 63 °C. Hold at 60 °C or above until served.",
    ]);
    assert_eq!(shown(&read), ["roast oven 50-50-50 <>"]);
    let roast = &read.steps[0];
    assert_eq!((roast.at_c, roast.inside_c, roast.guessed_heat), (Some(220), Some(63), false));
    assert!(roast.words.starts_with("Preheat the oven to 220 °C."), "{}", roast.words);
    assert_eq!(read.waits.len(), 1);
    assert_eq!(read.waits[0].kept, Kept::Hot);
}

/// Whatever the pieces are, there is one last step, and nothing follows a later one.
#[test]
fn every_method_ends_in_one_step() {
    let sections = [
        Words::new(Some("Dough"), "Knead 10 minutes. Let rise 1 hour."),
        Words::new(Some("Filling"), "Fry the leeks 10 minutes."),
        Words::new(Some("Filling"), "Chill."),
        Words::new(Some("Pie"), "Roll out, fill and bake at 200 °C for 40 minutes."),
    ];
    for pieces in [&sections[..], &sections[..2], &sections[1..3], &sections[2..], &[]] {
        let steps = read(pieces).steps;
        let last = steps.len().saturating_sub(1);
        let followed: Vec<usize> = steps.iter().flat_map(|s| s.after.clone()).collect();
        for (index, step) in steps.iter().enumerate() {
            assert!(step.after.iter().all(|&a| a < index));
            assert_eq!(followed.contains(&index), index != last, "{steps:?}");
        }
    }
}

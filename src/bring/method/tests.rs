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

/// Times that are no more time: another way, the whole once more, in brackets, how often.
#[test]
fn each_time_counts_once() {
    for (text, expected) in [
        ("Marinate the chops for at least 30 minutes or overnight.", "+30 fridge"),
        ("Marinate the chops overnight or up to 2 days.", "+480 fridge"),
        ("Chill the pots at least 4 hours, preferably overnight.", "+240 fridge"),
        ("Soak the beans for 8 hours or overnight.", "+480 counter"),
        ("Sear for 2 minutes per side, 4 minutes total.", "sear hob 4-4-4"),
        ("Sear for 2 minutes per side.", "sear hob 4-4-4"),
        ("Fry 3 minutes per batch.", "fry hob 3-3-3"),
        ("Bake for 30 minutes (45 minutes if frozen).", "bake oven 30-30-45"),
        ("Simmer for 2 hours, stirring every 15 minutes.", "simmer hob 120-120-120"),
        ("Bake for 25 minutes, turning after 15 minutes.", "bake oven 25-25-25"),
        ("Cook for at least 2 hours and up to 3 hours.", "cook hob 120-135-180"),
        ("Cook on low for 8 hours or on high for 4 hours in the slow cooker.", "480-480-480"),
        ("Boil 5 minutes or until soft, add the peas, 10 minutes more.", "boil hob 14-15-17"),
    ] {
        let steps = shown(&method(&["Chop the lot.", text])).join(" / ");
        assert!(steps.contains(expected), "{text}: {steps}");
    }
    // How long a piece takes whose weight nobody has said is a guess.
    let roast = method(&["Roast 20 minutes per 500 g plus 20 minutes."]).steps.remove(0);
    assert!(roast.guessed && roast.span.likely >= 45, "{roast:?}");
}

/// What is put on the heat is a step there, whatever the words for it are.
#[test]
fn no_cooking_is_lost() {
    for (text, expected) in [
        ("Bake in a preheated oven at 180 °C for 40 minutes.", "bake oven 40-40-40"),
        ("Preheat the oven to 200 °C and bake for 50 minutes.", "bake oven 50-50-50"),
        ("Preheat the oven to 200 °C.", ""),
        ("Roast until 75 °C inside.", "roast oven 30-45-75"),
        ("Microwave on high for 3 minutes.", "microwave microwave 3-3-3"),
        ("Air fry at 200 °C for 15 minutes.", "fry air fryer 15-15-15"),
        ("Slow-cook on low for 6 hours.", "cook slow cooker 360-360-360"),
        ("Pressure cook for 25 minutes.", "cook hob 25-25-25"),
        ("Place in the oven for 20 minutes.", "place oven 20-20-20"),
        ("Return to the oven for another 15 minutes.", "return oven 15-15-15"),
        ("Let it stand for 5 minutes before serving.", "+5 counter"),
        ("Let the sauce simmer for 10 minutes.", "simmer hob 10-10-10"),
    ] {
        let steps = shown(&method(&["Coat the chicken.", text]));
        let more = steps.join(" / ");
        assert!(
            more.contains(expected) && (!expected.is_empty() || steps.len() == 1),
            "{text}: {more}"
        );
    }
    let looked_at =
        method(&["Pour the butter over.", "CCP: Heat to 145 F. or higher for 15 seconds."]);
    assert_eq!(looked_at.steps.len(), 1);
    let mut wait = Words::new(None, "Let it stand.");
    wait.minutes = Some(25);
    let stood = read(&[Words::new(None, "Roast 40 minutes."), wait]).steps.remove(0);
    assert_eq!(stood.rest.map(|r| (r.span.low, r.guessed)), Some((25, false)));
    let joint = method(&["Roast at 220 °C for 20 minutes. Roast on until the core reaches 63 °C."]);
    assert_eq!(shown(&joint), ["roast oven 20-20-20 <>"]);
}

/// What food must reach is kept as that; the oven it is in is guessed, and said to be.
#[test]
fn what_food_must_reach_is_never_the_setting_of_its_oven() {
    for text in [
        "Reheat in the oven to 75 °C.",
        "Cook in the oven to 165 °F internal.",
        "Warm through in a low oven to 74 C.",
        "Finish in the oven to 63 °C in the centre.",
        "Place in the oven until 75 °C in the middle.",
    ] {
        let step = method(&["Brown the joint in a pan for 5 minutes.", text]).steps.remove(1);
        assert_eq!(step.station, StationKind::Oven, "{text}");
        assert!(step.inside_c.is_some() && step.guessed_heat && step.guessed, "{text}: {step:?}");
        assert!(step.span.likely >= 15, "{text}: {step:?}");
    }
}

/// What the words give in another way than as a length is not lost.
#[test]
fn minutes_after_which_something_is_done_are_no_shorter() {
    for (text, expected, guessed) in [
        ("Roast at 200 °C. Take it out after 40 minutes.", "roast oven 40-40-40", false),
        ("Roast at 200 °C and take it out after 40 minutes.", "roast oven 40-40-40", false),
        ("Bake at 180 °C. After 50 minutes, cover it with foil.", "bake oven 50-50-50", true),
        ("Simmer. Take out the bay leaf after 5 minutes.", "simmer hob 10-15-25", true),
        ("Bake for 40 minutes. After 20 minutes turn the tin.", "bake oven 40-40-40", false),
        ("Roast at 230 °C for 20 minutes, then 15 minutes per pound.", "roast oven 50-65-95", true),
        ("Roast for 20 minutes plus 15 minutes per pound.", "roast oven 43-65-108", true),
        ("Roast for 2 hours (20 minutes per pound).", "roast oven 120-120-120", false),
        ("Bake at 200 °C or at fan 180 °C for 40 minutes.", "bake oven 40-40-40", false),
        ("Roast for 1 hour, basting for 5 minutes in all.", "roast oven 65-65-65", false),
        (
            "Fry 5 minutes or so, add the stock, boil for up to 30 minutes.",
            "fry hob 20-28-35",
            false,
        ),
        ("Boil the rice (12 minutes) with the beans (40 minutes).", "boil hob 52-52-52", false),
        ("Boil for 10 minutes or 10 minutes longer.", "boil hob 10-10-20", false),
        ("Roast for an hour and a half.", "roast oven 90-90-90", false),
        ("Fry in batches, 3 minutes each batch.", "fry hob 3-3-3", false),
    ] {
        let read = method(&[text]);
        assert_eq!(shown(&read)[0].split(" <").next(), Some(expected), "{text}");
        assert_eq!(read.steps[0].guessed, guessed, "{text}");
    }
}

/// What stands in the oven stays there, whatever the words for it are.
#[test]
fn what_goes_on_in_the_oven_goes_on_there() {
    let first = "Roast at 230 °C for 15 minutes";
    for (text, expected) in [
        (", then reduce to 160 °C for another hour.", (160, 60)),
        (". Lower the oven to 160 °C for 60 minutes.", (160, 60)),
        (". Reduce the heat to 160 °C and cook for 90 minutes.", (160, 90)),
        (". Turn the oven to 160 °C. Roast for 90 minutes.", (160, 90)),
        (". Set the oven to 90 °C. Roast for 3 hours.", (90, 180)),
        (". Turn the oven down to 160 °C. Roast until the core reaches 63 °C.", (160, 45)),
        (". Roast at 160 °C until the core reaches 63 °C.", (160, 45)),
        (", then turn the oven down to 160 °C until golden.", (160, 45)),
        (". Cook at 160 °C for an hour.", (160, 60)),
    ] {
        let steps = method(&[&format!("{first}{text}")]).steps;
        let seen: Vec<_> = steps.iter().map(|s| (s.at_c, s.span.likely)).collect();
        assert_eq!(seen, [(Some(230), 15), (Some(expected.0), expected.1)], "{text}");
        assert!(steps.iter().all(|s| s.station == StationKind::Oven), "{text}");
    }
    for (text, expected) in [
        ("Turn into a tin, place in a 200 °C oven for 40 minutes.", (Some(200), 40, false)),
        ("Turn into a tin, place in a 200 °C oven.", (Some(200), 30, true)),
        ("Place in the preheated oven until golden.", (Some(180), 30, true)),
        ("Heat the pie in a preheated oven until hot.", (Some(180), 20, true)),
        ("Transfer to the oven for 20 minutes.", (Some(180), 20, false)),
        ("Bake for 20 minutes. Continue baking for 10 minutes.", (Some(180), 30, false)),
    ] {
        let steps = method(&["Mix the lot.", text]).steps;
        let step = &steps[1];
        assert_eq!((step.at_c, step.span.likely, step.guessed), expected, "{text}");
        assert_eq!((step.station, steps.len()), (StationKind::Oven, 2), "{text}");
    }
    let crisp = method(&[
        "Roast in the oven at 90 °C for 7 hours.",
        "Take it out and let it rest for 30 minutes.",
        "Increase the oven to 240 °C and return it for the final 10 minutes until crisp.",
        "Warm over a low heat until the core is 75 °C.",
    ]);
    let crisp: Vec<_> = crisp.steps.iter().map(|s| (s.station, s.at_c)).collect();
    assert_eq!(crisp[2..], [(StationKind::Oven, Some(240)), (StationKind::Stovetop, None)]);
    let sear = method(&["Sear in an ovenproof pan for 3 minutes."]).steps.remove(0);
    assert_eq!(sear.station, StationKind::Stovetop);
    for (text, expected) in [
        ("Leave in the frying pan for 10 minutes.", "bake oven 20-20-20 <> +10 counter"),
        ("Leave in the oven for 10 minutes.", "bake oven 30-30-30 <>"),
        ("Leave in the oven, switched off, for 10 minutes.", "bake oven 20-20-20 <> +10 counter"),
    ] {
        let left = method(&[&format!("Bake at 180 °C for 20 minutes. {text}")]);
        assert_eq!(shown(&left), [expected], "{text}");
    }
}

/// A method that goes on and on is read in a moment, and by no call within a call.
#[test]
fn no_method_is_too_long() {
    for text in ["dry-", "turn, ", "180 °C ", "1 hour to ", "reduce, the heat ", "(3 minutes) or "]
    {
        let long = text.repeat(5_000);
        let begun = std::time::Instant::now();
        assert!(method(&[&long]).steps.len() <= 60, "{text}");
        // A second at most, but on the slowest machine: read twice by twice it takes minutes.
        assert!(begun.elapsed().as_secs() < 20, "{text}: {:?}", begun.elapsed());
    }
}

/// A dish that is begun hot and goes on cooler is two steps, each at its own heat.
#[test]
fn an_oven_turned_to_another_heat_is_another_step() {
    for text in [
        "Roast for 15 minutes at 230 °C, reduce the heat to 160 °C and roast for 90 minutes more.",
        "Roast at 230 °C for 15 minutes. Reduce the oven to 160 °C. Roast for 90 minutes.",
        "Roast at 230 °C for 15 minutes, then roast at 160 °C for 90 minutes.",
        "Roast at 230 °C for 15 minutes, then at 160 °C for 1 hour and a half.",
        "Roast for 15 minutes at 230 °C. Turn the oven down to 160 °C and roast for 90 minutes.",
    ] {
        let steps = method(&[text]).steps;
        let heats: Vec<_> = steps.iter().map(|s| (s.at_c, s.span.likely, s.guessed_heat)).collect();
        assert_eq!(heats, [(Some(230), 15, false), (Some(160), 90, false)], "{text}");
    }
    let bare = "Bake for 20 minutes, turn the heat down to 150 °C and bake for 2 hours.";
    let steps = method(&[bare]).steps;
    assert_eq!((steps[0].span.likely, steps[0].guessed_heat), (20, true));
    assert_eq!((steps[1].span.likely, steps[1].at_c), (120, Some(150)));
    assert_eq!(steps[1].words, "turn the heat down to 150 °C and bake for 2 hours.");
    let same = method(&["Roast at 200 °C for 15 minutes, then at 200 °C for 10 minutes."]).steps;
    assert_eq!((same.len(), same[0].span.likely), (1, 25));
    let hob = method(&["Bring to a boil. Reduce the heat, cover and simmer 20 minutes."]).steps;
    assert_eq!(hob.len(), 1);
    assert_eq!((hob[0].setting, hob[0].span.likely), (Some(Setting::Low), 28));
    let slurry =
        method(&["Blend the starch and water. Cover; reduce heat; simmer 4 minutes."]).steps;
    assert_eq!((slurry[0].label.as_str(), slurry[0].span.likely), ("blend", 4));
    assert_eq!(slurry[1].words, "reduce heat; simmer 4 minutes.");
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

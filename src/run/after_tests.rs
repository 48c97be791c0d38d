//! The demo cook plays an evening, and the report tells how it went.

use super::alarms::history;
use super::hand::next_mark;
use super::report::report;
use super::state::MINUTE_MS;
use super::testbed::{adopted, evening, key, ms, on_time, plan, state};
use super::{AlarmKind, Event, Mark, State};

/// Plays the evening in steps of ten seconds; the marks that were made.
fn play(seed: u64) -> (State, Vec<Mark>) {
    let mut state = State::new(evening());
    let mut marks = Vec::new();
    let mut push = |state: &mut State, at_ms, event| {
        let mark = Mark { seq: marks.len() as u64 + 1, at_ms, event };
        state.apply(&mark);
        marks.push(mark);
    };
    push(&mut state, ms("16:00"), adopted(plan(&evening())));
    for tick in 0..6 * 300 {
        let at_ms = ms("16:00") + tick * 10_000;
        while let Some(event) = next_mark(&state, at_ms, seed) {
            push(&mut state, at_ms, event);
        }
    }
    (state, marks)
}

#[test]
fn the_demo_cook_serves_everything_and_closes_the_evening() {
    for seed in 0..40 {
        let (state, marks) = play(seed);
        assert!(state.facts().finished_ms.is_some(), "seed {seed}");
        assert_eq!(state.notes(), [], "seed {seed}");
        let unsafe_past = history(evening(), &marks, ms("21:00"))
            .into_iter()
            .filter(|r| r.kind == AlarmKind::UnsafePast)
            .count();
        assert_eq!(unsafe_past, 0, "seed {seed}");
    }
}

#[test]
fn the_same_seed_plays_the_same_evening_and_others_do_not() {
    assert_eq!(play(3).1, play(3).1);
    let marks: std::collections::BTreeSet<String> =
        (0..8).map(|seed| format!("{:?}", play(seed).1)).collect();
    assert!(marks.len() > 4);
}

#[test]
fn the_demo_cook_is_mostly_on_time_and_sometimes_slips() {
    let (mut late, mut more, mut starts) = (0, 0, 0);
    for seed in 0..40 {
        let (state, marks) = play(seed);
        more += marks.iter().filter(|m| matches!(m.event, Event::NeedsMore { .. })).count();
        for block in &plan(&evening()).blocks {
            let run = state.facts().progress[&block.key].run().expect("begun").start_ms;
            let slip = (run - state.ms(block.start)) / MINUTE_MS;
            starts += 1;
            late += usize::from(slip >= 3);
        }
    }
    assert!(late > 0 && late * 5 < starts, "{late} of {starts}");
    assert!(more > 0 && more < 40, "{more}");
}

#[test]
fn the_report_compares_plan_and_evening() {
    let mut rows = on_time("17:05");
    rows.extend([
        ("17:24", "done pie fill"),
        ("17:20", "done soup simmer"),
        ("18:05", "serve soup"),
        ("18:05", "serve dip"),
        ("18:06", "move mains 19:10"),
        ("18:30", "clear soup put_away"),
        ("18:31", "drop fries"),
        ("20:40", "clear dip put_away"),
    ]);
    let state = state(&rows);
    let told = report(&state, ms("20:45"));
    let fill = told.steps.iter().find(|s| s.key == key(&evening(), "pie", "fill", 0));
    let fill = fill.expect("told");
    assert_eq!((fill.over(), fill.planned.map(|p| p.0)), (Some(4), Some(1025)));
    let text = told.text(&state);
    for line in [
        "  Starters: asked for 18:00, served 18:05, 5 min late",
        "  Mains: asked for 19:00, moved to 19:10; not served: pie",
        "Steps                               planned      actual       against recipe",
        "  pie: fill                         17:05-17:20  17:05-17:24  4 min longer",
        "  Soup, 18:30: eat it within 3 days.",
        "  Dip, 20:40: it stood out past its limit: throw it out.",
        "Local rules and package directions win.",
    ] {
        assert!(text.contains(line), "{line}\nin\n{text}");
    }
}

#[test]
fn what_still_stands_out_is_told_with_its_limit() {
    let state = state(&on_time("19:00"));
    let told = report(&state, ms("19:30"));
    assert_eq!(told.out.len(), 4);
    let dip = &told.out[0];
    assert_eq!((dip.dish.as_str(), dip.until_ms), ("Dip", Some(ms("19:50"))));
    assert!(told.text(&state).contains("  Dip (table): until 19:50."));
    assert!(told.advice.iter().any(|a| a.contains("Heat it again")));
}

/// What the table of steps and the services say where nothing is as planned.
#[test]
fn the_report_says_early_shorter_and_left_out() {
    let mut rows = on_time("18:40");
    rows.retain(|r| r.1 != "done dip mix" && r.1 != "start dip chill");
    rows.extend([
        ("16:27", "done dip mix"),
        ("16:30", "start dip chill"),
        ("18:45", "skip pie rest"),
        ("18:55", "serve pie"),
    ]);
    rows.sort_by_key(|r| ms(r.0));
    let state = state(&rows);
    let text = report(&state, ms("19:10")).text(&state);
    for line in [
        "  Starters: asked for 18:00, served 18:00, on time\n",
        "  Mains: asked for 19:00, served 18:55, 5 min early\n",
        "  dip: mix                          16:20-16:30  16:20-16:27  3 min shorter\n",
        "  fries: fry 2 of 2                 17:50-17:58  17:50-17:58  as long\n",
        "  pie: rest                         18:40-18:50  -            left out\n",
    ] {
        assert!(text.contains(line), "{line}\nin\n{text}");
    }
}

/// USDA: two hours, from when it came off the heat.
#[test]
fn what_stands_out_past_its_limit_is_told_since_when() {
    let state = state(&on_time("19:00"));
    let out = |at: &str| report(&state, ms(at)).text(&state);
    assert!(out("20:39").contains("  Pie (table): until 20:40.\n"), "{}", out("20:39"));
    assert!(out("20:39").contains("\nStill out\n") && !out("20:39").contains("\nPut away\n"));
    let none = report(&super::testbed::state(&[]), ms("16:10")).text(&state);
    assert!(!none.contains("Still out") && !none.contains("Steps"), "{none}");
    assert!(out("20:40").contains("  Pie (table): past its limit since 20:40.\n"));
    assert!(report(&state, ms("20:40")).after.iter().any(|l| l.contains("Pie: past its limit.")));
    assert!(!report(&state, ms("20:39")).after.iter().any(|l| l.contains("Pie: past its limit.")));
}

/// A label for each that is put away: the day on which the first of it was done, the day before the party too; what
/// was finished after midnight was made on that day.
#[test]
fn a_label_has_the_day_on_which_the_first_of_it_was_made() {
    use chrono::NaiveDate;
    let day = |d| NaiveDate::from_ymd_opt(2026, 10, d);
    let label = |before: bool, marks: &[(i64, &str)]| {
        let mut evening = crate::kitchen::Evening::clone(&evening());
        evening.sheets[0].recipe.steps[0].day_before = before;
        let all: Vec<Mark> = (1..)
            .zip(marks)
            .map(|(seq, (at_ms, text))| Mark {
                seq,
                at_ms: *at_ms,
                event: super::testbed::event(text),
            })
            .collect();
        let state = super::fold(std::sync::Arc::new(evening), &all);
        let labels = super::afterwards::afterwards(&state, all.last().expect("marks").at_ms).labels;
        labels.iter().map(|l| Some(l.made)).collect::<Vec<_>>()
    };
    let made = |first: &str, back_ms: i64, last: &str| {
        let (first, last) = (ms(first) - back_ms, ms(last));
        [
            (first, "start soup chop"),
            (first + 10 * MINUTE_MS, "done soup chop"),
            (last, "start soup simmer"),
            (last + 30 * MINUTE_MS, "done soup simmer"),
            (last + 35 * MINUTE_MS, "clear soup put_away"),
        ]
    };
    let day_ms = 24 * 60 * MINUTE_MS;
    assert_eq!(label(false, &made("16:40", 0, "16:50")), [day(24)]);
    assert_eq!(label(true, &made("20:00", day_ms, "16:50")), [day(23)]);
    assert_eq!(
        label(false, &made("20:00", day_ms, "16:50")),
        [day(24)],
        "no step of the day before"
    );
    assert_eq!(label(false, &made("23:20", 0, "23:30")), [day(25)]);
    assert_eq!(label(false, &made("23:00", 0, "23:29")), [day(24)], "a minute before midnight");
}

/// An evening whose soup's leeks are chopped the day before if `before`, by these marks; changed by `change`.
fn soup_from(
    before: bool,
    more: &[(i64, &str)],
    change: impl Fn(&mut crate::kitchen::Evening),
) -> State {
    let mut evening = crate::kitchen::Evening::clone(&evening());
    evening.sheets[0].recipe.steps[0].day_before = before;
    change(&mut evening);
    let back_ms = if before { 24 * 60 * MINUTE_MS } else { 0 };
    let made = [
        (ms("16:40") - back_ms, "start soup chop"),
        (ms("16:50") - back_ms, "done soup chop"),
        (ms("16:50"), "start soup simmer"),
        (ms("17:20"), "done soup simmer"),
    ];
    let all: Vec<Mark> = (1..)
        .zip(made.iter().chain(more))
        .map(|(seq, (at_ms, text))| Mark { seq, at_ms: *at_ms, event: super::testbed::event(text) })
        .collect();
    super::fold(std::sync::Arc::new(evening), &all)
}

/// In the UK cooked rice and the like keep one day (a lesson that follows the agency's advice): from the day on which the
/// first of it was made, whenever it was put away, as its label says.
#[test]
fn what_is_put_away_keeps_from_when_it_was_made() {
    let kept = |before: bool, guidance: &str, away: &str| {
        let state = soup_from(before, &[(ms(away), "clear soup put_away")], |evening| {
            evening.party.guidance = guidance.to_owned();
            // Fit to be kept all the same: this is about its days.
            evening.sheets[0].recipe.holds.truncate(1);
        });
        let told = report(&state, ms(away));
        told.kept.into_iter().map(|k| k.keeps).next().expect("put away")
    };
    assert_eq!(kept(false, "uk", "17:30"), "eat it tomorrow at the latest");
    assert_eq!(kept(true, "uk", "17:30"), "eat it today at the latest");
    assert_eq!(kept(false, "us_consumer", "17:30"), "eat it within 3 days");
    assert_eq!(kept(true, "us_consumer", "17:30"), "eat it within 2 days");
    // After midnight a day is gone.
    let late = |before| {
        let state = soup_from(
            before,
            &[(ms("23:30"), "hold soup 0 hob"), (ms("24:30"), "clear soup put_away")],
            |_| (),
        );
        super::afterwards::keeps(&state, super::food::Food::whole(0), (ms("24:30"), ms("24:30")))
    };
    assert_eq!(
        (late(false), late(true)),
        ("eat it within 2 days".into(), "eat it tomorrow at the latest".into())
    );
}

/// What is put together keeps no longer than the oldest of it, and not without the fridge if one of it does not.
#[test]
fn what_is_put_together_keeps_no_longer_than_the_oldest_of_it() {
    let labels = |joined: bool, dry: bool| {
        let mut marks = vec![
            (ms("17:00"), "start dip mix"),
            (ms("17:10"), "done dip mix"),
            (ms("17:10"), "start dip chill"),
            (ms("18:20"), "serve dip"),
            (ms("18:20"), "part soup 1 off"),
            (ms("18:21"), "part soup 1 join dip"),
            (ms("18:30"), "clear dip put_away"),
        ];
        marks.retain(|m| joined || !m.1.starts_with("part"));
        let state = soup_from(true, &marks, |evening| {
            if dry {
                let dry = serde_json::json!({"class": "baked_dry", "exempt": "dry_baked"});
                evening.sheets[1].recipe.safety = serde_json::from_value(dry).expect("reads");
            }
        });
        let labels = super::afterwards::afterwards(&state, ms("18:35")).labels;
        let words = report(&state, ms("18:35")).kept.into_iter().map(|k| k.keeps).next();
        let day = |d: chrono::NaiveDate| d.format("%-d").to_string();
        let label = labels.first().map(|l| (day(l.made), l.use_by.map(day)));
        (label.expect("a label"), words.expect("put away"))
    };
    let is = |made: &str, last: Option<&str>, words: &str| {
        ((made.to_owned(), last.map(str::to_owned)), words.to_owned())
    };
    assert_eq!(labels(false, false), is("24", Some("27"), "eat it within 3 days"));
    assert_eq!(labels(true, false), is("23", Some("26"), "eat it within 2 days"));
    assert_eq!(labels(false, true), is("24", None, "keeps without the fridge"));
    assert_eq!(labels(true, true), is("23", Some("26"), "eat it within 2 days"));
}

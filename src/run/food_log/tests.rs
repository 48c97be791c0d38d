use super::{FoodLog, Format, food_log};
use crate::run::afterwards::afterwards;
use crate::run::fold;
use crate::run::testbed::{evening_by, marks, ms, on_time};

const LEFT: [(&str, &str); 8] = [
    ("17:30", "temp soup 50"),
    ("19:20", "clear soup put_away"),
    ("19:21", "clear dip put_away"),
    ("19:22", "clear fries thrown_out"),
    ("19:30", "temp soup 60"),
    ("20:00", "temp soup 45"),
    ("20:05", "air 24"),
    ("20:10", "guidance uk"),
];

fn rows(until: &str, more: &[(&'static str, &'static str)]) -> Vec<(&'static str, &'static str)> {
    let mut rows = on_time(until);
    rows.extend(more);
    rows.sort_by_key(|r| ms(r.0));
    rows
}

#[test]
fn the_log_says_what_was_measured_against_which_limit() {
    let rows = rows("19:00", &LEFT);
    let state = fold(evening_by("us_consumer"), &marks(&rows));
    let log = food_log(&state, ms("20:30"));
    let of = |food: &str, what: &str| {
        let mut found = log.rows.iter().filter(|r| r.food.contains(food) && r.what == what);
        found.next().unwrap_or_else(|| panic!("{food} {what}: {:#?}", log.rows))
    };
    // By the figure in force at 17:30, USDA's 140 °F; the UK's holds later on.
    let cold = of("oup", "measured");
    assert!(cold.limit.contains("60 °C") || cold.limit.contains("140"), "{}", cold.limit);
    assert!(cold.guidance.contains("USDA"), "{}", cold.guidance);
    assert!(log.rows.last().is_some_and(|r| r.guidance.contains("UK")), "{:?}", log.rows.last());
    assert_eq!((cold.verdict, cold.when.as_str()), ("NOT MET", "2026-10-24 17:30"));
    assert!(cold.reading.starts_with("122.0 °F") || cold.reading.starts_with("50.0 °C"));
    assert_eq!(of("Fries", "thrown out").when, "2026-10-24 19:22");
    assert_eq!(of("room", "air measured").at_ms, ms("20:05"));
    assert!(log.rows.iter().any(|r| r.what.contains("guidance changed to UK")));
    assert!(log.guidance.contains("regulations of 2006 and 2013"));
    let times: Vec<i64> = log.rows.iter().map(|r| r.at_ms).collect();
    assert!(times.is_sorted());
    // The soup's hold had failed by 17:30, and a second time out is not allowed.
    assert!(log.rows.iter().any(|r| r.what == "PAST ITS LIMIT" && r.food.contains("oup")));
    assert!(log.after.must_go.iter().any(|l| l.contains("oup")), "{:?}", log.after);
}

/// RFC 4180: CRLF, quotes doubled; a page that loads and runs nothing.
#[test]
fn it_prints_as_text_table_and_page() {
    let mut evening = crate::kitchen::Evening::clone(&evening_by("us_consumer"));
    evening.party.title = "\"Supper\", <b>&co".to_owned();
    evening.sheets[0].recipe.title = "Soup, \"thick\" & <hot>".to_owned();
    evening.sheets[0].recipe.short = Some("Soup, \"thick\" & <hot>".to_owned());
    let state = fold(std::sync::Arc::new(evening), &marks(&rows("19:00", &LEFT[..7])));
    let log = food_log(&state, ms("20:30"));
    let csv = log.print(Format::Csv);
    let lines: Vec<&str> = csv.split("\r\n").collect();
    assert_eq!(lines.len(), log.rows.len() + 2);
    assert_eq!(lines[0], "time,food,what,reading,limit,met,guidance");
    assert!(csv.contains("\"\"thick\"\"") && !csv.replace("\r\n", "").contains('\n'));
    let page = log.print(Format::Html);
    assert!(page.contains("&lt;b&gt;&amp;co") && page.contains("&lt;hot&gt;"));
    for outside in ["<script", "http:", "https:", "src=", "href=", "<b>", "<hot>", "@import"] {
        assert!(!page.to_lowercase().contains(outside), "{outside}");
    }
    for tag in ["table", "tbody", "tr", "td", "th", "p", "ul", "li", "h2"] {
        let opened =
            page.matches(&format!("<{tag}>")).count() + page.matches(&format!("<{tag} ")).count();
        assert_eq!(opened, page.matches(&format!("</{tag}>")).count(), "{tag}");
    }
    let text = log.print(Format::Text);
    assert!(text.contains("Local rules and package directions win."));
    assert!(text.contains("hot_hold_least: 140 °F (60 °C)"), "{text}");
    // An evening of which nothing was marked prints too.
    let empty = food_log(&fold(evening_by("canada"), &[]), ms("16:00"));
    assert!(empty.rows.is_empty() && empty.print(Format::Text).contains("Nothing was marked"));
}

/// Food Code 2022, 3-501.14(A): 135 °F at the end of hot holding; 70 °F 2 h
/// later, 41 °F 6 h later, also past midnight. 3-501.17(A): the day it was made
/// is day 1 of 7.
#[test]
fn what_is_left_cools_by_the_stages_and_gets_a_label() {
    let rows = rows(
        "17:20",
        &[
            ("20:00", "temp soup 70"),
            ("20:00", "clear soup put_away"),
            ("20:40", "temp soup 50"),
            ("21:10", "temp soup 40"),
        ],
    );
    let state = fold(evening_by("us_food_code_2022"), &marks(&rows));
    let after = afterwards(&state, ms("21:15"));
    let all = after.cooling.join("\n");
    assert!(all.contains("by 22:00") && all.contains("by 02:00"), "{all}");
    // By Newton's law 50 to 40 °C in half an hour in air of 2.8 is 0.0079 a minute: 89 minutes to 21.1 °C, 29 too many.
    assert!(all.contains("Soup: last measured 40.0 °C at 21:10"), "{all}");
    let slow =
        "at 22:39; measure again at 21:35. TOO SLOW: divide it, ice water, stir. (an estimate";
    assert!(all.contains(slow) && all.contains("not a safety decision"), "{all}");
    assert!(after.methods[0].contains("3-501.15"), "{:?}", after.methods);
    assert_eq!(after.labels.len(), 1);
    let line = after.labels[0].line();
    assert!(line.contains("made Sat 24 Oct | use by Fri 30 Oct"), "{line}");
    assert!(line.contains("within 120 min"), "{line}");
    let text = crate::run::report(&state, ms("21:15")).text(&state);
    assert!(text.contains("\nLabels\n") && text.contains("\nCooling\n"), "{text}");
}

/// Standard 3.2.2 clause 7(3): 60 to 21 °C in 2 h, then 5 °C within a further
/// 4 h: a quick first leg gives nothing to the second.
#[test]
fn in_australia_the_second_leg_is_its_own() {
    let cooled = |more: &[(&'static str, &'static str)]| {
        let mut left = vec![("20:00", "temp soup 70"), ("20:00", "clear soup put_away")];
        left.extend(more);
        let state = fold(evening_by("australia"), &marks(&rows("17:20", &left)));
        afterwards(&state, ms("21:45")).cooling.join("\n")
    };
    assert!(cooled(&[]).contains("5 °C or colder by 02:00") || cooled(&[]).contains("by 02:00"));
    let quick = cooled(&[("21:00", "temp soup 25"), ("21:30", "temp soup 20")]);
    assert!(quick.contains("by 01:00"), "{quick}");
}

/// What food and time say of a log, a line each.
fn said(log: &FoodLog, food: &str) -> Vec<String> {
    let of = log.rows.iter().filter(|r| r.food == food);
    of.map(|r| format!("{} {}", &r.when[11..], r.what)).collect()
}

/// Food Code 2022, 3-501.14(A) for the soup that cools; USDA chart of June 2012 for the pie.
#[test]
fn a_limit_that_was_missed_is_named_as_what_it_is() {
    let limit = |guidance: &str, until: &str, more: &[(&'static str, &'static str)], what: &str| {
        let log = food_log(&fold(evening_by(guidance), &marks(&rows(until, more))), ms("23:30"));
        log.rows.iter().find(|r| r.what == what).map(|r| r.limit.clone()).unwrap_or_default()
    };
    let low = [("18:39", "temp pie 66"), ("18:45", "clear pie thrown_out")];
    let pie = limit("us_consumer", "18:40", &low, "NOT HOT ENOUGH INSIDE");
    assert!(pie.contains("73.9 °C") || pie.contains("165 °F"), "{pie}");
    let slow =
        [("20:00", "temp soup 70"), ("20:00", "clear soup put_away"), ("22:05", "temp soup 30")];
    let soup = limit("us_food_code_2022", "17:20", &slow, "COOLED TOO SLOWLY");
    assert!(soup.contains("21.1 °C") && soup.contains("by 22:00"), "{soup}");
    let table = limit("us_consumer", "18:00", &[], "PAST ITS LIMIT");
    let profile = crate::safety::Profile::by_id("us_consumer").expect("ours");
    assert_eq!(table, profile.room_rule.title);
}

#[test]
fn the_log_ends_with_the_evening_and_says_where_food_was_and_what_was_done() {
    let log = |more: &[(&'static str, &'static str)], at: &str| {
        food_log(&fold(evening_by("us_consumer"), &marks(&rows("19:00", more))), ms(at))
    };
    let open = log(&[], "23:00");
    let soup = said(&open, "Soup");
    assert_eq!(soup[0], "17:20 kept hot", "{soup:?}");
    assert_eq!(soup[1], "18:00 on the table: its time runs", "{soup:?}");
    let passed = |log: &FoodLog| log.rows.iter().filter(|r| r.what == "PAST ITS LIMIT").count();
    assert!(passed(&open) > 0);
    assert_eq!(passed(&log(&[("19:10", "finished")], "23:00")), 0, "it was closed before");
    assert!(log(&[], "19:30").rows.iter().all(|r| r.at_ms <= ms("19:30")));
    // Parts from when they were taken off, not before.
    let parts = log(&[("18:10", "part soup 1 fridge"), ("18:40", "part soup 1 temp 30")], "19:10");
    let part = said(&parts, "Soup, part 1");
    assert_eq!(part[0], "18:10 put to cool in the fridge", "{part:?}");
    assert!(part.contains(&"18:10 taken off the rest".to_owned()), "{part:?}");
    assert!(part.contains(&"18:40 measured".to_owned()), "{part:?}");
    assert!(part.iter().all(|l| l.as_str() >= "18:10"), "{part:?}");
    let answered = log(&[("22:30", "answer unsafe_past:soup:: discarded")], "23:00");
    let soup = said(&answered, "Soup");
    assert!(soup.contains(&"22:30 done about its limit: thrown out".to_owned()), "{soup:?}");
    let air = log(&[("19:05", "air 24")], "19:10");
    let room = air.rows.iter().find(|r| r.food == "room").expect("measured");
    assert!(!room.reading.is_empty());
    // Said twice in one moment it stands there once.
    let mut once = air.rows.clone();
    once.dedup();
    assert_eq!(once.len(), air.rows.len());
}

/// A plain table: each column under its head, and nothing of a table where nothing was marked.
#[test]
fn the_text_has_its_columns_under_their_heads() {
    let state = fold(evening_by("us_consumer"), &marks(&rows("19:00", &LEFT)));
    let log = food_log(&state, ms("20:30"));
    let text = log.print(Format::Text);
    let head = text.lines().find(|l| l.starts_with("time ")).expect("heads");
    let at = head.find("what").expect("a column");
    let of_rows = text.lines().filter(|l| l.starts_with("2026-10-24"));
    let whats: Vec<&str> =
        of_rows.map(|l| &l[l.char_indices().nth(at).expect("long").0..]).collect();
    assert_eq!(whats.len(), log.rows.len());
    for (row, what) in log.rows.iter().zip(whats) {
        assert!(what.starts_with(&row.what), "{what:?} {:?}", row.what);
    }
    let csv = log.print(Format::Csv);
    let guidance = &log.rows[0].guidance;
    assert!(csv.lines().nth(1).is_some_and(|l| l.contains(guidance)), "{csv}");
    let page = log.print(Format::Html);
    for there in ["Figures and their sources", "Must go", "Labels", "past its limit. Throw it out."]
    {
        assert!(page.contains(there), "{there}");
    }
    // Up to the first sign that a page writes otherwise.
    let plain = |line: &String| line.split(['\'', '"', '<', '>', '&']).next().map(str::to_owned);
    assert!(log.cautions.iter().filter_map(plain).all(|c| page.contains(&c)), "{page}");
    assert!(!page.contains("Nothing was marked"));
    let empty = food_log(&fold(evening_by("canada"), &[]), ms("16:00"));
    assert!(!empty.print(Format::Text).contains("reading"));
    assert!(empty.print(Format::Html).contains("Nothing was marked"));
}

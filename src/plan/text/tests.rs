//! Plans as they are read.

use unicode_width::UnicodeWidthStr;

use super::*;
use crate::kitchen::units::Degrees;
use crate::paper::{COLUMNS, Lines};
use crate::plan::compose::tests::supper;
use crate::plan::{Situation, risk};

#[test]
fn a_small_supper_reads_like_this() {
    let (evening, plan) = supper();
    insta::assert_snapshot!(text(&evening, &plan));
}

#[test]
fn how_a_service_fares_stands_below_it() {
    let (evening, plan) = supper();
    let odds = risk::forecast(&evening, &Situation::default(), &plan, 1, 400);
    let page = text_with(&evening, &plan, &odds);
    let lines: Vec<&str> = page.lines().collect();
    let service = lines.iter().position(|l| l.starts_with("19:00 ")).expect("the service");
    let said = risk::words::percent(odds.of(0).expect("the service"));
    assert!(lines[service + 1].starts_with(&format!("      {said}: ")), "{page}");
    assert!(page.contains("evenings on time ("), "{page}");
    assert!(lines.iter().all(|l| l.width() <= COLUMNS));
}

#[test]
fn degrees_are_those_of_the_party() {
    let (mut evening, plan) = supper();
    evening.customs.degrees = Degrees::Fahrenheit;
    let page = text(&evening, &plan);
    assert!(page.contains("Oven to 356 °F; hot at 16:20"), "{page}");
    assert!(!page.contains("°C"));
}

#[test]
fn late_dishes_are_named_at_the_top() {
    let (evening, mut plan) = supper();
    plan.services[0].dishes[0].2 += 12;
    let page = text(&evening, &plan);
    assert!(page.contains("Roast 12 min late (19:12)."), "{page}");
}

#[test]
fn no_line_is_wider_than_the_page() {
    let (mut evening, plan) = supper();
    evening.party.title = "餐".repeat(120);
    evening.kitchen.stations[0].title =
        "The very big oven in the other room by the door ".repeat(4);
    evening.sheets[0].recipe.short = Some("x".repeat(200));
    for line in text(&evening, &plan).lines() {
        assert!(line.width() <= COLUMNS, "{line}");
    }
}

#[test]
fn the_quality_never_promises_too_much() {
    assert_eq!(quality(Proof::Best), "Proved best: no other plan does better.");
    assert_eq!(quality(Proof::WithinPermille(21)), "Within 3 % of the best that is possible.");
    assert_eq!(quality(Proof::WithinPermille(0)), "Within 1 % of the best that is possible.");
    assert_eq!(quality(Proof::WithinPermille(2_042)), quality(Proof::Stopped));
    assert!(quality(Proof::Stopped).contains("may still be improved"));
}

#[test]
fn lines_break_between_words_and_lists_read_aloud() {
    let mut lines = Lines::default();
    lines.put(4, &format!("a {} b", "c".repeat(78)));
    assert_eq!(lines.text, format!("a {}\n    b\n", "c".repeat(78)));
    let names = |n: usize| (0..n).map(|i| i.to_string()).collect::<Vec<_>>();
    assert_eq!([list(&names(0)), list(&names(1)), list(&names(3))], ["", "0", "0, 1 and 2"]);
}

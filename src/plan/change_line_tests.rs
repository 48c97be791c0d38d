//! How much goes on the line, and in which order.

use super::*;
use crate::kitchen::Service;
use crate::plan::compose::tests::supper;

fn items(lengths: &[usize]) -> Vec<Item> {
    let letters = ["A", "B", "C", "D"];
    let words = |(at, n): (usize, &usize)| letters[at].repeat(*n);
    lengths.iter().enumerate().map(|at| Item { weight: 0, words: words(at) }).collect()
}

/// As many as there is room for, and never a letter more; the rest is counted, if there is room for that.
#[test]
fn a_line_holds_what_it_can_and_counts_the_rest() {
    let lengths = [
        1, 5, 20, 27, 28, 29, 30, 40, 41, 42, 43, 44, 45, 46, 76, 77, 78, 79, 80, 81, 87, 88, 89,
        90, 91, 120,
    ];
    let of = |n: usize| -> Vec<Vec<usize>> {
        let longer = |all: Vec<Vec<usize>>| -> Vec<Vec<usize>> {
            let with = |v: Vec<usize>| lengths.iter().map(move |l| [v.clone(), vec![*l]].concat());
            all.into_iter().flat_map(with).collect()
        };
        (0..n).fold(vec![Vec::new()], |all, _| longer(all))
    };
    for lengths in
        of(1).into_iter().chain(of(2)).chain(of(3)).chain([vec![20; 4], vec![19; 4], vec![18; 4]])
    {
        let items = items(&lengths);
        let line = join(&items);
        let letters = |text: &str| text.chars().count();
        assert!(letters(&line) <= MOST_LETTERS && line.ends_with('.'), "{lengths:?}: {line}");
        let parts: Vec<&str> = line.trim_end_matches('.').split("; ").collect();
        let counted = parts
            .last()
            .and_then(|p| p.strip_suffix(" more"))
            .map(|n| n.parse::<usize>().expect("a number"));
        let said = parts.len() - usize::from(counted.is_some());
        // What is said is said whole, but for a first one that is longer than the line.
        for (part, item) in
            parts.iter().zip(&items[..said]).skip(usize::from(lengths[0] >= MOST_LETTERS))
        {
            assert_eq!(*part, item.words, "{lengths:?}");
        }
        assert_eq!(letters(parts[0]), lengths[0].min(MOST_LETTERS - 1), "{lengths:?}");
        let rest = lengths.len() - said;
        assert!(counted.is_none_or(|n| n == rest && n > 0), "{lengths:?}: {line}");
        let long = |n: usize| {
            lengths[0].min(MOST_LETTERS - 1) + lengths[1..n].iter().map(|l| l + 2).sum::<usize>()
        };
        let tail = |rest: usize| if rest > 0 { letters(&format!("; {rest} more")) } else { 0 };
        if rest > 0 {
            assert_eq!(
                counted.is_some(),
                long(said) + tail(rest) < MOST_LETTERS,
                "{lengths:?}: {line}"
            );
            // One more would not have gone on it.
            assert!(long(said + 1) + tail(rest - 1) + 1 > MOST_LETTERS, "{lengths:?}: {line}");
        }
    }
}

#[test]
fn minutes_have_a_way() {
    assert_eq!(by(10), "10 min later");
    assert_eq!(by(-10), "10 min earlier");
    assert_eq!(clip("four", 4), "four");
    assert_eq!(clip("fourr", 4), "fou…");
}

fn moved(evening: &Evening, old: &Plan, change: impl FnOnce(&mut Plan)) -> String {
    let mut new = old.clone();
    change(&mut new);
    describe(evening, old, &new, "").moved
}

fn shift(plan: &mut Plan, dish: usize, step: usize, minutes: Minute) {
    for block in plan.blocks.iter_mut().filter(|b| (b.key.dish, b.key.step) == (dish, step)) {
        (block.start, block.end) = (block.start + minutes, block.end + minutes);
    }
}

/// The service that is later by more comes first, whatever it is called.
#[test]
fn the_later_service_is_named_first() {
    let (mut evening, mut plan) = supper();
    let first = evening.party.services[0].clone();
    evening.party.services.push(Service {
        id: "late".to_owned(),
        title: "Afters".to_owned(),
        ..first
    });
    let mut afters = plan.services[0].clone();
    afters.service = 1;
    plan.services.push(afters);
    let later = |supper: Minute, afters: Minute| {
        moved(&evening, &plan, |p| {
            for (service, minutes) in [(0, supper), (1, afters)] {
                p.services[service].dishes.iter_mut().for_each(|d| d.2 += minutes);
            }
        })
    };
    assert_eq!(later(12, 5), "Supper 12 min later (19:12); Afters 5 min later (19:05).");
    assert_eq!(later(5, 12), "Afters 12 min later (19:12); Supper 5 min later (19:05).");
    assert_eq!(later(-12, 5), "Supper 12 min earlier (18:48); Afters 5 min later (19:05).");
}

#[test]
fn a_dish_that_comes_is_on_and_before_what_moves() {
    let (evening, new) = supper();
    let mut old = new.clone();
    old.blocks.retain(|b| b.key.dish != 2);
    shift(&mut old, 1, 1, -20);
    let change = describe(&evening, &old, &new, "");
    assert_eq!(change.moved, "Yoghurt dip is on; Chips fry 20 min later (18:30).");
}

/// Of a step's loads the first that moves is named, in whatever order the blocks stand.
#[test]
fn the_first_load_speaks_for_its_step() {
    let (evening, plan) = supper();
    let line = moved(&evening, &plan, |p| {
        shift(p, 1, 1, 7);
        p.blocks.reverse();
    });
    assert_eq!(line, "Chips fry 7 min later (18:37).");
}

/// Seasoned at 16:00 for a plan of 16:00, dressed at 18:20: what is near counts more, minute for minute, up to an hour.
#[test]
fn what_is_near_and_what_moves_far_is_named_first() {
    let (evening, plan) = supper();
    let both = |season: Minute, dress: Minute| {
        moved(&evening, &plan, |p| {
            shift(p, 0, 0, season);
            shift(p, 2, 1, dress);
        })
    };
    // 240 against 100 for each minute.
    let first = |line: String| line.split(' ').next().unwrap_or_default().to_owned();
    assert_eq!(first(both(10, 10)), "Roast");
    assert_eq!(first(both(10, 23)), "Roast");
    assert_eq!(first(both(10, 25)), "Yoghurt");
    assert_eq!(first(both(30, 200)), "Roast");
    // Three minutes are spoken of beside others, two are not; alone the one that matters more is.
    assert_eq!(
        both(3, 30),
        "Yoghurt dip dress 30 min later (18:50); Roast season 3 min later (16:03)."
    );
    assert_eq!(both(2, 30), "Yoghurt dip dress 30 min later (18:50).");
    assert_eq!(both(2, 2), "Roast season 2 min later (16:02).");
    assert_eq!(
        moved(&evening, &plan, |p| {
            shift(p, 0, 2, 1);
            shift(p, 2, 1, 2);
        }),
        "Yoghurt dip dress 2 min later (18:22)."
    );
    // Another place comes before any minutes.
    let line = moved(&evening, &plan, |p| {
        shift(p, 0, 0, 60);
        for block in p.blocks.iter_mut().filter(|b| (b.key.dish, b.key.step) == (2, 1)) {
            block.station = "hob".to_owned();
        }
    });
    assert!(
        line.starts_with("Yoghurt dip dress at the hob instead of the counter (18:20); "),
        "{line}"
    );
}

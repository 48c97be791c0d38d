//! Single sentences about the supper that is set by hand (see the tests beside), its figures worked out with a pencil.

use super::super::tests::by_hand;
use super::*;
use crate::plan::planner::Planning;
use crate::plan::sample::evening;
use crate::plan::{Begun, StepKey};

fn at(hour: i32, minute: i32) -> i32 {
    hour * 60 + minute
}

/// Looks at the supper as it stands; the second argument finds a load by dish, step and load.
fn look(
    at: &Situation,
    evening: &Evening,
    see: impl FnOnce(&Words<'_>, &dyn Fn(usize, usize, u32) -> usize),
) {
    let plan = by_hand(&crate::plan::sample::evening());
    let planning = Planning::new(evening, at).expect("a problem");
    let schedule = planning.schedule_of(&plan);
    let stand = Stand { problem: planning.problem(), schedule: &schedule };
    let words = Words { evening, situation: at, map: planning.map(), stand };
    let task = |dish, step, load| {
        let key = StepKey { dish, step, load };
        planning.map().tasks.iter().position(|t| t.key == key && !t.shadow).expect("a load")
    };
    see(&words, &task);
}

#[test]
fn a_place_is_its_kind_or_its_name_where_there_are_two() {
    let mut evening = evening();
    let plan = by_hand(&evening);
    let block = |dish, step| {
        let of = |b: &&Block| (b.key.dish, b.key.step) == (dish, step);
        plan.blocks.iter().find(of).expect("a block")
    };
    look(&Situation::default(), &evening, |words, _| {
        assert_eq!(words.place(block(0, 1)), "oven, 180 °C");
        assert_eq!(words.place(block(1, 1)), "air fryer");
        assert_eq!(words.oven(0), "oven");
    });
    let mut second = evening.kitchen.stations[2].clone();
    (second.id, second.title) = ("second".into(), "Old fryer".into());
    evening.kitchen.stations[2].title = "New fryer".into();
    evening.kitchen.stations.push(second);
    look(&Situation::default(), &evening, |words, _| {
        assert_eq!(words.place(block(0, 1)), "oven, 180 °C");
        assert_eq!(words.place(block(1, 1)), "new fryer");
    });
}

#[test]
fn what_costs_nothing_says_how_far() {
    look(&Situation::default(), &evening(), |words, task| {
        let (fry, first) = (task(1, 1, 1), task(1, 1, 0));
        let free = |free| Room { free, ..Room::default() };
        let alone = |minutes| words.nothing(fry, &[(fry, 1)], Side::Later, free(minutes));
        assert_eq!(alone(12), "Nothing holds it here: 12 min later costs nothing.");
        assert_eq!(alone(0), "Nothing holds it here: 1 min later costs nothing.");
        assert_eq!(
            words.nothing(fry, &[(fry, -1), (first, -1)], Side::Earlier, free(0)),
            "It and chips (fry, load 1) could be earlier together: nothing is lost by that."
        );
    });
}

/// Mixed at 17:10, the dip waits 87 minutes of the 90 that do it best, at 2 points for ten; hours cost 400 a minute and idle
/// ones 200. The roast waits 20 minutes, 5 of them for nothing, at 3 points for ten.
#[test]
fn a_price_names_what_costs_most_and_where() {
    look(&Situation::default(), &evening(), |words, task| {
        let (season, roast, rest) = (task(0, 0, 0), task(0, 1, 0), task(0, 2, 0));
        let mix = task(2, 0, 0);
        assert_eq!(
            words.price(mix, &[(mix, 10)], Side::Later),
            (
                mix,
                "It could be 10 min later, but it takes 10 min from the wait before yoghurt dip \
                 (dress), which does it good."
                    .to_owned()
            )
        );
        assert_eq!(
            words.price(mix, &[(mix, -10)], Side::Earlier),
            (mix, "It could be 10 min earlier, but it starts your hours 10 min sooner.".to_owned())
        );
        // By how much: what the others move along by.
        assert_eq!(
            words.price(mix, &[(season, -5), (mix, -7)], Side::Earlier),
            (
                mix,
                "It and roast (season) could be 5 min earlier together, but it starts your hours \
                 7 min sooner."
                    .to_owned()
            )
        );
        // It shows at the last load of the dish.
        assert_eq!(
            words.price(season, &[(season, -9), (roast, -10), (rest, -10)], Side::Earlier),
            (
                rest,
                "It and 2 more, as far as roast (roast), could be 10 min earlier together, but it \
                 makes roast wait 10 min longer past the best, for supper at 19:00."
                    .to_owned()
            )
        );
        // All that is dearer, the dearest first: 10 x 400 and 10 x 200.
        let dearer = words.dearer(&[(mix, -10)]);
        let told: Vec<_> = dearer.iter().map(|t| (t.kind, t.amount, t.cost)).collect();
        assert_eq!(told, [(TermKind::Hours, 10, 4_000), (TermKind::Idle, 1_000, 2_000)]);
    });
}

#[test]
fn what_ended_by_now_is_done_and_what_ends_later_runs() {
    let key = StepKey { dish: 0, step: 0, load: 0 };
    let fact = |end| {
        let station = "board".into();
        let done = Begun::Done { start: at(17, 20), end, way: 0, station, left_out: false };
        let situation = Situation {
            now: Some(at(17, 30)),
            begun: [(key, done)].into(),
            ..Situation::default()
        };
        let mut said = None;
        look(&situation, &evening(), |words, task| said = words.fact(task(0, 0, 0)));
        said
    };
    assert_eq!(fact(at(17, 30)).as_deref(), Some("It is done: 17:20 to 17:30."));
    assert_eq!(fact(at(17, 20)).as_deref(), Some("It was left out."));
}

#[test]
fn one_place_is_taken_and_several_are_full() {
    let mut evening = evening();
    evening.kitchen.stations[4].slots = 1;
    look(&Situation::default(), &evening, |words, task| {
        let fry = Who::Task(task(1, 1, 0));
        let taken = |station| words.taken(station, fry, at(18, 33), at(18, 42), Side::Earlier);
        assert_eq!(taken(2), "the air fryer is taken until 18:42: chips (fry, load 1).");
        assert_eq!(taken(3), "the counter is full until 18:42: chips (fry, load 1).");
        assert_eq!(taken(4), "the fridge is full until 18:42: chips (fry, load 1).");
    });
}

/// Two minutes of hands from 17:30, one to 18:30.
#[test]
fn only_the_hands_at_the_end_are_its_tail() {
    look(&Situation::default(), &evening(), |words, task| {
        let roast = task(0, 1, 0);
        let tail = |from, to, side| words.is_tail(roast, from, to, side);
        assert!(tail(at(18, 20), at(18, 29), Side::Earlier));
        assert!(!tail(at(18, 20), at(18, 30), Side::Earlier));
        assert!(!tail(at(17, 20), at(17, 30), Side::Earlier));
        assert!(tail(at(18, 30), at(18, 40), Side::Later));
        assert!(!tail(at(18, 29), at(18, 40), Side::Later));
        // Cut from its start to its end, the chips have none.
        assert!(!words.is_tail(task(1, 0, 0), at(17, 0), at(17, 40), Side::Earlier));
    });
}

/// At the load of the step that it names; else at the last of its dish to end; of no dish, at the first of all.
#[test]
fn a_price_arises_at_the_load_that_it_names() {
    look(&Situation::default(), &evening(), |words, task| {
        let (mix, dress, season) = (task(2, 0, 0), task(2, 1, 0), task(0, 0, 0));
        let (first, third) = (task(1, 1, 0), task(1, 1, 2));
        let all = [(dress, 1), (third, 1), (first, 1), (season, 1), (mix, 1)];
        let at = |dish: Option<&str>, step: Option<&str>, moves: &[(usize, i32)]| {
            let (dish, step) = (dish.map(str::to_owned), step.map(str::to_owned));
            let term = Term { kind: TermKind::Hop, dish, step, amount: 1, weight: 1, cost: 1 };
            words.member(&term, moves)
        };
        assert_eq!(at(Some("dip"), Some("mix"), &all), Some(mix));
        assert_eq!(at(Some("dip"), Some("dress"), &all), Some(dress));
        assert_eq!(at(Some("dip"), None, &all), Some(dress));
        // No step of the dip; one that does not move.
        assert_eq!(at(Some("dip"), Some("fry"), &all), Some(dress));
        assert_eq!(at(Some("roast"), Some("rest"), &all), Some(season));
        assert_eq!(at(Some("chips"), None, &all), Some(third));
        assert_eq!(at(None, None, &all), Some(mix));
        assert_eq!(at(Some("chips"), None, &[(mix, 1)]), None);
    });
}

/// The first chips three minutes sooner than set by hand: the second ones could follow, and then it
/// is the first that are in the way. It is the least wait that binds them, and they have no most.
#[test]
fn a_wait_is_told_by_the_end_that_binds_it() {
    let evening = evening();
    let mut plan = by_hand(&evening);
    let load = |load| StepKey { dish: 1, step: 1, load };
    let first = plan.blocks.iter_mut().find(|b| b.key == load(0)).expect("a load");
    (first.start, first.end) = (at(18, 30), at(18, 39));
    let ahead = Situation::default();
    let planning = Planning::new(&evening, &ahead).expect("a problem");
    let schedule = planning.schedule_of(&plan);
    let stand = Stand { problem: planning.problem(), schedule: &schedule };
    let words = Words { evening: &evening, situation: &ahead, map: planning.map(), stand };
    let task = |key| planning.map().tasks.iter().position(|t| t.key == key).expect("a load");
    let (before, after) = (task(load(0)), task(load(1)));
    let lags = &planning.problem().lags;
    let lag = lags.iter().position(|l| (l.from.task, l.to.task) == (before, after)).expect("one");
    let wall = Tight::Wait { lag, other: before };
    let said = words.tight(after, wall, Side::Earlier);
    assert_eq!(said, "chips (fry, load 1) must be done first, at 18:39.");
    let wall = Tight::Wait { lag, other: after };
    assert_eq!(words.tight(before, wall, Side::Later), "next is chips (fry, load 2), at 18:42.");
}

//! What there is to do, to the second and in words, on the testbed's evening.

use super::*;
use crate::kitchen::Minute;
use crate::plan::{Plan, SettingBlock, SettingKind};
use crate::run::PromptKind;
use crate::run::fold;
use crate::run::testbed::{adopted, evening, key, marks, minute, ms, on_time, plan};

type Row = (&'static str, &'static str);

fn by(change: impl Fn(&mut Plan), rows: &[Row]) -> State {
    let mut all = marks(rows);
    let mut plan = plan(&evening());
    change(&mut plan);
    all[0].event = adopted(plan);
    fold(evening(), &all)
}

fn of(state: &State, at: &str, dish: usize) -> Vec<(String, String)> {
    let own = items(state, ms(at)).into_iter().filter(|i| i.prompt.dish == Some(dish));
    own.map(|i| (state.evening().face.read(i.prompt.due_ms), i.prompt.short)).collect()
}

fn row(at: &str, short: &str) -> (String, String) {
    (at.to_owned(), short.to_owned())
}

fn turn(from: &str, to: &str, to_c: i32, kind: SettingKind) -> SettingBlock {
    let station = "oven".to_owned();
    SettingBlock { station, kind, from: minute(from), to: minute(to), from_c: 21, to_c }
}

/// 200 °C from 17:42 on, kept, and 150 from 18:10 on.
#[test]
fn of_the_turns_of_a_dial_those_ahead_are_open_and_the_last_that_is_due() {
    let settings = [
        turn("17:42", "18:00", 200, SettingKind::Heating),
        turn("18:00", "18:10", 200, SettingKind::Keeping),
        turn("18:10", "18:20", 150, SettingKind::Cooling),
    ];
    let open = |rows: &[Row], at: &str| {
        let found = open_dials(&by(|_| (), rows), &settings, "oven", ms(at));
        found.iter().map(|t| t.to_c).collect::<Vec<_>>()
    };
    assert_eq!((open(&[], "17:00"), open(&[], "18:09:59")), (vec![200, 150], vec![200, 150]));
    assert_eq!(open(&[], "18:10"), [150]);
    assert_eq!(open(&[("17:30", "oven 200")], "17:31"), [150], "turned early");
    assert_eq!(open(&[("17:30", "oven 150")], "18:00"), [200, 150], "it answers no later turn");
    assert_eq!(
        open(&[("17:42", "oven 150")], "18:00"),
        [0; 0],
        "turned since the one before was due"
    );
    assert_eq!(open(&[("17:42", "oven 180")], "18:00"), [200, 150]);
    assert_eq!(open(&[("17:42", "down oven")], "18:00"), [0; 0]);
    // What was turned the day before is no matter of the day.
    let before = [SettingBlock { from: -60, to: 0, ..settings[0].clone() }];
    let eve = |at_ms: i64| open_dials(&by(|_| (), &[]), &before, "oven", at_ms).len();
    assert_eq!((eve(ms("0:00") - 1), eve(ms("0:00"))), (1, 0));
}

/// A step cannot begin before what it follows is over: by its plan, by its marks, and never sooner than in a minute.
#[test]
fn a_start_is_due_when_what_comes_before_it_is_over() {
    let simmer = |rows: &[Row], at: &str| {
        let all = of(&by(|_| (), rows), at, 0);
        all.into_iter().find(|i| i.1 == "soup: simmer").expect("open").0
    };
    assert_eq!(simmer(&[], "16:46"), "16:50");
    assert_eq!(simmer(&[("16:45", "start soup chop")], "16:46"), "16:55");
    assert_eq!(simmer(&[], "17:00"), "17:01");
    let done = [("16:40", "start soup chop"), ("16:48", "done soup chop")];
    assert_eq!(simmer(&done, "17:00"), "16:50", "free: due since the plan had it");
    // The second load follows the first.
    let fries = |rows: &[Row], at: &str| of(&by(|_| (), rows), at, 2);
    let begun = fries(&[("17:45", "start fries fry 0")], "17:46");
    assert!(begun.contains(&row("17:53", "fries into the air fryer 2 of 2")), "{begun:?}");
}

#[test]
fn food_is_put_in_where_it_was_not_before() {
    let kind = |state: &State, step: &str, station: &str| {
        start_kind(state, key(&evening(), "pie", step, 0), station)
    };
    let state = by(|_| (), &[]);
    assert_eq!(kind(&state, "bake", "oven"), PromptKind::PutIn);
    assert_eq!(kind(&state, "bake", "hob"), PromptKind::Start);
    assert_eq!(kind(&state, "rest", "oven"), PromptKind::Start, "baked there by the plan");
    let elsewhere = by(|plan| plan.blocks.iter_mut().for_each(|b| b.station = "board".into()), &[]);
    assert_eq!(kind(&elsewhere, "rest", "oven"), PromptKind::PutIn);
    let baked = by(
        |plan| plan.blocks.iter_mut().for_each(|b| b.station = "board".into()),
        &[("18:00", "start pie bake")],
    );
    assert_eq!(kind(&baked, "rest", "oven"), PromptKind::Start, "baked there by its mark");
}

#[test]
fn what_is_done_and_where_is_told_in_a_sentence() {
    let state = by(|_| (), &[]);
    let text = |dish: usize, step: usize| {
        let block = state
            .plan()
            .expect("a plan")
            .blocks
            .iter()
            .find(|b| (b.key.dish, b.key.step, b.key.load) == (dish, step, 0));
        start_item(&state, block.expect("planned"), ms("16:10")).expect("open").prompt.text
    };
    assert_eq!(text(0, 0), "Chop the leeks. Counter, 10 min.");
    assert_eq!(text(0, 1), "Simmer the soup. Hob on medium, 30 min.");
    assert_eq!(text(3, 1), "Bake the pie. Oven at 200 °C, 40 min, pie dish.");
    // Where several cook, with the name of who does it.
    let mut two = crate::kitchen::Evening::clone(&evening());
    let mut bo = two.party.cooks[0].clone();
    (bo.id, bo.name) = ("bo".to_owned(), "Bo".to_owned());
    two.party.cooks.push(bo);
    let state = fold(std::sync::Arc::new(two), &marks(&[]));
    let block = &state.plan().expect("a plan").blocks[0];
    let helped = start_item(&state, block, ms("16:10")).expect("open").prompt.text;
    assert_eq!(helped, "Mix the dip. Counter, 10 min, Ana.");
}

/// The hands at the end come before it, but not before the beginning.
#[test]
fn an_end_is_due_when_hands_are_needed_for_it() {
    let ends = |state: &State, at: &str, dish: usize| {
        let own = items(state, ms(at)).into_iter().filter(|i| i.prompt.dish == Some(dish));
        let mut own = own.filter(|i| matches!(i.press, Press::Ends | Press::Spoils(_)));
        let end = own.next().expect("it runs");
        (evening().face.read(end.prompt.due_ms), end.prompt.short)
    };
    let end = |rows: &[Row], at: &str, dish: usize| ends(&by(|_| (), rows), at, dish);
    assert_eq!(end(&[("18:00", "start pie bake")], "18:10", 3), row("18:39", "pull the pie"));
    assert_eq!(end(&[("17:05", "start pie fill")], "17:06", 3), row("17:20", "pie: fill done"));
    let simmer = [("16:50", "start soup simmer")];
    assert_eq!(end(&simmer, "17:00", 0), row("17:20", "soup: simmer done"), "it waits there");
    let moved = by(|plan| plan.holds.retain(|h| h.dish != 0), &simmer);
    assert_eq!(ends(&moved, "17:00", 0), row("17:20", "soup off the hob"));
    let found = items(&moved, ms("17:00"));
    let texts: Vec<&str> = found.iter().map(|i| i.prompt.text.as_str()).collect();
    assert!(texts.contains(&"Soup: simmer, by 17:20."), "{texts:?}");
    let kind = |rows: &[Row]| end_kind(&by(|_| (), rows), key(&evening(), "pie", "bake", 0));
    assert_eq!(
        (kind(&[]), kind(&[("18:00", "start pie bake")])),
        (PromptKind::Finish, PromptKind::TakeOut)
    );
}

/// Hot food that is to wait hot is put there; what chills in the fridge by itself stays there.
#[test]
fn what_is_to_wait_hot_or_cold_is_put_there_until_that_is_marked() {
    let put = |change: &dyn Fn(&mut Plan), rows: &[Row], at: &str, dish: usize| {
        let all = of(&by(change, rows), at, dish).into_iter();
        all.filter(|i| !i.1.starts_with("serve")).collect::<Vec<_>>()
    };
    let same = |_: &mut Plan| ();
    assert_eq!(put(&same, &on_time("17:20"), "17:30", 0), [], "the soup stays on its hob");
    assert_eq!(put(&same, &on_time("17:20"), "17:40", 1), [], "the dip chills by itself");
    let pie = on_time("18:40");
    assert_eq!(put(&same, &pie, "18:55", 3), [], "planned to wait on the counter");
    let hot = |plan: &mut Plan| {
        let hold = plan.holds.iter_mut().find(|h| h.dish == 3).expect("a hold");
        (hold.hold, hold.class, hold.setting_c) = (1, crate::kitchen::HoldClass::Hot, Some(80));
        hold.station = "oven".to_owned();
    };
    assert_eq!(put(&hot, &pie, "18:55", 3), [row("18:50", "pie into the oven, 80 °C")]);
    let state = by(hot, &pie);
    let item = items(&state, ms("18:55")).into_iter().find(|i| i.press == Press::PutAway);
    let item = item.expect("to be put away");
    assert_eq!(item.prompt.text, "Pie waits in the oven, 80 °C until 19:00.");
    assert_eq!(item.label, "waits in the oven: pie");
    let gone = [&pie[..], &[("18:52", "clear pie eaten")]].concat();
    assert_eq!(put(&hot, &gone, "18:55", 3), []);
}

#[test]
fn a_dish_is_served_at_its_service_or_when_it_is_ready() {
    let serve = |rows: &[Row], at: &str| {
        let item = serve_item(&by(|_| (), rows), 3, ms(at))?;
        Some((item.free, evening().face.minute_at(item.prompt.due_ms)))
    };
    let at = |time: &str| -> Minute { minute(time) };
    assert_eq!(serve(&[], "17:00"), Some((false, at("19:00"))));
    assert_eq!(serve(&[], "19:05"), Some((false, at("19:06"))), "in a minute at the soonest");
    assert_eq!(serve(&on_time("18:40"), "18:55"), Some((true, at("19:00"))));
    let late = [
        ("18:00", "start pie bake"),
        ("19:00", "done pie bake"),
        ("19:00", "start pie rest"),
        ("19:10", "done pie rest"),
    ];
    assert_eq!(serve(&late, "19:12"), Some((true, at("19:10"))));
    assert_eq!(serve(&[("17:00", "move mains 19:20")], "17:01"), Some((false, at("19:20"))));
    assert_eq!(serve(&on_time("19:00"), "19:01"), None);
    assert_eq!(serve(&[("17:00", "drop pie")], "17:01"), None);
}

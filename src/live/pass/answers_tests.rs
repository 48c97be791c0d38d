//! What is asked twice, and answers that come when the evening has gone on.

use std::sync::Arc;

use ratatui::crossterm::event::{Event as Input, KeyCode, KeyEvent, KeyModifiers};

use super::Pass;
use super::set_back_tests::{goes_on, open};
use crate::kitchen::Evening;
use crate::live::planner::{Offer, Told};
use crate::live::tryer::{Found, Piece};
use crate::plan::planner::{Budget, Planning};
use crate::plan::ways::{Change, Figures, News, WayOut};
use crate::plan::{Plan, Situation};
use crate::run::testbed::{adopted, evening_by, event, key, minute, ms, on_time, plan, state};
use crate::run::{Event, Mark, State, fold};
use crate::screen::Page;

fn says(pass: &Pass) -> String {
    pass.ui.say.clone().unwrap_or_default()
}

/// The rest is to begin before the pie is in the oven, and then while it bakes: these are two questions.
#[test]
fn what_is_asked_of_another_doubt_is_asked_anew() {
    let (mut pass, paper, _) = open(state(&on_time("17:50")), "17:50");
    let now = pass.ticks();
    let rest = || event("start pie rest");
    pass.mark_by_cook(rest(), now);
    assert!(says(&pass).contains("comes first and has not begun. Press again"), "{}", says(&pass));
    assert!(pass.mark(event("start pie bake"), now).is_some(), "on another screen, say");
    pass.mark_by_cook(rest(), now);
    assert!(says(&pass).contains("still runs: it counts as done"), "{}", says(&pass));
    assert_eq!(paper.written.borrow().len(), 1);
    pass.mark_by_cook(rest(), now);
    assert_eq!(paper.written.borrow().len(), 2, "pressed again");
}

/// To leave out what is in the oven is asked about, and may be meant: as a way out too.
#[test]
fn a_way_out_that_is_asked_about_can_be_insisted_on() {
    let (mut pass, paper, _) = open(state(&on_time("18:00")), "18:10");
    let now = pass.ticks();
    let drop = [Change::Drop { dish: 3 }];
    assert!(!pass.mark_changes(&drop, "Without the pie", now));
    assert!(says(&pass).ends_with("take it off. Press again to mark it all the same."));
    assert!(pass.mark_changes(&drop, "Without the pie", now));
    assert!(matches!(paper.written.borrow().as_slice(), [Event::WayTaken { .. }]));
}

/// Ways out come in by and by, the cheapest on top: a key that was on its way takes none that has only just come up.
#[test]
fn a_way_out_that_came_up_just_now_is_not_taken() {
    let (mut pass, paper, ticks) = open(state(&on_time("16:10")), "16:10");
    let press = |pass: &mut Pass, letter: char| {
        let key = KeyEvent::new(KeyCode::Char(letter), KeyModifiers::NONE);
        pass.input(&Input::Key(key));
    };
    pass.ui.page = Page::Ways;
    goes_on(&mut pass, &ticks, 1_000);
    let out = |price: i64, to: &str| WayOut {
        changes: vec![Change::ServiceAt { service: 1, to: minute(to) }],
        words: format!("Mains at {to}"),
        plan: Arc::new(plan(&evening_by("us_consumer"))),
        figures: Figures::default(),
        loss: Default::default(),
        price,
    };
    let found = |out| Piece { turn: 1, what: Found::News(News::Out(out)) };
    pass.piece(found(out(9, "19:30")));
    press(&mut pass, 'z');
    goes_on(&mut pass, &ticks, 1_000);
    pass.piece(found(out(1, "19:10")));
    assert_eq!(pass.status.ways.outs[0].words, "Mains at 19:10");
    press(&mut pass, '1');
    assert!(says(&pass).contains("look, then press again"), "{}", says(&pass));
    assert!(paper.written.borrow().is_empty());
    goes_on(&mut pass, &ticks, 1_000);
    press(&mut pass, '1');
    assert!(matches!(paper.written.borrow().first(), Some(Event::WayTaken { .. })));
}

/// The dip should have been begun two minutes ago, and there is no plan for that; then it is marked that it was begun.
#[test]
fn that_there_is_no_plan_is_said_while_one_is_wanted() {
    let no_plan = |pass: &mut Pass| {
        let plan = Err("the dip cannot".to_owned());
        let turn = pass.question.turn;
        pass.offer(Offer { turn, why: String::new(), plan, last: true });
        pass.status.trouble.is_some() || pass.without_plan
    };
    let mut begun = event("start dip mix");
    if let Event::Started { ago_minutes, .. } = &mut begun {
        *ago_minutes = 2;
    }
    let late = || open(state(&[]), "16:22");
    let (mut pass, _, ticks) = late();
    assert!(pass.question.open && no_plan(&mut pass));
    assert!(pass.mark(begun.clone(), pass.ticks()).is_some());
    goes_on(&mut pass, &ticks, 2_000);
    assert_eq!((pass.status.trouble.clone(), pass.without_plan), (None, false));
    // The answer comes after the mark.
    let (mut pass, _, ticks) = late();
    assert!(pass.mark(begun, pass.ticks()).is_some());
    goes_on(&mut pass, &ticks, 100);
    assert!(!no_plan(&mut pass));
}

/// Two plans of one evening, the soup cooked when it is wanted and much too early; and the evening with either.
fn two_plans() -> (Arc<Evening>, Plan, Plan) {
    let mut party = Evening::clone(&evening_by("us_consumer"));
    party.kitchen.cookware[0].ovenproof = true;
    let party = Arc::new(party);
    let made = |pinned: bool| {
        let state = State::new(Arc::clone(&party));
        let mut situation: Situation = state.situation(ms("16:00"));
        let simmer = key(&party, "soup", "simmer", 0);
        situation.pins.extend(pinned.then(|| (simmer, minute("16:12"))));
        let planning = Planning::new(&party, &situation).expect("a problem");
        let budget = Budget { seed: 1, rounds: 300, stop: &|| false };
        planning.search(None, &budget).expect("a plan").0
    };
    let (well, early) = (made(false), made(true));
    (party, well, early)
}

/// A plan that was found while nothing was asked is taken if it is better as the evening stands, whatever was marked
/// since it was looked for; and one that is no better is not.
#[test]
fn what_was_found_meanwhile_is_taken_only_if_it_is_better_by_now() {
    let (party, well, early) = two_plans();
    let tell = |shown: &Plan, found: &Plan| {
        let all = [Mark { seq: 1, at_ms: ms("16:00"), event: adopted(shown.clone()) }];
        let (mut pass, paper, ticks) = open(fold(Arc::clone(&party), &all), "16:00:30");
        let than = Arc::clone(pass.state.plan().expect("a plan"));
        assert!(!pass.question.open);
        // Nothing that moves the plan.
        assert!(pass.mark(event("tick buy/leek"), pass.ticks()).is_some());
        goes_on(&mut pass, &ticks, 1_000);
        pass.told(Told::Better(than, Box::new(found.clone())));
        paper.written.borrow().iter().any(|e| matches!(e, Event::PlanAdopted { .. }))
    };
    assert!(tell(&early, &well));
    assert!(!tell(&well, &early));
    assert!(!tell(&well, &well));
}

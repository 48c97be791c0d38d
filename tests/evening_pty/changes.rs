//! The party is changed in front of the cook: a dish more from the shelf, taken back, brought
//! back, and all of it still so after the program was killed.

use potwatch::kitchen::PartyChange;
use potwatch::run::Event;
use potwatch::store::own::OwnShelf;
use potwatch::store::read::schema::FileKind;
use potwatch::store::shelf;

use super::cooking;
use super::small_party::SmallParty;

const TITLE: &str = "Greens of the house";

/// A recipe of the cook's own that the party's kitchen can make; its place on the list.
fn own_recipe(party: &SmallParty) -> usize {
    let mut recipe = party.evening.sheets[0].written.clone();
    (recipe.id, recipe.title) = ("greens".to_owned(), TITLE.to_owned());
    let path = OwnShelf::at(&party.places().data).path(FileKind::Recipe, "greens");
    std::fs::create_dir_all(path.parent().expect("a folder")).expect("made");
    std::fs::write(path, serde_json::to_vec_pretty(&recipe).expect("JSON")).expect("written");
    let before = |r: &potwatch::kitchen::Recipe| r.course < recipe.course;
    shelf::recipes().iter().filter(|r| before(r)).count()
}

#[test]
fn a_dish_more_is_planned_taken_back_and_survives_a_kill() {
    let party = SmallParty::first_due_in(60);
    party.begin(1, &[]);
    let at = own_recipe(&party);
    let mut seat = cooking(&party);
    seat.press("9");
    seat.wait_text("cooks on");
    seat.press("m");
    seat.wait_text("A dish more, from the shelf");
    seat.press(&"\u{1b}[B".repeat(at));
    seat.press("\r");
    seat.wait_text("added: ");
    seat.wait_text(TITLE);
    let added =
        |e: &Event| matches!(e, Event::PartyChanged { change: PartyChange::DishAdded { .. } });
    assert_eq!(party.by_the_cook().iter().filter(|e| added(e)).count(), 1);
    // The planner carries it: its steps are on the plan that is adopted next.
    let dishes = party.evening.sheets.len();
    let planned = || {
        let marks = party.marks();
        marks.iter().any(|m| {
            matches!(&m.event, Event::PlanAdopted { plan, .. }
                if plan.blocks.iter().any(|b| b.key.dish == dishes))
        })
    };
    for _ in 0..200 {
        if planned() {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(100));
    }
    assert!(planned(), "a plan with the new dish");
    seat.press("u");
    seat.wait_text("not made");
    seat.kill();
    let mut seat = cooking(&party);
    seat.wait_text("Going on where you were");
    seat.press("9");
    seat.wait_text("not made");
    seat.wait_text(TITLE);
    seat.press("q");
    assert_eq!(seat.exit_code(), 0);
}

#[test]
fn sheets_are_written_from_the_screen_and_nothing_is_overwritten() {
    let party = SmallParty::first_due_in(60);
    party.begin(1, &[]);
    let mut seat = cooking(&party);
    seat.press("9");
    seat.wait_text("cooks on");
    seat.press("8");
    seat.wait_text("Enter writes the chosen one");
    seat.press("\r");
    seat.wait_text("-evening.html");
    seat.press("\r");
    seat.wait_text("-evening-2.html");
    // The log comes last, and there is none before something was cooked.
    seat.press(&"\u{1b}[B".repeat(3));
    seat.press("\r");
    seat.wait_text("-chart.svg");
    seat.press("q");
    assert_eq!(seat.exit_code(), 0);
    let written = |ending: &str| {
        let all = std::fs::read_dir(party.home()).expect("a folder").flatten();
        let of_kind = all.filter(|f| f.path().extension().is_some_and(|e| e == ending));
        of_kind.map(|f| std::fs::read_to_string(f.path()).expect("text")).collect::<Vec<_>>()
    };
    let pages = written("html");
    assert_eq!(pages.len(), 2);
    assert!(pages.iter().all(|p| p.starts_with("<!DOCTYPE html>") && p.contains("Small supper")));
    assert!(written("svg").iter().all(|p| p.starts_with("<svg") && p.ends_with("</svg>\n")));
}

//! What is offered to be tried: candidates for ways out, and the usual tries.

use std::sync::Arc;

use serde_json::json;

use super::candidates::{Candidate, Known, candidates};
use super::change::Change;
use super::demand::{Clash, Demand};
use super::tries::usual;
use crate::kitchen::{Evening, HoldClass, Minute};
use crate::plan::sample::{evening, evening_with, two_cooks};
use crate::plan::{Begun, Block, HoldBlock, Plan, ServiceLine, Situation, StepKey};

fn key(dish: usize, step: usize) -> StepKey {
    StepKey { dish, step, load: 0 }
}

fn begun(keys: &[StepKey]) -> Situation {
    let done = || {
        let station = "board".into();
        Begun::Done { start: 0, end: 5, way: 0, station, left_out: false }
    };
    let begun = keys.iter().map(|k| (*k, done())).collect();
    Situation { begun, ..Situation::default() }
}

/// The roast in its first way, waiting in its second place.
fn plan(services: Vec<ServiceLine>) -> Plan {
    let block = Block {
        key: key(0, 1),
        loads: 1,
        way: 0,
        station: "oven".into(),
        slots: vec![0],
        cook: None,
        start: 1000,
        end: 1060,
        hands_start: 0,
        hands_end: 0,
        hands_between: 0,
        setting_c: Some(180),
        begun: false,
    };
    let other = Block { key: key(0, 0), way: 1, ..block.clone() };
    let hold = HoldBlock {
        dish: 0,
        hold: 1,
        class: HoldClass::Room,
        station: "board".into(),
        slots: vec![0],
        from: 1060,
        to: 1140,
        setting_c: None,
    };
    let elsewhere = HoldBlock { dish: 2, hold: 0, ..hold.clone() };
    Plan { blocks: vec![other, block], holds: vec![elsewhere, hold], services, ..Plan::default() }
}

fn found(
    evening: &Evening,
    situation: &Situation,
    best: Option<&Plan>,
    clash: Option<&Clash>,
) -> Vec<Candidate> {
    candidates(&Known { evening, situation, best, clash })
}

fn plain(change: Change) -> Candidate {
    Candidate::Plain(vec![change])
}

fn drop(dish: usize) -> Candidate {
    plain(Change::Drop { dish })
}

fn way(way: usize) -> Candidate {
    plain(Change::Way { dish: 0, step: 1, way })
}

fn place(hold: usize) -> Candidate {
    plain(Change::Place { dish: 0, hold })
}

/// Kim is there from 16:00 on, Lou from 18:00: at 17:00 only Lou can still come sooner.
#[test]
fn whoever_is_yet_to_come_can_come_sooner() {
    let mut evening = two_cooks();
    evening.party.cooks[1].free[0].from = crate::kitchen::TimeOfDay(18 * 60);
    evening.party.cooks[1].free[0].to = crate::kitchen::TimeOfDay(20 * 60);
    evening.party.cooks[1].free.truncate(1);
    let sooner = |now| {
        let situation = Situation { now, ..Situation::default() };
        let all = found(&evening, &situation, None, None);
        [0, 1].map(|cook| all.contains(&Candidate::Earlier(cook)))
    };
    assert_eq!(sooner(None), [true, true]);
    assert_eq!(sooner(Some(17 * 60)), [false, true]);
    assert_eq!(sooner(Some(18 * 60)), [false, false]);
}

/// Kim leaves at 20:00 and Lou, who helps, at 19:00; the table is wanted at 19:30: Lou could stay, until Lou is gone.
#[test]
fn whoever_leaves_before_the_table_is_laid_can_stay() {
    let mut evening = two_cooks();
    let at = |hour: Minute| crate::kitchen::TimeOfDay(hour * 60);
    for (cook, until) in evening.party.cooks.iter_mut().zip([20, 19]) {
        cook.free.truncate(1);
        (cook.free[0].from, cook.free[0].to) = (at(16), at(until));
    }
    let moved =
        |to: Minute, now| Situation { now, service_at: [(0, to)].into(), ..Situation::default() };
    let stays = |situation: &Situation| {
        let all = found(&evening, situation, None, None);
        [0, 1].map(|cook| all.contains(&Candidate::Longer(cook)))
    };
    assert_eq!(evening.party.services.len(), 1);
    assert_eq!(stays(&moved(19 * 60 + 30, None)), [false, true]);
    assert_eq!(stays(&moved(19 * 60, None)), [false, false]);
    assert_eq!(stays(&moved(20 * 60 + 1, None)), [true, true]);
    assert_eq!(stays(&moved(19 * 60 + 30, Some(19 * 60 - 1))), [false, true]);
    assert_eq!(stays(&moved(19 * 60 + 30, Some(19 * 60))), [false, false]);
    // What the best plan has ready later counts as well.
    let line = ServiceLine { service: 0, due: 19 * 60, dishes: vec![(0, 0, 19 * 60 + 1)] };
    let late = plan(vec![line]);
    let situation = moved(19 * 60, None);
    let all = found(&evening, &situation, Some(&late), None);
    assert!(all.contains(&Candidate::Longer(1)) && !all.contains(&Candidate::Longer(0)));
}

/// Only the roast has two places to wait and a step with two ways, and only the dip keeps until the next day; of all three
/// dishes fewer servings save room in pans, or minutes.
#[test]
fn everything_that_could_help_is_a_candidate_once() {
    let evening = evening();
    let all = found(&evening, &Situation::default(), None, None);
    let eve = plain(Change::DayBefore { dish: 2 });
    let before = [Candidate::Later(vec![0]), Candidate::Earlier(0), eve, Candidate::Helper];
    let after = [0, 1, 2].map(Candidate::Fewer).into_iter().chain([0, 1, 2].map(drop));
    let known: Vec<_> = before
        .iter()
        .cloned()
        .chain([place(0), place(1), way(0), way(1)])
        .chain(after.clone())
        .collect();
    assert_eq!(all, known);
    // With a plan, what it does not do already.
    let all = found(&evening, &Situation::default(), Some(&plan(Vec::new())), None);
    let known: Vec<_> = before.into_iter().chain([place(0), way(1)]).chain(after).collect();
    assert_eq!(all, known);
}

#[test]
fn what_clashes_comes_first_and_what_can_be_lent_is_borrowed() {
    let evening = evening();
    let demands = vec![
        Demand::Pans(2),
        Demand::Station(0),
        Demand::Station(3),
        Demand::Station(4),
        Demand::Dish(1),
    ];
    let clash = Clash { demands, proven: true };
    let all = found(&evening, &Situation::default(), None, Some(&clash));
    let another = |station, places| plain(Change::Another { station, places });
    // The oven with both of its places, one more board, and no fridge.
    assert_eq!(all[..3], [Candidate::MoreOf(2), another(0, 2), another(3, 1)]);
    assert_eq!(all[3], Candidate::Later(vec![0]));
    assert_eq!(all[all.len() - 3..], [drop(1), drop(0), drop(2)]);
}

#[test]
fn what_has_begun_is_over_or_gone_is_not_offered_any_more() {
    let evening = evening();
    // Seasoned: it can still be roasted elsewhere, for as many, and left out.
    let seasoned = found(&evening, &begun(&[key(0, 0)]), None, None);
    assert!(seasoned.contains(&way(1)) && seasoned.contains(&Candidate::Fewer(0)));
    let roasted = found(&evening, &begun(&[key(0, 0), key(0, 1)]), None, None);
    assert!(!roasted.contains(&way(0)) && !roasted.contains(&way(1)));
    assert!(!roasted.contains(&Candidate::Fewer(0)) && roasted.contains(&drop(0)));
    let rested = found(&evening, &begun(&[key(0, 2)]), None, None);
    assert!(!rested.contains(&drop(0)) && rested.contains(&drop(1)));
    let gone = Situation { dropped: [0].into(), served: [1].into(), ..Situation::default() };
    let gone = found(&evening, &gone, None, None);
    assert!(gone.contains(&drop(2)) && !gone.contains(&drop(0)) && !gone.contains(&drop(1)));
    // Nobody begins earlier once the first cook is there: from 16:00 on.
    let earlier = |now| {
        let situation = Situation { now: Some(now), ..Situation::default() };
        found(&evening, &situation, None, None).contains(&Candidate::Earlier(0))
    };
    assert!(earlier(959) && !earlier(960));
}

#[test]
fn pins_are_given_up_one_by_one_and_together() {
    let evening = evening();
    let unpins = |keys: &[StepKey]| {
        let pins = keys.iter().map(|k| (*k, 1000)).collect();
        let situation = Situation { pins, ..Situation::default() };
        let all = found(&evening, &situation, None, None);
        let is = |c: &Candidate| matches!(c, Candidate::Plain(c) if matches!(c.as_slice(), [Change::Unpin { .. }, ..]));
        all.into_iter().filter(is).collect::<Vec<_>>()
    };
    let unpin = |key| Change::Unpin { key };
    assert_eq!(unpins(&[key(0, 1)]), [plain(unpin(key(0, 1)))]);
    let both = Candidate::Plain(vec![unpin(key(0, 1)), unpin(key(1, 0))]);
    let each = [plain(unpin(key(0, 1))), plain(unpin(key(1, 0)))];
    assert_eq!(unpins(&[key(0, 1), key(1, 0)]), [each[0].clone(), each[1].clone(), both]);
}

/// Roast and chips at 19:00, the dip at 20:00.
#[test]
fn services_that_are_missed_are_put_off_first() {
    let evening = evening_with(|party, _, _| {
        let late = json!({"id": "late", "title": "Late", "at": "20:00"});
        party["services"].as_array_mut().expect("a list").push(late);
        party["dishes"][2]["service"] = json!("late");
    });
    let line = |service, due: Minute, by: Minute| {
        let dishes = vec![(2 * service, due - 9, due - 1), (2 * service, due - 5, due + by)];
        ServiceLine { service, due, dishes }
    };
    let later = |situation: &Situation, first: Minute, second: Minute| {
        let plan = plan(vec![line(0, 1140, first), line(1, 1200, second)]);
        let all = found(&evening, situation, Some(&plan), None);
        let later = all.into_iter().filter_map(|c| match c {
            Candidate::Later(services) => Some(services),
            _ => None,
        });
        later.collect::<Vec<_>>()
    };
    let ahead = Situation::default();
    assert_eq!(later(&ahead, 0, 0), [vec![0], vec![1], vec![0, 1]]);
    assert_eq!(later(&ahead, 0, 1), [vec![1], vec![0]]);
    assert_eq!(later(&ahead, 1, 1), [vec![0], vec![1], vec![0, 1]]);
    let served = Situation { served: [2].into(), ..Situation::default() };
    assert_eq!(later(&served, 0, 0), [[0]]);
    let dropped = Situation { dropped: [2].into(), served: [0].into(), ..Situation::default() };
    assert_eq!(later(&dropped, 0, 0), [[0]]);
}

/// The chips alone, their frying changed: whether fewer of them would be made in less.
#[test]
fn fewer_servings_help_where_they_save_loads_pans_or_minutes() {
    let plain_chips = |r: &mut serde_json::Value| {
        let fry = &mut r["steps"][1];
        fry["cookware"] = json!([]);
        fry["ways"][0] = json!({"station": "air_fryer", "minutes": 9});
    };
    let fewer = |servings: u32, change: &dyn Fn(&mut serde_json::Value)| {
        let evening = evening_with(|party, _, recipes| {
            party["dishes"][1]["servings"] = json!(servings);
            plain_chips(&mut recipes[1]);
            change(&mut recipes[1]);
        });
        // The cutting, which grows with them, is over.
        let all = found(&evening, &begun(&[key(1, 0)]), None, None);
        all.contains(&Candidate::Fewer(1))
    };
    assert!(!fewer(6, &|_| ()));
    assert!(fewer(6, &|r| r["steps"][1]["ways"][0]["load_servings"] = json!(5)));
    assert!(!fewer(6, &|r| r["steps"][1]["ways"][0]["load_servings"] = json!(6)));
    assert!(fewer(6, &|r| r["steps"][1]["ways"][0]["ml_per_serving"] = json!(100)));
    assert!(!fewer(6, &|r| r["steps"][1]["cookware"] = json!([{"kind": "bowl"}])));
    assert!(fewer(6, &|r| r["steps"][1]["cookware"] = json!([{"kind": "bowl", "count": 2}])));
    assert!(fewer(6, &|r| r["steps"][1]["cookware"] = json!([{"kind": "bowl", "least_ml": 9}])));
    assert!(fewer(6, &|r| r["steps"][1]["grows"] = json!("proportion")));
    // For two there is one less; for one there is none.
    let grows = |r: &mut serde_json::Value| r["steps"][1]["grows"] = json!("proportion");
    assert!(fewer(2, &grows) && !fewer(1, &grows));
}

fn tries(evening: &Evening, situation: &Situation) -> Vec<Change> {
    let all = usual(evening, situation);
    assert!(all[0].changes.is_empty() && all[0].words == "As it is");
    assert!(all.iter().skip(1).all(|t| t.changes.len() == 1));
    all.into_iter().flat_map(|t| t.changes).collect()
}

#[test]
fn what_cooks_wonder_about_is_tried_without_asking() {
    let evening = evening();
    let service = |to| Change::ServiceAt { service: 0, to };
    let drop = |dish| Change::Drop { dish };
    let way = |way| Change::Way { dish: 0, step: 1, way };
    let oven =
        [Change::Another { station: 0, places: 2 }, Change::Slower { station: 0, percent: 10 }];
    let mut known = vec![
        Change::Helper { from: 960, to: 1140 },
        service(1125),
        service(1155),
        service(1170),
        Change::CookThere { cook: 0, from: 930, to: 960 },
    ];
    known.extend(oven.clone());
    known.extend([Change::DayBefore { dish: 2 }, way(1), drop(0), drop(1), drop(2)]);
    assert_eq!(tries(&evening, &Situation::default()), known);
    // At 18:55, the supper put off to 19:10; the roast in the oven by its second way, the chips given up.
    let running = Situation {
        now: Some(1135),
        service_at: [(0, 1150)].into(),
        dropped: [1].into(),
        ways: [((0, 1), 1)].into(),
        ..Situation::default()
    };
    let mut known = vec![Change::Helper { from: 1135, to: 1150 }, service(1165), service(1180)];
    known.extend(oven.clone());
    known.extend([way(0), drop(0), drop(2)]);
    assert_eq!(tries(&evening, &running), known);
    // No minute before it any more, the roast begun, the dip served.
    let mut over = running;
    over.now = Some(1150);
    over.begun = begun(&[key(0, 1)]).begun;
    over.served.insert(2);
    let mut known = vec![service(1165), service(1180)];
    known.extend(oven);
    known.push(drop(0));
    assert_eq!(tries(&evening, &over), known);
    // The plan on the screen says which way is another.
    let shown = |way| {
        let mut shown = plan(Vec::new());
        shown.blocks[1].way = way;
        let previous = Some(Arc::new(shown));
        tries(&evening, &Situation { previous, ..Situation::default() })
    };
    assert!(shown(1).contains(&way(0)) && !shown(1).contains(&way(1)));
    assert!(shown(0).contains(&way(1)) && !shown(0).contains(&way(0)));
}

/// A second oven and a toaster oven; a second cook who is there from 15:00.
#[test]
fn one_of_each_kind_that_heats_is_tried_and_the_first_cook_begins_earlier() {
    let evening = evening_with(|party, kitchen, _| {
        let stations = kitchen["stations"].as_array_mut().expect("a list");
        let mut second = stations[0].clone();
        (second["id"], second["title"]) = (json!("second"), json!("Second oven"));
        let thermostat = second["thermostat"].clone();
        stations.push(second);
        stations[2]["thermostat"] = thermostat;
        let mut lou = party["cooks"][0].clone();
        (lou["id"], lou["name"]) = (json!("lou"), json!("Lou"));
        lou["free"] = json!([{"from": "15:00", "to": "20:00"}]);
        party["cooks"].as_array_mut().expect("a list").push(lou);
    });
    let all = tries(&evening, &Situation::default());
    let borrowed: Vec<_> = all
        .iter()
        .filter_map(|c| match c {
            Change::Another { station, places } => Some((*station, *places)),
            _ => None,
        })
        .collect();
    assert_eq!(borrowed, [(0, 2), (2, 1)]);
    assert!(all.contains(&Change::CookThere { cook: 1, from: 870, to: 900 }));
    assert!(all.contains(&Change::Helper { from: 900, to: 1140 }));
    let at = |now| {
        let situation = Situation { now: Some(now), ..Situation::default() };
        let all = tries(&evening, &situation);
        all.iter().any(|c| matches!(c, Change::CookThere { .. }))
    };
    assert!(at(870) && !at(871));
}

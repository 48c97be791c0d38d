use serde_json::{Value, json};

use super::contact::{Clean, Known, Thing, before, cleans};
use super::planner::{Budget, plan_ahead};
use super::sample::{self, evening_with};
use super::{Block, PanBlock, Plan, StepKey};
use crate::kitchen::{Evening, Minute};

const ROAST: usize = 0;
const CHIPS: usize = 1;
const DIP: usize = 2;
const H: Minute = 60;

/// The supper with walnuts among the chips, for a guest who avoids tree nuts.
fn with_nuts(change: impl FnOnce(&mut Value, &mut [Value; 3])) -> Evening {
    evening_with(|party, _, recipes| {
        party["guests"] = json!([{"name": "the piper", "avoids": ["tree nuts"]}, {"name": "Kim"}]);
        let nuts = json!({"item": "walnuts", "steps": ["cut"]});
        recipes[CHIPS]["ingredients"].as_array_mut().expect("a list").push(nuts);
        change(party, recipes);
    })
}

fn block(dish: usize, step: usize, start: Minute, station: &str, slot: u32) -> Block {
    let key = StepKey { dish, step, load: 0 };
    Block { slots: vec![slot], ..sample::block(key, station, (start, start + 5)) }
}

fn of(evening: &Evening, blocks: Vec<Block>, pans: Vec<PanBlock>) -> Vec<Clean> {
    let plan = Plan { blocks, pans, ..Plan::default() };
    cleans(evening, &Known::of(evening), &plan)
}

fn keys(cleans: &[Clean]) -> Vec<(usize, usize)> {
    cleans.iter().map(|c| (c.key.dish, c.key.step)).collect()
}

/// Of a dish that is made half and half the half that a guest does not eat is left on the board as well.
#[test]
fn both_halves_of_a_dish_are_left_on_a_board() {
    let evening = with_nuts(|party, recipes| {
        party["guests"] = json!([{"name": "the piper", "diets": ["vegetarian"]}]);
        let all = recipes[CHIPS]["ingredients"].as_array_mut().expect("a list");
        all.push(json!({"item": "bacon", "half": "one", "steps": ["cut"]}));
        all.push(json!({"item": "mushroom", "half": "other", "steps": ["cut"]}));
    });
    let blocks = vec![block(CHIPS, 0, 16 * H, "board", 0), block(DIP, 0, 16 * H + 10, "board", 0)];
    assert_eq!(keys(&of(&evening, blocks, Vec::new())), [(DIP, 0)]);
}

#[test]
fn a_board_is_changed_once_before_the_first_dish_that_the_guest_may_eat() {
    let evening = with_nuts(|_, _| ());
    let mut blocks = vec![
        block(CHIPS, 0, 16 * H, "board", 0),
        block(DIP, 0, 16 * H + 10, "board", 0),
        block(ROAST, 0, 16 * H + 20, "board", 0),
    ];
    let found = of(&evening, blocks.clone(), Vec::new());
    assert_eq!(keys(&found), [(DIP, 0)]);
    assert_eq!(found[0].thing, Thing::Board("board".to_owned(), 0));
    assert_eq!(
        found[0].sentence(&evening),
        "First change board and knife, wash hands: it had been used (Chips: walnuts), and the \
         piper may eat of this."
    );
    // Another board is not touched; the dish after it on the first one is.
    blocks[1].slots = vec![1];
    assert_eq!(keys(&of(&evening, blocks.clone(), Vec::new())), [(ROAST, 0)]);
    // What is cut before has nothing to fear, nor has the dish with the nuts.
    blocks[0].start = 17 * H;
    assert!(of(&evening, blocks, Vec::new()).is_empty());
    // A roast that rests on the counter touches no board.
    let rest = vec![block(CHIPS, 0, 16 * H, "board", 0), block(ROAST, 2, 17 * H, "board", 0)];
    assert!(of(&evening, rest, Vec::new()).is_empty());
}

#[test]
fn baskets_and_pans_carry_what_was_in_them() {
    let evening = with_nuts(|_, _| ());
    let fryer = vec![
        block(CHIPS, 1, 17 * H, "fryer", 0),
        block(CHIPS, 1, 17 * H + 10, "fryer", 0),
        block(ROAST, 1, 18 * H, "fryer", 0),
    ];
    let found = of(&evening, fryer, Vec::new());
    assert_eq!((keys(&found), found[0].tag(&evening)), (vec![(ROAST, 1)], "washed basket"));
    // The dip's bowl is the one in which the chips lay; the other one is clean.
    let blocks = vec![block(CHIPS, 0, 16 * H, "board", 0), block(DIP, 0, 17 * H, "board", 1)];
    let pan = |dish, number, from| PanBlock {
        cookware: "bowl-a".to_owned(),
        numbers: vec![number],
        dish,
        from,
        to: from + 30,
    };
    let same = of(&evening, blocks.clone(), vec![pan(CHIPS, 0, 16 * H), pan(DIP, 0, 17 * H)]);
    assert_eq!(keys(&same), [(DIP, 0)]);
    assert_eq!(same[0].remedy(&evening), "wash the bowl");
    let other = of(&evening, blocks, vec![pan(CHIPS, 0, 16 * H), pan(DIP, 1, 17 * H)]);
    assert!(other.is_empty());
    // A clean one for mixing, and only for dressing the one in which the chips lay.
    let evening =
        with_nuts(|_, recipes| recipes[DIP]["steps"][1]["cookware"] = json!([{"kind": "bowl"}]));
    let mut blocks = vec![block(CHIPS, 0, 16 * H, "board", 0), block(DIP, 0, 17 * H, "board", 1)];
    blocks.push(block(DIP, 1, 18 * H, "board", 1));
    let pans = vec![pan(CHIPS, 0, 16 * H), pan(DIP, 1, 17 * H), pan(DIP, 0, 18 * H)];
    assert_eq!(keys(&of(&evening, blocks, pans)), [(DIP, 1)]);
}

#[test]
fn two_pans_of_a_kind_for_one_step_are_washed_in_one_go() {
    let evening = with_nuts(|_, _| ());
    let blocks = vec![block(CHIPS, 0, 16 * H, "fridge", 0), block(DIP, 0, 17 * H, "fridge", 1)];
    let pan = |dish, cookware: &str, numbers: &[u32], from| PanBlock {
        cookware: cookware.to_owned(),
        numbers: numbers.to_vec(),
        dish,
        from,
        to: from + 30,
    };
    let both = |second: &str, n: u32| {
        let pans = vec![
            pan(CHIPS, "bowl-a", &[0], 16 * H),
            pan(CHIPS, second, &[n], 16 * H),
            pan(DIP, "bowl-a", &[0], 17 * H),
            pan(DIP, second, &[n], 17 * H),
        ];
        of(&evening, blocks.clone(), pans)
    };
    let same = both("bowl-a", 1);
    assert_eq!((keys(&same), same[0].traces.len()), (vec![(DIP, 0)], 1));
    assert_eq!(keys(&both("bowl-b", 0)), [(DIP, 0), (DIP, 0)]);
    // What the two have of different dishes is all said, each once.
    let evening = with_nuts(|_, recipes| {
        let nuts = json!({"item": "hazelnuts", "steps": ["season"]});
        recipes[ROAST]["ingredients"].as_array_mut().expect("a list").push(nuts);
        recipes[ROAST]["steps"][0]["cookware"] = json!([{"kind": "bowl"}]);
    });
    let mut blocks = blocks;
    blocks.push(block(ROAST, 0, 16 * H + 5, "fridge", 2));
    let pans = vec![
        pan(CHIPS, "bowl-a", &[0], 16 * H),
        pan(ROAST, "bowl-a", &[1], 16 * H + 5),
        pan(DIP, "bowl-a", &[0, 1], 17 * H),
    ];
    let found = of(&evening, blocks, pans);
    assert_eq!(keys(&found), [(DIP, 0)]);
    assert_eq!(found[0].traces_words(&evening), "Roast: hazelnuts; Chips: walnuts");
    assert!(found[0].traces.is_sorted(), "{:?}", found[0].traces);
}

#[test]
fn what_no_step_is_named_for_is_in_all_of_them_and_two_are_named() {
    let with = |nuts: &[&str]| {
        let evening = with_nuts(|_, recipes| {
            let list = recipes[CHIPS]["ingredients"].as_array_mut().expect("a list");
            list.pop();
            list.extend(nuts.iter().map(|item| json!({"item": item})));
        });
        let blocks = vec![block(CHIPS, 0, 16 * H, "board", 0), block(DIP, 0, 17 * H, "board", 0)];
        of(&evening, blocks, Vec::new())[0].traces_words(&evening)
    };
    assert_eq!(with(&["walnuts"]), "Chips: walnuts");
    assert_eq!(with(&["walnuts", "hazelnuts"]), "Chips: walnuts, hazelnuts");
    assert_eq!(with(&["walnuts", "hazelnuts", "pecans"]), "Chips: walnuts, hazelnuts and more");
}

#[test]
fn diets_count_and_the_night_washes_up() {
    // Pork is not for a vegetarian; the chips and the dip are.
    let evening = evening_with(|party, _, _| {
        party["guests"] = json!([{"name": "the piper", "diets": ["vegetarian"]}]);
    });
    let blocks =
        |roast| vec![block(ROAST, 0, roast, "board", 0), block(CHIPS, 0, 17 * H, "board", 0)];
    assert_eq!(keys(&of(&evening, blocks(16 * H), Vec::new())), [(CHIPS, 0)]);
    assert!(of(&evening, blocks(-3 * H), Vec::new()).is_empty());
    // The last minute before midnight is the day before, the first one after it the day.
    let from = |roast, chips| {
        let blocks = vec![block(ROAST, 0, roast, "board", 0), block(CHIPS, 0, chips, "board", 0)];
        keys(&of(&evening, blocks, Vec::new()))
    };
    assert_eq!(from(-2, -1), [(CHIPS, 0)]);
    assert!(from(-1, 0).is_empty());
    assert_eq!(from(0, 1), [(CHIPS, 0)]);
    // Who eats everything asks for nothing, and neither does nobody.
    let nobody = evening_with(|_, _, _| ());
    assert!(of(&nobody, blocks(16 * H), Vec::new()).is_empty());
}

/// Every plan says it, and the printed plan too; no words promise anything.
#[test]
fn plans_say_what_to_change() {
    let evening = evening_with(|party, kitchen, recipes| {
        party["guests"] = json!([{"name": "the piper", "avoids": ["tree nuts"]}]);
        kitchen["stations"][3]["slots"] = json!(1);
        for dish in [ROAST, CHIPS] {
            let first = recipes[dish]["steps"][0]["id"].clone();
            let nuts = json!({"item": "walnuts", "steps": [first]});
            recipes[dish]["ingredients"].as_array_mut().expect("a list").push(nuts);
        }
    });
    let budget = Budget { seed: 1, rounds: 40, stop: &|| false };
    let plan = plan_ahead(&evening, &budget, &mut |_| ()).expect("a plan");
    // One board for all: between the nuts and the dip it is changed, unless the dip came first.
    let on_board = plan.blocks.iter().filter(|b| b.station == "board" && b.key.step != 2);
    let mut dirty = false;
    let mut wanted = Vec::new();
    for b in on_board {
        if b.key.dish == DIP && dirty {
            wanted.push(b.key);
            dirty = false;
        }
        dirty |= b.key.dish != DIP;
    }
    let boards = plan.cleans.iter().filter(|c| matches!(c.thing, Thing::Board(..)));
    assert_eq!(boards.map(|c| c.key).collect::<Vec<_>>(), wanted);
    assert!(wanted.iter().all(|key| before(&plan, *key).count() > 0));
    for clean in &plan.cleans {
        let said = clean.sentence(&evening).to_lowercase();
        assert!(!said.contains("safe") && !said.contains("-free"), "{said}");
    }
}

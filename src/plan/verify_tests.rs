//! Each rule of the last check, broken by itself in a plan that keeps them all: what the check must say, and the
//! nearest thing about which it must be silent. Every plan that reaches a screen has passed it.

use std::sync::Arc;

use serde_json::{Value, json};

use super::compose::tests::{long_holds, supper};
use super::sample::evening_with;
use super::verify::{uncontrolled, verify};
use super::{
    Begun, Block, Held, HoldBlock, PanBlock, Plan, SettingBlock, SettingKind, Situation, StepKey,
    WaitBlock,
};
use crate::kitchen::{Evening, Minute, WaitsFor};
use crate::safety::Profile;

#[path = "verify_clock_tests.rs"]
mod clock;

/// The supper of `compose/tests.rs`: an evening, what has happened, and its plan. The cook is there from 16:00
/// (minute 960) to 17:00 and from 17:10 to 20:00.
///
/// Roast: seasoned 960, in the oven at 180 °C 980 to 1040, rests to 1050, waits at 80 °C to 1140. Chips: cut 1060
/// to 1072, fried 1110, 1120 and 1130 for 9 minutes each. Dip: mixed 985 to 991, chilled, dressed 1100 to 1104.
struct Case {
    evening: Evening,
    situation: Situation,
    plan: Plan,
}

impl Case {
    fn new() -> Self {
        let (evening, plan) = supper();
        Self { evening, situation: Situation::default(), plan }
    }

    /// The same plan, held against another evening.
    fn of(change: impl Fn(&mut Value, &mut Value, &mut [Value; 3])) -> Self {
        let evening = evening_with(|party, kitchen, recipes| {
            long_holds(party, kitchen, recipes);
            change(party, kitchen, recipes);
        });
        Self { evening, ..Self::new() }
    }

    fn block(&mut self, dish: usize, step: usize, load: u32) -> &mut Block {
        let key = StepKey { dish, step, load };
        self.plan.blocks.iter_mut().find(|b| b.key == key).expect("a block")
    }

    /// Moves a block to another minute, as long as it was.
    fn moved(mut self, dish: usize, step: usize, start: Minute) -> Self {
        let block = self.block(dish, step, 0);
        (block.start, block.end) = (start, start + block.end - block.start);
        self
    }

    fn hold(&mut self, dish: usize) -> &mut HoldBlock {
        self.plan.holds.iter_mut().find(|h| h.dish == dish).expect("a hold")
    }

    fn with(mut self, change: impl FnOnce(&mut Self)) -> Self {
        change(&mut self);
        self
    }

    /// As of a minute of the evening, the blocks named having begun as they stand.
    fn at(mut self, now: Minute, begun: &[(usize, usize)]) -> Self {
        self.situation.now = Some(now);
        for &(dish, step) in begun {
            let b = self.block(dish, step, 0).clone();
            let done = Begun::Done {
                start: b.start,
                end: b.end,
                way: 0,
                station: b.station,
                left_out: false,
            };
            self.situation.begun.insert(b.key, done);
        }
        self
    }

    fn faults(&self) -> Vec<String> {
        let profile = Profile::by_id(&self.evening.party.guidance).expect("built in");
        let found = verify(&self.evening, &self.situation, profile, &self.plan);
        found.err().unwrap_or_default().into_iter().map(|f| f.what).collect()
    }

    #[track_caller]
    fn says(&self, what: &str) {
        let faults = self.faults();
        assert!(faults.iter().any(|f| f.starts_with(what)), "{what}: {faults:?}");
    }

    #[track_caller]
    fn not(&self, what: &str) {
        let faults = self.faults();
        assert!(!faults.iter().any(|f| f.contains(what)), "{what}: {faults:?}");
    }
}

#[test]
fn the_plan_itself_breaks_nothing() {
    assert_eq!(Case::new().faults(), [""; 0]);
    assert_eq!(Case::of(|_, _, _| ()).faults(), [""; 0]);
    // In whatever order its parts stand.
    let turned = Case::new().with(|c| {
        c.plan.blocks.reverse();
        c.plan.settings.reverse();
        c.plan.holds.reverse();
    });
    assert_eq!(turned.faults(), [""; 0]);
}

#[test]
fn every_load_of_every_step_is_there_once_and_in_order() {
    let without = |dish, step, load| {
        let key = StepKey { dish, step, load };
        Case::new().with(|c| c.plan.blocks.retain(|b| b.key != key))
    };
    without(0, 1, 0).says("roast/roast is missing");
    without(1, 1, 2).says("chips/fry: 2 loads, not 3");
    without(1, 1, 0).says("chips/fry: 2 loads, not 3");
    Case::new().with(|c| c.block(1, 1, 2).key.load = 1).says("chips/fry: 3 loads, not 3");
    let second_at = |start| {
        Case::new().with(|c| {
            let b = c.block(1, 1, 1);
            (b.start, b.end) = (start, start + 9);
        })
    };
    second_at(1118).says("chips/fry: loads overlap");
    second_at(1119).not("loads overlap");
    let dropped = without(0, 1, 0).with(|c| {
        c.situation.dropped.insert(0);
    });
    dropped.not("roast/roast is missing");
    let served = without(0, 1, 0).with(|c| {
        c.situation.served.insert(0);
    });
    served.not("roast/roast is missing");
    let other_way = Case::new().with(|c| c.block(1, 1, 2).way = 1);
    other_way.says("chips/fry changes its way between loads");
    other_way.says("chips/fry load 3 has no way 1");
}

/// Two servings were fried before the fryer broke; the rest go into the oven.
#[test]
fn loads_that_had_to_move_make_the_servings_in_as_many_as_that_takes() {
    let moved = |oven_load: u32, loads: u32| {
        let mut case = Case::of(move |_, _, recipes| {
            let ways = recipes[1]["steps"][1]["ways"].as_array_mut().expect("ways");
            ways.push(json!({"station": "oven", "minutes": 25, "at_c": 220,
                "load_servings": oven_load}));
        });
        case = case.at(1120, &[(1, 1)]);
        case.plan.blocks.retain(|b| (b.key.dish, b.key.step) != (1, 1) || b.key.load < loads);
        for b in case.plan.blocks.iter_mut().filter(|b| b.key.load > 0) {
            (b.way, b.station) = (1, "oven".to_owned());
        }
        case.situation.down.insert("fryer".to_owned());
        case
    };
    moved(4, 2).not("loads, not");
    moved(3, 2).says("chips/fry: 2 loads, not 3");
    moved(3, 3).not("loads, not");
    moved(4, 2).not("changes its way");
    // Both begun, in two ways, though nothing broke: the cook did so. One alone goes on as it began.
    let whole = |begun: bool| {
        moved(4, 2).with(|c| {
            c.situation.down.clear();
            let b = c.block(1, 1, 1).clone();
            let done = Begun::Done {
                start: b.start,
                end: b.end,
                way: 1,
                station: b.station,
                left_out: false,
            };
            c.situation.begun.extend(begun.then_some((b.key, done)));
        })
    };
    whole(true).not("changes its way");
    whole(true).not("loads, not");
    whole(false).says("chips/fry changes its way between loads");
}

#[test]
fn steps_keep_the_waits_between_them() {
    Case::new().moved(2, 1, 1020).says("dip/dress starts too soon after mix");
    Case::new().moved(2, 1, 1021).not("too soon");
    Case::new().moved(0, 0, 939).says("roast/roast starts too long after season");
    Case::new().moved(0, 0, 940).not("too long");
    Case::new().moved(0, 2, 1046).says("roast/rest starts too long after roast");
    // What is behind the cook is not held against the plan.
    Case::new().moved(0, 0, 939).at(980, &[(0, 0)]).not("too long");
    Case::new().moved(2, 1, 1020).at(1030, &[(2, 0), (2, 1)]).not("too soon");
    Case::new().moved(2, 1, 1020).at(1010, &[(2, 0)]).says("dip/dress starts too soon after mix");
}

#[test]
fn a_block_is_what_the_recipe_says() {
    Case::new().with(|c| c.block(0, 0, 0).end = 971).says("roast/season has 11 minutes");
    Case::new().with(|c| c.block(0, 0, 0).end = 969).says("roast/season has 9 minutes");
    let at = |dish, step, station: &str| {
        Case::new().with(|c| c.block(dish, step, 0).station = station.to_owned())
    };
    at(0, 0, "nowhere").says("roast/season: no station nowhere");
    at(0, 0, "fridge").says("roast/season stands at the wrong kind of station");
    let slots = |slots: &[u32]| Case::new().with(|c| c.block(0, 0, 0).slots = slots.to_vec());
    slots(&[]).says("roast/season takes 0 slots");
    slots(&[0, 1]).says("roast/season takes 2 slots");
    slots(&[2]).says("board has no slot 2");
    let set = |c| Case::new().with(|case| case.block(0, 1, 0).setting_c = c);
    set(Some(191)).says("roast/roast needs 180 °C, not Some(191)");
    set(Some(169)).says("roast/roast needs 180 °C, not Some(169)");
    set(None).says("roast/roast needs 180 °C, not None");
    set(Some(190)).not("needs 180 °C");
    set(Some(170)).not("needs 180 °C");
    Case::new().with(|c| c.block(2, 1, 0).key.step = 7).says("dip/? is not in the recipe");
}

#[test]
fn a_load_fits_into_its_station() {
    // Two of the six servings in each load: 200 ml hold 100 ml each, and no more.
    let of = |ml: u32| {
        Case::of(move |_, kitchen, recipes| {
            kitchen["stations"][2]["volume_ml"] = json!(200);
            recipes[1]["steps"][1]["ways"][0]["ml_per_serving"] = json!(ml);
        })
    };
    of(100).not("do not fit");
    of(101).says("chips/fry: 202 ml do not fit into fryer");
}

#[test]
fn nothing_new_starts_in_the_past_before_its_pin_or_where_nothing_works() {
    Case::new().moved(0, 0, 959).says("roast/season starts in the past");
    Case::new().with(|c| c.plan.made_for = 961).says("roast/season starts in the past");
    Case::new().at(961, &[]).says("roast/season starts in the past");
    Case::new().at(960, &[]).not("in the past");
    Case::new().moved(0, 0, 959).at(980, &[(0, 0)]).not("roast/season starts");
    let pinned = |pin, now| {
        let mut c = Case::new();
        c.situation.now = now;
        c.situation.pins.insert(StepKey { dish: 1, step: 0, load: 0 }, pin);
        c
    };
    pinned(1061, None).says("chips/cut starts before its pin");
    pinned(1060, None).not("pin");
    pinned(1061, Some(1061)).says("chips/cut starts before its pin");
    pinned(1061, Some(1062)).not("pin");
    let down = Case::new().with(|c| {
        c.situation.down.insert("fryer".to_owned());
    });
    down.says("chips/fry: fryer cannot be used");
    down.says("chips/fry load 2: fryer cannot be used");
}

#[test]
fn what_has_begun_stands_as_it_happened() {
    let case = || Case::new().at(1000, &[(0, 0)]);
    case().not("as it happened");
    case().moved(0, 0, 961).says("roast/season does not stand as it happened");
    case().with(|c| c.block(0, 0, 0).end = 975).says("roast/season does not stand as it happened");
    case()
        .with(|c| c.block(0, 0, 0).start = 950)
        .says("roast/season does not stand as it happened");
}

#[test]
fn two_things_never_have_one_place() {
    let rest_slots = |c: &mut Case| c.block(0, 2, 0).slots.clone();
    let cut_at =
        |start| Case::new().moved(1, 0, start).with(|c| c.block(1, 0, 0).slots = rest_slots(c));
    let meets = |case: &Case, who: &str| case.faults().iter().any(|f| f.contains(who));
    assert!(meets(&cut_at(1049), "roast/rest meets chips/cut"));
    assert!(!meets(&cut_at(1050), "meets"));
    assert!(meets(&cut_at(1030), "chips/cut meets roast/rest"));
    assert!(!meets(&cut_at(1028), "meets"));
    // Both in their places already: what happened, happened. One alone is not excused.
    let both = cut_at(1049).at(1060, &[(0, 2), (1, 0)]);
    assert!(!meets(&both, "meets"));
    let one = cut_at(1049).at(1048, &[(0, 2)]);
    assert!(meets(&one, "roast/rest meets chips/cut"));
    // What was over is of no account any more.
    assert!(!meets(&cut_at(1049).at(1050, &[(0, 2)]), "meets"));
    // Waits and holds take places as well.
    let waits_to = |to| {
        Case::new().with(|c| {
            c.plan.waits[0].to = to;
            c.hold(2).slots = c.plan.waits[0].slots.clone();
        })
    };
    assert!(meets(&waits_to(1105), "the wait of dish 2 meets the hold of dish 2"));
    assert!(!meets(&waits_to(1104), "meets"));
    assert!(!meets(&waits_to(1105).at(1105, &[]), "meets"), "the hold is behind");
    assert!(meets(&waits_to(1110).at(1104, &[]), "meets"), "it has not begun to wait");
    assert!(!meets(&waits_to(1110).at(1105, &[]), "meets"));
    let held = waits_to(1110).at(1104, &[]).with(|c| {
        let station = Some("fridge".to_owned());
        c.situation.held.insert(2, Held { hold: Some(0), since: 1104, station });
    });
    assert!(!meets(&held, "meets"));
}

#[test]
fn what_waits_cold_has_a_place_in_a_fridge_for_all_of_its_wait() {
    let wait = |change: fn(&mut WaitBlock)| Case::new().with(|c| change(&mut c.plan.waits[0]));
    let changes: [fn(&mut WaitBlock); 7] = [
        |w| w.from = 992,
        |w| w.to = 1099,
        |w| w.slots.clear(),
        |w| w.station = Some("board".to_owned()),
        |w| w.station = None,
        |w| w.before_step = 0,
        |w| w.dish = 1,
    ];
    for change in changes {
        wait(change).says("dip/mix has no place in the fridge");
    }
    wait(|w| w.from = 990).not("no place in the fridge");
    let none = |now, down: &[&str]| {
        Case::new().with(|c| {
            c.plan.waits.clear();
            c.situation.now = now;
            c.situation.down = down.iter().map(|&id| id.to_owned()).collect();
        })
    };
    none(None, &[]).says("dip/mix has no place in the fridge");
    none(None, &["fridge"]).says("dip/mix has no place in the fridge");
    none(Some(960), &[]).says("dip/mix has no place in the fridge");
    none(Some(960), &["fridge"]).not("no place in the fridge");
    none(Some(1099), &[]).says("dip/mix has no place in the fridge");
    none(Some(1100), &[]).not("no place in the fridge");
    let from_now_on = wait(|w| w.from = 1050).at(1050, &[(2, 0)]);
    from_now_on.not("no place in the fridge");
}

fn pan<'a>(c: &'a mut Case, dish: usize, cookware: &str) -> &'a mut PanBlock {
    let is = |p: &&mut PanBlock| p.dish == dish && p.cookware == cookware;
    c.plan.pans.iter_mut().find(is).expect("a pan")
}

#[test]
fn a_dish_has_pans_of_the_kind_and_size_for_all_of_its_steps() {
    let tin = |change: fn(&mut PanBlock)| Case::new().with(|c| change(pan(c, 0, "tin-small")));
    let short = "roast has 0 tin from 960 to 1140, for 1 pieces and 1500 ml";
    tin(|p| p.from = 961).says(short);
    tin(|p| p.to = 1139).says(short);
    tin(|p| p.numbers.clear()).says(short);
    tin(|p| p.cookware = "bowl-a".to_owned()).says(short);
    tin(|p| p.cookware = "tin-thin".to_owned()).says(short);
    tin(|p| p.cookware = "tin-large".to_owned()).not("roast has");
    tin(|p| p.numbers = vec![1]).says("there is no tin-small number 1");
    // Two litres hold two litres. The recipe is for the four that are made.
    let asks = |ml: u32| {
        Case::of(move |_, _, recipes| {
            recipes[0]["steps"][1]["cookware"][0]["least_ml"] = json!(ml);
        })
    };
    asks(2000).not("roast has");
    asks(2001).says("roast has 1 tin from 960 to 1140, for 1 pieces and 2001 ml");
    // As long as it waits in a hold that keeps the tin, and no longer.
    let until = |to| {
        let lifted = Case::of(|_, _, recipes| {
            recipes[0]["holds"][0].as_object_mut().expect("a hold").remove("cookware");
        });
        lifted.with(|c| pan(c, 0, "tin-small").to = to)
    };
    until(1040).not("roast has");
    until(1039).says("roast has 0 tin from 960 to 1040");
    // A tin whose volume nobody has said is taken at the cook's word.
    let unsaid = Case::of(|_, kitchen, recipes| {
        kitchen["cookware"][0].as_object_mut().expect("a tin").remove("volume_ml");
        recipes[0]["steps"][1]["cookware"][0]["least_ml"] = json!(5_000);
    });
    unsaid.not("roast has");
}

#[test]
fn pans_are_counted_by_what_is_made_at_once() {
    // Two of six servings in a load: a third of what the recipe says, in a bowl of three litres.
    let load = |ml: u32| {
        Case::of(move |_, _, recipes| {
            recipes[1]["steps"][1]["cookware"][0]["least_ml"] = json!(ml);
        })
    };
    load(9_000).not("chips has");
    load(9_003).says("chips has 1 bowl from 1060 to 1139, for 1 pieces and 3001 ml");
    // Two bowls for six are three for nine, as far as there are so many.
    let bowls = |servings: u32, numbers: &[u32]| {
        let numbers = numbers.to_vec();
        let case = Case::of(move |party, _, recipes| {
            party["dishes"][1]["servings"] = json!(servings);
            let two = json!([{"kind": "bowl", "count": 2}]);
            recipes[1]["steps"][0]["cookware"] = two.clone();
            recipes[1]["steps"][1]["cookware"] = two;
        });
        case.with(|c| {
            let mine = pan(c, 1, "bowl-a");
            mine.numbers.clone_from(&numbers);
            let other =
                PanBlock { cookware: "bowl-b".to_owned(), numbers: vec![0], ..mine.clone() };
            if numbers.len() > 2 {
                c.plan.pans.push(other);
                pan(c, 1, "bowl-a").numbers.pop();
            }
        })
    };
    bowls(6, &[0]).says("chips has 1 bowl from 1060 to 1139, for 2 pieces");
    bowls(6, &[0, 1]).not("chips has");
    bowls(9, &[0, 1]).says("chips has 2 bowl from 1060 to 1139, for 3 pieces");
    bowls(9, &[0, 1, 2]).not("chips has");
    bowls(12, &[0, 1, 2]).not("chips has");
}

#[test]
fn a_pan_is_one_dishs_at_a_time() {
    let lent = |from, to| {
        Case::new().with(|c| {
            let mine = pan(c, 2, "bowl-b").clone();
            c.plan.pans.push(PanBlock { dish: 1, from, to, ..mine });
        })
    };
    lent(990, 1000).says("bowl-b 0: dip meets chips");
    lent(991, 1000).not("meets");
    lent(970, 985).not("meets");
    lent(970, 986).says("bowl-b 0: chips meets dip");
}

#[test]
fn hands_are_asked_as_the_recipe_says_of_a_cook_who_is_there() {
    let roast = |change: fn(&mut Block)| Case::new().with(|c| change(c.block(0, 1, 0)));
    let other = "roast/roast asks for other hands than the recipe";
    roast(|b| b.hands_start = 3).says(other);
    roast(|b| b.hands_end = 2).says(other);
    roast(|b| b.hands_between = 10).says(other);
    roast(|b| b.cook = None).says("roast/roast has no cook");
    roast(|b| b.cook = Some("lee".to_owned())).says("lee is asked for 100 at minute 980");
    // At the oven for two minutes from 980 on.
    Case::new().moved(2, 0, 981).says("kim is asked for 200 at minute 981");
    Case::new().moved(2, 0, 982).not("is asked for");
    Case::new().moved(2, 0, 974).not("is asked for");
    Case::new().moved(2, 0, 975).says("kim is asked for 200 at minute 980");
    // Away from 1020 to 1030.
    Case::new().moved(2, 0, 1015).says("kim is asked for 100 at minute 1020");
    Case::new().moved(2, 0, 1014).not("is asked for");
    Case::new().moved(1, 0, 1029).says("kim is asked for 100 at minute 1029");
    Case::new().moved(1, 0, 1030).not("minute 1030");
    // It comes out of the oven in the minute before 1040.
    Case::new().moved(1, 0, 1030).says("kim is asked for 200 at minute 1039");
    Case::new().moved(1, 0, 1040).not("is asked for");
    // Eight minutes at the start and five at the end of ten: both hands all the while.
    let clipped = Case::of(|_, _, recipes| {
        recipes[0]["steps"][0]["hands"] = json!({"start_minutes": 8, "end_minutes": 5});
    });
    let clipped = clipped.with(|c| {
        let season = c.block(0, 0, 0);
        (season.hands_start, season.hands_end, season.hands_between) = (8, 2, 0);
    });
    clipped.not("asks for other hands");
    // What has begun has its hands, but nothing comes on top of it.
    Case::new().moved(2, 0, 1015).at(1018, &[(2, 0)]).not("is asked for");
    Case::new().moved(2, 0, 981).at(980, &[(0, 1), (2, 0)]).not("is asked for");
    let on_top = Case::new().moved(2, 0, 981).at(980, &[(0, 1)]);
    on_top.says("kim is asked for 200 at minute 981");
    // A cook stays until it is done once the evening runs, but is not there before it begins.
    let late = || Case::new().moved(1, 0, 1195);
    late().says("kim is asked for 100 at minute 1200");
    late().at(960, &[]).not("minute 1200");
    // A helper who leaves before others is gone then, all the same; the first cook is not.
    let with_lee = |lee_first: bool, until: &str| {
        let lee = json!({"id": "lee", "name": "Lee", "free": [{"from": "16:00", "to": until}]});
        Case::of(|party, _, _| {
            let cooks = party["cooks"].as_array_mut().expect("a list");
            cooks.insert(usize::from(!lee_first), lee.clone());
        })
        .moved(1, 0, 1195)
        .at(960, &[])
    };
    with_lee(true, "20:01").says("kim is asked for 100 at minute 1200");
    with_lee(true, "20:00").not("minute 1200");
    with_lee(false, "20:01").not("minute 1200");
    Case::new().moved(2, 0, 1015).at(960, &[]).says("kim is asked for 100 at minute 1020");
}

fn heated(change: impl Fn(&mut Vec<SettingBlock>)) -> Case {
    Case::new().with(|c| change(&mut c.plan.settings))
}

#[test]
fn a_thermostat_goes_from_one_setting_to_the_next_in_its_own_time() {
    // Heats 964 to 980, keeps 180 to 1040, cools to 1050, keeps 80 to 1140. It has 21 °C first.
    heated(|s| s[0].from = 965).says("oven from 965: Heating to 180 °C");
    heated(|s| s[0].from = 963).not("Heating");
    heated(|s| s[2].to = 1049).says("oven from 1040: Cooling to 80 °C");
    heated(|s| s[0].kind = SettingKind::Cooling).says("oven from 964: Cooling to 180 °C");
    heated(|s| s[2].kind = SettingKind::Heating).says("oven from 1040: Heating to 80 °C");
    heated(|s| s[0].kind = SettingKind::Keeping).says("oven from 964: Keeping to 180 °C");
    heated(|s| drop(s.remove(0))).says("oven from 980: it has 21 °C, not 180");
    heated(|s| drop(s.remove(2))).says("oven from 1050: it has 180 °C, not 80");
    heated(|s| s[1].from = 979).says("oven from 979: settings overlap");
    heated(|s| s[3].from = 1049).says("oven from 1049: settings overlap");
    let dial = |least: i32, most: i32| {
        Case::of(move |_, kitchen, _| {
            let thermostat = &mut kitchen["stations"][0]["thermostat"];
            (thermostat["least_c"], thermostat["most_c"]) = (json!(least), json!(most));
        })
    };
    dial(80, 180).not("is not on its dial");
    dial(80, 179).says("oven from 964: 180 °C is not on its dial");
    dial(81, 180).says("oven from 1040: 80 °C is not on its dial");
    Case::new().with(|c| c.plan.made_for = 964).not("set in the past");
    let past = "oven from 964: it would have to be set in the past";
    Case::new().with(|c| c.plan.made_for = 965).says(past);
}

#[test]
fn a_thermostat_that_was_turned_is_on_its_way() {
    // At 970 it has so many degrees, and is to have 180 by 980: ten a minute.
    let has = |c: i32, turned: bool| {
        Case::new().at(970, &[(0, 0)]).with(|case| {
            case.situation.oven_c.insert("oven".to_owned(), c);
            case.plan.made_for = 970;
            if !turned {
                case.situation.unturned.insert("oven".to_owned());
            }
        })
    };
    has(80, true).not("oven from 964");
    has(79, true).says("oven from 964: not at 180 °C by 980");
    has(80, false).says("oven from 964: it has 80 °C, not 21");
    has(80, false).says("oven from 964: it would have to be set in the past");
    // What only stands at its setting was not turned, and what is still to be turned is turned from what it has.
    let told = |now: Minute, c: i32| {
        Case::new().at(now, &[]).with(|case| {
            case.situation.oven_c.insert("oven".to_owned(), c);
        })
    };
    told(1000, 100).says("oven from 980: it has 100 °C, not 180");
    told(960, 100).says("oven from 964: it has 100 °C, not 21");
    // What begins this very minute has its whole way before it.
    heated(|s| s[0].from = 965).at(965, &[]).says("oven from 965: Heating to 180 °C");
    // What is in has the setting that it was put in with, whatever was told before.
    let running = has(80, true).with(|case| {
        let key = StepKey { dish: 0, step: 1, load: 0 };
        let roast = Begun::Running {
            start: 980,
            end: 1040,
            way: 0,
            station: "oven".to_owned(),
            cook: Some("kim".to_owned()),
            setting_c: Some(180),
        };
        case.situation.begun.insert(key, roast);
        case.situation.now = Some(1000);
    });
    running.not("oven from");
}

#[test]
fn all_that_is_in_an_oven_is_at_its_own_setting() {
    let not_kept = "roast/roast: oven is not kept at 180 °C";
    heated(|s| s[1].to = 1039).says(not_kept);
    heated(|s| s[1].from = 981).says(not_kept);
    heated(|s| s[1].to_c = 181).says(not_kept);
    heated(|s| s[1].kind = SettingKind::Heating).says(not_kept);
    heated(|s| s[1].station = "fryer".to_owned()).says(not_kept);
    heated(|s| s[3].to = 1139).says("the hold of dish 0: oven is not kept at 80 °C");
    let unset = Case::new().with(|c| c.hold(0).setting_c = None);
    unset.says("the hold of dish 0 is in oven without a setting");
    // What is over, or has begun, is not asked.
    heated(|s| s[1].to = 1039).at(1040, &[]).not("roast/roast: oven");
    heated(|s| s[1].to = 1039).at(1000, &[(0, 1)]).not("roast/roast: oven");
    heated(|s| s[3].to = 1139).at(1051, &[]).not("the hold of dish 0: oven");
    heated(|s| s[3].to = 1139).at(1050, &[]).says("the hold of dish 0: oven");
}

#[test]
fn every_dish_is_on_the_line_of_its_service() {
    let line = |change: fn(&mut Plan)| Case::new().with(|c| change(&mut c.plan));
    let missing = "chips is not on the line of its service";
    line(|p| p.services.clear()).says(missing);
    line(|p| p.services[0].due = 1141).says(missing);
    line(|p| p.services[0].service = 1).says(missing);
    line(|p| p.services[0].dishes[1] = (1, 1138, 1140)).says(missing);
    line(|p| p.services[0].dishes[1] = (1, 1139, 1141)).says(missing);
    let moved = line(|_| ()).with(|c| {
        c.situation.service_at.insert(0, 1150);
    });
    moved.says(missing);
}

#[test]
fn a_dish_waits_where_and_as_long_as_it_may() {
    let none = Case::new().with(|c| c.plan.holds.clear());
    none.says("roast waits 90 minutes nowhere");
    none.says("chips waits 21 minutes nowhere");
    let held = Case::new().with(|c| {
        let since = Held { hold: Some(0), since: 1050, station: Some("oven".to_owned()) };
        c.situation.held.insert(0, since);
        c.plan.holds.retain(|h| h.dish != 0);
    });
    held.not("nowhere");
    let roast = |change: fn(&mut HoldBlock)| Case::new().with(|c| change(c.hold(0)));
    roast(|h| h.from = 1051).says("the hold of roast is not from 1050 to 1140");
    roast(|h| h.from = 1049).says("the hold of roast is not from 1050 to 1140");
    roast(|h| h.to = 1139).says("the hold of roast is not from 1050 to 1140");
    roast(|h| h.hold = 2).says("roast has no hold 2");
    roast(|h| h.class = crate::kitchen::HoldClass::Room).says("roast waits in the wrong place");
    roast(|h| h.station = "board".to_owned()).says("roast waits in the wrong place");
    roast(|h| h.station = "nowhere".to_owned()).says("roast waits in the wrong place");
    roast(|h| h.setting_c = Some(91)).says("roast waits at Some(91), not 70 °C");
    roast(|h| h.setting_c = Some(49)).says("roast waits at Some(49), not 70 °C");
    roast(|h| h.setting_c = Some(90)).not("not 70 °C");
    roast(|h| h.setting_c = Some(50)).not("not 70 °C");
    roast(|h| h.setting_c = None).says("roast waits at None, not 70 °C");
    let most = |most: u32| {
        Case::of(move |_, _, recipes| recipes[0]["holds"][0]["most_minutes"] = json!(most))
    };
    most(90).not("roast waits");
    most(89).says("roast waits 90 minutes");
    // What came out before is where it is.
    let out = most(89).at(1055, &[(0, 0), (0, 1), (0, 2)]);
    out.not("roast waits 90 minutes");
    roast(|h| h.from = 1060).at(1060, &[(0, 2)]).not("the hold of roast is not");
    roast(|h| h.from = 1049).at(1060, &[(0, 2)]).says("the hold of roast is not");
}

#[test]
fn without_a_hold_of_its_own_a_dish_stands_on_the_pass_for_ten_minutes() {
    // The chips' last load is ready at 1139 or sooner, and their recipe names no place.
    let ready = |end: Minute| {
        Case::of(|_, _, recipes| recipes[1]["holds"] = json!([])).with(|c| {
            let last = c.block(1, 1, 2);
            (last.start, last.end) = (end - 9, end);
        })
    };
    ready(1130).not("chips has no hold");
    ready(1129).says("chips has no hold 0");
}

#[test]
fn nothing_is_planned_past_the_guidance() {
    // The chips are out at 1119, served at 1140, and then on the table; two hours are allowed.
    let table = |minutes: u32| Case::of(move |party, _, _| party["table_minutes"] = json!(minutes));
    table(99).not("without heat or cold");
    table(100)
        .says("chips is without heat or cold for 121 minutes, the table included; 120 are allowed");
    // One hour above 90 °F (32.2 °C): 21 and 40 minutes are one too many.
    let air = |c: i32| Case::of(move |party, _, _| party["room_c"] = json!(c));
    air(32).not("without heat or cold");
    let cut_late = |c: i32| air(c).moved(1, 0, 1072);
    cut_late(33)
        .says("chips is without heat or cold for 61 minutes, the table included; 60 are allowed");
    cut_late(33).at(1125, &[(1, 0), (1, 1)]).not("chips is without heat or cold");
    // An oven at 60 °C (140 °F) keeps the roast, one at 59 does not: out at 1040 or when its rest begins.
    let waits_at = |c: i32| Case::new().with(move |case| case.hold(0).setting_c = Some(c));
    waits_at(60).not("roast is without heat or cold");
    waits_at(59).says("roast is without heat or cold for 140 minutes");
    waits_at(59).moved(0, 2, 1044).says("roast is without heat or cold for 136 minutes");
    // What the dip is mixed of comes out of the fridge; in the room its clock runs from there to the fridge.
    let in_the_room =
        || Case::of(|_, _, recipes| recipes[2]["steps"][1]["after"][0]["place"] = json!("room"));
    // On the table it is out again, for 40 minutes more.
    in_the_room().moved(2, 0, 1024).not("dip is without heat or cold");
    in_the_room().moved(2, 0, 1023).says("dip is without heat or cold for 121 minutes");
    Case::new().moved(2, 0, 1023).not("dip is without heat or cold");
}

#[test]
fn it_says_since_when_a_dish_is_without_heat_or_cold() {
    let (evening, plan) = supper();
    let profile = Profile::by_id(&evening.party.guidance).expect("built in");
    let since = |plan: &Plan, dish| uncontrolled(&evening, profile, plan, dish).map(|u| u.since);
    // Roast out of the oven, chips out of the fryer, dip out of the fridge.
    assert_eq!(
        (0..4).map(|d| since(&plan, d)).collect::<Vec<_>>(),
        [Some(1040), Some(1119), Some(1100), None]
    );
    assert_eq!(since(&Plan::default(), 0), None);
    let shown = Situation { previous: Some(Arc::new(plan.clone())), ..Situation::default() };
    assert_eq!(verify(&evening, &shown, profile, &plan), Ok(()));
}

/// Two tins of a litre and a half on two racks, says the recipe.
fn two_tins(change: impl Fn(&mut Value, &mut Value, &mut [Value; 3])) -> Case {
    Case::of(move |party, kitchen, recipes| {
        kitchen["cookware"][0]["count"] = json!(3);
        let tins = json!([{"kind": "tin", "count": 2, "least_ml": 1500}]);
        recipes[0]["steps"][0]["cookware"] = tins.clone();
        recipes[0]["steps"][1]["cookware"] = tins;
        recipes[0]["steps"][1]["ways"][0]["slots"] = json!(2);
        change(party, kitchen, recipes);
    })
}

#[test]
fn a_block_takes_places_by_the_pieces_that_its_dish_has() {
    let with = |case: Case, tins: (&str, u32), slots: &[u32]| {
        case.with(|c| {
            let tin = pan(c, 0, "tin-small");
            (tin.cookware, tin.numbers) = (tins.0.to_owned(), (0..tins.1).collect());
            c.block(0, 1, 0).slots = slots.to_vec();
        })
    };
    let plain = |tins, slots: &[u32]| with(two_tins(|_, _, _| ()), tins, slots);
    plain(("tin-small", 2), &[0, 1]).not("slots");
    plain(("tin-small", 2), &[0]).says("roast/roast takes 1 slots");
    plain(("tin-large", 1), &[0]).not("slots");
    plain(("tin-large", 1), &[0, 1]).says("roast/roast takes 2 slots");
    // Three tins for eight take all the racks there are, and on the counter the cook's place.
    let eight = |racks: u32| {
        let case = two_tins(move |party, kitchen, _| {
            party["dishes"][0]["servings"] = json!(8);
            kitchen["stations"][0]["slots"] = json!(racks);
        });
        with(case, ("tin-small", 3), &[0, 1])
    };
    eight(2).not("slots");
    eight(3).says("roast/roast takes 2 slots");
    // In the heat what bears it counts, all of it; on the hob what is named first.
    let and_bowls = |proof: bool, hob: bool| {
        let case = two_tins(move |_, kitchen, recipes| {
            kitchen["cookware"][3]["ovenproof"] = json!(proof);
            let step = &mut recipes[0]["steps"][1];
            let bowls = json!({"kind": "bowl", "count": 2});
            step["cookware"].as_array_mut().expect("a list").push(bowls);
            if hob {
                step["ways"][0] = json!({"station": "stovetop", "minutes": 60, "slots": 2});
            }
        });
        with(case, ("tin-large", 1), &[0]).with(|c| {
            let bowls = PanBlock {
                cookware: "bowl-a".to_owned(),
                numbers: vec![0, 1],
                dish: 0,
                from: 980,
                to: 1040,
            };
            c.plan.pans.push(bowls);
            if hob {
                c.block(0, 1, 0).station = "hob".to_owned();
            }
        })
    };
    and_bowls(false, false).not("slots");
    and_bowls(true, false).says("roast/roast takes 1 slots");
    and_bowls(true, true).not("slots");
}

#[test]
fn pieces_of_no_stated_volume_hold_what_the_recipe_says_or_are_taken_at_the_cooks_word() {
    let of = |servings: u32, many: u32| {
        let case = two_tins(move |party, kitchen, _| {
            party["dishes"][0]["servings"] = json!(servings);
            kitchen["cookware"][0].as_object_mut().expect("a tin").remove("volume_ml");
        });
        case.with(|c| pan(c, 0, "tin-small").numbers = (0..many).collect())
    };
    // Two hold three litres; one does not, whatever it is.
    of(4, 2).not("roast has");
    of(4, 1).says("roast has 1 tin from 960 to 1140, for 1 pieces and 3000 ml");
    // Six litres in the recipe's own two: at the cook's word.
    of(8, 2).not("roast has");
    of(8, 1).says("roast has 1 tin from 960 to 1140, for 1 pieces and 6000 ml");
}

/// The chips are cut until 1072 and fried until 1139; the dip is dressed at 1100.
#[test]
fn what_another_dish_cuts_is_cut_before_it_is_wanted() {
    let wants = |job: &str, start: Minute| {
        let (step, dish, job) = ("dress".to_owned(), "chips".to_owned(), job.to_owned());
        let wait = WaitsFor { step, dish, job };
        Case::new().with(|c| c.evening.sheets[2].waits_for.push(wait)).moved(2, 1, start)
    };
    wants("cut", 1072).not("starts before");
    wants("cut", 1071).says("dip/dress starts before cut");
    wants("fry", 1139).not("starts before");
    wants("fry", 1138).says("dip/dress starts before fry");
    // What has begun has begun, and of a dish that is not made nothing is wanted.
    wants("cut", 1071).at(1075, &[(2, 1)]).not("starts before");
    let gone = |served: bool| {
        wants("cut", 1071).with(|c| {
            let gone = &mut c.situation;
            if served {
                gone.served.insert(1)
            } else {
                gone.dropped.insert(1)
            };
        })
    };
    gone(true).not("starts before");
    gone(false).not("starts before");
}

//! What the last check says of food that is out of the heat and the cold more than once.

use serde_json::json;

use super::Case;
use crate::kitchen::{HoldClass, Minute};
use crate::safety::{Profile, limit_minutes};

/// A fridge stops the clock and does not set it back: mixed for 6 minutes, dressed for 4, and then on the table.
#[test]
fn what_is_out_before_and_after_the_cold_is_out_together() {
    for profile in Profile::all() {
        let most = limit_minutes(profile, true, 21.0).expect("a limit");
        let table = |minutes: i64| {
            let id = profile.id.clone();
            Case::of(move |party, _, _| {
                party["guidance"] = json!(id);
                party["table_minutes"] = json!(minutes);
            })
        };
        table(most - 10).not("dip is without heat or cold");
        let past = format!("dip is without heat or cold for {} minutes, the table incl", most + 1);
        table(most - 9).says(&past);
    }
}

/// What is taken out of the fridge, or of a can, waits no longer for its heat than food may be out.
#[test]
fn what_comes_out_of_the_cold_is_heated_in_time() {
    Case::new().moved(0, 0, 860).not("roast is without heat or cold");
    Case::new()
        .moved(0, 0, 859)
        .says("roast is without heat or cold for 121 minutes, up to roast; 120 are allowed");
    // Where nothing of a dish is kept cold its first step counts, up to when the last load is fried; dry goods of one that
    // has some may lie about, but not out of a can.
    Case::new().moved(1, 0, 1010).not("chips is without heat or cold");
    Case::new().moved(1, 0, 1009).says("chips is without heat or cold for 121 minutes, up to fry");
    let buttered = |unit: &'static str| {
        Case::of(move |_, _, recipes| {
            recipes[1]["ingredients"][0]["unit"] = json!(unit);
            let butter = json!({"item": "butter", "kept": "fridge", "steps": ["fry"]});
            recipes[1]["ingredients"].as_array_mut().expect("a list").push(butter);
        })
    };
    buttered("kg").moved(1, 0, 960).not("chips is without heat or cold");
    buttered("can").moved(1, 0, 1009).says("chips is without heat or cold for 121 minutes, up to");
}

/// A clock that runs already may have to go past its limit; one that stands is held to it, with what is behind it.
#[test]
fn what_has_begun_to_be_out_is_not_refused_and_what_is_ahead_is() {
    // Mixed for 6 minutes, in the fridge, dressed for 4 and then in the room until 1140, 40 on the table.
    let dressed =
        |at: Minute| Case::new().moved(2, 1, at).with(|c| c.hold(2).class = HoldClass::Room);
    dressed(1066).at(992, &[(2, 0)]).not("dip is without heat or cold");
    dressed(1065).at(992, &[(2, 0)]).says("dip is without heat or cold for 121 minutes");
    dressed(1065).at(1065, &[(2, 0), (2, 1)]).not("dip is without heat or cold");
    // It is not refused either if it cannot be had any more: 6 and 4 minutes and the table.
    let table = |minutes: u32| Case::of(move |party, _, _| party["table_minutes"] = json!(minutes));
    table(111).says("dip is without heat or cold for 121 minutes");
    table(111).at(992, &[(2, 0)]).not("dip is without heat or cold");
    // Nor is what leaves its oven, or has left it: 71 minutes up to its rest, 10 of rest, and the table.
    let rested = |at: Minute| {
        let room = Case::of(|_, _, r| r[0]["steps"][2]["after"][0]["place"] = json!("room"));
        room.moved(0, 2, at)
    };
    rested(1110).not("roast is without heat or cold");
    rested(1111).says("roast is without heat or cold for 121 minutes");
    rested(1111).at(1050, &[(0, 0), (0, 1)]).not("roast is without heat or cold");
    // Without a fridge it is out in between.
    let down = |at: Minute| {
        let case = Case::new().moved(2, 0, at);
        case.at(960, &[]).with(|c| _ = c.situation.down.insert("fridge".to_owned()))
    };
    down(1024).not("dip is without heat or cold");
    down(1023).says("dip is without heat or cold for 121 minutes");
}

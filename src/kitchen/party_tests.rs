//! What a party file leaves unsaid means what its fields say, and is left unsaid when it is written again.

use serde_json::{Value, json};

use super::*;

fn bare() -> Value {
    json!({"id": "p", "title": "P", "day": "2026-10-24", "services": [], "dishes": [], "cooks": [],
        "kitchen": "home", "guidance": "us_consumer", "room_c": 21, "table_minutes": 45,
        "on_time_percent": 90})
}

fn read(json: Value) -> Party {
    serde_json::from_value(json).expect("reads")
}

#[test]
fn what_a_party_does_not_say_has_its_usual_meaning() {
    let mut least = bare();
    for field in ["guidance", "room_c", "table_minutes", "on_time_percent"] {
        least.as_object_mut().expect("an object").remove(field);
    }
    let party = read(least);
    assert_eq!(party, read(bare()));
    assert_eq!(
        (party.guidance.as_str(), party.room_c, party.table_minutes),
        ("us_consumer", 21, 45)
    );
    assert_eq!((party.on_time_percent, party.least.starters, party.least.mains), (90, 2, 2));
    assert_eq!((party.appetite, party.pool_knife_work), (Appetite::Usual, false));
    let guest: Guest = serde_json::from_value(json!({"name": "Ilse"})).expect("reads");
    assert_eq!((guest.count, guest.heat), (1, None));
}

#[test]
fn what_is_usual_is_not_written_and_what_is_not_is() {
    let mut written = bare();
    written.as_object_mut().expect("an object").remove("on_time_percent");
    assert_eq!(serde_json::to_value(read(bare())).expect("JSON"), written);
    for (field, value) in [
        ("on_time_percent", json!(80)),
        ("appetite", json!("hearty")),
        ("least", json!({"starters": 2, "mains": 1})),
        ("least", json!({"starters": 1, "mains": 2})),
        ("pool_knife_work", json!(true)),
    ] {
        let mut own = written.clone();
        own[field] = value;
        assert_eq!(serde_json::to_value(read(own.clone())).expect("JSON"), own, "{field}");
    }
}

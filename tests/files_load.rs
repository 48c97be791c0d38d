//! Loading a party: every name resolved, every file of it checked at once.

use std::path::Path;

use potwatch::kitchen::Clockface;
use potwatch::store::load::{load_builtin, load_party_by};

fn face() -> Clockface {
    Clockface::fixed("2026-11-25".parse().expect("a day"), 0)
}

#[test]
fn the_demo_party_is_sound() {
    let evening = load_builtin(face()).unwrap_or_else(|wrong| panic!("{wrong}"));
    assert_eq!(evening.party.day, face().day);
    assert_eq!(evening.sheets.len(), evening.party.dishes.len());
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("assets/demo/party.json");
    let loaded = load_party_by(&path, |day| Clockface::fixed(day, 0)).expect("sound");
    assert_eq!(loaded.notes.to_string(), "");
}

//! The page of an explanation, whole.

use super::super::Sentence;
use super::super::push::Slip;
use super::*;
use crate::plan::StepKey;
use crate::plan::sample::evening;

fn why() -> Why {
    let key = StepKey::default();
    let chain = |said: &[&str]| -> Vec<Sentence> {
        said.iter().map(|s| Sentence { key, text: (*s).to_owned() }).collect()
    };
    let room = |minutes| Room { minutes, ..Room::default() };
    Why {
        key,
        start: 1034,
        end: 1043,
        name: "Chips (fry)".into(),
        place: "air fryer".into(),
        fact: None,
        earlier: Reasons {
            room: room(12),
            chain: chain(&["One.", "Two."]),
            also: vec!["Three.".into()],
        },
        later: Reasons { room: room(0), chain: chain(&["Four."]), also: Vec::new() },
        slip: Slip { minutes: 5, ..Slip::default() },
        slip_until: "then too late for supper".into(),
    }
}

#[test]
fn an_explanation_reads_like_this() {
    let evening = evening();
    let late = Late {
        minutes: 5,
        moves: Vec::new(),
        services: Vec::new(),
        plan: None,
        lines: vec!["Five.".into(), "Six.".into()],
    };
    assert_eq!(
        text(&evening, &why(), &[late]),
        "Chips (fry), 17:14 to 17:23\nAir fryer\n\nEarlier by up to 12 min\n  One.\n  Two.\n  Also: Three.\n\n\
         Later by 0 min\n  Four.\n\nWith the rest pushed along: up to 5 min later, then too late for supper.\n\n\
         If it ends 5 min late\n  Five.\n  Six.\n"
    );
    // What has happened is a fact, and nothing keeps it.
    let fact = Why {
        fact: Some("It began at 17:14.".into()),
        earlier: Reasons::default(),
        later: Reasons::default(),
        ..why()
    };
    assert_eq!(
        text(&evening, &fact, &[]),
        "Chips (fry), 17:14 to 17:23\nAir fryer\nIt began at 17:14.\n"
    );
}

#[test]
fn room_and_slip_say_how_far_they_were_looked_for() {
    let of = |minutes, more| room(Room { minutes, more, ..Room::default() });
    assert_eq!(
        [of(180, true), of(0, false), of(12, false)],
        ["3 h and more", "0 min", "up to 12 min"]
    );
    let more = Why { slip: Slip { minutes: 180, more: true, ..Slip::default() }, ..why() };
    assert_eq!(slip(&more), "With the rest pushed along: 3 h later and more.");
}

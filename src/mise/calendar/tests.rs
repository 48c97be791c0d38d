use super::*;

fn shopping() -> Errand {
    Errand {
        id: "shopping".into(),
        at: -840,
        minutes: 60,
        title: "Shopping".into(),
        words: "1 onion".into(),
    }
}

fn one(summary: &str) -> Calendar {
    let event = Event {
        id: "a".into(),
        from_s: 1_792_864_800,
        to_s: 1_792_868_400,
        summary: summary.into(),
        description: String::new(),
        busy: true,
        alarms: vec![
            Alarm { minutes_before: 0, words: "now".into() },
            Alarm { minutes_before: 90, words: "soon".into() },
            Alarm { minutes_before: 2880, words: "in two days".into() },
        ],
    };
    Calendar { uid: "x@y".into(), name: "N".into(), stamp_s: 0, events: vec![event] }
}

/// RFC 5545, 3.1: lines of at most 75 octets, CRLF at the end, folded lines
/// begin with a space; unfolding gives the line back.
#[test]
fn lines_are_folded_and_come_back() {
    let long = "Knödel, Süßkraut; ein \\ und\nnoch 汤 ".repeat(9);
    let file = write(&one(&long));
    assert!(file.ends_with("END:VCALENDAR\r\n"));
    assert!(!file.replace("\r\n", "").contains(['\r', '\n']));
    for line in file.split_terminator("\r\n") {
        assert!(line.len() <= 75, "{line}");
    }
    let unfolded = file.replace("\r\n ", "");
    let summary = unfolded.lines().find_map(|l| l.strip_prefix("SUMMARY:")).unwrap();
    let plain =
        summary.replace("\\n", "\n").replace("\\,", ",").replace("\\;", ";").replace("\\\\", "\\");
    assert_eq!(plain, long);
}

/// RFC 5545, 3.3.6 and 3.8.6.3: a negative duration is before the start.
#[test]
fn times_and_triggers_are_written_as_the_standard_has_them() {
    let file = write(&one("a"));
    for line in [
        "DTSTAMP:19700101T000000Z",
        "DTSTART:20261024T180000Z",
        "TRIGGER:PT0S",
        "TRIGGER:-PT90M",
        "TRIGGER:-P2D",
        "UID:a-x@y",
        "TRANSP:OPAQUE",
    ] {
        assert!(file.contains(&format!("{line}\r\n")), "{line} in {file}");
    }
}

#[test]
fn an_evenings_calendar_is_the_same_every_time_and_moves_with_its_plan() {
    let (evening, plan) = crate::plan::compose::tests::supper();
    let errand = shopping();
    let all = |plan| calendar(&evening, plan, std::slice::from_ref(&errand));
    let first = all(&plan);
    assert_eq!(write(&first), write(&all(&plan)));
    assert!(first.events.iter().any(|e| e.id == "shopping" && e.alarms.len() == 1));
    assert!(first.events.iter().any(|e| e.id.starts_with("service.") && e.alarms.len() == 2));
    let mut ids: Vec<&str> = first.events.iter().map(|e| e.id.as_str()).collect();
    ids.sort_unstable();
    let count = ids.len();
    ids.dedup();
    assert_eq!(ids.len(), count, "{ids:?}");
    let mut later = plan.clone();
    for block in &mut later.blocks {
        (block.start, block.end) = (block.start + 5, block.end + 5);
    }
    let moved = all(&later);
    let id_of = |c: &Calendar| {
        let mut ids: Vec<String> = c.events.iter().map(|e| e.id.clone()).collect();
        ids.sort();
        ids.into_iter().filter(|id| id.starts_with("step.")).collect::<Vec<_>>()
    };
    assert_eq!(id_of(&first), id_of(&moved));
}

/// RFC 5545, 3.3.6: whole days and hours are written as such.
#[test]
fn durations_are_whole_days_hours_or_minutes() {
    let mut calendar = one("a");
    calendar.events[0].alarms = [0, 30, 60, 120, 90, 1440, 1500]
        .map(|minutes_before| Alarm { minutes_before, words: String::new() })
        .into();
    let file = write(&calendar);
    let found: Vec<&str> = file.lines().filter_map(|l| l.strip_prefix("TRIGGER:")).collect();
    assert_eq!(found, ["PT0S", "-PT30M", "-PT1H", "-PT2H", "-PT90M", "-P1D", "-PT25H"]);
    // Nothing is said of what has no words.
    let event = file.split("BEGIN:VALARM").next().unwrap_or_default();
    assert!(!event.contains("DESCRIPTION"), "{event}");
    calendar.events[0].description = "Chop it.".into();
    assert!(write(&calendar).contains("\r\nDESCRIPTION:Chop it.\r\n"));
}

/// 75 octets are a line, 76 are two; the second has 74 after its space.
#[test]
fn a_line_is_folded_at_the_octet() {
    let lines = |n: usize| -> Vec<usize> {
        let file = write(&one(&"a".repeat(n)));
        let from = file.split("\r\n").skip_while(|l| !l.starts_with("SUMMARY:"));
        from.take_while(|l| !l.starts_with("TRANSP")).map(str::len).collect()
    };
    let label = "SUMMARY:".len();
    assert_eq!(lines(75 - label), [75]);
    assert_eq!(lines(76 - label), [75, 2]);
    assert_eq!(lines(75 + 74 - label), [75, 75]);
    assert_eq!(lines(75 + 75 - label), [75, 75, 2]);
}

/// The supper of 20 November 2026 by a clock without offset: 18:00 is 1 795 197 600 s (date -u -d).
#[test]
fn an_evening_in_a_calendar_has_its_times_and_alarms() {
    let (evening, mut plan) = crate::plan::compose::tests::supper();
    const SIX: i64 = 1_795_197_600;
    let at = |minute: i64| SIX + (minute - 18 * 60) * 60;
    // The dip is mixed the day before, from 17:00 on; a rest is nobody's work, and begins with the day.
    let mixed = plan.blocks.iter_mut().find(|b| (b.key.dish, b.key.step) == (2, 0)).expect("mixed");
    (mixed.start, mixed.end) = (-420, -414);
    let rest = plan.blocks.iter_mut().find(|b| (b.key.dish, b.key.step) == (0, 2)).expect("a rest");
    (rest.cook, rest.start, rest.end) = (None, 0, 10);
    let fried = plan.blocks.iter_mut().find(|b| (b.key.dish, b.key.step) == (1, 1)).expect("fried");
    fried.cook = None;
    // Out of order, as no plan has them.
    plan.blocks.reverse();
    let errand = shopping();
    let short = Errand { id: "nothing".into(), minutes: 0, ..errand.clone() };
    let calendar = calendar(&evening, &plan, &[errand, short]);
    assert_eq!(calendar.stamp_s, at(0));
    let all = &calendar.events;
    assert!(all.is_sorted_by_key(|e| (e.from_s, e.to_s, e.id.clone())), "{all:#?}");
    let one = |id: &str| {
        let mut found = all.iter().filter(|e| e.id == id);
        let one = found.next().unwrap_or_else(|| panic!("no {id} in {all:#?}"));
        assert_eq!(found.next(), None, "{id} is there twice");
        let alarms: Vec<u32> = one.alarms.iter().map(|a| a.minutes_before).collect();
        (one.from_s, one.to_s, one.busy, alarms)
    };
    // What has no length stands there for a minute.
    assert_eq!(one("shopping"), (at(-840), at(-780), false, vec![15]));
    assert_eq!(one("nothing"), (at(-840), at(-839), false, vec![15]));
    // Hands are needed for six minutes of the day before, and from the seasoning to the last chips.
    assert_eq!(one("cooking.-1"), (at(-420), at(-414), true, vec![30]));
    assert_eq!(one("cooking.0"), (at(960), at(1139), true, vec![30]));
    let summary = |id: &str| all.iter().find(|e| e.id == id).map(|e| e.summary.as_str());
    assert_eq!(summary("cooking.-1"), Some("Make ahead: Small supper"));
    assert_eq!(summary("cooking.0"), Some("Cook: Small supper"));
    // An alarm before what is made ahead, at once for what goes on the heat with hands, none for the rest.
    assert_eq!(one("step.dip.mix.1"), (at(-420), at(-414), false, vec![15]));
    assert_eq!(one("step.roast.roast.1"), (at(980), at(1040), false, vec![0]));
    assert_eq!(one("step.roast.season.1"), (at(960), at(970), false, vec![]));
    assert_eq!(one("step.roast.rest.1"), (at(0), at(10), false, vec![]));
    assert_eq!(one("step.chips.fry.1"), (at(1110), at(1119), false, vec![]));
    assert_eq!(one("step.chips.fry.2"), (at(1120), at(1129), false, vec![0]));
    // The roast is taken out in its last minute.
    assert_eq!(one("off.roast.roast.1"), (at(1039), at(1040), false, vec![0]));
    // On the table for its forty minutes; called ten minutes before, and then.
    assert_eq!(one("service.supper"), (at(1140), at(1180), false, vec![10, 0]));
    // Each turn of the dial, with an alarm.
    let dials: Vec<_> = all.iter().filter(|e| e.id.starts_with("dial.oven.")).collect();
    assert!(
        !dials.is_empty()
            && dials.iter().all(|e| e.alarms.len() == 1 && e.alarms[0].minutes_before == 0)
    );
    assert_eq!(dials[0].from_s, at(964));
}

/// What thaws comes out of the freezer the day before, the large piece that it may be earlier; of a dish that is
/// not made nothing does. The supper is on 20 November, and seasons its roast at 16:00.
#[test]
fn what_thaws_stands_in_the_calendar() {
    let (mut evening, plan) = crate::plan::compose::tests::supper();
    let frozen = serde_json::json!([
        {"item": "pork loin", "amount": 6, "unit": "kg", "kept": "freezer", "note": "thawed", "steps": ["season"]},
        {"item": "berries", "amount": 1, "unit": "kg", "kept": "freezer", "note": "thawed", "steps": ["season"]},
        {"item": "peas", "amount": 1, "unit": "kg", "kept": "freezer", "steps": ["season"]}]);
    evening.sheets[0].recipe.ingredients = serde_json::from_value(frozen).expect("ingredients");
    evening.sheets[0].servings = evening.sheets[0].recipe.servings;
    let errands = thawing(&evening, &plan, &[]);
    let told: Vec<_> = errands.iter().map(|e| (e.id.as_str(), e.at, e.title.as_str())).collect();
    let at = |days: i32| 960 - days * 1440;
    assert_eq!(
        told,
        [
            ("thaw.roast.0", at(1), "Out of the freezer: 6 kg pork loin"),
            ("thaw-large.roast.0", at(3), "Out of the freezer, if it is one piece: 6 kg pork loin"),
            ("thaw.roast.1", at(1), "Out of the freezer: 1 kg berries"),
        ]
    );
    assert!(errands.iter().all(|e| e.words.contains("never on the counter")));
    assert!(thawing(&evening, &plan, &[0]).is_empty());
}

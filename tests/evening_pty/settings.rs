//! The cook's settings in a real evening: a program that alarms start, sounds that are off, big
//! type from afar.

use std::os::unix::fs::PermissionsExt;
use std::path::Path;
use std::time::{Duration, Instant};

use potwatch::pages::alarms::{ALARMS_FORMAT, AlarmsPage};

use super::play::soup_left_on_the_hob;
use super::seat::Seat;
use super::small_party::SmallParty;
use super::{at, cooking};

/// However slow the machine: so long is waited for a file.
const PATIENCE: Duration = Duration::from_secs(60);

fn set(party: &SmallParty, settings: &serde_json::Value) {
    let file = party.places().settings();
    std::fs::create_dir_all(file.parent().unwrap()).unwrap();
    std::fs::write(file, settings.to_string()).unwrap();
}

/// A program that keeps what it is given on its input, whole, under a name of its own each time.
fn lamp(folder: &Path) -> String {
    let program = folder.join("a lamp");
    let text = "#!/bin/sh\ncat > \"$1/$$.part\" && mv \"$1/$$.part\" \"$1/$$.json\"\n";
    std::fs::write(&program, text).unwrap();
    std::fs::set_permissions(&program, std::fs::Permissions::from_mode(0o755)).unwrap();
    program.display().to_string()
}

fn kept(folder: &Path) -> Vec<String> {
    let files = std::fs::read_dir(folder).unwrap().map(|f| f.unwrap().path());
    let whole = files.filter(|f| f.extension().is_some_and(|e| e == "json"));
    whole.map(|f| std::fs::read_to_string(f).unwrap()).collect()
}

fn leave(mut seat: Seat) {
    seat.press("q");
    assert_eq!(seat.exit_code(), 0);
}

#[test]
fn an_alarm_starts_the_cooks_program_with_the_alarm_on_its_input() {
    let party = soup_left_on_the_hob();
    let folder = tempfile::tempdir().unwrap();
    let words = [lamp(folder.path()), folder.path().display().to_string()];
    set(&party, &serde_json::json!({ "on_alarm": words }));
    let seat = cooking(&party);
    seat.wait_text("SOUP overdone");
    let began = Instant::now();
    while kept(folder.path()).is_empty() {
        assert!(began.elapsed() < PATIENCE, "{}", seat.text());
        std::thread::sleep(Duration::from_millis(20));
    }
    // It sounds again and again; the program is told of an alarm once.
    seat.wait_bells(2);
    let told = kept(folder.path());
    assert_eq!(told.len(), 1, "{told:?}");
    // What does not fit the schema's type does not parse: it knows no other field.
    let page: AlarmsPage = serde_json::from_str(&told[0]).unwrap();
    assert_eq!((page.format.as_str(), page.title.as_str()), (ALARMS_FORMAT, "Small supper"));
    let soup = page.alarms.iter().find(|a| a.title.contains("SOUP overdone")).expect("the alarm");
    assert!(soup.key.starts_with("overdone:soup:simmer") && !soup.remedy.is_empty(), "{soup:?}");
    leave(seat);
}

#[test]
fn a_program_that_fails_or_is_not_there_is_told_of_in_one_line() {
    let party = soup_left_on_the_hob();
    set(&party, &serde_json::json!({ "on_alarm": ["false"] }));
    let seat = cooking(&party);
    seat.wait_text("SOUP overdone");
    seat.wait_text("Your program on alarm");
    seat.wait_text("failed: exit status: 1");
    leave(seat);
    let party = soup_left_on_the_hob();
    set(&party, &serde_json::json!({ "on_alarm": ["no-such-lamp"] }));
    let seat = cooking(&party);
    seat.wait_text("Alarms come without your program \"no-such-lamp\"");
    seat.wait_bells(1);
    leave(seat);
}

#[test]
fn an_alarm_without_its_sound_is_on_the_screen_and_said_to_be_silent() {
    let party = soup_left_on_the_hob();
    let off = serde_json::json!({ "sound_notices": false, "sound_warnings": false, "sound_urgent": false });
    set(&party, &off);
    let seat = cooking(&party);
    seat.wait_text("no sound for: notice, warning, urgent");
    seat.wait_text("SOUP overdone");
    // Long enough for the first sound, and for that of an urgent one to come again.
    std::thread::sleep(Duration::from_secs(10));
    assert_eq!(seat.bells(), 0);
    assert!(seat.text().contains("SOUP overdone"));
    leave(seat);
}

#[test]
fn far_from_the_screen_the_evening_opens_in_big_type_and_without_colours_if_so_set() {
    let party = SmallParty::first_due_in(10);
    party.begin(1, &[]);
    set(&party, &serde_json::json!({ "distance_m": 3, "colours": "none" }));
    let mut seat = at(&party, 30, 150, &[("COLORTERM", "truecolor"), ("TERM", "xterm-256color")]);
    seat.wait_text("\u{2588}\u{2588}");
    seat.wait_for("big type", |s| !s.contents().contains("oven heat"));
    let coloured = seat.see(|s| {
        let (rows, cols) = s.size();
        let cells = (0..rows).flat_map(|r| (0..cols).map(move |c| (r, c)));
        let plain = vt100::Color::Default;
        cells
            .filter_map(|(r, c)| s.cell(r, c))
            .any(|c| c.fgcolor() != plain || c.bgcolor() != plain)
    });
    assert!(!coloured, "{}", seat.text());
    seat.press("1");
    seat.wait_text("oven heat");
    leave(seat);
}

/// What is wrong with the settings is read where the cook looks, whole: by then a sound or a program may be missing.
#[test]
fn settings_that_cannot_be_read_are_told_on_the_full_screen() {
    let party = SmallParty::first_due_in(5);
    let file = party.places().settings();
    std::fs::create_dir_all(file.parent().unwrap()).unwrap();
    std::fs::write(&file, "{ \"on_alarm\": ").unwrap();
    let seat = at(&party, 24, 80, &[]);
    // Wherever its line is broken.
    seat.wait_for("what is wrong with them", |screen| {
        let text = screen.contents();
        let words: Vec<&str> = text.split_whitespace().collect();
        screen.alternate_screen() && words.join(" ").contains("what it sets does not count")
    });
    leave(seat);
}

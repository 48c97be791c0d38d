//! The program itself in a terminal: opened, played, let go late, stopped, killed and begun again,
//! judged by what its screen shows and what its journal holds.

#![cfg(unix)]

#[path = "support/faulty_disk.rs"]
mod faulty_disk;
#[path = "support/seat.rs"]
mod seat;
#[path = "support/small_party.rs"]
mod small_party;

#[path = "evening_pty/changes.rs"]
mod changes;
#[path = "evening_pty/disk.rs"]
mod disk;
#[path = "evening_pty/insults.rs"]
mod insults;
#[path = "evening_pty/loss.rs"]
mod loss;
#[path = "evening_pty/neighbours.rs"]
mod neighbours;
#[path = "evening_pty/play.rs"]
mod play;
#[path = "evening_pty/refusals.rs"]
mod refusals;
#[path = "evening_pty/rehearsal.rs"]
mod rehearsal;
#[path = "evening_pty/settings.rs"]
mod settings;
#[path = "evening_pty/ways.rs"]
mod ways;
#[path = "evening_pty/window.rs"]
mod window;

use seat::Seat;
use small_party::SmallParty;

const POTWATCH: &str = env!("CARGO_BIN_EXE_potwatch");

/// What no evening shows any more once it was left.
fn is_left(s: &vt100::Screen) -> bool {
    !s.alternate_screen() && !s.hide_cursor() && !s.bracketed_paste()
}

/// The program at a party, not yet looked at.
fn at(party: &SmallParty, rows: u16, cols: u16, more_env: &[(&str, &str)]) -> Seat {
    let env = party.env();
    let env: Vec<(&str, &str)> =
        env.iter().map(|(k, v)| (*k, v.as_str())).chain(more_env.iter().copied()).collect();
    let file = party.file.to_str().unwrap();
    Seat::sized(rows, cols, &[POTWATCH, file], &env)
}

/// The program at a party, once it shows it with a plan.
fn cooking(party: &SmallParty) -> Seat {
    let seat = at(party, 30, 150, &[]);
    seat.wait_for("the evening with a plan", |s| {
        let text = s.contents();
        text.contains("Small supper") && text.contains("Mains 1")
    });
    seat
}

/// The demo, opened.
fn demo(rows: u16, cols: u16, more_env: &[(&str, &str)]) -> (Seat, tempfile::TempDir) {
    let home = tempfile::tempdir().unwrap();
    let path = home.path().to_str().unwrap().to_owned();
    let env: Vec<(&str, &str)> = [("POTWATCH_HOME", path.as_str()), ("LANG", "C.UTF-8")]
        .into_iter()
        .chain(more_env.iter().copied())
        .collect();
    let seat = Seat::sized(rows, cols, &[POTWATCH], &env);
    seat.wait_text("DEMO");
    (seat, home)
}

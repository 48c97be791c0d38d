//! What nobody presses on purpose: garbage, a paste, a terminal inside a terminal.

use std::time::{Duration, Instant};

use super::faulty_disk::Dice;
use super::seat::Seat;
use super::small_party::SmallParty;
use super::{POTWATCH, cooking};

#[test]
fn garbage_from_the_terminal_ends_nothing_and_loses_nothing() {
    let party = SmallParty::first_due_in(5);
    let mut seat = cooking(&party);
    seat.press("ts63\r");
    seat.wait_text("taken: soup at 63");
    let mut dice = Dice(7);
    for _ in 0..12 {
        // Cut-off and unknown sequences, and bytes that are no text; none of the letters that leave.
        let bytes: String = (0..200)
            .map(|_| match dice.below(6) {
                0 => "\u{1b}[".to_owned(),
                1 => format!("\u{1b}[{};{}R", dice.below(999), dice.below(999)),
                2 => "\u{1b}]0;what\u{7}".to_owned(),
                3 => "\u{1b}[<0;9999;0M".to_owned(),
                4 => char::from_u32(0x80 + dice.below(0x4000) as u32).unwrap_or('x').to_string(),
                _ => "\u{0}\u{1}\u{2}".to_owned(),
            })
            .collect();
        seat.press(&bytes);
    }
    assert_eq!(seat.exit_within(Duration::from_millis(300)), None, "still there");
    // What is cut off swallows keys, and what is left of it are letters: they may open a card or turn to another page.
    let begun = Instant::now();
    while !seat.text().contains("taken: soup at 64") {
        assert!(begun.elapsed() < Duration::from_secs(60), "no mark after it:\n{}", seat.text());
        for _ in 0..4 {
            seat.press("\u{1b}");
            std::thread::sleep(Duration::from_millis(60));
        }
        if seat.text().contains("Before the evening") {
            seat.press("9");
            std::thread::sleep(Duration::from_millis(300));
        }
        seat.press("ts64\r");
        std::thread::sleep(Duration::from_millis(400));
    }
    assert!(party.by_the_cook().len() >= 2);
}

#[test]
fn what_is_pasted_presses_no_keys() {
    let party = SmallParty::first_due_in(5);
    let mut seat = cooking(&party);
    seat.press("\u{1b}[200~q ts99\r:leave\r\u{1b}[201~");
    assert_eq!(seat.exit_within(Duration::from_millis(300)), None, "the q in it does not leave");
    assert_eq!(party.by_the_cook(), []);
    seat.press("ts63\r");
    seat.wait_text("taken: soup at 63");
}

/// Inside a multiplexer: drawn whole, keys count, leaving gives the shell's screen back.
#[test]
fn inside_a_multiplexer() {
    let there = std::process::Command::new("tmux").arg("-V").output();
    if there.is_err() {
        println!("skipped: tmux is not on this computer");
        return;
    }
    let party = SmallParty::first_due_in(5);
    let env = party.env();
    let socket = party.home().display().to_string().replace('/', "-");
    let mut env: Vec<(&str, &str)> = env.iter().map(|(k, v)| (*k, v.as_str())).collect();
    env.push(("SHELL", "/bin/sh"));
    let line = format!("{POTWATCH} {}", party.file.display());
    let tmux = ["tmux", "-L", &socket, "-f", "/dev/null", "new-session", line.as_str()];
    let mut seat = Seat::sized(30, 150, &tmux, &env);
    seat.wait_text("Small supper");
    seat.wait_text("Mains 1");
    seat.press_until("ts63\r", "a mark", |s| s.contents().contains("taken: soup at 63"));
    seat.press("q");
    assert_eq!(seat.exit_code(), 0);
}

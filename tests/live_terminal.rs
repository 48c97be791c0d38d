//! The full screen in a real terminal device: whatever ends or stops the program, the screen is as it was.
//!
//! This test file starts itself again, in a pseudo-terminal, as a small program with a full screen.

#![cfg(unix)]

#[path = "support/seat.rs"]
mod seat;

use std::path::{Path, PathBuf};
use std::time::Duration;

use crossterm::event::{Event, KeyCode, KeyEventKind, KeyModifiers, poll, read};
use potwatch::live::signals::{self, Ending};
use potwatch::live::terminal::{Stage, Terminal, Tty, install_panic_hook};
use potwatch::live::watchdog;
use ratatui::style::{Color, Style};
use ratatui::text::{Line, Span};
use ratatui::widgets::Paragraph;
use seat::Seat;

const MODE_VAR: &str = "POTWATCH_TEST_SCREEN";
const NOTES_VAR: &str = "POTWATCH_TEST_NOTES";

// ---- the program ----

/// Not a test by itself: the program that the tests run. `MODE_VAR` says what watches over it.
#[test]
fn a_small_program_with_a_full_screen() {
    let Ok(mode) = std::env::var(MODE_VAR) else { return };
    let stage = Stage::new(Tty::open().unwrap());
    if let Some(notes) = std::env::var_os(NOTES_VAR) {
        install_panic_hook(&stage, Path::new(&notes));
    }
    let ending = Ending::new(&stage, || {});
    if mode.contains("signals") {
        signals::watch(&ending, || {}).unwrap();
    }
    if mode.contains("watchdog") {
        watchdog::watch(&ending).unwrap();
    }
    let mut terminal = Terminal::enter(&stage).unwrap();
    let mut keys = 0;
    let mut said = String::new();
    loop {
        said.extend(stage.take_failures().iter().map(|f| format!("helper failed: {}", f.message)));
        let lines = [
            Line::from(format!("READY keys={keys} {said}")),
            Line::from(Span::styled("LATE", Style::new().bold())),
            Line::from(Span::styled("HOT", Style::new().bold().fg(Color::Red))),
        ];
        terminal.draw(|f| f.render_widget(Paragraph::new(lines.to_vec()), f.area())).unwrap();
        if !stage.is_entered() {
            // In the background, where to look for keys would stop the program.
            std::thread::sleep(Duration::from_millis(50));
            continue;
        }
        if !poll(Duration::from_millis(50)).unwrap() {
            continue;
        }
        let Event::Key(key) = read().unwrap() else { continue };
        if key.kind != KeyEventKind::Press {
            continue;
        }
        match key.code {
            KeyCode::Char('q') => return,
            KeyCode::Char('p') => panic!("the soup is a lie"),
            KeyCode::Char('w') => {
                drop(std::thread::spawn(|| panic!("a helper dropped a pan")).join());
            }
            KeyCode::Char('z') if key.modifiers.contains(KeyModifiers::CONTROL) => {
                said = format!("{:?} ", signals::suspend(&stage));
            }
            _ => keys += 1,
        }
    }
}

// ---- the terminal around it ----

fn myself() -> String {
    let me = std::env::current_exe().unwrap();
    format!("'{}' --exact a_small_program_with_a_full_screen --nocapture", me.display())
}

/// The program alone in a terminal, watched over in this way, once it shows itself.
fn program(mode: &str, env: &[(&str, &str)]) -> Seat {
    let line = format!("exec {}", myself());
    let env: Vec<_> = env.iter().copied().chain([(MODE_VAR, mode)]).collect();
    let seat = Seat::take(&["/bin/sh", "-c", &line], &env);
    seat.wait_for("the first frame", |s| s.contents().contains("READY"));
    seat
}

fn is_restored(s: &vt100::Screen) -> bool {
    !s.alternate_screen() && !s.hide_cursor() && !s.bracketed_paste()
}

/// As [`is_restored`]; pasting is the shell's own affair.
fn is_the_shells(s: &vt100::Screen) -> bool {
    !s.alternate_screen() && !s.hide_cursor()
}

fn is_full(s: &vt100::Screen) -> bool {
    s.alternate_screen() && s.hide_cursor() && s.bracketed_paste() && s.contents().contains("READY")
}

// ---- the tests ----

#[test]
fn leaving_by_a_key_restores_the_screen() {
    let mut seat = program("signals watchdog", &[]);
    assert!(seat.see(is_full));
    seat.press("q");
    assert_eq!(seat.exit_code(), 0);
    seat.wait_for("the screen as it was", is_restored);
}

#[test]
fn each_ending_signal_restores_the_screen_and_gives_its_exit_code() {
    // The numbers are those of POSIX's kill utility.
    for (name, number) in [("HUP", 1), ("INT", 2), ("QUIT", 3), ("TERM", 15)] {
        let mut seat = program("signals watchdog", &[]);
        seat.signal(name);
        assert_eq!(seat.exit_code(), 128 + number, "{name}");
        seat.wait_for("the screen as it was", is_restored);
    }
}

#[test]
fn a_signal_sent_twice_still_restores_the_screen() {
    for _ in 0..5 {
        let mut seat = program("signals", &[]);
        let pid = seat.pid();
        let twice = format!("kill -TERM {pid}; kill -TERM {pid} 2>/dev/null; true");
        std::process::Command::new("/bin/sh").args(["-c", &twice]).status().unwrap();
        assert_eq!(seat.exit_code(), 143);
        seat.wait_for("the screen as it was", is_restored);
    }
}

#[test]
fn the_program_ends_when_its_terminal_does() {
    let mut seat = program("signals watchdog", &[]);
    seat.hang_up();
    assert!(seat.exit_within(Duration::from_secs(5)).is_some());
}

/// The trap of crossterm's issue 793: the terminal dies, and the signal that says so is ignored.
#[test]
fn the_watchdog_ends_a_program_whose_terminal_died_unsaid() {
    let line = format!("trap '' HUP; exec {}", myself());
    let seat_with = |mode: &str| {
        let seat = Seat::take(&["/bin/sh", "-c", &line], &[(MODE_VAR, mode)]);
        seat.wait_for("the first frame", |s| s.contents().contains("READY"));
        seat
    };
    let mut watched = seat_with("watchdog");
    watched.hang_up();
    assert_eq!(watched.exit_within(Duration::from_secs(5)), Some(129));
}

#[test]
fn ctrl_z_gives_the_shell_its_screen_and_fg_takes_it_back() {
    let mut seat = Seat::take(
        &["/bin/bash", "--norc", "--noprofile", "-i"],
        &[(MODE_VAR, "signals watchdog"), ("HISTFILE", "")],
    );
    seat.wait_for("a prompt", |s| s.contents().contains("shell> "));
    seat.press(&format!("{}\r", myself()));
    seat.wait_for("the first frame", is_full);
    seat.press("k");
    seat.wait_for("a key", |s| s.contents().contains("keys=1"));
    for round in 1..=3 {
        seat.press("\x1a");
        seat.wait_for("the shell's screen", |s| {
            is_the_shells(s) && s.contents().contains("Stopped")
        });
        seat.press(&format!("echo cooked $(({round} + 70))\r"));
        let answer = format!("cooked {}", 70 + round);
        seat.wait_for("the shell's answer", |s| s.contents().contains(&answer));
        seat.press("fg\r");
        seat.wait_for("the full screen", |s| is_full(s) && s.contents().contains("Yes"));
        assert!(!seat.see(vt100::Screen::contents).contains("cooked"), "drawn whole");
        seat.press("k");
        let keys = format!("keys={}", 1 + round);
        seat.wait_for("a key", |s| s.contents().contains(&keys));
    }
    // Stopped by another program, and continued in the background first: it must not take the screen there.
    seat.press("\x1a");
    seat.wait_for("the shell's screen", is_the_shells);
    seat.press("bg; sleep 0.5; jobs; echo back $((40 + 2))\r");
    seat.wait_for("the shell's answer", |s| s.contents().contains("back 42"));
    assert!(seat.see(vt100::Screen::contents).contains("Running"), "it goes on in the background");
    assert!(seat.see(is_the_shells), "no full screen in the background");
    seat.press("fg\r");
    seat.wait_for("the full screen", is_full);
    seat.press("q");
    seat.wait_for("the prompt", |s| {
        is_the_shells(s) && s.contents().trim_end().ends_with("shell>")
    });
    seat.press("exit\r");
    seat.exit_code();
}

#[test]
fn stopped_by_another_program_it_gives_the_screen_back_too() {
    let dir = tempfile::tempdir().unwrap();
    let pid_file = dir.path().join("pid");
    let mut seat = Seat::take(
        &["/bin/bash", "--norc", "--noprofile", "-i"],
        &[(MODE_VAR, "signals watchdog"), ("HISTFILE", "")],
    );
    seat.wait_for("a prompt", |s| s.contents().contains("shell> "));
    seat.press(&format!("sh -c \"echo \\$\\$ > {}; exec {}\"\r", pid_file.display(), myself()));
    seat.wait_for("the first frame", is_full);
    let pid = std::fs::read_to_string(&pid_file).unwrap();
    // TSTP can be answered; STOP cannot, and only going on can put things right.
    for name in ["-TSTP", "-STOP"] {
        let sent = std::process::Command::new("/bin/kill").args([name, pid.trim()]).status();
        assert!(sent.unwrap().success());
        seat.wait_for("the shell", |s| s.contents().contains("Stopped"));
        assert_eq!(seat.see(is_the_shells), name == "-TSTP");
        seat.press("fg\r");
        seat.wait_for("the full screen", |s| is_full(s) && !s.contents().contains("Stopped"));
    }
    seat.press("kq");
    seat.wait_for("the prompt", |s| {
        is_the_shells(s) && s.contents().trim_end().ends_with("shell>")
    });
    seat.press("exit\r");
    seat.exit_code();
}

#[test]
fn without_a_shell_ctrl_z_does_not_freeze_the_window() {
    let mut seat = program("signals watchdog", &[]);
    seat.press("\x1ak");
    seat.wait_for("a key after Ctrl-Z", |s| s.contents().contains("keys=1 NoShell"));
    assert!(seat.see(is_full));
}

#[test]
fn a_failure_of_the_program_is_told_on_a_restored_screen_with_a_note() {
    let notes = tempfile::tempdir().unwrap();
    let dir = notes.path().join("crashes");
    let mut seat =
        program("signals watchdog", &[(NOTES_VAR, dir.to_str().unwrap()), ("COLUMNS", "80")]);
    seat.press("p");
    assert_ne!(seat.exit_code(), 0);
    seat.wait_for("the words", |s| is_restored(s) && s.contents().contains("the soup is a lie"));
    let said = seat.see(vt100::Screen::contents);
    assert!(said.contains("potwatch failed") && said.contains("The details are in"), "{said}");
    let files: Vec<PathBuf> = std::fs::read_dir(&dir).unwrap().map(|e| e.unwrap().path()).collect();
    assert_eq!(files.len(), 1);
    let note = std::fs::read_to_string(&files[0]).unwrap();
    assert!(note.contains("message: the soup is a lie") && note.contains("live_terminal.rs"));
}

#[test]
fn a_failure_of_a_helper_thread_does_not_tear_the_screen_down() {
    let notes = tempfile::tempdir().unwrap();
    let mut seat = program("signals watchdog", &[(NOTES_VAR, notes.path().to_str().unwrap())]);
    seat.press("w");
    seat.wait_for("what failed", |s| {
        s.contents().contains("helper failed: a helper dropped a pan")
    });
    assert!(seat.see(is_full));
    assert_eq!(std::fs::read_dir(notes.path()).unwrap().count(), 1, "a note was left");
    seat.press("kq");
    assert_eq!(seat.exit_code(), 0);
}

/// crossterm 0.29 under NO_COLOR takes bold from a coloured cell; what colours there are is our themes' to say.
#[test]
fn no_color_takes_no_bold() {
    for no_color in ["", "1"] {
        let seat = program("signals", &[("NO_COLOR", no_color)]);
        let cell = |row| seat.see(|s| s.cell(row, 0).unwrap().clone());
        assert!(cell(1).bold() && cell(1).fgcolor() == vt100::Color::Default, "plain bold");
        assert!(cell(2).bold(), "bold beside a colour");
    }
}

#[test]
fn resized_in_a_storm_it_still_draws() {
    let mut seat = program("signals watchdog", &[]);
    for (rows, cols) in [(1, 1), (0, 0), (200, 400), (2, 300), (300, 2), (0, 80), (24, 80)] {
        seat.resize_unseen(rows, cols);
        std::thread::sleep(Duration::from_millis(20));
    }
    seat.press("k");
    seat.wait_for("a key", |s| s.contents().contains("keys=1"));
    seat.press("q");
    assert_eq!(seat.exit_code(), 0);
}

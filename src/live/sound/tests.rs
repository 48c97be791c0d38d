use std::ffi::OsStr;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::{Duration, Instant};

use super::player::Players;
use super::{Sounds, wav};
use crate::run::Rank;

/// A machine with players of our own, each a script that first writes its name and file into a list.
struct Machine {
    dir: tempfile::TempDir,
}

impl Machine {
    fn with(players: &[(&str, &str)]) -> Self {
        let dir = tempfile::tempdir().unwrap();
        for (name, does) in players {
            let path = dir.path().join("bin").join(name);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            let list = dir.path().join("list");
            let script = format!(
                "#!/bin/sh\nfor last; do :; done\necho \"{name} $last\" >> '{}'\n{does}\n",
                list.display()
            );
            // Written by another process: a file that is still open for writing here, in a child that another
            // test is just starting, could not be run.
            let write = "printf '%s' \"$2\" > \"$1\" && chmod 755 \"$1\"";
            let args =
                [OsStr::new("-c"), write.as_ref(), "sh".as_ref(), path.as_ref(), script.as_ref()];
            assert!(Command::new("/bin/sh").args(args).status().unwrap().success());
        }
        Self { dir }
    }

    fn folder(&self) -> PathBuf {
        self.dir.path().join("cache/sounds")
    }

    fn sounds(&self) -> Sounds {
        let path = self.dir.path().join("bin");
        let players = Players::find(Some(path.as_os_str()), &self.folder());
        Sounds::with(players, Duration::from_millis(700))
    }

    fn played(&self) -> Vec<String> {
        let list = fs::read_to_string(self.dir.path().join("list")).unwrap_or_default();
        list.lines().map(|l| l.replace(&format!("{}/", self.folder().display()), "")).collect()
    }

    fn wait_for(&self, lines: &[&str]) {
        wait(|| self.played() == lines, || format!("{:?}", self.played()));
    }
}

fn wait(done: impl Fn() -> bool, state: impl Fn() -> String) {
    let begun = Instant::now();
    while !done() {
        assert!(begun.elapsed() < Duration::from_secs(20), "{}", state());
        std::thread::sleep(Duration::from_millis(5));
    }
}

#[test]
fn the_best_player_gets_the_file_and_is_believed_once_it_worked() {
    let machine = Machine::with(&[("aplay", "exit 0"), ("paplay", "exit 0")]);
    let sounds = machine.sounds();
    assert!(!sounds.play(Rank::Warning), "not yet known to work: ring the bell too");
    machine.wait_for(&["paplay warning.wav"]);
    assert_eq!(fs::read(machine.folder().join("warning.wav")).unwrap(), wav(Rank::Warning));
    wait(|| sounds.proved.load(std::sync::atomic::Ordering::SeqCst), || "never proved".into());
    assert!(sounds.play(Rank::Notice));
    machine.wait_for(&["paplay warning.wav", "paplay notice.wav"]);
}

#[test]
fn one_that_fails_gives_way_to_the_next_until_the_bell_alone_is_left() {
    let machine =
        Machine::with(&[("pw-play", "exit 1"), ("paplay", "exit 7"), ("aplay", "exit 1")]);
    let sounds = machine.sounds();
    sounds.play(Rank::Urgent);
    machine.wait_for(&["pw-play urgent.wav", "paplay urgent.wav", "aplay urgent.wav"]);
    for _ in 0..3 {
        assert!(!sounds.play(Rank::Urgent), "the bell");
        std::thread::sleep(Duration::from_millis(30));
    }
    assert_eq!(machine.played().len(), 3);
}

/// A sound server that is started anew, a device that is plugged in: what failed may work later. Until then the cook is
/// told that there is the bell alone.
#[test]
fn when_all_have_failed_that_is_said_and_they_are_tried_again_later() {
    let machine = Machine::with(&[("paplay", "exit 1")]);
    let path = machine.dir.path().join("bin");
    let players = Players::find(Some(path.as_os_str()), &machine.folder());
    let sounds =
        Sounds::with(players.again_after(Duration::from_millis(400)), Duration::from_millis(700));
    assert!(!sounds.has_fallen_silent());
    sounds.play(Rank::Urgent);
    wait(|| sounds.has_fallen_silent(), || "never said".into());
    assert!(!sounds.has_fallen_silent(), "once");
    sounds.play(Rank::Urgent);
    std::thread::sleep(Duration::from_millis(100));
    assert_eq!(machine.played().len(), 1);
    std::thread::sleep(Duration::from_millis(400));
    sounds.play(Rank::Urgent);
    machine.wait_for(&["paplay urgent.wav", "paplay urgent.wav"]);
    wait(|| sounds.has_fallen_silent(), || "never said again".into());
}

#[test]
fn one_that_hangs_is_ended_and_the_next_one_tried() {
    let machine = Machine::with(&[("pw-play", "exec sleep 60"), ("paplay", "exit 0")]);
    let sounds = machine.sounds();
    sounds.play(Rank::Warning);
    machine.wait_for(&["pw-play warning.wav", "paplay warning.wav"]);
}

#[test]
fn a_flood_neither_blocks_nor_starts_more_than_one() {
    let machine = Machine::with(&[("paplay", "exec sleep 0.4")]);
    let sounds = machine.sounds();
    let begun = Instant::now();
    for _ in 0..10_000 {
        sounds.play(Rank::Warning);
    }
    assert!(begun.elapsed() < Duration::from_millis(300));
    std::thread::sleep(Duration::from_millis(150));
    assert_eq!(machine.played(), ["paplay warning.wav"]);
}

#[test]
fn the_more_urgent_cuts_in_and_the_less_urgent_does_not() {
    let machine = Machine::with(&[("paplay", "exec sleep 0.5")]);
    let sounds = machine.sounds();
    sounds.play(Rank::Notice);
    machine.wait_for(&["paplay notice.wav"]);
    sounds.play(Rank::Urgent);
    machine.wait_for(&["paplay notice.wav", "paplay urgent.wav"]);
    sounds.play(Rank::Warning);
    std::thread::sleep(Duration::from_millis(100));
    assert_eq!(machine.played().len(), 2);
}

#[test]
fn hushing_and_closing_end_the_player_and_leave_none_behind() {
    let machine = Machine::with(&[("paplay", "exec sleep 33.25")]);
    let sounds = machine.sounds();
    sounds.play(Rank::Warning);
    machine.wait_for(&["paplay warning.wav"]);
    sounds.hush();
    sounds.play(Rank::Notice);
    machine.wait_for(&["paplay warning.wav", "paplay notice.wav"]);
    let begun = Instant::now();
    drop(sounds);
    assert!(begun.elapsed() < Duration::from_millis(500), "closing does not wait for the sound");
    let left = still_there("33.25");
    assert!(left.is_empty(), "{left:?}");
}

/// Processes with this among their arguments (where the system shows them as files).
fn still_there(argument: &str) -> Vec<PathBuf> {
    let Ok(entries) = fs::read_dir("/proc") else { return Vec::new() };
    let lines = entries.flatten().map(|e| e.path().join("cmdline"));
    lines
        .filter(|p| fs::read(p).is_ok_and(|c| String::from_utf8_lossy(&c).contains(argument)))
        .collect()
}

#[test]
fn no_player_no_path_ssh_or_a_folder_that_cannot_be_written_leave_the_bell() {
    let machine = Machine::with(&[("paplay", "exit 0")]);
    let path = machine.dir.path().join("bin");
    for sounds in [
        Sounds::bell_only(),
        Sounds::find(None, false, &machine.folder()),
        Sounds::find(Some(Path::new("/nowhere").as_os_str()), false, &machine.folder()),
        Sounds::find(Some(path.as_os_str()), true, &machine.folder()),
        Sounds::find(Some(path.as_os_str()), false, Path::new("/dev/null/sounds")),
    ] {
        assert!(!sounds.play(Rank::Urgent));
        sounds.hush();
        drop(sounds);
    }
    assert_eq!(machine.played(), Vec::<String>::new());
}

#[test]
fn sound_files_that_were_tampered_with_are_made_anew() {
    let machine = Machine::with(&[("paplay", "exit 0")]);
    fs::create_dir_all(machine.folder()).unwrap();
    fs::write(machine.folder().join("notice.wav"), "not a sound").unwrap();
    machine.sounds().play(Rank::Notice);
    let sounds = machine.sounds();
    sounds.play(Rank::Notice);
    wait(|| !machine.played().is_empty(), || "never played".into());
    assert_eq!(fs::read(machine.folder().join("notice.wav")).unwrap(), wav(Rank::Notice));
}

#[test]
fn bells_are_far_enough_apart_to_be_told_apart() {
    let counts = [Rank::Urgent, Rank::Warning, Rank::Notice].map(|r| super::bell_at_ms(r).len());
    assert_eq!(counts, [5, 3, 1]);
    for rank in [Rank::Urgent, Rank::Warning] {
        assert!(super::bell_at_ms(rank).windows(2).all(|w| w[1] - w[0] >= 250));
        let burst = super::bell_at_ms(rank).last().unwrap();
        assert!(super::again_after_ms(rank).unwrap() > burst + 2_500);
    }
}

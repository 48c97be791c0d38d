//! Keeps the computer from falling asleep while an evening is open, by what the system offers, and tells the cook
//! where nothing does or the battery runs low. A computer that sleeps sounds no alarm.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

use super::programs;
use crate::store::{Disk, RealDisk};

/// systemd's own way (its manual, systemd-inhibit(1)): sleep is held back as long as the command runs.
const LINUX: &str = "systemd-inhibit";
/// macOS's own way (its manual, caffeinate(8)): as long as a process lives.
const MAC: &str = "caffeinate";
/// Where Linux tells of batteries (its documentation, ABI/testing/sysfs-class-power).
const BATTERIES: &str = "/sys/class/power_supply";
/// The longest that one of those files is.
const WORD_BYTES_MAX: u64 = 100;
/// A battery that runs down is told of at these levels, per cent.
const LOW: [u32; 3] = [25, 15, 7];

/// What keeps the computer awake, as long as this lives. If the program is killed, it goes too.
#[derive(Debug)]
pub struct Awake {
    child: Option<Child>,
}

impl Awake {
    /// Looks in the folders of `path` for what the system offers, and starts it.
    #[must_use]
    pub fn keep(path: Option<&OsStr>) -> Self {
        let linux = programs::find(path, LINUX).map(|p| by_systemd(&p));
        let way = linux.or_else(|| programs::find(path, MAC).map(|p| by_caffeinate(&p)));
        Self { child: way.and_then(|mut command| command.spawn().ok()) }
    }

    /// Does something keep the computer awake now? It may have refused after it was started.
    pub fn works(&mut self) -> bool {
        self.child.as_mut().is_some_and(|child| matches!(child.try_wait(), Ok(None)))
    }
}

impl Drop for Awake {
    fn drop(&mut self) {
        if let Some(child) = &mut self.child {
            // The end of its input ends it; the rest is for one that does not read it.
            drop(child.stdin.take());
            let _ = child.kill();
            let _ = child.wait();
        }
    }
}

/// Ends when its input does: a program that is killed keeps no computer awake.
fn by_systemd(program: &Path) -> Command {
    let mut command = programs::quiet(program);
    command.stdin(Stdio::piped()).args([
        "--what=idle:sleep:handle-lid-switch",
        "--who=potwatch",
        "--why=food is cooking",
        "--mode=block",
        "cat",
    ]);
    command
}

fn by_caffeinate(program: &Path) -> Command {
    let mut command = programs::quiet(program);
    command.args(["-i", "-s", "-w", &std::process::id().to_string()]);
    command
}

/// Looks after the battery: says when it is low, once for each level.
#[derive(Debug)]
pub struct Battery {
    folder: PathBuf,
    told: usize,
}

impl Default for Battery {
    fn default() -> Self {
        Self { folder: PathBuf::from(BATTERIES), told: 0 }
    }
}

impl Battery {
    /// What to say now, if anything. Nothing on systems that do not tell of their batteries in files.
    pub fn look(&mut self) -> Option<String> {
        let Some(percent) = self.running_down() else {
            self.told = 0;
            return None;
        };
        let passed = LOW.iter().filter(|low| percent <= **low).count();
        if passed <= self.told {
            return None;
        }
        self.told = passed;
        Some(format!(
            "The battery is at {percent} %: plug the computer in, it sounds no alarm once it is off."
        ))
    }

    /// How full the fullest battery is, per cent, if one runs down and none is being filled.
    fn running_down(&self) -> Option<u32> {
        let word = |battery: &Path, name: &str| {
            let bytes = RealDisk.read(&battery.join(name), WORD_BYTES_MAX).ok()?;
            Some(String::from_utf8_lossy(&bytes).trim().to_owned())
        };
        let batteries: Vec<PathBuf> =
            std::fs::read_dir(&self.folder).ok()?.filter_map(|e| Some(e.ok()?.path())).collect();
        let states: Vec<(u32, String)> = batteries
            .iter()
            .filter(|b| word(b, "scope").as_deref() != Some("Device"))
            .filter_map(|b| Some((word(b, "capacity")?.parse().ok()?, word(b, "status")?)))
            .collect();
        // Of two one runs down at a time; the other one is idle meanwhile, and says so.
        let is = |wanted: &str| states.iter().any(|(_, status)| status == wanted);
        let runs_down = is("Discharging") && !is("Charging");
        states.iter().map(|(percent, _)| *percent).max().filter(|_| runs_down)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn battery(folder: &Path, percent: u32, status: &str) {
        let battery = folder.join("BAT0");
        std::fs::create_dir_all(&battery).unwrap();
        std::fs::write(battery.join("capacity"), format!("{percent}\n")).unwrap();
        std::fs::write(battery.join("status"), format!("{status}\n")).unwrap();
    }

    #[test]
    fn a_battery_that_runs_down_is_told_of_once_for_each_level() {
        let dir = tempfile::tempdir().unwrap();
        let mut watch = Battery { folder: dir.path().to_path_buf(), told: 0 };
        assert_eq!(watch.look(), None, "no battery");
        let mut look = |percent, status| {
            battery(dir.path(), percent, status);
            watch.look().is_some()
        };
        assert!(!look(60, "Discharging"));
        assert!(look(25, "Discharging") && !look(24, "Discharging"));
        assert!(look(9, "Discharging"), "15 passed");
        assert!(look(7, "Discharging") && !look(3, "Discharging"));
        assert!(!look(4, "Charging"));
        assert!(look(20, "Discharging"), "anew after it was plugged in");
        // A mouse tells of its battery too.
        let mouse = dir.path().join("mouse");
        std::fs::create_dir_all(&mouse).unwrap();
        for (name, text) in [("capacity", "100"), ("status", "Full"), ("scope", "Device")] {
            std::fs::write(mouse.join(name), text).unwrap();
        }
        assert!(look(12, "Discharging"));
    }

    /// Of two batteries one runs down at a time; the other, empty or kept for later, says something else meanwhile.
    #[test]
    fn of_two_batteries_the_fuller_one_counts_while_none_is_filled() {
        let dir = tempfile::tempdir().unwrap();
        let look = |one: (u32, &str), two: (u32, &str)| {
            for (name, (percent, status)) in [("BAT0", one), ("BAT1", two)] {
                let battery = dir.path().join(name);
                std::fs::create_dir_all(&battery).unwrap();
                std::fs::write(battery.join("capacity"), format!("{percent}\n")).unwrap();
                std::fs::write(battery.join("status"), format!("{status}\n")).unwrap();
            }
            Battery { folder: dir.path().to_path_buf(), told: 0 }.look().is_some()
        };
        assert!(look((5, "Not charging"), (6, "Discharging")));
        assert!(look((5, "Unknown"), (6, "Discharging")));
        assert!(!look((80, "Unknown"), (6, "Discharging")), "there is plenty left");
        assert!(!look((5, "Charging"), (6, "Discharging")));
        assert!(!look((5, "Not charging"), (6, "Full")), "it is plugged in");
    }

    #[cfg(unix)]
    #[test]
    fn what_keeps_it_awake_lives_as_long_as_the_program_and_no_longer() {
        use std::os::unix::fs::PermissionsExt;
        let dir = tempfile::tempdir().unwrap();
        let log = dir.path().join("log");
        let stand_in = dir.path().join(LINUX);
        let text = format!("#!/bin/sh\necho \"$@\" >>{0}\ncat\necho end >>{0}\n", log.display());
        std::fs::write(&stand_in, text).unwrap();
        std::fs::set_permissions(&stand_in, std::fs::Permissions::from_mode(0o755)).unwrap();
        let mut awake = Awake::keep(Some(dir.path().as_os_str()));
        assert!(awake.works());
        let said = || std::fs::read_to_string(&log).unwrap_or_default();
        let wait = |what: &str| {
            let begun = std::time::Instant::now();
            while !said().contains(what) {
                assert!(begun.elapsed().as_secs() < 20, "{}", said());
                std::thread::sleep(std::time::Duration::from_millis(5));
            }
        };
        wait("--what=idle:sleep");
        // As when the program is killed: only its input ends.
        drop(awake.child.as_mut().unwrap().stdin.take());
        wait("end");
        while awake.works() {
            std::thread::sleep(std::time::Duration::from_millis(5));
        }
        assert!(!Awake::keep(Some(OsStr::new("/nowhere"))).works());
    }
}

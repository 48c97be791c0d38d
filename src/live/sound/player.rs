//! Players that machines have, and one of them at work.

use std::ffi::{OsStr, OsString};
use std::path::{Path, PathBuf};
use std::process::Child;
use std::time::{Duration, Instant};

use crate::live::programs;
use crate::run::Rank;
use crate::store::{Disk, IfThere, RealDisk, place, save};

/// Names to look for, best first, and what to say before the file's name.
const KNOWN: [(&str, &[&str]); 6] = [
    ("pw-play", &[]),
    ("paplay", &[]),
    ("aplay", &["-q"]),
    ("afplay", &[]),
    ("play", &["-q"]),
    ("ffplay", &["-nodisp", "-autoexit", "-loglevel", "quiet"]),
];
const WINDOWS: &str = "powershell.exe";
/// When all were given up, they are tried again after so long. Our choice.
const AGAIN_AFTER: Duration = Duration::from_secs(60);
/// No sound file of ours is larger, in bytes.
const WAV_BYTES_MAX: u64 = 100_000;

/// The players found, and where the sound files are unpacked for them.
pub struct Players {
    /// All of them, the best last.
    all: Vec<PathBuf>,
    /// Those that were not given up; the one in use is the last.
    found: Vec<PathBuf>,
    /// When the last one was given up.
    silent_since: Option<Instant>,
    again_after: Duration,
    folder: PathBuf,
}

/// A player at work.
pub struct Playing {
    pub rank: Rank,
    child: Child,
}

impl Players {
    /// Looks in the folders of `path` for each player in turn.
    pub fn find(path: Option<&OsStr>, folder: &Path) -> Self {
        let names = KNOWN.iter().map(|(name, _)| *name).chain(cfg!(windows).then_some(WINDOWS));
        let mut found: Vec<PathBuf> = names.filter_map(|name| programs::find(path, name)).collect();
        found.reverse();
        let all = found.clone();
        let folder = folder.to_path_buf();
        Self { all, found, silent_since: None, again_after: AGAIN_AFTER, folder }
    }

    /// The same, tried again after another time.
    #[cfg(test)]
    pub fn again_after(self, again_after: Duration) -> Self {
        Self { again_after, ..self }
    }

    pub fn is_empty(&self) -> bool {
        self.all.is_empty()
    }

    /// Is there one that was not given up?
    pub fn any_left(&self) -> bool {
        !self.found.is_empty()
    }

    /// The player in use did not work: from here on the next one.
    pub fn give_up_current(&mut self) {
        self.found.pop();
        if self.found.is_empty() {
            self.silent_since = Some(Instant::now());
        }
    }

    /// What made all of them fail may be over: a sound server that was started anew, a device that was plugged in.
    fn try_again(&mut self) {
        if self.silent_since.is_some_and(|since| since.elapsed() >= self.again_after) {
            self.silent_since = None;
            self.found.clone_from(&self.all);
        }
    }

    /// Starts the first player that can be started; `None` if there is no more.
    pub fn start(&mut self, rank: Rank, wav: &[u8]) -> Option<Playing> {
        self.try_again();
        // Without a file there is nothing to play, by any player; perhaps next time the disk is not full.
        let file = self.unpack(rank, wav)?;
        while let Some(player) = self.found.last() {
            match start(player, &file) {
                Ok(child) => return Some(Playing { rank, child }),
                Err(_) => self.give_up_current(),
            }
        }
        None
    }

    fn unpack(&self, rank: Rank, wav: &[u8]) -> Option<PathBuf> {
        let name = match rank {
            Rank::Urgent => "urgent.wav",
            Rank::Warning => "warning.wav",
            Rank::Notice => "notice.wav",
        };
        let path = self.folder.join(name);
        if RealDisk.read(&path, WAV_BYTES_MAX).is_ok_and(|there| there == wav) {
            return Some(path);
        }
        place::make(&RealDisk, &self.folder).ok()?;
        save(&RealDisk, &path, wav, IfThere::Replace).ok()?;
        Some(path)
    }
}

impl Playing {
    /// `None` while it plays; then whether it worked.
    pub fn ended(&mut self) -> Option<bool> {
        match self.child.try_wait() {
            Ok(status) => status.map(|s| s.success()),
            Err(_) => Some(false),
        }
    }

    /// Ends it, and waits for the end, which a kill brings at once.
    pub fn end(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn start(player: &Path, file: &Path) -> std::io::Result<Child> {
    programs::quiet(player).args(arguments(player, file)).spawn()
}

fn arguments(player: &Path, file: &Path) -> Vec<OsString> {
    let name = player.file_name().and_then(OsStr::to_str).unwrap_or_default();
    if name == WINDOWS {
        let file = file.display().to_string().replace('\'', "''");
        let script = format!("(New-Object System.Media.SoundPlayer '{file}').PlaySync()");
        return ["-NoProfile", "-NonInteractive", "-Command", &script].map(OsString::from).into();
    }
    let before =
        KNOWN.iter().find(|(known, _)| *known == name).map_or(&[][..], |(_, before)| before);
    before.iter().map(OsString::from).chain([file.into()]).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_player_is_told_in_its_own_way() {
        let say = |player: &str| -> Vec<String> {
            let args = arguments(&Path::new("/usr/bin").join(player), Path::new("/c/it's.wav"));
            args.into_iter().map(|a| a.into_string().unwrap()).collect()
        };
        assert_eq!(say("paplay"), ["/c/it's.wav"]);
        assert_eq!(say("aplay"), ["-q", "/c/it's.wav"]);
        assert_eq!(say("ffplay"), ["-nodisp", "-autoexit", "-loglevel", "quiet", "/c/it's.wav"]);
        assert_eq!(
            say(WINDOWS).last().unwrap(),
            "(New-Object System.Media.SoundPlayer '/c/it''s.wav').PlaySync()"
        );
    }
}

//! The cook's settings on the disk.

use std::path::Path;

use super::disk::{Disk, is_gone};
use super::place;
use super::read::Problems;
use super::save::{IfThere, save};
use super::trouble::FileTrouble;
use crate::kitchen::Settings;
use crate::kitchen::customs::FARTHEST_M;
use crate::safety::Profile;

/// The settings in a file: none where there is none, and a sentence if the file
/// cannot be understood, in which case none of it counts.
#[must_use]
pub fn load(path: &Path) -> (Settings, Option<String>) {
    if is_gone(path) {
        return (Settings::default(), None);
    }
    let read = super::read::text_of(path).map_err(|p: Problems| p.to_string());
    let parsed = read.and_then(|text| {
        let read = serde_json::from_str(&text).map_err(|e| e.to_string());
        read.and_then(|settings| check(&settings).map(|()| settings))
            .map_err(|why| format!("{}: {why}; what it sets does not count", path.display()))
    });
    match parsed {
        Ok(settings) => (settings, None),
        Err(why) => (Settings::default(), Some(why)),
    }
}

/// What the types of the fields cannot say.
///
/// # Errors
/// What is wrong and what would be right.
pub fn check(settings: &Settings) -> Result<(), String> {
    if let Some(id) = &settings.guidance
        && Profile::by_id(id).is_none()
    {
        let known: Vec<&str> = Profile::all().iter().map(|p| p.id.as_str()).collect();
        return Err(format!("there is no guidance \"{id}\", only {}", known.join(", ")));
    }
    if settings.distance_m.is_some_and(|m| !(1..=FARTHEST_M).contains(&m)) {
        return Err(format!("\"distance_m\" is a whole number of metres from 1 to {FARTHEST_M}"));
    }
    if settings.on_alarm.as_ref().is_some_and(|words| words.first().is_none_or(String::is_empty)) {
        return Err("\"on_alarm\" names no program; leave it out for none".to_owned());
    }
    Ok(())
}

/// Writes the settings, whole or not at all. A file that cannot be understood is left as it is.
///
/// # Errors
/// Trouble with the disk; what is wrong with the file that is there.
pub fn keep<D: Disk>(disk: &D, path: &Path, settings: &Settings) -> Result<(), FileTrouble> {
    if let (_, Some(why)) = load(path) {
        let why = format!("{why}. Mend the file or move it away; nothing was written");
        return Err(FileTrouble::new("write", path, std::io::Error::other(why)));
    }
    if let Some(folder) = path.parent() {
        place::make(disk, folder)?;
    }
    let text = serde_json::to_string_pretty(settings).unwrap_or_default();
    save(disk, path, format!("{text}\n").as_bytes(), IfThere::Replace)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kitchen::clock::Hours;
    use crate::store::RealDisk;

    #[test]
    fn settings_come_back_and_a_broken_file_is_told_of() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("config/settings.json");
        assert_eq!(load(&path), (Settings::default(), None));
        let set = Settings { hours: Some(Hours::Twelve), comma: Some(true), ..Settings::default() };
        keep(&RealDisk, &path, &set).unwrap();
        assert_eq!(load(&path), (set, None));
        for broken in ["{", "{\"hours\": 12}", "{\"unknown\": 1}"] {
            std::fs::write(&path, broken).unwrap();
            let (none, why) = load(&path);
            assert_eq!(none, Settings::default());
            assert!(why.is_some_and(|w| w.contains("settings.json")), "{broken}");
        }
    }
}

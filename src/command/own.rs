//! What is the cook's own around a command: their shelf, their settings, their
//! parties by name.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};

use super::Streams;
use crate::kitchen::{Customs, Evening, Locale, Settings};
use crate::live::clock::Clocks;
use crate::live::times;
use crate::store::load::{Loaded, is_path, load_own};
use crate::store::own::OwnShelf;
use crate::store::place::PlaceError;
use crate::store::read::Problems;
use crate::store::read::schema::FileKind;
use crate::store::{Places, settings, zone};

/// The cook's own things.
pub struct Own {
    /// Where things are kept, if the system says.
    pub places: Result<Places, PlaceError>,
    /// Their shelf, if there is a place for it.
    pub shelf: Option<OwnShelf>,
    /// What they set.
    pub settings: Settings,
    /// What the system says of their country.
    pub locale: Locale,
    /// What is wrong with their settings.
    pub trouble: Option<String>,
}

impl Own {
    /// Finds them by the variables of the environment.
    #[must_use]
    pub fn find(var: &dyn Fn(&str) -> Option<String>) -> Self {
        let home = var(crate::store::place::HOME_VAR);
        let places = Places::find(home.as_deref().map(OsStr::new));
        let (settings, trouble) = match &places {
            Ok(places) => settings::load(&places.settings()),
            Err(_) => (Settings::default(), None),
        };
        let shelf = places.as_ref().ok().map(|p| OwnShelf::at(&p.data));
        Self { places, shelf, settings, locale: Locale::of(var), trouble }
    }

    /// How things are read in the cook's kitchen.
    #[must_use]
    pub fn customs(&self) -> Customs {
        self.settings.customs(&self.locale)
    }

    /// The settings file, if there is a place for one.
    #[must_use]
    pub fn settings_file(&self) -> Option<String> {
        self.places.as_ref().ok().map(|p| p.settings().display().to_string())
    }

    /// The file that a party's name stands for: a path, or an id of the cook's own shelf.
    #[must_use]
    pub fn party_file(&self, name: &Path) -> PathBuf {
        let id = name.to_str().filter(|n| !is_path(n) && !name.exists());
        let own = id.and_then(|id| self.shelf.as_ref()?.find(FileKind::Party, id));
        own.unwrap_or_else(|| name.to_path_buf())
    }

    /// Loads a party by its path or by its id on the cook's own shelf, to be
    /// read by the cook's customs.
    ///
    /// # Errors
    /// Everything that is wrong with it or a file that it names.
    pub fn party(&self, name: &Path) -> Result<Loaded, Problems> {
        let loaded = load_own(&self.party_file(name), self.shelf.as_ref(), zone::clockface)?;
        Ok(Loaded { evening: loaded.evening.read_by(self.customs()), ..loaded })
    }

    /// An evening by the cook's own times, if that is wanted, and what is wrong
    /// with the files that say so.
    #[must_use]
    pub fn fitted(&self, evening: Evening) -> (Evening, Vec<String>) {
        match &self.places {
            Ok(places) => {
                let now_ms = Clocks::default().now().wall_ms;
                times::fitted(evening, &self.settings, places, now_ms)
            }
            Err(_) => (evening, Vec::new()),
        }
    }
}

/// Loads a party for a command that prints, and says what is worth knowing.
///
/// # Errors
/// Everything that is wrong with its files; trouble with writing.
pub fn party(name: &Path, streams: &mut Streams) -> anyhow::Result<Loaded> {
    let own = Own::find(streams.var);
    if let Some(trouble) = &own.trouble {
        writeln!(streams.err, "potwatch: {trouble}")?;
    }
    let loaded = own.party(name)?;
    super::check::print_notes(&loaded.notes, streams)?;
    let (evening, trouble) = own.fitted(loaded.evening);
    for trouble in trouble {
        writeln!(streams.err, "potwatch: {trouble}")?;
    }
    Ok(Loaded { evening, ..loaded })
}

//! The cook's own times from the journals of past evenings. The journals are the
//! one truth; what was read out of each is kept beside the sounds, among what can
//! be made again at any time, so that a hundred evenings are not read each time.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::UNIX_EPOCH;

use serde::{Deserialize, Serialize};

use super::book;
use super::opening::{is_long_over, journal_of};
use crate::kitchen::{Customs, Evening, OwnTimes, Settings};
use crate::learn::{Known, Seen};
use crate::order::InOrder;
use crate::run::{Event, State, evidence, fold};
use crate::store::forgotten::Forgotten;
use crate::store::{IfThere, Places, RealDisk, cooked, journal, place, save, zone};

/// Another number when [`evidence`] reads journals otherwise.
const FORMAT: &str = "potwatch seen 1";
/// So many evenings count, the last ones.
const EVENINGS: usize = 60;

/// What past evenings say, and what was met on the way.
#[derive(Debug, Clone)]
pub struct Gathered {
    /// What is known.
    pub known: Known,
    /// What was to be forgotten.
    pub forgotten: Forgotten,
    /// Evenings that say nothing since the party is not kept beside them.
    pub without_party: usize,
    /// What is wrong with files that were read.
    pub trouble: Vec<String>,
}

/// What was read out of journals.
#[derive(Default, Serialize, Deserialize)]
struct Cache {
    format: String,
    evenings: BTreeMap<String, Read>,
}

#[derive(Clone, Serialize, Deserialize)]
struct Read {
    /// Length and time of the journal and of the file beside it, when they were read.
    stamp: [u64; 4],
    seen: Vec<Seen>,
}

/// Reads what the evenings say that were over by `now_ms`, but for one.
#[must_use]
pub fn gather(places: &Places, but: Option<&Path>, now_ms: i64) -> Gathered {
    let (forgotten, why) = Forgotten::load(&places.data);
    let unsure = why.is_some();
    let mut trouble: Vec<String> = why.into_iter().collect();
    let journals = place::journals_in(&RealDisk, &places.evenings()).unwrap_or_else(|e| {
        trouble.push(e.to_string());
        Vec::new()
    });
    let kept = places.cache.join("times.json");
    let old = cached(&kept);
    let mut fresh = Cache { format: FORMAT.to_owned(), evenings: BTreeMap::new() };
    let mut without_party = 0;
    for path in journals.iter().filter(|p| Some(p.as_path()) != but) {
        let name = path.file_stem().map(|n| n.to_string_lossy().into_owned()).unwrap_or_default();
        let Some(stamp) = stamp_of(path) else {
            without_party += 1;
            continue;
        };
        if let Some(read) = old.evenings.get(&name).filter(|read| read.stamp == stamp) {
            fresh.evenings.insert(name, read.clone());
            continue;
        }
        match of_journal(path, &name, now_ms) {
            Ok(Some(seen)) => {
                fresh.evenings.insert(name, Read { stamp, seen });
            }
            Ok(None) => {}
            Err(why) => trouble.push(format!("{}: {why}", path.display())),
        }
    }
    let stamps =
        |c: &Cache| c.evenings.iter().map(|(n, r)| (n.clone(), r.stamp)).collect::<Vec<_>>();
    if stamps(&old) != stamps(&fresh) {
        keep(&kept, &fresh);
    }
    let seen = if unsure { Vec::new() } else { counted(fresh, &forgotten) };
    let known = Known::from(seen);
    Gathered { known, forgotten, without_party, trouble }
}

fn counted(cache: Cache, forgotten: &Forgotten) -> Vec<Seen> {
    let mut evenings: Vec<Read> = cache.evenings.into_values().collect();
    evenings.order_by_key(|e| e.seen.last().map_or(i64::MIN, |s| s.at_ms));
    let skip = evenings.len().saturating_sub(EVENINGS);
    let all = evenings.into_iter().skip(skip).flat_map(|e| e.seen);
    all.filter(|s| !forgotten.covers(&s.recipe, &s.step, s.at_ms)).collect()
}

fn cached(kept: &Path) -> Cache {
    let text = std::fs::read_to_string(kept).unwrap_or_default();
    let cache: Cache = serde_json::from_str(&text).unwrap_or_default();
    if cache.format == FORMAT { cache } else { Cache::default() }
}

/// Whether it can be kept matters little: it is read again.
fn keep(kept: &Path, cache: &Cache) {
    let folder = kept.parent().map(|folder| place::make(&RealDisk, folder));
    if let (Some(Ok(())), Ok(text)) = (folder, serde_json::to_string(cache)) {
        let _ = save(&RealDisk, kept, text.as_bytes(), IfThere::Replace);
    }
}

/// Length and time of a journal and of the party beside it; none without a party.
fn stamp_of(journal: &Path) -> Option<[u64; 4]> {
    let of = |path: &Path| {
        let meta = std::fs::metadata(path).ok()?;
        let since = meta.modified().ok()?.duration_since(UNIX_EPOCH).ok()?;
        Some((meta.len(), since.as_nanos() as u64))
    };
    let (a, b) = (of(journal)?, of(&cooked::beside(journal))?);
    Some([a.0, a.1, b.0, b.1])
}

/// What an evening says; `None` while it is not over.
fn of_journal(path: &Path, name: &str, now_ms: i64) -> anyhow::Result<Option<Vec<Seen>>> {
    let Some(state) = state_of(path, ByTimes::Recipes, Customs::default())? else {
        return Ok(None);
    };
    if state.facts().finished_ms.is_none() && !is_long_over(state.evening(), now_ms) {
        return Ok(None);
    }
    Ok(Some(evidence(&state, name)))
}

/// By which minutes a past evening is read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ByTimes {
    /// By those of its recipes.
    Recipes,
    /// By those that it went by.
    Own,
}

/// The state of an evening from its journal and the party beside it; `None` if
/// there is no party beside it.
///
/// # Errors
/// What is wrong with either.
pub fn state_of(path: &Path, by: ByTimes, customs: Customs) -> anyhow::Result<Option<State>> {
    let Some((evening, times)) = cooked::read(path, zone::clockface)? else { return Ok(None) };
    let evening = evening.read_by(customs);
    let evening = match by {
        ByTimes::Recipes => evening,
        ByTimes::Own => evening.by_own_times(times.into()),
    };
    let recovered = journal::read::<Event, _>(&RealDisk, path)?;
    Ok(Some(fold(Arc::new(evening), &book::marks(recovered.entries))))
}

/// Is a party planned by the cook's own times? Its own word goes before the settings'.
#[must_use]
pub fn wanted(evening: &Evening, settings: &Settings) -> bool {
    evening.party.own_times.or(settings.own_times).unwrap_or(true)
}

/// An evening by the cook's own times, if that is wanted, and what is wrong with
/// the files that say so.
#[must_use]
pub fn fitted(
    evening: Evening,
    settings: &Settings,
    places: &Places,
    now_ms: i64,
) -> (Evening, Vec<String>) {
    if !wanted(&evening, settings) || !places.evenings().is_dir() {
        return (evening, Vec::new());
    }
    let (own, _) = journal_of(&evening, places);
    let gathered = gather(places, Some(&own), now_ms);
    let times = gathered.known.times(&evening);
    (evening.by_own_times(times.into()), gathered.trouble)
}

/// An evening by the times that it went by when it was begun, if it was.
#[must_use]
pub fn as_begun(evening: Evening, journal: &Path) -> Evening {
    match cooked::times(journal) {
        Ok(Some(times)) => evening.by_own_times(OwnTimes::from(times)),
        Ok(None) | Err(_) => evening,
    }
}

/// The journals of evenings that have their party beside them, by name.
#[must_use]
pub fn evenings(places: &Places) -> Vec<PathBuf> {
    let mut paths = place::journals_in(&RealDisk, &places.evenings()).unwrap_or_default();
    paths.retain(|p| cooked::beside(p).exists());
    paths
}

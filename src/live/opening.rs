//! Opens the evening of a party file: takes its lock, reads its journal, and
//! goes on where it was left.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::book::{Book, OnDisk, RealBook, Shared, SystemLocks, marks};
use super::clock::{Clocks, PartyTime};
use super::pass::{Opening, SET_BACK_MS};
use crate::kitchen::{DAY, Evening};
use crate::run::{Event, Mark, fold};
use crate::screen::Look;
use crate::store::{
    Identity, Journal, JournalError, Lock, Places, RealDisk, Recovered, Turn, boot_id, cooked,
    lock, place,
};

/// A party that was over long ago, and of which nothing was ever marked.
#[derive(Debug, thiserror::Error)]
#[error(
    "the day of \"{title}\" ({day}) is past and nothing of it was cooked here; \
     set \"day\" in the file to today or a day to come"
)]
pub struct LongOver {
    title: String,
    day: chrono::NaiveDate,
}

/// Opens a party.
///
/// # Errors
/// If it is open elsewhere, its journal is damaged or cannot be written, or its day is past.
pub fn open(evening: Evening, places: &Places, look: Look) -> anyhow::Result<Opening> {
    let clocks = Clocks::default();
    let now_ms = clocks.now().wall_ms;
    let (path, who) = journal_of(&evening, places);
    if !path.exists() {
        not_long_over(&evening, now_ms)?;
    }
    place::make(&RealDisk, &places.evenings())?;
    let (mut shared, recovered) = open_book(&path, &who, now_ms)?;
    // What has begun goes on by the times that it began with, on every screen.
    let goes_on = recovered.entries.iter().any(|e| is_of_a_step(&e.event)) || !shared.try_lead();
    let evening = if goes_on {
        evening.by_own_times(cooked::times(&path).unwrap_or_default().into())
    } else {
        evening
    };
    let kept = cooked::keep(&RealDisk, &path, &evening);
    let mut begun = begin(Arc::new(evening), shared, recovered, clocks, look)?;
    if let Err(trouble) = kept {
        begun.notice = Some(format!("The party is not kept for looking back: {trouble}"));
    }
    Ok(Opening { journal: Some(path), ..begun })
}

/// Can an evening that was never opened still be cooked?
///
/// # Errors
/// If its day is past.
pub fn not_long_over(evening: &Evening, now_ms: i64) -> Result<(), LongOver> {
    let party = &evening.party;
    let over = LongOver { title: party.title.clone(), day: party.day };
    if is_long_over(evening, now_ms) { Err(over) } else { Ok(()) }
}

const fn is_of_a_step(event: &Event) -> bool {
    matches!(event, Event::Started { .. } | Event::Done { .. })
}

/// Goes on with an evening from what its journal held when it was opened.
///
/// # Errors
/// If it leads, the clock was set back, and that cannot be marked.
pub fn begin(
    evening: Arc<Evening>,
    mut shared: impl Shared + 'static,
    recovered: Recovered<Event>,
    clocks: Clocks,
    look: Look,
) -> anyhow::Result<Opening> {
    let now_ms = clocks.now().wall_ms;
    let set_back_ms = recovered.entries.last().map_or(0, |e| e.at.wall_ms.saturating_sub(now_ms));
    let (mut marks, mut notice) = went_on(&evening, recovered);
    let leads = shared.try_lead();
    let mut book = Book::Disk(Box::new(shared));
    if !leads {
        notice = Some(FOLLOWS.to_owned());
    } else if set_back_ms > SET_BACK_MS {
        // The last mark lies ahead: the clock was set back while nothing ran here.
        marks.extend(book.begin()?);
        let event = Event::ClockSetBack { by_ms: set_back_ms };
        marks.push(book.append(now_ms, clocks.now(), event)?);
        book.end();
    }
    let state = fold(evening, &marks);
    let time = PartyTime::Wall;
    Ok(Opening {
        state,
        book,
        journal: None,
        time,
        clocks,
        look,
        notice,
        hand: None,
        rehearses: None,
        files: None,
    })
}

/// What a screen says that was opened while another shows the same evening.
const FOLLOWS: &str =
    "This evening is open on another screen, which plans. Marks count from both; this one follows.";

/// Takes a place among the screens of the evening and opens the journal in its turn.
fn open_book(
    path: &Path,
    who: &Identity,
    now_ms: i64,
) -> anyhow::Result<(RealBook, Recovered<Event>)> {
    let place = Lock::share(path)?;
    let busy = JournalError::Busy { seconds: lock::TURN_WITHIN.as_secs() };
    let _turn = Turn::wait(path)?.ok_or(busy)?;
    let (journal, recovered) = Journal::<Event, RealDisk>::open(RealDisk, path, who, now_ms)?;
    let boot = boot_id(&RealDisk, now_ms);
    Ok((OnDisk::new(journal, boot, SystemLocks { place }), recovered))
}

/// Where the journal of an evening is, and whose it must be.
#[must_use]
pub fn journal_of(evening: &Evening, places: &Places) -> (PathBuf, Identity) {
    let fingerprint = place::fingerprint(what_is_cooked(evening).as_bytes());
    let party = &evening.party;
    let path = places.journal(&party.id, party.day, &fingerprint);
    (path, Identity { party: party.id.clone(), fingerprint })
}

/// The party's dishes, steps and services by name: what makes it this evening
/// and no other. Times, amounts, minutes and servings may be mended in the file
/// mid-way; plans in the journal count on the order of the rest.
fn what_is_cooked(evening: &Evening) -> String {
    let dishes = evening.sheets.iter().map(|sheet| {
        let steps = sheet.recipe.steps.iter().map(|s| format!("{}*{}", s.id, s.ways.len()));
        format!("{}={}:{}", sheet.id, sheet.recipe.id, steps.collect::<Vec<_>>().join(","))
    });
    let services = evening.party.services.iter().map(|s| s.id.clone());
    dishes.chain(services).collect::<Vec<_>>().join("\n")
}

/// The marks of an evening that was begun before, and a line that says so.
fn went_on(evening: &Evening, recovered: Recovered<Event>) -> (Vec<Mark>, Option<String>) {
    let marks = marks(recovered.entries);
    let by_the_cook = marks.iter().filter(|m| !matches!(m.event, Event::PlanAdopted { .. }));
    let (count, last) = by_the_cook.fold((0, None), |(n, _), m| (n + 1, Some(m.at_ms)));
    let mut words = last.map(|at_ms| {
        let at = evening.face.read(at_ms);
        let marks = if count == 1 { "1 mark" } else { &format!("{count} marks") };
        format!("Going on where you were: {marks}, the last at {at}.")
    });
    if let Some(cut) = recovered.cut.filter(|cut| cut.records > 0) {
        let kept =
            cut.kept.map_or_else(String::new, |p| format!(" It is kept in {}.", p.display()));
        let torn = format!("A mark that was not finished when the power went is cut off.{kept}");
        words = Some(words.map_or(torn.clone(), |w| format!("{w} {torn}")));
    }
    (marks, words)
}

/// Half a day after the last service.
pub(super) fn is_long_over(evening: &Evening, now_ms: i64) -> bool {
    let last = evening.last_service().unwrap_or(0);
    now_ms > evening.face.ms_of(last.saturating_add(DAY / 2))
}

//! Opens the evening of a party file: takes its lock, reads its journal, and
//! goes on where it was left.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::book::{Book, OnDisk, RealBook, Shared, SystemLocks, marks};
use super::clock::{Clocks, PartyTime};
use super::pass::{Opening, SET_BACK_MS};
use crate::kitchen::{DAY, Evening, OwnTimes};
use crate::run::{Event, Mark, fold};
use crate::screen::Look;
use crate::store::disk::is_gone;
use crate::store::{
    Identity, Journal, JournalError, Lock, Places, RealDisk, Recovered, Turn, boot_id, cooked,
    journal, lock, place,
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
    let is_new = is_gone(&path);
    if is_new {
        not_long_over(&evening, now_ms)?;
    }
    let was_moved = is_new && cooked::beside(&path).exists();
    place::make(&RealDisk, &places.evenings())?;
    let opened = open_book(&path, &who, now_ms);
    if let Err(e) = &opened {
        keep_for_repair(e, &path, &evening);
    }
    let (mut shared, recovered, turn) = opened?;
    // In the turn still: a screen that is opened at the same moment finds what this one goes by.
    let goes_on = recovered.entries.iter().any(|e| is_of_a_step(&e.event));
    let leads = shared.try_lead();
    let (evening, told) = as_it_went(evening, &path, goes_on || !leads);
    let told = told.or_else(|| was_moved.then(|| gone(&path)));
    let told =
        told.or_else(|| if is_new { begun_otherwise(&evening, places, &path) } else { None });
    let kept = match leads || !cooked::beside(&path).exists() {
        true => cooked::keep(&RealDisk, &path, &evening),
        false => Ok(()),
    };
    drop(turn);
    let begun = begin(Arc::new(evening), shared, recovered, clocks, look)?;
    let kept = kept.err().map(|e| format!("The party is not kept for looking back: {e}"));
    let notice = in_one([told, kept, begun.notice]);
    Ok(Opening { journal: Some(path), notice, ..begun })
}

/// What has begun goes on by the times that it began with, on every screen. And a sentence if they cannot be read.
fn as_it_went(evening: Evening, journal: &Path, goes_on: bool) -> (Evening, Option<String>) {
    if !goes_on {
        return (evening, None);
    }
    let (times, why) = match cooked::times(journal) {
        Ok(times) => (times.unwrap_or_default(), None),
        Err(why) => (Vec::new(), Some(why)),
    };
    let told = why.map(|why| {
        format!("It goes on by its recipes' minutes; those it went by cannot be read: {why}")
    });
    (evening.by_own_times(times.into()), told)
}

/// What is said if the party is there as it was cooked, and what was marked of it is not.
fn gone(journal: &Path) -> String {
    format!(
        "This evening was opened before, and its journal is gone: {}. Nothing that was marked is known. \
         If it was moved, leave, put it back and start again.",
        journal.display()
    )
}

/// What is said if the party was begun before its file had other dishes, steps or services: nobody would see here what
/// was marked then.
fn begun_otherwise(evening: &Evening, places: &Places, journal: &Path) -> Option<String> {
    let start = place::name_start(&evening.party.id, evening.party.day);
    let of_the_day = |path: &&PathBuf| {
        let name = path.file_name().map(|name| name.to_string_lossy());
        name.is_some_and(|name| name.starts_with(&start)) && path.as_path() != journal
    };
    let there = place::journals_in(&RealDisk, &places.evenings()).ok()?;
    let marked = there.iter().filter(of_the_day).filter_map(|path| {
        let read = journal::read::<Event, _>(&RealDisk, path).ok()?;
        let count = read.entries.iter().filter(|e| is_of_a_step(&e.event)).count();
        let last_ms = read.entries.last().map(|e| e.at.wall_ms);
        (count > 0).then_some((last_ms, count, path))
    });
    let (_, count, path) = marked.max()?;
    let marks = marks_said(count);
    Some(format!(
        "This party was begun before with other dishes, steps or services: {marks} of steps in {}. None of that counts \
         here. To go on there, leave and put its file back as it was.",
        path.display()
    ))
}

/// If the line is damaged that says whose a journal is, the party beside it says so: `potwatch repair` looks there.
fn keep_for_repair(error: &anyhow::Error, journal: &Path, evening: &Evening) {
    let nameless = matches!(error.downcast_ref(), Some(JournalError::Damaged { line: 1, .. }));
    if nameless && !cooked::beside(journal).exists() {
        let evening = evening.clone().by_own_times(OwnTimes::default());
        // That the journal is damaged is what is told; without this the repair says what it lacks.
        let _ = cooked::keep(&RealDisk, journal, &evening);
    }
}

/// "1 mark", "3 marks".
#[must_use]
pub fn marks_said(count: usize) -> String {
    if count == 1 { "1 mark".to_owned() } else { format!("{count} marks") }
}

/// What is to be read once, if anything.
#[must_use]
pub fn in_one<const N: usize>(words: [Option<String>; N]) -> Option<String> {
    let all: Vec<String> = words.into_iter().flatten().collect();
    (!all.is_empty()).then(|| all.join(" "))
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
    let (mut marks, went_on, torn) = went_on(&evening, recovered);
    let leads = shared.try_lead();
    let mut book = Book::Disk(Box::new(shared));
    let notice = in_one([if leads { went_on } else { Some(FOLLOWS.to_owned()) }, torn]);
    if leads && set_back_ms > SET_BACK_MS {
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

/// Takes a place among the screens of the evening and opens the journal in its turn, which is not over yet.
fn open_book(
    path: &Path,
    who: &Identity,
    now_ms: i64,
) -> anyhow::Result<(RealBook, Recovered<Event>, Turn)> {
    let place = Lock::share(path)?;
    let busy = JournalError::Busy { seconds: lock::TURN_WITHIN.as_secs() };
    let turn = Turn::wait(path)?.ok_or(busy)?;
    let (journal, recovered) = Journal::<Event, RealDisk>::open(RealDisk, path, who, now_ms)?;
    let boot = boot_id(&RealDisk, now_ms);
    Ok((OnDisk::new(journal, boot, SystemLocks { place }), recovered, turn))
}

/// Where the journal of an evening is, and whose it must be.
#[must_use]
pub fn journal_of(evening: &Evening, places: &Places) -> (PathBuf, Identity) {
    let who = identity_of(evening);
    let party = &evening.party;
    (places.journal(&party.id, party.day, &who.fingerprint), who)
}

/// What stands in the first line of an evening's journal.
#[must_use]
pub fn identity_of(evening: &Evening) -> Identity {
    let fingerprint = place::fingerprint(what_is_cooked(evening).as_bytes());
    Identity { party: evening.party.id.clone(), fingerprint }
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

/// The marks of an evening that was begun before, a line that says so, and one of what a crash had torn.
fn went_on(
    evening: &Evening,
    recovered: Recovered<Event>,
) -> (Vec<Mark>, Option<String>, Option<String>) {
    let marks = marks(recovered.entries);
    let by_the_cook = marks.iter().filter(|m| !matches!(m.event, Event::PlanAdopted { .. }));
    let (count, last) = by_the_cook.fold((0, None), |(n, _), m| (n + 1, Some(m.at_ms)));
    let words = last.map(|at_ms| {
        let at = evening.face.read(at_ms);
        let marks = marks_said(count);
        format!("Going on where you were: {marks}, the last at {at}.")
    });
    let torn = recovered.cut.filter(|cut| cut.records > 0).map(|cut| {
        let kept =
            cut.kept.map_or_else(String::new, |p| format!(" It is kept in {}.", p.display()));
        format!("A mark that was not finished when the power went is cut off.{kept}")
    });
    (marks, words, torn)
}

/// Half a day after the last service.
pub(super) fn is_long_over(evening: &Evening, now_ms: i64) -> bool {
    let last = evening.last_service().unwrap_or(0);
    now_ms > evening.face.ms_of(last.saturating_add(DAY / 2))
}

#[cfg(test)]
mod tests {
    use super::super::clock::Ticks;
    use super::*;
    use crate::kitchen::OwnTime;
    use crate::run::testbed::event;
    use crate::store::load::load_builtin;
    use crate::store::zone;

    /// The demo's party today, by a time of the cook's own.
    fn party() -> Evening {
        let today = chrono::Local::now().date_naive();
        let evening = load_builtin(zone::clockface(today)).unwrap();
        let recipe = &evening.sheets[0].written;
        let step = &recipe.steps[0];
        let (station, written) = (step.ways[0].station, step.ways[0].minutes);
        let (recipe, step) = (recipe.id.clone(), step.id.clone());
        let own = OwnTime { recipe, step, station, written, own: written };
        evening.by_own_times(vec![own].into())
    }

    fn opened(evening: &Evening, places: &Places) -> Opening {
        open(evening.clone(), places, Look::choose(true, "", "dumb", None, true)).unwrap()
    }

    /// Opens it, marks that a step has begun, and leaves.
    fn cooked_a_while(places: &Places) -> PathBuf {
        let mut opening = opened(&party(), places);
        opening.book.begin().unwrap();
        let at_ms = Clocks::default().now().wall_ms;
        let ticks = Ticks { wall_ms: at_ms, mono_ms: 0 };
        opening.book.append(at_ms, ticks, event("start pie bake")).unwrap();
        opening.journal.unwrap()
    }

    fn home() -> (tempfile::TempDir, Places) {
        let dir = tempfile::tempdir().unwrap();
        let places = Places::under(dir.path()).unwrap();
        (dir, places)
    }

    fn times(opening: &Opening) -> usize {
        opening.state.party().own_times.list().len()
    }

    #[test]
    fn a_journal_that_was_moved_is_told_and_not_taken_for_none() {
        let (_dir, places) = home();
        let journal = cooked_a_while(&places);
        std::fs::remove_file(&journal).unwrap();
        let notice = opened(&party(), &places).notice.expect("it is told");
        assert!(notice.contains("its journal is gone"), "{notice}");
        assert!(notice.contains(&journal.display().to_string()), "{notice}");
        assert_eq!(opened(&party(), &places).notice, None, "once");
    }

    /// The file was changed so that it is another evening: what was marked of the one before is not there, and that is
    /// said.
    #[test]
    fn an_evening_that_was_begun_with_other_dishes_is_told() {
        let (_dir, places) = home();
        let journal = cooked_a_while(&places);
        let mut other = party();
        other.sheets.pop();
        other.party.dishes.pop();
        let notice = opened(&other, &places).notice.expect("it is told");
        assert!(notice.contains("begun before with other dishes"), "{notice}");
        assert!(notice.contains(&journal.display().to_string()), "{notice}");
        assert_eq!(opened(&other, &places).notice, None, "once");
        let mut next_week = party();
        next_week.party.day = next_week.party.day + chrono::Days::new(7);
        assert_eq!(opened(&next_week, &places).notice, None);
    }

    /// What the evening went by, damaged: told with its place, kept as it is, and gone on without.
    #[test]
    fn own_times_that_cannot_be_read_are_told_and_kept() {
        let (_dir, places) = home();
        let journal = cooked_a_while(&places);
        assert_eq!(times(&opened(&party(), &places)), 1);
        let beside = cooked::beside(&journal);
        let whole = std::fs::read(&beside).unwrap();
        let torn = &whole[..whole.len() / 2];
        std::fs::write(&beside, torn).unwrap();
        let opening = opened(&party(), &places);
        let notice = opening.notice.as_deref().expect("it is told");
        assert!(notice.contains("cannot be read") && notice.contains(".party.json"), "{notice}");
        assert!(notice.contains("Going on where you were: 1 mark"), "{notice}");
        assert_eq!(times(&opening), 0);
        let kept = crate::store::disk::beside(&beside, ".damaged");
        assert_eq!(std::fs::read(kept).unwrap(), torn);
    }

    /// A second screen, of a file that was changed meanwhile, shows the evening by the times that it goes by, and leaves
    /// what is kept of it as it is. What a crash had torn is told there too.
    #[test]
    fn who_follows_goes_by_what_the_first_screen_kept() {
        let (_dir, places) = home();
        let first = opened(&party(), &places);
        let journal = first.journal.clone().unwrap();
        let kept = std::fs::read(cooked::beside(&journal)).unwrap();
        let mut bytes = std::fs::read(&journal).unwrap();
        bytes.extend(b"{\"seq\":1,\"wall");
        std::fs::write(&journal, bytes).unwrap();
        let mut changed = party().by_own_times(OwnTimes::default());
        changed.party.title.push_str(", changed");
        let second = opened(&changed, &places);
        assert_eq!(times(&second), 1);
        assert_eq!(std::fs::read(cooked::beside(&journal)).unwrap(), kept);
        let notice = second.notice.expect("that it follows");
        assert!(notice.starts_with(FOLLOWS) && notice.contains("is cut off"), "{notice}");
    }
}

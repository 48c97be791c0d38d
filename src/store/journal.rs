//! The append-only journal of one evening: each event is on the disk before it counts.

use std::marker::PhantomData;
use std::path::{Path, PathBuf};

use serde::{Serialize, de::DeserializeOwned};

use super::disk::{Disk, append_all, folder_of};
use super::journal_error::{Identity, JournalError, check_owner, refuse};
use super::record::{
    BootId, FORMAT, Header, LINE_BYTES_MAX, Stamp, VERSION, encode_header, encode_record,
};
use super::recover::{Known, Scan, scan, scan_on};
use super::save::{keep_copy, write_new, write_whole};
use super::trouble::FileTrouble;

/// The largest journal that is read or written, in bytes: many times the longest evening.
pub const JOURNAL_BYTES_MAX: u64 = 256 * 1024 * 1024;

/// One event as it was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry<E> {
    /// Its place: 1, 2, 3 … without a gap. Order by this, never by time: clocks go back.
    pub seq: u64,
    /// When it was written, by both clocks.
    pub at: Stamp,
    /// What happened.
    pub event: E,
}

/// The torn end of a journal, cut off before anything else was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cut {
    /// How many bytes were cut.
    pub bytes: u64,
    /// How many events were in them: 1, or 0 if they were zeros alone or the first line.
    pub records: u64,
    /// The file that keeps the cut bytes; `None` when the journal was only read.
    pub kept: Option<PathBuf>,
}

/// What a journal held when it was opened.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Recovered<E> {
    /// Its first line.
    pub header: Header,
    /// Its events in order.
    pub entries: Vec<Entry<E>>,
    /// What a crash had torn, if it had.
    pub cut: Option<Cut>,
}

/// An open journal.
///
/// Take the [`Lock`](super::lock::Lock) first: two writers on one journal would damage it.
pub struct Journal<E, D: Disk> {
    disk: D,
    path: PathBuf,
    who: Identity,
    /// `None` only while the journal is broken.
    file: Option<D::File>,
    next_seq: u64,
    last_crc: u32,
    len: u64,
    broken: Option<String>,
    events: PhantomData<fn(E) -> E>,
}

impl<E: Serialize + DeserializeOwned, D: Disk> Journal<E, D> {
    /// Opens the journal at `path`, or begins it if there is none (or one that a crash left without its first
    /// line). A torn end is cut off and set aside before this returns, and all that is returned is on the disk.
    ///
    /// # Errors
    /// Every [`JournalError`] but `Unwritable` and `NotDurable`. On an error the journal is as it was.
    pub fn open(
        disk: D,
        path: &Path,
        who: &Identity,
        created_ms: i64,
    ) -> Result<(Self, Recovered<E>), JournalError> {
        let mut journal = Self {
            disk,
            path: path.to_path_buf(),
            who: who.clone(),
            file: None,
            next_seq: 1,
            last_crc: 0,
            len: 0,
            broken: None,
            events: PhantomData,
        };
        let recovered = match journal.disk.read(path, JOURNAL_BYTES_MAX) {
            Ok(bytes) => journal.open_existing(&bytes, created_ms)?,
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => journal.begin_new(created_ms)?,
            Err(e) => return Err(FileTrouble::new("read", path, e).into()),
        };
        Ok((journal, recovered))
    }

    /// Writes an event and returns its number once it is on the disk.
    ///
    /// # Errors
    /// `Unwritable` if the event would not come back as it is (the journal goes on); `NotDurable` if the disk
    /// failed, and then for every later call until [`reopen`](Self::reopen) succeeds: after a failed sync
    /// nobody knows what the disk holds. The event of the failing call may or may not be found by `reopen`.
    pub fn append(&mut self, at: &Stamp, event: &E) -> Result<u64, JournalError> {
        let Some(file) = self.file.as_mut().filter(|_| self.broken.is_none()) else {
            let why = self.broken.clone().unwrap_or_default();
            return Err(JournalError::NotDurable { why });
        };
        let json = event_json(event)?;
        let seq = self.next_seq;
        let encoded = encode_record(seq, at, &json, self.last_crc);
        let len = self.len.saturating_add(encoded.line.len() as u64);
        if encoded.line.len() > LINE_BYTES_MAX || len > JOURNAL_BYTES_MAX {
            return Err(JournalError::Unwritable { what: "it is too long".into() });
        }
        let written = append_all(&self.disk, file, &encoded.line)
            .and_then(|()| self.disk.sync_data(file))
            .map_err(|e| FileTrouble::new("write", &self.path, e).to_string());
        if let Err(why) = written {
            // What is not durable must not be taken for it by another screen. If even this fails, a line that is
            // whole may come back with `reopen`, and one that is not is cut then.
            let _ = self.disk.truncate(&self.path, self.len);
            self.broken = Some(why.clone());
            return Err(JournalError::NotDurable { why });
        }
        self.next_seq = seq.saturating_add(1);
        self.last_crc = encoded.crc;
        self.len = len;
        Ok(seq)
    }

    /// What other screens have written since, made durable before it is returned; a line that one of them is still
    /// writing is left for later. A broken journal has nothing new: [`reopen`](Self::reopen) reads it whole.
    ///
    /// # Errors
    /// [`JournalError`]; the journal is as it was.
    pub fn look(&mut self) -> Result<Vec<Entry<E>>, JournalError> {
        self.read_on().map(|on| on.entries)
    }

    /// Makes ready to append: takes in what other screens have written, cuts and keeps a line that one of them left
    /// unfinished, and goes on in the file that has the name now (another may have put a new one in its place).
    ///
    /// Nobody else may write meanwhile: take the [`Turn`](super::lock::Turn) first.
    ///
    /// # Errors
    /// As [`look`](Self::look).
    pub fn catch_up(&mut self) -> Result<Vec<Entry<E>>, JournalError> {
        let on = self.read_on()?;
        if self.broken.is_none() {
            if !on.tail.is_empty() {
                self.keep_tail(&on.tail, self.len())?;
                let cut = self.disk.truncate(&self.path, self.len);
                cut.map_err(|e| FileTrouble::new("cut", &self.path, e))?;
            }
            let file = self.disk.open_append(&self.path);
            self.file = Some(file.map_err(|e| FileTrouble::new("open", &self.path, e))?);
        }
        Ok(on.entries)
    }

    fn read_on(&mut self) -> Result<News<E>, JournalError> {
        let mut news = News { entries: Vec::new(), tail: Vec::new() };
        if self.broken.is_some() {
            return Ok(news);
        }
        let path = self.path.clone();
        let trouble = |e| FileTrouble::new("read", &path, e);
        let len = match self.disk.len(&path) {
            Err(e) if e.kind() == std::io::ErrorKind::NotFound => {
                return Err(JournalError::Gone { path });
            }
            len => len.map_err(trouble)?,
        };
        if len < self.len {
            return Err(JournalError::Shorter { path });
        }
        if len == self.len {
            return Ok(news);
        }
        let bytes = self.disk.read_from(&path, self.len, JOURNAL_BYTES_MAX).map_err(trouble)?;
        let known = Known { events: self.len(), last_crc: self.last_crc, len: self.len };
        let found = scan_on(&bytes, &known).map_err(|d| refuse(&path, d))?;
        news.entries = decode_events(&path, &found)?;
        news.tail = found.tail.to_vec();
        if !news.entries.is_empty() {
            let lines = bytes.get(..found.good_len).unwrap_or_default();
            let durable = self.make_durable(self.len, lines);
            durable.map_err(|e| FileTrouble::new("sync", &path, e))?;
        }
        self.next_seq = self.next_seq.saturating_add(news.entries.len() as u64);
        self.last_crc = found.last_crc;
        self.len = self.len.saturating_add(found.good_len as u64);
        Ok(news)
    }

    /// After a failure: writes the whole lines into a new file, puts it in the place of the old one, and goes on
    /// with that. To sync the old file again would not do: after a failed sync the system may hold bytes for
    /// written that never were.
    ///
    /// Returns everything that is now in the journal; rebuild the evening from that.
    ///
    /// # Errors
    /// As [`open`](Self::open); the journal stays broken and this can be called again.
    pub fn reopen(&mut self) -> Result<Recovered<E>, JournalError> {
        self.file = None;
        if self.broken.is_none() {
            self.broken = Some("it is being opened again".into());
        }
        let bytes = self.read_bytes()?;
        let found = scan(&bytes).map_err(|d| refuse(&self.path, d))?;
        let Some(header) = found.header.clone() else {
            return Err(JournalError::NotAJournal { path: self.path.clone() });
        };
        check_owner(&self.path, &header, &self.who)?;
        let cut = self.keep_torn(&found)?;
        let good = bytes.get(..found.good_len).unwrap_or_default();
        // Before the events are read: this is asked again and again while the disk takes nothing.
        write_whole(&self.disk, &self.path, good)?;
        let entries = decode_events(&self.path, &found)?;
        self.go_on_after(found.records.len() as u64, found.last_crc, found.good_len)?;
        Ok(Recovered { header, entries, cut })
    }

    /// Why marks are not being saved, if they are not.
    pub fn broken(&self) -> Option<&str> {
        self.broken.as_deref()
    }

    /// The file.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// How many events are in it.
    pub fn len(&self) -> u64 {
        self.next_seq.saturating_sub(1)
    }

    /// True if it has no events yet.
    pub fn is_empty(&self) -> bool {
        self.len() == 0
    }

    fn read_bytes(&self) -> Result<Vec<u8>, JournalError> {
        self.disk
            .read(&self.path, JOURNAL_BYTES_MAX)
            .map_err(|e| FileTrouble::new("read", &self.path, e).into())
    }

    fn begin_new(&mut self, created_ms: i64) -> Result<Recovered<E>, JournalError> {
        let header = self.write_header(created_ms, write_new)?;
        Ok(Recovered { header, entries: Vec::new(), cut: None })
    }

    fn open_existing(
        &mut self,
        bytes: &[u8],
        created_ms: i64,
    ) -> Result<Recovered<E>, JournalError> {
        let found = scan(bytes).map_err(|d| refuse(&self.path, d))?;
        if let Some(header) = &found.header {
            check_owner(&self.path, header, &self.who)?;
        }
        let entries = decode_events(&self.path, &found)?;
        let cut = self.keep_torn(&found)?;
        let Some(header) = found.header.clone() else {
            let header = self.write_header(created_ms, write_whole)?;
            return Ok(Recovered { header, entries, cut });
        };
        let good = bytes.get(..found.good_len).unwrap_or_default();
        // Where it stands if that can be done, else in a new file (see `reopen` for why not once more).
        if self.settle(&found, good).is_err() {
            write_whole(&self.disk, &self.path, good)?;
        }
        self.go_on_after(found.records.len() as u64, found.last_crc, found.good_len)?;
        Ok(Recovered { header, entries, cut })
    }

    /// Cuts the torn end off and makes the rest durable. Only the last line may not be: who goes on after another's
    /// line makes that durable first.
    fn settle(&self, found: &Scan<'_>, good: &[u8]) -> std::io::Result<()> {
        if !found.tail.is_empty() {
            self.disk.truncate(&self.path, found.good_len as u64)?;
        }
        let last = found.records.last().map_or(0, |line| line.byte);
        let line = usize::try_from(last).ok().and_then(|at| good.get(at..)).unwrap_or_default();
        self.make_durable(last, line)?;
        self.disk.sync_dir(folder_of(&self.path))
    }

    /// Makes lines durable that another program has written. It may have died between writing and syncing; or its sync
    /// failed and it could not even cut the line off, and then the system may take bytes for written that never were,
    /// and a sync alone would say so too. So they are written once more where they stand.
    fn make_durable(&self, from: u64, lines: &[u8]) -> std::io::Result<()> {
        self.disk.write_over(&self.path, from, lines)?;
        let mut file = self.disk.open_append(&self.path)?;
        self.disk.sync_all(&mut file)
    }

    fn write_header(
        &mut self,
        created_ms: i64,
        write: impl Fn(&D, &Path, &[u8]) -> Result<(), FileTrouble>,
    ) -> Result<Header, JournalError> {
        let header = new_header(&self.who, created_ms);
        let encoded =
            encode_header(&header).map_err(|e| JournalError::Unwritable { what: e.to_string() })?;
        write(&self.disk, &self.path, &encoded.line)?;
        self.go_on_after(0, encoded.crc, encoded.line.len())?;
        Ok(header)
    }

    fn go_on_after(&mut self, events: u64, crc: u32, len: usize) -> Result<(), JournalError> {
        let file = self.disk.open_append(&self.path);
        self.file = Some(file.map_err(|e| FileTrouble::new("open", &self.path, e))?);
        self.next_seq = events.saturating_add(1);
        self.last_crc = crc;
        self.len = len as u64;
        self.broken = None;
        Ok(())
    }

    /// Copies the torn end into a file of its own, which is on the disk when this returns.
    fn keep_torn(&self, found: &Scan<'_>) -> Result<Option<Cut>, JournalError> {
        if found.tail.is_empty() {
            return Ok(None);
        }
        let kept = self.keep_tail(found.tail, found.records.len() as u64)?;
        let (bytes, records) = (found.tail.len() as u64, found.torn_records());
        Ok(Some(Cut { bytes, records, kept: Some(kept) }))
    }

    fn keep_tail(&self, tail: &[u8], events_before: u64) -> Result<PathBuf, JournalError> {
        let ending = format!(".torn-{}", events_before + 1);
        Ok(keep_copy(&self.disk, &self.path, &ending, tail)?)
    }
}

/// What others have written.
struct News<E> {
    entries: Vec<Entry<E>>,
    /// The line that one of them has not finished.
    tail: Vec<u8>,
}

/// Reads a journal and changes nothing, so it can be someone else's, or open elsewhere.
///
/// # Errors
/// As [`Journal::open`]; a journal without its first line is `NotAJournal` here.
pub fn read<E: DeserializeOwned, D: Disk>(
    disk: &D,
    path: &Path,
) -> Result<Recovered<E>, JournalError> {
    let bytes =
        disk.read(path, JOURNAL_BYTES_MAX).map_err(|e| FileTrouble::new("read", path, e))?;
    let found = scan(&bytes).map_err(|d| refuse(path, d))?;
    let entries = decode_events(path, &found)?;
    let (bytes, records) = (found.tail.len() as u64, found.torn_records());
    let header =
        found.header.ok_or_else(|| JournalError::NotAJournal { path: path.to_path_buf() })?;
    Ok(Recovered {
        header,
        entries,
        cut: (bytes > 0).then_some(Cut { bytes, records, kept: None }),
    })
}

/// The id of this start of the computer, or failing that of this start of the program.
///
/// `started_ms` is any time that differs between starts of the program, such as the wall clock at its start.
pub fn boot_id<D: Disk>(disk: &D, started_ms: i64) -> BootId {
    /// The file that Linux keeps it in (random(4)); 37 bytes.
    const LINUX: &str = "/proc/sys/kernel/random/boot_id";
    match disk.read(Path::new(LINUX), 100) {
        Ok(bytes) => BootId::new(&String::from_utf8_lossy(&bytes)),
        Err(_) => BootId::new(&format!("run-{}-{started_ms}", std::process::id())),
    }
}

pub(super) fn new_header(who: &Identity, created_ms: i64) -> Header {
    Header {
        format: FORMAT.into(),
        version: VERSION,
        party: who.party.clone(),
        fingerprint: who.fingerprint.clone(),
        created_ms,
    }
}

/// The event as JSON, proved to come back (a number that is not one, for instance, would not).
fn event_json<E: Serialize + DeserializeOwned>(event: &E) -> Result<String, JournalError> {
    let unwritable = |e: serde_json::Error| JournalError::Unwritable { what: e.to_string() };
    let json = serde_json::to_string(event).map_err(unwritable)?;
    let back: E = serde_json::from_str(&json).map_err(unwritable)?;
    if serde_json::to_string(&back).map_err(unwritable)? != json {
        return Err(JournalError::Unwritable { what: "it would come back changed".into() });
    }
    Ok(json)
}

fn decode_events<E: DeserializeOwned>(
    path: &Path,
    found: &Scan<'_>,
) -> Result<Vec<Entry<E>>, JournalError> {
    let mut entries = Vec::with_capacity(found.records.len());
    for whole in &found.records {
        let event =
            serde_json::from_str(whole.record.event).map_err(|e| JournalError::UnknownEvent {
                path: path.to_path_buf(),
                line: whole.line,
                byte: whole.byte,
                what: e.to_string(),
            })?;
        entries.push(Entry { seq: whole.record.seq, at: whole.record.at.clone(), event });
    }
    Ok(entries)
}

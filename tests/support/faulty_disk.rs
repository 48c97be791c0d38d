//! A disk in memory that fails on demand and can be looked at after a power cut.
//!
//! What it tolerates from the code under test, and what it does not:
//! * Bytes that were appended are in a cache; `sync_*` moves them to the platter. A sync that fails moves nothing
//!   and marks them clean, so that a later sync does not move them either (as real systems do).
//! * Names change in the cache; `sync_dir` moves them to the platter. At a power cut any first part of the
//!   changes not yet moved may have got there.
//! * At a power cut, of the bytes not yet moved any may be there, torn anywhere, in any order, or zeros in their place.
//! * Nothing that was moved is ever lost.

#![allow(dead_code, reason = "each test target uses its part")]

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};
use std::io;
use std::path::{Path, PathBuf};
use std::rc::Rc;

use potwatch::store::Disk;

/// When operations fail, by their number, counted from 1.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum When {
    Never,
    Once(u64),
    From(u64),
}

/// How they fail.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// An input/output error; an append writes nothing.
    Error,
    /// No space: an append writes half and fails; reading and removing still work.
    Full,
    /// The disk was made read-only: whatever writes fails, and writes nothing.
    ReadOnly,
    /// An append takes one byte only and says so; all else works.
    Short,
}

#[derive(Debug, Clone, Default)]
struct Inode {
    cache: Vec<u8>,
    /// Which bytes of `cache` the platter does not have and the next sync will move.
    dirty: BTreeSet<usize>,
    platter: Vec<u8>,
}

#[derive(Debug, Clone)]
enum NameChange {
    Set(PathBuf, usize),
    Gone(PathBuf),
}

#[derive(Debug, Clone, Default)]
struct State {
    inodes: Vec<Inode>,
    names: BTreeMap<PathBuf, usize>,
    platter_names: BTreeMap<PathBuf, usize>,
    pending: Vec<NameChange>,
    ops: u64,
    /// Faults that every clone has which was given none of its own.
    weather: Option<(When, How)>,
}

/// The disk; clones are the same disk.
#[derive(Debug, Clone)]
pub struct FaultyDisk {
    state: Rc<RefCell<State>>,
    when: When,
    how: How,
}

/// The pseudo-random numbers of SplitMix64 (Steele, Lea and Flood 2014).
#[derive(Debug, Clone)]
pub struct Dice(pub u64);

impl Dice {
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    pub fn below(&mut self, n: u64) -> u64 {
        self.next() % n.max(1)
    }
}

impl FaultyDisk {
    pub fn new() -> Self {
        Self { state: Rc::default(), when: When::Never, how: How::Error }
    }

    /// The same disk with other faults; operations are counted anew.
    pub fn with(&self, when: When, how: How) -> Self {
        self.state.borrow_mut().ops = 0;
        Self { state: self.state.clone(), when, how }
    }

    /// From now on every clone that was given no faults of its own has these; operations are counted anew.
    pub fn set(&self, weather: Option<(When, How)>) {
        let mut state = self.state.borrow_mut();
        (state.ops, state.weather) = (0, weather);
    }

    fn faults(&self) -> (When, How) {
        match (self.when, self.state.borrow().weather) {
            (When::Never, Some(weather)) => weather,
            (own, _) => (own, self.how),
        }
    }

    /// How many operations there were since the faults were set.
    pub fn ops(&self) -> u64 {
        self.state.borrow().ops
    }

    /// What a program sees in a file.
    pub fn contents(&self, path: &Path) -> Option<Vec<u8>> {
        let state = self.state.borrow();
        state.names.get(path).map(|i| state.inodes[*i].cache.clone())
    }

    /// Does a file say the same after a power cut that nothing not yet moved survives?
    pub fn is_durable(&self, path: &Path) -> bool {
        let state = self.state.borrow();
        let seen = state.names.get(path).map(|i| &state.inodes[*i].cache);
        seen == state.platter_names.get(path).map(|i| &state.inodes[*i].platter)
    }

    /// Puts a file there, durable.
    pub fn put(&self, path: &Path, bytes: &[u8]) {
        let mut state = self.state.borrow_mut();
        let (cache, platter) = (bytes.to_vec(), bytes.to_vec());
        state.inodes.push(Inode { dirty: BTreeSet::new(), cache, platter });
        let i = state.inodes.len() - 1;
        state.names.insert(path.into(), i);
        state.platter_names.insert(path.into(), i);
    }

    pub fn names(&self) -> Vec<PathBuf> {
        self.state.borrow().names.keys().cloned().collect()
    }

    /// Another disk that holds what this one would after a power cut now. Seed 0: nothing but what is durable.
    pub fn after_power_cut(&self, seed: u64) -> Self {
        let old = self.state.borrow();
        let mut dice = Dice(seed);
        let mut names = old.platter_names.clone();
        let got_there = if seed == 0 { 0 } else { dice.below(old.pending.len() as u64 + 1) };
        for change in old.pending.iter().take(got_there as usize) {
            apply(&mut names, change);
        }
        let inodes = old
            .inodes
            .iter()
            .map(|node| {
                let platter =
                    if seed == 0 { node.platter.clone() } else { remains(node, &mut dice) };
                Inode { cache: platter.clone(), dirty: BTreeSet::new(), platter }
            })
            .collect();
        let state = State {
            inodes,
            platter_names: names.clone(),
            names,
            pending: vec![],
            ops: 0,
            weather: None,
        };
        Self { state: Rc::new(RefCell::new(state)), when: When::Never, how: How::Error }
    }

    /// Counts an operation; says whether it fails.
    fn fails(&self) -> bool {
        let (when, _) = self.faults();
        let mut state = self.state.borrow_mut();
        state.ops += 1;
        match when {
            When::Never => false,
            When::Once(n) => state.ops == n,
            When::From(n) => state.ops >= n,
        }
    }

    fn gate(&self, writes: bool) -> io::Result<()> {
        match (self.fails(), self.faults().1) {
            (true, How::Error) => Err(io::Error::from_raw_os_error(5)),
            (true, How::ReadOnly) if writes => {
                Err(io::Error::from(io::ErrorKind::ReadOnlyFilesystem))
            }
            (true, How::Full) if writes => Err(io::Error::from(io::ErrorKind::StorageFull)),
            _ => Ok(()),
        }
    }

    fn find(&self, path: &Path) -> io::Result<usize> {
        let found = self.state.borrow().names.get(path).copied();
        found.ok_or_else(|| io::Error::from(io::ErrorKind::NotFound))
    }

    fn change(&self, change: NameChange) {
        let mut state = self.state.borrow_mut();
        apply(&mut state.names, &change);
        state.pending.push(change);
    }

    fn sync(&self, file: usize) -> io::Result<()> {
        let failed = self.gate(true);
        let mut state = self.state.borrow_mut();
        let node = &mut state.inodes[file];
        if failed.is_ok() {
            node.platter.resize(node.cache.len(), 0);
            for i in node.dirty.iter().copied() {
                node.platter[i] = node.cache[i];
            }
        }
        node.dirty.clear();
        failed
    }
}

fn apply(names: &mut BTreeMap<PathBuf, usize>, change: &NameChange) {
    match change {
        NameChange::Set(path, inode) => names.insert(path.clone(), *inode),
        NameChange::Gone(path) => names.remove(path),
    };
}

/// One way a file may look after a power cut.
fn remains(node: &Inode, dice: &mut Dice) -> Vec<u8> {
    let (old, new) = (&node.platter, &node.cache);
    if new.len() < old.len() {
        // A cut that was not synced happened or did not.
        return if dice.below(2) == 0 { old.clone() } else { new.clone() };
    }
    let mut out = old.clone();
    let len = old.len() + dice.below((new.len() - old.len()) as u64 + 1) as usize;
    out.resize(len, 0);
    let chunk = [1, 8, 64, 512][dice.below(4) as usize];
    let way = dice.below(4);
    for i in 0..len {
        let moved = match way {
            0 => false,                                           // longer, all zeros
            1 => true,                                            // torn at `len`
            _ => Dice(dice.0 ^ (i / chunk) as u64).below(2) == 0, // chunks in any order
        };
        if moved && node.dirty.contains(&i) {
            out[i] = new[i];
        }
    }
    out
}

impl Disk for FaultyDisk {
    type File = usize;

    fn create_new(&self, path: &Path) -> io::Result<usize> {
        self.gate(true)?;
        if self.find(path).is_ok() {
            return Err(io::Error::from(io::ErrorKind::AlreadyExists));
        }
        self.state.borrow_mut().inodes.push(Inode::default());
        let inode = self.state.borrow().inodes.len() - 1;
        self.change(NameChange::Set(path.into(), inode));
        Ok(inode)
    }

    fn open_append(&self, path: &Path) -> io::Result<usize> {
        self.gate(false)?;
        self.find(path)
    }

    fn append(&self, file: &mut usize, bytes: &[u8]) -> io::Result<usize> {
        let (fails, how) = (self.fails(), self.faults().1);
        let taken = match how {
            _ if !fails => bytes.len(),
            How::Error | How::ReadOnly => 0,
            How::Full => bytes.len() / 2,
            How::Short => 1,
        };
        let mut state = self.state.borrow_mut();
        let node = &mut state.inodes[*file];
        let from = node.cache.len();
        node.cache.extend_from_slice(&bytes[..taken]);
        node.dirty.extend(from..node.cache.len());
        match how {
            How::Error if fails => Err(io::Error::from_raw_os_error(5)),
            How::Full if fails => Err(io::Error::from(io::ErrorKind::StorageFull)),
            How::ReadOnly if fails => Err(io::Error::from(io::ErrorKind::ReadOnlyFilesystem)),
            _ => Ok(taken),
        }
    }

    fn sync_data(&self, file: &mut usize) -> io::Result<()> {
        self.sync(*file)
    }

    fn sync_all(&self, file: &mut usize) -> io::Result<()> {
        self.sync(*file)
    }

    fn write_over(&self, path: &Path, from: u64, bytes: &[u8]) -> io::Result<()> {
        self.gate(true)?;
        let inode = self.find(path)?;
        let mut state = self.state.borrow_mut();
        let node = &mut state.inodes[inode];
        let place = from as usize..from as usize + bytes.len();
        assert_eq!(node.cache[place.clone()], *bytes, "only what is there is written again");
        node.dirty.extend(place);
        Ok(())
    }

    fn truncate(&self, path: &Path, len: u64) -> io::Result<()> {
        self.gate(false)?;
        let inode = self.find(path)?;
        let mut state = self.state.borrow_mut();
        state.inodes[inode].cache.truncate(len as usize);
        state.inodes[inode].dirty.split_off(&(len as usize));
        Ok(())
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.gate(true)?;
        let inode = self.find(from)?;
        // One change on the platter too: both names move, or neither.
        let mut state = self.state.borrow_mut();
        state.names.remove(from);
        state.names.insert(to.into(), inode);
        state.pending.push(NameChange::Set(to.into(), inode));
        state.pending.push(NameChange::Gone(from.into()));
        Ok(())
    }

    fn rename_new(&self, from: &Path, to: &Path) -> io::Result<()> {
        if self.find(to).is_ok() {
            return Err(io::Error::from(io::ErrorKind::AlreadyExists));
        }
        self.rename(from, to)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        self.gate(false)?;
        self.find(path)?;
        self.change(NameChange::Gone(path.into()));
        Ok(())
    }

    fn sync_dir(&self, _dir: &Path) -> io::Result<()> {
        self.gate(true)?;
        let mut state = self.state.borrow_mut();
        let changes = std::mem::take(&mut state.pending);
        for change in &changes {
            apply(&mut state.platter_names, change);
        }
        Ok(())
    }

    fn make_dir(&self, _dir: &Path) -> io::Result<()> {
        self.gate(true)
    }

    fn len(&self, path: &Path) -> io::Result<u64> {
        self.gate(false)?;
        let inode = self.find(path)?;
        Ok(self.state.borrow().inodes[inode].cache.len() as u64)
    }

    fn read(&self, path: &Path, limit: u64) -> io::Result<Vec<u8>> {
        self.read_from(path, 0, limit)
    }

    fn read_from(&self, path: &Path, from: u64, limit: u64) -> io::Result<Vec<u8>> {
        self.gate(false)?;
        let inode = self.find(path)?;
        let cache = &self.state.borrow().inodes[inode].cache;
        let bytes = cache.get(from as usize..).unwrap_or_default().to_vec();
        if bytes.len() as u64 > limit {
            return Err(io::Error::from(io::ErrorKind::FileTooLarge));
        }
        Ok(bytes)
    }

    fn list(&self, dir: &Path) -> io::Result<Vec<PathBuf>> {
        self.gate(false)?;
        Ok(self.names().into_iter().filter(|p| p.parent() == Some(dir)).collect())
    }

    fn copy_rights(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.gate(true)?;
        self.find(from)?;
        self.find(to)?;
        Ok(())
    }

    fn follow(&self, path: &Path) -> io::Result<PathBuf> {
        self.gate(false)?;
        self.find(path).map(|_| path.into())
    }
}

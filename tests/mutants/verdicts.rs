//! What became of each mutant, kept in a file that outlives the run and the numbers of the mutants.

use std::collections::BTreeMap;
use std::fmt;
use std::io::Write as _;
use std::path::{Path, PathBuf};

use anyhow::{Context as _, Result};

/// What the tests said to a mutant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// A test failed.
    Noticed,
    /// The tests did not end, which is noticed too.
    Stuck,
    /// All tests that come by passed.
    Survived,
    /// All that were asked passed, but slower ones come by that were not.
    Slow,
    /// No test comes by.
    Unseen,
}

const ALL: [Verdict; 5] =
    [Verdict::Noticed, Verdict::Stuck, Verdict::Survived, Verdict::Slow, Verdict::Unseen];

impl fmt::Display for Verdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Noticed => "noticed",
            Self::Stuck => "stuck",
            Self::Survived => "survived",
            Self::Slow => "survived-the-quick",
            Self::Unseen => "unseen",
        })
    }
}

impl Verdict {
    /// Is it told from the code that is right?
    pub fn is_good(self) -> bool {
        matches!(self, Self::Noticed | Self::Stuck)
    }
}

/// The verdicts known so far, by a mutant's key.
pub struct Verdicts {
    path: PathBuf,
    known: BTreeMap<String, Verdict>,
}

impl Verdicts {
    /// Reads what was kept; a later line counts before an earlier one.
    pub fn read(path: &Path) -> Result<Self> {
        let text = if path.exists() { std::fs::read_to_string(path)? } else { String::new() };
        let one = |line: &str| {
            let (word, key) = line.split_once('\t')?;
            let verdict = ALL.into_iter().find(|v| v.to_string() == word)?;
            Some((key.to_owned(), verdict))
        };
        let known = text.lines().filter_map(one).collect();
        Ok(Self { path: path.to_owned(), known })
    }

    pub fn of(&self, key: &str) -> Option<Verdict> {
        self.known.get(key).copied()
    }

    /// Keeps one, in the file at once.
    pub fn add(&mut self, key: &str, verdict: Verdict) -> Result<()> {
        let mut file = std::fs::OpenOptions::new().append(true).create(true).open(&self.path)?;
        writeln!(file, "{verdict}\t{key}").context("the file of verdicts")?;
        self.known.insert(key.to_owned(), verdict);
        Ok(())
    }

    /// How many of these have which verdict.
    pub fn sum<'a>(&self, keys: impl Iterator<Item = &'a str>) -> String {
        let mut counts: BTreeMap<Option<Verdict>, usize> = BTreeMap::new();
        keys.for_each(|key| *counts.entry(self.of(key)).or_default() += 1);
        let all: usize = counts.values().sum();
        let word = |(v, n): (&Option<Verdict>, &usize)| match v {
            Some(v) => format!("{n} {v}"),
            None => format!("{n} not tried"),
        };
        let words: Vec<String> = counts.iter().map(word).collect();
        format!("{all} mutants: {}", words.join(", "))
    }
}

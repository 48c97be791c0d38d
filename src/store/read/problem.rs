//! What is wrong with files, ready to be printed.

use std::fmt;

use crate::kitchen::check::Severity;
use crate::order::InOrder;

/// One thing wrong with one file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileProblem {
    /// The file's name.
    pub file: String,
    /// The line, from 1, if it is known.
    pub line: Option<u32>,
    /// The column in characters, from 1, where text is not JSON.
    pub column: Option<u32>,
    /// The path in the file: `dishes[2].servings`; empty for the whole file.
    pub path: String,
    /// What is wrong, without a full stop.
    pub what: String,
    /// What would be right, without a full stop.
    pub remedy: String,
    /// How bad it is.
    pub severity: Severity,
}

impl FileProblem {
    /// Something that must be put right.
    #[must_use]
    pub fn wrong(file: &str, line: Option<u32>, path: &str, what: String, remedy: String) -> Self {
        let (file, path) = (file.to_owned(), path.to_owned());
        Self { file, line, column: None, path, what, remedy, severity: Severity::Wrong }
    }

    /// `dishes[2].servings: is 0. Write 1 to 500.`
    #[must_use]
    pub fn sentence(&self) -> String {
        let stop = |text: &str| if text.ends_with(['?', '!', '.']) { "" } else { "." };
        let path = if self.path.is_empty() { String::new() } else { format!("{}: ", self.path) };
        let (what, remedy) = (&self.what, &self.remedy);
        format!("{path}{what}{} {remedy}{}", stop(what), stop(remedy))
    }
}

impl fmt::Display for FileProblem {
    /// `party.json:41: dishes[2].servings: is 0. Write 1 to 500.`
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.file)?;
        if let Some(line) = self.line {
            write!(f, ":{line}")?;
        }
        if let Some(column) = self.column {
            write!(f, ":{column}")?;
        }
        f.write_str(": ")?;
        if self.severity == Severity::WorthKnowing {
            f.write_str("(worth knowing) ")?;
        }
        f.write_str(&self.sentence())
    }
}

/// Everything wrong with one or more files: never empty where it is an error.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Problems {
    /// One by one, by file and in the order of their places.
    pub list: Vec<FileProblem>,
}

impl Problems {
    /// Most problems that are printed one by one.
    pub const MOST_SHOWN: usize = 100;

    /// A single problem.
    #[must_use]
    pub fn one(problem: FileProblem) -> Self {
        Self { list: vec![problem] }
    }

    /// Is there something that must be put right?
    #[must_use]
    pub fn any_wrong(&self) -> bool {
        self.list.iter().any(|p| p.severity == Severity::Wrong)
    }

    /// Adds those of `other` that are not there yet.
    pub fn join(&mut self, other: Self) {
        let mut seen: std::collections::BTreeSet<_> = self.list.iter().map(key).collect();
        let fresh: Vec<bool> = other.list.iter().map(|p| seen.insert(key(p))).collect();
        drop(seen);
        self.list.extend(other.list.into_iter().zip(fresh).filter(|p| p.1).map(|p| p.0));
    }

    /// In the order of their lines within each file; `first` before the other
    /// files, these in the order in which they were met; wrong before worth
    /// knowing on the same line.
    pub fn sort(&mut self, first: &str) {
        let mut files: Vec<String> = vec![first.to_owned()];
        for p in &self.list {
            if !files.contains(&p.file) {
                files.push(p.file.clone());
            }
        }
        self.list.order_by_key(|p| {
            (files.iter().position(|f| *f == p.file), p.line, p.severity, p.column)
        });
    }
}

fn key(p: &FileProblem) -> (String, Option<u32>, String, String) {
    (p.file.clone(), p.line, p.path.clone(), p.what.clone())
}

impl FromIterator<FileProblem> for Problems {
    fn from_iter<I: IntoIterator<Item = FileProblem>>(list: I) -> Self {
        Self { list: list.into_iter().collect() }
    }
}

impl fmt::Display for Problems {
    /// One line each; a line that counts the rest when there are very many.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, problem) in self.list.iter().take(Self::MOST_SHOWN).enumerate() {
            if index > 0 {
                f.write_str("\n")?;
            }
            write!(f, "{problem}")?;
        }
        match self.list.len().saturating_sub(Self::MOST_SHOWN) {
            0 => Ok(()),
            more => write!(f, "\n… and {more} more. Put these right first."),
        }
    }
}

impl std::error::Error for Problems {}

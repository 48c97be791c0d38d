//! What a check found, and where.

/// One thing that a check found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Where it is.
    pub place: Place,
    /// What is wrong there, without a full stop.
    pub what: String,
    /// What would be right, without a full stop.
    pub remedy: String,
    /// How bad it is.
    pub severity: Severity,
}

/// A place in one of the cook's files.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// The file, by its part in the party.
    pub document: Document,
    /// The path in it: `dishes[2].servings`; empty for the whole file.
    pub path: String,
}

/// Which of a party's documents a place is in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Document {
    /// The party itself.
    Party,
    /// Its kitchen.
    Kitchen,
    /// The recipe of the dish with this index.
    Recipe(usize),
}

/// How bad a problem is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// The party cannot be planned until it is put right.
    Wrong,
    /// The party can be planned; the cook should know.
    WorthKnowing,
}

/// Collects what is found in one document.
pub(super) struct Report {
    document: Document,
    problems: Vec<Problem>,
}

impl Report {
    pub(super) fn of(document: Document) -> Self {
        Self { document, problems: Vec::new() }
    }

    pub(super) fn wrong(
        &mut self,
        path: impl Into<String>,
        what: impl Into<String>,
        remedy: impl Into<String>,
    ) {
        self.add(path.into(), what.into(), remedy.into(), Severity::Wrong);
    }

    pub(super) fn note(
        &mut self,
        path: impl Into<String>,
        what: impl Into<String>,
        remedy: impl Into<String>,
    ) {
        self.add(path.into(), what.into(), remedy.into(), Severity::WorthKnowing);
    }

    /// A number that must lie within bounds.
    pub(super) fn within<N: PartialOrd + std::fmt::Display>(
        &mut self,
        path: impl Into<String>,
        number: N,
        least: N,
        most: N,
    ) -> bool {
        let fits = number >= least && number <= most;
        if !fits {
            self.wrong(path, format!("is {number}"), format!("Write {least} to {most}"));
        }
        fits
    }

    /// Nothing wrong so far?
    pub(super) fn is_sound(&self) -> bool {
        self.problems.iter().all(|p| p.severity != Severity::Wrong)
    }

    pub(super) fn into_problems(self) -> Vec<Problem> {
        self.problems
    }

    fn add(&mut self, path: String, what: String, remedy: String, severity: Severity) {
        let place = Place { document: self.document, path };
        self.problems.push(Problem { place, what, remedy, severity });
    }
}

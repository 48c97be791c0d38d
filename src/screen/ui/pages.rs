//! The pages, in two books: the evening, and what comes before it.

/// A book of pages. The digits choose a page of the one in front.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Book {
    /// What is cooked now, and how it stands.
    Evening,
    /// Everything before the first flame: menu, guests, lists, sheets.
    Before,
}

/// The pages.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Page {
    /// The lane chart.
    #[default]
    Chart,
    /// Big type.
    Big,
    /// What waits.
    Holding,
    /// The plan as a list.
    Plan,
    /// The alarms.
    Alarms,
    /// How the evening went.
    Report,
    /// What clashes, and the ways out.
    Ways,
    /// What would come of changes.
    WhatIf,
    /// The dishes, and whether they go together.
    Menu,
    /// Who comes, and what each can eat.
    Guests,
    /// What to buy.
    Shopping,
    /// Knife work and what is measured out.
    Mise,
    /// What stands ready for each dish, and where.
    Trays,
    /// What each dish goes to the table in.
    Serving,
    /// What is made the evening or the days before.
    Ahead,
    /// What is printed.
    Sheets,
    /// What each dish takes for the servings that are made.
    Scaling,
}

/// The faces of the report.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Face {
    /// What is still out, the services, the steps as lines.
    #[default]
    Report,
    /// Planned against actual, dish by dish.
    Chart,
    /// What was late and why, what waited, the alarms.
    Why,
    /// What to change next time.
    NextTime,
}

impl Face {
    /// All, in the order of the arrow keys.
    pub const ALL: [Self; 4] = [Self::Report, Self::Chart, Self::Why, Self::NextTime];

    /// Its name.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Report => "Report",
            Self::Chart => "Planned and actual",
            Self::Why => "Why",
            Self::NextTime => "Next time",
        }
    }

    /// The next one, or the one before; at the end it stays.
    #[must_use]
    pub fn turned(self, on: bool) -> Self {
        let at = Self::ALL.iter().position(|f| *f == self).unwrap_or(0);
        let to = if on { at + 1 } else { at.saturating_sub(1) };
        Self::ALL.get(to).copied().unwrap_or(self)
    }
}

impl Page {
    /// All pages, book by book, in the order of their keys.
    pub const ALL: [Self; 17] = {
        let mut all = [Self::Scaling; 17];
        let mut at = 0;
        while at < 8 {
            all[at] = Self::EVENING[at];
            all[8 + at] = Self::BEFORE[at];
            at += 1;
        }
        all
    };

    /// The pages of the evening, in the order of their keys.
    pub const EVENING: [Self; 8] = [
        Self::Chart,
        Self::Big,
        Self::Holding,
        Self::Plan,
        Self::Alarms,
        Self::Report,
        Self::Ways,
        Self::WhatIf,
    ];

    /// The pages before it, in the order of their keys.
    pub const BEFORE: [Self; 9] = [
        Self::Menu,
        Self::Guests,
        Self::Shopping,
        Self::Mise,
        Self::Trays,
        Self::Serving,
        Self::Ahead,
        Self::Sheets,
        Self::Scaling,
    ];

    /// Its name.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Chart => "Chart",
            Self::Big => "Big type",
            Self::Holding => "Holding",
            Self::Plan => "Plan",
            Self::Alarms => "Alarms",
            Self::Report => "Report",
            Self::Ways => "Ways out",
            Self::WhatIf => "What if",
            Self::Menu => "Menu",
            Self::Guests => "Guests",
            Self::Shopping => "Shopping",
            Self::Mise => "Mise",
            Self::Trays => "Trays",
            Self::Serving => "Serving dishes",
            Self::Ahead => "Ahead",
            Self::Sheets => "Sheets",
            Self::Scaling => "Scaling",
        }
    }

    /// The book that it is in.
    #[must_use]
    pub const fn book(self) -> Book {
        match self {
            Self::Chart
            | Self::Big
            | Self::Holding
            | Self::Plan
            | Self::Alarms
            | Self::Report
            | Self::Ways
            | Self::WhatIf => Book::Evening,
            Self::Menu
            | Self::Guests
            | Self::Shopping
            | Self::Mise
            | Self::Trays
            | Self::Serving
            | Self::Ahead
            | Self::Sheets
            | Self::Scaling => Book::Before,
        }
    }
}

impl Book {
    /// Its pages, in the order of their keys.
    #[must_use]
    pub const fn pages(self) -> &'static [Page] {
        match self {
            Self::Evening => &Page::EVENING,
            Self::Before => &Page::BEFORE,
        }
    }

    /// The other one.
    #[must_use]
    pub const fn other(self) -> Self {
        match self {
            Self::Evening => Self::Before,
            Self::Before => Self::Evening,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_page_is_in_one_book() {
        for book in [Book::Evening, Book::Before] {
            assert!(book.pages().iter().all(|p| p.book() == book));
        }
        let both = Page::EVENING.iter().chain(&Page::BEFORE);
        assert!(both.copied().eq(Page::ALL));
    }
}

//! What can be printed of an evening: what each is, the command that prints it, and its text.

use crate::mise::sheets::{self, Make};
use crate::mise::{calendar, chart, servingware, shopping};
use crate::paper;
use crate::run::State;
use crate::run::food_log::{self, food_log};

/// Something that goes on paper or into a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Printed {
    /// All sheets as one page of HTML.
    Page,
    /// All sheets as text.
    Text,
    /// The day with its alarms, for a calendar.
    Calendar,
    /// The lane chart as a picture.
    Chart,
    /// The shopping list alone.
    Shopping,
    /// The temperature log.
    Log,
}

impl Printed {
    /// All of them, in the order in which they are listed.
    pub const ALL: [Self; 6] =
        [Self::Page, Self::Text, Self::Calendar, Self::Chart, Self::Shopping, Self::Log];

    /// What it is, in a sentence without its full stop.
    #[must_use]
    pub const fn what(self) -> &'static str {
        match self {
            Self::Page => {
                "All of it as one page, for a browser and the printer: what to buy, knife work, trays, chart, \
                 run sheet, serving dishes, cards, labels, guidance"
            }
            Self::Text => {
                "As text, all of it or some: shopping, mise, trays, chart, run-sheet, serving-dishes, cards, labels, \
                 guidance"
            }
            Self::Calendar => "The day and its alarms for a calendar",
            Self::Chart => "The lane chart as a picture",
            Self::Shopping => "The shopping list alone, for the phone or the printer",
            Self::Log => "The temperature log, afterwards",
        }
    }

    /// The words after `potwatch` that print it into a file; PARTY stands for the party's file.
    #[must_use]
    pub const fn command(self) -> &'static str {
        match self {
            Self::Page => "sheets PARTY --format html --out evening.html",
            Self::Text => "sheets PARTY --sheet run-sheet --sheet trays",
            Self::Calendar => "sheets PARTY --format ics --out evening.ics",
            Self::Chart => "sheets PARTY --format svg --out chart.svg",
            Self::Shopping => "shopping PARTY --format html --out shopping.html",
            Self::Log => "log PARTY --format html --out log.html",
        }
    }

    /// What its file is called after the party's id.
    #[must_use]
    pub const fn file(self) -> (&'static str, &'static str) {
        match self {
            Self::Page => ("evening", "html"),
            Self::Text => ("evening", "txt"),
            Self::Calendar => ("evening", "ics"),
            Self::Chart => ("chart", "svg"),
            Self::Shopping => ("shopping", "html"),
            Self::Log => ("log", "html"),
        }
    }

    /// The whole of it as the evening stands, or why there is nothing to print yet.
    ///
    /// # Errors
    /// One sentence: there is no plan yet, or nothing was marked.
    pub fn text(self, state: &State, now_ms: i64) -> Result<String, &'static str> {
        let (evening, ticked) = (state.evening(), &state.facts().ticked);
        let dropped: Vec<usize> = state.facts().dropped.keys().copied().collect();
        match self {
            Self::Log if state.facts().progress.is_empty() => {
                return Err("Nothing was cooked yet: the log begins with the first mark.");
            }
            Self::Log => return Ok(food_log(state, now_ms).print(food_log::Format::Html)),
            Self::Shopping => {
                let list = shopping::list_without(evening, &dropped);
                return Ok(shopping::print::html(&list, ticked));
            }
            Self::Page | Self::Text | Self::Calendar | Self::Chart => {}
        }
        let plan = state.plan().ok_or("There is no plan yet.")?;
        let laying = servingware::lay(evening, Some(plan), &dropped);
        let make = Make { evening, plan, laying: &laying, dropped: &dropped, ticked };
        let (title, lead, foot) = (make.title(), make.lead(), make.foot());
        Ok(match self {
            Self::Chart => chart::whole(evening, plan),
            Self::Calendar => {
                let thaws = calendar::thawing(evening, plan, &dropped);
                calendar::write(&calendar::calendar(evening, plan, &thaws))
            }
            Self::Text => paper::all(&title, &lead, &sheets::sheets(make), &foot),
            _ => paper::page(&title, &lead, &sheets::sheets(make), &foot),
        })
    }
}

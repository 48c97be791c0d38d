//! The sheets of an evening.

mod lists;
#[cfg(test)]
mod tests;

use std::collections::BTreeSet;

use crate::kitchen::{Evening, Sheet, Step, borrowed};
use crate::mise::card::{self, FROM_THE_WORDS};
use crate::mise::servingware::{self, Laying, WASHING_MINUTES, clash_lines};
use crate::mise::wording::some;
use crate::mise::{chart, day_words};
use crate::paper::{Head, Paper, Part, TICKED, Table, list};
use crate::plan::text::{What, moments, quality};
use crate::plan::{Plan, StepKey};
use crate::safety::{Profile, caution};

/// What the sheets are made of.
#[derive(Debug, Clone, Copy)]
pub struct Make<'a> {
    /// The evening.
    pub evening: &'a Evening,
    /// Its plan.
    pub plan: &'a Plan,
    /// Which dish goes into what.
    pub laying: &'a Laying,
    /// Dishes that are not made.
    pub dropped: &'a [usize],
    /// What is ticked off its lists: `buy/onion`.
    pub ticked: &'a BTreeSet<String>,
}

/// All sheets, in the order in which they are wanted.
#[must_use]
pub fn sheets(make: Make) -> Vec<Paper> {
    vec![
        lists::shopping_sheet(make),
        lists::mise_sheet(make),
        lists::trays_sheet(make),
        chart_sheet(make),
        run_sheet(make),
        serving_dishes(make),
        lay_in_cards(make),
        labels(make),
        guidance(make),
    ]
}

impl Make<'_> {
    /// What heads them all: the party and its day.
    #[must_use]
    pub fn title(&self) -> String {
        let party = &self.evening.party;
        format!("{}, {}", party.title, party.day.format("%A %-d %B %Y"))
    }

    /// When what is served, for how many, and how good the plan is.
    #[must_use]
    pub fn lead(&self) -> Vec<String> {
        let party = &self.evening.party;
        let mut lines: Vec<String> = Vec::new();
        for line in &self.plan.services {
            let title = party.services.get(line.service).map_or("", |s| s.title.as_str());
            let names = line.dishes.iter().filter_map(|d| self.evening.sheets.get(d.0));
            let names: Vec<String> = names.map(Sheet::short).collect();
            lines.push(format!("{} {title}: {}.", self.evening.face.label(line.due), list(&names)));
        }
        let guests: u32 = party.guests.iter().map(|g| g.count).sum();
        if guests > 0 {
            lines.push(format!("{}.", some(guests, "guest")));
        }
        lines.push(quality(self.plan.proof));
        lines
    }

    /// What ends them all.
    #[must_use]
    pub fn foot(&self) -> Vec<String> {
        vec![
            caution::SHORT.to_owned(),
            "Made from the plan as it stood; what happens on the evening counts.".to_owned(),
        ]
    }

    /// The box before a line of a list: ticked, or to be ticked.
    fn tick(&self, line: &str) -> String {
        if self.ticked.contains(line) { TICKED.to_owned() } else { String::new() }
    }

    fn at(&self, minute: crate::kitchen::Minute) -> String {
        format!("{}{}", day_words(self.evening, minute), self.evening.face.label(minute))
    }
}

fn chart_sheet(make: Make) -> Paper {
    let mut parts = vec![Part::Pictures(chart::pictures(make.evening, make.plan))];
    parts.push(Part::List(chart::legend(make.evening, make.plan)));
    parts.push(Part::Words("The run sheet says the same in words.".to_owned()));
    Paper { id: "chart", title: "Chart", parts }
}

/// Everything by the clock, with a box to tick.
fn run_sheet(make: Make) -> Paper {
    let rows = moments(make.evening, make.plan).into_iter().map(|moment| {
        let (more, sentence) = match moment.what {
            What::Begin(key) => (until(make, key), sentence(make, key)),
            _ => (String::new(), String::new()),
        };
        let letter = match moment.what {
            What::Dial(_) | What::Serve(_) => String::new(),
            _ => moment.letter.to_string(),
        };
        let words = if sentence.is_empty() {
            moment.words
        } else {
            format!("{}. {sentence}", moment.words)
        };
        vec![String::new(), make.at(moment.at), letter, words, more]
    });
    let heads = vec![
        Head::TICK,
        Head::tight("time"),
        Head::tight("dish"),
        Head::wide("what"),
        Head::wide("hands"),
    ];
    let parts = vec![Part::Table(Table::of("What is done when", heads, rows))];
    Paper { id: "run-sheet", title: "Run sheet", parts }
}

fn block<'a>(make: Make<'a>, key: StepKey) -> Option<&'a crate::plan::Block> {
    make.plan.blocks.iter().find(|b| b.key == key)
}

/// What the hands have to do with it: "all", "2 min, then 10 %, 1 min at 17:40".
fn until(make: Make, key: StepKey) -> String {
    let Some(b) = block(make, key).filter(|b| b.cook.is_some()) else { return String::new() };
    if b.hands_between >= 100 {
        return format!("to {}", make.evening.face.label(b.end));
    }
    let mut parts = Vec::new();
    if b.hands_start > 0 {
        parts.push(format!("{} min", b.hands_start));
    }
    if b.hands_between > 0 {
        parts.push(format!("{} %", b.hands_between));
    }
    if b.hands_end > 0 {
        parts.push(format!(
            "{} min at {}",
            b.hands_end,
            make.evening.face.label(b.end - b.hands_end)
        ));
    }
    parts.join(", ")
}

/// The step's own words, and a mark if nobody has confirmed them.
fn sentence(make: Make, key: StepKey) -> String {
    let sheet = make.evening.sheets.get(key.dish);
    let step = sheet.and_then(|s| s.recipe.steps.get(key.step)).filter(|_| key.load == 0);
    step.map_or_else(String::new, Step::sentence)
}

fn serving_dishes(make: Make) -> Paper {
    let evening = make.evening;
    let rows = servingware::rows(evening, make.laying).into_iter().map(|row| {
        let sheet = evening.sheets.get(row.dish);
        let name = sheet.map_or_else(String::new, |s| format!("{} {}", s.letter, s.short()));
        vec![
            String::new(),
            make.at(row.from),
            name,
            row.into.unwrap_or_else(|| "NOTHING FITS".to_owned()),
            row.fill,
            row.notes.join("; "),
        ]
    });
    let heads = vec![
        Head::TICK,
        Head::tight("from"),
        Head::wide("dish"),
        Head::wide("goes into"),
        Head::wide("fill"),
        Head::wide("note"),
    ];
    let mut parts: Vec<Part> =
        clash_lines(evening, make.laying).into_iter().map(Part::Caution).collect();
    let borrow = borrowed::lines(&evening.kitchen, &evening.party.borrowed);
    if !borrow.is_empty() {
        parts.push(Part::Words(format!("To borrow: {}.", borrow.join("; "))));
    }
    parts.push(Part::Table(Table::of("Which dish is served in what", heads, rows)));
    parts.push(Part::Words(format!(
        "Each is taken out ten minutes before its food is served and stays on the table until it is \
         cleared; between two foods it is washed, {WASHING_MINUTES} min. Sizes are usable ones."
    )));
    Paper { id: "serving-dishes", title: "Serving dishes", parts }
}

fn lay_in_cards(make: Make) -> Paper {
    let cards = card::to_lay_in(make.evening, Some(make.plan), make.laying);
    let parts = vec![
        Part::Words("Lay each into its serving dish when the table is set.".to_owned()),
        Part::Caution(FROM_THE_WORDS.to_owned()),
        Part::Cards(cards),
    ];
    Paper { id: "cards", title: "Cards for the serving dishes", parts }
}

fn labels(make: Make) -> Paper {
    let parts = vec![
        Part::Words(
            "For boxes in the fridge: what is made ahead, and what is left over. Times are by the \
             plan; write in your own where they differ."
                .to_owned(),
        ),
        Part::Caution(FROM_THE_WORDS.to_owned()),
        Part::Cards(card::labels(make.evening, make.plan, make.dropped)),
    ];
    Paper { id: "labels", title: "Labels", parts }
}

/// The guidance that the figures come from.
fn guidance(make: Make) -> Paper {
    let profile = Profile::by_id(&make.evening.party.guidance);
    let mut parts: Vec<Part> = Vec::new();
    if let Some(profile) = profile {
        parts.extend(caution::lines(profile).into_iter().map(Part::Caution));
        parts.push(Part::Heading("Figures and their sources".to_owned()));
        parts.push(Part::List(caution::sources(profile)));
    }
    Paper { id: "guidance", title: "Keeping food hot and cold", parts }
}

//! What each question says, and the rows to choose from.

use super::changes;
use super::food::{self, early_rows};
use super::{Ask, Kind, dish_words};
use crate::kitchen::units::Degrees;
use crate::run::event::{Answer, Clearing};
use crate::run::{Event, Phase};
use crate::screen::chart::kind_word;
use crate::screen::{Scene, marks, text};

/// A row to choose from.
#[derive(Debug, Clone, PartialEq)]
pub struct Choice {
    /// The key that takes it at once; none: with the arrows and Enter.
    pub key: Option<char>,
    /// What it says.
    pub words: String,
    /// What it does.
    pub then: Then,
    /// Throws food or a station away, or leaves something out: Enter does not take it.
    pub grave: bool,
}

/// What a choice does.
#[derive(Debug, Clone, PartialEq)]
pub enum Then {
    /// Appends an event.
    Mark(Event),
    /// Appends several, one after the other.
    Marks(Vec<Event>),
    /// Nothing: the question is closed.
    Nothing,
}

/// Minutes by which a service may be moved at one press.
const MOVES: [i32; 9] = [5, 10, 15, 20, 30, 60, -5, -10, -15];

impl Ask {
    /// The heading.
    #[must_use]
    pub fn title(&self, scene: &Scene) -> String {
        let step = |key: &crate::plan::StepKey| {
            let sheet = scene.evening.sheets.get(key.dish);
            let label = sheet.and_then(|s| s.recipe.steps.get(key.step)).map_or("", |s| &s.label);
            format!("{} {}", sheet.map_or(String::new(), crate::kitchen::Sheet::short), label)
        };
        match &self.kind {
            Kind::More(key) => format!("More minutes, from now: {}", step(key)),
            Kind::Earlier(_, label) => format!("It was so many minutes ago: {label}"),
            Kind::Skip(key) => format!("Leave this out? {}", step(key)),
            Kind::Temperature(_) => "Temperature taken".to_owned(),
            Kind::PartTemperature(dish, part) => {
                format!("Temperature taken: {}, part {part}", dish_words(scene, *dish))
            }
            Kind::Place(_) => "Where does it wait?".to_owned(),
            Kind::OnTable => "On the table now".to_owned(),
            Kind::Clearing(_) => "What became of it?".to_owned(),
            Kind::Service(_) => "Move a service".to_owned(),
            Kind::Stations => "Out of order, or back".to_owned(),
            Kind::Dishes => "Drop a dish, or bring one back".to_owned(),
            Kind::Servings(_) => "Make it for how many?".to_owned(),
            Kind::Shelf => "A dish more, from the shelf".to_owned(),
            Kind::OtherService(_) => "With which service?".to_owned(),
            Kind::Items(_) => "Other items".to_owned(),
            Kind::Openings(_) => "What would open a dish to them".to_owned(),
            Kind::Dial(_) => "The dial was set to".to_owned(),
            Kind::Portion(_) => "A part of it".to_owned(),
            Kind::OutEarly => "Out of the fridge before its step".to_owned(),
            Kind::Air => "How warm is the room, or the garden?".to_owned(),
            Kind::Guidance => "Go by which guidance?".to_owned(),
            Kind::Answer { .. } => "Past its safety limit: what was done?".to_owned(),
            Kind::Finish => "End the evening?".to_owned(),
        }
    }

    /// What Left and Right go through: the dish, service or station asked about.
    #[must_use]
    pub fn subject(&self, scene: &Scene) -> String {
        match &self.kind {
            Kind::Temperature(dish)
            | Kind::Place(dish)
            | Kind::Clearing(dish)
            | Kind::Portion(dish)
            | Kind::OtherService(dish)
            | Kind::Items(dish)
            | Kind::Servings(dish) => dish_words(scene, *dish),
            Kind::Openings(guest) => {
                let guest = scene.evening.party.guests.get(*guest);
                guest.map_or_else(String::new, |g| text::tame(&g.name))
            }
            Kind::Service(service) => {
                let title = scene.evening.party.services.get(*service).map_or("", |s| &s.title);
                format!("{}, now {}", title, scene.evening.face.label(due(scene, *service)))
            }
            Kind::Dial(station) => {
                let stations = &scene.evening.kitchen.stations;
                stations.get(*station).map_or(String::new(), |s| s.title.clone())
            }
            Kind::Answer { all, at } => asked_about(scene, all, *at),
            _ => String::new(),
        }
    }

    /// How many there are to go through with Left and Right.
    #[must_use]
    pub fn subjects(&self, scene: &Scene) -> usize {
        match &self.kind {
            Kind::Temperature(_)
            | Kind::Place(_)
            | Kind::Servings(_)
            | Kind::OtherService(_)
            | Kind::Items(_) => scene.evening.sheets.len(),
            Kind::Openings(_) => scene.evening.party.guests.len(),
            Kind::Clearing(_) => scene.view.holding.len(),
            Kind::Portion(_) => food::divisibles(scene).len(),
            Kind::Service(_) => scene.evening.party.services.len(),
            Kind::Dial(_) => marks::dials(scene).len(),
            Kind::Answer { all, .. } if all.len() > 1 => all.len() + 1,
            _ => 0,
        }
    }

    /// The words behind a number.
    #[must_use]
    pub fn unit(&self, scene: &Scene) -> &'static str {
        match (&self.kind, self.unit.unwrap_or(scene.evening.customs.degrees)) {
            (Kind::Dial(_), _) => scene.evening.customs.dial_words(),
            (Kind::Temperature(_) | Kind::PartTemperature(..) | Kind::Air, Degrees::Celsius) => {
                "degrees Celsius"
            }
            (Kind::Temperature(_) | Kind::PartTemperature(..) | Kind::Air, Degrees::Fahrenheit) => {
                "degrees Fahrenheit"
            }
            (Kind::Servings(_), _) => "servings",
            (Kind::Earlier(..), _) => "minutes ago",
            _ => "minutes",
        }
    }

    /// Is every row one that Enter does not take?
    #[must_use]
    pub fn grave_only(&self) -> bool {
        matches!(self.kind, Kind::Answer { .. })
    }

    /// The rows.
    #[must_use]
    pub fn choices(&self, scene: &Scene) -> Vec<Choice> {
        match &self.kind {
            Kind::Skip(key) => {
                let event = marks::step_id(scene, *key).map(|id| Event::Skipped { id });
                yes_or_no(event, "yes, leave it out", "no")
            }
            Kind::Finish => yes_or_no(Some(Event::Finished), "yes, that was it", "no"),
            Kind::OnTable => on_table(scene),
            Kind::Dishes => dishes(scene),
            Kind::Shelf => changes::shelf(scene),
            Kind::OtherService(dish) => changes::services(scene, *dish),
            Kind::Items(dish) => changes::items(scene, *dish),
            Kind::Openings(guest) => changes::openings(scene, *guest),
            Kind::Stations => stations(scene),
            Kind::Place(dish) => places(scene, *dish),
            Kind::Clearing(dish) => clearings(scene, *dish),
            Kind::Service(service) => moves(scene, *service),
            Kind::Answer { all, at } => answers(all, *at),
            Kind::Portion(dish) => food::portion_rows(scene, *dish),
            Kind::OutEarly => early_rows(scene),
            Kind::Guidance => food::guidance_rows(scene),
            Kind::More(_)
            | Kind::Earlier(..)
            | Kind::Temperature(_)
            | Kind::PartTemperature(..)
            | Kind::Air
            | Kind::Servings(_)
            | Kind::Dial(_) => Vec::new(),
        }
    }
}

/// When a service is due by the plan on the screen, else by the party.
pub(super) fn due(scene: &Scene, service: usize) -> i32 {
    let line = scene.plan.services.iter().find(|l| l.service == service);
    line.map_or_else(|| scene.evening.service_minute(service), |l| l.due)
}

pub(super) fn mark(key: Option<char>, words: String, event: Event, grave: bool) -> Choice {
    Choice { key, words, then: Then::Mark(event), grave }
}

fn yes_or_no(event: Option<Event>, yes: &str, no: &str) -> Vec<Choice> {
    let no = Choice { key: Some('n'), words: no.to_owned(), then: Then::Nothing, grave: false };
    let yes = event.map(|e| mark(Some('y'), yes.to_owned(), e, true));
    [Some(no), yes].into_iter().flatten().collect()
}

pub(super) fn digit(index: usize) -> Option<char> {
    char::from_digit(u32::try_from(index + 1).ok()?, 10)
}

fn letter(scene: &Scene, dish: usize) -> Option<char> {
    let letter = scene.evening.sheets.get(dish)?.letter;
    letter.to_lowercase().next()
}

fn on_table(scene: &Scene) -> Vec<Choice> {
    let dishes = marks::unserved(scene).into_iter();
    dishes
        .filter_map(|d| {
            let dish = scene.evening.sheets.get(d)?.id.clone();
            Some(mark(letter(scene, d), dish_words(scene, d), Event::Served { dish }, false))
        })
        .collect()
}

fn dishes(scene: &Scene) -> Vec<Choice> {
    let sheets = scene.evening.sheets.iter().enumerate();
    sheets
        .map(|(d, sheet)| {
            let dish = sheet.id.clone();
            let words = dish_words(scene, d);
            if scene.view.dropped.contains(&d) {
                mark(
                    letter(scene, d),
                    format!("{words}: bring it back"),
                    Event::DishBack { dish },
                    false,
                )
            } else {
                mark(
                    letter(scene, d),
                    format!("{words}: drop it"),
                    Event::DishDropped { dish },
                    true,
                )
            }
        })
        .collect()
}

fn stations(scene: &Scene) -> Vec<Choice> {
    let stations = scene.evening.kitchen.stations.iter().enumerate();
    stations
        .map(|(i, s)| {
            let station = s.id.clone();
            let title = text::tame(&s.title);
            if scene.view.down.contains(&s.id) {
                mark(digit(i), format!("{title}: works again"), Event::StationUp { station }, false)
            } else {
                mark(
                    digit(i),
                    format!("{title}: out of order"),
                    Event::StationDown { station },
                    true,
                )
            }
        })
        .collect()
}

fn places(scene: &Scene, dish: usize) -> Vec<Choice> {
    let Some(sheet) = scene.evening.sheets.get(dish) else { return Vec::new() };
    let title = |id: &Option<String>| {
        let station = id.as_ref().and_then(|id| scene.evening.station(id));
        station.map(|s| text::tame(&s.title))
    };
    marks::places(scene, dish)
        .into_iter()
        .enumerate()
        .map(|(i, (hold, place, station))| {
            let mut words = title(&station).unwrap_or_else(|| kind_word(place).to_owned());
            match hold.and_then(|h| sheet.recipe.holds.get(h)) {
                Some(h) => {
                    if let Some(c) = h.at_c {
                        let heat = scene.evening.customs.oven(c);
                        words = format!("{words} at {heat}");
                    }
                    words = format!("{words}: at its best for {} min", h.free_minutes);
                }
                None => words.push_str(" (not one of its recipe)"),
            }
            let event = Event::HeldAt { dish: sheet.id.clone(), hold, place, station };
            mark(digit(i), words, event, false)
        })
        .collect()
}

fn clearings(scene: &Scene, dish: usize) -> Vec<Choice> {
    let Some(sheet) = scene.evening.sheets.get(dish) else { return Vec::new() };
    let rows = [
        ("nothing is left", Clearing::Eaten, false),
        ("put away, into the fridge", Clearing::PutAway, false),
        ("thrown out", Clearing::ThrownOut, true),
    ];
    rows.into_iter()
        .enumerate()
        .map(|(i, (words, how, grave))| {
            let event = Event::Cleared { dish: sheet.id.clone(), how };
            mark(digit(i), words.to_owned(), event, grave)
        })
        .collect()
}

/// Times to move a service to: none that has passed. One that is past itself is moved from now on.
fn moves(scene: &Scene, service: usize) -> Vec<Choice> {
    let Some(line) = scene.evening.party.services.get(service) else { return Vec::new() };
    let (due, now) = (due(scene, service), scene.view.now);
    let from = if due > now { due } else { now.saturating_add(4).div_euclid(5) * 5 };
    MOVES
        .into_iter()
        .map(|by| from.saturating_add(by))
        .filter(|to| *to > now)
        .enumerate()
        .map(|(i, to)| {
            let word = if to > due { "later" } else { "earlier" };
            let by = to.saturating_sub(due).abs();
            let words = format!("{by} min {word}: {}", scene.evening.face.label(to));
            mark(digit(i), words, Event::ServiceMoved { service: line.id.clone(), to }, false)
        })
        .collect()
}

/// "1 of 3: DIP past its safe limit", or all of them.
fn asked_about(scene: &Scene, all: &[String], at: Option<usize>) -> String {
    let title = |key: &String| {
        let alarm = scene.view.alarms.iter().find(|a| a.key == *key);
        alarm.map_or_else(String::new, |a| text::tame(&a.title))
    };
    match at.and_then(|at| Some((at, all.get(at)?))) {
        Some((at, key)) => format!("{} of {}: {}", at + 1, all.len(), title(key)),
        None => {
            let titles: Vec<String> = all.iter().map(title).collect();
            format!("all {}: {}", all.len(), titles.join(", "))
        }
    }
}

fn answers(all: &[String], at: Option<usize>) -> Vec<Choice> {
    let of = match at {
        Some(at) => all.get(at..=at).unwrap_or_default(),
        None => all,
    };
    let words = match of {
        [one] => of_one(one),
        _ => [
            "all of them thrown out",
            "all of them kept, knowing that",
            "the marks or readings were wrong, of all of them",
        ],
    };
    let how = [Answer::Discarded, Answer::KeptKnowingly, Answer::WasNeverOut];
    let rows = words.into_iter().zip(how).enumerate();
    rows.map(|(i, (words, how))| {
        let event = |alarm: &String| Event::AlarmAnswered { alarm: alarm.clone(), how };
        let then = Then::Marks(of.iter().map(event).collect());
        Choice { key: digit(i), words: words.to_owned(), then, grave: true }
    })
    .collect()
}

fn of_one(alarm: &str) -> [&'static str; 3] {
    let (kept, wrong) = match alarm.split(':').next() {
        Some("undercooked") => ("heated through since, or kept knowingly", "the reading was wrong"),
        Some("cooling_missed") => {
            ("kept, knowing that it cooled too slowly", "the reading was wrong")
        }
        _ => ("kept, knowing that it is past the limit", "it was never out: the marks were wrong"),
    };
    ["thrown out", kept, wrong]
}

/// Is the load one that a question about running loads still makes sense for?
#[must_use]
pub fn still_open(scene: &Scene, kind: &Kind) -> bool {
    match kind {
        Kind::More(key) => {
            matches!(marks::phase(scene, *key), Phase::Running | Phase::Over | Phase::Overdone)
        }
        Kind::Skip(key) => !matches!(marks::phase(scene, *key), Phase::Done | Phase::Skipped),
        _ => true,
    }
}

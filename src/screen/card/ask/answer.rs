//! Keys while a question is open.

use ratatui::crossterm::event::KeyCode;

use super::rows::{Then, still_open};
use super::{Ask, Kind};
use crate::kitchen::units::Degrees;
use crate::run::{Event, PortionDid};
use crate::safety::{Doubt, Expect, Probe};
use crate::screen::card::Card;
use crate::screen::ui::Ui;
use crate::screen::{Intent, Scene, marks};

/// The most minutes that can be asked for at once.
const MOST_MINUTES: u32 = 240;
/// The most letters of a number.
const MOST_TYPED: usize = 6;

/// A key while a question is open.
pub fn press(ui: &mut Ui, code: KeyCode, mut ask: Ask, scene: &Scene) -> Vec<Intent> {
    if !still_open(scene, &ask.kind) {
        ui.say = Some("That is done already.".to_owned());
        return Vec::new();
    }
    let rows = ask.choices(scene);
    match code {
        KeyCode::Left | KeyCode::Right if ask.turns() => {
            turn(&mut ask, scene, code == KeyCode::Right);
        }
        KeyCode::Up | KeyCode::Down | KeyCode::PageUp | KeyCode::PageDown if ask.asks_minutes() => {
            let by = if matches!(code, KeyCode::PageUp | KeyCode::PageDown) { 10 } else { 1 };
            let up = matches!(code, KeyCode::Up | KeyCode::PageUp);
            let to = if up { ask.minutes + by } else { ask.minutes.saturating_sub(by) };
            ask.minutes = to.clamp(1, MOST_MINUTES);
        }
        KeyCode::Up => ask.row = ask.row.saturating_sub(1),
        KeyCode::Down => ask.row = (ask.row + 1).min(rows.len().saturating_sub(1)),
        KeyCode::Backspace => {
            ask.typed.pop();
            ask.doubted = None;
        }
        KeyCode::Enter => return enter(ui, ask, scene),
        KeyCode::Char(c) => return letter(ui, c, ask, scene),
        _ => {}
    }
    ui.card = Some(Card::Ask(ask));
    Vec::new()
}

/// Takes a row by the pointer, whatever it does.
pub fn choose(ui: &mut Ui, ask: &Ask, row: usize, scene: &Scene) -> Vec<Intent> {
    let rows = ask.choices(scene);
    let Some(choice) = rows.get(row) else {
        ui.card = Some(Card::Ask(ask.clone()));
        return Vec::new();
    };
    if choice.grave && ask.row != row {
        // The first press on something grave chooses it, the second takes it.
        ui.card = Some(Card::Ask(Ask { row, ..ask.clone() }));
        return Vec::new();
    }
    take(&choice.then)
}

fn take(then: &Then) -> Vec<Intent> {
    match then {
        Then::Mark(event) => vec![Intent::Mark(event.clone())],
        Then::Marks(events) => events.iter().cloned().map(Intent::Mark).collect(),
        Then::Nothing => Vec::new(),
    }
}

fn enter(ui: &mut Ui, ask: Ask, scene: &Scene) -> Vec<Intent> {
    if ask.asks_minutes() {
        return minutes(&ask, ask.minutes, scene);
    }
    if ask.number() {
        if ask.heat() {
            return temperature(ui, ask, scene);
        }
        return match number(&ask, scene) {
            Ok(event) => vec![Intent::Mark(event)],
            Err(wrong) => {
                ui.say = Some(wrong);
                ui.card = Some(Card::Ask(ask));
                Vec::new()
            }
        };
    }
    let rows = ask.choices(scene);
    match rows.get(ask.row) {
        Some(choice) if choice.grave => {
            let key = choice.key.map_or("its key".to_owned(), |k| format!("the key {k}"));
            ui.say = Some(format!("Enter does not do that; press {key}."));
            ui.card = Some(Card::Ask(ask));
            Vec::new()
        }
        Some(choice) => take(&choice.then),
        // With nothing to take it stays: another dish may have something.
        None => {
            ui.card = Some(Card::Ask(ask));
            Vec::new()
        }
    }
}

fn letter(ui: &mut Ui, c: char, mut ask: Ask, scene: &Scene) -> Vec<Intent> {
    if ask.asks_minutes()
        && let Some(digit) = c.to_digit(10)
    {
        return minutes(&ask, if digit == 0 { 10 } else { digit }, scene);
    }
    if ask.number() && (c.is_ascii_digit() || c == '.' || c == ',' || c == '-') {
        ask.doubted = None;
        if ask.typed.len() < MOST_TYPED {
            ask.typed.push(if c == ',' { '.' } else { c });
        }
        ui.card = Some(Card::Ask(ask));
        return Vec::new();
    }
    if ask.heat() && !ask.typed.is_empty() {
        // After a number a letter is its unit.
        ask.unit = match c {
            'c' | 'C' => Some(Degrees::Celsius),
            'f' | 'F' => Some(Degrees::Fahrenheit),
            _ => ask.unit,
        };
        ask.doubted = None;
        ui.card = Some(Card::Ask(ask));
        return Vec::new();
    }
    let rows = ask.choices(scene);
    if let Some(choice) = rows.iter().find(|r| r.key == Some(c)) {
        return take(&choice.then);
    }
    // A dish's letter asks about that dish.
    let lower = |l: char| l.to_lowercase().next().unwrap_or(l);
    let other = scene.evening.sheets.iter().position(|s| lower(s.letter) == c);
    if let Some(to) = other
        && let Kind::Temperature(dish)
        | Kind::Place(dish)
        | Kind::Clearing(dish)
        | Kind::Portion(dish)
        | Kind::Servings(dish) = &mut ask.kind
    {
        *dish = to;
    }
    ui.card = Some(Card::Ask(ask));
    Vec::new()
}

fn minutes(ask: &Ask, minutes: u32, scene: &Scene) -> Vec<Intent> {
    let event = match &ask.kind {
        Kind::More(key) => marks::step_id(scene, *key).map(|id| Event::NeedsMore { id, minutes }),
        Kind::Earlier(event, _) => Some(marks::earlier(event.clone(), minutes)),
        _ => None,
    };
    event.map_or_else(Vec::new, |e| vec![Intent::Mark(e)])
}

fn turn(ask: &mut Ask, scene: &Scene, forward: bool) {
    let step = |at: usize, count: usize| {
        let count = count.max(1);
        if forward { (at + 1) % count } else { (at + count - 1) % count }
    };
    let dishes = scene.evening.sheets.len();
    match &mut ask.kind {
        Kind::Temperature(d)
        | Kind::Place(d)
        | Kind::Servings(d)
        | Kind::OtherService(d)
        | Kind::Items(d) => *d = step(*d, dishes),
        Kind::Openings(g) => *g = step(*g, scene.evening.party.guests.len()),
        Kind::Clearing(d) => {
            let waiting: Vec<usize> = scene.view.holding.iter().map(|h| h.dish).collect();
            let at = waiting.iter().position(|w| w == d).unwrap_or(0);
            if let Some(&to) = waiting.get(step(at, waiting.len())) {
                *d = to;
            }
        }
        Kind::Portion(d) => {
            let there = super::food::divisibles(scene);
            let at = there.iter().position(|w| w == d).unwrap_or(0);
            if let Some(&to) = there.get(step(at, there.len())) {
                *d = to;
            }
        }
        Kind::Service(s) => *s = step(*s, scene.evening.party.services.len()),
        // All of them come before the first.
        Kind::Answer { all, at } => {
            *at = step(at.map_or(0, |at| at + 1), all.len() + 1).checked_sub(1);
        }
        Kind::Dial(station) => {
            let dials = marks::dials(scene);
            let at = dials.iter().position(|d| d == station).unwrap_or(0);
            if let Some(&to) = dials.get(step(at, dials.len())) {
                *station = to;
            }
        }
        _ => {}
    }
    ask.row = 0;
}

/// A temperature that was typed: taken, or asked back once if it is doubtful,
/// and again as long as it cannot be.
fn temperature(ui: &mut Ui, mut ask: Ask, scene: &Scene) -> Vec<Intent> {
    let unit = ask.unit.unwrap_or(scene.evening.customs.degrees);
    let (expect, event): (Expect, Box<dyn Fn(f64) -> Event>) = match &ask.kind {
        Kind::Temperature(dish) => {
            let id = scene.evening.sheets.get(*dish).map(|s| s.id.clone()).unwrap_or_default();
            let expect = scene.view.expect.get(*dish).copied().unwrap_or(Expect::Food);
            (expect, Box::new(move |celsius| Event::Temperature { dish: id.clone(), celsius }))
        }
        Kind::PartTemperature(dish, part) => {
            let id = scene.evening.sheets.get(*dish).map(|s| s.id.clone()).unwrap_or_default();
            let part = *part;
            let event = move |celsius| Event::Portion {
                dish: id.clone(),
                part,
                did: PortionDid::Temperature { celsius },
            };
            (Expect::Food, Box::new(event))
        }
        _ => (Expect::Air, Box::new(|celsius| Event::AirMeasured { celsius })),
    };
    let sure = ask.doubted;
    let taken = match (ask.typed.parse::<f64>(), sure) {
        (Err(_), _) => Err(("Type a number first.".to_owned(), None)),
        (Ok(value), Some(doubted)) if doubted.typed == value && doubted.unit == unit => {
            Probe::confirm(value, unit, expect).map_err(|again| (again.message, None))
        }
        // A unit that was typed is meant, as long as that can be.
        (Ok(value), _) => Probe::take(value, unit, expect).or_else(|again| {
            let meant = ask.unit.is_some() && again.doubt == Doubt::OtherUnit;
            match Probe::confirm(value, unit, expect) {
                Ok(probe) if meant => Ok(probe),
                Ok(probe) if again.can_confirm => {
                    let words = "Enter takes it as it is; c or f changes the unit.";
                    Err((format!("{} {words}", again.message), Some(probe)))
                }
                _ => Err((again.message, None)),
            }
        }),
    };
    match taken {
        Ok(probe) if sure.is_some() || ask.unit.is_some() => {
            vec![Intent::Confirmed(event(probe.celsius))]
        }
        Ok(probe) => vec![Intent::Mark(event(probe.celsius))],
        Err((words, doubted)) => {
            ui.say = Some(words);
            ask.doubted = doubted;
            ui.card = Some(Card::Ask(ask));
            Vec::new()
        }
    }
}

/// The event of a typed number, or what is wrong with it.
fn number(ask: &Ask, scene: &Scene) -> Result<Event, String> {
    let typed: f64 = ask.typed.parse().map_err(|_| "Type a number first.".to_owned())?;
    let show = |c: i32| scene.evening.customs.oven(c);
    let dish = |d: usize| scene.evening.sheets.get(d).map(|s| s.id.clone()).unwrap_or_default();
    match &ask.kind {
        Kind::Servings(d) if (1.0..=500.0).contains(&typed) && typed.fract() == 0.0 => {
            Ok(Event::ServingsChanged { dish: dish(*d), servings: typed as u32 })
        }
        Kind::Servings(_) => Err("A whole number from 1 to 500, please.".to_owned()),
        Kind::Dial(at) => {
            let station = scene.evening.kitchen.stations.get(*at);
            let dial = station.and_then(|s| Some((s.id.clone(), s.thermostat?)));
            let (station, dial) = dial.ok_or("That station has no dial.")?;
            let set = scene.evening.customs.oven_c(typed).round() as i32;
            if set < dial.least_c || set > dial.most_c {
                return Err(format!("Between {} and {}.", show(dial.least_c), show(dial.most_c)));
            }
            Ok(Event::OvenSet { station, celsius: set })
        }
        _ => Err("Type a number first.".to_owned()),
    }
}

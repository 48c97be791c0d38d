//! What to change next time: each a change of one value in a file of the cook's.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};
use serde_json::{Value, json};

use crate::kitchen::{Minute, Minutes, Sheet, StationKind};
use crate::learn::Guard;
use crate::run::event::Clearing;
use crate::run::report::Report;
use crate::run::state::{MINUTE_MS, Progress, Run, State, Whereabouts};
use crate::run::words;

/// Minutes by which a service must be late for the party to be given more room.
const LATE: Minute = 5;
/// The table: minutes beyond what was planned.
const TABLE_OVER: i64 = 10;
/// The room: °C beside what was planned.
const ROOM_OFF: f64 = 2.0;

/// Which file a change is in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum About {
    /// A recipe.
    Recipe,
    /// The kitchen.
    Kitchen,
    /// The party, as the next one is copied from it.
    Party,
}

impl About {
    /// Its word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Recipe => "recipe",
            Self::Kitchen => "kitchen",
            Self::Party => "party",
        }
    }
}

/// A change of one value.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Edit {
    /// Which kind of file.
    pub about: About,
    /// The id of what is in it.
    pub id: String,
    /// Where in it: a JSON Pointer (RFC 6901).
    pub at: String,
    /// What stands there.
    pub was: Value,
    /// What shall stand there; nothing (null): it is taken out.
    pub becomes: Value,
    /// What to do, in words.
    pub words: String,
    /// Why.
    pub why: String,
}

pub(super) fn next_time(state: &State, report: &Report, until_ms: i64) -> Vec<Edit> {
    let mut edits = Vec::new();
    recipes(state, &mut edits);
    servings(state, &mut edits);
    room(state, report, &mut edits);
    table(state, until_ms, &mut edits);
    air(state, &mut edits);
    broken(state, &mut edits);
    edits
}

/// Steps that took longer than the recipe's high or shorter than its low.
fn recipes(state: &State, edits: &mut Vec<Edit>) {
    for (key, progress) in &state.facts().progress {
        let Progress::Done(run, end_ms) = progress else { continue };
        if state.is_dropped(key.dish) || key.load > 0 {
            continue;
        }
        let Some(sheet) = state.sheet(key.dish) else { continue };
        edits.extend(of_step(state, sheet, key.step, run, *end_ms));
    }
}

fn of_step(state: &State, sheet: &Sheet, step: usize, run: &Run, end_ms: i64) -> Option<Edit> {
    let made = sheet.recipe.steps.get(step)?;
    // Steps that the program adds for the day before stand in no file.
    let at = sheet.written.steps.iter().position(|s| s.id == made.id)?;
    let of = sheet.written.steps.get(at)?;
    let written = of.ways.get(run.way)?.minutes;
    let took = (end_ms - run.start_ms) as f64 / MINUTE_MS as f64;
    let by_recipe = Sheet { recipe: sheet.written.clone(), ..sheet.clone() };
    let whole = f64::from(by_recipe.minutes(at, run.way));
    // As long as it would have taken for the recipe's own servings.
    let own = (took * f64::from(written.likely.max(1)) / whole.max(1.0)).round();
    if !(1.0..=10_000.0).contains(&own) || Guard::of(&sheet.written, of, run.way) == Guard::Stays {
        return None;
    }
    let own = own as u32;
    let longer = own > written.high && own >= written.likely + 2;
    let free = Guard::of(&sheet.written, of, run.way) == Guard::Free;
    let shorter = free && own < written.low && own + 2 <= written.likely;
    if !longer && !shorter {
        return None;
    }
    // One evening is one evening: half the way, and as far as it went at the edge.
    let likely = (written.likely + own).div_ceil(2);
    let new = Minutes {
        low: written.low.min(own).min(likely),
        likely,
        high: written.high.max(own).max(likely),
    };
    let (was, becomes) = (json!(written), json!(new));
    let name = words::dish(state, state.evening().dish_index(&sheet.id)?);
    let took = words::minutes(took.round() as i64);
    let for_how_many = match own == (took_minutes(end_ms, run)) {
        true => String::new(),
        false => format!(" for {} servings", sheet.servings),
    };
    Some(Edit {
        about: About::Recipe,
        id: sheet.written.id.clone(),
        at: format!("/steps/{at}/ways/{}/minutes", run.way),
        was,
        becomes,
        words: format!(
            "{}: {} takes {} min ({} to {}), not {}",
            sheet.written.title, of.label, new.likely, new.low, new.high, written.likely
        ),
        why: format!("The {name} took {took}{for_how_many} to {}.", of.label),
    })
}

fn took_minutes(end_ms: i64, run: &Run) -> u32 {
    u32::try_from((end_ms - run.start_ms + MINUTE_MS / 2) / MINUTE_MS).unwrap_or(0)
}

/// Dishes of which something was left.
fn servings(state: &State, edits: &mut Vec<Edit>) {
    // As the file has them: servings may have been changed meanwhile.
    let dishes = &state.party().party.dishes;
    for (at, dish) in dishes.iter().enumerate() {
        let Some(index) = state.evening().dish_index(&dish.id) else { continue };
        let left = match state.last_stay(index).map(|s| &s.at) {
            Some(Whereabouts::Gone(Clearing::PutAway)) => "put away",
            Some(Whereabouts::Gone(Clearing::ThrownOut)) => "thrown out",
            _ => continue,
        };
        let made = state.sheet(index).map_or(dish.servings, |s| s.servings);
        let fewer = made * 17 / 20;
        if fewer >= dish.servings || fewer == 0 || state.served_ms(index).is_none() {
            continue;
        }
        let name = words::dish(state, index);
        edits.push(Edit {
            about: About::Party,
            id: state.party().party.id.clone(),
            at: format!("/dishes/{at}/servings"),
            was: json!(dish.servings),
            becomes: json!(fewer),
            words: format!("Make the {name} for {fewer}, not for {}", dish.servings),
            why: format!("Some of it was left and {left}."),
        });
    }
}

/// Services that were late: more room for all of them.
fn room(state: &State, report: &Report, edits: &mut Vec<Edit>) {
    let party = &state.party().party;
    let late = report
        .services
        .iter()
        .filter_map(|s| {
            let late = s.served? - s.moved.unwrap_or(s.asked);
            (late >= LATE).then(|| format!("{} was {late} min late", words::capital(&s.title)))
        })
        .collect::<Vec<_>>();
    let more = match party.on_time_percent {
        ..=79 => 90,
        80..=94 => 95,
        95..=98 => 99,
        _ => return,
    };
    if late.is_empty() {
        return;
    }
    edits.push(Edit {
        about: About::Party,
        id: party.id.clone(),
        at: "/on_time_percent".to_owned(),
        was: json!(party.on_time_percent),
        becomes: json!(more),
        words: format!(
            "Plan so that each service is on time on {more} of a hundred evenings, not {}",
            party.on_time_percent
        ),
        why: format!("{}.", late.join("; ")),
    });
}

/// Dishes that stood on the table longer than was reckoned with.
fn table(state: &State, until_ms: i64, edits: &mut Vec<Edit>) {
    let party = &state.party().party;
    let stood = (0..state.evening().sheets.len()).filter_map(|dish| {
        let stays = state.facts().stays.get(&dish)?;
        let at = stays.iter().position(|s| s.at == Whereabouts::Table)?;
        let end_ms = stays.get(at + 1).map_or(until_ms, |s| s.at_ms);
        let over = state.facts().finished_ms.is_some() || at + 1 < stays.len();
        over.then_some(((end_ms - stays.get(at)?.at_ms) / MINUTE_MS, dish))
    });
    let Some((minutes, dish)) = stood.max() else { return };
    // Longer than a quarter of a day nobody sat there: it was not marked.
    if minutes < i64::from(party.table_minutes) + TABLE_OVER || minutes > 360 {
        return;
    }
    let new = (minutes + 4) / 5 * 5;
    edits.push(Edit {
        about: About::Party,
        id: party.id.clone(),
        at: "/table_minutes".to_owned(),
        was: json!(party.table_minutes),
        becomes: json!(new),
        words: format!("Reckon with {new} min on the table, not {}", party.table_minutes),
        why: format!(
            "The {} stood there {minutes} min; time on the table counts for its safety.",
            words::dish(state, dish)
        ),
    });
}

/// A room that was warmer or colder than was reckoned with.
fn air(state: &State, edits: &mut Vec<Edit>) {
    let party = &state.party().party;
    let warmest = state.facts().air.iter().map(|r| r.celsius).fold(f64::NAN, f64::max);
    if !warmest.is_finite() || (warmest - f64::from(party.room_c)).abs() < ROOM_OFF {
        return;
    }
    let customs = state.evening().customs;
    // Up: a room a little above where the hot day's shorter time begins is not called cooler.
    let warmest = (warmest - 1e-6).ceil();
    edits.push(Edit {
        about: About::Party,
        id: party.id.clone(),
        at: "/room_c".to_owned(),
        was: json!(party.room_c),
        becomes: json!(warmest as i32),
        words: format!(
            "Reckon with a room of {}, not {}",
            customs.heat(warmest),
            customs.heat(f64::from(party.room_c))
        ),
        why: "That was the warmest that you measured.".to_owned(),
    });
}

/// Stations that broke and did not come back.
fn broken(state: &State, edits: &mut Vec<Edit>) {
    let kitchen = &state.party().kitchen;
    // What was borrowed stands in no file of a kitchen.
    let own = state.party().own_kitchen().stations.len();
    for (at, station) in kitchen.stations.iter().enumerate().take(own).rev() {
        let only =
            |kind: StationKind| kitchen.stations.iter().filter(|s| s.kind == kind).count() == 1;
        if !state.facts().down.contains_key(&station.id)
            || only(station.kind) && station.kind == StationKind::Counter
        {
            continue;
        }
        edits.push(Edit {
            about: About::Kitchen,
            id: kitchen.id.clone(),
            at: format!("/stations/{at}"),
            was: json!(station),
            becomes: Value::Null,
            words: format!(
                "Take {} out of the kitchen \"{}\" until it works again",
                words::the_station(state.evening(), &station.id),
                kitchen.title
            ),
            why: "It broke and did not come back.".to_owned(),
        });
    }
}

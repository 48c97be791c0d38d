//! A change as the cook types it: `service mains 18:30`, `drop dip`.

use super::change::Change;
use crate::kitchen::check::words::mean;
use crate::kitchen::{Evening, Minute, Sheet, StationKind, TimeOfDay};
use crate::plan::{Situation, StepKey};

/// What can be typed, one form to a line, with what it means.
pub const FORMS: [(&str, &str); 12] = [
    ("service NAME 18:30", "a service at another time; also +20 or -10 minutes"),
    ("start COOK 15:30", "a cook begins earlier"),
    ("stay COOK 21:00", "a cook stays longer"),
    ("helper 17:00-19:30", "a second pair of hands; without an end, until the last service"),
    ("drop DISH", "a dish is left out"),
    ("servings DISH 12", "a dish is made for another number"),
    ("way DISH/STEP PLACE", "a step is done elsewhere: air fryer, or the number of the way"),
    ("wait DISH PLACE", "a finished dish waits elsewhere: fridge, oven, counter"),
    ("ahead DISH", "a dish is made the day before, as far as it keeps"),
    ("another STATION", "one more station like that one; a pan, tray or bowl; burner"),
    ("slower STATION 10", "all at that kind of station takes so many per cent longer"),
    ("without STATION", "a station cannot be used"),
];

/// The verbs of [`FORMS`], and one for pins.
const VERBS: [&str; 13] = [
    "service", "start", "stay", "helper", "drop", "servings", "way", "wait", "ahead", "another",
    "slower", "without", "unpin",
];

/// Reads changes, set apart by commas.
///
/// # Errors
/// What is not understood and what would be, as a sentence.
pub fn changes(
    evening: &Evening,
    situation: &Situation,
    text: &str,
) -> Result<Vec<Change>, String> {
    let reader = Reader { evening, situation };
    let parts: Vec<&str> = text.split(',').map(str::trim).filter(|p| !p.is_empty()).collect();
    if parts.is_empty() {
        return Err(format!("Nothing to try. Write one of: {}", forms()));
    }
    parts.into_iter().map(|part| reader.change(part)).collect()
}

fn forms() -> String {
    FORMS.map(|f| f.0).join("; ")
}

struct Reader<'a> {
    evening: &'a Evening,
    situation: &'a Situation,
}

impl Reader<'_> {
    fn change(&self, text: &str) -> Result<Change, String> {
        let (verb, rest) = text.split_once(char::is_whitespace).unwrap_or((text, ""));
        let rest = rest.trim();
        let verb = verb.to_lowercase();
        let form = FORMS.iter().find(|f| f.0.starts_with(&verb)).map_or("unpin DISH/STEP", |f| f.0);
        if VERBS.contains(&verb.as_str()) && rest.is_empty() {
            return Err(format!("\"{text}\" says too little; write it as: {form}"));
        }
        match verb.as_str() {
            "service" => self.service(rest),
            "start" => self.start(rest),
            "stay" => self.stay(rest),
            "helper" => self.helper(rest),
            "drop" => Ok(Change::Drop { dish: self.dish(rest)? }),
            "servings" => {
                let (name, n) = last_word(rest, form)?;
                let servings = n.parse().ok().filter(|n| (1..=500).contains(n));
                let servings = servings
                    .ok_or_else(|| format!("\"{n}\" is not a number of servings: 1 to 500"))?;
                Ok(Change::Servings { dish: self.dish(name)?, servings })
            }
            "way" => self.way(rest, form),
            "wait" => self.wait(rest, form),
            "ahead" => Ok(Change::DayBefore { dish: self.dish(rest)? }),
            "another" => self.another(rest),
            "slower" => {
                let (name, n) = last_word(rest, form)?;
                let percent = n.trim_end_matches('%').parse().ok();
                let percent = percent.filter(|n| (1..=200).contains(n));
                let percent =
                    percent.ok_or_else(|| format!("\"{n}\" is not a per cent: 1 to 200"))?;
                Ok(Change::Slower { station: self.station(name)?, percent })
            }
            "without" => Ok(Change::Without { station: self.station(rest)? }),
            "unpin" => {
                let (dish, step) = self.step(rest)?;
                Ok(Change::Unpin { key: StepKey { dish, step, load: 0 } })
            }
            _ => Err(format!("\"{verb}\" is not understood. {}", mean(&verb, VERBS))),
        }
    }

    fn time(&self, text: &str) -> Result<Minute, String> {
        TimeOfDay::parse(text).map(|time| self.evening.face.minute_of(time))
    }

    fn service(&self, rest: &str) -> Result<Change, String> {
        let (name, when) = last_word(rest, FORMS[0].0)?;
        let services = &self.evening.party.services;
        let known = services.iter().map(|s| [s.id.as_str(), s.title.as_str()]);
        let service = pick("service", name, known.enumerate().map(|(i, n)| (i, n.to_vec())))?;
        let moved = self.situation.service_at.get(&service).copied();
        let at = moved.unwrap_or_else(|| self.evening.service_minute(service));
        let to = match when.strip_prefix(['+', '-']) {
            Some(by) => {
                let by: Minute = by
                    .parse()
                    .ok()
                    .filter(|by| (0..=24 * 60).contains(by))
                    .ok_or_else(|| format!("\"{when}\" is not a number of minutes"))?;
                if when.starts_with('-') { at - by } else { at + by }
            }
            None => self.time(when)?,
        };
        Ok(Change::ServiceAt { service, to })
    }

    /// A cook and a time; the cook may be left out where there is one.
    fn cook_and_time(&self, rest: &str) -> Result<(usize, Minute), String> {
        let (name, when) = rest.rsplit_once(char::is_whitespace).unwrap_or(("", rest));
        let cooks = &self.evening.party.cooks;
        let cook = match (name.trim(), cooks.len()) {
            ("", 1) => 0,
            ("", _) => return Err("Which cook? Name one before the time.".to_owned()),
            (name, _) => {
                let known = cooks.iter().map(|c| vec![c.id.as_str(), c.name.as_str()]);
                pick("cook", name, known.enumerate())?
            }
        };
        Ok((cook, self.time(when)?))
    }

    fn hours(&self, cook: usize) -> (Minute, Minute) {
        let cook = self.evening.party.cooks.get(cook);
        let hours = cook.and_then(|c| self.evening.comes(c).zip(self.evening.leaves(c)));
        hours.unwrap_or_default()
    }

    fn start(&self, rest: &str) -> Result<Change, String> {
        let (cook, from) = self.cook_and_time(rest)?;
        let (first, _) = self.hours(cook);
        if from >= first {
            let at = self.evening.face.label(first);
            return Err(format!("They are there from {at} on; name an earlier time."));
        }
        Ok(Change::CookThere { cook, from, to: first })
    }

    fn stay(&self, rest: &str) -> Result<Change, String> {
        let (cook, to) = self.cook_and_time(rest)?;
        let (_, last) = self.hours(cook);
        if to <= last {
            let at = self.evening.face.label(last);
            return Err(format!("They are there until {at}; name a later time."));
        }
        Ok(Change::CookThere { cook, from: last, to })
    }

    fn helper(&self, rest: &str) -> Result<Change, String> {
        let (from, to) = match rest.split_once('-') {
            Some((from, to)) => (self.time(from.trim())?, self.time(to.trim())?),
            None => {
                let services = 0..self.evening.party.services.len();
                let due = services.map(|s| {
                    let moved = self.situation.service_at.get(&s).copied();
                    moved.unwrap_or_else(|| self.evening.service_minute(s))
                });
                (self.time(rest)?, due.max().unwrap_or(0))
            }
        };
        if from >= to {
            return Err(format!("\"{rest}\": they would leave before they come."));
        }
        Ok(Change::Helper { from, to })
    }

    fn dish(&self, name: &str) -> Result<usize, String> {
        let sheets = self.evening.sheets.iter().map(|s| (s, s.short(), s.letter.to_string()));
        let known: Vec<(&Sheet, String, String)> = sheets.collect();
        let names = known.iter().map(|(s, short, letter)| {
            vec![s.id.as_str(), s.recipe.title.as_str(), short.as_str(), letter.as_str()]
        });
        pick("dish", name, names.enumerate())
    }

    fn station(&self, name: &str) -> Result<usize, String> {
        let stations = self.evening.kitchen.stations.iter();
        let names = stations.map(|s| vec![s.id.as_str(), s.title.as_str(), s.kind.word()]);
        pick("station", name, names.enumerate())
    }

    /// One more of a station or, by that name, of some cookware.
    fn another(&self, name: &str) -> Result<Change, String> {
        let (stations, wares) = (&self.evening.kitchen.stations, &self.evening.kitchen.cookware);
        let places = |station: usize| stations.get(station).map_or(1, |s| s.slots);
        let hob = || stations.iter().position(|s| s.kind == StationKind::Stovetop);
        if let ("burner", Some(station)) = (name.to_lowercase().as_str(), hob()) {
            return Ok(Change::Another { station, places: 1 });
        }
        if let Ok(station) = self.station(name) {
            return Ok(Change::Another { station, places: places(station) });
        }
        let names = stations.iter().map(|s| vec![s.id.as_str(), s.title.as_str(), s.kind.word()]);
        let pans = wares.iter().map(|c| vec![c.id.as_str(), c.title.as_str(), c.kind.as_str()]);
        let at = pick("station or pan", name, names.chain(pans).enumerate())?;
        Ok(Change::MoreOf { ware: at.saturating_sub(stations.len()), count: 1 })
    }

    fn step(&self, name: &str) -> Result<(usize, usize), String> {
        let Some((dish, step)) = name.split_once('/') else {
            return Err(format!("\"{name}\" names no step; write it as DISH/STEP"));
        };
        let dish = self.dish(dish.trim())?;
        let steps = self.evening.sheets.get(dish).map(|s| s.recipe.steps.as_slice());
        let steps = steps.unwrap_or_default().iter();
        let names = steps.map(|s| vec![s.id.as_str(), s.label.as_str()]);
        Ok((dish, pick("step", step.trim(), names.enumerate())?))
    }

    fn way(&self, rest: &str, form: &str) -> Result<Change, String> {
        let slash = rest.find('/').ok_or_else(|| format!("\"{rest}\": write it as: {form}"))?;
        let after = rest.get(slash..).unwrap_or_default();
        let end = after.find(char::is_whitespace).map(|n| slash + n);
        let end = end.ok_or_else(|| format!("\"{rest}\" names no place; write it as: {form}"))?;
        let (name, place) = rest.split_at(end);
        let (dish, step) = self.step(name)?;
        let step_of = self.evening.sheets.get(dish).and_then(|s| s.recipe.steps.get(step));
        let ways = step_of.map(|s| s.ways.as_slice()).unwrap_or_default();
        let kinds = ways.iter().map(|w| vec![w.station.word()]);
        Ok(Change::Way { dish, step, way: numbered("way", place.trim(), kinds)? })
    }

    fn wait(&self, rest: &str, form: &str) -> Result<Change, String> {
        // Names and places may have several words: the longest name that is known.
        let cuts = rest.match_indices(char::is_whitespace).map(|(at, _)| at);
        let cuts: Vec<usize> = cuts.collect();
        let mut found = None;
        for &at in cuts.iter().rev() {
            let (name, place) = rest.split_at(at);
            if let Ok(dish) = self.dish(name.trim()) {
                found = Some((dish, place.trim()));
                break;
            }
        }
        let Some((dish, place)) = found else {
            return match cuts.first() {
                Some(&at) => self.dish(rest.get(..at).unwrap_or(rest)).map(|_| Err(form))?,
                None => Err(form),
            }
            .map_err(|form| format!("\"{rest}\": write it as: {form}"));
        };
        let holds = self.evening.sheets.get(dish).map(|s| s.recipe.holds.as_slice());
        let kinds = holds.unwrap_or_default().iter().map(|h| vec![h.place.word()]);
        Ok(Change::Place { dish, hold: numbered("place to wait", place, kinds)? })
    }
}

/// The last word, and what comes before it.
fn last_word<'t>(text: &'t str, form: &str) -> Result<(&'t str, &'t str), String> {
    let cut = text.rsplit_once(char::is_whitespace);
    let (name, last) = cut.ok_or_else(|| format!("\"{text}\": write it as: {form}"))?;
    Ok((name.trim(), last))
}

/// The index of the thing with a name, whatever its case.
fn pick<'n>(
    what: &str,
    name: &str,
    known: impl Iterator<Item = (usize, Vec<&'n str>)>,
) -> Result<usize, String> {
    let plain = |text: &str| text.trim().to_lowercase().replace(['-', '_'], " ");
    let known: Vec<(usize, Vec<&str>)> = known.collect();
    // Ids before titles, titles before short names and letters: one dish's letter may be
    // another's id.
    let most = known.iter().map(|(_, names)| names.len()).max().unwrap_or(0);
    for rank in 0..most {
        let is = |names: &[&str]| names.get(rank).is_some_and(|n| plain(n) == plain(name));
        if let Some((index, _)) = known.iter().find(|(_, names)| is(names)) {
            return Ok(*index);
        }
    }
    let firsts: Vec<&str> = known.iter().filter_map(|(_, n)| n.first().copied()).collect();
    let all: Vec<&str> = known.iter().flat_map(|(_, n)| n.iter().copied()).collect();
    let near = crate::kitchen::check::words::nearest(name, all.iter().copied());
    let remedy = match near {
        Some(near) => format!("Did you mean \"{near}\"?"),
        None => mean(name, firsts.iter().copied()),
    };
    Err(format!("There is no {what} \"{name}\". {remedy}"))
}

/// One of a list, by its number from 1 or by its name.
fn numbered<'n>(
    what: &str,
    name: &str,
    known: impl Iterator<Item = Vec<&'n str>>,
) -> Result<usize, String> {
    let known: Vec<Vec<&str>> = known.collect();
    match name.parse::<usize>() {
        Ok(n) if (1..=known.len()).contains(&n) => Ok(n - 1),
        Ok(n) => Err(format!("There is no {what} {n}: there are {}", known.len())),
        Err(_) => pick(what, name, known.into_iter().enumerate()),
    }
}

//! The kinds of field: what a cook types for each, and how it is shown.

use chrono::{Datelike, Duration, NaiveDate, Weekday};
use serde_json::{Value, json};

use super::program;
use crate::bring;
use crate::kitchen::clock::Hours;
use crate::kitchen::party::Stretch;
use crate::kitchen::units::{Degrees, Exact, Measures, Unit};
use crate::kitchen::{Customs, Minutes, TimeOfDay};

/// Choices: what the file has, and the words for it.
pub type Choices = &'static [(&'static str, &'static str)];

/// What a field holds.
#[derive(Debug, Clone, Copy)]
pub enum Kind {
    /// A line of text of at most so many letters; may be empty if not needed.
    Line(usize),
    /// A whole number within bounds.
    Count(u32, u32),
    /// Minutes: 40, or 35-48, or 35 40 48.
    Minutes,
    /// A time of day.
    Clock,
    /// Hours: 12:00-20:00, several with commas.
    Hours,
    /// A day.
    Day,
    /// The setting of an oven's dial.
    Oven,
    /// A temperature of food or a room, whole °C in the file.
    Heat,
    /// A volume, ml in the file.
    Volume,
    /// One of a few words.
    Choice(Choices),
    /// The guidance profile.
    Guidance,
    /// Yes or no.
    Yes,
    /// Several words with commas between.
    Words,
    /// A program and what it is given, as words.
    Program,
    /// An amount of an ingredient.
    Amount,
    /// A unit.
    Unit,
    /// An ingredient as books write it: amount, unit, item and what is done to it, in one line.
    Spoken,
    /// An item of the recipe of this dish.
    ItemOf,
    /// A pan or a station of this party's kitchen.
    KitchenOf,
    /// An earlier step of this recipe.
    StepBefore,
    /// One of the services of this party.
    ServiceOf,
    /// A recipe of the shelves.
    Recipe,
    /// A kitchen of the shelves.
    Kitchen,
    /// Minutes in which an oven heats from 20 to 180 °C.
    HeatUp,
    /// Minutes in which an oven cools from 200 to 150 °C.
    CoolDown,
}

/// The rise that [`Kind::HeatUp`] asks the minutes of, °C.
const RISE_C: u32 = 160;
/// The fall that [`Kind::CoolDown`] asks the minutes of, °C.
const FALL_C: u32 = 50;

/// What reading needs to know of the cook.
#[derive(Debug, Clone, Copy)]
pub struct Reader {
    /// How things are read and written.
    pub customs: Customs,
    /// The day on which the cook types.
    pub today: NaiveDate,
}

impl Kind {
    /// Is it chosen from a list, not typed?
    #[must_use]
    pub const fn is_chosen(self) -> bool {
        matches!(
            self,
            Self::Choice(_)
                | Self::Guidance
                | Self::Yes
                | Self::StepBefore
                | Self::ServiceOf
                | Self::ItemOf
                | Self::KitchenOf
                | Self::Recipe
                | Self::Kitchen
        )
    }

    /// The value of what was typed; nothing for an empty field.
    ///
    /// # Errors
    /// What would be right, as a sentence.
    pub fn read(self, typed: &str, by: Reader) -> Result<Option<Value>, String> {
        let typed = typed.trim();
        if typed.is_empty() {
            return Ok(None);
        }
        let value = match self {
            Self::Line(most) if typed.chars().count() > most => {
                return Err(format!("At most {most} letters."));
            }
            Self::Count(least, most) => json!(whole(typed, least, most)?),
            Self::Minutes => serde_json::to_value(minutes(typed)?).unwrap_or(Value::Null),
            Self::Clock => json!(clock(typed)?.to_string()),
            Self::Hours => hours(typed)?,
            Self::Day => json!(day(typed, by.today)?.to_string()),
            Self::Oven => json!(oven(typed, by.customs)?),
            Self::Heat => json!(heat(typed, by.customs)?.round() as i64),
            Self::Volume => json!(volume(typed, by.customs)?),
            Self::Words => {
                let words = typed.split(',').map(str::trim).filter(|w| !w.is_empty());
                json!(words.collect::<Vec<_>>())
            }
            Self::Program => json!(program::split(typed)?),
            Self::Amount => {
                let amount: Exact = pointed(typed, by.customs)
                    .parse()
                    .map_err(|_| "Write a number or a fraction: 3, 1.5, 2/3, 1 1/3.".to_owned())?;
                if !amount.is_positive() {
                    return Err("Write more than nought, or nothing for \"to taste\".".into());
                }
                serde_json::to_value(amount).unwrap_or(Value::Null)
            }
            Self::Unit => match Unit::named(typed) {
                Some(unit) => serde_json::to_value(unit).unwrap_or(Value::Null),
                None => {
                    return Err(
                        "Write a unit: g, kg, ml, l, tsp, tbsp, cup, oz, lb, clove, can.".into()
                    );
                }
            },
            Self::Spoken => {
                bring::ingredient(typed).map_err(|why| {
                    format!("This {why}: write how much of what, cut how: 2 large onions, diced.")
                })?;
                json!(typed)
            }
            Self::HeatUp => json!((RISE_C / whole(typed, 2, 120)?).max(1)),
            Self::CoolDown => json!((FALL_C / whole(typed, 1, 240)?).max(1)),
            _ => json!(typed),
        };
        Ok(Some(value))
    }

    /// A value as the field shows it.
    #[must_use]
    pub fn show(self, value: &Value, by: Reader) -> String {
        let customs = by.customs;
        match self {
            Self::Minutes => serde_json::from_value(value.clone()).map_or_else(
                |_| plain(value),
                |m: Minutes| match m.low == m.likely && m.likely == m.high {
                    true => m.likely.to_string(),
                    false => format!("{} ({} to {})", m.likely, m.low, m.high),
                },
            ),
            Self::Clock => match value.as_str().map(TimeOfDay::parse) {
                Some(Ok(time)) => customs.hours.of(time),
                _ => plain(value),
            },
            Self::Hours => show_hours(value, customs.hours),
            Self::Day => match value.as_str().and_then(|d| d.parse::<NaiveDate>().ok()) {
                Some(day) => format!("{day} {}", day.format("%a")),
                None => plain(value),
            },
            Self::Oven => whole_of(value).map_or_else(|| plain(value), |c| customs.oven(c)),
            Self::Heat => value.as_f64().map_or_else(|| plain(value), |c| customs.heat(c)),
            Self::Volume => match value.as_f64() {
                Some(ml) if ml >= 1000.0 => format!("{} l", customs.number(ml / 1000.0, 3)),
                Some(ml) => format!("{} ml", customs.number(ml, 0)),
                None => plain(value),
            },
            Self::Choice(choices) => words_of(choices, value),
            Self::Guidance => guidance(value),
            Self::Yes => if value.as_bool() == Some(true) { "yes" } else { "no" }.to_owned(),
            Self::Words => match value.as_array() {
                Some(words) => words.iter().map(plain).collect::<Vec<_>>().join(", "),
                None => plain(value),
            },
            Self::Program => match value.as_array() {
                Some(words) => program::join(words.iter().map(plain)),
                None => plain(value),
            },
            Self::Unit => serde_json::from_value(value.clone())
                .map_or_else(|_| plain(value), |u: Unit| u.sign().to_owned()),
            Self::HeatUp => per(value, RISE_C),
            Self::CoolDown => per(value, FALL_C),
            _ => plain(value),
        }
    }
}

fn per(value: &Value, change: u32) -> String {
    let rate = value.as_u64().and_then(|r| u32::try_from(r).ok()).filter(|r| *r > 0);
    rate.map_or_else(String::new, |rate| change.div_ceil(rate).to_string())
}

fn whole_of(value: &Value) -> Option<i32> {
    value.as_i64().and_then(|c| i32::try_from(c).ok())
}

/// A value in plain words, without quotation marks.
#[must_use]
pub fn plain(value: &Value) -> String {
    match value {
        Value::Null => String::new(),
        Value::String(text) => text.clone(),
        Value::Bool(on) => if *on { "yes" } else { "no" }.to_owned(),
        other => other.to_string(),
    }
}

fn words_of(choices: Choices, value: &Value) -> String {
    let known = choices.iter().find(|(id, _)| Some(*id) == value.as_str());
    known.map_or_else(|| plain(value), |(_, words)| (*words).to_owned())
}

fn guidance(value: &Value) -> String {
    let profiles = crate::safety::Profile::all();
    let known = profiles.iter().find(|p| Some(p.id.as_str()) == value.as_str());
    known.map_or_else(|| plain(value), |p| p.title.clone())
}

fn whole(typed: &str, least: u32, most: u32) -> Result<u32, String> {
    let wrong = || format!("Write a whole number from {least} to {most}.");
    let number: u32 = typed.parse().map_err(|_| wrong())?;
    if (least..=most).contains(&number) { Ok(number) } else { Err(wrong()) }
}

fn minutes(typed: &str) -> Result<Minutes, String> {
    let wrong = || "Write minutes: 40, or 35-48, or low, likely and high: 35 40 48.".to_owned();
    let shown = typed.split_once('(').map(|(likely, rest)| (likely.trim(), rest));
    let numbers = |text: &str| -> Result<Vec<u32>, String> {
        let pieces = text.split(|c: char| !c.is_ascii_digit()).filter(|p| !p.is_empty());
        pieces.map(|p| p.parse::<u32>().ok().filter(|n| *n <= 2880).ok_or_else(wrong)).collect()
    };
    // "1:30", "1.5" and "1/2" are hours: as two numbers they would be one minute to thirty.
    let between = |c: char| c.is_ascii_digit() || c.is_whitespace() || "to-–—,()".contains(c);
    let glued =
        typed.split(',').skip(1).any(|after| after.starts_with(|c: char| c.is_ascii_digit()));
    if glued || !typed.chars().all(between) {
        return Err(wrong());
    }
    let found = match shown {
        Some((likely, between)) => {
            let (likely, between) = (numbers(likely)?, numbers(between)?);
            match (likely.as_slice(), between.as_slice()) {
                (&[likely], &[low, high]) => vec![low, likely, high],
                _ => return Err(wrong()),
            }
        }
        None => numbers(typed)?,
    };
    let minutes = match *found.as_slice() {
        [one] => Minutes::exactly(one),
        [low, high] => Minutes { low, likely: low.midpoint(high), high },
        [low, likely, high] => Minutes { low, likely, high },
        _ => return Err(wrong()),
    };
    match minutes.low <= minutes.likely && minutes.likely <= minutes.high {
        true => Ok(minutes),
        false => Err("The least comes first: 35 40 48.".to_owned()),
    }
}

/// A time as a cook writes it: `18:00`, `18`, `6pm`, `6:30 pm`.
fn clock(typed: &str) -> Result<TimeOfDay, String> {
    let wrong = || "Write a time: 18:00 or 6:30pm; 25:30 is half past one at night.".to_owned();
    let text = typed.to_lowercase().replace([' ', '.'], "");
    let next_day = text.ends_with("nextday");
    let text = text.trim_end_matches("nextday");
    let half = ["am", "pm"].into_iter().find(|half| text.ends_with(half));
    let digits = half.map_or(text, |half| text.trim_end_matches(half));
    let full = if digits.contains(':') { digits.to_owned() } else { format!("{digits}:00") };
    let mut time = TimeOfDay::parse(&full).map_err(|_| wrong())?;
    if let Some(half) = half {
        let hour = time.0 / 60;
        if !(1..=12).contains(&hour) {
            return Err(wrong());
        }
        time.0 += match (half, hour) {
            ("am", 12) => -12 * 60,
            ("pm", 1..=11) => 12 * 60,
            _ => 0,
        };
    }
    if next_day {
        time.0 += 24 * 60;
    }
    if time.0 < 48 * 60 { Ok(time) } else { Err(wrong()) }
}

fn hours(typed: &str) -> Result<Value, String> {
    let mut free = Vec::new();
    for piece in typed.split(',').map(str::trim).filter(|p| !p.is_empty()) {
        let (from, to) = piece
            .split_once(['-', '–'])
            .ok_or_else(|| "Write hours as 12:00-20:00, several with commas.".to_owned())?;
        let stretch = Stretch { from: clock(from.trim())?, to: clock(to.trim())? };
        if stretch.from >= stretch.to {
            return Err(format!("{} is not before {}.", stretch.from, stretch.to));
        }
        free.push(stretch);
    }
    Ok(serde_json::to_value(free).unwrap_or(Value::Null))
}

fn show_hours(value: &Value, by: Hours) -> String {
    match serde_json::from_value::<Vec<Stretch>>(value.clone()) {
        Ok(free) => {
            let one = |s: &Stretch| format!("{}-{}", by.of(s.from), by.of(s.to));
            free.iter().map(one).collect::<Vec<_>>().join(", ")
        }
        Err(_) => plain(value),
    }
}

/// A day: written out, or `today`, `tomorrow`, or the next day of that name.
fn day(typed: &str, today: NaiveDate) -> Result<NaiveDate, String> {
    let word = typed.split_whitespace().next().unwrap_or_default().to_lowercase();
    if let Ok(day) = word.parse() {
        return Ok(day);
    }
    let after = |days: i64| today.checked_add_signed(Duration::days(days)).unwrap_or(today);
    match word.as_str() {
        "today" => Ok(today),
        "tomorrow" => Ok(after(1)),
        other => match other.parse::<Weekday>() {
            Ok(wanted) => {
                let ahead = (7 + wanted.num_days_from_monday() as i64
                    - today.weekday().num_days_from_monday() as i64)
                    % 7;
                Ok(after(if ahead == 0 { 7 } else { ahead }))
            }
            Err(_) => Err("Write a day: 2026-12-05, today, tomorrow, or saturday.".to_owned()),
        },
    }
}

/// A number with a point before its tenths. A comma there is one, but where the cook's own
/// have a point and three digits follow: 1,500 is fifteen hundred.
fn pointed(typed: &str, customs: Customs) -> String {
    let end = typed.find(|c: char| !(c.is_ascii_digit() || c == ',')).unwrap_or(typed.len());
    let mut groups = typed.get(..end).unwrap_or_default().split(',');
    let first = groups.next().is_some_and(|g| (1..=3).contains(&g.len()) && g != "0");
    let thousands = first && typed.contains(',') && groups.all(|g| g.len() == 3);
    typed.replace(',', if thousands && !customs.comma { "" } else { "." })
}

/// A number and the letters after it.
fn number_and_word(typed: &str, customs: Customs) -> Option<(f64, String)> {
    let text = pointed(&typed.trim().to_lowercase(), customs);
    let end = text.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == '-' || c == '/'));
    let (number, word) = text.split_at(end.unwrap_or(text.len()));
    let number: Exact = number.trim().parse().ok()?;
    Some((number.to_f64(), word.replace(['°', ' '], "")))
}

/// A temperature in °C.
fn heat(typed: &str, customs: Customs) -> Result<f64, String> {
    let wrong = || "Write degrees: 180 °C or 350 °F.".to_owned();
    let (number, word) = number_and_word(typed, customs).ok_or_else(wrong)?;
    let fahrenheit = match word.as_str() {
        "" => customs.degrees == Degrees::Fahrenheit,
        "c" => false,
        "f" => true,
        _ => return Err(wrong()),
    };
    Ok(if fahrenheit { (number - 32.0) / 1.8 } else { number })
}

/// The setting that recipes mean, in °C, by what stands on a dial: `180`,
/// `fan 160 °C`, `gas 4`, `350 °F`.
fn oven(typed: &str, customs: Customs) -> Result<i64, String> {
    use crate::kitchen::customs::OvenDial;
    let text = typed.trim().to_lowercase();
    let (dial, rest) = match text.split_once(' ') {
        Some(("fan", rest)) => (Some(OvenDial::Fan), rest),
        Some(("gas", rest)) => (Some(OvenDial::GasMark), rest.trim_start_matches("mark ")),
        _ => (None, text.as_str()),
    };
    let wrong = || "Write a setting: 180 °C, 350 °F, fan 160 °C, gas 4.".to_owned();
    let rest = rest.replace('¼', "1/4").replace('½', "1/2");
    let (number, word) = number_and_word(&rest, customs).ok_or_else(wrong)?;
    let degrees = match word.as_str() {
        "" => customs.degrees,
        "c" => Degrees::Celsius,
        "f" => Degrees::Fahrenheit,
        _ => return Err(wrong()),
    };
    // With degrees written out and no word for the dial, degrees are what is meant.
    let usual = if word.is_empty() { customs.oven } else { OvenDial::Plain };
    let by = Customs { degrees, oven: dial.unwrap_or(usual), ..customs };
    let celsius = by.oven_c(number).round();
    if (20.0..=400.0).contains(&celsius) { Ok(celsius as i64) } else { Err(wrong()) }
}

/// A volume in whole ml. Water that was weighed counts as 1 ml a gram.
fn volume(typed: &str, customs: Customs) -> Result<u32, String> {
    let wrong = || "Write a volume: 2.5 l, 900 ml, 10 cups; or water weighed: 2500 g.".to_owned();
    let (number, word) = number_and_word(typed, customs).ok_or_else(wrong)?;
    let unit = match word.as_str() {
        "" => Unit::Ml,
        word => Unit::named(word).ok_or_else(wrong)?,
    };
    let base = unit.base(Measures::Metric).ok_or_else(wrong)?;
    let ml = (number * base.to_f64()).round();
    if (1.0..=500_000.0).contains(&ml) { Ok(ml as u32) } else { Err(wrong()) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kitchen::customs::OvenDial;

    fn by(customs: Customs) -> Reader {
        Reader { customs, today: NaiveDate::from_ymd_opt(2026, 11, 25).unwrap() }
    }

    fn read(kind: Kind, typed: &str) -> Result<Option<Value>, String> {
        kind.read(typed, by(Customs::default()))
    }

    #[test]
    fn minutes_times_and_days_are_read_as_cooks_write_them() {
        for (typed, value) in [
            ("40", json!(40)),
            ("35-48", json!({"low": 35, "likely": 41, "high": 48})),
            ("35 40 48", json!({"low": 35, "likely": 40, "high": 48})),
            ("40 (35 to 48)", json!({"low": 35, "likely": 40, "high": 48})),
            ("35, 40, 48", json!({"low": 35, "likely": 40, "high": 48})),
        ] {
            assert_eq!(read(Kind::Minutes, typed), Ok(Some(value)), "{typed}");
        }
        let hours = ["1:30", "1.5", "1,5", "1/2", "1 1/2"];
        for wrong in ["x", "40 h", "1 2 3 4", "50-40", "99999"].into_iter().chain(hours) {
            assert!(read(Kind::Minutes, wrong).is_err(), "{wrong}");
        }
        for (typed, time) in [
            ("18:00", "18:00"),
            ("18", "18:00"),
            ("6pm", "18:00"),
            ("6:30 PM", "18:30"),
            ("12am", "00:00"),
            ("12:15 pm", "12:15"),
            ("25:30", "25:30"),
            ("1:30am next day", "25:30"),
        ] {
            assert_eq!(read(Kind::Clock, typed), Ok(Some(json!(time))), "{typed}");
        }
        for wrong in ["noon", "13pm", "48:00", "18:60"] {
            assert!(read(Kind::Clock, wrong).is_err(), "{wrong}");
        }
        // 25 November 2026 is a Wednesday.
        for (typed, day) in [
            ("saturday", "2026-11-28"),
            ("wed", "2026-12-02"),
            ("tomorrow", "2026-11-26"),
            ("2026-12-05 Sat", "2026-12-05"),
        ] {
            assert_eq!(read(Kind::Day, typed), Ok(Some(json!(day))), "{typed}");
        }
    }

    #[test]
    fn temperatures_and_volumes_are_read_in_any_unit() {
        for (typed, c) in [("180", 180), ("350 F", 177), ("gas 4", 180), ("fan 160 °C", 180)] {
            assert_eq!(read(Kind::Oven, typed), Ok(Some(json!(c))), "{typed}");
        }
        let us = Customs { degrees: Degrees::Fahrenheit, ..Customs::default() };
        assert_eq!(Kind::Oven.read("350", by(us)), Ok(Some(json!(177))));
        let gas = Customs { oven: OvenDial::GasMark, ..Customs::default() };
        assert_eq!(Kind::Oven.read("6", by(gas)), Ok(Some(json!(200))));
        for (typed, ml) in
            [("2,5 l", 2500), ("900", 900), ("2300 g", 2300), ("10 cups", 2500), ("2 kg", 2000)]
        {
            assert_eq!(read(Kind::Volume, typed), Ok(Some(json!(ml))), "{typed}");
        }
        assert!(read(Kind::Volume, "3 cloves").is_err());
    }

    /// A comma divides thousands where the cook's numbers have a point, and is the point elsewhere.
    #[test]
    fn a_comma_is_read_as_the_cook_means_it() {
        let comma = Customs { comma: true, ..Customs::default() };
        for (typed, point, tenths) in
            [("1,500", "1500", "1.5"), ("1,5", "1.5", "1.5"), ("0,125", "0.125", "0.125")]
        {
            let amount = |text: &str| Kind::Amount.read(text, by(comma));
            assert_eq!(read(Kind::Amount, typed), amount(point), "{typed}");
            assert_eq!(amount(typed), amount(tenths), "{typed}");
        }
        assert_eq!(read(Kind::Volume, "1,500 ml"), Ok(Some(json!(1500))));
        assert_eq!(Kind::Volume.read("1,500 l", by(comma)), Ok(Some(json!(1500))));
    }

    /// What a field shows is read back as the value that it shows.
    #[test]
    fn what_is_shown_reads_back() {
        let twelve = Customs { hours: Hours::Twelve, comma: true, ..Customs::default() };
        for customs in [Customs::default(), twelve] {
            for (kind, value) in [
                (Kind::Minutes, json!({"low": 5, "likely": 7, "high": 9})),
                (Kind::Clock, json!("25:30")),
                (Kind::Hours, json!([{"from": "12:00", "to": "20:30"}])),
                (Kind::Day, json!("2026-12-05")),
                (Kind::Oven, json!(205)),
                (Kind::Heat, json!(21)),
                (Kind::Volume, json!(2750)),
                (Kind::Amount, json!("1 1/3")),
                (Kind::Unit, json!("fl_oz")),
                (Kind::Words, json!(["vegan", "nuts"])),
                (Kind::HeatUp, json!(16)),
            ] {
                let shown = kind.show(&value, by(customs));
                assert_eq!(kind.read(&shown, by(customs)), Ok(Some(value)), "{shown}");
            }
        }
    }
}

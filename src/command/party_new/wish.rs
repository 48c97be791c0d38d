//! The values of the flags: a day, a service, a dish, a cook.

use std::str::FromStr;

use chrono::NaiveDate;

use super::tomorrow;
use crate::kitchen::TimeOfDay;

/// A day: written out, or counted from today.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DayWish {
    /// A date.
    On(NaiveDate),
    /// Today.
    Today,
    /// Tomorrow.
    Tomorrow,
}

impl DayWish {
    /// The day that is meant.
    #[must_use]
    pub fn day(self, today: NaiveDate) -> NaiveDate {
        match self {
            Self::On(day) => day,
            Self::Today => today,
            Self::Tomorrow => tomorrow(today),
        }
    }
}

impl FromStr for DayWish {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        match text.trim().to_lowercase().as_str() {
            "today" => Ok(Self::Today),
            "tomorrow" => Ok(Self::Tomorrow),
            other => other
                .parse()
                .map(Self::On)
                .map_err(|_| "write a day as 2026-11-25, today or tomorrow".to_owned()),
        }
    }
}

/// A service: `starters=18:00`, or `starters 18:00` as an answer.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ServiceWish {
    /// What it is called.
    pub name: String,
    /// When it stands on the table.
    pub at: TimeOfDay,
}

impl FromStr for ServiceWish {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let text = text.trim();
        let (name, at) = text
            .rsplit_once(['=', ' '])
            .ok_or_else(|| "write a service as starters=18:00".to_owned())?;
        let name = name.trim().trim_end_matches('=').trim();
        if name.is_empty() {
            return Err("give the service a name, as in starters=18:00".to_owned());
        }
        Ok(Self { name: name.to_owned(), at: TimeOfDay::parse(at.trim())? })
    }
}

/// A dish: `leek-pie`, `leek-pie:12`, `leek-pie:12:mains`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DishWish {
    /// Id of the shelf, or path.
    pub recipe: String,
    /// How many servings; one for each guest if not given.
    pub servings: Option<u32>,
    /// Name of the service; the usual one of its course if not given.
    pub service: Option<String>,
}

impl FromStr for DishWish {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let text = text.trim();
        // A path may hold a colon itself: the first one that a number follows counts.
        let split = text.match_indices(':').find(|(at, _)| {
            let next = text.get(at + 1..).unwrap_or_default().split(':').next();
            next.is_some_and(|n| !n.is_empty() && n.bytes().all(|b| b.is_ascii_digit()))
        });
        let Some((at, _)) = split else {
            if text.contains(':') && !text.contains(['/', '\\', '.']) {
                return Err("write a dish as leek-pie:12:mains, servings before service".into());
            }
            return Self::of(text, None, None);
        };
        let (recipe, rest) = (text.get(..at).unwrap_or_default(), text.get(at + 1..));
        let (servings, service) = match rest.unwrap_or_default().split_once(':') {
            Some((servings, service)) => (servings, Some(service)),
            None => (rest.unwrap_or_default(), None),
        };
        let servings = servings
            .parse()
            .ok()
            .filter(|n| (1..=500).contains(n))
            .ok_or_else(|| "write 1 to 500 servings".to_owned())?;
        Self::of(recipe, Some(servings), service)
    }
}

impl DishWish {
    fn of(recipe: &str, servings: Option<u32>, service: Option<&str>) -> Result<Self, String> {
        if recipe.trim().is_empty() || service.is_some_and(|s| s.trim().is_empty()) {
            return Err("write a dish as leek-pie, leek-pie:12 or leek-pie:12:mains".to_owned());
        }
        let service = service.map(|s| s.trim().to_owned());
        Ok(Self { recipe: recipe.trim().to_owned(), servings, service })
    }
}

/// A cook: `Ada=14:00-17:00,17:30-21:00`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CookWish {
    /// What they are called.
    pub name: String,
    /// When they are free.
    pub free: Vec<(TimeOfDay, TimeOfDay)>,
}

impl FromStr for CookWish {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        let (name, hours) =
            text.rsplit_once('=').ok_or_else(|| "write a cook as Ada=14:00-21:00".to_owned())?;
        if name.trim().is_empty() {
            return Err("give the cook a name, as in Ada=14:00-21:00".to_owned());
        }
        Ok(Self { name: name.trim().to_owned(), free: hours_of(hours)? })
    }
}

/// Stretches of hours: `14:00-17:00,17:30-21:00`.
pub(super) fn hours_of(text: &str) -> Result<Vec<(TimeOfDay, TimeOfDay)>, String> {
    text.split(',')
        .map(|stretch| {
            let (from, to) = stretch
                .trim()
                .split_once('-')
                .ok_or_else(|| "write hours as 14:00-21:00".to_owned())?;
            let (from, to) = (TimeOfDay::parse(from.trim())?, TimeOfDay::parse(to.trim())?);
            if from >= to {
                return Err(format!(
                    "{from}-{to} ends before it begins; half past one at night is 25:30"
                ));
            }
            Ok((from, to))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn dishes_are_read_with_and_without_servings_and_service() {
        let dish = |text: &str| text.parse::<DishWish>().map(|d| (d.recipe, d.servings, d.service));
        assert_eq!(dish("leek-pie"), Ok(("leek-pie".into(), None, None)));
        assert_eq!(dish("leek-pie:12"), Ok(("leek-pie".into(), Some(12), None)));
        assert_eq!(dish("leek-pie:12:m"), Ok(("leek-pie".into(), Some(12), Some("m".into()))));
        assert_eq!(dish("C:\\my\\pie.json"), Ok(("C:\\my\\pie.json".into(), None, None)));
        assert_eq!(dish("C:\\pie.json:8"), Ok(("C:\\pie.json".into(), Some(8), None)));
        for wrong in ["", ":", ":12", "pie:0", "pie:501", "pie:12:", "pie:mains", "pie:99999999999"]
        {
            assert!(dish(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn cooks_services_and_days_are_read() {
        let time = |text| TimeOfDay::parse(text).expect("a time");
        let cook: CookWish = "Ada=14:00-17:00, 17:30-25:00".parse().expect("a cook");
        assert_eq!(cook.name, "Ada");
        assert_eq!(cook.free[1], (time("17:30"), time("25:00")));
        for wrong in ["Ada", "=14:00-15:00", "Ada=15:00-14:00", "Ada=14-15", "Ada="] {
            assert!(wrong.parse::<CookWish>().is_err(), "{wrong}");
        }
        for right in ["late mains=19:00", "late mains 19:00", "late mains = 19:00"] {
            let service: ServiceWish = right.parse().expect("a service");
            assert_eq!((service.name.as_str(), service.at), ("late mains", time("19:00")));
        }
        for wrong in ["mains", "=18:00", "mains=6pm", " 18:00"] {
            assert!(wrong.parse::<ServiceWish>().is_err(), "{wrong}");
        }
        let today: NaiveDate = "2026-11-25".parse().expect("a day");
        let day = |text: &str| text.parse::<DayWish>().map(|d| d.day(today).to_string());
        assert_eq!(day("today"), Ok("2026-11-25".into()));
        assert_eq!(day("Tomorrow"), Ok("2026-11-26".into()));
        assert_eq!(day("2027-01-01"), Ok("2027-01-01".into()));
        assert!(day("Saturday").is_err());
    }
}

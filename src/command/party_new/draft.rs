//! A party in the making, and the party file that it becomes.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use super::Flags;
use super::wish::{CookWish, DishWish, ServiceWish};
use crate::kitchen::id::{self, spelled};
use crate::kitchen::party::{Appetite, ON_TIME_PERCENT, Stretch};
use crate::kitchen::{
    Cook, Course, Dish, Guest, Least, Party, Recipe, Service, Sourced, TimeOfDay,
};
use crate::paper::capital;
use crate::safety::Profile;
use crate::store::load::is_path;
use crate::store::read::Document;
use crate::store::shelf;
use crate::store::shell::quoted;

/// Guests, where nobody says how many.
pub(super) const GUESTS: u32 = 8;
/// What a party is called if nobody gives it a name.
pub(super) const TITLE: &str = "Supper";
/// How long before the first service the cook begins unless told otherwise, minutes.
const BEFORE: i32 = 6 * 60;
/// How long after the last service the cook stays unless told otherwise, minutes.
const AFTER: i32 = 60;

/// All that a new party is made of.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Draft {
    pub title: String,
    pub day: NaiveDate,
    pub services: Vec<ServiceWish>,
    pub dishes: Vec<DishWish>,
    pub guests: u32,
    pub cooks: Vec<CookWish>,
    pub kitchen: String,
    /// Of a hundred evenings, in how many each service should be on time.
    pub on_time: u32,
    /// Id of the guidance profile.
    pub guidance: String,
}

impl Draft {
    /// What the flags say, with the usual for the rest.
    pub(super) fn of_flags(flags: &Flags, today: NaiveDate) -> Self {
        Self {
            title: flags.title.clone().unwrap_or_else(|| TITLE.to_owned()),
            day: flags.day.map_or_else(|| super::tomorrow(today), |d| d.day(today)),
            services: flags.services.clone(),
            dishes: flags.dishes.clone(),
            guests: flags.guests.unwrap_or(GUESTS),
            cooks: match flags.cooks.as_slice() {
                [] => vec![usual_cook("Cook", &flags.services)],
                cooks => cooks.to_vec(),
            },
            kitchen: flags.kitchen.clone().unwrap_or_else(usual_kitchen),
            on_time: flags.on_time.unwrap_or(ON_TIME_PERCENT),
            guidance: flags.guidance.clone().unwrap_or_else(|| Profile::DEFAULT_ID.to_owned()),
        }
    }

    /// The party, for a file in `folder`.
    ///
    /// # Errors
    /// The folder in which the program runs cannot be told.
    pub(super) fn party(&self, folder: &Path) -> std::io::Result<Party> {
        let services = self.service_list();
        let mut ids = BTreeSet::new();
        let mut dishes = Vec::new();
        for wish in &self.dishes {
            dishes.push(self.dish(wish, &services, &mut ids, folder)?);
        }
        Ok(Party {
            id: slug(&self.title),
            title: self.title.trim().to_owned(),
            day: self.day,
            services,
            dishes,
            cooks: self.cook_list(),
            kitchen: Sourced::Named(seen_from(folder, &self.kitchen)?),
            guests: vec![Guest {
                name: "guests".to_owned(),
                count: self.guests,
                diets: Vec::new(),
                avoids: Vec::new(),
                heat: None,
            }],
            least: Least::default(),
            guidance: self.guidance.clone(),
            room_c: 21,
            table_minutes: 45,
            degrees: None,
            borrowed: Vec::new(),
            in_house: Vec::new(),
            shops: None,
            appetite: Appetite::default(),
            pool_knife_work: false,
            on_time_percent: self.on_time,
            own_times: None,
        })
    }

    /// Services, each with an id of its own: names in other letters make none, and two of one
    /// name are a mistake that is told.
    fn service_list(&self) -> Vec<Service> {
        let mut list: Vec<Service> = Vec::new();
        for s in &self.services {
            let (id, title) = (slug(&s.name), capital(&s.name));
            let twin = list.iter().any(|other| other.title.to_lowercase() == title.to_lowercase());
            let free = || id::free(&id, |id| list.iter().any(|other| other.id == id));
            let id = if twin { id.clone() } else { free() };
            list.push(Service { id, title, at: s.at });
        }
        list
    }

    /// Cooks, likewise.
    fn cook_list(&self) -> Vec<Cook> {
        let mut list: Vec<Cook> = Vec::new();
        for one in self.cooks.iter().map(cook) {
            let twin =
                list.iter().any(|other| other.name.to_lowercase() == one.name.to_lowercase());
            let free = || id::free(&one.id, |id| list.iter().any(|other| other.id == id));
            let id = if twin { one.id.clone() } else { free() };
            list.push(Cook { id, ..one });
        }
        list
    }

    /// The same party as flags.
    pub(super) fn command_line(&self, out: Option<&Path>) -> String {
        let mut words = vec!["potwatch party new".to_owned()];
        let mut flag =
            |name: &str, value: String| words.push(format!("--{name} {}", quoted(&value)));
        flag("title", self.title.clone());
        flag("day", self.day.to_string());
        for s in &self.services {
            flag("service", format!("{}={}", s.name, s.at));
        }
        for d in &self.dishes {
            let servings = d.servings.unwrap_or(self.guests);
            let service = d.service.as_ref().map_or(String::new(), |s| format!(":{s}"));
            flag("dish", format!("{}:{servings}{service}", d.recipe));
        }
        flag("guests", self.guests.to_string());
        for c in &self.cooks {
            let free: Vec<String> = c.free.iter().map(|(a, b)| format!("{a}-{b}")).collect();
            flag("cook", format!("{}={}", c.name, free.join(",")));
        }
        flag("kitchen", self.kitchen.clone());
        if self.on_time != ON_TIME_PERCENT {
            flag("on-time", self.on_time.to_string());
        }
        if self.guidance != Profile::DEFAULT_ID {
            flag("guidance", self.guidance.clone());
        }
        if let Some(out) = out {
            flag("out", out.display().to_string());
        }
        words.join(" ")
    }

    fn dish(
        &self,
        wish: &DishWish,
        services: &[Service],
        ids: &mut BTreeSet<String>,
        folder: &Path,
    ) -> std::io::Result<Dish> {
        let recipe = recipe_of(&wish.recipe);
        let name = recipe.as_ref().map_or_else(|| slug(&wish.recipe), |r| r.id.clone());
        let mut id = name.clone();
        let mut n = 2;
        while !ids.insert(id.clone()) {
            id = format!("{name}-{n}");
            n += 1;
        }
        let service = match &wish.service {
            Some(service) => {
                let named = service.trim().to_lowercase();
                let same = |s: &&Service| s.title.to_lowercase() == named;
                services.iter().find(same).map_or_else(|| slug(service), |s| s.id.clone())
            }
            None => {
                let usual = usual_service(recipe.map(|r| r.course), services.len());
                services.get(usual).map_or(String::new(), |s| s.id.clone())
            }
        };
        Ok(Dish {
            id,
            recipe: Sourced::Named(seen_from(folder, &wish.recipe)?),
            servings: wish.servings.unwrap_or(self.guests),
            service,
            letter: None,
            day_before: false,
            swaps: Vec::new(),
            half: Vec::new(),
        })
    }
}

/// A cook with the usual hours around the services.
pub(super) fn usual_cook(name: &str, services: &[ServiceWish]) -> CookWish {
    let first = services.iter().map(|s| s.at.0).min().unwrap_or(18 * 60);
    let last = services.iter().map(|s| s.at.0).max().unwrap_or(18 * 60);
    let latest = 47 * 60 + 59;
    let free = (TimeOfDay((first - BEFORE).max(0)), TimeOfDay((last + AFTER).min(latest)));
    CookWish { name: name.to_owned(), free: vec![free] }
}

/// The first kitchen of the shelf for homes.
pub(super) fn usual_kitchen() -> String {
    let ids: Vec<&str> = shelf::KITCHENS.iter().map(|k| k.0).collect();
    let home = ids.iter().find(|id| **id == "home").or(ids.first());
    home.map_or(String::new(), |id| (*id).to_owned())
}

/// The service in which a course usually comes, by its index.
fn usual_service(course: Option<Course>, services: usize) -> usize {
    let last = services.saturating_sub(1);
    match course {
        Some(Course::Starter | Course::Drink) => 0,
        Some(Course::Dessert) => last,
        _ => last.min(1),
    }
}

fn recipe_of(name: &str) -> Option<Recipe> {
    if is_path(name) {
        return Document::read(Path::new(name)).ok()?.value().ok();
    }
    shelf::recipes().into_iter().find(|r| r.id == name)
}

/// A path as the party file must write it: unchanged in the same folder, in
/// full from another.
fn seen_from(folder: &Path, name: &str) -> std::io::Result<String> {
    let same = folder.as_os_str().is_empty() || folder == Path::new(".");
    if same || !is_path(name) {
        return Ok(name.to_owned());
    }
    let full: PathBuf = std::path::absolute(name)?;
    Ok(full.display().to_string())
}

fn cook(wish: &CookWish) -> Cook {
    Cook {
        id: slug(&wish.name),
        name: wish.name.clone(),
        free: wish.free.iter().map(|&(from, to)| Stretch { from, to }).collect(),
        free_day_before: Vec::new(),
    }
}

/// An id made of a name.
pub(super) fn slug(name: &str) -> String {
    let stem = Path::new(name).file_stem().and_then(|s| s.to_str()).unwrap_or(name);
    let stem = if is_path(name) { stem } else { name };
    let id: String = spelled(stem).chars().take(40).collect();
    if id.is_empty() { "party".to_owned() } else { id }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_are_made_of_names() {
        assert_eq!(slug("Autumn Supper"), "autumn-supper");
        assert_eq!(slug("  Jam & bread! "), "jam-bread");
        assert_eq!(slug("mine/Leek Pie.json"), "leek-pie");
        assert_eq!(slug("晩ご飯"), "party");
    }

    #[test]
    fn a_course_comes_in_its_usual_service() {
        use Course::*;
        let all =
            |n| [Starter, Main, Side, Bread, Dessert, Drink].map(|c| usual_service(Some(c), n));
        assert_eq!(all(1), [0; 6]);
        assert_eq!(all(2), [0, 1, 1, 1, 1, 0]);
        assert_eq!(all(3), [0, 1, 1, 1, 2, 0]);
        assert_eq!(usual_service(None, 0), 0);
    }
}

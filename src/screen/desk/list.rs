//! What lies on the shelf in front, as rows.

use super::{Deed, Desk};
use crate::order::InOrder;
use crate::screen::form::{Kind, Sort};

/// A row of the shelf.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Thing {
    /// Its id; a new thing has none.
    pub id: Option<String>,
    /// What it is called.
    pub title: String,
    /// What else is to be said of it.
    pub more: String,
    /// It is the cook's own.
    pub own: bool,
    /// Why it cannot be read, if it cannot.
    pub broken: bool,
    /// It brings a recipe in.
    pub brings: bool,
}

impl Desk {
    /// The rows of the shelf in front that fit what was typed; the first
    /// begins a new thing.
    #[must_use]
    pub fn things(&self) -> Vec<Thing> {
        let wanted = self.typed.to_lowercase();
        let words: Vec<&str> = wanted.split_whitespace().collect();
        let fits = |t: &Thing| {
            let text = format!("{} {}", t.title, t.more).to_lowercase();
            words.iter().all(|w| text.contains(w))
        };
        let mut things = vec![self.new_one()];
        things.extend((self.sort == Sort::Recipe).then(bring_one));
        let new = things.len();
        things.extend(self.shelf().into_iter().filter(fits));
        if !words.is_empty() && things.len() > new {
            // The thing that was looked for comes first.
            things.rotate_left(new);
        }
        things
    }

    fn new_one(&self) -> Thing {
        let waits = self.known.drafts.contains(&(self.sort, None));
        let title = match self.sort {
            Sort::Settings => "Your settings".to_owned(),
            sort => format!("+ a new {}", sort.word()),
        };
        let more = match (self.sort, waits) {
            (_, true) => "not saved yet: Enter goes on with it",
            (Sort::Party, _) => "day, services, guests, dishes, cooks",
            (Sort::Recipe, _) => "what goes in, its steps, how it waits",
            (Sort::Kitchen, _) => "begins as a home kitchen: racks, oven, bowls",
            (Sort::Settings, _) => {
                "units and clock, guidance, sounds, colours, big type, what alarms start"
            }
        };
        Thing { id: None, title, more: more.to_owned(), own: true, broken: false, brings: false }
    }

    fn shelf(&self) -> Vec<Thing> {
        let known = &self.known;
        let mut things: Vec<Thing> = match self.sort {
            Sort::Recipe => known
                .recipes
                .iter()
                .map(|r| {
                    let steps = r.steps.len();
                    let more =
                        format!("{}, {} servings, {steps} steps", r.course.word(), r.servings);
                    self.thing(&r.id, &r.title, more)
                })
                .collect(),
            Sort::Kitchen => known
                .kitchens
                .iter()
                .map(|k| {
                    let slots: u32 = k.stations.iter().map(|s| s.slots).sum();
                    let more = format!("{} stations, {slots} places", k.stations.len());
                    self.thing(&k.id, &k.title, more)
                })
                .collect(),
            Sort::Party => known
                .parties
                .iter()
                .map(|p| {
                    let day = serde_json::json!(p.day.to_string());
                    let day = Kind::Day.show(&day, known.reader);
                    let guests: u32 = p.guests.iter().map(|g| g.count).sum();
                    let more = format!("{day}, {} dishes, {guests} guests", p.dishes.len());
                    self.thing(&p.id, &p.title, more)
                })
                .collect(),
            Sort::Settings => Vec::new(),
        };
        things.order_by_key(|t| !t.own);
        let broken = known.broken.iter().filter(|b| b.0 == self.sort);
        things.extend(broken.map(|(_, id, why)| Thing {
            id: Some(id.clone()),
            title: id.clone(),
            more: format!("cannot be read: {why}"),
            own: true,
            broken: true,
            brings: false,
        }));
        things
    }

    fn thing(&self, id: &str, title: &str, mut more: String) -> Thing {
        let own = self.known.is_own(self.sort, id);
        if self.known.drafts.contains(&(self.sort, Some(id.to_owned()))) {
            more = format!("changes not saved; {more}");
        }
        let (id, title) = (Some(id.to_owned()), title.to_owned());
        Thing { id, title, more, own, broken: false, brings: false }
    }

    /// The thing in focus.
    #[must_use]
    pub fn chosen(&self) -> Option<Thing> {
        self.things().into_iter().nth(self.row)
    }

    /// What can be done with the thing in focus.
    #[must_use]
    pub fn deeds(&self) -> Vec<Deed> {
        let Some(thing) = self.chosen() else { return Vec::new() };
        match (self.sort, thing.own, thing.broken) {
            (_, _, true) => vec![Deed::TakeOff],
            (Sort::Party, _, _) => {
                vec![Deed::Cook, Deed::Change, Deed::Copy, Deed::Export, Deed::TakeOff]
            }
            (Sort::Recipe, true, _) => vec![Deed::Change, Deed::Copy, Deed::Share, Deed::TakeOff],
            (Sort::Recipe, false, _) => vec![Deed::Copy, Deed::Share],
            (_, true, _) => vec![Deed::Change, Deed::Copy, Deed::TakeOff],
            (_, false, _) => vec![Deed::Copy],
        }
    }
}

/// The row that brings a recipe in.
fn bring_one() -> Thing {
    Thing {
        id: None,
        title: "+ bring in a recipe you have".to_owned(),
        more: "Ctrl-B: a saved page, a text, pasted".to_owned(),
        own: true,
        broken: false,
        brings: true,
    }
}

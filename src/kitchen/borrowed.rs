//! What is borrowed for one party: more of what its kitchen has. The party says
//! so, the kitchen stays what it is; an [`Evening`](super::Evening)'s kitchen has both.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::equipment::{Kitchen, Station, StationKind};
use super::id;

/// The most pieces of a pan, or places of a station, that are borrowed at once. Our choice.
pub const MOST_OF_EACH: u32 = 50;

/// Something borrowed for a party, like something that the kitchen has.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Borrowed {
    /// What it is.
    pub what: Lendable,
    /// Id of the kitchen's own that it is like.
    pub like: String,
    /// How many pans more; of a station, how many places it has (racks, burners, boards). 1 to 50.
    #[serde(default = "one")]
    pub count: u32,
}

fn one() -> u32 {
    1
}

/// What can be borrowed.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Lendable {
    /// Pans, pots, trays, bowls.
    Cookware,
    /// One more station: a hot plate, an air fryer, an oven next door.
    Station,
}

impl Lendable {
    /// What the cook calls it, inside a sentence.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Cookware => "cookware",
            Self::Station => "station",
        }
    }
}

/// Puts what is borrowed beside the kitchen's own: more of a pan, one more
/// station behind all others. Says whether there is anything that it is like.
pub fn lend(kitchen: &mut Kitchen, borrowed: &Borrowed) -> bool {
    let Borrowed { what, like, count } = borrowed;
    match what {
        Lendable::Cookware => {
            let Some(ware) = kitchen.cookware.iter_mut().find(|c| c.id == *like) else {
                return false;
            };
            ware.count = ware.count.saturating_add(*count);
        }
        Lendable::Station => {
            let stations = &mut kitchen.stations;
            let Some(own) = stations.iter().find(|s| s.id == *like) else { return false };
            let another = Station {
                id: id::free(&own.id, |id| stations.iter().any(|s| s.id == id)),
                title: another(own, *count),
                slots: *count,
                ..own.clone()
            };
            stations.push(another);
        }
    }
    true
}

/// Adds to what is borrowed; more of the same pan is one entry.
pub fn add(all: &mut Vec<Borrowed>, more: Borrowed) {
    let same = |b: &&mut Borrowed| b.what == Lendable::Cookware && b.like == more.like;
    match all.iter_mut().find(same).filter(|_| more.what == Lendable::Cookware) {
        Some(there) => there.count = there.count.saturating_add(more.count),
        None => all.push(more),
    }
}

/// A kitchen with all that is borrowed.
#[must_use]
pub fn with(mut kitchen: Kitchen, borrowed: &[Borrowed]) -> Kitchen {
    for one in borrowed {
        lend(&mut kitchen, one);
    }
    kitchen
}

/// The kitchen alone: what is borrowed taken away from a kitchen that has it.
#[must_use]
pub fn without(mut kitchen: Kitchen, borrowed: &[Borrowed]) -> Kitchen {
    for Borrowed { what, like, count } in borrowed.iter().rev() {
        match what {
            Lendable::Cookware => {
                for ware in kitchen.cookware.iter_mut().filter(|c| c.id == *like) {
                    ware.count = ware.count.saturating_sub(*count);
                }
            }
            Lendable::Station => {
                if kitchen.stations.iter().any(|s| s.id == *like) {
                    kitchen.stations.pop();
                }
            }
        }
    }
    kitchen
}

/// "Another oven"; "Another burner" for a hot plate beside a hob of several.
fn another(own: &Station, places: u32) -> String {
    if is_hot_plate(own, places) {
        return "Another burner".to_owned();
    }
    format!("Another {}", own.title.to_lowercase())
}

/// Is a station with so many places, like this one, a hot plate beside a hob of several burners?
#[must_use]
pub fn is_hot_plate(own: &Station, places: u32) -> bool {
    own.kind == StationKind::Stovetop && places == 1 && own.slots > 1
}

/// What is borrowed, in words: "1 more: Baking dish, 3 l". None if it is like nothing here.
#[must_use]
pub fn words(kitchen: &Kitchen, borrowed: &Borrowed) -> Option<String> {
    let Borrowed { what, like, count } = borrowed;
    match what {
        Lendable::Cookware => {
            let ware = kitchen.cookware.iter().find(|c| c.id == *like)?;
            Some(format!("{count} more: {}", ware.title))
        }
        Lendable::Station => {
            kitchen.stations.iter().find(|s| s.id == *like).map(|own| another(own, *count))
        }
    }
}

/// What is to be borrowed for a party, a line each.
#[must_use]
pub fn lines(kitchen: &Kitchen, borrowed: &[Borrowed]) -> Vec<String> {
    borrowed.iter().filter_map(|one| words(kitchen, one)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kitchen::Cookware;

    fn kitchen() -> Kitchen {
        let station = |id: &str, title: &str, kind, slots| Station {
            id: id.into(),
            title: title.into(),
            kind,
            slots,
            thermostat: None,
            volume_ml: None,
        };
        let ware = Cookware {
            id: "dish".into(),
            title: "Baking dish, 3 l".into(),
            kind: "baking_dish".into(),
            count: 1,
            volume_ml: Some(3000),
            ovenproof: true,
        };
        Kitchen {
            id: "k".into(),
            title: "K".into(),
            stations: vec![
                station("hob", "Hob", StationKind::Stovetop, 4),
                station("counter", "Counter", StationKind::Counter, 2),
            ],
            cookware: vec![ware],
            servingware: Vec::new(),
        }
    }

    fn of(what: Lendable, like: &str, count: u32) -> Borrowed {
        Borrowed { what, like: like.into(), count }
    }

    #[test]
    fn what_is_borrowed_stands_beside_the_kitchens_own_and_goes_home_again() {
        let borrowed = [
            of(Lendable::Cookware, "dish", 2),
            of(Lendable::Station, "hob", 1),
            of(Lendable::Station, "hob", 4),
            of(Lendable::Cookware, "dish", 1),
        ];
        let with = super::with(kitchen(), &borrowed);
        assert_eq!(with.cookware[0].count, 4);
        let stations: Vec<_> =
            with.stations.iter().map(|s| (s.id.as_str(), s.title.as_str(), s.slots)).collect();
        assert_eq!(stations[2..], [("hob-2", "Another burner", 1), ("hob-3", "Another hob", 4)]);
        assert_eq!(lines(&with, &borrowed[..2]), ["2 more: Baking dish, 3 l", "Another burner"]);
        assert_eq!(without(with, &borrowed), kitchen());
        // One burner beside a hob of one is another hob.
        let mut small = kitchen();
        small.stations[0].slots = 1;
        assert!(!is_hot_plate(&small.stations[0], 1) && is_hot_plate(&kitchen().stations[0], 1));
        assert!(!is_hot_plate(&kitchen().stations[0], 2));
    }

    #[test]
    fn one_is_borrowed_unless_it_says_how_many() {
        let file = serde_json::json!({"what": "cookware", "like": "dish"});
        let read: Borrowed = serde_json::from_value(file).expect("reads");
        assert_eq!(read, of(Lendable::Cookware, "dish", 1));
    }

    #[test]
    fn more_of_the_same_pan_is_one_entry() {
        let mut all = vec![of(Lendable::Cookware, "dish", 1)];
        add(&mut all, of(Lendable::Cookware, "dish", 2));
        add(&mut all, of(Lendable::Station, "hob", 1));
        add(&mut all, of(Lendable::Station, "hob", 1));
        let (pan, burner) = (of(Lendable::Cookware, "dish", 3), of(Lendable::Station, "hob", 1));
        assert_eq!(all, [pan, burner.clone(), burner]);
        // A pan and a station of one name are two things.
        let mut named = vec![of(Lendable::Station, "dish", 1)];
        add(&mut named, of(Lendable::Cookware, "dish", 1));
        assert_eq!(named.len(), 2);
    }

    #[test]
    fn what_is_like_nothing_changes_nothing() {
        let unknown = [of(Lendable::Cookware, "wok", 1), of(Lendable::Station, "grill", 1)];
        assert_eq!(super::with(kitchen(), &unknown), kitchen());
        assert_eq!(without(kitchen(), &unknown), kitchen());
        assert!(lines(&kitchen(), &unknown).is_empty());
    }
}

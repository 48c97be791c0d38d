//! What kind of food a dish is and how it waits, as far as its words say. Of two
//! kinds that fit the stricter is proposed, and never an exemption.

use super::{TEXT_MOST, fit};
use crate::bring::found::Found;
use crate::bring::method::{Kept, Method, Wait};
use crate::kitchen::items::{self, Aisle, Allergen, Item, Origin};
use crate::kitchen::{FoodClass, Hold, HoldClass, Ingredient, Safety, StationKind, Step};

/// Parts of an item's name that make it no meat: what is boiled of it or called after it.
const NOT_ITSELF: [&str; 9] =
    ["stock", "broth", "bouillon", "consomme", "gravy", "sauce", "paste", "seasoning", "cube"];
const BROKEN: [&str; 6] = ["ground", "minced", "mince", "sausage", "burger", "meatball"];

/// The kind of food, with the words that it was read from.
pub(super) fn safety(found: &Found, ingredients: &[Ingredient], method: &Method) -> Safety {
    let heated = method.steps.iter().any(|s| s.station.heats());
    let oven = method.steps.iter().any(|s| s.station == StationKind::Oven);
    let (class, words) = class(found, ingredients, heated, oven);
    Safety {
        class,
        exempt: None,
        table_minutes: None,
        words: words.map(|w| fit(&w, TEXT_MOST)).filter(|w| !w.is_empty()),
        unconfirmed: true,
    }
}

fn class(
    found: &Found,
    ingredients: &[Ingredient],
    heated: bool,
    oven: bool,
) -> (FoodClass, Option<String>) {
    let line = |one: &Ingredient| one.line.clone().or_else(|| Some(one.item.clone()));
    let first =
        |of: &dyn Fn(&Ingredient) -> bool| ingredients.iter().find(|i| of(i)).and_then(line);
    let title = found.title.to_lowercase();
    let titled = |words: &[&str]| words.iter().any(|w| title.contains(w));
    if let Some(words) = first(&|i| is_of(i, &[Origin::Poultry], POULTRY)) {
        return (FoodClass::Poultry, Some(words));
    }
    let meat = |i: &Ingredient| {
        is_of(i, &[Origin::Beef, Origin::Pork, Origin::Lamb, Origin::Game, Origin::Meat], MEAT)
    };
    let holds = |i: &Ingredient, allergen: Allergen| {
        items::find(&i.item).is_some_and(|item: &Item| item.contains.contains(&allergen))
    };
    let egg = |i: &Ingredient| holds(i, Allergen::Egg);
    let milk =
        |i: &Ingredient| holds(i, Allergen::Milk) && !i.item.to_lowercase().contains("butter");
    let fish = |i: &Ingredient| is_fish(i);
    let kinds = [first(&meat), first(&egg), first(&milk), first(&fish)];
    let mixed = kinds.iter().flatten().count();
    if oven && (mixed >= 2 || titled(&["casserole", "gratin", "lasagn", "bake"]) && mixed >= 1) {
        return (FoodClass::Casserole, kinds.into_iter().flatten().next());
    }
    let broken = |i: &Ingredient| {
        let text = format!("{} {}", i.item, i.cut.as_deref().unwrap_or_default()).to_lowercase();
        meat(i) && BROKEN.iter().any(|w| text.contains(w))
    };
    if let Some(words) = first(&broken) {
        return (FoodClass::GroundMeat, Some(words));
    }
    if let Some(words) = first(&egg)
        && heated
        && titled(&["omelet", "frittata", "quiche", "custard", "egg", "tortilla", "souffl"])
    {
        return (FoodClass::EggDish, Some(words));
    }
    if let Some(words) = first(&meat) {
        return (FoodClass::WholeMeat, Some(words));
    }
    if let Some(words) = first(&fish) {
        return (FoodClass::Fish, Some(words));
    }
    if titled(&["bread", "rolls", "loaf", "cracker", "shortbread"]) && oven {
        return (FoodClass::BakedDry, Some(found.title.clone()));
    }
    let plant = |i: &Ingredient| {
        let aisle = items::find(&i.item).map(|item| item.aisle);
        matches!(aisle, Some(Aisle::Produce | Aisle::Grains))
    };
    match (heated, first(&plant), first(&milk)) {
        (true, Some(words), _) => (FoodClass::CookedPlant, Some(words)),
        (false, _, Some(words)) => (FoodClass::Dairy, Some(words)),
        (false, Some(words), None) => (FoodClass::CutProduce, Some(words)),
        _ => (FoodClass::Other, None),
    }
}

const POULTRY: &[&str] = &["chicken", "turkey", "duck", "goose", "poultry", "quail", "guinea fowl"];
const MEAT: &[&str] = &[
    "beef", "pork", "veal", "lamb", "mutton", "ham", "bacon", "steak", "sausage", "mince",
    "venison", "rabbit", "chorizo", "meatball",
];
const FISH: &[&str] = &[
    "fish", "salmon", "cod", "haddock", "trout", "tuna", "shrimp", "prawn", "crab", "lobster",
    "mussel", "clam", "squid", "scallop", "halibut", "mackerel", "sardine", "oyster",
];

/// Is it of one of these animals: by the table of items, or by its words where the
/// table does not know it?
fn is_of(one: &Ingredient, origins: &[Origin], words: &[&str]) -> bool {
    let lower = one.item.to_lowercase();
    if NOT_ITSELF.iter().any(|n| lower.contains(n)) {
        return false;
    }
    match items::find(&one.item) {
        Some(item) => item.aisle != Aisle::Cans && item.of.iter().any(|o| origins.contains(o)),
        None => lower.split(|c: char| !c.is_alphabetic()).any(|w| {
            let one = items::singular(w);
            words.iter().any(|n| *n == w || *n == one)
        }),
    }
}

fn is_fish(one: &Ingredient) -> bool {
    let by_table = items::find(&one.item).map(|item| {
        let sea = [Allergen::Fish, Allergen::Crustaceans, Allergen::Molluscs];
        item.aisle == Aisle::Fish
            || item.aisle == Aisle::Frozen && item.contains.iter().any(|a| sea.contains(a))
    });
    by_table.unwrap_or_else(|| is_of(one, &[], FISH))
}

/// How the dish may wait for its service. What the words say comes first; a hot
/// dish of which they say nothing is proposed a short wait where it was cooked.
/// The minutes and points are common practice, no source; each is unconfirmed.
pub(super) fn holds(method: &Method, steps: &[Step], said: &mut Vec<String>) -> Vec<Hold> {
    let mut holds: Vec<Hold> =
        method.waits.iter().filter_map(|wait| hold(wait.kept, Some(wait), steps)).collect();
    let last_heat = steps.iter().rposition(|s| s.ways.iter().any(|w| w.station.heats()));
    let cold = method.steps.last().and_then(|s| s.rest).is_some_and(|r| r.place.chills());
    if method.waits.is_empty() {
        let kept = match (last_heat, cold) {
            (_, true) => Kept::Cold,
            (Some(_), false) => Kept::Hot,
            (None, false) => Kept::Room,
        };
        holds.extend(hold(kept, None, steps));
        said.push("it does not say how the dish waits; a short wait is proposed".to_owned());
    }
    holds
}

fn hold(kept: Kept, wait: Option<&Wait>, steps: &[Step]) -> Option<Hold> {
    let heats = |s: &&Step| s.ways.iter().any(|w| w.station.heats());
    let heated = steps.iter().rev().find(heats).and_then(|s| s.ways.first()).map(|w| w.station);
    let (place, class, free, points, most) = match kept {
        Kept::AtOnce => return None,
        Kept::Hot if heated == Some(StationKind::Stovetop) => {
            (StationKind::Stovetop, HoldClass::Hot, 15, 2, 60)
        }
        Kept::Hot => (StationKind::Oven, HoldClass::Hot, 15, 2, 60),
        Kept::Cold => (StationKind::Fridge, HoldClass::Cold, 240, 1, 1440),
        Kept::Room => (StationKind::Counter, HoldClass::Room, 15, 2, 30),
    };
    let oven = place == StationKind::Oven;
    Some(Hold {
        place,
        class,
        at_c: oven.then_some(80),
        give_c: if oven { 10 } else { 0 },
        free_minutes: free,
        points,
        most_minutes: most,
        best_minutes: None,
        short_points: 0,
        cookware: None,
        dished: false,
        words: wait.map(|w| fit(&w.words, TEXT_MOST)).filter(|w| !w.is_empty()),
        unconfirmed: true,
    })
}

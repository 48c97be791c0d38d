//! The three answers that are given about a food.

use super::allergen::Allergen;
use super::diet::Diet;
use super::item::{Item, Origin};
use super::{find, words};
use crate::kitchen::Ingredient;

/// What is known of a food and something that a guest must not eat.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Answer {
    /// Nothing is known against it in the words given. That is not a promise.
    NothingKnown,
    /// It may be in it: read the label.
    MayContain,
    /// It is in it.
    Contains,
}

impl Answer {
    /// How it is said of something, inside a sentence.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::NothingKnown => "no known source in the words given",
            Self::MayContain => "may contain, read the label",
            Self::Contains => "contains",
        }
    }
}

impl Item {
    /// Does it hold this allergen? For food made of several things whatever is
    /// not listed may still be in it.
    #[must_use]
    pub fn allergen(&self, allergen: Allergen) -> Answer {
        if self.contains.contains(&allergen) {
            Answer::Contains
        } else if self.may_contain.contains(&allergen) || self.read_label {
            Answer::MayContain
        } else {
            Answer::NothingKnown
        }
    }

    /// Does it speak against a diet?
    #[must_use]
    pub fn against(&self, diet: Diet) -> Answer {
        let allergens = Allergen::ALL.into_iter().filter(|&a| diet.forbids(a));
        let listed = allergens.map(|a| {
            if self.contains.contains(&a) {
                Answer::Contains
            } else if self.may_contain.contains(&a) {
                Answer::MayContain
            } else {
                Answer::NothingKnown
            }
        });
        let is = self.of.iter().map(|&o| match diet.forbids_origin(o) {
            Some(true) => Answer::Contains,
            None => Answer::MayContain,
            Some(false) => Answer::NothingKnown,
        });
        let may_be = self.may_be_of.iter().map(|&o| match diet.forbids_origin(o) {
            Some(false) => Answer::NothingKnown,
            Some(true) | None => Answer::MayContain,
        });
        let alcohol = match self.alcohol && diet.forbids_alcohol() {
            true => Answer::Contains,
            false => Answer::NothingKnown,
        };
        let label = match diet.label_matters(self) {
            true => Answer::MayContain,
            false => Answer::NothingKnown,
        };
        listed.chain(is).chain(may_be).fold(alcohol.max(label), Answer::max)
    }
}

fn tells(words: &[String], telling: &[&str]) -> bool {
    words.iter().any(|w| telling.contains(&w.as_str()))
}

/// What is known of these words and an allergen. Words that the table does not
/// have are judged by telling ones among them ("macadamia"); without any, the
/// label decides.
#[must_use]
pub fn allergen(item: &str, allergen: Allergen) -> Answer {
    match find(item) {
        Some(item) => item.allergen(allergen),
        None if tells(&words::key(item), allergen.telling()) => Answer::Contains,
        None => Answer::MayContain,
    }
}

/// What is known of these words and a diet.
#[must_use]
pub fn against(item: &str, diet: Diet) -> Answer {
    match find(item) {
        Some(item) => item.against(diet),
        None => {
            let key = words::key(item);
            let allergens = Allergen::ALL.into_iter().filter(|&a| diet.forbids(a));
            let found = allergens.into_iter().any(|a| tells(&key, a.telling()));
            let meat = ORIGINS.iter().any(|(origin, telling)| {
                diet.forbids_origin(*origin) == Some(true) && tells(&key, telling)
            });
            if found || meat { Answer::Contains } else { Answer::MayContain }
        }
    }
}

/// Words of guests and of labels for what is of an animal, in the singular.
const ORIGINS: [(Origin, &[&str]); 8] = [
    (
        Origin::Pork,
        &["pork", "bacon", "ham", "lard", "chorizo", "prosciutto", "pancetta", "salami"],
    ),
    (Origin::Beef, &["beef", "veal", "oxtail", "steak", "suet"]),
    (Origin::Lamb, &["lamb", "mutton", "goat"]),
    (Origin::Poultry, &["poultry", "chicken", "turkey", "duck", "goose"]),
    (Origin::Game, &["game", "venison", "rabbit", "boar"]),
    (Origin::Meat, &["meat", "sausage", "meatball", "burger", "liver", "mince", "pate"]),
    (Origin::Gelatine, &["gelatine", "gelatin"]),
    (Origin::Honey, &["honey"]),
];

/// What guests call what is hot of chilli, and alcohol.
const KINDS: [&str; 5] = ["alcohol", "chilli", "chili", "spice", "spicy food"];

/// What is known of an item and of what a guest wrote that they avoid: an
/// allergen ("nuts", "shellfish"), a kind of food ("pork", "meat", "alcohol"),
/// a diet ("gluten-free"), or any item ("mushrooms").
#[must_use]
pub fn avoided(item: &str, avoid: &str) -> Answer {
    let named = Allergen::all_named(avoid);
    if let Some(worst) = named.into_iter().map(|a| allergen(item, a)).max() {
        return worst;
    }
    if let Some(diet) = Diet::named(avoid) {
        return against(item, diet);
    }
    let wanted = words::key(avoid);
    let word = wanted.join(" ");
    let known = find(item);
    match (word.as_str(), known) {
        ("alcohol", Some(item)) => return item.against(Diet::NoAlcohol),
        (kind, Some(item)) if KINDS.contains(&kind) && item.heat > 0 => {
            return Answer::Contains;
        }
        _ => {}
    }
    if let Some((origin, _)) =
        ORIGINS.iter().find(|(_, names)| names.first() == Some(&word.as_str()))
    {
        return of_animal(item, known, *origin);
    }
    same_thing(item, known, &wanted)
}

/// Do a guest's words mean what can make ill in traces: an allergen, or food that holds one ("shellfish", "almonds")?
#[must_use]
pub fn names_allergen(avoid: &str) -> bool {
    let holds = |a: Allergen| allergen(avoid, a) == Answer::Contains;
    !Allergen::all_named(avoid).is_empty() || Allergen::ALL.into_iter().any(holds)
}

/// Is it known what a guest's words mean? Else they are only looked for in the names of things.
#[must_use]
pub fn knows(avoid: &str) -> bool {
    let word = words::key(avoid).join(" ");
    !Allergen::all_named(avoid).is_empty()
        || Diet::named(avoid).is_some()
        || find(avoid).is_some()
        || KINDS.contains(&word.as_str())
        || ORIGINS.iter().any(|(_, names)| names.first() == Some(&word.as_str()))
}

/// Raw food of an animal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Raw {
    /// Fish and shellfish.
    Fish,
    /// Meat.
    Meat,
    /// Birds.
    Poultry,
}

/// What is made of an animal and not raw any more, by a word of its name.
const NOT_RAW: [&str; 14] = [
    "stock", "sauce", "powder", "paste", "broth", "bouillon", "oil", "canned", "tinned", "jar",
    "smoked", "cooked", "gravy", "crisp",
];

/// Do words that the table does not have sound like raw food of an animal: "wild boar shoulder", "haddock
/// tails"? Too many are better than one too few: it is kept cold, cut last, and washed after.
#[must_use]
pub fn sounds_raw(said: &str) -> Option<Raw> {
    let key = words::key(said);
    if find(said).is_some() || tells(&key, &NOT_RAW) {
        return None;
    }
    let fish = [Allergen::Fish, Allergen::Crustaceans, Allergen::Molluscs];
    if fish.into_iter().any(|a| tells(&key, a.telling())) {
        return Some(Raw::Fish);
    }
    let told = |(origin, telling): &&(Origin, &[&str])| {
        !matches!(origin, Origin::Gelatine | Origin::Honey) && tells(&key, telling)
    };
    let origin = ORIGINS.iter().find(told)?.0;
    Some(if origin == Origin::Poultry { Raw::Poultry } else { Raw::Meat })
}

fn of_animal(words: &str, item: Option<&Item>, origin: Origin) -> Answer {
    let meat = [Origin::Beef, Origin::Pork, Origin::Lamb, Origin::Poultry, Origin::Game];
    let meant = |o: &Origin| *o == origin || (origin == Origin::Meat && meat.contains(o));
    match item {
        Some(item) if item.of.iter().any(meant) => Answer::Contains,
        Some(item)
            if item.may_be_of.iter().chain(&item.of).any(|o| meant(o) || *o == Origin::Meat) =>
        {
            Answer::MayContain
        }
        Some(_) => Answer::NothingKnown,
        None => {
            let key = words::key(words);
            let told = ORIGINS.iter().any(|(o, telling)| meant(o) && tells(&key, telling));
            if told { Answer::Contains } else { Answer::MayContain }
        }
    }
}

/// Is it the very thing, or does its name hold the words?
fn same_thing(item: &str, known: Option<&Item>, wanted: &[String]) -> Answer {
    let telling = words::telling(wanted);
    let wanted = if telling.is_empty() { wanted } else { &telling };
    let holds = |name: &str| {
        let key = words::key(name);
        !wanted.is_empty() && wanted.iter().all(|w| key.contains(w))
    };
    let meant = find(&wanted.join(" "));
    let same = known.is_some_and(|a| meant.is_some_and(|b| a.name == b.name));
    // Words that the table does not have may be about whatever allergen they tell of: "goat cheese".
    let told = |a: &Allergen| meant.is_none() && tells(wanted, a.telling());
    let mut told = Allergen::ALL.into_iter().filter(told);
    if same || holds(item) || known.is_some_and(|k| holds(&k.name)) {
        Answer::Contains
    } else if known.is_none_or(|k| k.read_label)
        || told.any(|a| allergen(item, a) > Answer::NothingKnown)
    {
        Answer::MayContain
    } else {
        Answer::NothingKnown
    }
}

/// What is known of an ingredient and an allergen: the recipe's own list, where
/// it gives one, stands instead of the item's.
#[must_use]
pub fn ingredient_allergen(ingredient: &Ingredient, wanted: Allergen) -> Answer {
    match &ingredient.allergens {
        Some(own) => listed(own, wanted),
        None => allergen(&ingredient.item, wanted),
    }
}

/// What a recipe's own list says of an allergen. Words that nobody here knows may mean any.
fn listed(own: &[String], wanted: Allergen) -> Answer {
    let says = |words: &String| {
        let named = Allergen::all_named(words);
        match wanted {
            _ if named.is_empty() => allergen(words, wanted),
            _ if named.contains(&wanted) => Answer::Contains,
            Allergen::Gluten if named.contains(&Allergen::Wheat) => Answer::Contains,
            Allergen::Wheat if named.contains(&Allergen::Gluten) => Answer::MayContain,
            _ => Answer::NothingKnown,
        }
    };
    own.iter().map(says).max().unwrap_or(Answer::NothingKnown)
}

/// What is known of an ingredient and a diet. The recipe's own list of
/// allergens can speak against a diet, never for it.
#[must_use]
pub fn ingredient_against(ingredient: &Ingredient, diet: Diet) -> Answer {
    let own = ingredient.allergens.as_deref().unwrap_or_default();
    let forbidden = Allergen::ALL.into_iter().filter(|&a| diet.forbids(a));
    let worst = forbidden.map(|a| listed(own, a)).max().unwrap_or(Answer::NothingKnown);
    worst.max(against(&ingredient.item, diet))
}

/// As [`avoided`], of an ingredient: what its recipe lists can speak against it too. Who avoids almonds reads
/// the label of what is said to hold tree nuts.
#[must_use]
pub fn ingredient_avoided(ingredient: &Ingredient, avoid: &str) -> Answer {
    let own = ingredient.allergens.as_deref().unwrap_or_default();
    let held = Allergen::ALL.into_iter().filter(|&a| allergen(avoid, a) == Answer::Contains);
    let speaks = held.map(|a| listed(own, a)).max().unwrap_or(Answer::NothingKnown);
    avoided(&ingredient.item, avoid).max(speaks.min(Answer::MayContain))
}

#[cfg(test)]
mod tests {
    use super::*;
    use Answer::{Contains, MayContain, NothingKnown};

    #[test]
    fn three_answers_and_never_a_promise() {
        for (item, a, answer) in [
            ("soy sauce", Allergen::Wheat, Contains),
            ("soy sauce", Allergen::Soybean, Contains),
            ("mayonnaise", Allergen::Egg, Contains),
            ("fish sauce", Allergen::Fish, Contains),
            ("worcestershire sauce", Allergen::Fish, Contains),
            ("marzipan", Allergen::TreeNuts, Contains),
            ("tahini", Allergen::Sesame, Contains),
            ("rolled oats", Allergen::Gluten, Contains),
            ("rolled oats", Allergen::Wheat, MayContain),
            ("wholegrain mustard", Allergen::Mustard, Contains),
            ("wholegrain mustard", Allergen::Milk, MayContain),
            ("vegetable stock", Allergen::Celery, MayContain),
            ("onion", Allergen::Celery, NothingKnown),
            ("chestnuts", Allergen::TreeNuts, NothingKnown),
            ("coconut milk", Allergen::Milk, NothingKnown),
            ("macadamia milk", Allergen::TreeNuts, Contains),
            ("dragon scales", Allergen::Milk, MayContain),
        ] {
            assert_eq!(allergen(item, a), answer, "{item}, {a:?}");
        }
        for answer in [Contains, MayContain, NothingKnown] {
            assert!(!answer.words().contains("safe") && !answer.words().contains("free"));
        }
    }

    /// What a recipe lists of an ingredient itself: what follows from it, and what nobody here knows.
    #[test]
    fn the_recipes_own_list_speaks_in_whatever_words() {
        let of = |item: &str, own: &[&str]| -> Ingredient {
            serde_json::from_value(serde_json::json!({"item": item, "allergens": own}))
                .expect("an ingredient")
        };
        for (own, wanted, answer) in [
            ("wheat", Allergen::Gluten, Contains),
            ("gluten", Allergen::Wheat, MayContain),
            ("gluten", Allergen::Milk, NothingKnown),
            ("shellfish", Allergen::Crustaceans, Contains),
            ("nuts", Allergen::Peanut, Contains),
            ("almonds", Allergen::TreeNuts, Contains),
            ("number four", Allergen::Milk, MayContain),
        ] {
            let of = of("onion", &[own]);
            assert_eq!(ingredient_allergen(&of, wanted), answer, "{own}, {wanted:?}");
        }
        assert_eq!(ingredient_allergen(&of("butter", &[]), Allergen::Milk), NothingKnown);
        assert_eq!(ingredient_against(&of("onion", &["shellfish"]), Diet::Vegan), Contains);
        assert_eq!(ingredient_against(&of("onion", &["number four"]), Diet::Vegan), MayContain);
        assert_eq!(ingredient_against(&of("onion", &["number four"]), Diet::NoPork), NothingKnown);
        for (item, own, avoid, answer) in [
            ("rolled oats", "tree nuts", "almonds", MayContain),
            ("rolled oats", "sesame", "almonds", NothingKnown),
            ("rolled oats", "tree nuts", "mushrooms", NothingKnown),
            ("mushroom", "tree nuts", "mushrooms", Contains),
        ] {
            assert_eq!(ingredient_avoided(&of(item, &[own]), avoid), answer, "{item}, {avoid}");
        }
    }

    #[test]
    fn what_the_table_does_not_have_may_sound_raw() {
        for (words, raw) in [
            ("wild boar shoulder", Some(Raw::Meat)),
            ("haddock tails from the quay", Some(Raw::Fish)),
            ("dragon prawns", Some(Raw::Fish)),
            ("marsh duck", Some(Raw::Poultry)),
            ("dragon fish sauce", None),
            ("moon rock", None),
            // The table has it, and says so itself.
            ("chicken breast", None),
        ] {
            assert_eq!(sounds_raw(words), raw, "{words}");
        }
    }

    #[test]
    fn it_is_known_what_words_mean_or_not() {
        for word in ["nuts", "no eggs", "pork", "gluten-free", "alcohol", "spicy food", "mushrooms"]
        {
            assert!(knows(word), "{word}");
        }
        for word in ["nightshades", "buffalo cheese", ""] {
            assert!(!knows(word), "{word}");
        }
    }

    #[test]
    fn diets_are_spoken_against() {
        for (item, diet, answer) in [
            ("butter", Diet::Vegan, Contains),
            ("butter", Diet::Vegetarian, NothingKnown),
            ("honey", Diet::Vegan, Contains),
            ("honey", Diet::Vegetarian, NothingKnown),
            ("parmesan", Diet::Vegetarian, Contains),
            ("cheddar", Diet::Vegetarian, MayContain),
            ("gelatine", Diet::Vegetarian, Contains),
            ("bacon", Diet::NoPork, Contains),
            ("bacon", Diet::Pescatarian, Contains),
            ("salmon", Diet::Pescatarian, NothingKnown),
            ("salmon", Diet::Vegetarian, Contains),
            ("red wine", Diet::Halal, Contains),
            ("minced beef", Diet::Halal, MayContain),
            ("prawns", Diet::Kosher, Contains),
            ("flour", Diet::GlutenFree, Contains),
            ("onion", Diet::Vegan, NothingKnown),
            ("dragon scales", Diet::Vegan, MayContain),
            ("goat sausage", Diet::Vegetarian, Contains),
            // What is made of several things may hide milk or egg; pork and alcohol are listed where they are known.
            ("wholegrain mustard", Diet::Vegan, MayContain),
            ("wholegrain mustard", Diet::NoPork, NothingKnown),
            ("wholegrain mustard", Diet::NoAlcohol, NothingKnown),
        ] {
            assert_eq!(against(item, diet), answer, "{item}, {diet:?}");
        }
        assert!(Diet::Halal.only_ruled_out());
    }

    #[test]
    fn whatever_a_guest_writes_is_held_against_the_item() {
        for (item, avoid, answer) in [
            ("large mushroom", "mushrooms", Contains),
            ("garlic powder", "garlic", Contains),
            ("onion", "garlic", NothingKnown),
            ("pesto", "garlic", MayContain),
            ("prawn", "shellfish", Contains),
            ("squid", "shellfish", Contains),
            ("salmon", "seafood", Contains),
            ("bacon", "pork", Contains),
            ("bacon", "meat", Contains),
            ("red wine", "alcohol", Contains),
            ("cayenne pepper", "chilli", Contains),
            ("zucchini", "courgettes", Contains),
            ("walnuts", "tree nuts", Contains),
            ("walnuts", "walnuts", Contains),
            ("almonds", "walnuts", NothingKnown),
            ("butter", "dairy", Contains),
            ("dragon scales", "garlic", MayContain),
            // Of an animal: of that one, of one that may be it, of another, or only told by its words.
            ("liver", "pork", MayContain),
            ("stock cube", "beef", MayContain),
            ("chicken breast", "pork", NothingKnown),
            ("minced lamb", "meat", Contains),
            ("wild boar pate", "game", Contains),
            ("wild boar pate", "beef", MayContain),
            ("dragon scales", "pork", MayContain),
            ("onion", "chilli", NothingKnown),
            ("onion", "spicy food", NothingKnown),
            // By a third name of it, and of what the table does not have by its words.
            ("scallions", "salad onions", Contains),
            ("dragon mushroom", "mushrooms", Contains),
            ("dragon mushroom", "fresh mushrooms", Contains),
            // Nuts are peanuts too; whatever a guest says beside the allergen.
            ("peanut butter", "nuts", Contains),
            ("walnuts", "nut allergy", Contains),
            ("butter", "dairy products", Contains),
            ("egg", "no eggs", Contains),
            ("onion", "nut allergy", NothingKnown),
            // What the table does not have is told of by its words, if by one.
            ("butter", "buffalo cheese", MayContain),
            ("celery", "celery tops", MayContain),
            ("onion", "buffalo cheese", NothingKnown),
        ] {
            assert_eq!(avoided(item, avoid), answer, "{item} / {avoid}");
        }
    }
}

//! The table itself, read once from `assets/items/`, and the index of its names.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use serde::Deserialize;

use super::item::{Aisle, Item};
use super::words;
use crate::order::InOrder;

/// Lists the files of the table.
macro_rules! aisles {
    ($($name:literal),+ $(,)?) => {
        &[$(include_str!(concat!("../../../assets/items/", $name, ".json"))),+]
    };
}

const FILES: &[&str] = aisles!(
    "produce", "bread", "meat", "fish", "dairy", "cans", "grains", "baking", "spices", "oils",
    "nuts", "frozen", "drinks", "tap",
);

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct AisleFile {
    aisle: Aisle,
    items: Vec<Item>,
}

/// The items, and where each name leads.
struct Book {
    items: Vec<Item>,
    /// By a name letter for letter, as most recipes write it: taking words apart takes far longer, and a
    /// plan asks for every ingredient and every guest.
    as_written: BTreeMap<String, usize>,
    /// By the words of a name, in their order.
    ordered: BTreeMap<Vec<String>, usize>,
    /// By the words of a name in any order ("flour, wheat, general purpose");
    /// nothing where two items would answer to them.
    any_order: BTreeMap<Vec<String>, Option<usize>>,
}

fn read(text: &str) -> Result<Vec<Item>, serde_json::Error> {
    let AisleFile { aisle, items } = serde_json::from_str(text)?;
    Ok(items.into_iter().map(|item| Item { aisle, ..item }).collect())
}

fn sorted(mut key: Vec<String>) -> Vec<String> {
    key.sort_unstable();
    key
}

impl Book {
    fn new(items: Vec<Item>) -> Self {
        let (mut ordered, mut any_order) = (BTreeMap::new(), BTreeMap::new());
        let mut as_written = BTreeMap::new();
        for (index, item) in items.iter().enumerate() {
            for name in std::iter::once(&item.name).chain(&item.also) {
                let key = words::key(name);
                any_order
                    .entry(sorted(key.clone()))
                    .and_modify(|i: &mut Option<usize>| *i = i.filter(|&i| i == index))
                    .or_insert(Some(index));
                let first = ordered.entry(key).or_insert(index);
                as_written.insert(name.clone(), *first);
            }
        }
        Self { items, as_written, ordered, any_order }
    }

    fn find(&self, name: &str) -> Option<&Item> {
        if let Some(&index) = self.as_written.get(name) {
            return self.items.get(index);
        }
        let key = words::key(name);
        let telling = words::telling(&key);
        let index = self.exactly(key).or_else(|| self.exactly(telling))?;
        self.items.get(index)
    }

    fn exactly(&self, key: Vec<String>) -> Option<usize> {
        let found = self.ordered.get(&key).copied();
        found.or_else(|| self.any_order.get(&sorted(key)).copied().flatten())
    }
}

fn book() -> &'static Book {
    static BOOK: OnceLock<Book> = OnceLock::new();
    // A test reads each file; one that cannot be read leaves its aisle out.
    BOOK.get_or_init(|| Book::new(FILES.iter().flat_map(|f| read(f).unwrap_or_default()).collect()))
}

/// Every item, aisle by aisle, by name.
#[must_use]
pub fn all() -> &'static [Item] {
    &book().items
}

/// The item that these words name: by its name or another one of it, in the
/// singular or plural, its words in any order, words that change nothing
/// ("large", "finely chopped", "fresh") left out. Nothing when the words name
/// something else, or more than one thing: "almond butter" is not butter.
#[must_use]
pub fn find(words: &str) -> Option<&'static Item> {
    book().find(words)
}

/// Names of the table that are near to these words, the nearest first, at most three.
#[must_use]
pub fn suggest(words: &str) -> Vec<&'static str> {
    let wanted = words::key(words).join(" ");
    let mut near: Vec<(f64, &'static str)> = Vec::new();
    for item in all() {
        let names = std::iter::once(&item.name).chain(&item.also);
        let likeness = names
            .map(|name| strsim::jaro_winkler(&wanted, &words::key(name).join(" ")))
            .fold(0.0, f64::max);
        if likeness > 0.87 {
            near.push((likeness, &item.name));
        }
    }
    near.order_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(b.1)));
    near.into_iter().take(3).map(|(_, name)| name).collect()
}

#[cfg(test)]
mod tests {
    use super::super::SoldBy;
    use super::*;

    fn name(words: &str) -> Option<&'static str> {
        find(words).map(|i| i.name.as_str())
    }

    #[test]
    fn a_name_letter_for_letter_leads_where_its_words_lead() {
        let names = all().iter().flat_map(|i| std::iter::once(&i.name).chain(&i.also));
        for name in names {
            let by_words = find(&format!(" {name} ")).map(|i| &i.name);
            assert_eq!(find(name).map(|i| &i.name), by_words, "{name}");
        }
    }

    /// Words in any order lead to the one item that has just these, and to none where two have.
    #[test]
    fn words_in_any_order_lead_to_the_one_item_that_has_them() {
        let item = |name: &str, also: &[&str]| -> Item {
            serde_json::from_value(serde_json::json!({"name": name, "also": also})).expect("reads")
        };
        let book = Book::new(vec![
            item("sweet red pepper", &["red sweet pepper"]),
            item("rice flour noodle", &[]),
            item("noodle rice flour", &[]),
        ]);
        let found = |words: &str| book.find(words).map(|i| i.name.clone());
        let is = |name: &str| Some(name.to_owned());
        assert_eq!(found("pepper, sweet, red"), is("sweet red pepper"));
        assert_eq!(found("Rice flour noodles"), is("rice flour noodle"));
        assert_eq!(found("noodle rice flour"), is("noodle rice flour"));
        assert_eq!((found("flour, rice, noodle"), found("pepper, red")), (None, None));
    }

    /// The names of the whole table that a mistyped one is nearest to, nearest first.
    #[test]
    fn of_names_that_are_near_the_nearest_come_first() {
        for typed in ["onoin", "tomatoe paste", "chiken breast", "carot", "potatoe"] {
            let typed_key = words::key(typed).join(" ");
            let like = |item: &Item| {
                let names = std::iter::once(&item.name).chain(&item.also);
                let near = |n: &String| strsim::jaro_winkler(&typed_key, &words::key(n).join(" "));
                names.map(near).fold(0.0, f64::max)
            };
            let mut all: Vec<f64> = all().iter().map(like).collect();
            all.sort_by(|a, b| b.total_cmp(a));
            let said: Vec<f64> =
                suggest(typed).iter().map(|n| like(find(n).expect("an item"))).collect();
            assert!(!said.is_empty(), "{typed}");
            assert_eq!(said, all[..said.len()], "{typed}");
        }
    }

    #[test]
    fn every_file_reads_and_is_listed() {
        for text in FILES {
            read(text).expect("an aisle");
        }
        let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/assets/items");
        assert_eq!(std::fs::read_dir(folder).expect("folder").count(), FILES.len());
        assert!(all().len() > 500);
    }

    #[test]
    fn no_name_leads_to_two_items() {
        let mut seen: BTreeMap<Vec<String>, &str> = BTreeMap::new();
        for item in all() {
            for word in std::iter::once(&item.name).chain(&item.also) {
                let key = words::key(word);
                assert!(!key.is_empty());
                let other = seen.insert(key, &item.name);
                assert!(other.is_none_or(|o| o == item.name), "{word}: {other:?}, {}", item.name);
                assert_eq!(name(word), Some(item.name.as_str()), "{word}");
            }
        }
    }

    #[test]
    fn the_figures_of_every_item_make_sense() {
        use crate::kitchen::items::Allergen;
        use crate::kitchen::units::Exact;
        for item in all() {
            let name = &item.name;
            let hundred = Exact::whole(100);
            if let Some(edible) = &item.edible {
                assert!(edible.percent.is_positive() && edible.percent <= hundred, "{name}");
                assert!(edible.from.is_some() || item.sr28.is_some(), "{name}: edible by whom?");
            }
            for w in &item.weighs {
                assert!(w.g.is_positive(), "{name}");
                assert!(w.from.is_some() || item.sr28.is_some(), "{name}: weighed by whom?");
            }
            for m in &item.measures {
                assert!(m.g.is_positive(), "{name}");
                assert!(m.from.is_some() || item.sr28.is_some(), "{name}: measured by whom?");
            }
            for p in &item.packs {
                let held = [p.g, p.ml, p.pieces].into_iter().flatten().collect::<Vec<_>>();
                assert!(held.len() == 1 && held.iter().all(|h| h.is_positive()), "{name}: {p:?}");
                assert!(p.drained_g.is_none_or(|d| p.g.is_some_and(|g| d < g)), "{name}: {p:?}");
            }
            assert_eq!(
                item.packs.is_empty(),
                item.sold_by != SoldBy::Pack || item.aisle == Aisle::Tap,
                "{name}"
            );
            if let Some(from) = &item.comes_from {
                assert!(find(from).is_some(), "{name}: {from}");
            }
            let both = |a: &Allergen| item.contains.contains(a) && item.may_contain.contains(a);
            assert!(!Allergen::ALL.iter().any(both), "{name}");
            let wheat = item.contains.contains(&Allergen::Wheat);
            assert!(
                !wheat || item.contains.contains(&Allergen::Gluten),
                "{name}: wheat has gluten"
            );
            assert!(item.heat <= 4, "{name}");
        }
    }

    #[test]
    fn the_words_of_recipes_are_found() {
        for (words, item) in [
            ("onions", "onion"),
            ("2 large yellow onions, finely chopped", "-"),
            ("large yellow onions, finely chopped", "onion"),
            ("FLOUR,WHEAT,GENERAL PURPOSE", "flour"),
            ("Zucchini", "courgette"),
            ("fresh cilantro", "coriander leaf"),
            ("jalapeños", "jalapeno"),
            ("crème fraîche", "soured cream"),
            ("unsalted butter", "butter"),
            ("peanut butter", "peanut butter"),
            ("ground beef", "minced beef"),
            ("garlic cloves", "garlic"),
            ("almond butter", "almond butter"),
            ("walnut butter", "-"),
            ("macadamia milk", "-"),
            ("tomatoes", "tomato"),
            ("cherry tomatoes", "cherry tomato"),
            ("bay leaves", "bay leaf"),
            ("", "-"),
            ("fresh", "-"),
        ] {
            assert_eq!(name(words).unwrap_or("-"), item, "{words}");
        }
        assert_eq!(suggest("onoin").first(), Some(&"onion"));
        assert!(suggest("dragon scales").is_empty());
    }
}

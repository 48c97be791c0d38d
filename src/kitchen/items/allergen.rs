//! The allergens that law names: the nine of the US and the fourteen of the EU.
//!
//! US: Federal Food, Drug, and Cosmetic Act 201(qq), sesame added by the FASTER
//! Act of 2021; FDA guidance on food allergen labelling, edition 5 (January
//! 2025). EU: Regulation (EU) No 1169/2011, annex II.

use serde::{Deserialize, Serialize};

use super::words;
use crate::order::InOrder;

/// A food that law makes labels name.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Allergen {
    /// Milk of any animal, lactose with it.
    Milk,
    /// Eggs of any bird.
    Egg,
    /// Fish.
    Fish,
    /// Crustaceans: prawns, crab, lobster.
    Crustaceans,
    /// Molluscs: mussels, squid, snails. Named in the EU only.
    Molluscs,
    /// Tree nuts. The US list of January 2025 has pine nuts and no coconut; the
    /// EU list has no pine nuts. Here they count, coconut does not.
    TreeNuts,
    /// Peanuts.
    Peanut,
    /// Wheat, spelt and khorasan with it.
    Wheat,
    /// Cereals containing gluten: wheat, rye, barley, oats. Named in the EU only.
    Gluten,
    /// Soybeans.
    Soybean,
    /// Sesame.
    Sesame,
    /// Celery and celeriac. Named in the EU only.
    Celery,
    /// Mustard. Named in the EU only.
    Mustard,
    /// Lupin. Named in the EU only.
    Lupin,
    /// Sulphur dioxide and sulphites above 10 mg/kg. In the EU list; on US labels apart from it.
    Sulphites,
}

/// Words beside the name of an allergen that do not change what is meant.
const FILLERS: [&str; 22] = [
    "no",
    "not",
    "any",
    "all",
    "kind",
    "and",
    "or",
    "allergy",
    "allergic",
    "allergen",
    "to",
    "intolerant",
    "intolerance",
    "free",
    "without",
    "product",
    "please",
    "disease",
    "severe",
    "severely",
    "trace",
    "protein",
];

/// Words of the longest name of an allergen: "cereal containing gluten".
const LONGEST_NAME: usize = 3;

impl Allergen {
    /// Every allergen of either list.
    pub const ALL: [Self; 15] = [
        Self::Milk,
        Self::Egg,
        Self::Fish,
        Self::Crustaceans,
        Self::Molluscs,
        Self::TreeNuts,
        Self::Peanut,
        Self::Wheat,
        Self::Gluten,
        Self::Soybean,
        Self::Sesame,
        Self::Celery,
        Self::Mustard,
        Self::Lupin,
        Self::Sulphites,
    ];

    /// What a card says: "contains milk".
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Milk => "milk",
            Self::Egg => "egg",
            Self::Fish => "fish",
            Self::Crustaceans => "crustaceans",
            Self::Molluscs => "molluscs",
            Self::TreeNuts => "tree nuts",
            Self::Peanut => "peanut",
            Self::Wheat => "wheat",
            Self::Gluten => "cereals with gluten",
            Self::Soybean => "soya",
            Self::Sesame => "sesame",
            Self::Celery => "celery",
            Self::Mustard => "mustard",
            Self::Lupin => "lupin",
            Self::Sulphites => "sulphites",
        }
    }

    /// One of the nine major allergens of US law.
    #[must_use]
    pub const fn in_us_nine(self) -> bool {
        !matches!(
            self,
            Self::Molluscs
                | Self::Gluten
                | Self::Celery
                | Self::Mustard
                | Self::Lupin
                | Self::Sulphites
        )
    }

    /// One of the fourteen of EU law, which names wheat among the cereals with gluten.
    #[must_use]
    pub const fn in_eu_fourteen(self) -> bool {
        !matches!(self, Self::Wheat)
    }

    /// All allergens that somebody's words mean, if they say nothing else: "nuts" are of trees and peanuts,
    /// "shellfish" has two kinds, "no eggs or milk", "nut allergy". Nothing where other words are among them.
    #[must_use]
    pub fn all_named(said: &str) -> Vec<Self> {
        let filler = |w: &String| FILLERS.contains(&w.as_str());
        let mut key = words::telling(&words::key(said));
        key.retain(|w| !filler(w));
        let mut found = Vec::new();
        let mut rest = key.as_slice();
        while !rest.is_empty() {
            let longest = (1..=rest.len().min(LONGEST_NAME)).rev();
            let next = longest.into_iter().find_map(|n| {
                let (name, after) = rest.split_at_checked(n)?;
                let meant = Self::group(&name.join(" "));
                (!meant.is_empty()).then_some((meant, after))
            });
            let Some((meant, after)) = next else { return Vec::new() };
            found.extend(meant);
            rest = after;
        }
        found.order();
        found.dedup();
        found
    }

    /// What a name means: one allergen, or those that people call by one word.
    fn group(name: &str) -> Vec<Self> {
        match name {
            "shellfish" | "shell fish" => vec![Self::Crustaceans, Self::Molluscs],
            "seafood" | "sea food" => vec![Self::Fish, Self::Crustaceans, Self::Molluscs],
            // Whoever says nuts may well mean peanuts too; who does not says tree nuts.
            "nut" => vec![Self::TreeNuts, Self::Peanut],
            name => Self::ALL.into_iter().filter(|a| a.names().contains(&name)).collect(),
        }
    }

    /// What guests call it, in the singular.
    const fn names(self) -> &'static [&'static str] {
        match self {
            Self::Milk => &["milk", "dairy", "lactose", "cow milk", "cows milk", "casein"],
            Self::Egg => &["egg"],
            Self::Fish => &["fish"],
            Self::Crustaceans => &["crustacean", "crustacean shellfish", "prawn", "shrimp"],
            Self::Molluscs => &["mollusc", "mollusk"],
            Self::TreeNuts => &["tree nut", "nut", "treenut"],
            Self::Peanut => &["peanut", "groundnut"],
            Self::Wheat => &["wheat"],
            Self::Gluten => {
                &["gluten", "cereal with gluten", "cereal containing gluten", "coeliac", "celiac"]
            }
            Self::Soybean => &["soybean", "soya", "soy", "soya bean"],
            Self::Sesame => &["sesame", "sesame seed"],
            Self::Celery => &["celery", "celeriac"],
            Self::Mustard => &["mustard"],
            Self::Lupin => &["lupin", "lupine"],
            Self::Sulphites => &["sulphite", "sulfite", "sulphur dioxide", "sulfur dioxide"],
        }
    }

    /// Words that tell of it in the name of something that the table does not
    /// have, in the singular. Too many are better than one too few.
    pub(super) const fn telling(self) -> &'static [&'static str] {
        match self {
            Self::Milk => &[
                "milk",
                "butter",
                "buttermilk",
                "cream",
                "cheese",
                "yoghurt",
                "yogurt",
                "whey",
                "casein",
                "ghee",
                "custard",
                "dairy",
                "lactose",
                "curd",
                "fraiche",
                "ricotta",
                "mozzarella",
                "parmesan",
                "cheddar",
                "feta",
                "mascarpone",
                "quark",
                "kefir",
                "latte",
                "caramel",
                "fudge",
                "toffee",
            ],
            Self::Egg => &[
                "egg",
                "mayonnaise",
                "mayo",
                "aioli",
                "meringue",
                "hollandaise",
                "omelette",
                "frittata",
                "quiche",
                "custard",
                "albumen",
            ],
            Self::Fish => &[
                "fish",
                "anchovy",
                "cod",
                "salmon",
                "tuna",
                "trout",
                "mackerel",
                "herring",
                "haddock",
                "sardine",
                "caviar",
                "roe",
                "dashi",
                "bonito",
                "surimi",
                "worcestershire",
            ],
            Self::Crustaceans => &[
                "prawn",
                "shrimp",
                "crab",
                "lobster",
                "crayfish",
                "langoustine",
                "krill",
                "shellfish",
                "scampi",
            ],
            Self::Molluscs => &[
                "mussel",
                "clam",
                "oyster",
                "scallop",
                "squid",
                "octopus",
                "cuttlefish",
                "snail",
                "calamari",
                "shellfish",
                "whelk",
                "cockle",
                "abalone",
            ],
            Self::TreeNuts => &[
                "nut",
                "almond",
                "walnut",
                "hazelnut",
                "cashew",
                "pecan",
                "pistachio",
                "macadamia",
                "brazil",
                "praline",
                "marzipan",
                "frangipane",
                "nougat",
                "pesto",
                "amaretto",
                "amaretti",
                "filbert",
                "gianduja",
                "baklava",
            ],
            Self::Peanut => &["peanut", "groundnut", "satay"],
            Self::Wheat | Self::Gluten => &[
                "wheat",
                "flour",
                "bread",
                "breadcrumb",
                "crumb",
                "pasta",
                "noodle",
                "couscous",
                "bulgur",
                "semolina",
                "spelt",
                "farro",
                "seitan",
                "pastry",
                "biscuit",
                "cracker",
                "cake",
                "tortilla",
                "bun",
                "roll",
                "bagel",
                "pretzel",
                "batter",
                "breaded",
                "dumpling",
                "gnocchi",
                "panko",
                "rye",
                "barley",
                "oat",
                "malt",
                "beer",
                "triticale",
                "freekeh",
                "khorasan",
                "cookie",
                "wafer",
                "pizza",
                "pie",
            ],
            Self::Soybean => &[
                "soy", "soya", "soybean", "tofu", "tempeh", "miso", "edamame", "natto", "tamari",
                "shoyu", "okara", "lecithin",
            ],
            Self::Sesame => {
                &["sesame", "tahini", "tahina", "hummus", "houmous", "halva", "gomasio"]
            }
            Self::Celery => &["celery", "celeriac", "mirepoix", "stock", "bouillon"],
            Self::Mustard => &["mustard"],
            Self::Lupin => &["lupin", "lupine", "lupini"],
            Self::Sulphites => &["sulphite", "sulfite", "wine"],
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nine_and_fourteen() {
        assert_eq!(Allergen::ALL.iter().filter(|a| a.in_us_nine()).count(), 9);
        assert_eq!(Allergen::ALL.iter().filter(|a| a.in_eu_fourteen()).count(), 14);
    }

    /// Whatever way a guest has of saying it; nothing where more is said than that.
    #[test]
    fn allergens_are_found_in_what_guests_say() {
        use Allergen::{Crustaceans, Egg, Fish, Gluten, Milk, Molluscs, Peanut, Sesame, TreeNuts};
        let cases: [(&str, &[Allergen]); 17] = [
            ("nuts", &[TreeNuts, Peanut]),
            ("Tree nuts", &[TreeNuts]),
            ("dairy-free", &[Milk]),
            ("chestnuts", &[]),
            ("Peanuts", &[Peanut]),
            ("nut allergy", &[TreeNuts, Peanut]),
            ("no nuts, please", &[TreeNuts, Peanut]),
            ("allergic to nuts and sesame", &[TreeNuts, Peanut, Sesame]),
            ("no eggs", &[Egg]),
            ("dairy products", &[Milk]),
            ("lactose intolerant", &[Milk]),
            ("celiac disease", &[Gluten]),
            ("cereals containing gluten", &[Gluten]),
            ("shell fish", &[Crustaceans, Molluscs]),
            ("seafood", &[Fish, Crustaceans, Molluscs]),
            ("goat cheese", &[]),
            ("", &[]),
        ];
        for (said, meant) in cases {
            assert_eq!(Allergen::all_named(said), meant, "{said}");
        }
    }
}

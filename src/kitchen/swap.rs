//! Items that stand in for others: in all of a dish, or in half of it.

use serde::{Deserialize, Serialize};

use schemars::JsonSchema;

use super::items;
use super::recipe::{Half, Ingredient, Recipe};
use super::units::Exact;

/// An item of a recipe, and what comes instead.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct StandIn {
    /// The item, as the recipe calls it.
    pub item: String,
    /// What comes instead, as much of it.
    pub by: String,
}

/// The recipe with other items in all of it. What it does not have is passed over.
#[must_use]
pub fn swapped(mut recipe: Recipe, swaps: &[StandIn]) -> Recipe {
    for swap in swaps {
        let mut found = false;
        for ingredient in recipe.ingredients.iter_mut().filter(|i| i.item == swap.item) {
            *ingredient = instead(ingredient, &swap.by);
            found = true;
        }
        if found {
            recipe.notes.push(format!("Where it says {}, take {}.", swap.item, swap.by));
        }
    }
    recipe
}

/// The recipe with other items in half of it. An item and what stands in for it
/// are both listed, each with half the amount, so that nothing that adds up
/// amounts needs to know of halves.
#[must_use]
pub fn halved(mut recipe: Recipe, half: &[StandIn]) -> Recipe {
    for swap in half {
        let whole = |i: &Ingredient| i.item == swap.item && i.half.is_none();
        let mut others = Vec::new();
        for ingredient in recipe.ingredients.iter_mut().filter(|i| whole(i)) {
            ingredient.amount = ingredient.amount.and_then(half_of);
            ingredient.amount_to = ingredient.amount_to.and_then(half_of);
            others.push(Ingredient { half: Some(Half::Other), ..instead(ingredient, &swap.by) });
            ingredient.half = Some(Half::One);
        }
        if !others.is_empty() {
            recipe.ingredients.extend(others);
            recipe.notes.push(format!(
                "Half of it with {} instead of {}: mark that half, and give each half a spoon of its own.",
                swap.by, swap.item
            ));
        }
    }
    recipe
}

fn half_of(amount: Exact) -> Option<Exact> {
    Exact::fraction(1, 2).map(|half| amount * half)
}

fn instead(of: &Ingredient, by: &str) -> Ingredient {
    Ingredient {
        item: by.to_owned(),
        kept: items::find(by).map_or(of.kept, |item| item.kept),
        allergens: None,
        swaps: Vec::new(),
        pack: None,
        line: None,
        ..of.clone()
    }
}

/// Items that commonly stand in for others, where a recipe names none itself.
/// Common practice, no source. Whether one suits a guest is asked of the item
/// table each time.
const COMMON: &[(&str, &[&str])] = &[
    ("butter", &["olive oil"]),
    ("milk", &["oat drink", "soya drink"]),
    ("cream", &["oat cream", "coconut cream"]),
    ("double cream", &["oat cream", "coconut cream"]),
    ("sour cream", &["soya yoghurt"]),
    ("yoghurt", &["soya yoghurt"]),
    ("buttermilk", &["soya yoghurt"]),
    ("honey", &["maple syrup"]),
    ("chicken stock", &["vegetable stock"]),
    ("beef stock", &["vegetable stock"]),
    ("fish stock", &["vegetable stock"]),
    ("bacon", &["smoked tofu"]),
    ("minced beef", &["brown lentils"]),
    ("soy sauce", &["tamari"]),
    ("pasta", &["gluten-free pasta"]),
    ("plain flour", &["gluten-free flour"]),
    ("breadcrumbs", &["gluten-free breadcrumbs"]),
    ("almonds", &["sunflower seeds"]),
    ("walnuts", &["pumpkin seeds"]),
    ("hazelnuts", &["pumpkin seeds"]),
    ("peanut butter", &["sunflower seed butter"]),
    ("wine", &["vegetable stock"]),
    ("white wine", &["vegetable stock"]),
    ("red wine", &["vegetable stock"]),
    ("chilli", &["red pepper"]),
    ("fresh chilli", &["red pepper"]),
];

/// What may stand in for an ingredient: what its recipe names first, then what is common.
#[must_use]
pub fn stand_ins(ingredient: &Ingredient) -> Vec<String> {
    let mut all: Vec<String> = ingredient.swaps.iter().map(|s| s.item.clone()).collect();
    let named = items::find(&ingredient.item).map(|i| i.name.as_str());
    let common = COMMON.iter().find(|(item, _)| {
        ingredient.item == *item
            || named.is_some() && named == items::find(item).map(|i| i.name.as_str())
    });
    for by in common.map_or(&[][..], |c| c.1) {
        if !all.iter().any(|a| a == by) {
            all.push((*by).to_owned());
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn soup() -> Recipe {
        serde_json::from_str(include_str!("../../assets/recipes/squash-soup.json")).expect("ours")
    }

    /// Nothing is lost or gained: the halves of an item and of what stands in
    /// for it make up what the recipe had.
    #[test]
    fn halves_add_up_to_the_whole() {
        for ingredient in soup().ingredients.iter().filter(|i| i.amount.is_some()) {
            let half = [StandIn { item: ingredient.item.clone(), by: "something else".into() }];
            let made = halved(soup(), &half);
            let amounts = made
                .ingredients
                .iter()
                .filter(|i| i.item == ingredient.item || i.item == "something else")
                .filter_map(|i| i.amount);
            let before = soup()
                .ingredients
                .iter()
                .filter(|i| i.item == ingredient.item)
                .filter_map(|i| i.amount)
                .sum::<Exact>();
            assert_eq!(amounts.sum::<Exact>(), before, "{}", ingredient.item);
            assert_eq!(halved(made.clone(), &half), made, "once is enough");
        }
    }

    /// The cook is told that the halves lie side by side: nothing else keeps one from the other.
    #[test]
    fn of_halves_the_cook_is_told_to_keep_them_apart() {
        let item = soup().ingredients[0].item.clone();
        let made = halved(soup(), &[StandIn { item: item.clone(), by: "carrot".into() }]);
        assert_eq!(made.notes.len(), soup().notes.len() + 1);
        let note = made.notes.last().expect("a note");
        for word in [item.as_str(), "carrot", "mark that half", "a spoon of its own"] {
            assert!(note.contains(word), "{note}");
        }
        let unknown = [StandIn { item: "moon dust".into(), by: "sugar".into() }];
        assert_eq!(halved(soup(), &unknown), soup());
    }

    #[test]
    fn a_swap_takes_the_place_of_its_item() {
        let item = soup().ingredients[0].item.clone();
        let made = swapped(soup(), &[StandIn { item: item.clone(), by: "carrot".into() }]);
        assert_eq!(made.ingredients.len(), soup().ingredients.len());
        assert_eq!(made.ingredients[0].item, "carrot");
        assert_eq!(made.ingredients[0].amount, soup().ingredients[0].amount);
        assert!(made.notes.last().is_some_and(|n| n.contains(&item) && n.contains("carrot")));
        let unknown = [StandIn { item: "moon dust".into(), by: "sugar".into() }];
        assert_eq!(swapped(soup(), &unknown), soup());
    }

    /// What the recipe names comes first, then what is common, by any name of the item; nothing twice, and nothing
    /// for what nobody knows.
    #[test]
    fn stand_ins_are_the_recipes_own_then_common_ones() {
        let of = |text: &str| stand_ins(&serde_json::from_str(text).expect("an ingredient"));
        assert_eq!(of(r#"{"item": "milk"}"#), ["oat drink", "soya drink"]);
        assert_eq!(of(r#"{"item": "unsalted butter"}"#), ["olive oil"]);
        assert_eq!(
            of(r#"{"item": "milk", "swaps": [{"item": "rice drink"}, {"item": "soya drink"}]}"#),
            ["rice drink", "soya drink", "oat drink"]
        );
        assert!(of(r#"{"item": "moon dust"}"#).is_empty());
        assert!(of(r#"{"item": "almond butter"}"#).is_empty());
    }

    /// What comes instead is kept as it is kept itself, and none of the old one's words are left with it.
    #[test]
    fn what_comes_instead_is_another_thing() {
        let text = r#"{"item": "milk", "kept": "fridge", "amount": 2, "amount_to": 3, "unit": "dl",
            "allergens": ["milk"], "swaps": [{"item": "oat drink"}], "pack": {"amount": 1, "unit": "l"}}"#;
        let mut recipe = soup();
        recipe.ingredients = vec![serde_json::from_str(text).expect("an ingredient")];
        let swaps = |by: &str| [StandIn { item: "milk".into(), by: by.into() }];
        let one = |by: &str| swapped(recipe.clone(), &swaps(by)).ingredients.remove(0);
        let sugar = one("sugar");
        assert_eq!(sugar.kept, crate::kitchen::Kept::Cupboard);
        assert!(sugar.allergens.is_none() && sugar.swaps.is_empty() && sugar.pack.is_none());
        assert_eq!(one("moon dust").kept, crate::kitchen::Kept::Fridge);
        let both = halved(recipe.clone(), &swaps("sugar")).ingredients;
        let halves: Vec<_> = both.iter().map(|i| (i.half, i.amount, i.amount_to)).collect();
        let (two, three) = (Exact::whole(1), Exact::fraction(3, 2));
        assert_eq!(halves[0], (Some(Half::One), Some(two), three));
        assert_eq!(halves[1], (Some(Half::Other), Some(two), three));
    }

    /// What is said to be common is in the item table, both sides of it: else no
    /// guest could be told what it means for them.
    #[test]
    fn common_stand_ins_are_known_items() {
        let mut unknown = Vec::new();
        for (item, by) in COMMON {
            for name in std::iter::once(item).chain(by.iter()) {
                if items::find(name).is_none() {
                    unknown.push(*name);
                }
            }
        }
        assert!(unknown.is_empty(), "not in the item table: {unknown:?}");
    }
}

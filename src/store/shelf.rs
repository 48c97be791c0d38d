//! The shelf: recipes, kitchens and the demo party inside the program.

use super::read::schema::FileKind;
use super::read::{CookFile, Document};
use crate::kitchen::{Kitchen, Recipe};

/// Lists assets by their names; a name without its file does not compile, and a
/// test finds a file without its name.
macro_rules! shelf {
    ($folder:literal: $($name:literal),+ $(,)?) => {
        &[$(($name, include_str!(concat!("../../assets/", $folder, "/", $name, ".json")))),+]
    };
}

/// Recipes by id, in the order of their ids.
pub const RECIPES: &[(&str, &str)] = shelf!("recipes":
    "apple-sponge",
    "bean-chilli",
    "bean-dip",
    "beef-braise",
    "beef-joint",
    "beef-oat-loaf",
    "beet-salad",
    "berry-pots",
    "bramble-ice",
    "buttermilk-mash",
    "cabbage-slaw",
    "cheese-straws",
    "chicken-thighs",
    "chickpea-pot",
    "corn-fritters",
    "crisp-sprouts",
    "crushed-potatoes",
    "glazed-carrots",
    "green-beans",
    "grilled-courgettes",
    "herb-rice",
    "herb-sauce",
    "lentil-soup",
    "mint-cooler",
    "minted-peas",
    "mushroom-pan-pie",
    "oat-bars",
    "oat-rolls",
    "onion-gravy",
    "orchard-pork",
    "pan-bread",
    "pasta-bake",
    "pasta-salad",
    "pear-crumble",
    "plum-relish",
    "rice-pudding",
    "salmon-crumbs",
    "soda-loaf",
    "spiced-juice",
    "squash-soup",
    "stuffed-mushrooms",
    "trout-spread",
    "turkey-meatballs",
    "vanilla-custard",
);

/// Kitchens by id, in the order of their ids.
pub const KITCHENS: &[(&str, &str)] = shelf!("kitchens":
    "flat",
    "garden-kitchen",
    "home",
    "parish-hall",
);

/// The demo party.
pub const DEMO: &str = include_str!("../../assets/demo/party.json");

/// What happened at the demo party before the program opens: a mark a line.
pub const DEMO_EVENING: &str = include_str!("../../assets/demo/evening.jsonl");

/// Recipes or kitchens by id; nothing for parties.
#[must_use]
pub const fn all(kind: FileKind) -> &'static [(&'static str, &'static str)] {
    match kind {
        FileKind::Recipe => RECIPES,
        FileKind::Kitchen => KITCHENS,
        FileKind::Party => &[],
    }
}

/// The text of a recipe or kitchen by its id.
#[must_use]
pub fn text(kind: FileKind, id: &str) -> Option<&'static str> {
    all(kind).iter().find(|(known, _)| *known == id).map(|(_, text)| *text)
}

/// The recipes of the shelf, in the order of their ids.
#[must_use]
pub fn recipes() -> Vec<Recipe> {
    values(RECIPES)
}

/// The kitchens of the shelf, in the order of their ids.
#[must_use]
pub fn kitchens() -> Vec<Kitchen> {
    values(KITCHENS)
}

/// A test reads them all, so that none is left out.
fn values<T: CookFile>(list: &[(&str, &str)]) -> Vec<T> {
    list.iter().filter_map(|(id, text)| Document::parse(id, text).ok()?.value().ok()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Both ways: what is listed is there (or this file would not compile), and
    /// what is there is listed.
    #[test]
    fn every_asset_is_listed_in_order() {
        for (folder, list) in [("recipes", RECIPES), ("kitchens", KITCHENS)] {
            let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("assets").join(folder);
            let mut there: Vec<String> = std::fs::read_dir(path)
                .expect("the assets")
                .map(|e| e.expect("an entry").path())
                .map(|p| p.file_stem().expect("a name").to_string_lossy().into_owned())
                .collect();
            there.sort();
            let listed: Vec<&str> = list.iter().map(|(id, _)| *id).collect();
            assert_eq!(listed, there, "list assets/{folder} in shelf.rs");
        }
    }

    #[test]
    fn every_asset_is_read() {
        assert_eq!(recipes().len(), RECIPES.len());
        assert_eq!(kitchens().len(), KITCHENS.len());
    }
}

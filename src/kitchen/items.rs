//! The item table: what is known of the things that recipes name. Names and
//! plurals, aisle, what a piece or a cup of it weighs, how much of it is
//! edible, how it is sold, allergens, diets, heat and where it is kept.
//!
//! ```text
//! items::find("finely chopped yellow onions")   -> Some(onion)
//! items::find("dragon scales")                  -> None; suggest() names near ones
//! items::allergen("soy sauce", Allergen::Wheat) -> Answer::Contains
//! items::allergen("dragon scales", ...)         -> Answer::MayContain: read the label
//! items::avoided("large mushroom", "mushrooms") -> Answer::Contains
//! items::against("parmesan", Diet::Vegetarian)  -> Answer::Contains
//! item.grams(&Amount { .. })                    -> grams, and the row they come by
//! ```
//!
//! The table is data (`assets/items/*.json`, a file an aisle); each figure says
//! where it comes from. No answer here means that a food is safe: the best that
//! is ever said is that nothing is known against it in the words given.

mod allergen;
mod answers;
mod book;
mod diet;
mod item;
mod source;
mod weigh;
mod words;

pub use allergen::Allergen;
pub use answers::{
    Answer, Raw, against, allergen, avoided, ingredient_against, ingredient_allergen,
    ingredient_avoided, knows, names_allergen, sounds_raw,
};
pub use book::{all, find, suggest};
pub use diet::Diet;
pub use item::{Aisle, Edible, Item, Market, Measure, Origin, Pack, SoldBy, Weight};
pub use source::Source;
pub use weigh::{Amount, HowWeighed, NoWeight, Weighed, cut_form};
pub use words::{in_bulk, one_of, plural, singular};

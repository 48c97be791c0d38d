//! The words that fields are chosen from: what the file has, what the cook reads.

use crate::screen::form::kind::Choices;

pub const COLOURS: Choices = &[
    ("", "as the terminal says"),
    ("dark", "for a dark ground"),
    ("light", "for a light ground"),
    ("none", "no colours"),
];

pub const COURSES: Choices = &[
    ("starter", "starter"),
    ("main", "main"),
    ("side", "side"),
    ("sauce", "sauce"),
    ("bread", "bread"),
    ("dessert", "dessert"),
    ("drink", "drink"),
];

pub const LENDABLE: Choices = &[("cookware", "pan, pot, tray, bowl"), ("station", "station")];

pub const APPETITES: Choices = &[("light", "light"), ("usual", "usual"), ("hearty", "hearty")];

pub const SHOPS: Choices =
    &[("", "by the degrees"), ("metric", "grams and litres"), ("us", "US packs")];

pub const MEASURES: Choices = &[
    ("us_customary", "US cups (236.6 ml)"),
    ("us_label", "US label cups (240 ml)"),
    ("metric", "metric cups (250 ml)"),
    ("imperial", "imperial cups (284.1 ml)"),
    ("australian", "metric cups, Australian tablespoons (20 ml)"),
    ("japanese", "Japanese cups (200 ml)"),
];

pub const SERVED: Choices = &[
    ("", "by its course"),
    ("ladled", "ladled: soup, stew"),
    ("spooned", "in a heap, with a spoon"),
    ("poured", "poured: sauce, drink"),
    ("dry", "dry: bread, in a basket"),
    ("laid", "laid out piece by piece"),
    ("sliced", "sliced on a board"),
    ("as_cooked", "in what it was cooked in"),
];

pub const CLASSES: Choices = &[
    ("poultry", "poultry, and stuffing"),
    ("ground_meat", "ground meat"),
    ("whole_meat", "whole cuts of meat"),
    ("fish", "fish and shellfish"),
    ("egg_dish", "egg dish"),
    ("casserole", "casserole, mixed bake"),
    ("cooked_plant", "cooked rice, beans, vegetables"),
    ("dairy", "milk, cream, soft cheese"),
    ("cut_produce", "cut leaves, tomatoes, melon"),
    ("leftovers", "cooked on an earlier day"),
    ("baked_dry", "bread, dry cake, crackers"),
    ("other", "anything else"),
];

pub const EXEMPTIONS: Choices = &[
    ("", "none: it counts as perishable"),
    ("dry_baked", "baked dry all through (crackers)"),
    ("plain_bread", "plain bread or rolls"),
    ("shelf_stable_sealed", "sealed and shelf-stable"),
    ("high_sugar", "honey, hard candy and the like"),
    ("hard_cheese", "hard cheese (date mark only)"),
    ("whole_produce", "whole, uncut fruit or vegetables"),
];

pub const STATIONS: Choices = &[
    ("oven", "oven"),
    ("stovetop", "hob"),
    ("slow_cooker", "slow cooker"),
    ("air_fryer", "air fryer"),
    ("microwave", "microwave"),
    ("grill", "grill"),
    ("counter", "counter"),
    ("fridge", "fridge"),
    ("freezer", "freezer"),
];

pub const FLAMES: Choices = &[
    ("", "not said"),
    ("low", "low"),
    ("medium", "medium"),
    ("high", "high"),
    ("warm", "keep warm"),
];

pub const GROWS: Choices =
    &[("fixed", "as long for more people"), ("proportion", "longer in proportion")];

pub const WAITS: Choices =
    &[("room", "on the counter"), ("hot", "in its hot pan"), ("cold", "in the fridge")];

pub const HELD: Choices =
    &[("hot", "kept hot"), ("cold", "kept cold"), ("room", "at room temperature")];

pub const KEPT: Choices =
    &[("cupboard", "in the cupboard"), ("fridge", "in the fridge"), ("freezer", "in the freezer")];

pub const WARES: Choices = &[
    ("", "by its measures"),
    ("bowl", "bowl"),
    ("dish", "deep dish"),
    ("pot", "pot"),
    ("jug", "jug"),
    ("basket", "basket"),
    ("platter", "platter"),
    ("board", "board"),
];

pub const SHAPES: Choices = &[
    ("bowl", "a rounded bowl"),
    ("box", "straight sides, square"),
    ("round", "straight sides, round or oval"),
];

pub const KEEPS: Choices =
    &[("hot", "keeps food hot"), ("cold", "keeps food cold"), ("neither", "neither")];

pub const DEGREES: Choices =
    &[("", "as the system has it"), ("celsius", "°C"), ("fahrenheit", "°F")];

pub const PARTY_DEGREES: Choices =
    &[("", "as in the settings"), ("celsius", "°C"), ("fahrenheit", "°F")];

pub const DIALS: Choices = &[
    ("", "as the system has it"),
    ("plain", "degrees, top and bottom heat"),
    ("fan", "degrees, with a fan"),
    ("gas_mark", "gas marks"),
];

pub const CLOCKS: Choices =
    &[("", "as the system has it"), ("24", "24 hours: 18:05"), ("12", "12 hours: 6:05pm")];

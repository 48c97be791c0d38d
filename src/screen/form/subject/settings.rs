//! The fields of the settings.

use super::choices as c;
use super::{Item, Kind, maybe};

pub(super) const ITEMS: &[Item] = &[
    Item::Head("How things are read and written"),
    maybe(
        "degrees",
        "Degrees",
        "as the system has it",
        "Temperatures of food, rooms and fridges. A party may say otherwise.",
        Kind::Choice(c::DEGREES),
    ),
    maybe(
        "oven",
        "Oven's dial",
        "as the system has it",
        "What stands on the dial of your oven. Recipes mean top and bottom heat; a fan oven is set 20 °C lower.",
        Kind::Choice(c::DIALS),
    ),
    maybe(
        "hours",
        "Clock",
        "as the system has it",
        "24 hours, or 12 with am and pm.",
        Kind::Choice(c::CLOCKS),
    ),
    maybe(
        "comma",
        "Decimal comma",
        "as the system has it",
        "A comma before the tenths, 1,5, not a point. Both are read.",
        Kind::Yes,
    ),
    Item::Head("What plans go by"),
    maybe(
        "own_times",
        "Your own times",
        "yes",
        "How long steps took on your past evenings, where that is known. `potwatch times` lists them. A party may say otherwise.",
        Kind::Yes,
    ),
];

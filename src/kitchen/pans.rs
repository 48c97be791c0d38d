//! How many pans, trays and bowls a dish takes for the servings that are made,
//! and how many places they take where they stand.
//!
//! What a recipe says is for its own servings (see [`CookwareNeed`]). A step that
//! states a volume wants `count` x `least_ml` held, in proportion to what is made
//! at once, by as few pieces as will hold it: the smallest n of which the kitchen
//! has n that hold an nth of it each. So the food lies about as deep as in the
//! recipe's own. A step that states none wants its count in proportion, rounded
//! up, if it is two or more ("2 trays"); one stays one ("a bowl").
//!
//! What could be cooked with the recipe's own count is not refused for want of
//! more: then all that there is will be taken. A kitchen's piece of no stated
//! volume is taken to hold what the recipe says of each; if there are too few of
//! those, whatever is asked of it, at the cook's word.

use super::{Cookware, CookwareNeed, Kitchen, Recipe, StationKind, Step, Way};

/// What is asked of one kind of cookware, at one time.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Asked {
    /// Pieces for what is made, where no volume says how many.
    wanted: u32,
    /// Pieces that will do if there are no more.
    least: u32,
    /// Pieces that the recipe states, for its own servings.
    stated: u32,
    /// What they must hold together, ml; 0 for anything.
    total_ml: u64,
    /// What each holds by the recipe's word, ml.
    each_ml: u32,
}

impl Asked {
    /// What a need asks for so many servings, made `load_servings` at a time.
    #[must_use]
    pub fn of(
        recipe: &Recipe,
        need: &CookwareNeed,
        servings: u32,
        load_servings: Option<u32>,
    ) -> Self {
        let load = load_servings.filter(|&n| n > 0);
        let at_once = u64::from(load.unwrap_or(servings).min(servings));
        let written = recipe.servings.max(1);
        let stated = need.count.max(1);
        if let Some(each_ml) = need.least_ml.filter(|&ml| ml > 0) {
            let all = u64::from(stated) * u64::from(each_ml);
            let total_ml = all.saturating_mul(at_once).div_ceil(u64::from(written)).max(1);
            return Self { wanted: 1, least: 1, stated, total_ml, each_ml };
        }
        // The count is for a load of the recipe's own.
        let own = u64::from(load.unwrap_or(written).min(written));
        let grown = (u64::from(stated) * at_once).div_ceil(own).max(1);
        let wanted = if stated == 1 { 1 } else { u32::try_from(grown).unwrap_or(u32::MAX) };
        Self { wanted, least: wanted.min(stated), stated, ..Self::default() }
    }

    /// Both at once, of one kind: a pan goes through several steps.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        Self {
            wanted: self.wanted.max(other.wanted),
            least: self.least.max(other.least),
            stated: self.stated.max(other.stated),
            total_ml: self.total_ml.max(other.total_ml),
            each_ml: self.each_ml.max(other.each_ml),
        }
    }

    /// What all pieces hold together at the least, ml; 0 for anything.
    #[must_use]
    pub const fn total_ml(&self) -> u64 {
        self.total_ml
    }

    /// Pieces that the recipe states for its own servings, 1 at the least.
    #[must_use]
    pub fn stated(&self) -> u32 {
        self.stated.max(1)
    }

    /// Pieces for what is made, where no volume says how many; 1 at the least.
    #[must_use]
    pub fn wanted(&self) -> u32 {
        self.wanted.max(1)
    }

    /// What each of so many pieces must hold, ml; 0 for anything.
    #[must_use]
    pub fn each_of(&self, pieces: u32) -> u64 {
        self.total_ml.div_ceil(u64::from(pieces.max(1)))
    }
}

/// So many pieces of a kind, and which pieces do as one of so many.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Take {
    /// How many; 1 at the least.
    pub pieces: u32,
    asked: Asked,
    /// Pieces of no stated volume do whatever is asked.
    at_word: bool,
}

impl Take {
    /// As many others of them, to hold the same.
    #[must_use]
    pub const fn of(self, pieces: u32) -> Self {
        Self { pieces, ..self }
    }

    /// Does a piece of such a volume do as one of them?
    #[must_use]
    pub fn suits(&self, volume_ml: Option<u32>) -> bool {
        let Some(holds) = volume_ml.or((!self.at_word).then_some(self.asked.each_ml)) else {
            return true;
        };
        u64::from(holds) * u64::from(self.pieces) >= self.asked.total_ml
    }
}

/// The fewest of these pieces (volume each, how many) that do; None if they do not.
#[must_use]
pub fn fewest(asked: Asked, pieces: &[(Option<u32>, u32)]) -> Option<Take> {
    let sum = |of: &dyn Fn(Option<u32>) -> bool| {
        let these = pieces.iter().filter(|p| of(p.0)).map(|p| p.1);
        these.fold(0, u32::saturating_add)
    };
    // The smallest piece taken says how many are needed, and how many are as large.
    let at_least = |least: u32, at_word: bool| {
        let unsaid = if at_word { u64::MAX } else { u64::from(asked.each_ml) };
        let holds = |volume: Option<u32>| volume.map_or(unsaid, u64::from);
        let with_smallest = |&(volume, _): &(Option<u32>, u32)| {
            let needed = match (asked.total_ml, holds(volume)) {
                (0, _) => 1,
                (_, 0) => return None,
                (total, each) => u32::try_from(total.div_ceil(each)).ok()?,
            };
            let pieces = needed.max(least).max(1);
            let as_large = sum(&|other| holds(other) >= holds(volume));
            (pieces <= as_large).then_some(Take { pieces, asked, at_word })
        };
        pieces.iter().filter_map(with_smallest).min_by_key(|take| take.pieces)
    };
    let no_more = sum(&|_| true).min(asked.wanted).max(asked.least);
    let unsaid = sum(&|volume| volume.is_none());
    at_least(asked.wanted, false)
        .or_else(|| at_least(no_more, false))
        .or_else(|| at_least(no_more.max(asked.stated).max(unsaid), true))
        .or_else(|| at_least(no_more.max(asked.stated), true))
}

/// The kitchen's pieces of a kind; where it is hot all round only those that bear it.
pub fn of_kind<'k>(
    kitchen: &'k Kitchen,
    kind: &str,
    in_heat: bool,
) -> impl Iterator<Item = (usize, &'k Cookware)> {
    let all = kitchen.cookware.iter().enumerate();
    all.filter(move |(_, c)| c.kind == kind && c.count > 0 && (c.ovenproof || !in_heat))
}

/// The fewest pieces of a kind in the kitchen that do; None if there are not enough.
#[must_use]
pub fn in_kitchen(kitchen: &Kitchen, kind: &str, asked: Asked, in_heat: bool) -> Option<Take> {
    let pieces: Vec<_> =
        of_kind(kitchen, kind, in_heat).map(|(_, c)| (c.volume_ml, c.count)).collect();
    fewest(asked, &pieces)
}

/// Does cookware stand in dry heat at stations of this kind, so that it must be ovenproof?
#[must_use]
pub const fn in_heat(kind: StationKind) -> bool {
    matches!(kind, StationKind::Oven | StationKind::Grill)
}

/// Do the pans take the places of such a station? At the counter the cook does;
/// an air fryer, a microwave and a slow cooker hold what they hold.
const fn stand_in(kind: StationKind) -> bool {
    use StationKind::{Freezer, Fridge, Grill, Oven, Stovetop};
    matches!(kind, Oven | Grill | Stovetop | Fridge | Freezer)
}

/// Places of a station with `has` of them that a way takes, where a dish has
/// such pieces: `pieces` says of a kind the volumes and how many, and whether
/// all of them are ovenproof.
///
/// The way's `slots` are for the count of pieces that its recipe states; fewer
/// take fewer, more take more, rounded up. What goes in decides: in dry heat the
/// ovenproof ones (the most of them), elsewhere the kind that the step names
/// first. More places than there are are not asked for, as long as there are
/// those for the recipe's own: then the cook puts in the rest as there is room.
#[must_use]
pub fn places(
    recipe: &Recipe,
    servings: u32,
    step: &Step,
    way: &Way,
    has: u32,
    pieces: impl Fn(&str) -> (Vec<(Option<u32>, u32)>, bool),
) -> u32 {
    let own = way.slots.max(1);
    if !stand_in(way.station) {
        return own;
    }
    let heat = in_heat(way.station);
    let of_need = |need: &CookwareNeed| {
        let (there, proof) = pieces(&need.kind);
        let asked = Asked::of(recipe, need, servings, way.load_servings);
        let take = fewest(asked, &there).filter(|_| proof || !heat)?;
        let places = (u64::from(own) * u64::from(take.pieces)).div_ceil(asked.stated().into());
        Some(u32::try_from(places).unwrap_or(u32::MAX).max(1))
    };
    let mut each = step.cookware.iter().map(of_need);
    let wanted = if heat { each.flatten().max() } else { each.next().flatten() };
    wanted.map_or(own, |wanted| if wanted > own { wanted.min(has.max(own)) } else { wanted })
}

/// As [`places`], for the fewest pieces of the kitchen that do.
#[must_use]
pub fn places_in(
    kitchen: &Kitchen,
    recipe: &Recipe,
    servings: u32,
    step: &Step,
    way: &Way,
    has: u32,
) -> u32 {
    let heat = in_heat(way.station);
    let pieces = |kind: &str| {
        let found = of_kind(kitchen, kind, heat).map(|(_, c)| (c.volume_ml, c.count)).collect();
        (found, heat)
    };
    places(recipe, servings, step, way, has, pieces)
}

#[cfg(test)]
#[path = "pans_tests.rs"]
mod tests;

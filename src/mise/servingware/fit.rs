//! Does a dish go into a piece of servingware, how much of it, and how well.

use super::need::Need;
use crate::kitchen::{HoldClass, Keeps, Served, Servingware, WareKind};

/// How a piece of servingware suits a dish.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Fit {
    /// What it holds of the food.
    pub holds: Holds,
    /// What is not quite right about it, in ml of empty space that it is worth.
    pub points: i64,
}

/// How much of a dish it holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Holds {
    /// Heaped or poured in, ml.
    Ml(u32),
    /// Laid out, cm².
    Cm2(u32),
}

/// Why a dish does not go into it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Unfit {
    /// Flat where it should be deep, or the other way round; a basket for what is wet.
    Kind,
    /// Nobody knows how much it holds.
    Unmeasured,
    /// It may not go into the oven.
    Oven,
    /// It has no lid.
    Lid,
    /// It keeps cold what should be hot, or hot what should be cold.
    Temperature,
}

/// A square centimetre of a platter against a millilitre of a bowl: food lies
/// about 3 cm high. Common practice, no source.
pub const ML_A_CM2: i64 = 3;
/// A second dish for the same food is carried and washed too: worth so many ml. Our choice.
pub const ONE_MORE: i64 = 300;

/// The wrong shape, though it works. Our choice, as all of these.
const ODD_SHAPE: i64 = 250;
/// Hot or cold food in what keeps neither.
const KEEPS_NEITHER: i64 = 600;
/// The same, but with a lid on hot food.
const ONLY_A_LID: i64 = 400;
/// What keeps hot or cold is not wasted on food that wants neither.
const KEEPS_FOR_NOTHING: i64 = 500;

/// How a piece of servingware suits a dish.
///
/// # Errors
/// Why it does not.
pub fn fit(need: &Need, ware: &Servingware) -> Result<Fit, Unfit> {
    let kind = ware.is_a();
    let (deep, odd) = shape(need.served, kind).ok_or(Unfit::Kind)?;
    if need.oven && !ware.ovenproof {
        return Err(Unfit::Oven);
    }
    if need.lid && !ware.lid {
        return Err(Unfit::Lid);
    }
    let kept = temperature(need.class, ware).ok_or(Unfit::Temperature)?;
    let holds = match deep {
        true => Holds::Ml(carried_ml(need.served, kind, ware).ok_or(Unfit::Unmeasured)?),
        false => Holds::Cm2(ware.usable_cm2().ok_or(Unfit::Unmeasured)?),
    };
    let asked = match holds {
        Holds::Ml(_) => need.ml,
        Holds::Cm2(_) => need.cm2,
    };
    asked.ok_or(Unfit::Kind)?;
    Ok(Fit { holds, points: odd + kept })
}

/// Is it filled (or laid out), and what is odd about it; nothing if it cannot be.
const fn shape(served: Served, kind: WareKind) -> Option<(bool, i64)> {
    use WareKind::{Basket, Board, Bowl, Dish, Jug, Platter, Pot};
    Some(match (served, kind) {
        (Served::Ladled, Pot)
        | (Served::Spooned | Served::AsCooked, Bowl | Dish)
        | (Served::Poured, Jug)
        | (Served::Dry, Basket) => (true, 0),
        (Served::Laid, Platter) | (Served::Sliced, Board) => (false, 0),
        (Served::Ladled, Bowl | Dish)
        | (Served::Spooned | Served::AsCooked, Pot)
        | (Served::Poured, Pot | Bowl)
        | (Served::Dry, Bowl | Dish) => (true, ODD_SHAPE),
        (Served::Dry, Platter | Board)
        | (Served::Laid, Board | Dish)
        | (Served::Sliced, Platter) => (false, ODD_SHAPE),
        _ => return None,
    })
}

/// What it holds of food that has to be carried in it. Liquids are carried in
/// a half-full dish (Armed Forces Recipe Service, TM 10-412 (2003), card A-25),
/// unless a lid or a jug keeps them in, or it is filled where it stands: those
/// exceptions are our choice.
fn carried_ml(served: Served, kind: WareKind, ware: &Servingware) -> Option<u32> {
    let ml = ware.usable_ml()?;
    Some(if spills(served, kind, ware) { ml / 2 } else { ml })
}

/// Would it spill when it is carried full?
pub(super) fn spills(served: Served, kind: WareKind, ware: &Servingware) -> bool {
    let runs = matches!(served, Served::Ladled | Served::Poured);
    runs && kind != WareKind::Jug && !ware.lid && !ware.stays_put
}

/// What its keeping hot or cold is worth; nothing if it does the opposite.
const fn temperature(class: HoldClass, ware: &Servingware) -> Option<i64> {
    Some(match (class, ware.keeps) {
        (HoldClass::Hot, Keeps::Hot) | (HoldClass::Cold, Keeps::Cold) => 0,
        (HoldClass::Hot, Keeps::Cold) | (HoldClass::Cold, Keeps::Hot) => return None,
        (HoldClass::Hot, Keeps::Neither) if ware.lid => ONLY_A_LID,
        (HoldClass::Hot | HoldClass::Cold, Keeps::Neither) => KEEPS_NEITHER,
        (HoldClass::Room, Keeps::Neither) => 0,
        (HoldClass::Room, Keeps::Hot | Keeps::Cold) => KEEPS_FOR_NOTHING,
    })
}

impl Holds {
    /// In millilitres, or what stands for them.
    #[must_use]
    pub fn worth(self) -> i64 {
        match self {
            Self::Ml(ml) => i64::from(ml),
            Self::Cm2(cm2) => i64::from(cm2) * ML_A_CM2,
        }
    }
}

/// Do pieces that hold so many ml and so many cm² together hold the dish?
#[must_use]
pub fn holds_all(need: &Need, ml: u64, cm2: u64) -> bool {
    match (need.ml.map(u64::from), need.cm2.map(u64::from)) {
        (Some(want), None) => ml >= want,
        (None, Some(want)) => cm2 >= want,
        // The part that is heaped and the part that is laid out make a whole.
        (Some(a), Some(b)) => {
            let (ml, cm2, a, b) = (u128::from(ml), u128::from(cm2), u128::from(a), u128::from(b));
            ml * b + cm2 * a >= a * b
        }
        (None, None) => true,
    }
}

//! What food goes to the table in, and how much of it there is room for.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A bowl, platter, board or chafer.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Servingware {
    /// Short name within the kitchen.
    pub id: String,
    /// What the cook calls it.
    pub title: String,
    /// How many of it there are.
    pub count: u32,
    /// What it is; without it a bowl if it has a volume, a platter if it has an area.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub kind: Option<WareKind>,
    /// Usable volume in ml (deep ones): what it holds up to a finger below the rim.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub volume_ml: Option<u32>,
    /// Usable area in cm² (flat ones).
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub area_cm2: Option<u32>,
    /// Its inner measures, for one whose volume or area is not known.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub size: Option<WareSize>,
    /// What it does for the food's temperature.
    #[serde(default)]
    pub keeps: Keeps,
    /// May go into an oven.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub ovenproof: bool,
    /// Has a lid.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub lid: bool,
    /// Stands on the table and is filled there; nobody carries it full.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub stays_put: bool,
}

/// What a piece of servingware is.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum WareKind {
    /// A bowl.
    Bowl,
    /// A deep dish with straight sides.
    Dish,
    /// A deep pot with a ladle: tureen, kettle.
    Pot,
    /// A jug, for what is poured.
    Jug,
    /// A basket: nothing wet.
    Basket,
    /// A flat platter.
    Platter,
    /// A board, for what is sliced or laid out.
    Board,
}

impl WareKind {
    /// Every kind.
    pub const ALL: [Self; 7] =
        [Self::Bowl, Self::Dish, Self::Pot, Self::Jug, Self::Basket, Self::Platter, Self::Board];

    /// What the cook calls it, inside a sentence.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Bowl => "bowl",
            Self::Dish => "deep dish",
            Self::Pot => "pot",
            Self::Jug => "jug",
            Self::Basket => "basket",
            Self::Platter => "platter",
            Self::Board => "board",
        }
    }
}

/// Inner measures in millimetres.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WareSize {
    /// Its shape.
    pub shape: WareShape,
    /// The longest way across the top.
    pub long_mm: u32,
    /// The other way across; as long as it is long if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub wide_mm: Option<u32>,
    /// How deep it is; flat if not given.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub deep_mm: Option<u32>,
}

/// The shape of servingware.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum WareShape {
    /// A rounded bowl: a part of a ball.
    Bowl,
    /// Straight sides, square corners.
    Box,
    /// Straight sides, round or oval.
    Round,
}

/// What a serving dish does for the food's temperature.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Keeps {
    /// Keeps it hot.
    Hot,
    /// Keeps it cold.
    Cold,
    /// Neither.
    #[default]
    Neither,
}

/// How a dish goes to the table.
#[derive(
    Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Served {
    /// It runs: soups, stews in their sauce. From something deep, with a ladle.
    Ladled,
    /// In a heap: salads, mash, rice, vegetables. From something deep, with a spoon.
    Spooned,
    /// Poured: sauces, drinks.
    Poured,
    /// Bread and the like, dry: in a basket, or laid out.
    Dry,
    /// Laid out piece by piece on something flat.
    Laid,
    /// Sliced on a board.
    Sliced,
    /// In the pan or dish that it was cooked in.
    AsCooked,
}

/// Of a rounded bowl's volume, how much is used: common practice, no source.
const BOWL_USED: f64 = 0.80;
/// Of length x width x depth of a straight-sided pan, how much is used: the
/// median of the 14 pans whose quarts can be read on card A-25 of the Armed
/// Forces Recipe Service (TM 10-412, 2003), "filled to 1/2 inch below the
/// brim"; they range from 0.45 to 0.80.
const STRAIGHT_USED: f64 = 0.72;
/// Of the area across the top of a flat one, how much food lies on: the rim
/// stays free. Common practice, no source.
const FLAT_USED: f64 = 0.80;

impl WareSize {
    /// Usable volume in ml, rounded down; `None` for a flat one.
    #[must_use]
    pub fn volume_ml(self) -> Option<u32> {
        let deep = f64::from(self.deep_mm.filter(|mm| *mm > 0)?) / 10.0;
        let across = self.across_cm2();
        let ml = match self.shape {
            // A cap of a ball: pi h (3 a² + h²) / 6, with pi a² the area of its rim.
            WareShape::Bowl => {
                BOWL_USED * deep * (across / 2.0 + std::f64::consts::PI * deep * deep / 6.0)
            }
            WareShape::Box | WareShape::Round => STRAIGHT_USED * across * deep,
        };
        Some(whole(ml))
    }

    /// Usable area in cm², rounded down.
    #[must_use]
    pub fn area_cm2(self) -> u32 {
        whole(FLAT_USED * self.across_cm2())
    }

    /// The area across its top, whole.
    fn across_cm2(self) -> f64 {
        let long = f64::from(self.long_mm) / 10.0;
        let wide = f64::from(self.wide_mm.unwrap_or(self.long_mm)) / 10.0;
        match self.shape {
            WareShape::Box => long * wide,
            WareShape::Bowl | WareShape::Round => std::f64::consts::FRAC_PI_4 * long * wide,
        }
    }
}

fn whole(value: f64) -> u32 {
    // A cast saturates, and measures are checked to be far below the end.
    value.floor() as u32
}

impl Servingware {
    /// What it is: as said, or as its volume, area or measures show.
    #[must_use]
    pub fn is_a(&self) -> WareKind {
        match (self.kind, self.size) {
            (Some(kind), _) => kind,
            (None, Some(size)) if size.deep_mm.is_none() => WareKind::Platter,
            (None, Some(size)) if size.shape == WareShape::Bowl => WareKind::Bowl,
            (None, Some(_)) => WareKind::Dish,
            (None, None) if self.volume_ml.is_some() => WareKind::Bowl,
            (None, None) => WareKind::Platter,
        }
    }

    /// Usable volume in ml: what the file says, else what its measures give.
    #[must_use]
    pub fn usable_ml(&self) -> Option<u32> {
        self.volume_ml.or_else(|| self.size?.volume_ml())
    }

    /// Usable area in cm²: what the file says, else what its measures give.
    #[must_use]
    pub fn usable_cm2(&self) -> Option<u32> {
        self.area_cm2.or_else(|| Some(self.size?.area_cm2()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn size(shape: WareShape, [long, wide, deep]: [f64; 3]) -> WareSize {
        let mm = |inches: f64| Some((inches * 25.4).round() as u32);
        let long_mm = mm(long).unwrap_or_default();
        WareSize { shape, long_mm, wide_mm: mm(wide), deep_mm: mm(deep) }
    }

    /// Armed Forces Recipe Service, TM 10-412 (2003), card A-25: nominal inches
    /// and usable quarts. One factor for all cannot be right for each pan: ours
    /// is within 13 of a hundred of the printed one, but for the 16 x 16 x 4 baking
    /// pan, which the card fills to 45 of a hundred.
    #[test]
    fn straight_pans_against_the_printed_ones() {
        const LITRES_A_QUART: f64 = 0.946_352_946;
        let card = [
            ([20.0, 12.0, 2.5], 7.0),
            ([20.0, 12.0, 4.0], 13.0),
            ([20.0, 12.0, 6.0], 18.5),
            ([12.0, 10.0, 2.5], 3.5),
            ([12.0, 10.0, 4.0], 6.5),
            ([12.0, 10.0, 6.0], 9.0),
            ([12.0, 10.0, 8.0], 12.0),
            ([12.0, 6.0, 2.5], 2.5),
            ([12.0, 6.0, 4.0], 4.0),
            ([12.0, 6.0, 6.0], 6.0),
            ([10.0, 6.0, 2.5], 5.0 / 3.0),
            ([10.0, 6.0, 4.0], 8.0 / 3.0),
            ([10.0, 6.0, 6.0], 4.0),
            ([24.0, 18.0, 4.5], 24.0),
        ];
        for (inches, quarts) in card {
            let ours = f64::from(size(WareShape::Box, inches).volume_ml().unwrap());
            let printed = quarts * LITRES_A_QUART * 1000.0;
            assert!((ours / printed - 1.0).abs() < 0.13, "{inches:?}: {ours} and {printed}");
        }
        let odd = f64::from(size(WareShape::Box, [16.0, 16.0, 4.0]).volume_ml().unwrap());
        assert!((odd / (8.0 * LITRES_A_QUART * 1000.0) - 1.6).abs() < 0.01, "{odd}");
    }

    /// Home pans as several public charts give them, to the brim, in US cups
    /// (236.588 ml): 13 x 9 x 2 in 14 to 15, 9 x 9 x 2 10, 8 x 8 x 2 8, 9 x 5 x 3
    /// 8, 9 in round 1 1/2 deep 6. What is used stays below the brim, and above
    /// two thirds of it.
    #[test]
    fn home_pans_stay_below_their_brim() {
        for (shape, inches, cups) in [
            (WareShape::Box, [13.0, 9.0, 2.0], 14.5),
            (WareShape::Box, [9.0, 9.0, 2.0], 10.0),
            (WareShape::Box, [8.0, 8.0, 2.0], 8.0),
            (WareShape::Box, [9.0, 5.0, 3.0], 8.0),
            (WareShape::Round, [9.0, 9.0, 1.5], 6.0),
        ] {
            let ours = f64::from(size(shape, inches).volume_ml().unwrap());
            let share = ours / (cups * 236.588);
            assert!((0.66..1.0).contains(&share), "{inches:?}: {share}");
        }
    }

    /// Common practice, no source: a 30 cm (12 in) skillet, some 5 cm deep, and a
    /// 33 x 23 cm (13 x 9 in) dish, 5 cm deep, hold about the same.
    #[test]
    fn a_skillet_and_an_oblong_dish_hold_about_the_same() {
        let round =
            WareSize { shape: WareShape::Round, long_mm: 300, wide_mm: None, deep_mm: Some(50) };
        let oblong = WareSize { shape: WareShape::Box, wide_mm: Some(230), long_mm: 330, ..round };
        let [a, b] = [round, oblong].map(|s| f64::from(s.volume_ml().unwrap()));
        assert!((a / b - 1.0).abs() < 0.1, "{a} and {b}");
    }

    /// Litres of gastronorm containers as one maker states them (EN 631-1 fixes
    /// the outside only): what is used is below them.
    #[test]
    fn gastronorm_containers_stay_below_their_litres() {
        for (long_mm, wide_mm, deep_mm, litres) in [
            (530, 325, 65, 7.4),
            (530, 325, 100, 12.6),
            (325, 265, 65, 3.5),
            (325, 265, 100, 5.5),
            (325, 176, 65, 2.25),
            (265, 162, 100, 2.5),
            (176, 162, 100, 1.5),
        ] {
            let shape = WareShape::Box;
            let size = WareSize { shape, long_mm, wide_mm: Some(wide_mm), deep_mm: Some(deep_mm) };
            let share = f64::from(size.volume_ml().unwrap()) / (litres * 1000.0);
            assert!((0.6..=1.4).contains(&share), "{long_mm} x {wide_mm} x {deep_mm}: {share}");
        }
    }

    /// Half a ball of 20 cm holds 2/3 pi r³, 2094 ml; a cap is pi h² (3r - h) / 3.
    #[test]
    fn a_bowl_is_a_cap_of_a_ball() {
        let half =
            WareSize { shape: WareShape::Bowl, long_mm: 200, wide_mm: None, deep_mm: Some(100) };
        assert_eq!(half.volume_ml(), Some((0.8 * 2094.395_f64).floor() as u32));
        let (r, h) = (13.0_f64, 8.0_f64);
        let across = 2.0 * (r * r - (r - h) * (r - h)).sqrt();
        let cap = WareSize {
            shape: WareShape::Bowl,
            long_mm: (across * 10.0).round() as u32,
            wide_mm: None,
            deep_mm: Some(80),
        };
        let by_book = 0.8 * std::f64::consts::PI * h * h * (3.0 * r - h) / 3.0;
        let ours = f64::from(cap.volume_ml().unwrap());
        assert!((ours / by_book - 1.0).abs() < 0.005, "{ours} and {by_book}");
    }

    #[test]
    fn what_it_is_follows_from_what_is_known() {
        let bare = || Servingware {
            id: "a".into(),
            title: "A".into(),
            count: 1,
            kind: None,
            volume_ml: None,
            area_cm2: None,
            size: None,
            keeps: Keeps::Neither,
            ovenproof: false,
            lid: false,
            stays_put: false,
        };
        let flat = WareSize { shape: WareShape::Round, long_mm: 300, wide_mm: None, deep_mm: None };
        let deep = WareSize { deep_mm: Some(50), ..flat };
        let bowl = WareSize { shape: WareShape::Bowl, ..deep };
        let with = |size| Servingware { size: Some(size), ..bare() };
        assert_eq!(Servingware { volume_ml: Some(1), ..bare() }.is_a(), WareKind::Bowl);
        assert_eq!(Servingware { area_cm2: Some(1), ..bare() }.is_a(), WareKind::Platter);
        assert_eq!(with(flat).is_a(), WareKind::Platter);
        assert_eq!(with(deep).is_a(), WareKind::Dish);
        assert_eq!(with(bowl).is_a(), WareKind::Bowl);
        assert_eq!(Servingware { kind: Some(WareKind::Jug), ..with(bowl) }.is_a(), WareKind::Jug);
        assert_eq!((with(flat).usable_ml(), with(flat).usable_cm2()), (None, Some(565)));
        assert_eq!(Servingware { volume_ml: Some(9), ..with(deep) }.usable_ml(), Some(9));
        assert_eq!(with(WareSize { deep_mm: Some(0), ..flat }).usable_ml(), None);
    }
}

//! The menu: the dishes by course, and whether they are in balance.

use super::evening::Evening;
use super::recipe::{Course, HoldClass, Recipe};
use crate::order::InOrder;

/// How a dish comes to the table.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Warmth {
    /// Hot.
    Hot,
    /// Cold.
    Cold,
    /// As warm as the room.
    Room,
}

impl Warmth {
    /// How a recipe's dish comes to the table: what it may be kept like until then says it.
    #[must_use]
    pub fn of(recipe: &Recipe) -> Self {
        let may_wait = |class| recipe.holds.iter().any(|h| h.class == class);
        if may_wait(HoldClass::Hot) {
            return Self::Hot;
        }
        if may_wait(HoldClass::Cold) {
            return Self::Cold;
        }
        // What never waits is as the last step leaves it.
        let last = recipe.steps.last().and_then(|s| s.ways.first()).map(|w| w.station);
        match last {
            Some(station) if recipe.holds.is_empty() && station.heats() => Self::Hot,
            Some(station) if recipe.holds.is_empty() && station.chills() => Self::Cold,
            _ => Self::Room,
        }
    }

    /// One word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Hot => "hot",
            Self::Cold => "cold",
            Self::Room => "room",
        }
    }
}

impl Course {
    /// All courses, in the order of a meal.
    pub const ALL: [Self; 7] = [
        Self::Starter,
        Self::Main,
        Self::Side,
        Self::Sauce,
        Self::Bread,
        Self::Dessert,
        Self::Drink,
    ];

    /// What one dish of it is called.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Starter => "starter",
            Self::Main => "main",
            Self::Side => "side",
            Self::Sauce => "sauce",
            Self::Bread => "bread",
            Self::Dessert => "dessert",
            Self::Drink => "drink",
        }
    }

    /// So many of it, in words: "1 main", "2 mains".
    #[must_use]
    pub fn count(self, n: usize) -> String {
        let word = match (self, n) {
            (_, 1) => self.word().to_owned(),
            (Self::Bread, _) => "breads".to_owned(),
            _ => format!("{}s", self.word()),
        };
        format!("{n} {word}")
    }
}

/// The dishes of an evening by course: indexes of its sheets. Dishes of one
/// course keep the party's order.
#[must_use]
pub fn by_course(evening: &Evening) -> Vec<usize> {
    let mut order: Vec<usize> = (0..evening.sheets.len()).collect();
    order.order_by_key(|&d| (evening.sheets.get(d).map(|s| s.recipe.course), d));
    order
}

/// What the dishes that are made add up to.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Balance {
    /// How many dishes of each course, in the order of [`Course::ALL`].
    pub courses: [usize; 7],
    /// How many are hot, cold, and as warm as the room.
    pub warmth: [usize; 3],
}

impl Balance {
    /// Counts the dishes of an evening but those that are not made.
    #[must_use]
    pub fn of(evening: &Evening, dropped: &[usize]) -> Self {
        let mut all = Self::default();
        let made = evening.sheets.iter().enumerate().filter(|(d, _)| !dropped.contains(d));
        for (_, sheet) in made {
            let course = Course::ALL.iter().position(|c| *c == sheet.recipe.course);
            if let Some(n) = course.and_then(|c| all.courses.get_mut(c)) {
                *n += 1;
            }
            let warmth = match Warmth::of(&sheet.recipe) {
                Warmth::Hot => 0,
                Warmth::Cold => 1,
                Warmth::Room => 2,
            };
            if let Some(n) = all.warmth.get_mut(warmth) {
                *n += 1;
            }
        }
        all
    }

    /// How many dishes of a course.
    #[must_use]
    pub fn course(&self, course: Course) -> usize {
        let at = Course::ALL.iter().position(|c| *c == course);
        at.and_then(|c| self.courses.get(c)).copied().unwrap_or(0)
    }

    /// "4 starters, 2 mains, 2 sides, 1 dessert".
    #[must_use]
    pub fn courses_words(&self) -> String {
        let counts = Course::ALL.iter().zip(self.courses).filter(|(_, n)| *n > 0);
        counts.map(|(course, n)| course.count(n)).collect::<Vec<_>>().join(", ")
    }

    /// "7 hot, 1 cold, 1 room-warm".
    #[must_use]
    pub fn warmth_words(&self) -> String {
        let words = ["hot", "cold", "room-warm"];
        let counts = words.iter().zip(self.warmth).filter(|(_, n)| *n > 0);
        counts.map(|(word, n)| format!("{n} {word}")).collect::<Vec<_>>().join(", ")
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::kitchen::StationKind;

    fn recipe(text: &str) -> Recipe {
        serde_json::from_str(text).expect("a recipe of the shelf")
    }

    macro_rules! shelf {
        ($id:literal) => {
            recipe(include_str!(concat!("../../assets/recipes/", $id, ".json")))
        };
    }

    #[test]
    fn how_a_dish_comes_to_the_table() {
        for (recipe, warmth) in [
            (shelf!("squash-soup"), Warmth::Hot),
            (shelf!("bean-dip"), Warmth::Cold),
            (shelf!("oat-rolls"), Warmth::Room),
            (shelf!("corn-fritters"), Warmth::Hot),
            (shelf!("bramble-ice"), Warmth::Cold),
        ] {
            assert_eq!(Warmth::of(&recipe), warmth, "{}", recipe.id);
        }
        // What never waits comes as the last step leaves it.
        let mut straight = shelf!("squash-soup");
        straight.holds.clear();
        assert_eq!(Warmth::of(&straight), Warmth::Hot);
        for (station, warmth) in [
            (StationKind::Oven, Warmth::Hot),
            (StationKind::Fridge, Warmth::Cold),
            (StationKind::Counter, Warmth::Room),
        ] {
            let last = straight.steps.last_mut().expect("steps");
            last.ways[0].station = station;
            assert_eq!(Warmth::of(&straight), warmth, "{station:?}");
        }
        // What waits in the room may have come out of the oven.
        let mut waits = shelf!("oat-rolls");
        waits.holds.retain(|h| h.class == HoldClass::Room);
        assert!(!waits.holds.is_empty());
        waits.steps.last_mut().expect("steps").ways[0].station = StationKind::Oven;
        assert_eq!(Warmth::of(&waits), Warmth::Room);
    }

    /// The small supper: a roast (main, hot), chips (side, hot) and a dip (starter, cold).
    #[test]
    fn dishes_are_counted_by_course_and_warmth() {
        let supper = crate::plan::sample::evening();
        assert_eq!(by_course(&supper), [2, 0, 1]);
        let balance = Balance::of(&supper, &[]);
        assert_eq!(balance.courses, [1, 1, 1, 0, 0, 0, 0]);
        assert_eq!(balance.course(Course::Main), 1);
        assert_eq!(balance.course(Course::Drink), 0);
        assert_eq!(balance.warmth.iter().sum::<usize>(), 3);
        assert_eq!(balance.warmth[1], 1, "the dip is cold");
        let without = Balance::of(&supper, &[2]);
        assert_eq!((without.courses, without.warmth[1]), ([0, 1, 1, 0, 0, 0, 0], 0));
        assert_eq!(
            (Course::Bread.count(1), Course::Bread.count(2)),
            ("1 bread".into(), "2 breads".into())
        );
    }

    #[test]
    fn counts_say_how_many() {
        let balance = Balance { courses: [4, 1, 2, 0, 2, 0, 0], warmth: [6, 2, 1] };
        assert_eq!(balance.courses_words(), "4 starters, 1 main, 2 sides, 2 breads");
        assert_eq!(balance.warmth_words(), "6 hot, 2 cold, 1 room-warm");
        let hot = Balance { courses: [0, 1, 0, 0, 0, 0, 0], warmth: [1, 0, 0] };
        assert_eq!((hot.courses_words(), hot.warmth_words()), ("1 main".into(), "1 hot".into()));
    }
}

//! How many servings a dish needs, by who comes and what else stands on the table.

use crate::kitchen::Course;
pub use crate::kitchen::party::Appetite;
use crate::kitchen::units::Exact;

/// Servings of one dish for so many guests, when so many dishes of its course
/// stand on the table. At least 1.
///
/// A guest takes a whole serving of the only dish of a course, and less of each
/// when there are more: three quarters of each of two, three fifths of each of
/// three, half of each of four and more; bread, sauces and drinks are not shared
/// out. Light eaters want four fifths, hearty ones five quarters. All of this is
/// common practice, no source; what a serving is, is the recipe's, and the
/// shelf's are held against published tables (`tests/shelf.rs`).
#[must_use]
pub fn servings(course: Course, guests: u32, dishes: usize, appetite: Appetite) -> u32 {
    let (above, below) = share(course, dishes);
    let (more, less) = match appetite {
        Appetite::Light => (4, 5),
        Appetite::Usual => (1, 1),
        Appetite::Hearty => (5, 4),
    };
    let part = Exact::fraction(above * more, below * less).unwrap_or(Exact::ONE);
    let wanted = (part * Exact::whole(guests.into())).ceil().to_i64();
    u32::try_from(wanted).unwrap_or(1).max(1)
}

/// What a guest of usual appetite takes of each, as a part of a serving.
const fn share(course: Course, dishes: usize) -> (i128, i128) {
    let shared = !matches!(course, Course::Bread | Course::Sauce | Course::Drink);
    match dishes {
        2 if shared => (3, 4),
        3 if shared => (3, 5),
        n if shared && n > 3 => (1, 2),
        _ => (1, 1),
    }
}

/// "16 guests, one of 2 mains: 3/4 of a serving each, a quarter more for hearty eaters".
pub(super) fn words(course: Course, guests: u32, dishes: usize, appetite: Appetite) -> String {
    let who = match guests {
        0 => "no guests are named".to_owned(),
        1 => "1 guest".to_owned(),
        n => format!("{n} guests"),
    };
    let beside = match dishes {
        0 | 1 => format!("the only {}", course.word()),
        n => format!("one of {}", course.count(n)),
    };
    let each = match share(course, dishes) {
        (1, 1) => "a serving each".to_owned(),
        (above, below) => format!("{above}/{below} of a serving each"),
    };
    let eat = match appetite {
        Appetite::Light => ", a fifth less for light eaters",
        Appetite::Usual => "",
        Appetite::Hearty => ", a quarter more for hearty eaters",
    };
    format!("{who}, {beside}: {each}{eat}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn more_dishes_and_less_appetite_make_smaller_shares() {
        let main = |n, appetite| servings(Course::Main, 16, n, appetite);
        assert_eq!(main(1, Appetite::Usual), 16);
        assert_eq!(main(2, Appetite::Usual), 12);
        assert_eq!(main(3, Appetite::Usual), 10);
        assert_eq!(main(6, Appetite::Usual), 8);
        assert_eq!(main(2, Appetite::Hearty), 15);
        assert_eq!(main(1, Appetite::Light), 13);
        assert_eq!(servings(Course::Bread, 16, 3, Appetite::Usual), 16);
        assert_eq!(servings(Course::Main, 0, 0, Appetite::Usual), 1);
    }

    #[test]
    fn the_reckoning_is_said() {
        let said = words(Course::Main, 16, 2, Appetite::Hearty);
        assert_eq!(
            said,
            "16 guests, one of 2 mains: 3/4 of a serving each, a quarter more for hearty eaters"
        );
    }
}

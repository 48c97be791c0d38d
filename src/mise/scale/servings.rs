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
    let shared = !matches!(course, Course::Bread | Course::Sauce | Course::Drink);
    let (above, below) = match dishes {
        2 if shared => (3, 4),
        3 if shared => (3, 5),
        n if shared && n > 3 => (1, 2),
        _ => (1, 1),
    };
    let (more, less) = match appetite {
        Appetite::Light => (4, 5),
        Appetite::Usual => (1, 1),
        Appetite::Hearty => (5, 4),
    };
    let part = Exact::fraction(above * more, below * less).unwrap_or(Exact::ONE);
    let wanted = (part * Exact::whole(guests.into())).ceil().to_i64();
    u32::try_from(wanted).unwrap_or(1).max(1)
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
}

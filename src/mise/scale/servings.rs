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
    let part = Exact::fraction(above, below).unwrap_or(Exact::ONE) * of_appetite(appetite);
    let wanted = (part * Exact::whole(guests.into())).ceil().to_i64();
    u32::try_from(wanted).unwrap_or(1).max(1)
}

/// Who may eat of a dish.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Eaters {
    /// Guests who may.
    pub eat: u32,
    /// Of those, guests who find no other dish of its course.
    pub only: u32,
}

/// As [`servings`], but never less than those want who may eat of it: who finds no other dish of the course takes a
/// whole serving.
pub(super) fn for_eaters(
    course: Course,
    (guests, of): (u32, Eaters),
    dishes: usize,
    appetite: Appetite,
) -> u32 {
    let asked = servings(course, guests, dishes, appetite);
    let (above, below) = share(course, dishes);
    let each = Exact::fraction(above, below).unwrap_or(Exact::ONE);
    let others = Exact::whole(of.eat.saturating_sub(of.only).into());
    let wanted = each * others + Exact::whole(of.only.into());
    let wanted = (wanted * of_appetite(appetite)).ceil().to_i64();
    asked.max(u32::try_from(wanted).unwrap_or(u32::MAX))
}

fn of_appetite(appetite: Appetite) -> Exact {
    let (more, less) = match appetite {
        Appetite::Light => (4, 5),
        Appetite::Usual => (1, 1),
        Appetite::Hearty => (5, 4),
    };
    Exact::fraction(more, less).unwrap_or(Exact::ONE)
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
pub(super) fn words(
    course: Course,
    (guests, of): (u32, Eaters),
    dishes: usize,
    appetite: Appetite,
) -> String {
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
    let more = for_eaters(course, (guests, of), dishes, appetite)
        > servings(course, guests, dishes, appetite);
    let only = match of.only {
        _ if !more => String::new(),
        1 => format!("; 1 finds no other {} and takes a whole one", course.word()),
        n => format!("; {n} find no other {} and take a whole one", course.word()),
    };
    format!("{who}, {beside}: {each}{eat}{only}")
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
        let said = words(Course::Main, (16, Eaters::default()), 2, Appetite::Hearty);
        assert_eq!(
            said,
            "16 guests, one of 2 mains: 3/4 of a serving each, a quarter more for hearty eaters"
        );
    }

    /// Of 20 guests 15 eat of the one main of four that has no meat, and find no other: half a serving each is
    /// not enough for them.
    #[test]
    fn who_finds_no_other_takes_a_whole_serving() {
        let of = |eat, only, dishes, appetite| {
            let who = (20, Eaters { eat, only });
            let said = words(Course::Main, who, dishes, appetite);
            (for_eaters(Course::Main, who, dishes, appetite), said.contains("find no other main"))
        };
        assert_eq!(of(20, 0, 4, Appetite::Usual), (10, false));
        assert_eq!(of(15, 15, 4, Appetite::Usual), (15, true));
        assert_eq!(of(20, 15, 4, Appetite::Usual), (18, true));
        assert_eq!(of(15, 15, 4, Appetite::Hearty), (19, true));
        // Fewer than there are guests never make it less.
        assert_eq!(of(5, 5, 4, Appetite::Usual), (10, false));
    }
}

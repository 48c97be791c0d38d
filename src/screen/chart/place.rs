//! From items to cells of a lane: every item that shows gets cells of its own.

use super::lanes::Item;
use super::window::Window;

/// The cells of an item on its lane.
///
/// Rounding: times fall on eighths of a cell, rounded down. An item of at
/// least three cells keeps its eighths at both ends. A shorter one is drawn in
/// whole cells, its start rounded down and its end rounded to the nearest
/// cell, and never in less than one cell (two, if its letter is that wide).
/// Two items never share a cell: where they would, the later one starts at the
/// next cell; or, on a lane that only sums up (`squeeze`), one shorter than a
/// cell is left out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Placed {
    /// Index of the item.
    pub item: usize,
    /// First column.
    pub from: u16,
    /// Column after the last.
    pub to: u16,
    /// Eighths of the first cell that stay empty, 0 to 7.
    pub left8: u8,
    /// Eighths of the last cell that are filled, 1 to 8.
    pub right8: u8,
    /// Column after the last of the planned part, between `from` and `to`.
    pub body_to: u16,
}

/// Places items, which come by start. `least`: the least cells an item needs
/// for its letter. `eighths`: whether parts of cells can be drawn.
#[must_use]
pub fn place(
    items: &[Item],
    window: &Window,
    eighths: bool,
    squeeze: bool,
    least: impl Fn(&Item) -> u16,
) -> Vec<Placed> {
    let wide = i64::from(window.columns);
    let mut out = Vec::new();
    let mut free = 0_i64;
    for (index, item) in items.iter().enumerate() {
        let (from8, to8) = (window.eighths(item.from_ms), window.eighths(item.to_ms));
        if to8 <= 0 && from8 < 0 || from8 >= wide * 8 {
            continue;
        }
        if squeeze && to8 - from8 < 8 && from8.div_euclid(8) < free {
            continue;
        }
        let least = i64::from(least(item)).max(1);
        let from8 = from8.clamp(0, wide * 8);
        let from8 = if from8.div_euclid(8) < free { free * 8 } else { from8 };
        let to8 = to8.clamp(0, wide * 8);
        let first = from8.div_euclid(8);
        let (mut left8, mut end, mut right8) =
            (from8.rem_euclid(8), (to8 + 7).div_euclid(8), (to8 - 1).rem_euclid(8) + 1);
        if end - first < 3 || !eighths {
            left8 = 0;
            right8 = 8;
            end = (to8 + 4).div_euclid(8);
        }
        end = end.max(first + least);
        if first + least > wide {
            continue;
        }
        let end = end.min(wide);
        if end - first < 3 {
            left8 = 0;
            right8 = 8;
        }
        let body = (window.eighths(item.body_ms).clamp(0, wide * 8) + 4).div_euclid(8);
        let cell = |c: i64| u16::try_from(c.clamp(0, wide)).unwrap_or(window.columns);
        let small = |e: i64| u8::try_from(e).unwrap_or(0);
        out.push(Placed {
            item: index,
            from: cell(first),
            to: cell(end),
            left8: small(left8),
            right8: small(right8).clamp(1, 8),
            body_to: cell(body.clamp(first, end)),
        });
        free = end;
    }
    out
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::lanes::What;
    use super::*;
    use crate::run::Phase;

    fn item(from: i64, minutes: i64) -> Item {
        Item {
            from_ms: from,
            body_ms: from + minutes * 60_000,
            to_ms: from + minutes * 60_000,
            what: What::Step(Phase::Ahead),
            dish: Some(0),
            others: Vec::new(),
            sel: None,
            label: String::new(),
            pinned: false,
        }
    }

    fn window(columns: u16, step_s: i64) -> Window {
        Window { from_ms: 0, step_ms: step_s * 1000, columns }
    }

    #[test]
    fn edges_are_eighths_rounded_down() {
        let placed = place(&[item(75_000, 9)], &window(20, 120), true, false, |_| 1);
        // 1:15 is 5 eighths into the first cell, 10:15 is 1 eighth into the sixth.
        assert_eq!((placed[0].from, placed[0].to), (0, 6));
        assert_eq!((placed[0].left8, placed[0].right8), (5, 1));
    }

    #[test]
    fn short_items_take_whole_cells_and_at_least_one() {
        let placed = place(
            &[item(0, 1), item(60_000, 1), item(120_000, 4)],
            &window(20, 300),
            true,
            false,
            |_| 1,
        );
        let cells: Vec<_> = placed.iter().map(|p| (p.from, p.to, p.left8, p.right8)).collect();
        assert_eq!(cells, [(0, 1, 0, 8), (1, 2, 0, 8), (2, 3, 0, 8)]);
    }

    #[test]
    fn what_lies_outside_is_left_out() {
        let items = [item(-600_000, 10), item(-600_000, 11), item(1_200_000, 5)];
        let placed = place(&items, &window(20, 60), true, false, |_| 1);
        assert_eq!(placed.iter().map(|p| p.item).collect::<Vec<_>>(), [1]);
    }

    proptest! {
        #[test]
        fn items_never_share_cells_and_stay_inside(
            starts in proptest::collection::vec((-100_i64..400, 0_i64..90), 0..40),
            columns in 0_u16..120,
            step in proptest::sample::select(vec![15_i64, 60, 120, 300, 900]),
            least in 1_u16..3,
            eighths in any::<bool>(),
            squeeze in any::<bool>(),
        ) {
            let mut items: Vec<Item> = starts.iter().map(|&(m, d)| item(m * 60_000, d)).collect();
            items.sort_by_key(|i| (i.from_ms, i.to_ms));
            let placed = place(&items, &window(columns, step), eighths, squeeze, |_| least);
            let mut free = 0;
            for p in &placed {
                prop_assert!(p.from >= free && p.to > p.from && p.to <= columns);
                prop_assert!(p.to - p.from >= least);
                prop_assert!(p.left8 < 8 && (1..=8).contains(&p.right8));
                prop_assert!(p.body_to >= p.from && p.body_to <= p.to);
                free = p.to;
            }
        }
    }
}

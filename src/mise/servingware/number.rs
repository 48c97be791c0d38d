//! Which piece of several alike: the first that is free.

use crate::order::InOrder;

/// A use of one kind of ware: how many pieces from when to when.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Use {
    /// Which dish.
    pub dish: usize,
    /// Which kind of ware.
    pub ware: usize,
    /// How many.
    pub pieces: u32,
    /// First minute.
    pub from: i32,
    /// Minute after the last, washing included.
    pub to: i32,
}

/// The numbers of the pieces, from 0, for each use in the order given. Spans on
/// a line need no more pieces than are in use at one time if they are given out
/// in the order in which they begin.
#[must_use]
pub fn numbers(uses: &[Use]) -> Vec<Vec<u32>> {
    let mut order: Vec<usize> = (0..uses.len()).collect();
    order.order_by_key(|&at| uses.get(at).map(|u| (u.from, u.dish, u.ware)));
    let mut given: Vec<Vec<u32>> = vec![Vec::new(); uses.len()];
    let mut done: Vec<usize> = Vec::new();
    for at in order {
        let Some(this) = uses.get(at) else { continue };
        let overlap =
            |other: &Use| other.ware == this.ware && other.from < this.to && this.from < other.to;
        let taken: Vec<u32> = done
            .iter()
            .filter(|&&other| uses.get(other).is_some_and(overlap))
            .flat_map(|&other| given.get(other).into_iter().flatten().copied())
            .collect();
        let pieces = usize::try_from(this.pieces).unwrap_or(0);
        let free: Vec<u32> = (0..).filter(|n| !taken.contains(n)).take(pieces).collect();
        if let Some(place) = given.get_mut(at) {
            *place = free;
        }
        done.push(at);
    }
    given
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_piece_is_used_again_when_it_is_free() {
        let a = |dish, pieces, from, to| Use { dish, ware: 0, pieces, from, to };
        let uses = [a(0, 1, 10, 20), a(1, 2, 0, 15), a(2, 1, 15, 30), a(3, 1, 20, 25)];
        assert_eq!(numbers(&uses), [vec![2], vec![0, 1], vec![0], vec![1]]);
        let other = Use { ware: 1, ..a(4, 1, 0, 99) };
        assert_eq!(numbers(&[uses[0], other]), [vec![0], vec![0]]);
    }
}

//! Sorting with one copy of the machinery for all types.
//!
//! The standard library's sort is made anew for every type and every way to compare, some 6 kB each, and the program
//! sorts short lists in more than a hundred places. Here the places of the items are sorted, as numbers, by a
//! comparison behind a pointer, and then the items are moved. The search keeps the standard sort: there it must be fast.

use std::cmp::Ordering;

/// Puts a list in order; what is equal stays in the order it had.
pub trait InOrder<T> {
    /// By a comparison.
    fn order_by(&mut self, compare: impl FnMut(&T, &T) -> Ordering);

    /// By a key of each item.
    fn order_by_key<K: Ord>(&mut self, mut key: impl FnMut(&T) -> K) {
        self.order_by(|a, b| key(a).cmp(&key(b)));
    }

    /// By the items themselves.
    fn order(&mut self)
    where
        T: Ord,
    {
        self.order_by(T::cmp);
    }
}

impl<T> InOrder<T> for [T] {
    fn order_by(&mut self, mut compare: impl FnMut(&T, &T) -> Ordering) {
        let items = &*self;
        let mut places: Vec<usize> = (0..items.len()).collect();
        in_order(&mut places, &mut |a, b| match (items.get(a), items.get(b)) {
            (Some(a), Some(b)) => compare(a, b),
            _ => Ordering::Equal,
        });
        for first in 0..places.len() {
            // Round the circle of those that take each other's places.
            let mut place = first;
            loop {
                let from = std::mem::replace(&mut places[place], place);
                if from == first {
                    break;
                }
                self.swap(place, from);
                place = from;
            }
        }
    }
}

fn in_order(places: &mut [usize], compare: &mut dyn FnMut(usize, usize) -> Ordering) {
    places.sort_by(|a, b| compare(*a, *b));
}

#[cfg(test)]
mod tests {
    use super::InOrder;
    use proptest::prelude::*;

    proptest! {
        /// As the standard library's stable sort.
        #[test]
        fn as_the_standard_sort_does(items in prop::collection::vec((0u8..9, 0u16..500), 0..60)) {
            let (mut ours, mut theirs) = (items.clone(), items);
            ours.order_by_key(|i| i.0);
            theirs.sort_by_key(|i| i.0);
            prop_assert_eq!(&ours, &theirs);
            ours.order_by(|a, b| b.1.cmp(&a.1));
            theirs.sort_by_key(|i| std::cmp::Reverse(i.1));
            prop_assert_eq!(&ours, &theirs);
            ours.order();
            theirs.sort();
            prop_assert_eq!(ours, theirs);
        }
    }
}

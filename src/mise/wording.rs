//! How amounts of things are said.

use crate::kitchen::items::plural;
use crate::kitchen::units::{Exact, Unit, say};

/// "5 onions", "2 bunches parsley", "1.2 kg potato"; the thing alone without an amount.
#[must_use]
pub fn amount_of(amount: Option<(Exact, Unit)>, item: &str) -> String {
    match amount {
        Some((amount, Unit::Piece)) if amount > Exact::ONE => {
            format!("{} {}", say(amount, Unit::Piece), plural(item))
        }
        Some((amount, unit)) => format!("{} {item}", say(amount, unit)),
        None => item.to_owned(),
    }
}

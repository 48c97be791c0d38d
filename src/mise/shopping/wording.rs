//! How lines, purchases and shares are said.

use super::{Line, Packs, Purchase, Quantity, Share};
use crate::kitchen::items::plural;
use crate::kitchen::units::{Exact, Unit, say};
use crate::mise::wording::{measured, named, pieces, taken};

impl Quantity {
    /// "1.2 kg", "3 cloves", "5".
    #[must_use]
    pub fn words(&self) -> String {
        say(self.amount, self.unit)
    }
}

impl Packs {
    /// "2 cans of 400 g", "1 bag of 1 kg".
    #[must_use]
    pub fn words(&self) -> String {
        let name = if self.count == 1 { self.name.clone() } else { plural(&self.name) };
        let joint = if self.makes { ", each for" } else { " of" };
        format!("{} {name}{joint} {}", self.count, self.holds.words())
    }
}

impl Purchase {
    /// What to put into the basket: "5", "1.3 kg", "2 cans of 400 g".
    #[must_use]
    pub fn words(&self) -> String {
        if self.packs.is_empty() {
            return say(self.amount, self.unit);
        }
        self.packs.iter().map(Packs::words).collect::<Vec<_>>().join(" + ")
    }

    /// Before rounding, where that says more: "4 1/2".
    #[must_use]
    pub fn exactly(&self) -> Option<String> {
        let exact = say(self.exact, self.unit);
        (self.exact != self.amount && exact != self.words()).then_some(exact)
    }
}

impl Line {
    /// The item for the amount that is bought: "onions", "canned tomatoes".
    #[must_use]
    pub fn called(&self) -> String {
        // Packs say their own number.
        match self.buy.as_ref().filter(|b| b.packs.is_empty()) {
            Some(buy) => named(buy.amount, buy.unit, &self.item),
            None => self.item.clone(),
        }
    }

    /// Why nothing is bought, or what to buy.
    #[must_use]
    pub fn to_buy(&self) -> String {
        match (&self.buy, &self.in_house, &self.need) {
            (Some(buy), ..) => {
                let loose = Some(buy).filter(|b| b.packs.is_empty());
                let named = loose.and_then(|b| pieces(b.amount, b.unit, &self.item));
                named.unwrap_or_else(|| buy.words())
            }
            (None, Some(house), _) => format!("{} in the house", house.words()),
            (None, None, Some(need)) => need.words(),
            (None, None, None) => "to taste".to_owned(),
        }
    }

    /// Each dish's share by its letter: "S 4, P 3".
    #[must_use]
    pub fn shared(&self) -> String {
        shared(&self.shares, &self.item)
    }

    /// What is behind the amount, each a short sentence: the exact figure, what
    /// is in the house, the figures used and their sources.
    #[must_use]
    pub fn behind(&self) -> Vec<String> {
        let exactly = self.buy.as_ref().and_then(Purchase::exactly);
        let mut behind: Vec<String> = exactly.map(|e| format!("exactly {e}")).into_iter().collect();
        let house = self.in_house.as_ref().filter(|_| self.buy.is_some());
        behind.extend(house.map(|h| format!("{} more in the house", h.words())));
        behind.extend(self.how.iter().cloned());
        behind
    }
}

/// Shares of an item, one after the other: "S 4, P 3".
pub(in crate::mise) fn shared(shares: &[Share], item: &str) -> String {
    shares.iter().map(|s| s.words(item)).collect::<Vec<_>>().join(", ")
}

impl Share {
    /// "S 4 cloves", "M to taste", "P 2 egg yolks", as the dish's own lists say it.
    #[must_use]
    pub fn words(&self, item: &str) -> String {
        let quantity = self.quantity.as_ref().map(|q| (taken(q.amount, q.unit, item), q.unit));
        let said = |(amount, unit)| measured(amount, unit);
        let amount = quantity.map_or_else(|| "to taste".to_owned(), said);
        let many = quantity.is_some_and(|(n, unit)| unit == Unit::Piece && n > Exact::ONE);
        let name = |w: &String| if many { plural(w) } else { w.clone() };
        let words = self.words.as_ref().map_or(String::new(), |w| format!(" {}", name(w)));
        let optional = if self.optional { ", if you like" } else { "" };
        format!("{} {amount}{words}{optional}", self.letter)
    }
}

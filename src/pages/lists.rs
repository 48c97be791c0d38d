//! The lists of before the evening, for programs: with their format's name and number in front.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::mise::knife::Mise;
use crate::mise::scale::Scaling;
use crate::mise::shopping::ShoppingList;
use crate::mise::trays::Trays;

/// A list with its format.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[schemars(rename = "{T}File")]
pub struct Named<T> {
    /// Its format: `potwatch mise 1` and the like; another number means other fields.
    pub format: String,
    /// The list.
    #[serde(flatten)]
    pub list: T,
}

/// A list that is printed for programs.
pub trait Listed {
    /// Its format's name and number.
    const FORMAT: &'static str;
}

impl Listed for Scaling {
    const FORMAT: &'static str = "potwatch scale 1";
}

impl Listed for ShoppingList {
    const FORMAT: &'static str = "potwatch shopping 1";
}

impl Listed for Mise {
    const FORMAT: &'static str = "potwatch mise 1";
}

impl Listed for Trays {
    const FORMAT: &'static str = "potwatch trays 1";
}

impl<T: Listed> Named<T> {
    /// The list with its format.
    #[must_use]
    pub fn of(list: T) -> Self {
        Self { format: T::FORMAT.to_owned(), list }
    }
}

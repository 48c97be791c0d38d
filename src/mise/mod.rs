//! From the party to lists, before the first flame: how much of everything
//! ([`scale`]), what to buy ([`shopping`]), what is put into what, what lies on
//! paper. Pure: the party and the plan come in as data, lists and pages go out.
//! Amounts stay exact until they are rounded to something that can be bought or
//! measured, once, at the end.

pub mod amounts;
pub mod knife;
pub mod scale;
pub mod servingware;
pub mod shopping;
pub mod trays;
mod wording;

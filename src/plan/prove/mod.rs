//! The exact side: proves a plan best, or how far it can be from best, or that
//! there is none and which demands clash.
//!
//! **What is modelled.** Everything at the head of [`crate::plan::problem`], rule
//! by rule, and its cost to the unit: see [`model`]. Minutes are integer
//! variables from their earliest to their latest; modes, cooks, holds and "this
//! before that" are variables from 0 to 1. What is said about them is of four
//! kinds: clauses; differences (`end + 5 <= start`, if up to a few statements
//! hold); linear inequalities (oven settings against minutes, waits, the cost);
//! and resources. A problem with a number or a rule outside of that is said to be
//! [`NotModelled`], and then nothing is claimed.
//!
//! **How it works** is called lazy clause generation (Ohrimenko, Stuckey &
//! Codish, Constraints 14, 2009). The only statements are bounds, "x is at least
//! 7"; they are not laid out beforehand but made when something speaks of them.
//! The trail says of each bound that rose why it did. When bounds contradict each
//! other, reasons are put in place of what they imply until one statement of the
//! latest choice is left: that is a clause that would have prevented the
//! contradiction, and it is kept. A reason is asked only for as much as is
//! needed ("at least 5" where 7 was known), so that what is learnt says more.
//! - *Differences* push a bound along; the reason is the bound pushed from.
//! - *A resource* (`engine::table`): what surely covers a minute leaves the rest
//!   to others; the reason is those that cover that one minute.
//! - *Work between two minutes* (`engine::energy`): all that lies inside needs
//!   more than there is; the reason is that they lie inside, loosened by what
//!   they exceed it by. It is what proves that one pair of hands cannot begin later.
//! - *A linear inequality* (`engine::linear`): the bounds of its terms, loosened
//!   by its slack, and worked out only if it is asked.
//!
//! **The cost** is closed in on from both sides ([`optimum`]): prices are assumed
//! away, the dearest first, and a set of them that cannot all be away raises the
//! bound by the cheapest and is counted from then on; each answer found must cost
//! less than the one before. It begins at the search's schedule.
//!
//! **What a proof is**: a contradiction without any choice. Then nothing that
//! costs less than the schedule at hand satisfies what was said (or nothing at
//! all). It is as good as the model and the reasons; they are held against
//! trying everything on thousands of tiny problems (`tests/plan_oracle.rs`),
//! against published optima and against another solver (`tests/outside`). Every
//! schedule that comes out passes the judge, or nothing is claimed.
//!
//! **Clashes** ([`mod@clash`]): the same model without prices, where each demand holds
//! if its statement does; those statements are assumed, and a contradiction names
//! those that it rests on. One after the other is let go as long as it stays.
//!
//! **Near a schedule** ([`near`]): most of the best one is kept and the rest tried out for a moment, on the same engine. Of
//! many tasks no proof ends in any time worth waiting for, but much is found so.
//!
//! **Any way at all** ([`any_way`]): where neither search nor prover is soon at a schedule, one for later services.
//!
//! It reads no clock. Work is counted; the same work gives the same answer on
//! every machine. [`solve`] lets search and prover take turns.

mod any_way;
pub mod clash;
pub mod demand;
#[cfg(test)]
mod demand_tests;
mod engine;
mod model;
mod near;
#[cfg(test)]
mod near_tests;
pub mod optimum;
pub mod team;

pub use clash::{Clashing, Met, Patience, clash, demands, met};
pub use demand::Demand;
pub use model::NotModelled;
pub use optimum::{Proved, Prover};
pub use team::{Hope, solve, solve_both};

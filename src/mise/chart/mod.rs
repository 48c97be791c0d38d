//! The plan as a picture for paper: a lane for each place and each pair of
//! hands, time to the right, cut into stretches that are wide enough to read.
//! Light ground, dark lines; what a shape means is told by its outline, not by
//! its colour.
//!
//! `lanes` says what lies in which lane, `stretch` how the time is cut, `draw`
//! puts it into SVG.

mod back;
mod draw;
mod lanes;
mod stretch;
#[cfg(test)]
mod tests;

pub use back::{Happened, LEGEND, compared, compared_whole};
pub use draw::{legend, pictures, whole};

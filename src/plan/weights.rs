//! What each fault of a plan costs, in cost units. The figures are the
//! planner's own: they settle what outweighs what, and the plan's JSON carries
//! them so that another program can add up the same cost.
//!
//! The terms are some factor apart, so that they rank as the cook would rank
//! them: a minute late outweighs a hundred quality points, and ten minutes of
//! missing cushion outweigh two.

/// A minute that a dish is served late.
pub const LATE: i64 = 1_000_000;

/// A minute past a most wait of taste that could no longer be kept (running only).
pub const PAST_TASTE: i64 = 2_000_000;

/// A minute past a safety limit that could no longer be kept (running only).
pub const PAST_SAFETY: i64 = 5_000_000;

/// A quality point: of a second-best way, once.
pub const POINT: i64 = 10_000;

/// A quality point for each ten minutes, taken by the minute: of waiting past
/// the free minutes of a hold, or short of the best wait.
pub const POINT_PER_TEN_MINUTES: i64 = POINT / 10;

/// A minute by which a dish is ready with less cushion than it should have.
pub const CUSHION: i64 = 2_000;

/// A minute from the first hands-on minute to the last service.
pub const SPAN: i64 = 400;

/// A hundredth of a cook's idle minute between the first and the last hands-on minute.
pub const IDLE: i64 = 2;

/// Leaving a dish between two steps that could be done in one go.
pub const HOP: i64 = 1_500;

/// A minute by which a step moves that was to start within [`NEAR_MINUTES`].
pub const MOVE_NEAR: i64 = 300;

/// A minute by which a step moves that was to start within [`MIDDLE_MINUTES`].
pub const MOVE_MIDDLE: i64 = 150;

/// A minute by which a step moves that was to start later.
pub const MOVE_FAR: i64 = 50;

/// Another way or station than the plan on the screen shows.
pub const MOVE_PLACE: i64 = 3_000;

/// Steps that start so soon are near.
pub const NEAR_MINUTES: i32 = 10;

/// Steps that start so soon are not far.
pub const MIDDLE_MINUTES: i32 = 30;

/// The most cushion that a dish wishes for before its service, in minutes.
pub const MOST_CUSHION: i32 = 15;

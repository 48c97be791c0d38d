//! The evening as it happens: events, the state that is a fold of them, the
//! alarms that are due, and what the cook should do now. Pure: events and the
//! present time in, state out.

mod adopt;
pub mod afterwards;
pub mod alarms;
mod apply;
mod ask;
mod asked;
pub mod crowd;
mod decide;
mod echo;
mod ending;
pub mod event;
mod evidence;
pub mod expect;
pub mod fold;
pub mod food;
pub mod food_log;
pub mod hand;
pub mod holding;
pub mod kept;
pub mod look_back;
pub mod marks;
pub mod measure;
mod memo;
pub mod now;
mod oven;
pub mod portions;
pub mod prompts;
pub mod report;
pub mod reshuffle;
mod situation;
pub mod state;
pub mod telling;
#[cfg(test)]
pub(crate) mod testbed;
pub mod view;
mod words;

pub use decide::decide;
pub use echo::echo;
pub use event::{Answer, Clearing, Event, Mark, PortionDid, StepId};
pub use evidence::evidence;
pub use fold::fold;
pub use marks::Refusal;
pub use now::view;
pub use oven::Dial;
pub use report::{Report, report};
pub use reshuffle::{Why, needs_reshuffle};
pub use state::{Facts, Note, Portion, Progress, State};
pub use view::{
    Alarm, AlarmKind, AlarmState, Changed, Countdown, Ending, Expected, Heat, Holding, Limit,
    Measure, Phase, Prompt, PromptKind, Rank, Span, View,
};

#[cfg(test)]
mod after_tests;
#[cfg(test)]
mod alarm_edges_tests;
#[cfg(test)]
mod alarms_tests;
#[cfg(test)]
mod changes_tests;
#[cfg(test)]
mod check_edges_tests;
#[cfg(test)]
mod clocks_tests;
#[cfg(test)]
mod dropped_tests;
#[cfg(test)]
mod fold_tests;
#[cfg(test)]
mod food_edges_tests;
#[cfg(test)]
mod food_tests;
#[cfg(test)]
mod heard_tests;
#[cfg(test)]
mod loads_tests;
#[cfg(test)]
mod mark_edges_tests;
#[cfg(test)]
mod marks_tests;
#[cfg(test)]
mod measure_edges_tests;
#[cfg(test)]
mod measure_tests;
#[cfg(test)]
mod now_tests;
#[cfg(test)]
mod reshuffle_tests;

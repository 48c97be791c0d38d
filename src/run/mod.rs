//! The evening as it happens: events, the state that is a fold of them, the
//! alarms that are due, and what the cook should do now. Pure: events and the
//! present time in, state out.

pub mod event;
pub mod view;

pub use event::{Event, Mark, StepId};
pub use view::{
    Alarm, AlarmKind, AlarmState, Countdown, Expected, Holding, Limit, Phase, Prompt, PromptKind,
    Rank, Span, View,
};

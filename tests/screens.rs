//! The screens, drawn without a terminal: at every size, in every look, with
//! keys and the pointer.

#[path = "screens/fixture.rs"]
mod fixture;
#[path = "screens/glance.rs"]
mod glance;
#[path = "screens/golden.rs"]
mod golden;
#[path = "support/past.rs"]
mod past;
#[path = "screens/presses.rs"]
mod presses;
#[path = "screens/scenes.rs"]
mod scenes;
#[path = "screens/sizes.rs"]
mod sizes;
#[path = "screens/table.rs"]
mod table;

//! The screens, drawn without a terminal: at every size, in every look, with
//! keys and the pointer.

#[path = "screens/fixture.rs"]
mod fixture;
#[path = "screens/sizes.rs"]
mod sizes;

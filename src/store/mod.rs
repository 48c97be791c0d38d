//! Files: reading the cook's own, and the shelf inside the program.

pub mod load;
pub mod read;
pub mod shelf;
pub mod zone;

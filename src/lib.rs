//! potwatch

//! How many cases a property is tried on.

use proptest::test_runner::Config;

/// As many as `PROPTEST_CASES` says, or so many.
pub fn cases(otherwise: u32) -> Config {
    let asked = std::env::var("PROPTEST_CASES").ok().and_then(|text| text.parse().ok());
    Config { cases: asked.unwrap_or(otherwise), failure_persistence: None, ..Config::default() }
}

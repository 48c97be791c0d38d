//! The checked-in JSON Schema of the plan is that of its types.
//!
//! `UPDATE_SCHEMA=1 cargo test --test plan_schema` writes it anew.

use std::path::PathBuf;

use potwatch::plan::wire::PlanFile;

#[test]
fn the_checked_in_schema_is_that_of_the_types() {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("shared/schema/plan.schema.json");
    let schema = schemars::schema_for!(PlanFile).to_value();
    let text = format!("{schema:#}\n");
    if std::env::var_os("UPDATE_SCHEMA").is_some() {
        std::fs::write(&path, &text).expect("written");
    }
    let there = std::fs::read_to_string(&path).unwrap_or_default();
    assert!(
        there == text,
        "{} is out of date: UPDATE_SCHEMA=1 cargo test --test plan_schema",
        path.display()
    );
}

//! The program run in this process, and the schemas that it keeps.

use std::path::{Path, PathBuf};

use potwatch::command::{Exit, Streams, run_with};

/// A path from the top of the project.
pub fn here(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

/// The environment of somebody who has set nothing and keeps nothing.
pub fn nobody(name: &str) -> Option<String> {
    (name == "POTWATCH_HOME")
        .then(|| std::env::temp_dir().join("potwatch-nobody"))?
        .to_str()
        .map(str::to_owned)
}

/// Runs the program: how it ended, what it printed, what it complained of.
pub fn potwatch(args: &[&str]) -> (Exit, String, String) {
    let (mut out, mut err, mut input) = (Vec::new(), Vec::new(), std::io::empty());
    let mut streams =
        Streams { out: &mut out, err: &mut err, input: &mut input, asks: false, var: &nobody };
    let args = std::iter::once("potwatch").chain(args.iter().copied()).map(Into::into);
    let exit = run_with(args, &mut streams);
    let text = |bytes| String::from_utf8(bytes).expect("text");
    (exit, text(out), text(err))
}

/// Holds the schema of a type against `shared/schema/`; `UPDATE_SCHEMA=1`
/// writes it anew. `target` is the test target that asks.
pub fn check_schema<T: schemars::JsonSchema>(name: &str, target: &str) {
    let path = here(&format!("shared/schema/{name}.schema.json"));
    let schema = schemars::schema_for!(T).to_value();
    let text = format!("{schema:#}\n");
    if std::env::var_os("UPDATE_SCHEMA").is_some() {
        std::fs::write(&path, &text).expect("written");
    }
    let there = std::fs::read_to_string(&path).unwrap_or_default();
    let remedy = format!("UPDATE_SCHEMA=1 cargo test --test {target}");
    assert!(there == text, "{} is out of date: {remedy}", path.display());
}

//! What the program is built from: every crate that reaches the binary or its tests may be given on under the
//! project's own licence, and none needs a C library.
//!
//! The licences are those that each crate names in its manifest, in SPDX's expressions (spdx.org/licenses, and
//! "SPDX License Expressions", annex of ISO/IEC 5962:2021); `cargo metadata` reads them. Advisories about crates need
//! a service on the network and are not asked for here.

use std::process::Command;

use serde_json::Value;

/// Licences that ask for no more than their text and the names be kept.
const PERMISSIVE: [&str; 11] = [
    "MIT",
    "MIT-0",
    "Apache-2.0",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "0BSD",
    "ISC",
    "Zlib",
    "Unicode-3.0",
    "Unlicense",
    "BSL-1.0",
];
/// Asks for changes to its own files to be given on, and for nothing about ours.
const OF_ITS_OWN_FILES: &str = "MPL-2.0";

fn packages() -> Vec<Value> {
    let host = host();
    let told = Command::new(env!("CARGO"))
        .args(["metadata", "--format-version", "1", "--locked", "--filter-platform", &host])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("cargo runs");
    assert!(told.status.success(), "{}", String::from_utf8_lossy(&told.stderr));
    let mut told: Value = serde_json::from_slice(&told.stdout).expect("JSON");
    let used: Vec<Value> = told["resolve"]["nodes"].as_array().expect("nodes").clone();
    let Value::Array(all) = told["packages"].take() else { panic!("packages") };
    all.into_iter().filter(|p| used.iter().any(|n| n["id"] == p["id"])).collect()
}

/// The triple of the computer on which the tests run.
fn host() -> String {
    let told = Command::new(env!("CARGO")).arg("-vV").output().expect("cargo runs");
    let told = String::from_utf8(told.stdout).expect("text");
    let host = told.lines().find_map(|l| l.strip_prefix("host: "));
    host.expect("a host").to_owned()
}

/// One of an expression's alternatives, all of whose parts are allowed. The old `/` means OR.
fn allowed(expression: &str) -> bool {
    let plain = expression.replace('/', " OR ").replace(['(', ')'], " ");
    let one = |l: &str| PERMISSIVE.contains(&l.trim()) || l.trim() == OF_ITS_OWN_FILES;
    let with = |l: &str| l.split(" WITH ").next().is_some_and(one);
    match expression.contains('(') {
        // Nested: every licence in it must be allowed.
        true => plain.split(" OR ").flat_map(|a| a.split(" AND ")).all(with),
        false => plain.split(" OR ").any(|a| a.split(" AND ").all(with)),
    }
}

#[test]
fn every_crate_may_be_given_on() {
    let packages = packages();
    assert!(packages.len() > 20, "the whole tree");
    let refused: Vec<String> = packages
        .iter()
        .filter(|p| !p["license"].as_str().is_some_and(allowed))
        .map(|p| format!("{}: {}", p["name"], p["license"]))
        .collect();
    assert_eq!(refused, [] as [String; 0]);
}

#[test]
fn no_crate_needs_a_c_library() {
    // `links` names a native library (The Cargo Book, "The links Field"); rayon-core uses the name to be there once only.
    let links = packages().into_iter().filter(|p| !p["links"].is_null());
    let names: Vec<String> = links.map(|p| p["name"].to_string()).collect();
    let harmless = ["\"rayon-core\"", "\"prettyplease\""];
    assert!(names.iter().all(|n| harmless.contains(&n.as_str())), "{names:?}");
}

#[test]
fn what_is_not_allowed_is_refused() {
    assert!(allowed("MIT OR Apache-2.0") && allowed("MIT/Apache-2.0") && allowed("GPL-3.0 OR MIT"));
    assert!(
        allowed("Apache-2.0 WITH LLVM-exception") && allowed("(MIT OR Apache-2.0) AND Unicode-3.0")
    );
    assert!(
        !allowed("GPL-3.0")
            && !allowed("MIT AND GPL-3.0")
            && !allowed("")
            && !allowed("(MIT OR X) AND MIT")
    );
}

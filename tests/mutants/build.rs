//! The mutated copy of the project, and its one build.

use std::ops::Range;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

use anyhow::{Context as _, Result, bail};
use serde_json::Value;

use crate::rewrite::{self, Mutant};

/// So often at most is what does not compile taken out.
const ROUNDS: usize = 40;

/// A file to be made wrong.
pub struct Source {
    path: PathBuf,
    text: String,
    mutants: Vec<Mutant>,
    spans: Vec<Range<usize>>,
}

/// One mutant to try.
#[derive(Debug, Clone)]
pub struct Chosen {
    pub id: u32,
    /// File, line and what is done there.
    pub told: String,
}

/// A copy of what the build needs, with the gate in it.
pub fn copy(root: &Path) -> Result<PathBuf> {
    let copy = root.join("target/mutants/tree");
    for part in ["src", "tests", "assets", "shared"] {
        let to = copy.join(part);
        if to.exists() {
            std::fs::remove_dir_all(&to)?;
        }
        copy_folder(&root.join(part), &to)?;
    }
    for part in ["Cargo.toml", "Cargo.lock", "README.md", "DEVELOPERS.md", "LICENSE"] {
        std::fs::copy(root.join(part), copy.join(part))?;
    }
    std::fs::write(copy.join("src/gate.rs"), include_str!("gate.rs"))?;
    let lib = copy.join("src/lib.rs");
    let text = std::fs::read_to_string(&lib)?;
    std::fs::write(&lib, format!("{text}\n#[path = \"gate.rs\"]\npub mod gate;\n"))?;
    Ok(copy)
}

fn copy_folder(from: &Path, to: &Path) -> Result<()> {
    std::fs::create_dir_all(to)?;
    for entry in std::fs::read_dir(from)? {
        let entry = entry?;
        let there = to.join(entry.file_name());
        if entry.file_type()?.is_dir() {
            copy_folder(&entry.path(), &there)?;
        } else {
            std::fs::copy(entry.path(), there)?;
        }
    }
    Ok(())
}

/// Is a file of this name made of tests?
fn is_of_tests(stem: &std::ffi::OsStr) -> bool {
    stem.to_str().is_some_and(|s| s == "tests" || s == "testbed" || s.ends_with("_tests"))
}

/// The files under the folders, with their mutants.
pub fn sources(root: &Path, folders: &[PathBuf]) -> Result<Vec<Source>> {
    let (mut all, mut next) = (Vec::new(), 1);
    for folder in folders {
        for path in crate::files(&root.join(folder))? {
            let text = std::fs::read_to_string(&path)?;
            let is_test = path.file_stem().is_some_and(is_of_tests)
                || path.components().any(|c| c.as_os_str() == "tests");
            let mutants = if is_test { Vec::new() } else { rewrite::mutants(&text, next) };
            next += mutants.iter().map(|m| m.takes).sum::<u32>();
            let path = path.strip_prefix(root)?.to_owned();
            all.push(Source { path, text, mutants, spans: Vec::new() });
        }
    }
    Ok(all)
}

/// Every so many of the mutants, from one on.
pub fn chosen(sources: &[Source], from: u32, every: u32) -> Vec<Chosen> {
    let of_mutant = |source: &Source, m: &Mutant| -> Vec<Chosen> {
        let told = |what: &String| format!("{}:{}: {what}", source.path.display(), m.line);
        (m.id..).zip(&m.what).map(|(id, what)| Chosen { id, told: told(what) }).collect()
    };
    let all = sources.iter().flat_map(|s| s.mutants.iter().flat_map(|m| of_mutant(s, m)));
    all.filter(|c| c.id >= from && c.id % every == from % every).collect()
}

/// Builds the copy; what does not compile is written another way, then left out. The test binaries.
pub fn build(copy: &Path, sources: &mut [Source], tests: &[String]) -> Result<Vec<PathBuf>> {
    let mut left_out = 0;
    for _ in 0..ROUNDS {
        for source in sources.iter_mut() {
            let (text, spans) = rewrite::with(&source.text, &source.mutants);
            source.spans = spans;
            let path = copy.join(&source.path);
            // What stays as it was keeps its time: it is not built again.
            if std::fs::read_to_string(&path).ok().as_ref() != Some(&text) {
                std::fs::write(path, text)?;
            }
        }
        let told = cargo(copy, tests)?;
        let errors: Vec<&Value> =
            told.iter().map(|t| &t["message"]).filter(|m| m["level"] == "error").collect();
        if errors.is_empty() {
            let made = told.iter().filter(|t| t["profile"]["test"] == true);
            let binaries = made.filter_map(|t| t["executable"].as_str().map(PathBuf::from));
            let here: usize = sources.iter().map(|s| s.mutants.len()).sum();
            println!("{here} places to make wrong, {left_out} left out that do not compile");
            return Ok(binaries.collect());
        }
        let mut any = false;
        for source in sources.iter_mut() {
            left_out += mend(source, &errors, &mut any);
        }
        if !any {
            bail!("the copy does not compile: {}", errors[0]["rendered"]);
        }
    }
    bail!("the copy still does not compile");
}

fn cargo(copy: &Path, tests: &[String]) -> Result<Vec<Value>> {
    let mut command = Command::new(env!("CARGO"));
    command.args(["test", "--lib", "--no-run", "--message-format=json"]).current_dir(copy);
    for test in tests {
        command.args(["--test", test]);
    }
    command.env("CARGO_TARGET_DIR", copy.with_file_name("build"));
    command.env("RUSTFLAGS", "--cap-lints=allow").stderr(Stdio::null());
    let told = command.output().context("cargo runs")?;
    let lines = String::from_utf8_lossy(&told.stdout).into_owned();
    Ok(lines.lines().filter_map(|line| serde_json::from_str(line).ok()).collect())
}

/// Writes those mutants another way, or leaves them out, in which an error stands. How many are left out.
fn mend(source: &mut Source, errors: &[&Value], any: &mut bool) -> usize {
    let ends = |path: &str| Path::new(path).ends_with(&source.path);
    let number = |v: &Value| v.as_u64().and_then(|n| usize::try_from(n).ok()).unwrap_or(usize::MAX);
    let mut hit = vec![false; source.mutants.len()];
    for error in errors {
        let spans = error["spans"].as_array().into_iter().flatten();
        for span in spans.filter(|s| s["file_name"].as_str().is_some_and(ends)) {
            let (from, to) = (number(&span["byte_start"]), number(&span["byte_end"]));
            // The innermost one around the error, or else those inside of it.
            let around = |r: &Range<usize>| r.start <= from && to <= r.end;
            let mut within = source.spans.iter().enumerate().filter(|(_, r)| around(r));
            let inner = within.by_ref().min_by_key(|(_, r)| r.len()).map(|(n, _)| n);
            match inner {
                Some(n) => hit[n] = true,
                None if span["is_primary"] == true => {
                    let inside = |r: &Range<usize>| from <= r.start && r.end <= to;
                    source.spans.iter().enumerate().for_each(|(n, r)| hit[n] |= inside(r));
                }
                None => (),
            }
        }
    }
    *any |= hit.contains(&true);
    let before = source.mutants.len();
    let mut hits = hit.into_iter();
    source.mutants.retain_mut(|m| !hits.next().unwrap_or(false) || m.otherwise());
    before - source.mutants.len()
}

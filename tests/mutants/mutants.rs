//! Mutation testing: is anything noticed when the code is made wrong?
//!
//!     cargo run --example mutants -- src/safety --only safety::
//!     cargo run --example mutants -- src/safety --tests alarm_evenings --from 200 --every 5
//!
//! A copy of the project in `target/mutants` gets every mutant of the named folders at once, each behind a gate
//! ([`rewrite`]), and is built once; then, mutant by mutant, those tests run that come by its place (`--only`: those
//! of these names; `--tests`: those of these files beside the unit tests). One build for
//! thousands of mutants, where a build for each would take a day. What compiles in no way is left out and counted.
//!
//! The list of those that no test noticed stands in `target/mutants/survivors.txt`.

#[path = "build.rs"]
mod build;
mod rewrite;
#[path = "trial.rs"]
mod trial;

use std::path::{Path, PathBuf};

use anyhow::{Context as _, Result, bail};

/// What is asked for.
struct Wish {
    folders: Vec<PathBuf>,
    tests: Vec<String>,
    only: Vec<String>,
    from: u32,
    every: u32,
}

fn wish() -> Result<Wish> {
    let mut wish =
        Wish { folders: Vec::new(), tests: Vec::new(), only: Vec::new(), from: 0, every: 1 };
    let mut words = std::env::args().skip(1);
    while let Some(word) = words.next() {
        let mut next = || words.next().with_context(|| format!("{word} wants a value"));
        match word.as_str() {
            "--tests" => wish.tests = next()?.split(',').map(str::to_owned).collect(),
            "--only" => wish.only = next()?.split(',').map(str::to_owned).collect(),
            "--from" => wish.from = next()?.parse()?,
            "--every" => wish.every = next()?.parse::<u32>()?.max(1),
            _ => wish.folders.push(PathBuf::from(word)),
        }
    }
    if wish.folders.is_empty() {
        bail!("name the folders or files to make wrong, such as src/safety");
    }
    Ok(wish)
}

/// All files of Rust under a path, in order.
pub fn files(under: &Path) -> Result<Vec<PathBuf>> {
    if under.is_file() {
        return Ok(vec![under.to_owned()]);
    }
    let mut all = Vec::new();
    let read = std::fs::read_dir(under).with_context(|| under.display().to_string())?;
    for entry in read {
        let path = entry?.path();
        if path.is_dir() || path.extension().is_some_and(|e| e == "rs") {
            all.extend(files(&path)?);
        }
    }
    all.sort();
    Ok(all)
}

fn main() -> Result<()> {
    let wish = wish()?;
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let copy = build::copy(root)?;
    let mut sources = build::sources(root, &wish.folders)?;
    let binaries = build::build(&copy, &mut sources, &wish.tests)?;
    let chosen = build::chosen(&sources, wish.from, wish.every);
    let sum = trial::all(&copy, &binaries, &wish.only, &chosen)?;
    println!("{sum}");
    Ok(())
}

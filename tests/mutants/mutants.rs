//! Mutation testing: is anything noticed when the code is made wrong?
//!
//!     cargo run --example mutants -- src/safety --only safety::
//!     cargo run --example mutants -- src/mise --only mise:: --tests mise_scale,mise_lists
//!     cargo run --example mutants -- src/mise --only mise:: --tests mise_scale,mise_lists --again
//!
//! A copy of the project in `target/mutants` gets every mutant of the named folders at once, each behind a gate
//! ([`rewrite`]), and is built once; then, mutant by mutant, those tests run that come by its place, the quickest
//! first. One build for thousands of mutants, where a build for each would take a day. What compiles in no way is
//! left out and counted; it is kept what that was, so that the next build need not find it again.
//!
//! - `--only WORDS`: of the unit tests those whose names have one of these in them
//! - `--tests NAMES`: the tests of these files of `tests/` as well
//! - `--skip WORDS`: no test whose name has one of these in it
//! - `--patience SECONDS`: so much of tests is tried on one mutant (20)
//! - `--from N`, `--every N`: each Nth mutant only, as a sample
//! - `--built`: by the last build, whatever has been written into the project since
//! - `--resume`: go on where a run was broken off; `--again`: try only those that were tried and not noticed
//!
//! The verdicts stand in `target/mutants/verdicts.txt`, the list of those that no test noticed in
//! `target/mutants/survivors.txt`; why those that are left harm nothing in `tests/mutants/survivors.md`.

#[path = "build.rs"]
mod build;
mod rewrite;
#[path = "trial.rs"]
mod trial;
#[path = "verdicts.rs"]
mod verdicts;

use std::path::{Path, PathBuf};

use anyhow::{Context as _, Result, bail};

use build::{Built, Chosen};
use verdicts::{Verdict, Verdicts};

/// Which of the mutants that were tried before are tried once more.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Anew {
    All,
    NotNoticed,
    None,
}

/// What is asked for.
struct Wish {
    folders: Vec<PathBuf>,
    tests: Vec<String>,
    only: Vec<String>,
    skip: Vec<String>,
    patience: f64,
    from: u32,
    every: u32,
    anew: Anew,
    built: bool,
}

fn wish() -> Result<Wish> {
    let mut wish = Wish {
        folders: Vec::new(),
        tests: Vec::new(),
        only: Vec::new(),
        skip: Vec::new(),
        patience: 20.0,
        from: 0,
        every: 1,
        anew: Anew::All,
        built: false,
    };
    let mut words = std::env::args().skip(1);
    while let Some(word) = words.next() {
        let mut next = || words.next().with_context(|| format!("{word} wants a value"));
        let list = |text: String| text.split(',').map(str::to_owned).collect();
        match word.as_str() {
            "--tests" => wish.tests = list(next()?),
            "--only" => wish.only = list(next()?),
            "--skip" => wish.skip = list(next()?),
            "--patience" => wish.patience = next()?.parse()?,
            "--from" => wish.from = next()?.parse()?,
            "--every" => wish.every = next()?.parse::<u32>()?.max(1),
            "--again" => wish.anew = Anew::NotNoticed,
            "--built" => wish.built = true,
            "--resume" => wish.anew = Anew::None,
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
    let copy = root.join("target/mutants/tree");
    if !wish.built {
        let mut sources = build::sources(root, &wish.folders)?;
        build::copy(root, &copy, &sources)?;
        let binaries = build::build(&copy, &mut sources, &wish.tests)?;
        Built { binaries, mutants: build::mutants(&sources) }.keep(&copy)?;
    }
    let Built { binaries, mutants } = Built::read(&copy)?;
    let mut verdicts = Verdicts::read(&copy.with_file_name("verdicts.txt"))?;
    let asked = |c: &Chosen| c.id >= wish.from && c.id % wish.every == wish.from % wish.every;
    let under = |c: &Chosen| wish.folders.iter().any(|f| c.file().starts_with(f));
    let all: Vec<Chosen> = mutants.into_iter().filter(|c| asked(c) && under(c)).collect();
    let wanted = |c: &&Chosen| match wish.anew {
        Anew::All => true,
        Anew::NotNoticed => verdicts.of(&c.key).is_some_and(|v| !v.is_good()),
        Anew::None => verdicts.of(&c.key).is_none(),
    };
    let now: Vec<Chosen> = all.iter().filter(wanted).cloned().collect();
    println!("{} of {} mutants to try", now.len(), all.len());
    trial::all(&copy, &binaries, &wish, &now, &mut verdicts)?;
    let left = |c: &Chosen| {
        let verdict = verdicts.of(&c.key).filter(|v: &Verdict| !v.is_good())?;
        Some(format!("{verdict} {}\n", c.told))
    };
    let lines: String = all.iter().filter_map(left).collect();
    std::fs::write(copy.with_file_name("survivors.txt"), lines)?;
    for folder in &wish.folders {
        let under = all.iter().filter(|c| c.file().starts_with(folder));
        println!("{}: {}", folder.display(), verdicts.sum(under.map(|c| c.key.as_str())));
    }
    Ok(())
}

//! The mutated copy of the project, and its one build.

use std::collections::{BTreeMap, BTreeSet};
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
    /// The same by the text of the line instead of its number, which moves when something is written above it.
    pub key: String,
}

impl Chosen {
    /// The file that it is in.
    pub fn file(&self) -> &Path {
        Path::new(self.told.split(':').next().unwrap_or_default())
    }
}

/// A copy of what the build needs, with the gate in it. What is the same there stays: it is not built again.
pub fn copy(root: &Path, copy: &Path, sources: &[Source]) -> Result<()> {
    let mutated: BTreeSet<&Path> = sources.iter().map(|s| s.path.as_path()).collect();
    let lib = Path::new("src/lib.rs");
    for part in ["src", "tests", "assets", "shared"] {
        let mut there = BTreeSet::from([Path::new("src/gate.rs").to_owned()]);
        follow(root, Path::new(part), copy, &mut there, &|path| {
            path == lib || mutated.contains(path)
        })?;
        clear(copy, Path::new(part), &there)?;
    }
    for part in ["Cargo.toml", "Cargo.lock", "README.md", "DEVELOPERS.md", "LICENSE"] {
        put(&copy.join(part), &std::fs::read(root.join(part))?)?;
    }
    put(&copy.join("src/gate.rs"), include_bytes!("gate.rs"))?;
    let text = std::fs::read_to_string(root.join(lib))?;
    let text = format!("{text}\n#[path = \"gate.rs\"]\npub mod gate;\n");
    put(&copy.join(lib), text.as_bytes())
}

/// Writes a file that is not so already.
fn put(path: &Path, bytes: &[u8]) -> Result<()> {
    if std::fs::read(path).ok().as_deref() != Some(bytes) {
        std::fs::create_dir_all(path.parent().context("a file in a folder")?)?;
        std::fs::write(path, bytes)?;
    }
    Ok(())
}

/// Copies a folder, but for the files that are written later.
fn follow(
    root: &Path,
    part: &Path,
    copy: &Path,
    there: &mut BTreeSet<PathBuf>,
    later: &dyn Fn(&Path) -> bool,
) -> Result<()> {
    for entry in std::fs::read_dir(root.join(part))? {
        let entry = entry?;
        let path = part.join(entry.file_name());
        if entry.file_type()?.is_dir() {
            follow(root, &path, copy, there, later)?;
        } else if !later(&path) {
            put(&copy.join(&path), &std::fs::read(entry.path())?)?;
        }
        there.insert(path);
    }
    Ok(())
}

/// Takes away what the project has no more.
fn clear(copy: &Path, part: &Path, there: &BTreeSet<PathBuf>) -> Result<()> {
    for entry in std::fs::read_dir(copy.join(part))? {
        let entry = entry?;
        let path = part.join(entry.file_name());
        match (there.contains(&path), entry.file_type()?.is_dir()) {
            (true, true) => clear(copy, &path, there)?,
            (true, false) => (),
            (false, true) => std::fs::remove_dir_all(entry.path())?,
            (false, false) => std::fs::remove_file(entry.path())?,
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

/// All mutants that were built.
pub fn mutants(sources: &[Source]) -> Vec<Chosen> {
    let mut all = Vec::new();
    for source in sources {
        // The same done twice in lines that read the same: the first, the second …
        let mut nth: BTreeMap<String, u32> = BTreeMap::new();
        for mutant in &source.mutants {
            for (id, what) in (mutant.id..).zip(&mutant.what) {
                let file = source.path.display();
                let key = format!("{file}\t{what}\t{}", place(&source.text, mutant));
                let n = nth.entry(key.clone()).or_default();
                *n += 1;
                let told = format!("{file}:{}: {what}", mutant.line);
                all.push(Chosen { id, told, key: format!("{key}\t{n}") });
            }
        }
    }
    all
}

/// Where a mutant stands, by the text of its line.
fn place(text: &str, mutant: &Mutant) -> String {
    let line = text.lines().nth(mutant.line - 1).unwrap_or_default();
    let indent = line.len() - line.trim_start().len();
    format!("{}\t{}", line.trim(), mutant.column.saturating_sub(indent))
}

/// What did not compile in earlier builds, and what was done about it.
struct LeftOut {
    path: PathBuf,
    /// How often it was written another way: the second time it was left out.
    times: BTreeMap<String, u32>,
}

impl LeftOut {
    fn read(path: PathBuf) -> Self {
        let text = std::fs::read_to_string(&path).unwrap_or_default();
        let mut times = BTreeMap::new();
        text.lines().for_each(|key| *times.entry(key.to_owned()).or_default() += 1);
        Self { path, times }
    }

    /// Does with the mutants of a file what earlier builds found.
    fn apply(&self, source: &mut Source) -> usize {
        let (path, text, before) = (&source.path, &source.text, source.mutants.len());
        source.mutants.retain_mut(|m| {
            let times = self.times.get(&key(path, text, m)).copied().unwrap_or(0);
            (0..times).all(|_| m.otherwise())
        });
        before - source.mutants.len()
    }

    fn write(&self) -> Result<()> {
        let line = |(key, n): (&String, &u32)| format!("{key}\n").repeat(*n as usize);
        Ok(std::fs::write(&self.path, self.times.iter().map(line).collect::<String>())?)
    }
}

fn key(path: &Path, text: &str, mutant: &Mutant) -> String {
    format!("{}\t{}\t{}", path.display(), mutant.what.join(", "), place(text, mutant))
}

/// What a build has made: the test binaries, and every mutant in them.
pub struct Built {
    pub binaries: Vec<PathBuf>,
    pub mutants: Vec<Chosen>,
}

impl Built {
    /// Keeps it, so that more can be tried while the project's own files are worked on.
    pub fn keep(&self, copy: &Path) -> Result<()> {
        let binaries = self.binaries.iter().map(|b| format!("{}\n", b.display()));
        std::fs::write(copy.with_file_name("binaries.txt"), binaries.collect::<String>())?;
        let mutants = self.mutants.iter().map(|c| format!("{}\t{}\t{}\n", c.id, c.told, c.key));
        std::fs::write(copy.with_file_name("mutants.txt"), mutants.collect::<String>())?;
        Ok(())
    }

    /// What was kept last.
    pub fn read(copy: &Path) -> Result<Self> {
        let text = |name: &str| {
            let path = copy.with_file_name(name);
            std::fs::read_to_string(path).context("nothing was built yet")
        };
        let mutant = |line: &str| {
            let (id, rest) = line.split_once('\t')?;
            let (told, key) = rest.split_once('\t')?;
            Some(Chosen { id: id.parse().ok()?, told: told.to_owned(), key: key.to_owned() })
        };
        Ok(Self {
            binaries: text("binaries.txt")?.lines().map(PathBuf::from).collect(),
            mutants: text("mutants.txt")?.lines().filter_map(mutant).collect(),
        })
    }
}

/// Builds the copy; what does not compile is written another way, then left out. The test binaries.
pub fn build(copy: &Path, sources: &mut [Source], tests: &[String]) -> Result<Vec<PathBuf>> {
    let mut known = LeftOut::read(copy.with_file_name("left_out.txt"));
    let mut left_out: usize = sources.iter_mut().map(|s| known.apply(s)).sum();
    for round in 0..ROUNDS {
        for source in sources.iter_mut() {
            let (text, spans) = rewrite::with(&source.text, &source.mutants);
            source.spans = spans;
            put(&copy.join(&source.path), text.as_bytes())?;
        }
        let told = cargo(copy, tests)?;
        let errors: Vec<&Value> =
            told.iter().map(|t| &t["message"]).filter(|m| m["level"] == "error").collect();
        if errors.is_empty() {
            let made = told.iter().filter(|t| t["profile"]["test"] == true);
            let binaries = made.filter_map(|t| t["executable"].as_str().map(PathBuf::from));
            let here: usize = sources.iter().map(|s| s.mutants.len()).sum();
            println!("{here} places to make wrong, {left_out} left out that do not compile");
            known.write()?;
            return Ok(binaries.collect());
        }
        let mut any = false;
        for source in sources.iter_mut() {
            left_out += mend(source, &errors, &mut any, &mut known);
        }
        println!("build {}: {} errors", round + 1, errors.len());
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
    command.env("RUSTFLAGS", "--cap-lints=allow");
    let told = command.stderr(Stdio::piped()).output().context("cargo runs")?;
    let lines = String::from_utf8_lossy(&told.stdout).into_owned();
    let lines: Vec<Value> =
        lines.lines().filter_map(|line| serde_json::from_str(line).ok()).collect();
    if !told.status.success() && !lines.iter().any(|l| l["message"]["level"] == "error") {
        bail!("cargo failed: {}", String::from_utf8_lossy(&told.stderr));
    }
    Ok(lines)
}

/// Writes those mutants another way, or leaves them out, in which an error stands. How many are left out.
fn mend(source: &mut Source, errors: &[&Value], any: &mut bool, known: &mut LeftOut) -> usize {
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
    let (path, text) = (&source.path, &source.text);
    source.mutants.retain_mut(|m| {
        if !hits.next().unwrap_or(false) {
            return true;
        }
        *known.times.entry(key(path, text, m)).or_default() += 1;
        m.otherwise()
    });
    before - source.mutants.len()
}

//! Tries the mutants one by one.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use anyhow::{Context as _, Result};

use crate::build::Chosen;

/// A trial that takes so long, or so many times what it takes unharmed, has been noticed.
const LONGEST: Duration = Duration::from_secs(60);
/// So many tests go first: those that come by the fewest mutants, so that most are noticed soon.
const FIRST: usize = 12;

/// How it went.
#[derive(Debug, Default)]
pub struct Sum {
    noticed: usize,
    stuck: usize,
    unseen: Vec<String>,
    survived: Vec<String>,
}

impl fmt::Display for Sum {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (left, unseen) = (self.survived.len(), self.unseen.len());
        let all = self.noticed + self.stuck + left + unseen;
        write!(f, "{all} mutants: {} noticed, {} stuck, ", self.noticed, self.stuck)?;
        write!(f, "{left} survived, {unseen} that no test comes by")
    }
}

/// Which tests of which binary come by each mutant, rarest first.
type Ways = Vec<(PathBuf, BTreeMap<u32, Vec<String>>)>;

/// Tries them all, and writes those that were not noticed beside the copy.
pub fn all(copy: &Path, binaries: &[PathBuf], only: &[String], chosen: &[Chosen]) -> Result<Sum> {
    let seen = |b: &PathBuf| Ok((b.clone(), seen(copy, b, only)?));
    let ways: Ways = binaries.iter().map(seen).collect::<Result<_>>()?;
    let mut sum = Sum::default();
    for (n, mutant) in chosen.iter().enumerate() {
        match trial(copy, &ways, mutant.id)? {
            Trial::Unseen => sum.unseen.push(mutant.told.clone()),
            Trial::Survived => {
                println!("survived {}", mutant.told);
                sum.survived.push(mutant.told.clone());
            }
            Trial::Noticed => sum.noticed += 1,
            Trial::Stuck => sum.stuck += 1,
        }
        if n % 100 == 99 {
            println!("{} of {}: {sum}", n + 1, chosen.len());
        }
    }
    let lines = sum.survived.iter().map(|t| format!("survived {t}"));
    let lines: Vec<String> =
        lines.chain(sum.unseen.iter().map(|t| format!("unseen {t}"))).collect();
    std::fs::write(copy.with_file_name("survivors.txt"), lines.join("\n") + "\n")?;
    Ok(sum)
}

/// Runs a binary's tests unharmed and has them say what they come by. A test that fails so (it looks at the tree
/// itself) says nothing about mutants and is left out.
fn seen(copy: &Path, binary: &Path, only: &[String]) -> Result<BTreeMap<u32, Vec<String>>> {
    let note = copy.with_file_name("seen.txt");
    std::fs::write(&note, "")?;
    // Tests in threads of their own: a thread bears the name of its test.
    let ran = Command::new(binary)
        .args(only)
        .args(["--test-threads", "2"])
        .current_dir(copy)
        .env("POTWATCH_MUTANTS_SEEN", &note)
        .stderr(Stdio::null())
        .output()?;
    let told = String::from_utf8_lossy(&ran.stdout).into_owned();
    let ended = |how: &'static str| {
        let named =
            move |line: &str| Some(line.strip_prefix("test ")?.strip_suffix(how)?.to_owned());
        told.lines().filter_map(named).collect::<BTreeSet<String>>()
    };
    let (passed, failed) = (ended(" ... ok"), ended(" ... FAILED"));
    println!("{} tests pass unharmed; left out: {failed:?}", passed.len());
    let text = std::fs::read_to_string(&note)?;
    let mut by_test: BTreeMap<&str, BTreeSet<u32>> = BTreeMap::new();
    for line in text.lines() {
        let (id, test) = line.split_once('\t').context("a line of what was seen")?;
        // Threads without a name belong to some test or other.
        if !passed.contains(test) {
            continue;
        }
        by_test.entry(test).or_default().insert(id.parse()?);
    }
    let mut rarest: Vec<_> = by_test.into_iter().collect();
    rarest.sort_by_key(|(test, ids)| (ids.len(), *test));
    let mut ways: BTreeMap<u32, Vec<String>> = BTreeMap::new();
    for (test, ids) in rarest {
        ids.iter().for_each(|id| ways.entry(*id).or_default().push(test.to_owned()));
    }
    Ok(ways)
}

enum Trial {
    Unseen,
    Survived,
    Noticed,
    Stuck,
}

fn trial(copy: &Path, ways: &Ways, id: u32) -> Result<Trial> {
    let mut verdict = Trial::Unseen;
    for (binary, ways) in ways {
        let Some(tests) = ways.get(&id) else { continue };
        verdict = Trial::Survived;
        let (first, rest) = tests.split_at(tests.len().min(FIRST));
        for some in [first, rest] {
            if some.is_empty() {
                continue;
            }
            let begun = Instant::now();
            let mut command = Command::new(binary);
            let mut child = command
                .arg("--exact")
                .args(some)
                .current_dir(copy)
                .env("POTWATCH_MUTANT", id.to_string())
                .stdout(Stdio::null())
                .stderr(Stdio::null())
                .spawn()?;
            let ended = loop {
                if let Some(status) = child.try_wait()? {
                    break Some(status);
                }
                if begun.elapsed() > LONGEST {
                    child.kill()?;
                    child.wait()?;
                    break None;
                }
                std::thread::sleep(Duration::from_millis(5));
            };
            match ended {
                None => return Ok(Trial::Stuck),
                Some(status) if !status.success() => return Ok(Trial::Noticed),
                Some(_) => (),
            }
        }
    }
    Ok(verdict)
}

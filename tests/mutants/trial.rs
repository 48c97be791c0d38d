//! Tries the mutants one by one.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use anyhow::{Context as _, Result};

use crate::Wish;
use crate::build::Chosen;
use crate::verdicts::{Verdict, Verdicts};

/// So many seconds of tests, as they were measured unharmed, run before the next ones are tried. The quickest go
/// first, so that most mutants are noticed soon.
const HELPINGS: [f64; 4] = [0.1, 0.8, 5.0, f64::INFINITY];
/// A trial that takes so long, and so many times what it takes unharmed, has been noticed.
const LONG: Duration = Duration::from_secs(8);
const TIMES: f64 = 8.0;
/// What a test may use of memory, in KiB: a loop that has no end any more must not take the machine down.
const MEMORY_KB: u32 = 6_000_000;

/// A test, and what it costs to run it.
struct Test {
    binary: usize,
    name: String,
    seconds: f64,
}

/// The tests, and which of them come by each mutant.
#[derive(Default)]
struct Ways {
    tests: Vec<Test>,
    by: BTreeMap<u32, Vec<usize>>,
}

/// Tries them all and keeps each verdict at once, so that a break costs none.
pub fn all(
    copy: &Path,
    binaries: &[PathBuf],
    wish: &Wish,
    chosen: &[Chosen],
    verdicts: &mut Verdicts,
) -> Result<()> {
    let mut ways = Ways::default();
    for (at, binary) in binaries.iter().enumerate() {
        ways.see(copy, at, binary, wish)?;
    }
    // Which test noticed one of this file last, and how often it was the one.
    let mut noticed: BTreeMap<(PathBuf, usize), u32> = BTreeMap::new();
    for (n, mutant) in chosen.iter().enumerate() {
        let file = mutant.file().to_owned();
        let by = ways.by.get(&mutant.id).map_or(&[][..], Vec::as_slice);
        let mut order: Vec<usize> =
            by.iter().copied().filter(|t| ways.tests[*t].seconds <= wish.patience).collect();
        order.sort_by(|a, b| {
            let cost = |t: &usize| {
                let often = noticed.get(&(file.clone(), *t)).copied().unwrap_or(0);
                (ways.tests[*t].seconds + 0.01) / (1.0 + f64::from(often))
            };
            cost(a).total_cmp(&cost(b))
        });
        let (verdict, who) = match trial(copy, binaries, &ways, mutant.id, &order, wish.patience)? {
            _ if by.is_empty() => (Verdict::Unseen, None),
            Trial::Noticed(who) => (Verdict::Noticed, who),
            Trial::Stuck => (Verdict::Stuck, None),
            // Slow tests come by as well, and were not asked.
            Trial::Passed(tried) if tried < by.len() => (Verdict::Slow, None),
            Trial::Passed(_) => (Verdict::Survived, None),
        };
        if let Some(who) = who {
            *noticed.entry((file, who)).or_default() += 1;
        }
        if matches!(verdict, Verdict::Survived | Verdict::Slow | Verdict::Unseen) {
            println!("{verdict} {}", mutant.told);
        }
        verdicts.add(&mutant.key, verdict)?;
        if n % 100 == 99 {
            println!("{} of {}", n + 1, chosen.len());
        }
    }
    Ok(())
}

impl Ways {
    /// Runs a binary's tests unharmed and has them say what they come by. A test that fails so (it looks at the
    /// tree itself) says nothing about mutants and is left out.
    fn see(&mut self, copy: &Path, at: usize, binary: &Path, wish: &Wish) -> Result<()> {
        let (told, text) = seen(copy, binary, wish)?;
        let seconds = passed(&told);
        println!("{} tests pass unharmed; left out: {:?}", seconds.len(), failed(&told));
        let mut ids: BTreeMap<&str, BTreeSet<u32>> = BTreeMap::new();
        for line in text.lines() {
            let (id, test) = line.split_once('\t').context("a line of what was seen")?;
            // Threads without a name belong to some test or other.
            if let (true, Ok(id)) = (seconds.contains_key(test), id.parse()) {
                ids.entry(test).or_default().insert(id);
            }
        }
        for (name, ids) in ids {
            let seconds = seconds.get(name).copied().unwrap_or(0.0);
            self.tests.push(Test { binary: at, name: name.to_owned(), seconds });
            let test = self.tests.len() - 1;
            ids.into_iter().for_each(|id| self.by.entry(id).or_default().push(test));
        }
        Ok(())
    }
}

/// What a run unharmed says of its tests, and what they came by. Kept as long as the binary is the same: it takes
/// minutes.
fn seen(copy: &Path, binary: &Path, wish: &Wish) -> Result<(String, String)> {
    let name = binary.file_name().context("a binary has a name")?.to_string_lossy().into_owned();
    let note = copy.with_file_name(format!("{name}.seen"));
    let out = copy.with_file_name(format!("{name}.told"));
    let mut asked: Vec<&str> = vec!["--test-threads", "2"];
    if name.starts_with(concat!(env!("CARGO_PKG_NAME"), "-")) {
        asked.extend(wish.only.iter().map(String::as_str));
    }
    asked.extend(wish.skip.iter().flat_map(|s| ["--skip", s]));
    let head = format!("{asked:?}\n");
    let written = |path: &Path| std::fs::metadata(path).and_then(|m| m.modified()).ok();
    let kept = std::fs::read_to_string(&out).unwrap_or_default();
    if !(kept.starts_with(&head) && written(&out) > written(binary)) {
        std::fs::write(&note, "")?;
        let mut run = Command::new(binary);
        // Tests in threads of their own: a thread bears the name of its test.
        run.args(&asked).current_dir(copy).envs(golden(copy)).stderr(Stdio::null());
        run.env("POTWATCH_MUTANTS_SEEN", &note).stdout(Stdio::null()).status()?;
        // Once more for the times, since to note takes time itself. How long a test took is told by test binaries
        // of the compiler's nightly channel, or if they are let.
        run.env_remove("POTWATCH_MUTANTS_SEEN").env("RUSTC_BOOTSTRAP", "1");
        run.args(["-Z", "unstable-options", "--report-time"]);
        let ran = run.stdout(Stdio::piped()).output()?;
        std::fs::write(&out, format!("{head}{}", String::from_utf8_lossy(&ran.stdout)))?;
    }
    Ok((std::fs::read_to_string(&out)?, std::fs::read_to_string(&note)?))
}

/// Has golden texts compared alone, without asking cargo where they are.
fn golden(copy: &Path) -> [(&'static str, std::ffi::OsString); 2] {
    [("INSTA_UPDATE", "no".into()), ("INSTA_WORKSPACE_ROOT", copy.into())]
}

/// The tests that a run says have passed, and the seconds that each took.
fn passed(told: &str) -> BTreeMap<String, f64> {
    let one = |line: &str| {
        let (name, rest) = line.strip_prefix("test ")?.split_once(" ... ok")?;
        let seconds = rest.trim().trim_start_matches('<').trim_end_matches("s>").parse();
        // One that should panic says so after its name.
        Some((name.trim_end_matches(" - should panic").to_owned(), seconds.unwrap_or(0.0)))
    };
    told.lines().filter_map(one).collect()
}

/// Those that a run says have failed.
fn failed(told: &str) -> BTreeSet<String> {
    let one =
        |line: &str| Some(line.strip_prefix("test ")?.split_once(" ... FAILED")?.0.to_owned());
    told.lines().filter_map(one).collect()
}

enum Trial {
    /// Some test failed; which, if it can be told.
    Noticed(Option<usize>),
    Stuck,
    /// So many tests ran, and none failed.
    Passed(usize),
}

fn trial(
    copy: &Path,
    binaries: &[PathBuf],
    ways: &Ways,
    id: u32,
    order: &[usize],
    patience: f64,
) -> Result<Trial> {
    let (mut from, mut spent) = (0, 0.0);
    for helping in HELPINGS {
        let (mut to, mut sum) = (from, 0.0);
        while to < order.len() && sum < helping && spent + sum <= patience {
            sum += ways.tests[order[to]].seconds;
            to += 1;
        }
        spent += sum;
        let mut by_binary: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for test in &order[from..to] {
            by_binary.entry(ways.tests[*test].binary).or_default().push(*test);
        }
        from = to;
        for (binary, tests) in by_binary {
            let sum: f64 = tests.iter().map(|t| ways.tests[*t].seconds).sum();
            let names = tests.iter().map(|t| ways.tests[*t].name.as_str());
            let limit = LONG + Duration::from_secs_f64(TIMES * sum);
            // Of its own, so that two runs by one build do not read each other's.
            let out = copy.with_file_name(format!("out-{}.txt", std::process::id()));
            match run(copy, &binaries[binary], &out, id, names, limit)? {
                None => return Ok(Trial::Stuck),
                Some(true) => (),
                Some(false) => {
                    let failed = failed(&std::fs::read_to_string(&out)?);
                    let who = tests.into_iter().find(|t| failed.contains(&ways.tests[*t].name));
                    return Ok(Trial::Noticed(who));
                }
            }
        }
    }
    Ok(Trial::Passed(from))
}

/// Do these tests pass with this mutant? Nothing if they do not end.
fn run<'a>(
    copy: &Path,
    binary: &Path,
    out: &Path,
    id: u32,
    names: impl Iterator<Item = &'a str>,
    limit: Duration,
) -> Result<Option<bool>> {
    let begun = Instant::now();
    let mut command = Command::new("sh");
    command.arg("-c").arg(format!("ulimit -v {MEMORY_KB}; exec \"$@\"")).arg("sh");
    let mut child = command
        .arg(binary)
        .arg("--exact")
        .args(names)
        .current_dir(copy)
        .env("POTWATCH_MUTANT", id.to_string())
        .envs(golden(copy))
        .stdin(Stdio::null())
        .stdout(std::fs::File::create(out)?)
        .stderr(Stdio::null())
        .spawn()?;
    loop {
        if let Some(status) = child.try_wait()? {
            return Ok(Some(status.success()));
        }
        if begun.elapsed() > limit {
            child.kill()?;
            child.wait()?;
            return Ok(None);
        }
        std::thread::sleep(Duration::from_millis(3));
    }
}

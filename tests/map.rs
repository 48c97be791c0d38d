//! DEVELOPERS.md against the code: who may use whom, what pure folders never call, how long files and
//! functions are, that every folder stands in its table, and that the commands and paths that it names are there.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

/// What each folder may use besides itself and `paper`; `live` and `command` may use all.
const MAY_USE: &[(&str, &[&str])] = &[
    ("paper", &[]),
    ("kitchen", &[]),
    ("bring", &["kitchen"]),
    ("safety", &["kitchen"]),
    ("plan", &["kitchen", "safety"]),
    ("mise", &["kitchen", "safety", "plan"]),
    ("learn", &["kitchen", "safety"]),
    ("run", &["kitchen", "safety", "plan", "learn", "mise"]),
    ("pages", &["kitchen", "safety", "plan", "mise", "run"]),
    ("store", &["kitchen", "safety", "run", "learn", "mise"]),
    ("screen", &["kitchen", "safety", "plan", "mise", "run", "bring", "pages"]),
];

/// Words of what reads a clock, a file, the environment, a terminal or chance, or starts threads.
const IMPURE: &[&str] = &[
    "SystemTime",
    "Instant::now",
    "Utc::now",
    "Local::now",
    "std::fs",
    "File::open",
    "std::env",
    "env::var",
    "std::net",
    "std::process",
    "thread::spawn",
    "thread::sleep",
    "stdin()",
    "stdout()",
    "println!",
    "eprintln!",
];
const PURE: &[&str] =
    &["kitchen", "safety", "plan", "mise", "learn", "run", "pages", "screen", "bring"];

const MOST_LINES: usize = 800;
const MOST_OF_A_FUNCTION: usize = 70;
/// Functions that are longer, each with its reason.
const LONGER: &[(&str, &str)] = &[
    ("dispatch", "one arm for each command"),
    ("telling", "the words of labels, a table"),
    ("echo", "one arm for each event"),
    ("about", "one text for each page"),
    ("available", "one arm for each action"),
    ("act", "one arm for each thing that a press can mean"),
];

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let mut all = Vec::new();
    for entry in fs::read_dir(folder).expect("a folder").flatten() {
        let path = entry.path();
        let name = entry.file_name().to_string_lossy().into_owned();
        if path.is_dir() && !name.starts_with('.') {
            all.extend(files(&path, ending));
        } else if name.ends_with(ending) {
            all.push(path);
        }
    }
    all.sort();
    all
}

fn is_test(path: &Path) -> bool {
    path.components().any(|c| c.as_os_str() == "tests")
        || path.file_stem().is_some_and(|s| {
            let s = s.to_string_lossy();
            s == "tests" || s == "testbed" || s.ends_with("_tests")
        })
}

/// The lines of a file that are code of the program: neither comment nor test.
fn code(path: &Path) -> Vec<(usize, String)> {
    let text = fs::read_to_string(path).expect("text");
    let before = text.split("\n#[cfg(test)]\nmod ").next().unwrap_or_default();
    let lines = before.lines().enumerate().map(|(n, line)| (n + 1, line.to_owned()));
    lines.filter(|(_, line)| !line.trim_start().starts_with("//")).collect()
}

/// The program's own files of a folder of `src`, or its one file.
fn own(folder: &str) -> Vec<PathBuf> {
    let src = root().join("src");
    let mut all =
        if src.join(folder).is_dir() { files(&src.join(folder), ".rs") } else { Vec::new() };
    all.extend(Some(src.join(format!("{folder}.rs"))).filter(|p| p.exists()));
    all.retain(|p| !is_test(p));
    all
}

/// Folders that a line names behind `crate::`, one or several in braces.
fn named(line: &str) -> Vec<String> {
    let mut names = Vec::new();
    for rest in line.split("crate::").skip(1) {
        let list = rest.strip_prefix('{').map_or(rest, |r| r.split('}').next().unwrap_or(""));
        let several = rest.starts_with('{');
        let each: Vec<&str> = if several { list.split(", ").collect() } else { vec![list] };
        for name in each {
            let end =
                name.find(|c: char| !c.is_ascii_lowercase() && c != '_').unwrap_or(name.len());
            names.push(name[..end].to_owned());
        }
    }
    names
}

#[test]
fn each_folder_uses_only_what_it_may() {
    let mut wrong = Vec::new();
    for (folder, may) in MAY_USE {
        for path in own(folder) {
            for (n, line) in code(&path) {
                for name in named(&line) {
                    let is_folder = root().join("src").join(&name).is_dir();
                    let is_paper = name == "paper";
                    if is_folder && !is_paper && name != *folder && !may.contains(&name.as_str()) {
                        wrong.push(format!("{}:{n}: {folder} uses {name}", path.display()));
                    }
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn pure_folders_touch_nothing_outside() {
    let mut wrong = Vec::new();
    for path in PURE.iter().flat_map(|f| own(f)) {
        for (n, line) in code(&path) {
            for word in IMPURE.iter().filter(|w| line.contains(**w)) {
                wrong.push(format!("{}:{n}: {word}", path.display()));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn files_and_functions_are_short() {
    let mut wrong = Vec::new();
    let all =
        files(&root().join("src"), ".rs").into_iter().chain(files(&root().join("tests"), ".rs"));
    for path in all {
        let text = fs::read_to_string(&path).expect("text");
        let lines: Vec<&str> = text.lines().collect();
        if lines.len() > MOST_LINES {
            wrong.push(format!("{}: {} lines", path.display(), lines.len()));
        }
        if path.starts_with(root().join("tests")) || is_test(&path) {
            continue;
        }
        for (name, line, long) in functions(&lines) {
            let reason = LONGER.iter().any(|(known, _)| *known == name);
            if long > MOST_OF_A_FUNCTION && !reason {
                wrong.push(format!("{}:{line}: {name} has {long} lines", path.display()));
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Functions of formatted code: name, first line, lines. A function ends at the brace that stands as far in as it does.
fn functions(lines: &[&str]) -> Vec<(String, usize, usize)> {
    let mut found = Vec::new();
    for (n, line) in lines.iter().enumerate() {
        let trimmed = line.trim_start();
        let words = trimmed.split("fn ").collect::<Vec<_>>();
        let before = words[0];
        let is_fn = words.len() > 1
            && before.split_whitespace().all(|w| {
                w.starts_with("pub") || ["const", "async"].contains(&w) || w.ends_with(')')
            });
        if !is_fn {
            continue;
        }
        let indent = &line[..line.len() - trimmed.len()];
        let closing = format!("{indent}}}");
        let end = lines[n..].iter().position(|l| *l == closing);
        let name: String =
            words[1].chars().take_while(|c| c.is_alphanumeric() || *c == '_').collect();
        // A function on one line, or without a body, ends where it begins.
        let short = line.ends_with('}') || line.ends_with(';');
        found.push((name, n + 1, if short { 1 } else { end.map_or(1, |e| e + 1) }));
    }
    found
}

/// Every folder of the code has its row, and says no other arrows than the test above.
#[test]
fn the_table_of_folders_is_whole() {
    let map = fs::read_to_string(root().join("DEVELOPERS.md")).expect("the map");
    let mut rows: BTreeMap<String, String> = BTreeMap::new();
    for line in map.lines().filter(|l| l.starts_with("| `src/")) {
        let cells: Vec<&str> = line.split(" | ").collect();
        let folder = cells[0].trim_start_matches("| `src/").trim_end_matches("/`").to_owned();
        rows.insert(folder, cells.last().unwrap_or(&"").trim_end_matches(" |").to_owned());
    }
    for entry in fs::read_dir(root().join("src")).expect("src").flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        if entry.path().is_dir() {
            assert!(rows.contains_key(&name), "DEVELOPERS.md has no row for src/{name}/");
        }
    }
    for (folder, may) in MAY_USE {
        let said = &rows[*folder];
        for name in *may {
            assert!(
                said.contains(name),
                "DEVELOPERS.md: src/{folder}/ may use {name}, which its row does not say: {said}"
            );
        }
    }
}

/// What stands in backquotes and looks like a path of the project is there; a test target that a command names is too.
#[test]
fn what_the_map_names_is_there() {
    let mut wrong = Vec::new();
    for file in ["DEVELOPERS.md", "README.md"] {
        let text = fs::read_to_string(root().join(file)).expect("text");
        for quoted in text.split('`').skip(1).step_by(2) {
            let word = quoted.trim();
            let first = word.split('/').next().unwrap_or_default();
            let is_path =
                word.contains('/') && !word.contains([' ', '*', '{', '<', '=']) && word.is_ascii();
            // AISLE stands for any name.
            let is_path = is_path
                && !word
                    .split(['/', '.'])
                    .any(|w| w.len() > 2 && w.chars().all(|c| c.is_ascii_uppercase()));
            let (src, top) = (root().join("src"), root().join(first));
            if is_path && top.exists() && !first.is_empty() && !root().join(word).exists() {
                wrong.push(format!("{file}: `{word}` is not there"));
            }
            let in_src = is_path && word.ends_with(".rs") && src.join(first).is_dir();
            if in_src && !src.join(word).exists() {
                wrong.push(format!("{file}: src/{word} is not there"));
            }
            if let Some(target) =
                quoted.split("--test ").nth(1).and_then(|t| t.split_whitespace().next())
            {
                let there = root().join(format!("tests/{target}.rs")).exists()
                    || root().join(format!("tests/{target}/main.rs")).exists();
                if !there {
                    wrong.push(format!("{file}: --test {target} is no target"));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

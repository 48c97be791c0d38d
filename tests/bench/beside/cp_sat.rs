//! OR-Tools CP-SAT on a case, through `tests/outside/cp_sat.py`.

use std::path::Path;
use std::process::Command;

use potwatch::plan::problem::{Problem, Schedule};
use serde_json::Value;

use super::{Run, judged};

pub fn run(
    python: &Path,
    problem: &Problem,
    shown: Option<&Schedule>,
    seconds: f64,
    workers: u32,
) -> Run {
    let folder = tempfile::tempdir().expect("a folder");
    let path = |name: &str| folder.path().join(name);
    let write = |name: &str, text: String| std::fs::write(path(name), text).expect("written");
    write("problem.json", serde_json::to_string(problem).expect("JSON"));
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/outside/cp_sat.py");
    let mut command = Command::new(python);
    command.arg(script).arg(path("problem.json"));
    command.args(["--seconds", &seconds.to_string(), "--workers", &workers.to_string()]);
    command.arg("--schedule").arg(path("answer.json"));
    if let Some(shown) = shown {
        write("shown.json", serde_json::to_string(shown).expect("JSON"));
        command.arg("--hint").arg(path("shown.json"));
    }
    let done = command.output().expect("Python starts");
    assert!(done.status.success(), "{}", String::from_utf8_lossy(&done.stderr));
    let line: Value = serde_json::from_slice(&done.stdout).expect("a line of JSON");
    let cost = std::fs::read(path("answer.json")).ok().map(|bytes| {
        let answer: Schedule = serde_json::from_slice(&bytes).expect("a schedule");
        judged(problem, &answer)
    });
    // Short of a proof its extra minutes may be counted too high, never too low.
    if let (Some(told), Some(cost)) = (line["cost"].as_i64(), cost) {
        let best = line["status"] == "OPTIMAL";
        assert!(cost == told || cost < told && !best, "CP-SAT counts {told}, our rules {cost}");
    }
    let found = line["found"].as_array().into_iter().flatten();
    Run {
        first_ms: line["ms_first"].as_f64(),
        found: found.filter_map(|f| f[0].as_f64().zip(f[1].as_i64())).collect(),
        cost,
        bound: line["bound"].as_i64().unwrap_or(i64::MIN),
        proof_ms: line["ms_proof"].as_f64(),
        impossible: line["status"] == "INFEASIBLE",
    }
}

//! Reads ingredient lines from stdin, each a JSON string on a line of its own,
//! and prints each reading as JSON: what `tests/outside/lines.py` judges.

use std::io::{BufRead, Write};

use potwatch::bring::{line, wire};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut out = std::io::stdout().lock();
    for text in std::io::stdin().lock().lines() {
        let text: String = serde_json::from_str(&text?)?;
        let entry = wire::entry(&text, &line::read(&text));
        writeln!(out, "{}", serde_json::to_string(&entry)?)?;
    }
    Ok(())
}

//! Reads ingredient lines from stdin, each a JSON string on a line of its own,
//! and prints each reading as JSON: what `tests/outside/lines.py` judges. With the
//! argument `times` the lines are pieces of methods, and their times and steps are
//! printed: what `tests/outside/times.py` judges.

use std::io::{BufRead, Write};

use potwatch::bring::method::{Method, Proposal, TimeOf};
use potwatch::bring::{Words, line, method, wire};
use serde_json::{Value, json};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let times = std::env::args().nth(1).as_deref() == Some("times");
    let mut out = std::io::stdout().lock();
    for text in std::io::stdin().lock().lines() {
        let text: String = serde_json::from_str(&text?)?;
        if times {
            writeln!(out, "{}", piece(&text))?;
        } else {
            let entry = wire::entry(&text, &line::read(&text));
            writeln!(out, "{}", serde_json::to_string(&entry)?)?;
        }
    }
    Ok(())
}

/// The times of a piece of a method, and its steps.
fn piece(text: &str) -> Value {
    let time = |placed: &method::Placed| {
        let of: TimeOf = placed.of;
        json!({
            "words": text.get(placed.time.from..placed.time.to),
            "low": placed.time.low,
            "high": placed.time.high,
            "of": of.word(),
        })
    };
    let step = |step: &Proposal| {
        json!({
            "words": step.words,
            "station": step.station,
            "hands": step.hands,
            "at_c": step.at_c,
            "rest": step.rest.map(|r| r.place),
        })
    };
    let Method { steps, .. } = method::read(&[Words::new(None, text)]);
    json!({
        "times": method::times(text).iter().map(time).collect::<Vec<_>>(),
        "steps": steps.iter().map(step).collect::<Vec<_>>(),
    })
}

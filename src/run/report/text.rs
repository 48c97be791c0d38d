//! The report as plain text.

use std::fmt::Write as _;

use super::{Report, ServiceTold, StepTold};
use crate::kitchen::{Clockface, Minute};
use crate::run::state::State;
use crate::run::words;

impl Report {
    /// The report as plain text, in lines of at most 80 columns where names allow.
    #[must_use]
    pub fn text(&self, state: &State) -> String {
        let mut text = String::new();
        // Writing into a string cannot fail.
        let _ = self.write(state, &mut text);
        text
    }

    fn write(&self, state: &State, text: &mut String) -> std::fmt::Result {
        let face = &state.evening().face;
        writeln!(text, "{}", self.title)?;
        if !self.out.is_empty() {
            writeln!(text, "\nStill out")?;
        }
        for dish in &self.out {
            let until = match dish.until_ms {
                Some(ms) if dish.past => {
                    format!("past its limit since {}", words::clock(state, ms))
                }
                Some(ms) => format!("until {}", words::clock(state, ms)),
                None => "no limit known".to_owned(),
            };
            writeln!(text, "  {} ({}): {until}.", dish.dish, dish.place)?;
            writeln!(text, "    {}", dish.advice)?;
        }
        if !self.kept.is_empty() {
            writeln!(text, "\nPut away")?;
        }
        for dish in &self.kept {
            writeln!(
                text,
                "  {}, {}: {}.",
                dish.dish,
                words::clock(state, dish.at_ms),
                dish.keeps
            )?;
        }
        for line in &self.after {
            writeln!(text, "{line}")?;
        }
        writeln!(text, "\nServices")?;
        for service in &self.services {
            writeln!(text, "  {}", service.line(face))?;
        }
        if !self.steps.is_empty() {
            writeln!(text, "\n{}", step_row("Steps", "planned", "actual", "against recipe"))?;
        }
        for step in &self.steps {
            writeln!(text, "{}", step.line(face))?;
        }
        writeln!(text)?;
        for line in self.advice.iter().chain(&self.cautions) {
            writeln!(text, "{line}")?;
        }
        Ok(())
    }
}

impl ServiceTold {
    /// The service in a line: asked for, served, how late.
    #[must_use]
    pub fn line(&self, face: &Clockface) -> String {
        let mut line = format!("{}: asked for {}", self.title, face.label(self.asked));
        if let Some(moved) = self.moved {
            line.push_str(&format!(", moved to {}", face.label(moved)));
        }
        if let Some(served) = self.served {
            let late = served.saturating_sub(self.moved.unwrap_or(self.asked));
            line.push_str(&format!(", served {}", face.label(served)));
            match late {
                0 => line.push_str(", on time"),
                1.. => line.push_str(&format!(", {late} min late")),
                _ => line.push_str(&format!(", {} min early", -late)),
            }
        }
        if !self.missing.is_empty() {
            line.push_str(&format!("; not served: {}", words::list(&self.missing)));
        }
        line
    }
}

impl StepTold {
    fn line(&self, face: &Clockface) -> String {
        let stretch = |s: Option<(Minute, Minute)>| {
            s.map_or_else(
                || "-".to_owned(),
                |(from, to)| format!("{}-{}", face.label(from), face.label(to)),
            )
        };
        let over = match self.over() {
            None => "left out".to_owned(),
            Some(0) => "as long".to_owned(),
            Some(over @ 1..) => format!("{over} min longer"),
            Some(under) => format!("{} min shorter", -under),
        };
        let name: String = format!("  {}", self.name).chars().take(35).collect();
        step_row(&name, &stretch(self.planned), &stretch(self.actual), &over)
    }
}

/// A row of the table of steps.
fn step_row(name: &str, planned: &str, actual: &str, over: &str) -> String {
    format!("{name:<35} {planned:<11}  {actual:<11}  {over}")
}

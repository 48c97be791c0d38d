//! The mise on paper.

use super::{Board, Mise};
use crate::kitchen::Kept;
use crate::paper::{notes, wrapped};

const WIDTH: usize = 78;

/// Plain text: the jobs in their order, then what is set out for each dish.
#[must_use]
pub fn text(mise: &Mise) -> String {
    let mut out = format!("{}, {}: mise\n\n", mise.title, mise.day);
    out.push_str(&wrapped("", &summary(mise), WIDTH));
    let widest = mise.jobs.iter().map(|j| j.words().chars().count()).max().unwrap_or(0).min(34);
    let mut heading = None;
    for job in &mise.jobs {
        if let Some(wash) = &job.wash {
            out.push_str(&format!("\n{}", wrapped("  ! ", &format!("{wash}."), WIDTH)));
        }
        if heading != Some(job.heading()) {
            out.push_str(&format!("\n{}\n", job.heading()));
            heading = Some(job.heading());
        }
        let cold = if job.waits == Kept::Cupboard { "" } else { " (then cold)" };
        let start = format!("  [ ] {:widest$}  {:>2} min  ", job.words(), job.minutes);
        out.push_str(&wrapped(&start, &format!("{}{cold}{}", job.shared(), job.keep_off()), WIDTH));
    }
    if let Some(wash) = mise.jobs.last().and_then(|j| last_wash(j.board)) {
        out.push_str(&format!("\n{}", wrapped("  ! ", &format!("{wash}."), WIDTH)));
    }
    if !mise.setups.is_empty() {
        out.push_str("\nOpen and measure, dish by dish\n");
    }
    for setup in &mise.setups {
        out.push_str(&format!("  {} {}\n", setup.letter, setup.title));
        for (word, things) in [("open", &setup.open), ("measure", &setup.measure)] {
            if !things.is_empty() {
                out.push_str(&wrapped(&format!("      {word:<7}  "), &things.join(", "), WIDTH));
            }
        }
    }
    out.push_str(&notes(&mise.notes, WIDTH));
    out
}

/// What is done to the board when the last job is through.
#[must_use]
pub fn last_wash(board: Board) -> Option<&'static str> {
    board.is_raw().then_some("Wash board, knife, sink and hands, hot and with soap")
}

/// "23 jobs, 84 min at the board and 6 min of washing; dish by dish it would be 97 min: 13 min saved."
#[must_use]
pub fn summary(mise: &Mise) -> String {
    let jobs = mise.jobs.len();
    if jobs == 0 {
        return "No dish asks for knife work.".to_owned();
    }
    let washing = match mise.washing_minutes {
        0 => String::new(),
        n => format!(" and {n} min of washing"),
    };
    let saved = match mise.saved_minutes() {
        0 => "; no two dishes share a job".to_owned(),
        n => format!("; dish by dish it would be {} min: {n} min saved", mise.apart_minutes),
    };
    let jobs_word = if jobs == 1 { "job" } else { "jobs" };
    format!("{jobs} {jobs_word}, {} min at the board{washing}{saved}.", mise.pooled_minutes)
}

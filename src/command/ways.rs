//! `potwatch plan PARTY.json --ways` and `--what-if CHANGE`: what clashes and
//! what would help; what would come of a change.

use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

use super::exit::WrongUse;
use super::plan::{Effort, Print};
use super::{Exit, Streams};
use crate::kitchen::Evening;
use crate::mise::knife::board;
use crate::plan::Situation;
use crate::plan::ways::{self, Ask, Figures, Found, Try, wire};

/// Rounds of improvement for each plan, where no rounds are given.
const ROUNDS: u64 = 400;

/// The longest that all ways out together are looked for, in times of `--seconds`.
const SECONDS_TIMES: f64 = 30.0;

/// Looks for ways out. None if everything fits. It ends after thirty times the
/// seconds for one plan, with what was found by then; with rounds it goes to its end.
fn find(evening: &Evening, effort: &Effort) -> Option<Found> {
    let began = Instant::now();
    let longest = Duration::from_secs_f64((effort.seconds * SECONDS_TIMES).min(3600.0));
    let stop = || effort.rounds.is_none() && began.elapsed() >= longest;
    let ask = Ask {
        evening,
        situation: &Situation::default(),
        seed: effort.seed,
        rounds: effort.rounds.unwrap_or(ROUNDS),
        stop: &stop,
        settle: board::settle,
    };
    ways::find::find(&ask)
}

/// Prints what clashes and the ways out; that all fits, if the plan that is printed
/// without `--ways` misses nothing. It is searched for longer than the look for ways
/// out looks at the evening as it is.
///
/// # Errors
/// Trouble with writing.
pub fn ways(
    path: &Path,
    evening: &Evening,
    print: Print,
    effort: &Effort,
    streams: &mut Streams,
) -> anyhow::Result<Exit> {
    let plan = super::plan::search(evening, effort);
    let fits = plan.is_ok_and(|plan| Figures::of(evening, &plan).works());
    let found = if fits { None } else { find(evening, effort) };
    let ahead = Situation::default();
    if print == Print::Json {
        let file = wire::ways_file(evening, &ahead, found.as_ref(), board::settle)?;
        streams.out.write_all(super::page::json(&file)?.as_bytes())?;
    } else {
        match &found {
            None => writeln!(streams.out, "{}: everything fits.", path.display())?,
            Some(found) => streams.out.write_all(text(evening, found).as_bytes())?,
        }
    }
    Ok(if found.is_none() { Exit::Done } else { Exit::NoPlan })
}

/// Says what would help, beside a plan that misses something or none at all.
///
/// # Errors
/// Trouble with writing.
pub fn help(evening: &Evening, effort: &Effort, streams: &mut Streams) -> anyhow::Result<()> {
    if let Some(mut found) = find(evening, effort) {
        // Why there is no plan has been said.
        found.best = found.best.or(Err(Vec::new()));
        streams.err.write_all(text(evening, &found).as_bytes())?;
    }
    Ok(())
}

fn text(evening: &Evening, found: &Found) -> String {
    let ahead = Situation::default();
    ways::text::of_ways(evening, &ahead, found)
}

/// Prints what would come of changes, beside the evening as it is.
///
/// # Errors
/// A change that is not understood; trouble with writing.
pub fn what_if(
    evening: &Evening,
    texts: &[String],
    print: Print,
    effort: &Effort,
    streams: &mut Streams,
) -> anyhow::Result<Exit> {
    let ahead = Situation::default();
    let mut tries = vec![Try::new(evening, &ahead, Vec::new())];
    for text in texts {
        let changes = ways::parse::changes(evening, &ahead, text)
            .map_err(|why| WrongUse(format!("--what-if \"{text}\": {why}")))?;
        tries.push(Try::new(evening, &ahead, changes));
    }
    // The evening as it is comes first: its plan is the one that the others are made from and held against.
    let mut standing = ahead.clone();
    let tried = tries.into_iter().map(|of| {
        let began = Instant::now();
        let time = Duration::from_secs_f64(effort.seconds);
        let stop = || effort.rounds.is_none() && began.elapsed() >= time;
        let rounds = effort.rounds.unwrap_or(u64::MAX);
        let ask = Ask {
            evening,
            situation: &standing,
            seed: effort.seed,
            rounds,
            stop: &stop,
            settle: board::settle,
        };
        let tried = ways::tries::attempt(&ask, &of.changes);
        if let ways::Tried::Plan(outcome) = &tried
            && of.changes.is_empty()
        {
            standing.previous = Some(Arc::clone(&outcome.plan));
        }
        (of, tried)
    });
    let tried: Vec<_> = tried.collect();
    let text = match print {
        Print::Json => {
            let file = wire::what_if_file(evening, &ahead, &tried, board::settle)?;
            super::page::json(&file)?
        }
        _ => ways::text::of_tries(evening, &tried),
    };
    streams.out.write_all(text.as_bytes())?;
    let all = tried.iter().all(|(_, t)| matches!(t, ways::Tried::Plan(_)));
    Ok(if all { Exit::Done } else { Exit::NoPlan })
}

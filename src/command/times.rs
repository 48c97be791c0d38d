//! `potwatch times [PARTY]`: the cook's own times, what they are made of, and how
//! one is forgotten.

use std::path::PathBuf;

use super::exit::WrongUse;
use super::own::Own;
use super::{Exit, Streams};
use crate::kitchen::OwnTimes;
use crate::kitchen::check::words::mean;
use crate::learn::wire::times_file;
use crate::live::clock::Clocks;
use crate::live::times::{Gathered, gather, wanted};
use crate::store::RealDisk;

/// What is asked.
#[derive(Debug, Clone, clap::Args)]
pub struct Flags {
    /// Only the steps of this party, a file or its name on your shelf; all that were ever seen if none is given
    #[arg(value_name = "PARTY")]
    pub party: Option<PathBuf>,
    /// Print it for programs
    #[arg(long)]
    pub json: bool,
    /// Forget what was seen of a step so far: RECIPE/STEP; as often as you like
    #[arg(long, value_name = "STEP")]
    pub forget: Vec<String>,
    /// Let it count again: RECIPE/STEP
    #[arg(long, value_name = "STEP", conflicts_with = "forget")]
    pub recall: Vec<String>,
}

/// Prints what is known, after forgetting what is to be forgotten.
///
/// # Errors
/// What is wrong with the party's files or the call; trouble with the disk.
pub fn run(flags: &Flags, streams: &mut Streams) -> anyhow::Result<Exit> {
    let own = Own::find(streams.var);
    let places = own.places.clone()?;
    let now_ms = Clocks::default().now().wall_ms;
    let mut gathered = gather(&places, None, now_ms);
    // Before a step is said not to have been seen: a file that cannot be read may be why.
    for trouble in &gathered.trouble {
        writeln!(streams.err, "potwatch: {trouble}")?;
    }
    if !flags.forget.is_empty() || !flags.recall.is_empty() {
        for name in &flags.forget {
            let (recipe, step) = named(name, &gathered)?;
            gathered.forgotten.forget(&recipe, &step, now_ms);
        }
        for name in &flags.recall {
            let there =
                name.split_once('/').is_some_and(|(r, s)| gathered.forgotten.remember(r, s));
            if !there {
                return Err(WrongUse(format!("--recall {name}: it was not forgotten")).into());
            }
        }
        gathered.forgotten.keep(&RealDisk, &places.data)?;
        // Only now is it so: a name that is wrong, or a full disk, leaves all as it was.
        for name in &flags.forget {
            writeln!(streams.err, "Forgotten: {name}; `--recall` lets it count again.")?;
        }
        gathered = gather(&places, None, now_ms);
    }
    let mut estimates = gathered.known.all();
    if let Some(party) = &flags.party {
        let evening = super::own::party(party, streams)?.evening;
        let evening = evening.by_own_times(OwnTimes::default());
        if !wanted(&evening, &own.settings) {
            let title = &evening.party.title;
            writeln!(streams.err, "potwatch: \"{title}\" is planned by its recipes' times alone.")?;
        }
        estimates = gathered.known.of(&evening);
    }
    let text = if flags.json {
        let file = times_file(&gathered.known, &estimates, gathered.forgotten.steps.clone());
        super::page::json(&file)?
    } else {
        text(&gathered, &gathered.known.text(&estimates))
    };
    streams.out.write_all(text.as_bytes())?;
    Ok(Exit::Done)
}

fn text(gathered: &Gathered, known: &str) -> String {
    let mut text = known.to_owned();
    if known.is_empty() {
        text.push_str(
            "Nothing is known yet. Mark starts and ends of steps as they happen: when an evening is\nover, \
             what took how long counts for the next plan.\n",
        );
    }
    for forgotten in &gathered.forgotten.steps {
        text.push_str(&format!("\nForgotten: {}/{}\n", forgotten.recipe, forgotten.step));
    }
    if gathered.without_party > 0 {
        text.push_str(&format!(
            "\n{} older evenings say nothing: the party is not kept beside their journals.\n",
            gathered.without_party
        ));
    }
    text
}

/// The recipe and step of a name, which must have been seen.
fn named(name: &str, gathered: &Gathered) -> Result<(String, String), WrongUse> {
    let seen = gathered.known.seen().iter();
    let names: Vec<String> = seen.map(|s| format!("{}/{}", s.recipe, s.step)).collect();
    match name.split_once('/').filter(|_| names.iter().any(|n| n == name)) {
        Some((recipe, step)) => Ok((recipe.to_owned(), step.to_owned())),
        None => {
            let hint = mean(name, names.iter().map(String::as_str));
            Err(WrongUse(format!("--forget {name}: no such step was seen. {hint}")))
        }
    }
}

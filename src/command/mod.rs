//! The command line: what can be asked of the program, one file per subcommand.
//!
//! Answers go to stdout, everything else to stderr. A reader that stops
//! listening (`potwatch plan … | head`) is no failure.

pub mod check;
pub mod desk;
pub mod evening;
pub mod exit;
pub mod handbook;
pub mod log;
pub mod look_back;
pub mod mise;
pub mod own;
pub mod page;
pub mod party_keep;
pub mod party_new;
pub mod picture;
pub mod plan;
pub mod recipe;
pub mod repair;
pub mod schema;
pub mod settings;
pub mod sheets;
pub mod shelf;
pub mod shopping;
pub mod tell;
pub mod times;
pub mod ways;

use std::ffi::OsString;
use std::io::{BufRead, IsTerminal, Write};
use std::path::PathBuf;

use clap::{Parser, Subcommand};

use crate::run::hand::{Day, Habits};
use crate::store::IfThere;
use crate::store::read::schema::FileKind;
pub use exit::Exit;

const AFTER_HELP: &str = "\
Without anything it opens the demo: an evening that is already cooking.
A party file that is named like a command is given as ./plan.

Exit codes: 0 done, 1 failed (disk, terminal), 2 wrong use, 3 wrong file,
4 no plan meets every demand, 5 journal damaged, 6 already open,
128+n stopped by signal n.";

/// Plans a party and runs its evening.
#[derive(Debug, Parser)]
#[command(
    name = "potwatch",
    version,
    about,
    after_help = AFTER_HELP,
    args_conflicts_with_subcommands = true,
    disable_help_subcommand = true
)]
pub struct Cli {
    /// The party to cook, as a file or by its name on your shelf; the demo if none is given
    #[arg(value_name = "PARTY")]
    pub party: Option<PathBuf>,
    /// What to do instead of cooking
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// What can be asked instead of cooking a party.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Print the plan of a party, by clock and by station
    Plan {
        /// The party file, or its name on your shelf
        #[arg(value_name = "PARTY")]
        party: PathBuf,
        /// Print it whole, for programs
        #[arg(long)]
        json: bool,
        /// Print the planner's own problem instead, for other solvers
        #[arg(long, conflicts_with = "json")]
        problem: bool,
        /// Say why a step stands where it does: its id, DISH/STEP or DISH/STEP/LOAD
        #[arg(long, value_name = "STEP", conflicts_with = "problem")]
        why: Option<String>,
        /// Say what clashes and the ways out, instead of the plan
        #[arg(long, conflicts_with_all = ["problem", "what_if", "why"])]
        ways: bool,
        /// Say what would come of a change, beside the plan as it is; as often
        /// as you like. "service mains 18:30", "drop dip", "helper 17:00" (more
        /// in the README); several with commas between
        #[arg(long, value_name = "CHANGE", conflicts_with_all = ["problem", "why"])]
        what_if: Vec<String>,
        /// How long to search, in seconds
        #[arg(long, value_name = "S", default_value_t = 2.0)]
        seconds: f64,
        /// Search so many rounds instead: the same plan every time
        #[arg(long, value_name = "N", conflicts_with = "seconds")]
        rounds: Option<u64>,
        /// Begin from another place: another number, another search
        #[arg(long, value_name = "N", default_value_t = 1)]
        seed: u64,
    },
    /// Say everything that is wrong with files: parties, recipes, kitchens
    Check {
        /// The files
        #[arg(value_name = "FILE", required = true)]
        files: Vec<PathBuf>,
    },
    /// Write your own parties, recipes and kitchens on the full screen
    Desk,
    /// Begin a party file
    #[command(subcommand, name = "party")]
    Party(PartyCommand),
    /// Bring in a recipe that you have, or share one
    #[command(subcommand)]
    Recipe(RecipeCommand),
    /// Print how an evening stands: what wants hands now, what runs, what comes next, the services
    Now(page::EveningFlags),
    /// Print what waits or stands on the table, until when it is at its best and may be eaten
    Holding(page::EveningFlags),
    /// Print what is wrong with an evening, what follows and what to do
    Alarms(page::EveningFlags),
    /// Print the dishes by course, and whether they go together
    Menu(page::PlannedFlags),
    /// Print what each guest can eat, dish by dish, and why not
    Guests(page::PartyFlags),
    /// Print what each dish goes to the table in, and what clashes
    Serving(page::PlannedFlags),
    /// Print what is made the day before, and what could be
    Ahead(page::PlannedFlags),
    /// Print the temperature log of an evening: times, foods, readings, limits, what was done
    Log {
        /// The party file, or its name on your shelf
        #[arg(value_name = "PARTY")]
        party: PathBuf,
        /// As what
        #[arg(long, value_enum, default_value = "text", conflicts_with = "json")]
        format: log::LogFormat,
        /// Print it for programs
        #[arg(long)]
        json: bool,
        /// The file; printed if none is given
        #[arg(long, value_name = "FILE")]
        out: Option<PathBuf>,
    },
    /// Print what each dish takes for the servings made: amounts, loads, pans, minutes, what does not grow
    Scale {
        /// The party file, or its name on your shelf
        #[arg(value_name = "PARTY")]
        party: PathBuf,
        /// Print it for programs
        #[arg(long)]
        json: bool,
    },
    /// Print how an evening went: planned against actual, what was late and why, and what to change next time
    LookBack(look_back::Flags),
    /// Print what to buy for a party: all dishes put together, aisle by aisle
    Shopping {
        /// The party file, or its name on your shelf
        #[arg(value_name = "PARTY")]
        party: PathBuf,
        /// As what
        #[arg(long, value_enum, default_value = "text", conflicts_with = "json")]
        format: shopping::ShoppingFormat,
        /// Print it for programs, as `--format json` does
        #[arg(long)]
        json: bool,
        /// Say what is behind each amount: exact figures, yields, weights and their sources
        #[arg(long)]
        figures: bool,
        /// The file; printed if none is given
        #[arg(long, value_name = "FILE")]
        out: Option<PathBuf>,
    },
    /// Print the knife work of all dishes together, and what is opened and measured out
    Mise {
        /// The party file, or its name on your shelf
        #[arg(value_name = "PARTY")]
        party: PathBuf,
        /// Print it for programs
        #[arg(long)]
        json: bool,
    },
    /// Print what stands ready for each dish, and what stays cold until when
    Trays {
        /// The party file, or its name on your shelf
        #[arg(value_name = "PARTY")]
        party: PathBuf,
        /// Print it for programs
        #[arg(long)]
        json: bool,
        /// How long to search for the plan that gives the times, in seconds
        #[arg(long, value_name = "S", default_value_t = 2.0)]
        seconds: f64,
        /// Search so many rounds instead: the same times every time
        #[arg(long, value_name = "N", conflicts_with = "seconds")]
        rounds: Option<u64>,
    },
    /// Draw the demo's chart as an SVG picture
    Picture {
        /// Columns and rows
        #[arg(long, default_value = "120x36")]
        size: String,
        /// The file; printed if none is given
        #[arg(long)]
        out: Option<PathBuf>,
    },
    /// Play an evening ahead in quick time, and keep nothing of it
    Rehearse {
        /// The party file, or its name on your shelf
        #[arg(value_name = "PARTY")]
        party: PathBuf,
        /// As it goes on a bad day: much takes long, starts slip
        #[arg(long)]
        bad: bool,
        /// Another number, another evening
        #[arg(long, value_name = "N", default_value_t = 1)]
        seed: u64,
    },
    /// Print what stands on your desk: parties, recipes, kitchens, settings
    Shelf {
        /// Print it for programs
        #[arg(long)]
        json: bool,
    },
    /// Print your settings and what each does, or set one
    Settings(settings::Flags),
    /// Print everything for paper: chart, run sheet, serving dishes, cards, labels; or the calendar
    Sheets {
        /// The party file, or its name on your shelf
        #[arg(value_name = "PARTY")]
        party: PathBuf,
        /// As what
        #[arg(long, value_enum, default_value = "text", conflicts_with = "json")]
        format: sheets::SheetsFormat,
        /// Print them for programs
        #[arg(long)]
        json: bool,
        /// Only this sheet, by its name; as often as you like
        #[arg(long, value_name = "SHEET")]
        sheet: Vec<String>,
        /// The file; printed if none is given
        #[arg(long, value_name = "FILE")]
        out: Option<PathBuf>,
        /// Put it in the place of a file that is there
        #[arg(long, requires = "out")]
        replace: bool,
        /// Search so many rounds for the plan: the same sheets every time
        #[arg(long, value_name = "N", default_value_t = 1000)]
        rounds: u64,
        /// Begin from another place: another number, another search
        #[arg(long, value_name = "N", default_value_t = 1)]
        seed: u64,
    },
    /// Tell an evening as it goes, line by line: for a screen reader, a log or another program
    Tell {
        /// The party file
        #[arg(value_name = "PARTY.json")]
        party: PathBuf,
        /// Say how things stand now, and end
        #[arg(long)]
        once: bool,
    },
    /// Print how long steps take you, by your past evenings, and what plans make of it
    Times(times::Flags),
    /// Save what can be saved of a damaged journal; the damaged one is kept
    Repair {
        /// The journal, as the message about it named it
        #[arg(value_name = "JOURNAL")]
        journal: PathBuf,
    },
    /// Print the manual page, for man: `potwatch manual | man -l -`
    Manual {
        /// Of one command only
        #[arg(value_name = "COMMAND")]
        of: Option<String>,
    },
    /// Print what a shell needs to complete what you type
    Completions {
        /// Your shell
        shell: clap_complete::Shell,
    },
    /// Print the JSON Schema of a kind of file
    Schema {
        /// Which; without one, their names
        name: Option<FileKind>,
    },
}

/// What can be done with party files.
#[derive(Debug, Subcommand)]
pub enum PartyCommand {
    /// Write a first party from dishes of the built-in shelf
    New(party_new::Flags),
    /// Say what was changed of a party since its file was read, and write it into a file
    Keep(party_keep::KeepFlags),
}

/// What can be done with recipes.
#[derive(Debug, Subcommand)]
pub enum RecipeCommand {
    /// Read a saved page, JSON-LD or text, and show each line with its reading
    Read(recipe::ReadFlags),
    /// Print a recipe as schema.org JSON-LD, for other programs
    Share(recipe::ShareFlags),
}

/// Where a command reads and writes.
pub struct Streams<'a> {
    /// Answers.
    pub out: &'a mut dyn Write,
    /// Questions, notes and errors.
    pub err: &'a mut dyn Write,
    /// Answers to questions.
    pub input: &'a mut dyn BufRead,
    /// Is somebody there to be asked?
    pub asks: bool,
    /// The variables of the environment.
    pub var: &'a dyn Fn(&str) -> Option<String>,
}

/// Runs the program with its arguments, the first being its own name.
pub fn run(args: impl IntoIterator<Item = OsString>) -> Exit {
    let stdin = std::io::stdin();
    let asks = stdin.is_terminal() && std::io::stderr().is_terminal();
    let mut streams = Streams {
        out: &mut std::io::stdout(),
        err: &mut std::io::stderr(),
        // Unlocked, so that the live screen may take its keys from the same place.
        input: &mut std::io::BufReader::new(stdin),
        asks,
        var: &|name| std::env::var(name).ok(),
    };
    run_with(args, &mut streams)
}

/// Like [`run`], with streams of the caller's.
pub fn run_with(args: impl IntoIterator<Item = OsString>, streams: &mut Streams) -> Exit {
    let outcome = match Cli::try_parse_from(args) {
        Ok(cli) => dispatch(cli, streams),
        Err(e) if e.use_stderr() => {
            // Nobody is left to tell if stderr is gone.
            let _ = write!(streams.err, "{e}");
            return Exit::Usage;
        }
        Err(help) => write!(streams.out, "{help}").map(|()| Exit::Done).map_err(Into::into),
    };
    let outcome = outcome.and_then(|exit| {
        streams.out.flush()?;
        Ok(exit)
    });
    outcome.unwrap_or_else(|e| exit::report(&e, streams.err))
}

fn dispatch(cli: Cli, streams: &mut Streams) -> anyhow::Result<Exit> {
    match (cli.command, cli.party) {
        (
            Some(Command::Plan { party, json, problem, why, ways, what_if, seconds, rounds, seed }),
            _,
        ) => {
            let about = match (ways, what_if.is_empty()) {
                (true, _) => plan::About::Ways,
                (_, false) => plan::About::WhatIf(what_if),
                _ => plan::About::Plan,
            };
            let print = match (json, problem) {
                (_, true) => plan::Print::Problem,
                (true, _) => plan::Print::Json,
                _ => plan::Print::Text,
            };
            let effort = plan::Effort { seconds, rounds, seed };
            match why {
                Some(step) => plan::why(&party, &step, print, &effort, streams),
                None => plan::run(&party, &about, print, &effort, streams),
            }
        }
        (Some(Command::Check { files }), _) => check::run(&files, streams),
        (Some(Command::Party(PartyCommand::New(flags))), _) => party_new::run(flags, streams),
        (Some(Command::Party(PartyCommand::Keep(flags))), _) => party_keep::run(&flags, streams),
        (Some(Command::Recipe(RecipeCommand::Read(flags))), _) => recipe::read(&flags, streams),
        (Some(Command::Recipe(RecipeCommand::Share(flags))), _) => recipe::share(&flags, streams),
        (Some(Command::Desk), _) => desk::run(streams),
        (Some(Command::Now(flags)), _) => page::evening(page::OfEvening::Now, &flags, streams),
        (Some(Command::Holding(flags)), _) => {
            page::evening(page::OfEvening::Holding, &flags, streams)
        }
        (Some(Command::Alarms(flags)), _) => {
            page::evening(page::OfEvening::Alarms, &flags, streams)
        }
        (Some(Command::Menu(flags)), _) => page::planned(page::OfPlan::Menu, &flags, streams),
        (Some(Command::Guests(flags)), _) => page::guests(&flags, streams),
        (Some(Command::Serving(flags)), _) => page::planned(page::OfPlan::Serving, &flags, streams),
        (Some(Command::Ahead(flags)), _) => page::planned(page::OfPlan::Ahead, &flags, streams),
        (Some(Command::Log { party, format, json, out }), _) => {
            let format = if json { None } else { Some(format) };
            log::run(&party, format, out.as_deref(), streams)
        }
        (Some(Command::Shopping { party, format, json, figures, out }), _) => {
            let format = if json { shopping::ShoppingFormat::Json } else { format };
            shopping::run(&party, format, figures, out.as_deref(), streams)
        }
        (Some(Command::Scale { party, json }), _) => mise::scale(&party, json, streams),
        (Some(Command::Mise { party, json }), _) => mise::mise(&party, json, streams),
        (Some(Command::Trays { party, json, seconds, rounds }), _) => {
            let effort = plan::Effort { seconds, rounds, seed: 1 };
            mise::trays(&party, json, &effort, streams)
        }
        (Some(Command::Picture { size, out }), _) => picture::run(&size, out.as_deref(), streams),
        (Some(Command::Rehearse { party, bad, seed }), _) => {
            let day = if bad { Day::Bad } else { Day::Ordinary };
            evening::rehearse(&party, Habits { seed, day }, streams)
        }
        (Some(Command::Sheets { party, format, json, sheet, out, replace, rounds, seed }), _) => {
            let there = IfThere::with(replace);
            let format = if json { None } else { Some(format) };
            let wanted = sheets::Wanted { format, sheets: sheet, out, there };
            let effort = plan::Effort { seconds: 0.0, rounds: Some(rounds), seed };
            sheets::run(&party, &wanted, &effort, streams)
        }
        (Some(Command::Shelf { json }), _) => shelf::run(json, streams),
        (Some(Command::Settings(flags)), _) => settings::run(&flags, streams),
        (Some(Command::Tell { party, once }), _) => tell::run(&party, once, streams),
        (Some(Command::LookBack(flags)), _) => look_back::run(&flags, streams),
        (Some(Command::Times(flags)), _) => times::run(&flags, streams),
        (Some(Command::Repair { journal }), _) => repair::run(&journal, streams),
        (Some(Command::Manual { of }), _) => handbook::manual(of.as_deref(), streams.out),
        (Some(Command::Completions { shell }), _) => handbook::completions(shell, streams.out),
        (Some(Command::Schema { name }), _) => schema::run(name, streams),
        (None, Some(party)) => evening::run(&party, streams),
        (None, None) => evening::demo(streams),
    }
}

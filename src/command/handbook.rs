//! `potwatch manual` and `potwatch completions`: both made from the definition of the command line itself, so that they
//! cannot say anything else than it does.

use std::io::Write;

use clap::CommandFactory;
use clap_complete::Shell;

use super::exit::WrongUse;
use super::{Cli, Exit};

/// Prints the manual page, for man(1): of the program, or of one of its commands.
///
/// # Errors
/// A command that there is not; trouble with the output.
pub fn manual(of: Option<&str>, out: &mut dyn Write) -> anyhow::Result<Exit> {
    let mut cli = Cli::command();
    cli.build();
    let page = match of {
        None => cli,
        Some(name) => {
            let found = cli.find_subcommand(name).cloned();
            let names =
                || -> Vec<&str> { cli.get_subcommands().map(clap::Command::get_name).collect() };
            found.ok_or_else(|| {
                WrongUse(format!("no command is named `{name}`; there are: {}", names().join(", ")))
            })?
        }
    };
    let mut text = Vec::new();
    clap_mangen::Man::new(page).render(&mut text)?;
    out.write_all(&text)?;
    Ok(Exit::Done)
}

/// Prints what a shell needs to complete commands, options and files.
///
/// # Errors
/// Trouble with the output.
pub fn completions(shell: Shell, out: &mut dyn Write) -> anyhow::Result<Exit> {
    // Into memory first: the library panics where a reader stops listening.
    let mut text = Vec::new();
    clap_complete::generate(shell, &mut Cli::command(), "potwatch", &mut text);
    out.write_all(&text)?;
    Ok(Exit::Done)
}

//! `potwatch desk`: the cook's own parties, recipes and kitchens.

use std::ffi::OsStr;

use super::evening::full_screen_or_why_not;
use super::own::Own;
use super::{Exit, Streams};
use crate::live::desk::{self, Left};
use crate::live::surroundings;
use crate::store::own::OwnShelf;
use crate::store::read::schema::FileKind;

/// Opens the desk; from it, the evening of a party.
///
/// # Errors
/// Trouble with the terminal, or no place for the cook's files.
pub fn run(streams: &mut Streams) -> anyhow::Result<Exit> {
    full_screen_or_why_not()?;
    let own = Own::find(streams.var);
    let places = own.places?;
    let shelf = OwnShelf::at(&places.data);
    let today = chrono::Local::now().date_naive();
    match desk::run(places, own.locale, surroundings::look(&own.settings), today)? {
        Left::Closed => Ok(Exit::Done),
        Left::Evening(id) => {
            // By its file: a party may be called like a command.
            become_program(&[shelf.path(FileKind::Party, &id).as_os_str()])
        }
    }
}

/// Goes on as the program with other arguments, in the same process: the thread
/// that reads keys ends with the program that began it.
#[cfg(unix)]
pub(super) fn become_program<S: AsRef<OsStr>>(args: &[S]) -> anyhow::Result<Exit> {
    use std::os::unix::process::CommandExt;
    let me = std::env::current_exe()?;
    let error = std::process::Command::new(me).args(args).exec();
    Err(anyhow::Error::new(error).context(format!("go on with `potwatch {}`", joined(args))))
}

#[cfg(not(unix))]
pub(super) fn become_program<S: AsRef<OsStr>>(args: &[S]) -> anyhow::Result<Exit> {
    println!("Go on with: potwatch {}", joined(args));
    Ok(Exit::Done)
}

fn joined<S: AsRef<OsStr>>(args: &[S]) -> String {
    let words = args.iter().map(|a| a.as_ref().to_string_lossy());
    words.collect::<Vec<_>>().join(" ")
}

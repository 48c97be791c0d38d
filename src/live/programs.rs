//! Other programs of the computer that help if they are there: looked for once, started quietly.

use std::ffi::OsStr;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// The first file of that name in the folders of `path` that can be run.
#[must_use]
pub fn find(path: Option<&OsStr>, name: &str) -> Option<PathBuf> {
    let folders = std::env::split_paths(path?);
    folders.map(|folder| folder.join(name)).find(|file| can_run(file))
}

/// A command that says nothing, opens no window, and is not meant by keys and stops that are meant for us.
#[must_use]
pub fn quiet(program: &Path) -> Command {
    let mut command = Command::new(program);
    command.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    #[cfg(unix)]
    {
        use std::os::unix::process::CommandExt;
        command.process_group(0);
    }
    #[cfg(windows)]
    {
        use std::os::windows::process::CommandExt;
        const CREATE_NO_WINDOW: u32 = 0x0800_0000;
        command.creation_flags(CREATE_NO_WINDOW);
    }
    command
}

#[cfg(unix)]
fn can_run(path: &Path) -> bool {
    use std::os::unix::fs::PermissionsExt;
    std::fs::metadata(path).is_ok_and(|m| m.is_file() && m.permissions().mode() & 0o111 != 0)
}

#[cfg(not(unix))]
fn can_run(path: &Path) -> bool {
    path.is_file() || path.with_extension("exe").is_file()
}

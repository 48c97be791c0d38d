//! Paths inside commands that a message tells the cook to type.

use std::path::Path;

/// A path as it is typed in a POSIX shell.
#[must_use]
pub fn typed(path: &Path) -> String {
    quoted(&path.display().to_string())
}

/// A word as it is typed in a POSIX shell: as it is where every letter stands for itself, else between single
/// quotes (POSIX.1-2024, XCU 2.2.2; a single quote itself as `'\\''`).
#[must_use]
pub fn quoted(word: &str) -> String {
    let plain = |c: char| c.is_alphanumeric() || "/._-+,:@%=".contains(c);
    if !word.is_empty() && word.chars().all(plain) {
        return word.to_owned();
    }
    format!("'{}'", word.replace('\'', r"'\''"))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_shell_reads_back_what_was_typed() {
        for name in
            ["plain-1.json", "two words", "it's", "a$b`c\"d\\e", "*?[x]", "~me", "a;b&c", ""]
        {
            let typed = typed(Path::new(name));
            let command = format!("printf %s {typed}");
            let out = std::process::Command::new("sh").arg("-c").arg(&command).output().unwrap();
            assert_eq!(String::from_utf8(out.stdout).unwrap(), name, "{command}");
        }
        assert_eq!(typed(Path::new("/a/supper.journal")), "/a/supper.journal");
    }
}

//! The cook's own program that is started when alarms come: a lamp, a message to a telephone.
//!
//! It is named in the cook's settings alone, never by a party's file, and started as it stands
//! there, without a shell. Nothing waits for it: a thread writes the alarms to its input and ends it
//! if it takes too long. Alarms are shown and heard whatever becomes of it.

use std::ffi::OsStr;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Child, Stdio};
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;
use std::time::{Duration, Instant};

use super::programs;

/// The longest that it may run. Our choice: what has not told anybody by then is no help.
const MOST: Duration = Duration::from_secs(30);
/// How often it is looked at while it runs.
const LOOK: Duration = Duration::from_millis(30);
/// So many may run at a time; what comes then is not told to another.
const AT_A_TIME: usize = 4;

/// The program, ready to be started.
#[derive(Debug, Clone)]
pub struct OnAlarm {
    program: PathBuf,
    given: Vec<String>,
    most: Duration,
    running: Arc<AtomicUsize>,
}

impl OnAlarm {
    /// Finds the program: a whole path, or a name in the folders of `path` (the variable `PATH`).
    /// What follows the first word is given to it as it is.
    ///
    /// # Errors
    /// A sentence, if there is none.
    pub fn find(path: Option<&OsStr>, words: &[String]) -> Result<Self, String> {
        let (first, given) = words.split_first().ok_or("The program on alarm has no name.")?;
        let program = Path::new(first);
        let not = |why: &str| format!("Alarms come without your program \"{first}\": {why}.");
        let found = match program.components().count() {
            1 => programs::find(path, first).ok_or_else(|| not("no program is called so"))?,
            _ if program.is_relative() => {
                return Err(not("write its whole path, or its name alone"));
            }
            _ if program.is_file() => program.to_path_buf(),
            _ => return Err(not("there is no such file")),
        };
        let ending = found.extension().and_then(OsStr::to_str).unwrap_or_default();
        if cfg!(windows) && ["bat", "cmd"].iter().any(|e| ending.eq_ignore_ascii_case(e)) {
            return Err(not("a batch file needs a shell; name a program"));
        }
        Ok(Self { program: found, given: given.to_vec(), most: MOST, running: Arc::default() })
    }

    /// Starts it with a document on its input and returns at once. If it cannot be started, fails
    /// or takes too long, `failed` is given a sentence, from another thread.
    pub fn tell(&self, document: String, failed: impl FnOnce(String) + Send + 'static) {
        let (me, running) = (self.clone(), Arc::clone(&self.running));
        let attend = move || {
            let done = match running.fetch_add(1, Ordering::SeqCst) {
                0..AT_A_TIME => me.run(document),
                _ => Err(format!("was not started: {AT_A_TIME} of it still run")),
            };
            running.fetch_sub(1, Ordering::SeqCst);
            if let Err(why) = done {
                failed(format!("Your program on alarm, {}, {why}.", me.program.display()));
            }
        };
        // Without a thread there is nobody to tell that there is none; the alarm itself is shown.
        drop(thread::Builder::new().name("on alarm".into()).spawn(attend));
    }

    /// Starts it, gives it its input and waits for its end, within bounds.
    ///
    /// # Errors
    /// What became of it, as the end of a sentence.
    pub fn run(&self, document: String) -> Result<(), String> {
        let mut command = programs::quiet(&self.program);
        command.args(&self.given).stdin(Stdio::piped());
        let mut child = command.spawn().map_err(|e| format!("does not start: {e}"))?;
        if let Some(mut input) = child.stdin.take() {
            // On a thread of its own: a program that reads nothing is not waited for.
            let write = move || drop(input.write_all(document.as_bytes()));
            drop(thread::Builder::new().name("on alarm, input".into()).spawn(write));
        }
        let began = Instant::now();
        loop {
            match child.try_wait() {
                Ok(Some(status)) if status.success() => return Ok(()),
                Ok(Some(status)) => return Err(format!("failed: {status}")),
                Ok(None) if began.elapsed() < self.most => thread::sleep(LOOK),
                Ok(None) => {
                    end(&mut child);
                    return Err(format!("was ended: it took {} seconds", self.most.as_secs()));
                }
                Err(e) => return Err(format!("cannot be waited for: {e}")),
            }
        }
    }
}

/// Ends it, and with it what it has started itself.
fn end(child: &mut Child) {
    #[cfg(unix)]
    {
        use rustix::process::{Pid, Signal, kill_process_group};
        // It may have ended this moment.
        let _ = kill_process_group(Pid::from_child(child), Signal::KILL);
    }
    let _ = child.kill();
    let _ = child.wait();
}

#[cfg(all(test, unix))]
mod tests {
    use std::os::unix::fs::PermissionsExt;
    use std::sync::mpsc::channel;

    use super::*;

    fn script(folder: &Path, text: &str) -> PathBuf {
        let program = folder.join("lamp");
        std::fs::write(&program, format!("#!/bin/sh\n{text}\n")).unwrap();
        std::fs::set_permissions(&program, std::fs::Permissions::from_mode(0o755)).unwrap();
        program
    }

    fn words(words: &[&str]) -> Vec<String> {
        words.iter().map(|w| (*w).to_owned()).collect()
    }

    #[test]
    fn it_gets_its_words_as_they_are_and_the_alarms_on_its_input() {
        let dir = tempfile::tempdir().unwrap();
        let program = script(dir.path(), "cat > \"$2\"; echo \"$1\" >> \"$2\"");
        let kept = dir.path().join("kept here; $(false)");
        let said = words(&["lamp", "*; exit 1", kept.to_str().unwrap()]);
        let found = OnAlarm::find(Some(dir.path().as_os_str()), &said).unwrap();
        assert_eq!(found.program, program);
        found.run("an alarm\n".to_owned()).unwrap();
        assert_eq!(std::fs::read_to_string(&kept).unwrap(), "an alarm\n*; exit 1\n");
    }

    #[test]
    fn one_that_fails_hangs_or_is_not_there_is_told_of() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().to_str().unwrap();
        for (said, why) in [
            (vec!["no-such-program"], "no program is called so"),
            (vec!["bin/lamp"], "whole path"),
            (vec!["/no/such/program"], "no such file"),
            (vec![], "no name"),
        ] {
            let found = OnAlarm::find(Some(OsStr::new(path)), &words(&said));
            assert!(found.as_ref().is_err_and(|w| w.contains(why)), "{found:?}");
        }
        let program = script(dir.path(), "exit 3");
        let lamp = OnAlarm::find(None, &words(&[program.to_str().unwrap()])).unwrap();
        let (sender, failed) = channel();
        lamp.tell(String::new(), move |why| sender.send(why).unwrap());
        let why = failed.recv().unwrap();
        assert!(why.contains("lamp, failed: exit status: 3."), "{why}");
        // One that never ends, has started another, and reads nothing of a great deal.
        script(dir.path(), "sleep 1000 & echo $! > \"$0.pid\"; wait");
        let hangs = OnAlarm { most: Duration::from_millis(300), ..lamp };
        let (sender, failed) = channel();
        hangs.tell("x".repeat(1 << 20), move |why| sender.send(why).unwrap());
        let why = failed.recv().unwrap();
        assert!(why.contains("was ended"), "{why}");
    }
}

//! A seat at a terminal: a program in a pseudo-terminal, its keys and its screen.

#![allow(dead_code, reason = "each test target uses its part")]

use std::io::{Read, Write};
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};

/// The longest that anything is waited for.
pub const PATIENCE: Duration = Duration::from_secs(20);

/// How often the screen is looked at.
const LOOK: Duration = Duration::from_millis(2);

/// What a terminal is told besides what it shows.
#[derive(Default)]
pub struct Ear {
    /// Strokes of the bell.
    pub bells: usize,
    /// The window's title.
    pub title: String,
}

impl vt100::Callbacks for Ear {
    fn audible_bell(&mut self, _: &mut vt100::Screen) {
        self.bells += 1;
    }

    fn set_window_title(&mut self, _: &mut vt100::Screen, title: &[u8]) {
        self.title = String::from_utf8_lossy(title).into_owned();
    }
}

type Screen = Arc<Mutex<vt100::Parser<Ear>>>;

/// A program in a terminal.
pub struct Seat {
    master: Option<Box<dyn MasterPty + Send>>,
    keys: Option<Box<dyn Write + Send>>,
    child: Box<dyn Child + Send + Sync>,
    screen: Screen,
    deaf: Arc<AtomicBool>,
    reader: Option<JoinHandle<()>>,
}

const fn size(rows: u16, cols: u16) -> PtySize {
    PtySize { rows, cols, pixel_width: 0, pixel_height: 0 }
}

impl Seat {
    /// A command line in a new terminal of 80 x 24.
    pub fn take(shell: &[&str], env: &[(&str, &str)]) -> Self {
        Self::sized(24, 80, shell, env)
    }

    /// A command line in a new terminal.
    pub fn sized(rows: u16, cols: u16, shell: &[&str], env: &[(&str, &str)]) -> Self {
        let pair = native_pty_system().openpty(size(rows, cols)).unwrap();
        let mut command = CommandBuilder::new(shell[0]);
        command.args(&shell[1..]);
        // What is written from the screen goes into the folder that it was started in.
        let home =
            env.iter().find(|(name, home)| *name == "POTWATCH_HOME" && Path::new(home).is_dir());
        command.cwd(home.map_or_else(std::env::temp_dir, |(_, home)| home.into()));
        command.env("TERM", "xterm-256color");
        command.env("PS1", "shell> ");
        for unset in ["NO_COLOR", "COLORTERM", "COLORFGBG", "TMUX", "STY", "LANG"] {
            command.env_remove(unset);
        }
        for unset in ["LC_ALL", "LC_CTYPE", "LC_TIME", "LC_NUMERIC", "LC_MEASUREMENT"] {
            command.env_remove(unset);
        }
        for (name, value) in env {
            command.env(name, value);
        }
        let child = pair.slave.spawn_command(command).unwrap();
        drop(pair.slave);
        let screen = vt100::Parser::new_with_callbacks(rows, cols, 0, Ear::default());
        let screen = Arc::new(Mutex::new(screen));
        let mut out = pair.master.try_clone_reader().unwrap();
        let sink = screen.clone();
        let deaf = Arc::new(AtomicBool::new(false));
        let listens_no_more = deaf.clone();
        let reader = Some(std::thread::spawn(move || {
            let mut bytes = [0; 16384];
            while let Ok(n) = out.read(&mut bytes) {
                if n == 0 || listens_no_more.load(Ordering::SeqCst) {
                    break;
                }
                sink.lock().unwrap().process(&bytes[..n]);
            }
        }));
        let keys = pair.master.take_writer().unwrap();
        Self { master: Some(pair.master), keys: Some(keys), child, screen, deaf, reader }
    }

    /// Looks at the screen.
    pub fn see<T>(&self, f: impl FnOnce(&vt100::Screen) -> T) -> T {
        f(self.screen.lock().unwrap().screen())
    }

    /// All that is shown.
    pub fn text(&self) -> String {
        self.see(vt100::Screen::contents)
    }

    /// Strokes of the bell so far.
    pub fn bells(&self) -> usize {
        self.screen.lock().unwrap().callbacks().bells
    }

    /// The window's title.
    pub fn title(&self) -> String {
        self.screen.lock().unwrap().callbacks().title.clone()
    }

    /// Waits until the screen is as it shall be.
    pub fn wait_for(&self, what: &str, seen: impl Fn(&vt100::Screen) -> bool) {
        let begun = Instant::now();
        while !self.see(&seen) {
            let now = self.text();
            assert!(begun.elapsed() < PATIENCE, "waited for {what}, have:\n{now}");
            std::thread::sleep(LOOK);
        }
    }

    /// As [`Self::wait_for`], looking as often as it can, to measure by.
    pub fn wait_closely(&self, seen: impl Fn(&vt100::Screen) -> bool) {
        let begun = Instant::now();
        while !self.see(&seen) {
            assert!(begun.elapsed() < PATIENCE, "have:\n{}", self.text());
            std::thread::sleep(Duration::from_micros(50));
        }
    }

    /// Waits until the screen shows some words.
    pub fn wait_text(&self, words: &str) {
        self.wait_for(words, |s| s.contents().contains(words));
    }

    /// Waits until it shows them no more.
    pub fn wait_gone(&self, words: &str) {
        self.wait_for(&format!("{words} to go"), |s| !s.contents().contains(words));
    }

    /// Waits until the bell has rung so often.
    pub fn wait_bells(&self, strokes: usize) {
        let begun = Instant::now();
        while self.bells() < strokes {
            assert!(begun.elapsed() < PATIENCE, "the bell rang {} times", self.bells());
            std::thread::sleep(LOOK);
        }
    }

    /// Waits until nothing has changed on the screen for so long.
    pub fn wait_still(&self, calm: Duration) {
        let begun = Instant::now();
        let (mut since, mut text) = (Instant::now(), self.text());
        while since.elapsed() < calm {
            assert!(begun.elapsed() < PATIENCE, "it never stands still:\n{text}");
            std::thread::sleep(Duration::from_millis(20));
            let now = self.text();
            if now != text {
                (since, text) = (Instant::now(), now);
            }
        }
    }

    /// The row that holds some words.
    pub fn row(&self, words: &str) -> Option<String> {
        self.text().lines().find(|row| row.contains(words)).map(str::to_owned)
    }

    /// Where some words begin: row and column, from 0.
    pub fn place(&self, words: &str) -> Option<(u16, u16)> {
        self.see(|s| {
            let (_, cols) = s.size();
            s.rows(0, cols).enumerate().find_map(|(row, text)| {
                let before = text.find(words)?;
                Some((row as u16, text[..before].chars().count() as u16))
            })
        })
    }

    /// Presses keys.
    pub fn press(&mut self, keys: &str) {
        let writer = self.keys.as_mut().unwrap();
        writer.write_all(keys.as_bytes()).unwrap();
        writer.flush().unwrap();
    }

    /// Presses a key again and again, because one that comes too soon after something new is
    /// not taken, until the screen is as it shall be.
    pub fn press_until(&mut self, key: &str, what: &str, seen: impl Fn(&vt100::Screen) -> bool) {
        let begun = Instant::now();
        while begun.elapsed() < PATIENCE {
            self.press(key);
            let pressed = Instant::now();
            while pressed.elapsed() < Duration::from_millis(350) {
                if self.see(&seen) {
                    return;
                }
                std::thread::sleep(LOOK);
            }
        }
        panic!("pressed {key:?} for {what}, have:\n{}", self.text());
    }

    /// Presses and lets go of the left mouse button (SGR coordinates), row and column from 0.
    pub fn click(&mut self, row: u16, col: u16) {
        let (row, col) = (row + 1, col + 1);
        self.press(&format!("\x1b[<0;{col};{row}M\x1b[<0;{col};{row}m"));
    }

    /// Tells the program alone of a new size. What is looked at keeps its own: the emulator
    /// takes no frame of a larger size after it was made tiny.
    pub fn resize_unseen(&self, rows: u16, cols: u16) {
        self.master.as_ref().unwrap().resize(size(rows, cols)).unwrap();
    }

    /// The process.
    pub fn pid(&self) -> String {
        self.child.process_id().unwrap().to_string()
    }

    /// Sends a signal by its name.
    pub fn signal(&self, name: &str) {
        let done = std::process::Command::new("/bin/kill")
            .args([&format!("-{name}"), &self.pid()])
            .status()
            .unwrap();
        assert!(done.success());
    }

    /// Ends the program at once, as a power cut would, and waits until it is gone.
    pub fn kill(mut self) {
        self.signal("KILL");
        self.child.wait().unwrap();
    }

    /// How the program ended.
    pub fn exit_code(&mut self) -> u32 {
        self.exit_within(PATIENCE).expect("the program never ended")
    }

    /// How the program ended, if it did in time.
    pub fn exit_within(&mut self, patience: Duration) -> Option<u32> {
        let begun = Instant::now();
        while begun.elapsed() < patience {
            if let Some(status) = self.child.try_wait().unwrap() {
                return Some(status.exit_code());
            }
            std::thread::sleep(LOOK);
        }
        None
    }

    /// Waits for the end and gives the exit code, once all that was said is on the screen.
    pub fn ended(&mut self) -> u32 {
        let code = self.exit_code();
        // With nobody left at the other end, reading ends.
        self.reader.take().unwrap().join().unwrap();
        code
    }

    /// The terminal goes away.
    pub fn hang_up(&mut self) {
        // The reader holds the terminal open too; a last key makes the program write, and the reader return.
        self.deaf.store(true, Ordering::SeqCst);
        self.press("k");
        self.reader.take().unwrap().join().unwrap();
        self.keys = None;
        self.master = None;
    }
}

impl Drop for Seat {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

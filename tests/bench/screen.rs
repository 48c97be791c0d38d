//! What the running program costs: frames, keys, start, an idle minute, memory, marks. All of it is
//! measured in one run, each beside something plain that does the same without us.

#![cfg(target_os = "linux")]

use std::io::Write;
use std::path::Path;
use std::time::{Duration, Instant};

use potwatch::live::board::Board;
use potwatch::live::clock::Ticks;
use potwatch::live::pass::Pass;
use potwatch::live::planner::Planner;
use potwatch::live::reasons::Reasoner;
use potwatch::live::tryer::Tryer;
use potwatch::live::{demo, opening};
use potwatch::run::Event;
use potwatch::screen::Look;
use potwatch::store::{Places, load::load_builtin, zone};
use ratatui::Terminal;
use ratatui::backend::TestBackend;

use crate::seat::Seat;
use crate::small_party::{SmallParty, now_ms};

const POTWATCH: &str = env!("CARGO_BIN_EXE_potwatch");
const FRAMES: usize = 300;
const PRESSES: usize = 100;
const STARTS: usize = 10;
const MARKS: usize = 500;
const IDLE: Duration = Duration::from_secs(60);
/// A frame of a screen that shows sixty a second, µs.
const SIXTIETH_US: f64 = 16_667.0;

/// Times of the same thing, in µs, sorted.
struct Times(Vec<f64>);

impl Times {
    fn of(times: usize, mut one: impl FnMut() -> Duration) -> Self {
        let mut us: Vec<f64> = (0..times).map(|_| one().as_secs_f64() * 1e6).collect();
        us.sort_by(f64::total_cmp);
        Self(us)
    }

    fn at(&self, part: f64) -> f64 {
        let last = self.0.len() - 1;
        self.0[(last as f64 * part).round() as usize]
    }

    fn row(&self, what: &str, beside: &str, plain_us: f64) {
        let (p50, p99) = (self.at(0.5), self.at(0.99));
        println!(
            "| {what} | {} | {} | {} ({beside}) | {:.2} |",
            shown(p50),
            shown(p99),
            shown(plain_us),
            p50 / plain_us
        );
    }
}

fn shown(us: f64) -> String {
    if us < 1000.0 { format!("{us:.0} µs") } else { format!("{:.2} ms", us / 1000.0) }
}

#[test]
#[ignore = "slow; needs an optimised build"]
fn the_running_program() {
    println!("\n| what | median | 99 of 100 below | beside it | ratio |");
    println!("| --- | --- | --- | --- | --- |");
    frames();
    keys();
    starts();
    marks();
    println!("\n| a minute of | CPU time | of one core | wakes | resident | most resident |");
    println!("| --- | --- | --- | --- | --- | --- |");
    idle();
}

/// Drawing the demo and finding what changed, without a terminal.
fn frames() {
    let look = Look::choose(false, "truecolor", "xterm-256color", None, false);
    let evening = load_builtin(zone::clockface(chrono::Local::now().date_naive())).unwrap();
    let opening = demo::open(evening, look).unwrap();
    let mut pass = Pass::open(
        opening,
        Planner::start(|_| ()).unwrap(),
        Reasoner::start(|_| ()).unwrap(),
        Board::new(Tryer::start(|_| ()).unwrap()),
    );
    // The planner has its budget and is quiet after it.
    std::thread::sleep(Duration::from_secs(2));
    for (width, height) in [(80, 24), (120, 36), (200, 60), (240, 70)] {
        let mut terminal = Terminal::new(TestBackend::new(width, height)).unwrap();
        let drawn = Times::of(FRAMES, || {
            let begun = Instant::now();
            terminal.draw(|frame| pass.draw(frame)).unwrap();
            begun.elapsed()
        });
        drawn.row(&format!("frame {width}x{height}"), "a 60th of a second", SIXTIETH_US);
    }
    let ticks = Times::of(FRAMES, || {
        let begun = Instant::now();
        pass.tick();
        begun.elapsed()
    });
    ticks.row("bringing the evening up to now", "a 60th of a second", SIXTIETH_US);
}

/// From a key to the changed screen, the terminal's own work included.
fn keys() {
    let echo = {
        let mut cat = Seat::take(&["/bin/cat"], &[]);
        round_trips(&mut cat, |n| if n % 2 == 0 { "x" } else { "y" })
    };
    let home = tempfile::tempdir().unwrap();
    let mut seat = demo_at(home.path());
    seat.press("f");
    seat.wait_text("stopped");
    seat.wait_still(Duration::from_secs(2));
    let zoom = round_trips(&mut seat, |_| "w");
    zoom.row("key to screen, another zoom", "a terminal's echo", echo.at(0.5));
    let party = SmallParty::first_due_in(30);
    party.begin(1, &[]);
    let mut seat = at(&party);
    seat.wait_still(Duration::from_secs(2));
    let mark = round_trips_of(&mut seat, |seat, n| {
        let celsius = 50 + n % 20;
        seat.press(&format!("ts{celsius}"));
        seat.wait_text(&format!(" {celsius}_ "));
        ("\r".to_owned(), format!("soup at {celsius} "))
    });
    mark.row("key to screen, a mark on the disk", "a terminal's echo", echo.at(0.5));
}

fn round_trips(seat: &mut Seat, key: impl Fn(usize) -> &'static str) -> Times {
    let mut n = 0;
    Times::of(PRESSES, || {
        // Apart as presses are: two frames are never closer than the program lets them be.
        std::thread::sleep(Duration::from_millis(40));
        let before = seat.text();
        n += 1;
        let begun = Instant::now();
        seat.press(key(n));
        seat.wait_closely(|s| s.contents() != before);
        begun.elapsed()
    })
}

fn round_trips_of(
    seat: &mut Seat,
    mut prepare: impl FnMut(&mut Seat, usize) -> (String, String),
) -> Times {
    let mut n = 0;
    Times::of(PRESSES, || {
        n += 1;
        let (key, shows) = prepare(seat, n);
        std::thread::sleep(Duration::from_millis(40));
        let begun = Instant::now();
        seat.press(&key);
        seat.wait_closely(|s| s.contents().contains(&shows));
        begun.elapsed()
    })
}

/// From the start of the program to its first frame.
fn starts() {
    let plain = Times::of(STARTS, || {
        let begun = Instant::now();
        let seat = Seat::take(&["/bin/echo", "DEMO"], &[]);
        seat.wait_closely(|s| s.contents().contains("DEMO"));
        begun.elapsed()
    });
    let home = tempfile::tempdir().unwrap();
    let opened = Times::of(STARTS, || {
        let begun = Instant::now();
        let seat = demo_at(home.path());
        let taken = begun.elapsed();
        drop(seat);
        taken
    });
    opened.row("start to first frame, the demo", "echo", plain.at(0.5));
    let party = SmallParty::first_due_in(30);
    party.begin(1, &[]);
    let opened = Times::of(STARTS, || {
        let begun = Instant::now();
        let seat = at(&party);
        let taken = begun.elapsed();
        drop(seat);
        taken
    });
    opened.row("start to first frame, a party begun", "echo", plain.at(0.5));
}

/// Writing a mark so that it stays.
fn marks() {
    let party = SmallParty::first_due_in(30);
    let places = Places::under(&party.home()).unwrap();
    let look = Look::choose(true, "", "dumb", None, true);
    let mut book = opening::open(party.evening.clone(), &places, look).unwrap().book;
    let mut plain = std::fs::File::create(party.home().join("plain")).unwrap();
    let event = Event::Temperature { dish: "soup".to_owned(), celsius: 71.0 };
    let line = [b'x'; 200];
    let bare = Times::of(MARKS, || {
        let begun = Instant::now();
        plain.write_all(&line).unwrap();
        plain.sync_data().unwrap();
        begun.elapsed()
    });
    let marked = Times::of(MARKS, || {
        let ticks = Ticks { wall_ms: now_ms(), mono_ms: 0 };
        let begun = Instant::now();
        book.append(ticks.wall_ms, ticks, event.clone()).unwrap();
        begun.elapsed()
    });
    marked.row("a mark appended and synced", "200 bytes, synced", bare.at(0.5));
}

/// A minute in which nobody presses anything.
fn idle() {
    let party = SmallParty::first_due_in(30);
    party.begin(1, &[]);
    let home = tempfile::tempdir().unwrap();
    let sleep = Seat::take(&["/bin/sleep", "1000"], &[]);
    let seats = [("a sleeping program", sleep), ("the demo", demo_at(home.path()))];
    let seats: Vec<_> = seats.into_iter().chain([("a party, nothing due", at(&party))]).collect();
    std::thread::sleep(Duration::from_secs(6));
    let before: Vec<(f64, u64)> = seats.iter().map(|(_, s)| used(&s.pid())).collect();
    std::thread::sleep(IDLE);
    for ((what, seat), before) in seats.iter().zip(before) {
        let after = used(&seat.pid());
        let ms = (after.0 - before.0) / 1e6;
        let wakes = after.1 - before.1;
        let part = ms / 10.0 / IDLE.as_secs_f64();
        let status = std::fs::read_to_string(format!("/proc/{}/status", seat.pid())).unwrap();
        let mib = |field: &str| number(&status, field) as f64 / 1024.0;
        println!(
            "| {what} | {ms:.1} ms | {part:.3} % | {wakes} | {:.1} MiB | {:.1} MiB |",
            mib("VmRSS:"),
            mib("VmHWM:")
        );
    }
}

/// What all threads of a process have used: nanoseconds on a processor (proc_pid_schedstat in the
/// kernel's documentation of schedstat), and how often they woke after they had waited.
fn used(pid: &str) -> (f64, u64) {
    let threads = std::fs::read_dir(format!("/proc/{pid}/task")).unwrap();
    threads.map(|t| t.unwrap().path()).fold((0.0, 0), |(ns, wakes), thread| {
        let read = |name: &str| std::fs::read_to_string(thread.join(name)).unwrap();
        let on_cpu: f64 = read("schedstat").split(' ').next().unwrap().parse().unwrap();
        (ns + on_cpu, wakes + number(&read("status"), "voluntary_ctxt_switches:"))
    })
}

fn number(status: &str, field: &str) -> u64 {
    let line = status.lines().find(|l| l.starts_with(field)).unwrap();
    line.split_whitespace().nth(1).unwrap().parse().unwrap()
}

fn demo_at(home: &Path) -> Seat {
    let env = [("POTWATCH_HOME", home.to_str().unwrap()), ("LANG", "C.UTF-8")];
    let seat = Seat::sized(36, 120, &[POTWATCH], &env);
    seat.wait_closely(|s| s.contents().contains("DEMO"));
    seat
}

fn at(party: &SmallParty) -> Seat {
    let env = party.env();
    let env: Vec<(&str, &str)> = env.iter().map(|(k, v)| (*k, v.as_str())).collect();
    let seat = Seat::sized(36, 120, &[POTWATCH, party.file.to_str().unwrap()], &env);
    seat.wait_closely(|s| s.contents().contains("Small supper"));
    seat
}

//! Threads, the terminal and the loop: input, the planner's answers, signals
//! and the passing of time come in on one channel, are handled in turn, and
//! then the screen is drawn once.

use std::io;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};
use std::time::{Duration, Instant};

use ratatui::crossterm::event::Event as Input;

use super::awake::{Awake, Battery};
use super::board::Board;
use super::entrance::enter;
use super::neighbours::{self, Noticed};
use super::notify::{self, Way};
use super::on_alarm::OnAlarm;
use super::pass::{Opening, Pass, Todo};
use super::planner::{Planner, Told};
use super::reasons::{Reasoned, Reasoner};
use super::rehearsal;
use super::signals::{self, Suspended};
use super::sound::{self, Sounds};
use super::terminal::{Stage, Terminal};
use super::tryer::{Piece, Tryer};
use crate::run::Rank;
use crate::run::hand::{Day, Habits};

/// The longest time without a look at the clocks: so soon a laptop that woke
/// up knows of it.
const LOOK_AT_LEAST: Duration = Duration::from_secs(20);
/// Frames are at least so far apart.
const FRAME_APART: Duration = Duration::from_millis(12);
/// Between two notices of the terminal for alarms that come together.
const NOTICE_APART: Duration = Duration::from_secs(2);

/// The first frame waits so long for a first plan, if there is none.
const FIRST_PLAN_WITHIN: Duration = Duration::from_millis(40);

/// What keeps the computer awake, and its battery, are looked at so often; the first time a moment after the start,
/// when the line that was said then has been read.
const POWER_LOOK: Duration = Duration::from_secs(45);
/// What is said if nothing does.
const MAY_SLEEP: &str = "Nothing here keeps the computer awake: set it not to sleep tonight. Asleep it sounds no alarm.";

/// What is said when the last program that could play a sound has failed.
const SILENT: &str = "No program here plays the sounds any more: listen for the terminal's bell, \
                      or look at this computer's sound.";

/// How a session ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Left {
    /// The cook left.
    Closed,
    /// The cook wants to begin a party of their own.
    OwnParty,
}

/// What comes in.
enum Coming {
    Input(Input),
    Told(Of, Told),
    Reasoned(Of, Reasoned),
    Piece(Of, Piece),
    /// The program on alarm failed: a sentence.
    OnAlarm(String),
    Neighbours(Noticed),
    /// The program was continued after a stop, or something asks for a look.
    Resumed,
    /// The terminal gives no more input.
    Deaf(io::Error),
}

/// What is around the session: found at the edge, given in.
pub struct Surroundings {
    /// Plays sounds.
    pub sounds: Sounds,
    /// Ranks whose alarms make no sound: they are shown all the same.
    pub silent: Vec<Rank>,
    /// The cook's own program that is started when alarms come, or why it cannot be.
    pub on_alarm: Option<Result<OnAlarm, String>>,
    /// How notices reach the cook.
    pub notices: Way,
    /// The battery is looked after; not for the demo.
    pub watches_power: bool,
    /// Where programs are looked for that keep the computer awake; nowhere if it may sleep.
    pub awake_by: Option<std::ffi::OsString>,
    /// How far from the screen the cook works, metres, if they said so.
    pub distance_m: Option<u8>,
    /// Where a note is left if the program itself fails.
    pub crash_notes: Option<std::path::PathBuf>,
}

/// Runs an evening on the full screen until the cook leaves.
///
/// # Errors
/// If the terminal cannot be used, or a thread cannot be started.
pub fn run(opening: Opening, around: &Surroundings) -> anyhow::Result<Left> {
    let (sender, receiver) = channel();
    let (resumed, ears) = (sender.clone(), sender.clone());
    let (stage, mut terminal) = enter(
        around.crash_notes.as_deref(),
        move || drop(resumed.send(Coming::Resumed)),
        move |heard| ears.send(heard.map_or_else(Coming::Deaf, Coming::Input)).is_ok(),
    )?;
    let leads = AtomicBool::new(opening.book.leads());
    let asked = Arc::new(neighbours::Asked { leads, ..neighbours::Asked::default() });
    if let Some(journal) = opening.journal.clone() {
        let notices = sender.clone();
        let tell = move |noticed| notices.send(Coming::Neighbours(noticed)).is_ok();
        neighbours::watch(journal, Arc::clone(&asked), tell)?;
    }
    let mut pass = seat(opening, Of::Evening, &sender)?;
    pass.stand_at(around.distance_m);
    if let Some(words) = by_settings(around) {
        let before = pass.status().notice.as_ref().map(|notice| format!("{notice} "));
        pass.say_once(&(before.unwrap_or_default() + &words));
    }
    Session {
        pass,
        rehearsal: None,
        rehearsals: 0,
        sender,
        asked,
        power: around.watches_power.then(|| Power::new(around.awake_by.as_deref())),
        around,
        stage,
        receiver,
        last_frame: None,
        last_notice: None,
        title: String::new(),
        bells: Vec::new(),
    }
    .run(&mut terminal)
}

/// What the cook should know of their settings as an evening opens: what makes no sound, and a
/// program on alarm that cannot be started.
fn by_settings(around: &Surroundings) -> Option<String> {
    let silent: Vec<&str> = around.silent.iter().map(|rank| rank.word()).collect();
    let silent = (!silent.is_empty()).then(|| {
        format!("By your settings no sound for: {}. The screen shows them.", silent.join(", "))
    });
    let program = around.on_alarm.as_ref().and_then(|found| found.as_ref().err().cloned());
    let said: Vec<String> = program.into_iter().chain(silent).collect();
    (!said.is_empty()).then(|| said.join(" "))
}

/// Whose answer it is: a rehearsal has threads of its own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Of {
    Evening,
    /// The rehearsal of such a number in this session: an answer to an earlier one is dropped.
    Rehearsal(u32),
}

/// Opens an evening with the threads that plan, explain and try for it.
fn seat(opening: Opening, of: Of, sender: &Sender<Coming>) -> io::Result<Pass> {
    let (plans, reasons, pieces) = (sender.clone(), sender.clone(), sender.clone());
    let planner = Planner::start(move |told| drop(plans.send(Coming::Told(of, told))))?;
    let reasoner = Reasoner::start(move |told| drop(reasons.send(Coming::Reasoned(of, told))))?;
    let tryer = Tryer::start(move |piece| drop(pieces.send(Coming::Piece(of, piece))))?;
    Ok(Pass::open(opening, planner, reasoner, Board::new(tryer)))
}

/// What keeps the computer on while a real evening is open.
struct Power {
    /// Nothing if the cook wants nothing to.
    awake: Option<Awake>,
    /// That nothing keeps it awake was told.
    told: bool,
    battery: Battery,
    looked: Instant,
}

impl Power {
    fn new(path: Option<&std::ffi::OsStr>) -> Self {
        let awake = path.map(|path| Awake::keep(Some(path)));
        Self { awake, told: false, battery: Battery::default(), looked: Instant::now() }
    }

    /// What to tell the cook now, if anything.
    fn look(&mut self) -> Option<String> {
        if self.looked.elapsed() < POWER_LOOK {
            return None;
        }
        self.looked = Instant::now();
        let may_sleep = self.awake.as_mut().is_some_and(|awake| !awake.works());
        if may_sleep && !std::mem::replace(&mut self.told, true) {
            return Some(MAY_SLEEP.to_owned());
        }
        self.battery.look()
    }
}

/// A rehearsal in front of the evening.
struct Rehearsal {
    number: u32,
    pass: Pass,
}

struct Session<'a> {
    pass: Pass,
    /// In front of the evening, which goes on behind it.
    rehearsal: Option<Rehearsal>,
    /// How many there were.
    rehearsals: u32,
    sender: Sender<Coming>,
    power: Option<Power>,
    /// What the thread that looks out for other screens asks: does this one plan for all, is it behind?
    asked: Arc<neighbours::Asked>,
    around: &'a Surroundings,
    stage: Stage,
    receiver: Receiver<Coming>,
    last_frame: Option<Instant>,
    last_notice: Option<Instant>,
    title: String,
    /// Strokes of the bell that are still to come.
    bells: Vec<Instant>,
}

impl Session<'_> {
    fn run(mut self, terminal: &mut Terminal) -> anyhow::Result<Left> {
        self.first_plan()?;
        let mut dirty = true;
        loop {
            self.sound()?;
            if dirty {
                self.draw(terminal)?;
            }
            let first = match self.receiver.recv_timeout(self.wait()) {
                Ok(coming) => Some(coming),
                Err(RecvTimeoutError::Timeout) => None,
                Err(RecvTimeoutError::Disconnected) => return Ok(Left::Closed),
            };
            if let Some(Coming::Neighbours(noticed)) = first
                && !self.look_at(noticed)
            {
                dirty = false;
                continue;
            }
            self.pass.tick();
            if let Some(rehearsal) = &mut self.rehearsal {
                rehearsal.pass.tick();
            }
            if let Some(words) = self.power.as_mut().and_then(Power::look) {
                self.front().say_once(&words);
            }
            if self.around.sounds.has_fallen_silent() {
                // What it was to be heard by.
                self.bells.push(Instant::now());
                self.front().say_once(SILENT);
            }
            for failure in self.stage.take_failures() {
                self.pass.trouble(&format!("A part of the program failed: {}", failure.message));
            }
            dirty = true;
            // All that has come in is handled before the screen is drawn once.
            for coming in first.into_iter().chain(self.receiver.try_iter().collect::<Vec<_>>()) {
                for todo in self.handle(coming)? {
                    if let Some(left) = self.follow(todo)? {
                        self.around.sounds.hush();
                        return Ok(left);
                    }
                }
            }
        }
    }

    /// A fresh party's first plan takes some milliseconds: the first frame waits for it.
    fn first_plan(&mut self) -> anyhow::Result<()> {
        let until = Instant::now() + FIRST_PLAN_WITHIN;
        while self.pass.is_planning_first() {
            let left = until.saturating_duration_since(Instant::now());
            match self.receiver.recv_timeout(left) {
                Ok(Coming::Told(Of::Evening, told)) => self.pass.told(told),
                Ok(other) => drop(self.handle(other)?),
                Err(_) => break,
            }
        }
        Ok(())
    }

    fn handle(&mut self, coming: Coming) -> anyhow::Result<Vec<Todo>> {
        match coming {
            Coming::Input(Input::Resize(..)) | Coming::Resumed => Ok(Vec::new()),
            Coming::Input(input) => Ok(self.front().input(&input)),
            Coming::Told(of, told) => {
                if let Some(pass) = self.of(of) {
                    pass.told(told);
                }
                Ok(Vec::new())
            }
            Coming::Reasoned(of, told) => {
                if let Some(pass) = self.of(of) {
                    pass.reasoned(told);
                }
                Ok(Vec::new())
            }
            Coming::Piece(of, piece) => {
                if let Some(pass) = self.of(of) {
                    pass.piece(piece);
                }
                Ok(Vec::new())
            }
            Coming::Neighbours(noticed) => {
                self.look_at(noticed);
                Ok(Vec::new())
            }
            Coming::OnAlarm(why) => {
                self.pass.say_once(&why);
                Ok(Vec::new())
            }
            Coming::Deaf(e) => Err(anyhow::Error::new(e).context("the terminal gives no keys")),
        }
    }

    /// What the cook looks at and presses keys for.
    fn front(&mut self) -> &mut Pass {
        self.rehearsal.as_mut().map_or(&mut self.pass, |r| &mut r.pass)
    }

    fn of(&mut self, of: Of) -> Option<&mut Pass> {
        match of {
            Of::Evening => Some(&mut self.pass),
            Of::Rehearsal(n) => {
                self.rehearsal.as_mut().filter(|r| r.number == n).map(|r| &mut r.pass)
            }
        }
    }

    /// Plays the evening ahead in front of it: each rehearsal of a session goes otherwise than the one before.
    fn rehearse(&mut self, day: Day) -> io::Result<()> {
        self.rehearsals += 1;
        let number = self.rehearsals;
        let (clocks, look) = self.pass.clocks_and_look();
        let habits = Habits { seed: u64::from(number), day };
        let now_ms = self.pass.view().now_ms;
        let opening = rehearsal::open(self.pass.state(), now_ms, habits, clocks, look);
        let pass = seat(opening, Of::Rehearsal(number), &self.sender)?;
        self.rehearsal = Some(Rehearsal { number, pass });
        Ok(())
    }

    /// Looks at what another screen did. True if anything is new.
    fn look_at(&mut self, noticed: Noticed) -> bool {
        let is_news = match noticed {
            Noticed::Written => self.pass.look_at_others(),
            Noticed::Leaderless => {
                let leads_now = self.pass.try_lead();
                self.asked.leads.fetch_or(leads_now, Ordering::Relaxed);
                leads_now
            }
        };
        self.asked.behind.store(self.pass.is_behind(), Ordering::Relaxed);
        is_news
    }

    fn follow(&mut self, todo: Todo) -> anyhow::Result<Option<Left>> {
        match todo {
            Todo::Leave if self.rehearsal.take().is_some() => {
                self.pass.come_to_the_front();
                self.pass.say_once("Back from the rehearsal: this is the evening itself.");
            }
            Todo::Leave => return Ok(Some(Left::Closed)),
            Todo::Rehearse(day) => self.rehearse(day)?,
            Todo::OwnParty => return Ok(Some(Left::OwnParty)),
            Todo::Redraw => self.stage.ask_redraw(),
            Todo::Mouse(on) => self.stage.set_mouse(on)?,
            Todo::Suspend => {
                if signals::suspend(&self.stage) == Suspended::NoShell {
                    self.pass.say_once("No shell could bring the program back: it stays open.");
                }
            }
        }
        Ok(None)
    }

    fn draw(&mut self, terminal: &mut Terminal) -> anyhow::Result<()> {
        if let Some(last) = self.last_frame {
            std::thread::sleep(FRAME_APART.saturating_sub(last.elapsed()));
        }
        let pass = self.front();
        terminal.draw(|frame| pass.draw(frame))?;
        self.last_frame = Some(Instant::now());
        let title = self.title();
        if title != self.title {
            self.stage.send(notify::window_title(&title).as_bytes())?;
            self.title = title;
        }
        Ok(())
    }

    /// What tab bars show: the next thing to do.
    fn title(&self) -> String {
        let view = self.pass.view();
        match view.do_now.first().or(view.next.first()) {
            Some(prompt) => format!("potwatch: {}", prompt.short),
            None => "potwatch".to_owned(),
        }
    }

    fn sound(&mut self) -> anyhow::Result<()> {
        // Strokes whose time has come.
        let now = Instant::now();
        if self.bells.iter().any(|at| *at <= now) {
            self.bells.retain(|at| *at > now);
            self.stage.send(notify::BELL.as_bytes())?;
        }
        let Some(ring) = self.pass.ring() else { return Ok(()) };
        if self.rehearsal.take().is_some() {
            self.pass.come_to_the_front();
            self.pass.say_once("The rehearsal is put away: the evening itself wants you.");
        }
        self.tell_program(&ring.came);
        let heard = ring.ranks.iter().filter(|rank| !self.around.silent.contains(rank)).max();
        if let Some(rank) = heard
            && !self.around.sounds.play(*rank)
        {
            let strokes = sound::bell_at_ms(*rank).iter();
            self.bells = strokes.map(|ms| now + Duration::from_millis(*ms)).collect();
        }
        if let Some(key) = ring.fresh
            && let Some((title, text)) = self.pass.words_of(&key)
            && ring.rank > Rank::Notice
            && self.last_notice.is_none_or(|at| at.elapsed() >= NOTICE_APART)
        {
            self.last_notice = Some(now);
            let notice = self.around.notices.notice(&key, ring.rank, &title, &text);
            self.stage.send(notice.as_bytes())?;
        }
        Ok(())
    }

    /// Starts the cook's own program for alarms that came. Of several screens the one that plans does.
    fn tell_program(&self, came: &[String]) {
        let Some(Ok(program)) = &self.around.on_alarm else { return };
        if !self.asked.leads.load(Ordering::Relaxed) {
            return;
        }
        let Some(document) = self.pass.came(came) else { return };
        let failed = self.sender.clone();
        program.tell(document, move |why| drop(failed.send(Coming::OnAlarm(why))));
    }

    fn wait(&self) -> Duration {
        let passes = [Some(&self.pass), self.rehearsal.as_ref().map(|r| &r.pass)];
        let soonest = passes.into_iter().flatten().filter_map(Pass::wait_ms).min();
        let pass = soonest.map_or(LOOK_AT_LEAST, Duration::from_millis);
        let now = Instant::now();
        let bell = self.bells.iter().min().map_or(LOOK_AT_LEAST, |at| at.duration_since(now));
        // Never spins: a millisecond at the least.
        pass.min(bell).min(LOOK_AT_LEAST).max(Duration::from_millis(1))
    }
}

//! One evening, whole: the program's own fold, alarms, planner, journal, keys and pages; only the edges are ours.
//! After each thing that happens the program is looked at from outside.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use potwatch::kitchen::{Clockface, Evening, Sheet};
use potwatch::live::board::Board;
use potwatch::live::book::{OnDisk, marks};
use potwatch::live::opening;
use potwatch::live::pass::{BEHIND, FOUND, OWED, Pass};
use potwatch::plan::verify::verify;
use potwatch::run::alarms::gathers_ms;
use potwatch::run::{AlarmState, Event, Mark, Rank, fold, needs_reshuffle, view};
use potwatch::safety::Profile;
use potwatch::screen::Look;
use potwatch::store::load::load_builtin;
use potwatch::store::{BootId, Identity, Journal, journal};
use ratatui::Terminal;
use ratatui::backend::TestBackend;
use ratatui::crossterm::event::{Event as Input, KeyCode, KeyEvent, KeyModifiers};

use crate::faulty_disk::{Dice, FaultyDisk};
use crate::script::Act;
use crate::stand_ins::{HandClock, HandLocks, HandPlanner, Mood, Nobody};

/// The program looks at the time at least so often (ms); here no oftener either, and on most evenings the machine is so
/// slow that it looks less often.
const LOOK_MS: [u64; 3] = [20_000, 60_000, 75_000];
/// The journal is held against the screen after every so many acts.
const CHECK_EVERY: usize = 9;
/// The longest that the cook waits for what is due next (ms).
const PATIENCE_MS: u64 = 45 * 60_000;
/// The sound of what is there can be stopped for so long (ms).
const STOPPED_MS: u64 = 5 * 60_000;
/// Once nothing fails any more, all is well within so long (ms).
const WELL_WITHIN_MS: u64 = 10 * 60_000;

/// What went on in an evening.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Tally {
    pub acts: u64,
    pub marks: u64,
    pub plans: u64,
    pub better: u64,
    pub alarms: u64,
    pub kills: u64,
    pub power_cuts: u64,
    pub disk_faults: u64,
    pub clock_jumps: u64,
    pub refused: u64,
}

impl Tally {
    /// Both together.
    pub fn and(&self, other: &Self) -> Self {
        Self {
            acts: self.acts + other.acts,
            marks: self.marks + other.marks,
            plans: self.plans + other.plans,
            better: self.better + other.better,
            alarms: self.alarms + other.alarms,
            kills: self.kills + other.kills,
            power_cuts: self.power_cuts + other.power_cuts,
            disk_faults: self.disk_faults + other.disk_faults,
            clock_jumps: self.clock_jumps + other.clock_jumps,
            refused: self.refused + other.refused,
        }
    }
}

struct Screen {
    pass: Pass,
    planner: HandPlanner,
    terminal: Terminal<TestBackend>,
    /// Keys of the alarms that were new at the last look.
    rung: Vec<String>,
    /// Alarms that have not sounded yet: rank, and since when they are there (monotonic ms).
    unheard: BTreeMap<String, (Rank, u64)>,
    /// When something new sounded last, by rank (monotonic ms).
    heard: BTreeMap<Rank, u64>,
}

/// The world of one evening.
pub struct World {
    evening: Arc<Evening>,
    disk: FaultyDisk,
    clock: HandClock,
    locks: HandLocks,
    mood: Mood,
    /// How often the program looks at the time (ms).
    look_ms: u64,
    /// The longest that a planner has taken to answer so far (ms).
    slowest_ms: i64,
    drift: i64,
    screens: [Option<Screen>; 2],
    second: bool,
    sizes: [(u16, u16); 2],
    /// Every mark that any screen has shown as marked.
    shown: Vec<Mark>,
    pub tally: Tally,
}

fn path() -> PathBuf {
    PathBuf::from("evenings/supper.journal")
}

fn who() -> Identity {
    Identity { party: "supper".into(), fingerprint: "f00dcafe".into() }
}

/// A few dishes of the demo, by some guidance, perhaps in the night in which the clocks change.
fn party(seed: u64) -> Evening {
    let mut dice = Dice(seed ^ 0x5eed);
    let day = chrono::NaiveDate::from_ymd_opt(2026, 10, 24).expect("a day");
    let mut evening = load_builtin(Clockface::fixed(day, 7200)).expect("the demo");
    if dice.below(4) == 0 {
        let face = &mut evening.face;
        let change_s = face.ms_of(60 * (13 + dice.below(7) as i32)) / 1000;
        face.offsets.push((change_s, if dice.below(2) == 0 { 3600 } else { 10_800 }));
    }
    let ids: Vec<&str> = Profile::ids().collect();
    evening.party.guidance = ids[dice.below(ids.len() as u64) as usize].to_owned();
    let wanted = 2 + dice.below(4) as usize;
    while evening.sheets.len() > wanted {
        let out = dice.below(evening.sheets.len() as u64) as usize;
        evening.sheets.remove(out);
    }
    let is_made = |id: &str, sheets: &[Sheet]| sheets.iter().any(|s| s.id == id);
    evening.party.dishes.retain(|d| is_made(&d.id, &evening.sheets));
    evening
}

/// Plays a script. Panics at the first thing that is not as it must be.
pub fn play(seed: u64, script: &[Act]) -> Tally {
    let mut world = World::new(seed);
    for (n, act) in script.iter().enumerate() {
        world.tally.acts += 1;
        world.act(*act);
        world.look(n % CHECK_EVERY == 0);
    }
    world.well_in_the_end();
    let count = |is: fn(&Event) -> bool| world.shown.iter().filter(|m| is(&m.event)).count() as u64;
    let plans = count(|e| matches!(e, Event::PlanAdopted { .. }));
    let better = count(|e| matches!(e, Event::PlanAdopted { why, .. } if why == FOUND));
    Tally { plans, better, marks: world.shown.len() as u64 - plans, ..world.tally }
}

/// Is it the same mark? Plans by what was said of them alone, unless `whole`: block by block they are held
/// against the journal.
fn is_same(a: &Mark, b: &Mark, whole: bool) -> bool {
    match (&a.event, &b.event) {
        (
            Event::PlanAdopted { why, plan, .. },
            Event::PlanAdopted { why: other, plan: with, .. },
        ) if !whole => (a.seq, a.at_ms, why, &plan.cost) == (b.seq, b.at_ms, other, &with.cost),
        _ => a == b,
    }
}

impl World {
    fn new(seed: u64) -> Self {
        let evening = Arc::new(party(seed));
        let free = evening.party.cooks.iter().flat_map(|c| &c.free);
        let first = free.map(|f| evening.face.minute_of(f.from)).min().expect("hours");
        let begins = evening.face.ms_of(first) + Dice(seed).below(3_600_000) as i64;
        let mut world = Self {
            evening,
            disk: FaultyDisk::new(),
            clock: HandClock::new(begins),
            locks: HandLocks::default(),
            mood: Mood::Prompt,
            look_ms: LOOK_MS[Dice(seed ^ 0x100c).below(LOOK_MS.len() as u64) as usize],
            slowest_ms: 0,
            drift: 0,
            screens: [None, None],
            second: false,
            sizes: [(120, 36), (80, 24)],
            shown: Vec::new(),
            tally: Tally::default(),
        };
        world.open(0);
        world
    }

    /// Opens a screen, as the command does. A disk that fails is told and leaves it closed.
    fn open(&mut self, at: usize) {
        if self.screens[at].is_some() || (at == 1 && !self.second) {
            return;
        }
        let now = self.clock.now();
        let opened = Journal::<Event, _>::open(self.disk.clone(), &path(), &who(), now.wall_ms);
        let (journal, recovered) = match opened {
            Ok(opened) => opened,
            Err(_) => {
                self.tally.refused += 1;
                return;
            }
        };
        let held = marks(recovered.entries.clone());
        self.keep(&held.iter().collect::<Vec<_>>(), 1);
        let boot = BootId::new("boot");
        let book = OnDisk::new(journal, boot, self.locks.clone());
        let clocks = self.clock.clocks();
        let look = Look::choose(false, "truecolor", "xterm-256color", None, false);
        let evening = Arc::clone(&self.evening);
        let Ok(opening) = opening::begin(evening, book, recovered, clocks, look) else {
            self.tally.refused += 1;
            return;
        };
        let planner = HandPlanner::new(&self.clock);
        let pass = Pass::open(opening, planner.clone(), Nobody, Board::new(Nobody));
        let (width, height) = self.sizes[at];
        let terminal = Terminal::new(TestBackend::new(width, height)).expect("a terminal");
        self.screens[at] = Some(Screen {
            pass,
            planner,
            terminal,
            rung: Vec::new(),
            unheard: BTreeMap::new(),
            heard: BTreeMap::new(),
        });
        self.settle();
    }

    /// Marks that a screen shows: they go on where those that any has shown leave off, or are the first of them.
    /// `more`: so many that nobody has shown may be there too (the disk may hold what was about to be marked).
    fn keep(&mut self, now: &[&Mark], more: usize) {
        let known = self.shown.len().min(now.len());
        for (shown, there) in self.shown.iter().zip(now.iter().copied()) {
            assert!(
                is_same(shown, there, more > 0),
                "mark {} was {:?} and is {:?}",
                shown.seq,
                shown.event,
                there.event
            );
        }
        let lost = if more == 0 { 0 } else { self.shown.len() - known };
        assert!(lost == 0, "{lost} marks that were shown as marked are lost");
        self.shown.extend(now[known..].iter().map(|m| (*m).clone()));
    }

    fn act(&mut self, act: Act) {
        match act {
            Act::Wait(ms) => self.wait(ms),
            Act::Due(late_ms) => self.mark_what_is_due(late_ms),
            Act::Key(at, key) => self.press(at, KeyCode::Char(key)),
            Act::Named(at, n) => {
                use KeyCode::{
                    BackTab, Backspace, Delete, Down, End, Enter, Esc, Home, Left, Right, Tab, Up,
                };
                let keys =
                    [Enter, Esc, Tab, BackTab, Up, Down, Left, Right, Backspace, Delete, Home, End];
                self.press(at, keys[usize::from(n) % keys.len()]);
            }
            Act::Reading(at, dish, degrees) => self.take_temperature(at, dish, degrees),
            Act::SeeTo(answers) => self.press(0, KeyCode::Char(if answers { 'r' } else { 'k' })),
            Act::Size(at, width, height) => {
                self.sizes[at] = (width, height);
                if let Some(screen) = &mut self.screens[at] {
                    let backend = TestBackend::new(width, height);
                    screen.terminal = Terminal::new(backend).expect("a terminal");
                }
            }
            Act::Sleep(ms) | Act::Set(ms) => {
                self.tally.clock_jumps += 1;
                self.clock.jump(ms);
                self.wait(1_000);
            }
            Act::Drift(drift) => self.drift = drift,
            Act::Kill(at) => {
                self.tally.kills += 1;
                self.screens[at] = None;
                self.open(at);
            }
            Act::PowerCut(seed) => self.power_cut(seed),
            Act::Disk(when, how) => {
                self.tally.disk_faults += 1;
                self.disk.set(Some((when, how)));
            }
            Act::DiskSound => self.disk.set(None),
            Act::Mood(mood) => self.mood = mood,
            Act::Second => {
                self.second = !self.second;
                self.screens[1] = None;
                self.open(1);
            }
        }
    }

    fn power_cut(&mut self, seed: u64) {
        self.tally.power_cuts += 1;
        self.screens = [None, None];
        self.disk = self.disk.after_power_cut(seed);
        self.clock.restart();
        self.open(0);
        self.open(1);
    }

    fn press(&mut self, at: usize, key: KeyCode) {
        self.open(at);
        // Two presses never come in the same instant.
        self.clock.go(400, 0);
        if let Some(screen) = &mut self.screens[at] {
            let input = Input::Key(KeyEvent::new(key, KeyModifiers::NONE));
            // Leaving, sleeping and drawing afresh are the terminal's business.
            let _ = screen.pass.input(&input);
        }
        self.settle();
    }

    fn take_temperature(&mut self, at: usize, dish: u8, degrees: u16) {
        let sheets = &self.evening.sheets;
        let letter = sheets[usize::from(dish) % sheets.len()].letter.to_ascii_lowercase();
        let keys = format!("t{letter}{degrees}");
        for key in keys.chars().map(KeyCode::Char).chain([KeyCode::Enter]) {
            self.press(at, key);
        }
    }

    /// The cook waits for what is due next and marks it, so much too late.
    fn mark_what_is_due(&mut self, late_ms: u64) {
        let due_ms = |s: &Screen| {
            let view = s.pass.view();
            let next = view.do_now.first().or(view.next.first());
            next.map_or(60_000, |p| p.due_ms.saturating_sub(view.now_ms).max(0) as u64)
        };
        let due_ms = self.screens[0].as_ref().map_or(0, due_ms).min(PATIENCE_MS);
        self.wait(due_ms + late_ms);
        self.press(0, KeyCode::Char(' '));
    }

    /// Time passes, as the program's loop sees it.
    fn wait(&mut self, mut ms: u64) {
        while ms > 0 {
            let wakes = self.screens.iter().flatten().filter_map(|s| s.pass.wait_ms()).min();
            let step = wakes.unwrap_or(self.look_ms).clamp(self.look_ms / 2, self.look_ms).min(ms);
            self.clock.go(step, self.drift);
            ms -= step;
            self.screens.iter_mut().flatten().for_each(|s| s.pass.tick());
            self.settle();
        }
    }

    /// The planner answers, the screens look at each other, and what is new sounds.
    fn settle(&mut self) {
        // Bounded: each answer may lead to one more question.
        for _ in 0..4 {
            let mut any = false;
            for screen in self.screens.iter_mut().flatten() {
                for told in screen.planner.answers(self.mood) {
                    screen.pass.told(told);
                    any = true;
                }
                self.slowest_ms = self.slowest_ms.max(screen.planner.slowest_ms());
            }
            if !any {
                break;
            }
        }
        for screen in self.screens.iter_mut().flatten() {
            screen.pass.try_lead();
            screen.pass.look_at_others();
        }
        for at in 0..2 {
            self.listen(at);
            let Some(screen) = self.screens[at].take() else { continue };
            let now: Vec<&Mark> = screen.pass.state().marks().map(|(m, _)| m).collect();
            self.keep(&now, 0);
            self.screens[at] = Some(screen);
        }
    }

    /// What has become an alarm since the last look sounds now, or with the next sound where one of its rank or a
    /// higher one has sounded just before.
    fn listen(&mut self, at: usize) {
        let now = self.clock.now().mono_ms;
        let Some(screen) = &mut self.screens[at] else { return };
        let alarms = screen.pass.view().alarms.iter();
        let new: Vec<(String, Rank)> = alarms
            .filter(|a| a.state == AlarmState::New)
            .map(|a| (a.key.clone(), a.rank))
            .collect();
        let ring = screen.pass.ring();
        let gathers = |rank| u64::try_from(gathers_ms(rank)).expect("minutes");
        screen.unheard.retain(|key, _| new.iter().any(|(there, _)| there == key));
        for (key, rank) in new.iter().filter(|(key, _)| !screen.rung.contains(key)) {
            self.tally.alarms += 1;
            let last = screen.heard.range(rank..).map(|(_, at)| *at).max();
            let waits = last.is_some_and(|at| now < at + gathers(*rank));
            assert!(ring.is_some() || waits, "{key} came up and nothing sounds");
            screen.unheard.insert(key.clone(), (*rank, now));
        }
        if let Some(ring) = ring {
            screen.unheard.retain(|_, (rank, _)| ring.fresh.is_none() && *rank > ring.rank);
            if ring.fresh.is_some() {
                screen.heard.insert(ring.rank, now);
            }
        }
        for (key, (rank, since)) in &screen.unheard {
            let most = gathers(*rank) + STOPPED_MS + 2 * self.look_ms;
            assert!(now <= since + most, "{key} came up and never sounded");
        }
        screen.rung = new.into_iter().map(|(key, _)| key).collect();
    }

    /// Looks at every screen: it can be drawn; and, if asked, shows what the journal holds and nothing else.
    fn look(&mut self, whole: bool) {
        for at in 0..2 {
            let Some(screen) = &mut self.screens[at] else { continue };
            let Screen { pass, terminal, .. } = screen;
            terminal.draw(|frame| pass.draw(frame)).expect("drawn");
            if whole {
                self.hold_against_journal(at);
            }
        }
    }

    fn hold_against_journal(&self, at: usize) {
        let Some(screen) = &self.screens[at] else { return };
        let read = journal::read::<Event, _>(&self.unfailing(), &path()).expect("a sound journal");
        let held = marks(read.entries);
        let state = screen.pass.state();
        let shown: Vec<Mark> = state.marks().map(|(m, _)| m.clone()).collect();
        assert!(held.starts_with(&shown), "screen {at} shows what the journal does not hold");
        let trouble = screen.pass.status().trouble.as_deref();
        let says_so = trouble.is_some_and(|t| t.starts_with(BEHIND));
        assert!(held.len() <= shown.len() + 1 || says_so, "the journal is ahead of screen {at}");
        if !self.disk.is_durable(&path()) {
            let platter = self.disk.after_power_cut(0);
            let durable = journal::read::<Event, _>(&platter, &path());
            let durable = durable.map_or(Vec::new(), |r| marks(r.entries));
            assert!(durable.starts_with(&shown), "what screen {at} shows is not durable");
        }
        let now_ms = screen.pass.view().now_ms;
        let anew = fold(Arc::clone(&self.evening), &shown);
        assert!(view(&anew, now_ms) == *screen.pass.view(), "folded anew, screen {at} differs");
        self.plan_holds(at, &shown);
    }

    /// The last plan kept every rule when it was adopted.
    fn plan_holds(&self, at: usize, shown: &[Mark]) {
        let is_plan = |m: &Mark| matches!(m.event, Event::PlanAdopted { .. });
        let Some(last) = shown.iter().rposition(is_plan) else { return };
        let Event::PlanAdopted { plan, .. } = &shown[last].event else { return };
        let before = fold(Arc::clone(&self.evening), &shown[..last]);
        let evening = before.evening();
        let Some(profile) = Profile::by_id(&evening.party.guidance) else { return };
        let situation = before.situation(shown[last].at_ms);
        let faults = verify(evening, &situation, profile, plan);
        if let Err(faults) = faults {
            // Right when it was asked for, by the second (an oven cools that fast): a look ago, or
            // as long ago as the slowest answer took.
            let looks = i64::try_from(2 * self.look_ms.max(30_000)).expect("minutes");
            let ago = 1..=(self.slowest_ms + looks) / 1_000;
            let right = |ago: i64| {
                let asked = before.situation(shown[last].at_ms - ago * 1_000);
                verify(evening, &asked, profile, plan).is_ok()
            };
            let held = self.mood != Mood::Prompt || ago.into_iter().any(right);
            assert!(held, "the plan on screen {at} breaks rules: {faults:?}");
        }
    }

    /// The same disk, read without any fault.
    fn unfailing(&self) -> FaultyDisk {
        let copy = FaultyDisk::new();
        if let Some(bytes) = self.disk.contents(Path::new(&path())) {
            copy.put(&path(), &bytes);
        }
        copy
    }

    /// Nothing fails any more: within a while marks are kept, the plan fits, and all screens agree.
    fn well_in_the_end(&mut self) {
        self.disk.set(None);
        (self.mood, self.drift) = (Mood::Prompt, 0);
        self.open(0);
        self.open(1);
        assert!(self.screens[0].is_some(), "the evening opens on a sound disk");
        for key in [KeyCode::Esc, KeyCode::Esc, KeyCode::Esc] {
            self.press(0, key);
            self.press(1, key);
        }
        // On each screen, and once more: what is odd but may be meant is marked when it is said again.
        for (at, degrees) in [(0, 77), (0, 77), (1, 78), (1, 78)] {
            self.take_temperature(at, 0, degrees);
        }
        self.wait(WELL_WITHIN_MS);
        self.look(true);
        for screen in self.screens.iter().flatten() {
            let status = screen.pass.status();
            let trouble = status.trouble.as_deref().unwrap_or_default();
            let unmarked = trouble.starts_with("NOT") || trouble.starts_with("MARKS");
            assert!(!unmarked, "{trouble}");
            let now_ms = screen.pass.view().now_ms;
            let wants = needs_reshuffle(screen.pass.state(), now_ms).map(|why| why.text);
            // The one that plans says that there is none; another one that none has come.
            let says = if status.follows { OWED } else { "No plan" };
            assert!(wants.is_none() || trouble.starts_with(says), "still wants a plan: {wants:?}");
            assert!(wants.is_some() || !trouble.starts_with(OWED), "{trouble}");
        }
        if let [Some(a), Some(b)] = &self.screens {
            let keys = |s: &Screen| -> Vec<String> {
                s.pass.view().alarms.iter().map(|a| a.key.clone()).collect()
            };
            assert_eq!(keys(a), keys(b), "two screens, other alarms");
        }
    }
}

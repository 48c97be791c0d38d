//! The pass: where keys, plans, time and the journal come together. It holds
//! the evening while the program runs and decides what happens next; threads,
//! the terminal and the loop are in [`super::session`].

#[cfg(test)]
mod answers_tests;
mod asking;
mod back;
mod before;
mod decide;
#[cfg(test)]
mod glance_tests;
#[cfg(test)]
mod mended_tests;
mod others;
#[cfg(test)]
mod set_back_tests;
mod sheets;

use std::path::PathBuf;

use ratatui::crossterm::event::{Event as Input, KeyEventKind};

pub use asking::FOUND;
use asking::{Asked, AskedOdds, Inquiry};
pub use others::{BEHIND, OWED};

use super::board::Board;
use super::book::Book;
use super::clock::{Clocks, PartyTime, Ticks, jump_ms};
use super::hand::Hand;
use super::next_time::CooksFiles;
use super::planner::Plans;
use super::reasons::Explains;
use super::ringer::Ringer;
use crate::pages::alarms;
use crate::plan::Plan;
use crate::run::crowd::{self, Crowd};
use crate::run::hand::{Day, Habits};
use crate::run::{self, Event, Mark, State, View};
use crate::screen::{Demo, Hits, Intent, Look, Scene, Status, Ui};

/// A mark is echoed for so long (real ms).
const ECHO_MS: i64 = 8_000;
/// A line to be read once stands for so long (real ms).
const NOTICE_MS: i64 = 20_000;
/// A clock that goes back by less than this is being kept right, not set (ms).
pub const SET_BACK_MS: i64 = 20_000;
/// That it was set back is tried to be marked again after so long (real ms).
const SET_BACK_AGAIN_MS: i64 = 10_000;
/// That an odd mark is meant can be said for so long after it was asked (real ms). Our choice.
const DOUBT_MS: i64 = 60_000;
/// What another screen marked is not answered within this time (real ms).
const OTHERS_MS: i64 = crate::screen::ui::TOO_SOON_MS;
/// Another evening in front: a key that was meant for the one before may still be held down (real ms).
const FRONT_MS: i64 = 700;
/// How a mark that was refused by the disk is announced.
const NOT_MARKED: &str = "NOT MARKED";
/// What is said when the demo is over.
const DEMO_ENDS: &str =
    "The demo is over, its clock stands still: 1 chart, n your own party, q leave.";

/// What is said when a rehearsal is over.
const REHEARSAL_ENDS: &str =
    "The rehearsal is over, its clock stands still: 6 report, 1 chart, q ends it.";

/// What the session has to do after something was handled.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Todo {
    /// Leave the program.
    Leave,
    /// Stop until the shell continues it.
    Suspend,
    /// Draw everything afresh.
    Redraw,
    /// Catch the mouse, or let it go.
    Mouse(bool),
    /// Leave the demo and begin a party of one's own.
    OwnParty,
    /// Play the evening ahead on such a day.
    Rehearse(Day),
}

/// An evening that is open.
pub struct Pass {
    clocks: Clocks,
    time: PartyTime,
    book: Book,
    state: State,
    view: View,
    ui: Ui,
    status: Status,
    look: Look,
    hits: Hits,
    planner: Box<dyn Plans>,
    question: Asked,
    reasoner: Box<dyn Explains>,
    inquiry: Inquiry,
    odds: AskedOdds,
    board: Board,
    /// Where a change for next time goes.
    files: Option<CooksFiles>,
    /// What the evening was looked back at by: the next mark's number, and the minute.
    looked_back: Option<(u64, crate::kitchen::Minute)>,
    /// The planner found no plan at all for the evening as it is.
    without_plan: bool,
    ringer: Ringer,
    hand: Option<Hand>,
    /// A rehearsal, and whose habits play it.
    rehearses: Option<Habits>,
    /// The moments of a rehearsal at which hands were wanted twice.
    crowds: Vec<Crowd>,
    /// The end has been shown.
    ended: bool,
    /// An odd mark that counts if it is pressed again, what was asked about it, and until when (real ms) the answer counts.
    doubted: Option<(Event, String, i64)>,
    /// Another screen was writing at the last look at what others mark.
    behind: bool,
    /// The clock was set back by so much (ms), and the journal does not say so yet.
    set_back_ms: i64,
    /// When that was last tried to be marked (real ms).
    set_back_tried_ms: i64,
    /// Since when another screen owes a plan (real ms).
    owed_since_ms: Option<i64>,
    echo_until_ms: i64,
    notice_until_ms: i64,
    last_ticks: Ticks,
    /// Shown before there is any plan.
    no_plan: Plan,
}

/// What it takes to open an evening.
pub struct Opening {
    /// What happened so far.
    pub state: State,
    /// Where marks go.
    pub book: Book,
    /// The journal that other screens may write too, if there is one.
    pub journal: Option<PathBuf>,
    /// The party's time.
    pub time: PartyTime,
    /// The clocks that it was made with.
    pub clocks: Clocks,
    /// How things look.
    pub look: Look,
    /// A line to be read once.
    pub notice: Option<String>,
    /// The demo's own cook, who marks until the player takes over.
    pub hand: Option<Hand>,
    /// A rehearsal of a real evening: silent, kept nowhere; whose habits play it.
    pub rehearses: Option<Habits>,
    /// The cook's own files, where a change for next time goes; none for the demo and rehearsals.
    pub files: Option<CooksFiles>,
}

impl Pass {
    /// Opens an evening.
    #[must_use]
    pub fn open(
        opening: Opening,
        planner: impl Plans + 'static,
        reasoner: impl Explains + 'static,
        board: Board,
    ) -> Self {
        let ticks = opening.clocks.now();
        let now_ms = opening.time.now_ms(ticks);
        let view = run::view(&opening.state, now_ms);
        let ended = view.ending.as_ref().is_some_and(|e| e.closed);
        let status = Status { notice: opening.notice, ..Status::default() };
        // Who leads has said so when it opened the evening.
        let follows = opening.time == PartyTime::Wall && !opening.book.leads();
        let set_back_ms = if follows { ahead_ms(&opening.state, now_ms) } else { 0 };
        let mut pass = Self {
            clocks: opening.clocks,
            time: opening.time,
            book: opening.book,
            state: opening.state,
            view,
            ui: Ui::default(),
            status,
            look: opening.look,
            hits: Hits::default(),
            planner: Box::new(planner),
            question: Asked::default(),
            reasoner: Box::new(reasoner),
            inquiry: Inquiry::default(),
            odds: AskedOdds::default(),
            board,
            files: opening.files,
            looked_back: None,
            without_plan: false,
            ringer: Ringer::default(),
            hand: opening.hand,
            rehearses: opening.rehearses,
            crowds: Vec::new(),
            ended,
            doubted: None,
            behind: false,
            set_back_ms,
            set_back_tried_ms: 0,
            owed_since_ms: None,
            echo_until_ms: 0,
            notice_until_ms: real_ms(ticks).saturating_add(NOTICE_MS),
            last_ticks: ticks,
            no_plan: Plan::default(),
        };
        pass.settle(ticks);
        pass
    }

    /// The present time by both clocks.
    #[must_use]
    pub fn ticks(&self) -> Ticks {
        self.clocks.now()
    }

    /// All that was marked, and what it adds up to.
    #[must_use]
    pub fn state(&self) -> &State {
        &self.state
    }

    /// The same clocks and look, for another evening beside it.
    #[must_use]
    pub fn clocks_and_look(&self) -> (Clocks, Look) {
        (self.clocks.clone(), self.look)
    }

    /// What the program says about itself.
    #[must_use]
    pub fn status(&self) -> &Status {
        &self.status
    }

    /// What is shown.
    #[must_use]
    pub fn view(&self) -> &View {
        &self.view
    }

    /// Is there no plan to show yet, but one on its way?
    #[must_use]
    pub fn is_planning_first(&self) -> bool {
        self.state.plan().is_none() && self.question.open
    }

    /// How fast the party's time runs.
    #[must_use]
    pub fn speed(&self) -> u32 {
        self.time.speed()
    }

    /// Draws into the whole of a frame.
    pub fn draw(&mut self, frame: &mut ratatui::Frame) {
        let ticks = self.clocks.now();
        let area = frame.area();
        let mut ui = std::mem::take(&mut self.ui);
        ui.window = (area.width, area.height);
        ui.step_back(&self.view, real_ms(ticks));
        let scene = self.scene();
        ui.refresh(&scene, real_ms(ticks));
        let hits = crate::screen::draw(area, frame.buffer_mut(), &scene, &ui);
        (self.ui, self.hits) = (ui, hits);
    }

    fn scene(&self) -> Scene<'_> {
        Scene {
            evening: self.state.evening(),
            plan: self.state.plan().map_or(&self.no_plan, |p| p),
            view: &self.view,
            status: &self.status,
            look: self.look,
        }
    }

    /// Handles a key, a click, a resize.
    pub fn input(&mut self, input: &Input) -> Vec<Todo> {
        let ticks = self.clocks.now();
        self.notice_sleep(ticks);
        let mut ui = std::mem::take(&mut self.ui);
        ui.pressed_ms = Some(real_ms(ticks));
        let intents = {
            let scene = self.scene();
            match input {
                Input::Key(key) if key.kind != KeyEventKind::Release => {
                    ui.key(*key, &scene, real_ms(ticks))
                }
                Input::Mouse(mouse) => ui.mouse(*mouse, &self.hits, &scene, real_ms(ticks)),
                _ => Vec::new(),
            }
        };
        self.ui = ui;
        let todo = intents.into_iter().filter_map(|intent| self.intent(intent, ticks)).collect();
        self.settle(ticks);
        todo
    }

    fn intent(&mut self, intent: Intent, ticks: Ticks) -> Option<Todo> {
        match intent {
            Intent::Mark(event) => self.mark_by_cook(event, ticks),
            Intent::Confirmed(event) => {
                // What was confirmed is the number, not that it fits the one before.
                if !run::marks::is_out_of_order(&self.state, &event, self.view.now_ms) {
                    let asked = run::marks::check(&self.state, &event, self.time.now_ms(ticks));
                    let until_ms = real_ms(ticks).saturating_add(DOUBT_MS);
                    self.doubted =
                        asked.err().map(|refusal| (event.clone(), refusal.text, until_ms));
                }
                self.mark_by_cook(event, ticks);
            }
            Intent::Silence => {
                self.ringer.silence(&self.view.alarms, real_ms(ticks));
                self.ui.say =
                    Some("Silent for five minutes; what is wrong is still wrong.".to_owned());
            }
            Intent::Undo => self.undo(ticks),
            Intent::TakeWay(at) => self.take_way(at, ticks),
            Intent::TakeTry(at) => self.take_try(at, ticks),
            Intent::WriteChange(at) => self.write_change(at),
            Intent::WriteSheet(at) => self.write_sheet(at),
            Intent::Try(typed) => self.type_try(&typed),
            Intent::Leave => return Some(Todo::Leave),
            Intent::Suspend => return Some(Todo::Suspend),
            Intent::Redraw => return Some(Todo::Redraw),
            Intent::OwnParty => return Some(Todo::OwnParty),
            Intent::Rehearse(day) => return Some(Todo::Rehearse(day)),
            Intent::Faster => self.time.shift(true, ticks),
            Intent::Slower => self.time.shift(false, ticks),
            Intent::Pause => self.time.pause(ticks),
            Intent::Mouse => {
                self.status.mouse = !self.status.mouse;
                return Some(Todo::Mouse(self.status.mouse));
            }
        }
        None
    }

    /// The player has marked something in the demo: from here on it is theirs.
    fn release_hand(&mut self, event: &Event) {
        let of_the_food = !matches!(
            event,
            Event::AlarmAcknowledged { .. }
                | Event::AlarmPutOff { .. }
                | Event::AlarmAnswered { .. }
                | Event::ClockSetBack { .. }
                | Event::Ticked { .. }
        );
        if of_the_food && self.hand.take().is_some() {
            self.say_once("The kitchen is yours: the cook who played here has put the apron down.");
        }
    }

    /// Marks what the cook pressed, unless it makes no sense; what is odd but
    /// may be meant is marked when it is pressed a second time.
    fn mark_by_cook(&mut self, event: Event, ticks: Ticks) {
        if self.stands(&event, ticks) {
            self.release_hand(&event);
            self.mark(event, ticks);
        }
    }

    /// Does a mark make sense, or was it pressed again after it was asked about? What is asked now must be what was
    /// asked then: the evening goes on, and another doubt is another question.
    fn stands(&mut self, event: &Event, ticks: Ticks) -> bool {
        let real = real_ms(ticks);
        let doubted = self.doubted.take().filter(|(.., until_ms)| real < *until_ms);
        let Err(refusal) = run::marks::check(&self.state, event, self.time.now_ms(ticks)) else {
            return true;
        };
        let is_same = |(of, asked, _): &(Event, String, i64)| of == event && *asked == refusal.text;
        if refusal.may_insist && doubted.as_ref().is_some_and(is_same) {
            return true;
        }
        let more = if refusal.may_insist { " Press again to mark it all the same." } else { "" };
        self.ui.say = Some(format!("{}{more}", refusal.text));
        let until_ms = real.saturating_add(DOUBT_MS);
        self.doubted = refusal.may_insist.then(|| (event.clone(), refusal.text, until_ms));
        false
    }

    /// Appends an event; it counts once it is on the disk. What other screens have marked meanwhile comes first,
    /// and may leave nothing to mark.
    fn mark(&mut self, event: Event, ticks: Ticks) -> Option<Mark> {
        let known = self.state.next_seq();
        // Before it is known that the clock was set back, a mark by the new one would move with the old ones.
        if !self.tell_set_back(ticks) {
            return None;
        }
        self.write(event, known, ticks)
    }

    /// Marks by how much the clock was set back, if the journal does not say so yet. False if it could not be.
    fn tell_set_back(&mut self, ticks: Ticks) -> bool {
        // A second time if a part of it turns out to be told already.
        for _ in 0..2 {
            let by_ms = self.set_back_ms;
            if by_ms == 0 {
                break;
            }
            self.set_back_tried_ms = real_ms(ticks);
            let known = self.state.next_seq();
            if self.write(Event::ClockSetBack { by_ms }, known, ticks).is_some() {
                self.set_back_ms = 0;
            }
        }
        self.set_back_ms == 0
    }

    /// Writes what was decided on while this screen knew of the marks before number `known`.
    fn write(&mut self, event: Event, known: u64, ticks: Ticks) -> Option<Mark> {
        let at_ms = self.time.now_ms(ticks);
        let regained = self.mend_book();
        let marked = match self.book.begin() {
            Ok(others) => {
                self.take_in(&others, ticks);
                let stands = regained.iter().any(|mark| mark.event == event);
                if self.is_overtaken(&event, known, stands, ticks) {
                    self.book.end();
                    return None;
                }
                self.book.append(at_ms, ticks, event)
            }
            Err(e) => Err(e),
        };
        self.book.end();
        match marked {
            Ok(mark) => {
                self.is_over(NOT_MARKED);
                self.state.apply(&mark);
                if let Some(words) = run::echo(&self.state, &mark) {
                    self.status.echo = Some(words);
                    self.echo_until_ms = real_ms(ticks).saturating_add(ECHO_MS);
                }
                Some(mark)
            }
            Err(e) => {
                self.status.trouble = Some(format!("{NOT_MARKED}: {e}"));
                None
            }
        }
    }

    /// After a failed write: tries to go on in a fresh file, and folds the
    /// evening again from what it holds (the failed mark may or may not be in it).
    /// Returns the marks in it that were not known here.
    fn mend_book(&mut self) -> Vec<Mark> {
        let Some(mut marks) = self.book.mend() else { return Vec::new() };
        let known = self.state.next_seq();
        self.state = run::fold(std::sync::Arc::clone(self.state.party()), &marks);
        self.status.trouble = None;
        self.say_once("Marks are saved again. Look over the last ones: one may be missing.");
        marks.retain(|mark| mark.seq >= known);
        self.hear_of_the_clock(&marks);
        marks
    }

    fn undo(&mut self, ticks: Ticks) {
        match run::marks::undo(&self.state) {
            Ok(event) => {
                self.mark(event, ticks);
            }
            Err(refusal) => self.ui.say = Some(refusal.text),
        }
    }

    /// Puts up something that the cook must know about the program.
    pub fn trouble(&mut self, words: &str) {
        self.status.trouble = Some(words.replace('\n', " "));
    }

    /// Takes the trouble down that begins so: it is over.
    fn is_over(&mut self, beginning: &str) {
        self.status.trouble.take_if(|words| words.starts_with(beginning));
    }

    /// Puts up a line to be read once.
    pub fn say_once(&mut self, words: &str) {
        self.status.notice = Some(words.to_owned());
        self.notice_until_ms = real_ms(self.clocks.now()).saturating_add(NOTICE_MS);
    }

    /// Time has passed (or something happened): brings everything up to date.
    pub fn tick(&mut self) {
        let ticks = self.clocks.now();
        self.settle(ticks);
    }

    fn settle(&mut self, ticks: Ticks) {
        self.notice_sleep(ticks);
        let again_ms = self.set_back_tried_ms.saturating_add(SET_BACK_AGAIN_MS);
        if self.book.leads() && real_ms(ticks) >= again_ms {
            self.tell_set_back(ticks);
        }
        let now_ms = self.time.now_ms(ticks);
        self.play(now_ms, ticks);
        self.view = run::view(&self.state, now_ms);
        if self.rehearses.is_some() {
            crowd::notice(&mut self.crowds, &self.state, &self.view);
        }
        self.end_once(ticks);
        self.ask(now_ms, ticks);
        self.wait_for_the_plan(ticks);
        self.inquire(now_ms, ticks);
        self.ask_odds(now_ms, ticks);
        self.look_at_board(now_ms);
        self.look_at_lists();
        let real = real_ms(ticks);
        if real >= self.echo_until_ms {
            self.status.echo = None;
        }
        if real >= self.notice_until_ms {
            self.status.notice = None;
        }
        self.status.undo = self.state.last_undoable().and_then(|m| run::echo(&self.state, m));
        self.status.demo = match self.time {
            PartyTime::Wall => None,
            PartyTime::Demo(_) => {
                let speed = self.time.speed();
                Some(Demo { speed: speed.max(1), paused: speed == 0, rehearses: self.rehearses })
            }
        };
        self.status.follows = !self.book.leads();
        self.status.thinking = self.question.open;
        self.status.report =
            if self.view.ending.is_some() || self.ui.page == crate::screen::Page::Report {
                self.report(now_ms)
            } else {
                Vec::new()
            };
        self.look_back(now_ms);
        if let Some(why) = self.book.broken() {
            self.status.trouble =
                Some(format!("MARKS ARE NOT SAVED: {why}. Leave, make room, start again."));
        }
    }

    fn report(&self, now_ms: i64) -> Vec<String> {
        let text = run::report::report(&self.state, now_ms).text(&self.state);
        let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
        if let Some(Habits { seed, day }) = self.rehearses {
            let mut head =
                vec![format!("A rehearsal, {} {seed}: none of this happened.", day.words())];
            head.extend(crowd::lines(&self.crowds, &self.state));
            head.push(String::new());
            lines.splice(0..0, head);
        }
        lines
    }

    /// At the end of the evening the report comes up by itself, once; the
    /// demo's clock stops.
    fn end_once(&mut self, ticks: Ticks) {
        let ended = self.view.ending.as_ref().is_some_and(|e| e.closed);
        if ended && !std::mem::replace(&mut self.ended, ended) {
            self.ui.show_report();
            if self.time.speed() > 0 && self.time != PartyTime::Wall {
                self.time.pause(ticks);
                self.say_once(if self.rehearses.is_some() { REHEARSAL_ENDS } else { DEMO_ENDS });
            }
        }
        self.ended = ended;
    }

    /// Tells what came due while the computer slept or its clock was changed.
    fn notice_sleep(&mut self, ticks: Ticks) {
        let jump = jump_ms(self.last_ticks, ticks);
        self.last_ticks = ticks;
        if jump == 0 || self.time != PartyTime::Wall {
            return;
        }
        if jump < -SET_BACK_MS {
            // By the clock as it is now, all that was marked happened earlier. The screen that plans says so at once,
            // another one before it marks anything, if it has not been said by then.
            self.set_back_ms = self.set_back_ms.saturating_sub(jump);
            if self.book.leads() {
                self.tell_set_back(ticks);
            }
        }
        let minutes = jump.abs() / 60_000;
        let words = match (jump > 0, minutes) {
            (_, 0) => return,
            (true, _) => format!("The clock went on {minutes} min while nothing ran here."),
            (false, _) => format!("The clock was set back by {minutes} min."),
        };
        // The key that woke the computer marks nothing.
        self.ui.startle(real_ms(ticks), FRONT_MS);
        // A plan that is still being made is for a time that is not now.
        self.question.drop_it();
        let missed = self.came_due_meanwhile(ticks);
        self.say_once(&format!("{words}{missed} Everything below is by the time it shows now."));
    }

    /// The alarms that came due while the computer slept, in words. The list has them in order of danger.
    fn came_due_meanwhile(&self, ticks: Ticks) -> String {
        let known = |key: &str| self.view.alarms.iter().any(|a| a.key == key);
        let alarms = run::view(&self.state, self.time.now_ms(ticks)).alarms;
        let fresh = |a: &&run::Alarm| a.state == run::AlarmState::New && !known(&a.key);
        match alarms.iter().filter(fresh).count() {
            0 => String::new(),
            1 => " An alarm came due meanwhile (5).".to_owned(),
            n => format!(" {n} alarms came due meanwhile, the worst on top (5)."),
        }
    }

    /// Lets the demo's cook mark what they do.
    fn play(&mut self, now_ms: i64, ticks: Ticks) {
        // Bounded: one look never marks more than a handful of things.
        for _ in 0..20 {
            let Some(hand) = &self.hand else { return };
            let Some(event) = hand.next(&self.state, now_ms) else { return };
            if self.mark(event, ticks).is_none() {
                return;
            }
        }
    }

    /// What sounds now. A rehearsal is silent: what sounds is real.
    pub fn ring(&mut self) -> Option<super::ringer::Ring> {
        if self.rehearses.is_some() {
            return None;
        }
        let real = real_ms(self.clocks.now());
        self.ringer.ring(&self.view.alarms, real, super::sound::again_after_ms)
    }

    /// This evening has come to the front by itself: a key that was meant for what was there before is not for it.
    pub fn come_to_the_front(&mut self) {
        self.ui.come_forward(real_ms(self.clocks.now()), FRONT_MS);
    }

    /// Alarms that came, as `potwatch alarms --json` prints them; nothing if they are gone already.
    #[must_use]
    pub fn came(&self, keys: &[String]) -> Option<String> {
        let page = alarms::alarms(self.state.evening(), &self.view).of_keys(keys)?;
        serde_json::to_string(&page).ok().map(|text| text + "\n")
    }

    /// The cook works so far from the screen, in metres.
    pub fn stand_at(&mut self, distance_m: Option<u8>) {
        self.ui.distance_m = distance_m;
        self.ui.step_back(&self.view, 0);
    }

    /// What is said beyond the screen of a new alarm, or of the bundle that it is in: title and what to do.
    #[must_use]
    pub fn words_of(&self, key: &str) -> Option<(String, String)> {
        let alarms = &self.view.alarms;
        let evening = self.state.evening();
        if let Some(bundle) = run::alarms::bundle_of(evening, alarms, key, self.view.now_ms) {
            let words = bundle.words();
            return Some((bundle.title, words));
        }
        let alarm = alarms.iter().find(|a| a.key == key)?;
        Some((alarm.title.clone(), alarm.remedy.clone()))
    }

    /// Real milliseconds until something changes by itself. `None`: nothing will.
    #[must_use]
    pub fn wait_ms(&self) -> Option<u64> {
        let ticks = self.clocks.now();
        let real = real_ms(ticks);
        let scene_ms = crate::screen::next_change_ms(&self.scene(), &self.ui);
        let hand_ms = self.hand.as_ref().map(|h| h.next_ms(self.view.now_ms));
        let party_ms = hand_ms.map_or(scene_ms, |ms| ms.min(scene_ms));
        let by_party = self.time.real_ms_until(party_ms, ticks);
        let until = |at: i64| u64::try_from(at.saturating_sub(real)).unwrap_or(0);
        let sounds = self.rehearses.is_none().then_some(&self.ringer);
        let by_sound = sounds
            .and_then(|r| r.next_ms(&self.view.alarms, super::sound::again_after_ms))
            .map(until);
        let by_echo = self.status.echo.is_some().then(|| until(self.echo_until_ms));
        let by_notice = self.status.notice.is_some().then(|| until(self.notice_until_ms));
        let held = self.held_until_ms().filter(|at| self.time.speed() > 1 && *at > real);
        let by_hold = held.map(until);
        [by_party, by_sound, by_echo, by_notice, by_hold].into_iter().flatten().min()
    }
}

/// So far ahead of the clock lies the last mark if the clock was set back since (ms); else 0.
fn ahead_ms(state: &State, now_ms: i64) -> i64 {
    let ahead = state.marks().last().map_or(0, |(m, _)| m.at_ms.saturating_sub(now_ms));
    if ahead > SET_BACK_MS { ahead } else { 0 }
}

/// The clock by which presses, echoes and sounds are timed: it never goes back.
fn real_ms(ticks: Ticks) -> i64 {
    i64::try_from(ticks.mono_ms).unwrap_or(i64::MAX)
}

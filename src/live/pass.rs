//! The pass: where keys, plans, time and the journal come together. It holds
//! the evening while the program runs and decides what happens next; threads,
//! the terminal and the loop are in [`super::session`].

mod decide;

use std::time::Duration;

use ratatui::crossterm::event::{Event as Input, KeyEventKind};

use super::board::Board;
use super::book::Book;
use super::clock::{Clocks, PartyTime, Ticks, jump_ms};
use super::hand::Hand;
use super::planner::{OddsQuestion, Offer, Planner, Question, Told};
use super::reasons::{Query, Reasoned, Reasoner};
use super::ringer::Ringer;
use crate::plan::{Plan, StepKey, change, why};
use crate::run::{self, Event, Mark, State, View};
use crate::screen::{Demo, Hits, Intent, Look, Scene, Status, Ui};

/// How long the search may go on after a key was pressed or something drifted.
const RESHUFFLE_BUDGET: Duration = Duration::from_millis(1200);
/// How long it may go on for the first plan of an evening.
const FIRST_BUDGET: Duration = Duration::from_secs(4);
/// A mark is echoed for so long (real ms).
const ECHO_MS: i64 = 8_000;
/// A line to be read once stands for so long (real ms).
const NOTICE_MS: i64 = 20_000;
/// Without a mark in between, the same wish for a plan is asked again no sooner (real ms).
const ASK_AGAIN_MS: i64 = 900;
/// A clock that goes back by less than this is being kept right, not set (ms).
pub const SET_BACK_MS: i64 = 20_000;
/// Without a mark or another plan, the chances are asked again no sooner (real ms).
const ODDS_AGAIN_MS: i64 = 5_000;
/// How a mark that was refused by the disk is announced.
const NOT_MARKED: &str = "NOT MARKED";
/// What is said when the demo is over.
const DEMO_ENDS: &str =
    "The demo is over, its clock stands still: 1 chart, n your own party, q leave.";
/// While time goes on, the same block is explained anew no sooner (real ms).
const REASON_AGAIN_MS: i64 = 10_000;
/// A later plan of the same question is taken if it saves at least one part in so many.
const WORTH_A_MOVE: i64 = 200;

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
    planner: Planner,
    question: Asked,
    reasoner: Reasoner,
    inquiry: Inquiry,
    odds: AskedOdds,
    board: Board,
    /// The planner found no plan at all for the evening as it is.
    without_plan: bool,
    ringer: Ringer,
    hand: Option<Hand>,
    /// The end has been shown.
    ended: bool,
    /// An odd mark that counts if it is pressed again.
    doubted: Option<Event>,
    echo_until_ms: i64,
    notice_until_ms: i64,
    last_ticks: Ticks,
    /// Shown before there is any plan.
    no_plan: Plan,
}

/// The question that the planner works on, or worked on last.
#[derive(Debug, Clone, Default)]
struct Asked {
    turn: u64,
    open: bool,
    at_real_ms: i64,
    /// How many marks there were.
    marks: u64,
    /// The plan on the screen when it was asked.
    before: Option<std::sync::Arc<Plan>>,
    adopted: bool,
}

/// The question about a block that was put last.
#[derive(Debug, Clone, Default)]
struct Inquiry {
    turn: u64,
    key: Option<StepKey>,
    /// The plan on the screen when it was put.
    plan: Option<std::sync::Arc<Plan>>,
    /// How many marks there were.
    marks: u64,
    at_real_ms: i64,
}

/// What was last asked about the chances of the services.
#[derive(Debug, Clone, Default)]
struct AskedOdds {
    turn: u64,
    at_real_ms: i64,
    /// How many marks there were.
    marks: u64,
    /// The party's minute.
    minute: crate::kitchen::Minute,
    /// The plan that was played forward.
    plan: Option<std::sync::Arc<Plan>>,
}

/// What it takes to open an evening.
pub struct Opening {
    /// What happened so far.
    pub state: State,
    /// Where marks go.
    pub book: Book,
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
}

impl Pass {
    /// Opens an evening.
    #[must_use]
    pub fn open(opening: Opening, planner: Planner, reasoner: Reasoner, board: Board) -> Self {
        let ticks = opening.clocks.now();
        let now_ms = opening.time.now_ms(ticks);
        let view = run::view(&opening.state, now_ms);
        let ended = view.ending.as_ref().is_some_and(|e| e.closed);
        let status = Status { notice: opening.notice, ..Status::default() };
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
            planner,
            question: Asked::default(),
            reasoner,
            inquiry: Inquiry::default(),
            odds: AskedOdds::default(),
            board,
            without_plan: false,
            ringer: Ringer::default(),
            hand: opening.hand,
            ended,
            doubted: None,
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
        let mut ui = std::mem::take(&mut self.ui);
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
                    self.doubted = Some(event.clone());
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
            Intent::Try(typed) => self.type_try(&typed),
            Intent::Leave => return Some(Todo::Leave),
            Intent::Suspend => return Some(Todo::Suspend),
            Intent::Redraw => return Some(Todo::Redraw),
            Intent::OwnParty => return Some(Todo::OwnParty),
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
        );
        if of_the_food && self.hand.take().is_some() {
            self.say_once("The kitchen is yours: the demo's cook has put the apron down.");
        }
    }

    /// Marks what the cook pressed, unless it makes no sense; what is odd but
    /// may be meant is marked when it is pressed a second time.
    fn mark_by_cook(&mut self, event: Event, ticks: Ticks) {
        let insisted = self.doubted.take().is_some_and(|doubted| doubted == event);
        match run::marks::check(&self.state, &event, self.time.now_ms(ticks)) {
            Err(refusal) if refusal.may_insist && insisted => {}
            Err(refusal) => {
                let more =
                    if refusal.may_insist { " Press again to mark it all the same." } else { "" };
                self.ui.say = Some(format!("{}{more}", refusal.text));
                self.doubted = refusal.may_insist.then_some(event);
                return;
            }
            Ok(()) => {}
        }
        self.release_hand(&event);
        self.mark(event, ticks);
    }

    /// Appends an event; it counts once it is on the disk.
    fn mark(&mut self, event: Event, ticks: Ticks) -> Option<Mark> {
        let at_ms = self.time.now_ms(ticks);
        self.mend_book();
        match self.book.append(at_ms, ticks, event) {
            Ok(mark) => {
                if self.status.trouble.as_deref().is_some_and(|t| t.starts_with(NOT_MARKED)) {
                    self.status.trouble = None;
                }
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
    fn mend_book(&mut self) {
        if let Some(marks) = self.book.mend() {
            self.state = run::fold(std::sync::Arc::clone(self.state.party()), &marks);
            self.status.trouble = None;
            self.say_once("Marks are saved again. Look over the last ones: one may be missing.");
        }
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

    /// Puts up a line to be read once.
    pub fn say_once(&mut self, words: &str) {
        self.status.notice = Some(words.to_owned());
        self.notice_until_ms = real_ms(self.clocks.now()).saturating_add(NOTICE_MS);
    }

    /// Takes what the planner's thread tells.
    pub fn told(&mut self, told: Told) {
        match told {
            Told::Offer(offer) => self.offer(offer),
            // An answer to an older question is not shown: another is on its way.
            Told::Odds(turn, odds) if turn == self.odds.turn => self.status.odds = Some(odds),
            Told::Odds(..) => {}
        }
    }

    /// Asks how the services fare: after each mark and each plan, and as time
    /// goes by. What is shown is of the plan in force and not older than that.
    fn ask_odds(&mut self, now_ms: i64, ticks: Ticks) {
        let Some(in_force) = &self.state.facts().plan else {
            self.status.odds = None;
            return;
        };
        let (real, marks, minute) =
            (real_ms(ticks), self.state.next_seq(), self.state.minute(now_ms));
        let plan = std::sync::Arc::clone(&in_force.plan);
        let same = |asked: &std::sync::Arc<Plan>| std::sync::Arc::ptr_eq(asked, &plan);
        let other_plan = !self.odds.plan.as_ref().is_some_and(same);
        if other_plan {
            self.status.odds = None;
        }
        let later = minute != self.odds.minute && real >= self.odds.at_real_ms + ODDS_AGAIN_MS;
        if !(other_plan || marks != self.odds.marks || later) {
            return;
        }
        let turn = self.odds.turn + 1;
        let asked = Some(std::sync::Arc::clone(&plan));
        self.odds = AskedOdds { turn, at_real_ms: real, marks, minute, plan: asked };
        self.planner.ask_odds(OddsQuestion {
            turn,
            evening: std::sync::Arc::clone(self.state.evening()),
            situation: self.state.situation(now_ms),
            plan,
        });
    }

    /// Takes a plan that the planner offers, if it still answers the question.
    pub fn offer(&mut self, offer: Offer) {
        if offer.turn != self.question.turn {
            return;
        }
        let ticks = self.clocks.now();
        self.question.open = !offer.last;
        match offer.plan {
            Ok(plan) if self.state.next_seq() == self.question.marks => {
                if offer.last || !self.is_a_setback(&plan) {
                    self.adopt(*plan, &offer.why, ticks);
                }
            }
            // Marked in the meantime: `settle` asks anew if that is wanted.
            Ok(_) => self.question.open = false,
            Err(words) => {
                self.without_plan = true;
                let words = format!("No plan meets all of it (7: ways out): {words}");
                if self.status.trouble.as_deref().is_none_or(|t| !t.starts_with("NOT")) {
                    self.status.trouble = Some(words);
                }
            }
        }
        self.settle(ticks);
    }

    /// Does a plan made in moments make a service late that the one on the screen does not? Then
    /// the better one that follows within a second or so is worth waiting for: an alarm
    /// that comes and goes by itself helps nobody.
    fn is_a_setback(&self, plan: &Plan) -> bool {
        let late = |plan: &Plan| -> i64 {
            let of = |line: &crate::plan::ServiceLine| {
                let served = line.dishes.iter().map(|d| d.2).max().unwrap_or(line.due);
                i64::from(served.saturating_sub(line.due).max(0))
            };
            plan.services.iter().map(of).sum()
        };
        self.state.plan().is_some_and(|shown| late(plan) > late(shown))
    }

    /// Takes what was worked out about a block, if it is still what is asked.
    /// What was known stays while the plan is being put right.
    pub fn reasoned(&mut self, told: Reasoned) {
        let same = |a: &std::sync::Arc<why::Answer>| a.key == told.answer.key;
        let known = self.status.why.as_ref().filter(|a| same(a)).is_some_and(|a| a.done);
        let news = told.answer.done || !known;
        if told.turn == self.inquiry.turn && news && (told.answer.why.is_some() || !known) {
            self.status.why = Some(told.answer);
        }
    }

    /// Asks for what the opened explanation shows, and again when the plan or the marks change.
    fn inquire(&mut self, now_ms: i64, ticks: Ticks) {
        let key = self.ui.why_key(&self.scene());
        let (Some(key), Some(plan)) = (key, self.state.plan().cloned()) else {
            if self.inquiry.key.take().is_some() {
                self.inquiry.turn += 1;
                self.reasoner.hush(self.inquiry.turn);
                self.status.why = None;
            }
            return;
        };
        let (asked, marks, real) = (&self.inquiry, self.state.next_seq(), real_ms(ticks));
        let other = asked.key != Some(key);
        let changed = asked.marks != marks
            || asked.plan.as_ref().is_none_or(|p| !std::sync::Arc::ptr_eq(p, &plan));
        let old = real >= asked.at_real_ms.saturating_add(REASON_AGAIN_MS);
        if !(other || changed || old) {
            return;
        }
        if other {
            self.status.why = None;
        }
        let turn = asked.turn + 1;
        let of_plan = Some(std::sync::Arc::clone(&plan));
        self.inquiry = Inquiry { turn, key: Some(key), plan: of_plan, marks, at_real_ms: real };
        self.reasoner.ask(Query {
            turn,
            evening: std::sync::Arc::clone(self.state.evening()),
            situation: self.state.situation(now_ms),
            plan,
            key,
        });
    }

    fn adopt(&mut self, plan: Plan, why: &str, ticks: Ticks) {
        if self.question.adopted
            && let Some(now) = self.state.plan()
        {
            let saved = now.cost.total().saturating_sub(plan.cost.total());
            let known_better = plan.bound > now.bound || plan.proof != now.proof;
            let same = now.blocks == plan.blocks && now.holds == plan.holds;
            let same_room = now.room == plan.room;
            let little = saved <= now.cost.total().abs() / WORTH_A_MOVE;
            if same_room && little && !(same && known_better) {
                return;
            }
        }
        let change = match &self.question.before {
            Some(before) => change::describe(self.state.evening(), before, &plan, why),
            None => crate::plan::Change::default(),
        };
        let event =
            Event::PlanAdopted { plan: Box::new(plan), moved: change.moved, why: change.why };
        if self.mark(event, ticks).is_some() {
            self.without_plan = false;
            self.question.adopted = true;
            self.question.marks = self.state.next_seq();
            if self.status.trouble.as_deref().is_some_and(|t| t.starts_with("No plan")) {
                self.status.trouble = None;
            }
        }
    }

    /// Time has passed (or something happened): brings everything up to date.
    pub fn tick(&mut self) {
        let ticks = self.clocks.now();
        self.settle(ticks);
    }

    fn settle(&mut self, ticks: Ticks) {
        self.notice_sleep(ticks);
        let now_ms = self.time.now_ms(ticks);
        self.play(now_ms, ticks);
        self.view = run::view(&self.state, now_ms);
        self.end_once(ticks);
        self.ask(now_ms, ticks);
        self.inquire(now_ms, ticks);
        self.ask_odds(now_ms, ticks);
        self.look_at_board(now_ms);
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
                Some(Demo { speed: self.time.speed().max(1), paused: self.time.speed() == 0 })
            }
        };
        self.status.thinking = self.question.open;
        self.status.report =
            if self.view.ending.is_some() || self.ui.page == crate::screen::Page::Report {
                run::report::report(&self.state, now_ms)
                    .text(&self.state)
                    .lines()
                    .map(str::to_owned)
                    .collect()
            } else {
                Vec::new()
            };
        if let Some(why) = self.book.broken() {
            self.status.trouble =
                Some(format!("MARKS ARE NOT SAVED: {why}. Leave, make room, start again."));
        }
    }

    /// At the end of the evening the report comes up by itself, once; the
    /// demo's clock stops.
    fn end_once(&mut self, ticks: Ticks) {
        let ended = self.view.ending.as_ref().is_some_and(|e| e.closed);
        if ended && !std::mem::replace(&mut self.ended, ended) {
            self.ui.show_report();
            if self.time.speed() > 0 && self.time != PartyTime::Wall {
                self.time.pause(ticks);
                self.say_once(DEMO_ENDS);
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
            // By the clock as it is now, all that was marked happened earlier.
            self.mark(Event::ClockSetBack { by_ms: -jump }, ticks);
        }
        let minutes = jump.abs() / 60_000;
        let words = match (jump > 0, minutes) {
            (_, 0) => return,
            (true, _) => format!("The clock went on {minutes} min while nothing ran here."),
            (false, _) => format!("The clock was set back by {minutes} min."),
        };
        self.say_once(&format!("{words} Everything below is by the time it shows now."));
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

    fn ask(&mut self, now_ms: i64, ticks: Ticks) {
        let marks = self.state.next_seq();
        let real = real_ms(ticks);
        let marked_since = marks != self.question.marks;
        let waits = !marked_since && real < self.question.at_real_ms.saturating_add(ASK_AGAIN_MS);
        if waits || (self.question.open && !marked_since) {
            return;
        }
        let Some(why) = run::needs_reshuffle(&self.state, now_ms) else {
            self.question.open &= !marked_since;
            return;
        };
        let before = self.state.plan().cloned();
        let budget = if before.is_some() { RESHUFFLE_BUDGET } else { FIRST_BUDGET };
        self.question = Asked {
            turn: self.question.turn + 1,
            open: true,
            at_real_ms: real,
            marks,
            before,
            adopted: false,
        };
        self.planner.ask(Question {
            turn: self.question.turn,
            evening: std::sync::Arc::clone(self.state.evening()),
            situation: self.state.situation(now_ms),
            why: why.text,
            budget,
        });
    }

    /// What sounds now.
    pub fn ring(&mut self) -> Option<super::ringer::Ring> {
        let real = real_ms(self.clocks.now());
        self.ringer.ring(&self.view.alarms, real, super::sound::again_after_ms)
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
        let by_sound =
            self.ringer.next_ms(&self.view.alarms, super::sound::again_after_ms).map(until);
        let by_echo = self.status.echo.is_some().then(|| until(self.echo_until_ms));
        let by_notice = self.status.notice.is_some().then(|| until(self.notice_until_ms));
        [by_party, by_sound, by_echo, by_notice].into_iter().flatten().min()
    }
}

/// The clock by which presses, echoes and sounds are timed: it never goes back.
fn real_ms(ticks: Ticks) -> i64 {
    i64::try_from(ticks.mono_ms).unwrap_or(i64::MAX)
}

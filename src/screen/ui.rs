//! What the cook has opened and chosen, and what presses do to it. Nothing
//! about the food is kept here: that is in the events.

mod pages;
mod pointer;
mod press;
mod watch;

pub use pages::{Book, Face, Page};
pub use watch::{TOO_SOON_MS, Watch};

use super::Scene;
use super::card::Card;
use super::chart::Zoom;
use crate::plan::{StepKey, why};
use crate::run::alarms::{self, Bundle};
use crate::run::{Alarm, AlarmState, View};

/// A block that can be chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sel {
    /// A load of a step.
    Step(StepKey),
    /// A dish that waits for its service.
    Hold(usize),
}

/// How the explanation of a block is looked at.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct WhyView {
    /// Which of the minutes late is shown: an index into [`why::late::MINUTES`].
    pub late: usize,
    /// Lines scrolled past.
    pub scroll: usize,
}

/// The state of the screen.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Ui {
    /// The page in front.
    pub page: Page,
    /// The page of the other book that was in front last.
    pub other: Option<Page>,
    /// The face of the report.
    pub face: Face,
    /// A card over it.
    pub card: Option<Card>,
    /// The zoom of the chart.
    pub zoom: Zoom,
    /// Every lane is shown.
    pub all_lanes: bool,
    /// Lanes scrolled past.
    pub lane_scroll: usize,
    /// The block chosen on the chart.
    pub selected: Option<Sel>,
    /// The explanation of the chosen block, while it is open on the chart.
    pub why: Option<WhyView>,
    /// The row chosen on a page with a list.
    pub row: usize,
    /// The cook has moved on the list of the plan; until then it follows the clock.
    pub moved: bool,
    /// What the screen itself has to say to the last press.
    pub say: Option<String>,
    /// What was on the screen since when.
    pub watch: Watch,
    /// Columns and rows of the window at the last drawing.
    pub window: (u16, u16),
    /// How far from the screen the cook works, metres, if they said so.
    pub distance_m: Option<u8>,
    /// When the cook last pressed a key or clicked (real ms).
    pub pressed_ms: Option<i64>,
}

/// From so many metres ordinary type cannot be read: a letter should be seen under a third of a
/// degree (20 minutes of arc; ISO 9241-303, from memory), 6 mm for each metre, and the capitals
/// of a laptop's terminal are some 3 mm (common practice, no source). The smallest big type, of
/// three and a half rows, does for three metres.
pub const FAR_M: u8 = 2;
/// From so many metres the smallest big type does not do: little is shown, as large as it goes.
pub const FARTHER_M: u8 = 4;
/// A cook who stands far off has gone back to the stove when no key was pressed for so long (ms). Our choice.
const REST_MS: i64 = 120_000;
/// What wants hands within this time is worth being read from afar (ms). Our choice.
const SOON_MS: i64 = 60 * 60_000;

/// Is something being cooked, or wanted within the hour?
fn is_under_way(view: &View) -> bool {
    let soon = view.next.first().is_some_and(|p| p.due_ms - view.now_ms <= SOON_MS);
    let busy = !(view.do_now.is_empty() && view.running.is_empty() && view.holding.is_empty());
    view.ending.is_none() && (soon || busy)
}

impl Ui {
    /// Brings big type to the front for a cook who works far from the screen, once they have left
    /// the chart alone for two minutes (`real_ms`: any clock that runs in real time) and there is
    /// something to be read. Call before drawing, never between a look and a press.
    pub fn step_back(&mut self, view: &View, real_ms: i64) {
        let is_far = self.distance_m.is_some_and(|m| m >= FAR_M);
        let rests = self.pressed_ms.is_none_or(|at| real_ms.saturating_sub(at) >= REST_MS);
        let on_chart = self.page == Page::Chart && self.card.is_none() && self.why.is_none();
        if is_far && rests && on_chart && is_under_way(view) {
            self.page = Page::Big;
        }
    }

    /// Takes note of what is on the screen: call before drawing and before
    /// each press. `real_ms` is any clock that runs in real time.
    pub fn refresh(&mut self, scene: &Scene, real_ms: i64) {
        self.watch.note(scene, real_ms);
        self.keep_to_what_is_drawn();
        if self.page == Page::Plan && !self.moved {
            self.row = super::page::plan_now(scene);
        }
        self.stay_with_the_row(scene, real_ms);
        let rows = super::page::rows(scene, self);
        self.row = self.row.min(rows.saturating_sub(1));
        if let Some(sel) = self.selected
            && !exists(scene, sel)
        {
            self.selected = None;
        }
        if self.page != Page::Chart || self.selected.is_none() {
            self.why = None;
        }
    }

    /// The load that the opened explanation is about: of a dish that waits,
    /// the one that it came from.
    #[must_use]
    pub fn why_key(&self, scene: &Scene) -> Option<StepKey> {
        self.why?;
        match self.selected? {
            Sel::Step(key) => Some(key),
            Sel::Hold(dish) => {
                let step = scene.evening.sheets.get(dish)?.last_step();
                Some(StepKey { dish, step, load: 0 })
            }
        }
    }

    /// What moves if the block is late, as opened and as far as it is worked out.
    #[must_use]
    pub fn why_late<'a>(&self, scene: &Scene<'a>) -> Option<&'a why::late::Late> {
        let key = self.why_key(scene)?;
        let answer = scene.status.why.as_ref().filter(|a| a.key == key)?;
        let minutes = why::late::MINUTES.get(self.why?.late)?;
        answer.late.iter().find(|l| l.minutes == *minutes)
    }

    /// In a window too small for pages only what to do now is drawn: no key may act on a list, a chosen block or a
    /// question that nobody sees.
    fn keep_to_what_is_drawn(&mut self) {
        let (width, height) = self.window;
        let is_smaller =
            |than: (u16, u16)| self.window != (0, 0) && (width < than.0 || height < than.1);
        let (no_pages, no_cards) =
            (is_smaller(super::page::LEAST), is_smaller(super::page::LEAST_FOR_CARDS));
        if no_cards && self.card.take().is_some() {
            self.say = Some("The window is too small to ask that.".to_owned());
        }
        if no_pages {
            self.selected = None;
            if !matches!(self.page, Page::Chart | Page::Big) {
                self.go(Page::Chart);
                self.say = Some("The window is too small for that page.".to_owned());
            }
        }
    }

    /// The row that was chosen stays chosen when the list changes around it. If it is gone, or another has come
    /// under the place that follows the clock, a press that is on its way is not for that.
    fn stay_with_the_row(&mut self, scene: &Scene, real_ms: i64) {
        let rows = super::page::row_names(scene, self.page);
        let before = self.watch.row.take().filter(|(page, _)| *page == self.page);
        if let Some((_, before)) = before.filter(|(_, name)| rows.get(self.row) != Some(name)) {
            match rows.iter().position(|name| *name == before).filter(|_| self.moved) {
                Some(row) => self.row = row,
                None => self.watch.startle(real_ms, TOO_SOON_MS),
            }
        }
        self.note_row(rows);
    }

    /// Takes note of what the row is about that the cook has chosen now.
    fn choose_row(&mut self, scene: &Scene) {
        self.note_row(super::page::row_names(scene, self.page));
    }

    fn note_row(&mut self, rows: Vec<String>) {
        let last = rows.len().saturating_sub(1);
        self.watch.row = rows.into_iter().nth(self.row.min(last)).map(|name| (self.page, name));
    }

    /// To a row that the program chooses.
    pub fn go_to_row(&mut self, row: usize) {
        self.row = row;
        self.watch.row = None;
    }

    /// What is in front has changed by itself: for so long no press marks anything.
    pub fn startle(&mut self, real_ms: i64, for_ms: i64) {
        self.watch.startle(real_ms, for_ms);
    }

    /// Another evening has come to the front by itself: for so long no press marks anything in it, or leaves it.
    pub fn come_forward(&mut self, real_ms: i64, for_ms: i64) {
        self.watch.stay(real_ms, for_ms);
    }

    /// Are keys about a row of a list, so that Enter must not mark something else?
    #[must_use]
    pub const fn points_at_a_row(&self) -> bool {
        match self.page {
            Page::WhatIf | Page::Report => true,
            Page::Plan | Page::Alarms | Page::Holding => self.moved,
            _ => false,
        }
    }

    /// To the report, unless a question is open: that is answered first.
    pub fn show_report(&mut self) {
        if self.card.is_none() {
            self.go(Page::Report);
            self.turn_to(Face::Report);
            self.selected = None;
        }
    }

    /// The load that presses are about: the chosen block, or the row of the plan.
    #[must_use]
    pub fn focus_step(&self, scene: &Scene) -> Option<StepKey> {
        match self.page {
            Page::Plan => super::page::plan_row(scene, self),
            Page::Chart => match self.selected {
                Some(Sel::Step(key)) => Some(key),
                _ => None,
            },
            _ => None,
        }
    }

    /// The dish whose hold is chosen on the chart.
    #[must_use]
    pub fn chosen_hold(&self) -> Option<usize> {
        match (self.page, self.selected) {
            (Page::Chart, Some(Sel::Hold(dish))) => Some(dish),
            _ => None,
        }
    }

    /// The alarm that presses are about: the row of the alarms page, else the
    /// most pressing one that is not put off.
    #[must_use]
    pub fn alarm<'a>(&self, scene: &Scene<'a>) -> Option<&'a Alarm> {
        match self.page {
            Page::Alarms => scene.view.alarms.get(self.row),
            _ => top_alarm(scene),
        }
    }
}

impl Ui {
    /// The alarm that "seen" is about: the row of the alarms page, else the
    /// first that is new, else the first that went by itself.
    #[must_use]
    pub fn alarm_to_see<'a>(&self, scene: &Scene<'a>) -> Option<&'a Alarm> {
        let is = |state: AlarmState| move |a: &&Alarm| a.state == state;
        if self.page == Page::Alarms {
            let unseen = |a: &&Alarm| matches!(a.state, AlarmState::New | AlarmState::Returned);
            return self.alarm(scene).filter(unseen);
        }
        let alarms = &scene.view.alarms;
        let new = alarms.iter().find(is(AlarmState::New));
        new.or_else(|| alarms.iter().find(is(AlarmState::Returned)))
    }

    /// The alarms that a press of "put off" is about: the row of the alarms page,
    /// else those that came up with the most pressing one and that may wait.
    #[must_use]
    pub fn alarms_to_put_off<'a>(&self, scene: &Scene<'a>) -> Vec<&'a Alarm> {
        let may = |a: &&Alarm| {
            super::marks::may_put_off(a, scene.view.now_ms) && a.state != AlarmState::Returned
        };
        let Some(first) = self.alarm(scene).filter(may) else { return Vec::new() };
        match self.page {
            Page::Alarms => vec![first],
            _ => alarms::bundle(&scene.view.alarms, &first.key).into_iter().filter(may).collect(),
        }
    }

    /// The alarm whose food the cook must say something about: the row of the
    /// alarms page, else the most pressing of that kind.
    #[must_use]
    pub fn alarm_to_answer<'a>(&self, scene: &Scene<'a>) -> Option<&'a Alarm> {
        let wants = |a: &&Alarm| super::marks::wants_answer(a);
        match self.page {
            Page::Alarms => self.alarm(scene).filter(wants),
            _ => scene.view.alarms.iter().find(wants),
        }
    }
}

/// The most pressing alarm: one not seen yet before those that are.
#[must_use]
pub fn top_alarm<'a>(scene: &Scene<'a>) -> Option<&'a Alarm> {
    let open = |a: &&Alarm| !matches!(a.state, AlarmState::PutOff(_));
    let unseen = |a: &&Alarm| a.state == AlarmState::New;
    let alarms = &scene.view.alarms;
    alarms.iter().find(unseen).or_else(|| alarms.iter().find(open))
}

/// The bundle that the most pressing alarm came up in.
#[must_use]
pub fn top_bundle(scene: &Scene) -> Option<Bundle> {
    let key = &top_alarm(scene)?.key;
    alarms::bundle_of(scene.evening, &scene.view.alarms, key, scene.view.now_ms)
}

fn exists(scene: &Scene, sel: Sel) -> bool {
    match sel {
        Sel::Step(key) => scene.plan.blocks.iter().any(|b| b.key == key),
        Sel::Hold(dish) => scene.plan.holds.iter().any(|h| h.dish == dish),
    }
}

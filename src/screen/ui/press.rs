//! Keys to intents.

use ratatui::crossterm::event::{KeyEvent, KeyEventKind};

use super::watch::weighs;
use super::{Face, Page, Sel, Ui, WhyView};
use crate::kitchen::PartyChange;
use crate::plan::why;
use crate::run::{Alarm, AlarmState, Event, alarms};
use crate::screen::card::{self, Card, Kind};
use crate::screen::chart;
use crate::screen::keys::{self, Act, Press};
use crate::screen::{Intent, Scene, marks, page};

/// Rows that the page keys move by on lists at the least, and twice the lanes
/// that they move by on the chart.
const FAR: usize = 8;
/// Rows of a window that are not a list's: the frame, a head, and one to find one's place by.
const FRAME_ROWS: u16 = 6;

impl Ui {
    /// What a key means now. `real_ms` is any clock that runs in real time.
    pub fn key(&mut self, event: KeyEvent, scene: &Scene, real_ms: i64) -> Vec<Intent> {
        if event.kind == KeyEventKind::Release {
            return Vec::new();
        }
        self.refresh(scene, real_ms);
        let press = Press::of(&event);
        let intents = self.weigh(press, scene, real_ms);
        self.choose_row(scene);
        self.refresh(scene, real_ms);
        intents
    }

    /// Does what a press means, but marks nothing by a key that is held down or was hit twice, nor by one that was on
    /// its way when another thing came to the front. An answer to an open question stands.
    pub(super) fn weigh(&mut self, press: Press, scene: &Scene, real_ms: i64) -> Vec<Intent> {
        let is_held = self.watch.is_held(press, real_ms);
        let asks = self.card.is_some();
        let mut after = self.clone();
        let intents = after.press(press, scene, real_ms);
        let words = if is_held && intents.iter().any(weighs) {
            "Held down or pressed twice: it counts once. Look, then press again."
        } else if !asks && intents.iter().any(|i| self.watch.is_in_haste(i, real_ms)) {
            "What is in front came up just now: look, then press again."
        } else {
            *self = after;
            return intents;
        };
        self.say = Some(words.to_owned());
        Vec::new()
    }

    pub(super) fn press(&mut self, press: Press, scene: &Scene, real_ms: i64) -> Vec<Intent> {
        self.say = None;
        if press.ctrl {
            // These work everywhere, also over a card.
            return match keys::find(press, scene, self) {
                Some(action) => self.act(action.act, scene, real_ms),
                None => Vec::new(),
            };
        }
        if self.card.is_some() {
            return card::press(self, press.code, scene, real_ms);
        }
        match keys::find(press, scene, self) {
            Some(action) => self.act(action.act, scene, real_ms),
            None => {
                self.say = nothing_there(press, scene, self);
                Vec::new()
            }
        }
    }

    /// Does what an action says, as far as there is something to do.
    pub fn act(&mut self, act: Act, scene: &Scene, real_ms: i64) -> Vec<Intent> {
        if !keys::available(act, scene, self) {
            self.say = Some("There is nothing for that to do now.".to_owned());
            return Vec::new();
        }
        let is_new = match act {
            Act::Seen | Act::PutOff | Act::Answer => self.watch.is_alarm_new(real_ms),
            Act::SeenAll => self.watch.is_any_alarm_new(real_ms),
            _ => false,
        };
        if is_new {
            self.say = Some("A new alarm came up just now: look, then press again.".to_owned());
            return Vec::new();
        }
        match act {
            Act::MarkExpected => self.mark_expected(scene, real_ms),
            Act::MarkChosen => self
                .focus_step(scene)
                .and_then(|key| marks::start_or_done(scene, key))
                .map_or_else(Vec::new, |event| vec![Intent::Mark(event)]),
            Act::Pin => marks::pin_target(scene, self)
                .and_then(|key| marks::pin(scene, key))
                .map_or_else(Vec::new, |event| vec![Intent::Mark(event)]),
            Act::Seen => self.alarm_to_see(scene).map_or_else(Vec::new, |first| match self.page {
                // In the list each is seen by itself.
                Page::Alarms => seen(&[first]),
                _ => seen(&alarms::bundle(&scene.view.alarms, &first.key)),
            }),
            Act::SeenAll => {
                let new = scene.view.alarms.iter().filter(|a| a.state == AlarmState::New);
                seen(&new.collect::<Vec<_>>())
            }
            Act::Rule => marks::choose_rule(scene, self)
                .map_or_else(Vec::new, |event| vec![Intent::Mark(event)]),
            Act::Silence => vec![Intent::Silence],
            Act::PutOff => {
                let until_ms = scene.view.now_ms + marks::PUT_OFF_MINUTES * 60_000;
                let off = |a: &Alarm| Event::AlarmPutOff { alarm: a.key.clone(), until_ms };
                self.alarms_to_put_off(scene).into_iter().map(|a| Intent::Mark(off(a))).collect()
            }
            Act::Tick => {
                page::tick(scene, self).map_or_else(Vec::new, |event| vec![Intent::Mark(event)])
            }
            Act::AsAsked => {
                page::as_asked(scene, self).map_or_else(Vec::new, |e| vec![Intent::Mark(e)])
            }
            Act::Appetite => {
                let appetite = scene.evening.party.appetite.next();
                let change = PartyChange::AppetiteChanged { appetite };
                vec![Intent::Mark(Event::PartyChanged { change })]
            }
            Act::DayBefore => marks::day_before(scene, self)
                .map_or_else(Vec::new, |event| vec![Intent::Mark(event)]),
            Act::Undo => vec![Intent::Undo],
            Act::WriteChange => vec![Intent::WriteChange(self.row)],
            Act::WriteSheet => vec![Intent::WriteSheet(self.row)],
            Act::TakeWay(n) => self.take_way(usize::from(n).saturating_sub(1), real_ms),
            Act::TakeTry => vec![Intent::TakeTry(self.row)],
            Act::Faster => vec![Intent::Faster],
            Act::Slower => vec![Intent::Slower],
            Act::Pause => vec![Intent::Pause],
            Act::OwnParty => vec![Intent::OwnParty],
            Act::Rehearse(day) => vec![Intent::Rehearse(day)],
            Act::Mouse => vec![Intent::Mouse],
            Act::Redraw => vec![Intent::Redraw],
            Act::Suspend => vec![Intent::Suspend],
            Act::Leave => vec![Intent::Leave],
            other => {
                if let Some(card) = self.card_for(other, scene) {
                    self.card = Some(card);
                } else {
                    self.look_around(other, scene);
                }
                Vec::new()
            }
        }
    }

    /// They come in by and by, the cheapest on top: what is there now may not be what was read.
    fn take_way(&mut self, place: usize, real_ms: i64) -> Vec<Intent> {
        if self.watch.is_way_new(place, real_ms) {
            self.say = Some("That came up just now: look, then press again.".to_owned());
            return Vec::new();
        }
        vec![Intent::TakeWay(place)]
    }

    fn mark_expected(&mut self, scene: &Scene, real_ms: i64) -> Vec<Intent> {
        // Not what came up while the finger was on its way.
        let covered = self.page == Page::Big && self.watch.is_alarm_new(real_ms);
        if covered || self.watch.is_expected_new(real_ms) {
            self.say = Some("That came up just now: look, then press again.".to_owned());
            return Vec::new();
        }
        let event = scene.view.expected.as_ref().map(|e| e.event.clone());
        event.map_or_else(Vec::new, |e| vec![Intent::Mark(e)])
    }

    /// The card that an action opens, if it opens one.
    fn card_for(&self, act: Act, scene: &Scene) -> Option<Card> {
        let dish = marks::likely_dish(scene, self);
        let kind = match act {
            Act::Help => return Some(Card::Help { scroll: 0 }),
            Act::TypeTry => return Some(Card::Try { typed: String::new() }),
            Act::Actions => return Some(Card::Actions { typed: String::new(), row: 0 }),
            Act::Details => {
                let sel = self.focus_step(scene).map(Sel::Step);
                return Some(Card::Detail(sel.or(self.chosen_hold().map(Sel::Hold))?));
            }
            Act::NeedsMore => Kind::More(marks::running_target(scene, self)?),
            Act::MarkEarlier => {
                let expected = scene.view.expected.as_ref()?;
                Kind::Earlier(expected.event.clone(), expected.label.clone())
            }
            Act::Skip => Kind::Skip(marks::skip_target(scene, self)?),
            Act::Temperature => match marks::to_measure(scene, self) {
                (dish, Some(part)) => Kind::PartTemperature(dish, part),
                (dish, None) => Kind::Temperature(dish),
            },
            Act::HoldHere => Kind::Place(dish),
            Act::OnTable => Kind::OnTable,
            Act::Clear => Kind::Clearing(
                scene
                    .view
                    .holding
                    .iter()
                    .map(|h| h.dish)
                    .find(|&d| d == dish)
                    .unwrap_or(scene.view.holding.first().map_or(dish, |h| h.dish)),
            ),
            Act::MoveService => Kind::Service(next_service(scene)),
            Act::Station => Kind::Stations,
            Act::DropDish => Kind::Dishes,
            Act::Servings => Kind::Servings(dish),
            Act::AddDish => Kind::Shelf,
            Act::OtherService => Kind::OtherService(dish),
            Act::Items => Kind::Items(dish),
            Act::OpenDish => Kind::Openings(self.row),
            Act::Dial => Kind::Dial(*marks::dials(scene).first()?),
            Act::Portion => Kind::Portion(card::divisible(scene, dish)?),
            Act::OutEarly => Kind::OutEarly,
            Act::Air => Kind::Air,
            Act::Guidance => Kind::Guidance,
            Act::Finish => Kind::Finish,
            Act::Answer => {
                let first = &self.alarm_to_answer(scene)?.key;
                let asks = scene.view.alarms.iter().filter(|a| marks::wants_answer(a));
                let all: Vec<String> = asks.map(|a| a.key.clone()).collect();
                // From the list one by one, from everywhere else all together.
                let one = all.len() == 1 || self.page == Page::Alarms;
                let at = all.iter().position(|key| key == first).filter(|_| one);
                Kind::Answer { all, at }
            }
            _ => return None,
        };
        Some(Card::ask(kind))
    }

    fn look_around(&mut self, act: Act, scene: &Scene) {
        match act {
            Act::Why => self.ask_why(scene),
            Act::Back if self.why.take().is_some() => {}
            Act::FarUp | Act::FarDown if self.why.is_some() => {
                if let Some(view) = &mut self.why {
                    let down = act == Act::FarDown;
                    view.scroll = moved(view.scroll, FAR / 2, down, page::why_lines(scene));
                }
            }
            Act::Zoom => self.zoom = self.zoom.next(),
            Act::AllLanes => {
                self.all_lanes = !self.all_lanes;
                self.lane_scroll = 0;
            }
            Act::Go(page) => self.go(page),
            Act::OtherBook => {
                let other = self.page.book().other();
                self.go(self.other.unwrap_or(other.pages()[0]));
            }
            Act::NextPage => self.turn(true, scene),
            Act::LastPage => self.turn(false, scene),
            Act::Left => self.along(scene, false),
            Act::Right => self.along(scene, true),
            Act::NextFace => self.turn_to(self.face.turned(true)),
            Act::LastFace => self.turn_to(self.face.turned(false)),
            Act::Up | Act::Down if self.page == Page::Chart => {
                self.across(scene, act == Act::Down);
            }
            Act::FarUp | Act::FarDown if self.page == Page::Chart => {
                let lanes = chart::lanes(scene.evening, scene.plan, scene.view).len();
                self.all_lanes = true;
                self.lane_scroll = moved(self.lane_scroll, FAR / 2, act == Act::FarDown, lanes);
            }
            Act::Up | Act::Down | Act::FarUp | Act::FarDown => {
                let screen = usize::from(self.window.1.saturating_sub(FRAME_ROWS)).max(FAR);
                let by = if matches!(act, Act::Up | Act::Down) { 1 } else { screen };
                let down = matches!(act, Act::Down | Act::FarDown);
                self.row = moved(self.row, by, down, page::rows(scene, self));
                self.moved = true;
            }
            Act::Back if self.selected.take().is_none() => {
                self.go(Page::Chart);
                self.all_lanes = false;
                self.lane_scroll = 0;
            }
            _ => {}
        }
    }

    pub(super) fn turn_to(&mut self, face: Face) {
        if self.face != face {
            self.face = face;
            self.row = 0;
        }
    }

    /// Back to the chart: what was decided shows there.
    pub fn go_home(&mut self) {
        self.go(Page::Chart);
    }

    pub(super) fn go(&mut self, page: Page) {
        if self.page.book() != page.book() {
            self.other = Some(self.page);
        }
        if self.page != page {
            self.page = page;
            self.row = 0;
            self.moved = false;
        }
    }

    /// To the next page of the book, or the one before, round and round.
    fn turn(&mut self, next: bool, scene: &Scene) {
        let book = self.page.book().pages().iter().copied();
        let pages: Vec<Page> =
            book.filter(|&p| p != Page::Report || keys::has_report(scene)).collect();
        let at = pages.iter().position(|&p| p == self.page).unwrap_or(0);
        let by = if next { 1 } else { pages.len() - 1 };
        if let Some(&page) = pages.get((at + by) % pages.len()) {
            self.go(page);
        }
    }

    /// Opens the explanation of the chosen block; pressed again, the next of the minutes late.
    fn ask_why(&mut self, scene: &Scene) {
        if let Some(view) = &mut self.why {
            view.late = (view.late + 1) % why::late::MINUTES.len();
            return;
        }
        if self.page == Page::Plan
            && let Some(key) = self.focus_step(scene)
        {
            self.selected = Some(Sel::Step(key));
        }
        self.go(Page::Chart);
        self.why = Some(WhyView::default());
    }

    /// To the block before or after on the same lane.
    fn along(&mut self, scene: &Scene, later: bool) {
        let lanes = chart::choices(scene);
        let Some((lane, at)) = self.place_in(&lanes) else { return self.first(scene, &lanes) };
        let to = if later { at + 1 } else { at.saturating_sub(1) };
        if let Some(&(sel, _)) = lanes.get(lane).and_then(|l| l.get(to)) {
            self.selected = Some(sel);
        }
    }

    /// To the block nearest in time on the lane above or below.
    fn across(&mut self, scene: &Scene, down: bool) {
        let lanes = chart::choices(scene);
        let Some((lane, at)) = self.place_in(&lanes) else { return self.first(scene, &lanes) };
        let to = if down { lane + 1 } else { lane.saturating_sub(1) };
        let time = lanes.get(lane).and_then(|l| l.get(at)).map_or(0, |c| c.1);
        let near = lanes.get(to).and_then(|l| l.iter().min_by_key(|c| c.1.abs_diff(time)));
        if let Some(&(sel, _)) = near {
            self.selected = Some(sel);
        }
    }

    /// With nothing chosen yet: what is expected, or the block nearest to now.
    fn first(&mut self, scene: &Scene, lanes: &[Vec<(Sel, i64)>]) {
        let expected = scene.view.expected.as_ref().and_then(|e| e.prompt.key).map(Sel::Step);
        let all = lanes.iter().flatten();
        let expected = expected.filter(|s| all.clone().any(|c| c.0 == *s));
        let near = all.min_by_key(|c| c.1.abs_diff(scene.view.now_ms)).map(|c| c.0);
        self.selected = expected.or(near);
    }

    fn place_in(&self, lanes: &[Vec<(Sel, i64)>]) -> Option<(usize, usize)> {
        let sel = self.selected?;
        lanes
            .iter()
            .enumerate()
            .find_map(|(l, lane)| lane.iter().position(|c| c.0 == sel).map(|at| (l, at)))
    }
}

/// These alarms were seen.
fn seen(alarms: &[&Alarm]) -> Vec<Intent> {
    let mark = |a: &&Alarm| Event::AlarmAcknowledged { alarm: a.key.clone() };
    alarms.iter().map(|a| Intent::Mark(mark(a))).collect()
}

/// A place moved by some rows and kept inside `rows`.
pub(super) fn moved(at: usize, by: usize, down: bool, rows: usize) -> usize {
    let to = if down { at.saturating_add(by) } else { at.saturating_sub(by) };
    to.min(rows.saturating_sub(1))
}

/// The next service that has not begun, else the last.
fn next_service(scene: &Scene) -> usize {
    let lines = scene.plan.services.iter();
    let next = lines.clone().filter(|s| s.due >= scene.view.now).min_by_key(|s| s.due);
    next.or(lines.max_by_key(|s| s.due)).map_or(0, |s| s.service)
}

/// A word when a key that means something elsewhere means nothing here.
fn nothing_there(press: Press, scene: &Scene, ui: &Ui) -> Option<String> {
    let named = || keys::ACTIONS.iter().filter(|a| a.keys.contains(&press));
    // What it means on this page comes first: the digit of the page in front says nothing.
    let action = named().find(|a| keys::on_page(a, ui.page)).or_else(|| named().next())?;
    let why = match action.act {
        Act::MarkExpected if scene.view.expected.is_some() => {
            "Enter marks nothing while rows are chosen: Space marks what is expected."
        }
        Act::MarkExpected | Act::MarkEarlier => "Nothing is expected right now.",
        Act::MarkChosen | Act::Details | Act::Why => "Choose a block first: arrow keys.",
        Act::NeedsMore => "Nothing is running.",
        Act::Skip | Act::Pin => "Choose a block first: arrow keys.",
        Act::Undo => "Nothing to undo.",
        Act::OpenDish => "No swap that is known opens a dish to them.",
        Act::OtherService => "There is only one service.",
        Act::Items => "Nothing is known that could stand in.",
        Act::Seen | Act::SeenAll => "No alarm that you have not seen.",
        Act::PutOff if ui.alarm(scene).is_some() => {
            "At or past a safety limit, or put off already: it cannot be put off."
        }
        Act::PutOff | Act::Answer => "No alarm that asks for it.",
        Act::Rule => "The guidance has no other rule for a dish that waits here.",
        Act::MoveService => "All is served: there is no service left to move.",
        Act::Clear => "Nothing waits or stands on the table.",
        Act::Faster | Act::Slower | Act::Pause | Act::OwnParty => "Only in the demo.",
        Act::Rehearse(_) if !scene.view.alarms.is_empty() => "See to the alarm first: k seen.",
        Act::Rehearse(_) => "There is no plan to rehearse.",
        Act::TakeWay(_) => "There is no such way out.",
        Act::NextFace | Act::LastFace => "There is nothing to look back at yet.",
        Act::TakeTry => "Choose a change that has a plan: arrow keys.",
        Act::AsAsked => "It is made for as many already.",
        Act::Go(Page::Report) if ui.page != Page::Report => {
            "The report comes when the evening is over."
        }
        _ => return None,
    };
    Some(why.to_owned())
}

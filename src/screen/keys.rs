//! The one table of what can be done and with which key. The footer, the help,
//! the list of actions and the checks all read it.
//!
//! Letters count the same with and without Shift, so nothing lies a Shift away
//! from anything. Enter never does what cannot be undone or throws food away.

use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};

use super::Scene;
use super::ui::{Face, Page, Ui};
use super::{card, marks};
use crate::order::InOrder;
use crate::plan::ways::{Tried, Try};
use crate::run::hand::Day;
use crate::run::{AlarmState, Phase};

/// A key, perhaps with Ctrl.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Press {
    /// The key; letters in lower case.
    pub code: KeyCode,
    /// Together with Ctrl.
    pub ctrl: bool,
}

impl Press {
    /// The press of a key event, letters in lower case.
    #[must_use]
    pub fn of(event: &KeyEvent) -> Self {
        let code = match event.code {
            KeyCode::Char(c) => KeyCode::Char(c.to_lowercase().next().unwrap_or(c)),
            other => other,
        };
        Self { code, ctrl: event.modifiers.contains(KeyModifiers::CONTROL) }
    }

    /// What stands on the key.
    #[must_use]
    pub fn name(self) -> String {
        let key = match self.code {
            KeyCode::Char(' ') => "Space".to_owned(),
            KeyCode::Char(c) => c.to_string(),
            KeyCode::Enter => "Enter".to_owned(),
            KeyCode::Esc => "Esc".to_owned(),
            KeyCode::Tab => "Tab".to_owned(),
            KeyCode::BackTab => "Shift-Tab".to_owned(),
            KeyCode::Left => "Left".to_owned(),
            KeyCode::Right => "Right".to_owned(),
            KeyCode::Up => "Up".to_owned(),
            KeyCode::Down => "Down".to_owned(),
            KeyCode::PageUp => "PgUp".to_owned(),
            KeyCode::PageDown => "PgDn".to_owned(),
            other => format!("{other:?}"),
        };
        if self.ctrl { format!("Ctrl-{key}") } else { key }
    }
}

/// Everything that can be done with one press.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[allow(missing_docs, reason = "each is explained in its row of the table")]
pub enum Act {
    Details,
    Why,
    MarkExpected,
    MarkChosen,
    MarkEarlier,
    NeedsMore,
    Undo,
    Temperature,
    HoldHere,
    OnTable,
    Clear,
    Tick,
    Skip,
    Pin,
    MoveService,
    Station,
    DropDish,
    Servings,
    AsAsked,
    Appetite,
    AddDish,
    OtherService,
    Items,
    OpenDish,
    DayBefore,
    Dial,
    Portion,
    OutEarly,
    Air,
    Guidance,
    Rule,
    Finish,
    /// The way out with this number, from 1.
    TakeWay(u8),
    TakeTry,
    /// Write the chosen change for next time.
    WriteChange,
    /// Write the chosen sheets into a file.
    WriteSheet,
    /// The next face of the report.
    NextFace,
    /// The face before.
    LastFace,
    TypeTry,
    Silence,
    Seen,
    SeenAll,
    PutOff,
    Answer,
    Zoom,
    AllLanes,
    Go(Page),
    OtherBook,
    NextPage,
    LastPage,
    Left,
    Right,
    Up,
    Down,
    FarUp,
    FarDown,
    Back,
    Help,
    Actions,
    Faster,
    Slower,
    Pause,
    OwnParty,
    /// Play the evening ahead.
    Rehearse(Day),
    Mouse,
    Redraw,
    Suspend,
    Leave,
}

/// What kind of thing an action is; the headings of the help.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// What happened.
    Marks,
    /// What shall be different.
    Changes,
    /// Alarms.
    Alarms,
    /// Looking around.
    Looking,
    /// The demo.
    Demo,
    /// The program.
    Program,
}

impl Group {
    /// The heading.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Marks => "What happened",
            Self::Changes => "Changing the evening",
            Self::Alarms => "Alarms",
            Self::Looking => "Looking around",
            Self::Demo => "The demo",
            Self::Program => "The program",
        }
    }
}

/// A row of the table.
#[derive(Debug)]
pub struct Action {
    /// What it does.
    pub act: Act,
    /// Its stable name.
    pub id: &'static str,
    /// Its keys; none: from the list of actions only.
    pub keys: &'static [Press],
    /// A word or two for the footer.
    pub label: &'static str,
    /// A sentence for the help.
    pub about: &'static str,
    /// Its heading.
    pub group: Group,
    /// Pages on which it works; none named: on all.
    pub pages: &'static [Page],
    /// Place in the footer: 1 first; 0 never there.
    pub footer: u8,
}

const fn k(c: char) -> Press {
    Press { code: KeyCode::Char(c), ctrl: false }
}
const fn key(code: KeyCode) -> Press {
    Press { code, ctrl: false }
}
const fn ctrl(c: char) -> Press {
    Press { code: KeyCode::Char(c), ctrl: true }
}

/// Pages by name; none: all; `EVENING` and `BEFORE`: those of a book.
macro_rules! pages {
    (EVENING) => { &Page::EVENING };
    (BEFORE) => { &Page::BEFORE };
    ($($page:ident)*) => { &[$(Page::$page),*] };
}

macro_rules! actions {
    ($($act:expr, $id:literal, [$($key:expr),*], $label:literal, $about:literal, $group:ident, [$($page:ident),*], $footer:literal;)*) => {
        &[$(Action {
            act: $act, id: $id, keys: &[$($key),*], label: $label, about: $about,
            group: Group::$group, pages: pages!($($page)*), footer: $footer,
        }),*]
    };
}

/// The table. Where two rows share a key, the first that is available has it.
#[rustfmt::skip]
pub const ACTIONS: &[Action] = actions![
    Act::TakeWay(1), "take-first-way", [k('1')], "take it", "Takes the first way out: the plan is changed at once, and u takes it back.", Changes, [Ways], 1;
    Act::TakeWay(2), "take-second-way", [k('2')], "take the second", "Takes the second way out.", Changes, [Ways], 0;
    Act::TakeWay(3), "take-third-way", [k('3')], "take the third", "Takes the third way out.", Changes, [Ways], 0;
    Act::TakeWay(4), "take-fourth-way", [k('4')], "take the fourth", "Takes the fourth way out.", Changes, [Ways], 0;
    Act::TakeWay(5), "take-fifth-way", [k('5')], "take the fifth", "Takes the fifth way out.", Changes, [Ways], 0;
    Act::WriteChange, "write-change", [key(KeyCode::Enter)], "write it", "Writes the chosen change for next time into its recipe, kitchen or party. The file is written whole, and only where the old value still stands.", Changes, [Report], 1;
    Act::NextFace, "next-face", [key(KeyCode::Right)], "look back", "Turns the report: planned against actual as a chart, what was late and why, what to change next time.", Looking, [Report], 2;
    Act::LastFace, "previous-face", [key(KeyCode::Left)], "turn back", "Turns the report back.", Looking, [Report], 3;
    Act::TakeTry, "take-try", [key(KeyCode::Enter)], "take it", "Takes the chosen change: the plan is changed at once, and u takes it back.", Changes, [WhatIf], 1;
    Act::TypeTry, "type-try", [k('y')], "type a change", "Tries a change that you type: service mains 18:30, drop dip, helper 17:00.", Changes, [WhatIf], 2;
    Act::Details, "details", [key(KeyCode::Enter), k('i')], "details", "Shows all about the chosen block: what to do, where, how hot, what it waits for.", Looking, [Chart, Plan], 5;
    Act::Why, "why", [k('y')], "why here", "Says why the chosen block stands where it does, how far it can go, and shows what moves if it runs late; again: later still.", Looking, [Chart, Plan], 4;
    Act::MarkExpected, "mark", [k(' '), key(KeyCode::Enter)], "mark", "Marks what is expected now, as the words beside the key say: started, in the oven, out, done, on the table.", Marks, [EVENING], 1;
    Act::MarkChosen, "mark-chosen", [k('g')], "go: this one", "Marks the chosen block instead of the expected one: starts it, or says that it is done.", Marks, [Chart, Plan], 3;
    Act::MarkEarlier, "mark-earlier", [k('e')], "was earlier", "Marks what is expected, as done some minutes ago.", Marks, [EVENING], 0;
    Act::NeedsMore, "needs-more", [k('m')], "more min", "The running step needs more minutes: then 1 to 9, or 0 for ten.", Marks, [EVENING], 4;
    Act::Undo, "undo", [k('u')], "undo", "Takes the last mark back. As often as you like.", Marks, [], 2;
    Act::Temperature, "temperature", [k('t')], "temperature", "Writes down a temperature taken in a dish.", Marks, [EVENING], 7;
    Act::HoldHere, "hold-here", [k('h')], "hold here", "Says where a finished dish waits.", Marks, [EVENING], 8;
    Act::OnTable, "on-table", [k('o')], "on the table", "Says that a dish stands on the table: then its letter.", Marks, [EVENING], 8;
    Act::Clear, "clear", [k('c')], "cleared", "Says what became of a dish that waited or stood on the table: eaten, put away, thrown out.", Marks, [EVENING], 8;
    Act::Tick, "tick", [k(' '), key(KeyCode::Enter)], "tick off", "Ticks the chosen line off, or takes the tick away.", Marks, [Shopping, Mise, Trays], 1;
    Act::Skip, "skip", [k('s')], "skip", "Leaves a step out: the chosen one, or the one expected. Asks once.", Changes, [EVENING], 9;
    Act::Pin, "pin", [k('p')], "pin", "Pins the chosen block, so that it stays at its time; or takes the pin out.", Changes, [EVENING], 9;
    Act::MoveService, "move-service", [k('v')], "move service", "Moves a service: later or earlier by some minutes.", Changes, [], 9;
    Act::Station, "station", [k('b')], "broken / back", "Says that a station cannot be used, or can be used again.", Changes, [], 9;
    Act::DropDish, "drop-dish", [k('x')], "drop a dish", "Drops a dish, or brings a dropped one back: then its letter.", Changes, [], 9;
    Act::Servings, "dish-servings", [k('s')], "servings", "Makes the chosen dish for another number of people.", Changes, [Menu, Scaling], 2;
    Act::AsAsked, "servings-as-asked", [key(KeyCode::Enter)], "for the guests", "Makes the chosen dish for as many as guests and appetite ask for.", Changes, [Scaling], 1;
    Act::Appetite, "appetite", [k('e')], "appetite", "Says how much the guests eat: usual, hearty, light.", Changes, [Scaling], 3;
    Act::AddDish, "add-dish", [k('m')], "a dish more", "Takes a dish from the shelf onto the menu, with the service of its course: then the plan is made anew, and u takes it back.", Changes, [Menu], 1;
    Act::OtherService, "other-service", [k('o')], "other service", "Moves the chosen dish to another service.", Changes, [Menu], 3;
    Act::Items, "other-items", [k('i')], "other items", "Lets something else stand in for an item of the chosen dish, in all or in half of it, or takes that back.", Changes, [Menu], 4;
    Act::OpenDish, "open-dish", [key(KeyCode::Enter), k('o')], "open a dish", "Shows the swaps that open a dish to the chosen guest, in all or in half of it; its number makes the swap.", Changes, [Guests], 1;
    Act::WriteSheet, "write-sheet", [key(KeyCode::Enter)], "write it", "Writes the chosen sheets into a file of the folder that the program was started in. A file that is there stays.", Changes, [Sheets], 1;
    Act::DayBefore, "day-before", [key(KeyCode::Enter), k('o')], "day before", "Has the chosen dish made the day before as far as it keeps, or on the day again.", Changes, [Ahead], 1;
    Act::Servings, "servings", [], "servings", "Makes a dish for another number of people.", Changes, [EVENING], 0;
    Act::Dial, "dial", [k('d')], "dial turned", "Says that the dial of an oven was set to a temperature.", Marks, [EVENING], 0;
    Act::Portion, "portion", [], "a part of a dish", "Says where a part of a finished dish went: half of it to the table, half kept. Each part has its own clock.", Marks, [EVENING], 0;
    Act::OutEarly, "out-early", [], "out early", "Says that what a step uses was taken out of the fridge before it began, or was put back: its clock runs.", Marks, [EVENING], 0;
    Act::Air, "air", [], "room temperature", "Writes down how warm the room or the garden is.", Marks, [EVENING], 0;
    Act::Guidance, "guidance", [], "guidance", "Goes by other food safety guidance: every clock is counted anew by it.", Changes, [], 0;
    Act::Rule, "rule", [k('y')], "other rule", "The chosen dish goes by the guidance's other rule for time out of control (six hours, started cold and kept cool), or by the ordinary one again. Before it is taken out.", Changes, [Holding], 3;
    Act::Finish, "finish", [], "end the evening", "Ends the evening and shows the report. Asks once.", Changes, [], 0;
    Act::Silence, "silence", [k('j')], "silence", "Stops the sound for five minutes, and nothing else: the alarm stays, and a new one sounds, within two minutes if it is urgent.", Alarms, [], 6;
    Act::Seen, "alarm-seen", [k('k')], "seen", "Says that you have seen the alarm, with those that came up with it; in the list only the chosen one. It falls silent and stays on the screen.", Alarms, [], 1;
    Act::SeenAll, "alarms-all-seen", [k('y')], "all seen", "Says that you have seen every alarm of the list: they fall silent and stay on the screen.", Alarms, [Alarms], 1;
    Act::PutOff, "alarm-put-off", [k('z')], "put off 5 min", "Puts the alarm off for five minutes, with those that came up with it and may wait. Not one that is past a safety limit.", Alarms, [], 2;
    Act::Answer, "alarm-answer", [k('r')], "what was done", "Says what was done about food past its safety limit: all of it together, or one by one with Right.", Alarms, [], 2;
    Act::Zoom, "zoom", [k('w')], "wider / closer", "Shows the next hour, the next two hours, or the whole party.", Looking, [Chart], 6;
    Act::AllLanes, "all-lanes", [k('l')], "all lanes", "Shows every lane, also those that are not needed soon; Page keys move through them.", Looking, [Chart], 0;
    Act::Go(Page::Chart), "page-chart", [k('1')], "chart", "The lane chart.", Looking, [EVENING], 0;
    Act::Go(Page::Big), "page-big", [k('2')], "big type", "Big type, to be read from across the room.", Looking, [EVENING], 6;
    Act::Go(Page::Holding), "page-holding", [k('3')], "holding", "What waits, where, and how long it may.", Looking, [EVENING], 6;
    Act::Go(Page::Plan), "page-plan", [k('4')], "plan", "The whole plan as a list.", Looking, [EVENING], 6;
    Act::Go(Page::Alarms), "page-alarms", [k('5')], "alarms", "All alarms: cause, what follows, what to do.", Looking, [EVENING], 6;
    Act::Go(Page::Report), "page-report", [k('6')], "report", "How the evening went, planned against actual.", Looking, [EVENING], 3;
    Act::Go(Page::Ways), "page-ways", [k('7')], "ways out", "What clashes, and what would help: each way out is solved already.", Looking, [EVENING], 2;
    Act::Go(Page::WhatIf), "page-what-if", [k('8')], "what if", "What would come of a change: help, another time, a dish less.", Looking, [EVENING], 0;
    Act::Go(Page::Menu), "page-menu", [k('1')], "menu", "The dishes: by course, for how many, and whether the kitchen can carry them together.", Looking, [BEFORE], 0;
    Act::Go(Page::Guests), "page-guests", [k('2')], "guests", "Who comes, what each can eat, and who has too little.", Looking, [BEFORE], 0;
    Act::Go(Page::Shopping), "page-shopping", [k('3')], "shopping", "What to buy, by aisle.", Looking, [BEFORE], 0;
    Act::Go(Page::Mise), "page-mise", [k('4')], "mise", "Knife work of all dishes together, and what is measured out.", Looking, [BEFORE], 0;
    Act::Go(Page::Trays), "page-trays", [k('5')], "trays", "What stands ready for each dish, and what stays cold until when.", Looking, [BEFORE], 0;
    Act::Go(Page::Serving), "page-serving", [k('6')], "serving dishes", "What each dish goes to the table in.", Looking, [BEFORE], 0;
    Act::Go(Page::Ahead), "page-ahead", [k('7')], "ahead", "What can be made the evening or the days before.", Looking, [BEFORE], 0;
    Act::Go(Page::Sheets), "page-sheets", [k('8')], "sheets", "What can be printed: cards, lists, the run sheet, the calendar.", Looking, [BEFORE], 0;
    Act::Go(Page::Scaling), "page-scaling", [k('0')], "scaling", "What each dish takes for the servings that are made: amounts, loads, pans, minutes, and what does not grow.", Looking, [BEFORE], 0;
    Act::OtherBook, "book-before", [k('9')], "menu, lists", "To everything before the first flame: menu, guests, shopping, mise, trays, serving dishes, ahead, sheets, scaling. Again: back to the evening.", Looking, [EVENING], 6;
    Act::OtherBook, "book-evening", [k('9')], "the evening", "Back to the evening: the page that was in front.", Looking, [BEFORE], 6;
    Act::NextPage, "next-page", [key(KeyCode::Tab)], "next page", "The next page.", Looking, [], 0;
    Act::LastPage, "previous-page", [key(KeyCode::BackTab)], "previous page", "The page before.", Looking, [], 0;
    Act::Left, "left", [key(KeyCode::Left)], "earlier", "Chooses the block before, on the same lane.", Looking, [Chart], 0;
    Act::Right, "right", [key(KeyCode::Right)], "later", "Chooses the block after, on the same lane.", Looking, [Chart], 0;
    Act::Up, "up", [key(KeyCode::Up)], "up", "Chooses a block on the lane above, or the row above.", Looking, [Chart, Plan, Alarms, Holding, Report, WhatIf, Menu, Guests, Shopping, Mise, Trays, Serving, Ahead, Sheets, Scaling], 0;
    Act::Down, "down", [key(KeyCode::Down)], "down", "Chooses a block on the lane below, or the row below.", Looking, [Chart, Plan, Alarms, Holding, Report, WhatIf, Menu, Guests, Shopping, Mise, Trays, Serving, Ahead, Sheets, Scaling], 0;
    Act::FarUp, "far-up", [key(KeyCode::PageUp)], "further up", "Moves up by a screen.", Looking, [Chart, Plan, Alarms, Holding, Report, WhatIf, Menu, Guests, Shopping, Mise, Trays, Serving, Ahead, Sheets, Scaling], 0;
    Act::FarDown, "far-down", [key(KeyCode::PageDown)], "further down", "Moves down by a screen.", Looking, [Chart, Plan, Alarms, Holding, Report, WhatIf, Menu, Guests, Shopping, Mise, Trays, Serving, Ahead, Sheets, Scaling], 0;
    Act::Back, "back", [key(KeyCode::Esc)], "back", "Goes back: lets go of the chosen block, then to the chart. Never loses anything.", Looking, [], 0;
    Act::Help, "help", [k('?')], "help", "Explains the page in front of you.", Program, [], 10;
    Act::Actions, "actions", [k('a'), k(':')], "actions", "Lists everything that can be done; type to find.", Program, [], 10;
    Act::Rehearse(Day::Ordinary), "rehearse", [k('n')], "rehearse", "Plays the evening ahead in quick time, as it goes on an ordinary day; nothing of it is kept. q comes back.", Looking, [Plan, WhatIf], 6;
    Act::Rehearse(Day::Bad), "rehearse-bad-day", [], "rehearse bad day", "Plays the evening ahead as it goes on a bad day: much takes long, starts slip. Nothing of it is kept. q comes back.", Looking, [EVENING], 0;
    Act::Faster, "demo-faster", [k('.')], "faster", "The clock of the demo or rehearsal goes faster.", Demo, [], 5;
    Act::Slower, "demo-slower", [k(',')], "slower", "The clock of the demo or rehearsal goes slower.", Demo, [], 5;
    Act::Pause, "demo-pause", [k('f')], "freeze", "The clock of the demo or rehearsal stands still, or goes on.", Demo, [], 5;
    Act::OwnParty, "own-party", [k('n')], "your own party", "Leaves the demo and begins a party of your own.", Demo, [], 5;
    Act::Mouse, "mouse", [], "mouse", "Catches the mouse, or lets it go so that the terminal can select text.", Program, [], 0;
    Act::Redraw, "redraw", [ctrl('l')], "draw afresh", "Draws the whole screen afresh.", Program, [], 0;
    Act::Suspend, "suspend", [ctrl('z')], "to the shell", "Puts the program to sleep; the shell's fg wakes it. The clock runs on.", Program, [], 0;
    Act::Leave, "leave", [k('q'), ctrl('c')], "leave", "Leaves. Every mark is saved; the same command goes on with the evening.", Program, [], 11;
];

/// The row of an action.
#[must_use]
pub fn row(act: Act) -> Option<&'static Action> {
    ACTIONS.iter().find(|a| a.act == act)
}

/// What a press does on the page in front of the cook, if anything.
#[must_use]
pub fn find(press: Press, scene: &Scene, ui: &Ui) -> Option<&'static Action> {
    // On a list Enter is about the row; it never marks something else instead.
    let is_for_the_row = press.code == KeyCode::Enter && ui.points_at_a_row();
    ACTIONS
        .iter()
        .filter(|a| !(is_for_the_row && a.act == Act::MarkExpected))
        .find(|a| a.keys.contains(&press) && on_page(a, ui.page) && available(a.act, scene, ui))
}

/// Does the action work on the page?
#[must_use]
pub fn on_page(action: &Action, page: Page) -> bool {
    action.pages.is_empty() || action.pages.contains(&page)
}

/// Can it be taken from the list of actions there? Every page can be gone to from any other.
#[must_use]
pub fn from_list(action: &Action, page: Page) -> bool {
    on_page(action, page) || matches!(action.act, Act::Go(_))
}

/// Is there something for the action to do?
#[must_use]
pub fn available(act: Act, scene: &Scene, ui: &Ui) -> bool {
    let view = scene.view;
    match act {
        Act::Details | Act::Why => ui.focus_step(scene).is_some() || ui.chosen_hold().is_some(),
        Act::MarkExpected | Act::MarkEarlier => view.expected.is_some(),
        Act::MarkChosen => {
            let phase = ui.focus_step(scene).map(|key| marks::phase(scene, key));
            phase.is_some_and(|p| !matches!(p, Phase::Done | Phase::Skipped))
        }
        Act::NeedsMore => marks::running_target(scene, ui).is_some(),
        Act::Skip => marks::skip_target(scene, ui).is_some(),
        Act::Pin => marks::pin_target(scene, ui).is_some(),
        Act::Undo => scene.status.undo.is_some(),
        Act::TakeWay(n) => usize::from(n) <= scene.status.ways.outs.len() && n > 0,
        Act::TakeTry => ui.row > 0 && scene.status.tries.rows.get(ui.row).is_some_and(takeable),
        Act::WriteChange => {
            let edits = scene.status.back.as_ref().map_or(0, |b| b.next_time.len());
            ui.face == Face::NextTime && ui.row < edits
        }
        Act::NextFace => scene.status.back.is_some() && ui.face != Face::NextTime,
        Act::LastFace => scene.status.back.is_some() && ui.face != Face::Report,
        Act::Silence | Act::SeenAll => view.alarms.iter().any(|a| a.state == AlarmState::New),
        Act::Seen => ui.alarm_to_see(scene).is_some(),
        Act::PutOff => !ui.alarms_to_put_off(scene).is_empty(),
        Act::Answer => ui.alarm_to_answer(scene).is_some(),
        Act::Temperature | Act::HoldHere | Act::DropDish | Act::Servings => {
            !scene.evening.sheets.is_empty()
        }
        Act::Tick => super::page::tick(scene, ui).is_some(),
        Act::AsAsked => super::page::as_asked(scene, ui).is_some(),
        Act::AddDish => !scene.status.shelf.is_empty(),
        Act::OtherService => {
            scene.evening.party.services.len() > 1 && !scene.evening.sheets.is_empty()
        }
        Act::Items => super::page::chosen_dish(scene, ui).is_some(),
        Act::DayBefore => marks::day_before(scene, ui).is_some(),
        Act::OpenDish => !scene.evening.party.guests.is_empty(),
        Act::OnTable => !marks::unserved(scene).is_empty(),
        Act::Clear => !view.holding.is_empty(),
        Act::MoveService => !scene.evening.party.services.is_empty() && scene.view.ending.is_none(),
        Act::Station => !scene.evening.kitchen.stations.is_empty(),
        Act::Dial => !marks::dials(scene).is_empty(),
        Act::Rule => marks::choose_rule(scene, ui).is_some(),
        Act::Portion => {
            !(view.holding.is_empty() && view.portions.is_empty() && view.away.is_empty())
        }
        Act::OutEarly => !card::early_rows(scene).is_empty(),
        Act::Faster | Act::Slower | Act::Pause => scene.status.demo.is_some(),
        Act::OwnParty => scene.status.demo.is_some_and(|d| d.rehearses.is_none()),
        Act::Rehearse(_) => {
            let calm = view.alarms.iter().all(|a| a.state != AlarmState::New);
            scene.status.demo.is_none() && !scene.plan.blocks.is_empty() && calm
        }
        Act::Go(page) => page != ui.page && (page != Page::Report || has_report(scene)),
        Act::WriteSheet => scene.status.demo.is_none(),
        Act::Left | Act::Right => ui.page == Page::Chart,
        Act::Finish
        | Act::Air
        | Act::Guidance
        | Act::Appetite
        | Act::TypeTry
        | Act::Zoom
        | Act::AllLanes
        | Act::OtherBook
        | Act::NextPage
        | Act::LastPage
        | Act::Up
        | Act::Down
        | Act::FarUp
        | Act::FarDown
        | Act::Back
        | Act::Help
        | Act::Actions
        | Act::Mouse
        | Act::Redraw
        | Act::Suspend
        | Act::Leave => true,
    }
}

/// Is there a plan for a try?
fn takeable(row: &(Try, Option<Tried>)) -> bool {
    matches!(row.1, Some(Tried::Plan(_)))
}

/// Is there a report to show?
#[must_use]
pub fn has_report(scene: &Scene) -> bool {
    scene.view.ending.is_some() || !scene.status.report.is_empty()
}

/// The keys for the footer, most wanted first: the press and its words.
#[must_use]
pub fn footer(scene: &Scene, ui: &Ui) -> Vec<(Press, String)> {
    let mut rows: Vec<&Action> = ACTIONS
        .iter()
        .filter(|a| a.footer > 0 && on_page(a, ui.page) && available(a.act, scene, ui))
        // A key that means something else on this page is no hint for this.
        .filter(|a| {
            let mut keys = a.keys.iter();
            keys.next().is_some_and(|k| find(*k, scene, ui).is_some_and(|f| f.act == a.act))
        })
        // Ways out are offered where something clashes; else they are in the list of actions.
        .filter(|a| a.act != Act::Go(Page::Ways) || scene.status.clashes)
        .collect();
    rows.order_by_key(|a| a.footer);
    let words = |a: &Action| match (a.act, &scene.view.expected) {
        (Act::Why, _) if ui.why.is_some() => "later still".to_owned(),
        (Act::MarkExpected, Some(expected)) => expected.label.clone(),
        _ => a.label.to_owned(),
    };
    rows.iter().filter_map(|a| Some((*a.keys.first()?, words(a)))).collect()
}

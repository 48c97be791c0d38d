//! The screens. Pure: what there is to show goes in, cells and a map for the
//! pointer come out; keys go in, intents come out. No clock, no environment
//! and no terminal here.

pub mod bigtype;
pub mod canvas;
pub mod card;
pub mod chart;
pub mod desk;
pub mod form;
pub mod keys;
pub mod look;
pub mod marks;
pub mod page;
pub mod picture;
pub mod text;
pub mod ui;

pub use canvas::{Hit, Hits};
pub use look::{Ground, Look};
pub use ui::{Book, Face, Page, Sel, Ui};

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use crate::kitchen::Evening;
use crate::plan::Plan;
use crate::plan::risk::Forecast;
use crate::plan::ways::{TriesSeen, WaysSeen};
use crate::run::{Event, View};
use canvas::Canvas;

/// Everything that is shown, but for what the cook has opened and chosen ([`Ui`]).
#[derive(Debug, Clone, Copy)]
pub struct Scene<'a> {
    /// The party.
    pub evening: &'a Evening,
    /// The plan on the screen.
    pub plan: &'a Plan,
    /// How the evening stands.
    pub view: &'a View,
    /// What the program has to say about itself.
    pub status: &'a Status,
    /// How things look.
    pub look: Look,
}

/// What the program has to say about itself.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Status {
    /// The demo party or a rehearsal, and how its clock runs.
    pub demo: Option<Demo>,
    /// The last mark in words, for some seconds after it: "done: pull the pie".
    pub echo: Option<String>,
    /// What undo would take back, in words; None when there is nothing.
    pub undo: Option<String>,
    /// A line to be read once: "went on after a stop; last mark 18:04".
    pub notice: Option<String>,
    /// Something that the cook must know about the program: "marks cannot be saved: disk full".
    pub trouble: Option<String>,
    /// Another screen of the same evening plans; this one follows.
    pub follows: bool,
    /// A better plan is being looked for.
    pub thinking: bool,
    /// How good the plan on the screen is known to be; it may become known while it is shown.
    pub proof: crate::plan::Proof,
    /// How the services fare by the plan on the screen, once that is known.
    pub odds: Option<Forecast>,
    /// The report of the evening, line by line, once there is one.
    pub report: Vec<String>,
    /// The evening looked back at, while the report is in front.
    pub back: Option<std::sync::Arc<crate::run::look_back::LookBack>>,
    /// Why the chosen block stands where it does, as far as it is worked out.
    pub why: Option<std::sync::Arc<crate::plan::why::Answer>>,
    /// The mouse is caught by the program.
    pub mouse: bool,
    /// Not every demand can be met: ways out are offered.
    pub clashes: bool,
    /// The ways out, as far as they are known.
    pub ways: WaysSeen,
    /// The tries, as far as they are known.
    pub tries: TriesSeen,
    /// Recipes that can be taken onto the menu; read once the menu is looked at.
    pub shelf: std::sync::Arc<Vec<crate::kitchen::Recipe>>,
    /// Which dish goes to the table in what; made once that page is looked at.
    pub laying: Option<std::sync::Arc<crate::mise::servingware::Laying>>,
}

/// The clock of the demo party, or of a rehearsal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Demo {
    /// Times as fast as the wall clock.
    pub speed: u32,
    /// It stands still.
    pub paused: bool,
    /// A rehearsal of a real evening, not the demo: whose habits play it.
    pub rehearses: Option<crate::run::hand::Habits>,
}

/// What the cook wants.
#[derive(Debug, Clone, PartialEq)]
pub enum Intent {
    /// Append this to what happened.
    Mark(Event),
    /// Append this; the cook was asked back and means it.
    Confirmed(Event),
    /// Stops the sound of the alarms that there are; nothing else changes.
    Silence,
    /// Take the last mark back.
    Undo,
    /// Take the way out at a place in the list.
    TakeWay(usize),
    /// Take the try at a place in the list.
    TakeTry(usize),
    /// Write the change for next time at a place in the list.
    WriteChange(usize),
    /// Write what is printed into a file: the one at a place in the list.
    WriteSheet(usize),
    /// Try what was typed.
    Try(String),
    /// Leave; nothing is lost.
    Leave,
    /// Put the program to sleep until the shell wakes it.
    Suspend,
    /// Draw everything afresh.
    Redraw,
    /// The demo's clock goes faster.
    Faster,
    /// The demo's clock goes slower.
    Slower,
    /// The demo's clock stands still, or goes on.
    Pause,
    /// Leave the demo and begin a party of one's own.
    OwnParty,
    /// Play the evening ahead: on a bad day, or an ordinary one.
    Rehearse(crate::run::hand::Day),
    /// Catch the mouse, or let it go.
    Mouse,
}

/// Draws the screen into a field of a buffer. Draws nothing outside the field,
/// and at any size, down to nothing at all.
pub fn draw(field: Rect, buf: &mut Buffer, scene: &Scene, ui: &Ui) -> Hits {
    let mut hits = Hits::default();
    let field = field.intersection(buf.area);
    if field.is_empty() {
        return hits;
    }
    let mut canvas = Canvas::new(buf, field, &mut hits, scene.look);
    page::draw(&mut canvas, field, scene, ui);
    hits
}

/// When the picture changes next without any key or event (unix ms of the
/// party's clock): the next second or minute of a countdown, the next column of
/// the line of now, or whatever the view knows of. Always above now.
#[must_use]
pub fn next_change_ms(scene: &Scene, ui: &Ui) -> i64 {
    let (view, now) = (scene.view, scene.view.now_ms);
    let step = if ui.zoom == chart::Zoom::Close { 15_000 } else { 30_000 };
    let column = (now.div_euclid(step) + 1) * step;
    let large = page::deadline(view).map(|at| text::countdown_changes_at(at, now));
    let known = Some(view.next_change_ms).filter(|&at| at > now);
    let prompts = view.do_now.iter().chain(&view.next).chain(&view.running).map(|p| p.due_ms);
    let limits = view
        .holding
        .iter()
        .chain(&view.portions)
        .flat_map(|h| [h.best.at_ms, h.safe.at_ms])
        .flatten();
    let services = scene.plan.services.iter().map(|s| scene.evening.face.ms_of(s.due));
    let ends = view.spans.iter().map(|s| s.to_ms);
    let minutes = prompts.chain(limits).chain(services).chain(ends);
    let minutes = minutes.map(|at| text::minutes_change_at(at, now));
    let soon = [Some(column), large, known].into_iter().flatten().chain(minutes).min();
    soon.unwrap_or(column)
}

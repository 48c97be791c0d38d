//! The whole plan as a list by the clock.

use ratatui::layout::Rect;
use ratatui::style::Style;

use super::letter;
use crate::kitchen::Minute;
use crate::order::InOrder;
use crate::plan::contact;
use crate::plan::risk::words;
use crate::plan::{Block, ServiceLine, SettingBlock, SettingKind, StepKey};
use crate::run::Phase;
use crate::screen::canvas::{Canvas, Hit, top};
use crate::screen::card::visible;
use crate::screen::chart::slot_name;
use crate::screen::look::Ink;
use crate::screen::ui::Ui;
use crate::screen::{Scene, marks, text};

/// A row of the list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Row {
    /// A block of the plan, by index.
    Step(usize),
    /// A setting of a thermostat, by index.
    Dial(usize),
    /// A service, by index.
    Service(usize),
}

fn all(scene: &Scene) -> Vec<(Minute, Row)> {
    let plan = scene.plan;
    let steps = plan.blocks.iter().enumerate().map(|(i, b)| (b.start, Row::Step(i)));
    let turned = |k: SettingKind| k != SettingKind::Keeping;
    let dials = plan.settings.iter().enumerate().filter(|(_, s)| turned(s.kind));
    let dials = dials.map(|(i, s)| (s.from, Row::Dial(i)));
    let services = plan.services.iter().enumerate().map(|(i, s)| (s.due, Row::Service(i)));
    let mut rows: Vec<(Minute, Row)> = dials.chain(steps).chain(services).collect();
    rows.order_by_key(|r| r.0);
    rows
}

/// How many rows there are.
pub(super) fn count(scene: &Scene) -> usize {
    scene.plan.blocks.len()
        + scene.plan.services.len()
        + scene.plan.settings.iter().filter(|s| s.kind != SettingKind::Keeping).count()
}

/// The row of the present time: the first that should have begun, or the first to come.
#[must_use]
pub fn now_row(scene: &Scene) -> usize {
    let open = |row: &(Minute, Row)| match row.1 {
        Row::Step(i) => scene.plan.blocks.get(i).is_some_and(|b| {
            !matches!(marks::phase(scene, b.key), Phase::Running | Phase::Done | Phase::Skipped)
        }),
        _ => row.0 >= scene.view.now,
    };
    let rows = all(scene);
    rows.iter().position(open).unwrap_or(rows.len().saturating_sub(1))
}

/// The load of the chosen row, if it is a step.
#[must_use]
pub fn row_key(scene: &Scene, ui: &Ui) -> Option<StepKey> {
    match all(scene).get(ui.row)?.1 {
        Row::Step(i) => scene.plan.blocks.get(i).map(|b| b.key),
        _ => None,
    }
}

/// What each row is about, by a name that it keeps in another plan too.
pub(super) fn names(scene: &Scene) -> Vec<String> {
    let plan = scene.plan;
    let name = |(from, row): (Minute, Row)| match row {
        Row::Step(i) => plan.blocks.get(i).map(|b| format!("{:?}", b.key)),
        Row::Dial(i) => plan.settings.get(i).map(|s| format!("dial {} {from}", s.station)),
        Row::Service(i) => plan.services.get(i).map(|s| format!("service {}", s.service)),
    };
    all(scene).into_iter().map(|row| name(row).unwrap_or_default()).collect()
}

/// Draws the list.
pub(super) fn draw(canvas: &mut Canvas, field: Rect, scene: &Scene, ui: &Ui) {
    let rows = all(scene);
    let (head, list) = top(field, 1);
    let columns = Columns::of(field.width);
    columns.write(
        canvas,
        head,
        ["from", "to", "", "step", "where", "state"],
        scene.look.ink(Ink::Faint),
        None,
    );
    let (first, count) = visible(rows.len(), ui.row, usize::from(list.height));
    for (at, index) in (first..first + count).enumerate() {
        let Some(&(_, row)) = rows.get(index) else { continue };
        let y = list.y + u16::try_from(at).unwrap_or(0);
        let line = Rect { y, height: 1, ..list };
        draw_row(canvas, line, scene, row, &columns, index == ui.row);
        canvas.hit(line, Hit::Row(index));
    }
    let past = format!("{}-{} of {}", first + 1, first + count, rows.len());
    if field.width >= 100 {
        canvas.text_right(head.x, head.y, head.width, &past, scene.look.ink(Ink::Faint));
    }
}

/// What the chart leaves room for below it: the next rows of the plan.
pub(super) fn coming(canvas: &mut Canvas, field: Rect, scene: &Scene) {
    let rows = all(scene);
    let columns = Columns::of(field.width);
    let (head, list) = top(field, 1);
    let names = ["from", "to", "", "coming up", "where", "state"];
    columns.write(canvas, head, names, scene.look.ink(Ink::Faint), None);
    let room = usize::from(list.height);
    let over =
        |row: &Row| match row {
            Row::Step(i) => scene.plan.blocks.get(*i).is_none_or(|b| {
                !matches!(marks::phase(scene, b.key), Phase::Ahead | Phase::LateStart)
            }),
            _ => false,
        };
    let ahead = rows.iter().skip(now_row(scene)).filter(|r| !over(&r.1));
    for (at, (_, row)) in ahead.take(room).enumerate() {
        let y = list.y + u16::try_from(at).unwrap_or(0);
        draw_row(canvas, Rect { y, height: 1, ..list }, scene, *row, &columns, false);
    }
}

/// Where the columns of the list begin.
struct Columns {
    at: [u16; 6],
    width: u16,
}

impl Columns {
    fn of(width: u16) -> Self {
        let state = width.saturating_sub(if width >= 100 { 20 } else { 13 });
        let place = state.saturating_sub(if width >= 100 { 26 } else { 18 });
        Self { at: [1, 7, 13, 16, place, state], width }
    }

    fn write(
        &self,
        canvas: &mut Canvas,
        row: Rect,
        words: [&str; 6],
        style: Style,
        dish: Option<usize>,
    ) {
        for (i, words) in words.iter().enumerate() {
            let from = self.at.get(i).copied().unwrap_or(0);
            let to = self.at.get(i + 1).copied().unwrap_or(self.width);
            let style = match dish {
                Some(dish) if i == 2 => canvas.look.tag(dish),
                _ => style,
            };
            canvas.text(row.x + from, row.y, to.saturating_sub(from + 1), words, style);
        }
    }
}

fn draw_row(
    canvas: &mut Canvas,
    line: Rect,
    scene: &Scene,
    row: Row,
    columns: &Columns,
    chosen: bool,
) {
    let look = scene.look;
    let cells = match row {
        Row::Step(i) => {
            scene.plan.blocks.get(i).map(|b| step_cells(scene, b, columns.width >= 100))
        }
        Row::Dial(i) => scene.plan.settings.get(i).map(|s| dial_cells(scene, s)),
        Row::Service(i) => scene.plan.services.get(i).map(|s| service_cells(scene, s)),
    };
    let Some(Cells { words, style, dish }) = cells else { return };
    let style = if chosen { look.ink(Ink::Chosen) } else { style };
    if chosen {
        canvas.fill(line, " ", style);
    }
    columns.write(canvas, line, words.each_ref().map(String::as_str), style, dish);
}

/// What stands in the columns of a row, and how.
struct Cells {
    words: [String; 6],
    style: Style,
    dish: Option<usize>,
}

fn step_cells(scene: &Scene, block: &Block, sentences: bool) -> Cells {
    let face = &scene.evening.face;
    let phase = marks::phase(scene, block.key);
    let sheet = scene.evening.sheets.get(block.key.dish);
    let step = sheet.and_then(|s| s.recipe.steps.get(block.key.step));
    let label = step.map_or(String::new(), |s| {
        let short = sheet.map_or(String::new(), crate::kitchen::Sheet::short);
        let clean = match phase {
            Phase::Ahead | Phase::LateStart => cleans(scene, block),
            _ => String::new(),
        };
        if sentences {
            format!("{clean}{}{}", heat(scene, block), text::tame(&s.sentence()))
        } else {
            format!("{clean}{short} {}", text::tame(&s.marked()))
        }
    });
    let load = match block.loads {
        0 | 1 => String::new(),
        loads => format!("{}/{loads} ", block.key.load + 1),
    };
    let at = scene.evening.kitchen.stations.iter().position(|s| s.id == block.station);
    let mut place = at.map_or(block.station.clone(), |s| slot_name(scene.evening, s, &block.slots));
    if let Some(c) = block.setting_c {
        place = format!("{place} {}", scene.evening.customs.oven(c));
    }
    let words = [
        face.label(block.start),
        face.label(block.end),
        letter(scene, Some(block.key.dish)),
        format!("{load}{label}"),
        place,
        state(scene, phase, scene.view.pinned.contains(&block.key)),
    ];
    let style = match phase {
        Phase::Running | Phase::Over | Phase::Overdone | Phase::LateStart => {
            scene.look.ink(Ink::Strong)
        }
        Phase::Done | Phase::Skipped => scene.look.ink(Ink::Faint),
        Phase::Ahead => Style::new(),
    };
    Cells { words, style, dish: Some(block.key.dish) }
}

/// What is changed or washed before a step, in front of it: "new board: ".
fn cleans(scene: &Scene, block: &Block) -> String {
    let tags = contact::before(scene.plan, block.key).map(|c| c.tag(scene.evening));
    let tags: Vec<&str> = tags.collect();
    if tags.is_empty() { String::new() } else { format!("{}: ", tags.join(", ")) }
}

/// The oven's setting in front of a sentence that speaks of another one.
fn heat(scene: &Scene, block: &Block) -> String {
    let step = scene.evening.sheets.get(block.key.dish);
    let step = step.and_then(|s| s.recipe.steps.get(block.key.step));
    let asked = step.and_then(|s| s.ways.get(block.way)).and_then(|w| w.at_c);
    match (block.setting_c, asked) {
        (Some(set), Some(asked)) if set != asked => {
            format!("at {}: ", scene.evening.customs.oven(set))
        }
        _ => String::new(),
    }
}

fn dial_cells(scene: &Scene, setting: &SettingBlock) -> Cells {
    let face = &scene.evening.face;
    let verb = if setting.kind == SettingKind::Heating { "heats to" } else { "cools to" };
    let degrees = scene.evening.customs.oven(setting.to_c);
    let title = scene.evening.station(&setting.station).map_or("", |s| s.title.as_str());
    let (from, to) = (face.label(setting.from), face.label(setting.to));
    let what = format!("turn the dial: {title} {verb} {degrees}");
    let words = [from, to, String::new(), what, String::new(), String::new()];
    Cells { words, style: scene.look.ink(Ink::Heat), dish: None }
}

fn service_cells(scene: &Scene, line: &ServiceLine) -> Cells {
    let title = scene.evening.party.services.get(line.service).map_or("", |s| &s.title);
    let dishes: Vec<String> = line.dishes.iter().map(|d| letter(scene, Some(d.0))).collect();
    let head = scene.look.glyphs().service_head;
    let mut what = format!("{head} {title}: {}", dishes.join(" "));
    let due = scene.evening.face.label(line.due);
    let odds = scene.status.odds.as_ref().and_then(|o| o.of(line.service));
    let (mut often, mut sure) = (String::new(), String::new());
    if let Some(odds) = odds {
        (often, sure) = (words::often(odds), words::interval(odds));
        let threats = odds.threats.iter().map(|t| words::step(scene.evening, t));
        let threats = threats.collect::<Vec<_>>().join(", ");
        if !threats.is_empty() {
            what = format!("{what}  watch {}", text::tame(&threats));
        }
    }
    let words = [due, String::new(), String::new(), what, often, sure];
    Cells { words, style: scene.look.ink(Ink::Service), dish: None }
}

fn state(scene: &Scene, phase: Phase, pinned: bool) -> String {
    let g = scene.look.glyphs();
    match phase {
        Phase::Ahead if pinned => format!("{} pinned", g.pinned),
        Phase::Ahead => String::new(),
        Phase::LateStart => format!("{} late", g.late),
        Phase::Running => format!("{} running", g.running),
        Phase::Over => format!("{} over", g.over),
        Phase::Overdone => format!("{} overdone", g.overdone),
        Phase::Done => format!("{} done", g.done),
        Phase::Skipped => format!("{} left out", g.skipped),
    }
}

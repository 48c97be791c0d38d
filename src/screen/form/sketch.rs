//! A recipe's steps as a small chart of lanes: as soon as each may be done, if
//! nothing else were cooked. It redraws as the recipe is typed.

use ratatui::layout::Rect;
use serde_json::Value;

use crate::kitchen::{Recipe, StationKind};
use crate::order::InOrder;
use crate::screen::canvas::Canvas;
use crate::screen::look::{Ground, Ink};
use crate::screen::text;

/// A step on the sketch.
struct Block {
    step: usize,
    lane: usize,
    from: u32,
    to: u32,
}

/// The sketch of a recipe.
pub(super) struct Sketch {
    lanes: Vec<StationKind>,
    blocks: Vec<Block>,
    labels: Vec<String>,
    total: u32,
}

/// Columns of the lanes' names.
const NAMES: u16 = 12;

impl Sketch {
    /// The sketch, if the tree is a recipe with steps.
    pub(super) fn of(value: &Value) -> Option<Self> {
        let recipe: Recipe = serde_json::from_value(value.clone()).ok()?;
        let starts = starts(&recipe);
        let mut sketch = Self {
            lanes: Vec::new(),
            blocks: Vec::new(),
            labels: recipe.steps.iter().map(|s| s.label.clone()).collect(),
            total: 0,
        };
        let mut order: Vec<usize> = (0..recipe.steps.len()).collect();
        order.order_by_key(|&s| (starts.get(s).copied(), s));
        for step in order {
            let Some(way) = recipe.steps.get(step).and_then(|s| s.ways.first()) else { continue };
            let from = starts.get(step).copied().unwrap_or(0);
            let to = from.saturating_add(way.minutes.likely.max(1));
            let lane = sketch.lane(way.station, from);
            sketch.blocks.push(Block { step, lane, from, to });
            sketch.total = sketch.total.max(to);
        }
        (!sketch.blocks.is_empty()).then_some(sketch)
    }

    /// A lane of a kind of station that is free from a minute on.
    fn lane(&mut self, station: StationKind, from: u32) -> usize {
        let free = |lane: usize| !self.blocks.iter().any(|b| b.lane == lane && b.to > from);
        let found = (0..self.lanes.len()).find(|&l| self.lanes.get(l) == Some(&station) && free(l));
        found.unwrap_or_else(|| {
            self.lanes.push(station);
            self.lanes.len() - 1
        })
    }

    /// The rows that it takes.
    pub(super) fn height(&self) -> u16 {
        u16::try_from(self.lanes.len()).unwrap_or(u16::MAX).saturating_add(1)
    }

    /// Draws it; `chosen` is the step that the form is at.
    pub(super) fn draw(&self, canvas: &mut Canvas, field: Rect, chosen: Option<usize>) {
        if field.width < NAMES + 12 || field.height < 2 {
            return;
        }
        let faint = canvas.look.ink(Ink::Faint);
        let hours = text::span(i64::from(self.total) * 60_000);
        let words = format!("by itself: {hours}");
        canvas.text_right(field.x, field.y, field.width, &words, faint);
        let mut lanes: Vec<(StationKind, usize)> =
            self.lanes.iter().copied().enumerate().map(|(l, kind)| (kind, l)).collect();
        lanes.sort_unstable();
        for ((kind, lane), y) in lanes.into_iter().zip(field.y + 1..field.bottom()) {
            canvas.text(field.x, y, NAMES - 1, kind.word(), faint);
            for block in self.blocks.iter().filter(|b| b.lane == lane) {
                self.block(canvas, Rect { y, height: 1, ..field }, block, chosen);
            }
        }
    }

    fn block(&self, canvas: &mut Canvas, row: Rect, block: &Block, chosen: Option<usize>) {
        let room = u64::from(row.width - NAMES);
        let total = u64::from(self.total.max(1));
        let at = |minute: u32| row.x + NAMES + (u64::from(minute) * room / total) as u16;
        let (from, to) = (at(block.from), at(block.to).max(at(block.from) + 1));
        let style = match chosen == Some(block.step) {
            true => canvas.look.tag(block.step),
            false => canvas.look.tint(block.step),
        };
        let wide = usize::from(to - from);
        let label = self.labels.get(block.step).map_or("", String::as_str);
        let label = format!("{} {label}", block.step + 1);
        let poor = matches!(canvas.look.ground, Ground::Mono | Ground::Sixteen);
        let words = match wide {
            0 | 1 => "|".to_owned(),
            wide if poor => {
                format!("[{}]", text::fit(&label, wide - 2, canvas.cut()))
            }
            wide => text::fit(&label, wide, canvas.cut()),
        };
        canvas.text(from, row.y, to - from, &words, style);
    }
}

/// The earliest minute of each step. Steps that wait for one another in a
/// circle begin where the passes end: the check says so.
fn starts(recipe: &Recipe) -> Vec<u32> {
    let steps = &recipe.steps;
    let mut starts = vec![0_u32; steps.len()];
    for _ in 0..steps.len() {
        for (n, step) in steps.iter().enumerate() {
            let after = step.after.iter().filter_map(|a| {
                let before = steps.iter().position(|s| s.id == a.step)?;
                let minutes = steps.get(before)?.ways.first()?.minutes.likely.max(1);
                let wait = a.best_minutes.unwrap_or(a.least_minutes).max(a.least_minutes);
                Some(starts.get(before)?.saturating_add(minutes).saturating_add(wait))
            });
            let at = after.max().unwrap_or(0).min(100_000);
            if let Some(start) = starts.get_mut(n) {
                *start = at;
            }
        }
    }
    starts
}

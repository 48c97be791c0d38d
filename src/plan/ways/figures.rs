//! A plan in the figures by which a cook compares it with another.

use crate::kitchen::{Evening, Minute};
use crate::plan::{Block, Plan, weights};

/// What a plan is like, in minutes and points.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Figures {
    /// Minutes late: of each service those of its latest dish, added up.
    pub late: Minute,
    /// A most wait or a safety limit is passed that could no longer be kept.
    pub past_limit: bool,
    /// Minutes that finished dishes wait for their services, added up.
    pub waits: Minute,
    /// Tenths of quality points lost: second-best ways, waits too long or too short.
    pub quality: i64,
    /// The first minute of hands.
    pub begins: Option<Minute>,
    /// Minutes from there to the last serving.
    pub span: Minute,
    /// Minutes of cooks with nothing to do between their first and last minute of hands.
    pub idle: Minute,
}

impl Figures {
    /// Reads them off a plan.
    #[must_use]
    pub fn of(evening: &Evening, plan: &Plan) -> Self {
        let lines = plan.services.iter();
        let late = |dishes: &[(usize, Minute, Minute)], due: Minute| {
            dishes.iter().map(|d| (d.2 - due).max(0)).max().unwrap_or(0)
        };
        let by_dish = plan
            .services
            .iter()
            .flat_map(|l| l.dishes.iter().map(|d| i64::from((d.2 - l.due).max(0))));
        let begins = plan.blocks.iter().filter_map(first_hands).min();
        let served = plan.services.iter().flat_map(|l| l.dishes.iter().map(|d| d.2)).max();
        let cooks = evening.party.cooks.iter();
        Self {
            late: lines.map(|l| late(&l.dishes, l.due)).sum(),
            past_limit: plan.cost.late > weights::LATE * by_dish.sum::<i64>(),
            waits: plan.holds.iter().map(|h| (h.to - h.from).max(0)).sum(),
            quality: plan.cost.quality / (weights::POINT / 10),
            begins,
            span: served.zip(begins).map_or(0, |(to, from)| (to - from).max(0)),
            idle: cooks.map(|c| idle(plan, &c.id)).sum(),
        }
    }

    /// Every service is on time and no limit is passed.
    #[must_use]
    pub const fn works(&self) -> bool {
        self.late == 0 && !self.past_limit
    }
}

/// The first minute of the evening's own in which a block wants a cook.
/// What was made the day before counts for that day.
fn first_hands(block: &Block) -> Option<Minute> {
    block.cook.as_ref()?;
    let mut parts = hands(block).map(|p| p.0);
    parts.next().filter(|from| *from >= 0)
}

/// What a block asks of its cook: from, to, per cent.
fn hands(block: &Block) -> impl Iterator<Item = (Minute, Minute, i32)> {
    let from = block.start + block.hands_start;
    let to = block.end - block.hands_end;
    [(block.start, from, 100), (from, to, block.hands_between), (to, block.end, 100)]
        .into_iter()
        .filter(|&(from, to, percent)| from < to && percent > 0)
}

/// Minutes without work of a cook, between the first and the last with some.
fn idle(plan: &Plan, cook: &str) -> Minute {
    let of_cook = plan.blocks.iter().filter(|b| b.cook.as_deref() == Some(cook) && b.start >= 0);
    let parts: Vec<(Minute, Minute, i32)> = of_cook.flat_map(hands).collect();
    let first = parts.iter().map(|p| p.0).min().unwrap_or(0);
    let last = parts.iter().map(|p| p.1).max().unwrap_or(0);
    let asked: i64 = parts.iter().map(|p| i64::from(p.1 - p.0) * i64::from(p.2)).sum();
    let idle = (i64::from(last - first) * 100 - asked).max(0) / 100;
    Minute::try_from(idle).unwrap_or(Minute::MAX)
}

//! The lanes of the cooks' hands: the minutes of full attention as blocks, and
//! between them a fine line while something wants a look now and then.

use super::lanes::{Context, Item, Lane, LaneKind, What};
use crate::order::InOrder;
use crate::plan::Block;
use crate::run::Phase;
use crate::screen::ui::Sel;

/// One lane for each cook who has something to do.
pub(super) fn lanes(context: &Context) -> Vec<Lane> {
    let cooks = context.evening.party.cooks.iter().enumerate();
    cooks
        .filter_map(|(index, cook)| {
            let own = |b: &&Block| b.cook.as_ref() == Some(&cook.id);
            let mut full = Vec::new();
            let mut eyes = Vec::new();
            for block in context.plan.blocks.iter().filter(own) {
                split(context, block, &mut full, &mut eyes);
            }
            if full.is_empty() && eyes.is_empty() {
                return None;
            }
            full.order_by_key(|i| (i.from_ms, i.to_ms));
            let mut items = between(&full, eyes);
            items.append(&mut full);
            items.order_by_key(|i| (i.from_ms, i.to_ms));
            let name = cook.name.clone();
            Some(Lane { name, kind: LaneKind::Cook(index), items, down: false, cold: false })
        })
        .collect()
}

const MINUTE: i64 = 60_000;

/// Splits a block into the parts that need all of a cook and the part in between.
fn split(context: &Context, block: &Block, full: &mut Vec<Item>, eyes: &mut Vec<Item>) {
    let (from, to) = context.span(block);
    let phase = context.phase(block.key);
    let now = context.view.now_ms;
    let head = from.saturating_add(i64::from(block.hands_start) * MINUTE).min(to);
    let tail = to.saturating_sub(i64::from(block.hands_end) * MINUTE).max(head);
    let part = |from_ms: i64, to_ms: i64, what: What| Item {
        from_ms,
        body_ms: to_ms,
        to_ms,
        what,
        dish: Some(block.key.dish),
        others: Vec::new(),
        sel: Some(Sel::Step(block.key)),
        label: context.label(block),
        pinned: false,
    };
    let step = |from_ms: i64, to_ms: i64, last: bool| {
        let phase = match phase {
            Phase::Running if to_ms <= now => Phase::Done,
            Phase::Running if from_ms > now => Phase::Ahead,
            Phase::Over | Phase::Overdone if !last => Phase::Done,
            other => other,
        };
        let over = matches!(phase, Phase::Over | Phase::Overdone);
        let shown = if over { to_ms.max(now) } else { to_ms };
        Item { to_ms: shown, ..part(from_ms, to_ms, What::Step(phase)) }
    };
    if head >= tail || block.hands_between >= 100 {
        full.push(step(from, to, true));
        return;
    }
    if head > from {
        full.push(step(from, head, tail >= to));
    }
    if block.hands_between > 0 && !matches!(phase, Phase::Done | Phase::Skipped) {
        eyes.push(part(head, tail, What::Eye));
    }
    if to > tail {
        full.push(step(tail, to, true));
    }
}

/// What is left of the looks once the full parts are taken out, one after the other.
fn between(full: &[Item], mut eyes: Vec<Item>) -> Vec<Item> {
    eyes.order_by_key(|e| (e.from_ms, e.to_ms));
    let mut out: Vec<Item> = Vec::new();
    let mut free_from = i64::MIN;
    for eye in eyes {
        let mut at = eye.from_ms.max(free_from);
        for f in full.iter().filter(|f| f.from_ms < eye.to_ms) {
            if f.to_ms <= at {
                continue;
            }
            if f.from_ms > at {
                let end = f.from_ms.min(eye.to_ms);
                out.push(Item { from_ms: at, body_ms: end, to_ms: end, ..eye.clone() });
            }
            at = at.max(f.to_ms);
        }
        if at < eye.to_ms {
            out.push(Item { from_ms: at, ..eye.clone() });
        }
        free_from = free_from.max(eye.to_ms);
    }
    out
}

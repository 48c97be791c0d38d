//! A member some way into its evening: what has happened, and the plan on the
//! screen that it went by.

use std::sync::Arc;

use potwatch::kitchen::{Evening, Minute};
use potwatch::plan::planner::{Budget, NoPlan, plan_ahead};
use potwatch::plan::{Begun, Block, Held, Plan, Situation, StepKey};

use super::{Dice, Member};

/// Rounds of search behind the plan on the screen where nothing else is asked: as after a second or so.
pub const ROUNDS: u64 = 300;

/// The plan that stands on the member's screen when its evening begins, made in so many rounds.
///
/// # Errors
/// There is none.
pub fn shown(evening: &Evening, rounds: u64) -> Result<Plan, NoPlan> {
    plan_ahead(evening, &Budget { seed: 1, rounds, stop: &|| false }, &mut |_| ())
}

/// What went wrong of late.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Trouble {
    /// Of the blocks that should just have ended some run over; of those that should just have begun some were
    /// forgotten.
    Much,
    /// All went by the plan but for one block that runs over, and it is the minute after it should have ended: what
    /// most marks of an evening are about.
    OneLate,
    /// The same a minute before, with nothing late yet.
    NothingYet,
}

/// What has happened when 35 to 55 in a hundred of the plan's blocks were to have begun, with much that went wrong.
pub fn situation(member: &Member, evening: &Evening, plan: Plan) -> Situation {
    troubled(member, evening, plan, Trouble::Much)
}

/// The same, with more or less that went wrong.
pub fn troubled(member: &Member, evening: &Evening, plan: Plan, trouble: Trouble) -> Situation {
    let mut dice = Dice::new(member.seed ^ 0x4D1D ^ ((member.steps as u64) << 20));
    let mut starts: Vec<Minute> = plan.blocks.iter().map(|b| b.start).collect();
    starts.sort_unstable();
    let share = dice.from(35, 55) as usize;
    let now = starts.get(starts.len() * share / 100).map_or(0, |&m| m + 1);
    // The last to have ended, if it did so just now.
    let last = plan.blocks.iter().filter(|b| b.end <= now).max_by_key(|b| (b.end, b.key));
    let last = last.filter(|b| b.end + 12 > now);
    let late = last.map(|b| b.key);
    let now = match (trouble, last) {
        (Trouble::OneLate, Some(block)) => block.end + 1,
        (Trouble::NothingYet, Some(block)) => block.end,
        _ => now,
    };
    let mut situation = Situation { now: Some(now), ..Situation::default() };
    for block in &plan.blocks {
        let mut slips =
            Slips { runs_over: dice.chance(30), forgotten: dice.chance(20), over: dice.from(1, 9) };
        if trouble != Trouble::Much {
            slips = Slips { runs_over: Some(block.key) == late, forgotten: false, ..slips };
        }
        if trouble == Trouble::NothingYet {
            slips.over = 0;
        }
        // One thing late: whoever still has it in hand begins nothing else.
        if trouble == Trouble::OneLate && last.is_some_and(|late| has_hands(late, block, now)) {
            slips.forgotten = true;
        }
        if let Some(begun) = begun(evening, block, &situation, now, slips) {
            situation.begun.insert(block.key, begun);
        }
    }
    for set in plan.settings.iter().filter(|s| s.from <= now) {
        let gone = (now - set.from).min(set.to - set.from);
        let c = set.from_c + (set.to_c - set.from_c) * gone / (set.to - set.from).max(1);
        situation.oven_c.insert(set.station.clone(), c);
    }
    finished(evening, &plan, &mut situation, now);
    situation.previous = Some(Arc::new(plan));
    situation
}

/// What went wrong with a block.
#[derive(Debug, Clone, Copy)]
struct Slips {
    runs_over: bool,
    forgotten: bool,
    /// So many minutes it runs over.
    over: Minute,
}

fn begun(
    evening: &Evening,
    block: &Block,
    so_far: &Situation,
    now: Minute,
    slips: Slips,
) -> Option<Begun> {
    let Slips { runs_over, forgotten, over } = slips;
    if block.start >= now || !possible(evening, block, so_far) {
        return None;
    }
    let just = |minute: Minute| minute + 12 > now;
    if forgotten && just(block.start) {
        return None;
    }
    let (start, way, station) = (block.start, block.way, block.station.clone());
    let late = runs_over && just(block.end);
    if block.end <= now && !late {
        return Some(Begun::Done { start, end: block.end, way, station, left_out: false });
    }
    let end = if late { block.end.max(now) + over } else { block.end };
    let (cook, setting_c) = (block.cook.clone(), block.setting_c);
    Some(Begun::Running { start, end, way, station, cook, setting_c })
}

/// Does a late block keep the hands that another one was to begin with since it should have ended?
fn has_hands(late: &Block, other: &Block, now: Minute) -> bool {
    let since = late.end <= other.start && other.start < now;
    since && late.by_hand() && other.cook.is_some() && other.cook == late.cook
}

/// Is all done that the block comes after?
fn possible(evening: &Evening, block: &Block, so_far: &Situation) -> bool {
    let sheet = &evening.sheets[block.key.dish];
    let done = |key: StepKey| matches!(so_far.begun.get(&key), Some(Begun::Done { .. }));
    let all_loads = |step: usize| {
        let mut loads = so_far
            .begun
            .range(StepKey { dish: block.key.dish, step, load: 0 }..)
            .take_while(|(k, _)| k.step == step && k.dish == block.key.dish)
            .peekable();
        let way = loads.peek().map(|(_, b)| match b {
            Begun::Done { way, .. } | Begun::Running { way, .. } => *way,
        });
        let count = loads.filter(|(_, b)| matches!(b, Begun::Done { .. })).count();
        way.is_some_and(|way| count == sheet.loads(step, way) as usize)
    };
    let before = (0..block.key.load).all(|load| done(StepKey { load, ..block.key }));
    let after = &sheet.recipe.steps[block.key.step].after;
    before && after.iter().filter_map(|a| sheet.step_index(&a.step)).all(all_loads)
}

/// Dishes that are ready are on the table, or wait where the plan has them.
fn finished(evening: &Evening, plan: &Plan, situation: &mut Situation, now: Minute) {
    for line in &plan.services {
        for &(dish, ready, served) in &line.dishes {
            let last = evening.sheets[dish].last_step();
            let mut loads = plan.blocks.iter().filter(|b| (b.key.dish, b.key.step) == (dish, last));
            let done =
                loads.all(|b| matches!(situation.begun.get(&b.key), Some(Begun::Done { .. })));
            if !done || ready > now {
                continue;
            }
            if served <= now {
                situation.served.insert(dish);
            } else if let Some(hold) = plan.holds.iter().find(|h| h.dish == dish) {
                let named = hold.hold < evening.sheets[dish].recipe.holds.len();
                let held = Held {
                    hold: Some(hold.hold).filter(|_| named),
                    since: hold.from,
                    station: Some(hold.station.clone()).filter(|s| !s.is_empty()),
                };
                situation.held.insert(dish, held);
            }
        }
    }
}

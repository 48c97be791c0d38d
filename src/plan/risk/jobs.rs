//! The loads of a plan as things that take some time and some hands. Times are
//! seconds from minute 0 of the party's day.

use super::dice::mix;
use super::shared::Factor;
use super::spread::Spread;
use crate::kitchen::{Evening, Minute};
use crate::order::InOrder;
use crate::plan::{Begun, Block, Plan, Situation, StepKey};

/// Seconds from minute 0.
pub(super) type Seconds = i32;

pub(super) const fn seconds(minutes: Minute) -> Seconds {
    minutes.saturating_mul(60)
}

/// A load of a step.
#[derive(Debug, Clone)]
pub(super) struct Job {
    pub key: StepKey,
    /// Names its own luck.
    pub salt: u64,
    /// It starts no earlier; its start, if it has begun.
    pub floor: Seconds,
    pub stage: Stage,
    pub spread: Spread,
    /// Index of the factor that it shares, if any.
    pub factor: Option<usize>,
    /// Index of its cook, if it asks for hands.
    pub cook: Option<usize>,
    /// Done by hand: its share of the cook.
    pub by_hand: Option<i32>,
    /// Going on by itself: per cent of looking in.
    pub look_in: i32,
    /// Going on by itself: seconds of full attention at the start.
    pub head: Seconds,
    /// Going on by itself: seconds of full attention at the end.
    pub tail: Seconds,
}

/// How far it has come.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Stage {
    Ahead,
    /// It has run for so many minutes.
    Runs(f64),
    /// It was done at this time.
    Done(Seconds),
}

/// The jobs of a plan by planned start, and what is known of the factors that they share.
pub(super) fn jobs(
    evening: &Evening,
    situation: &Situation,
    plan: &Plan,
) -> (Vec<Job>, Vec<Factor>) {
    let (stations, cooks) = (evening.kitchen.stations.len(), evening.party.cooks.len());
    let mut factors = vec![Factor::default(); stations + cooks];
    let mut blocks: Vec<&Block> = plan.blocks.iter().collect();
    blocks.order_by_key(|b| (b.start, b.end, b.key));
    let mut jobs = Vec::with_capacity(blocks.len());
    for block in blocks {
        let mut job = ahead(evening, block);
        match situation.begun.get(&block.key) {
            Some(Begun::Done { start, end, .. }) => {
                job.floor = seconds(*start);
                job.stage = Stage::Done(seconds(*end));
                // Left out, it took no time at all and tells nothing.
                if let Some(factor) =
                    job.factor.and_then(|f| factors.get_mut(f)).filter(|_| start < end)
                {
                    factor.took(&job.spread, f64::from(end - start));
                }
            }
            Some(Begun::Running { start, end, .. }) => {
                let now = situation.now.unwrap_or(plan.made_for);
                runs(&mut job, (*start, *end, now), &mut factors);
            }
            None if evening.is_of_the_day_before(block.key.dish, block.key.step) => {
                // Made on its own day as planned, in hours that are not those of this one.
                job.stage = Stage::Done(seconds(block.end));
            }
            None => {
                let now = situation.now.map_or(i32::MIN, seconds);
                job.floor = job.floor.max(now);
            }
        }
        jobs.push(job);
    }
    factors.iter_mut().for_each(Factor::settle);
    (jobs, factors)
}

fn ahead(evening: &Evening, block: &Block) -> Job {
    let StepKey { dish, step, load } = block.key;
    let cook =
        block.cook.as_ref().and_then(|id| evening.party.cooks.iter().position(|c| c.id == *id));
    let by_hand = cook.filter(|_| block.by_hand());
    let percent = if block.all_hands() { 100 } else { block.hands_between };
    let station = evening.kitchen.stations.iter().position(|s| s.id == block.station);
    let heats = station.filter(|&s| evening.kitchen.stations[s].kind.heats());
    let of_cook = by_hand.map(|c| evening.kitchen.stations.len() + c);
    let asks = |minutes: Minute| if cook.is_some() { seconds(minutes) } else { 0 };
    Job {
        key: block.key,
        salt: mix(mix(mix(dish as u64) ^ step as u64) ^ u64::from(load)),
        floor: seconds(block.start),
        stage: Stage::Ahead,
        spread: spread(evening, block),
        factor: of_cook.or(heats),
        cook,
        by_hand: by_hand.map(|_| percent.min(100)),
        look_in: if by_hand.is_none() && cook.is_some() { block.hands_between } else { 0 },
        head: asks(block.hands_start),
        tail: asks(block.hands_end),
    }
}

/// A block's minutes as a distribution, by its recipe and its way.
fn spread(evening: &Evening, block: &Block) -> Spread {
    let Some(sheet) = evening.sheets.get(block.key.dish) else {
        let minutes = f64::from(block.end - block.start);
        return Spread::new(minutes, minutes, minutes);
    };
    let (step, way) = (block.key.step, block.way);
    Spread::new(
        f64::from(sheet.low_minutes(step, way)),
        f64::from(sheet.minutes(step, way)),
        f64::from(sheet.high_minutes(step, way)),
    )
}

/// A job that runs: `at` is its start, its expected end and the present minute.
fn runs(job: &mut Job, at: (Minute, Minute, Minute), factors: &mut [Factor]) {
    let (start, end, now) = at;
    let elapsed = f64::from((now - start).max(0));
    if f64::from(end - start) > expected(&job.spread, elapsed) + 1.5 {
        // The cook has said that it takes longer: so long, more or less as it varies.
        job.spread = job.spread.scaled_to(f64::from((end - now).max(1)));
        job.floor = seconds(now);
        job.stage = Stage::Runs(0.0);
        return;
    }
    job.floor = seconds(start);
    job.stage = Stage::Runs(elapsed);
    if let Some(factor) = job.factor.and_then(|f| factors.get_mut(f)) {
        factor.lasts(&job.spread, elapsed);
    }
}

/// Minutes that a step is expected to take in all that has run for `elapsed`:
/// the likely ones until they have passed, then the mean of what is left of its
/// slope (a third of it), and at least one more.
fn expected(spread: &Spread, elapsed: f64) -> f64 {
    if elapsed < spread.likely() {
        return spread.likely();
    }
    elapsed + ((spread.most() - elapsed) / 3.0).ceil().max(1.0)
}

#[cfg(test)]
mod tests;

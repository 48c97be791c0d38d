//! What happens in an evening, drawn from a seed: what the cook does, what the clocks, the disk, the planner and the
//! terminal do. A script is a plain list, so that one that fails can be made shorter.

use crate::faulty_disk::{Dice, How, When};
use crate::stand_ins::Mood;

/// One thing that happens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Act {
    /// Nothing is pressed for so long (ms).
    Wait(u64),
    /// The cook waits for what is due next, so long past it (ms), and marks it.
    Due(u64),
    /// A key on one of the screens.
    Key(usize, char),
    /// A key that is no letter: Enter, Escape, Tab, arrows.
    Named(usize, u8),
    /// A temperature of the dish at a place in the party.
    Reading(usize, u8, u16),
    /// The cook sees to the first alarm: seen, or answered.
    SeeTo(bool),
    /// The window of a screen gets another size.
    Size(usize, u16, u16),
    /// The computer sleeps (ms).
    Sleep(i64),
    /// The wall clock is set (ms).
    Set(i64),
    /// The wall clock drifts from now on, so many parts in ten thousand.
    Drift(i64),
    /// The program of a screen is killed and started again.
    Kill(usize),
    /// The power goes; what was not on the disk may be there or not, by this seed.
    PowerCut(u64),
    /// The disk fails like this from now on.
    Disk(When, How),
    /// The disk is sound again.
    DiskSound,
    /// The planner is like this from now on.
    Mood(Mood),
    /// A second screen is opened, or left.
    Second,
}

/// What kind of evening it is: one in so many acts.
#[derive(Debug, Clone, Copy)]
struct Weather {
    slip: u64,
    fault: u64,
}

/// The script of a seed.
pub fn script(seed: u64) -> Vec<Act> {
    let mut dice = Dice(seed);
    let weather = match dice.below(4) {
        0 => Weather { slip: 1000, fault: 1000 },
        1 => Weather { slip: 4, fault: 1000 },
        2 => Weather { slip: 12, fault: 12 },
        _ => Weather { slip: 5, fault: 6 },
    };
    let slow = dice.below(3) * 60_000;
    let count = 80 + dice.below(120);
    (0..count).map(|_| act(&mut dice, weather, slow)).collect()
}

fn act(dice: &mut Dice, weather: Weather, slow: u64) -> Act {
    if dice.below(weather.fault) == 0 {
        return fault(dice);
    }
    if dice.below(weather.slip) == 0 {
        return slip(dice);
    }
    match dice.below(12) {
        0 => Act::Wait(1 + dice.below(600_000)),
        1 => Act::SeeTo(dice.below(2) == 0),
        2 => Act::Reading(dice.below(2) as usize, dice.below(6) as u8, 60 + dice.below(30) as u16),
        _ => Act::Due(if dice.below(5) == 0 {
            dice.below(900_000)
        } else {
            dice.below(slow + 20_000)
        }),
    }
}

fn slip(dice: &mut Dice) -> Act {
    const KEYS: &[u8] = b" uuumesgptdhoc sxvbjkzrywlq?a123456789nf.,:-/0";
    let screen = dice.below(2) as usize;
    match dice.below(8) {
        0 => Act::Named(screen, dice.below(12) as u8),
        1 => Act::Reading(screen, dice.below(6) as u8, dice.below(260) as u16),
        2 => Act::Size(screen, 1 + dice.below(260) as u16, 1 + dice.below(80) as u16),
        _ => Act::Key(screen, char::from(KEYS[dice.below(KEYS.len() as u64) as usize])),
    }
}

fn fault(dice: &mut Dice) -> Act {
    let (n, seed) = (1 + dice.below(30), dice.next());
    let how = [How::Error, How::Full, How::ReadOnly, How::Short][dice.below(4) as usize];
    match dice.below(16) {
        0 => Act::Sleep(dice.below(3_600_000) as i64),
        1 => Act::Set(dice.below(7_200_000) as i64 - 3_600_000),
        2 => Act::Drift(dice.below(41) as i64 - 20),
        3 | 4 => Act::Kill(dice.below(2) as usize),
        5 | 6 => Act::PowerCut(seed | 1),
        7 => Act::Disk(When::Once(n), how),
        8 => Act::Disk(When::From(n), how),
        9 | 10 => Act::DiskSound,
        11 => Act::Mood(Mood::Slow(dice.below(120_000))),
        12 => Act::Mood(Mood::Stale),
        13 => Act::Mood(if dice.below(3) == 0 { Mood::Silent } else { Mood::Prompt }),
        14 => Act::Second,
        _ => Act::Size(dice.below(2) as usize, dice.below(300) as u16, dice.below(90) as u16),
    }
}

/// The shortest script found that still fails, by leaving out ever smaller pieces (delta debugging; Zeller and
/// Hildebrandt 2002).
pub fn shrink(script: &[Act], fails: &dyn Fn(&[Act]) -> bool) -> Vec<Act> {
    let mut best = script.to_vec();
    let mut piece = best.len().div_ceil(2).max(1);
    loop {
        let mut at = 0;
        while at < best.len() {
            let mut shorter = best.clone();
            shorter.drain(at..(at + piece).min(shorter.len()));
            if fails(&shorter) {
                best = shorter;
            } else {
                at += piece;
            }
        }
        if piece == 1 {
            return best;
        }
        piece = piece.div_ceil(2).max(1);
    }
}

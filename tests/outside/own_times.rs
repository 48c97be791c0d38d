//! `own_times SEED EVENINGS`: what is learnt of a made-up cook's evenings, as
//! `potwatch times --json` prints it; `own_times.py` works out the same.

#[path = "../support/cooks.rs"]
mod cooks;

use cooks::{Cook, Habits};
use potwatch::learn::Known;
use potwatch::learn::wire::times_file;

fn main() {
    let mut args = std::env::args().skip(1).map(|a| a.parse::<u32>().unwrap_or(1));
    let (seed, evenings) = (args.next().unwrap_or(1), args.next().unwrap_or(4));
    let habits =
        Habits { station: 0.113, hands: -0.08, evening: 0.05, usual: 0.7, chance: 0.6, slips: 25 };
    let cook = Cook::new(u64::from(seed), habits);
    let seen = (1..=evenings).flat_map(|e| cook.cooks(e, 5)).collect();
    let known = Known::from(seen);
    let all = known.all();
    let file = times_file(&known, &all, Vec::new());
    println!("{}", serde_json::to_string_pretty(&file).expect("it can be written"));
}

//! Whole evenings in which everything around the program goes wrong that can: see `sim/`.
//!
//! The method is deterministic simulation: the production code, with the clock, the disk, the planner's thread and
//! the terminal replaced, all driven by one seed. A failing seed prints itself and a shorter script.
//!
//!     SEEDS=20000 cargo test --release --test simulation -- --ignored --nocapture
//!     FIRST=17 SEEDS=1 cargo test --test simulation -- --nocapture
//!
//!     PROPTEST_CASES=5000 cargo test --release --test simulation keys -- --nocapture
//!
//! `WHOLE=1`: only the failures themselves, not made shorter.

#[path = "support/cases.rs"]
mod cases;
#[path = "support/faulty_disk.rs"]
mod faulty_disk;
#[path = "sim/script.rs"]
mod script;
#[path = "sim/mod.rs"]
mod sim;
#[path = "sim/stand_ins.rs"]
mod stand_ins;
#[path = "sim/world.rs"]
mod world;

use std::sync::atomic::{AtomicU64, Ordering};

use cases::cases;
use proptest::collection::vec;
use proptest::prelude::*;
use sim::{Act, Tally, evening, play, told};

fn number(name: &str, otherwise: u64) -> u64 {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(otherwise)
}

fn run(seeds: u64) {
    let first = number("FIRST", 1);
    let seeds = first..first + number("SEEDS", seeds);
    let quiet = std::panic::take_hook();
    std::panic::set_hook(Box::new(|_| ()));
    let next = AtomicU64::new(seeds.start);
    let mut all = Tally::default();
    let mut failed: Vec<(u64, String)> = Vec::new();
    let play = || {
        let (mut all, mut failed) = (Tally::default(), Vec::new());
        loop {
            let seed = next.fetch_add(1, Ordering::Relaxed);
            if seed >= seeds.end {
                return (all, failed);
            }
            match evening(seed) {
                Ok(tally) => all = all.and(&tally),
                Err(why) => {
                    // Told before it is made shorter, which takes far longer than the evening itself.
                    println!("{seed}: {why}");
                    failed.push((seed, why));
                }
            }
        }
    };
    std::thread::scope(|scope| {
        let cores = std::thread::available_parallelism().map_or(1, usize::from);
        let players: Vec<_> = (0..cores).map(|_| scope.spawn(play)).collect();
        for player in players {
            let (tally, bad) = player.join().expect("evenings end");
            all = all.and(&tally);
            failed.extend(bad);
        }
    });
    failed.sort();
    let whole = number("WHOLE", 0) == 1;
    let told = failed.first().filter(|_| !whole).map(|(seed, why)| told(*seed, why));
    std::panic::set_hook(quiet);
    println!("{all:?}");
    let list: Vec<String> =
        failed.iter().map(|(seed, why)| format!("{seed}: {why:.200}")).collect();
    assert!(
        failed.is_empty(),
        "{} fail:\n{}\n\n{}",
        failed.len(),
        list.join("\n"),
        told.unwrap_or_default()
    );
}

#[test]
fn evenings_with_faults() {
    run(60);
}

#[test]
#[ignore = "twenty thousand evenings take hours"]
fn evenings_with_faults_by_the_thousand() {
    run(20_000);
}

/// Keys as fingers fall on them, on two screens, with some waiting.
fn fingers() -> impl Strategy<Value = Act> {
    let letters: Vec<char> = (' '..='~').collect();
    let screen = 0usize..2;
    prop_oneof![
        12 => (screen.clone(), prop::sample::select(letters)).prop_map(|(s, c)| Act::Key(s, c)),
        6 => (screen.clone(), 0u8..12).prop_map(|(s, n)| Act::Named(s, n)),
        2 => (1u64..900_000).prop_map(Act::Wait),
        2 => (0u64..300_000).prop_map(Act::Due),
        1 => (screen, 1u16..220, 1u16..70).prop_map(|(s, w, h)| Act::Size(s, w, h)),
        1 => Just(Act::Second),
    ]
}

proptest! {
    #![proptest_config(cases(24))]

    /// Nothing but keys, in any order: all that `sim/world.rs` asserts holds.
    #[test]
    fn of_any_keys(seed in 0u64..1_000, acts in vec(fingers(), 1..90)) {
        play(seed, &acts);
    }
}

//! Whole evenings in which everything around the program goes wrong that can: see `sim/`.
//!
//! The method is deterministic simulation: the production code, with the clock, the disk, the planner's thread and
//! the terminal replaced, all driven by one seed. A failing seed prints itself and a shorter script.
//!
//!     SEEDS=20000 cargo test --release --test simulation -- --ignored --nocapture
//!     FIRST=17 SEEDS=1 cargo test --test simulation -- --nocapture
//!
//! `WHOLE=1`: only the failures themselves, not made shorter.

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

use sim::{Tally, evening, told};

fn number(name: &str, otherwise: u64) -> u64 {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(otherwise)
}

fn run(seeds: u64) {
    let first = number("FIRST", 1);
    let mut all = Tally::default();
    let mut failed = Vec::new();
    let quiet = std::panic::take_hook();
    std::panic::set_hook(Box::new(|_| ()));
    for seed in first..first + number("SEEDS", seeds) {
        match evening(seed) {
            Ok(tally) => all = all.and(&tally),
            Err(why) => {
                // Told before it is made shorter, which takes far longer than the evening itself.
                println!("{seed}: {why}");
                failed.push((seed, why));
            }
        }
    }
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

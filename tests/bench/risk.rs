//! How many evenings a plan is played forward in 100 ms, by one thread.
//! `cargo test --release --test bench risk -- --ignored --nocapture`

use std::time::Instant;

use potwatch::kitchen::{Clockface, Evening};
use potwatch::plan::planner::{Budget, plan_ahead};
use potwatch::plan::risk::{self, forecast, words};
use potwatch::plan::{Begun, Plan, Situation};
use potwatch::store::load::load_builtin;

fn demo() -> Evening {
    let day = chrono::NaiveDate::from_ymd_opt(2026, 10, 24).expect("a day");
    load_builtin(Clockface::fixed(day, 0)).expect("the demo")
}

/// The evening at a minute of a plan that has gone as planned.
fn at(plan: &Plan, now: i32) -> Situation {
    let begun = plan.blocks.iter().filter(|b| b.start < now).map(|b| {
        let (start, end, way, station) = (b.start, b.end, b.way, b.station.clone());
        let (cook, setting_c) = (b.cook.clone(), b.setting_c);
        let begun = if end <= now {
            Begun::Done { start, end, way, station, left_out: false }
        } else {
            Begun::Running { start, end, way, station, cook, setting_c }
        };
        (b.key, begun)
    });
    Situation { now: Some(now), begun: begun.collect(), ..Situation::default() }
}

#[test]
#[ignore = "a measurement"]
fn risk() {
    let evening = demo();
    let budget = Budget { seed: 1, rounds: 2_000, stop: &|| false };
    let plan = plan_ahead(&evening, &budget, &mut |_| ()).expect("a plan");
    println!("{:<10} {:>8} {:>10} {:>20}", "demo", "blocks", "ms/2000", "evenings in 100 ms");
    for (name, situation) in [
        ("ahead", Situation::default()),
        ("at 16:00", at(&plan, 16 * 60)),
        ("at 17:30", at(&plan, 17 * 60 + 30)),
    ] {
        let mut times = Vec::new();
        let mut last = risk::Forecast::default();
        for _ in 0..7 {
            let start = Instant::now();
            last = forecast(&evening, &situation, &plan, risk::SEED, risk::EVENINGS);
            times.push(start.elapsed().as_secs_f64() * 1e3);
        }
        times.sort_by(f64::total_cmp);
        let ms = times[3];
        let in_100 = 100.0 / ms * f64::from(risk::EVENINGS);
        println!("{name:<10} {:>8} {ms:>10.1} {in_100:>20.0}", plan.blocks.len());
        for odds in &last.services {
            println!(
                "    service {} {} ({}) {} {:?}",
                odds.service,
                words::percent(odds),
                words::interval(odds),
                words::evenings(odds),
                odds.threats
                    .iter()
                    .map(|t| (words::step(&evening, t), t.over_minutes))
                    .collect::<Vec<_>>()
            );
            println!("      {:?}", odds.dishes);
        }
    }
}

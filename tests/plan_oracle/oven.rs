//! Tiny problems whose oven is shared: two trays at a time, settings that may agree or just not, and often one that
//! was in it before now. What the day costs is priced in other ways, too, and some ways are barred.

use potwatch::plan::problem::{OvenUse, Problem};

use super::tiny::{HOB, RACK, Random, begin, tiny};

/// What may be asked of the oven: settings that are the same, overlap, touch, or are apart.
const ASKED_C: [(i32, i32); 5] = [(30, 30), (29, 30), (30, 31), (31, 32), (40, 40)];

/// As [`tiny`], with most of it in the oven.
pub fn shared_oven(seed: u64) -> Problem {
    let mut p = tiny(seed);
    let r = &mut Random(seed ^ 0x0FE4);
    let asked = |r: &mut Random| {
        let (least_c, most_c) = ASKED_C[r.to(4) as usize];
        OvenUse { oven: 0, least_c, most_c }
    };
    p.resources[RACK].capacity = 2;
    let begun: Vec<bool> =
        p.steps.iter().map(|s| s.tasks().any(|t| p.tasks[t].fixed.is_some())).collect();
    for (step, _) in p.steps.iter_mut().zip(&begun).filter(|(_, begun)| !**begun) {
        for mode in &mut step.modes {
            if r.chance(70) {
                mode.uses[0].resource = RACK;
                mode.uses[0].amount = 1;
                mode.oven = Some(asked(r));
            }
        }
    }
    for dish in p.dishes.iter_mut().filter(|d| d.held.is_none()) {
        for hold in &mut dish.holds {
            if r.chance(50) {
                hold.uses[0].resource = RACK;
                hold.oven = Some(asked(r));
            }
        }
    }
    if !begun.contains(&true) && r.chance(60) {
        begin(r, &mut p);
    }
    // Now and then a burner less than something asks for, and a second load that has no minute.
    if r.chance(20) {
        p.resources[HOB].capacity = 1;
    }
    for task in p.tasks.iter_mut().filter(|t| t.load > 0 && t.fixed.is_none()) {
        if r.chance(20) {
            (task.earliest, task.latest) = (4, 3);
        }
    }
    for mode in p.steps.iter_mut().zip(&begun).filter(|b| !*b.1).flat_map(|s| &mut s.0.modes) {
        if let Some(oven) = mode.oven.as_mut().filter(|_| r.chance(5)) {
            oven.most_c = oven.least_c - 1;
        }
    }
    let prices = [r.to(2), r.to(3) * 2, r.to(1) * 3].map(i64::from);
    [p.idle_price, p.span_price, p.finish_price] = prices;
    p
}

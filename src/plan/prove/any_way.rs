//! Any schedule at all, where the search found no beginning and nobody can say that there is none.

use crate::plan::Cost;
use crate::plan::judge;
use crate::plan::problem::Schedule;
use crate::plan::search::{self, Ask};

/// Minutes by which services are put off, one attempt after the other: most that is found is found by beginning anew.
pub(super) const LATER_MINUTES: [i32; 8] = [0, 0, 0, 0, 15, 30, 60, 120];

/// A schedule that keeps every rule, however far from the plan on the screen, and its cost. It leaves out what only
/// costs and aims at later services: what is ready for a later one waits less for the right one, so that no rule is
/// broken. It is one beginning of the search.
pub(super) fn any_way(ask: &Ask<'_>, later_minutes: i32, seed: u64) -> Option<(Schedule, Cost)> {
    let mut aim = ask.problem.clone();
    aim.take_prices_away();
    for dish in &mut aim.dishes {
        dish.due = dish.due.saturating_add(later_minutes);
    }
    let bare = Ask { problem: &aim, warm: None, ready: &[], seed, rounds: 0, stop: ask.stop };
    let found = search::solve(&bare, &mut |_, _| ()).schedule?;
    let cost = judge::judge(ask.problem, &found).ok()?;
    Some((found, cost))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::planner::Planning;
    use crate::plan::sample::evening;
    use crate::plan::situation::Situation;

    /// What is found without any beginning keeps every rule of the evening as it is, at any minute.
    #[test]
    fn it_keeps_every_rule() {
        let evening = evening();
        for now in [None, Some(16 * 60), Some(18 * 60 + 30)] {
            let situation = Situation { now, ..Situation::default() };
            let planning = Planning::new(&evening, &situation).expect("a problem");
            let problem = planning.problem();
            let ask = Ask { problem, warm: None, ready: &[], seed: 1, rounds: 0, stop: &|| false };
            let found: Vec<_> = LATER_MINUTES.iter().filter_map(|l| any_way(&ask, *l, 1)).collect();
            assert!(!found.is_empty(), "at {now:?}");
            for (schedule, cost) in found {
                assert_eq!(judge::judge(problem, &schedule), Ok(cost));
            }
        }
    }
}

//! Oven settings as a dial has them: in steps of five degrees, wherever the
//! rules leave such a one. A setting has no price, so this only ever changes
//! what the cook turns to.

use std::collections::BTreeSet;

use super::judge;
use super::problem::{Problem, Schedule};
use crate::order::InOrder;

/// °C from one mark of a dial to the next (common practice, no source).
pub const STEP_C: i32 = 5;

/// How far from the setting found another is tried, °C.
const REACH_C: i32 = 15;

/// The schedule with its oven settings on marks of the dial, as far as the
/// judge lets it be so at no more cost. What is fixed stays. A schedule that
/// breaks a rule comes back as it is.
#[must_use]
pub fn on_marks(problem: &Problem, schedule: &Schedule) -> Schedule {
    let mut best = schedule.clone();
    let odd = odd(&best);
    if odd.is_empty() {
        return best;
    }
    let Ok(cost) = judge::judge(problem, &best) else { return best };
    for found in odd {
        let mut marks: Vec<i32> =
            (found - REACH_C..=found + REACH_C).filter(|c| c % STEP_C == 0).collect();
        marks.order_by_key(|c| (c - found).abs());
        let fits =
            marks.into_iter().map(|mark| turned(problem, &best, found, mark)).find(|tried| {
                judge::judge(problem, tried).is_ok_and(|now| now.total() <= cost.total())
            });
        best = fits.unwrap_or(best);
    }
    best
}

/// The settings between the marks.
fn odd(schedule: &Schedule) -> BTreeSet<i32> {
    let settings = schedule.setting_c.iter().chain(&schedule.hold_setting_c);
    settings.flatten().copied().filter(|c| c % STEP_C != 0).collect()
}

/// With every use at one setting, but those that have begun, at another.
fn turned(problem: &Problem, schedule: &Schedule, from: i32, to: i32) -> Schedule {
    let mut turned = schedule.clone();
    for (setting, task) in turned.setting_c.iter_mut().zip(&problem.tasks) {
        if *setting == Some(from) && task.fixed.is_none() {
            *setting = Some(to);
        }
    }
    for (setting, dish) in turned.hold_setting_c.iter_mut().zip(&problem.dishes) {
        if *setting == Some(from) && dish.held.is_none() {
            *setting = Some(to);
        }
    }
    turned
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::problem::{Dish, Fixed, Mode, Oven, OvenUse, Step, Task};

    /// A loaf alone in an oven that takes these settings.
    fn loaf(least_c: i32, most_c: i32, setting_c: i32) -> (Problem, Schedule) {
        let oven = Some(OvenUse { oven: 0, least_c, most_c });
        let mode = Mode { minutes: 30, loads: 1, oven, ..Mode::default() };
        let step = Step { modes: vec![mode], task_count: 1, ..Step::default() };
        let task = Task { latest: 100, ..Task::default() };
        let problem = Problem {
            end: 200,
            ovens: vec![Oven { start_c: 20, up_c_per_min: 10, down_c_per_min: 3 }],
            steps: vec![step],
            tasks: vec![task],
            dishes: vec![Dish { due: 90, ..Dish::default() }],
            ..Problem::default()
        };
        let schedule = Schedule {
            mode: vec![0],
            start: vec![60],
            cook: vec![None],
            setting_c: vec![Some(setting_c)],
            hold: vec![None],
            hold_setting_c: vec![None],
        };
        (problem, schedule)
    }

    #[test]
    fn the_nearest_mark_within_the_range_is_taken() {
        let (problem, schedule) = loaf(205, 225, 214);
        assert!(judge::judge(&problem, &schedule).is_ok());
        assert_eq!(on_marks(&problem, &schedule).setting_c, [Some(215)]);
    }

    #[test]
    fn a_range_without_a_mark_keeps_what_was_found() {
        let (problem, schedule) = loaf(211, 214, 213);
        assert!(judge::judge(&problem, &schedule).is_ok());
        assert_eq!(on_marks(&problem, &schedule), schedule);
    }

    /// Two loaves of one setting, one of them in the oven by now; a dish that waits there already, one that will, and
    /// one at another setting.
    #[test]
    fn what_has_begun_keeps_its_setting_and_others_keep_theirs() {
        let (mut problem, mut schedule) = loaf(205, 225, 214);
        let fixed = Some(Fixed { start: 0, end: 90, cook: None, setting_c: Some(214) });
        let fixed = Task { fixed, ..Task::default() };
        problem.tasks = vec![Task::default(), fixed, Task::default()];
        let held = Dish { held: Some(0), ..Dish::default() };
        problem.dishes = vec![Dish::default(), held, Dish::default(), Dish::default()];
        schedule.setting_c = vec![Some(214), Some(214), Some(180)];
        schedule.hold_setting_c = vec![Some(214), Some(214), Some(180), None];
        let turned = turned(&problem, &schedule, 214, 215);
        assert_eq!(turned.setting_c, [Some(215), Some(214), Some(180)]);
        assert_eq!(turned.hold_setting_c, [Some(215), Some(214), Some(180), None]);
    }
}

//! A schedule up to some of its minutes, kept for as long as changes of it are
//! tried: what comes later need not be taken out anew for each.

use super::{Rail, Standing};

/// A cut at the start of every so manieth task.
const TASKS_APART: usize = 4;

/// Cuts of one schedule, made when they are first wanted.
#[derive(Debug, Clone, Default)]
pub struct Cuts<'m> {
    cuts: Vec<Cut<'m>>,
    /// So many of them are of the schedule.
    count: usize,
    starts: Vec<i32>,
}

/// What starts before a minute.
#[derive(Debug, Clone)]
struct Cut<'m> {
    minute: i32,
    standing: Standing<'m>,
    made: bool,
}

impl<'m> Cuts<'m> {
    /// They are to be of another schedule.
    pub fn forget(&mut self) {
        self.count = 0;
    }

    /// Lets `rail` stand as `base` does, without some of what starts at or after a minute.
    pub fn lay(&mut self, rail: &mut Rail<'m>, base: &Standing<'m>, from: i32) {
        if self.count == 0 {
            self.choose(rail, base);
        }
        let Some(k) = self.cuts[..self.count].iter().position(|c| c.minute >= from) else {
            return rail.now.copy(base);
        };
        if self.cuts[k].made {
            return rail.now.copy(&self.cuts[k].standing);
        }
        let later = self.cuts[k + 1..self.count].iter().find(|c| c.made);
        rail.now.copy(later.map_or(base, |c| &c.standing));
        let cut = &mut self.cuts[k];
        for i in 0..rail.open.len() {
            let t = rail.open[i];
            let laid = &rail.now.laid;
            if laid.stands(t) && laid.start[t] >= cut.minute {
                rail.lift(t);
            }
        }
        cut.standing.copy(&rail.now);
        cut.made = true;
    }

    fn choose(&mut self, rail: &Rail<'m>, base: &Standing<'m>) {
        let standing = rail.open.iter().filter(|&&t| base.laid.stands(t));
        self.starts.clear();
        self.starts.extend(standing.map(|&t| base.laid.start[t]));
        self.starts.sort_unstable();
        self.starts.dedup();
        for &minute in self.starts.iter().step_by(TASKS_APART) {
            if self.count == self.cuts.len() {
                self.cuts.push(Cut { minute, standing: base.clone(), made: false });
            }
            let cut = &mut self.cuts[self.count];
            (cut.minute, cut.made) = (minute, false);
            self.count += 1;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::plan::planner::Planning;
    use crate::plan::search::model::Model;
    use crate::plan::search::state::State;
    use crate::plan::{Situation, sample};

    /// All that stands, in words, without what comes at or after a minute.
    fn up_to(rail: &mut Rail, from: i32) -> String {
        for i in 0..rail.open.len() {
            let t = rail.open[i];
            if rail.now.laid.stands(t) && rail.now.laid.start[t] >= from {
                rail.lift(t);
            }
        }
        let now = &rail.now;
        let mut heats: Vec<String> = now.heats.iter().flatten().map(|h| format!("{h:?}")).collect();
        heats.sort();
        let dishes = (&now.stays, &now.settled, &now.laid.hold);
        format!("{:?} {:?} {dishes:?} {heats:?}", now.board, now.laid.placed)
    }

    #[test]
    fn a_cut_is_what_taking_everything_out_leaves() {
        let (evening, situation) = (sample::evening(), Situation::default());
        let planning = Planning::new(&evening, &situation).expect("a problem");
        let m = Model::new(planning.problem());
        let mut rail = Rail::new(&m, &State::new(&m)).expect("nothing has begun");
        let mut cuts = Cuts::default();
        for wanted in [0, 90] {
            let open = rail.open.clone();
            for &t in open.iter() {
                if rail.now.laid.stands(t) {
                    rail.lift(t);
                }
            }
            rail.wanted.fill(wanted);
            for &t in open.iter().filter(|&&t| m.always[t]) {
                rail.put(t);
            }
            let stand = open.iter().filter(|&&t| rail.now.laid.stands(t)).count();
            assert!(stand * 2 > open.len(), "{stand} of {}", open.len());
            let base = rail.now.clone();
            let mut minutes: Vec<i32> = open.iter().map(|&t| base.laid.start[t]).collect();
            minutes.extend([0, 1, m.h]);
            minutes.extend_from_within(..);
            cuts.forget();
            for (from, later) in minutes.into_iter().zip((0..3).cycle()) {
                cuts.lay(&mut rail, &base, from + later);
                let cut = up_to(&mut rail, from + later);
                rail.now.copy(&base);
                assert_eq!(cut, up_to(&mut rail, from + later), "from {from} on");
            }
            rail.now.copy(&base);
        }
    }
}

//! Linear inequalities: the sum of `times x variable` is at least `least`.

use super::lit::{Lit, Var};
use super::{Conflict, Engine, Reason};

/// If all of `when` hold, the terms add up to at least `least`.
#[derive(Debug, Clone, Default)]
pub struct Linear {
    when: Vec<Lit>,
    /// Factors above nothing.
    terms: Vec<(i64, Var)>,
    least: i64,
}

impl Linear {
    /// `sum of times x variable + constant >= least`; factors may have any sign.
    #[must_use]
    pub fn at_least(when: &[Lit], terms: &[(i64, Var)], least: i64) -> Self {
        let mut own: Vec<(i64, Var)> = Vec::new();
        for &(times, var) in terms.iter().filter(|t| t.0 != 0) {
            let positive = if var.is_positive() { var } else { var.neg() };
            let times = if var.is_positive() { times } else { -times };
            match own.iter_mut().find(|t| t.1 == positive) {
                Some(t) => t.0 += times,
                None => own.push((times, positive)),
            }
        }
        own.retain(|t| t.0 != 0);
        for t in &mut own {
            if t.0 < 0 {
                *t = (-t.0, t.1.neg());
            }
        }
        Self { when: when.to_vec(), terms: own, least }
    }

    /// Variables whose bounds matter.
    pub fn watched(&self) -> impl Iterator<Item = Var> + '_ {
        self.terms.iter().map(|t| t.1.neg()).chain(self.when.iter().map(|l| l.var))
    }

    /// The most that the terms can add up to, less what they must.
    fn slack(&self, e: &Engine) -> i64 {
        self.terms.iter().map(|&(times, v)| times * i64::from(e.high(v))).sum::<i64>() - self.least
    }

    pub(super) fn propagate(&mut self, e: &mut Engine, number: u32) -> Result<(), Conflict> {
        let mut open = None;
        for &l in &self.when {
            if e.is_true(l) {
                continue;
            }
            if open.is_some() || e.is_false(l) {
                return Ok(());
            }
            open = Some(l);
        }
        e.work += 1 + self.terms.len() as u64 / 8;
        let slack = self.slack(e);
        if slack < 0 {
            let mut why = Vec::new();
            let at = e.trail.len();
            self.why(e, None, -1 - slack, at, &mut why);
            why.extend(self.when.iter().copied().filter(|&l| Some(l) != open));
            return match open {
                None => e.fail(&why),
                Some(open) => e.enqueue_for(open.not(), &why),
            };
        }
        if open.is_some() {
            return Ok(());
        }
        for &(times, v) in &self.terms {
            let high = i64::from(e.high(v));
            if times * (high - i64::from(e.low(v))) <= slack {
                continue;
            }
            // The others at their most leave so little that this one must be at least:
            let least = high - slack / times;
            let lit = v.at_least(clamp(least));
            e.enqueue(lit, Reason::Linear(number))?;
        }
        Ok(())
    }

    /// The bounds of the terms (but one) from which a contradiction follows
    /// with `spare` to give away.
    fn why(&self, e: &Engine, but: Option<Var>, mut spare: i64, at: usize, out: &mut Vec<Lit>) {
        let from = out.len();
        for &(times, v) in self.terms.iter().filter(|t| Some(t.1) != but) {
            let high = -e.low_before(v.neg(), at);
            let free = times * i64::from(-e.root[v.neg().index()] - high);
            if free == 0 {
                continue;
            }
            if free <= spare {
                spare -= free;
            } else {
                out.push(v.at_most(high));
            }
        }
        for lit in &mut out[from..] {
            let find = self.terms.iter().find(|t| t.1.neg() == lit.var);
            let Some(&(times, _)) = find else { continue };
            let more = spare / times;
            if more > 0 {
                spare -= more * times;
                lit.at -= clamp(more);
            }
        }
    }

    pub(super) fn explain(&self, e: &Engine, lit: Lit, at: usize, out: &mut Vec<Lit>) {
        let Some(&(times, v)) = self.terms.iter().find(|t| t.1 == lit.var) else { return };
        out.extend_from_slice(&self.when);
        // With this one below `lit`, the sum must fall short even so.
        let mut most = times * i64::from(lit.at - 1);
        for &(times, w) in self.terms.iter().filter(|t| t.1 != v) {
            most += times * i64::from(-e.low_before(w.neg(), at));
        }
        self.why(e, Some(v), self.least - 1 - most, at, out);
    }
}

fn clamp(n: i64) -> i32 {
    n.clamp(i64::from(i32::MIN / 4), i64::from(i32::MAX / 4)) as i32
}

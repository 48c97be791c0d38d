//! How long food is without heat or cold in all, along every way through its recipe.
//!
//! What the guidance counts: US consumer and Canada all times out since the food was made, together; Australia and New
//! Zealand the same, up to the sum after which it may not go back; the UK one occasion and the Food Code one episode,
//! and the minutes of preparation by themselves, which add up too. All of it together, from one heating to the next or
//! to the end of the time on the table, is what the first four say, and more than the other two ask. So it is held
//! against the limit whatever the profile. A hot or a cold place stops the clock; only heating sets it back.

use super::{Check, steps::minutes};
use crate::kitchen::units::Unit;
use crate::kitchen::{After, Kept, Minute, Sheet, StationKind, WaitPlace};
use crate::plan::blocks::Block;

/// The longest of the ways that are alike in all else.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(super) struct Way {
    /// Minutes out of control since the food was last heated.
    pub out: Minute,
    /// As few as they can still become.
    pub least: Minute,
    /// Dry goods so far, which may lie about until they are heated.
    dry: bool,
    /// The stretch that it is in began before now.
    runs: bool,
    /// A stretch that began before now ends after it: the plan may have to go past the limit.
    pub under_way: bool,
    /// Up to the start of this step, which heats; none: as far as it has come.
    pub up_to: Option<usize>,
}

impl Way {
    fn alike(&self, other: &Self) -> bool {
        let key = |w: &Self| (w.dry, w.runs, w.under_way, w.up_to);
        key(self) == key(other)
    }
}

/// Keeps of ways that are alike the longest.
fn put(ways: &mut Vec<Way>, way: Way) {
    match ways.iter_mut().find(|w| w.alike(&way)) {
        Some(w) => (w.out, w.least) = (w.out.max(way.out), w.least.max(way.least)),
        None => ways.push(way),
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Care {
    Heats,
    Chills,
    Open,
}

/// A step as the plan has it.
struct Stands {
    care: Care,
    /// When its food leaves what was before it: all of it, so that the last load counts if it is heated or chilled.
    arrives: Minute,
    /// And when that is settled.
    has_arrived: bool,
    /// When the first of its food leaves it, if it is heated or chilled; else when all of it is done.
    leaves: Minute,
    /// Minutes out of control in it, and the least of them.
    own: Minute,
    least: Minute,
    /// Its first load began before now; all of them did.
    began: bool,
    whole: bool,
}

impl Check<'_> {
    /// The ways of a dish up to each heating, and up to the end of its last step (to the end of its first load, if that
    /// step heats or chills): the others when it is on the table.
    pub(super) fn ways(&self, d: usize, sheet: &Sheet) -> (Vec<Way>, Vec<Way>) {
        let steps = &sheet.recipe.steps;
        let stands: Vec<Option<Stands>> = (0..steps.len()).map(|s| self.stands(d, s)).collect();
        let mut heated = Vec::new();
        let mut ended: Vec<Option<Vec<Way>>> = vec![None; steps.len()];
        // Each step after those that it follows; what goes round in a ring has no ways.
        let ready = |ended: &[Option<Vec<Way>>], s: usize| {
            let mut before = steps[s].after.iter().filter_map(|a| sheet.step_index(&a.step));
            ended[s].is_none() && before.all(|b| ended[b].is_some())
        };
        while let Some(s) = (0..steps.len()).find(|&s| ready(&ended, s)) {
            let mut ways = Vec::new();
            if let Some(step) = &stands[s] {
                for after in &steps[s].after {
                    let before = sheet.step_index(&after.step);
                    let Some(b) = before.filter(|b| stands[*b].is_some()) else { continue };
                    for way in ended[b].iter().flatten() {
                        let from = stands[b].as_ref().unwrap_or(step);
                        let way = self.goes_on(*way, after, from, step);
                        if step.care == Care::Heats && !way.dry {
                            put(&mut heated, Way { up_to: Some(s), ..way });
                        }
                        put(&mut ways, through(way, step));
                    }
                }
                if let Some(way) = begins(sheet, s, step) {
                    put(&mut ways, way);
                }
            }
            ended[s] = Some(ways);
        }
        let last = sheet.last_step();
        (heated, ended.get_mut(last).and_then(Option::take).unwrap_or_default())
    }

    /// The same at the end of the time on the table; `kept` hot or cold until it is served.
    pub(super) fn at_the_table(
        &self,
        d: usize,
        sheet: &Sheet,
        way: Way,
        (served, kept): (Minute, bool),
    ) -> Way {
        let table = minutes(self.evening.table_minutes(d));
        let Some(last) = self.stands(d, sheet.last_step()) else { return way };
        let began = if last.care == Care::Open { way.runs } else { last.began };
        let waits = if kept { 0 } else { (served - last.leaves).max(0) };
        let gone = if kept { 0 } else { (self.now() - last.leaves).max(0) };
        Way {
            out: way.out + waits + table,
            least: way.least + gone + table,
            under_way: way.under_way || began,
            ..way
        }
    }

    /// When the first of its food leaves a step that heats or chills it, or all of it any other.
    pub(super) fn left(&self, d: usize, s: usize) -> Option<Minute> {
        self.stands(d, s).map(|stands| stands.leaves)
    }

    fn stands(&self, d: usize, s: usize) -> Option<Stands> {
        let loads = self.loads(d, s);
        let first = *loads.first()?;
        let (start, end) = (first.start, loads.iter().map(|b| b.end).max()?);
        let care = self.care(&loads);
        let behind = |b: &Block| self.is_behind(b.key);
        let whole = loads.iter().all(|b| behind(b));
        let began = behind(first) && !self.situation.planned.contains(&first.key);
        let last_start = loads.iter().map(|b| b.start).max()?;
        let written = self.evening.sheets[d].minutes(s, first.way);
        let written = written.saturating_mul(Minute::try_from(loads.len()).unwrap_or(1));
        // No less than it took, or has taken, and never less than the recipe says.
        let taken = if whole { end - start } else { self.now() - start };
        Some(match care {
            Care::Open => Stands {
                care,
                arrives: start,
                has_arrived: behind(first),
                leaves: end,
                own: end - start,
                least: written.max(taken),
                began,
                whole,
            },
            _ => Stands {
                care,
                arrives: last_start,
                has_arrived: whole,
                leaves: first.end,
                own: 0,
                least: 0,
                began,
                whole,
            },
        })
    }

    /// What a step does, by where its loads stand; one that was left out does nothing.
    fn care(&self, loads: &[&Block]) -> Care {
        let done = || loads.iter().filter(|b| b.start < b.end);
        let at = |b: &&&Block| {
            self.evening.station(&b.station).map_or(StationKind::Counter, |st| st.kind)
        };
        if done().next().is_none() {
            Care::Open
        } else if done().all(|b| at(&b).heats()) {
            Care::Heats
        } else if done().all(|b| at(&b).heats() || at(&b).chills()) {
            Care::Chills
        } else {
            Care::Open
        }
    }

    /// From the end of a step to where the next one has it.
    fn goes_on(&self, mut way: Way, after: &After, from: &Stands, to: &Stands) -> Way {
        let in_the_room = match after.place {
            WaitPlace::Room => true,
            WaitPlace::Cold => !self.has_fridge(),
            WaitPlace::Hot => false,
        };
        if !in_the_room {
            let open = from.care == Care::Open;
            way.under_way |= open && way.runs && !from.whole;
            return Way { runs: to.began, dry: false, ..way };
        }
        if from.care != Care::Open {
            way.runs = from.began;
        }
        let waits = (to.arrives - from.leaves).max(0);
        let at_least = minutes(after.least_minutes).max(self.now() - from.leaves);
        way.out += waits;
        way.least += if to.has_arrived { waits } else { at_least };
        if to.care != Care::Open {
            way.under_way |= way.runs && !to.whole;
            way.runs = false;
        }
        way
    }
}

/// From where a step has its food to its end.
fn through(way: Way, step: &Stands) -> Way {
    match step.care {
        Care::Heats => Way::default(),
        Care::Chills => Way { dry: false, ..way },
        Care::Open => Way { out: way.out + step.own, least: way.least + step.least, ..way },
    }
}

/// What a step itself takes out of its store: what is kept cold, or is in a can, and at a first step anything.
fn begins(sheet: &Sheet, s: usize, step: &Stands) -> Option<Way> {
    let rule = &sheet.recipe.steps[s];
    let ingredients = || sheet.recipe.ingredients.iter();
    let mut kept = ingredients().filter(|i| i.kept != Kept::Cupboard || i.unit == Some(Unit::Can));
    let none = kept.clone().next().is_none();
    let cold =
        kept.any(|i| i.steps.is_empty() || i.steps.contains(&rule.id)) || sheet.cuts_cold(&rule.id);
    let is_first = rule.after.iter().all(|a| sheet.step_index(&a.step).is_none());
    (cold || is_first).then(|| match step.care {
        // From its store it goes right to the heat or the cold.
        Care::Heats | Care::Chills => Way::default(),
        Care::Open => Way {
            out: step.own,
            least: step.least,
            dry: !cold && !none,
            runs: step.began,
            ..Way::default()
        },
    })
}

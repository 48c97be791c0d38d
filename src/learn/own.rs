//! From what was seen to the cook's own minutes for the steps of an evening.

use std::collections::{BTreeMap, BTreeSet};

use chrono::NaiveDate;

use super::fit::{Effect, Fit, Kind, Row, Scatter, chance_after};
use super::prior::{
    ALL_FOR_ONE, COOK, EVENING, HALF_BELIEVED, LEAST_RATIO, MARK_MINUTES, MOST_RATIO, STATION,
    TAIL_TENTH, TENTH, Width,
};
use super::{Group, Guard, Seen, by_hand};
use crate::kitchen::{Evening, Minutes, OwnTime, StationKind};
use crate::order::InOrder;

/// Which step's minutes: a way of a step of a recipe, with the recipe's figures as
/// they were. Where the cook writes others, the step begins anew, and what was
/// seen of it goes on speaking of its oven.
type Which<'a> = (&'a str, &'a str, StationKind, (u32, u32, u32));
/// The same, kept.
type Kept = (String, String, StationKind, (u32, u32, u32));

/// Standard deviations of the normal distribution that pass as often as one scale of
/// Student's t.
const TAIL_WIDER: f64 = TAIL_TENTH / TENTH;

const fn figures(m: Minutes) -> (u32, u32, u32) {
    (m.low, m.likely, m.high)
}

/// What past evenings say, worked out once.
#[derive(Debug, Clone)]
pub struct Known {
    seen: Vec<Seen>,
    fit: Fit,
    /// Where each step's effect stands.
    steps: BTreeMap<Kept, usize>,
    groups: BTreeMap<Group, usize>,
    /// Figures of each step, by their places in `seen`.
    of_step: BTreeMap<usize, Vec<usize>>,
}

/// How much slower than the recipes something shared is.
#[derive(Debug, Clone, PartialEq)]
pub struct Share {
    /// What.
    pub group: Group,
    /// Minutes over the recipes' minutes: 1.12 runs twelve per cent slow.
    pub ratio: f64,
    /// Nine times in ten it is above this …
    pub low: f64,
    /// … and nine times in ten below this.
    pub high: f64,
    /// Steps that were seen there.
    pub steps: usize,
    /// Evenings on which they were.
    pub evenings: usize,
}

/// A step's minutes, by its recipe and by past evenings.
#[derive(Debug, Clone, PartialEq)]
pub struct Estimate {
    /// Id of the recipe.
    pub recipe: String,
    /// Its title.
    pub title: String,
    /// Id of the step.
    pub step: String,
    /// Its label.
    pub label: String,
    /// The kind of station of the way.
    pub station: StationKind,
    /// By the recipe.
    pub written: Minutes,
    /// By past evenings, for the recipe's own servings.
    pub own: Minutes,
    /// What of the ratio is the step's own.
    pub by_step: f64,
    /// What of it is what its oven or its cook has in common with other steps.
    pub by_share: f64,
    /// Whose that is.
    pub shares: Vec<Group>,
    /// How far it may move.
    pub guard: Guard,
    /// The recipe's minutes kept it from being shorter.
    pub held: bool,
    /// Each time that it was seen: the day, and minutes as the recipe's servings would have taken.
    pub times: Vec<(NaiveDate, f64)>,
}

impl Estimate {
    /// Whether a plan is another by it.
    #[must_use]
    pub fn moves(&self) -> bool {
        self.own != self.written
    }

    /// Evenings on which the step itself was seen.
    #[must_use]
    pub fn evenings(&self) -> usize {
        let mut days: Vec<NaiveDate> = self.times.iter().map(|t| t.0).collect();
        days.dedup();
        days.len()
    }
}

impl Known {
    /// What is known after all of this. The order of `seen` does not matter.
    #[must_use]
    pub fn from(mut seen: Vec<Seen>) -> Self {
        seen.order_by(|a, b| {
            let key = |s: &Seen| (s.day, s.at_ms, s.recipe.clone(), s.step.clone());
            key(a).cmp(&key(b))
        });
        let nights = nights(&seen);
        let mut effects = vec![Effect { kind: Kind::Evening, width: EVENING }; nights.len()];
        let (mut steps, mut groups) = (BTreeMap::new(), BTreeMap::new());
        let mut of_step: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        let mut rows = Vec::with_capacity(seen.len());
        for (place, one) in seen.iter().enumerate() {
            let mut new = |kind: Kind, width: f64| {
                effects.push(Effect { kind, width });
                effects.len() - 1
            };
            let width = Width::of(one.written);
            let key = (one.recipe.clone(), one.step.clone(), one.station, figures(one.written));
            let step = *steps.entry(key).or_insert_with(|| new(Kind::Usual, width.usual));
            of_step.entry(step).or_default().push(place);
            let mut of = vec![step];
            if let Some(group) = &one.shares {
                let new_group = || new(Kind::Shared, spread(group));
                of.push(*groups.entry(group.clone()).or_insert_with(new_group));
                of.extend(nights.get(&(&*one.evening, group)));
            }
            let blur = MARK_MINUTES / one.expected.max(1.0);
            rows.push(Row {
                of,
                is: (one.took / one.expected.max(1.0)).ln(),
                chance: width.chance / TAIL_WIDER,
                blur: blur * blur,
            });
        }
        let fit = Fit::of(&rows, &effects);
        Self { seen, fit, steps, groups, of_step }
    }

    /// Everything that was seen, oldest first.
    #[must_use]
    pub fn seen(&self) -> &[Seen] {
        &self.seen
    }

    /// How much wider than recipes have it everything is with this cook.
    #[must_use]
    pub const fn scatter(&self) -> Scatter {
        self.fit.scatter
    }

    /// What ovens and cooks have in common over all steps.
    #[must_use]
    pub fn shares(&self) -> Vec<Share> {
        self.groups.iter().map(|(group, at)| self.share(group, *at)).collect()
    }

    fn share(&self, group: &Group, at: usize) -> Share {
        let (mean, variance) = self.fit.sum(&[at]);
        let wide = TENTH * variance.sqrt();
        let of = || self.seen.iter().filter(|s| s.shares.as_ref() == Some(group));
        let mut evenings: Vec<&str> = of().map(|s| s.evening.as_str()).collect();
        evenings.sort_unstable();
        evenings.dedup();
        Share {
            group: group.clone(),
            ratio: mean.exp(),
            low: (mean - wide).exp(),
            high: (mean + wide).exp(),
            steps: of().count(),
            evenings: evenings.len(),
        }
    }

    /// Every step of an evening for which past evenings say something, in the
    /// order of its dishes. The evening must go by its recipes' minutes.
    #[must_use]
    pub fn of(&self, evening: &Evening) -> Vec<Estimate> {
        let mut found: Vec<Estimate> = Vec::new();
        for sheet in &evening.sheets {
            for step in &sheet.recipe.steps {
                for (way, through) in step.ways.iter().enumerate() {
                    let guard = Guard::of(&sheet.recipe, step, way);
                    if guard == Guard::Stays {
                        continue;
                    }
                    let shares = shared(evening, by_hand(step, way), through.station);
                    let which: Which<'_> =
                        (&sheet.recipe.id, &step.id, through.station, figures(through.minutes));
                    let Some(mut one) = self.estimate(which, through.minutes, &shares, guard)
                    else {
                        continue;
                    };
                    one.title.clone_from(&sheet.recipe.title);
                    one.label.clone_from(&step.label);
                    let same = |e: &Estimate| e.is_of(&one);
                    if !found.iter().any(same) {
                        found.push(one);
                    }
                }
            }
        }
        found
    }

    /// The times that an evening goes by.
    #[must_use]
    pub fn times(&self, evening: &Evening) -> Vec<OwnTime> {
        self.of(evening).into_iter().filter(Estimate::moves).map(Into::into).collect()
    }

    /// Every step that was ever seen, as it was when it was seen last.
    #[must_use]
    pub fn all(&self) -> Vec<Estimate> {
        let mut all = Vec::new();
        for (key, at) in &self.steps {
            let last = self.of_step.get(at).and_then(|of| self.seen.get(*of.last()?));
            let Some(last) = last else { continue };
            let which: Which<'_> = (&key.0, &key.1, key.2, key.3);
            let shares: Vec<Group> = last.shares.iter().cloned().collect();
            // Whether food is cooked to a temperature is the recipe's to say, which is not at hand here.
            let Some(mut one) = self.estimate(which, last.written, &shares, Guard::Free) else {
                continue;
            };
            one.title.clone_from(&last.title);
            one.label.clone_from(&last.label);
            all.push(one);
        }
        all
    }

    fn estimate(
        &self,
        which: Which<'_>,
        written: Minutes,
        shares: &[Group],
        guard: Guard,
    ) -> Option<Estimate> {
        let (recipe, step, station, minutes) = which;
        let key = (recipe.to_owned(), step.to_owned(), station, minutes);
        let own = self.steps.get(&key).copied();
        let known: Vec<usize> = shares.iter().filter_map(|g| self.groups.get(g).copied()).collect();
        if own.is_none() && known.is_empty() {
            return None;
        }
        let width = Width::of(written);
        let places = own.and_then(|at| self.of_step.get(&at)).map_or(&[][..], Vec::as_slice);
        let off = places.iter().map(|p| (self.fit.off[*p], self.fit.weight[*p]));
        let with_this_cook = (width.chance / TAIL_WIDER).powi(2) * self.fit.scatter.chance;
        let chance = chance_after(with_this_cook, off) * TAIL_WIDER.powi(2);
        let after = self.ahead(own, &known, shares, &width) + chance;
        let shared = shares.first().map_or(0.0, |g| spread(g).powi(2) + EVENING.powi(2));
        let before = width.usual.powi(2) + shared + width.chance.powi(2);
        let by_step = own.map_or(0.0, |at| self.fit.mean[at]);
        let of_all = shares.len().max(1) as f64;
        let by_share = known.iter().map(|at| self.fit.mean[*at]).sum::<f64>() / of_all;
        let told = Told {
            width,
            before,
            after,
            seen: places.len() as f64 + self.seen.len() as f64 / ALL_FOR_ONE,
        };
        let free = told.minutes(written, by_step + by_share);
        let least = |own: u32, written: u32| match guard {
            Guard::Free => own,
            Guard::NeverShorter | Guard::Stays => own.max(written),
        };
        let held = Minutes {
            low: least(free.low, written.low),
            likely: least(free.likely, written.likely),
            high: least(free.high, written.high),
        };
        let of_recipe = |place: &usize| {
            let one = self.seen.get(*place)?;
            Some((one.day, one.took / one.expected.max(1.0) * f64::from(written.likely)))
        };
        Some(Estimate {
            recipe: recipe.to_owned(),
            title: String::new(),
            step: step.to_owned(),
            label: String::new(),
            station,
            written,
            own: held,
            by_step: by_step.exp(),
            by_share: by_share.exp(),
            shares: shares.to_vec(),
            guard,
            held: held != free,
            times: places.iter().filter_map(of_recipe).collect(),
        })
    }

    /// Variance of what is ahead of a step but for its own chance: what is usual of
    /// it and of one of its shares, and the evening with that.
    fn ahead(&self, own: Option<usize>, known: &[usize], shares: &[Group], width: &Width) -> f64 {
        let scatter = &self.fit.scatter;
        let usual = width.usual.powi(2) * scatter.usual;
        if shares.is_empty() {
            return own.map_or(usual, |at| self.fit.sum(&[at]).1);
        }
        let with = |group: &usize| match own {
            Some(at) => self.fit.sum(&[at, *group]).1,
            None => self.fit.sum(&[*group]).1 + usual,
        };
        let alone = own.map_or(usual, |at| self.fit.sum(&[at]).1);
        let unknown = shares.iter().filter(|g| !self.groups.contains_key(g));
        let rest: f64 = unknown.map(|g| alone + spread(g).powi(2)).sum();
        let all = known.iter().map(with).sum::<f64>() + rest;
        all / shares.len() as f64 + EVENING.powi(2) * scatter.evening
    }
}

/// Where the effect of each evening with something shared stands: before all others, for
/// no figure has two of them (which keeps [`Fit`] quick).
fn nights(seen: &[Seen]) -> BTreeMap<(&str, &Group), usize> {
    let all = seen.iter().filter_map(|s| Some((s.evening.as_str(), s.shares.as_ref()?)));
    let all: BTreeSet<_> = all.collect();
    all.into_iter().enumerate().map(|(at, night)| (night, at)).collect()
}

impl Estimate {
    fn is_of(&self, other: &Self) -> bool {
        let key = |e: &Self| (e.recipe.clone(), e.step.clone(), e.station, figures(e.written));
        key(self) == key(other)
    }
}

impl From<Estimate> for OwnTime {
    fn from(e: Estimate) -> Self {
        Self { recipe: e.recipe, step: e.step, station: e.station, written: e.written, own: e.own }
    }
}

const fn spread(group: &Group) -> f64 {
    match group {
        Group::Station { .. } => STATION,
        Group::Cook { .. } => COOK,
    }
}

/// Who or what a step of an evening may share its pace with: any of its cooks, any
/// station of the kind.
fn shared(evening: &Evening, by_hand: bool, kind: StationKind) -> Vec<Group> {
    if by_hand {
        let cooks = evening.party.cooks.iter();
        return cooks.map(|c| Group::Cook { cook: c.id.clone() }).collect();
    }
    if !kind.heats() {
        return Vec::new();
    }
    let stations = evening.kitchen.stations.iter().filter(|s| s.kind == kind);
    let kitchen = &evening.kitchen.id;
    stations.map(|s| Group::Station { kitchen: kitchen.clone(), station: s.id.clone() }).collect()
}

/// What moves a recipe's figures.
struct Told {
    width: Width,
    /// Variance of the step's minutes before anything was seen.
    before: f64,
    /// And after.
    after: f64,
    /// How often the step was seen, with what all others say of the cook's scatter.
    seen: f64,
}

impl Told {
    /// The three figures: the recipe's where nothing was seen; the more often the
    /// step was, the more its own spread.
    fn minutes(&self, written: Minutes, mean: f64) -> Minutes {
        let believed = self.seen / (self.seen + HALF_BELIEVED);
        let both = f64::midpoint(self.width.below, self.width.above);
        let side = |side: f64| {
            let by_recipe = side * side * self.after / self.before;
            let lean = if both > 0.0 { (side / both).powi(2) } else { 1.0 };
            let by_seen = self.after * lean;
            ((1.0 - believed) * by_recipe + believed * by_seen).max(0.0).sqrt()
        };
        let (below, above) = (side(self.width.below), side(self.width.above));
        let of = f64::from(written.likely.max(1));
        let minutes = |log: f64| {
            let ratio = log.exp().clamp(LEAST_RATIO, MOST_RATIO);
            // Between a half and three times a recipe's whole minutes.
            (of * ratio).round().max(1.0) as u32
        };
        Minutes {
            low: minutes(mean - TENTH * below),
            likely: minutes(mean),
            high: minutes(mean + TENTH * above),
        }
    }
}

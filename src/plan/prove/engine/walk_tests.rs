//! The engine against trying every value: what follows, why it is said to follow, and what is learnt from
//! contradictions. Random little systems of every kind of rule; a few steps at random in each.

use super::*;
use crate::plan::search::rng::Rng;

/// A rule, as it is meant.
#[derive(Debug, Clone)]
enum Rule {
    /// One of these holds.
    Clause(Vec<Lit>),
    /// If all of these hold, the second is at least so much more than the first.
    Difference(Vec<Lit>, Expr, i32, Expr),
    /// If all of these hold, the terms add up to at least so much.
    Linear(Vec<Lit>, Vec<(i64, Var)>, i64),
    /// No minute has more of it in use than there is.
    Uses(i32, Vec<(i32, i32, i32)>, Vec<Item>),
    /// The same, said only as the work that must fit between two minutes: not all that is wrong is seen so.
    Work(i32, Vec<(i32, i32, i32)>, Vec<Item>),
}

/// Minutes looked at: more than anything here can reach.
const MINUTES: std::ops::Range<i32> = -20..40;

fn value(var: Var, values: &[i32]) -> i32 {
    let own = values[var.base()];
    if var.is_positive() { own } else { -own }
}

fn holds(lit: Lit, values: &[i32]) -> bool {
    value(lit.var, values) >= lit.at
}

fn all(lits: &[Lit], values: &[i32]) -> bool {
    lits.iter().all(|&l| holds(l, values))
}

impl Rule {
    fn is_kept(&self, values: &[i32]) -> bool {
        let of = |e: Expr| value(e.var, values) + e.add;
        match self {
            Self::Clause(lits) => lits.iter().any(|&l| holds(l, values)),
            Self::Difference(when, from, gap, to) => {
                !all(when, values) || of(*to) >= of(*from) + gap
            }
            Self::Linear(when, terms, least) => {
                let sum: i64 = terms.iter().map(|t| t.0 * i64::from(value(t.1, values))).sum();
                !all(when, values) || sum >= *least
            }
            Self::Uses(capacity, standing, items) | Self::Work(capacity, standing, items) => {
                MINUTES.into_iter().all(|minute| {
                    let stands = standing.iter().filter(|s| (s.0..s.1).contains(&minute));
                    let used = items.iter().filter(|i| {
                        i.present.is_none_or(|l| holds(l, values))
                            && (of(i.start)..of(i.end)).contains(&minute)
                    });
                    stands.map(|s| s.2).sum::<i32>() + used.map(|i| i.amount).sum::<i32>()
                        <= *capacity
                })
            }
        }
    }

    fn say(&self, engine: &mut Engine) {
        match self.clone() {
            Self::Clause(lits) => engine.clause(&lits),
            Self::Difference(when, from, gap, to) => engine.difference(&when, from, gap, to),
            Self::Linear(when, terms, least) => {
                engine.linear(Linear::at_least(&when, &terms, least));
            }
            Self::Uses(capacity, standing, items) => {
                engine.table(Table::new(capacity, standing.clone(), items.clone()));
                engine.energy(Energy::new(capacity, standing, items));
            }
            Self::Work(capacity, standing, items) => {
                engine.energy(Energy::new(capacity, standing, items));
            }
        }
    }
}

/// Some variables, their ranges and rules, and every answer.
#[derive(Debug)]
struct World {
    /// All that is wrong is seen in the end.
    seen: bool,
    ranges: Vec<(i32, i32)>,
    rules: Vec<Rule>,
    answers: Vec<Vec<i32>>,
}

fn variable(r: &mut Rng, count: usize) -> Var {
    let var = Var::positive(r.below(count) as u32);
    if r.chance(50) { var } else { var.neg() }
}

/// Minutes come first among the variables, then those of yes or no.
const TIMES: usize = 4;
const ALL: usize = 6;

fn is_so(r: &mut Rng) -> Lit {
    let var = Var::positive((TIMES + r.below(ALL - TIMES)) as u32);
    if r.chance(50) { var.at_least(1) } else { var.at_most(0) }
}

/// Statements of different variables.
fn statements(r: &mut Rng, count: usize, ranges: &[(i32, i32)]) -> Vec<Lit> {
    let mut lits: Vec<Lit> = Vec::new();
    while lits.len() < count {
        let base = r.below(ALL);
        let (low, high) = ranges[base];
        let var = Var::positive(base as u32);
        let at = low + r.below((high - low + 1) as usize) as i32;
        let lit = if r.chance(50) { var.at_least(at) } else { var.at_most(at) };
        if lits.iter().all(|l| l.var != lit.var) {
            lits.push(lit);
        }
    }
    lits
}

fn when(r: &mut Rng) -> Vec<Lit> {
    let count = r.below(3);
    let lits: Vec<Lit> = (0..count).map(|_| is_so(r)).collect();
    lits.into_iter().fold(Vec::new(), |mut all, l| {
        if all.iter().all(|a: &Lit| a.var.base() != l.var.base()) {
            all.push(l);
        }
        all
    })
}

fn minute(r: &mut Rng) -> Expr {
    Expr { var: Var::positive(r.below(TIMES) as u32), add: r.below(3) as i32 - 1 }
}

fn item(r: &mut Rng, capacity: i32) -> Item {
    let start = minute(r);
    let end = if r.chance(75) { start.plus(1 + r.below(3) as i32) } else { minute(r) };
    let present = r.chance(40).then(|| is_so(r));
    Item { start, end, present, amount: 1 + r.below(capacity as usize) as i32 }
}

fn rule(r: &mut Rng, ranges: &[(i32, i32)]) -> Rule {
    match r.below(5) {
        0 => {
            let count = 2 + r.below(3);
            Rule::Clause(statements(r, count, ranges))
        }
        1 => {
            let (from, to) = (minute(r), minute(r));
            let sign = |r: &mut Rng, e: Expr| if r.chance(30) { e.neg() } else { e };
            let (from, to) = (sign(r, from), sign(r, to));
            Rule::Difference(when(r), from, r.below(7) as i32 - 3, to)
        }
        2 => {
            let count = 2 + r.below(3);
            let terms = (0..count).map(|_| (r.below(9) as i64 - 4, variable(r, ALL))).collect();
            Rule::Linear(when(r), terms, r.below(21) as i64 - 10)
        }
        _ => {
            let capacity = 1 + r.below(3) as i32;
            let count = 2 + r.below(4);
            let standing = (0..r.below(3))
                .map(|_| (r.below(6) as i32, 1 + r.below(capacity as usize) as i32))
                .map(|(from, amount)| (from, from + 2, amount))
                .take(1)
                .collect();
            Rule::Uses(capacity, standing, (0..count).map(|_| item(r, capacity)).collect())
        }
    }
}

impl World {
    fn of(seed: u64) -> Self {
        let r = &mut Rng::new(seed);
        let mut ranges: Vec<(i32, i32)> = Vec::new();
        for base in 0..ALL {
            let low = r.below(3) as i32 - 1;
            ranges.push(if base < TIMES { (low, low + 2 + r.below(3) as i32) } else { (0, 1) });
        }
        let count = 1 + r.below(4);
        let rules: Vec<Rule> = (0..count).map(|_| rule(r, &ranges)).collect();
        Self::with(true, ranges, rules)
    }

    fn engine(&self) -> Engine {
        let mut engine = Engine::default();
        for &(low, high) in &self.ranges {
            engine.variable(low, high);
        }
        self.rules.iter().for_each(|rule| rule.say(&mut engine));
        engine
    }

    /// Does every answer with all of these have that?
    fn follows(&self, from: &[Lit], lit: Lit) -> bool {
        self.answers.iter().all(|a| !all(from, a) || holds(lit, a))
    }

    /// Has no answer all of these?
    fn clashes(&self, lits: &[Lit]) -> bool {
        !self.answers.iter().any(|a| all(lits, a))
    }

    /// Every bound on the trail has a reason that held before, and follows from it; as does any weaker one.
    fn check_reasons(&self, engine: &Engine, from: usize) {
        for (e, entry) in engine.trail.iter().enumerate().skip(from) {
            for at in entry.before + 1..=entry.to {
                let lit = entry.var.at_least(at);
                assert_eq!(engine.entry_of(lit), Some(e), "{lit:?}");
                if matches!(entry.reason, Reason::Choice) {
                    continue;
                }
                let mut why = Vec::new();
                engine.explain(entry.reason, lit, e, &mut why);
                let before = |l: &Lit| engine.is_true(*l) && engine.entry_of(*l) < Some(e);
                assert!(why.iter().all(before), "{lit:?} for {why:?}, which came later: {self:?}");
                assert!(self.follows(&why, lit), "{lit:?} for {why:?}: {self:?}");
            }
            assert_eq!(engine.low_before(entry.var, e), entry.before);
        }
    }

    /// What was learnt from the contradiction at hand.
    fn check_learning(&self, engine: &mut Engine) -> bool {
        let conflict = engine.conflict.clone();
        assert!(conflict.iter().all(|&l| engine.is_true(l)), "{conflict:?}");
        assert!(self.clashes(&conflict), "{conflict:?}: {self:?}");
        let Some(learnt) = engine.learn() else {
            assert!(self.answers.is_empty(), "{self:?}");
            engine.conflict = conflict;
            return engine.learn_and_go_back();
        };
        let nots: Vec<Lit> = learnt.lits.iter().map(|l| l.not()).collect();
        assert!(nots.iter().all(|&l| engine.is_true(l)), "{nots:?}");
        assert!(self.clashes(&nots), "learnt {:?}: {self:?}", learnt.lits);
        let level = |l: &Lit| engine.entry_of(*l).map_or(0, |e| engine.trail[e].level);
        let levels: Vec<u32> = nots.iter().map(level).collect();
        let rest = levels[1..].iter().copied().max().unwrap_or(0);
        assert!(levels[0] > rest, "one statement of the latest level: {levels:?}");
        assert_eq!(learnt.level, rest as usize);
        assert_eq!(levels.get(1).copied().unwrap_or(0), rest, "it is watched");
        let mut each = levels.clone();
        each.sort_unstable();
        each.dedup();
        assert_eq!(learnt.levels as usize, each.len());
        assert!(nots.iter().enumerate().all(|(i, l)| !nots[..i].iter().any(|k| k.var == l.var)));
        engine.conflict = conflict;
        assert!(engine.learn_and_go_back());
        assert!(engine.levels.len() == rest as usize && engine.is_true(learnt.lits[0]));
        true
    }
}

impl World {
    /// Nothing but clauses of two and three statements of yes or no: long chains of what follows from what.
    fn of_clauses(seed: u64) -> Self {
        const COUNT: usize = 9;
        let r = &mut Rng::new(seed);
        let ranges = vec![(0, 1); COUNT];
        let clause = |r: &mut Rng| {
            let mut lits: Vec<Lit> = Vec::new();
            while lits.len() < 2 + usize::from(r.chance(60)) {
                let var = Var::positive(r.below(COUNT) as u32);
                if lits.iter().all(|l| l.var.base() != var.base()) {
                    lits.push(if r.chance(50) { var.at_least(1) } else { var.at_most(0) });
                }
            }
            Rule::Clause(lits)
        };
        let rules: Vec<Rule> = (0..20 + r.below(8)).map(|_| clause(r)).collect();
        let all = (0..1 << COUNT).map(|n: i32| (0..COUNT).map(|v| n >> v & 1).collect());
        let answers = all.filter(|a: &Vec<i32>| rules.iter().all(|rule| rule.is_kept(a))).collect();
        Self { seen: true, ranges, rules, answers }
    }

    /// Uses of one resource in few minutes, seen as work alone: beside the minute-by-minute rule little of it is
    /// left to say, and its reasons are the hardest of all.
    fn of_work(seed: u64) -> Self {
        const STARTS: usize = 4;
        let r = &mut Rng::new(seed);
        let mut ranges: Vec<(i32, i32)> = Vec::new();
        for _ in 0..STARTS {
            let low = r.below(3) as i32;
            ranges.push((low, low + 2 + r.below(3) as i32));
        }
        ranges.push((0, 1));
        let is_so = Var::positive(STARTS as u32).at_least(1);
        let capacity = 1 + r.below(3) as i32;
        let item = |r: &mut Rng, n: usize| {
            let start: Expr = Var::positive((n % STARTS) as u32).into();
            // Mostly of a length; else it lasts until another begins.
            let other: Expr = Var::positive(r.below(STARTS) as u32).into();
            let end = if r.chance(85) { start.plus(1 + r.below(4) as i32) } else { other };
            let present = r.chance(20).then_some(is_so);
            Item { start, end, present, amount: 1 + r.below(capacity as usize) as i32 }
        };
        let count = STARTS + r.below(3);
        let items: Vec<Item> = (0..count).map(|n| item(r, n)).collect();
        let stands = |r: &mut Rng| (r.below(6) as i32, 1 + r.below(2) as i32);
        let standing: Vec<(i32, i32, i32)> =
            (0..r.below(2)).map(|_| stands(r)).map(|(from, long)| (from, from + long, 1)).collect();
        let rules = vec![Rule::Work(capacity, standing, items)];
        Self::with(false, ranges, rules)
    }

    /// Tries every answer.
    fn with(seen: bool, ranges: Vec<(i32, i32)>, rules: Vec<Rule>) -> Self {
        let mut answers = vec![Vec::new()];
        for &(low, high) in &ranges {
            answers = answers
                .into_iter()
                .flat_map(|a: Vec<i32>| (low..=high).map(move |v| [a.clone(), vec![v]].concat()))
                .collect();
        }
        answers.retain(|a| rules.iter().all(|rule| rule.is_kept(a)));
        Self { seen, ranges, rules, answers }
    }

    /// Steps at random, each checked. How many contradictions were met, and how many answers.
    fn walk(&self, seed: u64, steps: usize) -> (usize, usize) {
        let (mut engine, r) = (self.engine(), &mut Rng::new(seed));
        let all: Vec<Var> = (0..self.ranges.len() as u32).map(Var::positive).collect();
        let (mut learnt, mut done) = (0, 0);
        if !engine.settle() {
            assert!(self.answers.is_empty(), "{self:?}");
            return (0, 0);
        }
        for _ in 0..steps {
            let from = engine.trail.len();
            if engine.propagate().is_err() {
                learnt += 1;
                if !self.check_learning(&mut engine) {
                    break;
                }
                continue;
            }
            self.check_reasons(&engine, from);
            let open: Vec<Var> =
                all.iter().copied().filter(|&v| engine.low(v) < engine.high(v)).collect();
            if open.is_empty() {
                let values: Vec<i32> = all.iter().map(|&v| engine.low(v)).collect();
                assert!(!self.seen || self.answers.contains(&values), "{values:?}: {self:?}");
                done += 1;
                engine.back_to(r.below(engine.levels.len() + 1));
                continue;
            }
            let var = open[r.below(open.len())];
            let (low, high) = (engine.low(var), engine.high(var));
            let at = low + 1 + r.below((high - low) as usize) as i32;
            engine.choose(if r.chance(50) { var.at_least(at) } else { var.at_most(at - 1) });
        }
        (learnt, done)
    }
}

#[test]
fn every_reason_holds_and_everything_learnt_is_true() {
    let each = (0..500).map(|seed| World::of(seed).walk(seed + 77_777, 60));
    let (learnt, done) = each.fold((0, 0), |a, b| (a.0 + b.0, a.1 + b.1));
    assert!(learnt >= 50 && done >= 500, "{learnt} contradictions, {done} answers");
}

/// Two that use two fifths each, and one that uses all: what one reason is loosened by is not there for the other.
#[test]
fn what_is_given_away_of_a_reason_is_given_away_once() {
    let ranges = vec![(0, 4); 3];
    let start = |n: u32| Expr::from(Var::positive(n));
    let item = |(n, amount)| Item { start: start(n), end: start(n).plus(2), present: None, amount };
    let rules = vec![Rule::Work(5, Vec::new(), [(0, 2), (1, 2), (2, 5)].map(item).to_vec())];
    let all = (0..125).map(|n: i32| vec![n % 5, n / 5 % 5, n / 25]);
    let answers = all.filter(|a: &Vec<i32>| rules.iter().all(|rule| rule.is_kept(a))).collect();
    let world = World { seen: false, ranges, rules, answers };
    let learnt: usize = (0..40).map(|seed| world.walk(seed, 60).0).sum();
    assert!(learnt >= 20, "{learnt} contradictions");
}

#[test]
fn every_reason_of_work_between_two_minutes_holds() {
    let each = (0..400).map(|seed| World::of_work(seed).walk(seed + 77_777, 60));
    let learnt: usize = each.map(|walked| walked.0).sum();
    assert!(learnt >= 50, "{learnt} contradictions");
}

#[test]
fn everything_learnt_from_chains_of_clauses_is_true() {
    let each = (0..300).map(|seed| World::of_clauses(seed).walk(seed + 77_777, 120));
    let (learnt, done) = each.fold((0, 0), |a, b| (a.0 + b.0, a.1 + b.1));
    assert!(learnt >= 500 && done >= 500, "{learnt} contradictions, {done} answers");
}

/// What holds whatever is tried holds in every answer; and nothing that does not fit is taken for one.
#[test]
fn facts_hold_in_every_answer() {
    for world in (2000..2500).map(World::of).chain((2000..2400).map(World::of_work)) {
        let mut engine = world.engine();
        assert!(engine.settle() || world.answers.is_empty(), "{world:?}");
        let vars = (0..world.ranges.len() as u32).map(Var::positive);
        for var in vars.filter(|_| !engine.is_broken()) {
            let (low, high) = (engine.root_low(var), -engine.root_low(var.neg()));
            assert!(world.follows(&[], var.at_least(low)), "{var:?} from {low}: {world:?}");
            assert!(world.follows(&[], var.at_most(high)), "{var:?} to {high}: {world:?}");
        }
    }
}

/// Under assumptions: an answer where there is one, else some of them that cannot hold together.
#[test]
fn assumptions_that_are_refuted_cannot_hold_together() {
    let (mut refuted, mut found) = (0, 0);
    for seed in 5000..5400 {
        let world = World::of(seed);
        let (mut engine, r) = (world.engine(), &mut Rng::new(seed + 77_777));
        for round in 0..4 {
            let count = r.below(5);
            let assumed = statements(r, count, &world.ranges);
            let limits = Limits { conflicts: u64::MAX, work: u64::MAX, stop: &|| false };
            match engine.solve(&assumed, round == 1, &limits) {
                Outcome::Found => {
                    let values: Vec<i32> =
                        (0..ALL as u32).map(|v| engine.low(Var::positive(v))).collect();
                    assert!(world.answers.contains(&values) && all(&assumed, &values), "{world:?}");
                    found += 1;
                }
                Outcome::Refuted(core) => {
                    let core: Vec<Lit> = core.iter().map(|&c| assumed[c]).collect();
                    assert!(world.clashes(&core), "{core:?} of {assumed:?}: {world:?}");
                    assert_eq!(core.is_empty(), engine.is_broken());
                    refuted += 1;
                }
                Outcome::Stopped => panic!("nothing was to stop it"),
            }
        }
    }
    assert!(refuted >= 50 && found >= 50, "{refuted} refuted, {found} found");
}

/// What was learnt may be forgotten at any time, half of it, and what was said may not.
#[test]
fn what_is_forgotten_changes_no_answer() {
    let (mut refuted, mut found) = (0, 0);
    for seed in 0..300 {
        let world = World::of_clauses(seed);
        let (mut engine, r) = (world.engine(), &mut Rng::new(seed + 77_777));
        for _ in 0..8 {
            let mut assumed: Vec<Lit> = Vec::new();
            for var in (0..world.ranges.len() as u32).map(Var::positive) {
                if r.chance(25) {
                    assumed.push(if r.chance(50) { var.at_least(1) } else { var.at_most(0) });
                }
            }
            let limits = Limits { conflicts: u64::MAX, work: u64::MAX, stop: &|| false };
            match engine.solve(&assumed, false, &limits) {
                Outcome::Found => {
                    let vars = (0..world.ranges.len() as u32).map(Var::positive);
                    let values: Vec<i32> = vars.map(|v| engine.low(v)).collect();
                    assert!(world.answers.contains(&values) && all(&assumed, &values), "{world:?}");
                    found += 1;
                }
                Outcome::Refuted(core) => {
                    let core: Vec<Lit> = core.iter().map(|&c| assumed[c]).collect();
                    assert!(world.clashes(&core), "{core:?} of {assumed:?}: {world:?}");
                    assert!(engine.levels.is_empty(), "nothing is tried any more");
                    refuted += 1;
                }
                Outcome::Stopped => panic!("nothing was to stop it"),
            }
            engine.back_to(0);
            engine.forget();
        }
    }
    assert!(refuted >= 100 && found >= 100, "{refuted} refuted, {found} found");
}

/// So many pigeons into so many holes, one in each: clauses alone.
fn pigeons(count: usize, holes: usize) -> (Engine, Vec<Vec<Lit>>) {
    let mut engine = Engine::default();
    let sits: Vec<Vec<Lit>> =
        (0..count).map(|_| (0..holes).map(|_| engine.yes_or_no()).collect()).collect();
    for (n, own) in sits.iter().enumerate() {
        engine.clause(own);
        for other in &sits[..n] {
            own.iter().zip(other).for_each(|(a, b)| engine.clause(&[a.not(), b.not()]));
        }
    }
    (engine, sits)
}

/// Seven do not fit into six holes, which takes many contradictions and new beginnings to see.
#[test]
fn what_is_hard_to_see_is_seen() {
    let limits = Limits { conflicts: 1_000_000, work: u64::MAX, stop: &|| false };
    let (mut engine, _) = pigeons(7, 6);
    assert_eq!(engine.solve(&[], false, &limits), Outcome::Refuted(Vec::new()));
    assert!(engine.is_broken() && engine.conflicts > 100, "{}", engine.conflicts);
    assert_eq!(engine.solve(&[], false, &limits), Outcome::Refuted(Vec::new()), "it stays so");
    let (mut engine, sits) = pigeons(7, 7);
    assert_eq!(engine.solve(&[], false, &limits), Outcome::Found);
    for hole in 0..7 {
        assert_eq!(sits.iter().filter(|own| engine.is_true(own[hole])).count(), 1);
    }
}

/// It stops when it is told to, by whichever of the three, each time anew; and can go on.
#[test]
fn it_stops_at_each_of_its_limits() {
    let (mut engine, _) = pigeons(7, 6);
    let never = || false;
    let limits = |conflicts: u64, work: u64| Limits { conflicts, work, stop: &never };
    // What follows at once is worked out before it stops, and may hold some contradictions more.
    for _ in 0..3 {
        let before = engine.conflicts;
        assert_eq!(engine.solve(&[], false, &limits(20, u64::MAX)), Outcome::Stopped);
        assert!((20..30).contains(&(engine.conflicts - before)), "{}", engine.conflicts - before);
        // What was being tried is no bound of anything: the lowest of a variable is read as one.
        assert!(engine.levels.is_empty());
    }
    let before = engine.work;
    assert_eq!(engine.solve(&[], false, &limits(u64::MAX, 2000)), Outcome::Stopped);
    assert!((2000..4000).contains(&(engine.work - before)), "{}", engine.work - before);
    let told = Limits { conflicts: u64::MAX, work: u64::MAX, stop: &|| true };
    assert_eq!(engine.solve(&[], false, &told), Outcome::Stopped);
    assert!(engine.levels.is_empty() && !engine.is_broken());
    let all = limits(u64::MAX, u64::MAX);
    assert_eq!(engine.solve(&[], false, &all), Outcome::Refuted(Vec::new()));
}

/// Two facts that cannot both be: nothing satisfies them.
#[test]
fn facts_that_clash_leave_nothing() {
    for twice in [false, true] {
        let mut engine = Engine::default();
        let var = engine.variable(0, 3);
        engine.fact(var.at_least(2));
        engine.fact(var.at_most(if twice { 1 } else { 2 }));
        assert_eq!((engine.is_broken(), engine.settle()), (twice, !twice));
    }
    let mut engine = Engine::default();
    let var = engine.variable(0, 3);
    engine.clause(&[var.at_least(4), var.at_most(-1)]);
    assert!(engine.is_broken() && !engine.settle());
}

/// An inequality that is made stricter, and speaks of one more variable, is read anew.
#[test]
fn an_inequality_can_be_made_stricter() {
    let mut engine = Engine::default();
    let (a, b) = (engine.variable(0, 5), engine.variable(0, 5));
    let number = engine.linear(Linear::at_least(&[], &[(1, a)], 1));
    assert!(engine.settle());
    assert_eq!((engine.low(a), engine.low(b)), (1, 0));
    engine.replace_linear(number, Linear::at_least(&[], &[(1, a), (1, b)], 7));
    assert!(engine.settle());
    assert_eq!((engine.low(a), engine.low(b)), (2, 2));
    engine.fact(b.at_most(3));
    assert!(engine.settle());
    assert_eq!((engine.low(a), engine.high(b)), (4, 3));
}

/// What is said at once: all that is found keeps it and every rule, nothing that can be is refuted, and what is learnt on
/// the way holds whatever is said the next time.
#[test]
fn within_what_is_said_as_trying_everything_says() {
    let (mut found, mut refuted, mut conflicts) = (0, 0, 0);
    for seed in 1..=400 {
        let world = if seed % 2 == 0 { World::of(seed) } else { World::of_clauses(seed) };
        let (mut engine, r) = (world.engine(), &mut Rng::new(seed));
        for _ in 0..12 {
            let said: Vec<Lit> = (0..r.below(3))
                .map(|_| {
                    let base = r.below(world.ranges.len());
                    let (low, high) = world.ranges[base];
                    let var = Var::positive(base as u32);
                    let at = low + r.below((high - low + 1) as usize) as i32;
                    if r.chance(50) { var.at_least(at) } else { var.at_most(at) }
                })
                .collect();
            let limits = Limits { conflicts: u64::MAX, work: u64::MAX, stop: &|| false };
            match engine.solve_within(&said, &limits) {
                Outcome::Found => {
                    let values =
                        (0..world.ranges.len() as u32).map(|b| engine.low(Var::positive(b)));
                    let values: Vec<i32> = values.collect();
                    assert!(world.answers.contains(&values), "{values:?}: {world:?}");
                    assert!(all(&said, &values), "{said:?} in {values:?}");
                    found += 1;
                }
                Outcome::Refuted(which) => {
                    assert!(world.clashes(&said), "{said:?}: {world:?}");
                    assert!(
                        which.is_empty() && world.answers.is_empty() || which.len() == said.len()
                    );
                    refuted += 1;
                }
                Outcome::Stopped => panic!("nothing stops it"),
            }
        }
        conflicts += engine.conflicts;
    }
    // All of it happens, or the test shows nothing.
    assert!(found > 2_000 && refuted > 1_000 && conflicts > 200, "{found} {refuted} {conflicts}");
}

/// Cut short it says neither, and nothing is left said.
#[test]
fn within_what_is_said_a_limit_ends_it() {
    let world = World::of_clauses(3);
    let mut engine = world.engine();
    let none = Limits { conflicts: u64::MAX, work: 0, stop: &|| false };
    assert_eq!(engine.solve_within(&[], &none), Outcome::Stopped);
    assert!(engine.levels.is_empty());
}

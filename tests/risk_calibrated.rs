//! Are the chances true? Plans of several evenings are played by a cook who
//! knows nothing of the forecast: moment by moment, by the marks and the
//! list of the running program, with minutes drawn by another generator and another
//! route (the shape's own slope, inverted by halving) from other seeds. Of the
//! services that were said to be on time in some share of evenings, that share is.

#[path = "family/mod.rs"]
mod family;

use std::collections::BTreeMap;
use std::sync::Arc;

use family::{Member, Tightness};
use potwatch::kitchen::{Clockface, Evening, Minute};
use potwatch::plan::planner::{Budget, Planning};
use potwatch::plan::risk::{GRACE_MINUTES, cushion, forecast};
use potwatch::plan::{Block, Plan, Situation, StepKey};
use potwatch::run::{Event, Mark, Progress, State};
use potwatch::store::load::load_builtin;

/// xorshift64*, as nothing in the forecast.
struct Dice(u64);

impl Dice {
    fn number(&mut self) -> f64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_F491_4F6C_DD1D) >> 11) as f64 / (1_u64 << 53) as f64
    }
}

/// Minutes of which a tenth lies below `low`, half below `likely`, a tenth above
/// `high`, in straight slopes: found by halving, from the areas of triangles.
fn drawn(low: f64, likely: f64, high: f64, u: f64) -> f64 {
    // Half the area lies on a side; beyond the tenth a fifth of it: the sides are as 1 to √0.2.
    let side = |to_tenth: f64| to_tenth / (1.0 - 0.2_f64.sqrt());
    let (first, last) = (likely - side(likely - low), likely + side(high - likely));
    let below = |x: f64| {
        if x < likely {
            0.5 * ((x - first).max(0.0) / (likely - first)).powi(2)
        } else if last > likely {
            1.0 - 0.5 * ((last - x).max(0.0) / (last - likely)).powi(2)
        } else {
            1.0
        }
    };
    let (mut from, mut to) = (first, last);
    for _ in 0..40 {
        let middle = (from + to) / 2.0;
        if below(middle) < u { from = middle } else { to = middle }
    }
    to.max(0.5)
}

/// The share of two evens in the proportion 4 to 6 that lies below theirs, counted out of many.
struct Mixed(Vec<f64>);

impl Mixed {
    fn new() -> Self {
        let mut dice = Dice(99);
        let mut all: Vec<f64> =
            (0..20_000).map(|_| 0.4 * dice.number() + 0.6 * dice.number()).collect();
        all.sort_by(f64::total_cmp);
        Self(all)
    }

    fn even(&self, shared: f64, own: f64) -> f64 {
        let z = 0.4 * shared + 0.6 * own;
        self.0.partition_point(|&x| x < z) as f64 / self.0.len() as f64
    }
}

/// How long each load takes tonight, in seconds: what one oven or one pair of hands does is slow together.
fn tonight(
    evening: &Evening,
    plan: &Plan,
    mixed: &Mixed,
    dice: &mut Dice,
) -> BTreeMap<StepKey, i64> {
    let mut shared: BTreeMap<String, f64> = BTreeMap::new();
    let mut all = BTreeMap::new();
    for b in &plan.blocks {
        let sheet = &evening.sheets[b.key.dish];
        let hands = by_hand(b);
        let heats = evening.station(&b.station).is_some_and(|s| s.kind.heats());
        let name = match (hands, heats) {
            (true, _) => b.cook.clone(),
            (false, true) => Some(b.station.clone()),
            _ => None,
        };
        let own = dice.number();
        let u = match name {
            Some(name) => {
                let slow = *shared.entry(name).or_insert_with(|| dice.number());
                mixed.even(slow, own)
            }
            None => own,
        };
        let minutes = |f: fn(&potwatch::kitchen::Sheet, usize, usize) -> Minute| {
            f64::from(f(sheet, b.key.step, b.way))
        };
        let took = drawn(
            minutes(potwatch::kitchen::Sheet::low_minutes),
            minutes(potwatch::kitchen::Sheet::minutes),
            minutes(potwatch::kitchen::Sheet::high_minutes),
            u,
        );
        all.insert(b.key, (took * 60.0) as i64);
    }
    all
}

/// The cook is at it for as long as it lasts.
fn by_hand(b: &Block) -> bool {
    b.cook.is_some() && (b.hands_between >= 50 || b.hands_start + b.hands_end >= b.end - b.start)
}

/// What a step done by hand takes of the cook.
fn percent(b: &Block) -> i32 {
    if b.hands_start + b.hands_end >= b.end - b.start { 100 } else { b.hands_between }
}

/// Seconds: how often the cook looks.
const TICK_S: i64 = 10;

/// Parts of a second that work left is kept in.
const PARTS: i64 = 100;

/// Per cent of the cook at most that looking in elsewhere takes from work by hand, as the forecast says.
const MOST_LOOKING_IN: i32 = 80;

/// A cook who follows the list. Everything is kept in seconds of work still to be done.
struct Kitchen<'a> {
    evening: &'a Evening,
    plan: &'a Plan,
    state: State,
    seq: u64,
    /// Work left of what runs, in parts of a second.
    left: BTreeMap<StepKey, i64>,
    /// Seconds of both hands still owed to starts and ends, first come first.
    owed: Vec<(StepKey, i64, bool)>,
}

impl Kitchen<'_> {
    fn mark(&mut self, at_ms: i64, event: Event) {
        self.seq += 1;
        self.state.apply(&Mark { seq: self.seq, at_ms, event });
    }

    fn block(&self, key: StepKey) -> &Block {
        self.plan.blocks.iter().find(|b| b.key == key).expect("a block")
    }

    fn runs(&self, key: StepKey) -> bool {
        matches!(self.state.facts().progress.get(&key), Some(Progress::Running(_)))
    }

    fn over(&self, key: StepKey) -> bool {
        self.state.facts().progress.get(&key).is_some_and(Progress::is_over)
    }

    /// Places that are taken: by what runs, and by what the plan has there before.
    fn place_is_free(&self, b: &Block) -> bool {
        let before = |o: &&Block| o.key != b.key && o.station == b.station && o.end <= b.start;
        let slot = |o: &&Block| o.slots.iter().any(|s| b.slots.contains(s));
        let here = self.plan.blocks.iter().filter(before);
        let heat = |o: &&Block| {
            let hot = self.evening.station(&b.station).is_some_and(|s| s.thermostat.is_some());
            hot && o.setting_c != b.setting_c
        };
        let blocked = here.filter(|o| slot(o) || heat(o)).any(|o| !self.over(o.key));
        let held = |h: &potwatch::plan::HoldBlock| {
            h.station == b.station
                && h.slots.iter().any(|s| b.slots.contains(s))
                && h.to <= b.start
                && !self.state.is_out_of_hand(h.dish)
        };
        !blocked && !self.plan.holds.iter().any(held)
    }

    /// The oven needs its minutes after the last thing at another setting came out.
    fn is_hot(&self, b: &Block, at_ms: i64) -> bool {
        let Some(t) = self.evening.station(&b.station).and_then(|s| s.thermostat) else {
            return true;
        };
        let Some(to_c) = b.setting_c else { return true };
        self.plan.blocks.iter().filter(|o| o.station == b.station && o.end <= b.start).all(|o| {
            let end = self.state.facts().progress.get(&o.key).and_then(Progress::end_ms);
            match (end, o.setting_c) {
                (Some(end), Some(c)) if c != to_c => {
                    end + i64::from(t.minutes(c, to_c)) * 60_000 <= at_ms
                }
                _ => true,
            }
        })
    }

    fn pans_are_free(&self, b: &Block) -> bool {
        let mine = self.plan.pans.iter().filter(|p| p.dish == b.key.dish && p.from == b.start);
        mine.flat_map(|p| {
            self.plan.pans.iter().filter(move |o| {
                o.cookware == p.cookware
                    && o.dish != p.dish
                    && o.to <= p.from
                    && o.numbers.iter().any(|n| p.numbers.contains(n))
            })
        })
        .all(|o| {
            let in_it = self.plan.blocks.iter();
            let in_it =
                in_it.filter(|x| x.key.dish == o.dish && o.from <= x.start && x.end <= o.to);
            in_it.clone().all(|x| self.over(x.key))
        })
    }

    fn waited(&self, b: &Block, at_ms: i64) -> bool {
        let sheet = &self.evening.sheets[b.key.dish];
        sheet.recipe.steps[b.key.step].after.iter().all(|after| {
            let Some(step) = sheet.step_index(&after.step) else { return true };
            let loads = self.plan.blocks.iter();
            let loads = loads.filter(|o| o.key.dish == b.key.dish && o.key.step == step);
            loads
                .filter_map(|o| self.state.facts().progress.get(&o.key).and_then(Progress::end_ms))
                .all(|end| end + i64::from(after.least_minutes) * 60_000 <= at_ms)
        })
    }

    /// A moment goes by.
    fn tick(&mut self, at_ms: i64, minutes: &BTreeMap<StepKey, i64>) {
        self.work(at_ms);
        self.begin(at_ms, minutes);
        for dish in 0..self.evening.sheets.len() {
            let ready = self.state.ready_ms(dish, at_ms).is_some();
            if ready && !self.state.is_out_of_hand(dish) && at_ms >= self.state.due_ms(dish) {
                let id = self.evening.sheets[dish].id.clone();
                self.mark(at_ms, Event::Served { dish: id });
            }
        }
    }

    fn work(&mut self, at_ms: i64) {
        // Both hands at a start or an end: what is done by hand waits.
        let busy = self.owed.first().map(|o| o.0);
        let mut hands_left = TICK_S;
        while let Some(owed) = self.owed.first_mut() {
            let now = hands_left.min(owed.1);
            owed.1 -= now;
            hands_left -= now;
            if owed.1 > 0 {
                break;
            }
            let (key, _, is_end) = self.owed.remove(0);
            if is_end {
                self.done(key, at_ms);
            }
        }
        let running: Vec<StepKey> = self.left.keys().copied().filter(|k| self.runs(*k)).collect();
        let (pace, of) = self.pace(&running);
        for key in running {
            let b = self.block(key).clone();
            let passes =
                if by_hand(&b) { if busy.is_some() { hands_left } else { TICK_S } } else { TICK_S };
            let tail =
                if by_hand(&b) || b.cook.is_none() { 0 } else { i64::from(b.hands_end) * 60 };
            let left = self.left.entry(key).or_default();
            *left -= if by_hand(&b) { passes * PARTS * pace / of } else { passes * PARTS };
            if *left <= tail * PARTS && !self.owed.iter().any(|o| o.0 == key && o.2) {
                if tail > 0 {
                    self.owed.push((key, tail, true));
                } else {
                    self.done(key, at_ms);
                }
            }
        }
    }

    /// What goes on by hand goes on by what looking in leaves of the cook: so many parts of so many.
    fn pace(&self, running: &[StepKey]) -> (i64, i64) {
        let asks = |hands: bool| -> i32 {
            let those = running.iter().map(|k| self.block(*k));
            let those = those.filter(|b| b.cook.is_some() && by_hand(b) == hands);
            those.map(|b| if hands { percent(b) } else { b.hands_between }).sum()
        };
        let free = 100 - asks(false).min(MOST_LOOKING_IN);
        (i64::from(free), i64::from(asks(true).max(free)))
    }

    fn done(&mut self, key: StepKey, at_ms: i64) {
        self.left.remove(&key);
        if let Some(id) = self.state.id(key) {
            self.mark(at_ms, Event::Done { id, ago_minutes: 0 });
        }
    }

    /// Begins what is due and can be begun, in the plan's order.
    fn begin(&mut self, at_ms: i64, minutes: &BTreeMap<StepKey, i64>) {
        let mut due: Vec<Block> = self.plan.blocks.clone();
        due.retain(|b| {
            !self.state.facts().progress.contains_key(&b.key) && self.state.ms(b.start) <= at_ms
        });
        due.sort_by_key(|b| (b.start, b.end, b.key));
        let mut hands_wait = false;
        for b in due {
            let can = self.state.is_free(b.key, at_ms)
                && self.waited(&b, at_ms)
                && self.place_is_free(&b)
                && self.is_hot(&b, at_ms)
                && self.pans_are_free(&b);
            let asks = b.cook.is_some() && (by_hand(&b) || b.hands_start > 0);
            if !can || (asks && hands_wait) {
                continue;
            }
            if asks && !(self.is_there(&b, at_ms) && self.hands_for(&b)) {
                hands_wait = true;
                continue;
            }
            if asks && !by_hand(&b) {
                self.owed.push((b.key, i64::from(b.hands_start) * 60, false));
            }
            self.left.insert(b.key, minutes[&b.key] * PARTS);
            let id = self.state.id(b.key).expect("a step");
            let (way, station, cook) = (b.way, b.station.clone(), b.cook.clone());
            self.mark(at_ms, Event::Started { id, way, station, cook, ago_minutes: 0 });
        }
    }

    /// Who is away begins nothing; after the last of the hours the evening goes on until it is over.
    fn is_there(&self, b: &Block, at_ms: i64) -> bool {
        let cook = self.evening.party.cooks.iter().find(|c| Some(&c.id) == b.cook.as_ref());
        let free = &cook.expect("a cook").free;
        let ms = |t| self.evening.face.ms_of(self.evening.face.minute_of(t));
        let last = free.iter().map(|f| ms(f.to)).max();
        let at = |f: &potwatch::kitchen::party::Stretch| {
            ms(f.from) <= at_ms && (at_ms < ms(f.to) || Some(ms(f.to)) == last)
        };
        free.iter().any(at)
    }

    fn hands_for(&self, b: &Block) -> bool {
        if !self.owed.is_empty() {
            return false;
        }
        let now = self.plan.blocks.iter().filter(|o| by_hand(o) && self.runs(o.key));
        if by_hand(b) {
            now.map(percent).sum::<i32>() + percent(b) <= 100
        } else {
            let place = |b: &Block| (b.start, b.end, b.key);
            now.map(place).all(|o| place(b) < o)
        }
    }
}

/// Plays an evening; for each service: was it on time?
fn play(evening: &Arc<Evening>, plan: &Plan, mixed: &Mixed, seed: u64) -> Vec<bool> {
    let mut dice = Dice(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1);
    dice.number();
    let minutes = tonight(evening, plan, mixed, &mut dice);
    let state = State::new(Arc::clone(evening));
    let (left, owed) = (BTreeMap::new(), Vec::new());
    let mut kitchen = Kitchen { evening, plan, state, seq: 0, left, owed };
    let first = plan.blocks.iter().map(|b| b.start).min().unwrap_or(0);
    let mut at_ms = evening.face.ms_of(first);
    let adopted = Event::PlanAdopted {
        plan: Box::new(plan.clone()),
        moved: String::new(),
        why: String::new(),
    };
    kitchen.mark(at_ms, adopted);
    let end_ms = evening.face.ms_of(24 * 60);
    let all = 0..evening.sheets.len();
    while at_ms < end_ms && !all.clone().all(|d| kitchen.state.ready_ms(d, at_ms).is_some()) {
        kitchen.tick(at_ms, &minutes);
        at_ms += TICK_S * 1000;
    }
    let grace_ms = i64::from(GRACE_MINUTES) * 60_000;
    let on_time = |line: &potwatch::plan::ServiceLine| {
        line.dishes.iter().all(|d| {
            let due_ms = evening.face.ms_of(line.due);
            kitchen.state.ready_ms(d.0, at_ms).is_some_and(|ready| ready - due_ms < grace_ms)
        })
    };
    plan.services.iter().map(on_time).collect()
}

/// The demo, and parties of the generated family that leave room to be on time.
fn evenings() -> Vec<(&'static str, Arc<Evening>)> {
    let day = chrono::NaiveDate::from_ymd_opt(2026, 10, 24).expect("a day");
    let demo = load_builtin(Clockface::fixed(day, 0)).expect("the demo");
    let member = |steps, tightness, seed| Arc::new(Member { steps, tightness, seed }.evening());
    vec![
        ("demo", Arc::new(demo)),
        ("20 steps, loose", member(20, Tightness::Loose, 1)),
        ("20 steps, tight", member(20, Tightness::Tight, 2)),
        ("40 steps, loose", member(40, Tightness::Loose, 1)),
        ("40 steps, loose, another", member(40, Tightness::Loose, 2)),
        ("40 steps, tight", member(40, Tightness::Tight, 1)),
        ("60 steps, loose", member(60, Tightness::Loose, 1)),
    ]
}

/// Said and seen share, in so many plays, of each service of a plan with room made for it.
fn said_and_seen(evening: &Arc<Evening>, mixed: &Mixed, plays: u64) -> Vec<(f64, f64)> {
    let ahead = Situation::default();
    let planning = Planning::new(evening, &ahead).unwrap_or_else(|_| panic!("a problem"));
    let budget = Budget { seed: 1, rounds: 400, stop: &|| false };
    let first = planning.search(None, &budget).expect("a plan");
    let plan = cushion::with_room(evening, &ahead, &planning, first, &budget).plan;
    let odds = forecast(evening, &ahead, &plan, 32, 4_000);
    let mut on_time = vec![0_u32; plan.services.len()];
    for n in 0..plays {
        for (count, yes) in on_time.iter_mut().zip(play(evening, &plan, mixed, 1_000 + n)) {
            *count += u32::from(yes);
        }
    }
    let seen = |service: usize| f64::from(on_time[service]) / plays as f64;
    odds.services.iter().map(|o| (o.share(), seen(o.service))).collect()
}

/// Services said to be on time in nine evenings of ten (85 to 95 of a hundred) are so in as many, give
/// or take 3 of a hundred and what chance makes of that many plays (two standard errors). Each service by itself,
/// likely or not, is on time as often as was said, give or take 4 and three standard errors. `PLAYS` sets how
/// often each plan is played.
#[test]
fn services_are_on_time_as_often_as_was_said() {
    let plays: u64 = std::env::var("PLAYS").ok().and_then(|n| n.parse().ok()).unwrap_or(100);
    let mixed = Mixed::new();
    let mut likely = Vec::new();
    for (name, evening) in evenings() {
        for (n, (said, seen)) in said_and_seen(&evening, &mixed, plays).into_iter().enumerate() {
            println!("{name}, service {n}: said {said:.3}, seen {seen:.3}");
            let error = (said * (1.0 - said) / plays as f64).sqrt();
            assert!(
                (seen - said).abs() <= 0.04 + 3.0 * error,
                "{name}: said {said:.3}, seen {seen:.3}"
            );
            if (0.85..=0.95).contains(&said) {
                likely.push((said, seen));
            }
        }
    }
    assert!(likely.len() >= 4, "too few services of nine in ten: {likely:?}");
    let mean =
        |of: fn(&(f64, f64)) -> f64| likely.iter().map(of).sum::<f64>() / likely.len() as f64;
    let (said, seen) = (mean(|s| s.0), mean(|s| s.1));
    let error = (said * (1.0 - said) / (plays as usize * likely.len()) as f64).sqrt();
    println!("{} services: said {said:.3}, seen {seen:.3}", likely.len());
    assert!((said - seen).abs() <= 0.03 + 2.0 * error, "said {said:.3}, seen {seen:.3}");
}

/// A plan played with steps that all take what they are planned to take goes as planned: every dish is ready at
/// its minute, not sooner (nothing begins before its minute) and not later.
#[test]
fn what_never_varies_goes_as_planned() {
    let mut wrong = Vec::new();
    let mut dishes = 0;
    for (steps, tightness, seed) in [20, 40, 60].into_iter().flat_map(|steps| {
        [Tightness::Loose, Tightness::Tight]
            .into_iter()
            .flat_map(move |tight| (1..=3).map(move |seed| (steps, tight, seed)))
    }) {
        let member = Member { steps, tightness, seed };
        let mut evening = member.evening();
        for step in evening.sheets.iter_mut().flat_map(|s| &mut s.recipe.steps) {
            for way in &mut step.ways {
                (way.minutes.low, way.minutes.high) = (way.minutes.likely, way.minutes.likely);
            }
        }
        let ahead = Situation::default();
        let planning = Planning::new(&evening, &ahead).unwrap_or_else(|_| panic!("a problem"));
        let budget = Budget { seed: 1, rounds: 200, stop: &|| false };
        let (plan, _) = planning.search(None, &budget).expect("a plan");
        let odds = forecast(&evening, &ahead, &plan, 5, 2);
        for line in &plan.services {
            let of = odds.of(line.service).expect("a service");
            for &(dish, ready, _) in &line.dishes {
                let said = of.dishes.iter().find(|d| d.dish == dish).expect("a dish");
                // How much sooner it must be ready to be within the grace: when it is ready, told from there.
                let played = line.due + said.short + GRACE_MINUTES - 1;
                dishes += 1;
                if played != ready {
                    let name = &evening.sheets[dish].id;
                    wrong.push(format!("{}: {name}: {ready}, played {played}", member.name()));
                }
            }
        }
    }
    assert!(dishes > 100, "{dishes}");
    assert!(wrong.is_empty(), "{} of {dishes}:\n{}", wrong.len(), wrong.join("\n"));
}

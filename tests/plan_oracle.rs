//! The search against the slow, obvious version: on tiny problems every
//! possible answer is tried and judged by the written rules.

use potwatch::plan::Schedule;
use potwatch::plan::judge::judge;
use potwatch::plan::problem::{
    Dish, HandsPart, Hold, Lag, Limit, Link, Mode, Oven, OvenUse, Point, Problem, Resource, Stay,
    Step, Task, Use,
};
use potwatch::plan::search::{Ask, Standing, solve};

/// SplitMix64 (Steele, Lea & Flood, OOPSLA 2014): enough for test data.
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }
    fn to(&mut self, n: i32) -> i32 {
        (self.next() % (n as u64 + 1)) as i32
    }
    fn chance(&mut self, percent: i32) -> bool {
        self.to(99) < percent
    }
}

/// Minutes in which the tiny problems play.
const END: i32 = 15;
/// Resources: a hob with two burners, the oven's rack, a cook, a pan.
const HOB: usize = 0;
const RACK: usize = 1;
const COOK: usize = 2;
const PAN: usize = 3;

fn point(task: usize, end: bool) -> Point {
    Point { task, end }
}

fn mode(r: &mut Random) -> Mode {
    let minutes = 1 + r.to(2);
    let in_oven = r.chance(40);
    let resource = if in_oven { RACK } else { HOB };
    let c = if r.chance(50) { 30 } else { 40 };
    let hands = match r.to(2) {
        0 => vec![],
        1 => vec![HandsPart { from: 0, to: 1, percent: 100 }],
        _ => vec![HandsPart { from: 0, to: minutes, percent: 60 }],
    };
    Mode {
        minutes,
        loads: 1,
        uses: vec![Use { resource, amount: 1 + i32::from(!in_oven && r.chance(25)) }],
        oven: in_oven.then_some(OvenUse { oven: 0, least_c: c, most_c: c + 1 }),
        hands,
        price: i64::from(r.to(3)) * 10,
    }
}

fn tiny(seed: u64) -> Problem {
    let r = &mut Random(seed);
    let mut steps = Vec::new();
    let mut tasks = Vec::new();
    for s in 0..3 {
        let modes = (0..1 + usize::from(r.chance(30))).map(|_| mode(r)).collect();
        steps.push(Step { modes, cooks: vec![COOK], first_task: s, task_count: 1 });
        let latest = if r.chance(10) { r.to(END) } else { i32::MAX };
        tasks.push(Task { step: s, load: 0, fixed: None, earliest: 0, latest });
    }
    let lag = |r: &mut Random, from: usize, to: usize| Lag {
        from: point(from, true),
        to: point(to, false),
        least: r.to(1),
        most: if r.chance(50) { 1 + r.to(2) } else { i32::MAX },
        soft_most: r.chance(30).then_some(500),
        best: r.chance(30).then_some((3, 7)),
    };
    let lags = vec![lag(r, 0, 1)];
    let dish = |r: &mut Random, last_step: usize| Dish {
        last_step,
        due: 4 + r.to(4),
        late_price: 1000,
        cushion: r.to(2),
        cushion_price: 20,
        holds: (0..r.to(2))
            .map(|_| {
                let in_oven = r.chance(40);
                Hold {
                    uses: vec![Use { resource: if in_oven { RACK } else { HOB }, amount: 1 }],
                    oven: in_oven.then_some(OvenUse { oven: 0, least_c: 28, most_c: 30 }),
                    free: r.to(1),
                    price: i64::from(r.to(5)) * 10,
                    most: r.to(4),
                    best: r.chance(20).then_some((2, 15)),
                    ..Hold::default()
                }
            })
            .collect(),
        straight: if r.chance(30) {
            vec![Limit { from: point(0, true), most: 2 + r.to(4), soft_most: None }]
        } else {
            vec![]
        },
        straight_price: i64::from(r.to(1)) * 30,
        held: None,
    };
    let dishes = vec![dish(r, 1), dish(r, 2)];
    let closed = if r.chance(40) { vec![(r.to(3), 4)] } else { vec![] };
    Problem {
        start: 0,
        end: END,
        resources: [(2, vec![]), (1, vec![]), (100, closed), (1, vec![])]
            .map(|(capacity, closed)| Resource { capacity, closed })
            .to_vec(),
        ovens: vec![Oven { start_c: 20, up_c_per_min: 10, down_c_per_min: 5 }],
        steps,
        tasks,
        lags,
        stays: if r.chance(50) {
            vec![
                Stay {
                    uses: Use { resource: PAN, amount: 1 },
                    from: vec![point(0, false), point(1, false)],
                    to: vec![point(0, true), point(1, true)],
                    through_hold: vec![(0, 0)]
                        .into_iter()
                        .filter(|_| !dishes[0].holds.is_empty())
                        .collect(),
                },
                Stay {
                    uses: Use { resource: PAN, amount: 1 },
                    from: vec![point(2, false)],
                    to: vec![point(2, true)],
                    through_hold: vec![],
                },
            ]
        } else {
            vec![]
        },
        links: vec![Link { from_step: 0, to_step: 1, least: 0, price: 15 }],
        anchors: vec![],
        dishes,
        span_price: 4,
        effort_until: 8,
        idle_price: 1,
        finish_price: 0,
    }
}

/// The least cost of all, by trying everything.
fn brute_force(problem: &Problem) -> Option<i64> {
    let (steps, tasks, dishes) = (&problem.steps, &problem.tasks, &problem.dishes);
    let mut schedule = Schedule {
        mode: vec![0; steps.len()],
        start: vec![0; tasks.len()],
        cook: vec![None; tasks.len()],
        setting_c: vec![None; tasks.len()],
        hold: vec![None; dishes.len()],
        hold_setting_c: vec![None; dishes.len()],
    };
    let mut best = None;
    modes(problem, &mut schedule, 0, &mut best);
    best
}

fn modes(problem: &Problem, schedule: &mut Schedule, step: usize, best: &mut Option<i64>) {
    if step == problem.steps.len() {
        return starts(problem, schedule, 0, best);
    }
    for mode in 0..problem.steps[step].modes.len() {
        schedule.mode[step] = mode;
        modes(problem, schedule, step + 1, best);
    }
}

fn starts(problem: &Problem, schedule: &mut Schedule, task: usize, best: &mut Option<i64>) {
    if task == problem.tasks.len() {
        return settings(problem, schedule, 0, best);
    }
    let mode = &problem.steps[task].modes[schedule.mode[task]];
    schedule.cook[task] = (!mode.hands.is_empty()).then_some(COOK);
    for start in 0..=problem.end - mode.minutes {
        schedule.start[task] = start;
        // Lags of tasks that all stand already: they prune, and the judge checks them again.
        let broken = problem.lags.iter().any(|lag| {
            lag.from.task.max(lag.to.task) == task && {
                let gap = schedule.start[lag.to.task] - problem.end_of(schedule, lag.from.task);
                gap < lag.least || (gap > lag.most && lag.soft_most.is_none())
            }
        });
        if !broken {
            starts(problem, schedule, task + 1, best);
        }
    }
}

fn settings(problem: &Problem, schedule: &mut Schedule, task: usize, best: &mut Option<i64>) {
    if task == problem.tasks.len() {
        return holds(problem, schedule, 0, best);
    }
    match problem.steps[task].modes[schedule.mode[task]].oven {
        None => {
            schedule.setting_c[task] = None;
            settings(problem, schedule, task + 1, best);
        }
        Some(oven) => {
            for c in oven.least_c..=oven.most_c {
                schedule.setting_c[task] = Some(c);
                settings(problem, schedule, task + 1, best);
            }
        }
    }
}

fn holds(problem: &Problem, schedule: &mut Schedule, dish: usize, best: &mut Option<i64>) {
    if dish == problem.dishes.len() {
        if let Ok(cost) = judge(problem, schedule) {
            *best = Some(best.map_or(cost.total(), |b| b.min(cost.total())));
        }
        return;
    }
    (schedule.hold[dish], schedule.hold_setting_c[dish]) = (None, None);
    holds(problem, schedule, dish + 1, best);
    for (h, hold) in problem.dishes[dish].holds.iter().enumerate() {
        schedule.hold[dish] = Some(h);
        let range = hold.oven.map_or(vec![None], |o| (o.least_c..=o.most_c).map(Some).collect());
        for c in range {
            schedule.hold_setting_c[dish] = c;
            holds(problem, schedule, dish + 1, best);
        }
    }
    (schedule.hold[dish], schedule.hold_setting_c[dish]) = (None, None);
}

/// What became of the tiny problems.
#[derive(Debug, Default)]
struct Tally {
    least: u32,
    dearer: u32,
    missed: u32,
    without: u32,
}

/// The search is not exhaustive, so it may miss the least cost; it must never
/// break a rule, count wrongly, claim a proof that is none, give an answer where
/// there is none, or miss the least cost often. Measured when this was written:
/// with 4000 rounds on 400 seeds the least cost in 336 of 371, none found in 7.
#[test]
fn the_search_finds_the_least_cost_there_is_and_never_claims_more() {
    let mut tally = Tally::default();
    for seed in 1..=200 {
        let problem = tiny(seed);
        let least = brute_force(&problem);
        let ask = Ask { problem: &problem, warm: None, seed: 1, rounds: 2000, stop: &|| false };
        let answer = solve(&ask, &mut |_, _| {});
        let Some(least) = least else {
            tally.without += 1;
            assert!(answer.schedule.is_none(), "seed {seed}: an answer where there is none");
            continue;
        };
        assert!(answer.bound <= least, "seed {seed}: bound {} > {least}", answer.bound);
        let Some(schedule) = &answer.schedule else {
            tally.missed += 1;
            let proven = matches!(&answer.standing, Standing::Impossible(clash) if clash.proven);
            assert!(!proven, "seed {seed}: called impossible, yet {least} can be had");
            continue;
        };
        let judged = judge(&problem, schedule).map(|cost| cost.total());
        assert_eq!(judged, Ok(answer.cost.total()), "seed {seed}: cost as judged");
        if answer.cost.total() == least {
            tally.least += 1;
        } else {
            tally.dearer += 1;
            assert_ne!(answer.standing, Standing::Best, "seed {seed}: not the best");
        }
    }
    println!("{tally:?}");
    let solvable = tally.least + tally.dearer + tally.missed;
    assert!(tally.least * 100 >= solvable * 85, "{tally:?}");
    assert!(tally.missed * 100 <= solvable * 3, "{tally:?}");
    // The family holds both kinds, or the test shows nothing.
    assert!(tally.without >= 5, "{tally:?}");
}

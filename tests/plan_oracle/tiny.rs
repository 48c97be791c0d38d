//! Tiny random problems with every rule of the planning problem in them.

use potwatch::plan::problem::{
    Anchor, Dish, Fixed, HandsPart, Hold, Lag, Limit, Link, Mode, Oven, OvenUse, Point, Problem,
    Resource, Stay, Step, Task, Use,
};

/// SplitMix64 (Steele, Lea & Flood, OOPSLA 2014): enough for test data.
pub struct Random(pub u64);

impl Random {
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    /// 0 to `n`, both included.
    pub fn to(&mut self, n: i32) -> i32 {
        (self.next() % (n as u64 + 1)) as i32
    }

    pub fn chance(&mut self, percent: i32) -> bool {
        self.to(99) < percent
    }

    fn of(&mut self, percent: i32, price: i64) -> Option<i64> {
        self.chance(percent).then_some(price)
    }
}

/// Minutes in which the tiny problems play.
const END: i32 = 10;
/// Resources: a hob with two burners, the oven's rack, two cooks, a pan.
pub const HOB: usize = 0;
pub const RACK: usize = 1;
const COOKS: [usize; 2] = [2, 3];
const PAN: usize = 4;

fn point(task: usize, end: bool) -> Point {
    Point { task, end }
}

fn oven_use(r: &mut Random) -> OvenUse {
    let c = [30, 30, 40, 45][r.to(3) as usize];
    OvenUse { oven: 0, least_c: c, most_c: c + r.to(1) * 2 }
}

pub fn mode(r: &mut Random, most_loads: usize) -> Mode {
    let minutes = 1 + r.to(2);
    let in_oven = r.chance(40);
    let resource = if in_oven { RACK } else { HOB };
    let hands = match r.to(3) {
        0 => vec![],
        1 => vec![HandsPart { from: 0, to: 1, percent: 100 }],
        2 if minutes > 1 => vec![
            HandsPart { from: 0, to: 1, percent: 100 },
            HandsPart { from: minutes - 1, to: minutes, percent: 50 },
        ],
        _ => vec![HandsPart { from: 0, to: minutes, percent: 60 }],
    };
    Mode {
        minutes,
        loads: if most_loads > 1 && r.chance(60) { 2 } else { 1 },
        uses: vec![Use { resource, amount: 1 + i32::from(!in_oven && r.chance(25)) }],
        oven: in_oven.then(|| oven_use(r)),
        hands,
        price: i64::from(r.to(3)) * 10,
    }
}

fn lag(r: &mut Random, from: Point, to: Point) -> Lag {
    Lag {
        from,
        to,
        least: if r.chance(90) { r.to(1) } else { i32::MIN },
        most: if r.chance(50) { 1 + r.to(2) } else { i32::MAX },
        soft_most: r.of(30, 500),
        best: r.chance(30).then_some((3, 7)),
    }
}

fn limit(r: &mut Random, tasks: usize) -> Limit {
    Limit {
        from: point(r.to(tasks as i32 - 1) as usize, r.chance(60)),
        most: 2 + r.to(5),
        soft_most: r.of(30, 70),
    }
}

pub fn hold(r: &mut Random, tasks: usize) -> Hold {
    let in_oven = r.chance(40);
    Hold {
        uses: vec![Use { resource: if in_oven { RACK } else { HOB }, amount: 1 }],
        oven: in_oven.then_some(OvenUse { oven: 0, least_c: 28, most_c: 30 }),
        setting_c: None,
        free: r.to(1),
        price: i64::from(r.to(5)) * 10,
        most: r.to(4),
        soft_most: r.of(20, 90),
        best: r.chance(20).then_some((2, 15)),
        limits: if r.chance(25) { vec![limit(r, tasks)] } else { vec![] },
    }
}

pub fn dish(r: &mut Random, last_step: usize, tasks: usize) -> Dish {
    let holds = (0..r.to(2)).map(|_| hold(r, tasks)).collect();
    Dish {
        last_step,
        due: 3 + r.to(5),
        late_price: 1000,
        cushion: r.to(2),
        cushion_price: 20,
        holds,
        straight: if r.chance(30) { vec![limit(r, tasks)] } else { vec![] },
        straight_price: i64::from(r.to(1)) * 30,
        held: None,
    }
}

/// Some of what a running evening brings: a step begun, a dish that waits already.
pub fn begin(r: &mut Random, p: &mut Problem) {
    let s = r.to(2) as usize;
    let first = p.steps[s].first_task;
    p.steps[s].modes.truncate(1);
    let mode = p.steps[s].modes[0].clone();
    let start = r.to(3) - 3;
    let end = (start + mode.minutes + r.to(1)).max(start + 1);
    p.tasks[first].fixed = Some(Fixed {
        start,
        end,
        cook: (!mode.hands.is_empty()).then(|| p.steps[s].cooks[0]),
        setting_c: mode.oven.map(|o| o.least_c - r.to(1)),
    });
    p.links.retain(|l| l.to_step != s);
    p.anchors.retain(|a| a.task != first);
    let whole = mode.loads == 1;
    for d in p.dishes.iter_mut().filter(|d| whole && d.last_step == s && !d.holds.is_empty()) {
        if end <= 0 && r.chance(70) {
            d.held = Some(0);
            d.holds[0].most = 20;
            let oven = d.holds[0].oven;
            d.holds[0].setting_c = oven.map(|o| o.least_c);
        }
    }
}

/// A problem of three steps (one with perhaps two loads) and two dishes.
pub fn tiny(seed: u64) -> Problem {
    let r = &mut Random(seed);
    let two_loads = r.to(5) as usize;
    let two_cooks = r.chance(35);
    let (mut steps, mut tasks, mut lags) = (Vec::new(), Vec::<Task>::new(), Vec::new());
    for s in 0..3 {
        let most = if s == two_loads { 2 } else { 1 };
        let modes: Vec<Mode> = (0..1 + usize::from(r.chance(30))).map(|_| mode(r, most)).collect();
        let task_count = modes.iter().map(|m| m.loads).max().unwrap_or(1);
        let first_task = tasks.len();
        let cooks = COOKS[..if two_cooks { 2 } else { 1 }].to_vec();
        steps.push(Step { modes, cooks, first_task, task_count });
        for load in 0..task_count {
            let latest = if r.chance(10) { r.to(END) } else { i32::MAX };
            let earliest = if r.chance(10) { r.to(3).min(latest) } else { 0 };
            tasks.push(Task { step: s, load, fixed: None, earliest, latest });
            if load > 0 {
                let (from, to) =
                    (point(first_task + load - 1, true), point(first_task + load, false));
                lags.push(Lag { from, to, least: 0, most: i32::MAX, soft_most: None, best: None });
            }
        }
    }
    let n = tasks.len();
    let last = |s: &Step| s.first_task + s.task_count - 1;
    lags.push(lag(r, point(last(&steps[0]), true), point(steps[1].first_task, false)));
    if r.chance(30) {
        let (from, to) =
            (point(steps[0].first_task, r.chance(50)), point(steps[2].first_task, r.chance(50)));
        lags.push(lag(r, from, to));
    }
    let dishes = vec![dish(r, 1, n), dish(r, 2, n)];
    let closed = if r.chance(40) { vec![(r.to(3), 4)] } else { vec![] };
    let stays = stays(r, &steps, &dishes);
    let anchors = (0..n).filter(|_| r.chance(25)).map(|task| Anchor {
        task,
        start: (task as i32 * 5) % 8,
        price: 6,
        mode: Some((0, 12)),
    });
    let anchors: Vec<Anchor> = anchors.collect();
    let mut p = Problem {
        start: 0,
        end: END - r.to(3),
        resources: [(2, vec![]), (1, vec![]), (100, closed), (100, vec![]), (1, vec![])]
            .map(|(capacity, closed)| Resource { capacity, closed })
            .to_vec(),
        ovens: vec![Oven { start_c: 20 + 10 * r.to(1), up_c_per_min: 10, down_c_per_min: 5 }],
        anchors,
        links: vec![Link { from_step: 0, to_step: 1, least: r.to(1), price: 15 }],
        steps,
        tasks,
        lags,
        stays,
        dishes,
        span_price: 4,
        effort_until: 8,
        idle_price: 1,
        finish_price: 0,
    };
    if r.chance(30) {
        begin(r, &mut p);
    }
    p
}

fn stays(r: &mut Random, steps: &[Step], dishes: &[Dish]) -> Vec<Stay> {
    if r.chance(50) {
        return vec![];
    }
    let (a, b, c) = (steps[0].first_task, steps[1].first_task, steps[2].first_task);
    let last = b + steps[1].task_count - 1;
    let through = |d: usize| (0..dishes[d].holds.len().min(1)).map(|h| (d, h)).collect();
    vec![
        Stay {
            uses: Use { resource: PAN, amount: 1 },
            from: vec![point(a, false), point(b, false)],
            to: vec![point(a, true), point(last, true), point(b, true)],
            through_hold: through(0),
        },
        Stay {
            uses: Use { resource: PAN, amount: 1 },
            from: vec![point(c, false)],
            to: vec![point(c, true)],
            through_hold: if r.chance(50) { through(1) } else { vec![] },
        },
    ]
}

//! A supper to draw: nine invented dishes and a plan made by hand, and the
//! evening as it stands at a minute of it.

use std::sync::Arc;

use potwatch::kitchen::party::Appetite;
use potwatch::kitchen::{
    Clockface, Evening, HoldClass, Kitchen, Party, Recipe, StationKind, check,
};
use potwatch::kitchen::{Guest, Ingredient};
use potwatch::mise::servingware::lay;
use potwatch::plan::risk::{Forecast, Odds};
use potwatch::plan::ways::price::Loss;
use potwatch::plan::ways::{
    Change, Clash, Demand, Figures, Outcome, Tried, TriesSeen, WayOut, WaysSeen, words,
};
use potwatch::plan::why::late::{Late, MINUTES, Move};
use potwatch::plan::why::push::Slip;
use potwatch::plan::why::room::Room;
use potwatch::plan::why::{Answer, Reasons, Sentence, Why};
use potwatch::plan::{Block, Plan, Situation, StepKey};
use potwatch::run::{
    Alarm, AlarmKind, AlarmState, Changed, Countdown, Event, Expected, Heat, Holding, Limit, Phase,
    Prompt, PromptKind, Rank, Span, StepId, View,
};
use potwatch::screen::{Demo, Ground, Look, Scene, Status};

/// A party and its plan.
pub struct Supper {
    pub evening: Evening,
    pub plan: Plan,
}

#[derive(serde::Deserialize)]
struct Frozen {
    party: Party,
    kitchen: Kitchen,
    recipes: Vec<Recipe>,
    plan: Plan,
}

pub fn supper() -> Supper {
    let frozen: Frozen = serde_json::from_str(include_str!("supper.json")).expect("our own file");
    let face = Clockface::fixed(frozen.party.day, 0);
    let evening = check::evening(frozen.party, frozen.kitchen, frozen.recipes, face);
    Supper { evening, plan: frozen.plan }
}

/// What is shown, held so that scenes can be made of it.
pub struct Show {
    pub supper: Supper,
    pub view: View,
    pub status: Status,
}

impl Show {
    /// The evening at `hours:minutes:seconds`, all as planned.
    pub fn at(time: (i64, i64, i64)) -> Self {
        let supper = supper();
        let now_ms = supper.evening.face.ms_of(0) + ((time.0 * 60 + time.1) * 60 + time.2) * 1000;
        let view = as_planned(&supper, now_ms);
        let status = Status {
            laying: Some(Arc::new(lay(&supper.evening, Some(&supper.plan), &[]))),
            shelf: Arc::new(potwatch::store::shelf::recipes()),
            demo: Some(Demo { speed: 4, paused: false, rehearses: None }),
            ..Status::default()
        };
        Self { supper, view, status }
    }

    /// A busy minute: something late, something over, something spoiling, an
    /// alarm of each rank, dishes on hold near their limits.
    pub fn busy() -> Self {
        let mut show = Self::at((17, 52, 20));
        show.phase("fritters", "fry", 1, Phase::Overdone);
        show.started("fritters", "fry", 1, -11, -1);
        show.phase("rolls", "cool", 0, Phase::Over);
        show.started("rolls", "cool", 0, -22, -5);
        show.phase("crumble", "fruit", 0, Phase::Skipped);
        show.phase("dip", "dress", 0, Phase::LateStart);
        show.view.spans.retain(|s| s.key != show.supper.key("dip", "dress", 0));
        let pin = show.supper.key("pie", "top", 0);
        show.view.pinned = vec![pin];
        show.view.down = vec!["fridge".to_owned()];
        show.view.alarms = alarms(show.view.now_ms);
        show.view.last_change = Some(Changed {
            at_ms: show.view.now_ms - 2 * 60_000,
            moved: "Crumble bakes 6 min later (18:04); pie bakes 6 min later (18:06).".into(),
            why: "because the fritters (fry, 2 of 2) overran by 3 min".into(),
        });
        show.status.clashes = true;
        show.status.ways = ways(&show.supper);
        show.status.tries = tries(&show.supper);
        show.status.echo = Some("17:52 done: blend the soup".into());
        show.status.undo = Some("done: blend the soup".into());
        if let Some(first) = show.view.holding.first_mut() {
            first.best.state = Countdown::Soon;
            first.best.at_ms = Some(show.view.now_ms + 4 * 60_000);
            first.taken = Some((71.0, show.view.now_ms - 12 * 60_000));
        }
        show
    }

    /// The power is gone: foods in order of danger, and what else is late for it.
    pub fn flood() -> Self {
        let mut show = Self::busy();
        let dish = |id: &str| show.supper.evening.sheets.iter().position(|s| s.id == id);
        let now_ms = show.view.now_ms;
        let food = |kind: &str, of, id: &str, title: &str, left: Option<i64>| Alarm {
            key: format!("{kind}:{id}::"),
            kind: of,
            rank: if left.is_some() { Rank::Warning } else { Rank::Urgent },
            title: title.into(),
            cause: "Out of the fridge since 15:50; the guidance allows 2 h.".into(),
            consequence: "It may no longer be eaten.".into(),
            remedy: "Throw it out. Then say what you did.".into(),
            raised_ms: now_ms - 60_000,
            harm_ms: left.map(|m| now_ms + m * 60_000),
            state: AlarmState::New,
            dish: dish(id),
            safety: true,
            root: Some("The fridge is out of order since 15:50.".into()),
        };
        let foods = vec![
            food("unsafe_past", AlarmKind::UnsafePast, "dip", "DIP past its safe limit", None),
            food("unsafe_past", AlarmKind::UnsafePast, "soup", "SOUP past its safe limit", None),
            food("unsafe_soon", AlarmKind::UnsafeSoon, "pie", "PIE unsafe in 8 min", Some(8)),
            food("unsafe_soon", AlarmKind::UnsafeSoon, "pork", "PORK unsafe in 11 min", Some(11)),
        ];
        show.view.alarms.splice(0..2, foods);
        show
    }

    /// The evening as planned, with all that is known of why the pie bakes when
    /// it does. All of it is made up to be drawn: long and short chains, and
    /// the pie's last steps moved by as much as it is late.
    pub fn explained() -> Self {
        let mut show = Self::at((17, 33, 20));
        let key = show.supper.key("pie", "bake", 0);
        let mut answer = Answer::new(key);
        let room = |minutes, free| Room { minutes, free, ..Room::default() };
        let chain = |texts: &[&str]| {
            texts.iter().map(|t| Sentence { key, text: (*t).to_owned() }).collect()
        };
        let earlier = Reasons {
            room: room(0, 0),
            chain: chain(&[
                "Pan pie (top) must be done first, at 18:13.",
                "Pan pie (top) no earlier: your hands are full until 18:07: herb rice (toast).",
                "Herb rice (toast) no earlier: the hob is full until 18:00: squash soup waits there \
                 for starters at 18:00.",
            ]),
            also: vec!["Your hands are full until 18:13: pan pie (top).".to_owned()],
        };
        let later = Reasons {
            room: room(4, 0),
            chain: chain(&[
                "It could be 2 min later, but it leaves 2 min less to spare before mains at 19:00.",
            ]),
            also: Vec::new(),
        };
        answer.why = Some(Box::new(Why {
            key,
            start: 18 * 60 + 13,
            end: 18 * 60 + 45,
            name: "Pan pie (bake)".into(),
            place: "oven, 185 °C".into(),
            fact: None,
            earlier,
            later,
            slip: Slip { minutes: 6, more: false, late: Some(0) },
            slip_until: "then too late for mains at 19:00".into(),
        }));
        answer.late = MINUTES.iter().map(|&minutes| show.supper.late(key, minutes)).collect();
        answer.done = true;
        show.status.why = Some(Arc::new(answer));
        show
    }

    fn phase(&mut self, dish: &str, step: &str, load: u32, phase: Phase) {
        let key = self.supper.key(dish, step, load);
        let entry = self.view.phases.iter_mut().find(|p| p.0 == key).expect("a load");
        entry.1 = phase;
    }

    /// From and to, in minutes from now.
    fn started(&mut self, dish: &str, step: &str, load: u32, from: i64, to: i64) {
        let key = self.supper.key(dish, step, load);
        self.view.spans.retain(|s| s.key != key);
        let (from_ms, to_ms) = (self.view.now_ms + from * 60_000, self.view.now_ms + to * 60_000);
        self.view.spans.push(Span { key, from_ms, to_ms });
    }

    /// The same with things to buy and to cut in two of the dishes, one of them bought.
    pub fn stocked(mut self) -> Self {
        let things = |json| serde_json::from_value(json).expect("ingredients");
        self.supper.evening.sheets[0].recipe.ingredients = things(serde_json::json!([
            {"item": "onion", "amount": 4, "cut": "diced"},
            {"item": "butternut squash", "amount": "2 1/5", "unit": "kg", "cut": "cubed"},
            {"item": "cream", "amount": 200, "unit": "ml", "kept": "fridge"},
            {"item": "salt", "amount": 20, "unit": "g"},
            {"item": "stewing beef", "amount": 1, "unit": "kg", "cut": "cubed", "kept": "fridge"}
        ]));
        self.supper.evening.sheets[1].recipe.ingredients = things(serde_json::json!([
            {"item": "onion", "amount": 1, "cut": "diced"},
            {"item": "canned white beans", "amount": 3, "unit": "can"},
            {"item": "moon rock", "amount": 2},
            {"item": "black pepper"}
        ]));
        self.view.ticked.insert("buy/onion".to_owned());
        self.supper.evening.kitchen.servingware = serde_json::from_value(serde_json::json!([
            {"id": "tureen", "title": "Lidded tureen", "count": 1, "kind": "pot", "volume_ml": 6000, "keeps": "hot", "lid": true},
            {"id": "bowl", "title": "Large bowl", "count": 3, "kind": "bowl", "volume_ml": 3000},
            {"id": "board", "title": "Oak board", "count": 2, "kind": "board", "area_cm2": 1200}
        ])).expect("wares");
        self.supper.evening.party.guests = serde_json::from_value(serde_json::json!([
            {"name": "the neighbours", "count": 12},
            {"name": "two from the corner", "count": 2, "diets": ["vegan"]},
            {"name": "the choir", "count": 2, "avoids": ["milk"], "heat": 1}
        ]))
        .expect("guests");
        let Supper { evening, plan } = &self.supper;
        self.status.laying = Some(Arc::new(lay(evening, Some(plan), &[])));
        self
    }

    /// The same for forty hearty guests, the second dish for 41 of a recipe for 16.
    pub fn for_forty(mut self) -> Self {
        let evening = &mut self.supper.evening;
        evening.party.guests = forty();
        evening.party.appetite = Appetite::Hearty;
        evening.sheets[0].servings = 40;
        evening.sheets[1].servings = 41;
        let more = serde_json::json!([
            {"item": "egg", "amount": 3},
            {"item": "ground cumin", "amount": 2, "unit": "tsp"}
        ]);
        let more: Vec<Ingredient> = serde_json::from_value(more).expect("ingredients");
        evening.sheets[1].recipe.ingredients.extend(more);
        self
    }

    pub fn scene(&self, look: Look) -> Scene<'_> {
        Scene {
            evening: &self.supper.evening,
            plan: &self.supper.plan,
            view: &self.view,
            status: &self.status,
            look,
        }
    }
}

impl Supper {
    pub fn key(&self, dish: &str, step: &str, load: u32) -> StepKey {
        let dish = self.evening.dish_index(dish).expect("a dish");
        let step = self.evening.sheets[dish].step_index(step).expect("a step");
        StepKey { dish, step, load }
    }

    fn late(&self, key: StepKey, minutes: i32) -> Late {
        let mut plan = self.plan.clone();
        let (mut moves, mut lines) = (Vec::new(), vec!["Every service stays as it is.".to_owned()]);
        let end = self.plan.blocks.iter().find(|b| b.key == key).expect("a block").end;
        for block in &mut plan.blocks {
            let of_it = block.key.dish == key.dish || block.station == "hob";
            if block.key == key {
                block.end += minutes;
            } else if of_it && block.start >= end - 20 {
                let from = block.start;
                (block.start, block.end) = (from + minutes, block.end + minutes);
                let (key, to) = (block.key, block.start);
                moves.push(Move { key, from, to, station: None });
                let sheet = &self.evening.sheets[key.dish];
                let label = |m| self.evening.face.label(m);
                let step = &sheet.recipe.steps[key.step].label;
                let words = format!("{}: {step} {} to {}", sheet.short(), label(from), label(to));
                lines.push(words);
            }
        }
        let plan = Some(Arc::new(plan));
        Late { minutes, moves, services: Vec::new(), plan, lines }
    }

    pub fn id(&self, key: StepKey) -> StepId {
        let sheet = &self.evening.sheets[key.dish];
        StepId {
            dish: sheet.id.clone(),
            step: sheet.recipe.steps[key.step].id.clone(),
            load: key.load,
        }
    }
}

pub const LOOKS: [(&str, Look); 5] = [
    ("dark", Look { ground: Ground::Dark, ascii: false }),
    ("light", Look { ground: Ground::Light, ascii: false }),
    ("sixteen", Look { ground: Ground::Sixteen, ascii: false }),
    ("mono", Look { ground: Ground::Mono, ascii: false }),
    ("ascii", Look { ground: Ground::Mono, ascii: true }),
];

fn figures(late: i32, waits: i32, quality: i64, begins: i32) -> Figures {
    let begins = Some(begins);
    Figures { late, past_limit: false, waits, quality, begins, span: 312, idle: 47 }
}

/// Mains that will be late, and five ways out.
fn ways(supper: &Supper) -> WaysSeen {
    let evening = &supper.evening;
    let situation = Situation { now: Some(17 * 60 + 52), ..Situation::default() };
    let pie = supper.key("pie", "bake", 0);
    let changes = [
        vec![Change::Servings { dish: pie.dish, servings: 6 }],
        vec![Change::ServiceAt { service: 1, to: 19 * 60 + 12 }],
        vec![Change::Helper { from: 18 * 60 + 15, to: 19 * 60 }],
        vec![Change::Drop { dish: pie.dish }],
        vec![
            Change::Way { dish: pie.dish, step: pie.step, way: 0 },
            Change::ServiceAt { service: 1, to: 19 * 60 + 5 },
        ],
    ];
    let outs = changes.into_iter().zip(1..).map(|(changes, n)| WayOut {
        words: words::of_changes(evening, &situation, &changes),
        changes,
        plan: Arc::new(supper.plan.clone()),
        figures: figures(0, 20 * n, i64::from(7 * n), 13 * 60 + n),
        loss: Loss::default(),
        price: i64::from(n),
    });
    let outs = outs.collect();
    let demands = vec![
        Demand::Station(0),
        Demand::Hands(0),
        Demand::Dish(pie.dish),
        Demand::Hours(0),
        Demand::Service(1),
    ];
    let clash = Clash { demands, proven: false };
    let lines = words::of_clash(evening, &situation, &clash);
    WaysSeen {
        made_for: Some(17 * 60 + 51),
        best: Some(Ok(figures(12, 35, 21, 13 * 60))),
        clash: Some((clash, lines)),
        outs,
        tried: (18, 41),
        done: false,
    }
}

/// Tries: some worked out, one without a plan, one still in work.
fn tries(supper: &Supper) -> TriesSeen {
    let evening = &supper.evening;
    let situation = Situation { now: Some(17 * 60 + 52), ..Situation::default() };
    let usual = potwatch::plan::ways::tries::usual(evening, &situation);
    let plan = Arc::new(supper.plan.clone());
    let rows = usual.into_iter().zip(0..).map(|(of, n)| {
        let figures = figures((12 - 3 * n).max(0), 35 + 4 * n, 21 + i64::from(n), 13 * 60 + n);
        let odds = odds(evening, 1_900 - 90 * n as u32);
        let outcome = Outcome { plan: Arc::clone(&plan), figures, cost: plan.cost, odds };
        let tried = match n {
            3 => Some(Tried::NoPlan(vec!["The oven is full.".into()])),
            0..9 => Some(Tried::Plan(outcome)),
            _ => None,
        };
        (of, tried)
    });
    TriesSeen { made_for: Some(17 * 60 + 51), rows: rows.collect() }
}

/// Every service on time in so many of 2,000 evenings.
fn odds(evening: &Evening, on_time: u32) -> Forecast {
    let service = |service: usize| Odds {
        service,
        due: evening.service_minute(service),
        on_time,
        evenings: 2_000,
        threats: Vec::new(),
        dishes: Vec::new(),
    };
    Forecast { evenings: 2_000, services: (0..evening.party.services.len()).map(service).collect() }
}

fn as_planned(supper: &Supper, now_ms: i64) -> View {
    let (evening, plan) = (&supper.evening, &supper.plan);
    let ms = |m| evening.face.ms_of(m);
    let mut view = View { now_ms, now: evening.face.minute_at(now_ms), ..View::default() };
    let turned = plan.settings.iter().filter(|s| ms(s.from) < now_ms);
    view.heats = turned
        .map(|s| Heat {
            station: s.station.clone(),
            kind: s.kind,
            from_ms: ms(s.from),
            to_ms: Some(ms(s.to)).filter(|to| *to <= now_ms),
            to_c: s.to_c,
        })
        .collect();
    let mut to_come: Vec<Prompt> = Vec::new();
    for block in &plan.blocks {
        let (from, to) = (ms(block.start), ms(block.end));
        let phase = match () {
            () if to <= now_ms => Phase::Done,
            () if from <= now_ms => Phase::Running,
            () => Phase::Ahead,
        };
        view.phases.push((block.key, phase));
        if phase != Phase::Ahead {
            view.spans.push(Span { key: block.key, from_ms: from, to_ms: to });
        }
        if phase == Phase::Running {
            view.running.push(prompt(supper, block, false));
        }
        let near = now_ms - 2 * 60_000;
        if from > near && block.cook.is_some() {
            to_come.push(prompt(supper, block, true));
        }
        if to > near && block.hands_end > 0 {
            to_come.push(prompt(supper, block, false));
        }
    }
    view.phases.sort_by_key(|p| p.0);
    view.spans.sort_by_key(|s| s.key);
    view.running.sort_by_key(|p| p.due_ms);
    to_come.sort_by_key(|p| p.due_ms);
    let split = to_come.iter().position(|p| p.due_ms > now_ms).unwrap_or(to_come.len());
    view.next = to_come.split_off(split);
    view.next.truncate(6);
    view.do_now = to_come;
    view.holding = holding(supper, now_ms);
    let first = view.do_now.first().or(view.next.first()).cloned();
    view.expected = first.map(|p| expected(supper, p));
    view.next_change_ms = now_ms + 60_000;
    view.last_change = Some(Changed {
        at_ms: now_ms - 60_000,
        moved: "Rolls bake 4 min earlier (17:14).".into(),
        why: "because the rolls (shape) ended 4 min early".into(),
    });
    view
}

fn prompt(supper: &Supper, block: &Block, start: bool) -> Prompt {
    let sheet = &supper.evening.sheets[block.key.dish];
    let step = &sheet.recipe.steps[block.key.step];
    let name = sheet.short().to_lowercase();
    let minute = if start { block.start } else { block.end - block.hands_end };
    let heats = supper.evening.station(&block.station).is_some_and(|s| s.kind.heats());
    let (kind, short) = match (start, heats) {
        (true, true) => (PromptKind::PutIn, format!("{} the {name}", step.label)),
        (true, false) => (PromptKind::Start, format!("{} the {name}", step.label)),
        (false, true) => (PromptKind::TakeOut, format!("take out the {name}")),
        (false, false) => (PromptKind::Finish, format!("end of {}: {name}", step.label)),
    };
    Prompt {
        kind,
        key: Some(block.key),
        dish: Some(block.key.dish),
        short,
        text: step.text.clone(),
        due_ms: supper.evening.face.ms_of(minute),
    }
}

fn expected(supper: &Supper, prompt: Prompt) -> Expected {
    let key = prompt.key.expect("a step");
    let id = supper.id(key);
    let block = supper.plan.blocks.iter().find(|b| b.key == key).expect("a block");
    let event = match prompt.kind {
        PromptKind::Start | PromptKind::PutIn => Event::Started {
            id,
            way: block.way,
            station: block.station.clone(),
            cook: block.cook.clone(),
            ago_minutes: 0,
        },
        _ => Event::Done { id, ago_minutes: 0 },
    };
    let label = match prompt.kind {
        PromptKind::Start => format!("started: {}", prompt.short),
        PromptKind::PutIn => format!("in: {}", prompt.short),
        _ => format!("done: {}", prompt.short),
    };
    Expected { prompt, label, event }
}

fn holding(supper: &Supper, now_ms: i64) -> Vec<Holding> {
    let ms = |m| supper.evening.face.ms_of(m);
    let mut out: Vec<Holding> = Vec::new();
    for hold in supper.plan.holds.iter().filter(|h| ms(h.from) <= now_ms) {
        let recipe = &supper.evening.sheets[hold.dish].recipe;
        let rule = &recipe.holds[hold.hold];
        let served = ms(hold.to) <= now_ms;
        let best = ms(hold.from) + i64::from(rule.free_minutes) * 60_000;
        let state = |at: i64| match at - now_ms {
            ..=0 => Countdown::Past,
            1..=600_000 => Countdown::Soon,
            _ => Countdown::Fine,
        };
        let safe = (served || rule.class == HoldClass::Room).then(|| ms(hold.from) + 120 * 60_000);
        let place = match rule.place {
            StationKind::Counter => "counter",
            StationKind::Fridge => "fridge",
            StationKind::Oven => "oven, 80 °C",
            StationKind::SlowCooker => "slow cooker, warm",
            _ => "lidded pot on the hob",
        };
        out.push(Holding {
            dish: hold.dish,
            part: None,
            place: place.into(),
            class: rule.class,
            served,
            since_ms: ms(hold.from),
            best: Limit { at_ms: Some(best), state: state(best), why: "by its recipe".into() },
            safe: Limit {
                at_ms: safe,
                state: safe.map_or(Countdown::Fine, state),
                why: "two hours at room temperature".into(),
            },
            taken: None,
            advice: if served { "clear it or keep it cold" } else { "leave the lid on" }.into(),
        });
    }
    let nearest = |h: &Holding| h.safe.at_ms.into_iter().chain(h.best.at_ms).min();
    out.sort_by_key(nearest);
    out
}

fn alarms(now_ms: i64) -> Vec<Alarm> {
    let alarm = |key: &str, kind, rank, title: &str, safety, state| Alarm {
        key: key.into(),
        kind,
        rank,
        title: title.into(),
        cause: "It has been in the fryer for 11 min; 7 were planned.".into(),
        consequence: "It turns dark and dry.".into(),
        remedy: "Take the second load out and drain it on the rack.".into(),
        raised_ms: now_ms - 80_000,
        harm_ms: Some(now_ms + 90_000),
        state,
        dish: Some(2),
        safety,
        root: None,
    };
    vec![
        alarm(
            "overdone/fritters/fry/1",
            AlarmKind::Overdone,
            Rank::Urgent,
            "FRITTERS overdone, take them out",
            false,
            AlarmState::New,
        ),
        Alarm {
            harm_ms: None,
            ..alarm(
                "unsafe_past/dip",
                AlarmKind::UnsafePast,
                Rank::Urgent,
                "DIP out of the fridge for 2 h",
                true,
                AlarmState::Acknowledged,
            )
        },
        alarm(
            "best_soon/soup",
            AlarmKind::BestSoon,
            Rank::Warning,
            "SOUP past its best in 4 min",
            false,
            AlarmState::Acknowledged,
        ),
        alarm(
            "service_at_risk/mains",
            AlarmKind::ServiceAtRisk,
            Rank::Notice,
            "Mains may be 3 min late",
            false,
            AlarmState::PutOff(now_ms + 200_000),
        ),
    ]
}

/// A choir.
pub fn forty() -> Vec<Guest> {
    serde_json::from_value(serde_json::json!([{"name": "the choir", "count": 40}])).expect("guests")
}

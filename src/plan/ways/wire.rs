//! Ways out and tries for other programs: `potwatch plan PARTY.json --ways --json`
//! and `--what-if CHANGE --json`. The schemas in `shared/schema/` are made from
//! these types. Every plan is whole, with the party as it would be, so that another
//! program can check it without this one.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::change::{Change, Settle, apply};
use super::figures::Figures;
use super::find::Found;
use super::tries::{Outcome, Tried, Try};
use super::words;
use crate::kitchen::{Evening, Minute};
use crate::plan::build::NoWay;
use crate::plan::wire::{PlanFile, plan_file};
use crate::plan::{Plan, Situation};

/// What `format` says in a file of ways out.
pub const WAYS_FORMAT: &str = "potwatch ways 1";

/// What `format` says in a file of tries.
pub const WHAT_IF_FORMAT: &str = "potwatch what-if 1";

/// What clashes, and the ways out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WaysFile {
    /// `potwatch ways 1`; another number means other fields.
    pub format: String,
    /// Every demand is met without any change; then the rest is empty.
    pub fits: bool,
    /// Demands that do not go together, each as a sentence; any one of them
    /// less, and the rest can be met.
    pub clash: Vec<String>,
    /// It is certain that they do not. If not, no way was found.
    pub clash_proven: bool,
    /// The best plan without any change, if there is one.
    pub best: Option<FiguresEntry>,
    /// Why there is none.
    pub no_plan: Vec<String>,
    /// The ways out, cheapest first.
    pub ways: Vec<WayEntry>,
}

/// Tries beside the evening as it is.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WhatIfFile {
    /// `potwatch what-if 1`; another number means other fields.
    pub format: String,
    /// The evening as it is first, then each try.
    pub tries: Vec<TryEntry>,
}

/// A way out.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WayEntry {
    /// What is changed, in words.
    pub words: String,
    /// What is changed.
    pub changes: Vec<ChangeEntry>,
    /// What the plan is like.
    pub figures: FiguresEntry,
    /// What it costs the cook, in cost units: the plan without lateness, and the changes.
    pub price: i64,
    /// The plan, with the party as it would be.
    pub plan: PlanFile,
}

/// A try.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct TryEntry {
    /// What is changed, in words.
    pub words: String,
    /// What is changed; nothing for the evening as it is.
    pub changes: Vec<ChangeEntry>,
    /// What the plan is like, if there is one.
    pub figures: Option<FiguresEntry>,
    /// Why there is none.
    pub no_plan: Vec<String>,
    /// The plan, with the party as it would be.
    pub plan: Option<PlanFile>,
}

/// What a plan is like.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct FiguresEntry {
    /// Minutes late: of each service those of its latest dish, added up.
    pub late_minutes: Minute,
    /// A most wait or a safety limit is passed that could no longer be kept.
    pub past_limit: bool,
    /// Minutes that finished dishes wait for their services, added up.
    pub waiting_minutes: Minute,
    /// Quality points lost.
    pub quality_points: f64,
    /// The first minute of hands.
    pub begins_minute: Option<Minute>,
    /// Minutes from there to the last serving.
    pub span_minutes: Minute,
    /// Minutes of cooks with nothing to do in between.
    pub idle_minutes: Minute,
}

/// A change, by the ids of the party's files.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case", tag = "what", deny_unknown_fields)]
pub enum ChangeEntry {
    /// A service stands on the table at another time.
    ServiceAt {
        /// Id of the service.
        service: String,
        /// When.
        to_minute: Minute,
    },
    /// A cook is there in these minutes too.
    CookThere {
        /// Id of the cook.
        cook: String,
        /// First minute.
        from_minute: Minute,
        /// Minute after the last.
        to_minute: Minute,
    },
    /// A second pair of hands.
    Helper {
        /// First minute.
        from_minute: Minute,
        /// Minute after the last.
        to_minute: Minute,
    },
    /// A step is done in a certain way.
    Way {
        /// Id of the dish.
        dish: String,
        /// Id of the step in its recipe.
        step: String,
        /// Index of the way, from 0.
        way: usize,
    },
    /// The finished dish waits in a certain place.
    Place {
        /// Id of the dish.
        dish: String,
        /// Index of the hold in its recipe, from 0.
        hold: usize,
    },
    /// A dish is not made.
    Drop {
        /// Id of the dish.
        dish: String,
    },
    /// A dish is made for another number.
    Servings {
        /// Id of the dish.
        dish: String,
        /// How many.
        servings: u32,
    },
    /// A pin is given up.
    Unpin {
        /// Id of the dish.
        dish: String,
        /// Id of the step in its recipe.
        step: String,
        /// Which load, from 0.
        load: u32,
    },
    /// A dish is made the day before, as far as it may wait in the fridge.
    DayBefore {
        /// Id of the dish.
        dish: String,
    },
    /// One more station like one that is there.
    Another {
        /// Id of the station.
        station: String,
        /// How many places it has.
        places: u32,
    },
    /// More of some cookware.
    MoreOf {
        /// Id of the cookware.
        cookware: String,
        /// How many more.
        count: u32,
    },
    /// Everything takes longer at stations of a kind.
    Slower {
        /// Id of a station of the kind.
        station: String,
        /// Per cent more.
        percent: u32,
    },
    /// A station cannot be used.
    Without {
        /// Id of the station.
        station: String,
    },
}

/// The file of what clashes and of the ways out; `found` is None where nothing clashes.
///
/// # Errors
/// Never for plans that came from the planner.
pub fn ways_file(
    evening: &Evening,
    situation: &Situation,
    found: Option<&Found>,
    settle: Settle,
) -> Result<WaysFile, NoWay> {
    let mut file = WaysFile {
        format: WAYS_FORMAT.to_owned(),
        fits: found.is_none(),
        clash: Vec::new(),
        clash_proven: false,
        best: None,
        no_plan: Vec::new(),
        ways: Vec::new(),
    };
    let Some(Found { clash, best, outs }) = found else { return Ok(file) };
    if let Some(clash) = clash {
        file.clash = words::of_clash(evening, situation, clash);
        file.clash_proven = clash.proven;
    }
    match best {
        Ok(figures) => file.best = Some(figures_entry(figures)),
        Err(lines) => file.no_plan.clone_from(lines),
    }
    for out in outs {
        let plan = whole(evening, situation, &out.changes, &out.plan, settle)?;
        file.ways.push(WayEntry {
            words: out.words.clone(),
            changes: entries(evening, &out.changes),
            figures: figures_entry(&out.figures),
            price: out.price,
            plan,
        });
    }
    Ok(file)
}

/// The file of tries.
///
/// # Errors
/// Never for plans that came from the planner.
pub fn what_if_file(
    evening: &Evening,
    situation: &Situation,
    tries: &[(Try, Tried)],
    settle: Settle,
) -> Result<WhatIfFile, NoWay> {
    let mut file = WhatIfFile { format: WHAT_IF_FORMAT.to_owned(), tries: Vec::new() };
    for (of, tried) in tries {
        let mut entry = TryEntry {
            words: of.words.clone(),
            changes: entries(evening, &of.changes),
            figures: None,
            no_plan: Vec::new(),
            plan: None,
        };
        match tried {
            Tried::Plan(Outcome { plan, figures, .. }) => {
                entry.figures = Some(figures_entry(figures));
                entry.plan = Some(whole(evening, situation, &of.changes, plan, settle)?);
            }
            Tried::NoPlan(lines) => entry.no_plan.clone_from(lines),
        }
        file.tries.push(entry);
    }
    Ok(file)
}

fn whole(
    evening: &Evening,
    situation: &Situation,
    changes: &[Change],
    plan: &Plan,
    settle: Settle,
) -> Result<PlanFile, NoWay> {
    match apply(evening, situation, changes, settle) {
        Ok(changed) => plan_file(&changed.evening, &changed.situation, plan),
        Err(_) => plan_file(evening, situation, plan),
    }
}

fn figures_entry(figures: &Figures) -> FiguresEntry {
    FiguresEntry {
        late_minutes: figures.late,
        past_limit: figures.past_limit,
        waiting_minutes: figures.waits,
        quality_points: figures.quality as f64 / 10.0,
        begins_minute: figures.begins,
        span_minutes: figures.span,
        idle_minutes: figures.idle,
    }
}

fn entries(evening: &Evening, changes: &[Change]) -> Vec<ChangeEntry> {
    changes.iter().map(|c| entry(evening, c)).collect()
}

fn entry(evening: &Evening, change: &Change) -> ChangeEntry {
    let dish = |d: usize| evening.sheets.get(d).map(|s| s.id.clone()).unwrap_or_default();
    let step = |d: usize, s: usize| {
        let sheet = evening.sheets.get(d);
        let step = sheet.and_then(|sheet| sheet.recipe.steps.get(s));
        step.map(|s| s.id.clone()).unwrap_or_default()
    };
    let station =
        |s: usize| evening.kitchen.stations.get(s).map(|s| s.id.clone()).unwrap_or_default();
    match *change {
        Change::ServiceAt { service, to } => ChangeEntry::ServiceAt {
            service: evening.party.services.get(service).map(|s| s.id.clone()).unwrap_or_default(),
            to_minute: to,
        },
        Change::CookThere { cook, from, to } => ChangeEntry::CookThere {
            cook: evening.party.cooks.get(cook).map(|c| c.id.clone()).unwrap_or_default(),
            from_minute: from,
            to_minute: to,
        },
        Change::Helper { from, to } => ChangeEntry::Helper { from_minute: from, to_minute: to },
        Change::Way { dish: d, step: s, way } => {
            ChangeEntry::Way { dish: dish(d), step: step(d, s), way }
        }
        Change::Place { dish: d, hold } => ChangeEntry::Place { dish: dish(d), hold },
        Change::Drop { dish: d } => ChangeEntry::Drop { dish: dish(d) },
        Change::Servings { dish: d, servings } => ChangeEntry::Servings { dish: dish(d), servings },
        Change::Unpin { key } => ChangeEntry::Unpin {
            dish: dish(key.dish),
            step: step(key.dish, key.step),
            load: key.load,
        },
        Change::DayBefore { dish: d } => ChangeEntry::DayBefore { dish: dish(d) },
        Change::Another { station: s, places } => {
            ChangeEntry::Another { station: station(s), places }
        }
        Change::MoreOf { ware, count } => {
            let found = evening.kitchen.cookware.get(ware);
            let cookware = found.map(|c| c.id.clone()).unwrap_or_default();
            ChangeEntry::MoreOf { cookware, count }
        }
        Change::Slower { station: s, percent } => {
            ChangeEntry::Slower { station: station(s), percent }
        }
        Change::Without { station: s } => ChangeEntry::Without { station: station(s) },
    }
}

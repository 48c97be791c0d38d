//! The explanation as a JSON document: `potwatch plan PARTY.json --why STEP --json`.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::late::Late;
use super::room::Room;
use super::{Reasons, Why};
use crate::kitchen::{Evening, Minute};
use crate::plan::StepKey;

/// The format's name and number.
pub const WHY_FORMAT: &str = "potwatch why 1";

/// Why a block stands where it stands. Minutes count from the same midnight as those of the plan.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct WhyFile {
    /// `potwatch why 1`; another number means other fields.
    pub format: String,
    /// The block.
    pub block: BlockId,
    /// First minute.
    pub start_minute: Minute,
    /// Minute after the last.
    pub end_minute: Minute,
    /// What has happened already, or was asked for; nothing if neither.
    pub fact: Option<String>,
    /// What keeps it from being earlier.
    pub earlier: SideEntry,
    /// What keeps it from being later.
    pub later: SideEntry,
    /// How far it can slip with the rest pushed along.
    pub slip: SlipEntry,
    /// What moves if it ends late.
    pub late: Vec<LateEntry>,
}

/// A load of a step.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct BlockId {
    /// Id of the dish.
    pub dish: String,
    /// Id of the step.
    pub step: String,
    /// Which load, from 0.
    pub load: u32,
}

/// One side of a block.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SideEntry {
    /// Minutes by which it can be moved with nothing else moved and no service later than it is.
    pub room_minutes: i32,
    /// The first of these that cost nothing.
    pub free_minutes: i32,
    /// 180 minutes were looked at, and it could go further.
    pub more: bool,
    /// The reasons, from the block to a fact.
    pub reasons: Vec<ReasonEntry>,
    /// What else is in the block's own way.
    pub also: Vec<String>,
}

/// A reason.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ReasonEntry {
    /// The block that it is about.
    pub block: BlockId,
    /// The sentence.
    pub text: String,
}

/// How far a block can slip.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct SlipEntry {
    /// Minutes, with what follows pushed along and no service later than it is.
    pub minutes: i32,
    /// 180 minutes were looked at, and it could slip further.
    pub more: bool,
    /// What a minute more would lead to.
    pub then: String,
}

/// What moves if a block ends late.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct LateEntry {
    /// Minutes late.
    pub minutes: Minute,
    /// There is a plan then.
    pub plan: bool,
    /// Blocks that start at another minute or station, by their new start.
    pub moves: Vec<MoveEntry>,
    /// Services whose last dish is served at another minute.
    pub services: Vec<ServiceMoveEntry>,
    /// The same in words, one line each.
    pub lines: Vec<String>,
}

/// A block that moves.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct MoveEntry {
    /// The block.
    pub block: BlockId,
    /// Its start in the plan as it is.
    pub from_minute: Minute,
    /// Its start then.
    pub to_minute: Minute,
    /// Id of the station then, if it is another.
    pub station: Option<String>,
}

/// A service that moves.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct ServiceMoveEntry {
    /// Id of the service.
    pub service: String,
    /// When it is due.
    pub due_minute: Minute,
    /// When its last dish is served in the plan as it is.
    pub from_minute: Minute,
    /// When it is served then.
    pub to_minute: Minute,
}

/// The document of an explanation.
#[must_use]
pub fn why_file(evening: &Evening, why: &Why, late: &[Late]) -> WhyFile {
    WhyFile {
        format: WHY_FORMAT.to_owned(),
        block: block(evening, why.key),
        start_minute: why.start,
        end_minute: why.end,
        fact: why.fact.clone(),
        earlier: side(evening, &why.earlier),
        later: side(evening, &why.later),
        slip: SlipEntry {
            minutes: why.slip.minutes,
            more: why.slip.more,
            then: why.slip_until.clone(),
        },
        late: late.iter().map(|l| late_entry(evening, l)).collect(),
    }
}

fn block(evening: &Evening, key: StepKey) -> BlockId {
    let sheet = evening.sheets.get(key.dish);
    let step = sheet.and_then(|s| s.recipe.steps.get(key.step));
    BlockId {
        dish: sheet.map_or_else(String::new, |s| s.id.clone()),
        step: step.map_or_else(String::new, |s| s.id.clone()),
        load: key.load,
    }
}

fn side(evening: &Evening, reasons: &Reasons) -> SideEntry {
    let Room { minutes, free, more, .. } = reasons.room;
    let entry =
        |s: &super::Sentence| ReasonEntry { block: block(evening, s.key), text: s.text.clone() };
    SideEntry {
        room_minutes: minutes,
        free_minutes: free,
        more,
        reasons: reasons.chain.iter().map(entry).collect(),
        also: reasons.also.clone(),
    }
}

fn late_entry(evening: &Evening, late: &Late) -> LateEntry {
    let moves = late.moves.iter().map(|m| MoveEntry {
        block: block(evening, m.key),
        from_minute: m.from,
        to_minute: m.to,
        station: m.station.clone(),
    });
    let services = late.services.iter().map(|s| ServiceMoveEntry {
        service: evening.party.services.get(s.service).map_or_else(String::new, |s| s.id.clone()),
        due_minute: s.due,
        from_minute: s.from,
        to_minute: s.to,
    });
    LateEntry {
        minutes: late.minutes,
        plan: late.plan.is_some(),
        moves: moves.collect(),
        services: services.collect(),
        lines: late.lines.clone(),
    }
}

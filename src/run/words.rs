//! Kitchen English: short names and phrases for prompts and reasons. Short
//! enough for a screen of 80 columns.

use super::state::State;
use super::view::PromptKind;
use crate::kitchen::pans::{self, Asked};
use crate::kitchen::{CookwareNeed, Evening, Setting, StationKind, Step};
pub use crate::paper::capital;
pub use crate::paper::list;
use crate::plan::{Block, Plan, StepKey};

/// A dish's short name inside a sentence: "pumpkin soup".
#[must_use]
pub fn dish(state: &State, dish: usize) -> String {
    state.sheet(dish).map_or_else(|| "a dish".to_owned(), |s| in_sentence(&s.short()))
}

/// A dish's name in front of a line: "Pumpkin soup".
#[must_use]
pub fn dish_first(state: &State, dish: usize) -> String {
    capital(&self::dish(state, dish))
}

/// A step inside a sentence: "the soup (simmer)".
#[must_use]
pub fn step_of(state: &State, key: StepKey) -> String {
    format!("the {}", step_name(state, key))
}

/// A step beside a key or a verb: "soup (simmer)", "fries (fry, 2 of 3)".
#[must_use]
pub fn step_name(state: &State, key: StepKey) -> String {
    let label = state.step(key).map(Step::marked).unwrap_or_default();
    if label.is_empty() {
        return dish(state, key.dish);
    }
    format!("{} ({label}{})", dish(state, key.dish), load_of(state, key, ", "))
}

/// What the one key says of a step: "start: soup (chop)", "in: pie (bake)".
#[must_use]
pub fn to_mark(state: &State, key: StepKey, kind: PromptKind) -> String {
    let verb = if kind == PromptKind::Start { "start" } else { marked_verb(kind) };
    format!("{verb}: {}", step_name(state, key))
}

/// The same once it is marked: "started: soup (chop)", "in: pie (bake)".
#[must_use]
pub fn marked(state: &State, key: StepKey, kind: PromptKind) -> String {
    format!("{}: {}", marked_verb(kind), step_name(state, key))
}

const fn marked_verb(kind: PromptKind) -> &'static str {
    match kind {
        PromptKind::PutIn => "in",
        PromptKind::TakeOut => "out",
        PromptKind::Finish => "done",
        PromptKind::Start | PromptKind::Dial | PromptKind::Serve => "started",
    }
}

/// "2 of 3" where a step is done in loads, with `before` in front; else nothing.
#[must_use]
pub fn load_of(state: &State, key: StepKey, before: &str) -> String {
    let loads = state.loads(key.dish, key.step);
    if loads < 2 {
        return String::new();
    }
    format!("{before}{} of {}", key.load.saturating_add(1), loads.max(key.load.saturating_add(1)))
}

/// A service inside a sentence: "starters".
#[must_use]
pub fn service_title(evening: &Evening, service: usize) -> String {
    let title = evening.party.services.get(service).map(|s| s.title.as_str());
    in_sentence(title.unwrap_or("the service"))
}

/// The loads that run at a station.
pub fn running_at(state: &State, id: &str, now_ms: i64) -> Vec<String> {
    let runs = state.facts().progress.iter().filter_map(|(key, p)| Some((*key, p.run()?)));
    let there = runs.filter(|(key, run)| run.station == id && state.still_runs(*key, now_ms));
    there.map(|(key, _)| step_of(state, key)).collect()
}

/// A station with its article: "the oven", or its own name where there are
/// several of the kind: "the left oven".
#[must_use]
pub fn the_station(evening: &Evening, id: &str) -> String {
    format!("the {}", station(evening, id))
}

/// A station without article.
#[must_use]
pub fn station(evening: &Evening, id: &str) -> String {
    let Some(station) = evening.station(id) else { return "station".to_owned() };
    let alike = evening.kitchen.stations.iter().filter(|s| s.kind == station.kind).count();
    if alike > 1 { in_sentence(&station.title) } else { kind(station.kind).to_owned() }
}

/// What a cook calls a kind of station.
#[must_use]
pub fn kind(kind: StationKind) -> &'static str {
    kind.word()
}

/// "into the oven", "on the hob".
#[must_use]
pub fn onto(evening: &Evening, id: &str) -> String {
    let preposition = match evening.station(id).map(|s| s.kind) {
        Some(StationKind::Stovetop | StationKind::Grill | StationKind::Counter) => "on",
        _ => "into",
    };
    format!("{preposition} {}", the_station(evening, id))
}

/// "in the oven", "on the hob".
#[must_use]
pub fn at(evening: &Evening, id: &str) -> String {
    onto(evening, id).replacen("into ", "in ", 1)
}

/// A burner's or slow cooker's setting.
#[must_use]
pub fn setting(setting: Setting) -> &'static str {
    match setting {
        Setting::Low => "low",
        Setting::Medium => "medium",
        Setting::High => "high",
        Setting::Warm => "warm",
    }
}

/// "sheet tray", "2 x sheet tray" by their titles in the kitchen: the pieces that
/// the plan has for a block, as many as the block needs of them; as few of the
/// kitchen's as will do, where the plan has none.
#[must_use]
pub fn cookware(evening: &Evening, plan: &Plan, block: &Block, need: &CookwareNeed) -> String {
    let kitchen = &evening.kitchen;
    let sheet = evening.sheets.get(block.key.dish);
    let step = sheet.and_then(|s| s.recipe.steps.get(block.key.step));
    let load = step.and_then(|s| s.ways.get(block.way)).and_then(|w| w.load_servings);
    let asked = sheet.map(|s| Asked::of(&s.recipe, need, s.servings, load)).unwrap_or_default();
    let mine = plan
        .pans
        .iter()
        .filter(|p| p.dish == block.key.dish && p.from < block.end && p.to > block.start);
    let known = mine.filter_map(|p| {
        let ware = kitchen.cookware.iter().find(|c| c.id == p.cookware && c.kind == need.kind)?;
        Some((ware, u32::try_from(p.numbers.len()).unwrap_or(u32::MAX)))
    });
    let has: Vec<_> = known.collect();
    let pieces: Vec<_> = has.iter().map(|(ware, n)| (ware.volume_ml, *n)).collect();
    let take = pans::fewest(asked, &pieces);
    let take = take.or_else(|| pans::in_kitchen(kitchen, &need.kind, asked, false));
    let first = kitchen.cookware.iter().find(|c| c.kind == need.kind);
    let owned = has.first().map(|(ware, _)| *ware).or(first);
    let title = owned.map_or_else(|| need.kind.replace('_', " "), |c| in_sentence(&c.title));
    match take.map_or(need.count, |take| take.pieces) {
        0 | 1 => title,
        n => format!("{n} x {title}"),
    }
}

/// A setting as the cook's oven has it on its dial: "200 °C", "gas 6".
#[must_use]
pub fn degrees(state: &State, celsius: i32) -> String {
    state.evening().customs.oven(celsius)
}

/// Minutes as "8 min", "1 h 05", "2 h".
#[must_use]
pub fn minutes(minutes: i64) -> String {
    match (minutes / 60, minutes % 60) {
        (0, m) => format!("{m} min"),
        (h, 0) => format!("{h} h"),
        (h, m) => format!("{h} h {m:02}"),
    }
}

/// What the wall clock shows at a time: "18:05", "6:05pm".
#[must_use]
pub fn clock(state: &State, ms: i64) -> String {
    state.evening().face.read(state.sane_ms(ms))
}

/// A title in the middle of a sentence: its first letter small, unless the
/// word has other capitals ("BBQ").
#[must_use]
pub fn in_sentence(title: &str) -> String {
    let first_word = title.split(' ').next().unwrap_or_default();
    if first_word.chars().skip(1).any(char::is_uppercase) {
        return title.to_owned();
    }
    let mut letters = title.chars();
    letters.next().map_or_else(String::new, |c| c.to_lowercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_read_as_a_cook_says_them() {
        assert_eq!(minutes(8), "8 min");
        assert_eq!(minutes(65), "1 h 05");
        assert_eq!(minutes(120), "2 h");
        assert_eq!(list(&["a".into(), "b".into(), "c".into()]), "a, b and c");
        assert_eq!(in_sentence("Squash soup"), "squash soup");
        assert_eq!(in_sentence("BBQ beans"), "BBQ beans");
        assert_eq!(capital("élan"), "Élan");
        assert_eq!(capital(""), "");
    }

    /// The pan that the plan has for a block while it runs; else the kitchen's first of the kind.
    #[test]
    fn a_pan_is_named_by_its_title_in_the_kitchen() {
        use crate::plan::PanBlock;
        let mut evening = Evening::clone(&crate::run::testbed::evening());
        let mut big = evening.kitchen.cookware[0].clone();
        (big.id, big.title) = ("big".to_owned(), "Large pie dish".to_owned());
        let mut pot = big.clone();
        (pot.id, pot.kind, pot.title) = ("pot".to_owned(), "pot".to_owned(), "Pot".to_owned());
        evening.kitchen.cookware.extend([big, pot]);
        let mut plan = crate::run::testbed::plan(&evening);
        let bake = crate::run::testbed::key(&evening, "pie", "bake", 0);
        let block = plan.blocks.iter().find(|b| b.key == bake).expect("planned").clone();
        let need = evening.sheets[3].recipe.steps[1].cookware[0].clone();
        let mut named = |pan: &str, dish: usize, from: i32, to: i32| {
            let (cookware, numbers) = (pan.to_owned(), vec![0]);
            plan.pans = vec![PanBlock { cookware, numbers, dish, from, to }];
            super::cookware(&evening, &plan, &block, &need)
        };
        assert_eq!(named("big", 3, block.start, block.end), "large pie dish");
        assert_eq!(named("big", 3, block.start - 60, block.start + 1), "large pie dish");
        assert_eq!(named("big", 3, block.start - 60, block.start), "pie dish", "of a step before");
        assert_eq!(named("big", 3, block.end, block.end + 60), "pie dish", "of a step after");
        assert_eq!(named("big", 0, block.start, block.end), "pie dish", "of another dish");
        assert_eq!(named("pot", 3, block.start, block.end), "pie dish", "of another kind");
    }

    #[test]
    fn places_read_as_a_cook_says_them() {
        let mut evening = Evening::clone(&crate::run::testbed::evening());
        assert_eq!(
            (onto(&evening, "oven"), at(&evening, "oven")),
            ("into the oven".into(), "in the oven".into())
        );
        assert_eq!(
            (onto(&evening, "hob"), at(&evening, "hob")),
            ("on the hob".into(), "on the hob".into())
        );
        let mut left = evening.station("oven").expect("one").clone();
        (left.id, left.title) = ("left".to_owned(), "Left oven".to_owned());
        evening.kitchen.stations.push(left);
        assert_eq!(the_station(&evening, "left"), "the left oven");
    }
}

//! Are the steps of a recipe sound in themselves?

use std::collections::BTreeSet;

use super::report::Report;
use super::words::{self, a_kind};
use super::{
    MOST_MUST_WAIT_MINUTES, MOST_POINTS, MOST_STEP_MINUTES, MOST_WAIT_MINUTES, TEMPERATURES_C,
};
use crate::kitchen::{
    After, CookwareNeed, Growth, Hands, Hold, HoldClass, Minutes, Reheating, StationKind, Step,
    WaitPlace, Way,
};

const MOST_WAYS: usize = 8;
const MOST_AFTER: usize = 60;
const MOST_NEEDS: usize = 12;
const MOST_SLOTS: u32 = 50;
/// Longest label of a block on the chart.
const LONGEST_LABEL: usize = 24;

pub(super) fn check(steps: &[Step], report: &mut Report) {
    words::twice(report, "steps", "id", steps.iter().map(|s| s.id.as_str()));
    for (index, step) in steps.iter().enumerate() {
        self::step(step, &format!("steps[{index}]"), report);
    }
}

/// How a recipe is heated again: as a step is done.
pub(super) fn reheating(reheat: &Reheating, steps: &[Step], path: &str, report: &mut Report) {
    if reheat.ways.is_empty() {
        report.wrong(format!("{path}.ways"), "is empty", "Add at least one way to heat it");
    }
    for (index, way) in
        words::at_most(report, &format!("{path}.ways"), &reheat.ways, MOST_WAYS).iter().enumerate()
    {
        let path = format!("{path}.ways[{index}]");
        self::way(way, &path, report);
        setting(way, &path, report);
        loads(way, Growth::Fixed, &path, report);
        // It stays lukewarm in there for hours: reported of the USDA's advice on slow cookers.
        if !way.station.heats() || way.station == StationKind::SlowCooker {
            let what = format!("{} does not heat food through again", a_kind(way.station));
            report.wrong(path, what, "Name a stovetop, an oven or a microwave");
        }
    }
    hands(&reheat.hands, &reheat.ways, path, report);
    needs(&reheat.cookware, &format!("{path}.cookware"), report);
    if let Some(text) = &reheat.text {
        words::line(report, format!("{path}.text"), text, words::LONGEST_TEXT);
    }
    if let Some(id) = reheat.after.as_ref().filter(|id| !steps.iter().any(|s| s.id == **id)) {
        let known = steps.iter().map(|s| s.id.as_str());
        report.wrong(
            format!("{path}.after"),
            format!("there is no step \"{}\"", id.escape_debug()),
            words::mean(id, known),
        );
    }
}

/// What is done the day before has everything before it done then too, and its
/// food waits for the day in the cold.
pub(super) fn day_before(steps: &[Step], holds: &[Hold], report: &mut Report) {
    let hot = holds.iter().position(|h| h.class == HoldClass::Hot);
    let heated = |s: &Step| !s.day_before && s.ways.iter().any(|w| w.station.heats());
    if let (true, Some(hold), false) =
        (steps.iter().any(|s| s.day_before), hot, steps.iter().any(heated))
    {
        report.wrong(
            format!("holds[{hold}]"),
            "keeps hot what was made the day before and is not heated on the day",
            "Add a step that heats it again, with \"care\": \"reheats\"",
        );
    }

    for (s, step) in steps.iter().enumerate() {
        for (a, after) in step.after.iter().enumerate() {
            let Some(before) = steps.iter().find(|b| b.id == after.step) else { continue };
            let path = format!("steps[{s}].after[{a}]");
            if step.day_before && !before.day_before {
                report.wrong(
                    path,
                    format!(
                        "\"{}\" is done the day before, but follows \"{}\"",
                        step.id, before.id
                    ),
                    "Do the earlier step the day before too",
                );
            } else if before.day_before && !step.day_before && after.place != WaitPlace::Cold {
                report.wrong(
                    format!("{path}.place"),
                    format!("what is done the day before waits for \"{}\" overnight", step.id),
                    "Write \"place\": \"cold\"",
                );
            }
        }
    }
}

fn step(step: &Step, path: &str, report: &mut Report) {
    words::id(report, format!("{path}.id"), &step.id);
    words::line(report, format!("{path}.text"), &step.text, words::LONGEST_TEXT);
    words::line(report, format!("{path}.label"), &step.label, LONGEST_LABEL);
    if step.ways.is_empty() {
        report.wrong(format!("{path}.ways"), "is empty", "Add at least one way to do the step");
    }
    let ways = words::at_most(report, &format!("{path}.ways"), &step.ways, MOST_WAYS);
    for (index, way) in ways.iter().enumerate() {
        let path = format!("{path}.ways[{index}]");
        self::way(way, &path, report);
        setting(way, &path, report);
        loads(way, step.grows, &path, report);
    }
    hands(&step.hands, &step.ways, path, report);
    let follows = words::at_most(report, &format!("{path}.after"), &step.after, MOST_AFTER);
    for (index, after) in follows.iter().enumerate() {
        self::after(after, &format!("{path}.after[{index}]"), report);
    }
    needs(&step.cookware, &format!("{path}.cookware"), report);
    if let Some(words) = &step.words {
        words::line(report, format!("{path}.words"), words, words::LONGEST_TEXT);
    }
    if let Some(minutes) = step.overdone_after {
        report.within(format!("{path}.overdone_after"), minutes, 0, MOST_WAIT_MINUTES);
    }
}

fn way(way: &Way, path: &str, report: &mut Report) {
    report.within(format!("{path}.slots"), way.slots, 1, MOST_SLOTS);
    report.within(format!("{path}.points"), way.points, 0, MOST_POINTS);
    minutes(way.minutes, &format!("{path}.minutes"), report);
    let (least, most) = TEMPERATURES_C;
    if let Some(at_c) = way.at_c {
        report.within(format!("{path}.at_c"), at_c, least, most);
    }
    report.within(format!("{path}.give_c"), way.give_c, 0, 100);
    if way.give_c > 0 && way.at_c.is_none() {
        report.note(format!("{path}.give_c"), "counts for nothing without at_c", "Add \"at_c\"");
    }
}

fn minutes(minutes: Minutes, path: &str, report: &mut Report) {
    let Minutes { low, likely, high } = minutes;
    let exact = low == likely && likely == high;
    let at = |field: &str| if exact { path.to_owned() } else { format!("{path}.{field}") };
    if low == 0 {
        report.wrong(at("low"), "is 0", "Write at least 1 minute");
    } else if high > MOST_STEP_MINUTES {
        report.wrong(
            at("high"),
            format!("{high} minutes is more than a day"),
            "Split the step, or let the next one wait by \"after\"",
        );
    } else if low > likely || likely > high {
        report.wrong(
            path,
            format!("low {low}, likely {likely}, high {high} do not rise"),
            "Write low <= likely <= high",
        );
    }
}

fn setting(way: &Way, path: &str, report: &mut Report) {
    use StationKind as K;
    let kind = a_kind(way.station);
    if way.station == K::Oven && way.at_c.is_none() {
        report.wrong(path, "an oven needs its setting", "Add \"at_c\", 180 for example");
    }
    if way.station == K::SlowCooker && way.setting.is_none() {
        report.wrong(path, "a slow cooker needs its setting", "Add \"setting\": low, high or warm");
    }
    if way.setting.is_some() && !matches!(way.station, K::SlowCooker | K::Stovetop) {
        report.note(
            format!("{path}.setting"),
            format!("{kind} has no such setting"),
            "Leave it out, or write \"at_c\"",
        );
    }
    if way.at_c.is_some()
        && matches!(way.station, K::Counter | K::Fridge | K::Freezer | K::Microwave)
    {
        report.note(
            format!("{path}.at_c"),
            format!("{kind} is not set to a temperature"),
            "Leave it out",
        );
    }
}

fn loads(way: &Way, grows: Growth, path: &str, report: &mut Report) {
    if let Some(servings) = way.load_servings {
        let field = format!("{path}.load_servings");
        if report.within(&field, servings, 1, super::MOST_SERVINGS) && grows == Growth::Proportion {
            report.wrong(
                field,
                "the step is done in loads and grows in proportion as well",
                "Choose one: leave out load_servings, or \"grows\"",
            );
        }
    }
    match (way.ml_per_serving, way.station) {
        (Some(ml), StationKind::SlowCooker) => {
            report.within(format!("{path}.ml_per_serving"), ml, 1, 10_000);
        }
        (Some(_), kind) => report.note(
            format!("{path}.ml_per_serving"),
            format!("is read for slow cookers only, not for {}", a_kind(kind)),
            "Leave it out",
        ),
        (None, StationKind::SlowCooker) => report.note(
            path,
            "does not say how much room a serving takes in the slow cooker",
            "Add \"ml_per_serving\"",
        ),
        (None, _) => {}
    }
}

fn hands(hands: &Hands, ways: &[Way], path: &str, report: &mut Report) {
    report.within(format!("{path}.hands.between_percent"), hands.between_percent, 0, 100);
    let full = hands.start_minutes.saturating_add(hands.end_minutes);
    for (index, way) in ways.iter().enumerate() {
        let likely = way.minutes.likely;
        if full > likely && (1..=MOST_STEP_MINUTES).contains(&likely) {
            report.wrong(
                format!("{path}.hands"),
                format!("{full} minutes of full attention, but ways[{index}] takes {likely}"),
                "Make start_minutes and end_minutes together no longer than the step",
            );
            return;
        }
    }
}

fn after(after: &After, path: &str, report: &mut Report) {
    let least = after.least_minutes;
    let sound = report.within(format!("{path}.least_minutes"), least, 0, MOST_MUST_WAIT_MINUTES);
    report.within(format!("{path}.short_points"), after.short_points, 0, MOST_POINTS);
    let most = after.most_minutes.unwrap_or(MOST_WAIT_MINUTES);
    if !report.within(format!("{path}.most_minutes"), most, 0, MOST_WAIT_MINUTES) || !sound {
        return;
    }
    if least > most {
        report.wrong(
            path,
            format!("at least {least} minutes between, but at most {most}"),
            "Make least_minutes no more than most_minutes",
        );
        return;
    }
    match after.best_minutes {
        Some(best) if best < least || best > most => report.wrong(
            format!("{path}.best_minutes"),
            format!("{best} lies outside {least} to {most}"),
            format!("Write {least} to {most}"),
        ),
        None if after.short_points > 0 => report.note(
            format!("{path}.short_points"),
            "counts for nothing without a best wait",
            "Add \"best_minutes\"",
        ),
        _ => {}
    }
}

fn needs(needs: &[CookwareNeed], path: &str, report: &mut Report) {
    let needs = words::at_most(report, path, needs, MOST_NEEDS);
    let mut seen = BTreeSet::new();
    for (index, need) in needs.iter().enumerate() {
        let path = format!("{path}[{index}]");
        words::id(report, format!("{path}.kind"), &need.kind);
        report.within(format!("{path}.count"), need.count, 1, 100);
        if let Some(ml) = need.least_ml {
            report.within(format!("{path}.least_ml"), ml, 1, 500_000);
        }
        if !seen.insert(&need.kind) {
            report.wrong(
                format!("{path}.kind"),
                format!("\"{}\" is asked for twice in one step", need.kind),
                "Ask once, with a count",
            );
        }
    }
}

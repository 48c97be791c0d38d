//! The steps with their ways and loads, and what of them has begun.

use super::draft::Draft;
use super::map::{ModeAt, Reason, StepAt, TaskAt, WayWhy};
use crate::kitchen::pans::{self, Asked};
use crate::kitchen::{self, Hands, Minute, Sheet, Station, Way};
use crate::plan::problem::{Fixed, HandsPart, Mode, OvenUse, Step, Task, Use};
use crate::plan::{Begun, StepKey, weights};

pub(super) fn add(draft: &mut Draft<'_>) {
    let sheets = &draft.evening.sheets;
    for (d, sheet) in sheets.iter().enumerate() {
        for s in 0..sheet.recipe.steps.len() {
            if draft.situation.served.contains(&d) {
                add_still_running(draft, d, s);
            } else if draft.is_made(d) {
                add_step(draft, d, s, sheet);
            }
        }
    }
}

/// A load that still runs though its dish is on the table keeps its place.
fn add_still_running(draft: &mut Draft<'_>, d: usize, s: usize) {
    for (load, begun) in begun_loads(draft, d, s) {
        if matches!(begun, Begun::Running { .. }) {
            push_begun(draft, d, s, &[(load, begun)]);
        }
    }
}

fn add_step(draft: &mut Draft<'_>, d: usize, s: usize, sheet: &Sheet) {
    let begun = begun_loads(draft, d, s);
    // What was left out says nothing about where the rest is done.
    let done = begun.iter().filter(|(_, b)| !left_out(b)).map(|(_, b)| place(b));
    let places: Vec<(usize, &str)> = done.collect();
    match places.first() {
        None => {
            let (mut modes, whys) = all_modes(draft, d, s, sheet);
            // Who leaves out one load of four has not left out the others: they are made in some way that has more.
            let more = |(_, m): &(ModeAt, Mode)| m.loads > begun.len();
            if modes.iter().any(more) {
                modes.retain(more);
            }
            let loads = modes.iter().map(|(_, m)| m.loads).max().unwrap_or(0);
            if begun.len() >= loads && !begun.is_empty() {
                push_begun(draft, d, s, &begun);
            } else if modes.is_empty() {
                draft.reasons.push(Reason::Step { dish: d, step: s, whys });
            } else {
                push(draft, d, s, modes, loads, 0, &begun);
            }
        }
        Some(&(way, station)) => {
            let last = begun.last().map_or(0, |(load, _)| *load + 1);
            let loads = sheet.loads(s, way).max(last) as usize;
            let same = places.iter().all(|&p| p == (way, station));
            let at = draft.station(station).filter(|&i| draft.is_up(i));
            let mode = at.and_then(|i| mode(draft, d, s, way, i).ok().map(|m| (i, m)));
            match mode {
                _ if begun.len() >= loads => push_each(draft, d, s, &begun, same),
                Some((i, mut mode)) if same => {
                    mode.loads = loads;
                    let modes = vec![(ModeAt { way, station: Some(i) }, mode)];
                    push(draft, d, s, modes, loads, 0, &begun);
                    push_shadows(draft, d, s, &begun, sheet.minutes(s, way));
                }
                _ => push_rest(draft, d, s, sheet, &begun),
            }
        }
    }
}

/// All loads have begun: together if they are alike, else one by one.
fn push_each(draft: &mut Draft<'_>, d: usize, s: usize, begun: &[(u32, &Begun)], same: bool) {
    if same {
        push_begun(draft, d, s, begun);
    } else {
        for load in begun {
            push_begun(draft, d, s, std::slice::from_ref(load));
        }
    }
}

/// Loads are left over, and the place of the earlier ones is not to be had:
/// what is left is made in whatever way there is.
fn push_rest(draft: &mut Draft<'_>, d: usize, s: usize, sheet: &Sheet, begun: &[(u32, &Begun)]) {
    let (mut modes, whys) = all_modes(draft, d, s, sheet);
    if modes.is_empty() {
        draft.reasons.push(Reason::Step { dish: d, step: s, whys });
        return;
    }
    push_each(draft, d, s, begun, false);
    let made: u32 = begun.iter().map(|(_, b)| servings_of_load(sheet, s, place(b).0)).sum();
    let left = sheet.servings.saturating_sub(made).max(1);
    for (at, mode) in &mut modes {
        mode.loads = left.div_ceil(servings_of_load(sheet, s, at.way)).max(1) as usize;
    }
    let loads = modes.iter().map(|(_, m)| m.loads).max().unwrap_or(1);
    let first = begun.last().map_or(0, |(load, _)| *load + 1);
    push(draft, d, s, modes, loads, first, &[]);
}

fn servings_of_load(sheet: &Sheet, s: usize, way: usize) -> u32 {
    let per_load = sheet.recipe.steps[s].ways.get(way).and_then(|w| w.load_servings);
    per_load.filter(|&n| n > 0).unwrap_or(sheet.servings).max(1)
}

fn begun_loads<'a>(draft: &Draft<'a>, dish: usize, step: usize) -> Vec<(u32, &'a Begun)> {
    let from = StepKey { dish, step, load: 0 };
    let to = StepKey { dish, step, load: u32::MAX };
    draft.situation.begun.range(from..=to).map(|(key, begun)| (key.load, begun)).collect()
}

fn place(begun: &Begun) -> (usize, &str) {
    match begun {
        Begun::Running { way, station, .. } | Begun::Done { way, station, .. } => (*way, station),
    }
}

fn left_out(begun: &Begun) -> bool {
    matches!(begun, Begun::Done { left_out: true, .. })
}

/// Every way at every station of its kind that can be used, and why the others
/// cannot. A way that the cook has settled is the only one, as long as it can be had.
fn all_modes(
    draft: &Draft<'_>,
    d: usize,
    s: usize,
    sheet: &Sheet,
) -> (Vec<(ModeAt, Mode)>, Vec<WayWhy>) {
    if let Some(&settled) = draft.situation.ways.get(&(d, s)) {
        let found = modes_of(draft, d, s, sheet, Some(settled));
        if !found.0.is_empty() {
            return found;
        }
    }
    modes_of(draft, d, s, sheet, None)
}

/// As [`all_modes`], of one way or of all.
fn modes_of(
    draft: &Draft<'_>,
    d: usize,
    s: usize,
    sheet: &Sheet,
    only: Option<usize>,
) -> (Vec<(ModeAt, Mode)>, Vec<WayWhy>) {
    let (mut modes, mut whys) = (Vec::new(), Vec::new());
    let ways = sheet.recipe.steps[s].ways.iter().enumerate();
    for (w, way) in ways.filter(|(w, _)| only.is_none_or(|only| only == *w)) {
        let stations = &draft.evening.kitchen.stations;
        let of_kind = stations.iter().enumerate().filter(|(_, st)| st.kind == way.station);
        let before = (modes.len(), whys.len());
        for (i, _) in of_kind {
            if !draft.is_up(i) {
                whys.push(WayWhy::Down(i));
                continue;
            }
            match mode(draft, d, s, w, i) {
                Ok(mode) => modes.push((ModeAt { way: w, station: Some(i) }, mode)),
                Err(why) => whys.push(why),
            }
        }
        if before == (modes.len(), whys.len()) {
            whys.push(WayWhy::NoStation(way.station));
        }
    }
    (modes, whys)
}

/// A way at a station.
fn mode(draft: &Draft<'_>, d: usize, s: usize, w: usize, i: usize) -> Result<Mode, WayWhy> {
    let sheet = &draft.evening.sheets[d];
    let step = &sheet.recipe.steps[s];
    let station = &draft.evening.kitchen.stations[i];
    let Some(way) = step.ways.get(w) else { return Err(WayWhy::NoStation(station.kind)) };
    // By the fewest pans; when the dish has its pans, its places follow them.
    let (kitchen, has) = (&draft.evening.kitchen, station.slots);
    let needs = pans::places_in(kitchen, &sheet.recipe, sheet.servings, step, way, has);
    if needs > has {
        return Err(WayWhy::Slots { station: i, needs, has });
    }
    fits(sheet, s, w, way, station, i)?;
    let oven = match (draft.oven_at(i), way.at_c) {
        (Some(oven), at_c) => Some(range(station, i, oven, at_c, way.give_c)?),
        (None, _) => None,
    };
    if let Some(kind) = melts(draft, sheet, step, way, station) {
        return Err(WayWhy::Pan { station: i, kind });
    }
    let minutes = sheet.minutes(s, w);
    Ok(Mode {
        minutes,
        loads: sheet.loads(s, w) as usize,
        uses: vec![Use { resource: draft.map.of_station(i), amount: needs as i32 }],
        oven,
        hands: hands(step.hands, minutes),
        price: weights::POINT * i64::from(way.points),
    })
}

/// Does the food go into a station that has a volume?
fn fits(
    sheet: &Sheet,
    s: usize,
    w: usize,
    way: &Way,
    station: &Station,
    i: usize,
) -> Result<(), WayWhy> {
    let (Some(has_ml), Some(ml)) = (station.volume_ml, way.ml_per_serving) else { return Ok(()) };
    let servings = u64::from(sheet.servings.div_ceil(sheet.loads(s, w).max(1)));
    let needs_ml = u64::from(ml) * servings;
    if needs_ml > u64::from(has_ml) {
        return Err(WayWhy::Volume { station: i, needs_ml, has_ml });
    }
    Ok(())
}

/// A kind of cookware that a step needs where it is hot all round, if no kind
/// that it needs may go there.
fn melts(
    draft: &Draft<'_>,
    sheet: &Sheet,
    step: &kitchen::Step,
    way: &Way,
    station: &Station,
) -> Option<String> {
    if !pans::in_heat(station.kind) {
        return None;
    }
    let goes_in = |need: &kitchen::CookwareNeed| {
        let asked = Asked::of(&sheet.recipe, need, sheet.servings, way.load_servings);
        pans::in_kitchen(&draft.evening.kitchen, &need.kind, asked, true).is_some()
    };
    let first = step.cookware.first().map(|need| need.kind.clone());
    first.filter(|_| !step.cookware.iter().any(goes_in))
}

/// The settings of an oven that suit, within its thermostat's range: all of it
/// if none is asked for.
pub(super) fn range(
    station: &Station,
    i: usize,
    oven: usize,
    at_c: Option<i32>,
    give_c: i32,
) -> Result<OvenUse, WayWhy> {
    let bounds = station.thermostat.map_or((i32::MIN, i32::MAX), |t| (t.least_c, t.most_c));
    let Some(at_c) = at_c else {
        return Ok(OvenUse { oven, least_c: bounds.0, most_c: bounds.1 });
    };
    let least_c = (at_c - give_c.max(0)).max(bounds.0);
    let most_c = (at_c + give_c.max(0)).min(bounds.1);
    if least_c > most_c {
        return Err(WayWhy::Setting { station: i, at_c, range: bounds });
    }
    Ok(OvenUse { oven, least_c, most_c })
}

/// What a step asks of its cook, clipped to its minutes.
pub(super) fn hands(hands: Hands, minutes: Minute) -> Vec<HandsPart> {
    let whole = |n: u32| Minute::try_from(n).unwrap_or(Minute::MAX);
    let start = whole(hands.start_minutes).min(minutes);
    let end = whole(hands.end_minutes).min(minutes - start);
    let percent = whole(hands.between_percent).min(100);
    let mut parts: Vec<HandsPart> = Vec::new();
    for (from, to, percent) in
        [(0, start, 100), (start, minutes - end, percent), (minutes - end, minutes, 100)]
    {
        if from >= to || percent == 0 {
            continue;
        }
        match parts.last_mut().filter(|p| p.to == from && p.percent == percent) {
            Some(last) => last.to = to,
            None => parts.push(HandsPart { from, to, percent }),
        }
    }
    parts
}

/// Adds a step whose loads have all begun.
fn push_begun(draft: &mut Draft<'_>, d: usize, s: usize, begun: &[(u32, &Begun)]) {
    let Some(&(first, one)) = begun.iter().find(|(_, b)| !left_out(b)).or(begun.first()) else {
        return;
    };
    let (way, station) = place(one);
    let station = draft.station(station);
    let asks = draft.evening.sheets[d].recipe.steps[s].hands;
    let recipe_way = draft.evening.sheets[d].recipe.steps[s].ways.get(way);
    let mut mode = Mode {
        loads: begun.len(),
        price: weights::POINT * i64::from(recipe_way.map_or(0, |w| w.points)),
        ..Mode::default()
    };
    for (_, b) in begun {
        if let Begun::Running { start, end, setting_c, .. } = b {
            mode.minutes = end - start;
            mode.hands = hands(asks, mode.minutes);
            let amount = recipe_way.map_or(1, |w| w.slots.max(1)) as i32;
            mode.uses = station.map(|resource| Use { resource, amount }).into_iter().collect();
            let oven = station.and_then(|i| draft.oven_at(i));
            mode.oven =
                oven.zip(*setting_c).map(|(oven, c)| OvenUse { oven, least_c: c, most_c: c });
        }
    }
    let minutes = mode.minutes;
    push(draft, d, s, vec![(ModeAt { way, station }, mode)], begun.len(), first, begun);
    push_shadows(draft, d, s, begun, minutes);
}

/// Adds a step with tasks for `loads` loads, of which the first is load number
/// `first`; those in `begun` stand where they are.
fn push(
    draft: &mut Draft<'_>,
    d: usize,
    s: usize,
    modes: Vec<(ModeAt, Mode)>,
    loads: usize,
    first: u32,
    begun: &[(u32, &Begun)],
) {
    let (ats, modes): (Vec<ModeAt>, Vec<Mode>) = modes.into_iter().unzip();
    let cooks: Vec<usize> = if modes.iter().all(|m| m.hands.is_empty()) {
        Vec::new()
    } else {
        (0..draft.map.cooks).map(|c| draft.map.of_cook(c)).collect()
    };
    let step = draft.problem.steps.len();
    let first_task = draft.problem.tasks.len();
    let all_begun = begun.len() == loads;
    for n in 0..loads {
        let load = if all_begun { begun[n].0 } else { first + n as u32 };
        let begun = begun.iter().find(|(l, _)| *l == load).map(|(_, b)| *b);
        let key = StepKey { dish: d, step: s, load };
        let fixed = begun.map(|b| fixed(draft, key, b, &cooks, modes.first()));
        let (earliest, latest) = (draft.problem.start, draft.problem.end);
        draft.problem.tasks.push(Task { step, load: n, fixed, earliest, latest });
        draft.tasks[d][s].push(first_task + n);
        draft.map.tasks.push(TaskAt { key, shadow: false });
    }
    draft.problem.steps.push(Step { modes, cooks, first_task, task_count: loads });
    draft.map.steps.push(StepAt { dish: d, step: s, modes: ats });
    draft.steps[d][s].push(step);
}

fn fixed(
    draft: &Draft<'_>,
    key: StepKey,
    begun: &Begun,
    cooks: &[usize],
    mode: Option<&Mode>,
) -> Fixed {
    match begun {
        Begun::Done { start, end, .. } => {
            // What has happened is over by now. What is planned for the day before may lie days ahead.
            let planned = draft.situation.planned.contains(&key);
            let end = if planned { *end } else { (*end).min(draft.problem.start) };
            Fixed { start: (*start).min(end), end, cook: None, setting_c: None }
        }
        Begun::Running { start, end, cook, setting_c, .. } => {
            let by_id = |id: &String| draft.evening.party.cooks.iter().position(|c| c.id == *id);
            let named = cook.as_ref().and_then(by_id).map(|c| draft.map.of_cook(c));
            let end = (*end).max(draft.problem.start);
            let has_oven = mode.is_some_and(|m| m.oven.is_some());
            Fixed {
                start: (*start).min(end),
                end,
                cook: named.or(cooks.first().copied()).filter(|_| !cooks.is_empty()),
                setting_c: setting_c.filter(|_| has_oven),
            }
        }
    }
}

/// The hands that running loads still want, where their end is not the one
/// that the minutes `m` of their mode would give.
fn push_shadows(draft: &mut Draft<'_>, d: usize, s: usize, begun: &[(u32, &Begun)], m: Minute) {
    let asks = draft.evening.sheets[d].recipe.steps[s].hands;
    for (load, b) in begun {
        let Begun::Running { start, end, .. } = b else { continue };
        let tail = Minute::try_from(asks.end_minutes).unwrap_or(0).min(end - start);
        let from = (start + m).min(end - tail);
        let rest = Hands { start_minutes: 0, ..asks };
        let parts = hands(rest, end - from);
        if *end == start + m || parts.is_empty() || draft.map.cooks == 0 {
            continue;
        }
        let cooks: Vec<usize> = (0..draft.map.cooks).map(|c| draft.map.of_cook(c)).collect();
        let key = StepKey { dish: d, step: s, load: *load };
        let mut fixed = fixed(draft, key, b, &cooks, None);
        fixed.start = from;
        let mode = Mode { minutes: end - from, loads: 1, hands: parts, ..Mode::default() };
        let (step, task) = (draft.problem.steps.len(), draft.problem.tasks.len());
        let (earliest, latest) = (draft.problem.start, draft.problem.end);
        draft.problem.tasks.push(Task { step, load: 0, fixed: Some(fixed), earliest, latest });
        draft.problem.steps.push(Step {
            modes: vec![mode],
            cooks,
            first_task: task,
            task_count: 1,
        });
        let key = StepKey { dish: d, step: s, load: *load };
        draft.map.tasks.push(TaskAt { key, shadow: true });
        let way = place(b).0;
        let station = draft.station(place(b).1);
        draft.map.steps.push(StepAt { dish: d, step: s, modes: vec![ModeAt { way, station }] });
    }
}

//! May a mark be made?

mod changes;
mod decisions;
mod food_marks;

pub use food_marks::is_out_of_order;

use super::{PUT_OFF_AT_MOST, Refusal, expect};
use crate::kitchen::{Minute, Station, StationKind};
use crate::paper::span;
use crate::plan::StepKey;
use crate::run::apply::MORE_AT_MOST;
use crate::run::event::{Answer, Clearing, Event, StepId};
use crate::run::state::{MINUTE_MS, Progress, State, Whereabouts};
use crate::run::view::{Alarm, Holding};
use crate::run::{alarms, food, holding, words};

/// A step that is begun so long (ms) before the plan has it was perhaps not meant. Our choice.
const EARLY_MS: i64 = 6 * 60 * MINUTE_MS;

/// May this be marked at `now_ms`?
///
/// # Errors
/// A sentence why not.
pub fn check(state: &State, event: &Event, now_ms: i64) -> Result<(), Refusal> {
    match event {
        Event::Started { .. } | Event::Done { .. } | Event::Skipped { .. } => {
            check_progress(state, event, now_ms)
        }
        Event::NeedsMore { id, minutes } => check_more(state, id, *minutes, now_ms),
        Event::Pinned { id, at } => check_pin(state, id, *at, now_ms),
        Event::Unpinned { id } => match state.facts().pins.contains_key(&key_of(state, id)?) {
            true => Ok(()),
            false => Err(Refusal::no("It is not pinned.")),
        },
        Event::Temperature { dish, celsius } => {
            let dish = dish_of(state, dish)?;
            food_marks::check_taken(
                state,
                food::Food::whole(dish),
                (*celsius, expect(state, dish, now_ms)),
                now_ms,
            )
        }
        Event::HeldAt { dish, place, station, .. } => {
            check_hold(state, dish, *place, station.as_deref(), now_ms)
        }
        Event::Served { dish } => check_serve(state, dish, now_ms),
        Event::Cleared { dish, how } => check_clear(state, dish, *how, now_ms),
        Event::ServingsChanged { .. } | Event::DishDropped { .. } | Event::DishBack { .. } => {
            check_dish(state, event, now_ms)
        }
        Event::StationDown { .. } | Event::StationUp { .. } | Event::OvenSet { .. } => {
            check_station(state, event)
        }
        Event::ServiceMoved { service, to } => check_service(state, service, *to, now_ms),
        Event::GuidanceChanged { .. }
        | Event::RuleChosen { .. }
        | Event::AirMeasured { .. }
        | Event::IngredientsOut { .. }
        | Event::IngredientsBack { .. }
        | Event::Portion { .. }
        | Event::ClockSetBack { .. } => food_marks::check(state, event, now_ms),
        Event::PartyChanged { change } => changes::check(state, change, now_ms),
        Event::WaySettled { .. }
        | Event::PlaceSettled { .. }
        | Event::CookThere { .. }
        | Event::WayTaken { .. } => decisions::check(state, event, now_ms),
        Event::AlarmAcknowledged { .. }
        | Event::AlarmPutOff { .. }
        | Event::AlarmAnswered { .. } => check_alarm(state, event, now_ms),
        Event::Undone { seq } => check_undo(state, *seq),
        Event::PlanAdopted { .. } | Event::Ticked { .. } => Ok(()),
        Event::Finished => check_finish(state, now_ms),
    }
}

fn key_of(state: &State, id: &StepId) -> Result<StepKey, Refusal> {
    let known = state.key(id).ok_or_else(|| Refusal::no("The party has no such step."))?;
    // Made for fewer, what was begun for more still comes off the heat.
    let begun = state.facts().progress.contains_key(&known);
    if id.load >= state.loads(known.dish, known.step) && !begun {
        return Err(Refusal::no("The step has no such load."));
    }
    Ok(known)
}

fn dish_of(state: &State, id: &str) -> Result<usize, Refusal> {
    state.evening().dish_index(id).ok_or_else(|| Refusal::no("The party has no such dish."))
}

fn not_dropped(state: &State, dish: usize) -> Result<(), Refusal> {
    match state.is_dropped(dish) {
        true => {
            let name = words::dish_first(state, dish);
            Err(Refusal::no(format!("{name} is dropped; bring it back first.")))
        }
        false => Ok(()),
    }
}

fn check_progress(state: &State, event: &Event, now_ms: i64) -> Result<(), Refusal> {
    let (Event::Started { id, .. } | Event::Done { id, .. } | Event::Skipped { id }) = event else {
        return Ok(());
    };
    let key = key_of(state, id)?;
    not_dropped(state, key.dish)?;
    let name = words::capital(&words::step_of(state, key));
    // What was only taken to be done may still be marked as it was.
    let assumed = state.facts().assumed.contains(&key);
    let progress = state.facts().progress.get(&key).filter(|_| !assumed);
    match (event, progress) {
        (_, Some(Progress::Done(..))) => Err(Refusal::no(format!("{name} is done already."))),
        (Event::Skipped { .. }, Some(Progress::Skipped(..))) => {
            Err(Refusal::no(format!("{name} is left out already.")))
        }
        (Event::Skipped { .. }, _) => check_skip(state, key, now_ms),
        (Event::Started { .. }, Some(Progress::Running(_))) => {
            Err(Refusal::no(format!("{name} runs already.")))
        }
        (Event::Started { .. }, _) => check_start(state, key, event, now_ms),
        (_, Some(Progress::Running(_))) => Ok(()),
        _ => Err(Refusal::sure(format!("{name} has not been started."))),
    }
}

/// Without its last step a dish is finished: what comes before it must be done by then.
fn check_skip(state: &State, key: StepKey, now_ms: i64) -> Result<(), Refusal> {
    let last = state.sheet(key.dish).is_some_and(|s| s.last_step() == key.step);
    let open = state.open_before(key.dish, now_ms).filter(|_| last);
    open.map_or(Ok(()), |before| {
        let name = words::capital(&words::step_of(state, before));
        Err(Refusal::sure(format!(
            "{name} comes first and is not done. Without its last step the dish counts as finished."
        )))
    })
}

fn check_start(state: &State, key: StepKey, event: &Event, now_ms: i64) -> Result<(), Refusal> {
    let Event::Started { way, station, .. } = event else { return Ok(()) };
    let found = state.evening().station(station);
    let kind = state.step(key).and_then(|s| s.ways.get(*way)).map(|w| w.station);
    let (Some(found), Some(kind)) = (found, kind) else {
        return Err(Refusal::no("The recipe or the kitchen has no such way to do it."));
    };
    if found.kind != kind {
        let (asked, given) = (words::kind(kind), words::kind(found.kind));
        return Err(Refusal::no(format!("It is done on the {asked}, not on the {given}.")));
    }
    if state.facts().down.contains_key(station) {
        let name = words::capital(&words::the_station(state.evening(), station));
        return Err(Refusal::no(format!("{name} is out of use.")));
    }
    not_days_early(state, key, now_ms)?;
    // What runs is taken to be done when the next step starts; what has not
    // even begun was perhaps not meant.
    let before = before(state, key);
    let not_begun = before
        .iter()
        .find(|k| state.over_ms(**k, now_ms).is_none() && !state.facts().progress.contains_key(k));
    if let Some(before) = not_begun {
        let name = words::capital(&words::step_of(state, *before));
        return Err(Refusal::sure(format!("{name} comes first and has not begun.")));
    }
    match before.iter().find(|k| hardly_done(state, **k, key, found, now_ms)) {
        None => Ok(()),
        Some(runs) => {
            let name = words::capital(&words::step_of(state, *runs));
            Err(Refusal::sure(format!("{name} still runs: it counts as done if you start this.")))
        }
    }
}

/// The loads that come before one: of its step, and of the steps that it follows.
fn before(state: &State, key: StepKey) -> Vec<StepKey> {
    let loads_before = (0..key.load).map(|load| StepKey { load, ..key });
    let steps_before = state.earlier_steps(key.dish, key.step).into_iter().flat_map(|step| {
        (0..state.loads(key.dish, step)).map(move |load| StepKey { dish: key.dish, step, load })
    });
    loads_before.chain(steps_before).collect()
}

/// Does a load run that counts as done when the next one begins at this station, and is hardly so: it is in another
/// place, or one of several, or has had less than half of its time on the heat? Nobody would be told any more when it
/// is. Our choice. What goes on beside the next one is heard of all the same.
fn hardly_done(
    state: &State,
    before: StepKey,
    key: StepKey,
    station: &Station,
    now_ms: i64,
) -> bool {
    let Some(Progress::Running(run)) = state.facts().progress.get(&before) else { return false };
    let end_ms = state.nominal_end_ms(before, run);
    if before.step == key.step && state.goes_on_beside(before, &station.id, now_ms) {
        return false;
    }
    let apart = before.step == key.step && (run.station != station.id || station.slots > 1);
    let of_several = before.step != key.step && state.loads(before.dish, before.step) > 1;
    let early = food::heats(state, run) && end_ms - now_ms > (end_ms - run.start_ms) / 2;
    let runs = end_ms > now_ms && !state.ends_by_itself(before, run.way);
    runs && (apart || of_several || early)
}

/// Who looks at the plan days before and presses the one key hardly means it.
fn not_days_early(state: &State, key: StepKey, now_ms: i64) -> Result<(), Refusal> {
    let block = state.plan().and_then(|p| p.blocks.iter().find(|b| b.key == key));
    let Some(block) = block else { return Ok(()) };
    let face = &state.evening().face;
    let early_ms = face.ms_of(block.start) - now_ms;
    if early_ms < EARLY_MS {
        return Ok(());
    }
    let name = words::capital(&words::step_of(state, key));
    let (at, left) = (face.label(block.start), span(early_ms));
    Err(Refusal::sure(format!("{name} is planned for {at}, in {left}.")))
}

fn check_more(state: &State, id: &StepId, minutes: u32, now_ms: i64) -> Result<(), Refusal> {
    let key = key_of(state, id)?;
    let runs = matches!(state.facts().progress.get(&key), Some(Progress::Running(_)));
    // What ended by itself may still be given more, until the next step starts or the dish goes elsewhere.
    if !runs || state.went_on(key, now_ms) {
        let name = words::capital(&words::step_of(state, key));
        return Err(Refusal::no(format!("{name} does not run.")));
    }
    match minutes {
        0 => Err(Refusal::no("How many minutes more? At least one.")),
        m if m > MORE_AT_MOST => Err(Refusal::no("That is more than a day.")),
        _ => Ok(()),
    }
}

fn check_pin(state: &State, id: &StepId, at: Minute, now_ms: i64) -> Result<(), Refusal> {
    let key = key_of(state, id)?;
    not_dropped(state, key.dish)?;
    if state.facts().progress.contains_key(&key) {
        return Err(Refusal::no("It has begun: only what lies ahead can be pinned."));
    }
    if at < state.minute(now_ms) {
        return Err(Refusal::no("That minute has passed."));
    }
    Ok(())
}

fn check_hold(
    state: &State,
    id: &str,
    place: StationKind,
    station: Option<&str>,
    now_ms: i64,
) -> Result<(), Refusal> {
    let dish = dish_of(state, id)?;
    let left = state.is_dropped(dish) && food::is_there(state, dish, now_ms);
    if !left {
        not_dropped(state, dish)?;
    }
    if let Some(station) = station {
        let name = words::the_station(state.evening(), station);
        let known = state.evening().station(station);
        if known.is_none_or(|s| s.kind != place) {
            return Err(Refusal::no("The kitchen has no such place."));
        }
        if state.facts().down.contains_key(station) {
            return Err(Refusal::no(format!("{} is out of use.", words::capital(&name))));
        }
    }
    match state.out_ms(dish, now_ms) {
        None if state.served_ms(dish).is_none() && !left => {
            Err(Refusal::sure("It is not finished yet."))
        }
        _ => Ok(()),
    }
}

fn check_serve(state: &State, id: &str, now_ms: i64) -> Result<(), Refusal> {
    let dish = dish_of(state, id)?;
    not_dropped(state, dish)?;
    let name = words::dish_first(state, dish);
    if matches!(state.last_stay(dish).map(|s| &s.at), Some(Whereabouts::Table)) {
        return Err(Refusal::no(format!("{name} is on the table already.")));
    }
    let unmade = state.is_unmade(dish, now_ms);
    if !unmade && state.ready_ms(dish, now_ms).is_some() {
        return Ok(());
    }
    if unmade || state.out_ms(dish, now_ms).is_none() {
        return Err(Refusal::sure(format!("{name} is not finished yet.")));
    }
    // On the table a dish is finished, but for what is still on the heat.
    Err(Refusal::sure(format!(
        "{name}: not all of it is done. What has not begun counts as done if you serve it: serve a part."
    )))
}

fn check_clear(state: &State, id: &str, how: Clearing, now_ms: i64) -> Result<(), Refusal> {
    let dish = dish_of(state, id)?;
    let name = words::dish_first(state, dish);
    let dropped = state.is_dropped(dish);
    let left = dropped && food::is_there(state, dish, now_ms);
    let served = state.served_ms(dish).is_some();
    let out = state.out_ms(dish, now_ms).is_some();
    let away = Whereabouts::Gone(Clearing::PutAway);
    let put_away = state.last_stay(dish).is_some_and(|s| s.at == away);
    match (state.is_gone(dish), out || served || left) {
        // What was put away may go for good.
        (true, _) if put_away && how != Clearing::PutAway => Ok(()),
        (true, _) => Err(Refusal::no("It is cleared already.")),
        (_, false) => {
            let asked = || Err(Refusal::sure("It is not finished yet."));
            if how == Clearing::ThrownOut {
                off_the_heat(state, dish).and_then(|()| asked())
            } else {
                asked()
            }
        }
        _ if dropped => Ok(()),
        // Of a dish that is gone nothing more is planned.
        _ if out && state.ready_ms(dish, now_ms).is_none() => Err(Refusal::sure(format!(
            "{name}: not all of it is done. What has not begun is made no more: clear a part."
        ))),
        _ if how == Clearing::PutAway && only_waits(state, dish, now_ms) => {
            Err(Refusal::sure(format!(
                "{name} was not served. Put away, it is served no more; what waits is put to wait."
            )))
        }
        _ => Ok(()),
    }
}

/// Has none of a dish been on the table, and is it in no hurry to get cold?
fn only_waits(state: &State, dish: usize, now_ms: i64) -> bool {
    let mut parts = state.facts().portions.range((dish, 0)..=(dish, u32::MAX));
    let on_table = parts.any(|(_, p)| p.stays.iter().any(|s| s.at == Whereabouts::Table));
    let warned = food::standing(state, dish, now_ms).and_then(|s| s.warn_ms);
    state.served_ms(dish).is_none() && !on_table && warned.is_none_or(|ms| ms > now_ms)
}

fn check_dish(state: &State, event: &Event, now_ms: i64) -> Result<(), Refusal> {
    match event {
        Event::ServingsChanged { dish, servings } => {
            let found = dish_of(state, dish)?;
            if !(1..=500).contains(servings) {
                return Err(Refusal::no("Servings are 1 to 500."));
            }
            match state.ready_ms(found, now_ms) {
                Some(_) => Err(Refusal::no("It is made already.")),
                None => Ok(()),
            }
        }
        Event::DishDropped { dish } => {
            let found = dish_of(state, dish)?;
            not_dropped(state, found).map_err(|_| Refusal::no("It is dropped already."))?;
            if state.is_out_of_hand(found) {
                return Err(Refusal::no("It is served already."));
            }
            off_the_heat(state, found)
        }
        Event::DishBack { dish } => match state.is_dropped(dish_of(state, dish)?) {
            true => Ok(()),
            false => Err(Refusal::no("It was not dropped.")),
        },
        _ => Ok(()),
    }
}

/// Of what is dropped or thrown out half made nobody hears any more: so the cook is asked if it is on the heat.
fn off_the_heat(state: &State, dish: usize) -> Result<(), Refusal> {
    let mut progress = state.facts().progress.iter();
    let on_heat = progress.find(|(key, p)| {
        let runs = |p: &Progress| matches!(p, Progress::Running(run) if food::heats(state, run));
        key.dish == dish && runs(p)
    });
    on_heat.map_or(Ok(()), |(key, _)| {
        let name = words::capital(&words::step_of(state, *key));
        Err(Refusal::sure(format!(
            "{name} is on the heat, and nobody is told of it any more: take it off."
        )))
    })
}

fn check_station(state: &State, event: &Event) -> Result<(), Refusal> {
    let (Event::StationDown { station }
    | Event::StationUp { station }
    | Event::OvenSet { station, .. }) = event
    else {
        return Ok(());
    };
    let Some(found) = state.evening().station(station) else {
        return Err(Refusal::no("The kitchen has no such station."));
    };
    let name = words::capital(&words::the_station(state.evening(), station));
    let is_down = state.facts().down.contains_key(station);
    match (event, found.thermostat) {
        (Event::StationDown { .. }, _) if is_down => {
            Err(Refusal::no(format!("{name} is out of use already.")))
        }
        (Event::StationUp { .. }, _) if !is_down => Err(Refusal::no(format!("{name} works."))),
        (Event::OvenSet { .. }, None) => {
            Err(Refusal::no(format!("{name} has no dial for degrees.")))
        }
        (Event::OvenSet { celsius, .. }, Some(dial)) => {
            let room = state.evening().party.room_c;
            let off = *celsius <= room.max(0);
            if off || (dial.least_c..=dial.most_c).contains(celsius) {
                return Ok(());
            }
            let (least, most) =
                (words::degrees(state, dial.least_c), words::degrees(state, dial.most_c));
            Err(Refusal::no(format!("{name} goes from {least} to {most}.")))
        }
        _ => Ok(()),
    }
}

fn check_service(state: &State, id: &str, to: Minute, now_ms: i64) -> Result<(), Refusal> {
    let services = &state.evening().party.services;
    let Some(service) = services.iter().position(|s| s.id == id) else {
        return Err(Refusal::no("The party has no such service."));
    };
    let title = words::capital(&words::service_title(state.evening(), service));
    let mut sheets = state.evening().sheets.iter().enumerate();
    let waits = sheets.any(|(dish, sheet)| {
        sheet.service == service && !state.is_dropped(dish) && !state.is_out_of_hand(dish)
    });
    let day = crate::kitchen::clock::DAY;
    if !waits {
        Err(Refusal::no(format!("{title}: all served already.")))
    } else if to < state.minute(now_ms) {
        Err(Refusal::no("That time has passed."))
    } else if to > state.minute(now_ms).saturating_add(day) {
        Err(Refusal::no("That is more than a day away."))
    } else {
        Ok(())
    }
}

fn check_alarm(state: &State, event: &Event, now_ms: i64) -> Result<(), Refusal> {
    let (Event::AlarmAcknowledged { alarm }
    | Event::AlarmPutOff { alarm, .. }
    | Event::AlarmAnswered { alarm, .. }) = event
    else {
        return Ok(());
    };
    let all = alarms::alarms(state, now_ms);
    let Some(found) = all.iter().find(|a| a.key == *alarm) else {
        return Err(Refusal::no("That alarm is over."));
    };
    match event {
        Event::AlarmPutOff { until_ms, .. } => check_put_off(state, found, *until_ms, now_ms),
        Event::AlarmAnswered { .. } if !alarms::asks_what_was_done(found.kind) => {
            Err(Refusal::no("Only a passed safety limit asks what you did."))
        }
        Event::AlarmAnswered { how: Answer::Discarded, .. } => match food::of_alarm(state, alarm) {
            Some(food) if food.part.is_none() && state.out_ms(food.dish, now_ms).is_none() => {
                off_the_heat(state, food.dish)
            }
            _ => Ok(()),
        },
        _ => Ok(()),
    }
}

fn check_put_off(state: &State, alarm: &Alarm, until_ms: i64, now_ms: i64) -> Result<(), Refusal> {
    if !alarms::may_put_off(alarm) {
        return Err(Refusal::no("A passed safety limit cannot be put off: say what you did."));
    }
    if until_ms <= now_ms {
        return Err(Refusal::no("Put it off for at least a minute."));
    }
    if until_ms > now_ms.saturating_add(PUT_OFF_AT_MOST * MINUTE_MS) {
        return Err(Refusal::no("Put it off for at most an hour."));
    }
    match alarm.harm_ms.filter(|harm| alarm.safety && until_ms > *harm) {
        Some(harm) => {
            let at = words::clock(state, harm);
            Err(Refusal::no(format!("Its limit is at {at}: put it off until then at most.")))
        }
        None => Ok(()),
    }
}

fn check_undo(state: &State, seq: u64) -> Result<(), Refusal> {
    match state.marks().find(|(mark, _)| mark.seq == seq) {
        None => Err(Refusal::no("There is no such mark.")),
        Some((_, false)) => Err(Refusal::no("It is undone already.")),
        Some((mark, true)) if matches!(mark.event, Event::PlanAdopted { .. }) => {
            Err(Refusal::no("A plan is not undone; pin what must not move."))
        }
        Some(_) => Ok(()),
    }
}

fn check_finish(state: &State, now_ms: i64) -> Result<(), Refusal> {
    if state.facts().finished_ms.is_some() {
        return Err(Refusal::no("The evening is closed already."));
    }
    let name = |h: Holding| match h.part {
        Some(part) => format!("{}, part {part}", words::dish(state, h.dish)),
        None => words::dish(state, h.dish),
    };
    let board = holding::board(state, now_ms).into_iter();
    let all = board.chain(holding::portions(state, now_ms));
    let mut out: Vec<String> = all.filter(|h| h.safe.at_ms.is_some()).map(name).collect();
    out.extend(half_made(state, now_ms).map(|dish| words::dish(state, dish)));
    let runs = state.facts().progress.iter().find(|(key, progress)| {
        let Progress::Running(run) = progress else { return false };
        !state.ends_by_itself(**key, run.way) && state.still_runs(**key, now_ms)
    });
    // Of what runs a closed evening says nothing more.
    let runs = runs.map(|(key, _)| format!("{} still runs", words::step_of(state, *key)));
    let stand = match out.len() {
        0 => None,
        1 => Some(format!("the {} still stands out", words::list(&out))),
        _ => Some(format!("{} still stand out", words::list(&out))),
    };
    let words = [runs, stand].into_iter().flatten().collect::<Vec<_>>().join("; ");
    match words.is_empty() {
        true => Ok(()),
        false => Err(Refusal::sure(format!("{}.", words::capital(&words)))),
    }
}

/// Dishes that were begun, are not finished, and stand out.
fn half_made(state: &State, now_ms: i64) -> impl Iterator<Item = usize> {
    let dishes = 0..state.evening().sheets.len();
    dishes.filter(move |dish| {
        let unfinished = state.out_ms(*dish, now_ms).is_none() && !state.is_dropped(*dish);
        let out = || food::standing(state, *dish, now_ms).is_some_and(|s| s.is_out);
        unfinished && food::is_there(state, *dish, now_ms) && out()
    })
}

//! Every ingredient of every dish in one place.

use super::{Cold, Counter, Space, Thing, Tray, Trays, space};
use crate::kitchen::items::{self, Aisle};
use crate::kitchen::units::{Dimension, Exact};
use crate::kitchen::{Evening, Kept, Minute, StationKind};
use crate::mise::amounts::{self, Portion};
use crate::mise::shopping::Quantity;
use crate::mise::wording::some;
use crate::mise::{day_words, knife};
use crate::plan::Plan;
use crate::safety::{Profile, class, limit};

/// Things that one tray holds. Common practice, no source: small bowls on a
/// tray of 30 x 40 cm.
const ON_A_TRAY: usize = 10;
/// Minutes before its use at which what is wanted soft or at room temperature is
/// taken out. Common practice, no source.
const SOFTENS: Minute = 30;

/// The trays of an evening; with a plan also the times. `dropped` dishes have none.
#[must_use]
pub fn lay(evening: &Evening, plan: Option<&Plan>, dropped: &[usize]) -> Trays {
    let portions = amounts::of_made(evening, dropped);
    let dishes = evening.sheets.iter().enumerate().filter(|(d, _)| !dropped.contains(d));
    let trays: Vec<Tray> = dishes
        .map(|(d, sheet)| {
            let own = || portions.iter().filter(move |p| p.dish == d);
            let counter: Vec<Thing> = own().filter(|p| !is_cold(p)).map(thing).collect();
            let cold = own().filter(|p| is_cold(p)).map(|p| cold(evening, plan, p)).collect();
            let cleared = plan.and_then(|plan| own().filter_map(|p| last_use(plan, p)).max());
            let (letter, title) = (sheet.letter, sheet.recipe.title.clone());
            let trays = u32::try_from(counter.len().div_ceil(ON_A_TRAY)).unwrap_or(u32::MAX);
            Tray { index: d, dish: sheet.id.clone(), letter, title, counter, cold, trays, cleared }
        })
        .collect();
    let stations = |kind| evening.kitchen.stations.iter().filter(move |s| s.kind == kind);
    let counter = Counter {
        places: stations(StationKind::Counter).map(|s| s.slots).sum(),
        trays: trays.iter().map(|t| t.trays).sum(),
    };
    let store = |kind: StationKind, kept| {
        stations(kind).next().map(|_| space::count(evening, plan, &portions, &trays, (kind, kept)))
    };
    let fridge = store(StationKind::Fridge, Kept::Fridge);
    let freezer = store(StationKind::Freezer, Kept::Freezer);
    let mut notes = Vec::new();
    if counter.trays > counter.places {
        notes.push(format!(
            "{} and {} on the counter: set out what comes first, the rest waits stacked",
            some(counter.trays, "tray"),
            some(counter.places, "place")
        ));
    }
    notes.extend(store_note(evening, &trays, "fridge", Kept::Fridge, fridge.as_ref()));
    notes.extend(store_note(evening, &trays, "freezer", Kept::Freezer, freezer.as_ref()));
    Trays {
        title: evening.party.title.clone(),
        day: evening.party.day.to_string(),
        planned: plan.is_some(),
        trays,
        counter,
        fridge,
        freezer,
        notes,
    }
}

fn store_note(
    evening: &Evening,
    trays: &[Tray],
    name: &str,
    kept: Kept,
    space: Option<&Space>,
) -> Option<String> {
    match space {
        Some(space) if space.is_over() => {
            let clock = |m| format!(" at {}{}", day_words(evening, m), evening.face.label(m));
            let at = space.at.map_or_else(String::new, clock);
            Some(format!(
                "More than the {name} holds{at}: {} places of {}. Borrow room, or a cool box with ice \
                 and a thermometer in it",
                space.wanted, space.places
            ))
        }
        Some(_) => None,
        None => {
            let things = trays.iter().flat_map(|t| &t.cold).filter(|c| c.kept == kept);
            let names: Vec<&str> = things.map(|c| c.thing.item.as_str()).collect();
            (!names.is_empty())
                .then(|| format!("The kitchen has no {name} for {}", names.join(", ")))
        }
    }
}

fn thing(portion: &Portion<'_>) -> Thing {
    Thing {
        ingredient: portion.index,
        item: portion.ingredient.item.trim().to_owned(),
        amount: portion.most().map(|amount| Quantity { amount, unit: portion.unit }),
        cut: portion.ingredient.cut.clone(),
    }
}

/// Where it waits: as the recipe or the table keeps it, and cold once cut if it must be.
fn kept(portion: &Portion<'_>) -> Kept {
    let item = portion.item();
    let own = match item {
        Some(item) => item.kept,
        // What sounds like meat or fish stands on no counter, though nobody said where it is kept.
        None if is_raw(portion) => Kept::Fridge,
        None => Kept::Cupboard,
    };
    let tap = item.is_some_and(|i| i.aisle == Aisle::Tap);
    match portion.ingredient.kept {
        _ if tap => Kept::Cupboard,
        Kept::Cupboard if portion.ingredient.cut.is_some() => {
            knife::waits(&portion.ingredient.item, item, own)
        }
        Kept::Cupboard => own,
        kept => kept,
    }
}

fn is_raw(portion: &Portion<'_>) -> bool {
    let words = || items::sounds_raw(&portion.ingredient.item).is_some();
    portion.item().map_or_else(words, |i| i.raw)
}

fn is_cold(portion: &Portion<'_>) -> bool {
    kept(portion) != Kept::Cupboard
}

/// Starts of the loads that use it.
fn uses<'a>(plan: &'a Plan, portion: &'a Portion<'_>) -> impl Iterator<Item = Minute> + 'a {
    let steps = &portion.sheet.recipe.steps;
    let named = &portion.ingredient.steps;
    let blocks = plan.blocks.iter().filter(move |b| {
        let id = steps.get(b.key.step).map(|s| &s.id);
        b.key.dish == portion.dish && (named.is_empty() || id.is_some_and(|id| named.contains(id)))
    });
    blocks.map(|b| b.start)
}

fn last_use(plan: &Plan, portion: &Portion<'_>) -> Option<Minute> {
    uses(plan, portion).max()
}

fn cold(evening: &Evening, plan: Option<&Plan>, portion: &Portion<'_>) -> Cold {
    let kept = kept(portion);
    let used_at = plan.and_then(|plan| uses(plan, portion).min());
    let mut one_piece_at = None;
    let (ahead, why) = match kept {
        Kept::Freezer if is_thawed(portion) => {
            let (words, at) = thaws(evening, portion, used_at);
            one_piece_at = at;
            (Some(THAWS), Some(words))
        }
        Kept::Fridge if is_soft(portion) => softens(evening, portion),
        _ => (None, None),
    };
    Cold {
        thing: thing(portion),
        kept,
        raw: is_raw(portion),
        used_at,
        out_at: used_at.map(|at| at - ahead.unwrap_or(0)),
        one_piece_at,
        why,
    }
}

/// A day. Thawing in the fridge takes about a day for 1.8 to 2.3 kg (FSIS "The
/// Big Thaw", from memory; extension pages: five pounds a day), and less is
/// allowed a day all the same.
const THAWS: Minute = 24 * 60;

/// What would take more days than these is no one piece. Our choice.
const MOST_DAYS: i64 = 8;

/// How it thaws. What may be one piece of more than two kilograms takes days: nobody knows from its
/// weight whether it is, so the cook is told when it would have to come out.
fn thaws(
    evening: &Evening,
    portion: &Portion<'_>,
    used_at: Option<Minute>,
) -> (String, Option<Minute>) {
    let words = "into the fridge to thaw, never on the counter: a day for each 2 kg";
    let days = one_piece_g(portion).and_then(|g| g.over(Exact::whole(2000))).map(Exact::ceil);
    let days = days.map_or(1, Exact::to_i64);
    let Some(days) = Minute::try_from(days).ok().filter(|_| (2..=MOST_DAYS).contains(&days)) else {
        return (words.to_owned(), None);
    };
    let at = used_at.map(|at| at - days * THAWS);
    let from = at.map_or_else(String::new, |at| {
        format!(", from {}{}", day_words(evening, at), evening.face.label(at))
    });
    (format!("{words}; in one piece it takes {days} days{from}"), at)
}

/// What one piece of it may weigh at the most, in grams, of raw meat, fish and poultry.
fn one_piece_g(portion: &Portion<'_>) -> Option<Exact> {
    let item = portion.item();
    if !is_raw(portion) {
        return None;
    }
    let mut of = portion.measured()?;
    if of.unit.dimension() == Dimension::Count {
        of.amount = Exact::ONE;
    }
    let mass = of.unit.base(of.measures).filter(|_| of.unit.dimension() == Dimension::Mass);
    mass.map(|g| of.amount * g).or_else(|| item.and_then(|i| Some(i.grams(&of).ok()?.g)))
}

fn says(portion: &Portion<'_>, words: &[&str]) -> bool {
    let i = portion.ingredient;
    let texts = [Some(i.item.as_str()), i.cut.as_deref(), i.note.as_deref()];
    let has = |text: &str| {
        let text = text.to_lowercase();
        words.iter().any(|w| text.contains(w))
    };
    texts.into_iter().flatten().any(has)
}

fn is_thawed(portion: &Portion<'_>) -> bool {
    says(portion, &["thawed", "defrosted"])
}

fn is_soft(portion: &Portion<'_>) -> bool {
    says(portion, &["room temperature", "softened", "soft butter"])
}

/// Half an hour before, but never more than a quarter of what the guidance allows.
fn softens(evening: &Evening, portion: &Portion<'_>) -> (Option<Minute>, Option<String>) {
    let safety = &portion.sheet.recipe.safety;
    let perishable = class::is_perishable(safety.class, safety.exempt);
    let air_c = f64::from(evening.party.room_c);
    let profile = Profile::by_id(&evening.party.guidance);
    let allowed = profile.and_then(|p| limit::limit_minutes(p, perishable, air_c));
    let quarter = allowed.map(|m| Minute::try_from(m / 4).unwrap_or(SOFTENS));
    let ahead = quarter.map_or(SOFTENS, |q| SOFTENS.min(q)).max(0);
    let why = match allowed {
        Some(_) => format!("{ahead} min before: it is wanted soft; that counts against its limit"),
        None => format!("{ahead} min before: it is wanted soft"),
    };
    (Some(ahead), Some(why))
}

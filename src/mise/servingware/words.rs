//! Who goes into what, in words.

use super::clash::{Borrow, Clash, food_only};
use super::fit::{Holds, Unfit, spills};
use super::need::Need;
use super::{Laying, Piece, Place, WASHING_MINUTES};
use crate::kitchen::units::Degrees;
use crate::kitchen::{Evening, Keeps, Minute, Served, Servingware, WareKind};
use crate::order::InOrder;
use crate::paper::list;

/// What is said of a kitchen whose serving dishes nobody has entered.
const NONE_LISTED: &str = "This kitchen lists no serving dishes. Enter what you have (bowls, platters, their sizes) and \
     each dish gets the one that fits it.";

/// A line of the list of serving dishes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Row {
    /// Index of the dish.
    pub dish: usize,
    /// When it is dished up.
    pub from: Minute,
    /// When it stands on the table.
    pub served_at: Minute,
    /// When the table is cleared.
    pub to: Minute,
    /// What it goes into: "Lidded soup tureen"; nothing if it has none.
    pub into: Option<String>,
    /// How much food there is and how much goes in: "3.7 of 4.5 l".
    pub fill: String,
    /// What else is to be known.
    pub notes: Vec<String>,
}

/// The list, in the order in which they are dished up.
#[must_use]
pub fn rows(evening: &Evening, laying: &Laying) -> Vec<Row> {
    let mut rows: Vec<Row> = laying.places.iter().map(|p| row(evening, laying, p)).collect();
    rows.order_by_key(|r| (r.from, r.dish));
    rows
}

fn row(evening: &Evening, laying: &Laying, place: &Place) -> Row {
    let need = &place.need;
    Row {
        dish: need.dish,
        from: need.from,
        served_at: need.served_at,
        to: need.to,
        into: into(evening, place),
        fill: fill(evening, place),
        notes: notes(evening, laying, place),
    }
}

fn wares(evening: &Evening) -> &[Servingware] {
    &evening.kitchen.servingware
}

/// "Large bowl 2 and Small bowl", "2 of Sheet tray"; nothing if it has none.
fn into(evening: &Evening, place: &Place) -> Option<String> {
    if !place.need.pans.is_empty() {
        let pans = place.need.pans.iter().map(|(title, n)| match n {
            0 | 1 => title.clone(),
            n => format!("{title} (all {n})"),
        });
        return Some(list(&pans.collect::<Vec<_>>()));
    }
    let pieces: Vec<String> =
        place.pieces.iter().filter_map(|p| piece_name(wares(evening), *p)).collect();
    (!pieces.is_empty()).then(|| list(&pieces))
}

/// "Tureen", or "Large bowl 2" where there are several.
fn piece_name(wares: &[Servingware], piece: Piece) -> Option<String> {
    let ware = wares.get(piece.ware)?;
    Some(match ware.count {
        0 | 1 => ware.title.clone(),
        _ => format!("{} {}", ware.title, piece.number + 1),
    })
}

/// "3.7 of 4.5 l", "960 of 2000 cm²".
fn fill(evening: &Evening, place: &Place) -> String {
    let unit = evening.customs.degrees;
    let need = &place.need;
    let sum = |pick: fn(Holds) -> Option<u32>| -> Option<u32> {
        let all: Vec<u32> = place.pieces.iter().filter_map(|p| pick(p.holds)).collect();
        (!all.is_empty()).then(|| all.iter().fold(0, |a, b| u32::saturating_add(a, *b)))
    };
    let ml = sum(|h| if let Holds::Ml(ml) = h { Some(ml) } else { None });
    let cm2 = sum(|h| if let Holds::Cm2(cm2) = h { Some(cm2) } else { None });
    let of = |food: Option<u32>, room: u32, words: fn(Degrees, u32) -> String| {
        let food = words(unit, food_only(food.unwrap_or(0)));
        let room = words(unit, room);
        match (food.split_once(' '), room.split_once(' ')) {
            (Some((n, a)), Some((_, b))) if a == b => format!("{n} of {room}"),
            _ => format!("{food} of {room}"),
        }
    };
    match (ml, cm2) {
        (Some(ml), Some(cm2)) => format!("{} and {}", volume(unit, ml), area(unit, cm2)),
        (Some(ml), None) => of(need.ml, ml, volume),
        (None, Some(cm2)) => of(need.cm2, cm2, area),
        (None, None) => amount(unit, need),
    }
}

/// "3.7 l" of food, or what it covers.
pub(super) fn amount(unit: Degrees, need: &Need) -> String {
    match (need.ml, need.cm2) {
        (Some(ml), _) => volume(unit, food_only(ml)),
        (None, Some(cm2)) => area(unit, food_only(cm2)),
        (None, None) => String::new(),
    }
}

/// `3.7 l`, `350 ml`; `3.9 qt`, `1.5 cups` where ovens are set in Fahrenheit.
/// A US quart is 946.352946 ml, a cup a quarter of it (NIST Handbook 44, appendix C).
#[must_use]
pub fn volume(unit: Degrees, ml: u32) -> String {
    const QUART_ML: f64 = 946.352_946;
    let ml_f = f64::from(ml);
    match unit {
        Degrees::Celsius if ml < 1_000 => format!("{ml} ml"),
        Degrees::Celsius => format!("{:.1} l", ml_f / 1000.0),
        Degrees::Fahrenheit if ml_f < QUART_ML => {
            format!("{:.1} cups", ml_f / (QUART_ML / 4.0))
        }
        Degrees::Fahrenheit => format!("{:.1} qt", ml_f / QUART_ML),
    }
}

/// `900 cm²`, or square inches of 6.4516 cm².
#[must_use]
pub fn area(unit: Degrees, cm2: u32) -> String {
    match unit {
        Degrees::Celsius => format!("{cm2} cm²"),
        Degrees::Fahrenheit => format!("{:.0} sq in", f64::from(cm2) / 6.4516),
    }
}

fn notes(evening: &Evening, laying: &Laying, place: &Place) -> Vec<String> {
    let need = &place.need;
    let mut notes = Vec::new();
    let label = |minute| evening.face.label(minute);
    if let Some(at) = need.pan_wanted {
        notes.push(format!("its pan is wanted again at {}", label(at)));
    }
    if need.oven {
        notes.push(format!("in the oven with it from {}", label(need.from)));
    }
    let half = place.pieces.iter().filter_map(|p| wares(evening).get(p.ware));
    if half.clone().any(|w| spills(need.served, w.is_a(), w)) {
        notes.push("carry it at most half full".to_owned());
    }
    if half.clone().any(|w| w.keeps == Keeps::Hot) {
        notes.push("heat it before the food goes in".to_owned());
    } else if half.clone().any(|w| w.keeps == Keeps::Cold) {
        notes.push("chill it before the food goes in".to_owned());
    }
    for piece in &place.pieces {
        if let Some((next, from)) = used_next(laying, place, *piece) {
            let name = piece_name(wares(evening), *piece).unwrap_or_default();
            let next = evening.sheets.get(next).map_or_else(String::new, |s| s.short());
            notes.push(format!("then wash {name}: the {next} goes in at {}", label(from)));
        }
    }
    if need.guessed {
        notes.push("portion reckoned by its course".to_owned());
    }
    notes
}

/// The dish that a piece is used for next, and when.
fn used_next(laying: &Laying, place: &Place, piece: Piece) -> Option<(usize, Minute)> {
    let same = |p: &Piece| (p.ware, p.number) == (piece.ware, piece.number);
    let later = laying.places.iter().filter(|p| p.need.from >= place.need.to + WASHING_MINUTES);
    let later = later.filter(|p| p.pieces.iter().any(same));
    later.map(|p| (p.need.from, p.need.dish)).min().map(|(from, dish)| (dish, from))
}

/// What clashes and what would help, a sentence each.
#[must_use]
pub fn clash_lines(evening: &Evening, laying: &Laying) -> Vec<String> {
    if wares(evening).is_empty() {
        return summary(evening, laying).into_iter().collect();
    }
    laying.clashes.iter().flat_map(|clash| lines(evening, laying, clash)).collect()
}

fn lines(evening: &Evening, laying: &Laying, clash: &Clash) -> Vec<String> {
    let need = |dish: usize| laying.places.iter().map(|p| &p.need).find(|n| n.dish == dish);
    let unit = evening.customs.degrees;
    let names: Vec<String> = clash
        .dishes
        .iter()
        .map(|&d| {
            format!(
                "{} ({})",
                short(evening, d),
                need(d).map_or_else(String::new, |n| amount(unit, n))
            )
        })
        .collect();
    let mut lines = vec![match clash.dishes.as_slice() {
        [dish] => nothing_holds(evening, clash, need(*dish), &names),
        _ => too_few(evening, clash, &names),
    }];
    lines.extend(clash.borrow.map(|b| borrow_line(evening, unit, b)));
    lines.extend(clash.dishes.iter().find_map(|&d| in_its_pot(evening, need(d)?)));
    lines
}

fn short(evening: &Evening, dish: usize) -> String {
    evening.sheets.get(dish).map_or_else(String::new, crate::kitchen::Sheet::short)
}

fn too_few(evening: &Evening, clash: &Clash, names: &[String]) -> String {
    let wares: Vec<String> = clash
        .wares
        .iter()
        .filter_map(|&w| wares(evening).get(w))
        .map(|w| match w.count {
            1 => w.title.clone(),
            n => format!("{n} of {}", w.title),
        })
        .collect();
    let among = match wares.as_slice() {
        [] => "there is nothing that they could go into".to_owned(),
        wares => format!("they could only go into {}", list(wares)),
    };
    let (from, to) = (evening.face.label(clash.from), evening.face.label(clash.to));
    let when = match clash.from < clash.to {
        true => format!(" from {from} to {to}"),
        false => ", and none washed and free again in time".to_owned(),
    };
    format!("Too few serving dishes{when}: {}. Together {among}.", list(names))
}

fn nothing_holds(
    evening: &Evening,
    clash: &Clash,
    need: Option<&Need>,
    names: &[String],
) -> String {
    let mut reasons: Vec<String> = Vec::new();
    for (at, unfit) in &clash.unfit {
        let Some(ware) = wares(evening).get(*at) else { continue };
        let why = match unfit {
            Some(Unfit::Oven) => "may not go into the oven".to_owned(),
            Some(Unfit::Lid) => "has no lid".to_owned(),
            Some(Unfit::Unmeasured) => "has not been measured".to_owned(),
            Some(Unfit::Temperature) if ware.keeps == Keeps::Cold => "keeps cold".to_owned(),
            Some(Unfit::Temperature) => "keeps hot".to_owned(),
            Some(Unfit::Kind) => continue,
            None => need.map_or_else(String::new, |n| held(evening, n, ware)),
        };
        reasons.push(format!("{} {why}", ware.title));
    }
    let name = list(names);
    match reasons.as_slice() {
        [] => {
            let asks = need.map_or("", |n| asks(n.served));
            format!("Nothing here holds the {name}: there is {asks}.")
        }
        reasons => format!("Nothing here holds the {name}: {}.", reasons.join("; ")),
    }
}

/// "holds 2.2 l, carried half full", "holds 700 ml, 4 of them 2.8 l".
fn held(evening: &Evening, need: &Need, ware: &Servingware) -> String {
    let unit = evening.customs.degrees;
    let Ok(fit) = super::fit(need, ware) else { return String::new() };
    let words = |n: u32| match fit.holds {
        Holds::Ml(ml) => volume(unit, ml.saturating_mul(n)),
        Holds::Cm2(cm2) => area(unit, cm2.saturating_mul(n)),
    };
    let half = if spills(need.served, ware.is_a(), ware) { ", half full to carry it" } else { "" };
    match ware.count {
        1 => format!("holds {}{half}", words(1)),
        n => format!("holds {}, all {n} of them {}{half}", words(1), words(n)),
    }
}

/// What there is none of.
const fn asks(served: Served) -> &'static str {
    match served {
        Served::Ladled => "no pot, bowl or deep dish",
        Served::Spooned | Served::AsCooked => "no bowl, deep dish or pot",
        Served::Poured => "no jug, pot or bowl",
        Served::Dry => "no basket, bowl, platter or board",
        Served::Laid => "no platter, board or shallow dish with a known size",
        Served::Sliced => "no board or platter",
    }
}

/// "Nothing is left for the pork and the rice. Borrow a bowl that holds 2.4 l or more, for the pan pie.";
/// nothing if every dish has its place.
#[must_use]
pub fn summary(evening: &Evening, laying: &Laying) -> Option<String> {
    let without: Vec<String> = laying
        .places
        .iter()
        .filter(|p| !p.is_served())
        .map(|p| short(evening, p.need.dish))
        .collect();
    if without.is_empty() {
        return None;
    }
    if wares(evening).is_empty() {
        return Some(NONE_LISTED.to_owned());
    }
    let unit = evening.customs.degrees;
    // The same size is asked for once, and how many of it.
    let mut asked: Vec<(Borrow, Vec<usize>)> = Vec::new();
    for one in laying.clashes.iter().filter_map(|c| c.borrow) {
        let alike = |b: &Borrow| Borrow { dish: b.dish, pieces: b.pieces, ..one } == *b;
        match asked.iter_mut().find(|(b, _)| alike(b)) {
            Some((all, dishes)) => {
                all.pieces = all.pieces.saturating_add(one.pieces);
                dishes.extend((!dishes.contains(&one.dish)).then_some(one.dish));
            }
            None => asked.push((one, vec![one.dish])),
        }
    }
    let borrow: Vec<String> =
        asked.iter().map(|(b, dishes)| borrowed(evening, unit, *b, dishes)).collect();
    let helps = match borrow.is_empty() {
        true => String::new(),
        false => format!(" Borrow {}.", borrow.join("; ")),
    };
    Some(format!("Nothing is left for the {}.{helps}", list(&without)))
}

/// What keeps a dish from its place; nothing if it is in no clash.
#[must_use]
pub fn clash_of(evening: &Evening, laying: &Laying, dish: usize) -> Vec<String> {
    let clash = laying.clashes.iter().find(|c| c.dishes.contains(&dish));
    clash.map_or_else(Vec::new, |clash| lines(evening, laying, clash))
}

/// "Borrow a lidded pot that holds 4.1 l or more, for the soup, and it works."
fn borrow_line(evening: &Evening, unit: Degrees, borrow: Borrow) -> String {
    format!("Borrow {}, and it works.", borrowed(evening, unit, borrow, &[borrow.dish]))
}

/// "a lidded pot that holds 4.1 l or more, for the soup".
fn borrowed(evening: &Evening, unit: Degrees, borrow: Borrow, dishes: &[usize]) -> String {
    let mut what = Vec::new();
    if borrow.lid {
        what.push("lidded");
    }
    if borrow.oven {
        what.push("ovenproof");
    }
    what.push(borrow.kind.word());
    let what = what.join(" ");
    let size = match (borrow.ml, borrow.cm2) {
        (Some(ml), _) => volume(unit, ml),
        (None, Some(cm2)) => area(unit, cm2),
        (None, None) => String::new(),
    };
    let for_whom = list(&dishes.iter().map(|d| short(evening, *d)).collect::<Vec<_>>());
    match borrow.pieces {
        1 => {
            let a = if what.starts_with('o') { "an" } else { "a" };
            format!("{a} {what} that holds {size} or more, for the {for_whom}")
        }
        n => {
            let plural = if borrow.kind == WareKind::Dish { "es" } else { "s" };
            format!("{n} {what}{plural} that hold {size} or more each, for the {for_whom}")
        }
    }
}

/// A deep pan that the dish ends in may go to the table instead.
fn in_its_pot(evening: &Evening, need: &Need) -> Option<String> {
    if !matches!(need.served, Served::Ladled | Served::Spooned) || need.pan_wanted.is_some() {
        return None;
    }
    let sheet = evening.sheets.get(need.dish)?;
    let step = sheet.recipe.steps.get(sheet.last_step())?;
    let pans = &evening.kitchen.cookware;
    let pan = step.cookware.iter().find_map(|n| pans.iter().find(|c| c.kind == n.kind))?;
    Some(format!(
        "Or bring the {} to the table in what it is made in: {}.",
        sheet.short(),
        pan.title
    ))
}

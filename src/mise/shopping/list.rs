//! The list itself.

use std::collections::BTreeMap;

use super::buy;
use super::house::{self, Shelf};
use super::merge::{self, Class, Lot, Measured};
use super::{ForDish, Line, Quantity, Share, ShoppingList};
use crate::kitchen::items::{self, Aisle, Amount, HowWeighed, Item, Market, SoldBy, cut_form};
use crate::kitchen::units::{Exact, Unit, say};
use crate::kitchen::{Evening, Sheet, borrowed};
use crate::mise::amounts::{self, Portion, made};
use crate::order::InOrder;

/// The shopping list of an evening.
#[must_use]
pub fn list(evening: &Evening) -> ShoppingList {
    list_without(evening, &[])
}

/// The shopping list of an evening without the dishes that are not made after all.
#[must_use]
pub fn list_without(evening: &Evening, dropped: &[usize]) -> ShoppingList {
    let market = amounts::market(evening);
    let mut shelves = house::shelves(&evening.party.in_house);
    let mut lines = Vec::new();
    let mut notes = Vec::new();
    for group in groups(amounts::of_made(evening, dropped)).into_values() {
        lines.extend(group_lines(group, market, &mut shelves, &mut notes));
    }
    lines.sort_by_cached_key(|l| (l.aisle, l.id.clone()));
    notes.extend(house::unused(&shelves));
    ShoppingList {
        title: evening.party.title.clone(),
        day: evening.party.day.to_string(),
        shops: market,
        dishes: made(evening, dropped).map(for_dish).collect(),
        lines,
        borrow: borrowed::lines(&evening.kitchen, &evening.party.borrowed),
        notes,
    }
}

pub(in crate::mise) fn for_dish(sheet: &Sheet) -> ForDish {
    ForDish {
        id: sheet.id.clone(),
        letter: sheet.letter,
        title: sheet.recipe.title.clone(),
        servings: sheet.servings,
    }
}

/// Amounts of one item, and what it is.
struct Group<'a> {
    item: Option<&'static Item>,
    name: String,
    amounts: Vec<(Measured<'a>, Portion<'a>)>,
    to_taste: Vec<Portion<'a>>,
}

/// By what is bought: zest and yolks with the lemons and eggs they come from.
fn groups(mut portions: Vec<Portion<'_>>) -> BTreeMap<String, Group<'_>> {
    // The same whatever the order of the dishes.
    portions.order_by_key(|p| (&p.sheet.id, p.index));
    let mut groups: BTreeMap<String, Group<'_>> = BTreeMap::new();
    for portion in portions {
        let measured = portion.measured();
        let whole = measured.as_ref().and_then(|m| part_of_a_piece(&portion, m));
        let item = whole.map(|(parent, _)| parent).or_else(|| portion.item());
        let name = item.map_or_else(|| portion.ingredient.item.trim(), |i| i.name.as_str());
        // Without regard to case, so that two spellings of a word we do not know are one line.
        let group = groups.entry(name.to_lowercase()).or_insert_with(|| Group {
            item,
            name: name.to_owned(),
            amounts: Vec::new(),
            to_taste: Vec::new(),
        });
        match (whole, measured) {
            (Some((_, measured)), _) => group.amounts.push((measured, portion)),
            (None, Some(amount)) => {
                let part = part_by_cut(amount.cut);
                let pack = portion.ingredient.pack;
                group.amounts.push((Measured { amount, pack, part }, portion));
            }
            (None, None) => group.to_taste.push(portion),
        }
    }
    groups
}

/// The part of a piece that is used when it is cut like that.
fn part_by_cut(cut: Option<&str>) -> Option<&'static str> {
    match cut.map(cut_form).as_deref() {
        Some("zested") => Some("zest"),
        Some("juiced") => Some("juice"),
        _ => None,
    }
}

/// Zest is bought as lemons, yolks as eggs: so many pieces, of which that part is used.
fn part_of_a_piece<'a>(
    portion: &Portion<'a>,
    of: &Amount<'a>,
) -> Option<(&'static Item, Measured<'a>)> {
    let item = portion.item().filter(|i| i.sold_by != SoldBy::Pack)?;
    let parent = items::find(item.comes_from.as_deref()?)?;
    let pieces = match of.unit {
        Unit::Piece => of.amount,
        _ => item.grams(of).ok()?.g.over(item.weight(Unit::Piece, None)?.g)?,
    };
    let last = item.name.rsplit(' ').next()?;
    let part = ["zest", "juice", "yolk", "white"].into_iter().find(|p| *p == last);
    let amount = Amount { amount: pieces, unit: Unit::Piece, cut: None, size: None, ..*of };
    Some((parent, Measured { amount, pack: None, part }))
}

fn group_lines(
    group: Group<'_>,
    market: Market,
    shelves: &mut [Shelf<'_>],
    notes: &mut Vec<String>,
) -> Vec<Line> {
    let Group { item, name, amounts, to_taste } = group;
    house::is_wanted(shelves, (name.as_str(), item));
    if item.is_none() {
        let hint = items::suggest(&name).first().map_or(String::new(), |n| format!("; is it {n}?"));
        notes.push(format!("{name} is not in the item table{hint}"));
    }
    let lots = merge::lots(amounts, item, market);
    if lots.len() > 1 {
        let kinds: Vec<String> = lots.iter().map(what).collect();
        notes.push(format!(
            "{name} has {} lines: no row of the item table brings {} to one measure",
            lots.len(),
            kinds.join(" and ")
        ));
    }
    let to_taste: Vec<Share> = to_taste.iter().map(|p| share(p, &name)).collect();
    let mut lines: Vec<Line> =
        lots.iter().map(|lot| lot_line(lot, &name, item, market, shelves)).collect();
    match lines.first_mut() {
        Some(first) => first.shares.extend(to_taste),
        None => lines.push(Line {
            shares: to_taste,
            how: vec!["only wanted to taste: see that there is some".to_owned()],
            ..empty_line(&name, item)
        }),
    }
    lines
}

fn empty_line(name: &str, item: Option<&Item>) -> Line {
    Line {
        id: name.to_lowercase(),
        item: name.to_owned(),
        aisle: item.map_or(Aisle::Other, |i| i.aisle),
        need: None,
        in_house: None,
        buy: None,
        shares: Vec::new(),
        how: Vec::new(),
    }
}

fn lot_line(
    lot: &Lot<'_>,
    name: &str,
    item: Option<&'static Item>,
    market: Market,
    shelves: &mut [Shelf<'_>],
) -> Line {
    let mut line = empty_line(name, item);
    line.id.push_str(&suffix(&lot.class));
    line.need = Some(Quantity { amount: lot.total, unit: lot.unit() });
    line.shares = lot.portions.iter().map(|p| share(p, name)).collect();
    line.how = lot.by.iter().map(said).collect();
    let wanted = buy::wanted(lot, item, market, false);
    line.how.extend(wanted.how.iter().cloned());
    // What comes from the tap is not bought.
    if wanted.stuck && line.aisle != Aisle::Tap {
        line.how.push(format!(
            "no row of the item table says what {} of it weighs: bought as the recipes have it",
            what(lot)
        ));
    }
    let (left, taken) = house::take(shelves, &wanted, (name, item), market, &mut line.how);
    if taken.is_positive() {
        line.in_house = Some(Quantity { amount: taken, unit: wanted.unit });
    }
    if left.is_positive() && line.aisle != Aisle::Tap {
        line.buy = Some(buy::purchase(&wanted, left, market));
    }
    line.how.extend(item.and_then(|i| i.note.clone()));
    line
}

pub(in crate::mise) fn share(portion: &Portion<'_>, name: &str) -> Share {
    let words = portion.ingredient.item.trim();
    Share {
        dish: portion.sheet.id.clone(),
        letter: portion.sheet.letter,
        words: (words != name).then(|| words.to_owned()),
        quantity: portion.most().map(|amount| Quantity { amount, unit: portion.unit }),
        cut: portion.ingredient.cut.clone(),
        optional: portion.ingredient.optional,
    }
}

/// How a portion was brought to grams, for the list.
fn said(by: &HowWeighed) -> String {
    match by {
        HowWeighed::Weight => String::new(),
        HowWeighed::Measure { g, unit, cut, source } => {
            let cut = if cut.is_empty() { String::new() } else { format!(" {}", cut.join(" or ")) };
            format!(
                "a {}{cut} taken as {}, roughly ({source})",
                unit.name(Exact::ONE),
                say(*g, Unit::G)
            )
        }
        HowWeighed::Piece { g, unit, size, source } => {
            let size = size.as_ref().map_or(String::new(), |s| format!("{s} "));
            let one = unit.name(Exact::ONE);
            format!("a {size}{one} taken as {} of edible part ({source})", say(*g, Unit::G))
        }
    }
}

/// The kind of measure of a lot: "cups, chopped", "bunches".
fn what(lot: &Lot<'_>) -> String {
    match &lot.class {
        Class::Mass => "grams".to_owned(),
        Class::Volume(form) if form.is_empty() => "a cup".to_owned(),
        Class::Volume(form) => format!("a cup, {form},"),
        Class::Count(unit, size) => {
            let size = size.as_ref().map_or(String::new(), |s| format!("{s} "));
            format!("a {size}{}", unit.name(Exact::ONE))
        }
        Class::Container(unit, _) => format!("a {}", unit.name(Exact::ONE)),
    }
}

/// What tells two lines of one item apart.
fn suffix(class: &Class) -> String {
    let many = |unit: Unit| unit.name(Exact::whole(2));
    match class {
        Class::Mass | Class::Count(Unit::Piece, None) => String::new(),
        Class::Volume(form) if form.is_empty() => " by volume".to_owned(),
        Class::Volume(form) => format!(" by volume, {form}"),
        Class::Count(unit, None) => format!(", {}", many(*unit)),
        Class::Count(unit, Some(size)) => format!(", {size} {}", many(*unit)),
        Class::Container(unit, None) => format!(", {}", many(*unit)),
        Class::Container(unit, Some((amount, of))) => {
            format!(", {} of {}", many(*unit), say(*amount, *of))
        }
    }
}

#[cfg(test)]
#[path = "list_tests.rs"]
mod tests;

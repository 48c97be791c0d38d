//! The head of a line: how much of it. `[about] number [range] [package] [size]
//! [unit] ["of"]`, sums and equal amounts included.

use super::tokens::{Cursor, Kind};
use super::{IngredientLine, Measure};
use crate::bring::lexicon;
use crate::bring::measure::{UnitKind, UnitWord};
use crate::bring::number;
use crate::kitchen::units::Exact;

/// Most modifiers between a number and its unit.
const MODIFIERS_MOST: usize = 8;
/// Most words between a number and the unit that its sizes belong to.
const SIZES_MOST: usize = 5;

/// What was read of an amount.
#[derive(Debug, Default)]
pub(super) struct Head {
    pub amount: Option<Exact>,
    pub to: Option<Exact>,
    pub unit: Option<UnitWord>,
    pub pack: Option<Measure>,
    pub equals: Vec<Measure>,
    pub parts: Vec<Measure>,
    pub sizes: Vec<String>,
    pub notes: Vec<String>,
    pub about: bool,
}

/// Reads the head; the cursor then stands at the name.
pub(super) fn read(c: &mut Cursor) -> Head {
    let mut head = Head::default();
    about(c, &mut head);
    if !sized_without_count(c, &mut head) {
        if few(c) {
            unit(c, &mut head);
            return head;
        }
        if let Some((amount, to)) = range(c) {
            head.amount = Some(amount);
            head.to = to;
        } else {
            bare_unit(c, &mut head);
            return head;
        }
    }
    modifiers(c, &mut head);
    dual(c, &mut head);
    more(c, &mut head);
    of(c);
    head
}

/// Reads the number alone: what follows is the name, though it looks like a unit.
pub(super) fn number_only(c: &mut Cursor) -> Head {
    let mut head = Head::default();
    about(c, &mut head);
    if let Some((amount, to)) = range(c) {
        head.amount = Some(amount);
        head.to = to;
    }
    sizes_of_item(c, &mut head);
    head
}

/// Sizes before a name that looks like a unit: "2 large fillets".
fn sizes_of_item(c: &mut Cursor, head: &mut Head) {
    while let Some(word) = c.word(0).filter(|w| lexicon::is_size(w)) {
        head.sizes.push(word);
        c.at += 1;
    }
}

impl Head {
    pub fn put_into(self, line: &mut IngredientLine) {
        line.amount = self.amount;
        line.amount_to = self.to;
        line.unit = self.unit;
        line.pack = self.pack;
        line.equals.extend(self.equals);
        line.parts = self.parts;
        line.sizes = self.sizes;
        line.notes.extend(self.notes);
        line.about |= self.about;
    }
}

/// Words such as "about" and "scant" before a number or a unit.
fn about(c: &mut Cursor, head: &mut Head) {
    let mut ahead = 0;
    while c.word(ahead).is_some_and(|w| lexicon::is_about(&w)) || c.is_sign(ahead, '~') {
        ahead += 1;
        if c.is_sign(ahead, '.') {
            ahead += 1;
        }
    }
    // "Packed brown sugar" is a name, "a pinch" an amount; "a scant cup" is both.
    while ahead > 0 && c.is_word(ahead - 1, &["a"]) {
        ahead -= 1;
    }
    let unit_next = c.word(ahead).is_some_and(|w| UnitWord::of(&w).is_some_and(|u| u.measures()));
    if ahead > 0 && (starts_number(c, ahead) || unit_next) {
        // An article before it is the number: "a scant cup".
        let article = c.is_word(0, &["a"]);
        let words = c.between(c.at + usize::from(article), c.at + ahead).to_lowercase();
        head.about = true;
        if words.contains("scant") || words.contains("heap") || words.contains("generous") {
            head.notes.push(words);
        }
        c.at += ahead;
        if article || (unit_next && !starts_number(c, 0)) {
            // The modifiers follow with the unit.
            head.amount = Some(Exact::ONE);
        }
    }
}

fn starts_number(c: &Cursor, ahead: usize) -> bool {
    c.number(ahead).is_some() || c.word(ahead).is_some_and(|w| number::word(&w).is_some())
}

/// "a few", "some", "several": an amount that is none.
fn few(c: &mut Cursor) -> bool {
    let article = usize::from(c.is_word(0, &["a"]));
    if c.is_word(article, &["few", "little", "bit"]) || c.is_word(0, &["some", "several"]) {
        c.at += article + 1;
        of(c);
        return true;
    }
    false
}

fn of(c: &mut Cursor) {
    if c.is_word(0, &["of"]) {
        c.at += 1;
    }
}

/// One number: digits or words ("half a", "a dozen", "two and a half").
fn quantity(c: &mut Cursor) -> Option<Exact> {
    if let Some(n) = c.number(0) {
        if c.is_sign(1, '%') {
            return None;
        }
        c.at += 1;
        // A fraction that an encoding has eaten: "1? teaspoons".
        if c.is_sign(0, '?') && c.glued(0) {
            c.at += 1;
        }
        let n = and_part(c, n);
        return Some(times_dozen(c, n));
    }
    let word = c.word(0)?;
    let n = number::word(&word)?;
    if word == "a" || word == "an" {
        c.at += 1;
        if c.is_word(0, &["half", "quarter", "dozen", "couple", "pair"]) {
            let inner = number::word(&c.word(0)?)?;
            c.at += 1;
            of(c);
            return Some(inner);
        }
        return Some(n);
    }
    c.at += 1;
    if n < Exact::ONE {
        // "half an onion", "half a dozen", "half of a lemon".
        of(c);
        if c.is_word(0, &["a", "an", "one"]) {
            c.at += 1;
        }
        return Some(times_dozen(c, n));
    }
    if word == "couple" || word == "pair" || word == "dozen" {
        of(c);
        return Some(n);
    }
    let n = and_part(c, n);
    Some(times_dozen(c, n))
}

/// "One and a half", "2 and one-quarter"; "one half" is half of one.
fn and_part(c: &mut Cursor, n: Exact) -> Exact {
    let part =
        |ahead: usize| c.word(ahead).and_then(|w| number::word(&w)).filter(|n| *n < Exact::ONE);
    if n == Exact::ONE
        && c.is_word(0, &["half"])
        && c.token(1).is_some_and(|t| t.kind == Kind::Word)
    {
        c.at += 1;
        return Exact::fraction(1, 2).unwrap_or(n);
    }
    if !c.is_word(0, &["and"]) {
        return n;
    }
    let article = usize::from(c.is_word(1, &["a"]));
    let Some(part) = part(1 + article) else { return n };
    c.at += 2 + article;
    n + part
}

fn times_dozen(c: &mut Cursor, n: Exact) -> Exact {
    if c.is_word(0, &["dozen"]) {
        c.at += 1;
        of(c);
        return n * Exact::whole(12);
    }
    n
}

/// A number, or a range of two that rise.
fn range(c: &mut Cursor) -> Option<(Exact, Option<Exact>)> {
    let begin = c.at;
    let low = quantity(c)?;
    let after_low = c.at;
    let mut ahead = 0;
    let mut joined = false;
    while c.is_sign(ahead, '-') || c.is_word(ahead, &["to", "or"]) {
        joined = true;
        ahead += 1;
        if ahead > 3 {
            break;
        }
    }
    if joined && starts_number(c, ahead) {
        c.at += ahead;
        match quantity(c) {
            Some(high) if high > low => return Some((low, Some(high))),
            _ => c.at = after_low,
        }
    }
    if c.at == begin { None } else { Some((low, None)) }
}

/// "14-ounce can", "2-inch piece": a size, and no number of pieces before it.
fn sized_without_count(c: &mut Cursor, head: &mut Head) -> bool {
    let begin = c.at;
    if head.amount.is_some() {
        return true;
    }
    if compound(c, head) {
        head.amount = Some(Exact::ONE);
        return true;
    }
    c.at = begin;
    false
}

/// `14.5-ounce`, `1-inch`, `3-to-4-inch`, `2-inch-thick`: a size in one word.
fn compound(c: &mut Cursor, head: &mut Head) -> bool {
    let begin = c.at;
    let found = range(c).filter(|_| c.number(0).is_none() && c.is_sign(0, '-') && c.glued(0));
    let unit = found.and_then(|_| {
        let word = c.word(1).filter(|_| c.glued(1))?;
        let first = word.split('-').next().unwrap_or_default().to_owned();
        UnitWord::of(&first).filter(|u| u.measures() || u.kind == UnitKind::Length)
    });
    let (Some((amount, to)), Some(unit)) = (found, unit) else {
        c.at = begin;
        return false;
    };
    c.at += 2;
    if c.is_sign(0, '.') {
        c.at += 1;
    }
    if unit.kind == UnitKind::Length {
        head.sizes.push(c.between(begin, c.at).to_owned());
    } else {
        head.pack = head.pack.take().or(Some(Measure { amount, to, unit: Some(unit) }));
        dual_of_pack(c, head);
    }
    true
}

/// What stands between a number and its unit, and the unit.
fn modifiers(c: &mut Cursor, head: &mut Head) {
    for _ in 0..MODIFIERS_MOST {
        if head.unit.is_some() {
            return;
        }
        if !(times_pack(c, head)
            || bracket(c, head)
            || compound(c, head)
            || sized_pack(c, head)
            || length(c, head)
            || sizes(c, head)
            || unit(c, head))
        {
            return;
        }
    }
}

/// "2 x 400g tins".
fn times_pack(c: &mut Cursor, head: &mut Head) -> bool {
    if !c.is_word(0, &["x"]) || !starts_number(c, 1) {
        return false;
    }
    let begin = c.at;
    c.at += 1;
    take_pack(c, head, begin, |_| true)
}

/// Takes a measure with such a unit as the size of a pack, or goes back to where it began.
fn take_pack(
    c: &mut Cursor,
    head: &mut Head,
    begin: usize,
    such: impl Fn(&UnitWord) -> bool,
) -> bool {
    let Some(pack) = measure(c).filter(|m| m.unit.as_ref().is_some_and(such)) else {
        c.at = begin;
        return false;
    };
    head.pack = Some(pack);
    dual_of_pack(c, head);
    true
}

fn dual_of_pack(c: &mut Cursor, head: &mut Head) {
    while c.is_sign(0, '/') && starts_number(c, 1) {
        let begin = c.at;
        c.at += 1;
        match of_parts(c) {
            Some(equal) => head.equals.push(equal),
            None => {
                c.at = begin;
                return;
            }
        }
    }
}

/// "(14.5-oz) can", "(240 ml)": what one holds, or the same amount in another unit.
fn bracket(c: &mut Cursor, head: &mut Head) -> bool {
    if !c.is_sign(0, '(') {
        return false;
    }
    let Some(end) = c.closing(0) else { return false };
    let mut inner = Cursor::new(c.between(c.at + 1, end));
    let mut found = Head::default();
    about(&mut inner, &mut found);
    let compound = compound(&mut inner, &mut found);
    let read = if compound { found.pack.take() } else { of_parts(&mut inner) };
    let each = inner.is_word(0, &["each"]);
    let whole = inner.done() || each || inner.is_sign(0, '/') || inner.is_word(0, &["total"]);
    let length_only = compound && !found.sizes.is_empty();
    if !whole || (read.as_ref().is_none_or(|m| m.unit.is_none()) && !length_only) {
        return false;
    }
    let counts_next = |at: usize| {
        let mut ahead = at;
        while c.tokens.get(ahead).is_some_and(|_| {
            word_at(c, ahead).is_some_and(|w| lexicon::is_size(&w) || lexicon::is_unit_size(&w))
        }) {
            ahead += 1;
        }
        word_at(c, ahead).and_then(|w| UnitWord::of(&w))
    };
    let next = counts_next(end + 1);
    let packed = each || compound || next.is_some_and(|u| u.kind == UnitKind::Pack);
    head.sizes.extend(found.sizes);
    if let Some(read) = read {
        match head.unit.is_none() && packed && head.pack.is_none() {
            true => head.pack = Some(read),
            false => head.equals.push(read),
        }
    }
    c.at = end + 1;
    true
}

fn word_at(c: &Cursor, index: usize) -> Option<String> {
    index.checked_sub(c.at).and_then(|ahead| c.word(ahead))
}

/// "1 14.5 ounce can": a second number with its unit, before what it is packed in.
fn sized_pack(c: &mut Cursor, head: &mut Head) -> bool {
    let begin = c.at;
    c.number(0).is_some() && head.pack.is_none() && take_pack(c, head, begin, UnitWord::measures)
}

/// "1 inch piece of ginger": the number measures the piece.
fn length(c: &mut Cursor, head: &mut Head) -> bool {
    let word = c.word(0).and_then(|w| UnitWord::of(&w));
    let piece = c.word(1).and_then(|w| UnitWord::of(&w));
    let (Some(word), Some(piece)) = (word, piece) else { return false };
    if word.kind != UnitKind::Length || piece.kind != UnitKind::Part || word.word == "in" {
        return false;
    }
    let number = head.amount.map(|n| n.to_string()).unwrap_or_default();
    head.sizes.push(format!("{number} {}", word.word));
    head.amount = Some(Exact::ONE);
    head.to = None;
    c.at += 1;
    true
}

/// "large", "thin or medium": sizes; those that only a unit has, before a unit.
fn sizes(c: &mut Cursor, head: &mut Head) -> bool {
    let mut ahead = 0;
    let mut own = 0;
    while ahead < SIZES_MOST {
        let Some(word) = c.word(ahead) else { break };
        let joins = matches!(word.as_str(), "or" | "to" | "and") && ahead > 0;
        let size = lexicon::is_size(&word);
        if !(size || lexicon::is_unit_size(&word) || lexicon::is_about(&word) || joins) {
            break;
        }
        ahead += 1;
        if (size || joins) && own + 1 == ahead {
            own = ahead;
        }
        if c.is_sign(ahead, ',') && c.word(ahead + 1).is_some_and(|w| lexicon::is_unit_size(&w)) {
            ahead += 1;
        }
    }
    let before_unit = ahead > 0 && c.word(ahead).is_some_and(|w| UnitWord::of(&w).is_some());
    let mut taken = if before_unit { ahead } else { own };
    while taken > 0 && c.is_word(taken - 1, &["or", "to", "and"]) {
        taken -= 1;
    }
    if taken == 0 {
        return false;
    }
    let words = c.between(c.at, c.at + taken).to_lowercase();
    let fullness = words.split_whitespace().all(lexicon::is_about);
    if fullness {
        head.notes.push(words)
    } else {
        head.sizes.push(words)
    }
    c.at += taken;
    true
}

/// A unit and its full stop.
fn unit(c: &mut Cursor, head: &mut Head) -> bool {
    let Some((unit, length)) = unit_at(c) else { return false };
    c.at += length;
    head.unit = Some(unit);
    true
}

/// The unit at the cursor, and its tokens.
fn unit_at(c: &Cursor) -> Option<(UnitWord, usize)> {
    let first = c.as_written(0)?;
    let stop = |ahead: usize| usize::from(c.is_sign(ahead, '.') && c.glued(ahead));
    let dot = stop(1);
    if let Some(second) = c.word(1 + dot) {
        let two = format!("{} {second}", first.to_lowercase());
        if let Some(unit) = UnitWord::of(&two) {
            return Some((unit, 2 + dot + stop(2 + dot)));
        }
    }
    let unit = UnitWord::of(first)?;
    let preposition = unit.word == "in" && dot == 0;
    (!preposition).then_some((unit, 1 + dot))
}

/// A number with its unit, if it has one.
fn measure(c: &mut Cursor) -> Option<Measure> {
    let begin = c.at;
    let Some((amount, to)) = range(c) else {
        c.at = begin;
        return None;
    };
    if c.is_sign(0, '-') && c.glued(0) && unit_after_hyphen(c) {
        c.at += 1;
    }
    let mut ahead = Head::default();
    sizes(c, &mut ahead);
    if unit(c, &mut ahead) {
        return Some(Measure { amount, to, unit: ahead.unit });
    }
    Some(Measure { amount, to, unit: None })
}

/// A measure with its unit, in two parts as well: "2 lb 4 oz".
fn of_parts(c: &mut Cursor) -> Option<Measure> {
    let mut whole = measure(c).filter(|m| m.unit.is_some())?;
    let begin = c.at;
    let part = c.number(0).and_then(|_| measure(c)).filter(|m| m.to.is_none());
    let more = part.and_then(|part| {
        let times = whole.unit.as_ref()?.times(part.unit.as_ref()?)?;
        (times < Exact::ONE && whole.to.is_none()).then(|| times * part.amount)
    });
    match more {
        Some(more) => whole.amount = whole.amount + more,
        None => c.at = begin,
    }
    Some(whole)
}

fn unit_after_hyphen(c: &Cursor) -> bool {
    c.word(1).is_some_and(|w| UnitWord::of(&w).is_some())
}

/// "/14oz", "(1 1/2 sticks)": the same in other units.
fn dual(c: &mut Cursor, head: &mut Head) {
    for _ in 0..MODIFIERS_MOST {
        let begin = c.at;
        if c.is_sign(0, '/') && starts_number(c, 1) {
            c.at += 1;
            match of_parts(c) {
                Some(equal) => head.equals.push(equal),
                None => c.at = begin,
            }
        } else if head.unit.is_some() {
            bracket(c, head);
        }
        if c.at == begin {
            return;
        }
    }
}

/// What is added: "2 lb 4 oz", "½ cup plus 2 tablespoons", "1/2 cup to 3/4 cup".
fn more(c: &mut Cursor, head: &mut Head) {
    for _ in 0..MODIFIERS_MOST {
        let (Some(amount), Some(unit)) = (head.amount, head.unit.clone()) else { return };
        let begin = c.at;
        if c.is_word(0, &["minus", "less"]) && c.number(1).is_some() {
            // What is left out is a spoon of it: it is bought with the rest.
            c.at += 1;
            match measure(c).filter(|m| m.unit.is_some()) {
                Some(_) => head.notes.push(c.between(begin, c.at).to_owned()),
                None => c.at = begin,
            }
        } else if c.is_word(0, &["to", "or"]) || c.is_sign(0, '-') && head.to.is_none() {
            c.at += 1;
            let high = measure(c).filter(|m| m.unit.is_some());
            let same = high.and_then(|m| Some(unit.times(m.unit.as_ref()?)? * m.amount));
            match same {
                Some(high) if high > amount && head.to.is_none() => head.to = Some(high),
                _ => c.at = begin,
            }
        } else {
            let whole = and_part(c, Exact::ZERO);
            if whole.is_positive() && head.to.is_none() {
                // "A cup and a half".
                head.amount = Some(amount + whole);
                continue;
            }
            let plus = c.is_word(0, &["plus"]) || c.is_sign(0, '+') || c.is_sign(0, '&');
            let joined = plus || c.is_word(0, &["and"]);
            if !plus && c.number(usize::from(joined)).is_none() {
                return;
            }
            c.at += usize::from(joined);
            add(c, head, amount, &unit, plus, begin);
        }
        if c.at == begin {
            return;
        }
        dual(c, head);
    }
}

/// Adds one more measure: to the amount where that is exact, beside it otherwise.
fn add(c: &mut Cursor, head: &mut Head, amount: Exact, unit: &UnitWord, plus: bool, begin: usize) {
    let mut words = Head::default();
    about(c, &mut words);
    let Some(part) = measure(c).filter(|m| m.unit.is_some()) else {
        c.at = begin;
        return;
    };
    let times = part.unit.as_ref().and_then(|u| unit.times(u));
    let smaller = times.is_some_and(|t| t < Exact::ONE);
    if !plus && !smaller {
        c.at = begin;
        return;
    }
    if head.parts.is_empty() {
        head.parts.push(Measure { amount, to: head.to, unit: Some(unit.clone()) });
    }
    if let (Some(times), None) = (times, head.to) {
        head.amount = Some(amount + times * part.amount);
    }
    head.parts.push(part);
}

/// "Pinch of salt", "large loaf of bread": a unit without a number.
fn bare_unit(c: &mut Cursor, head: &mut Head) {
    let begin = c.at;
    sizes(c, head);
    let Some((unit, length)) = unit_at(c) else {
        c.at = begin;
        head.sizes.clear();
        head.notes.clear();
        return;
    };
    let of = c.is_word(length, &["of"]);
    let follows = c.token(length).is_some_and(|t| t.kind == Kind::Word);
    let meant = match unit.kind {
        UnitKind::Vague => follows,
        UnitKind::Measure | UnitKind::Part | UnitKind::Pack => {
            of || unit.word == "bunch" && follows
        }
        UnitKind::Length => false,
    };
    if !meant {
        c.at = begin;
        head.sizes.clear();
        head.notes.clear();
        return;
    }
    c.at += length + usize::from(of);
    head.amount = Some(Exact::ONE);
    head.unit = Some(unit);
}

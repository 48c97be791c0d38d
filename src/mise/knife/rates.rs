//! How long knife work takes. All of it is common practice, no source: a steady
//! home cook with a sharp knife, peeling and trimming included.

use crate::kitchen::items::cut_form;
use crate::kitchen::units::{Exact, Unit};
use crate::mise::amounts::Portion;

/// Seconds to set out board, knife and bowl for a job and to clear away after it.
pub(super) const SETTING: u32 = 90;
/// Minutes of washing board, knife and hands between jobs. Common practice, no source.
pub(super) const WASHING: u32 = 3;
/// Seconds to peel, core or trim one piece of what has waste.
const TRIMMING: u32 = 12;
/// Grams below which a piece is only wiped or nicked: mushrooms, sprouts, cherries.
const SMALL_G: i64 = 50;
/// Seconds for one of those.
const NICKING: u32 = 2;

/// Seconds of one way of cutting.
struct Rate {
    /// The way, as [`cut_form`] has it.
    form: &'static str,
    /// What the cook is told to do.
    verb: &'static str,
    /// For each 100 g.
    weight: u32,
    /// For each piece or clove, beside its weight.
    piece: u32,
    /// For a bunch, whatever it weighs.
    bunch: u32,
}

const fn rate(form: &'static str, verb: &'static str, seconds: (u32, u32, u32)) -> Rate {
    Rate { form, verb, weight: seconds.0, piece: seconds.1, bunch: seconds.2 }
}

const RATES: [Rate; 31] = [
    rate("chopped", "chop", (35, 3, 75)),
    rate("diced", "dice", (30, 3, 75)),
    rate("sliced", "slice", (20, 3, 60)),
    rate("cubed", "cube", (18, 3, 60)),
    rate("cut in chunks", "cut in chunks", (12, 3, 60)),
    rate("cut in wedges", "cut in wedges", (14, 3, 60)),
    rate("cut in batons", "cut in batons", (30, 3, 60)),
    rate("cut in matchsticks", "cut in matchsticks", (45, 3, 60)),
    rate("julienned", "cut in matchsticks", (45, 3, 60)),
    rate("grated", "grate", (40, 3, 60)),
    rate("shredded", "shred", (15, 3, 60)),
    rate("crumbled", "crumble", (12, 0, 60)),
    rate("halved", "halve", (5, 3, 30)),
    rate("quartered", "quarter", (6, 4, 30)),
    rate("peeled", "peel", (10, 3, 30)),
    rate("trimmed", "trim", (15, 3, 40)),
    rate("picked", "pick", (120, 0, 120)),
    rate("torn", "tear", (20, 0, 50)),
    rate("zested", "zest", (0, 40, 0)),
    rate("juiced", "juice", (0, 20, 0)),
    rate("segmented", "segment", (0, 60, 0)),
    rate("separated", "separate", (0, 10, 0)),
    rate("split", "split", (0, 20, 0)),
    rate("stoned", "stone", (30, 0, 0)),
    rate("pitted", "pit", (30, 0, 0)),
    rate("seeded", "seed", (20, 5, 0)),
    rate("cored", "core", (5, 8, 0)),
    rate("crushed", "crush", (10, 4, 30)),
    rate("pounded", "pound", (20, 5, 30)),
    rate("snipped", "snip", (30, 0, 60)),
    rate("mashed", "mash", (10, 3, 0)),
];

/// Ways of cutting without a rate of their own count as chopping.
fn of(cut: &str) -> (&'static Rate, bool) {
    let form = cut_form(cut);
    let known = RATES.iter().find(|r| r.form == form);
    (known.unwrap_or(&RATES[0]), known.is_some())
}

/// What the cook is told to do: "diced" → "dice"; words without a rate stay as they are.
pub(super) fn verb(cut: &str) -> String {
    match of(cut) {
        (rate, true) => rate.verb.to_owned(),
        _ => format!("make {}", cut_form(cut)),
    }
}

/// Seconds at the board for a portion, and what cannot be answered for.
pub(super) fn seconds(portion: &Portion<'_>, cut: &str) -> (Exact, Option<String>) {
    let whole = |n: u32| Exact::whole(n.into());
    let name = &portion.ingredient.item;
    let (rate, known) = of(cut);
    let note = (!known).then(|| format!("{name}, {cut}: no rate for that, reckoned as chopping"));
    let Some(amount) = portion.most() else {
        // To taste: a handful.
        return (whole(30), note);
    };
    if matches!(portion.unit, Unit::Bunch | Unit::Handful) && rate.bunch > 0 {
        return (amount * whole(rate.bunch), note);
    }
    let item = portion.item();
    let weighed = portion.measured().and_then(|m| item?.grams(&m).ok());
    let one = item.and_then(|i| i.weight(Unit::Piece, portion.ingredient.size.as_deref()));
    let grams = weighed.map(|w| w.g);
    let pieces = match portion.unit {
        Unit::Piece | Unit::Clove | Unit::Head | Unit::Stalk => Some(amount),
        _ => grams.zip(one).and_then(|(g, one)| g.over(one.g)),
    };
    let bare = matches!(rate.form, "zested" | "juiced" | "peeled" | "trimmed" | "separated");
    let waste = item.is_some_and(|i| i.edible.is_some()) && !bare;
    let small = one.is_some_and(|one| one.g < Exact::whole(SMALL_G)) && portion.unit != Unit::Clove;
    let trim = match (waste, small) {
        (false, _) => 0,
        (true, true) => NICKING,
        (true, false) => TRIMMING,
    };
    match (pieces, grams) {
        (None, None) => {
            let note = note.or_else(|| {
                Some(format!("{name}: no row says what it weighs, its minutes are a guess"))
            });
            (whole(60), note)
        }
        (pieces, grams) => {
            let by_piece = pieces.unwrap_or(Exact::ZERO) * whole(rate.piece + trim);
            let by_weight = grams.unwrap_or(Exact::ZERO) * whole(rate.weight);
            // What has a rate by the piece only, and comes without pieces.
            let alone = pieces.is_none() && rate.weight == 0;
            let flat = if alone { whole(60) } else { Exact::ZERO };
            (by_piece + by_weight.over(whole(100)).unwrap_or(Exact::ZERO) + flat, note)
        }
    }
}

/// The sentence that says what minutes were reckoned from.
pub(super) fn said(cut: &str) -> String {
    let (rate, _) = of(cut);
    let mut parts = Vec::new();
    if rate.weight > 0 {
        parts.push(format!("{} s for 100 g", rate.weight));
    }
    if rate.piece > 0 {
        parts.push(format!("{} s a piece", rate.piece));
    }
    if rate.bunch > 0 {
        parts.push(format!("{} s a bunch", rate.bunch));
    }
    format!(
        "{}, {TRIMMING} s to trim a piece that has waste ({NICKING} s a small one), {SETTING} s to set out and clear away; \
         common practice, no source",
        parts.join(", ")
    )
}

/// Whole minutes of so many seconds of work with setting out and clearing away.
pub(super) fn minutes(work: Exact) -> u32 {
    let all = work + Exact::whole(SETTING.into());
    let minutes = all.over(Exact::whole(60)).map_or(Exact::ONE, Exact::ceil);
    u32::try_from(minutes.to_i64()).unwrap_or(u32::MAX).max(1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_way_of_cutting_has_one_rate() {
        for (at, rate) in RATES.iter().enumerate() {
            assert_eq!(cut_form(rate.form), rate.form);
            assert!(RATES[at + 1..].iter().all(|r| r.form != rate.form), "{}", rate.form);
            assert!(rate.weight + rate.piece + rate.bunch > 0);
        }
    }

    /// Worked by hand from the table of rates and the weights of USDA SR28: an onion 110 g (11282), a mushroom 18 g
    /// (11260), a clove of garlic 3 g (11215), a carrot 61 g (11124), a lemon 58 g (09150), a cup of chopped onion
    /// 160 g. What has waste is trimmed, 12 s a piece or 2 s a small one.
    #[test]
    fn seconds_are_those_of_the_weight_and_of_each_piece() {
        let rows = [
            // 3 x (3 + 12) and 330 g at 30 s for 100 g.
            (r#"{"item": "onion", "amount": 3, "cut": "diced"}"#, "144"),
            // The upper end of a range.
            (r#"{"item": "onion", "amount": 2, "amount_to": 3, "cut": "diced"}"#, "144"),
            // 330 g are three of them.
            (r#"{"item": "onion", "amount": 330, "unit": "g", "cut": "diced"}"#, "144"),
            // 2 x (3 + 12) and 300 g: large ones.
            (r#"{"item": "onion", "amount": 2, "size": "large", "cut": "diced"}"#, "120"),
            // 10 x (3 + 2) and 180 g at 20 s: small ones are only wiped.
            (r#"{"item": "mushroom", "amount": 10, "cut": "sliced"}"#, "86"),
            // 4 x (3 + 12) and 12 g at 35 s: a clove is peeled.
            (r#"{"item": "garlic", "amount": 4, "unit": "clove", "cut": "chopped"}"#, "64 1/5"),
            // Two bunches at 75 s, and a handful as one.
            (r#"{"item": "parsley", "amount": 2, "unit": "bunch", "cut": "chopped"}"#, "150"),
            (r#"{"item": "parsley", "amount": 1, "unit": "handful", "cut": "chopped"}"#, "75"),
            // Peeling and trimming is the work itself: 2 x 3 and 122 g at 10 s, or at 15 s.
            (r#"{"item": "carrot", "amount": 2, "cut": "peeled"}"#, "18 1/5"),
            (r#"{"item": "carrot", "amount": 2, "cut": "trimmed"}"#, "24 3/10"),
            (r#"{"item": "lemon", "amount": 2, "cut": "zested"}"#, "80"),
            (r#"{"item": "lemon", "amount": 2, "cut": "juiced"}"#, "40"),
            // No waste: 100 g at 35 s, and no piece known.
            (r#"{"item": "walnuts", "amount": 100, "unit": "g", "cut": "chopped"}"#, "35"),
            // A rate by the piece alone, and nobody knows how many: a minute.
            (r#"{"item": "walnuts", "amount": 100, "unit": "g", "cut": "zested"}"#, "60"),
            // To taste: half a minute. Of unknown weight: a minute.
            (r#"{"item": "onion", "cut": "diced"}"#, "30"),
            (r#"{"item": "moon dust", "amount": 5, "unit": "g", "cut": "diced"}"#, "60"),
            // No cherry is stoned by the bunch, and nobody knows what a handful of them weighs: a minute.
            (r#"{"item": "cherry", "amount": 2, "unit": "handful", "cut": "stoned"}"#, "60"),
            // 4 x (3 + 12) and 200 g at 5 s: from 50 g on a piece is trimmed.
            (r#"{"item": "small potato", "amount": 4, "cut": "halved"}"#, "70"),
            // Three pieces of what nobody knows: 3 s each.
            (r#"{"item": "moon dust", "amount": 3, "cut": "diced"}"#, "9"),
        ];
        for (text, seconds) in rows {
            let mut evening = crate::plan::sample::evening();
            let sheet = &mut evening.sheets[0];
            sheet.recipe.ingredients = vec![serde_json::from_str(text).unwrap()];
            sheet.servings = sheet.recipe.servings;
            let portion = crate::mise::amounts::of_sheet(0, sheet).next().unwrap();
            let cut = portion.ingredient.cut.as_deref().unwrap();
            assert_eq!(
                super::seconds(&portion, cut).0,
                seconds.parse::<Exact>().unwrap(),
                "{text}"
            );
        }
    }

    #[test]
    fn what_was_reckoned_from_is_said_without_what_is_nothing() {
        let begins = |cut: &str| said(cut).split(", 12 s to trim").next().map(str::to_owned);
        let begin = |text: &str| Some(text.to_owned());
        assert_eq!(begins("diced"), begin("30 s for 100 g, 3 s a piece, 75 s a bunch"));
        assert_eq!(begins("zested"), begin("40 s a piece"));
        assert_eq!(begins("stoned"), begin("30 s for 100 g"));
        assert_eq!(begins("torn"), begin("20 s for 100 g, 50 s a bunch"));
    }

    #[test]
    fn words_become_orders() {
        assert_eq!(verb("finely chopped"), "chop");
        assert_eq!(verb("cut into wedges"), "cut in wedges");
        assert_eq!(verb("turned"), "make turned");
    }

    #[test]
    fn minutes_are_whole_and_pooling_never_costs_more() {
        let secs = |n: i64| Exact::whole(n);
        assert_eq!(minutes(secs(0)), 2);
        assert_eq!(minutes(secs(30)), 2);
        assert_eq!(minutes(secs(31)), 3);
        for (a, b) in [(10, 20), (100, 7), (59, 61), (0, 1)] {
            assert!(minutes(secs(a + b)) <= minutes(secs(a)) + minutes(secs(b)));
        }
    }
}

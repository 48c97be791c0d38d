//! Scaled dishes in words.

use super::{Scaled, ScaledAmount, ScaledStep, Scaling, Vessel};
use crate::kitchen::units::{Exact, Unit, say};
use crate::mise::wording::{bare, measured, mixed, named, pieces, some};
use crate::paper::wrapped;

const WIDTH: usize = 78;

/// How the amounts are rounded, for the end of a list.
pub const ROUNDED: &str = "Multiplied by the exact factor and rounded once: spoons and ounces to \
    quarters, cups to eighths, grams and millilitres to 1, 5 or 10, eggs and cloves to whole ones, \
    cans and packets up to whole ones, other pieces to halves.";

/// Plain text of 78 columns: dish by dish.
#[must_use]
pub fn text(scaling: &Scaling) -> String {
    let mut out = format!("{}, {}: scaled\n\n", scaling.title, scaling.day);
    out.push_str(&wrapped("", &summary(scaling), WIDTH));
    for dish in &scaling.dishes {
        out.push('\n');
        out.push_str(&wrapped(&format!("{} ", dish.letter), &head(dish), WIDTH));
        if scaling.guests > 0 {
            out.push_str(&wrapped("  ", &would_do(dish), WIDTH));
        }
        let wide = |words: fn(&ScaledAmount) -> String| {
            dish.amounts.iter().map(|a| words(a).chars().count()).max().unwrap_or(0)
        };
        let (take, item) = (wide(ScaledAmount::take), wide(ScaledAmount::thing).min(40));
        for amount in &dish.amounts {
            let row = format!(
                "    {:>take$}  {:<item$}  {}",
                amount.take(),
                amount.thing(),
                amount.exactly()
            );
            out.push_str(&format!("{}\n", row.trim_end()));
        }
        for (word, said) in [("Steps", steps(dish)), ("Pans", vessels(dish))] {
            if !said.is_empty() {
                out.push_str(&wrapped(&format!("  {word:<5}  "), &said.join("; "), WIDTH));
            }
        }
        for sentence in &dish.beware {
            out.push_str(&wrapped("  ! ", sentence, WIDTH));
        }
    }
    out.push('\n');
    out.push_str(&wrapped("", ROUNDED, WIDTH));
    out
}

/// "16 guests, usual appetite: 3 of 5 dishes are made for another number than they ask for."
#[must_use]
pub fn summary(scaling: &Scaling) -> String {
    let guests = match scaling.guests {
        0 => return "No guests are named, so nothing is asked for.".to_owned(),
        1 => "1 guest".to_owned(),
        n => format!("{n} guests"),
    };
    let off = scaling.dishes.iter().filter(|d| d.made != d.suggested).count();
    let said = match off {
        0 => "every dish is made for as many as they ask for".to_owned(),
        n => {
            let all = scaling.dishes.len();
            format!("{n} of {all} dishes are made for another number than they ask for")
        }
    };
    format!("{guests}, {} appetite: {said}.", scaling.appetite.word())
}

/// "Squash soup: 16 servings of a recipe for 8, factor 2".
#[must_use]
pub fn head(dish: &Scaled) -> String {
    format!(
        "{}: {} of a recipe for {}, factor {}",
        dish.title,
        some(dish.made, "serving"),
        dish.written,
        dish.factor_words()
    )
}

/// "12 would do: 16 guests, one of 2 mains: 3/4 of a serving each."
#[must_use]
pub fn would_do(dish: &Scaled) -> String {
    let asked = some(dish.suggested, "serving");
    let said = if dish.made == dish.suggested { "as asked for" } else { "would do" };
    format!("{asked} {said} by common practice ({}).", dish.suggested_for)
}

/// "roast 2 loads of up to 8, 35 min each (written: 1 load, 35 min)".
#[must_use]
pub fn steps(dish: &Scaled) -> Vec<String> {
    dish.steps.iter().map(ScaledStep::words).collect()
}

/// "2 baking trays (Roasting tin)".
#[must_use]
pub fn vessels(dish: &Scaled) -> Vec<String> {
    dish.vessels.iter().map(Vessel::words).collect()
}

impl Scaled {
    /// The working factor to two places, as it is written on a card; amounts go by the exact one.
    #[must_use]
    pub fn factor_words(&self) -> String {
        let hundredth = Exact::fraction(1, 100).unwrap_or(Exact::ONE);
        self.factor.to_nearest(hundredth).to_string()
    }
}

impl ScaledAmount {
    /// What is taken: "5", "1 1/4 tsp", "12 lb 2 3/4 oz", "2 to 3", "to taste".
    #[must_use]
    pub fn take(&self) -> String {
        let Some(rounded) = self.rounded else { return "to taste".to_owned() };
        match self.rounded_to.filter(|to| *to != rounded) {
            Some(to) => format!("{} to {}", bare(rounded, self.unit), measured(to, self.unit)),
            None => pieces(rounded, self.unit, &self.item)
                .unwrap_or_else(|| measured(rounded, self.unit)),
        }
    }

    /// The item, in the plural where pieces are taken: "eggs".
    #[must_use]
    pub fn thing(&self) -> String {
        let most = self.rounded_to.or(self.rounded);
        most.map_or_else(|| self.item.clone(), |most| named(most, self.unit, &self.item))
    }

    /// What the factor gives, where rounding shows: "(by factor 4 1/2, +11 %)".
    #[must_use]
    pub fn exactly(&self) -> String {
        let exact = self.exact_to.or(self.exact);
        let rounded = self.rounded_to.or(self.rounded);
        let (Some(exact), Some(rounded)) = (exact, rounded) else { return String::new() };
        if exact == rounded || !(self.counted || self.off_percent != 0) {
            return String::new();
        }
        let off = match self.off_percent {
            0 => String::new(),
            n if n > 0 => format!(", +{n} %"),
            n => format!(", -{} %", -n),
        };
        format!("(by factor {}{off})", decimal(exact, self.unit))
    }
}

impl ScaledStep {
    /// "roast 35 min", "fry 3 loads of 5 servings, 12 min each (recipe: 2 loads)".
    #[must_use]
    pub fn words(&self) -> String {
        let now = match (self.loads, self.load_servings) {
            (loads, Some(each)) if loads > 1 => {
                format!("{loads} loads of {each} servings, {} min each", self.minutes)
            }
            _ => format!("{} min", self.minutes),
        };
        let mut written = Vec::new();
        if self.written_loads != self.loads {
            let word = if self.written_loads == 1 { "load" } else { "loads" };
            written.push(format!("{} {word}", self.written_loads));
        }
        if self.written_minutes != self.minutes {
            written.push(format!("{} min", self.written_minutes));
        }
        let written = match written.is_empty() {
            true => String::new(),
            false => format!(" (recipe: {})", written.join(", ")),
        };
        format!("{} {now}{written}", self.label)
    }
}

impl Vessel {
    /// "2 x tray: Baking tray", "pot of at least 3.2 l: none is large enough, 2 of the largest".
    #[must_use]
    pub fn words(&self) -> String {
        let count = if self.count == 1 { String::new() } else { format!("{} x ", self.count) };
        let kind = self.kind.replace('_', " ");
        let least = self.least_ml.map_or_else(String::new, |ml| {
            format!(" of at least {}", say(Exact::whole(ml.into()), Unit::Ml))
        });
        let takes = match (&self.takes, self.of_largest) {
            (Some(title), _) if title.to_lowercase() == kind.to_lowercase() => String::new(),
            (Some(title), _) => format!(": {title}"),
            (None, Some(n)) => format!(": none will do, {n} of the largest would hold it"),
            (None, None) => ": the kitchen has none that will do".to_owned(),
        };
        format!("{count}{kind}{least}{takes}")
    }
}

/// What the factor gives, unrounded as far as it is said: two places, or three figures of a weight.
fn decimal(amount: Exact, unit: Unit) -> String {
    match unit {
        Unit::Lb => format!("{} {}", mixed(amount), unit.sign()),
        _ => measured(amount, unit),
    }
}

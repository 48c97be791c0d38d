//! What guests eat and what speaks against a dish, in words.

use super::{Count, Finding, heat, heat_word};
use crate::kitchen::items::Answer;
use crate::kitchen::{Guest, Half, Sheet};

/// "vegan; no sesame".
#[must_use]
pub fn wishes(guest: &Guest) -> String {
    let diets = guest.diets.iter().cloned();
    let avoids = guest.avoids.iter().map(|a| format!("no {a}"));
    let heat = guest.heat.map(|most| match most {
        0 => "no chilli".to_owned(),
        most => format!("at most {}", heat_word(most)),
    });
    let all: Vec<String> = diets.chain(avoids).chain(heat).collect();
    if eats_all(guest) { EVERYTHING.to_owned() } else { all.join(", ") }
}

const EVERYTHING: &str = "everything";

/// Nothing is said of what they do not eat.
const fn eats_all(guest: &Guest) -> bool {
    guest.diets.is_empty() && guest.avoids.is_empty() && guest.heat.is_none()
}

impl Count {
    /// "2", or "1 + 2?" where labels decide about two more.
    #[must_use]
    pub fn words(self) -> String {
        match self.label {
            0 => self.open.to_string(),
            label => format!("{} + {label}?", self.open),
        }
    }
}

/// "contains butter, milk", "read the label: vegetable stock"; "they eat everything" of guests who do.
#[must_use]
pub fn against(guest: &Guest, sheet: &Sheet, found: &Finding) -> String {
    if eats_all(guest) {
        return format!("they eat {EVERYTHING}");
    }
    let mut names: Vec<&str> = Vec::new();
    let worst = found.reasons.iter().filter(|r| r.answer == found.answer);
    for reason in worst {
        let item = sheet.recipe.ingredients.get(reason.ingredient).map_or("", |i| i.item.as_str());
        if !names.contains(&item) {
            names.push(item);
        }
    }
    if found.too_hot {
        return format!("{}: more than they like", heat_word(heat(&sheet.recipe)));
    }
    let half = found.half.map_or_else(String::new, |half| format!("{}: ", half_word(half)));
    let words = match found.answer {
        Answer::NothingKnown => found.answer.words().to_owned(),
        Answer::MayContain => format!("read the label: {}", names.join(", ")),
        Answer::Contains => format!("contains {}", names.join(", ")),
    };
    format!("{half}{words}")
}

/// Which half of a dish is meant.
#[must_use]
pub const fn half_word(half: Half) -> &'static str {
    match half {
        Half::One => "the half as ever",
        Half::Other => "the other half",
    }
}

//! Sentences that are no work: what the inside must reach, how the food is kept
//! until it is served, when the oven is turned on.

use super::clock::{self, TimeOf};
use super::heat::{self, Heat, Of};
use super::verbs::{Doing, Met};
use super::{Kept, Wait, act, verbs, work};

/// What a sentence says of the food rather than of the work.
pub(super) struct About {
    /// What the inside must reach, in °C.
    pub inside_c: Option<i32>,
    /// It says nothing else: it is no step.
    pub only: bool,
}

/// Reads what a sentence says of the food.
pub(super) fn food(sentence: &str, lower: &str) -> About {
    let heats = heat::heats(sentence);
    let times = clock::times(sentence, &verbs::verbs(sentence));
    let scheduled = times.iter().any(|t| matches!(t.of, TimeOf::Cook | TimeOf::Rest));
    let inside_c = heats.iter().find(|h| h.of == Of::Inside).map(|h| h.c);
    let kept = heats.iter().any(|h| matches!(h.of, Of::KeptHot | Of::KeptCold));
    // "DO NOT OVERCOOK."
    let shouted =
        sentence.chars().any(char::is_alphabetic) && !sentence.chars().any(char::is_lowercase);
    let stays = kept && (lower.contains("hold ") || lower.contains("keep "));
    let told = inside_c.is_some() && work::named_station(lower).is_none();
    About { inside_c, only: !scheduled && (stays || told || shouted) }
}

/// How a sentence says that the finished dish waits.
pub(super) fn wait(sentence: &str, lower: &str) -> Option<Wait> {
    let has = |words: &[&str]| words.iter().any(|w| lower.contains(w));
    let service = has(&["serv", "ready to eat"]);
    let heats: Vec<Heat> = heat::heats(sentence);
    let of = |of: Of| heats.iter().any(|h| h.of == of);
    let cold = [
        "refrigerate until",
        "chill until",
        "keep refrigerated",
        "serve cold",
        "serve chilled",
        "serve well chilled",
        "keep chilled",
        "keep in the fridge",
    ];
    let kept = if of(Of::KeptHot) && service || has(&["keep warm until", "keep hot until"]) {
        Kept::Hot
    } else if service && (of(Of::KeptCold) || has(&cold)) {
        Kept::Cold
    } else if has(&["serve immediately", "serve at once", "serve straight away", "eat at once"]) {
        Kept::AtOnce
    } else if has(&["serve at room temperature", "serve just warm", "serve lukewarm"]) {
        Kept::Room
    } else if has(&["serve hot", "serve warm", "keep warm"]) {
        Kept::Hot
    } else {
        return None;
    };
    Some(Wait { kept, words: sentence.to_owned() })
}

/// Does a clause turn an oven on, and no more? "Bake in a preheated oven for 40 minutes" bakes.
pub(super) fn only_preheats(clause: &str) -> bool {
    let lower = clause.to_lowercase();
    let met = verbs::verbs(clause);
    if is_hot_already(&lower) {
        return !uses_heat(&met) && clock::times(clause, &met).is_empty();
    }
    let cooks = met.iter().any(|m| matches!(m.verb.doing, Doing::Heat(_)) && m.verb.word != "heat");
    preheats(&lower) && !cooks && !goes_on(clause, &met)
}

/// "Turn the oven down to 160 °C for an hour", "… until golden": what is in it cooks on.
fn goes_on(clause: &str, met: &[Met]) -> bool {
    let lower = clause.to_lowercase();
    let set = heat::heats(clause).iter().any(|h| h.of == Of::Setting);
    let ends = act::until(&lower) || clock::times(clause, met).iter().any(|t| t.of.takes_time());
    ends && work::turns_heat(&lower, set)
}

/// "In the preheated oven": what is said of it is what is done in it.
fn is_hot_already(lower: &str) -> bool {
    lower.contains("preheated") || lower.contains("pre-heated")
}

/// Is something cooked, or put where it is?
fn uses_heat(met: &[Met]) -> bool {
    met.iter().any(|m| matches!(m.verb.doing, Doing::Heat(_)) || act::PUTS.contains(&m.verb.word))
}

/// Does a clause cook something, by its time or its verb?
pub(super) fn cooks(clause: &str) -> bool {
    let met = verbs::verbs(clause);
    let timed = clock::times(clause, &met).iter().any(|t| t.of.takes_time());
    let heats = met.iter().any(|m| matches!(m.verb.doing, Doing::Heat(_)));
    let put = is_hot_already(&clause.to_lowercase()) && uses_heat(&met);
    !only_preheats(clause) && (timed || heats || put || goes_on(clause, &met))
}

/// Does a sentence turn an oven on?
pub(super) fn preheats(lower: &str) -> bool {
    let begins = ["heat the oven", "heat oven", "set the oven", "turn the oven"];
    lower.contains("preheat")
        || lower.contains("pre-heat")
        || begins.iter().any(|b| lower.starts_with(b))
}

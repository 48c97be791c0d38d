//! Sentences that are no work: what the inside must reach, how the food is kept
//! until it is served, when the oven is turned on.

use super::clock::{self, TimeOf};
use super::heat::{self, Heat, Of};
use super::{Kept, Wait, verbs, work};

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

/// Does a sentence turn an oven on?
pub(super) fn preheats(lower: &str) -> bool {
    let begins = ["heat the oven", "heat oven", "set the oven", "turn the oven"];
    lower.contains("preheat")
        || lower.contains("pre-heat")
        || begins.iter().any(|b| lower.starts_with(b))
}

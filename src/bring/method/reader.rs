//! A method piece by piece, sentence by sentence, clause by clause.

use super::act::Act;
use super::build::{Steps, add_words};
use super::clock::Span;
use super::verbs::Doing;
use super::{Method, Wait, about, order, sentence, work};
use crate::bring::found::Words;
use crate::kitchen::StationKind;

/// Most steps of a method; what comes after is put into the last.
const STEPS_MOST: usize = 56;
/// Minutes of work that the words do not name.
const PLAIN_MINUTES: u32 = 5;

/// What has been read so far.
#[derive(Debug, Default)]
pub(super) struct Reader {
    steps: Steps,
    order: order::Order,
    waits: Vec<Wait>,
}

impl Reader {
    /// Reads a piece of the method.
    pub fn piece(&mut self, piece: usize, words: &Words) {
        self.order.begin(piece, words.section.as_deref(), self.steps.list.len());
        let begun = self.steps.list.len();
        let waited = self.steps.list.last().is_some_and(|s| s.rest.is_none());
        for sentence in sentence::sentences(&words.text) {
            self.sentence(piece, sentence);
        }
        // A time that the source gives for the piece, where its text has none.
        if let (Some(minutes), Some([only])) = (words.minutes, self.steps.list.get_mut(begun..))
            && only.guessed
            && only.rest.is_none()
        {
            only.span = Span { low: minutes, likely: minutes, high: minutes };
            only.guessed = false;
        }
        // Or where the piece is a wait behind the step before it.
        if let (Some(minutes), true) = (words.minutes, self.steps.list.len() == begun)
            && let Some(rest) = self.steps.list.last_mut().and_then(|s| s.rest.as_mut())
            && rest.guessed
            && waited
        {
            rest.span = Span { low: minutes, likely: minutes, high: minutes };
            rest.guessed = false;
        }
        let aside = order::set_aside(&words.text);
        self.order.end(piece, aside, begun, self.steps.list.len());
    }

    /// What was read.
    pub fn finish(mut self) -> Method {
        if !self.steps.pending.is_empty() {
            let words = std::mem::take(&mut self.steps.pending);
            match self.steps.list.last_mut() {
                Some(last) => add_words(last, "", &words),
                None => self.steps.push(0, &Act::plain(&words, PLAIN_MINUTES)),
            }
        }
        self.steps.give_usual_times();
        let mut steps = self.steps.list;
        self.order.link(&mut steps);
        let mut said = Vec::new();
        let guessed = steps.iter().filter(|s| s.guessed).count();
        if guessed > 0 {
            let many = steps.len();
            said.push(format!(
                "the text gives no time for {guessed} of {many} steps; theirs are guesses"
            ));
        }
        Method { steps, waits: self.waits, said }
    }

    fn sentence(&mut self, piece: usize, sentence: &str) {
        let lower = sentence.to_lowercase();
        self.steps.sentence();
        if let Some(wait) = about::wait(sentence, &lower)
            && self.waits.iter().all(|w| w.kept != wait.kept)
        {
            self.waits.push(wait);
        }
        let about = about::food(sentence, &lower);
        if about.only && !(about.inside_c.is_some() && self.heats_anew(piece, sentence)) {
            match self.steps.list.last_mut() {
                Some(last) => {
                    last.inside_c = about.inside_c.or(last.inside_c);
                    add_words(last, "", sentence);
                }
                None => self.steps.put_off(sentence),
            }
            return;
        }
        let cooks = |c: &(&str, &str)| about::cooks(c.1);
        if about::preheats(&lower) && !sentence::clauses(sentence).iter().any(cooks) {
            return self.steps.turn_oven(sentence);
        }
        let begins = ["meanwhile", "in the meantime", "while ", "at the same time"];
        let meanwhile = begins.iter().any(|b| lower.starts_with(b));
        for (index, (joint, clause)) in sentence::clauses(sentence).into_iter().enumerate() {
            self.steps.joint = joint;
            self.clause(piece, clause, meanwhile && index == 0);
        }
        self.steps.joint = "";
        // The words of one sentence may speak of heat and of the inside at once.
        if let (Some(inside), Some(last)) = (about.inside_c, self.steps.at_hand(piece)) {
            last.inside_c = Some(inside);
        }
    }

    /// Does a sentence that says what the inside must reach put the food on the heat as well?
    /// "Roast until 75 °C" does, unless it is roasting already.
    fn heats_anew(&self, piece: usize, sentence: &str) -> bool {
        // "CCP: heat to 74 °C" is what is looked at, and by a thermometer.
        let Some(act) = Act::of(sentence).filter(|_| !sentence.starts_with("CCP")) else {
            return false;
        };
        let Doing::Heat(station) = act.doing else { return false };
        let lower = sentence.to_lowercase();
        let placed = lower.contains(" over ") && lower.contains("heat");
        let any = matches!(act.verb.word, "heat" | "cook" | "warm" | "bring") && !placed;
        let in_oven = station == StationKind::Oven || self.steps.cooks_on(piece, &act);
        self.steps.list.last().is_none_or(|last| {
            !last.station.heats() || last.rest.is_some() || !any && last.station != station
        }) || in_oven && self.steps.other_heat(&act)
    }

    /// What a clause asks for: by its own verb, or more of what the clause before it does.
    fn act(&mut self, piece: usize, clause: &str) -> Option<Act> {
        let own = Act::of(clause).filter(|a| !a.is_nothing());
        let then = self.steps.joint.contains("then") || self.steps.joint == "; ";
        match own {
            // "Reduce the oven to 160 °C for an hour", "continue for 20 minutes".
            Some(own) if own.turning && !own.turns || own.continues() => {
                let last = self.steps.list.last().filter(|s| s.rest.is_none());
                let on = last.and_then(|s| Act::goes_on(clause, &s.label, s.station));
                Some(on.unwrap_or(own))
            }
            Some(own) if self.steps.cooks_on(piece, &own) || self.steps.goes_back(&own) => {
                Some(Act { doing: Doing::Heat(StationKind::Oven), ..own })
            }
            Some(own) => Some(own),
            None => {
                let last = self.steps.at_hand(piece).filter(|s| then && s.rest.is_none())?;
                Act::goes_on(clause, &last.label, last.station)
            }
        }
    }

    fn clause(&mut self, piece: usize, clause: &str, meanwhile: bool) {
        if about::only_preheats(clause) {
            return self.steps.turn_oven(clause);
        }
        let before = clause.to_lowercase().starts_with("after ");
        if before {
            self.steps.after(clause);
        }
        self.obey(piece, clause, meanwhile);
        if !before {
            self.steps.after(clause);
        }
    }

    /// What a clause orders.
    fn obey(&mut self, piece: usize, clause: &str, meanwhile: bool) {
        let Some(act) = self.act(piece, clause) else {
            let joint = self.steps.joint;
            match self.steps.at_hand(piece) {
                Some(last) => {
                    last.hands = work::hands(&clause.to_lowercase()).unwrap_or(last.hands);
                    add_words(last, joint, clause);
                }
                None => self.steps.put_off(clause),
            }
            return;
        };
        if self.steps.turns_oven(&act) {
            return self.steps.turn_oven(clause);
        }
        // The heat is turned for what is put on it next.
        let cold = self.steps.at_hand(piece).is_none_or(|s| !s.station.heats());
        if act.turns && cold {
            return self.steps.put_off(clause);
        }
        let full = self.steps.list.len() >= STEPS_MOST;
        if let Doing::Rest(place) = act.doing {
            return self.steps.rest(piece, &act, place);
        }
        if full || !meanwhile && self.steps.takes(piece, &act) {
            self.steps.join(&act);
        } else {
            self.order.meanwhile(meanwhile, self.steps.list.len());
            self.steps.push(piece, &act);
        }
    }
}

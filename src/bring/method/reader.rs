//! A method piece by piece, sentence by sentence, clause by clause.

use super::act::{Act, setting_of};
use super::build::{Steps, add_words};
use super::clock::Span;
use super::verbs::Doing;
use super::{Method, Wait, about, heat, order, sentence, work};
use crate::bring::found::Words;

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
        if about.only {
            match self.steps.list.last_mut() {
                Some(last) => {
                    last.inside_c = about.inside_c.or(last.inside_c);
                    add_words(last, "", sentence);
                }
                None => self.steps.put_off(sentence),
            }
            return;
        }
        if about::preheats(&lower) {
            self.steps.oven_c = setting_of(&heat::heats(sentence)).or(self.steps.oven_c);
            self.steps.put_off(sentence);
            return;
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

    fn clause(&mut self, piece: usize, clause: &str, meanwhile: bool) {
        let Some(act) = Act::of(clause).filter(|a| !a.is_nothing()) else {
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

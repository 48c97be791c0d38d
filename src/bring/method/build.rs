//! Steps out of acts: what joins the step at hand, what begins a new one, and what
//! is a wait behind it.

use super::act::{Act, setting_of, until};
use super::clock::Span;
use super::verbs::{self, Doing, Verb};
use super::{Proposal, Rest, heat, work};
use crate::bring::moment::{self, Point, Time};
use crate::kitchen::{Setting, StationKind};

/// An oven without a setting in the text: common practice, no source; told as guessed.
const OVEN_C: i32 = 180;
/// Minutes of what is put into an oven, and on another heat, and no time said: common
/// practice, no source; told as guessed.
const PUT_IN_OVEN: u32 = 30;
const WARM_IN_OVEN: u32 = 20;
const PUT_ON_HEAT: u32 = 10;
/// Longest words of a step that more is joined to, in letters.
const WORDS_MOST: usize = 480;

/// The steps so far.
#[derive(Debug, Default)]
pub(super) struct Steps {
    pub list: Vec<Proposal>,
    /// The oven's setting, since it was preheated.
    pub oven_c: Option<i32>,
    /// Words that wait for a step to belong to.
    pub pending: String,
    /// How the clause at hand is joined to the one before it: " and "; nothing before the first.
    pub joint: &'static str,
    /// The oven was turned to another heat since something went into it.
    turned: bool,
    /// Only work at the pot so far in the step at hand: it may be what is cooked next.
    along: bool,
    /// A lid is on, by the words of the step at hand or of the sentence.
    covered: bool,
    /// The sentence speaks of the lid.
    lid_said: bool,
    /// Minutes of the act that the step's hands are from; 0 while no time was given.
    hands_from: u32,
}

impl Steps {
    /// What stands between words that wait and those that follow.
    const fn joint_or_space(&self) -> &'static str {
        if self.joint.is_empty() { " " } else { self.joint }
    }

    /// Words that belong to the next step.
    pub fn put_off(&mut self, words: &str) {
        if !self.pending.is_empty() {
            self.pending.push_str(self.joint_or_space());
        }
        self.pending.push_str(words);
    }

    /// A sentence begins.
    pub fn sentence(&mut self) {
        self.lid_said = false;
    }

    /// What a clause says of a lid, before it is taken as an act; `fresh` if it
    /// begins a step.
    fn see_lid(&mut self, lower: &str, fresh: bool) {
        if let Some(on) = work::lid(lower) {
            (self.covered, self.lid_said) = (on, true);
        } else if fresh && !self.lid_said {
            self.covered = false;
        }
    }

    /// The step at hand, if it is of this piece.
    pub fn at_hand(&mut self, piece: usize) -> Option<&mut Proposal> {
        self.list.last_mut().filter(|s| s.piece == piece)
    }

    /// Does an act belong to the step at hand?
    pub fn takes(&self, piece: usize, act: &Act) -> bool {
        let Some(last) = self.list.last() else { return false };
        if last.piece != piece || last.rest.is_some() || last.words.len() > WORDS_MOST {
            return false;
        }
        match act.doing {
            Doing::Along => act.span.is_none() || !last.station.heats(),
            Doing::Work => !last.station.heats(),
            Doing::Heat(StationKind::Oven) if last.station == StationKind::Oven => {
                let said = setting_of(&heat::heats(&act.said));
                // Another heat is another step, or the first would be said to be at the second's.
                let same = |c| last.at_c == Some(c) || last.guessed_heat && !self.turned;
                said.or(self.oven_c.filter(|_| self.turned)).is_none_or(same)
            }
            Doing::Heat(station) if last.station.heats() => last.station == station,
            // What was put into the pot before is the beginning of its cooking.
            Doing::Heat(_) => self.along && last.station == StationKind::Counter,
            Doing::Rest(_) => false,
        }
    }

    /// An oven is turned to another heat; the words belong to what is done in it next.
    pub fn turn_oven(&mut self, words: &str) {
        if let Some(c) = setting_of(&heat::heats(words)) {
            (self.oven_c, self.turned) = (Some(c), true);
        }
        self.put_off(words);
    }

    /// Does an act in the oven want another heat there than the step at hand has?
    pub fn other_heat(&self, act: &Act) -> bool {
        let said = setting_of(&heat::heats(&act.said));
        let wanted = said.or(self.oven_c.filter(|_| self.turned));
        let at = self.list.last().filter(|s| s.station == StationKind::Oven);
        wanted.is_some_and(|c| at.is_some_and(|s| s.at_c != Some(c)))
    }

    /// Is what is in the oven cooked on, by words that name no place?
    pub fn cooks_on(&self, piece: usize, act: &Act) -> bool {
        let in_oven = |s: &Proposal| s.station == StationKind::Oven && s.rest.is_none();
        let at_hand = self.list.last().filter(|s| s.piece == piece).is_some_and(in_oven);
        let unnamed = work::named_station(&act.said.to_lowercase()).is_none();
        self.turned && at_hand && unnamed && act.verb.word == "cook"
    }

    /// "Take it out after 40 minutes": as long as that was what went on before, if nothing
    /// else says; whatever is done after so long, it is no shorter.
    pub fn after(&mut self, clause: &str) {
        let times = moment::times(clause);
        let point = |t: &&Time| matches!(t.when, Some(Point::After | Point::Last));
        let Some(time) = times.iter().rfind(point) else { return };
        let (gone, out) = (Span::of(time), work::takes_out(&clause.to_lowercase()));
        let out = out && time.when == Some(Point::After);
        let Some(last) = self.list.last_mut() else { return };
        let (span, guessed) = match &mut last.rest {
            Some(rest) => (&mut rest.span, &mut rest.guessed),
            None if last.station.heats() => (&mut last.span, &mut last.guessed),
            None => return,
        };
        if *guessed {
            *span = if out { gone } else { span.at_least(gone) };
            *guessed = !out;
        }
    }

    /// Something was put on the heat, and no word says how long: that is no hand's turn, and
    /// an oven warms more slowly than a pan.
    pub fn give_usual_times(&mut self) {
        for step in self.list.iter_mut().filter(|s| s.guessed && s.station.heats()) {
            let Some(verb) = verbs::named(&step.label) else { continue };
            let put = !matches!(verb.doing, Doing::Heat(_));
            let usual = match (step.station, verb.word) {
                (StationKind::Oven, "heat" | "warm") => WARM_IN_OVEN,
                (StationKind::Oven, word) if put || word == "cook" => PUT_IN_OVEN,
                _ if put => PUT_ON_HEAT,
                _ => continue,
            };
            step.span = step.span.at_least(Span::guessed(usual));
        }
    }

    /// Is a clause to be heard as one that turns the oven?
    pub fn turns_oven(&self, act: &Act) -> bool {
        let hot = self.list.last().is_some_and(|s| s.station == StationKind::Oven);
        let named = act.said.to_lowercase().contains("oven");
        act.turns && (hot || named) && setting_of(&heat::heats(&act.said)).is_some()
    }

    /// "Turn the oven up to 240 °C and return it until crisp": back to where it was.
    pub fn goes_back(&self, act: &Act) -> bool {
        let lower = act.said.to_lowercase();
        let back = act.verb.word == "return" || lower.contains(" back ");
        let last = || moment::times(&lower).iter().any(|t| t.when == Some(Point::Last));
        let there = self.list.iter().any(|s| s.station == StationKind::Oven);
        let unnamed = act.doing == Doing::Along && work::named_station(&lower).is_none();
        self.turned && there && back && unnamed && (act.span.is_some() || until(&lower) || last())
    }

    /// Adds an act to the step at hand.
    pub fn join(&mut self, act: &Act) {
        let oven_c = self.oven_c;
        let lower = act.said.to_lowercase();
        self.see_lid(&lower, false);
        let Some(last) = self.list.last_mut() else { return };
        let waiting = std::mem::take(&mut self.pending);
        if !waiting.is_empty() {
            add_words(last, "", &waiting);
        }
        add_words(last, self.joint, &act.said);
        last.loads = work::loads(&lower).or(last.loads);
        let timed = act.span.is_some();
        if let Doing::Heat(station) = act.doing {
            let fresh = !last.station.heats();
            if fresh {
                last.station = station;
                last.span = Span::default();
            }
            let (hands, minutes) = (act.hands(self.covered), act.minutes().likely);
            // Of two times the busier one says what the hands do, unless it is a mere
            // moment beside the other.
            let wins = match hands > last.hands {
                true => minutes.saturating_mul(2) >= self.hands_from,
                false => minutes >= self.hands_from.saturating_mul(2),
            };
            if fresh || timed && wins {
                last.hands = hands;
                self.hands_from = if timed { minutes } else { 0 };
            } else if !timed {
                last.hands = work::hands(&lower).unwrap_or(last.hands);
            }
            // "Bring to a boil; simmer 20 minutes": the simmering names the block.
            let cooks = matches!(act.verb.doing, Doing::Heat(_));
            if fresh || timed && cooks {
                act.verb.word.clone_into(&mut last.label);
            }
            last.guessed = if fresh { !timed } else { last.guessed && !timed } || act.by_weight;
            last.span = last.span.plus(act.minutes());
            set_heat(last, act, oven_c);
            self.turned &= station != StationKind::Oven;
            self.along = false;
        } else {
            last.hands = work::hands(&lower).unwrap_or(last.hands);
            if act.turns && last.station != StationKind::Oven {
                set_heat(last, act, None);
            }
            if !last.station.heats() {
                last.span = last.span.plus(act.minutes());
                last.guessed &= !timed;
                if act.doing == Doing::Work {
                    if self.along {
                        act.verb.word.clone_into(&mut last.label);
                    }
                    self.along = false;
                }
            }
        }
        for pan in work::cookware(&lower) {
            if !last.cookware.contains(&pan) {
                last.cookware.push(pan);
            }
        }
    }

    /// Begins a step.
    pub fn push(&mut self, piece: usize, act: &Act) {
        self.see_lid(&act.said.to_lowercase(), true);
        let station = match act.doing {
            Doing::Heat(station) => station,
            _ => StationKind::Counter,
        };
        let mut words = std::mem::take(&mut self.pending);
        if !words.is_empty() {
            words.push_str(self.joint_or_space());
        }
        words.push_str(&act.said);
        self.hands_from = act.span.map_or(0, |s| s.likely);
        let mut step = Proposal {
            cookware: work::cookware(&words.to_lowercase()),
            words,
            label: act.verb.word.to_owned(),
            station,
            span: act.minutes(),
            guessed: act.span.is_none(),
            at_c: None,
            guessed_heat: false,
            setting: None,
            hands: act.hands(self.covered),
            loads: work::loads(&act.said.to_lowercase()),
            rest: None,
            inside_c: None,
            after: Vec::new(),
            piece,
        };
        set_heat(&mut step, act, self.oven_c);
        self.turned &= station != StationKind::Oven;
        self.along = act.doing == Doing::Along;
        self.list.push(step);
    }

    /// A wait belongs to the step before it; at the beginning, or behind another
    /// wait, to putting the food there.
    pub fn rest(&mut self, piece: usize, act: &Act, place: StationKind) {
        let fits = self.list.last().is_some_and(|s| s.rest.is_none() && s.piece == piece);
        let behind = self.list.last().is_some_and(|s| s.rest.is_none()) && self.pending.is_empty();
        if fits || behind {
            if let Some(last) = self.list.last_mut() {
                add_words(last, self.joint, &act.said);
            }
        } else {
            let verb = Verb { minutes: 2, doing: Doing::Along, ..act.verb };
            let span = Some(Span { low: 1, likely: 2, high: 3 });
            let said = act.said.clone();
            self.push(piece, &Act { verb, doing: Doing::Along, span, said, ..act.clone() });
        }
        if let Some(last) = self.list.last_mut() {
            last.rest = Some(Rest { span: act.minutes(), place, guessed: act.span.is_none() });
        }
    }
}

/// The setting of the station that a step is done at.
fn set_heat(step: &mut Proposal, act: &Act, oven_c: Option<i32>) {
    let lower = act.said.to_lowercase();
    let said = setting_of(&heat::heats(&act.said));
    match step.station {
        StationKind::Oven => {
            let own = step.at_c.filter(|_| !step.guessed_heat);
            let known = said.or(own).or(oven_c);
            (step.at_c, step.guessed_heat) = (known.or(Some(OVEN_C)), known.is_none());
        }
        StationKind::Grill | StationKind::AirFryer => step.at_c = said.or(step.at_c),
        StationKind::Stovetop => step.setting = work::setting(&lower).or(step.setting),
        StationKind::SlowCooker => {
            let said = work::setting(&lower).filter(|s| *s != Setting::Medium);
            step.setting = said.or(step.setting).or(Some(Setting::Low));
        }
        _ => {}
    }
}

/// Adds words to a step, as they stand in the text: joined as they are there, if they
/// are of one sentence.
pub(super) fn add_words(step: &mut Proposal, joint: &str, words: &str) {
    let joint = match joint {
        _ if step.words.ends_with(['.', '!', '?']) => " ",
        "" => "; ",
        joint => joint,
    };
    step.words.push_str(joint);
    step.words.push_str(words);
}

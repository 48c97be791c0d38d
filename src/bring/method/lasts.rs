//! How long a clause takes, by all the times that it names: what follows one another
//! adds up; another way, the whole told once more and what is put in brackets do not.

use super::clock::{Placed, Span, TimeOf};
use super::work;

/// Words that begin another way or another time for the same.
const OTHER: [&str; 9] = [
    "or ",
    "preferably ",
    "and preferably ",
    "but preferably ",
    "ideally ",
    "up to ",
    "and up to ",
    "but at least ",
    "but no ",
];
/// Words behind which stands another time for the same.
const BEFORE_OTHER: [&str; 9] = [
    " or",
    " preferably",
    " ideally",
    " or for",
    " up to",
    " or for up to",
    " or at least",
    " but at least",
    " or even",
];
/// What "or" begins that is no other time: what ends this one.
const ENDS: [&str; 8] =
    ["or until", "or till", "or when", "or just", "or so", "or longer", "or more", "or less"];

/// How long a clause takes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Lasts {
    /// Its times do not say.
    Unsaid,
    /// As its times say.
    Said(Span),
    /// So long for each pound of a piece whose weight nobody has said, and this beside it.
    ByWeight(Span),
}

/// How long a clause takes, by its times.
pub(super) fn of(clause: &str, times: &[Placed]) -> Lasts {
    let lower = clause.to_lowercase();
    let brackets = Brackets::of(clause);
    let per_side = work::per_side(&lower);
    let said = times.iter().any(|t| t.of.takes_time());
    let mut by_weight = false;
    let mut sum: Option<Span> = None;
    let mut longest = 0;
    let mut last: Option<&Placed> = None;
    for placed in times {
        let time = &placed.time;
        let between = last.and_then(|l| clause.get(l.time.to..time.from));
        let other = between.is_some_and(is_other);
        if placed.of == TimeOf::Rate {
            // What is in brackets, or another way to say it, tells how the time was found.
            by_weight |= !(said && brackets.around(time.from).is_some() || other);
        }
        if !placed.of.takes_time() {
            continue;
        }
        // "or in a convection oven for 6 minutes" is another way, not more time.
        if between.is_some_and(|b| [" or in ", " or at "].iter().any(|w| b.contains(w))) {
            break;
        }
        let one = Span::of(time);
        if is_whole(clause, time.from, time.to) && one.high >= longest {
            sum = Some(one);
        } else if other || last.is_some_and(|l| is_remark(clause, &brackets, l, placed)) {
            // As long as the first says; it may take as long as the other.
            let more = if is_more(clause, time.to) { sum.map_or(0, |s| s.high) } else { 0 };
            let high = one.high.saturating_add(more);
            sum = sum.map(|s| Span { high: s.high.max(high), ..s });
        } else {
            longest = longest.max(one.high);
            let one = if per_side { one.plus(one) } else { one };
            sum = Some(sum.map_or(one, |s| s.plus(one)));
        }
        last = Some(placed);
    }
    match sum {
        _ if by_weight => Lasts::ByWeight(sum.unwrap_or_default()),
        Some(sum) => Lasts::Said(sum),
        None => Lasts::Unsaid,
    }
}

/// Does what stands between two times make the second another one for the same? Not behind
/// more words of its own: "5 minutes or so, add the stock, up to 30 minutes" are two.
fn is_other(between: &str) -> bool {
    let signs = [' ', ',', ';', '(', ')', '-', '~'];
    let between = between.to_lowercase();
    let bare = between.trim_matches(signs);
    if bare.contains([',', ';', '.']) || bare.split(' ').count() > BETWEEN_WORDS {
        return false;
    }
    let ends = format!(" {bare}");
    let begins_other = OTHER.iter().any(|w| bare.starts_with(w) || bare == w.trim_end());
    begins_other && !ENDS.iter().any(|w| bare.starts_with(w))
        || BEFORE_OTHER.iter().any(|w| ends.ends_with(w))
}

/// Most words between two times for the same.
const BETWEEN_WORDS: usize = 7;

/// Is a time told in brackets behind the one that counts: "(45 minutes if frozen)"? Not what
/// is done then, nor a thing of its own: "the rice (12 minutes) and the beans (40 minutes)".
fn is_remark(clause: &str, brackets: &Brackets, last: &Placed, placed: &Placed) -> bool {
    let Some(open) = brackets.around(placed.time.from) else { return false };
    let words = clause.get(open..placed.time.from).unwrap_or_default().to_lowercase();
    brackets.around(last.time.from).is_none()
        && !words.contains("then ")
        && !is_more(clause, placed.time.to)
}

/// "10 minutes more".
fn is_more(clause: &str, to: usize) -> bool {
    ["more", "longer", "extra"].iter().any(|w| begins_with(clause, to, w))
}

/// "4 minutes in all": the times before it once more.
fn is_whole(clause: &str, from: usize, to: usize) -> bool {
    let words = ["total", "in total", "in all", "altogether", "all together"];
    ends_with(clause.get(..from), "total of") || words.iter().any(|w| begins_with(clause, to, w))
}

/// Does the text end with these words, whatever their case and the blank behind them?
fn ends_with(text: Option<&str>, words: &str) -> bool {
    let text = text.unwrap_or_default().trim_end();
    let last = text.len().checked_sub(words.len()).and_then(|at| text.get(at..));
    last.is_some_and(|last| last.eq_ignore_ascii_case(words))
}

/// Do these words stand at this place, behind a blank?
fn begins_with(text: &str, at: usize, words: &str) -> bool {
    let after = text.get(at..).unwrap_or_default().trim_start();
    after.get(..words.len()).is_some_and(|first| first.eq_ignore_ascii_case(words))
}

/// The brackets of a clause, by where they open and close.
struct Brackets(Vec<(usize, usize)>);

impl Brackets {
    fn of(clause: &str) -> Self {
        let mut list = Vec::new();
        let mut open = None;
        let mut depth = 0_u32;
        for (at, sign) in clause.char_indices().filter(|(_, c)| matches!(c, '(' | ')')) {
            match (sign, depth) {
                ('(', 0) => (open, depth) = (Some(at), 1),
                ('(', _) => depth += 1,
                (_, 1) => {
                    list.extend(open.take().map(|from| (from, at)));
                    depth = 0;
                }
                _ => depth = depth.saturating_sub(1),
            }
        }
        list.extend(open.map(|from| (from, clause.len())));
        Self(list)
    }

    /// Where the bracket begins that holds this place.
    fn around(&self, at: usize) -> Option<usize> {
        let behind = self.0.partition_point(|(from, _)| *from < at);
        self.0.get(behind.checked_sub(1)?).filter(|(_, to)| at < *to).map(|(from, _)| *from)
    }
}

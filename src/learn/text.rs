//! What was learnt, in words.

use super::fit::Scatter;
use super::own::{Estimate, Known, Share};
use super::{Group, Guard};
use crate::kitchen::Minutes;

/// "60 (50 to 72)".
#[must_use]
pub fn minutes(m: Minutes) -> String {
    match m.low == m.likely && m.likely == m.high {
        true => m.likely.to_string(),
        false => format!("{} ({} to {})", m.likely, m.low, m.high),
    }
}

/// "12 % longer"; nothing within half a per cent.
#[must_use]
pub fn percent(ratio: f64) -> Option<String> {
    let percent = ((ratio - 1.0) * 100.0).round();
    match percent {
        p if p >= 1.0 => Some(format!("{p} % longer")),
        p if p <= -1.0 => Some(format!("{} % shorter", -p)),
        _ => None,
    }
}

fn times(n: usize, of: &str) -> String {
    if n == 1 { format!("1 {of}") } else { format!("{n} {of}s") }
}

impl Group {
    /// "the oven of home", "kim's hands".
    #[must_use]
    pub fn words(&self) -> String {
        match self {
            Self::Station { kitchen, station } => format!("{station} of the kitchen {kitchen}"),
            Self::Cook { cook } => format!("what {cook} does by hand"),
        }
    }
}

impl Share {
    /// "oven of the kitchen home: 11 % longer than recipes say (8 to 15), 14 steps of 4 evenings".
    #[must_use]
    pub fn line(&self) -> String {
        let pace = match percent(self.ratio) {
            Some(words) => format!("{words} than recipes say"),
            None => "as recipes say".to_owned(),
        };
        let p = |ratio: f64| format!("{:+}", ((ratio - 1.0) * 100.0).round());
        format!(
            "{}: {pace} ({} to {} %), {} of {}",
            self.group.words(),
            p(self.low),
            p(self.high),
            times(self.steps, "step"),
            times(self.evenings, "evening")
        )
    }
}

impl Scatter {
    /// "your minutes lie 30 % further apart than recipes say: low and high are drawn wider".
    #[must_use]
    pub fn line(&self) -> String {
        let percent = ((self.chance.sqrt() - 1.0) * 100.0).round();
        match percent {
            p if p >= 5.0 => format!(
                "your minutes lie {p} % further apart than recipes say: low to high is drawn wider"
            ),
            p if p <= -5.0 => format!(
                "your minutes lie {} % closer together than recipes say: low to high is drawn narrower",
                -p
            ),
            _ => "your minutes lie about as far apart as recipes say".to_owned(),
        }
    }
}

impl Estimate {
    /// Why the minutes are what they are, in a sentence or two.
    #[must_use]
    pub fn why(&self) -> String {
        let mut why = match self.times.as_slice() {
            [] => "never seen itself".to_owned(),
            seen => {
                let last = seen.iter().rev().take(6).rev();
                let list: Vec<String> = last.map(|t| format!("{}", t.1.round())).collect();
                let took = format!("took {}", list.join(", "));
                if seen.len() > list.len() { format!("took last {}", &took[5..]) } else { took }
            }
        };
        let share = self.shares.first().zip(percent(self.by_share));
        if let Some((group, by)) = share {
            let whose = match (self.shares.len(), group) {
                (1, group) => group.words(),
                (_, Group::Cook { .. }) => "its cooks on the whole".to_owned(),
                (_, Group::Station { .. }) => "its stations on the whole".to_owned(),
            };
            why.push_str(&format!("; {whose}: {by}"));
        }
        if let Some(by) = percent(self.by_step).filter(|_| !self.times.is_empty()) {
            why.push_str(&format!("; the step itself: {by}"));
        }
        if self.held && self.guard == Guard::NeverShorter {
            why.push_str("; never planned shorter than the recipe: it is cooked to a temperature");
        }
        why
    }
}

impl Known {
    /// All of it as plain text: what is shared, then the steps of `estimates`.
    #[must_use]
    pub fn text(&self, estimates: &[Estimate]) -> String {
        let mut text = String::new();
        let shares = self.shares();
        if !shares.is_empty() {
            text.push_str("What all dishes have in common\n");
        }
        for share in &shares {
            text.push_str(&format!("  {}\n", share.line()));
        }
        if !self.seen().is_empty() {
            text.push_str(&format!("\nFrom one time to the next\n  {}\n", self.scatter().line()));
        }
        let mut title = None;
        for one in estimates {
            if title != Some(&one.title) {
                text.push_str(&format!("\n{}\n", one.title));
                title = Some(&one.title);
            }
            let name = format!("{}/{}", one.recipe, one.step);
            let kind = one.station.word();
            text.push_str(&format!(
                "  {} ({kind}): recipe {}, you {}, from {}   [{name}]\n      {}\n",
                one.label,
                minutes(one.written),
                minutes(one.own),
                times(one.evenings(), "evening"),
                one.why()
            ));
        }
        text
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_scatter_is_told_as_a_width_not_as_a_variance() {
        let line = |chance: f64| Scatter { chance, ..Scatter::default() }.line();
        assert!(line(1.69).starts_with("your minutes lie 30 % further apart"), "{}", line(1.69));
        assert!(line(0.64).starts_with("your minutes lie 20 % closer"), "{}", line(0.64));
        assert_eq!(line(1.0), "your minutes lie about as far apart as recipes say");
    }
}

//! The signs that the screens draw with, in full and in plain ASCII. All are
//! one column wide; none needs a colour to be told from the others.

/// A set of signs.
#[derive(Debug, PartialEq, Eq)]
pub struct Glyphs {
    /// Before the letter of what is done.
    pub done: &'static str,
    /// Before the letter of what runs.
    pub running: &'static str,
    /// Before the letter of what should have begun.
    pub late: &'static str,
    /// Before the letter of what runs over.
    pub over: &'static str,
    /// Before the letter of what spoils.
    pub overdone: &'static str,
    /// Before the letter of what was left out.
    pub skipped: &'static str,
    /// Before the letter of what is pinned.
    pub pinned: &'static str,
    /// Before the letter of a dish that is held, and the texture of a hold.
    pub hold: &'static str,
    /// The texture of a wait between two steps.
    pub wait: &'static str,
    /// The texture of what is done.
    pub past: &'static str,
    /// The texture of what should have begun.
    pub late_fill: &'static str,
    /// The texture past the planned end.
    pub over_fill: &'static str,
    /// The texture past the planned end of what spoils.
    pub overdone_fill: &'static str,
    /// The texture of what was left out.
    pub skipped_fill: &'static str,
    /// Heating up.
    pub heat: &'static str,
    /// Cooling down.
    pub cool: &'static str,
    /// At its setting.
    pub keep: &'static str,
    /// A cook who looks in now and then.
    pub eye: &'static str,
    /// The line of the present time.
    pub now: &'static str,
    /// Its head on the time scale.
    pub now_head: &'static str,
    /// The line of a service.
    pub service: &'static str,
    /// Its head on the time scale.
    pub service_head: &'static str,
    /// What was cut off a text.
    pub cut: &'static str,
    /// Between two parts of a line.
    pub dot: &'static str,
    /// From one to another.
    pub arrow: &'static str,
    /// There is more above.
    pub up: &'static str,
    /// There is more below.
    pub down: &'static str,
    /// Alarm ranks: notice, warning, urgent.
    pub ranks: [&'static str; 3],
    /// Corners and sides of a card: top left, top, top right, side, bottom left, bottom right.
    pub card: [&'static str; 6],
    /// A broken station.
    pub broken: &'static str,
    /// Degrees of temperature.
    pub degree: &'static str,
    /// Left-aligned eighths of a cell, one to seven; empty where only whole cells can be drawn.
    pub eighths: &'static [&'static str],
}

pub(super) const FULL: Glyphs = Glyphs {
    done: "✓",
    running: "▶",
    late: "!",
    over: "+",
    overdone: "✗",
    skipped: "–",
    pinned: "•",
    hold: "≈",
    wait: "·",
    past: "─",
    late_fill: "░",
    over_fill: "▒",
    overdone_fill: "▓",
    skipped_fill: "╌",
    heat: "╱",
    cool: "╲",
    keep: "─",
    eye: "┄",
    now: "┃",
    now_head: "▼",
    service: "┆",
    service_head: "◆",
    cut: "…",
    dot: "·",
    arrow: "→",
    up: "▲",
    down: "▼",
    ranks: ["○", "▲", "■"],
    card: ["┌", "─", "┐", "│", "└", "┘"],
    broken: "✗",
    degree: "°",
    eighths: &["▏", "▎", "▍", "▌", "▋", "▊", "▉"],
};

pub(super) const PLAIN: Glyphs = Glyphs {
    done: "=",
    running: ">",
    late: "!",
    over: "+",
    overdone: "X",
    skipped: "-",
    pinned: "@",
    hold: "~",
    wait: ".",
    past: "=",
    late_fill: "?",
    over_fill: "%",
    overdone_fill: "#",
    skipped_fill: "-",
    heat: "/",
    cool: "\\",
    keep: "_",
    eye: "'",
    now: "|",
    now_head: "v",
    service: ":",
    service_head: "*",
    cut: "~",
    dot: "-",
    arrow: ">",
    up: "^",
    down: "v",
    ranks: ["o", "^", "#"],
    card: ["+", "-", "+", "|", "+", "+"],
    broken: "X",
    degree: " ",
    eighths: &[],
};

impl Glyphs {
    /// All signs, for checks.
    #[must_use]
    pub fn all(&self) -> Vec<&'static str> {
        let mut all = vec![
            self.done,
            self.running,
            self.late,
            self.over,
            self.overdone,
            self.skipped,
            self.pinned,
            self.hold,
            self.wait,
            self.past,
            self.late_fill,
            self.over_fill,
            self.overdone_fill,
            self.skipped_fill,
            self.heat,
            self.cool,
            self.keep,
            self.eye,
            self.now,
            self.now_head,
            self.service,
            self.service_head,
            self.cut,
            self.dot,
            self.arrow,
            self.up,
            self.down,
            self.broken,
            self.degree,
        ];
        all.extend(self.ranks);
        all.extend(self.card);
        all.extend(self.eighths);
        all
    }
}

#[cfg(test)]
mod tests {
    use unicode_width::UnicodeWidthStr;

    use super::*;

    #[test]
    fn every_sign_is_one_column_wide() {
        for sign in FULL.all().into_iter().chain(PLAIN.all()) {
            assert_eq!(sign.width(), 1, "{sign:?}");
        }
    }

    #[test]
    fn the_plain_signs_are_ascii() {
        assert!(PLAIN.all().iter().all(|s| s.is_ascii()));
    }

    #[test]
    fn states_have_signs_of_their_own() {
        for g in [&FULL, &PLAIN] {
            let mut signs = vec![g.done, g.running, g.late, g.over, g.overdone, g.skipped, g.hold];
            signs.sort_unstable();
            signs.dedup();
            assert_eq!(signs.len(), 7);
            let mut fills = vec![
                g.hold,
                g.wait,
                g.past,
                g.late_fill,
                g.over_fill,
                g.overdone_fill,
                g.skipped_fill,
                g.heat,
                g.cool,
            ];
            fills.sort_unstable();
            fills.dedup();
            assert_eq!(fills.len(), 9);
        }
    }
}

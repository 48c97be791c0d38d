//! Notices outside the window: the terminal's own sequences for a desktop notice, and the window's title.
//!
//! | way | sequence | who takes it |
//! | --- | --- | --- |
//! | OSC 9 | `ESC ] 9 ; text BEL` | iTerm2, WezTerm |
//! | OSC 777 | `ESC ] 777 ; notify ; title ; text BEL` | foot, urxvt, Konsole, contour, Ghostty |
//! | OSC 99 | `ESC ] 99 ; … ; text ESC \` in two parts | kitty |
//!
//! The others get the bell alone: some of them give OSC 9 another meaning. Everything here is text in, text out; what
//! comes out is sent with [`Stage::send`](super::terminal::Stage::send).

use std::str::FromStr;

use unicode_segmentation::UnicodeSegmentation;

use crate::run::Rank;

/// The bell.
pub const BELL: &str = "\x07";

const TITLE_CHARS_MAX: usize = 60;
const TEXT_CHARS_MAX: usize = 200;
const KEY_CHARS_MAX: usize = 40;
const ST: &str = "\x1b\\";

/// The sequence that the terminal takes for a desktop notice.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sequence {
    /// None: the bell is the notice.
    Bell,
    /// OSC 9.
    Osc9,
    /// OSC 777.
    Osc777,
    /// OSC 99.
    Osc99,
    /// None, and no bell either.
    Off,
}

impl FromStr for Sequence {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        match text {
            "bell" => Ok(Self::Bell),
            "osc9" => Ok(Self::Osc9),
            "osc777" => Ok(Self::Osc777),
            "osc99" => Ok(Self::Osc99),
            "none" => Ok(Self::Off),
            _ => Err(format!(
                "\"{text}\" is no kind of notice; it can be bell, osc9, osc777, osc99 or none"
            )),
        }
    }
}

/// How notices reach the cook in this terminal.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Way {
    /// The sequence.
    pub sequence: Sequence,
    /// A multiplexer is between us and the terminal, and has to be asked to pass it on.
    pub tmux: bool,
}

impl Way {
    /// Chooses by the variables of the environment, which `get` reads.
    pub fn choose(get: impl Fn(&str) -> Option<String>) -> Self {
        let has = |name: &str| get(name).is_some_and(|v| !v.is_empty());
        // GNU screen passes nothing on; what its environment says of the terminal may be long out of date.
        let sequence = if has("STY") { Sequence::Bell } else { sequence(&get, has) };
        Self { sequence, tmux: has("TMUX") }
    }

    /// The same way with a sequence that the cook chose.
    pub fn with(self, sequence: Sequence) -> Self {
        Self { sequence, ..self }
    }

    /// A desktop notice; an empty text where the bell is the notice.
    ///
    /// `key` is the alarm's: a newer notice with the same key takes the place of the older one, where the terminal
    /// can do that. Inside a multiplexer the bell comes with it, so that the window is marked.
    pub fn notice(&self, key: &str, rank: Rank, title: &str, text: &str) -> String {
        let (title, text) = (clean(title, TITLE_CHARS_MAX), clean(text, TEXT_CHARS_MAX));
        let plain = match self.sequence {
            Sequence::Bell | Sequence::Off => return String::new(),
            Sequence::Osc9 => format!("\x1b]9;{}{BELL}", not_a_number(&join(&title, &text))),
            Sequence::Osc777 => {
                // A semicolon would end the title.
                format!("\x1b]777;notify;{};{text}{BELL}", title.replace(';', ","))
            }
            Sequence::Osc99 => osc99(key, rank, &title, &text),
        };
        if !self.tmux {
            return plain;
        }
        format!("\x1bPtmux;{}{ST}{BELL}", plain.replace('\x1b', "\x1b\x1b"))
    }
}

/// Sets the window's title; the one before comes back when the full screen is left.
pub fn window_title(text: &str) -> String {
    format!("\x1b]0;{}{BELL}", clean(text, TITLE_CHARS_MAX))
}

/// `text` without anything that a terminal would obey, on one line, cut to so many characters.
pub fn clean(text: &str, chars_max: usize) -> String {
    let visible: String = text
        .chars()
        .filter(|c| !turns_the_line(*c))
        .map(|c| if c.is_control() || c.is_whitespace() { ' ' } else { c })
        .collect();
    let line = visible.split(' ').filter(|w| !w.is_empty()).collect::<Vec<_>>().join(" ");
    let mut chars = line.graphemes(true);
    let kept: String = chars.by_ref().take(chars_max).collect();
    if chars.next().is_none() {
        return kept;
    }
    let shorter: String = line.graphemes(true).take(chars_max.saturating_sub(1)).collect();
    format!("{}…", shorter.trim_end())
}

fn sequence(get: &impl Fn(&str) -> Option<String>, has: impl Fn(&str) -> bool) -> Sequence {
    let term = get("TERM").unwrap_or_default();
    let program = get("TERM_PROGRAM").unwrap_or_default();
    let starts = |names: &[&str]| names.iter().any(|n| term.starts_with(n));
    if has("WT_SESSION") || has("ConEmuPID") {
        // OSC 9 shows progress there.
        Sequence::Bell
    } else if has("KITTY_WINDOW_ID") || starts(&["xterm-kitty"]) {
        Sequence::Osc99
    } else if matches!(program.as_str(), "iTerm.app" | "WezTerm") || has("WEZTERM_PANE") {
        Sequence::Osc9
    } else if program == "ghostty"
        || has("KONSOLE_VERSION")
        || has("GHOSTTY_RESOURCES_DIR")
        || starts(&["foot", "rxvt-unicode", "contour", "xterm-ghostty"])
    {
        Sequence::Osc777
    } else {
        Sequence::Bell
    }
}

fn osc99(key: &str, rank: Rank, title: &str, text: &str) -> String {
    let id: String = key
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() || c == '-' { c } else { '_' })
        .take(KEY_CHARS_MAX)
        .collect();
    let urgency = match rank {
        Rank::Notice => 0,
        Rank::Warning => 1,
        Rank::Urgent => 2,
    };
    format!(
        "\x1b]99;i=potwatch-{id}:d=0:u={urgency};{title}{ST}\x1b]99;i=potwatch-{id}:p=body;{text}{ST}"
    )
}

fn join(title: &str, text: &str) -> String {
    match (title, text) {
        ("", only) | (only, "") => only.to_string(),
        _ => format!("{title}: {text}"),
    }
}

/// A text that begins with a number is a command of another kind in OSC 9.
fn not_a_number(text: &str) -> String {
    if text.starts_with(|c: char| c.is_ascii_digit()) {
        format!("- {text}")
    } else {
        text.to_string()
    }
}

/// Marks that reorder or split a line without being seen (Unicode: bidirectional controls, separators).
fn turns_the_line(c: char) -> bool {
    matches!(c, '\u{200e}' | '\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn way(vars: &[(&str, &str)]) -> Way {
        Way::choose(|name| vars.iter().find(|(n, _)| *n == name).map(|(_, v)| (*v).to_string()))
    }

    #[test]
    fn each_terminal_gets_what_it_takes() {
        let cases: [(&[(&str, &str)], Sequence); 13] = [
            (&[], Sequence::Bell),
            (&[("TERM", "xterm-256color")], Sequence::Bell),
            (&[("TERM", "xterm-kitty")], Sequence::Osc99),
            (&[("KITTY_WINDOW_ID", "1")], Sequence::Osc99),
            (&[("TERM_PROGRAM", "iTerm.app")], Sequence::Osc9),
            (&[("TERM_PROGRAM", "WezTerm")], Sequence::Osc9),
            (&[("TERM_PROGRAM", "ghostty")], Sequence::Osc777),
            (&[("TERM", "foot-extra")], Sequence::Osc777),
            (&[("KONSOLE_VERSION", "240800")], Sequence::Osc777),
            (&[("TERM_PROGRAM", "vscode")], Sequence::Bell),
            (&[("TERM_PROGRAM", "Apple_Terminal")], Sequence::Bell),
            (&[("WT_SESSION", "x"), ("TERM_PROGRAM", "WezTerm")], Sequence::Bell),
            (&[("STY", "1.x"), ("TERM", "xterm-kitty")], Sequence::Bell),
        ];
        for (vars, sequence) in cases {
            assert_eq!(way(vars), Way { sequence, tmux: false }, "{vars:?}");
        }
        let inside = way(&[("TMUX", "/x,1,0"), ("KITTY_WINDOW_ID", "1")]);
        assert_eq!(inside, Way { sequence: Sequence::Osc99, tmux: true });
    }

    #[test]
    fn the_sequences_letter_by_letter() {
        let say = |sequence, tmux| {
            Way { sequence, tmux }.notice("pull/pie", Rank::Urgent, "Pie; out", "Take it out; now")
        };
        assert_eq!(say(Sequence::Osc9, false), "\x1b]9;Pie; out: Take it out; now\x07");
        assert_eq!(say(Sequence::Osc777, false), "\x1b]777;notify;Pie, out;Take it out; now\x07");
        assert_eq!(
            say(Sequence::Osc99, false),
            "\x1b]99;i=potwatch-pull_pie:d=0:u=2;Pie; out\x1b\\\
             \x1b]99;i=potwatch-pull_pie:p=body;Take it out; now\x1b\\"
        );
        assert_eq!(
            say(Sequence::Osc9, true),
            "\x1bPtmux;\x1b\x1b]9;Pie; out: Take it out; now\x07\x1b\\\x07"
        );
        assert_eq!(
            (say(Sequence::Bell, true), say(Sequence::Off, false)),
            (String::new(), String::new())
        );
    }

    #[test]
    fn a_number_first_is_no_command() {
        let osc9 = Way { sequence: Sequence::Osc9, tmux: false };
        assert_eq!(osc9.notice("k", Rank::Notice, "4;1;50", ""), "\x1b]9;- 4;1;50\x07");
    }

    #[test]
    fn the_cook_may_choose() {
        assert_eq!("osc777".parse(), Ok(Sequence::Osc777));
        let chosen = way(&[]).with("none".parse().unwrap());
        assert_eq!(chosen.sequence, Sequence::Off);
        let refused = "osc8".parse::<Sequence>().unwrap_err();
        assert_eq!(
            refused,
            "\"osc8\" is no kind of notice; it can be bell, osc9, osc777, osc99 or none"
        );
    }

    #[test]
    fn long_texts_are_cut_between_characters() {
        assert_eq!(clean("a\tb\r\n  c\x1b[2J", 20), "a b c [2J");
        assert_eq!(clean("Crème brûlée", 6), "Crème…");
        assert_eq!(clean("e\u{301}e\u{301}e\u{301}", 2), "e\u{301}…");
        assert_eq!(clean("abc\u{202e}def", 20), "abcdef");
        assert_eq!(clean("abc", 3), "abc");
    }

    #[derive(Default)]
    struct Heard {
        oscs: Vec<Vec<String>>,
        titles: Vec<String>,
        bells: usize,
    }

    impl vt100::Callbacks for Heard {
        fn audible_bell(&mut self, _: &mut vt100::Screen) {
            self.bells += 1;
        }
        fn set_window_title(&mut self, _: &mut vt100::Screen, title: &[u8]) {
            self.titles.push(String::from_utf8_lossy(title).into());
        }
        fn unhandled_osc(&mut self, _: &mut vt100::Screen, params: &[&[u8]]) {
            self.oscs.push(params.iter().map(|p| String::from_utf8_lossy(p).into()).collect());
        }
    }

    fn hear(text: &str) -> (Heard, String) {
        let mut parser = vt100::Parser::new_with_callbacks(5, 80, 0, Heard::default());
        parser.process(text.as_bytes());
        let shown = parser.screen().contents();
        (std::mem::take(parser.callbacks_mut()), shown)
    }

    proptest! {
        /// An emulator that takes them apart finds the sequence and nothing beside it, whatever the words are.
        #[test]
        fn no_words_break_out_of_a_sequence(title: String, text: String, key: String) {
            for (sequence, expected) in
                [(Sequence::Osc9, 1), (Sequence::Osc777, 1), (Sequence::Osc99, 2)]
            {
                let way = Way { sequence, tmux: false };
                let (heard, shown) = hear(&way.notice(&key, Rank::Warning, &title, &text));
                prop_assert_eq!((heard.oscs.len(), heard.bells, heard.titles.len()), (expected, 0, 0));
                prop_assert_eq!(shown, "");
            }
            let (heard, shown) = hear(&window_title(&text));
            // This emulator knows no title with a semicolon; it is one sequence all the same.
            prop_assert_eq!((heard.titles.len() + heard.oscs.len(), heard.bells), (1, 0));
            prop_assert_eq!(shown, "");
        }

        #[test]
        fn a_multiplexer_is_handed_one_sequence_and_one_bell(title: String, text: String) {
            for sequence in [Sequence::Osc9, Sequence::Osc777, Sequence::Osc99] {
                let way = Way { sequence, tmux: true };
                let wrapped = way.notice("k", Rank::Notice, &title, &text);
                let inner = wrapped.strip_prefix("\x1bPtmux;").unwrap().strip_suffix("\x1b\\\x07").unwrap();
                let plain = Way { tmux: false, ..way }.notice("k", Rank::Notice, &title, &text);
                prop_assert_eq!(inner.replace("\x1b\x1b", "\x1b"), plain);
                // The multiplexer ends it at the first ESC \ whose ESC is not doubled.
                prop_assert!(!inner.replace("\x1b\x1b", "").contains('\x1b'));
            }
        }
    }

    #[test]
    fn the_title_arrives() {
        let (heard, _) = hear(&window_title("pie out in 4 min"));
        assert_eq!(heard.titles, ["pie out in 4 min"]);
    }
}

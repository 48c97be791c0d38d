//! How things look: the grounds (dark, light, 16 colours, no colour) and the
//! sets of signs (full or plain ASCII). The terminal's own fore- and
//! background are kept everywhere; only bars, tags and bands are painted.

mod contrast;
mod glyphs;
mod palette;

pub use contrast::{contrast, luminance};
pub use glyphs::Glyphs;
pub use palette::{DISHES, dish_rgb};

use ratatui::style::{Color, Modifier, Style};

use crate::run::{Countdown, Phase, Rank};

/// What the terminal can show.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ground {
    /// 24-bit colour on a dark ground.
    Dark,
    /// 24-bit colour on a light ground.
    Light,
    /// The 16 named colours, whatever the user made of them.
    Sixteen,
    /// No colour at all: bold, reverse and underline only. Sets no colour, so
    /// that no colour command reaches the terminal and attributes survive.
    Mono,
}

/// A ground and a set of signs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    /// Colours.
    pub ground: Ground,
    /// Nothing beyond ASCII in what the program itself draws.
    pub ascii: bool,
}

/// Styles by what a text or a field means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ink {
    /// Ordinary text.
    Plain,
    /// What must be read first.
    Strong,
    /// What may be overlooked.
    Faint,
    /// The band of the title and the like.
    Band,
    /// A key to press.
    Key,
    /// The chosen row or block.
    Chosen,
    /// The line of the present time.
    Now,
    /// A service.
    Service,
    /// Heat coming up, or being kept.
    Heat,
}

impl Look {
    /// Chooses by what the environment says: `no_color` is whether `NO_COLOR`
    /// is set and not empty, `colorterm` and `term` are those variables,
    /// `light` is whether the ground is known to be light, `ascii` whether
    /// plain signs were asked for.
    #[must_use]
    pub fn choose(
        no_color: bool,
        colorterm: &str,
        term: &str,
        light: Option<bool>,
        ascii: bool,
    ) -> Self {
        let rich = matches!(colorterm, "truecolor" | "24bit") || term.ends_with("-direct");
        let poor = term.is_empty() || term == "dumb" || term.starts_with("vt");
        let ground = if no_color || (poor && !rich) {
            Ground::Mono
        } else if !rich {
            Ground::Sixteen
        } else if light == Some(true) {
            Ground::Light
        } else {
            Ground::Dark
        };
        Self { ground, ascii: ascii || term == "linux" }
    }

    /// The signs.
    #[must_use]
    pub const fn glyphs(self) -> &'static Glyphs {
        if self.ascii { &glyphs::PLAIN } else { &glyphs::FULL }
    }

    /// The style of a text.
    #[must_use]
    pub fn ink(self, ink: Ink) -> Style {
        let plain = Style::new();
        let bold = plain.add_modifier(Modifier::BOLD);
        match ink {
            Ink::Plain => plain,
            Ink::Strong | Ink::Now => bold,
            Ink::Faint => match self.ground {
                Ground::Dark => plain.fg(palette::FAINT_ON_DARK),
                Ground::Light => plain.fg(palette::FAINT_ON_LIGHT),
                Ground::Sixteen | Ground::Mono => plain,
            },
            Ink::Band => match self.ground {
                Ground::Dark => bold.fg(Color::Rgb(0xee, 0xee, 0xee)).bg(palette::BAND_DARK),
                Ground::Light => bold.fg(Color::Rgb(0x11, 0x11, 0x11)).bg(palette::BAND_LIGHT),
                Ground::Sixteen | Ground::Mono => bold.add_modifier(Modifier::UNDERLINED),
            },
            Ink::Key | Ink::Chosen => bold.add_modifier(Modifier::REVERSED),
            Ink::Service => match self.ground {
                Ground::Dark => bold.fg(palette::SKY),
                Ground::Light => bold.fg(palette::BLUE),
                Ground::Sixteen => bold.fg(Color::Cyan),
                Ground::Mono => bold,
            },
            Ink::Heat => match self.ground {
                Ground::Dark => plain.fg(palette::ORANGE),
                Ground::Light => plain.fg(palette::HEAT_ON_LIGHT),
                Ground::Sixteen => plain.fg(Color::Red),
                Ground::Mono => plain,
            },
        }
    }

    /// The full colour of a dish as a field, with text that reads on it: the
    /// tag that carries its letter, and the body of what runs now.
    #[must_use]
    pub fn tag(self, dish: usize) -> Style {
        let bold = Style::new().add_modifier(Modifier::BOLD);
        match self.ground {
            Ground::Dark | Ground::Light => {
                let rgb = dish_rgb(dish);
                bold.fg(palette::ink_on(rgb)).bg(palette::color(rgb))
            }
            Ground::Sixteen => {
                let (ground, ink) = palette::dish_sixteen(dish);
                bold.fg(ink).bg(ground)
            }
            Ground::Mono => bold.add_modifier(Modifier::REVERSED),
        }
    }

    /// The field of a dish that lies ahead: a tint where there are colours, a
    /// tray (underline) where there are few or none.
    #[must_use]
    pub fn tint(self, dish: usize) -> Style {
        match self.ground {
            Ground::Dark => {
                Style::new().fg(palette::WHITE).bg(palette::color(palette::dim(dish_rgb(dish))))
            }
            Ground::Light => {
                Style::new().fg(palette::BLACK).bg(palette::color(palette::pale(dish_rgb(dish))))
            }
            Ground::Sixteen | Ground::Mono => Style::new().add_modifier(Modifier::UNDERLINED),
        }
    }

    /// A texture drawn in a dish's colour without a field (holds, waits).
    #[must_use]
    pub fn line(self, dish: usize) -> Style {
        match self.ground {
            Ground::Dark => Style::new().fg(palette::color(palette::on_dark(dish_rgb(dish)))),
            Ground::Light => Style::new().fg(palette::color(palette::on_light(dish_rgb(dish)))),
            Ground::Sixteen | Ground::Mono => Style::new(),
        }
    }

    /// The body of a block by how far its load has come.
    #[must_use]
    pub fn body(self, phase: Phase, dish: usize) -> Style {
        match phase {
            Phase::Ahead => self.tint(dish),
            Phase::Running | Phase::Over => self.tag(dish),
            Phase::Overdone => self.rank(Rank::Urgent),
            Phase::LateStart => self.rank(Rank::Warning),
            Phase::Done | Phase::Skipped => self.ink(Ink::Faint),
        }
    }

    /// A band by how much it matters.
    #[must_use]
    pub fn rank(self, rank: Rank) -> Style {
        let bold = Style::new().add_modifier(Modifier::BOLD);
        match (self.ground, rank) {
            (Ground::Dark | Ground::Light, Rank::Urgent) => {
                bold.fg(palette::WHITE).bg(palette::ALARM)
            }
            (Ground::Dark | Ground::Light, Rank::Warning) => {
                bold.fg(palette::BLACK).bg(palette::ORANGE)
            }
            (Ground::Sixteen, Rank::Urgent) => bold.fg(Color::White).bg(Color::Red),
            (Ground::Sixteen, Rank::Warning) => bold.fg(Color::Black).bg(Color::Yellow),
            (Ground::Mono, Rank::Urgent) => bold.add_modifier(Modifier::REVERSED),
            (Ground::Mono, Rank::Warning) => {
                Style::new().add_modifier(Modifier::REVERSED | Modifier::UNDERLINED)
            }
            (_, Rank::Notice) => bold.add_modifier(Modifier::UNDERLINED),
        }
    }

    /// A limit by how it stands.
    #[must_use]
    pub fn limit(self, state: Countdown) -> Style {
        match state {
            Countdown::Fine => Style::new(),
            Countdown::Soon => self.rank(Rank::Warning),
            Countdown::Past => self.rank(Rank::Urgent),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const GROUNDS: [Ground; 4] = [Ground::Dark, Ground::Light, Ground::Sixteen, Ground::Mono];

    #[test]
    fn the_environment_chooses_the_look() {
        let pick = |no, ct, term, light| Look::choose(no, ct, term, light, false).ground;
        assert_eq!(pick(false, "truecolor", "xterm-256color", None), Ground::Dark);
        assert_eq!(pick(false, "24bit", "xterm", Some(true)), Ground::Light);
        assert_eq!(pick(false, "", "xterm-256color", Some(true)), Ground::Sixteen);
        assert_eq!(pick(true, "truecolor", "xterm", None), Ground::Mono);
        assert_eq!(pick(false, "", "vt100", None), Ground::Mono);
        assert_eq!(pick(false, "", "", None), Ground::Mono);
        assert!(Look::choose(false, "", "linux", None, false).ascii);
        assert!(Look::choose(false, "", "xterm", None, true).ascii);
    }

    #[test]
    fn no_colour_means_that_no_style_sets_one() {
        let look = Look { ground: Ground::Mono, ascii: false };
        let phases = [
            Phase::Ahead,
            Phase::LateStart,
            Phase::Running,
            Phase::Over,
            Phase::Overdone,
            Phase::Done,
            Phase::Skipped,
        ];
        let inks = [
            Ink::Plain,
            Ink::Strong,
            Ink::Faint,
            Ink::Band,
            Ink::Key,
            Ink::Chosen,
            Ink::Now,
            Ink::Service,
            Ink::Heat,
        ];
        let styles = phases
            .iter()
            .map(|&p| look.body(p, 3))
            .chain(inks.iter().map(|&i| look.ink(i)))
            .chain([Rank::Notice, Rank::Warning, Rank::Urgent].map(|r| look.rank(r)))
            .chain([look.tag(0), look.tint(5), look.line(2)]);
        for style in styles {
            assert_eq!((style.fg, style.bg), (None, None), "{style:?}");
        }
    }

    #[test]
    fn text_on_fields_can_be_read() {
        // WCAG 2.2, success criterion 1.4.3: 4.5:1 for text.
        for ground in [Ground::Dark, Ground::Light] {
            let look = Look { ground, ascii: false };
            let fields = (0..DISHES).flat_map(|d| [look.tag(d), look.tint(d)]).chain([
                look.rank(Rank::Urgent),
                look.rank(Rank::Warning),
                look.ink(Ink::Band),
            ]);
            for style in fields {
                let (Some(Color::Rgb(r, g, b)), Some(Color::Rgb(x, y, z))) = (style.fg, style.bg)
                else {
                    panic!("a field without its two colours: {style:?}");
                };
                let ratio = contrast((r, g, b), (x, y, z));
                assert!(ratio >= 4.5, "{ground:?} {style:?} only {ratio:.2}");
            }
        }
    }

    #[test]
    fn lone_text_can_be_read_on_its_ground() {
        // The same criterion, against black and a light black, white and a near white.
        for (ground, backs) in [
            (Ground::Dark, [(0, 0, 0), (0x1e, 0x1e, 0x1e)]),
            (Ground::Light, [(255, 255, 255), (0xfa, 0xfa, 0xfa)]),
        ] {
            let look = Look { ground, ascii: false };
            let texts = (0..DISHES)
                .map(|d| look.line(d))
                .chain([Ink::Faint, Ink::Service, Ink::Heat].map(|i| look.ink(i)));
            for style in texts {
                let Some(Color::Rgb(r, g, b)) = style.fg else { panic!("no colour: {style:?}") };
                for back in backs {
                    let ratio = contrast((r, g, b), back);
                    assert!(ratio >= 4.5, "{ground:?} {style:?} only {ratio:.2}");
                }
            }
        }
    }

    #[test]
    fn bands_of_different_rank_differ_everywhere() {
        for ground in GROUNDS {
            let look = Look { ground, ascii: false };
            let [a, b, c] = [Rank::Notice, Rank::Warning, Rank::Urgent].map(|r| look.rank(r));
            assert!(a != b && b != c && a != c, "{ground:?}");
        }
    }
}

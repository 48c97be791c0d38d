//! The colours. Dishes have those of Okabe and Ito, "Color Universal Design"
//! (20 Nov 2002, modified 2008), which people with colour-blindness can tell
//! apart; every use pairs them with a letter and a sign all the same.

use ratatui::style::Color;

use super::contrast::contrast;

type Rgb = (u8, u8, u8);

/// How many dish colours there are; a party with more uses them again.
pub const DISHES: usize = 8;

// Okabe and Ito 2002, in an order that keeps neighbours apart; the grey is the
// one that lists of the palette put in place of black.
const OKABE_ITO: [Rgb; DISHES] = [
    (0xE6, 0x9F, 0x00), // orange
    (0x56, 0xB4, 0xE9), // sky blue
    (0x00, 0x9E, 0x73), // bluish green
    (0xF0, 0xE4, 0x42), // yellow
    (0xCC, 0x79, 0xA7), // reddish purple
    (0x00, 0x72, 0xB2), // blue
    (0xD5, 0x5E, 0x00), // vermillion
    (0x99, 0x99, 0x99), // grey
];

pub(super) const BLACK: Color = Color::Rgb(0, 0, 0);
pub(super) const WHITE: Color = Color::Rgb(255, 255, 255);
pub(super) const ORANGE: Color = Color::Rgb(0xE6, 0x9F, 0x00);
pub(super) const SKY: Color = Color::Rgb(0x56, 0xB4, 0xE9);
pub(super) const BLUE: Color = Color::Rgb(0x00, 0x72, 0xB2);
/// Vermillion darkened until white text reads on it.
pub(super) const ALARM: Color = Color::Rgb(0xB0, 0x3A, 0x00);
/// Vermillion darkened until it reads on white.
pub(super) const HEAT_ON_LIGHT: Color = Color::Rgb(0xA8, 0x48, 0x00);
pub(super) const FAINT_ON_DARK: Color = Color::Rgb(0x99, 0x99, 0x99);
pub(super) const FAINT_ON_LIGHT: Color = Color::Rgb(0x5c, 0x5c, 0x5c);
pub(super) const BAND_DARK: Color = Color::Rgb(0x3a, 0x3a, 0x3a);
pub(super) const BAND_LIGHT: Color = Color::Rgb(0xdd, 0xdd, 0xdd);

/// The colour of a dish, by its index.
#[must_use]
pub const fn dish_rgb(dish: usize) -> (u8, u8, u8) {
    OKABE_ITO[dish % DISHES]
}

/// Ground and ink of a dish in 16 colours. Six grounds on which black (on blue:
/// white) reads in common settings of terminals.
pub(super) const fn dish_sixteen(dish: usize) -> (Color, Color) {
    match dish % 6 {
        0 => (Color::Yellow, Color::Black),
        1 => (Color::Cyan, Color::Black),
        2 => (Color::Green, Color::Black),
        3 => (Color::Magenta, Color::Black),
        4 => (Color::Blue, Color::White),
        _ => (Color::Red, Color::Black),
    }
}

pub(super) const fn color((r, g, b): Rgb) -> Color {
    Color::Rgb(r, g, b)
}

/// Black or white, whichever reads better on a field.
pub(super) fn ink_on(field: Rgb) -> Color {
    if contrast((0, 0, 0), field) >= contrast((255, 255, 255), field) { BLACK } else { WHITE }
}

/// A dark tint: white text reads on it.
pub(super) fn dim(rgb: Rgb) -> Rgb {
    mix(rgb, (0, 0, 0), 40)
}

/// A pale tint: black text reads on it.
pub(super) fn pale(rgb: Rgb) -> Rgb {
    mix(rgb, (255, 255, 255), 38)
}

/// Lightened until it reads as text on dark grounds.
pub(super) fn on_dark(rgb: Rgb) -> Rgb {
    until_read(rgb, (255, 255, 255), (0x1e, 0x1e, 0x1e))
}

/// Darkened until it reads as text on light grounds.
pub(super) fn on_light(rgb: Rgb) -> Rgb {
    until_read(rgb, (0, 0, 0), (0xfa, 0xfa, 0xfa))
}

/// Moves a colour towards another in steps until it stands out from a ground
/// at 4.5:1 (WCAG 2.2, 1.4.3).
fn until_read(rgb: Rgb, towards: Rgb, ground: Rgb) -> Rgb {
    (0..=20)
        .map(|step| mix(rgb, towards, 100 - step * 5))
        .find(|&c| contrast(c, ground) >= 4.5)
        .unwrap_or(towards)
}

/// `share` per cent of the first colour and the rest of the second.
fn mix(a: Rgb, b: Rgb, share: u32) -> Rgb {
    let one = |x: u8, y: u8| {
        let mixed = (u32::from(x) * share + u32::from(y) * (100 - share)) / 100;
        u8::try_from(mixed).unwrap_or(u8::MAX)
    };
    (one(a.0, b.0), one(a.1, b.1), one(a.2, b.2))
}

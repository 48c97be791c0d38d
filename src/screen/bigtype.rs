//! Large type: digits, capitals and a few signs, drawn from half blocks so that
//! they can be read from across a room.

use ratatui::style::Style;

use super::canvas::Canvas;
use super::look::Look;

/// Dots from the top of a letter to its foot.
const TALL: u16 = 7;

/// Columns and rows that a text takes at a scale (1 or more). Letters that the
/// font lacks count as spaces; see [`can_show`]. Plain ASCII has no half
/// blocks: there every dot is at least a row high.
#[must_use]
pub fn size(words: &str, scale: u16, look: Look) -> (u16, u16) {
    let dots = words.chars().map(|c| u32::from(letter(c).1) + 1).sum::<u32>().saturating_sub(1);
    let columns = u16::try_from(dots.saturating_mul(u32::from(scale))).unwrap_or(u16::MAX);
    (columns, rows(scale, look))
}

fn rows(scale: u16, look: Look) -> u16 {
    if look.ascii {
        TALL.saturating_mul(scale.div_ceil(2))
    } else {
        TALL.saturating_mul(scale).div_ceil(2)
    }
}

/// Does the font have every letter of the text?
#[must_use]
pub fn can_show(words: &str) -> bool {
    words.chars().all(|c| c == ' ' || letter(c).0 != ' ')
}

/// The largest scale, at most `most`, at which a text fits; 0 if none.
#[must_use]
pub fn fitting(words: &str, columns: u16, rows: u16, most: u16, look: Look) -> u16 {
    (1..=most)
        .rev()
        .find(|&s| {
            let (w, h) = size(words, s, look);
            w <= columns && h <= rows
        })
        .unwrap_or(0)
}

/// The text broken at spaces into lines that fit at a scale; none if a single
/// word does not.
#[must_use]
pub fn wrap(words: &str, columns: u16, scale: u16, look: Look) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in words.split_whitespace() {
        if size(word, scale, look).0 > columns {
            return Vec::new();
        }
        match lines.last_mut() {
            Some(line) if size(&format!("{line} {word}"), scale, look).0 <= columns => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// The text in as few lines as [`wrap`] needs, as even as they go: no word
/// stands alone that need not.
#[must_use]
pub fn even(words: &str, columns: u16, scale: u16, look: Look) -> Vec<String> {
    let lines = wrap(words, columns, scale, look);
    let (mut least, mut most) = (0, columns);
    while least < most {
        let middle = least + (most - least) / 2;
        let tried = wrap(words, middle, scale, look);
        if !tried.is_empty() && tried.len() <= lines.len() {
            most = middle;
        } else {
            least = middle + 1;
        }
    }
    wrap(words, most, scale, look)
}

/// Draws a text with its top left corner at a place. Cells between the dots
/// are left as they are.
pub fn draw(canvas: &mut Canvas, x: u16, y: u16, words: &str, scale: u16, style: Style) {
    let look = canvas.look;
    let high = rows(scale, look);
    // Halves of a cell from top to bottom, two to a row.
    let halves = if look.ascii { scale.div_ceil(2) * 2 } else { scale };
    let mut left = x;
    for c in words.chars() {
        let (_, wide, dots) = letter(c);
        let lit = |column: u16, half: u16| {
            let row = usize::from(half / halves.max(1));
            let bit = wide - 1 - (column / scale.max(1)).min(wide - 1);
            dots.get(row).is_some_and(|r| r >> bit & 1 == 1)
        };
        for row in 0..high {
            for column in 0..wide * scale {
                let sign = match (lit(column, row * 2), lit(column, row * 2 + 1)) {
                    (true, true) if look.ascii => "#",
                    (true, true) => "█",
                    (true, false) => "▀",
                    (false, true) => "▄",
                    (false, false) => continue,
                };
                canvas.put(left.saturating_add(column), y.saturating_add(row), sign, style);
            }
        }
        left = left.saturating_add((wide + 1) * scale);
    }
}

fn letter(c: char) -> (char, u16, [u8; 7]) {
    let c = c.to_uppercase().next().unwrap_or(' ');
    FONT.iter().find(|l| l.0 == c).copied().unwrap_or((' ', 3, [0; 7]))
}

// Our own drawing: a letter, its width in dots, its rows from the top.
#[rustfmt::skip]
const FONT: [(char, u16, [u8; 7]); 50] = [
    ('0', 5, [0b01110, 0b10001, 0b10011, 0b10101, 0b11001, 0b10001, 0b01110]),
    ('1', 5, [0b00100, 0b01100, 0b00100, 0b00100, 0b00100, 0b00100, 0b01110]),
    ('2', 5, [0b01110, 0b10001, 0b00001, 0b00110, 0b01000, 0b10000, 0b11111]),
    ('3', 5, [0b11110, 0b00001, 0b00001, 0b01110, 0b00001, 0b00001, 0b11110]),
    ('4', 5, [0b00010, 0b00110, 0b01010, 0b10010, 0b11111, 0b00010, 0b00010]),
    ('5', 5, [0b11111, 0b10000, 0b11110, 0b00001, 0b00001, 0b10001, 0b01110]),
    ('6', 5, [0b00110, 0b01000, 0b10000, 0b11110, 0b10001, 0b10001, 0b01110]),
    ('7', 5, [0b11111, 0b00001, 0b00010, 0b00100, 0b01000, 0b01000, 0b01000]),
    ('8', 5, [0b01110, 0b10001, 0b10001, 0b01110, 0b10001, 0b10001, 0b01110]),
    ('9', 5, [0b01110, 0b10001, 0b10001, 0b01111, 0b00001, 0b00010, 0b01100]),
    ('A', 5, [0b01110, 0b10001, 0b10001, 0b11111, 0b10001, 0b10001, 0b10001]),
    ('B', 5, [0b11110, 0b10001, 0b10001, 0b11110, 0b10001, 0b10001, 0b11110]),
    ('C', 5, [0b01110, 0b10001, 0b10000, 0b10000, 0b10000, 0b10001, 0b01110]),
    ('D', 5, [0b11110, 0b10001, 0b10001, 0b10001, 0b10001, 0b10001, 0b11110]),
    ('E', 5, [0b11111, 0b10000, 0b10000, 0b11110, 0b10000, 0b10000, 0b11111]),
    ('F', 5, [0b11111, 0b10000, 0b10000, 0b11110, 0b10000, 0b10000, 0b10000]),
    ('G', 5, [0b01110, 0b10001, 0b10000, 0b10111, 0b10001, 0b10001, 0b01111]),
    ('H', 5, [0b10001, 0b10001, 0b10001, 0b11111, 0b10001, 0b10001, 0b10001]),
    ('I', 3, [0b111, 0b010, 0b010, 0b010, 0b010, 0b010, 0b111]),
    ('J', 5, [0b00111, 0b00010, 0b00010, 0b00010, 0b00010, 0b10010, 0b01100]),
    ('K', 5, [0b10001, 0b10010, 0b10100, 0b11000, 0b10100, 0b10010, 0b10001]),
    ('L', 5, [0b10000, 0b10000, 0b10000, 0b10000, 0b10000, 0b10000, 0b11111]),
    ('M', 5, [0b10001, 0b11011, 0b10101, 0b10101, 0b10001, 0b10001, 0b10001]),
    ('N', 5, [0b10001, 0b11001, 0b10101, 0b10101, 0b10011, 0b10001, 0b10001]),
    ('O', 5, [0b01110, 0b10001, 0b10001, 0b10001, 0b10001, 0b10001, 0b01110]),
    ('P', 5, [0b11110, 0b10001, 0b10001, 0b11110, 0b10000, 0b10000, 0b10000]),
    ('Q', 5, [0b01110, 0b10001, 0b10001, 0b10001, 0b10101, 0b10010, 0b01101]),
    ('R', 5, [0b11110, 0b10001, 0b10001, 0b11110, 0b10100, 0b10010, 0b10001]),
    ('S', 5, [0b01111, 0b10000, 0b10000, 0b01110, 0b00001, 0b00001, 0b11110]),
    ('T', 5, [0b11111, 0b00100, 0b00100, 0b00100, 0b00100, 0b00100, 0b00100]),
    ('U', 5, [0b10001, 0b10001, 0b10001, 0b10001, 0b10001, 0b10001, 0b01110]),
    ('V', 5, [0b10001, 0b10001, 0b10001, 0b10001, 0b10001, 0b01010, 0b00100]),
    ('W', 5, [0b10001, 0b10001, 0b10001, 0b10101, 0b10101, 0b11011, 0b10001]),
    ('X', 5, [0b10001, 0b10001, 0b01010, 0b00100, 0b01010, 0b10001, 0b10001]),
    ('Y', 5, [0b10001, 0b10001, 0b01010, 0b00100, 0b00100, 0b00100, 0b00100]),
    ('Z', 5, [0b11111, 0b00001, 0b00010, 0b00100, 0b01000, 0b10000, 0b11111]),
    (':', 1, [0b0, 0b1, 0b1, 0b0, 0b1, 0b1, 0b0]),
    ('.', 1, [0b0, 0b0, 0b0, 0b0, 0b0, 0b1, 0b1]),
    (',', 2, [0b00, 0b00, 0b00, 0b00, 0b00, 0b01, 0b10]),
    ('!', 1, [0b1, 0b1, 0b1, 0b1, 0b1, 0b0, 0b1]),
    ('?', 5, [0b01110, 0b10001, 0b00001, 0b00110, 0b00100, 0b00000, 0b00100]),
    ('+', 5, [0b00000, 0b00100, 0b00100, 0b11111, 0b00100, 0b00100, 0b00000]),
    ('-', 3, [0b000, 0b000, 0b000, 0b111, 0b000, 0b000, 0b000]),
    ('\'', 1, [0b1, 0b1, 0b0, 0b0, 0b0, 0b0, 0b0]),
    ('/', 5, [0b00001, 0b00001, 0b00010, 0b00100, 0b01000, 0b10000, 0b10000]),
    ('%', 5, [0b11001, 0b11001, 0b00010, 0b00100, 0b01000, 0b10011, 0b10011]),
    ('(', 2, [0b01, 0b10, 0b10, 0b10, 0b10, 0b10, 0b01]),
    (')', 2, [0b10, 0b01, 0b01, 0b01, 0b01, 0b01, 0b10]),
    ('°', 3, [0b111, 0b101, 0b111, 0b000, 0b000, 0b000, 0b000]),
    (' ', 3, [0b000, 0b000, 0b000, 0b000, 0b000, 0b000, 0b000]),
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::screen::look::Ground;

    const LOOK: Look = Look { ground: Ground::Mono, ascii: false };
    const PLAIN: Look = Look { ground: Ground::Mono, ascii: true };

    #[test]
    fn digits_are_of_one_width_so_that_a_countdown_stands_still() {
        let wide = ('0'..='9').map(|d| size(&d.to_string(), 1, LOOK).0).collect::<Vec<_>>();
        assert!(wide.iter().all(|&w| w == 5), "{wide:?}");
    }

    #[test]
    fn no_two_letters_look_alike() {
        for (i, a) in FONT.iter().enumerate() {
            for b in &FONT[i + 1..] {
                // I and the like differ in width; equal dots in equal width would not be told apart.
                assert!(a.1 != b.1 || a.2 != b.2, "{} and {}", a.0, b.0);
            }
        }
    }

    #[test]
    fn digits_are_at_least_seven_rows_high_at_scale_two() {
        assert_eq!(size("12:34", 2, LOOK), (50, 7));
        assert_eq!((size("12:34", 1, PLAIN).1, size("12:34", 2, PLAIN).1), (7, 7));
        assert_eq!(fitting("12:34", 56, 8, 3, LOOK), 2);
        assert_eq!(fitting("12:34", 10, 8, 3, LOOK), 0);
    }

    #[test]
    fn words_that_the_font_lacks_are_known() {
        assert!(can_show("Pull the pie!"));
        assert!(!can_show("南瓜"));
    }

    #[test]
    fn lines_fit_their_columns() {
        let lines = wrap("put the rolls in the oven", 72, 1, LOOK);
        assert!(lines.len() > 1 && lines.iter().all(|l| size(l, 1, LOOK).0 <= 72));
        assert!(wrap("unreasonably-long-word", 20, 1, LOOK).is_empty());
        assert!(even("unreasonably-long-word", 20, 1, LOOK).is_empty());
        let wide = size("pan pie: brown", 1, LOOK).0;
        assert_eq!(wrap("pan pie: brown done", wide, 1, LOOK), ["pan pie: brown", "done"]);
        assert_eq!(even("pan pie: brown done", wide, 1, LOOK), ["pan pie:", "brown done"]);
    }
}

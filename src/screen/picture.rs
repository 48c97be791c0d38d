//! A screen as an SVG picture: the same cells that a terminal gets, drawn with
//! rectangles and a monospaced font. No script, no links, always the same.

use std::fmt::Write;

use ratatui::buffer::{Buffer, Cell};
use ratatui::style::{Color, Modifier};

/// Width of a cell in SVG units.
const WIDE: u32 = 10;
/// Height of a cell.
const HIGH: u32 = 20;
/// The ground of the picture.
const GROUND: &str = "#181818";
/// What is written in no colour of its own.
const INK: &str = "#d4d4d4";

/// The picture of a buffer.
#[must_use]
pub fn svg(buffer: &Buffer) -> String {
    let area = buffer.area;
    let (width, height) = (u32::from(area.width) * WIDE, u32::from(area.height) * HIGH);
    let mut svg = String::new();
    // Writing into a string cannot fail.
    let _ = writeln!(
        svg,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" \
         font-family=\"DejaVu Sans Mono, Menlo, Consolas, monospace\" font-size=\"16\">\n\
         <rect width=\"{width}\" height=\"{height}\" fill=\"{GROUND}\"/>"
    );
    for y in 0..area.height {
        row(&mut svg, buffer, y);
    }
    svg.push_str("</svg>\n");
    svg
}

/// How a cell is drawn.
#[derive(Clone, PartialEq)]
struct Paint {
    ink: String,
    ground: Option<String>,
    bold: bool,
    line: bool,
}

fn paint(cell: &Cell) -> Paint {
    let (mut ink, mut ground) = (colour(cell.fg), colour(cell.bg));
    if cell.modifier.contains(Modifier::REVERSED) {
        let was = ink.take();
        ink = Some(ground.take().unwrap_or_else(|| GROUND.to_owned()));
        ground = Some(was.unwrap_or_else(|| INK.to_owned()));
    }
    Paint {
        ink: ink.unwrap_or_else(|| INK.to_owned()),
        ground,
        bold: cell.modifier.contains(Modifier::BOLD),
        line: cell.modifier.contains(Modifier::UNDERLINED),
    }
}

fn row(svg: &mut String, buffer: &Buffer, y: u16) {
    let cells: Vec<(Paint, &str)> = (0..buffer.area.width)
        .filter_map(|x| buffer.cell((buffer.area.x + x, buffer.area.y + y)))
        .map(|cell| (paint(cell), cell.symbol()))
        .collect();
    let top = u32::from(y) * HIGH;
    let mut x = 0;
    while x < cells.len() {
        let same = |c: &&(Paint, &str)| c.0 == cells[x].0;
        let run = cells[x..].iter().take_while(same).count();
        stretch(svg, &cells[x..x + run], u32::try_from(x).unwrap_or(0) * WIDE, top);
        x += run;
    }
}

/// Cells beside each other that look alike.
fn stretch(svg: &mut String, cells: &[(Paint, &str)], left: u32, top: u32) {
    let Some((paint, _)) = cells.first() else { return };
    let wide = u32::try_from(cells.len()).unwrap_or(0) * WIDE;
    if let Some(ground) = &paint.ground {
        rect(svg, [left, top, wide, HIGH], ground);
    }
    let mut words = String::new();
    for (i, (_, symbol)) in cells.iter().enumerate() {
        let at = left + u32::try_from(i).unwrap_or(0) * WIDE;
        match symbol.chars().next().and_then(block) {
            Some([x, y, w, h]) => {
                rect(svg, [at + x, top + y, w, h], &paint.ink);
                words.push(' ');
            }
            None => words.push_str(symbol),
        }
    }
    if !words.trim().is_empty() {
        let weight = if paint.bold { " font-weight=\"bold\"" } else { "" };
        let words = words.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;");
        let _ = writeln!(
            svg,
            "<text x=\"{left}\" y=\"{}\" fill=\"{}\"{weight} textLength=\"{wide}\" \
             lengthAdjust=\"spacingAndGlyphs\" xml:space=\"preserve\">{words}</text>",
            top + 15,
            paint.ink
        );
    }
    if paint.line {
        rect(svg, [left, top + HIGH - 2, wide, 1], &paint.ink);
    }
}

fn rect(svg: &mut String, [x, y, w, h]: [u32; 4], fill: &str) {
    let _ =
        writeln!(svg, "<rect x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\" fill=\"{fill}\"/>");
}

/// The part of its cell that a block element (U+2580 to U+2590) fills: left, top, width, height.
fn block(sign: char) -> Option<[u32; 4]> {
    let code = u32::from(sign);
    Some(match code {
        0x2580 => [0, 0, WIDE, HIGH / 2],
        0x2581..=0x2588 => {
            let high = HIGH * (code - 0x2580) / 8;
            [0, HIGH - high, WIDE, high]
        }
        0x2589..=0x258F => [0, 0, (WIDE * (0x2590 - code)).div_ceil(8), HIGH],
        0x2590 => [WIDE / 2, 0, WIDE / 2, HIGH],
        _ => return None,
    })
}

fn colour(color: Color) -> Option<String> {
    let named = |hex: &str| Some(hex.to_owned());
    match color {
        Color::Rgb(r, g, b) => Some(format!("#{r:02x}{g:02x}{b:02x}")),
        Color::Black => named("#000000"),
        Color::Red | Color::LightRed => named("#cd3131"),
        Color::Green | Color::LightGreen => named("#0dbc79"),
        Color::Yellow | Color::LightYellow => named("#c5a000"),
        Color::Blue | Color::LightBlue => named("#2472c8"),
        Color::Magenta | Color::LightMagenta => named("#bc3fbc"),
        Color::Cyan | Color::LightCyan => named("#11a8cd"),
        Color::Gray | Color::White => named("#cccccc"),
        Color::DarkGray => named("#666666"),
        Color::Reset | Color::Indexed(_) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use ratatui::layout::Rect;
    use ratatui::style::Style;

    #[test]
    fn words_blocks_and_reversed_cells_are_drawn() {
        let mut buffer = Buffer::empty(Rect::new(0, 0, 6, 1));
        buffer.set_string(0, 0, "a<b", Style::new());
        buffer.set_string(3, 0, "\u{2588}", Style::new().fg(Color::Rgb(1, 2, 3)));
        buffer.set_string(4, 0, "r", Style::new().add_modifier(Modifier::REVERSED));
        let svg = svg(&buffer);
        assert!(svg.starts_with("<svg ") && svg.ends_with("</svg>\n"));
        assert!(svg.contains(">a&lt;b</text>"), "{svg}");
        assert!(svg.contains("x=\"30\" y=\"0\" width=\"10\" height=\"20\" fill=\"#010203\""));
        assert!(svg.contains("x=\"40\" y=\"0\" width=\"10\" height=\"20\" fill=\"#d4d4d4\""));
    }
}

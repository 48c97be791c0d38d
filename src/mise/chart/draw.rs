//! The lanes as SVG.

use std::fmt::Write as _;

use unicode_segmentation::UnicodeSegmentation;
use unicode_width::UnicodeWidthStr;

use super::lanes::{Item, Lane, Shape, lanes};
use super::stretch::stretches;
use crate::kitchen::{Evening, Minute};
use crate::paper::{Picture, escape};
use crate::plan::Plan;

/// Width of a picture, in its own units.
const WIDE: i32 = 1000;
/// Where the lanes begin: before it their names stand.
const LEFT: i32 = 176;
/// Height of a lane.
const LANE: i32 = 30;
/// Above the first lane: services and clock times.
const HEAD: i32 = 44;
/// Below the last lane.
const FOOT: i32 = 8;
/// Size of the letters: 14 units are 7.5 points where the picture is 190 mm wide.
const SIZE: i32 = 14;
/// A letter is about so wide, in hundredths of its size; the widest common
/// faces of a browser's sans-serif stay below.
const LETTER_PERCENT: i32 = 62;

/// Light grounds on which black is read easily, told apart also by those who
/// see few colours: tints of the set of Okabe and Ito (2008).
const TINTS: [&str; 8] =
    ["#fbe3bf", "#d3ecf9", "#c8ebdf", "#faf6c4", "#c9dff0", "#f6d5bd", "#eed9e6", "#e4e4e4"];

/// A picture for each stretch of the plan, by time.
#[must_use]
pub fn pictures(evening: &Evening, plan: &Plan) -> Vec<Picture> {
    pictures_of(evening, plan, &lanes(evening, plan))
}

/// As [`pictures`], of lanes that were made already.
pub(super) fn pictures_of(evening: &Evening, plan: &Plan, all: &[Lane]) -> Vec<Picture> {
    let stretches = stretches(&spans(evening, plan, all));
    let numbered = stretches.iter().enumerate();
    numbered
        .map(|(number, span)| {
            let title = title(evening, *span);
            let (body, height) = body(evening, plan, all, *span, number);
            let svg = format!(
                "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDE} {height}\" \
                 role=\"img\" aria-label=\"{}\" {FONT}>\n{body}</svg>\n",
                escape(&format!("Lane chart, {title}"))
            );
            Picture { title, height, svg }
        })
        .collect()
}

const FONT: &str = "font-family=\"Helvetica, Arial, 'Liberation Sans', 'DejaVu Sans', sans-serif\" \
                    font-size=\"14\" fill=\"#111\"";

/// All stretches below each other as one picture, a file of its own.
#[must_use]
pub fn whole(evening: &Evening, plan: &Plan) -> String {
    let legend = legend(evening, plan);
    whole_of(evening, plan, &lanes(evening, plan), &legend)
}

/// As [`whole`], of lanes that were made already.
pub(super) fn whole_of(evening: &Evening, plan: &Plan, all: &[Lane], legend: &[String]) -> String {
    const GAP: i32 = 34;
    let mut top = 40;
    let mut parts = String::new();
    for (number, span) in stretches(&spans(evening, plan, all)).into_iter().enumerate() {
        let (body, height) = body(evening, plan, all, span, number);
        let title = escape(&title(evening, span));
        // Writing into a string cannot fail.
        let _ = write!(
            parts,
            "<text x=\"8\" y=\"{}\" font-weight=\"bold\">{title}</text>\n\
             <g transform=\"translate(0 {})\">\n{body}</g>\n",
            top + 18,
            top + 24
        );
        top += height + GAP;
    }
    for line in legend {
        let _ = writeln!(parts, "<text x=\"8\" y=\"{}\">{}</text>", top + 16, escape(line));
        top += 20;
    }
    let height = top + 16;
    let name = escape(&format!("{}, {}", evening.party.title, evening.party.day));
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {WIDE} {height}\" role=\"img\" \
         aria-labelledby=\"chart-title\" {FONT}>\n\
         <title id=\"chart-title\">Lane chart: {name}</title>\n\
         <rect width=\"{WIDE}\" height=\"{height}\" fill=\"#fff\"/>\n\
         <text x=\"8\" y=\"26\" font-size=\"20\" font-weight=\"bold\">{name}</text>\n{parts}</svg>\n"
    )
}

/// What the shapes mean, and the dishes' letters.
#[must_use]
pub fn legend(evening: &Evening, plan: &Plan) -> Vec<String> {
    let planned = |dish: usize| plan.blocks.iter().any(|b| b.key.dish == dish);
    let dishes = evening.sheets.iter().enumerate().filter(|(dish, _)| planned(*dish));
    let dishes = dishes.map(|(_, s)| format!("{} {}", s.letter, s.short()));
    let mut lines = vec![String::new()];
    for dish in dishes {
        let room = WIDE * 100 / (SIZE * LETTER_PERCENT);
        match lines.last_mut() {
            Some(line) if i32::try_from(line.width() + dish.width()).unwrap_or(room) + 3 < room => {
                if !line.is_empty() {
                    line.push_str(", ");
                }
                line.push_str(&dish);
            }
            _ => lines.push(dish),
        }
    }
    lines.push(
        "Framed: a step. Hatched: waits for its service. Dashed: waits between two steps."
            .to_owned(),
    );
    lines.push(
        "Wedge: the oven on its way to a setting. Hands: a whole block wants all of them, a low bar a part."
            .to_owned(),
    );
    lines
}

fn title(evening: &Evening, (from, to): (Minute, Minute)) -> String {
    let face = &evening.face;
    let day = crate::mise::day_words(evening, from);
    format!("{day}{} to {}", face.label(from), face.label(to))
}

fn spans(evening: &Evening, plan: &Plan, lanes: &[Lane]) -> Vec<(Minute, Minute)> {
    // A wait over night is no reason to draw the night.
    let drawn = |i: &&Item| !matches!(i.shape, Shape::Hold | Shape::Wait);
    let items = lanes.iter().flat_map(|l| &l.items).filter(drawn).map(|i| (i.from, i.to));
    let served = plan.services.iter().flat_map(|s| &s.dishes).map(|d| d.2);
    let due = (0..evening.party.services.len()).map(|s| evening.service_minute(s));
    // With a minute before it: a service of which all was made long ago is drawn too, with what waits for it.
    items.chain(served.chain(due).map(|at| (at - 1, at + 1))).collect()
}

/// A stretch, without the element around it, and its height.
fn body(
    evening: &Evening,
    plan: &Plan,
    lanes: &[Lane],
    span: (Minute, Minute),
    number: usize,
) -> (String, i32) {
    let shown: Vec<(&Lane, Vec<&Item>)> = lanes
        .iter()
        .map(|l| {
            (l, l.items.iter().filter(|i| i.from < span.1 && i.to > span.0).collect::<Vec<_>>())
        })
        .filter(|(_, items)| !items.is_empty())
        .collect();
    let rows = i32::try_from(shown.len()).unwrap_or(0);
    let height = HEAD + rows * LANE + FOOT;
    let scale = Scale { span, number, bottom: HEAD + rows * LANE };
    let mut svg = scale.hatch();
    scale.clock(&mut svg, evening);
    for (row, (lane, items)) in (0..rows).zip(&shown) {
        let top = HEAD + row * LANE;
        let _ = writeln!(
            svg,
            "<line x1=\"0\" y1=\"{top}\" x2=\"{WIDE}\" y2=\"{top}\" stroke=\"#999\"/>"
        );
        let name = fitted(std::slice::from_ref(&lane.title), LEFT - 12).unwrap_or_default();
        text(&mut svg, (6, top + 20), "", &name);
        for item in items {
            scale.item(&mut svg, item, top);
        }
    }
    scale.services(&mut svg, evening, plan);
    let _ = writeln!(
        svg,
        "<line x1=\"0\" y1=\"{0}\" x2=\"{WIDE}\" y2=\"{0}\" stroke=\"#999\"/>",
        scale.bottom
    );
    (svg, height)
}

/// Where minutes lie in a stretch.
struct Scale {
    span: (Minute, Minute),
    number: usize,
    bottom: i32,
}

impl Scale {
    fn x(&self, minute: Minute) -> i32 {
        let minute = minute.clamp(self.span.0, self.span.1);
        let (past, all) = (i64::from(minute - self.span.0), i64::from(self.span.1 - self.span.0));
        LEFT + i32::try_from(past * i64::from(WIDE - LEFT - 2) / all.max(1)).unwrap_or(0)
    }

    /// The ground of what waits.
    fn hatch(&self) -> String {
        format!(
            "<defs><pattern id=\"hatch-{}\" width=\"7\" height=\"7\" patternUnits=\"userSpaceOnUse\" \
             patternTransform=\"rotate(45)\"><rect width=\"7\" height=\"7\" fill=\"#fff\"/>\
             <line x1=\"0\" y1=\"0\" x2=\"0\" y2=\"7\" stroke=\"#aaa\" stroke-width=\"2\"/></pattern></defs>\n",
            self.number
        )
    }

    /// A line each quarter of an hour, its time each half.
    fn clock(&self, svg: &mut String, evening: &Evening) {
        let first = self.span.0.div_euclid(15) * 15;
        let mut minute = first;
        while minute <= self.span.1 {
            if minute >= self.span.0 {
                let x = self.x(minute);
                let half = minute.rem_euclid(30) == 0;
                let stroke = if half { "#bbb" } else { "#e4e4e4" };
                let _ = writeln!(
                    svg,
                    "<line x1=\"{x}\" y1=\"{}\" x2=\"{x}\" y2=\"{}\" stroke=\"{stroke}\"/>",
                    HEAD - 4,
                    self.bottom
                );
                if half {
                    let (anchor, x) = match (minute == self.span.0, minute == self.span.1) {
                        (_, true) => (" text-anchor=\"end\"", x),
                        (true, _) => ("", x),
                        _ => (" text-anchor=\"middle\"", x),
                    };
                    text(svg, (x, HEAD - 8), anchor, &evening.face.label(minute));
                }
            }
            minute += 15;
        }
    }

    fn services(&self, svg: &mut String, evening: &Evening, plan: &Plan) {
        for line in &plan.services {
            let inside = self.span.0 < line.due && line.due <= self.span.1;
            let Some(service) = evening.party.services.get(line.service).filter(|_| inside) else {
                continue;
            };
            let x = self.x(line.due);
            let _ = writeln!(
                svg,
                "<line x1=\"{x}\" y1=\"18\" x2=\"{x}\" y2=\"{}\" stroke=\"#111\" stroke-width=\"2\" \
                 stroke-dasharray=\"6 3\"/>",
                self.bottom
            );
            let words = format!("{} {}", evening.face.label(line.due), service.title);
            let right = x + i32::try_from(words.width()).unwrap_or(0) * SIZE * LETTER_PERCENT / 100;
            let anchor = if right > WIDE - 4 { " text-anchor=\"end\"" } else { "" };
            text(svg, (x.min(WIDE - 4), 14), &format!("{anchor} font-weight=\"bold\""), &words);
        }
    }

    fn item(&self, svg: &mut String, item: &Item, top: i32) {
        let (x, right) = (self.x(item.from), self.x(item.to));
        let wide = (right - x).max(2);
        let (y, high) = (top + 3, LANE - 6);
        let _ = writeln!(svg, "<g><title>{}</title>", escape(&item.words));
        let tint = item.dish.map_or("#fff", |d| TINTS[d % TINTS.len()]);
        let hatch = format!("url(#hatch-{})", self.number);
        let mut room = wide - 6;
        let base = y + 17;
        match item.shape {
            Shape::Step => rect(svg, [x, y, wide, high], tint, "stroke-width=\"1.5\" rx=\"2\""),
            Shape::Hold => rect(svg, [x, y, wide, high], &hatch, "rx=\"2\""),
            Shape::Wait => {
                rect(svg, [x, y, wide, high], "#fff", "stroke-dasharray=\"3 3\" rx=\"2\"");
            }
            Shape::Heating | Shape::Cooling => {
                let (low, high_at) = (y + high, y);
                let tip = if item.shape == Shape::Heating { right } else { x };
                let _ = writeln!(
                    svg,
                    "<polygon points=\"{x},{low} {tip},{high_at} {right},{low}\" fill=\"#fff\" \
                     stroke=\"#111\"/>"
                );
            }
            Shape::Hands(percent) => {
                let tall = (high * percent / 100).clamp(4, high);
                rect(svg, [x, y + high - tall, wide, tall], tint, "stroke-width=\"1\"");
                if percent < 70 {
                    room = 0;
                }
            }
        }
        if let Some(name) = fitted(&item.names, room) {
            // On hatching, the letters have a ground of their own.
            if item.shape == Shape::Hold {
                let across = i32::try_from(name.width()).unwrap_or(0) * SIZE * LETTER_PERCENT / 100;
                let _ = writeln!(
                    svg,
                    "<rect x=\"{}\" y=\"{}\" width=\"{across}\" height=\"18\" fill=\"#fff\"/>",
                    x + 3,
                    y + 3
                );
            }
            text(svg, (x + 4, base), "", &name);
        }
        svg.push_str("</g>\n");
    }
}

fn rect(svg: &mut String, [x, y, w, h]: [i32; 4], fill: &str, more: &str) {
    let _ = writeln!(
        svg,
        "<rect x=\"{x}\" y=\"{y}\" width=\"{w}\" height=\"{h}\" fill=\"{fill}\" stroke=\"#111\" {more}/>"
    );
}

fn text(svg: &mut String, (x, y): (i32, i32), more: &str, words: &str) {
    let _ = writeln!(svg, "<text x=\"{x}\" y=\"{y}\"{more}>{}</text>", escape(words));
}

/// The longest of the names that fits, or the start of the last; nothing if
/// there is no room for a letter.
fn fitted(names: &[String], room: i32) -> Option<String> {
    let letters = usize::try_from(room * 100 / (SIZE * LETTER_PERCENT)).unwrap_or(0);
    if let Some(name) = names.iter().find(|n| n.width() <= letters) {
        return Some(name.clone());
    }
    let last = names.last().filter(|_| letters >= 3)?;
    let mut cut = String::new();
    for piece in last.graphemes(true) {
        if cut.width() + piece.width() + 1 > letters {
            break;
        }
        cut.push_str(piece);
    }
    Some(format!("{}…", cut.trim_end()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A letter is 8.68 units wide: n of them need 8.68 n, whatever is left over.
    #[test]
    fn a_name_is_the_longest_that_fits() {
        let names = ["R Roast: roast 1/2", "R roast 1/2", "R 1/2", "R"].map(str::to_owned);
        for letters in 0..30_i32 {
            let expected = match letters {
                0 => None,
                1..=4 => Some("R"),
                5..=10 => Some("R 1/2"),
                11..=17 => Some("R roast 1/2"),
                _ => Some("R Roast: roast 1/2"),
            };
            let least = (letters * 868 + 99) / 100;
            for room in least..(((letters + 1) * 868 + 99) / 100) {
                assert_eq!(fitted(&names, room).as_deref(), expected, "{letters}: {room}");
            }
        }
        assert_eq!(fitted(&names, -5), None);
        // Of what is too long the start, from three letters on.
        let one = ["Knödel mit Kraut".to_owned()];
        let cut = |letters: i32| fitted(&one, (letters * 868 + 99) / 100);
        let starts = [None, None, None, Some("Kn…"), Some("Knö…"), Some("Knöd…"), Some("Knöde…")];
        for (letters, expected) in (0..).zip(starts) {
            assert_eq!(cut(letters).as_deref(), expected, "{letters}");
        }
        assert_eq!(cut(8).as_deref(), Some("Knödel…"), "no space before the dots");
        assert_eq!(cut(15).as_deref(), Some("Knödel mit Kra…"));
        assert_eq!(cut(16).as_deref(), Some("Knödel mit Kraut"));
    }

    /// 115 letters go on a line of 1 000 units.
    #[test]
    fn the_legend_names_each_dish_and_keeps_to_the_width() {
        let (mut evening, mut plan) = crate::plan::compose::tests::supper();
        let dishes = |evening: &Evening, plan: &Plan| {
            let lines = legend(evening, plan);
            let shapes = lines.len() - 2;
            assert!(
                lines[shapes].starts_with("Framed: a step.")
                    && lines[shapes + 1].starts_with("Wedge: ")
            );
            lines[..shapes].to_vec()
        };
        assert_eq!(dishes(&evening, &plan), ["R Roast, C Chips, D Yoghurt dip"]);
        for (letters, lines) in [(53, 2), (54, 3)] {
            for sheet in &mut evening.sheets {
                sheet.recipe.short = Some("x".repeat(letters));
            }
            assert_eq!(dishes(&evening, &plan).len(), lines, "{letters}");
        }
        plan.blocks.retain(|b| b.key.dish == 1);
        assert_eq!(dishes(&evening, &plan), [format!("C {}", "x".repeat(54))]);
    }
}

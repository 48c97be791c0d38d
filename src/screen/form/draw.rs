//! Draws a form: its rows, what is to be known of the field in focus, what is
//! wrong, and of a recipe the sketch of its lanes.

use ratatui::layout::Rect;
use ratatui::style::{Modifier, Style};

use super::faults::is_of;
use super::sketch::Sketch;
use super::{Fault, Form, Known, Row, Sort, What, confirm, diff, faults, subject};
use crate::order::InOrder;
use crate::paper::capital;
use crate::run::Rank;
use crate::screen::canvas::{Canvas, Hit, bottom, left, middle, top};
use crate::screen::card::visible;
use crate::screen::look::Ink;
use crate::screen::text;

/// From this width on, what is to be known stands beside the rows.
const WIDE: u16 = 108;
/// Columns of the labels.
const LABELS: u16 = 20;

/// Draws the form.
pub fn draw(canvas: &mut Canvas, field: Rect, form: &Form, known: &Known) {
    let rows = form.rows(known);
    let found = faults(&form.paper, known);
    let (head, rest) = top(field, 1);
    title(canvas, head, form, known, &found);
    let (rest, foot) = bottom(rest, 1);
    keys(canvas, foot, form, &rows);
    let (rest, say) = bottom(rest, 1);
    if let Some(words) = &form.say {
        canvas.text(
            say.x + 1,
            say.y,
            say.width.saturating_sub(2),
            words,
            canvas.look.ink(Ink::Strong),
        );
    }
    let sketch = (form.paper.sort == Sort::Recipe).then(|| Sketch::of(&form.paper.value)).flatten();
    let body = if field.width >= WIDE {
        let (body, side) = left(rest, field.width * 11 / 20);
        let side = Rect { x: side.x + 2, width: side.width.saturating_sub(3), ..side };
        let rows_of = sketch.as_ref().map_or(0, |s| (s.height() + 1).min(side.height / 2));
        let (lanes, side) = top(side, rows_of);
        draw_sketch(canvas, lanes, sketch.as_ref(), form);
        explain(canvas, side, form, &rows, &found);
        body
    } else {
        let (body, side) = bottom(rest, 4.min(rest.height / 3));
        explain(canvas, side, form, &rows, &found);
        let most = if body.height > 11 { (body.height - 6).min(6) } else { 0 };
        let rows_of = sketch.as_ref().map_or(0, |s| s.height().min(most));
        let (body, lanes) = bottom(body, rows_of);
        draw_sketch(canvas, lanes, sketch.as_ref(), form);
        body
    };
    draw_rows(canvas, body, form, &rows, &found);
    if form.pick.is_some() || form.diff.is_some() {
        canvas.hit(field, Hit::Nothing);
    }
    draw_pick(canvas, field, form, &rows);
    draw_diff(canvas, field, form);
}

fn title(canvas: &mut Canvas, row: Rect, form: &Form, known: &Known, found: &[Fault]) {
    let band = canvas.look.ink(Ink::Band);
    canvas.fill(row, " ", band);
    let name = super::tree::text(&form.paper.value, "title");
    let mut words = match form.paper.sort {
        Sort::Settings => " Settings".to_owned(),
        sort => {
            let word = sort.word();
            format!(
                " {}{}: {name}",
                word.get(..1).unwrap_or_default().to_uppercase(),
                word.get(1..).unwrap_or_default()
            )
        }
    };
    let arrow = canvas.look.glyphs().arrow;
    for opened in &form.paper.opened {
        let list = subject::list_at(form.paper.sort, &opened.path);
        let entry = super::tree::get(&form.paper.value, &opened.path);
        if let (Some(list), Some(entry)) = (list, entry) {
            let sum = (list.sum)(&form.paper.value, entry, known);
            let sum = text::clip(&sum, 36, canvas.cut());
            words = format!("{words} {arrow} {}: {sum}", list.one);
        }
    }
    let wrong = found.iter().filter(|f| f.wrong).count();
    let state = match (form.paper.is_changed(), wrong) {
        (_, n) if n > 0 => format!("{n} to put right "),
        (true, _) => "not saved yet ".to_owned(),
        (false, _) => "saved ".to_owned(),
    };
    let used = canvas.text_right(row.x, row.y, row.width, &state, band);
    canvas.text(row.x, row.y, row.width.saturating_sub(used + 1), &words, band);
}

fn keys(canvas: &mut Canvas, row: Rect, form: &Form, rows: &[Row]) {
    let what = rows.get(form.paper.row).map(|r| r.what);
    let first = match what {
        Some(What::Entry(list, _)) if list.is_bare() => None,
        Some(What::Entry(..)) => Some(("Enter", "open")),
        Some(What::Add(_)) => Some(("Enter", "add")),
        Some(What::Field(spec)) if spec.kind.is_chosen() => Some(("Enter", "choose")),
        _ => None,
    };
    let in_entry = matches!(what, Some(What::Entry(..))) || !form.paper.opened.is_empty();
    let out = in_entry.then_some(("Ctrl-D", "take out"));
    let source = rows.get(form.paper.row).and_then(|row| confirm::source(&form.paper, row));
    let open = source.is_some_and(|s| s.open);
    let move_it =
        matches!(what, Some(What::Entry(..))).then_some(("Ctrl-\u{2191}\u{2193}", "move"));
    let move_it = move_it.map(|(k, w)| if canvas.look.ascii { ("Ctrl-Up", w) } else { (k, w) });
    let back = if form.paper.opened.is_empty() { "to the desk" } else { "back" };
    let all = [
        first,
        open.then_some(("Ctrl-O", "confirm")),
        Some(("Ctrl-S", "save")),
        Some(("Ctrl-U", "undo")),
        Some(("Esc", back)),
        out,
        move_it,
        Some(("Tab", "next")),
    ];
    let mut x = row.x;
    for (key, words) in all.into_iter().flatten() {
        let key = format!(" {key} ");
        let words = format!(" {words}");
        let wide = u16::try_from(text::width(&key) + text::width(&words)).unwrap_or(u16::MAX);
        if x.saturating_add(wide) > row.right() {
            break;
        }
        let ink = canvas.look.ink(Ink::Key);
        x += canvas.pieces(x, row.y, wide, &[(&key, ink), (&words, Style::new())]) + 2;
    }
}

fn draw_sketch(canvas: &mut Canvas, field: Rect, sketch: Option<&Sketch>, form: &Form) {
    let at = form.paper.opened.first().map(|o| o.path.as_str());
    let step = at.and_then(|p| p.strip_prefix("steps[")).and_then(|p| p.strip_suffix(']'));
    if let Some(sketch) = sketch {
        sketch.draw(canvas, field, step.and_then(|n| n.parse().ok()));
    }
}

/// What is to be known of the row in focus, and what is wrong.
fn explain(canvas: &mut Canvas, field: Rect, form: &Form, rows: &[Row], found: &[Fault]) {
    let Some(row) = rows.get(form.paper.row) else { return };
    let help = match row.what {
        What::Head => "",
        What::Field(spec) => spec.help,
        What::Entry(list, _) | What::Add(list) => list.help,
    };
    let mut rest = Rect { x: field.x + 1, width: field.width.saturating_sub(2), ..field };
    let own: Vec<&Fault> = found.iter().filter(|f| is_of(f, row)).collect();
    for fault in own.iter().take(2) {
        rest = tell(canvas, rest, fault);
    }
    let rest = source(canvas, rest, form, row);
    let used = canvas.lines(rest, help, Style::new());
    let (_, rest) = top(rest, used);
    if matches!(row.what, What::Field(_)) && text::width(&row.text) > usize::from(field.width / 2) {
        let (_, below) = top(rest, u16::from(rest.height > 4));
        let used = canvas.lines(below, &row.text, canvas.look.ink(Ink::Faint));
        return others(canvas, top(below, used).1, form, found, &own);
    }
    others(canvas, rest, form, found, &own);
}

/// The words that the row was read from, and that nobody has confirmed it.
fn source(canvas: &mut Canvas, field: Rect, form: &Form, row: &Row) -> Rect {
    let Some(source) = confirm::source(&form.paper, row) else { return field };
    let mut rest = field;
    if let Some(words) = &source.words {
        let words = format!("Read from: \"{}\"", text::tame(words));
        let most = Rect { height: rest.height.min(6), ..rest };
        let used = canvas.lines(most, &words, canvas.look.ink(Ink::Faint));
        rest = top(rest, used).1;
    }
    if source.open {
        let words = "? Not confirmed: Ctrl-O if it is right.";
        let used = canvas.lines(rest, words, canvas.look.ink(Ink::Strong));
        rest = top(rest, used).1;
    }
    rest
}

/// What is wrong elsewhere, where there is room for it.
fn others(canvas: &mut Canvas, field: Rect, form: &Form, found: &[Fault], own: &[&Fault]) {
    let (_, mut rest) = top(field, u16::from(field.height > 4));
    let mut elsewhere: Vec<&Fault> = found.iter().filter(|f| !own.contains(f)).collect();
    elsewhere.order_by_key(|f| !f.wrong);
    if elsewhere.is_empty() || rest.height < 3 {
        return;
    }
    let (head, below) = top(rest, 1);
    canvas.text(head.x, head.y, head.width, "Elsewhere:", canvas.look.ink(Ink::Service));
    rest = below;
    for fault in elsewhere {
        if rest.height < 2 {
            return;
        }
        let place = place_of(form, &fault.path);
        let what = format!("{place}{}", fault.what);
        rest = tell(canvas, rest, &Fault { what, ..fault.clone() });
    }
}

/// Where a fault is, in the words of the form: `service 2: `.
fn place_of(form: &Form, path: &str) -> String {
    let entry = path.split(']').next().and_then(|p| p.split_once('['));
    let place = match entry {
        Some((key, n)) => {
            let list = subject::list_at(form.paper.sort, &format!("{key}[{n}]"));
            let n: usize = n.parse().unwrap_or(0);
            list.map(|list| format!("{} {}", list.one, n + 1))
        }
        None => subject::spec_at(form.paper.sort, path).map(|spec| spec.label.to_owned()),
    };
    place.map_or_else(String::new, |place| format!("{place}: "))
}

fn tell(canvas: &mut Canvas, field: Rect, fault: &Fault) -> Rect {
    let (sign, style) = sign(canvas, fault.wrong);
    let stop = |text: &str| if text.ends_with(['.', '?', '!']) { "" } else { "." };
    let (what, remedy) = (capital(&fault.what), capital(&fault.remedy));
    let words = format!("{what}{} {remedy}{}", stop(&what), stop(&remedy));
    canvas.text(field.x, field.y, 3, &format!(" {sign} "), style);
    let inner = Rect { x: field.x + 4, width: field.width.saturating_sub(4), ..field };
    let used = canvas.lines(inner, &words, Style::new());
    top(field, used.max(1)).1
}

fn sign(canvas: &Canvas, wrong: bool) -> (&'static str, Style) {
    let rank = if wrong { Rank::Warning } else { Rank::Notice };
    (if wrong { "!" } else { "i" }, canvas.look.rank(rank))
}

fn draw_rows(canvas: &mut Canvas, field: Rect, form: &Form, rows: &[Row], found: &[Fault]) {
    let (first, count) = visible(rows.len(), form.paper.row, usize::from(field.height));
    for ((n, row), y) in rows.iter().enumerate().skip(first).take(count).zip(field.y..) {
        let line = Rect { y, height: 1, ..field };
        let focus = n == form.paper.row;
        if row.what.takes_focus() {
            canvas.hit(line, Hit::Row(n));
        }
        let own = found.iter().filter(|f| is_of(f, row));
        if let Some(wrong) = own.map(|f| f.wrong).max() {
            let (sign, style) = sign(canvas, wrong);
            canvas.text(line.x, y, 1, sign, style);
        } else if confirm::is_open_field(&form.paper, row) {
            canvas.text(line.x, y, 1, "?", canvas.look.ink(Ink::Strong));
        }
        match row.what {
            What::Head => {
                canvas.text(
                    line.x + 2,
                    y,
                    line.width.saturating_sub(2),
                    &row.label,
                    canvas.look.ink(Ink::Service),
                );
            }
            What::Entry(..) | What::Add(_) => {
                let plain = if matches!(row.what, What::Add(_)) { Ink::Faint } else { Ink::Plain };
                let style = canvas.look.ink(if focus { Ink::Chosen } else { plain });
                let words = format!("{:>2}  {}", row.label, row.text);
                let words = if focus {
                    text::fit(&words, usize::from(line.width.saturating_sub(4)), canvas.cut())
                } else {
                    words
                };
                canvas.text(line.x + 3, y, line.width.saturating_sub(4), &words, style);
            }
            What::Field(spec) => {
                let label = canvas.look.ink(if focus { Ink::Strong } else { Ink::Plain });
                canvas.text(line.x + 2, y, LABELS - 1, &row.label, label);
                let value = Rect {
                    x: line.x + 2 + LABELS,
                    width: line.width.saturating_sub(LABELS + 4),
                    ..line
                };
                match focus {
                    true => focused(canvas, value, form, row, spec),
                    false if row.text.is_empty() => {
                        let faint = canvas.look.ink(Ink::Faint);
                        canvas.text(value.x, y, value.width, &blank(spec), faint);
                    }
                    false => {
                        canvas.text(value.x, y, value.width, &row.text, Style::new());
                    }
                }
            }
        }
    }
}

fn blank(spec: &super::Spec) -> String {
    spec.blank.map_or_else(|| "(must be filled in)".to_owned(), |blank| format!("({blank})"))
}

/// The field in focus: all of it marked, or with the cursor in it.
fn focused(canvas: &mut Canvas, field: Rect, form: &Form, row: &Row, spec: &super::Spec) {
    let chosen = canvas.look.ink(Ink::Chosen);
    if spec.kind.is_chosen() {
        let words = if row.text.is_empty() { blank(spec) } else { row.text.clone() };
        let words =
            if canvas.look.ascii { format!(" {words} v ") } else { format!(" {words} \u{25be} ") };
        canvas.text(field.x, field.y, field.width, &words, chosen);
        return;
    }
    if form.marked || row.text.is_empty() {
        let words = match (row.text.is_empty(), form.marked) {
            (true, true) => blank(spec),
            (true, false) => " ".to_owned(),
            _ => row.text.clone(),
        };
        canvas.text(field.x, field.y, field.width, &words, chosen);
        return;
    }
    // Beyond the room, the part around the cursor is shown.
    let room = usize::from(field.width).saturating_sub(1).max(1);
    let skip = form.cursor.saturating_sub(room);
    let shown: String = row.text.chars().skip(skip).take(room).collect();
    let line = canvas.look.ink(Ink::Plain).add_modifier(Modifier::UNDERLINED);
    canvas.text(field.x, field.y, field.width, &shown, line);
    let before: String = shown.chars().take(form.cursor - skip).collect();
    let x = field.x + u16::try_from(text::width(&before)).unwrap_or(0);
    let under = row.text.chars().nth(form.cursor).map_or_else(|| " ".to_owned(), String::from);
    canvas.text(x, field.y, 2, &under, chosen);
}

fn draw_pick(canvas: &mut Canvas, field: Rect, form: &Form, rows: &[Row]) {
    let Some(pick) = &form.pick else { return };
    let label = match rows.get(form.paper.row).map(|r| (&r.label, r.what)) {
        Some((_, What::Add(list))) => format!("Add: {}", list.one),
        Some((label, _)) => label.clone(),
        None => String::new(),
    };
    let fitting = pick.fitting();
    let most = u16::try_from(fitting.len().max(6)).unwrap_or(u16::MAX);
    let card = middle(
        field,
        72.min(field.width.saturating_sub(4)),
        most.saturating_add(4).min(field.height.saturating_sub(2)),
    );
    let inside = canvas.card(card, &label, Style::new());
    let (line, list) = top(inside, 1);
    let find = format!(" find: {}_", pick.typed);
    canvas.text(line.x, line.y, line.width, &find, canvas.look.ink(Ink::Strong));
    let (list, foot) = bottom(list, 1);
    let keys = " Enter take   Esc leave it   type a part of the name to find it";
    canvas.text(foot.x, foot.y, foot.width, keys, canvas.look.ink(Ink::Faint));
    if fitting.is_empty() {
        canvas.text(list.x + 1, list.y, list.width, "nothing fits", Style::new());
    }
    let (first, count) = visible(fitting.len(), pick.row, usize::from(list.height));
    for ((n, option), y) in fitting.iter().enumerate().skip(first).take(count).zip(list.y..) {
        canvas.hit(Rect { y, height: 1, ..list }, Hit::Row(n));
        let style = canvas.look.ink(if n == pick.row { Ink::Chosen } else { Ink::Plain });
        let words = text::fit(&format!(" {}", option.1), usize::from(list.width), canvas.cut());
        canvas.text(list.x, y, list.width, &words, style);
    }
}

/// What would change on the shelf, before it does.
fn draw_diff(canvas: &mut Canvas, field: Rect, form: &Form) {
    let Some(scroll) = form.diff else { return };
    let changes = diff::changes(&form.paper);
    let card = middle(field, 90.min(field.width.saturating_sub(2)), field.height.saturating_sub(2));
    let title = match form.paper.before.is_some() {
        true => format!("{} changed on your shelf", text_of_count(changes.len())),
        false => "New on your shelf".to_owned(),
    };
    let inside = canvas.card(card, &title, Style::new());
    let (mut rest, foot) = bottom(inside, 1);
    let keys = " Enter save   Esc go on writing   x throw the changes away   \u{2191}\u{2193} more";
    let keys = if canvas.look.ascii {
        keys.replace("\u{2191}\u{2193}", "Up/Down")
    } else {
        keys.to_owned()
    };
    canvas.text(foot.x, foot.y, foot.width, &keys, canvas.look.ink(Ink::Strong));
    let scroll = scroll.min(changes.len().saturating_sub(1));
    for change in changes.iter().skip(scroll) {
        if rest.is_empty() {
            return;
        }
        let place = canvas.text(
            rest.x + 1,
            rest.y,
            rest.width.saturating_sub(2),
            &change.place,
            canvas.look.ink(Ink::Strong),
        );
        let room = rest.width.saturating_sub(place + 4);
        let arrow = canvas.look.glyphs().arrow;
        let words = match (&change.old, &change.new) {
            (Some(old), Some(new)) => format!("{old} {arrow} {new}"),
            (None, Some(new)) => format!("+ {new}"),
            (Some(old), None) => format!("- {old}"),
            (None, None) => String::new(),
        };
        // Side by side where it fits, else below.
        if text::width(&words) <= usize::from(room) {
            canvas.text(rest.x + place + 3, rest.y, room, &words, Style::new());
            rest = top(rest, 1).1;
        } else {
            rest = top(rest, 1).1;
            let below = Rect {
                x: rest.x + 4,
                width: rest.width.saturating_sub(5),
                height: rest.height.min(3),
                ..rest
            };
            let used = canvas.lines(below, &words, Style::new());
            rest = top(rest, used).1;
        }
    }
}

fn text_of_count(n: usize) -> String {
    if n == 1 { "1 thing".to_owned() } else { format!("{n} things") }
}

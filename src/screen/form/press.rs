//! What keys do in a form. Letters are text; what is done to the form as a
//! whole is done with Ctrl.

use ratatui::crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use serde_json::{Value, json};

use super::{Form, Kind, Known, Opened, Pick, Row, Spec, What, confirm, readable, subject, tree};

/// What a form asks of those who have it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asks {
    /// Nothing.
    Nothing,
    /// Close it; what is not saved is kept as a draft.
    Close,
    /// Save it: the cook has seen what changes.
    Save,
    /// Throw the draft away and close.
    Discard,
}

/// Longest text of a field, in letters.
const TEXT_MOST: usize = 2000;

/// A key while the form has the focus.
pub fn press(form: &mut Form, key: &KeyEvent, known: &Known) -> Asks {
    form.say = None;
    let ctrl = key.modifiers.contains(KeyModifiers::CONTROL);
    let code = match key.code {
        // Terminals send some of the keys as control letters.
        KeyCode::Char('h') if ctrl => KeyCode::Backspace,
        code => code,
    };
    if form.diff.is_some() {
        return press_diff(form, code, ctrl);
    }
    if form.pick.is_some() {
        press_pick(form, code, ctrl, known);
        return Asks::Nothing;
    }
    match (code, ctrl) {
        (KeyCode::Char(c), true) => return command(form, c, known),
        (KeyCode::Up, true) => shift(form, -1, known),
        (KeyCode::Down, true) => shift(form, 1, known),
        (KeyCode::Esc, _) => return escape(form, known),
        (KeyCode::Up | KeyCode::BackTab, _) => step(form, -1, known),
        (KeyCode::Down | KeyCode::Tab, _) => step(form, 1, known),
        (KeyCode::PageUp, _) => step(form, -8, known),
        (KeyCode::PageDown, _) => step(form, 8, known),
        (KeyCode::Enter, _) => enter(form, known),
        (code, _) => edit(form, code, known),
    }
    Asks::Nothing
}

/// A text that was pasted: as if it had been typed, line breaks as spaces.
pub fn paste(form: &mut Form, text: &str, known: &Known) {
    let tame: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    match form.row(known).map(|row| row.what) {
        Some(What::Field(spec)) if form.pick.is_none() && form.diff.is_none() => {
            if !spec.kind.is_chosen() {
                let tame: String = tame.trim().chars().take(TEXT_MOST).collect();
                insert(form, &tame, known);
            }
        }
        _ => form.say = Some("Nothing is typed here: choose a field first.".to_owned()),
    }
}

fn command(form: &mut Form, letter: char, known: &Known) -> Asks {
    match letter {
        'u' => form.undo(known),
        'y' => form.redo(known),
        'd' => remove(form, known),
        'o' => confirm::confirm(form, known),
        'w' | 'k' => clear(form, known),
        'x' if form.paper.is_changed() => form.diff = Some(0),
        'x' => form.say = Some("Nothing has changed.".to_owned()),
        's' => {
            form.typing = None;
            form.settle(known);
            if !is_whole(form) {
                return Asks::Nothing;
            }
            if form.paper.before.is_none() {
                return Asks::Save;
            } else if form.paper.is_changed() {
                form.diff = Some(0);
            } else {
                form.say = Some("Nothing has changed.".to_owned());
            }
        }
        _ => form.say = Some(
            "Ctrl-S saves, Ctrl-U undoes, Ctrl-Y does it again, Ctrl-X throws the changes away, Ctrl-T: mouse."
                .to_owned(),
        ),
    }
    Asks::Nothing
}

/// Can it be saved? A file that cannot be cooked yet can; a text that cannot be
/// read has no place in one.
fn is_whole(form: &mut Form) -> bool {
    form.say = match (form.paper.text(), form.paper.typed.keys().next()) {
        (_, Some(path)) => {
            let spec = subject::spec_at(form.paper.sort, path);
            let label = spec.map_or(path.as_str(), |s| s.label);
            Some(format!("Put this right first: {label} cannot be read."))
        }
        (Err(why), None) => Some(format!("Not whole yet: {why}")),
        (Ok(_), None) => None,
    };
    form.say.is_none()
}

fn press_diff(form: &mut Form, code: KeyCode, ctrl: bool) -> Asks {
    let at = form.diff.unwrap_or(0);
    match code {
        KeyCode::Enter => {
            form.diff = None;
            return if is_whole(form) { Asks::Save } else { Asks::Nothing };
        }
        // The Ctrl-X that opened this, held too long, throws nothing away.
        KeyCode::Char('x') if !ctrl => {
            form.diff = None;
            return Asks::Discard;
        }
        KeyCode::Up => form.diff = Some(at.saturating_sub(1)),
        KeyCode::Down => form.diff = Some(at + 1),
        KeyCode::PageUp => form.diff = Some(at.saturating_sub(10)),
        KeyCode::PageDown => form.diff = Some(at + 10),
        KeyCode::Esc => form.diff = None,
        _ => {}
    }
    Asks::Nothing
}

fn press_pick(form: &mut Form, code: KeyCode, ctrl: bool, known: &Known) {
    let Some(pick) = form.pick.as_mut() else { return };
    match code {
        KeyCode::Esc => form.pick = None,
        KeyCode::Enter | KeyCode::Tab => {
            let (chosen, adds) = (pick.chosen(), pick.adds);
            form.pick = None;
            match chosen {
                Some(value) if adds => add(form, &value, known),
                Some(value) => choose(form, &value, known),
                None => form.say = Some("Nothing fits what you typed.".to_owned()),
            }
        }
        KeyCode::Up => pick.step(-1),
        KeyCode::Down => pick.step(1),
        KeyCode::PageUp => pick.step(-8),
        KeyCode::PageDown => pick.step(8),
        KeyCode::Backspace => pick.back(),
        KeyCode::Char(c) if !ctrl => pick.letter(c),
        _ => {}
    }
}

/// Out of the entry that is open, or out of the form.
fn escape(form: &mut Form, known: &Known) -> Asks {
    match form.paper.opened.pop() {
        Some(opened) => {
            form.go(opened.row, known);
            Asks::Nothing
        }
        None => Asks::Close,
    }
}

/// To another row that can have the focus.
pub(super) fn step(form: &mut Form, by: isize, known: &Known) {
    let rows = form.rows(known);
    let mut at = form.paper.row;
    for _ in 0..by.unsigned_abs() {
        let next = match by < 0 {
            true => (0..at).rev().find(|&i| rows.get(i).is_some_and(|r| r.what.takes_focus())),
            false => {
                (at + 1..rows.len()).find(|&i| rows.get(i).is_some_and(|r| r.what.takes_focus()))
            }
        };
        let Some(next) = next else { break };
        at = next;
    }
    form.go(at, known);
}

fn enter(form: &mut Form, known: &Known) {
    let Some(row) = form.row(known) else { return };
    match row.what {
        What::Head => {}
        What::Entry(list, _) if list.is_bare() => {
            form.say = Some("Ctrl-D takes it out, and what is under it adds another.".to_owned());
        }
        What::Entry(..) => {
            let opened = Opened { path: row.path, row: form.paper.row };
            form.paper.opened.push(opened);
            form.go(0, known);
        }
        What::Add(list) => match list.pick {
            Some(kind) => open_pick(form, &row.path, kind, "", true, known),
            None => add(form, "", known),
        },
        What::Field(spec) if spec.kind.is_chosen() => {
            let now = tree::get(&form.paper.value, &row.path).map(super::kind::plain);
            match spec.kind {
                Kind::Yes => turn(form, &row, known),
                kind => open_pick(form, &row.path, kind, &now.unwrap_or_default(), false, known),
            }
        }
        What::Field(_) => step(form, 1, known),
    }
}

fn open_pick(form: &mut Form, path: &str, kind: Kind, now: &str, adds: bool, known: &Known) {
    let options = subject::options(&form.paper, known, path, kind);
    match options.is_empty() {
        true => form.say = Some("There is nothing to choose from yet.".to_owned()),
        false => form.pick = Some(Pick::new(options, now, adds)),
    }
}

/// Adds an entry to the list in focus.
fn add(form: &mut Form, picked: &str, known: &Known) {
    let Some(Row { path, what: What::Add(list), .. }) = form.row(known) else { return };
    form.snapshot();
    let entry = (list.make)(&form.paper.value, picked, known);
    if tree::get(&form.paper.value, &path).and_then(Value::as_array).is_none() {
        tree::put(&mut form.paper.value, &path, json!([]));
    }
    if let Some(entries) = tree::get_mut(&mut form.paper.value, &path).and_then(Value::as_array_mut)
    {
        if list.is_bare() && entries.contains(&entry) {
            form.say = Some("That one is there already.".to_owned());
            return;
        }
        entries.push(entry);
        let path = format!("{path}[{}]", entries.len() - 1);
        if list.pick.is_some() {
            // What was picked is whole: the next one can be added at once.
            form.go(form.paper.row + 1, known);
            let more = match list.is_bare() {
                true => "Up and Ctrl-D take this one out.",
                false => "Up and Enter open this one.",
            };
            form.say = Some(format!("Added. Enter adds the next; {more}"));
        } else {
            let opened = Opened { path, row: form.paper.row };
            form.paper.opened.push(opened);
            form.go(0, known);
        }
    }
}

/// Takes the entry in focus, or the one that is open, out of its list.
fn remove(form: &mut Form, known: &Known) {
    let focused = form.row(known).filter(|r| matches!(r.what, What::Entry(..)));
    let path = match (&focused, form.paper.opened.last()) {
        (Some(row), _) => row.path.clone(),
        (None, Some(opened)) => opened.path.clone(),
        (None, None) => {
            form.say = Some("Ctrl-D takes out an entry of a list: choose one.".to_owned());
            return;
        }
    };
    let Some((list, index)) = path.strip_suffix(']').and_then(|p| p.rsplit_once('[')) else {
        return;
    };
    let Ok(index) = index.parse::<usize>() else { return };
    form.snapshot();
    let entries = tree::get_mut(&mut form.paper.value, list).and_then(Value::as_array_mut);
    if let Some(entries) = entries.filter(|e| index < e.len()) {
        entries.remove(index);
    }
    subject::tidy(form.paper.sort, &mut form.paper.value);
    retype(form, list, |at| match at.cmp(&index) {
        std::cmp::Ordering::Less => Some(at),
        std::cmp::Ordering::Equal => None,
        std::cmp::Ordering::Greater => Some(at - 1),
    });
    let row = match focused {
        Some(_) => form.paper.row,
        None => form.paper.opened.pop().map_or(0, |o| o.row),
    };
    form.go(row, known);
    form.say = Some("Taken out. Ctrl-U brings it back.".to_owned());
}

/// Lets the texts that cannot be read go with their entries of a list, by where an entry comes to stand.
fn retype(form: &mut Form, list: &str, to: impl Fn(usize) -> Option<usize>) {
    let typed = std::mem::take(&mut form.paper.typed);
    let moved = typed.into_iter().filter_map(|(field, text)| {
        let entry =
            field.strip_prefix(list).and_then(|rest| rest.strip_prefix('[')?.split_once(']'));
        let Some((at, rest)) = entry else { return Some((field, text)) };
        Some((format!("{list}[{}]{rest}", to(at.parse().ok()?)?), text))
    });
    form.paper.typed = moved.collect();
}

/// Moves the entry in focus up or down in its list.
fn shift(form: &mut Form, by: isize, known: &Known) {
    let Some(Row { path, what: What::Entry(list, index), .. }) = form.row(known) else { return };
    let Some((key, _)) = path.rsplit_once('[') else { return };
    let to = index.saturating_add_signed(by);
    let many = tree::list(&form.paper.value, key).len();
    if to == index || to >= many || to < list.from {
        return;
    }
    form.snapshot();
    if let Some(entries) = tree::get_mut(&mut form.paper.value, key).and_then(Value::as_array_mut) {
        entries.swap(index, to);
    }
    retype(form, key, |at| match at {
        at if at == index => Some(to),
        at if at == to => Some(index),
        at => Some(at),
    });
    form.go(form.paper.row.saturating_add_signed(by), known);
}

/// Keys in a field.
fn edit(form: &mut Form, code: KeyCode, known: &Known) {
    let Some(row) = form.row(known) else { return };
    let What::Field(spec) = row.what else {
        match (code, row.what) {
            (KeyCode::Delete, What::Entry(..)) => remove(form, known),
            (KeyCode::Char(c), What::Add(list)) if list.pick.is_some() => {
                enter(form, known);
                if let Some(pick) = form.pick.as_mut().filter(|_| c != ' ' && c != '+') {
                    pick.letter(c);
                }
            }
            (KeyCode::Char('+' | ' '), What::Add(_)) => enter(form, known),
            (KeyCode::Char(_), _) => {
                let bare = matches!(row.what, What::Entry(list, _) if list.is_bare());
                let words = if bare {
                    "Ctrl-D takes it out."
                } else {
                    "Enter opens it; Ctrl-D takes it out."
                };
                form.say = Some(words.to_owned());
            }
            _ => {}
        }
        return;
    };
    if spec.kind.is_chosen() {
        edit_choice(form, code, &row, spec, known);
        return;
    }
    let letters = row.text.chars().count();
    form.cursor = form.cursor.min(letters);
    match code {
        KeyCode::Char(c) => insert(form, c.encode_utf8(&mut [0; 4]), known),
        KeyCode::Backspace | KeyCode::Delete if form.marked => {
            set_text(form, &row, spec, "", 0, known)
        }
        KeyCode::Backspace if form.cursor > 0 => {
            let at = form.cursor - 1;
            let text = without(&row.text, at);
            set_text(form, &row, spec, &text, at, known);
        }
        KeyCode::Delete if form.cursor < letters => {
            let text = without(&row.text, form.cursor);
            set_text(form, &row, spec, &text, form.cursor, known);
        }
        KeyCode::Left => {
            form.cursor = if form.marked { letters } else { form.cursor }.saturating_sub(1);
            form.marked = false;
        }
        KeyCode::Right => {
            form.cursor = if form.marked { letters } else { (form.cursor + 1).min(letters) };
            form.marked = false;
        }
        KeyCode::Home => (form.cursor, form.marked) = (0, false),
        KeyCode::End => (form.cursor, form.marked) = (letters, false),
        _ => {}
    }
}

fn edit_choice(form: &mut Form, code: KeyCode, row: &Row, spec: &Spec, known: &Known) {
    match (code, spec.kind) {
        (KeyCode::Left | KeyCode::Right | KeyCode::Char(' '), Kind::Yes) => turn(form, row, known),
        (KeyCode::Char(c @ ('y' | 'n')), Kind::Yes) => put(form, &row.path, json!(c == 'y'), known),
        (KeyCode::Delete | KeyCode::Backspace, _) if spec.blank.is_some() => {
            form.snapshot();
            tree::take(&mut form.paper.value, &row.path);
        }
        (KeyCode::Left | KeyCode::Right, kind) => {
            let options = subject::options(&form.paper, known, &row.path, kind);
            let now = tree::get(&form.paper.value, &row.path).map(super::kind::plain);
            let now = now.unwrap_or_default();
            let at = options.iter().position(|o| o.0 == now).unwrap_or(0);
            let last = options.len().saturating_sub(1);
            let to = match code {
                KeyCode::Left => at.checked_sub(1).unwrap_or(last),
                _ if at >= last => 0,
                _ => at + 1,
            };
            if let Some((value, _)) = options.get(to) {
                choose(form, value, known);
            }
        }
        (KeyCode::Char(c), _) => {
            enter(form, known);
            if let Some(pick) = form.pick.as_mut().filter(|_| c != ' ') {
                pick.letter(c);
            }
        }
        _ => {}
    }
}

fn turn(form: &mut Form, row: &Row, known: &Known) {
    let on = tree::get(&form.paper.value, &row.path).and_then(Value::as_bool) == Some(true);
    put(form, &row.path, json!(!on), known);
}

/// Puts what was chosen into the field in focus; nothing, if that is the choice.
fn choose(form: &mut Form, value: &str, known: &Known) {
    let Some(row) = form.row(known) else { return };
    match value.is_empty() {
        true => {
            form.snapshot();
            tree::take(&mut form.paper.value, &row.path);
        }
        false => put(form, &row.path, json!(value), known),
    }
}

fn put(form: &mut Form, path: &str, value: Value, known: &Known) {
    form.snapshot();
    tree::put(&mut form.paper.value, path, value);
    subject::settle(form.paper.sort, &mut form.paper.value, path);
    form.go(form.paper.row, known);
}

fn clear(form: &mut Form, known: &Known) {
    if let Some(row) = form.row(known)
        && let What::Field(spec) = row.what
        && !spec.kind.is_chosen()
    {
        set_text(form, &row, spec, "", 0, known);
    }
}

fn without(text: &str, at: usize) -> String {
    text.chars().enumerate().filter(|(i, _)| *i != at).map(|(_, c)| c).collect()
}

/// Types into the field in focus.
fn insert(form: &mut Form, typed: &str, known: &Known) {
    let Some(row) = form.row(known) else { return };
    let What::Field(spec) = row.what else { return };
    let text = if form.marked { String::new() } else { row.text.clone() };
    let at = if form.marked { 0 } else { form.cursor.min(text.chars().count()) };
    if text.chars().count() + typed.chars().count() > TEXT_MOST {
        form.say = Some("That is too long for a field.".to_owned());
        return;
    }
    let before: String = text.chars().take(at).collect();
    let after: String = text.chars().skip(at).collect();
    let text = format!("{before}{typed}{after}");
    set_text(form, &row, spec, &text, at + typed.chars().count(), known);
}

/// What is typed into a field goes into the file as soon as it can be read.
fn set_text(form: &mut Form, row: &Row, spec: &Spec, text: &str, cursor: usize, known: &Known) {
    if form.typing.as_ref() != Some(&row.path) {
        form.snapshot();
        form.typing = Some(row.path.clone());
    }
    form.future.clear();
    form.paper.typed.insert(row.path.clone(), text.to_owned());
    match readable(spec, text, known.reader) {
        Ok(Some(value)) => {
            tree::put(&mut form.paper.value, &row.path, value);
            subject::settle(form.paper.sort, &mut form.paper.value, &row.path);
        }
        Ok(None) => {
            tree::take(&mut form.paper.value, &row.path);
            subject::settle(form.paper.sort, &mut form.paper.value, &row.path);
        }
        Err(_) => {}
    }
    (form.cursor, form.marked) = (cursor, false);
}

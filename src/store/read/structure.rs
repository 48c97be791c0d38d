//! Judges a JSON tree by one of our own schemas and finds everything that does
//! not fit, so that the cook sees it all at once.
//!
//! It knows the part of JSON Schema (draft 2020-12) that our generated schemas
//! use: `type`, `properties`, `required`, `additionalProperties: false`,
//! `const`, `oneOf`/`anyOf`, `$ref` to `$defs`, `items`, `minimum`, `format`
//! (`int32`, `uint32`, `date`, `fraction`), `pattern` (of times), `minLength`/`maxLength`.
//! Where several shapes are allowed, the kind of the value decides which one is
//! meant: text for a recipe's name, an object for the recipe itself.

use std::collections::{BTreeMap, BTreeSet};

use serde_json::{Map, Number, Value};

use super::json::{Field, Held, Node};
use crate::kitchen::TimeOfDay;
use crate::kitchen::check::words::{mean, nearest};
use crate::kitchen::units::Exact;

/// One thing that does not fit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Finding {
    /// The line, from 1.
    pub line: u32,
    /// The path: `dishes[2].servings`; empty for the whole file.
    pub path: String,
    /// What is wrong, without a full stop.
    pub what: String,
    /// What would be right, without a full stop.
    pub remedy: String,
}

/// Everything in `root` that does not fit `schema`, in the order of the file.
#[must_use]
pub fn judge(schema: &Value, root: &Node) -> Vec<Finding> {
    let mut judge = Judge { schema, found: Vec::new() };
    judge.node(schema, root, "");
    judge.found
}

struct Judge<'a> {
    schema: &'a Value,
    found: Vec<Finding>,
}

type Shape<'a> = &'a Map<String, Value>;

impl<'a> Judge<'a> {
    fn add(&mut self, line: u32, path: &str, what: impl Into<String>, remedy: impl Into<String>) {
        let (what, remedy) = (what.into(), remedy.into());
        self.found.push(Finding { line, path: path.to_owned(), what, remedy });
    }

    fn node(&mut self, schema: &'a Value, node: &Node, path: &str) {
        let mut shapes = Vec::new();
        self.shapes(schema, &mut shapes, 0);
        let fitting: Vec<Shape<'a>> =
            shapes.iter().copied().filter(|s| takes(s, &node.held)).collect();
        match (&node.held, fitting.first()) {
            (_, None) => self.wrong_kind(&shapes, node, path),
            (Held::Text(text), Some(_)) => self.text(&fitting, text, node.line, path),
            (Held::Number(number), Some(shape)) => self.number(shape, number, node.line, path),
            (Held::List(list), Some(shape)) => {
                let Some(items) = shape.get("items") else { return };
                for (index, item) in list.iter().enumerate() {
                    self.node(items, item, &format!("{path}[{index}]"));
                }
            }
            (Held::Object(fields), Some(shape)) => self.object(shape, fields, node.line, path),
            (Held::Null | Held::Truth(_), Some(_)) => {}
        }
    }

    /// The shapes that a schema allows, with references and choices followed.
    fn shapes(&self, schema: &'a Value, found: &mut Vec<Shape<'a>>, depth: usize) {
        let Some(map) = schema.as_object() else { return };
        // Deep enough for any generated schema; ends a reference to itself.
        if depth > 16 {
            return;
        }
        if let Some(name) = map.get("$ref").and_then(Value::as_str) {
            let def = name.strip_prefix("#/$defs/").and_then(|n| self.schema.get("$defs")?.get(n));
            if let Some(def) = def {
                self.shapes(def, found, depth + 1);
            }
            return;
        }
        match map.get("anyOf").or_else(|| map.get("oneOf")).and_then(Value::as_array) {
            Some(choices) => choices.iter().for_each(|c| self.shapes(c, found, depth + 1)),
            None => found.push(map),
        }
    }

    fn wrong_kind(&mut self, shapes: &[Shape<'a>], node: &Node, path: &str) {
        let mut expected: Vec<&str> = Vec::new();
        for kind in shapes.iter().flat_map(|s| kinds(s)).filter(|&k| k != "null") {
            if !expected.contains(&kind_words(kind)) {
                expected.push(kind_words(kind));
            }
        }
        let expected = expected.join(" or ");
        let wants = |kind: &str| shapes.iter().any(|s| kinds(s).contains(&kind));
        let remedy = match &node.held {
            Held::Text(t) if wants("integer") && t.trim().parse::<i64>().is_ok() => {
                format!("Write {} without quotation marks", t.trim())
            }
            Held::Text(t) if wants("boolean") && matches!(t.as_str(), "true" | "false") => {
                format!("Write {t} without quotation marks")
            }
            Held::Number(n) if wants("string") => format!("Write \"{n}\""),
            Held::Object(_) | Held::Text(_) if wants("array") => {
                "Put it in [ ], even if it is only one".to_owned()
            }
            _ => format!("Write {expected}"),
        };
        let what = format!("is {}, but should be {expected}", held_words(&node.held));
        self.add(node.line, path, what, remedy);
    }

    fn text(&mut self, shapes: &[Shape<'a>], text: &str, line: u32, path: &str) {
        let words: Vec<&str> =
            shapes.iter().filter_map(|s| s.get("const").and_then(Value::as_str)).collect();
        if !words.is_empty() && words.len() == shapes.len() {
            if !words.contains(&text) {
                let what = format!("\"{}\" is not a known word here", short(text));
                self.add(line, path, what, mean(text, words));
            }
            return;
        }
        let Some(shape) = shapes.first() else { return };
        if shape.get("format").and_then(Value::as_str) == Some("date") {
            if !is_day(text) {
                let what = format!("\"{}\" is not a day", short(text));
                self.add(line, path, what, "Write it as 2026-11-25");
            }
        } else if shape.get("format").and_then(Value::as_str) == Some("fraction") {
            if text.parse::<Exact>().is_err() {
                let what = format!("\"{}\" is not an amount", short(text));
                self.add(line, path, what, "Write it as 1.5, \"2/3\" or \"1 1/3\"");
            }
        } else if shape.contains_key("pattern") {
            // Times are the only texts with a pattern; a test holds the schema to that.
            if TimeOfDay::parse(text).is_err() {
                let what = format!("\"{}\" is not a time", short(text));
                let remedy = "Write it as 18:00; half past one at night is 25:30";
                self.add(line, path, what, remedy);
            }
        } else if shape.get("maxLength").and_then(Value::as_u64) == Some(1)
            && text.chars().count() != 1
        {
            let what = format!("\"{}\" is not a single letter", short(text));
            self.add(line, path, what, "Write one, or leave the field out");
        }
    }

    fn number(&mut self, shape: Shape<'a>, number: &Number, line: u32, path: &str) {
        if !kinds(shape).contains(&"integer") {
            return;
        }
        let format = shape.get("format").and_then(Value::as_str).unwrap_or_default();
        let (least, most) = match format {
            "uint32" => (0, i64::from(u32::MAX)),
            "int32" => (i64::from(i32::MIN), i64::from(i32::MAX)),
            _ => (i64::MIN, i64::MAX),
        };
        let least = shape.get("minimum").and_then(Value::as_i64).unwrap_or(least).max(least);
        match number.as_i64() {
            Some(n) if n >= least && n <= most => {}
            Some(n) if n < least => {
                self.add(line, path, format!("is {n}"), format!("Write {least} or more"));
            }
            None if number.is_f64() => {
                let whole = number.as_f64().unwrap_or_default().round();
                let remedy = if whole.abs() < 1e9 && whole >= least as f64 {
                    format!("Write {whole:.0}, without a decimal point")
                } else {
                    "Write it without a decimal point or exponent".to_owned()
                };
                self.add(line, path, format!("{number} is not a whole number"), remedy);
            }
            _ => {
                self.add(line, path, format!("{number} is far too much"), "Write a smaller number")
            }
        }
    }

    fn object(&mut self, shape: Shape<'a>, fields: &[Field], line: u32, path: &str) {
        let empty = Map::new();
        let known = shape.get("properties").and_then(Value::as_object);
        let closed = shape.get("additionalProperties") == Some(&Value::Bool(false));
        let present: BTreeSet<&str> = fields.iter().map(|f| f.key.as_str()).collect();
        let mut first: BTreeMap<&str, u32> = BTreeMap::new();
        for field in fields {
            let at = join(path, &field.key);
            if let Some(earlier) = first.get(field.key.as_str()) {
                let what = format!("comes twice, first on line {earlier}");
                self.add(field.line, &at, what, "Take one of them out");
            } else {
                first.insert(&field.key, field.line);
            }
            match known.and_then(|k| k.get(&field.key)) {
                Some(schema) => self.node(schema, &field.node, &at),
                None if closed => {
                    let known = known.unwrap_or(&empty);
                    let remedy = unknown_field(&field.key, known, &present);
                    self.add(field.line, &at, "is not a known field", remedy);
                }
                None => {}
            }
        }
        let required = shape.get("required").and_then(Value::as_array).into_iter().flatten();
        for name in required.filter_map(Value::as_str) {
            if !present.contains(name) {
                let about = known.and_then(|k| k.get(name)).and_then(|s| self.about(s));
                let about = about.map_or(String::new(), |a| format!(": {a}"));
                let what = format!("\"{name}\" is missing");
                self.add(line, path, what, format!("Add \"{name}\"{about}"));
            }
        }
    }

    /// The first sentence of what the schema says about a field.
    fn about(&self, schema: &'a Value) -> Option<String> {
        let text = schema.get("description")?.as_str()?;
        let text = text.split("\n\n").next()?.replace('\n', " ");
        let end = text.find(". ").unwrap_or(text.len());
        let mut sentence = text.get(..end)?.trim_end_matches('.').replace('`', "");
        if let Some(c) = sentence.get(..1).map(str::to_lowercase) {
            sentence.replace_range(..1, &c);
        }
        Some(sentence)
    }
}

fn unknown_field(key: &str, known: &Map<String, Value>, present: &BTreeSet<&str>) -> String {
    let names = known.keys().map(String::as_str);
    // A field that is there already is not the one that was meant, unless no other is near.
    let free = names.clone().filter(|k| !present.contains(*k));
    match nearest(key, free).or_else(|| nearest(key, names.clone())) {
        Some(near) => format!("Did you mean \"{near}\"?"),
        None => format!("Known here are {}", names.collect::<Vec<_>>().join(", ")),
    }
}

fn join(path: &str, key: &str) -> String {
    let plain = |c: char| c.is_ascii_alphanumeric() || c == '_' || c == '-';
    let key = short(key);
    let key = if !key.is_empty() && key.chars().all(plain) { key } else { format!("\"{key}\"") };
    if path.is_empty() { key } else { format!("{path}.{key}") }
}

/// Text for a message: its first letters, with control signs made visible.
fn short(text: &str) -> String {
    let mut shown: String = text.chars().take(40).flat_map(char::escape_debug).collect();
    if text.chars().nth(40).is_some() {
        shown.push('…');
    }
    shown
}

fn kinds(shape: Shape<'_>) -> Vec<&str> {
    match shape.get("type") {
        Some(Value::String(kind)) => vec![kind.as_str()],
        Some(Value::Array(list)) => list.iter().filter_map(Value::as_str).collect(),
        _ => Vec::new(),
    }
}

fn takes(shape: Shape<'_>, held: &Held) -> bool {
    kinds(shape).into_iter().any(|kind| match held {
        Held::Null => kind == "null",
        Held::Truth(_) => kind == "boolean",
        Held::Number(_) => kind == "integer" || kind == "number",
        Held::Text(_) => kind == "string",
        Held::List(_) => kind == "array",
        Held::Object(_) => kind == "object",
    })
}

fn kind_words(kind: &str) -> &'static str {
    match kind {
        "integer" => "a whole number",
        "number" => "a number",
        "string" => "text in \"…\"",
        "array" => "a list [ … ]",
        "object" => "an object { … }",
        "boolean" => "true or false",
        _ => "nothing",
    }
}

fn held_words(held: &Held) -> String {
    match held {
        Held::Null => "null".to_owned(),
        Held::Truth(truth) => truth.to_string(),
        Held::Number(number) => format!("the number {number}"),
        Held::Text(text) => format!("the text \"{}\"", short(text)),
        Held::List(_) => "a list".to_owned(),
        Held::Object(_) => "an object".to_owned(),
    }
}

fn is_day(text: &str) -> bool {
    let shape = text.len() == 10
        && text.bytes().enumerate().all(|(i, b)| match i {
            4 | 7 => b == b'-',
            _ => b.is_ascii_digit(),
        });
    shape && text.parse::<chrono::NaiveDate>().is_ok()
}

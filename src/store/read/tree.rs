//! A JSON value whose every part knows its line.

use serde_json::{Map, Number, Value};

/// A value and where it begins.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// Its line, from 1.
    pub line: u32,
    /// The value.
    pub held: Held,
}

/// A JSON value.
#[derive(Debug, Clone, PartialEq)]
pub enum Held {
    /// `null`.
    Null,
    /// `true` or `false`.
    Truth(bool),
    /// A number.
    Number(Number),
    /// A string.
    Text(String),
    /// An array.
    List(Vec<Node>),
    /// An object, in the file's order, with keys that come twice.
    Object(Vec<Field>),
}

/// One field of an object.
#[derive(Debug, Clone, PartialEq)]
pub struct Field {
    /// Its name.
    pub key: String,
    /// The line of the name, from 1.
    pub line: u32,
    /// Its value.
    pub node: Node,
}

impl Node {
    /// The first field of this name, if it is an object and has one.
    #[must_use]
    pub fn field(&self, key: &str) -> Option<&Self> {
        match &self.held {
            Held::Object(fields) => fields.iter().find(|f| f.key == key).map(|f| &f.node),
            _ => None,
        }
    }

    /// The part at a path such as `dishes[2].servings`, or the nearest part
    /// around it that is there.
    #[must_use]
    pub fn at(&self, path: &str) -> &Self {
        let mut node = self;
        for name in path.split(['.', '[']).filter(|p| !p.is_empty()) {
            let next = match (&node.held, name.strip_suffix(']')) {
                (Held::List(list), Some(index)) => {
                    index.parse::<usize>().ok().and_then(|i| list.get(i))
                }
                (_, None) => node.field(name),
                _ => None,
            };
            match next {
                Some(next) => node = next,
                None => break,
            }
        }
        node
    }

    /// The same as a plain value; of keys that come twice the last counts.
    #[must_use]
    pub fn to_value(&self) -> Value {
        match &self.held {
            Held::Null => Value::Null,
            Held::Truth(truth) => Value::Bool(*truth),
            Held::Number(number) => Value::Number(number.clone()),
            Held::Text(text) => Value::String(text.clone()),
            Held::List(list) => list.iter().map(Self::to_value).collect(),
            Held::Object(fields) => {
                let pairs = fields.iter().map(|f| (f.key.clone(), f.node.to_value()));
                Value::Object(pairs.collect::<Map<_, _>>())
            }
        }
    }
}

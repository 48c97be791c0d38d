//! Places in a tree of JSON: `steps[1].ways[0].minutes`.

use serde_json::{Map, Value};

/// One part of a path.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Part<'a> {
    Key(&'a str),
    At(usize),
}

fn parts(path: &str) -> Vec<Part<'_>> {
    let mut found = Vec::new();
    for piece in path.split('.').filter(|p| !p.is_empty()) {
        let mut rest = piece;
        if let Some(open) = piece.find('[') {
            let (key, indexes) = piece.split_at(open);
            if !key.is_empty() {
                found.push(Part::Key(key));
            }
            for index in indexes.split(['[', ']']).filter(|i| !i.is_empty()) {
                found.push(Part::At(index.parse().unwrap_or(usize::MAX)));
            }
            rest = "";
        }
        if !rest.is_empty() {
            found.push(Part::Key(rest));
        }
    }
    found
}

/// What is at a path, if anything.
#[must_use]
pub fn get<'a>(tree: &'a Value, path: &str) -> Option<&'a Value> {
    parts(path).into_iter().try_fold(tree, |at, part| match part {
        Part::Key(key) => at.get(key),
        Part::At(index) => at.get(index),
    })
}

/// What is at a path, to be changed.
pub fn get_mut<'a>(tree: &'a mut Value, path: &str) -> Option<&'a mut Value> {
    parts(path).into_iter().try_fold(tree, |at, part| match part {
        Part::Key(key) => at.get_mut(key),
        Part::At(index) => at.get_mut(index),
    })
}

/// Puts a value at a path, and the objects on the way there; nothing happens
/// where an entry of a list on the way is missing.
pub fn put(tree: &mut Value, path: &str, value: Value) {
    let mut at = tree;
    for part in parts(path) {
        let next = match part {
            Part::Key(key) => {
                if !at.is_object() {
                    *at = Value::Object(Map::new());
                }
                at.as_object_mut().map(|map| map.entry(key).or_insert(Value::Null))
            }
            Part::At(index) => at.get_mut(index),
        };
        let Some(next) = next else { return };
        at = next;
    }
    *at = value;
}

/// Takes a field away, and an object that it leaves empty.
pub fn take(tree: &mut Value, path: &str) {
    let Some((parent, key)) = path.rsplit_once('.') else {
        if let Some(map) = tree.as_object_mut() {
            map.remove(path);
        }
        return;
    };
    let Some(map) = get_mut(tree, parent).and_then(Value::as_object_mut) else { return };
    map.remove(key);
    if map.is_empty() && !parent.ends_with(']') {
        take(tree, parent);
    }
}

/// The entries of a list; none where there is no list.
#[must_use]
pub fn list<'a>(tree: &'a Value, path: &str) -> &'a [Value] {
    get(tree, path).and_then(Value::as_array).map_or(&[], Vec::as_slice)
}

/// A text at a path; empty where there is none.
#[must_use]
pub fn text<'a>(tree: &'a Value, path: &str) -> &'a str {
    get(tree, path).and_then(Value::as_str).unwrap_or_default()
}

/// A path below another.
#[must_use]
pub fn join(place: &str, key: &str) -> String {
    if place.is_empty() { key.to_owned() } else { format!("{place}.{key}") }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn what_is_put_is_found_and_what_is_taken_leaves_no_shell() {
        let mut tree = json!({"steps": [{"id": "a", "ways": [{"slots": 1}]}]});
        put(&mut tree, "steps[0].ways[0].minutes", json!(5));
        put(&mut tree, "steps[0].hands.start_minutes", json!(2));
        assert_eq!(get(&tree, "steps[0].ways[0].minutes"), Some(&json!(5)));
        take(&mut tree, "steps[0].hands.start_minutes");
        take(&mut tree, "steps[0].ways[0].slots");
        put(&mut tree, "steps[7].id", json!("nowhere"));
        assert_eq!(tree, json!({"steps": [{"id": "a", "ways": [{"minutes": 5}]}]}));
        assert_eq!(list(&tree, "none"), &[] as &[Value]);
        assert_eq!(text(&tree, "steps[0].id"), "a");
    }
}

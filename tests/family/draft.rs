//! A recipe in the making: short words for what the templates say.

use serde_json::{Value, json};

/// Servings that every template is written for.
pub const MADE_FOR: i32 = 8;

/// A step in the making.
pub struct Step(Value);

/// A way at a station.
pub fn way(station: &str, likely: i32) -> Value {
    json!({ "station": station, "minutes": minutes(likely) })
}

/// A way in an oven.
pub fn oven(likely: i32, at_c: i32, give_c: i32) -> Value {
    json!({ "station": "oven", "minutes": minutes(likely), "at_c": at_c, "give_c": give_c })
}

/// A way in loads of so many servings.
pub fn loads(station: &str, likely: i32, servings: i32) -> Value {
    json!({ "station": station, "minutes": minutes(likely), "load_servings": servings })
}

/// A way with further fields.
pub fn with(mut way: Value, more: Value) -> Value {
    if let (Some(way), Value::Object(more)) = (way.as_object_mut(), more) {
        way.extend(more);
    }
    way
}

/// Low and high minutes around the likely ones.
fn minutes(likely: i32) -> Value {
    let low = (likely * 17 / 20).clamp(1, likely);
    json!({ "low": low, "likely": likely, "high": (likely * 5 + 3) / 4 })
}

impl Step {
    /// A step with its ways; hands are start minutes, end minutes, per cent between.
    pub fn new(id: &str, ways: Vec<Value>, hands: (i32, i32, i32)) -> Self {
        Self(json!({
            "id": id, "label": id, "text": format!("The {id}, as this dish wants it."),
            "ways": ways,
            "hands": {
                "start_minutes": hands.0, "end_minutes": hands.1, "between_percent": hands.2
            }
        }))
    }

    /// Work on the counter that takes all of a cook's attention.
    pub fn by_hand(id: &str, likely: i32) -> Self {
        Self::new(id, vec![way("counter", likely)], (0, 0, 100))
    }

    /// It follows an earlier one; `more` holds the fields of the wait.
    pub fn after(mut self, step: &str, more: Value) -> Self {
        let entry = with(json!({ "step": step }), more);
        match self.0["after"].as_array_mut() {
            Some(list) => list.push(entry),
            None => self.0["after"] = json!([entry]),
        }
        self
    }

    /// It is done in cookware of a kind.
    pub fn ware(mut self, kind: &str, least_ml: i32) -> Self {
        let mut need = json!({ "kind": kind });
        if least_ml > 0 {
            need["least_ml"] = json!(least_ml);
        }
        match self.0["cookware"].as_array_mut() {
            Some(list) => list.push(need),
            None => self.0["cookware"] = json!([need]),
        }
        self
    }

    /// Its minutes grow with the servings.
    pub fn grows(mut self) -> Self {
        self.0["grows"] = json!("proportion");
        self
    }

    /// Minutes past its end at which it is overdone.
    pub fn overdone(mut self, minutes: i32) -> Self {
        self.0["overdone_after"] = json!(minutes);
        self
    }
}

/// A place to wait: free minutes, points for ten more, the most.
pub fn hold(place: &str, class: &str, free: i32, points: i32, most: i32) -> Value {
    json!({
        "place": place, "class": class, "free_minutes": free, "points": points,
        "most_minutes": most
    })
}

/// A wait in a warm oven.
pub fn warm_oven(at_c: i32, free: i32, points: i32, most: i32) -> Value {
    with(hold("oven", "hot", free, points, most), json!({ "at_c": at_c, "give_c": 10 }))
}

/// Items with where they are kept and the step that uses them.
pub fn items(list: &[(&str, &str, &str)]) -> Value {
    let item = |&(item, kept, step): &(&str, &str, &str)| json!({ "item": item, "amount": 500, "unit": "g", "kept": kept, "steps": [step] });
    Value::Array(list.iter().map(item).collect())
}

/// A recipe of these parts.
pub fn recipe(
    title: String,
    course: &str,
    class: &str,
    items: Value,
    steps: Vec<Step>,
    holds: Vec<Value>,
) -> Value {
    json!({
        "id": "", "title": title, "course": course, "servings": MADE_FOR, "portion_ml": 220,
        "ingredients": items, "steps": steps.into_iter().map(|s| s.0).collect::<Vec<_>>(),
        "holds": holds, "safety": { "class": class }
    })
}

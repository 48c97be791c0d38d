//! The two kitchens of the family.

use serde_json::{Value, json};

/// One oven, or two of it and more of the rest.
pub fn kitchen(big: bool) -> Value {
    let (id, title) = if big { ("wide", "Wide kitchen") } else { ("narrow", "Narrow kitchen") };
    json!({
        "id": id, "title": title, "stations": stations(big), "cookware": cookware(big)
    })
}

fn stations(big: bool) -> Value {
    let oven = |id: &str, up: u32, down: u32| {
        json!({
            "id": id, "title": id, "kind": "oven", "slots": 2,
            "thermostat": {
                "least_c": 50, "most_c": 250, "up_c_per_min": up, "down_c_per_min": down
            }
        })
    };
    let plain = |id: &str, kind: &str, slots: u32| json!({ "id": id, "title": id, "kind": kind, "slots": slots });
    let slow = |id: &str, ml: u32| json!({ "id": id, "title": id, "kind": "slow_cooker", "slots": 1, "volume_ml": ml });
    let mut list = vec![
        oven("oven", 12, 6),
        plain("hob", "stovetop", if big { 6 } else { 4 }),
        slow("slow-cooker", 4500),
        plain("fryer", "air_fryer", 1),
        plain("microwave", "microwave", 1),
        plain("counter", "counter", if big { 5 } else { 3 }),
        plain("fridge", "fridge", if big { 12 } else { 7 }),
    ];
    if big {
        list.push(oven("second-oven", 8, 5));
        list.push(slow("small-cooker", 2800));
        list.push(plain("grill", "grill", 2));
    }
    Value::Array(list)
}

fn cookware(big: bool) -> Value {
    let times = if big { 2 } else { 1 };
    let ware = |kind: &str, count: u32, ml: u32, ovenproof: bool| {
        json!({
            "id": kind.replace('_', "-"), "title": kind.replace('_', " "), "kind": kind,
            "count": count * times, "volume_ml": ml, "ovenproof": ovenproof
        })
    };
    json!([
        ware("stock_pot", 1, 8000, false),
        ware("saucepan", 3, 3000, false),
        ware("frying_pan", 2, 2500, false),
        ware("casserole", 1, 6000, true),
        ware("roasting_tin", 1, 6000, true),
        ware("baking_dish", 2, 4500, true),
        ware("sheet_tray", 3, 3000, true),
        ware("mixing_bowl", 5, 6500, false),
        ware("blender_jar", 1, 3000, false)
    ])
}

//! Reads cases from stdin, one JSON object a line, and prints for each which
//! dish goes into what: what `tests/outside/serving.py` judges.

use std::io::{BufRead, Write};

use potwatch::kitchen::{HoldClass, Minute, Served, Servingware};
use potwatch::mise::servingware::{Laying, Need, lay_out};
use serde::Deserialize;
use serde_json::json;

#[derive(Deserialize)]
struct Case {
    wares: Vec<Servingware>,
    needs: Vec<Asked>,
}

#[derive(Deserialize)]
struct Asked {
    served: Served,
    class: HoldClass,
    ml: u32,
    oven: bool,
    lid: bool,
    from: Minute,
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let mut out = std::io::stdout().lock();
    for text in std::io::stdin().lock().lines() {
        let case: Case = serde_json::from_str(&text?)?;
        let needs: Vec<Need> = case.needs.iter().enumerate().map(need).collect();
        writeln!(out, "{}", told(&lay_out(&case.wares, &needs)))?;
    }
    Ok(())
}

fn need((dish, asked): (usize, &Asked)) -> Need {
    Need {
        dish,
        served: asked.served,
        ml: Some(asked.ml),
        cm2: None,
        class: asked.class,
        oven: asked.oven,
        lid: asked.lid,
        from: asked.from,
        served_at: asked.from + 10,
        to: asked.from + 60,
        guessed: false,
        pans: Vec::new(),
        pan_wanted: None,
    }
}

fn told(laying: &Laying) -> serde_json::Value {
    let wares = laying.places.iter().map(|p| p.pieces.iter().map(|p| p.ware).collect());
    let clashes = laying.clashes.iter().map(|c| &c.dishes);
    json!({
        "cost": laying.cost,
        "proved": laying.proved,
        "wares": wares.collect::<Vec<Vec<usize>>>(),
        "clashes": clashes.collect::<Vec<_>>(),
    })
}

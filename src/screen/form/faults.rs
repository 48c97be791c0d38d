//! What is wrong with what was typed, each thing at its field.

use serde_json::Value;

use super::{Known, Paper, Row, Sort, What, readable, subject};
use crate::kitchen::check::{self, Document, Problem, Severity};
use crate::kitchen::{Kitchen, Party, Recipe, Sourced};

/// Something wrong, or worth knowing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Where, in the file.
    pub path: String,
    /// What.
    pub what: String,
    /// What would be right.
    pub remedy: String,
    /// It must be put right before it can be cooked.
    pub wrong: bool,
}

/// All that is wrong, typed texts that cannot be read first.
#[must_use]
pub fn faults(paper: &Paper, known: &Known) -> Vec<Fault> {
    let mut found: Vec<Fault> = paper
        .typed
        .iter()
        .filter_map(|(path, text)| {
            let spec = subject::spec_at(paper.sort, path)?;
            let why = readable(spec, text, known.reader).err()?;
            let what = format!("{}: \"{text}\" cannot be read", spec.label);
            Some(Fault { path: path.clone(), what, remedy: why, wrong: true })
        })
        .collect();
    found.extend(meaning(paper.sort, &paper.value, known));
    found
}

fn meaning(sort: Sort, value: &Value, known: &Known) -> Vec<Fault> {
    let problems = match sort {
        Sort::Settings => Ok(Vec::new()),
        Sort::Recipe => typed::<Recipe>(value).map(|r| check::check_recipe(&r)),
        Sort::Kitchen => typed::<Kitchen>(value).map(|k| check::check_kitchen(&k)),
        Sort::Party => typed::<Party>(value).map(|p| of_party(&p, known)),
    };
    match problems {
        Ok(problems) => problems.into_iter().map(|p| fault(p, sort)).collect(),
        Err(why) => vec![Fault {
            path: String::new(),
            what: "This is not whole yet".to_owned(),
            remedy: why,
            wrong: true,
        }],
    }
}

fn typed<T: serde::de::DeserializeOwned>(value: &Value) -> Result<T, String> {
    serde_json::from_value(value.clone()).map_err(|e| e.to_string())
}

fn of_party(party: &Party, known: &Known) -> Vec<Problem> {
    let kitchen = match &party.kitchen {
        Sourced::Named(id) => known.kitchen(id),
        Sourced::Inline(kitchen) => Some(&**kitchen),
    };
    let recipes: Vec<Option<&Recipe>> = party
        .dishes
        .iter()
        .take(check::MOST_DISHES)
        .map(|d| match &d.recipe {
            Sourced::Named(id) => known.recipe(id),
            Sourced::Inline(recipe) => Some(&**recipe),
        })
        .collect();
    check::check_parts(party, kitchen, &recipes, &known.limits)
}

/// A problem at the place of the form that it belongs to.
fn fault(problem: Problem, sort: Sort) -> Fault {
    let path = match (sort, &problem.place.document) {
        (Sort::Party, Document::Recipe(n)) => format!("dishes[{n}].recipe"),
        (Sort::Party, Document::Kitchen) => "kitchen".to_owned(),
        _ => problem.place.path,
    };
    let wrong = problem.severity == Severity::Wrong;
    Fault { path, what: problem.what, remedy: problem.remedy, wrong }
}

/// Does a fault belong to a row?
#[must_use]
pub(super) fn is_of(fault: &Fault, row: &Row) -> bool {
    let below = |path: &str, above: &str| {
        path.strip_prefix(above).is_some_and(|rest| rest.starts_with(['.', '[']))
    };
    match row.what {
        What::Head => false,
        What::Add(_) => fault.path == row.path,
        What::Entry(..) => fault.path == row.path || below(&fault.path, &row.path),
        What::Field(_) => {
            !row.path.is_empty()
                && (fault.path == row.path
                    || below(&fault.path, &row.path)
                    || (fault.path.ends_with(".hands") && below(&row.path, &fault.path)))
        }
    }
}

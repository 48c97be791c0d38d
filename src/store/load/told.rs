//! What a check found, told by file and line.

use crate::kitchen::check::{self, Problem, Severity};
use crate::kitchen::{Kitchen, Recipe};
use crate::store::read::{Document, FileProblem, Problems};

/// What was found of a recipe by itself.
#[must_use]
pub fn recipe_problems(document: &Document, recipe: &Recipe) -> Problems {
    let mut list: Problems = check::check_recipe(recipe)
        .into_iter()
        .map(|p| located(document, &p.place.path.clone(), p))
        .collect();
    list.list.extend(exemption(document, "", recipe));
    list
}

/// What was found of a kitchen by itself.
#[must_use]
pub fn kitchen_problems(document: &Document, kitchen: &Kitchen) -> Problems {
    check::check_kitchen(kitchen)
        .into_iter()
        .map(|p| located(document, &p.place.path.clone(), p))
        .collect()
}

pub(super) fn located(document: &Document, path: &str, problem: Problem) -> FileProblem {
    FileProblem {
        file: document.file.clone(),
        line: Some(document.line_of(path)),
        column: None,
        path: path.to_owned(),
        what: problem.what,
        remedy: problem.remedy,
        severity: problem.severity,
    }
}

/// An exemption that cannot be true of the food's class does not count.
pub(super) fn exemption(document: &Document, prefix: &str, recipe: &Recipe) -> Option<FileProblem> {
    let exempt = recipe.safety.exempt?;
    if exempt.covers(recipe.safety.class) {
        return None;
    }
    let path = join(prefix, "safety.exempt");
    Some(FileProblem {
        severity: Severity::WorthKnowing,
        ..FileProblem::wrong(
            &document.file,
            Some(document.line_of(&path)),
            &path,
            format!("\"{}\" cannot be true of this class: it counts as perishable", exempt.id()),
            "Leave it out, or name the class that the dish really is".to_owned(),
        )
    })
}

pub(super) fn join(prefix: &str, path: &str) -> String {
    match (prefix, path) {
        ("", path) => path.to_owned(),
        (prefix, "") => prefix.to_owned(),
        (prefix, path) => format!("{prefix}.{path}"),
    }
}

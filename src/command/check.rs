//! `potwatch check FILE…`: everything that is wrong with files, all at once.

use std::path::{Path, PathBuf};

use super::own::Own;
use super::{Exit, Streams};
use crate::kitchen::{Evening, Kitchen, Recipe};
use crate::store::load::{Sources, kitchen_problems, load_document, recipe_problems};
use crate::store::read::schema::FileKind;
use crate::store::read::{Document, FileProblem, Problems};
use crate::store::zone;

/// Checks each file as what its fields look like; a party with all that it names.
///
/// # Errors
/// Trouble with writing.
pub fn run(files: &[PathBuf], streams: &mut Streams) -> anyhow::Result<Exit> {
    let own = Own::find(streams.var);
    let mut all = Problems::default();
    let mut fine = Vec::new();
    for path in files {
        let (summary, problems) = file(path, &own);
        if let Some(summary) = summary.filter(|_| !problems.any_wrong()) {
            fine.push(format!("{}: fine. {summary}", path.display()));
        }
        all.join(problems);
    }
    print_notes(&all, streams)?;
    for line in fine {
        writeln!(streams.out, "{line}")?;
    }
    Ok(if all.any_wrong() { Exit::WrongFile } else { Exit::Done })
}

/// Prints problems to stderr, if there are any.
///
/// # Errors
/// Trouble with writing.
pub fn print_notes(problems: &Problems, streams: &mut Streams) -> std::io::Result<()> {
    if problems.list.is_empty() { Ok(()) } else { writeln!(streams.err, "{problems}") }
}

fn file(path: &Path, own: &Own) -> (Option<String>, Problems) {
    let document = match Document::read(path) {
        Ok(document) => document,
        Err(problems) => return (None, problems),
    };
    match document.kind() {
        Some(FileKind::Party) => {
            let folder = path.parent().unwrap_or(Path::new(""));
            let sources = Sources { folder, own: own.shelf.as_ref() };
            match load_document(document, sources, None, zone::clockface) {
                Ok(loaded) => {
                    (Some(of_party(&loaded.evening.read_by(own.customs()))), loaded.notes)
                }
                Err(problems) => (None, problems),
            }
        }
        Some(FileKind::Recipe) => match document.value::<Recipe>() {
            Ok(recipe) => (Some(of_recipe(&recipe)), recipe_problems(&document, &recipe)),
            Err(problems) => (None, problems),
        },
        Some(FileKind::Kitchen) => match document.value::<Kitchen>() {
            Ok(kitchen) => (Some(of_kitchen(&kitchen)), kitchen_problems(&document, &kitchen)),
            Err(problems) => (None, problems),
        },
        None => (
            None,
            Problems::one(FileProblem::wrong(
                &document.file,
                Some(document.tree.line),
                "",
                "has no field of a party, a recipe or a kitchen".to_owned(),
                "`potwatch schema party` prints what a party holds".to_owned(),
            )),
        ),
    }
}

/// "9 dishes, 52 steps, 16 guests; Starters at 18:00, Mains at 19:00."
#[must_use]
pub fn of_party(evening: &Evening) -> String {
    let party = &evening.party;
    let steps: usize = evening.sheets.iter().map(|s| s.recipe.steps.len()).sum();
    let guests: u64 = party.guests.iter().map(|g| u64::from(g.count)).sum();
    let services: Vec<String> = party
        .services
        .iter()
        .map(|s| format!("{} at {}", s.title, evening.face.hours.of(s.at)))
        .collect();
    format!(
        "{}: {}, {}, {}; {}.",
        party.title,
        counted(evening.sheets.len() as u64, "dish", "dishes"),
        counted(steps as u64, "step", "steps"),
        counted(guests, "guest", "guests"),
        services.join(", ")
    )
}

fn of_recipe(recipe: &Recipe) -> String {
    format!(
        "{}: {}, {}.",
        recipe.title,
        counted(u64::from(recipe.servings), "serving", "servings"),
        counted(recipe.steps.len() as u64, "step", "steps")
    )
}

fn of_kitchen(kitchen: &Kitchen) -> String {
    let slots: u64 = kitchen.stations.iter().map(|s| u64::from(s.slots)).sum();
    let pieces: u64 = kitchen.cookware.iter().map(|c| u64::from(c.count)).sum();
    format!(
        "{}: {} with {}, {} of cookware.",
        kitchen.title,
        counted(kitchen.stations.len() as u64, "station", "stations"),
        counted(slots, "slot", "slots"),
        counted(pieces, "piece", "pieces")
    )
}

fn counted(n: u64, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

//! From a party file to an evening: every name resolved, everything checked.

mod told;

use std::collections::BTreeMap;
use std::path::Path;
use std::rc::Rc;

use chrono::NaiveDate;

use super::own::OwnShelf;
use super::read::json::Held;
use super::read::schema::FileKind;
use super::read::{CookFile, Document, FileProblem, Problems};
use super::{shelf, zone};
use crate::kitchen::check::words::mean;
use crate::kitchen::check::{self, Place, Problem};
use crate::kitchen::{Clockface, Evening, Kitchen, Party, Recipe, Sourced};
use crate::mise::knife::board;
use crate::safety::hold_limits;
use told::{exemption, join, located};
pub use told::{kitchen_problems, recipe_problems};

/// A party that can be planned.
#[derive(Debug, Clone, PartialEq)]
pub struct Loaded {
    /// The evening.
    pub evening: Evening,
    /// What the cook should know, though nothing of it is wrong.
    pub notes: Problems,
}

/// Where the names in a party file are looked up.
#[derive(Debug, Clone, Copy)]
pub struct Sources<'a> {
    /// Where the paths in it begin.
    pub folder: &'a Path,
    /// The cook's own shelf; before the built-in one.
    pub own: Option<&'a OwnShelf>,
}

impl<'a> From<&'a Path> for Sources<'a> {
    fn from(folder: &'a Path) -> Self {
        Self { folder, own: None }
    }
}

/// Reads a party file, with all that it names, by this machine's time zone.
///
/// # Errors
/// Everything that is wrong with any of its files.
pub fn load_party(path: &Path) -> Result<Evening, Problems> {
    load_party_by(path, zone::clockface).map(|loaded| loaded.evening)
}

/// Like [`load_party`], with what is worth knowing, and a clock face of the
/// caller's for the party's day.
///
/// # Errors
/// Everything that is wrong with any of its files.
pub fn load_party_by(
    path: &Path,
    face: impl FnOnce(NaiveDate) -> Clockface,
) -> Result<Loaded, Problems> {
    load_own(path, None, face)
}

/// Like [`load_party_by`], with the cook's own shelf.
///
/// # Errors
/// Everything that is wrong with any of its files.
pub fn load_own(
    path: &Path,
    own: Option<&OwnShelf>,
    face: impl FnOnce(NaiveDate) -> Clockface,
) -> Result<Loaded, Problems> {
    let document = Document::read(path)?;
    let folder = path.parent().unwrap_or(Path::new(""));
    load_document(document, Sources { folder, own }, None, face)
}

/// The demo party, on the day of `face`.
///
/// # Errors
/// None in practice; a test loads it.
pub fn load_builtin(face: Clockface) -> Result<Evening, Problems> {
    let document = Document::parse("the demo party", shelf::DEMO)?;
    let day = face.day;
    let loaded = load_document(document, Path::new(""), Some(day), |_| face)?;
    Ok(loaded.evening)
}

/// Makes an evening of a party that has been read. `sources` says where what it
/// names is; `day` stands in for the party's own.
///
/// # Errors
/// Everything that is wrong with it or any file that it names.
pub fn load_document<'a>(
    document: Document,
    sources: impl Into<Sources<'a>>,
    day: Option<NaiveDate>,
    face: impl FnOnce(NaiveDate) -> Clockface,
) -> Result<Loaded, Problems> {
    let mut loader = Loader::new(document, sources.into());
    let Some(mut party) = loader.party() else { return Err(loader.finish()) };
    party.day = day.unwrap_or(party.day);
    let kitchen = loader.sourced(&party.kitchen, "kitchen".to_owned());
    let recipes: Vec<Option<Found<Recipe>>> = party
        .dishes
        .iter()
        .enumerate()
        // More are wrong in any case; their recipes need not be read.
        .take(check::MOST_DISHES)
        .map(|(i, dish)| loader.sourced(&dish.recipe, format!("dishes[{i}].recipe")))
        .collect();
    let face = face(party.day);
    loader.check(&party, kitchen.as_ref(), &recipes, &face);
    let all: Option<Vec<Recipe>> = recipes.into_iter().map(|r| r.map(|f| f.value)).collect();
    let problems = loader.finish();
    match (kitchen, all) {
        (Some(kitchen), Some(recipes)) if !problems.any_wrong() => {
            let mut evening = check::evening(party, kitchen.value, recipes, face);
            board::settle(&mut evening, &[], &|_, _| false);
            Ok(Loaded { evening, notes: problems })
        }
        _ => Err(problems),
    }
}

/// A kitchen or recipe, and where it stands.
struct Found<T> {
    value: T,
    document: Rc<Document>,
    /// Its path in the document: empty for a file of its own.
    prefix: String,
}

struct Loader<'a> {
    party: Rc<Document>,
    sources: Sources<'a>,
    /// Files and built-in ones read so far, by the name that the party gives
    /// them; nothing where they cannot be read.
    read: BTreeMap<(FileKind, String), Option<Rc<Document>>>,
    problems: Problems,
}

impl<'a> Loader<'a> {
    fn new(party: Document, sources: Sources<'a>) -> Self {
        Self {
            party: Rc::new(party),
            sources,
            read: BTreeMap::new(),
            problems: Problems::default(),
        }
    }

    fn finish(mut self) -> Problems {
        self.problems.sort(&self.party.file);
        self.problems
    }

    /// The typed party. If its structure is wrong, the files that it names are
    /// still looked at, so that the cook sees all that is wrong at once.
    fn party(&mut self) -> Option<Party> {
        match self.party.value::<Party>() {
            Ok(party) => return Some(party),
            Err(problems) => self.problems.join(problems),
        }
        let tree = Rc::clone(&self.party);
        if let Some(Held::Text(name)) = tree.tree.field("kitchen").map(|n| &n.held) {
            self.named::<Kitchen>(name, "kitchen");
        }
        if let Some(Held::List(dishes)) = tree.tree.field("dishes").map(|n| &n.held) {
            for (index, dish) in dishes.iter().enumerate().take(check::MOST_DISHES) {
                if let Some(Held::Text(name)) = dish.field("recipe").map(|n| &n.held) {
                    self.named::<Recipe>(name, &format!("dishes[{index}].recipe"));
                }
            }
        }
        None
    }

    fn sourced<T: CookFile + Clone>(
        &mut self,
        source: &Sourced<T>,
        path: String,
    ) -> Option<Found<T>> {
        match source {
            Sourced::Named(name) => self.named(name, &path),
            Sourced::Inline(value) => Some(Found {
                value: (**value).clone(),
                document: Rc::clone(&self.party),
                prefix: path,
            }),
        }
    }

    /// What a name in the party stands for. `path` is where it is named.
    fn named<T: CookFile>(&mut self, name: &str, path: &str) -> Option<Found<T>> {
        let key = (T::KIND, name.to_owned());
        let document = match self.read.get(&key) {
            Some(known) => known.clone(),
            None => {
                let document = self.document(T::KIND, name, path);
                self.read.insert(key, document.clone());
                document
            }
        }?;
        match document.value::<T>() {
            Ok(value) => Some(Found { value, document, prefix: String::new() }),
            Err(problems) => {
                self.problems.join(problems);
                None
            }
        }
    }

    fn document(&mut self, kind: FileKind, name: &str, path: &str) -> Option<Rc<Document>> {
        let read = if is_path(name) {
            let file = self.sources.folder.join(name);
            Document::read(&file).map_err(|problems| self.at_name(problems, path))
        } else if let Some(file) = self.sources.own.and_then(|own| own.find(kind, name)) {
            Document::read(&file)
        } else {
            match shelf::text(kind, name) {
                Some(text) => Document::parse(&format!("built-in {} {name}", kind.word()), text),
                None => Err(Problems::one(self.unknown(kind, name, path))),
            }
        };
        match read {
            Ok(document) => Some(Rc::new(document)),
            Err(problems) => {
                self.problems.join(problems);
                None
            }
        }
    }

    /// Problems with a whole file are told at the place that names it.
    fn at_name(&self, problems: Problems, path: &str) -> Problems {
        let retell = |p: FileProblem| match p.line {
            Some(_) => p,
            None => self.wrong(path, format!("{}: {}", p.file, p.what), p.remedy),
        };
        problems.list.into_iter().map(retell).collect()
    }

    fn unknown(&self, kind: FileKind, name: &str, path: &str) -> FileProblem {
        let shown: String = name.chars().take(60).flat_map(char::escape_debug).collect();
        let file = format!("{name}.json");
        let remedy = if !name.is_empty() && self.sources.folder.join(&file).is_file() {
            format!("For the file beside the party write \"{file}\"")
        } else {
            let own = self.sources.own.map(|own| own.ids(kind)).unwrap_or_default();
            let built_in = shelf::all(kind).iter().map(|(id, _)| *id);
            let mean = mean(name, own.iter().map(String::as_str).chain(built_in));
            if mean.ends_with('?') {
                mean
            } else {
                format!("{mean}. A file of your own is named by its path: \"mine/{file}\"")
            }
        };
        let which = if self.sources.own.is_some() { "" } else { "built-in " };
        self.wrong(path, format!("there is no {which}{} \"{shown}\"", kind.word()), remedy)
    }

    fn wrong(&self, path: &str, what: String, remedy: String) -> FileProblem {
        FileProblem::wrong(&self.party.file, Some(self.party.line_of(path)), path, what, remedy)
    }

    /// Checks the meaning of what was found.
    fn check(
        &mut self,
        party: &Party,
        kitchen: Option<&Found<Kitchen>>,
        recipes: &[Option<Found<Recipe>>],
        face: &Clockface,
    ) {
        let values: Vec<Option<&Recipe>> =
            recipes.iter().map(|r| r.as_ref().map(|f| &f.value)).collect();
        let mut found =
            check::check_parts(party, kitchen.map(|k| &k.value), &values, hold_limits());
        found.extend(check::check_clock(party, face));
        let mut problems: Problems =
            found.into_iter().map(|p| self.place(kitchen, recipes, p)).collect();
        for found in recipes.iter().flatten() {
            problems.list.extend(exemption(&found.document, &found.prefix, &found.value));
        }
        self.problems.join(problems);
    }

    fn place(
        &self,
        kitchen: Option<&Found<Kitchen>>,
        recipes: &[Option<Found<Recipe>>],
        problem: Problem,
    ) -> FileProblem {
        let Place { document, path } = &problem.place;
        let (file, prefix) = match document {
            check::Document::Party => (&self.party, ""),
            check::Document::Kitchen => {
                kitchen.map_or((&self.party, "kitchen"), |k| (&k.document, k.prefix.as_str()))
            }
            check::Document::Recipe(index) => recipes
                .get(*index)
                .and_then(Option::as_ref)
                .map_or((&self.party, ""), |r| (&r.document, r.prefix.as_str())),
        };
        let path = join(prefix, path);
        located(file, &path, problem)
    }
}

/// Does a name in a party file stand for a file? One with a slash or with the
/// ending `.json` does; any other is the id of a built-in recipe or kitchen.
#[must_use]
pub fn is_path(name: &str) -> bool {
    let json = Path::new(name).extension().is_some_and(|e| e.eq_ignore_ascii_case("json"));
    json || name.contains(['/', '\\'])
}

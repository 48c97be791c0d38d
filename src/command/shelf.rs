//! `potwatch shelf`: the parties, recipes and kitchens that there are, and the settings.

use super::own::Own;
use super::{Exit, Streams, page, settings};
use crate::kitchen::{Kitchen, Party, Recipe};
use crate::pages::shelf::{Entry, SHELF_FORMAT, SettingsEntry, ShelfPage};
use crate::store::read::CookFile;
use crate::store::shelf;

/// Prints the shelves.
///
/// # Errors
/// Trouble with writing.
pub fn run(json: bool, streams: &mut Streams) -> anyhow::Result<Exit> {
    let own = Own::find(streams.var);
    if let Some(trouble) = &own.trouble {
        writeln!(streams.err, "potwatch: {trouble}")?;
    }
    let party = |p: &Party| (p.title.clone(), Some(p.day.to_string()));
    let recipe = |r: &Recipe| (r.title.clone(), Some(r.course.word().to_owned()));
    let kitchen = |k: &Kitchen| (k.title.clone(), None);
    let recipes = shelf::recipes();
    let kitchens = shelf::kitchens();
    let page = ShelfPage {
        format: SHELF_FORMAT.to_owned(),
        parties: entries(&own, party),
        recipes: [entries(&own, recipe), built_in(&recipes, |r| &r.id, recipe)].concat(),
        kitchens: [entries(&own, kitchen), built_in(&kitchens, |k| &k.id, kitchen)].concat(),
        settings: SettingsEntry::of(
            own.settings_file(),
            own.settings.clone(),
            own.customs(),
            settings::all(&own),
        ),
    };
    page::print(&page, ShelfPage::text, json, streams)
}

/// The cook's own of a kind.
fn entries<T: CookFile>(own: &Own, says: impl Fn(&T) -> (String, Option<String>)) -> Vec<Entry> {
    let Some(shelf) = &own.shelf else { return Vec::new() };
    let entry = |(id, read): (String, Result<T, _>)| {
        let file = Some(shelf.path(T::KIND, &id).display().to_string());
        match read {
            Ok(thing) => {
                let (title, says) = says(&thing);
                Entry { id, title: Some(title), says, file, trouble: None }
            }
            Err(problems) => {
                let trouble = Some(format!("{problems}"));
                Entry { id, title: None, says: None, file, trouble }
            }
        }
    };
    shelf.all::<T>().into_iter().map(entry).collect()
}

fn built_in<T>(
    all: &[T],
    id: impl Fn(&T) -> &String,
    says: impl Fn(&T) -> (String, Option<String>),
) -> Vec<Entry> {
    let entry = |thing: &T| {
        let (title, says) = says(thing);
        let id = id(thing).clone();
        Entry { id, title: Some(title), says, file: None, trouble: None }
    };
    all.iter().map(entry).collect()
}

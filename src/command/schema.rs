//! `potwatch schema [NAME]`: the JSON Schemas of the cook's files.

use super::{Exit, Streams};
use crate::store::read::schema::FileKind;

impl clap::ValueEnum for FileKind {
    fn value_variants<'a>() -> &'a [Self] {
        &Self::ALL
    }

    fn to_possible_value(&self) -> Option<clap::builder::PossibleValue> {
        Some(clap::builder::PossibleValue::new(self.word()))
    }
}

/// Prints a schema, or the names of all.
///
/// # Errors
/// Trouble with writing.
pub fn run(name: Option<FileKind>, streams: &mut Streams) -> anyhow::Result<Exit> {
    match name {
        Some(kind) => streams.out.write_all(kind.schema_text().as_bytes())?,
        None => {
            for kind in FileKind::ALL {
                writeln!(streams.out, "{}", kind.word())?;
            }
        }
    }
    Ok(Exit::Done)
}

//! `past_evening FOLDER`: writes an evening of the demo party that is over, as the program writes
//! it, with the party beside it (`FOLDER/party.json`); FOLDER is then a POTWATCH_HOME.

#[path = "../support/past.rs"]
mod past;

fn main() {
    let folder = std::env::args().nth(1).expect("a folder");
    let past = past::Past::in_folder(folder.as_ref());
    // An oven that runs slow, so that something is late and there is something to change.
    past.cook(
        "2026-10-03",
        |kind| {
            if kind == potwatch::kitchen::StationKind::Oven { 1.35 } else { 1.0 }
        },
    );
    let party = past.party("2026-10-03", |_| {});
    let to = std::path::Path::new(&folder).join("party.json");
    std::fs::rename(party, to).expect("the party moved");
}

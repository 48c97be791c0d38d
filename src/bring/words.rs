//! What was found, in words: every line of the source with its reading under it.

use std::fmt::Write;

use super::beside::beside;
use super::found::Found;
use super::line::{self, IngredientLine, LineReading, Measure};

/// A recipe as it was found, with each line's reading.
#[must_use]
pub fn found(found: &Found) -> String {
    let mut out = String::new();
    // Writing to a string does not fail.
    let _ = write_found(&mut out, found);
    out.trim_end().to_owned()
}

fn write_found(out: &mut String, found: &Found) -> std::fmt::Result {
    let title = if found.title.is_empty() { "(no title)" } else { &found.title };
    writeln!(out, "{title}")?;
    writeln!(out, "  found in {}", found.origin.words())?;
    match (&found.makes, found.servings) {
        (Some(makes), Some(n)) => writeln!(out, "  makes {n}   from \"{makes}\"")?,
        (Some(makes), None) => writeln!(out, "  makes ?   \"{makes}\"")?,
        _ => writeln!(out, "  it does not say how much it makes")?,
    }
    for said in &found.said {
        writeln!(out, "  ! {said}")?;
    }
    writeln!(out, "\nIngredients, {} lines", found.lines.len())?;
    let mut section = None;
    let mut unread = 0;
    for words in &found.lines {
        if words.section != section {
            section.clone_from(&words.section);
            writeln!(out, " {}", section.as_deref().unwrap_or("(without a heading)"))?;
        }
        let reading = line::read(&words.text);
        unread += usize::from(!matches!(reading, LineReading::Ingredient(_)));
        writeln!(out, "  {}\n      {}", words.text, reading_words(&reading))?;
    }
    if unread > 0 {
        writeln!(out, "  {unread} of them could not be read; they are kept as they are")?;
    }
    writeln!(out, "\nMethod, {} pieces", found.method.len())?;
    for (index, words) in found.method.iter().enumerate() {
        if let Some(section) = words.section.as_ref().filter(|s| {
            index.checked_sub(1).and_then(|i| found.method.get(i)?.section.as_ref()) != Some(s)
        }) {
            writeln!(out, " {section}")?;
        }
        writeln!(out, "  {}. {}", index + 1, words.text)?;
    }
    write_proposal(out, found)?;
    for (name, list) in
        [("Notes", &found.notes), ("Lines without a place, kept as notes", &found.unplaced)]
    {
        if !list.is_empty() {
            writeln!(out, "\n{name}")?;
            list.iter().try_for_each(|l| writeln!(out, "  {l}"))?;
        }
    }
    if !found.diets.is_empty() {
        let diets = found.diets.join(", ");
        writeln!(out, "\nIts author claims: {diets}. That is not checked; read the labels.")?;
    }
    Ok(())
}

/// The recipe that would be made of it: each proposal with the words that it was read from.
fn write_proposal(out: &mut String, found: &Found) -> std::fmt::Result {
    writeln!(out, "\nProposed from it; nothing of it is confirmed")?;
    for part in beside(found).iter().filter(|p| p.title != "What goes in" && p.title != "Notes") {
        for row in &part.rows {
            writeln!(out, "  {}{}", if row.source.is_empty() { "! " } else { "" }, row.reading)?;
            if !row.source.is_empty() {
                writeln!(out, "      from \"{}\"", row.source)?;
            }
        }
    }
    Ok(())
}

/// A line's reading on one line: "1 1/2 lb · potatoes · peeled, cubed · large".
#[must_use]
pub fn reading_words(reading: &LineReading) -> String {
    match reading {
        LineReading::Ingredient(line) => format!("= {}", ingredient(line)),
        LineReading::Heading(words) => format!("= a heading: {words}"),
        LineReading::Unread(why) => format!("? not read: {why}"),
    }
}

fn ingredient(line: &IngredientLine) -> String {
    let mut parts: Vec<String> = Vec::new();
    let about = if line.about { "about " } else { "" };
    let amount = line
        .amount
        .map(|amount| measure(&Measure { amount, to: line.amount_to, unit: line.unit.clone() }));
    match amount {
        Some(amount) => parts.push(format!("{about}{amount}")),
        None => parts.push("no amount".to_owned()),
    }
    parts.push(line.item.clone());
    parts.extend(line.or.iter().map(|o| format!("or {o}")));
    parts.extend(line.prep.clone());
    parts.extend(line.sizes.iter().map(|s| format!("size {s}")));
    parts.extend(line.pack.iter().map(|p| format!("{} each", measure(p))));
    parts.extend(line.equals.iter().map(|m| format!("that is {}", measure(m))));
    parts.extend(line.notes.iter().map(|n| format!("({n})")));
    for (is, word) in
        [(line.optional, "optional"), (line.divided, "divided"), (line.to_taste, "to taste")]
    {
        parts.extend(is.then(|| word.to_owned()));
    }
    parts.join(" · ")
}

fn measure(m: &Measure) -> String {
    let to = m.to.map_or(String::new(), |t| format!(" to {t}"));
    let unit = m.unit.as_ref().map_or(String::new(), |u| format!(" {}", u.word));
    format!("{}{to}{unit}", m.amount)
}

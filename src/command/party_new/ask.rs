//! The questions for a new party: plain lines, each with a usual answer that
//! an empty line takes. The end of the input ends it with nothing written.

use std::io::BufRead;
use std::path::PathBuf;
use std::str::FromStr;

use chrono::NaiveDate;

use super::draft::{Draft, GUESTS, TITLE, slug, usual_cook, usual_kitchen};
use super::wish::{CookWish, DayWish, DishWish, ServiceWish, hours_of};
use super::{Flags, Streams, by_course, plural, tomorrow};
use crate::kitchen::check::words::mean;
use crate::safety::Profile;
use crate::store::shelf;

/// Longest answer that is read, in bytes.
const LONGEST: u64 = 4096;

/// Asks for what the flags leave open. Nothing if the input ends.
///
/// # Errors
/// Trouble with the terminal.
pub(super) fn ask(
    flags: &Flags,
    today: NaiveDate,
    streams: &mut Streams,
) -> std::io::Result<Option<(Draft, PathBuf)>> {
    let mut draft = Draft::of_flags(flags, today);
    let mut asker = Asker { streams };
    asker.say("A new party. An empty answer takes what stands in [ ].")?;
    let answered = asker.all(flags, today, &mut draft)?;
    Ok(answered.map(|out| (draft, out)))
}

struct Asker<'a, 'b> {
    streams: &'a mut Streams<'b>,
}

impl Asker<'_, '_> {
    fn say(&mut self, text: &str) -> std::io::Result<()> {
        writeln!(self.streams.err, "{text}")
    }

    fn all(
        &mut self,
        flags: &Flags,
        today: NaiveDate,
        draft: &mut Draft,
    ) -> std::io::Result<Option<PathBuf>> {
        macro_rules! or_end {
            ($answer:expr) => {
                match $answer? {
                    Some(answer) => answer,
                    None => return Ok(None),
                }
            };
        }
        if flags.title.is_none() {
            draft.title = or_end!(self.one("What is it called?", TITLE, title));
        }
        if flags.day.is_none() {
            let usual = tomorrow(today).to_string();
            let day: DayWish = or_end!(self.one("On which day?", &usual, DayWish::from_str));
            draft.day = day.day(today);
        }
        if flags.guests.is_none() {
            draft.guests = or_end!(self.one("How many come?", &GUESTS.to_string(), guests));
        }
        if flags.services.is_empty() {
            let text = "When does food go to the table?";
            draft.services = or_end!(self.one(text, "starters 18:00, mains 19:00", services));
        }
        if flags.dishes.is_empty() {
            let shown = or_end!(self.shelf().map(Some));
            let text = "Which dishes? Numbers, as in 1 4 9; 4:12 for 12 servings";
            draft.dishes = or_end!(self.one(text, "", |answer| dishes(answer, &shown)));
        }
        if flags.cooks.is_empty() {
            let name = or_end!(self.one("Who cooks?", "Cook", title));
            let usual = usual_cook(&name, &draft.services);
            let hours: Vec<String> = usual.free.iter().map(|(a, b)| format!("{a}-{b}")).collect();
            let free = or_end!(self.one("When are they free?", &hours.join(","), hours_of));
            draft.cooks = vec![CookWish { name, free }];
        }
        if flags.kitchen.is_none() && shelf::KITCHENS.len() > 1 {
            let known: Vec<&str> = shelf::KITCHENS.iter().map(|k| k.0).collect();
            let text = format!("In which kitchen? {}", known.join(", "));
            draft.kitchen = or_end!(self.one(&text, &usual_kitchen(), kitchen));
        }
        if flags.guidance.is_none() {
            let known: Vec<&str> = Profile::ids().collect();
            let text = format!("Whose food safety guidance counts? {}", known.join(", "));
            draft.guidance = or_end!(self.one(&text, Profile::DEFAULT_ID, super::guidance));
        }
        if let Some(out) = &flags.out {
            return Ok(Some(out.clone()));
        }
        let usual = format!("{}.json", slug(&draft.title));
        self.one("Where shall it be written?", &usual, |answer| free_file(answer, flags.force))
    }

    /// One question until its answer can be read; nothing at the end of the input.
    fn one<T>(
        &mut self,
        question: &str,
        usual: &str,
        read: impl Fn(&str) -> Result<T, String>,
    ) -> std::io::Result<Option<T>> {
        loop {
            match usual {
                "" => write!(self.streams.err, "{question} ")?,
                _ => write!(self.streams.err, "{question} [{usual}] ")?,
            }
            self.streams.err.flush()?;
            let Some(line) = self.line()? else { return Ok(None) };
            let answer = if line.trim().is_empty() { usual } else { line.trim() };
            match read(answer) {
                Ok(answer) => return Ok(Some(answer)),
                Err(why) => self.say(&format!("  {why}"))?,
            }
        }
    }

    fn line(&mut self) -> std::io::Result<Option<String>> {
        let mut bytes = Vec::new();
        let mut limited = std::io::Read::take(&mut *self.streams.input, LONGEST);
        limited.read_until(b'\n', &mut bytes)?;
        if bytes.last() != Some(&b'\n') {
            // A line that is cut off by the end of the input was not confirmed.
            return Ok(None);
        }
        Ok(Some(String::from_utf8_lossy(&bytes).into_owned()))
    }

    /// Shows the shelf by course with numbers; the ids in that order.
    fn shelf(&mut self) -> std::io::Result<Vec<String>> {
        let mut ids = Vec::new();
        for (course, recipes) in by_course() {
            self.say(plural(course))?;
            for recipe in recipes {
                ids.push(recipe.id);
                self.say(&format!("  {:>3}  {}", ids.len(), recipe.title))?;
            }
        }
        Ok(ids)
    }
}

fn title(answer: &str) -> Result<String, String> {
    match answer {
        text if text.chars().any(char::is_control) => Err("write plain letters".to_owned()),
        text if text.chars().count() > 80 => Err("use at most 80 letters".to_owned()),
        text => Ok(text.to_owned()),
    }
}

fn guests(answer: &str) -> Result<u32, String> {
    let n = answer.parse::<u32>().ok().filter(|n| (1..=500).contains(n));
    n.ok_or_else(|| "write a number from 1 to 500".to_owned())
}

fn services(answer: &str) -> Result<Vec<ServiceWish>, String> {
    answer.split(',').map(ServiceWish::from_str).collect()
}

fn dishes(answer: &str, shelf: &[String]) -> Result<Vec<DishWish>, String> {
    let mut list = Vec::new();
    for word in answer.split([' ', ',']).filter(|w| !w.is_empty()) {
        let (name, rest) = match word.split_once(':') {
            Some((name, rest)) => (name, format!(":{rest}")),
            None => (word, String::new()),
        };
        let id = match name.parse::<usize>() {
            Ok(n) => n
                .checked_sub(1)
                .and_then(|i| shelf.get(i))
                .ok_or_else(|| format!("there is no dish {n}; write 1 to {}", shelf.len()))?,
            Err(_) => shelf.iter().find(|id| *id == name).ok_or_else(|| {
                let mean = mean(name, shelf.iter().map(String::as_str));
                format!("there is no dish \"{name}\". {mean}")
            })?,
        };
        list.push(format!("{id}{rest}").parse()?);
    }
    if list.is_empty() { Err("name one dish at the least".to_owned()) } else { Ok(list) }
}

fn kitchen(answer: &str) -> Result<String, String> {
    let known = shelf::KITCHENS.iter().map(|k| k.0);
    if known.clone().any(|id| id == answer) {
        return Ok(answer.to_owned());
    }
    Err(format!("there is no kitchen \"{answer}\". {}", mean(answer, known)))
}

fn free_file(answer: &str, force: bool) -> Result<PathBuf, String> {
    let path = PathBuf::from(answer);
    if path.is_dir() {
        return Err("that is a folder; name a file in it".to_owned());
    }
    if path.exists() && !force {
        return Err("there is already such a file; name another".to_owned());
    }
    if path.extension().is_none() {
        return Err(format!("let its name end in .json: {answer}.json"));
    }
    Ok(path)
}

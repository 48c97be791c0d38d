//! `potwatch settings`: the cook's settings, shown and set.

use serde_json::{Value, json};

use super::exit::WrongUse;
use super::own::Own;
use super::{Exit, Streams, page};
use crate::kitchen::check::words::nearest;
use crate::kitchen::{Customs, Settings};
use crate::live::on_alarm::OnAlarm;
use crate::live::surroundings;
use crate::pages::Moment;
use crate::pages::alarms::{ALARMS_FORMAT, AlarmsPage, Entry, Stands};
use crate::pages::settings::{Choice, SETTINGS_FORMAT, Setting, SettingsPage, Whence};
use crate::safety::Profile;
use crate::screen::form::{Kind, Reader, Spec, choices, settings_fields};
use crate::store::{RealDisk, settings};

/// What is asked of the settings.
#[derive(Debug, Clone, clap::Args)]
pub struct Flags {
    /// One of them, by its name; all if none is given
    #[arg(value_name = "NAME")]
    pub name: Option<String>,
    /// What to set it to; `usual` takes it back. For a program, what it is given follows
    #[arg(value_name = "VALUE", trailing_var_arg = true, allow_hyphen_values = true)]
    pub value: Vec<String>,
    /// Print them for programs
    #[arg(long)]
    pub json: bool,
    /// Start the program on alarm with an alarm that is made up, and say what became of it
    #[arg(long, conflicts_with_all = ["name", "json"])]
    pub try_program: bool,
}

/// What takes a setting back.
const USUAL: &str = "usual";

/// Shows settings, or sets one.
///
/// # Errors
/// A name or a value that means nothing; a settings file that cannot be understood; trouble with
/// the disk.
pub fn run(flags: &Flags, streams: &mut Streams) -> anyhow::Result<Exit> {
    let mut own = Own::find(streams.var);
    if flags.try_program {
        return try_program(&own, streams);
    }
    if let (Some(name), [_, ..]) = (&flags.name, flags.value.as_slice()) {
        let path = own.places.as_ref().map_err(Clone::clone)?.settings();
        let set = with(&own, field(name)?, &flags.value)?;
        settings::check(&set).map_err(WrongUse)?;
        settings::keep(&RealDisk, &path, &set)?;
        own.settings = set;
    }
    let fields: Vec<&Spec> = match &flags.name {
        Some(name) => vec![field(name)?],
        None => settings_fields().collect(),
    };
    let silent = surroundings::silent(&own.settings);
    let page = SettingsPage {
        format: SETTINGS_FORMAT.to_owned(),
        file: own.settings_file(),
        trouble: own.trouble.clone(),
        settings: fields.into_iter().map(|spec| shown(&own, spec)).collect(),
        silent: silent.iter().map(|rank| rank.word().to_owned()).collect(),
    };
    page::print(&page, SettingsPage::text, flags.json, streams)
}

/// Every setting as it holds.
pub(super) fn all(own: &Own) -> Vec<Setting> {
    settings_fields().map(|spec| shown(own, spec)).collect()
}

fn field(name: &str) -> Result<&'static Spec, WrongUse> {
    settings_fields().find(|spec| spec.key == name).ok_or_else(|| {
        let known: Vec<&str> = settings_fields().map(|spec| spec.key).collect();
        let mean = nearest(name, known.iter().copied());
        let mean = mean.map_or_else(|| known.join(", "), |near| format!("did you mean {near}?"));
        WrongUse(format!("there is no setting \"{name}\"; {mean}"))
    })
}

fn reader(customs: Customs) -> Reader {
    Reader { customs, today: chrono::Local::now().date_naive() }
}

/// What holds for a setting, and where that comes from.
fn shown(own: &Own, spec: &Spec) -> Setting {
    let tree = |settings: &Settings| serde_json::to_value(settings).unwrap_or(Value::Null);
    let customs = own.customs();
    let system = Settings {
        degrees: Some(customs.degrees),
        oven: Some(customs.oven),
        hours: Some(customs.hours),
        comma: Some(customs.comma),
        ..Settings::default()
    };
    let value = tree(&own.settings).get(spec.key).cloned();
    let (holds, from) = match (&value, tree(&system).get(spec.key)) {
        (Some(set), _) => (spec.kind.show(set, reader(customs)), Whence::Set),
        (None, Some(system)) => (spec.kind.show(system, reader(customs)), Whence::System),
        (None, None) if matches!(spec.kind, Kind::Guidance) => {
            (spec.kind.show(&json!(Profile::DEFAULT_ID), reader(customs)), Whence::Usual)
        }
        (None, None) => (spec.blank.unwrap_or_default().to_owned(), Whence::Usual),
    };
    let choices = can_be(spec).into_iter().map(|(value, words)| Choice { value, words }).collect();
    Setting {
        name: spec.key.to_owned(),
        title: spec.label.to_owned(),
        value,
        holds,
        from,
        help: spec.help.to_owned(),
        choices,
    }
}

/// What a setting can be, if it is chosen: as the file has it, and in words.
fn can_be(spec: &Spec) -> Vec<(String, String)> {
    let pair = |word: &str| (word.to_owned(), word.to_owned());
    match spec.kind {
        Kind::Yes => ["yes", "no"].map(pair).to_vec(),
        kind => choices(kind).into_iter().filter(|(value, _)| !value.is_empty()).collect(),
    }
}

/// The settings with one of them set to what was typed.
fn with(own: &Own, spec: &Spec, typed: &[String]) -> anyhow::Result<Settings> {
    let mut tree = serde_json::to_value(&own.settings)?;
    let fields = tree.as_object_mut().ok_or_else(|| anyhow::anyhow!("settings are no object"))?;
    if typed == [USUAL] {
        fields.remove(spec.key);
    } else {
        let value = read(spec, typed, own.customs()).map_err(|why| {
            WrongUse(format!("{}: \"{}\" cannot be read. {why}", spec.key, typed.join(" ")))
        })?;
        fields.insert(spec.key.to_owned(), value);
    }
    Ok(serde_json::from_value(tree)?)
}

/// The value of what was typed: by its name in the file, or as the desk shows it.
fn read(spec: &Spec, typed: &[String], customs: Customs) -> Result<Value, String> {
    // The shell has split these into words already.
    if matches!(spec.kind, Kind::Program) {
        return Ok(json!(typed));
    }
    let typed = typed.join(" ");
    let can_be = can_be(spec);
    if can_be.is_empty() {
        let value = spec.kind.read(&typed, reader(customs))?;
        return value.ok_or_else(|| format!("Write something, or `{USUAL}`."));
    }
    let is = |text: &str| text.eq_ignore_ascii_case(typed.trim());
    let found = can_be.iter().find(|(value, words)| is(value) || is(words));
    let found = found.map(|(value, _)| match spec.kind {
        Kind::Yes => json!(value == "yes"),
        _ => json!(value),
    });
    found.ok_or_else(|| {
        let known: Vec<&str> = can_be.iter().map(|(value, _)| value.as_str()).collect();
        format!("It can be {}, or {USUAL}.", known.join(", "))
    })
}

/// Starts the program on alarm as an evening would, with an alarm that says that it is none.
fn try_program(own: &Own, streams: &mut Streams) -> anyhow::Result<Exit> {
    if let Some(trouble) = &own.trouble {
        anyhow::bail!("{trouble}");
    }
    let words = own.settings.on_alarm.as_deref().unwrap_or_default();
    if words.is_empty() {
        anyhow::bail!("no program is set; `potwatch settings on_alarm PROGRAM` sets one");
    }
    let path = (streams.var)("PATH").map(std::ffi::OsString::from);
    let program = OnAlarm::find(path.as_deref(), words).map_err(anyhow::Error::msg)?;
    let document = page::json(&made_up(chrono::Local::now()))?;
    program.run(document).map_err(|why| anyhow::anyhow!("{} {why}", words.join(" ")))?;
    writeln!(streams.out, "{} got an alarm that was made up, and ended well.", words.join(" "))?;
    Ok(Exit::Done)
}

/// An alarm to try a program with.
fn made_up(at: chrono::DateTime<chrono::Local>) -> AlarmsPage {
    let clock = at.format("%H:%M").to_string();
    let now = || Moment { unix_ms: at.timestamp_millis(), clock: clock.clone() };
    let alarm = Entry {
        key: "try".to_owned(),
        rank: crate::run::Rank::Notice.word().to_owned(),
        title: "No alarm: the program is being tried".to_owned(),
        cause: "You asked for it.".to_owned(),
        consequence: "Nothing follows.".to_owned(),
        remedy: "Nothing is to be done.".to_owned(),
        raised: now(),
        harm: None,
        state: Stands::New,
        again: None,
        of: None,
        safety: false,
    };
    AlarmsPage {
        format: ALARMS_FORMAT.to_owned(),
        title: "Trying the program on alarm".to_owned(),
        day: at.date_naive().to_string(),
        now: now(),
        alarms: vec![alarm],
        bundles: Vec::new(),
        held_back: Vec::new(),
    }
}

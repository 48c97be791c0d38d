//! What the environment says: colours, sounds, notices, where things are kept.
//! The only code that reads environment variables for the live program.

use super::notify::Way;
use super::on_alarm::OnAlarm;
use super::session::Surroundings;
use super::sound::Sounds;
use crate::kitchen::Settings;
use crate::kitchen::customs::Colours;
use crate::run::Rank;
use crate::screen::Look;
use crate::store::Places;

fn var(name: &str) -> Option<String> {
    std::env::var(name).ok().filter(|value| !value.is_empty())
}

/// How the screen looks in this terminal.
///
/// `NO_COLOR` as no-color.org has it; `COLORFGBG` is what some terminals say of
/// their ground; the cook's settings and then `POTWATCH_GROUND` (`dark` or `light`)
/// overrule it, and `POTWATCH_ASCII` keeps to ASCII.
#[must_use]
pub fn look(settings: &Settings) -> Look {
    let asked = match var("POTWATCH_GROUND").as_deref() {
        Some("light") => Some(Colours::Light),
        Some("dark") => Some(Colours::Dark),
        _ => settings.colours,
    };
    let light = match asked {
        Some(colours) => Some(colours == Colours::Light),
        None => var("COLORFGBG").and_then(|text| ground_is_light(&text)),
    };
    Look::choose(
        var("NO_COLOR").is_some() || asked == Some(Colours::None),
        &var("COLORTERM").unwrap_or_default(),
        &var("TERM").unwrap_or_default(),
        light,
        var("POTWATCH_ASCII").is_some() || !says_utf8(),
    )
}

/// `15;0` is light on dark: the last number is the ground, 7 and 15 are light.
fn ground_is_light(text: &str) -> Option<bool> {
    let ground: u8 = text.rsplit(';').next()?.parse().ok()?;
    Some(ground == 7 || ground == 15)
}

/// Whether the locale says UTF-8; where it says nothing, that is taken for granted.
fn says_utf8() -> bool {
    let locale = ["LC_ALL", "LC_CTYPE", "LANG"].iter().find_map(|name| var(name));
    locale.is_none_or(|locale| {
        let locale = locale.to_lowercase();
        locale.contains("utf-8") || locale.contains("utf8") || !(locale == "c" || locale == "posix")
    })
}

/// Sounds and notices of this machine and terminal, as the cook set them.
///
/// `places`: where files are kept, if they can be; `is_real`: not the demo.
#[must_use]
pub fn around(places: Option<&Places>, settings: &Settings, is_real: bool) -> Surroundings {
    let over_ssh = var("SSH_CONNECTION").is_some() || var("SSH_TTY").is_some();
    let path = std::env::var_os("PATH");
    let sounds = match places {
        Some(places) => Sounds::find(path.as_deref(), over_ssh, &places.sounds()),
        None => Sounds::bell_only(),
    };
    let crash_notes = places.map(Places::crash_notes);
    let on_alarm = settings.on_alarm.as_deref().filter(|_| is_real);
    let on_alarm = on_alarm.map(|words| OnAlarm::find(path.as_deref(), words));
    // Over ssh it is the other computer that must not sleep.
    let watches_power = is_real && !over_ssh;
    let keeps_awake = settings.keep_awake.unwrap_or(true);
    Surroundings {
        sounds,
        silent: silent(settings),
        on_alarm,
        notices: Way::choose(var),
        watches_power,
        awake_by: path.filter(|_| watches_power && keeps_awake),
        distance_m: settings.distance_m.filter(|_| is_real),
        crash_notes,
    }
}

/// The ranks that the cook wants no sound for.
#[must_use]
pub fn silent(settings: &Settings) -> Vec<Rank> {
    let asked = [
        (Rank::Notice, settings.sound_notices),
        (Rank::Warning, settings.sound_warnings),
        (Rank::Urgent, settings.sound_urgent),
    ];
    asked.into_iter().filter(|(_, wanted)| *wanted == Some(false)).map(|(rank, _)| rank).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ground_is_the_last_number() {
        assert_eq!(ground_is_light("0;15"), Some(true));
        assert_eq!(ground_is_light("15;default;0"), Some(false));
        assert_eq!(ground_is_light("what"), None);
    }
}

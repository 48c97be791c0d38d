//! The fields of the settings.

use super::choices as c;
use super::{Item, Kind, maybe};
use crate::kitchen::customs::FARTHEST_M;

pub(super) const ITEMS: &[Item] = &[
    Item::Head("How things are read and written"),
    maybe(
        "degrees",
        "Degrees",
        "as the system has it",
        "Temperatures of food, rooms and fridges. A party may say otherwise.",
        Kind::Choice(c::DEGREES),
    ),
    maybe(
        "oven",
        "Oven's dial",
        "as the system has it",
        "What stands on the dial of your oven. Recipes mean top and bottom heat; a fan oven is set 20 °C lower.",
        Kind::Choice(c::DIALS),
    ),
    maybe(
        "hours",
        "Clock",
        "as the system has it",
        "24 hours, or 12 with am and pm.",
        Kind::Choice(c::CLOCKS),
    ),
    maybe(
        "comma",
        "Decimal comma",
        "as the system has it",
        "A comma before the tenths, 1,5, not a point. Both are read.",
        Kind::Yes,
    ),
    Item::Head("What plans go by"),
    maybe(
        "own_times",
        "Your own times",
        "yes",
        "How long steps took on your past evenings, where that is known. `potwatch times` lists them. A party may say otherwise.",
        Kind::Yes,
    ),
    maybe(
        "guidance",
        "Safety guidance",
        "US consumer guidance (USDA)",
        "Whose limits a new party begins with. Parties that there are keep theirs, and each can choose another; local rules win over all of them.",
        Kind::Guidance,
    ),
    Item::Head("The screen"),
    maybe(
        "colours",
        "Colours",
        "as the terminal says",
        "Colours that can be read on your terminal's ground, or none. NO_COLOR and POTWATCH_GROUND in the environment go before it.",
        Kind::Choice(c::COLOURS),
    ),
    maybe(
        "distance_m",
        "You work at",
        "by the screen",
        "How many metres from the screen you work, 1 to 9. From 2 on big type comes to the front by itself when the chart was left alone for two minutes; from 4 on it shows less, as large as it goes.",
        Kind::Count(1, FARTHEST_M as u32),
    ),
    maybe(
        "keep_awake",
        "Keep awake",
        "yes",
        "Keeps the computer from falling asleep while an evening is open. Asleep it sounds no alarm.",
        Kind::Yes,
    ),
    Item::Head("Alarms"),
    maybe(
        "sound_urgent",
        "Urgent ones sound",
        "yes",
        "A limit passed, or a dish with minutes left. With no the screen still shows each of them, but somebody has to look: limits of food safety are among them.",
        Kind::Yes,
    ),
    maybe(
        "sound_warnings",
        "Warnings sound",
        "yes",
        "A limit or a service in danger, with time left to act. With no the screen still shows each of them; limits of food safety are among them.",
        Kind::Yes,
    ),
    maybe(
        "sound_notices",
        "Notices sound",
        "yes",
        "What is worth knowing and leaves time, told once. With no the screen still shows each of them.",
        Kind::Yes,
    ),
    maybe(
        "on_alarm",
        "Program on alarm",
        "none",
        "A program of yours that is started when alarms come: a lamp, a message. Its whole path or its name, then what it is given; quote what has spaces. On its input it gets the alarms as `potwatch alarms --json` prints them. It has 30 seconds; no shell reads the line.",
        Kind::Program,
    ),
];

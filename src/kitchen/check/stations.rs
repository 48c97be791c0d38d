//! Is a kitchen sound in itself?

use super::TEMPERATURES_C;
use super::report::Report;
use super::words::{self, a_kind};
use crate::kitchen::{Cookware, Kitchen, Servingware, Station, StationKind, WareKind};

const MOST_STATIONS: usize = 40;
const MOST_SLOTS: u32 = 50;
const MOST_WARE: usize = 200;
const MOST_PIECES: u32 = 500;
const MOST_ML: u32 = 500_000;
const MOST_CM2: u32 = 100_000;
const MOST_MM: u32 = 2_000;
/// Fastest change of a thermostat, °C a minute.
const FASTEST: u32 = 200;

pub(super) fn check(kitchen: &Kitchen, report: &mut Report) {
    words::id(report, "id".into(), &kitchen.id);
    words::title(report, "title".into(), &kitchen.title);
    if kitchen.stations.is_empty() {
        report.wrong("stations", "is empty", "Add at least one station, a counter for example");
    }
    let stations = words::at_most(report, "stations", &kitchen.stations, MOST_STATIONS);
    let pans = words::at_most(report, "cookware", &kitchen.cookware, MOST_WARE);
    let dishes = words::at_most(report, "servingware", &kitchen.servingware, MOST_WARE);
    words::twice(report, "stations", "id", stations.iter().map(|s| s.id.as_str()));
    words::twice(report, "cookware", "id", pans.iter().map(|c| c.id.as_str()));
    words::twice(report, "servingware", "id", dishes.iter().map(|s| s.id.as_str()));
    for (index, station) in stations.iter().enumerate() {
        self::station(station, &format!("stations[{index}]"), report);
    }
    for (index, ware) in pans.iter().enumerate() {
        cookware(ware, &format!("cookware[{index}]"), report);
    }
    for (index, ware) in dishes.iter().enumerate() {
        servingware(ware, &format!("servingware[{index}]"), report);
    }
}

fn station(station: &Station, path: &str, report: &mut Report) {
    words::id(report, format!("{path}.id"), &station.id);
    words::title(report, format!("{path}.title"), &station.title);
    report.within(format!("{path}.slots"), station.slots, 1, MOST_SLOTS);
    volume(station.volume_ml, path, report);
    if station.volume_ml.is_some() && station.kind != StationKind::SlowCooker {
        report.note(
            format!("{path}.volume_ml"),
            format!("a volume is read for slow cookers only, not for {}", a_kind(station.kind)),
            "Leave it out",
        );
    }
    if station.volume_ml.is_none() && station.kind == StationKind::SlowCooker {
        report.note(path, "has no volume, so that it may overflow on paper", "Add \"volume_ml\"");
    }
    thermostat(station, path, report);
}

fn thermostat(station: &Station, path: &str, report: &mut Report) {
    let Some(t) = station.thermostat else {
        if station.kind == StationKind::Oven {
            report.wrong(
                path,
                "an oven needs a thermostat",
                "Add \"thermostat\" with least_c, most_c, up_c_per_min and down_c_per_min",
            );
        }
        return;
    };
    let path = format!("{path}.thermostat");
    if !matches!(station.kind, StationKind::Oven | StationKind::Grill) {
        report.wrong(
            &path,
            format!("{} is planned without a thermostat", a_kind(station.kind)),
            "Leave it out; only ovens and grills have one",
        );
        return;
    }
    let (least, most) = TEMPERATURES_C;
    let sound = report.within(format!("{path}.least_c"), t.least_c, least, most)
        & report.within(format!("{path}.most_c"), t.most_c, least, most);
    if sound && t.least_c > t.most_c {
        report.wrong(
            &path,
            format!("least_c {} is above most_c {}", t.least_c, t.most_c),
            "Swap them",
        );
    }
    report.within(format!("{path}.up_c_per_min"), t.up_c_per_min, 1, FASTEST);
    report.within(format!("{path}.down_c_per_min"), t.down_c_per_min, 1, FASTEST);
}

fn cookware(ware: &Cookware, path: &str, report: &mut Report) {
    words::id(report, format!("{path}.id"), &ware.id);
    words::title(report, format!("{path}.title"), &ware.title);
    words::id(report, format!("{path}.kind"), &ware.kind);
    report.within(format!("{path}.count"), ware.count, 1, MOST_PIECES);
    volume(ware.volume_ml, path, report);
}

fn servingware(ware: &Servingware, path: &str, report: &mut Report) {
    words::id(report, format!("{path}.id"), &ware.id);
    words::title(report, format!("{path}.title"), &ware.title);
    report.within(format!("{path}.count"), ware.count, 1, MOST_PIECES);
    volume(ware.volume_ml, path, report);
    if let Some(area) = ware.area_cm2 {
        report.within(format!("{path}.area_cm2"), area, 1, MOST_CM2);
    }
    if let Some(size) = ware.size {
        let measures =
            [("long_mm", Some(size.long_mm)), ("wide_mm", size.wide_mm), ("deep_mm", size.deep_mm)];
        for (name, mm) in measures {
            if let Some(mm) = mm {
                report.within(format!("{path}.size.{name}"), mm, 10, MOST_MM);
            }
        }
        let flat = size.deep_mm.is_none() && ware.volume_ml.is_none();
        if flat && matches!(ware.is_a(), WareKind::Bowl | WareKind::Pot | WareKind::Jug) {
            report.note(
                path,
                format!("a {} without a depth holds nothing on paper", ware.is_a().word()),
                "Add \"deep_mm\" to its size, or \"volume_ml\"",
            );
        }
    } else if ware.volume_ml.is_none() && ware.area_cm2.is_none() {
        report.note(
            path,
            "nobody can tell how much it holds, so that nothing is put into it",
            "Fill it with water to a finger below the rim and write \"volume_ml\", or its \"size\"",
        );
    }
}

fn volume(ml: Option<u32>, path: &str, report: &mut Report) {
    if let Some(ml) = ml {
        report.within(format!("{path}.volume_ml"), ml, 1, MOST_ML);
    }
}

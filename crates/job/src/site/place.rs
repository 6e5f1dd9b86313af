//! `[place]`: where the site is and which weather stands for it.

use crate::facts::Place;
use crate::library::{self, Library};
use crate::parse;
use notice::{Diagnostic, Kind};
use physics::air;
use sheet::{Limits, Node};

const ELEVATION: Limits = Limits::within(-430.0, 5000.0, "from -430 m to 5000 m");
const PRESSURE: Limits = Limits::within(50e3, 110e3, "from 50 kPa to 110 kPa (14.8 inHg to 32.5 inHg)");
const HUMIDITY_OFFSET: Limits = Limits::within(-0.30, 0.30, "from -30 % to 30 %");

/// Reads the table: the elevation, or the pressure in its place. Defaults: no zone of changing clocks, no offset of humidity.
pub(super) fn read(node: Node<'_, '_>, library: &dyn Library) -> Option<Place> {
    if !node.has("elevation") && !node.has("pressure") {
        node.missing(
            "elevation",
            "elevation = \"213 m\", or pressure = \"98.8 kPa\", the mean barometric pressure there",
        );
    }
    if node.has("elevation") && node.has("pressure") {
        node.fault(
            "pressure",
            "pressure-and-elevation",
            "pressure beside elevation",
            "one of the two says how dense the air is",
        );
    }
    let elevation = node.quantity("elevation", Kind::Length, ELEVATION);
    let pressure = node.quantity("pressure", Kind::Barometric, PRESSURE);
    let utc_offset = node.needed("utc_offset", "-06:00", parse::utc_offset);
    let zone = node.text("time_zone");
    let had_zone = node.has("time_zone");
    let time_zone = zone.filter(|name| known_zone(&node, name));
    let weather = node.needed_text("weather", "champaign").filter(|name| known_weather(&node, name, library));
    let offset = node.quantity("humidity_offset", Kind::RelativeHumidity, HUMIDITY_OFFSET);
    let had_offset = node.has("humidity_offset");
    if let (Some(offset), Some(zone)) = (utc_offset, &time_zone) {
        check_offset(&node, offset, zone);
    }
    node.close();
    if (had_zone && time_zone.is_none()) || (had_offset && offset.is_none()) {
        return None;
    }
    Some(Place {
        elevation: elevation.or_else(|| pressure.map(air::standard_elevation))?,
        pressure,
        utc_offset: utc_offset?,
        time_zone,
        weather: weather?,
        humidity_offset: offset.unwrap_or(0.0),
    })
}

fn known_zone(node: &Node<'_, '_>, name: &str) -> bool {
    let known = jiff::tz::TimeZone::get(name).is_ok();
    if !known {
        let zones: Vec<String> = jiff::tz::db().available().map(|zone| zone.to_string()).collect();
        node.unknown_word("time_zone", name, zones.iter().map(String::as_str));
    }
    known
}

fn known_weather(node: &Node<'_, '_>, name: &str, library: &dyn Library) -> bool {
    if let Err(error) = library::check_name(name) {
        node.refuse("weather", error);
        return false;
    }
    let names = library.weather_names();
    let known = names.iter().any(|other| other == name);
    if !known {
        node.unknown_word("weather", name, names.iter().map(String::as_str));
    }
    known
}

/// A zone whose standard time is another than the offset says: one of the two is a slip.
fn check_offset(node: &Node<'_, '_>, offset: i32, name: &str) {
    let Ok(zone) = jiff::tz::TimeZone::get(name) else { return };
    // Both solstices of a year: standard time is the one of the two that is not daylight-saving time.
    const SOLSTICES: [i64; 2] = [1_703_203_200, 1_718_928_000];
    let standard = SOLSTICES.iter().filter_map(|second| {
        let info = zone.to_offset_info(jiff::Timestamp::from_second(*second).ok()?);
        (!info.dst().is_dst()).then(|| info.offset().seconds())
    });
    let standard: Vec<i32> = standard.collect();
    if !standard.is_empty() && !standard.contains(&offset) {
        let found = format!("utc_offset of {:+.2} h beside time_zone {name:?}", f64::from(offset) / 3600.0);
        let allowed = format!("standard time there is {:+.2} h", f64::from(standard[0]) / 3600.0);
        node.add(
            Diagnostic::error("offset-and-zone", found, node.place("utc_offset"))
                .as_warning()
                .allowed(allowed)
                .help("utc_offset rules seasons and dates, time_zone rules wall clocks: mend the one that is wrong"),
        );
    }
}

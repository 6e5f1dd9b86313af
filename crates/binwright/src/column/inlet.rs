//! The air of a case: constant, or a table of steps beside the file.

use super::{
    InletStep, read,
    text::{Sheet, Table},
};
use notice::{Diagnostic, Kind, Phrase, Place, Range, Remark, Remarks};
use physics::air;

/// Temperatures of drying and cooling air, °C.
const TEMPERATURES: Range = Range::new(-50.0, 150.0);
/// Columns of a table, the last two may be left out.
const COLUMNS: [&str; 4] = ["hour", "air_c", "humidity_ratio", "dry_air_flux_kg_s_m2"];

/// Reads the air; none when something was wrong, which is noted.
pub fn read(
    top: &Table<'_, '_>,
    pressure: f64,
    depth: f64,
    keys: &[&str],
    open: &dyn Fn(&str) -> std::io::Result<String>,
    sheet: &Sheet<'_>,
    remarks: &mut Remarks,
) -> Option<Vec<InletStep>> {
    let Some(inlet) = top.below("inlet") else {
        if !top.has("inlet") {
            sheet.add(
                Diagnostic::error("missing-key", "the table inlet is missing", top.place("inlet"))
                    .help("add [inlet] with air = \"15 C\" and relative_humidity = \"50 %\""),
            );
        }
        return None;
    };
    inlet.only(keys);
    if let Some(name) = inlet.text("table") {
        for key in ["air", "relative_humidity", "humidity_ratio"].into_iter().filter(|key| inlet.has(key)) {
            inlet.wrong(key, "contradiction", format!("{key} beside a table"), "must stand in the table alone");
        }
        return from_table(top, &inlet, name, pressure, depth, open, sheet, remarks);
    }
    if !inlet.has("air") {
        inlet.missing("air", "\"15 C\"");
    }
    let temperature = inlet.quantity("air", Kind::Temperature, TEMPERATURES);
    let humidity = inlet.quantity("relative_humidity", Kind::RelativeHumidity, Range::new(0.0, 1.0));
    let ratio = inlet.number("humidity_ratio", Range::new(0.0, 1.0));
    let w = match (inlet.has("relative_humidity"), inlet.has("humidity_ratio")) {
        (true, true) => {
            let found = "relative_humidity and humidity_ratio together";
            inlet.wrong("humidity_ratio", "contradiction", found, "must be one of them");
            None
        }
        (false, false) => {
            inlet.missing("relative_humidity", "\"50 %\"");
            None
        }
        (true, false) => {
            let vapour = humidity? * air::saturation_pressure(temperature?);
            if vapour >= 0.9 * pressure {
                let found = "vapour pressure near the barometric pressure";
                inlet.wrong("relative_humidity", "impossible", found, "must leave air in the air");
            }
            Some(air::humidity_ratio(pressure, vapour))
        }
        (false, true) => ratio,
    };
    let volume = || air::specific_volume(temperature.unwrap_or(f64::NAN), w.unwrap_or(f64::NAN), pressure);
    let flux = read::flux(top, depth, volume)?;
    Some(read::constant(temperature?, w?, flux))
}

fn from_table(
    top: &Table<'_, '_>,
    inlet: &Table<'_, '_>,
    name: &str,
    pressure: f64,
    depth: f64,
    open: &dyn Fn(&str) -> std::io::Result<String>,
    sheet: &Sheet<'_>,
    remarks: &mut Remarks,
) -> Option<Vec<InletStep>> {
    let text = match open(name) {
        Ok(text) => text,
        Err(error) => {
            inlet.wrong(
                "table",
                "cannot-read",
                format!("\"{name}\" cannot be read: {error}"),
                "must be a file beside the case",
            );
            return None;
        }
    };
    let mut lines = text.lines().enumerate().filter(|(_, l)| !l.trim().is_empty() && !l.starts_with('#'));
    let (line, head) = lines.next().unwrap_or((0, ""));
    let head: Vec<&str> = head.trim_start_matches('\u{feff}').split(',').map(str::trim).collect();
    for column in head.iter().filter(|c| !COLUMNS.contains(c)) {
        let says = Phrase::new("column {column} of {file} is not used").text("column", *column).text("file", name);
        remarks.add(Remark::new("column-not-used", says));
    }
    let find = |column: &str| head.iter().position(|c| *c == column);
    let places = COLUMNS.map(find);
    for missing in COLUMNS[..3].iter().filter(|c| find(c).is_none()) {
        sheet.add(
            Diagnostic::error("missing-column", format!("no column {missing}"), Place::line(name, line + 1))
                .help(format!("the head must read {}", COLUMNS.join(","))),
        );
    }
    let [Some(hour), Some(air_c), Some(w), flux_at] = places else { return None };
    let mut steps: Vec<InletStep> = Vec::new();
    for (line, row) in lines {
        let cells: Vec<&str> = row.split(',').map(str::trim).collect();
        let cell = |at: usize, range: Range| {
            let found: Option<f64> = cells.get(at).and_then(|c| c.parse().ok()).filter(|v| range.contains(*v));
            if found.is_none() {
                let text = cells.get(at).copied().unwrap_or("nothing");
                sheet.add(
                    Diagnostic::error("impossible", format!("{} of {text}", head[at]), Place::line(name, line + 1))
                        .allowed(format!("must be a number from {} to {}", range.low, range.high)),
                );
            }
            found
        };
        let (hour, temperature) = (cell(hour, Range::new(-1e5, 1e5)), cell(air_c, TEMPERATURES));
        let humidity_ratio = cell(w, Range::new(0.0, 1.0));
        let flux = flux_at.map_or(Some(f64::NAN), |at| cell(at, Range::new(0.0, 20.0)));
        let (Some(hour), Some(temperature), Some(humidity_ratio), Some(flux)) =
            (hour, temperature, humidity_ratio, flux)
        else {
            continue;
        };
        if steps.last().is_some_and(|before| before.hour >= hour) {
            sheet.add(
                Diagnostic::error("impossible", format!("hour {hour}"), Place::line(name, line + 1))
                    .allowed("must be later than the row before"),
            );
        }
        steps.push(InletStep { hour, temperature, humidity_ratio, flux });
    }
    let Some(first) = steps.first().copied() else {
        sheet.add(Diagnostic::error("empty-table", format!("\"{name}\" holds no row"), Place::file(name)));
        return None;
    };
    if first.hour > 0.0 {
        sheet.add(
            Diagnostic::error("impossible", format!("first hour {}", first.hour), Place::file(name))
                .allowed("must be 0 or earlier"),
        );
    }
    if flux_at.is_none() {
        let volume = || air::specific_volume(first.temperature, first.humidity_ratio, pressure);
        let flux = read::flux(top, depth, volume)?;
        steps.iter_mut().for_each(|step| step.flux = flux);
    } else if ["dry_air_flux", "velocity", "airflow"].iter().any(|key| top.has(key)) {
        inlet.wrong("table", "contradiction", "an airflow beside one in the table", "must stand in one place");
    }
    Some(steps)
}

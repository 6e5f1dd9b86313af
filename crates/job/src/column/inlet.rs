//! The air of a case: constant, or a table of steps beside the file.

use super::{Open, flux, text::Fields};
use notice::{Diagnostic, Kind, Phrase, Place, Range, Remark, Remarks};
use physics::air;
use season::column::InletStep;
use sheet::{Node, Sheet};

/// Temperatures of drying and cooling air, °C.
const TEMPERATURES: Range = Range::new(-50.0, 150.0);
/// Dry-air flux, kg/(s m²): ten times what fluidises grain is a slip of the pen.
pub(super) const FLUXES: Range = Range::new(0.0, 20.0);
/// Humidity above saturation that rounding in a table may cause.
const SATURATED: f64 = 1.01;
/// Most rows of a table: eleven years by the hour.
const MOST_ROWS: usize = 100_000;
/// Columns of a table, the last may be left out.
const COLUMNS: [&str; 4] = ["hour", "air_c", "humidity_ratio", "dry_air_flux_kg_s_m2"];
const KEYS: &[&str] = &["air", "relative_humidity", "humidity_ratio", "table"];

/// What the inlet depends on beside its own table.
pub struct Around<'a> {
    /// Barometric pressure, Pa.
    pub pressure: f64,
    /// Depth of the column, m.
    pub depth: f64,
    /// Bulk density as filled, kg/m³ of moist grain; NaN where it is not known.
    pub bulk_density: f64,
    /// Gives the text of a file beside the case.
    pub open: Open<'a>,
}

/// Reads the air; none when something was wrong, which is noted.
pub fn read(
    top: &Node<'_, '_>,
    around: &Around<'_>,
    sheet: &Sheet<'_>,
    remarks: &mut Remarks,
) -> Option<Vec<InletStep>> {
    let Some(inlet) = top.table("inlet") else {
        if !top.has("inlet") {
            sheet.add(
                Diagnostic::error("missing-key", "the table inlet is missing", top.place("inlet"))
                    .help("add [inlet] with air = \"15 C\" and relative_humidity = \"50 %\""),
            );
        }
        return None;
    };
    inlet.only(KEYS);
    if let Some(name) = inlet.text("table") {
        for key in ["air", "relative_humidity", "humidity_ratio"].into_iter().filter(|key| inlet.has(key)) {
            inlet.fault(key, "contradiction", format!("{key} beside a table"), "must stand in the table alone");
        }
        let text = beside(&inlet, &name, around.open)?;
        return steps(&name, &text, top, around, sheet, remarks);
    }
    if inlet.has("table") {
        return None;
    }
    let (temperature, humidity_ratio) = constant(&inlet, around.pressure);
    let volume = air::specific_volume(temperature, humidity_ratio, around.pressure);
    let flux = flux::read(top, around.depth, volume, around.bulk_density)?;
    Some(vec![InletStep { hour: 0.0, temperature, humidity_ratio, flux }])
}

/// Temperature and humidity ratio of constant air; NaN stands in for what was refused.
fn constant(inlet: &Node<'_, '_>, pressure: f64) -> (f64, f64) {
    if !inlet.has("air") {
        inlet.missing("air", "air = \"15 C\"");
    }
    let temperature = inlet.quantity_in("air", Kind::Temperature, TEMPERATURES).unwrap_or(f64::NAN);
    let humidity = inlet.quantity_in("relative_humidity", Kind::RelativeHumidity, Range::new(0.0, 1.0));
    let ratio = inlet.number("humidity_ratio", 0.0, 1.0);
    let humidity_ratio = match (inlet.has("relative_humidity"), inlet.has("humidity_ratio")) {
        (true, true) => {
            let found = "relative_humidity and humidity_ratio together";
            inlet.fault("humidity_ratio", "contradiction", found, "must be one of them");
            f64::NAN
        }
        (false, false) => {
            inlet.missing("relative_humidity", "relative_humidity = \"50 %\"");
            f64::NAN
        }
        (true, false) => {
            let vapour = humidity.unwrap_or(f64::NAN) * air::saturation_pressure(temperature);
            if vapour >= 0.9 * pressure {
                let found = "vapour pressure near the barometric pressure";
                inlet.fault("relative_humidity", "impossible", found, "must leave air in the air");
            }
            air::humidity_ratio(pressure, vapour)
        }
        (false, true) => {
            let ratio = ratio.unwrap_or(f64::NAN);
            if humidity_of(temperature, ratio, pressure) > SATURATED {
                let found = format!("humidity_ratio of {ratio} at {temperature:.1} °C");
                inlet.fault("humidity_ratio", "impossible", found, "must not be above saturation");
            }
            ratio
        }
    };
    (temperature, humidity_ratio)
}

/// The text of a table that lies beside the case file.
fn beside(inlet: &Node<'_, '_>, name: &str, open: Open<'_>) -> Option<String> {
    let plain = !name.is_empty() && name != "." && name != ".." && !name.contains(['/', '\\', ':', '\0']);
    if !plain {
        let found = format!("table of \"{name}\"");
        inlet.fault("table", "not-a-plain-name", found, "must be the plain name of a file beside the case");
        return None;
    }
    match open(name) {
        Ok(text) => Some(text),
        Err(error) => {
            let found = format!("\"{name}\" cannot be read: {error}");
            inlet.fault("table", "cannot-read", found, "must be a text file beside the case");
            None
        }
    }
}

fn steps(
    name: &str,
    text: &str,
    top: &Node<'_, '_>,
    around: &Around<'_>,
    sheet: &Sheet<'_>,
    remarks: &mut Remarks,
) -> Option<Vec<InletStep>> {
    let text = text.trim_start_matches('\u{feff}');
    let mut lines = text.lines().enumerate().filter(|(_, l)| !l.trim().is_empty() && !l.trim_start().starts_with('#'));
    let (head_line, head) = lines.next().unwrap_or((0, ""));
    let head: Vec<&str> = head.split(',').map(str::trim).collect();
    for column in head.iter().filter(|c| !COLUMNS.contains(c)) {
        let says = Phrase::new("column {column} of {file} is not used").text("column", *column).text("file", name);
        remarks.add(Remark::new("column-not-used", says));
    }
    let find = |column: &str| head.iter().position(|c| *c == column);
    for missing in COLUMNS[..3].iter().filter(|c| find(c).is_none()) {
        let help = match head.iter().any(|cell| cell.contains([';', '\t'])) {
            true => "part the columns by commas and write decimal points".into(),
            false => format!("the head reads {}, the last may be left out", COLUMNS.join(",")),
        };
        sheet.add(
            Diagnostic::error("missing-column", format!("no column {missing}"), Place::line(name, head_line + 1))
                .help(help),
        );
    }
    let [Some(hour), Some(air_c), Some(ratio), flux] = COLUMNS.map(find) else { return None };
    let mut steps: Vec<InletStep> = Vec::new();
    for (count, (line, row)) in lines.enumerate() {
        let refuse = |found: String, allowed: String| {
            sheet.add(Diagnostic::error("impossible", found, Place::line(name, line + 1)).allowed(allowed));
        };
        if count >= MOST_ROWS {
            refuse(format!("row {}", count + 1), format!("must be {MOST_ROWS} rows at most"));
            break;
        }
        let cells: Vec<&str> = row.split(',').map(str::trim).collect();
        let cell = |at: usize, range: Range| {
            let found: Option<f64> = cells.get(at).and_then(|c| c.parse().ok()).filter(|v| range.contains(*v));
            if found.is_none() {
                let shown = cells.get(at).map_or("nothing".into(), |text| format!("\"{text}\""));
                let allowed = format!("must be a number from {} to {}", range.low, range.high);
                refuse(format!("{} of {shown}", head[at]), allowed);
            }
            found
        };
        let found = (
            cell(hour, Range::new(-1e5, 1e5)),
            cell(air_c, TEMPERATURES),
            cell(ratio, Range::new(0.0, 1.0)),
            flux.map_or(Some(f64::NAN), |at| cell(at, FLUXES)),
        );
        let (Some(hour), Some(temperature), Some(humidity_ratio), Some(flux)) = found else { continue };
        if humidity_of(temperature, humidity_ratio, around.pressure) > SATURATED {
            let found = format!("humidity_ratio of {humidity_ratio} at {temperature} °C");
            refuse(found, "must not be above saturation".into());
        }
        if steps.last().is_some_and(|before| before.hour >= hour) {
            refuse(format!("hour {hour}"), "must be later than in the row before".into());
        }
        steps.push(InletStep { hour, temperature, humidity_ratio, flux });
    }
    let Some(first) = steps.first().copied() else {
        sheet.add(
            Diagnostic::error("empty-table", format!("\"{name}\" holds no usable row"), Place::file(name))
                .help("write a row for each change of the air below the head, from hour 0 on"),
        );
        return None;
    };
    if first.hour > 0.0 {
        sheet.add(
            Diagnostic::error("impossible", format!("first hour {}", first.hour), Place::file(name))
                .allowed("must be 0 or earlier"),
        );
    }
    if flux.is_none() {
        let start = steps.iter().rev().find(|step| step.hour <= 0.0).unwrap_or(&first);
        let volume = air::specific_volume(start.temperature, start.humidity_ratio, around.pressure);
        let flux = flux::read(top, around.depth, volume, around.bulk_density)?;
        steps.iter_mut().for_each(|step| step.flux = flux);
    } else if let Some(key) = flux::WAYS.into_iter().find(|key| top.has(key)) {
        let says = Phrase::new("{key} of the case is not used: {file} gives the dry-air flux");
        remarks.add(Remark::new("flux-of-table", says.text("key", key).text("file", name)));
    }
    Some(steps)
}

/// Relative humidity of air.
fn humidity_of(temperature: f64, humidity_ratio: f64, pressure: f64) -> f64 {
    air::vapour_pressure(pressure, humidity_ratio) / air::saturation_pressure(temperature)
}

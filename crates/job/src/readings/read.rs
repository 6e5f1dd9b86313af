//! From the text of a readings file to [`Readings`], with everything wrong in it said at once and by line.

use super::{
    FuelFlow, MOST_POINTS, MotorReading, Readings, ReadingsRead, Rotation, Sample, Seen, Traverse, doubts, instruments,
};
use crate::parse::{self, QuantityError};
use notice::{Diagnostics, Kind};
use sheet::{Limits, Node, Sheet};

/// Version of the format this program reads.
pub const FORMAT: u32 = 1;

const PRESSURE: Limits = Limits::within(-50e3, 50e3, "from -200 to 200 in. of water");
const TEMPERATURE: Limits = Limits::within(-60.0, 200.0, "from -76 to 392 °F");
const LENGTH: Limits = Limits::within(0.0, 60.0, "from 0 to 60 m");
const POSITIVE: Limits = Limits::above(0.0, f64::INFINITY, "above zero");

/// Reads a readings file. `file` is its name for messages.
///
/// # Errors
/// All that is wrong with the file and all in it that cannot be right, in the order of its lines.
pub fn read_readings(text: &str, file: &str) -> Result<ReadingsRead, Diagnostics> {
    let sheet = Sheet::new(file, text);
    let mut doubtful = Diagnostics::default();
    let readings = sheet.parse().and_then(|table| {
        let top = Node::top(&sheet, &table);
        let readings = read(&top)?;
        if !sheet.stops() {
            doubts::find(&readings, &|field| top.place_of_path(field, field), &mut doubtful);
        }
        Some(readings)
    });
    doubtful.0.into_iter().for_each(|d| sheet.add(d));
    let (found, places) = sheet.finish();
    match readings {
        Some(readings) if !found.stop() => Ok(ReadingsRead { readings, places, warnings: found }),
        _ => Err(found),
    }
}

fn read(top: &Node<'_, '_>) -> Option<Readings> {
    if !top.has("binwright_readings") {
        top.missing("binwright_readings", &format!("binwright_readings = {FORMAT}"));
        return None;
    }
    top.count("binwright_readings", FORMAT, FORMAT)?;
    let mut r = Readings {
        bin: top.text("bin"),
        at: top.text("at"),
        when: top.parsed("at", super::when),
        confirmed: if top.has("confirmed") { top.texts("confirmed").unwrap_or_default() } else { Vec::new() },
        ..Readings::of_outdoor(f64::NAN)
    };
    if let Some(node) = top.table("state") {
        state(&node, &mut r);
    }
    if let Some(node) = top.needed_table("air") {
        air(&node, &mut r);
    }
    if let Some(node) = top.table("pressure") {
        pressure(&node, &mut r);
    }
    if let Some(node) = top.table("motors") {
        motors(&node, &mut r);
    }
    if let Some(node) = top.table("traverse") {
        r.traverse = traverse(&node);
    }
    if let Some(node) = top.table("fuel") {
        fuel(&node, &mut r);
    }
    if let Some(node) = top.table("sound") {
        sound(&node, &mut r);
    }
    if let Some(node) = top.table("grain") {
        grain(&node, &mut r);
    }
    if let Some(node) = top.table("instruments") {
        r.instruments = instruments::read(&node);
    }
    top.close();
    r.outdoor.is_finite().then_some(r)
}

/// A list of quantities; a single text is a list of one.
fn list(node: &Node<'_, '_>, key: &'static str, kind: Kind, limits: Limits) -> Vec<f64> {
    if !node.has(key) {
        return Vec::new();
    }
    if node.is_text(key) {
        return node.quantity(key, kind, limits).into_iter().collect();
    }
    let texts = node.texts(key).unwrap_or_default();
    if texts.is_empty() || texts.len() > MOST_POINTS {
        node.fault(
            key,
            "wrong-kind",
            format!("{key} of {} entries", texts.len()),
            format!("must be 1 to {MOST_POINTS}"),
        );
        return Vec::new();
    }
    values(node, key, &texts, |text| limits.hold(text, parse::quantity(kind, text)?))
}

fn values(
    node: &Node<'_, '_>,
    key: &'static str,
    texts: &[String],
    of: impl Fn(&str) -> Result<f64, QuantityError>,
) -> Vec<f64> {
    texts.iter().filter_map(|text| of(text).map_err(|e| node.refuse(key, e)).ok()).collect()
}

fn state(node: &Node<'_, '_>, r: &mut Readings) {
    r.fans_running = node.count("fans_running", 1, 8).map(|n| n as usize);
    r.burner_lit = node.choice("burner", &[("off", false), ("lit", true)]).unwrap_or(false);
    r.depth = node.quantity("depth", Kind::Length, LENGTH);
    r.seen = Seen {
        rotation: node
            .choice("rotation", &[("with-arrow", Rotation::WithArrow), ("against-arrow", Rotation::AgainstArrow)]),
        ice_on_regulator: node.flag("ice_on_regulator"),
        pulsing: node.flag("pulsing"),
        vents_blocked: node.flag("vents_blocked"),
        air_escapes: node.flag("air_escapes"),
    };
    node.close();
}

fn air(node: &Node<'_, '_>, r: &mut Readings) {
    if let Some(outdoor) = node.needed_quantity("outdoor", "50 F", Kind::Temperature, TEMPERATURE) {
        r.outdoor = outdoor;
    }
    r.humidity = node.quantity("humidity", Kind::RelativeHumidity, Limits::within(0.0, 1.0, "from 0 to 100 %"));
    r.barometer = node.quantity(
        "barometer",
        Kind::Barometric,
        Limits::within(55e3, 108e3, "from 55 to 108 kPa, as at the place"),
    );
    r.plenum = list(node, "plenum", Kind::Temperature, TEMPERATURE);
    r.panel = node.quantity("panel", Kind::Temperature, TEMPERATURE);
    node.close();
}

fn pressure(node: &Node<'_, '_>, r: &mut Readings) {
    r.plenum_pressure = list(node, "plenum", Kind::Pressure, PRESSURE);
    r.headspace_pressure = node.quantity("headspace", Kind::Pressure, PRESSURE);
    let grain = node.quantity("in_grain", Kind::Pressure, PRESSURE);
    let height = node.quantity("in_grain_height", Kind::Length, Limits::above(0.0, 30.0, "above 0 m"));
    match (grain, height) {
        (Some(pressure), Some(height)) => r.grain_pressure = Some((pressure, height)),
        (Some(_), None) if !node.has("in_grain_height") => {
            node.missing("in_grain_height", "in_grain_height = \"1 ft\"")
        }
        (None, Some(_)) if !node.has("in_grain") => node.missing("in_grain", "in_grain = \"1.6 in wc\""),
        _ => {}
    }
    node.close();
}

fn motors(node: &Node<'_, '_>, r: &mut Readings) {
    r.volts = list(node, "volts", Kind::Voltage, POSITIVE);
    if !matches!(r.volts.len(), 0 | 1 | 3) {
        let found = format!("{} volts", r.volts.len());
        let allowed = "must be one between two legs, or three between all legs";
        node.fault("volts", "wrong-legs", found, allowed);
    }
    r.plate_volts = node.quantity("plate_volts", Kind::Voltage, POSITIVE);
    r.power_factor = node.number("power_factor", 0.2, 1.0);
    let rows = if node.has("amps") { node.rows("amps").unwrap_or_default() } else { Vec::new() };
    let any = Limits::within(0.0, 2000.0, "from 0 to 2000 A");
    for row in rows.iter().take(8) {
        let amps = values(node, "amps", row, |text| any.hold(text, parse::quantity(Kind::Current, text)?));
        if !matches!(row.len(), 0 | 1 | 3) {
            let found = format!("a motor with {} currents", row.len());
            let allowed = "must be one current, or one for each of three legs; [] where it was not read";
            node.fault("amps", "wrong-legs", found, allowed);
        }
        r.motors.push(MotorReading { amps, speed: None });
    }
    if rows.len() > 8 {
        node.fault("amps", "out-of-bounds", format!("{} motors", rows.len()), "must be at most 8");
    }
    let speeds = speeds(node);
    if !speeds.is_empty() && !r.motors.is_empty() && speeds.len() != r.motors.len() {
        let found = format!("{} speeds for {} motors", speeds.len(), r.motors.len());
        node.fault("speed", "wrong-count", found, "must be one for each row of amps, in the same order");
    }
    r.motors.resize(r.motors.len().max(speeds.len().min(8)), MotorReading::default());
    r.motors.iter_mut().zip(speeds).for_each(|(motor, speed)| motor.speed = speed);
    node.close();
}

/// Speeds of the motors in order; an empty text is a motor that was not read.
fn speeds(node: &Node<'_, '_>) -> Vec<Option<f64>> {
    if !node.has("speed") || node.is_text("speed") {
        return list(node, "speed", Kind::Rotation, POSITIVE).into_iter().map(Some).collect();
    }
    let texts = node.texts("speed").unwrap_or_default();
    if texts.len() > 8 {
        node.fault("speed", "out-of-bounds", format!("{} speeds", texts.len()), "must be at most 8");
        return Vec::new();
    }
    let one = |text: &String| {
        let read = parse::quantity(Kind::Rotation, text).and_then(|speed| POSITIVE.hold(text, speed));
        read.map_err(|e| node.refuse("speed", e)).ok()
    };
    texts.iter().map(|text| if text.is_empty() { None } else { one(text) }).collect()
}

fn sound(node: &Node<'_, '_>, r: &mut Readings) {
    let levels = list(node, "level", Kind::SoundLevel, Limits::within(30.0, 140.0, "from 30 to 140 dB(A)"));
    let distance = node.quantity("distance", Kind::Length, Limits::within(0.5, 300.0, "from 0.5 to 300 m"));
    match (levels.is_empty(), distance) {
        (false, Some(distance)) => r.sound = Some((levels, distance)),
        (false, None) if !node.has("distance") => node.missing("distance", "distance = \"30 ft\", from the fans"),
        (true, Some(_)) if !node.has("level") => node.missing("level", "level = [\"86 dB\"], A-weighted, slow"),
        _ => {}
    }
    node.close();
}

fn traverse(node: &Node<'_, '_>) -> Option<Traverse> {
    let pressures = list(node, "velocity_pressures", Kind::Pressure, Limits::within(0.0, 5e3, "from 0 to 5 kPa"));
    let velocities = list(node, "velocities", Kind::Velocity, Limits::within(0.0, 1e4, "from 0 to 10,000 m/s"));
    let area = node.quantity("area", Kind::Area, Limits::within(1e-3, 100.0, "from 10 cm2 (1.6 in2) to 100 m2"));
    let airflow = node.quantity("airflow", Kind::Airflow, POSITIVE);
    node.close();
    match (pressures.is_empty(), velocities.is_empty(), airflow) {
        (true, true, Some(airflow)) => Some(Traverse::Airflow(airflow)),
        (true, true, None) => {
            node.missing("velocities", "velocities = [\"1800 ft/min\", \"1750 ft/min\"] and area = \"7.1 ft2\"");
            None
        }
        (_, _, Some(_)) | (false, false, _) => {
            let allowed = "must be one of velocity_pressures, velocities, airflow";
            node.fault("area", "traverse-twice", "the traverse is given in two ways", allowed);
            None
        }
        (no_pressures, ..) => {
            let Some(area) = area else {
                if !node.has("area") {
                    node.missing("area", "area = \"7.1 ft2\"");
                }
                return None;
            };
            Some(match no_pressures {
                false => Traverse::VelocityPressures(pressures, area),
                true => Traverse::Velocities(velocities, area),
            })
        }
    }
}

/// A flow of fuel by mass, as liquid or as gas.
pub(super) fn fuel_flow(text: &str) -> Result<FuelFlow, QuantityError> {
    let of = |kind| parse::quantity(kind, text).and_then(|value| POSITIVE.hold(text, value));
    // A gas flow in m³/h is a gas flow: liquids are bought by the litre or gallon.
    match (of(Kind::MassFlow), of(Kind::GasFlow), of(Kind::LiquidFlow)) {
        (Ok(mass), ..) => Ok(FuelFlow::Mass(mass)),
        (_, Ok(gas), _) => Ok(FuelFlow::Gas(gas)),
        (.., liquid) => liquid
            .map(FuelFlow::Liquid)
            .map_err(|e| e.allowed("must be in lb/h or kg/h, in gal/h or L/h of liquid, or in ft3/h or m3/h of gas")),
    }
}

fn fuel(node: &Node<'_, '_>, r: &mut Readings) {
    r.fuel = node.parsed("flow", fuel_flow);
    let gauge = Limits::within(0.0, 3e6, "from 0 to 3 MPa, gauge");
    r.gas_pressure = node.quantity("gas_pressure", Kind::GasPressure, gauge);
    r.gas_pressure_set = node.quantity("gas_pressure_set", Kind::GasPressure, gauge);
    r.tank_pressure = node.quantity("tank_pressure", Kind::GasPressure, gauge);
    if r.gas_pressure.is_some() && !node.has("gas_pressure_set") {
        node.missing("gas_pressure_set", "gas_pressure_set = \"5 psi\", as it was set when the burner was adjusted");
    }
    node.close();
}

fn grain(node: &Node<'_, '_>, r: &mut Readings) {
    r.rested = node.quantity("rested", Kind::Hours, Limits::within(0.0, 1e7, "a time"));
    for sample in node.tables("samples") {
        let below = sample.needed_quantity("below_surface", "1 ft", Kind::Length, LENGTH);
        let moisture = sample.needed("moisture", "18 %", |text| parse::moisture(text).map(|m| m.wet_basis));
        let temperature = sample.quantity("temperature", Kind::Temperature, TEMPERATURE);
        sample.close();
        if let (Some(below_surface), Some(moisture)) = (below, moisture) {
            r.samples.push(Sample { below_surface, moisture, temperature });
        }
    }
    for row in node.tables("chart") {
        let temperature = row.needed_quantity("temperature", "40 F", Kind::Temperature, TEMPERATURE);
        let add = row.needed("add", "0.6 %", parse::points);
        row.close();
        if let (Some(temperature), Some(add)) = (temperature, add) {
            r.chart.push((temperature, add));
        }
    }
    if r.chart.windows(2).any(|w| w[1].0 <= w[0].0) {
        node.fault("chart", "wrong-order", "chart out of order", "temperatures must rise from row to row");
    }
    node.close();
}

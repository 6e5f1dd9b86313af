//! The catalogue file: fans and burners as their tables give them.
//!
//! ```toml
//! [fans.barn-10hp]
//! kind = "centrifugal-low-speed"      # tube-axial, inline-centrifugal, centrifugal-low-speed, centrifugal-high-speed,
//!                                     # double-inlet-centrifugal, other
//! motor = "10 hp"                     # rating at the shaft
//! speed = 1750                        # revolutions per minute
//! origin = "published"                # published (default), field-points, invented
//! source = "maker's table 12-A"       # where the figures were taken from; a fan without it is remarked on
//! date = "2019-06"                    # of the data: a year, a month or a day; old data are remarked on
//! rating = "static pressure, bare fan, nozzle chamber"    # conditions of the figures and how they were measured
//! rated_density = "0.075 lb/ft3"      # of the table; this is the default
//! points = [["0 in wc", "12000 cfm"], ["4 in wc", "9000 cfm"]]   # or three columns, the third shaft power
//! motor_efficiency = "90 %"           # default by size
//! service_factor = 1.15
//! motor_in_air = false                # default by kind
//!
//! [burners.barn-250]
//! capacity = "250000 Btu/h"           # heat to the air
//! fuel = "propane"                    # propane, natural-gas, electric
//! side = "discharge"                  # discharge (default), inlet
//! firing = "on-off"                   # on-off (default), high-low, modulating
//! minimum_fire = "25 %"               # for high-low and modulating
//! indirect_efficiency = "80 %"        # only where flue gas stays out of the air
//! temperature_limit = "160 °F"
//! source = "plate of the burner"      # source, date and rating as of a fan
//! ```
//!
//! Points stand in order of falling airflow (or rising); airflow must fall strictly as the table goes on. Missing power is
//! estimated by kind and marked so. Leaves out sound and electrical supply.

use crate::library;
use crate::parse;
use crate::provenance;
use crate::site::outfit::burner_table;
use equipment::{Burner, CurveError, CurvePoint, Fan, FanCurve, FanKind, Origin, STANDARD_DENSITY};
use notice::{Diagnostic, Diagnostics, Kind};
use sheet::{Limits, Node, Sheet};

const MOTOR: Limits = Limits::within(50.0, 500_000.0, "from 50 W to 500 kW (670 hp)");
// Negative points are left to the curve, which says what a negative pressure usually is.
const PRESSURE: Limits = Limits::within(-50e3, 50e3, "from 0 to 50 kPa (200 in wc)");
const AIRFLOW: Limits = Limits::within(-500.0, 500.0, "from 0 to 500 m3/s (a million cfm)");
const POWER: Limits = Limits::within(-1e6, 1e6, "from 0 to 1 MW (1340 hp)");
const DENSITY: Limits = Limits::within(0.5, 2.0, "from 0.5 kg/m3 to 2 kg/m3");
const EFFICIENCY: Limits = Limits::within(0.3, 1.0, "from 30 % to 100 %");

/// The word for a kind of fan, in catalogues and in results.
#[must_use]
pub const fn kind_word(kind: FanKind) -> &'static str {
    match kind {
        FanKind::TubeAxial => "tube-axial",
        FanKind::InlineCentrifugal => "inline-centrifugal",
        FanKind::CentrifugalLowSpeed => "centrifugal-low-speed",
        FanKind::CentrifugalHighSpeed => "centrifugal-high-speed",
        FanKind::DoubleInletCentrifugal => "double-inlet-centrifugal",
        FanKind::Other => "other",
    }
}

const fn worded(kind: FanKind) -> (&'static str, FanKind) {
    (kind_word(kind), kind)
}

const KINDS: [(&str, FanKind); 6] = [
    worded(FanKind::TubeAxial),
    worded(FanKind::InlineCentrifugal),
    worded(FanKind::CentrifugalLowSpeed),
    worded(FanKind::CentrifugalHighSpeed),
    worded(FanKind::DoubleInletCentrifugal),
    worded(FanKind::Other),
];
const ORIGINS: [(&str, Origin); 3] =
    [("published", Origin::Published), ("field-points", Origin::FieldPoints), ("invented", Origin::Invented)];

/// What a catalogue file holds.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Catalogue {
    /// Fans in the order of the file.
    pub fans: Vec<Fan>,
    /// Burners in the order of the file.
    pub burners: Vec<Burner>,
}

/// Reads a catalogue. `file` is its name for messages.
///
/// # Errors
/// All that is wrong with it, by line.
pub fn read_catalogue(text: &str, file: &str) -> Result<Catalogue, Diagnostics> {
    let sheet = Sheet::new(file, text);
    let mut catalogue = Catalogue::default();
    if let Some(table) = sheet.parse() {
        let top = Node::top(&sheet, &table);
        for (key, fans) in [("fans", true), ("burners", false)] {
            let Some(list) = top.table(key) else { continue };
            for name in list.names() {
                if let Err(error) = library::check_name(&name) {
                    list.refuse(&name, error);
                    continue;
                }
                let Some(node) = list.named(&name) else { continue };
                if fans {
                    catalogue.fans.extend(fan(node, &name));
                } else {
                    let invented = node.flag("invented").unwrap_or(false);
                    catalogue.burners.extend(burner_table(node, &name, invented));
                }
            }
        }
        top.close();
    }
    if sheet.stops() { Err(sheet.finish().0) } else { Ok(catalogue) }
}

fn fan(node: Node<'_, '_>, name: &str) -> Option<Fan> {
    let kind = node.needed_choice("kind", &KINDS);
    let motor = node.needed_quantity("motor", "10 hp", Kind::ShaftPower, MOTOR);
    if !node.has("speed") {
        node.missing("speed", "speed = 1750, revolutions per minute");
    }
    let speed = node.number("speed", 60.0, 6000.0);
    let origin = node.choice("origin", &ORIGINS);
    let density = node.quantity("rated_density", Kind::Density, DENSITY).unwrap_or(STANDARD_DENSITY);
    if !node.has("points") {
        node.missing("points", "points = [[\"0 in wc\", \"12000 cfm\"], [\"4 in wc\", \"9000 cfm\"]]");
    }
    let points = points(&node);
    let efficiency = node.quantity("motor_efficiency", Kind::Fraction, EFFICIENCY);
    let service = node.number("service_factor", 1.0, 2.0);
    let in_air = node.flag("motor_in_air");
    let provenance = provenance::read(&node);
    // The curve is judged whatever else is wrong; only its estimate of power asks for the kind.
    let curve = points.and_then(|points| {
        let curve = FanCurve::new(&points, density, kind.unwrap_or(FanKind::Other));
        curve.map_err(|error| broken_curve(&node, error)).ok()
    });
    node.close();
    let (kind, motor, speed, curve) = (kind?, motor?, speed?, curve?);
    let origin = if node.has("origin") { origin? } else { Origin::Published };
    let mut fan =
        Fan::new(name, kind, origin, curve, motor, speed / 60.0).map_err(|error| broken_curve(&node, error)).ok()?;
    fan.motor_efficiency = efficiency.unwrap_or(fan.motor_efficiency);
    fan.service_factor = service.unwrap_or(fan.service_factor);
    fan.provenance = provenance;
    fan.motor_in_air = in_air.unwrap_or(fan.motor_in_air);
    Some(fan)
}

/// Says what is wrong with a curve in the words of the table: points counted from 1, figures as they were written.
fn broken_curve(node: &Node<'_, '_>, error: CurveError) {
    let rows = node.rows("points").unwrap_or_default();
    let cell = |index: usize, column: usize| {
        let text = rows.get(index).and_then(|row| row.get(column)).map_or("nothing", String::as_str);
        format!("{:?}", parse::shown(text))
    };
    let row = |index: usize| {
        let cells: Vec<String> = (0..rows.get(index).map_or(0, Vec::len)).map(|column| cell(index, column)).collect();
        cells.join(", ")
    };
    let at = node.place("points");
    let wrong = |found: String, allowed: &str, help: &str| {
        node.add(Diagnostic::error("fan-curve", found, at.clone()).allowed(allowed).help(help));
    };
    match error {
        CurveError::CurveTooShort { points } => wrong(
            format!("fan curve of {points} point{}", if points == 1 { "" } else { "s" }),
            "must have at least 2 points",
            "add pairs of static pressure and airflow from the maker's table, from free air to the highest pressure listed",
        ),
        CurveError::NotFinite { index } => wrong(
            format!("point {} of the fan curve is {}", index + 1, row(index)),
            "must be numbers",
            "write static pressure, airflow and, where known, shaft power",
        ),
        CurveError::Negative { index, .. } => wrong(
            format!("point {} of the fan curve is {}", index + 1, row(index)),
            "must be zero or more",
            "write static pressure as a rise above outside air, also for a fan that draws down",
        ),
        CurveError::Backwards { index, .. } => {
            let other = index.saturating_sub(1);
            wrong(
                format!(
                    "fan curve goes backwards at point {}: airflow {} after {}",
                    index + 1,
                    cell(index, 1),
                    cell(other, 1)
                ),
                "airflow must change in one direction from point to point",
                "list the points from most air to least and check this pair against the table",
            );
        }
        CurveError::NoStableSide { .. } => wrong(
            "fan curve whose pressure does not rise from the point of most air to the next".into(),
            "must have a side on which pressure rises as airflow falls",
            "begin with free air (0 in wc) and check the pressures against the table",
        ),
        CurveError::PartialPower { with_power, points } => wrong(
            format!("fan curve with power for {with_power} of {points} points"),
            "must have it for all points or for none",
            "leave power out of all points: it is then estimated and marked so",
        ),
        CurveError::Rating { .. } => node.add(Diagnostic::error("fan-rating", error.to_string(), node.place("motor"))),
    }
}

fn points(node: &Node<'_, '_>) -> Option<Vec<CurvePoint>> {
    let rows = node.rows("points")?;
    let mut points = Vec::new();
    let count = rows.len();
    for (i, row) in rows.iter().enumerate() {
        let read = || -> Result<CurvePoint, parse::QuantityError> {
            let [pressure, airflow, power @ ..] = row.as_slice() else {
                return Err(parse::QuantityError::new("wrong-kind", format!("{} cells", row.len()))
                    .allowed("must be pressure, airflow and, where known, shaft power"));
            };
            if power.len() > 1 {
                return Err(parse::QuantityError::new("wrong-kind", format!("{} cells", row.len()))
                    .allowed("must be pressure, airflow and, where known, shaft power"));
            }
            Ok(CurvePoint {
                pressure: PRESSURE.hold(pressure, parse::quantity(Kind::Pressure, pressure)?)?,
                airflow: AIRFLOW.hold(airflow, parse::quantity(Kind::Airflow, airflow)?)?,
                shaft_power: power
                    .first()
                    .map(|text| POWER.hold(text, parse::quantity(Kind::ShaftPower, text)?))
                    .transpose()?,
            })
        };
        match read() {
            Ok(point) => points.push(point),
            Err(error) => node
                .refuse("points", parse::QuantityError { found: format!("point {}: {}", i + 1, error.found), ..error }),
        }
    }
    (points.len() == count).then_some(points)
}

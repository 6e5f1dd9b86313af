//! Quantities typed on the command line. One door: a switch of the parser is a change here alone.

use notice::{
    Diagnostic, Diagnostics, Kind, Place,
    quantity::{BTU_J, BUSHEL_M3, CFM_M3_S, INCH_WATER_PA, POUND_KG},
};

/// Reads options and collects all that is wrong with them.
#[derive(Debug, Default)]
pub struct Reader {
    wrong: Diagnostics,
}

impl Reader {
    /// A quantity in SI. What cannot be read is noted, and NaN stands in until [`Reader::done`] refuses the whole.
    pub fn quantity(&mut self, option: &str, text: &str, kind: Kind) -> f64 {
        let at = Place { file: "command line".into(), field: Some(format!("--{option}")), ..Place::default() };
        quantity_at(at, text, kind).unwrap_or_else(|diagnostic| {
            self.wrong.add(*diagnostic);
            f64::NAN
        })
    }

    /// The same for an option that may be left out.
    pub fn optional(&mut self, option: &str, text: Option<&String>, kind: Kind) -> Option<f64> {
        text.map(|text| self.quantity(option, text, kind))
    }

    /// Notes that a value is not possible.
    pub fn refuse(&mut self, diagnostic: Diagnostic) {
        self.wrong.add(diagnostic);
    }

    /// Refuses when anything was wrong.
    pub fn done(self) -> Result<(), Diagnostics> {
        if self.wrong.stop() { Err(self.wrong) } else { Ok(()) }
    }
}

/// A quantity in SI from a text at a place.
pub fn quantity_at(at: Place, text: &str, kind: Kind) -> Result<f64, Box<Diagnostic>> {
    parse(text, kind).map_err(|wrong| {
        let mut diagnostic = Diagnostic::error(wrong.code, wrong.found, at);
        diagnostic.allowed = wrong.allowed;
        diagnostic.help = wrong.help;
        Box::new(diagnostic)
    })
}

struct Wrong {
    code: &'static str,
    found: String,
    allowed: Option<String>,
    help: Option<String>,
}

/// Names of units, their factor to SI and offset: SI = value × factor + offset.
fn units(kind: Kind) -> &'static [(&'static [&'static str], f64, f64)] {
    match kind {
        Kind::Temperature => {
            &[(&["C", "°C", "degC"], 1.0, 0.0), (&["F", "°F", "degF"], 1.0 / 1.8, -32.0 / 1.8), (&["K"], 1.0, -273.15)]
        }
        Kind::RelativeHumidity | Kind::Fraction => &[(&["%", "% RH", "%RH"], 0.01, 0.0)],
        Kind::MoistureWetBasis => &[(&["%", "% wb", "%wb", "% w.b."], 0.01, 0.0)],
        Kind::HumidityRatio => {
            &[(&["", "kg/kg", "lb/lb"], 1.0, 0.0), (&["g/kg"], 1e-3, 0.0), (&["gr/lb"], 1.0 / 7000.0, 0.0)]
        }
        Kind::Barometric => &[
            (&["Pa"], 1.0, 0.0),
            (&["kPa"], 1e3, 0.0),
            (&["hPa", "mbar"], 100.0, 0.0),
            (&["inHg", "in Hg", "in. Hg"], 3386.389, 0.0),
            (&["psi"], 6894.757293168361, 0.0),
        ],
        Kind::Pressure => &[
            (&["Pa"], 1.0, 0.0),
            (&["kPa"], 1e3, 0.0),
            (&["in. water", "in water", "in wc", "inwc"], INCH_WATER_PA, 0.0),
        ],
        Kind::Length => &[
            (&["m"], 1.0, 0.0),
            (&["cm"], 0.01, 0.0),
            (&["mm"], 1e-3, 0.0),
            (&["ft", "'"], 0.3048, 0.0),
            (&["in", "in.", "\""], 0.0254, 0.0),
        ],
        Kind::Velocity => &[
            (&["m/s"], 1.0, 0.0),
            (&["ft/min", "fpm", "cfm/ft2", "cfm/ft²"], 0.3048 / 60.0, 0.0),
            (&["m3/s/m2", "m³/s/m²"], 1.0, 0.0),
        ],
        Kind::SpecificAirflow => &[
            (&["cfm/bu"], CFM_M3_S / BUSHEL_M3, 0.0),
            (&["m3/h/m3", "m³/h/m³", "m³/(h·m³)"], 1.0 / 3600.0, 0.0),
            (&["m3/min/m3", "m³/min/m³"], 1.0 / 60.0, 0.0),
            (&["L/s/m3", "L/s/m³"], 1e-3, 0.0),
        ],
        Kind::Hours => {
            &[(&["h"], 3600.0, 0.0), (&["min"], 60.0, 0.0), (&["s"], 1.0, 0.0), (&["d", "days"], 86400.0, 0.0)]
        }
        Kind::Density => {
            &[(&["kg/m3", "kg/m³"], 1.0, 0.0), (&["lb/ft3", "lb/ft³"], POUND_KG / (0.3048 * 0.3048 * 0.3048), 0.0)]
        }
        Kind::SpecificHeat => &[
            (&["kJ/kg/K", "kJ/(kg K)", "kJ/(kg·K)"], 1e3, 0.0),
            (&["J/kg/K", "J/(kg K)", "J/(kg·K)"], 1.0, 0.0),
            (&["Btu/lb/F", "Btu/(lb F)", "Btu/(lb·°F)"], BTU_J * 1.8 / POUND_KG, 0.0),
        ],
        Kind::MassFlux => &[
            (&["kg/s/m2", "kg/(s m2)", "kg/s/m²", "kg/(s·m²)"], 1.0, 0.0),
            (&["lb/h/ft2", "lb/h/ft²", "lb/(h·ft²)"], POUND_KG / (3600.0 * 0.3048 * 0.3048), 0.0),
        ],
        _ => &[],
    }
}

/// Reads one quantity. Moisture comes back on wet basis; "% db" is converted.
fn parse(text: &str, kind: Kind) -> Result<f64, Wrong> {
    let trimmed = text.trim();
    let end = trimmed.find(|c: char| !(c.is_ascii_digit() || "+-.,eE".contains(c))).unwrap_or(trimmed.len());
    // "5 e" is no exponent, and the unit may begin with e.
    let number = trimmed[..end].trim_end_matches(['e', 'E']);
    let unit = trimmed[number.len()..].trim();
    let allowed = || {
        let names: Vec<String> =
            units(kind).iter().filter_map(|(names, ..)| names.first()).map(|name| format!("\"{name}\"")).collect();
        Some(format!("must be a number with one of the units {}", names.join(", ")))
    };
    if number.contains(',') {
        return Err(Wrong {
            code: "number-with-comma",
            found: format!("\"{text}\" holds a comma"),
            allowed: Some("must be written with a decimal point and without thousands marks".into()),
            help: None,
        });
    }
    let value: f64 = match number.parse() {
        Ok(value) if f64::is_finite(value) => value,
        _ => {
            return Err(Wrong {
                code: "not-a-number",
                found: format!("\"{text}\" is no number"),
                allowed: allowed(),
                help: None,
            });
        }
    };
    if kind == Kind::MoistureWetBasis && ["% db", "%db", "% d.b."].contains(&unit) {
        let dry = value / 100.0;
        return Ok(dry / (1.0 + dry));
    }
    match units(kind).iter().find(|(names, ..)| names.contains(&unit)) {
        Some((_, factor, offset)) => Ok(value * factor + offset),
        None if unit.is_empty() => {
            let example = units(kind).first().and_then(|(names, ..)| names.first()).copied().unwrap_or_default();
            Err(Wrong {
                code: "missing-unit",
                found: format!("\"{text}\" has no unit"),
                allowed: allowed(),
                help: Some(format!("write \"{number} {example}\"")),
            })
        }
        None => Err(Wrong {
            code: "unknown-unit",
            found: format!("\"{text}\" has the unit \"{unit}\""),
            allowed: allowed(),
            help: None,
        }),
    }
}

//! Gas through a burner's orifice: the heat of a hole, or the hole for a heat.

use super::{Answer, Evidence, Faults, gas, part, refuse};
use notice::{Diagnostic, Diagnostics, Kind, Phrase, Quantity, Range, Remark, Remarks, Source, Status, UnitSystem};
use physics::combustion::PROPANE;
use physics::orifice::{self, HIGH_PRESSURE, LOW_PRESSURE, Law};
use physics::propane;

/// Holes asked for, m.
const DIAMETERS: Range = Range::new(1e-4, 0.05);
/// Finest hole that is drilled, m: drill 80, 0.0135 in.
const FINEST: f64 = 0.0135 * 0.0254;
/// Heats of one orifice, W: some 350 Btu/h to 35 million.
const HEATS: Range = Range::new(100.0, 1e7);
/// Gauge pressures asked for, Pa.
const PRESSURES: Range = Range::new(50.0, 1.5e6);
/// Temperatures of gas in a line, °C.
const TEMPERATURES: Range = Range::new(-42.0, 60.0);
/// Discharge coefficients of holes.
const COEFFICIENTS: Range = Range::new(0.4, 1.0);

/// What is known of the hole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Known {
    /// Its diameter, m: the heat is asked for.
    Diameter(f64),
    /// The heat on the invoice, W: the diameter is asked for.
    Heat(f64),
}

/// The question.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// Fuel by name.
    pub fuel: String,
    /// Hole or heat.
    pub known: Known,
    /// Gauge pressure ahead of it, Pa.
    pub pressure: f64,
    /// Temperature of the gas, °C.
    pub temperature: f64,
    /// Discharge coefficient.
    pub coefficient: f64,
    /// Height above the sea, m.
    pub elevation: Option<f64>,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Orifice {
    /// Fuel.
    pub fuel: &'static str,
    /// Diameter, m.
    pub diameter: f64,
    /// Gauge pressure ahead, Pa.
    pub pressure: f64,
    /// Heat on the invoice (higher heating value), W.
    pub invoiced_heat: f64,
    /// Heat that warms air when the water stays vapour (lower heating value), W.
    pub heat_to_air: f64,
    /// Gas, m³/s at 60 °F and 30 in. of mercury.
    pub gas_flow: f64,
    /// Gas, kg/s.
    pub mass_flow: f64,
    /// Relation used.
    pub relation: &'static str,
    /// Where it comes from.
    pub source: Source,
    /// Whether the question lies inside its evidence.
    pub in_range: bool,
}

impl Question {
    /// What is impossible about it.
    pub fn faults(&self) -> Diagnostics {
        let mut faults = Faults::default();
        gas::known(&mut faults, &self.fuel);
        match self.known {
            Known::Diameter(d) => gas::above_zero(&mut faults, "diameter", d, Kind::Bore, DIAMETERS),
            Known::Heat(heat) => gas::above_zero(&mut faults, "heat", heat, Kind::HeatRate, HEATS),
        }
        gas::above_zero(&mut faults, "pressure", self.pressure, Kind::GasPressure, PRESSURES);
        faults.outside("temperature", self.temperature, Kind::Temperature, TEMPERATURES);
        gas::above_zero(&mut faults, "coefficient", self.coefficient, Kind::Number, COEFFICIENTS);
        gas::elevation(&mut faults, self.elevation);
        if let Some(fault) = self.liquid() {
            faults.0.add(fault);
        }
        faults.0
    }

    /// Propane that would stand as a liquid ahead of the orifice: the relations are those of a gas.
    fn liquid(&self) -> Option<Diagnostic> {
        let propane = gas::fuel(&self.fuel).is_ok_and(|fuel| fuel.name == PROPANE.name);
        let highest = propane::saturation_pressure(self.temperature) - gas::barometric(self.elevation);
        (propane && self.pressure > highest).then(|| {
            let show = |v: f64, kind: Kind| Quantity::new(v, kind).show(UnitSystem::Us);
            let found = format!(
                "propane under {} at {}",
                show(self.pressure, Kind::GasPressure),
                show(self.temperature, Kind::Temperature)
            );
            let allowed = match highest > 0.0 {
                true => format!("is a liquid above {}", show(highest, Kind::GasPressure)),
                false => "boils under no pressure above that of the air".into(),
            };
            Diagnostic::error("propane-is-liquid", found, part("pressure"))
                .allowed(allowed)
                .help("the orifice passes gas: say the pressure behind the regulator, and the temperature of the vapour there")
        })
    }

    /// Answers it.
    ///
    /// # Errors
    /// What is impossible about the question.
    pub fn answer(&self) -> Result<Answer<Orifice>, Diagnostics> {
        refuse(self.faults())?;
        let fuel = gas::fuel(&self.fuel)?;
        let barometric = gas::barometric(self.elevation);
        let (k, p, t) = (self.coefficient, self.pressure, self.temperature);
        let diameter = match self.known {
            Known::Diameter(d) => d,
            Known::Heat(heat) => orifice::diameter_for(heat, k, p, barometric, t, &fuel),
        };
        let (invoiced, law) = orifice::invoiced_heat(diameter, k, p, barometric, t, &fuel);
        let mut remarks = Remarks::default();
        let (relation, source, range) = match law {
            Law::LowPressure => (
                "low-pressure formula",
                Source::new(
                    "1658.5 K A √(H/S): orifice capacity table of an open plumbing textbook, reproduced to 0.2 %",
                    Status::Verified,
                ),
                LOW_PRESSURE,
            ),
            Law::Compressible => ("nozzle below the speed of sound", nozzle(), HIGH_PRESSURE),
            Law::Choked => ("nozzle at the speed of sound", nozzle(), HIGH_PRESSURE),
        };
        let evidence = Evidence { relation, range, source: &source };
        let in_range = evidence.holds(&mut remarks, "pressure", p, Kind::GasPressure);
        if law == Law::Choked {
            let says = Phrase::new(
                "the gas leaves at the speed of sound: heat follows the absolute pressure, and the formula for low pressure would \
                 read high",
            );
            remarks.add(Remark::new("choked", says));
        }
        if law == Law::LowPressure && p > 0.5 * LOW_PRESSURE.high {
            let says = Phrase::new(
                "the formula for low pressure reads up to 2 % high as it nears {change}, where that of a nozzle takes over",
            )
            .with("change", Quantity::new(LOW_PRESSURE.high, Kind::GasPressure));
            remarks.add(Remark::new("formula-changes", says));
        } else if law != Law::LowPressure {
            let low = orifice::low_pressure_flow(diameter, k, p, fuel.specific_gravity)
                * orifice::altitude_factor(barometric)
                * fuel.gas_heating_value;
            let says = Phrase::new(
                "above {change} the formula is that of a nozzle: the one for low pressure, used below, would give {more} more here",
            )
            .with("change", Quantity::new(LOW_PRESSURE.high, Kind::GasPressure))
            .with("more", Quantity::new(low / invoiced - 1.0, Kind::Fraction));
            remarks.add(Remark::new("formula-changes", says));
        }
        if diameter < FINEST {
            let says = Phrase::new("a hole of {diameter} is finer than any that is drilled ({finest})")
                .with("diameter", Quantity::new(diameter, Kind::Bore))
                .with("finest", Quantity::new(FINEST, Kind::Bore));
            remarks.add(Remark::new("orifice-fine", says));
        }
        if diameter > DIAMETERS.high {
            let says =
                Phrase::new("one hole of {diameter} is no orifice of the trade: several smaller ones share the gas")
                    .with("diameter", Quantity::new(diameter, Kind::Bore));
            remarks.add(Remark::new("orifice-wide", says));
        }
        gas::altitude(&mut remarks, self.elevation);
        gas::caution(&mut remarks);
        let result = Orifice {
            fuel: fuel.name,
            diameter,
            pressure: p,
            invoiced_heat: invoiced,
            heat_to_air: invoiced * fuel.lower_share(),
            gas_flow: fuel.gas_volume(invoiced),
            mass_flow: invoiced / fuel.higher_heating_value,
            relation,
            source,
            in_range,
        };
        Ok(Answer { result, remarks })
    }
}

fn nozzle() -> Source {
    Source::new("isentropic nozzle, ratio of specific heats recalled", Status::Computed)
}

/// Temperatures that are usual for the gas, °C.
pub const USUAL_TEMPERATURE: f64 = 15.556;

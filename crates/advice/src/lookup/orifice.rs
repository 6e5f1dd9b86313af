//! Gas through a burner's orifice: the heat of a hole, or the hole for a heat.

use super::{Answer, Evidence, Faults, gas, refuse};
use notice::{Diagnostics, Kind, Phrase, Quantity, Remark, Remarks, Source, Status};
use physics::orifice::{self, HIGH_PRESSURE, LOW_PRESSURE, Law};

/// Largest hole asked for, m.
const WIDEST: f64 = 0.05;
/// Most heat asked for, W: some 35 million Btu/h.
const MOST_HEAT: f64 = 1e7;

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
            Known::Diameter(d) => gas::above_zero(&mut faults, "diameter", d, Kind::Bore, WIDEST),
            Known::Heat(heat) => gas::above_zero(&mut faults, "heat", heat, Kind::HeatRate, MOST_HEAT),
        }
        gas::above_zero(&mut faults, "pressure", self.pressure, Kind::GasPressure, 1.5e6);
        faults.temperature("temperature", self.temperature);
        gas::above_zero(&mut faults, "coefficient", self.coefficient, Kind::Number, 1.0);
        gas::elevation(&mut faults, self.elevation);
        faults.0
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
        if diameter > WIDEST {
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

//! The fuel train: at each element from the supply to the burner what is needed and what is there.
//!
//! Gas is taken through a row of regulated sections, each a regulator's outlet and a pipe; its first pressure comes from tanks of
//! propane, a vaporiser or the mains. Leaves out transients, relief, and everything that only the fitter on the spot can see.
//!
//! # Caution
//! An estimate that shows which element is short. A licensed gas fitter, the supplier and the local code decide.

use notice::{Kind, Phrase, Quantity, Remark};
use physics::combustion;
use physics::gas_pipe::{self, Line, PipeGas};
use physics::orifice;
use physics::propane;
use physics::propane_tank::{self, Tank};

/// Where the gas comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Supply {
    /// Vapour of propane boiled off by tanks in the open air.
    TankVapour {
        /// One tank.
        tank: Tank,
        /// How many.
        count: usize,
        /// Share of the volume filled.
        fill: f64,
        /// Outdoor temperature, °C.
        air: f64,
        /// Least pressure above the first regulator's outlet that lets it pass its flow, Pa.
        margin: f64,
    },
    /// Liquid propane, boiled by a vaporiser.
    Vaporiser {
        /// Heat it can give the fuel, W.
        capacity: f64,
        /// Temperature of the liquid, °C.
        liquid: f64,
        /// Temperature of the vapour, °C.
        vapour: f64,
        /// Gauge pressure it delivers, Pa.
        pressure: f64,
    },
    /// Natural gas from a main.
    Main {
        /// Gauge pressure at the meter, Pa.
        pressure: f64,
        /// Most the meter passes, m³/s at 60 °F and 30 in. of mercury, where known.
        capacity: Option<f64>,
    },
}

/// A regulator's outlet and the pipe behind it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    /// Gauge pressure set at the outlet, Pa.
    pub set: f64,
    /// Length of the pipe with that of its fittings, m.
    pub length: f64,
    /// Inside diameter, m.
    pub diameter: f64,
}

/// The end of the train.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BurnerEnd {
    /// Heat wanted, on the invoice (higher heating value), W.
    pub heat: f64,
    /// Gauge pressure the burner wants at its orifice for it, Pa.
    pub pressure: f64,
    /// Diameter of the orifice, m, where known.
    pub orifice: Option<f64>,
}

/// A whole train.
#[derive(Debug, Clone, PartialEq)]
pub struct FuelTrain {
    /// Gas.
    pub gas: combustion::Fuel,
    /// Supply.
    pub supply: Supply,
    /// Regulated sections from the supply to the burner, at least one.
    pub sections: Vec<Section>,
    /// Burner.
    pub burner: BurnerEnd,
    /// Barometric pressure, Pa.
    pub barometric: f64,
    /// Temperature of the gas at the orifice, °C.
    pub gas_temperature: f64,
}

/// What one element must do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Duty {
    /// Boil or pass the fuel of the burner.
    Supply,
    /// Have pressure enough for the first regulator.
    SupplyPressure,
    /// Have pressure enough at the inlet of regulator number (from 2).
    Regulator(usize),
    /// Have pressure enough at the end of the last pipe.
    BurnerPressure,
    /// Pass the fuel at the pressure that is there.
    Orifice,
}

/// One element of the sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Element {
    /// Which.
    pub duty: Duty,
    /// What is needed.
    pub need: f64,
    /// What is there.
    pub have: f64,
    /// What both measure.
    pub kind: Kind,
}

impl Element {
    /// Whether what is there meets what is needed (a ten-thousandth is forgiven: figures are rounded on their way).
    pub fn met(&self) -> bool {
        self.have >= self.need * (1.0 - 1e-4)
    }

    /// What happens in the field when it is not met; nothing when it is.
    pub fn remark(&self) -> Option<Remark> {
        if self.met() {
            return None;
        }
        let (code, says) = match self.duty {
            Duty::Supply => (
                "supply-short",
                Phrase::new(
                    "the supply gives {have} of the {need} asked: under fire its pressure falls and the flame shrinks",
                ),
            ),
            Duty::SupplyPressure => (
                "supply-pressure-low",
                Phrase::new(
                    "the supply stands at {have}, the first regulator asks {need}: the burner does not reach its fire",
                ),
            ),
            Duty::Regulator(number) => (
                "regulator-starved",
                Phrase::new(
                    "{have} reaches regulator {number}, which is set to {need}: it stands open and no longer regulates",
                )
                .count("number", number),
            ),
            Duty::BurnerPressure => (
                "burner-pressure-low",
                Phrase::new(
                    "{have} is left at the burner of the {need} it wants: heat falls with the pressure, the rise stays short",
                ),
            ),
            Duty::Orifice => (
                "orifice-short",
                Phrase::new("the orifice passes {have} of the {need} wanted at the pressure that is there"),
            ),
        };
        let quantity = |v| Quantity::new(v, self.kind);
        Some(Remark::new(code, says.with("have", quantity(self.have)).with("need", quantity(self.need))))
    }
}

impl FuelTrain {
    /// Works out every element from the supply to the orifice.
    ///
    /// Pressures fall along the pipes with the flow of the wanted heat; below 1.5 psi by the low-pressure equation, from there by
    /// the high one. A pipe that cannot carry the flow has no pressure left at its end.
    pub fn sheet(&self) -> Vec<Element> {
        let mut elements = self.supply_elements();
        let flow = self.gas.gas_volume(self.burner.heat);
        let mut at_end = 0.0;
        for (i, section) in self.sections.iter().enumerate() {
            if i > 0 {
                let duty = Duty::Regulator(i + 1);
                elements.push(Element { duty, need: section.set, have: at_end, kind: Kind::GasPressure });
            }
            // A regulator cannot raise what reaches it.
            let set = if i == 0 { section.set } else { section.set.min(at_end) };
            at_end = pipe_end(section, set, flow, self.barometric, PipeGas::of(&self.gas));
        }
        let burner = &self.burner;
        let need = burner.pressure;
        elements.push(Element { duty: Duty::BurnerPressure, need, have: at_end, kind: Kind::GasPressure });
        if let Some(diameter) = burner.orifice {
            let pressure = at_end.min(burner.pressure);
            let have = if pressure > 0.0 {
                let spud = orifice::DRILLED_SPUD;
                orifice::invoiced_heat(diameter, spud, pressure, self.barometric, self.gas_temperature, &self.gas).0
            } else {
                0.0
            };
            elements.push(Element { duty: Duty::Orifice, need: burner.heat, have, kind: Kind::HeatRate });
        }
        elements
    }

    fn supply_elements(&self) -> Vec<Element> {
        let first = self.sections.first().map_or(self.burner.pressure, |s| s.set);
        let heat = self.burner.heat;
        let rate = |duty, need, have| Element { duty, need, have, kind: Kind::HeatRate };
        let pressure = |have, need| Element { duty: Duty::SupplyPressure, need, have, kind: Kind::GasPressure };
        match self.supply {
            Supply::TankVapour { tank, count, fill, air, margin } => {
                let liquid = propane_tank::liquid_at_least(first + margin, self.barometric);
                let vapour = count as f64 * tank.vapour(fill, air, liquid);
                let resting = propane::saturation_pressure(air) - self.barometric;
                vec![
                    rate(Duty::Supply, heat, vapour * self.gas.higher_heating_value),
                    pressure(resting, first + margin),
                ]
            }
            Supply::Vaporiser { capacity, liquid, vapour, pressure: delivers } => {
                let per_kilogram = propane::vaporiser_heat(liquid, vapour, delivers + self.barometric);
                let need = propane::VAPORISER_MARGIN * heat / self.gas.higher_heating_value * per_kilogram;
                vec![rate(Duty::Supply, need, capacity), pressure(delivers, first)]
            }
            Supply::Main { pressure: delivers, capacity } => {
                let passes = capacity.map(|c| rate(Duty::Supply, heat, c * self.gas.gas_heating_value));
                passes.into_iter().chain([pressure(delivers, first)]).collect()
            }
        }
    }
}

/// Gauge pressure at the end of a section's pipe, Pa; zero when it cannot carry the flow.
fn pipe_end(section: &Section, set: f64, flow: f64, barometric: f64, gas: PipeGas) -> f64 {
    if section.length <= 0.0 || flow <= 0.0 {
        return set.max(0.0);
    }
    if gas_pipe::LOW_PRESSURE.contains(set) {
        return (set - gas_pipe::low_pressure_drop(flow, section.diameter, section.length, gas)).max(0.0);
    }
    let from = set + barometric;
    let end = gas_pipe::high_pressure_end(flow, from, section.diameter, section.length, gas);
    end.map_or(0.0, |absolute| (absolute - barometric).max(0.0))
}

/// Returns the pressure lost in a section for a flow, as a [`Line`] for sizing: up to `drop` Pa below the set pressure.
pub fn allowance(section_set: f64, drop: f64, barometric: f64) -> Line {
    if gas_pipe::LOW_PRESSURE.contains(section_set) {
        Line::Low { drop }
    } else {
        Line::High { from: section_set + barometric, to: section_set + barometric - drop }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use physics::air::STANDARD_PRESSURE;
    use physics::combustion::PROPANE;

    const PSI: f64 = 6_894.757;
    const INCH: f64 = 0.0254;
    const MILLION_BTU_PER_HOUR: f64 = 1e6 * 0.293071;

    fn train(air: f64) -> FuelTrain {
        let tank = Tank { diameter: 41.0 * INCH, length: 192.0 * INCH };
        FuelTrain {
            gas: PROPANE,
            supply: Supply::TankVapour { tank, count: 1, fill: 0.3, air, margin: 0.0 },
            sections: vec![
                Section { set: 10.0 * PSI, length: 30.0, diameter: 1.049 * INCH },
                Section { set: 3.0 * PSI, length: 2.0, diameter: 1.049 * INCH },
            ],
            burner: BurnerEnd { heat: MILLION_BTU_PER_HOUR, pressure: 2.5 * PSI, orifice: Some(0.22 * INCH) },
            barometric: STANDARD_PRESSURE,
            gas_temperature: 15.0,
        }
    }

    fn of(train: &FuelTrain, duty: Duty) -> Element {
        train.sheet().into_iter().find(|e| e.duty == duty).unwrap()
    }

    #[test]
    fn cold_and_emptying_tanks_starve_the_burner() {
        let mut cold = train(-20.0);
        let mut warm = train(10.0);
        assert!(of(&cold, Duty::Supply).have < of(&warm, Duty::Supply).have);
        assert!(!of(&cold, Duty::Supply).met());
        // Two tanks boil twice as much; a line that needs more pressure leaves less.
        let Supply::TankVapour { count, .. } = &mut warm.supply else { unreachable!() };
        *count = 2;
        assert!((of(&warm, Duty::Supply).have / of(&train(10.0), Duty::Supply).have - 2.0).abs() < 1e-9);
        cold.sections[0].set = 25.0 * PSI;
        assert!(!of(&cold, Duty::SupplyPressure).met() && of(&cold, Duty::Supply).have == 0.0);
    }

    #[test]
    fn a_thin_pipe_has_no_pressure_left() {
        let mut thin = train(10.0);
        assert!(of(&thin, Duty::Regulator(2)).met() && of(&thin, Duty::BurnerPressure).met());
        thin.sections[0].diameter = 0.3 * INCH;
        assert!(!of(&thin, Duty::Regulator(2)).met());
        assert!(!of(&thin, Duty::BurnerPressure).met() && !of(&thin, Duty::Orifice).met());
        let said: Vec<String> = thin.sheet().iter().filter_map(Element::remark).map(|r| r.code).collect();
        assert!(
            said.contains(&"regulator-starved".to_string()) && said.contains(&"orifice-short".to_string()),
            "{said:?}"
        );
    }

    #[test]
    fn an_orifice_follows_the_pressure_that_is_there() {
        let good = of(&train(10.0), Duty::Orifice);
        assert!(good.have > 0.0);
        let mut starved = train(10.0);
        starved.sections[1].set = 1.0 * PSI;
        assert!(of(&starved, Duty::Orifice).have < good.have);
    }

    #[test]
    fn a_vaporiser_has_its_margin() {
        let mut liquid = train(-20.0);
        liquid.supply = Supply::Vaporiser { capacity: 4e3, liquid: -17.778, vapour: 15.556, pressure: 20.0 * PSI };
        // 1,000,000 Btu/h: about 9,050 Btu/h of boiling (worked row F11 halved), a quarter more asked.
        let need = of(&liquid, Duty::Supply).need / 0.293071;
        assert!((need / (1.25 * 9050.0) - 1.0).abs() < 0.03, "{need}");
        assert!(of(&liquid, Duty::Supply).met() && of(&liquid, Duty::SupplyPressure).met());
    }

    #[test]
    fn the_main_feeds_what_its_meter_passes() {
        let mut main = train(10.0);
        main.gas = physics::combustion::NATURAL_GAS;
        main.supply = Supply::Main { pressure: 12.0 * PSI, capacity: Some(500.0 * 0.0283168 / 3600.0) };
        assert!(!of(&main, Duty::Supply).met());
        assert!(matches!(allowance(0.4 * PSI, 100.0, 1e5), Line::Low { .. }));
        assert!(matches!(allowance(10.0 * PSI, 100.0, 1e5), Line::High { .. }));
    }
}

//! The fuel train: at each element from the supply to the burner what is needed and what is there.
//!
//! Gas is taken through a row of regulated sections, each a regulator's outlet and a pipe; its first pressure comes from tanks of
//! propane, a vaporiser or the mains. Leaves out transients, relief, and everything that only the fitter on the spot can see.
//!
//! # Caution
//! An estimate that shows which element is short. A licensed gas fitter, the supplier and the local code decide.

use notice::{Kind, Phrase, Quantity, Remark};
use numerics::root::brent;
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

/// A piece of the line: a regulator's outlet, where one stands at its head, and a pipe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Section {
    /// Gauge pressure set at the outlet of the regulator at its head, Pa; none where the pipe only goes on.
    pub set: Option<f64>,
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
    /// Diameter of the orifice, m, where known; that of one hole as large as all of them.
    pub orifice: Option<f64>,
}

/// A whole train.
#[derive(Debug, Clone, PartialEq)]
pub struct FuelTrain {
    /// Gas.
    pub gas: combustion::Fuel,
    /// Supply.
    pub supply: Supply,
    /// Pieces from the supply to the burner, at least one.
    pub sections: Vec<Section>,
    /// Burner.
    pub burner: BurnerEnd,
    /// What a regulator needs at its inlet above its outlet to pass its flow, as a share of the outlet's gauge pressure.
    pub regulator_margin: f64,
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
    /// Have pressure enough at the inlet of regulator number: from 2, behind a main without one from 1.
    Regulator(usize),
    /// Carry the gas from regulator number (0: from the main) to the next one or the burner, losing no more pressure than may be.
    Pipe(usize),
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
                    "the supply stands at {have}, what follows asks {need}: the burner does not reach its fire",
                ),
            ),
            Duty::Regulator(number) => (
                "regulator-starved",
                Phrase::new(
                    "{have} reaches regulator {number}, which needs {need}: it stands wide open and no longer regulates",
                )
                .count("number", number),
            ),
            Duty::Pipe(number) => (
                "pipe-short",
                Phrase::new(
                    "the pipe behind {head} carries {have} of the {need} asked with the pressure that may be lost: under fire the \
                     pressure falls and the burner under-fires",
                )
                .text("head", if number == 0 { "the meter".into() } else { format!("regulator {number}") }),
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

/// Pieces between two regulators, or from the last one to the burner.
struct Run<'a> {
    /// Number of the regulator at its head; 0 for a main without one.
    number: usize,
    /// Gauge pressure at its head when enough reaches it, Pa.
    set: f64,
    /// Gauge pressure needed at its end, Pa.
    required: f64,
    pieces: &'a [Section],
}

impl FuelTrain {
    /// Works out every element from the supply to the orifice.
    ///
    /// Pressures fall along the pipes with the flow of the wanted heat; below 1.5 psi by the low-pressure equation, from there by
    /// the high one. A pipe that cannot carry the flow has no pressure left at its end.
    pub fn sheet(&self) -> Vec<Element> {
        let mut elements = self.supply_elements();
        let flow = self.gas.gas_volume(self.burner.heat);
        let pressure = |duty, need, have| Element { duty, need, have, kind: Kind::GasPressure };
        let mut at_end = self.supply_pressure();
        for (index, run) in self.runs().into_iter().enumerate() {
            if index > 0 {
                elements.push(pressure(Duty::Regulator(run.number), self.inlet(run.set), at_end));
            }
            let have = self.carries(&run);
            elements.push(Element { duty: Duty::Pipe(run.number), need: flow, have, kind: Kind::GasFlow });
            // A regulator cannot raise what reaches it.
            at_end = self.run_end(&run, run.set.min(at_end), flow);
        }
        let burner = &self.burner;
        elements.push(pressure(Duty::BurnerPressure, burner.pressure, at_end));
        if let Some(diameter) = burner.orifice {
            let have = self.through(diameter, at_end.min(burner.pressure));
            elements.push(Element { duty: Duty::Orifice, need: burner.heat, have, kind: Kind::HeatRate });
        }
        elements
    }

    /// Gauge pressures (Pa) at the head and the end of every piece when the wanted heat flows.
    pub fn pressures(&self) -> Vec<(f64, f64)> {
        let flow = self.gas.gas_volume(self.burner.heat);
        let mut at_end = self.supply_pressure();
        let of = |section: &Section| {
            let from = section.set.map_or(at_end, |set| set.min(at_end));
            at_end = self.pipe_end(section, from, flow);
            (from, at_end)
        };
        self.sections.iter().map(of).collect()
    }

    /// The fire that the train sustains, W on the invoice: where orifice and pressure agree, no more than the supply gives.
    ///
    /// An orifice that is not known is taken as the one that gives the wanted heat at the wanted pressure.
    pub fn sustained(&self) -> f64 {
        let BurnerEnd { heat, pressure, orifice } = self.burner;
        let spud = orifice::DRILLED_SPUD;
        let diameter = orifice.unwrap_or_else(|| {
            orifice::diameter_for(heat, spud, pressure, self.barometric, self.gas_temperature, &self.gas)
        });
        let surplus = |fire: f64| self.through(diameter, self.line_end(fire).min(pressure)) - fire;
        let burns = if surplus(heat) >= 0.0 { heat } else { brent(surplus, 0.0, heat, heat * 1e-9).unwrap_or(0.0) };
        match self.supply_elements().first().filter(|e| e.duty == Duty::Supply && e.need > 0.0) {
            Some(supply) => burns.min(heat * (supply.have / supply.need)),
            None => burns,
        }
    }

    /// The smallest schedule 40 pipe (nominal size and inside diameter, m) that would do for the whole way from regulator `number`
    /// to the next one or the burner; nothing where no pipe of the list does.
    pub fn smallest_pipe(&self, number: usize) -> Option<(&'static str, f64)> {
        let run = self.runs().into_iter().find(|run| run.number == number)?;
        let length: f64 = run.pieces.iter().map(|piece| piece.length).sum();
        if run.set <= run.required || length <= 0.0 {
            return None;
        }
        let line = if gas_pipe::LOW_PRESSURE.contains(run.set) {
            Line::Low { drop: run.set - run.required }
        } else {
            Line::High { from: run.set + self.barometric, to: run.required + self.barometric }
        };
        gas_pipe::smallest(self.gas.gas_volume(self.burner.heat), length, line, PipeGas::of(&self.gas))
    }

    /// Heat (invoice) through an orifice at a gauge pressure.
    fn through(&self, diameter: f64, pressure: f64) -> f64 {
        if pressure <= 0.0 {
            return 0.0;
        }
        let spud = orifice::DRILLED_SPUD;
        orifice::invoiced_heat(diameter, spud, pressure, self.barometric, self.gas_temperature, &self.gas).0
    }

    /// Gauge pressure at the end of the line for a fire.
    fn line_end(&self, fire: f64) -> f64 {
        let flow = self.gas.gas_volume(fire);
        let end = |at: f64, section: &Section| self.pipe_end(section, section.set.map_or(at, |set| set.min(at)), flow);
        self.sections.iter().fold(self.supply_pressure(), end)
    }

    /// What a regulator needs at its inlet.
    fn inlet(&self, set: f64) -> f64 {
        set * (1.0 + self.regulator_margin)
    }

    /// Gauge pressure of the supply at rest.
    fn supply_pressure(&self) -> f64 {
        match self.supply {
            Supply::TankVapour { air, .. } => propane::saturation_pressure(air) - self.barometric,
            Supply::Vaporiser { pressure, .. } | Supply::Main { pressure, .. } => pressure,
        }
    }

    fn runs(&self) -> Vec<Run<'_>> {
        let starts: Vec<usize> =
            (0..self.sections.len()).filter(|&i| i == 0 || self.sections[i].set.is_some()).collect();
        let plain = self.sections.first().is_some_and(|first| first.set.is_none());
        let of = |(k, &start): (usize, &usize)| {
            let end = starts.get(k + 1).copied().unwrap_or(self.sections.len());
            let next = self.sections.get(end).and_then(|next| next.set);
            Run {
                number: if plain { k } else { k + 1 },
                set: self.sections[start].set.unwrap_or_else(|| self.supply_pressure()),
                required: next.map_or(self.burner.pressure, |set| self.inlet(set)),
                pieces: &self.sections[start..end],
            }
        };
        starts.iter().enumerate().map(of).collect()
    }

    fn run_end(&self, run: &Run<'_>, from: f64, flow: f64) -> f64 {
        run.pieces.iter().fold(from, |at, piece| self.pipe_end(piece, at, flow))
    }

    /// Most gas (m³/s) that a run carries with what is needed left at its end.
    fn carries(&self, run: &Run<'_>) -> f64 {
        let left = |flow: f64| self.run_end(run, run.set, flow) - run.required;
        if left(0.0) <= 0.0 {
            return 0.0;
        }
        let mut most = self.gas.gas_volume(self.burner.heat).max(1e-6);
        // Each doubling costs about four times the pressure; a pipe without length carries anything.
        const DOUBLINGS: usize = 40;
        for _ in 0..DOUBLINGS {
            if left(most) < 0.0 {
                break;
            }
            most *= 2.0;
        }
        let (mut low, mut high) = (0.0, most);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if left(middle) >= 0.0 { low = middle } else { high = middle }
        }
        low
    }

    fn supply_elements(&self) -> Vec<Element> {
        let first = self.runs().first().map_or(self.burner.pressure, |run| match run.number {
            0 => run.required,
            _ => self.inlet(run.set),
        });
        let heat = self.burner.heat;
        let rate = |duty, need, have| Element { duty, need, have, kind: Kind::HeatRate };
        let pressure = |have, need| Element { duty: Duty::SupplyPressure, need, have, kind: Kind::GasPressure };
        match self.supply {
            Supply::TankVapour { tank, count, fill, air } => {
                let liquid = propane_tank::liquid_at_least(first, self.barometric);
                let vapour = count as f64 * tank.vapour(fill, air, liquid);
                vec![
                    rate(Duty::Supply, heat, vapour * self.gas.higher_heating_value),
                    pressure(self.supply_pressure(), first),
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

    /// Gauge pressure at the end of a piece's pipe, Pa; zero when it cannot carry the flow.
    fn pipe_end(&self, section: &Section, from: f64, flow: f64) -> f64 {
        let gas = PipeGas::of(&self.gas);
        if section.length <= 0.0 || flow <= 0.0 {
            return from.max(0.0);
        }
        if gas_pipe::LOW_PRESSURE.contains(from) {
            return (from - gas_pipe::low_pressure_drop(flow, section.diameter, section.length, gas)).max(0.0);
        }
        let end = gas_pipe::high_pressure_end(flow, from + self.barometric, section.diameter, section.length, gas);
        end.map_or(0.0, |absolute| (absolute - self.barometric).max(0.0))
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
            supply: Supply::TankVapour { tank, count: 1, fill: 0.3, air },
            sections: vec![
                Section { set: Some(10.0 * PSI), length: 30.0, diameter: 1.049 * INCH },
                Section { set: Some(3.0 * PSI), length: 2.0, diameter: 1.049 * INCH },
            ],
            burner: BurnerEnd { heat: MILLION_BTU_PER_HOUR, pressure: 2.5 * PSI, orifice: Some(0.22 * INCH) },
            regulator_margin: 0.0,
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
        cold.sections[0].set = Some(25.0 * PSI);
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
        starved.sections[1].set = Some(1.0 * PSI);
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
        // Without a regulator at the meter the pipe carries the pressure of the main.
        main.supply = Supply::Main { pressure: 5.0 * PSI, capacity: None };
        main.sections[0].set = None;
        assert_eq!(of(&main, Duty::SupplyPressure).need, 3.0 * PSI);
        assert!(of(&main, Duty::Pipe(0)).have > 0.0 && of(&main, Duty::Regulator(1)).duty == Duty::Regulator(1));
    }

    #[test]
    fn what_a_run_carries_leaves_just_what_is_needed() {
        let mut train = train(10.0);
        train.sections.insert(1, Section { set: None, length: 10.0, diameter: 0.824 * INCH });
        for number in [1, 2] {
            if number == 2 {
                // Wide ahead of it, so that only the last pipe is put to the test.
                train.sections[..2].iter_mut().for_each(|piece| piece.diameter = 4.026 * INCH);
            }
            let carried = of(&train, Duty::Pipe(number)).have;
            assert!(carried > 0.0);
            train.burner.heat = carried * train.gas.gas_heating_value;
            let (element, end) = match number {
                1 => (of(&train, Duty::Regulator(2)), train.pressures()[1].1),
                _ => (of(&train, Duty::BurnerPressure), train.pressures()[2].1),
            };
            assert!((element.have / element.need - 1.0).abs() < 1e-6, "{element:?}");
            assert!((end - element.have).abs() < 1e-6);
            // For a little less gas that pipe is the one of the list.
            train.burner.heat *= 0.999;
            let (_, inside) = train.smallest_pipe(number).unwrap();
            assert!(number == 1 || (inside / train.sections[2].diameter - 1.0).abs() < 1e-9, "{inside}");
        }
    }

    #[test]
    fn a_starved_burner_burns_less_and_its_orifice_agrees() {
        let mut thin = train(10.0);
        thin.supply = Supply::Vaporiser { capacity: 1e6, liquid: 10.0, vapour: 20.0, pressure: 20.0 * PSI };
        thin.burner.orifice = None;
        assert_eq!(thin.sustained(), thin.burner.heat);
        thin.sections[1].diameter = 0.3 * INCH;
        let fire = thin.sustained();
        assert!(fire > 0.2 * thin.burner.heat && fire < 0.95 * thin.burner.heat, "{fire}");
        // The same fire asked for leaves the pressure at which the orifice passes it.
        let spud = orifice::DRILLED_SPUD;
        let hole =
            orifice::diameter_for(thin.burner.heat, spud, thin.burner.pressure, STANDARD_PRESSURE, 15.0, &PROPANE);
        let passed = thin.through(hole, thin.line_end(fire));
        assert!((passed / fire - 1.0).abs() < 1e-6);
        // A vaporiser with half of what it needs holds half the fire at most.
        thin.supply = Supply::Vaporiser { capacity: 0.0, liquid: 10.0, vapour: 20.0, pressure: 20.0 * PSI };
        assert_eq!(thin.sustained(), 0.0);
    }
}

//! Gas in a pipe: what it loses, what it carries, or which size does.

use super::{Answer, Evidence, Faults, gas, one, part, refuse};
use notice::{Diagnostic, Diagnostics, Kind, Phrase, Quantity, Range, Remark, Remarks, Source, Status};
use physics::combustion::Fuel;
use physics::gas_pipe::{self, HIGH_PRESSURE, LOW_PRESSURE, Line, PipeGas, SCHEDULE_40};

/// Lengths asked for, m.
const LENGTHS: Range = Range::new(0.3, 3000.0);
/// Inside diameters asked for, m.
const INSIDES: Range = Range::new(0.003, 0.5);
/// Gas asked for, m³/s.
const FLOWS: Range = Range::new(1e-6, 5.0);
/// Heats asked for, W: some 350 Btu/h to 350 million.
const HEATS: Range = Range::new(100.0, 1e8);
/// Gauge pressures asked for, Pa.
const PRESSURES: Range = Range::new(50.0, 1.5e6);
/// Losses asked for, Pa: from a hundredth of an inch of water.
const LOSSES: Range = Range::new(2.49, 1.5e6);

/// What a pipe has to carry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Load {
    /// Gas, m³/s at 60 °F and 30 in. of mercury.
    Flow(f64),
    /// Heat on the invoice, W.
    Heat(f64),
}

impl Load {
    /// As gas, m³/s at 60 °F and 30 in. of mercury.
    fn flow(self, fuel: &Fuel) -> f64 {
        match self {
            Self::Flow(flow) => flow,
            Self::Heat(heat) => fuel.gas_volume(heat),
        }
    }

    /// Refuses what no pipe carries, by the name it was asked under.
    fn judge(self, faults: &mut Faults) {
        match self {
            Self::Flow(flow) => gas::above_zero(faults, "flow", flow, Kind::GasFlow, FLOWS),
            Self::Heat(heat) => gas::above_zero(faults, "heat", heat, Kind::HeatRate, HEATS),
        }
    }
}

/// A size of pipe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Size {
    /// Nominal size, in., where it is a schedule 40 pipe.
    pub nominal: Option<&'static str>,
    /// Inside diameter, m.
    pub inside: f64,
}

impl Size {
    /// The schedule 40 pipe of a nominal size as written: "1-1/4", "1 1/4", "2 in".
    pub fn nominal(text: &str) -> Option<Self> {
        let plain = text.trim().trim_end_matches(['"', '.']).trim_end_matches("in").trim().replace(' ', "-");
        SCHEDULE_40
            .iter()
            .find(|(name, _)| *name == plain)
            .map(|(name, inside)| Self { nominal: Some(name), inside: *inside })
    }
}

/// What is asked.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Ask {
    /// The pressure lost by a load in a size.
    Drop {
        /// What it carries.
        load: Load,
        /// Pipe.
        size: Size,
    },
    /// The smallest pipe for a load and a loss (Pa).
    Size {
        /// What it carries.
        load: Load,
        /// Pressure that may be lost, Pa.
        drop: f64,
    },
    /// What a size carries at a loss (Pa).
    Capacity {
        /// Pipe.
        size: Size,
        /// Pressure that may be lost, Pa.
        drop: f64,
    },
}

/// The question.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// Fuel by name.
    pub fuel: String,
    /// Length with that of fittings, m.
    pub length: f64,
    /// Gauge pressure at the beginning, Pa.
    pub pressure: f64,
    /// What is asked.
    pub ask: Ask,
    /// Height above the sea, m.
    pub elevation: Option<f64>,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Pipe {
    /// Fuel.
    pub fuel: &'static str,
    /// Length, m.
    pub length: f64,
    /// Nominal size of a schedule 40 pipe, in.
    pub nominal: Option<&'static str>,
    /// Inside diameter of the pipe, m.
    pub inside: f64,
    /// Diameter that the flow needs, m, where a size was asked for.
    pub needed: Option<f64>,
    /// Gas, m³/s at 60 °F and 30 in. of mercury.
    pub flow: f64,
    /// Its heat on the invoice, W.
    pub invoiced_heat: f64,
    /// Pressure lost, Pa.
    pub drop: f64,
    /// Gauge pressure at the beginning, Pa.
    pub pressure: f64,
    /// Gauge pressure at the end, Pa.
    pub end_pressure: f64,
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
        gas::above_zero(&mut faults, "length", self.length, Kind::Length, LENGTHS);
        gas::above_zero(&mut faults, "pressure", self.pressure, Kind::GasPressure, PRESSURES);
        gas::elevation(&mut faults, self.elevation);
        let (load, size, drop) = match self.ask {
            Ask::Drop { load, size } => (Some(load), Some(size), None),
            Ask::Size { load, drop } => (Some(load), None, Some(drop)),
            Ask::Capacity { size, drop } => (None, Some(size), Some(drop)),
        };
        if let Some(load) = load {
            load.judge(&mut faults);
        }
        if let Some(size) = size {
            gas::above_zero(&mut faults, "size", size.inside, Kind::Bore, INSIDES);
        }
        if let Some(drop) = drop {
            gas::above_zero(&mut faults, "drop", drop, Kind::GasPressure, LOSSES);
            if drop >= self.pressure {
                let kind = if self.pressure < LOW_PRESSURE.high { Kind::Pressure } else { Kind::GasPressure };
                let show = |v: f64| Quantity::new(v, kind).show(notice::UnitSystem::Us);
                faults.0.add(
                    Diagnostic::error("impossible", format!("a loss of {}", show(drop)), part("drop"))
                        .allowed(format!("must be below the {} at the beginning of the pipe", show(self.pressure))),
                );
            }
        }
        faults.0
    }

    /// Answers it.
    ///
    /// # Errors
    /// What is impossible about the question; a flow that no pressure drives through the pipe, or no pipe of the list carries.
    pub fn answer(&self) -> Result<Answer<Pipe>, Diagnostics> {
        refuse(self.faults())?;
        let fuel = gas::fuel(&self.fuel)?;
        let pipe_gas = PipeGas::of(&fuel);
        let barometric = gas::barometric(self.elevation);
        let low = self.pressure < LOW_PRESSURE.high;
        let from = self.pressure + barometric;
        let line = |drop: f64| if low { Line::Low { drop } } else { Line::High { from, to: from - drop } };
        let (size, needed, flow, drop) = match self.ask {
            Ask::Capacity { size, drop } => {
                (size, None, gas_pipe::flow(size.inside, self.length, line(drop), pipe_gas), drop)
            }
            Ask::Drop { load, size } => {
                let flow = load.flow(&fuel);
                (size, None, flow, self.drop(flow, size.inside, from, low, pipe_gas)?)
            }
            Ask::Size { load, drop } => {
                let flow = load.flow(&fuel);
                let needed = gas_pipe::diameter(flow, self.length, line(drop), pipe_gas);
                let (name, inside) = gas_pipe::smallest(flow, self.length, line(drop), pipe_gas).ok_or_else(|| {
                    let size = Quantity::new(needed, Kind::Bore).show(notice::UnitSystem::Us);
                    one(Diagnostic::error("pipe-too-large", format!("this needs {size} inside"), part("drop"))
                        .allowed("the list of pipes ends at 4 in.")
                        .help("run the line at a higher pressure with a regulator at its end, or let more be lost"))
                })?;
                let size = Size { nominal: Some(name), inside };
                (size, Some(needed), flow, self.drop(flow, inside, from, low, pipe_gas)?)
            }
        };
        let mut remarks = Remarks::default();
        let source = Source::new(
            "gas code sizing equations; reproduce IFGC 2018 Tables 402.4(3), (6), (28) within 1.2 % on the high side",
            Status::Verified,
        );
        let in_range = self.judge(&mut remarks, low, drop, &source);
        gas::caution(&mut remarks);
        let result = Pipe {
            fuel: fuel.name,
            length: self.length,
            nominal: size.nominal,
            inside: size.inside,
            needed,
            flow,
            invoiced_heat: flow * fuel.gas_heating_value,
            drop,
            pressure: self.pressure,
            end_pressure: self.pressure - drop,
            relation: if low { "low-pressure equation" } else { "high-pressure equation" },
            source,
            in_range,
        };
        Ok(Answer { result, remarks })
    }

    /// Pressure lost by a flow in a diameter.
    fn drop(&self, flow: f64, inside: f64, from: f64, low: bool, pipe_gas: PipeGas) -> Result<f64, Diagnostics> {
        let lost = if low {
            Some(gas_pipe::low_pressure_drop(flow, inside, self.length, pipe_gas)).filter(|d| *d < self.pressure)
        } else {
            gas_pipe::high_pressure_end(flow, from, inside, self.length, pipe_gas)
                .map(|end| from - end)
                .filter(|d| *d < self.pressure)
        };
        lost.ok_or_else(|| {
            one(Diagnostic::error(
                "pipe-cannot-carry",
                "more gas than this pipe carries at this pressure",
                part("size"),
            )
            .help("a wider pipe, a shorter one, or a higher pressure; the burner would starve"))
        })
    }

    /// Whether the question lies inside its evidence, and what else is to be said.
    fn judge(&self, remarks: &mut Remarks, low: bool, drop: f64, source: &Source) -> bool {
        if low && drop > 0.5 * self.pressure {
            let says = Phrase::new("more than half of the line's pressure is lost: a regulator behind it will hunt");
            remarks.add(Remark::new("large-loss", says));
        }
        let range = if low { LOW_PRESSURE } else { HIGH_PRESSURE };
        let relation =
            if low { "the low-pressure equation" } else { "the high-pressure equation as lines usually run" };
        Evidence { relation, range, source }.holds(remarks, "pressure", self.pressure, Kind::GasPressure)
    }
}

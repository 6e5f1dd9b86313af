//! The fuel of a site: where it comes from, the line to the burners, and how a burner switches.

use equipment::Fuel;
use equipment::firing::Sharing;

/// Fuel of a site: one supply and one line for all burners that burn it.
#[derive(Debug, Clone, PartialEq)]
pub struct FuelFacts {
    /// Which.
    pub fuel: Fuel,
    /// Where it comes from.
    pub supply: SupplyFacts,
    /// Pieces of the line from the supply to the burners.
    pub line: Vec<LinePiece>,
}

/// Where gas comes from.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum SupplyFacts {
    /// Vapour boiled off by tanks in the open air.
    Vapor(TankFacts),
    /// Liquid drawn from tanks and boiled by a vaporizer.
    Liquid(TankFacts, VaporizerFacts),
    /// A main.
    Main(MainFacts),
}

impl SupplyFacts {
    /// The tanks, where there are any.
    pub fn tanks(&self) -> Option<&TankFacts> {
        match self {
            Self::Vapor(tanks) | Self::Liquid(tanks, _) => Some(tanks),
            Self::Main(_) => None,
        }
    }
}

/// Equal horizontal tanks side by side.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TankFacts {
    /// How many.
    pub count: usize,
    /// Water capacity of one, m³.
    pub capacity: f64,
    /// Outside diameter of one, m.
    pub diameter: f64,
    /// Length of one, m.
    pub length: f64,
    /// Whether diameter and length were taken from the capacity.
    pub shape_assumed: bool,
    /// Share of the capacity at which they are refilled.
    pub lowest_fill: f64,
    /// Share to which they are filled.
    pub filled_to: f64,
    /// From the order to the delivery, s.
    pub delivery: f64,
}

/// A vaporizer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct VaporizerFacts {
    /// Heat it can give the fuel, W.
    pub capacity: f64,
    /// Gauge pressure it delivers, Pa.
    pub pressure: f64,
}

/// A main.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MainFacts {
    /// Gauge pressure at the meter, Pa.
    pub pressure: f64,
    /// Most the meter passes, m³/s at 60 °F and 30 in. of mercury.
    pub meter: Option<f64>,
}

/// What a pipe is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PipeMaterial {
    /// Steel, schedule 40.
    Steel,
    /// Copper tube, by its inside diameter.
    Copper,
    /// Polyethylene, by its inside diameter.
    Polyethylene,
}

/// A piece of the line: a regulator at its head or none, and a pipe.
#[derive(Debug, Clone, PartialEq)]
pub struct LinePiece {
    /// Gauge pressure set at the outlet of the regulator at its head, Pa; none where the pipe only goes on.
    pub regulator: Option<f64>,
    /// Nominal size, in., of a schedule 40 pipe.
    pub nominal: Option<String>,
    /// What it is made of.
    pub material: PipeMaterial,
    /// Inside diameter, m.
    pub inside: f64,
    /// Length with that of the fittings, m.
    pub length: f64,
}

/// How the burners of an outfit switch, and what their plate says of the gas.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FiringFacts {
    /// Equal burners, each on its own fan; the burner of the outfit has the capacity of all.
    pub burners: usize,
    /// How they share a load.
    pub sharing: Sharing,
    /// Dead band of a thermostat, K.
    pub dead_band: f64,
    /// Dead band of a humidistat, fraction of relative humidity.
    pub humidity_band: f64,
    /// From the call for heat until it burns, s.
    pub ignition: f64,
    /// Steel between flame and thermostat, kg; `None` for what the floor lets expect.
    pub steel: Option<f64>,
    /// Gauge pressure at the orifice for full fire, Pa.
    pub gas_pressure: Option<f64>,
    /// Diameter of the orifice of one burner, m.
    pub orifice: Option<f64>,
}

impl FiringFacts {
    /// One burner with a dead band of 2 K or 4 % relative humidity that takes 20 s to purge and light (judgement).
    pub const USUAL: Self = Self {
        burners: 1,
        sharing: Sharing::InStep,
        dead_band: 2.0,
        humidity_band: 0.04,
        ignition: 20.0,
        steel: None,
        gas_pressure: None,
        orifice: None,
    };
}

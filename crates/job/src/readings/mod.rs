//! Readings taken beside a running fan: a text of their own, in the reader's units, to SI with uncertainties.
//!
//! Knows nothing of the site: what can only be doubted beside the site is doubted by those who know both. The shape is
//! described in `docs/readings-file.md`.

mod compose;
mod doubts;
pub mod fields;
mod instruments;
mod read;
mod when;

pub use compose::{Entry, compose};
pub use instruments::{Instruments, Limit};
pub use read::{FORMAT, read_readings};
pub use when::{When, when};

use notice::{Diagnostics, Place};
use std::collections::BTreeMap;

/// How many of one thing may be read: taps, points, legs.
pub const MOST_POINTS: usize = 40;

/// Fuel burned while the readings were taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FuelFlow {
    /// kg/s.
    Mass(f64),
    /// Liquid at 60 °F, m³/s.
    Liquid(f64),
    /// Gas at 60 °F and 30 in. of mercury, m³/s.
    Gas(f64),
}

/// Which way a wheel turns, as seen against the arrow on its housing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rotation {
    /// With the arrow.
    WithArrow,
    /// Against it.
    AgainstArrow,
}

/// What was seen without an instrument; `None` where nobody looked.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Seen {
    /// Rotation of the fan wheels.
    pub rotation: Option<Rotation>,
    /// Ice on the gas regulator.
    pub ice_on_regulator: Option<bool>,
    /// The air pulses, or an idle fan turns backwards.
    pub pulsing: Option<bool>,
    /// Roof vents iced, screened with chaff or shut.
    pub vents_blocked: Option<bool>,
    /// Air felt or smoke blown out at joints, doors or the unload tube.
    pub air_escapes: Option<bool>,
}

/// Airflow by traverse, as it was taken.
#[derive(Debug, Clone, PartialEq)]
pub enum Traverse {
    /// Velocity pressures, Pa, over an area, m².
    VelocityPressures(Vec<f64>, f64),
    /// Velocities, m/s, over an area, m².
    Velocities(Vec<f64>, f64),
    /// An airflow worked out already, m³/s at the fan inlets.
    Airflow(f64),
}

impl Traverse {
    /// Airflow in air of a density (kg/m³), m³/s: the mean of the roots of the velocity pressures, not the root of their
    /// mean.
    pub fn airflow(&self, density: f64) -> f64 {
        let mean = |list: &[f64]| list.iter().sum::<f64>() / list.len().max(1) as f64;
        match self {
            Self::VelocityPressures(list, area) => {
                let roots: Vec<f64> = list.iter().map(|p| p.max(0.0).sqrt()).collect();
                area * mean(&roots) * (2.0 / density).sqrt()
            }
            Self::Velocities(list, area) => area * mean(list),
            Self::Airflow(flow) => *flow,
        }
    }
}

/// One fan's motor.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct MotorReading {
    /// Current of each leg, A.
    pub amps: Vec<f64>,
    /// Speed of the wheel, 1/s.
    pub speed: Option<f64>,
}

/// A sample of grain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sample {
    /// Below the surface, m.
    pub below_surface: f64,
    /// Moisture as the meter showed it, wet basis.
    pub moisture: f64,
    /// Temperature of the grain, °C.
    pub temperature: Option<f64>,
}

/// A user's own chart of a meter: what to add to the shown moisture at a temperature of the sample.
pub type Chart = Vec<(f64, f64)>;

/// Everything that was read, SI; `None` and empty where it was not.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Readings {
    /// Bin, where the file names one.
    pub bin: Option<String>,
    /// When, as written.
    pub at: Option<String>,
    /// The same, read.
    pub when: Option<When>,
    /// Fans said to run; all when left out.
    pub fans_running: Option<usize>,
    /// Whether the burner is lit.
    pub burner_lit: bool,
    /// Depth of grain measured, m; level.
    pub depth: Option<f64>,
    /// What was seen.
    pub seen: Seen,
    /// Outdoor air, °C.
    pub outdoor: f64,
    /// Its relative humidity.
    pub humidity: Option<f64>,
    /// Barometer at the place, Pa.
    pub barometer: Option<f64>,
    /// Plenum, °C at each point.
    pub plenum: Vec<f64>,
    /// What the panel's own plenum sensor shows, °C.
    pub panel: Option<f64>,
    /// Static pressure of the plenum against the open air at each tap, Pa.
    pub plenum_pressure: Vec<f64>,
    /// Pressure above the grain, Pa.
    pub headspace_pressure: Option<f64>,
    /// Pressure in the grain (Pa) at a height above the floor (m).
    pub grain_pressure: Option<(f64, f64)>,
    /// Volts between legs.
    pub volts: Vec<f64>,
    /// Volts on the plate.
    pub plate_volts: Option<f64>,
    /// Power factor measured.
    pub power_factor: Option<f64>,
    /// One for each running fan.
    pub motors: Vec<MotorReading>,
    /// Traverse.
    pub traverse: Option<Traverse>,
    /// Fuel burned.
    pub fuel: Option<FuelFlow>,
    /// Gas pressure at the burner at fire, Pa gauge.
    pub gas_pressure: Option<f64>,
    /// The same as it was set, Pa gauge.
    pub gas_pressure_set: Option<f64>,
    /// Pressure of the tank at fire, Pa gauge.
    pub tank_pressure: Option<f64>,
    /// Levels of sound, dB(A), at a distance from the fans, m.
    pub sound: Option<(Vec<f64>, f64)>,
    /// Samples by depth.
    pub samples: Vec<Sample>,
    /// Minutes the samples rested in a closed container before reading, s; `None` when not said.
    pub rested: Option<f64>,
    /// The user's own chart of the meter.
    pub chart: Chart,
    /// Fields that the reader has looked at twice: they are not questioned again.
    pub confirmed: Vec<String>,
    /// Errors of the instruments.
    pub instruments: Instruments,
}

impl Readings {
    /// Nothing read but the outdoor air, °C.
    pub fn of_outdoor(outdoor: f64) -> Self {
        Self {
            bin: None,
            at: None,
            when: None,
            fans_running: None,
            burner_lit: false,
            depth: None,
            seen: Seen::default(),
            outdoor,
            humidity: None,
            barometer: None,
            plenum: Vec::new(),
            panel: None,
            plenum_pressure: Vec::new(),
            headspace_pressure: None,
            grain_pressure: None,
            volts: Vec::new(),
            plate_volts: None,
            power_factor: None,
            motors: Vec::new(),
            traverse: None,
            fuel: None,
            gas_pressure: None,
            gas_pressure_set: None,
            tank_pressure: None,
            sound: None,
            samples: Vec::new(),
            rested: None,
            chart: Vec::new(),
            confirmed: Vec::new(),
            instruments: Instruments::default(),
        }
    }

    /// Mean of the taps, Pa.
    pub fn plenum_pressure_mean(&self) -> Option<f64> {
        mean(&self.plenum_pressure)
    }

    /// Mean of the points in the plenum, °C.
    pub fn plenum_mean(&self) -> Option<f64> {
        mean(&self.plenum)
    }

    /// Whether a field was looked at twice.
    pub fn is_confirmed(&self, field: &str) -> bool {
        self.confirmed.iter().any(|f| f == field)
    }
}

fn mean(list: &[f64]) -> Option<f64> {
    (!list.is_empty()).then(|| list.iter().sum::<f64>() / list.len() as f64)
}

/// A readings file as read.
#[derive(Debug, Clone)]
pub struct ReadingsRead {
    /// What it says.
    pub readings: Readings,
    /// Where each field stands.
    pub places: BTreeMap<String, Place>,
    /// What is odd but does not stop the work.
    pub warnings: Diagnostics,
}

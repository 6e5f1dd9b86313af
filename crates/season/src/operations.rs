//! How a bin is worked in practice: what its sensors and probes get wrong, by which rule drying is stopped, stirring,
//! filling in layers, drawing dry grain from the floor, batches, stages of cooling.
//!
//! The default is what was asked before any of this existed: perfect sensors, the ideal stop, grain that lies still.

mod aeration;
mod batches;
mod conditioning;
mod discharge;
mod meter;
mod protection;
mod sensors;

pub use aeration::{Aeration, AerationStage};
pub use batches::{Batches, SPREAD_ALLOWED};
pub use conditioning::{Conditioning, SWELLING};
pub use discharge::{COOLED_WITHIN, Discharge, HOT_GRAIN};
pub use meter::{meter_deviation, meter_share};
pub use protection::{LIMIT_TOLERANCE, Protection};
pub use sensors::{Band, Drift, SensorErrors};

/// By which rule drying is stopped.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum StopRule {
    /// When the mean of a day and the wettest tenth are within the goal, as nobody can see them: the ideal.
    #[default]
    Ideal,
    /// When the readings of a probing say so: their mean is at the target and none lies above it by more than the excess.
    Probe {
        /// Hours between two probings; the first follows the last load by as much.
        every: i64,
        /// Depths read in each column.
        depths: usize,
    },
    /// When the air that leaves carries no more water than the air that enters, as the two sensors read them.
    Exhaust {
        /// Hours of running fan over which the two are compared.
        hours: usize,
    },
}

impl StopRule {
    /// Probing once a week at five depths (common practice, no source).
    pub const WEEKLY_PROBE: Self = Self::Probe { every: 168, depths: 5 };
    /// A week of air: over a day, the first wet spell ends drying for good (measured: never dry in ten autumns of Illinois).
    pub const WEEK_OF_AIR: Self = Self::Exhaust { hours: 168 };
}

/// A stirring machine: augers that are carried round the bin and mix what they reach.
///
/// Each round mixes the grain above the clearance wholly: moisture, temperature and the front are lost. Grain moves up and
/// down only; the air of the columns stays as uneven as it was. What stirring does to the resistance of the bed is not
/// counted: no measured figure was found.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stirring {
    /// Hours from the end of one round to the end of the next.
    pub every: i64,
    /// Hours that a round takes, at most `every`.
    pub round: i64,
    /// Height above the floor that the augers do not reach, m.
    pub clearance: f64,
    /// Electric power of its motors, W.
    pub power: f64,
    /// When it runs.
    pub when: StirWhen,
}

/// When a stirring machine runs, while the bin is filled and dried.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StirWhen {
    /// All the time.
    Always,
    /// While the bin is filled, then not until the drying front has come near the surface (extension advice of Nebraska).
    FillingThenFront {
        /// Depth of the front below the surface at which stirring begins again, m.
        below_surface: f64,
    },
}

/// Filling in layers: each when the grain below is dry enough.
#[derive(Debug, Clone, PartialEq)]
pub struct LayerFilling {
    /// Numbers of the loads with which a layer begins, rising; the first layer begins with load 0 and is not named.
    pub starts: Vec<usize>,
    /// The next layer comes when the wettest tenth of what lies in the bin is read at this moisture or below, d.b.
    pub dry_enough: f64,
}

/// What a sensor near the floor goes by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FloorSensor {
    /// Grain at or below a moisture, d.b., as the meter reads it.
    Moisture(f64),
    /// Grain at or above a temperature, °C: the drying front has passed.
    Temperature(f64),
}

/// Counterflow: while the bin is filled and dried, a layer of dry grain is drawn from the floor whenever a sensor says so,
/// at most once a tick.
#[derive(Debug, Clone, PartialEq)]
pub struct Counterflow {
    /// The sensor.
    pub sensor: FloorSensor,
    /// Its height above the floor, m.
    pub height: f64,
    /// Depth drawn at once, m, as the grain was filled.
    pub layer: f64,
    /// Depth that stays in the bin and is dried where it lies, m, as it was filled.
    pub keep: f64,
    /// Where the drawn grain goes: a name to report it under.
    pub to: String,
}

/// What is done with and to the grain beside blowing air through it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Operations {
    /// Errors of sensors and meter in this year.
    pub sensors: SensorErrors,
    /// When drying stops.
    pub stop: StopRule,
    /// Stirring, where there is a machine.
    pub stirring: Option<Stirring>,
    /// Filling in layers, where it is done.
    pub layers: Option<LayerFilling>,
    /// Dry grain drawn from the floor, where it is done.
    pub counterflow: Option<Counterflow>,
    /// Stages of temperature once the grain is dry, where there are any.
    pub aeration: Option<Aeration>,
    /// Batches in the bin, where they are dried so.
    pub batches: Option<Batches>,
    /// Grain from a dryer, where it comes from one.
    pub discharge: Option<Discharge>,
    /// Rewetting, where that is what the air is for.
    pub conditioning: Option<Conditioning>,
    /// Limit of the air by the use of the grain, where the use is said.
    pub protection: Option<Protection>,
}

/// What a bin is used for in a season: which goal it has and how it ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Process {
    /// Drying where the grain lies, then cooling and holding.
    #[default]
    Drying,
    /// Grain that came dry: cooled, held, warmed.
    Aeration,
    /// One batch after the other.
    Batches,
    /// Cooling, and where needed drying on, of what a dryer discharged.
    Discharge,
    /// Rewetting.
    Conditioning,
}

impl Operations {
    /// The process of loads with this mean moisture and target (d.b.).
    pub fn process(&self, moisture: f64, target: f64) -> Process {
        if self.batches.is_some() {
            Process::Batches
        } else if self.conditioning.is_some() {
            Process::Conditioning
        } else if self.aeration.is_some() && moisture <= target {
            Process::Aeration
        } else if self.discharge.is_some() {
            Process::Discharge
        } else {
            Process::Drying
        }
    }
}

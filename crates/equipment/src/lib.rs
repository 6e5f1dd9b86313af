//! What moves and warms the air: fan curves and laws, arrangements of fans, motors, burners, the pressure budget, the
//! point at which an outfit works against grain (solved, and compiled into a table), controls as pure functions, the gas
//! behind a burner, the wires behind a motor, and the ducts on the way to the grain.
//!
//! Everything is SI: Pa, m³/s, W, kg/s, °C (differences in K), humidity ratio kg/kg dry air, relative humidity and
//! moisture as fractions. Leaves out the catalogue's file form (crate `job`).
//!
//! # Caution
//! Fans, burners and gas can kill: guards, lock-out before entry, air proving, flame safeguard and high limits are the
//! business of local codes and of licensed practice. Nothing computed here replaces them.

pub mod air;
pub mod arrangement;
pub mod budget;
pub mod burner;
pub mod control;
pub mod demo;
pub mod fan;
pub mod firing;
pub mod fuel_train;
pub mod grain;
pub mod map;
pub mod motor;
pub mod motor_load;
mod path;
pub mod provenance;
mod query;
pub mod roof;
pub mod sensor;
pub mod spread;
pub mod way;
pub mod wiring;

pub use air::{AirConditions, AirFlags, AirPoint, AirSystem, AirSystemError, Direction, Heat, HeatAmount, Outcome};
pub use arrangement::{Arrangement, FanState, MAX_FANS, MemberPoint, Outfit};
pub use budget::{Budget, Floor, Loss, PressureBudget, Vents};
pub use burner::{Burner, BurnerSide, Firing, FiringResult, Fuel};
pub use control::{BurnerCommand, BurnerRule, Command, Control, Memory, Observation, Phase, Rule, Timing, Towards};
pub use fan::{CurveError, CurvePoint, Fan, FanCurve, FanKind, Origin, STANDARD_DENSITY};
pub use grain::{GrainLaw, GrainTerms};
pub use map::AirMap;
pub use provenance::{DataDate, Provenance};
pub use query::{MapPoint, MapQuery};
pub use sensor::{AirReading, SENSOR_PLACES, SensorError, SensorErrorsOfAir, SensorPlace};
pub use spread::Spread;

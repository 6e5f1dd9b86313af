//! A case from its first load to its horizon: the programme (filling, drying, cooling, holding), the control's ticks, the
//! columns that share fan and plenum, and the tallies. Resumable: a run can be advanced to an hour, copied and looked at.
//!
//! Knows neither where inputs came from nor what anything costs.

pub mod column;
mod lane;
pub mod operations;
pub mod result;
pub mod run;
pub mod spec;
pub mod surroundings;

pub use operations::{
    Aeration, AerationStage, Batches, Conditioning, Counterflow, Discharge, FloorSensor, LayerFilling, Operations,
    Process, Protection, SensorErrors, StirWhen, Stirring, StopRule,
};
pub use result::{AirHours, ColumnResult, Daily, Hourly, Phase, Profile, Rings, SeasonResult, Step, StepKind};
pub use run::{BinState, Draw, LaneKey, Lanes, Record, SeasonRun};
pub use spec::{
    BinSpec, CarryOver, CaseSpec, ColumnShare, GrainSpec, HARVEST_WARMTH, HourlyWeather, Load, Programme, StillAir,
    TARIFF_SLOTS,
};

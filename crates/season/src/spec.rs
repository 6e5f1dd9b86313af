//! Everything a season needs to know, resolved and in SI. Crate `job` makes these; nothing here was read from a file.

use crate::operations::Operations;
use bed::{ColumnParams, GroupParams};
use equipment::{AirMap, AirSystem, Burner, Control};
use physics::resistance::BedResistance;
use std::sync::Arc;

/// One bin in one outfit in one weather year.
#[derive(Debug, Clone)]
pub struct CaseSpec {
    /// Geometry and how air spreads over it.
    pub bin: BinSpec,
    /// The grain.
    pub grain: GrainSpec,
    /// What arrives, in order of arrival.
    pub loads: Arc<Vec<Load>>,
    /// Fans, losses, floor.
    pub system: Arc<AirSystem>,
    /// The same, compiled for this grain: the way a season asks for the working point.
    pub air: Arc<AirMap<BedResistance>>,
    /// Burner, where there is one.
    pub burner: Option<Burner>,
    /// Control of fan and burner, for each phase.
    pub control: Control,
    /// What is to be reached and when things end.
    pub programme: Programme,
    /// What is done beside blowing air through the grain, and what the instruments get wrong.
    pub operations: Operations,
    /// The air outside.
    pub weather: Arc<HourlyWeather>,
    /// Length of a control tick, s: 3600, or 900 at high temperature.
    pub tick_seconds: f64,
}

/// The bin as the bed sees it.
#[derive(Debug, Clone, PartialEq)]
pub struct BinSpec {
    /// Inner diameter, m.
    pub diameter: f64,
    /// Floor area, m².
    pub floor_area: f64,
    /// Columns from slowest to fastest air; one when the bin is said to be even.
    pub columns: Vec<ColumnShare>,
    /// How heat moves in the grain while no air does.
    pub still: StillAir,
}

/// How heat moves in the grain while no air does.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum StillAir {
    /// Along the column and through one node that stands for the wall; no sun.
    #[default]
    OneNode,
    /// In rings by radius and height once the bin is full, the columns lying round each other with the slowest in the middle
    /// (where the spout drops the fines; judgement).
    Rings {
        /// Degrees, south negative: then sun on wall and roof is counted. `None`: no sun.
        latitude: Option<f64>,
    },
}

/// One column's part of the bin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ColumnShare {
    /// Share of the floor area; all shares add up to 1.
    pub area: f64,
    /// Air flux over the mean flux once the bin is full (and levelled, where it is); area-weighted mean 1.
    pub air: f64,
    /// The same while loads still arrive through the spout.
    pub air_filling: f64,
}

impl ColumnShare {
    /// One even column.
    pub const EVEN: [Self; 1] = [Self::of(1.0, 1.0, 1.0)];
    /// Filled from the spout and not cored: fines in the middle (judgement).
    pub const SPOUT: [Self; 3] = [Self::of(0.2, 0.70, 0.70), Self::of(0.5, 1.0, 1.0), Self::of(0.3, 1.2, 1.2)];
    /// Levelled with the core of fines left in, or cored with the peak left on: between the two others, the slow part
    /// midway, the rest so that the mean is 1 (judgement).
    pub const HALF_LEVELLED: [Self; 3] =
        [Self::of(0.2, 0.80, 0.70), Self::of(0.4, 1.0, 1.0), Self::of(0.4, 1.10, 1.15)];
    /// Filled from the spout, levelled and cored after the last load (judgement).
    pub const LEVELLED: [Self; 3] = [Self::of(0.2, 0.90, 0.70), Self::of(0.4, 1.0, 1.0), Self::of(0.4, 1.05, 1.15)];

    /// A share from area, air when full and air while filling.
    pub const fn of(area: f64, air: f64, air_filling: f64) -> Self {
        Self { area, air, air_filling }
    }
}

/// The grain as bed and air see it.
#[derive(Debug, Clone, PartialEq)]
pub struct GrainSpec {
    /// Constants of a column.
    pub column: ColumnParams,
    /// What is alike in a group of columns; `layers` is set by the accuracy.
    pub group: GroupParams,
    /// Resistance of the bed as it lies.
    pub resistance: BedResistance,
    /// Dry-matter density as filled, kg/m³.
    pub dry_density: f64,
    /// Moisture as filled, d.b., at which that density holds.
    pub density_moisture: f64,
    /// Loss of depth per unit of moisture (w.b.) lost: 1.4 means 1.4 % a point.
    pub shrink: f64,
}

/// Grain that arrives at one time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load {
    /// Hour of arrival, hours since 1970-01-01T00:00Z.
    pub hour: i64,
    /// Dry matter, kg.
    pub dry_matter: f64,
    /// Moisture, d.b.
    pub moisture: f64,
    /// Temperature, °C; `None` means the air at that hour and a little more.
    pub temperature: Option<f64>,
    /// Storage life already used.
    pub life_used: f64,
}

/// How much warmer than the air grain comes from the field when nobody says, K (judgement).
pub const HARVEST_WARMTH: f64 = 2.0;

/// Goal and end.
#[derive(Debug, Clone, PartialEq)]
pub struct Programme {
    /// Target of the mean moisture, d.b.
    pub target: f64,
    /// The wettest tenth may exceed the target by this much, d.b.
    pub wettest_excess: f64,
    /// Storage life (strict reading) that may be used until the end, 1 = all of it.
    pub life_allowed: f64,
    /// Grain is cooled to this mean temperature once dry, °C.
    pub cool_to: f64,
    /// Hour by which it is to be dry.
    pub by: i64,
    /// What happens when winter comes first.
    pub carry_over: CarryOver,
    /// Hour at which the season ends.
    pub hold_until: i64,
}

/// What to do when it is too cold to dry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CarryOver {
    /// Go on drying.
    Never,
    /// Stop, cool and hold, go on in spring.
    CoolAndHold {
        /// Stop when the mean air of seven days is below this, °C.
        stop_below: f64,
        /// Go on when the mean air of seven days is above this, °C.
        resume_above: f64,
    },
}

impl CarryOver {
    /// The usual limits: stop at freezing, go on at 4.4 °C (40 °F), as extension advice has it.
    pub const USUAL: Self = Self::CoolAndHold { stop_below: 0.0, resume_above: 4.4 };
}

/// Most slots a tariff may have.
pub const TARIFF_SLOTS: usize = 8;

/// The air outside, hour by hour: means over the hour that begins at the index.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct HourlyWeather {
    /// First hour, hours since 1970-01-01T00:00Z.
    pub start: i64,
    /// Dry bulb, °C.
    pub temperature: Vec<f64>,
    /// Humidity ratio, kg/kg.
    pub humidity_ratio: Vec<f64>,
    /// Relative humidity over liquid water, fraction.
    pub relative_humidity: Vec<f64>,
    /// Station pressure brought to the site, Pa.
    pub pressure: Vec<f64>,
    /// Wall-clock hour of the day, for clock controls.
    pub wall_hour: Vec<u8>,
    /// Slot of the electricity tariff, below [`TARIFF_SLOTS`].
    pub tariff_slot: Vec<u8>,
    /// Month of the wall-clock calendar, 1 to 12.
    pub month: Vec<u8>,
}

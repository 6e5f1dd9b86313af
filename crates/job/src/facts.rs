//! A site as it was said, checked and in SI: what reading a site file ends in and what resolving begins with.
//!
//! Names of weather, fans and burners are already looked up; nothing here is text but names.

mod farm;
mod fuel;
mod power;
mod process;
mod quote;
mod way;

pub use farm::{FarmFacts, LoadOrder};
pub use fuel::{FiringFacts, FuelFacts, LinePiece, MainFacts, PipeMaterial, SupplyFacts, TankFacts, VaporizerFacts};
pub use power::{Dwelling, DwellingPlace, FeederFacts, PowerFacts, YardBin, YardFacts};
pub use process::{BatchFacts, ConditioningFacts, DischargeFacts, ProcessFacts, StageFacts};
pub use quote::QuoteFacts;
pub use way::{DuctsFacts, FloorFacts, InletFacts, RoofFacts, SupplyDuctFacts, TransitionFacts, WayFacts};

use crate::choose::ChooseFacts;
use crate::costs::{Costs, Remedy};
use equipment::{Arrangement, Burner, Control, Fan};
use season::operations::Band;
use season::{CarryOver, Counterflow, Stirring, StopRule};

/// Month and day, for things that happen every year.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct MonthDay {
    /// 1 to 12.
    pub month: u8,
    /// 1 to 31.
    pub day: u8,
}

/// A whole site.
#[derive(Debug, Clone)]
pub struct SiteFacts {
    /// Name of the file without its ending, or what the file calls the site.
    pub name: String,
    /// Where it is.
    pub place: Place,
    /// What is wanted.
    pub goal: Goal,
    /// What energy costs.
    pub prices: Option<Prices>,
    /// Supply and line of the gas, where they are described.
    pub fuel: Option<FuelFacts>,
    /// The electric supply.
    pub power: Option<PowerFacts>,
    /// The yard, for the sound of the fans.
    pub yard: Option<YardFacts>,
    /// The bins as one farm, where the file says more of it than its bins.
    pub farm: Option<FarmFacts>,
    /// What makes an offer of a proposal.
    pub quote: Option<QuoteFacts>,
    /// The bins, in the order of the file.
    pub bins: Vec<BinFacts>,
}

/// Where the site is and which weather stands for it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Place {
    /// Elevation of the site, m; where a pressure is said, the one at which the standard atmosphere has it.
    pub elevation: f64,
    /// Mean barometric pressure, Pa, where it is said in place of the elevation.
    pub pressure: Option<f64>,
    /// Standard time less UTC, s.
    pub utc_offset: i32,
    /// IANA zone for wall-clock time, where clocks change.
    pub time_zone: Option<String>,
    /// Name of the weather record.
    pub weather: String,
    /// Added to the station's relative humidity (fraction), for a bin that stands damper or drier.
    pub humidity_offset: f64,
}

/// What is wanted of every bin.
#[derive(Debug, Clone, PartialEq)]
pub struct Goal {
    /// Mean moisture, fraction w.b.
    pub mean_moisture: f64,
    /// Allowed excess of the wettest tenth, fraction w.b.
    pub wettest_excess: f64,
    /// Day by which it is to be dry (the first such day after the first load).
    pub by: MonthDay,
    /// Storage life that may be used, fraction of all.
    pub life_allowed: f64,
    /// Wanted chance.
    pub chance: f64,
    /// Share of the hours between first load and `by` whose heat a burner must meet: the design hour.
    pub design_hour: f64,
    /// What happens when winter comes first.
    pub carry_over: CarryOver,
    /// Day until which the grain is held (the first such day after `by`).
    pub hold_until: MonthDay,
    /// Mean temperature to which dry grain is cooled, °C.
    pub cool_to: f64,
    /// What is done with a year that failed; `None` when nobody says.
    pub remedy: Option<Remedy>,
}

/// Prices, per SI unit.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Prices {
    /// ISO 4217 code.
    pub currency: String,
    /// Electricity outside all slots, per J.
    pub electricity: f64,
    /// Tariff slots with other prices: (first hour, hour after the last, price per J), wall-clock hours 0 to 24.
    pub slots: Vec<(u8, u8, f64)>,
    /// Fuel, per kg.
    pub fuel: Option<f64>,
    /// What else costs.
    pub costs: Costs,
}

/// How the bin was filled, which decides how uneven its air is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Filling {
    /// From the spout, fines in the middle, not cored.
    Spout,
    /// Levelled, the core of fines left in.
    Levelled,
    /// Cored, the peak left on.
    Cored,
    /// Levelled and cored.
    LevelledAndCored,
    /// Said to be even: one column.
    Uniform,
}

/// One bin.
#[derive(Debug, Clone)]
pub struct BinFacts {
    /// Key in the file.
    pub name: String,
    /// Inner diameter, m.
    pub diameter: f64,
    /// Height of the wall above the floor, m.
    pub eave: f64,
    /// Where the air enters the grain.
    pub floor: FloorFacts,
    /// Open fraction of the perforated floor, or of the wall of its ducts.
    pub floor_opening: f64,
    /// Share of the holes plugged by fines.
    pub floor_plugged: f64,
    /// Height of the plenum under the floor, m, where it is said.
    pub plenum: Option<f64>,
    /// What stands between open air and plenum, by its geometry; empty where [`Self::transition`] or nothing says it.
    pub way: WayFacts,
    /// The roof.
    pub roof: RoofFacts,
    /// Gaps through which air escapes before the grain, m²; `None` where [`Self::leakage`] says it.
    pub gaps: Option<f64>,
    /// Roof vents: free area, m²; `None` for an open top.
    pub vent_area: Option<f64>,
    /// Loss coefficient of transition and duct on the velocity pressure at `transition_area`, and that area (m²).
    pub transition: Option<(f64, f64)>,
    /// Fraction of the fan's air that escapes before the grain.
    pub leakage: f64,
    /// How it was filled.
    pub filling: Filling,
    /// Packing as a factor on the resistance of loose grain; `None` for the crop's customary factor.
    pub packing: Option<f64>,
    /// Mass fraction of fines.
    pub fines: f64,
    /// Whether heat moves in rings while the air is still; otherwise through one node of the wall.
    pub rings: bool,
    /// The lots, in order of arrival.
    pub lots: Vec<LotFacts>,
    /// Filled in layers: each lot comes when what lies below it is dry enough.
    pub layers: Option<LayersFacts>,
    /// Whether air hotter than the evidence is wanted over a crop without a published drying law: then there is a range, no verdict.
    pub range_wanted: bool,
    /// What it is used for beside drying where the grain lies.
    pub process: ProcessFacts,
    /// What moves and warms the air.
    pub outfit: OutfitFacts,
    /// What may be chosen in its place; `None` when nobody says.
    pub choose: Option<ChooseFacts>,
}

/// Filling in layers.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LayersFacts {
    /// Reading of the wettest tenth at which the next lot may come, fraction w.b.; `None` for what the goal allows it.
    pub dry_enough: Option<f64>,
}

/// How much of a lot there is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Amount {
    /// Kilograms as filled (wet).
    WetMass(f64),
    /// Legal bushels by weight of wet grain as it crosses the scale.
    Bushels(f64),
    /// Depth in the bin, m.
    Depth(f64),
}

/// How date, moisture and temperature of a lot go with the years.
#[derive(Debug, Clone, PartialEq)]
pub enum Harvest {
    /// Alike in every year.
    Same,
    /// By a table.
    ByYear {
        /// Its rows, years rising.
        rows: Vec<LotYear>,
        /// Whether a year without a row has the lot as it stands; such years are left out otherwise.
        others: bool,
    },
    /// By the weather of the year in the field.
    Field {
        /// Day on which the field has the moisture.
        on: MonthDay,
        /// Moisture in the field on that day, fraction w.b.
        moisture: f64,
        /// What ends the waiting.
        until: FieldEnd,
    },
}

/// What ends the waiting for a field to dry.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FieldEnd {
    /// The first day of filling, whatever the moisture.
    Day,
    /// A moisture (fraction w.b.), or at the latest the first day of filling.
    Moisture(f64),
}

/// What a lot was in one year; what is not said is as in the lot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LotYear {
    /// Calendar year of the first load.
    pub year: i32,
    /// First day of filling.
    pub from: Option<MonthDay>,
    /// Mean moisture, fraction w.b.
    pub moisture: Option<f64>,
    /// Temperature as filled, °C.
    pub temperature: Option<f64>,
}

/// One lot.
#[derive(Debug, Clone, PartialEq)]
pub struct LotFacts {
    /// Name of the crop as the file says it.
    pub crop: String,
    /// Equilibrium set; `None` for the crop's default.
    pub relation: Option<String>,
    /// How much.
    pub amount: Amount,
    /// Mean moisture, fraction w.b.; where only the table by year says it, its mean; where the field says it, that of the
    /// field on its day.
    pub moisture: f64,
    /// Standard deviation between loads, fraction w.b.; `None` for 10 % of the mean.
    pub moisture_sd: Option<f64>,
    /// Temperature as filled, °C; `None` for the air at harvest and a little more.
    pub temperature: Option<f64>,
    /// First day of filling; where only the table by year says it, the middle one; where the field says it, the latest.
    pub from: MonthDay,
    /// Whether the lot is the same every year.
    pub harvest: Harvest,
    /// Days of filling.
    pub days: u32,
    /// Loads a day.
    pub loads_per_day: u32,
    /// Storage life used on arrival.
    pub life_used: f64,
    /// Mechanically damaged kernels, mass fraction.
    pub damage: f64,
    /// Measured test weight: kg/m³ at a moisture (w.b.).
    pub test_weight: Option<(f64, f64)>,
}

/// What moves and warms the air.
#[derive(Debug, Clone)]
pub struct OutfitFacts {
    /// Fans, first to last.
    pub fans: Vec<Fan>,
    /// How they stand.
    pub arrangement: Arrangement,
    /// Whether they draw air down through the grain.
    pub suction: bool,
    /// Burner, where there is one; several equal ones as one of the capacity of all.
    pub burner: Option<Burner>,
    /// How many burners that is, and how they switch.
    pub firing: FiringFacts,
    /// Control of fans and burner.
    pub control: Control,
    /// What ± of its sensors means; `None` for sensors without error.
    pub sensors: Option<Band>,
    /// When drying is stopped.
    pub stop: StopRule,
    /// Stirring machine, where there is one.
    pub stirring: Option<Stirring>,
    /// Dry grain drawn from the floor, where it is done.
    pub counterflow: Option<Counterflow>,
}

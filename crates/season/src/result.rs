//! What a season leaves behind.

mod step;

use crate::operations::{Process, StopRule};
use crate::spec::TARIFF_SLOTS;
pub use equipment::Phase;
use notice::Remarks;
pub use step::{Step, StepKind};

/// One day, at its wall-clock midnight.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Daily {
    /// Hour since 1970-01-01T00:00Z at which the day ends.
    pub hour: i64,
    /// Mean moisture of all grain, d.b.
    pub mean_moisture: f64,
    /// Mean of the wettest tenth, d.b. (worst column).
    pub wettest: f64,
    /// Mean of the driest tenth, d.b.
    pub driest: f64,
    /// Mean grain temperature, °C.
    pub mean_temperature: f64,
    /// Coldest layer, °C.
    pub coldest: f64,
    /// Warmest layer, °C.
    pub warmest: f64,
    /// Storage life used by the worst tenth of the worst column, published reading.
    pub life_published: f64,
    /// The same, strict reading.
    pub life_strict: f64,
    /// Fan hours of the day.
    pub fan_hours: f64,
    /// Metered electricity of the fans in the day, J.
    pub fan_energy: f64,
    /// Heat of the burner to the air in the day, J.
    pub burner_energy: f64,
    /// Mean outside temperature of the day, °C.
    pub ambient_temperature: f64,
    /// What the bin is doing.
    pub phase: Phase,
}

/// One control tick.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hourly {
    /// Seconds since 1970-01-01T00:00Z at its start.
    pub second: i64,
    /// Outside air, °C.
    pub ambient_temperature: f64,
    /// Outside air, relative humidity.
    pub ambient_humidity: f64,
    /// Air entering the grain, °C.
    pub plenum_temperature: f64,
    /// Air entering the grain, relative humidity.
    pub plenum_humidity: f64,
    /// Air leaving the grain (area mean of columns), °C.
    pub exhaust_temperature: f64,
    /// Fans running.
    pub fans: usize,
    /// Dry air through the grain, kg/s.
    pub dry_air_flow: f64,
    /// Pressure of the plenum, Pa.
    pub plenum_pressure: f64,
    /// Mean rise by the burner, K.
    pub burner_rise: f64,
    /// Mean moisture of all grain, d.b.
    pub mean_moisture: f64,
    /// Mean grain temperature, °C.
    pub mean_temperature: f64,
}

/// Layers of one column on one day; empty slots hold NaN.
#[derive(Debug, Clone, PartialEq)]
pub struct Profile {
    /// Hour since 1970-01-01T00:00Z.
    pub hour: i64,
    /// Depth of the column at that time, m.
    pub depth: f64,
    /// Moisture d.b. from the floor up.
    pub moisture: Vec<f64>,
    /// Temperature, °C.
    pub temperature: Vec<f64>,
    /// Storage life used, strict reading.
    pub life: Vec<f64>,
}

/// One column at the end.
#[derive(Debug, Clone, PartialEq)]
pub struct ColumnResult {
    /// Share of the floor area.
    pub area: f64,
    /// Air flux over the mean flux.
    pub air: f64,
    /// Hour at which the column's own 24 h mean reached the target.
    pub finished_at: Option<i64>,
    /// Mean moisture at the end, d.b.
    pub mean_moisture: f64,
    /// Wettest tenth at the end, d.b.
    pub wettest: f64,
    /// Driest tenth at the end, d.b.
    pub driest: f64,
    /// Storage life used by the worst tenth of the worst column, published reading.
    pub life_published: f64,
    /// The same, strict reading.
    pub life_strict: f64,
    /// Balance residual of water.
    pub water_residual: f64,
    /// Balance residual of energy.
    pub energy_residual: f64,
    /// Layers day by day, when asked for.
    pub profiles: Vec<Profile>,
}

/// Hours of the fans by what came of them.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct AirHours {
    /// All hours with fans commanded on.
    pub running: f64,
    /// Left of the peak: stall.
    pub unstable: f64,
    /// Below the first point of the curve.
    pub held: f64,
    /// Beyond the curve: no airflow to rely on.
    pub beyond: f64,
    /// Some motor above rating times service factor.
    pub overload: f64,
    /// Face velocity outside the evidence of the grain law.
    pub outside_resistance: f64,
    /// Air entering the grain moister than the highest humidity for which equilibrium is asked.
    pub above_humidity_cap: f64,
}

/// Hours in which steel as cold as the air outside would be wetted, by dew points alone.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Condensation {
    /// Under the roof, by the air that leaves the grain, fans running.
    pub roof: f64,
    /// Of these, below freezing: ice under the roof and in its vents.
    pub ice: f64,
    /// At the wall, by the air between the grain, fans at rest.
    pub wall: f64,
}

/// Grain that was drawn from the floor.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawn {
    /// Where it went.
    pub to: String,
    /// Dry matter, kg.
    pub dry_matter: f64,
    /// Draws.
    pub draws: u32,
    /// Mean moisture as it left, d.b.
    pub mean_moisture: f64,
    /// Standard deviation of its moisture between draws and columns, d.b.
    pub deviation: f64,
    /// Wettest draw of a column, d.b.
    pub wettest: f64,
    /// Driest draw of a column, d.b.
    pub driest: f64,
    /// Mean temperature as it left, °C: warm grain has to be cooled where it goes.
    pub mean_temperature: f64,
    /// Hour of the first draw.
    pub first_at: i64,
    /// Hour of the last draw.
    pub last_at: i64,
}

/// What happened while heat moved in rings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rings {
    /// Hours without air over which it did.
    pub hours: f64,
    /// Coldest ring of a layer, °C.
    pub coldest: f64,
    /// Warmest ring of a layer, °C.
    pub warmest: f64,
    /// Headspace less the air outside, mean over those hours, K.
    pub headspace_rise: f64,
}

/// How far above the goal, in fraction w.b., grain may be that a probe or the exhaust said was dry: 0.3 of a point
/// (judgement; a meter's own deviation at 15.5 % is 0.39).
pub const STOP_TOLERANCE: f64 = 0.003;

/// A season, finished or cut at its horizon.
#[derive(Debug, Clone, PartialEq)]
pub struct SeasonResult {
    /// What the bin was used for.
    pub process: Process,
    /// Steps of the process, in order; empty for plain drying.
    pub steps: Vec<Step>,
    /// Hour of the first load.
    pub started_at: i64,
    /// Hour of the last load.
    pub filled_at: i64,
    /// Hour at which the 24 h mean of the mean moisture first reached the target.
    pub finished_at: Option<i64>,
    /// Hour at which drying was stopped; by the ideal rule, when the wettest tenth was within its excess too.
    pub stopped_at: Option<i64>,
    /// By which rule it is stopped.
    pub stop_rule: StopRule,
    /// Hour at which the ideal rule would have stopped drying; `None` when another rule stopped it earlier, or nothing did.
    pub ideal_stop_at: Option<i64>,
    /// Whether the grain was dry when drying was stopped: always by the ideal rule; by another, when the mean lay above the
    /// target, and the wettest tenth above its excess, by no more than [`STOP_TOLERANCE`].
    pub dry_at_stop: bool,
    /// Mean of the readings that stopped drying, d.b.; `None` where no probe did.
    pub read_at_stop: Option<f64>,
    /// Dry matter that never came into the bin because the layer below was not dry enough in time, kg.
    pub refused: f64,
    /// Hours that loads waited for the layer below.
    pub waited_hours: f64,
    /// Rounds of the stirring machine.
    pub stirring_rounds: u32,
    /// Metered electricity of the stirring machine, J.
    pub stirring_energy: f64,
    /// Hour at which the grain was as cold as wanted after drying was done or given up.
    pub cooled_at: Option<i64>,
    /// Hour at which winter suspended drying, if it did.
    pub suspended_at: Option<i64>,
    /// Hour at which the strict storage life passed what is allowed, to the day.
    pub spent_at: Option<i64>,
    /// Hour of the end.
    pub ended_at: i64,
    /// Mean moisture at the end, d.b.
    pub mean_moisture: f64,
    /// Mean moisture when drying stopped, d.b. (at the end when it did not).
    pub moisture_at_stop: f64,
    /// Wettest tenth when drying stopped, d.b.
    pub wettest_at_stop: f64,
    /// Driest tenth when drying stopped, d.b.
    pub driest_at_stop: f64,
    /// Storage life used at the end by the worst tenth of the worst column, published; `None` when the crop has no relation.
    pub life_published: Option<f64>,
    /// The same, strict; `None` when the crop has no relation.
    pub life_strict: Option<f64>,
    /// Dry matter lost by the published law, mean fraction; `None` without a law.
    pub dry_matter_loss: Option<f64>,
    /// Dry matter that came into the bin, kg.
    pub dry_matter: f64,
    /// Grain drawn from the floor; `None` when none was. Moistures and storage life of a season count it with what stayed, as
    /// it was when it left.
    pub drawn: Option<Drawn>,
    /// Water given to the air, kg.
    pub water_removed: f64,
    /// Fan hours by outcome.
    pub air: AirHours,
    /// Fan hours until drying stopped.
    pub drying_fan_hours: f64,
    /// Metered electricity of the fans, J.
    pub fan_energy: f64,
    /// The same by tariff slot (electric heat and stirring included), J.
    pub energy_by_slot: [f64; TARIFF_SLOTS],
    /// Highest electric power by month, W.
    pub monthly_peak: [f64; 12],
    /// Heat of the burner to the air, J.
    pub burner_energy: f64,
    /// Metered electricity for heat, J.
    pub heater_electricity: f64,
    /// Fuel burnt, kg.
    pub fuel: f64,
    /// Hours the burner did not meet what was asked.
    pub burner_short_hours: f64,
    /// Largest balance residual of all columns: water, energy.
    pub residual: (f64, f64),
    /// Lowest and highest grain temperature met, °C.
    pub temperature_range: (f64, f64),
    /// What happened while heat moved in rings; `None` where it did not.
    pub rings: Option<Rings>,
    /// Lowest and highest moisture met, d.b.
    pub moisture_range: (f64, f64),
    /// Hours in which hotter air entered the grain than its use allows.
    pub too_hot_hours: f64,
    /// Heat of the burner to the air between the mean coming to the target and the end of drying, J.
    pub heat_after_target: f64,
    /// Fuel burnt then, kg.
    pub fuel_after_target: f64,
    /// Moisture on surfaces.
    pub condensation: Condensation,
    /// Wettest tenth when the last load was in and the wettest it was afterwards until drying stopped, d.b.
    pub wettest_met: (f64, f64),
    /// Lowest and highest temperature of the air that entered the grain, °C; the first above the second when none did.
    pub inlet_temperature: (f64, f64),
    /// Lowest and highest relative humidity of the air between the layers while it moved.
    pub humidity_range: (f64, f64),
    /// Columns from slowest to fastest air.
    pub columns: Vec<ColumnResult>,
    /// Day by day, when asked for.
    pub daily: Vec<Daily>,
    /// Tick by tick, when asked for.
    pub hourly: Vec<Hourly>,
    /// Results outside their evidence.
    pub remarks: Remarks,
}

impl SeasonResult {
    /// Metered electricity of fans, electric heat and stirring, J.
    pub fn electricity(&self) -> f64 {
        self.fan_energy + self.heater_electricity + self.stirring_energy
    }

    /// Heat of the burner and metered electricity for each kg of water that left the grain, J/kg; `None` where none left.
    pub fn energy_per_water(&self) -> Option<f64> {
        (self.water_removed > 0.0).then(|| (self.burner_energy + self.electricity()) / self.water_removed)
    }

    /// Dry matter of all batches over the time from the first load of the first to the last empty bin, kg/s; `None` where no
    /// batch was finished.
    pub fn throughput(&self) -> Option<f64> {
        let batches = || self.steps.iter().filter(|step| step.kind == StepKind::Batch);
        let (first, last) = (batches().next()?, batches().next_back()?);
        let seconds = (last.ended_at - first.began_at) as f64;
        (seconds > 0.0).then(|| batches().map(|step| step.dry_matter).sum::<f64>() / seconds)
    }

    /// A season that has just begun: nothing counted yet.
    pub(crate) fn begun(first: i64, last: i64) -> Self {
        Self {
            process: Process::Drying,
            steps: Vec::new(),
            started_at: first,
            filled_at: last,
            finished_at: None,
            stopped_at: None,
            stop_rule: StopRule::Ideal,
            ideal_stop_at: None,
            dry_at_stop: false,
            read_at_stop: None,
            refused: 0.0,
            waited_hours: 0.0,
            stirring_rounds: 0,
            stirring_energy: 0.0,
            cooled_at: None,
            suspended_at: None,
            spent_at: None,
            ended_at: first,
            mean_moisture: 0.0,
            moisture_at_stop: 0.0,
            wettest_at_stop: 0.0,
            driest_at_stop: 0.0,
            life_published: None,
            life_strict: None,
            dry_matter_loss: None,
            dry_matter: 0.0,
            drawn: None,
            water_removed: 0.0,
            air: AirHours::default(),
            drying_fan_hours: 0.0,
            fan_energy: 0.0,
            energy_by_slot: [0.0; TARIFF_SLOTS],
            monthly_peak: [0.0; 12],
            burner_energy: 0.0,
            heater_electricity: 0.0,
            fuel: 0.0,
            burner_short_hours: 0.0,
            residual: (0.0, 0.0),
            temperature_range: (f64::INFINITY, f64::NEG_INFINITY),
            rings: None,
            moisture_range: (f64::INFINITY, f64::NEG_INFINITY),
            too_hot_hours: 0.0,
            heat_after_target: 0.0,
            fuel_after_target: 0.0,
            condensation: Condensation::default(),
            wettest_met: (0.0, 0.0),
            inlet_temperature: (f64::INFINITY, f64::NEG_INFINITY),
            humidity_range: (f64::INFINITY, f64::NEG_INFINITY),
            columns: Vec::new(),
            daily: Vec::new(),
            hourly: Vec::new(),
            remarks: Remarks::default(),
        }
    }
}

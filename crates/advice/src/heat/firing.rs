//! Ways of firing the same heat: on-off, high-low, modulating, each with its duty, swing and peak at one plenum.

use super::duty::{Duty, Hour};
use equipment::firing::{Cycle, Switching, ThermalMass, of_burner};
use equipment::{Burner, Firing};
use job::BinJob;
use notice::{Kind, Phrase, Quantity, Remark, Remarks};

/// Steel between flame and thermostat for each m² of floor, kg: floor sheet, its supports, transition (judgement).
pub const STEEL_PER_FLOOR: f64 = 15.0;
/// Specific heat of steel, J/(kg K) (memory).
const STEEL_SPECIFIC_HEAT: f64 = 480.0;
/// Low fire of a burner that has none of its own, for the comparison (judgement: a turndown of 4).
pub const LOW_FIRE: f64 = 0.25;

/// Which hour a row stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Load {
    /// The design hour.
    Design,
    /// The hour whose heat is the mean.
    Usual,
}

/// One way of firing in one hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Row {
    /// Way of firing.
    pub firing: Firing,
    /// Whether it is the burner's own.
    pub own: bool,
    /// Which hour.
    pub load: Load,
    /// Temperature before the burner and after the fan, °C: the rises count from here.
    pub unheated: f64,
    /// Rise wanted, K.
    pub wanted: f64,
    /// Rise at full fire, K.
    pub full: f64,
    /// Rise at low fire, K; that at full fire for on-off.
    pub low: f64,
    /// The cycle.
    pub cycle: Cycle,
}

impl Row {
    /// Highest temperature of the air to the grain, °C.
    pub fn peak_temperature(&self) -> f64 {
        self.unheated + self.cycle.peak
    }
}

/// All ways of firing.
#[derive(Debug, Clone, PartialEq)]
pub struct Compared {
    /// Steel between flame and thermostat, kg.
    pub steel: f64,
    /// Dead band, K.
    pub dead_band: f64,
    /// From the call for heat until it burns, s.
    pub ignition: f64,
    /// Low fire taken, share of full.
    pub low_fire: f64,
    /// Rows: three ways for each of the two hours.
    pub rows: Vec<Row>,
}

/// Compares the ways of firing of a bin's burner.
pub fn compare(bin: &BinJob, duty: &Duty, remarks: &mut Remarks) -> Option<Compared> {
    let burner = bin.template.burner.as_ref()?;
    let low_fire = if burner.minimum_fire < 1.0 { burner.minimum_fire } else { LOW_FIRE };
    let firing = &bin.firing;
    let steel = firing.steel.unwrap_or(STEEL_PER_FLOOR * bin.survey.floor_area);
    let (dead_band, ignition) = (firing.dead_band, firing.ignition);
    let setting = Setting { steel, dead_band, ignition, low_fire };
    let mut rows = Vec::new();
    for (load, hour) in [(Load::Design, &duty.design.hour), (Load::Usual, &duty.usual)] {
        for firing in [Firing::OnOff, Firing::HighLow, Firing::Modulating] {
            rows.push(setting.row(burner, load, hour, firing));
        }
    }
    remark(burner, &rows, remarks);
    Some(Compared { steel, dead_band, ignition, low_fire, rows })
}

struct Setting {
    steel: f64,
    dead_band: f64,
    ignition: f64,
    low_fire: f64,
}

impl Setting {
    fn row(&self, burner: &Burner, load: Load, hour: &Hour, firing: Firing) -> Row {
        let conductance = hour.per_kelvin();
        let full = burner.capacity / conductance;
        let mass = ThermalMass { heat_capacity: self.steel * STEEL_SPECIFIC_HEAT, conductance };
        let switching =
            Switching { wanted: hour.rise, dead_band: self.dead_band, delay_down: 0.0, delay_up: self.ignition };
        Row {
            firing,
            own: firing == burner.firing,
            load,
            unheated: hour.temperature + hour.fan_heat,
            wanted: hour.rise,
            full,
            low: if firing == Firing::OnOff { full } else { self.low_fire * full },
            cycle: of_burner(firing, full, self.low_fire, mass, switching),
        }
    }
}

fn remark(burner: &Burner, rows: &[Row], remarks: &mut Remarks) {
    let temperature = |v: f64| Quantity::new(v, Kind::Temperature);
    let hottest = rows.iter().filter(|r| r.own).map(Row::peak_temperature).fold(f64::NEG_INFINITY, f64::max);
    if let Some(limit) = burner.temperature_limit.filter(|limit| hottest > *limit) {
        remarks.add(Remark::new(
            "peak-above-limit",
            Phrase::new(
                "the plenum peaks at {peak} each time it fires, above its limit of {limit}: the high limit trips",
            )
            .with("peak", temperature(hottest))
            .with("limit", temperature(limit)),
        ));
    }
}

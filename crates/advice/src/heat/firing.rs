//! Ways of firing the same heat: on-off, high-low, modulating, each with its duty, swing and peak at one plenum.

use super::duty::{Duty, Hour};
use equipment::firing::{Cycle, Shared, Sharing, Switching, ThermalMass, of_burner, shared};
use equipment::{Burner, BurnerCommand, BurnerRule, Firing};
use job::BinJob;
use notice::{Kind, Phrase, Quantity, Remark, Remarks};

/// Steel between flame and thermostat for each m² of floor, kg: floor sheet, its supports, transition (judgement).
pub const STEEL_PER_FLOOR: f64 = 15.0;
/// Specific heat of steel, J/(kg K) (memory).
pub const STEEL_SPECIFIC_HEAT: f64 = 480.0;
/// Low fire of a burner that has none of its own, for the comparison (judgement: a turndown of 4).
pub const LOW_FIRE: f64 = 0.25;

/// Swing of the plenum that is worth a word, K (judgement).
const WIDE_SWING: f64 = 5.0;
/// Share of full fire below which even the design hour leaves a burner too large (judgement).
const OVERSIZED: f64 = 0.4;
/// Starts of the fire in an hour that are worth a word (judgement: one in five minutes).
const MANY_STARTS: f64 = 12.0;
/// Narrowest dead band, K: what no sensor resolves.
const LEAST_BAND: f64 = 0.05;

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

/// Several burners sharing the load of one hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SharedRow {
    /// How they share it.
    pub sharing: Sharing,
    /// Whether that is how they do.
    pub own: bool,
    /// Which hour.
    pub load: Load,
    /// Temperature with no fire, °C.
    pub unheated: f64,
    /// What it does to the air.
    pub shared: Shared,
}

/// All ways of firing.
#[derive(Debug, Clone, PartialEq)]
pub struct Compared {
    /// Steel between flame and thermostat, kg.
    pub steel: f64,
    /// Dead band, K of the air; of a humidistat at the usual hour.
    pub dead_band: f64,
    /// From the call for heat until it burns, s.
    pub ignition: f64,
    /// Low fire taken, share of full.
    pub low_fire: f64,
    /// Rows: three ways for each of the two hours.
    pub rows: Vec<Row>,
    /// How many burners.
    pub burners: usize,
    /// Ways of sharing; empty for one burner.
    pub shared: Vec<SharedRow>,
}

/// Compares the ways of firing of a bin's burner.
pub fn compare(bin: &BinJob, duty: &Duty, remarks: &mut Remarks) -> Option<Compared> {
    let burner = bin.template.burner.as_ref()?;
    let low_fire = if burner.minimum_fire < 1.0 { burner.minimum_fire } else { LOW_FIRE };
    let firing = &bin.firing;
    let steel = firing.steel.unwrap_or(STEEL_PER_FLOOR * bin.survey.floor_area);
    let loads = [(Load::Design, &duty.design.hour), (Load::Usual, &duty.usual)];
    let mut rows = Vec::new();
    let mut shared_rows = Vec::new();
    let mut dead_band = firing.dead_band;
    for (load, hour) in loads {
        dead_band = band(bin, burner, hour);
        let setting = Setting { steel, dead_band, ignition: firing.ignition, low_fire };
        for way in [Firing::OnOff, Firing::HighLow, Firing::Modulating] {
            rows.push(setting.row(burner, load, hour, way));
        }
        if firing.burners > 1 {
            let full = burner.capacity / hour.per_kelvin();
            for sharing in [Sharing::InStep, Sharing::InSequence, Sharing::OnTheirOwn] {
                shared_rows.push(SharedRow {
                    sharing,
                    own: sharing == firing.sharing,
                    load,
                    unheated: hour.temperature + hour.fan_heat,
                    shared: shared(sharing, firing.burners, full, hour.rise),
                });
            }
        }
    }
    remark(burner, &rows, remarks);
    remark_shared(&shared_rows, remarks);
    Some(Compared {
        steel,
        dead_band,
        ignition: firing.ignition,
        low_fire,
        rows,
        burners: firing.burners,
        shared: shared_rows,
    })
}

/// The dead band in K of the air: that of the thermostat, or as much rise as moves the humidity over that of the humidistat.
fn band(bin: &BinJob, burner: &Burner, hour: &Hour) -> f64 {
    let (BurnerRule::Humidistat(set) | BurnerRule::HumidistatWithin { humidity: set, .. }) =
        bin.template.control.burner
    else {
        return bin.firing.dead_band;
    };
    let half = 0.5 * bin.firing.humidity_band;
    let rise = |humidity: f64| {
        let command = BurnerCommand::PlenumHumidity(humidity.clamp(0.01, 1.0));
        burner.needed_rise(command, hour.before(burner.side), hour.humidity_ratio, hour.pressure)
    };
    (rise(set - half) - rise(set + half)).max(LEAST_BAND)
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
    let difference = |v: f64| Quantity::new(v, Kind::TemperatureDifference);
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
    let usual = |way: Firing| rows.iter().find(|r| r.load == Load::Usual && r.firing == way);
    if let (Some(own), Some(steady)) = (usual(burner.firing).filter(|r| r.own), usual(Firing::Modulating))
        && own.cycle.swing() > WIDE_SWING
        && steady.cycle.swing() < 0.5 * own.cycle.swing()
    {
        remarks.add(Remark::new(
            "wide-swing",
            Phrase::new(
                "{way} fire swings the plenum by {swing} in the usual hour, up to {peak}: set limits of the grain on that peak; a \
                 modulating burner with this low fire would swing by {other}",
            )
            .text("way", way_of(burner.firing))
            .with("swing", difference(own.cycle.swing()))
            .with("peak", temperature(own.peak_temperature()))
            .with("other", difference(steady.cycle.swing())),
        ));
    }
    let busiest = rows.iter().filter(|r| r.own).map(|r| r.cycle.starts_per_hour()).fold(0.0, f64::max);
    if busiest > MANY_STARTS {
        remarks.add(Remark::new(
            "many-starts",
            Phrase::new(
                "{way} fire would start {starts} times an hour with this dead band: gas valve, igniter and safeguard wear out, and the \
                 purge before each start eats the time to fire; a wider dead band, less fire or a modulating burner",
            )
            .text("way", way_of(burner.firing))
            .text("starts", format!("{busiest:.0}")),
        ));
    }
    let design = rows.iter().find(|r| r.load == Load::Design && r.own);
    if let Some(row) = design.filter(|r| r.wanted < OVERSIZED * r.full) {
        remarks.add(Remark::new(
            "burner-large",
            Phrase::new("even the design hour takes {share} of full fire: the burner cycles or runs low all season")
                .with("share", Quantity::new(row.wanted / row.full, Kind::Fraction)),
        ));
    }
}

/// Words for a way of firing in a sentence.
fn way_of(firing: Firing) -> &'static str {
    match firing {
        Firing::OnOff => "on-off",
        Firing::HighLow => "high-low",
        Firing::Modulating => "modulating",
    }
}

fn remark_shared(rows: &[SharedRow], remarks: &mut Remarks) {
    let Some(own) = rows.iter().find(|r| r.own && r.load == Load::Usual) else { return };
    if own.shared.apart <= 0.0 {
        return;
    }
    remarks.add(Remark::new(
        "burners-apart",
        Phrase::new(
            "burners out of step: two inlets stand up to {apart} apart in {share} of the usual hour, and grain over the fired one dries \
             at its own temperature; the season counts them in step",
        )
        .with("apart", Quantity::new(own.shared.apart, Kind::TemperatureDifference))
        .with("share", Quantity::new(own.shared.uneven, Kind::Fraction)),
    ));
}

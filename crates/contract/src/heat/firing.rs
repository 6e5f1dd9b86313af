//! Ways of firing compared.

use advice::heat::firing::{Compared, Load, Row, SharedRow};
use equipment::Firing;
use equipment::firing::Sharing;
use serde::Serialize;

/// One way of firing in one hour.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct FiringRowJson {
    /// `on-off`, `high-low`, `modulating`.
    pub firing: &'static str,
    /// Whether it is the burner's own.
    pub own: bool,
    /// `design` or `usual`: which hour.
    pub load: &'static str,
    /// Air to the grain with no fire, °C.
    pub unheated_c: f64,
    /// Rise wanted, K.
    pub wanted_k: f64,
    /// Rise at full fire, K.
    pub full_k: f64,
    /// Rise at low fire, K.
    pub low_k: f64,
    /// Share of the time at the higher of the two rates it switches between; 1 when it burns on.
    pub duty: f64,
    /// Time at that rate, s; null when it never switches.
    pub up_s: Option<f64>,
    /// Time at the lower rate, s; null when it never switches.
    pub down_s: Option<f64>,
    /// Starts of the higher rate in an hour; 0 when it never switches.
    pub starts_per_hour: f64,
    /// Mean temperature to the grain, °C.
    pub mean_c: f64,
    /// Highest, °C.
    pub peak_c: f64,
    /// Lowest, °C.
    pub trough_c: f64,
    /// Between them, K.
    pub swing_k: f64,
}

/// Several burners sharing the load of one hour, thermal mass left out.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct SharedRowJson {
    /// `in-step`, `in-sequence`, `on-their-own`.
    pub sharing: &'static str,
    /// Whether that is how they do.
    pub own: bool,
    /// `design` or `usual`: which hour.
    pub load: &'static str,
    /// Mean temperature of the mixed air, °C.
    pub mean_c: f64,
    /// Highest of the mixed air, °C.
    pub peak_c: f64,
    /// Lowest of the mixed air, °C.
    pub trough_c: f64,
    /// Most that two inlets are apart, K.
    pub apart_k: f64,
    /// Share of the time in which one inlet is fired and another is not.
    pub uneven: f64,
}

/// Ways of firing compared.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct FiringJson {
    /// Steel between flame and thermostat, kg.
    pub steel_kg: f64,
    /// Dead band of the thermostat, K.
    pub dead_band_k: f64,
    /// From the call for heat until it burns, s.
    pub ignition_s: f64,
    /// Low fire taken, share of full.
    pub low_fire: f64,
    /// Rows.
    pub rows: Vec<FiringRowJson>,
    /// How many burners.
    pub burners: usize,
    /// Ways of sharing; empty for one burner.
    pub shared: Vec<SharedRowJson>,
}

impl FiringJson {
    /// The comparison.
    pub fn of(compared: &Compared) -> Self {
        Self {
            steel_kg: compared.steel,
            dead_band_k: compared.dead_band,
            ignition_s: compared.ignition,
            low_fire: compared.low_fire,
            rows: compared.rows.iter().map(row).collect(),
            burners: compared.burners,
            shared: compared.shared.iter().map(shared_row).collect(),
        }
    }
}

fn row(r: &Row) -> FiringRowJson {
    let c = &r.cycle;
    let switches = c.up.is_finite() && c.down.is_finite() && c.up + c.down > 0.0;
    FiringRowJson {
        firing: firing_word(r.firing),
        own: r.own,
        load: load_word(r.load),
        unheated_c: r.unheated,
        wanted_k: r.wanted,
        full_k: r.full,
        low_k: r.low,
        duty: c.duty,
        up_s: switches.then_some(c.up),
        down_s: switches.then_some(c.down),
        starts_per_hour: if switches { c.starts_per_hour() } else { 0.0 },
        mean_c: r.unheated + c.mean,
        peak_c: r.unheated + c.peak,
        trough_c: r.unheated + c.trough,
        swing_k: c.swing(),
    }
}

fn shared_row(r: &SharedRow) -> SharedRowJson {
    SharedRowJson {
        sharing: sharing_word(r.sharing),
        own: r.own,
        load: load_word(r.load),
        mean_c: r.unheated + r.shared.mean,
        peak_c: r.unheated + r.shared.mixed_peak,
        trough_c: r.unheated + r.shared.mixed_trough,
        apart_k: r.shared.apart,
        uneven: r.shared.uneven,
    }
}

/// Word of an hour.
pub fn load_word(load: Load) -> &'static str {
    match load {
        Load::Design => "design",
        Load::Usual => "usual",
    }
}

/// Word of a way of sharing.
pub fn sharing_word(sharing: Sharing) -> &'static str {
    match sharing {
        Sharing::InStep => "in-step",
        Sharing::InSequence => "in-sequence",
        Sharing::OnTheirOwn => "on-their-own",
    }
}

/// Word of a way of firing.
pub fn firing_word(firing: Firing) -> &'static str {
    match firing {
        Firing::OnOff => "on-off",
        Firing::HighLow => "high-low",
        Firing::Modulating => "modulating",
    }
}

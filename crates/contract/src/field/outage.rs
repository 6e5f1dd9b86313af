//! `outage SITE --at TIME`: hours left without air.

use advice::outage::{Outage, Supply};
use job::{BinJob, clock};
use physics::grain::wet_basis;
use serde::Serialize;

/// What comes of one supply of air.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct CourseJson {
    /// `none`, `half-of-fans` (the openings of idle fans covered), `half-of-time` (both without burner) or `all` (the season as
    /// planned).
    pub supply: &'static str,
    /// Hours until some layer is 10 °F warmer by its own heat; null within the look ahead, under air, and where heating is not
    /// judged.
    pub hours_to_heating: Option<f64>,
    /// Hours until the storage life allowed is used (strict reading); null within the look ahead.
    pub hours_to_life_limit: Option<f64>,
    /// Storage life used by the layer furthest gone when the stretch ends.
    pub life_used_after: f64,
    /// Share of the grain that lies below that layer.
    pub deciding_height: f64,
    /// Mean moisture then.
    pub moisture_after_wb: f64,
    /// Warmest layer then, °C.
    pub warmest_after_c: f64,
    /// Hours looked ahead.
    pub hours_looked: usize,
}

/// One bin.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct BinOutageJson {
    /// Bin.
    pub bin: String,
    /// Calendar year of its season.
    pub year: i32,
    /// Instant of the stop.
    pub at: String,
    /// Hours after which `_after` holds.
    pub stretch_hours: usize,
    /// Grain in the bin, kg of dry matter.
    pub dry_matter_kg: f64,
    /// Its mean moisture.
    pub moisture_wb: f64,
    /// Its warmest layer, °C.
    pub warmest_c: f64,
    /// Storage life used by the layer furthest gone at the stop.
    pub life_used: f64,
    /// Storage life allowed.
    pub life_allowed: f64,
    /// Whether self-heating is foretold: for crops without a published law of respiration heat it is not.
    pub heating_judged: bool,
    /// Storage life the stretch without air costs the layer that decides beyond the same stretch with all of it, at least 0.
    pub life_cost: Option<f64>,
    /// Storage life that the stop spared that layer, where the weather then would have cost it more under air: luck, no reason to
    /// stop.
    pub life_spared: Option<f64>,
    /// Mean outdoor temperature over the stretch, °C.
    pub outdoor_c: f64,
    /// Supplies side by side.
    pub courses: Vec<CourseJson>,
}

/// All bins, the most urgent first.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct OutageJson {
    /// Bins.
    pub bins: Vec<BinOutageJson>,
    /// Bins that are empty then or cannot be judged.
    pub left_out: Vec<String>,
}

impl BinOutageJson {
    /// The document of a bin.
    pub fn of(bin: &BinJob, offset_s: i32, found: &Outage) -> Self {
        Self {
            bin: bin.name.clone(),
            year: found.year,
            at: clock::instant(found.at, offset_s),
            stretch_hours: found.stretch,
            dry_matter_kg: found.dry_matter,
            moisture_wb: wet_basis(found.moisture),
            warmest_c: found.warmest,
            life_used: found.courses.first().map_or(0.0, |c| c.life_before),
            life_allowed: found.allowed,
            heating_judged: found.heats,
            life_cost: found.cost(),
            life_spared: found.spared(),
            outdoor_c: found.outdoor,
            courses: found
                .courses
                .iter()
                .map(|c| CourseJson {
                    supply: supply_word(c.supply),
                    hours_to_heating: c.heating,
                    hours_to_life_limit: c.spent,
                    life_used_after: c.life_after,
                    deciding_height: c.deciding,
                    moisture_after_wb: wet_basis(c.moisture_after),
                    warmest_after_c: c.warmest_after,
                    hours_looked: c.looked,
                })
                .collect(),
        }
    }
}

/// Word of a supply.
pub fn supply_word(supply: Supply) -> &'static str {
    match supply {
        Supply::None => "none",
        Supply::HalfOfFans => "half-of-fans",
        Supply::HalfOfTime => "half-of-time",
        Supply::All => "all",
    }
}

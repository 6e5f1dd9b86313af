//! `column`: one even column of grain under given air.

use serde::Serialize;

/// The answer.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct Column {
    /// Crop after aliases.
    pub crop: String,
    /// Id of the equilibrium relation.
    pub relation: String,
    /// Id of the law of exchange, `equilibrium`, or the crop's kernel.
    pub kinetics: String,
    /// Depth as filled, m.
    pub depth_m: f64,
    /// Dry matter, kg/m³ as filled.
    pub dry_matter_density_kg_m3: f64,
    /// Dry-air flux at hour 0, kg/(s m²).
    pub dry_air_flux_kg_s_m2: f64,
    /// Layers.
    pub layers: usize,
    /// Longest step at hour 0, s.
    pub step_s: Option<f64>,
    /// One profile an hour asked for.
    pub profiles: Vec<Profile>,
    /// Whether it was stopped before the last hour: the profiles are those it reached.
    pub partial: bool,
    /// Residuals of the two balances.
    pub balance: Balance,
}

/// The column at one hour.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct Profile {
    /// Hour.
    pub hour: f64,
    /// Wet basis of the dry-matter-weighted mean dry basis.
    pub mean_moisture_wb: f64,
    /// Leaving air; null at hour 0.
    pub exhaust: Option<Exhaust>,
    /// The depths asked for.
    pub at: Vec<AtDepth>,
    /// Depth mid-way between the moisture behind the front and the plateau ahead, m; null without a front.
    pub front_depth_m: Option<f64>,
}

/// Leaving air.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, utoipa::ToSchema)]
pub struct Exhaust {
    /// Temperature, °C.
    pub temperature_c: f64,
    /// Humidity ratio, kg/kg.
    pub humidity_ratio: f64,
}

/// The column at one depth.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, utoipa::ToSchema)]
pub struct AtDepth {
    /// Depth from the air inlet, m.
    pub depth_m: f64,
    /// Moisture, fraction wet basis.
    pub moisture_wb: f64,
    /// Temperature, °C.
    pub temperature_c: f64,
    /// Storage life used by the strict reading, 1 = spent; null when the crop has no relation.
    pub storage_life_used: Option<f64>,
    /// Storage life used as published.
    pub storage_life_used_published: Option<f64>,
}

/// Relative residuals.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, utoipa::ToSchema)]
pub struct Balance {
    /// Of water.
    pub water: f64,
    /// Of energy.
    pub energy: f64,
}

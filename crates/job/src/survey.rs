//! What a bin holds: capacities in bushels and tonnes, dry matter, depths, said back.
//!
//! Bushels here are of two kinds and each figure says which: volume bushels (2,150.42 in³) of grain space, and legal
//! bushels by weight as grain crosses the scale.

use crate::facts::{Amount, BinFacts};
use crops::{Crop, MissingCapability, TestWeight};
use notice::quantity::BUSHEL_M3;

/// Height of the plenum in drawings, m: 18 in. under a full floor, a usual form. No result depends on it.
pub const DRAWN_PLENUM: f64 = 0.46;

/// Rise of the roof in drawings, m: a usual roof of 30°. No result depends on it.
pub fn drawn_roof(diameter: f64) -> f64 {
    0.5 * diameter * 0.577
}

/// One lot in the bin.
#[derive(Debug, Clone, PartialEq)]
pub struct LotSurvey {
    /// Crop id.
    pub crop: String,
    /// Moisture, fraction w.b.
    pub moisture: f64,
    /// Bulk density used, kg/m³ of moist grain.
    pub bulk_density: f64,
    /// Mass as filled, kg.
    pub wet_mass: f64,
    /// Dry matter, kg.
    pub dry_matter: f64,
    /// Volume as filled, m³.
    pub volume: f64,
    /// Legal bushels by weight as filled; `None` for crops without a legal bushel.
    pub bushels: Option<f64>,
    /// Legal bushels at the crop's base moisture after shrink; `None` likewise.
    pub base_bushels: Option<f64>,
    /// Depth of the bin after this lot, m (level).
    pub depth_after: f64,
}

/// One bin.
#[derive(Debug, Clone, PartialEq)]
pub struct Survey {
    /// Floor area, m².
    pub floor_area: f64,
    /// Volume level to the eave, m³.
    pub volume_to_eave: f64,
    /// Volume of the cone above the eave at the crop's filling angle, m³; `None` without an angle.
    pub cone_volume: Option<f64>,
    /// Eave height, m.
    pub eave: f64,
    /// Lots in order.
    pub lots: Vec<LotSurvey>,
}

impl Survey {
    /// Depth of all grain, m.
    pub fn depth(&self) -> f64 {
        self.lots.last().map_or(0.0, |l| l.depth_after)
    }

    /// Volume bushels level to the eave.
    pub fn capacity_bushels(&self) -> f64 {
        self.volume_to_eave / BUSHEL_M3
    }

    /// Mass as filled, kg.
    pub fn wet_mass(&self) -> f64 {
        self.lots.iter().map(|l| l.wet_mass).sum()
    }

    /// Mean moisture as filled, fraction w.b.
    pub fn moisture(&self) -> f64 {
        self.lots.iter().map(|l| l.moisture * l.wet_mass).sum::<f64>() / self.wet_mass()
    }

    /// Dry matter, kg.
    pub fn dry_matter(&self) -> f64 {
        self.lots.iter().map(|l| l.dry_matter).sum()
    }

    /// Volume of all grain as filled, m³.
    pub fn volume(&self) -> f64 {
        self.lots.iter().map(|l| l.volume).sum()
    }

    /// Legal bushels at base moisture after shrink, when every lot has them.
    pub fn base_bushels(&self) -> Option<f64> {
        self.lots.iter().map(|l| l.base_bushels).sum()
    }
}

/// Surveys a bin of one crop.
///
/// # Errors
/// When a crop has neither a density line nor a bushel weight.
pub fn survey(bin: &BinFacts, crop: &Crop) -> Result<Survey, MissingCapability> {
    let floor_area = std::f64::consts::PI * bin.diameter * bin.diameter / 4.0;
    let mut lots: Vec<LotSurvey> = Vec::new();
    let mut cone_volume = None;
    let mut depth = 0.0;
    for lot in &bin.lots {
        let sample = lot.test_weight.map(|(density, moisture_wb)| TestWeight { density, moisture_wb });
        let bulk_density = crop.bulk_density_scaled(lot.moisture, sample)?;
        let bushel = crop.bushel.as_ref();
        let wet_mass = match lot.amount {
            Amount::WetMass(kg) => kg,
            Amount::Bushels(n) => n * bushel.map_or(bulk_density * BUSHEL_M3, |b| b.mass),
            Amount::Depth(m) => m * floor_area * bulk_density,
        };
        let dry_matter = wet_mass * (1.0 - lot.moisture);
        let volume = wet_mass / bulk_density;
        depth += volume / floor_area;
        let base = bushel.and_then(|b| b.base_moisture_wb.map(|m| (b.mass, m)));
        lots.push(LotSurvey {
            crop: crop.id.clone(),
            moisture: lot.moisture,
            bulk_density,
            wet_mass,
            dry_matter,
            volume,
            bushels: bushel.map(|b| wet_mass / b.mass),
            base_bushels: base.map(|(mass, m)| dry_matter / (1.0 - m) / mass),
            depth_after: depth,
        });
        cone_volume = crop.repose_deg.as_ref().map(|a| physics::grain::cone_volume(bin.diameter, a.value));
    }
    Ok(Survey { floor_area, volume_to_eave: floor_area * bin.eave, cone_volume, eave: bin.eave, lots })
}

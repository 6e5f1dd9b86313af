//! The bins of a site as one farm, resolved: the loads of each year, and the bins with the weather they are simulated in.
//!
//! Which bin takes which load is decided while the seasons run, day by day; nothing of that is here.

use crate::facts::LoadOrder;
use season::{CaseSpec, Load};
use std::sync::Arc;

/// A load on its way from the field.
#[derive(Debug, Clone, PartialEq)]
pub struct FarmLoad {
    /// The load; its hour is that of the harvest as planned.
    pub load: Load,
    /// Crop id.
    pub crop: String,
}

impl FarmLoad {
    /// Mass as harvested, kg.
    pub fn wet_mass(&self) -> f64 {
        self.load.dry_matter * (1.0 + self.load.moisture)
    }
}

/// Filling in layers: what has to be in before each layer is complete.
#[derive(Debug, Clone, PartialEq)]
pub struct FarmLayers {
    /// Dry matter up to the end of each layer but the last, kg, rising.
    pub ends: Vec<f64>,
    /// Reading of the wettest tenth at which the next layer may come, d.b.
    pub dry_enough: f64,
}

/// A bin of the farm in a year.
#[derive(Debug, Clone)]
pub struct FarmBin {
    /// The case: its loads are the plan, by which its layers are cut and its room is known.
    pub case: Arc<CaseSpec>,
    /// Whether it takes loads of the farm. Bins that dry batches, cool a dryer's grain or treat dry grain keep their own lots.
    pub takes: bool,
    /// Filled in layers.
    pub layers: Option<FarmLayers>,
}

impl FarmBin {
    /// Dry matter of the plan: the room of the bin, kg.
    pub fn room(&self) -> f64 {
        self.case.loads.iter().map(|load| load.dry_matter).sum()
    }
}

/// A year of the farm.
#[derive(Debug, Clone)]
pub struct FarmYear {
    /// Loads in the order of their planned hours.
    pub loads: Vec<FarmLoad>,
    /// Bins in the order of the file.
    pub bins: Vec<FarmBin>,
}

/// The farm.
#[derive(Debug, Clone, Default)]
pub struct FarmJob {
    /// Which bin takes a load when several may.
    pub order: LoadOrder,
    /// A bin takes no load once its grain has used this much of its storage life.
    pub most_life_used: f64,
    /// Days that a load waits before it is sold wet.
    pub wait: i64,
    /// Whether the harvest is said apart from the lots of the bins.
    pub harvest_said: bool,
    /// Years in which all bins have their weather.
    pub years: Vec<(i32, FarmYear)>,
    /// Years left out, with reasons.
    pub left_out: Vec<(i32, String)>,
}

impl FarmJob {
    /// The farm of a year.
    pub fn year(&self, year: i32) -> Option<&FarmYear> {
        self.years.iter().find(|(y, _)| *y == year).map(|(_, farm)| farm)
    }
}

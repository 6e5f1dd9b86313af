//! Helpers that several tests of the bed share.
#![allow(dead_code)]

use bed::{Air, Block, ColumnParams, Direction, GroupParams, IsothermFamily, Respiration};
use numerics::WIDTH;
use physics::isotherm::IsothermForm;
use physics::sorption::SorptionHeat;

pub const CORN: IsothermForm = IsothermForm::ModifiedHenderson { a: 8.6541e-5, b: 1.8634, c: 49.810 };
pub const WHEAT: IsothermForm = IsothermForm::ModifiedChungPfost { a: 529.43, b: 0.17609, c: 50.998 };
pub const BARLEY: IsothermForm = IsothermForm::ModifiedHenderson { a: 2.2919e-5, b: 2.0123, c: 195.267 };

/// A column without sorption heat, shrink, respiration or hysteresis, as the reference beds are computed.
pub fn bare(isotherm: IsothermForm) -> ColumnParams {
    ColumnParams {
        isotherm,
        sorption: SorptionHeat::NONE,
        kinetics: None,
        adsorption_gap: 0.0,
        rewetting: 1.0,
        dry_specific_heat: 1300.0,
        water_specific_heat: 4187.0,
        humidity_cap: 0.9999,
        air_sees: ColumnParams::AIR_SEES,
        conductivity: 0.158,
        wall_conductance: 0.0,
        dry_density: 580.0,
    }
}

pub fn group(layers: usize, column: &ColumnParams) -> GroupParams {
    GroupParams {
        layers,
        family: IsothermFamily::of(&column.isotherm).0,
        direction: Direction::Up,
        respiration: Respiration::None,
        published: Vec::new(),
        strict: Vec::new(),
    }
}

/// Fills one lane evenly: `depth` m at the column's dry density.
pub fn fill(block: &mut Block, lane: usize, depth: f64, density: f64, moisture: f64, temperature: f64) {
    let full = depth * density / block.slots() as f64;
    for _ in 0..block.slots() {
        let parcel = block.parcel(lane, full, moisture, temperature);
        block.add(lane, &parcel, full).expect("the slots hold the column");
    }
}

/// The same air in one lane, the others at rest.
pub fn air(lane: usize, temperature: f64, humidity_ratio: f64, flux: f64, seconds: f64) -> Air {
    let mut air = Air::default();
    air.temperature[lane] = temperature;
    air.humidity_ratio[lane] = humidity_ratio;
    air.flux[lane] = flux;
    air.seconds[lane] = seconds;
    air.outside[lane] = temperature;
    air
}

/// Layer centres from the floor for equal layers.
pub fn centres(layers: usize, depth: f64) -> Vec<f64> {
    (0..layers).map(|i| depth * (i as f64 + 0.5) / layers as f64).collect()
}

pub fn wet_basis(m: f64) -> f64 {
    m / (1.0 + m)
}

pub const LANES: usize = WIDTH;

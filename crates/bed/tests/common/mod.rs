//! Helpers that several tests of the bed share.
#![allow(dead_code)]

use bed::{Air, Block, ColumnParams, Direction, GroupParams, IsothermFamily, Respiration};
use physics::isotherm::IsothermForm;
use physics::kinetics::{Arrhenius, TwoCompartment};
use physics::sorption::SorptionHeat;
use physics::storability::StorageLaw;

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

/// The kernel of shelled corn, as validation/kinetics/fit.toml holds it.
pub const CORN_KERNEL: TwoCompartment = TwoCompartment {
    shell_share: 0.5102,
    shell: Arrhenius { ln_a: 8.3654, b: 5308.2 },
    core: Arrhenius { ln_a: -7.2755, b: 1466.9 },
};

/// Shelled corn with all the physics there is: kernel, hysteresis, sorption heat, heat to the wall.
pub fn full_corn() -> ColumnParams {
    ColumnParams {
        sorption: SorptionHeat::of(&CORN, 20.0),
        kinetics: Some(CORN_KERNEL),
        adsorption_gap: 0.01,
        rewetting: 0.5,
        humidity_cap: 0.98,
        wall_conductance: 0.05,
        ..bare(CORN)
    }
}

/// A group of such columns: respiration, the published and the strict reading of storage life.
pub fn full_group(layers: usize) -> GroupParams {
    GroupParams {
        respiration: Respiration::Corn { damage: 0.3 },
        published: vec![StorageLaw::CornDryMatterLoss { loss: 0.005, damage: 0.3 }],
        strict: vec![
            StorageLaw::CornDryMatterLoss { loss: 0.0035, damage: 0.3 },
            StorageLaw::CerealTable { moisture_shift: 0.0 },
        ],
        ..group(layers, &full_corn())
    }
}

/// Humidity ratio at a temperature and relative humidity under standard pressure.
pub fn humidity_ratio(t: f64, relative_humidity: f64) -> f64 {
    let vapour = relative_humidity * physics::air::saturation_pressure(t);
    physics::air::humidity_ratio(physics::air::STANDARD_PRESSURE, vapour)
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

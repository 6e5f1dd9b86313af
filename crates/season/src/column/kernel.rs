//! The column in the kernel that seasons use: one lane of a block.

use super::{
    ColumnCase, ColumnRun, LeavingAir,
    grid::{self, Layer},
};
use bed::{Air, Block, ColumnParams, Direction, GroupParams, IsothermFamily, LayerState, Respiration};
use notice::{Phrase, Remark, Remarks};
use physics::kinetics::TwoCompartment;

/// Steps between two questions whether to stop: some hundredths of a second.
const ASK_EVERY: u64 = 64;

/// Runs the column; when stopped, as far as it came.
pub fn run(case: &ColumnCase, kinetics: Option<TwoCompartment>, stop: &dyn Fn(f64) -> bool) -> ColumnRun {
    let mut block = filled(case, kinetics);
    let mut remarks = Remarks::default();
    let mut profiles = Vec::with_capacity(case.hours.len());
    let mut exhaust = None;
    let mut partial = false;
    let mut moved = false;
    let stretches = grid::stretches(case);
    let all = stretches.iter().map(|s| s.steps).sum::<u64>().max(1) as f64;
    let mut done = 0u64;
    'hours: for stretch in stretches {
        let mut air = Air::default();
        air.temperature[0] = stretch.inlet.temperature;
        air.humidity_ratio[0] = stretch.inlet.humidity_ratio;
        air.flux[0] = stretch.inlet.flux;
        air.pressure[0] = case.pressure;
        air.seconds[0] = stretch.seconds;
        air.outside[0] = stretch.inlet.temperature;
        let still = stretch.inlet.flux <= 0.0;
        moved |= !still && stretch.steps > 0;
        if still && stretch.steps > 0 {
            let says = "with the fan off heat is conducted along the depth, the walls are insulated; convection and \
                        migration of moisture are left out";
            remarks.add(Remark::new("column-still-air", Phrase::new(says)));
        }
        for step in 0..stretch.steps {
            if step % ASK_EVERY == 0 && stop((done + step) as f64 / all) {
                partial = true;
                break 'hours;
            }
            let out = block.advance(&air);
            exhaust = Some(LeavingAir { temperature: out.temperature[0], humidity_ratio: out.humidity_ratio[0] });
        }
        done += stretch.steps;
        if let Some(hour) = stretch.show {
            let layers: Vec<Layer> = block.layers(0).map(shown).collect();
            profiles.push(grid::profile(case, hour, &layers, exhaust));
        }
    }
    let residual = block.residual(0);
    let met = block.extremes(0);
    let from = |range: (f64, f64), start: f64| (range.0.min(start), range.1.max(start));
    ColumnRun {
        partial,
        profiles,
        water_residual: residual.water,
        energy_residual: residual.energy,
        temperatures: from(met.temperature, case.temperature),
        moistures: from(met.moisture, case.moisture),
        humidities: moved.then_some(met.humidity),
        remarks,
    }
}

fn filled(case: &ColumnCase, kinetics: Option<TwoCompartment>) -> Block {
    let column = ColumnParams {
        isotherm: case.isotherm,
        sorption: case.sorption,
        kinetics,
        adsorption_gap: case.adsorption_gap,
        rewetting: case.rewetting,
        dry_specific_heat: case.dry_specific_heat,
        water_specific_heat: case.water_specific_heat,
        humidity_cap: case.humidity_cap,
        air_sees: case.air_sees,
        conductivity: case.conductivity,
        wall_conductance: 0.0,
        dry_density: case.dry_density,
    };
    let group = GroupParams {
        layers: case.layers,
        family: IsothermFamily::of(&case.isotherm).0,
        direction: Direction::Up,
        respiration: case.respiration.map_or(Respiration::None, |damage| Respiration::Corn { damage }),
        published: case.published.clone(),
        strict: case.strict.clone(),
    };
    let mut block = Block::new(group, &column);
    let full = case.layer_mass();
    for _ in 0..case.layers {
        let parcel = block.parcel(0, full, case.moisture, case.temperature);
        block.add(0, &parcel, full).expect("as many full parcels as there are slots");
    }
    block
}

fn shown(layer: LayerState) -> Layer {
    Layer {
        moisture: layer.moisture,
        temperature: layer.temperature,
        published: layer.life_published,
        strict: layer.life_strict,
    }
}

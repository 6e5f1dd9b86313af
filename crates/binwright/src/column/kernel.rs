//! The column in the kernel that seasons use: one lane of eight.

use super::{
    ColumnCase, ColumnRun,
    grid::{self, Layer},
};
use bed::{Air, Block, ColumnParams, Direction, GroupParams, IsothermFamily, Respiration};
use notice::{Phrase, Remark, Remarks};
use physics::kinetics::TwoCompartment;

/// Steps between two questions whether to stop: some tens of milliseconds.
const ASK_EVERY: u64 = 256;

/// Runs the column; none when stopped.
pub fn run(case: &ColumnCase, kinetics: Option<TwoCompartment>, stop: &dyn Fn() -> bool) -> Option<ColumnRun> {
    let column = ColumnParams {
        isotherm: case.isotherm,
        sorption: case.sorption,
        kinetics,
        adsorption_gap: case.adsorption_gap,
        rewetting: case.rewetting,
        dry_specific_heat: case.dry_specific_heat,
        water_specific_heat: case.water_specific_heat,
        humidity_cap: case.humidity_cap,
        air_sees: ColumnParams::AIR_SEES,
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
    let full = case.depth * case.dry_density / case.layers as f64;
    for _ in 0..case.layers {
        let parcel = block.parcel(0, full, case.moisture, case.temperature);
        // As many parcels as slots, each a full slot: they fit.
        if block.add(0, &parcel, full).is_err() {
            break;
        }
    }
    let mut remarks = Remarks::default();
    let mut profiles = Vec::new();
    let mut exhaust = None;
    for stretch in grid::stretches(case) {
        let mut air = Air::default();
        air.temperature[0] = stretch.inlet.temperature;
        air.humidity_ratio[0] = stretch.inlet.humidity_ratio;
        air.flux[0] = stretch.inlet.flux;
        air.pressure[0] = case.pressure;
        air.seconds[0] = stretch.seconds;
        air.outside[0] = stretch.inlet.temperature;
        if stretch.inlet.flux == 0.0 && stretch.steps > 0 {
            remarks.add(Remark::new(
                "still-air",
                Phrase::new("with the fan off the column conducts along its depth with insulated walls; moisture migration is left out"),
            ));
        }
        for step in 0..stretch.steps {
            if step % ASK_EVERY == 0 && stop() {
                return None;
            }
            let out = block.advance(&air);
            exhaust = Some((out.temperature[0], out.humidity_ratio[0]));
        }
        if let Some(hour) = stretch.show {
            let layer = |l: bed::LayerState| Layer {
                moisture: l.moisture,
                temperature: l.temperature,
                life: (l.life_published, l.life_strict),
            };
            let layers: Vec<Layer> = block.layers(0).map(layer).collect();
            profiles.push(grid::profile(case, hour, &layers, exhaust));
        }
    }
    let residual = block.residual(0);
    let met = block.extremes(0);
    let start = |range: (f64, f64), at: f64| (range.0.min(at), range.1.max(at));
    Some(ColumnRun {
        profiles,
        water_residual: residual.water,
        energy_residual: residual.energy,
        temperatures: start(met.temperature, case.temperature),
        moistures: start(met.moisture, case.moisture),
        remarks,
    })
}

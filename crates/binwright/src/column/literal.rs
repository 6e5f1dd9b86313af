//! The column under a published law taken literally: slow and plain, for verification.

use super::{
    ColumnCase, ColumnRun,
    grid::{self, Layer},
};
use bed::literal::{Asked, Inlet, LiteralColumn, LiteralParams};
use notice::{Phrase, Remark, Remarks};
use physics::{
    storability::StorageLaw,
    thin_layer::{DryingConditions, ThinLayer},
};

/// Steps between two questions whether to stop.
const ASK_EVERY: u64 = 16;

/// Runs the column; none when stopped.
pub fn run(case: &ColumnCase, law: ThinLayer, velocity: f64, stop: &dyn Fn() -> bool) -> Option<ColumnRun> {
    let params = LiteralParams {
        isotherm: case.isotherm,
        sorption: case.sorption,
        dry_specific_heat: case.dry_specific_heat,
        water_specific_heat: case.water_specific_heat,
        humidity_cap: case.humidity_cap,
        layer: case.depth * case.dry_density / case.layers as f64,
    };
    let change = |asked: &Asked| {
        let at = DryingConditions {
            temperature: asked.temperature,
            relative_humidity: asked.humidity,
            initial_moisture: case.moisture,
            velocity,
        };
        if asked.moisture <= asked.equilibrium {
            return asked.moisture;
        }
        // Grain wetter than at the start (vapour condensed on it) counts as just begun, as the reference beds have it.
        let span = case.moisture - asked.equilibrium;
        if span <= 0.0 {
            return asked.equilibrium;
        }
        let ratio = ((asked.moisture - asked.equilibrium) / span).clamp(1e-12, 1.0);
        asked.equilibrium + span * law.moisture_ratio(at, law.equivalent_time(at, ratio) + asked.seconds)
    };
    let mut remarks = Remarks::default();
    if case.rewetting > 0.0 {
        let says = Phrase::new(
            "{law} describes drying alone: grain at or below equilibrium keeps its moisture until vapour condenses on it",
        );
        remarks.add(Remark::new("law-without-rewetting", says.text("law", law.id())));
    }
    if case.respiration.is_some() {
        remarks.add(Remark::new("no-respiration", Phrase::new("respiration is left out under a literal law")));
    }
    let mut column = LiteralColumn::even(case.layers, case.moisture, case.temperature);
    let (water_before, energy_before) = stored(&params, &column);
    let mut life = vec![(0.0, 0.0); case.layers];
    let mut profiles = Vec::new();
    let mut exhaust = None;
    let mut met = (case.temperature, case.temperature);
    let mut moist = (case.moisture, case.moisture);
    for stretch in grid::stretches(case) {
        let inlet = Inlet {
            temperature: stretch.inlet.temperature,
            humidity_ratio: stretch.inlet.humidity_ratio,
            flux: stretch.inlet.flux,
            pressure: case.pressure,
            seconds: stretch.seconds,
        };
        for step in 0..stretch.steps {
            if step % ASK_EVERY == 0 && stop() {
                return None;
            }
            if inlet.flux > 0.0 {
                exhaust = Some(column.advance(&params, &inlet, &change));
            } else {
                let says = Phrase::new("with the fan off a column under a literal law rests: no conduction");
                remarks.add(Remark::new("still-air", says));
            }
            for (i, life) in life.iter_mut().enumerate() {
                let (m, t) = (column.moisture[i], column.temperature[i]);
                met = (met.0.min(t), met.1.max(t));
                moist = (moist.0.min(m), moist.1.max(m));
                life.0 += fastest(&case.published, m, t) * stretch.seconds;
                life.1 += fastest(&case.strict, m, t) * stretch.seconds;
            }
        }
        if let Some(hour) = stretch.show {
            let layer =
                |i: usize| Layer { moisture: column.moisture[i], temperature: column.temperature[i], life: life[i] };
            let layers: Vec<Layer> = (0..case.layers).map(layer).collect();
            profiles.push(grid::profile(case, hour, &layers, exhaust));
        }
    }
    let (water, energy) = stored(&params, &column);
    let residual = |before: f64, after: f64, given: f64, floor: f64| {
        (before - after - given).abs() / (before.abs() + after.abs() + given.abs()).max(floor)
    };
    Some(ColumnRun {
        profiles,
        water_residual: residual(water_before, water, column.water_to_air, 1e-6),
        energy_residual: residual(energy_before, energy, column.energy_to_air, 1.0),
        temperatures: met,
        moistures: moist,
        remarks,
    })
}

/// Water (kg/m²) and enthalpy (J/m²) of the column.
fn stored(params: &LiteralParams, column: &LiteralColumn) -> (f64, f64) {
    let pairs = || column.moisture.iter().zip(&column.temperature);
    let water: f64 = column.moisture.iter().sum();
    let energy: f64 = pairs().map(|(m, t)| LiteralColumn::grain_enthalpy(params, *m, *t)).sum();
    (params.layer * water, params.layer * energy)
}

/// Rate of the relation that uses life fastest, 1/s.
fn fastest(laws: &[StorageLaw], m: f64, t: f64) -> f64 {
    laws.iter().map(|law| law.rate(m, t)).fold(0.0, f64::max)
}

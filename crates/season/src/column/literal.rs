//! The column under a published law taken literally, by equivalent time: slow and plain, for verification.

use super::{
    ColumnCase, ColumnRun, LeavingAir,
    grid::{self, Layer},
};
use bed::literal::{Asked, Inlet, LiteralColumn, LiteralParams};
use notice::{Phrase, Remark, Remarks};
use physics::{
    storability::StorageLaw,
    thin_layer::{DryingConditions, ThinLayer},
};

/// Steps between two questions whether to stop: some tenths of a second.
const ASK_EVERY: u64 = 16;

/// Runs the column; when stopped, as far as it came.
pub fn run(case: &ColumnCase, law: ThinLayer, velocity: f64, stop: &dyn Fn(f64) -> bool) -> ColumnRun {
    let params = LiteralParams {
        isotherm: case.isotherm,
        sorption: case.sorption,
        dry_specific_heat: case.dry_specific_heat,
        water_specific_heat: case.water_specific_heat,
        humidity_cap: case.humidity_cap,
        layer: case.layer_mass(),
    };
    let wanted = |asked: &Asked| new_moisture(case, law, velocity, asked);
    let mut remarks = Remarks::default();
    let mut column = LiteralColumn::even(case.layers, case.moisture, case.temperature);
    let (water_before, energy_before) = stored(&params, &column);
    let mut life = vec![(0.0, 0.0); case.layers];
    let mut profiles = Vec::with_capacity(case.hours.len());
    let mut exhaust = None;
    let mut partial = false;
    let mut temperatures = (case.temperature, case.temperature);
    let mut moistures = (case.moisture, case.moisture);
    let stretches = grid::stretches(case);
    let all = stretches.iter().map(|s| s.steps).sum::<u64>().max(1) as f64;
    let mut done = 0u64;
    'hours: for stretch in stretches {
        let inlet = Inlet {
            temperature: stretch.inlet.temperature,
            humidity_ratio: stretch.inlet.humidity_ratio,
            flux: stretch.inlet.flux,
            pressure: case.pressure,
            seconds: stretch.seconds,
        };
        if inlet.flux <= 0.0 && stretch.steps > 0 {
            let says = Phrase::new("with the fan off a column under a literal law rests: no heat is conducted");
            remarks.add(Remark::new("column-still-air", says));
        }
        for step in 0..stretch.steps {
            if step % ASK_EVERY == 0 && stop((done + step) as f64 / all) {
                partial = true;
                break 'hours;
            }
            if inlet.flux > 0.0 {
                let (temperature, humidity_ratio) = column.advance(&params, &inlet, &wanted);
                exhaust = Some(LeavingAir { temperature, humidity_ratio });
            }
            for (i, life) in life.iter_mut().enumerate() {
                let (m, t) = (column.moisture[i], column.temperature[i]);
                temperatures = (temperatures.0.min(t), temperatures.1.max(t));
                moistures = (moistures.0.min(m), moistures.1.max(m));
                life.0 += fastest(&case.published, m, t) * stretch.seconds;
                life.1 += fastest(&case.strict, m, t) * stretch.seconds;
            }
        }
        done += stretch.steps;
        if let Some(hour) = stretch.show {
            let states = column.moisture.iter().zip(&column.temperature).zip(&life);
            let layers: Vec<Layer> = states
                .map(|((&moisture, &temperature), &(published, strict))| Layer {
                    moisture,
                    temperature,
                    published,
                    strict,
                })
                .collect();
            profiles.push(grid::profile(case, hour, &layers, exhaust));
        }
    }
    let (water, energy) = stored(&params, &column);
    let residual = |before: f64, after: f64, given: f64, floor: f64| {
        (before - after - given).abs() / (before.abs() + after.abs() + given.abs()).max(floor)
    };
    ColumnRun {
        partial,
        profiles,
        water_residual: residual(water_before, water, column.water_to_air, 1e-6),
        energy_residual: residual(energy_before, energy, column.energy_to_air, 1.0),
        temperatures,
        moistures,
        humidities: None,
        remarks,
    }
}

/// The moisture to which a law brings a layer.
///
/// Drying goes on from the equivalent time; grain wetter than at the start counts as just begun, at the moisture of the
/// start. The laws say nothing of wetting: where it is asked for, the way to equilibrium decays at the given share of
/// 1/t₀, t₀ the time in which the law dries to 1/e.
fn new_moisture(case: &ColumnCase, law: ThinLayer, velocity: f64, asked: &Asked) -> f64 {
    let at = DryingConditions {
        temperature: asked.temperature,
        relative_humidity: asked.humidity,
        initial_moisture: case.moisture,
        velocity,
    };
    let (m, me) = (asked.moisture, asked.equilibrium);
    if m <= me {
        if case.rewetting <= 0.0 {
            return m;
        }
        let decay = law.equivalent_time(at, (-1f64).exp());
        return me + (m - me) * (-case.rewetting * asked.seconds / decay).exp();
    }
    let span = case.moisture - me;
    if span <= 0.0 {
        // Wetter than the start, in air that would not have dried the start: the limit of a span that shrinks to nothing.
        return me;
    }
    let ratio = ((m - me) / span).clamp(1e-12, 1.0);
    me + span * law.moisture_ratio(at, law.equivalent_time(at, ratio) + asked.seconds)
}

/// Water (kg/m²) and enthalpy (J/m²) of the column.
fn stored(params: &LiteralParams, column: &LiteralColumn) -> (f64, f64) {
    let pairs = column.moisture.iter().zip(&column.temperature);
    let water: f64 = column.moisture.iter().sum();
    let energy: f64 = pairs.map(|(m, t)| LiteralColumn::grain_enthalpy(params, *m, *t)).sum();
    (params.layer * water, params.layer * energy)
}

/// Rate of the relation that uses life fastest, 1/s.
fn fastest(laws: &[StorageLaw], m: f64, t: f64) -> f64 {
    laws.iter().map(|law| law.rate(m, t)).fold(0.0, f64::max)
}

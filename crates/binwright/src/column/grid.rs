//! Stretches of time between inlet changes and hours to show, and profiles read from layers.

use super::{AtDepth, ColumnCase, InletStep, Profile};
use bed::profile::{at_depth, front_depth};

/// One stretch of constant air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch {
    /// The air.
    pub inlet: InletStep,
    /// Steps.
    pub steps: u64,
    /// Length of each, s.
    pub seconds: f64,
    /// Hour to show at the end of it.
    pub show: Option<f64>,
}

/// Cuts the run at every change of air and every hour to show; steps are shortened so that they fit.
pub fn stretches(case: &ColumnCase) -> Vec<Stretch> {
    let last = case.hours.last().copied().unwrap_or(0.0);
    let mut cuts: Vec<f64> = case.hours.clone();
    cuts.extend(case.inlet.iter().map(|s| s.hour).filter(|h| *h > 0.0 && *h < last));
    cuts.sort_by(f64::total_cmp);
    cuts.dedup();
    let mut from = 0.0;
    let mut out = Vec::new();
    for to in cuts {
        let inlet = case.inlet.iter().rev().find(|s| s.hour <= from).or(case.inlet.first());
        let Some(inlet) = inlet.copied() else { break };
        let length: f64 = 3600.0 * (to - from);
        let steps = (length / case.step).ceil().max(if length > 0.0 { 1.0 } else { 0.0 });
        let show = case.hours.contains(&to).then_some(to);
        out.push(Stretch { inlet, steps: steps as u64, seconds: length / steps.max(1.0), show });
        from = to;
    }
    out
}

/// One layer as a profile reads it.
#[derive(Debug, Clone, Copy)]
pub struct Layer {
    /// Moisture, d.b.
    pub moisture: f64,
    /// Temperature, °C.
    pub temperature: f64,
    /// Storage life used, published and strict.
    pub life: (f64, f64),
}

/// The profile of equal layers of dry matter, given from the inlet.
pub fn profile(case: &ColumnCase, hour: f64, layers: &[Layer], exhaust: Option<(f64, f64)>) -> Profile {
    let wet = |m: f64| m / (1.0 + m);
    let thick = |m: f64| {
        let lost = (wet(case.moisture) - wet(m)).max(0.0);
        case.depth / layers.len() as f64 * (1.0 - case.shrink * lost).max(0.2)
    };
    let mut below = 0.0;
    let mut centres = Vec::with_capacity(layers.len());
    for layer in layers {
        let thickness = thick(layer.moisture);
        centres.push(below + 0.5 * thickness);
        below += thickness;
    }
    let pick = |of: fn(&Layer) -> f64| -> Vec<f64> { layers.iter().map(of).collect() };
    let (moisture, temperature) = (pick(|l| l.moisture), pick(|l| l.temperature));
    let (published, strict) = (pick(|l| l.life.0), pick(|l| l.life.1));
    let at = |depth: &f64| AtDepth {
        depth: *depth,
        moisture: at_depth(&centres, &moisture, *depth),
        temperature: at_depth(&centres, &temperature, *depth),
        life: (!case.published.is_empty()).then(|| at_depth(&centres, &published, *depth)),
        strict_life: (!case.strict.is_empty()).then(|| at_depth(&centres, &strict, *depth)),
    };
    Profile {
        hour,
        mean_moisture: moisture.iter().sum::<f64>() / moisture.len() as f64,
        exhaust,
        at: case.depths.iter().map(at).collect(),
        front_depth: front_depth(&centres, &moisture),
    }
}

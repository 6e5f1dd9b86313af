//! Stretches of time between changes of the air and hours to show, and profiles read from layers.

use super::{AtDepth, ColumnCase, ColumnProfile, InletStep, LeavingAir};
use bed::profile::{at_depth, front_depth};
use physics::grain::wet_basis;

/// Least share of its depth that a layer keeps, however dry: far below what any grain reaches.
const LEAST_DEPTH: f64 = 0.2;

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
    let changes = case.inlet.iter().map(|s| s.hour).filter(|h| *h > 0.0 && *h < last);
    let mut cuts: Vec<(f64, bool)> = case.hours.iter().map(|h| (*h, true)).collect();
    cuts.extend(changes.map(|h| (h, false)));
    cuts.sort_by(|a, b| a.0.total_cmp(&b.0).then(b.1.cmp(&a.1)));
    // Of an hour to show that is a change too, the one to show comes first and stays.
    cuts.dedup_by_key(|cut| cut.0);
    let mut air = case.inlet.iter().copied().peekable();
    let mut out = Vec::with_capacity(cuts.len());
    let Some(mut inlet) = air.next() else { return out };
    let mut from = 0.0;
    for (to, shows) in cuts {
        while let Some(next) = air.next_if(|next| next.hour <= from) {
            inlet = next;
        }
        let length: f64 = 3600.0 * (to - from);
        let own = case.default_step(&inlet);
        let longest = case.step.map_or(own, |asked| asked.min(own));
        // Half a millionth of slack: 0.1 h is a whole number of steps of 15 s whatever its binary digits.
        let steps = if length > 0.0 { (length / longest - 5e-7).ceil().max(1.0) } else { 0.0 };
        out.push(Stretch { inlet, steps: steps as u64, seconds: length / steps.max(1.0), show: shows.then_some(to) });
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
    /// Storage life used, published.
    pub published: f64,
    /// Storage life used, strict.
    pub strict: f64,
}

/// The profile of layers of equal dry matter, given from the inlet.
pub fn profile(case: &ColumnCase, hour: f64, layers: &[Layer], exhaust: Option<LeavingAir>) -> ColumnProfile {
    let wet = wet_basis::<f64>;
    let full = case.depth / case.layers as f64;
    let mut below = 0.0;
    let mut centres = Vec::with_capacity(layers.len());
    for layer in layers {
        // The line of shrink holds for wetting too: grain swells.
        let lost = wet(case.moisture) - wet(layer.moisture);
        let thickness = full * (1.0 - case.shrink * lost).max(LEAST_DEPTH);
        centres.push(below + 0.5 * thickness);
        below += thickness;
    }
    let pick = |of: fn(&Layer) -> f64| -> Vec<f64> { layers.iter().map(of).collect() };
    let (moisture, temperature) = (pick(|l| l.moisture), pick(|l| l.temperature));
    let (published, strict) = (pick(|l| l.published), pick(|l| l.strict));
    let at = |depth: &f64| AtDepth {
        depth: *depth,
        moisture: at_depth(&centres, &moisture, *depth),
        temperature: at_depth(&centres, &temperature, *depth),
        life_published: (!case.published.is_empty()).then(|| at_depth(&centres, &published, *depth)),
        life_strict: (!case.strict.is_empty()).then(|| at_depth(&centres, &strict, *depth)),
    };
    ColumnProfile {
        hour,
        mean_moisture: moisture.iter().sum::<f64>() / moisture.len() as f64,
        exhaust,
        at: case.depths.iter().map(at).collect(),
        front_depth: front_depth(&centres, &moisture),
    }
}

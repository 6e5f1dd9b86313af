//! Combined uncertainty of a figure worked out from several readings.

/// One input's part in the variance.
#[derive(Debug, Clone, PartialEq)]
pub struct Contribution {
    /// Input.
    pub input: &'static str,
    /// Share of the variance.
    pub share: f64,
}

/// A figure with its standard uncertainty.
#[derive(Debug, Clone, PartialEq)]
pub struct Propagated {
    /// Value at the best estimates of all inputs.
    pub value: f64,
    /// Combined standard uncertainty.
    pub standard: f64,
    /// What it is made of, largest first.
    pub contributions: Vec<Contribution>,
}

/// One input: name, best estimate, standard uncertainty.
pub type Input = (&'static str, f64, f64);

/// Propagates the uncertainties of independent inputs through a function: u² = Σ (∂f/∂x · u(x))², the derivatives by
/// central differences over ± one standard uncertainty, so that mild curvature is averaged.
///
/// # Source
/// Guide to the Expression of Uncertainty in Measurement, JCGM 100:2008, 5.1.2 and 5.1.3 note 2.
///
/// `None` when the function has no value at the estimates or beside them: then nothing can be told.
pub fn propagate(inputs: &[Input], of: impl Fn(&[f64]) -> Option<f64>) -> Option<Propagated> {
    let mut x: Vec<f64> = inputs.iter().map(|i| i.1).collect();
    let value = of(&x)?;
    let mut parts = Vec::new();
    for (k, &(name, best, u)) in inputs.iter().enumerate() {
        if u <= 0.0 {
            continue;
        }
        x[k] = best + u;
        let high = of(&x);
        x[k] = best - u;
        let low = of(&x);
        x[k] = best;
        let part = match (high, low) {
            (Some(high), Some(low)) => 0.5 * (high - low),
            // At an end of a curve one side may be missing; the other still tells how steep it is.
            (Some(one), None) | (None, Some(one)) => one - value,
            (None, None) => return None,
        };
        parts.push((name, part * part));
    }
    let variance: f64 = parts.iter().map(|p| p.1).sum();
    let mut contributions: Vec<Contribution> = parts
        .into_iter()
        .filter(|p| p.1 > 0.0)
        .map(|(input, part)| Contribution { input, share: part / variance })
        .collect();
    contributions.sort_by(|a, b| b.share.total_cmp(&a.share));
    Some(Propagated { value, standard: variance.sqrt(), contributions })
}

/// Coverage factors that leave `1 − 0.95^(1/n)` of a normal distribution outside for each of n = 1, 2 … checks, so that n
/// independent checks of a sound bin raise a false alarm in 5 % of cases. Checks that share inputs, as these do, raise fewer
/// (Šidák 1967).
const COVERAGE: [f64; 40] = [
    1.9600, 2.2365, 2.3877, 2.4909, 2.5688, 2.6310, 2.6828, 2.7270, 2.7655, 2.7996, 2.8302, 2.8578, 2.8831, 2.9063,
    2.9278, 2.9478, 2.9664, 2.9839, 3.0004, 3.0160, 3.0307, 3.0447, 3.0581, 3.0708, 3.0829, 3.0946, 3.1058, 3.1165,
    3.1268, 3.1368, 3.1463, 3.1556, 3.1646, 3.1732, 3.1816, 3.1898, 3.1977, 3.2054, 3.2128, 3.2201,
];

/// Share of sound bins that a whole commissioning calls into question, at most.
pub const FALSE_ALARMS: f64 = 0.05;

/// The coverage factor of each of `checks`.
pub fn coverage(checks: usize) -> f64 {
    COVERAGE[checks.clamp(1, COVERAGE.len()) - 1]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Temperature-rise airflow, m = F/(c ΔT): with ± 1 °F at each end of a 10 °F rise the relative error is 14 %, at 60 °F
    /// 2.4 % (worked example of the method, computed; fuel and heating value left out).
    #[test]
    fn the_error_of_a_rise_is_that_of_the_worked_example() {
        for (rise, expected) in [(10.0, 0.1414), (60.0, 0.0236)] {
            let inputs = [("plenum", 50.0 + rise, 1.0), ("outdoors", 50.0, 1.0)];
            let found = propagate(&inputs, |x| Some(1.0 / (x[0] - x[1]))).expect("a value");
            let relative = found.standard * rise;
            assert!((relative / expected - 1.0).abs() < 0.012, "{relative} {expected}");
        }
    }

    /// A steep curve of −3.0e−4 in. per cfm reads 0.1 in. as 333 cfm, a flat one of −5e−5 as 2,000 cfm (same source).
    #[test]
    fn a_flat_curve_reads_badly() {
        for (slope, expected) in [(-3.0e-4, 333.0), (-5e-5, 2000.0)] {
            let found = propagate(&[("pressure", 3.0, 0.1)], |x| Some((x[0] - 7.0) / slope)).expect("a value");
            assert!((found.standard / expected - 1.0).abs() < 2e-3);
        }
    }

    /// Factors against the normal distribution by its own series.
    #[test]
    fn coverage_factors_leave_what_they_claim() {
        let inside = |k: f64| {
            let steps = 4000;
            let h = k / f64::from(steps);
            let density = |x: f64| (-0.5 * x * x).exp();
            let sum: f64 = (0..steps).map(|i| density((f64::from(i) + 0.5) * h)).sum();
            2.0 * sum * h / (2.0 * std::f64::consts::PI).sqrt()
        };
        for n in 1..=COVERAGE.len() {
            let all = inside(coverage(n)).powi(n as i32);
            assert!((all - 0.95).abs() < 2e-4, "{n}: {all}");
        }
    }
}

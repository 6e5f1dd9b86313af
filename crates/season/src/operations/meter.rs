//! What a reading of a moisture meter is worth.

/// Share of the random variance that is the meter's own and stays with it: 10 %. The sample makes 85 %, the oven it was
/// compared with 5 % (Hurburgh, Hazen & Bern 1985, 881 samples of corn against the oven).
const METER_VARIANCE: f64 = 0.10;
/// Share of the variance that comes anew with each sample.
const SAMPLE_VARIANCE: f64 = 0.85;

/// Standard deviation of one reading (fraction w.b.) at a moisture (fraction w.b.).
///
/// Coefficient of variation 4.5 % at 11 %, 2.5 % at 15.5 % and 4.5 % at 38 % moisture (Hurburgh, Hazen & Bern 1985, corn),
/// straight between them and held beyond; used for every crop.
pub fn meter_deviation(moisture: f64) -> f64 {
    let straight = |a: (f64, f64), b: (f64, f64)| a.1 + (b.1 - a.1) * ((moisture - a.0) / (b.0 - a.0)).clamp(0.0, 1.0);
    let (dry, best, wet) = ((0.11, 0.045), (0.155, 0.025), (0.38, 0.045));
    moisture * if moisture < best.0 { straight(dry, best) } else { straight(best, wet) }
}

/// Shares of that deviation: of the meter, the same in all its readings, and of the sample, new in each.
pub fn meter_share() -> (f64, f64) {
    (METER_VARIANCE.sqrt(), SAMPLE_VARIANCE.sqrt())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn deviation_meets_the_published_points() {
        // Hurburgh, Hazen & Bern 1985: 0.39, 0.49 and 1.71 points at 15.5, 11 and 38 %.
        for (moisture, points) in [(0.155, 0.39), (0.11, 0.49), (0.38, 1.71)] {
            let got = 100.0 * meter_deviation(moisture);
            assert!((got - points).abs() < 0.01, "{moisture}: {got}");
        }
        // Paulsen, Hill & Dixon 1984, 690 other samples: a 95 % band of 3.2 points at high moisture.
        assert!((196.0 * meter_deviation(0.38) - 3.2).abs() < 0.2);
    }
}

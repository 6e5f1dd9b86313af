//! A lot as it arrives: load by load, each with its own moisture, in a fixed random order.

use crate::clock;
use crate::facts::{BatchFacts, BinFacts};
use crate::survey::Survey;
use numerics::random::Stream;
use physics::grain::dry_basis;
use season::Load;

/// Spread between loads when nobody says, as a share of the mean moisture (US corn at delivery: 10 to 13 % of the mean).
pub const USUAL_SPREAD: f64 = 0.10;
/// Hour of the day at which the first load of a day arrives, and hours over which the day's loads are spread.
const FIRST_HOUR: i64 = 10;
const WORKING_HOURS: i64 = 10;
/// Loads further than this many standard deviations from the mean are drawn back to it.
const MOST_DEVIATIONS: f64 = 2.5;
/// Seed of the scatter; the same for every year and every run.
pub const SEED: u64 = 0x62_69_6e;

/// The loads of all lots of a bin in a year, in order of arrival.
pub fn of(index: usize, bin: &BinFacts, survey: &Survey, year: i32, offset: i32) -> Vec<Load> {
    let mut loads = Vec::new();
    for (k, (lot, surveyed)) in bin.lots.iter().zip(&survey.lots).enumerate() {
        let count = (lot.days * lot.loads_per_day).max(1) as usize;
        let moistures = scatter(lot.moisture, lot.moisture_sd, count, SEED ^ ((index as u64) << 32) ^ k as u64);
        let wet = surveyed.wet_mass / count as f64;
        let first = clock::utc_hour(year, lot.from, FIRST_HOUR, offset);
        // A dryer does not keep the hours of trucks.
        let working = bin.process.discharge.map_or(WORKING_HOURS, |d| d.hours_a_day.round() as i64);
        for (i, &m) in moistures.iter().enumerate() {
            let per_day = lot.loads_per_day.max(1) as usize;
            let (day, place) = ((i / per_day) as i64, (i % per_day) as i64);
            loads.push(Load {
                hour: first + 24 * day + place * working / per_day as i64,
                dry_matter: wet * (1.0 - m),
                moisture: dry_basis(m),
                temperature: lot.temperature,
                life_used: lot.life_used,
            });
        }
    }
    loads.sort_by_key(|l| l.hour);
    match &bin.process.batches {
        Some(batches) => in_batches(&loads, batches),
        None => loads,
    }
}

/// Loads of one batch.
pub fn of_a_batch(bin: &BinFacts) -> usize {
    bin.lots.iter().map(|lot| (lot.days * lot.loads_per_day).max(1) as usize).sum()
}

/// The loads of one batch, brought within its hours of filling, once for each batch.
fn in_batches(loads: &[Load], batches: &BatchFacts) -> Vec<Load> {
    let first = loads.first().map_or(0, |load| load.hour);
    let last = (loads.len() as f64 - 1.0).max(1.0);
    let at = |i: usize| first + (i as f64 / last * batches.fill).floor() as i64;
    let once: Vec<Load> = loads.iter().enumerate().map(|(i, load)| Load { hour: at(i), ..*load }).collect();
    (0..batches.count).flat_map(|_| once.iter().copied()).collect()
}

/// Moistures (w.b.) of equal wet masses whose mean is exactly the lot's.
fn scatter(mean: f64, sd: Option<f64>, count: usize, seed: u64) -> Vec<f64> {
    let sd = sd.unwrap_or(USUAL_SPREAD * mean);
    let mut stream = Stream::new(seed);
    let mut deviations: Vec<f64> =
        (0..count).map(|_| sd * stream.normal().clamp(-MOST_DEVIATIONS, MOST_DEVIATIONS)).collect();
    let drift = deviations.iter().sum::<f64>() / count as f64;
    deviations.iter_mut().for_each(|d| *d -= drift);
    // Very dry or very wet lots keep inside what grain can be; the mean is then restored by scaling all deviations.
    let (least, most) = (mean.min(0.01), mean.max(0.95));
    let room = (mean - least).min(most - mean);
    let widest = deviations.iter().fold(0.0f64, |w, d| w.max(d.abs()));
    let scale = if widest > room { room / widest } else { 1.0 };
    // Rounding may pass a bound by its last bit.
    deviations.iter().map(|d| (mean + scale * d).clamp(least, most)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn loads_scatter_about_the_mean_and_keep_it() {
        let m = scatter(0.20, None, 24, 1);
        let mean = m.iter().sum::<f64>() / 24.0;
        assert!((mean - 0.20).abs() < 1e-12);
        let sd = (m.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / 23.0).sqrt();
        assert!(sd > 0.01 && sd < 0.03, "{sd}");
        assert_eq!(m, scatter(0.20, None, 24, 1));
        assert_ne!(m, scatter(0.20, None, 24, 2));
        assert!(scatter(0.20, Some(0.0), 5, 1).iter().all(|x| (x - 0.20).abs() < 1e-15));
        assert!(scatter(0.05, Some(0.2), 50, 1).iter().all(|x| *x >= 0.01));
    }
}

//! How much of what is not known each assumption is worth: the share of the variance of cost and of risk that it brings by itself.
//!
//! Assumptions vary together over their ranges in a seeded Latin hypercube; every point of it runs in all years, nothing in between
//! is run. Through the points a polynomial of the second degree without products is fitted: its terms are orthogonal over the ranges,
//! so the share of an assumption is the variance of its own terms. What the polynomial misses (products, steps) is said, held against
//! each point in turn by a fit without it. Leaves out what the ranges do not hold: they are judgement, and the shares with them.

use super::answer::Shown;
use super::field::Field;
use super::matters::{deeper, electricity, fuel, grain, later};
use super::score::Score;
use super::variant::{Variant, run, site_with};
use ensemble::{Engine, Observer};
use job::facts::SiteFacts;
use job::{Base, Library};
use numerics::random::Stream;
use std::sync::Arc;

/// Points of the hypercube.
const POINTS: usize = 64;
/// Fits to points drawn with return, for the error of the shares.
const DRAWS: usize = 200;
/// Seed of points and draws.
const SEED: u64 = 0x5348_4152_4553;

/// What an assumption brings.
#[derive(Debug, Clone, PartialEq)]
pub struct Share {
    /// What varies, with its range.
    pub name: String,
    /// Share of the variance of cost, and its standard error.
    pub cost: (f64, f64),
    /// Share of the variance of the share of failed years, and its standard error; zero where no point differs.
    pub failures: (f64, f64),
}

/// The shares of all assumptions, the largest of cost first.
#[derive(Debug, Clone, PartialEq)]
pub struct Shares {
    /// The shares.
    pub list: Vec<Share>,
    /// Points that were run in all years.
    pub points: usize,
    /// Standard deviation over the points: of cost for the measure, of the share of failed years.
    pub spread: (f64, f64),
    /// Part of the variance of each that the polynomial tells of points it has not seen; below 0 where it is worse than the mean.
    pub told: (f64, f64),
    /// Whether it was cut short.
    pub partial: bool,
}

type Apply = Box<dyn Fn(&mut SiteFacts, f64)>;

/// An assumption: name, lowest and highest value, how it is made.
struct Input {
    name: String,
    range: (f64, f64),
    apply: Apply,
}

/// Works out the shares for an outfit that has run all years; nothing where too few points resolve.
pub fn shares(
    engine: &Engine,
    (base, bin): (&Base, usize),
    library: &dyn Library,
    (field, shown): (&Field, &Shown),
    observer: &Arc<dyn Observer>,
) -> Option<Shares> {
    let site = site_with(base, bin, field, &field.candidates[shown.candidate]);
    let packing = base.job().bins[bin].packing;
    let inputs = inputs(&site, bin, packing, &|site| Variant::of(base, site, library).is_some());
    let mut stream = Stream::new(SEED);
    let cube = cube(inputs.len(), POINTS, &mut stream);
    let (mut places, mut variants) = (Vec::new(), Vec::new());
    for point in &cube {
        let mut changed = site.clone();
        for (input, place) in inputs.iter().zip(point) {
            let (low, high) = input.range;
            (input.apply)(&mut changed, low + (high - low) * 0.5 * (place + 1.0));
        }
        if let Some(variant) = Variant::of(base, &changed, library) {
            places.push(point.clone());
            variants.push((variant, shown));
        }
    }
    let (scores, partial) = run(engine, &variants, observer);
    let known: Vec<(Vec<f64>, Score)> =
        places.into_iter().zip(scores).filter_map(|(place, score)| Some((place, score?))).collect();
    let terms = 1 + 2 * inputs.len();
    if partial || known.len() < 2 * terms {
        return None;
    }
    let rows: Vec<Vec<f64>> = known.iter().map(|(place, _)| row(place)).collect();
    let costs: Vec<f64> = known.iter().map(|(_, score)| score.cost()).collect();
    let failures: Vec<f64> =
        known.iter().map(|(_, score)| score.failures() as f64 / score.run().max(1) as f64).collect();
    let (cost, failed) = (analysed(&rows, &costs, &mut stream), analysed(&rows, &failures, &mut stream));
    let mut list: Vec<Share> = inputs
        .into_iter()
        .enumerate()
        .map(|(k, input)| Share { name: input.name, cost: cost.shares[k], failures: failed.shares[k] })
        .collect();
    list.sort_by(|a, b| b.cost.0.total_cmp(&a.cost.0).then(a.name.cmp(&b.name)));
    Some(Shares {
        list,
        points: known.len(),
        spread: (cost.deviation, failed.deviation),
        told: (cost.told, failed.told),
        partial,
    })
}

/// The assumptions and their ranges (judgement: what a season brings by itself, and a market in a few years).
fn inputs(site: &SiteFacts, bin: usize, packing: f64, fits: &dyn Fn(&SiteFacts) -> bool) -> Vec<Input> {
    let mut list = Vec::new();
    let mut add = |name: &str, range: (f64, f64), apply: Apply| list.push(Input { name: name.into(), range, apply });
    add(
        "moisture, 2 points either way",
        (-0.02, 0.02),
        Box::new(move |site, x| site.bins[bin].lots.iter_mut().for_each(|lot| lot.moisture += x)),
    );
    add("first day, 10 days either way", (-10.0, 10.0), Box::new(move |site, x| later(site, bin, x.round() as i64)));
    // As deep as the bin holds.
    let highest = [1.2, 1.1, 1.05].into_iter().find(|factor| {
        let mut deep = site.clone();
        deeper(&mut deep, bin, *factor);
        fits(&deep)
    });
    let highest = highest.unwrap_or(1.0);
    add(&format!("depth × 0.8 to {highest}"), (0.8, highest), Box::new(move |site, x| deeper(site, bin, x)));
    add("resistance × 0.8 to 1.25", (0.8, 1.25), Box::new(move |site, x| site.bins[bin].packing = Some(packing * x)));
    add("fines, up to 5 % more", (0.0, 0.05), Box::new(move |site, x| site.bins[bin].fines += x));
    if let Some(prices) = &site.prices {
        add("electricity × 0.7 to 1.3", (0.7, 1.3), Box::new(electricity));
        if prices.fuel.is_some() && site.bins[bin].outfit.burner.is_some() {
            add("fuel × 0.7 to 1.3", (0.7, 1.3), Box::new(fuel));
        }
        if prices.costs.grain.is_some() {
            add("grain price × 0.7 to 1.3", (0.7, 1.3), Box::new(grain));
        }
    }
    list
}

/// A Latin hypercube over −1 to 1: in each direction one point in every slice.
fn cube(directions: usize, points: usize, stream: &mut Stream) -> Vec<Vec<f64>> {
    let mut cube = vec![vec![0.0; directions]; points];
    for k in 0..directions {
        let mut slices: Vec<usize> = (0..points).collect();
        for i in (1..points).rev() {
            slices.swap(i, (stream.uniform() * (i + 1) as f64) as usize);
        }
        for (point, slice) in cube.iter_mut().zip(slices) {
            point[k] = 2.0 * (slice as f64 + stream.uniform()) / points as f64 - 1.0;
        }
    }
    cube
}

/// The terms at a point: 1, then x and (3x² − 1)/2 of each direction, whose variances over −1 to 1 are 1/3 and 1/5.
fn row(place: &[f64]) -> Vec<f64> {
    std::iter::once(1.0).chain(place.iter().flat_map(|x| [*x, 1.5 * x * x - 0.5])).collect()
}

struct Analysed {
    shares: Vec<(f64, f64)>,
    deviation: f64,
    told: f64,
}

fn analysed(rows: &[Vec<f64>], values: &[f64], stream: &mut Stream) -> Analysed {
    let directions = (rows[0].len() - 1) / 2;
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let total = values.iter().map(|v| (v - mean).powi(2)).sum::<f64>();
    let nothing = Analysed { shares: vec![(0.0, 0.0); directions], deviation: 0.0, told: 0.0 };
    if total <= 1e-24 * n * (1.0 + mean * mean) {
        return nothing;
    }
    let all: Vec<usize> = (0..values.len()).collect();
    let Some(shares) = split(rows, values, &all) else { return nothing };
    let mut drawn: Vec<Vec<f64>> = Vec::new();
    for _ in 0..DRAWS {
        let some: Vec<usize> = all.iter().map(|_| (stream.uniform() * n) as usize).collect();
        drawn.extend(split(rows, values, &some));
    }
    let error = |k: usize| {
        let of = drawn.len().max(2) as f64;
        let mean = drawn.iter().map(|s| s[k]).sum::<f64>() / of;
        (drawn.iter().map(|s| (s[k] - mean).powi(2)).sum::<f64>() / (of - 1.0)).sqrt()
    };
    // Each point from a fit to the others.
    let missed: f64 = all
        .iter()
        .map(|&i| {
            let others: Vec<usize> = all.iter().copied().filter(|&j| j != i).collect();
            let told = fit(rows, values, &others).map_or(mean, |c| dot(&c, &rows[i]));
            (values[i] - told).powi(2)
        })
        .sum();
    Analysed {
        shares: shares.iter().enumerate().map(|(k, share)| (*share, error(k))).collect(),
        deviation: (total / (n - 1.0)).sqrt(),
        told: 1.0 - missed / total,
    }
}

/// Shares of the variance by the terms of each direction; what the fit leaves counts to the whole.
fn split(rows: &[Vec<f64>], values: &[f64], some: &[usize]) -> Option<Vec<f64>> {
    let coefficients = fit(rows, values, some)?;
    let parts: Vec<f64> =
        coefficients[1..].chunks(2).map(|pair| pair[0] * pair[0] / 3.0 + pair[1] * pair[1] / 5.0).collect();
    let left: f64 = some.iter().map(|&i| (values[i] - dot(&coefficients, &rows[i])).powi(2)).sum();
    let free = some.len().checked_sub(coefficients.len()).filter(|free| *free > 0)?;
    let whole = parts.iter().sum::<f64>() + left / free as f64;
    (whole > 0.0).then(|| parts.iter().map(|part| part / whole).collect())
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// Least squares by the normal equations: the terms are near orthogonal, so that they serve.
fn fit(rows: &[Vec<f64>], values: &[f64], some: &[usize]) -> Option<Vec<f64>> {
    let p = rows[0].len();
    let mut a = vec![vec![0.0; p + 1]; p];
    for &i in some {
        for r in 0..p {
            for c in 0..p {
                a[r][c] += rows[i][r] * rows[i][c];
            }
            a[r][p] += rows[i][r] * values[i];
        }
    }
    for k in 0..p {
        let pivot = (k..p).max_by(|&x, &y| a[x][k].abs().total_cmp(&a[y][k].abs()))?;
        a.swap(k, pivot);
        if a[k][k].abs() < 1e-9 {
            return None;
        }
        let lead = a[k].clone();
        for row in &mut a[k + 1..] {
            let factor = row[k] / lead[k];
            row[k..].iter_mut().zip(&lead[k..]).for_each(|(value, from)| *value -= factor * from);
        }
    }
    let mut x = vec![0.0; p];
    for k in (0..p).rev() {
        let known: f64 = (k + 1..p).map(|c| a[k][c] * x[c]).sum();
        x[k] = (a[k][p] - known) / a[k][k];
    }
    Some(x)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// By hand: y = 3 x₁ + x₂² over −1 to 1 has variances 9/3 = 3 and 4/45, nothing of x₃; the polynomial holds it exactly.
    #[test]
    fn shares_of_a_known_function_are_its_variances() {
        let mut stream = Stream::new(1);
        let cube = cube(3, POINTS, &mut stream);
        let rows: Vec<Vec<f64>> = cube.iter().map(|place| row(place)).collect();
        let values: Vec<f64> = cube.iter().map(|x| 3.0 * x[0] + x[1] * x[1]).collect();
        let found = analysed(&rows, &values, &mut stream);
        let whole = 3.0 + 4.0 / 45.0;
        for (share, want) in found.shares.iter().zip([3.0 / whole, 4.0 / 45.0 / whole, 0.0]) {
            assert!((share.0 - want).abs() < 1e-9 && share.1 < 1e-9, "{share:?} {want}");
        }
        assert!((found.told - 1.0).abs() < 1e-9);
        // A product is nobody's own: it is left over, and the fit does not tell it.
        let values: Vec<f64> = cube.iter().map(|x| x[0] * x[1]).collect();
        let found = analysed(&rows, &values, &mut stream);
        assert!(found.told < 0.2 && found.shares.iter().all(|share| share.0 < 0.3), "{:?}", found.shares);
        // Nothing varies: no share.
        assert_eq!(analysed(&rows, &vec![2.0; POINTS], &mut stream).shares, vec![(0.0, 0.0); 3]);
    }

    #[test]
    fn a_hypercube_has_one_point_in_every_slice() {
        let cube = cube(2, 8, &mut Stream::new(3));
        for k in 0..2 {
            let mut slices: Vec<usize> = cube.iter().map(|p| (4.0 * (p[k] + 1.0)) as usize).collect();
            slices.sort_unstable();
            assert_eq!(slices, (0..8).collect::<Vec<_>>());
        }
    }
}

//! Air that crowds at a pad or at ducts: the closed forms beside finite volumes of the same grain.
//!
//! The solver gives the compilers' finite-element figure for a disc of 0.7 of the radius (0.860) to 0.001, so it may judge the rest.

use crate::page::{Row as Line, Verdict, row};
use equipment::Spread;
use physics::resistance::LogLaw;

const CORN: LogLaw = LogLaw { a: 2.07e4, b: 30.4 };
/// Pressure under the grain, Pa: 1000 Pa over grain half again as tight, as in the compilers' case.
const PRESSURE: f64 = 1000.0 / 1.5;
/// Radius of the bin, m.
const BIN: f64 = 18.0 * 0.3048;
/// Allowed to a closed form, of the flow.
const ALLOWED: f64 = 0.03;

/// Velocity over that through a full floor that the shells of a closed form give, under the law or linear.
fn closed(spread: &Spread, depth: f64, linear: bool) -> f64 {
    let gradient = |v: f64| if linear { 1e4 * v } else { CORN.gradient(v) };
    let flow = |shells: &[(f64, f64)]| {
        let lost =
            |v: f64| depth * gradient(v) + shells.iter().map(|(times, deep)| deep * gradient(times * v)).sum::<f64>();
        let (mut low, mut high) = (0.0, 2.0);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if lost(middle) < PRESSURE { low = middle } else { high = middle }
        }
        low
    };
    flow(&spread.shells) / flow(&[])
}

/// The same solved.
fn solved(cut: &Cut, linear: bool, open: &dyn Fn(f64) -> bool, inside: &dyn Fn(f64, f64) -> bool) -> f64 {
    let law = |gradient: f64| if linear { gradient / 1e4 } else { CORN.velocity(gradient) };
    let depth = cut.up.last().copied().unwrap_or(1.0);
    cut.velocity(PRESSURE, open, inside, &law) / law(PRESSURE / depth)
}

/// A pad of so much of the radius; the error at its rim goes with the width of the cells, so two grids give the limit.
fn pad(share: f64, depth: f64, sideways: f64, linear: bool) -> f64 {
    let on = |cells: usize| {
        let width = BIN / cells as f64;
        let across = (0..=cells).map(|i| width * i as f64).collect();
        let cut = Cut { across, up: growing(cells, 0.5 * width, depth), round: true, sideways };
        solved(&cut, linear, &|x| x < share * BIN, &|_, _| false)
    };
    2.0 * on(60) - on(30)
}

/// Half-buried ducts; cells of a twelfth of the radius, whose steps make the duct a little small.
fn ducts(radius: f64, spacing: f64, depth: f64, sideways: f64, linear: bool) -> f64 {
    let on = |cells: usize| {
        let fine = radius / cells as f64;
        let even = 3 * cells / 2;
        let reach = even as f64 * fine;
        let faces = |length: f64, count: usize| -> Vec<f64> {
            let beyond = growing(count, 1.1 * fine, length - reach);
            (0..=even).map(|i| fine * i as f64).chain(beyond[1..].iter().map(|at| reach + at)).collect()
        };
        let cut = Cut { across: faces(0.5 * spacing, 2 * cells), up: faces(depth, 3 * cells), round: false, sideways };
        solved(&cut, linear, &|_| false, &|x, z| x * x + z * z < radius * radius)
    };
    2.0 * on(12) - on(6)
}

/// Which case, and what is left out of the verdict.
struct Case {
    what: String,
    solved: f64,
    closed: f64,
    outside: &'static str,
}

/// The rows.
pub(super) fn rows(lines: &mut Vec<Line>) {
    let mut cases = Vec::new();
    let words = |sideways: f64, linear: bool| match (linear, sideways < 1.0) {
        (false, _) => "corn".to_string(),
        (true, false) => "linear flow".to_string(),
        (true, true) => format!("linear flow, {sideways} of the resistance sideways"),
    };
    const SHALLOW: &str = "less deep than half the width of the bin: outside the form's range, and said so in a remark";
    const SMALL: &str =
        "the form takes the law at the mean velocity of the pad: outside its range, and said so in a remark";
    for (share, depth, sideways, linear, outside) in [
        (0.7, 6.0, 1.0, false, ""),
        (0.5, 6.0, 1.0, false, ""),
        (0.85, 6.0, 1.0, false, ""),
        (0.5, 9.0, 1.0, false, ""),
        (0.5, 6.0, 0.6, true, ""),
        (0.7, 6.0, 0.6, true, ""),
        (0.5, 3.0, 1.0, false, SHALLOW),
        (0.3, 6.0, 1.0, false, SMALL),
    ] {
        cases.push(Case {
            what: format!("pad of {share} of the radius under {depth} m, 36 ft bin, {}", words(sideways, linear)),
            solved: pad(share, depth, sideways, linear),
            closed: closed(&Spread::pad(share * BIN, BIN, sideways), depth, linear),
            outside,
        });
    }
    const LOW: &str = "less deep than the ducts are apart: outside the form's range, and said so in a remark";
    for (radius, spacing, depth, sideways, linear, outside) in [
        (0.15, 2.0, 4.0, 1.0, false, ""),
        (0.15, 2.0, 2.0, 1.0, false, ""),
        (0.1, 1.2, 3.0, 1.0, false, ""),
        (0.15, 2.0, 2.0, 1.0, true, ""),
        (0.15, 2.0, 4.0, 0.6, true, ""),
        (0.15, 2.0, 1.0, 1.0, false, LOW),
    ] {
        cases.push(Case {
            what: format!("ducts of {radius} m radius {spacing} m apart under {depth} m, {}", words(sideways, linear)),
            solved: ducts(radius, spacing, depth, sideways, linear),
            closed: closed(&Spread::ducts(radius, spacing, sideways), depth, linear),
            outside,
        });
    }
    for Case { what, solved, closed, outside } in cases {
        let off = closed / solved - 1.0;
        let line = row(
            format!("crowding, flow over that of a full floor: {what}"),
            format!("{solved:.3} (solved here by finite volumes)"),
            format!("{closed:.3}"),
        )
        .off(format!("{:+.1} %, allowed {:.0} %", 100.0 * off, 100.0 * ALLOWED));
        let verdict = if outside.is_empty() { Verdict::of(off, ALLOWED) } else { Verdict::Band };
        lines.push(line.is(verdict).because(outside));
    }
}

/// Grain between a floor and its surface, cut open: across by the radius of a bin, or from a duct to half way to the next.
struct Cut {
    /// Faces across and up, m.
    across: Vec<f64>,
    up: Vec<f64>,
    /// Whether `across` is a radius.
    round: bool,
    /// Horizontal resistance over vertical.
    sideways: f64,
}

/// Faces that begin `first` apart and grow evenly to a length.
fn growing(count: usize, first: f64, length: f64) -> Vec<f64> {
    let sum = |ratio: f64| first * (ratio.powi(count as i32) - 1.0) / (ratio - 1.0);
    let (mut low, mut high) = (1.0 + 1e-9, 3.0);
    for _ in 0..80 {
        let middle = 0.5 * (low + high);
        if sum(middle) < length { low = middle } else { high = middle }
    }
    let mut faces: Vec<f64> =
        (0..=count).map(|i| if i == 0 { 0.0 } else { first * (low.powi(i as i32) - 1.0) / (low - 1.0) }).collect();
    faces[count] = length;
    faces
}

impl Cut {
    /// Mean velocity at the surface under a pressure below, m/s: finite volumes, the law's secant taken anew until it stands.
    ///
    /// `open` says of a place across whether the floor is open there, `inside` of a place whether it lies in a duct; `law` is the velocity
    /// at a gradient.
    fn velocity(
        &self,
        pressure: f64,
        open: &dyn Fn(f64) -> bool,
        inside: &dyn Fn(f64, f64) -> bool,
        law: &dyn Fn(f64) -> f64,
    ) -> f64 {
        let middles = |faces: &[f64]| -> Vec<f64> { faces.windows(2).map(|f| 0.5 * (f[0] + f[1])).collect() };
        let (x, z) = (middles(&self.across), middles(&self.up));
        let (nx, nz) = (x.len(), z.len());
        let height = self.up[nz];
        let top = |i: usize| {
            let (a, b) = (self.across[i], self.across[i + 1]);
            if self.round { 0.5 * (b * b - a * a) } else { b - a }
        };
        let held: Vec<bool> = (0..nx * nz).map(|c| inside(x[c % nx], z[c / nx])).collect();
        let mut p: Vec<f64> =
            (0..nx * nz).map(|c| if held[c] { pressure } else { pressure * (1.0 - z[c / nx] / height) }).collect();
        let mut flow = 0.0;
        for _ in 0..60 {
            let at = |i: usize, j: usize| p[j * nx + i];
            // Gradients on faces: `gz[j][i]` below cell j, `gx[j][i]` left of cell i.
            let gz = |i: usize, j: usize| match j {
                0 if open(x[i]) => (pressure - at(i, 0)) / z[0],
                0 => 0.0,
                j if j == nz => at(i, nz - 1) / (height - z[nz - 1]),
                j => (at(i, j - 1) - at(i, j)) / (z[j] - z[j - 1]),
            };
            let gx = |i: usize, j: usize| {
                if i == 0 || i == nx { 0.0 } else { (at(i - 1, j) - at(i, j)) / (x[i] - x[i - 1]) }
            };
            let mean_x = |i: usize, j: usize| 0.5 * (gx(i, j) + gx(i + 1, j));
            let mean_z = |i: usize, j: usize| 0.5 * (gz(i, j) + gz(i, j + 1));
            let eases = |along: f64, aside: f64| {
                let gradient = along.hypot(aside).max(1e-9);
                law(gradient) / gradient
            };
            // What a pascal moves through a face.
            let cz = |i: usize, j: usize| {
                if j == 0 && !open(x[i]) {
                    return 0.0;
                }
                let aside = if j == 0 || j == nz { 0.0 } else { 0.5 * (mean_x(i, j) + mean_x(i, j - 1)) };
                let apart = if j == 0 {
                    z[0]
                } else if j == nz {
                    height - z[nz - 1]
                } else {
                    z[j] - z[j - 1]
                };
                eases(gz(i, j), aside) * top(i) / apart
            };
            let cx = |i: usize, j: usize| {
                if i == 0 || i == nx {
                    return 0.0;
                }
                let aside = 0.5 * (mean_z(i, j) + mean_z(i - 1, j));
                let area = (self.up[j + 1] - self.up[j]) * if self.round { self.across[i] } else { 1.0 };
                eases(gx(i, j), aside) / self.sideways * area / (x[i] - x[i - 1])
            };
            // Symmetric and banded: row of a cell, its left and its lower neighbour.
            let n = nx * nz;
            let mut band = vec![0.0; n * (nx + 1)];
            let mut right = vec![0.0; n];
            for j in 0..nz {
                for i in 0..nx {
                    let c = j * nx + i;
                    if held[c] {
                        band[c * (nx + 1) + nx] = 1.0;
                        right[c] = pressure;
                        continue;
                    }
                    let mut own = 0.0;
                    let mut join = |through: f64, other: Option<usize>| {
                        own += through;
                        match other {
                            Some(o) if held[o] => right[c] += through * pressure,
                            Some(o) if o < c => band[c * (nx + 1) + nx - (c - o)] -= through,
                            _ => {}
                        }
                    };
                    join(cx(i, j), (i > 0).then(|| c - 1));
                    join(cx(i + 1, j), (i + 1 < nx).then(|| c + 1));
                    join(cz(i, j), (j > 0).then(|| c.wrapping_sub(nx)));
                    join(cz(i, j + 1), (j + 1 < nz).then(|| c + nx));
                    if j == 0 {
                        right[c] += cz(i, 0) * pressure;
                    }
                    band[c * (nx + 1) + nx] += own;
                }
            }
            let found = solve(band, right, nx);
            let change = found.iter().zip(&p).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
            p = found;
            let through = |i: usize| {
                let last = p[(nz - 1) * nx + i];
                let gradient = last / (height - z[nz - 1]);
                law(gradient) * top(i)
            };
            flow = (0..nx).map(through).sum::<f64>() / (0..nx).map(top).sum::<f64>();
            if change < 1e-7 * pressure {
                break;
            }
        }
        flow
    }
}

/// Solves a symmetric positive system of a half width `w`: row c holds the columns c − w to c. Cholesky in place.
fn solve(mut a: Vec<f64>, mut b: Vec<f64>, w: usize) -> Vec<f64> {
    let n = b.len();
    let row = w + 1;
    for c in 0..n {
        for o in c.saturating_sub(w)..=c {
            let first = c.saturating_sub(w).max(o.saturating_sub(w));
            let mut sum = a[c * row + w - (c - o)];
            for k in first..o {
                sum -= a[c * row + w - (c - k)] * a[o * row + w - (o - k)];
            }
            a[c * row + w - (c - o)] = if o == c { sum.sqrt() } else { sum / a[o * row + w] };
        }
    }
    for c in 0..n {
        for o in c.saturating_sub(w)..c {
            b[c] -= a[c * row + w - (c - o)] * b[o];
        }
        b[c] /= a[c * row + w];
    }
    for c in (0..n).rev() {
        b[c] /= a[c * row + w];
        for o in c.saturating_sub(w)..c {
            b[o] -= a[c * row + w - (c - o)] * b[c];
        }
    }
    b
}

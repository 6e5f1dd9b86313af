//! Air off, in rings: heat moves through a round bin along its radius and its height.
//!
//! Finite volumes (rings by layers), implicit, one direction after the other with the other's flow carried along (Douglas's
//! scheme): stable at any step, and what leaves one cell enters the next, so heat is kept to rounding. First order in
//! time, second in space. Leaves out natural convection and the moisture that it carries.

use numerics::tridiagonal;
use std::f64::consts::PI;
use std::ops::Range;

/// Rings to a radius, away from the wall.
const RINGS: f64 = 20.0;
/// Rings to a radius in the outermost column, where the seasons are felt most.
const RINGS_AT_WALL: f64 = 40.0;

/// What lies on the other side of a face of the grain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Edge {
    /// Temperature there, °C.
    pub temperature: f64,
    /// Conductance from there to the face, W/(m² K); 0 for a face that lets no heat pass.
    pub conductance: f64,
}

impl Edge {
    /// A face that lets no heat pass.
    pub const CLOSED: Self = Self { temperature: 0.0, conductance: 0.0 };
}

/// What surrounds the grain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surroundings {
    /// Beyond the wall.
    pub wall: Edge,
    /// Above the grain.
    pub top: Edge,
    /// Below the floor.
    pub floor: Edge,
}

/// Heat that left the grain during a step, J.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Passed {
    /// Through the wall.
    pub wall: f64,
    /// Through the surface.
    pub top: f64,
    /// Through the floor.
    pub floor: f64,
}

impl Passed {
    /// Through all faces.
    pub fn sum(&self) -> f64 {
        self.wall + self.top + self.floor
    }
}

/// A round bin in rings and layers. Columns of grain are concentric, the first in the middle; each holds several rings.
#[derive(Debug, Clone)]
pub struct RingGrid {
    /// Rings of each column.
    columns: Vec<Range<usize>>,
    /// Radii of the faces between rings, from 0 to that of the wall, m.
    faces: Vec<f64>,
    /// Floor under each ring, m².
    area: Vec<f64>,
    /// Conductance to the next ring over conductivity and depth; the last is that to the wall's inner face.
    link: Vec<f64>,
    /// Depth of each layer, m.
    depth: Vec<f64>,
    /// Heat capacity by column and layer, J/(m² K): `column * slots + layer`.
    heat: Vec<f64>,
    /// Temperatures by layer and ring, °C: `layer * rings + ring`.
    temperature: Vec<f64>,
    /// The same after the step along the radius.
    middle: Vec<f64>,
    slots: usize,
    scratch: [Vec<f64>; 4],
}

impl RingGrid {
    /// An empty grid: radius in m, shares of the floor of each column from the middle outwards, most layers.
    pub fn new(radius: f64, shares: &[f64], slots: usize) -> Self {
        let (mut faces, mut columns) = (vec![0.0], Vec::with_capacity(shares.len()));
        let (mut inner, mut covered) = (0.0, 0.0);
        for (k, share) in shares.iter().enumerate() {
            covered += share;
            let last = k + 1 == shares.len();
            let outer = if last { radius } else { radius * covered.min(1.0).sqrt() };
            let fine = if last { RINGS_AT_WALL } else { RINGS };
            let count = (fine * (outer - inner) / radius - 1e-9).ceil().max(2.0);
            let first = faces.len() - 1;
            faces.extend((1..=count as usize).map(|i| inner + (outer - inner) * i as f64 / count));
            columns.push(first..faces.len() - 1);
            inner = outer;
        }
        Self::of_faces(faces, columns, slots)
    }

    /// A grid of one column with so many rings of equal width.
    pub fn even(radius: f64, rings: usize, slots: usize) -> Self {
        let faces = (0..=rings).map(|i| radius * i as f64 / rings as f64).collect();
        Self::of_faces(faces, std::iter::once(0..rings).collect(), slots)
    }

    fn of_faces(faces: Vec<f64>, columns: Vec<Range<usize>>, slots: usize) -> Self {
        let rings = faces.len() - 1;
        let centre = |i: usize| 0.5 * (faces[i] + faces[i + 1]);
        let link = (0..rings)
            .map(|i| {
                let from = centre(i);
                let to = if i + 1 < rings { centre(i + 1) } else { faces[rings] };
                2.0 * PI * faces[i + 1] / (to - from)
            })
            .collect();
        let longest = rings.max(slots);
        let scratch = || vec![0.0; longest];
        Self {
            area: faces.windows(2).map(|f| PI * (f[1] * f[1] - f[0] * f[0])).collect(),
            link,
            depth: Vec::with_capacity(slots),
            heat: vec![0.0; columns.len() * slots],
            temperature: vec![0.0; rings * slots],
            middle: vec![0.0; rings * slots],
            slots,
            scratch: [scratch(), scratch(), scratch(), scratch()],
            columns,
            faces,
        }
    }

    /// Rings, from the middle to the wall.
    pub fn rings(&self) -> usize {
        self.area.len()
    }

    /// Layers that hold grain.
    pub fn layers(&self) -> usize {
        self.depth.len()
    }

    /// The rings of a column.
    pub fn of_column(&self, column: usize) -> Range<usize> {
        self.columns[column].clone()
    }

    /// Inner and outer radius of a ring, m.
    pub fn radii(&self, ring: usize) -> (f64, f64) {
        (self.faces[ring], self.faces[ring + 1])
    }

    /// Floor under a ring, m².
    pub fn area(&self, ring: usize) -> f64 {
        self.area[ring]
    }

    /// Says how deep the layers are, from the floor up, m; what the grid held before is to be put in again.
    ///
    /// # Panics
    /// When there are more layers than slots: a fault of the caller.
    pub fn lay(&mut self, depths: impl Iterator<Item = f64>) {
        self.depth.clear();
        self.depth.extend(depths);
        assert!(self.depth.len() <= self.slots, "no more layers than slots");
    }

    /// Puts the heat capacity of a layer of a column, J/(m² K).
    pub fn put_heat(&mut self, column: usize, layer: usize, capacity: f64) {
        self.heat[column * self.slots + layer] = capacity;
    }

    /// Puts a temperature, °C.
    pub fn put(&mut self, layer: usize, ring: usize, temperature: f64) {
        let at = layer * self.rings() + ring;
        self.temperature[at] = temperature;
    }

    /// Temperature of a ring in a layer, °C.
    pub fn temperature(&self, layer: usize, ring: usize) -> f64 {
        self.temperature[layer * self.rings() + ring]
    }

    /// Area mean of a column in a layer, °C.
    pub fn mean(&self, column: usize, layer: usize) -> f64 {
        let (mut sum, mut area) = (0.0, 0.0);
        for ring in self.of_column(column) {
            sum += self.area[ring] * self.temperature(layer, ring);
            area += self.area[ring];
        }
        sum / area
    }

    /// Mean temperature of the grain's surface, °C.
    pub fn surface(&self) -> Option<f64> {
        let top = self.layers().checked_sub(1)?;
        let sum: f64 = (0..self.rings()).map(|i| self.area[i] * self.temperature(top, i)).sum();
        Some(sum / self.area.iter().sum::<f64>())
    }

    /// Lowest and highest temperature in the grid, °C.
    pub fn extremes(&self) -> (f64, f64) {
        let all = &self.temperature[..self.layers() * self.rings()];
        all.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), t| (low.min(*t), high.max(*t)))
    }

    /// Sensible heat over 0 °C, J.
    pub fn stored(&self) -> f64 {
        let of = |k: usize, j: usize| {
            let heat = self.heat[k * self.slots + j];
            self.of_column(k).map(|i| heat * self.area[i] * self.temperature(j, i)).sum::<f64>()
        };
        (0..self.columns.len()).map(|k| (0..self.layers()).map(|j| of(k, j)).sum::<f64>()).sum()
    }

    /// Carries the grain through a stretch of time, conductivity in W/(m K). Returns the heat that left.
    pub fn conduct(&mut self, conductivity: f64, around: &Surroundings, seconds: f64) -> Passed {
        if self.layers() == 0 {
            return Passed::default();
        }
        let mut passed = Passed { wall: self.along_radius(conductivity, around, seconds), ..Passed::default() };
        self.along_height(conductivity, around, seconds, &mut passed);
        passed
    }

    /// Conductance from the middle of a layer to what lies beyond its outer face, W/(m² K).
    fn to_edge(conductivity: f64, depth: f64, edge: &Edge) -> f64 {
        let half = 2.0 * conductivity / depth;
        half * edge.conductance / (half + edge.conductance)
    }

    /// Conductance between a layer and the one above it, W/(m² K).
    fn to_next(&self, conductivity: f64, layer: usize) -> f64 {
        2.0 * conductivity / (self.depth[layer] + self.depth[layer + 1])
    }

    /// The step along the radius, with the flow along the height as it was; returns the heat through the wall.
    fn along_radius(&mut self, conductivity: f64, around: &Surroundings, seconds: f64) -> f64 {
        let (rings, layers) = (self.rings(), self.layers());
        let to_floor = Self::to_edge(conductivity, self.depth[0], &around.floor);
        let to_top = Self::to_edge(conductivity, self.depth[layers - 1], &around.top);
        let mut out = 0.0;
        for j in 0..layers {
            let below = if j > 0 { self.to_next(conductivity, j - 1) } else { to_floor };
            let above = if j + 1 < layers { self.to_next(conductivity, j) } else { to_top };
            let scale = seconds * conductivity * self.depth[j];
            // Half of the last ring and the film lie in series.
            let half = self.link[rings - 1] * conductivity;
            let film = 2.0 * PI * self.faces[rings] * around.wall.conductance;
            let to_wall = seconds * self.depth[j] * half * film / (half + film);
            let [low, mid, high, right] = &mut self.scratch;
            let row = |layer: usize| layer * rings;
            for (k, column) in self.columns.iter().enumerate() {
                let heat = self.heat[k * self.slots + j];
                for i in column.clone() {
                    let t = self.temperature[row(j) + i];
                    let under = if j > 0 { self.temperature[row(j - 1) + i] } else { around.floor.temperature };
                    let over = if j + 1 < layers { self.temperature[row(j + 1) + i] } else { around.top.temperature };
                    let gained = seconds * (below * (under - t) + above * (over - t));
                    let inward = if i > 0 { scale * self.link[i - 1] } else { 0.0 };
                    let outward = if i + 1 < rings { scale * self.link[i] } else { to_wall };
                    low[i] = -inward;
                    high[i] = if i + 1 < rings { -outward } else { 0.0 };
                    mid[i] = heat * self.area[i] + inward + outward;
                    right[i] = self.area[i] * (heat * t + gained);
                }
            }
            right[rings - 1] += to_wall * around.wall.temperature;
            tridiagonal::solve::<f64>(rings, low, mid, high, right);
            out += to_wall * (right[rings - 1] - around.wall.temperature);
            self.middle[row(j)..row(j + 1)].copy_from_slice(&right[..rings]);
        }
        out
    }

    /// The step along the height: what the first step changed is taken back or carried on as the layers share it. The rings
    /// of a column have the same coefficients, so each column is eliminated once.
    fn along_height(&mut self, conductivity: f64, around: &Surroundings, seconds: f64, passed: &mut Passed) {
        let (rings, layers) = (self.rings(), self.layers());
        let to_floor = Self::to_edge(conductivity, self.depth[0], &around.floor);
        let to_top = Self::to_edge(conductivity, self.depth[layers - 1], &around.top);
        for k in 0..self.columns.len() {
            let column = self.of_column(k);
            // Pivots (inverted) and the factor with which each row is taken from the next.
            for j in 0..layers {
                let below = seconds * if j > 0 { self.to_next(conductivity, j - 1) } else { to_floor };
                let above = seconds * if j + 1 < layers { self.to_next(conductivity, j) } else { to_top };
                let whole = self.heat[k * self.slots + j] + below + above;
                let factor = if j > 0 { below * self.scratch[1][j - 1] } else { 0.0 };
                let coupled = if j > 0 { factor * below } else { 0.0 };
                self.scratch[0][j] = factor;
                self.scratch[1][j] = 1.0 / (whole - coupled);
                self.scratch[2][j] = if j + 1 < layers { above } else { 0.0 };
            }
            for j in 0..layers {
                let heat = self.heat[k * self.slots + j];
                let factor = self.scratch[0][j];
                for i in column.clone() {
                    let at = j * rings + i;
                    let under = if j > 0 { self.middle[at - rings] } else { 0.0 };
                    self.middle[at] = heat * (self.middle[at] - self.temperature[at]) + factor * under;
                }
            }
            for j in (0..layers).rev() {
                let (pivot, above) = (self.scratch[1][j], self.scratch[2][j]);
                for i in column.clone() {
                    let at = j * rings + i;
                    let over = if j + 1 < layers { self.middle[at + rings] } else { 0.0 };
                    self.middle[at] = pivot * (self.middle[at] + above * over);
                }
            }
        }
        let all = layers * rings;
        for (t, change) in self.temperature[..all].iter_mut().zip(&self.middle[..all]) {
            *t += change;
        }
        for i in 0..rings {
            let area = seconds * self.area[i];
            passed.floor += area * to_floor * (self.temperature(0, i) - around.floor.temperature);
            passed.top += area * to_top * (self.temperature(layers - 1, i) - around.top.temperature);
        }
    }
}

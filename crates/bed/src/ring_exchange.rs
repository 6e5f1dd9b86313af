//! How the rings of a round bin and its columns exchange layers while the air is still.
//!
//! A column knows one temperature a layer, the rings within it several. Between two rests the rings keep how far each lies
//! from the mean of its column; the column keeps everything else. What the rings conduct is given back to the columns as
//! heat, so the balance of each column stays whole and the bin loses what passed its faces, to rounding.

use crate::block::Block;
use crate::rings::{Passed, RingGrid, Surroundings};
use numerics::Real;

/// The rings of one bin, between its rests.
#[derive(Debug, Clone)]
pub struct RingExchange {
    grid: RingGrid,
    /// By layer and ring: temperature less the mean of its column, K.
    apart: Vec<f64>,
    /// Lowest and highest temperature that a ring came to, °C.
    met: (f64, f64),
}

impl RingExchange {
    /// Rings for a bin: radius in m, shares of the floor of its columns from the middle outwards, slots for layers.
    pub fn new(radius: f64, shares: &[f64], slots: usize) -> Self {
        let grid = RingGrid::new(radius, shares, slots);
        Self { apart: vec![0.0; grid.rings() * slots], grid, met: (f64::INFINITY, f64::NEG_INFINITY) }
    }

    /// Conducts heat through the grain of a lane, one block a column, for a stretch of time (conductivity in W/(m K)).
    ///
    /// The blocks themselves must conduct nothing meanwhile ([`Block::conduct`]). Columns stand on the same layers: the
    /// depth of each is that of the first.
    pub fn rest(
        &mut self,
        (blocks, lane): (&mut [Block], usize),
        conductivity: f64,
        around: impl FnOnce(&RingGrid) -> Surroundings,
        seconds: f64,
    ) -> Passed {
        let Some(first) = blocks.first() else { return Passed::default() };
        let (rings, density) = (self.grid.rings(), first.dry_density(lane));
        self.grid.lay(first.layers(lane).map(|l| l.dry_matter / density));
        let layers = self.grid.layers();
        for (k, block) in blocks.iter().enumerate() {
            for j in 0..layers {
                let layer = block.layer(lane, j);
                self.grid.put_heat(k, j, layer.dry_matter * block.heat_capacity(lane, layer.moisture));
                for i in self.grid.of_column(k) {
                    self.grid.put(j, i, layer.temperature + self.apart[j * rings + i]);
                }
            }
        }
        let around = around(&self.grid);
        let passed = self.grid.conduct(conductivity, &around, seconds);
        for (k, block) in blocks.iter_mut().enumerate() {
            for j in 0..layers {
                let mean = self.grid.mean(k, j);
                let before = block.layer(lane, j);
                let capacity = before.dry_matter * block.heat_capacity(lane, before.moisture);
                block.warm(lane, j, capacity * (mean - before.temperature));
                for i in self.grid.of_column(k) {
                    self.apart[j * rings + i] = self.grid.temperature(j, i) - mean;
                }
            }
        }
        let (low, high) = self.grid.extremes();
        self.met = (self.met.0.min(low), self.met.1.max(high));
        passed
    }

    /// Air passed a column: it evens out what lay apart. `carried` is the heat capacity of that air over that of the grain;
    /// a front of temperature has passed the column when it is 1 (judgement: the rest decays as e to its power).
    pub fn blown(&mut self, column: usize, carried: f64) {
        let left = Real::exp(-carried);
        let rings = self.grid.rings();
        for layer in self.apart.chunks_exact_mut(rings) {
            layer[self.grid.of_column(column)].iter_mut().for_each(|apart| *apart *= left);
        }
    }

    /// Layers were moved or mixed: every ring is as warm as its column again.
    pub fn even_out(&mut self) {
        self.apart.fill(0.0);
    }

    /// Lowest and highest temperature that a ring came to, °C; `None` before the first rest.
    pub fn met(&self) -> Option<(f64, f64)> {
        (self.met.0 <= self.met.1).then_some(self.met)
    }

    /// The grid as the last rest left it.
    pub fn grid(&self) -> &RingGrid {
        &self.grid
    }
}

impl Block {
    /// Sets what a lane conducts with still air: along the column, W/(m K), and to the wall, W/(m³ K). Both 0 where
    /// [`RingExchange`] conducts in its place.
    pub fn conduct(&mut self, lane: usize, conductivity: f64, wall_conductance: f64) {
        self.lanes.conductivity[lane] = conductivity;
        self.lanes.wall[lane] = wall_conductance;
    }

    /// Dry-matter density of a lane, kg/m³.
    pub fn dry_density(&self, lane: usize) -> f64 {
        self.lanes.dry_density[lane]
    }

    /// Heat capacity of grain of a moisture (d.b.) per kg of dry matter, with a lane's constants, J/(kg K).
    pub fn heat_capacity(&self, lane: usize, m: f64) -> f64 {
        self.lanes.dry_heat[lane] + self.lanes.water_heat[lane] * m
    }
}

//! Counterflow: dry grain drawn from the floor when a sensor there says so, and what has left the bin this way.

use super::Lane;
use crate::operations::{Counterflow, FloorSensor};
use crate::result::Drawn;
use bed::{Block, LayerState};
use equipment::Phase;

/// What was drawn from the columns: one list for each.
#[derive(Debug, Clone, Default)]
pub(super) struct Gone {
    /// Draws of each column, as they left: kg/m² of that column.
    columns: Vec<Vec<LayerState>>,
    /// Dry matter gone, kg/m² of floor.
    pub(super) dry_matter: f64,
    /// Water gone with it, kg/m² of floor.
    water: f64,
    first: Option<i64>,
    last: i64,
    draws: u32,
}

impl Gone {
    pub(super) fn of(columns: usize) -> Self {
        Self { columns: vec![Vec::new(); columns], ..Self::default() }
    }

    /// Moisture of the wettest and of the driest draw of a column, d.b.
    pub(super) fn extremes(&self) -> (f64, f64) {
        let all = self.columns.iter().flatten().map(|l| l.moisture);
        all.fold((f64::NEG_INFINITY, f64::INFINITY), |(w, d), m| (w.max(m), d.min(m)))
    }

    /// Grain gone from a column.
    pub(super) fn column(&self, k: usize) -> &[LayerState] {
        &self.columns[k]
    }
}

impl Lane {
    /// Draws a layer from the floor when the sensor there says that it is dry.
    pub(super) fn draw(&mut self, lane: usize, blocks: &mut [Block]) {
        let spec = std::sync::Arc::clone(&self.spec);
        let Some(flow) = &spec.operations.counterflow else { return };
        if !matches!(self.phase, Phase::Filling | Phase::Drying) {
            return;
        }
        let density = spec.grain.dry_density;
        let held = self.held();
        let mass = (flow.layer * density).min(held - flow.keep * density);
        // A film left over by rounding is no draw.
        if mass < 1e-3 * flow.layer * density || !self.floor_is_dry(flow, lane, blocks) {
            return;
        }
        self.draw_from_all(lane, blocks, mass);
    }

    /// Draws a mass (kg/m²) from the floor of each column and notes what has gone.
    pub(super) fn draw_from_all(&mut self, lane: usize, blocks: &mut [Block], mass: f64) {
        let spec = std::sync::Arc::clone(&self.spec);
        for (k, (block, column)) in blocks.iter_mut().zip(&spec.bin.columns).enumerate() {
            // What rounding says too much is not asked for.
            let mass = mass.min(block.mean_moisture(lane).1);
            let Ok(parcel) = block.draw_bottom(lane, mass) else {
                debug_assert!(false, "no more is drawn than is held");
                continue;
            };
            let drawn = block.state_of(lane, &parcel);
            self.gone.water += column.area * mass * drawn.moisture;
            self.gone.columns[k].push(drawn);
        }
        self.rings_disturbed();
        let now = self.hour();
        self.gone.dry_matter += mass;
        self.gone.first.get_or_insert(now);
        self.gone.last = now;
        self.gone.draws += 1;
        self.look(lane, blocks);
    }

    /// Whether the sensor at the floor says that the grain there is dry: one that stands in the middle of the bin's air.
    fn floor_is_dry(&self, flow: &Counterflow, lane: usize, blocks: &[Block]) -> bool {
        let density = self.spec.grain.dry_density;
        let mean = |of: fn(&LayerState) -> f64| -> f64 {
            let at = |block: &Block| {
                let mut below = 0.0;
                let mut layers = block.layers(lane);
                let found = layers.find(|layer| {
                    below += layer.dry_matter / density;
                    below >= flow.height
                });
                found.map_or(f64::INFINITY, |layer| of(&layer))
            };
            blocks.iter().zip(&self.spec.bin.columns).map(|(b, column)| column.area * at(b)).sum()
        };
        match flow.sensor {
            FloorSensor::Moisture(dry) => self.read(mean(|l| l.moisture)) <= dry,
            FloorSensor::Temperature(warm) => {
                let cable = self.spec.operations.sensors.grain.after(self.second / super::HOUR).temperature;
                let shown = mean(|l| l.temperature) + cable;
                shown.is_finite() && shown >= warm
            }
        }
    }

    /// Mean moisture of the whole lot, d.b.: of what lies in the bin and of what was drawn, as it left.
    pub(super) fn lot_moisture(&self) -> f64 {
        if self.gone.draws == 0 {
            return self.mean_moisture();
        }
        let held = self.held();
        (held * self.mean_moisture() + self.gone.water) / self.filled
    }

    /// What was drawn, for the result.
    pub(super) fn drawn(&self) -> Option<Drawn> {
        let operations = &self.spec.operations;
        let counterflow = operations.counterflow.as_ref().map(|flow| &flow.to);
        let to = counterflow.or(operations.batches.as_ref().map(|batches| &batches.to))?;
        let first = self.gone.first?;
        let all = || {
            let weighed = |(k, list): (usize, &'_ Vec<LayerState>)| {
                let area = self.spec.bin.columns[k].area;
                list.iter().map(move |l| (area * l.dry_matter, l.moisture, l.temperature)).collect::<Vec<_>>()
            };
            self.gone.columns.iter().enumerate().flat_map(weighed)
        };
        let whole = self.gone.dry_matter;
        let mean = self.gone.water / whole;
        let variance: f64 = all().map(|(mass, m, _)| mass * (m - mean) * (m - mean)).sum::<f64>() / whole;
        let (wettest, driest) = self.gone.extremes();
        Some(Drawn {
            to: to.clone(),
            dry_matter: whole * self.spec.bin.floor_area,
            draws: self.gone.draws,
            mean_moisture: mean,
            deviation: variance.sqrt(),
            wettest,
            driest,
            mean_temperature: all().map(|(mass, _, t)| mass * t).sum::<f64>() / whole,
            first_at: first,
            last_at: self.gone.last,
        })
    }
}

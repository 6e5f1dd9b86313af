//! The result at the end.

use super::Lane;
use super::remarks::remark;
use super::tallies::moisture_and_mass;
use crate::result::{ColumnResult, SeasonResult};
use bed::{Block, Respiration, profile};
use std::sync::Arc;

impl Lane {
    /// The result, at the end.
    pub fn finish(mut self, lane: usize, blocks: &[Block]) -> SeasonResult {
        let now = self.hour();
        self.each_day(lane, blocks, now);
        self.close_step(lane, blocks);
        let (wettest, driest) = self.extremes(lane, blocks);
        let spec = Arc::clone(&self.spec);
        let area = spec.bin.floor_area;
        let profiles = std::mem::take(&mut self.profiles);
        let mean_moisture = self.lot_moisture();
        let drawn = self.drawn();
        let gone = std::mem::take(&mut self.gone);
        let rings = self.rings_met();
        let r = &mut self.result;
        r.ended_at = now;
        r.drawn = drawn;
        r.rings = rings;
        r.mean_moisture = mean_moisture;
        if r.stopped_at.is_none() {
            (r.moisture_at_stop, r.wettest_at_stop, r.driest_at_stop) = (mean_moisture, wettest, driest);
        }
        r.dry_matter = self.filled * area;
        let (mut lost, mut worst) = (0.0, (0.0f64, 0.0f64));
        for (k, (block, share)) in blocks.iter().zip(&spec.bin.columns).enumerate() {
            let layers: Vec<_> = block.layers(lane).chain(gone.column(k).iter().copied()).collect();
            let all = layers.iter().copied();
            let (wet, dry) =
                profile::extremes(all.clone().map(moisture_and_mass), spec.grain.dry_density).unwrap_or((0.0, 0.0));
            let residual = block.residual(lane);
            let extremes = block.extremes(lane);
            let (published, strict) = profile::life_of_worst(all, spec.grain.dry_density).unwrap_or((0.0, 0.0));
            worst = (worst.0.max(published), worst.1.max(strict));
            let dry_matter: f64 = layers.iter().map(|l| l.dry_matter).sum();
            lost += share.area
                * layers.iter().map(|l| l.dry_matter * physics::storability::corn_loss(l.equivalent_time)).sum::<f64>()
                / dry_matter.max(1e-9);
            r.water_removed += block.balance(lane).water_to_air * share.area * area;
            r.residual = (r.residual.0.max(residual.water), r.residual.1.max(residual.energy));
            r.temperature_range =
                (r.temperature_range.0.min(extremes.temperature.0), r.temperature_range.1.max(extremes.temperature.1));
            r.moisture_range =
                (r.moisture_range.0.min(extremes.moisture.0), r.moisture_range.1.max(extremes.moisture.1));
            r.humidity_range =
                (r.humidity_range.0.min(extremes.humidity.0), r.humidity_range.1.max(extremes.humidity.1));
            r.columns.push(ColumnResult {
                area: share.area,
                air: share.air,
                finished_at: self.finished_column[k],
                mean_moisture: self.looks[k].mean_moisture,
                wettest: wet,
                driest: dry,
                life_published: published,
                life_strict: strict,
                water_residual: residual.water,
                energy_residual: residual.energy,
                profiles: profiles.get(k).cloned().unwrap_or_default(),
            });
        }
        r.life_published = (!spec.grain.group.published.is_empty()).then_some(worst.0);
        r.life_strict = (!spec.grain.group.strict.is_empty()).then_some(worst.1);
        r.dry_matter_loss = match spec.grain.group.respiration {
            Respiration::Corn { .. } => Some(lost),
            Respiration::None => None,
        };
        remark(r, &spec);
        self.result
    }
}

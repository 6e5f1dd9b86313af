//! The bins of a site as one farm: loads pooled or harvested apart, and one stretch of weather for all bins of a year.

use super::{Site, harvest, operations};
use crate::clock;
use crate::facts::{BinFacts, ProcessFacts};
use crate::farm::{FarmBin, FarmJob, FarmLayers, FarmLoad, FarmYear};
use crate::job::BinJob;
use crate::loads;
use crate::survey::survey;
use notice::{Diagnostic, Diagnostics};
use season::{CaseSpec, Process};
use std::sync::Arc;

impl Site<'_> {
    /// The farm of the bins that were resolved, in the order of the file.
    pub(super) fn farm(&self, bins: &[BinJob], wrong: &mut Diagnostics) -> FarmJob {
        let facts = self.facts.farm.clone().unwrap_or_default();
        let mut farm = FarmJob {
            order: facts.order,
            most_life_used: facts.most_life_used,
            wait: i64::from(facts.wait),
            harvest_said: !facts.harvest.is_empty(),
            ..FarmJob::default()
        };
        let Some(first) = bins.first() else { return farm };
        let years = first.years.iter().map(|(year, _)| *year).chain(first.left_out.iter().map(|(year, _)| *year));
        let mut years: Vec<i32> = years.collect();
        years.sort_unstable();
        for year in years {
            match self.farm_of_year(bins, &facts.harvest, year, wrong) {
                Ok(of_year) => farm.years.push((year, of_year)),
                Err(reason) => farm.left_out.push((year, reason)),
            }
        }
        farm
    }

    fn farm_of_year(
        &self,
        bins: &[BinJob],
        harvest: &[crate::facts::LotFacts],
        year: i32,
        wrong: &mut Diagnostics,
    ) -> Result<FarmYear, String> {
        let mut cases: Vec<&Arc<CaseSpec>> = Vec::new();
        for bin in bins {
            let reason = || bin.left_out.iter().find(|(y, _)| *y == year).map_or("no season", |(_, why)| why.as_str());
            cases.push(bin.year(year).ok_or_else(|| format!("bin {}: {}", bin.name, reason()))?);
        }
        let takes: Vec<bool> = cases.iter().map(|case| takes_loads(case)).collect();
        let mut pooled: Vec<FarmLoad> = Vec::new();
        if harvest.is_empty() {
            for ((bin, case), _) in bins.iter().zip(&cases).zip(&takes).filter(|(_, takes)| **takes) {
                pooled.extend(case.loads.iter().map(|load| FarmLoad { load: *load, crop: bin.crop_id.clone() }));
            }
        } else {
            for (k, lot) in harvest.iter().enumerate() {
                pooled.extend(self.harvested(bins.len() + k, lot, year)?);
            }
        }
        pooled.sort_by_key(|load| load.load.hour);
        let Some(first) = pooled.first().map(|load| load.load.hour) else {
            // Nobody takes part: each bin has its own lots.
            let bins = cases.into_iter().map(|case| FarmBin { case: Arc::clone(case), takes: false, layers: None });
            return Ok(FarmYear { loads: pooled, bins: bins.collect() });
        };
        let offset = self.facts.place.utc_offset;
        let by = clock::next(self.facts.goal.by, first, offset);
        let last = pooled.last().map_or(first, |load| load.load.hour);
        if by <= last {
            let code = "goal-before-harvest";
            if !wrong.0.iter().any(|d| d.code == code) {
                let found = format!(
                    "dry by {} while the farm harvests until {}",
                    clock::date(by, offset),
                    clock::date(last, offset)
                );
                let help = "set goal.by after the last day of the harvest";
                wrong.add(Diagnostic::error(code, found, self.at("goal.by".into())).help(help));
            }
        }
        let hold_until = clock::next(self.facts.goal.hold_until, by, offset);
        let hours = (hold_until - first).max(1) as usize;
        let weather = self.record.stretch((first, hours), &self.facts.place, self.facts.prices.as_ref())?;
        let of_bin = |((case, takes), facts): ((&Arc<CaseSpec>, bool), &BinFacts)| {
            if !takes {
                return FarmBin { case: Arc::clone(case), takes, layers: None };
            }
            let layers = case.operations.layers.as_ref().map(|layers| FarmLayers {
                ends: layers
                    .starts
                    .iter()
                    .map(|start| case.loads[..*start].iter().map(|load| load.dry_matter).sum())
                    .collect(),
                dry_enough: layers.dry_enough,
            });
            let mut case = CaseSpec::clone(case);
            case.operations.layers = None;
            case.operations.aeration = operations::aeration(facts, first, offset);
            case.weather = Arc::clone(&weather);
            (case.programme.by, case.programme.hold_until) = (by, hold_until);
            FarmBin { case: Arc::new(case), takes, layers }
        };
        let bins = cases.into_iter().zip(takes).zip(&self.facts.bins).map(of_bin).collect();
        Ok(FarmYear { loads: pooled, bins })
    }

    /// The loads of a lot of the harvest in a year.
    fn harvested(&self, index: usize, lot: &crate::facts::LotFacts, year: i32) -> Result<Vec<FarmLoad>, String> {
        let (crop, _) = self.crops.find(&lot.crop).map_err(|wrong| wrong.found.clone())?;
        let Some(any) = self.facts.bins.first() else { return Ok(Vec::new()) };
        let heap = BinFacts { lots: vec![lot.clone()], layers: None, process: ProcessFacts::default(), ..any.clone() };
        let heap = self.of_year(&heap, crop, year, &mut harvest::Seen::default())?.into_owned();
        let surveyed = survey(&heap, crop).map_err(|missing| missing.to_string())?;
        let loads = loads::of(index, &heap, &surveyed, year, self.facts.place.utc_offset);
        Ok(loads.into_iter().map(|load| FarmLoad { load, crop: crop.id.clone() }).collect())
    }
}

/// Whether a bin dries what comes from the field where it lies.
fn takes_loads(case: &CaseSpec) -> bool {
    let whole: f64 = case.loads.iter().map(|load| load.dry_matter).sum();
    let water: f64 = case.loads.iter().map(|load| load.dry_matter * load.moisture).sum();
    case.operations.process(water / whole.max(f64::MIN_POSITIVE), case.programme.target) == Process::Drying
}

//! What a year of the farm costs: energy of all bins, one demand peak, what was sold wet.

use super::FarmSeason;
use crate::money::{discount, energy};
use job::Job;
use physics::grain::wet_basis;

/// Money of a year.
#[derive(Debug, Clone, PartialEq)]
pub struct FarmCost {
    /// ISO 4217 code.
    pub currency: String,
    /// Energy of all bins by the slots of the tariff.
    pub electricity: f64,
    /// Charge on each month's highest power of all bins together.
    pub demand: f64,
    /// The same if every bin had a meter of its own.
    pub demand_apart: f64,
    /// Fuel; `None` when some was burnt and nobody says its price.
    pub fuel: Option<f64>,
    /// What selling wet brought less than the same grain dry; `None` when some was sold and price or discounts are not said.
    pub sold_wet: Option<f64>,
}

impl FarmCost {
    /// All that has a price.
    pub fn total(&self) -> f64 {
        self.electricity + self.demand + self.fuel.unwrap_or(0.0) + self.sold_wet.unwrap_or(0.0)
    }

    /// Whether something that costs has no price.
    pub fn unpriced(&self) -> bool {
        self.fuel.is_none() || self.sold_wet.is_none()
    }
}

/// Prices a year; `None` without prices.
pub(super) fn of(job: &Job, season: &FarmSeason) -> Option<FarmCost> {
    let prices = job.prices.as_ref()?;
    let slots: Vec<f64> = std::iter::once(prices.electricity).chain(prices.slots.iter().map(|slot| slot.2)).collect();
    let results = || season.bins.iter().filter_map(|bin| bin.result.as_ref());
    let charge = prices.costs.demand.unwrap_or(0.0);
    let fuel: f64 = results().map(|r| r.fuel).sum();
    Some(FarmCost {
        currency: prices.currency.clone(),
        electricity: results().map(|r| energy::by_slot(&r.energy_by_slot, &slots)).sum(),
        demand: energy::demand(&season.service.monthly_peak, charge),
        demand_apart: results().map(|r| energy::demand(&r.monthly_peak, charge)).sum(),
        fuel: if fuel > 0.0 { prices.fuel.map(|price| price * fuel) } else { Some(0.0) },
        sold_wet: if season.sold.0 > 0.0 { lost(job, season) } else { Some(0.0) },
    })
}

/// What the grain sold wet brought less than dry: at the mean moisture of all that was sold, by the bushel of the first bin.
fn lost(job: &Job, season: &FarmSeason) -> Option<f64> {
    let costs = &job.prices.as_ref()?.costs;
    let bin = job.bins.first()?;
    let bushel = bin.bushel.as_ref().map(|bushel| bushel.mass);
    let (price, table) = (costs.grain?.per_kilogram(bushel)?, costs.wet.as_ref()?);
    let (dry_matter, wet) = season.sold;
    let moisture = wet_basis(wet / dry_matter - 1.0);
    let dried = dry_matter / (1.0 - table.base) * price;
    Some(dried - discount::sale(wet, moisture, price, table, bushel)?.net())
}

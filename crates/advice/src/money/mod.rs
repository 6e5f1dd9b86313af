//! What air and heat cost: energy of a season, ownership, losses of weight and worth, and what a failed year costs.
//!
//! One idea a file; [`ledger`] puts them together. Every line says how it came about. Leaves out income tax, credits and the
//! time at which grain is sold.

pub mod discount;
pub mod energy;
pub mod ledger;
pub mod overdrying;
pub mod ownership;
pub mod remedy;
pub mod shrink;

pub use ledger::{CostLine, Ledger, YearCost};

use season::SeasonResult;

/// Prices of energy.
#[derive(Debug, Clone, PartialEq)]
pub struct Tariff {
    /// ISO 4217 code.
    pub currency: String,
    /// Price of electricity in each slot, per J.
    pub electricity: Vec<f64>,
    /// Price of fuel, per kg, where there is one.
    pub fuel: Option<f64>,
}

/// Cost of running one season.
#[derive(Debug, Clone, PartialEq)]
pub struct Cost {
    /// Electricity.
    pub electricity: f64,
    /// Fuel; `None` when fuel was burnt and no price is known.
    pub fuel: Option<f64>,
}

impl Cost {
    /// Both together, when both are known.
    pub fn total(&self) -> Option<f64> {
        self.fuel.map(|fuel| fuel + self.electricity)
    }
}

impl Tariff {
    /// From the prices of a site: slot 0 is the price outside all slots.
    pub fn of(prices: &job::facts::Prices) -> Self {
        let electricity =
            std::iter::once(prices.electricity).chain(prices.slots.iter().map(|&(_, _, price)| price)).collect();
        Self { currency: prices.currency.clone(), electricity, fuel: prices.fuel }
    }

    /// Prices a season; `None` without any price of electricity.
    pub fn cost(&self, result: &SeasonResult) -> Option<Cost> {
        let first = *self.electricity.first()?;
        let electricity = result
            .energy_by_slot
            .iter()
            .enumerate()
            .map(|(slot, energy)| energy * self.electricity.get(slot).copied().unwrap_or(first))
            .sum();
        let fuel = if result.fuel > 0.0 { self.fuel.map(|price| price * result.fuel) } else { Some(0.0) };
        Some(Cost { electricity, fuel })
    }
}

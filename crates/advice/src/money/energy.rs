//! Electricity by slots of a tariff, the charge on each month's highest power, and fuel.

use season::SeasonResult;
use season::TARIFF_SLOTS;

/// Returns money for energy (J by slot) at prices by slot (per J); slots without a price are paid at the first.
pub fn by_slot(energy: &[f64; TARIFF_SLOTS], prices: &[f64]) -> f64 {
    let first = prices.first().copied().unwrap_or(0.0);
    energy.iter().enumerate().map(|(slot, joules)| joules * prices.get(slot).copied().unwrap_or(first)).sum()
}

/// Returns money for the highest power (W) of each month at a charge per W of a month. The mean of an hour stands for that of
/// 15 minutes: fans run whole hours, electric heat that cycles within one may have a higher peak.
pub fn demand(monthly_peak: &[f64; 12], charge: f64) -> f64 {
    monthly_peak.iter().sum::<f64>() * charge
}

/// Returns fuel (kg) a legal bushel and point from US gallons, and back: for checks against the trade's figures.
pub fn fuel_rate(gallons_per_bushel_point: f64, points: f64, price_per_gallon: f64) -> f64 {
    gallons_per_bushel_point * points * price_per_gallon
}

/// Fuel of a season in money; `None` when fuel was burnt and nobody says its price.
pub fn fuel(result: &SeasonResult, price: Option<f64>) -> Option<f64> {
    if result.fuel > 0.0 { price.map(|price| price * result.fuel) } else { Some(0.0) }
}

//! Prices beside energy: of grain, demand, labour, and plain money.

use super::{said, sum};
use crate::costs::{GrainPrice, GrainUnit};
use crate::parse::{QuantityError, shown};
use notice::Kind;
use sheet::units;

/// Reads a price of grain: per legal bushel of the crop, or per mass: `"4.10 $/bu"`, `"190 EUR/t"`, `"4.2 c/bu"`.
///
/// # Errors
/// As [`super::electricity_price`].
pub fn grain_price(text: &str, currency: &str) -> Result<GrainPrice, QuantityError> {
    const EXAMPLE: &str = "4.10 $/bu";
    let said = said(text, currency, EXAMPLE)?;
    if ["bu", "bushel", "bushels"].contains(&said.per.as_str()) {
        return Ok(GrainPrice { money: said.money, per: GrainUnit::Bushel });
    }
    match units::find(units::units(Kind::Mass), &said.per) {
        Some(unit) => Ok(GrainPrice { money: said.money / unit.factor, per: GrainUnit::Kilogram }),
        None => Err(super::unknown(text, &said.per, &["bu", "t", "kg", "lb"], EXAMPLE)),
    }
}

/// Reads a demand charge as money per W of a month's highest power: `"9.50 $/kW"`.
///
/// # Errors
/// As [`super::electricity_price`].
pub fn demand_price(text: &str, currency: &str) -> Result<f64, QuantityError> {
    let said = said(text, currency, "9.50 $/kW")?;
    match units::find(units::units(Kind::ElectricPower), &said.per) {
        Some(unit) => Ok(said.money / unit.factor),
        None => Err(super::unknown(text, &said.per, &["kW"], "9.50 $/kW")),
    }
}

/// Reads a wage as money per hour: `"22 $/h"`.
///
/// # Errors
/// As [`super::electricity_price`].
pub fn hourly_price(text: &str, currency: &str) -> Result<f64, QuantityError> {
    let said = said(text, currency, "22 $/h")?;
    match ["h", "hr", "hour"].contains(&said.per.as_str()) {
        true => Ok(said.money),
        false => Err(super::unknown(text, &said.per, &["h"], "22 $/h")),
    }
}

/// Reads an amount of money: `"5200 $"`, `"5200 USD"`.
///
/// # Errors
/// For another currency, negative amounts and what is no amount.
pub fn money(text: &str, currency: &str) -> Result<f64, QuantityError> {
    sum(text, currency).map_err(|error| match error.code {
        "missing-unit" => QuantityError::new("missing-unit", format!("amount of {:?} without a currency", shown(text)))
            .allowed("must be an amount of money, as \"5200 $\""),
        _ => error,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prices_of_grain_keep_their_measure() {
        assert_eq!(grain_price("4.10 $/bu", "USD").unwrap(), GrainPrice { money: 4.10, per: GrainUnit::Bushel });
        let per_tonne = grain_price("200 EUR/t", "EUR").unwrap();
        assert_eq!(per_tonne.per, GrainUnit::Kilogram);
        assert!((per_tonne.money - 0.2).abs() < 1e-15);
        // 56 lb of corn: 4.10 $ a bushel is 161.4 $ a tonne.
        let per_kg = grain_price("4.10 $/bu", "USD").unwrap().per_kilogram(Some(56.0 * 0.453_592_37)).unwrap();
        assert!((1000.0 * per_kg - 161.41).abs() < 0.01, "{per_kg}");
        assert_eq!(grain_price("4.10 $/bu", "USD").unwrap().per_kilogram(None), None);
    }

    #[test]
    fn money_demand_and_wages() {
        assert_eq!(money("5200 $", "USD").unwrap(), 5200.0);
        assert_eq!(money("$5200", "USD").unwrap(), 5200.0);
        assert_eq!(money("5200 USD", "USD").unwrap(), 5200.0);
        assert_eq!(money("5200 €", "USD").unwrap_err().code, "unknown-currency");
        assert_eq!(money("5200", "USD").unwrap_err().code, "missing-unit");
        assert!((demand_price("9.5 $/kW", "USD").unwrap() - 0.0095).abs() < 1e-15);
        assert_eq!(hourly_price("22 $/h", "USD").unwrap(), 22.0);
        assert_eq!(hourly_price("22 $/day", "USD").unwrap_err().code, "unknown-unit");
    }
}

//! Prices with their unit: money per energy, mass or volume, to money per SI unit.
//!
//! Leaves out exchange rates: a file has one currency.

mod farm;

pub use farm::{demand_price, grain_price, hourly_price, money};

use crate::parse::{self, QuantityError, shown};
use notice::Kind;
use notice::nearest;
use physics::combustion;
use sheet::units::{self, IMPERIAL_GALLON_M3, US_GALLON_M3};

/// A price as it was said.
#[derive(Debug, Clone, PartialEq)]
struct Said {
    /// Money, in units of the currency (not cents).
    money: f64,
    /// What it is paid for, as written.
    per: String,
}

/// Signs that stand for a currency, and those they may stand for; the first is taken when the file names none.
const SIGNS: &[(&str, &[&str])] = &[
    ("$", &["USD", "CAD", "AUD", "NZD", "MXN", "ARS", "CLP", "COP", "UYU", "BRL", "SGD", "HKD"]),
    ("€", &["EUR"]),
    ("£", &["GBP"]),
    ("¥", &["JPY", "CNY"]),
    ("R$", &["BRL"]),
    ("₹", &["INR"]),
    ("₴", &["UAH"]),
    ("zł", &["PLN"]),
];
/// Most that a unit of energy or fuel may cost: far above any, in any currency (judgement).
const LARGEST_PRICE: f64 = 1e6;
/// Hundredths of any currency.
const HUNDREDTHS: &[&str] = &["c", "ct", "cts", "¢", "cent", "cents"];

/// Whether a text can be a currency code: three capital letters.
pub(crate) fn is_code(text: &str) -> bool {
    text.len() == 3 && text.bytes().all(|b| b.is_ascii_uppercase())
}

/// The currency that a price names by its sign or code; `None` for hundredths of whichever it is.
pub(crate) fn currency_of(text: &str) -> Option<String> {
    let clean = parse::clean(text).ok()?;
    let (_, unit) = parse::split(&clean, text).ok()?;
    let sign = unit.split('/').next()?.trim();
    let by_sign = SIGNS.iter().find(|(s, _)| *s == sign).and_then(|(_, codes)| codes.first());
    by_sign.map(|code| code.to_string()).or_else(|| is_code(sign).then(|| sign.to_string()))
}

fn said(text: &str, currency: &str, example: &str) -> Result<Said, QuantityError> {
    let clean = parse::clean(text)?;
    let allowed = format!("must be money per unit, as \"{example}\"");
    // "$0.12/kWh" is written as often as "0.12 $/kWh".
    let turned = SIGNS.iter().find_map(|(sign, _)| {
        let rest = clean.strip_prefix(sign)?.trim();
        let slash = rest.find('/')?;
        Some(format!("{} {sign}{}", rest[..slash].trim(), &rest[slash..]))
    });
    let clean = turned.unwrap_or(clean);
    let (number, unit) = parse::split(&clean, text).map_err(|e| e.allowed(allowed.clone()))?;
    let wrong = |code, found: String| QuantityError::new(code, found).allowed(allowed.clone());
    let Some((sign, per)) = unit.split_once('/') else {
        return Err(wrong("missing-unit", format!("price of {:?} without \"per\"", shown(text)))
            .help(format!("write \"{example}\"")));
    };
    let money = in_currency(text, number, sign.trim(), currency).map_err(|e| match e.allowed {
        None => e.allowed(allowed.clone()),
        Some(_) => e,
    })?;
    Ok(Said { money, per: per.trim().to_string() })
}

/// An amount of money without a measure that it is for.
fn sum(text: &str, currency: &str) -> Result<f64, QuantityError> {
    let clean = parse::clean(text)?;
    // "$5200" is written as often as "5200 $".
    let turned = SIGNS.iter().find_map(|(sign, _)| Some(format!("{} {sign}", clean.strip_prefix(sign)?.trim())));
    let clean = turned.unwrap_or(clean);
    let (number, sign) = parse::split(&clean, text)?;
    if sign.trim().is_empty() {
        return Err(QuantityError::new("missing-unit", format!("amount of {:?}", shown(text))));
    }
    in_currency(text, number, sign.trim(), currency)
}

/// A number with a sign of money, in units of the currency of the file.
fn in_currency(text: &str, number: f64, sign: &str, currency: &str) -> Result<f64, QuantityError> {
    let of_currency = sign == currency || SIGNS.iter().any(|(s, codes)| *s == sign && codes.contains(&currency));
    let money = if of_currency {
        number
    } else if HUNDREDTHS.contains(&sign) {
        number / 100.0
    } else {
        let found = format!("price of {:?} where the currency is {currency}", shown(text));
        return Err(QuantityError::new("unknown-currency", found)
            .help(format!("write the price in {currency}, or change currency")));
    };
    if money < 0.0 {
        return Err(
            QuantityError::new("negative-price", format!("price of {:?}", shown(text))).allowed("must be zero or more")
        );
    }
    if money > LARGEST_PRICE {
        return Err(QuantityError::new("price-impossible", format!("price of {:?}", shown(text)))
            .allowed("must be a million at most")
            .help("check the number and the unit it is for"));
    }
    Ok(money)
}

/// Reads a price of electricity as money per J: `"0.12 $/kWh"`, `"12 c/kWh"`, `"0.30 EUR/kWh"`.
///
/// # Errors
/// As [`parse::quantity`]; also for another currency than `currency` (ISO 4217) and for negative prices.
pub fn electricity_price(text: &str, currency: &str) -> Result<f64, QuantityError> {
    let said = said(text, currency, "0.12 $/kWh")?;
    match units::find(units::units(Kind::ElectricEnergy), &said.per) {
        Some(unit) => Ok(said.money / unit.factor),
        None => Err(unknown(text, &said.per, &["kWh", "MWh", "MJ"], "0.12 $/kWh")),
    }
}

/// Reads a price of fuel as money per kg: per mass, per volume of liquid (propane) or per heat as invoiced (higher heating
/// value): `"0.55 $/L"`, `"1.80 $/usgal"`, `"1.10 EUR/kg"`, `"9.50 $/MMBtu"`, `"0.95 $/therm"`.
///
/// # Errors
/// As [`electricity_price`]; also for a bare gallon (US or imperial) and for a volume of a fuel that is no liquid.
pub fn fuel_price(text: &str, currency: &str, fuel: &combustion::Fuel) -> Result<f64, QuantityError> {
    const EXAMPLE: &str = "1.80 $/usgal";
    let said = said(text, currency, EXAMPLE)?;
    let key = units::key(&said.per).to_lowercase();
    let volume = match key.as_str() {
        "usgal" | "galus" | "usgallon" => Some(US_GALLON_M3),
        "impgal" | "ukgal" | "imperialgallon" => Some(IMPERIAL_GALLON_M3),
        "l" | "litre" | "liter" => Some(1e-3),
        "gal" | "gallon" => {
            return Err(QuantityError::new("ambiguous-unit", format!("price of {:?} per gallon", shown(text)))
                .allowed("a gallon may be US (3.785 L) or imperial (4.546 L)")
                .help("write \"$/usgal\" or \"$/impgal\", or per L or kg"));
        }
        _ => None,
    };
    if let Some(volume) = volume {
        return match fuel.liquid_density {
            Some(density) => Ok(said.money / (volume * density)),
            None => Err(QuantityError::new("not-a-liquid", format!("price of {:?} for {}", shown(text), fuel.name))
                .allowed("must be per heat or per mass: $/MMBtu, $/therm, $/GJ, $/kWh, $/kg")),
        };
    }
    if let Some(unit) = units::find(units::units(Kind::Mass), &said.per) {
        return Ok(said.money / unit.factor);
    }
    if let Some(unit) = units::find(units::units(Kind::Heat), &said.per) {
        return Ok(said.money / unit.factor * fuel.higher_heating_value);
    }
    Err(unknown(text, &said.per, &["usgal", "impgal", "L", "kg", "lb", "MMBtu", "therm", "GJ", "kWh"], EXAMPLE))
}

fn unknown(text: &str, per: &str, known: &[&'static str], example: &str) -> QuantityError {
    let error = QuantityError::new("unknown-unit", format!("price of {:?} per {:?}", shown(text), shown(per)))
        .allowed(format!("must be per {}", known.join(", ")));
    match nearest(per, known.iter().copied()) {
        Some(near) => error.help(format!("did you mean {near:?}?")),
        None => error.help(format!("write it as \"{example}\"")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prices_come_per_joule_and_per_kilogram() {
        let close = |got: Result<f64, QuantityError>, want: f64| {
            let got = got.unwrap_or_else(|e| panic!("{e:?}"));
            assert!((got - want).abs() < 1e-12 * want.abs(), "{got} {want}");
        };
        for text in ["0.12 $/kWh", "12 c/kWh", "12 ¢/kWh", "$0.12/kWh", "0.12 USD/kWh", "120 $/MWh", "$ 0.12 / kWh"] {
            close(electricity_price(text, "USD"), 0.12 / 3.6e6);
        }
        close(electricity_price("0.30 €/kWh", "EUR"), 0.30 / 3.6e6);
        // 4.246 lb/gal is the quotient of the heating values that the property table prints.
        let per_kg = fuel_price("1.80 $/usgal", "USD", &combustion::PROPANE).unwrap();
        assert!((per_kg * 0.45359237 * 4.246 - 1.80).abs() < 1e-3, "{per_kg}");
        close(fuel_price("1.1 $/kg", "USD", &combustion::PROPANE), 1.1);
        close(fuel_price("9 $/GJ", "USD", &combustion::NATURAL_GAS), 9e-9 * 55.50e6);
    }

    #[test]
    fn prices_that_cannot_be_read_say_what_to_write() {
        let code = |text: &str| fuel_price(text, "USD", &combustion::PROPANE).unwrap_err().code;
        assert_eq!(code("1.80 $/gal"), "ambiguous-unit");
        assert_eq!(code("1.80 €/L"), "unknown-currency");
        assert_eq!(code("1.80"), "missing-unit");
        assert_eq!(code("-1 $/L"), "negative-price");
        assert_eq!(code("1 $/barrel"), "unknown-unit");
        assert_eq!(fuel_price("1 $/L", "USD", &combustion::NATURAL_GAS).unwrap_err().code, "not-a-liquid");
        assert_eq!(electricity_price("0.12 $/kwhh", "USD").unwrap_err().help.unwrap(), "did you mean \"kWh\"?");
    }
}

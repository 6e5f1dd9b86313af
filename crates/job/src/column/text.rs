//! What the text of a case is asked beyond the common reader: what was refused stands as NaN, so that one fault is not
//! taken for a missing key and does not hide the others.

use crate::parse::{self, GrainAirflow};
use notice::{Kind, Quantity, Range, UnitSystem};
use sheet::{Node, QuantityError, shown};

/// Fields of a case; all are inside what is possible.
pub trait Fields {
    /// A quantity in SI.
    fn quantity_in(&self, key: &'static str, kind: Kind, range: Range) -> Option<f64>;
    /// Quantities in a list.
    fn quantities_in(&self, key: &'static str, kind: Kind, range: Range) -> Option<Vec<f64>>;
    /// An airflow through grain per volume, 1/s; one per mass by a bulk density (kg/m³).
    fn airflow_in(&self, key: &'static str, bulk_density: f64, range: Range) -> Option<f64>;
    /// Bare numbers in a list.
    fn numbers_in(&self, key: &'static str, range: Range) -> Option<Vec<f64>>;
}

impl Fields for Node<'_, '_> {
    fn quantity_in(&self, key: &'static str, kind: Kind, range: Range) -> Option<f64> {
        let read = self.parsed(key, |text| within(text, parse::quantity(kind, text)?, kind, range));
        self.has(key).then(|| read.unwrap_or(f64::NAN))
    }

    fn quantities_in(&self, key: &'static str, kind: Kind, range: Range) -> Option<Vec<f64>> {
        let read = |text: &String| match parse::quantity(kind, text).and_then(|v| within(text, v, kind, range)) {
            Ok(value) => value,
            Err(wrong) => {
                self.refuse(key, wrong);
                f64::NAN
            }
        };
        Some(self.texts(key)?.iter().map(read).collect())
    }

    fn airflow_in(&self, key: &'static str, bulk_density: f64, range: Range) -> Option<f64> {
        match self.peek_text(key).map(parse::grain_airflow) {
            Some(Ok(flow @ GrainAirflow::PerMass(_))) => {
                let read = self.parsed(key, |text| match flow.per_volume(bulk_density) {
                    // The crop that gives the density was refused before.
                    unknown if unknown.is_nan() => Ok(unknown),
                    value => within(text, value, Kind::SpecificAirflow, range),
                });
                Some(read.unwrap_or(f64::NAN))
            }
            _ => self.quantity_in(key, Kind::SpecificAirflow, range),
        }
    }

    fn numbers_in(&self, key: &'static str, range: Range) -> Option<Vec<f64>> {
        let numbers = self.numbers(key)?;
        for wrong in numbers.iter().filter(|n| !range.contains(**n)) {
            let allowed = format!("must be numbers from {} to {}", range.low, range.high);
            self.fault(key, "out-of-bounds", format!("{wrong} in {key}"), allowed);
        }
        Some(numbers.into_iter().filter(|n| range.contains(*n)).collect())
    }
}

fn within(text: &str, value: f64, kind: Kind, range: Range) -> Result<f64, QuantityError> {
    if range.contains(value) {
        return Ok(value);
    }
    let show = |v: f64| match kind {
        // In hours, as results show them, a step of seconds would be none.
        Kind::Hours => format!("{v} s"),
        _ => Quantity::new(v, kind).show(UnitSystem::Si),
    };
    let allowed = format!("must be from {} to {}", show(range.low), show(range.high));
    Err(QuantityError::new("out-of-bounds", format!("{:?} is out of bounds", shown(text))).allowed(allowed))
}

//! Results on stdout: one locked, buffered writer, as JSON or as text in the reader's units.

use crate::exit::Failure;
use notice::{Kind, Quantity, UnitSystem};
use serde::Serialize;
use std::io::{BufWriter, StdoutLock, Write};

/// Where results go.
pub struct Out {
    writer: BufWriter<StdoutLock<'static>>,
    /// Whether a program reads the result.
    pub json: bool,
    /// Units for human readers; JSON is always SI.
    pub units: UnitSystem,
}

impl Out {
    /// Locks stdout for the whole run.
    pub fn new(json: bool, units: UnitSystem) -> Self {
        Self { writer: BufWriter::new(std::io::stdout().lock()), json, units }
    }

    /// Writes a JSON document.
    pub fn json(&mut self, value: &impl Serialize) -> Result<(), Failure> {
        serde_json::to_writer_pretty(&mut self.writer, value)
            .map_err(|e| if e.is_io() { Failure::Write(e.into()) } else { Failure::Ours(e.to_string()) })?;
        self.writer.write_all(b"\n")?;
        Ok(())
    }

    /// Writes text; names from files keep what would command a terminal as an escape.
    pub fn text(&mut self, text: &str) -> Result<(), Failure> {
        let text = notice::plain(text);
        self.writer.write_all(text.as_bytes())?;
        if !text.ends_with('\n') {
            self.writer.write_all(b"\n")?;
        }
        Ok(())
    }

    /// A value as the reader wants to see it.
    pub fn show(&self, value: f64, kind: Kind) -> String {
        Quantity::new(value, kind).show(self.units)
    }

    /// A value with as many significant digits as its relation supports.
    pub fn about(&self, value: f64, kind: Kind, digits: i32) -> String {
        let shown = kind.shown(self.units);
        let number = value * shown.factor + shown.offset;
        let number = significant(number, digits);
        if shown.unit.is_empty() { number } else { format!("{number}\u{a0}{}", shown.unit) }
    }

    /// The same without its unit, for tables whose heads carry it.
    pub fn about_number(&self, value: f64, kind: Kind, digits: i32) -> String {
        let shown = self.about(value, kind, digits);
        shown.split('\u{a0}').next().unwrap_or_default().to_string()
    }

    /// A pressure of fuel gas: below 2 psi in the inches of water (or Pa) that regulators are set by.
    pub fn gas_pressure(&self, pascal: f64) -> String {
        let kind = if pascal.abs() < physics::orifice::LOW_PRESSURE.high { Kind::Pressure } else { Kind::GasPressure };
        self.about(pascal, kind, 3)
    }

    /// The number alone, for tables whose heads carry the unit.
    pub fn number(&self, value: f64, kind: Kind) -> String {
        let shown = self.show(value, kind);
        shown.split('\u{a0}').next().unwrap_or_default().to_string()
    }

    /// The unit a kind is shown in.
    pub fn unit(&self, kind: Kind) -> &'static str {
        kind.shown(self.units).unit
    }

    /// Flushes; the result counts as said only after that.
    pub fn finish(&mut self) -> Result<(), Failure> {
        self.writer.flush()?;
        Ok(())
    }
}

/// A number rounded to significant digits, in plain decimals.
fn significant(value: f64, digits: i32) -> String {
    if value == 0.0 || !value.is_finite() {
        return format!("{value:.0}");
    }
    // The exponential form rounds; what rounds up to the next power of ten needs one decimal less.
    let rounded: f64 = format!("{value:.*e}", (digits - 1).max(0) as usize).parse().unwrap_or(value);
    let after = digits - 1 - rounded.abs().log10().floor() as i32;
    format!("{rounded:.*}", after.max(0) as usize)
}

#[cfg(test)]
mod tests {
    use super::significant;

    #[test]
    fn no_more_digits_than_asked() {
        for (value, digits, text) in [
            (683_912.4, 3, "684000"),
            (0.012345, 3, "0.0123"),
            (99.96, 3, "100"),
            (0.0, 3, "0"),
            (-12.34, 2, "-12"),
            (1234.5, 2, "1200"),
        ] {
            assert_eq!(significant(value, digits), text);
        }
    }
}

//! Limits of a quantity, and the refusal of what lies beyond.

use crate::quantity::{QuantityError, shown};

/// Limits of a quantity in SI, with the words that say them.
#[derive(Debug, Clone, Copy)]
pub struct Limits {
    low: f64,
    high: f64,
    open: bool,
    words: &'static str,
}

impl Limits {
    /// Both ends allowed.
    pub const fn within(low: f64, high: f64, words: &'static str) -> Self {
        Self { low, high, open: false, words }
    }

    /// The lower end not allowed.
    pub const fn above(low: f64, high: f64, words: &'static str) -> Self {
        Self { low, high, open: true, words }
    }

    /// The value when it lies inside.
    pub fn hold(&self, text: &str, value: f64) -> Result<f64, QuantityError> {
        let inside = if self.open { value > self.low } else { value >= self.low };
        if inside && value <= self.high {
            return Ok(value);
        }
        let found = format!("{:?} is out of bounds", shown(text));
        Err(QuantityError::new("out-of-bounds", found).allowed(format!("must be {}", self.words)))
    }
}

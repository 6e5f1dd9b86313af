//! Arguments that no physics can serve.

/// A number outside what is physically possible (not merely outside a fitted range, which is a remark).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DomainError {
    /// Which quantity.
    pub quantity: &'static str,
    /// Value met, SI.
    pub value: f64,
    /// Lowest possible value.
    pub low: f64,
    /// Highest possible value.
    pub high: f64,
    /// Unit of the three numbers.
    pub unit: &'static str,
}

impl DomainError {
    /// Nothing when `low <= value <= high`, the error otherwise (also for NaN).
    pub fn check(quantity: &'static str, value: f64, low: f64, high: f64, unit: &'static str) -> Result<(), Self> {
        if value >= low && value <= high { Ok(()) } else { Err(Self { quantity, value, low, high, unit }) }
    }
}

impl std::fmt::Display for DomainError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Self { quantity, value, low, high, unit } = self;
        write!(f, "{quantity} of {value} {unit}, must be from {low} to {high} {unit}")
    }
}

impl std::error::Error for DomainError {}

//! Selling wet or damaged grain: the buyer's tables.

use job::costs::{Steps, WetSale};

/// What a buyer pays for wet grain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Paid {
    /// Weight paid for, kg.
    pub weight: f64,
    /// Money for it after the discount on its price.
    pub gross: f64,
    /// Charges taken off.
    pub charges: f64,
}

impl Paid {
    /// Money that is left.
    pub fn net(&self) -> f64 {
        self.gross - self.charges
    }
}

/// What a buyer pays for `weight` kg of grain at a moisture (w.b.), at a price per kg at base moisture. Grain drier than the
/// base is paid by its weight. `None` when a charge per bushel cannot be turned into one per kg.
pub fn sale(weight: f64, moisture: f64, price: f64, table: &WetSale, bushel: Option<f64>) -> Option<Paid> {
    let points = 100.0 * (moisture - table.base).max(0.0);
    let paid = weight * (1.0 - 0.01 * table.shrink * points).max(0.0);
    let gross = paid * price * (1.0 - 0.01 * table.discount * points).max(0.0);
    let charge = match table.charges.at(moisture) {
        Some(step) => step.per_kilogram(bushel)?,
        None => 0.0,
    };
    Some(Paid { weight: paid, gross, charges: charge * weight })
}

/// Discount on damaged grain, money per kg at base moisture: nothing below the first step of the table.
pub fn damage(share: f64, table: &Steps, bushel: Option<f64>) -> Option<f64> {
    match table.at(share) {
        Some(step) => step.per_kilogram(bushel),
        None => Some(0.0),
    }
}

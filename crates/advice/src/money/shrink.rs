//! Weight that grain loses on its way to the buyer: water, handling, and the shrink that a buyer counts.

/// Returns the water lost in drying, share of the weight before (moistures w.b.): 1 − (1 − M₀) / (1 − M₁).
///
/// # Source
/// South Dakota State University, Corn Grain Moisture Discount (2020); North Dakota State University, 2 Nov 2009 (seen): 25 to
/// 15.5 % loses 11.24 %.
pub fn water_shrink(before: f64, after: f64) -> f64 {
    1.0 - (1.0 - before) / (1.0 - after)
}

/// Returns the weight that stays after drying and handling, share of the weight before; `handling` is a share of it too.
pub fn weight_left(before: f64, after: f64, handling: f64) -> f64 {
    1.0 - water_shrink(before, after) - handling
}

/// Returns the shrink that a buyer takes off by a factor (share of the weight per unit of moisture), down to a base moisture;
/// none at or below it.
pub fn factor_shrink(moisture: f64, base: f64, factor: f64) -> f64 {
    factor * (moisture - base).max(0.0)
}

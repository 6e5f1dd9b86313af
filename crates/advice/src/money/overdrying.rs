//! Grain drier than the base: the buyer pays by weight alone, so the water that was driven off beyond the base is lost.
//!
//! Grain that takes up water again while it is held is counted as it is at the end.

/// Returns the share of the base-moisture weight that is missing when grain is sold at `moisture` (both w.b.); none above it.
///
/// # Source
/// Dry matter is kept: 1 − (1 − M_b) / (1 − M). Soybean at 12 in place of 13 %: 1 − 87/88.
pub fn lost_weight(moisture: f64, base: f64) -> f64 {
    (1.0 - (1.0 - base) / (1.0 - moisture)).max(0.0)
}

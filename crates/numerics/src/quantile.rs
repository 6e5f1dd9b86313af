//! Quantiles and means of small samples.

/// Returns the quantile at `share` (0 to 1) of a sample, linear between order statistics; `None` for an empty sample.
///
/// The definition is the one with median-unbiased plotting positions (i − 1/3)/(n + 1/3), held at the ends.
pub fn quantile(sample: &[f64], share: f64) -> Option<f64> {
    if sample.is_empty() {
        return None;
    }
    let mut sorted = sample.to_vec();
    sorted.sort_by(f64::total_cmp);
    let n = sorted.len() as f64;
    let place = (share * (n + 1.0 / 3.0) + 1.0 / 3.0 - 1.0).clamp(0.0, n - 1.0);
    let low = place.floor() as usize;
    let high = (low + 1).min(sorted.len() - 1);
    Some(sorted[low] + (place - low as f64) * (sorted[high] - sorted[low]))
}

/// Returns the arithmetic mean; `None` for an empty sample.
pub fn mean(sample: &[f64]) -> Option<f64> {
    (!sample.is_empty()).then(|| sample.iter().sum::<f64>() / sample.len() as f64)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn median_and_ends() {
        assert_eq!(quantile(&[3.0, 1.0, 2.0], 0.5), Some(2.0));
        assert_eq!(quantile(&[3.0, 1.0, 2.0], 0.0), Some(1.0));
        assert_eq!(quantile(&[3.0, 1.0, 2.0], 1.0), Some(3.0));
        assert_eq!(quantile(&[], 0.5), None);
        assert_eq!(mean(&[1.0, 3.0]), Some(2.0));
    }
}

//! Sound in octave bands: adding sources, A-weighting, distance, what a limit says to an uncertain level, time of exposure.
//!
//! Levels dB; bands 63 Hz to 8 kHz. Leaves out barriers, wind, ground absorption and reflections other than the plain
//! directivity of ground and wall.
//!
//! # Caution
//! Estimates from type and duty are good to 5 to 10 dB. Hearing protection near a running fan and the noise rules of the
//! place are matters of law and of an occupational hygienist.

/// Centre frequencies of the bands, Hz.
pub const BANDS: [f64; 8] = [63.0, 125.0, 250.0, 500.0, 1000.0, 2000.0, 4000.0, 8000.0];
/// A-weights of the bands, dB (standard).
pub const A_WEIGHTS: [f64; 8] = [-26.2, -16.1, -8.6, -3.2, 0.0, 1.2, 1.0, -1.1];

/// Levels in the eight octave bands, dB.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Octaves(pub [f64; 8]);

impl Octaves {
    /// Returns the overall level, dB: 10 log Σ 10^(L/10).
    pub fn overall(&self) -> f64 {
        sum(&self.0)
    }

    /// Returns the A-weighted overall level, dB(A).
    pub fn a_weighted(&self) -> f64 {
        sum(&self.weighted().0)
    }

    /// Returns the bands with their A-weights added.
    pub fn weighted(&self) -> Self {
        self.shifted_by(A_WEIGHTS)
    }

    /// Returns all bands shifted by one amount, dB.
    pub fn shifted(&self, by: f64) -> Self {
        self.shifted_by([by; 8])
    }

    /// Returns each band shifted by its own amount, dB.
    pub fn shifted_by(&self, by: [f64; 8]) -> Self {
        let mut bands = self.0;
        bands.iter_mut().zip(by).for_each(|(level, d)| *level += d);
        Self(bands)
    }

    /// Returns several sources together, band by band; silence (−∞) for none.
    pub fn together(sources: &[Self]) -> Self {
        let mut bands = [0.0; 8];
        for (i, band) in bands.iter_mut().enumerate() {
            let all: Vec<f64> = sources.iter().map(|s| s.0[i]).collect();
            *band = sum(&all);
        }
        Self(bands)
    }
}

/// Returns the level of several together, dB: 10 log Σ 10^(L/10). Two equal ones are 3 dB louder than one.
pub fn sum(levels: &[f64]) -> f64 {
    10.0 * levels.iter().map(|l| 10f64.powf(l / 10.0)).sum::<f64>().log10()
}

/// Returns the band a frequency (Hz) falls into; edges at √2 of the centre, ends held.
pub fn band_of(frequency: f64) -> usize {
    let octaves = (frequency / BANDS[0]).log2().round();
    octaves.clamp(0.0, 7.0) as usize
}

/// What stands around a source.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Surroundings {
    /// Nothing near.
    Free,
    /// Hard ground.
    Ground,
    /// Hard ground and one wall behind it.
    GroundAndWall,
}

impl Surroundings {
    /// What they add to the level, dB: 0, 3, 6.
    pub fn directivity(self) -> f64 {
        match self {
            Self::Free => 0.0,
            Self::Ground => 3.0,
            Self::GroundAndWall => 6.0,
        }
    }
}

/// Returns what lies between sound power and sound pressure at a distance (m), dB: D − 20 log r − 11.
///
/// # Validity
/// Beyond about two diameters of the source, below some 300 m: air and ground take more farther out. Nothing at zero.
///
/// # Source
/// Spherical spreading (standard): 6 dB for each doubling.
///
/// ```
/// use physics::sound::*;
/// let near = distance_term(10.0, Surroundings::Ground);
/// assert!((near - distance_term(20.0, Surroundings::Ground) - 6.02).abs() < 0.01);
/// ```
pub fn distance_term(distance: f64, surroundings: Surroundings) -> f64 {
    surroundings.directivity() - 20.0 * distance.log10() - 11.0
}

/// Returns the distance (m) at which a sound power (dB) has fallen to a level (dB); the inverse of [`distance_term`].
pub fn distance_for(power: f64, level: f64, surroundings: Surroundings) -> f64 {
    10f64.powf((power - level + surroundings.directivity() - 11.0) / 20.0)
}

/// What a limit says to a level that is known only within a band.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LimitVerdict {
    /// Below even at the upper end.
    Kept,
    /// The limit lies within the band: only a measurement can tell.
    Uncertain,
    /// Above even at the lower end.
    Exceeded,
}

/// Returns the verdict on a level (dB) known to ± `uncertainty` dB against a limit.
pub fn against_limit(level: f64, uncertainty: f64, limit: f64) -> LimitVerdict {
    if level + uncertainty <= limit {
        LimitVerdict::Kept
    } else if level - uncertainty > limit {
        LimitVerdict::Exceeded
    } else {
        LimitVerdict::Uncertain
    }
}

/// Returns the time of exposure in a day, s, that the United States rule permits at a level: 8 h/2^((L − 90)/5).
///
/// # Validity
/// 80 to 115 dB(A). Hearing care begins at 85 dB(A) over 8 h.
///
/// # Source
/// 29 CFR 1910.95, Table G-16a (seen, verified).
pub fn permitted_exposure(level: f64) -> f64 {
    8.0 * 3600.0 / 2f64.powf((level - 90.0) / 5.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn distance_is_the_inverse(power in 80.0..120.0f64, r in 1.0..300.0f64) {
            for around in [Surroundings::Free, Surroundings::Ground, Surroundings::GroundAndWall] {
                let level = power + distance_term(r, around);
                prop_assert!((distance_for(power, level, around) / r - 1.0).abs() < 1e-9);
            }
        }

        #[test]
        fn equal_sources_add_ten_log_n(level in 40.0..110.0f64, n in 1usize..8) {
            let all = vec![Octaves([level; 8]); n];
            let apart = Octaves::together(&all).overall() - all[0].overall();
            prop_assert!((apart - 10.0 * (n as f64).log10()).abs() < 1e-9);
        }
    }

    #[test]
    fn bands_and_limits() {
        assert_eq!(BANDS.map(band_of), [0, 1, 2, 3, 4, 5, 6, 7]);
        assert_eq!((band_of(292.0), band_of(5.0), band_of(2e4)), (2, 0, 7));
        assert_eq!(against_limit(50.0, 8.0, 60.0), LimitVerdict::Kept);
        assert_eq!(against_limit(55.0, 8.0, 60.0), LimitVerdict::Uncertain);
        assert_eq!(against_limit(70.0, 8.0, 60.0), LimitVerdict::Exceeded);
        assert_eq!(sum(&[]), f64::NEG_INFINITY);
    }
}

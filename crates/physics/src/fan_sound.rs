//! Sound power of a fan from its type, flow, pressure and efficiency, by octave band, and the tone of its blades.
//!
//! Two published methods: an overall level spread over bands (both parts seen), and specific levels by band (recalled); they
//! differ by several dB, which is the honest measure of either. A maker's own data go before both. Leaves out silencers.

use crate::sound::{Octaves, band_of};

/// Types with a spectrum of their own.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FanType {
    /// Centrifugal, backward curved, inclined or airfoil.
    BackwardCurved,
    /// Centrifugal, forward curved.
    ForwardCurved,
    /// Centrifugal, radial.
    Radial,
    /// Axial in a tube, without vanes.
    TubeAxial,
    /// Axial in a tube, with vanes.
    VaneAxial,
}

/// How far an estimate may be off, dB (the sources say 5 to 10).
pub const UNCERTAINTY: f64 = 8.0;

impl FanType {
    /// Bands of an overall level, dB to be added at 63 Hz to 8 kHz.
    ///
    /// # Source
    /// Engineering ToolBox 2005 (seen). Their octave sums are −0.2, −0.1, +1.8 and 0.0 dB for backward curved, forward curved,
    /// radial and axial fans.
    pub fn spectrum(self) -> [f64; 8] {
        match self {
            Self::BackwardCurved => [-4.0, -6.0, -9.0, -11.0, -13.0, -16.0, -19.0, -22.0],
            Self::ForwardCurved => [-2.0, -6.0, -13.0, -18.0, -19.0, -22.0, -25.0, -30.0],
            Self::Radial => [-3.0, -5.0, -7.0, -7.0, -8.0, -11.0, -16.0, -18.0],
            Self::TubeAxial | Self::VaneAxial => [-7.0, -9.0, -7.0, -7.0, -8.0, -11.0, -16.0, -18.0],
        }
    }

    /// Specific sound power at 63 Hz to 4 kHz, dB at 1 cfm and 1 in. of water, and the dB of the blade tone in its band.
    ///
    /// Wheels of bin fans: centrifugal under 36 in., tube-axial under 40 in., vane-axial of hub ratio 0.4 to 0.6. None for
    /// radial wheels.
    ///
    /// # Source
    /// Older ASHRAE handbooks (memory).
    pub fn specific_power(self) -> Option<([f64; 7], f64)> {
        Some(match self {
            Self::BackwardCurved => ([36.0, 38.0, 36.0, 34.0, 33.0, 28.0, 20.0], 3.0),
            Self::ForwardCurved => ([47.0, 43.0, 39.0, 33.0, 28.0, 25.0, 23.0], 2.0),
            Self::TubeAxial => ([48.0, 47.0, 49.0, 53.0, 52.0, 51.0, 43.0], 7.0),
            Self::VaneAxial => ([49.0, 43.0, 46.0, 43.0, 41.0, 36.0, 30.0], 6.0),
            Self::Radial => return None,
        })
    }

    /// Frequency of the band in which the blade tone falls when the speed is unknown, Hz.
    ///
    /// # Source
    /// Prediction of Fan Sound Power, technical bulletin TBN021.2/2001 (seen).
    pub fn usual_tone_band(self) -> f64 {
        match self {
            Self::BackwardCurved => 250.0,
            Self::ForwardCurved => 500.0,
            Self::Radial | Self::VaneAxial => 125.0,
            Self::TubeAxial => 63.0,
        }
    }
}

/// Returns the overall sound power level from flow (m³/s) and pressure (Pa), dB re 1 pW: 40 + 10 log Q + 20 log p.
///
/// # Validity
/// A fan near its best point; see [`off_peak`] elsewhere. ±[`UNCERTAINTY`].
///
/// # Source
/// Engineering ToolBox 2005 (seen).
///
/// ```
/// // 1 m³/s at 1000 Pa: 100 dB.
/// assert!((physics::fan_sound::overall(1.0, 1000.0) - 100.0).abs() < 1e-9);
/// ```
pub fn overall(flow: f64, pressure: f64) -> f64 {
    40.0 + 10.0 * flow.log10() + 20.0 * pressure.log10()
}

/// Returns the overall sound power level from motor rating (W) and pressure (Pa), dB: 67 + 10 log kW + 10 log p.
///
/// # Source
/// Engineering ToolBox 2005 (seen); agrees with [`overall`] at 50 % overall efficiency only.
pub fn overall_from_motor(rating: f64, pressure: f64) -> f64 {
    67.0 + 10.0 * (rating / 1000.0).log10() + 10.0 * pressure.log10()
}

/// Returns what a fan away from its best point adds, dB: 10 + 10 log((1 − η)/η), none below zero; η its total efficiency there.
///
/// # Source
/// Lecture notes "Fan Noise Prediction" 2000, after ASHRAE (seen); they print 0, 5.2, 12.2 dB at 0.90, 0.75, 0.40, their formula
/// gives 0.5, 5.2, 11.8.
pub fn off_peak(efficiency: f64) -> f64 {
    (10.0 + 10.0 * ((1.0 - efficiency) / efficiency).log10()).max(0.0)
}

/// Returns the tone of the blades, Hz: blades × revolutions per second.
pub fn blade_frequency(blades: f64, revolutions_per_second: f64) -> f64 {
    blades * revolutions_per_second
}

/// Returns the change of the level when a fan turns faster, dB: 50 log(N2/N1).
pub fn speed_change(ratio: f64) -> f64 {
    50.0 * ratio.log10()
}

/// Returns sound power by bands: [`overall`] spread by [`FanType::spectrum`], `extra` dB (such as [`off_peak`]) added.
pub fn by_bands(kind: FanType, flow: f64, pressure: f64, extra: f64) -> Octaves {
    Octaves([overall(flow, pressure) + extra; 8]).shifted_by(kind.spectrum())
}

/// Returns sound power by bands of the second method: K_w + 10 log Q(cfm) + 20 log p(in. of water) + tone + `extra`.
///
/// `tone` Hz, [`FanType::usual_tone_band`] where the speed is unknown; 8 kHz is taken 6 dB below 4 kHz (judgement: the table ends
/// there). None for a type without specific levels.
///
/// # Source
/// Lecture notes after ASHRAE (form seen), specific levels from memory.
pub fn by_specific_levels(kind: FanType, flow: f64, pressure: f64, tone: f64, extra: f64) -> Option<Octaves> {
    let (levels, blade) = kind.specific_power()?;
    let duty = 10.0 * (flow / CFM).log10() + 20.0 * (pressure / INCH_WATER).log10() + extra;
    let mut bands = [0.0; 8];
    for (band, level) in bands.iter_mut().zip(levels.into_iter().chain([levels[6] - 6.0])) {
        *band = level + duty;
    }
    bands[band_of(tone)] += blade;
    Some(Octaves(bands))
}

/// m³/s in a cfm.
const CFM: f64 = 0.3048 * 0.3048 * 0.3048 / 60.0;
/// Pa in an inch of water.
const INCH_WATER: f64 = 249.089;

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn more_duty_is_louder(q in 0.5..20.0f64, p in 100.0..3000.0f64) {
            prop_assert!(overall(1.1 * q, p) > overall(q, p));
            prop_assert!(overall(q, 1.1 * p) > overall(q, p));
            // The two overall forms agree where the motor's rating is Q p/0.501.
            prop_assert!((overall_from_motor(q * p / 0.501, p) - overall(q, p)).abs() < 0.01);
        }
    }

    /// Sums of the spectra and their A-weights as derived in the reference.
    #[test]
    fn spectra_sum_as_stated() {
        for (kind, sum, a) in [
            (FanType::BackwardCurved, -0.2, -7.8),
            (FanType::ForwardCurved, -0.1, -13.2),
            (FanType::Radial, 1.8, -3.6),
            (FanType::TubeAxial, 0.0, -3.6f64),
        ] {
            let bands = Octaves(kind.spectrum());
            assert!((bands.overall() - sum).abs() < 0.06, "{kind:?} {}", bands.overall());
            // Against the level that is spread, not against the sum of the bands.
            assert!((bands.a_weighted() - a).abs() < 0.06, "{kind:?} {}", bands.a_weighted());
        }
    }

    #[test]
    fn tones() {
        assert!((blade_frequency(10.0, 1750.0 / 60.0) - 292.0).abs() < 0.5);
        assert!((speed_change(2.0) - 15.05).abs() < 0.01);
        assert!(by_specific_levels(FanType::Radial, 5.0, 500.0, 125.0, 0.0).is_none());
        let with = by_specific_levels(FanType::TubeAxial, 5.0, 500.0, 292.0, 0.0).unwrap();
        let without = by_specific_levels(FanType::TubeAxial, 5.0, 500.0, 63.0, 0.0).unwrap();
        assert!((with.0[2] - without.0[2] - 7.0).abs() < 1e-12);
    }
}

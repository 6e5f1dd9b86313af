//! The published thin-layer laws, taken literally, for verification and for looking up.
//!
//! Temperatures °C, humidity and moistures as fractions, velocity m/s, time in seconds; the units of each source stand in
//! its documentation. Laws of the Page and quadratic kind are no rates of a state: when the air changes they are advanced
//! by equivalent time (Thompson, Peart and Foster 1968).

use crate::{air::ZERO_CELSIUS_K, error::DomainError};
use notice::{Range, Source, Status};
use numerics::{Mask, Real};

const HOUR: f64 = 3600.0;
/// ln of the seconds in an hour and in a minute: a k of the source becomes one for seconds.
const LN_HOUR: f64 = 8.188689124444202;
const LN_MINUTE: f64 = 4.0943445622221004;

/// A published thin-layer drying law.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ThinLayer {
    /// TL-C1: shelled corn, MR = exp(−k t^n), k = exp(−7.1735 + 1.2793 ln(1.8 T + 32) + 0.1378 V),
    /// n = 0.0811 ln(RH %) + 0.0078 M0 (% d.b.), t in h.
    CornPage,
    /// TL-C2: shelled corn in heated air, t = A ln MR + B (ln MR)², A = −1.86178 + 0.00488 F, B = 427.3640 exp(−0.03301 F),
    /// t in h, F in °F.
    CornHeated,
    /// TL-C3: shelled corn, MR = exp(−k t^n), k = 0.01091 + 2.767e−6 T² + 7.286e−6 T M0, n = 0.5375 + 1.141e−5 M0² +
    /// 5.183e−5 T², t in min, M0 in % d.b. Trusted from 10 to 30 °C only.
    CornPageLowTemperature,
    /// TL-W1: wheat, dM/dt = −k (M − Me), k = 2000 exp(−5094/T_K), 1/s.
    WheatNewton,
    /// TL-B1: barley, dM/dt = −k (M − Me), k = 139.3 exp(−4426/T_K), 1/s.
    BarleyNewton,
    /// TL-R1: medium-grain rough rice, MR = exp(−x t^y), x = 0.01579 + 0.0001746 T − 0.01413 RH,
    /// y = 0.6545 + 0.002425 T + 0.07867 RH, t in min.
    RicePage,
}

/// What a thin-layer law depends on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DryingConditions<R = f64> {
    /// Temperature of the air, °C.
    pub temperature: R,
    /// Relative humidity of the air, fraction.
    pub relative_humidity: R,
    /// Moisture at the start of drying, fraction dry basis.
    pub initial_moisture: R,
    /// Velocity of the air in the empty cross-section, m/s.
    pub velocity: R,
}

/// The evidence a law rests on; `None` where the quantity is no variable of the law or no range is recorded.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThinLayerRange {
    /// Air temperature, °C.
    pub temperature: Range,
    /// Relative humidity, fraction.
    pub relative_humidity: Option<Range>,
    /// Initial moisture, fraction dry basis.
    pub initial_moisture: Option<Range>,
    /// Air velocity, m/s.
    pub velocity: Option<Range>,
}

impl ThinLayer {
    /// All laws.
    pub const ALL: [Self; 6] = [
        Self::CornPage,
        Self::CornHeated,
        Self::CornPageLowTemperature,
        Self::WheatNewton,
        Self::BarleyNewton,
        Self::RicePage,
    ];

    /// Returns the identifier by which site files and tables name the law.
    pub const fn id(self) -> &'static str {
        match self {
            Self::CornPage => "TL-C1",
            Self::CornHeated => "TL-C2",
            Self::CornPageLowTemperature => "TL-C3",
            Self::WheatNewton => "TL-W1",
            Self::BarleyNewton => "TL-B1",
            Self::RicePage => "TL-R1",
        }
    }

    /// Returns the law of an identifier.
    pub fn from_id(id: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|law| law.id().eq_ignore_ascii_case(id))
    }

    /// Returns the rate k (1/s) of dM/dt = −k (M − Me) at a temperature, for laws of that kind.
    #[inline(always)]
    pub fn newton_rate<R: Real>(self, t: R) -> Option<R> {
        let c = R::splat;
        let k = |a: f64, b: f64| c(a) * (c(-b) / (t + c(ZERO_CELSIUS_K))).exp();
        match self {
            Self::WheatNewton => Some(k(2000.0, 5094.0)),
            Self::BarleyNewton => Some(k(139.3, 4426.0)),
            _ => None,
        }
    }

    /// Returns (k, n) of MR = exp(−k t^n) with t in seconds (k in s⁻ⁿ), for laws of that kind.
    ///
    /// Total: n is kept at 0.05 or more and k above zero, which matters only far outside the ranges.
    #[inline(always)]
    pub fn page<R: Real>(self, t: R, relative_humidity: R, initial_moisture: R, velocity: R) -> Option<(R, R)> {
        let c = R::splat;
        let m0 = initial_moisture * c(100.0);
        let (k, n, unit) = match self {
            Self::CornPage => {
                let fahrenheit = (t * c(1.8) + c(32.0)).max(c(1.0));
                let k = (c(-7.1735) + c(1.2793) * fahrenheit.ln() + c(0.1378) * velocity).exp();
                let percent = (relative_humidity * c(100.0)).max(c(0.5));
                (k, c(0.0811) * percent.ln() + c(0.0078) * m0, LN_HOUR)
            }
            Self::CornPageLowTemperature => (
                c(1.091e-2) + c(2.767e-6) * t * t + c(7.286e-6) * t * m0,
                c(0.5375) + c(1.141e-5) * m0 * m0 + c(5.183e-5) * t * t,
                LN_MINUTE,
            ),
            Self::RicePage => (
                c(0.01579) + c(0.0001746) * t - c(0.01413) * relative_humidity,
                c(0.6545) + c(0.002425) * t + c(0.07867) * relative_humidity,
                LN_MINUTE,
            ),
            _ => return None,
        };
        let n = n.max(c(0.05));
        let k = k.max(c(1e-6));
        Some((k * (n * c(-unit)).exp(), n))
    }

    /// Returns the moisture ratio (M − Me)/(M0 − Me) after a time (s) in constant air.
    #[inline(always)]
    pub fn moisture_ratio<R: Real>(self, at: DryingConditions<R>, seconds: R) -> R {
        let c = R::splat;
        let seconds = seconds.max(c(0.0));
        if let Some(k) = self.newton_rate(at.temperature) {
            return (-(k * seconds)).exp();
        }
        if let Some((k, n)) = self.page(at.temperature, at.relative_humidity, at.initial_moisture, at.velocity) {
            return R::select(c(0.0).lt(seconds), (-(k * seconds.pow(n))).exp(), c(1.0));
        }
        let (a, b) = heated(at.temperature);
        // The root with MR < 1, as a quotient so that it stays exact at small times: a is negative.
        let x = c(-2.0) * seconds / (-a + (a * a + c(4.0) * b * seconds).sqrt());
        x.exp()
    }

    /// Returns the time (s) after which constant air would have brought the moisture ratio to `ratio`.
    ///
    /// `ratio` is kept between 1e-12 and 1.
    #[inline(always)]
    pub fn equivalent_time<R: Real>(self, at: DryingConditions<R>, ratio: R) -> R {
        let c = R::splat;
        let log = ratio.clamp(c(1e-12), c(1.0)).ln();
        if let Some(k) = self.newton_rate(at.temperature) {
            return -log / k;
        }
        if let Some((k, n)) = self.page(at.temperature, at.relative_humidity, at.initial_moisture, at.velocity) {
            return R::select(log.lt(c(0.0)), (-log / k).pow(c(1.0) / n), c(0.0));
        }
        let (a, b) = heated(at.temperature);
        log * (a + b * log)
    }

    /// Returns the moisture (d.b.) after `seconds` in constant air with equilibrium `me`, starting from `m` in a drying that
    /// began at `at.initial_moisture`.
    ///
    /// Newton laws: the exact solution, in both directions. Other laws: by equivalent time; they describe drying only, so
    /// grain at or below `me` keeps its moisture, and grain above its initial moisture counts as just begun.
    #[inline(always)]
    pub fn advance<R: Real>(self, m: R, me: R, at: DryingConditions<R>, seconds: R) -> R {
        let c = R::splat;
        if let Some(k) = self.newton_rate(at.temperature) {
            return me + (m - me) * (-(k * seconds)).exp();
        }
        let start = m.max(at.initial_moisture);
        let dries = me.lt(m);
        let span = R::select(dries, start - me, c(1.0));
        let ratio = R::select(dries, (m - me) / span, c(1.0));
        let reached = self.moisture_ratio(at, self.equivalent_time(at, ratio) + seconds);
        // Rounding of the inverse may not turn a drying step into a wetting one.
        R::select(dries.and(reached.lt(ratio)), me + reached * span, m)
    }

    /// Returns the range of the evidence.
    pub fn range(self) -> ThinLayerRange {
        let fahrenheit = |f: f64| (f - 32.0) / 1.8;
        let only = |low: f64, high: f64| ThinLayerRange {
            temperature: Range::new(low, high),
            relative_humidity: None,
            initial_moisture: None,
            velocity: None,
        };
        match self {
            Self::CornPage => ThinLayerRange {
                temperature: Range::new(2.2, 71.1),
                relative_humidity: Some(Range::new(0.03, 0.83)),
                initial_moisture: Some(Range::new(0.18, 0.60)),
                velocity: Some(Range::new(0.025, 2.33)),
            },
            Self::CornHeated => only(fahrenheit(140.0), fahrenheit(300.0)),
            Self::CornPageLowTemperature => only(10.0, 30.0),
            Self::WheatNewton => only(10.0, 70.0),
            Self::BarleyNewton => only(40.0, 75.0),
            Self::RicePage => ThinLayerRange { relative_humidity: Some(Range::new(0.25, 0.95)), ..only(30.0, 55.0) },
        }
    }

    /// Returns where the law comes from and how far it was confirmed.
    pub fn source(self) -> Source {
        let (citation, status) = match self {
            Self::CornPage => (
                "Misra & Brooker 1980, Trans. ASAE 23(5):1254-1260; ASAE S448 (agrees with two other corn laws within 4 to 10 %)",
                Status::Memory,
            ),
            Self::CornHeated => ("Thompson, Peart & Foster 1968, Trans. ASAE 11(4):582-586", Status::Memory),
            Self::CornPageLowTemperature => {
                ("Li & Morey 1984, Trans. ASAE 27(2):581-585 (confirmed at low temperature only)", Status::Memory)
            }
            Self::WheatNewton => (
                "O'Callaghan, Menzies & Bailey 1971, J. Agric. Eng. Res. 16:223-244 (near ambient later work finds slower drying)",
                Status::Memory,
            ),
            Self::BarleyNewton => ("Boyce 1965/1966; O'Callaghan et al. 1971, J. Agric. Eng. Res.", Status::Memory),
            Self::RicePage => ("Wang & Singh 1978, ASAE paper 78-3001", Status::Memory),
        };
        Source::new(citation, status)
    }
}

/// A and B of [`ThinLayer::CornHeated`] in seconds. A changes sign at 381 °F; the temperature is held below 375.
#[inline(always)]
fn heated<R: Real>(t: R) -> (R, R) {
    let c = R::splat;
    let fahrenheit = (t * c(1.8) + c(32.0)).min(c(375.0));
    let a = c(-1.86178) + c(0.00488) * fahrenheit;
    let b = c(427.3640) * (c(-0.03301) * fahrenheit).exp();
    (a * c(HOUR), b * c(HOUR))
}

/// The rate (1/s) and the dynamic equilibrium (fraction d.b.) of barley by wet-bulb depression, TL-B2.
///
/// −dM/dt = 0.0727 exp(0.0788 D − 0.00417 M0) (M + 0.224 D − 12.39), M in % d.b., t in h, D in K.
///
/// # Validity
/// Depressions up to about 20 K, M0 30 to 90 % d.b.
///
/// # Source
/// Sasaki and Kanzaki 1972, abstract; the place of M0 inside the exponent inferred from the sister equation.
pub fn barley_by_wet_bulb_depression(depression: f64, initial_moisture: f64) -> (f64, f64) {
    let k = 0.0727 * (0.0788 * depression - 0.417 * initial_moisture).exp() / HOUR;
    (k, (12.39 - 0.224 * depression) / 100.0)
}

/// Returns the moisture ratio of a thin layer for untrusted numbers.
///
/// # Errors
/// [`DomainError`] for temperatures outside −60 to 200 °C, humidity outside 0 to 1, initial moisture outside 0 to 4 (d.b.),
/// velocity outside 0 to 10 m/s or a negative time.
///
/// ```
/// use physics::thin_layer::{DryingConditions, ThinLayer, checked_moisture_ratio};
/// let at = DryingConditions { temperature: 60.0, relative_humidity: 0.20, initial_moisture: 0.333, velocity: 0.5 };
/// let ratio = checked_moisture_ratio(ThinLayer::CornPage, at, 4.0 * 3600.0)?;
/// assert!((ratio - 0.3994).abs() < 1e-4);
/// # Ok::<(), physics::DomainError>(())
/// ```
pub fn checked_moisture_ratio(law: ThinLayer, at: DryingConditions, seconds: f64) -> Result<f64, DomainError> {
    DomainError::check("air temperature", at.temperature, -60.0, 200.0, "°C")?;
    DomainError::check("relative humidity", at.relative_humidity, 0.0, 1.0, "1")?;
    DomainError::check("initial moisture (dry basis)", at.initial_moisture, 0.0, 4.0, "kg/kg")?;
    DomainError::check("air velocity", at.velocity, 0.0, 10.0, "m/s")?;
    DomainError::check("time", seconds, 0.0, 1e9, "s")?;
    Ok(law.moisture_ratio(at, seconds))
}

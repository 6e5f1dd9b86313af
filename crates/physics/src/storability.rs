//! How long grain keeps: published relations as rates of storage life used.
//!
//! One currency for all crops: the fraction of the allowable storage time used per second, so that a history of moistures
//! and temperatures adds up to 1 when the life is spent. Each law is total: outside its range it is continued as its
//! documentation says, never to "keeps for ever"; [`StorageLaw::range`] tells callers when to remark on it. No crop's law
//! is lent to another here: which law serves which crop is data of the crop.

use crate::{cereal_table, error::DomainError};
use notice::{Range, Source, Status};
use numerics::Real;

pub use crate::corn_loss::{
    RESPIRATION_CARBON_DIOXIDE, RESPIRATION_HEAT, RESPIRATION_WATER, corn_damage_multiplier, corn_equivalent_rate,
    corn_loss, corn_loss_rate, corn_loss_time, corn_multiplier,
};

/// Seconds in a day.
const DAY: f64 = 86_400.0;

/// A published relation between the state of grain and how long it keeps.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StorageLaw {
    /// Shelled corn until a stated loss of dry matter: see [`corn_equivalent_rate`] and [`corn_loss`].
    CornDryMatterLoss {
        /// Allowed loss, fraction of dry matter (0.005 customary, 0.0035 strict).
        loss: f64,
        /// Mechanically damaged kernels, mass fraction (0.30 for combine-shelled corn in the source).
        damage: f64,
    },
    /// The extension table for cereal grains (14 to 30 % wet basis, 30 to 80 °F), interpolated.
    CerealTable {
        /// Added to the wet-basis moisture before reading the table; 0.05 for oil sunflower, 0 for cereals.
        moisture_shift: f64,
    },
    /// Wheat until germination has fallen by 5 points.
    ///
    /// log10 days = 6.234 − 0.2118 m − 0.0527 T up to 19 %, 4.129 − 0.0997 m − 0.0576 T above (m percent wet basis, T °C).
    /// The lines differ by up to 25 % at 19 %. Here the first holds up to 19 %, the second from 19.5 %, a straight join
    /// between; where the second would say that wetter wheat keeps longer, the value at 19 % is held.
    WheatGermination {
        /// Divides the time: 1 as published, 1.5 for the strict reading.
        divide: f64,
    },
    /// Rough rice until a stated loss of dry matter.
    ///
    /// loss = 1 − exp{−A τ^C exp[D (F − 60)] exp[E (m − 0.14)]}, τ in thousands of hours, m decimal wet basis, F in °F.
    /// The loss grows as τ^C; used as a rate, the life is spread evenly over the time to the limit.
    RiceDryMatterLoss {
        /// Constant A.
        a: f64,
        /// Constant C.
        c: f64,
        /// Constant D, 1/°F.
        d: f64,
        /// Constant E.
        e: f64,
        /// Allowed loss, fraction of dry matter.
        loss: f64,
    },
    /// Seed until its viability has fallen by a number of probits: p σ, log10 σ(days) = K_E − C_W log10 m − C_H T − C_Q T².
    Viability {
        /// Constant K_E.
        k_e: f64,
        /// Constant C_W.
        c_w: f64,
        /// Constant C_H.
        c_h: f64,
        /// Constant C_Q.
        c_q: f64,
        /// Allowed fall in probits (1 for malting barley; 0.41 from 98 to 95 %, 0.77 from 98 to 90 %).
        probits: f64,
    },
}

/// The evidence a law rests on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StorageRange {
    /// Moisture, fraction wet basis.
    pub moisture_wb: Range,
    /// Temperature, °C.
    pub temperature: Range,
}

/// A law with its constants worked out once, for use inside loops.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ReadyStorageLaw {
    law: StorageLaw,
    scale: f64,
}

impl StorageLaw {
    /// Long-grain rough rice until 0.5 % of its dry matter is lost (constants from memory, not matched to a value).
    pub const RICE_LONG: Self = Self::RiceDryMatterLoss { a: 0.001889, c: 0.7101, d: 0.02740, e: 31.63, loss: 0.005 };
    /// Medium-grain rough rice until 0.5 % of its dry matter is lost (constants from memory, not matched to a value).
    pub const RICE_MEDIUM: Self = Self::RiceDryMatterLoss { a: 0.000914, c: 0.6540, d: 0.03756, e: 33.61, loss: 0.005 };

    /// The law with what does not depend on the state worked out.
    pub fn ready(&self) -> ReadyStorageLaw {
        let scale = match *self {
            Self::CornDryMatterLoss { loss, damage } => {
                1.0 / (crate::corn_loss::corn_damage_multiplier(damage) * corn_loss_time(loss.max(1e-9)))
            }
            Self::CerealTable { .. } => 1.0 / DAY,
            Self::WheatGermination { divide } => divide / DAY,
            Self::RiceDryMatterLoss { a, c, loss, .. } => {
                let limit = -Real::ln(1.0 - loss.clamp(1e-9, 0.999));
                Real::pow(a / limit, 1.0 / c) / (1000.0 * 3600.0)
            }
            Self::Viability { probits, .. } => 1.0 / (probits * DAY),
        };
        ReadyStorageLaw { law: *self, scale }
    }

    /// Returns the fraction of storage life used per second (1 over the allowable seconds) at moisture `m` (fraction dry
    /// basis) and temperature `t` (°C).
    ///
    /// Finite and positive for m 0 to 1 and t −60 to 120 °C; never smaller for warmer or wetter grain. In loops use
    /// [`StorageLaw::ready`] once.
    #[inline(always)]
    pub fn rate<R: Real>(&self, m: R, t: R) -> R {
        self.ready().rate(m, t)
    }

    /// Returns the range of the evidence behind the law.
    pub fn range(&self) -> StorageRange {
        let (moisture_wb, temperature) = match *self {
            // Temperatures: the published table (40 to 80 °F), and 30 °F where the extension table agrees within 7 %.
            Self::CornDryMatterLoss { .. } => {
                (Range::new(0.13, 54.0 / 154.0), Range::new(-2.0 / 1.8 - 1e-9, 48.0 / 1.8 + 1e-9))
            }
            Self::CerealTable { moisture_shift } => (
                Range::new(0.14 - moisture_shift, 0.30 - moisture_shift),
                Range::new(-2.0 / 1.8 - 1e-9, 48.0 / 1.8 + 1e-9),
            ),
            // The source's own temperatures are not recorded; 0 to 35 °C is where it was compared.
            Self::WheatGermination { .. } => (Range::new(0.12, 0.24), Range::new(0.0, 35.0)),
            // The source's own range is not recorded; this is where its values were found plausible.
            Self::RiceDryMatterLoss { .. } => (Range::new(0.14, 0.22), Range::new(15.5, 26.7)),
            Self::Viability { .. } => (Range::new(0.05, 0.25), Range::new(-20.0, 90.0)),
        };
        StorageRange { moisture_wb, temperature }
    }

    /// Returns where the law comes from and how far it was confirmed.
    pub fn source(&self) -> Source {
        match self {
            Self::CornDryMatterLoss { .. } => Source::new(
                "Steele, Saul & Hukill 1969; Thompson 1972; ASAE D535 (30 table cells reproduced within 1 d or 1 %)",
                Status::Verified,
            ),
            Self::CerealTable { moisture_shift } if *moisture_shift == 0.0 => Source::new(
                "Hellevang, North Dakota State University Extension, approximate allowable storage time for cereal grains (2019, 2020)",
                Status::Seen,
            ),
            Self::CerealTable { .. } => Source::new(
                "Hellevang 2004: the cereal table of North Dakota State University Extension at a shifted moisture",
                Status::Seen,
            ),
            Self::WheatGermination { .. } => Source::new(
                "Fraser & Muir 1981, Trans. ASAE 24:208-210 (optimistic by up to 1.7 against Karunakaran et al. 2001)",
                Status::Memory,
            ),
            Self::RiceDryMatterLoss { .. } => {
                Source::new("Seib, Pfost, Sukabdi, Rao & Burroughs 1980 (plausibility only)", Status::Memory)
            }
            Self::Viability { .. } => Source::new(
                "Ellis & Roberts 1980 viability equation; constants as compiled in a published data set",
                Status::Seen,
            ),
        }
    }
}

impl ReadyStorageLaw {
    /// Returns the law.
    pub fn law(&self) -> StorageLaw {
        self.law
    }

    /// Whether the law is a multiple of 1/[`corn_multiplier`], which several laws and respiration can then share.
    #[inline(always)]
    pub fn is_of_corn(&self) -> bool {
        matches!(self.law, StorageLaw::CornDryMatterLoss { .. })
    }

    /// Returns [`ReadyStorageLaw::rate`] where 1/[`corn_multiplier`] of the state is known already (`corn_pace`).
    #[inline(always)]
    pub fn rate_given<R: Real>(&self, m: R, t: R, corn_pace: R) -> R {
        if self.is_of_corn() { R::splat(self.scale) * corn_pace } else { self.rate(m, t) }
    }

    /// Returns the fraction of storage life used per second; see [`StorageLaw::rate`].
    #[inline(always)]
    pub fn rate<R: Real>(&self, m: R, t: R) -> R {
        let k = R::splat;
        let scale = k(self.scale);
        match self.law {
            StorageLaw::CornDryMatterLoss { .. } => scale / crate::corn_loss::corn_multiplier(m, t),
            StorageLaw::CerealTable { moisture_shift } => {
                scale * (-cereal_table::log_days(percent_wb(m) + k(100.0 * moisture_shift), t)).exp()
            }
            StorageLaw::WheatGermination { .. } => scale * (-wheat_log_days(percent_wb(m), t)).exp(),
            StorageLaw::RiceDryMatterLoss { c, d, e, .. } => {
                let fahrenheit = t * k(1.8) + k(32.0);
                let wet = percent_wb(m) * k(0.01) - k(0.14);
                scale * ((k(d) * (fahrenheit - k(60.0)) + k(e) * wet) * k(1.0 / c)).exp()
            }
            StorageLaw::Viability { k_e, c_w, c_h, c_q, .. } => {
                // Below −20 °C the parabola would turn and below 5 % the law is not valid: both are held.
                let t = t.max(k(-20.0));
                let log10 = k(k_e)
                    - k(c_w / std::f64::consts::LN_10) * percent_wb(m).max(k(5.0)).ln()
                    - t * (k(c_h) + k(c_q) * t);
                scale * (-(log10 * k(std::f64::consts::LN_10))).exp()
            }
        }
    }
}

/// Returns percent wet basis from a fraction dry basis.
#[inline(always)]
fn percent_wb<R: Real>(m: R) -> R {
    R::splat(100.0) * m / (R::splat(1.0) + m)
}

/// Returns ln of the days of [`StorageLaw::WheatGermination`].
#[inline(always)]
fn wheat_log_days<R: Real>(percent: R, t: R) -> R {
    let k = R::splat;
    let m = percent.max(k(12.0));
    // Written out: a closure that is not inlined would lose the instruction set of its caller.
    let cool = k(6.234) - k(0.0527) * t;
    let at_19 = cool - k(0.2118 * 19.0);
    let first = cool - k(0.2118) * m.min(k(19.0));
    let second = (k(4.129) - k(0.0997) * m.max(k(19.5)) - k(0.0576) * t).min(at_19);
    let share = ((m - k(19.0)) * k(2.0)).clamp(k(0.0), k(1.0));
    (first + (second - first) * share) * k(std::f64::consts::LN_10)
}

/// Returns the allowable storage time in days at a constant state.
///
/// # Errors
/// [`DomainError`] for a moisture outside 0 to 1 (fraction dry basis) or a temperature outside −60 to 120 °C.
///
/// ```
/// use physics::storability::{StorageLaw, allowable_days};
/// // Published table: 20 % corn at 60 °F keeps 29 days to 0.5 % loss.
/// let corn = StorageLaw::CornDryMatterLoss { loss: 0.005, damage: 0.30 };
/// let days = allowable_days(&corn, 0.25, (60.0 - 32.0) / 1.8)?;
/// assert!((days - 29.0).abs() < 1.0);
/// # Ok::<(), physics::DomainError>(())
/// ```
pub fn allowable_days(law: &StorageLaw, m: f64, t: f64) -> Result<f64, DomainError> {
    DomainError::check("moisture (dry basis)", m, 0.0, 1.0, "kg/kg")?;
    DomainError::check("temperature", t, -60.0, 120.0, "°C")?;
    Ok(1.0 / (law.rate(m, t) * DAY))
}

//! Dry-matter loss of shelled corn by respiration: equivalent time and what is lost, warmed and wetted by it.

use numerics::{Mask, Real};

/// Heat of respiration, J per kg of dry matter lost (glucose burned to carbon dioxide and water; computed).
pub const RESPIRATION_HEAT: f64 = 15.7e6;
/// Water formed by respiration, kg per kg of dry matter lost (glucose; computed).
pub const RESPIRATION_WATER: f64 = 0.600;
/// Carbon dioxide formed by respiration, kg per kg of dry matter lost (glucose; computed).
pub const RESPIRATION_CARBON_DIOXIDE: f64 = 1.467;

/// Moisture the multiplier was fitted for, percent dry basis (13 to 35.1 % wet basis).
pub(crate) const MOISTURE_PERCENT_DB: (f64, f64) = (1300.0 / 87.0, 54.0);
/// Share of damaged kernels above which storage time was found constant.
const DAMAGE_CAP: f64 = 0.40;
/// Temperature multiplier of the cold branch at 60 °F, where the warm branch takes over.
const MULTIPLIER_60F: f64 = 0.9979523058227604;
/// Above this the warm branch keeps its proportions and follows its first term (°F).
const WARM_CAP_F: f64 = 100.0;
/// Equivalent hours up to which the loss law is followed; beyond, its slope is held (3.8 % lost, far past any limit).
const LOSS_CAP_HOURS: f64 = 600.0;
const SECONDS_PER_HOUR: f64 = 3600.0;

/// Returns the multiplier of storage time for moisture (`percent` dry basis), 1 at 33.3 %.
#[inline(always)]
fn moisture_multiplier<R: Real>(percent: R) -> R {
    let c = R::splat;
    let md = percent.clamp(c(MOISTURE_PERCENT_DB.0), c(MOISTURE_PERCENT_DB.1));
    c(0.103) * ((c(455.0) * (md.ln() * c(-1.53)).exp()).exp() - c(0.00845) * md + c(1.558))
}

/// Returns the multiplier of storage time for temperature (°C) at a moisture (percent wet basis), 1 at 60 °F.
#[inline(always)]
fn temperature_multiplier<R: Real>(percent_wb: R, t: R) -> R {
    let c = R::splat;
    let zero = c(0.0);
    let f = t * c(1.8) + c(32.0);
    let cold = f.le(c(60.0));
    let first = R::select(cold, c(128.76), c(32.3)) * (f * R::select(cold, c(-0.081), c(-0.058))).exp();
    let wet = ((percent_wb - c(19.0)) * c(0.01)).clamp(c(0.0), c(0.09));
    // As a share of the first term, so that the proportion can be held above the cap.
    let held = f.min(c(WARM_CAP_F));
    // Cold or dry grain has no second term; where that is so in all lanes its exponential is spared.
    let share = if zero.lt(wet).and(cold.not()).any() {
        wet * c(1.0 / 32.3) * ((held - c(60.0)) * c(0.0102) + held * c(0.058)).exp()
    } else {
        zero
    };
    let warm = (first * (c(1.0) + share)).min(c(MULTIPLIER_60F));
    R::select(cold, first, warm)
}

/// Returns the multiplier of storage time for mechanically damaged kernels (mass fraction), 1 at 30 %.
#[inline(always)]
fn damage_multiplier<R: Real>(damage: R) -> R {
    let c = R::splat;
    c(2.08) * (damage.clamp(c(0.0), c(DAMAGE_CAP)) * c(-2.39)).exp()
}

/// Returns seconds of equivalent time (at 60 °F, 25 % w.b., 30 % damage) that pass in one second.
///
/// rate = 1/(M_M M_T M_D), with M_M = 0.103 [exp(455/Md^1.53) − 0.00845 Md + 1.558], M_D = 2.08 exp(−0.0239 D) and M_T by
/// temperature: 128.76 exp(−0.081 F) up to 60 °F, above it 32.3 exp(−0.058 F) + w exp[0.0102 (F − 60)] with
/// w = (m − 19)/100 held to 0 … 0.09.
///
/// | symbol | argument | unit |
/// |--------|----------|------|
/// | Md | `m`: moisture | fraction dry basis here, percent in the equation |
/// | F | `t`: temperature | °C here, °F in the equation |
/// | D | `damage`: mechanically damaged kernels | mass fraction here, percent in the equation |
///
/// # Validity
/// Md about 15 to 54 % (13 to 35 % wet basis); held at the ends, which is cautious for drier corn and not for wetter. Damage 0 to 40 %, constant above (Ng et al. 1998).
/// Two defects of the published warm branch are mended so that warmer corn never keeps longer: just above 60 °F the time is
/// not let rise over that at 60 °F (wet corn, up to 9 %), and above 100 °F, where the second term would grow, the whole
/// follows the first term. Neither touches a value of the published table.
///
/// # Source
/// Steele, Saul and Hukill 1969; Thompson 1972; ASAE D535 (coefficients from memory; 30 table cells reproduced).
#[inline(always)]
pub fn corn_equivalent_rate<R: Real>(m: R, t: R, damage: R) -> R {
    let c = R::splat;
    c(1.0) / (corn_multiplier(m, t) * damage_multiplier(damage))
}

/// Returns M_M M_T of [`corn_equivalent_rate`], the multiplier of storage time without that of damage.
#[inline(always)]
pub fn corn_multiplier<R: Real>(m: R, t: R) -> R {
    let c = R::splat;
    let percent_wb = c(100.0) * m / (c(1.0) + m);
    moisture_multiplier(m * c(100.0)) * temperature_multiplier(percent_wb, t)
}

/// Returns M_D of [`corn_equivalent_rate`] for damaged kernels as a mass fraction.
pub fn corn_damage_multiplier(damage: f64) -> f64 {
    damage_multiplier(damage)
}

/// Returns the fraction of dry matter lost after an equivalent time in seconds.
///
/// DML = 0.0883 [exp(0.006 t) − 1] + 0.00102 t, percent, t in h.
///
/// # Validity
/// Fitted up to about 1 %; above 600 h (3.8 %) continued with the slope reached there. Negative times count as 0.
///
/// # Source
/// As [`corn_equivalent_rate`]. Check: 230 h gives 0.497 %.
#[inline(always)]
pub fn corn_loss<R: Real>(equivalent_seconds: R) -> R {
    let c = R::splat;
    let hours = (equivalent_seconds * c(1.0 / SECONDS_PER_HOUR)).max(c(0.0));
    let held = hours.min(c(LOSS_CAP_HOURS));
    let growth = (held * c(0.006)).exp();
    let percent = c(0.0883) * (growth - c(1.0)) + c(0.00102) * hours + c(0.0883 * 0.006) * growth * (hours - held);
    percent * c(0.01)
}

/// Returns the fraction of dry matter lost per second of real time at an equivalent time already passed (s) and the
/// present [`corn_equivalent_rate`].
#[inline(always)]
pub fn corn_loss_rate<R: Real>(equivalent_seconds: R, equivalent_rate: R) -> R {
    let c = R::splat;
    let held = (equivalent_seconds * c(1.0 / SECONDS_PER_HOUR)).clamp(c(0.0), c(LOSS_CAP_HOURS));
    let percent_per_hour = c(0.0883 * 0.006) * (held * c(0.006)).exp() + c(0.00102);
    percent_per_hour * c(0.01 / SECONDS_PER_HOUR) * equivalent_rate
}

/// Returns the equivalent time in seconds after which a fraction of dry matter is lost: the inverse of [`corn_loss`].
///
/// Check: 0.35 % after 178 h, 0.5 % after 231 h, 1 % after 352 h.
pub fn corn_loss_time(loss: f64) -> f64 {
    let loss = if loss > 0.0 { loss } else { return 0.0 };
    let percent = 100.0 * loss;
    // Each term alone gives too long a time, and the law is convex: Newton's steps from the shorter of the two only shrink.
    let exponential = Real::ln(1.0 + percent / 0.0883) / 0.006;
    let mut hours = exponential.min(percent / 0.00102);
    for _ in 0..30 {
        let seconds = hours * SECONDS_PER_HOUR;
        let step = (corn_loss(seconds) - loss) / (corn_loss_rate(seconds, 1.0) * SECONDS_PER_HOUR);
        hours -= step;
        if step.abs() <= 1e-13 * hours {
            break;
        }
    }
    hours * SECONDS_PER_HOUR
}

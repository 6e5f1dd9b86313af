//! Equilibrium between grain and air: the published forms, each with humidity from moisture, moisture from humidity and
//! the slopes the bed's solver needs.
//!
//! T in °C, moisture as a fraction dry basis (the published constants are for percent: the factor 100 stands inside),
//! relative humidity as a fraction over liquid water.

use numerics::Real;

/// Lowest and highest humidity an isotherm is asked for; logarithms stay finite and published fits end well inside.
pub const HUMIDITY_FLOOR: f64 = 0.005;
/// See [`HUMIDITY_FLOOR`].
pub const HUMIDITY_CAP: f64 = 0.98;

/// Equilibrium moisture with its slopes and second derivatives.
#[derive(Debug, Clone, Copy)]
pub struct Equilibrium<R> {
    /// Moisture, fraction dry basis.
    pub moisture: R,
    /// d moisture / d humidity at constant temperature.
    pub by_humidity: R,
    /// d moisture / d temperature at constant humidity, 1/K.
    pub by_temperature: R,
    /// d² moisture / d humidity².
    pub bend_humidity: R,
    /// d² moisture / (d humidity d temperature), 1/K.
    pub bend_mixed: R,
    /// d² moisture / d temperature², 1/K².
    pub bend_temperature: R,
}

/// What the bed asks of an isotherm, for any width of number.
pub trait Isotherm<R: Real>: Copy {
    /// Relative humidity in equilibrium with grain at moisture `m` (d.b.) and temperature `t`.
    fn humidity(&self, m: R, t: R) -> R;
    /// Moisture in equilibrium with air, and slopes. Callers keep `humidity` between floor and cap.
    fn equilibrium(&self, humidity: R, t: R) -> Equilibrium<R>;
}

/// h = 1 − exp(−A (T + C) M^B), M in percent dry basis.
#[derive(Debug, Clone, Copy)]
pub struct ModifiedHenderson<R> {
    /// Constant A.
    pub a: R,
    /// Constant B.
    pub b: R,
    /// Constant C, °C.
    pub c: R,
}

/// h = exp(−A/(T + C) exp(−B M)), M in percent dry basis.
#[derive(Debug, Clone, Copy)]
pub struct ModifiedChungPfost<R> {
    /// Constant A.
    pub a: R,
    /// Constant B (for percent moisture).
    pub b: R,
    /// Constant C, °C.
    pub c: R,
}

/// h = exp(−exp(A + B T) M^(−C)), M in percent dry basis.
#[derive(Debug, Clone, Copy)]
pub struct ModifiedHalsey<R> {
    /// Constant A.
    pub a: R,
    /// Constant B.
    pub b: R,
    /// Constant C.
    pub c: R,
}

/// h = 1/(1 + ((A + B T)/M)^C), M in percent dry basis.
#[derive(Debug, Clone, Copy)]
pub struct ModifiedOswin<R> {
    /// Constant A.
    pub a: R,
    /// Constant B.
    pub b: R,
    /// Constant C.
    pub c: R,
}

/// h = 1 − exp(−[M (1.1 + T/90)/(1 − Do)]²/440), M in percent dry basis: any seed of known oil content.
#[derive(Debug, Clone, Copy)]
pub struct Cromarty<R> {
    /// Oil content, fraction of dry matter.
    pub oil: R,
}

impl<R: Real> Isotherm<R> for ModifiedHenderson<R> {
    #[inline(always)]
    fn humidity(&self, m: R, t: R) -> R {
        let one = R::splat(1.0);
        let percent = (m * R::splat(100.0)).max(R::splat(1e-6));
        one - (-(self.a * (t + self.c) * percent.pow(self.b))).exp()
    }
    #[inline(always)]
    fn equilibrium(&self, humidity: R, t: R) -> Equilibrium<R> {
        let one = R::splat(1.0);
        let shifted = t + self.c;
        let dry = one - humidity;
        let x = -dry.ln();
        let inverse_b = one / self.b;
        // Off the chain of logarithms, so that it is ready when they are.
        let inverse = one / (self.a * shifted);
        let m = ((x * inverse).ln() * inverse_b).exp() * R::splat(0.01);
        let by_b = m * inverse_b;
        let inverse_dry_x = one / (dry * x);
        let by_humidity = by_b * inverse_dry_x;
        let inverse_shifted = self.a * inverse;
        let by_temperature = -(by_b * inverse_shifted);
        Equilibrium {
            moisture: m,
            by_humidity,
            by_temperature,
            bend_humidity: by_humidity * inverse_dry_x * (inverse_b - one + x),
            bend_mixed: -(by_humidity * inverse_b * inverse_shifted),
            bend_temperature: -(by_temperature * inverse_shifted * (inverse_b + one)),
        }
    }
}

impl<R: Real> Isotherm<R> for ModifiedChungPfost<R> {
    #[inline(always)]
    fn humidity(&self, m: R, t: R) -> R {
        (-(self.a / (t + self.c) * (-(self.b * m * R::splat(100.0))).exp())).exp()
    }
    #[inline(always)]
    fn equilibrium(&self, humidity: R, t: R) -> Equilibrium<R> {
        // The form goes negative for very dry hot air; moisture is held at zero there (stated in the reference).
        let shifted = t + self.c;
        let log = humidity.ln();
        let scale = R::splat(0.01) / self.b;
        let m = -((-(shifted * log)) / self.a).ln() * scale;
        let inside = R::splat(0.0).lt(m);
        let zero = R::splat(0.0);
        let inverse_h_log = R::splat(1.0) / (humidity * log);
        let by_humidity = R::select(inside, -(scale * inverse_h_log), zero);
        let by_temperature = R::select(inside, -scale / shifted, zero);
        Equilibrium {
            moisture: R::select(inside, m, zero),
            by_humidity,
            by_temperature,
            bend_humidity: -(by_humidity * inverse_h_log * (log + R::splat(1.0))),
            bend_mixed: zero,
            bend_temperature: by_temperature * by_temperature / scale,
        }
    }
}

impl<R: Real> Isotherm<R> for ModifiedHalsey<R> {
    #[inline(always)]
    fn humidity(&self, m: R, t: R) -> R {
        let percent = (m * R::splat(100.0)).max(R::splat(1e-6));
        (-((self.a + self.b * t) - percent.ln() * self.c).exp()).exp()
    }
    #[inline(always)]
    fn equilibrium(&self, humidity: R, t: R) -> Equilibrium<R> {
        let log = humidity.ln();
        let inverse_c = R::splat(1.0) / self.c;
        let m = (((self.a + self.b * t) - (-log).ln()) * inverse_c).exp() * R::splat(0.01);
        let by_c = m * inverse_c;
        let inverse_h_log = R::splat(1.0) / (humidity * log);
        let by_humidity = -(by_c * inverse_h_log);
        let by_temperature = by_c * self.b;
        Equilibrium {
            moisture: m,
            by_humidity,
            by_temperature,
            bend_humidity: -(by_humidity * inverse_h_log * (inverse_c + log + R::splat(1.0))),
            bend_mixed: by_humidity * self.b * inverse_c,
            bend_temperature: by_temperature * self.b * inverse_c,
        }
    }
}

impl<R: Real> Isotherm<R> for ModifiedOswin<R> {
    #[inline(always)]
    fn humidity(&self, m: R, t: R) -> R {
        let one = R::splat(1.0);
        let percent = (m * R::splat(100.0)).max(R::splat(1e-6));
        let scale = (self.a + self.b * t).max(R::splat(1e-6));
        one / (one + (scale / percent).pow(self.c))
    }
    #[inline(always)]
    fn equilibrium(&self, humidity: R, t: R) -> Equilibrium<R> {
        let one = R::splat(1.0);
        let scale = (self.a + self.b * t).max(R::splat(1e-6));
        let dry = one - humidity;
        let inverse_c = one / self.c;
        let m = scale * ((humidity / dry).ln() * inverse_c).exp() * R::splat(0.01);
        let inverse_h_dry = one / (humidity * dry);
        let by_humidity = m * inverse_c * inverse_h_dry;
        let growth = self.b / scale;
        Equilibrium {
            moisture: m,
            by_humidity,
            by_temperature: m * growth,
            bend_humidity: by_humidity * inverse_h_dry * (inverse_c + humidity - dry),
            bend_mixed: by_humidity * growth,
            bend_temperature: R::splat(0.0),
        }
    }
}

impl<R: Real> Isotherm<R> for Cromarty<R> {
    #[inline(always)]
    fn humidity(&self, m: R, t: R) -> R {
        let one = R::splat(1.0);
        let x = m * R::splat(100.0) * (R::splat(1.1) + t / R::splat(90.0)) / (one - self.oil);
        one - (-(x * x) / R::splat(440.0)).exp()
    }
    #[inline(always)]
    fn equilibrium(&self, humidity: R, t: R) -> Equilibrium<R> {
        let one = R::splat(1.0);
        let dry = one - humidity;
        let warm = R::splat(1.1) + t / R::splat(90.0);
        let y = R::splat(-440.0) * dry.ln();
        let m = (one - self.oil) / warm * y.sqrt() * R::splat(0.01);
        let inverse = one / (y * dry);
        let by_humidity = m * R::splat(220.0) * inverse;
        let growth = one / (warm * R::splat(90.0));
        let by_temperature = -(m * growth);
        Equilibrium {
            moisture: m,
            by_humidity,
            by_temperature,
            bend_humidity: by_humidity * inverse * (y - R::splat(220.0)),
            bend_mixed: -(by_humidity * growth),
            bend_temperature: -(by_temperature * R::splat(2.0) * growth),
        }
    }
}

/// Any of the published forms with its constants, as data files name them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum IsothermForm {
    /// See [`ModifiedHenderson`]. The older Fahrenheit form is the same with A′ = 1.8 A, C = 50 − 32 + … folded in.
    ModifiedHenderson {
        /// A
        a: f64,
        /// B
        b: f64,
        /// C
        c: f64,
    },
    /// See [`ModifiedChungPfost`].
    ModifiedChungPfost {
        /// A
        a: f64,
        /// B
        b: f64,
        /// C
        c: f64,
    },
    /// See [`ModifiedHalsey`].
    ModifiedHalsey {
        /// A
        a: f64,
        /// B
        b: f64,
        /// C
        c: f64,
    },
    /// See [`ModifiedOswin`].
    ModifiedOswin {
        /// A
        a: f64,
        /// B
        b: f64,
        /// C
        c: f64,
    },
    /// See [`Cromarty`].
    Cromarty {
        /// Oil, fraction of dry matter.
        oil: f64,
    },
}

impl IsothermForm {
    /// The form h = 1 − exp(−A (Tf + 50) M²) with Tf in °F, rewritten for °C: A (1.8 T + 82) = 1.8 A (T + 45.556).
    pub fn henderson_thompson(a: f64) -> Self {
        Self::ModifiedHenderson { a: 1.8 * a, b: 2.0, c: 82.0 / 1.8 }
    }

    /// Relative humidity in equilibrium with grain, for single numbers.
    pub fn humidity(&self, m: f64, t: f64) -> f64 {
        match *self {
            Self::ModifiedHenderson { a, b, c } => ModifiedHenderson { a, b, c }.humidity(m, t),
            Self::ModifiedChungPfost { a, b, c } => ModifiedChungPfost { a, b, c }.humidity(m, t),
            Self::ModifiedHalsey { a, b, c } => ModifiedHalsey { a, b, c }.humidity(m, t),
            Self::ModifiedOswin { a, b, c } => ModifiedOswin { a, b, c }.humidity(m, t),
            Self::Cromarty { oil } => Cromarty { oil }.humidity(m, t),
        }
    }

    /// Equilibrium moisture (d.b.) and slopes, for single numbers; `humidity` is kept between floor and cap.
    pub fn equilibrium(&self, humidity: f64, t: f64) -> Equilibrium<f64> {
        let h = humidity.clamp(HUMIDITY_FLOOR, HUMIDITY_CAP);
        match *self {
            Self::ModifiedHenderson { a, b, c } => ModifiedHenderson { a, b, c }.equilibrium(h, t),
            Self::ModifiedChungPfost { a, b, c } => ModifiedChungPfost { a, b, c }.equilibrium(h, t),
            Self::ModifiedHalsey { a, b, c } => ModifiedHalsey { a, b, c }.equilibrium(h, t),
            Self::ModifiedOswin { a, b, c } => ModifiedOswin { a, b, c }.equilibrium(h, t),
            Self::Cromarty { oil } => Cromarty { oil }.equilibrium(h, t),
        }
    }

    /// d ln(humidity) / dT at constant moisture, 1/K: what the isotherm says of the heat of sorption.
    pub fn log_humidity_slope(&self, m: f64, t: f64) -> f64 {
        let h = self.humidity(m, t);
        match *self {
            Self::ModifiedHenderson { a, b, .. } => {
                let percent = (m * 100.0).max(1e-6);
                a * percent.powf(b) * (1.0 - h) / h.max(1e-300)
            }
            Self::ModifiedChungPfost { c, .. } => -h.ln() / (t + c),
            Self::ModifiedHalsey { b, .. } => b * h.ln(),
            Self::ModifiedOswin { a, b, c } => -(c * b / (a + b * t)) * (1.0 - h),
            Self::Cromarty { oil } => {
                let warm = 1.1 + t / 90.0;
                let x = m * 100.0 * warm / (1.0 - oil);
                (x * x / 440.0) * 2.0 / (warm * 90.0) * (1.0 - h) / h.max(1e-300)
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn forms() -> [IsothermForm; 5] {
        [
            IsothermForm::ModifiedHenderson { a: 8.6541e-5, b: 1.8634, c: 49.810 },
            IsothermForm::ModifiedChungPfost { a: 312.40, b: 0.16958, c: 30.205 },
            IsothermForm::ModifiedHalsey { a: 2.87, b: -0.0054, c: 1.38 },
            IsothermForm::ModifiedOswin { a: 15.303, b: -0.10164, c: 3.0358 },
            IsothermForm::Cromarty { oil: 0.2 },
        ]
    }

    proptest! {
        /// Moisture and humidity undo each other, and the stated slopes are the slopes.
        #[test]
        fn forms_are_consistent(h in 0.05..0.95f64, t in -10.0..60.0f64) {
            for form in forms() {
                let e = form.equilibrium(h, t);
                prop_assert!((form.humidity(e.moisture, t) - h).abs() < 1e-9, "{form:?}");
                let d = 1e-5;
                let by_h = (form.equilibrium(h + d, t).moisture - form.equilibrium(h - d, t).moisture) / (2.0 * d);
                let by_t = (form.equilibrium(h, t + d).moisture - form.equilibrium(h, t - d).moisture) / (2.0 * d);
                prop_assert!((e.by_humidity - by_h).abs() < 1e-5 * by_h.abs() + 1e-8, "{form:?}");
                prop_assert!((e.by_temperature - by_t).abs() < 1e-5 * by_t.abs() + 1e-9, "{form:?}");
                let (more, less) = (form.equilibrium(h + d, t), form.equilibrium(h - d, t));
                let (warmer, cooler) = (form.equilibrium(h, t + d), form.equilibrium(h, t - d));
                for (bend, measured) in [
                    (e.bend_humidity, (more.by_humidity - less.by_humidity) / (2.0 * d)),
                    (e.bend_mixed, (warmer.by_humidity - cooler.by_humidity) / (2.0 * d)),
                    (e.bend_temperature, (warmer.by_temperature - cooler.by_temperature) / (2.0 * d)),
                ] {
                    prop_assert!((bend - measured).abs() < 1e-4 * bend.abs() + 1e-7, "{form:?} {bend} {measured}");
                }
                let slope = (form.humidity(e.moisture, t + d).ln() - form.humidity(e.moisture, t - d).ln()) / (2.0 * d);
                prop_assert!((form.log_humidity_slope(e.moisture, t) - slope).abs() < 1e-4 * slope.abs() + 1e-8, "{form:?}");
            }
        }
    }
}

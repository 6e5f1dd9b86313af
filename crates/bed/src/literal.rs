//! A single column under a published thin-layer law taken literally, for verification.
//!
//! Same balances as the kernel, but the exchange of a layer is whatever the law gives for the state in which the air leaves
//! it, and the root is bracketed. Slow and plain on purpose: it is what the kernel is checked against.

use numerics::root::brent;
use physics::air::{
    SPECIFIC_HEAT_DRY_AIR, SPECIFIC_HEAT_VAPOUR, VAPOUR_ENTHALPY_0C, enthalpy, saturation_pressure, vapour_pressure,
};
use physics::isotherm::{HUMIDITY_FLOOR, IsothermForm};
use physics::sorption::SorptionHeat;

/// Constants of a literal column.
#[derive(Debug, Clone, Copy)]
pub struct LiteralParams {
    /// Equilibrium relation.
    pub isotherm: IsothermForm,
    /// Integral heat of sorption.
    pub sorption: SorptionHeat,
    /// Specific heat of dry matter, J/(kg K).
    pub dry_specific_heat: f64,
    /// Specific heat of the water in the grain, J/(kg K).
    pub water_specific_heat: f64,
    /// Highest humidity for which equilibrium is asked.
    pub humidity_cap: f64,
    /// Dry matter of a layer, kg/m².
    pub layer: f64,
}

/// The state in which a law is asked for the new moisture of a layer.
#[derive(Debug, Clone, Copy)]
pub struct Asked {
    /// Moisture before, d.b.
    pub moisture: f64,
    /// Equilibrium moisture at the leaving air, d.b.
    pub equilibrium: f64,
    /// Temperature of grain and leaving air, °C.
    pub temperature: f64,
    /// Relative humidity of the leaving air.
    pub humidity: f64,
    /// Length of the step, s.
    pub seconds: f64,
}

/// Air during a step.
#[derive(Debug, Clone, Copy)]
pub struct Inlet {
    /// °C.
    pub temperature: f64,
    /// kg/kg.
    pub humidity_ratio: f64,
    /// kg/(s m²), above zero.
    pub flux: f64,
    /// Pa.
    pub pressure: f64,
    /// s.
    pub seconds: f64,
}

/// Layers from the inlet: moisture d.b., temperature °C.
#[derive(Debug, Clone, PartialEq)]
pub struct LiteralColumn {
    /// Moisture of each layer, d.b.
    pub moisture: Vec<f64>,
    /// Temperature of each layer, °C.
    pub temperature: Vec<f64>,
    /// Water given to the air so far, kg/m².
    pub water_to_air: f64,
    /// Enthalpy given to the air so far, J/m².
    pub energy_to_air: f64,
}

impl LiteralColumn {
    /// An even column.
    pub fn even(layers: usize, moisture: f64, temperature: f64) -> Self {
        Self {
            moisture: vec![moisture; layers],
            temperature: vec![temperature; layers],
            water_to_air: 0.0,
            energy_to_air: 0.0,
        }
    }

    /// Enthalpy of grain, J per kg of dry matter.
    pub fn grain_enthalpy(p: &LiteralParams, m: f64, t: f64) -> f64 {
        (p.dry_specific_heat + p.water_specific_heat * m) * t - p.sorption.terms::<f64>().both(m).0
    }

    /// Carries the column through one step; `law` gives the new moisture of a layer. Returns the leaving air (°C, kg/kg).
    pub fn advance(&mut self, p: &LiteralParams, inlet: &Inlet, law: &dyn Fn(&Asked) -> f64) -> (f64, f64) {
        let passed = inlet.flux * inlet.seconds;
        let ratio = p.layer / passed;
        let (mut t_air, mut w_air) = (inlet.temperature, inlet.humidity_ratio);
        for i in 0..self.moisture.len() {
            let m_old = self.moisture[i];
            let h_old = Self::grain_enthalpy(p, m_old, self.temperature[i]);
            let h_in = enthalpy(t_air, w_air);
            let state = |m: f64| {
                let w = w_air + ratio * (m_old - m);
                let bound = p.sorption.terms::<f64>().both(m).0;
                let t = (h_in - w * VAPOUR_ENTHALPY_0C + ratio * (h_old + bound))
                    / (SPECIFIC_HEAT_DRY_AIR
                        + SPECIFIC_HEAT_VAPOUR * w
                        + ratio * (p.dry_specific_heat + p.water_specific_heat * m));
                (t, w, vapour_pressure(inlet.pressure, w) / saturation_pressure(t))
            };
            let residual = |m: f64| {
                let (t, _, humidity) = state(m);
                let held = humidity.clamp(HUMIDITY_FLOOR, p.humidity_cap);
                let wanted = law(&Asked {
                    moisture: m_old,
                    equilibrium: p.isotherm.equilibrium(held, t).moisture,
                    temperature: t,
                    humidity: held,
                    seconds: inlet.seconds,
                });
                (m - wanted).min(0.1 * (1.0 - humidity))
            };
            let (low, high) = (1e-6, m_old + 0.999_999 * w_air.max(1e-9) / ratio);
            let m = brent(residual, low, high, 1e-14).unwrap_or_else(|_| bisect(residual, low, high));
            let (t, w, _) = state(m);
            (self.moisture[i], self.temperature[i]) = (m, t);
            (t_air, w_air) = (t, w);
        }
        self.water_to_air += passed * (w_air - inlet.humidity_ratio);
        self.energy_to_air += passed * (enthalpy(t_air, w_air) - enthalpy(inlet.temperature, inlet.humidity_ratio));
        (t_air, w_air)
    }
}

/// The end or root that halving comes to where the ends do not bracket one.
fn bisect(residual: impl Fn(f64) -> f64, mut low: f64, mut high: f64) -> f64 {
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if residual(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

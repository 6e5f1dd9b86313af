//! Fuels and what their burning does to the air: heat, water, carbon dioxide.
//!
//! A direct-fired burner puts all products into the air and the water leaves as vapour, so the air is warmed by the lower
//! heating value while invoices count the higher one. Gas appliances, their venting and their safeguards are ruled by local
//! codes and licensed practice; nothing here replaces them.

use crate::air::{SPECIFIC_HEAT_DRY_AIR, SPECIFIC_HEAT_VAPOUR};
use notice::{Source, Status};
use numerics::Real;

/// A fuel, per kilogram.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fuel {
    /// Name in the words of the trade.
    pub name: &'static str,
    /// Higher heating value, J/kg: what invoices count.
    pub higher_heating_value: f64,
    /// Lower heating value, J/kg: what warms the air when the water stays vapour.
    pub lower_heating_value: f64,
    /// Water formed, kg/kg.
    pub water: f64,
    /// Carbon dioxide formed, kg/kg.
    pub carbon_dioxide: f64,
    /// Air needed for complete burning, kg/kg.
    pub stoichiometric_air: f64,
    /// Density as a liquid at 60 °F, kg/m³, where it is sold as one.
    pub liquid_density: Option<f64>,
}

/// J/kg in one Btu/lb.
const BTU_PER_POUND: f64 = 2326.0;

/// Propane (C3H8). Higher heating value 21,548 Btu/lb and 91,502 Btu/gal (NFPA table, seen); the liquid density is their
/// quotient, 508.8 kg/m³ (4.246 lb/gal; 4.20 is also in use). Lower = 0.921 × higher (computed).
pub const PROPANE: Fuel = Fuel {
    name: "propane",
    higher_heating_value: 21_548.0 * BTU_PER_POUND,
    lower_heating_value: 0.921 * 21_548.0 * BTU_PER_POUND,
    water: 1.634,
    carbon_dioxide: 2.994,
    stoichiometric_air: 15.68,
    liquid_density: Some(91_502.0 / 21_548.0 * 0.45359237 / 3.785411784e-3),
};

/// Natural gas taken as methane (CH4): 55.50 and 50.01 MJ/kg (memory).
pub const NATURAL_GAS: Fuel = Fuel {
    name: "natural gas",
    higher_heating_value: 55.50e6,
    lower_heating_value: 50.01e6,
    water: 2.246,
    carbon_dioxide: 2.743,
    stoichiometric_air: 17.24,
    liquid_density: None,
};

/// Moles of dry air per mole of carbon dioxide at equal mass.
const CARBON_DIOXIDE_VOLUME_SHARE: f64 = 28.9645 / 44.0095;

impl Fuel {
    /// Returns the fuel of a name (`propane`, `lp`, `lpg`, `natural gas`, `methane`), case ignored.
    pub fn by_name(name: &str) -> Option<Self> {
        match name.trim().to_ascii_lowercase().as_str() {
            "propane" | "lp" | "lpg" => Some(PROPANE),
            "natural gas" | "natural-gas" | "methane" => Some(NATURAL_GAS),
            _ => None,
        }
    }

    /// Returns the fuel burned to give the air `heat` (W or J) directly, kg/s or kg.
    #[inline(always)]
    pub fn direct_use<R: Real>(&self, heat: R) -> R {
        heat * R::splat(1.0 / self.lower_heating_value)
    }

    /// Returns the rise of the humidity ratio when direct firing warms air of humidity ratio `w` by `rise` K.
    ///
    /// ΔW = water · (1006 + 1860 W) ΔT/LHV: about 3.6e−5 per K with propane, 4.6e−5 with natural gas, whatever the airflow.
    #[inline(always)]
    pub fn humidity_added<R: Real>(&self, w: R, rise: R) -> R {
        heat_to_air(R::splat(self.water / self.lower_heating_value), w, rise)
    }

    /// Returns the carbon dioxide added by direct firing, volume fraction of dry air.
    #[inline(always)]
    pub fn carbon_dioxide_added<R: Real>(&self, w: R, rise: R) -> R {
        heat_to_air(R::splat(self.carbon_dioxide / self.lower_heating_value * CARBON_DIOXIDE_VOLUME_SHARE), w, rise)
    }

    /// Returns where the figures come from.
    pub fn source(&self) -> Source {
        Source::new(
            "stoichiometry; heating values of the NFPA/NPGA property table (propane) and of methane",
            Status::Computed,
        )
    }
}

/// Returns the sensible heat that warms a flow of air: ṁ (1006 + 1860 W) ΔT, W.
///
/// `dry_air` kg/s of dry air (the one quantity that stays the same along the path), `w` kg/kg, `rise` K.
#[inline(always)]
pub fn heat_to_air<R: Real>(dry_air: R, w: R, rise: R) -> R {
    dry_air * (R::splat(SPECIFIC_HEAT_DRY_AIR) + R::splat(SPECIFIC_HEAT_VAPOUR) * w) * rise
}

/// Returns the rise (K) that a heat flow (W) gives to a flow of dry air (kg/s); the inverse of [`heat_to_air`].
#[inline(always)]
pub fn rise_from_heat<R: Real>(dry_air: R, w: R, heat: R) -> R {
    heat / heat_to_air(dry_air, w, R::splat(1.0))
}

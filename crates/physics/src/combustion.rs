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
    /// Density of the gas over that of air at the same state.
    pub specific_gravity: f64,
    /// Higher heating value of the gas, J per m³ at 60 °F and 30 in. of mercury: what meters and pipe tables count.
    pub gas_heating_value: f64,
    /// Molar mass, kg/kmol.
    pub molar_mass: f64,
    /// Ratio of the specific heats of the gas, for flow near the speed of sound.
    pub heat_capacity_ratio: f64,
}

/// J/kg in one Btu/lb.
const BTU_PER_POUND: f64 = 2326.0;
/// J/m³ in one Btu/ft³.
const BTU_PER_CUBIC_FOOT: f64 = 1055.05585262 / (0.3048 * 0.3048 * 0.3048);
/// Share of oxygen in the mass of dry air.
const OXYGEN_IN_AIR: f64 = 0.2314;

/// Propane (C3H8). Higher heating value 21,548 Btu/lb and 91,502 Btu/gal (NFPA table, seen); the liquid density is their
/// quotient, 508.8 kg/m³ (4.246 lb/gal; 4.20 is also in use). Lower = 0.921 × higher (computed). The gas: specific gravity
/// 1.50 and 2,488 Btu/ft³ (same table, seen; 2,516 stands there before vaporisation is deducted); ratio of specific heats
/// 1.13 (memory).
pub const PROPANE: Fuel = Fuel {
    name: "propane",
    higher_heating_value: 21_548.0 * BTU_PER_POUND,
    lower_heating_value: 0.921 * 21_548.0 * BTU_PER_POUND,
    water: 1.634,
    carbon_dioxide: 2.994,
    stoichiometric_air: 15.68,
    liquid_density: Some(91_502.0 / 21_548.0 * 0.45359237 / 3.785411784e-3),
    specific_gravity: 1.50,
    gas_heating_value: 2_488.0 * BTU_PER_CUBIC_FOOT,
    molar_mass: 44.097,
    heat_capacity_ratio: 1.13,
};

/// Natural gas, burned as methane (CH4): 55.50 and 50.01 MJ/kg (memory). The gas: specific gravity 0.60 (code tables, seen)
/// and 1,026 Btu/ft³ (default of 40 CFR 98, seen; 1,000 to 1,050 by place); ratio of specific heats 1.30 (memory).
pub const NATURAL_GAS: Fuel = Fuel {
    name: "natural gas",
    higher_heating_value: 55.50e6,
    lower_heating_value: 50.01e6,
    water: 2.246,
    carbon_dioxide: 2.743,
    stoichiometric_air: 17.24,
    liquid_density: None,
    specific_gravity: 0.60,
    gas_heating_value: 1_026.0 * BTU_PER_CUBIC_FOOT,
    molar_mass: 17.38,
    heat_capacity_ratio: 1.30,
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

    /// Returns lower over higher heating value: the share of the invoiced heat that warms air when the water stays vapour.
    pub fn lower_share(&self) -> f64 {
        self.lower_heating_value / self.higher_heating_value
    }

    /// Returns the heat on the invoice (higher heating value) for `heat` given to the air at an `efficiency` on the lower
    /// heating value (1 for direct firing); W or J.
    pub fn invoiced_heat(&self, heat: f64, efficiency: f64) -> f64 {
        heat / (efficiency * self.lower_share())
    }

    /// Returns the volume of gas for an invoiced heat, m³ (or m³/s) at 60 °F and 30 in. of mercury.
    pub fn gas_volume(&self, invoiced_heat: f64) -> f64 {
        invoiced_heat / self.gas_heating_value
    }

    /// Returns the air beyond what complete burning needs, as a share of that need.
    ///
    /// e = ṁ_air/(ṁ_fuel · stoichiometric air) − 1, with dry air and fuel in the same unit of mass. A burner in the air
    /// stream of a bin runs at many times the need, counted on the whole stream.
    pub fn excess_air(&self, dry_air: f64, fuel: f64) -> f64 {
        dry_air / (fuel * self.stoichiometric_air) - 1.0
    }

    /// Returns the dry products of complete burning at an excess of air (0 is none), as volume shares.
    ///
    /// Carbon dioxide from the fuel, nitrogen and argon of all air, oxygen of the excess; water is left out, as an analyser
    /// with a cold trap reads it. Check: propane without excess 13.7 % CO2, methane 11.7 %.
    pub fn dry_products(&self, excess_air: f64) -> DryProducts {
        let air = self.stoichiometric_air * (1.0 + excess_air);
        let oxygen_needed = self.stoichiometric_air * OXYGEN_IN_AIR;
        let carbon_dioxide = self.carbon_dioxide / 44.0095;
        let oxygen = oxygen_needed * excess_air / 31.9988;
        let rest = air / 28.9645 - air * OXYGEN_IN_AIR / 31.9988;
        let all = carbon_dioxide + oxygen + rest;
        DryProducts { carbon_dioxide: carbon_dioxide / all, oxygen: oxygen / all }
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

/// Volume shares of the dry products of burning; the rest is nitrogen and argon.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DryProducts {
    /// Carbon dioxide.
    pub carbon_dioxide: f64,
    /// Oxygen.
    pub oxygen: f64,
}

/// Returns the share of its input that a gas appliance keeps at an elevation (m) by the rule of the gas codes.
///
/// Above 2,000 ft the input falls by 4 % for each 1,000 ft above the sea; below, nothing is taken off. The heat that a rise
/// needs at a given airflow falls faster with the density of the air ([`crate::air::standard_density_ratio`]), so the rule
/// is a warning about the burner, not a way to size it: the maker's data and a licensed fitter decide.
///
/// # Source
/// NFPA 54 annex E as quoted in appliance manuals (seen); one manual counts only the feet above 2,000, Canada takes 10 %
/// from 2,000 to 4,500 ft.
pub fn altitude_rating(elevation: f64) -> f64 {
    let thousands = elevation / 304.8;
    if thousands <= 2.0 { 1.0 } else { (1.0 - 0.04 * thousands).max(0.0) }
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

#[cfg(test)]
mod tests {
    use super::*;

    /// Water, carbon dioxide and air of the table follow from the atoms to the printed digits.
    #[test]
    fn products_follow_from_the_atoms() {
        let (carbon_mass, hydrogen_mass, oxygen_mass) = (12.011, 1.008, 15.999);
        for (fuel, carbon, hydrogen) in [(PROPANE, 3.0, 8.0), (NATURAL_GAS, 1.0, 4.0)] {
            let mass = carbon * carbon_mass + hydrogen * hydrogen_mass;
            let water = hydrogen / 2.0 * (2.0 * hydrogen_mass + oxygen_mass) / mass;
            let carbon_dioxide = carbon * (carbon_mass + 2.0 * oxygen_mass) / mass;
            let air = (carbon + hydrogen / 4.0) * 2.0 * oxygen_mass / mass / OXYGEN_IN_AIR;
            for (printed, exact, last) in [
                (fuel.water, water, 1e-3),
                (fuel.carbon_dioxide, carbon_dioxide, 1e-3),
                (fuel.stoichiometric_air, air, 1e-2f64),
            ] {
                assert!((printed - exact).abs() <= last, "{}: {printed} against {exact}", fuel.name);
            }
        }
    }

    #[test]
    fn products_thin_out_with_excess_air() {
        assert!((PROPANE.dry_products(0.0).carbon_dioxide - 0.137).abs() < 1e-3);
        assert!((NATURAL_GAS.dry_products(0.0).carbon_dioxide - 0.117).abs() < 1e-3);
        let (lean, leaner) = (PROPANE.dry_products(1.0), PROPANE.dry_products(50.0));
        assert!(lean.oxygen > 0.0 && leaner.oxygen > lean.oxygen && leaner.carbon_dioxide < lean.carbon_dioxide);
        // Pure air in the end.
        assert!((PROPANE.dry_products(1e6).oxygen - 0.2095).abs() < 1e-3);
        let fuel = PROPANE.direct_use(1e5);
        assert!((PROPANE.excess_air(fuel * PROPANE.stoichiometric_air * 3.0, fuel) - 2.0).abs() < 1e-12);
    }

    #[test]
    fn ratings_fall_above_two_thousand_feet() {
        assert_eq!(altitude_rating(600.0), 1.0);
        assert!((altitude_rating(5000.0 * 0.3048) - 0.80).abs() < 1e-12);
        assert_eq!(altitude_rating(20_000.0), 0.0);
    }
}

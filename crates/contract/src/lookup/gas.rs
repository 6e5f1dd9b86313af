//! Handbook answers on fuel: orifice, pipe, tank, fuel, combustion.

use advice::lookup;
use notice::Status;
use serde::Serialize;

/// `lookup orifice`.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct Orifice {
    /// Fuel.
    pub fuel: String,
    /// Diameter of the hole, m.
    pub diameter_m: f64,
    /// Gauge pressure ahead of it, Pa.
    pub pressure_pa: f64,
    /// Heat on the invoice (higher heating value), W.
    pub invoiced_heat_w: f64,
    /// Heat that warms the air of a direct flame (lower heating value), W.
    pub heat_to_air_w: f64,
    /// Gas, m³/s at 60 °F and 30 in. of mercury.
    pub gas_flow_m3_s: f64,
    /// Gas, kg/s.
    pub mass_flow_kg_s: f64,
    /// Relation used.
    pub relation: String,
    /// Where it comes from.
    pub source: String,
    /// How well it is confirmed.
    pub source_status: Status,
    /// Whether the question lies inside its evidence.
    pub in_range: Option<bool>,
}

/// `lookup pipe`.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct Pipe {
    /// Fuel.
    pub fuel: String,
    /// Length with that of fittings, m.
    pub length_m: f64,
    /// Nominal size of a schedule 40 pipe, in.
    pub nominal_in: Option<String>,
    /// Inside diameter of the pipe, m.
    pub inside_m: f64,
    /// Inside diameter that the flow needs, m, where a size was asked for.
    pub needed_m: Option<f64>,
    /// Gas, m³/s at 60 °F and 30 in. of mercury.
    pub gas_flow_m3_s: f64,
    /// Its heat on the invoice, W.
    pub invoiced_heat_w: f64,
    /// Pressure lost, Pa.
    pub drop_pa: f64,
    /// Gauge pressure at the beginning, Pa.
    pub pressure_pa: f64,
    /// Gauge pressure at the end, Pa.
    pub end_pressure_pa: f64,
    /// Relation used.
    pub relation: String,
    /// Where it comes from.
    pub source: String,
    /// How well it is confirmed.
    pub source_status: Status,
    /// Whether the question lies inside its evidence.
    pub in_range: Option<bool>,
}

/// `lookup tank`.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct Tank {
    /// Volume of the cylinder, m³.
    pub volume_m3: f64,
    /// Wall wetted by liquid, m².
    pub wetted_area_m2: f64,
    /// Coldest liquid that still gives the pressure, °C.
    pub liquid_c: f64,
    /// Gauge pressure the line needs, Pa.
    pub pressure_pa: f64,
    /// Gauge pressure of the resting tank, Pa.
    pub resting_pressure_pa: f64,
    /// Vapour that can be drawn without end, kg/s.
    pub vapour_kg_s: f64,
    /// Its heat on the invoice, W.
    pub heat_w: f64,
    /// What the trade's rule says, W.
    pub customary_heat_w: f64,
    /// What the wanted heat takes.
    pub wanted: Option<WantedOfTank>,
    /// Where the relation comes from.
    pub source: String,
    /// How well it is confirmed.
    pub source_status: Status,
    /// Whether the question lies inside its evidence.
    pub in_range: Option<bool>,
}

/// What a heat wanted of a tank takes.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct WantedOfTank {
    /// Heat on the invoice, W.
    pub heat_w: f64,
    /// Equal tanks side by side; null when one gives no vapour.
    pub tanks: Option<usize>,
    /// How long one tank alone gives it, s, its level and pressure falling as it gives.
    pub draw_time_s: f64,
    /// What ends it: `cold` (too little pressure for the line) or `empty`.
    pub draw_end: DrawEnd,
    /// Duty of a vaporiser instead, with a quarter above the load, W.
    pub vaporiser_w: f64,
}

/// What ends a draw from a tank.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, utoipa::ToSchema)]
#[serde(rename_all = "kebab-case")]
pub enum DrawEnd {
    /// The liquid is too cold for the pressure that the line needs.
    Cold,
    /// The tank is empty.
    Empty,
}

/// `lookup fuel`.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct Fuel {
    /// Fuel.
    pub fuel: String,
    /// Higher heating value, J/kg.
    pub higher_heating_value_j_kg: f64,
    /// Lower heating value, J/kg.
    pub lower_heating_value_j_kg: f64,
    /// Higher heating value of the gas, J/m³ at 60 °F and 30 in. of mercury.
    pub gas_heating_value_j_m3: f64,
    /// Higher heating value of the liquid, J/m³.
    pub liquid_heating_value_j_m3: Option<f64>,
    /// Density of the liquid at 60 °F, kg/m³.
    pub liquid_density_kg_m3: Option<f64>,
    /// Water formed, kg/kg.
    pub water_kg_kg: f64,
    /// Carbon dioxide formed, kg/kg.
    pub carbon_dioxide_kg_kg: f64,
    /// Air needed, kg/kg.
    pub stoichiometric_air_kg_kg: f64,
    /// What the heat takes.
    pub use_of: Option<FuelUse>,
    /// Where the figures come from.
    pub source: String,
    /// How well they are confirmed.
    pub source_status: Status,
}

/// What a heat to the air takes of a fuel.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct FuelUse {
    /// Heat to the air, W.
    pub heat_w: f64,
    /// Heat on the invoice, W.
    pub invoiced_heat_w: f64,
    /// Fuel, kg/s.
    pub mass_flow_kg_s: f64,
    /// Fuel as a liquid, m³/s.
    pub liquid_flow_m3_s: Option<f64>,
    /// Fuel as a gas, m³/s at 60 °F and 30 in. of mercury.
    pub gas_flow_m3_s: f64,
    /// Water formed, kg/s.
    pub water_kg_s: f64,
    /// Whether that water goes into the air that dries.
    pub water_in_air: bool,
    /// Carbon dioxide formed, kg/s.
    pub carbon_dioxide_kg_s: f64,
}

/// `lookup combustion`.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct Combustion {
    /// Fuel.
    pub fuel: String,
    /// Dry air, kg/s.
    pub dry_air_kg_s: f64,
    /// Heat to the air by the exact balance, W.
    pub heat_w: f64,
    /// What the customary factor of 1.08 says, W.
    pub customary_heat_w: f64,
    /// Why the two differ: four factors whose product is exact over customary.
    pub why: FactorParts,
    /// Heat on the invoice, W.
    pub invoiced_heat_w: f64,
    /// Fuel, kg/s.
    pub fuel_kg_s: f64,
    /// Fuel as a liquid, m³/s.
    pub liquid_flow_m3_s: Option<f64>,
    /// Fuel as a gas, m³/s at 60 °F and 30 in. of mercury.
    pub gas_flow_m3_s: f64,
    /// Rise of the humidity ratio, kg/kg.
    pub water_added: f64,
    /// Carbon dioxide added, volume fraction.
    pub carbon_dioxide_added: f64,
    /// Relative humidity before the fire, fraction over liquid water.
    pub humidity_before: f64,
    /// Relative humidity after it, fraction.
    pub humidity_after: f64,
    /// Relative humidity after as much dry heat, fraction.
    pub humidity_dry_heat: f64,
    /// Air beyond the need of the flame, over that need; null without a flame.
    pub excess_air: Option<f64>,
    /// Carbon dioxide in the dry products of a flame without excess air, volume fraction.
    pub products_carbon_dioxide: f64,
    /// What the burner named does with this rise.
    pub burner: Option<BurnerFit>,
    /// Where the equations come from.
    pub source: String,
    /// How well they are confirmed.
    pub source_status: Status,
}

/// Exact over customary factor, in parts.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct FactorParts {
    /// Barometric pressure over the standard one.
    pub pressure: f64,
    /// Temperature behind the customary density over that of the air, absolute.
    pub temperature: f64,
    /// Dry air displaced by vapour.
    pub vapour: f64,
    /// Specific heat of the moist air over the customary one.
    pub specific_heat: f64,
}

/// How a burner fits a rise.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct BurnerFit {
    /// Rise at full fire, K.
    pub full_rise_k: f64,
    /// Least steady rise, K.
    pub least_rise_k: f64,
    /// Share of full fire that the rise takes.
    pub share: f64,
    /// Share of the time at the least steady rate; 1 when it burns on.
    pub duty: f64,
    /// Pressure at the orifice at least fire over that at full fire.
    pub pressure_share: f64,
}

impl From<lookup::orifice::Orifice> for Orifice {
    fn from(of: lookup::orifice::Orifice) -> Self {
        Self {
            fuel: of.fuel.into(),
            diameter_m: of.diameter,
            pressure_pa: of.pressure,
            invoiced_heat_w: of.invoiced_heat,
            heat_to_air_w: of.heat_to_air,
            gas_flow_m3_s: of.gas_flow,
            mass_flow_kg_s: of.mass_flow,
            relation: of.relation.into(),
            source: of.source.citation,
            source_status: of.source.status,
            in_range: Some(of.in_range),
        }
    }
}

impl From<lookup::pipe::Pipe> for Pipe {
    fn from(of: lookup::pipe::Pipe) -> Self {
        Self {
            fuel: of.fuel.into(),
            length_m: of.length,
            nominal_in: of.nominal.map(Into::into),
            inside_m: of.inside,
            needed_m: of.needed,
            gas_flow_m3_s: of.flow,
            invoiced_heat_w: of.invoiced_heat,
            drop_pa: of.drop,
            pressure_pa: of.pressure,
            end_pressure_pa: of.end_pressure,
            relation: of.relation.into(),
            source: of.source.citation,
            source_status: of.source.status,
            in_range: Some(of.in_range),
        }
    }
}

impl From<lookup::tank::TankAnswer> for Tank {
    fn from(of: lookup::tank::TankAnswer) -> Self {
        Self {
            volume_m3: of.volume,
            wetted_area_m2: of.wetted_area,
            liquid_c: of.liquid,
            pressure_pa: of.pressure,
            resting_pressure_pa: of.resting_pressure,
            vapour_kg_s: of.vapour,
            heat_w: of.heat,
            customary_heat_w: of.customary_heat,
            wanted: of.wanted.map(|w| WantedOfTank {
                heat_w: w.heat,
                tanks: w.tanks,
                draw_time_s: w.draw_time,
                draw_end: match w.end {
                    physics::propane_tank::DrawEnd::Cold => DrawEnd::Cold,
                    physics::propane_tank::DrawEnd::Empty => DrawEnd::Empty,
                },
                vaporiser_w: w.vaporiser,
            }),
            source: of.source.citation,
            source_status: of.source.status,
            in_range: Some(of.in_range),
        }
    }
}

impl From<lookup::fuel::FuelAnswer> for Fuel {
    fn from(of: lookup::fuel::FuelAnswer) -> Self {
        Self {
            fuel: of.fuel.into(),
            higher_heating_value_j_kg: of.higher_heating_value,
            lower_heating_value_j_kg: of.lower_heating_value,
            gas_heating_value_j_m3: of.gas_heating_value,
            liquid_heating_value_j_m3: of.liquid_heating_value,
            liquid_density_kg_m3: of.liquid_density,
            water_kg_kg: of.water,
            carbon_dioxide_kg_kg: of.carbon_dioxide,
            stoichiometric_air_kg_kg: of.stoichiometric_air,
            use_of: of.use_of.map(|u| FuelUse {
                heat_w: u.heat,
                invoiced_heat_w: u.invoiced_heat,
                mass_flow_kg_s: u.mass_flow,
                liquid_flow_m3_s: u.liquid_flow,
                gas_flow_m3_s: u.gas_flow,
                water_kg_s: u.water,
                water_in_air: u.water_in_air,
                carbon_dioxide_kg_s: u.carbon_dioxide,
            }),
            source: of.source.citation,
            source_status: of.source.status,
        }
    }
}

impl From<lookup::combustion::Combustion> for Combustion {
    fn from(of: lookup::combustion::Combustion) -> Self {
        let parts = of.parts;
        Self {
            fuel: of.fuel.into(),
            dry_air_kg_s: of.dry_air,
            heat_w: of.heat,
            customary_heat_w: of.customary_heat,
            why: FactorParts {
                pressure: parts.pressure,
                temperature: parts.temperature,
                vapour: parts.vapour,
                specific_heat: parts.specific_heat,
            },
            invoiced_heat_w: of.invoiced_heat,
            fuel_kg_s: of.fuel_flow,
            liquid_flow_m3_s: of.liquid_flow,
            gas_flow_m3_s: of.gas_flow,
            water_added: of.water_added,
            carbon_dioxide_added: of.carbon_dioxide_added,
            humidity_before: of.humidity_before,
            humidity_after: of.humidity_after,
            humidity_dry_heat: of.humidity_dry_heat,
            excess_air: of.excess_air,
            products_carbon_dioxide: of.products.carbon_dioxide,
            burner: of.burner.map(|b| BurnerFit {
                full_rise_k: b.full_rise,
                least_rise_k: b.least_rise,
                share: b.share,
                duty: b.duty,
                pressure_share: b.pressure_share,
            }),
            source: of.source.citation,
            source_status: of.source.status,
        }
    }
}

//! A fuel: its heating values, and what a heat to the air takes of it.

use super::{Answer, Faults, gas, part, refuse};
use notice::{Diagnostic, Diagnostics, Kind, Phrase, Quantity, Remark, Remarks, Source};

/// The question.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// Fuel by name.
    pub fuel: String,
    /// Heat to the air, W.
    pub heat: Option<f64>,
    /// Efficiency of an indirect heater on the lower heating value; left out, a direct flame.
    pub efficiency: Option<f64>,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct FuelAnswer {
    /// Fuel.
    pub fuel: &'static str,
    /// Higher heating value, J/kg: what invoices count.
    pub higher_heating_value: f64,
    /// Lower heating value, J/kg: what warms the air of a direct flame.
    pub lower_heating_value: f64,
    /// Higher heating value of the gas, J/m³ at 60 °F and 30 in. of mercury.
    pub gas_heating_value: f64,
    /// Higher heating value of the liquid, J/m³.
    pub liquid_heating_value: Option<f64>,
    /// Density of the liquid at 60 °F, kg/m³.
    pub liquid_density: Option<f64>,
    /// Water formed, kg/kg.
    pub water: f64,
    /// Carbon dioxide formed, kg/kg.
    pub carbon_dioxide: f64,
    /// Air needed, kg/kg.
    pub stoichiometric_air: f64,
    /// What a heat takes.
    pub use_of: Option<Use>,
    /// Where the figures come from.
    pub source: Source,
}

/// What a heat to the air takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Use {
    /// Heat to the air, W.
    pub heat: f64,
    /// Heat on the invoice, W.
    pub invoiced_heat: f64,
    /// Fuel, kg/s.
    pub mass_flow: f64,
    /// Fuel as a liquid, m³/s.
    pub liquid_flow: Option<f64>,
    /// Fuel as a gas, m³/s at 60 °F and 30 in. of mercury.
    pub gas_flow: f64,
    /// Water formed, kg/s.
    pub water: f64,
    /// Whether that water goes into the air that dries.
    pub water_in_air: bool,
    /// Carbon dioxide formed, kg/s.
    pub carbon_dioxide: f64,
}

impl Question {
    /// What is impossible about it.
    pub fn faults(&self) -> Diagnostics {
        let mut faults = Faults::default();
        gas::known(&mut faults, &self.fuel);
        if let Some(heat) = self.heat {
            gas::above_zero(&mut faults, "heat", heat, Kind::HeatRate, gas::HEATS);
        }
        if self.efficiency.is_some() && self.heat.is_none() {
            faults.0.add(
                Diagnostic::error("missing-option", "an efficiency without a heat", part("heat"))
                    .allowed("an efficiency says what a heat takes of the fuel")
                    .help("add the heat to the air, as \"1 MMBtu/h\", or leave the efficiency out"),
            );
        }
        if let Some(efficiency) = self.efficiency {
            gas::above_zero(&mut faults, "efficiency", efficiency, Kind::Fraction, gas::HEATER_EFFICIENCIES);
        }
        faults.0
    }

    /// Answers it.
    ///
    /// # Errors
    /// What is impossible about the question.
    pub fn answer(&self) -> Result<Answer<FuelAnswer>, Diagnostics> {
        refuse(self.faults())?;
        let fuel = gas::fuel(&self.fuel)?;
        let mut remarks = Remarks::default();
        let use_of = self.heat.map(|heat| {
            let invoiced_heat = fuel.invoiced_heat(heat, self.efficiency.unwrap_or(1.0));
            let mass_flow = invoiced_heat / fuel.higher_heating_value;
            Use {
                heat,
                invoiced_heat,
                mass_flow,
                liquid_flow: fuel.liquid_density.map(|density| mass_flow / density),
                gas_flow: fuel.gas_volume(invoiced_heat),
                water: mass_flow * fuel.water,
                water_in_air: self.efficiency.is_none(),
                carbon_dioxide: mass_flow * fuel.carbon_dioxide,
            }
        });
        let more = 1.0 / fuel.lower_share() - 1.0;
        let says = Phrase::new(
            "the invoice counts the higher heating value: it is {more} more than what a direct flame gives the air",
        )
        .with("more", Quantity::new(more, Kind::Fraction));
        remarks.add(Remark::new("invoice-counts-higher", says));
        gas::caution(&mut remarks);
        let result = FuelAnswer {
            fuel: fuel.name,
            higher_heating_value: fuel.higher_heating_value,
            lower_heating_value: fuel.lower_heating_value,
            gas_heating_value: fuel.gas_heating_value,
            liquid_heating_value: fuel.liquid_density.map(|d| d * fuel.higher_heating_value),
            liquid_density: fuel.liquid_density,
            water: fuel.water,
            carbon_dioxide: fuel.carbon_dioxide,
            stoichiometric_air: fuel.stoichiometric_air,
            use_of,
            source: fuel.source(),
        };
        Ok(Answer { result, remarks })
    }
}

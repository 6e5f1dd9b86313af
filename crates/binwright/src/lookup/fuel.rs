//! `lookup fuel`: heating values of a fuel, and what a heat takes of it.

use super::Answer;
use crate::{args::FuelLookup, exit::Failure, output::Out, quantities::Reader, table::Table, words};
use advice::lookup::fuel::Question;
use contract::lookup::gas::Fuel;
use notice::quantity::GALLON_M3;
use notice::{Kind, UnitSystem};

/// Answers the question.
pub fn answer(args: &FuelLookup) -> Result<Answer<Fuel>, Failure> {
    let mut reader = Reader::default();
    let question = Question {
        fuel: args.fuel.clone(),
        heat: reader.optional("heat", args.heat.as_ref(), Kind::HeatRate),
        efficiency: reader.optional("efficiency", args.efficiency.as_ref(), Kind::Fraction),
    };
    reader.answer(question.faults(), || question.answer())
}

/// The answer as text.
pub fn view(answer: &Fuel, out: &Out) -> String {
    let mut table = Table::facts();
    table.row(["fuel", &answer.fuel]);
    table.row(["higher heating value (invoice)", &out.show(answer.higher_heating_value_j_kg, Kind::SpecificEnthalpy)]);
    table.row([
        "lower heating value (direct flame)",
        &out.show(answer.lower_heating_value_j_kg, Kind::SpecificEnthalpy),
    ]);
    table.row(["of the gas (HHV)", &out.show(answer.gas_heating_value_j_m3, Kind::VolumetricHeat)]);
    if let Some(of_liquid) = answer.liquid_heating_value_j_m3 {
        let text = match out.units {
            UnitSystem::Si => format!("{:.2} MJ/L", of_liquid / 1e9),
            UnitSystem::Us => format!("{:.0} Btu/gal", of_liquid * GALLON_M3 / notice::quantity::BTU_J),
        };
        table.row(["of the liquid (HHV)", &text]);
    }
    table.row(["water formed, per mass of fuel", &format!("{:.3}", answer.water_kg_kg)]);
    table.row(["carbon dioxide formed", &format!("{:.3}", answer.carbon_dioxide_kg_kg)]);
    table.row(["air needed", &format!("{:.2}", answer.stoichiometric_air_kg_kg)]);
    if let Some(of) = &answer.use_of {
        table.row(["heat to the air", &out.about(of.heat_w, Kind::HeatRate, 4)]);
        table.row(["heat on the invoice", &out.about(of.invoiced_heat_w, Kind::HeatRate, 3)]);
        table.row(["fuel", &out.about(of.mass_flow_kg_s, Kind::MassFlow, 3)]);
        match of.liquid_flow_m3_s {
            Some(liquid) => table.row(["as a liquid", &out.about(liquid, Kind::LiquidFlow, 3)]),
            None => table.row(["as a gas", &out.about(of.gas_flow_m3_s, Kind::GasFlow, 3)]),
        };
        let place = if of.water_in_air { "into the air that dries" } else { "up the flue" };
        table.row(["water formed", &format!("{}, {place}", out.about(of.water_kg_s, Kind::MassFlow, 3))]);
        table.row(["carbon dioxide formed", &out.about(of.carbon_dioxide_kg_s, Kind::MassFlow, 3)]);
    }
    table.row(["source", &answer.source]);
    table.row(["confirmed", words::status(answer.source_status)]);
    table.render()
}

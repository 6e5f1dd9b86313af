//! `lookup grain`: density, heat capacity, conductivity and latent heat.

use super::Answer;
use crate::{args::GrainLookup, exit::Failure, output::Out, quantities::Reader, table::Table, words};
use advice::lookup::grain::Question;
use contract::lookup::Grain;
use notice::Kind;

/// Answers the question.
pub fn answer(args: &GrainLookup) -> Result<Answer<Grain>, Failure> {
    let mut reader = Reader::default();
    let question = Question {
        crop: args.crop.clone(),
        moisture_wb: reader.quantity("moisture", &args.moisture, Kind::MoistureWetBasis),
        temperature: reader.quantity("temperature", &args.temperature, Kind::Temperature),
    };
    reader.answer(question.faults(), || question.answer())
}

/// The answer as text.
pub fn view(answer: &Grain, out: &Out) -> String {
    let show = |value: Option<f64>, kind: Kind| value.map_or("not recorded".into(), |v| out.show(v, kind));
    let mut table = Table::facts();
    table.row(["crop", &answer.crop]);
    table.row(["moisture", &out.show(answer.moisture_wb, Kind::MoistureWetBasis)]);
    table.row(["temperature", &out.show(answer.temperature_c, Kind::Temperature)]);
    table.row(["bulk density, loose", &show(answer.bulk_density_kg_m3, Kind::BulkDensity)]);
    // A kernel is a thousand times denser than the air that the usual decimals of a density are meant for.
    let kernel = answer.kernel_density_kg_m3.map(|d| match out.units {
        notice::UnitSystem::Si => format!("{d:.0} kg/m³"),
        notice::UnitSystem::Us => format!("{:.1} lb/ft³", d * 0.3048f64.powi(3) / notice::quantity::POUND_KG),
    });
    table.row(["kernel density", &kernel.unwrap_or("not recorded".into())]);
    table.row(["porosity", &answer.porosity.map_or("not recorded".into(), |p| format!("{:.1} %", 100.0 * p))]);
    table.row(["specific heat", &show(answer.specific_heat_j_kg_k, Kind::SpecificHeat)]);
    let conductivity = answer.conductivity_w_m_k.map(|k| match out.units {
        notice::UnitSystem::Si => format!("{k:.3} W/(m·K)"),
        // 1 Btu/(h·ft·°F) = 1.730735 W/(m·K): IT Btu, exact foot.
        notice::UnitSystem::Us => format!("{:.4} Btu/(h·ft·°F)", k / 1.730_734_666),
    });
    table.row(["conductivity", &conductivity.unwrap_or("not recorded".into())]);
    table.row(["latent heat", &show(answer.latent_heat_j_kg, Kind::SpecificEnthalpy)]);
    table.row(["legal bushel", &show_bushel(answer.bushel_kg, out.units)]);
    let mut text = table.render();
    let mut sources = Table::facts();
    for s in &answer.sources {
        sources.row([s.property.as_str(), s.source.as_str(), words::status(s.source_status)]);
    }
    text.push_str("\nsources\n");
    text.push_str(&sources.render());
    text
}

fn show_bushel(mass: Option<f64>, units: notice::UnitSystem) -> String {
    match (mass, units) {
        (None, _) => "not recorded".into(),
        (Some(kg), notice::UnitSystem::Si) => format!("{kg:.2} kg"),
        (Some(kg), notice::UnitSystem::Us) => format!("{:.0} lb", kg / notice::quantity::POUND_KG),
    }
}

//! `lookup orifice`: gas through a burner's orifice.

use super::Answer;
use crate::{args::OrificeLookup, exit::Failure, output::Out, quantities::Reader, table::Table, words};
use advice::lookup::orifice::{Known, Question};
use contract::lookup::gas::Orifice;
use notice::Kind;

/// Answers the question.
pub fn answer(args: &OrificeLookup) -> Result<Answer<Orifice>, Failure> {
    let mut reader = Reader::default();
    let known = match (&args.diameter, &args.heat) {
        (Some(text), _) => Known::Diameter(reader.quantity("diameter", text, Kind::Bore)),
        // The command line asks for one of the two.
        (None, heat) => Known::Heat(reader.quantity("heat", heat.as_deref().unwrap_or_default(), Kind::HeatRate)),
    };
    let question = Question {
        fuel: args.fuel.clone(),
        known,
        pressure: reader.quantity("pressure", &args.pressure, Kind::GasPressure),
        temperature: reader.quantity("temperature", &args.temperature, Kind::Temperature),
        coefficient: reader.quantity("coefficient", &args.coefficient, Kind::Number),
        elevation: reader.optional("elevation", args.elevation.as_ref(), Kind::Length),
    };
    reader.answer(question.faults(), || question.answer())
}

/// The answer as text.
pub fn view(answer: &Orifice, out: &Out) -> String {
    let mut table = Table::facts();
    table.row(["fuel", &answer.fuel]);
    table.row(["orifice", &out.about(answer.diameter_m, Kind::Bore, 3)]);
    table.row(["pressure ahead", &out.gas_pressure(answer.pressure_pa)]);
    table.row(["heat on the invoice (HHV)", &out.about(answer.invoiced_heat_w, Kind::HeatRate, 3)]);
    table.row(["heat to the air, direct (LHV)", &out.about(answer.heat_to_air_w, Kind::HeatRate, 3)]);
    table.row(["gas", &out.about(answer.gas_flow_m3_s, Kind::GasFlow, 3)]);
    table.row(["gas by mass", &out.about(answer.mass_flow_kg_s, Kind::MassFlow, 3)]);
    table.row(["relation", &answer.relation]);
    table.row(["source", &answer.source]);
    table.row(["confirmed", words::status(answer.source_status)]);
    table.row(["range", words::range(answer.in_range)]);
    table.render()
}

//! `lookup pipe`: gas in a pipe.

use super::Answer;
use crate::{args::PipeLookup, exit::Failure, output::Out, quantities::Reader, table::Table, words};
use advice::lookup::pipe::{Ask, Load, Question, Size};
use contract::lookup::gas::Pipe;
use notice::{Diagnostic, Kind, Place, UnitSystem};

/// Answers the question.
pub fn answer(args: &PipeLookup) -> Result<Answer<Pipe>, Failure> {
    let mut reader = Reader::default();
    let load = load(args, &mut reader);
    let size = args.size.as_ref().map(|text| size(text, &mut reader));
    let drop = reader.optional("drop", args.drop.as_ref(), Kind::GasPressure);
    let length = reader.quantity("length", &args.length, Kind::Length);
    let pressure = reader.quantity("pressure", &args.pressure, Kind::GasPressure);
    let elevation = reader.optional("elevation", args.elevation.as_ref(), Kind::Length);
    let ask = match (load, size, drop) {
        (Some(load), Some(size), None) => Ask::Drop { load, size },
        (Some(load), None, Some(drop)) => Ask::Size { load, drop },
        (None, Some(size), Some(drop)) => Ask::Capacity { size, drop },
        _ => {
            reader.done()?;
            return Err(unsettled().into());
        }
    };
    let question = Question { fuel: args.fuel.clone(), length, pressure, ask, elevation };
    reader.answer(question.faults(), || question.answer())
}

fn unsettled() -> Diagnostic {
    let at = Place { file: "command line".into(), ..Place::default() };
    Diagnostic::error("two-of-three", "a pipe that is not settled", at)
        .allowed("two of the load (--flow or --heat), --size and --drop; the third is the answer")
}

/// The load, as it was asked.
fn load(args: &PipeLookup, reader: &mut Reader) -> Option<Load> {
    match &args.heat {
        Some(text) => Some(Load::Heat(reader.quantity("heat", text, Kind::HeatRate))),
        None => reader.optional("flow", args.flow.as_ref(), Kind::GasFlow).map(Load::Flow),
    }
}

/// A nominal size, or an inside diameter with its unit.
fn size(text: &str, reader: &mut Reader) -> Size {
    Size::nominal(text).unwrap_or_else(|| Size { nominal: None, inside: reader.quantity("size", text, Kind::Bore) })
}

/// The answer as text.
pub fn view(answer: &Pipe, out: &Out) -> String {
    let mut table = Table::facts();
    table.row(["fuel", &answer.fuel]);
    let nominal = answer.nominal_in.as_ref().map_or(String::new(), |n| format!("{n} in. schedule 40, "));
    table.row(["pipe", &format!("{nominal}{} inside", out.show(answer.inside_m, Kind::Bore))]);
    if let Some(needed) = answer.needed_m {
        table.row(["needed inside", &out.about(needed, Kind::Bore, 3)]);
    }
    table.row(["length with fittings", &out.show(answer.length_m, Kind::Length)]);
    table.row(["gas", &out.about(answer.gas_flow_m3_s, Kind::GasFlow, 3)]);
    table.row(["its heat on the invoice (HHV)", &out.about(answer.invoiced_heat_w, Kind::HeatRate, 3)]);
    let pressure = |pascal: f64| pressure(pascal, answer.pressure_pa, out);
    table.row(["pressure at the beginning", &pressure(answer.pressure_pa)]);
    table.row(["pressure lost", &pressure(answer.drop_pa)]);
    table.row(["pressure at the end", &pressure(answer.end_pressure_pa)]);
    table.row(["relation", &answer.relation]);
    table.row(["source", &answer.source]);
    table.row(["confirmed", words::status(answer.source_status)]);
    table.row(["range", words::range(answer.in_range)]);
    table.render()
}

/// A pressure in the unit that suits the beginning of the line, so that the three can be compared; in a psi line a pressure
/// below 2 psi also in the inches of water that the regulator behind it is set by.
fn pressure(pascal: f64, beginning: f64, out: &Out) -> String {
    let low = |pascal: f64| pascal.abs() < physics::gas_pipe::LOW_PRESSURE.high;
    if low(beginning) {
        return out.about(pascal, Kind::Pressure, 3);
    }
    let main = out.about(pascal, Kind::GasPressure, 3);
    match low(pascal) && out.units == UnitSystem::Us {
        true => format!("{main} ({})", out.about(pascal, Kind::Pressure, 3)),
        false => main,
    }
}

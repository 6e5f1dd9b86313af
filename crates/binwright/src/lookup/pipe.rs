//! `lookup pipe`: gas in a pipe.

use super::Answer;
use crate::{args::PipeLookup, exit::Failure, output::Out, quantities::Reader, table::Table, words};
use advice::lookup::pipe::{Ask, Question, Size};
use contract::lookup::gas::Pipe;
use notice::{Diagnostic, Kind, Place};
use physics::combustion::Fuel;

/// Answers the question.
pub fn answer(args: &PipeLookup) -> Result<Answer<Pipe>, Failure> {
    let mut reader = Reader::default();
    let flow = flow(args, &mut reader);
    let size = args.size.as_ref().map(|text| size(text, &mut reader));
    let drop = reader.optional("drop", args.drop.as_ref(), Kind::GasPressure);
    let length = reader.quantity("length", &args.length, Kind::Length);
    let pressure = reader.quantity("pressure", &args.pressure, Kind::GasPressure);
    let elevation = reader.optional("elevation", args.elevation.as_ref(), Kind::Length);
    let ask = match (flow, size, drop) {
        (Some(flow), Some(size), None) => Ask::Drop { flow, size },
        (Some(flow), None, Some(drop)) => Ask::Size { flow, drop },
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

/// The load as gas; a heat needs the fuel, whose name the question judges.
fn flow(args: &PipeLookup, reader: &mut Reader) -> Option<f64> {
    if let Some(text) = &args.heat {
        let heat = reader.quantity("heat", text, Kind::HeatRate);
        return Some(Fuel::by_name(&args.fuel).map_or(f64::NAN, |fuel| fuel.gas_volume(heat)));
    }
    reader.optional("flow", args.flow.as_ref(), Kind::GasFlow)
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
        table.row(["needed inside", &out.show(needed, Kind::Bore)]);
    }
    table.row(["length with fittings", &out.show(answer.length_m, Kind::Length)]);
    table.row(["gas", &out.show(answer.gas_flow_m3_s, Kind::GasFlow)]);
    table.row(["its heat on the invoice (HHV)", &out.show(answer.invoiced_heat_w, Kind::HeatRate)]);
    table.row(["pressure at the beginning", &small(answer.pressure_pa, out)]);
    table.row(["pressure lost", &small(answer.drop_pa, out)]);
    table.row(["pressure at the end", &small(answer.end_pressure_pa, out)]);
    table.row(["relation", &answer.relation]);
    table.row(["source", &answer.source]);
    table.row(["confirmed", words::status(answer.source_status)]);
    table.row(["range", words::range(answer.in_range)]);
    table.render()
}

/// A pressure of gas; below 2 psi in the inches of water (or Pa) that regulators are set by.
fn small(pascal: f64, out: &Out) -> String {
    let kind = if pascal.abs() < 13_790.0 { Kind::Pressure } else { Kind::GasPressure };
    out.show(pascal, kind)
}

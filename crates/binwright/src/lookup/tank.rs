//! `lookup tank`: what a propane tank can boil off.

use super::Answer;
use crate::{args::TankLookup, exit::Failure, output::Out, quantities::Reader, table::Table, words};
use advice::lookup::tank::Question;
use contract::lookup::gas::{DrawEnd, Tank};
use notice::Kind;

/// Answers the question.
pub fn answer(args: &TankLookup) -> Result<Answer<Tank>, Failure> {
    let mut reader = Reader::default();
    let question = Question {
        diameter: reader.quantity("diameter", &args.diameter, Kind::Length),
        length: reader.quantity("length", &args.length, Kind::Length),
        fill: reader.quantity("fill", &args.fill, Kind::Fraction),
        air: reader.quantity("air", &args.air, Kind::Temperature),
        pressure: reader.optional("pressure", args.pressure.as_ref(), Kind::GasPressure),
        heat: reader.optional("heat", args.heat.as_ref(), Kind::HeatRate),
        elevation: reader.optional("elevation", args.elevation.as_ref(), Kind::Length),
    };
    reader.answer(question.faults(), || question.answer())
}

/// The answer as text.
pub fn view(answer: &Tank, out: &Out) -> String {
    let mut table = Table::facts();
    table.row(["volume of the cylinder", &out.about(answer.volume_m3, Kind::LiquidVolume, 3)]);
    table.row(["wall wetted by liquid", &out.about(answer.wetted_area_m2, Kind::Area, 3)]);
    table.row(["pressure at rest", &out.show(answer.resting_pressure_pa, Kind::GasPressure)]);
    table.row(["pressure the line needs", &out.show(answer.pressure_pa, Kind::GasPressure)]);
    table.row(["coldest liquid that gives it", &out.show(answer.liquid_c, Kind::Temperature)]);
    table.row(["vapour while the level stands", &out.about(answer.vapour_kg_s, Kind::MassFlow, 2)]);
    table.row(["its heat on the invoice (HHV)", &out.about(answer.heat_w, Kind::HeatRate, 2)]);
    table.row(["the trade's rule says", &out.about(answer.customary_heat_w, Kind::HeatRate, 2)]);
    if let Some(wanted) = &answer.wanted {
        table.row(["heat wanted", &out.about(wanted.heat_w, Kind::HeatRate, 3)]);
        let tanks = wanted.tanks.map_or("none gives it".into(), |n| n.to_string());
        table.row(["such tanks side by side", &tanks]);
        let end = match wanted.draw_end {
            DrawEnd::Cold => "then too cold for the line",
            DrawEnd::Empty => "then empty",
        };
        let time = format!("{}, {end}", out.about(wanted.draw_time_s, Kind::Hours, 2));
        table.row(["one alone, from as warm as the air", &time]);
        table.row(["or a vaporiser of (a quarter above the load)", &out.about(wanted.vaporiser_w, Kind::HeatRate, 3)]);
    }
    table.row(["source", &answer.source]);
    table.row(["confirmed", words::status(answer.source_status)]);
    table.row(["range", words::range(answer.in_range)]);
    table.render()
}

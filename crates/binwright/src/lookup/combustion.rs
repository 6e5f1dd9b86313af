//! `lookup combustion`: burner duty for a rise, and what a flame does to the air.

use super::Answer;
use crate::{args::CombustionLookup, exit::Failure, output::Out, quantities::Reader, table::Table, words};
use advice::lookup::air::Altitude;
use advice::lookup::combustion::Question;
use contract::lookup::gas::Combustion;
use notice::Kind;

/// Answers the question.
pub fn answer(args: &CombustionLookup) -> Result<Answer<Combustion>, Failure> {
    let mut reader = Reader::default();
    let question = Question {
        fuel: args.fuel.clone(),
        dry_bulb: reader.quantity("dry-bulb", &args.dry_bulb, Kind::Temperature),
        relative_humidity: reader.quantity("relative-humidity", &args.relative_humidity, Kind::RelativeHumidity),
        airflow: reader.quantity("airflow", &args.airflow, Kind::Airflow),
        rise: reader.quantity("rise", &args.rise, Kind::TemperatureDifference),
        efficiency: reader.optional("efficiency", args.efficiency.as_ref(), Kind::Fraction),
        capacity: reader.optional("capacity", args.capacity.as_ref(), Kind::HeatRate),
        turndown: reader.optional("turndown", args.turndown.as_ref(), Kind::Number),
        altitude: match (&args.pressure, &args.elevation) {
            (Some(text), _) => Altitude::Pressure(reader.quantity("pressure", text, Kind::Barometric)),
            (None, Some(text)) => Altitude::Elevation(reader.quantity("elevation", text, Kind::Length)),
            (None, None) => Altitude::SeaLevel,
        },
    };
    reader.answer(question.faults(), || question.answer())
}

/// The answer as text.
pub fn view(answer: &Combustion, out: &Out) -> String {
    let percent = |share: f64| format!("{:.1} %", 100.0 * share);
    let mut table = Table::facts();
    table.row(["fuel", &answer.fuel]);
    table.row(["dry air", &out.about(answer.dry_air_kg_s, Kind::MassFlow, 4)]);
    table.row(["heat to the air, exact", &out.about(answer.heat_w, Kind::HeatRate, 4)]);
    table.row(["by the customary factor 1.08", &out.about(answer.customary_heat_w, Kind::HeatRate, 4)]);
    let off = |factor: f64| format!("{:+.1} %", 100.0 * (factor - 1.0));
    let why = &answer.why;
    let all = why.pressure * why.temperature * why.vapour * why.specific_heat;
    table.row([
        "exact against customary",
        &format!(
            "{}: pressure {}, temperature {}, vapour {}, specific heat {}",
            off(all),
            off(why.pressure),
            off(why.temperature),
            off(why.vapour),
            off(why.specific_heat)
        ),
    ]);
    table.row(["heat on the invoice (HHV)", &out.about(answer.invoiced_heat_w, Kind::HeatRate, 3)]);
    match answer.liquid_flow_m3_s {
        Some(liquid) => table.row(["fuel as a liquid", &out.about(liquid, Kind::LiquidFlow, 3)]),
        None => table.row(["fuel as a gas", &out.about(answer.gas_flow_m3_s, Kind::GasFlow, 3)]),
    };
    table.row(["water added to the air", &out.show(answer.water_added, Kind::HumidityRatio)]);
    table.row(["carbon dioxide added", &format!("{:.0} ppm", (1e5 * answer.carbon_dioxide_added).round() * 10.0)]);
    table.row(["relative humidity before, over liquid water", &percent(answer.humidity_before)]);
    table.row(["after", &percent(answer.humidity_after)]);
    table.row(["after as much dry heat", &percent(answer.humidity_dry_heat)]);
    if let Some(burner) = &answer.burner {
        table.row(["rise at full fire", &out.about(burner.full_rise_k, Kind::TemperatureDifference, 3)]);
        table.row(["least steady rise", &out.about(burner.least_rise_k, Kind::TemperatureDifference, 3)]);
        table.row(["share of full fire", &percent(burner.share)]);
        table.row(["time burning (the rest of it off)", &percent(burner.duty)]);
        table.row(["orifice pressure at least fire", &format!("{} of that at full", percent(burner.pressure_share))]);
    }
    table.row(["source", &answer.source]);
    table.row(["confirmed", words::status(answer.source_status)]);
    table.render()
}

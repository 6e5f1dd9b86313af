//! `lookup air`: the state of moist air from dry bulb and one more reading.

use super::Answer;
use crate::{args::AirLookup, exit::Failure, output::Out, quantities::Reader, table::Table, words};
use advice::lookup::air::{Altitude, Question};
use contract::lookup::AirState;
use notice::Kind;
use physics::states::Known;

/// Answers the question.
pub fn answer(args: &AirLookup) -> Result<Answer<AirState>, Failure> {
    let mut reader = Reader::default();
    let question = Question {
        dry_bulb: reader.quantity("dry-bulb", &args.dry_bulb, Kind::Temperature),
        known: second(args, &mut reader),
        altitude: match (&args.pressure, &args.elevation) {
            (Some(text), _) => Altitude::Pressure(reader.quantity("pressure", text, Kind::Barometric)),
            (None, Some(text)) => Altitude::Elevation(reader.quantity("elevation", text, Kind::Length)),
            (None, None) => Altitude::SeaLevel,
        },
    };
    reader.answer(question.faults(), || question.answer())
}

/// The reading beside the dry bulb; the command line asks for exactly one.
fn second(args: &AirLookup, reader: &mut Reader) -> Known {
    if let Some(text) = &args.wet_bulb {
        Known::WetBulb(reader.quantity("wet-bulb", text, Kind::Temperature))
    } else if let Some(text) = &args.dew_point {
        Known::DewPoint(reader.quantity("dew-point", text, Kind::Temperature))
    } else if let Some(text) = &args.humidity_ratio {
        Known::HumidityRatio(reader.quantity("humidity-ratio", text, Kind::HumidityRatio))
    } else {
        let text = args.relative_humidity.as_deref().unwrap_or_default();
        Known::RelativeHumidity(reader.quantity("relative-humidity", text, Kind::RelativeHumidity))
    }
}

/// The answer as text.
pub fn view(answer: &AirState, out: &Out) -> String {
    let mut table = Table::facts();
    table.row(["dry bulb", &out.show(answer.dry_bulb_c, Kind::Temperature)]);
    table.row(["wet bulb", &out.show(answer.wet_bulb_c, Kind::Temperature)]);
    let dew = answer.dew_point_c.map_or("none, no water in this air".into(), |t| out.show(t, Kind::Temperature));
    table.row([if answer.dry_bulb_c <= 0.01 { "frost point" } else { "dew point" }, &dew]);
    table.row(["relative humidity", &format!("{:.1} %", 100.0 * answer.relative_humidity)]);
    table.row(["humidity ratio", &out.show(answer.humidity_ratio, Kind::HumidityRatio)]);
    table.row(["enthalpy, per dry air", &out.show(answer.enthalpy_j_kg, Kind::SpecificEnthalpy)]);
    let volume = match out.units {
        notice::UnitSystem::Si => format!("{:.4} m³/kg", answer.specific_volume_m3_kg),
        notice::UnitSystem::Us => {
            format!("{:.3} ft³/lb", answer.specific_volume_m3_kg * notice::quantity::POUND_KG / 0.3048f64.powi(3))
        }
    };
    table.row(["specific volume, per dry air", &volume]);
    table.row(["density", &out.show(answer.density_kg_m3, Kind::Density)]);
    table.row(["pressure", &out.show(answer.pressure_pa, Kind::Barometric)]);
    table.row(["source", &answer.source]);
    table.row(["confirmed", words::status(answer.source_status)]);
    let datum = match out.units {
        notice::UnitSystem::Si => "enthalpy counts from dry air and liquid water at 0 °C",
        notice::UnitSystem::Us => "enthalpy counts from dry air and liquid water at 32 °F (US charts: dry air at 0 °F)",
    };
    table.row(["datum", datum]);
    table.render()
}

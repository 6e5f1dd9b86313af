//! `lookup air`: the state of moist air from dry bulb and one more reading.

use super::{Answer, common};
use crate::{args::AirLookup, exit::Failure, output::Out, quantities::Reader, table::Table};
use contract::lookup::AirState;
use notice::{Diagnostic, Kind, Phrase, Quantity, Remark, Remarks};
use physics::{
    air,
    states::{DRY_BULB, ELEVATION, Known, MoistAirState, PRESSURE},
};

/// Answers the question.
pub fn answer(args: &AirLookup) -> Result<Answer<AirState>, Failure> {
    let mut reader = Reader::default();
    let dry_bulb = reader.quantity("dry-bulb", &args.dry_bulb, Kind::Temperature);
    common::possible(&mut reader, "dry-bulb", dry_bulb, Kind::Temperature, DRY_BULB);
    let (name, known) = second(args, &mut reader);
    let pressure = match (&args.pressure, &args.elevation) {
        (Some(text), _) => {
            let pressure = reader.quantity("pressure", text, Kind::Barometric);
            common::possible(&mut reader, "pressure", pressure, Kind::Barometric, PRESSURE);
            pressure
        }
        (None, Some(text)) => {
            let elevation = reader.quantity("elevation", text, Kind::Length);
            common::possible(&mut reader, "elevation", elevation, Kind::Length, ELEVATION);
            air::standard_pressure(elevation)
        }
        (None, None) => air::STANDARD_PRESSURE,
    };
    reader.done()?;
    let state = MoistAirState::new(dry_bulb, known, pressure).map_err(|error| {
        Failure::from(
            Diagnostic::error("impossible-air", format!("no such air exists: {error}"), common::option(name))
                .help("wet bulb and dew point lie at or below the dry bulb; air holds no more water than saturation"),
        )
    })?;
    let source = MoistAirState::source();
    let result = AirState {
        dry_bulb_c: state.dry_bulb,
        wet_bulb_c: state.wet_bulb,
        dew_point_c: (state.humidity_ratio > 0.0).then_some(state.dew_point),
        relative_humidity: state.relative_humidity,
        relative_humidity_over_water: state.relative_humidity_over_water,
        humidity_ratio: state.humidity_ratio,
        enthalpy_j_kg: state.enthalpy,
        specific_volume_m3_kg: state.specific_volume,
        density_kg_m3: state.density,
        pressure_pa: state.pressure,
        source: source.citation,
        source_status: source.status,
    };
    Ok(Answer { remarks: remarks(&state), result })
}

/// The reading beside the dry bulb; the command line asks for exactly one.
fn second(args: &AirLookup, reader: &mut Reader) -> (&'static str, Known) {
    if let Some(text) = &args.wet_bulb {
        ("wet-bulb", Known::WetBulb(reader.quantity("wet-bulb", text, Kind::Temperature)))
    } else if let Some(text) = &args.dew_point {
        ("dew-point", Known::DewPoint(reader.quantity("dew-point", text, Kind::Temperature)))
    } else if let Some(text) = &args.humidity_ratio {
        ("humidity-ratio", Known::HumidityRatio(reader.quantity("humidity-ratio", text, Kind::HumidityRatio)))
    } else {
        let text = args.relative_humidity.as_deref().unwrap_or_default();
        ("relative-humidity", Known::RelativeHumidity(common::humidity(reader, "relative-humidity", text)))
    }
}

fn remarks(state: &MoistAirState) -> Remarks {
    let mut remarks = Remarks::default();
    if state.over_ice {
        let says = Phrase::new(
            "below {triple} relative humidity and dew point are over ice; over liquid water, as weather files and grain \
             relations have it, this air is at {humidity}",
        )
        .with("triple", Quantity::new(0.01, Kind::Temperature))
        .with("humidity", Quantity::new(state.relative_humidity_over_water, Kind::RelativeHumidity));
        remarks.add(Remark::new("over-ice", says));
    }
    if state.wet_bulb < 0.0 {
        remarks.add(Remark::new("iced-wick", Phrase::new("the wet bulb is that of an iced wick")));
    } else if let Some(iced) = state.iced_wet_bulb {
        let says = Phrase::new("an iced wick would read {iced}").with("iced", Quantity::new(iced, Kind::Temperature));
        remarks.add(Remark::new("iced-wick", says));
    }
    remarks
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
    table.row(["confirmed", common::status(answer.source_status)]);
    let datum = match out.units {
        notice::UnitSystem::Si => "enthalpy counts from dry air and liquid water at 0 °C",
        notice::UnitSystem::Us => "enthalpy counts from dry air and liquid water at 32 °F (US charts: dry air at 0 °F)",
    };
    table.row(["datum", datum]);
    table.render()
}

//! The burner on either side of the fan, as text.

use crate::{output::Out, table::Table};
use advice::heat::place::{Placed, Stand};
use equipment::BurnerSide;
use notice::Kind;

/// The three ways beside each other.
pub fn text(ways: &[Placed; 3], out: &Out) -> String {
    let mut table = Table::measured(&[
        ("burner", ""),
        ("airflow", out.unit(Kind::Airflow)),
        ("dry air", out.unit(Kind::MassFlow)),
        ("static", out.unit(Kind::Pressure)),
        ("shaft", out.unit(Kind::ShaftPower)),
        ("motor", "% of rating"),
        ("heat", out.unit(Kind::HeatRate)),
        ("plenum", out.unit(Kind::Temperature)),
        ("plenum", "% RH"),
        ("can take up", &format!("{} water", out.unit(Kind::MassFlow))),
    ]);
    for way in ways {
        let p = &way.point;
        table.row([
            match way.stand {
                Stand::NoFire => "no fire",
                Stand::Side(BurnerSide::Discharge) => "after the fan",
                Stand::Side(BurnerSide::Inlet) => "before the fan",
            }
            .to_string(),
            out.number(p.fan_airflow, Kind::Airflow),
            format!("{:.0}", p.fan_dry_air_flow * Kind::MassFlow.shown(out.units).factor),
            out.number(p.fan_static_pressure, Kind::Pressure),
            out.number(p.shaft_power, Kind::ShaftPower),
            format!("{:.0}{}", 100.0 * way.motor_load, if p.flags.overload { " OVERLOAD" } else { "" }),
            out.about_number(way.heat, Kind::HeatRate, 4),
            out.number(p.grain_air_temperature, Kind::Temperature),
            format!("{:.0}", 100.0 * way.humidity),
            out.number(way.drying, Kind::MassFlow),
        ]);
    }
    format!(
        "Where the burner stands: the design hour with the same rise\n{}\
         Airflow at the fan inlets: before the fan that air is hot and thin, and motor and bearings run in it.\n\
         Can take up: until the air leaves in equilibrium with grain as wet as filled.\n",
        table.render()
    )
}

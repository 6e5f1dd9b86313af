//! The steps of a process as a table.

use crate::output::Out;
use crate::table::Table;
use job::clock;
use notice::Kind;
use physics::grain::wet_basis;
use season::{SeasonResult, StepKind};

/// The table under its own line; nothing for plain drying.
pub fn table(r: &SeasonResult, offset: i32, out: &Out) -> String {
    if r.steps.is_empty() {
        return String::new();
    }
    let (wet, degrees) = (out.unit(Kind::MoistureWetBasis), out.unit(Kind::Temperature));
    let mut table = Table::measured(&[
        ("step", ""),
        ("from", ""),
        ("wanted", degrees),
        ("reached", ""),
        ("took", "h"),
        ("fan", "h"),
        ("moisture from", wet),
        ("to", wet),
        ("wettest", wet),
        ("driest", wet),
        ("grain from", degrees),
        ("to", degrees),
        ("electricity", "kWh"),
        ("heat", out.unit(Kind::Heat)),
    ]);
    let moist = |m: f64| out.number(wet_basis(m), Kind::MoistureWetBasis);
    let warm = |t: f64| out.number(t, Kind::Temperature);
    // By the day, which is what a season is read by; the JSON has the instants.
    let day = |second: i64| clock::date(second.div_euclid(3600), offset);
    for s in &r.steps {
        table.row([
            says(s.kind).to_string(),
            day(s.began_at),
            s.to.map_or("-".into(), warm),
            s.reached_at.map_or("never".into(), day),
            format!("{:.1}", (s.reached_at.unwrap_or(s.ended_at) - s.began_at) as f64 / 3600.0),
            format!("{:.1}", s.fan_hours),
            moist(s.moisture.0),
            moist(s.moisture.1),
            moist(s.extremes.0),
            moist(s.extremes.1),
            warm(s.temperature.0),
            warm(s.temperature.1),
            format!("{:.0}", s.electricity / 3.6e6),
            // Three figures: more is not known.
            out.about_number(s.burner_energy, Kind::Heat, 3),
        ]);
    }
    format!(
        "\nwhat the steps took: hours until what was wanted was reached, fan hours and energy of the whole step\n\n{}",
        table.render()
    )
}

fn says(kind: StepKind) -> &'static str {
    match kind {
        StepKind::Cooled => "cooled",
        StepKind::Warmed => "warmed",
        StepKind::Tempered => "tempered",
        StepKind::CooledHot => "hot grain cooled",
        StepKind::Batch => "batch",
        StepKind::Conditioned => "conditioned",
    }
}

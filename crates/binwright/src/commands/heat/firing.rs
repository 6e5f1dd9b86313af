//! Ways of firing as text.

use crate::{output::Out, table::Table};
use advice::heat::firing::Compared;
use contract::heat::{firing_word, load_word, sharing_word};
use notice::Kind;

/// The comparison, and how several burners share a load.
pub fn text(compared: &Compared, out: &Out) -> String {
    let mut text = ways(compared, out);
    if !compared.shared.is_empty() {
        text.push('\n');
        text.push_str(&shared(compared, out));
    }
    text
}

fn shared(compared: &Compared, out: &Out) -> String {
    let temperature = out.unit(Kind::Temperature);
    let mut table = Table::measured(&[
        ("sharing", ""),
        ("hour", ""),
        ("mean", temperature),
        ("lowest", temperature),
        ("highest", temperature),
        ("inlets apart", out.unit(Kind::TemperatureDifference)),
        ("uneven", "% of time"),
    ]);
    for r in &compared.shared {
        let at = |rise: f64| out.number(r.unheated + rise, Kind::Temperature);
        table.row([
            format!("{}{}", sharing_word(r.sharing), if r.own { " (own)" } else { "" }),
            load_word(r.load).to_string(),
            at(r.shared.mean),
            at(r.shared.mixed_trough),
            at(r.shared.mixed_peak),
            out.number(r.shared.apart, Kind::TemperatureDifference),
            format!("{:.0}", 100.0 * r.shared.uneven),
        ]);
    }
    format!(
        "How {} burners share the heat, on and off each: mixed air and inlets, thermal mass left out\n{}",
        compared.burners,
        table.render()
    )
}

fn ways(compared: &Compared, out: &Out) -> String {
    let temperature = out.unit(Kind::Temperature);
    let mut table = Table::measured(&[
        ("firing", ""),
        ("hour", ""),
        ("full fire", &format!("{} rise", out.unit(Kind::TemperatureDifference))),
        ("low fire", &format!("{} rise", out.unit(Kind::TemperatureDifference))),
        ("duty", "%"),
        ("starts", "per h"),
        ("mean", temperature),
        ("lowest", temperature),
        ("highest", temperature),
        ("swing", out.unit(Kind::TemperatureDifference)),
    ]);
    for r in &compared.rows {
        let c = &r.cycle;
        let at = |rise: f64| out.number(r.unheated + rise, Kind::Temperature);
        let starts = c.starts_per_hour();
        table.row([
            format!("{}{}", firing_word(r.firing), if r.own { " (own)" } else { "" }),
            load_word(r.load).to_string(),
            out.number(r.full, Kind::TemperatureDifference),
            out.number(r.low, Kind::TemperatureDifference),
            format!("{:.0}", 100.0 * c.duty),
            if starts.is_finite() && starts > 0.0 { format!("{starts:.0}") } else { "none".into() },
            at(c.mean),
            at(c.trough),
            at(c.peak),
            out.number(c.swing(), Kind::TemperatureDifference),
        ]);
    }
    format!(
        "Ways of firing the same heat: energy follows the mean, the grain at the floor and the high limit meet the highest\n{}\
         Dead band {}, ignition {}, {} of steel between flame and thermostat, low fire {} of full; the usual hour is the one\n\
         with the mean heat of all hours that want some.\n",
        table.render(),
        out.show(compared.dead_band, Kind::TemperatureDifference),
        format_args!("{:.0} s", compared.ignition),
        out.show(compared.steel, Kind::Mass),
        out.show(compared.low_fire, Kind::Fraction),
    )
}

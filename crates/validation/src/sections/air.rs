//! Humid air against the reference table.

use crate::page::{Against, Section, Verdict, row};
use crate::table;
use physics::states::{Known, MoistAirState};

/// One column of the table: name, unit, largest deviation seen, number of misses.
struct Column {
    name: &'static str,
    allowed: &'static str,
    worst: f64,
    unit: &'static str,
    misses: usize,
    count: usize,
}

/// The section.
pub fn section() -> Section {
    let rows = table::read(include_str!("../../data/humid-air.csv"));
    let mut columns: Vec<Column> = Vec::new();
    for r in &rows {
        let known = Known::RelativeHumidity(r.value("rh_pct") / 100.0);
        let Ok(air) = MoistAirState::new(r.value("dry_bulb_c"), known, r.value("pressure_pa")) else { continue };
        // `scale` turns a deviation into what is shown.
        let mut see = |name, allowed: &'static str, unit, shown: f64, deviation: f64, most: f64| {
            let at = columns.iter().position(|c| c.name == name).unwrap_or_else(|| {
                columns.push(Column { name, allowed, worst: 0.0, unit, misses: 0, count: 0 });
                columns.len() - 1
            });
            let column = &mut columns[at];
            column.count += 1;
            column.worst = column.worst.max(shown);
            column.misses += usize::from(Verdict::of(deviation, most) == Verdict::Differs);
        };
        let ratio = |ours: f64, of: &str| (ours / r.value(of) - 1.0).abs();
        let apart = |ours: f64, of: &str| (ours - r.value(of)).abs();
        let (w, v, h) = (air.humidity_ratio, air.specific_volume, air.enthalpy / 1000.0);
        let dw = apart(w, "ash_humidity_ratio_kg_kg");
        let beyond = (dw - 5.1e-8).max(0.0);
        let digit = "1e-4, or half the seventh decimal as printed";
        see("humidity ratio (ash)", digit, "", beyond / w, beyond, 1e-4 * r.value("ash_humidity_ratio_kg_kg"));
        let d = ratio(v, "ash_specific_volume_m3_kgda");
        see("specific volume (ash)", "1e-4", "", d, d, 1e-4);
        let d = apart(air.dew_point, "ash_dew_or_frost_point_c");
        see("dew or frost point (ash)", "0.005 K", " K", d, d, 0.005);
        let d = apart(air.wet_bulb, "ash_wet_bulb_c");
        see("wet bulb (ash)", "0.005 K", " K", d, d, 0.005);
        let d = apart(h, "ash_enthalpy_kj_kgda");
        see("enthalpy (ash)", "0.01 kJ/kg", " kJ/kg", d, d, 0.01);
        let d = apart(air.saturation_pressure, "ash_sat_vapour_pressure_pa");
        see("saturation pressure (ash)", "half a printed digit, 0.005 Pa", " Pa", d, d, 0.0051);
        let d = ratio(w, "ref_humidity_ratio_kg_kg");
        let printed = 5e-8 / r.value("ref_humidity_ratio_kg_kg");
        see("humidity ratio (ref)", "0.8 %, and half a printed digit", "", d, d, 0.008 + printed);
        let d = ratio(v, "ref_specific_volume_m3_kgda");
        see("specific volume (ref)", "0.2 %", "", d, d, 0.002);
        let d = apart(air.dew_point, "ref_dew_or_frost_point_c");
        see("dew or frost point (ref)", "0.2 K", " K", d, d, 0.2);
        let d = apart(air.wet_bulb, "ref_wet_bulb_c");
        let d = air.iced_wet_bulb.map_or(d, |t| d.min(apart(t, "ref_wet_bulb_c")));
        see("wet bulb (ref)", "0.2 K; within 0.4 K above freezing either wet bulb is valid", " K", d, d, 0.2);
        let d = apart(h, "ref_enthalpy_kj_kgda");
        see("enthalpy (ref)", "3 kJ/kg", " kJ/kg", d, d, 3.0);
    }
    let mut section = Section::new(
        "Humid air",
        Against::Computed,
        "120 states from −25 to 120 °C and 60 to 110 kPa, inputs dry bulb and relative humidity (of water below 0 °C: of ice). \
         Columns `ash_`: ideal-gas handbook equations; columns `ref_`: real humid air. The enhancement factor is not used, which is \
         the difference in humidity ratio against `ref_`.",
    );
    for c in columns {
        let worst = if c.unit.is_empty() { percent(c.worst) } else { format!("{:.4}{}", c.worst, c.unit) };
        let hits = c.count - c.misses;
        if hits > 0 {
            let r = row(c.name, format!("{} values", c.count), format!("{hits} within {}", c.allowed)).times(hits);
            section.rows.push(r.off(format!("largest {worst}")).is(Verdict::Agrees));
        }
        if c.misses > 0 {
            let r = row(c.name, format!("{} values", c.count), format!("{} outside {}", c.misses, c.allowed));
            section.rows.push(r.times(c.misses).off(format!("largest {worst}")).is(Verdict::Differs));
        }
    }
    section.sources(table::kinds(&rows, "source"));
    section
}

fn percent(share: f64) -> String {
    format!("{:.4} %", 100.0 * share)
}

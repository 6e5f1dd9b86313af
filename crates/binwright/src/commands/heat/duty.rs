//! Duty of the burner as text.

use crate::{output::Out, table::Table};
use advice::heat::duty::{Duty, SHARES, YearHeat};
use equipment::Fuel;
use job::{Job, clock};
use notice::quantity::BTU_J;
use notice::{Kind, UnitSystem};

/// The design hour, then the seasons.
pub fn text(job: &Job, duty: &Duty, fuel: Fuel, out: &Out) -> String {
    format!("{}\n{}", design(job, duty, out), seasons(duty, fuel, out))
}

/// Day and hour by standard time.
fn moment(hour: i64, offset: i32) -> String {
    let instant = clock::instant(hour, offset);
    instant.get(..16).map_or_else(|| instant.clone(), |minutes| minutes.replace('T', " "))
}

fn percent(share: f64) -> String {
    format!("{:.1} %", 100.0 * share)
}

fn off(factor: f64) -> String {
    format!("{:+.1} %", 100.0 * (factor - 1.0))
}

fn more(factor: f64) -> String {
    format!("{:.1} % {}", 100.0 * (factor - 1.0).abs(), if factor < 1.0 { "less" } else { "more" })
}

fn design(job: &Job, duty: &Duty, out: &Out) -> String {
    let d = &duty.design;
    let h = &d.hour;
    // As everywhere but in `lookup air`, which says which it means.
    let over_water = if h.temperature < 0.0 { " (over liquid water, as weather files have it)" } else { "" };
    let mut table = Table::facts();
    table.row([
        "hour".to_string(),
        format!(
            "{}, {} and {} RH outside{}, {}",
            moment(h.hour, job.place.utc_offset),
            out.show(h.temperature, Kind::Temperature),
            percent(d.humidity_outside),
            over_water,
            out.show(h.pressure, Kind::Barometric)
        ),
    ]);
    table.row([
        "air".to_string(),
        format!(
            "{} at the fan inlets, {:.0} {} dry",
            out.show(h.airflow, Kind::Airflow),
            h.dry_air * Kind::MassFlow.shown(out.units).factor,
            out.unit(Kind::MassFlow)
        ),
    ]);
    table.row([
        "rise".to_string(),
        format!(
            "{} by the fans, {} by the burner: {} to the grain",
            out.show(h.fan_heat, Kind::TemperatureDifference),
            out.show(h.rise, Kind::TemperatureDifference),
            out.show(h.plenum(), Kind::Temperature)
        ),
    ]);
    table.row([
        "heat to the air, exact".to_string(),
        format!(
            "{}, {:.0} % of the {} installed",
            out.about(h.heat, Kind::HeatRate, 4),
            100.0 * h.heat / duty.installed,
            out.show(duty.installed, Kind::HeatRate)
        ),
    ]);
    table.row([
        match out.units {
            UnitSystem::Us => "by 1.08 × cfm × °F".to_string(),
            // 1.08 Btu/h for each cfm and °F.
            UnitSystem::Si => "by 1.21 kJ/(m³·K) × airflow × rise".to_string(),
        },
        format!(
            "{}: the exact heat is {} (pressure {}, temperature {}, vapour {}, specific heat {})",
            out.about(d.customary, Kind::HeatRate, 4),
            more(d.parts.product()),
            off(d.parts.pressure),
            off(d.parts.temperature),
            off(d.parts.vapour),
            off(d.parts.specific_heat)
        ),
    ]);
    table.row([
        "the same with the airflow of the plenum".to_string(),
        format!(
            "{}: the factor belongs to the air at the fan inlets",
            out.about(d.customary_on_plenum, Kind::HeatRate, 4)
        ),
    ]);
    match (d.fuel, d.fuel_by_higher) {
        (Some(fuel), Some(by_higher)) => {
            let flow = match (d.liquid, d.gas) {
                (Some(liquid), _) => out.show(liquid, Kind::LiquidFlow),
                (None, Some(gas)) => out.show(gas, Kind::GasFlow),
                _ => out.show(fuel, Kind::MassFlow),
            };
            table.row([
                "fuel".to_string(),
                format!(
                    "{flow} ({} on the invoice); by the higher heating value it would have been {:.0} % less, too little",
                    out.about(d.invoiced, Kind::HeatRate, 4),
                    100.0 * (1.0 - by_higher / fuel)
                ),
            ]);
        }
        _ => {
            table.row(["electricity".to_string(), out.show(d.invoiced, Kind::ElectricPower)]);
        }
    }
    table.row([
        "air to the grain".to_string(),
        if d.water_added > 0.0 {
            format!(
                "{} RH with {} of water and {:.0} ppm of CO₂ from the flame; {} with as much dry heat",
                percent(d.humidity_plenum),
                out.show(d.water_added, Kind::HumidityRatio),
                1e6 * d.carbon_dioxide_added,
                percent(d.humidity_dry_heat)
            )
        } else {
            format!("{} RH: nothing of a flame in it", percent(d.humidity_plenum))
        },
    ]);
    format!(
        "Design hour: {} of the {} hours between first load and goal, or winter, in {} years ask for no more\n{}",
        percent(d.share),
        duty.hours.len(),
        duty.years.len(),
        table.render()
    )
}

/// What a season takes is counted in: money is asked per gallon, litre, cubic foot or kWh.
#[derive(Clone, Copy)]
enum Counted {
    Liquid(f64),
    Gas(f64),
    Electricity,
}

impl Counted {
    fn of(fuel: Fuel) -> Self {
        match fuel.combustion() {
            None => Self::Electricity,
            Some(f) => f.liquid_density.map_or(Self::Gas(f.gas_heating_value / f.higher_heating_value), Self::Liquid),
        }
    }

    fn head(self, out: &Out) -> (&'static str, &'static str) {
        match self {
            Self::Liquid(_) => ("fuel", out.unit(Kind::LiquidVolume)),
            Self::Gas(_) => ("gas", out.unit(Kind::Volume)),
            Self::Electricity => ("electricity", out.unit(Kind::ElectricEnergy)),
        }
    }

    fn number(self, year: &YearHeat, out: &Out) -> String {
        match self {
            Self::Liquid(density) => out.number(year.fuel / density, Kind::LiquidVolume),
            Self::Gas(density) => format!("{:.0}", year.fuel / density * Kind::Volume.shown(out.units).factor),
            Self::Electricity => out.number(year.electricity, Kind::ElectricEnergy),
        }
    }
}

/// The seasons: the years with least and most heat, the middle one, and how much is wanted in which share of the hours.
fn seasons(duty: &Duty, fuel: Fuel, out: &Out) -> String {
    let counted = Counted::of(fuel);
    let (heat, factor) = match out.units {
        UnitSystem::Us => ("MMBtu", 1e-6 / BTU_J),
        UnitSystem::Si => ("GJ", 1e-9),
    };
    let mut table = Table::measured(&[
        ("year", ""),
        ("hours", "h"),
        ("heat wanted", "h"),
        ("short", "h"),
        ("mean heat", out.unit(Kind::HeatRate)),
        ("peak", out.unit(Kind::HeatRate)),
        ("heat", heat),
        counted.head(out),
    ]);
    let mut row = |name: String, y: &YearHeat| {
        table.row([
            name,
            y.hours.to_string(),
            y.lit.to_string(),
            y.short.to_string(),
            out.about_number(y.mean, Kind::HeatRate, 3),
            out.about_number(y.peak, Kind::HeatRate, 3),
            format!("{:.1}", y.heat * factor),
            counted.number(y, out),
        ]);
    };
    let mut years: Vec<&YearHeat> = duty.years.iter().collect();
    years.sort_by(|a, b| a.heat.total_cmp(&b.heat));
    let picked = [years.first(), years.get(years.len() / 2), years.last()];
    for (name, year) in ["least", "middle", "most"].into_iter().zip(picked) {
        if let Some(year) = year {
            row(format!("{} ({name})", year.year), year);
        }
    }
    let shares = SHARES.map(|share| format!("{:.0} %", 100.0 * share));
    let head: Vec<&str> = std::iter::once("share of the hours").chain(shares.iter().map(String::as_str)).collect();
    let mut duration = Table::numbers(&head);
    duration.row(
        std::iter::once(format!("want at most, {}", out.unit(Kind::HeatRate)))
            .chain(duty.duration.iter().map(|heat| out.about_number(*heat, Kind::HeatRate, 3))),
    );
    format!(
        "Through the seasons: every hour from the first load to the day of the goal, all lots in and all fans running\n{}\n{}",
        table.render(),
        duration.render()
    )
}

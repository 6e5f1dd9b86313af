//! Motors and wires as text.

use crate::{output::Out, table::Table};
use advice::heat::power::{AtTemperature, BinPower, Demand, MotorPoint, SitePower};
use equipment::motor_load::LoadVerdict;
use job::Job;
use notice::{Kind, UnitSystem};
use physics::electric::Phases;

/// The motors of a bin.
pub fn text(power: &BinPower, supplied: bool, out: &Out) -> String {
    let mut table = Table::measured(&[
        ("motor", ""),
        ("when", ""),
        ("outside", out.unit(Kind::Temperature)),
        ("full", "%"),
        ("shaft", out.unit(Kind::ShaftPower)),
        ("load", "% of rating"),
        ("input", out.unit(Kind::ElectricPower)),
        ("efficiency", "%"),
        ("power factor", ""),
        ("running", out.unit(Kind::Current)),
        ("", ""),
    ]);
    for m in &power.motors {
        let name = if m.count == 1 { m.fan.clone() } else { format!("{}, each of {}", m.fan, m.count) };
        let mut row = |name: String, when: &str, p: &MotorPoint| {
            let l = &p.load;
            table.row([
                name,
                when.to_string(),
                out.number(p.temperature, Kind::Temperature),
                format!("{:.0}", 100.0 * p.fill),
                out.number(p.shaft, Kind::ShaftPower),
                format!("{:.0}", 100.0 * l.load),
                out.number(l.input, Kind::ElectricPower),
                format!("{:.0}", 100.0 * l.efficiency),
                format!("{:.2}", l.power_factor),
                if supplied { out.number(l.current, Kind::Current) } else { "-".into() },
                match l.judged {
                    LoadVerdict::Within => "",
                    LoadVerdict::InServiceFactor => "in service factor",
                    LoadVerdict::Over => "OVERLOAD",
                }
                .to_string(),
            ]);
        };
        row(name, "hardest hour", &m.most);
        row(String::new(), "usual hour", &m.usual);
        if m.worst_fill.fill < 1.0 {
            row(String::new(), "part full", &m.worst_fill);
        }
    }
    let mut facts = Table::facts();
    for m in &power.motors {
        let code = match (m.code_current, m.locked_rotor) {
            (Some(code), Some((low, high))) => format!(
                "code current {} (sizes conductors and protection, not what flows); start {} to {} by letter {}",
                out.show(code, Kind::Current),
                out.about_number(low, Kind::Current, 2),
                out.about(high, Kind::Current, 2),
                m.code_letter
            ),
            (None, Some((low, high))) => format!(
                "start {} to {} by letter {}",
                out.about_number(low, Kind::Current, 2),
                out.about(high, Kind::Current, 2),
                m.code_letter
            ),
            _ => "no [power] in the site file: no currents".to_string(),
        };
        facts.row([
            m.fan.clone(),
            format!(
                "rated {}, service factor {:.2}, above its rating in {} h of {} h; {code}",
                out.show(m.plate.rated, Kind::ShaftPower),
                m.plate.service_factor,
                m.above.0,
                power.hours
            ),
        ]);
    }
    let mut series = Table::measured(&[
        ("outside", out.unit(Kind::Temperature)),
        ("air density", out.unit(Kind::Density)),
        ("motor", "% of rating"),
        ("all shafts", out.unit(Kind::ShaftPower)),
        ("all inputs", out.unit(Kind::ElectricPower)),
        ("running", out.unit(Kind::Current)),
    ]);
    for a in &in_readers_steps(&power.by_temperature, out.units) {
        series.row([
            out.number(a.temperature, Kind::Temperature),
            out.number(a.density, Kind::Density),
            format!("{:.0}", 100.0 * a.load),
            out.number(a.shaft, Kind::ShaftPower),
            out.number(a.input, Kind::ElectricPower),
            a.current.map_or("-".into(), |c| out.number(c, Kind::Current)),
        ]);
    }
    format!(
        "Power: motors in the hours between first load and goal, all lots in unless said, no burner lit\n{}{}\n\
         Motor load against the outdoor temperature, all lots in\n{}",
        table.render(),
        facts.render(),
        series.render()
    )
}

/// The series at steps that a reader's thermometer has: every 10 °F between the computed 5 °C, on straight lines.
fn in_readers_steps(series: &[AtTemperature], units: UnitSystem) -> Vec<AtTemperature> {
    let (Some(first), Some(last), UnitSystem::Us) = (series.first(), series.last(), units) else {
        return series.to_vec();
    };
    let fahrenheit = |celsius: f64| 1.8 * celsius + 32.0;
    let steps =
        ((fahrenheit(first.temperature) / 10.0).ceil() as i32)..=((fahrenheit(last.temperature) / 10.0).floor() as i32);
    let at = |step: i32| {
        let t = (10.0 * f64::from(step) - 32.0) / 1.8;
        let pair = series.windows(2).find(|pair| t <= pair[1].temperature + 1e-9)?;
        let (a, b) = (&pair[0], &pair[1]);
        let part = (t - a.temperature) / (b.temperature - a.temperature);
        let between = |low: f64, high: f64| low + part * (high - low);
        Some(AtTemperature {
            temperature: t,
            density: between(a.density, b.density),
            load: between(a.load, b.load),
            shaft: between(a.shaft, b.shaft),
            input: between(a.input, b.input),
            current: a.current.zip(b.current).map(|(low, high)| between(low, high)),
        })
    };
    steps.filter_map(at).collect()
}

/// The site's electricity.
pub fn site(site: &SitePower, out: &Out) -> String {
    let mut table = Table::facts();
    let phases = match site.supply.phases {
        Phases::Single => "one phase",
        Phases::Three => "three phases",
    };
    table.row(["supply".to_string(), format!("{}, {phases}", out.show(site.supply.volts, Kind::Voltage))]);
    table.row([
        "everything on".to_string(),
        format!(
            "{} running ({}), {}",
            out.show(site.running, Kind::ElectricPower),
            out.show(site.apparent, Kind::ApparentPower),
            out.show(site.current, Kind::Current)
        ),
    ]);
    if let Some(code) = site.code_current {
        let service =
            site.supply.service.map_or(String::new(), |a| format!("; service of {}", out.show(a, Kind::Current)));
        table.row([
            "code currents".to_string(),
            format!("{} with a quarter of the largest added{service}", out.show(code, Kind::Current)),
        ]);
    } else if let Some(service) = site.supply.service {
        table.row(["service".to_string(), out.show(service, Kind::Current)]);
    }
    if let (Some((runs, starts)), Some(feeder)) = (site.drop, &site.supply.feeder) {
        table.row([
            "feeder".to_string(),
            format!(
                "{} of {}: {:.1} % of the voltage lost running, {:.1} % while the largest starts last",
                out.show(feeder.length, Kind::Length),
                feeder.conductor,
                100.0 * runs,
                100.0 * starts
            ),
        ]);
    }
    table.row([
        "start".to_string(),
        format!(
            "{} while the largest starts last ({})",
            out.show(site.starting_current, Kind::Current),
            out.show(site.generator.starting, Kind::ApparentPower)
        ),
    ]);
    let has = site
        .supply
        .generator
        .map_or(String::new(), |w| format!("; there is one of {}", out.show(w, Kind::ElectricPower)));
    table.row([
        "generator, estimate".to_string(),
        format!(
            "about {}, engine {} to {}{has}",
            out.about(site.generator_rating, Kind::ApparentPower, 2),
            out.about_number(site.generator.engine.0, Kind::ShaftPower, 2),
            out.about(site.generator.engine.1, Kind::ShaftPower, 2)
        ),
    ]);
    format!("The site's electricity\n{}", table.render())
}

/// Peaks of months.
pub fn demand(job: &Job, demand: &Demand, out: &Out) -> String {
    const MONTHS: [&str; 12] = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
    let kw = out.unit(Kind::ElectricPower);
    let mut table = Table::measured(&[("month", ""), ("peak, mean of the years", kw), ("highest", kw)]);
    for (month, mean, highest) in &demand.months {
        let name = MONTHS.get(usize::from(*month).wrapping_sub(1)).copied().unwrap_or("");
        table.row([
            name.to_string(),
            out.number(*mean, Kind::ElectricPower),
            out.number(*highest, Kind::ElectricPower),
        ]);
    }
    let cost = match (demand.cost, &job.prices) {
        (Some((mean, highest)), Some(prices)) => {
            format!(
                "Demand charge of a season: {mean:.0} {} in the mean year, {highest:.0} in the dearest.\n",
                prices.currency
            )
        }
        _ => String::new(),
    };
    format!("Demand: all bins at once, from first load to goal\n{}{cost}", table.render())
}

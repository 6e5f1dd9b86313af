//! `farm`: all bins of a site together.

use super::site;
use crate::{
    args::FarmArgs,
    exit::{Ending, Failure, say},
    output::Out,
    stop,
    table::Table,
};
use advice::farm::{self, FarmSeason, LAYERS};
use contract::Document;
use contract::farm::{FarmJson, bushel, outcome_says};
use ensemble::Observer;
use job::{FarmYear, Job, clock};
use notice::{Diagnostic, Kind, Place, Remarks, UnitSystem};
use season::Record;
use std::sync::Arc;

/// Runs a year of the farm, or all.
pub fn run(args: &FarmArgs, out: &mut Out) -> Result<Ending, Failure> {
    let job = site::open(&args.site)?;
    let asked: Vec<(i32, FarmYear)> =
        job.farm.years.iter().filter(|(year, _)| args.year.is_none_or(|asked| asked == *year)).cloned().collect();
    if asked.is_empty() {
        return Err(no_year(&job, args.year).into());
    }
    let stop = stop::on_interrupt()?;
    let watch = site::Watch::new("farm", stop);
    let observer: Arc<dyn Observer> = Arc::<site::Watch>::clone(&watch);
    let threads = std::thread::available_parallelism().map_or(1, usize::from);
    let found = farm::years(&job, &asked, (LAYERS, Record::Daily), threads, &observer);
    watch.clear();
    let seasons: Vec<FarmSeason> = found.into_iter().flatten().collect();
    let full = args.year.is_some();
    let common = farm::remarks(&job);
    if out.json {
        let mut remarks = common;
        job.bins.iter().for_each(|bin| remarks.extend(bin.remarks.clone()));
        let results = seasons.iter().flat_map(|s| &s.bins).filter_map(|bin| bin.result.as_ref());
        results.for_each(|result| remarks.extend(result.remarks.clone()));
        out.json(&Document::new("farm/1", FarmJson::of(&job, &seasons, full, args.hourly), &remarks))?;
    } else {
        let text = match (full, seasons.first()) {
            (true, Some(season)) => one_year(&job, season, out),
            _ => all_years(&job, &seasons, out),
        };
        let mut notes = notes(&job, &common, out);
        match (full, seasons.first()) {
            (true, Some(season)) => job.bins.iter().zip(&season.bins).for_each(|(bin, of)| {
                let of_season = of.result.as_ref().map(|r| site::notes(&r.remarks, out)).unwrap_or_default();
                for line in format!("{}{of_season}", site::notes(&bin.remarks, out)).lines() {
                    notes.push_str(&line.replacen("note:", &format!("bin {}:", bin.name), 1));
                    notes.push('\n');
                }
            }),
            _ => notes.push_str("note: `farm --year` shows the loads of a year, with what is to be said of each bin\n"),
        }
        out.text(&format!("{text}\n{notes}{}\n{}\n", site::MACHINES, site::ENTRY))?;
    }
    if seasons.len() < asked.len() {
        say(&format!("cut short: {} of {} years done", seasons.len(), asked.len()));
        return Ok(Ending::Interrupted);
    }
    let share = seasons.iter().filter(|season| season.good()).count() as f64 / seasons.len().max(1) as f64;
    let wanted = if full { 1.0 } else { job.chance };
    Ok(if share >= wanted { Ending::Done } else { Ending::GoalMissed })
}

fn no_year(job: &Job, asked: Option<i32>) -> Diagnostic {
    let known: Vec<String> = job.farm.years.iter().map(|(year, _)| year.to_string()).collect();
    let why = |year: i32| job.farm.left_out.iter().find(|(y, _)| *y == year).map(|(_, why)| format!(": {why}"));
    let found = match asked {
        Some(year) => format!("no season of the farm in {year}{}", why(year).unwrap_or_default()),
        None => "no year in which all bins have their weather".to_string(),
    };
    Diagnostic::error("no-such-year", found, Place::file("--year")).help(match known.as_slice() {
        [] => "the weather record has no complete season".to_string(),
        [first, .., last] => format!("there are {} years from {first} to {last}", known.len()),
        [only] => format!("there is {only}"),
    })
}

/// An amount of grain: bushels where readers of US units have them, else a mass.
fn grain(job: &Job, kg: f64, out: &Out) -> String {
    match bushel(job).filter(|_| out.units == UnitSystem::Us) {
        Some(mass) => format!("{:.0}", kg / mass),
        None => out.number(kg, Kind::Mass),
    }
}

fn grain_unit(job: &Job, out: &Out) -> &'static str {
    if bushel(job).is_some() && out.units == UnitSystem::Us { "bu" } else { out.unit(Kind::Mass) }
}

fn one_year(job: &Job, season: &FarmSeason, out: &Out) -> String {
    let offset = job.place.utc_offset;
    let unit = grain_unit(job, out);
    let amount = |kg: f64| format!("{} {unit}", grain(job, kg, out));
    let mut table = Table::facts();
    let word = if season.good() { "all stored and sound" } else { "not all well" };
    table.row([format!("farm, {}", season.year), word.to_string()]);
    table.row(["harvest".to_string(), amount(season.harvest_wet)]);
    for (bin, of) in job.bins.iter().zip(&season.bins) {
        let got = if of.takes {
            format!("{}, filled to {:.0} %", amount(of.taken_wet), 100.0 * of.taken / of.room)
        } else {
            "its own lots".to_string()
        };
        table.row([format!("bin {}", bin.name), format!("{got}; {}", outcome_says(of))]);
    }
    if season.most_waiting > 0.0 || season.sold.1 > 0.0 {
        table.row(["waited in the field".to_string(), format!("at most {}", amount(season.most_waiting))]);
        table.row(["sold wet".to_string(), amount(season.sold.1)]);
    }
    service_rows(season, offset, out, &mut table);
    if let Some(tank) = &season.tank {
        tank_rows(tank, offset, out, &mut table);
    }
    cost_rows(season, &mut table);
    let mut head = vec![("day".to_string(), String::new())];
    for bin in &job.bins {
        head.push((bin.name.clone(), unit.to_string()));
        head.push(("life".to_string(), "%".to_string()));
    }
    head.extend([("waiting".to_string(), unit.to_string()), ("sold wet".to_string(), unit.to_string())]);
    let head: Vec<(&str, &str)> = head.iter().map(|(a, b)| (a.as_str(), b.as_str())).collect();
    let mut days = Table::measured(&head);
    for day in &season.days {
        let mut row = vec![clock::date(day.hour, offset)];
        for (taken, life) in day.taken.iter().zip(&day.life) {
            row.push(if *taken > 0.0 { grain(job, *taken, out) } else { "-".into() });
            row.push(life.map_or("-".into(), |life| format!("{:.0}", 100.0 * life)));
        }
        row.push(grain(job, day.waiting, out));
        row.push(grain(job, day.sold, out));
        days.row(row);
    }
    format!(
        "{}\nloads by day; life: used by the worst tenth of each bin when the day's loads came, strict reading\n\n{}",
        table.render(),
        days.render()
    )
}

fn service_rows(season: &FarmSeason, offset: i32, out: &Out, table: &mut Table) {
    let service = &season.service;
    let amps = service.peak_current.map_or(String::new(), |a| format!(", {}", out.show(a, Kind::Current)));
    table.row([
        "highest power together".to_string(),
        format!(
            "{}{amps} on {}; each bin on its own: {} in sum",
            out.show(service.peak, Kind::ElectricPower),
            clock::date(service.peak_at, offset),
            out.show(service.apart, Kind::ElectricPower)
        ),
    ]);
    if let Some(rated) = service.service {
        let says = match service.hours_over {
            0 => "never passed".to_string(),
            hours => format!("would be passed in {hours} h: its main trips"),
        };
        let other = match service.other > 0.0 {
            true => format!(" (other load of {} counted)", out.show(service.other, Kind::ElectricPower)),
            false => String::new(),
        };
        table.row(["service".to_string(), format!("{}, {says}{other}", out.show(rated, Kind::Current))]);
    }
}

fn tank_rows(tank: &advice::farm::TankYear, offset: i32, out: &Out, table: &mut Table) {
    let liquid = |v: f64| out.show(v, Kind::LiquidVolume);
    table.row([
        "tank".to_string(),
        format!(
            "{} burnt; lowest {:.0} % full; {} days below the {:.0} % at which it is refilled",
            liquid(tank.burnt),
            100.0 * tank.lowest,
            tank.days_below,
            100.0 * tank.reserve
        ),
    ]);
    if tank.hours_empty > 0 {
        let says =
            format!("{} h in which it could not carry another hour of full fire: burners stood", tank.hours_empty);
        table.row(["".to_string(), says]);
    }
    for delivery in &tank.deliveries {
        let says = format!(
            "{} on {}, ordered {}",
            liquid(delivery.volume),
            clock::date(delivery.came, offset),
            clock::date(delivery.ordered, offset)
        );
        table.row(["delivery".to_string(), says]);
    }
}

fn cost_rows(season: &FarmSeason, table: &mut Table) {
    let Some(cost) = &season.cost else { return };
    let money = |v: Option<f64>| v.map_or("not priced".to_string(), |v| format!("{v:.0}"));
    table.row([
        format!("costs, {}", cost.currency),
        format!(
            "{:.0}: electricity {:.0}, demand {:.0} (on meters of their own {:.0}), fuel {}, sold wet {}",
            cost.total(),
            cost.electricity,
            cost.demand,
            cost.demand_apart,
            money(cost.fuel),
            money(cost.sold_wet)
        ),
    ]);
}

fn all_years(job: &Job, seasons: &[FarmSeason], out: &Out) -> String {
    let unit = grain_unit(job, out);
    let good = seasons.iter().filter(|season| season.good()).count();
    let mut table = Table::measured(&[
        ("year", ""),
        ("bins well", ""),
        ("failed", ""),
        ("most waiting", unit),
        ("sold wet", unit),
        ("peak", out.unit(Kind::ElectricPower)),
        ("", "A"),
        ("over service", "h"),
        ("gas", out.unit(Kind::LiquidVolume)),
        ("deliveries", ""),
        ("low", "days"),
        ("cost", job.prices.as_ref().map_or("", |p| p.currency.as_str())),
    ]);
    for season in seasons {
        let (well, failed) = season.counts();
        let tank = season.tank.as_ref();
        let of_tank = |say: &dyn Fn(&advice::farm::TankYear) -> String| tank.map_or("-".to_string(), say);
        table.row([
            season.year.to_string(),
            well.to_string(),
            failed.to_string(),
            grain(job, season.most_waiting, out),
            grain(job, season.sold.1, out),
            out.number(season.service.peak, Kind::ElectricPower),
            season.service.peak_current.map_or("-".into(), |a| format!("{a:.0}")),
            season.service.hours_over.to_string(),
            of_tank(&|t| out.number(t.burnt, Kind::LiquidVolume)),
            of_tank(&|t| t.deliveries.len().to_string()),
            of_tank(&|t| t.days_below.to_string()),
            season.cost.as_ref().map_or("-".into(), |c| format!("{:.0}", c.total())),
        ]);
    }
    let harvest = seasons.first().map_or(0.0, |season| season.harvest_wet);
    format!(
        "farm {}: harvest of {} {unit}; in {good} of {} years all is stored and sound\n\n{}\nlow: days with the tank below the \
         share at which it is refilled\n",
        job.name,
        grain(job, harvest, out),
        seasons.len(),
        table.render()
    )
}

/// The notes, and the years left out.
fn notes(job: &Job, remarks: &Remarks, out: &Out) -> String {
    let left = job.farm.left_out.iter().map(|(year, why)| format!("note: {year} is left out: {why}\n"));
    format!("{}{}", left.collect::<String>(), site::notes(remarks, out))
}

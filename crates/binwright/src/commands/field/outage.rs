//! `outage SITE --at TIME`: hours left without air.

use crate::{
    args::OutageArgs,
    commands::site,
    exit::{Ending, Failure, say},
    output::Out,
    table::Table,
};
use advice::outage::{Outage, Supply, of_bins};
use contract::{
    Document,
    field::{BinOutageJson, OutageJson},
};
use job::{BinJob, Job, clock};
use notice::{Diagnostic, Kind, Place, Remarks};
use physics::grain::wet_basis;

/// Said wherever power is out.
const POWER: &str = "caution: a generator needs a transfer switch put in by a licensed electrician: power fed back into a dead line \
                     kills; when power returns fans and augers may start by themselves";

/// Said where some of several fans may run alone.
const COVER: &str = "Half of the fans: cover the opening of each idle fan, else the air of the running one flows back through it and \
                     turns its wheel; lock out its power before.";

/// Looks at a stop.
pub fn run(args: &OutageArgs, out: &mut Out) -> Result<Ending, Failure> {
    let job = site::open(&args.site)?;
    let bins = site::bins(&job, args.bin.as_deref())?;
    let at = instant(&args.at, "--at", &job)?;
    let stretch = match &args.until {
        None => None,
        Some(text) => {
            let hours = instant(text, "--until", &job)? - at;
            let most = advice::outage::HORIZON as i64;
            if !(1..=most).contains(&hours) {
                let found = format!("air back {hours} hours after the stop");
                return Err(Diagnostic::error("out-of-bounds", found, Place::file("--until"))
                    .allowed(format!("must be 1 to {most} hours"))
                    .into());
            }
            Some(hours as usize)
        }
    };
    let (found, left_out) = of_bins(&bins, at, stretch, job.place.utc_offset);
    if found.is_empty() {
        return Err(Diagnostic::error("no-grain-then", left_out.join("; "), Place::file("--at"))
            .help("name an hour between first load and hold_until in a year of the weather record")
            .into());
    }
    if out.json {
        let bins = found.iter().map(|(bin, o)| BinOutageJson::of(bin, job.place.utc_offset, o)).collect();
        out.json(&Document::new("outage/1", OutageJson { bins, left_out }, &Remarks::default()))?;
    } else {
        left_out.iter().for_each(|line| say(line));
        let mut text: String = found.iter().map(|(bin, o)| format!("{}\n", view(&job, bin, o, out))).collect();
        if found.len() > 1 {
            let order: Vec<&str> = found.iter().map(|(bin, _)| bin.name.as_str()).collect();
            text.push_str(&format!("Save first: {}.\n", order.join(", then ")));
        }
        text.push_str(&format!("{POWER}\n{}\n{}\n", site::MACHINES, site::ENTRY));
        out.text(&text)?;
    }
    Ok(Ending::Done)
}

fn view(job: &Job, bin: &BinJob, o: &Outage, out: &Out) -> String {
    let mut table = Table::numbers(&[
        "air after the stop",
        "to self-heating",
        "to the life limit",
        "life used",
        "moisture",
        "warmest",
    ]);
    let hours = |h: Option<f64>, looked: usize| h.map_or(format!("> {looked} h"), |h| format!("{h:.0} h"));
    for c in &o.courses {
        table.row([
            match c.supply {
                Supply::None => "none",
                Supply::HalfOfFans => "half of the fans, the idle ones covered, no burner",
                Supply::HalfOfTime => "all fans half of the time (6 h on, 6 h off), no burner",
                Supply::All => "as planned",
            }
            .to_string(),
            match (c.supply, o.heats) {
                (Supply::None, true) => hours(c.heating, c.looked),
                (Supply::None, false) => "not judged".into(),
                _ => "-".into(),
            },
            hours(c.spent, c.looked),
            format!("{:.1} %", 100.0 * c.life_after),
            out.show(wet_basis(c.moisture_after), Kind::MoistureWetBasis),
            out.show(c.warmest_after, Kind::Temperature),
        ]);
    }
    let cost = cost(o, out).unwrap_or_default();
    let cost = match o.course(Supply::HalfOfFans) {
        Some(_) => format!("{cost}{COVER}\n"),
        None => cost,
    };
    format!(
        "bin {} at {}: {} of dry matter at {}, warmest layer {}; life used, moisture and warmest layer {} hours later\n\n{}\n\
         {cost}Storage life by the strict reading, of the layer furthest gone; {:.0} % are allowed. Self-heating: some layer 10 °F \
         warmer by its own heat than the same grain without it; sun and convection left out. In the weather of {}.\n",
        bin.name,
        clock::instant(o.at, job.place.utc_offset),
        out.show(o.dry_matter, Kind::Mass),
        out.show(wet_basis(o.moisture), Kind::MoistureWetBasis),
        out.show(o.warmest, Kind::Temperature),
        o.stretch,
        table.render(),
        100.0 * o.allowed,
        o.year
    )
}

/// What the stop itself does to the layer that decides; where that is no loss, that it is the weather's luck.
fn cost(o: &Outage, out: &Out) -> Option<String> {
    let (without, with) = (o.course(Supply::None)?, o.course(Supply::All)?);
    let percent = |share: f64| 100.0 * share;
    let layer = |share: f64| format!("the layer with {:.0} % of the grain below it", percent(share));
    if o.spared().is_none() {
        return Some(format!(
            "Without air these {} hours cost {:.1} % of the storage life more than with it ({}).\n",
            o.stretch,
            percent(o.cost()?),
            layer(without.deciding)
        ));
    }
    let same = (without.deciding - with.deciding).abs() < 0.05;
    let under = if same { "the same layer".to_string() } else { layer(with.deciding) };
    Some(format!(
        "These {} hours without air were no loss to the layer that decides: {} used {:.1} % without air, {under} {:.1} % with it, at \
         {} outdoors on the mean. The air would have carried warmth into it, from below or from outdoors. That is luck of the weather of {}, which nobody knows beforehand: it is no reason to leave the air \
         off, and the hours to self-heating and to the life limit run all the same.\n",
        o.stretch,
        layer(without.deciding),
        percent(without.life_after),
        percent(with.life_after),
        out.show(o.outdoor, Kind::Temperature),
        o.year
    ))
}

/// An hour in standard time of the place.
fn instant(text: &str, option: &str, job: &Job) -> Result<i64, Failure> {
    Ok(clock::standard_hour(text, job.place.utc_offset).map_err(|error| error.at(Place::file(option)))?)
}

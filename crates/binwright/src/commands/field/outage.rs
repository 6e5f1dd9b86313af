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
                Supply::HalfOfFans => "half of the fans, no burner",
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
    let cost = o.cost().map_or(String::new(), |cost| match 100.0 * cost {
        // Air that warms the grain uses more life than none.
        c if c < 0.05 => {
            format!("These {} hours without air cost no storage life beyond what they use with it.\n", o.stretch)
        }
        c => format!("Without air these {} hours cost {c:.1} % of the storage life more than with it.\n", o.stretch),
    });
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

/// An hour in standard time of the place.
fn instant(text: &str, option: &str, job: &Job) -> Result<i64, Failure> {
    Ok(clock::standard_hour(text, job.place.utc_offset).map_err(|error| error.at(Place::file(option)))?)
}

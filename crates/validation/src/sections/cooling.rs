//! Cooling fronts: rules of hours against the airflow.

use crate::page::{Against, Section, Verdict, not_run, row};
use crate::run::{self, Bed};
use crate::table::{self, wet};
use season::column::ColumnProfile;

/// What is swept: °C of the grain, of the air, humidity of the air in percent. The first is the one a rule is judged at.
const STATES: [(f64, f64, f64); 3] = [(21.1, 4.4, 70.0), (26.7, 10.0, 60.0), (10.0, -1.1, 80.0)];

/// Hours until the outlet grain has made nine tenths of its fall, and points of moisture lost and kelvins fallen then.
fn front(crop: &'static str, moisture: f64, airflow: f64, state: (f64, f64, f64)) -> Result<(f64, f64, f64), String> {
    let last = (40.0 / airflow).round();
    let (grain, air, humidity) = state;
    let depth = 18.0 * 0.3048;
    let bed = Bed {
        crop,
        more: String::new(),
        depth,
        airflow,
        moisture,
        grain,
        air,
        humidity,
        last,
        every: last / 160.0,
        step: last / 640.0 * 3600.0,
    };
    let run = run::case(&bed.text())?;
    let outlet = |p: &ColumnProfile| p.at.last().map_or(f64::NAN, |at| at.temperature);
    let least = run.profiles.iter().map(outlet).fold(f64::INFINITY, f64::min);
    let limit = grain - 0.9 * (grain - least);
    let long = || "not within the hours of the run".to_string();
    let hours = run::crossing(&run.profiles, (0.0, grain), outlet, limit).ok_or_else(long)?;
    let then = run.profiles.iter().find(|p| p.hour >= hours).ok_or_else(long)?;
    Ok((hours, moisture - wet(then.mean_moisture), grain - outlet(then)))
}

/// The section.
pub fn section() -> Section {
    let rows = table::read(include_str!("../../data/trials.csv"));
    let mut section = Section::new(
        "Cooling fronts",
        Against::Published,
        "Rules give hours for a front to pass the bin: 15 over the airflow in cfm/bu. They name no moisture and no temperatures; ours \
         are dry grain (corn 15 %, wheat 13 %, sunflower 10 %) 18 ft deep, cooled from 70 °F by air of 40 °F and 70 %, until the outlet has made \
         nine tenths of its fall. In brackets the sweep over three points more moisture and over 80 °F to 50 °F at 60 % and 50 °F to 30 °F at 80 %. \
         Judged at ±20 % with the first.",
    );
    for (id, crop, moisture, airflow, published) in [
        ("COOL-1", "wheat-hard", 13.0, 0.2, 75.0),
        ("COOL-1", "corn", 15.0, 0.2, 75.0),
        ("COOL-1", "soybean", 12.0, 0.2, 75.0),
        ("COOL-2", "corn", 15.0, 1.0, 15.0),
        ("COOL-3", "wheat-hard", 13.0, 0.0746, 175.0),
        ("COOL-4", "wheat-hard", 13.0, 0.149, 87.5),
        ("COOL-5", "corn", 15.0, 0.1, 150.0),
        ("COOL-6", "sunflower-oil", 10.0, 0.2, 37.5),
        ("COOL-7", "sunflower-confection", 10.0, 0.2, 35.0),
        ("COOL-8", "corn", 15.0, 0.2, 72.0),
    ] {
        let says = table::find(&rows, "case", id).map_or(String::new(), |r| r.text("time").to_string());
        let what = format!("{id}: {crop}, {airflow} cfm/bu");
        let hours = match front(crop, moisture, airflow, STATES[0]) {
            Ok((hours, ..)) => hours,
            Err(why) => {
                section.rows.push(not_run(what, says, why));
                continue;
            }
        };
        let mut sweep = vec![hours];
        sweep.extend(STATES[1..].iter().filter_map(|s| Some(front(crop, moisture, airflow, *s).ok()?.0)));
        sweep.extend(STATES.iter().filter_map(|s| Some(front(crop, moisture + 3.0, airflow, *s).ok()?.0)));
        let (low, high) =
            (sweep.iter().copied().fold(f64::INFINITY, f64::min), sweep.iter().copied().fold(0.0, f64::max));
        let line = row(what, says, format!("{hours:.0} h ({low:.0} to {high:.0})"));
        let verdict = Verdict::of(hours / published - 1.0, 0.2);
        let line = line.off(format!("{:+.0} % of {published} h", 100.0 * (hours / published - 1.0))).is(verdict);
        section.rows.push(line.because(match (verdict, id) {
            (Verdict::Agrees, "COOL-3" | "COOL-4" | "COOL-5") => "a range is printed: its middle is taken",
            (Verdict::Differs, "COOL-3" | "COOL-4") => {
                "middle of the printed range taken; wheat of 13 % gives this air hardly any water, so heat alone drives the front: by the \
                 reference's own balance 23 to 25 h over the airflow, against 10 to 16 with evaporation"
            }
            (Verdict::Differs, "COOL-1") => {
                "wheat of 13 % gives this air hardly any water, so heat alone drives the front: by the reference's own balance 23 to 25 h \
                 over the airflow, against 10 to 16 with evaporation"
            }
            (Verdict::Differs, _) => "in fast air the kernels lag, and nine tenths of the fall takes longer than the middle of the front",
            _ => "",
        }));
    }
    if let Ok((_, points, kelvins)) = front("corn", 15.0, 0.2, STATES[0]) {
        let per = points / (kelvins * 1.8) * 10.0;
        let all: Vec<f64> = STATES
            .iter()
            .flat_map(|s| {
                [front("corn", 15.0, 0.2, *s), front("wheat-hard", 13.0, 0.2, *s), front("corn", 18.0, 0.2, *s)]
            })
            .flatten()
            .map(|(_, p, k)| p / (k * 1.8) * 10.0)
            .collect();
        let (low, high) = (all.iter().copied().fold(f64::INFINITY, f64::min), all.iter().copied().fold(0.0, f64::max));
        let line = row(
            "COOL-MC: moisture lost for each 10 °F of cooling",
            "about 1/4 point",
            format!("{per:.2} ({low:.2} to {high:.2}) points"),
        );
        let line = line.off(format!("{:+.0} %", 100.0 * (per / 0.25 - 1.0)));
        section.rows.push(
            line.is(Verdict::of(per / 0.25 - 1.0, 0.2))
                .because("corn 15 %, 70 to 40 °F; the share grows with temperature and moisture"),
        );
        let line = row(
            "COOL-SK: cooling for one point, farm runs",
            "about 15 °C",
            format!("{:.0} to {:.0} °C", 10.0 / 1.8 / high, 10.0 / 1.8 / low),
        );
        section.rows.push(
            line.is(Verdict::Band).because("airflow, moisture, temperatures are not given; corn and wheat as above"),
        );
    }
    section.rows.push(front_ratio());
    if let Ok((hours, ..)) = front("corn", 15.0, 0.05, STATES[0]) {
        let line = row("CO-1: hours to bring a bulk to ambient, 0.05 cfm/bu", "300 h", format!("{hours:.0} h"));
        section.rows.push(
            line.off(format!("{:+.0} %", 100.0 * (hours / 300.0 - 1.0)))
                .is(Verdict::of(hours / 300.0 - 1.0, 0.2))
                .because("corn 15 % as above"),
        );
    }
    section.sources(table::kinds(rows.iter().filter(|r| r.text("case").starts_with("COOL")), "source"));
    section
}

/// Speed of a cooling front over that of a drying front at equal airflow.
fn front_ratio() -> crate::page::Row {
    let drying = |moisture: f64, air: f64, humidity: f64| {
        let depth = 18.0 * 0.3048;
        let (last, every) = (600.0, 300.0);
        let bed = Bed {
            crop: "corn",
            more: String::new(),
            depth,
            airflow: 1.0,
            moisture,
            grain: air,
            air,
            humidity,
            last,
            every,
            step: 1800.0,
        };
        let run = run::case(&bed.text()).ok()?;
        let [a, b] = run.profiles.as_slice() else { return None };
        Some((b.front_depth? - a.front_depth?) / 300.0)
    };
    let cooling = |moisture: f64| front("corn", moisture, 1.0, STATES[0]).ok().map(|(hours, ..)| 18.0 * 0.3048 / hours);
    let ratios: Vec<f64> = [(20.0, 10.6, 50.0), (18.0, 10.6, 60.0), (22.0, 15.0, 50.0)]
        .into_iter()
        .filter_map(|(m, t, h)| Some(cooling(m)? / drying(m, t, h)?))
        .collect();
    let (low, high) =
        (ratios.iter().copied().fold(f64::INFINITY, f64::min), ratios.iter().copied().fold(0.0, f64::max));
    let line = row(
        "CO-2: speed of a cooling front over that of a drying front",
        "about 50 times",
        format!("{low:.0} to {high:.0} times"),
    );
    line.is(Verdict::Band)
        .because("no state is given; wet corn of 18 to 22 %, fronts at 1 cfm/bu, drying air 51 to 59 °F of 50 to 60 %")
}

//! Studies over seasons: rules run as beds under their mean air, and our own autumns beside them.

use crate::page::{Against, Row as Line, Section, Verdict, not_run, row};
use crate::run::{Bed, Days, band, warmed};
use crate::table;
use ensemble::{Batch, Engine, Priority, Silent};
use numerics::quantile::quantile;
use season::{Record, SeasonResult};
use std::sync::Arc;

/// Corn under outdoor air that its fan warms by 3 °F.
fn in_bin(airflow: f64, moisture: f64, fahrenheit: f64, humidity: f64) -> Bed {
    Bed::usual("corn", airflow, moisture, fahrenheit + 3.0, warmed(fahrenheit, humidity, 3.0), 250.0)
}

/// Rules of mean temperature.
fn by_temperature(lines: &mut Vec<Line>) {
    for (id, fahrenheit, says) in
        [("ND-T50", 50.0, "30 to 40 d"), ("ND-T40", 40.0, "50 to 60 d"), ("ND-T30", 30.0, "at least 70 d")]
    {
        let all: Vec<Days> = [60.0, 65.0, 70.0, 75.0].map(|h| in_bin(1.0, 20.0, fahrenheit, h).days(15.5)).into();
        let line =
            row(format!("{id}: corn 20 %, 1 cfm/bu, mean air {fahrenheit} °F"), says, format!("{} d", band(&all, 1.0)));
        lines.push(line.is(Verdict::Band).because(
            "humidity and final moisture not given: outdoor air of 60 to 75 %, warmed 3 °F by the fan, to 15.5 %",
        ));
    }
    let days = |f: f64| in_bin(1.0, 20.0, f, 65.0).days(15.5).number();
    let ratio = days(40.0) / days(50.0);
    let line = row("ND-T40 over ND-T50", "about 1.6 times", format!("{ratio:.2} times"));
    lines.push(
        line.off(format!("{:+.0} %, allowed 20 %", 100.0 * (ratio / 1.6 - 1.0)))
            .is(Verdict::of(ratio / 1.6 - 1.0, 0.2))
            .because("both at outdoor air of 65 %"),
    );
    let a = in_bin(0.75, 20.0, 50.0, 65.0).days(15.5).number() / days(50.0);
    let line = row("ND-T50: 0.75 against 1 cfm/bu", "53 d against 40 d, 1.33 times", format!("{a:.2} times"));
    lines.push(
        line.off(format!("{:+.0} %, allowed 20 %", 100.0 * (a / 1.33 - 1.0))).is(Verdict::of(a / 1.33 - 1.0, 0.2)),
    );
    let nd: Vec<Days> =
        [(35.0, 75.0), (40.0, 70.0), (45.0, 65.0)].map(|(t, h)| in_bin(1.25, 21.0, t, h).days(16.0)).into();
    let line = row(
        "ND07-A: corn 21 to 16 %, mid October to early December, 1.25 cfm/bu",
        "about 50 d",
        format!("{} d", band(&nd, 1.0)),
    );
    lines.push(line.is(Verdict::Band).because(
        "normal climate of North Dakota not given: outdoor air 35 °F 75 % to 45 °F 65 %, warmed 3 °F by the fan",
    ));
    let nd: Vec<Days> = [(44.0, 55.0), (47.0, 50.0), (50.0, 50.0)]
        .map(|(t, h)| Bed::usual("corn", 1.25, 21.0, t, h, 200.0).days(13.5))
        .into();
    let line =
        row("ND07-B: the same warmed by 3 to 5 °F, to about 13.5 %", "about 39 d", format!("{} d", band(&nd, 1.0)));
    lines.push(line.is(Verdict::Band).because("climate not given: plenum air 44 °F 55 % to 50 °F 50 %"));
}

/// Corn of a moisture in one bin through the bundled autumns.
fn autumns(moisture: f64, fans: usize, carry_over: &str, hold_until: &str) -> Result<Vec<SeasonResult>, String> {
    let fan = "\"demo-centrifugal-10hp\"";
    let text = format!(
        "binwright = 1\nname = \"validation\"\n[place]\nelevation = \"213 m\"\nutc_offset = \"-06:00\"\nweather = \"champaign\"\n[goal]\n\
         mean_moisture = \"15.5 %\"\nwettest_excess = \"1.5 %\"\nby = \"12-15\"\nchance = \"90 %\"\ncarry_over = \"{carry_over}\"\n\
         hold_until = \"{hold_until}\"\n[bins.a]\ndiameter = \"36 ft\"\neave = \"24 ft\"\nfloor = \"full\"\nuniform = true\n[[bins.a.lots]]\ncrop = \"corn\"\n\
         quantity = \"13000 bu\"\nmoisture = \"{moisture} %\"\nfrom = \"10-10\"\ndays = 4\n[bins.a.outfit]\nfans = [{}]\narrangement = \"parallel\"\n\
         control = {{ kind = \"continuous\" }}\n",
        vec![fan; fans].join(", ")
    );
    let job = job::open(&text, "site", &job::BuiltIn::new())
        .map_err(|d| d.0.iter().map(|d| d.render().replace('\n', " ")).collect::<Vec<_>>().join("; "))?;
    let bin = job.bin(None).ok_or("no bin")?;
    let cases = bin.years.iter().map(|(_, case)| case.clone()).collect();
    let batch = Batch { cases, record: Record::Summary, priority: Priority::Ordinary, observer: Arc::new(Silent) };
    Ok(Engine::on_all_processors().run(batch).results.into_iter().flatten().collect())
}

fn spread(values: &[f64], places: usize) -> String {
    let at = |share| quantile(values, share).unwrap_or(f64::NAN);
    format!("median {:.places$} ({:.places$} to {:.places$})", at(0.5), at(0.1), at(0.9))
}

/// Our own runs beside rules from other places.
fn own(lines: &mut Vec<Line>) {
    let one = match autumns(20.0, 1, "cool-and-hold-then-spring", "06-01") {
        Ok(results) if !results.is_empty() => results,
        Ok(_) => return lines.push(not_run("MN-1, OB82", "", "no year of the bundled weather is complete")),
        Err(why) => return lines.push(not_run("MN-1, OB82", "", why)),
    };
    // A bushel in the lot is a legal one by weight, wet as filled.
    let energy: Vec<f64> = one.iter().map(|r| r.fan_energy / 3.6e6 / 13_000.0).collect();
    let line = row(
        "MN-1, MN-NA: electricity of natural-air corn, Minnesota",
        "about 1 kWh/bu, several weeks",
        format!("{} kWh/bu", spread(&energy, 2)),
    );
    lines.push(line.is(Verdict::Band).because(
        "own run in another climate: the autumns of Champaign, Illinois, 1995 to 2022, 36 ft bin, 13,000 bu at 20 %, one invented 10 hp fan (0.77 hp per \
         1000 bu), winter hold and spring included; median and middle 80 %",
    ));
    let specific: Vec<f64> = one.iter().map(|r| r.fan_energy / 1e6 / r.water_removed).collect();
    let line = row(
        "OB82: energy of low-temperature drying, Ontario 1978 and 1979",
        "3.9 to 4.1 MJ per kg of water",
        format!("{} MJ/kg", spread(&specific, 1)),
    );
    lines.push(
        line.is(Verdict::Band).because("airflow, moistures and weather not given; the same own run, without any heat"),
    );
    let life = |moisture: f64| -> Option<f64> {
        let results = autumns(moisture, 2, "never", "12-31").ok()?;
        let used: Vec<f64> = results.iter().filter_map(|r| r.life_published).collect();
        quantile(&used, 0.5)
    };
    if let (Some(a), Some(b), Some(c)) = (life(20.0), life(22.0), life(24.0)) {
        let found = format!("median life used {a:.2}, {b:.2}, {c:.2} at 20, 22, 24 %: ×{:.1}, ×{:.1}", b / a, c / b);
        let line = row(
            "TH72: deterioration doubles for each 2 points more initial moisture (simulation, 20 to 25 %)",
            "×2",
            found,
        );
        lines.push(line.is(Verdict::Band).because(
            "airflow and place not given; own run as above with two fans, dried on without a pause, to the end of December; published reading, worst tenth",
        ));
    }
}

/// The section.
pub fn section() -> Section {
    let rows = table::read(include_str!("../../data/season-studies.csv"));
    let mut section = Section::new(
        "Seasons and rules of regions",
        Against::Published,
        "Rules that name a mean temperature are run as beds under that mean, with what they leave out swept. Rules of energy and of \
         deterioration stand beside our own autumns, which are another climate: shown, never judged.",
    );
    by_temperature(&mut section.rows);
    own(&mut section.rows);
    let prairie = "needs hourly weather of the Prairies, which is not built in";
    for (id, why) in [
        ("WC-1", prairie),
        ("WC-2", prairie),
        ("AR-1", "stands as AR-22 among the trials"),
        ("AR-2", "a classification of airflows: nothing to compute"),
        ("UK-1", "a limit of use: nothing to compute"),
        ("UK-2", "a stirred or still bed under humidity-controlled heat; air and stirring not given"),
        ("DK-1", "an airflow: nothing to compute"),
        ("IN-30", "the table's numbers are not visible"),
        ("SW-1", "needs hourly summers of the southern plains, which are not built in"),
        ("EN-1", "high-temperature dryers are not modelled"),
        ("EN-4", "high-temperature dryers are not modelled"),
    ] {
        if let Some(r) = table::find(&rows, "id", id) {
            let says = format!("{}: {} {}", r.text("metric"), r.text("value"), r.text("unit"));
            section.rows.push(not_run(format!("{id}: {}, {}", r.text("crop"), r.text("place")), says.trim(), why));
        }
    }
    section.sources(table::kinds(&rows, "source"));
    section
}

//! Bins without air: the annual wave of a still cylinder, a cold core in June, the headspace.

use crate::page::{Against, Section, Verdict, not_run, row};
use crate::table::{self, Row};
use bed::{Edge, RingGrid, Surroundings};
use physics::sun;
use season::surroundings::{self, Rise};
use std::f64::consts::PI;

const DAY: f64 = 86_400.0;
/// Days of a year.
const YEAR: f64 = 365.25;
/// Steps of six hours to a year.
const STEPS: usize = 1461;
/// Heat capacity where only the diffusivity matters, J/(m³ K).
const RHO_C: f64 = 1.5e6;
/// A film that keeps a face at the temperature beyond it, W/(m² K).
const NO_FILM: f64 = 1e9;
/// Rings on which the table is met, and the shares of the floor of a leveled and cored bin.
const FINE: usize = 64;
const SHARES: [f64; 3] = [0.2, 0.4, 0.4];

/// The table: closed forms, so apart from the trials.
pub fn wave() -> Section {
    let rows = table::read(include_str!("../../data/bed-facts.csv"));
    let mut section = Section::new(
        "Bins without air: the annual wave",
        Against::Computed,
        format!(
            "An endless cylinder whose wall follows a sine of the year: Bessel solution beside our rings ({FINE} of equal width, steps \
             of six hours). Allowed as the table says: 0.003 of the wall's amplitude, 1 day. The rings of seasons are fewer (about 25, \
             wider in the middle); what they give is shown too, and holds the wave, amplitude and lag together, to 0.003 of the \
             wall's (tested)."
        ),
    );
    for case in ["W1", "W2", "W3", "W4", "W5", "W6"] {
        let of =
            |record: &'static str| rows.iter().filter(move |r| r.text("case") == case && r.text("record") == record);
        let Some((diameter, diffusivity)) = of("input").next().and_then(|r| pair(r.text("value"))) else { continue };
        let fine = annual(RingGrid::even(diameter / 2.0, FINE, 1), 1, diffusivity);
        let ours = annual(RingGrid::new(diameter / 2.0, &SHARES, 1), SHARES.len(), diffusivity);
        for (k, place) in ["centre", "half radius", "volume mean"].into_iter().enumerate() {
            let value = |r: &&Row| r.text("depth_m") == place;
            let read = |r: &Row| (r.text("value").parse::<f64>().ok(), r.text("tolerance").parse::<f64>().ok());
            let mut both = of("result").filter(value).map(read);
            let (Some((Some(amplitude), Some(apart))), Some((Some(lag), Some(days)))) = (both.next(), both.next())
            else {
                continue;
            };
            let late = |found: f64| (found - lag + YEAR / 2.0).rem_euclid(YEAR) - YEAR / 2.0;
            let off = (fine[k].0 - amplitude, late(fine[k].1));
            let verdict = match (Verdict::of(off.0, apart), Verdict::of(off.1, days)) {
                (Verdict::Agrees, Verdict::Agrees) => Verdict::Agrees,
                _ => Verdict::Differs,
            };
            let line = row(
                format!("{case}: {diameter} m, {:.1}e-7 m²/s, {place}", diffusivity * 1e7),
                format!("{amplitude:.4}, {lag:.1} d"),
                format!("{:.4}, {:.1} d", fine[k].0, lag + off.1),
            );
            section.rows.push(
                line.off(format!("{:+.4}, {:+.1} d (allowed {apart}, {days} d)", off.0, off.1))
                    .is(verdict)
                    .because(format!("rings of seasons: {:.4}, {:+.1} d", ours[k].0, late(ours[k].1)))
                    .times(2),
            );
        }
    }
    section
}

/// The trials: inputs are missing from all, so bands.
pub fn trials() -> Section {
    let rows = table::read(include_str!("../../data/bed-facts.csv"));
    let mut section = Section::new(
        "Bins without air: trials",
        Against::Published,
        "Measurements in bins at rest. No source at hand gives weather and grain of its trial, so ours is a band over what they may \
         have been, or is not run. Natural convection and the moisture it carries are not modelled, the south side is not told from \
         the north.",
    );
    let says = |id: &str, record: &str| {
        rows.iter()
            .find(|r| r.text("case") == id && r.text("record") == record)
            .map_or(String::new(), |r| format!("{}: {} {}", r.text("quantity"), r.text("value"), r.text("unit")))
    };
    let (low, high) = ends(&cold_cores());
    section.rows.push(
        row("PAMI14: canola, 5.5 m, 6 m deep, cooled to −30 °C in winter", says("PAMI14", "result"), format!("{low:.0} to {high:.0} °C"))
            .is(Verdict::Band)
            .because(
                "open: date of cooling (31 January to 10 March), diffusivity (0.8 to 1.2e-7 m²/s), air (a sine of the year, mean 1 to \
                 4 °C, amplitude 16 to 19 K, recalled for the prairie, no source), sun (none, or 52° N with a daily swing of 12 K). \
                 Only the warm end of the band comes near the coldest core that was measured: winter cooling was hardly as even as \
                 the −30 °C that ours starts with, and convection is left out",
            ),
    );
    let (low, high) = ends(&headspaces());
    section.rows.push(
        row("JI09: headspace above 20 t of wheat, mean of 15 months", says("JI09", "result"), format!("{low:.1} to {high:.1} K"))
            .is(Verdict::Band)
            .because(
                "weather of the trial not given: ours is Champaign's (40° N, warmer), 15 months from July of each year 1996 to 2020, \
                 a silo of 3 m with 3.6 m of wheat; daily means, so no extreme of an hour. Venting and inner films are judgement: \
                 a closed headspace would be warmer",
            ),
    );
    for (id, what, why) in [
        (
            "AL90",
            "unaerated bin of rapeseed",
            "no temperature is visible; weather, wind and radiation of 41 months not given",
        ),
        (
            "NO19",
            "unaerated silo of barley",
            "inputs not visible: an error in percent of unknown temperatures compares with nothing",
        ),
    ] {
        let said = [says(id, "result"), says(id, "input")].into_iter().find(|s| !s.is_empty());
        section.rows.push(not_run(format!("{id}: {what}"), said.unwrap_or_default(), why));
    }
    section.sources(table::kinds(
        rows.iter().filter(|r| ["PAMI14", "JI09", "AL90", "NO19"].contains(&r.text("case"))),
        "source",
    ));
    section
}

fn ends(all: &[f64]) -> (f64, f64) {
    all.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), v| (low.min(*v), high.max(*v)))
}

fn pair(text: &str) -> Option<(f64, f64)> {
    let (a, b) = text.split_once(';')?;
    Some((a.trim().parse().ok()?, b.trim().parse().ok()?))
}

/// Amplitude (of the wall's) and lag (days) at centre, half radius and in the mean, in the last of 24 years.
fn annual(mut grid: RingGrid, columns: usize, diffusivity: f64) -> [(f64, f64); 3] {
    let radius = grid.radii(grid.rings() - 1).1;
    grid.lay(std::iter::once(1.0));
    (0..columns).for_each(|k| grid.put_heat(k, 0, RHO_C));
    let years = 24;
    let mut sums = [(0.0, 0.0); 3];
    for step in 1..=years * STEPS {
        let angle = 2.0 * PI * step as f64 / STEPS as f64;
        let wall = Edge { temperature: angle.sin(), conductance: NO_FILM };
        let around = Surroundings { wall, top: Edge::CLOSED, floor: Edge::CLOSED };
        grid.conduct(diffusivity * RHO_C, &around, YEAR * DAY / STEPS as f64);
        if step > (years - 1) * STEPS {
            let mean = grid.stored() / (RHO_C * PI * radius * radius);
            for (sum, t) in sums.iter_mut().zip([grid.temperature(0, 0), half_way(&grid), mean]) {
                sum.0 += t * angle.sin() * 2.0 / STEPS as f64;
                sum.1 += t * angle.cos() * 2.0 / STEPS as f64;
            }
        }
    }
    sums.map(|(sine, cosine)| (sine.hypot(cosine), ((-cosine).atan2(sine) / (2.0 * PI) * YEAR).rem_euclid(YEAR)))
}

/// Temperature at half the radius, linear between the middles of rings.
fn half_way(grid: &RingGrid) -> f64 {
    let half = 0.5 * grid.radii(grid.rings() - 1).1;
    let middle = |i: usize| 0.5 * (grid.radii(i).0 + grid.radii(i).1);
    let i = (1..grid.rings()).find(|&i| middle(i) >= half).unwrap_or(1);
    let share = (half - middle(i - 1)) / (middle(i) - middle(i - 1));
    (1.0 - share) * grid.temperature(0, i - 1) + share * grid.temperature(0, i)
}

/// A bin of even grain: layers of equal depth, one temperature.
fn even(diameter: f64, depth: f64, capacity: f64, temperature: f64) -> RingGrid {
    const LAYERS: usize = 20;
    let mut grid = RingGrid::new(diameter / 2.0, &[1.0], LAYERS);
    grid.lay((0..LAYERS).map(|_| depth / LAYERS as f64));
    for j in 0..LAYERS {
        grid.put_heat(0, j, capacity * depth / LAYERS as f64);
        (0..grid.rings()).for_each(|i| grid.put(j, i, temperature));
    }
    grid
}

/// A day of rest; returns the headspace less the air outside, K.
fn a_day(grid: &mut RingGrid, conductivity: f64, outside: f64, rise: &Rise) -> f64 {
    let headspace = surroundings::headspace(outside, rise, grid.surface().unwrap_or(outside));
    grid.conduct(conductivity, &surroundings::around(outside, rise, headspace), DAY);
    headspace - outside
}

/// Core of the canola bin on 6 June, °C, over all that is open.
fn cold_cores() -> Vec<f64> {
    const TO: i32 = 157;
    // Canola at 6.5 %: about 650 kg/m³ and 1.7 kJ/(kg K) (recalled; with the diffusivity given only the films feel it).
    let capacity = 650.0 * 1700.0;
    let mut all = Vec::new();
    for from in [31, 69] {
        for diffusivity in [0.8e-7, 1.2e-7] {
            for (mean, amplitude) in [(1.0, 19.0), (1.0, 16.0), (4.0, 19.0), (4.0, 16.0)] {
                for sunny in [false, true] {
                    let mut grid = even(5.5, 6.0, capacity, -30.0);
                    for day in from..TO {
                        let day = f64::from(day);
                        // Coldest in the middle of January.
                        let outside = mean - amplitude * (2.0 * PI * (day - 15.0) / YEAR).cos();
                        let rise =
                            if sunny { Rise::of(&sun::of_day(52.0, day, 12.0, sun::INLAND)) } else { Rise::default() };
                        a_day(&mut grid, diffusivity * capacity, outside, &rise);
                    }
                    all.push(grid.temperature(grid.layers() / 2, 0));
                }
            }
        }
    }
    all
}

/// Headspace less the air outside over 15 months from 1 July, K, for each year.
fn headspaces() -> Vec<f64> {
    let Some(series) = weather::bundled("champaign") else { return Vec::new() };
    let latitude = series.place.latitude.unwrap_or(40.0);
    let mut all = Vec::new();
    for year in 1996..=2020 {
        // Central standard time: days from midnight to midnight.
        let Some(start) = weather::calendar::hour(year, 7, 1, 6) else { continue };
        const DAYS: usize = 457;
        let Ok(window) = series.window(start, DAYS * 24) else { continue };
        let hours = window.hourly().temperature_c;
        let mut grid = even(3.0, 3.6, 780.0 * 1900.0, 20.0);
        let mut sum = 0.0;
        for (k, day) in hours.chunks_exact(24).enumerate() {
            let (low, high) = ends(day);
            let of_year = (181.0 + k as f64).rem_euclid(YEAR) + 1.0;
            let rise = Rise::of(&sun::of_day(latitude, of_year, high - low, sun::INLAND));
            sum += a_day(&mut grid, 0.13, day.iter().sum::<f64>() / 24.0, &rise);
        }
        all.push(sum / DAYS as f64);
    }
    all
}

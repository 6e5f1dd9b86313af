//! Prints how long opening and resolving take, and where the time goes.

use job::change::Change;
use job::{Base, BuiltIn, Library, Records, open, read_site, resolve};
use std::time::Instant;
use weather::Hints;

const DEMO: &str = include_str!("../data/demo.toml");

fn timed<T>(name: &str, times: u32, mut work: impl FnMut() -> T) {
    let _ = work();
    let start = Instant::now();
    for _ in 0..times {
        std::hint::black_box(work());
    }
    println!("{name:<40} {:9.3} ms", 1e3 * start.elapsed().as_secs_f64() / f64::from(times));
}

fn main() {
    let library = BuiltIn::new();
    timed("open (weather read anew)", 3, || open(DEMO, "demo.toml", &library).map(|job| job.bins.len()));
    timed("read_site", 20, || read_site(DEMO, "demo.toml", &library).map(|site| site.facts.bins.len()));
    let site = read_site(DEMO, "demo.toml", &library).unwrap_or_else(|e| panic!("{e}"));
    let Some(Ok(series)) = library.weather("champaign", &Hints::default()) else { panic!("no weather") };
    let series = series.mended();
    timed("series: clone, mend", 5, || series.clone().mended().len());
    timed("series: to the site's elevation", 5, || series.clone().at_elevation(213.0).len());
    timed("resolve", 5, || {
        resolve(&site.facts, &site.places, &series, library.crops(), "demo.toml").map(|j| j.bins.len())
    });
    let job =
        resolve(&site.facts, &site.places, &series, library.crops(), "demo.toml").unwrap_or_else(|e| panic!("{e}"));
    let bin = &job.bins[0];
    let t = &bin.template;
    timed("air map", 20, || equipment::AirMap::new(&t.system, t.grain.resistance, bin.velocity_range));
    let w = &bin.years[3].1.weather;
    timed("a window's hours", 20, || {
        series.window(w.start, w.temperature.len()).map(|s| s.hourly().temperature_c.len())
    });
    timed("a window's clock", 20, || {
        job::clock::Clock::of(w.start, w.temperature.len(), &job.place, job.prices.as_ref()).hour.len()
    });
    let records = Records::default();
    let base = Base::open(&records, DEMO, "demo.toml", &library).unwrap_or_else(|e| panic!("{e}"));
    for (path, value) in [
        ("bins.north.lots[0].moisture", "22 %"),
        ("bins.north.lots[0].from", "10-20"),
        ("bins.north.outfit.fans", "[\"demo-axial-10hp\"]"),
    ] {
        let changes = [Change { path: path.into(), value_text: value.into() }];
        timed(&format!("compile {path}"), 20, || base.compile(&changes, &library).map(|v| v.edits().map(<[_]>::len)));
        let Ok(variation) = base.compile(&changes, &library) else { continue };
        timed(&format!("resolve {path}"), 10, || base.resolve(&variation, &records, &library).map(|j| j.bins.len()));
    }
    timed("identity", 3, || bin.identity("preview"));
}

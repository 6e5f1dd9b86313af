//! Sound as text.

use crate::{output::Out, table::Table};
use advice::heat::sound::SiteSound;
use notice::Kind;
use physics::sound::{BANDS, LimitVerdict, Octaves};

fn word(verdict: Option<LimitVerdict>) -> &'static str {
    match verdict {
        None => "-",
        Some(LimitVerdict::Kept) => "kept",
        Some(LimitVerdict::Exceeded) => "EXCEEDED",
        Some(LimitVerdict::Uncertain) => "cannot tell",
    }
}

/// Sound of the site.
pub fn text(sound: &SiteSound, out: &Out) -> String {
    let bands: Vec<String> = BANDS.iter().map(|hz| format!("{hz:.0} Hz")).collect();
    let mut head = vec![("", "")];
    head.extend(bands.iter().map(|band| (band.as_str(), "dB")));
    head.push(("overall", "dB(A)"));
    let mut levels = Table::measured(&head);
    let mut row = |name: String, bands: &Octaves| {
        let mut cells = vec![name];
        cells.extend(bands.0.iter().map(|level| format!("{level:.0}")));
        cells.push(format!("{:.0}", bands.a_weighted()));
        levels.row(cells);
    };
    for s in &sound.sources {
        let fans = if s.fans == 1 { "1 fan".to_string() } else { format!("{} fans", s.fans) };
        let from = if s.maker { ", maker's data" } else { "" };
        row(format!("sound power of bin {}, {fans}{from}", s.bin), &s.power);
    }
    for d in &sound.dwellings {
        row(format!("level at {}", d.name), &d.bands);
    }
    let limit = |limit: Option<f64>| limit.map_or("no limit said".to_string(), |l| format!("limit {l:.0} dB(A)"));
    let (day, night) = (limit(sound.limits.0), limit(sound.limits.1));
    let mut judged = Table::measured(&[
        ("dwelling", ""),
        ("distance", out.unit(Kind::Length)),
        ("level", "dB(A)"),
        ("good to", "± dB"),
        ("by day", &day),
        ("by night", &night),
    ]);
    for d in &sound.dwellings {
        judged.row([
            d.name.clone(),
            out.number(d.distance, Kind::Length),
            format!("{:.0}", d.level),
            format!("{:.0}", d.uncertainty),
            word(d.day).to_string(),
            word(d.night).to_string(),
        ]);
    }
    let tones: Vec<String> = sound
        .sources
        .iter()
        .map(|s| {
            let how = if s.tone_known { "" } else { ", the usual band of the type: blades are not said" };
            format!("Tone of the blades at bin {}: {:.0} Hz{how}.\n", s.bin, s.tone)
        })
        .collect();
    format!(
        "Sound: all fans running, all lots in; an estimate\n{}{}{}",
        levels.render(),
        if sound.dwellings.is_empty() { "No dwelling is said.\n".to_string() } else { judged.render() },
        tones.concat()
    )
}

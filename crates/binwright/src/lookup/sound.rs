//! `lookup sound`: fans heard at a distance.

use super::Answer;
use crate::args::{FanTypeArg, SoundLookup, SurroundingsArg};
use crate::{exit::Failure, output::Out, quantities::Reader, table::Table, words};
use advice::lookup::sound::Question;
use contract::lookup::power::{AgainstLimit, Sound};
use notice::Kind;
use physics::fan_sound::FanType;
use physics::sound::Surroundings;

/// Answers the question.
pub fn answer(args: &SoundLookup) -> Result<Answer<Sound>, Failure> {
    let mut reader = Reader::default();
    let question = Question {
        kind: match args.kind {
            FanTypeArg::TubeAxial => FanType::TubeAxial,
            FanTypeArg::VaneAxial => FanType::VaneAxial,
            FanTypeArg::BackwardCurved => FanType::BackwardCurved,
            FanTypeArg::ForwardCurved => FanType::ForwardCurved,
            FanTypeArg::Radial => FanType::Radial,
        },
        airflow: reader.quantity("airflow", &args.airflow, Kind::Airflow),
        pressure: reader.quantity("pressure", &args.pressure, Kind::Pressure),
        efficiency: reader.optional("efficiency", args.efficiency.as_ref(), Kind::Fraction),
        blades: reader.optional("blades", args.blades.as_ref(), Kind::Number),
        speed: reader.optional("speed", args.speed.as_ref(), Kind::Rotation),
        count: reader.quantity("count", &args.count, Kind::Number),
        distance: reader.quantity("distance", &args.distance, Kind::Length),
        surroundings: match args.surroundings {
            SurroundingsArg::Free => Surroundings::Free,
            SurroundingsArg::Ground => Surroundings::Ground,
            SurroundingsArg::Wall => Surroundings::GroundAndWall,
        },
        limit: reader.optional("limit", args.limit.as_ref(), Kind::SoundLevel),
    };
    reader.answer(question.faults(), || question.answer())
}

/// The answer as text.
pub fn view(answer: &Sound, out: &Out) -> String {
    let mut bands = Table::numbers(&["", "63", "125", "250", "500", "1k", "2k", "4k", "8k Hz"]);
    for (name, levels) in [("power, dB", answer.power_db), ("level there, dB", answer.level_db)] {
        bands.row(std::iter::once(name.to_string()).chain(levels.iter().map(|l| format!("{l:.0}"))));
    }
    let weighted = |level: f64| format!("{level:.0} dB(A)");
    let mut table = Table::facts();
    table.row(["sound power", &weighted(answer.power_dba)]);
    table.row(["level there", &format!("{:.0} ± {:.0} dB(A)", answer.level_dba, answer.uncertainty_db)]);
    if let Some(second) = answer.second_level_dba {
        table.row(["by recalled levels of the type", &weighted(second)]);
    }
    if answer.off_peak_db > 0.0 {
        table.row(["of it, off the best point", &format!("{:.0} dB (another method's term)", answer.off_peak_db)]);
    }
    match answer.blade_tone_hz {
        Some(tone) => table.row(["tone of the blades", &out.show(tone, Kind::Frequency)]),
        None => table.row(["tone of the blades", &format!("usually in the band of {:.0} Hz", answer.tone_band_hz)]),
    };
    if let (Some(verdict), Some(distance)) = (answer.verdict, answer.distance_for_limit_m) {
        let verdict = match verdict {
            AgainstLimit::Kept => "kept even at the upper end",
            AgainstLimit::Uncertain => "uncertain: it lies between the ends",
            AgainstLimit::Exceeded => "EXCEEDED even at the lower end",
        };
        let (low, high) = (answer.level_dba - answer.uncertainty_db, answer.level_dba + answer.uncertainty_db);
        table.row(["limit", &format!("{verdict} of {low:.0} to {high:.0} dB(A)")]);
        table.row(["kept for certain from", &out.about(distance, Kind::Length, 2)]);
    }
    if let Some(time) = answer.permitted_exposure_s {
        let worst = format!("{} a day at the upper end (29 CFR 1910.95)", out.about(time, Kind::Hours, 2));
        table.row(["without hearing protection", &worst]);
    }
    table.row(["source", &answer.source]);
    table.row(["confirmed", words::status(answer.source_status)]);
    table.row(["range", words::range(answer.in_range)]);
    format!("{}\n{}", bands.render(), table.render())
}

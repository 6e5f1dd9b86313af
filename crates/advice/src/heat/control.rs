//! Whether a control of the burner suits the temperatures it works at.

use super::duty::{Duty, Hour, given};
use equipment::{Burner, BurnerRule};
use job::BinJob;
use notice::{Kind, Phrase, Quantity, Remark, Remarks, Source, Status};

/// Most rise of low-temperature drying, K: 10 °F (Iowa State University Extension, PM-1002, seen).
const LOW_RISE: f64 = 10.0 / 1.8;
/// Plenum up to which drying is called low-temperature here, °C (judgement).
const LOW_TEMPERATURE: f64 = 25.0;
/// Humidity below which the sensors of humidistats are of no use (judgement).
const TOO_DRY: f64 = 0.25;
/// Humidity of the air after the fans that needs no heat (judgement; 70 % outside is what North Dakota State University names for wheat).
const DRY_ENOUGH: f64 = 0.60;
/// Plenum above which freezing weather freezes roof and wall, °C (Prairie Agricultural Machinery Institute, by the farm press, seen).
const FROST_LIMIT: f64 = 25.0;

/// Says where the control does not suit.
pub(super) fn remark(bin: &BinJob, duty: &Duty, burner: &Burner, remarks: &mut Remarks) {
    let temperature = |v: f64| Quantity::new(v, Kind::Temperature);
    let rise = |v: f64| Quantity::new(v, Kind::TemperatureDifference);
    let share = |count: usize| Quantity::new(count as f64 / duty.hours.len() as f64, Kind::Fraction);
    let design = &duty.design;
    match bin.template.control.burner {
        BurnerRule::Thermostat(set) if set <= LOW_TEMPERATURE && design.hour.rise > LOW_RISE => {
            let says = Phrase::new(
                "low-temperature drying warms by {usual} at most; this thermostat asks {asked} in the design hour, which over-dries the \
                 floor: a humidistat, alone or with it, heats damp air only",
            )
            .with("usual", rise(LOW_RISE))
            .with("asked", rise(design.hour.rise));
            let source = Source::new("Iowa State University Extension PM-1002", Status::Seen);
            remarks.add(Remark::new("thermostat-at-low-temperature", says).from_source(source));
        }
        BurnerRule::Humidistat(set) | BurnerRule::HumidistatWithin { humidity: set, .. } if set < TOO_DRY => {
            let says = Phrase::new("a humidistat set to {set} asks what its sensor can hardly tell: use a thermostat")
                .with("set", Quantity::new(set, Kind::RelativeHumidity));
            remarks.add(Remark::new("humidistat-in-hot-air", says));
        }
        BurnerRule::Humidistat(_) if burner.temperature_limit.is_none() => {
            let hottest = duty.hours.iter().map(Hour::plenum).fold(f64::NEG_INFINITY, f64::max);
            let says = Phrase::new(
                "a humidistat alone has no ceiling of temperature (its dampest hour asks {hottest}): add a thermostat or a limit",
            )
            .with("hottest", temperature(hottest));
            remarks.add(Remark::new("humidistat-without-ceiling", says));
        }
        BurnerRule::FixedRise(_) => {
            let dry = duty.hours.iter().filter(|h| humidity_unheated(h) < DRY_ENOUGH).count();
            if dry * 10 > duty.hours.len() {
                let says = Phrase::new(
                    "a fixed rise heats dry air too: in {share} of the hours the fans alone bring the air below {humidity}",
                )
                .with("share", share(dry))
                .with("humidity", Quantity::new(DRY_ENOUGH, Kind::RelativeHumidity));
                remarks.add(Remark::new("rise-in-dry-air", says));
            }
        }
        _ => {}
    }
    // What the burner reaches, not what it is asked.
    let reached = |h: &Hour| h.temperature + h.fan_heat + given(bin, burner, h).rise;
    let frost = duty.hours.iter().filter(|h| h.temperature < 0.0 && reached(h) > FROST_LIMIT).count();
    if frost > 0 {
        let says = Phrase::new(
            "in {hours} h of {of} h the plenum is above {limit} in freezing weather: water condenses and freezes at wall and roof, and \
             iced vents lift a roof; open every vent and watch the pressure above the grain",
        )
        .count("hours", frost)
        .count("of", duty.hours.len())
        .with("limit", temperature(FROST_LIMIT));
        let source = Source::new("Prairie Agricultural Machinery Institute, quoted in the farm press", Status::Seen);
        remarks.add(Remark::new("hot-plenum-in-frost", says).from_source(source));
    }
}

/// Relative humidity after the fans with no fire.
fn humidity_unheated(h: &Hour) -> f64 {
    physics::air::vapour_pressure(h.pressure, h.humidity_ratio)
        / physics::air::saturation_pressure(h.temperature + h.fan_heat)
}

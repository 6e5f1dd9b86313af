//! `diagnose SITE READINGS`: causes in order.

use super::words::{cause_says, channel_says, next_says, size_says, urgent_says};
use advice::diagnose::{Cause, Channel, Diagnosis, Sight, Sizing, What};
use job::BinJob;
use notice::{Kind, Phrase};
use serde::Serialize;

/// One cause fitted to the readings.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct CauseJson {
    /// Cause in kebab case.
    pub cause: &'static str,
    /// The same in words.
    pub says: &'static str,
    /// Best size; its meaning is in `size_means`.
    pub size: Option<f64>,
    /// `factor`, `share`, `kelvin`, `other-crop`; null for causes without a size.
    pub size_means: Option<&'static str>,
    /// The best size in words.
    pub size_says: Option<Phrase>,
    /// The other crop, for `wrong-crop`.
    pub named: Option<String>,
    /// Prior among the causes that apply here (judgement).
    pub prior: f64,
    /// Posterior.
    pub posterior: f64,
    /// Sum of squares of the misfit in combined standard uncertainties.
    pub misfit: f64,
    /// Readings as it predicts them, in the order of `measured`.
    pub predicted: Vec<f64>,
}

/// Causes that no available reading separates.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct ClassJson {
    /// Posterior of all of them.
    pub posterior: f64,
    /// The likeliest first.
    pub causes: Vec<CauseJson>,
}

/// A reading as used.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct MeasuredJson {
    /// What was read, in kebab case.
    pub reading: &'static str,
    /// The same in words.
    pub says: &'static str,
    /// Kind of the figures, for showing them.
    pub kind: Kind,
    /// Unit of `value`, `standard_uncertainty` and `sound`.
    pub unit: &'static str,
    /// As read.
    pub value: f64,
    /// Combined with what is doubtful of the sound bin.
    pub standard_uncertainty: f64,
    /// As the sound bin would give it.
    pub sound: f64,
}

/// What to read next.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct NextJson {
    /// Reading or sight, in kebab case.
    pub what: &'static str,
    /// What to do, in words.
    pub says: &'static str,
    /// Expected information, bits.
    pub bits: f64,
    /// Kind of the foretold values; null for what is looked at.
    pub kind: Option<Kind>,
    /// What the likeliest causes foretell, the likeliest first.
    pub foretold: Vec<ForetoldJson>,
}

/// What a cause foretells of the next reading.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct ForetoldJson {
    /// Cause in kebab case.
    pub cause: &'static str,
    /// The same in words.
    pub says: &'static str,
    /// Value of the reading, given what was read; of what is looked at the chance to see it.
    pub value: f64,
    /// Standard uncertainty of the reading about it.
    pub standard_uncertainty: f64,
}

/// Whether any cause explains the readings.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct GoodnessJson {
    /// Whether some cause explains them: the chance is 1 in 100 or more.
    pub fits: bool,
    /// Sum of squares of the misfit of the cause that fits best, in combined standard uncertainties.
    pub chi_squared: f64,
    /// Readings less the sizes fitted.
    pub degrees_of_freedom: usize,
    /// Chance that readings of a bin with that cause lie that far from it.
    pub chance: f64,
    /// Where none fits: the reading without which one does, in kebab case.
    pub without: Option<&'static str>,
    /// The same in words.
    pub without_says: Option<&'static str>,
}

/// A diagnosis.
#[derive(Debug, Clone, PartialEq, Serialize, utoipa::ToSchema)]
pub struct DiagnosisJson {
    /// Bin.
    pub bin: String,
    /// When the readings were taken, as written.
    pub at: Option<String>,
    /// Whether a baseline narrowed what is doubtful.
    pub baseline: bool,
    /// The readings used.
    pub measured: Vec<MeasuredJson>,
    /// Classes of causes, the likeliest first.
    pub classes: Vec<ClassJson>,
    /// Whether any of them explains the readings.
    pub goodness: GoodnessJson,
    /// What to read next.
    pub next: Option<NextJson>,
    /// Whether any equipment is invented.
    pub demo: bool,
    /// What must be acted on at once, in words; said before anything else.
    pub urgent: Vec<String>,
}

impl DiagnosisJson {
    /// The document of a diagnosis.
    pub fn of(bin: &BinJob, at: Option<String>, found: &Diagnosis) -> Self {
        let cause = |f: &advice::diagnose::Fitted| CauseJson {
            cause: cause_word(f.cause),
            says: cause_says(f.cause),
            size: f.size,
            size_means: sizing_word(f.cause),
            size_says: size_says(f),
            named: f.named.clone(),
            prior: f.prior,
            posterior: f.posterior,
            misfit: f.misfit,
            predicted: f.predicted.clone(),
        };
        Self {
            bin: bin.name.clone(),
            at,
            baseline: found.baseline,
            measured: found
                .measured
                .iter()
                .map(|m| MeasuredJson {
                    reading: channel_word(m.channel),
                    says: channel_says(m.channel),
                    kind: channel_kind(m.channel),
                    unit: unit(m.channel),
                    value: m.value,
                    standard_uncertainty: m.standard,
                    sound: m.sound,
                })
                .collect(),
            classes: found
                .classes
                .iter()
                .map(|c| ClassJson { posterior: c.posterior, causes: c.causes.iter().map(cause).collect() })
                .collect(),
            goodness: GoodnessJson {
                fits: found.goodness.fits(),
                chi_squared: found.goodness.square,
                degrees_of_freedom: found.goodness.degrees,
                chance: found.goodness.chance,
                without: found.goodness.without.map(|(channel, _)| channel_word(channel)),
                without_says: found.goodness.without.map(|(channel, _)| channel_says(channel)),
            },
            next: found.next.as_ref().map(|n| NextJson {
                what: what_word(n.what),
                says: next_says(n.what),
                bits: n.bits,
                kind: match n.what {
                    What::Read(channel) => Some(channel_kind(channel)),
                    What::Look(_) => None,
                },
                foretold: n
                    .foretold
                    .iter()
                    .map(|f| ForetoldJson {
                        cause: cause_word(f.cause),
                        says: cause_says(f.cause),
                        value: f.value,
                        standard_uncertainty: f.standard,
                    })
                    .collect(),
            }),
            demo: bin.invented,
            urgent: found.urgent.iter().map(|one| urgent_says(*one)).collect(),
        }
    }
}

fn sizing_word(cause: Cause) -> Option<&'static str> {
    let info = advice::diagnose::CAUSES.iter().find(|info| info.cause == cause)?;
    match info.sizing {
        Sizing::None => None,
        Sizing::Factor => Some("factor"),
        Sizing::Share => Some("share"),
        Sizing::Kelvin => Some("kelvin"),
        Sizing::OtherCrop => Some("other-crop"),
    }
}

/// Word of a cause.
pub fn cause_word(cause: Cause) -> &'static str {
    match cause {
        Cause::Sound => "sound",
        Cause::Packing => "packing",
        Cause::PluggedFloor => "plugged-floor",
        Cause::Leak => "leak",
        Cause::BlockedVents => "blocked-vents",
        Cause::WrongRotation => "wrong-rotation",
        Cause::LowVoltage => "low-voltage",
        Cause::SinglePhasing => "single-phasing",
        Cause::SlippingBelt => "slow-wheel",
        Cause::WrongWheel => "wrong-wheel",
        Cause::FanDown => "fan-down",
        Cause::MotorOverloaded => "motor-overloaded",
        Cause::FansUnequal => "fans-unequal",
        Cause::OverFired => "over-fired",
        Cause::GasPressureHigh => "gas-pressure-high",
        Cause::UnderFired => "under-fired",
        Cause::GasPressureLow => "gas-pressure-low",
        Cause::RegulatorFreezing => "regulator-freezing",
        Cause::SensorInJet => "sensor-in-jet",
        Cause::WrongDepth => "wrong-depth",
        Cause::WrongCrop => "wrong-crop",
        Cause::GaugeError => "gauge-error",
        Cause::ClampError => "clamp-error",
        Cause::ThermometerError => "thermometer-error",
    }
}

/// Word of a reading.
pub fn channel_word(channel: Channel) -> &'static str {
    match channel {
        Channel::Plenum => "plenum-pressure",
        Channel::Headspace => "headspace-pressure",
        Channel::InGrain => "pressure-in-grain",
        Channel::Traverse => "traverse",
        Channel::Input => "electric-input",
        Channel::Volts => "volts-over-plate",
        Channel::CurrentSpread => "current-spread",
        Channel::Speed => "speed-over-curve",
        Channel::Rise => "temperature-rise",
        Channel::Fire => "fire-over-full",
        Channel::GasPressure => "gas-pressure-over-set",
        Channel::TankPressure => "tank-pressure-over-usual",
        Channel::Panel => "panel-over-plenum",
        Channel::Depth => "depth-over-used",
        Channel::MotorSpread => "motors-apart",
    }
}

/// Kind of a channel, for showing it.
pub fn channel_kind(channel: Channel) -> Kind {
    match channel {
        Channel::Plenum | Channel::Headspace | Channel::InGrain => Kind::Pressure,
        Channel::Traverse => Kind::Airflow,
        Channel::Input => Kind::ElectricPower,
        Channel::Rise | Channel::Panel => Kind::TemperatureDifference,
        _ => Kind::Number,
    }
}

fn unit(channel: Channel) -> &'static str {
    match channel {
        Channel::Plenum | Channel::Headspace | Channel::InGrain => "Pa",
        Channel::Traverse => "m3/s",
        Channel::Input => "W",
        Channel::Rise | Channel::Panel => "K",
        _ => "1",
    }
}

fn what_word(what: What) -> &'static str {
    match what {
        What::Read(channel) => channel_word(channel),
        What::Look(Sight::AgainstArrow) => "look-rotation",
        What::Look(Sight::IceOnRegulator) => "look-ice-on-regulator",
        What::Look(Sight::Pulsing) => "look-pulsing",
        What::Look(Sight::VentsBlocked) => "look-vents-blocked",
        What::Look(Sight::AirEscapes) => "look-air-escapes",
    }
}

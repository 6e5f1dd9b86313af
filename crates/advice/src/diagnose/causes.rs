//! The causes: what each changes, how large it may be, how common it is (judgement), and what it looks like.

use super::channels::Sight;

/// What may be wrong.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Cause {
    /// Nothing.
    Sound,
    /// Fines, packing, a peak of fines in the middle: the grain resists more than planned.
    Packing,
    /// Floor perforations plugged by fines, or frozen.
    PluggedFloor,
    /// Air lost between fan and grain: door, unload tube, flashing, transition.
    Leak,
    /// Roof vents iced, screened with chaff or shut.
    BlockedVents,
    /// The wheels turn against the arrow.
    WrongRotation,
    /// Volts below the plate.
    LowVoltage,
    /// One leg of three is dead.
    SinglePhasing,
    /// Slipping belt, or the wrong pulley: the wheel turns slower.
    SlippingBelt,
    /// A wheel of another diameter.
    WrongWheel,
    /// One of several fans is down and lets air flow back through it.
    FanDown,
    /// One motor bears more than its wheel asks: it rubs, a bearing drags, a pulley is wrong.
    MotorOverloaded,
    /// One of several fans is hampered and another bears its share.
    FansUnequal,
    /// The burner gives less than full fire at the right gas pressure: orifice, air, dirt.
    UnderFired,
    /// The burner gives more than full fire at the right gas pressure: orifice too large, another gas.
    OverFired,
    /// Gas pressure above what is set: regulator failed or screwed up, burner over-fired.
    GasPressureHigh,
    /// Gas pressure low because the tank cannot boil enough or the line loses too much.
    GasPressureLow,
    /// The gas regulator freezes or is set low: pressure falls behind a good tank.
    RegulatorFreezing,
    /// The panel's sensor stands in the burner's jet.
    SensorInJet,
    /// More or less grain in the bin than on the sheet.
    WrongDepth,
    /// Another crop in the bin than on the sheet.
    WrongCrop,
    /// The manometer shows a multiple.
    GaugeError,
    /// The clamp meter or its power factor shows a multiple.
    ClampError,
    /// The plenum thermometers show too much or too little.
    ThermometerError,
}

/// What the size of a cause means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sizing {
    /// No size.
    None,
    /// Factor on what it changes.
    Factor,
    /// Share lost, shut or flowing back.
    Share,
    /// Kelvin.
    Kelvin,
    /// Which other crop.
    OtherCrop,
}

/// A cause with its range and prior.
#[derive(Debug, Clone, Copy)]
pub struct Info {
    /// The cause.
    pub cause: Cause,
    /// Meaning of its size.
    pub sizing: Sizing,
    /// Ranges of sizes; two where it goes both ways.
    pub ranges: &'static [(f64, f64)],
    /// How common it is among calls, before anything is read; relative, judgement throughout.
    pub prior: f64,
}

const fn info(cause: Cause, sizing: Sizing, ranges: &'static [(f64, f64)], prior: f64) -> Info {
    Info { cause, sizing, ranges, prior }
}

/// All causes. Priors are our judgement: no counts of causes of complaint were found.
pub const CAUSES: [Info; 24] = [
    info(Cause::Sound, Sizing::None, &[], 0.30),
    info(Cause::Packing, Sizing::Factor, &[(1.25, 4.0)], 0.14),
    info(Cause::PluggedFloor, Sizing::Share, &[(0.5, 0.98)], 0.05),
    info(Cause::Leak, Sizing::Share, &[(0.08, 0.65)], 0.08),
    info(Cause::BlockedVents, Sizing::Share, &[(0.5, 0.97)], 0.05),
    info(Cause::WrongRotation, Sizing::Factor, &[(0.35, 0.65)], 0.03),
    info(Cause::LowVoltage, Sizing::Factor, &[(0.72, 0.93)], 0.03),
    info(Cause::SinglePhasing, Sizing::None, &[], 0.015),
    info(Cause::SlippingBelt, Sizing::Factor, &[(0.60, 0.96)], 0.04),
    info(Cause::WrongWheel, Sizing::Factor, &[(0.80, 0.96), (1.04, 1.10)], 0.015),
    info(Cause::FanDown, Sizing::Share, &[(0.0, 0.6)], 0.04),
    info(Cause::MotorOverloaded, Sizing::Factor, &[(1.15, 1.8)], 0.02),
    info(Cause::FansUnequal, Sizing::Factor, &[(1.10, 1.6)], 0.02),
    info(Cause::UnderFired, Sizing::Factor, &[(0.30, 0.92)], 0.05),
    info(Cause::OverFired, Sizing::Factor, &[(1.10, 1.6)], 0.015),
    info(Cause::GasPressureHigh, Sizing::Factor, &[(1.15, 2.5)], 0.02),
    info(Cause::GasPressureLow, Sizing::Factor, &[(0.20, 0.85)], 0.03),
    info(Cause::RegulatorFreezing, Sizing::Factor, &[(0.20, 0.85)], 0.02),
    info(Cause::SensorInJet, Sizing::Kelvin, &[(2.0, 25.0)], 0.03),
    info(Cause::WrongDepth, Sizing::Factor, &[(0.40, 0.88), (1.12, 1.8)], 0.06),
    info(Cause::WrongCrop, Sizing::OtherCrop, &[], 0.02),
    info(Cause::GaugeError, Sizing::Factor, &[(0.45, 0.85), (1.15, 2.0)], 0.03),
    info(Cause::ClampError, Sizing::Factor, &[(0.6, 0.88), (1.12, 1.6)], 0.02),
    info(Cause::ThermometerError, Sizing::Kelvin, &[(-8.0, -1.5), (1.5, 8.0)], 0.02),
];

/// Chance (judgement) that somebody who looks for a sight sees it (`yes`) or does not, under a cause.
pub fn chance(cause: Cause, sight: Sight, yes: bool) -> f64 {
    let seen = match (sight, cause) {
        (Sight::AgainstArrow, Cause::WrongRotation) => 0.97,
        (Sight::AgainstArrow, _) => 0.01,
        (Sight::IceOnRegulator, Cause::RegulatorFreezing) => 0.80,
        (Sight::IceOnRegulator, Cause::GasPressureLow) => 0.10,
        (Sight::IceOnRegulator, _) => 0.03,
        (Sight::Pulsing, Cause::FanDown) => 0.80,
        (Sight::Pulsing, _) => 0.08,
        (Sight::VentsBlocked, Cause::BlockedVents) => 0.92,
        (Sight::VentsBlocked, _) => 0.05,
        (Sight::AirEscapes, Cause::Leak) => 0.85,
        (Sight::AirEscapes, _) => 0.08,
    };
    if yes { seen } else { 1.0 - seen }
}

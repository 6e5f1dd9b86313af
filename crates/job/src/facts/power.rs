//! Electricity and the yard as they were said.

use physics::electric::Phases;
use physics::sound::Octaves;

/// The electric supply of the site.
#[derive(Debug, Clone, PartialEq)]
pub struct PowerFacts {
    /// Phases.
    pub phases: Phases,
    /// Volts between lines.
    pub volts: f64,
    /// Rated current of the service, A.
    pub service: Option<f64>,
    /// Feeder from the service to the bins, which carries all of them.
    pub feeder: Option<FeederFacts>,
    /// Other load that runs at the same time, W.
    pub other: f64,
    /// Power of the stand-by generator there is, W.
    pub generator: Option<f64>,
    /// Code letter of the motors' locked rotors, where it is known.
    pub code_letter: Option<char>,
}

/// A feeder.
#[derive(Debug, Clone, PartialEq)]
pub struct FeederFacts {
    /// Length one way, m.
    pub length: f64,
    /// Gauge of the conductor.
    pub conductor: &'static str,
    /// Resistance of the conductor, Ω/m.
    pub resistance: f64,
}

/// The yard: where bins and dwellings stand, and how loud it may be.
#[derive(Debug, Clone, PartialEq)]
pub struct YardFacts {
    /// Hard ground, which throws sound back.
    pub hard_ground: bool,
    /// Limit at a dwelling by day, dB(A).
    pub limit_day: Option<f64>,
    /// Limit at a dwelling by night, dB(A).
    pub limit_night: Option<f64>,
    /// Bins with their places: name in the site, and what is known of its fans.
    pub bins: Vec<YardBin>,
    /// Dwellings.
    pub dwellings: Vec<Dwelling>,
}

/// The fans of a bin in the yard.
#[derive(Debug, Clone, PartialEq)]
pub struct YardBin {
    /// Bin.
    pub bin: String,
    /// Metres east and north of a point of one's own choice.
    pub at: (f64, f64),
    /// A wall stands close behind the fans (the bin itself counts as one).
    pub wall: bool,
    /// Blades of a wheel.
    pub blades: Option<u32>,
    /// Sound power of one fan by bands from its maker, dB.
    pub maker: Option<Octaves>,
}

/// A dwelling.
#[derive(Debug, Clone, PartialEq)]
pub struct Dwelling {
    /// Name.
    pub name: String,
    /// Where it stands.
    pub at: DwellingPlace,
}

/// Where a dwelling stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DwellingPlace {
    /// So far from every fan, m.
    Distance(f64),
    /// Metres east and north as of the bins, and height of the window above the fans, m.
    Position(f64, f64, f64),
}

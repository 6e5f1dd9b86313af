//! Options of the answers on motors and sound.

use clap::{Args, ValueEnum};

/// Metal of a conductor.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum MetalArg {
    /// Copper
    Copper,
    /// Aluminium
    #[value(alias = "aluminum")]
    Aluminium,
}

/// Phases of a supply.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum PhasesArg {
    /// Two wires and one voltage
    #[value(name = "1")]
    One,
    /// Three equal phases
    #[value(name = "3")]
    Three,
}

/// Motor.
#[derive(Debug, Args)]
pub struct MotorLookup {
    /// Rated power at the shaft, "10 hp"
    #[arg(long, allow_hyphen_values = true)]
    pub power: String,
    /// Voltage between lines, "230 V"
    #[arg(long, allow_hyphen_values = true)]
    pub volts: String,
    /// Phases
    #[arg(long, value_enum, default_value = "3")]
    pub phases: PhasesArg,
    /// Power at the shaft now, "11 hp"; left out, the rating
    #[arg(long, allow_hyphen_values = true)]
    pub shaft: Option<String>,
    /// Efficiency at full load as on the plate, "91 %"
    #[arg(long, allow_hyphen_values = true)]
    pub efficiency: Option<String>,
    /// Power factor at full load as on the plate, "85 %"
    #[arg(long, allow_hyphen_values = true)]
    pub power_factor: Option<String>,
    /// Service factor, 1.15 when left out
    #[arg(long, allow_hyphen_values = true)]
    pub service_factor: Option<String>,
    /// Code letter of the locked rotor; left out, the usual one of the size
    #[arg(long)]
    pub code_letter: Option<char>,
    /// Length of the feeder one way, "200 ft"
    #[arg(long, allow_hyphen_values = true, requires = "conductor")]
    pub feeder: Option<String>,
    /// Conductor by its gauge, "2" or "1/0"
    #[arg(long, requires = "feeder")]
    pub conductor: Option<String>,
    /// Metal of the conductor
    #[arg(long, value_enum, default_value = "copper")]
    pub metal: MetalArg,
}

/// Type of fan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum FanTypeArg {
    /// Axial in a tube, without vanes
    TubeAxial,
    /// Axial in a tube, with vanes
    VaneAxial,
    /// Centrifugal, backward curved, inclined or airfoil
    BackwardCurved,
    /// Centrifugal, forward curved
    ForwardCurved,
    /// Centrifugal, radial
    Radial,
}

/// What stands around a source of sound.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum SurroundingsArg {
    /// Nothing near
    Free,
    /// Hard ground
    Ground,
    /// Hard ground and one wall behind it
    Wall,
}

/// Sound.
#[derive(Debug, Args)]
pub struct SoundLookup {
    /// Type of fan
    #[arg(long = "type", value_enum)]
    pub kind: FanTypeArg,
    /// Airflow of one fan, "20000 cfm"
    #[arg(long, allow_hyphen_values = true)]
    pub airflow: String,
    /// Pressure of one fan, "4 in wc"
    #[arg(long, allow_hyphen_values = true)]
    pub pressure: String,
    /// Efficiency at its working point, "50 %"; left out, near its best point
    #[arg(long, allow_hyphen_values = true)]
    pub efficiency: Option<String>,
    /// Blades of the wheel
    #[arg(long, allow_hyphen_values = true)]
    pub blades: Option<String>,
    /// Speed, "1750 rpm"
    #[arg(long, allow_hyphen_values = true)]
    pub speed: Option<String>,
    /// How many equal fans run
    #[arg(long, allow_hyphen_values = true, default_value = "1")]
    pub count: String,
    /// Distance, "300 ft"
    #[arg(long, allow_hyphen_values = true)]
    pub distance: String,
    /// What stands around the fan
    #[arg(long, value_enum, default_value = "ground")]
    pub surroundings: SurroundingsArg,
    /// Limit at that distance, "50 dB(A)"
    #[arg(long, allow_hyphen_values = true)]
    pub limit: Option<String>,
}

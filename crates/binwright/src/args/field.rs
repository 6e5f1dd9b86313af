//! Arguments of the verbs that work on readings taken beside a running fan.

use clap::Args;
use std::path::PathBuf;

/// Which readings at which bin.
#[derive(Debug, Args)]
pub struct ReadingsOf {
    /// Site file (TOML)
    pub site: PathBuf,
    /// Readings file (TOML), see docs/readings-file.md
    pub readings: PathBuf,
    /// The bin, when the readings do not name it
    #[arg(long)]
    pub bin: Option<String>,
}

/// Readings against the plan.
#[derive(Debug, Args)]
pub struct CommissionArgs {
    /// Site, readings, bin
    #[command(flatten)]
    pub of: ReadingsOf,
    /// Write the readings to this new file as the bin's baseline, when nothing differs
    #[arg(long)]
    pub baseline: Option<PathBuf>,
}

/// Causes of readings.
#[derive(Debug, Args)]
pub struct DiagnoseArgs {
    /// Site, readings, bin
    #[command(flatten)]
    pub of: ReadingsOf,
    /// Readings of the same bin from when it was sound, as `commission --baseline` wrote them
    #[arg(long)]
    pub baseline: Option<PathBuf>,
}

/// Hours without air.
#[derive(Debug, Args)]
pub struct OutageArgs {
    /// Site file (TOML)
    pub site: PathBuf,
    /// When the air stopped, standard time of the place, in a year of the weather: "2011-10-20 14:00"
    #[arg(long)]
    pub at: String,
    /// When it came back, or will: says what the stop costs until then; left out, 72 hours are looked at
    #[arg(long)]
    pub until: Option<String>,
    /// Only this bin
    #[arg(long)]
    pub bin: Option<String>,
}

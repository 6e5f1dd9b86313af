//! What can be typed. Quantities are text with a unit and are read later, so that all that is wrong is said at once.

mod field;
mod gas;
mod power;
mod propose;

pub use field::{CommissionArgs, DiagnoseArgs, OutageArgs, ReadingsOf};
pub use gas::{CombustionLookup, FuelLookup, OrificeLookup, PipeLookup, TankLookup};
pub use power::{FanTypeArg, MetalArg, MotorLookup, PhasesArg, SoundLookup, SurroundingsArg};
pub use propose::{ProposeArgs, SheetArg};

use clap::{Args, Parser, Subcommand, ValueEnum};
use notice::UnitSystem;
use std::path::PathBuf;

/// Air and heat for farm grain bins: from a site file and weather records to a proven season.
///
/// Results go to stdout, everything else to stderr. Exit codes: 0; 1 a stated goal is missed; 2 unusable input;
/// 3 a failure of the program; 130 after an interrupt. Quantities are written with their unit: "36 ft", "20 %",
/// "1 cfm/bu", "60 F".
#[derive(Debug, Parser)]
///
/// Without a command it serves the workbench, as `binwright serve` does.
#[command(name = "binwright", version, propagate_version = true)]
pub struct CommandLine {
    /// Write the result as JSON (always SI)
    #[arg(long, global = true)]
    pub json: bool,
    /// Units of the text shown: us unless told otherwise
    #[arg(long, global = true, value_enum, default_value = "us")]
    pub units: Units,
    /// What to do; left out, `serve`.
    #[command(subcommand)]
    pub command: Option<Command>,
}

/// Unit systems to choose from.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum Units {
    /// International units
    Si,
    /// United States customary units
    Us,
}

impl From<Units> for UnitSystem {
    fn from(units: Units) -> Self {
        match units {
            Units::Si => Self::Si,
            Units::Us => Self::Us,
        }
    }
}

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Check a site file and say it back: capacities, lots, outfits, weather
    Survey(SiteArgs),
    /// Fans against the grain: airflow, pressure, power at every fill; also without a site file
    Air(AirArgs),
    /// Burners against the weather: duty, ways of firing, fuel
    Heat(HeatArgs),
    /// One weather year of every bin: moisture, temperature and storage life used
    Season(SeasonArgs),
    /// All bins together: loads sent day by day, one service, one tank, what is sold wet
    Farm(FarmArgs),
    /// All weather years: in how many the crop is met, held or failed, and why
    Prove(ProveArgs),
    /// The outfits worth buying for every bin, by cost and by chance of failure, and why the others are not
    Weigh(WeighArgs),
    /// How wet, how deep or how late with the outfit that stands there, as a map
    Limit(LimitArgs),
    /// The control that costs least at the wanted risk, as a rule of few thresholds for a panel
    Tune(TuneArgs),
    /// The papers of every bin: proposal, load sheets, commissioning sheet, operating card, engineer's annex
    Propose(ProposeArgs),
    /// Readings taken beside the running fan against the plan: agrees, differs, cannot tell
    Commission(CommissionArgs),
    /// Likely causes of such readings, in order, and the reading that would tell them apart best
    Diagnose(DiagnoseArgs),
    /// Hours left without air, bin by bin, and what half of the air buys
    Outage(OutageArgs),
    /// One column of grain from a case file, for checks against published beds
    Column(ColumnArgs),
    /// A handbook answer with its source
    #[command(subcommand)]
    Lookup(Lookup),
    /// The whole job on the bundled invented site and real weather
    Demo(DemoArgs),
    /// The JSON schema of the site file, or the description of the workbench's interface
    Schema(SchemaArgs),
    /// The workbench: a page in the browser, served from this machine
    Serve(ServeArgs),
    /// Set the password of the workbench, needed before other machines may reach it
    Password(PasswordArgs),
    /// Copy all that the workbench keeps to one new file, also while it runs
    Backup(BackupArgs),
}

/// Which schema.
#[derive(Debug, Args)]
pub struct SchemaArgs {
    /// The OpenAPI description of the workbench's interface instead
    #[arg(long)]
    pub api: bool,
}

/// The workbench.
#[derive(Debug, Default, Args)]
pub struct ServeArgs {
    /// Port; left out, 8420 or, when that is taken, a free one; 0 takes a free one
    #[arg(long)]
    pub port: Option<u16>,
    /// Address to listen on besides this machine's own, "0.0.0.0"; needs a password
    #[arg(long)]
    pub listen: Option<std::net::IpAddr>,
    /// A host name the server answers to, "bins.example"; may be given again
    #[arg(long)]
    pub name: Vec<String>,
    /// A reverse proxy stands in front and speaks TLS; it must set X-Forwarded-For
    #[arg(long)]
    pub behind_proxy: bool,
    /// Data folder; left out, the user's own
    #[arg(long)]
    pub data: Option<PathBuf>,
    /// Keep nothing: sites are gone when the program ends
    #[arg(long, conflicts_with = "data")]
    pub forget: bool,
    /// Open the page in the browser
    #[arg(long)]
    pub open: bool,
}

/// The password.
#[derive(Debug, Args)]
pub struct PasswordArgs {
    /// Read it from the first line of this file instead of asking
    #[arg(long)]
    pub password_file: Option<PathBuf>,
    /// Take the password away
    #[arg(long, conflicts_with = "password_file")]
    pub remove: bool,
    /// Data folder; left out, the user's own
    #[arg(long)]
    pub data: Option<PathBuf>,
}

/// A backup.
#[derive(Debug, Args)]
pub struct BackupArgs {
    /// The file to make; it must not be there yet
    pub file: PathBuf,
    /// Data folder; left out, the user's own
    #[arg(long)]
    pub data: Option<PathBuf>,
}

/// A site file.
#[derive(Debug, Args)]
pub struct SiteArgs {
    /// Site file (TOML)
    pub site: PathBuf,
}

/// Air, with or without a site file.
#[derive(Debug, Args)]
pub struct AirArgs {
    /// Site file (TOML); left out, the bin is described by the options below
    pub site: Option<PathBuf>,
    /// Only this bin of the site
    #[arg(long, requires = "site")]
    pub bin: Option<String>,
    /// Bin diameter, "36 ft"
    #[arg(long, conflicts_with = "site", allow_hyphen_values = true)]
    pub diameter: Option<String>,
    /// Depth of grain, "18 ft"
    #[arg(long, conflicts_with = "site", allow_hyphen_values = true)]
    pub depth: Option<String>,
    /// Crop, see `lookup crops`
    #[arg(long, conflicts_with = "site")]
    pub crop: Option<String>,
    /// Airflow wanted, "1 cfm/bu"; "0.8 m3/min/t" with the bulk density
    #[arg(long, conflicts_with = "site", allow_hyphen_values = true)]
    pub airflow: Option<String>,
    /// Bulk density as filled, "720 kg/m3": for an airflow per tonne
    #[arg(long, conflicts_with = "site", allow_hyphen_values = true)]
    pub bulk_density: Option<String>,
    /// Packing multiplier on the pressure of loose fill; left out, that of the crop
    #[arg(long, conflicts_with = "site", allow_hyphen_values = true)]
    pub packing: Option<f64>,
    /// Elevation above the sea, "700 ft"
    #[arg(long, conflicts_with = "site", allow_hyphen_values = true)]
    pub elevation: Option<String>,
}

/// Heat.
#[derive(Debug, Args)]
pub struct HeatArgs {
    /// Site file (TOML)
    pub site: PathBuf,
    /// Only this bin
    #[arg(long)]
    pub bin: Option<String>,
}

/// One weather year.
#[derive(Debug, Args)]
pub struct SeasonArgs {
    /// Site file (TOML)
    pub site: PathBuf,
    /// Calendar year of the first load
    #[arg(long)]
    pub year: i32,
    /// Only this bin
    #[arg(long)]
    pub bin: Option<String>,
    /// Hourly series beside the daily ones
    #[arg(long)]
    pub hourly: bool,
    /// Name the relations behind the result, and whether they were used inside their evidence (JSON always does)
    #[arg(long)]
    pub sources: bool,
}

/// All bins together.
#[derive(Debug, Args)]
pub struct FarmArgs {
    /// Site file (TOML); `[farm]` says what is harvested and by which rule the bins take it
    pub site: PathBuf,
    /// Calendar year of the first load; left out, all years
    #[arg(long)]
    pub year: Option<i32>,
    /// With --json and --year: the service hour by hour
    #[arg(long, requires = "year")]
    pub hourly: bool,
}

/// All weather years.
#[derive(Debug, Args)]
pub struct ProveArgs {
    /// Site file (TOML)
    pub site: PathBuf,
    /// Only this bin
    #[arg(long)]
    pub bin: Option<String>,
    /// Name the relations behind the result, and whether they were used inside their evidence (JSON always does)
    #[arg(long)]
    pub sources: bool,
}

/// The outfits worth buying.
#[derive(Debug, Args)]
pub struct WeighArgs {
    /// Site file (TOML); `[bins.NAME.choose]` says what may be chosen
    pub site: PathBuf,
    /// Only this bin
    #[arg(long)]
    pub bin: Option<String>,
    /// End an outfit early only where it is certainly beaten: slower, and the same front as running everything
    #[arg(long)]
    pub exact: bool,
    /// What matters for the outfit worth buying: one assumption at a time, where the choice changes, shares of the variance
    #[arg(long)]
    pub matters: bool,
    /// Write a workbook: candidates, the front, the excluded with reasons, years, what matters (one bin: name it with --bin)
    #[arg(long, value_name = "FILE")]
    pub xlsx: Option<PathBuf>,
    /// Write pictures (SVG and PNG) into this folder: the front, and with --matters what matters
    #[arg(long, value_name = "FOLDER")]
    pub plots: Option<PathBuf>,
}

/// A control beyond practice.
#[derive(Debug, Args)]
pub struct TuneArgs {
    /// Site file (TOML)
    pub site: PathBuf,
    /// Only this bin
    #[arg(long)]
    pub bin: Option<String>,
}

/// How wet, how deep, how late.
#[derive(Debug, Args)]
pub struct LimitArgs {
    /// Site file (TOML)
    pub site: PathBuf,
    /// What the limit is asked of
    #[arg(long = "for", value_enum)]
    pub asked: AskedArg,
    /// Only this bin
    #[arg(long)]
    pub bin: Option<String>,
    /// Keep day and moisture apart; else they move together by the dry-down of the field
    #[arg(long)]
    pub apart: bool,
    /// Write the map as a picture (SVG and PNG) into this folder
    #[arg(long, value_name = "FOLDER")]
    pub plots: Option<PathBuf>,
}

/// What a limit is asked of.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum AskedArg {
    /// How wet
    Moisture,
    /// How deep
    Depth,
    /// How late
    Date,
}

/// One column.
#[derive(Debug, Args)]
pub struct ColumnArgs {
    /// Case file (TOML)
    pub case: PathBuf,
}

/// The demonstration.
#[derive(Debug, Args)]
pub struct DemoArgs {
    /// Folder for the report
    #[arg(long)]
    pub out: Option<PathBuf>,
}

/// What can be looked up.
#[derive(Debug, Subcommand)]
pub enum Lookup {
    /// State of moist air from dry bulb and one more reading
    Air(AirLookup),
    /// Moisture of grain in equilibrium with air, or the humidity over grain
    Equilibrium(EquilibriumLookup),
    /// Resistance of grain to airflow
    Resistance(ResistanceLookup),
    /// How long grain keeps
    Storage(StorageLookup),
    /// Thin-layer drying
    Drying(DryingLookup),
    /// Density, heat capacity, conductivity and latent heat of grain
    Grain(GrainLookup),
    /// What is known of which crop
    Crops,
    /// Gas through a burner's orifice: heat of a hole, or hole for a heat
    Orifice(OrificeLookup),
    /// Gas in a pipe: loss, size or capacity
    Pipe(PipeLookup),
    /// What a propane tank can boil off
    Tank(TankLookup),
    /// Heating values of a fuel, and what a heat takes of it
    Fuel(FuelLookup),
    /// Burner duty for a rise, and what a flame does to the air
    Combustion(CombustionLookup),
    /// Currents of a motor, its load, its feeder
    Motor(MotorLookup),
    /// Sound of fans at a distance
    Sound(SoundLookup),
}

/// Moist air.
#[derive(Debug, Args)]
#[command(group = clap::ArgGroup::new("second reading").required(true)
    .args(["relative_humidity", "wet_bulb", "dew_point", "humidity_ratio"]))]
pub struct AirLookup {
    /// Dry-bulb temperature, "20 C" or "68 F"
    #[arg(long, allow_hyphen_values = true)]
    pub dry_bulb: String,
    /// Relative humidity, "50 %"
    #[arg(long, allow_hyphen_values = true)]
    pub relative_humidity: Option<String>,
    /// Wet-bulb temperature
    #[arg(long, allow_hyphen_values = true)]
    pub wet_bulb: Option<String>,
    /// Dew point (frost point below 0.01 °C)
    #[arg(long, allow_hyphen_values = true)]
    pub dew_point: Option<String>,
    /// Humidity ratio, kg water per kg dry air: 0.007, "7 g/kg", "49 gr/lb"
    #[arg(long, allow_hyphen_values = true)]
    pub humidity_ratio: Option<String>,
    /// Barometric pressure, "101.325 kPa"
    #[arg(long, allow_hyphen_values = true, conflicts_with = "elevation")]
    pub pressure: Option<String>,
    /// Elevation above the sea, "310 m": pressure of the standard atmosphere
    #[arg(long, allow_hyphen_values = true)]
    pub elevation: Option<String>,
}

/// Equilibrium.
#[derive(Debug, Args)]
#[command(group = clap::ArgGroup::new("known").required(true).args(["relative_humidity", "moisture"]))]
pub struct EquilibriumLookup {
    /// Crop, see `lookup crops`
    #[arg(long)]
    pub crop: String,
    /// Temperature of air and grain, "60 F"
    #[arg(long, allow_hyphen_values = true)]
    pub air: String,
    /// Relative humidity of the air, "65 %": gives the moisture
    #[arg(long, allow_hyphen_values = true)]
    pub relative_humidity: Option<String>,
    /// Moisture of the grain, "15 %" wet basis or "17.6 % db": gives the humidity
    #[arg(long, allow_hyphen_values = true)]
    pub moisture: Option<String>,
    /// A published relation by its id; left out, the crop's default
    #[arg(long)]
    pub relation: Option<String>,
}

/// Resistance.
#[derive(Debug, Args)]
#[command(group = clap::ArgGroup::new("air speed").required(true).args(["velocity", "airflow"]))]
pub struct ResistanceLookup {
    /// Crop, see `lookup crops`
    #[arg(long)]
    pub crop: String,
    /// Superficial velocity, "0.1 m/s" or "20 ft/min"
    #[arg(long, allow_hyphen_values = true)]
    pub velocity: Option<String>,
    /// Depth of grain, "20 ft"
    #[arg(long, allow_hyphen_values = true)]
    pub depth: Option<String>,
    /// Airflow per grain, "1 cfm/bu"; needs the depth; "0.8 m3/min/t" also the bulk density
    #[arg(long, allow_hyphen_values = true, requires = "depth")]
    pub airflow: Option<String>,
    /// Bulk density as filled, "720 kg/m3": for an airflow per tonne
    #[arg(long, allow_hyphen_values = true, requires = "airflow")]
    pub bulk_density: Option<String>,
    /// Multiplier for packing; 1 is loose fill, as published
    #[arg(long, default_value_t = 1.0, allow_hyphen_values = true)]
    pub packing: f64,
    /// Fines by mass, "5 %"
    #[arg(long, allow_hyphen_values = true)]
    pub fines: Option<String>,
    /// Which way the air goes through the grain
    #[arg(long, value_enum, default_value = "vertical")]
    pub direction: Direction,
    /// Moisture of the grain, "24 %": asks for the correction for wet grain
    #[arg(long, allow_hyphen_values = true)]
    pub moisture: Option<String>,
    /// A row of the published table by its id, as corn-shelled-low-airflow; left out, the crop's main row
    #[arg(long)]
    pub relation: Option<String>,
}

/// Ways of the air through grain.
#[derive(Debug, Clone, Copy, ValueEnum)]
pub enum Direction {
    /// Up or down, as the published laws were measured
    Vertical,
    /// Level
    Horizontal,
}

impl From<Direction> for advice::lookup::resistance::Direction {
    fn from(direction: Direction) -> Self {
        match direction {
            Direction::Vertical => Self::Vertical,
            Direction::Horizontal => Self::Horizontal,
        }
    }
}

/// Storage time.
#[derive(Debug, Args)]
pub struct StorageLookup {
    /// Crop, see `lookup crops`
    #[arg(long)]
    pub crop: String,
    /// Moisture, "20 %" wet basis
    #[arg(long, allow_hyphen_values = true)]
    pub moisture: String,
    /// Temperature of the grain, "60 F"
    #[arg(long, allow_hyphen_values = true)]
    pub temperature: String,
    /// Dry-matter loss allowed, "0.5 %", for relations that know it (corn)
    #[arg(long, allow_hyphen_values = true)]
    pub loss: Option<String>,
}

/// Thin-layer drying.
#[derive(Debug, Args)]
pub struct DryingLookup {
    /// Crop, see `lookup crops`
    #[arg(long)]
    pub crop: String,
    /// Moisture at the start, "25 %" wet basis
    #[arg(long, allow_hyphen_values = true)]
    pub initial: String,
    /// Temperature of the drying air, "60 C"
    #[arg(long, allow_hyphen_values = true)]
    pub air: String,
    /// Relative humidity of the drying air, "20 %"
    #[arg(long, allow_hyphen_values = true)]
    pub relative_humidity: String,
    /// Velocity of the drying air, "0.2 m/s", for laws that contain it
    #[arg(long, allow_hyphen_values = true)]
    pub velocity: Option<String>,
    /// Time in that air, "4 h"
    #[arg(long, allow_hyphen_values = true)]
    pub time: String,
    /// A published law by its id (as TL-C1); left out, the crop's own kernel
    #[arg(long)]
    pub kinetics: Option<String>,
}

/// Grain.
#[derive(Debug, Args)]
pub struct GrainLookup {
    /// Crop, see `lookup crops`
    #[arg(long)]
    pub crop: String,
    /// Moisture, "20 %" wet basis
    #[arg(long, allow_hyphen_values = true)]
    pub moisture: String,
    /// Temperature, 20 °C when left out
    #[arg(long, allow_hyphen_values = true, default_value = "20 C")]
    pub temperature: String,
}

#[cfg(test)]
mod tests {
    use clap::CommandFactory;

    #[test]
    fn the_command_tree_is_sound() {
        super::CommandLine::command().debug_assert();
    }
}

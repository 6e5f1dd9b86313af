//! Options of the answers on fuel.

use clap::Args;

/// Orifice.
#[derive(Debug, Args)]
#[command(group = clap::ArgGroup::new("hole or heat").required(true).args(["diameter", "heat"]))]
pub struct OrificeLookup {
    /// Fuel: propane or natural gas
    #[arg(long)]
    pub fuel: String,
    /// Diameter of the hole, "0.125 in": gives the heat
    #[arg(long, allow_hyphen_values = true)]
    pub diameter: Option<String>,
    /// Heat on the invoice (higher heating value), "1 MMBtu/h": gives the diameter
    #[arg(long, allow_hyphen_values = true)]
    pub heat: Option<String>,
    /// Gauge pressure ahead of the hole, "5 psi" or "11 in wc"
    #[arg(long, allow_hyphen_values = true)]
    pub pressure: String,
    /// Temperature of the gas
    #[arg(long, allow_hyphen_values = true, default_value = "60 F")]
    pub temperature: String,
    /// Discharge coefficient; 0.90 is a drilled spud
    #[arg(long, allow_hyphen_values = true, default_value = "0.90")]
    pub coefficient: String,
    /// Elevation above the sea, "700 ft"
    #[arg(long, allow_hyphen_values = true)]
    pub elevation: Option<String>,
}

/// Pipe.
#[derive(Debug, Args)]
#[command(group = clap::ArgGroup::new("load").args(["flow", "heat"]))]
pub struct PipeLookup {
    /// Fuel: propane or natural gas
    #[arg(long)]
    pub fuel: String,
    /// Length with that of fittings, "120 ft"
    #[arg(long, allow_hyphen_values = true)]
    pub length: String,
    /// Gauge pressure at the beginning, "10 psi" or "11 in wc"
    #[arg(long, allow_hyphen_values = true)]
    pub pressure: String,
    /// Gas, "800 ft3/h"
    #[arg(long, allow_hyphen_values = true)]
    pub flow: Option<String>,
    /// Heat on the invoice instead of the gas, "2 MMBtu/h"
    #[arg(long, allow_hyphen_values = true)]
    pub heat: Option<String>,
    /// Schedule 40 size, "1-1/4", or an inside diameter with its unit, "26 mm"
    #[arg(long, allow_hyphen_values = true)]
    pub size: Option<String>,
    /// Pressure that may be lost, "0.5 in wc": with a load it gives the size, with a size what it carries
    #[arg(long, allow_hyphen_values = true)]
    pub drop: Option<String>,
    /// Elevation above the sea, "700 ft"
    #[arg(long, allow_hyphen_values = true)]
    pub elevation: Option<String>,
}

/// Tank.
#[derive(Debug, Args)]
pub struct TankLookup {
    /// Outside diameter, "41 in"
    #[arg(long, allow_hyphen_values = true)]
    pub diameter: String,
    /// Length, "192 in"
    #[arg(long, allow_hyphen_values = true)]
    pub length: String,
    /// How full, "30 %"
    #[arg(long, allow_hyphen_values = true)]
    pub fill: String,
    /// Outdoor temperature, "20 F"
    #[arg(long, allow_hyphen_values = true)]
    pub air: String,
    /// Gauge pressure the line needs, "15 psi"; left out, that of the trade's table
    #[arg(long, allow_hyphen_values = true)]
    pub pressure: Option<String>,
    /// Heat wanted of it on the invoice, "1 MMBtu/h"
    #[arg(long, allow_hyphen_values = true)]
    pub heat: Option<String>,
    /// Elevation above the sea, "700 ft"
    #[arg(long, allow_hyphen_values = true)]
    pub elevation: Option<String>,
}

/// Fuel.
#[derive(Debug, Args)]
pub struct FuelLookup {
    /// Fuel: propane or natural gas
    #[arg(long)]
    pub fuel: String,
    /// Heat to the air, "500000 Btu/h": gives what it takes
    #[arg(long, allow_hyphen_values = true)]
    pub heat: Option<String>,
    /// Efficiency of an indirect heater on the lower heating value, "80 %"; left out, a direct flame
    #[arg(long, allow_hyphen_values = true)]
    pub efficiency: Option<String>,
}

/// Combustion.
#[derive(Debug, Args)]
pub struct CombustionLookup {
    /// Fuel: propane or natural gas
    #[arg(long)]
    pub fuel: String,
    /// Air where the airflow is measured (fan inlet), "40 F"
    #[arg(long, allow_hyphen_values = true)]
    pub dry_bulb: String,
    /// Its relative humidity, "70 %"
    #[arg(long, allow_hyphen_values = true)]
    pub relative_humidity: String,
    /// Airflow there, "20000 cfm"
    #[arg(long, allow_hyphen_values = true)]
    pub airflow: String,
    /// Rise wanted, "20 F"
    #[arg(long, allow_hyphen_values = true)]
    pub rise: String,
    /// Efficiency of an indirect heater on the lower heating value, "80 %"; left out, a direct flame
    #[arg(long, allow_hyphen_values = true)]
    pub efficiency: Option<String>,
    /// Most heat the burner gives the air, "1 MMBtu/h"
    #[arg(long, allow_hyphen_values = true)]
    pub capacity: Option<String>,
    /// Full fire over least steady fire, "4"; 1 is an on-off burner
    #[arg(long, allow_hyphen_values = true, requires = "capacity")]
    pub turndown: Option<String>,
    /// Barometric pressure, "101.325 kPa"
    #[arg(long, allow_hyphen_values = true, conflicts_with = "elevation")]
    pub pressure: Option<String>,
    /// Elevation above the sea, "700 ft"
    #[arg(long, allow_hyphen_values = true)]
    pub elevation: Option<String>,
}

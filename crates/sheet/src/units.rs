//! The units that may be written, for each kind of quantity: spellings, exact factor and offset to SI.
//!
//! Factors are definitions (foot 0.3048 m, pound 0.45359237 kg, US bushel 2150.42 in³, British thermal unit of the
//! International Table 1055.05585262 J) except columns of water and mercury, which depend on a temperature: the trade's
//! 249.089 Pa (4 °C) and 3386.389 Pa (0 °C). Leaves out prices and moisture bases, which are no matter of a factor.

use notice::Kind;
use notice::quantity::{BTU_J, BUSHEL_M3, CFM_M3_S, GALLON_M3, HORSEPOWER_W, INCH_WATER_PA, POUND_KG};

/// A unit of one kind: SI = value × factor + offset.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// Spellings, the one shown first; spaces, dots, raised dots and brackets are ignored in comparing.
    pub names: &'static [&'static str],
    /// Factor to SI.
    pub factor: f64,
    /// Offset in SI, for temperatures.
    pub offset: f64,
}

const fn unit(names: &'static [&'static str], factor: f64) -> Unit {
    Unit { names, factor, offset: 0.0 }
}

const FOOT: f64 = 0.3048;
const INCH: f64 = 0.0254;
/// Inch of mercury at 0 °C, Pa.
const INCH_MERCURY_PA: f64 = 3386.389;
/// Pound-force per square inch, Pa: 0.45359237 × 9.80665 / 0.0254².
const PSI_PA: f64 = POUND_KG * 9.80665 / (INCH * INCH);
/// Imperial bushel, m³ (8 imperial gallons).
const IMPERIAL_BUSHEL_M3: f64 = 36.36872e-3;
/// US gallon, m³ (231 in³).
pub const US_GALLON_M3: f64 = GALLON_M3;
/// Imperial gallon, m³.
pub const IMPERIAL_GALLON_M3: f64 = 4.54609e-3;

const LENGTH: &[Unit] = &[
    unit(&["ft", "'", "feet", "foot"], FOOT),
    unit(&["m", "metre", "metres", "meter", "meters"], 1.0),
    unit(&["in", "\"", "inch", "inches"], INCH),
    unit(&["cm"], 0.01),
    unit(&["mm"], 1e-3),
];
const AREA: &[Unit] = &[
    unit(&["ft2", "sq ft", "sqft", "ft^2"], FOOT * FOOT),
    unit(&["m2", "sq m", "m^2"], 1.0),
    unit(&["in2", "sq in", "in^2"], INCH * INCH),
    unit(&["cm2", "cm^2"], 1e-4),
];
const VOLUME: &[Unit] = &[
    unit(&["m3", "m^3"], 1.0),
    unit(&["ft3", "cu ft", "cuft", "ft^3"], FOOT * FOOT * FOOT),
    unit(&["L", "litre", "litres", "liter", "liters"], 1e-3),
];
const GRAIN_VOLUME: &[Unit] = &[
    unit(&["bu", "bushel", "bushels"], BUSHEL_M3),
    unit(&["m3", "m^3"], 1.0),
    unit(&["ft3", "cu ft", "ft^3"], FOOT * FOOT * FOOT),
];
const VELOCITY: &[Unit] = &[
    unit(&["ft/min", "fpm"], FOOT / 60.0),
    unit(&["m/s"], 1.0),
    unit(&["cfm/ft2", "cfm/sq ft", "cfm/ft^2"], FOOT / 60.0),
    unit(&["m3/s/m2", "m3/(s m2)"], 1.0),
    unit(&["ft/s"], FOOT),
    unit(&["m/min"], 1.0 / 60.0),
    unit(&["cm/s"], 0.01),
];
const AIRFLOW: &[Unit] = &[
    unit(&["cfm", "ft3/min"], CFM_M3_S),
    unit(&["m3/h", "m3/hr"], 1.0 / 3600.0),
    unit(&["m3/s"], 1.0),
    unit(&["m3/min"], 1.0 / 60.0),
    unit(&["L/s"], 1e-3),
];
const SPECIFIC_AIRFLOW: &[Unit] = &[
    unit(&["cfm/bu"], CFM_M3_S / BUSHEL_M3),
    unit(&["m3/h/m3", "m3/(h m3)"], 1.0 / 3600.0),
    unit(&["L/s/m3", "L/(s m3)"], 1e-3),
    unit(&["m3/min/m3", "m3/(min m3)"], 1.0 / 60.0),
    unit(&["m3/s/m3", "m3/(s m3)", "1/s"], 1.0),
];
const AIRFLOW_PER_MASS: &[Unit] = &[
    unit(&["m3/min/t", "m3/(min t)", "m3/min/tonne"], 1.0 / 60e3),
    unit(&["m3/h/t", "m3/(h t)", "m3/h/tonne"], 1.0 / 3600e3),
    unit(&["L/s/t", "L/(s t)", "L/s/tonne"], 1e-6),
    unit(&["m3/s/t", "m3/(s t)", "m3/s/tonne"], 1e-3),
    unit(&["cfm/t", "cfm/tonne"], CFM_M3_S / 1000.0),
    unit(&["cfm/short ton"], CFM_M3_S / (2000.0 * POUND_KG)),
    unit(&["m3/s/kg", "m3/(s kg)"], 1.0),
];
const PRESSURE: &[Unit] = &[
    unit(
        &[
            "in wc",
            "in water",
            "in w.g.",
            "in wg",
            "inH2O",
            "inch water",
            "inches water",
            "inch wc",
            "inches wc",
            "in of water",
            "inches of water",
            "iwc",
            "iwg",
            "\" wc",
            "\" wg",
            "\" water",
        ],
        INCH_WATER_PA,
    ),
    unit(&["Pa"], 1.0),
    unit(&["kPa"], 1e3),
    unit(&["hPa", "mbar"], 100.0),
    unit(&["mm wc", "mmH2O", "mm water", "mm wg"], INCH_WATER_PA / 25.4),
    unit(&["psi"], PSI_PA),
];
const BAROMETRIC: &[Unit] = &[
    unit(&["kPa"], 1e3),
    unit(&["Pa"], 1.0),
    unit(&["hPa", "mbar", "mb"], 100.0),
    unit(&["inHg", "inches Hg", "inch Hg", "inches of mercury", "\" Hg"], INCH_MERCURY_PA),
    unit(&["mmHg"], INCH_MERCURY_PA / 25.4),
    unit(&["psi", "psia"], PSI_PA),
    unit(&["atm"], 101_325.0),
];
const PRESSURE_GRADIENT: &[Unit] = &[
    unit(&["in wc/ft", "in water/ft", "inH2O/ft", "in wg/ft"], INCH_WATER_PA / FOOT),
    unit(&["Pa/m"], 1.0),
    unit(&["kPa/m"], 1e3),
];
const TEMPERATURE: &[Unit] = &[
    Unit { names: &["F", "°F", "degF", "deg F"], factor: 1.0 / 1.8, offset: -32.0 / 1.8 },
    unit(&["C", "°C", "degC", "deg C"], 1.0),
    Unit { names: &["K", "kelvin"], factor: 1.0, offset: -273.15 },
];
const TEMPERATURE_DIFFERENCE: &[Unit] =
    &[unit(&["K", "C", "°C", "degC", "deg C", "kelvin"], 1.0), unit(&["F", "°F", "degF", "deg F"], 1.0 / 1.8)];
const FRACTION: &[Unit] = &[unit(&["%", "percent", "pct"], 0.01)];
const POINTS: &[Unit] = &[unit(&["%", "points", "point", "% wb", "percent", "percentage points"], 0.01)];
const RELATIVE_HUMIDITY: &[Unit] = &[unit(&["%", "% RH", "percent", "pct"], 0.01)];
const HUMIDITY_RATIO: &[Unit] =
    &[unit(&["kg/kg", "lb/lb", ""], 1.0), unit(&["g/kg"], 1e-3), unit(&["gr/lb", "grains/lb"], 1.0 / 7000.0)];
const MASS: &[Unit] = &[
    unit(&["t", "tonne", "tonnes", "metric ton", "metric tons", "Mg"], 1000.0),
    unit(&["kg"], 1.0),
    unit(&["lb", "lbs", "pound", "pounds"], POUND_KG),
    unit(&["short ton", "short tons"], 2000.0 * POUND_KG),
    unit(&["long ton", "long tons"], 2240.0 * POUND_KG),
    unit(&["cwt"], 100.0 * POUND_KG),
    unit(&["g"], 1e-3),
];
const BULK_DENSITY: &[Unit] = &[
    unit(&["lb/bu", "lbs/bu"], POUND_KG / BUSHEL_M3),
    unit(&["kg/m3", "kg/m^3", "g/L"], 1.0),
    unit(&["kg/hL"], 10.0),
    unit(&["lb/ft3", "lb/cu ft", "lb/ft^3"], POUND_KG / (FOOT * FOOT * FOOT)),
    unit(&["lb/imp bu"], POUND_KG / IMPERIAL_BUSHEL_M3),
    unit(&["t/m3"], 1000.0),
];
const DENSITY: &[Unit] = &[
    unit(&["kg/m3", "kg/m^3"], 1.0),
    unit(&["lb/ft3", "lb/cu ft", "lb/ft^3"], POUND_KG / (FOOT * FOOT * FOOT)),
    unit(&["g/cm3"], 1000.0),
];
const ENERGY: &[Unit] = &[
    unit(&["kWh"], 3.6e6),
    unit(&["J"], 1.0),
    unit(&["kJ"], 1e3),
    unit(&["MJ"], 1e6),
    unit(&["GJ"], 1e9),
    unit(&["MWh"], 3.6e9),
    unit(&["Btu"], BTU_J),
    unit(&["MMBtu"], 1e6 * BTU_J),
    unit(&["therm", "therms"], 1e5 * BTU_J),
];
const POWER: &[Unit] = &[
    unit(&["kW"], 1e3),
    unit(&["hp", "horsepower"], HORSEPOWER_W),
    unit(&["W"], 1.0),
    unit(&["MW"], 1e6),
    unit(&["Btu/h", "Btu/hr", "Btuh"], BTU_J / 3600.0),
    unit(&["MMBtu/h", "MMBtu/hr", "MMBtuh"], 1e6 * BTU_J / 3600.0),
];
const HEAT_RATE: &[Unit] = &[
    unit(&["Btu/h", "Btu/hr", "Btuh"], BTU_J / 3600.0),
    unit(&["kW"], 1e3),
    unit(&["MMBtu/h", "MMBtu/hr", "MMBtuh"], 1e6 * BTU_J / 3600.0),
    unit(&["W"], 1.0),
    unit(&["MW"], 1e6),
    unit(&["hp", "horsepower"], HORSEPOWER_W),
];
const TIME: &[Unit] = &[
    unit(&["h", "hr", "hrs", "hour", "hours"], 3600.0),
    unit(&["min", "minute", "minutes"], 60.0),
    unit(&["s", "sec", "second", "seconds"], 1.0),
    unit(&["d", "day", "days"], 86_400.0),
];
const MASS_FLUX: &[Unit] = &[
    unit(&["kg/s/m2", "kg/(s m2)"], 1.0),
    unit(&["lb/h/ft2", "lb/(h ft2)"], POUND_KG / (3600.0 * FOOT * FOOT)),
    unit(&["kg/h/m2", "kg/(h m2)"], 1.0 / 3600.0),
];
const SPECIFIC_HEAT: &[Unit] = &[
    unit(&["kJ/kg/K", "kJ/(kg K)", "kJ/kg/°C", "kJ/(kg °C)"], 1e3),
    unit(&["J/kg/K", "J/(kg K)"], 1.0),
    unit(&["Btu/lb/F", "Btu/(lb F)", "Btu/lb/°F", "Btu/(lb °F)"], BTU_J * 1.8 / POUND_KG),
];
const SPECIFIC_ENTHALPY: &[Unit] =
    &[unit(&["kJ/kg"], 1e3), unit(&["J/kg"], 1.0), unit(&["MJ/kg"], 1e6), unit(&["Btu/lb"], BTU_J / POUND_KG)];
const FORCE: &[Unit] =
    &[unit(&["N"], 1.0), unit(&["kN"], 1e3), unit(&["lb", "lbf", "pound", "pounds"], POUND_KG * 9.80665)];
const GAS_PRESSURE: &[Unit] = &[
    unit(&["psi", "psig"], PSI_PA),
    unit(&["in wc", "in water", "in w.g.", "in wg", "inH2O", "iwc", "\" wc"], INCH_WATER_PA),
    unit(&["kPa"], 1e3),
    unit(&["Pa"], 1.0),
    unit(&["bar"], 1e5),
    unit(&["mbar", "hPa"], 100.0),
];
const GAS_FLOW: &[Unit] = &[
    unit(&["ft3/h", "cfh", "cu ft/h", "ft3/hr"], FOOT * FOOT * FOOT / 3600.0),
    unit(&["m3/h", "m3/hr"], 1.0 / 3600.0),
    unit(&["m3/s"], 1.0),
    unit(&["L/s"], 1e-3),
];
const MASS_FLOW: &[Unit] = &[
    unit(&["lb/h", "lb/hr"], POUND_KG / 3600.0),
    unit(&["kg/h", "kg/hr"], 1.0 / 3600.0),
    unit(&["kg/s"], 1.0),
    unit(&["lb/min"], POUND_KG / 60.0),
    unit(&["g/s"], 1e-3),
];
const LIQUID_FLOW: &[Unit] = &[
    unit(&["gal/h", "gph", "gal/hr"], US_GALLON_M3 / 3600.0),
    unit(&["L/h", "L/hr"], 1e-3 / 3600.0),
    unit(&["m3/h"], 1.0 / 3600.0),
    unit(&["imp gal/h"], IMPERIAL_GALLON_M3 / 3600.0),
];
const LIQUID_VOLUME: &[Unit] = &[
    unit(&["gal", "gallon", "gallons", "US gal"], US_GALLON_M3),
    unit(&["L", "litre", "litres", "liter", "liters"], 1e-3),
    unit(&["m3", "m^3"], 1.0),
    unit(&["imp gal", "imperial gallons"], IMPERIAL_GALLON_M3),
];
const VOLUMETRIC_HEAT: &[Unit] = &[
    unit(&["Btu/ft3", "Btu/cu ft"], BTU_J / (FOOT * FOOT * FOOT)),
    unit(&["MJ/m3"], 1e6),
    unit(&["kJ/m3"], 1e3),
    unit(&["kWh/m3"], 3.6e6),
];
const VOLTAGE: &[Unit] = &[unit(&["V", "volt", "volts"], 1.0), unit(&["kV"], 1e3)];
const CURRENT: &[Unit] = &[unit(&["A", "amp", "amps", "ampere", "amperes"], 1.0)];
const APPARENT_POWER: &[Unit] = &[unit(&["kVA"], 1e3), unit(&["VA"], 1.0)];
const SOUND_LEVEL: &[Unit] = &[unit(&["dB", "dB(A)", "dBA", "dB A"], 1.0)];
const FREQUENCY: &[Unit] = &[unit(&["Hz", "hertz"], 1.0), unit(&["kHz"], 1e3)];
const ROTATION: &[Unit] = &[unit(&["rpm", "rev/min", "1/min"], 1.0 / 60.0), unit(&["rev/s", "1/s"], 1.0)];
const NUMBER: &[Unit] = &[unit(&[""], 1.0)];

/// Returns the units of a kind, customary ones first.
///
/// Moistures are listed by their bases without a common factor; [`crate::quantity()`] converts between them.
pub fn units(kind: Kind) -> &'static [Unit] {
    match kind {
        Kind::Length | Kind::SmallLength | Kind::Bore => LENGTH,
        Kind::Area => AREA,
        Kind::Volume => VOLUME,
        Kind::GrainVolume => GRAIN_VOLUME,
        Kind::Velocity => VELOCITY,
        Kind::Airflow => AIRFLOW,
        Kind::SpecificAirflow => SPECIFIC_AIRFLOW,
        Kind::Pressure => PRESSURE,
        Kind::Barometric => BAROMETRIC,
        Kind::PressureGradient => PRESSURE_GRADIENT,
        Kind::Temperature => TEMPERATURE,
        Kind::TemperatureDifference => TEMPERATURE_DIFFERENCE,
        Kind::MoistureWetBasis => WET_BASIS,
        Kind::MoistureDryBasis => DRY_BASIS,
        Kind::Fraction => FRACTION,
        Kind::RelativeHumidity => RELATIVE_HUMIDITY,
        Kind::HumidityRatio => HUMIDITY_RATIO,
        Kind::Mass => MASS,
        Kind::BulkDensity => BULK_DENSITY,
        Kind::Density => DENSITY,
        Kind::ElectricEnergy | Kind::Heat => ENERGY,
        Kind::ElectricPower | Kind::ShaftPower => POWER,
        Kind::HeatRate => HEAT_RATE,
        Kind::Hours | Kind::Days => TIME,
        Kind::MassFlux => MASS_FLUX,
        Kind::SpecificHeat => SPECIFIC_HEAT,
        Kind::SpecificEnthalpy => SPECIFIC_ENTHALPY,
        Kind::Force => FORCE,
        Kind::GasPressure => GAS_PRESSURE,
        Kind::GasFlow => GAS_FLOW,
        Kind::MassFlow => MASS_FLOW,
        Kind::LiquidFlow => LIQUID_FLOW,
        Kind::LiquidVolume => LIQUID_VOLUME,
        Kind::VolumetricHeat => VOLUMETRIC_HEAT,
        Kind::Voltage => VOLTAGE,
        Kind::Current => CURRENT,
        Kind::ApparentPower => APPARENT_POWER,
        Kind::SoundLevel => SOUND_LEVEL,
        Kind::Frequency => FREQUENCY,
        Kind::Rotation => ROTATION,
        Kind::Number => NUMBER,
    }
}

/// Spellings of wet-basis moisture.
pub const WET_BASIS: &[Unit] = &[unit(&["%", "% wb", "% w.b.", "percent", "percent wb", "% wet basis"], 0.01)];
/// Spellings of dry-basis moisture.
pub const DRY_BASIS: &[Unit] = &[unit(&["% db", "% d.b.", "percent db", "% dry basis"], 0.01)];

/// Returns the units of an airflow per mass of grain, to m³/s per kg: no matter of a factor to an airflow per volume.
pub fn airflow_per_mass() -> &'static [Unit] {
    AIRFLOW_PER_MASS
}

/// Returns the units of a difference of moistures in percentage points.
pub fn points() -> &'static [Unit] {
    POINTS
}

/// What a spelling is compared by: no spaces, dots, raised dots, brackets; one form of each sign.
pub fn key(spelling: &str) -> String {
    spelling
        .chars()
        .filter_map(|c| match c {
            '.' | '·' | '⋅' | '*' | '(' | ')' => None,
            c if c.is_whitespace() => None,
            '²' => Some('2'),
            '³' => Some('3'),
            '′' | '’' | '‘' => Some('\''),
            '″' | '”' | '“' => Some('"'),
            'º' | '˚' => Some('°'),
            'μ' | 'µ' => Some('u'),
            '⁄' | '∕' => Some('/'),
            '₂' => Some('2'),
            '％' => Some('%'),
            c => Some(c),
        })
        .collect()
}

/// The unit of a spelling: as written, else without regard to case where only one unit fits.
pub fn find(table: &'static [Unit], spelling: &str) -> Option<&'static Unit> {
    let wanted = key(spelling);
    let exact = table.iter().find(|unit| unit.names.iter().any(|name| key(name) == wanted));
    exact.or_else(|| {
        let lower = wanted.to_lowercase();
        let mut fits = table.iter().filter(|unit| unit.names.iter().any(|name| key(name).to_lowercase() == lower));
        let first = fits.next();
        if fits.next().is_some() { None } else { first }
    })
}

//! A number with its kind, kept in SI and shown in the units the reader asks for.

use serde::{Deserialize, Serialize};

/// Which units a reader wants to see.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
#[serde(rename_all = "lowercase")]
pub enum UnitSystem {
    /// International units.
    Si,
    /// United States customary units.
    #[default]
    Us,
}

/// What a number measures. The comment gives the unit inside the program and the units shown, SI and US.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
#[serde(rename_all = "kebab-case")]
pub enum Kind {
    /// m; m, ft
    Length,
    /// m; mm, in.
    SmallLength,
    /// m²; m², ft²
    Area,
    /// m³; m³, ft³
    Volume,
    /// m³ of grain space; m³, bu
    GrainVolume,
    /// m/s; m/s, ft/min
    Velocity,
    /// m³/s; m³/h, cfm
    Airflow,
    /// m³/s of air per m³ of grain (1/s); m³/(h·m³), cfm/bu
    SpecificAirflow,
    /// Pa; Pa, in. water
    Pressure,
    /// Pa absolute; kPa, in. Hg
    Barometric,
    /// Pa/m; Pa/m, in. water per ft
    PressureGradient,
    /// °C; °C, °F
    Temperature,
    /// K; K, °F
    TemperatureDifference,
    /// fraction wet basis; % w.b.
    MoistureWetBasis,
    /// fraction dry basis; % d.b.
    MoistureDryBasis,
    /// fraction; %
    Fraction,
    /// fraction of relative humidity; %
    RelativeHumidity,
    /// kg/kg; g/kg, gr/lb
    HumidityRatio,
    /// kg; t, lb
    Mass,
    /// kg/m³; kg/m³, lb/bu
    BulkDensity,
    /// kg/m³; kg/m³, lb/ft³
    Density,
    /// J; kWh
    ElectricEnergy,
    /// J; MJ, Btu
    Heat,
    /// W; kW
    ElectricPower,
    /// W; kW, hp
    ShaftPower,
    /// W; kW, Btu/h
    HeatRate,
    /// s; h
    Hours,
    /// s; d
    Days,
    /// kg/(s·m²); kg/(s·m²), lb/(h·ft²)
    MassFlux,
    /// J/(kg K); kJ/(kg K), Btu/(lb °F)
    SpecificHeat,
    /// J/kg; kJ/kg, Btu/lb
    SpecificEnthalpy,
    /// m, small holes; mm, in.
    Bore,
    /// N; kN, lb
    Force,
    /// Pa gauge of fuel gas; kPa, psi
    GasPressure,
    /// m³/s of fuel gas at 60 °F and 30 in. of mercury; m³/h, ft³/h
    GasFlow,
    /// kg/s; kg/h, lb/h
    MassFlow,
    /// m³/s of liquid; L/h, gal/h
    LiquidFlow,
    /// m³ of liquid; L, gal
    LiquidVolume,
    /// J/m³; MJ/m³, Btu/ft³
    VolumetricHeat,
    /// V; V
    Voltage,
    /// A; A
    Current,
    /// VA; kVA
    ApparentPower,
    /// dB; dB
    SoundLevel,
    /// Hz; Hz
    Frequency,
    /// revolutions per second; rpm
    Rotation,
    /// 1; plain number
    Number,
}

/// A number in SI with its kind.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(utoipa::ToSchema))]
pub struct Quantity {
    /// Value in the unit kept inside the program.
    pub value: f64,
    /// What it measures.
    pub kind: Kind,
}

/// How a kind is shown: symbol, factor and offset from the unit kept inside, usual decimals.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shown {
    /// Unit symbol, empty for plain numbers.
    pub unit: &'static str,
    /// Shown = value × factor + offset.
    pub factor: f64,
    /// See `factor`.
    pub offset: f64,
    /// Decimals that read well.
    pub decimals: usize,
}

/// Exact size of the volume bushel, 2150.42 in³.
pub const BUSHEL_M3: f64 = 2150.42 * 0.0254 * 0.0254 * 0.0254;
/// Inch of water at 4 °C, Pa, as the trade's tables use it.
pub const INCH_WATER_PA: f64 = 249.089;
/// Cubic foot per minute, m³/s.
pub const CFM_M3_S: f64 = 0.3048 * 0.3048 * 0.3048 / 60.0;
/// British thermal unit (IT), J.
pub const BTU_J: f64 = 1055.05585262;
/// Pound, kg.
pub const POUND_KG: f64 = 0.45359237;
/// US gallon (231 in³), m³.
pub const GALLON_M3: f64 = 3.785411784e-3;
/// Mechanical horsepower (550 ft·lbf/s), W.
pub const HORSEPOWER_W: f64 = 745.6998715822702;

impl Kind {
    /// Every kind, in the order of their declaration.
    pub const ALL: &[Self] = &[
        Self::Length,
        Self::SmallLength,
        Self::Area,
        Self::Volume,
        Self::GrainVolume,
        Self::Velocity,
        Self::Airflow,
        Self::SpecificAirflow,
        Self::Pressure,
        Self::Barometric,
        Self::PressureGradient,
        Self::Temperature,
        Self::TemperatureDifference,
        Self::MoistureWetBasis,
        Self::MoistureDryBasis,
        Self::Fraction,
        Self::RelativeHumidity,
        Self::HumidityRatio,
        Self::Mass,
        Self::BulkDensity,
        Self::Density,
        Self::ElectricEnergy,
        Self::Heat,
        Self::ElectricPower,
        Self::ShaftPower,
        Self::HeatRate,
        Self::Hours,
        Self::Days,
        Self::MassFlux,
        Self::SpecificHeat,
        Self::SpecificEnthalpy,
        Self::Bore,
        Self::Force,
        Self::GasPressure,
        Self::GasFlow,
        Self::MassFlow,
        Self::LiquidFlow,
        Self::LiquidVolume,
        Self::VolumetricHeat,
        Self::Voltage,
        Self::Current,
        Self::ApparentPower,
        Self::SoundLevel,
        Self::Frequency,
        Self::Rotation,
        Self::Number,
    ];

    /// How the kind is shown in a unit system.
    pub fn shown(self, system: UnitSystem) -> Shown {
        use UnitSystem::{Si, Us};
        let show = |unit, factor, decimals| Shown { unit, factor, offset: 0.0, decimals };
        match (self, system) {
            (Self::Length, Si) => show("m", 1.0, 2),
            (Self::Length, Us) => show("ft", 1.0 / 0.3048, 1),
            (Self::SmallLength, Si) => show("mm", 1000.0, 0),
            (Self::SmallLength, Us) => show("in.", 1.0 / 0.0254, 1),
            (Self::Area, Si) => show("m²", 1.0, 1),
            (Self::Area, Us) => show("ft²", 1.0 / (0.3048 * 0.3048), 0),
            (Self::Volume, Si) => show("m³", 1.0, 1),
            (Self::Volume, Us) => show("ft³", 1.0 / (0.3048 * 0.3048 * 0.3048), 0),
            (Self::GrainVolume, Si) => show("m³", 1.0, 1),
            (Self::GrainVolume, Us) => show("bu", 1.0 / BUSHEL_M3, 0),
            (Self::Velocity, Si) => show("m/s", 1.0, 3),
            (Self::Velocity, Us) => show("ft/min", 60.0 / 0.3048, 1),
            (Self::Airflow, Si) => show("m³/h", 3600.0, 0),
            (Self::Airflow, Us) => show("cfm", 1.0 / CFM_M3_S, 0),
            (Self::SpecificAirflow, Si) => show("m³/(h·m³)", 3600.0, 1),
            (Self::SpecificAirflow, Us) => show("cfm/bu", BUSHEL_M3 / CFM_M3_S, 2),
            (Self::Pressure, Si) => show("Pa", 1.0, 0),
            (Self::Pressure, Us) => show("in. water", 1.0 / INCH_WATER_PA, 2),
            (Self::Barometric, Si) => show("kPa", 1e-3, 2),
            (Self::Barometric, Us) => show("in. Hg", 1.0 / 3386.389, 2),
            (Self::PressureGradient, Si) => show("Pa/m", 1.0, 1),
            (Self::PressureGradient, Us) => show("in. water/ft", 0.3048 / INCH_WATER_PA, 4),
            (Self::Temperature, Si) => show("°C", 1.0, 1),
            (Self::Temperature, Us) => Shown { unit: "°F", factor: 1.8, offset: 32.0, decimals: 1 },
            (Self::TemperatureDifference, Si) => show("K", 1.0, 1),
            (Self::TemperatureDifference, Us) => show("°F", 1.8, 1),
            (Self::MoistureWetBasis, _) => show("% w.b.", 100.0, 1),
            (Self::MoistureDryBasis, _) => show("% d.b.", 100.0, 1),
            (Self::Fraction, _) => show("%", 100.0, 0),
            (Self::RelativeHumidity, _) => show("% RH", 100.0, 0),
            (Self::HumidityRatio, Si) => show("g/kg", 1000.0, 2),
            (Self::HumidityRatio, Us) => show("gr/lb", 7000.0, 1),
            (Self::Mass, Si) => show("t", 1e-3, 1),
            (Self::Mass, Us) => show("lb", 1.0 / POUND_KG, 0),
            (Self::BulkDensity, Si) => show("kg/m³", 1.0, 0),
            (Self::BulkDensity, Us) => show("lb/bu", BUSHEL_M3 / POUND_KG, 1),
            (Self::Density, Si) => show("kg/m³", 1.0, 3),
            (Self::Density, Us) => show("lb/ft³", 0.3048 * 0.3048 * 0.3048 / POUND_KG, 4),
            (Self::ElectricEnergy, _) => show("kWh", 1.0 / 3.6e6, 0),
            (Self::Heat, Si) => show("MJ", 1e-6, 1),
            (Self::Heat, Us) => show("Btu", 1.0 / BTU_J, 0),
            (Self::ElectricPower, _) => show("kW", 1e-3, 2),
            (Self::ShaftPower, Si) => show("kW", 1e-3, 2),
            (Self::ShaftPower, Us) => show("hp", 1.0 / HORSEPOWER_W, 2),
            (Self::HeatRate, Si) => show("kW", 1e-3, 1),
            (Self::HeatRate, Us) => show("Btu/h", 3600.0 / BTU_J, 0),
            (Self::Hours, _) => show("h", 1.0 / 3600.0, 1),
            (Self::Days, _) => show("d", 1.0 / 86400.0, 1),
            (Self::MassFlux, Si) => show("kg/(s·m²)", 1.0, 4),
            (Self::MassFlux, Us) => show("lb/(h·ft²)", 3600.0 * 0.3048 * 0.3048 / POUND_KG, 2),
            (Self::SpecificHeat, Si) => show("kJ/(kg·K)", 1e-3, 3),
            (Self::SpecificHeat, Us) => show("Btu/(lb·°F)", POUND_KG / (BTU_J * 1.8), 3),
            (Self::SpecificEnthalpy, Si) => show("kJ/kg", 1e-3, 1),
            (Self::SpecificEnthalpy, Us) => show("Btu/lb", POUND_KG / BTU_J, 1),
            (Self::Bore, Si) => show("mm", 1000.0, 2),
            (Self::Bore, Us) => show("in.", 1.0 / 0.0254, 4),
            (Self::Force, Si) => show("kN", 1e-3, 1),
            (Self::Force, Us) => show("lb", 1.0 / (POUND_KG * 9.80665), 0),
            (Self::GasPressure, Si) => show("kPa", 1e-3, 2),
            (Self::GasPressure, Us) => show("psi", 0.0254 * 0.0254 / (POUND_KG * 9.80665), 2),
            (Self::GasFlow, Si) => show("m³/h", 3600.0, 2),
            (Self::GasFlow, Us) => show("ft³/h", 3600.0 / (0.3048 * 0.3048 * 0.3048), 1),
            (Self::MassFlow, Si) => show("kg/h", 3600.0, 1),
            (Self::MassFlow, Us) => show("lb/h", 3600.0 / POUND_KG, 1),
            (Self::LiquidFlow, Si) => show("L/h", 3.6e6, 1),
            (Self::LiquidFlow, Us) => show("gal/h", 3600.0 / GALLON_M3, 2),
            (Self::LiquidVolume, Si) => show("L", 1000.0, 0),
            (Self::LiquidVolume, Us) => show("gal", 1.0 / GALLON_M3, 0),
            (Self::VolumetricHeat, Si) => show("MJ/m³", 1e-6, 2),
            (Self::VolumetricHeat, Us) => show("Btu/ft³", 0.3048 * 0.3048 * 0.3048 / BTU_J, 0),
            (Self::Voltage, _) => show("V", 1.0, 1),
            (Self::Current, _) => show("A", 1.0, 1),
            (Self::ApparentPower, _) => show("kVA", 1e-3, 1),
            (Self::SoundLevel, _) => show("dB", 1.0, 1),
            (Self::Frequency, _) => show("Hz", 1.0, 0),
            (Self::Rotation, _) => show("rpm", 60.0, 0),
            (Self::Number, _) => show("", 1.0, 2),
        }
    }
}

impl Kind {
    /// Decimals of a value in the unit shown: tenths of an hour, a day or a megajoule say nothing once there are a hundred.
    pub fn decimals(self, system: UnitSystem, value: f64) -> usize {
        match self {
            Self::Hours | Self::Days | Self::Heat if value.abs() >= 100.0 => 0,
            _ => self.shown(system).decimals,
        }
    }
}

/// Figures of an amount of heat in a sentence.
const IN_WORDS: i32 = 3;

impl Quantity {
    /// A quantity from its SI value.
    pub const fn new(value: f64, kind: Kind) -> Self {
        Self { value, kind }
    }

    /// As [`Quantity::show`], for a sentence: large amounts of heat to three figures, because no more of them is known.
    pub fn show_in_words(self, system: UnitSystem) -> String {
        let shown = self.kind.shown(system);
        let value = self.value * shown.factor;
        let heat = matches!(self.kind, Kind::Heat | Kind::HeatRate);
        // Nothing has no figures to round to.
        if !heat || !value.is_finite() || value.abs() < 1.0 {
            return self.show(system);
        }
        let place = value.abs().log10().floor() as i32 + 1 - IN_WORDS;
        if place <= 0 {
            return self.show(system);
        }
        let rounded = (value / 10f64.powi(place)).round() * 10f64.powi(place);
        let number = if rounded.abs() < 1e12 { format!("{rounded:.0}") } else { format!("{rounded:.3e}") };
        format!("{number}\u{a0}{}", shown.unit)
    }

    /// The number and its unit as shown in a unit system, with a non-breaking space between.
    pub fn show(self, system: UnitSystem) -> String {
        let shown = self.kind.shown(system);
        let value = self.value * shown.factor + shown.offset;
        // Hundreds of digits would say no more than a power of ten.
        let number = if value.abs() < 1e12 {
            format!("{value:.*}", self.kind.decimals(system, value))
        } else {
            format!("{value:.3e}")
        };
        // "-0.0" tells a reader nothing that "0.0" does not.
        let number = match number.strip_prefix('-') {
            Some(rest) if rest.chars().all(|c| c == '0' || c == '.') => rest.to_string(),
            _ => number,
        };
        if shown.unit.is_empty() { number } else { format!("{number}\u{a0}{}", shown.unit) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shows_in_both_systems() {
        assert_eq!(Quantity::new(-0.0001, Kind::Temperature).show(UnitSystem::Si), "0.0\u{a0}°C");
        assert_eq!(Quantity::new(20.0, Kind::Temperature).show(UnitSystem::Us), "68.0\u{a0}°F");
        // The trade's own equivalent: 1 cfm/bu is 13.39 L/s per m³.
        let heat = Quantity::new(199_594.0, Kind::HeatRate);
        assert_eq!(heat.show(UnitSystem::Us), "681043\u{a0}Btu/h");
        assert_eq!(heat.show_in_words(UnitSystem::Us), "681000\u{a0}Btu/h");
        assert_eq!(heat.show_in_words(UnitSystem::Si), "199.6\u{a0}kW");
        assert_eq!(Quantity::new(0.0, Kind::Heat).show_in_words(UnitSystem::Us), "0\u{a0}Btu");
        let one = Quantity::new(13.393e-3, Kind::SpecificAirflow);
        assert_eq!(one.show(UnitSystem::Us), "1.00\u{a0}cfm/bu");
        let hours = |h: f64| Quantity::new(3600.0 * h, Kind::Hours).show(UnitSystem::Si);
        assert_eq!((hours(12.5), hours(633.0)), ("12.5\u{a0}h".into(), "633\u{a0}h".into()));
    }
}

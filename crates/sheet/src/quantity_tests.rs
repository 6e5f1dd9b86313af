//! Spellings, exact factors and refusals of the quantity parser.

use super::*;

/// (kind, text, SI value, relative tolerance). Factors: definitions of the units (international yard and pound, US
/// bushel of 2150.42 in³, IT Btu); trade equivalents from the unit list of the reference, to the digits printed there.
const READ: &[(Kind, &str, f64)] = &[
    (Kind::Length, "36 ft", 36.0 * 0.3048),
    (Kind::Length, "36'", 36.0 * 0.3048),
    (Kind::Length, "36ft", 36.0 * 0.3048),
    (Kind::Length, "36 feet", 36.0 * 0.3048),
    (Kind::Length, "36\u{a0}ft.", 36.0 * 0.3048),
    (Kind::Length, "21 ft 6 in", 6.5532),
    (Kind::Length, "21' 6\"", 6.5532),
    (Kind::Length, "21′6″", 6.5532),
    (Kind::Length, "21 ft 6 inches", 6.5532),
    (Kind::Length, "11 m", 11.0),
    (Kind::Length, "1.1e1 m", 11.0),
    (Kind::Length, "24 in", 0.6096),
    (Kind::Length, "24 in.", 0.6096),
    (Kind::Length, "30 cm", 0.3),
    (Kind::Length, "300 mm", 0.3),
    (Kind::SmallLength, "6 mm", 0.006),
    (Kind::Area, "3 m2", 3.0),
    (Kind::Area, "3 m²", 3.0),
    (Kind::Area, "10 sq ft", 0.9290304),
    (Kind::Area, "10 ft²", 0.9290304),
    (Kind::Volume, "1 ft3", 0.028316846592),
    (Kind::GrainVolume, "1 bu", 0.03523907016688),
    (Kind::Velocity, "20 fpm", 0.1016),
    (Kind::Velocity, "20 ft/min", 0.1016),
    (Kind::Velocity, "20 cfm/ft2", 0.1016),
    (Kind::Velocity, "0.1 m/s", 0.1),
    (Kind::Velocity, "0.1 m³/s/m²", 0.1),
    (Kind::Airflow, "1000 cfm", 0.4719474432),
    (Kind::Airflow, "1000 CFM", 0.4719474432),
    (Kind::Airflow, "3600 m3/h", 1.0),
    (Kind::Airflow, "3600 m³/h", 1.0),
    (Kind::Airflow, "2 m3/s", 2.0),
    (Kind::Airflow, "500 L/s", 0.5),
    (Kind::SpecificAirflow, "3600 m3/h/m3", 1.0),
    (Kind::SpecificAirflow, "3600 m³/(h·m³)", 1.0),
    (Kind::SpecificAirflow, "13 L/s/m3", 0.013),
    (Kind::SpecificAirflow, "6 m3/min/m3", 0.1),
    (Kind::Pressure, "1 in wc", 249.089),
    (Kind::Pressure, "1 in. w.g.", 249.089),
    (Kind::Pressure, "1 inH2O", 249.089),
    (Kind::Pressure, "1 in H₂O", 249.089),
    (Kind::Pressure, "1 in. water", 249.089),
    (Kind::Pressure, "1 inches of water", 249.089),
    (Kind::Pressure, "250 Pa", 250.0),
    (Kind::Pressure, "0.25 kPa", 250.0),
    (Kind::Pressure, "2.5 mbar", 250.0),
    (Kind::Barometric, "101.325 kPa", 101_325.0),
    (Kind::Barometric, "1013.25 hPa", 101_325.0),
    (Kind::Barometric, "1013.25 mbar", 101_325.0),
    (Kind::Barometric, "1 in. Hg", 3386.389),
    (Kind::Barometric, "1 inHg", 3386.389),
    (Kind::Barometric, "1 psi", 6894.757293168361),
    (Kind::PressureGradient, "1 in wc/ft", 249.089 / 0.3048),
    (Kind::Temperature, "50 °F", 10.0),
    (Kind::Temperature, "50 F", 10.0),
    (Kind::Temperature, "50f", 10.0),
    (Kind::Temperature, "−40 °C", -40.0),
    (Kind::Temperature, "-40 F", -40.0),
    (Kind::Temperature, "283.15 K", 10.0),
    (Kind::Temperature, "10 deg C", 10.0),
    (Kind::TemperatureDifference, "9 °F", 5.0),
    (Kind::TemperatureDifference, "5 K", 5.0),
    (Kind::TemperatureDifference, "5 °C", 5.0),
    (Kind::MoistureWetBasis, "20 %", 0.2),
    (Kind::MoistureWetBasis, "20%", 0.2),
    (Kind::MoistureWetBasis, "20 % wb", 0.2),
    (Kind::MoistureWetBasis, "20%wb", 0.2),
    (Kind::MoistureWetBasis, "20 % w.b.", 0.2),
    (Kind::MoistureWetBasis, "25 % db", 0.2),
    (Kind::MoistureDryBasis, "20 % wb", 0.25),
    (Kind::MoistureDryBasis, "25 % d.b.", 0.25),
    (Kind::Fraction, "3 %", 0.03),
    (Kind::RelativeHumidity, "65 %", 0.65),
    (Kind::RelativeHumidity, "65 % RH", 0.65),
    (Kind::RelativeHumidity, "65% rh", 0.65),
    (Kind::HumidityRatio, "0.01", 0.01),
    (Kind::HumidityRatio, "10 g/kg", 0.01),
    (Kind::HumidityRatio, "70 gr/lb", 0.01),
    (Kind::Mass, "1 t", 1000.0),
    (Kind::Mass, "1 tonne", 1000.0),
    (Kind::Mass, "1000 kg", 1000.0),
    (Kind::Mass, "100 lb", 45.359237),
    (Kind::Mass, "1 short ton", 907.18474),
    (Kind::BulkDensity, "750 kg/m3", 750.0),
    (Kind::BulkDensity, "75 kg/hL", 750.0),
    (Kind::Density, "0.075 lb/ft3", 0.075 * 16.018463373960142),
    (Kind::ElectricEnergy, "1 kWh", 3.6e6),
    (Kind::Heat, "1 MMBtu", 1055.05585262e6),
    (Kind::ElectricPower, "7.5 kW", 7500.0),
    (Kind::ShaftPower, "10 hp", 7456.998715822702),
    (Kind::HeatRate, "1000000 Btu/h", 293_071.07017222222),
    (Kind::HeatRate, "1 MMBtu/h", 293_071.07017222222),
    (Kind::HeatRate, "20 kW", 20_000.0),
    (Kind::Hours, "1.5 h", 5400.0),
    (Kind::Hours, "90 min", 5400.0),
    (Kind::Days, "2 days", 172_800.0),
    (Kind::MassFlux, "0.1 kg/(s·m²)", 0.1),
    (Kind::MassFlux, "0.1 kg/s/m2", 0.1),
    (Kind::SpecificHeat, "1 Btu/(lb·°F)", 4186.8),
    (Kind::SpecificHeat, "1.8 kJ/kg/K", 1800.0),
    (Kind::SpecificHeat, "1.8 kJ/(kg·K)", 1800.0),
    (Kind::SpecificEnthalpy, "1 Btu/lb", 2326.0),
    (Kind::Number, "1.25", 1.25),
];

#[test]
fn an_airflow_may_be_per_volume_or_per_mass() {
    let per_volume = |text: &str| grain_airflow(text).unwrap_or_else(|e| panic!("{text}: {e:?}")).per_volume(750.0);
    let close = |text: &str, want: f64| assert!((per_volume(text) / want - 1.0).abs() < 1e-12, "{text}");
    close("13 L/s/m3", 0.013);
    // 0.8 m³/min for 1000 kg, which fill 1000/750 m³.
    close("0.8 m3/min/t", 0.8 / 60.0 * 0.75);
    close("0.8 m³/(min·t)", 0.8 / 60.0 * 0.75);
    close("48 m3/h/t", 0.8 / 60.0 * 0.75);
    close("10 L/s/t", 0.0075);
    close("0.01 m3/s/tonne", 0.0075);
    close("20 cfm/t", 20.0 * (0.3048f64.powi(3) / 60.0) / 1000.0 * 750.0);
    assert_eq!(grain_airflow("0.8 m3/min").unwrap_err().code, "unknown-unit");
    assert_eq!(grain_airflow("0.8").unwrap_err().code, "missing-unit");
}

#[test]
fn spellings_are_read_to_si() {
    for (kind, text, want) in READ {
        let got = quantity(*kind, text).unwrap_or_else(|e| panic!("{text}: {e:?}"));
        // Rounding of a product and a difference of doubles.
        assert!((got - want).abs() <= 1e-12 * want.abs().max(1.0), "{text}: {got} instead of {want}");
    }
    assert!(READ.len() >= 90);
}

#[test]
fn trade_equivalents_agree_to_the_digits_printed() {
    // Unit list of the agricultural engineers' references: 1 lb/bu = 12.8718 kg/m³; 1 cfm/bu = 13.39 L/(s·m³).
    // The list cuts its last digit off: by the definitions it is 12.87186.
    assert_eq!((quantity(Kind::BulkDensity, "1 lb/bu").unwrap() * 1e4).trunc(), 128_718.0);
    assert!((quantity(Kind::BulkDensity, "1 lb/imp bu").unwrap() - 12.4723).abs() < 5e-4);
    assert!((quantity(Kind::SpecificAirflow, "1 cfm/bu").unwrap() - 13.39e-3).abs() < 5e-6);
}

#[test]
fn every_shown_unit_can_be_typed_back() {
    for kind in [
        Kind::Length,
        Kind::SmallLength,
        Kind::Area,
        Kind::Volume,
        Kind::GrainVolume,
        Kind::Velocity,
        Kind::Airflow,
        Kind::SpecificAirflow,
        Kind::Pressure,
        Kind::Barometric,
        Kind::PressureGradient,
        Kind::Temperature,
        Kind::TemperatureDifference,
        Kind::MoistureWetBasis,
        Kind::MoistureDryBasis,
        Kind::Fraction,
        Kind::RelativeHumidity,
        Kind::HumidityRatio,
        Kind::Mass,
        Kind::BulkDensity,
        Kind::Density,
        Kind::ElectricEnergy,
        Kind::Heat,
        Kind::ElectricPower,
        Kind::ShaftPower,
        Kind::HeatRate,
        Kind::Hours,
        Kind::Days,
        Kind::MassFlux,
        Kind::SpecificHeat,
        Kind::SpecificEnthalpy,
        Kind::Number,
    ] {
        for system in [notice::UnitSystem::Si, notice::UnitSystem::Us] {
            let shown = kind.shown(system);
            let text = format!("{:.9}\u{a0}{}", 0.3 * shown.factor + shown.offset, shown.unit);
            let got = quantity(kind, &text).unwrap_or_else(|e| panic!("{kind:?} {text}: {e:?}"));
            // Nine decimals of the shown number.
            assert!((got - 0.3).abs() < 1e-8 / shown.factor.min(1.0), "{kind:?} {text}: {got}");
        }
    }
}

#[test]
fn refusals_say_what_to_write() {
    let refusal = |kind, text: &str| quantity(kind, text).expect_err(text);
    let check = |kind, text: &str, code: &str, help: &str| {
        let error = refusal(kind, text);
        assert_eq!(error.code, code, "{text}: {error:?}");
        assert!(error.help.clone().unwrap_or_default().contains(help), "{text}: {error:?}");
    };
    check(Kind::Length, "36", "missing-unit", "36 ft");
    check(Kind::Length, "1,1 m", "number-with-comma", "1.1 m");
    check(Kind::Mass, "20,000 kg", "number-with-comma", "20000 kg");
    check(Kind::Mass, "20 000 kg", "not-a-number", "without a space");
    check(Kind::Mass, "3 ton", "unknown-unit", "short ton");
    check(Kind::HeatRate, "3 MBtu/h", "unknown-unit", "MMBtu/h");
    check(Kind::Pressure, "3 in", "unknown-unit", "in wc");
    check(Kind::Length, "3 fet", "unknown-unit", "\"feet\"");
    check(Kind::Airflow, "3 cfn", "unknown-unit", "\"cfm\"");
    check(Kind::SpecificAirflow, "0.8 m3/min/t", "unknown-unit", "depends on the density");
    check(Kind::Length, "3 furlongs", "unknown-unit", "");
    check(Kind::Length, "NaN m", "not-a-number", "");
    check(Kind::Length, "inf m", "not-a-number", "");
    check(Kind::Length, "1e999 m", "number-too-large", "");
    check(Kind::Length, "", "not-a-number", "");
    check(Kind::Length, "ft", "not-a-number", "");
    check(Kind::Temperature, "-300 C", "below-absolute-zero", "");
    check(Kind::MoistureWetBasis, "20", "missing-unit", "20 %");
    check(Kind::MoistureWetBasis, "20 ppm", "unknown-unit", "% db");
    check(Kind::MoistureWetBasis, "118 %", "moisture-impossible", "");
    check(Kind::MoistureWetBasis, "-1 % db", "moisture-impossible", "");
    check(Kind::Number, "3 kg", "unknown-unit", "");
    assert!(refusal(Kind::Length, "36").allowed.unwrap().contains("ft, m, in, cm, mm"));
}

#[test]
fn a_moisture_remembers_its_basis() {
    assert!(moisture("25 % db").unwrap().said_dry);
    assert!(!moisture("25 %").unwrap().said_dry);
}

#[test]
fn lengths_may_be_written_as_fractions_of_an_inch() {
    for (text, inches) in
        [("1/8 in", 0.125), ("1 1/4 in", 1.25), ("1-1/4\"", 1.25), ("3/32 inch", 0.09375), ("1/2 ft", 6.0)]
    {
        assert!((quantity(Kind::Bore, text).unwrap() / 0.0254 - inches).abs() < 1e-12, "{text}");
    }
    for text in ["1/0 in", "5/4 in", "1/8", "1/8 s", "-1/8 in", "1.5/8 in"] {
        assert!(quantity(Kind::Length, text).is_err(), "{text}");
    }
    assert!(quantity(Kind::HeatRate, "1/8 kW").is_err());
    assert!((quantity(Kind::Velocity, "6 m/min").unwrap() - 0.1).abs() < 1e-15);
}

#![no_main]
//! Every kind of quantity from any text: a number in SI that is finite, or a refusal.
use libfuzzer_sys::fuzz_target;
use notice::Kind;

const KINDS: [Kind; 12] = [
    Kind::Length,
    Kind::Temperature,
    Kind::MoistureWetBasis,
    Kind::MoistureDryBasis,
    Kind::SpecificAirflow,
    Kind::Pressure,
    Kind::Barometric,
    Kind::Fraction,
    Kind::RelativeHumidity,
    Kind::Hours,
    Kind::BulkDensity,
    Kind::Number,
];

fuzz_target!(|input: (u8, &str)| {
    let kind = KINDS[usize::from(input.0) % KINDS.len()];
    if let Ok(value) = job::parse::quantity(kind, input.1) {
        assert!(value.is_finite(), "{:?} of {kind:?} gave {value}", input.1);
    }
    let _ = job::parse::amount(input.1);
    let _ = job::parse::month_day(input.1);
    let _ = job::parse::utc_offset(input.1);
    let _ = job::parse::clock_hour(input.1);
    let _ = job::parse::points(input.1);
});

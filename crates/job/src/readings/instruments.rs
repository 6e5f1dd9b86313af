//! What instruments get wrong: limits of error as people state them, to standard uncertainties.

use crate::parse::{self, QuantityError};
use notice::Kind;
use sheet::Node;

/// A limit of error: absolute in SI, or a share of what is shown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Limit {
    /// In the unit of the reading.
    Absolute(f64),
    /// Fraction of the reading.
    Share(f64),
}

impl Limit {
    /// Standard uncertainty of a reading: an error anywhere within the limits is taken as equally likely, which gives
    /// limit/√3 (Guide to the Expression of Uncertainty in Measurement, JCGM 100:2008, 4.3.7).
    pub fn standard(self, reading: f64) -> f64 {
        let limit = match self {
            Self::Absolute(limit) => limit,
            Self::Share(share) => share * reading.abs(),
        };
        limit / 3f64.sqrt()
    }
}

/// Limits of error of all instruments.
#[derive(Debug, Clone, PartialEq)]
pub struct Instruments {
    /// Manometer.
    pub pressure: Limit,
    /// Thermometers, each.
    pub temperature: Limit,
    /// Hygrometer, as fraction of relative humidity.
    pub humidity: Limit,
    /// Barometer.
    pub barometer: Limit,
    /// Volt meter.
    pub volts: Limit,
    /// Clamp meter.
    pub amps: Limit,
    /// Tachometer.
    pub speed: Limit,
    /// Airflow of the traverse.
    pub traverse: Limit,
    /// Fuel meter.
    pub fuel: Limit,
    /// Gas and tank gauges.
    pub gas: Limit,
    /// Depth of grain.
    pub depth: Limit,
    /// Moisture meter, as fraction of moisture wet basis.
    pub moisture: Limit,
    /// Sound level meter, dB.
    pub sound: Limit,
    /// Which of them the file states; all others are the defaults.
    pub stated: Vec<&'static str>,
}

impl Instruments {
    /// The limit of an instrument by its key.
    pub fn limit(&self, key: &str) -> Option<Limit> {
        Some(match key {
            "pressure" => self.pressure,
            "temperature" => self.temperature,
            "humidity" => self.humidity,
            "barometer" => self.barometer,
            "volts" => self.volts,
            "amps" => self.amps,
            "speed" => self.speed,
            "traverse" => self.traverse,
            "fuel" => self.fuel,
            "gas" => self.gas,
            "depth" => self.depth,
            "moisture" => self.moisture,
            "sound" => self.sound,
            _ => return None,
        })
    }
}

impl Default for Instruments {
    /// Manometer ± 0.1 in. of water: a U-tube with a ruler is readable to that (extension bulletin on static pressure,
    /// seen). Thermometer ± 1 °F, as in the worked example of the temperature-rise method. Traverse ± 7.5 %: field
    /// traverses are good to 5 to 10 % (memory). The others are judgement.
    fn default() -> Self {
        Self {
            pressure: Limit::Absolute(0.1 * 249.089),
            temperature: Limit::Absolute(1.0 / 1.8),
            humidity: Limit::Absolute(0.05),
            barometer: Limit::Absolute(600.0),
            volts: Limit::Share(0.01),
            amps: Limit::Share(0.03),
            speed: Limit::Share(0.005),
            traverse: Limit::Share(0.075),
            fuel: Limit::Share(0.03),
            gas: Limit::Share(0.05),
            depth: Limit::Absolute(0.15),
            moisture: Limit::Absolute(0.005),
            sound: Limit::Absolute(2.0),
            stated: Vec::new(),
        }
    }
}

/// Reads the table `[instruments]`.
pub(super) fn read(node: &Node<'_, '_>) -> Instruments {
    let mut i = Instruments::default();
    let rows: [(&'static str, Kind, &mut Limit); 13] = [
        ("pressure", Kind::Pressure, &mut i.pressure),
        ("temperature", Kind::TemperatureDifference, &mut i.temperature),
        ("humidity", Kind::RelativeHumidity, &mut i.humidity),
        ("barometer", Kind::Barometric, &mut i.barometer),
        ("volts", Kind::Voltage, &mut i.volts),
        ("amps", Kind::Current, &mut i.amps),
        ("speed", Kind::Rotation, &mut i.speed),
        ("traverse", Kind::Airflow, &mut i.traverse),
        ("fuel", Kind::MassFlow, &mut i.fuel),
        ("gas", Kind::GasPressure, &mut i.gas),
        ("depth", Kind::Length, &mut i.depth),
        ("moisture", Kind::MoistureWetBasis, &mut i.moisture),
        ("sound", Kind::SoundLevel, &mut i.sound),
    ];
    let mut stated = Vec::new();
    for (key, kind, limit) in rows {
        if let Some(read) = node.parsed(key, |text| limit_of(kind, text)) {
            *limit = read;
            stated.push(key);
        }
    }
    i.stated = stated;
    node.close();
    i
}

/// `"2 %"` is a share of the reading; of moisture and humidity, points. A sign ± in front is free.
pub(super) fn limit_of(kind: Kind, text: &str) -> Result<Limit, QuantityError> {
    let text = text.trim().trim_start_matches("+/-").trim_start_matches('±').trim();
    let points = matches!(kind, Kind::MoistureWetBasis | Kind::RelativeHumidity);
    let limit = match (text.ends_with('%'), points) {
        (true, true) => Limit::Absolute(parse::points(text)?),
        (true, false) => Limit::Share(parse::quantity(Kind::Fraction, text)?),
        (false, true) => Limit::Absolute(parse::points(text)?),
        (false, false) => Limit::Absolute(parse::quantity(kind, text)?),
    };
    let (Limit::Absolute(size) | Limit::Share(size)) = limit;
    let most = if matches!(limit, Limit::Share(_)) { 0.5 } else { f64::INFINITY };
    if size > 0.0 && size <= most {
        return Ok(limit);
    }
    Err(QuantityError::new("out-of-bounds", format!("limit of error {:?}", parse::shown(text)))
        .allowed("must be above zero, a share at most 50 %")
        .help("write the limit of error the instrument's maker states, as \"0.05 in wc\" or \"2 %\""))
}

//! The state of moist air from dry bulb and one more reading.

use super::{Answer, Faults, part, refuse};
use notice::{Diagnostic, Diagnostics, Kind, Phrase, Quantity, Remark, Remarks};
use physics::air::{STANDARD_PRESSURE, standard_pressure};
use physics::states::{DRY_BULB, ELEVATION, Known, MoistAirState, PRESSURE};

/// What is known of the pressure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Altitude {
    /// The barometric pressure, Pa.
    Pressure(f64),
    /// The height above the sea, m: pressure of the standard atmosphere.
    Elevation(f64),
    /// Nothing: sea level.
    SeaLevel,
}

/// The question.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Question {
    /// Dry bulb, °C.
    pub dry_bulb: f64,
    /// The reading beside it.
    pub known: Known,
    /// Where.
    pub altitude: Altitude,
}

impl Question {
    /// What is impossible about it.
    pub fn faults(&self) -> Diagnostics {
        let mut faults = Faults::default();
        faults.outside("dry-bulb", self.dry_bulb, Kind::Temperature, DRY_BULB);
        if let Known::RelativeHumidity(humidity) = self.known {
            faults.humidity("relative-humidity", humidity);
        }
        match self.altitude {
            Altitude::Pressure(pressure) => faults.outside("pressure", pressure, Kind::Barometric, PRESSURE),
            Altitude::Elevation(height) => faults.outside("elevation", height, Kind::Length, ELEVATION),
            Altitude::SeaLevel => (),
        }
        faults.0
    }

    /// Answers it.
    ///
    /// # Errors
    /// What is impossible about the question, air that cannot exist included.
    pub fn answer(&self) -> Result<Answer<MoistAirState>, Diagnostics> {
        refuse(self.faults())?;
        let pressure = match self.altitude {
            Altitude::Pressure(pressure) => pressure,
            Altitude::Elevation(height) => standard_pressure(height),
            Altitude::SeaLevel => STANDARD_PRESSURE,
        };
        let state = MoistAirState::new(self.dry_bulb, self.known, pressure).map_err(|error| {
            super::one(
                Diagnostic::error("impossible-air", format!("no such air exists: {error}"), part(self.reading())).help(
                    "wet bulb and dew point lie at or below the dry bulb; air holds no more water than saturation",
                ),
            )
        })?;
        Ok(Answer { remarks: remarks(&state), result: state })
    }

    /// Name of the reading beside the dry bulb.
    fn reading(&self) -> &'static str {
        match self.known {
            Known::WetBulb(_) => "wet-bulb",
            Known::DewPoint(_) => "dew-point",
            Known::HumidityRatio(_) => "humidity-ratio",
            Known::Enthalpy(_) => "enthalpy",
            Known::RelativeHumidity(_) | Known::RelativeHumidityOverWater(_) => "relative-humidity",
        }
    }
}

fn remarks(state: &MoistAirState) -> Remarks {
    let mut remarks = Remarks::default();
    if state.over_ice {
        let says = Phrase::new(
            "below {triple} relative humidity and dew point are over ice; over liquid water, as weather files and grain \
             relations have it, this air is at {humidity}",
        )
        .with("triple", Quantity::new(0.01, Kind::Temperature))
        .with("humidity", Quantity::new(state.relative_humidity_over_water, Kind::RelativeHumidity));
        remarks.add(Remark::new("over-ice", says));
    }
    if state.wet_bulb < 0.0 {
        remarks.add(Remark::new("iced-wick", Phrase::new("the wet bulb is that of an iced wick")));
    } else if let Some(iced) = state.iced_wet_bulb {
        let says = Phrase::new("an iced wick would read {iced}").with("iced", Quantity::new(iced, Kind::Temperature));
        remarks.add(Remark::new("iced-wick", says));
    }
    remarks
}

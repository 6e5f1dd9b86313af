//! Steel as cold as the air outside: wet where the air that meets it has a higher dew point.
//!
//! Clear nights cool a roof below the air, sun and draught under the roof dry it: neither is counted.

use super::air::Decided;
use super::{HOUR, Lane};
use physics::air::{humidity_ratio, saturation_pressure};

impl Lane {
    /// The roof, in a tick with fans running.
    pub(super) fn mind_roof(&mut self, decided: &Decided, i: usize, leaving: f64) {
        if decided.point.dry_air_flow <= 0.0 {
            return;
        }
        let weather = &self.spec.weather;
        let (outside, pressure) = (weather.temperature[i], weather.pressure[i]);
        if leaving > humidity_ratio(pressure, saturation_pressure(outside)) {
            let hours = self.step / HOUR;
            let met = &mut self.result.condensation;
            met.roof += hours;
            met.ice += if outside < 0.0 { hours } else { 0.0 };
        }
    }

    /// The wall, at the end of a day with fans at rest: the air between the warmest grain against the mean outside.
    pub(super) fn mind_wall(&mut self) {
        let (grain, moisture) = (self.warmest(), self.mean_moisture());
        let outside = self.today.mean_ambient();
        let pore = self.spec.grain.column.isotherm.humidity(moisture, grain) * saturation_pressure(grain);
        if pore > saturation_pressure(outside) {
            self.result.condensation.wall += self.today.hours();
        }
    }
}

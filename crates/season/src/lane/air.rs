//! The air of a tick: what the control sees and orders, and what fan and burner make of it.

use super::{HOUR, Lane};
use crate::spec::CaseSpec;
use bed::{Direction, Exhaust};
use equipment::{AirReading, BurnerSide, Command, FiringResult, Heat, HeatAmount, MapPoint, MapQuery, Observation};

/// What the current tick decided.
#[derive(Debug, Clone, Copy)]
pub(super) struct Decided {
    pub(super) point: MapPoint,
    pub(super) firing: FiringResult,
    pub(super) fans: usize,
    pub(super) inlet: AirReading,
}

/// The air as the sensors saw it in a tick with fans running.
#[derive(Debug, Clone, Copy)]
pub(super) struct Seen {
    /// Warmed by the fan, before any burner downstream of it.
    after_fan: AirReading,
    /// Entering the grain.
    pub(super) inlet: AirReading,
    /// Leaving the grain, area mean of the columns.
    exhaust: AirReading,
}

impl Lane {
    /// Asks the control what fans and burner are to do in this tick.
    pub(super) fn command(&mut self, ambient: AirReading, i: usize) -> Command {
        let fan_heat = self.fan_heat.unwrap_or_else(|| self.predicted_fan_heat(i));
        let sensors = &self.spec.operations.sensors;
        let hours = self.second / HOUR;
        let cable = sensors.grain.after(hours).temperature;
        let observation = Observation {
            hour_of_day: self.spec.weather.wall_hour[i],
            tick_hours: self.spec.tick_seconds / HOUR,
            ambient,
            plenum_predicted: ambient.warmed(fan_heat),
            plenum: self.seen.map(|s| s.after_fan),
            plenum_heated: self.seen.map(|s| s.inlet),
            exhaust: self.seen.map(|s| s.exhaust),
            grain_mean_moisture: self.mean_moisture(),
            wettest_probe_moisture: self.read(self.wettest_probe),
            grain_temperature_mean: self.mean_temperature() + cable,
            grain_temperature_min: self.coldest() + cable,
            grain_temperature_max: self.warmest() + cable,
            phase: self.phase,
            errors: sensors.of_air(hours),
        };
        let mut control = self.spec.control;
        self.stage_rules(&mut control);
        self.tempering_rules(&mut control);
        self.batch_rules(&mut control);
        control.decide(&observation, &mut self.memory)
    }

    /// Fan heat that a standing fan would give, from the map.
    pub(super) fn predicted_fan_heat(&mut self, i: usize) -> f64 {
        let weather = &self.spec.weather;
        let (t, w, p) = (weather.temperature[i], weather.humidity_ratio[i], weather.pressure[i]);
        let query = MapQuery::new(t, w, p, 0.0, &Heat::NONE, self.depth(), self.spec.control.fans);
        let heat = self.spec.air.at(&query).fan_heat;
        self.fan_heat = Some(heat);
        heat
    }

    /// The working point and firing of this tick.
    pub(super) fn work(&mut self, spec: &CaseSpec, command: Command, (t, w, p): (f64, f64, f64)) -> Decided {
        let depth = self.depth();
        let suction = spec.grain.group.direction == Direction::Down;
        let fans = if self.held() > 0.0 { command.fans } else { 0 };
        let heat = spec.burner.as_ref().map_or(Heat::NONE, |b| Heat {
            amount: HeatAmount::None,
            side: b.side,
            water_per_joule: b.water_per_joule(),
        });
        let ask = |rise: f64| {
            let query = if suction {
                let exit = self.seen.map_or((t, w), |s| (s.exhaust.temperature, s.exhaust.humidity_ratio(p)));
                MapQuery::suction(t, w, p, exit, depth, fans)
            } else {
                MapQuery::new(t, w, p, rise, &heat, depth, fans)
            };
            spec.air.at(&query)
        };
        let mut point = ask(0.0);
        let mut firing = FiringResult::NONE;
        // With pressure, what leaks before the grain is heated as well: the burner fires into all air of the fans.
        let reaches = if suction { 1.0 } else { 1.0 - spec.system.budget.leakage };
        if let (Some(burner), true) = (&spec.burner, point.dry_air_flow > 0.0) {
            // The rise changes the airflow a little and the airflow the rise: twice round is well below a per mille.
            for _ in 0..2 {
                let before = if burner.side == BurnerSide::Inlet { t } else { t + point.fan_heat };
                firing = burner.fire(command.burner, before, w, p, point.dry_air_flow / reaches);
                if self.fuel_cut {
                    // Asked for and not met, as far as any heat was asked for.
                    firing = FiringResult { short: firing.rise > 0.0, ..FiringResult::NONE };
                }
                if firing.rise <= 0.0 {
                    break;
                }
                point = ask(firing.rise);
            }
        }
        if point.fan_heat > 0.0 {
            self.fan_heat = Some(point.fan_heat);
        }
        let inlet = AirReading::of(t + firing.rise + point.fan_heat, w + firing.water_added, p);
        Decided { point, firing, fans, inlet }
    }

    /// Notes what the sensors saw of the tick that just passed, for the next decision. Returns temperature and humidity
    /// ratio of the exhaust, area mean of the columns.
    pub(super) fn see(&mut self, decided: &Decided, i: usize, lane: usize, exhausts: &[Exhaust]) -> (f64, f64) {
        let weather = &self.spec.weather;
        let (t, w, p) = (weather.temperature[i], weather.humidity_ratio[i], weather.pressure[i]);
        let mut exhaust = (0.0, 0.0);
        for (column, out) in self.spec.bin.columns.iter().zip(exhausts) {
            exhaust.0 += column.area * out.temperature[lane];
            exhaust.1 += column.area * out.humidity_ratio[lane];
        }
        if decided.point.dry_air_flow > 0.0 {
            self.note_carried(&decided.inlet, &AirReading::of(exhaust.0, exhaust.1, p), p);
        }
        self.seen = (decided.point.dry_air_flow > 0.0).then(|| Seen {
            after_fan: AirReading::of(t + decided.point.fan_heat, w, p),
            inlet: decided.inlet,
            exhaust: AirReading::of(exhaust.0, exhaust.1, p),
        });
        exhaust
    }
}

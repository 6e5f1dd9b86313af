//! What is counted tick by tick and kept day by day.

use super::air::Decided;
use super::{HOUR, Lane};
use crate::operations::{LIMIT_TOLERANCE, Process};
use crate::result::{Daily, Hourly, Profile};
use crate::run::{Draw, Record};
use crate::spec::TARIFF_SLOTS;
use bed::{Block, LayerState, profile};
use equipment::{Outcome, Phase};

/// Sums since midnight.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Today {
    seconds: f64,
    fan_hours: f64,
    fan_energy: f64,
    burner_energy: f64,
    ambient: f64,
}

impl Today {
    /// Hours so far.
    pub(super) fn hours(&self) -> f64 {
        self.seconds / HOUR
    }

    /// Mean outside temperature so far, °C.
    pub(super) fn mean_ambient(&self) -> f64 {
        self.ambient / self.seconds
    }
}

impl Lane {
    pub(super) fn tally(&mut self, decided: &Decided, i: usize, seconds: f64) {
        let hours = seconds / HOUR;
        let stirring = self.stirring_power();
        let r = &mut self.result;
        let weather = &self.spec.weather;
        if decided.fans > 0 {
            let flags = decided.point.flags;
            let count = |yes: bool| if yes { hours } else { 0.0 };
            r.air.running += hours;
            r.air.unstable += count(decided.point.outcome == Outcome::Unstable);
            r.air.held += count(decided.point.outcome == Outcome::HeldBelowFirst);
            r.air.beyond += count(decided.point.outcome == Outcome::BeyondCurve);
            r.air.overload += count(flags.overload);
            r.air.outside_resistance += count(flags.outside_resistance);
            let moist = decided.inlet.relative_humidity > self.spec.grain.column.humidity_cap;
            r.air.above_humidity_cap += count(moist);
            if decided.point.dry_air_flow > 0.0 {
                if self.phase == Phase::Cooling {
                    self.cooling.air(decided.inlet.temperature);
                }
                let (met, now) = (&mut r.inlet_temperature, decided.inlet.temperature);
                *met = (met.0.min(now), met.1.max(now));
                if self.spec.operations.protection.is_some_and(|limit| now > limit.air + LIMIT_TOLERANCE) {
                    r.too_hot_hours += hours;
                }
            }
            if r.stopped_at.is_none() {
                r.drying_fan_hours += hours;
            }
            self.today.fan_hours += hours;
        }
        let electric = decided.point.input_power + decided.firing.electric_power + stirring;
        self.draw = Draw {
            second: self.first_hour * 3600 + self.second as i64,
            seconds,
            electric,
            fuel: decided.firing.fuel,
            fans: decided.fans,
        };
        r.fan_energy += decided.point.input_power * seconds;
        r.heater_electricity += decided.firing.electric_power * seconds;
        r.stirring_energy += stirring * seconds;
        r.burner_energy += decided.firing.heat * seconds;
        r.fuel += decided.firing.fuel * seconds;
        if r.finished_at.is_some() && r.stopped_at.is_none() && r.process != Process::Batches {
            r.heat_after_target += decided.firing.heat * seconds;
            r.fuel_after_target += decided.firing.fuel * seconds;
        }
        if decided.firing.short {
            r.burner_short_hours += hours;
        }
        r.energy_by_slot[usize::from(weather.tariff_slot[i]).min(TARIFF_SLOTS - 1)] += electric * seconds;
        let month = usize::from(weather.month[i].clamp(1, 12)) - 1;
        r.monthly_peak[month] = r.monthly_peak[month].max(electric);
        self.today.seconds += seconds;
        self.today.fan_energy += decided.point.input_power * seconds;
        self.today.burner_energy += decided.firing.heat * seconds;
        self.today.ambient += weather.temperature[i] * seconds;
    }

    /// Everything about one tick, when asked for.
    pub(super) fn each_tick(&mut self, decided: &Decided, i: usize, exhaust: (f64, f64)) {
        let weather = &self.spec.weather;
        self.result.hourly.push(Hourly {
            second: self.first_hour * 3600 + self.second as i64,
            ambient_temperature: weather.temperature[i],
            ambient_humidity: weather.relative_humidity[i],
            plenum_temperature: decided.inlet.temperature,
            plenum_humidity: decided.inlet.relative_humidity,
            exhaust_temperature: exhaust.0,
            fans: decided.fans,
            dry_air_flow: decided.point.dry_air_flow,
            plenum_pressure: decided.point.plenum_pressure,
            burner_rise: decided.firing.rise,
            mean_moisture: self.mean_moisture(),
            mean_temperature: self.mean_temperature(),
        });
    }

    /// Wettest and driest tenth: the worst of the columns.
    pub(super) fn extremes(&self, lane: usize, blocks: &[Block]) -> (f64, f64) {
        let mut worst = (f64::NEG_INFINITY, f64::INFINITY);
        for (k, block) in blocks.iter().enumerate() {
            let layers = block.layers(lane).chain(self.gone.column(k).iter().copied()).map(moisture_and_mass);
            if let Some((wet, dry)) = profile::extremes(layers, self.spec.grain.dry_density) {
                worst = (worst.0.max(wet), worst.1.min(dry));
            }
        }
        worst
    }

    /// The same of the grain in the bin alone.
    pub(super) fn extremes_in_bin(&self, lane: usize, blocks: &[Block]) -> (f64, f64) {
        let density = self.spec.grain.dry_density;
        let of = |block: &Block| profile::extremes(block.layers(lane).map(moisture_and_mass), density);
        let each = blocks.iter().filter_map(of);
        each.fold((f64::NEG_INFINITY, f64::INFINITY), |worst, (wet, dry)| (worst.0.max(wet), worst.1.min(dry)))
    }

    /// Storage life used by the worst tenth of a column, published and strict.
    pub(super) fn lives(&self, lane: usize, k: usize, block: &Block) -> (f64, f64) {
        let layers = block.layers(lane).chain(self.gone.column(k).iter().copied());
        profile::life_of_worst(layers, self.spec.grain.dry_density).unwrap_or((0.0, 0.0))
    }

    pub(super) fn each_day(&mut self, lane: usize, blocks: &[Block], now: i64) {
        let worse = |a: (f64, f64), b: (f64, f64)| (a.0.max(b.0), a.1.max(b.1));
        let lives = blocks.iter().enumerate().map(|(k, b)| self.lives(lane, k, b)).fold((0.0, 0.0), worse);
        if lives.1 > self.spec.programme.life_allowed && self.result.spent_at.is_none() {
            self.result.spent_at = Some(now);
        }
        if self.record >= Record::Daily && self.today.seconds > 0.0 {
            let (wettest, driest) = self.extremes(lane, blocks);
            self.result.daily.push(Daily {
                hour: now,
                mean_moisture: self.lot_moisture(),
                wettest,
                driest,
                mean_temperature: self.mean_temperature(),
                coldest: self.coldest(),
                warmest: self.warmest(),
                life_published: lives.0,
                life_strict: lives.1,
                fan_hours: self.today.fan_hours,
                fan_energy: self.today.fan_energy,
                burner_energy: self.today.burner_energy,
                ambient_temperature: self.today.ambient / self.today.seconds,
                phase: self.phase,
            });
        }
        if self.record >= Record::Profiles {
            for (profiles, block) in self.profiles.iter_mut().zip(blocks) {
                let all: Vec<_> = (0..block.slots()).map(|k| block.layer(lane, k)).collect();
                let show = |f: fn(&bed::LayerState) -> f64| -> Vec<f64> {
                    all.iter().map(|l| if l.dry_matter > 0.0 { f(l) } else { f64::NAN }).collect()
                };
                profiles.push(Profile {
                    hour: now,
                    depth: all.iter().map(|l| l.dry_matter).sum::<f64>() / self.spec.grain.dry_density,
                    moisture: show(|l| l.moisture),
                    temperature: show(|l| l.temperature),
                    life: show(|l| l.life_strict),
                });
            }
        }
        if self.today.fan_hours == 0.0 && self.held() > 0.0 && self.today.seconds > 0.0 {
            self.mind_wall();
        }
        self.today = Today::default();
    }
}

/// What the wettest and driest tenth are picked by.
pub(super) fn moisture_and_mass(layer: LayerState) -> (f64, f64) {
    (layer.moisture, layer.dry_matter)
}

//! Readings as a cause of a size would give them, and how doubtful that prediction is.

use super::SIZES;
use super::causes::{Cause, Info, Sizing};
use super::channels::{CHANNELS, Channel, Measured, Read, would_have};
use super::matrix::{Cholesky, Matrix};
use crate::field::{Plant, Setup, motors};
use equipment::roof::VENT_VELOCITY;
use equipment::{Fuel, Vents};
use physics::resistance::BedResistance;

/// What is doubtful of the sound bin: ln factors on resistance, airflow and power of the curves, the share lost on the way,
/// ln factor on the heat; they last from one set of readings to the next.
pub(super) const LASTING: usize = 5;
/// The same and what is of one day: ln depth, outdoor temperature (K), ln barometer.
pub(super) const DOUBTS: usize = 8;

/// What is known of the sound bin.
#[derive(Debug, Clone, PartialEq)]
pub struct Known {
    /// Best estimates of the lasting doubts.
    pub(super) mean: [f64; LASTING],
    /// Their covariance.
    pub(super) covariance: [[f64; LASTING]; LASTING],
}

impl Known {
    /// What the plan alone tells.
    pub fn planned(setup: &Setup<'_>) -> Self {
        let d = &setup.doubt;
        let mut covariance = [[0.0; LASTING]; LASTING];
        for (i, u) in
            [d.resistance, d.flow, d.power.hypot(d.efficiency), d.leak, d.heating_value].into_iter().enumerate()
        {
            covariance[i][i] = u * u;
        }
        Self { mean: [0.0; LASTING], covariance }
    }
}

/// The mechanics of a bin on the day of its readings.
pub(super) struct Model<'a> {
    pub setup: &'a Setup<'a>,
    known: Known,
    crops: Vec<(String, BedResistance)>,
    height: f64,
    /// Vents as a roof usually has them, where the site names none.
    usual_vents: Option<Vents>,
}

/// Discharge coefficient of sharp-edged vents, 0.60 to 0.65 (memory).
const SHARP_EDGED: f64 = 0.62;

impl<'a> Model<'a> {
    pub fn new(setup: &'a Setup<'a>, known: Known) -> Self {
        let own = &setup.bin.crop_id;
        let crops = crops::Library::built_in()
            .crops()
            .iter()
            // What is never dried in a bin is not in it by mistake: those have no equilibrium data.
            .filter(|crop| crop.id != *own && crop.default_isotherm.is_some())
            .filter_map(|crop| {
                let law = crop.resistance(None).ok()?.law;
                let planned = setup.bin.template.grain.resistance;
                let multiplier = crop.customary_packing().0;
                Some((crop.name.clone(), BedResistance { law, multiplier, ..planned }))
            })
            .collect();
        let height = setup.readings.grain_pressure.map_or(0.3, |(_, height)| height);
        let t = &setup.bin.template;
        let usual_vents = match t.system.budget.vents {
            Some(_) => None,
            None => setup
                .plant
                .solve(&t.system, &t.grain.resistance, &setup.air, setup.heat)
                .map(|s| Vents { area: s.point.fan_airflow / VENT_VELOCITY, discharge_coefficient: SHARP_EDGED }),
        };
        Self { setup, known, crops, height, usual_vents }
    }

    /// Whether a cause can be at this bin with these readings.
    pub fn applies(&self, cause: Cause) -> bool {
        let t = &self.setup.bin.template;
        let lit = self.setup.full_fire > 0.0;
        let gas = t.burner.as_ref().is_some_and(|b| b.fuel != Fuel::Electric);
        let propane = t.burner.as_ref().is_some_and(|b| b.fuel == Fuel::Propane);
        match cause {
            Cause::PluggedFloor => t.system.budget.floor.is_some(),
            Cause::FanDown | Cause::FansUnequal => self.setup.plant.fans > 1,
            Cause::SinglePhasing => self.setup.readings.motors.iter().all(|m| m.amps.len() != 1),
            Cause::UnderFired => lit,
            Cause::OverFired | Cause::GasPressureHigh | Cause::GasPressureLow => lit && gas,
            Cause::RegulatorFreezing => lit && propane,
            Cause::SensorInJet => lit,
            Cause::WrongCrop => !self.crops.is_empty(),
            Cause::ClampError => self.setup.input().is_some(),
            Cause::ThermometerError => !self.setup.readings.plenum.is_empty(),
            _ => true,
        }
    }

    /// Prior of a cause here: regulators freeze in the cold, floors and vents ice up then (judgement).
    pub fn prior(&self, info: &Info) -> f64 {
        let warm = self.setup.readings.outdoor > 5.0;
        match info.cause {
            Cause::RegulatorFreezing if warm => 0.3 * info.prior,
            Cause::BlockedVents | Cause::PluggedFloor if !warm => 1.5 * info.prior,
            _ => info.prior,
        }
    }

    /// Sizes to try, evenly over the ranges.
    pub fn sizes(&self, info: &Info) -> Vec<f64> {
        match info.sizing {
            Sizing::None => vec![0.0],
            Sizing::OtherCrop => (0..self.crops.len()).map(|i| i as f64).collect(),
            _ => {
                let each = SIZES / info.ranges.len();
                let steps = |&(low, high): &(f64, f64)| {
                    (0..each).map(move |i| low + (high - low) * i as f64 / (each - 1) as f64)
                };
                info.ranges.iter().flat_map(steps).collect()
            }
        }
    }

    /// What is doubtful of the sound bin in everything that could be read here, read or not.
    pub fn sight(&self, sound: &[f64]) -> Option<Cholesky> {
        let read = CHANNELS.iter().map(|&channel| {
            let value = sound[channel as usize];
            Read { channel, value, standard: would_have(self.setup, channel, value) }
        });
        let all = Measured { read: read.collect(), sights: Vec::new() };
        self.covariance(&all, Cause::Sound, 0.0)?.cholesky()
    }

    /// Whether predictions differ from those of the sound bin by more than what is doubtful of it anyway: a floor with half of
    /// its holes shut may lose next to nothing, and what nothing shows is no cause of a complaint.
    pub fn shows(sight: &Cholesky, sound: &[f64], changed: &[f64]) -> bool {
        let apart: Vec<f64> = CHANNELS.iter().map(|&c| changed[c as usize] - sound[c as usize]).collect();
        sight.square(&apart) > super::SAME
    }

    pub fn crop_name(&self, size: f64) -> Option<String> {
        self.crops.get(size as usize).map(|(name, _)| name.clone())
    }

    /// All channels under a cause at the best estimates.
    pub fn predict(&self, cause: Cause, size: f64) -> Option<Vec<f64>> {
        let mut doubts = [0.0; DOUBTS];
        doubts[..LASTING].copy_from_slice(&self.known.mean);
        self.predict_at(cause, size, &doubts)
    }

    /// All channels under a cause with the doubts at given values.
    pub fn predict_at(&self, cause: Cause, size: f64, z: &[f64; DOUBTS]) -> Option<Vec<f64>> {
        let s = self.setup;
        let t = &s.bin.template;
        let mut plant = Plant {
            resistance: z[0].exp(),
            flow: z[1].exp(),
            power: z[2].exp(),
            leak: z[3].clamp(-0.05, 0.8).max(0.0),
            depth: s.plant.depth * z[5].exp(),
            ..s.plant
        };
        let mut law = t.grain.resistance;
        let mut out = vec![0.0; CHANNELS.len()];
        let set = |out: &mut Vec<f64>, channel: Channel, value: f64| out[channel as usize] = value;
        for channel in [Channel::Volts, Channel::Speed, Channel::GasPressure, Channel::TankPressure, Channel::Depth] {
            set(&mut out, channel, 1.0);
        }
        // Motors in good order differ a little between legs.
        set(&mut out, Channel::CurrentSpread, 0.03);
        let (mut fire, mut gauge, mut clamp, mut thermometer) = (1.0, 1.0, 1.0, 0.0);
        match cause {
            Cause::Sound => {}
            Cause::Packing => plant.resistance *= size,
            Cause::PluggedFloor => plant.plugged = size,
            Cause::Leak => plant.leak = 1.0 - (1.0 - plant.leak) * (1.0 - size),
            Cause::BlockedVents => {
                plant.usual_vents = self.usual_vents;
                plant.vents_open = 1.0 - size;
            }
            Cause::WrongRotation => {
                // Backward wheels still blow, much less, and often take more power (fan-maker fault charts); how much is
                // judgement.
                plant.flow *= size;
                plant.pressure *= size.powf(1.3);
                plant.power *= 1.05;
            }
            Cause::LowVoltage => {
                set(&mut out, Channel::Volts, size);
                // Slip of 2.5 % at plate volts grows with their inverse square (induction motor at constant torque).
                let speed = (1.0 - 0.025 / (size * size)) / (1.0 - 0.025);
                set(&mut out, Channel::Speed, speed);
                plant = plant.at_speed(speed);
            }
            Cause::SinglePhasing => {
                set(&mut out, Channel::CurrentSpread, 1.5);
                set(&mut out, Channel::Speed, 0.97);
                plant = plant.at_speed(0.97);
                clamp = 1.1;
            }
            Cause::SlippingBelt => {
                set(&mut out, Channel::Speed, size);
                plant = plant.at_speed(size);
            }
            Cause::WrongWheel => {
                plant.flow *= size.powi(3);
                plant.pressure *= size.powi(2);
                plant.power *= size.powi(5);
            }
            Cause::FanDown => {
                plant.fans -= 1;
                plant.leak = 1.0 - (1.0 - plant.leak) * (1.0 - size);
            }
            // Drag of one motor shows in the input of all; what one is spared another bears, so a sum shows nothing.
            Cause::MotorOverloaded => clamp = 1.0 + (size - 1.0) / plant.fans.max(1) as f64,
            Cause::FansUnequal => {}
            Cause::UnderFired | Cause::OverFired => fire = size,
            Cause::GasPressureHigh => {
                fire = size.sqrt();
                set(&mut out, Channel::GasPressure, size);
            }
            Cause::GasPressureLow => {
                // Below about 10 psi gas flows with the root of its gauge pressure.
                fire = size.sqrt();
                set(&mut out, Channel::GasPressure, size);
                set(&mut out, Channel::TankPressure, size.min(0.6));
            }
            Cause::RegulatorFreezing => {
                fire = size.sqrt();
                set(&mut out, Channel::GasPressure, size);
            }
            Cause::SensorInJet => set(&mut out, Channel::Panel, size),
            Cause::WrongDepth => {
                plant.depth *= size;
                set(&mut out, Channel::Depth, size);
            }
            Cause::WrongCrop => law = self.crops.get(size as usize)?.1,
            Cause::GaugeError => gauge = size,
            Cause::ClampError => clamp = size,
            Cause::ThermometerError => thermometer = size,
        }
        let heat = s.full_fire * fire * z[4].exp();
        let air = s.air_at(s.readings.outdoor + z[6], s.humidity.0, s.barometer.0 * z[7].exp());
        let state = plant.solve(&t.system, &law, &air, heat)?;
        let p = &state.point;
        set(&mut out, Channel::Plenum, gauge * p.plenum_pressure);
        set(&mut out, Channel::Headspace, gauge * state.headspace());
        set(&mut out, Channel::InGrain, gauge * state.in_grain(self.height));
        set(&mut out, Channel::Traverse, p.fan_airflow);
        set(&mut out, Channel::Input, clamp * p.input_power);
        set(&mut out, Channel::Rise, state.rise() + thermometer);
        set(&mut out, Channel::Fire, fire);
        let fans = t.system.outfit.fans();
        let mut loads: Vec<f64> =
            p.members.iter().zip(fans).take(p.fans_running).map(|(m, f)| m.shaft_power / f.motor_power).collect();
        let n = loads.len() as f64;
        match (cause, loads.first_mut()) {
            (Cause::MotorOverloaded, Some(one)) => *one *= size,
            (Cause::FansUnequal, Some(one)) if n > 1.0 => {
                *one *= size;
                loads.iter_mut().skip(1).for_each(|other| *other *= (n - size) / (n - 1.0));
            }
            _ => {}
        }
        set(&mut out, Channel::MotorSpread, motors::apart(&loads).unwrap_or(0.0));
        Some(out)
    }

    /// Standard uncertainties of the doubts of one day.
    fn of_the_day(&self) -> [f64; DOUBTS - LASTING] {
        let s = self.setup;
        [
            s.doubt.depth / s.plant.depth.max(0.1),
            // The outdoor reading's own error stands in the uncertainty of the rise.
            1e-6,
            s.barometer.1 / s.barometer.0,
        ]
    }

    /// Derivatives of the read channels by each doubt, under a cause: rows by reading.
    pub fn slopes(&self, measured: &Measured, cause: Cause, size: f64) -> Option<Vec<[f64; DOUBTS]>> {
        let mut best = [0.0; DOUBTS];
        best[..LASTING].copy_from_slice(&self.known.mean);
        let centre = self.predict_at(cause, size, &best)?;
        let day = self.of_the_day();
        let mut rows = vec![[0.0; DOUBTS]; measured.read.len()];
        for k in 0..DOUBTS {
            let step = if k < LASTING { self.known.covariance[k][k].sqrt() } else { day[k - LASTING] }.max(1e-6);
            let mut z = best;
            z[k] = best[k] + step;
            // One side is enough here; at an end of the curve the other is taken.
            let (moved, step) = match self.predict_at(cause, size, &z) {
                Some(moved) => (moved, step),
                None => {
                    z[k] = best[k] - step;
                    (self.predict_at(cause, size, &z)?, -step)
                }
            };
            for (row, read) in rows.iter_mut().zip(&measured.read) {
                let i = read.channel as usize;
                row[k] = (moved[i] - centre[i]) / step;
            }
        }
        Some(rows)
    }

    /// Covariance of readings about a prediction: instruments, and the doubts through the mechanics.
    pub fn covariance(&self, measured: &Measured, cause: Cause, size: f64) -> Option<Matrix> {
        let rows = self.slopes(measured, cause, size)?;
        Some(self.covariance_of(measured, &rows))
    }

    pub fn covariance_of(&self, measured: &Measured, rows: &[[f64; DOUBTS]]) -> Matrix {
        let own: Vec<f64> = measured.read.iter().map(|r| r.standard * r.standard).collect();
        let mut c = Matrix::diagonal(&own);
        for (i, a) in rows.iter().enumerate() {
            for (j, b) in rows.iter().enumerate() {
                c.add(i, j, self.doubt_product(a, b));
            }
        }
        c
    }

    /// a S bᵀ with the covariance S of all doubts.
    fn doubt_product(&self, a: &[f64; DOUBTS], b: &[f64; DOUBTS]) -> f64 {
        let day = self.of_the_day();
        let lasting: f64 = (0..LASTING)
            .flat_map(|k| (0..LASTING).map(move |l| (k, l)))
            .map(|(k, l)| a[k] * self.known.covariance[k][l] * b[l])
            .sum();
        lasting + (0..day.len()).map(|k| a[LASTING + k] * b[LASTING + k] * day[k] * day[k]).sum::<f64>()
    }

    /// Row of S Hᵀ for a lasting doubt.
    pub fn doubt_row(&self, k: usize, rows: &[[f64; DOUBTS]]) -> Vec<f64> {
        rows.iter().map(|row| (0..LASTING).map(|l| self.known.covariance[k][l] * row[l]).sum()).collect()
    }
}

//! A bin that is not the model: what is true of it differs from the plan in every way we know of, and faults work in it by
//! other mechanics than those that diagnose them. Its spreads are our judgement, on the unkind side.

use advice::diagnose::Cause;
use advice::field::{Plant, PlantState, Setup};
use equipment::motor_load::MotorPlate;
use equipment::{AirConditions, Fuel, GrainLaw, Vents};
use job::readings::{FuelFlow, Limit, MotorReading, Readings, Rotation, Traverse};
use job::{BinJob, Job};
use numerics::random::Stream;
use physics::electric::Phases;
use physics::resistance::BedResistance;
use std::collections::BTreeMap;

/// Another law of packing in columns of uneven air: each column's gradient is a factor times the planned law, bent about
/// 0.08 m/s; all stand between one plenum and one headspace.
#[derive(Clone, Copy)]
pub struct Uneven {
    law: BedResistance,
    twist: f64,
    /// Factors of a slow and a fast column of a quarter of the floor each.
    factors: (f64, f64),
}

impl GrainLaw for Uneven {
    fn gradient(&self, v: f64) -> f64 {
        let n = self.exponent(v);
        // Columns under one gradient share the air as f^(−1/n).
        let mean = 0.25 * self.factors.0.powf(-1.0 / n) + 0.5 + 0.25 * self.factors.1.powf(-1.0 / n);
        let own = v / mean;
        GrainLaw::gradient(&self.law, own) * (own / 0.08).powf(self.twist)
    }
    fn exponent(&self, v: f64) -> f64 {
        (GrainLaw::exponent(&self.law, v) + self.twist).clamp(1.0, 2.0)
    }
}

/// What is true of one bin and stays so from baseline to call.
pub struct Truth {
    twist: f64,
    factors: (f64, f64),
    resistance: f64,
    flow: f64,
    pressure: f64,
    power: f64,
    leak: f64,
    /// What a tap shows over what is there, where it feels some of the jet.
    tap: f64,
    /// How the pressure in the lowest foot of grain falls over what an even bed would.
    lowest: f64,
    full_fire: f64,
    power_factor: f64,
    efficiency: f64,
    slip: f64,
    plenum: [f64; 3],
    unbalance: f64,
    /// Of a roof that the site says nothing of.
    vents: Vents,
}

/// Evenly between two ends.
fn between(random: &mut Stream, low: f64, high: f64) -> f64 {
    low + (high - low) * random.uniform()
}

impl Truth {
    /// Draws a bin.
    pub fn draw(random: &mut Stream) -> Self {
        let jet = if random.uniform() < 0.2 { between(random, -0.06, 0.03) } else { 0.0 };
        let spread = between(random, 0.0, 0.5);
        Self {
            twist: 0.06 * random.normal(),
            factors: (1.0 + spread, 1.0 / (1.0 + spread)),
            // Packing, fines, and two points of moisture misjudged.
            resistance: (0.16 * random.normal()).exp(),
            flow: 1.0 + between(random, -0.05, 0.05),
            pressure: 1.0 + between(random, -0.03, 0.03),
            power: 1.0 + between(random, -0.05, 0.05),
            leak: between(random, 0.0, 0.05),
            tap: 1.0 + jet + 0.01 * random.normal(),
            lowest: (0.35 * random.normal()).exp(),
            full_fire: 1.0 + 0.05 * random.normal(),
            power_factor: 0.85 + 0.02 * random.normal(),
            efficiency: 1.0 + 0.015 * random.normal(),
            slip: 1.0 + between(random, -0.012, 0.012),
            plenum: [random.normal(), random.normal(), random.normal()],
            unbalance: between(random, 0.0, 0.012),
            // 17 to 30 ft² for 17,000 cfm: the rule of the trade, or better.
            vents: Vents { area: between(random, 1.6, 2.8), discharge_coefficient: between(random, 0.55, 0.68) },
        }
    }
}

/// A fault of a size.
#[derive(Clone, Copy)]
pub struct Fault {
    /// Which.
    pub cause: Cause,
    /// Size in the meaning of the cause.
    pub size: f64,
}

/// How much is read.
#[derive(Clone, Copy, PartialEq, Eq)]
pub enum Set {
    /// Everything the sheet asks.
    Full,
    /// Two taps, three points of the plenum, volts and amps.
    Short,
}

/// An instrument of a visit: one error within its limit for all it reads, and a third of the limit from reading to reading.
struct Meter {
    limit: Limit,
    bias: f64,
}

impl Meter {
    fn new(limit: Limit, random: &mut Stream) -> Self {
        Self { limit, bias: between(random, -1.0, 1.0) }
    }
    fn read(&self, truth: f64, random: &mut Stream) -> f64 {
        let size = match self.limit {
            Limit::Absolute(size) => size,
            Limit::Share(share) => share * truth.abs(),
        };
        truth + size * (0.85 * self.bias + 0.15 * random.normal())
    }
}

/// Readings of the true bin with a fault, taken in a random state of the weather; `None` where the fault leaves no working
/// point.
pub fn readings(
    job: &Job,
    bin: &BinJob,
    truth: &Truth,
    fault: Fault,
    set: Set,
    random: &mut Stream,
) -> Option<Readings> {
    let t = &bin.template;
    let burner = t.burner.as_ref();
    let lit = burner.is_some();
    let outdoor = between(random, -5.0, 15.0);
    let (humidity, barometer) = (between(random, 0.4, 0.95), 98_800.0 + 900.0 * random.normal());
    let mut r = Readings { burner_lit: lit, ..Readings::of_outdoor(outdoor) };
    r.humidity = Some(humidity);
    r.barometer = Some(barometer);
    let day = r.clone();
    let there = Setup::of(bin, job.place.elevation, &day, &BTreeMap::new(), "twin").ok()?;
    let fans = t.system.outfit.fans();
    let fan = fans.first()?;
    let size = fault.size;
    let mut plant = Plant {
        // Between two visits grain dries, settles and is drawn a little.
        resistance: truth.resistance * (0.07 * random.normal()).exp(),
        flow: truth.flow,
        pressure: truth.pressure,
        power: truth.power,
        leak: truth.leak,
        // A site that names no vents has some all the same: next to none of them is shut.
        usual_vents: Some(truth.vents),
        vents_open: 0.999,
        ..there.plant
    };
    let mut law = Uneven { law: t.grain.resistance, twist: truth.twist, factors: truth.factors };
    let (mut gauge, mut clamp, mut thermometer, mut volts, mut speed) = (1.0, 1.0, 0.0, 1.0, truth.slip);
    let (mut fire, mut gas, mut tank, mut jet) =
        (truth.full_fire * (1.0 + 0.03 * random.normal()), 1.0, 0.95 + 0.1 * random.normal(), 0.0);
    let mut one_leg_dead = false;
    let mut first_motor = 1.0;
    match fault.cause {
        Cause::Sound => {}
        Cause::Packing => {
            // Fines pack the middle more than the wall.
            plant.resistance *= size;
            law.factors.0 *= 1.0 + 0.2 * (size - 1.0);
        }
        Cause::PluggedFloor => {
            // Patches are shut, not every other hole: what is left is worked harder and the grain above crowds the air.
            plant.plugged = size;
            plant.resistance *= 1.0 + 0.15 * size;
        }
        Cause::Leak => plant.leak = 1.0 - (1.0 - plant.leak) * (1.0 - size),
        Cause::BlockedVents => plant.vents_open *= 1.0 - size,
        Cause::WrongRotation => {
            plant.flow *= size;
            plant.pressure *= size.powf(between(random, 1.0, 1.7));
            plant.power *= between(random, 0.95, 1.2);
        }
        Cause::LowVoltage => {
            volts = size;
            let slip = between(random, 0.018, 0.032);
            speed *= (1.0 - slip / (size * size)) / (1.0 - slip);
        }
        Cause::SinglePhasing => {
            one_leg_dead = true;
            speed *= between(random, 0.95, 0.98);
            clamp = between(random, 1.05, 1.2);
        }
        Cause::SlippingBelt => speed *= size,
        Cause::WrongWheel => {
            plant.flow *= size.powf(between(random, 2.5, 3.2));
            plant.pressure *= size.powi(2);
            plant.power *= size.powf(between(random, 4.5, 5.2));
        }
        Cause::FanDown => {
            plant.fans -= 1;
            plant.leak = 1.0 - (1.0 - plant.leak) * (1.0 - size);
        }
        // One motor drags, or one fan is hampered and the first bears what it is spared.
        Cause::MotorOverloaded | Cause::FansUnequal => first_motor = size,
        Cause::UnderFired | Cause::OverFired => fire *= size,
        Cause::GasPressureHigh => {
            gas = size;
            fire *= size.powf(between(random, 0.45, 0.55));
        }
        Cause::GasPressureLow => {
            gas = size;
            fire *= size.powf(between(random, 0.45, 0.6));
            tank = between(random, 0.25, 0.65);
        }
        Cause::RegulatorFreezing => {
            gas = size;
            fire *= size.powf(between(random, 0.45, 0.6));
        }
        Cause::SensorInJet => jet = size,
        Cause::WrongDepth => plant.depth *= size,
        Cause::WrongCrop => {
            let crops = crops::Library::built_in();
            let other =
                crops.crops().iter().find(|c| c.id == ["wheat-hard", "canola", "soybean"][size as usize % 3])?;
            law.law = BedResistance {
                law: other.resistance(None).ok()?.law,
                multiplier: other.customary_packing().0,
                ..t.grain.resistance
            };
        }
        Cause::GaugeError => gauge = size,
        Cause::ClampError => clamp = size,
        Cause::ThermometerError => thermometer = size,
    }
    // The wheel turns as fast as it does; the curve holds at the plate's speed.
    let plant = plant.at_speed(speed);
    let heat = there.full_fire * fire;
    let air: AirConditions = there.air_at(outdoor, humidity, barometer);
    let state: PlantState = plant.solve(&t.system, &law, &air, heat)?;
    let p = &state.point;

    let i = r.instruments.clone();
    let manometer = Meter::new(Limit::Absolute(0.05 * 249.089), random);
    let (inside, outside) = (Meter::new(i.temperature, random), Meter::new(i.temperature, random));
    r.instruments.pressure = Limit::Absolute(0.05 * 249.089);
    let in_full = set == Set::Full;
    let level = gauge * truth.tap * p.plenum_pressure;
    r.plenum_pressure = (0..2).map(|_| manometer.read(level * (1.0 + 0.01 * random.normal()), random)).collect();
    // The thermometer in the shade is not quite what the fans breathe.
    r.outdoor = outside.read(outdoor + between(random, -0.3, 0.5), random);
    let rise = state.rise();
    let spread = |k: usize| truth.plenum[k] * (0.15 + 0.07 * rise);
    if there.blows() {
        r.plenum = (0..3).map(|k| inside.read(outdoor + rise + spread(k) + thermometer, random)).collect();
    }
    r.humidity = in_full.then(|| (humidity + between(random, -0.05, 0.05)).clamp(0.05, 1.0));
    r.barometer = in_full.then(|| barometer + between(random, -500.0, 500.0));
    electric(&mut r, truth, fan, p, plant.fans, (volts, clamp, one_leg_dead), random);
    share_among(&mut r, fault.cause, first_motor);
    if in_full {
        r.headspace_pressure = Some(manometer.read(gauge * state.headspace(), random));
        let height = 0.3;
        let lost = p.budget.grain * (truth.lowest * height / plant.depth).min(0.9);
        let below = gauge * truth.tap * (p.budget.vents + p.budget.grain - lost);
        r.grain_pressure = Some((manometer.read(below, random), height));
        r.traverse = Some(Traverse::Airflow(Meter::new(i.traverse, random).read(p.fan_airflow, random)));
        let strobe = Meter::new(i.speed, random);
        r.motors.iter_mut().for_each(|m| m.speed = Some(strobe.read(fan.speed * speed, random)));
        // The tape goes down in one place of an uneven surface; where the depth of the sheet is wrong, nobody measured it.
        if fault.cause != Cause::WrongDepth {
            r.depth = Some(plant.depth + between(random, -0.25, 0.25));
        }
    }
    if let Some(burner) = burner.filter(|_| lit) {
        r.panel = Some(inside.read(outdoor + rise + spread(0) + jet, random) + between(random, -1.0, 1.0));
        if in_full {
            let fuel = burner.fuel.combustion()?;
            let flow =
                heat / (fuel.higher_heating_value * fuel.lower_share() * burner.indirect_efficiency.unwrap_or(1.0));
            r.fuel = Some(FuelFlow::Mass(Meter::new(i.fuel, random).read(flow, random)));
            let set = bin.firing.gas_pressure.unwrap_or(30e3);
            let gauge = Meter::new(i.gas, random);
            r.gas_pressure_set = Some(set);
            r.gas_pressure = Some(gauge.read(set * gas, random));
            if burner.fuel == Fuel::Propane {
                let full = (physics::propane::saturation_pressure(outdoor) - barometer).max(1e4);
                r.tank_pressure = Some(gauge.read(full * tank.clamp(0.1, 1.1), random));
            }
        }
    }
    if in_full {
        look(&mut r, fault.cause, fans.len(), lit, random);
    }
    r.fans_running = Some(there.plant.fans);
    Some(r)
}

/// Currents of a first motor that drags, or bears what the others are spared.
fn share_among(r: &mut Readings, cause: Cause, size: f64) {
    let n = r.motors.len() as f64;
    let others = if cause == Cause::FansUnequal && n > 1.0 { (n - size) / (n - 1.0) } else { 1.0 };
    for (k, motor) in r.motors.iter_mut().enumerate() {
        // Current follows the load less than in proportion: the magnetising part stays.
        let current = |load: f64| (0.3 + 0.7 * load * load).sqrt();
        let factor = current(if k == 0 { size } else { others });
        motor.amps.iter_mut().for_each(|leg| *leg *= factor);
    }
}

/// Volts and amps: the power factor is that of the motor, which nobody measures.
fn electric(
    r: &mut Readings,
    truth: &Truth,
    fan: &equipment::Fan,
    point: &equipment::AirPoint,
    running: usize,
    (volts, clamp, one_leg_dead): (f64, f64, bool),
    random: &mut Stream,
) {
    let line = 230.0 * volts * (1.0 + between(random, -0.04, 0.04));
    let (volt_meter, clamp_meter) = (Meter::new(r.instruments.volts, random), Meter::new(r.instruments.amps, random));
    r.plate_volts = Some(230.0);
    r.volts =
        [1.0 - truth.unbalance, 1.0, 1.0 + truth.unbalance].map(|leg| volt_meter.read(line * leg, random)).to_vec();
    let plate = MotorPlate {
        efficiency: fan.motor_efficiency * truth.efficiency,
        power_factor: truth.power_factor,
        ..MotorPlate::usual(fan.motor_power, line, Phases::Three)
    };
    r.motors = (0..running)
        .map(|k| {
            let amps = clamp * plate.at(point.members[k].shaft_power).current;
            // A voltage unbalance shows about eight times as a current unbalance.
            let apart = 8.0 * truth.unbalance * 0.5;
            let legs = match one_leg_dead {
                true => [0.0, 1.6 * amps, 1.6 * amps],
                false => [amps * (1.0 - apart), amps, amps * (1.0 + apart)],
            };
            MotorReading { amps: legs.map(|leg| clamp_meter.read(leg, random).max(0.0)).to_vec(), speed: None }
        })
        .collect();
}

/// What people see: what is there four times in five, what is not there once in twenty.
fn look(r: &mut Readings, cause: Cause, fans: usize, lit: bool, random: &mut Stream) {
    let mut sees = |there: bool, often: f64| Some(random.uniform() < if there { often } else { 0.05 });
    let against = sees(cause == Cause::WrongRotation, 0.95).is_some_and(|seen| seen && cause == Cause::WrongRotation);
    // An arrow is not mistaken where the wheel turns rightly.
    r.seen.rotation = Some(if against { Rotation::AgainstArrow } else { Rotation::WithArrow });
    r.seen.air_escapes = sees(cause == Cause::Leak, 0.8);
    r.seen.vents_blocked = sees(cause == Cause::BlockedVents, 0.8);
    if fans > 1 {
        r.seen.pulsing = sees(cause == Cause::FanDown, 0.8);
    }
    if lit {
        r.seen.ice_on_regulator = sees(cause == Cause::RegulatorFreezing, 0.7);
    }
}

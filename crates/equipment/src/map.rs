//! The working point compiled into a table: what `AirSystem::solve` finds, at the price of a few interpolations.
//!
//! Dividing the balance by the density at the fan leaves an airflow that depends on three numbers only: effective depth,
//! volume ratio (grain over fan) and kinematic viscosity at the grain. For each pair of the last two the depths at which
//! the outfit leaves its first point and reaches its peak have a closed form; between them the airflow is tabulated
//! against the fraction of the way, which leaves a table nearly flat in the two gas numbers. Outside (stalled, hotter or
//! colder than the table, unlike fans partly held) the solver itself answers. Nothing is allocated after building.

use crate::air::{
    AirFlags, AirPoint, AirSystem, Direction, Gas, Heat, Outcome, air_heat, kinematic_ratio, outcome, warming,
};
use crate::arrangement::{Balance, FanState};
use crate::fan::STANDARD_DENSITY;
use crate::grain::GrainLaw;
use notice::Range;
use physics::air;

/// Volume ratios and kinematic ratios of the table: about −35 to 60 °C at the grain from sea level to 3000 m, and heat up
/// to a third of absolute temperature.
const VOLUME: Axis<15> = Axis { low: 0.92, high: 1.34 };
const KINEMATIC: Axis<30> = Axis { low: 0.62, high: 2.07 };
/// Coarse axes for the flat table.
const COARSE_VOLUME: Axis<4> = Axis { low: 0.92, high: 1.34 };
const COARSE_KINEMATIC: Axis<5> = Axis { low: 0.62, high: 2.07 };
/// Steps from first point to peak.
const STEPS: usize = 96;
/// Temperature at which fan heat warms the table's air, °C; its effect on the airflow elsewhere is below 0.03 %.
const NOMINAL_TEMPERATURE: f64 = 10.0;
/// Humidity ratio that goes with it.
const NOMINAL_HUMIDITY_RATIO: f64 = 0.005;

#[derive(Debug, Clone, Copy)]
struct Axis<const N: usize> {
    low: f64,
    high: f64,
}

impl<const N: usize> Axis<N> {
    fn node(&self, i: usize) -> f64 {
        self.low + (self.high - self.low) * i as f64 / (N - 1) as f64
    }

    fn contains(&self, x: f64) -> bool {
        x >= self.low && x <= self.high
    }

    /// Cell and fraction within it of a contained value.
    #[inline]
    fn place(&self, x: f64) -> (usize, f64) {
        let at = (x - self.low) * ((N - 1) as f64 / (self.high - self.low));
        let i = (at as usize).min(N - 2);
        (i, at - i as f64)
    }
}

/// Per unit of standard air: airflow, pressure, shaft power, electric input, heat to the air, load of the most loaded motor.
type Channels = [f64; 6];

/// Table of one number of running fans.
#[derive(Debug, Clone)]
struct Running {
    /// Depths (first point left, peak reached) at the fine nodes, kinematic fastest.
    depths: Vec<[f64; 2]>,
    /// Channels at the coarse nodes, step fastest.
    channels: Vec<Channels>,
    /// Channels at the held first point, where the outfit is held as one; pressure there is linear in depth.
    held: Option<Channels>,
}

/// What the map is asked; see [`MapQuery::new`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MapQuery {
    /// Density of the moist air at the fan inlet, kg/m³.
    pub inlet_density: f64,
    /// Its humidity ratio, kg/kg.
    pub inlet_humidity_ratio: f64,
    /// Volume per kg dry air at the grain over that at the fan inlet, fan heat left out: the rise of a discharge burner.
    pub volume_ratio: f64,
    /// Kinematic viscosity at the grain over that of air of 20 °C and 1.2 kg/m³, fan heat left out.
    pub kinematic_ratio: f64,
    /// Depth of loose clean grain of the same resistance, m.
    pub effective_depth: f64,
    /// Fans running, counted from the first.
    pub fans_running: usize,
}

impl MapQuery {
    /// The query of outside air (°C, kg/kg, Pa) warmed by a burner by `rise` K on the side and with the water of `heat`
    /// (its amount is ignored), pressure system.
    pub fn new(
        temperature: f64,
        humidity_ratio: f64,
        pressure: f64,
        rise: f64,
        heat: &Heat,
        depth: f64,
        fans: usize,
    ) -> Self {
        let water = rise * air_heat(humidity_ratio) * heat.water_per_joule;
        let (hot, wet) = (temperature + rise, humidity_ratio + water);
        let hot_volume = air::specific_volume(hot, wet, pressure);
        let upstream = heat.side == crate::burner::BurnerSide::Inlet;
        let (inlet_volume, inlet_humidity_ratio) = if upstream || rise == 0.0 {
            (hot_volume, wet)
        } else {
            (air::specific_volume(temperature, humidity_ratio, pressure), humidity_ratio)
        };
        Self {
            inlet_density: (1.0 + inlet_humidity_ratio) / inlet_volume,
            inlet_humidity_ratio,
            volume_ratio: hot_volume / inlet_volume,
            kinematic_ratio: kinematic_ratio(hot, (1.0 + wet) / hot_volume),
            effective_depth: depth,
            fans_running: fans,
        }
    }

    /// The query of a suction system: outside air enters the grain and leaves it at `exit` (°C, kg/kg) towards the fan.
    pub fn suction(
        temperature: f64,
        humidity_ratio: f64,
        pressure: f64,
        exit: (f64, f64),
        depth: f64,
        fans: usize,
    ) -> Self {
        let grain = air::specific_volume(temperature, humidity_ratio, pressure);
        let fan = air::specific_volume(exit.0, exit.1, pressure);
        Self {
            inlet_density: (1.0 + exit.1) / fan,
            inlet_humidity_ratio: exit.1,
            volume_ratio: grain / fan,
            kinematic_ratio: kinematic_ratio(temperature, (1.0 + humidity_ratio) / grain),
            effective_depth: depth,
            fans_running: fans,
        }
    }
}

/// A working point from the map.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MapPoint {
    /// What came of it.
    pub outcome: Outcome,
    /// What to note.
    pub flags: AirFlags,
    /// Dry air through the grain, kg/s.
    pub dry_air_flow: f64,
    /// Dry air through the fans, kg/s.
    pub fan_dry_air_flow: f64,
    /// Airflow at the fan inlets, m³/s.
    pub fan_airflow: f64,
    /// Static pressure of the outfit, Pa.
    pub fan_static_pressure: f64,
    /// Pressure between plenum and open air, Pa.
    pub plenum_pressure: f64,
    /// Shaft power, W.
    pub shaft_power: f64,
    /// Electric input, W.
    pub input_power: f64,
    /// Rise of the grain's air by the fans, K.
    pub fan_heat: f64,
}

impl MapPoint {
    const OFF: Self = Self {
        outcome: Outcome::Off,
        flags: AirFlags {
            unstable: false,
            held_below_first: false,
            beyond_curve: false,
            overload: false,
            back_flow: false,
            outside_resistance: false,
            estimated_power: false,
        },
        dry_air_flow: 0.0,
        fan_dry_air_flow: 0.0,
        fan_airflow: 0.0,
        fan_static_pressure: 0.0,
        plenum_pressure: 0.0,
        shaft_power: 0.0,
        input_power: 0.0,
        fan_heat: 0.0,
    };
}

impl From<&AirPoint> for MapPoint {
    fn from(p: &AirPoint) -> Self {
        Self {
            outcome: p.outcome,
            flags: p.flags,
            dry_air_flow: p.dry_air_flow,
            fan_dry_air_flow: p.fan_dry_air_flow,
            fan_airflow: p.fan_airflow,
            fan_static_pressure: p.fan_static_pressure,
            plenum_pressure: p.plenum_pressure,
            shaft_power: p.shaft_power,
            input_power: p.input_power,
            fan_heat: p.fan_heat,
        }
    }
}

/// An air system with one grain law, compiled.
#[derive(Debug, Clone)]
pub struct AirMap<G> {
    system: AirSystem,
    law: G,
    velocity_range: Option<Range>,
    compression: f64,
    running: Vec<Running>,
}

impl<G: GrainLaw + Clone> AirMap<G> {
    /// Compiles a system for a grain law at a barometric pressure (Pa; it matters only between fans in series).
    ///
    /// Costs about 2,000 solves for each number of running fans.
    pub fn new(system: &AirSystem, law: G, velocity_range: Option<Range>, pressure: f64) -> Self {
        let mut map =
            Self { system: system.clone(), law, velocity_range, compression: 1.0 / pressure, running: Vec::new() };
        map.running = (1..=system.outfit.fans().len()).map(|count| map.compile(count)).collect();
        map
    }

    fn nominal_gas(&self, volume_ratio: f64, kinematic: f64) -> Gas {
        let warming = match self.system.direction {
            Direction::Pressure => warming(NOMINAL_HUMIDITY_RATIO, NOMINAL_TEMPERATURE),
            Direction::Suction => 0.0,
        };
        Gas { volume_ratio, kinematic, warming }
    }

    fn balance(&self, count: usize, depth: f64, gas: Gas) -> Balance {
        self.system.balance(&self.law, depth, count, self.compression, |_| gas)
    }

    fn compile(&self, count: usize) -> Running {
        let mut depths = Vec::new();
        for i in 0..VOLUME.len() {
            for j in 0..KINEMATIC.len() {
                depths.push(self.depths(count, self.nominal_gas(VOLUME.node(i), KINEMATIC.node(j))));
            }
        }
        let mut channels = Vec::new();
        for i in 0..COARSE_VOLUME.len() {
            for j in 0..COARSE_KINEMATIC.len() {
                let gas = self.nominal_gas(COARSE_VOLUME.node(i), COARSE_KINEMATIC.node(j));
                let [first, peak] = self.depths(count, gas);
                for k in 0..=STEPS {
                    // A hair inside, so that rounding does not put an end node on the other side.
                    let u = (k as f64 / STEPS as f64).clamp(1e-9, 1.0 - 1e-9);
                    channels.push(self.channels(count, &self.balance(count, first + u * (peak - first), gas)));
                }
            }
        }
        let outfit = &self.system.outfit;
        let held = outfit.along_one_flow(count).then(|| {
            let (_, _, most) = outfit.flow_bounds(count, self.compression);
            self.channels(count, &outfit.point_along(count, most, self.compression, Some(0.0)))
        });
        Running { depths, channels, held }
    }

    /// Effective depths at which the outfit leaves its first point and reaches its peak; not below zero.
    fn depths(&self, count: usize, gas: Gas) -> [f64; 2] {
        self.ends(count).map(|(airflow, pressure, heat)| {
            let (fixed, per_metre) = self.system.loads(&self.law, &gas, airflow, heat);
            ((pressure - fixed) / per_metre).max(0.0)
        })
    }

    /// (airflow, pressure, heat) at standard air where the last fan leaves its first point, and where the first one peaks.
    fn ends(&self, count: usize) -> [(f64, f64, f64); 2] {
        let outfit = &self.system.outfit;
        if outfit.along_one_flow(count) {
            let (_, peak, most) = outfit.flow_bounds(count, self.compression);
            return [most, peak].map(|q| {
                let (pressure, heat) = outfit.along(count, q, self.compression);
                (q * outfit.multiple(count), pressure, heat)
            });
        }
        let fans = &outfit.fans()[..count];
        let first = fans.iter().map(|f| f.curve.first_pressure()).fold(0.0, f64::max);
        let peak = fans.iter().map(|f| f.curve.peak_pressure()).fold(f64::INFINITY, f64::min);
        [first.min(peak), peak].map(|pressure| {
            let (airflow, heat) = fans.iter().fold((0.0, 0.0), |(q, heat), fan| {
                let own = fan.curve.airflow(pressure).unwrap_or(fan.curve.peak_airflow());
                (q + own, heat + fan.heat_to_air(fan.curve.shaft_power(own)))
            });
            (airflow, pressure, heat)
        })
    }

    fn channels(&self, count: usize, balance: &Balance) -> Channels {
        let mut c = [balance.airflow, balance.pressure, 0.0, 0.0, 0.0, 0.0];
        for (fan, member) in self.system.outfit.fans()[..count].iter().zip(&balance.members) {
            let shaft = member.shaft_power;
            c[2] += shaft;
            c[3] += fan.input_power(shaft);
            c[4] += if balance.airflow > 0.0 { fan.heat_to_air(shaft) } else { 0.0 };
            c[5] = f64::max(c[5], shaft / (fan.motor_power * fan.service_factor));
        }
        c
    }

    /// The working point of a query.
    #[inline]
    pub fn at(&self, query: &MapQuery) -> MapPoint {
        let count = query.fans_running.min(self.running.len());
        if count == 0 {
            return MapPoint::OFF;
        }
        let (r, s) = (query.volume_ratio, query.kinematic_ratio);
        if !(VOLUME.contains(r) && KINEMATIC.contains(s)) {
            return self.solved(query, count);
        }
        let table = &self.running[count - 1];
        let [first, peak] = table.depths_at(r, s);
        // Near an end the interpolated depth cannot say on which side of it the fan works; its closed form can.
        let near = 0.01 * peak;
        let depth = query.effective_depth;
        let (first, peak) = if (depth - first).abs() < near || (depth - peak).abs() < near {
            let [first, peak] = self.depths(count, self.nominal_gas(r, s));
            (first, peak)
        } else {
            (first, peak)
        };
        if depth > peak || peak <= 0.0 {
            return self.solved(query, count);
        }
        if depth < first {
            let Some(mut held) = table.held else { return self.solved(query, count) };
            let (fixed, per_metre) = self.system.loads(&self.law, &self.nominal_gas(r, s), held[0], held[4]);
            held[1] = fixed + per_metre * depth;
            return self.point(query, count, &held, true);
        }
        self.point(query, count, &table.channels_at(r, s, (depth - first) / (peak - first)), false)
    }

    #[cold]
    fn solved(&self, query: &MapQuery, count: usize) -> MapPoint {
        let balance =
            self.balance(count, query.effective_depth, self.nominal_gas(query.volume_ratio, query.kinematic_ratio));
        let mut point = self.point(query, count, &self.channels(count, &balance), false);
        let members = &balance.members[..count];
        let any = |s: FanState| members.iter().any(|m| m.state == s);
        point.flags.unstable = any(FanState::Unstable);
        point.flags.held_below_first = any(FanState::Held);
        point.flags.beyond_curve = any(FanState::Out);
        point.flags.back_flow |= balance.airflow > 0.0 && any(FanState::Out);
        point.outcome = outcome(&point.flags);
        point
    }

    #[inline]
    fn point(&self, query: &MapQuery, count: usize, c: &Channels, held: bool) -> MapPoint {
        let k = self.system.coefficients();
        let scale = query.inlet_density * (1.0 / STANDARD_DENSITY);
        let fan_dry_air_flow = c[0] * query.inlet_density / (1.0 + query.inlet_humidity_ratio);
        let velocity = c[0] * query.volume_ratio * k.through_grain / self.system.bed_area;
        let fans = self.system.outfit.fans();
        let flags = AirFlags {
            held_below_first: held,
            overload: c[5] * scale > 1.0,
            back_flow: count < fans.len(),
            outside_resistance: self.velocity_range.is_some_and(|r| c[0] > 0.0 && !r.contains(velocity)),
            estimated_power: fans[..count].iter().any(|f| f.curve.power_band.is_some()),
            ..MapPoint::OFF.flags
        };
        let warms = self.system.direction == Direction::Pressure && c[0] > 0.0;
        MapPoint {
            outcome: if held { Outcome::HeldBelowFirst } else { Outcome::Works },
            flags,
            dry_air_flow: fan_dry_air_flow * k.through_grain,
            fan_dry_air_flow,
            fan_airflow: c[0],
            fan_static_pressure: c[1] * scale,
            plenum_pressure: (c[1] - k.transition * c[0] * c[0]) * scale,
            shaft_power: c[2] * scale,
            input_power: c[3] * scale,
            fan_heat: if warms {
                c[4] * scale / (fan_dry_air_flow * air_heat(query.inlet_humidity_ratio))
            } else {
                0.0
            },
        }
    }
}

impl<const N: usize> Axis<N> {
    const fn len(&self) -> usize {
        N
    }
}

impl Running {
    #[inline]
    fn depths_at(&self, r: f64, s: f64) -> [f64; 2] {
        let ((i, x), (j, y)) = (VOLUME.place(r), KINEMATIC.place(s));
        let n = KINEMATIC.len();
        let low = &self.depths[i * n + j..i * n + j + 2];
        let high = &self.depths[(i + 1) * n + j..(i + 1) * n + j + 2];
        [0, 1].map(|e| {
            let a = low[0][e] + y * (low[1][e] - low[0][e]);
            let b = high[0][e] + y * (high[1][e] - high[0][e]);
            a + x * (b - a)
        })
    }

    #[inline]
    fn channels_at(&self, r: f64, s: f64, u: f64) -> Channels {
        let ((i, x), (j, y)) = (COARSE_VOLUME.place(r), COARSE_KINEMATIC.place(s));
        let at = u.clamp(0.0, 1.0) * STEPS as f64;
        let k = (at as usize).min(STEPS - 1);
        let z = at - k as f64;
        let row = |i: usize, j: usize| {
            let from = (i * COARSE_KINEMATIC.len() + j) * (STEPS + 1) + k;
            &self.channels[from..from + 2]
        };
        let corners = [(row(i, j), (1.0 - x) * (1.0 - y)), (row(i, j + 1), (1.0 - x) * y)];
        let others = [(row(i + 1, j), x * (1.0 - y)), (row(i + 1, j + 1), x * y)];
        let mut c = [0.0; 6];
        for (pair, weight) in corners.into_iter().chain(others) {
            for (value, (a, b)) in c.iter_mut().zip(pair[0].iter().zip(&pair[1])) {
                *value += weight * (a + z * (b - a));
            }
        }
        c
    }
}

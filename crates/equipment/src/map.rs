//! The working point compiled into a table: what `AirSystem::solve` finds, at the price of a few interpolations.
//!
//! Dividing the balance by the density at the fan leaves an airflow that depends on three numbers only: effective depth,
//! volume ratio (grain over fan) and kinematic viscosity at the grain. For each pair of the last two the depths at which
//! the outfit leaves its first point and reaches its peak have a closed form; between them the airflow is tabulated
//! against the fraction of the way, which leaves a table nearly flat in the two gas numbers. Pressure and power hang on
//! the airflow alone. Outside (stalled, hotter or colder than the table, unlike fans partly held) the solver itself
//! answers. Nothing is allocated after building.

use crate::air::{AirFlags, AirSystem, Direction, Outcome, outcome};
use crate::arrangement::{Arrangement, Balance, FanState};
use crate::fan::STANDARD_DENSITY;
use crate::grain::GrainLaw;
use crate::path::{Gas, warming};
use crate::query::{MapPoint, MapQuery};
use notice::Range;
use numerics::Real;
use physics::air;

/// Volume ratios and kinematic ratios of the table: about −35 to 60 °C at the grain from sea level to 3000 m, and heat up
/// to a third of absolute temperature.
const VOLUME: Axis<15> = Axis { low: 0.92, high: 1.34 };
const KINEMATIC: Axis<30> = Axis { low: 0.62, high: 2.07 };
/// Coarse axes for the flat table.
const COARSE_VOLUME: Axis<5> = Axis { low: 0.92, high: 1.34 };
const COARSE_KINEMATIC: Axis<7> = Axis { low: 0.62, high: 2.07 };
/// Steps of depth from first point to peak.
const DEPTH_STEPS: usize = 64;
/// Steps of airflow from peak to first point.
const AIRFLOW_STEPS: usize = 160;
/// Temperature at which fan heat warms the table's air, °C; the difference elsewhere is made up for.
const NOMINAL_TEMPERATURE: f64 = 10.0;
/// Humidity ratio that goes with it.
const NOMINAL_HUMIDITY_RATIO: f64 = 0.005;
/// Density ratio gained per Pa of standard pressure at that temperature: density over pressure knows only temperature.
const NOMINAL_COMPRESSION: f64 =
    1.0 / (STANDARD_DENSITY * air::GAS_CONSTANT_DRY_AIR * (NOMINAL_TEMPERATURE + air::ZERO_CELSIUS_K));

#[derive(Debug, Clone, Copy)]
struct Axis<const N: usize> {
    low: f64,
    high: f64,
}

impl<const N: usize> Axis<N> {
    const fn len(&self) -> usize {
        N
    }

    fn nodes(self) -> impl Iterator<Item = f64> {
        (0..N).map(move |i| self.low + (self.high - self.low) * i as f64 / (N - 1) as f64)
    }

    #[inline]
    fn contains(&self, x: f64) -> bool {
        x >= self.low && x <= self.high
    }

    /// Cell and fraction within it of a contained value.
    #[inline]
    fn place(&self, x: f64) -> (usize, f64) {
        let at = (x - self.low) * ((N - 1) as f64 / (self.high - self.low));
        let i = (at as i32 as usize).min(N - 2);
        (i, at - i as f64)
    }
}

/// At standard air: pressure, shaft power, electric input, heat to the air per airflow, load of the most loaded motor; one
/// to spare.
type Channels = [f64; 6];

/// Table of one number of running fans.
#[derive(Debug, Clone)]
struct Running {
    /// Depths (first point left, peak reached) at the fine nodes, kinematic ratio fastest.
    depths: Vec<[f64; 2]>,
    /// Airflow at the coarse nodes, depth step fastest.
    airflow: Vec<f64>,
    /// Channels at even steps of airflow from the peak to the first point.
    channels: Vec<Channels>,
    /// Airflow at the peak and at the first point.
    span: [f64; 2],
    /// Steps per airflow.
    per_airflow: f64,
    /// Whether the outfit is held at its first point as one.
    holds_as_one: bool,
    /// Flags that do not depend on the query.
    flags: AirFlags,
    /// Heat per airflow half way along the table, J/m³ at standard air: what fan heat is like here.
    typical_heat: f64,
    /// Relative gain of pressure half way for a compression of 1 per Pa; zero but for fans in series.
    typical_gain: f64,
}

/// An air system with one grain law, compiled.
#[derive(Debug, Clone)]
pub struct AirMap<G> {
    system: AirSystem,
    law: G,
    velocity_range: Option<Range>,
    nominal_warming: f64,
    running: Vec<Running>,
}

impl<G: GrainLaw> AirMap<G> {
    /// Compiles a system for a grain law.
    ///
    /// Costs some 2,300 solves for each number of running fans.
    pub fn new(system: &AirSystem, law: G, velocity_range: Option<Range>) -> Self {
        let nominal_warming = match system.direction {
            Direction::Pressure => warming(NOMINAL_HUMIDITY_RATIO, NOMINAL_TEMPERATURE),
            Direction::Suction => 0.0,
        };
        let mut map = Self { system: system.clone(), law, velocity_range, nominal_warming, running: Vec::new() };
        map.running = (1..=system.outfit.fans().len()).map(|count| map.compile(count)).collect();
        map
    }

    /// The system it stands for.
    pub fn system(&self) -> &AirSystem {
        &self.system
    }

    fn balance(&self, count: usize, depth: f64, gas: Gas, compression: f64) -> Balance {
        self.system.balance(&self.law, depth, count, compression, |_| gas)
    }

    fn compile(&self, count: usize) -> Running {
        let outfit = &self.system.outfit;
        let nominal = |volume_ratio, kinematic: f64| Gas {
            volume_ratio,
            log_kinematic: Real::ln(kinematic),
            warming: self.nominal_warming,
        };
        let depths = VOLUME
            .nodes()
            .flat_map(|r| KINEMATIC.nodes().map(move |s| (r, s)))
            .map(|(r, s)| self.depths(count, nominal(r, s), NOMINAL_COMPRESSION))
            .collect();
        let mut airflow = Vec::new();
        for (r, s) in COARSE_VOLUME.nodes().flat_map(|r| COARSE_KINEMATIC.nodes().map(move |s| (r, s))) {
            let gas = nominal(r, s);
            let [first, peak] = self.depths(count, gas, NOMINAL_COMPRESSION);
            for k in 0..=DEPTH_STEPS {
                // A hair inside, so that rounding does not put an end node on the other side.
                let u = (k as f64 / DEPTH_STEPS as f64).clamp(1e-9, 1.0 - 1e-9);
                airflow.push(self.balance(count, first + u * (peak - first), gas, NOMINAL_COMPRESSION).airflow);
            }
        }
        let [least, most] = outfit.bank(count).span(NOMINAL_COMPRESSION);
        let channels: Vec<Channels> = (0..=AIRFLOW_STEPS)
            .map(|k| least + (most - least) * k as f64 / AIRFLOW_STEPS as f64)
            .map(|q| self.channels(count, &outfit.bank(count).at_airflow(q, NOMINAL_COMPRESSION)))
            .collect();
        let middle = 0.5 * (most + least);
        let typical_gain = if outfit.arrangement() == Arrangement::Series {
            let pressure = |compression: f64| outfit.bank(count).along(middle, compression).0;
            (pressure(1.1 * NOMINAL_COMPRESSION) / pressure(NOMINAL_COMPRESSION) - 1.0) / (0.1 * NOMINAL_COMPRESSION)
        } else {
            0.0
        };
        let fans = outfit.fans();
        Running {
            depths,
            airflow,
            typical_heat: channels[AIRFLOW_STEPS / 2][3],
            channels,
            span: [least, most],
            per_airflow: AIRFLOW_STEPS as f64 / (most - least),
            holds_as_one: outfit.bank(count).along_one_flow(),
            flags: AirFlags {
                back_flow: self.system.leaks_back(count),
                estimated_power: fans[..count].iter().any(|f| f.curve.power_band.is_some()),
                ..AirFlags::default()
            },
            typical_gain,
        }
    }

    /// Effective depths at which the outfit leaves its first point and reaches its peak; not below zero.
    fn depths(&self, count: usize, gas: Gas, compression: f64) -> [f64; 2] {
        self.system.outfit.bank(count).ends(compression).map(|(airflow, pressure, heat)| {
            let (fixed, per_metre) = self.system.loads(&self.law, &gas, airflow, heat);
            ((pressure - fixed) / per_metre).max(0.0)
        })
    }

    fn channels(&self, count: usize, balance: &Balance) -> Channels {
        let mut c = [balance.pressure, 0.0, 0.0, 0.0, 0.0, 0.0];
        for (fan, member) in self.system.outfit.fans()[..count].iter().zip(&balance.members) {
            let shaft = member.shaft_power;
            c[1] += shaft;
            c[2] += fan.input_power(shaft);
            if member.airflow > 0.0 {
                c[3] += fan.heat_to_air(shaft) / balance.airflow;
            }
            c[4] = f64::max(c[4], shaft / (fan.motor_power * fan.service_factor));
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
        let table = &self.running[count - 1];
        // The table warms its air by the fan at one temperature; what the day's differs by, as if it came with the query.
        let shift = (query.warming - self.nominal_warming) * table.typical_heat;
        let (r, s) = (query.volume_ratio * (1.0 + shift), query.kinematic_ratio * (1.0 + 1.78 * shift));
        if !(VOLUME.contains(r) && KINEMATIC.contains(s)) {
            return self.solved(query, count);
        }
        // Likewise for the compression between fans in series: more pressure is less depth.
        let squeeze = 1.0 + (query.compression - NOMINAL_COMPRESSION) * table.typical_gain;
        let [mut first, mut peak] = table.depths_at(r, s).map(|depth| depth * squeeze);
        let depth = query.effective_depth;
        // Near an end the interpolated depth cannot say on which side of it the fan works; its closed form can.
        let near = 0.005 * peak;
        if (depth - first).abs() < near || (depth - peak).abs() < near {
            [first, peak] = self.exact_depths(query, count);
        }
        if depth >= peak {
            return self.solved(query, count);
        }
        if depth < first {
            return self.held(query, count);
        }
        let airflow = table.airflow_at(r, s, (depth - first) / (peak - first));
        let mut channels = table.channels_at(airflow);
        channels[0] *= squeeze;
        self.point(query, table, airflow, &channels)
    }

    #[cold]
    fn exact_depths(&self, query: &MapQuery, count: usize) -> [f64; 2] {
        self.depths(count, query.gas(), query.compression)
    }

    /// Airflow held at the first point: the pressure is what the system takes there.
    #[cold]
    fn held(&self, query: &MapQuery, count: usize) -> MapPoint {
        let table = &self.running[count - 1];
        if !table.holds_as_one {
            return self.solved(query, count);
        }
        let airflow = table.span[1];
        let mut channels = table.channels[AIRFLOW_STEPS];
        let (fixed, per_metre) = self.system.loads(&self.law, &query.gas(), airflow, channels[3] * airflow);
        channels[0] = fixed + per_metre * query.effective_depth;
        let mut point = self.point(query, table, airflow, &channels);
        point.flags.held_below_first = true;
        point.outcome = Outcome::HeldBelowFirst;
        point
    }

    #[cold]
    fn solved(&self, query: &MapQuery, count: usize) -> MapPoint {
        let balance = self.balance(count, query.effective_depth, query.gas(), query.compression);
        let channels = self.channels(count, &balance);
        let mut point = self.point(query, &self.running[count - 1], balance.airflow, &channels);
        let any = |s: FanState| balance.members[..count].iter().any(|m| m.state == s);
        point.flags.unstable = any(FanState::Unstable);
        point.flags.held_below_first = any(FanState::Held);
        point.flags.beyond_curve = any(FanState::Out);
        point.flags.back_flow |= balance.airflow > 0.0 && any(FanState::Out);
        point.outcome = outcome(&point.flags);
        point
    }

    #[inline]
    fn point(&self, query: &MapQuery, table: &Running, airflow: f64, c: &Channels) -> MapPoint {
        let k = self.system.coefficients();
        let scale = query.inlet_density * (1.0 / STANDARD_DENSITY);
        let fan_dry_air_flow = airflow * query.inlet_dry_density;
        let mut flags = table.flags;
        flags.overload = c[4] * scale > 1.0;
        if let Some(range) = self.velocity_range {
            let velocity = airflow * query.volume_ratio * k.through_grain / self.system.bed_area;
            flags.outside_resistance = airflow > 0.0 && !range.contains(velocity);
        }
        let lost = k.transition * airflow * airflow;
        MapPoint {
            outcome: Outcome::Works,
            flags,
            dry_air_flow: fan_dry_air_flow * k.through_grain,
            fan_dry_air_flow,
            fan_airflow: airflow,
            fan_static_pressure: c[0] * scale,
            plenum_pressure: (c[0] - lost) * scale,
            shaft_power: c[1] * scale,
            input_power: c[2] * scale,
            fan_heat: c[3] * query.rise_per_heat,
        }
    }
}

impl Running {
    #[inline]
    fn depths_at(&self, r: f64, s: f64) -> [f64; 2] {
        let ((i, x), (j, y)) = (VOLUME.place(r), KINEMATIC.place(s));
        let row = |i: usize| {
            let from = i * KINEMATIC.len() + j;
            let pair = &self.depths[from..from + 2];
            [0, 1].map(|e| pair[0][e] + y * (pair[1][e] - pair[0][e]))
        };
        let (low, high) = (row(i), row(i + 1));
        [0, 1].map(|e| low[e] + x * (high[e] - low[e]))
    }

    #[inline]
    fn airflow_at(&self, r: f64, s: f64, u: f64) -> f64 {
        let ((i, x), (j, y)) = (COARSE_VOLUME.place(r), COARSE_KINEMATIC.place(s));
        let at = u.clamp(0.0, 1.0) * DEPTH_STEPS as f64;
        let k = (at as i32 as usize).min(DEPTH_STEPS - 1);
        let z = at - k as f64;
        let column = |i: usize, j: usize| {
            let from = (i * COARSE_KINEMATIC.len() + j) * (DEPTH_STEPS + 1) + k;
            let pair = &self.airflow[from..from + 2];
            pair[0] + z * (pair[1] - pair[0])
        };
        let row = |i: usize| {
            let (low, high) = (column(i, j), column(i, j + 1));
            low + y * (high - low)
        };
        let (low, high) = (row(i), row(i + 1));
        low + x * (high - low)
    }

    #[inline]
    fn channels_at(&self, airflow: f64) -> Channels {
        let at = ((airflow - self.span[0]) * self.per_airflow).clamp(0.0, AIRFLOW_STEPS as f64);
        let k = (at as i32 as usize).min(AIRFLOW_STEPS - 1);
        let z = at - k as f64;
        let pair = &self.channels[k..k + 2];
        std::array::from_fn(|c| pair[0][c] + z * (pair[1][c] - pair[0][c]))
    }
}

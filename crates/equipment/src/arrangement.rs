//! Several fans on one plenum: parallel or series, alike or not, and where each of them works.
//!
//! Idle parallel fans count as shut (an open one leaks backwards; the result only flags it). Leaves out inlet effects of
//! fans on each other.

use crate::fan::{Fan, STANDARD_DENSITY};

/// Most fans of one outfit; keeps results free of allocation.
pub const MAX_FANS: usize = 8;

/// How the fans stand to each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Arrangement {
    /// Each blows into the same plenum: airflows add at equal pressure.
    Parallel,
    /// One blows into the next: pressures add at equal mass flow, later fans see denser air.
    Series,
}

/// Where a fan works on its own curve.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FanState {
    /// On the stable side, between its points.
    Stable,
    /// Below the pressure of its first point: its airflow is held there (filling only).
    Held,
    /// Left of the peak of pressure.
    Unstable,
    /// Beyond its curve: no airflow is claimed.
    Out,
}

/// Working point of one fan.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MemberPoint {
    /// Airflow at its own inlet, m³/s.
    pub airflow: f64,
    /// Static pressure it gives, Pa.
    pub pressure: f64,
    /// Shaft power, W.
    pub shaft_power: f64,
    /// Where on its curve.
    pub state: FanState,
}

impl MemberPoint {
    pub(crate) const IDLE: Self = Self { airflow: 0.0, pressure: 0.0, shaft_power: 0.0, state: FanState::Out };
}

/// Why fans make no outfit.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum OutfitError {
    /// No fan at all.
    #[error("an outfit needs at least one fan")]
    Empty,
    /// More than [`MAX_FANS`].
    #[error("{fans} fans in one outfit, at most {MAX_FANS} are handled")]
    TooMany {
        /// Fans given.
        fans: usize,
    },
}

/// The fans of a bin.
#[derive(Debug, Clone, PartialEq)]
pub struct Outfit {
    fans: Vec<Fan>,
    arrangement: Arrangement,
}

/// Solution for an outfit at standard air: members first to last, pressures and powers still to be scaled by density.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Balance {
    pub airflow: f64,
    pub pressure: f64,
    pub members: [MemberPoint; MAX_FANS],
}

/// The system against the fans, at standard air: required pressure (Pa) at an airflow (m³/s) when the fans put `heat` (W)
/// into it. Must not fall as airflow rises.
pub(crate) trait System {
    fn required(&self, airflow: f64, heat: f64) -> f64;
}

impl<F: Fn(f64, f64) -> f64> System for F {
    #[inline]
    fn required(&self, airflow: f64, heat: f64) -> f64 {
        self(airflow, heat)
    }
}

impl Outfit {
    /// An outfit of the given fans, in order from the open air when in series.
    ///
    /// # Errors
    /// [`OutfitError`] for none or too many.
    pub fn new(fans: Vec<Fan>, arrangement: Arrangement) -> Result<Self, OutfitError> {
        match fans.len() {
            0 => Err(OutfitError::Empty),
            n if n > MAX_FANS => Err(OutfitError::TooMany { fans: n }),
            _ => Ok(Self { fans, arrangement }),
        }
    }

    /// The fans.
    pub fn fans(&self) -> &[Fan] {
        &self.fans
    }

    /// How they stand.
    pub fn arrangement(&self) -> Arrangement {
        self.arrangement
    }

    /// The curve of the first `count` fans together, on its stable side: (airflow m³/s, static pressure Pa, shaft power W)
    /// at an inlet density (kg/m³) and barometric pressure (Pa), `steps` + 1 points from peak to most air; for plots.
    pub fn curve(&self, count: usize, density: f64, barometer: f64, steps: usize) -> Vec<(f64, f64, f64)> {
        let bank = self.bank(count);
        if bank.fans.is_empty() || steps == 0 {
            return Vec::new();
        }
        let scale = density / STANDARD_DENSITY;
        let compression = scale / barometer;
        let [least, most] = bank.span(compression);
        (0..=steps)
            .map(|i| least + (most - least) * i as f64 / steps as f64)
            .map(|q| {
                let balance = bank.at_airflow(q, compression);
                let shaft: f64 = balance.members[..bank.fans.len()].iter().map(|m| m.shaft_power).sum();
                (q, balance.pressure * scale, shaft * scale)
            })
            .collect()
    }

    /// The first `count` of them, as running.
    pub(crate) fn bank(&self, count: usize) -> Bank<'_> {
        Bank { fans: &self.fans[..count.min(self.fans.len())], arrangement: self.arrangement }
    }
}

/// Running fans; borrowed, so that nothing is allocated while solving.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Bank<'a> {
    fans: &'a [Fan],
    arrangement: Arrangement,
}

impl Bank<'_> {
    /// Whether the fans share one airflow variable (alone, series, or equal fans in parallel).
    pub(crate) fn along_one_flow(&self) -> bool {
        self.arrangement == Arrangement::Series || self.fans[1..].iter().all(|f| f.curve == self.fans[0].curve)
    }

    /// How many times the common airflow passes the plenum.
    pub(crate) fn multiple(&self) -> f64 {
        if self.arrangement == Arrangement::Series { 1.0 } else { self.fans.len() as f64 }
    }

    /// Pressure and heat to the air at a common airflow `q` (per fan when parallel), standard air.
    /// `compression` is density ratio gained per Pa of standard pressure.
    #[inline]
    pub(crate) fn along(&self, q: f64, compression: f64) -> (f64, f64) {
        if self.arrangement == Arrangement::Parallel {
            let fan = &self.fans[0];
            let shaft = fan.curve.shaft_power(q);
            let heat = self.fans.iter().map(|f| f.heat_to_air(shaft)).sum();
            return (fan.curve.pressure(q), heat);
        }
        let (mut pressure, mut heat) = (0.0, 0.0);
        for fan in self.fans {
            let denser = 1.0 + compression * pressure;
            pressure += denser * fan.curve.pressure(q / denser);
            heat += denser * fan.heat_to_air(fan.curve.shaft_power(q / denser));
        }
        (pressure, heat)
    }

    /// Common airflows that bound the tables: (least, end of the stable side, most).
    pub(crate) fn flow_bounds(&self, compression: f64) -> (f64, f64, f64) {
        let (mut least, mut peak, mut most) = (0.0f64, 0.0f64, f64::INFINITY);
        let mut before = 0.0;
        for fan in self.fans {
            let c = &fan.curve;
            let denser = 1.0 + compression * before;
            least = least.max(c.least() * denser);
            peak = peak.max(c.peak_airflow() * denser);
            most = most.min(c.most());
            if self.arrangement == Arrangement::Series {
                before += c.peak_pressure();
            }
        }
        // Very unlike fans in series: one is past its free air before the other reaches its stable side.
        (least.min(most), peak.min(most), most)
    }

    /// (airflow, pressure, heat) at standard air where the last fan leaves its first point, and where the first one peaks.
    pub(crate) fn ends(&self, compression: f64) -> [(f64, f64, f64); 2] {
        if self.along_one_flow() {
            let (_, peak, most) = self.flow_bounds(compression);
            return [most, peak].map(|q| {
                let (pressure, heat) = self.along(q, compression);
                (q * self.multiple(), pressure, heat)
            });
        }
        let first = self.fans.iter().map(|f| f.curve.first_pressure()).fold(0.0, f64::max);
        let peak = self.fans.iter().map(|f| f.curve.peak_pressure()).fold(f64::INFINITY, f64::min);
        [first.min(peak), peak].map(|pressure| {
            let (airflow, heat) = self.fans.iter().fold((0.0, 0.0), |(q, heat), fan| {
                let own = fan.curve.airflow(pressure).unwrap_or(fan.curve.peak_airflow());
                (q + own, heat + fan.heat_to_air(fan.curve.shaft_power(own)))
            });
            (airflow, pressure, heat)
        })
    }

    /// Least and most total airflow of the stable side.
    pub(crate) fn span(&self, compression: f64) -> [f64; 2] {
        let [most, least] = self.ends(compression).map(|(airflow, ..)| airflow);
        [least, most]
    }

    /// Where the fans balance the system; the solution with most air, stable sides first.
    pub(crate) fn balance(&self, compression: f64, system: &impl System) -> Balance {
        if self.along_one_flow() { self.balance_along(compression, system) } else { self.balance_unlike(system) }
    }

    fn balance_along(&self, compression: f64, system: &impl System) -> Balance {
        let (least, peak, most) = self.flow_bounds(compression);
        let multiple = self.multiple();
        let excess = |q: f64| {
            let (pressure, heat) = self.along(q, compression);
            pressure - system.required(q * multiple, heat)
        };
        if excess(most) >= 0.0 {
            let (own, heat) = self.along(most, compression);
            let pressure = system.required(most * multiple, heat);
            let share = if own > 0.0 { pressure / own } else { 0.0 };
            return self.point_along(most, compression, Some(share));
        }
        let tolerance = 1e-9 * most;
        let root = |low: f64, high: f64| numerics::root::brent(&excess, low, high, tolerance).unwrap_or(low);
        if excess(peak) >= 0.0 {
            return self.point_along(root(peak, most), compression, None);
        }
        const STEPS: u32 = 48;
        let mut high = peak;
        for i in 1..=STEPS {
            let low = peak + (least - peak) * f64::from(i) / f64::from(STEPS);
            if low < high && excess(low) >= 0.0 {
                return self.point_along(root(low, high), compression, None);
            }
            high = low;
        }
        self.out(least, compression)
    }

    /// The outfit at a total airflow between its peak and its first point, whatever the system.
    pub(crate) fn at_airflow(&self, airflow: f64, compression: f64) -> Balance {
        if self.along_one_flow() {
            return self.point_along(airflow / self.multiple(), compression, None);
        }
        let fans = self.fans;
        let peak = fans.iter().map(|f| f.curve.peak_pressure()).fold(f64::INFINITY, f64::min);
        let first = fans.iter().map(|f| f.curve.first_pressure()).fold(0.0, f64::max).min(peak);
        let sum = |p: f64| fans.iter().map(|f| f.curve.airflow(p).unwrap_or(0.0)).sum::<f64>();
        let end = if airflow > sum(peak) { first } else { peak };
        let pressure = numerics::root::brent(|p| sum(p) - airflow, first, peak, 1e-9 * peak).unwrap_or(end);
        let all: [usize; MAX_FANS] = std::array::from_fn(|i| i);
        self.point_unlike(&all[..self.fans.len()], pressure, None)
    }

    /// Members at a common airflow; `held` scales pressures when the first point is held.
    fn point_along(&self, q: f64, compression: f64, held: Option<f64>) -> Balance {
        let mut members = [MemberPoint::IDLE; MAX_FANS];
        let mut pressure = 0.0;
        for (member, fan) in members.iter_mut().zip(self.fans) {
            let series = self.arrangement == Arrangement::Series;
            let denser = if series { 1.0 + compression * pressure } else { 1.0 };
            let own = q / denser;
            let state = match held {
                Some(_) => FanState::Held,
                None if own >= fan.curve.peak_airflow() * (1.0 - 1e-9) => FanState::Stable,
                None if own >= fan.curve.least() * (1.0 - 1e-9) => FanState::Unstable,
                None => FanState::Out,
            };
            let gives = denser * fan.curve.pressure(own) * held.unwrap_or(1.0);
            let shaft_power = denser * fan.curve.shaft_power(own);
            *member = MemberPoint { airflow: own, pressure: gives, shaft_power, state };
            pressure = if series { pressure + gives } else { gives };
        }
        Balance { airflow: q * self.multiple(), pressure, members }
    }

    /// No airflow on any curve: the fans turn against their last point and move nothing that could be relied on.
    fn out(&self, least: f64, compression: f64) -> Balance {
        let mut balance = self.point_along(least, compression, None);
        balance.airflow = 0.0;
        for member in &mut balance.members[..self.fans.len()] {
            member.airflow = 0.0;
            member.state = FanState::Out;
        }
        balance
    }

    fn balance_unlike(&self, system: &impl System) -> Balance {
        let mut order = [0usize; MAX_FANS];
        for (i, o) in order.iter_mut().enumerate() {
            *o = i;
        }
        let count = self.fans.len();
        let order = &mut order[..count];
        let peak = |i: usize| self.fans[i].curve.peak_pressure();
        order.sort_unstable_by(|&a, &b| peak(a).total_cmp(&peak(b)).then(a.cmp(&b)));
        // Airflow and heat of the fans still on at a common pressure.
        let sum = |on: &[usize], pressure: f64| {
            on.iter().fold((0.0, 0.0), |(q, heat), &i| {
                let fan = &self.fans[i];
                let own = fan.curve.airflow(pressure).unwrap_or(fan.curve.peak_airflow());
                (q + own, heat + fan.heat_to_air(fan.curve.shaft_power(own)))
            })
        };
        let short = |on: &[usize], pressure: f64| {
            let (q, heat) = sum(on, pressure);
            system.required(q, heat) - pressure
        };
        for k in 0..count {
            let on = &order[k..];
            let low = if k == 0 { 0.0 } else { peak(order[k - 1]) };
            let high = peak(order[k]);
            if k > 0 && short(on, low) <= 0.0 {
                // The weaker fan can be neither fully on nor off: it takes what is left at its peak and hunts.
                let (others, heat) = sum(on, low);
                let weak = order[k - 1];
                let curve = &self.fans[weak].curve;
                let most = curve.peak_airflow();
                // Its heat in proportion to what it moves, so that both ends of the bracket agree with the fan off and on.
                let at_peak = self.fans[weak].heat_to_air(curve.shaft_power(most));
                let gap = |own: f64| system.required(others + own, heat + at_peak * own / most) - low;
                let own = numerics::root::brent(gap, 0.0, most, 1e-9 * most).unwrap_or(most);
                return self.point_unlike(on, low, Some((weak, own)));
            }
            if short(on, high) <= 0.0 {
                let root = numerics::root::brent(|p| short(on, p), low, high, 1e-9 * high).unwrap_or(high);
                return self.point_unlike(on, root, None);
            }
        }
        // Only the strongest is left, and left of its peak if anywhere.
        let strongest = order[count - 1];
        let alone = Bank { fans: &self.fans[strongest..=strongest], arrangement: Arrangement::Parallel };
        let single = alone.balance_along(0.0, system);
        let mut balance = self.point_unlike(&[], single.pressure, None);
        balance.members[strongest] = single.members[0];
        balance.airflow = single.airflow;
        balance
    }

    fn point_unlike(&self, on: &[usize], pressure: f64, weak: Option<(usize, f64)>) -> Balance {
        let mut members = [MemberPoint::IDLE; MAX_FANS];
        let mut airflow = 0.0;
        for (i, (member, fan)) in members.iter_mut().zip(self.fans).enumerate() {
            let curve = &fan.curve;
            let (own, state) = match (on.contains(&i).then(|| curve.airflow(pressure)).flatten(), weak) {
                (Some(own), _) if pressure < curve.first_pressure() => (own, FanState::Held),
                (Some(own), _) => (own, FanState::Stable),
                (None, Some((w, own))) if w == i && own >= curve.least() => (own, FanState::Unstable),
                _ => (0.0, FanState::Out),
            };
            let shaft_power = curve.shaft_power(own.max(curve.least()));
            *member = MemberPoint { airflow: own, pressure, shaft_power, state };
            airflow += own;
        }
        Balance { airflow, pressure, members }
    }
}

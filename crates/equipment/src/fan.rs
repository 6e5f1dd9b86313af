//! A fan as the trade describes it: airflow at static pressures, now and then power, often no density; and the fan laws.
//!
//! Leaves out total pressure and laboratory reduction of tests: the points are taken as static pressure at the plenum side.

use crate::motor;
use crate::provenance::Provenance;
use numerics::interpolate::Monotone;

/// Density for which fan tables are given unless they say otherwise, kg/m³ (0.075 lb/ft³, the fan industry's standard air).
pub const STANDARD_DENSITY: f64 = 1.2;

/// Kind of fan, for defaults of efficiency and shape of power.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum FanKind {
    /// Tube-axial or vane-axial: most air for the money at low pressure, stalls, power high towards shut-off.
    TubeAxial,
    /// Inline centrifugal (mixed flow).
    InlineCentrifugal,
    /// Backward-curved centrifugal of low speed (about 1750 rpm).
    CentrifugalLowSpeed,
    /// Centrifugal of high speed (about 3500 rpm), for deep bins.
    CentrifugalHighSpeed,
    /// Double-inlet, double-width backward-curved centrifugal.
    DoubleInletCentrifugal,
    /// Anything else; defaults are wide.
    Other,
}

/// Where a curve comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// A maker's table or laboratory test.
    Published,
    /// Points measured on the installed fan.
    FieldPoints,
    /// Made up for demonstration; pages that show it are marked DEMO.
    Invented,
}

/// One point of a fan table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurvePoint {
    /// Static pressure, Pa.
    pub pressure: f64,
    /// Airflow at the fan inlet, m³/s.
    pub airflow: f64,
    /// Shaft power, W, where the table gives it.
    pub shaft_power: Option<f64>,
}

impl CurvePoint {
    /// A point of a table that gives electric input (W) instead of shaft power: shaft = input × motor efficiency.
    pub fn from_input(pressure: f64, airflow: f64, input_power: f64, motor_efficiency: f64) -> Self {
        Self { pressure, airflow, shaft_power: Some(input_power * motor_efficiency) }
    }
}

/// Why points are no fan curve.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum CurveError {
    /// Fewer than two points.
    #[error("fan curve has {points} points, at least 2 are needed")]
    CurveTooShort {
        /// Points given.
        points: usize,
    },
    /// A number is NaN or infinite.
    #[error("point {index} of the fan curve is not a number")]
    NotFinite {
        /// Index of the point, from 0.
        index: usize,
    },
    /// A pressure, airflow or power is negative.
    #[error("point {index} of the fan curve has the negative value {value}")]
    Negative {
        /// Index of the point, from 0.
        index: usize,
        /// Value met, SI.
        value: f64,
    },
    /// Airflow does not fall from one point to the next.
    #[error("fan curve goes backwards at point {index}: airflow {airflow} m3/s after {before} m3/s")]
    Backwards {
        /// Index of the later point, from 0, in the order given.
        index: usize,
        /// Its airflow, m³/s.
        airflow: f64,
        /// Airflow of the point before, m³/s.
        before: f64,
    },
    /// Pressure does not rise at all from the first point.
    #[error("fan curve has no stable side: pressure falls from {first} Pa to {second} Pa at once")]
    NoStableSide {
        /// Pressure of the first point, Pa.
        first: f64,
        /// Pressure of the second, Pa.
        second: f64,
    },
    /// Power is given for some points only.
    #[error("fan curve gives power for {with_power} of {points} points; give it for all or none")]
    PartialPower {
        /// Points with power.
        with_power: usize,
        /// All points.
        points: usize,
    },
    /// A rated density, speed, power or efficiency that cannot be.
    #[error("{quantity} of {value}, must be from {low} to {high}")]
    Rating {
        /// Which figure.
        quantity: &'static str,
        /// Value met, SI.
        value: f64,
        /// Lowest accepted.
        low: f64,
        /// Highest accepted.
        high: f64,
    },
}

/// A fan curve at standard air and the speed of its table.
///
/// Kept as pressure against airflow, a monotone cubic between the points, because airflow is single-valued even where a
/// stall dip makes pressure turn. The stable side runs from the first point (most air) to the first peak of pressure;
/// points left of that peak are kept and marked unstable. Outside the points nothing is extrapolated.
#[derive(Debug, Clone, PartialEq)]
pub struct FanCurve {
    pressure: Monotone,
    shaft: Monotone,
    points: Vec<CurvePoint>,
    peak: usize,
    /// Density of the original table, kg/m³.
    pub rated_density: f64,
    /// Whether power was estimated by kind of fan, and the factors (low, high) of its band; `None` when given.
    pub power_band: Option<(f64, f64)>,
}

impl FanCurve {
    /// Builds a curve from points given at `rated_density`, in order of falling or of rising airflow.
    ///
    /// Pressure and power are brought to standard air by the fan laws (both in proportion to density). Missing power is
    /// estimated by kind ([`motor::estimate_power`]) and the band kept in `power_band`.
    ///
    /// # Errors
    /// [`CurveError`], naming the point.
    pub fn new(points: &[CurvePoint], rated_density: f64, kind: FanKind) -> Result<Self, CurveError> {
        check_rating("rated air density", rated_density, 0.5, 2.0)?;
        check_points(points)?;
        let mut standard: Vec<CurvePoint> = points.to_vec();
        if points[0].airflow < points[points.len() - 1].airflow {
            standard.reverse();
        }
        let to_standard = STANDARD_DENSITY / rated_density;
        for p in &mut standard {
            p.pressure *= to_standard;
            p.shaft_power = p.shaft_power.map(|w| w * to_standard);
        }
        check_order(&standard, points[0].airflow < points[points.len() - 1].airflow)?;
        if standard[1].pressure <= standard[0].pressure {
            return Err(CurveError::NoStableSide { first: standard[0].pressure, second: standard[1].pressure });
        }
        let peak = (1..standard.len() - 1)
            .find(|&i| standard[i + 1].pressure <= standard[i].pressure)
            .unwrap_or(standard.len() - 1);
        let mut power_band = None;
        if standard[0].shaft_power.is_none() {
            let estimate = motor::estimate_power(kind, &standard, peak);
            for (point, watts) in standard.iter_mut().zip(estimate.shaft) {
                point.shaft_power = Some(watts);
            }
            power_band = Some(estimate.band);
        }
        let rising = |of: fn(&CurvePoint) -> f64| standard.iter().rev().map(of).collect::<Vec<f64>>();
        let airflow = rising(|p| p.airflow);
        let lay = |y: Vec<f64>| Monotone::new(&airflow, &y).ok_or(CurveError::NotFinite { index: 0 });
        let pressure = lay(rising(|p| p.pressure))?;
        let shaft = lay(rising(|p| p.shaft_power.unwrap_or(0.0)))?;
        Ok(Self { pressure, shaft, points: standard, peak, rated_density, power_band })
    }

    /// Static pressure (Pa, standard air) at an airflow; held outside the points, callers flag that.
    #[inline]
    pub fn pressure(&self, airflow: f64) -> f64 {
        self.pressure.at(airflow)
    }

    /// Shaft power (W, standard air) at an airflow; held outside the points.
    #[inline]
    pub fn shaft_power(&self, airflow: f64) -> f64 {
        self.shaft.at(airflow)
    }

    /// Airflow (m³/s) at a pressure (Pa, standard air) on the stable side.
    ///
    /// Below the pressure of the first point its airflow is held; above the peak there is none.
    pub fn airflow(&self, pressure: f64) -> Option<f64> {
        if pressure <= self.points[0].pressure {
            return Some(self.most());
        }
        if pressure > self.peak_pressure() {
            return None;
        }
        let excess = |q: f64| self.pressure.at(q) - pressure;
        // The bracket holds by the two tests above; at its very ends rounding may hide the sign, then the end is the root.
        let (low, high) = (self.peak_airflow(), self.most());
        Some(numerics::root::brent(excess, low, high, 1e-11 * high).unwrap_or(low))
    }

    /// The most air of the table (first point), m³/s.
    #[inline]
    pub fn most(&self) -> f64 {
        self.points[0].airflow
    }

    /// The least air of the table (last point), m³/s.
    #[inline]
    pub fn least(&self) -> f64 {
        self.points[self.points.len() - 1].airflow
    }

    /// Pressure of the first point, Pa at standard air.
    #[inline]
    pub fn first_pressure(&self) -> f64 {
        self.points[0].pressure
    }

    /// Airflow at the end of the stable side, m³/s.
    #[inline]
    pub fn peak_airflow(&self) -> f64 {
        self.points[self.peak].airflow
    }

    /// Pressure at the end of the stable side, Pa at standard air.
    #[inline]
    pub fn peak_pressure(&self) -> f64 {
        self.points[self.peak].pressure
    }

    /// Whether the table shows a side left of the peak, where work is unstable.
    pub fn has_dip(&self) -> bool {
        self.peak + 1 < self.points.len()
    }

    /// The points at standard air, most air first, each with whether it is on the stable side.
    pub fn points(&self) -> impl Iterator<Item = (CurvePoint, bool)> + '_ {
        self.points.iter().enumerate().map(|(i, p)| (*p, i <= self.peak))
    }

    /// Static efficiency (air power over shaft power) at an airflow; the same at any density.
    pub fn static_efficiency(&self, airflow: f64) -> f64 {
        airflow * self.pressure(airflow) / self.shaft_power(airflow)
    }

    /// The same fan at another speed: airflow in proportion, pressure with the square, power with the cube.
    ///
    /// # Errors
    /// [`CurveError::Rating`] when the ratio of speeds is not from 0.2 to 2.
    pub fn at_speed_ratio(&self, ratio: f64) -> Result<Self, CurveError> {
        check_rating("ratio of speeds", ratio, 0.2, 2.0)?;
        let points: Vec<CurvePoint> = self
            .points
            .iter()
            .map(|p| CurvePoint {
                pressure: p.pressure * ratio.powi(2),
                airflow: p.airflow * ratio,
                shaft_power: p.shaft_power.map(|w| w * ratio.powi(3)),
            })
            .collect();
        let mut scaled = Self::new(&points, STANDARD_DENSITY, FanKind::Other)?;
        scaled.power_band = self.power_band;
        scaled.rated_density = self.rated_density;
        Ok(scaled)
    }
}

fn check_rating(quantity: &'static str, value: f64, low: f64, high: f64) -> Result<(), CurveError> {
    if value >= low && value <= high { Ok(()) } else { Err(CurveError::Rating { quantity, value, low, high }) }
}

fn check_points(points: &[CurvePoint]) -> Result<(), CurveError> {
    if points.len() < 2 {
        return Err(CurveError::CurveTooShort { points: points.len() });
    }
    for (index, p) in points.iter().enumerate() {
        for value in [Some(p.pressure), Some(p.airflow), p.shaft_power].into_iter().flatten() {
            if !value.is_finite() {
                return Err(CurveError::NotFinite { index });
            }
            if value < 0.0 {
                return Err(CurveError::Negative { index, value });
            }
        }
    }
    let with_power = points.iter().filter(|p| p.shaft_power.is_some()).count();
    if with_power != 0 && with_power != points.len() {
        return Err(CurveError::PartialPower { with_power, points: points.len() });
    }
    Ok(())
}

/// Airflow must fall strictly along the list (most air first); `reversed` says the list was turned before.
fn check_order(points: &[CurvePoint], reversed: bool) -> Result<(), CurveError> {
    match points.windows(2).position(|w| w[1].airflow >= w[0].airflow) {
        None => Ok(()),
        Some(i) => {
            let index = if reversed { points.len() - 1 - i } else { i + 1 };
            Err(CurveError::Backwards { index, airflow: points[i + 1].airflow, before: points[i].airflow })
        }
    }
}

/// A fan with its motor.
#[derive(Debug, Clone, PartialEq)]
pub struct Fan {
    /// Key of the catalogue.
    pub id: String,
    /// Kind of fan.
    pub kind: FanKind,
    /// Where the curve comes from.
    pub origin: Origin,
    /// Source, date and conditions of its figures.
    pub provenance: Provenance,
    /// The curve.
    pub curve: FanCurve,
    /// Rated power of the motor, W at the shaft.
    pub motor_power: f64,
    /// Efficiency of the motor, fraction; see [`motor::default_efficiency`].
    pub motor_efficiency: f64,
    /// Service factor of the motor: how far above its rating it may be loaded for good.
    pub service_factor: f64,
    /// Speed, revolutions per second.
    pub speed: f64,
    /// Whether the motor stands in the air stream and gives its losses to the air.
    pub motor_in_air: bool,
}

impl Fan {
    /// A fan from its curve and motor rating (W at the shaft), the rest from defaults: motor efficiency by size, service
    /// factor 1.15 (seen as typical, a judgement for a given motor), motor in the air stream for tube-axial and inline fans.
    ///
    /// # Errors
    /// [`CurveError::Rating`] when rating or speed cannot be.
    pub fn new(
        id: impl Into<String>,
        kind: FanKind,
        origin: Origin,
        curve: FanCurve,
        motor_power: f64,
        speed: f64,
    ) -> Result<Self, CurveError> {
        check_rating("motor power", motor_power, 1.0, 1e6)?;
        check_rating("fan speed", speed, 0.1, 1000.0)?;
        Ok(Self {
            id: id.into(),
            kind,
            origin,
            provenance: Provenance::default(),
            curve,
            motor_power,
            motor_efficiency: motor::default_efficiency(motor_power),
            service_factor: 1.15,
            speed,
            motor_in_air: matches!(kind, FanKind::TubeAxial | FanKind::InlineCentrifugal),
        })
    }

    /// Takes the motor as one of a single phase. Where no efficiency of its own was said it is a farm motor then, not the premium one
    /// of three phases; see [`SINGLE_PHASE_EFFICIENCY`](crate::motor_load::SINGLE_PHASE_EFFICIENCY).
    pub fn on_one_phase(&mut self) {
        if self.motor_efficiency == motor::default_efficiency(self.motor_power) {
            self.motor_efficiency = crate::motor_load::SINGLE_PHASE_EFFICIENCY;
        }
    }

    /// Electric input at a shaft power, W: shaft over motor efficiency, taken flat (published as flat down to half load).
    #[inline]
    pub fn input_power(&self, shaft: f64) -> f64 {
        shaft / self.motor_efficiency
    }

    /// Heat that reaches the air from a shaft power, W: all of the shaft power, and the motor's losses too when it stands
    /// in the air.
    #[inline]
    pub fn heat_to_air(&self, shaft: f64) -> f64 {
        if self.motor_in_air { self.input_power(shaft) } else { shaft }
    }
}

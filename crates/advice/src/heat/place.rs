//! Where the burner stands: before or after the fan, with what it does to the working point, the motor and the drying.

use super::duty::Hour;
use super::heat;
use equipment::{AirConditions, AirPoint, BurnerSide, Direction, GrainTerms, Heat, HeatAmount};
use job::BinJob;
use numerics::root::brent;
use physics::air;
use physics::combustion::heat_to_air;
use physics::grain::dry_basis;

/// Which row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stand {
    /// No fire.
    NoFire,
    /// The burner on that side of the fan.
    Side(BurnerSide),
}

/// The air with the burner in one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Placed {
    /// Where.
    pub stand: Stand,
    /// Working point.
    pub point: AirPoint,
    /// Most loaded motor over its rating.
    pub motor_load: f64,
    /// Heat of the burner, W.
    pub heat: f64,
    /// Relative humidity of the air to the grain.
    pub humidity: f64,
    /// Water that the air can take up until it leaves in equilibrium with grain as wet as filled, kg/s; zero for air that
    /// would wet it.
    pub drying: f64,
}

/// The three ways, for the air and the rise of an hour; nothing with suction, where a burner is in no fan's way.
pub fn compare(bin: &BinJob, hour: &Hour) -> Option<[Placed; 3]> {
    let case = &bin.template;
    if case.system.direction == Direction::Suction {
        return None;
    }
    let of = |stand| placed(bin, hour, stand);
    Some([of(Stand::NoFire), of(Stand::Side(BurnerSide::Discharge)), of(Stand::Side(BurnerSide::Inlet))])
}

fn placed(bin: &BinJob, hour: &Hour, stand: Stand) -> Placed {
    let case = &bin.template;
    let fans = case.system.outfit.fans();
    let (t, w, p) = (hour.temperature, hour.humidity_ratio, hour.pressure);
    let rise = match stand {
        Stand::NoFire => Heat::NONE,
        Stand::Side(side) => Heat { amount: HeatAmount::Rise(hour.rise), side, ..heat(case) },
    };
    let conditions = AirConditions { heat: rise, ..AirConditions::ambient(t, w, p, case.control.fans) };
    let grain = GrainTerms {
        law: case.grain.resistance,
        effective_depth: bin.survey.depth(),
        velocity_range: bin.velocity_range,
    };
    let point = case.system.solve(&conditions, &grain);
    let (warm, wet) = (point.grain_air_temperature, point.grain_air_humidity_ratio);
    Placed {
        stand,
        point,
        motor_load: fans.iter().zip(&point.members).map(|(f, m)| m.shaft_power / f.motor_power).fold(0.0, f64::max),
        heat: heat_to_air(point.fan_dry_air_flow, w, point.burner_rise),
        humidity: air::vapour_pressure(p, wet) / air::saturation_pressure(warm),
        drying: point.dry_air_flow * (exhaust_humidity(bin, (warm, wet, p)) - wet).max(0.0),
    }
}

/// Humidity ratio of air that leaves in equilibrium with grain as wet as filled: enthalpy is that of the air that came, the
/// heat that binds the water and the warmth of the grain left out. Air that would wet the grain comes back as it came.
fn exhaust_humidity(bin: &BinJob, (t, w, p): (f64, f64, f64)) -> f64 {
    let isotherm = bin.template.grain.column.isotherm;
    let moisture = dry_basis(bin.survey.moisture());
    let enthalpy = air::enthalpy(t, w);
    let leaves = |t: f64| air::humidity_ratio(p, isotherm.humidity(moisture, t) * air::saturation_pressure(t));
    let excess = |t: f64| air::enthalpy(t, leaves(t)) - enthalpy;
    const COLDEST: f64 = -60.0;
    if excess(t) <= 0.0 {
        return w;
    }
    brent(excess, COLDEST, t, 1e-9).map_or(w, leaves)
}

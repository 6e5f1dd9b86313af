//! Airflow by each independent way, with its uncertainty.

use crate::field::propagate::{Input, Propagated};
use crate::field::{Plant, PlantState, Setup, propagate};
use physics::air;

/// A way to an airflow.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Airflow {
    /// Static pressure through the fan curve.
    Pressure,
    /// Rise of temperature and heat.
    Rise,
    /// Traverse.
    Traverse,
}

/// Everything the estimates hang on, in the order of [`inputs`].
#[derive(Debug, Clone, Copy)]
pub(super) struct Values {
    pub pressure: f64,
    pub outdoor: f64,
    pub humidity: f64,
    pub barometer: f64,
    pub plenum: f64,
    pub heat: f64,
    pub traverse: f64,
    pub input: f64,
    pub headspace: f64,
    pub resistance: f64,
    pub flow: f64,
    pub power: f64,
    pub leak: f64,
    pub depth: f64,
    pub efficiency: f64,
}

impl Values {
    pub fn of(x: &[f64]) -> Self {
        let at = |i: usize| x.get(i).copied().unwrap_or(f64::NAN);
        Self {
            pressure: at(0),
            outdoor: at(1),
            humidity: at(2),
            barometer: at(3),
            plenum: at(4),
            heat: at(5),
            traverse: at(6),
            input: at(7),
            headspace: at(8),
            resistance: at(9),
            flow: at(10),
            power: at(11),
            leak: at(12),
            depth: at(13),
            efficiency: at(14),
        }
    }
}

/// The inputs of all comparisons: read or planned, with standard uncertainties; what was not read is NaN and spoils only
/// what needs it.
pub(super) fn inputs(setup: &Setup<'_>) -> Vec<Input> {
    let r = setup.readings;
    let missing = (f64::NAN, 0.0);
    let pressure = setup.plenum_pressure().unwrap_or(missing);
    let plenum = setup.plenum_temperature().unwrap_or(missing);
    let traverse = setup.traverse().unwrap_or(missing);
    let input = setup.input().unwrap_or(missing);
    let d = &setup.doubt;
    // The doubt of a fuel meter is that of the heat; full fire of the plan is good to 5 % (judgement).
    let fuel = match r.fuel {
        Some(_) => r.instruments.fuel.standard(setup.heat),
        None => 0.05 * setup.heat,
    };
    let headspace = r.headspace_pressure.map_or(missing, |p| (setup.of_fans(p), r.instruments.pressure.standard(p)));
    vec![
        ("static pressure", pressure.0, pressure.1),
        ("outdoor temperature", r.outdoor, r.instruments.temperature.standard(r.outdoor)),
        ("humidity", setup.humidity.0, setup.humidity.1),
        ("barometer", setup.barometer.0, setup.barometer.1),
        ("plenum temperature", plenum.0, plenum.1),
        ("heat", setup.heat, fuel.hypot(d.heating_value * setup.heat)),
        ("traverse", traverse.0, traverse.1),
        ("volts, amps and power factor", input.0, input.1),
        ("headspace pressure", headspace.0, headspace.1),
        ("resistance of the grain", 1.0, d.resistance),
        ("fan curve", 1.0, d.flow),
        ("fan power", 1.0, d.power),
        ("leakage", 0.0, d.leak),
        ("depth", setup.plant.depth, d.depth),
        ("motor efficiency", 1.0, d.efficiency),
    ]
}

/// The plant of one set of values.
pub(super) fn plant(setup: &Setup<'_>, v: &Values) -> Plant {
    Plant { depth: v.depth, resistance: v.resistance, flow: v.flow, power: v.power, leak: v.leak, ..setup.plant }
}

/// The planned working point for a set of values.
pub(super) fn planned(setup: &Setup<'_>, v: &Values) -> Option<PlantState> {
    let t = &setup.bin.template;
    plant(setup, v).solve(&t.system, &t.grain.resistance, &setup.air_at(v.outdoor, v.humidity, v.barometer), v.heat)
}

/// The working point whose plenum pressure is the one read, whatever resistance that takes: the fan curve read backwards, in
/// air of the inlet's own density.
pub fn from_pressure(
    setup: &Setup<'_>,
    pressure: f64,
    plant: Plant,
    heat: f64,
    conditions: &equipment::AirConditions,
) -> Option<PlantState> {
    let t = &setup.bin.template;
    let system = plant.system(&t.system)?;
    let at = |log: f64| {
        Plant { resistance: plant.resistance * log.exp(), ..plant }.solve_in(
            &system,
            &t.grain.resistance,
            conditions,
            heat,
        )
    };
    let gap = |log: f64| at(log).map_or(f64::INFINITY, |s| s.point.plenum_pressure - pressure);
    // From next to no grain to eight times the planned resistance; a stalled outfit gives no airflow and counts as above.
    let (low, high) = (-4.0, 2.1);
    if gap(low) >= 0.0 || gap(high) < 0.0 {
        return None;
    }
    let (mut low, mut high) = (low, high);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if gap(middle) < 0.0 { low = middle } else { high = middle }
    }
    let state = at(low)?;
    let sound = matches!(state.point.outcome, equipment::Outcome::Works)
        && (state.point.plenum_pressure / pressure - 1.0).abs() < 0.01;
    sound.then_some(state)
}

/// By pressure, at a set of values.
pub(super) fn pressure_state(setup: &Setup<'_>, v: &Values) -> Option<PlantState> {
    if !v.pressure.is_finite() {
        return None;
    }
    let conditions = setup.air_at(v.outdoor, v.humidity, v.barometer);
    from_pressure(setup, v.pressure, Plant { resistance: 1.0, ..plant(setup, v) }, v.heat, &conditions)
}

/// Dry air through the fans (kg/s) that `heat` (W, burner and fans) warms by `rise` (K): m = q/((1006 + 1860 W) ΔT).
pub fn from_rise(heat: f64, rise: f64, humidity_ratio: f64) -> Option<f64> {
    (rise > 0.05 && heat > 0.0)
        .then(|| heat / ((air::SPECIFIC_HEAT_DRY_AIR + air::SPECIFIC_HEAT_VAPOUR * humidity_ratio) * rise))
}

/// Airflow at the fan inlets by the rise, m³/s, at a set of values; the heat of the fans from the plan.
pub(super) fn rise_airflow(setup: &Setup<'_>, v: &Values) -> Option<f64> {
    if !setup.blows() || !v.plenum.is_finite() {
        return None;
    }
    let state = planned(setup, v)?;
    let conditions = setup.air_at(v.outdoor, v.humidity, v.barometer);
    let w = conditions.humidity_ratio;
    let cp = air::SPECIFIC_HEAT_DRY_AIR + air::SPECIFIC_HEAT_VAPOUR * w;
    let fan_heat = state.point.fan_heat * state.point.fan_dry_air_flow * cp;
    let dry_air = from_rise(v.heat + fan_heat, v.plenum - v.outdoor, w)?;
    let upstream = conditions.heat.side == equipment::BurnerSide::Inlet;
    let at_inlet = if upstream { v.outdoor + v.heat / (dry_air * cp) } else { v.outdoor };
    Some(dry_air * air::specific_volume(at_inlet, w, v.barometer))
}

/// Every airflow that the readings give.
pub(super) fn all(setup: &Setup<'_>) -> Vec<(Airflow, Propagated)> {
    let inputs = inputs(setup);
    let by = |of: &dyn Fn(&Values) -> Option<f64>| propagate::propagate(&inputs, |x| of(&Values::of(x)));
    [
        (Airflow::Pressure, by(&|v| pressure_state(setup, v).map(|s| s.point.fan_airflow))),
        (Airflow::Rise, by(&|v| rise_airflow(setup, v))),
        (Airflow::Traverse, by(&|v| v.traverse.is_finite().then_some(v.traverse))),
    ]
    .into_iter()
    .filter_map(|(way, found)| found.map(|f| (way, f)))
    .collect()
}

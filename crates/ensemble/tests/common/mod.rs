//! A whole case put together by hand, as crate `job` does it from a site file.
#![allow(dead_code)]

use bed::{ColumnParams, Direction, GroupParams, IsothermFamily, Respiration};
use crops::{Library, Production};
use equipment::{
    AirMap, AirSystem, Arrangement, Control, Floor, Outfit, PressureBudget, Rule, SensorPlace, Timing, Vents, demo,
};
use physics::resistance::{BedResistance, LogLaw};
use season::{BinSpec, CarryOver, CaseSpec, ColumnShare, GrainSpec, HourlyWeather, Load, Programme, StillAir};
use std::sync::Arc;
use weather::calendar;

#[derive(Clone)]
pub struct Wish {
    pub layers: usize,
    pub depth: f64,
    pub diameter: f64,
    pub moisture: f64,
    pub fans: usize,
    pub fan: &'static str,
    pub columns: Vec<ColumnShare>,
    pub carry_over: CarryOver,
    pub still: StillAir,
}

impl Default for Wish {
    fn default() -> Self {
        Self {
            layers: 20,
            depth: 4.9,
            diameter: 36.0 * 0.3048,
            moisture: 0.20,
            fans: 2,
            fan: "demo-centrifugal-10hp",
            columns: ColumnShare::LEVELLED.to_vec(),
            carry_over: CarryOver::USUAL,
            still: StillAir::OneNode,
        }
    }
}

/// Corn in Champaign's autumn of a year.
pub fn corn(wish: &Wish, year: i32) -> CaseSpec {
    let library = Library::built_in();
    let (crop, _) = library.find("corn").expect("corn is there");
    let set = crop.isotherm(None).expect("corn has an isotherm");
    let moisture = wish.moisture / (1.0 - wish.moisture);
    let dry_density = crop.dry_matter_density(wish.moisture).expect("corn has a density");
    let kinetics = match &crop.kinetics().expect("corn has kinetics").production {
        Production::Fitted(fit) => fit.constants,
        Production::Bounds { slow, .. } => slow.constants,
    };
    let column = ColumnParams {
        isotherm: set.form,
        sorption: crop.sorption_heat(&set.form),
        kinetics: Some(kinetics),
        adsorption_gap: 0.013,
        rewetting: 1.0,
        dry_specific_heat: crop.dry_heat().expect("corn has a heat line").value,
        water_specific_heat: 4187.0,
        humidity_cap: 0.98,
        air_sees: ColumnParams::AIR_SEES,
        conductivity: 0.158,
        wall_conductance: 5.783 * 0.158 / (wish.diameter / 2.0).powi(2),
        dry_density,
    };
    let group = GroupParams {
        layers: wish.layers,
        family: IsothermFamily::of(&set.form).0,
        direction: Direction::Up,
        respiration: Respiration::Corn { damage: 0.30 },
        published: crop.storage.published.iter().map(|r| r.law).collect(),
        strict: crop.storage.strict.iter().map(|r| r.law).collect(),
    };
    let area = std::f64::consts::PI * wish.diameter.powi(2) / 4.0;
    let fans: Vec<_> = demo::demo_catalogue().into_iter().filter(|f| f.id == wish.fan).collect();
    let fans: Vec<_> = (0..wish.fans).map(|_| fans[0].clone()).collect();
    let budget = PressureBudget {
        floor: Some(Floor { open_fraction: 0.10, grain_porosity: 0.40, area }),
        spread: None,
        vents: Some(Vents { area: 3.0, discharge_coefficient: 0.62 }),
        ..PressureBudget::default()
    };
    let system =
        AirSystem::new(Outfit::new(fans, Arrangement::Parallel).unwrap(), budget, area, equipment::Direction::Pressure)
            .unwrap();
    let resistance = BedResistance { law: LogLaw { a: 2.07e4, b: 30.4 }, multiplier: 1.5, fines: 0.0 };
    let map = AirMap::new(&system, resistance, None);
    let series = weather::bundled("champaign").expect("bundled");
    let start = calendar::hour(year, 10, 10, 14).unwrap();
    let end = calendar::hour(year + 1, 6, 1, 6).unwrap().min(series.end_hour() - 1);
    let window = series.window(start, (end - start) as usize).expect("complete");
    let hourly = window.hourly();
    let local: Vec<i64> = (0..hourly.temperature_c.len() as i64).map(|i| start + i - 6).collect();
    let weather = HourlyWeather {
        start,
        wall_hour: local.iter().map(|h| h.rem_euclid(24) as u8).collect(),
        tariff_slot: vec![0; local.len()],
        month: local.iter().map(|h| calendar::date(h.div_euclid(24)).1 as u8).collect(),
        temperature: hourly.temperature_c,
        humidity_ratio: hourly.humidity_ratio,
        relative_humidity: hourly.relative_humidity,
        pressure: hourly.pressure_pa,
    };
    let total = area * wish.depth * dry_density;
    let loads: Vec<Load> = (0..24)
        .map(|k| Load {
            hour: start + (k / 6) * 24 + (k % 6),
            dry_matter: total / 24.0,
            moisture: moisture * (1.0 + 0.05 * f64::sin(k as f64 * 2.4)),
            temperature: None,
            life_used: 0.0,
        })
        .collect();
    let mut control = Control::new(Rule::Continuous, wish.fans);
    let cooling = Rule::TemperatureWindow {
        colder_by: 3.0,
        reference: equipment::control::GrainReference::Mean,
        low: -15.0,
        high: 10.0,
        place: SensorPlace::Ambient,
    };
    control.cooling = cooling;
    control.holding = Rule::Off;
    control.timing = Timing::PROMPT;
    CaseSpec {
        bin: BinSpec { diameter: wish.diameter, floor_area: area, columns: wish.columns.clone(), still: wish.still },
        grain: GrainSpec { column, group, resistance, dry_density, density_moisture: moisture, shrink: 1.4 },
        loads: Arc::new(loads),
        system: Arc::new(system),
        air: Arc::new(map),
        burner: None,
        control,
        programme: Programme {
            target: 0.155 / 0.845,
            wettest_excess: 0.025,
            life_allowed: 1.0,
            cool_to: 0.0,
            by: calendar::hour(year, 12, 15, 6).unwrap(),
            carry_over: wish.carry_over,
            hold_until: end,
        },
        operations: season::Operations::default(),
        weather: Arc::new(weather),
        tick_seconds: 3600.0,
    }
}

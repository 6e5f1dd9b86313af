//! Tanks through the season: what they boil in cold hours, in the coldest week and on the mean, and how long a filling lasts.

use super::super::duty::{Duty, given};
use super::REGULATOR_MARGIN;
use job::BinJob;
use job::facts::{FuelFacts, SupplyFacts, TankFacts};
use notice::{Kind, Phrase, Quantity, Remark, Remarks};
use numerics::quantile::mean;
use physics::combustion::Fuel;
use physics::propane;
use physics::propane_tank::{EMPTY, FILL, Tank, customary_heat, liquid_at_least, tanks_for};
use std::collections::BTreeMap;

/// Hours of a week.
const WEEK: usize = 168;
/// Temperature of the vapour behind a vaporizer, °C: 60 °F.
const VAPOUR: f64 = 15.556;
/// Pressure that a vaporizer is taken to work under where none is described, Pa: 20 psi (judgement).
const VAPORIZER_PRESSURE: f64 = 20.0 * 6_894.757;

/// Which weather a row stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Condition {
    /// The cold of the design hour, all burners at full fire.
    ColdHours,
    /// The coldest week of all seasons with its mean fire; the hour it begins with.
    ColdestWeek(i64),
    /// All hours between first load and goal, with their mean fire.
    Mean,
}

/// What the tanks boil in one weather.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TankRow {
    /// Which.
    pub condition: Condition,
    /// Outdoor temperature, °C.
    pub air: f64,
    /// Fuel wanted, W on the invoice.
    pub need: f64,
    /// What all tanks boil without end when they are refilled, W on the invoice.
    pub lowest: f64,
    /// The same just after a filling.
    pub filled: f64,
    /// What the trade's rule gives for the lowest fill.
    pub customary: f64,
    /// Tanks like these for the need at the lowest fill; none when they boil nothing.
    pub tanks: Option<usize>,
    /// How long the need can be drawn from rest at the lowest fill, s; infinite when it always can.
    pub draw_time: f64,
}

impl TankRow {
    /// Whether what boils meets what is wanted.
    pub fn met(&self) -> bool {
        self.lowest >= self.need * (1.0 - 1e-4)
    }
}

/// How long the liquid lasts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stock {
    /// Liquid between filling and refilling, all tanks, m³.
    pub usable: f64,
    /// Liquid that can still be drawn when they are refilled, m³: down to [`EMPTY`].
    pub left: f64,
    /// Days that the usable liquid lasts in the coldest week; none where nothing is burnt then.
    pub days_coldest: Option<f64>,
    /// Days that it lasts at the mean use; none likewise.
    pub days_mean: Option<f64>,
    /// Days that what is left lasts in the coldest week; none likewise.
    pub left_days: Option<f64>,
    /// Fuel of a season on the mean of the years, m³ of liquid.
    pub season: f64,
    /// Fuel of the season that took most, m³ of liquid.
    pub most: f64,
}

/// Tanks through the season.
#[derive(Debug, Clone, PartialEq)]
pub struct Tanks {
    /// The tanks.
    pub facts: TankFacts,
    /// Whether vapour is drawn from them: the rows then bind.
    pub vapour: bool,
    /// Gauge pressure that the line needs of them, Pa.
    pub pressure: f64,
    /// Coldest liquid that gives it, °C.
    pub liquid: f64,
    /// Rows.
    pub rows: Vec<TankRow>,
    /// How long the liquid lasts.
    pub stock: Stock,
    /// Heat that a vaporizer needs for full fire in the cold hours, with its margin, W.
    pub vaporizer: f64,
}

/// One hour of all burners.
#[derive(Clone, Copy)]
struct Burned {
    hour: i64,
    air: f64,
    heat: f64,
}

/// Works out the tanks, where there are any; `cold` is the cold of the sheet (°C) and `full` the full fire (W on the invoice).
pub(super) fn of(
    facts: &FuelFacts,
    gas: &Fuel,
    fired: &[(&BinJob, &Duty)],
    (cold, full): (f64, f64),
    barometric: f64,
) -> Option<Tanks> {
    let tanks = *facts.supply.tanks()?;
    let first = facts.line.first().and_then(|piece| piece.regulator).unwrap_or(0.0);
    let pressure = first * (1.0 + REGULATOR_MARGIN);
    let liquid = liquid_at_least(pressure, barometric);
    let one = Tank { diameter: tanks.diameter, length: tanks.length };
    let count = tanks.count as f64;
    let burned = burned(gas, fired);
    let all: Vec<f64> = burned.iter().map(|b| b.heat).collect();
    let outside: Vec<f64> = burned.iter().map(|b| b.air).collect();
    let (mean_heat, mean_air) = (mean(&all)?, mean(&outside)?);
    let row = |condition, air: f64, need: f64| {
        let boils = |fill: f64| one.vapour(fill, air, liquid) * gas.higher_heating_value;
        let draw = need / count / gas.higher_heating_value;
        TankRow {
            condition,
            air,
            need,
            lowest: count * boils(tanks.lowest_fill),
            filled: count * boils(tanks.filled_to),
            customary: count * customary_heat(&one, tanks.lowest_fill, air),
            tanks: tanks_for(need, boils(tanks.lowest_fill)),
            // At the lowest fill a delivery is due: what the wall covers there goes on, what it does not ends sooner as the
            // level falls on.
            draw_time: match one.vapour(tanks.lowest_fill, air, liquid) >= draw {
                true => f64::INFINITY,
                false => one.draw(tanks.lowest_fill, air, liquid, draw).time,
            },
        }
    };
    let coldest = coldest_week(&burned);
    let mut rows = vec![row(Condition::ColdHours, cold, full)];
    rows.extend(coldest.map(|week| row(Condition::ColdestWeek(week.hour), week.air, week.heat)));
    rows.push(row(Condition::Mean, mean_air, mean_heat));
    let density = gas.liquid_density?;
    let days =
        |volume: f64, heat: f64| (heat > 0.0).then(|| volume * density * gas.higher_heating_value / heat / 86_400.0);
    let usable = count * tanks.capacity * (tanks.filled_to - tanks.lowest_fill);
    // The last of a tank cannot be drawn: liquid below the pick-up, and too little wall to boil it.
    let left = count * tanks.capacity * (tanks.lowest_fill - EMPTY).max(0.0);
    let seasons = seasons(fired);
    let hard = coldest.map_or(mean_heat, |week| week.heat);
    let worked = match facts.supply {
        SupplyFacts::Liquid(_, vaporizer) => vaporizer.pressure,
        _ => VAPORIZER_PRESSURE,
    };
    let per_kilogram = propane::vaporiser_heat(cold, VAPOUR, worked + barometric);
    Some(Tanks {
        facts: tanks,
        vapour: matches!(facts.supply, SupplyFacts::Vapor(_)),
        pressure,
        liquid,
        rows,
        stock: Stock {
            usable,
            left,
            days_coldest: days(usable, hard),
            days_mean: days(usable, mean_heat),
            left_days: days(left, hard),
            season: mean(&seasons)? / density,
            most: seasons.iter().copied().fold(0.0, f64::max) / density,
        },
        vaporizer: propane::VAPORISER_MARGIN * full / gas.higher_heating_value * per_kilogram,
    })
}

/// What all burners take in each hour, W on the invoice, in the order of time.
fn burned(gas: &Fuel, fired: &[(&BinJob, &Duty)]) -> Vec<Burned> {
    let mut hours: BTreeMap<i64, (f64, f64)> = BTreeMap::new();
    for (bin, duty) in fired {
        let Some(burner) = &bin.template.burner else { continue };
        for hour in &duty.hours {
            let fuel = given(bin, burner, hour).fuel;
            hours.entry(hour.hour).or_insert((hour.temperature, 0.0)).1 += fuel * gas.higher_heating_value;
        }
    }
    hours.into_iter().map(|(hour, (air, heat))| Burned { hour, air, heat }).collect()
}

/// The week with the coldest mean, as its first hour, mean temperature and mean fire.
fn coldest_week(burned: &[Burned]) -> Option<Burned> {
    let whole = burned.windows(WEEK).filter(|week| week[WEEK - 1].hour - week[0].hour == WEEK as i64 - 1);
    let mean_of = |week: &[Burned], of: fn(&Burned) -> f64| week.iter().map(of).sum::<f64>() / WEEK as f64;
    whole
        .map(|week| Burned { hour: week[0].hour, air: mean_of(week, |b| b.air), heat: mean_of(week, |b| b.heat) })
        .min_by(|a, b| a.air.total_cmp(&b.air).then(a.hour.cmp(&b.hour)))
}

/// Fuel (kg) of each year, all burners together.
fn seasons(fired: &[(&BinJob, &Duty)]) -> Vec<f64> {
    let mut years: BTreeMap<i32, f64> = BTreeMap::new();
    for (_, duty) in fired {
        duty.years.iter().for_each(|y| *years.entry(y.year).or_insert(0.0) += y.fuel);
    }
    years.into_values().collect()
}

/// What the tanks give cause to say.
pub(super) fn remark(tanks: &Tanks, facts: &FuelFacts, remarks: &mut Remarks) {
    let temperature = |v: f64| Quantity::new(v, Kind::Temperature);
    let days = |v: f64| Quantity::new(86_400.0 * v, Kind::Days);
    if tanks.vapour {
        let short = tanks.rows.iter().find(|row| row.condition != Condition::ColdHours && !row.met());
        if let Some(row) = short {
            remarks.add(Remark::new(
                "tanks-short-in-the-cold",
                Phrase::new(
                    "in the coldest week, at {air}, the tanks at their lowest fill do not boil what the burner takes on the mean: draw \
                     liquid to a vaporizer, add tanks, or refill sooner",
                )
                .with("air", temperature(row.air)),
            ));
        }
        let rule = Quantity::new(tanks.pressure, Kind::GasPressure);
        if tanks.liquid > physics::propane_tank::CUSTOMARY_LIQUID + 0.5 {
            remarks.add(Remark::new(
                "rule-reads-high",
                Phrase::new(
                    "the trade's rule lets the liquid fall to {liquid}; this line needs {pressure} at the tank, which liquid gives only \
                     down to {least}, so the rule reads high here",
                )
                .with("liquid", temperature(physics::propane_tank::CUSTOMARY_LIQUID))
                .with("pressure", rule)
                .with("least", temperature(tanks.liquid)),
            ));
        }
        let says = Phrase::new(
            "frost and still damp air lower what a tank boils, sun and wind raise it; never warm a tank with a flame",
        );
        remarks.add(Remark::new("frost", says));
    }
    if tanks.facts.shape_assumed {
        let says = Phrase::new(
            "diameter and length of the tank are taken from its capacity, four times as long as wide: enter the real ones",
        );
        remarks.add(Remark::new("tank-shape-assumed", says));
    }
    if !FILL.contains(tanks.facts.lowest_fill) {
        let says = Phrase::new("the factor behind what a tank boils was met from {low} to {high} full")
            .with("low", Quantity::new(FILL.low, Kind::Fraction))
            .with("high", Quantity::new(FILL.high, Kind::Fraction));
        remarks.add(Remark::new("outside-evidence", says));
    }
    let delivery = tanks.facts.delivery / 86_400.0;
    if let Some(left) = tanks.stock.left_days.filter(|left| *left < delivery) {
        remarks.add(Remark::new(
            "delivery-late",
            Phrase::new(
                "ordered when the tanks stand at {fill}, what is left lasts {left} in the coldest week and the delivery takes {delivery}: \
                 order sooner",
            )
            .with("fill", Quantity::new(tanks.facts.lowest_fill, Kind::Fraction))
            .with("left", days(left))
            .with("delivery", days(delivery)),
        ));
    }
    if let SupplyFacts::Liquid(..) = facts.supply {
        let says = Phrase::new(
            "liquid feed: a coil that boils too little carries liquid to the flame, one that boils too much over-pressures; the relief \
             and the valve belong to the fitter",
        );
        remarks.add(Remark::new("liquid-feed", says));
    }
}

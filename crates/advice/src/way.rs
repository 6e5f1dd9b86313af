//! The pressure budget of a working point item by item, and what is to be said of velocities, vents and roof.

use crate::air::{BinAir, FillPoint};
use equipment::AirPoint;
use equipment::roof;
use equipment::spread::LEAST_PAD;
use equipment::way::{Face, Item};
use job::BinJob;
use job::facts::FloorFacts;
use notice::{Kind, Phrase, Quantity, Remark, Remarks, Source, Status};
use physics::perforated_duct::PerforatedDuct;

/// Velocity pressure of a perforated duct over its static pressure from which the outflow is uneven (memory: 10 to 20 %).
const UNEVEN_SHARE: f64 = 0.20;

/// One item of a budget.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BudgetItem {
    /// Name in the words of the trade.
    pub name: &'static str,
    /// Pressure it takes, Pa.
    pub pressure: f64,
    /// Velocity in its own section, m/s, where it has one.
    pub velocity: Option<f64>,
}

/// The budget of a working point, from the open air to the open air; it sums to the static pressure of the fans.
pub fn budget(bin: &BinJob, point: &AirPoint) -> Vec<BudgetItem> {
    let mut items: Vec<BudgetItem> = Vec::new();
    let way = &bin.way;
    let weight = |(item, k): &(Item, f64)| k / item.area().powi(2);
    let all: f64 = way.items.iter().map(weight).sum();
    for entry in &way.items {
        let share = if all > 0.0 { weight(entry) / all } else { 0.0 };
        let (name, pressure) = (entry.0.name(), share * point.budget.transition);
        match items.iter_mut().find(|other| other.name == name) {
            Some(other) => other.pressure += pressure,
            None => {
                let velocity = Some(point.fan_airflow / entry.0.area());
                items.push(BudgetItem { name, pressure, velocity });
            }
        }
    }
    if way.items.is_empty() && point.budget.transition > 0.0 {
        items.push(BudgetItem { name: "transition and duct", pressure: point.budget.transition, velocity: None });
    }
    let through = bin.template.system.budget.floor.map(|floor| point.grain_airflow / floor.area);
    let sheet = match way.entry {
        FloorFacts::Full => "perforated floor",
        FloorFacts::Pad(_) => "perforated pad",
        FloorFacts::Ducts(_) => "wall of the ducts",
    };
    items.push(BudgetItem { name: sheet, pressure: point.budget.floor, velocity: through });
    if bin.template.system.budget.spread.is_some() {
        items.push(BudgetItem { name: "spreading into the grain", pressure: point.budget.spread, velocity: None });
    }
    items.push(BudgetItem { name: "grain", pressure: point.budget.grain, velocity: None });
    if let Some(vents) = bin.template.system.budget.vents {
        let velocity = Some(out_of_vents(point) / vents.area);
        items.push(BudgetItem { name: "headspace and roof vents", pressure: point.budget.vents, velocity });
    }
    items
}

/// The floor of a bin in words.
pub fn floor_words(bin: &BinJob) -> &'static str {
    match bin.way.entry {
        FloorFacts::Full => "full perforated floor",
        FloorFacts::Pad(_) => "perforated pad in a closed floor",
        FloorFacts::Ducts(_) => "perforated ducts on a closed floor",
    }
}

/// Air through the roof vents, m³/s at the fan's density: what passes the grain.
fn out_of_vents(point: &AirPoint) -> f64 {
    point.fan_airflow * point.dry_air_flow / point.fan_dry_air_flow.max(f64::MIN_POSITIVE)
}

/// What is to be said of the way: customary limits passed, what the vents and the roof have to do with, plugging.
pub fn remarks(bin: &BinJob, air: &BinAir) -> Remarks {
    let mut remarks = Remarks::default();
    let Some(full) = air.fills.last().filter(|f| f.point.fan_airflow > 0.0) else { return remarks };
    faces(bin, full, &mut remarks);
    roof_remarks(bin, full, &mut remarks);
    plugging(bin, full, &mut remarks);
    ducts(bin, full, &mut remarks);
    remarks
}

fn faces(bin: &BinJob, full: &FillPoint, remarks: &mut Remarks) {
    let p = &full.point;
    let mut say = |remark: Option<Remark>| remark.into_iter().for_each(|r| remarks.add(r));
    let fastest = |wanted: fn(&Item) -> bool| {
        bin.way.items.iter().filter(|(i, _)| wanted(i)).map(|(i, _)| p.fan_airflow / i.area()).reduce(f64::max)
    };
    let supply = fastest(|i| matches!(i, Item::Straight { .. } | Item::Transition { .. }));
    say(supply.and_then(|v| Face::SupplyDuct.remark(v)));
    say(fastest(|i| matches!(i, Item::Perforated { .. })).and_then(|v| Face::PerforatedDuct.remark(v)));
    say(bin.way.plenum.and_then(|area| Face::Plenum.remark(p.fan_airflow / area)));
    let through = p.grain_airflow / bin.way.clean.area;
    match bin.way.entry {
        FloorFacts::Full => {}
        FloorFacts::Pad(_) => say(Face::PartialFloor.remark(through)),
        FloorFacts::Ducts(_) => say(Face::DuctSurface.remark(through)),
    }
}

fn roof_remarks(bin: &BinJob, full: &FillPoint, remarks: &mut Remarks) {
    let system = &bin.template.system;
    let Some(vents) = system.budget.vents else { return };
    let p = &full.point;
    let highest = highest_pressure(bin, p.inlet_density);
    let out = out_of_vents(p);
    let check = roof::check(out, vents.area, vents.discharge_coefficient, p.inlet_density, bin.way.diameter, highest);
    let described = bin.way.roof_described;
    for remark in check.remarks().into_iter().filter(|r| described || r.code != "vents-iced") {
        remarks.add(remark);
    }
    if let Some(bears) = bin.way.roof_bears {
        let pressure = |v| Quantity::new(v, Kind::Pressure);
        if check.pressure > bears {
            let says = Phrase::new("the headspace at {pressure} is above the {bears} that the roof is said to bear")
                .with("pressure", pressure(check.pressure))
                .with("bears", pressure(bears));
            remarks.add(Remark::new("roof-over", says));
        }
        if highest > bears {
            let says = Phrase::new(
                "shut by ice or snow, the vents would leave the roof under {pressure}, above the {bears} that it is said to bear",
            )
            .with("pressure", pressure(highest))
            .with("bears", pressure(bears));
            remarks.add(Remark::new("roof-iced-over", says));
        }
    }
}

/// The most that the fans give, Pa, at a density.
fn highest_pressure(bin: &BinJob, density: f64) -> f64 {
    let outfit = &bin.template.system.outfit;
    let peaks = outfit.fans().iter().map(|f| f.curve.peak_pressure());
    let most = match outfit.arrangement() {
        equipment::Arrangement::Parallel => peaks.fold(0.0, f64::max),
        equipment::Arrangement::Series => peaks.sum(),
    };
    most * density / equipment::STANDARD_DENSITY
}

fn plugging(bin: &BinJob, full: &FillPoint, remarks: &mut Remarks) {
    if bin.way.plugged <= 0.0 {
        return;
    }
    let now = full.point.budget.floor;
    let clean = now / physics::perforated::plugging_multiplier(bin.way.plugged);
    let says = Phrase::new(
        "plugged holes make the floor take {now} where a clean one takes {clean}: cleaning it is cheaper than more fan",
    )
    .with("now", Quantity::new(now, Kind::Pressure))
    .with("clean", Quantity::new(clean, Kind::Pressure));
    remarks.add(Remark::new("floor-plugged", says));
}

fn ducts(bin: &BinJob, full: &FillPoint, remarks: &mut Remarks) {
    let p = &full.point;
    if let FloorFacts::Pad(_) = bin.way.entry
        && full.depth < 0.5 * bin.way.diameter
    {
        let says = Phrase::new(
            "the grain is {depth} deep, less than half of the bin's width: over so little depth the form for the pad reads high",
        )
        .with("depth", Quantity::new(full.depth, Kind::Length));
        remarks.add(Remark::new("pad-shallow", says));
    }
    if let FloorFacts::Pad(radius) = bin.way.entry
        && radius < LEAST_PAD * 0.5 * bin.way.diameter
    {
        let says = Phrase::new(
            "the pad is {share} of the bin's width: for so small a pad the form says up to a tenth too little air (docs/validation.md); \
             customary pads are half to two thirds as wide as the bin",
        )
        .with("share", Quantity::new(2.0 * radius / bin.way.diameter, Kind::Fraction));
        remarks.add(Remark::new("pad-small", says));
    }
    let Some((ducts, spacing)) = bin.way.ducts().zip(bin.way.spacing) else { return };
    if spacing > full.depth {
        let says = Phrase::new(
            "one duct serves {spacing} of floor, more than the grain is deep ({depth}): air takes the short way up, the grain between \
             ducts stays poor in it",
        )
        .with("spacing", Quantity::new(spacing, Kind::Length))
        .with("depth", Quantity::new(full.depth, Kind::Length));
        let source = Source::new("duct spacing not above the depth of the grain: common in bulletins", Status::Memory);
        remarks.add(Remark::new("ducts-far-apart", says).from_source(source));
    }
    let velocity = p.fan_airflow / (f64::from(ducts.count) * ducts.section());
    let duct = PerforatedDuct {
        diameter: ducts.hydraulic_diameter(),
        length: ducts.length,
        friction_factor: ducts.wall.friction_factor(velocity, ducts.hydraulic_diameter(), p.inlet_density),
        regain: ducts.regain,
    };
    let pressure = p.plenum_pressure.abs();
    let share = PerforatedDuct::velocity_share(velocity, p.inlet_density, pressure);
    if share > UNEVEN_SHARE {
        let rise = match bin.template.system.direction {
            equipment::Direction::Pressure => duct.pressure_rise(velocity, p.inlet_density),
            equipment::Direction::Suction => -duct.suction_rise(velocity, p.inlet_density),
        };
        let says = Phrase::new(
            "air enters the ducts at {velocity}, whose velocity pressure is {share} of the pressure there (customary: below 20 %): the \
             {end} end of a duct gets more air by {rise} of pressure",
        )
        .with("velocity", Quantity::new(velocity, Kind::Velocity))
        .text("share", format!("{:.0} %", 100.0 * share))
        .text("end", if rise > 0.0 { "far" } else { "near" })
        .with("rise", Quantity::new(rise.abs(), Kind::Pressure));
        let source =
            Source::new("velocity pressure in ducts below 10 to 20 % of the static: rule of the trade", Status::Memory);
        remarks.add(Remark::new("ducts-uneven", says).from_source(source));
    }
}

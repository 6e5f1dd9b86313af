//! Fans, burners and ducts: worked figures, and what the trade says.

use crate::page::{Against, Section, Verdict, not_run, row};
use crate::table::{self, Row, celsius};
use equipment::{
    AirConditions, AirPoint, AirSystem, Arrangement, Burner, BurnerCommand, BurnerSide, CurvePoint, Direction, Fan,
    FanCurve, FanKind, Firing, Fuel, GrainLaw, GrainTerms, Heat, HeatAmount, Loss, Origin, Outfit, PressureBudget,
    STANDARD_DENSITY, demo, motor,
};
use notice::quantity::{CFM_M3_S, INCH_WATER_PA, POUND_KG};
use physics::air::{GAS_CONSTANT_DRY_AIR, STANDARD_PRESSURE, standard_pressure};
use physics::perforated::{bare_sheet, floor_under_grain};
use physics::resistance::{BedResistance, LogLaw};

/// Shelled corn, ASAE D272.3.
const CORN: LogLaw = LogLaw { a: 2.07e4, b: 30.4 };
/// lb/ft³ in kg/m³.
const POUND_PER_CUBIC_FOOT: f64 = 16.018463;

/// Grain of the demonstration of burner places: 3.0 in. at 13,333.33 cfm through 1 m², exponent 1.5.
struct PowerLaw;

impl GrainLaw for PowerLaw {
    fn gradient(&self, velocity: f64) -> f64 {
        3.0 * INCH_WATER_PA * (velocity / (13_333.33 * CFM_M3_S)).powf(1.5)
    }
    fn exponent(&self, _: f64) -> f64 {
        1.5
    }
}

fn demonstration(side: BurnerSide, rise_f: f64) -> Option<AirPoint> {
    let at = |q: f64| CurvePoint {
        pressure: (7.0 - 3.0e-4 * q) * INCH_WATER_PA,
        airflow: q * CFM_M3_S,
        shaft_power: Some(0.0),
    };
    let points: Vec<CurvePoint> = (0..=7).map(|i| at(21_000.0 - 3_000.0 * f64::from(i))).collect();
    let density = 0.075 * POUND_PER_CUBIC_FOOT;
    let curve = FanCurve::new(&points, density, FanKind::Other).ok()?;
    let fan = Fan::new("straight", FanKind::Other, Origin::Invented, curve, 10_000.0, 29.0).ok()?;
    let outfit = Outfit::new(vec![fan], Arrangement::Parallel).ok()?;
    let system = AirSystem::new(outfit, PressureBudget::default(), 1.0, Direction::Pressure).ok()?;
    let grain = GrainTerms { law: PowerLaw, effective_depth: 1.0, velocity_range: None };
    let pressure = density * GAS_CONSTANT_DRY_AIR * 529.67 / 1.8;
    let mut air = AirConditions::ambient(celsius(40.0), 0.0, pressure, 1);
    air.heat = Heat { amount: HeatAmount::Rise(rise_f / 1.8), side, water_per_joule: 0.0 };
    Some(system.solve(&air, &grain))
}

fn fan(id: &str) -> Option<Fan> {
    demo::demo_catalogue().into_iter().find(|f| f.id == id)
}

/// One fan on corn in a bin with a diameter in feet; depth in feet of unpacked grain.
fn on_corn(id: &str, diameter_ft: f64, depth_ft: f64, packing: f64) -> Option<AirPoint> {
    let area = std::f64::consts::PI * (diameter_ft * 0.3048).powi(2) / 4.0;
    let outfit = Outfit::new(vec![fan(id)?], Arrangement::Parallel).ok()?;
    let system = AirSystem::new(outfit, PressureBudget::default(), area, Direction::Pressure).ok()?;
    let grain = GrainTerms { law: CORN, effective_depth: depth_ft * 0.3048 * packing, velocity_range: None };
    Some(system.solve(&AirConditions::ambient(20.0, 0.005, STANDARD_PRESSURE, 1), &grain))
}

/// Worked figures of fans, burners, floors.
pub fn worked() -> Section {
    let heat = table::read(include_str!("../../data/worked-heat.csv"));
    let rows = table::read(include_str!("../../data/fans-and-ducts.csv"));
    let mut section = Section::new(
        "Fans, burners, floors: worked figures",
        Against::Computed,
        "H1D and H1U rows (a burner after the fan and before it): 1 %; the rows' own model takes viscosity as T^0.7 from 70 °F, ours \
         follows Sutherland. Motor efficiencies: as printed. Floors: half a printed digit. Fan heat: 1 % (their air is dry).",
    );
    burner_rows(&heat, &mut section);
    let efficiency: Vec<&Row> = rows.iter().filter(|r| r.text("topic") == "motor efficiency").collect();
    let hp = |r: &Row| r.text("inputs").split(' ').next().and_then(|h| h.parse::<f64>().ok()).unwrap_or(f64::NAN);
    let off = |r: &&&Row| (motor::default_efficiency(hp(r) * motor::HORSEPOWER) - r.value("value")).abs() > 5e-4;
    let missed = efficiency.iter().filter(off).count();
    let found = format!("{} to the printed digit", efficiency.len() - missed);
    let line = row("motor efficiency, 1 to 200 hp", format!("{} values (published)", efficiency.len()), found);
    section.rows.push(line.times(efficiency.len()).is(Verdict::of(missed as f64, 0.0)));
    altitude(&rows, &mut section);
    for r in rows.iter().filter(|r| r.text("topic") == "perforated floor") {
        let (v, open) =
            (r.after("inputs", "V ").unwrap_or(f64::NAN), r.after("inputs", "open fraction ").unwrap_or(f64::NAN));
        let ours = match (r.after("inputs", "grain porosity "), r.after("inputs", "rho ")) {
            (Some(porosity), _) => floor_under_grain(v, porosity, open),
            (_, Some(density)) => bare_sheet(v, open, density),
            _ => f64::NAN,
        };
        let what = format!("{}, open fraction {open}", r.text("quantity"));
        let line = row(what, format!("{} Pa", r.text("value")), format!("{ours:.3} Pa"));
        let line = line.off(format!("{:+.1} %", 100.0 * (ours / r.value("value") - 1.0)));
        section.rows.push(line.is(Verdict::NoCheck).because("equation recalled: the row restates it"));
    }
    constants(&rows, &mut section);
    fan_heat(&rows, &heat, &mut section);
    level_bin(&rows, &mut section);
    later(&rows, &mut section);
    section.sources(table::kinds(&rows, "source"));
    section
}

fn burner_rows(heat: &[Row], section: &mut Section) {
    for r in heat.iter().filter(|r| r.text("id").starts_with("H1")) {
        let side = if r.text("id").starts_with("H1D") { BurnerSide::Discharge } else { BurnerSide::Inlet };
        let rise: f64 = r.text("id")[3..].parse().unwrap_or(f64::NAN);
        let numbers: Vec<f64> =
            r.text("expected").split(';').filter_map(|p| p.split_whitespace().last()?.parse().ok()).collect();
        let (Some(p), [q, sp, mass]) = (demonstration(side, rise), numbers.as_slice()) else { continue };
        let ours = [p.fan_airflow / CFM_M3_S, p.fan_static_pressure / INCH_WATER_PA, p.dry_air_flow * 60.0 / POUND_KG];
        let worst = ours.iter().zip([q, sp, mass]).map(|(a, b)| (a / b - 1.0).abs()).fold(0.0, f64::max);
        let found = format!("Q_fan {:.0}; SP {:.3}; mass {:.1}", ours[0], ours[1], ours[2]);
        let line =
            row(format!("{} {}, rise {rise:.0} °F", r.text("id"), r.text("topic")), r.text("expected"), found).times(3);
        section
            .rows
            .push(line.off(format!("largest {:.2} %, allowed 1 %", 100.0 * worst)).is(Verdict::of(worst, 0.01)));
    }
}

fn altitude(rows: &[Row], section: &mut Section) {
    let of: Vec<&Row> = rows.iter().filter(|r| r.text("topic") == "air density").collect();
    let ours = |r: &Row| {
        let feet: f64 = r.text("inputs").split(' ').next().and_then(|f| f.parse().ok()).unwrap_or(f64::NAN);
        standard_pressure(feet * 0.3048) / STANDARD_PRESSURE
    };
    let worst = of.iter().map(|r| (ours(r) - r.value("value")).abs()).fold(0.0, f64::max);
    let line = row(
        "density against altitude at 70 °F, 1,000 to 10,000 ft",
        format!("{} values", of.len()),
        "standard atmosphere",
    );
    let line = line.times(of.len()).off(format!("largest {worst:.4}")).is(Verdict::NoCheck);
    section.rows.push(line.because("factors recalled, recomputed by the same formula"));
}

fn constants(rows: &[Row], section: &mut Section) {
    for r in rows.iter().filter(|r| r.text("topic") == "units") {
        let ours = match r.text("id") {
            "const-6343" => motor::HORSEPOWER / (CFM_M3_S * INCH_WATER_PA),
            "const-1097" => (2.0 * INCH_WATER_PA / POUND_PER_CUBIC_FOOT).sqrt() / 0.3048 * 60.0,
            _ => f64::NAN,
        };
        let line = row(r.text("quantity"), format!("C = {}", r.text("value")), format!("{ours:.1}"));
        section.rows.push(
            line.is(Verdict::of(ours - r.value("value"), 0.06)).because("from our units of inch, cfm, horsepower"),
        );
    }
}

fn fan_heat(rows: &[Row], heat: &[Row], section: &mut Section) {
    let rise = |inches: f64, efficiency: f64| -> Option<f64> {
        // Straight and steep through the working point; a perfect motor stands in the air.
        let (pressure, airflow) = (inches * INCH_WATER_PA, 5.0);
        let shaft_power = Some(airflow * pressure / efficiency);
        let at = |x: f64| CurvePoint { pressure: pressure * (2.0 - x), airflow: airflow * x, shaft_power };
        let curve = FanCurve::new(&[at(2.0), at(1.0), at(0.1)], STANDARD_DENSITY, FanKind::Other).ok()?;
        let mut fan = Fan::new("straight", FanKind::Other, Origin::Invented, curve, 1e5, 29.0).ok()?;
        fan.motor_efficiency = 1.0;
        fan.motor_in_air = true;
        let outfit = Outfit::new(vec![fan], Arrangement::Parallel).ok()?;
        let transition = Loss::Quadratic { pressure, airflow };
        let budget = PressureBudget { transition, ..PressureBudget::default() };
        let system = AirSystem::new(outfit, budget, 50.0, Direction::Pressure).ok()?;
        let barometer = STANDARD_DENSITY * GAS_CONSTANT_DRY_AIR * 293.15;
        let grain = GrainTerms { law: CORN, effective_depth: 0.0, velocity_range: None };
        Some(system.solve(&AirConditions::ambient(20.0, 0.0, barometer, 1), &grain).fan_heat)
    };
    for r in rows.iter().filter(|r| r.text("topic") == "fan heat") {
        let inches = r.after("inputs", "static ").unwrap_or(f64::NAN);
        let efficiency = r.after("inputs", "efficiency ").unwrap_or(f64::NAN);
        let ours = rise(inches, efficiency).unwrap_or(f64::NAN);
        let what = format!("fan heat, {inches} in., overall efficiency {efficiency}, motor in the air stream");
        let line = row(what, format!("{} K", r.text("value")), format!("{ours:.3} K"));
        let off = ours / r.value("value") - 1.0;
        section.rows.push(line.off(format!("{:+.1} %, allowed 1 %", 100.0 * off)).is(Verdict::of(off, 0.01)));
    }
    if let Some(r) = table::find(heat, "id", "H20") {
        let all =
            [(4.0, 0.50), (4.0, 0.45), (6.0, 0.50), (6.0, 0.45)].map(|(p, e)| rise(p, e).unwrap_or(f64::NAN) * 1.8);
        let (low, high) = (all.iter().copied().fold(f64::INFINITY, f64::min), all.iter().copied().fold(0.0, f64::max));
        let line = row(
            format!("H20 fan heat: {}", r.text("inputs")),
            format!("{} °F (published)", r.text("expected")),
            format!("{low:.1} to {high:.1} °F"),
        );
        let verdict = if low >= 3.0 * 0.8 && high <= 5.0 * 1.2 { Verdict::Agrees } else { Verdict::Differs };
        section.rows.push(line.off("±20 % of the ends").is(verdict));
    }
}

fn level_bin(rows: &[Row], section: &mut Section) {
    if let Some(r) = table::find(rows, "id", "axi-level") {
        let bed = BedResistance { law: CORN, multiplier: 1.5, fines: 0.0 };
        let ours = bed.velocity(1000.0 / 6.776280) * std::f64::consts::PI * 5.4864 * 5.4864;
        let line = row(
            "flow through level corn ×1.5, 6.776 m, 1000 Pa, 36 ft bin",
            format!("{} m3/s", r.text("value")),
            format!("{ours:.5}"),
        );
        let off = ours / r.value("value") - 1.0;
        section.rows.push(
            line.off(format!("{:+.4} %, allowed 0.01 %", 100.0 * off))
                .is(Verdict::of(off, 1e-4))
                .because("finite elements there, the law inverted here"),
        );
    }
    let published = [(18.0, 9194.0, 3.65), (13.5, 10_551.0, 3.34), (9.0, 11_997.0, 2.69), (4.5, 13_265.0, 1.56)];
    for (feet, cfm, inches) in published {
        let Some(p) = on_corn("demo-axial-10hp", 27.0, feet, 1.5) else { continue };
        let (q, sp) = (p.fan_airflow / CFM_M3_S, p.fan_static_pressure / INCH_WATER_PA);
        let line = row(
            format!("NEB-FAN: 10.5 hp axial on {feet} ft of corn, 27 ft bin (published, calculated there)"),
            format!("{cfm} cfm, {inches} in."),
            format!("{q:.0} cfm, {sp:.2} in. with an invented 10 hp axial"),
        );
        let line = line.off(format!("{:+.0} %", 100.0 * (q / cfm - 1.0))).is(Verdict::Band);
        section.rows.push(line.because("its curve is not printed: another fan of the size, plausibility only"));
    }
    let own = |depth: f64, flow: f64| {
        let bed = BedResistance { law: CORN, multiplier: 1.5, fines: 0.0 };
        bed.static_pressure(flow * CFM_M3_S / notice::quantity::BUSHEL_M3, depth * 0.3048) * flow * depth
    };
    let (deeper, faster) = (own(20.0, 1.0) / own(10.0, 1.0), own(15.0, 2.0) / own(15.0, 1.0));
    let line = row(
        "FP-1: power for double depth at equal cfm/bu (published rule)",
        "about 10 times",
        format!("{deeper:.1} times, 10 to 20 ft at 1 cfm/bu"),
    );
    section.rows.push(
        line.off(format!("{:+.0} %", 10.0 * deeper - 100.0))
            .is(Verdict::of(deeper / 10.0 - 1.0, 0.2))
            .because("per bin, bushels doubled with depth"),
    );
    let line = row(
        "FP-1: power for double airflow at equal depth (published rule)",
        "over 5 times",
        format!("{faster:.1} times, 1 to 2 cfm/bu at 15 ft"),
    );
    section.rows.push(line.off(format!("{:+.0} %", 20.0 * faster - 100.0)).is(Verdict::of(faster / 5.0 - 1.0, 0.2)));
}

/// Rows of parts that are not built yet.
fn later(rows: &[Row], section: &mut Section) {
    for (topic, why) in [
        ("flow nozzle", "test-bench nozzles are not built in"),
        ("axial fan stage", "fans are taken by their curves, not designed"),
        ("fan efficiency", "ranges by type; the invented fans are held inside them by a test of `equipment`"),
        (
            "grain flow benchmark",
            "air in two dimensions is not built in; the level bin stands above, radial flow and rows of ducts below",
        ),
    ] {
        let elsewhere =
            |id: &str| id == "axi-level" || ["cyl-Forch", "sph-Forch", "ductarray"].iter().any(|e| id.starts_with(e));
        let count = rows.iter().filter(|r| r.text("topic") == topic && !elsewhere(r.text("id"))).count();
        section.rows.push(not_run(topic, format!("{count} values"), why).times(count));
    }
}

/// What the trade says without a source.
pub fn practice() -> Section {
    let mut section = Section::new(
        "Facts of the trade",
        Against::Own,
        "Common practice, no source: these say whether the equipment behaves as people of the trade expect. The gains are \
         dry-air flow at equal rise, with the straight fan curve of rows H1D and H1U, inlet 40 °F.",
    );
    let gain = |rise: f64| {
        let flow = |side| demonstration(side, rise).map_or(f64::NAN, |p| p.dry_air_flow);
        100.0 * (flow(BurnerSide::Discharge) / flow(BurnerSide::Inlet) - 1.0)
    };
    for (rise, says, expected, allowed) in [
        (10.0, "about 2 %", 2.0, 0.5),
        (60.0, "about 10 %", 10.0, 1.0),
        (140.0, "a fifth at the largest rises", 20.0, 4.0),
    ] {
        let ours = gain(rise);
        let line = row(
            format!("capacity gained by a burner after the fan over one before it, rise {rise:.0} °F"),
            says,
            format!("{ours:.1} %"),
        );
        section.rows.push(
            line.off(format!("{:+.1} points, allowed {allowed}", ours - expected))
                .is(Verdict::of(ours - expected, allowed)),
        );
    }
    section.rows.push(not_overloading());
    let fired = Burner {
        id: "on-off".into(),
        capacity: 100_000.0,
        minimum_fire: 0.25,
        fuel: Fuel::Propane,
        side: BurnerSide::Discharge,
        indirect_efficiency: None,
        firing: Firing::OnOff,
        temperature_limit: None,
        invented: true,
        provenance: equipment::Provenance::default(),
    }
    .fire(BurnerCommand::Rise(3.0), 5.0, 0.004, STANDARD_PRESSURE, 5.0);
    let line = row(
        "on-off firing blows unheated air while off, so it suits low temperatures only",
        "swings",
        format!(
            "100 kW on 5 kg/s asked for 3.0 K: {:.1} K for {:.0} % of the time, none for the rest",
            fired.peak_rise,
            100.0 * fired.duty
        ),
    );
    section.rows.push(line.is(Verdict::of(fired.peak_rise * fired.duty - 3.0, 1e-6)));
    let at =
        |id: &str, inches: f64| fan(id).and_then(|f| f.curve.airflow(inches * INCH_WATER_PA)).unwrap_or(0.0) / CFM_M3_S;
    let (axial, centrifugal) = ("demo-axial-10hp", "demo-centrifugal-10hp");
    let line = row(
        "axials serve below about 3 in., centrifugals above 3 to 4 in.",
        "the axial leads at 2 in. and is out at 4.5 in.",
        format!(
            "invented 10 hp fans: axial {:.0}, centrifugal {:.0} cfm at 2 in.; {:.0} and {:.0} at 4.5 in.",
            at(axial, 2.0),
            at(centrifugal, 2.0),
            at(axial, 4.5),
            at(centrifugal, 4.5)
        ),
    );
    let holds = at(axial, 2.0) > at(centrifugal, 2.0) && at(axial, 4.5) == 0.0 && at(centrifugal, 4.5) > 0.0;
    section.rows.push(line.is(if holds { Verdict::Agrees } else { Verdict::Differs }));
    if let Some(mut f) = fan(axial) {
        let shaft = f.curve.shaft_power(0.5 * (f.curve.peak_airflow() + f.curve.most()));
        f.motor_in_air = true;
        let inside = f.heat_to_air(shaft);
        f.motor_in_air = false;
        let outside = f.heat_to_air(shaft);
        let line = row(
            "a motor in the air stream gives its losses to the air",
            "more heat than one outside",
            format!(
                "{axial}: {:.2} kW to the air with the motor in it, {:.2} kW with it outside",
                inside / 1e3,
                outside / 1e3
            ),
        );
        section.rows.push(line.is(if inside > outside { Verdict::Agrees } else { Verdict::Differs }));
    }
    section
}

fn not_overloading() -> crate::page::Row {
    let (mut count, mut held) = (0, 0);
    for f in demo::demo_catalogue() {
        if !matches!(
            f.kind,
            FanKind::CentrifugalLowSpeed | FanKind::DoubleInletCentrifugal | FanKind::CentrifugalHighSpeed
        ) {
            continue;
        }
        let c = &f.curve;
        let at = |x: f64| c.shaft_power(x * c.most());
        let highest = (0..=100).map(|i| at(f64::from(i) / 100.0)).fold(0.0, f64::max);
        count += 1;
        held += usize::from(at(1.0) < highest && highest <= f.motor_power);
    }
    let line = row(
        "a backward-curved wheel does not overload its motor",
        "power peaks inside the curve",
        format!("{held} of {count} invented fans"),
    );
    line.is(Verdict::of((count - held) as f64, 0.0)).because("the fans are invented: this guards the catalogue")
}

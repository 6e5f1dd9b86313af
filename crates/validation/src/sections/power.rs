//! Motors and wires, sound, ducts.

use super::group::{Value, group};
use crate::page::{Against, Section, Verdict, not_run, row};
use crate::table::{self, Row};
use equipment::motor::{self, HORSEPOWER};
use equipment::{Spread, wiring};
use physics::electric::{self, Phases};
use physics::perforated_duct::PerforatedDuct;
use physics::resistance::LogLaw;
use physics::spreading::{TwoTerm, duct_row};
use physics::{duct, fan_sound, sound};

/// The section.
pub fn section() -> Section {
    let fuel = table::read(include_str!("../../data/fuel-and-electric.csv"));
    let ducts = table::read(include_str!("../../data/fans-and-ducts.csv"));
    let code = table::read(include_str!("../../../equipment/tests/tables/code-currents.csv"));
    let mut section = Section::new(
        "Motors, wires, sound, ducts",
        Against::Published,
        "Code currents were read from one copy of the tables and are held against another. Rows of ducts were computed by the \
         compilers of the reference, but for the textbook example.",
    );
    motors(&fuel, &code, &mut section);
    noise(&ducts, &mut section);
    flow(&ducts, &mut section);
    let used = ["motor_efficiency_10CFR431.25", "conductor", "locked_rotor_code_letter"];
    section.sources(table::kinds(fuel.iter().filter(|r| used.contains(&r.text("table"))), "source"));
    section.sources(table::kinds(&code, "source"));
    section
}

fn motors(fuel: &[Row], code: &[Row], section: &mut Section) {
    let of = |name: &str| fuel.iter().filter(|r| r.text("table") == name).collect::<Vec<_>>();
    let premium = of("motor_efficiency_10CFR431.25");
    let values = premium.iter().filter(|r| r.text("condition").starts_with("premium enclosed 4-pole")).map(|r| {
        let hp: f64 = r.text("item").split(' ').next().and_then(|t| t.parse().ok()).unwrap_or(f64::NAN);
        let ours = 100.0 * motor::default_efficiency(hp * HORSEPOWER);
        Value { what: format!("motor of {}", r.text("item")), printed: r.value("value"), ours, allowed: 1e-9 }
    });
    let because = "our table comes from another standard's copy";
    group(section, "efficiency of premium enclosed four-pole motors", "%", "none", values, because);
    let mut beyond = 0;
    let mut values = Vec::new();
    for r in code {
        let phases = if r.text("phases") == "1" { Phases::Single } else { Phases::Three };
        match wiring::code_current(r.value("horsepower") * HORSEPOWER, r.value("volts"), phases) {
            Some(ours) => values.push(Value {
                what: format!("{} hp, {} V", r.text("horsepower"), r.text("volts")),
                printed: r.value("current_a"),
                ours,
                allowed: 1e-9,
            }),
            None => beyond += 1,
        }
    }
    group(section, "full-load currents of the code, one and three phases", "A", "none", values.into_iter(), "");
    let line = not_run(
        "full-load currents above 100 hp and of 115 V three-phase",
        format!("{beyond} values"),
        "not in our table",
    );
    section.rows.push(line.times(beyond));
    for (metal, constant) in [("copper", 12.9), ("aluminium", 21.2)] {
        let values = wiring::CONDUCTORS.iter().map(|c| {
            let resistance = if metal == "copper" { c.copper } else { c.aluminium };
            let ours = resistance * 304.8 * c.circular_mils / 1000.0;
            Value { what: format!("{metal} {} AWG", c.name), printed: constant, ours, allowed: 0.03 * constant }
        });
        let because =
            "resistance times circular mils against the trade's constant; the smallest sizes are solid in the copy";
        group(section, &format!("conductors of {metal}: the constant K"), "Ω cmil/ft", "3 %", values, because);
    }
    let letters = of("locked_rotor_code_letter");
    let agree = letters.iter().filter(|r| {
        let letter = r.text("item").chars().next().and_then(electric::code_letter);
        let (low, high) = r.text("value").split_once('-').unwrap_or_default();
        let number = |t: &str, none: f64| if t.is_empty() { none } else { t.parse().unwrap_or(f64::NAN) };
        letter == Some((number(low, f64::NAN), number(high, f64::INFINITY)))
    });
    let (count, agree) = (letters.len(), agree.count());
    let line = row("code letters of locked rotors", format!("{count} ranges"), format!("{agree} as printed"));
    section.rows.push(line.times(count).is(Verdict::NoCheck).because("our table is this list"));
}

fn noise(ducts: &[Row], section: &mut Section) {
    let because = "the printed figure does not follow from the printed formula, which we use";
    let values = ducts.iter().filter(|r| r.text("topic") == "fan sound").map(|r| {
        let efficiency = r.after("inputs", "eta ").unwrap_or(f64::NAN);
        let what = format!("off-peak correction of fan sound, efficiency {efficiency}");
        Value { what, printed: r.value("value"), ours: fan_sound::off_peak(efficiency), allowed: 0.05 }
    });
    group(section, "off-peak correction of fan sound, efficiency 0.75", "dB", "half a digit", values, because);
    let hours = [
        (85.0, 16.0),
        (90.0, 8.0),
        (92.0, 6.1),
        (95.0, 4.0),
        (97.0, 3.0),
        (100.0, 2.0),
        (105.0, 1.0),
        (110.0, 0.5),
        (115.0, 0.25),
    ];
    let values = hours.into_iter().map(|(level, printed)| {
        let ours = sound::permitted_exposure(level) / 3600.0;
        Value { what: format!("exposure at {level} dB(A)"), printed, ours, allowed: 0.055 }
    });
    group(section, "permitted exposure, 85 to 115 dB(A), 29 CFR 1910.95 Table G-16a", "h", "half a digit", values, "");
    for (name, kind, sum, weighted) in [
        ("backward curved", fan_sound::FanType::BackwardCurved, -0.2, -7.8),
        ("forward curved", fan_sound::FanType::ForwardCurved, -0.1, -13.2),
        ("radial", fan_sound::FanType::Radial, 1.8, -3.6),
        ("axial", fan_sound::FanType::TubeAxial, 0.0, -3.6),
    ] {
        let bands = sound::Octaves(kind.spectrum());
        let line = row(
            format!("spectrum of {name} fans: sum of bands, A-weighted (derived)"),
            format!("{sum} and {weighted} dB"),
            format!("{:.1} and {:.1} dB", bands.overall(), bands.a_weighted()),
        );
        let worst = (bands.overall() - sum).abs().max((bands.a_weighted() - weighted).abs());
        section.rows.push(line.off(format!("largest {worst:.2} dB, allowed 0.06")).is(Verdict::of(worst, 0.06)));
    }
    section.rows.push(not_run(
        "specific sound power by type and octave",
        "63 levels (memory)",
        "recalled; used as a second opinion beside the published spectrum, whose gap widens the uncertainty",
    ));
}

/// The textbook's ducts; Fanning's 0.008 is Darcy's 0.032.
fn textbook(quantity: &str) -> f64 {
    let velocity = 0.2 / (0.25 * std::f64::consts::PI * 0.15 * 0.15);
    let pressure = duct::velocity_pressure(velocity, 1.2);
    let before = (4.0 + duct::straight(0.032, 10.0, 0.15)) * pressure;
    let after = duct::straight(0.032, 20.0 + 20.0 * 0.3, 0.3) * pressure;
    match quantity {
        "velocity in both ducts" => velocity,
        "inlet side loss" => before,
        "outlet side loss" => after,
        _ => before + after,
    }
}

fn flow(ducts: &[Row], section: &mut Section) {
    let of = |topic: &str| ducts.iter().filter(|r| r.text("topic") == topic).collect::<Vec<_>>();
    let value = |r: &Row, ours: f64, allowed: f64| Value {
        what: format!("{} {}", r.text("id"), r.text("quantity")),
        printed: r.value("value"),
        ours,
        allowed,
    };
    let values = of("fan and duct").into_iter().map(|r| value(r, textbook(r.text("quantity")), 0.05));
    group(section, "ducts of a textbook example (14.6)", "m/s, Pa", "half a digit", values, "");
    let after = |r: &Row, mark: &str| r.after("inputs", mark).unwrap_or(f64::NAN);
    let friction = of("duct friction");
    let colebrook = friction.iter().filter(|r| r.text("id").starts_with("colebrook")).map(|r| {
        let ours = duct::friction_factor(after(r, "Re "), after(r, "eps/D "));
        value(r, ours, 5.1e-6)
    });
    group(section, "Colebrook's friction factor (computed)", "", "half a digit", colebrook, "");
    let manning = friction
        .iter()
        .filter(|r| r.text("id").starts_with("corrugated"))
        .map(|r| value(r, duct::manning_factor(after(r, "D "), after(r, "n ")), 5.1e-5));
    group(section, "friction of corrugated tubing from Manning's n (n recalled)", "", "half a digit", manning, "");
    let regain = of("perforated duct").into_iter().map(|r| {
        let duct = PerforatedDuct { diameter: 0.3, length: 20.0, friction_factor: after(r, "f "), regain: 1.0 };
        value(r, duct.pressure_rise(10.0, 1.2), 5.1e-3)
    });
    group(section, "pressure along a perforated duct (derived)", "Pa", "half a digit", regain, "");
    let law = TwoTerm { linear: 700.0, quadratic: 9000.0 };
    let radial = ducts.iter().filter_map(|r| match r.text("id") {
        "cyl-Forch-1" => Some(value(r, law.cylinder(0.2, 0.3, 3.0), 6e-7)),
        "sph-Forch-1" => Some(value(r, law.sphere(0.5, 0.3, 3.0), 6e-7)),
        _ => None,
    });
    group(section, "radial flow in grain, closed forms (derived)", "Pa", "half a digit", radial, "");
    let rows = ducts.iter().filter_map(|r| {
        let sizes: Vec<f64> =
            r.text("id").strip_prefix("ductarray-")?.split('-').filter_map(|t| t.parse().ok()).collect();
        let [s, h, r0] = sizes.as_slice() else { return None };
        Some(value(r, duct_row(*s, *h, *r0), 0.004))
    });
    let because = "image series there, the short form here: its error is of the order (π r0/s)²/6π";
    group(section, "row of ducts on a floor, pressure over A q (derived)", "", "0.004", rows, because);
    let rows = ducts.iter().filter(|r| r.text("id") == "partial-0.7").map(|r| value(r, pad(0.7), 0.01 * 0.860));
    let because = "solved by finite elements there, a closed form here";
    group(section, "disc of a floor, flow over that of a full floor (derived)", "", "1 %", rows, because);
    super::crowding::rows(&mut section.rows);
}

/// Flow through a disc of so much of the radius over that of a full floor: 6 m of corn × 1.5 at 1000 Pa, 18 ft of radius.
fn pad(share: f64) -> f64 {
    let (corn, radius) = (LogLaw { a: 2.07e4, b: 30.4 }, 18.0 * 0.3048);
    let shells = Spread::pad(share * radius, radius, 1.0).shells;
    let flow = |shells: &[(f64, f64)]| {
        let lost = |v: f64| {
            let crowded: f64 = shells.iter().map(|(times, depth)| depth * corn.gradient(times * v)).sum();
            1.5 * (6.0 * corn.gradient(v) + crowded)
        };
        // Halving: 60 times between still air and a metre a second.
        let (mut low, mut high) = (0.0, 1.0);
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if lost(middle) < 1000.0 { low = middle } else { high = middle }
        }
        low
    };
    flow(&shells) / flow(&[])
}

//! The fuel train of a site: from tank or main to the orifices, at each element what is needed and what is there.
//!
//! One supply and one line feed all burners that burn the fuel; the sheet takes them all at full fire in the cold of the design
//! hour. Leaves out the heat that a tank stores (short draws can be higher) and everything only a fitter on the spot can see.

mod tanks;

pub use tanks::{Condition, Stock, TankRow, Tanks};

use super::BinHeat;
use equipment::fuel_train::{BurnerEnd, Element, FuelTrain, Section, Supply};
use job::facts::{FuelFacts, LinePiece, SupplyFacts};
use job::{BinJob, Job};
use notice::{Kind, Phrase, Quantity, Remark, Remarks, Source, Status};
use numerics::quantile::quantile;
use physics::combustion::{Fuel, altitude_rating};
use physics::gas_pipe::HIGH_PRESSURE;
use physics::orifice::{DRILLED_SPUD, diameter_for, invoiced_heat};
use physics::propane_tank::Tank;

/// What a regulator needs at its inlet above its outlet, as a share of the outlet's gauge pressure (judgement; the maker's
/// capacity table decides).
pub const REGULATOR_MARGIN: f64 = 0.10;
/// Pressure wanted at the burner where its plate is not known, as a share of the last regulator's outlet (judgement).
pub const BURNER_SHARE: f64 = 0.90;
/// Temperature of vapour at a burner, °C: 60 °F.
const VAPOUR: f64 = 15.556;

/// One bin's burners at the end of the line.
#[derive(Debug, Clone, PartialEq)]
pub struct AtBurner {
    /// Bin.
    pub bin: String,
    /// How many equal burners.
    pub burners: usize,
    /// Full fire of all of them, W on the invoice.
    pub full: f64,
    /// Gauge pressure wanted at the orifice, Pa.
    pub pressure: f64,
    /// Diameter of the orifice of one burner, m, where known.
    pub orifice: Option<f64>,
    /// What that orifice passes at the wanted pressure, W on the invoice for one burner.
    pub passes: Option<f64>,
    /// Diameter that gives one burner its full fire at the wanted pressure, m.
    pub fitting: f64,
}

/// The train of a site.
#[derive(Debug, Clone, PartialEq)]
pub struct Train {
    /// Fuel.
    pub gas: Fuel,
    /// What the site says.
    pub facts: FuelFacts,
    /// Outdoor temperature of the sheet, °C: no colder in as large a share of the hours as the design hour stands for.
    pub cold: f64,
    /// That share.
    pub share: f64,
    /// Burners at its end.
    pub burners: Vec<AtBurner>,
    /// Full fire of all, W on the invoice.
    pub full: f64,
    /// The sheet, from the supply to the orifice.
    pub elements: Vec<Element>,
    /// Gauge pressures at head and end of every piece at full fire, Pa.
    pub pressures: Vec<(f64, f64)>,
    /// Nominal size of the smallest steel pipe for the way behind each regulator, by its number.
    pub smallest: Vec<(usize, Option<&'static str>)>,
    /// The fire that the train sustains, W on the invoice.
    pub sustained: f64,
    /// Tanks through the season.
    pub tanks: Option<Tanks>,
    /// Share of its rating that the rule of the gas codes leaves an appliance at this elevation.
    pub altitude: f64,
}

/// Works out the train of a site from the heat of its bins; nothing without `[fuel]` or without a burner that is asked.
pub fn of(job: &Job, heats: &[(&BinJob, &BinHeat)], remarks: &mut Remarks) -> Option<Train> {
    let facts = job.fuel.as_ref()?;
    let gas = facts.fuel.combustion()?;
    let fired: Vec<(&BinJob, &super::duty::Duty)> = heats
        .iter()
        .filter(|(bin, _)| bin.template.burner.as_ref().is_some_and(|burner| burner.fuel == facts.fuel))
        .filter_map(|(bin, heat)| Some((*bin, heat.duty.as_ref()?)))
        .collect();
    if fired.is_empty() {
        remarks.add(Remark::new("fuel-unused", Phrase::new("no burner of the site is asked to burn its fuel")));
        return None;
    }
    let barometric = super::barometric(job);
    let outside: Vec<f64> = fired.iter().flat_map(|(_, duty)| duty.hours.iter().map(|h| h.temperature)).collect();
    let cold = quantile(&outside, 1.0 - job.design_hour)?;
    let usual = usual_pressure(facts);
    let burners: Vec<AtBurner> = fired.iter().map(|(bin, _)| at_burner(bin, &gas, usual, barometric)).collect();
    let full = burners.iter().map(|b| b.full).sum();
    let train = fuel_train(facts, gas, cold, &burners, barometric);
    let sheet = Train {
        gas,
        facts: facts.clone(),
        cold,
        share: job.design_hour,
        full,
        elements: train.sheet(),
        pressures: train.pressures(),
        smallest: numbers(facts).into_iter().map(|n| (n, train.smallest_pipe(n).map(|(name, _)| name))).collect(),
        sustained: train.sustained(),
        tanks: tanks::of(facts, &gas, &fired, (cold, full), barometric),
        altitude: altitude_rating(job.place.elevation),
        burners,
    };
    remark(&sheet, &fired, remarks);
    Some(sheet)
}

/// Pressure at the burner where its plate is not known.
fn usual_pressure(facts: &FuelFacts) -> f64 {
    let last = facts.line.iter().rev().find_map(|piece| piece.regulator);
    let head = match facts.supply {
        SupplyFacts::Main(main) => main.pressure,
        SupplyFacts::Liquid(_, vaporizer) => vaporizer.pressure,
        SupplyFacts::Vapor(_) => 0.0,
    };
    BURNER_SHARE * last.unwrap_or(head)
}

fn at_burner(bin: &BinJob, gas: &Fuel, usual: f64, barometric: f64) -> AtBurner {
    let burner = bin.template.burner.as_ref();
    let (capacity, efficiency) =
        burner.map_or((0.0, 1.0), |burner| (burner.capacity, burner.indirect_efficiency.unwrap_or(1.0)));
    let full = gas.invoiced_heat(capacity, efficiency);
    let pressure = bin.firing.gas_pressure.unwrap_or(usual);
    let one = full / bin.firing.burners as f64;
    AtBurner {
        bin: bin.name.clone(),
        burners: bin.firing.burners,
        full,
        pressure,
        orifice: bin.firing.orifice,
        passes: bin.firing.orifice.map(|d| invoiced_heat(d, DRILLED_SPUD, pressure, barometric, VAPOUR, gas).0),
        fitting: diameter_for(one, DRILLED_SPUD, pressure, barometric, VAPOUR, gas),
    }
}

/// The train with all burners as one at its end: the highest pressure any of them wants, one hole as large as all.
fn fuel_train(facts: &FuelFacts, gas: Fuel, cold: f64, burners: &[AtBurner], barometric: f64) -> FuelTrain {
    let holes = burners.iter().map(|b| b.orifice.map(|d| b.burners as f64 * d * d)).sum::<Option<f64>>();
    let supply = match facts.supply {
        SupplyFacts::Vapor(tanks) => Supply::TankVapour {
            tank: Tank { diameter: tanks.diameter, length: tanks.length },
            count: tanks.count,
            fill: tanks.lowest_fill,
            air: cold,
        },
        SupplyFacts::Liquid(_, vaporizer) => Supply::Vaporiser {
            capacity: vaporizer.capacity,
            liquid: cold,
            vapour: VAPOUR,
            pressure: vaporizer.pressure,
        },
        SupplyFacts::Main(main) => Supply::Main { pressure: main.pressure, capacity: main.meter },
    };
    let section = |piece: &LinePiece| Section { set: piece.regulator, length: piece.length, diameter: piece.inside };
    FuelTrain {
        gas,
        supply,
        sections: facts.line.iter().map(section).collect(),
        burner: BurnerEnd {
            heat: burners.iter().map(|b| b.full).sum(),
            pressure: burners.iter().map(|b| b.pressure).fold(0.0, f64::max),
            orifice: holes.map(f64::sqrt),
        },
        regulator_margin: REGULATOR_MARGIN,
        barometric,
        gas_temperature: VAPOUR,
    }
}

/// Numbers of the regulators, 0 for a pipe that begins at a main without one.
fn numbers(facts: &FuelFacts) -> Vec<usize> {
    let regulators = facts.line.iter().filter(|piece| piece.regulator.is_some()).count();
    let plain = facts.line.first().is_some_and(|piece| piece.regulator.is_none());
    (usize::from(!plain)..=regulators).collect()
}

fn remark(train: &Train, fired: &[(&BinJob, &super::duty::Duty)], remarks: &mut Remarks) {
    let heat = |v: f64| Quantity::new(v, Kind::HeatRate);
    let temperature = |v: f64| Quantity::new(v, Kind::Temperature);
    train.elements.iter().filter_map(Element::remark).for_each(|r| remarks.add(r));
    if train.sustained < 0.999 * train.full {
        remarks.add(Remark::new(
            "train-under-fires",
            Phrase::new(
                "in air of {cold} this train sustains {have} of {full} (on the invoice): pressure falls until the flame is that small, \
                 and the plenum stays colder than the control asks",
            )
            .with("cold", temperature(train.cold))
            .with("have", heat(train.sustained))
            .with("full", heat(train.full)),
        ));
    }
    for burner in &train.burners {
        let (Some(passes), Some(diameter)) = (burner.passes, burner.orifice) else { continue };
        let one = burner.full / burner.burners as f64;
        if passes > 1.05 * one {
            remarks.add(Remark::new(
                "orifice-large",
                Phrase::new(
                    "bin {bin}: the orifice of {hole} passes {have} at {pressure}, the plate says {full}: over-fired, with a flame \
                     longer than the burner was made for",
                )
                .text("bin", &burner.bin)
                .with("hole", Quantity::new(diameter, Kind::Bore))
                .with("have", heat(passes))
                .with("pressure", Quantity::new(burner.pressure, Kind::GasPressure))
                .with("full", heat(one)),
            ));
        }
    }
    if fired.iter().any(|(bin, _)| bin.firing.gas_pressure.is_none()) {
        let says = Phrase::new(
            "the pressure at the orifice is not said (gas_pressure): {share} of what the last regulator is set to is taken",
        )
        .with("share", Quantity::new(BURNER_SHARE, Kind::Fraction));
        remarks.add(Remark::new("gas-pressure-assumed", says));
    }
    let highest = train.pressures.iter().map(|(from, _)| *from).fold(0.0, f64::max);
    if highest > HIGH_PRESSURE.high * (1.0 + 1e-9) {
        let says =
            Phrase::new("the equations for pipes were met against tables up to {high}; this line begins at {there}")
                .with("high", Quantity::new(HIGH_PRESSURE.high, Kind::GasPressure))
                .with("there", Quantity::new(highest, Kind::GasPressure));
        remarks.add(Remark::new("outside-evidence", says));
    }
    if train.altitude < 1.0 {
        let says = Phrase::new(
            "at this elevation gas codes leave an appliance {share} of its rated input; a maker's own figure goes before it",
        )
        .with("share", Quantity::new(train.altitude, Kind::Fraction));
        let source = Source::new("NFPA 54 annex E as quoted in appliance manuals", Status::Seen);
        remarks.add(Remark::new("altitude-rating", says).from_source(source));
    }
    if let Some(tanks) = &train.tanks {
        tanks::remark(tanks, &train.facts, remarks);
    }
}

//! A motor from its plate and its load: what flows, what the code's table says, what a feeder loses, what a start takes.

use super::{Answer, Faults, gas, one, part, refuse};
use equipment::motor_load::{LoadVerdict, MotorLoad, MotorPlate};
use equipment::wiring::{self, Metal};
use notice::{Diagnostic, Diagnostics, Kind, Phrase, Quantity, Range, Remark, Remarks, Source, Status};
use physics::electric::{self, GeneratorLoad, Phases};

/// Most shaft power over the rating: above that the motor stalls or trips, and the relations by load say nothing.
const MOST_LOAD: f64 = 2.0;
/// Largest motor asked for, W.
const LARGEST: f64 = 1e6;
/// Smallest motor asked for, W: a fifteenth of a horsepower.
const SMALLEST: f64 = 50.0;
/// Efficiencies of motors.
const EFFICIENCIES: Range = Range::new(0.30, 0.99);
/// Power factors of motors.
const POWER_FACTORS: Range = Range::new(0.30, 1.0);
/// Feeders, m one way.
const FEEDERS: Range = Range::new(0.3, 3000.0);
/// Share of the supply that a feeder may take at start before a motor fails to come up (judgement).
const START_SHARE: f64 = 0.30;
/// Share of the supply that no running motor can lose.
const MOST_LOST: f64 = 0.50;
/// Voltages of supplies.
const VOLTS: Range = Range::new(90.0, 1000.0);
/// Service factors.
const SERVICE: Range = Range::new(1.0, 1.5);
/// Beyond a tenth of this the relation of part load has nothing to say.
const LEAST_LOAD: f64 = 0.2;

/// A feeder.
#[derive(Debug, Clone, PartialEq)]
pub struct Feeder {
    /// Length one way, m.
    pub length: f64,
    /// Conductor by its gauge, "2" or "1/0".
    pub conductor: String,
    /// Metal.
    pub metal: Metal,
}

/// The question.
#[derive(Debug, Clone, PartialEq)]
pub struct Question {
    /// Rated power at the shaft, W.
    pub rated: f64,
    /// Volts between lines.
    pub volts: f64,
    /// Phases.
    pub phases: Phases,
    /// Power at the shaft now, W; left out, the rating.
    pub shaft: Option<f64>,
    /// Efficiency at full load, as on the plate.
    pub efficiency: Option<f64>,
    /// Power factor at full load, as on the plate.
    pub power_factor: Option<f64>,
    /// Service factor.
    pub service_factor: Option<f64>,
    /// Code letter of the locked rotor.
    pub code_letter: Option<char>,
    /// Feeder.
    pub feeder: Option<Feeder>,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Motor {
    /// The plate used.
    pub plate: MotorPlate,
    /// Power at the shaft, W.
    pub shaft: f64,
    /// What the motor draws for it.
    pub load: MotorLoad,
    /// Full-load current of the code's table, A; none where the table has no such motor.
    pub code_current: Option<f64>,
    /// Least current of a conductor by the code's factor, A.
    pub conductor_current: Option<f64>,
    /// Code letter used.
    pub code_letter: char,
    /// Current of the locked rotor, A: from, to; the last letter has no end.
    pub locked_rotor: (f64, Option<f64>),
    /// What a generator for this motor alone has to carry.
    pub generator: GeneratorLoad,
    /// What the feeder loses.
    pub drop: Option<Drop>,
    /// Where the running figures come from.
    pub source: Source,
}

/// What a feeder loses at the running current.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drop {
    /// V.
    pub volts: f64,
    /// Share of the supply.
    pub share: f64,
    /// At start, by the middle of the code letter, share of the supply.
    pub at_start: f64,
}

impl Question {
    /// What is impossible about it.
    pub fn faults(&self) -> Diagnostics {
        let mut faults = Faults::default();
        gas::above_zero(&mut faults, "power", self.rated, Kind::ShaftPower, Range::new(SMALLEST, LARGEST));
        faults.outside("volts", self.volts, Kind::Voltage, VOLTS);
        if let Some(shaft) = self.shaft {
            faults.outside("shaft", shaft, Kind::ShaftPower, Range::new(0.0, LARGEST.min(MOST_LOAD * self.rated)));
        }
        for (name, share, range) in
            [("efficiency", self.efficiency, EFFICIENCIES), ("power-factor", self.power_factor, POWER_FACTORS)]
        {
            if let Some(share) = share {
                gas::above_zero(&mut faults, name, share, Kind::Fraction, range);
            }
        }
        if let Some(factor) = self.service_factor {
            faults.outside("service-factor", factor, Kind::Number, SERVICE);
        }
        if let Some(letter) = self.code_letter.filter(|l| electric::code_letter(*l).is_none()) {
            let found = format!("code letter {letter}");
            faults.0.add(
                Diagnostic::error("impossible", found, part("code-letter"))
                    .allowed("must be A to V without I, O and Q"),
            );
        }
        if let Some(feeder) = &self.feeder {
            gas::above_zero(&mut faults, "feeder", feeder.length, Kind::Length, FEEDERS);
            if wiring::conductor(&feeder.conductor).is_none() {
                let found = format!("conductor {:?}", feeder.conductor);
                faults.0.add(
                    Diagnostic::error("unknown-conductor", found, part("conductor"))
                        .allowed(format!("must be one of {}", wiring::CONDUCTORS.map(|c| c.name).join(", "))),
                );
            }
        }
        faults.0
    }

    /// Answers it.
    ///
    /// # Errors
    /// What is impossible about the question.
    pub fn answer(&self) -> Result<Answer<Motor>, Diagnostics> {
        refuse(self.faults())?;
        let usual = MotorPlate::usual(self.rated, self.volts, self.phases);
        let plate = MotorPlate {
            efficiency: self.efficiency.unwrap_or(usual.efficiency),
            power_factor: self.power_factor.unwrap_or(usual.power_factor),
            service_factor: self.service_factor.unwrap_or(usual.service_factor),
            ..usual
        };
        let shaft = self.shaft.unwrap_or(self.rated);
        let load = plate.at(shaft);
        let code_letter = self.code_letter.unwrap_or_else(|| electric::usual_code_letter(self.rated));
        let (low, high) = electric::code_letter(code_letter).ok_or_else(|| {
            one(Diagnostic::error("impossible", format!("code letter {code_letter}"), part("code-letter")))
        })?;
        let rotor = |kva: f64| electric::locked_rotor_current(self.rated, kva, self.volts, self.phases);
        let middle = if high.is_finite() { 0.5 * (low + high) } else { low };
        let starting = middle * self.rated / equipment::motor::HORSEPOWER * 1000.0;
        let code_current = wiring::code_current(self.rated, self.volts, self.phases);
        let mut remarks = Remarks::default();
        let drop = self.feeder.as_ref().and_then(|f| self.drop(f, &load, rotor(middle)));
        if let Some(drop) = drop.filter(|d| d.share > MOST_LOST) {
            let share = Quantity::new(drop.share, Kind::Fraction).show(notice::UnitSystem::Us);
            return Err(one(Diagnostic::error(
                "feeder-cannot-carry",
                format!("a feeder that would take {share} of the voltage"),
                part("conductor"),
            )
            .allowed("no motor runs on what is left")
            .help("a thicker conductor, a shorter feeder or a higher voltage")));
        }
        self.remark(&mut remarks, &plate, &load, drop, code_current);
        self.remark_assumed(&mut remarks, code_letter);
        let result = Motor {
            plate,
            shaft,
            load,
            code_current,
            conductor_current: code_current.map(|c| c * wiring::CONDUCTOR_FACTOR),
            code_letter: code_letter.to_ascii_uppercase(),
            locked_rotor: (rotor(low), high.is_finite().then(|| rotor(high))),
            generator: electric::generator_load(load.input, load.input, starting),
            drop,
            source: self.source(),
        };
        Ok(Answer { result, remarks })
    }

    /// Where the running figures come from: the plate where it was given, else what is usual of its phases.
    fn source(&self) -> Source {
        let efficiency = match (self.efficiency, self.phases) {
            (Some(_), _) => "efficiency as given",
            (None, Phases::Three) => "premium three-phase efficiencies (10 CFR 431.25, seen)",
            (None, Phases::Single) => "usual efficiency and power factor of single-phase farm motors (judgement)",
        };
        let table = match self.phases {
            Phases::Single => "NEC 430.248",
            Phases::Three => "NEC 430.250",
        };
        let text = format!("{efficiency}; part load by judgement; code currents {table} (copy, seen)");
        Source::new(text, Status::Judgement)
    }

    /// Says what was taken because the plate was not read out.
    fn remark_assumed(&self, remarks: &mut Remarks, code_letter: char) {
        if self.phases == Phases::Single && (self.efficiency.is_none() || self.power_factor.is_none()) {
            let says = Phrase::new(
                "single-phase motors have no published list of efficiencies here: usual figures of farm motors are taken (judgement); the \
                 plate goes before them",
            );
            remarks.add(Remark::new("single-phase-assumed", says));
        }
        if self.code_letter.is_none() {
            let of = match self.phases {
                Phases::Three => "usual for this power",
                Phases::Single => "usual for a three-phase motor of this power; single-phase ones often draw more",
            };
            let says = Phrase::new("code letter {letter} is assumed, {of}; the plate's letter goes before it")
                .text("letter", code_letter.to_string())
                .text("of", of);
            remarks.add(Remark::new("code-letter-assumed", says));
        }
    }

    fn drop(&self, feeder: &Feeder, load: &MotorLoad, locked: f64) -> Option<Drop> {
        let resistance = wiring::conductor(&feeder.conductor)?.resistance(feeder.metal);
        let lost = |current: f64, power_factor: f64| {
            electric::voltage_drop(current, feeder.length, resistance, wiring::REACTANCE, power_factor, self.phases)
        };
        let volts = lost(load.current, load.power_factor);
        // A locked rotor draws at a low power factor; 0.4 is a usual figure (judgement).
        Some(Drop { volts, share: volts / self.volts, at_start: lost(locked, 0.4) / self.volts })
    }

    fn remark(
        &self,
        remarks: &mut Remarks,
        plate: &MotorPlate,
        load: &MotorLoad,
        drop: Option<Drop>,
        code_current: Option<f64>,
    ) {
        let share = |v: f64| Quantity::new(v, Kind::Fraction);
        match load.judged {
            LoadVerdict::Within => {}
            LoadVerdict::InServiceFactor => {
                let says = Phrase::new(
                    "the load is {load} of the rating: inside the service factor, with no room left for low voltage, heat or altitude",
                )
                .with("load", share(load.load));
                remarks.add(Remark::new("in-service-factor", says));
            }
            LoadVerdict::Over => {
                let says = Phrase::new(
                    "the load is {load} of the rating, beyond the service factor of {factor}: overload devices trip or the winding ages; \
                     cold dense air raises it further",
                )
                .with("load", share(load.load))
                .with("factor", share(plate.service_factor));
                remarks.add(Remark::new("overloaded", says));
            }
        }
        if load.load < LEAST_LOAD {
            let says = Phrase::new("below about a fifth of the rating current says almost nothing of the load");
            remarks.add(Remark::new("outside-evidence", says));
        }
        if self.phases == Phases::Single && self.rated > wiring::LARGEST_SINGLE_PHASE * 1.001 {
            let says = Phrase::new("utilities usually take single-phase motors up to about {largest}; ask yours")
                .either("largest", "10 hp", "7.5 kW");
            let source = Source::new("cooperative and extension text", Status::Seen);
            remarks.add(Remark::new("large-for-one-phase", says).from_source(source));
        }
        if code_current.is_none() {
            let says = Phrase::new("the code's tables as copied here hold no motor of this size at {volts}")
                .with("volts", Quantity::new(self.volts, Kind::Voltage));
            remarks.add(Remark::new("no-code-current", says));
        }
        if let Some(drop) = drop.filter(|d| d.share > wiring::SUGGESTED_DROP.0) {
            let says = Phrase::new(
                "the feeder takes {share} of the voltage; notes of the code suggest at most {branch} on a branch",
            )
            .with("share", share(drop.share))
            .with("branch", share(wiring::SUGGESTED_DROP.0));
            let source = Source::new("NEC notes, as quoted", Status::Seen);
            remarks.add(Remark::new("voltage-drop", says).from_source(source));
        }
        if let Some(drop) = drop.filter(|d| d.at_start > START_SHARE) {
            let says = Phrase::new(
                "at start the feeder would take {share} of the voltage: the motor may not come up to speed",
            )
            .with("share", share(drop.at_start));
            remarks.add(Remark::new("start-voltage", says));
        }
        let says = Phrase::new(
            "code currents are high on purpose: they size conductors and protection, never energy; compare a clamp meter with the \
             nameplate",
        );
        remarks.add(Remark::new("code-currents", says));
        let says = Phrase::new("electricity: a licensed electrician and the local code decide on every circuit");
        remarks.add(Remark::new("electrician-decides", says));
    }
}

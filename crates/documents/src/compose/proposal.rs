//! The proposal: what is offered, what it will do, at which risk and cost, what was weighed, what it assumes, what is left to do.

use super::Desk;
use super::common::of_hour;
use crate::paper::{Block, Cell, Paper, PaperKind, Table};
use advice::sentences::Topic;
use equipment::Outcome;
use job::facts::Filling;
use notice::Kind;

pub(super) fn paper(desk: &Desk<'_>) -> Paper {
    let mut facts = desk.quote_facts();
    facts.extend(desk.facts());
    let mut paper = desk.begin(PaperKind::Proposal, facts);
    let blocks = &mut paper.blocks;
    if let Some(headline) = &desk.data.verdict.headline {
        blocks.push(Block::Lead(desk.says(headline)));
    }
    if let Some(missed) = desk.missed() {
        blocks.push(Block::Lead(missed));
    }
    blocks.push(Block::heading("What is offered"));
    blocks.push(Block::text(crate::shown::sentence(&desk.outfit_words())));
    blocks.extend(desk.quote_terms());
    blocks.extend(desk.section().map(Block::Figure));
    blocks.push(Block::Table(desk.equipment()));
    blocks.push(Block::heading("What it will do"));
    blocks.push(Block::points(desk.does()));
    blocks.push(Block::Table(desk.working_points()));
    blocks.extend(desk.curves().map(Block::Figure));
    blocks.push(Block::heading("The risk over the years"));
    blocks.extend(desk.years_picture());
    blocks.push(Block::points(desk.verdict_of(&[Topic::Failures, Topic::Close, Topic::Unsettled, Topic::Partial])));
    blocks.extend(desk.bands().map(Block::Figure));
    blocks.extend(desk.finishes().map(Block::Figure));
    blocks.push(Block::Table(desk.years_table()));
    blocks.extend(desk.left_out());
    blocks.extend(desk.sampling());
    blocks.extend(desk.model_range());
    blocks.push(Block::heading("What it costs"));
    blocks.extend(desk.costs());
    blocks.push(Block::heading("What was weighed and not chosen"));
    blocks.extend(desk.weighed());
    blocks.push(Block::heading("What it assumes"));
    blocks.push(Block::points(desk.assumes()));
    blocks.push(Block::heading("What the owner must do"));
    blocks.push(Block::steps(desk.owner()));
    blocks.push(desk.cautions(&[]));
    paper
}

impl Desk<'_> {
    /// That the plan misses the chance it is to have, where it does.
    pub fn missed(&self) -> Option<String> {
        let proof = &self.of.dossier.proof;
        let tally = self.data.uncertainty.tally;
        (!proof.goal_reached()).then(|| {
            format!(
                "THE GOAL IS MISSED: {} of {} years seen are good, wanted are {} in a hundred.",
                tally.met + tally.held,
                tally.of(),
                crate::ticks::number(100.0 * proof.chance, 0)
            )
        })
    }

    /// Sentences of the verdict about some topics.
    pub fn verdict_of(&self, topics: &[Topic]) -> Vec<String> {
        let dossier = self.of.dossier;
        advice::sentences::by_topic(self.of.bin, &dossier.proof, dossier.range.as_ref(), self.tariff.as_ref())
            .into_iter()
            .filter(|(topic, _)| topics.contains(topic))
            .map(|(_, says)| self.says(&says))
            .collect()
    }

    /// What the outfit does, in plain words.
    fn does(&self) -> Vec<String> {
        let mut says = Vec::new();
        if let Some(full) = self.of.dossier.air.fills.last() {
            let point = &full.point;
            says.push(match point.outcome {
                Outcome::Works | Outcome::HeldBelowFirst => format!(
                    "Full, with {} of grain, the fans push {} through it, {} of grain, against {} of static pressure, and draw {}.",
                    self.show(Kind::Length, full.depth),
                    self.show(Kind::Airflow, point.fan_airflow),
                    self.show(Kind::SpecificAirflow, point.fan_airflow / full.volume),
                    self.show(Kind::Pressure, point.fan_static_pressure),
                    self.show(Kind::ElectricPower, point.input_power)
                ),
                other => format!("Full, with {} of grain: {}.", self.show(Kind::Length, full.depth), advice::air::outcome_says(other)),
            });
        }
        let process = self.of.dossier.proof.years.first().map(|year| year.result.process);
        if process.is_some_and(|process| process == season::Process::Drying) {
            let tally = self.data.uncertainty.tally;
            says.push(format!(
                "It is to dry the grain from {} to a mean of {}, the wettest tenth within {} points of that, and was good for it in {} of {} \
                 years seen.",
                self.show(Kind::MoistureWetBasis, self.of.bin.survey.moisture()),
                self.show(Kind::MoistureWetBasis, self.data.years.target_wb),
                crate::ticks::number(100.0 * self.excess(), 1),
                tally.met + tally.held,
                tally.of()
            ));
        }
        says.extend(self.verdict_of(&[Topic::Days, Topic::Life, Topic::Overdrying, Topic::Energy]));
        says
    }

    /// Points the wettest tenth may lie above the mean, w.b.
    pub fn excess(&self) -> f64 {
        let programme = &self.of.bin.template.programme;
        let wet = physics::grain::wet_basis;
        wet(programme.target + programme.wettest_excess) - wet(programme.target)
    }

    /// Where the fans settle, by fill.
    pub fn working_points(&self) -> Table {
        let air = &self.of.dossier.air;
        let mut table = Table::new(
            format!(
                "Where the fans settle, in air of {} and {} relative humidity",
                self.show(Kind::Temperature, air.temperature),
                self.show(Kind::Fraction, air.relative_humidity)
            ),
            "No operating point was worked out.",
        )
        .plain("filled", "%")
        .numbers(self.reader, "depth", Kind::Length)
        .numbers(self.reader, "airflow", Kind::Airflow)
        .numbers(self.reader, "per grain", Kind::SpecificAirflow)
        .numbers(self.reader, "static pressure", Kind::Pressure)
        .numbers(self.reader, "power", Kind::ElectricPower)
        .plain("motor", "% of rating")
        .wide("Note", 1.0);
        for f in &air.fills {
            let point = &f.point;
            let overload = if point.flags.overload { ", MOTOR OVERLOADED" } else { "" };
            table.row(vec![
                Cell::number(100.0 * f.fill, 0),
                Cell::of(self.reader, Kind::Length, f.depth),
                Cell::of(self.reader, Kind::Airflow, point.fan_airflow),
                Cell::of(self.reader, Kind::SpecificAirflow, point.fan_airflow / f.volume),
                Cell::of(self.reader, Kind::Pressure, point.fan_static_pressure),
                Cell::of(self.reader, Kind::ElectricPower, point.input_power),
                Cell::number(100.0 * f.motor_load, 0),
                Cell::text(format!("{}{overload}", advice::air::outcome_says(point.outcome))),
            ]);
        }
        table
    }

    /// What everything rests on.
    fn assumes(&self) -> Vec<String> {
        let bin = self.of.bin;
        let mut says = vec![
            format!("The grain lies with {}.", self.filling_words()),
            format!(
                "Weather: {}. The years to come are taken to be like those seen.",
                self.data
                    .run
                    .entries
                    .iter()
                    .find(|(name, _)| name == "weather")
                    .map_or(self.of.job.weather_name.as_str(), |(_, says)| says.as_str())
            ),
            format!(
                "Moisture of grain against air by {}; packing factor {:.2}.",
                self.equilibrium_words(),
                bin.packing
            ),
            self.stop_words(),
        ];
        let mut remarks = bin.remarks.clone();
        remarks.extend(self.of.dossier.proof.remarks());
        remarks.extend(advice::way::remarks(bin, &self.of.dossier.air));
        says.extend(remarks.0.iter().map(|remark| self.says(&remark.says)));
        says
    }

    /// Whose relation binds moisture of grain to air.
    fn equilibrium_words(&self) -> String {
        let named = self.data.sources.iter().find(|source| source.what.starts_with("equilibrium"));
        named.map_or_else(|| self.of.bin.relation.clone(), |source| source.citation.clone())
    }

    /// What is left to the owner.
    fn owner(&self) -> Vec<String> {
        let bin = self.of.bin;
        let mut says = vec![
            "Have the load sheets decided on before anything is bought: a licensed electrician on motors and wires, the bin’s maker or \
             a structural engineer on floor and roof, a licensed fitter on gas."
                .to_string(),
            "Have the bin commissioned with grain in it and the sheet filled in: nothing here is promised of a bin that was not measured."
                .into(),
        ];
        let first = bin.years.first().and_then(|(_, case)| Some((case.loads.first()?.hour, case.loads.last()?.hour)));
        if let Some((from, to)) = first {
            let offset = self.of.job.place.utc_offset;
            says.push(format!(
                "Fill from about {} to {}, no wetter than {} on the mean and no deeper than {}; wetter, deeper or later grain is another case.{}",
                of_hour(from, offset),
                of_hour(to, offset),
                self.show(Kind::MoistureWetBasis, bin.survey.moisture()),
                self.show(Kind::Length, bin.survey.depth()),
                match self.missed() {
                    Some(_) => " Filled so it misses the goal: the operating card says how deep is safe at which moisture.",
                    None => "",
                }
            ));
        }
        if !matches!(bin.filling, Filling::Spout) {
            says.push(format!("See to it that the grain lies as is assumed: {}.", self.filling_words()));
        }
        says.push(format!("Run the fans as is assumed: {}.", self.control_words()));
        if let Some((stop, resume)) = self.winter_words() {
            says.push(format!("{stop} {resume}"));
        }
        says.push(format!(
            "Look at the grain every week, as the operating card says, and keep it no longer than {} in this way.",
            bin.years.first().map_or("the season".to_string(), |(_, case)| of_hour(
                case.programme.hold_until,
                self.of.job.place.utc_offset
            ))
        ));
        says.push("Keep floor, ducts, screens and roof vents clean and open; cover fans that stand.".into());
        says
    }
}

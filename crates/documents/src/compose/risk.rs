//! The risk over the years: as a picture, in counts, and what few years and the choice of model leave open, each by itself.

use super::Desk;
use crate::calendar;
use crate::paper::{Block, Cell, Table, years};
use crate::report::{Outcome, Tally};
use crate::shown::NOT_REACHED;
use crate::ticks::number;
use notice::{Kind, UnitSystem};

/// So many years of so many, in words.
pub fn counted(tally: Tally) -> String {
    let part = |count: u32, outcome: Outcome| format!("{count} {}", outcome.word());
    format!(
        "Of {} years {}, {}, {}.",
        tally.of(),
        part(tally.met, Outcome::Met),
        part(tally.held, Outcome::Held),
        part(tally.failed, Outcome::Failed)
    )
}

/// A bound of a chance: never a hundred percent, which would read like certainty.
fn bound(share: f64) -> String {
    match share {
        s if !s.is_finite() => "unknown".into(),
        s if s >= 0.9995 => "all".into(),
        s => format!("{}\u{a0}%", number(100.0 * s.min(0.999), 0)),
    }
}

/// Unit of a season's heat, and how many of it a joule is.
fn large_heat(system: UnitSystem) -> (&'static str, f64) {
    match system {
        UnitSystem::Si => ("GJ", 1e-9),
        UnitSystem::Us => ("million Btu", 1e-6 * Kind::Heat.shown(system).factor),
    }
}

impl Desk<'_> {
    /// Picture and counts.
    pub fn years_picture(&self) -> Vec<Block> {
        let rows = &self.data.years.rows;
        let each: Vec<(i32, Outcome)> = rows.iter().map(|row| (row.year, row.outcome)).collect();
        if each.is_empty() {
            return vec![Block::note("No weather year is complete: nothing can be said of the risk.")];
        }
        let tally = self.data.uncertainty.tally;
        let mut blocks = vec![Block::Figure(years::figure(&each, counted(tally)))];
        let wanted = self.of.dossier.proof.chance;
        let enough = if self.of.dossier.proof.goal_reached() { "reached" } else { "missed" };
        blocks.push(Block::text(format!(
            "A good year is one that is met or held: {} of the {} seen. Wanted were {} in a hundred; in the years seen the goal is {enough}.",
            tally.met + tally.held,
            tally.of(),
            number(100.0 * wanted, 0)
        )));
        blocks
    }

    /// What so few years can tell: sampling alone.
    pub fn sampling(&self) -> Vec<Block> {
        let Some(interval) = &self.data.uncertainty.interval else { return Vec::new() };
        let tally = self.data.uncertainty.tally;
        vec![
            Block::under("What so few years can tell"),
            Block::text(format!(
                "{} good years of {} do not say what the next year brings. From the count alone the chance of a good year lies \
                 anywhere between {} and {} (confidence {}, {}). Only more years narrow that; no better model does.",
                tally.met + tally.held,
                tally.of(),
                bound(interval.low),
                bound(interval.high),
                self.show(Kind::Fraction, interval.level),
                interval.method
            )),
        ]
    }

    /// What the choice of model does, apart from sampling.
    pub fn model_range(&self) -> Vec<Block> {
        let mut blocks = vec![Block::under("What the choice of model does")];
        let Some(range) = &self.of.dossier.range else {
            blocks.push(Block::note("No other choices were tried."));
            return blocks;
        };
        blocks.push(Block::text(
            "The same years were run again with every choice that the published evidence allows, one at a time. This is what the \
             model does not know; it has nothing to do with the number of years.",
        ));
        let mut table = Table::new("The same years under other choices", "No other choices were tried.")
            .wide("Choice", 3.0)
            .wide("Choice of", 2.0)
            .plain("met", "years")
            .plain("held", "years")
            .plain("failed", "years");
        let mut row = |name: String, of: &str, met: usize, held: usize, failed: usize| {
            let count = |n: usize| Cell::count(n);
            table.row(vec![Cell::text(name), Cell::text(of), count(met), count(held), count(failed)]);
        };
        row("as chosen".into(), "", range.base.met, range.base.held, range.base.failed);
        for variant in &self.data.uncertainty.variants {
            let t = variant.tally;
            row(variant.name.clone(), &variant.note, t.met as usize, t.held as usize, t.failed as usize);
        }
        if let Some(worst) = &range.worst {
            row("the worst of these together".into(), "", worst.met, worst.held, worst.failed);
        }
        blocks.push(Block::Table(table));
        if let Some(worst) = &range.worst {
            blocks.push(Block::note(format!("The worst combination is: {}.", worst.name)));
        }
        blocks
    }

    /// Every year in numbers.
    pub fn years_table(&self) -> Table {
        let rows = &self.data.years.rows;
        let moisture = Kind::MoistureWetBasis;
        let mut table = Table::new("Every year in numbers", "No year was worked out.")
            .column("Year")
            .column("Outcome")
            .column("Finished")
            .numbers(self.reader, "mean", moisture)
            .numbers(self.reader, "wettest", moisture)
            .numbers(self.reader, "life used", Kind::Fraction)
            .numbers(self.reader, "electricity", Kind::ElectricEnergy);
        let heat = rows.iter().any(|row| row.burner_heat_j > 0.0);
        let cost = rows.iter().any(|row| !row.cost.is_empty());
        let causes = rows.iter().any(|row| !row.cause.is_empty());
        if heat {
            table = table.plain("heat", large_heat(self.reader.0).0);
        }
        if cost {
            table = table.plain("energy", self.tariff.as_ref().map_or("", |t| t.currency.as_str()));
        }
        if causes {
            table = table.wide("Why", 1.0);
        }
        for (row, year) in rows.iter().zip(&self.of.dossier.proof.years) {
            // The year is said where it is not that of the row.
            let finished = calendar::date(row.year, row.finish_day).map_or_else(
                || NOT_REACHED.into(),
                |date| if date.year == row.year { date.short() } else { date.long() },
            );
            let mut cells = vec![
                Cell::Text(row.year.to_string()),
                Cell::Outcome(row.outcome),
                Cell::Text(finished),
                Cell::of(self.reader, moisture, row.mean_wb),
                Cell::of(self.reader, moisture, row.wettest_wb),
                Cell::of_or(self.reader, Kind::Fraction, row.life_used, "not judged"),
                Cell::of(self.reader, Kind::ElectricEnergy, row.electricity_j),
            ];
            if heat {
                cells.push(Cell::number(row.burner_heat_j * large_heat(self.reader.0).1, 1));
            }
            if cost {
                let paid = self.tariff.as_ref().and_then(|t| t.cost(&year.result)).and_then(|c| c.total());
                cells.push(paid.map_or(Cell::None("no price".into()), |amount| Cell::number(amount, 0)));
            }
            if causes {
                cells.push(Cell::text(&row.cause));
            }
            table.row(cells);
        }
        table
    }

    /// What belongs under the table of years: its words, and years without weather.
    pub fn left_out(&self) -> Option<Block> {
        let left = &self.data.years.left_out;
        let words = "Wettest: the wettest tenth of the grain.";
        if left.is_empty() {
            return (!self.data.years.rows.is_empty()).then(|| Block::note(words));
        }
        let each: Vec<String> = left.iter().map(|l| format!("{} ({})", l.year, l.reason)).collect();
        Some(Block::note(format!("{words} Left out for want of complete weather: {}.", each.join("; "))))
    }
}

//! What it costs: to buy, in a mean year with its parts, and what has no price.

use super::Desk;
use crate::paper::{Block, Cell, Table};
use advice::money::{Ledger, YearCost};

/// A cost line's name in words.
fn label(name: &str) -> String {
    match name {
        "over-drying" => "dried below the base".into(),
        "handling-loss" => "lost in handling".into(),
        "remedies" => "what failed years cost".into(),
        name => name.replace('-', " "),
    }
}

impl Desk<'_> {
    /// Price of one piece, where it is said.
    fn price(&self, id: &str) -> Option<f64> {
        self.of.job.prices.as_ref()?.costs.of(id)
    }

    /// First cost of the outfit; none where a piece has no price.
    pub fn first_cost(&self) -> Option<f64> {
        let fans = self.fans().into_iter().map(|(name, count)| Some(self.price(&name)? * count as f64));
        let burner = self.of.bin.template.burner.iter().map(|burner| self.price(&burner.id));
        fans.chain(burner).sum()
    }

    /// The costs with their parts.
    pub fn costs(&self) -> Vec<Block> {
        let Some(prices) = &self.of.job.prices else {
            return vec![Block::note(
                "The site file names no prices ([prices]), so no money can be said; electricity and fuel stand in kWh and mass in the \
                 table of the years.",
            )];
        };
        let mut blocks = vec![Block::Table(self.first_cost_table(&prices.currency))];
        let ledger = Ledger::of(self.of.bin, prices, self.of.job.remedy.as_ref());
        let years: Vec<YearCost> =
            self.of.dossier.proof.years.iter().map(|y| ledger.year(&y.result, y.verdict)).collect();
        if !years.is_empty() {
            blocks.extend(self.mean_year(&ledger, &years));
        }
        let missing = self.without_price(&years);
        if !missing.is_empty() {
            blocks.push(Block::note(format!("Without a price, and so counted as nothing: {}.", missing.join("; "))));
        }
        blocks
    }

    fn first_cost_table(&self, currency: &str) -> Table {
        let mut table = Table::new("First cost, bought and put up", "No equipment is named.")
            .wide("Piece", 1.0)
            .plain("number", "")
            .plain("each", currency)
            .plain("together", currency);
        let mut row = |name: String, count: usize, each: Option<f64>| {
            let money = |v: Option<f64>| v.map_or(Cell::None("no price said".into()), |v| Cell::number(v, 0));
            table.row(vec![Cell::text(name), Cell::count(count), money(each), money(each.map(|v| v * count as f64))]);
        };
        for (name, count) in self.fans() {
            let each = self.price(&name);
            row(format!("fan {name}"), count, each);
        }
        if let Some(burner) = &self.of.bin.template.burner {
            row(super::words::burner_name(&burner.id), 1, self.price(&burner.id));
        }
        if let Some(sum) = self.first_cost() {
            table.row(vec![Cell::Strong("together".into()), Cell::text(""), Cell::text(""), Cell::number(sum, 0)]);
        }
        table
    }

    fn mean_year(&self, ledger: &Ledger, years: &[YearCost]) -> Vec<Block> {
        let currency = &ledger.currency;
        let per = if ledger.bushels().is_some() { "a bushel" } else { "a tonne" };
        let measure = ledger.bushels().unwrap_or_else(|| ledger.tonnes()).max(f64::MIN_POSITIVE);
        let lines = ledger.lines(self.first_cost().unwrap_or(0.0), years);
        let mut table = Table::new("A mean year", "Nothing that costs was found.")
            .wide("Part", 1.0)
            .plain("amount", currency)
            .plain(per, currency)
            .wide("How it came about", 2.6);
        for line in &lines {
            table.row(vec![
                Cell::text(label(line.label)),
                Cell::number(line.amount, 0),
                Cell::number(line.amount / measure, 3),
                Cell::text(line.how.render(self.reader.0)),
            ]);
        }
        let sum: f64 = lines.iter().map(|line| line.amount).sum();
        if !lines.is_empty() {
            table.row(vec![
                Cell::Strong("together".into()),
                Cell::number(sum, 0),
                Cell::number(sum / measure, 3),
                Cell::text(format!("mean of {} years", years.len())),
            ]);
        }
        let mut blocks = vec![Block::Table(table)];
        let totals: Vec<f64> = years.iter().map(YearCost::total).collect();
        let at = |share| numerics::quantile::quantile(&totals, share).unwrap_or(f64::NAN);
        blocks.push(Block::text(format!(
            "Years differ: beside owning the outfit, half of them cost less than {} and nine in ten less than {}; the dearest cost {}. \
             The measure of grain is {}, at {} and after shrink and handling.",
            self.money(at(0.5)),
            self.money(at(0.9)),
            self.money(at(1.0)),
            match ledger.bushels() {
                Some(bushels) => format!("{} legal bushels", crate::ticks::number(bushels, 0)),
                None => format!("{} t", crate::ticks::number(ledger.tonnes(), 0)),
            },
            self.show(notice::Kind::MoistureWetBasis, ledger.base)
        )));
        blocks
    }

    /// What costs something that nobody said.
    fn without_price(&self, years: &[YearCost]) -> Vec<String> {
        let mut missing = Vec::new();
        let costs = self.of.job.prices.as_ref().map(|prices| &prices.costs);
        if self.first_cost().is_none() {
            let unpriced: Vec<String> = self
                .fans()
                .into_iter()
                .map(|(name, _)| name)
                .chain(self.of.bin.template.burner.iter().map(|burner| burner.id.clone()))
                .filter(|id| self.price(id).is_none())
                .collect();
            missing.push(format!("{} ([prices] equipment)", unpriced.join(", ")));
        }
        if costs.is_some_and(|costs| costs.ownership.is_none()) {
            missing.push("owning it, year by year ([prices.ownership])".into());
        }
        if costs.is_some_and(|costs| costs.grain.is_none()) {
            missing
                .push("grain, so weight lost by drying too far and in handling is not priced ([prices] grain)".into());
        }
        if years.iter().any(|year| year.fuel.is_none()) {
            missing.push("fuel ([prices] fuel)".into());
        }
        let unpriced = years.iter().filter_map(|year| year.remedy.as_ref()).find(|remedy| remedy.amount.is_none());
        if let Some(remedy) = unpriced {
            missing.push(format!("what is done with a failed year: {}", remedy.how.render(self.reader.0)));
        }
        missing.push(
            "the electrician, the gas fitter, concrete, wiring and freight, unless the prices above hold them".into(),
        );
        missing
    }
}

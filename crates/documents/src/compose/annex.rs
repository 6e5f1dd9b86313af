//! The engineer's annex: every relation with its source, range and remarks; the years in pictures; the site text; what makes the run
//! repeatable; books that must balance.

use super::Desk;
use crate::paper::{Block, Cell, Paper, PaperKind, Table};
use notice::Status;

pub(super) fn paper(desk: &Desk<'_>) -> Paper {
    let mut paper = desk.begin(PaperKind::Annex, desk.facts());
    let blocks = &mut paper.blocks;
    blocks.push(Block::heading("Relations used"));
    blocks.push(Block::text(
        "Every published relation behind the results, with how well it is known and whether all of its use lay inside the range it was \
         made for. What lay outside is said; nothing outside its evidence is silent.",
    ));
    blocks.push(Block::Table(desk.relations()));
    blocks.push(Block::heading("Remarks"));
    blocks.push(Block::points(desk.remarks()));
    blocks.push(Block::heading("Equipment"));
    blocks.push(Block::Table(desk.equipment()));
    blocks.push(Block::heading("Air"));
    blocks.push(Block::Table(desk.working_points()));
    blocks.push(Block::Table(desk.budget()));
    blocks.extend(desk.curves().map(Block::Figure));
    blocks.push(Block::heading("The years"));
    blocks.extend(desk.lines().map(Block::Figure));
    blocks.extend(desk.bands().map(Block::Figure));
    blocks.push(Block::Table(desk.years_table()));
    blocks.extend(desk.left_out());
    blocks.extend(desk.sampling());
    blocks.extend(desk.model_range());
    blocks.push(Block::heading("Balances"));
    blocks.push(Block::Table(desk.balances()));
    blocks.push(Block::heading("Identity of the run"));
    blocks.push(Block::Table(desk.identity()));
    blocks.push(Block::heading("The site text"));
    blocks.push(Block::text(format!(
        "The document of record, version {}: all results follow from it, the weather and the catalogue.",
        desk.of.version
    )));
    blocks.push(Block::Verbatim(desk.of.text.trim_end().to_string()));
    paper
}

/// How well a figure is known.
fn known(status: Status) -> &'static str {
    match status {
        Status::Verified => "a published number was reproduced with it",
        Status::Seen => "read in the source or a document quoting it",
        Status::Memory => "recalled from the source, not read",
        Status::Judgement => "our reading of the evidence",
        Status::CommonPractice => "common practice, no source",
        Status::Computed => "worked out from stated inputs",
    }
}

impl Desk<'_> {
    fn relations(&self) -> Table {
        let mut table = Table::new("Relations", "No relation was named.")
            .wide("For", 1.4)
            .wide("Source", 2.2)
            .wide("How well known", 1.2)
            .wide("Used within its range", 1.3);
        for source in &self.data.sources {
            let outside: Vec<String> = source.outside.iter().map(|says| says.render(self.reader.0)).collect();
            let range = match source.in_range {
                Some(true) => "yes".to_string(),
                Some(false) => format!("no: {}", outside.join("; ")),
                None => "no range stated".to_string(),
            };
            table.row(vec![
                Cell::text(&source.what),
                Cell::text(&source.citation),
                Cell::text(known(source.status)),
                Cell::text(range),
            ]);
        }
        table
    }

    /// Everything that was remarked, with its source.
    fn remarks(&self) -> Vec<String> {
        let heat = &self.of.dossier.heat;
        let mut all = self.data.remarks.clone();
        all.extend(advice::way::remarks(self.of.bin, &self.of.dossier.air).0);
        all.extend(heat.bins.get(self.place()).iter().flat_map(|bin| bin.remarks.0.clone()));
        all.extend(heat.remarks.0.clone());
        all.extend(heat.common.remarks.0.clone());
        let mut says: Vec<String> = Vec::new();
        for remark in all {
            let text = self.says(&remark.says);
            let text = remark.source.as_ref().map_or(text.clone(), |source| format!("{text} [{}]", source.citation));
            if !says.contains(&text) {
                says.push(text);
            }
        }
        if says.is_empty() {
            says.push("None were noted.".into());
        }
        says
    }

    /// Where the pressure goes.
    pub fn budget(&self) -> Table {
        let air = &self.data.air;
        let mut table =
            Table::new(format!("Where the pressure goes, {}", air.budget_at), "No pressure budget was worked out.")
                .wide("Where", 1.0)
                .numbers(self.reader, "pressure", notice::Kind::Pressure)
                .plain("share", "%")
                .wide("How it was found", 1.4);
        let total: f64 = air.budget.iter().map(|item| item.pressure_pa).filter(|p| p.is_finite()).sum();
        for item in &air.budget {
            table.row(vec![
                Cell::text(&item.what),
                Cell::of(self.reader, notice::Kind::Pressure, item.pressure_pa),
                Cell::number(100.0 * item.pressure_pa / total, 0),
                Cell::text(&item.note),
            ]);
        }
        table
    }

    fn balances(&self) -> Table {
        let mut table = Table::new("Books that must balance, over all years", "No balance was reported.")
            .wide("Of", 1.0)
            .column("largest residual")
            .column("allowed")
            .column("kept");
        for balance in &self.data.run.balances {
            let small = |v: f64| if v.is_finite() { format!("{v:.1e}") } else { "unknown".into() };
            let kept = if balance.residual <= balance.allowed { "yes" } else { "NO" };
            table.row(vec![
                Cell::text(&balance.what),
                Cell::text(small(balance.residual)),
                Cell::text(small(balance.allowed)),
                Cell::text(kept),
            ]);
        }
        table
    }

    fn identity(&self) -> Table {
        let mut table = Table::new("Identity", "The run has no identity.").column("What").wide("Value", 1.0);
        for (name, value) in &self.data.run.entries {
            table.row(vec![Cell::text(name), Cell::text(value)]);
        }
        table.row(vec![Cell::text("text"), Cell::text(job::text_identity(self.of.text))]);
        table.row(vec![Cell::text("version"), Cell::text(&self.of.version)]);
        table.row(vec![Cell::text("program"), Cell::text(&self.of.program)]);
        table
    }
}

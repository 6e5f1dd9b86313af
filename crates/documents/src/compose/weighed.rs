//! What was weighed and not chosen, and why; or that nobody asked.

use super::Desk;
use crate::paper::{Block, Cell, Table};
use advice::weigh::{Answer, Standing, says};
use notice::Kind;
use std::collections::BTreeMap;

/// Outfits shown.
const MOST: usize = 12;

impl Desk<'_> {
    /// The weighing.
    pub fn weighed(&self) -> Vec<Block> {
        let Some(found) = &self.of.dossier.weighed else {
            return vec![Block::text(format!(
                "Nothing else was weighed for this paper: the site file does not say what may be chosen in place of this outfit (a table \
                 [bins.{}.choose]). Other fans, burners or fillings may be cheaper or surer; this paper does not know.",
                self.of.bin.name
            ))];
        };
        let mut blocks = vec![Block::text(self.says(&says::headline(found)))];
        if let Some(chosen) = found.chosen.map(|place| &found.outfits[place]).filter(|shown| !shown.present) {
            blocks.push(Block::text(format!(
                "This paper offers what stands in the site file, and not {}. Put that outfit into the file to have its paper.",
                chosen.name
            )));
        }
        blocks.push(Block::Table(self.outfits(found)));
        blocks.extend(self.excluded(found));
        let mut note = format!(
            "{} candidates, {} excluded, {} run over {} years.",
            found.candidates,
            found.excluded.len(),
            found.outfits.len(),
            found.years.len()
        );
        if found.outfits.iter().any(|shown| shown.unpriced) {
            note.push_str(" Something has no price and counts as nothing.");
        }
        if let Some(unseen) = &found.unseen {
            note.push_str(&format!(
                " Chosen in the same way on three quarters of the years and scored on the rest, in turn: {} of {} years failed.",
                unseen.failures, unseen.of
            ));
        }
        blocks.push(Block::note(note));
        blocks
    }

    fn outfits(&self, found: &Answer) -> Table {
        let measure = match (&found.currency, found.measure) {
            (None, _) => "kWh/t".to_string(),
            (Some(code), "bushel") => format!("{code}/bu"),
            (Some(code), _) => format!("{code}/t"),
        };
        let mut table = Table::new("What was weighed", "No outfit ran.")
            .wide("Outfit", 1.6)
            .plain("cost", &measure)
            .plain("failed", "years")
            .plain("of", "years")
            .numbers(self.reader, "air", Kind::SpecificAirflow)
            .wide("Why it stands where it stands", 2.6);
        let mut order: Vec<usize> = (0..found.outfits.len()).collect();
        let rank = |place: usize| {
            let shown = &found.outfits[place];
            // The choice, what stands there, the front, then by cost.
            (Some(place) != found.chosen, !shown.present, !matches!(shown.standing, Standing::Front))
        };
        order.sort_by(|&a, &b| {
            let cost = |p: usize| found.outfits[p].score.cost();
            rank(a).cmp(&rank(b)).then(cost(a).total_cmp(&cost(b))).then(a.cmp(&b))
        });
        for &place in order.iter().take(MOST) {
            let shown = &found.outfits[place];
            let name = match (Some(place) == found.chosen, shown.present) {
                (true, true) => Cell::Strong(format!("{} (offered, and the choice)", shown.name)),
                (true, false) => Cell::Strong(format!("{} (the choice)", shown.name)),
                (false, true) => Cell::Strong(format!("{} (offered)", shown.name)),
                (false, false) => Cell::text(&shown.name),
            };
            let equal = found.equal.contains(&place);
            let mut why = self.says(&says::why(found, place));
            if equal {
                why.push_str(" By these years no different from the choice.");
            }
            table.row(vec![
                name,
                Cell::number(shown.score.cost(), 3),
                Cell::count(shown.score.failures()),
                Cell::count(shown.score.run()),
                Cell::of(self.reader, Kind::SpecificAirflow, shown.specific_airflow),
                Cell::text(why),
            ]);
        }
        if order.len() > MOST {
            table.row(vec![Cell::text(format!("and {} more, each dearer", order.len() - MOST))]);
        }
        table
    }

    /// What physics or the site forbids, one line for each reason.
    fn excluded(&self, found: &Answer) -> Vec<Block> {
        let mut by_code: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
        for (place, out) in found.excluded.iter().enumerate() {
            by_code.entry(out.reason.code()).or_default().push(place);
        }
        let items: Vec<String> = by_code
            .into_iter()
            .map(|(code, places)| {
                let first = &found.excluded[places[0]];
                format!(
                    "{} ({}): {}; as {}",
                    code.replace('-', " "),
                    places.len(),
                    first.reason.says().render(self.reader.0),
                    first.name
                )
            })
            .map(|says| crate::shown::sentence(&says))
            .collect();
        match items.is_empty() {
            true => Vec::new(),
            false => vec![Block::under("Excluded before any year was run"), Block::points(items)],
        }
    }
}

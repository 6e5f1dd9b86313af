//! Fills the capability matrix of a crop from its rows, and says what was borrowed or is weak.

use crate::capability::{Capability, Confidence, Need};
use crate::{crop::Crop, evidence::Evidence, kinetics::Production};
use notice::{Kind, Phrase, Quantity, Remark};

impl Crop {
    /// Returns the five cells of the matrix.
    pub fn capability(&self) -> Vec<Capability> {
        Need::ALL
            .into_iter()
            .map(|need| {
                let (confidence, says) = self.cell(need).unwrap_or((Confidence::Missing, "not recorded".into()));
                Capability { need, confidence, says }
            })
            .collect()
    }

    fn cell(&self, need: Need) -> Option<(Confidence, String)> {
        match need {
            Need::Equilibrium => {
                let set = self.isotherm(None).ok()?;
                let others = self.isotherms.len() - 1;
                let says = if others == 0 { set.id.clone() } else { format!("{} and {others} more", set.id) };
                let generic = set.use_as == crate::SetUse::Fallback;
                let own = Confidence::of(set.evidence.status(), set.evidence.lent_from.is_some());
                Some((if generic { Confidence::Low } else { own }, says))
            }
            Need::Resistance => {
                let row = self.resistance(None).ok()?;
                Some((row.confidence, row.id.clone()))
            }
            Need::Kinetics => match &self.kinetics.as_ref()?.production {
                Production::Fitted(fit) => Some((
                    Confidence::of(fit.evidence.status(), fit.evidence.lent_from.is_some()),
                    format!("fitted to {}", fit.fitted_to),
                )),
                Production::Bounds { slow, fast } => {
                    Some((Confidence::Low, format!("bounded by {} and {}", slow.fitted_to, fast.fitted_to)))
                }
            },
            Need::Storability => {
                let rows = &self.storage.strict;
                let judges: Vec<&str> = rows.iter().map(|row| row.judges.as_str()).collect();
                Some((rows.first()?.confidence, judges.join("; ")))
            }
            Need::Heat => {
                self.bulk_density(0.15).ok()?;
                self.specific_heat.first()?;
                let rows = self.default_rows(Need::Heat);
                // Conductivity matters only while the fan rests; a borrowed one does not make the cell weak.
                let worst = rows
                    .iter()
                    .filter(|(what, _)| *what != "conductivity")
                    .map(|(_, evidence)| Confidence::of(evidence.status(), evidence.lent_from.is_some()))
                    .min()?;
                let lent: Vec<String> = rows
                    .iter()
                    .filter_map(|(what, evidence)| Some(format!("{what} from {}", evidence.lent_from.as_ref()?)))
                    .collect();
                Some((worst, if lent.is_empty() { "own lines".into() } else { lent.join(", ") }))
            }
        }
    }

    /// Returns what has to be said with results of a computation that uses the default rows for some needs: whatever was
    /// borrowed from another crop, is weakly known, or is given only as a range or a constant.
    pub fn remarks(&self, needs: &[Need]) -> Vec<Remark> {
        let mut remarks = Vec::new();
        for need in needs {
            for (what, evidence) in self.default_rows(*need) {
                let Some(from) = &evidence.lent_from else { continue };
                let says = Phrase::new("{what} of {crop} is borrowed from {from}")
                    .text("what", what)
                    .text("crop", &self.name)
                    .text("from", from);
                remarks.push(Remark::new("crop-row-borrowed", says).from_source(evidence.source.clone()));
            }
            if let (Need::Kinetics, Some(Production::Bounds { slow, fast })) =
                (need, self.kinetics.as_ref().map(|k| &k.production))
            {
                let says = Phrase::new("no drying law of {crop} is recorded: bounded by {slow} and {fast}")
                    .text("crop", &self.name)
                    .text("slow", &slow.fitted_to)
                    .text("fast", &fast.fitted_to);
                remarks.push(Remark::new("crop-kinetics-bounded", says));
            }
            if let (Need::Heat, true, Some(bushel)) = (need, self.bulk_density.is_empty(), &self.bushel) {
                let says = Phrase::new("bulk density of {crop} is that of its bushel, {density}, at every moisture")
                    .text("crop", &self.name)
                    .with("density", Quantity::new(bushel.density(), Kind::BulkDensity));
                let remark = Remark::new("crop-density-constant", says);
                remarks.push(remark.from_source(bushel.evidence.source.clone()));
            }
            if let (Need::Resistance, Ok(row)) = (need, self.resistance(None))
                && row.confidence == Confidence::Low
            {
                let says = Phrase::new("resistance constants of {crop} are weakly known ({row})")
                    .text("crop", &self.name)
                    .text("row", &row.id);
                remarks.push(Remark::new("crop-row-weak", says).from_source(row.evidence.source.clone()));
            }
            if *need == Need::Storability && !self.storage.is_judged() {
                let says =
                    Phrase::new("storage of {crop} is not judged: no relation is recorded").text("crop", &self.name);
                remarks.push(Remark::new("crop-storage-not-judged", says));
            }
        }
        remarks
    }

    fn default_rows(&self, need: Need) -> Vec<(&'static str, &Evidence)> {
        match need {
            Need::Equilibrium => self.isotherm(None).iter().map(|set| ("equilibrium", &set.evidence)).collect(),
            Need::Resistance => self.resistance(None).iter().map(|row| ("resistance", &row.evidence)).collect(),
            Need::Kinetics => match self.kinetics.as_ref().map(|k| &k.production) {
                Some(Production::Fitted(fit)) => vec![("drying rate", &fit.evidence)],
                _ => Vec::new(),
            },
            Need::Storability => self.storage.strict.iter().map(|row| ("storability", &row.evidence)).collect(),
            Need::Heat => [("bulk density", &self.bulk_density), ("specific heat", &self.specific_heat)]
                .into_iter()
                .chain([("conductivity", &self.conductivity)])
                .filter_map(|(what, lines)| Some((what, &lines.first()?.evidence)))
                .collect(),
        }
    }
}
